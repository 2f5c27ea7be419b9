//! Packets of compressed sound to samples.

use std::vec::IntoIter;

use symphonia::core::codecs::audio::AudioCodecParameters;
use symphonia::core::codecs::audio::well_known::{CODEC_ID_AAC, CODEC_ID_ALAC, CODEC_ID_OPUS};
use symphonia::core::packet::PacketRef;
use symphonia::core::units::{Duration, Timestamp};

use crate::decoding::Decoding;
use crate::outside::Outside;
use crate::{Codec, Decoders, MediaError, Packets, Silenced};

/// Decodes the packets of one track.
#[derive(Debug)]
pub(crate) struct PacketDecoder {
    decoding: Decoding,
    sizes: IntoIter<u32>,
    /// The bytes of a packet whose end has not come yet, and how many it will have.
    packet: Vec<u8>,
    wanted: Option<usize>,
    /// How many sample frames a packet that can't be decoded is taken to have.
    frames: usize,
}

impl PacketDecoder {
    /// # Errors
    /// Where the codec refuses what its set-up says.
    pub(crate) fn new(packets: &Packets) -> Result<Self, MediaError> {
        Ok(Self {
            decoding: packets.decoding(Decoders::OwnAndOutside)?,
            sizes: packets.sizes.clone().into_iter(),
            packet: Vec::new(),
            wanted: None,
            frames: usize::try_from(packets.frames).unwrap_or(0),
        })
    }

    pub(crate) const fn undecodable(&self) -> Silenced {
        self.decoding.undecodable()
    }

    pub(crate) const fn outside(&mut self) -> Option<&mut Outside> {
        self.decoding.outside_mut()
    }

    pub(crate) fn push(&mut self, bytes: &[u8], give: &mut impl FnMut(&[&[f32]])) {
        let mut rest = bytes;
        while !rest.is_empty() {
            let Some(wanted) = self.wanted.or_else(|| self.next_size()) else {
                return;
            };
            self.wanted = Some(wanted);
            let (now, after) = rest.split_at((wanted - self.packet.len()).min(rest.len()));
            self.packet.extend_from_slice(now);
            rest = after;
            if self.packet.len() == wanted {
                let packet = PacketRef::new(0, Timestamp::ZERO, Duration::ZERO, &self.packet);
                self.decoding.decode(&packet, self.frames, give);
                self.packet.clear();
                self.wanted = None;
            }
        }
    }

    /// A packet without bytes has no sound.
    fn next_size(&mut self) -> Option<usize> {
        let size = self.sizes.find(|&size| size > 0)?;
        usize::try_from(size).ok()
    }
}

impl Packets {
    /// A decoder that is set up for them.
    ///
    /// # Errors
    /// Where the codec refuses what its set-up says, and there is no other decoder.
    pub(crate) fn decoding(&self, decoders: Decoders) -> Result<Decoding, MediaError> {
        let mut parameters = AudioCodecParameters::new();
        parameters
            .for_codec(match self.codec {
                Codec::Alac => CODEC_ID_ALAC,
                Codec::Opus => CODEC_ID_OPUS,
                _ => CODEC_ID_AAC,
            })
            .with_extra_data(self.setup.clone().into_boxed_slice());
        Decoding::new(self.codec, &parameters, decoders)
    }

    /// How many bits a sample of a codec without loss has: the sixth byte of Apple Lossless's
    /// set-up (the format's published description).
    pub(crate) fn bits(&self) -> Option<u16> {
        let is_lossless = self.codec == Codec::Alac;
        let bits = self.setup.get(5).filter(|_| is_lossless);
        bits.copied().map(u16::from)
    }

    /// How many sample frames the first so many bytes of them are decoded to.
    pub(crate) fn decoded(&self, bytes: u64) -> u64 {
        let mut left = bytes;
        let whole = self
            .sizes
            .iter()
            .filter(|&&size| size > 0)
            .take_while(|&&size| {
                let fits = u64::from(size) <= left;
                left = left.saturating_sub(size.into());
                fits
            });
        whole.count() as u64 * u64::from(self.frames)
    }
}
