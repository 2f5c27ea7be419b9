//! Reel names as edit lists have them: eight capital letters and digits at most, each its own.

use crate::lineup::Recording;
use std::collections::{BTreeMap, BTreeSet};

/// Names that mean something else in a list: black, bars, and a source without a reel.
const TAKEN: [&str; 4] = ["BL", "BLACK", "BARS", "AX"];
const LETTERS: usize = 8;

/// The reels that were named so far.
#[derive(Debug, Default)]
pub(super) struct Reels {
    /// The name of each source.
    names: BTreeMap<Source, String>,
    /// The number with which to go on looking, by the name that was wanted.
    wanted: BTreeMap<String, usize>,
    /// Names that sources have.
    taken: BTreeSet<String>,
}

/// What has a name of its own.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Source {
    /// All recordings of a device that name one reel: its own start times tell them apart.
    Reel(usize, String),
    /// A recording without a reel.
    File(String),
}

impl Reels {
    /// The reel of a recording: the one that it or a person names, else its file's name.
    pub(super) fn of(&mut self, recording: &Recording<'_>) -> String {
        let (source, wish) = match &recording.reel {
            Some(reel) => (
                Source::Reel(recording.device, reel.clone()),
                from_reel(reel),
            ),
            None => (
                Source::File(recording.entry.key.clone()),
                from_file(&recording.entry.summary.file),
            ),
        };
        if let Some(name) = self.names.get(&source) {
            return name.clone();
        }
        let name = self.free(&wish);
        self.names.insert(source, name.clone());
        name
    }

    /// The name itself if it is free, else with a number for its last letters.
    fn free(&mut self, wish: &str) -> String {
        let from = *self.wanted.get(wish).unwrap_or(&1);
        let numbered = (from..).map(|number| {
            let name = match number {
                1 => wish.to_owned(),
                number => {
                    let number = number.to_string();
                    let kept = LETTERS.saturating_sub(number.len());
                    format!(
                        "{}{number}",
                        wish.get(..kept.min(wish.len())).unwrap_or_default()
                    )
                }
            };
            (number, name)
        });
        let free = |name: &str| !TAKEN.contains(&name) && !self.taken.contains(name);
        let found = numbered.into_iter().find(|(_, name)| free(name));
        let (number, name) = found.unwrap_or_default();
        self.wanted.insert(wish.to_owned(), number + 1);
        self.taken.insert(name.clone());
        name
    }
}

fn plain(text: &str) -> String {
    let letters = text.chars().filter(char::is_ascii_alphanumeric);
    letters.map(|letter| letter.to_ascii_uppercase()).collect()
}

fn or_reel(name: String) -> String {
    if name.is_empty() {
        "REEL".to_owned()
    } else {
        name
    }
}

/// The first eight letters: reels are told apart from the front.
fn from_reel(reel: &str) -> String {
    let mut name = plain(reel);
    name.truncate(LETTERS);
    or_reel(name)
}

/// Four letters of either end: files are counted at the back.
fn from_file(file: &str) -> String {
    let name = plain(file.rsplit_once('.').map_or(file, |(stem, _)| stem));
    if name.len() <= LETTERS {
        return or_reel(name);
    }
    let (front, back) = (name.get(..4), name.get(name.len() - 4..));
    [front, back].into_iter().flatten().collect()
}
