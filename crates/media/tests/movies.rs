//! MP4 and QuickTime movies made box by box, good ones and hostile ones.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::movie::*;
use common::*;
use plumbline_media::{Container, Counting, Edit, Header, MediaError, Samples, Silenced};
use proptest::prelude::*;

fn sound(header: &Header, file: &[u8]) -> Vec<Vec<f32>> {
    samples(header, file, &[7])
}

fn s16(values: &[i16]) -> Vec<f32> {
    values
        .iter()
        .map(|&value| f32::from(value) / 32_768.0)
        .collect()
}

/// Two chunks of two sample frames with a picture between them.
const DATA: [u8; 19] = [
    0, 1, 0, 2, 0, 3, 0, 4, b'p', b'i', b'c', 0, 5, 0, 6, 0, 7, 0, 8,
];

fn stereo() -> Trak {
    Trak::sound(b"twos", 2, 16, &[(SOUND_AT, 2), (SOUND_AT + 11, 2)])
}

#[test]
fn sound_is_read_and_pictures_are_not() {
    let file = movie(b"qt  ", &DATA, &[stereo()]);
    let header = open(&file).unwrap();
    assert_eq!(
        (header.container, header.sample_rate),
        (Container::Mov, 48_000)
    );
    assert_eq!((header.channels(), header.sample_frames), (2, 4));
    let pieces: Vec<_> = header
        .pieces
        .iter()
        .map(|piece| piece.bytes.clone())
        .collect();
    assert_eq!(pieces, [24..32, 35..43]);
    assert_eq!(
        sound(&header, &file),
        [s16(&[1, 3, 5, 7]), s16(&[2, 4, 6, 8])]
    );
    assert_eq!(header.problems, []);
}

#[test]
fn every_tag_of_linear_sound_has_its_bytes_in_its_order() {
    let endian = boxed(b"wave", &boxed(b"enda", &[0, 1]));
    let pcm = |flags: u8, bits: u8| boxed(b"pcmC", &[0, 0, 0, 0, flags, bits]);
    let half = 0.5_f32;
    for (tag, bits, within, bytes) in [
        (b"sowt", 16, vec![], vec![0, 0x40]),
        (b"twos", 16, vec![], vec![0x40, 0]),
        (b"twos", 8, vec![], vec![0x40]),
        (b"raw ", 8, vec![], vec![0xC0]),
        (b"in24", 24, vec![], vec![0x40, 0, 0]),
        (b"in24", 24, endian.clone(), vec![0, 0, 0x40]),
        (b"in32", 32, endian.clone(), vec![0, 0, 0, 0x40]),
        (b"fl32", 32, vec![], half.to_be_bytes().to_vec()),
        (b"fl32", 32, endian, half.to_le_bytes().to_vec()),
        (b"fl64", 64, vec![], f64::from(half).to_be_bytes().to_vec()),
        (b"ipcm", 24, pcm(1, 24), vec![0, 0, 0x40]),
        (b"ipcm", 24, pcm(0, 24), vec![0x40, 0, 0]),
        (b"fpcm", 32, pcm(1, 32), half.to_le_bytes().to_vec()),
    ] {
        let trak = Trak {
            entry: sound_entry(tag, 1, bits, &within),
            ..Trak::sound(tag, 1, bits, &[(SOUND_AT, 2)])
        };
        let file = movie(b"isom", &[&bytes[..], &bytes].concat(), &[trak]);
        let header = open(&file).unwrap();
        assert_eq!(sound(&header, &file), [[half, half]], "{tag:?} {bits}");
    }
}

#[test]
fn the_tracks_channels_follow_each_other() {
    let mono = Trak::sound(b"twos", 1, 16, &[(SOUND_AT + 11, 4)]);
    let other = Trak::sound(b"twos", 1, 16, &[(SOUND_AT, 4)]);
    let file = movie(b"mp42", &DATA, &[mono, other]);
    let header = open(&file).unwrap();
    assert_eq!((header.container, header.channels()), (Container::Mp4, 2));
    // The second track stands first in the file.
    assert_eq!(header.pieces[0].track, 1);
    assert_eq!(
        sound(&header, &file),
        [s16(&[5, 6, 7, 8]), s16(&[1, 2, 3, 4])]
    );
}

