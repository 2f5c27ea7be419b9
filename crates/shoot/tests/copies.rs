//! What stamped copies of many recordings say, and what a person says of a recording's rate.

#![allow(
    clippy::panic,
    reason = "tests may stop where they did not foresee something"
)]

mod summaries;

use plumbline_shoot::lineup::{
    CopyPlan, Correction, Corrections, Entry, Row, Shoot, SoundLine, shoot,
};
use plumbline_shoot::stamping::StampOrder;
use plumbline_shoot::summary::{StampLine, Steps};
use summaries::{HERTZ, coded};

fn corrected(entry: &Entry, correction: Correction) -> Corrections {
    let mut corrections = Corrections::default();
    corrections.recordings.insert(entry.key.clone(), correction);
    corrections
}

fn order(row: &Row) -> &StampOrder {
    match &row.copy {
        CopyPlan::Possible { order, .. } => order,
        CopyPlan::Impossible { why } => panic!("{why}"),
    }
}

fn why(row: &Row) -> &str {
    match &row.copy {
        CopyPlan::Possible { order, .. } => panic!("{order:?}"),
        CopyPlan::Impossible { why } => why,
    }
}

fn of(entries: &[Entry]) -> Shoot {
    shoot(entries, &Corrections::default())
}

#[test]
fn a_copy_of_what_has_code_says_what_the_code_says() {
    let entries = [coded("bell_01.wav", 36_000.123_456, 60.0)];
    let shoot = of(&entries);
    let order = order(&shoot.recordings[0]);
    // To the last digit, as the report of the recording has it.
    let read = entries[0].summary.codes[0].start;
    assert_eq!(order.start_samples_since_midnight.to_bits(), read.to_bits());
    assert_eq!((order.rate.as_str(), order.drop_frame), ("25", false));
    assert_eq!(order.made_from, "the code on channel 2");
    assert_eq!(order.tape.as_deref(), Some("Bell"));
    let CopyPlan::Possible { coded, .. } = &shoot.recordings[0].copy else {
        panic!();
    };
    assert_eq!(coded, &[1]);
}

#[test]
fn a_copy_stands_where_a_person_put_the_recording() {
    let bell = coded("bell_01.wav", 36_000.0, 60.0);
    let moved = corrected(
        &bell,
        Correction {
            nudge: "-2.5".into(),
            reel: "B 07".into(),
            ..Correction::default()
        },
    );
    let shoot = shoot(std::slice::from_ref(&bell), &moved);
    let order = order(&shoot.recordings[0]);
    let wanted = (36_000.0 - 2.5 / 25.0) * HERTZ;
    assert!((order.start_samples_since_midnight - wanted).abs() < 1e-3);
    assert_eq!(
        order.made_from,
        "the code on channel 2, moved by −2.5 frames from 10:00:00:00 by hand"
    );
    assert_eq!(order.tape.as_deref(), Some("B 07"));
    assert_eq!(
        shoot.recordings[0].changed,
        "moved by −2.5 frames from 10:00:00:00; reel B 07"
    );
}

#[test]
fn a_recording_at_another_rate_is_stamped_on_its_own_clock() {
    let mut other = coded("deck_01.wav", 0.0, 60.0);
    other.summary.codes[0].rate = "29.97".into();
    // 10:00:00:00 non-drop at 29.97 is 36,036 s of real time (SMPTE ST 12-1 clause 5.2.2).
    other.summary.codes[0].start = 36_036.0 * HERTZ;
    let nudged = corrected(
        &other,
        Correction {
            start: "10:00:01:00".into(),
            ..Correction::default()
        },
    );
    let bells = [("bell_01.wav", 36_000.0), ("bell_02.wav", 37_000.0)];
    let mut entries: Vec<Entry> = bells.map(|(file, from)| coded(file, from, 60.0)).into();
    entries.push(other);
    let shoot = shoot(&entries, &nudged);
    let order = order(&shoot.recordings[2]);
    assert_eq!(order.rate, "29.97");
    let wanted = 36_037.001 * HERTZ;
    assert!((order.start_samples_since_midnight - wanted).abs() < 1e-3);
}

