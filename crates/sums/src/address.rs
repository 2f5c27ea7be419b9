//! One address, everything about it.

mod codeword;
mod everywhere;
mod film;
mod moment;
mod samples;
mod wall_clock;

use plumbline_timecode::{Fraction, SampleRate};
use plumbline_words::{choice, thousands};
use serde::{Deserialize, Serialize};

use crate::decimal::about;
use crate::figure::{clock_words, product};
use crate::problems::Problems;
use crate::sample_rate::{name, sample_rate};
use crate::{Answer, typed};

use moment::{Kind, Moment};

/// What is asked: a moment of a day of addresses, in whatever way it was typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct AddressForm {
    /// What `text` is: `time-address`, `frame-count` (frames since midnight), `duration` (since
    /// midnight), `sample-position` (samples since midnight) or `time-reference` (that of a
    /// `bext` chunk).
    pub kind: String,
    /// What was typed.
    pub text: String,
    /// Frames a second, by the rate's name: `25`.
    pub rate: String,
    /// How frames are counted: `non-drop` or `drop`.
    pub counting: String,
    /// Samples a second, of a sample position and of the time reference: `48000`.
    pub sample_rate: String,
}

impl Default for AddressForm {
    fn default() -> Self {
        let text = str::to_owned;
        Self {
            kind: text("time-address"),
            text: text("10:00:00:00"),
            rate: text("25"),
            counting: text("non-drop"),
            sample_rate: text("48000"),
        }
    }
}

const KINDS: [(&str, Kind); 5] = [
    ("time-address", Kind::Address),
    ("frame-count", Kind::Frames),
    ("duration", Kind::Duration),
    ("sample-position", Kind::Samples),
    ("time-reference", Kind::TimeReference),
];

/// Everything about a moment of a day of addresses.
///
/// ```
/// use plumbline_sums::{AddressForm, address};
/// let answer = address(&AddressForm {
///     text: "01:00:00;00".into(),
///     rate: "29.97".into(),
///     counting: "drop".into(),
///     ..AddressForm::default()
/// });
/// // SMPTE ST 2059-1 clause 9.3.3.4.
/// assert_eq!(answer.tables[0].rows[1].value, "107892");
/// ```
pub fn address(form: &AddressForm) -> Answer {
    let mut problems = Problems::default();
    let kind = problems.keep(choice("kind", &form.kind, &KINDS));
    let timebase = typed::timebase(&form.rate, &form.counting, &mut problems);
    let rate = problems.keep(sample_rate("sample_rate", &form.sample_rate));
    let moment = kind.zip(timebase).and_then(|(kind, timebase)| {
        problems.keep(moment::read(kind, &form.text, timebase, rate)?)
    });
    let tables = moment.as_ref().map(|moment| tables(moment, rate));
    Answer {
        verdict: moment.map_or_else(
            || "No moment to work out yet: something is not right in the fields.".to_owned(),
            |moment| verdict(&moment),
        ),
        tables: tables.unwrap_or_default(),
        problems: problems.0,
    }
}

fn tables(moment: &Moment, rate: Option<SampleRate>) -> Vec<crate::Table> {
    let mut tables = vec![moment.table(), wall_clock::table(moment)];
    tables.push(samples::table(moment, rate));
    tables.extend(rate.map(|rate| samples::time_reference(moment, rate)));
    tables.push(everywhere::same_instant(moment));
    tables.push(everywhere::same_frame_number(moment));
    tables.push(codeword::table(moment));
    tables.push(codeword::fields(moment));
    tables.push(film::table(moment));
    tables
}

fn verdict(moment: &Moment) -> String {
    let (address, timebase) = (moment.address, moment.timebase);
    let frame = thousands(moment.frame.0.unsigned_abs());
    let ends = match moment.days {
        0 => String::new(),
        1 => ", and a day has passed".to_owned(),
        days => format!(", and {} days have passed", thousands(days)),
    };
    let off = moment.off();
    if off == Fraction::ZERO {
        return format!(
            "{address} at {timebase} is frame {frame} since midnight, {} of real time{ends}.",
            clock_words(moment.seconds)
        );
    }
    let later = if off > Fraction::ZERO {
        "after"
    } else {
        "before"
    };
    format!(
        "{} since midnight is nearest to {address} at {timebase}, frame {frame}: {} ms {later} it \
         begins{ends}.",
        clock_words(moment.seconds),
        about(product(off, Fraction::whole(1000)))
    )
}

/// "48 kHz", for the labels.
fn at(rate: SampleRate) -> String {
    format!("At {}", name(rate))
}
