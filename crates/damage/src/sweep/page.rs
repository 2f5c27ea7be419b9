//! The page of tables.

use std::fmt::Write;

use super::case::Sweep;
use super::measure::Outcome;
use super::silence::Silence;
use super::starts::Starts;
use crate::{Reader, Score};

/// All tables, in Markdown, with the pictures that `curves` names.
pub(crate) fn page(
    sweeps: &[(&Sweep, &[Outcome])],
    starts: &[Starts],
    silences: &[Silence],
    readers: &[&dyn Reader],
) -> String {
    let mut page = String::from(
        "# What was measured\n\n\
         Made by `scripts/sweep`; run it again instead of editing this page. How takes are damaged \
         and judged is in `crates/damage`, what the limit is and how to read the curves is in \
         [the chapter on the receiver](README.md).\n\n\
         Per cent are of the whole codewords in the takes: read with the right address within half \
         a codeword of their place. *Wrong* counts frames that name an address that is not there. \
         Positions are root mean squares, in samples. Code is at 25 frames a second and 48 kHz \
         unless a table says otherwise.\n",
    );
    for (sweep, outcomes) in sweeps {
        section(&mut page, sweep, outcomes, readers);
    }
    starts_alone(&mut page, starts);
    no_code(&mut page, silences, readers);
    page
}

fn starts_alone(page: &mut String, starts: &[Starts]) {
    page.push_str(
        "\n## The start of ten seconds\n\n\
         Something lies over code, so loud that few codewords or none can be told by themselves. User \
         bits are by chance, and the same in all codewords of a take unless it says otherwise. A start \
         is right to a hundredth of a frame. *Limit* is how many the best receiver could be sure of in \
         white noise if user bits are the same: it knows when each half-cell comes, and calls sure what \
         is a million times more probable than the starts next to it.\n\n\
         | code | under | so much louder (dB) | takes | limit | start right | wrong |\n\
         |---|---|--:|--:|--:|--:|--:|\n",
    );
    for kind in starts {
        let Starts {
            name,
            sound,
            over,
            takes,
            limit,
            right,
            wrong,
        } = kind;
        let over = over.0;
        let limit = limit.map_or(String::new(), |limit| format!("{limit:.1}"));
        let _ = writeln!(
            page,
            "| {name} | {sound} | {over} | {takes} | {limit} | {right} | {wrong} |"
        );
    }
}

fn section(page: &mut String, sweep: &Sweep, outcomes: &[Outcome], readers: &[&dyn Reader]) {
    // Writing to a string does not fail.
    let _ = write!(page, "\n## {}\n\n", sweep.title);
    if !sweep.note.is_empty() {
        let _ = write!(page, "{}\n\n", sweep.note);
    }
    if sweep.scale.is_some() {
        let _ = write!(page, "![{}]({}.svg)\n\n", sweep.title, sweep.stem);
    }
    let limited = outcomes
        .iter()
        .any(|outcome| matches!(outcome, Outcome::Measured { limit: Some(_), .. }));
    if limited && sweep.scale.is_some() {
        let _ = write!(
            page,
            "![{}: positions]({}-position.svg)\n\n",
            sweep.title, sweep.stem
        );
    }
    heading(page, sweep.setting, readers, limited);
    for (case, outcome) in sweep.cases.iter().zip(outcomes) {
        let _ = write!(page, "| {} ", case.label);
        match outcome {
            Outcome::NotMeasured => {
                let _ = write!(page, "| not measured: ffmpeg is missing ");
            }
            Outcome::Measured { scores, limit } => {
                let words = scores.first().map_or(0, |score| score.whole);
                let _ = write!(page, "| {words} ");
                for score in scores {
                    cells(page, score);
                }
                if let Some(limit) = limit {
                    let share = 100.0 * limit.words.share();
                    let _ = write!(page, "| {share:.2} | {:.3} ", limit.position);
                }
            }
        }
        page.push_str("|\n");
    }
}

fn heading(page: &mut String, setting: &str, readers: &[&dyn Reader], limited: bool) {
    let _ = write!(page, "| {setting} | codewords ");
    let mut rule = String::from("|---|--:");
    for reader in readers {
        let name = reader.name();
        let _ = write!(page, "| {name} % | wrong | position ");
        rule.push_str("|--:|--:|--:");
    }
    if limited {
        page.push_str("| limit % | position ");
        rule.push_str("|--:|--:");
    }
    let _ = writeln!(page, "|\n{rule}|");
}

fn cells(page: &mut String, score: &Score) {
    let share = score
        .share()
        .map_or("–".into(), |share| format!("{:.1}", 100.0 * share));
    let error = score
        .position_error()
        .map_or("–".into(), |error| format!("{error:.3}"));
    let _ = write!(page, "| {share} | {} | {error} ", score.wrong);
}

fn no_code(page: &mut String, silences: &[Silence], readers: &[&dyn Reader]) {
    page.push_str("\n## Sound without code\n\nEvery frame here is wrong.\n\n| sound | minutes ");
    let mut rule = String::from("|---|--:");
    for reader in readers {
        let _ = write!(page, "| frames of {} ", reader.name());
        rule.push_str("|--:");
    }
    let _ = writeln!(page, "|\n{rule}|");
    for silence in silences {
        let _ = write!(page, "| {} | {:.1} ", silence.name, silence.minutes);
        for frames in &silence.frames {
            let _ = write!(page, "| {frames} ");
        }
        page.push_str("|\n");
    }
}
