//! The sheet in a few words: what its last line comes to, the total, and what is not right.

use super::line::Line;
use super::total::Total;

/// How many lines that are not right are named.
const MOST_NAMED: usize = 3;

/// Empty where nothing was typed.
pub(super) fn verdict(lines: &[Line], total: &Total) -> String {
    let last = lines.iter().rfind(|line| !line.value.is_empty());
    let sentences = [
        last.map(result),
        last.filter(|last| last.value != total.value)
            .and_then(|_| summed(total)),
        not_right(lines),
    ];
    let sentences: Vec<String> = sentences.into_iter().flatten().collect();
    sentences.join(" ")
}

fn result(line: &Line) -> String {
    match line.at.as_str() {
        "" => format!("{}.", line.value),
        at => format!("{} at {at}.", line.value),
    }
}

fn summed(total: &Total) -> Option<String> {
    (!total.value.is_empty()).then(|| format!("The total is {}.", total.value))
}

fn not_right(lines: &[Line]) -> Option<String> {
    let wrong: Vec<String> = (1..)
        .zip(lines)
        .filter(|(_, line)| line.fault.is_some())
        .map(|(number, _): (usize, _)| number.to_string())
        .collect();
    match wrong.as_slice() {
        [] => None,
        [one] => Some(format!("Line {one} is not right.")),
        [some @ .., last] if wrong.len() <= MOST_NAMED => Some(format!(
            "Lines {} and {last} are not right.",
            some.join(", ")
        )),
        all => Some(format!(
            "Lines {} and {} more are not right.",
            all[..MOST_NAMED].join(", "),
            all.len() - MOST_NAMED
        )),
    }
}
