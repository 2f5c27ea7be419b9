//! Packets of compressed sound to samples.

use std::fmt;
use std::vec::IntoIter;

use symphonia::core::audio::Channels;
use symphonia::core::codecs::audio::well_known::{CODEC_ID_AAC, CODEC_ID_ALAC};
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::packet::PacketRef;
use symphonia::core::units::{Duration, Timestamp};

use crate::{ChunkId, Codec, MediaError, Packets, Silenced, Unsupported};

/// Decodes the packets of one track.
pub(crate) struct PacketDecoder {
    decoder: Box<dyn AudioDecoder>,
    sizes: IntoIter<u32>,
    /// The bytes of a packet whose end has not come yet, and how many it will have.
    packet: Vec<u8>,
    wanted: Option<usize>,
    /// How many sample frames a packet that can't be decoded is taken to have.
    frames: usize,
    channels: usize,
    planes: Vec<Vec<f32>>,
    given: u64,
    undecodable: Silenced,
}

impl PacketDecoder {
    /// # Errors
    /// Where the codec refuses what its set-up says.
    pub(crate) fn new(packets: &Packets) -> Result<Self, MediaError> {
        let decoder = decoder(packets)?;
        let (channels, _) = shape(decoder.codec_params());
        Ok(Self {
            decoder,
            sizes: packets.sizes.clone().into_iter(),
            packet: Vec::new(),
            wanted: None,
            frames: usize::try_from(packets.frames).unwrap_or(0),
            channels: channels.into(),
            planes: Vec::new(),
            given: 0,
            undecodable: Silenced::default(),
        })
    }

    pub(crate) const fn undecodable(&self) -> Silenced {
        self.undecodable
    }

    pub(crate) fn push(&mut self, bytes: &[u8], give: &mut impl FnMut(&[&[f32]])) {
        let mut rest = bytes;
        loop {
            let Some(wanted) = self.wanted.or_else(|| self.next_size()) else {
                return;
            };
            self.wanted = Some(wanted);
            let (now, after) = rest.split_at((wanted - self.packet.len()).min(rest.len()));
            self.packet.extend_from_slice(now);
            rest = after;
            if self.packet.len() < wanted {
                return;
            }
            self.decode(give);
            self.packet.clear();
            self.wanted = None;
        }
    }

    fn next_size(&mut self) -> Option<usize> {
        let size = self.sizes.next()?;
        usize::try_from(size).ok()
    }

    fn decode(&mut self, give: &mut impl FnMut(&[&[f32]])) {
        let packet = PacketRef::new(0, Timestamp::ZERO, Duration::ZERO, &self.packet);
        match self.decoder.decode_ref(&packet) {
            Ok(sound) if sound.num_planes() == self.channels => {
                sound.copy_to_vecs_planar(&mut self.planes);
            }
            // Its time passes all the same.
            _ => {
                if self.undecodable.count == 0 {
                    self.undecodable.first = self.given;
                }
                self.undecodable.count += 1;
                self.planes = vec![vec![0.0; self.frames]; self.channels];
            }
        }
        let planes: Vec<&[f32]> = self.planes.iter().map(Vec::as_slice).collect();
        self.given += planes.first().map_or(0, |plane| plane.len() as u64);
        give(&planes);
    }
}

impl fmt::Debug for PacketDecoder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("PacketDecoder")
            .field("given", &self.given)
            .finish_non_exhaustive()
    }
}

/// How many channels and sample frames a second a track really has: the codec's own set-up knows
/// better than the container.
///
/// # Errors
/// Where the codec refuses what its set-up says.
pub(crate) fn channels_and_rate(packets: &Packets) -> Result<(u16, u32), MediaError> {
    decoder(packets).map(|decoder| shape(decoder.codec_params()))
}

/// How many bits a sample of a codec without loss has: the sixth byte of Apple Lossless's set-up
/// (the format's published description).
pub(crate) fn bits(packets: &Packets) -> Option<u16> {
    let is_lossless = packets.codec == Codec::Alac;
    is_lossless
        .then(|| packets.setup.get(5).copied().map(u16::from))
        .flatten()
}

fn shape(parameters: &AudioCodecParameters) -> (u16, u32) {
    let channels = parameters.channels.as_ref().map_or(0, Channels::count);
    (
        u16::try_from(channels).unwrap_or(u16::MAX),
        parameters.sample_rate.unwrap_or(0),
    )
}

fn decoder(packets: &Packets) -> Result<Box<dyn AudioDecoder>, MediaError> {
    let mut parameters = AudioCodecParameters::new();
    parameters
        .for_codec(match packets.codec {
            Codec::Alac => CODEC_ID_ALAC,
            _ => CODEC_ID_AAC,
        })
        .with_extra_data(packets.setup.clone().into_boxed_slice());
    symphonia::default::get_codecs()
        .make_audio_decoder(&parameters, &AudioDecoderOptions::default().gapless(false))
        .map_err(|error| MediaError::Unsupported {
            place: ChunkId(*b"stsd"),
            at: 0,
            what: Unsupported::Setup {
                codec: packets.codec,
                said: error.to_string(),
            },
        })
}
