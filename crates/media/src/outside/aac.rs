//! The set-up of AAC: `AudioSpecificConfig` (ISO/IEC 14496-3, 1.6.2.1; tables from memory).

/// What a set-up says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Setup {
    /// The object type that the decoder must know: 2 is AAC-LC, 5 HE-AAC, 29 HE-AAC v2.
    pub(crate) object_type: u32,
    /// Of what comes out of the decoder, in hertz.
    pub(crate) sample_rate: u32,
    /// Of what comes out of the decoder.
    pub(crate) channels: u16,
    /// How many sample frames of what comes out a packet has.
    pub(crate) packet_frames: u32,
}

const LOW_COMPLEXITY: u32 = 2;
const BAND_REPLICATION: u32 = 5;
const PARAMETRIC_STEREO: u32 = 29;
/// What says that a set-up goes on: with band replication, and then with parametric stereo.
const SYNC_BANDS: u32 = 0x2B7;
const SYNC_STEREO: u32 = 0x548;
const RATES: [u32; 13] = [
    96_000, 88_200, 64_000, 48_000, 44_100, 32_000, 24_000, 22_050, 16_000, 12_000, 11_025, 8_000,
    7_350,
];

impl Setup {
    /// None where it is cut, or its channels are told only in the sound.
    pub(crate) fn read(bytes: &[u8]) -> Option<Self> {
        let mut bits = Bits::new(bytes);
        let mut object_type = bits.object_type()?;
        let core_rate = bits.sample_rate()?;
        let mut sample_rate = core_rate;
        let mut channels = match bits.take(4)? {
            count @ 1..=6 => u16::try_from(count).ok()?,
            7 | 12 | 14 => 8,
            11 => 7,
            // 0: they are told only in the sound.
            _ => return None,
        };
        let mut short_frames = 0;
        if object_type == BAND_REPLICATION || object_type == PARAMETRIC_STEREO {
            sample_rate = bits.sample_rate()?;
            bits.object_type()?;
            short_frames = bits.take(1).unwrap_or(0);
        } else if object_type == LOW_COMPLEXITY {
            short_frames = bits.take(1).unwrap_or(0);
            if let Some((extended, rate)) = bits.extension() {
                (object_type, sample_rate) = (extended, rate);
            }
        }
        if object_type == PARAMETRIC_STEREO {
            channels = 2;
        }
        let core_frames = if short_frames == 1 { 960 } else { 1024 };
        Some(Self {
            object_type,
            sample_rate,
            channels,
            packet_frames: core_frames * (sample_rate / core_rate).clamp(1, 2),
        })
    }

    /// The set-up of AAC-LC that stands nowhere; none where there is no number for its rate.
    pub(crate) fn low_complexity(sample_rate: u32, channels: u16) -> Option<[u8; 2]> {
        let rate = RATES.iter().position(|&rate| rate == sample_rate)?;
        let channels = match channels {
            1..=6 => channels,
            8 => 7,
            _ => return None,
        };
        let bits = u16::try_from(LOW_COMPLEXITY).ok()? << 11;
        Some((bits | u16::try_from(rate).ok()? << 7 | channels << 3).to_be_bytes())
    }

    /// The name that RFC 6381 gives it.
    pub(crate) fn codec(&self) -> String {
        format!("mp4a.40.{}", self.object_type)
    }

    /// The trade's name.
    pub(crate) fn name(&self) -> String {
        match self.object_type {
            LOW_COMPLEXITY => format!("AAC of {} channels", self.channels),
            BAND_REPLICATION => "HE-AAC".to_owned(),
            PARAMETRIC_STEREO => "HE-AAC v2".to_owned(),
            other => format!("AAC of object type {other}"),
        }
    }
}

/// Bits, the most significant first: as many of them as a set-up that is understood has.
struct Bits {
    rest: u128,
    left: u32,
}

impl Bits {
    fn new(bytes: &[u8]) -> Self {
        let mut all = [0; 16];
        let len = bytes.len().min(all.len());
        all.iter_mut().zip(bytes).for_each(|(to, from)| *to = *from);
        Self {
            rest: u128::from_be_bytes(all),
            left: u32::try_from(len).unwrap_or(0) * 8,
        }
    }

    fn take(&mut self, count: u32) -> Option<u32> {
        self.left = self.left.checked_sub(count)?;
        let taken = u32::try_from(self.rest >> (128 - count)).ok()?;
        self.rest <<= count;
        Some(taken)
    }

    fn object_type(&mut self) -> Option<u32> {
        match self.take(5)? {
            31 => Some(32 + self.take(6)?),
            object_type => Some(object_type),
        }
    }

    fn sample_rate(&mut self) -> Option<u32> {
        match self.take(4)? {
            15 => self.take(24).filter(|&rate| rate > 0),
            index => RATES.get(usize::try_from(index).ok()?).copied(),
        }
    }

    /// What a set-up of AAC-LC says behind its own end, for those that know it: an object type,
    /// and the rate of what comes out.
    fn extension(&mut self) -> Option<(u32, u32)> {
        // That it depends on another coder, and that it is extended: neither is in AAC-LC.
        let is_plain = self.take(2)? == 0;
        let is_extended = is_plain && self.take(11)? == SYNC_BANDS;
        if !is_extended || self.object_type()? != BAND_REPLICATION || self.take(1)? == 0 {
            return None;
        }
        let sample_rate = self.sample_rate()?;
        let has_stereo = self.take(11) == Some(SYNC_STEREO) && self.take(1) == Some(1);
        let object_type = if has_stereo {
            PARAMETRIC_STEREO
        } else {
            BAND_REPLICATION
        };
        Some((object_type, sample_rate))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> (u32, u32, u16, u32) {
        let setup = Setup::read(bytes).unwrap();
        (
            setup.object_type,
            setup.sample_rate,
            setup.channels,
            setup.packet_frames,
        )
    }

    #[test]
    fn a_set_up_tells_what_comes_out_of_the_decoder() {
        assert_eq!(read(&[0x11, 0x90]), (2, 48_000, 2, 1024));
        // 5.1 at 48 kHz, as FFmpeg writes it.
        assert_eq!(read(&[0x11, 0xB0]), (2, 48_000, 6, 1024));
        // Object type 5, core 24 kHz, stereo, out 48 kHz, object type 2.
        assert_eq!(read(&[0x2B, 0x11, 0x88, 0x00]), (5, 48_000, 2, 2048));
        // Object type 29 of one channel comes out as two.
        assert_eq!(read(&[0xEB, 0x09, 0x88, 0x00]), (29, 48_000, 2, 2048));
        // AAC-LC at 24 kHz, and behind it the word that says it is band-replicated at 48 kHz.
        assert_eq!(read(&[0x13, 0x10, 0x56, 0xE5, 0x98]), (5, 48_000, 2, 2048));
    }

    #[test]
    fn what_is_cut_or_unknown_is_no_set_up() {
        for bytes in [&[][..], &[0x11], &[0x11, 0x80], &[0x17, 0x90]] {
            assert_eq!(Setup::read(bytes), None, "{bytes:?}");
        }
    }

    #[test]
    fn a_set_up_that_stands_nowhere_is_made() {
        assert_eq!(Setup::low_complexity(48_000, 6), Some([0x11, 0xB0]));
        assert_eq!(Setup::low_complexity(48_001, 6), None);
    }
}
