//! Settings for tests, and files made of them.
#![allow(dead_code, reason = "every test uses its part")]
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on is to stop"
)]

use plumbline_tone::{Outcome, Plan, Settings};

/// The defaults but for some fields, by their names.
pub(crate) fn settings(changed: &[(&str, &str)]) -> Settings {
    let mut all = serde_json::to_value(Settings::default()).unwrap();
    for (field, typed) in changed {
        *all.get_mut(field).unwrap() = (*typed).into();
    }
    serde_json::from_value(all).unwrap()
}

pub(crate) fn plan(changed: &[(&str, &str)]) -> Plan {
    let settings = settings(changed);
    Plan::new(&settings).unwrap_or_else(|problems| panic!("{changed:?}: {problems:?}"))
}

/// The whole file.
pub(crate) fn file(plan: &Plan) -> Vec<u8> {
    let mut writer = plan.file().unwrap();
    let (mut file, mut piece) = (Vec::new(), Vec::new());
    while writer.next_piece(&mut piece).unwrap() {
        assert!(piece.len() < 2 << 20, "a piece of {} bytes", piece.len());
        file.extend_from_slice(&piece);
    }
    file
}

/// What reading it back comes to, pushed in pieces of a size.
pub(crate) fn outcome(plan: &Plan, file: &[u8], size: usize) -> Outcome {
    let mut read_back = plan.read_back();
    for piece in file.chunks(size) {
        read_back.push(piece);
    }
    read_back.finish()
}
