//! Recordings on one clock, from summaries that say what a reading would.

mod summaries;

use plumbline_damage::{Random, Seed};
use plumbline_shoot::lineup::{
    Basis, Corrections, Entry, Shoot, ShootFindingKind as Kind, SoundLine, line_up, prior, shoot,
};
use plumbline_shoot::summary::{StampLine, Steps, Summary};
use summaries::{HERTZ, coded};

/// The same with a start time of its own that is so many seconds ahead of the code.
fn stamped(file: &str, from: f64, length: f64, ahead: f64) -> Entry {
    let mut entry = coded(file, from, length);
    let frames = ((from + ahead) * 25.0).round();
    entry.summary.stamps = vec![StampLine {
        source: "tmcd".into(),
        start: frames / 25.0 * HERTZ,
        ahead: Some(frames - from * 25.0),
        steps: Steps::Frames,
        ..StampLine::default()
    }];
    entry
}

fn said(shoot: &Shoot) -> String {
    let verdict = &shoot.verdict;
    format!("{}[{}]{}", verdict.before, verdict.mark, verdict.after)
}

fn kinds(shoot: &Shoot) -> Vec<Kind> {
    shoot.findings.iter().map(|finding| finding.kind).collect()
}

fn lined_up(entries: &[Entry]) -> Shoot {
    shoot(entries, &Corrections::default())
}

#[test]
fn recordings_with_code_share_one_clock() {
    let entries = [
        coded("bell_01.wav", 32_826.48, 5_400.0),
        coded("deck_01.wav", 33_000.0, 600.0),
        coded("deck_02.wav", 40_000.0, 600.0),
    ];
    let shoot = lined_up(&entries);
    assert_eq!(said(&shoot), "All three recordings share one clock.[]");
    assert_eq!(
        shoot.about,
        "3 recordings · 2 devices · 1 h 50 min of sound · 25 frames a second"
    );
    let first = &shoot.recordings[0];
    assert_eq!(
        (first.starts_at.as_str(), first.ends_at.as_str()),
        ("09:07:06:12", "10:37:06:12")
    );
    assert_eq!(
        (first.by.as_str(), first.device_name.as_str()),
        ("channel 2", "Bell")
    );
    assert_eq!(shoot.devices[1].clips.len(), 2);
    assert!((shoot.from - 32_826.48).abs() < 1e-9 && (shoot.to - 40_600.0).abs() < 1e-9);
}

#[test]
fn an_hour_on_a_slow_recorder_ends_where_the_code_does() {
    let mut entry = coded("slow.wav", 36_000.0, 3_600.0);
    entry.summary.codes[0].clock_ppm = Some(-50.0);
    let entries = [entry];
    let line_up = line_up(&entries, &Corrections::default());
    let placed = line_up.recordings[0].placed.unwrap();
    assert!((placed.to.0 - placed.from.0 - 3_600.0 * (1.0 - 50e-6)).abs() < 1e-9);
}

#[test]
fn a_clock_that_drifts_is_told_with_its_rate_and_how_long_it_holds() {
    // 5 ppm slow over ten hours: 4.5 frames at 25 (36,000 s × 5e-6 × 25).
    let entries: Vec<Entry> = (0..40)
        .map(|n| {
            let since = f64::from(n) * 923.0;
            stamped(
                &format!("deck_{n:02}.mov"),
                30_000.0 + since,
                600.0,
                -5e-6 * since,
            )
        })
        .collect();
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::Drift]);
    let finding = &shoot.findings[0];
    // One frame at 25 in 2.22 h at 5 ppm (frames ÷ rate ÷ drift), half in 1.11 h.
    assert!(finding.text.contains("loses 4.9 ppm"), "{}", finding.text);
    assert!(finding.remedy.contains("every 1 h 0"), "{}", finding.remedy);
    assert!(
        said(&shoot).starts_with("All 40 recordings share one clock. [Deck] falls 4."),
        "{}",
        said(&shoot)
    );
    let line = shoot.devices[0].lines[0];
    assert!(
        (line.frames_to - line.frames_from + 4.5).abs() < 0.3,
        "{line:?}"
    );
}

