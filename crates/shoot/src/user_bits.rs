//! Every reading of the user bits that makes sense. Nothing in the code tells a date typed as
//! digits from any other number, so each reading is offered under its own name.

use plumbline_ltc::{Codeword, Layout};
use plumbline_timecode::st309::{Offsets, Stamp};
use plumbline_timecode::{Count, GroupContent, UserBits};
use plumbline_words::{Fact, user_bits};

/// The readings of a codeword's user bits. What the binary group flags say comes first; the rest
/// only where the digits make sense that way.
pub(crate) fn readings(codeword: Codeword, count: Count) -> Vec<Fact> {
    let bits = codeword.user_bits();
    let flags = codeword.binary_group_flags(Layout::from(count));
    let mut readings = vec![
        Fact::new("As digits", user_bits::in_pairs(bits)),
        Fact::new("Flags say", user_bits::meaning(flags)),
    ];
    if bits == UserBits(0) {
        return readings;
    }
    let date_and_zone = flags.groups() == GroupContent::DateAndZone;
    readings.extend(
        bits.typed_dates()
            .filter(|_| !date_and_zone)
            .map(user_bits::typed_date),
    );
    if let Some(text) = bits.text() {
        readings.push(Fact::new("As four characters", format!("“{text}”")));
    }
    readings.extend(
        Stamp::read(bits)
            .ok()
            .and_then(|stamp| stamped(stamp, date_and_zone)),
    );
    readings
}

/// A date and zone, where the flags say so or where the zone code is a real offset.
fn stamped(stamp: Stamp, said: bool) -> Option<Fact> {
    (said || stamp.offsets() != Offsets::None).then(|| user_bits::stamp(stamp))
}
