//! Files that are damaged, or meant to do damage: what is said about each, word for word.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use std::io::{self, Cursor, Read, Seek, SeekFrom};

use common::*;
use plumbline_media::{ChunkId, Cut, MediaError};

/// Kind, place, byte, text.
type Said<'s> = (&'s str, &'s str, u64, &'s str);

fn check(error: &MediaError, (kind, place, at, text): Said) {
    assert_eq!(error.to_string(), text);
    assert_eq!(
        (
            error.kind(),
            error.place().as_str(),
            error.at().unwrap_or(0)
        ),
        (kind, place, at),
        "{text}"
    );
    assert!(
        error.remedy().len() > 20 && error.remedy().ends_with('.'),
        "{text}"
    );
}

/// The file cannot be read, and this is why.
fn refused(file: &[u8], said: Said) {
    check(&open(file).unwrap_err(), said);
}

/// The file can be read, and this alone is wrong.
fn read_with(file: &[u8], said: Said) {
    let header = open(file).unwrap();
    assert!(header.sample_frames > 0);
    assert_eq!(header.problems.len(), 1, "{:?}", header.problems);
    check(&header.problems[0], said);
}

#[test]
fn an_empty_file() {
    refused(
        b"",
        (
            "empty",
            "file",
            0,
            "the file is empty: it has no bytes at all",
        ),
    );
}

#[test]
fn a_text_that_was_renamed() {
    refused(
        b"Take 1, wide shot, ferry deck\nTake 2 \xE2",
        (
            "unknown",
            "file",
            0,
            "the file begins with \"Take 1, wide shot, ferry deck\", as no recording does that \
             is read here",
        ),
    );
    refused(
        b"hi",
        (
            "unknown",
            "file",
            0,
            "the file begins with \"hi\", as no recording does that is read here",
        ),
    );
}

#[test]
fn other_kinds_of_file() {
    for (bytes, text) in [
        (
            &b"%PDF-1.7"[..],
            "the file begins with \"%PDF-1.7\": a PDF, which is not read here",
        ),
        (
            b"RIFF\x24\0\0\0AVI LIST",
            "the file begins with the bytes 52 49 46 46 24 00 00 00 41 56 49 20: an AVI file, \
             which is not read here",
        ),
        (
            &[0; 512],
            "the file begins with the bytes 00 00 00 00 00 00 00 00 00 00 00 00: a file that was \
             set aside but never written, which is not read here",
        ),
    ] {
        refused(bytes, ("unknown", "file", 0, text));
    }
}

#[test]
fn files_that_only_begin_like_a_recording() {
    for (bytes, kind, text) in [
        (
            &b"OggS\0\x02\0\0\0\0"[..],
            "malformed",
            "the file begins as an Ogg file does, but can't be read on (unexpected end of file)",
        ),
        (
            b"\0\0\0\x20ftypqt  ",
            "no-index",
            "the file has no index (moov), so nothing tells where its sound is",
        ),
        (
            b"caff\0\x01\0\0",
            "malformed",
            "the desc chunk, which says how samples are written, is 0 bytes long; it needs 32",
        ),
    ] {
        let error = open(bytes).unwrap_err();
        assert_eq!((error.kind(), error.to_string().as_str()), (kind, text));
        assert!(!error.remedy().is_empty());
    }
}

#[test]
fn most_significant_byte_first() {
    refused(
        b"RIFX\0\0\0\x24WAVEfmt ",
        (
            "unsupported",
            "RIFX",
            0,
            "the file is RIFX, which has its bytes in the reverse order of a WAV",
        ),
    );
}

#[test]
fn a_file_that_ends_within_its_header() {
    let whole = plain(&[]);
    refused(
        &whole[..10],
        (
            "truncated",
            "RIFF",
            8,
            "the file ends after 10 bytes, within its header",
        ),
    );
    refused(
        &whole[..12],
        (
            "malformed",
            "fmt",
            12,
            "nothing in the file says how its samples are written: it has no fmt chunk",
        ),
    );
    refused(
        &whole[..30],
        (
            "truncated",
            "fmt",
            20,
            "the fmt chunk should be 16 bytes long, but the file ends after 10 of them",
        ),
    );
}

