//! Bytes to samples: every format's values, and that the cutting does not matter.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::*;
use plumbline_media::{Blocks, ByteOrder, Encoding, Header, SampleFormat, Samples};
use proptest::prelude::*;

/// A recording of `content` and its header.
fn recording(fmt: Vec<u8>, content: &[u8]) -> (Header, Vec<u8>) {
    let file = riff(&[fmt, chunk(b"data", content)]);
    (open(&file).unwrap(), file)
}

fn mono(tag: u16, bits: u16, content: &[u8]) -> Vec<f32> {
    let (header, file) = recording(fmt(tag, 1, 48_000, bits), content);
    samples(&header, &file, &[4096]).remove(0)
}

/// Bit for bit: `==` would take -0.0 for 0.0.
fn bits(samples: &[Vec<f32>]) -> Vec<Vec<u32>> {
    samples
        .iter()
        .map(|channel| channel.iter().map(|s| s.to_bits()).collect())
        .collect()
}

#[test]
fn full_scale_is_one_in_every_format() {
    assert_eq!(
        mono(1, 8, &[0, 64, 128, 255]),
        [-1.0, -0.5, 0.0, 127.0 / 128.0]
    );
    assert_eq!(
        mono(1, 16, &[0, 0x80, 0xFF, 0x7F, 1, 0, 0xFF, 0xFF]),
        [-1.0, 32_767.0 / 32_768.0, 1.0 / 32_768.0, -1.0 / 32_768.0]
    );
    assert_eq!(
        mono(
            1,
            24,
            &[0, 0, 0x80, 0xFF, 0xFF, 0x7F, 1, 0, 0, 0xFF, 0xFF, 0xFF]
        ),
        [
            -1.0,
            8_388_607.0 / 8_388_608.0,
            1.0 / 8_388_608.0,
            -1.0 / 8_388_608.0
        ]
    );
    assert_eq!(
        mono(1, 32, &[0, 0, 0, 0x80, 0, 0, 0, 0x40, 0, 1, 0, 0]),
        [-1.0, 0.5, 1.0 / 8_388_608.0]
    );
    let floats: Vec<u8> = [1.0_f32, -0.25, 1.5, 1e-30]
        .into_iter()
        .flat_map(f32::to_le_bytes)
        .collect();
    assert_eq!(mono(3, 32, &floats), [1.0, -0.25, 1.5, 1e-30]);
    let doubles: Vec<u8> = [1.0_f64, -0.25, 1.5]
        .into_iter()
        .flat_map(f64::to_le_bytes)
        .collect();
    assert_eq!(mono(3, 64, &doubles), [1.0, -0.25, 1.5]);
}

#[test]
fn fewer_valid_bits_stand_at_the_top() {
    let twenty = extended_fmt(1, 1, 48_000, 24, 20);
    let (header, file) = recording(twenty, &[0xF0, 0xFF, 0x7F, 0x10, 0, 0]);
    assert_eq!(
        samples(&header, &file, &[9]),
        [[524_287.0 / 524_288.0, 1.0 / 524_288.0]]
    );
    let in_four = extended_fmt(1, 1, 48_000, 32, 24);
    let (header, file) = recording(in_four, &[0, 0xFF, 0xFF, 0x7F, 0, 1, 0, 0]);
    assert_eq!(
        samples(&header, &file, &[9]),
        [[8_388_607.0 / 8_388_608.0, 1.0 / 8_388_608.0]]
    );
}

/// A second way to read 24 bits: as text in base 256, with the sign by comparison.
fn slow_s24(bytes: &[u8]) -> f32 {
    let unsigned = bytes
        .iter()
        .rev()
        .fold(0_i32, |all, &byte| all * 256 + i32::from(byte));
    let signed = if unsigned >= 1 << 23 {
        unsigned - (1 << 24)
    } else {
        unsigned
    };
    signed as f32 / 8_388_608.0
}

