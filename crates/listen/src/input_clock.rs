//! When samples were heard, by the page's own clock.

use std::collections::VecDeque;

use plumbline_timecode::SampleRate;

/// Says of any sample when it was at the input, by the page's clock, which is never set.
///
/// A browser tells how many samples it has taken in steps, so what it says is at most what is
/// true: of the readings of the last seconds, the one that had the most samples soonest is the
/// nearest to the truth.
#[derive(Debug, Clone)]
pub struct InputClock {
    hertz: f64,
    /// How long before it is counted a sample was at the input, in milliseconds.
    latency: f64,
    /// Each reading that none after it is better than: when it was taken, and by how many
    /// milliseconds the page's clock was ahead of the samples.
    readings: VecDeque<(f64, f64)>,
    /// When the first reading was taken.
    began: Option<f64>,
    last: f64,
}

/// So many milliseconds a reading counts: in that time no two clocks part by more than 0.5 ms.
const COUNTS: f64 = 5_000.0;
/// After so many milliseconds one of the readings was soon enough.
const SETTLED: f64 = 1_000.0;

impl InputClock {
    /// Of an input that takes so long, in milliseconds, as far as that is known.
    pub fn new(sample_rate: SampleRate, latency: f64) -> Self {
        Self {
            hertz: sample_rate.as_f64(),
            latency,
            readings: VecDeque::new(),
            began: None,
            last: 0.0,
        }
    }

    /// Takes a reading: how many samples had been taken, at a moment of the page's clock. What is
    /// no number is none.
    pub fn read(&mut self, page_milliseconds: f64, samples: f64) {
        let ahead = page_milliseconds - samples / self.hertz * 1e3;
        if !ahead.is_finite() {
            return;
        }
        self.began.get_or_insert(page_milliseconds);
        self.last = page_milliseconds;
        while (self.readings.back()).is_some_and(|&(_, other)| other >= ahead) {
            self.readings.pop_back();
        }
        self.readings.push_back((page_milliseconds, ahead));
        let begins = page_milliseconds - COUNTS;
        while (self.readings.front()).is_some_and(|&(taken, _)| taken < begins) {
            self.readings.pop_front();
        }
    }

    /// Whether there were readings for long enough to compare clocks by.
    pub fn is_settled(&self) -> bool {
        self.began.is_some_and(|began| self.last - began >= SETTLED)
    }

    /// When a sample was at the input, in milliseconds of the page's clock; none before there is a
    /// reading.
    ///
    /// ```
    /// use plumbline_listen::InputClock;
    /// use plumbline_timecode::SampleRate;
    /// let mut clock = InputClock::new(SampleRate::hertz(48_000)?, 10.0);
    /// clock.read(1_000.0, 0.0);
    /// assert_eq!(clock.page_milliseconds(4_800.0), Some(1_090.0));
    /// # Ok::<(), plumbline_timecode::SampleRateError>(())
    /// ```
    pub fn page_milliseconds(&self, sample: f64) -> Option<f64> {
        let &(_, ahead) = self.readings.front()?;
        Some(sample / self.hertz * 1e3 + ahead - self.latency)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Samples are told in steps of 10 ms, and the page looks when it can: what is made of that is
    /// right to half a millisecond and a hair, also where the sound's clock runs 100 ppm off.
    #[test]
    fn steps_and_delays_do_not_move_it() {
        for pace in [1.0, 1.0 + 100e-6, 1.0 - 100e-6] {
            let mut clock = InputClock::new(SampleRate::hertz(48_000).unwrap(), 0.0);
            let mut worst: f64 = 0.0;
            for look in 0..2_000_u32 {
                let held_up = f64::from(look * 7919 % 1009) / 77.0;
                let page = 500.0 + f64::from(look) * 31.0 + held_up;
                let samples = (page * 48.0 * pace / 480.0).floor() * 480.0;
                clock.read(page, samples);
                if look > 200 {
                    let sample = page * 48.0 * pace;
                    let said = clock.page_milliseconds(sample).unwrap();
                    worst = worst.max((said - page).abs());
                }
            }
            assert!(worst < 0.7, "{worst} ms at {pace}");
        }
    }

    #[test]
    fn what_is_no_number_is_no_reading() {
        let mut clock = InputClock::new(SampleRate::hertz(48_000).unwrap(), 0.0);
        clock.read(f64::NAN, 0.0);
        clock.read(0.0, f64::INFINITY);
        assert_eq!(clock.page_milliseconds(0.0), None);
    }
}
