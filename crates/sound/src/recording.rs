//! The sound itself, where it is asked for.

use crate::Print;

/// One channel of a recording that can be read at any place.
///
/// Lining up reads some tens of places, a few seconds each, so a page can fetch just these from a
/// file.
pub trait Recording {
    /// What can go wrong while reading.
    type Error;

    /// Fills `into` with the samples from number `first` on. All of them are in the recording: it
    /// has as many as its print was made of.
    fn read(&mut self, first: u64, into: &mut [f32]) -> Result<(), Self::Error>;
}

/// Samples in memory. What lies outside them is silence.
impl Recording for &[f32] {
    type Error = std::convert::Infallible;

    fn read(&mut self, first: u64, into: &mut [f32]) -> Result<(), Self::Error> {
        let first = usize::try_from(first).unwrap_or(usize::MAX);
        let samples = self.get(first..).unwrap_or_default();
        let count = samples.len().min(into.len());
        into[..count].copy_from_slice(&samples[..count]);
        into[count..].fill(0.0);
        Ok(())
    }
}

/// One of two recordings: its print, and its sound.
#[derive(Debug)]
pub struct Side<'a, R> {
    /// The print of the channel that is read.
    pub print: &'a Print,
    /// Its samples.
    pub recording: &'a mut R,
}
