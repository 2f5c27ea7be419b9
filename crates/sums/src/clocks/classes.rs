//! Classes of oscillator, with figures that were published and where they are from.

use plumbline_timecode::{Fraction, Rate};

use super::frames;
use crate::decimal::decimal;
use crate::{Row, Table};

/// A class: its name, the least and the most it may be off in ppm, as a fraction each, and the
/// source of that.
type Class = (&'static str, [(i128, i128); 2], &'static str);

const MAKERS: &str = "figures that makers of oscillators publish";
const CLASSES: [Class; 11] = [
    (
        "Plain quartz oscillator (XO)",
        [(20, 1), (100, 1)],
        "from memory",
    ),
    (
        "Watch crystal of 32.768 kHz, at 25 °C",
        [(20, 1), (20, 1)],
        MAKERS,
    ),
    (
        "Temperature-compensated oscillator (TCXO), over its range of temperatures",
        [(1, 2), (5, 2)],
        MAKERS,
    ),
    ("The best TCXO", [(1, 20), (1, 10)], MAKERS),
    (
        "Oven-controlled oscillator (OCXO)",
        [(1, 1000), (1, 10)],
        MAKERS,
    ),
    ("Ageing of a crystal, in a year", [(1, 10), (5, 1)], MAKERS),
    (
        "AES11 grade 1 reference",
        [(1, 1), (1, 1)],
        "AES11, read second-hand; long-term accuracy",
    ),
    (
        "AES11 grade 2 reference",
        [(10, 1), (10, 1)],
        "AES11, read second-hand; long-term accuracy",
    ),
    (
        "IEC 60958 level I",
        [(50, 1), (50, 1)],
        "IEC 60958, read second-hand; sampling-frequency accuracy",
    ),
    (
        "IEC 60958 level II",
        [(1000, 1), (1000, 1)],
        "IEC 60958, read second-hand; sampling-frequency accuracy",
    ),
    (
        "Source of timecode that runs free",
        [(100, 1), (100, 1)],
        "IEC 60461 clause 8.4",
    ),
];

/// All of them, with what they come to at a rate.
pub(super) fn table(rate: Rate) -> Table {
    let rows = CLASSES.iter().map(|&(name, [least, most], source)| {
        let [least, most] = [least, most]
            .map(|(above, below)| Fraction::new(above, below).unwrap_or(Fraction::ZERO));
        let hour = Fraction::whole(3600);
        let drift = [least, most].map(|ppm| frames(ppm, rate, hour));
        Row::new(
            name,
            format!("{} ppm", range([least, most], "±", 3)),
            format!("{source}; {} frames an hour at {rate}", range(drift, "", 5)),
        )
    });
    Table::new("Classes of clock", rows.collect())
}

fn range([least, most]: [Fraction; 2], sign: &str, places: u32) -> String {
    let shown = |value| {
        let figures = decimal(value, places);
        let about = if figures.is_exact() { "" } else { "about " };
        format!("{about}{sign}{}", figures.text)
    };
    if least == most {
        shown(least)
    } else {
        format!("{} to {}", shown(least), shown(most))
    }
}
