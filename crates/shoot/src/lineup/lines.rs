//! How one clock runs beside another: straight lines through points, broken where the clock was
//! set again.
//!
//! A quartz parts steadily: offset = a + b·t. All ways to cut the points into lines are weighed by
//! dynamic programming (Bellman, 1957): the squares that are left over, plus a price for each line.
//! A slope has a price too, for no quartz is off by thousands of parts per million: without it, two
//! points on either side of a reset would always be a line.

/// One look at two clocks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Point {
    /// When, in seconds.
    pub(crate) at: f64,
    /// By how much the one is ahead, in seconds.
    pub(crate) offset: f64,
    /// One standard deviation of the offset.
    pub(crate) deviation: f64,
}

/// A straight line through some of the points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    /// The number of its first point.
    pub(crate) first: usize,
    /// The number after its last.
    pub(crate) end: usize,
    /// When its first and its last point were seen.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// The middle of its points, weighted, and the offset there.
    middle: f64,
    offset: f64,
    /// Seconds a second.
    pub(crate) slope: f64,
    /// One standard deviation of the slope; none from fewer than three points.
    pub(crate) deviation: Option<f64>,
    /// One standard deviation of the offset in the middle, and of the slope as far as it is known
    /// at all: from few points, what a quartz may have.
    offset_deviation: f64,
    slope_deviation: f64,
}

/// What one more line must save of the squares: a break by chance is then one in some thousands.
const PRICE: f64 = 20.0;
/// One standard deviation of how fast a device's quartz is, before anything is known of it: 30
/// parts per million. From memory; watch crystals are made to 20.
const QUARTZ: f64 = 30e-6;
/// More points than this are not cut at all of them.
const POINTS: usize = 2_000;

impl Line {
    /// The offset at some time.
    pub(crate) fn at(&self, time: f64) -> f64 {
        self.offset + self.slope * (time - self.middle)
    }

    /// One standard deviation of that.
    pub(crate) fn deviation_at(&self, time: f64) -> f64 {
        let by_slope = self.slope_deviation * (time - self.middle);
        self.offset_deviation.hypot(by_slope)
    }

    /// By how much the clocks parted from its first point to its last.
    pub(crate) fn parted(&self) -> f64 {
        self.slope * (self.to - self.from)
    }

    /// Whether the clocks part at all, as far as can be told: four standard deviations.
    pub(crate) fn parts(&self) -> bool {
        self.deviation
            .is_some_and(|deviation| self.slope.abs() > 4.0 * deviation)
    }
}

/// The lines through points that are in order of time.
pub(crate) fn through(points: &[Point]) -> Vec<Line> {
    let points = points.get(..points.len().min(POINTS)).unwrap_or_default();
    let sums = Sums::of(points);
    // The cheapest way to cut the points before each one, and where its last line begins.
    let mut best: Vec<(f64, usize)> = vec![(0.0, 0)];
    for end in 1..=points.len() {
        let cost = |first: usize| best.get(first).map_or(f64::INFINITY, |(cost, _)| *cost);
        let ways = (0..end).map(|first| {
            (
                cost(first) + sums.between(first, end).left_over() + PRICE,
                first,
            )
        });
        best.extend(ways.min_by(|a, b| a.0.total_cmp(&b.0)));
    }
    let mut lines = Vec::new();
    let mut end = points.len();
    while end > 0 {
        let first = best.get(end).map_or(0, |(_, first)| *first).min(end - 1);
        lines.extend(line(points, &sums, first, end));
        end = first;
    }
    lines.reverse();
    lines
}

fn line(points: &[Point], sums: &Sums, first: usize, end: usize) -> Option<Line> {
    let own = points.get(first..end)?;
    let moments = sums.between(first, end);
    let many = own.len() >= 3;
    // Where points scatter more than they say, the slope is known less.
    let scatter = if many {
        (moments.left_over() / (own.len() - 2) as f64).max(1.0)
    } else {
        1.0
    };
    let known = moments.spread() + QUARTZ.powi(-2);
    let origin = points.first()?;
    Some(Line {
        first,
        end,
        from: own.first()?.at,
        to: own.last()?.at,
        middle: origin.at + moments.middle(),
        offset: origin.offset + moments.offset(),
        slope: moments.slope(),
        deviation: many.then(|| (scatter / known).sqrt()),
        offset_deviation: (scatter / moments.w).sqrt(),
        slope_deviation: (scatter / known).sqrt(),
    })
}

/// Weighted sums of the points before each one.
struct Sums(Vec<Moments>);

