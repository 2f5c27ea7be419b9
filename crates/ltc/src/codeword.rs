//! The 80 bits of one frame.

use plumbline_timecode::{BinaryGroupFlags, Count, TimeAddress, UserBits};

use crate::sync::SYNC_BYTES;
use crate::{Digits, DigitsError, Layout};

/// The 80 bits that linear timecode sends for one frame (IEC 60461 clause 8.2, SMPTE ST 12-1
/// clause 9.2). Bit 0, which is sent first, is the lowest of the first byte.
///
/// ```
/// use plumbline_ltc::{Codeword, Flags, PolarityRule};
/// use plumbline_timecode::{BinaryGroupFlags, Count, TimeAddress, UserBits};
/// let address = TimeAddress::new(Count::F25, 14, 3, 20, 6)?;
/// let codeword = Codeword::new(
///     address,
///     UserBits(0x2511_2601),
///     BinaryGroupFlags::Unspecified,
///     Flags::default(),
///     PolarityRule::Corrected,
/// );
/// assert_eq!(codeword.digits().to_string(), "14:03:20:06");
/// assert_eq!(codeword.address(Count::F25), Ok(address));
/// # Ok::<(), plumbline_timecode::AddressError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Codeword(pub [u8; 10]);

/// Flags that stand for themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Flags {
    /// Whether addresses follow the colour frames of the picture (IEC 60461 clauses 4.2.4 and
    /// 5.3).
    pub colour_frame: ColourFrame,
}

/// Whether addresses follow the colour frames of the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum ColourFrame {
    /// Nothing is said. The only way at 24 frames a second, which has no such flag.
    #[default]
    Unspecified,
    /// They do.
    Followed,
}

/// Whether the bit of biphase-mark polarity correction is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PolarityRule {
    /// The bit makes the number of zeros even, so that every codeword begins with the same
    /// polarity (IEC 60461 clause 8.2.6, SMPTE ST 12-1 clause 9.2.3).
    #[default]
    Corrected,
    /// The bit is 0.
    Uncorrected,
}

/// The first bits of the eight digits: tens and units of hours, minutes, seconds and frames.
const TENS: [u8; 4] = [56, 40, 24, 8];
const UNITS: [u8; 4] = [48, 32, 16, 0];
/// How many bits the tens have.
const TENS_WIDTH: [u8; 4] = [2, 3, 3, 2];

impl Codeword {
    /// How many bits it has.
    pub const BITS: u8 = 80;

    /// The codeword for a frame.
    ///
    /// Above 30 frames a second it is the codeword that spans the frame, which it shares with
    /// its neighbours (IEC 60461 clauses 8.5 and 11).
    pub fn new(
        address: TimeAddress,
        user_bits: UserBits,
        binary_group_flags: BinaryGroupFlags,
        flags: Flags,
        polarity: PolarityRule,
    ) -> Self {
        let count = address.code().address().count();
        let layout = Layout::from(count);
        let mut word = Self([0, 0, 0, 0, 0, 0, 0, 0, SYNC_BYTES[0], SYNC_BYTES[1]]);
        word.put_address(address);
        for (group, first) in user_bits.groups().into_iter().zip((4..).step_by(8)) {
            word.put(first, group);
        }
        let drop = layout.drop_flag().filter(|_| count.is_drop());
        let followed = flags.colour_frame == ColourFrame::Followed;
        let colour = layout.colour_frame_flag().filter(|_| followed);
        let groups = layout
            .binary_group_flags()
            .into_iter()
            .zip(binary_group_flags.flags());
        let groups = groups.filter_map(|(bit, set)| set.then_some(bit));
        for bit in drop.into_iter().chain(colour).chain(groups) {
            word.put(bit, 1);
        }
        if polarity == PolarityRule::Corrected && word.zeros() % 2 == 1 {
            word.put(layout.polarity_bit(), 1);
        }
        word
    }

    /// The same with another address, and with all other bits as they are: that of polarity
    /// correction too.
    #[must_use]
    pub fn readdressed(mut self, address: TimeAddress) -> Self {
        for ((tens, width), units) in TENS.into_iter().zip(TENS_WIDTH).zip(UNITS) {
            self.clear(tens, width);
            self.clear(units, 4);
        }
        self.put_address(address);
        self
    }

