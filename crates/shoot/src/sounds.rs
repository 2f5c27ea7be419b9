//! Two recordings lined up by what both heard, straight from their files.
//!
//! ```text
//! bytes of each ── SoundPrinter ── Print ── Heard ─┐
//!                  some places of each ── Heard ──┴ line_up ── SoundAnswer
//! ```

use crate::lineup::{SoundLine, SoundPrior};
use crate::report::ReportedError;
use crate::window::Window;
use plumbline_media::{Header, Samples};
pub use plumbline_sound::Print;
use plumbline_sound::{
    Found, Measured, PartsPerMillion, PrintMaker, Prior, Recording, Seconds, Side, Verdict,
};
use plumbline_timecode::SampleRate;
use plumbline_words::{number, odds, sentence};
use serde::Serialize;
use std::io::{self, Read, Seek};
use std::ops::Range;

/// The channels of a recording that carry code, counted from 0: what they hold is no sound of the
/// place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CodedChannels(pub Vec<u16>);

impl CodedChannels {
    /// The first channel that carries none.
    fn first_other(&self, header: &Header) -> Result<u16, ReportedError> {
        let other = (0..header.channels()).find(|channel| !self.0.contains(channel));
        other.ok_or_else(|| ReportedError {
            kind: "unsupported".into(),
            place: None,
            at: None,
            text: "there is code on every channel, and so no sound to line it up by".into(),
            remedy: "Choose a recording with sound on a channel of its own.".into(),
        })
    }
}

/// Makes the print of a recording as its bytes come: of the first channel without code.
#[derive(Debug)]
pub struct SoundPrinter {
    header: Header,
    samples: Samples,
    channel: u16,
    maker: PrintMaker,
}

impl SoundPrinter {
    /// Reads the header through `source`. The bytes of [`SoundPrinter::pieces`] are then to be
    /// pushed in order.
    ///
    /// # Errors
    /// Where there is no sound, none without code, or none at a rate of which prints are made.
    pub fn open(
        source: &mut (impl Read + Seek),
        coded: &CodedChannels,
    ) -> Result<SoundPrinter, ReportedError> {
        let header =
            plumbline_media::open(source).map_err(|error| ReportedError::of_places(&error))?;
        Ok(SoundPrinter {
            channel: coded.first_other(&header)?,
            maker: maker(&header)?,
            samples: Samples::new(&header).map_err(|error| ReportedError::from(&error))?,
            header,
        })
    }

    /// Where the sound stands in the file: these bytes, in this order.
    pub fn pieces(&self) -> Vec<Range<u64>> {
        self.header.sound()
    }

    /// Takes the next bytes of the pieces, in any number.
    pub fn push(&mut self, bytes: &[u8]) {
        let (channel, maker) = (self.channel, &mut self.maker);
        self.samples.push(bytes, &mut |first, planes| {
            take(maker, channel, first, planes);
        });
    }

    /// The print, when all bytes were pushed.
    pub fn finish(mut self) -> Print {
        let (channel, maker) = (self.channel, &mut self.maker);
        self.samples.finish(&mut |first, planes| {
            take(maker, channel, first, planes);
        });
        self.maker.finish()
    }
}

/// The samples of one channel, where they are among these.
fn take(maker: &mut PrintMaker, channel: u16, first: u16, planes: &[&[f32]]) {
    let own = channel.checked_sub(first).map(usize::from);
    maker.push(
        own.and_then(|own| planes.get(own))
            .copied()
            .unwrap_or_default(),
    );
}

fn maker(header: &Header) -> Result<PrintMaker, ReportedError> {
    let refused = |text: String| ReportedError {
        kind: "unsupported".into(),
        place: None,
        at: None,
        text,
        remedy: "Convert a copy to 48 kHz and take that.".into(),
    };
    let rate = SampleRate::hertz(header.sample_rate).map_err(|error| refused(error.to_string()))?;
    PrintMaker::new(rate).map_err(|error| refused(error.to_string()))
}

/// A recording with its print, whose sound can be read at any place.
#[derive(Debug)]
pub struct Heard<S> {
    print: Print,
    sound: Sound<S>,
}

/// One channel of a file.
#[derive(Debug)]
struct Sound<S> {
    source: S,
    header: Header,
    channel: u16,
}

