//! A finished copy, read again and compared.

use std::io::{Read, Seek};
use std::ops::Range;

use crc32fast::Hasher;

use super::writer::within;
use super::{Difference, Remark, StampedCopy, Written};
use crate::{Bext, Header, Ixml, MediaError, Speed};

/// Reads a finished copy again: its header first, and then all of its bytes as they come.
#[derive(Debug, Clone)]
pub struct ReadBack {
    written: Written,
    /// Where the copy has it.
    sound: Range<u64>,
    at: u64,
    whole: Hasher,
    kept: Hasher,
}

impl ReadBack {
    pub(super) fn open(
        copy: &StampedCopy,
        source: &mut (impl Read + Seek),
        written: Written,
    ) -> Result<Self, Difference> {
        let header = crate::open(source)?;
        let cut = header.problems.iter();
        let mut cut = cut.filter(|problem| matches!(problem, MediaError::Truncated { .. }));
        if let Some(problem) = cut.next() {
            return Err(Difference::Problem(problem.clone()));
        }
        match difference(copy, &header) {
            Some(what) => Err(Difference::Header { what }),
            None => Ok(Self {
                written,
                sound: header.data(),
                at: 0,
                whole: Hasher::new(),
                kept: Hasher::new(),
            }),
        }
    }

    /// Takes the copy's next bytes, in any number.
    pub fn push(&mut self, bytes: &[u8]) {
        self.whole.update(bytes);
        self.kept.update(within(&self.sound, self.at, bytes));
        self.at += bytes.len() as u64;
    }

    /// Whether it has the original's sound, and every byte that was written.
    pub fn finish(self) -> Result<(), Difference> {
        let Written {
            bytes,
            whole,
            sound,
        } = self.written;
        if self.at != bytes {
            return Err(Difference::Length {
                found: self.at,
                right: bytes,
            });
        }
        if self.kept.finalize() != sound {
            return Err(Difference::Sound);
        }
        if self.whole.finalize() != whole {
            return Err(Difference::Bytes);
        }
        Ok(())
    }
}

/// What the copy's header says that it should not.
fn difference(copy: &StampedCopy, header: &Header) -> Option<&'static str> {
    let original = &copy.original;
    let reference = header.bext.as_ref().map(|bext| bext.time_reference);
    let right = [
        ("kind", header.container == copy.container),
        ("sample rate", header.sample_rate == original.sample_rate),
        ("number of channels", header.channels() == copy.channels()),
        ("sample format", header.format() == original.format()),
        ("length", header.sample_frames == original.sample_frames),
        (
            "time reference",
            reference == Some(copy.stamp.time_reference),
        ),
        ("bext", bext(original, copy) == bext(header, copy)),
        (
            "start in the iXML",
            ixml_is_left(copy) || start(header, copy),
        ),
        ("iXML", ixml(original, copy) == ixml(header, copy)),
    ];
    let wrong = right.into_iter().find(|&(_, is_right)| !is_right);
    wrong.map(|(what, _)| what)
}

/// The bext without what is stamped.
fn bext(header: &Header, copy: &StampedCopy) -> Option<Bext> {
    copy.original.bext.as_ref()?;
    Some(Bext {
        time_reference: 0,
        ..header.bext.clone()?
    })
}

fn ixml_is_left(copy: &StampedCopy) -> bool {
    let mut remarks = copy.remarks.iter();
    remarks.any(|remark| matches!(remark, Remark::IxmlLeft(_)))
}

fn start(header: &Header, copy: &StampedCopy) -> bool {
    let speed = header.ixml.as_ref().and_then(|ixml| ixml.speed.as_ref());
    let stamp = &copy.stamp;
    speed.is_some_and(|speed| {
        speed.samples_since_midnight == Some(stamp.time_reference)
            && speed.timestamp_sample_rate == Some(header.sample_rate)
            && speed.timebase() == Some(stamp.timebase)
    })
}

/// The iXML without what is stamped, and without the tracks, of which some may be left out.
fn ixml(header: &Header, copy: &StampedCopy) -> Option<Ixml> {
    copy.original.ixml.as_ref()?;
    let mut ixml = header.ixml.clone()?;
    if copy.stamp.tape.is_some() && !ixml_is_left(copy) {
        ixml.tape = None;
    }
    let speed = ixml.speed.take().unwrap_or_default();
    ixml.speed = Some(Speed {
        timecode_rate: None,
        timecode_flag: None,
        samples_since_midnight: None,
        timestamp_sample_rate: None,
        ..speed
    });
    if let Some(bext) = &mut ixml.bext {
        bext.time_reference = None;
    }
    if !copy.stamp.channels.are_all() {
        ixml.tracks.clear();
    }
    Some(ixml)
}
