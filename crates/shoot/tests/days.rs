//! Recordings of several days, who rolled when, and recordings that are longer than a day.

mod summaries;

use plumbline_shoot::handover::{Lists, edit_lists};
use plumbline_shoot::lineup::{
    Corrections, Entry, Shoot, ShootFindingKind as Kind, line_up, shoot,
};
use summaries::coded;

fn of(entries: &[Entry]) -> Shoot {
    shoot(entries, &Corrections::default())
}

fn kinds(shoot: &Shoot) -> Vec<Kind> {
    shoot.findings.iter().map(|finding| finding.kind).collect()
}

/// A recording that begins at some time of a day by its code, and at another by its own clock.
fn made(file: &str, from: f64, length: f64, made: &str) -> Entry {
    let mut entry = coded(file, from, length);
    entry.key = format!("{file} {made}");
    entry.summary.made = Some(made.into());
    entry
}

const HOUR: f64 = 3_600.0;

#[test]
fn two_days_at_once_are_days_and_not_the_same_time_twice() {
    let entries = [
        made("bell_01.wav", 10.0 * HOUR, 600.0, "2026-11-27T10:00:03"),
        made("bell_02.wav", 15.0 * HOUR, 600.0, "2026-11-27T15:00:03"),
        made("bell_03.wav", 10.0 * HOUR, 600.0, "2026-11-28T10:00:04"),
        made("deck_01.wav", 10.05 * HOUR, 600.0, "2026-11-27T10:03:00"),
        made("deck_02.wav", 10.05 * HOUR, 600.0, "2026-11-28T10:03:00"),
    ];
    let shoot = of(&entries);
    assert_eq!(kinds(&shoot), [Kind::Days]);
    let finding = &shoot.findings[0];
    assert_eq!(
        finding.place,
        "2026-11-27 (3 recordings), 2026-11-28 (2 recordings)"
    );
    assert!((finding.at.unwrap() - 34.0 * HOUR).abs() < 1e-6);
    let orders: Vec<u32> = shoot.recordings.iter().map(|row| row.order).collect();
    assert_eq!(orders, [0, 2, 3, 1, 4]);
    assert!((shoot.to - (34.05 * HOUR + 600.0)).abs() < 1e-6);
    let verdict = format!("{}{}", shoot.verdict.mark, shoot.verdict.after);
    assert_eq!(verdict, "The shoot has two days.");
}

#[test]
fn without_dates_the_same_time_twice_stays_the_same_time_twice() {
    let entries = [
        coded("bell_01.wav", 10.0 * HOUR, 600.0),
        Entry {
            key: "other".into(),
            ..coded("bell_02.wav", 10.0 * HOUR, 600.0)
        },
    ];
    assert_eq!(kinds(&of(&entries)), [Kind::SameTimeTwice]);
}

#[test]
fn a_night_has_two_dates_and_is_one_shoot() {
    let entries = [
        made("bell_01.wav", 22.0 * HOUR, 600.0, "2026-11-27T22:00:00"),
        made("bell_02.wav", 1.0 * HOUR, 600.0, "2026-11-28T01:00:00"),
    ];
    let shoot = of(&entries);
    assert_eq!(kinds(&shoot), [Kind::Midnight]);
    assert!((shoot.to - (25.0 * HOUR + 600.0)).abs() < 1e-6);
}

/// The code is local time, the camera's clock is fourteen hours behind, and the phone's date was
/// never set: days are counted within each device.
#[test]
fn a_clock_in_another_zone_or_never_set_has_the_same_days() {
    let entries = [
        made("bell_01.wav", 10.0 * HOUR, 600.0, "2026-11-27T10:00:00"),
        made("bell_02.wav", 10.0 * HOUR, 600.0, "2026-11-28T10:00:00"),
        made("deck_01.wav", 11.0 * HOUR, 600.0, "2026-11-26T21:00:00"),
        made("deck_02.wav", 11.0 * HOUR, 600.0, "2026-11-27T21:00:00"),
        made("mast_01.wav", 12.0 * HOUR, 600.0, "2015-01-01T00:00:10"),
        made("mast_02.wav", 12.0 * HOUR, 600.0, "2015-01-02T00:00:10"),
    ];
    let shoot = of(&entries);
    assert_eq!(kinds(&shoot), [Kind::Days]);
    let orders: Vec<u32> = shoot.recordings.iter().map(|row| row.order).collect();
    assert_eq!(orders, [0, 3, 1, 4, 2, 5]);
}

