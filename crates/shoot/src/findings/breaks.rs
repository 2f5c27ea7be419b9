//! Where the count breaks: codewords lost or damaged, addresses that jump, stand still or run
//! backwards.

use super::{Found, ONE_BY_ONE};
use crate::capped::Capped;
use crate::continuity::{Damaged, Dropout, PLACES};
use crate::facts::{Facts, missing_between};
use crate::report::FindingKind;
use crate::run::Motion;
use crate::stretch::Stretch;
use crate::whole;
use plumbline_timecode::{Frames, TimeAddress};
use plumbline_words::{counted, difference, frames, in_letters, seconds};

pub(super) fn all(facts: &Facts<'_>) -> Vec<Found> {
    let mut found = dropouts(facts);
    found.extend(damaged(facts));
    let stretches = facts.stretches();
    if let Some(first) = stretches.first() {
        found.extend(motion(facts, first));
    }
    let between = stretches.windows(2).filter_map(|pair| match pair {
        [a, b] => between(facts, a, b),
        _ => None,
    });
    found.extend(between.take(ONE_BY_ONE));
    found.extend(many_stretches(facts));
    found
}

fn dropouts(facts: &Facts<'_>) -> Vec<Found> {
    let all = &facts.dropouts();
    let mut found: Vec<Found> = all
        .items
        .iter()
        .take(ONE_BY_ONE)
        .map(|dropout| self::dropout(facts, dropout))
        .collect();
    if let Some(next) = all.items.get(ONE_BY_ONE) {
        found.push(more_dropouts(facts, all, next));
    }
    found
}

fn dropout(facts: &Facts<'_>, dropout: &Dropout) -> Found {
    let (before, lost) = (&dropout.before, dropout.frames);
    let length = seconds(facts.extent.seconds(lost as f64 * before.period));
    let text = format!(
        "No code that can be read for {length}, then the count goes on as if nothing had been. The \
         plug moved, the level dipped, or another sound covered it."
    );
    let remedy = "Nothing to repair: the clock kept running. Check the plug and the cable.";
    Found::whole(
        FindingKind::Dropout,
        format!("Code lost for {}", frames(lost)),
        text,
        remedy,
    )
    .at(address_after(facts, dropout), before.ends)
    .frames(lost as f64)
}

/// The address of the first codeword that is missing.
fn address_after(facts: &Facts<'_>, dropout: &Dropout) -> Option<TimeAddress> {
    let stretch = facts.stretches().get(dropout.stretch)?;
    let before = dropout
        .before
        .codeword
        .address(stretch.count(facts.timebase.count()))
        .ok()?;
    Some(before.plus_wrapping(Frames(stretch.motion().sign())))
}

fn more_dropouts(facts: &Facts<'_>, all: &Capped<Dropout, PLACES>, next: &Dropout) -> Found {
    let places = (all.items.len() - ONE_BY_ONE) as u64 + all.more;
    let frames_of = |some: &[Dropout]| some.iter().map(|dropout| dropout.frames).sum::<u64>();
    let rest = if all.more == 0 {
        frames_of(&all.items[ONE_BY_ONE..])
    } else {
        facts
            .lost()
            .saturating_sub(frames_of(&all.items[..ONE_BY_ONE]))
    };
    let text = format!(
        "From here on code is lost in {} more, {} in all. So many mean a bad contact, a level at \
         the edge, or another sound over the code.",
        counted(places, "place"),
        frames(rest)
    );
    let remedy = "What was read is right. Check the cable, the level and the plug before the next \
                  take.";
    Found::whole(
        FindingKind::Dropout,
        "Code lost again and again".into(),
        text,
        remedy,
    )
    .at(address_after(facts, next), next.before.ends)
    .frames(rest as f64)
}

fn damaged(facts: &Facts<'_>) -> Vec<Found> {
    let all = &facts.damaged();
    let Some(first) = all.items.first() else {
        return Vec::new();
    };
    if all.items.len() <= ONE_BY_ONE {
        return all
            .items
            .iter()
            .map(|damaged| one_damaged(facts, damaged))
            .collect();
    }
    let number = all.items.len() as u64 + all.more;
    let text = format!(
        "{} say something else than their neighbours. Sound of another kind lies over the code, or \
         it was edited.",
        counted(number, "codeword")
    );
    let heading = "Many damaged codewords".into();
    let found = Found::whole(FindingKind::DamagedCodeword, heading, text, DAMAGED_REMEDY);
    vec![found.at(None, first.word.first_edge).frames(number as f64)]
}

const DAMAGED_REMEDY: &str =
    "Nothing to repair: the codewords around it agree, and this one is left out.";

fn one_damaged(facts: &Facts<'_>, damaged: &Damaged) -> Found {
    let digits = damaged.word.codeword.digits();
    let text = format!(
        "One codeword says {digits}, which does not fit between its neighbours: bits were hit by a \
         click or a splice.",
    );
    let address = facts.stretches().get(damaged.stretch).and_then(|stretch| {
        let last = &stretch.run.first;
        let codewords = (damaged.word.first_edge - last.first_edge) / facts.period_of(stretch);
        let frames = Frames(whole::signed(codewords) * stretch.motion().sign());
        Some(stretch.first(facts.timebase.count())?.plus_wrapping(frames))
    });
    Found::whole(
        FindingKind::DamagedCodeword,
        "Damaged codeword".into(),
        text,
        DAMAGED_REMEDY,
    )
    .at(address, damaged.word.first_edge)
    .frames(1.0)
}

