//! What code says while it is heard: how soon it is known, and that it is never wrong.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{Addresses, Seed, Source, Take};
use plumbline_ltc::{Codeword, Direction};
use plumbline_shoot::{Ear, Now};
use plumbline_timecode::{CODES, Count, Frames, Rate, SampleRate, TimeAddress};

/// A render quantum of the Web Audio API (W3C, clause 2.4).
const QUANTUM: usize = 128;

fn hertz(hertz: u32) -> SampleRate {
    SampleRate::hertz(hertz).unwrap()
}

fn take(rate: Rate, count: Count, sample_rate: SampleRate, codewords: u32, seed: Seed) -> Take {
    let source = Source {
        count,
        ..Source::new(rate, sample_rate)
    };
    source.take(codewords, seed).unwrap()
}

/// The last codeword that had ended at a sample of a take that is heard that way.
fn last_ended(take: &Take, direction: i8, sample: f64) -> Option<Codeword> {
    let mut words = take.words.iter();
    let left = take.samples.len() as f64 - sample;
    let ended = match direction {
        1 => words.rfind(|word| word.ends <= sample),
        _ => words.find(|word| word.begins >= left),
    };
    ended.map(|word| word.meant)
}

/// Plugged in anywhere within a codeword, an address is known once a hundred bits of the eighty were
/// heard; and from then on what is said is the last codeword that was whole, or the one before while
/// its last edge is still being looked at.
#[test]
fn an_address_is_known_within_a_codeword_and_a_quarter_and_is_right() {
    for (number, (rate, count)) in (0..).zip(CODES) {
        for sample_rate in [hertz(44_100), hertz(48_000)] {
            // Some bits go by before cells are known from half cells.
            let take = take(rate, count, sample_rate, 40, Seed::judging(number));
            for direction in [1, -1] {
                plug_in_anywhere(&take, (rate, count), direction, 1.34);
            }
        }
    }
}

/// Where all digits change at once, the next codeword may have to show them first.
#[test]
fn an_address_is_right_whatever_rolls_over_as_it_is_plugged_in() {
    for (rate, count) in CODES {
        for (to_midnight, direction) in [(1, 1), (3, -1)] {
            let midnight = TimeAddress::new(count, 0, 0, 0, 0).unwrap();
            let source = Source {
                count,
                addresses: Addresses::From(midnight.plus_wrapping(Frames(-to_midnight))),
                ..Source::new(rate, hertz(48_000))
            };
            let take = source.take(4, Seed::judging(3)).unwrap();
            plug_in_anywhere(&take, (rate, count), direction, 2.02);
        }
    }
}

/// Hears a take that way from each sixteenth of its first codeword on, and an address within so many
/// codewords.
fn plug_in_anywhere(take: &Take, code: (Rate, Count), direction: i8, within: f64) {
    let mut samples = take.samples.clone();
    if direction < 0 {
        samples.reverse();
    }
    for sixteenths in 0..16 {
        let part = f64::from(sixteenths) / 16.0;
        let known_after = plug_in(take, &samples, code, direction, part);
        assert!(known_after < within, "{code:?} {part}: {known_after}");
    }
}

/// Hears a take, one way or the other, from that part of a codeword on. Gives how many codewords it
/// took until an address was known, less the quantum that goes by before it is asked for.
fn plug_in(
    take: &Take,
    samples: &[f32],
    (rate, count): (Rate, Count),
    direction: i8,
    part: f64,
) -> f64 {
    let codeword = rate.samples(Frames(1), take.sample_rate).as_f64();
    let cut = (codeword * part).round();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "small"
    )]
    let plugged_in = cut as usize;
    let mut ear = Ear::new(take.sample_rate);
    let mut heard = 0.0;
    let mut known_after = None;
    for block in samples[plugged_in..].chunks(QUANTUM) {
        ear.push(block);
        heard += block.len() as f64;
        let Some(now) = ear.now() else { continue };
        known_after.get_or_insert((heard - QUANTUM as f64) / codeword);
        assert_eq!(now.timebase.rate(), rate, "{rate} {count:?} {part}");
        assert_eq!(now.direction, direction);
        let place = (now.first_edge + cut) / codeword;
        assert!((place - place.round()).abs() < 1e-3, "{now:?}");
        // Drop-frame may be known by its flag only.
        assert_eq!(now.address.count(), count, "{rate} {count:?} {part}");
        let said = |sample| {
            last_ended(take, direction, cut + sample)?
                .address(count)
                .ok()
        };
        // Its last edge may be taken for granted a quarter of a cell early.
        let early = heard + codeword / 320.0;
        let truth = [said(early), said(heard - codeword / 2.0)];
        assert!(truth.contains(&Some(now.address)), "{now:?} {truth:?}");
    }
    known_after.unwrap()
}

