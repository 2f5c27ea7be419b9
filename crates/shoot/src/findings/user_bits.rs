//! User bits that do not stay as they were.

use super::{Found, ONE_BY_ONE};
use crate::continuity::UserBitsChange;
use crate::facts::Facts;
use crate::report::FindingKind;
use plumbline_words::counted;

pub(super) fn changes(facts: &Facts<'_>) -> Vec<Found> {
    let changes = &facts.continuity.user_bits;
    let all = changes.items.len() as u64 + changes.more;
    if changes.items.len() > ONE_BY_ONE {
        return changes
            .items
            .first()
            .map(|first| often(facts, first, all))
            .into_iter()
            .collect();
    }
    changes
        .items
        .iter()
        .map(|change| once(facts, change))
        .collect()
}

fn once(facts: &Facts<'_>, change: &UserBitsChange) -> Found {
    let text = format!(
        "The user bits go from {} to {}. Another device took over the code, or somebody set them \
         while this recorder rolled.",
        change.from,
        change.word.codeword.user_bits()
    );
    let remedy = "If they carry a date or a roll number, say which part of the recording each \
                  belongs to.";
    placed(facts, change, "User bits change".into(), text, remedy)
}

fn often(facts: &Facts<'_>, first: &UserBitsChange, changes: u64) -> Found {
    let text = format!(
        "The user bits change all the time ({}): the device sends running data in them, such as \
         a counter, not a fixed label.",
        counted(changes, "change")
    );
    let remedy = "Nothing to repair; do not read a date or a roll number from them.";
    placed(facts, first, "User bits run".into(), text, remedy)
}

fn placed(
    facts: &Facts<'_>,
    change: &UserBitsChange,
    heading: String,
    text: String,
    remedy: &str,
) -> Found {
    let count = facts.timebase.count();
    let address = change.word.codeword.address(count).ok();
    Found::whole(FindingKind::UserBitsChange, heading, text, remedy)
        .at(address, change.word.first_edge)
}
