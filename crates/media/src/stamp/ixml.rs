//! iXML with another start, or a new one.

use std::ops::Range;

use super::portion::Portions;
use super::{Stamp, rate_and_flag};
use crate::ixml::{Change, Wanted};
use crate::{Header, Ixml, Malformed, Speed};

/// What has to change in the content of an iXML chunk.
pub(super) fn changes(
    content: &[u8],
    header: &Header,
    stamp: &Stamp,
) -> Result<Vec<Change>, Malformed> {
    let (rate, flag) = rate_and_flag(stamp.timebase);
    let said = Ixml::read(content).0.and_then(|ixml| ixml.speed);
    let is_said = said.and_then(|speed| speed.timebase()) == Some(stamp.timebase);
    let wanted = Wanted {
        samples_since_midnight: stamp.time_reference,
        sample_rate: header.sample_rate,
        rate_and_flag: (!is_said).then_some((&rate, flag)),
        tape: stamp.tape.as_deref(),
        channels: &stamp.channels,
    };
    Ixml::changes(content, &wanted)
}

/// The content with what has changed.
pub(super) fn changed(content: &Range<u64>, changes: &[Change]) -> Portions {
    let mut portions = Portions::default();
    let mut at = content.start;
    for (range, bytes) in changes {
        portions.keep(at..content.start + range.start as u64);
        portions.put(bytes);
        at = content.start + range.end as u64;
    }
    portions.keep(at..content.end);
    portions
}

/// What a stamped file says where it said nothing; of an even length.
pub(super) fn new(header: &Header, stamp: &Stamp) -> Vec<u8> {
    let (rate, flag) = rate_and_flag(stamp.timebase);
    let ixml = Ixml {
        tape: stamp.tape.clone(),
        speed: Some(Speed {
            timecode_rate: Some(rate),
            timecode_flag: Some(flag.to_owned()),
            samples_since_midnight: Some(stamp.time_reference),
            timestamp_sample_rate: Some(header.sample_rate),
            ..Speed::default()
        }),
        ..Ixml::default()
    };
    let mut document = ixml.to_xml().into_bytes();
    document.resize(document.len().next_multiple_of(2), b'\n');
    document
}
