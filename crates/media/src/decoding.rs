//! A codec's decoder at work.

use std::fmt;

use symphonia::core::audio::Channels;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::packet::PacketRef;

use crate::{Codec, MediaError, Silenced};

/// Decodes packets; one that can't be decoded becomes silence of its length and is counted.
pub(crate) struct Decoding {
    decoder: Box<dyn AudioDecoder>,
    channels: u16,
    sample_rate: u32,
    planes: Vec<Vec<f32>>,
    given: u64,
    undecodable: Silenced,
}

impl Decoding {
    /// # Errors
    /// Where the codec refuses what its set-up says.
    pub(crate) fn new(codec: Codec, parameters: &AudioCodecParameters) -> Result<Self, MediaError> {
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

    pub(crate) const fn channels(&self) -> u16 {
        self.channels
    }

    /// Sample frames a second.
    pub(crate) const fn sample_rate(&self) -> u32 {
        self.sample_rate
    }

    pub(crate) const fn undecodable(&self) -> Silenced {
        self.undecodable
    }

    /// The sound of a packet: one slice a channel. `frames` is how many sample frames pass where
    /// it can't be decoded.
    pub(crate) fn decode(
        &mut self,
        packet: &PacketRef,
        frames: usize,
        give: &mut impl FnMut(&[&[f32]]),
    ) {
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

impl fmt::Debug for Decoding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Decoding")
            .field("channels", &self.channels)
            .field("sample_rate", &self.sample_rate)
            .field("given", &self.given)
            .finish_non_exhaustive()
    }
}
