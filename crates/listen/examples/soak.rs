//! Listens for hours to two devices whose clocks are known, and says how well that went.
//!
//! `cargo run --release -p plumbline-listen --example soak -- [HOURS]`
//!
//! The sound's clock runs 30 ppm fast against the page's, the first device's code 10 ppm slow
//! against the sound's, the second one's 10 ppm fast: 20 ppm lie between the two. The page's clock
//! is read in steps of 10 ms, and some readings are held up by up to 15 ms.
#![expect(clippy::print_stdout, reason = "its answer is what it prints")]

use std::time::Instant;

use plumbline_listen::{Heard, Listener, TimeOfDay};
use plumbline_ltc::{Codeword, Flags, Modulator, PolarityRule, Tone};
use plumbline_timecode::st309::UtcOffset;
use plumbline_timecode::{
    BinaryGroupFlags, Count, Fraction, Frames, Rate, SampleRate, TimeAddress, UserBits,
};
use plumbline_tone::CodeClock;

type Failure = Box<dyn std::error::Error>;

const BLOCK: usize = 512;
const HERTZ: f64 = 48_000.0;
/// The sound's clock against the page's, and each device's against the sound's.
const SOUND_PPM: f64 = 30.0;
const DEVICES_PPM: [i32; 2] = [-10, 10];
/// When the page's clock stood at the first sample, in milliseconds.
const BEGAN: f64 = 7_654.0;

/// A device that sends code for ever.
struct Device {
    modulator: Modulator,
    next: i64,
    made: Vec<f32>,
    /// Samples from one codeword to the next.
    length: f64,
}

impl Device {
    fn new(ppm: i32) -> Result<Self, Failure> {
        let speed = Fraction::new(1_000_000 + i128::from(ppm), 1_000_000).ok_or("no speed")?;
        let tone = Tone {
            speed,
            ..Tone::new(Rate::F25, SampleRate::hertz(48_000)?)
        };
        Ok(Self {
            modulator: Modulator::new(tone)?,
            next: 0,
            made: Vec::new(),
            length: 1920.0 / speed.as_f64(),
        })
    }

    fn block(&mut self) -> Vec<f32> {
        while self.made.len() < BLOCK {
            let address = TimeAddress::midnight(Count::F25).plus_wrapping(Frames(self.next));
            let codeword = Codeword::new(
                address,
                UserBits(0x2811_2601),
                BinaryGroupFlags::Unspecified,
                Flags::default(),
                PolarityRule::Corrected,
            );
            self.next += 1;
            let made = &mut self.made;
            self.modulator
                .push(codeword, &mut |block| made.extend_from_slice(block));
        }
        self.made.drain(..BLOCK).collect()
    }
}

fn main() -> Result<(), Failure> {
    let hours: f64 = std::env::args()
        .nth(1)
        .map_or(Ok(6.0), |hours| hours.parse())?;
    let begun = Instant::now();
    let mut devices = [Device::new(DEVICES_PPM[0])?, Device::new(DEVICES_PPM[1])?];
    let mut listener = Listener::new(SampleRate::hertz(48_000)?, 2, 0.0);
    listener.set_time_of_day(TimeOfDay {
        ahead: 1.7e12,
        offset: UtcOffset::UTC,
    });
    let mut worst: f64 = 0.0;
    let mut random = 1_u32;
    let mut told = [60.0, 120.0, 600.0, 3_600.0].into_iter().peekable();
    let blocks = hours * 3600.0 * HERTZ / BLOCK as f64;
    let mut number = 0_i64;
    let block = i64::try_from(BLOCK)?;
    while (number as f64) < blocks {
        let planes = devices.each_mut().map(Device::block);
        listener.push(number * block, &planes.each_ref().map(Vec::as_slice));
        number += 1;
        let heard_until = number as f64 * BLOCK as f64;
        let page = page_at(heard_until);
        random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let held_up = f64::from(random >> 16) / 65_536.0 * 15.0;
        listener.read_clock(page + held_up, (heard_until / 480.0).floor() * 480.0);
        if number % 94 == 0 {
            let heard = listener.heard(page);
            worst = worst.max(furthest(&heard, &devices, page)?);
            let seconds = heard_until / HERTZ;
            if told.next_if(|&after| seconds >= after).is_some() {
                tell(seconds, &heard);
            }
        }
    }
    let heard = listener.heard(page_at(number as f64 * BLOCK as f64));
    tell(hours * 3600.0, &heard);
    let findings: usize = listener
        .findings()
        .iter()
        .map(|found| found.findings.len())
        .sum();
    println!(
        "{}{}{}",
        heard.verdict.before, heard.verdict.mark, heard.verdict.after
    );
    println!("{findings} findings; the clock shown was never more than {worst:.3} frames off");
    println!(
        "{hours} h of two channels took {:.1} s",
        begun.elapsed().as_secs_f64()
    );
    Ok(())
}

/// When a sample was at the input, by the page's clock.
fn page_at(sample: f64) -> f64 {
    BEGAN + sample / HERTZ * 1e3 / (1.0 + SOUND_PPM * 1e-6)
}

/// How far a clock that is shown is from the truth, in frames.
fn furthest(heard: &Heard, devices: &[Device; 2], page: f64) -> Result<f64, Failure> {
    let mut worst: f64 = 0.0;
    for (channel, device) in heard.channels.iter().zip(devices) {
        if let Some(ticking) = &channel.ticking {
            let clock = CodeClock::try_from(ticking)?;
            let sample = (page - BEGAN) * 1e-3 * HERTZ * (1.0 + SOUND_PPM * 1e-6);
            let day = f64::from(Count::F25.frames_per_day());
            let off = clock.frame_at(page) - sample / device.length;
            worst = worst.max((off - (off / day).round() * day).abs());
        }
    }
    Ok(worst)
}

fn tell(seconds: f64, heard: &Heard) {
    println!("after {seconds:.0} s:");
    for channel in &heard.channels {
        for compared in &channel.compared {
            println!(
                "  {} {}: {}",
                channel.title,
                compared.title.to_lowercase(),
                compared.pace
            );
        }
    }
}
