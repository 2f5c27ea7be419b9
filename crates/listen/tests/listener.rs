//! An input with code of which all is known, listened to as a page would.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{Addresses, Seed, Source, Take};
use plumbline_listen::{Heard, Hearing, Listener, Plan, Planned, TimeOfDay};
use plumbline_timecode::st309::UtcOffset;
use plumbline_timecode::{Count, Fraction, Rate, SampleRate, TimeAddress};
use plumbline_tone::CodeClock;

/// A render quantum of the Web Audio API (W3C, clause 2.4), four of which a page sends together.
const BLOCK: usize = 512;
/// When the page's clock stood at the first sample, in milliseconds.
const BEGAN: f64 = 12_345.0;

fn hertz(hertz: u32) -> SampleRate {
    SampleRate::hertz(hertz).unwrap()
}

/// Code from 10:00:00:00 on whose clock runs `ppm` fast against the samples.
fn code(seconds: u32, ppm: i64, seed: Seed) -> Take {
    let from = TimeAddress::new(Count::F25, 10, 0, 0, 0).unwrap();
    let usual = Source::new(Rate::F25, hertz(48_000));
    let mut source = Source {
        addresses: Addresses::From(from),
        ..usual
    };
    source.tone.speed = Fraction::new(1_000_000 + i128::from(ppm), 1_000_000).unwrap();
    source.take(seconds * 25, seed).unwrap()
}

/// Pushes all of it, with readings of the clock that come in steps of 10 ms. `each` is told what
/// the page's clock says, and how many samples have come.
fn listen(listener: &mut Listener, planes: &[&[f32]], mut each: impl FnMut(&mut Listener, f64)) {
    let length = planes.iter().map(|plane| plane.len()).min().unwrap();
    for from in (0..length).step_by(BLOCK) {
        let to = (from + BLOCK).min(length);
        let block: Vec<&[f32]> = planes.iter().map(|plane| &plane[from..to]).collect();
        let page = BEGAN + to as f64 / 48.0;
        listener.read_clock(page, (to / 480 * 480) as f64);
        listener.push(i64::try_from(from).unwrap(), &block);
        each(listener, page);
    }
}

fn listener(channels: u16) -> Listener {
    Listener::new(hertz(48_000), channels, 0.0)
}

fn now(samples: usize) -> f64 {
    BEGAN + samples as f64 / 48.0
}

/// The clock that the page shows says at each moment which frame is in progress: from the first
/// address on, never more than a quarter of a frame from the truth.
#[test]
fn the_address_ticks_with_the_code() {
    let take = code(20, 0, Seed::judging(1));
    let mut listener = listener(1);
    let begins = take.words[0].begins;
    let mut worst: f64 = 0.0;
    listen(&mut listener, &[&take.samples], |listener, page| {
        let heard = listener.heard(page);
        let Some(ticking) = &heard.channels[0].ticking else {
            return;
        };
        let clock = CodeClock::try_from(ticking).unwrap();
        let truth = 900_000.0 + ((page - BEGAN) * 48.0 - begins) / 1920.0;
        worst = worst.max((clock.frame_at(page) - truth).abs());
    });
    assert!(worst > 0.0 && worst < 0.25, "{worst} frames");
    let heard = listener.heard(now(take.samples.len()));
    assert_eq!(heard.channels[0].hearing, Hearing::Code);
    assert_eq!(
        said(&heard),
        "Code on channel 1, nothing lost in the last minute."
    );
}

fn said(heard: &Heard) -> String {
    let verdict = &heard.verdict;
    format!("{}{}{}", verdict.before, verdict.mark, verdict.after)
}

/// Two devices 20 ppm apart, one of them 5 ms late: offset and pace are those that were made, and
/// what is claimed of them is as good as is said.
#[test]
fn two_channels_are_compared() {
    let (one, other) = (
        code(60, 20, Seed::judging(2)),
        code(60, 0, Seed::judging(3)),
    );
    let late: Vec<f32> = vec![0.0; 240].into_iter().chain(other.samples).collect();
    let mut listener = listener(2);
    listen(&mut listener, &[&late, &one.samples], |_, _| {});
    let heard = listener.heard(now(one.samples.len()));
    let compared = &heard.channels[1].compared[0];
    assert_eq!(compared.title, "Against channel 1");
    // 5 ms and a minute of 20 ppm.
    assert!(
        compared.offset.starts_with("6.2 ms (0.15 frames) ahead"),
        "{compared:?}"
    );
    assert!(compared.pace.starts_with("20.0"), "{compared:?}");
    assert!(
        compared.text.contains("one frame in 33 min"),
        "{compared:?}"
    );
    assert!(heard.channels[0].compared.is_empty());
}

