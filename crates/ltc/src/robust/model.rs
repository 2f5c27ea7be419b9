//! The noise as it is: what is left of the sound when the code is taken out.
//!
//! In Gaussian noise of any colour the right way to weigh what is heard is by one over its power,
//! moment by moment and frequency by frequency. That power can't be measured while the code is in
//! the sound; but what the code says is known well enough to take most of it out.

use realfft::num_complex::Complex32;

use super::frame_clock::FrameClock;
use super::running_sum::RunningSum;
use super::spectra::{Spectra, Transform, Weights};
use super::whole;

/// So many bins beside each other, or frames one after the other, the power of the noise is averaged over.
const ALIKE: usize = 7;
/// Where little is known of the channel, it is drawn towards nought by this part of what is known of it
/// where code is loudest against what is heard: in the bins with least, which have this share of all
/// that the code explains.
const LEAST: f32 = 3e-2;
const LOUDEST: f32 = 0.01;
/// How long the channel's response may be on either side, in half cells.
const RESPONSE: f64 = 2.0;
/// Over what part of a half cell on either side its peak is smoothed.
const PEAK: f64 = 1.0 / 3.0;

/// The least noise that is believed, as a part of what the code has where it is strongest.
///
/// Without it the model proves itself: where lossy coding left a band empty, the remainder there
/// would be nothing, and its weight without bounds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Floor(pub(super) f32);

/// The code as it is heard: soft levels through the channel.
#[derive(Debug)]
pub(super) struct Model {
    /// The channel's gain for each bin.
    channel: Vec<Complex32>,
    /// The code behind it.
    code: Spectra,
    /// How much later than the clock has it the code comes, in samples.
    pub(super) late: f64,
}

impl Model {
    /// The code that expected levels make, and the channel that makes it what is heard.
    pub(super) fn new(
        transform: &Transform,
        heard: &Spectra,
        weights: &Weights,
        clock: &FrameClock,
        levels: &[f32],
        length: usize,
    ) -> Self {
        let mut code = transform.spectra(&boxes(clock, levels, length));
        let channel = channel(heard, &code, weights);
        let mut taps = transform.taps(&channel);
        let late = peak(&taps, PEAK * clock.half());
        cut(&mut taps, (RESPONSE * clock.half()).max(4.0));
        let channel = transform.of_taps(&taps);
        for values in code.values.chunks_exact_mut(code.bins) {
            values
                .iter_mut()
                .zip(&channel)
                .for_each(|(value, gain)| *value *= gain);
        }
        Self {
            channel,
            code,
            late,
        }
    }

    /// What is left when the code is taken out.
    pub(super) fn left(&self, heard: &Spectra) -> Spectra {
        let left = heard.values.iter().zip(&self.code.values);
        Spectra {
            values: left.map(|(heard, code)| heard - code).collect(),
            bins: heard.bins,
        }
    }

    /// One over the power of what is left. Noise comes at moments, as hisses and clicks do, or at pitches,
    /// as hums and vowels do: the mean of what it is if either is so.
    pub(super) fn weights(&self, transform: &Transform, heard: &Spectra, floor: Floor) -> Weights {
        let power = self.left(heard).power();
        let floor = (floor.0 * loudest(&self.code)).max(f32::MIN_POSITIVE);
        let of_moments = power.smooth(1, ALIKE);
        let mut weights = power.smooth(ALIKE, 1);
        let half = transform.hop() as f32 / 2.0;
        for (weight, of_moment) in weights.values.iter_mut().zip(of_moments.values) {
            *weight = half / weight.max(floor) + half / of_moment.max(floor);
        }
        weights
    }

    /// The log-likelihood slopes of half cells under such weights: each one's own part of the model is put back,
    /// everybody else's stays out.
    pub(super) fn hear(
        &self,
        transform: &Transform,
        heard: &Spectra,
        weights: &Weights,
        clock: &FrameClock,
        levels: &[f32],
        length: usize,
    ) -> Vec<f32> {
        let mut left = self.left(heard).weighted(weights);
        for values in left.values.chunks_exact_mut(left.bins) {
            let gains = self.channel.iter().map(Complex32::conj);
            values
                .iter_mut()
                .zip(gains)
                .for_each(|(value, gain)| *value *= gain);
        }
        let left = RunningSum::of(&transform.sound(&left, length));
        let energies = self.energies(transform, weights, clock);
        let hop = transform.hop() as f64;
        let middles = clock.halves(clock.half() / 2.0);
        let left = clock.integrals(&left);
        let slopes = left.iter().zip(levels).zip(middles);
        slopes
            .map(|((left, level), middle)| left + level * between(&energies, middle / hop))
            .collect()
    }

