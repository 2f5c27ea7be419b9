//! Two recordings of the same sound, and two that are not: a few of each kind. The many are in
//! the example `measure`, whose tables are docs/sound/measured.md.
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::expect_used,
    clippy::panic,
    dead_code,
    reason = "tests, and the example's own modules, of which not all is used here"
)]

#[path = "../examples/measure/cases.rs"]
mod cases;
#[path = "../examples/measure/scene.rs"]
mod scene;
#[path = "../examples/measure/trial.rs"]
mod trial;
#[path = "../examples/measure/worlds.rs"]
mod worlds;

use plumbline_damage::Seed;
use plumbline_sound::{Polarity, Prior, Recording, Refusal, Seconds, Side, Verdict, Which};
use plumbline_sound::{candidates, line_up};
use trial::{Outcome, Pair, print};
use worlds::Worlds;

fn case(name: &str) -> Pair {
    let all = cases::all();
    let found = all.into_iter().find(|case| case.name == name);
    found.unwrap_or_else(|| panic!("no case {name}")).pair
}

fn recorded(pair: &Pair, number: u64) -> (Vec<f32>, Vec<f32>) {
    let seed = Seed::tuning(number);
    let world = pair.source.sound(90.0, seed);
    (
        pair.first.hears(&world, seed, 2),
        pair.second.hears(&world, seed, 3),
    )
}

fn verdict(pair: &Pair, (one, other): &(Vec<f32>, Vec<f32>), prior: Option<Prior>) -> Verdict {
    let prints = [print(one, pair.first), print(other, pair.second)];
    let first = Side {
        print: &prints[0],
        recording: &mut one.as_slice(),
    };
    let second = Side {
        print: &prints[1],
        recording: &mut other.as_slice(),
    };
    line_up(first, second, prior).unwrap()
}

#[test]
fn what_both_heard_is_found_within_a_millisecond() {
    let worlds = Worlds::default();
    for name in [
        "speech, -5 dB in both",
        "music, +0 dB in both",
        "speech in rooms of 0.6 and 0.8 s, +5 dB",
        "levels 30 dB apart",
        "48 and 44.1 kHz",
        "48 and 8 kHz",
        "one clipped half the time",
        "hum in both, 10 dB over the speech",
        "one of 5 s within a minute",
        "music that repeats every 8 s, with the offset known to ±3 s",
    ] {
        let outcome = case(name).try_once(Seed::tuning(100), &worlds);
        assert!(
            matches!(outcome, Outcome::Right { .. }),
            "{name}: {outcome:?}"
        );
    }
}

#[test]
fn two_clocks_are_told_apart() {
    let Outcome::Right { drift, .. } =
        case("100 ppm apart over 35 s").try_once(Seed::tuning(100), &Worlds::default())
    else {
        panic!("not found");
    };
    assert!(drift < 5.0, "{drift} ppm off");
}

#[test]
fn what_has_no_answer_gets_none() {
    let worlds = Worlds::default();
    for (name, why) in [
        ("other speech of the same voice", "NothingStandsOut"),
        ("other music in the same key and tempo", "WindowsDisagree"),
        ("noise, the same hum", "NothingStandsOut"),
        ("music that repeats every 2 s", "NothingStandsOut"),
        ("music that was played twice", "PlacesAlike"),
        ("a recorder that stopped for 2.3 s", "WindowsDisagree"),
        ("a recorder that left out 30 ms", "WindowsDisagree"),
    ] {
        let outcome = case(name).try_once(Seed::tuning(100), &worlds);
        assert!(
            matches!(outcome, Outcome::Refused(_)),
            "{name}: {outcome:?}"
        );
        assert!(format!("{outcome:?}").contains(why), "{name}: {outcome:?}");
    }
}

#[test]
fn the_other_way_round_it_is_the_same_time_backwards() {
    let pair = case("48 and 44.1 kHz");
    let (one, other) = recorded(&pair, 7);
    let turned = Pair {
        first: pair.second,
        second: pair.first,
        ..pair
    };
    let Verdict::Found(there) = verdict(&pair, &(one.clone(), other.clone()), None) else {
        panic!("not found");
    };
    let Verdict::Found(back) = verdict(&turned, &(other, one), None) else {
        panic!("not found the other way round");
    };
    let sum = there.offset.value.0 + back.offset.value.0;
    assert!(sum.abs() < 100e-6, "{there:?} {back:?}");
    assert_eq!(there.polarity, Polarity::Same);
}

