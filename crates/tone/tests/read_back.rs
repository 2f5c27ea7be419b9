//! Files that were made, read back: right ones are as asked, damaged ones are not.
#![expect(
    clippy::unwrap_used,
    reason = "a test; clippy does not know this attribute as one"
)]

mod common;

use common::{file, outcome, plan, settings};
use plumbline_media::Header;
use plumbline_timecode::{Rate, Timebase};
use plumbline_tone::{AsAsked, Outcome, Plan};
use proptest::prelude::*;
use std::io::Cursor;

const SIZE: usize = 70_001;

fn header(file: &[u8]) -> Header {
    plumbline_media::open(&mut Cursor::new(file)).unwrap()
}

/// Demands that a file is not as asked.
fn differs(plan: &Plan, file: &[u8]) -> Outcome {
    let outcome = outcome(plan, file, SIZE);
    assert_eq!(outcome.as_asked, AsAsked::No, "{}", outcome.text);
    assert!(!outcome.remedy.is_empty());
    outcome
}

fn data(file: &[u8]) -> usize {
    usize::try_from(header(file).data().start).unwrap()
}

#[test]
fn a_minute_is_as_asked() {
    let plan = plan(&[("length", "1 min")]);
    let outcome = outcome(&plan, &file(&plan), SIZE);
    assert_eq!(outcome.text, "1,500 codewords read back, all as asked.");
    assert_eq!(outcome.as_asked, AsAsked::Yes);
    assert_eq!(outcome.remedy, "");
}

#[test]
fn every_timebase_at_every_sample_rate_is_as_asked() {
    for timebase in Timebase::all() {
        for hertz in ["44100", "48000", "88200", "96000", "176400", "192000"] {
            let counting = if timebase.count().is_drop() {
                "drop"
            } else {
                "non-drop"
            };
            let plan = plan(&[
                ("rate", timebase.rate().name()),
                ("counting", counting),
                ("start", "00:00:59:00"),
                ("length", "3 s"),
                ("sample_rate", hertz),
            ]);
            let outcome = outcome(&plan, &file(&plan), SIZE);
            assert_eq!(
                outcome.as_asked,
                AsAsked::Yes,
                "{timebase} {hertz}: {}",
                outcome.text
            );
        }
    }
}

#[test]
fn a_single_codeword_is_as_asked() {
    for rate in Rate::ALL {
        let one = match rate.frames_per_codeword() {
            1 => "1",
            2 => "2",
            _ => "4",
        };
        let plan = plan(&[("rate", rate.name()), ("length", one)]);
        assert_eq!(plan.codeword_count(), 1);
        let outcome = outcome(&plan, &file(&plan), SIZE);
        assert_eq!(
            outcome.text, "1 codeword read back, all as asked.",
            "{rate}"
        );
    }
}

#[test]
fn how_the_bytes_are_cut_never_matters() {
    let plan = plan(&[
        ("length", "2 s"),
        ("takes", "2"),
        ("silence", "0.3"),
        ("beside", "blips"),
    ]);
    let file = file(&plan);
    for size in [1, 7, 1000, file.len()] {
        assert_eq!(outcome(&plan, &file, size).as_asked, AsAsked::Yes, "{size}");
    }
}

/// One flipped bit in each of the three ways to write samples, at the top of the sample after
/// the middle of a codeword.
#[test]
fn a_flipped_bit_is_found() {
    for (samples, bytes) in [("16", 2), ("24", 3), ("float", 4)] {
        let plan = plan(&[("length", "10 s"), ("samples", samples)]);
        let mut file = file(&plan);
        // The codeword 100 begins at sample 192,000; both samples are far from its edges.
        let at = data(&file) + (192_000 + 6) * bytes + bytes - 1;
        for sample in 0..6 {
            file[at + sample * bytes] ^= 0x80;
        }
        let outcome = differs(&plan, &file);
        assert!(
            outcome.text.contains("10:00:04:00 at sample 192,000"),
            "{}",
            outcome.text
        );
        assert!(outcome.text.starts_with("249 of 250 "), "{}", outcome.text);
    }
}

#[test]
fn a_sample_more_or_less_is_found() {
    let plan = plan(&[("length", "10 s")]);
    let right = file(&plan);
    let at = data(&right) + 192_000 * 3;
    // One sample in the middle is doubled, and the last one left out.
    let mut late = right.clone();
    late.splice(at..at, right[at - 3..at].to_vec());
    late.truncate(right.len());
    // The codeword before is the first whose end is late.
    let text = differs(&plan, &late).text;
    assert!(
        text.contains("10:00:03:24 at sample 190,080 begins"),
        "{text}"
    );
    assert!(text.starts_with("99 of 250 codewords"), "{text}");
    // One is left out in the middle, and one more is at the end.
    let mut early = right.clone();
    early.drain(at..at + 3);
    early.extend([0, 0, 0]);
    let text = differs(&plan, &early).text;
    assert!(
        text.contains("10:00:03:24 at sample 190,080 begins"),
        "{text}"
    );
    assert!(text.starts_with("99 of 250 codewords"), "{text}");
}

