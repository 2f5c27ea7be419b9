//! How clocks stand beside each other: at a moment, over a day, and two codes in one recording.

mod summaries;

use plumbline_damage::Seed;
use plumbline_shoot::lineup::{
    Apart, Clocks, Corrections, Entry, Moment, Shoot, ShootFindingKind as Kind, line_up, shoot,
};
use plumbline_shoot::summary::{CodeLine, StampLine, Steps};
use summaries::{HERTZ, coded};

/// A recording whose own start time is so many seconds ahead of its code, to the sample.
fn stamped(file: &str, from: f64, ahead: f64) -> Entry {
    let mut entry = coded(file, from, 60.0);
    entry.summary.stamps = vec![StampLine {
        source: "bext".into(),
        start: (from + ahead) * HERTZ,
        ahead: Some(ahead * 25.0),
        steps: Steps::Samples,
        ..StampLine::default()
    }];
    entry
}

/// A day of one device, whose clock parts steadily and was set again now and then.
fn day(name: &str, ahead: impl Fn(f64) -> f64) -> Vec<Entry> {
    (0..30)
        .map(|n| {
            let since = f64::from(n) * 1_000.0;
            stamped(
                &format!("{name}_{n:02}.wav"),
                30_000.0 + since,
                ahead(since),
            )
        })
        .collect()
}

fn of(entries: &[Entry]) -> Shoot {
    shoot(entries, &Corrections::default())
}

fn apart(entries: &[Entry], at: f64) -> Apart {
    Clocks::of(&line_up(entries, &Corrections::default())).apart(Moment(at))
}

fn two_devices() -> Vec<Entry> {
    let mut entries = day("deck", |since| -0.02 - 4e-6 * since);
    entries.extend(day("bow", |since| 0.01 + 2e-6 * since));
    entries
}

#[test]
fn how_far_clocks_were_apart_at_a_moment_is_a_figure() {
    let entries = two_devices();
    // 10,000 s later: −60 ms and +30 ms, which are 1.5 and 0.75 frames of 25.
    let Apart {
        devices,
        pairs,
        text,
    } = apart(&entries, 40_000.0);
    let said = |label: &str| {
        let facts = devices.iter().chain(&pairs);
        let fact = facts.into_iter().find(|fact| fact.label == label);
        fact.unwrap_or_else(|| panic!("{label}")).value.clone()
    };
    assert!(
        said("Deck").starts_with("1.5 frames (60 ms ± 0."),
        "{}",
        said("Deck")
    );
    assert!(
        said("Deck").ends_with("behind the code"),
        "{}",
        said("Deck")
    );
    assert!(
        said("Bow").starts_with("0.75 frames (30 ms ± 0."),
        "{}",
        said("Bow")
    );
    assert!(
        said("Deck and Bow").starts_with("2.25 frames (90 ms ±"),
        "{}",
        said("Deck and Bow")
    );
    assert!(text.contains("Deck 1.5 frames"), "{text}");
    // Where nothing was seen, the doubt grows with the distance.
    let doubt = |at: f64| {
        let value = apart(&entries, at).devices[0].value.clone();
        let number = value.split("± ").nth(1).unwrap().split(')').next().unwrap();
        number.parse::<f64>().unwrap()
    };
    assert!(doubt(59_000.0 + 400_000.0) > 5.0 * doubt(45_000.0));
}

#[test]
fn while_a_clock_was_set_again_there_is_no_figure() {
    let entries = day("deck", |since| if since < 14_500.0 { 0.0 } else { 2.0 });
    let value = |at: f64| apart(&entries, at).devices[0].value.clone();
    assert_eq!(
        value(44_500.0),
        "set again between 12:13:20:00 and 12:30:00:00: not known"
    );
    assert!(
        value(43_000.0).starts_with("with the code (0 ms"),
        "{}",
        value(43_000.0)
    );
    assert!(
        value(46_000.0).starts_with("50 frames (2000 ms"),
        "{}",
        value(46_000.0)
    );
}

#[test]
fn how_often_to_jam_is_told_for_all_and_for_each_two() {
    let shoot = of(&two_devices());
    // Half a frame of 25 at 6 ppm: 0.02 s ÷ 6e-6 = 3,333 s (frames ÷ rate ÷ drift).
    assert!(
        shoot.jam.text.starts_with("Jammed again every 55 min 3"),
        "{}",
        shoot.jam.text
    );
    assert!(
        shoot
            .jam
            .text
            .contains("Deck and Bow part the fastest, by 6.0"),
        "{}",
        shoot.jam.text
    );
    let labels: Vec<&str> = shoot
        .jam
        .pairs
        .iter()
        .map(|fact| fact.label.as_str())
        .collect();
    assert_eq!(
        labels,
        ["Deck and Bow", "Deck and the code", "Bow and the code"]
    );
    // Half a frame in 2 h 4x min is 0.18 frames an hour.
    assert!(
        shoot.jam.pairs[2].value.contains(", 0.18 frames an hour;"),
        "{:?}",
        shoot.jam.pairs
    );
    assert!(
        shoot.jam.pairs[2]
            .value
            .contains("within half a frame for 2 h 4"),
        "{:?}",
        shoot.jam.pairs
    );

    let alike = of(&day("deck", |_| 0.01));
    assert!(
        alike
            .jam
            .text
            .starts_with("No two of these clocks were seen to part"),
        "{}",
        alike.jam.text
    );
    assert_eq!(of(&[coded("bell.wav", 36_000.0, 60.0)]).jam.text, "");
}

