//! Filters that are given by what they do to each frequency.

use realfft::RealFftPlanner;
use realfft::num_complex::Complex;

/// The samples behind a filter: `response` is asked for each frequency, in cycles a sample, 0 to
/// ½. There is silence before and after them, as long as they are themselves.
///
/// The whole is transformed at once, so memory grows with it: 32 bytes a sample.
pub(crate) fn filtered(samples: &[f64], response: impl Fn(f64) -> Complex<f64>) -> Vec<f64> {
    let length = (2 * samples.len()).next_power_of_two();
    let mut padded = samples.to_vec();
    padded.resize(length, 0.0);
    shape(&mut padded, response);
    padded.truncate(samples.len());
    padded
}

/// The same for samples that follow themselves in a circle.
pub(crate) fn shape(samples: &mut [f64], response: impl Fn(f64) -> Complex<f64>) {
    let length = samples.len();
    if length < 2 {
        return;
    }
    let mut planner = RealFftPlanner::new();
    let forward = planner.plan_fft_forward(length);
    let mut bins = forward.make_output_vec();
    // Both can fail by lengths alone, and the planner's own are used.
    let _ = forward.process(samples, &mut bins);
    for (bin, value) in bins.iter_mut().enumerate() {
        *value *= response(bin as f64 / length as f64) / length as f64;
    }
    // What is at 0 and at half the sample rate has no phase.
    for end in [0, length / 2] {
        if (end == 0 || length.is_multiple_of(2)) && end < bins.len() {
            bins[end].im = 0.0;
        }
    }
    let _ = planner.plan_fft_inverse(length).process(&mut bins, samples);
}
