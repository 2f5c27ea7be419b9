//! Every reading of the user bits that makes sense. Nothing in the code tells a date typed as
//! digits from any other number, so each reading is offered under its own name.

use plumbline_ltc::{Codeword, Layout};
use plumbline_timecode::st309::{Day, Offsets, Stamp};
use plumbline_timecode::{
    AddressReference, BinaryGroupFlags, Count, GroupContent, TypedDate, UserBits,
};
use plumbline_words::Fact;

/// "25 11 26 01", as it was typed.
pub(crate) fn in_pairs(bits: UserBits) -> String {
    let digits = bits.to_string();
    let pairs: Vec<&str> = (0..digits.len())
        .step_by(2)
        .filter_map(|i| digits.get(i..i + 2))
        .collect();
    pairs.join(" ")
}

/// The readings of a codeword's user bits. What the binary group flags say comes first; the rest
/// only where the digits make sense that way.
pub(crate) fn readings(codeword: Codeword, count: Count) -> Vec<Fact> {
    let bits = codeword.user_bits();
    let flags = codeword.binary_group_flags(Layout::from(count));
    let mut readings = vec![
        Fact::new("As digits", in_pairs(bits)),
        Fact::new("Flags say", meaning(flags)),
    ];
    if bits == UserBits(0) {
        return readings;
    }
    let date_and_zone = flags.groups() == GroupContent::DateAndZone;
    readings.extend(bits.typed_dates().filter(|_| !date_and_zone).map(typed));
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

fn meaning(flags: BinaryGroupFlags) -> String {
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

fn typed(typed: TypedDate) -> Fact {
    let label = format!("As a date typed {}", typed.order);
    Fact::new(
        &label,
        format!("20{}, and {:02X} spare", typed.date, typed.spare),
    )
}

/// A date and zone, where the flags say so or where the zone code is a real offset.
fn stamped(stamp: Stamp, said: bool) -> Option<Fact> {
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
        Offsets::None if said => "zone code without an offset".to_owned(),
        Offsets::None => return None,
    };
    Some(Fact::new(
        "As ST 309 date and zone",
        format!("{day}, {zone}"),
    ))
}
