//! Any samples, cut anywhere: no panic, and the same codewords as whole.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plumbline_ltc::{Demodulator, Received};
use plumbline_timecode::SampleRate;

fn demodulate(samples: &[f32], block: usize) -> Vec<Received> {
    let rate = SampleRate::hertz(8_000).expect("a rate");
    let (mut demodulator, mut all) = (Demodulator::new(rate), Vec::new());
    for piece in samples.chunks(block) {
        demodulator.push(piece, &mut |received| all.push(received));
    }
    demodulator.finish(&mut |received| all.push(received));
    all
}

// The first byte says how the rest is cut, the second how it is read: as floating point of any
// bits, or as levels that stand for some samples each, which soon looks like code.
fuzz_target!(|data: &[u8]| {
    let [block, kind, rest @ ..] = data else {
        return;
    };
    let samples: Vec<f32> = if kind % 2 == 0 {
        rest.chunks_exact(4)
            .map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]]))
            .collect()
    } else {
        rest.iter()
            .flat_map(|&b| {
                std::iter::repeat_n(if b & 1 == 0 { -0.5 } else { 0.5 }, 1 + usize::from(b >> 5))
            })
            .collect()
    };
    assert_eq!(
        demodulate(&samples, 1 + usize::from(*block)),
        demodulate(&samples, usize::MAX)
    );
});
