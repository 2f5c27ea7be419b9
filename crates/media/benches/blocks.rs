//! How fast bytes become samples; each figure is given only after its answer was checked.
//!
//! `cargo bench -p plumbline-media`

#![expect(
    clippy::expect_used,
    reason = "a bench may stop at what it did not foresee"
)]

use std::hint::black_box;
use std::io::Cursor;
use std::time::Instant;

use plumbline_media::write::{Recording, Writer};
use plumbline_media::{Blocks, Encoding, Header, open};

/// What is pushed at a time: what the page reads at a time.
const PIECE: usize = 1024 * 1024;
const SAMPLES: usize = 24_000_000;
const ROUNDS: usize = 5;

fn main() {
    for (name, encoding, channels) in [
        ("16 bits, mono", Encoding::S16, 1),
        ("24 bits, mono", Encoding::S24, 1),
        ("24 bits, stereo", Encoding::S24, 2),
        ("24 bits, 8 channels", Encoding::S24, 8),
        ("32 bits, mono", Encoding::S32, 1),
        ("float 32, mono", Encoding::F32, 1),
        ("float 32, 8 channels", Encoding::F32, 8),
    ] {
        let (header, bytes) = recording(encoding, channels);
        let expected = first_and_last(channels);
        let all: Vec<_> = (0..channels).collect();
        report(name, &header, &bytes, &all, expected);
        if channels > 2 {
            report("    of which one", &header, &bytes, &[0], expected);
        }
    }
    copy();
}

/// Sample `index` of all channels together: anything that is exact in 16 bits.
fn sample(index: usize) -> f32 {
    let step = u16::try_from(index * 7919 % 65_536).expect("below 65,536");
    (f32::from(step) - 32_768.0) / 32_768.0
}

/// The first and last sample of the first channel.
fn first_and_last(channels: u16) -> (f32, f32) {
    (sample(0), sample(SAMPLES - usize::from(channels)))
}

fn recording(encoding: Encoding, channels: u16) -> (Header, Vec<u8>) {
    let frames = SAMPLES / usize::from(channels);
    let plan = Recording::new(48_000, channels, encoding, frames as u64);
    let mut writer = Writer::new(Vec::new(), &plan).expect("a plain recording");
    let all: Vec<f32> = (0..SAMPLES).map(sample).collect();
    for frames in all.chunks(usize::from(channels) * 4096) {
        let planar: Vec<Vec<f32>> = (0..usize::from(channels))
            .map(|first| {
                frames
                    .iter()
                    .skip(first)
                    .step_by(channels.into())
                    .copied()
                    .collect()
            })
            .collect();
        let slices: Vec<&[f32]> = planar.iter().map(Vec::as_slice).collect();
        writer.push(&slices).expect("a vector takes everything");
    }
    let file = writer.finish().expect("as many as promised");
    let header = open(&mut Cursor::new(&file)).expect("our own recording");
    let start = usize::try_from(header.data().start).expect("a small header");
    (header, file[start..].to_vec())
}

fn report(name: &str, header: &Header, bytes: &[u8], chosen: &[u16], expected: (f32, f32)) {
    let mut best = f64::INFINITY;
    for _ in 0..ROUNDS {
        let began = Instant::now();
        let format = header.format().expect("a WAV");
        let mut blocks = Blocks::of_channels(format, header.channels(), chosen)
            .expect("channels that are there");
        let mut ends = (None, f32::NAN);
        for piece in bytes.chunks(PIECE) {
            blocks.push(piece, &mut |channels| {
                let first = black_box(channels)[0];
                ends = (ends.0.or(first.first().copied()), first[first.len() - 1]);
            });
        }
        best = best.min(began.elapsed().as_secs_f64());
        assert_eq!((ends.0, ends.1), (Some(expected.0), expected.1), "{name}");
        assert_eq!(blocks.sample_frames(), header.sample_frames, "{name}");
    }
    println!(
        "{name:24} {:6.3} ns a sample of the file, {:6.2} GB/s",
        best * 1e9 / SAMPLES as f64,
        bytes.len() as f64 / best / 1e9
    );
}

/// What only reading so many bytes costs, for comparison.
fn copy() {
    let bytes = vec![1_u8; SAMPLES * 3];
    let mut window = vec![0_u8; PIECE];
    let mut best = f64::INFINITY;
    for _ in 0..ROUNDS {
        let began = Instant::now();
        for piece in bytes.chunks(PIECE) {
            window[..piece.len()].copy_from_slice(black_box(piece));
            black_box(&window);
        }
        best = best.min(began.elapsed().as_secs_f64());
    }
    println!(
        "{:24} {:35.2} GB/s",
        "copying bytes",
        bytes.len() as f64 / best / 1e9
    );
}
