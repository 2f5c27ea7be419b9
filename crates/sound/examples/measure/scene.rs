//! Something that sounds, and two recorders that hear it.

use plumbline_damage::{Music, Random, Seed, Sound, Speech, White};
use plumbline_timecode::SampleRate;
use realfft::RealFftPlanner;
use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

/// Samples a second of what sounds.
const WORLD: f64 = 48_000.0;

/// What sounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Source {
    /// Somebody who talks.
    Speech,
    /// A band.
    Music,
    /// The same bars of music over and over, so many seconds long.
    Loop(f64),
    /// Bangs and scrapes in a quiet room.
    Work,
    /// Nothing that both hear.
    Nothing,
}

/// A recorder, and where it stands.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ear {
    pub(crate) hertz: u32,
    /// When it begins, in seconds of the world.
    pub(crate) from: f64,
    /// How long it records, by its own clock.
    pub(crate) seconds: f64,
    /// How much too fast its clock runs.
    pub(crate) ppm: f64,
    /// In how many seconds its room dies away by 60 dB; a room is as loud as what comes straight.
    pub(crate) rt60: f64,
    /// What its microphone lets through, in hertz.
    pub(crate) band: (f64, f64),
    /// The sound over the noise that it alone hears.
    pub(crate) snr_db: f64,
    /// Root mean square of all it records, over full scale.
    pub(crate) level_db: f64,
    /// The sum of hum in it: its level over the sound's.
    pub(crate) hum_db: f64,
    pub(crate) upside_down: bool,
    /// What it left out: from when on, and how long.
    pub(crate) gap: Option<(f64, f64)>,
}

impl Ear {
    pub(crate) fn new(from: f64, seconds: f64) -> Self {
        Self {
            hertz: 48_000,
            from,
            seconds,
            ppm: 0.0,
            rt60: 0.0,
            band: (40.0, 18_000.0),
            snr_db: 20.0,
            level_db: -26.0,
            hum_db: f64::NEG_INFINITY,
            upside_down: false,
            gap: None,
        }
    }

    pub(crate) fn sample_rate(&self) -> SampleRate {
        SampleRate::hertz(self.hertz).expect("a sample rate")
    }

    /// When in the world its clock shows so many seconds.
    fn world(&self, seconds: f64) -> f64 {
        let gap = self.gap.filter(|gap| seconds >= gap.0);
        self.from + (seconds + gap.map_or(0.0, |gap| gap.1)) / (1.0 + self.ppm * 1e-6)
    }

    /// What its clock shows at a moment of the world.
    pub(crate) fn clock(&self, world: f64) -> f64 {
        (world - self.from) * (1.0 + self.ppm * 1e-6)
    }

    /// What it records. Each needs a stream of chance of its own.
    pub(crate) fn hears(&self, world: &[f64], seed: Seed, stream: u64) -> Vec<f32> {
        let mut random = seed.random(stream);
        let first = whole((self.from - 2.0).max(0.0) * WORLD);
        let gap = self.gap.map_or(0.0, |gap| gap.1);
        let end = whole((self.from + self.seconds * 1.001 + gap + 1.0) * WORLD).min(world.len());
        let mut near = world.get(first..end).unwrap_or_default().to_vec();
        near.resize(near.len() + 4800, 0.0);
        if self.rt60 > 0.0 {
            near = room(&near, self.rt60, &mut random);
        }
        microphone(&mut near, self.band);
        let count = whole(self.seconds * f64::from(self.hertz));
        let mut heard: Vec<f64> = (0..count)
            .map(|n| {
                let place = self.world(n as f64 / f64::from(self.hertz)) * WORLD - first as f64;
                between(&near, place)
            })
            .collect();
        self.noise(&mut heard, &mut random);
        heard
            .iter()
            .map(|sample| sample.clamp(-1.0, 1.0) as f32)
            .collect()
    }

    /// Adds what it alone hears, and brings it to its level, in steps of 16 bits.
    fn noise(&self, heard: &mut [f64], random: &mut Random) {
        let power = mean_square(heard).max(1e-12);
        let rate = self.sample_rate();
        // As loud below the slope's beginning as a room is against its microphone's hiss.
        let white = White.samples(rate, heard.len(), random);
        let mut deep = white.clone();
        microphone(&mut deep, (40.0, 400.0));
        let deeper = mean_square(&deep).sqrt().max(1e-9);
        let loud = (power * 10_f64.powf(-self.snr_db / 10.0) / 2.0).sqrt();
        let hum = (2.0 * power * 10_f64.powf(self.hum_db / 10.0)).sqrt();
        for (n, sample) in heard.iter_mut().enumerate() {
            let turn = TAU * 50.0 * self.world(n as f64 / f64::from(self.hertz));
            *sample += loud * (deep[n] / deeper + white[n]);
            *sample += hum * (turn.sin() + 0.5 * (3.0 * turn).sin() + 0.3 * (5.0 * turn).sin());
        }
        let gain = 10_f64.powf(self.level_db / 20.0) / mean_square(heard).sqrt();
        let gain = if self.upside_down { -gain } else { gain };
        for sample in heard {
            *sample = (*sample * gain * 32_768.0 + random.between(-0.5, 0.5)).round() / 32_768.0;
        }
    }
}

