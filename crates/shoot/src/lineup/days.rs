//! Which day a recording is of, where several days were dropped at once.
//!
//! Code has no date. Files that say when they were made have one, each by its device's own clock:
//! that clock may be hours off, in another zone, or never have been set at all. So a date counts
//! only beside the other dates of the same device, as the days between them; and days are told
//! apart only where one device has more than one.
//!
//! ```text
//! date and time that the file states ─ minus the time of day of its code ─ midnights of its day
//!     whole days of that, from the device's first ─ days between recordings
//! ```

use super::{Recording, ShootClock};
use plumbline_timecode::Date;
use std::collections::{BTreeMap, BTreeSet};

/// The days of a shoot.
#[derive(Debug, Default)]
pub(crate) struct Days {
    /// The dates on which there are recordings, as the files state them: "2026-11-27".
    pub(crate) dates: Vec<String>,
    /// The recordings of each of these.
    pub(crate) of: Vec<Vec<usize>>,
    /// The recordings that state none, which stand on the first day.
    pub(crate) undated: Vec<usize>,
}

const SECONDS_A_DAY: f64 = 86_400.0;
/// Days that are further apart than that are a clock that was never set, and not believed.
const FURTHEST: i64 = 31;

/// Moves recordings to their days, the first of which begins at the clock's midnight; where there
/// is one alone, nothing is moved.
pub(crate) fn tell_apart(recordings: &mut [Recording<'_>], clock: ShootClock) -> Option<Days> {
    let own = of_devices(recordings, clock);
    let days = believed(&own)?;
    let first = *days.keys().next()?;
    // A night's shoot has two dates, and is one: all of it lies within a day.
    if !is_longer_than_a_day(recordings, &days, clock) {
        return None;
    }
    let undated = (0..recordings.len()).filter(|number| {
        let placed = recordings
            .get(*number)
            .and_then(|recording| recording.placed);
        placed.is_some() && !days.values().any(|of| of.contains(number))
    });
    let undated: Vec<usize> = undated.collect();
    for (day, numbers) in &days {
        for number in numbers {
            move_to(recordings.get_mut(*number)?, *day - first, clock);
        }
    }
    for number in &undated {
        move_to(recordings.get_mut(*number)?, 0, clock);
    }
    Some(Days {
        dates: days.keys().map(|day| date(*day)).collect(),
        of: days.into_values().collect(),
        undated,
    })
}

/// The day of each recording that states one, by its device.
fn of_devices(
    recordings: &[Recording<'_>],
    clock: ShootClock,
) -> BTreeMap<usize, BTreeMap<usize, i64>> {
    let mut made: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
    for (number, recording) in recordings.iter().enumerate() {
        let stated = recording.entry.summary.made.as_deref().and_then(seconds);
        if let Some((placed, stated)) = recording.placed.zip(stated) {
            let time = placed.from.0.rem_euclid(clock.day());
            made.entry(recording.device)
                .or_default()
                .push((number, stated - time));
        }
    }
    let whole = |(device, own): (usize, Vec<(usize, f64)>)| {
        let off = clock_is_off(&own);
        let days = own.into_iter().map(|(number, midnight)| {
            let day = crate::whole::signed((midnight - off) / SECONDS_A_DAY);
            (number, day)
        });
        (device, days.collect())
    };
    made.into_iter().map(whole).collect()
}

/// By how much a device's own clock is beside the code, within half a day either way: the middle
/// of what its recordings say, on the circle of a day.
fn clock_is_off(own: &[(usize, f64)]) -> f64 {
    let turn = std::f64::consts::TAU / SECONDS_A_DAY;
    let (sin, cos) = own.iter().fold((0.0, 0.0), |(sin, cos), (_, midnight)| {
        let (own_sin, own_cos) = (midnight * turn).sin_cos();
        (sin + own_sin, cos + own_cos)
    });
    sin.atan2(cos) / turn
}

/// The recordings of each day, of the devices whose days can be believed; none where no device has
/// recorded on two.
fn believed(own: &BTreeMap<usize, BTreeMap<usize, i64>>) -> Option<BTreeMap<i64, Vec<usize>>> {
    let close = |days: &&BTreeMap<usize, i64>| {
        let (low, high) = (days.values().min(), days.values().max());
        low.zip(high)
            .is_some_and(|(low, high)| *high > *low && *high - *low <= FURTHEST)
    };
    // The device with the most dated recordings on several days says which days there are.
    let most = own.values().filter(close).max_by_key(|days| days.len())?;
    let wanted: Vec<i64> = most.values().copied().collect();
    let mut days: BTreeMap<i64, Vec<usize>> = BTreeMap::new();
    for own in own.values() {
        let Some(by) = set_right(own, &wanted) else {
            continue;
        };
        for (number, day) in own {
            let day = *day + by;
            let near = wanted.iter().any(|wanted| (wanted - day).abs() <= FURTHEST);
            if near {
                days.entry(day).or_default().push(*number);
            }
        }
    }
    (days.len() > 1).then_some(days)
}

/// By how many days a device's date must be set right; none where it cannot be believed.
///
/// A device that recorded on as many days, as far apart, recorded on the same: its date was set
/// wrong, or its clock is in another zone. One that shares a date has it right.
fn set_right(own: &BTreeMap<usize, i64>, wanted: &[i64]) -> Option<i64> {
    let own: BTreeSet<i64> = own.values().copied().collect();
    let wanted: BTreeSet<i64> = wanted.iter().copied().collect();
    let by = wanted.first()? - own.first()?;
    let same: BTreeSet<i64> = own.iter().map(|day| day + by).collect();
    if same == wanted {
        return Some(by);
    }
    own.intersection(&wanted).next().map(|_| 0)
}

fn is_longer_than_a_day(
    recordings: &[Recording<'_>],
    days: &BTreeMap<i64, Vec<usize>>,
    clock: ShootClock,
) -> bool {
    let times = days.iter().flat_map(|(day, numbers)| {
        numbers.iter().filter_map(move |number| {
            let placed = recordings.get(*number)?.placed?;
            let from = placed.from.0.rem_euclid(clock.day()) + *day as f64 * clock.day();
            Some((from, from + placed.to.0 - placed.from.0))
        })
    });
    let (from, to) = times.fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), own| {
        (from.min(own.0), to.max(own.1))
    });
    to - from > clock.day()
}

fn move_to(recording: &mut Recording<'_>, day: i64, clock: ShootClock) {
    let Some(placed) = &mut recording.placed else {
        return;
    };
    let wanted = placed.from.0.rem_euclid(clock.day()) + day as f64 * clock.day();
    let by = wanted - placed.from.0;
    placed.from.0 += by;
    placed.to.0 += by;
    if let Some(measured) = &mut placed.measured {
        measured.0 += by;
    }
}

/// "2026-11-27T09:07:06" or "2026-11-27" in seconds of the Modified Julian Date; a date alone is its
/// noon. Years before 1970 are of clocks that were never set.
fn seconds(text: &str) -> Option<f64> {
    let (date, time) = text.split_once('T').unwrap_or((text, "12:00:00"));
    let [year, month, day] = parts(date, '-')?;
    let [hours, minutes, seconds] = parts(time, ':')?;
    let [month, day] = [u8::try_from(month).ok()?, u8::try_from(day).ok()?];
    let date = Date::new(year, month, day).ok().filter(|_| year >= 1970)?;
    let is_time = hours < 24 && minutes < 60 && seconds < 61;
    let [days, hours, minutes, seconds] = [
        date.modified_julian_day()?,
        hours.into(),
        minutes.into(),
        seconds.into(),
    ]
    .map(f64::from);
    is_time.then_some(days * SECONDS_A_DAY + hours * 3600.0 + minutes * 60.0 + seconds)
}

fn parts(text: &str, between: char) -> Option<[u16; 3]> {
    let mut parts = text.splitn(3, between).map(|part| {
        let digits = part.len() <= 4 && part.bytes().all(|byte| byte.is_ascii_digit());
        digits.then(|| part.parse().ok()).flatten()
    });
    Some([parts.next()??, parts.next()??, parts.next()??])
}

/// The date of a Modified Julian Day.
fn date(day: i64) -> String {
    let date = u32::try_from(day).ok().map(Date::from_modified_julian_day);
    date.and_then(Result::ok)
        .map(|date| date.to_string())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Modified Julian Days: 1970-01-01 is 40,587 (SMPTE ST 309, from memory), and the others are as
    /// far from it as Python's `datetime.date.toordinal` says.
    #[test]
    fn dates_are_days_of_the_calendar() {
        for (text, day) in [
            ("1970-01-01", 0),
            ("2000-02-29", 11_016),
            ("2026-11-27", 20_784),
            ("2026-12-31", 20_818),
        ] {
            let day = 40_587 + day;
            assert_eq!(
                seconds(text),
                Some(f64::from(day) * 86_400.0 + 43_200.0),
                "{text}"
            );
            assert_eq!(date(day.into()), text);
        }
        assert_eq!(
            seconds("1970-01-02T01:02:03"),
            Some(40_587.0 * 86_400.0 + 90_123.0)
        );
        for wrong in [
            "",
            "2026",
            "2026-13-01",
            "2026-02-29",
            "1904-01-01",
            "0000-00-00",
            "2026-11-27T25:00:00",
            "a-b-c",
        ] {
            assert_eq!(seconds(wrong), None, "{wrong}");
        }
    }
}
