//! Stamped copies: what is as it was, and what is as it was asked.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests may stop where they did not foresee something"
)]
#![allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "a chunk's letters read best as a literal"
)]

mod common;

use std::io::Cursor;

use common::*;
use plumbline_media::stamp::{
    Channels, Difference, Portion, Remark, Stamp, StampError, StampedCopy,
};
use plumbline_media::{ChunkId, Container, Header};
use plumbline_timecode::{Rate, Timebase};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};

fn stamp(time_reference: u64) -> Stamp {
    Stamp {
        time_reference,
        timebase: Timebase::non_drop(Rate::F25),
        tape: None,
        channels: Channels::all(),
    }
}

fn without(stamp: &Stamp, channels: &[u16]) -> Stamp {
    Stamp {
        channels: Channels::without(channels.iter().copied()),
        ..stamp.clone()
    }
}

fn plan(file: &[u8], stamp: &Stamp) -> Result<StampedCopy, StampError> {
    StampedCopy::plan(&mut Cursor::new(file), stamp)
}

/// The copy, made of blocks of these lengths over and over, and read back.
fn copied(file: &[u8], stamp: &Stamp, blocks: &[usize]) -> (StampedCopy, Vec<u8>) {
    let copy = plan(file, stamp).unwrap();
    let (mut writer, mut out) = (copy.writer(), Vec::new());
    let mut blocks = blocks.iter().cycle();
    for piece in copy.pieces() {
        let mut bytes =
            &file[usize::try_from(piece.start).unwrap()..usize::try_from(piece.end).unwrap()];
        while !bytes.is_empty() {
            let (now, rest) = bytes.split_at((*blocks.next().unwrap()).min(bytes.len()));
            writer.push(now, &mut out);
            bytes = rest;
        }
    }
    let written = writer.finish(&mut out).unwrap();
    assert_eq!(out.len() as u64, copy.len());
    let mut read_back = copy.read_back(&mut Cursor::new(&out), written).unwrap();
    out.chunks(31).for_each(|block| read_back.push(block));
    assert_eq!(read_back.finish(), Ok(()));
    (copy, out)
}

fn copy_of(file: &[u8], stamp: &Stamp) -> Vec<u8> {
    copied(file, stamp, &[file.len()]).1
}

/// Every chunk's letters and content, by RIFF's own rules: an even length, ds64 for what is longer.
fn chunks_of(file: &[u8]) -> Vec<([u8; 4], Vec<u8>)> {
    let mut chunks: Vec<([u8; 4], Vec<u8>)> = Vec::new();
    let mut at = 12;
    while at < file.len() {
        let id = *file[at..].first_chunk().unwrap();
        let stated = u32::from_le_bytes(*file[at + 4..].first_chunk().unwrap());
        let len = if stated == u32::MAX {
            let ds64 = &chunks[0].1;
            usize::try_from(u64::from_le_bytes(*ds64[8..].first_chunk().unwrap())).unwrap()
        } else {
            stated as usize
        };
        chunks.push((id, file[at + 8..at + 8 + len].to_vec()));
        at += 8 + len.next_multiple_of(2);
    }
    assert_eq!(at, file.len());
    chunks
}

/// The chunks that a stamp leaves alone.
fn others(file: &[u8]) -> Vec<([u8; 4], Vec<u8>)> {
    let stamped = [*b"bext", *b"iXML", *b"ds64", *b"fmt ", *b"data"];
    let mut chunks = chunks_of(file);
    chunks.retain(|(id, _)| !stamped.contains(id));
    chunks
}

fn content(file: &[u8], id: &[u8; 4]) -> Vec<u8> {
    let chunk = chunks_of(file).into_iter().find(|(found, _)| found == id);
    chunk.unwrap().1
}

fn xml(file: &[u8]) -> String {
    String::from_utf8(content(file, b"iXML")).unwrap()
}

fn check_start(header: &Header, stamp: &Stamp) {
    assert_eq!(
        header.bext.as_ref().unwrap().time_reference,
        stamp.time_reference
    );
    let speed = header.ixml.as_ref().unwrap().speed.as_ref().unwrap();
    assert_eq!(speed.samples_since_midnight, Some(stamp.time_reference));
    assert_eq!(speed.timestamp_sample_rate, Some(header.sample_rate));
    assert_eq!(speed.timebase(), Some(stamp.timebase));
}