impl<S: Read + Seek> Heard<S> {
    /// A file and the print that [`SoundPrinter`] made of it, with the same `coded`.
    ///
    /// # Errors
    /// Where the file can't be read any more, or has no channel without code.
    pub fn open(mut source: S, coded: &CodedChannels, print: Print) -> Result<Self, ReportedError> {
        let header =
            plumbline_media::open(&mut source).map_err(|error| ReportedError::of_places(&error))?;
        let channel = coded.first_other(&header)?;
        Ok(Heard {
            print,
            sound: Sound {
                source,
                header,
                channel,
            },
        })
    }
}

impl<S: Read + Seek> Recording for Sound<S> {
    type Error = io::Error;

    /// What the file has not, it has as silence.
    fn read(&mut self, first: u64, into: &mut [f32]) -> io::Result<()> {
        let window = Window {
            from: first,
            to: first.saturating_add(into.len() as u64),
        };
        let mut filled = 0;
        if let Some(part) = self.header.part(self.channel, window.from..window.to) {
            window.samples(&mut self.source, &part, &mut |samples| {
                let room = into.get_mut(filled..).unwrap_or_default();
                let count = samples.len().min(room.len());
                let (room, _) = room.split_at_mut(count);
                room.copy_from_slice(samples.get(..count).unwrap_or_default());
                filled += count;
            })?;
        }
        into.get_mut(filled..).unwrap_or_default().fill(0.0);
        Ok(())
    }
}

/// What came of lining up two recordings by their sound.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum SoundAnswer {
    /// They heard the same.
    Found {
        /// How they lie.
        line: SoundLine,
        /// The same in words.
        text: String,
    },
    /// There is no answer that is sure enough.
    Refused {
        /// Why not.
        text: String,
        /// What to do now.
        remedy: String,
    },
}

impl From<ReportedError> for SoundAnswer {
    fn from(error: ReportedError) -> Self {
        SoundAnswer::Refused {
            text: sentence(&error.text),
            remedy: error.remedy,
        }
    }
}

/// Where the sound of `second` puts it beside `first`, which is called `beside`; among the offsets of
/// the prior alone, where there is one.
///
/// # Errors
/// Where a file can't be read any more.
pub fn line_up<A: Read + Seek, B: Read + Seek>(
    beside: &str,
    first: &mut Heard<A>,
    second: &mut Heard<B>,
    prior: Option<SoundPrior>,
) -> Result<SoundAnswer, ReportedError> {
    let prior = prior.map(|prior| Prior {
        from: Seconds(prior.from),
        to: Seconds(prior.to),
    });
    let first = Side {
        print: &first.print,
        recording: &mut first.sound,
    };
    let second = Side {
        print: &second.print,
        recording: &mut second.sound,
    };
    let verdict = plumbline_sound::line_up(first, second, prior);
    Ok(
        match verdict.map_err(|error| ReportedError::gone(&error))? {
            Verdict::Found(found) => SoundAnswer::Found {
                line: line(beside, &found),
                text: in_words(&found),
            },
            Verdict::Refused(refusal) => SoundAnswer::Refused {
                text: refusal.text(),
                remedy: refusal.remedy().to_owned(),
            },
        },
    )
}

fn line(beside: &str, found: &Found) -> SoundLine {
    SoundLine {
        beside: beside.to_owned(),
        offset: found.offset.value.0,
        offset_uncertainty: found.offset.sigma.0,
        // The verdict has the first clock beside the second.
        drift_ppm: -found.drift.value.0,
        odds_log10: found.odds_log10,
    }
}

fn in_words(found: &Found) -> String {
    let Seconds(offset) = found.offset.value;
    format!(
        "It begins {} s {} the other, give or take {} ms: {} of {} places in the sound agree, and \
         the odds that this is no chance are {}. {}",
        number(offset.abs(), 4),
        if offset < 0.0 { "before" } else { "after" },
        number(found.offset.sigma.0 * 1e3, 2),
        found.windows,
        found.windows_of,
        odds(found.odds_log10),
        clocks(found.drift),
    )
}

/// How the clock of the second recording runs beside the first one's.
fn clocks(drift: Measured<PartsPerMillion>) -> String {
    let (PartsPerMillion(drift), PartsPerMillion(sigma)) = (drift.value, drift.sigma);
    let sure = number(sigma, 1);
    if drift.abs() <= sigma {
        return format!("Their clocks run alike, give or take {sure} ppm.");
    }
    let way = if drift > 0.0 { "slower" } else { "faster" };
    let drift = number(drift.abs(), 1);
    format!("Its clock runs {drift} ppm {way} than the other’s, give or take {sure}.")
}
