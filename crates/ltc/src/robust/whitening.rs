//! Sound made flat and level: hum, speech, slow changes of level and what the code itself is louder
//! at, all come down to the same.

use super::spectra::{Spectra, Transform, Weights};

/// How many frames and bins the power is averaged over.
const FRAMES: usize = 5;
const BINS: usize = 5;
/// The power of dither at the 24th bit; what is below it is silence.
const SILENCE: f32 = 1e-14;

/// One over the power of the sound around each moment and frequency.
pub(super) fn weights(spectra: &Spectra) -> Weights {
    spectra
        .power()
        .smooth(FRAMES, BINS)
        .map(|power| 1.0 / (power + SILENCE))
}

/// The sound with unit variance in each frequency and at each moment.
pub(super) fn whiten(
    transform: &Transform,
    spectra: &Spectra,
    weights: &Weights,
    length: usize,
) -> Vec<f32> {
    // A frame of white noise of unit variance has the power of its window: half its length.
    let power = transform.hop() as f32;
    let roots = weights.clone().map(|weight| (power * weight).sqrt());
    transform.sound(&spectra.weighted(&roots), length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::testing::Random;

    #[test]
    fn whatever_its_level_noise_comes_out_with_unit_variance() {
        let transform = Transform::new(48_000.0);
        let mut random = Random::new(3);
        for level in [1e-4, 1.0] {
            // Low-pass, and an offset ten times as large.
            let mut held = 0.0;
            let sound: Vec<f32> = (0..48_000)
                .map(|_| {
                    held += 0.2 * (random.normal() - held);
                    level * (held + 10.0)
                })
                .collect();
            let spectra = transform.spectra(&sound);
            let white = whiten(&transform, &spectra, &weights(&spectra), sound.len());
            let inner = &white[2048..46_000];
            let square: f32 = inner.iter().map(|x| x * x).sum::<f32>() / inner.len() as f32;
            assert!((square - 1.0).abs() < 0.1, "{square}");
            let next: f32 =
                inner.windows(2).map(|pair| pair[0] * pair[1]).sum::<f32>() / inner.len() as f32;
            assert!(next.abs() < 0.1, "{next}");
        }
    }
}
