//! Code that is suspected: what all codewords together would say, and why that is not enough.

use crate::report::Suspicion;
use crate::stretch::{Basis, Going, Stretch};
use crate::timebase;
use plumbline_ltc::Together;
use plumbline_timecode::SampleRate;
use plumbline_words::{odds, seconds};

/// What is said of a stretch that is not sure.
pub(crate) fn of(channel: u16, stretch: &Stretch, sample_rate: SampleRate) -> Option<Suspicion> {
    let Basis::Together {
        odds_log10,
        fit,
        going,
        ..
    } = stretch.basis
    else {
        return None;
    };
    let rate = sample_rate.as_f64() / stretch.line.slope();
    let timebase = timebase::decide(std::slice::from_ref(stretch), rate);
    let at = stretch.first(timebase.count())?.to_string();
    let length = seconds((stretch.run.last.ends - stretch.run.first.begins) / sample_rate.as_f64());
    let why = if going == Going::Jumps {
        "But one part of it says another start: it jumps, or it is no code.".to_owned()
    } else if fit < Together::FITS {
        format!(
            "But what is between its synchronizing words is only {:.0} % as loud as they are: it may \
             be code of a kind that is not known here, or no code.",
            100.0 * fit.max(0.0)
        )
    } else {
        "A start time is only given from a million to one on.".to_owned()
    };
    let text = format!(
        "No codeword can be read. All of {length} together would say {at} at {} frames a second, \
         and the odds against any other start are {}. {why}",
        timebase.rate().name(),
        odds(odds_log10)
    );
    Some(Suspicion {
        channel,
        at,
        sample: stretch.start(),
        odds_log10,
        fit,
        text,
        remedy: "Do not line up by it. Look for the same code in another recording, or bring a \
                 longer part of this one."
            .into(),
    })
}
