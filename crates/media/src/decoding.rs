//! A codec's decoder at work, whether it is one of ours or one outside.

use std::fmt;

use symphonia::core::audio::Channels;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::packet::PacketRef;

use crate::outside::{Outside, aac};
use crate::{Codec, Decoders, MediaError, OutsideDecoder, Silenced};

/// Decodes the packets of a track.
#[derive(Debug)]
pub(crate) enum Decoding {
    Own(OwnDecoding),
    Outside(Outside),
}

impl Decoding {
    /// # Errors
    /// Where the codec refuses what its set-up says, and there is no other decoder.
    pub(crate) fn new(
        codec: Codec,
        parameters: &AudioCodecParameters,
        decoders: Decoders,
    ) -> Result<Self, MediaError> {
        let refused = match OwnDecoding::new(codec, parameters) {
            Ok(own) => return Ok(Self::Own(own)),
            Err(refused) => refused,
        };
        let outside =
            set_up(codec, parameters).and_then(|setup| OutsideDecoder::new(codec, &setup));
        match (outside, decoders) {
            (Some(decoder), Decoders::OwnAndOutside) => Ok(Self::Outside(Outside::new(decoder))),
            (Some(decoder), Decoders::Own) => Err(MediaError::NoDecoder { name: decoder.name }),
            (None, _) => Err(refused),
        }
    }

    pub(crate) const fn channels(&self) -> u16 {
        match self {
            Self::Own(own) => own.channels,
            Self::Outside(outside) => outside.decoder().channels,
        }
    }

    /// Sample frames a second.
    pub(crate) const fn sample_rate(&self) -> u32 {
        match self {
            Self::Own(own) => own.sample_rate,
            Self::Outside(outside) => outside.decoder().sample_rate,
        }
    }

    /// The decoder that is wanted outside, where one is.
    pub(crate) const fn outside(&self) -> Option<&OutsideDecoder> {
        match self {
            Self::Own(_) => None,
            Self::Outside(outside) => Some(outside.decoder()),
        }
    }

    pub(crate) const fn outside_mut(&mut self) -> Option<&mut Outside> {
        match self {
            Self::Own(_) => None,
            Self::Outside(outside) => Some(outside),
        }
    }

    pub(crate) const fn undecodable(&self) -> Silenced {
        match self {
            Self::Own(own) => own.undecodable,
            Self::Outside(outside) => outside.undecodable(),
        }
    }

    /// The sound of a packet: one slice a channel. `frames` is how many sample frames pass where
    /// it can't be decoded. What is decoded outside gives none now.
    pub(crate) fn decode(
        &mut self,
        packet: &PacketRef,
        frames: usize,
        give: &mut impl FnMut(&[&[f32]]),
    ) {
        match self {
            Self::Own(own) => own.decode(packet, frames, give),
            Self::Outside(outside) => outside.put(packet.data, packet.trim_end.get()),
        }
    }
}

/// The set-up that a codec has, or that goes without saying.
fn set_up(codec: Codec, parameters: &AudioCodecParameters) -> Option<Vec<u8>> {
    let stated = parameters.extra_data.as_ref().map(|setup| setup.to_vec());
    stated.or_else(|| {
        let channels = parameters.channels.as_ref().map_or(0, Channels::count);
        let channels = u16::try_from(channels)
            .ok()
            .filter(|_| codec == Codec::Aac)?;
        Some(aac::Setup::low_complexity(parameters.sample_rate?, channels)?.to_vec())
    })
}

/// Decodes packets; one that can't be decoded becomes silence of its length and is counted.
pub(crate) struct OwnDecoding {
    decoder: Box<dyn AudioDecoder>,
    channels: u16,
    sample_rate: u32,
    planes: Vec<Vec<f32>>,
    given: u64,
    undecodable: Silenced,
}

impl OwnDecoding {
    fn new(codec: Codec, parameters: &AudioCodecParameters) -> Result<Self, MediaError> {
        let decoder = symphonia::default::get_codecs()
            .make_audio_decoder(parameters, &AudioDecoderOptions::default())
            .map_err(|error| MediaError::Setup {
                codec,
                said: error.to_string(),
            })?;
        // The codec's own set-up knows better than the container.
        let known = decoder.codec_params();
        let channels = known.channels.as_ref().or(parameters.channels.as_ref());
        let channels = channels.map_or(0, Channels::count);
        let sample_rate = known.sample_rate.or(parameters.sample_rate);
        Ok(Self {
            channels: u16::try_from(channels).unwrap_or(u16::MAX),
            sample_rate: sample_rate.unwrap_or(0),
            decoder,
            planes: Vec::new(),
            given: 0,
            undecodable: Silenced::default(),
        })
    }

    fn decode(&mut self, packet: &PacketRef, frames: usize, give: &mut impl FnMut(&[&[f32]])) {
        let channels = usize::from(self.channels);
        match self.decoder.decode_ref(packet) {
            Ok(sound) if sound.num_planes() == channels => {
                sound.copy_to_vecs_planar(&mut self.planes);
            }
            _ => {
                if self.undecodable.count == 0 {
                    self.undecodable.first = self.given;
                }
                self.undecodable.count += 1;
                self.planes.resize(channels, Vec::new());
                for plane in &mut self.planes {
                    plane.clear();
                    plane.resize(frames, 0.0);
                }
            }
        }
        let planes: Vec<&[f32]> = self.planes.iter().map(Vec::as_slice).collect();
        self.given += planes.first().map_or(0, |plane| plane.len() as u64);
        give(&planes);
    }
}

impl fmt::Debug for OwnDecoding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("OwnDecoding")
            .field("channels", &self.channels)
            .field("sample_rate", &self.sample_rate)
            .field("given", &self.given)
            .finish_non_exhaustive()
    }
}