/// A clock that is jammed from code agrees with it to a fraction of a frame; and code that is
/// compared with it later is as far off as it was moved.
#[test]
fn a_held_clock_is_where_the_code_is() {
    let take = code(20, 0, Seed::judging(4));
    let mut listener = listener(1);
    listen(&mut listener, &[&take.samples], |_, _| {});
    let page = now(take.samples.len());
    let held = listener.jam(0, page).unwrap();
    let clock = CodeClock::try_from(&held.ticking).unwrap();
    let truth = 900_000.0 + (take.samples.len() as f64 - take.words[0].begins) / 1920.0;
    assert!(
        (clock.frame_at(page) - truth).abs() < 0.02,
        "{held:?} {truth}"
    );
    assert_eq!(held.from, "channel 1");
    assert!(listener.jam(1, page).is_none());

    // Somebody who is quick holds what was heard for half a second.
    let mut quick = self::listener(1);
    listen(&mut quick, &[&take.samples[..24_000]], |_, _| {});
    let soon = now(24_000);
    let held = quick.jam(0, soon).unwrap();
    let clock = CodeClock::try_from(&held.ticking).unwrap();
    let truth = 900_000.0 + (24_000.0 - take.words[0].begins) / 1920.0;
    assert!(
        (clock.frame_at(soon) - truth).abs() < 0.3,
        "{held:?} {truth}"
    );
    let clock = CodeClock::try_from(&listener.jam(0, page).unwrap().ticking).unwrap();

    // The held clock set 0.3 frames ahead.
    let ahead = CodeClock::new(clock.timebase(), clock.frame_at(page) + 0.3, page, 25.0).unwrap();
    listener.compare_with(Some(ahead));
    let heard = listener.heard(page);
    let compared = &heard.channels[0].compared[0];
    assert_eq!(compared.title, "Against the clock that is held");
    assert!(
        compared.offset.contains("(0.30 frames) behind"),
        "{compared:?}"
    );
}

/// 10:00:00:00 began at the first edge; this device said 10:00:00.100 then.
#[test]
fn code_is_compared_with_the_time_of_day() {
    let take = code(15, 0, Seed::judging(5));
    let mut listener = listener(1);
    let first_edge = BEGAN + take.words[0].begins / 48.0;
    // 2026-10-10 10:00:00.100 UTC.
    let unix = 1_791_590_400_000.0 + 36_000_100.0;
    listener.set_time_of_day(TimeOfDay {
        ahead: unix - first_edge,
        offset: UtcOffset::UTC,
    });
    listen(&mut listener, &[&take.samples], |_, _| {});
    let heard = listener.heard(now(take.samples.len()));
    let compared = &heard.channels[0].compared[0];
    assert_eq!(compared.title, "Against this device’s time of day");
    assert!(
        compared.offset.contains("(2.50 frames) behind"),
        "{compared:?}"
    );
    assert!(
        compared.text.contains("jam one from the other"),
        "{compared:?}"
    );
}

/// Sound that never came leaves time as it was; code that stops is told, and what it said last
/// stays.
#[test]
fn missing_sound_and_code_that_stops_are_told() {
    let take = code(10, 0, Seed::judging(6));
    let mut listener = listener(1);
    listener.read_clock(BEGAN, 0.0);
    listener.push(0, &[&take.samples[..240_000]]);
    // A second is missing.
    listener.push(288_000, &[&take.samples[288_000..]]);
    let heard = listener.heard(now(take.samples.len()));
    assert!((heard.missing - 1_000.0).abs() < 1e-9, "{}", heard.missing);
    assert_eq!(heard.channels[0].hearing, Hearing::Code);
    assert!(
        said(&heard).contains("codewords lost in the last minute"),
        "{}",
        said(&heard)
    );
    let tail = listener.findings();
    assert_eq!(tail.len(), 1);

    let end = i64::try_from(take.samples.len()).unwrap();
    listener.push(end, &[&vec![0.0; 96_000]]);
    let heard = listener.heard(now(take.samples.len() + 96_000));
    assert_eq!(heard.channels[0].hearing, Hearing::Stopped);
    assert!(
        said(&heard).starts_with("The code stopped"),
        "{}",
        said(&heard)
    );
    let ticking = heard.channels[0].ticking.clone().unwrap();
    assert!(ticking.frames_per_second.abs() < f64::EPSILON);
    // 250 codewords: the last one is 10:00:09:24.
    let clock = CodeClock::try_from(&ticking).unwrap();
    assert_eq!(clock.address_at(1e9).to_string(), "10:00:09:24");

    // Minutes are missing: that is another sound.
    listener.push(end * 100, &[&[0.0; 512]]);
    let heard = listener.heard(now(1));
    assert_eq!(heard.channels[0].hearing, Hearing::Nothing);
    assert_eq!(said(&heard), "No code, and no sound that could be code.");
}