#[test]
fn swapped_poles_are_told() {
    let pair = case("one upside down");
    let Verdict::Found(found) = verdict(&pair, &recorded(&pair, 3), None) else {
        panic!("not found");
    };
    assert_eq!(found.polarity, Polarity::Opposite);
}

#[test]
fn a_wrong_belief_is_not_confirmed() {
    let pair = case("speech, +20 dB in both");
    let prior = Prior {
        from: Seconds(-20.0),
        to: Seconds(20.0),
    };
    let verdict = verdict(&pair, &recorded(&pair, 3), Some(prior));
    assert!(matches!(verdict, Verdict::Refused(_)), "{verdict:?}");
}

#[test]
fn silence_and_shortness_are_told() {
    let pair = case("speech, +20 dB in both");
    let (one, other) = recorded(&pair, 3);
    let silence = vec![0.0; other.len()];
    let quiet = verdict(&pair, &(one.clone(), silence), None);
    assert_eq!(quiet, Verdict::Refused(Refusal::TooQuiet(Which::Second)));
    let short = verdict(&pair, &(one.clone(), other[..48_000].to_vec()), None);
    assert!(
        matches!(short, Verdict::Refused(Refusal::TooShort { .. })),
        "{short:?}"
    );
    let nothing = verdict(&pair, &(Vec::new(), Vec::new()), None);
    assert!(
        matches!(nothing, Verdict::Refused(Refusal::TooShort { .. })),
        "{nothing:?}"
    );
}

#[test]
fn no_belief_breaks_it() {
    let pair = case("speech, +20 dB in both");
    let recordings = recorded(&pair, 3);
    for (from, to) in [
        (1e9, f64::INFINITY),
        (f64::NEG_INFINITY, -1e9),
        (30.0, 20.0),
        (f64::NAN, f64::NAN),
    ] {
        let (from, to) = (Seconds(from), Seconds(to));
        let verdict = verdict(&pair, &recordings, Some(Prior { from, to }));
        assert!(matches!(verdict, Verdict::Refused(_)), "{verdict:?}");
    }
    let anything = Prior {
        from: Seconds(f64::NEG_INFINITY),
        to: Seconds(f64::INFINITY),
    };
    let verdict = verdict(&pair, &recordings, Some(anything));
    assert!(matches!(verdict, Verdict::Found(_)), "{verdict:?}");
}

/// A file that is gone.
struct Gone;

impl Recording for Gone {
    type Error = std::convert::Infallible;

    fn read(&mut self, _: u64, into: &mut [f32]) -> Result<(), Self::Error> {
        into.fill(f32::NAN);
        Ok(())
    }
}

#[test]
fn sound_that_is_not_that_of_the_print_is_no_answer() {
    let pair = case("speech, +20 dB in both");
    let (one, other) = recorded(&pair, 3);
    let prints = [print(&one, pair.first), print(&other, pair.second)];
    assert!(!candidates(&prints[0], &prints[1], None).is_empty());
    let first = Side {
        print: &prints[0],
        recording: &mut Gone,
    };
    let second = Side {
        print: &prints[1],
        recording: &mut Gone,
    };
    let verdict = line_up(first, second, None).unwrap();
    assert!(
        matches!(
            verdict,
            Verdict::Refused(Refusal::WindowsDisagree { agree: 0, .. })
        ),
        "{verdict:?}"
    );
}

#[test]
fn every_refusal_has_words() {
    let refusals = [
        Refusal::TooQuiet(Which::Second),
        Refusal::TooShort {
            overlap: Seconds(1.0),
            needed: Seconds(3.0),
        },
        Refusal::NothingStandsOut,
        Refusal::PlacesAlike {
            one: Seconds(1.0),
            other: Seconds(2.0),
        },
        Refusal::WindowsDisagree {
            offset: Seconds(1.0),
            agree: 2,
            of: 24,
        },
    ];
    for refusal in refusals {
        assert!(refusal.text().ends_with('.') && refusal.remedy().ends_with('.'));
    }
}