#[test]
fn a_header_with_nothing_after_it() {
    let text = "the file has a header, but there is no sound after it";
    let whole = plain(&[]);
    refused(&whole[..36], ("empty", "data", 36, text));
    refused(&whole[..44], ("empty", "data", 44, text));
    refused(&whole[..45], ("empty", "data", 44, text));
    // A length of 0 that is the truth: another chunk follows.
    let stamp = chunk(b"bext", &bext(1));
    let empty = riff(&[plain_fmt(), chunk(b"data", &[]), stamp]);
    refused(&empty, ("empty", "data", 44, text));
}

#[test]
fn sound_that_was_cut_off() {
    let sound = lying_chunk(b"data", 6_000, &[7; 100]);
    let file = riff(&[fmt(1, 2, 48_000, 24), sound]);
    read_with(
        &file,
        (
            "truncated",
            "data",
            44,
            "the sound should be 6000 bytes long, but the file ends after 100 of them: 16 whole \
             samples of each channel are there",
        ),
    );
    assert_eq!(open(&file).unwrap().data(), 44..140);
}

#[test]
fn a_sound_of_nearly_four_gibibytes_that_is_not_there() {
    let file = riff(&[plain_fmt(), lying_chunk(b"data", u32::MAX - 1, &[7; 8])]);
    read_with(
        &file,
        (
            "truncated",
            "data",
            44,
            "the sound should be 4294967294 bytes long, but the file ends after 8 of them: 4 whole \
             samples of each channel are there",
        ),
    );
}

#[test]
fn an_rf64_of_more_bytes_than_there_are_in_the_world() {
    let sound = lying_chunk(b"data", u32::MAX, &[7; 8]);
    let file = rf64(&[ds64(u64::MAX, u64::MAX - 1, &[]), plain_fmt(), sound]);
    read_with(
        &file,
        (
            "truncated",
            "data",
            80,
            "the sound should be 18446744073709551614 bytes long, but the file ends after 8 of \
             them: 4 whole samples of each channel are there",
        ),
    );
}

#[test]
fn sound_that_is_not_whole_sample_frames() {
    let file = riff(&[fmt(1, 1, 48_000, 24), chunk(b"data", &[7; 8])]);
    read_with(
        &file,
        (
            "malformed",
            "data",
            50,
            "the sound is 8 bytes long, which is not a whole number of sample frames of 3 bytes; \
             the last 2 are left out",
        ),
    );
    assert_eq!(open(&file).unwrap().data(), 44..50);
}

#[test]
fn an_unfinished_header() {
    let file = riff(&[plain_fmt(), lying_chunk(b"data", 0, &[7; 8])]);
    read_with(
        &file,
        (
            "truncated",
            "data",
            44,
            "the header was never finished: it gives no length for the sound, so everything to the \
             end of the file is taken as sound, 4 samples of each channel",
        ),
    );
}

#[test]
fn sound_that_goes_on_after_its_length() {
    let mut file = plain(&[]);
    file.extend(vec![0x81; 100_000]);
    read_with(
        &file,
        (
            "malformed",
            "RIFF",
            48,
            "100000 bytes from here to the end of the file are not part of any chunk; they are not \
             read",
        ),
    );
}

#[test]
fn a_chunk_before_the_sound_whose_length_lies() {
    let lie = lying_chunk(b"LIST", u32::MAX, &[]);
    let file = riff(&[plain_fmt(), lie.clone(), chunk(b"data", &[0; 4])]);
    let text = "the LIST chunk should be 4294967295 bytes long, but the file ends after 12 of them";
    refused(&file, ("truncated", "LIST", 44, text));
    // After the sound it takes nothing away.
    let text = "the LIST chunk should be 4294967295 bytes long, but the file ends after 0 of them";
    read_with(&plain(&[lie]), ("truncated", "LIST", 56, text));
}

#[test]
fn a_file_whose_own_length_is_longer() {
    let mut file = plain(&[]);
    file[4..8].copy_from_slice(&1000_u32.to_le_bytes());
    read_with(
        &file,
        (
            "truncated",
            "RIFF",
            8,
            "the RIFF chunk should be 1000 bytes long, but the file ends after 40 of them",
        ),
    );
}