// Written out again, independently of the crate: the channels' samples, one after the other.
fn planes(sound: &[u8], channels: usize, bytes: usize) -> Vec<Vec<u8>> {
    (0..channels)
        .map(|channel| {
            let frames = sound.chunks_exact(channels * bytes);
            frames
                .flat_map(|frame| frame[channel * bytes..][..bytes].to_vec())
                .collect()
        })
        .collect()
}

#[derive(Debug, Clone)]
struct Made {
    file: Vec<u8>,
    channels: u16,
    bytes: usize,
    sound: Vec<u8>,
}

fn other_chunk() -> impl Strategy<Value = Vec<u8>> {
    let id = select(vec![
        b"LIST", b"cue ", b"JUNK", b"junk", b"PAD ", b"abcd", b"_PMX", b"axml",
    ]);
    (id, vec(any::<u8>(), 0..70)).prop_map(|(id, content)| chunk(id, &content))
}

fn metadata() -> impl Strategy<Value = Vec<Vec<u8>>> {
    let bext = (any::<u64>(), 602_usize..640).prop_map(|(reference, len)| {
        let mut content = bext(reference);
        content.resize(len, b'x');
        chunk(b"bext", &content)
    });
    let ixml = select(vec![
        "<BWFXML/>",
        "<BWFXML><SPEED/></BWFXML>",
        "<?xml version=\"1.0\"?>\n<BWFXML>\n <SCENE>4 &amp; 5</SCENE>\n <SPEED>\n  \
         <TIMECODE_RATE>25/1</TIMECODE_RATE>\n  <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>7\
         </TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>\n </SPEED>\n</BWFXML>\n",
    ]);
    let ixml = ixml.prop_map(|text| chunk(b"iXML", text.as_bytes()));
    (
        proptest::option::of(bext),
        proptest::option::of(ixml),
        vec(other_chunk(), 0..3),
    )
        .prop_map(|(bext, ixml, others)| bext.into_iter().chain(others).chain(ixml).collect())
}

prop_compose! {
    /// A WAV or RF64 of any sample format, with chunks that nobody knows before and after the sound.
    fn made()(
        (tag, bits) in select(vec![(1_u16, 8_u16), (1, 16), (1, 24), (1, 32), (3, 32), (3, 64)]),
        channels in 1_u16..6,
        frames in 1_usize..40,
        is_long in any::<bool>(),
        is_extended in any::<bool>(),
        before in metadata(),
        after in vec(other_chunk(), 0..3),
        seed in vec(any::<u8>(), 1..97),
    ) -> Made {
        let bytes = usize::from(bits / 8);
        let len = frames * usize::from(channels) * bytes;
        let sound: Vec<u8> = seed.iter().copied().cycle().take(len).collect();
        let fmt = if is_extended {
            extended_fmt(tag, channels, 48_000, bits, bits)
        } else {
            fmt(tag, channels, 48_000, bits)
        };
        let mut chunks = before;
        chunks.insert(0, fmt);
        let file = if is_long {
            let mut data = lying_chunk(b"data", u32::MAX, &sound);
            data.resize(data.len().next_multiple_of(2), 0);
            chunks.push(data);
            chunks.extend(after);
            let body: usize = chunks.iter().map(Vec::len).sum();
            // WAVE, and ds64 with a table of one entry.
            let ds64 = ds64((4 + 48 + body) as u64, len as u64, &[(b"abcd", 5)]);
            let ds64 = counted(ds64, frames as u64);
            chunks.insert(0, ds64);
            rf64(&chunks)
        } else {
            chunks.push(chunk(b"data", &sound));
            chunks.extend(after);
            riff(&chunks)
        };
        Made { file, channels, bytes, sound }
    }
}

