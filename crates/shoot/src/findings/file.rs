//! The file that ends before its header says.

use super::Found;
use crate::facts::Facts;
use crate::report::FindingKind;

/// `text` says what the container's parser found.
pub(super) fn cut_off(facts: &Facts<'_>, text: Option<&str>) -> Vec<Found> {
    let end = facts.extent.samples as f64;
    let found = |text: &str| {
        let remedy = "What is here can be used. If the card is still at hand, copy the file again.";
        Found::whole(
            FindingKind::CutOff,
            "File cut off".into(),
            text.to_owned(),
            remedy,
        )
        .at(facts.end(), end)
    };
    text.map(found).into_iter().collect()
}
