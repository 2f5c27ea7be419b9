//! Settings of any text: there is always a sketch, and either a plan or something that is wrong.
//!
//! Each line is `key=value`; what is not given has its default. So the fuzzer finds the words that
//! a field may hold, and what they do together.
//!
//! `cargo +nightly fuzz run sketch`, in the folder `crates/tone`.

#![no_main]

use libfuzzer_sys::fuzz_target;
use plumbline_tone::{Plan, Settings, sketch};

fuzz_target!(|text: &str| {
    let settings = settings(text);
    let sketch = sketch(&settings);
    for problem in &sketch.problems {
        assert!(problem.text.len() < 500, "{}", problem.text);
        assert!(!problem.remedy.is_empty(), "{}", problem.text);
    }
    match Plan::new(&settings) {
        Ok(plan) => {
            assert!(sketch.problems.is_empty(), "{:?}", sketch.problems);
            assert!(sketch.ends.is_some());
            assert!(plan.codeword_count() > 0);
            assert!(
                plan.codewords()
                    .take(100)
                    .all(|codeword| codeword.digits().are_valid())
            );
            assert!(plan.file_bytes() > 0);
        }
        Err(problems) => assert_eq!(problems, sketch.problems),
    }
});

fn settings(text: &str) -> Settings {
    let mut all = serde_json::to_value(Settings::default()).unwrap_or_default();
    for (key, typed) in text.lines().filter_map(|line| line.split_once('=')) {
        if let Some(field) = all.get_mut(key) {
            *field = typed.into();
        }
    }
    serde_json::from_value(all).unwrap_or_default()
}