/// What the way a stretch moves is worth telling.
fn motion(facts: &Facts<'_>, stretch: &Stretch) -> Option<Found> {
    match stretch.motion() {
        Motion::Onwards => None,
        Motion::Backwards => Some(reversed(facts, stretch)),
        Motion::Still => Some(still(facts, stretch)),
    }
}

fn reversed(facts: &Facts<'_>, stretch: &Stretch) -> Found {
    let text = format!(
        "The code runs backwards for {}. The tape or file was played in reverse, or the recording \
         was reversed afterwards.",
        frames(stretch.length)
    );
    let remedy = "Turn the recording round before it is lined up; its addresses are right.";
    placed(
        facts,
        stretch,
        FindingKind::Reversed,
        "Code runs backwards".into(),
        text,
        remedy,
    )
    .frames(stretch.length as f64)
}

fn still(facts: &Facts<'_>, stretch: &Stretch) -> Found {
    let length = stretch.run.last.ends - stretch.run.first.begins;
    let text = format!(
        "The same address comes again and again for {} ({}). The device that sends it was paused, \
         or held its code while it was being set.",
        seconds(facts.extent.seconds(length)),
        frames(stretch.length)
    );
    let remedy = "Do not line up by this part: real time went on while the address stood.";
    placed(
        facts,
        stretch,
        FindingKind::StandsStill,
        "Address stands still".into(),
        text,
        remedy,
    )
    .frames(stretch.length as f64)
}

/// What happens between two stretches.
fn between(facts: &Facts<'_>, a: &Stretch, b: &Stretch) -> Option<Found> {
    if a.motion() != b.motion() && b.motion() != Motion::Onwards {
        return motion(facts, b);
    }
    let count = facts.timebase.count();
    let (last, first) = (a.last(count)?, b.first(count)?);
    if last.count() != first.count() {
        return Some(counts_otherwise(facts, b, first));
    }
    let missing = missing_between(a, b);
    let moved = missing.cast_signed().saturating_add(1);
    let expected = match (a.motion(), b.motion()) {
        (Motion::Still, _) => last.plus_wrapping(Frames(1)),
        (Motion::Backwards, Motion::Onwards) => return None,
        _ => last.plus_wrapping(Frames(moved * b.motion().sign())),
    };
    let jump = expected.frames_until_wrapping(first)?.0;
    (jump != 0).then(|| self::jump(facts, b, first, jump, missing))
}

fn jump(
    facts: &Facts<'_>,
    stretch: &Stretch,
    address: TimeAddress,
    jump: i64,
    missing: u64,
) -> Found {
    let way = if jump > 0 { "ahead of" } else { "behind" };
    let gap = if missing > 0 {
        format!(" {} are missing before it.", frames(missing))
    } else {
        String::new()
    };
    let text = format!(
        "From here the address is {} {way} where it should be: the device that sends the code was \
         set again or restarted while this recorder rolled.{gap}",
        frames(jump.unsigned_abs())
    );
    let remedy =
        format!("Line up the part after it by its own start, {address}, not by the recording's.");
    let kind = if jump > 0 {
        FindingKind::JumpForward
    } else {
        FindingKind::JumpBack
    };
    let heading = format!("Jump of {}", difference(jump, facts.timebase.count()));
    placed(facts, stretch, kind, heading, text, &remedy).frames(jump as f64)
}

fn counts_otherwise(facts: &Facts<'_>, stretch: &Stretch, first: TimeAddress) -> Found {
    let text = format!(
        "From here the code counts {}, before it {}. Another device took over, or the rate was set \
         again while this recorder rolled.",
        first.count(),
        facts.timebase.count()
    );
    let remedy = "Treat the two parts as two recordings; only one of them is at the wrong rate.";
    let heading = "Counts otherwise from here".into();
    placed(
        facts,
        stretch,
        FindingKind::RateAgainstCount,
        heading,
        text,
        remedy,
    )
}

fn placed(
    facts: &Facts<'_>,
    stretch: &Stretch,
    kind: FindingKind,
    heading: String,
    text: String,
    remedy: &str,
) -> Found {
    let address = stretch.first(facts.timebase.count());
    Found::whole(kind, heading, text, remedy).at(address, stretch.run.first.first_edge)
}

/// A recording of so many stretches that they are not told one by one.
fn many_stretches(facts: &Facts<'_>) -> Option<Found> {
    let stretches = facts.stretches();
    let all = stretches.len() as u64 + facts.continuity.stretches.more;
    let next = stretches.get(ONE_BY_ONE + 1)?;
    let text = format!(
        "The code breaks again and again: {} in all, of which {} are told above. It looks like many \
         short takes joined together, or a device that restarts.",
        counted(all, "run"),
        in_letters(ONE_BY_ONE)
    );
    let remedy = "Line up each part by its own start; the report as CSV lists them.";
    let kind = FindingKind::ManyBreaks;
    Some(placed(
        facts,
        next,
        kind,
        "Many more breaks".into(),
        text,
        remedy,
    ))
}
