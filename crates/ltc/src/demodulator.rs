//! Samples in, codewords out.
//!
//! ```text
//! samples ── line ── envelope ── crossings ── cells ── words ── timing ── codewords
//!            tiles   extremes    edges        bits     80 bits  places
//! ```
//!
//! One file a stage, and the same verbs in each: `push` takes what the stage before hands on,
//! `finish` what is left at the end. The first three work on tiles: runs of samples that begin at
//! multiples of their length, counted from the first sample ever pushed. So nothing depends on
//! how the input was cut.
//!
//! What a stage hands on says when it happened in the input, with all delays taken out. A
//! codeword is handed out when the next one has been read, which helps to place it, or as soon as
//! it is known that none follows.
//!
//! From edge to bit this is one hard decision after the other, which is quick, and right wherever
//! edges can be seen. Where they can't, [`crate::Receiver`] weighs what it hears.

mod beginning;
mod cells;
mod crossings;
mod envelope;
mod instant;
mod line;
mod timing;
mod words;

use plumbline_timecode::SampleRate;

use crate::{Received, Seam};
use cells::Cells;
use crossings::Crossings;
use envelope::{Envelope, Extremes};
use line::Line;

/// Reads codewords from sound: of any level, either polarity, either direction, with any constant
/// offset, from a tenth of its speed to ten times (if that leaves about 2.4 samples for half a
/// cell).
///
/// Samples that are not finite count as 0.
///
/// ```
/// use plumbline_ltc::Demodulator;
/// use plumbline_timecode::SampleRate;
/// let mut demodulator = Demodulator::new(SampleRate::hertz(48_000)?);
/// let mut codewords = Vec::new();
/// demodulator.push(&[0.0; 4800], &mut |received| codewords.push(received));
/// demodulator.finish(&mut |received| codewords.push(received));
/// assert_eq!(demodulator.samples(), 4800);
/// assert!(codewords.is_empty());
/// # Ok::<(), plumbline_timecode::SampleRateError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Demodulator {
    line: Line,
    envelope: Envelope,
    crossings: Crossings,
    cells: Cells,
}

/// How long the extremes of the signal are looked at, on either side of a moment. Even code at a
/// tenth of its speed shows both its levels within it.
const ENVELOPE_SECONDS: f64 = 10.7e-3;

impl Demodulator {
    /// Ready for the first sample.
    pub fn new(sample_rate: SampleRate) -> Self {
        Self::at(sample_rate.as_f64())
    }

    /// The same at any number of samples a second.
    pub(crate) fn at(hertz: f64) -> Self {
        let line = Line::new(hertz);
        let tiles = (ENVELOPE_SECONDS * hertz / line.tile() as f64).round();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates"
        )]
        let envelope = Envelope::new(tiles as usize);
        Self {
            line,
            envelope,
            crossings: Crossings::default(),
            cells: Cells::default(),
        }
    }

    /// As new, and the first sample that is pushed counts as that one.
    pub(crate) fn begin_at(&mut self, sample: u64) {
        self.reset();
        self.line.begin_at(sample);
    }

    /// Whether a glimpse of sound ends with edges that come as code has them: looked at as if it were all
    /// there is, from that sample on.
    pub(crate) fn glimpses(&mut self, begins: u64, samples: &[f32]) -> bool {
        self.begin_at(begins);
        self.push(samples, &mut |_| ());
        self.follows()
    }

    /// Whether edges come as code has them, whatever their bits say: as of half cells and of whole ones.
    pub(crate) fn follows(&self) -> bool {
        self.cells.follows()
    }

    /// How many samples have been pushed.
    pub fn samples(&self) -> u64 {
        self.line.samples()
    }

    /// Takes the next samples, in any number, and hands out codewords in the order of the
    /// recording.
    pub fn push(&mut self, samples: &[f32], received: &mut impl FnMut(Received)) {
        let mut rest = samples;
        while !rest.is_empty() {
            rest = self.line.push(rest);
            if let Some(extremes) = self.line.complete() {
                if let Some(band) = self.envelope.push(extremes) {
                    self.tile(band, received);
                }
                self.line.make_room();
            }
        }
    }

    /// Hands out what was heard to the last sample but is still in hand, as if the input ended
    /// here, and gives where the last codeword ended.
    pub fn in_hand(&self, received: &mut impl FnMut(Received)) -> Option<Seam> {
        let mut ending = self.clone();
        ending.take_end(received);
        let seam = ending.cells.seam();
        ending.cells.finish(received);
        seam
    }

    /// Takes the end of the input: hands out what was still in hand, and is then as new.
    pub fn finish(&mut self, received: &mut impl FnMut(Received)) {
        self.take_end(received);
        self.cells.finish(received);
        self.reset();
    }

    /// Takes what sound there is to its end.
    fn take_end(&mut self, received: &mut impl FnMut(Received)) {
        for extremes in self.line.finish().into_iter().flatten() {
            if let Some(band) = self.envelope.push(extremes) {
                self.tile(band, received);
            }
        }
        while let Some(band) = self.envelope.finish() {
            self.tile(band, received);
        }
        let cells = &mut self.cells;
        self.crossings.finish(self.line.samples(), &mut |event| {
            cells.push(event, Extremes::NONE, received);
        });
    }

    /// As new, ready for the first sample of another recording; [`Self::samples`] still tells of
    /// the last one until it is pushed.
    fn reset(&mut self) {
        self.line.reset();
        self.envelope.reset();
        self.crossings = Crossings::default();
        self.cells.reset();
    }

    /// One more tile, of which the extremes are now known on both sides.
    fn tile(&mut self, band: Extremes, received: &mut impl FnMut(Received)) {
        let cells = &mut self.cells;
        self.crossings
            .push(self.line.next_tile(), band, &mut |event| {
                cells.push(event, band, received);
            });
    }
}
