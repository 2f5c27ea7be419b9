//! Code of which no codeword can be read by itself.

use super::Found;
use crate::facts::Facts;
use crate::report::FindingKind;
use crate::stretch::{Basis, Stretch};
use plumbline_ltc::UserBitsHeard;
use plumbline_words::{odds, seconds};

pub(super) fn all(facts: &Facts<'_>) -> Vec<Found> {
    let stretches = facts.stretches().iter();
    stretches
        .filter_map(|stretch| one(facts, stretch))
        .collect()
}

fn one(facts: &Facts<'_>, stretch: &Stretch) -> Option<Found> {
    let Basis::Together {
        odds_log10,
        user_bits,
        ..
    } = stretch.basis
    else {
        return None;
    };
    let length = stretch.run.last.ends - stretch.run.first.begins;
    let text = format!(
        "For {} no codeword can be read by itself: the code lies far below other sound. All of them \
         together say when it starts, and the odds against any other start are {}.{}",
        seconds(facts.extent.seconds(length)),
        odds(odds_log10),
        match user_bits {
            UserBitsHeard::Alike => "",
            UserBitsHeard::Various => " Each has other user bits, and these are not known.",
        }
    );
    let remedy = "The start time can be used. No frame is listed as read, and a jump within these \
                  seconds would not show: check one cut by eye. Next time send the code at line \
                  level, on a track of its own.";
    let found = Found::whole(
        FindingKind::HeardTogether,
        "Only all codewords together can be read".into(),
        text,
        remedy,
    );
    let address = stretch.first(facts.timebase.count());
    Some(found.at(address, stretch.run.first.first_edge))
}
