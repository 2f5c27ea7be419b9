//! How the tone sounds and how its samples are written.

use std::f64::consts::PI;

use plumbline_ltc::{Level, Polarity, RiseTime};
use plumbline_media::Encoding;
use plumbline_timecode::{Fraction, Rounding, SampleRate};
use plumbline_words::{Problem, number, thousands};

use crate::Settings;
use crate::field::Field;
use crate::remarks::Remarks;
use crate::typed::{choice, decimal, quoted};

/// How the tone sounds and how its samples are written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sound {
    /// One of [`SAMPLE_RATES`].
    pub(crate) hertz: u32,
    /// The same.
    pub(crate) sample_rate: SampleRate,
    pub(crate) encoding: Encoding,
    pub(crate) voice: Voice,
    pub(crate) beside: Beside,
}

/// How the code itself sounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Voice {
    pub(crate) level: Level,
    pub(crate) rise_time: RiseTime,
    pub(crate) polarity: Polarity,
}

/// What the second channel has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Beside {
    /// There is none.
    Nothing,
    Silence,
    /// A sine of 1 kHz for as long as a take lasts.
    LineUp,
    /// 1 kHz for one frame at each second of the address.
    Blips,
}

/// Samples a second that can be asked for.
const SAMPLE_RATES: [(&str, u32); 6] = [
    ("44100", 44_100),
    ("48000", 48_000),
    ("88200", 88_200),
    ("96000", 96_000),
    ("176400", 176_400),
    ("192000", 192_000),
];

/// The lowest level in dBFS: our own reader takes what is below -100 for silence.
const LOWEST: i64 = -90;

/// Sound and samples, with what they mean.
pub(crate) fn sound(settings: &Settings, remarks: &mut Remarks) -> Option<Sound> {
    let hertz = remarks.keep(choice(
        Field::SampleRate,
        &settings.sample_rate,
        &SAMPLE_RATES,
    ));
    let encodings = [
        ("16", Encoding::S16),
        ("24", Encoding::S24),
        ("float", Encoding::F32),
    ];
    let encoding = remarks.keep(choice(Field::Samples, &settings.samples, &encodings));
    let voice = voice(settings, remarks);
    if let (Some(hertz), Some(voice)) = (hertz, voice) {
        explain_rise_time(voice.rise_time, hertz, remarks);
    }
    let beside = beside(settings, remarks);
    let sound = Sound {
        beside: beside?,
        hertz: hertz?,
        sample_rate: SampleRate::hertz(hertz?).ok()?,
        encoding: encoding?,
        voice: voice?,
    };
    remarks.keep(sound.fine_enough())
}

/// How the code itself sounds.
fn voice(settings: &Settings, remarks: &mut Remarks) -> Option<Voice> {
    let level = remarks.keep(level(&settings.level));
    if let Some(level) = level {
        explain_level(level, remarks);
    }
    let edges = edges(settings, remarks);
    let level = level?;
    edges.map(|(rise_time, polarity)| Voice {
        level,
        rise_time,
        polarity,
    })
}

/// How steep edges are, and which way the first one goes.
pub(crate) fn edges(settings: &Settings, remarks: &mut Remarks) -> Option<(RiseTime, Polarity)> {
    let rise_time = remarks.keep(rise_time(&settings.rise_time));
    let words = [
        ("upright", Polarity::Upright),
        ("inverted", Polarity::Inverted),
    ];
    let polarity = remarks.keep(choice(Field::Polarity, &settings.polarity, &words));
    rise_time.zip(polarity)
}

fn beside(settings: &Settings, remarks: &mut Remarks) -> Option<Beside> {
    let words = [
        ("nothing", Beside::Nothing),
        ("silence", Beside::Silence),
        ("line-up", Beside::LineUp),
        ("blips", Beside::Blips),
    ];
    let beside = remarks.keep(choice(Field::Beside, &settings.beside, &words))?;
    let text = match beside {
        Beside::Nothing => return Some(beside),
        Beside::Silence => "Two channels: code on the first, silence on the second.",
        Beside::LineUp => {
            "Two channels: code on the first, a sine of 1 kHz at −18 dBFS, the alignment level of \
             EBU R 68, on the second."
        }
        Beside::Blips => {
            "Two channels: code on the first, 1 kHz at −18 dBFS for the first frame of each second \
             of the address on the second."
        }
    };
    remarks.note(Field::Beside, text);
    Some(beside)
}

fn level(typed: &str) -> Result<Level, Problem> {
    let dbfs = decimal(typed).ok_or_else(|| {
        Field::Level.problem(
            format!("{} is no number.", quoted(typed)),
            "Type decibels against full scale, −90 to 0, such as −18.",
        )
    })?;
    let shown = number(dbfs.as_f64(), 6);
    if dbfs > Fraction::ZERO {
        return Err(Field::Level.problem(
            format!("{shown} dBFS is above full scale, where samples end."),
            "0 or lower would be right; −18 is the alignment level of EBU R 68.",
        ));
    }
    Level::dbfs(dbfs.as_f64())
        .ok()
        .filter(|_| dbfs >= Fraction::whole(LOWEST))
        .ok_or_else(|| {
            Field::Level.problem(
                format!("{shown} dBFS is too low to be read."),
                "−90 to 0 would be right; −18 is the alignment level of EBU R 68.",
            )
        })
}

