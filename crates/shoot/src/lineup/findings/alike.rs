//! What should be the same in all recordings, or in all of one device, and is not.

use super::super::place::timebase;
use super::super::shoot::ShootFindingKind as Kind;
use super::{Found, Known, named};
use crate::summary::CodeLine;
use std::collections::BTreeMap;

/// Devices of which a recording runs or counts otherwise than the shoot.
pub(super) fn rates(known: &Known<'_>) -> Vec<Found> {
    let wanted = known.clock.timebase;
    let devices = known.devices.iter().enumerate();
    devices
        .filter_map(|(number, device)| {
            let own: Vec<(usize, &CodeLine)> = known
                .of(number)
                .filter_map(|(number, recording)| {
                    let code = recording.entry.summary.codes.first()?;
                    let own = timebase(&code.rate, code.drop_frame)?;
                    (own != wanted).then_some((number, code))
                })
                .collect();
            let &(first, code) = own.first()?;
            let own_timebase = timebase(&code.rate, code.drop_frame)?;
            let numbers: Vec<usize> = own.iter().map(|(number, _)| *number).collect();
            let at = known
                .recordings
                .get(first)?
                .placed
                .map(|placed| placed.from);
            Some(Found {
                kind: Kind::OtherRate,
                heading: format!("{}: another rate", device.name),
                place: named(known.recordings, &numbers),
                text: format!(
                    "Its code is {own_timebase}, the others’ is {wanted}. The device, or what fed \
                     it, was set otherwise. It is placed where its digits say, which is right at \
                     the moment of the jam and less so the longer after."
                ),
                remedy:
                    "Check it by a slate. In the edit, interpret it at its own rate; next time \
                         set all devices before the first jam."
                        .into(),
                at,
                device: Some(number),
                recordings: numbers,
                said: (device.name.clone(), format!("runs at {own_timebase}")),
            })
        })
        .collect()
}

/// Devices of which some recordings have other user bits than the most.
pub(super) fn user_bits(known: &Known<'_>) -> Vec<Found> {
    let devices = known.devices.iter().enumerate();
    devices
        .filter_map(|(number, device)| {
            let mut by_bits: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
            for (number, recording) in known.of(number) {
                let code = recording.entry.summary.codes.first();
                if let Some(bits) = code.and_then(|code| code.user_bits.as_deref()) {
                    by_bits.entry(bits).or_default().push(number);
                }
            }
            let (most, _) = by_bits.iter().max_by_key(|(_, numbers)| numbers.len())?;
            let most = *most;
            let others: Vec<(&str, &Vec<usize>)> = by_bits
                .iter()
                .filter(|(bits, _)| **bits != most)
                .map(|(b, n)| (*b, n))
                .collect();
            // Bits that are another in every recording are a counter or a take number.
            if others.is_empty() || by_bits.len() > 3 {
                return None;
            }
            let (bits, _) = others.first()?;
            let numbers: Vec<usize> = others.iter().flat_map(|(_, n)| n.iter().copied()).collect();
            let at = known
                .recordings
                .get(*numbers.first()?)?
                .placed
                .map(|placed| placed.from);
            Some(Found {
                kind: Kind::UserBits,
                heading: format!("{}: user bits differ", device.name),
                place: named(known.recordings, &numbers),
                text: format!(
                    "The user bits are {bits} there and {most} in its other recordings. Another \
                     device fed it, or its user bits were set anew."
                ),
                remedy: "If they carry a date or a roll, note which recordings have the wrong one."
                    .into(),
                at,
                device: Some(number),
                recordings: numbers,
                said: (device.name.clone(), "changes its user bits".into()),
            })
        })
        .collect()
}
