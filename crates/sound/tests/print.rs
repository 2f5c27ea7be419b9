//! Prints: how the input is cut does not matter, what they keep, and at which rates.
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::unwrap_used,
    reason = "what the tests make is known to fit"
)]

use plumbline_damage::{Seed, Sound, Speech};
use plumbline_sound::{Print, PrintMaker};
use plumbline_timecode::SampleRate;

fn speech(rate: SampleRate, seconds: u32) -> Vec<f32> {
    let count = (rate.as_f64() * f64::from(seconds)) as usize;
    let samples = Speech.samples(rate, count, &mut Seed::tuning(1).random(0));
    samples.iter().map(|sample| 0.05 * *sample as f32).collect()
}

fn print(rate: SampleRate, blocks: impl Iterator<Item = Vec<f32>>) -> Print {
    let mut maker = PrintMaker::new(rate).unwrap();
    for block in blocks {
        maker.push(&block);
    }
    maker.finish()
}

#[test]
fn how_the_input_is_cut_does_not_matter() {
    for hertz in [8_000, 22_050, 44_100, 48_000] {
        let rate = SampleRate::hertz(hertz).unwrap();
        let samples = speech(rate, 3);
        let whole = print(rate, std::iter::once(samples.clone()));
        for size in [1, 7, 479, 480, 961, 50_000] {
            let cut = print(rate, samples.chunks(size).map(<[f32]>::to_vec));
            assert!(cut == whole, "{hertz} Hz in blocks of {size}");
        }
        // The first frame ends after two hundredths of a second (or a sample later, where that is
        // no whole number of them), the others a hundredth later each.
        let frames = (whole.to_bytes().len() - 40) / 8;
        assert!((298..=299).contains(&frames), "{hertz} Hz: {frames}");
    }
}

#[test]
fn frames_do_not_creep_at_rates_that_are_pulled_down() {
    let rate = SampleRate::hertz(44_100).unwrap().pulled_down().unwrap();
    // A click every second: 100 frames later each time, for ten minutes.
    let second = rate.as_f64();
    let mut samples = vec![0.0; (600.0 * second) as usize];
    for n in 0..599 {
        samples[((f64::from(n) + 0.505) * second) as usize] = 0.9;
    }
    let bytes = print(rate, std::iter::once(samples)).to_bytes();
    let (frames, _) = bytes[40..].as_chunks::<8>();
    let loud: Vec<usize> = (0..frames.len()).filter(|n| frames[*n][4] > 100).collect();
    for (n, frame) in loud.iter().step_by(loud.len() / 599).enumerate() {
        assert!(
            frame.abs_diff(100 * n + 49) <= 1,
            "click {n} in frame {frame}"
        );
    }
}

#[test]
fn levels_are_those_of_the_sound() {
    // A sine of 1 kHz with a mean square of −23 dB stands in the band of 825 to 1275 Hz.
    let rate = SampleRate::hertz(48_000).unwrap();
    let step = std::f32::consts::TAU / 48.0;
    let sine = |n: u16| 0.1 * (step * f32::from(n % 48)).sin();
    let bytes = print(rate, std::iter::once((0..48_000).map(sine).collect())).to_bytes();
    let (frames, _) = bytes[40..].as_chunks::<8>();
    assert!(
        frames.iter().all(|frame| frame[3] == 2 * (120 - 23)),
        "{:?}",
        frames[5]
    );
    assert!(frames.iter().all(|frame| frame[7] < 60), "{:?}", frames[5]);
}

#[test]
fn no_sample_breaks_it() {
    let rate = SampleRate::hertz(48_000).unwrap();
    let wild = [
        f32::NAN,
        f32::INFINITY,
        f32::NEG_INFINITY,
        f32::MAX,
        f32::MIN_POSITIVE,
    ];
    print(rate, std::iter::once(wild.repeat(10_000)));
}

#[test]
fn rates_that_no_recorder_has_are_refused() {
    for hertz in [1, 7_999, 384_001, u32::MAX] {
        assert!(PrintMaker::new(SampleRate::hertz(hertz).unwrap()).is_err());
    }
}