    /// How much a half cell of level 1 says in each frame.
    fn energies(&self, transform: &Transform, weights: &Weights, clock: &FrameClock) -> Vec<f32> {
        let size = transform.size();
        let shape: Vec<f32> = self
            .channel
            .iter()
            .enumerate()
            .map(|(bin, gain)| {
                // Bins between the first and the last stand for two.
                let twice = if bin == 0 || bin == size / 2 {
                    1.0
                } else {
                    2.0
                };
                let turn = std::f64::consts::PI * bin as f64 / size as f64;
                twice * gain.norm_sqr() * box_power(turn, clock.half()) / size as f32
            })
            .collect();
        let rows = weights.values.chunks_exact(weights.bins);
        rows.map(|row| row.iter().zip(&shape).map(|(a, b)| a * b).sum())
            .collect()
    }
}

/// The power of a box as long as a half cell at half an angle a sample of `turn`.
fn box_power(turn: f64, half: f64) -> f32 {
    // A sum of samples, which repeats above half the sample rate.
    let value = if turn == 0.0 {
        half
    } else {
        (turn * half).sin() / turn.sin()
    };
    whole::single(value * value)
}

/// The value at a place between those of frames.
fn between(values: &[f32], place: f64) -> f32 {
    let place = place.max(0.0);
    let number = whole::index(place).min(values.len() - 1);
    let next = (number + 1).min(values.len() - 1);
    let part = whole::single((place - number as f64).clamp(0.0, 1.0));
    values[number] + (values[next] - values[number]) * part
}

/// Levels as sound: each sample has the mean of the level over its own time.
fn boxes(clock: &FrameClock, levels: &[f32], length: usize) -> Vec<f32> {
    let mut samples = vec![0.0_f32; length];
    let mut borders = clock.halves(0.5);
    let Some(mut begins) = borders.next() else {
        return samples;
    };
    let last = length as f64;
    for (&level, ends) in levels.iter().zip(borders) {
        let (from, to) = (begins.clamp(0.0, last), ends.clamp(0.0, last));
        begins = ends;
        if from >= to {
            continue;
        }
        let (first, end) = (whole::index(from), whole::index(to));
        if first == end {
            samples[first] += level * whole::single(to - from);
            continue;
        }
        samples[first] += level * whole::single((first + 1) as f64 - from);
        samples[first + 1..end].fill(level);
        if let Some(sample) = samples.get_mut(end) {
            *sample += level * whole::single(to - end as f64);
        }
    }
    samples
}

/// What the channel makes of code, by what is heard under weights.
fn channel(heard: &Spectra, code: &Spectra, weights: &Weights) -> Vec<Complex32> {
    let bins = heard.bins;
    let mut products = vec![Complex32::default(); bins];
    let mut powers = vec![0.0_f32; bins];
    let rows = heard
        .values
        .chunks_exact(bins)
        .zip(code.values.chunks_exact(bins));
    for ((heard, code), weights) in rows.zip(weights.values.chunks_exact(bins)) {
        for bin in 0..bins {
            products[bin] += heard[bin] * code[bin].conj() * weights[bin];
            powers[bin] += code[bin].norm_sqr() * weights[bin];
        }
    }
    let least = LEAST * known(&products, &powers);
    let gains = products.iter().zip(&powers);
    gains
        .map(|(product, power)| product / (power + least).max(f32::MIN_POSITIVE))
        .collect()
}

/// How much is known of the channel where code is loudest. What is whitened by all that is heard has
/// little there, and weights without bounds in bands that lossy coding or a filter left empty: no mean
/// of all would tell. Nor would the least of all: where hum is, the code explains next to nothing.
fn known(products: &[Complex32], powers: &[f32]) -> f32 {
    let bins = products.iter().zip(powers);
    let bins = bins.filter(|(_, power)| **power > 0.0);
    let mut bins: Vec<(f32, f32)> = bins
        .map(|(product, &power)| (power, product.norm_sqr() / power))
        .collect();
    bins.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let mut left = LOUDEST * bins.iter().map(|(_, explained)| explained).sum::<f32>();
    let found = bins.iter().find(|(_, explained)| {
        left -= explained;
        left <= 0.0
    });
    found.map_or(0.0, |(power, _)| *power)
}

/// Cuts a response to so many taps on either side, along half a cosine.
fn cut(taps: &mut [f32], beside: f64) {
    let size = taps.len();
    for (n, tap) in taps.iter_mut().enumerate() {
        let from = n.min(size - n) as f64;
        let part = (from / beside).min(1.0);
        *tap *= whole::single((std::f64::consts::FRAC_PI_2 * part).cos().max(0.0));
    }
}

