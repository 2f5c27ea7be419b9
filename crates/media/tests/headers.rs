//! Files that are as they should be, or nearly.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::*;
use plumbline_media::{Container, Cut, Encoding, MediaError};

#[test]
fn a_plain_wav() {
    let header = open(&plain(&[])).unwrap();
    assert_eq!(header.container, Container::Wav);
    assert_eq!(header.format(), Some(Encoding::S16.into()));
    assert_eq!((header.sample_rate, header.channels()), (48_000, 1));
    assert_eq!(header.data(), 44..48);
    assert_eq!(header.sample_frames, 2);
    assert_eq!((header.bext, header.ixml), (None, None));
    assert_eq!(header.problems, []);
}

#[test]
fn every_sample_format() {
    // Tag, bits, valid bits, what is read.
    let cases = [
        (1, 8, 8, Encoding::U8),
        (1, 16, 16, Encoding::S16),
        (1, 24, 24, Encoding::S24),
        (1, 24, 20, Encoding::S24),
        (1, 32, 32, Encoding::S32),
        (1, 32, 24, Encoding::S32),
        (3, 32, 32, Encoding::F32),
        (3, 64, 64, Encoding::F64),
    ];
    for (tag, bits, valid, encoding) in cases {
        for channels in [1, 2, 3, 8, 63, 64] {
            let sound = chunk(b"data", &vec![0; usize::from(channels * bits / 8) * 3]);
            let file = riff(&[
                extended_fmt(tag, channels, 96_000, bits, valid),
                sound.clone(),
            ]);
            let header = open(&file).unwrap();
            assert_eq!(header.format().unwrap().encoding(), encoding);
            assert_eq!(header.format().unwrap().valid_bits(), valid);
            assert_eq!((header.channels(), header.sample_frames), (channels, 3));
            assert_eq!(header.problems, []);
            if bits == valid {
                let header = open(&riff(&[fmt(tag, channels, 96_000, bits), sound])).unwrap();
                assert_eq!(
                    (header.format(), header.sample_frames),
                    (Some(encoding.into()), 3)
                );
            }
        }
    }
}

#[test]
fn twenty_bits_without_the_longer_form() {
    let header = open(&riff(&[fmt(1, 2, 48_000, 20), chunk(b"data", &[0; 12])])).unwrap();
    assert_eq!(header.format().unwrap().encoding(), Encoding::S24);
    assert_eq!(header.format().unwrap().valid_bits(), 20);
    assert_eq!(header.sample_frames, 2);
}

#[test]
fn valid_bits_that_some_writers_leave_at_zero() {
    let header = open(&riff(&[
        extended_fmt(1, 1, 48_000, 24, 0),
        chunk(b"data", &[0; 3]),
    ]))
    .unwrap();
    assert_eq!(header.format(), Some(Encoding::S24.into()));
    assert_eq!(header.problems, []);
}

#[test]
fn every_believable_sample_rate() {
    for rate in [1, 8_000, 47_952, 48_048, 192_000, 384_000, 1_000_000] {
        let file = riff(&[fmt(1, 1, rate, 16), chunk(b"data", &[0; 2])]);
        assert_eq!(open(&file).unwrap().sample_rate, rate);
    }
}

#[test]
fn chunks_stand_in_any_order_and_unknown_ones_are_passed_over() {
    let ixml = chunk(b"iXML", b"<BWFXML><SCENE>12A</SCENE></BWFXML>");
    let stamp = chunk(b"bext", &bext(7));
    let sound = chunk(b"data", &[1, 0, 2, 0]);
    let odd = chunk(b"odd ", &[1, 2, 3]);
    for order in [
        [
            stamp.clone(),
            ixml.clone(),
            odd.clone(),
            plain_fmt(),
            sound.clone(),
        ],
        [
            plain_fmt(),
            sound.clone(),
            odd.clone(),
            stamp.clone(),
            ixml.clone(),
        ],
        [sound.clone(), ixml, plain_fmt(), odd, stamp],
    ] {
        let file = riff(&order);
        let header = open(&file).unwrap();
        assert_eq!(header.bext.as_ref().unwrap().time_reference, 7);
        assert_eq!(header.ixml.as_ref().unwrap().scene.as_deref(), Some("12A"));
        assert_eq!(header.problems, []);
        assert_eq!(
            samples(&header, &file, &[64]),
            [[1.0 / 32_768.0, 2.0 / 32_768.0]]
        );
    }
}

#[test]
fn the_first_of_two_chunks_of_a_kind_counts() {
    let after = [chunk(b"data", &[0; 64]), fmt(3, 8, 1, 64)];
    let header = open(&plain(&after)).unwrap();
    assert_eq!(
        (header.data(), header.format()),
        (44..48, Some(Encoding::S16.into()))
    );
}

#[test]
fn a_pad_byte_that_was_forgotten() {
    let odd = lying_chunk(b"note", 3, b"abc");
    let header = open(&riff(&[odd, plain_fmt(), chunk(b"data", &[0; 4])])).unwrap();
    assert_eq!(header.sample_frames, 2);
    // After the sound too, where an unknown chunk follows.
    let sound = lying_chunk(b"data", 3, &[1, 2, 3]);
    let own = chunk(b"ownx", b"abcdef");
    let stamp = chunk(b"bext", &bext(9));
    let header = open(&riff(&[fmt(1, 1, 48_000, 24), sound, own, stamp])).unwrap();
    assert_eq!(header.bext.unwrap().time_reference, 9);
    assert_eq!(header.problems, []);
}

