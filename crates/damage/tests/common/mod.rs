//! Measuring instruments for the tests, apart from what they measure.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]
#![allow(dead_code, reason = "every test uses its part")]

use plumbline_damage::Take;
use realfft::RealFftPlanner;

/// The part of the mean square that lies from `from` to below `to` hertz, by Parseval's theorem
/// on the whole of the samples.
pub(crate) fn power_between(samples: &[f64], sample_rate: f64, from: f64, to: f64) -> f64 {
    let mut samples = samples.to_vec();
    let length = samples.len() as f64;
    let transform = RealFftPlanner::new().plan_fft_forward(samples.len());
    let mut bins = transform.make_output_vec();
    transform.process(&mut samples, &mut bins).unwrap();
    let in_band = bins.iter().enumerate().filter(|(bin, _)| {
        let hertz = *bin as f64 * sample_rate / length;
        hertz >= from && hertz < to
    });
    // Each stands for its mirror image as well.
    in_band
        .map(|(bin, value)| if bin == 0 { 1.0 } else { 2.0 } * value.norm_sqr())
        .sum::<f64>()
        / (length * length)
}

/// How long a take is.
pub(crate) fn seconds(take: &Take) -> f64 {
    take.samples.len() as f64 / take.sample_rate.as_f64()
}

/// Samples in double precision.
pub(crate) fn doubles(take: &Take) -> Vec<f64> {
    take.samples.iter().copied().map(f64::from).collect()
}
