//! Code that edges do not show is read, and nothing else is.

#![expect(clippy::panic, reason = "what fails is the test")]

mod common;

use std::f32::consts::TAU;

use common::{Random, Take, counting, dbfs, hertz, some_address, take, tone};
use plumbline_ltc::{Direction, Evidence, Received, Receiver, Tone};
use plumbline_timecode::{Count, Rate, TimeAddress};

const RATE: f32 = 48_000.0;

fn receive(samples: &[f32], size: usize) -> Vec<Received> {
    let all = evidence(samples, size);
    all.iter().filter_map(Evidence::each).copied().collect()
}

fn evidence(samples: &[f32], size: usize) -> Vec<Evidence> {
    let mut receiver = Receiver::new(hertz(48_000));
    let mut all = Vec::new();
    for block in samples.chunks(size) {
        receiver.push(block, &mut |evidence| all.push(evidence));
    }
    receiver.finish(&mut |evidence| all.push(evidence));
    all
}

/// Code whose half cells have the level 0.1: its mean square is a little less than 0.01.
fn code(rate: Rate, count: Count, codewords: u16) -> Take {
    let usual = Tone {
        level: dbfs(-20.0),
        ..tone(rate, hertz(48_000), 700, 5)
    };
    take(
        usual,
        &counting(some_address(count), 0x2511_2601, codewords),
    )
}

/// Noise so many decibels below code of that level; above, if it is negative.
fn noise(take: Take, decibels: f32, seed: u64) -> Take {
    take.with_noise(0.1 * 10_f32.powf(-decibels / 20.0), &mut Random::new(seed))
}

/// How many codewords were read right. There may be none that says another address, and none
/// that is more than five samples from its place: half a half cell.
fn right(take: &Take, received: &[Received]) -> usize {
    let trusted = received.iter().filter(|word| word.quality.is_trusted());
    trusted
        .map(|word| {
            let begins = word.begins.as_f64();
            let truth = take
                .words
                .iter()
                .find(|truth| (truth.begins - begins).abs() < 5.0);
            let truth = truth.unwrap_or_else(|| panic!("no codeword at {begins}"));
            assert_eq!(word.codeword.digits(), truth.codeword.digits(), "{begins}");
            assert_eq!(word.direction, truth.direction);
        })
        .count()
}

/// Where many codewords are lost, those that are read run the way that they were sent: backwards,
/// the synchronizing word looks nearly as good.
#[test]
fn in_much_noise_code_is_not_taken_for_code_that_runs_the_other_way() {
    let take = noise(code(Rate::F25, Count::F25, 250), -4.0, 112);
    for take in [take.clone(), take.reversed()] {
        let read = right(&take, &receive(&take.samples, 4096));
        assert!(read >= 200, "{read} of 250");
    }
}

/// Half a minute without code, and then only one block of two seconds in eight is weighed until it
/// is found: 16 s may go by, and the block before.
#[test]
fn code_that_begins_late_in_noise_is_found_within_eighteen_seconds() {
    let mut take = code(Rate::F25, Count::F25, 1000);
    let silence = 46 * 48_000_u32;
    take.samples.splice(..0, (0..silence).map(|_| 0.0));
    for word in &mut take.words {
        word.begins += f64::from(silence);
    }
    let take = noise(take, 0.0, 113);
    let read = right(&take, &receive(&take.samples, 4096));
    assert!(read >= 1000 - 18 * 25, "{read} of 1000");
}

/// At -2 dB the algebra of single codewords loses 0.16 % (25 a second) and 0.6 % (29.97); the
/// receiver may lose 0.3 dB on that: 1.5 and 3 %.
#[test]
fn codewords_are_read_in_noise_that_is_louder_than_they_are() {
    for (rate, count, lost) in [
        (Rate::F25, Count::F25, 0.015),
        (Rate::F29_97, Count::F30Drop, 0.03),
    ] {
        let take = noise(code(rate, count, 400), -2.0, 101);
        let read = right(&take, &receive(&take.samples, 4096)) as f64;
        assert!(read >= 400.0 * (1.0 - lost), "{rate:?}: {read} of 400");
    }
}

#[test]
fn backwards_they_are_read_as_well() {
    let take = noise(code(Rate::F25, Count::F25, 300), -1.0, 102).reversed();
    assert_eq!(take.words[0].direction, Direction::Reverse);
    let read = right(&take, &receive(&take.samples, 4096));
    assert!(read >= 294, "{read} of 300");
}

/// How the input is cut never matters: code in noise, then without, then in noise again.
#[test]
fn how_the_input_is_cut_never_matters() {
    let noisy = |seed| noise(code(Rate::F25, Count::F25, 110), 0.0, seed);
    let take = noisy(103)
        .then(&code(Rate::F25, Count::F25, 150))
        .then(&noisy(104));
    let whole = receive(&take.samples, usize::MAX);
    assert!(whole.len() > 320, "{} codewords", whole.len());
    for size in [1, 127, 4096, 100_000] {
        assert_eq!(receive(&take.samples, size), whole, "blocks of {size}");
    }
}

#[test]
fn level_polarity_and_offset_do_not_matter() {
    let take = noise(code(Rate::F25, Count::F25, 200), 0.0, 105);
    let words = |take: &Take| right(take, &receive(&take.samples, 4096));
    let plain = words(&take);
    assert!(plain >= 198, "{plain} of 200");
    for changed in [
        take.clone().map(|x| -x),
        take.clone().map(|x| 0.001 * x),
        take.clone().map(|x| x + 0.3),
    ] {
        let read = words(&changed);
        assert!(
            plain.abs_diff(read) <= 1,
            "{read}, and {plain} without change"
        );
    }
}

