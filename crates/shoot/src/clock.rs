//! How fast the code's clock runs against the recorder's: a straight line through the places of
//! the codewords.
//!
//! Places are averaged in blocks that double in length when there are too many, so memory does
//! not grow with the recording.

/// A block of codewords: their mean number in the stretch and their mean place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Point {
    /// Which stretch it belongs to.
    pub(crate) stretch: usize,
    /// Mean number of its codewords, counted from the first of the stretch.
    pub(crate) index: f64,
    /// Mean place, in samples.
    pub(crate) position: f64,
    /// How many codewords it averages.
    weight: f64,
}

impl Point {
    fn joined(self, other: Point) -> Point {
        let weight = self.weight + other.weight;
        let mean = |a: f64, b: f64| (a * self.weight + b * other.weight) / weight;
        Point {
            stretch: self.stretch,
            index: mean(self.index, other.index),
            position: mean(self.position, other.position),
            weight,
        }
    }
}

/// The places of the codewords of one channel.
#[derive(Debug, Clone)]
pub(crate) struct Clock {
    points: Vec<Point>,
    block: f64,
}

/// Most points kept.
const POINTS: usize = 1024;

/// A codeword's place, in samples, is not known better than this however clean the code: the
/// interpolation between samples has a bias of that order, which moves with the clock.
const PLACE: f64 = 0.01;

/// A measured period, in samples a codeword.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Period {
    pub(crate) samples: f64,
    /// One standard deviation; none where too few points tell.
    pub(crate) uncertainty: Option<f64>,
}

impl Clock {
    pub(crate) fn new() -> Self {
        Clock {
            points: Vec::new(),
            block: 1.0,
        }
    }

    /// Takes the place of codeword number `index` of stretch number `stretch`.
    pub(crate) fn add(&mut self, stretch: usize, index: u64, position: f64) {
        let point = Point {
            stretch,
            index: index as f64,
            position,
            weight: 1.0,
        };
        match self.points.last_mut() {
            Some(last) if last.stretch == stretch && last.weight < self.block => {
                *last = last.joined(point);
            }
            _ => self.points.push(point),
        }
        if self.points.len() > POINTS {
            self.halve();
        }
    }

    fn halve(&mut self) {
        self.block *= 2.0;
        let mut kept: Vec<Point> = Vec::with_capacity(POINTS + 1);
        for &point in &self.points {
            match kept.last_mut() {
                Some(last)
                    if last.stretch == point.stretch
                        && last.weight + point.weight <= self.block =>
                {
                    *last = last.joined(point);
                }
                _ => kept.push(point),
            }
        }
        // Very many short stretches do not halve: the longest speak for the clock.
        if kept.len() > POINTS {
            kept.retain(|point| point.weight >= self.block / 2.0);
            kept.truncate(POINTS / 2);
        }
        self.points = kept;
    }

    pub(crate) fn points(&self) -> &[Point] {
        &self.points
    }

    /// Those of one stretch.
    pub(crate) fn points_of(&self, stretch: usize) -> &[Point] {
        let first = self.points.partition_point(|point| point.stretch < stretch);
        let points = &self.points[first..];
        &points[..points.partition_point(|point| point.stretch == stretch)]
    }

    /// The period that all stretches for which `of` holds share: one slope, an offset each.
    pub(crate) fn period(&self, of: impl Fn(usize) -> bool) -> Option<Period> {
        let groups: Vec<&[Point]> = self
            .points
            .chunk_by(|a, b| a.stretch == b.stretch)
            .filter(|group| group.first().is_some_and(|point| of(point.stretch)))
            .collect();
        let centred: Vec<Vec<(f64, f64, f64)>> = groups.iter().map(|g| centre(g)).collect();
        let all = || centred.iter().flatten();
        let spread: f64 = all().map(|&(w, x, _)| w * x * x).sum();
        if spread <= 0.0 {
            return None;
        }
        let samples = all().map(|&(w, x, y)| w * x * y).sum::<f64>() / spread;
        let residuals: Vec<Vec<(f64, f64)>> = centred
            .iter()
            .map(|g| g.iter().map(|&(w, x, y)| (w, y - samples * x)).collect())
            .collect();
        let freedom = all().count() as f64 - groups.len() as f64 - 1.0;
        let span = groups.iter().map(|group| span(group)).fold(0.0, f64::max);
        let uncertainty = (freedom >= 1.0 && span > 0.0)
            .then(|| slope_deviation(&residuals, freedom, spread).hypot(PLACE / span));
        Some(Period {
            samples,
            uncertainty,
        })
    }
}

