//! Code from tape that flutters, gathers speed, slows down to nothing and turns round; and sound
//! that steps, clicks and stops.

#![expect(clippy::panic, reason = "what fails is the test")]

mod common;

use std::f64::consts::{PI, TAU};

use common::{Random, Take, Truth, counting, demodulate, hertz, judge, some_address, take, tone};
use plumbline_ltc::{Codeword, Direction, Received};
use plumbline_timecode::{Count, Rate};

/// Code at 25 frames a second and 48 kHz, as tape plays it: `place` tells which part of the code,
/// in codewords, is heard at a sample. It may run backwards. What was read must be right where
/// `place` says; `judge` has the rest.
fn played(codewords: &[Codeword], samples: u32, place: impl Fn(f64) -> f64) -> Take {
    let bits: Vec<bool> = codewords
        .iter()
        .flat_map(|word| (0..80).map(|bit| word.bit(bit)))
        .collect();
    let mut level = 1.0;
    // The level of each half-cell.
    let mut halves = Vec::new();
    for bit in bits {
        level = -level;
        halves.push(level);
        if bit {
            level = -level;
        }
        halves.push(level);
    }
    let at = |half: f64| -> f64 {
        // As long as it is on the tape: nothing before and after.
        let inside = half >= 0.0 && half < halves.len() as f64;
        if inside { halves[whole(half)] } else { 0.0 }
    };
    // Each sample is the mean over the time around it, as a converter takes it.
    let steps = 16;
    let sample = |n: u32| {
        let parts = (0..steps).map(|step| {
            let time = f64::from(n) + (f64::from(step) + 0.5) / f64::from(steps) * 2.0 - 1.0;
            at(place(time) * 160.0) / f64::from(steps)
        });
        single(0.3 * parts.sum::<f64>())
    };
    let sound = (0..samples).map(sample).collect();
    let words = heard(codewords, samples, &place);
    Take {
        samples: sound,
        words,
    }
}

/// The codewords that are heard whole, found by following `place` sample by sample.
fn heard(codewords: &[Codeword], samples: u32, place: &impl Fn(f64) -> f64) -> Vec<Truth> {
    let mut crossed: Vec<(f64, f64)> = Vec::new();
    for n in 1..samples {
        let (before, after) = (place(f64::from(n - 1)), place(f64::from(n)));
        let border = before.max(after).floor();
        if before.min(after) < border {
            let part = (border - before) / (after - before);
            crossed.push((f64::from(n - 1) + part, border));
        }
    }
    let mut words = Vec::new();
    for pair in crossed.windows(2) {
        let ((begins, from), (ends, to)) = (pair[0], pair[1]);
        let (number, direction) = if to > from {
            (from, Direction::Forward)
        } else {
            (to, Direction::Reverse)
        };
        let exists = number >= 0.0 && number < codewords.len() as f64;
        if exists && (from - to).abs() > 0.5 {
            words.push(Truth {
                codeword: codewords[whole(number)],
                begins,
                ends,
                direction,
            });
        }
    }
    words
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "not below 0"
)]
fn whole(place: f64) -> usize {
    place as usize
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "samples are single precision"
)]
fn single(sample: f64) -> f32 {
    sample as f32
}

fn code(count: u16) -> Vec<Codeword> {
    counting(some_address(Count::F25), 0x2511_2601, count)
}

/// Demands every codeword; how far the worst position is from the truth, as a part of a codeword,
/// of those that have neighbours on both sides.
fn inner(name: &str, take: &Take, received: &[Received]) -> f64 {
    judge(name, take, received);
    let inner = received
        .iter()
        .zip(&take.words)
        .skip(1)
        .take(take.words.len() - 2);
    inner.fold(0.0, |worst, (word, truth)| {
        let error = (word.begins.as_f64() - truth.begins).abs();
        worst.max(error / (truth.ends - truth.begins))
    })
}

/// Wow and flutter of 3 % at half a hertz to 200 Hz.
#[test]
fn flutter_is_followed() {
    for pitch in [0.5, 3.0, 12.0, 50.0, 200.0] {
        let turn = TAU * pitch / 48_000.0;
        let place = |n: f64| (n - 500.0 + 0.03 / turn * (1.0 - (turn * n).cos())) / 1_920.0;
        let take = played(&code(100), 195_000, place);
        let name = format!("3 % at {pitch} Hz");
        let received = demodulate(hertz(48_000), &take.samples);
        let errors = inner(&name, &take, &received);
        assert!(errors < 0.003, "{name}: {errors}");
    }
}

/// Four times faster and slower in four seconds.
#[test]
fn speed_that_grows_or_falls_is_followed() {
    let samples = 192_000;
    let turn = 16.0_f64.ln() / f64::from(samples);
    let faster = |n: f64| 0.25 / 1_920.0 * ((turn * n).exp() - 1.0) / turn + 0.3;
    let slower = |n: f64| 4.0 / 1_920.0 * (1.0 - (-turn * n).exp()) / turn + 0.3;
    let faster = played(&code(200), samples, faster);
    let slower = played(&code(200), samples, slower);
    for (name, take) in [("faster", faster), ("slower", slower)] {
        assert!(take.words.len() > 100, "{} codewords", take.words.len());
        let received = demodulate(hertz(48_000), &take.samples);
        let errors = inner(name, &take, &received);
        assert!(errors < 0.003, "{name}: {errors}");
    }
}