#[test]
fn the_edit_list_lays_the_track_on_the_time_line() {
    let data: Vec<u8> = (1..=480_u16).flat_map(u16::to_be_bytes).collect();
    let trak = Trak {
        edits: vec![(2, -1), (3, 100)],
        ..Trak::sound(b"twos", 1, 16, &[(SOUND_AT, 480)])
    };
    let file = movie(b"mp42", &data, &[trak]);
    let header = open(&file).unwrap();
    // Two thousandths of silence; then three thousandths, and what is left of the fourth.
    assert_eq!(header.sample_frames, 96 + 192);
    let found = sound(&header, &file).remove(0);
    assert_eq!(found.len(), 288);
    assert!(found[..96].iter().all(|&sample| sample == 0.0));
    assert_eq!(found[96..97], s16(&[101]));
    // What is asked for in part stands at its place, edits and all.
    let part = header.part(0, 100..110).unwrap();
    let within = samples(&part.header, &file, &[64]).remove(0);
    let skip = usize::try_from(100 - part.begins).unwrap();
    assert_eq!(within[skip..skip + 10], found[100..110]);
    assert!(within.len() <= 20, "{}", within.len());
}

#[test]
fn a_track_that_begins_days_late_is_read_from_the_beginning() {
    let trak = Trak {
        edits: vec![(u32::MAX, -1), (1, 0)],
        ..stereo()
    };
    let file = movie(b"qt  ", &DATA, &[trak]);
    let header = open(&file).unwrap();
    assert_eq!(sound(&header, &file)[0], s16(&[1, 3, 5, 7]));
    assert!(
        header.problems[0].to_string().contains("4294967 s late"),
        "{:?}",
        header.problems
    );
}

#[test]
fn a_track_of_another_sample_rate_is_left_out_and_told() {
    let mut other = stereo();
    let rate = other.entry.len() - 4;
    other.entry[rate..].copy_from_slice(&(44_100_u32 << 16).to_be_bytes());
    let file = movie(b"qt  ", &DATA, &[stereo(), other]);
    let header = open(&file).unwrap();
    assert_eq!(header.channels(), 2);
    let told = header.problems[0].to_string();
    let wanted = "a track of 2 channels at 44100 Hz is left out: it does not fit the one before";
    assert_eq!(told, wanted);
}

/// The start times of the timecode tracks that FFmpeg writes: project's standards, QuickTime
/// timecode track, checked there with FFmpeg 5.1; and some that contradict themselves.
#[test]
fn timecode_tracks() {
    for (flags, scale, duration, frames, number, wanted) in [
        (
            1,
            30_000,
            1001,
            30,
            107_892,
            Some("01:00:00;00 at 29.97 drop-frame"),
        ),
        (0, 30_000, 1001, 30, 108_000, Some("01:00:00:00 at 29.97")),
        (0, 24_000, 1001, 24, 86_400, Some("01:00:00:00 at 23.976")),
        (0, 12_800, 512, 25, 900_000, Some("10:00:00:00 at 25")),
        (
            1,
            60_000,
            1001,
            60,
            215_784,
            Some("01:00:00;00 at 59.94 drop-frame"),
        ),
        (0, 12_800, 256, 50, 1_800_000, Some("10:00:00:00 at 50")),
        (0, 15_360, 128, 120, 4_320_000, Some("10:00:00:000 at 120")),
        // Pairs of frames.
        (0, 60_000, 1001, 30, 108_000, Some("01:00:00:00 at 29.97")),
        // The rate is known by the fraction, whatever the number of frames.
        (0, 25, 1, 30, 90_000, Some("01:00:00:00 at 25")),
        (8, 25, 1, 25, 90_000, None),
        (1, 25, 1, 25, 90_000, None),
        (0, 25, 0, 25, 90_000, None),
        (0, 25, 1, 25, 25 * 86_400, None),
    ] {
        let data = [&u32::to_be_bytes(number)[..], &DATA].concat();
        let timecode = Trak {
            handler: *b"tmcd",
            entry: timecode_entry(flags, scale, duration, frames),
            chunks: vec![(SOUND_AT, 1)],
            sizes: vec![4],
            ..stereo()
        };
        let mut sound = stereo();
        sound.chunks = vec![(SOUND_AT + 4, 2)];
        let header = open(&movie(b"qt  ", &data, &[timecode, sound])).unwrap();
        let [track] = &header.timecodes[..] else {
            panic!("{:?}", header.timecodes);
        };
        let found = track.start().zip(track.timebase());
        let found = found.map(|(start, timebase)| format!("{start} at {timebase}"));
        assert_eq!(
            found.as_deref(),
            wanted,
            "{flags} {scale}/{duration} {number}"
        );
        assert_eq!(track.counting == Counting::Counter, flags == 8);
        assert_eq!(track.agrees_with_itself(), (scale, frames) != (25, 30));
    }
}