#[test]
fn bytes_that_are_no_chunk_before_the_sound() {
    let file = riff(&[plain_fmt(), vec![0x81; 40], chunk(b"data", &[0; 4])]);
    refused(
        &file,
        (
            "malformed",
            "RIFF",
            36,
            "52 bytes from here to the end of the file are not part of any chunk; they are not read",
        ),
    );
}

#[test]
fn a_fmt_chunk_of_no_length() {
    let file = riff(&[chunk(b"fmt ", &[]), chunk(b"data", &[0; 4])]);
    let text = "the fmt chunk is 0 bytes long, but needs 16";
    refused(&file, ("malformed", "fmt", 20, text));
    let short = chunk(b"fmt ", &fmt_content(0xFFFE, 1, 48_000, 2, 16));
    let text = "the fmt chunk is 16 bytes long, but needs 40";
    refused(
        &riff(&[short, chunk(b"data", &[0; 4])]),
        ("malformed", "fmt", 20, text),
    );
}

#[test]
fn no_channels() {
    let file = riff(&[fmt(1, 0, 48_000, 16), chunk(b"data", &[0; 4])]);
    let text = "the header says that the recording has 0 channels";
    refused(&file, ("malformed", "fmt", 22, text));
}

#[test]
fn more_channels_than_are_read() {
    for channels in [65, 65_535] {
        let file = riff(&[fmt(1, channels, 48_000, 16), chunk(b"data", &[0; 4])]);
        let text = format!(
            "the header says that the recording has {channels} channels; up to 64 are read"
        );
        refused(&file, ("unsupported", "fmt", 22, &text));
    }
}

#[test]
fn no_sample_rate_and_one_that_nobody_records_at() {
    let file = riff(&[fmt(1, 1, 0, 16), chunk(b"data", &[0; 4])]);
    let text = "the header says that the sample rate is 0 Hz";
    refused(&file, ("malformed", "fmt", 24, text));
    let file = riff(&[fmt(1, 1, u32::MAX, 16), chunk(b"data", &[0; 4])]);
    let text =
        "the header says that the sample rate is 4294967295 Hz; up to 1000000 Hz is believed";
    refused(&file, ("malformed", "fmt", 24, text));
}

#[test]
fn a_block_align_that_contradicts_the_rest() {
    for (found, channels, bits, right) in [(5, 2, 16, 4), (0, 1, 24, 3), (4, 1, 24, 3)] {
        let content = fmt_content(1, channels, 48_000, found, bits);
        let file = riff(&[chunk(b"fmt ", &content), chunk(b"data", &[0; 40])]);
        let text = format!(
            "the header says that a sample frame takes {found} bytes (block align), but {channels} \
             channels of {bits} bits take {right}"
        );
        refused(&file, ("malformed", "fmt", 32, &text));
    }
}

#[test]
fn samples_of_odd_lengths() {
    let cases = [
        (
            1,
            0,
            "malformed",
            "the header says that samples have 0 bits",
        ),
        (
            1,
            48,
            "unsupported",
            "the header says that samples have 48 bits; PCM is read up to 32 bits",
        ),
        (
            3,
            16,
            "unsupported",
            "the header says that samples are floating point of 16 bits; 32 and 64 are read",
        ),
    ];
    for (tag, bits, kind, text) in cases {
        let file = riff(&[fmt(tag, 1, 48_000, bits), chunk(b"data", &[0; 40])]);
        refused(&file, (kind, "fmt", 34, text));
    }
}

#[test]
fn more_valid_bits_than_bits() {
    let file = riff(&[extended_fmt(1, 1, 48_000, 16, 24), chunk(b"data", &[0; 4])]);
    let text = "the header says that 24 of a sample's 16 bits are valid; taken as 16";
    read_with(&file, ("malformed", "fmt", 38, text));
}

#[test]
fn compressed_sound_is_named() {
    for (tag, name) in [
        (0x0055, "MPEG layer 3 in WAV (format tag 0x0055)"),
        (0x0011, "ADPCM in WAV (format tag 0x0011)"),
        (0x0007, "mu-law in WAV (format tag 0x0007)"),
        (0x1234, "an unknown codec in WAV (format tag 0x1234)"),
    ] {
        let text = format!("the sound is {name}, not linear PCM or floating point");
        // Its other fields mean other things, so they are not looked at.
        let content = fmt_content(tag, 0, 0, 1, 0);
        let file = riff(&[chunk(b"fmt ", &content), chunk(b"data", &[0; 40])]);
        refused(&file, ("unsupported", "fmt", 20, &text));
    }
}