/// Slows down, stands, and runs back, like a tape that is turned round by hand.
#[test]
fn a_tape_that_is_turned_round_is_read_both_ways() {
    let place = |n: f64| 20.0 * (PI * n / 192_000.0).sin() - 0.4;
    let take = played(&code(60), 192_000, place);
    let received = demodulate(hertz(48_000), &take.samples);
    let ways = |way| {
        take.words
            .iter()
            .filter(|word| word.direction == way)
            .count()
    };
    assert!(ways(Direction::Forward) >= 18 && ways(Direction::Reverse) >= 18);
    // The last one before it turns round, and the first one after, run too slowly to be sure of.
    assert!(
        received.len() + 2 >= take.words.len(),
        "{} read",
        received.len()
    );
    for word in &received {
        let is_true = |truth: &&Truth| {
            truth.codeword == word.codeword
                && truth.direction == word.direction
                && (truth.begins - word.begins.as_f64()).abs() < 0.02 * (truth.ends - truth.begins)
        };
        assert!(take.words.iter().any(|truth| is_true(&truth)), "{word:?}");
    }
}

/// Codewords of a take that were not read; those that were must be in place.
fn lost(take: &Take, within: f64) -> usize {
    let received = demodulate(hertz(48_000), &take.samples);
    let trusted = received.iter().filter(|word| word.quality.is_trusted());
    let found = trusted.filter(|word| {
        let truth = take
            .words
            .iter()
            .find(|truth| truth.codeword == word.codeword && truth.direction == word.direction);
        let truth = truth.unwrap_or_else(|| panic!("not there: {word:?}"));
        assert!(
            (truth.begins - word.begins.as_f64()).abs() < within,
            "{word:?}, {truth:?}"
        );
        true
    });
    take.words.len() - found.count()
}

fn usual(count: u16) -> Take {
    take(tone(Rate::F25, hertz(48_000), 700, 5), &code(count))
}

/// Up to the eighth of the level, at the border of two codewords.
#[test]
fn a_step_of_the_level_costs_nothing() {
    for step in [0.15, 0.25, 0.5, 2.0, 4.0, 6.5] {
        let mut take = usual(60);
        let border = 700 + 1_920 * 30 - 1;
        take.samples[border..]
            .iter_mut()
            .for_each(|sample| *sample *= step);
        assert_eq!(lost(&take, 0.1), 0, "step of {step}");
    }
}

/// A step of the mean level, ten times the code, costs the codeword that it is in, or two.
#[test]
fn a_step_of_the_mean_level_costs_what_it_hits() {
    for step in [0.5, 2.0, -2.0] {
        let mut take = usual(60);
        take.samples[700 + 1_920 * 30 + 801..]
            .iter_mut()
            .for_each(|sample| *sample += step);
        let lost = lost(&take, 0.1);
        assert!(lost <= 2, "step of {step}: {lost} lost");
    }
}

/// Clicks at full scale, four times the code and more, cost the codewords that they hit.
#[test]
fn a_click_costs_no_more_than_the_codeword_that_it_hits() {
    let mut take = usual(100);
    let mut random = Random::new(3);
    for number in (5..95).step_by(10) {
        let place = 700 + 1_920 * number + random.below(1_900) as usize;
        take.samples[place] = if random.below(2) == 0 { 1.0 } else { -1.0 };
    }
    let lost = lost(&take, 0.2);
    assert!(lost <= 9, "{lost} lost to nine clicks");
}

/// One codeword alone, between silences and in faint noise, at every sample rate.
#[test]
fn a_codeword_alone_is_read() {
    for rate in [8_000, 11_025, 22_050, 44_100, 48_000, 96_000, 192_000] {
        for (noise, before) in [(0.0, 0), (0.0, 1_000), (1e-4, 30_000)] {
            for sixteenths in [0, 5, 11] {
                let code = code(1);
                let alone = take(tone(Rate::F25, hertz(rate), before, sixteenths), &code);
                let take = alone.then(&Take::still(0.0, 20_000));
                let take = take.with_noise(noise, &mut Random::new(4));
                let name = format!("{rate} Hz, from {before} {sixteenths}/16, noise {noise}");
                let errors = judge(&name, &take, &demodulate(hertz(rate), &take.samples));
                assert!(errors.worst < 0.15, "{name}: {errors:?}");
            }
        }
    }
}

/// Code that is cut off inside its first or last cell is not read there.
#[test]
fn a_codeword_that_is_not_whole_is_not_read() {
    for missing in [5, 8, 14, 18, 20, 23, 30] {
        let whole = usual(5);
        let end = 701 + 1_920 * 4;
        let front = whole.clone().cut(701 + missing, end);
        assert_eq!(front.words.len(), 3);
        assert_eq!(lost(&front, 0.1), 0, "{missing} missing in front");
        let back = whole.clone().cut(0, end - 1 - missing);
        assert_eq!(back.words.len(), 3);
        assert_eq!(lost(&back, 0.1), 0, "{missing} missing at the back");
        // The same where silence takes the place of what is missing.
        let muted = Take {
            samples: back.samples,
            words: back.words,
        };
        assert_eq!(
            lost(&muted.then(&Take::still(0.0, 5_000)), 0.1),
            0,
            "{missing} muted"
        );
    }
}
