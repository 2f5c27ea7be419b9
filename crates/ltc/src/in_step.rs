//! The channels of one recording, read in step.
//!
//! Where edges show the code of one channel, the time is known, and sound without code on the others
//! is weighed less and less often: at once, after four blocks, after sixteen, and then once in eight
//! minutes. Edges are looked at in glimpses then, an eighth of each second; where a glimpse looks like code,
//! all that came since the block before is looked at again. So plain code that begins late on another
//! channel is found where it begins, if it goes on for a second; code under noise, at the next of those
//! looks.
//!
//! Where edges show no code, but it is weighed on several channels and is the same on them, as on the
//! two tracks of a camera, they are heard together: see `robust/channels.rs`. So are those of which ten
//! seconds say too little of their start, each by itself.

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
            read(receivers);
            conclude(receivers);
            for (channel, receiver) in receivers.iter_mut().enumerate() {
                receiver.hand_out(&mut |evidence| found(channel, evidence));
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
        read(receivers);
        conclude(receivers);
    }
    for (channel, receiver) in receivers.iter_mut().enumerate() {
        receiver.finish_blocks(&mut |evidence| found(channel, evidence));
    }
}

/// Reads the next block of each channel. To a channel whose own edges show code it makes no difference
/// what is beside it: that is not weighed.
fn read(receivers: &mut [&mut Receiver]) {
    let mut with_blocks = receivers.iter().filter(|receiver| receiver.has_blocks());
    if with_blocks.any(|receiver| receiver.is_plain()) {
        return read_each(receivers, |_, receiver| receiver.read(Beside::PlainCode));
    }
    let weighed = sounds(receivers, Receiver::weighed);
    read_each(receivers, |channel, receiver| {
        receiver.read(Beside::Weighed(&of_others(&weighed, channel)));
    });
}

/// Concludes the group of blocks that ends here, if one does.
fn conclude(receivers: &mut [&mut Receiver]) {
    let groups = sounds(receivers, Receiver::group);
    for (channel, receiver) in receivers.iter_mut().enumerate() {
        receiver.conclude(&of_others(&groups, channel));
    }
}

/// Some sound of each channel, if there are others.
fn sounds(
    receivers: &[&mut Receiver],
    of: impl Fn(&Receiver) -> Option<&[f32]>,
) -> Vec<Option<Vec<f32>>> {
    if receivers.len() < 2 {
        return Vec::new();
    }
    let sounds = receivers.iter().map(|receiver| of(receiver));
    sounds.map(|sound| sound.map(<[f32]>::to_vec)).collect()
}

/// The sounds of all channels but one.
fn of_others(sounds: &[Option<Vec<f32>>], channel: usize) -> Vec<&[f32]> {
    let others = sounds.iter().enumerate();
    let others = others.filter(|(other, _)| *other != channel);
    others.filter_map(|(_, sound)| sound.as_deref()).collect()
}

fn read_each(receivers: &mut [&mut Receiver], read: impl Fn(usize, &mut Receiver)) {
    for (channel, receiver) in receivers.iter_mut().enumerate() {
        if receiver.has_blocks() {
            read(channel, receiver);
        }
    }
}
