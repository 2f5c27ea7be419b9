//! From facts and findings to the report and to what the page shows.

use crate::drawing;
use crate::facts::{Extent, Progress};
use crate::findings::{Found, Stamp};
use crate::metadata;
use crate::reading::{CodeReading, FindingReading, Reading, Verdict};
use crate::recording::Heard;
use crate::report::{Code, Evidence, Finding, Frame, Report, ReportedError, Stretch, Suspicion};
use crate::stretch::Basis;
use crate::summary::{self, Summary};
use crate::user_bits;
use crate::verdict;
use crate::whole;
use crate::word::Word;
use plumbline_ltc::Direction;
use plumbline_media::{Header, Track};
use plumbline_timecode::Count;
use plumbline_words::{self as words, Fact, counted, signed, thousands};

/// A file that gave nothing but an error.
pub(crate) fn unreadable(name: &str, error: ReportedError) -> Reading {
    let text = error.text.clone();
    let verdict = verdict::unreadable(&text);
    let report = Report {
        file: name.to_owned(),
        error: Some(error),
        ..Report::default()
    };
    Reading {
        report,
        verdict,
        about: String::new(),
        codes: Vec::new(),
        suspected: Vec::new(),
        notes: Vec::new(),
        seconds: 0.0,
        summary: Summary {
            file: name.to_owned(),
            error: Some(text),
            ..Summary::default()
        },
    }
}

/// The report of one code.
pub(crate) fn code(heard: &Heard<'_>) -> Code {
    let facts = &heard.facts;
    let count = facts.timebase.count();
    let start = facts.start();
    let clock = facts.clock_ppm();
    let words = facts.continuity.words.as_ref();
    Code {
        channel: facts.channel,
        rate: facts.timebase.rate().name().to_owned(),
        drop_frame: count.is_drop(),
        level_dbfs: to(2, facts.level_dbfs()),
        start: start.map(|start| start.address.to_string()),
        start_samples_since_midnight: start.map(|start| to(3, start.samples)),
        frames_read: facts.read(),
        frames_lost: facts.lost(),
        clock_ppm: clock.map(|(ppm, _)| to(3, ppm)),
        clock_ppm_uncertainty: clock.and_then(|(_, deviation)| deviation).map(|d| to(4, d)),
        stretches: facts
            .stretches()
            .iter()
            .map(|stretch| Stretch {
                first: written(stretch.first(count)),
                last: written(stretch.last(count)),
                first_sample: to(3, stretch.run.first.first_edge),
                frames: stretch.run.read,
                evidence: match stretch.basis {
                    Basis::Each => Evidence::Each,
                    Basis::Together { .. } => Evidence::Together,
                },
                odds_log10: match stretch.basis {
                    Basis::Each => None,
                    Basis::Together { odds_log10, .. } => Some(to(1, odds_log10)),
                },
                reverse: stretch.run.first.direction == Direction::Reverse,
                speed: to(6, facts.speed_of(stretch)),
                user_bits: stretch.user_bits().map(|bits| bits.to_string()),
            })
            .collect(),
        findings: heard
            .found
            .iter()
            .map(|found| rounded(&found.finding))
            .collect(),
        frames: words.map(|words| words.iter().map(|word| frame(word, count)).collect()),
    }
}

fn written(address: Option<plumbline_timecode::TimeAddress>) -> String {
    address
        .map(|address| address.to_string())
        .unwrap_or_default()
}

fn rounded(finding: &Finding) -> Finding {
    Finding {
        sample: finding.sample.map(|sample| to(3, sample)),
        ..finding.clone()
    }
}

fn frame(word: &Word, count: Count) -> Frame {
    let in_count = word
        .codeword
        .address(count)
        .map(|address| address.to_string());
    Frame {
        timecode: in_count.unwrap_or_else(|_| word.codeword.digits().to_string()),
        drop_frame: word.codeword.drop_flag(),
        sample: to(3, word.first_edge),
        user_bits: word.codeword.user_bits().to_string(),
        reverse: word.direction == Direction::Reverse,
    }
}

/// Rounded to that many decimals: what was measured has no more.
fn to(decimals: i32, value: f64) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale).round() / scale
}