/// Where a response is highest when it is smoothed over so many samples on either side, in samples
/// after nought.
fn peak(taps: &[f32], smooth: f64) -> f64 {
    let size = taps.len();
    let reach = whole::index(smooth).clamp(1, size / 16);
    let wide = 4 * reach;
    let bell = |n: usize| {
        let turn = std::f64::consts::PI * (n as f64 - reach as f64) / (reach as f64 + 1.0);
        1.0 + turn.cos()
    };
    // `place` counts from `wide` taps before nought.
    let around = |place: usize| -> f64 {
        let tap = |n: usize| f64::from(taps[(place + n + size - wide - reach) % size]);
        (0..=2 * reach).map(|n| bell(n) * tap(n)).sum()
    };
    let sums: Vec<f64> = (0..=2 * wide).map(around).collect();
    let inner = sums.windows(3).zip(1_u32..);
    let highest = inner.max_by(|a, b| a.0[1].total_cmp(&b.0[1]));
    let Some((&[before, high, after], at)) = highest else {
        return 0.0;
    };
    let bend = 2.0 * high - before - after;
    let beside = if bend > 0.0 {
        (after - before) / (2.0 * bend)
    } else {
        0.0
    };
    f64::from(at) + beside.clamp(-0.5, 0.5) - wide as f64
}

/// The power of code in the bin where it has most, averaged over time.
fn loudest(code: &Spectra) -> f32 {
    let mut sums = vec![0.0; code.bins];
    for row in code.values.chunks_exact(code.bins) {
        sums.iter_mut()
            .zip(row)
            .for_each(|(sum, value)| *sum += value.norm_sqr());
    }
    let frames = (code.values.len() / code.bins).max(1) as f32;
    sums.into_iter().fold(0.0, f32::max) / frames
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::pattern::levels;
    use crate::robust::testing::{Random, counting};
    use plumbline_timecode::Count;

    const LENGTH: usize = 10 * 1920;

    /// A channel that leaves all as it is, weights of one.
    fn plain(transform: &Transform, clock: &FrameClock, levels: &[f32]) -> (Model, Weights) {
        let code = transform.spectra(&boxes(clock, levels, LENGTH));
        let weights = code.power().map(|_| 1.0);
        let channel = vec![Complex32::new(1.0, 0.0); code.bins];
        (
            Model {
                channel,
                code,
                late: 0.0,
            },
            weights,
        )
    }

    /// Without noise, and with everything known: what is heard less what is expected is nothing,
    /// and only each half cell's own energy stays. With nothing known, it is the plain integral.
    #[test]
    fn all_that_is_known_of_the_others_is_taken_out() {
        let codewords = counting(Count::F25, 10, PolarityRule::Corrected);
        let levels = levels(&codewords);
        let transform = Transform::new(48_000.0);
        // Half cells begin where samples do, so that none is shared.
        let clock = FrameClock::straight(0.0, 1920.0, LENGTH).moved(-0.5);
        let (model, weights) = plain(&transform, &clock, &levels);
        let heard = model.code.clone();
        let known = model.hear(&transform, &heard, &weights, &clock, &levels, LENGTH);
        let energy = model.energies(&transform, &weights, &clock);
        // A sum of twelve samples has the energy 12.
        assert!((energy[5] - 12.0).abs() < 1e-3, "{}", energy[5]);
        for (slope, level) in known.iter().zip(&levels) {
            assert!((slope - energy[5] * level).abs() < 1e-3, "{slope} {level}");
        }
        let nothing = vec![0.0; levels.len()];
        let (silent, weights) = plain(&transform, &clock, &nothing);
        let unknown = silent.hear(&transform, &heard, &weights, &clock, &nothing, LENGTH);
        for (slope, level) in unknown.iter().zip(&levels) {
            assert!((slope - 12.0 * level).abs() < 1e-3, "{slope} {level}");
        }
    }

    #[test]
    fn the_channel_is_found_and_its_delay() {
        let codewords = counting(Count::F25, 10, PolarityRule::Corrected);
        let levels = levels(&codewords);
        let transform = Transform::new(48_000.0);
        let clock = FrameClock::straight(0.0, 1920.0, LENGTH);
        let mut random = Random::new(41);
        // Half as loud, and two samples late.
        let mut sound = boxes(&clock.moved(2.0), &levels, LENGTH);
        random.add_to(&mut sound, 0.4);
        for sample in &mut sound {
            *sample *= 0.5;
        }
        let heard = transform.spectra(&sound);
        let weights = heard.power().map(|_| 1.0);
        let model = Model::new(&transform, &heard, &weights, &clock, &levels, LENGTH);
        assert!((model.late - 2.0).abs() < 0.15, "{}", model.late);
        let low = model.channel[4];
        // Two samples of four turns in a frame.
        let turn = std::f32::consts::TAU * 2.0 * 4.0 / transform.size() as f32;
        assert!((low.arg() + turn).abs() < 0.02, "{low}");
        assert!((low.norm() - 0.5).abs() < 0.05, "{low}");
        let left = model.weights(&transform, &heard, Floor(0.003));
        let middle = left.values[5 * left.bins + 20..6 * left.bins - 20].iter();
        let mean = middle.clone().map(|weight| 1.0 / weight).sum::<f32>() / middle.len() as f32;
        // The power of the noise, 0.04, but for what the model takes of it.
        assert!((mean - 0.04).abs() < 0.008, "{mean}");
    }
}