#[test]
fn a_date_that_leaps_by_years_moves_nothing_and_what_has_none_is_told() {
    let broken = [
        made("bell_01.wav", 10.0 * HOUR, 600.0, "2026-11-27T10:00:00"),
        made("bell_02.wav", 12.0 * HOUR, 600.0, "2015-01-01T00:00:00"),
    ];
    let shoot = of(&broken);
    assert_eq!(kinds(&shoot), []);
    assert!((shoot.to - (12.0 * HOUR + 600.0)).abs() < 1e-6);

    let undated = [
        made("bell_01.wav", 10.0 * HOUR, 600.0, "2026-11-27T10:00:00"),
        made("bell_02.wav", 11.0 * HOUR, 600.0, "2026-11-28T11:00:00"),
        coded("memo_01.wav", 12.0 * HOUR, 600.0),
        made("mast_01.wav", 12.0 * HOUR, 600.0, "2015-01-01T00:00:00"),
    ];
    let shoot = of(&undated);
    assert_eq!(kinds(&shoot), [Kind::Days]);
    assert!(
        shoot.findings[0]
            .text
            .contains("memo_01.wav and mast_01.wav state no date that fits and stand on the first"),
        "{}",
        shoot.findings[0].text
    );
}

#[test]
fn who_rolled_is_told_in_words() {
    let entries = [
        coded("bell_01.wav", 10.0 * HOUR, 600.0),
        // A recorder's next file begins where the last one ends.
        coded("bell_02.wav", 10.0 * HOUR + 600.0, 300.0),
        coded("deck_01.wav", 10.0 * HOUR + 120.0, 60.0),
        coded("deck_02.wav", 10.0 * HOUR + 1_000.0, 60.0),
        coded("deck_03.wav", 10.0 * HOUR + 1_100.0, 60.0),
    ];
    let rolling = of(&entries).rolling;
    assert_eq!(
        rolling.text,
        "Both devices rolled together for 1 min 00 s, in 1 piece; nobody did for 2 min 20 s, of the \
         19 min 20 s from the first recording to the last."
    );
    let spans: Vec<String> = rolling
        .spans
        .iter()
        .map(|span| format!("{} {} {} {}", span.from, span.to, span.length, span.who))
        .collect();
    assert_eq!(
        spans,
        [
            "10:00:00:00 10:02:00:00 2 min 00 s Bell",
            "10:02:00:00 10:03:00:00 1 min 00 s Bell and Deck",
            "10:03:00:00 10:15:00:00 12 min 00 s Bell",
            "10:15:00:00 10:16:40:00 1 min 40 s nobody",
            "10:16:40:00 10:17:40:00 1 min 00 s Deck",
            "10:17:40:00 10:18:20:00 40.0 s nobody",
            "10:18:20:00 10:19:20:00 1 min 00 s Deck",
        ]
    );
    let gaps: Vec<&str> = rolling
        .gaps
        .iter()
        .map(|fact| fact.value.as_str())
        .collect();
    assert_eq!(
        gaps,
        [
            "rolled for 15 min 00 s, without a gap",
            "rolled for 3 min 00 s; 2 gaps, 14 min 20 s in all, the longest 13 min 40 s from \
             10:03:00:00"
        ]
    );
}

#[test]
fn a_day_of_many_takes_is_capped_and_counted() {
    let entries: Vec<Entry> = (0..400)
        .map(|n| {
            coded(
                &format!("bell_{n}.wav"),
                3_600.0 + f64::from(n) * 100.0,
                50.0,
            )
        })
        .collect();
    let rolling = of(&entries).rolling;
    assert_eq!((rolling.spans.len(), rolling.more), (300, 499));
}

#[test]
fn a_recording_longer_than_a_day_is_cut_in_lists_and_they_say_so() {
    let entries = [coded("tide_01.wav", 10.0 * HOUR, 25.0 * HOUR)];
    let shoot = of(&entries);
    assert!(
        kinds(&shoot).contains(&Kind::LongerThanADay),
        "{:?}",
        shoot.findings
    );
    let line_up = line_up(&entries, &Corrections::default());
    let lists = edit_lists(&line_up, "Tide", Lists::OneADevice);
    let said: Vec<&str> = lists
        .iter()
        .flat_map(|list| list.text.lines())
        .filter(|line| line.contains("LONGER THAN A DAY"))
        .collect();
    // An hour at 25 frames a second.
    assert_eq!(
        said,
        ["* LONGER THAN A DAY: ITS LAST 90000 FRAMES ARE NOT IN THIS LIST"]
    );
    let day = [coded("tide_01.wav", 10.0 * HOUR, 24.0 * HOUR)];
    let line_up = plumbline_shoot::lineup::line_up(&day, &Corrections::default());
    let lists = edit_lists(&line_up, "Tide", Lists::OneADevice);
    assert!(lists.iter().all(|list| !list.text.contains("LONGER")));
}
