//! Code that lies under something else: noise, hum, clicks or another sound.

use super::Found;
use crate::cover::{Most, Over};
use crate::facts::Facts;
use crate::report::FindingKind;
use plumbline_ltc::Mains;
use plumbline_media::Codec;
use plumbline_words::{counted, signed, thousands};

/// Where less than this part of what was read lies under something, it is said from where on.
const NEARLY_ALL: f64 = 0.9;

/// `codec` is what the sound is compressed with.
pub(super) fn all(facts: &Facts<'_>, codec: Option<Codec>) -> Vec<Found> {
    let found = facts.cover().map(|most| {
        let most = most.in_coding(codec);
        let text = format!("{} {} {}", what(most), how_much(facts), why(most.over));
        let (kind, heading) = name(most.over);
        let found = Found::whole(kind, heading.into(), text, remedy(most.over));
        let cover = &facts.continuity.cover;
        let (codewords, read) = (cover.codewords as f64, facts.read() as f64);
        let found = found.frames(codewords);
        match cover.first {
            Some(first) if codewords < NEARLY_ALL * read => {
                let address = first.codeword.address(facts.timebase.count()).ok();
                found.at(address, first.first_edge)
            }
            _ => found,
        }
    });
    found.into_iter().collect()
}

fn name(over: Over) -> (FindingKind, &'static str) {
    match over {
        Over::Noise => (FindingKind::UnderNoise, "Code under noise"),
        Over::Hum(_) => (FindingKind::UnderHum, "Code under hum"),
        Over::Clicks => (FindingKind::UnderClicks, "Code under clicks"),
        Over::Sound => (FindingKind::UnderSound, "Code under another sound"),
        Over::Coding(_) => (FindingKind::Compressed, "Code in compressed sound"),
    }
}

fn what(most: Most) -> String {
    let louder = louder(most.decibels);
    match most.over {
        Over::Noise => format!("Noise lies over the code, {louder}."),
        Over::Hum(mains) => format!("Hum of {} Hz lies over the code, {louder}.", hertz(mains)),
        Over::Clicks => format!(
            "About {} a second lie over the code.",
            signed(most.clicks, 0)
                + if most.clicks < 1.5 {
                    " click"
                } else {
                    " clicks"
                }
        ),
        Over::Sound => format!(
            "Another sound lies over the code, {louder}: it swells and fades as speech and music do."
        ),
        Over::Coding(codec) => format!(
            "The sound is compressed with {}, and what that made of the code lies over it, {louder}.",
            codec.name()
        ),
    }
}

fn hertz(mains: Mains) -> u8 {
    match mains {
        Mains::Hertz50 => 50,
        Mains::Hertz60 => 60,
    }
}

fn louder(decibels: f32) -> String {
    let whole = f64::from(decibels.abs());
    if whole < 0.5 {
        "as loud as the code itself".into()
    } else if decibels > 0.0 {
        format!("{whole:.0} dB louder than it")
    } else {
        format!("{whole:.0} dB below it")
    }
}

/// How many codewords it lies over, and how many it cost.
fn how_much(facts: &Facts<'_>) -> String {
    let (codewords, read) = (facts.continuity.cover.codewords, facts.read());
    let gaps = &facts.continuity.dropouts.covered;
    let places = gaps.items.len() as u64 + gaps.more;
    let lost = facts.continuity.lost_under_cover;
    let which = if codewords == read {
        format!("All {} that were read", counted(read, "codeword"))
    } else {
        let (some, all) = (thousands(codewords), counted(read, "codeword"));
        format!("{some} of the {all} that were read")
    };
    let lost = match lost {
        0 => "none beside them was lost".into(),
        1 => "one beside them was lost".into(),
        lost => format!(
            "{} beside them were lost, in {}",
            thousands(lost),
            counted(places, "place")
        ),
    };
    format!("{which} could only be read by weighing all that is heard of them; {lost}.")
}

fn why(over: Over) -> &'static str {
    match over {
        Over::Noise => {
            "The code came in too weak and was turned up, a wireless link was at the end of its \
             reach, or a microphone picked it up."
        }
        Over::Hum(_) => {
            "The cable ran beside mains cables, its screen is broken, or the two devices are earthed \
             at two places."
        }
        Over::Clicks => {
            "A bad plug, a dimmer or static makes them, or a digital link whose two ends keep \
             different clocks."
        }
        Over::Sound => {
            "The code shares its track with a microphone, or this is the track of something else and \
             code leaks into it."
        }
        Over::Coding(_) => {
            "The codec had too few bits for the code, or for what it shares the sound with, and left \
             out of it what ears would not miss."
        }
    }
}

fn remedy(over: Over) -> &'static str {
    match over {
        Over::Noise => {
            "What was read stands: neighbours bear each other out. Next time bring the code in \
             louder at its source, at about −18 dBFS, by a cable, and turn the input down."
        }
        Over::Hum(_) => {
            "What was read stands: neighbours bear each other out. Next time keep the cable away from \
             mains cables, use a balanced one or a transformer, and run one of the devices from its \
             battery. A high-pass filter at 200 Hz takes hum away and leaves the code."
        }
        Over::Clicks => {
            "What was read stands: neighbours bear each other out. Next time change the plug or the \
             cable, keep away from dimmers, and let one device clock the other."
        }
        Over::Sound => {
            "What was read stands: neighbours bear each other out. Next time record the code on a \
             track of its own, with no microphone mixed to it."
        }
        Over::Coding(_) => {
            "What was read stands: neighbours bear each other out. Next time record without \
             compression, or set the device to 96 kb/s a channel at least, and leave the code a \
             channel of its own."
        }
    }
}
