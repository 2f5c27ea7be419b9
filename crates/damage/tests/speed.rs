//! What the report says of a speed: that it is another one, that it changes and between what, or nothing.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{Added, Damage, Decibels, Seed, Source, Tape, White, reading};
use plumbline_shoot::FrameList;
use plumbline_shoot::report::FindingKind;
use plumbline_timecode::{Rate, SampleRate};

/// The texts about the speed of a minute of code after damage.
fn said(damage: &[&dyn Damage]) -> Vec<String> {
    let hertz = SampleRate::hertz(48_000).unwrap();
    let seed = Seed::tuning(81);
    let take = Source::new(Rate::F25, hertz).take(1500, seed).unwrap();
    let take = take.damaged(seed, damage).unwrap();
    let report = reading(hertz, &[&take.samples], FrameList::Leave).unwrap();
    let findings = report
        .report
        .codes
        .into_iter()
        .flat_map(|code| code.findings);
    findings
        .filter(|finding| finding.kind == FindingKind::OffSpeed)
        .map(|finding| finding.text)
        .collect()
}

/// The two speeds of "between 90 % and 110 % of the rate".
fn between(text: &str) -> [f64; 2] {
    let percents: Vec<f64> = text
        .split(" %")
        .filter_map(|part| part.rsplit(' ').next()?.parse().ok())
        .collect();
    percents.try_into().unwrap()
}

#[test]
fn a_speed_that_changes_is_told_with_its_ends() {
    let noise = Added::over_code(White, Decibels(0.0));
    for (tape, slowest, fastest) in [
        (Tape::ramp(0.9, 1.1), 90.0, 110.0),
        (Tape::ramp(-1.02, -0.98), 98.0, 102.0),
        (Tape::flutter(0.01, 0.3), 99.0, 101.0),
    ] {
        for damage in [&[&tape as &dyn Damage][..], &[&tape, &noise]] {
            let said = said(damage);
            let [text] = &said[..] else {
                panic!("{tape:?}: {said:?}")
            };
            let [slow, fast] = between(text);
            assert!(
                (slow - slowest).abs() < 0.2 && (fast - fastest).abs() < 0.2,
                "{tape:?}: {text}"
            );
        }
    }
}

#[test]
fn a_speed_that_is_one_is_told_as_one_and_that_of_clocks_not_at_all() {
    let noise = Added::over_code(White, Decibels(2.0));
    let clock = Tape::at_speed(1.0 + 100e-6);
    assert_eq!(said(&[&clock]), [""; 0]);
    assert_eq!(said(&[&clock, &noise]), [""; 0]);
    let tape = Tape::at_speed(0.97);
    for damage in [&[&tape as &dyn Damage][..], &[&tape, &noise]] {
        let said = said(damage);
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].starts_with("The code runs at 97 %"), "{said:?}");
    }
}
