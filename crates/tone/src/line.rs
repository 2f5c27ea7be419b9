//! A straight line through measurements that never end.

/// Measurements over time: where they began, where they are, and how steeply they rise.
///
/// They are averaged over blocks of time that double in length when there are too many.
///
/// ```
/// use plumbline_tone::Line;
/// let mut line = Line::default();
/// for tenth in 0..600_u32 {
///     let second = f64::from(tenth) * 0.1;
///     line.add(second, 2.0 + 30e-6 * second);
/// }
/// let (slope, one_deviation) = line.slope().unwrap();
/// assert!((slope - 30e-6).abs() < one_deviation);
/// ```
#[derive(Debug, Clone)]
pub struct Line {
    first: Mean,
    /// The last whole second, and the one that is under way.
    last: Mean,
    under_way: Mean,
    blocks: Vec<Mean>,
    /// How long a block is, in seconds.
    length: f64,
}

#[derive(Debug, Clone, Copy, Default)]
struct Mean {
    /// The time of the first of them.
    begins: f64,
    time: f64,
    value: f64,
    count: f64,
}

const BLOCKS: usize = 512;
/// So many blocks must have been measured for a slope, and two less are free to vary.
const LEAST: usize = 10;
/// Means of a second are not known better than this, in seconds, however alike they are: clocks
/// of pages are coarse on purpose.
const COARSE: f64 = 50e-6;

impl Mean {
    fn add(&mut self, other: Mean) {
        if self.count == 0.0 {
            self.begins = other.begins;
        }
        let count = self.count + other.count;
        let mean = |a: f64, b: f64| (a * self.count + b * other.count) / count;
        self.time = mean(self.time, other.time);
        self.value = mean(self.value, other.value);
        self.count = count;
    }

    /// Whether a measurement at `time` is past its block.
    fn is_over(&self, time: f64, length: f64) -> bool {
        self.count > 0.0 && time >= self.begins + length
    }
}

impl Default for Line {
    fn default() -> Self {
        Self {
            first: Mean::default(),
            last: Mean::default(),
            under_way: Mean::default(),
            blocks: Vec::new(),
            length: 1.0,
        }
    }
}

impl Line {
    /// Takes a measurement; times are in seconds and go on.
    pub fn add(&mut self, time: f64, value: f64) {
        let one = Mean {
            begins: time,
            time,
            value,
            count: 1.0,
        };
        if self.under_way.is_over(time, 1.0) {
            self.last = std::mem::take(&mut self.under_way);
            if self.first.count == 0.0 {
                self.first = self.last;
            }
        }
        self.under_way.add(one);
        match self.blocks.last_mut() {
            Some(block) if !block.is_over(time, self.length) => block.add(one),
            _ => self.blocks.push(one),
        }
        if self.blocks.len() > BLOCKS {
            self.halve();
        }
    }

    fn halve(&mut self) {
        self.length *= 2.0;
        let pairs = self.blocks.chunks(2).map(|pair| {
            let mut joined = Mean::default();
            for &block in pair {
                joined.add(block);
            }
            joined
        });
        self.blocks = pairs.collect();
    }

    #[cfg(test)]
    pub(crate) fn blocks_kept(&self) -> usize {
        self.blocks.len()
    }

    /// What was measured in the last whole second; none before there is one.
    pub fn last(&self) -> Option<f64> {
        (self.last.count > 0.0).then_some(self.last.value)
    }

    /// Measurements to be drawn, in order: when, and what.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.blocks.iter().map(|block| (block.time, block.value))
    }

    /// How far the last second is above the first one; none before there are two.
    pub fn rise(&self) -> Option<f64> {
        (self.last.begins > self.first.begins).then_some(self.last.value - self.first.value)
    }

    /// How much it rises in a second, with one standard deviation; none before that can be told.
    pub fn slope(&self) -> Option<(f64, f64)> {
        // The last block is still being filled.
        let blocks = self.blocks.split_last()?.1;
        if blocks.len() < LEAST {
            return None;
        }
        let (slope, deviation) = through(blocks);
        // Jitter and wander are in the deviation; what else bends the line, its halves tell.
        let (early, late) = blocks.split_at(blocks.len() / 2);
        let bend = (through(early).0 - through(late).0) / 4.0;
        let span = self.length * blocks.len() as f64;
        Some((slope, deviation.hypot(bend).hypot(COARSE / span)))
    }
}

/// The slope of a line through blocks, with one standard deviation.
fn through(blocks: &[Mean]) -> (f64, f64) {
    let n = blocks.len() as f64;
    let mean = |of: fn(&Mean) -> f64| blocks.iter().map(of).sum::<f64>() / n;
    let (time, value) = (mean(|block| block.time), mean(|block| block.value));
    let centred = || blocks.iter().map(|b| (b.time - time, b.value - value));
    let spread: f64 = centred().map(|(x, _)| x * x).sum();
    let slope = centred().map(|(x, y)| x * y).sum::<f64>() / spread;
    let errors: Vec<f64> = centred().map(|(x, y)| y - slope * x).collect();
    (slope, deviation(&errors) / spread.sqrt())
}

/// One standard deviation of the errors about a line, widened where neighbours err alike: wander
/// does not average out as jitter does.
fn deviation(errors: &[f64]) -> f64 {
    let square: f64 = errors.iter().map(|error| error * error).sum();
    if square == 0.0 {
        return 0.0;
    }
    let neighbours = errors.iter().zip(errors.iter().skip(1));
    let neighbours: f64 = neighbours.map(|(error, next)| error * next).sum();
    let alike = (neighbours / square).clamp(0.0, 0.98);
    (square / (errors.len() - 2) as f64 * (1.0 + alike) / (1.0 - alike)).sqrt()
}
