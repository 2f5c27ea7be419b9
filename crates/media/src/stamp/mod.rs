//! Stamped copies of WAVs: the start time set, everything else as it was.
//!
//! A copy is planned from the header alone, as a list of portions: new bytes, ranges of the
//! original as they are, and sound of which channels are left out. [`CopyWriter`] is then handed
//! the bytes of the original and gives those of the copy; [`ReadBack`] compares what was written.
//! Neither holds more than a block, so memory does not grow with the recording.
//!
//! | in the copy                   | is                                                         |
//! |-------------------------------|------------------------------------------------------------|
//! | the sound                     | that of the original, but for channels that are left out   |
//! | `bext`                        | the original's with another time reference, or a new one   |
//! | `iXML`                        | the original's with other values in the elements that state the start and the rate, or a new one |
//! | `fmt`                         | the original's, unless channels are left out               |
//! | every other chunk             | the original's, at its place                               |
//! | lengths                       | right, also where the original's were never filled in      |
//!
//! A WAV that grows past 4 GiB becomes RF64 (EBU Tech 3306 clause 3.5: in the place of a `JUNK`
//! chunk, where one stands in reserve); an RF64 stays one, and so does a BW64, however short.

mod bext;
mod channels;
mod chunks;
mod error;
mod fmt;
mod frames;
mod ixml;
mod lengths;
mod portion;
mod read_back;
mod writer;

use std::io::{Read, Seek};
use std::ops::Range;

use plumbline_timecode::Timebase;

use crate::cursor::Cursor;
use crate::ranges::joined;
use crate::{Container, Header, wav};

pub use channels::Channels;
pub use error::{Difference, Remark, StampError};
pub use portion::Portion;
pub use read_back::ReadBack;
pub use writer::{CopyWriter, Written};

use chunks::Plan;

/// What a copy is to say of its start.
///
/// A time reference is a whole number of samples (EBU Tech 3285 clause 2.3), so whoever knows the
/// start more finely rounds it to the nearest and tells what is left over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// The first sample, counted from midnight at the file's own sample rate.
    pub time_reference: u64,
    /// The rate and the count of the code.
    pub timebase: Timebase,
    /// The sound roll; none leaves what the file says.
    pub tape: Option<String>,
    /// Which channels the copy has.
    pub channels: Channels,
}

/// A copy that can be made of a WAV.
///
/// ```
/// use std::io::Cursor;
/// use plumbline_media::{Encoding, open, write::{Recording, Writer}};
/// use plumbline_media::stamp::{Channels, Stamp, StampedCopy};
/// use plumbline_timecode::{Rate, Timebase};
///
/// let mut original = Vec::new();
/// let mut writer = Writer::new(&mut original, &Recording::new(48_000, 2, Encoding::S24, 3))?;
/// writer.push(&[&[0.0, 0.5, -0.5], &[0.25; 3]])?;
/// writer.finish()?;
///
/// let copy = StampedCopy::plan(&mut Cursor::new(&original), &Stamp {
///     time_reference: 1_728_000_000,
///     timebase: Timebase::non_drop(Rate::F25),
///     tape: None,
///     channels: Channels::without([1]),
/// })?;
/// let (mut writer, mut file) = (copy.writer(), Vec::new());
/// for range in copy.pieces() {
///     let range = usize::try_from(range.start)?..usize::try_from(range.end)?;
///     // In blocks of any size.
///     for block in original[range].chunks(5) {
///         writer.push(block, &mut file);
///     }
/// }
/// let written = writer.finish(&mut file).expect("all pieces were pushed");
///
/// let mut read_back = copy.read_back(&mut Cursor::new(&file), written)?;
/// file.chunks(7).for_each(|block| read_back.push(block));
/// read_back.finish()?;
/// let header = open(&mut Cursor::new(&file))?;
/// assert_eq!(header.channels(), 1);
/// assert_eq!(header.bext.expect("was added").time_reference, 1_728_000_000);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct StampedCopy {
    portions: Vec<Portion>,
    /// What stays of a sample frame.
    frame: frames::Frame,
    container: Container,
    original: Header,
    stamp: Stamp,
    remarks: Vec<Remark>,
}

impl StampedCopy {
    /// Plans a copy of the WAV in `source`, of which the header is read.
    pub fn plan(source: &mut (impl Read + Seek), stamp: &Stamp) -> Result<Self, StampError> {
        let container = crate::open(source)?.container;
        if container.riff().is_none() {
            return Err(StampError::NotWav { container });
        }
        let mut cursor = Cursor::new(source)?;
        let layout = wav::layout(&mut cursor)?;
        Plan::new(&layout, stamp, &mut cursor)?.copy()
    }

    /// The copy from its first byte to its last.
    pub fn portions(&self) -> &[Portion] {
        &self.portions
    }

    /// What of the original is needed, in the order in which it stands there.
    pub fn pieces(&self) -> Vec<Range<u64>> {
        joined(self.portions.iter().filter_map(Portion::original).cloned())
    }

    /// How long the copy will be, in bytes.
    pub fn len(&self) -> u64 {
        let lengths = self.portions.iter().map(|part| part.len(&self.frame));
        lengths.sum()
    }

    /// Never: a WAV has a header.
    pub fn is_empty(&self) -> bool {
        self.portions.is_empty()
    }

    /// Which kind of WAV it is.
    pub const fn container(&self) -> Container {
        self.container
    }

    /// What the original's header says.
    pub const fn original(&self) -> &Header {
        &self.original
    }

    /// What it was asked to say.
    pub const fn stamp(&self) -> &Stamp {
        &self.stamp
    }

    /// How many channels it has.
    pub fn channels(&self) -> u16 {
        self.stamp.channels.count(self.original.channels())
    }

    /// What somebody should know who uses the copy.
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }

    /// Ready for the first of the original's bytes.
    pub fn writer(&self) -> CopyWriter {
        CopyWriter::new(self)
    }

    /// Reads the header of a finished copy; all of its bytes are then to be pushed.
    pub fn read_back(
        &self,
        copy: &mut (impl Read + Seek),
        written: Written,
    ) -> Result<ReadBack, Difference> {
        ReadBack::open(self, copy, written)
    }
}

/// How iXML writes the rate and the flag.
fn rate_and_flag(timebase: Timebase) -> (String, &'static str) {
    let rate = timebase.rate().fraction();
    let flag = if timebase.count().is_drop() {
        "DF"
    } else {
        "NDF"
    };
    (format!("{}/{}", rate.numerator(), rate.denominator()), flag)
}
