//! Sound whose packets are decoded outside, on Opus in MP4.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use std::io::Cursor;

use common::movie::*;
use common::*;
use plumbline_media::{Decoders, Header, MediaError, OutsidePacket, Samples, Silenced, open_for};

/// 20 ms of CELT, one frame (RFC 6716, 3.1).
const TWENTY_MS: u8 = 31 << 3;
const FRAMES: u64 = 960;
const PRE_SKIP: usize = 312;

/// Three packets, each told apart by its second byte.
fn opus(edits: Vec<(u32, i32)>) -> Vec<u8> {
    let dops = [0, 2, 0x01, 0x38, 0, 0, 0xBB, 0x80, 0, 0, 0];
    let trak = Trak {
        entry: sound_entry(b"Opus", 2, 16, &boxed(b"dOps", &dops)),
        sizes: vec![2, 3, 2],
        duration: 960,
        edits,
        ..Trak::sound(b"Opus", 2, 16, &[(SOUND_AT, 3)])
    };
    let data = [TWENTY_MS, 1, TWENTY_MS, 2, 9, TWENTY_MS, 3];
    movie(b"mp42", &data, &[trak])
}

fn open_outside(file: &[u8]) -> Header {
    open_for(&mut Cursor::new(file), Decoders::OwnAndOutside).unwrap()
}

/// The packets of a file, its bytes cut so.
fn packets(header: &Header, file: &[u8], cut: usize) -> (Samples, Vec<OutsidePacket>) {
    let mut samples = Samples::new(header).unwrap();
    let mut packets = Vec::new();
    for piece in &header.pieces {
        let begin = usize::try_from(piece.bytes.start).unwrap();
        let end = usize::try_from(piece.bytes.end).unwrap();
        for bytes in file[begin..end].chunks(cut) {
            samples.push(bytes, &mut |_, _| unreachable!("nothing is decoded here"));
            packets.extend(std::iter::from_fn(|| samples.next_packet()));
        }
    }
    (samples, packets)
}

/// What comes of a decoder outside that makes these, each a count of sample frames at a place.
fn taken(samples: &mut Samples, made: &[(u64, usize)]) -> Vec<f32> {
    let mut found = Vec::new();
    for &(at, frames) in made {
        let ones = vec![1.0; frames];
        samples.decoded(0, at, &[&ones, &ones], &mut |first, planes| {
            assert_eq!(
                (first, planes.len(), planes[0].len()),
                (0, 2, planes[1].len())
            );
            found.extend_from_slice(planes[0]);
        });
    }
    found
}

#[test]
fn without_a_decoder_the_file_is_refused_and_says_why() {
    let error = open(&opus(Vec::new())).unwrap_err();
    let name = "Opus".to_owned();
    assert_eq!(error, MediaError::NoDecoder { name });
    assert_eq!(error.kind(), "unsupported");
    assert!(
        error
            .to_string()
            .contains("left to a browser's own decoder")
    );
    assert!(error.remedy().contains("another browser"));
}

#[test]
fn packets_come_out_at_their_places_however_the_bytes_are_cut() {
    let file = opus(Vec::new());
    let header = open_outside(&file);
    let decoder = header.tracks[0].outside.as_ref().unwrap();
    assert_eq!(
        (decoder.codec.as_str(), decoder.sample_rate),
        ("opus", 48_000)
    );
    assert_eq!(decoder.channels, 2);
    // The run-in is taken out here, so the decoder hears of none.
    assert_eq!(
        decoder.description,
        b"OpusHead\x01\x02\0\0\x80\xBB\0\0\0\0\0"
    );
    for cut in [1, 2, 100] {
        let (_, packets) = packets(&header, &file, cut);
        let places: Vec<_> = packets
            .iter()
            .map(|packet| (packet.at, packet.frames))
            .collect();
        assert_eq!(places, [(0, 960), (960, 960), (1920, 960)]);
        assert_eq!(packets[1].bytes, [TWENTY_MS, 2, 9]);
    }
}

#[test]
fn the_run_in_is_taken_out_by_the_edit_list_or_else_by_the_codecs_own_count() {
    for (edits, left_out) in [(Vec::new(), PRE_SKIP), (vec![(0, 100)], 100)] {
        let file = opus(edits);
        let header = open_outside(&file);
        assert_eq!(header.sample_frames, 3 * FRAMES - left_out as u64);
        let (mut samples, _) = packets(&header, &file, 100);
        let found = taken(&mut samples, &[(0, 960), (960, 960), (1920, 960)]);
        assert_eq!(found, vec![1.0; 3 * 960 - left_out]);
    }
}

#[test]
fn what_does_not_come_back_is_silence_at_its_place_and_counted() {
    let file = opus(vec![(0, 0)]);
    let header = open_outside(&file);
    let (mut samples, _) = packets(&header, &file, 100);
    samples.lost(0, FRAMES);
    let found = taken(&mut samples, &[(0, 960), (1920, 960)]);
    let expected = [vec![1.0; 960], vec![0.0; 960], vec![1.0; 960]].concat();
    assert_eq!(found, expected);
    let first = FRAMES;
    assert_eq!(samples.undecodable(), Silenced { count: 1, first });
}

#[test]
fn a_decoder_that_says_nonsense_gives_no_more_than_went_in() {
    let file = opus(vec![(0, 0)]);
    let header = open_outside(&file);
    let (mut samples, _) = packets(&header, &file, 100);
    let found = taken(&mut samples, &[(u64::MAX, 960), (0, 960)]);
    assert_eq!(found, vec![0.0; 3 * 960]);
    samples.decoded(7, 0, &[&[1.0]], &mut |_, _| {
        panic!("there is no such track")
    });
    samples.lost(7, 0);
}