    fn put_address(&mut self, address: TimeAddress) {
        let address = address.code().address();
        let values = [
            address.hours(),
            address.minutes(),
            address.seconds(),
            address.frames(),
        ];
        for ((value, tens), units) in values.into_iter().zip(TENS).zip(UNITS) {
            self.put(tens, value / 10);
            self.put(units, value % 10);
        }
    }

    /// The bits of `value`, lowest first, from bit `first` on: none of them leaves the byte.
    pub(crate) fn put(&mut self, first: u8, value: u8) {
        if let Some(byte) = self.0.get_mut(usize::from(first / 8)) {
            *byte |= value << (first % 8);
        }
    }

    /// Makes `width` bits from bit `first` on 0: none of them leaves the byte.
    fn clear(&mut self, first: u8, width: u8) {
        if let Some(byte) = self.0.get_mut(usize::from(first / 8)) {
            *byte &= !(((1 << width) - 1) << (first % 8));
        }
    }

    fn zeros(self) -> u32 {
        self.0.iter().map(|byte| byte.count_zeros()).sum()
    }

    /// Bit `number`, 0 to 79; there are no others, and they are 0.
    pub fn bit(self, number: u8) -> bool {
        self.0
            .get(usize::from(number / 8))
            .is_some_and(|byte| byte >> (number % 8) & 1 == 1)
    }

    /// The number that `width` bits from bit `first` on hold, at most eight, lowest bit first.
    pub(crate) fn value(self, first: u8, width: u8) -> u8 {
        (first..first + width)
            .rev()
            .fold(0, |value, bit| value << 1 | u8::from(self.bit(bit)))
    }

    /// The digits as they were sent.
    pub fn digits(self) -> Digits {
        let pair = |n: usize| self.value(TENS[n], TENS_WIDTH[n]) << 4 | self.value(UNITS[n], 4);
        Digits {
            hours: pair(0),
            minutes: pair(1),
            seconds: pair(2),
            frames: pair(3),
        }
    }

    /// The address that the digits name in a count, if they name one; above 30 frames a second
    /// it is the address in the codeword, counted as codewords are.
    ///
    /// The drop-frame flag is not asked: a source may say one thing and count another.
    pub fn address(self, count: Count) -> Result<TimeAddress, DigitsError> {
        self.digits().address(count)
    }

    /// Bit 10: whether the source says that it counts drop-frame. It means so only at 30 frames
    /// in a second, elsewhere it should be 0 (SMPTE ST 12-1 clause 9.2.2).
    pub fn drop_flag(self) -> bool {
        self.bit(10)
    }

    /// Bit 11: whether the source says that it follows colour frames. It means so only at 25 and
    /// 30 frames in a second.
    pub fn colour_frame_flag(self) -> bool {
        self.bit(11)
    }

    /// The eight binary groups.
    pub fn user_bits(self) -> UserBits {
        let groups = (4..64).step_by(8).rev().map(|first| self.value(first, 4));
        UserBits(groups.fold(0, |bits, group| bits << 4 | u32::from(group)))
    }

    /// What the binary group flags say, if the codeword has that layout.
    pub fn binary_group_flags(self, layout: Layout) -> BinaryGroupFlags {
        BinaryGroupFlags::from_flags(layout.binary_group_flags().map(|bit| self.bit(bit)))
    }

    /// The bit of polarity correction, if the codeword has that layout.
    pub fn polarity_bit(self, layout: Layout) -> bool {
        self.bit(layout.polarity_bit())
    }

    /// Whether the number of zeros is even, as it always is where polarity is corrected
    /// (IEC 60461 clause 8.2.6); without correction it is so by chance.
    pub fn is_even(self) -> bool {
        self.zeros().is_multiple_of(2)
    }

    /// Whether the last 16 bits are the synchronizing word.
    pub fn is_synchronized(self) -> bool {
        self.0[8..] == SYNC_BYTES
    }
}
