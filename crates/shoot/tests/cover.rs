//! Code that lies under something: one finding that names it, and nothing else of what it cost.

use plumbline_damage::{
    Added, Clicks, Damage, Decibels, Dropouts, Hum, Mains, Pink, Seed, Source, Speech, White,
};
use plumbline_shoot::FrameList;
use plumbline_shoot::reading::Reading;
use plumbline_shoot::report::{Code, Finding, FindingKind};
use plumbline_timecode::{Rate, SampleRate};
use std::error::Error;

type Outcome = Result<(), Box<dyn Error>>;

const HERTZ: u32 = 48_000;
/// What is told of code that lies under something.
const UNDER: [FindingKind; 4] = [
    FindingKind::UnderNoise,
    FindingKind::UnderHum,
    FindingKind::UnderClicks,
    FindingKind::UnderSound,
];

/// The reading of ten seconds of code that something was done to.
fn reading(seed: u64, damage: &[&dyn Damage]) -> Result<Reading, Box<dyn Error>> {
    let seed = Seed::tuning(seed);
    let source = Source::new(Rate::F25, SampleRate::hertz(HERTZ)?).at_dbfs(-30.0)?;
    let take = source.take(250, seed)?.damaged(seed, damage)?;
    plumbline_damage::reading(take.sample_rate, &[&take.samples], FrameList::Leave)
}

fn code(seed: u64, damage: &[&dyn Damage]) -> Result<Code, Box<dyn Error>> {
    let codes = reading(seed, damage)?.report.codes;
    Ok(codes.into_iter().next().ok_or("no code")?)
}

/// The only finding.
fn only(code: &Code) -> Result<&Finding, String> {
    match code.findings.as_slice() {
        [finding] => Ok(finding),
        findings => Err(format!("{findings:#?}")),
    }
}

const fn white(over: f64) -> Added<White> {
    Added::over_code(White, Decibels(over))
}

/// No input is without noise; what is told apart must not depend on that.
const INPUT: Added<White> = white(-35.0);

#[test]
fn noise_is_named_with_its_level_whether_it_cost_codewords_or_not() -> Outcome {
    let code = code(1, &[&white(-3.0)])?;
    let finding = only(&code)?;
    assert_eq!(finding.kind, FindingKind::UnderNoise);
    assert!(finding.text.contains("3 dB below"), "{}", finding.text);
    assert!(
        finding.text.contains("none beside them was lost"),
        "{}",
        finding.text
    );
    Ok(())
}

#[test]
fn what_noise_cost_is_told_in_the_same_finding() -> Outcome {
    let code = code(2, &[&white(4.0)])?;
    assert!(code.frames_lost > 2, "{} lost", code.frames_lost);
    let finding = only(&code)?;
    assert_eq!(finding.kind, FindingKind::UnderNoise);
    assert!(finding.text.contains("4 dB louder"), "{}", finding.text);
    let lost = format!("{} beside them were lost", code.frames_lost);
    assert!(finding.text.contains(&lost), "{}", finding.text);
    assert_eq!(finding.frames, Some(code.frames_read as f64));
    Ok(())
}

#[test]
fn noise_of_another_colour_is_noise() -> Outcome {
    let code = code(3, &[&Added::over_code(Pink, Decibels(3.0))])?;
    assert_eq!(only(&code)?.kind, FindingKind::UnderNoise);
    Ok(())
}

#[test]
fn hum_is_named_with_the_frequency_of_its_mains() -> Outcome {
    for (mains, name) in [(Mains::Hertz50, "50 Hz"), (Mains::Hertz60, "60 Hz")] {
        for harmonics in [1, 5, 15] {
            let hum = Added::over_code(Hum { mains, harmonics }, Decibels(20.0));
            let code = code(5, &[&hum, &INPUT])?;
            let finding = only(&code)?;
            assert_eq!(finding.kind, FindingKind::UnderHum);
            assert!(finding.text.contains(name), "{}", finding.text);
            assert!(finding.text.contains("20 dB louder"), "{}", finding.text);
        }
    }
    Ok(())
}

#[test]
fn clicks_are_named_with_how_many_they_are() -> Outcome {
    let clicks = Clicks {
        per_second: 200.0,
        over: Decibels(20.0),
        samples: 2,
    };
    let code = code(5, &[&clicks, &INPUT])?;
    let finding = only(&code)?;
    assert_eq!(finding.kind, FindingKind::UnderClicks);
    let number = finding.text.split_whitespace().nth(1).unwrap_or_default();
    let number: f64 = number.parse()?;
    // Chance: 2,000 in all, give or take 45; and some are too near to each other to be two.
    assert!((180.0..=210.0).contains(&number), "{number}");
    Ok(())
}

#[test]
fn speech_is_another_sound() -> Outcome {
    for seed in [6, 7] {
        let code = code(seed, &[&Added::over_code(Speech, Decibels(10.0)), &INPUT])?;
        let under: Vec<&Finding> = (code.findings.iter())
            .filter(|finding| UNDER.contains(&finding.kind))
            .collect();
        assert_eq!(under.len(), 1, "{under:#?}");
        assert_eq!(under[0].kind, FindingKind::UnderSound);
        let kinds = code.findings.iter().map(|finding| finding.kind);
        let dropouts = kinds.filter(|&kind| kind == FindingKind::Dropout).count();
        assert!(dropouts <= 1, "{:#?}", code.findings);
    }
    Ok(())
}

#[test]
fn clean_code_lies_under_nothing_and_its_dropouts_are_dropouts() -> Outcome {
    assert!(code(8, &[])?.findings.is_empty());
    assert!(code(8, &[&white(-20.0)])?.findings.is_empty());
    for per_second in [0.5, 3.0] {
        let dropouts = Dropouts {
            per_second,
            seconds: 0.06,
        };
        for damage in [&[&dropouts as &dyn Damage][..], &[&dropouts, &white(-20.0)]] {
            let code = code(9, damage)?;
            assert!(code.frames_lost > 0);
            let all_are_dropouts =
                (code.findings.iter()).all(|finding| finding.kind == FindingKind::Dropout);
            assert!(all_are_dropouts, "{:#?}", code.findings);
            assert!(code.findings.len() > 1);
        }
    }
    Ok(())
}

#[test]
fn the_verdict_says_it_in_a_clause() -> Outcome {
    let verdict = reading(1, &[&white(0.0)])?.verdict;
    let said = format!("{}[{}]{}", verdict.before, verdict.mark, verdict.after);
    assert_eq!(said, "Code on channel 1, but [it lies under noise].");
    Ok(())
}

/// Noise costs codewords at both ends as well; that is no plug that came out.
#[test]
fn what_noise_costs_at_the_ends_is_no_code_that_starts_late_or_ends_early() -> Outcome {
    for seed in 20..30 {
        let code = code(seed, &[&white(6.5)])?;
        let kinds: Vec<FindingKind> = code.findings.iter().map(|finding| finding.kind).collect();
        assert_eq!(kinds, [FindingKind::UnderNoise], "{:#?}", code.findings);
    }
    Ok(())
}
