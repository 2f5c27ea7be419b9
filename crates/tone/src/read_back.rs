//! A file read back: whether it is what was asked for.

mod beginning;
mod comparison;
mod difference;
mod header;

use plumbline_ltc::Demodulator;
use plumbline_media::Blocks;
use plumbline_words::{counted, thousands};
use serde::Serialize;

use crate::Plan;
use beginning::Beginning;
use comparison::Comparison;
use difference::Difference;

/// Reads back the file that was made of a plan: its header, and every codeword with its place.
///
/// The bytes of the file are pushed in order, in pieces of any size, the header included. Memory
/// does not grow with them.
///
/// ```
/// use plumbline_tone::{AsAsked, Plan, Settings};
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let settings = Settings { length: "10 s".to_owned(), ..Settings::default() };
/// let plan = Plan::new(&settings).expect("the defaults are right");
/// let (mut writer, mut piece) = (plan.file()?, Vec::new());
/// let mut read_back = plan.read_back();
/// while writer.next_piece(&mut piece)? {
///     read_back.push(&piece);
/// }
/// let outcome = read_back.finish();
/// assert_eq!(outcome.as_asked, AsAsked::Yes);
/// assert_eq!(outcome.text, "250 codewords read back, all as asked.");
/// # Ok(())
/// # }
/// ```
#[derive(Debug)]
pub struct ReadBack {
    plan: Plan,
    /// How many bytes were pushed.
    bytes: u64,
    stage: Stage,
    comparison: Comparison,
}

#[derive(Debug)]
enum Stage {
    /// The header, as far as it has come.
    Header { bytes: Vec<u8>, wanted: usize },
    /// The header was read and sound follows.
    Sound(Box<Sound>),
    /// The header leaves no way to read on.
    Given,
}

#[derive(Debug)]
struct Sound {
    blocks: Blocks,
    demodulator: Demodulator,
}

/// What reading back came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Outcome {
    /// Whether the file is as asked.
    pub as_asked: AsAsked,
    /// In a sentence or two: how many codewords, and what differs first.
    pub text: String,
    /// What to do; empty where all is as asked.
    pub remedy: String,
}

/// Whether a file is what was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum AsAsked {
    /// Every codeword, its place, and what the file says of itself.
    Yes,
    /// Something differs.
    No,
}

impl Plan {
    /// Ready for the first byte of a file made of this plan.
    pub fn read_back(&self) -> ReadBack {
        let header = self.recording().header();
        ReadBack {
            plan: *self,
            bytes: 0,
            stage: Stage::Header {
                bytes: Vec::new(),
                wanted: header.map_or(0, |header| header.len()),
            },
            comparison: Comparison::new(*self),
        }
    }
}

impl ReadBack {
    /// Takes the next bytes of the file, in any number.
    pub fn push(&mut self, bytes: &[u8]) {
        self.bytes += bytes.len() as u64;
        let mut rest = bytes;
        if let Stage::Header {
            bytes: header,
            wanted,
        } = &mut self.stage
        {
            let missing = *wanted - header.len();
            let (now, later) = rest.split_at(missing.min(rest.len()));
            header.extend_from_slice(now);
            rest = later;
            if header.len() == *wanted {
                let header = std::mem::take(header);
                self.stage = self.opened(header);
            }
        }
        if let Stage::Sound(sound) = &mut self.stage {
            sound.push(rest, &mut self.comparison);
        }
    }

    /// The file's own header against the one that was asked for.
    fn opened(&mut self, bytes: Vec<u8>) -> Stage {
        let begins = bytes.len() as u64;
        let mut beginning = Beginning::new(bytes, self.plan.file_bytes());
        let header = match plumbline_media::open(&mut beginning) {
            Ok(header) => header,
            Err(error) => {
                self.comparison.differs(Difference::Header(error));
                return Stage::Given;
            }
        };
        if let Some(difference) = header::sound(&header, &self.plan.recording(), begins) {
            self.comparison.differs(difference);
            return Stage::Given;
        }
        if let Some(difference) = header::metadata(&header, &self.plan.recording()) {
            self.comparison.differs(difference);
        }
        // Code is on the first channel, which every recording has.
        let blocks = header
            .format()
            .and_then(|format| Blocks::of_channels(format, header.channels(), &[0]).ok());
        match blocks {
            Some(blocks) => Stage::Sound(Box::new(Sound {
                blocks,
                demodulator: Demodulator::new(self.plan.sound.sample_rate),
            })),
            None => Stage::Given,
        }
    }

    /// What all of it came to, once the last byte was pushed.
    pub fn finish(mut self) -> Outcome {
        let wanted = self.plan.file_bytes();
        if let Stage::Sound(sound) = &mut self.stage {
            sound.finish(&mut self.comparison);
        }
        if self.bytes != wanted {
            let found = self.bytes;
            self.comparison
                .differs_in_all(Difference::Length { found, wanted });
        }
        let total = self.plan.codeword_count();
        let read = self.comparison.as_asked();
        match self.comparison.into_difference() {
            None => Outcome {
                as_asked: AsAsked::Yes,
                text: format!("{} read back, all as asked.", counted(total, "codeword")),
                remedy: String::new(),
            },
            Some(difference) => Outcome {
                as_asked: AsAsked::No,
                text: format!(
                    "{} of {} read back as asked. {}",
                    thousands(read),
                    counted(total, "codeword"),
                    difference.told(&self.plan)
                ),
                remedy: difference.remedy().to_owned(),
            },
        }
    }
}

impl Sound {
    fn push(&mut self, bytes: &[u8], comparison: &mut Comparison) {
        let demodulator = &mut self.demodulator;
        self.blocks.push(bytes, &mut |channels| {
            for code in channels {
                demodulator.push(code, &mut |received| comparison.receive(&received));
            }
        });
    }

    fn finish(&mut self, comparison: &mut Comparison) {
        self.demodulator
            .finish(&mut |received| comparison.receive(&received));
        comparison.finish();
    }
}