#[test]
fn a_clock_that_was_set_again_is_told_where_and_by_how_much() {
    let entries: Vec<Entry> = (0..20)
        .map(|n| {
            let ahead = if n < 12 { 0.0 } else { -3.2 };
            stamped(
                &format!("deck_{n:02}.mov"),
                30_000.0 + f64::from(n) * 900.0,
                600.0,
                ahead,
            )
        })
        .collect();
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::SetAgain]);
    assert_eq!(shoot.findings[0].place, "11:05 to 11:20");
    assert!(
        shoot.findings[0].text.contains("−80.0 frames"),
        "{}",
        shoot.findings[0].text
    );
}

#[test]
fn a_constant_lag_is_told_once() {
    let entries: Vec<Entry> = (0..6)
        .map(|n| {
            stamped(
                &format!("deck_{n}.mov"),
                30_000.0 + f64::from(n) * 900.0,
                60.0,
                0.12,
            )
        })
        .collect();
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::Lag]);
    assert_eq!(shoot.findings[0].place, "3.0 f");
}

#[test]
fn a_clock_that_keeps_is_no_finding() {
    let entries: Vec<Entry> = (0..30)
        .map(|n| {
            stamped(
                &format!("deck_{n:02}.mov"),
                30_000.013 + f64::from(n) * 901.7,
                60.0,
                0.0,
            )
        })
        .collect();
    assert_eq!(kinds(&lined_up(&entries)), []);
}

#[test]
fn a_recording_without_code_stands_by_its_stamp_or_nowhere() {
    let mut by_stamp = stamped("bridge_01.mov", 34_000.0, 60.0, 0.0);
    by_stamp.summary.codes.clear();
    by_stamp.summary.stamps[0].ahead = None;
    let mut nowhere = coded("mast_01.wav", 35_000.0, 60.0);
    nowhere.summary.codes.clear();
    let entries = [coded("deck_01.mov", 34_000.0, 60.0), by_stamp, nowhere];
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::NoPlace, Kind::NoCode]);
    assert_eq!(shoot.recordings[1].starts_at, "09:26:40:00");
    assert_eq!(shoot.recordings[2].starts_at, "");
    assert!(
        said(&shoot)
            .starts_with("One of three recordings has its code on the clock. [mast_01.wav]")
    );

    // A person says when it was, and it is put there, and said to be.
    let mut corrections = Corrections::default();
    corrections
        .recordings
        .entry(entries[2].key.clone())
        .or_default()
        .start = "09:43:20:00".into();
    let line_up = line_up(&entries, &corrections);
    let placed = line_up.recordings[2].placed.unwrap();
    assert_eq!((placed.basis, placed.measured), (Basis::Hand, None));
    let shown = plumbline_shoot::lineup::shoot(&entries, &corrections);
    assert_eq!(shown.recordings[2].starts_at, "09:43:20:00");
    assert_eq!(shown.recordings[2].changed, "placed by hand");
}

#[test]
fn what_a_person_moves_is_kept_apart_from_what_was_measured() {
    let entries = [coded("deck_01.mov", 36_000.0, 60.0)];
    let moved = |nudge: &str| {
        let mut corrections = Corrections::default();
        let correction = corrections.recordings.entry(entries[0].key.clone());
        correction.or_default().nudge = nudge.into();
        shoot(&entries, &corrections).recordings.remove(0)
    };
    let frames = moved("−2.5");
    assert_eq!(frames.changed, "moved by −2.5 frames from 10:00:00:00");
    assert_eq!(frames.starts_at, "09:59:59:22");
    // At 48 kHz a frame of 25 a second has 1920 samples.
    let samples = moved("-4800 samples");
    assert_eq!(
        (samples.changed, samples.starts_at),
        (frames.changed, frames.starts_at)
    );

    for wrong in ["two", "samples", "1e99", "inf samples"] {
        let wrong = moved(wrong);
        assert_eq!(wrong.starts_at, "10:00:00:00");
        assert_eq!(wrong.problems[0].field, "nudge");
    }
}

#[test]
fn two_recordings_of_one_device_at_one_time_are_told() {
    let entries = [
        coded("deck_01.mov", 36_000.0, 60.0),
        coded("deck_02.mov", 36_030.0, 60.0),
        coded("deck_03.mov", 36_090.02, 60.0),
    ];
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::SameTimeTwice]);
    assert_eq!(shoot.findings[0].place, "10:00:30:00");
    assert!(shoot.recordings[2].findings.is_empty());
}