/// The reading of a recording.
pub(crate) fn reading(
    report: Report,
    header: &Header,
    heard: &[Heard<'_>],
    stamps: &[Stamp],
    extent: Extent,
) -> Reading {
    Reading {
        summary: summary::of(&report, header, heard, stamps),
        verdict: verdict(&report, heard, extent),
        about: about(&report, header),
        codes: heard.iter().map(code_reading).collect(),
        suspected: report
            .suspected
            .iter()
            .map(|s| suspicion(s, extent))
            .collect(),
        notes: metadata::notes(header),
        seconds: length(&report, header),
        report,
    }
}

fn verdict(report: &Report, heard: &[Heard<'_>], extent: Extent) -> Verdict {
    let channels: Vec<verdict::Heard<'_>> = heard
        .iter()
        .map(|heard| verdict::Heard {
            channel: u32::from(heard.facts.channel) + 1,
            found: &heard.found,
        })
        .collect();
    if let (Some(first), true, Progress::Done) = (
        report.suspected.first(),
        channels.is_empty(),
        extent.progress,
    ) {
        verdict::suspected(u32::from(first.channel) + 1)
    } else if channels.is_empty() {
        verdict::without_code(u32::from(report.channels.unwrap_or(1)), extent.progress)
    } else {
        verdict::on_codes(&channels, extent.progress)
    }
}

/// "30 min 02 s · 48 kHz · 24 bit · 2 channels".
fn about(report: &Report, header: &Header) -> String {
    let track = header.tracks.first();
    let codec = track
        .and_then(Track::codec)
        .map(|codec| codec.name().to_owned());
    let bits = track
        .and_then(|track| track.bits)
        .map(|bits| format!("{bits} bit"));
    let facts = [
        Some(words::seconds(length(report, header))),
        Some(kilohertz(header.sample_rate)),
        codec,
        bits,
        Some(counted(u64::from(header.channels()), "channel")),
    ];
    facts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// How long the recording is, in seconds of its own clock.
fn length(report: &Report, header: &Header) -> f64 {
    report.samples.unwrap_or(0) as f64 / f64::from(header.sample_rate)
}

fn kilohertz(hertz: u32) -> String {
    if hertz.is_multiple_of(1000) {
        format!("{} kHz", hertz / 1000)
    } else {
        format!("{} kHz", f64::from(hertz) / 1000.0)
    }
}

pub(crate) fn code_reading(heard: &Heard<'_>) -> CodeReading {
    let facts = &heard.facts;
    let channel = facts.channel;
    CodeReading {
        channel,
        title: format!("Channel {}", u32::from(channel) + 1),
        starts_at: facts.start().map(|start| start.address.to_string()),
        ends_at: facts.end().map(|end| end.to_string()),
        facts: headline_facts(heard),
        user_bits: readings(heard),
        findings: heard
            .found
            .iter()
            .map(|found| finding(found, facts.extent))
            .collect(),
        drawing: drawing::drawing(facts),
    }
}

/// The user bits of the first codeword in every reading that makes sense.
fn readings(heard: &Heard<'_>) -> Vec<Fact> {
    let first = heard.facts.stretches().first();
    let first = first.and_then(crate::stretch::Stretch::with_user_bits);
    let count = heard.facts.timebase.count();
    first
        .map(|codeword| user_bits::readings(codeword, count))
        .unwrap_or_default()
}

fn headline_facts(heard: &Heard<'_>) -> Vec<Fact> {
    let facts = &heard.facts;
    let (read, lost) = (facts.read(), facts.lost());
    let of = if lost > 0 {
        format!(" of {}", thousands(read + lost))
    } else {
        String::new()
    };
    let bits = facts
        .stretches()
        .first()
        .map(|stretch| match stretch.user_bits() {
            Some(bits) => words::user_bits::in_pairs(bits),
            None => "others in each codeword".into(),
        });
    let mut all = vec![
        Fact::new("Rate", words::frames_a_second(facts.timebase)),
        Fact::new("User bits", bits.unwrap_or_default()),
        Fact::new("Level", format!("{} dBFS", signed(facts.level_dbfs(), 1))),
        Fact::new("Clock against this recorder", clock(heard)),
        Fact::new("Codewords read", format!("{}{of}", thousands(read))),
    ];
    if let Some(start) = facts.start() {
        all.push(Fact::new(
            "Start in samples since midnight",
            thousands(whole::unsigned(start.samples)),
        ));
    }
    all
}

fn clock(heard: &Heard<'_>) -> String {
    match heard.facts.clock_ppm() {
        Some((ppm, Some(deviation))) => words::ppm(ppm, deviation),
        _ => "not measured".into(),
    }
}

fn suspicion(suspicion: &Suspicion, extent: Extent) -> FindingReading {
    let second = extent.seconds(suspicion.sample);
    FindingReading {
        heading: format!(
            "Channel {} may carry code",
            u32::from(suspicion.channel) + 1
        ),
        place: words::place(second),
        second: Some(second),
        text: suspicion.text.clone(),
        remedy: suspicion.remedy.clone(),
    }
}

fn finding(found: &Found, extent: Extent) -> FindingReading {
    let Finding {
        at,
        sample,
        text,
        remedy,
        ..
    } = &found.finding;
    let second = sample.map(|sample| extent.seconds(sample));
    let place = at.clone().or_else(|| second.map(words::place));
    FindingReading {
        heading: found.heading.clone(),
        place: place.unwrap_or_else(|| "the whole recording".to_owned()),
        second,
        text: text.clone(),
        remedy: remedy.clone(),
    }
}
