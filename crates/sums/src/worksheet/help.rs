//! The syntax explained, for the page.

use serde::Serialize;

/// One thing to know about the worksheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Topic {
    /// What it is about.
    pub title: String,
    /// In a few sentences.
    pub text: String,
    /// Shown at work, one sheet each.
    pub examples: Vec<Example>,
}

/// Lines that may be typed, and what they come to on a sheet at 25 frames and 48000 samples a
/// second.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Example {
    /// One line, or several with a line feed between each two.
    pub typed: String,
    /// What the last line comes to.
    pub gives: String,
}

/// The whole syntax.
pub fn help() -> Vec<Topic> {
    let topics = values().into_iter().chain(conversions());
    topics.chain(sheets()).collect()
}

fn topic(title: &str, text: &str, examples: &[(&str, &str)]) -> Topic {
    let example = |&(typed, gives): &(&str, &str)| Example {
        typed: typed.to_owned(),
        gives: gives.to_owned(),
    };
    Topic {
        title: title.to_owned(),
        text: text.to_owned(),
        examples: examples.iter().map(example).collect(),
    }
}

fn values() -> [Topic; 4] {
    [
        topic(
            "Addresses",
            "Four fields with colons are a time address, the name of a frame; a semicolon before \
             the frames says drop-frame. Add a length to it or take one away, and it is another \
             address. Past midnight it goes on from 00:00:00:00, and the line says so. “midnight” \
             is 00:00:00:00.",
            &[
                ("10:00:00:00 + 90 frames", "10:00:03:15"),
                ("10:00:03:15 - 3.6 s", "10:00:00:00"),
                ("23:59:59:00 + 2 s", "00:00:01:00"),
                ("midnight + 1 h 30 min", "01:30:00:00"),
            ],
        ),
        topic(
            "Lengths",
            "A length has units: h, min, s, ms, frames (or f), samples. Several side by side are \
             added up. With “long” after it, hours, minutes, seconds and frames are a length too: \
             as long as from midnight to that address. Seconds are real seconds, by the clock, \
             at every rate.",
            &[
                ("1 h 2 min 3.5 s", "3723.5 s"),
                ("1h30min", "5400 s"),
                ("2 min 12 frames", "00:02:00:12 long"),
                ("00:01:00:00 long + 1 frame", "00:01:00:01 long"),
            ],
        ),
        topic(
            "From one address to another",
            "“from … to …” is the length between two addresses; the frame at the second one is \
             not counted, so from an in point to an out point it is right where the out point is \
             exclusive. If the second is earlier, it is taken to be on the next day. One address \
             minus another is a length too, but below 0 if the first is earlier. What follows \
             “to” is a single value: all after it is done to the length.",
            &[
                ("from 10:00:00:00 to 10:00:10:00", "00:00:10:00 long"),
                (
                    "from 10:00:00:00 to 10:00:10:00 + 1 frame",
                    "00:00:10:01 long",
                ),
                ("from 23:00:00:00 to 01:00:00:00", "02:00:00:00 long"),
                ("10:00:00:00 - 10:00:10:00", "−00:00:10:00 long"),
            ],
        ),
        topic(
            "Arithmetic",
            "+ − * and / as on paper: * and / before + and −, else from left to right, and \
             parentheses first. Lengths can be multiplied and divided by numbers; a length \
             divided by a length is a number. A bare number has no unit, so it cannot be added to \
             a length.",
            &[
                ("3 * (90 frames + 10 frames)", "300 frames"),
                ("1 h / 4", "0.25 h"),
                ("1 h / 90 frames", "1000"),
                ("(1 + 2) / 3", "1"),
            ],
        ),
    ]
}

fn conversions() -> [Topic; 3] {
    [
        topic(
            "In another unit",
            "“in” at the end shows all that is before it in another unit: h, min, s, ms, frames, \
             samples, or full (hours, minutes, seconds and frames). An address becomes the length \
             from midnight to it; in samples that is what a file's time reference holds.",
            &[
                ("90 frames in seconds", "3.6 s"),
                ("90 min in full", "01:30:00:00 long"),
                ("10:00:00:00 in samples", "1728000000 samples"),
                ("1 s in samples at 96 kHz", "96000 samples"),
                ("1 s in samples at 48000 pulled down", "47952.048 samples"),
            ],
        ),
        topic(
            "At another rate",
            "“as” and a rate keep the moment, or the real length, and count it at that rate. \
             “counted as” and a rate keep the frames: what was shot at one rate is counted, or \
             played, at another.",
            &[
                ("01:00:00:00 as 29.97", "00:59:56:12"),
                ("10:00:00:00 as 29.97 drop", "10:00:00;01"),
                ("01:00:00:00 counted as 24", "01:02:30:00"),
                ("100 frames as 24", "96 frames"),
                ("3.84 s counted as 24", "4 s"),
            ],
        ),
        topic(
            "The rate of a line",
            "A line is worked out at the rate at the top, unless it says another: “at” and a rate \
             and a colon before the line hold for all of it; “at” and a rate after an address or \
             after frames for these alone. Write “drop” after the rate for drop-frame; without \
             it, 29.97 is counted non-drop. Where frames of two rates meet, they are reckoned by \
             their real length, and the line says so.",
            &[
                ("at 29.97 drop: 00:00:59;29 + 1 frame", "00:01:00;02"),
                ("at 23.976: 01:00:00:00 in seconds", "3603.6 s"),
                ("01:00:00;00 at 29.97 drop in frames", "107892 frames"),
                ("48 frames at 24 + 1 s", "00:00:03:00 long"),
            ],
        ),
    ]
}

fn sheets() -> [Topic; 4] {
    [
        topic(
            "Names",
            "A word and = before a line give its result a name, for all lines below. A name is \
             one word of letters, digits and _; capitals make no difference, and it is given \
             once.",
            &[
                (
                    "handle = 12 frames\nfrom 10:00:00:00 to 10:00:10:00 + 2 * handle",
                    "00:00:10:24 long",
                ),
                ("start = 10:00:00:00\nstart + 1 min", "10:01:00:00"),
            ],
        ),
        topic(
            "Notes",
            "What follows # is for the reader.",
            &[("2 * 90 frames # both takes", "180 frames")],
        ),
        topic(
            "The total",
            "Each line that is a length adds to the total. A length with a name does not: it adds \
             where a line without a name uses it, so nothing is added twice. Addresses, bare \
             numbers and lines with a mistake do not add; nor does an address that is shown as \
             the length from midnight.",
            &[],
        ),
        topic(
            "Rounding",
            "Every result is kept exactly and rounded only where it is shown: to the nearest \
             frame, or to some places after the point. The line says what was rounded and what is \
             left over, and goes on with the exact value.",
            &[
                ("1 s / 3", "0.333333 s"),
                ("1 s / 3 * 3", "1 s"),
                ("10:00:00:00 + 3.51 s", "10:00:03:13"),
                ("10:00:00:00 + 3.51 s + 10 ms", "10:00:03:13"),
            ],
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::{Worksheet, worksheet};
    use super::*;

    #[test]
    fn every_example_is_true() {
        let examples: Vec<Example> = help()
            .into_iter()
            .flat_map(|topic| topic.examples)
            .collect();
        assert!(examples.len() > 30);
        for Example { typed, gives } in examples {
            let worked = worksheet(&Worksheet {
                text: typed.clone(),
                ..Worksheet::default()
            });
            let last = worked.lines.last().unwrap();
            assert_eq!((&last.value, &last.fault), (&gives, &None), "{typed}");
        }
    }
}
