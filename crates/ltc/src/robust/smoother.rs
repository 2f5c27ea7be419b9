//! How late codewords are, one after the other, by what each says of itself: a Kalman filter over them,
//! and backwards over what it said (Rauch, Tung and Striebel, 1965).

/// How freely the length of codewords wanders, in samples² a codeword.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(super) struct Wander(pub(super) f64);

impl Wander {
    /// Clocks of quartz while it is not known how the code runs...
    pub(super) const SETTLING: Self = Self(1e-4);
    /// ...and once it is.
    pub(super) const SETTLED: Self = Self(3e-6);
    /// What tape comes to at most: a hundredth of a codeword from one to the next.
    const MOST: Self = Self(400.0);
    /// The next that is tried is so many times as free.
    const STEP: f64 = 10.0;
    /// So many nats likelier is what is freer if it is believed.
    const BELIEVED: f64 = 8.0;

    /// This, and all that is freer.
    fn and_freer(self) -> impl Iterator<Item = Self> {
        let freer = |wander: &Self| Some(Self(wander.0 * Self::STEP));
        std::iter::successors(Some(self), freer).take_while(|wander| *wander <= Self::MOST)
    }
}

/// What a codeword says of its own place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Witness {
    /// How much later it is than was thought, in samples.
    pub(super) late: f64,
    /// The variance of that.
    pub(super) variance: f64,
}

/// How late the first border is and by how much each codeword is longer than was thought, with the
/// covariance of both.
#[derive(Debug, Clone, Copy)]
pub(super) struct State {
    late: f64,
    period: f64,
    late_late: f64,
    late_period: f64,
    period_period: f64,
}

impl State {
    /// As was thought, give or take so many samples.
    pub(super) fn within(late: f64, period: f64) -> Self {
        Self {
            late: 0.0,
            period: 0.0,
            late_late: late * late,
            late_period: 0.0,
            period_period: period * period,
        }
    }

    /// A codeword later.
    fn next(self, wander: Wander) -> Self {
        Self {
            late: self.late + self.period,
            period: self.period,
            late_late: self.late_late
                + 2.0 * self.late_period
                + self.period_period
                + JITTER * wander.0,
            late_period: self.late_period + self.period_period,
            period_period: self.period_period + wander.0,
        }
    }

    /// With what a witness says, and how likely it was to say that, in nats.
    fn heard(self, witness: Witness) -> (Self, f64) {
        // The mean of a codeword's edges is at its middle.
        let late = self.late_late + self.late_period / 2.0;
        let period = self.late_period + self.period_period / 2.0;
        let variance = late + period / 2.0 + witness.variance;
        let news = witness.late - self.late - self.period / 2.0;
        let off = news * news / variance;
        let likelihood = -0.5 * (variance.ln() + off.min(OUTLIER * OUTLIER));
        if off > OUTLIER * OUTLIER {
            return (self, likelihood);
        }
        let (gain, period_gain) = (late / variance, period / variance);
        let state = Self {
            late: self.late + gain * news,
            period: self.period + period_gain * news,
            late_late: self.late_late - gain * late,
            late_period: self.late_period - gain * period,
            period_period: self.period_period - period_gain * period,
        };
        (state, likelihood)
    }
}

/// How much each border wanders by itself, as a part of what the length of codewords does.
const JITTER: f64 = 1e-3;
/// So many times the variance that they think they have witnesses may have.
const DOUBTS: [f64; 4] = [1.0, 2.0, 4.0, 8.0];
/// Witnesses that are further off than this many deviations say nothing.
const OUTLIER: f64 = 4.0;

/// How late each border is, from the first to the last. How freely codewords wander beyond the least
/// that is given is for the witnesses to say.
pub(super) fn smoothed(witnesses: &[Option<Witness>], first: State, least: Wander) -> Vec<f64> {
    let passes = least.and_freer().filter_map(|wander| {
        let passes = DOUBTS.map(|doubt| Pass::over(witnesses, first, wander, doubt));
        passes
            .into_iter()
            .max_by(|a, b| a.likelihood.total_cmp(&b.likelihood))
    });
    let best = passes.reduce(|best, freer| {
        if freer.likelihood > best.likelihood + Wander::BELIEVED {
            freer
        } else {
            best
        }
    });
    best.map(Pass::backwards).unwrap_or_default()
}