#[test]
fn a_wrong_start_time_is_found() {
    let plan = plan(&[("length", "10 s")]);
    let mut file = file(&plan);
    // EBU Tech 3285 clause 2.3: TimeReferenceLow is 338 bytes into bext, here the first chunk.
    assert_eq!(&file[12..16], b"bext");
    file[20 + 338] ^= 1;
    let outcome = differs(&plan, &file);
    assert_eq!(
        outcome.text,
        "250 of 250 codewords read back as asked. The header of the file has 1,728,000,001 \
         samples since midnight for bext, not 1,728,000,000 samples since midnight."
    );
}

#[test]
fn wrong_ixml_is_found() {
    let plan = plan(&[("length", "10 s")]);
    let right = file(&plan);
    let replaced = |from: &[u8], to: &[u8]| {
        let mut file = right.clone();
        let at = file
            .windows(from.len())
            .position(|bytes| bytes == from)
            .unwrap();
        file[at..at + to.len()].copy_from_slice(to);
        differs(&plan, &file).text
    };
    let rate = replaced(b"<TIMECODE_RATE>25/1", b"<TIMECODE_RATE>24/1");
    assert!(rate.contains("(iXML)"), "{rate}");
    let start = replaced(b"MIDNIGHT_LO>1728000000", b"MIDNIGHT_LO>1728000007");
    assert!(start.contains("1,728,000,007"), "{start}");
}

#[test]
fn another_header_is_found() {
    let made = plan(&[("length", "10 s")]);
    let file = file(&made);
    for (field, typed, told) in [
        (
            "sample_rate",
            "44100",
            "48,000 for the sample rate, not 44,100",
        ),
        ("samples", "16", "24 bits for a sample, not 16 bits"),
        ("beside", "silence", "1 for channels, not 2"),
        (
            "length",
            "11 s",
            "480,000 for the number of samples, not 528,000",
        ),
    ] {
        let other = plan(&[("length", "10 s"), (field, typed)]);
        // Headers of another length are read at the length that was asked for.
        let text = differs(&other, &file).text;
        assert!(text.contains(told) || text.contains("bytes, not"), "{text}");
    }
}

#[test]
fn a_file_that_was_cut_off_is_found() {
    let plan = plan(&[("length", "10 s")]);
    let file = file(&plan);
    for length in [0, 10, 700, data(&file), file.len() / 2, file.len() - 1] {
        let text = differs(&plan, &file[..length]).text;
        assert!(text.contains("bytes, not 1,4"), "{text}");
    }
}

#[test]
fn code_of_another_tone_is_found() {
    let asked = plan(&[("length", "10 s")]);
    for (field, typed) in [
        ("start", "10:00:00:01"),
        ("user_bits", "00000001"),
        ("clock_time", "yes"),
        ("colour_frame", "set"),
    ] {
        let other = file(&plan(&[("length", "10 s"), (field, typed)]));
        // The header is the right one, so only the code can tell.
        let mut file = file(&asked);
        let (at, there) = (data(&file), data(&other));
        file.truncate(at);
        file.extend_from_slice(&other[there..]);
        let outcome = differs(&asked, &file);
        assert!(
            outcome.text.starts_with("0 of 250 codewords"),
            "{}",
            outcome.text
        );
        assert!(outcome.text.contains("has the bits"), "{}", outcome.text);
    }
}

#[test]
fn code_that_is_not_there_or_stops_is_found() {
    let plan = plan(&[("length", "10 s")]);
    let right = file(&plan);
    let data = data(&right);
    let mut silent = right.clone();
    silent[data..].fill(0);
    let text = differs(&plan, &silent).text;
    assert_eq!(
        text,
        "0 of 250 codewords read back as asked. First, 10:00:00:00 at sample 0 was not found."
    );
    let mut stops = right.clone();
    stops[data + 240_000 * 3..].fill(0);
    let text = differs(&plan, &stops).text;
    assert!(
        text.contains("10:00:05:00 at sample 240,000 was not found"),
        "{text}"
    );
}