#[derive(Clone, Copy, Default)]
struct Moments {
    w: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Sums {
    fn of(points: &[Point]) -> Self {
        let mut all = vec![Moments::default()];
        let (at, offset) = points
            .first()
            .map_or((0.0, 0.0), |first| (first.at, first.offset));
        let mut sum = Moments::default();
        for point in points {
            let w = point.deviation.max(1e-9).powi(-2);
            // From the first point on, so that nothing is lost between large numbers.
            let (x, y) = (point.at - at, point.offset - offset);
            sum = Moments {
                w: sum.w + w,
                x: sum.x + w * x,
                y: sum.y + w * y,
                xx: sum.xx + w * x * x,
                xy: sum.xy + w * x * y,
                yy: sum.yy + w * y * y,
            };
            all.push(sum);
        }
        Sums(all)
    }

    fn between(&self, first: usize, end: usize) -> Moments {
        let at = |number: usize| self.0.get(number).copied().unwrap_or_default();
        let (a, b) = (at(first), at(end));
        Moments {
            w: b.w - a.w,
            x: b.x - a.x,
            y: b.y - a.y,
            xx: b.xx - a.xx,
            xy: b.xy - a.xy,
            yy: b.yy - a.yy,
        }
    }
}

impl Moments {
    fn middle(self) -> f64 {
        self.x / self.w
    }

    fn offset(self) -> f64 {
        self.y / self.w
    }

    fn spread(self) -> f64 {
        (self.xx - self.x * self.x / self.w).max(0.0)
    }

    fn together(self) -> f64 {
        self.xy - self.x * self.y / self.w
    }

    fn slope(self) -> f64 {
        self.together() / (self.spread() + QUARTZ.powi(-2))
    }

    fn left_over(self) -> f64 {
        let all = self.yy - self.y * self.y / self.w;
        (all - self.together() * self.slope()).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(truth: impl Fn(f64) -> f64, times: impl Iterator<Item = u32>) -> Vec<Point> {
        // A frame's rounding at 25 frames a second, without chance: errors that go round.
        let deviation = 0.04 / 12f64.sqrt();
        times
            .map(|n| {
                let at = f64::from(n) * 600.0;
                let error = (f64::from(n * 7 % 10) - 4.5) / 10.0 * 0.04;
                Point {
                    at,
                    offset: truth(at) + error,
                    deviation,
                }
            })
            .collect()
    }

    #[test]
    fn a_steady_clock_is_one_line_with_its_slope() {
        let lines = through(&points(|at| 0.2 - 5e-6 * at, 0..70));
        let [line] = lines.as_slice() else {
            panic!("{lines:?}");
        };
        let deviation = line.deviation.unwrap();
        assert!((line.slope + 5e-6).abs() < 3.0 * deviation, "{line:?}");
        assert!(deviation < 0.3e-6 && line.parts(), "{line:?}");
        assert!((line.at(0.0) - 0.2).abs() < 0.01);
        // A day later the slope's own doubt is most of it.
        let middle = f64::midpoint(line.from, line.to);
        let later = line.deviation_at(middle + 86_400.0);
        assert!((later / deviation - 86_400.0).abs() < 1_000.0, "{later}");
    }

    #[test]
    fn from_one_look_a_quartz_may_go_either_way() {
        let lines = through(&points(|_| 0.1, 0..1));
        let at = |time| lines[0].deviation_at(time);
        assert!((at(0.0) - 0.04 / 12f64.sqrt()).abs() < 1e-9);
        assert!((at(10_000.0) - 0.3).abs() < 1e-3, "{}", at(10_000.0));
    }

    #[test]
    fn a_clock_that_was_set_again_breaks_there_and_nowhere_else() {
        let truth = |at: f64| {
            if at < 12_000.0 {
                0.1 + 4e-6 * at
            } else {
                3e-6 * (at - 12_000.0) - 1.3
            }
        };
        let lines = through(&points(truth, 0..50));
        let ends: Vec<usize> = lines.iter().map(|line| line.end).collect();
        assert_eq!(ends, [20, 50]);
    }

    #[test]
    fn one_wrong_point_stands_alone_and_bends_nothing() {
        let lines = through(&points(
            |at| {
                if (at - 6000.0).abs() < 1.0 {
                    3600.0
                } else {
                    0.0
                }
            },
            0..30,
        ));
        let ends: Vec<usize> = lines.iter().map(|line| line.end).collect();
        assert_eq!(ends, [10, 11, 30]);
        assert!(lines.iter().all(|line| !line.parts()));
    }

    #[test]
    fn nothing_and_little_are_no_trouble() {
        assert!(through(&[]).is_empty());
        let one = through(&points(|_| 1.0, 0..1));
        assert_eq!(one.len(), 1);
        assert_eq!(one[0].deviation, None);
    }
}
