//! A clock that was set from code that was heard, and runs on by itself.

use plumbline_tone::{CodeClock, CodeClockError, Ticking};
use plumbline_words::seconds as length;
use serde::{Deserialize, Serialize};

use crate::Apart;
use crate::ago::whole_seconds;

/// A clock that was jammed from code.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Held {
    /// How it runs.
    pub ticking: Ticking,
    /// What it was jammed from: "channel 1".
    pub from: String,
    /// When, by the page's clock, in milliseconds.
    pub jammed: f64,
    /// How fast that code was against the page's clock, in seconds a second, with one standard
    /// deviation; none where it was not heard for long enough.
    pub pace: Option<(f64, f64)>,
    /// By how many milliseconds the device's time of day was ahead of the page's clock then, or when
    /// a page that was opened since took it over.
    pub ahead: f64,
    /// For how many seconds it ran by the time of day, because its page was closed; 0 where it did
    /// not.
    pub by_time_of_day: f64,
    /// How long ago that was the last time, and how far the clock had drifted since, in words:
    /// where it was jammed again.
    pub drifted: Option<String>,
}

/// What a held clock says of itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct HeldNow {
    /// Its address.
    pub address: String,
    /// "Jammed from channel 1, 12 min 00 s ago."
    pub since: String,
    /// How far it may be off by now.
    pub off: String,
    /// Why it can't be believed any more, and what to do; none where it can.
    pub trouble: Option<String>,
}

/// What IEC 60461 clause 8.4 allows a source of code that runs by itself.
const ALLOWED: f64 = 100e-6;
/// What the device's two clocks may part by: a time of day that is set in small steps, and...
const STEPS: f64 = 0.1;
/// ...in a second, where it is slewed (RFC 5905, clause 11.3, allows 500 ppm).
const SLEWED: f64 = 500e-6;
/// How well the beginning is known, in seconds: what a page can't know of an input's own delay.
const BEGINNING: f64 = 5e-3;

impl Held {
    /// The code as a clock runs on, at its rate.
    pub fn jam(
        heard: &CodeClock,
        from: String,
        page_milliseconds: f64,
        apart: Option<&Apart>,
        ahead: f64,
    ) -> Self {
        Self {
            ticking: heard.at_rate(page_milliseconds).into(),
            from,
            jammed: page_milliseconds,
            pace: apart.and_then(|apart| apart.pace),
            ahead,
            by_time_of_day: 0.0,
            drifted: None,
        }
    }

    /// The same clock on another page that was opened since: there it is so many milliseconds by the
    /// page's clock now, and the time of day is ahead of that by so many.
    pub fn on_page(self, page_milliseconds: f64, ahead: f64) -> Result<Self, CodeClockError> {
        let clock = CodeClock::try_from(&self.ticking)?;
        let later = self.ahead - ahead;
        let jammed = self.jammed + later;
        let ticking = clock.moved(later)?;
        Ok(Self {
            ticking: ticking.into(),
            jammed,
            ahead,
            by_time_of_day: ((page_milliseconds - jammed) * 1e-3).max(0.0),
            ..self
        })
    }

    /// The same clock, jammed again: with what it had drifted until then.
    pub fn jammed_again(self, before: &Self) -> Result<Self, CodeClockError> {
        let (now, then) = (
            CodeClock::try_from(&self.ticking)?,
            CodeClock::try_from(&before.ticking)?,
        );
        let passed = (self.jammed - before.jammed) * 1e-3;
        let drifted = if now.timebase() == then.timebase() {
            let rate = now.timebase().rate().fraction().as_f64();
            let day = f64::from(now.timebase().count().frames_per_day());
            let frames = then.frame_at(self.jammed) - now.frame_at(self.jammed);
            let frames = frames - (frames / day).round() * day;
            let drifted = drifted(frames / rate, 1.0 / rate, passed);
            if before.by_time_of_day > 0.0 {
                format!("{drifted} Until its page was opened again it ran by the time of day.")
            } else {
                drifted
            }
        } else {
            format!(
                "The clock held before counted {}; this code counts {}.",
                then.timebase(),
                now.timebase()
            )
        };
        Ok(Self {
            drifted: Some(drifted),
            ..self
        })
    }

    /// What it says at a moment, when the time of day is so many milliseconds ahead of the page's
    /// clock: that clock stands still while some devices sleep.
    pub fn now(&self, page_milliseconds: f64, ahead: f64) -> Result<HeldNow, CodeClockError> {
        let clock = CodeClock::try_from(&self.ticking)?;
        let passed = ((page_milliseconds - self.jammed) * 1e-3).max(0.0);
        let frame = 1.0 / clock.timebase().rate().fraction().as_f64();
        Ok(HeldNow {
            address: clock.address_at(page_milliseconds).to_string(),
            since: format!("Jammed from {}, {} ago.", self.from, whole_seconds(passed)),
            off: self.off(passed, frame),
            trouble: trouble(passed, (ahead - self.ahead) * 1e-3),
        })
    }

