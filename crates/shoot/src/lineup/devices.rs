//! Who made which recording: by the folder, else by what the file says and how it is named.

use super::{Corrections, Entry};
use plumbline_words::capital;
use std::collections::BTreeMap;

/// Recordings by device.
pub(crate) struct Groups {
    /// Key and name of each device, in the order of its first recording.
    pub(crate) devices: Vec<(String, String)>,
    /// The number of each recording's device.
    pub(crate) of: Vec<usize>,
}

pub(crate) fn group(entries: &[Entry], corrections: &Corrections) -> Groups {
    let folders = own_folders(entries);
    let mut groups = Groups {
        devices: Vec::new(),
        of: Vec::new(),
    };
    let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
    for (entry, folder) in entries.iter().zip(folders) {
        let by_hand = corrections.of(&entry.key).device();
        let key = by_hand.unwrap_or_else(|| suggested(entry, folder));
        let number = *numbers.entry(key.clone()).or_insert_with(|| {
            let name = corrections.names.get(&key).map(|name| name.trim());
            let name = name.filter(|name| !name.is_empty()).map(ToOwned::to_owned);
            let name = name.unwrap_or_else(|| capital(&key));
            groups.devices.push((key.clone(), name));
            groups.devices.len() - 1
        });
        groups.of.push(number);
    }
    groups
}

/// The folder of each recording by which it differs from others; empty where all lie in one.
fn own_folders(entries: &[Entry]) -> Vec<&str> {
    let parts = |entry: &'_ Entry| -> usize { shared(entries, entry) };
    entries
        .iter()
        .map(|entry| {
            entry
                .folder
                .split('/')
                .nth(parts(entry))
                .unwrap_or_default()
        })
        .collect()
}

/// How many parts of a recording's folder all recordings share.
fn shared(entries: &[Entry], of: &Entry) -> usize {
    let own: Vec<&str> = of.folder.split('/').collect();
    let same = |entry: &Entry| {
        let parts = entry.folder.split('/').zip(&own);
        parts.take_while(|(a, b)| a == *b).count()
    };
    entries.iter().map(same).min().unwrap_or(0)
}

fn suggested(entry: &Entry, folder: &str) -> String {
    let stem = stem(&entry.summary.file);
    let name = if folder.is_empty() {
        pattern(stem)
    } else {
        pattern(folder)
    };
    let originator = entry
        .summary
        .originator
        .as_deref()
        .filter(|_| folder.is_empty());
    match (originator, name) {
        (Some(originator), name) if name.is_empty() => originator.to_owned(),
        (Some(originator), name) => format!("{originator}, {name}"),
        (None, name) if !name.is_empty() => name,
        (None, _) if folder.is_empty() => "Unnamed".to_owned(),
        (None, _) => folder.to_owned(),
    }
}

fn stem(file: &str) -> &str {
    file.rsplit_once('.').map_or(file, |(stem, _)| stem)
}

/// A name without its counters: the last number, and every number that is longer than two digits
/// or stands by itself. A short number behind letters is a device's ("cam2").
pub(crate) fn pattern(name: &str) -> String {
    let letters: Vec<char> = name.chars().collect();
    let mut kept = String::new();
    let mut at = 0;
    while let Some(&letter) = letters.get(at) {
        let digits = letters
            .iter()
            .skip(at)
            .take_while(|c| c.is_ascii_digit())
            .count();
        if digits == 0 {
            kept.push(letter);
            at += 1;
            continue;
        }
        let after = letters.get(at + digits..).unwrap_or_default();
        let is_last = !after.iter().any(char::is_ascii_digit);
        let behind_letters = kept.ends_with(char::is_alphabetic);
        if behind_letters && digits <= 2 && !is_last {
            kept.extend(letters.iter().skip(at).take(digits));
        }
        at += digits;
    }
    let words = kept.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::summary::Summary;

    #[test]
    fn a_pattern_is_a_name_without_its_counters() {
        let wanted = [
            ("quay114_roll027_0815", "quay roll"),
            ("ferry-deck-camera_0417", "ferry deck camera"),
            ("12 slack", "slack"),
            ("cam2_0001", "cam2"),
            ("0411", ""),
            ("north quay", "north quay"),
        ];
        for (name, pattern_of) in wanted {
            assert_eq!(pattern(name), pattern_of, "{name}");
        }
    }

    fn keys(files: &[(&str, &str)]) -> Vec<String> {
        let entries: Vec<Entry> = files
            .iter()
            .map(|(folder, file)| Entry {
                key: format!("{folder}/{file}"),
                folder: (*folder).to_owned(),
                summary: Summary {
                    file: (*file).to_owned(),
                    ..Summary::default()
                },
                ..Entry::default()
            })
            .collect();
        let groups = group(&entries, &Corrections::default());
        let key = |&number: &usize| groups.devices[number].0.clone();
        groups.of.iter().map(key).collect()
    }

    #[test]
    fn folders_below_the_shared_one_are_devices() {
        let files = [
            ("day 2/deck/100", "rail_0001.mov"),
            ("day 2/deck/101", "rail_0001.mov"),
            ("day 2/sound", "bell_01.wav"),
        ];
        assert_eq!(keys(&files), ["deck", "deck", "sound"]);
        let one = [("day 2", "rail_01.mov"), ("day 2", "bow_01.mov")];
        assert_eq!(keys(&one), ["rail", "bow"]);
    }

    #[test]
    fn a_person_may_move_a_recording_and_name_a_device() {
        let entries = [Entry {
            key: "1".into(),
            ..Entry::default()
        }];
        let mut corrections = Corrections::default();
        corrections.recordings.entry("1".into()).or_default().device = "Bow camera".into();
        corrections.names.insert("Bow camera".into(), "Bow".into());
        let groups = group(&entries, &corrections);
        assert_eq!(groups.devices, [("Bow camera".into(), "Bow".into())]);
    }
}
