//! How the tone sounds and how its samples are written.

use plumbline_ltc::{Level, Polarity, RiseTime};
use plumbline_media::Encoding;
use plumbline_timecode::{Fraction, Rounding, SampleRate};

use crate::Settings;
use crate::field::Field;
use crate::remarks::Remarks;
use crate::typed::{choice, decimal, quoted};
use plumbline_words::{Problem, number};

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

/// The lowest level in dBFS at which steps of 16 bits leave edges within a tenth of a sample of
/// their places.
const LOWEST_IN_16_BITS: i64 = -72;
const LOWEST: i64 = -120;

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
    let voice = voice(settings, encoding, remarks);
    if let (Some(hertz), Some(voice)) = (hertz, voice) {
        explain_rise_time(voice.rise_time, hertz, remarks);
    }
    Some(Sound {
        beside: beside(settings, remarks)?,
        hertz: hertz?,
        sample_rate: SampleRate::hertz(hertz?).ok()?,
        encoding: encoding?,
        voice: voice?,
    })
}

/// How the code itself sounds; `encoding` is none where samples are not written.
pub(crate) fn voice(
    settings: &Settings,
    encoding: Option<Encoding>,
    remarks: &mut Remarks,
) -> Option<Voice> {
    let level = remarks.keep(level(&settings.level, encoding));
    if let Some(level) = level {
        explain_level(level, remarks);
    }
    let rise_time = remarks.keep(rise_time(&settings.rise_time));
    let words = [
        ("upright", Polarity::Upright),
        ("inverted", Polarity::Inverted),
    ];
    let polarity = remarks.keep(choice(Field::Polarity, &settings.polarity, &words));
    Some(Voice {
        level: level?,
        rise_time: rise_time?,
        polarity: polarity?,
    })
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

fn level(typed: &str, encoding: Option<Encoding>) -> Result<Level, Problem> {
    let dbfs = decimal(typed).ok_or_else(|| {
        Field::Level.problem(
            format!("{} is no number.", quoted(typed)),
            "Type decibels against full scale, −120 to 0, such as −18.",
        )
    })?;
    let shown = number(dbfs.as_f64(), 6);
    if dbfs > Fraction::ZERO {
        return Err(Field::Level.problem(
            format!("{shown} dBFS is above full scale, where samples end."),
            "0 or lower would be right; −18 is the alignment level of EBU R 68.",
        ));
    }
    if encoding == Some(Encoding::S16) && dbfs < Fraction::whole(LOWEST_IN_16_BITS) {
        return Err(Field::Level.problem(
            format!("{shown} dBFS is too low for 16 bits: their steps would move the edges."),
            "−72 or higher would be right, or 24 bits.",
        ));
    }
    let out_of_reach = || {
        Field::Level.problem(
            format!("{shown} dBFS is too low to be of any use."),
            "−120 to 0 would be right; −18 is the alignment level of EBU R 68.",
        )
    };
    if dbfs < Fraction::whole(LOWEST) {
        return Err(out_of_reach());
    }
    Level::dbfs(dbfs.as_f64()).map_err(|_| out_of_reach())
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

/// Samples that the steepest edge takes from 10 to 90 %.
const STEEPEST: f64 = 1.06;

fn explain_rise_time(rise_time: RiseTime, hertz: u32, remarks: &mut Remarks) {
    let steepest = STEEPEST * 1e6 / f64::from(hertz);
    let asked = f64::from(rise_time.as_microseconds());
    if asked < steepest {
        remarks.note(
            Field::RiseTime,
            format!(
                "{hertz} samples a second can't carry edges that steep: they take about {} µs.",
                number(steepest, 0)
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
}
