//! Code that is too quiet or too loud.

use super::Found;
use crate::facts::Facts;
use crate::report::FindingKind;
use plumbline_words::signed;

/// Below this the code stands only some hundred steps above nothing in 16 bits. Our choice.
const WEAK_DBFS: f64 = -42.0;

pub(super) fn all(facts: &Facts<'_>) -> Vec<Found> {
    let level = facts.level_dbfs();
    let full_scale: u64 = facts
        .stretches()
        .iter()
        .map(|stretch| stretch.full_scale)
        .sum();
    let found = if full_scale * 2 > facts.read() {
        Some(clipped())
    } else if level < WEAK_DBFS {
        Some(weak(level))
    } else {
        None
    };
    found.into_iter().collect()
}

fn clipped() -> Found {
    let text = "The code touches full scale on both sides: the input is overdriven, and the tops \
                of the wave are cut. The code itself survives that, but it may leak into the \
                channels beside it.";
    let remedy = "Nothing to repair. Next time turn the input down, or put a pad before it.";
    Found::whole(
        FindingKind::Clipped,
        "Code at full scale".into(),
        text.into(),
        remedy,
    )
}

fn weak(level: f64) -> Found {
    let text = format!(
        "The code is at {} dBFS: it was read, but with little to spare against noise. The output \
         was turned low, or a line signal went through a pad it did not need.",
        signed(level, 1)
    );
    let remedy = "Nothing to repair. Next time bring it to about −18 dBFS.";
    Found::whole(FindingKind::WeakLevel, "Code is quiet".into(), text, remedy)
}