proptest! {
    #[test]
    fn everything_but_the_start_is_kept(
        made in made(),
        time_reference in any::<u64>(),
        timebase in select(Timebase::all().collect::<Vec<_>>()),
        blocks in vec(1_usize..50, 1..4),
    ) {
        let stamp = Stamp { timebase, ..stamp(time_reference) };
        let (_, copy) = copied(&made.file, &stamp, &blocks);
        let header = open(&copy).unwrap();
        check_start(&header, &stamp);
        prop_assert_eq!(&copy[..4], &made.file[..4]);
        prop_assert_eq!(content(&copy, b"data"), made.sound);
        prop_assert_eq!(content(&copy, b"fmt "), content(&made.file, b"fmt "));
        prop_assert_eq!(others(&copy), others(&made.file));
        prop_assert_eq!(header.problems, open(&made.file).unwrap().problems
            .into_iter().filter(|problem| problem.kind() != "truncated").collect::<Vec<_>>());
    }

    #[test]
    fn channels_go_and_the_others_stay(
        made in made(),
        left_out in vec(any::<Index>(), 1..4),
        blocks in vec(1_usize..50, 1..4),
    ) {
        let left_out: Vec<u16> = left_out
            .iter()
            .map(|index| u16::try_from(index.index(made.channels.into())).unwrap())
            .collect();
        let stamp = without(&stamp(9), &left_out);
        let kept: Vec<u16> = (0..made.channels).filter(|channel| !left_out.contains(channel)).collect();
        if kept.is_empty() {
            let error = plan(&made.file, &stamp).unwrap_err();
            prop_assert_eq!(error, StampError::NothingLeft { channels: made.channels });
            return Ok(());
        }
        let (_, copy) = copied(&made.file, &stamp, &blocks);
        let header = open(&copy).unwrap();
        prop_assert_eq!(usize::from(header.channels()), kept.len());
        prop_assert_eq!(header.format(), open(&made.file).unwrap().format());
        let before = planes(&made.sound, made.channels.into(), made.bytes);
        let after = planes(&content(&copy, b"data"), kept.len(), made.bytes);
        let wanted: Vec<_> = kept.iter().map(|&channel| before[usize::from(channel)].clone()).collect();
        prop_assert_eq!(after, wanted);
        prop_assert_eq!(others(&copy), others(&made.file));
    }

    #[test]
    fn a_copy_of_a_copy_is_the_same(made in made(), reference in any::<u64>()) {
        let stamp = stamp(reference);
        let copy = copy_of(&made.file, &stamp);
        prop_assert_eq!(copy_of(&copy, &stamp), copy);
    }

    #[test]
    fn hostile_files_do_no_harm(
        made in made(),
        changes in vec((any::<Index>(), any::<u8>()), 0..20),
        keep in proptest::option::of(any::<Index>()),
        channel in 0_u16..4,
    ) {
        let file = changed(made.file, &changes, keep);
        for stamp in [stamp(5), without(&stamp(5), &[channel])] {
            match plan(&file, &stamp) {
                Err(error) => prop_assert!(!error.to_string().is_empty() && !error.remedy().is_empty()),
                Ok(copy) => {
                    for piece in copy.pieces() {
                        prop_assert!(piece.start < piece.end && piece.end <= file.len() as u64);
                    }
                    copied(&file, &stamp, &[13]);
                }
            }
        }
    }
}

/// The bytes of a fmt chunk of the longer form, with loudspeakers.
fn with_speakers(channels: u16, speakers: u32) -> Vec<u8> {
    let mut fmt = extended_fmt(1, channels, 48_000, 16, 16);
    fmt[28..32].copy_from_slice(&speakers.to_le_bytes());
    fmt
}

#[test]
fn the_loudspeaker_of_a_channel_goes_with_it() {
    // Front left, front right, front centre, low frequency: bits 0 to 3; here without the third.
    let file = riff(&[with_speakers(3, 0b1011), chunk(b"data", &[1; 12])]);
    let fmt = content(&copy_of(&file, &without(&stamp(0), &[1])), b"fmt ");
    assert_eq!(fmt[20..24], 0b1001_u32.to_le_bytes());
    assert_eq!(fmt[2..4], 2_u16.to_le_bytes());
    assert_eq!(fmt[8..12], 192_000_u32.to_le_bytes());
    assert_eq!(fmt[12..14], 4_u16.to_le_bytes());
    // A channel without a loudspeaker takes none with it.
    let file = riff(&[with_speakers(3, 0b11), chunk(b"data", &[1; 12])]);
    let fmt = content(&copy_of(&file, &without(&stamp(0), &[2])), b"fmt ");
    assert_eq!(fmt[20..24], 0b11_u32.to_le_bytes());
}

