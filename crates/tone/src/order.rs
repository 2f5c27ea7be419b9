//! Code to be played live: all that its player needs to know, in a few bytes.

use plumbline_ltc::{Codeword, ColourFrame, Flags, Level, Polarity, RiseTime, RiseTimeError, Tone};
use plumbline_timecode::st309::{Day, Stamp, ZoneMeaning};
use plumbline_timecode::{
    AddressError, BinaryGroupFlags, Count, Frames, GroupContent, Rate, TimeAddress, Timebase,
    TimebaseError, UserBits,
};
use thiserror::Error;

use crate::content::{Content, Groups};
use crate::{OutputRate, OutputRateError};
use plumbline_words::user_bits::YEARS;

/// Code to be played live. It never ends, and its peaks are at 0 dBFS: how loud it comes out is
/// left to whoever plays it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Order {
    /// Of its codewords: 30 a second at most.
    pub(crate) timebase: Timebase,
    /// The address of the first codeword.
    pub(crate) first: TimeAddress,
    pub(crate) content: Content,
    pub(crate) output_rate: OutputRate,
    pub(crate) rise_time: RiseTime,
    pub(crate) polarity: Polarity,
    pub(crate) heard: Heard,
    pub(crate) begins: Begins,
}

/// What is heard of live code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Heard {
    /// The code.
    Code,
    /// Nothing but a beep with each flash of the screen.
    Beeps,
}

/// When live code begins. Samples are those of the output that plays it, counted from its first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Begins {
    /// As soon as can be, with the first codeword.
    AtOnce,
    /// As soon as can be, with the codeword whose turn it then is, if that of the first one was
    /// or will be at this sample.
    Counted(i64),
}

