//! What is said about a stamped copy, and what gets stamped.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

use plumbline_media::stamp::Difference;
use plumbline_shoot::stamping::{Same, StampOrder, Stamping};
use std::io::Cursor;

fn order(start: f64) -> StampOrder {
    StampOrder {
        start_samples_since_midnight: start,
        rate: "29.97".to_owned(),
        drop_frame: true,
        leave_out: Vec::new(),
        tape: None,
        made_from: String::new(),
    }
}

fn stamping(order: &StampOrder) -> Stamping {
    let demo = plumbline_shoot::demo();
    Stamping::plan(&mut Cursor::new(demo.bytes), order).unwrap()
}

fn reference(start: f64) -> u64 {
    stamping(&order(start)).copy.stamp().time_reference
}

#[test]
fn the_nearest_whole_sample_is_stamped_and_what_is_left_is_told() {
    // 01:00:00;00 at 48 kHz is 172,799,827.2 samples (IEC 60461 clause 4.2.3, and arithmetic).
    let stamping = stamping(&order(172_799_827.2));
    assert_eq!(stamping.copy.stamp().time_reference, 172_799_827);
    let outcome = stamping.outcome(Ok(()));
    assert_eq!(outcome.as_asked, Same::Yes);
    assert_eq!(
        outcome.text,
        "Stamped 01:00:00;00, 2 channels, read back and the same."
    );
    assert_eq!(
        outcome.notes,
        [
            "The time reference is 172,799,827 samples since midnight, the nearest whole one: the \
             start is 0.2 of a sample (4.2 µs) later."
        ]
    );
    assert_eq!(reference(0.5), 1);
    assert_eq!(reference(0.499), 0);
}

#[test]
fn a_start_that_is_whole_is_not_said_to_be_rounded() {
    let outcome = stamping(&order(1000.0)).outcome(Ok(()));
    assert_eq!(
        outcome.notes,
        ["The time reference is 1,000 samples since midnight."]
    );
}

#[test]
fn what_rounds_up_to_midnight_is_midnight() {
    // A day of 29.97 drop-frame has 86,399.9136 s.
    let day = 86_399.913_6 * 48_000.0;
    assert_eq!(reference(day - 1.0), 4_147_195_852);
    assert_eq!(reference(day - 0.1), 0);
}

#[test]
fn a_start_outside_the_day_is_refused() {
    let demo = plumbline_shoot::demo().bytes;
    for start in [-1.0, 5e9, f64::NAN, f64::INFINITY] {
        let refused = Stamping::plan(&mut Cursor::new(&demo), &order(start)).unwrap_err();
        assert_eq!(refused.text, "the start of this code is no time of day");
    }
    let other = StampOrder {
        rate: "26".to_owned(),
        ..order(0.0)
    };
    assert!(Stamping::plan(&mut Cursor::new(&demo), &other).is_err());
}

#[test]
fn nothing_but_the_code_can_be_left_out_and_leave_something() {
    let demo = plumbline_shoot::demo().bytes;
    let all = StampOrder {
        leave_out: vec![0, 1],
        ..order(0.0)
    };
    let refused = Stamping::plan(&mut Cursor::new(&demo), &all).unwrap_err();
    assert_eq!(refused.remedy, "Keep the code in the copy.");
}

#[test]
fn a_copy_that_differs_is_not_called_the_same() {
    let outcome = stamping(&order(0.0)).outcome(Err(Difference::Sound));
    assert_eq!(outcome.as_asked, Same::No);
    assert_eq!(outcome.text, "The copy's sound is not the original's.");
    assert!(outcome.remedy.starts_with("Don't use this copy."));
}