#[test]
fn hum_and_clicks_do_not_hide_code() {
    let clean = code(Rate::F29_97, Count::F30, 300);
    // 30 dB louder than the code, with harmonics.
    let hummed = |mut take: Take| {
        for (n, sample) in (0..48_000).cycle().zip(&mut take.samples) {
            *sample += hum_at(n);
        }
        take
    };
    let mut clicks = noise(clean.clone(), 30.0, 106);
    let mut random = Random::new(107);
    for sample in &mut clicks.samples {
        if random.below(48) == 0 {
            *sample = if random.below(2) == 0 { 0.4 } else { -0.4 };
        }
    }
    let other = hummed(noise(code(Rate::F23_976, Count::F24, 300), 30.0, 111));
    for take in [hummed(clean.clone()), other, clicks] {
        let read = right(&take, &receive(&take.samples, 4096));
        assert!(read >= 297, "{read} of 300");
    }
}

fn hum_at(n: u16) -> f32 {
    let turn = TAU * 60.0 * f32::from(n) / RATE;
    let harmonics = [1.0_f32, 2.0, 3.0, 5.0];
    3.2 * harmonics.map(|k| (k * turn).sin() / k).iter().sum::<f32>()
}

/// Bits that are flipped in every codeword leave no address that can be believed; a synchronizing
/// word that is never right is none.
#[test]
fn codewords_that_were_spoilt_one_by_one_are_not_read() {
    let mut random = Random::new(108);
    let spoil = |bit: &mut dyn FnMut() -> u8| {
        let mut words = counting(some_address(Count::F25), 0, 250);
        for word in &mut words {
            let bit = bit();
            word.0[usize::from(bit / 8)] ^= 1 << (bit % 8);
        }
        take(tone(Rate::F25, hertz(48_000), 0, 0), &words)
    };
    let address = |n: u32| [0, 1, 2, 3, 16, 17, 18, 19, 24, 25, 32, 33, 34, 40, 48, 49][n as usize];
    let flipped = spoil(&mut || address(random.below(16)));
    let sync = [64, 66, 77, 78, 79].map(|bit| spoil(&mut || bit));
    let sync = sync
        .iter()
        .flat_map(|take| [("sync", take, 3.0), ("sync", take, 30.0)]);
    for (name, take, decibels) in
        sync.chain([-1.0, 3.0, 6.0].map(|decibels| ("flipped", &flipped, decibels)))
    {
        let noisy = noise(take.clone(), decibels, 109);
        let truth = counting(some_address(Count::F25), 0, 250);
        let wrong = receive(&noisy.samples, 4096).into_iter().filter(|word| {
            let weighed = matches!(word.quality, plumbline_ltc::Quality::Weighed { .. });
            let begins = (word.begins.as_f64() / 1920.0).round();
            let right = truth.iter().zip(0_u32..).any(|(truth, n)| {
                (f64::from(n) - begins).abs() < 0.5 && truth.digits() == word.codeword.digits()
            });
            weighed && !right
        });
        assert_eq!(wrong.count(), 0, "{name} at {decibels} dB");
    }
}

#[test]
fn sound_without_code_gives_nothing() {
    let mut random = Random::new(110);
    let length = 10 * 48_000_u32;
    let mut biphase_level = 1.0;
    let mut one = false;
    let biphase: Vec<f32> = (0..length)
        .map(|n| {
            if n % 24 == 0 {
                one = random.below(2) == 0;
            }
            if n % 24 == 0 || n % 24 == 12 && one {
                biphase_level = -biphase_level;
            }
            0.1 * biphase_level + 0.1 * random.normal()
        })
        .collect();
    let square = |hertz: u32, random: &mut Random| -> Vec<f32> {
        let level = |n: u32| {
            if n * hertz % 48_000 < 24_000 {
                0.1
            } else {
                -0.1
            }
        };
        (0..length)
            .map(|n| level(n) + 0.001 * random.normal())
            .collect()
    };
    let white: Vec<f32> = (0..length).map(|_| random.normal()).collect();
    let sounds = [
        ("white", white),
        ("biphase", biphase),
        ("square 1000", square(1000, &mut random)),
        ("square 1800", square(1800, &mut random)),
        ("square 2000", square(2000, &mut random)),
    ];
    for (name, sound) in sounds {
        let received = receive(&sound, 4096);
        let trusted = received.iter().filter(|word| word.quality.is_trusted());
        assert_eq!(trusted.count(), 0, "{name}");
    }
}

/// Where little else is noise, whitening leaves some half cells of the synchronizing word next to
/// nothing: they were sent right all the same.
#[test]
fn clicks_over_code_without_noise_do_not_hide_it() {
    let addresses = (0..4_u8)
        .map(|n| TimeAddress::new(Count::F25, 3 + 5 * n, 7 + 12 * n, 11 * n, 2 * n).unwrap());
    for (address, seed) in addresses.zip(120..) {
        let words = counting(address, 0, 250);
        let mut take = noise(
            take(tone(Rate::F25, hertz(48_000), 0, 0), &words),
            30.0,
            seed,
        );
        let mut random = Random::new(seed);
        for sample in &mut take.samples {
            if random.below(240) == 0 {
                *sample += if random.below(2) == 0 { 2.0 } else { -2.0 };
            }
        }
        let read = right(&take, &receive(&take.samples, 4096));
        assert!(read >= 245, "{address}: {read} of 250");
    }
}