/// Why bytes are no order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum OrderError {
    /// There are too few or too many.
    #[error("an order has {} bytes, and these are {found}", Order::BYTES)]
    Length {
        /// How many.
        found: usize,
    },
    /// One stands for nothing.
    #[error("byte {at} of the order is {found}, which stands for nothing there")]
    Byte {
        /// Which one, counted from 0.
        at: usize,
        /// What it is.
        found: u8,
    },
    /// The rate and the count do not go together.
    #[error(transparent)]
    Timebase(#[from] TimebaseError),
    /// There is no such frame.
    #[error(transparent)]
    Address(#[from] AddressError),
    /// The flags say that the user bits are a date and a zone, and they are none that is sent.
    #[error("the user bits {0} are no date and zone")]
    DateAndZone(UserBits),
    /// No edge is so steep, or so slow.
    #[error(transparent)]
    RiseTime(#[from] RiseTimeError),
    /// No output has that sample rate.
    #[error(transparent)]
    OutputRate(#[from] OutputRateError),
}

const RATES: [Rate; 5] = [Rate::F23_976, Rate::F24, Rate::F25, Rate::F29_97, Rate::F30];
const COUNTS: [Count; 4] = [Count::F24, Count::F25, Count::F30, Count::F30Drop];
const POLARITIES: [Polarity; 2] = [Polarity::Upright, Polarity::Inverted];
const COLOUR_FRAMES: [ColourFrame; 2] = [ColourFrame::Unspecified, ColourFrame::Followed];
const HEARD: [Heard; 2] = [Heard::Code, Heard::Beeps];

impl Order {
    /// How many bytes it has.
    pub const BYTES: usize = 32;

    /// How it sounds, from its first edge on.
    pub fn tone(&self) -> Tone {
        Tone {
            level: Level::FULL_SCALE,
            rise_time: self.rise_time,
            polarity: self.polarity,
            ..Tone::new(self.timebase.rate(), self.output_rate.exact())
        }
    }

    /// How its codewords follow each other and count: 30 a second at most.
    pub const fn timebase(&self) -> Timebase {
        self.timebase
    }

    /// At how many samples a second it is played.
    pub const fn output_rate(&self) -> OutputRate {
        self.output_rate
    }

    /// What is heard of it.
    pub const fn heard(&self) -> Heard {
        self.heard
    }

    /// When it begins.
    pub const fn begins(&self) -> Begins {
        self.begins
    }

    /// The address of a codeword, counted from the first; below 0 before it. Past midnight they
    /// begin again.
    pub fn address(&self, number: i64) -> TimeAddress {
        self.first.plus_wrapping(Frames(number))
    }

    /// A codeword, counted likewise.
    pub fn codeword(&self, number: i64) -> Codeword {
        self.content.codeword(self.first, number)
    }

    /// The order as bytes; numbers have their lowest byte first.
    ///
    /// | bytes    | are                                                       |
    /// |----------|-----------------------------------------------------------|
    /// | 0        | 1, for this layout                                        |
    /// | 1, 2     | rate and count, by their places among those of codewords  |
    /// | 3 to 7   | polarity, flags, colour frame, sound, when it begins      |
    /// | 8 to 11  | hours, minutes, seconds and frames of the first codeword  |
    /// | 12 to 15 | user bits                                                 |
    /// | 16 to 19 | output rate, in hertz                                     |
    /// | 20 to 23 | rise time, in microseconds                                |
    /// | 24 to 31 | the sample at which the first codeword begins, with a sign |
    pub fn to_bytes(&self) -> [u8; Self::BYTES] {
        let Content {
            groups,
            binary_group_flags,
            flags,
        } = self.content;
        let first = self.first;
        let (begins, sample) = match self.begins {
            Begins::AtOnce => (0, 0),
            Begins::Counted(sample) => (1, sample),
        };
        let choices = [
            1,
            place(&self.timebase.rate(), &RATES),
            place(&first.count(), &COUNTS),
            place(&self.polarity, &POLARITIES),
            binary_group_flags.bits(),
            place(&flags.colour_frame, &COLOUR_FRAMES),
            place(&self.heard, &HEARD),
            begins,
        ];
        let address = [
            first.hours(),
            first.minutes(),
            first.seconds(),
            first.frames(),
        ];
        let mut bytes = [0; Self::BYTES];
        bytes[..8].copy_from_slice(&choices);
        bytes[8..12].copy_from_slice(&address);
        bytes[12..16].copy_from_slice(&groups.on_day(0).0.to_le_bytes());
        bytes[16..20].copy_from_slice(&self.output_rate.as_hertz().to_le_bytes());
        bytes[20..22].copy_from_slice(&self.rise_time.as_microseconds().to_le_bytes());
        bytes[24..].copy_from_slice(&sample.to_le_bytes());
        bytes
    }

    /// The order that bytes are, if they are one.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, OrderError> {
        let bytes: &[u8; Self::BYTES] =
            (bytes.try_into()).map_err(|_| OrderError::Length { found: bytes.len() })?;
        if bytes[0] != 1 {
            return Err(OrderError::Byte {
                at: 0,
                found: bytes[0],
            });
        }
        let count = chosen(&COUNTS, bytes, 2)?;
        let [hours, minutes, seconds, frames] = part(bytes, 8);
        let binary_group_flags = chosen(&BinaryGroupFlags::ALL, bytes, 4)?;
        let colour_frame = chosen(&COLOUR_FRAMES, bytes, 5)?;
        let user_bits = UserBits(u32::from_le_bytes(part(bytes, 12)));
        let rise_time = u32::from_le_bytes(part(bytes, 20));
        let sample = i64::from_le_bytes(part(bytes, 24));
        Ok(Self {
            timebase: Timebase::new(chosen(&RATES, bytes, 1)?, count)?,
            first: TimeAddress::new(count, hours, minutes, seconds, frames)?,
            content: Content {
                groups: groups(user_bits, binary_group_flags)
                    .ok_or(OrderError::DateAndZone(user_bits))?,
                binary_group_flags,
                flags: Flags { colour_frame },
            },
            output_rate: OutputRate::hertz(u32::from_le_bytes(part(bytes, 16)))?,
            rise_time: RiseTime::microseconds(u16::try_from(rise_time).unwrap_or(u16::MAX))?,
            polarity: chosen(&POLARITIES, bytes, 3)?,
            heard: chosen(&HEARD, bytes, 6)?,
            begins: chosen(&[Begins::AtOnce, Begins::Counted(sample)], bytes, 7)?,
        })
    }
}

/// What user bits hold, with those flags; none where they are to be a date and zone of the form
/// that is sent, and are not.
fn groups(user_bits: UserBits, flags: BinaryGroupFlags) -> Option<Groups> {
    if flags.groups() != GroupContent::DateAndZone {
        return Some(Groups::Same(user_bits));
    }
    let stamp = Stamp::read(user_bits).ok()?;
    let (Day::Local(day), ZoneMeaning::Offset(zone)) = (stamp.day, stamp.zone.meaning()) else {
        return None;
    };
    let century = YEARS.start() / 100 + u16::from(u16::from(day.year()) < YEARS.start() % 100);
    let date = day.in_century(u8::try_from(century).ok()?).ok()?;
    let groups = Groups::DateAndZone { date, zone };
    (groups.on_day(0) == user_bits).then_some(groups)
}

/// The place of a choice in its list.
fn place<T: PartialEq>(choice: &T, choices: &[T]) -> u8 {
    let place = choices.iter().position(|each| each == choice);
    place
        .and_then(|place| u8::try_from(place).ok())
        .unwrap_or(u8::MAX)
}

/// The choice whose place in its list is a byte.
fn chosen<T: Copy>(choices: &[T], bytes: &[u8; Order::BYTES], at: usize) -> Result<T, OrderError> {
    let found = bytes.get(at).copied().unwrap_or(u8::MAX);
    (choices.get(usize::from(found)).copied()).ok_or(OrderError::Byte { at, found })
}

/// So many bytes from `at` on.
fn part<const N: usize>(bytes: &[u8; Order::BYTES], at: usize) -> [u8; N] {
    std::array::from_fn(|index| bytes.get(at + index).copied().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::st309::UtcOffset;
    use plumbline_timecode::{Date, FrameNumber};
    use proptest::prelude::*;

    fn order(content: Content, begins: Begins) -> Order {
        let first = TimeAddress::midnight(Count::F25);
        Order {
            timebase: Timebase::non_drop(Rate::F25),
            first,
            content,
            output_rate: OutputRate::hertz(48_000).unwrap(),
            rise_time: RiseTime::default(),
            polarity: Polarity::Upright,
            heard: Heard::Code,
            begins,
        }
    }

    fn content(bits: u32, binary_group_flags: BinaryGroupFlags) -> Content {
        Content {
            groups: groups(UserBits(bits), binary_group_flags).unwrap(),
            binary_group_flags,
            flags: Flags::default(),
        }
    }

    proptest! {
        #[test]
        fn an_order_comes_back_from_its_bytes(
            rate in 0..RATES.len(),
            drop in any::<bool>(),
            number in any::<u32>(),
            user_bits in any::<u32>(),
            date in (1970..=2069_u16, 1..=12_u8, 1..=28_u8),
            choices in (0..8_usize, 0..2_usize, 0..2_usize, 0..2_usize),
            sample in prop::option::of(any::<i64>()),
            hertz in 8_000..=768_000_u32,
            rise in 1..=200_u16,
        ) {
            let rate = RATES[rate];
            let count = rate.drop_count().filter(|_| drop).unwrap_or(rate.count());
            let number = FrameNumber(number % count.frames_per_day());
            let (flags, colour, polarity, heard) = choices;
            let binary_group_flags = BinaryGroupFlags::ALL[flags];
            let groups = if binary_group_flags.groups() == GroupContent::DateAndZone {
                Groups::DateAndZone {
                    date: Date::new(date.0, date.1, date.2).unwrap(),
                    zone: UtcOffset::minutes(330).unwrap(),
                }
            } else {
                Groups::Same(UserBits(user_bits))
            };
            let flags = Flags { colour_frame: COLOUR_FRAMES[colour] };
            let order = Order {
                timebase: Timebase::new(rate, count).unwrap(),
                first: TimeAddress::from_frame_number(count, number).unwrap(),
                content: Content { groups, binary_group_flags, flags },
                output_rate: OutputRate::hertz(hertz).unwrap(),
                rise_time: RiseTime::microseconds(rise).unwrap(),
                polarity: POLARITIES[polarity],
                heard: HEARD[heard],
                begins: sample.map_or(Begins::AtOnce, Begins::Counted),
            };
            prop_assert_eq!(Order::from_bytes(&order.to_bytes()), Ok(order));
        }

        /// Whatever is taken for an order is one, and has codewords without end.
        #[test]
        fn any_bytes_are_an_order_or_none(
            bytes in prop::collection::vec(any::<u8>(), 0..40),
            changes in prop::collection::vec((0..Order::BYTES, any::<u8>()), 0..4),
            number in any::<i64>(),
        ) {
            let unspecified = content(0, BinaryGroupFlags::Unspecified);
            let mut usual = order(unspecified, Begins::AtOnce).to_bytes();
            for (at, byte) in changes {
                usual[at] = byte;
            }
            for bytes in [bytes.as_slice(), &usual] {
                let Ok(order) = Order::from_bytes(bytes) else {
                    continue;
                };
                prop_assert_eq!(Order::from_bytes(&order.to_bytes()), Ok(order));
                let address = order.codeword(number).address(order.timebase().count());
                prop_assert_eq!(address, Ok(order.address(number)));
            }
        }
    }

    #[test]
    fn what_is_wrong_with_bytes_is_said() {
        let order = order(content(0, BinaryGroupFlags::Unspecified), Begins::AtOnce);
        let with = |at: usize, byte: u8| {
            let mut bytes = order.to_bytes();
            bytes[at] = byte;
            Order::from_bytes(&bytes).map_err(|error| error.to_string())
        };
        assert_eq!(with(0, 1), Ok(order));
        for (at, byte, said) in [
            (
                0,
                2,
                "byte 0 of the order is 2, which stands for nothing there",
            ),
            (
                1,
                5,
                "byte 1 of the order is 5, which stands for nothing there",
            ),
            (
                7,
                2,
                "byte 7 of the order is 2, which stands for nothing there",
            ),
            (
                1,
                4,
                "30 frames a second cannot be counted as 25: count 30 or 30 drop-frame",
            ),
            (4, 4, "the user bits 00000000 are no date and zone"),
            (
                11,
                25,
                "frames 25 do not exist at 25 frames a second: 00 to 24",
            ),
            (
                18,
                255,
                "an output of 16759680 samples a second is none: 8,000 to 768,000 are",
            ),
            (
                23,
                1,
                "a rise time of 65535 µs is out of reach: 1 to 200 can be had, 40 is usual",
            ),
        ] {
            assert_eq!(with(at, byte), Err(said.to_owned()));
        }
        let short = Order::from_bytes(&order.to_bytes()[1..]).unwrap_err();
        assert_eq!(short, OrderError::Length { found: 31 });
    }

    /// The worked example of SMPTE ST 309 with SMPTE ST 2059-1 clause 9.3.4: 2026-10-10, two hours
    /// ahead of UTC; the date steps where the address is 00:00:00:00.
    #[test]
    fn code_never_ends_and_its_date_goes_on() {
        let order = order(
            content(0x2426_1010, BinaryGroupFlags::DateAndZone),
            Begins::AtOnce,
        );
        let at = |number| {
            let codeword = order.codeword(number);
            (codeword.digits().to_string(), codeword.user_bits().0)
        };
        assert_eq!(at(-1), ("23:59:59:24".to_owned(), 0x2426_1009));
        assert_eq!(at(2_159_999), ("23:59:59:24".to_owned(), 0x2426_1010));
        assert_eq!(at(2_160_000), ("00:00:00:00".to_owned(), 0x2426_1011));
        assert_eq!(at(22 * 2_160_000), ("00:00:00:00".to_owned(), 0x2426_1101));
    }
}