/// The filter's way over the witnesses.
struct Pass {
    wander: Wander,
    /// What was known when each had been heard.
    heard: Vec<State>,
    last: State,
    likelihood: f64,
}

impl Pass {
    fn over(witnesses: &[Option<Witness>], first: State, wander: Wander, doubt: f64) -> Self {
        let mut pass = Self {
            wander,
            heard: Vec::with_capacity(witnesses.len()),
            last: State {
                period_period: first.period_period + wander.0,
                ..first
            },
            likelihood: 0.0,
        };
        for witness in witnesses {
            let (now, likelihood) = witness.map_or((pass.last, 0.0), |witness| {
                pass.last.heard(Witness {
                    variance: doubt * witness.variance,
                    ..witness
                })
            });
            pass.likelihood += likelihood;
            pass.heard.push(now);
            pass.last = now.next(wander);
        }
        pass
    }

    fn backwards(self) -> Vec<f64> {
        let (mut late, mut drift) = (self.last.late, self.last.period);
        let mut all = vec![late];
        for now in self.heard.into_iter().rev() {
            let next = now.next(self.wander);
            let determinant =
                next.late_late * next.period_period - next.late_period * next.late_period;
            if determinant > 0.0 {
                let (news, drift_news) = (late - next.late, drift - next.period);
                let a = (next.period_period * news - next.late_period * drift_news) / determinant;
                let b = (next.late_late * drift_news - next.late_period * news) / determinant;
                // The covariance of now with next is that of now, moved on by a codeword.
                late = now.late + (now.late_late + now.late_period) * a + now.late_period * b;
                drift =
                    now.period + (now.late_period + now.period_period) * a + now.period_period * b;
            } else {
                (late, drift) = (now.late, now.period);
            }
            all.push(late);
        }
        all.reverse();
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::testing::Random;

    /// How far off borders are, as root mean square, of eighty codewords that come `late(n)` samples late,
    /// if they say so give or take `off` samples, and think it is give or take one. Forty times, and less
    /// the two at either end, which have neighbours on one side alone.
    fn off(late: impl Fn(f64) -> f64, off: f64) -> f64 {
        let mut random = Random::new(41);
        let mut squares = 0.0;
        for _ in 0..40 {
            let mut witness = |n: u8| Witness {
                late: late(f64::from(n) + 0.5) + off * f64::from(random.normal()),
                variance: 1.0,
            };
            let witnesses: Vec<_> = (0..80).map(|n| Some(witness(n))).collect();
            let smoothed = smoothed(&witnesses, State::within(3.0, 0.05), Wander::SETTLED);
            assert_eq!(smoothed.len(), 81);
            let errors = smoothed.iter().zip(0_u8..).skip(2).take(77);
            squares += errors
                .map(|(own, n)| (own - late(f64::from(n))).powi(2))
                .sum::<f64>();
        }
        (squares / 40.0 / 77.0).sqrt()
    }

    /// A line through eighty points is known to √(2/80) of what each is.
    #[test]
    fn clocks_that_run_evenly_are_smoothed_all_along() {
        let late = |n: f64| 1.0 - 0.02 * n;
        assert!(
            off(late, 1.0) < 2.0 * (2.0_f64 / 80.0).sqrt(),
            "{}",
            off(late, 1.0)
        );
        // Witnesses that think too well of themselves are no reason to believe that the clock wanders.
        assert!(
            off(late, 2.5) < 2.5 * 2.0 * (2.0_f64 / 80.0).sqrt(),
            "{}",
            off(late, 2.5)
        );
    }

    /// As tape does that flutters: twenty samples either way, once in a second.
    #[test]
    fn clocks_that_wander_are_followed() {
        let late = |n: f64| 20.0 * (n * std::f64::consts::TAU / 25.0).sin();
        // Between two codewords that say where they are, give or take one, nothing is further off.
        assert!(off(late, 1.0) < 1.0, "{}", off(late, 1.0));
    }

    #[test]
    fn one_that_is_far_off_says_nothing() {
        let late = |n: f64| if (n - 40.5).abs() < 0.1 { 500.0 } else { 0.0 };
        assert!(off(late, 1.0) < 0.4, "{}", off(late, 1.0));
    }
}