    fn off(&self, passed: f64, frame: f64) -> String {
        let (pace, because) = match self.pace {
            Some((pace, one)) => (
                pace.abs() + 3.0 * one,
                "by what was measured of the two clocks while the code was heard",
            ),
            None => (
                2.0 * ALLOWED,
                "if the device’s clock and this one each keep the 100 ppm that IEC 60461 clause \
                 8.4 allows",
            ),
        };
        let most = BEGINNING + pace * passed + SLEWED * self.by_time_of_day;
        let most = format!("{} ({:.2} frames)", length(most), most / frame);
        if self.by_time_of_day > 0.0 {
            return format!(
                "Off by at most {most} by now, if this device’s time of day was not set meanwhile: the \
                 clock ran by that until this page was opened."
            );
        }
        format!("Off by at most {most} by now, {because}.")
    }
}

/// Why a clock can't be believed after so many seconds in which the time of day moved so far beside
/// it.
fn trouble(passed: f64, moved: f64) -> Option<String> {
    (moved.abs() > STEPS + SLEWED * passed).then(|| {
        format!(
            "Since it was set, this device slept, or its time of day was set, by {}: this \
             clock may have stood still meanwhile. Hold it again before you rely on it.",
            length(moved.abs())
        )
    })
}

/// How far a clock had drifted when it was jammed again.
fn drifted(seconds: f64, frame: f64, passed: f64) -> String {
    let way = if seconds < 0.0 { "behind" } else { "ahead" };
    let size = format!(
        "{:.1} ms ({:.2} frames)",
        seconds.abs() * 1e3,
        seconds.abs() / frame
    );
    let after = whole_seconds(passed);
    if seconds.abs() > 1.0 {
        return format!(
            "After {after} the held clock and this code are {} apart: that is no drift; the device was set meanwhile, or it is another one.",
            length(seconds.abs())
        );
    }
    if passed < 60.0 {
        return format!("After {after} the held clock was {size} {way}.");
    }
    let ppm = seconds.abs() / passed * 1e6;
    format!("After {after} the held clock was {size} {way}: {ppm:.1} ppm.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Rate, Timebase};

    fn heard(frame: f64, at: f64) -> CodeClock {
        CodeClock::new(Timebase::non_drop(Rate::F25), frame, at, 25.0).unwrap()
    }

    fn jam(frame: f64, at: f64) -> Held {
        Held::jam(&heard(frame, at), "channel 1".to_owned(), at, None, 1e12)
    }

    /// 200 ppm for twelve minutes are 144 ms, and 5 ms from the beginning: 3.73 frames of 40 ms.
    #[test]
    fn it_runs_on_and_says_how_far_it_may_be_off() {
        let held = jam(90_000.0, 5_000.0);
        let now = held.now(5_000.0 + 720_000.0, 1e12).unwrap();
        assert_eq!(now.address, "01:12:00:00");
        assert_eq!(now.since, "Jammed from channel 1, 12 min 00 s ago.");
        assert!(now.off.contains("(3.73 frames)"), "{}", now.off);
        let known = Held {
            pace: Some((2e-6, 0.5e-6)),
            ..held
        };
        let now = known.now(5_000.0 + 720_000.0, 1e12).unwrap();
        assert!(now.off.contains("(0.19 frames)"), "{}", now.off);
    }

    /// A laptop that slept for ten minutes: the page's clock did not go on.
    #[test]
    fn a_device_that_slept_is_not_believed() {
        let held = jam(90_000.0, 0.0);
        let trouble = |ahead| held.now(3_600_000.0, 1e12 + ahead).unwrap().trouble;
        assert_eq!(trouble(0.0), None);
        assert_eq!(trouble(-1_500.0), None, "slewed for an hour");
        assert!(trouble(600_000.0).unwrap().contains("10 min"));
        assert!(trouble(-5_000.0).is_some());
    }

    /// A page that was open for an hour when it set its clock; another one, opened ten minutes later,
    /// has it at the same address. The time of day may be slewed by 500 ppm: 0.3 s in ten minutes.
    #[test]
    fn on_another_page_it_is_where_the_time_of_day_has_it() {
        let (opened, moment) = (1e12, 3_600_000.0);
        let held = jam(90_000.0, moment);
        let again = opened + moment + 600_000.0;
        let carried = held.clone().on_page(20.0, again - 20.0).unwrap();
        let now = carried.now(20.0, again - 20.0).unwrap();
        assert_eq!(now.address, "01:10:00:00");
        assert_eq!(now.since, "Jammed from channel 1, 10 min 00 s ago.");
        assert!(now.off.contains("425 ms (10.62 frames)"), "{}", now.off);
        assert!(now.off.contains("time of day"), "{}", now.off);
        assert_eq!(now.trouble, None);
        let drifted = jam(105_000.0, 20.0).jammed_again(&carried).unwrap().drifted;
        assert!(drifted.unwrap().contains("ran by the time of day"));
        assert!(held.on_page(20.0, f64::NAN).is_err());
    }

    /// The code gained 36 ms in an hour: 10 ppm.
    #[test]
    fn jammed_again_it_says_how_far_it_had_drifted() {
        let before = jam(90_000.0, 0.0);
        let again = jam(180_000.9, 3_600_000.0).jammed_again(&before).unwrap();
        let said = again.drifted.unwrap();
        assert!(
            said.contains("36.0 ms (0.90 frames) behind: 10.0 ppm"),
            "{said}"
        );
        let other = jam(500_000.0, 3_600_000.0).jammed_again(&before).unwrap();
        assert!(other.drifted.unwrap().contains("no drift"));
    }
}
