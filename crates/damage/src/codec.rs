//! Lossy compression.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};

use realfft::RealFftPlanner;

use crate::convert::narrowed;
use crate::{Damage, DamageError, Decibels, Random, Sound, Take};

/// Lossy compression and back, by the program FFmpeg, put back into place in time: to the nearest
/// sample, by where it is most like what went in.
#[derive(Debug)]
pub struct Codec {
    /// Which.
    pub format: Format,
    /// Kilobits a second, of all channels together.
    pub kilobits: u32,
    /// What is compressed together with the code.
    pub channels: Channels,
    /// The program that does it.
    pub program: PathBuf,
}

/// A way of compressing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// MPEG-4 AAC (ISO/IEC 14496-3), low complexity.
    Aac,
    /// Opus (RFC 6716).
    Opus,
}

/// What is compressed together with the code.
#[derive(Debug)]
pub enum Channels {
    /// Nothing: one channel.
    Mono,
    /// A sound on the other channel, its mean square so far over that of the code.
    Beside(Box<dyn Sound>, Decibels),
}

impl Codec {
    /// Code alone.
    pub fn mono(format: Format, kilobits: u32) -> Self {
        Self {
            format,
            kilobits,
            channels: Channels::Mono,
            program: "ffmpeg".into(),
        }
    }

    /// Code on one channel, a sound as loud as it on the other.
    pub fn beside(format: Format, kilobits: u32, sound: impl Sound + 'static) -> Self {
        Self {
            channels: Channels::Beside(Box::new(sound), Decibels(0.0)),
            ..Self::mono(format, kilobits)
        }
    }

    /// Whether the program can be started.
    pub fn is_available(&self) -> bool {
        self.run(&["-version".as_ref()]).is_ok()
    }

    fn run(&self, arguments: &[&std::ffi::OsStr]) -> Result<(), DamageError> {
        let output = Command::new(&self.program)
            .args(arguments)
            .stdin(Stdio::null())
            .output()
            .map_err(|source| DamageError::NoProgram {
                program: self.program.clone(),
                source,
            })?;
        if output.status.success() {
            Ok(())
        } else {
            Err(DamageError::Program {
                program: self.program.clone(),
                said: String::from_utf8_lossy(&output.stderr).trim().to_owned(),
            })
        }
    }

    /// Samples of all channels in turn, there and back.
    fn code_and_decode(
        &self,
        samples: &[f32],
        channels: u32,
        rate: u32,
    ) -> Result<Vec<f32>, DamageError> {
        let folder = Folder::new()?;
        let (original, coded, decoded) = match self.format {
            Format::Aac => (
                folder.file("in.raw"),
                folder.file("coded.m4a"),
                folder.file("out.raw"),
            ),
            Format::Opus => (
                folder.file("in.raw"),
                folder.file("coded.opus"),
                folder.file("out.raw"),
            ),
        };
        let encoder = match self.format {
            Format::Aac => "aac",
            Format::Opus => "libopus",
        };
        let bytes: Vec<u8> = samples
            .iter()
            .flat_map(|sample| sample.to_le_bytes())
            .collect();
        fs::write(&original, bytes).map_err(DamageError::Files)?;
        let (rate, channels) = (rate.to_string(), channels.to_string());
        let bits = format!("{}k", self.kilobits);
        let raw = ["-f", "f32le", "-ar", &rate, "-ac", &channels];
        let before = ["-loglevel", "error", "-y"];
        let go_in = [&before[..], &raw, &["-i"]].concat();
        let go_out = ["-c:a", encoder, "-b:a", &bits];
        self.run(&arguments(&go_in, &original, &go_out, &coded))?;
        self.run(&arguments(
            &[&before[..], &["-i"]].concat(),
            &coded,
            &raw,
            &decoded,
        ))?;
        let bytes = fs::read(&decoded).map_err(DamageError::Files)?;
        let samples = bytes
            .as_chunks()
            .0
            .iter()
            .map(|&bytes| f32::from_le_bytes(bytes));
        Ok(samples.collect())
    }
}

