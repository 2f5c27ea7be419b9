//! A plan as the bytes of a file.

use plumbline_ltc::{Modulator, ModulatorError, Tone};
use plumbline_media::write::{WriteError, Writer};
use plumbline_timecode::Samples;
use thiserror::Error;

use crate::Plan;
use crate::beside::SecondChannel;

/// How many bytes a piece of the file has at least, but for the last one.
const PIECE: usize = 1 << 20;

/// Samples of silence at a time.
const SILENCE: usize = 4096;

/// Writes a plan as a file, piece by piece: memory does not grow with its length.
///
/// ```
/// use plumbline_tone::{Plan, Settings};
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let settings = Settings { length: "10 s".to_owned(), ..Settings::default() };
/// let plan = Plan::new(&settings).expect("the defaults are right");
/// let mut writer = plan.file()?;
/// let (mut file, mut piece) = (Vec::new(), Vec::new());
/// while writer.next_piece(&mut piece)? {
///     file.extend_from_slice(&piece);
/// }
/// assert_eq!(file.len() as u64, plan.file_bytes());
/// # Ok(())
/// # }
/// ```
#[derive(Debug)]
pub struct FileWriter {
    plan: Plan,
    /// None once all is written.
    writer: Option<Writer<Vec<u8>>>,
    modulator: Modulator,
    second_channel: SecondChannel,
    /// The number of the next codeword.
    next: u64,
    /// How many samples were written.
    samples: u64,
}

/// Why a file could not be written. A plan that was checked gives none of these.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum FileError {
    /// The code can't sound like this.
    #[error(transparent)]
    Sound(#[from] ModulatorError),
    /// The file can't be written like this.
    #[error(transparent)]
    Write(#[from] WriteError),
}

impl Plan {
    /// The file, to be written piece by piece.
    pub fn file(&self) -> Result<FileWriter, FileError> {
        Ok(FileWriter {
            plan: *self,
            writer: Some(Writer::new(Vec::new(), &self.recording())?),
            modulator: Modulator::new(self.tone())?,
            second_channel: SecondChannel::new(),
            next: 0,
            samples: 0,
        })
    }

    fn tone(&self) -> Tone {
        let voice = self.sound.voice;
        Tone {
            level: voice.level,
            rise_time: voice.rise_time,
            polarity: voice.polarity,
            ..Tone::new(self.timebase.rate(), self.sound.sample_rate)
        }
    }
}

impl FileWriter {
    /// Replaces what is in `piece` by the next bytes of the file, about a megabyte, the header
    /// first. False, and an empty piece, after the last one.
    pub fn next_piece(&mut self, piece: &mut Vec<u8>) -> Result<bool, FileError> {
        piece.clear();
        while let Some(mut writer) = self.writer.take() {
            if self.next == self.plan.codeword_count() {
                *piece = writer.finish()?;
                break;
            }
            self.step(&mut writer)?;
            let full = writer.sink_mut().len() >= PIECE;
            if full {
                std::mem::swap(writer.sink_mut(), piece);
            }
            self.writer = Some(writer);
            if full {
                break;
            }
        }
        Ok(!piece.is_empty())
    }

    /// Writes the next codeword, or some of the silence before it.
    fn step(&mut self, writer: &mut Writer<Vec<u8>>) -> Result<(), FileError> {
        let schedule = self.plan.schedule;
        if schedule.begins_run(self.next) {
            let silence = schedule.begins(self.next).sample - self.samples;
            if silence > 0 {
                return Ok(self.silence(silence, writer)?);
            }
            self.modulator.restart(Samples::whole(0))?;
        }
        let codeword = self.plan.codeword(self.next);
        self.second_channel.announce(&self.plan, self.next);
        let (second, samples) = (&mut self.second_channel, &mut self.samples);
        let mut written = Ok(());
        let mut write = |code: &[f32]| {
            if written.is_ok() {
                written = match self.plan.sound.channels() {
                    1 => writer.push(&[code]),
                    _ => writer.push(&[code, second.samples(*samples, code.len())]),
                };
                *samples += code.len() as u64;
            }
        };
        self.modulator.push(codeword, &mut write);
        self.next += 1;
        if schedule.begins_run(self.next) {
            self.modulator.finish(&mut write);
        }
        Ok(written?)
    }

    fn silence(&mut self, samples: u64, writer: &mut Writer<Vec<u8>>) -> Result<(), WriteError> {
        const NONE: [f32; SILENCE] = [0.0; SILENCE];
        let count = usize::try_from(samples).map_or(SILENCE, |samples| samples.min(SILENCE));
        let (silence, _) = NONE.split_at(count);
        self.samples += count as u64;
        match self.plan.sound.channels() {
            1 => writer.push(&[silence]),
            _ => writer.push(&[silence, silence]),
        }
    }
}