#[test]
fn a_format_of_its_own() {
    let mut chunk_of_its_own = extended_fmt(1, 4, 48_000, 24, 24);
    chunk_of_its_own[32..].copy_from_slice(b"\x01\0\0\0\x21\x07\xD3\x11\x86\x44\xC8\xC1\xCA\0\0\0");
    let file = riff(&[chunk_of_its_own, chunk(b"data", &[0; 12])]);
    let text = "the sound is in a format of its own (00000001-0721-11d3-8644-c8c1ca000000), not \
                linear PCM or floating point";
    refused(&file, ("unsupported", "fmt", 44, text));
}

#[test]
fn an_rf64_without_its_lengths() {
    let sound = lying_chunk(b"data", 4, &[0; 4]);
    let file = rf64(&[plain_fmt(), sound.clone()]);
    let text = "the file has no ds64 chunk, which should hold its real lengths";
    read_with(&file, ("malformed", "ds64", 12, text));
    let file = rf64(&[chunk(b"ds64", &[0; 20]), plain_fmt(), sound]);
    let header = open(&file).unwrap();
    let text = "the ds64 chunk, which holds the file's real lengths, is 20 bytes long; it needs 28";
    check(&header.problems[0], ("malformed", "ds64", 20, text));
}

#[test]
fn a_ds64_table_that_says_it_has_four_thousand_million_entries() {
    let mut lengths = ds64(u64::MAX, 4, &[]);
    lengths[32..36].copy_from_slice(&u32::MAX.to_le_bytes());
    let sound = lying_chunk(b"data", u32::MAX, &[1, 0, 2, 0]);
    let header = open(&rf64(&[lengths, plain_fmt(), sound])).unwrap();
    assert_eq!((header.sample_frames, header.problems), (2, vec![]));
}

#[test]
fn a_short_bext_keeps_what_is_there() {
    let file = plain(&[chunk(b"bext", &bext(48_000)[..400])]);
    let text = "the bext chunk is 400 bytes long, but needs at least 602; what is there is used";
    read_with(&file, ("malformed", "bext", 56, text));
    assert_eq!(open(&file).unwrap().bext.unwrap().time_reference, 48_000);
    // Without a time reference there is nothing to go by.
    assert_eq!(
        open(&plain(&[chunk(b"bext", &bext(1)[..340])]))
            .unwrap()
            .bext,
        None
    );
}

#[test]
fn a_bext_that_the_file_ends_in() {
    let file = plain(&[lying_chunk(b"bext", 700, &bext(5)[..500])]);
    let header = open(&file).unwrap();
    assert_eq!(header.bext.unwrap().time_reference, 5);
    let kinds: Vec<_> = header.problems.iter().map(MediaError::kind).collect();
    assert_eq!(kinds, ["malformed", "truncated"]);
}

#[test]
fn ixml_that_is_not_xml() {
    for (content, what) in [
        (
            &b"Scene 12, take 3"[..],
            "byte 0: it begins with text, not with an element",
        ),
        (b"", "it has no element"),
        (b"\0\0\0\0", "it has no element"),
    ] {
        let file = plain(&[chunk(b"iXML", content)]);
        let text = format!("the iXML is not XML ({what}); it is left out");
        read_with(&file, ("malformed", "iXML", 56, &text));
        assert_eq!(open(&file).unwrap().ixml, None);
    }
    let file = plain(&[chunk(b"iXML", b"<html><SCENE>1</SCENE></html>")]);
    let text = "the iXML's root element is \"html\", where iXML has BWFXML; it is left out";
    read_with(&file, ("malformed", "iXML", 56, text));
}