const BEFORE: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\r\n<BWFXML>\r\n\
    \t<PROJECT>Ebb &amp; Flow</PROJECT><!-- kept -->\r\n\
    \t<TAPE>17</TAPE>\r\n\
    \t<SPEED attribute='kept'>\r\n\
    \t\t<MASTER_SPEED>25/1</MASTER_SPEED>\r\n\
    \t\t<TIMECODE_FLAG>NDF</TIMECODE_FLAG>\r\n\
    \t\t<TIMECODE_RATE> 2997ND </TIMECODE_RATE>\r\n\
    \t\t<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>0</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>\r\n\
    \t\t<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO/>\r\n\
    \t</SPEED>\r\n\
    \t<TRACK_LIST>\r\n\
    \t\t<TRACK_COUNT>3</TRACK_COUNT>\r\n\
    \t\t<TRACK><CHANNEL_INDEX>1</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Boom</NAME></TRACK>\r\n\
    \t\t<TRACK><CHANNEL_INDEX>4</CHANNEL_INDEX><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX><NAME>TC</NAME></TRACK>\r\n\
    \t\t<TRACK><CHANNEL_INDEX>7</CHANNEL_INDEX><INTERLEAVE_INDEX>3</INTERLEAVE_INDEX><NAME>Ida</NAME></TRACK>\r\n\
    \t</TRACK_LIST>\r\n\
    \t<BEXT><BWF_TIME_REFERENCE_LOW>5</BWF_TIME_REFERENCE_LOW></BEXT>\r\n\
    </BWFXML>\r\n\0\0";

fn three_channels(ixml: &[u8]) -> Vec<u8> {
    riff(&[
        fmt(1, 3, 48_000, 16),
        chunk(b"iXML", ixml),
        chunk(b"data", &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]),
    ])
}

#[test]
fn of_an_ixml_only_what_states_the_start_changes() {
    let stamp = Stamp {
        timebase: Timebase::new(Rate::F29_97, Rate::F29_97.drop_count().unwrap()).unwrap(),
        tape: Some("18 <b>".to_owned()),
        ..stamp((3 << 32) + 77)
    };
    let copy = copy_of(&three_channels(BEFORE.as_bytes()), &stamp);
    let wanted = BEFORE
        .replace("<TAPE>17<", "<TAPE>18 &lt;b&gt;<")
        .replace(">NDF<", ">DF<")
        .replace("> 2997ND <", ">30000/1001<")
        .replace("MIDNIGHT_HI>0<", "MIDNIGHT_HI>3<")
        .replace(
            "<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO/>",
            "<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>77</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>",
        )
        .replace(
            "\t</SPEED>",
            "\t<TIMESTAMP_SAMPLE_RATE>48000</TIMESTAMP_SAMPLE_RATE></SPEED>",
        )
        .replace("REFERENCE_LOW>5<", "REFERENCE_LOW>77<");
    assert_eq!(xml(&copy), wanted);
}

#[test]
fn a_rate_that_is_said_already_stays_as_it_is_written() {
    let stamp = Stamp {
        timebase: Timebase::non_drop(Rate::F29_97),
        ..stamp(0)
    };
    assert!(xml(&copy_of(&three_channels(BEFORE.as_bytes()), &stamp)).contains("> 2997ND <"));
}

#[test]
fn the_track_of_a_channel_goes_with_it() {
    let file = three_channels(BEFORE.as_bytes());
    let copy = xml(&copy_of(&file, &without(&stamp(0), &[1])));
    let lines: Vec<&str> = copy.lines().map(str::trim).collect();
    let list = lines
        .iter()
        .position(|line| *line == "<TRACK_LIST>")
        .unwrap();
    assert_eq!(
        lines[list + 1..list + 5],
        [
            "<TRACK_COUNT>2</TRACK_COUNT>",
            "<TRACK><CHANNEL_INDEX>1</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Boom</NAME></TRACK>",
            "<TRACK><CHANNEL_INDEX>7</CHANNEL_INDEX><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX><NAME>Ida</NAME></TRACK>",
            "</TRACK_LIST>",
        ]
    );
}

