//! Which rate and which count a code has: 23.976 and 24 count alike and can only be measured, 29.97
//! drop-frame and non-drop run alike and can only be counted.

use crate::counts::COUNTS;
use crate::stretch::Stretch;
use plumbline_timecode::{Count, Rate, Timebase};

/// The rates at which codewords of linear timecode follow each other.
const RATES: [Rate; 5] = [Rate::F23_976, Rate::F24, Rate::F25, Rate::F29_97, Rate::F30];

/// Code this near to a rate runs at it: half of what lies between 29.97 and 30.
const AT_SPEED: f64 = 500e-6;

/// The rate and count of a code whose codewords were measured to come `measured` times a second.
pub(crate) fn decide(stretches: &[Stretch], measured: f64) -> Timebase {
    let count = count(stretches, measured);
    let rates = RATES
        .into_iter()
        .filter(|rate| rate.count() == count.without_drop());
    let nearest = nearest(rates, measured);
    let near = (measured / nearest.fraction().as_f64() - 1.0).abs() < AT_SPEED;
    // Drop-frame is for the pulled-down rate: at another speed nothing speaks for 30.
    let rate = if count.is_drop() && !near {
        Rate::F29_97
    } else {
        nearest
    };
    Timebase::new(rate, count).unwrap_or(Timebase::non_drop(rate))
}

/// The rate of any count that is nearest to what was measured.
pub(crate) fn nearest_of_all(measured: f64) -> Rate {
    nearest(RATES.into_iter(), measured)
}

fn nearest(rates: impl Iterator<Item = Rate>, measured: f64) -> Rate {
    let off = |rate: Rate| (measured / rate.fraction().as_f64()).ln().abs();
    rates
        .min_by(|&a, &b| off(a).total_cmp(&off(b)))
        .unwrap_or(Rate::F25)
}

/// The counting that the most codewords allow; where several do, the one whose rate is nearest,
/// and drop-frame only where the flag says so.
fn count(stretches: &[Stretch], measured: f64) -> Count {
    let read = |count: Count| -> u64 {
        stretches
            .iter()
            .filter(|s| s.run.counts.contains(count))
            .map(|s| s.run.read)
            .sum()
    };
    let most = COUNTS.into_iter().map(read).max().unwrap_or(0);
    let flagged: u64 = stretches.iter().map(|s| s.flagged).sum();
    let all: u64 = stretches.iter().map(|s| s.run.read).sum();
    let says_drop = flagged * 2 > all;
    let unlikely = |count: Count| {
        let rates = RATES
            .into_iter()
            .filter(|rate| rate.count() == count.without_drop());
        let rate = nearest(rates, measured).fraction().as_f64();
        let against_flag = count.frames_per_second() == 30 && count.is_drop() != says_drop;
        ((measured / rate).ln().abs(), against_flag)
    };
    COUNTS
        .into_iter()
        .filter(|&count| read(count) == most)
        .min_by(|&a, &b| {
            let ((a, a_flag), (b, b_flag)) = (unlikely(a), unlikely(b));
            a.total_cmp(&b).then(a_flag.cmp(&b_flag))
        })
        .unwrap_or(Count::F25)
}