#[test]
fn ixml_that_breaks_off_keeps_what_stands_before() {
    let file = plain(&[chunk(b"iXML", b"<BWFXML><SCENE>12A</SCENE><TAKE>3</TAK")]);
    let header = open(&file).unwrap();
    assert_eq!(header.ixml.unwrap().scene.as_deref(), Some("12A"));
    assert_eq!(header.problems.len(), 1);
    let text = header.problems[0].to_string();
    assert!(text.starts_with("the iXML is broken (byte 33: "), "{text}");
    assert!(
        text.ends_with("); what stands before that is used"),
        "{text}"
    );
}

#[test]
fn ixml_that_is_too_long_is_not_even_read() {
    let len = 5 << 20;
    let before = plain(&[lying_chunk(b"iXML", len, &[])]);
    let mut source = Sparse::new(before, 56 + u64::from(len), vec![]);
    let header = plumbline_media::open(&mut source).unwrap();
    let text = "the iXML is 5242880 bytes long; up to 4194304 are read, so it is left out";
    check(&header.problems[0], ("malformed", "iXML", 56, text));
    assert!(
        source.bytes_read <= 2 * 64 * 1024,
        "{} bytes",
        source.bytes_read
    );
}

#[test]
fn ixml_cannot_grow_while_it_is_read() {
    let bomb = b"<!DOCTYPE b [<!ENTITY a \"aaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]>\
        <BWFXML><SCENE>&b;&b;</SCENE></BWFXML>";
    let ixml = open(&plain(&[chunk(b"iXML", bomb)])).unwrap().ixml.unwrap();
    assert_eq!(ixml.scene.as_deref(), Some("&b;&b;"));
}

#[test]
fn ixml_of_very_many_elements_and_of_very_deep_ones() {
    let many = [&b"<BWFXML><TAKE>3</TAKE>"[..], &b"<A/>".repeat(500_000)].concat();
    let header = open(&plain(&[chunk(b"iXML", &many)])).unwrap();
    assert_eq!(header.ixml.unwrap().take.as_deref(), Some("3"));
    let text =
        "the iXML is broken (it has more than 20000 elements); what stands before that is used";
    check(&header.problems[0], ("malformed", "iXML", 56, text));
    let deep = [&b"<BWFXML><TAKE>3</TAKE>"[..], &b"<A>".repeat(19_000)].concat();
    let header = open(&plain(&[chunk(b"iXML", &deep)])).unwrap();
    assert_eq!(header.ixml.unwrap().take.as_deref(), Some("3"));
    assert_eq!(header.problems.len(), 1);
}

#[test]
fn more_chunks_than_are_walked_through() {
    let file = plain(&[lying_chunk(b"none", 0, &[]).repeat(10_000)]);
    let text = "the file has more than 4096 chunks; those after are not read";
    // Two chunks stand before, of 24 and 12 bytes.
    read_with(&file, ("malformed", "RIFF", 48 + 8 * 4094, text));
}

/// A source that fails from some byte on.
struct Failing(Cursor<Vec<u8>>, u64);

impl Read for Failing {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.0.position() >= self.1 {
            return Err(io::Error::other("the card was pulled out"));
        }
        self.0.read(into)
    }
}

impl Seek for Failing {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.0.seek(to)
    }
}

#[test]
fn a_source_that_fails() {
    let file = plain(&[chunk(b"JUNK", &vec![0; 200_000]), chunk(b"bext", &bext(1))]);
    let end = file.len() as u64 - 610;
    let mut source = Failing(Cursor::new(file), 100_000);
    let error = plumbline_media::open(&mut source).unwrap_err();
    let text = "reading the file failed: the card was pulled out";
    check(&error, ("source", "file", end, text));
}

#[test]
fn a_truncated_file_is_read_whatever_byte_it_ends_at() {
    let sound = chunk(b"data", &[5; 600]);
    let whole = riff(&[chunk(b"bext", &bext(1)), fmt(1, 2, 48_000, 24), sound]);
    let begins = whole.len() - 600;
    for len in 0..whole.len() {
        match open(&whole[..len]) {
            Ok(header) => {
                assert_eq!(header.sample_frames, (len - begins) as u64 / 6);
                assert!(matches!(
                    header.problems[..],
                    [MediaError::Truncated {
                        place: ChunkId::DATA,
                        cut: Cut::Sound { needed: 600, .. },
                        ..
                    }]
                ));
            }
            Err(error) => assert!(len < begins + 6, "{len}: {error}"),
        }
    }
}