/// Takes after silence, where the receiver knows least of the level, with edges so slow that code
/// reaches its level in whole cells only.
#[test]
fn slow_edges_are_read_after_silence() {
    use plumbline_timecode::{Frames, TimeAddress};
    for timebase in timebases() {
        let count = timebase.count();
        let parts = i64::from(count.frames_per_codeword());
        for (codewords, rise_time) in [(1_077_378, "161"), (1_093_216, "190"), (733_221, "190")] {
            let after =
                |codewords| TimeAddress::midnight(count).plus_wrapping(Frames(codewords * parts));
            let plan = plan(&[
                ("rate", timebase.rate().name()),
                (
                    "counting",
                    if count.is_drop() { "drop" } else { "non-drop" },
                ),
                ("start", &after(codewords).to_string()),
                ("length", &after(30).to_string()),
                ("takes", "2"),
                ("jump", &after(2).to_string()),
                ("silence", "0.1"),
                ("sample_rate", "44100"),
                ("samples", "16"),
                ("level", "-1"),
                ("rise_time", rise_time),
            ]);
            let outcome = outcome(&plan, &file(&plan), SIZE);
            assert_eq!(
                outcome.as_asked,
                AsAsked::Yes,
                "{timebase:?}: {}",
                outcome.text
            );
        }
    }
}

/// Takes after silence, wherever in a tile they begin: the first sample alone shows only a part of
/// the level.
#[test]
fn quiet_code_is_read_after_silence() {
    for codewords in 20..60 {
        let plan = plan(&[
            ("rate", "29.97"),
            ("counting", "non-drop"),
            (
                "length",
                &format!("00:00:{:02}:{:02}", codewords / 30, codewords % 30),
            ),
            ("takes", "2"),
            ("silence", "0.25"),
            ("sample_rate", "44100"),
            ("level", "-88"),
            ("rise_time", "1"),
        ]);
        let outcome = outcome(&plan, &file(&plan), SIZE);
        assert_eq!(outcome.as_asked, AsAsked::Yes, "{}", outcome.text);
    }
}

fn timebases() -> Vec<Timebase> {
    Timebase::all().collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Settings that are right give a file that is as asked.
    #[test]
    fn what_is_right_is_read_back_as_asked(
        timebase in prop::sample::select(timebases()),
        start in any::<u32>(),
        codewords in 1_i64..80,
        user_bits in any::<u32>(),
        takes in 1..4_u32,
        silence in prop::sample::select(vec!["0", "0.1", "0.25", "1.0007"]),
        jump in -3_i64..3,
        hertz in prop::sample::select(vec!["44100", "48000", "96000", "192000"]),
        samples in prop::sample::select(vec!["16", "24", "float"]),
        level in -90..=0_i32,
        rise_time in 1..=200_u32,
        polarity in prop::sample::select(vec!["upright", "inverted"]),
        beside in prop::sample::select(vec!["nothing", "silence", "line-up", "blips"]),
    ) {
        use plumbline_timecode::{CodeAddress, FrameNumber, Frames, TimeAddress};
        let count = timebase.count();
        let start = FrameNumber(start % count.code().frames_per_day());
        let start = TimeAddress::from_frame_number(count.code(), start).unwrap();
        let start = CodeAddress::new(start, 0, count).unwrap().frame();
        let parts = i64::from(count.frames_per_codeword());
        let frames = |frames: i64| TimeAddress::midnight(count).plus_wrapping(Frames(frames * parts));
        let sign = if jump < 0 { "-" } else { "" };
        let settings = settings(&[
            ("rate", timebase.rate().name()),
            ("counting", if count.is_drop() { "drop" } else { "non-drop" }),
            ("start", &start.to_string()),
            ("length", &frames(codewords).to_string()),
            ("user_bits", &format!("{user_bits:08X}")),
            ("takes", &takes.to_string()),
            ("silence", silence),
            ("jump", &format!("{sign}{}", frames(jump.abs()))),
            ("sample_rate", hertz),
            ("samples", samples),
            ("level", &level.to_string()),
            ("rise_time", &rise_time.to_string()),
            ("polarity", polarity),
            ("beside", beside),
        ]);
        let plan = Plan::new(&settings);
        // What may be wrong here is only a level that the samples are too coarse for.
        if let Err(problems) = &plan {
            prop_assert!(level < -50 && samples != "float", "{:?}", problems);
            prop_assert_eq!(problems.len(), 1);
            prop_assert_eq!(&problems[0].field, "level");
            return Ok(());
        }
        let plan = plan.unwrap();
        let file = file(&plan);
        prop_assert_eq!(file.len() as u64, plan.file_bytes());
        let outcome = outcome(&plan, &file, SIZE);
        prop_assert_eq!(outcome.as_asked, AsAsked::Yes, "{}", outcome.text);
        prop_assert!(outcome.text.contains("all as asked"));
    }
}