#[test]
fn what_stands_by_sound_or_by_hand_can_be_stamped_too() {
    let bell = coded("bell_01.wav", 36_000.0, 600.0);
    let mut memo = coded("memo_01.wav", 0.0, 60.0);
    memo.summary.codes.clear();
    let silent = memo.clone();
    memo.sounds = vec![SoundLine {
        beside: bell.key.clone(),
        offset: 12.5,
        offset_uncertainty: 4e-4,
        drift_ppm: 0.0,
        odds_log10: 9.0,
    }];
    let shoot = of(&[bell.clone(), memo]);
    let by_sound = order(&shoot.recordings[1]);
    assert!((by_sound.start_samples_since_midnight - 36_012.5 * HERTZ).abs() < 1e-3);
    assert_eq!(by_sound.made_from, "its sound, ± 0.4 ms");
    // No channel of it has code.
    assert!(
        matches!(&shoot.recordings[1].copy, CopyPlan::Possible { coded, .. } if coded.is_empty())
    );

    let typed = corrected(
        &silent,
        Correction {
            start: "10:00:10:00".into(),
            ..Correction::default()
        },
    );
    let by_hand = plumbline_shoot::lineup::shoot(&[bell, silent], &typed);
    assert_eq!(
        order(&by_hand.recordings[1]).made_from,
        "an address typed by hand"
    );
}

#[test]
fn what_cannot_be_stamped_says_why() {
    let bell = coded("bell_01.wav", 36_000.0, 600.0);
    let mut film = coded("deck_01.mov", 36_000.0, 60.0);
    film.summary.container = Some("mov".into());
    let mut silent = coded("memo_01.wav", 0.0, 60.0);
    silent.summary.codes.clear();
    let mut stamped = silent.clone();
    stamped.key = "stamped".into();
    stamped.summary.stamps = vec![StampLine {
        source: "bext".into(),
        start: 36_100.0 * HERTZ,
        steps: Steps::Samples,
        ..StampLine::default()
    }];
    let mut broken = silent.clone();
    broken.key = "broken".into();
    broken.summary.sample_rate = 0;
    let shoot = of(&[bell, film, silent, stamped, broken]);
    let reasons: Vec<&str> = shoot.recordings.iter().skip(1).map(why).collect();
    assert_eq!(
        reasons,
        [
            "it is no WAV",
            "nothing says when it begins",
            "it stands by the stamp that it has",
            "it could not be read"
        ]
    );
}

#[test]
fn a_rate_that_a_person_says_is_theirs_and_keeps_the_digits() {
    let mut deck = coded("deck_01.wav", 36_000.4, 1_000.0);
    let said = |rate: &str| {
        corrected(
            &coded("deck_01.wav", 36_000.4, 1_000.0),
            Correction {
                rate: rate.into(),
                ..Correction::default()
            },
        )
    };
    let bell = |n: u32| coded(&format!("bell_{n}.wav"), 36_000.0 + f64::from(n), 1.0);
    let entries = [bell(1), bell(2), deck.clone()];
    let as_read = of(&entries);
    assert_eq!(as_read.recordings[2].rate, "25");
    let shoot = shoot(&entries, &said("24"));
    let row = &shoot.recordings[2];
    // Ten frames of 24, told on a clock of 25: 416.7 ms are ten frames and a bit.
    assert_eq!(
        (row.rate.as_str(), row.starts_at.as_str()),
        ("24", "10:00:00:10")
    );
    assert_eq!(row.changed, "at 24 instead of 25");
    let order = order(row);
    assert_eq!(order.rate, "24");
    let wanted = (36_000.0 + 10.0 / 24.0) * HERTZ;
    assert!((order.start_samples_since_midnight - wanted).abs() < 1e-3);
    assert_eq!(
        order.made_from,
        "the code on channel 2, at 24 instead of 25 by hand"
    );
    // At 24 the same codewords are 1,041.7 s of its clock.
    let clip = shoot.devices.iter().flat_map(|device| &device.clips);
    let clip = clip.into_iter().find(|clip| clip.recording == 2).unwrap();
    assert!((clip.to - clip.from - 1_000.0 * 25.0 / 24.0).abs() < 1e-6);

    // What is no rate changes nothing, and is told at its field.
    let wrong = plumbline_shoot::lineup::shoot(&entries, &said("26"));
    assert_eq!(wrong.recordings[2].problems[0].field, "rate");
    assert_eq!(wrong.recordings[2].rate, "25");

    // The most common rate is the clock's, as persons say it.
    deck.key = "deck_01.wav@36000.4".into();
    let alone = plumbline_shoot::lineup::shoot(&[deck], &said("29.97 drop-frame"));
    assert_eq!((alone.rate.as_str(), alone.drop_frame), ("29.97", true));
}
