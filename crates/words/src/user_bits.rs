//! User bits and their flags in words, and as they are typed.

mod typed;

use plumbline_timecode::st309::{Day, Offsets, Stamp};
use plumbline_timecode::{AddressReference, BinaryGroupFlags, GroupContent, TypedDate, UserBits};

use crate::Fact;

pub use typed::{YEARS, characters, date, day, hex, spare, zone};

/// "25 11 26 01", as it was typed: group 8 first.
pub fn in_pairs(bits: UserBits) -> String {
    let [a, b, c, d] = bits.0.to_be_bytes();
    format!("{a:02X} {b:02X} {c:02X} {d:02X}")
}

/// What the binary group flags say.
///
/// ```
/// use plumbline_timecode::BinaryGroupFlags;
/// use plumbline_words::user_bits::meaning;
/// assert_eq!(meaning(BinaryGroupFlags::Characters), "four characters");
/// ```
pub fn meaning(flags: BinaryGroupFlags) -> String {
    let groups = match flags.groups() {
        GroupContent::Unspecified => "free use, no fixed meaning",
        GroupContent::Characters => "four characters",
        GroupContent::DateAndZone => "date and time zone (ST 309)",
        GroupContent::PageLine => "a page and line multiplex (ST 262)",
        GroupContent::Reserved => "a combination that is not to be sent",
    };
    let address = match flags.address() {
        AddressReference::ClockTime => "; the address is clock time",
        AddressReference::Unspecified | AddressReference::Reserved => "",
    };
    format!("{groups}{address}")
}

/// The clauses that have that combination of flags: SMPTE ST 12-1 table 1, IEC 60461 table 1.
pub const fn clauses(flags: BinaryGroupFlags) -> &'static str {
    match flags {
        BinaryGroupFlags::Unspecified => "SMPTE ST 12-1 clause 8.4.1, IEC 60461 clause 7.4.2",
        BinaryGroupFlags::Characters => "SMPTE ST 12-1 clause 8.4.2, IEC 60461 clause 7.4.3",
        BinaryGroupFlags::ClockTime => "SMPTE ST 12-1 clause 8.4.3, IEC 60461 clause 7.4.6",
        BinaryGroupFlags::Reserved => "SMPTE ST 12-1 clause 8.4.4, IEC 60461 clause 7.4.7",
        BinaryGroupFlags::DateAndZone => "SMPTE ST 12-1 clause 8.4.5, IEC 60461 clause 7.4.4",
        BinaryGroupFlags::PageLine => "SMPTE ST 12-1 clause 8.4.6, IEC 60461 clause 7.4.5",
        BinaryGroupFlags::ClockTimeDateAndZone => {
            "SMPTE ST 12-1 clause 8.4.7, IEC 60461 clause 7.4.8"
        }
        BinaryGroupFlags::ClockTimePageLine => "SMPTE ST 12-1 clause 8.4.8, IEC 60461 clause 7.4.9",
    }
}

/// A date as it was typed, in this century: two digits of the year are all that there is room for.
pub fn typed_date(typed: TypedDate) -> Fact {
    Fact::new(
        format!("As a date typed {}", typed.order),
        format!("20{}, and {:02X} spare", typed.date, typed.spare),
    )
}

/// A date and zone as SMPTE ST 309 has them.
pub fn stamp(stamp: Stamp) -> Fact {
    let day = match stamp.day {
        Day::Local(date) => format!("20{date}"),
        Day::Utc(date) => format!("{date}, address in UTC"),
    };
    let zone = match stamp.offsets() {
        Offsets::One(offset) => format!("{offset} from UTC"),
        Offsets::Either {
            as_coded,
            hour_added,
        } => {
            format!("{as_coded} or {hour_added} from UTC, by how the summer-time flag was meant")
        }
        Offsets::None => "zone code without an offset".to_owned(),
    };
    Fact::new("As ST 309 date and zone", format!("{day}, {zone}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_combination_of_flags_has_clauses_of_its_own() {
        let mut named: Vec<&str> = BinaryGroupFlags::ALL.map(clauses).into();
        named.sort_unstable();
        named.dedup();
        assert_eq!(named.len(), 8);
    }

    #[test]
    fn a_flag_of_two_readings_is_shown_with_both() {
        // +02:00 (code 24), flag for daylight saving time set, 2026-10-10.
        let read = Stamp::read(UserBits(0x6426_1010)).unwrap();
        assert!(
            stamp(read)
                .value
                .starts_with("2026-10-10, +02:00 or +03:00 from UTC"),
            "{}",
            stamp(read).value
        );
    }
}
