//! The rate and the counting that were typed.

use plumbline_timecode::{Count, Rate, Timebase};

use crate::{Problem, choice, quoted};

/// Whether numbers are skipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counting {
    /// `non-drop`.
    NonDrop,
    /// `drop`.
    Drop,
}

impl Counting {
    /// As data says it: whether it is drop-frame.
    pub const fn of(drop_frame: bool) -> Self {
        if drop_frame {
            Self::Drop
        } else {
            Self::NonDrop
        }
    }
}

/// A frame rate by its name.
pub fn rate(field: &str, typed: &str) -> Result<Rate, Problem> {
    typed.parse().map_err(|_| {
        let names = Rate::ALL.map(Rate::name).join(", ");
        Problem::new(
            field,
            format!("{} is not a frame rate.", quoted(typed)),
            format!("Choose one of {names}."),
        )
    })
}

/// `non-drop` or `drop`.
pub fn counting(field: &str, typed: &str) -> Result<Counting, Problem> {
    let words = [("non-drop", Counting::NonDrop), ("drop", Counting::Drop)];
    choice(field, typed, &words)
}

/// A rate and a counting that go together; where they do not, the problem is the counting's.
pub fn timebase(field: &str, rate: Rate, counting: Counting) -> Result<Timebase, Problem> {
    let count = match counting {
        Counting::NonDrop => Some(rate.count()),
        Counting::Drop => rate.drop_count(),
    };
    // IEC 60461 clauses 5.2 and 6.2: no drop-frame at 24 and 25.
    count
        .and_then(|count| Timebase::new(rate, count).ok())
        .ok_or_else(|| {
            Problem::new(
                field,
                format!("Drop-frame at {rate}: at {rate} there is none."),
                format!(
                    "Non-drop is right at {rate}; 29.97 or 59.94 would be right for drop-frame."
                ),
            )
        })
}

/// "29.97 frames a second, drop-frame": the count is told where there are two.
///
/// ```
/// use plumbline_timecode::{Rate, Timebase};
/// use plumbline_words::frames_a_second;
/// assert_eq!(frames_a_second(Timebase::non_drop(Rate::F25)), "25 frames a second");
/// assert_eq!(frames_a_second(Timebase::non_drop(Rate::F30)), "30 frames a second, non-drop");
/// ```
pub fn frames_a_second(timebase: Timebase) -> String {
    let counting = match (timebase.count(), timebase.count().is_drop()) {
        (_, true) => ", drop-frame",
        (Count::F30, false) => ", non-drop",
        _ => "",
    };
    format!("{} frames a second{counting}", timebase.rate().name())
}

/// A rate by its name and whether it counts drop-frame, as data says it; none where there is no
/// such rate.
pub fn named_timebase(rate: &str, counting: Counting) -> Option<Timebase> {
    timebase("", rate.parse().ok()?, counting).ok()
}
