//! Code that leaks from its own channel into another.

use plumbline_damage::{Added, Decibels, Seed, Source, Speech, Take};
use plumbline_shoot::FrameList;
use plumbline_shoot::reading::Reading;
use plumbline_shoot::report::{Finding, FindingKind};
use plumbline_timecode::{Rate, SampleRate};
use std::error::Error;

type Outcome = Result<(), Box<dyn Error>>;

const SEED: Seed = Seed::tuning(11);

/// Twenty seconds of code.
fn code() -> Result<Take, Box<dyn Error>> {
    let source = Source::new(Rate::F25, SampleRate::hertz(48_000)?);
    Ok(source.take(500, SEED)?)
}

/// Code, and the same `quieter` dB below with speech that is so much louder than that, `later` samples after
/// it.
fn reading(
    take: &Take,
    quieter: f32,
    speech: Option<f64>,
    later: usize,
) -> Result<Reading, Box<dyn Error>> {
    let gain = 10.0_f32.powf(-quieter / 20.0);
    let leaked = take.samples.iter().map(|sample| gain * sample);
    let mut other = Take {
        samples: vec![0.0; later].into_iter().chain(leaked).collect(),
        code_power: take.code_power * f64::from(gain * gain),
        ..take.clone()
    };
    if let Some(over) = speech {
        other = other.damaged(SEED, &[&Added::over_code(Speech, Decibels(over))])?;
    }
    let length = take.samples.len();
    plumbline_damage::reading(
        take.sample_rate,
        &[&other.samples[..length], &take.samples],
        FrameList::Leave,
    )
}

fn found(reading: &Reading, code: usize) -> Result<&[Finding], String> {
    let code = reading.report.codes.get(code);
    code.map(|code| code.findings.as_slice())
        .ok_or_else(|| format!("{:?}", reading.report.codes))
}

#[test]
fn code_that_leaks_under_speech_is_told_with_where_from_and_how_much() -> Outcome {
    let reading = reading(&code()?, 24.0, Some(10.0), 0)?;
    let channels = reading.report.codes.iter().map(|code| code.channel);
    assert_eq!(channels.collect::<Vec<_>>(), [1, 0], "the best first");
    let leaks = reading.summary.codes.iter().map(|code| code.leaks);
    assert_eq!(leaks.collect::<Vec<_>>(), [false, true]);
    let bled: Vec<&Finding> = (found(&reading, 1)?.iter())
        .filter(|finding| finding.kind == FindingKind::Bled)
        .collect();
    let [finding] = bled.as_slice() else {
        return Err(format!("{:#?}", found(&reading, 1)?).into());
    };
    assert!(
        finding.text.starts_with("Channel 2 has the same code"),
        "{}",
        finding.text
    );
    let told = ["23 dB", "24 dB", "25 dB"].map(|told| finding.text.contains(told));
    assert!(told.contains(&true), "{}", finding.text);
    let kinds = found(&reading, 1)?.iter().map(|finding| finding.kind);
    let others =
        kinds.filter(|kind| [FindingKind::UnderSound, FindingKind::WeakLevel].contains(kind));
    assert_eq!(others.count(), 0, "what lies over it belongs there");
    assert!(found(&reading, 0)?.is_empty(), "the code itself is good");
    assert_eq!(reading.verdict.before, "Code on channel 2, but ");
    assert_eq!(reading.verdict.mark, "it leaks into channel 1");
    Ok(())
}

#[test]
fn that_code_ends_early_is_told_of_its_own_channel_alone() -> Outcome {
    let mut code = code()?;
    code.samples[480_000..].fill(0.0);
    let reading = reading(&code, 24.0, Some(10.0), 0)?;
    let early = |found: &[Finding]| {
        let kinds = found.iter().map(|finding| finding.kind);
        kinds.filter(|kind| *kind == FindingKind::EarlyEnd).count()
    };
    assert_eq!(early(found(&reading, 0)?), 1);
    assert_eq!(early(found(&reading, 1)?), 0);
    Ok(())
}

#[test]
fn quiet_code_leaks_only_if_it_is_the_same_and_no_track_for_safety() -> Outcome {
    let is_told = |quieter, later| -> Result<bool, Box<dyn Error>> {
        let reading = reading(&code()?, quieter, None, later)?;
        let mut found = reading.report.codes.iter().flat_map(|code| &code.findings);
        Ok(found.any(|finding| finding.kind == FindingKind::Bled))
    };
    assert!(is_told(40.0, 0)?);
    assert!(!is_told(20.0, 0)?, "a second track, turned down");
    assert!(!is_told(40.0, 20)?, "another way than through the recorder");
    Ok(())
}
