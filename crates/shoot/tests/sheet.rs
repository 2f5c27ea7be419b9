//! A sheet comes back as it was saved, and what is no sheet is told apart.

use plumbline_shoot::handover::Mark;
use plumbline_shoot::lineup::{Correction, Corrections, Entry, SoundLine};
use plumbline_shoot::sheet::{Sheet, SheetError};
use plumbline_shoot::summary::{CodeLine, Run, StampLine, Steps, Summary};
use proptest::collection::{btree_map, vec};
use proptest::option::of;
use proptest::prelude::*;

/// JSON has no other numbers.
fn number() -> impl Strategy<Value = f64> {
    use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO
}

prop_compose! {
    fn code()(
        channel: u16,
        rate: String,
        drop_frame: bool,
        start in number(),
        clock_ppm in of(number()),
        clock_ppm_uncertainty in of(number()),
        user_bits in of(any::<String>()),
        runs in vec((number(), number()).prop_map(|(from, to)| Run { from, to }), 0..3),
        leaks: bool,
        leaps: bool,
    ) -> CodeLine {
        CodeLine {
            channel,
            rate,
            drop_frame,
            start,
            clock_ppm,
            clock_ppm_uncertainty,
            user_bits,
            runs,
            leaks,
            leaps,
        }
    }
}

prop_compose! {
    fn stamp()(
        source: String,
        start in number(),
        ahead in of(number()),
        in_frames: bool,
    ) -> StampLine {
        let steps = if in_frames { Steps::Frames } else { Steps::Samples };
        StampLine { source, start, ahead, steps, rate: Some("29.97".into()), drop_frame: true }
    }
}

prop_compose! {
    fn sound()(
        beside: String,
        [offset, offset_uncertainty, drift_ppm, odds_log10] in [number(), number(), number(), number()],
    ) -> SoundLine {
        SoundLine { beside, offset, offset_uncertainty, drift_ppm, odds_log10 }
    }
}

prop_compose! {
    fn entry()(
        [key, folder, file] in any::<[String; 3]>(),
        [container, originator, made, reel, error] in any::<[Option<String>; 5]>(),
        sample_rate: u32,
        samples: u64,
        channels: u16,
        codes in vec(code(), 0..3),
        stamps in vec(stamp(), 0..3),
        sounds in vec(sound(), 0..3),
        findings: u32,
    ) -> Entry {
        let summary = Summary {
            file,
            container,
            sample_rate,
            samples,
            channels,
            originator,
            made,
            reel,
            codes,
            stamps,
            findings,
            error,
        };
        Entry { key, folder, summary, sounds }
    }
}

prop_compose! {
    fn correction()([device, start, nudge, rate, reel] in any::<[String; 5]>()) -> Correction {
        Correction { device, start, nudge, rate, reel }
    }
}

prop_compose! {
    fn mark()(
        [address, rate, heard, made, word] in any::<[String; 5]>(),
        [scene, take] in any::<[String; 2]>(),
        drop_frame: bool,
    ) -> Mark {
        Mark { address, rate, drop_frame, heard, made, word, scene, take }
    }
}

prop_compose! {
    fn sheet()(
        name: String,
        entries in vec(entry(), 0..4),
        names in btree_map(any::<String>(), any::<String>(), 0..3),
        recordings in btree_map(any::<String>(), correction(), 0..3),
        marks in vec(mark(), 0..3),
    ) -> Sheet {
        Sheet { name, entries, corrections: Corrections { names, recordings, marks } }
    }
}

proptest! {
    #[test]
    fn a_sheet_comes_back_as_it_was_saved(sheet in sheet()) {
        prop_assert_eq!(Sheet::from_json(&sheet.to_json()), Ok(sheet));
    }
}

fn error(json: &str) -> Option<SheetError> {
    Sheet::from_json(json).err()
}

#[test]
fn what_is_no_sheet_is_told_apart() {
    let cut = "{\n  \"plumbline\": \"shoot\",\n  \"vers";
    let at_line_three = |error| matches!(error, SheetError::NoJson { line: 3, .. });
    assert!(error(cut).is_some_and(at_line_three));
    let comma = SheetError::NoJson { line: 1, column: 9 };
    assert_eq!(error("{\"a\": 1,}"), Some(comma));
    for other in ["[]", "3", "{}", "{\"plumbline\": \"tone\", \"version\": 1}"] {
        assert_eq!(error(other), Some(SheetError::NoSheet), "{other}");
    }
    assert_eq!(
        error("{\"plumbline\": \"shoot\", \"version\": 2}"),
        Some(SheetError::Newer { version: 2 })
    );
}

#[test]
fn a_damaged_sheet_says_where() {
    let field = |rest: &str| match error(&format!("{{\"plumbline\": \"shoot\", {rest}}}")) {
        Some(SheetError::Damaged { field, .. }) => field,
        other => format!("{other:?}"),
    };
    assert_eq!(field("\"version\": \"one\""), "version");
    assert_eq!(field("\"version\": 0"), "version");
    assert_eq!(field("\"version\": 1"), "its top");
    assert_eq!(
        field("\"version\": 1, \"name\": \"\", \"corrections\": {}, \"entries\": 7"),
        "entries"
    );
    let entry = "\"entries\": [{\"key\": \"\", \"folder\": \"\", \"summary\": {\"samples\": -1}}]";
    assert_eq!(
        field(&format!("\"version\": 1, \"name\": \"\", {entry}")),
        "entries[0].summary.samples"
    );
}

#[test]
fn what_a_newer_page_adds_is_left_out() {
    let json = "{\"plumbline\": \"shoot\", \"version\": 1, \"name\": \"Ferry\", \"entries\": [], \
                \"corrections\": {\"notes\": {}}, \"colour\": \"blue\"}";
    assert_eq!(
        Sheet::from_json(json).map(|sheet| sheet.name),
        Ok("Ferry".into())
    );
}
