//! One codeword, bit by bit, read again from the file at the place that somebody points at.

use crate::reading::{BitField, CodewordReading};
use crate::report::ReportedError;
use crate::whole;
use crate::window::Window;
use plumbline_ltc::{Direction, Evidence, Layout, Received, Receiver};
use plumbline_media::Header;
use plumbline_timecode::{Rate, SampleRate};
use std::io::{self, Read, Seek};

/// Seconds on either side of the place that are read: enough for code at its rate, and then for
/// code at a tenth of it.
const REACHES: [f64; 2] = [0.2, 2.0];

/// The codeword nearest to `second` of the recording on `channel`, counted from 0; none where no
/// codeword is near. A codeword does not say where its flags stand: `rate` does.
///
/// # Errors
/// Where the file can't be read any more.
pub fn codeword_at(
    source: &mut (impl Read + Seek),
    channel: u16,
    rate: Rate,
    second: f64,
) -> Result<Option<CodewordReading>, ReportedError> {
    let header = plumbline_media::open(source).map_err(|error| ReportedError::of_places(&error))?;
    let hertz = f64::from(header.sample_rate);
    for reach in REACHES {
        let window = Window::around(second * hertz, reach * hertz);
        let words = window
            .words(source, &header, channel)
            .map_err(|error| ReportedError::gone(&error))?;
        if let Some(reading) = nearest(&words, second, hertz, Layout::from(rate.code().count())) {
            return Ok(Some(reading));
        }
    }
    Ok(None)
}

impl Window {
    fn around(sample: f64, reach: f64) -> Self {
        Window {
            from: whole::unsigned(sample - reach),
            to: whole::unsigned(sample + reach),
        }
    }

    /// The codewords in it, at their places in the recording.
    fn words(
        &self,
        source: &mut (impl Read + Seek),
        header: &Header,
        channel: u16,
    ) -> io::Result<Vec<Placed>> {
        let part = header.part(channel, self.from..self.to);
        let (Some(part), Ok(rate)) = (part, SampleRate::hertz(header.sample_rate)) else {
            return Ok(Vec::new());
        };
        let mut receiver = Receiver::new(rate);
        let mut words = Vec::new();
        let from = self.from as f64;
        let mut take = |evidence: Evidence| {
            words.extend(evidence.each().map(|received| Placed::new(received, from)));
        };
        self.samples(source, &part, &mut |samples| {
            receiver.push(samples, &mut take);
        })?;
        receiver.finish(&mut take);
        Ok(words)
    }
}

/// A codeword at its place in the recording.
struct Placed {
    received: Received,
    begins: f64,
    ends: f64,
}

impl Placed {
    fn new(received: &Received, from: f64) -> Self {
        let (begins, ends) = (
            received.begins.as_f64() + from,
            received.ends.as_f64() + from,
        );
        Placed {
            received: *received,
            begins,
            ends,
        }
    }

    fn middle(&self) -> f64 {
        f64::midpoint(self.begins, self.ends)
    }
}

fn nearest(words: &[Placed], second: f64, hertz: f64, layout: Layout) -> Option<CodewordReading> {
    let away = |word: &Placed| (word.middle() - second * hertz).abs();
    let (index, word) = words
        .iter()
        .enumerate()
        .min_by(|(_, a), (_, b)| away(a).total_cmp(&away(b)))?;
    let inside = away(word) <= word.ends - word.begins;
    let neighbour = |index: Option<usize>| Some(words.get(index?)?.middle() / hertz);
    let codeword = word.received.codeword;
    inside.then(|| CodewordReading {
        timecode: codeword.digits().to_string(),
        second: word.middle() / hertz,
        reverse: word.received.direction == Direction::Reverse,
        previous: neighbour(index.checked_sub(1)),
        next: neighbour(index.checked_add(1)),
        fields: codeword
            .fields(layout)
            .iter()
            .map(|field| BitField {
                first: field.first,
                bits: (field.first..field.first + field.width)
                    .map(|bit| if codeword.bit(bit) { '1' } else { '0' })
                    .collect(),
                name: field.name.to_owned(),
                meaning: field.value.clone(),
            })
            .collect(),
    })
}