/// Full scale of three outputs, as the volts root mean square of a sine at full scale.
///
/// +18 dBu is EBU R 68, where -18 dBFS is 0 dBu; +24 dBu is SMPTE RP 155 (from memory); 2 V is
/// common practice for consumer outputs. 0 dBu is 0.7746 V.
const DBU: f64 = 0.774_596_669_2;

fn explain_level(level: Level, remarks: &mut Remarks) {
    // The code swings between both its peaks.
    let peak_to_peak = |rms: f64| {
        let volts = 2.0 * 2.0_f64.sqrt() * rms * level.amplitude();
        let decimals = if volts < 0.1 { 4 } else { 2 };
        number(volts, decimals)
    };
    let dbu = |decibels: f64| peak_to_peak(DBU * 10.0_f64.powf(decibels / 20.0));
    remarks.note(
        Field::Level,
        format!(
            "Out of a line output {} V peak to peak where full scale is +18 dBu (EBU R 68), {} V \
             where it is +24 dBu, {} V out of a consumer output of 2 V. IEC 60461 clause 8.6 \
             prefers 1 to 2 V and allows 0.5 to 4.5 V.",
            dbu(18.0),
            dbu(24.0),
            peak_to_peak(2.0)
        ),
    );
}

fn rise_time(typed: &str) -> Result<RiseTime, Problem> {
    let read = decimal(typed)
        .filter(|time| time.denominator() == 1)
        .and_then(|time| u16::try_from(time.round(Rounding::Nearest)).ok());
    read.and_then(|microseconds| RiseTime::microseconds(microseconds).ok())
        .ok_or_else(|| {
            Field::RiseTime.problem(
                format!("{} µs is no rise time that code has.", quoted(typed)),
                "A whole number from 1 to 200 would be right; 40 is what IEC 60461 clause 8.6 \
                     has, give or take 10."
                    .to_owned(),
            )
        })
}

/// Samples that the steepest edge takes from 10 to 90 %, behind the modulator's low-pass.
const STEEPEST: f64 = 1.06;
/// Edges that are asked to take fewer samples than this come out slower by a tenth or more.
const CARRIED: f64 = 1.32;
/// 10 to 90 % of a raised cosine is this part of its length: (2/π) asin 0.8.
const TEN_TO_NINETY: f64 = 0.590_334_470_6;

fn explain_rise_time(rise_time: RiseTime, hertz: u32, remarks: &mut Remarks) {
    let microseconds = |samples: f64| samples * 1e6 / f64::from(hertz);
    let asked = f64::from(rise_time.as_microseconds());
    if asked < microseconds(CARRIED) {
        remarks.note(
            Field::RiseTime,
            format!(
                "{} samples a second can't carry edges that steep: they come out slower, and {} \
                 µs is the steepest that there is.",
                thousands(hertz.into()),
                number(microseconds(STEEPEST), 0)
            ),
        );
    } else if !(30.0..=50.0).contains(&asked) {
        remarks.note(
            Field::RiseTime,
            "IEC 60461 clause 8.6 has 40 µs, give or take 10; readers take more than that.",
        );
    }
}

impl Sound {
    pub(crate) const fn channels(self) -> u16 {
        match self.beside {
            Beside::Nothing => 1,
            Beside::Silence | Beside::LineUp | Beside::Blips => 2,
        }
    }

    /// Whether samples have steps so fine that edges stay within a tenth of a sample of their
    /// places: they are off by half a step over the slope, and in its middle a raised cosine is
    /// π times as steep as its height over its length.
    fn fine_enough(self) -> Result<Self, Problem> {
        let bits = match self.encoding {
            Encoding::F32 | Encoding::F64 => return Ok(self),
            other => other.bits(),
        };
        let rise = f64::from(self.voice.rise_time.as_microseconds()) * 1e-6 * f64::from(self.hertz);
        let length = rise.max(STEEPEST) / TEN_TO_NINETY;
        let steps = 5.0 * length / PI;
        let lowest = 20.0 * (steps / f64::from(bits - 1).exp2()).log10();
        if self.voice.level.amplitude() >= 10.0_f64.powf(lowest / 20.0) {
            return Ok(self);
        }
        let finer = match self.encoding {
            Encoding::S16 => "24 bits or float",
            _ => "float",
        };
        Err(Field::Level.problem(
            format!("In {bits} bits that level has too few steps for edges to stay in place."),
            format!(
                "{} or higher would be right, or {finer}.",
                number(lowest.ceil(), 0)
            ),
        ))
    }
}
