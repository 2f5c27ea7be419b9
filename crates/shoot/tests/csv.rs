//! The report as a table: every row has as many cells as the heading, and nothing is left out.

use plumbline_shoot::csv;
use plumbline_shoot::report::{
    Code, Embedded, Evidence, Finding, FindingKind, Report, ReportedError, Stretch, Suspicion,
};

fn report() -> Report {
    let stretch = |evidence, odds_log10| Stretch {
        first: "14:03:20:07".into(),
        last: "14:03:29:24".into(),
        first_sample: 212.4,
        frames: 243,
        evidence,
        odds_log10,
        reverse: false,
        speed: 1.0,
        user_bits: Some("25112601".into()),
    };
    Report {
        file: "north, quay.wav".into(),
        embedded: vec![Embedded {
            source: "tmcd".into(),
            start: Some("14:03:20:06".into()),
            samples_since_midnight: 2_428_811_520,
        }],
        codes: vec![Code {
            channel: 1,
            rate: "25".into(),
            drop_frame: false,
            level_dbfs: -18.0,
            start: Some("14:03:20:06".into()),
            start_samples_since_midnight: Some(2_428_811_307.6),
            frames_read: 243,
            frames_lost: 0,
            clock_ppm: None,
            clock_ppm_uncertainty: None,
            stretches: vec![
                stretch(Evidence::Each, None),
                stretch(Evidence::Together, Some(41.5)),
            ],
            findings: vec![Finding {
                kind: FindingKind::WeakLevel,
                at: None,
                sample: None,
                frames: None,
                text: "It is \"quiet\".".into(),
                remedy: "Turn it up.".into(),
            }],
            frames: None,
        }],
        suspected: vec![Suspicion {
            channel: 0,
            at: "09:10:11:12".into(),
            sample: 960.0,
            odds_log10: 3.2,
            fit: 0.9,
            text: "Perhaps.".into(),
            remedy: "Look again.".into(),
        }],
        error: Some(ReportedError {
            kind: "truncated".into(),
            place: Some("data".into()),
            at: Some(44),
            text: "Cut.".into(),
            remedy: "Copy it again.".into(),
        }),
        ..Report::default()
    }
}

#[test]
fn every_row_stands_under_the_heading() {
    let table = csv(&report());
    let lines: Vec<&str> = table.split("\r\n").collect();
    assert_eq!(
        lines,
        [
            "file,channel,row,kind,at,last,sample,frames,speed,evidence,odds_log10,text,remedy",
            "\"north, quay.wav\",,embedded,tmcd,14:03:20:06,,2428811520,,,,,,",
            "\"north, quay.wav\",1,start,25,14:03:20:06,,2428811307.6,,,,,,",
            "\"north, quay.wav\",1,stretch,forward,14:03:20:07,14:03:29:24,212.4,243,1,each,,25112601,",
            "\"north, quay.wav\",1,stretch,forward,14:03:20:07,14:03:29:24,212.4,243,1,together,41.5,\
             25112601,",
            "\"north, quay.wav\",1,finding,weak_level,,,,,,,,\"It is \"\"quiet\"\".\",Turn it up.",
            "\"north, quay.wav\",0,suspected,,09:10:11:12,,960,,,together,3.2,Perhaps.,Look again.",
            "\"north, quay.wav\",,error,truncated,data,,44,,,,,Cut.,Copy it again.",
            "",
        ]
    );
}