#[test]
fn fragments_go_on_where_the_index_ends() {
    let empty = Trak {
        chunks: Vec::new(),
        ..Trak::sound(b"twos", 1, 16, &[])
    };
    let ftyp = boxed(b"ftyp", b"iso5\0\0\0\0");
    let mut file = [ftyp, moov(&[empty])].concat();
    for value in [10_u16, 20, 30] {
        // tfhd: samples count from the moof; trun: an offset, and two samples of two bytes.
        let data: Vec<u8> = [value, value + 1]
            .iter()
            .flat_map(|v| v.to_be_bytes())
            .collect();
        let tfhd = boxed(b"tfhd", &[0, 2, 0, 0, 0, 0, 0, 1]);
        let trun = |offset: u32| {
            let flags = 0x201_u32.to_be_bytes();
            let rest = [2, offset, 2, 2].map(u32::to_be_bytes).concat();
            boxed(b"trun", &[&flags[..], &rest].concat())
        };
        let moof = |offset| {
            let traf = [tfhd.clone(), trun(offset)].concat();
            boxed(b"moof", &boxed(b"traf", &traf))
        };
        let offset = u32::try_from(moof(0).len() + 8).unwrap();
        file.extend(moof(offset));
        file.extend(boxed(b"mdat", &data));
    }
    let header = open(&file).unwrap();
    assert_eq!(header.sample_frames, 6);
    assert_eq!(sound(&header, &file), [s16(&[10, 11, 20, 21, 30, 31])]);
}

fn error(file: &[u8]) -> MediaError {
    open(file).unwrap_err()
}

#[test]
fn what_has_no_index_or_no_sound_says_so_and_what_to_do() {
    let file = movie(b"qt  ", &DATA, &[stereo()]);
    let cut = error(&file[..40]);
    assert_eq!((cut.kind(), cut.place().as_str()), ("no-index", "file"));
    assert_eq!(
        cut.to_string(),
        "the file has no index (moov): the recording was never finished, so nothing tells where \
         its sound is"
    );
    assert!(cut.remedy().contains("before anything else is written"));
    let pictures = Trak {
        handler: *b"vide",
        ..stereo()
    };
    let silent = error(&movie(b"mp42", &DATA, &[pictures]));
    assert_eq!(
        (silent.kind(), silent.to_string().as_str()),
        ("no-sound", "the file holds no sound, only pictures")
    );
    let cinema = Trak {
        entry: sound_entry(b"ac-3", 2, 16, &[]),
        ..stereo()
    };
    let refused = error(&movie(b"mp42", &DATA, &[cinema]));
    assert_eq!(
        (refused.kind(), refused.to_string().as_str()),
        (
            "unsupported",
            "the sound is AC-3, which is not decoded here"
        )
    );
}

#[test]
fn a_copy_that_stopped_gives_what_is_there() {
    // The index first, as cameras for the web write it.
    let index_first = |traks: &[Trak]| [boxed(b"ftyp", b"mp42\0\0\0\0"), moov(traks)].concat();
    let before = index_first(&[stereo()]).len() as u64 + 8;
    let trak = Trak::sound(b"twos", 2, 16, &[(before, 2), (before + 11, 2)]);
    let whole = [index_first(&[trak]), boxed(b"mdat", &DATA)].concat();
    let header = open(&whole).unwrap();
    assert_eq!((header.sample_frames, header.problems.len()), (4, 0));
    let cut = &whole[..whole.len() - 5];
    let header = open(cut).unwrap();
    assert_eq!(sound(&header, cut), [s16(&[1, 3]), s16(&[2, 4])]);
    assert_eq!(header.problems[0].kind(), "truncated");
}

/// AAC-LC, 48 kHz, stereo, as ISO/IEC 14496-3 has the set-up: object type 2, rate 3, two channels.
const AAC_SETUP: [u8; 2] = [0x11, 0x90];

