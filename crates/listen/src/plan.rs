//! What the code should be, and how it departs from that.

use plumbline_shoot::Now;
use plumbline_timecode::{Rate, UserBits};
use plumbline_words::{self as words, Counting, Problem, quoted};
use serde::{Deserialize, Serialize};

/// What was planned, as it was typed: an empty field is not planned.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Planned {
    /// The rate of the code, by name.
    pub rate: String,
    /// `drop` or `non-drop`.
    pub counting: String,
    /// Eight hexadecimal digits, binary group 8 first; `-` is any digit.
    pub user_bits: String,
}

/// The same, checked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Plan {
    rate: Option<Rate>,
    counting: Option<Counting>,
    user_bits: Option<Pattern>,
}

/// In what code departs from a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Departure {
    /// What the code does: "runs at 25 frames a second; 24 was planned".
    pub what: String,
    /// What to do.
    pub remedy: String,
}

/// User bits of which some digits are fixed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Pattern {
    digits: u32,
    mask: u32,
}

impl Plan {
    /// What was typed; all that is wrong with it where something is.
    pub fn new(planned: &Planned) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut keep = |problem| problems.push(problem);
        let plan = Self {
            rate: typed(&planned.rate, |typed| words::rate("rate", typed), &mut keep)
                .map(Rate::code),
            counting: typed(
                &planned.counting,
                |typed| words::counting("counting", typed),
                &mut keep,
            ),
            user_bits: typed(&planned.user_bits, pattern, &mut keep),
        };
        if let (Some(rate), Some(counting)) = (plan.rate, plan.counting)
            && let Err(problem) = words::timebase("counting", rate, counting)
        {
            problems.push(problem);
        }
        if problems.is_empty() {
            Ok(plan)
        } else {
            Err(problems)
        }
    }

    /// All in which code departs from it.
    pub fn departures(&self, now: &Now) -> Vec<Departure> {
        let (rate, drop) = (now.timebase.rate(), now.timebase.count().is_drop());
        let says = |counting| match counting {
            Counting::Drop => "drop-frame",
            Counting::NonDrop => "non-drop",
        };
        let heard = Counting::of(drop);
        let wrong_rate = self.rate.filter(|&planned| planned != rate).map(|planned| {
            Departure::new(
                format!("runs at {rate} frames a second; {planned} was planned"),
                format!("Set the device to {planned}, or change what is planned."),
            )
        });
        let wrong_count = self
            .counting
            .filter(|&planned| planned != heard)
            .map(|planned| {
                let (heard, planned) = (says(heard), says(planned));
                Departure::new(
                    format!("counts {heard}; {planned} was planned"),
                    format!("Set the device to count {planned}, or change what is planned."),
                )
            });
        let wrong_bits = self
            .user_bits
            .filter(|pattern| !pattern.holds(now.user_bits));
        let wrong_bits = wrong_bits.map(|pattern| {
            Departure::new(
                format!("has the user bits {}; {pattern} was planned", now.user_bits),
                format!("Set the device’s user bits to {pattern}, or change what is planned."),
            )
        });
        [wrong_rate, wrong_count, wrong_bits]
            .into_iter()
            .flatten()
            .collect()
    }
}

impl Departure {
    const fn new(what: String, remedy: String) -> Self {
        Self { what, remedy }
    }
}

fn typed<T>(
    typed: &str,
    read: impl Fn(&str) -> Result<T, Problem>,
    keep: &mut impl FnMut(Problem),
) -> Option<T> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    read(typed).map_err(keep).ok()
}

fn pattern(typed: &str) -> Result<Pattern, Problem> {
    let wrong = || {
        Problem::new(
            "user_bits",
            format!("{} are not the digits of user bits.", quoted(typed)),
            "Eight digits 0 to 9 and A to F, the first one that of binary group 8; a - where any \
             digit will do.",
        )
    };
    let digits: Vec<char> = typed.chars().filter(|c| !c.is_whitespace()).collect();
    if digits.len() != 8 {
        return Err(wrong());
    }
    let mut pattern = Pattern { digits: 0, mask: 0 };
    for digit in digits {
        let (value, mask) = match digit {
            '-' => (0, 0),
            digit => (digit.to_digit(16).ok_or_else(wrong)?, 0xf),
        };
        pattern.digits = pattern.digits << 4 | value;
        pattern.mask = pattern.mask << 4 | mask;
    }
    Ok(pattern)
}

impl Pattern {
    const fn holds(self, user_bits: UserBits) -> bool {
        user_bits.0 & self.mask == self.digits
    }
}

impl std::fmt::Display for Pattern {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for place in (0..8).rev() {
            let of = |bits: u32| bits >> (4 * place) & 0xf;
            if of(self.mask) == 0 {
                write!(f, "-")?;
            } else {
                write!(f, "{:X}", of(self.digits))?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_shoot::Tally;
    use plumbline_timecode::{Count, TimeAddress, Timebase};

    fn planned(rate: &str, counting: &str, user_bits: &str) -> Planned {
        Planned {
            rate: rate.to_owned(),
            counting: counting.to_owned(),
            user_bits: user_bits.to_owned(),
        }
    }

    fn now() -> Now {
        Now {
            timebase: Timebase::new(Rate::F29_97, Count::F30Drop).unwrap(),
            address: TimeAddress::midnight(Count::F30Drop),
            first_edge: 0.0,
            ends: 1600.0,
            samples_per_codeword: 1601.6,
            direction: 1,
            speed: 1.0,
            clock_ppm: None,
            user_bits: UserBits(0x2511_2601),
            amplitude: 0.1,
            tally: Tally::default(),
        }
    }

    #[test]
    fn nothing_planned_nothing_wrong() {
        let plan = Plan::new(&Planned::default()).unwrap();
        assert!(plan.departures(&now()).is_empty());
        let plan = Plan::new(&planned("59.94", "drop", "2511 26--")).unwrap();
        assert!(
            plan.departures(&now()).is_empty(),
            "the codeword of two frames"
        );
    }

    #[test]
    fn each_departure_says_what_and_what_to_do() {
        let plan = Plan::new(&planned("25", "non-drop", "26112601")).unwrap();
        let said = plan.departures(&now());
        assert_eq!(said.len(), 3, "{said:?}");
        assert!(said[0].what.contains("29.97") && said[0].what.contains("25 was planned"));
        assert!(said[0].remedy.starts_with("Set the device to 25"));
        assert_eq!(
            said[2].what,
            "has the user bits 25112601; 26112601 was planned"
        );
    }

    #[test]
    fn what_can_not_be_planned_is_told_at_its_field() {
        let problems = Plan::new(&planned("26", "sideways", "12")).unwrap_err();
        let fields: Vec<&str> = problems.iter().map(|p| p.field.as_str()).collect();
        assert_eq!(fields, ["rate", "counting", "user_bits"]);
        let problems = Plan::new(&planned("25", "drop", "")).unwrap_err();
        assert_eq!(problems[0].field, "counting");
        assert!(Plan::new(&planned("", "", "1234567G")).is_err());
    }
}
