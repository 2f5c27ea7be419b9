//! Whatever the bytes, there is an answer, and it holds together.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::*;
use plumbline_media::write::{Recording, Writer};
use plumbline_media::{Bext, Encoding, Header, Ixml, MediaError, Speed, limits};
use proptest::prelude::*;

/// What holds for every file that can be read, and every one that cannot.
fn holds_together(file: &[u8]) {
    match open(file) {
        // What begins like a file in which packets must be looked for has tests of its own
        // (streams.rs).
        Ok(header) if header.format().is_none() => {}
        Ok(header) => {
            check_header(&header, file.len() as u64);
            let whole = samples(&header, file, &[1 << 16]);
            assert_eq!(whole[0].len() as u64, header.sample_frames);
            header.problems.iter().for_each(check_error);
        }
        Err(error) => check_error(&error),
    }
}

fn check_header(header: &Header, len: u64) {
    let data = header.data();
    assert!(data.start <= data.end && data.end <= len);
    let frame = header.tracks[0].bytes_per_frame().unwrap();
    assert_eq!(
        data.end - data.start,
        header.sample_frames * u64::from(frame)
    );
    assert!(header.sample_frames > 0);
    assert!((1..=limits::CHANNELS_AT_MOST).contains(&header.channels()));
    assert!((1..=limits::SAMPLE_RATE_AT_MOST).contains(&header.sample_rate));
}

fn check_error(error: &MediaError) {
    assert!(!error.to_string().is_empty() && !error.remedy().is_empty());
    assert!(!error.place().is_empty() && error.to_string().len() < 1000);
}

/// Files with everything in them.
fn seeds() -> Vec<Vec<u8>> {
    let stamp = chunk(b"bext", &[&bext(1 << 33)[..], b"A=PCM\r\n"].concat());
    let ixml = chunk(
        b"iXML",
        b"<BWFXML><SCENE>1</SCENE><SPEED><TIMECODE_RATE>25/1</TIMECODE_RATE></SPEED></BWFXML>",
    );
    let mut recording = Recording::new(48_000, 2, Encoding::F32, 20);
    recording.bext = Some(Bext::default());
    recording.ixml = Some(Ixml {
        speed: Some(Speed::default()),
        ..Ixml::default()
    });
    let mut writer = Writer::new(Vec::new(), &recording).unwrap();
    writer.push(&[&[0.1; 20], &[0.2; 20]]).unwrap();
    vec![
        plain(&[stamp.clone(), ixml.clone()]),
        riff(&[
            stamp,
            extended_fmt(1, 3, 96_000, 24, 20),
            ixml,
            chunk(b"data", &[9; 95]),
        ]),
        rf64(&[
            ds64(200, 8, &[(b"free", 5)]),
            plain_fmt(),
            lying_chunk(b"free", u32::MAX, &[0; 6]),
            lying_chunk(b"data", u32::MAX, &[1; 8]),
        ]),
        writer.finish().unwrap(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        holds_together(&bytes);
    }

    #[test]
    fn any_bytes_as_chunks(
        chunks in prop::collection::vec(
            (
                prop::sample::select(vec![*b"fmt ", *b"data", *b"bext", *b"iXML", *b"ds64", *b"LIST"]),
                prop::option::of(any::<u32>()),
                prop::collection::vec(any::<u8>(), 0..80),
            ),
            0..6,
        ),
        container in prop::sample::select(vec![*b"RIFF", *b"RF64", *b"BW64"]),
    ) {
        let chunks: Vec<_> = chunks
            .iter()
            .map(|(id, lie, content)| match lie {
                Some(len) => lying_chunk(id, *len, content),
                None => chunk(id, content),
            })
            .collect();
        let mut file = riff(&chunks);
        file[..4].copy_from_slice(&container);
        holds_together(&file);
    }

    #[test]
    fn a_good_file_with_bytes_changed_or_cut(
        seed in 0_usize..4,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..8),
        keep in prop::option::of(any::<prop::sample::Index>()),
    ) {
        holds_together(&changed(seeds().swap_remove(seed), &changes, keep));
    }

    #[test]
    fn any_ixml(text in "(<|>|/|&|;|A|BWFXML|SPEED|TAKE|TRACK_LIST|TRACK|!\\[CDATA\\[|\\]\\]|!--|--|\\?|\"| |#x41|amp|é){0,60}") {
        let file = plain(&[chunk(b"iXML", format!("<BWFXML>{text}").as_bytes())]);
        holds_together(&file);
    }
}

#[test]
fn the_seeds_are_good_files() {
    for file in seeds() {
        let header = open(&file).unwrap();
        let cuts: Vec<_> = header
            .problems
            .iter()
            .filter(|problem| problem.kind() == "truncated")
            .collect();
        assert!(cuts.len() <= 1, "{cuts:?}");
        holds_together(&file);
    }
}

#[test]
fn a_count_that_lies_costs_nothing() {
    // Every chunk says that it is as long as 32 bits can say, in a file of 100 bytes.
    for id in [b"bext", b"iXML", b"ds64", b"LIST", b"data"] {
        let mut file = riff(&[plain_fmt(), lying_chunk(id, u32::MAX - 1, &[1; 56])]);
        file.truncate(100);
        let mut source = Sparse::new(file, 100, vec![]);
        let _ = plumbline_media::open(&mut source);
        assert!(source.bytes_read <= 300, "{id:?}: {}", source.bytes_read);
    }
}
