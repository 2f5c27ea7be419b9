//! What a codeword says beside its address: user bits and flags.

use plumbline_ltc::{ColourFrame, Flags};
use plumbline_timecode::st309::{Day, Stamp, UtcOffset};
use plumbline_timecode::{BinaryGroupFlags, Date, DateOrder, Timebase, TypedDate, UserBits};

use crate::Settings;
use crate::field::Field;
use crate::remarks::Remarks;
use crate::typed::choice;
use plumbline_words::{Problem, user_bits};

/// What all codewords say beside their addresses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Content {
    pub(crate) groups: Groups,
    pub(crate) binary_group_flags: BinaryGroupFlags,
    pub(crate) flags: Flags,
}

/// The user bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Groups {
    /// The same in all codewords.
    Same(UserBits),
    /// A date and a zone (SMPTE ST 309).
    DateAndZone {
        /// Of the first codeword.
        date: Date,
        zone: UtcOffset,
    },
}

/// What the user bits are to be read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Hex,
    Typed(DateOrder),
    Characters,
    DateAndZone,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ClockTime {
    Unsaid,
    Said,
}

const KINDS: [(&str, Kind); 6] = [
    ("hex", Kind::Hex),
    ("day-month-year", Kind::Typed(DateOrder::DayMonthYear)),
    ("month-day-year", Kind::Typed(DateOrder::MonthDayYear)),
    ("year-month-day", Kind::Typed(DateOrder::YearMonthDay)),
    ("characters", Kind::Characters),
    ("date-and-zone", Kind::DateAndZone),
];

/// User bits and flags, with what they mean.
pub(crate) fn content(
    settings: &Settings,
    timebase: Option<Timebase>,
    remarks: &mut Remarks,
) -> Option<Content> {
    let kind = remarks.keep(choice(Field::UserBitsAre, &settings.user_bits_are, &KINDS));
    let groups = kind.and_then(|kind| groups(kind, settings, remarks));
    let words = [("no", ClockTime::Unsaid), ("yes", ClockTime::Said)];
    let clock_time = remarks.keep(choice(Field::ClockTime, &settings.clock_time, &words));
    let flags = kind
        .zip(clock_time)
        .and_then(|(kind, clock_time)| remarks.keep(flags(kind, clock_time)));
    let colour_frame = colour_frame(settings, timebase, remarks);
    let content = Content {
        groups: groups?,
        binary_group_flags: flags?,
        flags: Flags {
            colour_frame: colour_frame?,
        },
    };
    explain(kind?, content, remarks);
    Some(content)
}

fn groups(kind: Kind, settings: &Settings, remarks: &mut Remarks) -> Option<Groups> {
    match kind {
        Kind::Hex => remarks
            .keep(user_bits::hex(Field::UserBits.name(), &settings.user_bits))
            .map(Groups::Same),
        Kind::Characters => remarks
            .keep(user_bits::characters(
                Field::Characters.name(),
                &settings.characters,
            ))
            .map(Groups::Same),
        Kind::Typed(order) => {
            let date = remarks.keep(user_bits::date(Field::Date.name(), &settings.date));
            let spare = remarks.keep(user_bits::spare(Field::Spare.name(), &settings.spare));
            let date = date?.short();
            let spare = spare?;
            Some(Groups::Same(TypedDate { order, date, spare }.into()))
        }
        Kind::DateAndZone => {
            let date = remarks.keep(user_bits::date(Field::Date.name(), &settings.date));
            let zone = remarks.keep(user_bits::zone(Field::Zone.name(), &settings.zone));
            Some(Groups::DateAndZone {
                date: date?,
                zone: zone?,
            })
        }
    }
}