#[test]
fn a_night_stays_in_one_piece() {
    let entries = [
        coded("deck_01.mov", 1_800.0, 600.0),
        coded("deck_02.mov", 80_000.0, 600.0),
        coded("bell_01.wav", 86_000.0, 1_000.0),
    ];
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::Midnight]);
    let orders: Vec<u32> = shoot.recordings.iter().map(|row| row.order).collect();
    assert_eq!(orders, [2, 0, 1]);
    assert!((shoot.to - (86_400.0 + 2_400.0)).abs() < 1e-9);
    assert_eq!(shoot.recordings[0].starts_at, "00:30:00:00");
}

#[test]
fn a_device_at_another_rate_is_told_and_stands_by_its_digits() {
    let mut other = coded("deck_01.mov", 0.0, 60.0);
    other.summary.codes[0].rate = "29.97".into();
    // 10:00:00:00 non-drop at 29.97 is 36,036 s of real time.
    other.summary.codes[0].start = 36_036.0 * HERTZ;
    let entries = [
        coded("bell_01.wav", 36_000.0, 60.0),
        coded("bell_02.wav", 37_000.0, 60.0),
        other,
    ];
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::OtherRate]);
    assert_eq!(shoot.recordings[2].starts_at, "10:00:00:00");
    assert!(
        said(&shoot).starts_with("Two of three recordings share one clock. [Deck] runs at 29.97")
    );
}

#[test]
fn what_could_not_be_read_comes_first() {
    let entries = [
        coded("deck_01.mov", 36_000.0, 60.0),
        Entry {
            key: "x".into(),
            folder: String::new(),
            sounds: Vec::new(),
            summary: Summary {
                file: "call-sheet.pdf".into(),
                error: Some("it is no recording".into()),
                ..Summary::default()
            },
        },
    ];
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), [Kind::Unread]);
    assert_eq!(
        said(&shoot),
        "One of two recordings has its code on the clock. [call-sheet.pdf] can’t be read."
    );
    assert_eq!(said(&lined_up(&[])), "Nothing has been read yet.[]");
}

/// A device whose clock was jammed once and then drifts, over twelve hours of forty recordings.
fn twelve_hours(chance: &mut Random, ppm: f64) -> Vec<Entry> {
    let mut times: Vec<f64> = (0..40).map(|_| chance.between(0.0, 43_200.0)).collect();
    times.sort_by(f64::total_cmp);
    let stamp = |since: f64| stamped("deck.mov", 28_800.0 + since, 1.0, ppm * 1e-6 * since);
    times.into_iter().map(stamp).collect()
}

/// The uncertainty that is told holds the truth at least as often as it should: for one, two and
/// three standard deviations of a normal error in 68.3, 95.4 and 99.7 of a hundred, less four
/// standard deviations of such counts. It is never taken smaller than stamps in whole frames allow,
/// so it may hold it a little more often, but not by more than a twentieth.
#[test]
fn the_uncertainty_of_a_drift_is_honest() {
    const DEVICES: u64 = 4_000;
    let (mut within, mut broken) = ([0; 3], 0);
    for device in 0..DEVICES {
        let mut chance = Seed::judging(device).random(0);
        let ppm = chance.between(-10.0, 10.0);
        let shoot = lined_up(&twelve_hours(&mut chance, ppm));
        let [line] = shoot.devices[0].lines.as_slice() else {
            broken += 1;
            continue;
        };
        let off = (line.ppm - ppm).abs() / line.ppm_uncertainty.unwrap();
        for (within, times) in within.iter_mut().zip([1.0, 2.0, 3.0]) {
            *within += i32::from(off <= times);
        }
    }
    assert_eq!(broken, 0, "clocks that nobody set again");
    let [one, two, three] = within;
    assert!((2_613..=2_867).contains(&one), "{one} within one");
    assert!((3_765..=3_900).contains(&two), "{two} within two");
    assert!(three >= 3_976, "{three} within three");
}

fn beside(other: &Entry, offset: f64) -> SoundLine {
    SoundLine {
        beside: other.key.clone(),
        offset,
        offset_uncertainty: 4e-4,
        drift_ppm: 0.0,
        odds_log10: 9.0,
    }
}