impl Source {
    /// So many seconds of it.
    pub(crate) fn sound(self, seconds: f64, seed: Seed) -> Vec<f64> {
        let rate = SampleRate::hertz(48_000).expect("a sample rate");
        let count = whole(seconds * WORLD);
        let random = &mut seed.random(1);
        match self {
            Self::Speech => Speech.samples(rate, count, random),
            Self::Music => Music.samples(rate, count, random),
            Self::Loop(length) => {
                let once = Music.samples(rate, whole(length * WORLD), random);
                once.iter().cycle().take(count).copied().collect()
            }
            Self::Work => work(count, random),
            Self::Nothing => vec![0.0; count],
        }
    }
}

/// Short noises that die away, some a second, some loud.
fn work(count: usize, random: &mut Random) -> Vec<f64> {
    let mut samples = vec![0.0; count];
    let mut at = 0.0;
    while at < count as f64 {
        let loud = 10_f64.powf(random.between(-1.5, 0.0));
        let decay = random.between(10.0, 200.0) / WORLD;
        let (pitch, ring) = (random.between(200.0, 5000.0) / WORLD, random.uniform());
        for (n, sample) in samples.iter_mut().skip(whole(at)).take(24_000).enumerate() {
            let n = n as f64;
            let sound = random.normal() * (1.0 - ring) + ring * (TAU * pitch * n).sin();
            *sample += loud * sound * (-decay * n).exp();
        }
        at += random.wait(1.5) * WORLD;
    }
    samples
}

/// What comes straight, and a tail of noise that dies away, as loud in all.
fn room(sound: &[f64], rt60: f64, random: &mut Random) -> Vec<f64> {
    let length = whole(rt60 * WORLD);
    let mut answer: Vec<f64> = (0..length)
        .map(|n| random.normal() * (-6.908 * n as f64 / length as f64).exp())
        .collect();
    // The first reflection comes some milliseconds after what comes straight.
    let quiet = whole(random.between(0.001, 0.006) * WORLD);
    answer[..quiet].fill(0.0);
    let size = answer.iter().map(|a| a * a).sum::<f64>().sqrt();
    for value in &mut answer {
        *value /= size;
    }
    answer[0] = 1.0;
    convolved(sound, &answer)
}

fn convolved(sound: &[f64], answer: &[f64]) -> Vec<f64> {
    let size = (4 * answer.len()).next_power_of_two();
    let step = size - answer.len();
    let mut planner = RealFftPlanner::new();
    let (there, back) = (
        planner.plan_fft_forward(size),
        planner.plan_fft_inverse(size),
    );
    let spectrum = |samples: &[f64]| {
        let mut samples = samples.to_vec();
        samples.resize(size, 0.0);
        let mut spectrum = there.make_output_vec();
        there.process(&mut samples, &mut spectrum).expect("lengths");
        spectrum
    };
    let filter = spectrum(answer);
    let mut out = vec![0.0; sound.len() + size];
    for (block, samples) in sound.chunks(step).enumerate() {
        let mut product = spectrum(samples);
        for (a, b) in product.iter_mut().zip(&filter) {
            *a *= b;
        }
        let mut heard = back.make_output_vec();
        product[0].im = 0.0;
        product[size / 2].im = 0.0;
        back.process(&mut product, &mut heard).expect("lengths");
        for (sum, value) in out[block * step..].iter_mut().zip(&heard) {
            *sum += value / size as f64;
        }
    }
    out.truncate(sound.len());
    out
}

/// First-order slopes at both ends of a band.
fn microphone(sound: &mut [f64], (low, high): (f64, f64)) {
    let (down, up) = (
        (-TAU * low / WORLD).exp(),
        1.0 - (-TAU * high / WORLD).exp(),
    );
    let (mut slow, mut smooth) = (0.0, 0.0);
    for sample in sound {
        slow = down * slow + (1.0 - down) * *sample;
        smooth += up * (*sample - slow - smooth);
        *sample = smooth;
    }
}

/// Zeros of the sinc to either side.
const REACH: usize = 24;
/// Places between two samples: what is asked for is met to an eight-thousandth of a sample.
const PHASES: usize = 4096;

/// A sinc under a Hann window, a row of weights for each phase.
static KERNEL: LazyLock<Vec<[f64; 2 * REACH]>> = LazyLock::new(|| {
    let weight = |at: f64| {
        let window = 0.5 + 0.5 * (PI * at / REACH as f64).cos();
        let sinc = if at == 0.0 {
            1.0
        } else {
            (PI * at).sin() / (PI * at)
        };
        window * sinc
    };
    let row = |phase: usize| {
        let part = phase as f64 / PHASES as f64;
        std::array::from_fn(|tap| weight(tap as f64 - (REACH as f64 - 1.0) - part))
    };
    (0..PHASES).map(row).collect()
});

/// The sound between samples; silence near its ends.
fn between(sound: &[f64], place: f64) -> f64 {
    let nearest = whole((place * PHASES as f64).round());
    let row = &KERNEL[nearest % PHASES];
    let around = (nearest / PHASES).checked_sub(REACH - 1);
    let around = around.and_then(|first| sound.get(first..first + 2 * REACH));
    around.map_or(0.0, |around| {
        around.iter().zip(row).map(|(a, b)| a * b).sum()
    })
}

fn mean_square(samples: &[f64]) -> f64 {
    samples.iter().map(|sample| sample * sample).sum::<f64>() / samples.len().max(1) as f64
}

fn whole(number: f64) -> usize {
    number as usize
}
