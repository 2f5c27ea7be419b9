//! The channels of one recording, read in step.
//!
//! Where edges show the code of one channel, the time is known, and sound without code on the others
//! is weighed less and less often: after three blocks, four, eight, sixteen, and in the end once in two
//! minutes. Edges are looked at everywhere all the same, so plain code that begins late on
//! another channel is found where it begins; code under noise may be found as late again as it began.

use crate::receiver::Beside;
use crate::{Evidence, Receiver};

/// Gives channels their next samples, as many to each, and hands out what is found with the number
/// of its channel. They must always have been given as many as each other.
///
/// ```
/// use plumbline_ltc::{Receiver, finish_in_step, push_in_step};
/// use plumbline_timecode::SampleRate;
/// let rate = SampleRate::hertz(48_000)?;
/// let (mut left, mut right) = (Receiver::new(rate), Receiver::new(rate));
/// let mut evidence = Vec::new();
/// let planes: [&[f32]; 2] = [&[0.0; 4800], &[0.1; 4800]];
/// push_in_step(&mut [&mut left, &mut right], &planes, &mut |channel, found| {
///     evidence.push((channel, found));
/// });
/// finish_in_step(&mut [&mut left, &mut right], &mut |channel, found| {
///     evidence.push((channel, found));
/// });
/// assert!(evidence.is_empty());
/// # Ok::<(), plumbline_timecode::SampleRateError>(())
/// ```
pub fn push_in_step(
    receivers: &mut [&mut Receiver],
    planes: &[&[f32]],
    found: &mut impl FnMut(usize, Evidence),
) {
    let length = planes.iter().map(|plane| plane.len()).min().unwrap_or(0);
    let mut taken = 0;
    while taken < length {
        let room = receivers.iter().map(|receiver| receiver.room()).min();
        let until = length.min(taken + room.unwrap_or(length));
        for (receiver, plane) in receivers.iter_mut().zip(planes) {
            receiver.take(&plane[taken..until], &mut |_| ());
        }
        taken = until;
        if room.is_some() && receivers.iter().all(|receiver| receiver.room() == 0) {
            let beside = beside(receivers);
            for (channel, receiver) in receivers.iter_mut().enumerate() {
                receiver.read_next(beside, &mut |evidence| found(channel, evidence));
            }
        }
    }
}

/// Tells channels that their input has ended: hands out what was still in hand. All are then as new.
pub fn finish_in_step(receivers: &mut [&mut Receiver], found: &mut impl FnMut(usize, Evidence)) {
    for receiver in receivers.iter_mut() {
        receiver.take_end();
    }
    while receivers.iter().any(|receiver| receiver.has_blocks()) {
        let beside = beside(receivers);
        for receiver in receivers
            .iter_mut()
            .filter(|receiver| receiver.has_blocks())
        {
            receiver.read(beside);
        }
    }
    for (channel, receiver) in receivers.iter_mut().enumerate() {
        receiver.finish_blocks(&mut |evidence| found(channel, evidence));
    }
}

/// What the next block has on any channel. To the channel itself that makes no difference: what edges
/// show is not weighed.
fn beside(receivers: &[&mut Receiver]) -> Beside {
    let mut read = receivers.iter().filter(|receiver| receiver.has_blocks());
    if read.any(|receiver| receiver.is_plain()) {
        Beside::PlainCode
    } else {
        Beside::Nothing
    }
}