/// The beginning of the next codeword bears the first one out, whatever rolls over between them; one
/// that does not follow bears nothing out.
#[test]
fn what_begins_bears_out_only_what_it_follows() {
    let said_half_way = |source: Source| {
        let take = source.take(2, Seed::judging(3)).unwrap();
        let half_way = f64::midpoint(take.words[1].begins, take.words[1].ends);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "small"
        )]
        let half_way = half_way as usize;
        let mut ear = Ear::new(hertz(48_000));
        ear.push(&take.samples[..half_way]);
        ear.now().map(|now| now.address)
    };
    for (rate, count) in CODES {
        let midnight = TimeAddress::new(count, 0, 0, 0, 0).unwrap();
        let last = midnight.plus_wrapping(Frames(-1));
        let source = Source {
            count,
            addresses: Addresses::From(last),
            ..Source::new(rate, hertz(48_000))
        };
        assert_eq!(said_half_way(source), Some(last), "{rate}");
    }
    let jumping = Source {
        addresses: Addresses::Jumping {
            every: 1,
            by: Frames(1003),
        },
        ..Source::new(Rate::F25, hertz(48_000))
    };
    assert_eq!(said_half_way(jumping), None);
}

/// Where the last codeword began is known to a fraction of a sample, and how the code runs.
#[test]
fn place_speed_and_direction_are_those_of_the_code() {
    let rate = hertz(48_000);
    let take = take(Rate::F25, Count::F25, rate, 100, Seed::judging(7));
    let mut ear = Ear::new(rate);
    ear.push(&take.samples);
    let now = ear.now().unwrap();
    let truth = take.words.last().unwrap();
    assert!((now.first_edge - truth.begins).abs() < 0.05, "{now:?}");
    assert!((now.samples_per_codeword - 1920.0).abs() < 1e-3, "{now:?}");
    assert_eq!((now.direction, now.tally.lost), (1, 0));
    assert_eq!(now.tally.read, 100);

    let backwards: Vec<f32> = take.samples.iter().rev().copied().collect();
    let mut ear = Ear::new(rate);
    ear.push(&backwards);
    let now = ear.now().unwrap();
    assert_eq!(now.direction, -1);
    assert_eq!(Ok(now.address), take.words[0].meant.address(Count::F25));
    assert!(
        take.words
            .iter()
            .all(|word| word.direction == Direction::Forward)
    );
}

/// The prompt reader begins anew now and then: what it counted stays counted, and it goes on.
#[test]
fn code_that_breaks_without_end_is_still_followed() {
    let rate = hertz(48_000);
    let source = Source {
        addresses: Addresses::Jumping {
            every: 10,
            by: Frames(1000),
        },
        ..Source::new(Rate::F25, rate)
    };
    let take = source.take(2_000, Seed::judging(1)).unwrap();
    let mut ear = Ear::new(rate);
    let mut before: Option<Now> = None;
    for block in take.samples.chunks(4_800) {
        ear.push(block);
        let now = ear.now().or(before).unwrap();
        assert!(before.is_none_or(|before| before.tally.read <= now.tally.read));
        before = Some(now);
    }
    let now = before.unwrap();
    assert!(now.tally.read >= 1_990, "{:?}", now.tally);
    assert_eq!(now.tally.lost, 0);
    let truth = take.words.last().unwrap().meant.address(Count::F25);
    assert_eq!(Ok(now.address), truth);
}

#[test]
fn listening_before_there_is_code_is_no_finding() {
    let rate = hertz(48_000);
    let take = take(Rate::F25, Count::F25, rate, 500, Seed::judging(2));
    let mut ear = Ear::new(rate);
    ear.push(&vec![0.0; 480_000]);
    assert_eq!(ear.now(), None);
    assert!(ear.reading(0).is_none());
    ear.push(&take.samples);
    let reading = ear.reading(0).unwrap();
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    assert_eq!(reading.channel, 0);
}
