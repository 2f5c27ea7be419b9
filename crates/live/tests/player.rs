//! What is played, read back by our own demodulator, and what becomes of sound that is missing.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

mod common;

use common::{at, order};
use plumbline_live::{Begun, Missed, Player};
use plumbline_ltc::{Demodulator, Received};
use plumbline_timecode::{CODES, Count, Frames, SampleRate, TimeAddress};
use plumbline_tone::{Begins, Heard, Order};
use proptest::prelude::*;

/// Code of 25 frames from midnight on, at 48 kHz.
fn midnight(heard: Heard) -> Order {
    order(CODES[2], TimeAddress::midnight(Count::F25), 48_000, heard)
}

/// Everything that a player plays from sample `from` on, cut as `cuts` say, and what it tells.
fn played(player: &mut Player, from: i64, cuts: &[usize]) -> (Vec<f32>, Vec<Begun>) {
    let (mut samples, mut begun) = (Vec::new(), Vec::new());
    for &cut in cuts {
        let mut block = vec![9.0; cut];
        let at = from + i64::try_from(samples.len()).unwrap();
        player.render(at, &mut block).unwrap();
        samples.extend(block);
        begun.extend(std::iter::from_fn(|| player.begun()));
    }
    (samples, begun)
}

fn started(order: &Order, from: i64) -> Player {
    let mut player = Player::new(order).unwrap();
    player.play(order, from).unwrap();
    player
}

fn read(samples: &[f32], hertz: u32) -> Vec<Received> {
    let mut demodulator = Demodulator::new(SampleRate::hertz(hertz).unwrap());
    let mut all = Vec::new();
    demodulator.push(samples, &mut |received| all.push(received));
    demodulator.finish(&mut |received| all.push(received));
    all
}

