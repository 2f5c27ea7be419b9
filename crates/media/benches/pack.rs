//! How fast samples become the bytes of a recording; each figure is given only after the bytes
//! were checked.
//!
//! `cargo bench -p plumbline-media --bench pack`

#![expect(
    clippy::expect_used,
    reason = "a bench may stop at what it did not foresee"
)]

use std::hint::black_box;
use std::io::{self, Write};
use std::time::Instant;

use plumbline_media::Encoding;
use plumbline_media::write::{Recording, Writer};

/// What is pushed at a time: about as much as a modulator hands out.
const BLOCK: usize = 1_920;
/// An hour of mono at 48 kHz.
const SAMPLES: usize = 48_000 * 3_600;
const ROUNDS: usize = 5;

fn main() {
    for (name, encoding, channels) in [
        ("16 bits, mono", Encoding::S16, 1),
        ("24 bits, mono", Encoding::S24, 1),
        ("float 32, mono", Encoding::F32, 1),
        ("24 bits, stereo", Encoding::S24, 2),
        ("float 32, stereo", Encoding::F32, 2),
        ("24 bits, 8 channels", Encoding::S24, 8),
    ] {
        report(name, encoding, channels);
    }
}

fn report(name: &str, encoding: Encoding, channels: usize) {
    let channel: Vec<f32> = (0..BLOCK).map(sample).collect();
    let block = vec![channel.as_slice(); channels];
    let blocks = SAMPLES / BLOCK / channels;
    let plan = Recording::new(
        48_000,
        channels.try_into().expect("a few channels"),
        encoding,
        (blocks * BLOCK) as u64,
    );
    let header = plan.header().expect("a plain recording").len();
    let right = header + blocks * BLOCK * channels * usize::from(encoding.bytes());
    let mut best = f64::INFINITY;
    for _ in 0..ROUNDS {
        let mut writer = Writer::new(Sink::default(), &plan).expect("a plain recording");
        let began = Instant::now();
        for _ in 0..blocks {
            writer
                .push(black_box(&block))
                .expect("a sink takes everything");
        }
        best = best.min(began.elapsed().as_secs_f64());
        let sink = writer.finish().expect("as many as promised");
        assert_eq!(sink.bytes, right, "{name}");
        let last = sample(BLOCK - 1);
        assert_eq!(value(encoding, &sink.last), Some(last), "{name}");
    }
    println!(
        "{name:24} {:6.3} ns a sample, {:6.2} GB/s, an hour of mono in {best:.3} s",
        best * 1e9 / SAMPLES as f64,
        right as f64 / best / 1e9
    );
}

/// Sample `index`: anything that is exact in 16 bits.
fn sample(index: usize) -> f32 {
    let step = u16::try_from(index * 7919 % 65_536).expect("below 65,536");
    (f32::from(step) - 32_768.0) / 32_768.0
}

/// The last sample in some bytes.
fn value(encoding: Encoding, bytes: &[u8]) -> Option<f32> {
    let whole = |bytes: &[u8; 4]| i32::from_le_bytes(*bytes) as f32 / 2_147_483_648.0;
    Some(match (encoding, bytes.last_chunk::<4>()?) {
        (Encoding::S16, &[.., a, b]) => whole(&[0, 0, a, b]),
        (Encoding::S24, &[_, a, b, c]) => whole(&[0, a, b, c]),
        (_, &bytes) => f32::from_le_bytes(bytes),
    })
}

/// Counts what comes and keeps the end of it.
#[derive(Default)]
struct Sink {
    bytes: usize,
    last: Vec<u8>,
}

impl Write for Sink {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.bytes += bytes.len();
        self.last.clear();
        let tail = bytes.len().saturating_sub(8);
        self.last.extend(bytes.get(tail..).unwrap_or_default());
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