#[test]
fn an_ixml_stays_in_its_own_encoding() {
    let text =
        "<BWFXML><NOTE>Fähre 🛳</NOTE><SPEED><TIMECODE_RATE>24</TIMECODE_RATE></SPEED></BWFXML>";
    let utf16 = |unit: fn(u16) -> [u8; 2], text: &str| -> Vec<u8> {
        let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
        units.flat_map(unit).collect()
    };
    let wanted = "<BWFXML><NOTE>Fähre 🛳</NOTE><SPEED><TIMECODE_RATE>25/1</TIMECODE_RATE>\
        <TIMECODE_FLAG>NDF</TIMECODE_FLAG>\
        <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>0</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>\
        <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>6</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>\
        <TIMESTAMP_SAMPLE_RATE>48000</TIMESTAMP_SAMPLE_RATE></SPEED></BWFXML>";
    for unit in [u16::to_le_bytes, u16::to_be_bytes] {
        let copy = copy_of(&three_channels(&utf16(unit, text)), &stamp(6));
        assert_eq!(content(&copy, b"iXML"), utf16(unit, wanted));
    }
    let latin1 = |text: &str| -> Vec<u8> { text.chars().map(|c| c as u8).collect() };
    let copy = copy_of(
        &three_channels(&latin1(&text.replace('🛳', "ß"))),
        &Stamp {
            tape: Some("é€".to_owned()),
            ..stamp(6)
        },
    );
    let wanted = wanted
        .replace('🛳', "ß")
        .replace("</BWFXML>", "<TAPE>é&#8364;</TAPE></BWFXML>");
    assert_eq!(content(&copy, b"iXML"), latin1(&wanted));
}

#[test]
fn an_ixml_that_is_broken_stays_and_that_is_said() {
    for broken in ["<BWFXML><SPEED>", "no XML", "<OTHER/>", ""] {
        let file = three_channels(broken.as_bytes());
        let (copy, bytes) = copied(&file, &stamp(6), &[100]);
        assert_eq!(content(&bytes, b"iXML"), broken.as_bytes());
        assert!(matches!(copy.remarks(), [Remark::IxmlLeft(_)]), "{broken}");
    }
}

#[test]
fn of_a_bext_only_the_time_reference_changes() {
    let mut content_before: Vec<u8> = (0..=255).cycle().take(700).collect();
    content_before[346..348].copy_from_slice(&[2, 0]);
    let file = plain(&[chunk(b"bext", &content_before)]);
    let mut wanted = content_before.clone();
    wanted[338..346].copy_from_slice(&0x0102_0304_0506_0708_u64.to_le_bytes());
    assert_eq!(
        content(&copy_of(&file, &stamp(0x0102_0304_0506_0708)), b"bext"),
        wanted
    );
}

#[test]
fn a_bext_that_is_too_short_is_filled_up() {
    let file = plain(&[chunk(b"bext", b"Ferry")]);
    let bext = open(&copy_of(&file, &stamp(99))).unwrap().bext.unwrap();
    assert_eq!(
        (bext.description.as_str(), bext.time_reference),
        ("Ferry", 99)
    );
}

#[test]
fn a_header_that_was_never_finished_is_right_in_the_copy() {
    let file = [
        b"RIFF\0\0\0\0WAVE",
        &fmt(1, 1, 48_000, 16)[..],
        &lying_chunk(b"data", 0, &[1, 2, 3, 4, 5]),
    ]
    .concat();
    let (copy, bytes) = copied(&file, &stamp(6), &[3]);
    assert!(matches!(copy.remarks(), [Remark::PutRight(_)]));
    assert_eq!(content(&bytes, b"data"), [1, 2, 3, 4]);
    assert_eq!(open(&bytes).unwrap().problems, []);
    assert_eq!(
        bytes[4..8],
        u32::try_from(bytes.len() - 8).unwrap().to_le_bytes()
    );
}

#[test]
fn sound_that_is_cut_off_is_copied_as_far_as_it_is_there() {
    let whole = riff(&[plain_fmt(), chunk(b"data", &[7; 1000])]);
    let (copy, bytes) = copied(&whole[..whole.len() - 501], &stamp(6), &[64]);
    assert!(
        copy.remarks()[0]
            .to_string()
            .starts_with("the sound should be 1000 bytes long")
    );
    assert_eq!(content(&bytes, b"data"), [7; 498]);
    assert_eq!(open(&bytes).unwrap().problems, []);
}

#[test]
fn a_pad_byte_that_was_forgotten_is_there_in_the_copy() {
    let file = riff(&[
        plain_fmt(),
        lying_chunk(b"abcd", 3, &[1, 2, 3]),
        chunk(b"data", &[1, 0]),
    ]);
    let copy = copy_of(&file, &stamp(6));
    assert_eq!(content(&copy, b"abcd"), [1, 2, 3]);
    assert_eq!(content(&copy, b"data"), [1, 0]);
}

