//! A sheet of any content is an error or a shoot, and a shoot is lined up and handed over in every
//! form.
//!
//! The text is taken as a sheet, and as changes to a small one: the first letter of a line chooses
//! a part of it, and the rest is what stands there, as JSON or else as a text.
//!
//! `cargo +nightly fuzz run sheet`, in the folder `crates/shoot`.

#![no_main]

use libfuzzer_sys::fuzz_target;
use plumbline_shoot::handover::{Lists, edit_lists, otio, table};
use plumbline_shoot::lineup::{line_up, shoot};
use plumbline_shoot::sheet::Sheet;
use serde_json::{Value, json};

const PARTS: [&str; 24] = [
    "/name",
    "/version",
    "/entries",
    "/entries/0/key",
    "/entries/0/folder",
    "/entries/0/summary/file",
    "/entries/0/summary/container",
    "/entries/0/summary/sample_rate",
    "/entries/0/summary/samples",
    "/entries/0/summary/reel",
    "/entries/0/summary/codes/0/rate",
    "/entries/0/summary/codes/0/drop_frame",
    "/entries/0/summary/codes/0/start",
    "/entries/0/summary/codes/0/clock_ppm",
    "/entries/0/summary/codes/0/runs",
    "/entries/0/summary/stamps/0/start",
    "/entries/0/summary/stamps/0/ahead",
    "/entries/0/sounds/0/offset",
    "/entries/0/sounds/0/offset_uncertainty",
    "/entries/0/sounds/0/drift_ppm",
    "/entries/1/summary/codes",
    "/entries/1/summary/samples",
    "/corrections/recordings/a/start",
    "/corrections/recordings/a/nudge",
];

fuzz_target!(|text: &str| {
    hand_over(text);
    hand_over(&changed(text).to_string());
});

fn hand_over(text: &str) {
    let sheet = match Sheet::from_json(text) {
        Ok(sheet) => sheet,
        Err(error) => {
            assert!(!error.to_string().is_empty() && !error.remedy().is_empty());
            return;
        }
    };
    assert_eq!(Sheet::from_json(&sheet.to_json()).as_ref(), Ok(&sheet));
    let line_up = line_up(&sheet.entries, &sheet.corrections);
    let timeline: Value = serde_json::from_str(&otio(&line_up, &sheet.name)).expect("JSON");
    assert_eq!(timeline["OTIO_SCHEMA"], "Timeline.1");
    assert!(table(&line_up).ends_with("\r\n"));
    for lists in [Lists::OneADevice, Lists::OneForAll] {
        for list in edit_lists(&line_up, &sheet.name, lists) {
            assert!(list.text.lines().all(|line| {
                ["TITLE: ", "FCM: ", "* "]
                    .iter()
                    .any(|head| line.starts_with(head))
                    || line.starts_with(|c: char| c.is_ascii_digit())
            }));
        }
    }
    let shown = shoot(&sheet.entries, &sheet.corrections);
    assert_eq!(shown.recordings.len(), sheet.entries.len());
}

fn changed(text: &str) -> Value {
    let entry = |key: &str| {
        json!({
            "key": key, "folder": "deck",
            "sounds": [{
                "beside": "b", "offset": 1.5, "offset_uncertainty": 1e-4, "drift_ppm": 2.0,
                "odds_log10": 40.0
            }],
            "summary": {
                "file": "deck_01.mov", "container": "mov", "sample_rate": 48000, "reel": "A001",
                "samples": 480_000, "channels": 2, "findings": 0,
                "codes": [{
                    "channel": 1, "rate": "25", "drop_frame": false, "start": 1_728_000_000.0,
                    "clock_ppm": 1.5, "user_bits": "00000000", "runs": [], "leaps": false
                }],
                "stamps": [{
                    "source": "bext", "start": 1_728_001_920.0, "ahead": 1.0, "steps": "frames"
                }]
            }
        })
    };
    let correction = json!({"device": "", "start": "", "nudge": "", "reel": ""});
    let mut sheet = json!({
        "plumbline": "shoot", "version": 1, "name": "Ferry", "entries": [entry("a"), entry("b")],
        "corrections": {"names": {}, "recordings": {"a": correction}}
    });
    for line in text.lines() {
        let mut letters = line.chars();
        let Some(letter) = letters.next() else {
            continue;
        };
        let part = PARTS[letter as usize % PARTS.len()];
        if let Some(place) = sheet.pointer_mut(part) {
            let rest = letters.as_str();
            *place = serde_json::from_str(rest).unwrap_or_else(|_| rest.into());
        }
    }
    sheet
}