#[test]
fn a_pad_byte_that_is_not_zero() {
    let mut odd = chunk(b"note", b"abc");
    *odd.last_mut().unwrap() = b'Z';
    let header = open(&riff(&[odd, plain_fmt(), chunk(b"data", &[0; 4])])).unwrap();
    assert_eq!(header.sample_frames, 2);
    assert_eq!(header.problems, []);
}

#[test]
fn the_last_pad_byte_may_be_missing() {
    let mut file = riff(&[fmt(1, 1, 8_000, 8), chunk(b"data", &[128; 5])]);
    file.pop();
    let header = open(&file).unwrap();
    assert_eq!((header.sample_frames, header.problems), (5, vec![]));
}

#[test]
fn padding_at_the_end_is_not_worth_a_word() {
    let mut file = plain(&[]);
    file.resize(file.len() + 1000, 0);
    assert_eq!(open(&file).unwrap().problems, []);
}

#[test]
fn rf64_and_bw64() {
    let chunks = [plain_fmt(), lying_chunk(b"data", u32::MAX, &[1, 0, 2, 0])];
    let mut file = rf64(&[&[ds64(76, 4, &[])], &chunks[..]].concat());
    for (id, container) in [(b"RF64", Container::Rf64), (b"BW64", Container::Bw64)] {
        file[..4].copy_from_slice(id);
        let header = open(&file).unwrap();
        assert_eq!((header.container, header.sample_frames), (container, 2));
        assert_eq!(header.data(), 80..84);
        assert_eq!(header.problems, []);
    }
}

#[test]
fn a_pad_byte_that_was_counted_as_sound() {
    for (sample_frames, found, problems) in [(1, 1, 0), (0, 1, 1), (9, 1, 1)] {
        let file = rf64(&[
            counted(ds64(u64::MAX, 4, &[]), sample_frames),
            fmt(1, 1, 48_000, 24),
            lying_chunk(b"data", u32::MAX, &[1, 2, 3, 0]),
        ]);
        let header = open(&file).unwrap();
        assert_eq!(
            (header.sample_frames, header.problems.len()),
            (found, problems)
        );
        assert_eq!(header.data(), 80..83);
    }
}

#[test]
fn other_chunks_have_their_length_in_the_ds64_table() {
    let ixml = b"<BWFXML><TAKE>3</TAKE></BWFXML>";
    let table: [(&[u8; 4], u64); 2] = [(b"free", 5), (b"iXML", ixml.len() as u64)];
    let file = rf64(&[
        ds64(u64::MAX, 4, &table),
        plain_fmt(),
        lying_chunk(b"free", u32::MAX, &[0; 6]),
        lying_chunk(b"data", u32::MAX, &[1, 0, 2, 0]),
        lying_chunk(b"iXML", u32::MAX, ixml),
    ]);
    let header = open(&file).unwrap();
    assert_eq!(header.ixml.unwrap().take.as_deref(), Some("3"));
    assert_eq!(header.problems, []);
}

#[test]
fn eight_gibibytes_take_a_handful_of_reads() {
    let data = 8 << 30;
    let ixml = chunk(b"iXML", b"<BWFXML><TAKE>3</TAKE></BWFXML>");
    let before = rf64(&[
        ds64(u64::MAX, data, &[]),
        plain_fmt(),
        lying_chunk(b"data", u32::MAX, &[]),
    ]);
    let len = before.len() as u64 + data + ixml.len() as u64;
    let mut source = Sparse::new(before, len, ixml);
    let header = plumbline_media::open(&mut source).unwrap();
    assert_eq!(header.sample_frames, data / 2);
    assert_eq!(header.data(), 80..80 + data);
    assert_eq!(header.ixml.unwrap().take.as_deref(), Some("3"));
    assert_eq!(header.problems, []);
    // A window at the start and one after the sound.
    assert_eq!(source.reads, 2);
    assert!(
        source.bytes_read <= 2 * 64 * 1024,
        "{} bytes",
        source.bytes_read
    );
}

#[test]
fn a_recorder_that_lost_power_before_it_finished_the_header() {
    let unfinished = MediaError::Truncated {
        place: plumbline_media::ChunkId::DATA,
        at: 44,
        cut: Cut::Unfinished { sample_frames: 3 },
    };
    // Its own length and the sound's are 0, or the most that 32 bits hold; an odd byte is left.
    for (riff_len, data_len) in [(0, 0), (u32::MAX, u32::MAX), (36, 0), (0, u32::MAX)] {
        let sound = lying_chunk(b"data", data_len, &[1, 0, 2, 0, 3, 0, 9]);
        let mut file = riff(&[plain_fmt(), sound]);
        file[4..8].copy_from_slice(&u32::to_le_bytes(riff_len));
        let header = open(&file).unwrap();
        assert_eq!((header.data(), header.sample_frames), (44..50, 3));
        assert_eq!(header.problems[..], *std::slice::from_ref(&unfinished));
        assert_eq!(samples(&header, &file, &[1])[0].len(), 3);
    }
    assert_eq!(
        (unfinished.kind(), unfinished.place().as_str()),
        ("truncated", "data")
    );
}

#[test]
fn an_rf64_whose_lengths_were_never_filled_in() {
    for (riff, data) in [(0, 0), (u64::MAX, u64::MAX)] {
        let sound = lying_chunk(b"data", u32::MAX, &[1, 0, 2, 0]);
        let header = open(&rf64(&[ds64(riff, data, &[]), plain_fmt(), sound])).unwrap();
        assert_eq!(header.sample_frames, 2);
        let [MediaError::Truncated { cut, .. }] = &header.problems[..] else {
            panic!("{:?}", header.problems);
        };
        assert_eq!(*cut, Cut::Unfinished { sample_frames: 2 });
    }
}
