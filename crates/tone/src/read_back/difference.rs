//! What a file has that was not asked for, in words.

use plumbline_ltc::Codeword;
use plumbline_media::MediaError;
use plumbline_words::{counted, number, thousands};

use crate::Plan;

/// What a file has that was not asked for, or the other way round.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Difference {
    /// Its header can't be read.
    Header(MediaError),
    /// Its header says something else.
    Says {
        what: &'static str,
        found: String,
        wanted: String,
    },
    /// What it says of itself is something else, in that chunk.
    Metadata(&'static str),
    /// It is longer or shorter.
    Length { found: u64, wanted: u64 },
    /// A codeword was not found; its number of all.
    Missing(u64),
    /// A codeword where none was asked for.
    Extra { codeword: Codeword, sample: u64 },
    /// A codeword that says something else.
    Bits { number: u64, codeword: Codeword },
    /// A codeword that runs backwards.
    Backwards(u64),
    /// A codeword that begins so many samples late; below 0 early.
    Place { number: u64, off: f64 },
}

impl Difference {
    /// What differs, and where.
    pub(super) fn told(&self, plan: &Plan) -> String {
        let at = |number: u64| {
            let sample = plan.schedule.begins(number).sample;
            format!("{} at sample {}", plan.address(number), thousands(sample))
        };
        match self {
            Self::Header(error) => format!("The header of the file can't be read: {error}."),
            Self::Says {
                what,
                found,
                wanted,
            } => format!("The header of the file has {found} for {what}, not {wanted}."),
            Self::Metadata(chunk) => {
                format!("What the file says of itself ({chunk}) is not what was asked for.")
            }
            Self::Length { found, wanted } => format!(
                "The file has {}, not {}.",
                counted(*found, "byte"),
                thousands(*wanted)
            ),
            Self::Missing(number) => format!("First, {} was not found.", at(*number)),
            Self::Extra { codeword, sample } => format!(
                "First, {} was found at sample {}, where no codeword belongs.",
                codeword.digits(),
                thousands(*sample)
            ),
            Self::Bits { number, codeword } => format!(
                "First, {} has the bits {}, not {}.",
                at(*number),
                hex(*codeword),
                hex(plan.codeword(*number))
            ),
            Self::Backwards(number) => format!("First, {} runs backwards.", at(*number)),
            Self::Place {
                number: codeword,
                off,
            } => {
                let way = if *off > 0.0 { "late" } else { "early" };
                format!(
                    "First, {} begins {} samples {way}.",
                    at(*codeword),
                    number(off.abs(), 2)
                )
            }
        }
    }

    /// What to do about it.
    pub(super) const fn remedy(&self) -> &'static str {
        match self {
            Self::Length { .. } => {
                "Make the file again and let it finish; see that there is room for it."
            }
            Self::Header(_) | Self::Says { .. } | Self::Metadata(_) => {
                "Make the file again, and choose the one that was made from these settings."
            }
            Self::Missing(_)
            | Self::Extra { .. }
            | Self::Bits { .. }
            | Self::Backwards(_)
            | Self::Place { .. } => {
                "Do not use this file. Make it again; if it differs again, save it to another disk."
            }
        }
    }
}

/// The ten bytes, the one that is sent first first.
fn hex(codeword: Codeword) -> String {
    codeword.0.map(|byte| format!("{byte:02X}")).join(" ")
}