/// IEC 60461 table 1, SMPTE ST 12-1 table 1.
fn flags(kind: Kind, clock_time: ClockTime) -> Result<BinaryGroupFlags, Problem> {
    use BinaryGroupFlags as Flags;
    match (kind, clock_time) {
        (Kind::Hex | Kind::Typed(_), ClockTime::Unsaid) => Ok(Flags::Unspecified),
        (Kind::Hex | Kind::Typed(_), ClockTime::Said) => Ok(Flags::ClockTime),
        (Kind::Characters, ClockTime::Unsaid) => Ok(Flags::Characters),
        (Kind::DateAndZone, ClockTime::Unsaid) => Ok(Flags::DateAndZone),
        (Kind::DateAndZone, ClockTime::Said) => Ok(Flags::ClockTimeDateAndZone),
        (Kind::Characters, ClockTime::Said) => Err(Field::ClockTime.problem(
            "The flags can't say four characters and clock time at once: that combination \
                   is not to be sent (SMPTE ST 12-1 clause 8.4.4)."
                .to_owned(),
            "Leave clock time unsaid, or choose other user bits.",
        )),
    }
}

fn colour_frame(
    settings: &Settings,
    timebase: Option<Timebase>,
    remarks: &mut Remarks,
) -> Option<ColourFrame> {
    let words = [
        ("clear", ColourFrame::Unspecified),
        ("set", ColourFrame::Followed),
    ];
    let colour_frame = remarks.keep(choice(Field::ColourFrame, &settings.colour_frame, &words))?;
    if colour_frame == ColourFrame::Unspecified {
        return Some(colour_frame);
    }
    let layout = timebase.map(|timebase| plumbline_ltc::Layout::from(timebase.count()));
    if layout.is_some_and(|layout| layout.colour_frame_flag().is_none()) {
        return remarks.keep(Err(Field::ColourFrame.problem(
            "Code that counts to 24 has no colour-frame flag.".to_owned(),
            "Leave it clear.",
        )));
    }
    remarks.note(
        Field::ColourFrame,
        "Says that addresses follow the colour frames of the picture (IEC 60461 clauses 4.2.4 and \
         5.3). Set it only to stand in for a source that says so.",
    );
    Some(colour_frame)
}

fn explain(kind: Kind, content: Content, remarks: &mut Remarks) {
    let flags = content.binary_group_flags;
    let [bgf2, bgf1, bgf0] = flags.flags().map(u8::from);
    let bits = user_bits::in_pairs(content.groups.on_day(0));
    remarks.note(
        Field::UserBitsAre,
        format!(
            "Sent as {bits}, group 8 first, with the binary group flags {bgf2}{bgf1}{bgf0}: {} ({}).",
            user_bits::meaning(flags),
            user_bits::clauses(flags)
        ),
    );
    match kind {
        Kind::Typed(order) => remarks.note(
            Field::Date,
            format!("No flag tells that this is a date, or that it is {order}: tell whoever reads it."),
        ),
        Kind::DateAndZone => remarks.note(
            Field::Date,
            "The day goes on by one where the address passes 00:00:00:00. Addresses are local time.",
        ),
        Kind::Hex | Kind::Characters => {}
    }
    if flags.bgf1() {
        remarks.note(
            Field::ClockTime,
            "Says that addresses come from an external precision clock. Set it only where they do.",
        );
    }
}

impl Groups {
    /// The user bits so many midnights after the first codeword (SMPTE ST 2059-1 clause 9.3.4:
    /// the date steps at 00:00:00:00).
    pub(crate) fn on_day(self, days: i64) -> UserBits {
        match self {
            Self::Same(bits) => bits,
            Self::DateAndZone { date, zone } => {
                // Every day of the years that can be typed, and a hundred around them, is one.
                let day = later(date, days).unwrap_or(date);
                Stamp::new(Day::Local(day.short()), zone)
                    .and_then(Stamp::user_bits)
                    .unwrap_or_default()
            }
        }
    }
}

fn later(date: Date, days: i64) -> Option<Date> {
    let day = i64::from(date.modified_julian_day()?).checked_add(days)?;
    Date::from_modified_julian_day(u32::try_from(day).ok()?).ok()
}