#[test]
fn bytes_after_the_last_chunk_stay_after_it() {
    let tail = [0x01, 0x02, 0x03, 0x04, 0x05];
    let file = [plain(&[]), tail.to_vec()].concat();
    let copy = copy_of(&file, &stamp(6));
    let (front, end) = copy.split_at(copy.len() - 5);
    assert_eq!(end, tail);
    // They were no part of the RIFF chunk and are none now.
    assert_eq!(
        front[4..8],
        u32::try_from(front.len() - 8).unwrap().to_le_bytes()
    );
}

#[test]
fn sixty_four_bit_kinds_stay_what_they_are() {
    let chunks = [
        plain_fmt(),
        lying_chunk(b"data", u32::MAX, &[1, 2, 3, 4, 5, 6]),
    ];
    let ds64 = counted(ds64(0, 6, &[(b"abcd", 4)]), 77);
    let rf64 = rf64(&[&[ds64][..], &chunks].concat());
    let bw64 = [b"BW64", &rf64[4..]].concat();
    for (file, count) in [(rf64, 3_u64), (bw64, 77)] {
        let copy = copy_of(&file, &stamp(6));
        assert_eq!(copy[..4], file[..4]);
        let ds64 = content(&copy, b"ds64");
        assert_eq!(ds64[..8], (copy.len() as u64 - 8).to_le_bytes());
        assert_eq!(ds64[8..16], 6_u64.to_le_bytes());
        // ITU-R BS.2088 has no use for the count, so what stood there stays.
        assert_eq!(ds64[16..24], count.to_le_bytes());
        assert_eq!(
            ds64[24..],
            [&1_u32.to_le_bytes()[..], b"abcd", &4_u64.to_le_bytes()].concat()
        );
    }
}

#[test]
fn metadata_of_an_odd_length_is_made_even_in_rf64() {
    let mut odd = bext(0);
    odd.push(b'x');
    let ixml = format!("{}.", xml(&copy_of(&plain(&[]), &stamp(0))));
    let chunks = [
        ds64(0, 2, &[]),
        plain_fmt(),
        chunk(b"bext", &odd),
        chunk(b"iXML", ixml.as_bytes()),
        lying_chunk(b"data", u32::MAX, &[1, 2]),
    ];
    assert_eq!(xml(&copy_of(&rf64(&chunks), &stamp(0))), ixml + "\n");
    assert_eq!(
        content(&copy_of(&rf64(&chunks), &stamp(0)), b"bext"),
        [&odd[..], &[0]].concat()
    );
    let wav = riff(&[plain_fmt(), chunk(b"bext", &odd), chunk(b"data", &[1, 2])]);
    assert_eq!(content(&copy_of(&wav, &stamp(0)), b"bext"), odd);
}

/// The header of a WAV just short of 4 GiB, and how long it would be.
fn just_short(before: &[Vec<u8>]) -> Sparse {
    let front = [before.concat(), plain_fmt()].concat();
    let data = u32::MAX - 9 - u32::try_from(front.len() + 12).unwrap();
    let data = data - data % 2;
    let body = [front, lying_chunk(b"data", data, &[])].concat();
    let len = 12 + body.len() as u64 + u64::from(data);
    let riff = u32::try_from(len - 8).unwrap();
    let file = [b"RIFF", &riff.to_le_bytes(), b"WAVE", &body[..]].concat();
    Sparse::new(file, len, Vec::new())
}

