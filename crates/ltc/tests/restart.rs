//! A modulator that is started again.

mod common;

use common::{counting, fraction, hertz, some_address, tone};
use plumbline_ltc::{Codeword, Modulator, Polarity, Tone};
use plumbline_timecode::{Count, Rate, Samples};

#[test]
fn a_modulator_that_starts_again_gives_what_a_new_one_gives() {
    let words = counting(some_address(Count::F30Drop), 0x1234_5678, 4);
    let all = |modulator: &mut Modulator| {
        let mut samples = Vec::new();
        for &word in &words {
            modulator.push(word, &mut |block| samples.extend_from_slice(block));
        }
        samples
    };
    let begins = Samples(fraction(137, 5));
    let inverted = Tone {
        polarity: Polarity::Inverted,
        ..tone(Rate::F29_97, hertz(48_000), 3, 1)
    };
    let mut again = Modulator::new(inverted).unwrap();
    // An odd number of edges, so that the next one would go the other way.
    again.push(Codeword([1, 0, 0, 0, 0, 0, 0, 0, 0, 0]), &mut |_| ());
    again.restart(begins).unwrap();
    let fresh = all(&mut Modulator::new(Tone { begins, ..inverted }).unwrap());
    let again = all(&mut again);
    assert_eq!(again.len(), fresh.len());
    assert!(fresh.len() > 6_000);
    // The peak is found by trying, each time from where code begins, so levels differ by a hair.
    let apart = (again.iter().zip(&fresh)).map(|(a, b)| (a - b).abs());
    assert!(apart.fold(0.0, f32::max) < 1e-5);
}
