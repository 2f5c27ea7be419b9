//! What the codewords say.

use plumbline_ltc::{Codeword, PolarityRule};
use plumbline_timecode::{Frames, TimeAddress};

use crate::Plan;
use crate::content::Content;

impl Plan {
    /// The codewords of all takes, in the order in which they are heard.
    pub fn codewords(&self) -> impl Iterator<Item = Codeword> + '_ {
        (0..self.codeword_count()).map(|number| self.codeword(number))
    }

    /// The codeword with that number of all.
    pub(crate) fn codeword(&self, number: u64) -> Codeword {
        let first = self.extent.first.code().address();
        self.content.codeword(first, self.codewords_on(number))
    }
}

impl Content {
    /// The codeword so many after one with the address `first`, which has the first date.
    pub(crate) fn codeword(&self, first: TimeAddress, on: i64) -> Codeword {
        let since_midnight = Frames::from(first.frame_number()).0.saturating_add(on);
        let days = since_midnight.div_euclid(first.count().frames_per_day().into());
        Codeword::new(
            first.plus_wrapping(Frames(on)),
            self.groups.on_day(days),
            self.binary_group_flags,
            self.flags,
            PolarityRule::Corrected,
        )
    }
}
