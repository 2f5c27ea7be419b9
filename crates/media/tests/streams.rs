//! Files in which packets must be looked for, on FLAC made bit by bit (RFC 9639).

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::*;
use plumbline_media::{Codec, Coding, Container};
use proptest::prelude::*;

/// Sample frames in each of the file's frames.
const BLOCK: u16 = 192;

/// A cyclic redundancy check, most significant bit first (RFC 9639, 9.1.8 and 9.3).
fn crc(bits: u32, polynomial: u32, bytes: &[u8]) -> u32 {
    let top = 1 << (bits - 1);
    bytes.iter().fold(0, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte) << (bits - 8), |crc, _| {
            let next = crc << 1;
            let next = if crc & top == 0 {
                next
            } else {
                next ^ polynomial
            };
            next & (top | (top - 1))
        })
    })
}

/// Stereo, 48 kHz, 16 bits; subframes hold their samples as they are. The second channel is 1,000
/// above the first, which counts.
fn flac(blocks: u8) -> Vec<u8> {
    let total = u32::from(blocks) * u32::from(BLOCK);
    let mut file = b"fLaC\x80\0\0\x22".to_vec();
    file.extend([BLOCK, BLOCK].map(u16::to_be_bytes).concat());
    file.extend([0; 6]);
    // 20 bits of rate, 3 of channels less 1, 5 of bits less 1, 36 of length.
    let shape = 48_000_u64 << 44 | 1 << 41 | 15 << 36 | u64::from(total);
    file.extend(shape.to_be_bytes());
    file.extend([0; 16]);
    for number in 0..blocks {
        // The length of the block in 16 bits, 48 kHz, two channels, 16 bits, the frame's number.
        let mut frame = vec![0xFF, 0xF8, 0x7A, 0x18, number];
        frame.extend((BLOCK - 1).to_be_bytes());
        frame.push(u8::try_from(crc(8, 0x07, &frame)).unwrap());
        for above in [0, 1000] {
            frame.push(0b0000_0010);
            let first = u16::from(number) * BLOCK + above;
            frame.extend((first..first + BLOCK).flat_map(u16::to_be_bytes));
        }
        let check = u16::try_from(crc(16, 0x8005, &frame)).unwrap();
        frame.extend(check.to_be_bytes());
        file.extend(frame);
    }
    file
}

#[test]
fn every_sample_comes_however_the_bytes_are_cut() {
    let file = flac(100);
    let header = open(&file).unwrap();
    assert_eq!(
        (header.container, header.sample_rate),
        (Container::Flac, 48_000)
    );
    assert_eq!((header.channels(), header.sample_frames), (2, 19_200));
    assert_eq!(header.tracks[0].coding, Coding::Stream(Codec::Flac));
    assert_eq!(header.tracks[0].bits, Some(16));
    let ramp = |from: u16| {
        (from..from + 19_200)
            .map(|v| f32::from(v) / 32_768.0)
            .collect()
    };
    let expected: [Vec<f32>; 2] = [ramp(0), ramp(1000)];
    for pieces in [7, 4096, file.len()] {
        assert_eq!(samples(&header, &file, &[pieces]), expected);
    }
}

#[test]
fn a_file_that_ends_early_gives_what_is_there() {
    let file = flac(100);
    let half = &file[..file.len() / 2];
    let header = open(half).unwrap();
    let found = samples(&header, half, &[4096]);
    assert!(
        (9_000..9_600).contains(&found[0].len()),
        "{}",
        found[0].len()
    );
    assert_eq!(found[1][8000..8001], [9000.0 / 32_768.0]);
}

#[test]
fn a_part_is_read_at_its_place() {
    let file = flac(20);
    let header = open(&file).unwrap();
    let part = header.part(1, 500..510).unwrap();
    let found = samples(&part.header, &file, &[512]);
    let place = usize::try_from(500 - part.begins).unwrap();
    let sample = &found[usize::from(part.channel)][place..=place];
    assert_eq!(sample, [1500.0 / 32_768.0]);
    assert!(header.part(2, 0..10).is_none());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn any_change_or_cut_gives_an_answer(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        keep in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let file = changed(flac(5), &changes, keep);
        match open(&file) {
            Err(error) => prop_assert!(!error.to_string().is_empty() && !error.remedy().is_empty()),
            Ok(header) => {
                let found = samples(&header, &file, &[333]);
                prop_assert_eq!(found.len(), usize::from(header.channels()));
            }
        }
    }
}