/// A recording with a second code on channel 1 that is so far ahead at its first sample, and so
/// much faster.
fn both(file: &str, from: f64, length: f64, ahead: f64, ppm: f64) -> Entry {
    let mut entry = coded(file, from, length);
    entry.summary.channels = 3;
    let first = entry.summary.codes[0].clone();
    entry.summary.codes.push(CodeLine {
        channel: 0,
        start: first.start - ahead * HERTZ,
        clock_ppm: Some(-ppm),
        ..first
    });
    entry
}

#[test]
fn two_codes_in_one_recording_check_each_other() {
    // 20 ms at the first sample, 3 ppm over an hour: 30.8 ms at its end, 0.77 frames.
    let entry = both("bell_01.wav", 36_000.0, 3_600.0, 0.02, 3.0);
    let shoot = of(&[entry]);
    let [pair] = shoot.codes.as_slice() else {
        panic!("{:?}", shoot.codes);
    };
    assert_eq!(pair.name, "Bell: channel 2 against channel 1");
    let [line] = pair.lines.as_slice() else {
        panic!("{:?}", pair.lines);
    };
    assert!((line.ppm - 3.0).abs() < 1e-3, "{line:?}");
    let kinds: Vec<Kind> = shoot.findings.iter().map(|finding| finding.kind).collect();
    assert_eq!(kinds, [Kind::CodesDiffer]);
    let text = &shoot.findings[0].text;
    // At the later of the two places that stand for the line: 1,800 s + 3,600 s ÷ √12.
    let frames = (0.02 + 3e-6 * (1_800.0 + 3_600.0 / 12f64.sqrt())) * 25.0;
    assert!(text.contains(&format!("{frames:.2} frames")), "{text}");
    assert!(text.contains("ahead of that on channel 1"), "{text}");
}

#[test]
fn two_codes_that_agree_are_evidence_and_no_finding() {
    let entries: Vec<Entry> = (0..6)
        .map(|n| {
            let since = f64::from(n) * 3_000.0;
            both(
                &format!("bell_{n}.wav"),
                36_000.0 + since,
                1_800.0,
                0.001 + 0.5e-6 * since,
                0.5,
            )
        })
        .collect();
    let shoot = of(&entries);
    assert!(shoot.findings.is_empty(), "{:?}", shoot.findings);
    let [pair] = shoot.codes.as_slice() else {
        panic!()
    };
    assert_eq!(pair.points.len(), 12);
    let [line] = pair.lines.as_slice() else {
        panic!("{:?}", pair.lines)
    };
    assert!((line.ppm - 0.5).abs() < 1e-3);
    // Over the day they say more than each does of itself.
    assert!(line.ppm_uncertainty.unwrap() < 0.02 / 3.0, "{line:?}");
}

#[test]
fn codes_at_two_rates_are_told_and_not_compared() {
    let mut entry = both("bell_01.wav", 36_000.0, 600.0, 0.0, 0.0);
    entry.summary.codes[1].rate = "24".into();
    let shoot = of(&[entry]);
    let texts: Vec<&str> = shoot
        .findings
        .iter()
        .map(|finding| finding.text.as_str())
        .collect();
    assert_eq!(texts.len(), 1);
    assert!(
        texts[0].contains("channel 1 is 24, that on channel 2 is 25"),
        "{}",
        texts[0]
    );
    assert!(shoot.codes[0].points.is_empty());
}

#[test]
fn a_code_that_was_jammed_again_between_recordings_is_another_line() {
    let entries: Vec<Entry> = (0..8)
        .map(|n| {
            let ahead = if n < 4 { 0.1 } else { 0.0 };
            both(
                &format!("bell_{n}.wav"),
                36_000.0 + f64::from(n) * 3_000.0,
                1_800.0,
                ahead,
                0.0,
            )
        })
        .collect();
    let shoot = of(&entries);
    assert_eq!(shoot.codes[0].lines.len(), 2);
    assert!(
        shoot.findings[0].text.contains("2.5 frames"),
        "{}",
        shoot.findings[0].text
    );
    assert!(
        shoot.findings[0].text.contains("jammed again once"),
        "{}",
        shoot.findings[0].text
    );
}

/// The doubt of the day's line holds the truth as often as it should: for one and two standard
/// deviations in 68.3 and 95.4 of a hundred, less or more four standard deviations of such counts.
#[test]
fn the_doubt_of_two_codes_is_honest() {
    const PAIRS: u64 = 2_000;
    let mut within = [0; 2];
    for pair in 0..PAIRS {
        let mut chance = Seed::judging(pair).random(0);
        let entries: Vec<Entry> = (0..5)
            .map(|n| {
                let since = f64::from(n) * 4_000.0;
                let mut entry = both(&format!("b_{n}.wav"), 36_000.0 + since, 1_200.0, 0.0, 0.0);
                // What a fit to one recording gives: its value in the middle and its slope are
                // independent, and the middle is as good as the slope over √12 of the length.
                let sigma = 0.02e-6 * 2f64.sqrt();
                let slope = 2e-6 + sigma * chance.normal();
                let aside = 1_200.0 / 12f64.sqrt();
                let middle = 2e-6 * (since + 600.0) + sigma * aside * chance.normal();
                let code = &mut entry.summary.codes[1];
                code.start -= (middle - slope * 600.0) * HERTZ;
                code.clock_ppm = Some(-slope * 1e6);
                entry
            })
            .collect();
        let shoot = of(&entries);
        let [line] = shoot.codes[0].lines.as_slice() else {
            continue;
        };
        let off = (line.ppm - 2.0).abs() / line.ppm_uncertainty.unwrap();
        for (within, times) in within.iter_mut().zip([1.0, 2.0]) {
            *within += i32::from(off <= times);
        }
    }
    let [one, two] = within;
    // With no more than the scatter of the points allows, a doubt is never taken smaller than they say.
    assert!((1_283..=1_520).contains(&one), "{one} within one");
    assert!((1_871..=1_980).contains(&two), "{two} within two");
}