#[test]
fn the_fast_way_through_24_bits_is_the_slow_one() {
    // All 256 values of each byte in each place of a group of sixteen.
    let bytes: Vec<u8> = (0..48 * 256 * 3 + 21_u32)
        .map(|index| (index.wrapping_mul(2_654_435_761) >> 11).to_le_bytes()[0])
        .collect();
    let expected: Vec<f32> = bytes.chunks_exact(3).map(slow_s24).collect();
    assert_eq!(mono(1, 24, &bytes), expected);
    let (header, file) = recording(fmt(1, 3, 48_000, 24), &bytes);
    for (channel, found) in samples(&header, &file, &[1000]).into_iter().enumerate() {
        let expected: Vec<f32> = expected.iter().skip(channel).step_by(3).copied().collect();
        assert_eq!(found[..], expected[..found.len()]);
        assert_eq!(found.len() as u64, header.sample_frames);
    }
}

#[test]
fn floats_that_are_no_numbers_become_silence_and_are_counted() {
    let floats = [0.5, f32::NAN, 0.25, f32::INFINITY, f32::NEG_INFINITY, -0.5];
    let content: Vec<u8> = floats.into_iter().flat_map(f32::to_le_bytes).collect();
    let (header, _) = recording(fmt(3, 2, 48_000, 32), &content);
    for pieces in [1, 5, 8, 100] {
        let mut blocks = Blocks::new(header.format().unwrap(), header.channels());
        assert_eq!((blocks.non_finite(), blocks.first_non_finite()), (0, None));
        let found = pushed(&mut blocks, 2, &content, &[pieces]);
        assert_eq!(found, [[0.5, 0.25, 0.0], [0.0, 0.0, -0.5]]);
        assert_eq!(
            (blocks.non_finite(), blocks.first_non_finite()),
            (3, Some(0))
        );
    }
    // Only the channel that was chosen counts.
    let mut blocks =
        Blocks::of_channels(header.format().unwrap(), header.channels(), &[0]).unwrap();
    assert_eq!(pushed(&mut blocks, 1, &content, &[100]), [[0.5, 0.25, 0.0]]);
    assert_eq!(
        (blocks.non_finite(), blocks.first_non_finite()),
        (1, Some(2))
    );
}

#[test]
fn a_double_that_does_not_fit_is_no_number_either() {
    let content: Vec<u8> = [1e300_f64, -0.5]
        .into_iter()
        .flat_map(f64::to_le_bytes)
        .collect();
    assert_eq!(mono(3, 64, &content), [0.0, -0.5]);
}

#[test]
fn the_first_of_them_is_found_blocks_later() {
    let mut floats = vec![0.0_f32; 100_000];
    floats[77_777] = f32::NAN;
    floats[77_778] = f32::NAN;
    let content: Vec<u8> = floats.into_iter().flat_map(f32::to_le_bytes).collect();
    let (header, _) = recording(fmt(3, 1, 48_000, 32), &content);
    let mut blocks = Blocks::new(header.format().unwrap(), header.channels());
    pushed(&mut blocks, 1, &content, &[10_007]);
    assert_eq!(
        (blocks.non_finite(), blocks.first_non_finite()),
        (2, Some(77_777))
    );
}

#[test]
fn bytes_after_the_last_sample_are_ignored() {
    let (header, _) = recording(plain_fmt(), &[1, 0, 2, 0]);
    let mut samples = Samples::new(&header).unwrap();
    let mut found = Vec::new();
    for bytes in [1, 0, 2, 0, 3, 0, 4].chunks(3) {
        samples.push(bytes, &mut |_, planes| found.extend_from_slice(planes[0]));
    }
    assert_eq!(found.len(), 2);
}

