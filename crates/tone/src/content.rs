//! What a codeword says beside its address: user bits and flags.

use plumbline_ltc::{ColourFrame, Flags};
use plumbline_timecode::st309::{Day, Stamp, UtcOffset};
use plumbline_timecode::{
    BinaryGroupFlags, Date, DateError, DateOrder, Timebase, TypedDate, UserBits,
};

use crate::Settings;
use crate::field::Field;
use crate::remarks::Remarks;
use crate::typed::{choice, quoted, whole_number};
use plumbline_words::{Problem, sentence};

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

const WRITTEN: &str = "Type year, month and day, such as 2026-11-25.";

/// Two digits for the year are all that user bits have; these are the years that they may mean.
const YEARS: std::ops::RangeInclusive<u16> = 1970..=2069;

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
        Kind::Hex => remarks.keep(hex(&settings.user_bits)).map(Groups::Same),
        Kind::Characters => remarks
            .keep(characters(&settings.characters))
            .map(Groups::Same),
        Kind::Typed(order) => {
            let date = remarks.keep(date(&settings.date));
            let spare = remarks.keep(spare(&settings.spare));
            let date = date?.short();
            let spare = spare?;
            Some(Groups::Same(TypedDate { order, date, spare }.into()))
        }
        Kind::DateAndZone => {
            let date = remarks.keep(date(&settings.date));
            let zone = remarks.keep(zone(&settings.zone));
            Some(Groups::DateAndZone {
                date: date?,
                zone: zone?,
            })
        }
    }
}

fn hex(typed: &str) -> Result<UserBits, Problem> {
    typed
        .parse()
        .map_err(|error: plumbline_timecode::HexError| {
            Field::UserBits.problem(
                sentence(&error.to_string()),
                "Type eight of the digits 0 to 9 and A to F, such as 25112601.",
            )
        })
}

fn characters(typed: &str) -> Result<UserBits, Problem> {
    UserBits::from_text(typed).map_err(|error| {
        Field::Characters.problem(
            sentence(&error.to_string()),
            "Type four letters, digits, blanks or signs, such as CAM2.",
        )
    })
}

fn spare(typed: &str) -> Result<u8, Problem> {
    let typed = typed.trim();
    let digits = typed.len() == 2 && typed.bytes().all(|digit| digit.is_ascii_hexdigit());
    u8::from_str_radix(typed, 16)
        .ok()
        .filter(|_| digits)
        .ok_or_else(|| {
            Field::Spare.problem(
                format!("{} is no pair of digits.", quoted(typed)),
                "Type two of the digits 0 to 9 and A to F, such as 01.",
            )
        })
}

fn date(typed: &str) -> Result<Date, Problem> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Err(Field::Date.problem("No date was typed.".to_owned(), WRITTEN));
    }
    let (year, month, day) = parts(typed)
        .ok_or_else(|| Field::Date.problem(format!("{} is no date.", quoted(typed)), WRITTEN))?;
    if !YEARS.contains(&year) {
        return Err(Field::Date.problem(
            format!("User bits have two digits for the year, and {year:04} needs more."),
            format!("{} to {} would be right.", YEARS.start(), YEARS.end()),
        ));
    }
    Date::new(year, month, day).map_err(|error| {
        let remedy = match error {
            DateError::Day { last, .. } => {
                format!("{year}-{month:02}-01 to {year}-{month:02}-{last:02} would be right.")
            }
            _ => WRITTEN.to_owned(),
        };
        Field::Date.problem(sentence(&error.to_string()), &remedy)
    })
}

/// Year, month and day as numbers.
fn parts(typed: &str) -> Option<(u16, u8, u8)> {
    let mut parts = typed.split('-').map(whole_number);
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    if parts.next().is_some() {
        return None;
    }
    Some((
        u16::try_from(year).ok()?,
        u8::try_from(month).ok()?,
        u8::try_from(day).ok()?,
    ))
}

fn zone(typed: &str) -> Result<UtcOffset, Problem> {
    let offset: UtcOffset = typed.parse().map_err(|_| {
        Field::Zone.problem(
            format!("{} is no offset from UTC.", quoted(typed)),
            "Type how far local time is ahead of UTC, such as +01:00, −03:30 or Z.",
        )
    })?;
    match plumbline_timecode::st309::ZoneCode::for_offset(offset) {
        Ok(_) => Ok(offset),
        Err(error) => Err(Field::Zone.problem(
            sentence(&error.to_string()),
            "Send the date without a zone, in one of the three orders, or the nearest offset that \
             has a code if all who read it know.",
        )),
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
    let bits = in_pairs(content.groups.on_day(0));
    remarks.note(
        Field::UserBitsAre,
        format!(
            "Sent as {bits}, group 8 first, with the binary group flags {bgf2}{bgf1}{bgf0}: {}.",
            meaning(flags)
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

/// What the flags say, and the clauses of SMPTE ST 12-1 and IEC 60461.
fn meaning(flags: BinaryGroupFlags) -> &'static str {
    match flags {
        BinaryGroupFlags::Unspecified => {
            "free use (SMPTE ST 12-1 clause 8.4.1, IEC 60461 clause 7.4.2)"
        }
        BinaryGroupFlags::Characters => {
            "four 8-bit characters (SMPTE ST 12-1 clause 8.4.2, IEC 60461 clause 7.4.3)"
        }
        BinaryGroupFlags::ClockTime => {
            "clock time, free use (SMPTE ST 12-1 clause 8.4.3, IEC 60461 clause 7.4.6)"
        }
        BinaryGroupFlags::DateAndZone => {
            "date and time zone as in SMPTE ST 309 (SMPTE ST 12-1 clause 8.4.5, IEC 60461 clause \
             7.4.4)"
        }
        BinaryGroupFlags::ClockTimeDateAndZone => {
            "clock time, date and time zone as in SMPTE ST 309 (SMPTE ST 12-1 clause 8.4.7, IEC \
             60461 clause 7.4.8)"
        }
        BinaryGroupFlags::Reserved
        | BinaryGroupFlags::PageLine
        | BinaryGroupFlags::ClockTimePageLine => "not sent from here",
    }
}

/// "25 11 26 01", as it was typed.
pub(crate) fn in_pairs(bits: UserBits) -> String {
    let [a, b, c, d] = bits.0.to_be_bytes();
    format!("{a:02X} {b:02X} {c:02X} {d:02X}")
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
    let day = i64::from(date.modified_julian_day()?) + days;
    Date::from_modified_julian_day(u32::try_from(day).ok()?).ok()
}
