//! From settings to an order for a live player.

use plumbline_timecode::Timebase;
use plumbline_timecode::st309::UtcOffset;
use plumbline_words::Problem;

use crate::clocks::{by_a_held_clock, by_the_clock};
use crate::field::Field;
use crate::remarks::Remarks;
use crate::{
    Begins, Clocks, CodeClock, Heard, Order, OutputRate, Settings, content, counting, extent, sound,
};

/// Where live code is to start.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum LiveStart<'a> {
    /// With the address that was typed, as soon as can be.
    Typed,
    /// With the address that agrees with the time of day when it comes out.
    TimeOfDay {
        /// How far the device's local time is ahead of UTC.
        offset: UtcOffset,
        /// What the device's clocks said while its output ran, the last reading last: some of
        /// them, so that one that was held up does not matter.
        readings: &'a [Clocks],
    },
    /// With the address that another clock, which is held, has when it comes out.
    Held {
        /// The clock.
        clock: CodeClock,
        /// As for the time of day.
        readings: &'a [Clocks],
    },
}

/// The order for code as it is set, on an output of that rate.
///
/// Length, takes, silence, level and what stands in files are not asked: live code goes on until
/// it is stopped, and is made as loud as its player wants.
///
/// ```
/// use plumbline_tone::{Heard, LiveStart, OutputRate, Settings, live_order};
/// let rate = OutputRate::hertz(48_000)?;
/// let settings = Settings { start: "10:00:00:00".to_owned(), ..Settings::default() };
/// let order = live_order(&settings, LiveStart::Typed, rate, Heard::Code).unwrap();
/// assert_eq!(order.address(25).to_string(), "10:00:01:00");
///
/// let wrong = Settings { rate: "26".to_owned(), ..settings };
/// let problems = live_order(&wrong, LiveStart::Typed, rate, Heard::Code).unwrap_err();
/// assert_eq!(problems[0].field, "rate");
/// # Ok::<(), plumbline_tone::OutputRateError>(())
/// ```
pub fn live_order(
    settings: &Settings,
    start: LiveStart,
    output_rate: OutputRate,
    heard: Heard,
) -> Result<Order, Vec<Problem>> {
    let mut remarks = Remarks::default();
    order(settings, start, output_rate, heard, &mut remarks).ok_or(remarks.problems)
}

/// None where there are problems, all of which are then among the remarks.
fn order(
    settings: &Settings,
    start: LiveStart,
    output_rate: OutputRate,
    heard: Heard,
    remarks: &mut Remarks,
) -> Option<Order> {
    let timebase = counting::timebase(settings, remarks);
    let content = content::content(settings, timebase, remarks);
    let edges = sound::edges(settings, remarks);
    let timebase = timebase?;
    let (first, begins) = match start {
        LiveStart::Typed => {
            let first = extent::first(settings, timebase, remarks)?;
            (first.code().address(), Begins::AtOnce)
        }
        LiveStart::TimeOfDay { offset, readings } => {
            let found = by_the_clock(readings, offset, timebase, output_rate);
            remarks.keep(found.ok_or_else(no_clock))?
        }
        LiveStart::Held { clock, readings } => {
            remarks.keep(alike(timebase, clock.timebase()))?;
            let found = by_a_held_clock(readings, &clock, output_rate);
            remarks.keep(found.ok_or_else(no_clock))?
        }
    };
    let (rise_time, polarity) = edges?;
    Some(Order {
        timebase: timebase.code(),
        first,
        content: content?,
        output_rate,
        rise_time,
        polarity,
        heard,
        begins,
    })
}

/// Code that is jammed from a clock counts as that clock does.
fn alike(timebase: Timebase, held: Timebase) -> Result<(), Problem> {
    let (own, held) = (timebase.code(), held.code());
    if own == held {
        return Ok(());
    }
    let field = if own.rate() == held.rate() {
        Field::Counting
    } else {
        Field::Rate
    };
    Err(field.problem(
        format!("The clock that is held counts {held}, and this tone {own}."),
        format!("Set rate and counting to {held}, or start otherwise."),
    ))
}