fn arguments<'a>(
    before: &[&'a str],
    from: &'a Path,
    between: &[&'a str],
    to: &'a Path,
) -> Vec<&'a std::ffi::OsStr> {
    let texts = |texts: &[&'a str]| {
        texts
            .iter()
            .map(|text| (*text).as_ref())
            .collect::<Vec<_>>()
    };
    [
        texts(before),
        vec![from.as_ref()],
        texts(between),
        vec![to.as_ref()],
    ]
    .concat()
}

impl Damage for Codec {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        let hertz = take.sample_rate.fraction();
        let rate = (hertz.denominator() == 1)
            .then(|| u32::try_from(hertz.numerator()).ok())
            .flatten()
            .ok_or(DamageError::OutOfRange {
                what: "a sample rate",
                value: take.sample_rate.as_f64(),
                expected: "a whole number of hertz",
            })?;
        let code = &take.samples;
        let (mixed, channels) = match &self.channels {
            Channels::Mono => (code.clone(), 1_u8),
            Channels::Beside(sound, over) => {
                let gain = take.code_power.sqrt() * over.amplitude();
                let other = sound.samples(take.sample_rate, code.len(), random);
                let pairs = code.iter().zip(other);
                let mixed = pairs.flat_map(|(&code, other)| [code, narrowed(gain * other)]);
                (mixed.collect(), 2)
            }
        };
        let decoded = self.code_and_decode(&mixed, channels.into(), rate)?;
        let channel: Vec<f32> = decoded.into_iter().step_by(channels.into()).collect();
        let delay = delay(code, &channel);
        let moved = (0..code.len()).map(|n| {
            let from = n.checked_add_signed(delay);
            from.and_then(|from| channel.get(from))
                .copied()
                .unwrap_or(0.0)
        });
        take.samples = moved.collect();
        Ok(())
    }
}

/// How many samples later than `original` a copy is, to the nearest: where the two are most alike.
pub(crate) fn delay(original: &[f32], copy: &[f32]) -> isize {
    let length = (original.len() + copy.len()).next_power_of_two();
    let mut planner = RealFftPlanner::<f64>::new();
    let forward = planner.plan_fft_forward(length);
    let spectrum = |samples: &[f32]| {
        let mut padded: Vec<f64> = samples.iter().copied().map(f64::from).collect();
        padded.resize(length, 0.0);
        let mut bins = forward.make_output_vec();
        // It can fail by lengths alone, and the planner's own are used.
        let _ = forward.process(&mut padded, &mut bins);
        bins
    };
    let mut product = spectrum(copy);
    for (bin, original) in product.iter_mut().zip(spectrum(original)) {
        *bin *= original.conj();
    }
    for end in [0, length / 2] {
        product[end].im = 0.0;
    }
    let mut likeness = vec![0.0; length];
    let _ = planner
        .plan_fft_inverse(length)
        .process(&mut product, &mut likeness);
    let best = likeness
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(b.1));
    let best = best.map_or(0, |(at, _)| at);
    // The second half of the circle is what is earlier.
    if best < length / 2 {
        best.cast_signed()
    } else {
        best.cast_signed() - length.cast_signed()
    }
}

/// A folder for a few files, gone when it is dropped.
#[derive(Debug)]
struct Folder(PathBuf);

impl Folder {
    fn new() -> Result<Self, DamageError> {
        static NUMBER: AtomicU64 = AtomicU64::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let name = format!("plumbline-damage-{}-{number}", std::process::id());
        let path = std::env::temp_dir().join(name);
        fs::create_dir(&path).map_err(DamageError::Files)?;
        Ok(Self(path))
    }

    fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What can't be removed stays; there is nobody to tell.
        let _ = fs::remove_dir_all(&self.0);
    }
}
