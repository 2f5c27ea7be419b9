//! What is wrong across recordings.

mod alike;
mod clock;
mod codes;
mod days;
mod placing;
mod sound;

use super::codes::CodePair;
use super::days::Days;
use super::shoot::ShootFindingKind;
use super::{Device, Moment, Recording, ShootClock};

/// A finding, with what the verdict says of it.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) kind: ShootFindingKind,
    pub(crate) heading: String,
    pub(crate) place: String,
    pub(crate) text: String,
    pub(crate) remedy: String,
    /// Where it stands; none when it is about the whole.
    pub(crate) at: Option<Moment>,
    /// The number of the device that it concerns.
    pub(crate) device: Option<usize>,
    /// The numbers of the recordings that it concerns.
    pub(crate) recordings: Vec<usize>,
    /// What the verdict says: of whom, and what: "Deck camera", "falls 1.3 frames behind by 14:33".
    pub(crate) said: (String, String),
}

/// What the findings are made from.
pub(crate) struct Known<'a> {
    pub(crate) clock: ShootClock,
    pub(crate) devices: &'a [Device],
    pub(crate) recordings: &'a [Recording<'a>],
    pub(crate) codes: &'a [CodePair],
    pub(crate) days: Option<&'a Days>,
}

impl<'a> Known<'a> {
    /// The recordings of a device, with their numbers.
    fn of(&self, device: usize) -> impl Iterator<Item = (usize, &'a Recording<'a>)> {
        let all = self.recordings.iter().enumerate();
        all.filter(move |(_, recording)| recording.device == device)
    }

    /// An address as the drawing and the table have it.
    fn address(&self, moment: Moment) -> String {
        self.clock.address(moment).to_string()
    }

    /// Hours and minutes of an address: "14:33".
    fn hours(&self, moment: Moment) -> String {
        let address = self.clock.address(moment);
        format!("{:02}:{:02}", address.hours(), address.minutes())
    }
}

/// What can be found where there is no clock.
pub(crate) fn without_clock(recordings: &[Recording<'_>]) -> Vec<Found> {
    placing::unread(recordings)
}

/// Everything that was found, the worst first and then in order of time.
pub(crate) fn all(known: &Known<'_>) -> Vec<Found> {
    let mut found = placing::unread(known.recordings);
    found.extend(placing::without_place(known));
    found.extend(placing::without_code(known));
    found.extend(placing::twice(known));
    found.extend(days::several(known));
    found.extend(days::longer_than_one(known));
    found.extend(placing::midnight(known));
    found.extend(placing::leaps(known));
    found.extend(sound::twice(known));
    found.extend(sound::against_code(known));
    found.extend(codes::differ(known));
    found.extend(clock::all(known));
    found.extend(alike::rates(known));
    found.extend(alike::user_bits(known));
    let at = |found: &Found| found.at.map_or(f64::NEG_INFINITY, |moment| moment.0);
    found.sort_by(|a, b| a.kind.cmp(&b.kind).then(at(a).total_cmp(&at(b))));
    found
}

/// "take 3.wav", "take 3.wav and take 4.wav", "take 3.wav and 5 more".
fn named(recordings: &[Recording<'_>], numbers: &[usize]) -> String {
    let name = |number: &usize| {
        let recording = recordings.get(*number);
        recording.map_or("", |recording| recording.entry.summary.file.as_str())
    };
    match numbers {
        [] => String::new(),
        [one] => name(one).to_owned(),
        [one, two] => format!("{} and {}", name(one), name(two)),
        [one, others @ ..] => format!("{} and {} more", name(one), others.len()),
    }
}