/// How many codewords a stretch's points span.
fn span(group: &[Point]) -> f64 {
    match group {
        [first, .., last] => last.index - first.index,
        _ => 0.0,
    }
}

/// Weight, index and place of each point, less their means.
fn centre(group: &[Point]) -> Vec<(f64, f64, f64)> {
    let weight: f64 = group.iter().map(|p| p.weight).sum();
    let index = group.iter().map(|p| p.weight * p.index).sum::<f64>() / weight;
    let place = group.iter().map(|p| p.weight * p.position).sum::<f64>() / weight;
    group
        .iter()
        .map(|p| (p.weight, p.index - index, p.position - place))
        .collect()
}

/// Standard deviation of a slope from its residuals, widened where neighbours err alike: wander
/// is not averaged away as white jitter is.
fn slope_deviation(residuals: &[Vec<(f64, f64)>], freedom: f64, spread: f64) -> f64 {
    let square: f64 = residuals.iter().flatten().map(|&(w, e)| w * e * e).sum();
    let neighbours: f64 = residuals
        .iter()
        .flat_map(|g| g.windows(2))
        .map(|pair| match pair {
            [(w, e), (_, f)] => w * e * f,
            _ => 0.0,
        })
        .sum();
    let alike = if square > 0.0 {
        (neighbours / square).clamp(0.0, 0.98)
    } else {
        0.0
    };
    (square / freedom / spread * (1.0 + alike) / (1.0 - alike)).sqrt()
}

/// A straight line through places, kept as sums: for a stretch's own speed and for its start.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    /// The slope that is taken off first, so that the sums stay small.
    about: f64,
    origin: f64,
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
}

impl Line {
    /// A line whose first point is `origin` and whose slope is near `about`.
    pub(crate) fn new(origin: f64, about: f64) -> Self {
        Line {
            about,
            origin,
            n: 0.0,
            x: 0.0,
            y: 0.0,
            xx: 0.0,
            xy: 0.0,
        }
    }

    pub(crate) fn add(&mut self, index: u64, position: f64) {
        let x = index as f64;
        let y = position - self.origin - x * self.about;
        self.n += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.xy += x * y;
    }

    /// Samples from one codeword to the next.
    pub(crate) fn slope(&self) -> f64 {
        let spread = self.n * self.xx - self.x * self.x;
        if spread > 0.0 {
            self.about + (self.n * self.xy - self.x * self.y) / spread
        } else {
            self.about
        }
    }

    /// Where codeword 0 begins.
    pub(crate) fn intercept(&self) -> f64 {
        if self.n < 1.0 {
            return self.origin;
        }
        self.origin + (self.y - (self.slope() - self.about) * self.x) / self.n
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Uniform noise of variance 1/12, the same every time.
    fn jitter(seed: &mut u32) -> f64 {
        *seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(*seed >> 8) / 16_777_216.0 - 0.5
    }

    /// The uncertainty that is claimed must hold the truth as often as one standard deviation
    /// does: about two times in three, and nearly always within three.
    #[test]
    fn the_uncertainty_is_honest() {
        let mut seed = 7;
        let (mut within_one, mut within_three) = (0, 0);
        for _ in 0..300 {
            let mut clock = Clock::new();
            for index in 0..3_000 {
                clock.add(0, index, 1920.01 * index as f64 + jitter(&mut seed));
            }
            let period = clock.period(|_| true).unwrap();
            let off = (period.samples - 1920.01).abs() / period.uncertainty.unwrap();
            within_one += u32::from(off < 1.0);
            within_three += u32::from(off < 3.0);
        }
        assert!(
            (180..=240).contains(&within_one),
            "{within_one} of 300 within one deviation"
        );
        assert!(within_three >= 295, "{within_three} of 300 within three");
    }

    #[test]
    fn stretches_share_a_slope_and_not_an_offset() {
        let mut clock = Clock::new();
        for stretch in 0..4_u32 {
            for index in 0..100 {
                let start = f64::from(stretch) * 1e6 + f64::from(stretch * stretch) * 777.7;
                clock.add(stretch as usize, index, start + 2002.5 * index as f64);
            }
        }
        let period = clock.period(|_| true).unwrap();
        assert!((period.samples - 2002.5).abs() < 1e-6, "{period:?}");
        assert!(clock.period(|_| false).is_none());
    }

    #[test]
    fn a_line_finds_its_slope_and_beginning() {
        let mut line = Line::new(500.0, 1900.0);
        for index in 0..250 {
            line.add(index, 501.5 + 1920.25 * index as f64);
        }
        assert!((line.slope() - 1920.25).abs() < 1e-9, "{line:?}");
        assert!((line.intercept() - 501.5).abs() < 1e-6, "{line:?}");
    }
}