/// The same values with their bytes turned round, and eight bits with a sign.
#[test]
fn the_order_of_the_bytes_is_the_formats() {
    let content: Vec<u8> = (0..24_000_u32)
        .map(|index| (index.wrapping_mul(40_503) >> 7).to_le_bytes()[0])
        .collect();
    for encoding in [
        Encoding::S16,
        Encoding::S24,
        Encoding::S32,
        Encoding::F32,
        Encoding::F64,
    ] {
        let little = SampleFormat::from(encoding);
        let size = usize::from(encoding.bytes());
        let turned: Vec<u8> = content
            .chunks_exact(size)
            .flat_map(|sample| sample.iter().rev().copied())
            .collect();
        for channels in [1, 3] {
            let read = |format, bytes: &[u8]| {
                pushed(
                    &mut Blocks::new(format, channels),
                    channels.into(),
                    bytes,
                    &[777],
                )
            };
            let expected = read(little, &content);
            assert_eq!(
                bits(&read(little.ordered(ByteOrder::Big), &turned)),
                bits(&expected)
            );
        }
    }
    let format = SampleFormat::from(Encoding::S8);
    let found = pushed(&mut Blocks::new(format, 1), 1, &[0x80, 0xC0, 0, 0x7F], &[4]);
    assert_eq!(found, [[-1.0, -0.5, 0.0, 127.0 / 128.0]]);
}

#[test]
fn chosen_channels_in_the_order_chosen() {
    let content: Vec<u8> = (0..=250).cycle().take(64 * 500).collect();
    for (channels, chosen) in [
        (1, vec![0]),
        (2, vec![1, 0]),
        (8, vec![7, 0, 4]),
        (64, vec![63]),
    ] {
        let (header, file) = recording(fmt(1, channels, 48_000, 16), &content);
        let all = samples(&header, &file, &[777]);
        let mut blocks =
            Blocks::of_channels(header.format().unwrap(), header.channels(), &chosen).unwrap();
        let found = pushed(&mut blocks, chosen.len(), &content, &[501]);
        assert_eq!(found.len(), chosen.len());
        for (found, &channel) in found.iter().zip(&chosen) {
            assert_eq!(found, &all[usize::from(channel)]);
        }
    }
}

#[test]
fn a_channel_that_is_not_there_or_chosen_twice() {
    let (header, _) = recording(fmt(1, 2, 48_000, 16), &[0; 8]);
    for (chosen, channel) in [(&[2][..], 2), (&[0, 1, 0], 0), (&[1, 65_535], 65_535)] {
        let error =
            Blocks::of_channels(header.format().unwrap(), header.channels(), chosen).unwrap_err();
        assert_eq!((error.channel, error.channels), (channel, 2));
    }
}

#[test]
fn no_cutting_changes_the_samples() {
    let content: Vec<u8> = (0..30_011_u32)
        .map(|index| (index.wrapping_mul(40_503) >> 7).to_le_bytes()[0])
        .collect();
    for (tag, sample_bits) in [(1, 8), (1, 16), (1, 24), (1, 32), (3, 32), (3, 64)] {
        for channels in [1, 2, 3, 8, 64] {
            let (header, file) = recording(fmt(tag, channels, 48_000, sample_bits), &content);
            let whole = samples(&header, &file, &[file.len()]);
            assert_eq!(whole[0].len() as u64, header.sample_frames);
            assert!(header.sample_frames > 50);
            for piece in [1, 2, 7, 511, 4096, 12_288] {
                let cut = samples(&header, &file, &[piece]);
                assert_eq!(
                    bits(&cut),
                    bits(&whole),
                    "{tag} {sample_bits} {channels} {piece}"
                );
            }
        }
    }
}

proptest! {
    #[test]
    fn no_random_cutting_changes_the_samples(
        content in prop::collection::vec(any::<u8>(), 512..20_000),
        pieces in prop::collection::vec(1_usize..700, 1..20),
        channels in 1_u16..9,
        format in prop::sample::select(vec![(1, 8), (1, 16), (1, 24), (1, 32), (3, 32), (3, 64)]),
    ) {
        let (tag, sample_bits) = format;
        let (header, file) = recording(fmt(tag, channels, 48_000, sample_bits), &content);
        let whole = samples(&header, &file, &[file.len()]);
        prop_assert_eq!(bits(&samples(&header, &file, &pieces)), bits(&whole));
        prop_assert!(whole.iter().flatten().all(|sample| sample.is_finite()));
    }
}