#[test]
fn a_recording_without_code_stands_where_its_sound_does() {
    let bell = coded("bell_01.wav", 36_000.0, 600.0);
    let mut mast = coded("mast_01.wav", 0.0, 60.0);
    mast.summary.codes.clear();
    mast.sounds = vec![beside(&bell, 12.5)];
    let shoot = lined_up(&[bell, mast]);
    assert_eq!(kinds(&shoot), []);
    assert_eq!(shoot.recordings[1].starts_at, "10:00:12:12");
    assert_eq!(shoot.recordings[1].by, "none; by sound ± 0.4 ms");
}

#[test]
fn code_and_sound_check_each_other() {
    let bell = coded("bell_01.wav", 36_000.0, 600.0);
    let mut deck = coded("deck_01.mov", 36_012.5, 60.0);
    deck.sounds = vec![beside(&bell, 12.5 - 0.06)];
    let shoot = lined_up(&[bell.clone(), deck.clone()]);
    assert_eq!(kinds(&shoot), [Kind::SoundAgainstCode]);
    assert!(
        shoot.findings[0].text.contains("1.5 frames (60 ms) late"),
        "{}",
        shoot.findings[0].text
    );
    deck.sounds = vec![beside(&bell, 12.5 + 0.02)];
    assert_eq!(kinds(&lined_up(&[bell, deck])), []);
}

/// Film cameras without any code, jammed before the day: their timecode tracks say the rate.
#[test]
fn without_code_the_clock_has_the_rate_that_the_stamps_state() {
    let mut deck = stamped("deck_01.mov", 36_000.0, 60.0, 0.0);
    deck.summary.codes.clear();
    let stamp = &mut deck.summary.stamps[0];
    // 10:00:00:00 at 23.976 is 36,036 s of real time.
    stamp.start = 36_036.0 * HERTZ;
    stamp.ahead = None;
    stamp.rate = Some("23.976".into());
    let shoot = lined_up(&[deck]);
    assert_eq!(shoot.rate, "23.976");
    assert_eq!(shoot.recordings[0].starts_at, "10:00:00:00");
}

#[test]
fn two_recordings_that_give_two_places_give_none() {
    let bell = coded("bell_01.wav", 36_000.0, 600.0);
    let deck = coded("deck_01.mov", 36_100.0, 600.0);
    let mut mast = coded("mast_01.wav", 0.0, 60.0);
    mast.summary.codes.clear();
    // Two microphones 30 m apart agree; a song's next verse does not.
    mast.sounds = vec![beside(&bell, 120.0), beside(&deck, 20.088)];
    let entries = [bell.clone(), deck.clone(), mast.clone()];
    let shoot = lined_up(&entries);
    assert_eq!(kinds(&shoot), []);
    assert_eq!(shoot.recordings[2].starts_at, "10:02:00:00");
    mast.sounds = vec![beside(&bell, 120.0), beside(&deck, 52.0)];
    let shoot = lined_up(&[bell, deck, mast]);
    assert_eq!(kinds(&shoot), [Kind::NoPlace, Kind::SoundTwice]);
    assert_eq!(shoot.recordings[2].starts_at, "");
    assert!(
        shoot.findings[1].text.contains("32.0 s away"),
        "{}",
        shoot.findings[1].text
    );
}

#[test]
fn a_rough_start_is_where_sound_is_looked_for() {
    let bell = coded("bell_01.wav", 36_000.0, 600.0);
    let entries = [bell.clone()];
    let line_up = line_up(&entries, &Corrections::default());
    let near = prior(&line_up, &bell.key, "10:02:00:00", 10.0).unwrap();
    assert!(
        (near.from - 110.0).abs() < 1e-9 && (near.to - 130.0).abs() < 1e-9,
        "{near:?}"
    );
    // On the other side of midnight is less than a day before.
    let before = prior(&line_up, &bell.key, "23:59:50:00", 1.0).unwrap();
    assert!((before.from + 36_011.0).abs() < 1e-6, "{before:?}");
    assert!(prior(&line_up, &bell.key, "25:00:00:00", 1.0).is_err());
    assert!(prior(&line_up, "nobody", "10:00:00:00", 1.0).is_err());
}