fn no_clock() -> Problem {
    Field::Start.problem(
        "This device’s clocks could not be read, or are set to a year that can’t be.",
        "Set this device’s date and time, or start from a typed address.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ClockReading;

    fn hertz(hertz: u32) -> OutputRate {
        OutputRate::hertz(hertz).unwrap()
    }

    fn settings(rate: &str, counting: &str, start: &str) -> Settings {
        Settings {
            rate: rate.to_owned(),
            counting: counting.to_owned(),
            start: start.to_owned(),
            ..Settings::default()
        }
    }

    /// At 2026-10-10 00:00:00.5 UTC, ten seconds after the output began.
    fn clocks() -> Clocks {
        Clocks::new(&ClockReading {
            unix_milliseconds: 1_791_590_400_500.0,
            page_milliseconds: 60_000.0,
            output_seconds: Some(10.0),
            output_milliseconds: Some(60_000.0),
            made_seconds: 10.04,
            latency_seconds: None,
        })
        .unwrap()
    }

    #[test]
    fn what_was_typed_comes_first_and_as_its_codeword() {
        let typed = settings("50", "non-drop", "10:00:00:48");
        let order = live_order(&typed, LiveStart::Typed, hertz(48_000), Heard::Code).unwrap();
        assert_eq!(order.address(0).to_string(), "10:00:00:24");
        assert_eq!(order.begins(), Begins::AtOnce);
        assert_eq!(order.timebase().to_string(), "25");
        let back = Order::from_bytes(&order.to_bytes());
        assert_eq!(back, Ok(order));
    }

    #[test]
    fn the_time_of_day_needs_no_typed_address_and_no_length() {
        let typed = Settings {
            length: "200 h".to_owned(),
            level: "3".to_owned(),
            ..settings("29.97", "drop", "nonsense")
        };
        let start = LiveStart::TimeOfDay {
            offset: UtcOffset::minutes(60).unwrap(),
            readings: &[clocks()],
        };
        let order = live_order(&typed, start, hertz(48_000), Heard::Beeps).unwrap();
        // SMPTE ST 2059-1 clause 9.3.3.4: 3600.5 s are 107907.09 frames, 107892 of them in the
        // first hour; the last began 3600.4969 s after midnight, 3.1 ms before the reading.
        assert_eq!(order.address(0).to_string(), "01:00:00;15");
        assert_eq!(order.begins(), Begins::Counted(479_851));
        let start = LiveStart::TimeOfDay {
            offset: UtcOffset::UTC,
            readings: &[],
        };
        let problems = live_order(&typed, start, hertz(48_000), Heard::Code).unwrap_err();
        assert_eq!(problems[0].field, "start");
    }

    /// A clock that was at frame 900,000 (10:00:00:00) when the page's clock said 59 s is at
    /// 10:00:01:00 at the reading, a second later, when sample 480,000 is at the output.
    #[test]
    fn a_clock_that_is_held_is_played_out_where_it_is() {
        let held = |frame| {
            let base = Timebase::non_drop(plumbline_timecode::Rate::F25);
            CodeClock::new(base, frame, 59_000.0, 25.0).unwrap()
        };
        let order = |typed: &Settings, clock| {
            let readings = &[clocks()];
            let start = LiveStart::Held { clock, readings };
            live_order(typed, start, hertz(48_000), Heard::Code)
        };
        let typed = settings("25", "non-drop", "nonsense");
        let whole = order(&typed, held(900_000.0)).unwrap();
        assert_eq!(whole.address(0).to_string(), "10:00:01:00");
        assert_eq!(whole.begins(), Begins::Counted(480_000));
        let within = order(&typed, held(900_000.75)).unwrap();
        assert_eq!(within.address(0).to_string(), "10:00:01:00");
        assert_eq!(within.begins(), Begins::Counted(480_000 - 1440));

        let problems = order(&settings("24", "non-drop", ""), held(0.0)).unwrap_err();
        assert_eq!(problems[0].field, "rate");
        let start = LiveStart::Held {
            clock: held(0.0),
            readings: &[],
        };
        let problems = live_order(&typed, start, hertz(48_000), Heard::Code).unwrap_err();
        assert_eq!(problems[0].field, "start");
    }

    #[test]
    fn all_that_is_wrong_is_told_and_nothing_else() {
        let wrong = Settings {
            user_bits: "xyz".to_owned(),
            polarity: "sideways".to_owned(),
            takes: "0".to_owned(),
            ..settings("25", "drop", "10:00:00;00")
        };
        let problems =
            live_order(&wrong, LiveStart::Typed, hertz(48_000), Heard::Code).unwrap_err();
        let fields: Vec<&str> = problems
            .iter()
            .map(|problem| problem.field.as_str())
            .collect();
        assert_eq!(fields, ["counting", "user_bits", "polarity"]);
    }
}
