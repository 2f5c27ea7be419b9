//! The verdict on a shoot: what a colleague would say first.

use super::place::timebase;
use super::{Basis, LineUp, Recording};
use crate::reading::Verdict;
use plumbline_words::{capital, in_letters};

pub(super) fn of(line_up: &LineUp<'_>) -> Verdict {
    let all = line_up.recordings.len();
    let on_clock = line_up
        .recordings
        .iter()
        .filter(|recording| shares(line_up, recording))
        .count();
    let first = match (on_clock, all) {
        (0, 0) => "Nothing has been read yet".to_owned(),
        (0, 1) => "This recording has no code".to_owned(),
        (0, all) => format!("None of the {} recordings has code", in_letters(all)),
        (1, 1) => "One recording stands on the clock".to_owned(),
        (on_clock, all) if on_clock == all && all == 2 => "Both recordings share one clock".into(),
        (on_clock, all) if on_clock == all => {
            format!("All {} recordings share one clock", in_letters(all))
        }
        (1, all) => format!(
            "One of {} recordings has its code on the clock",
            in_letters(all)
        ),
        (on_clock, all) => {
            format!(
                "{} of {} recordings share one clock",
                capital(&in_letters(on_clock)),
                in_letters(all)
            )
        }
    };
    match line_up.findings.first() {
        None => Verdict {
            before: format!("{first}."),
            mark: String::new(),
            after: String::new(),
        },
        Some(worst) => {
            let (who, what) = &worst.said;
            let more = match line_up.findings.len() {
                1 => String::new(),
                2 => ", and one more thing needs a look".to_owned(),
                more => format!(", and {} more things need a look", in_letters(more - 1)),
            };
            Verdict {
                before: format!("{first}. "),
                mark: who.clone(),
                after: format!(" {what}{more}."),
            }
        }
    }
}

/// Whether a recording's code puts it on the clock at the clock's own rate.
fn shares(line_up: &LineUp<'_>, recording: &Recording<'_>) -> bool {
    let by_code = recording
        .placed
        .is_some_and(|placed| matches!(placed.basis, Basis::Code { .. }));
    let own = recording.entry.summary.codes.first();
    let own = own.and_then(|code| timebase(&code.rate, code.drop_frame));
    by_code && own == line_up.clock.map(|clock| clock.timebase)
}