/// An interface with one socket gives it twice: that is no second device, until it is.
#[test]
fn a_channel_that_repeats_the_first_is_none_of_its_own() {
    let take = code(4, 0, Seed::judging(9));
    let mut listener = listener(2);
    listen(&mut listener, &[&take.samples, &take.samples], |_, _| {});
    let page = now(take.samples.len());
    let heard = listener.heard(page);
    assert_eq!(heard.channels.len(), 1);
    assert_eq!(heard.channels[0].title, "Channels 1 and 2 alike");
    assert_eq!(
        said(&heard),
        "Code on channel 1, nothing lost in the last minute."
    );

    let from = i64::try_from(take.samples.len()).unwrap();
    listener.push(from, &[&take.samples, &vec![0.0; take.samples.len()]]);
    assert_eq!(listener.heard(page).channels.len(), 2);
}

/// Two inputs that are silent alike, and then carry code from two devices, the second of them 10 ms
/// later: how far they are apart does not depend on how long they were alike.
#[test]
fn channels_that_were_alike_are_compared_once_they_are_not() {
    let (one, other) = (code(4, 0, Seed::judging(21)), code(4, 0, Seed::judging(21)));
    let after = |silence: usize, take: &Take| [vec![0.0; silence], take.samples.clone()].concat();
    let planes = [after(48_000, &one), after(48_480, &other)];
    let mut listener = listener(2);
    listen(&mut listener, &[&planes[0], &planes[1]], |_, _| {});
    let heard = listener.heard(now(planes[0].len()));
    let compared = &heard.channels[1].compared[0];
    assert_eq!(compared.title, "Against channel 1");
    assert_eq!(compared.offset, "10.0 ms (0.25 frames) behind");
}

#[test]
fn what_was_planned_and_is_not_stands_in_the_verdict() {
    let take = code(5, 0, Seed::judging(8));
    let mut listener = listener(1);
    let planned = |rate: &str| Planned {
        rate: rate.to_owned(),
        ..Planned::default()
    };
    listener.expect(Plan::new(&planned("24")).unwrap());
    listen(&mut listener, &[&take.samples], |_, _| {});
    let page = now(take.samples.len());
    assert!(said(&listener.heard(page)).contains("24 was planned"));
    listener.expect(Plan::new(&planned("25")).unwrap());
    assert!(said(&listener.heard(page)).contains("as planned"));
}

/// Recorded from the middle of a codeword on: a reader of recordings finds in the file what the
/// file says of itself, and every sample that was heard.
#[test]
fn what_is_recorded_says_when_it_begins() {
    use plumbline_shoot::{FrameList, RecordingReader};
    let take = code(8, 0, Seed::judging(10));
    let silence = vec![0.0; take.samples.len()];
    let mut listener = listener(2);
    let mut sound = Vec::new();
    let (mut heard, mut from) = (0, 0);
    listen(&mut listener, &[&silence, &take.samples], |listener, _| {
        heard += BLOCK;
        if from == 0 && heard > 96_000 {
            from = heard;
            listener.record();
        }
        sound.extend(listener.take_recorded());
    });
    let recorded = listener.end_record().unwrap();
    assert_eq!(sound.len(), (take.samples.len() - from) * 6);
    let file = [recorded.header, sound, recorded.after].concat();

    let mut source = std::io::Cursor::new(&file);
    let mut reader = RecordingReader::open("heard.wav", &mut source, FrameList::Leave).unwrap();
    for piece in reader.pieces() {
        let place = |at: u64| usize::try_from(at).unwrap();
        reader.push(&file[place(piece.start)..place(piece.end)]);
    }
    let report = reader.finish().report;
    assert!(report.error.is_none(), "{:?}", report.error);
    let read = &report.codes[0];
    assert_eq!(
        (read.channel, read.start.as_deref()),
        (1, recorded.starts_at.as_deref())
    );
    let said = report.embedded[0].samples_since_midnight as f64;
    assert!(
        (said - read.start_samples_since_midnight.unwrap()).abs() < 1.0,
        "{report:?}"
    );
    assert!(read.findings.is_empty(), "{:?}", read.findings);
    assert!(listener.end_record().is_none());
}
