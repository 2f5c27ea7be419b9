//! Code that runs at another speed than it counts, or counts otherwise than it says.

use super::Found;
use crate::facts::Facts;
use crate::report::FindingKind;
use crate::run::Motion;
use crate::stretch::Stretch;
use crate::timebase::nearest_of_all;
use plumbline_timecode::Count;
use plumbline_words::signed;

/// A free-running source may be 100 ppm off (IEC 60461 clause 8.4) and a recorder's clock as much
/// again; beyond this the speed itself is wrong.
const OFF_SPEED: f64 = 250e-6;

pub(super) fn all(facts: &Facts<'_>) -> Vec<Found> {
    let whole = [flag(facts), unusual(facts)];
    whole.into_iter().flatten().chain(speeds(facts)).collect()
}

/// Where the speed is wrong: at each stretch whose speed changes, or is not that of the one before it.
fn speeds(facts: &Facts<'_>) -> Vec<Found> {
    let mut before = 1.0;
    let mut found = Vec::new();
    let stretches = facts.stretches().iter().enumerate();
    let moving = stretches.filter(|(_, s)| s.motion() != Motion::Still && s.length > 2);
    for (number, stretch) in moving {
        let speed = facts.nominal / facts.period_of(stretch);
        let is_off = (speed - 1.0).abs() > OFF_SPEED && (speed / before - 1.0).abs() > OFF_SPEED;
        let swing = Swing::of(facts, number, stretch).map(Swing::finding);
        let told = swing.or_else(|| is_off.then(|| another_speed(facts, stretch, speed)));
        found.extend(told.map(|found| {
            let first = stretch.first(facts.timebase.count());
            found.at(first, stretch.run.first.first_edge)
        }));
        before = speed;
    }
    // Each is a stretch of its own: that there are many more is told as breaks.
    found.truncate(super::ONE_BY_ONE);
    found
}

/// Speeds are taken between moments that are so far apart, in seconds, or as near to that as places are
/// kept.
const APART: f64 = 0.25;
/// Where they part by more than this, and some codeword is further than this from where an even speed
/// has it, in seconds, no clock of quartz was at work.
const SWING: f64 = 1e-3;
const OFF_LINE: f64 = 1e-3;

/// A speed that changes.
struct Swing {
    slowest: f64,
    fastest: f64,
    /// How far codewords are from where an even speed has them at most, in seconds.
    off: f64,
}

impl Swing {
    /// That of a stretch, if it is more than a clock does.
    fn of(facts: &Facts<'_>, number: usize, stretch: &Stretch) -> Option<Self> {
        let mut points = facts.continuity.clock.points_of(number).iter();
        let (begins, slope) = (stretch.line.intercept(), stretch.line.slope());
        let mut last = points.next()?;
        let mut swing = Self {
            slowest: f64::MAX,
            fastest: f64::MIN,
            off: 0.0,
        };
        for point in points {
            let even = begins + slope * point.index;
            swing.off = swing
                .off
                .max(facts.extent.seconds((point.position - even).abs()));
            let samples = point.position - last.position;
            if facts.extent.seconds(samples) >= APART {
                let speed = facts.nominal * (point.index - last.index) / samples;
                swing.slowest = swing.slowest.min(speed);
                swing.fastest = swing.fastest.max(speed);
                last = point;
            }
        }
        let parts = swing.fastest - swing.slowest;
        (swing.off > OFF_LINE && parts > SWING * swing.slowest).then_some(swing)
    }

    fn finding(self) -> Found {
        let text = format!(
            "The speed changes, between {} and {} of the rate: tape, or a player that does not run \
             evenly. Codewords are up to {} ms from where an even speed would have them.",
            part(self.slowest),
            part(self.fastest),
            signed(self.off * 1e3, 0)
        );
        let remedy = "Play it again on a machine that runs evenly, or line up short parts by their \
                      own addresses: the start time holds for the beginning alone.";
        let heading = "Speed changes".into();
        Found::whole(FindingKind::OffSpeed, heading, text, remedy)
    }
}

fn another_speed(facts: &Facts<'_>, stretch: &Stretch, speed: f64) -> Found {
    let measured = facts.extent.sample_rate.as_f64() / facts.period_of(stretch);
    let other = nearest_of_all(measured);
    let is_another_rate = (measured / other.fraction().as_f64() - 1.0).abs() <= OFF_SPEED;
    let counted = facts.timebase.count().frames_per_second();
    if is_another_rate {
        let text = format!(
            "The code counts {counted} frames to a second but runs at {other} frames a second: a \
             rate was set wrong, or the recording was converted from {} to {other}.",
            facts.timebase.rate()
        );
        let remedy = "Find out which is true before lining up: address and real time part by this \
                      much every second.";
        let heading = format!("Counts {counted}, runs at {other}");
        Found::whole(FindingKind::RateAgainstCount, heading, text, remedy)
    } else {
        let text = format!(
            "The code runs at {} of its rate ({} frames a second). The player ran at another \
             speed, or the recording's sample rate is not what the file says.",
            part(speed),
            signed(measured, 3)
        );
        let remedy = "Check the sample rate setting of the recorder, and play the tape or file \
                      again at its right speed.";
        let heading = format!("Runs at {} speed", part(speed));
        Found::whole(FindingKind::OffSpeed, heading, text, remedy)
    }
}

/// "98 %", "99.95 %".
fn part(speed: f64) -> String {
    let percent = speed * 100.0;
    let decimals = if (percent - percent.round()).abs() < 0.05 {
        0
    } else {
        2
    };
    format!("{percent:.decimals$} %")
}

/// The drop-frame flag against the digits.
fn flag(facts: &Facts<'_>) -> Option<Found> {
    let sum = |part: fn(&Stretch) -> u64| facts.stretches().iter().map(part).sum::<u64>();
    let (flagged, read) = (sum(|s| s.flagged), sum(|s| s.run.read));
    let says_drop = flagged * 2 > read;
    let counts_drop = facts.timebase.count().is_drop();
    // Without a full minute both ways of counting fit, and then the flag decides.
    let text = match (says_drop, counts_drop) {
        (true, false) if facts.timebase.count() == Count::F30 => {
            "The flag says drop-frame, but the digits leave out no numbers: they count non-drop. \
             By the digits the address runs 3.6 s an hour behind the clock on the wall."
        }
        (true, false) => {
            "The flag says drop-frame, which does not exist at this rate. The device sets a bit \
             that should be 0."
        }
        (false, true) => {
            "The flag says non-drop, but the digits leave out two numbers a minute: they count \
             drop-frame."
        }
        _ => return None,
    };
    let remedy =
        "Tell the edit to go by the count, not by the flag, and check the device's setting.";
    let heading = "Flag contradicts the count".into();
    Some(Found::whole(
        FindingKind::FlagAgainstCount,
        heading,
        text.into(),
        remedy,
    ))
}

fn unusual(facts: &Facts<'_>) -> Option<Found> {
    let text = "Drop-frame counting at exactly 30 frames a second. Drop-frame exists to keep 29.97 \
                near the clock on the wall; at 30 the address runs 3.6 s an hour ahead of it. Some \
                recorders offer it for material that will be slowed to 29.97 later.";
    let remedy = "If that was not meant, one device has the wrong rate: use 29.97 drop-frame or 30 \
                  non-drop.";
    let heading = "Drop-frame at 30".into();
    facts
        .timebase
        .is_unusual()
        .then(|| Found::whole(FindingKind::UnusualCount, heading, text.into(), remedy))
}