/// Every codeword, at its place on the output's own clock, across midnight.
#[test]
fn every_codeword_is_where_it_was_told_and_says_what_was_ordered() {
    for code in CODES {
        for hertz in [44_100, 48_000, 96_000] {
            let first = TimeAddress::midnight(code.1).plus_wrapping(Frames(-20));
            let order = order(code, first, hertz, Heard::Code);
            let cuts = vec![128; hertz as usize * 3 / 128];
            let (samples, begun) = played(&mut started(&order, 12_800), 12_800, &cuts);
            let peak = samples
                .iter()
                .fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
            assert!((peak - 1.0).abs() < 1e-4, "{code:?} at {hertz} Hz: {peak}");
            let received = read(&samples, hertz);
            assert!(
                received.len() > 65 && received.len() >= begun.len() - 2,
                "{code:?}"
            );
            for (number, (got, told)) in received.iter().zip(&begun).enumerate() {
                let number = i64::try_from(number).unwrap();
                assert_eq!(told.address, first.plus_wrapping(Frames(number)));
                assert_eq!(got.codeword.address(code.1), Ok(told.address));
                assert_eq!(got.codeword, order.codeword(number));
                let exactly = 12_864.0
                    + code
                        .0
                        .samples(Frames(number), order.output_rate().exact())
                        .as_f64();
                assert!((told.sample - exactly).abs() < 1e-6, "{code:?} {told:?}");
                let heard = got.begins.as_f64() + 12_800.0;
                assert!(
                    (heard - told.sample).abs() < 0.05,
                    "{code:?} {heard} {told:?}"
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn how_it_is_cut_never_matters(
        cuts in prop::collection::vec(0..3_000_usize, 1..20),
        code in 0..CODES.len(),
        first in -1_000_000..1_000_000_i64,
        beeps in any::<bool>(),
    ) {
        let code = CODES[code];
        let heard = if beeps { Heard::Beeps } else { Heard::Code };
        let order = order(code, TimeAddress::midnight(code.1), 44_100, heard);
        let order = at(order, Begins::Counted(first));
        let whole = cuts.iter().sum();
        let mut player = started(&order, 5_000);
        let mut same = started(&order, 5_000);
        prop_assert_eq!(player.flash(), same.flash());
        prop_assert_eq!(played(&mut player, 5_000, &cuts), played(&mut same, 5_000, &[whole]));
    }

    /// Whatever sample the first codeword is counted from, near or far, before or after.
    #[test]
    fn it_begins_at_once_with_the_codeword_whose_turn_it_is(
        first in any::<i64>(),
        near in any::<bool>(),
        next in 0..1_i64 << 53,
        code in 0..CODES.len(),
    ) {
        let code = CODES[code];
        let first = if near { next + first % 1_000_000 } else { first };
        let order = order(code, TimeAddress::midnight(code.1), 48_000, Heard::Code);
        let order = at(order, Begins::Counted(first));
        let mut player = started(&order, next);
        let (_, begun) = played(&mut player, next, &[64 + 2_002]);
        let waited = begun[0].sample - next as f64;
        prop_assert!((63.0..=64.0 + 2_002.0).contains(&waited), "{}", waited);
        // Counted back from there, midnight is at the sample that was ordered.
        if near {
            let number = i64::from(begun[0].address.frame_number().0);
            let day = i64::from(code.1.frames_per_day());
            let number = if number > day / 2 { number - day } else { number };
            let length = code.0.samples(Frames(1), order.output_rate().exact()).as_f64();
            let midnight = begun[0].sample - number as f64 * length;
            prop_assert!((midnight - first as f64).abs() < 1e-3, "{} {}", midnight, first);
        }
    }
}

#[test]
fn sound_that_is_missing_ends_the_code() {
    let order = midnight(Heard::Code);
    for asked in [127, 129, 256, 0] {
        let mut player = started(&order, 0);
        let mut block = [9.0; 128];
        assert_eq!(player.render(0, &mut block), Ok(()));
        let missed = Missed { asked, next: 128 };
        assert_eq!(player.render(asked, &mut block), Err(missed));
        assert!(block.iter().all(|sample| sample.to_bits() == 0));
        assert_eq!(player.begun().map(|begun| begun.address), None);
        let mut later = vec![9.0; 4_800];
        assert_eq!(player.render(1_000, &mut later), Ok(()));
        assert!(later.iter().all(|sample| sample.to_bits() == 0));
    }
}

#[test]
fn another_order_takes_over_at_once() {
    let ten = TimeAddress::new(Count::F25, 10, 0, 0, 0).unwrap();
    let first = midnight(Heard::Code);
    let second = at(
        order(CODES[2], ten, 48_000, Heard::Code),
        Begins::Counted(60_000),
    );
    let mut player = started(&first, 0);
    played(&mut player, 0, &[50_000]);
    player.play(&second, 50_000).unwrap();
    let (samples, begun) = played(&mut player, 50_000, &[48_000]);
    // 60,000 less five codewords of 1,920 samples: the first after 50,064.
    assert!((begun[0].sample - 50_400.0).abs() < 1e-6);
    assert_eq!(begun[0].address, ten.plus_wrapping(Frames(-5)));
    let received = read(&samples, 48_000);
    assert_eq!(
        received[0].codeword.address(Count::F25),
        Ok(begun[0].address)
    );
}

/// A flash is told at least a tenth of a second before it comes; the beep lasts for its codeword
/// and has a thousand cycles a second: forty in a frame of 25.
#[test]
fn a_flash_comes_with_a_codeword_and_a_beep_of_its_length() {
    let order = midnight(Heard::Beeps);
    let mut player = Player::new(&order).unwrap();
    assert_eq!(player.flash(), None);
    player.play(&order, 0).unwrap();
    played(&mut player, 0, &[10_000]);
    let flash = player.flash().unwrap();
    assert_eq!(player.flash(), Some(flash));
    assert!(flash.sample - 10_000.0 > 4_800.0, "{flash:?}");
    let (samples, begun) = played(&mut player, 10_000, &[20_000]);
    assert!(begun.contains(&flash));
    let heard: Vec<usize> = (0..samples.len()).filter(|&n| samples[n] != 0.0).collect();
    let first = heard[0] as f64 + 10_000.0;
    assert!((first - flash.sample).abs() <= 2.0, "{first} {flash:?}");
    assert!((1_915..=1_920).contains(&(heard[heard.len() - 1] - heard[0])));
    let risings = samples
        .windows(2)
        .filter(|pair| pair[0] <= 0.0 && pair[1] > 0.0)
        .count();
    assert_eq!(risings, 40);
    assert!(samples.iter().any(|&sample| sample > 0.99));
    // Once it has come, another may be asked for.
    assert_ne!(player.flash(), Some(flash));
}