/// The first new bytes of a copy.
fn beginning(copy: &StampedCopy) -> &[u8] {
    match &copy.portions()[0] {
        Portion::New(bytes) => bytes,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_copy_that_passes_4_gib_becomes_rf64() {
    let copy = StampedCopy::plan(&mut just_short(&[]), &stamp(6)).unwrap();
    assert_eq!(copy.container(), Container::Rf64);
    assert_eq!(copy.remarks(), [Remark::Grown]);
    assert!(copy.len() > 1 << 32);
    let header = beginning(&copy);
    assert_eq!(header[..20], *b"RF64\xFF\xFF\xFF\xFFWAVEds64\x1C\0\0\0");
    assert_eq!(header[20..28], (copy.len() - 8).to_le_bytes());
    // With a reserve it grows by nothing but what is added.
    let reserve = chunk(b"JUNK", &[9; 40]);
    let mut original = just_short(&[reserve]);
    let copy = StampedCopy::plan(&mut original, &stamp(6)).unwrap();
    assert_eq!(beginning(&copy)[12..20], *b"ds64\x28\0\0\0");
    let added: usize = 8 + 602 + content_len_of_new_ixml();
    assert_eq!(copy.len(), original.len + added as u64);
}

fn content_len_of_new_ixml() -> usize {
    8 + content(&copy_of(&plain(&[]), &stamp(6)), b"iXML").len()
}

#[test]
fn what_is_no_wav_is_refused_with_a_way_out() {
    let caf = [
        &b"caff\0\x01\0\0desc\0\0\0\0\0\0\0\x20"[..],
        &48_000_f64.to_be_bytes(),
        b"lpcm\0\0\0\0\0\0\0\x02\0\0\0\x01\0\0\0\x01\0\0\0\x10",
        b"data\0\0\0\0\0\0\0\x08\0\0\0\0\x01\x02\x03\x04",
    ]
    .concat();
    let error = plan(&caf, &stamp(0)).unwrap_err();
    assert_eq!(
        error,
        StampError::NotWav {
            container: Container::Caf
        }
    );
    assert!(error.remedy().starts_with("Save its sound as WAV"));
    let none = plan(&plain(&[]), &without(&stamp(0), &[0])).unwrap_err();
    assert_eq!(none, StampError::NothingLeft { channels: 1 });
    let other = plan(&plain(&[]), &without(&stamp(0), &[4])).unwrap_err();
    assert_eq!(
        other.to_string(),
        "channel 5 can't be left out: the recording has 1"
    );
}

#[test]
fn chunks_that_tell_of_channels_are_named_when_one_goes() {
    let file = riff(&[
        fmt(1, 2, 48_000, 16),
        chunk(b"data", &[1; 8]),
        chunk(b"chna", &[0; 4]),
    ]);
    assert_eq!(plan(&file, &stamp(0)).unwrap().remarks(), []);
    assert_eq!(
        plan(&file, &without(&stamp(0), &[1])).unwrap().remarks(),
        [Remark::TellsOfChannels {
            id: ChunkId(*b"chna")
        }]
    );
}

#[test]
fn the_peak_of_a_channel_goes_with_it() {
    // libsndfile's own chunk: a version, a moment, and a peak and its place for each channel.
    let peaks: Vec<u8> = (0..32).collect();
    let file = riff(&[
        fmt(3, 3, 48_000, 32),
        chunk(b"PEAK", &peaks),
        chunk(b"data", &[1; 24]),
    ]);
    assert_eq!(content(&copy_of(&file, &stamp(0)), b"PEAK"), peaks);
    let copy = copy_of(&file, &without(&stamp(0), &[1]));
    assert_eq!(
        content(&copy, b"PEAK"),
        [&peaks[..16], &peaks[24..]].concat()
    );
}

#[test]
fn a_copy_that_was_changed_or_cut_is_not_the_same() {
    let file = riff(&[
        fmt(1, 2, 48_000, 16),
        chunk(b"abcd", &[3; 10]),
        chunk(b"data", &[1; 400]),
    ]);
    let stamp = without(&stamp(6), &[0]);
    let (copy, good) = copied(&file, &stamp, &[40]);
    let written = {
        let (mut writer, mut out) = (copy.writer(), Vec::new());
        for piece in copy.pieces() {
            writer.push(
                &file[usize::try_from(piece.start).unwrap()..usize::try_from(piece.end).unwrap()],
                &mut out,
            );
        }
        writer.finish(&mut out).unwrap()
    };
    let read = |bytes: &[u8]| {
        let mut read_back = copy.read_back(&mut Cursor::new(bytes), written)?;
        read_back.push(bytes);
        read_back.finish()
    };
    assert_eq!(read(&good), Ok(()));
    let (header, range) = (open(&good).unwrap(), 0..good.len());
    let sound = usize::try_from(header.data().start).unwrap();
    for at in range {
        let mut bad = good.clone();
        bad[at] ^= 0x10;
        let difference = read(&bad).unwrap_err();
        if at >= sound {
            assert_eq!(difference, Difference::Sound, "{at}");
        }
    }
    assert!(matches!(
        read(&good[..good.len() - 2]),
        Err(Difference::Problem(_))
    ));
    let longer = [&good[..], &[0, 0]].concat();
    assert!(matches!(read(&longer), Err(Difference::Length { .. })));
}

#[test]
fn a_copy_of_too_few_bytes_is_none() {
    let file = plain(&[]);
    let copy = plan(&file, &stamp(6)).unwrap();
    let (mut writer, mut out) = (copy.writer(), Vec::new());
    writer.push(&file[12..30], &mut out);
    assert_eq!(writer.finish(&mut out), None);
}