#[test]
fn packets_that_cannot_be_decoded_are_silence_and_counted() {
    let decoder = [&[4, 17, 0x40, 0x15][..], &[0; 11], &[5, 2], &AAC_SETUP].concat();
    let esds = [&[0, 0, 0, 0, 3, 22, 0, 1, 0], &decoder[..]].concat();
    let trak = Trak {
        entry: sound_entry(b"mp4a", 2, 16, &boxed(b"esds", &esds)),
        // One of them has no bytes, and so no sound.
        sizes: vec![9, 0, 10],
        duration: 1024,
        ..Trak::sound(b"mp4a", 2, 16, &[(SOUND_AT, 3)])
    };
    let file = movie(b"mp42", &[0x2A; 19], &[trak]);
    let header = open(&file).unwrap();
    assert_eq!(header.sample_frames, 2048);
    let mut reader = Samples::new(&header).unwrap();
    let mut found = 0;
    let begin = usize::try_from(SOUND_AT).unwrap();
    for bytes in file[begin..begin + 19].chunks(4) {
        reader.push(bytes, &mut |first, planes| {
            assert_eq!((first, planes.len()), (0, 2));
            assert!(
                planes
                    .iter()
                    .all(|plane| plane.iter().all(|&sample| sample == 0.0))
            );
            found += planes[0].len();
        });
    }
    assert_eq!(found, 2048);
    assert_eq!(reader.undecodable(), Silenced { count: 2, first: 0 });
}

#[test]
fn sixty_gigabytes_cost_what_the_index_costs() {
    const LEN: u64 = 60 << 30;
    // A second of sound each minute of the file, between pictures.
    let chunks: Vec<_> = (1..1000)
        .map(|number| (number * (LEN / 1000), 48_000))
        .collect();
    let index = moov(&[Trak::sound(b"sowt", 2, 16, &chunks)]);
    let mdat = LEN - 16 - index.len() as u64;
    let mut start = boxed(b"ftyp", b"qt  \0\0\0\0");
    start.extend(1_u32.to_be_bytes());
    start.extend(b"mdat");
    start.extend(mdat.to_be_bytes());
    let mut source = Sparse::new(start, LEN, index);
    let header = plumbline_media::open(&mut source).unwrap();
    assert_eq!(header.sample_frames, 999 * 48_000);
    assert_eq!(header.pieces.len(), 999);
    assert!(source.reads <= 6, "{} reads", source.reads);
    assert!(source.bytes_read <= 300_000, "{} bytes", source.bytes_read);
}

#[test]
fn counts_that_lie_cost_nothing() {
    let whole = movie(b"qt  ", &DATA, &[stereo()]);
    for id in [b"stsz", b"stsc", b"co64", b"stts", b"elst", b"stsd"] {
        let mut file = whole.clone();
        let at = file.windows(4).position(|four| four == id).unwrap();
        // The count is the first or the second field behind version and flags.
        file[at + 8..at + 16].fill(0xFF);
        if let Ok(header) = open(&file) {
            assert!(header.pieces.len() < 10, "{id:?}");
        }
        let mut long = whole.clone();
        long[at - 4..at].fill(0xFF);
        let _ = open(&long);
    }
}

/// What holds for every file that can be read.
fn holds_together(file: &[u8]) {
    let header = match open(file) {
        Ok(header) => header,
        Err(error) => {
            assert!(!error.to_string().is_empty() && !error.remedy().is_empty());
            return;
        }
    };
    assert!(header.sample_frames > 0);
    let mut bytes = 0;
    for piece in &header.pieces {
        assert!(piece.bytes.start < piece.bytes.end && piece.bytes.end <= file.len() as u64);
        assert!(piece.track < header.tracks.len());
        bytes += piece.bytes.end - piece.bytes.start;
    }
    // A hostile index may name the same bytes again and again, and minutes of silence.
    let is_short = header
        .tracks
        .iter()
        .all(|track| track.edit.silence < 1_000_000);
    if bytes < 1_000_000 && is_short {
        let found = sound(&header, file);
        assert_eq!(found.len(), usize::from(header.channels()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn any_change_or_cut_gives_an_answer(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        keep in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let timecode = Trak {
            handler: *b"tmcd",
            entry: timecode_entry(0, 25, 1, 25),
            chunks: vec![(SOUND_AT, 1)],
            sizes: vec![4],
            ..stereo()
        };
        let edited = Trak { edits: vec![(1, -1), (9, 1)], ..stereo() };
        let file = movie(b"qt  ", &DATA, &[edited, stereo(), timecode]);
        holds_together(&changed(file, &changes, keep));
    }
}

#[test]
fn edits_that_present_nothing_are_no_sound() {
    let trak = Trak {
        edits: vec![(1, 1_000_000)],
        ..stereo()
    };
    assert_eq!(error(&movie(b"qt  ", &DATA, &[trak])).kind(), "empty");
    assert_eq!(Edit::WHOLE.length(5), 5);
}
