//! What the codewords say.

use plumbline_ltc::{Codeword, PolarityRule};
use plumbline_timecode::Frames;

use crate::Plan;

impl Plan {
    /// The codewords of all takes, in the order in which they are heard.
    pub fn codewords(&self) -> impl Iterator<Item = Codeword> + '_ {
        (0..self.codeword_count()).map(|number| self.codeword(number))
    }

    /// The codeword with that number of all.
    pub(crate) fn codeword(&self, number: u64) -> Codeword {
        let first = self.extent.first.code().address();
        let on = self.codewords_on(number);
        let since_midnight = Frames::from(first.frame_number()).0.saturating_add(on);
        let days = since_midnight.div_euclid(first.count().frames_per_day().into());
        Codeword::new(
            first.plus_wrapping(Frames(on)),
            self.content.groups.on_day(days),
            self.content.binary_group_flags,
            self.content.flags,
            PolarityRule::Corrected,
        )
    }
}
