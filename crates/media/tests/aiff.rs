//! AIFF and AIFF-C made chunk by chunk.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::*;
use plumbline_media::Container;
use proptest::prelude::*;

/// 48,000 as an 80-bit extended number (IEEE 754).
const HERTZ: [u8; 10] = [0x40, 0x0E, 0xBB, 0x80, 0, 0, 0, 0, 0, 0];

/// A chunk: letters, length, content, and a byte where that is odd.
fn chunk_of(id: [u8; 4], content: &[u8]) -> Vec<u8> {
    let len = u32::try_from(content.len()).unwrap().to_be_bytes();
    let pad = vec![0; content.len() % 2];
    [&id[..], &len, content, &pad].concat()
}

fn aiff(kind: Option<&[u8; 4]>, channels: u16, bits: u16, sound: &[u8]) -> Vec<u8> {
    let frame = usize::from(channels * bits.div_ceil(8));
    let frames = u32::try_from(sound.len() / frame).unwrap();
    let mut comm = channels.to_be_bytes().to_vec();
    comm.extend(frames.to_be_bytes());
    comm.extend(bits.to_be_bytes());
    comm.extend(HERTZ);
    comm.extend(kind.into_iter().flatten());
    let form = if kind.is_some() { b"AIFC" } else { b"AIFF" };
    let sound = [&[0; 8], sound].concat();
    let chunks = [
        &form[..],
        &chunk_of(*b"NAME", b"Ferry"),
        &chunk_of(*b"COMM", &comm),
        &chunk_of(*b"SSND", &sound),
    ];
    chunk_of(*b"FORM", &chunks.concat())
}

#[test]
fn every_kind_has_its_bytes_in_its_order() {
    for (kind, bits, bytes) in [
        (None, 8, vec![0x40]),
        (None, 16, vec![0x40, 0]),
        (None, 24, vec![0x40, 0, 0]),
        (None, 20, vec![0x40, 0, 0]),
        (None, 32, vec![0x40, 0, 0, 0]),
        (Some(b"NONE"), 16, vec![0x40, 0]),
        (Some(b"sowt"), 16, vec![0, 0x40]),
        (Some(b"sowt"), 24, vec![0, 0, 0x40]),
        (Some(b"raw "), 8, vec![0xC0]),
        (Some(b"fl32"), 32, 0.5_f32.to_be_bytes().to_vec()),
        (Some(b"FL64"), 64, 0.5_f64.to_be_bytes().to_vec()),
    ] {
        let file = aiff(kind, 1, bits, &bytes.repeat(3));
        let header = open(&file).unwrap();
        assert_eq!(
            (header.container, header.sample_rate),
            (Container::Aiff, 48_000)
        );
        assert_eq!(header.tracks[0].bits, Some(bits));
        assert_eq!(samples(&header, &file, &[5]), [[0.5; 3]], "{kind:?} {bits}");
        assert_eq!(header.problems, []);
    }
}

#[test]
fn what_is_compressed_or_cut_or_missing_says_so() {
    let error = |file: &[u8]| {
        let error = open(file).unwrap_err();
        (error.kind(), error.to_string())
    };
    let (kind, text) = error(&aiff(Some(b"ima4"), 2, 16, &[0; 8]));
    assert_eq!(
        (kind, &text[..]),
        (
            "unsupported",
            "the sound is IMA ADPCM, which is not decoded here"
        )
    );
    let whole = aiff(None, 2, 16, &[1; 40]);
    assert_eq!(error(&whole[..20]).0, "malformed");
    assert_eq!(error(&whole[..whole.len() - 40]).0, "empty");
    let cut = &whole[..whole.len() - 5];
    let header = open(cut).unwrap();
    assert_eq!(
        (header.sample_frames, header.problems[0].kind()),
        (8, "truncated")
    );
    assert_eq!(samples(&header, cut, &[64])[1].len(), 8);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_change_or_cut_gives_an_answer(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        keep in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let file = changed(aiff(Some(b"sowt"), 2, 24, &[7; 120]), &changes, keep);
        match open(&file) {
            Err(error) => prop_assert!(!error.to_string().is_empty() && !error.remedy().is_empty()),
            Ok(header) => {
                prop_assert!(header.data().end <= file.len() as u64);
                let found = samples(&header, &file, &[33]);
                if header.container == Container::Aiff {
                    prop_assert_eq!(found[0].len() as u64, header.sample_frames);
                }
            }
        }
    }
}
