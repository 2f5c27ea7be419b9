//! When a file says that it was made: a hint for people, never a place on the clock.

use std::io::{Read, Seek};

use plumbline_timecode::Date;

use crate::MediaError;
use crate::cursor::Cursor;

/// A statement of when the file or its content was made. Devices whose clock was never set, and
/// programs that wrote the file anew, make it worth little.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Creation {
    /// Where it stands: `"mvhd"`, `"DateUTC"` or `"ICRD"`.
    pub place: &'static str,
    /// What it says.
    pub when: When,
}

/// A time of the calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum When {
    /// A day and a second of it, which should be UTC; some devices write the time of their place.
    Utc {
        /// The day.
        date: Date,
        /// The second of the day, 0 to 86,399.
        second: u32,
    },
    /// As it was written.
    Written(String),
}

const DAY: u64 = 86_400;
/// The Modified Julian Dates of 1 January 1904 and of 1 January 2001.
const MOVIE_ORIGIN: u32 = 16_480;
const MATROSKA_ORIGIN: u32 = 51_910;

impl Creation {
    /// From the seconds since 1904 of a movie (ISO/IEC 14496-12, 8.2.2); 0 is nothing said.
    pub(crate) fn of_movie(seconds: u64) -> Option<Self> {
        let when = When::after(MOVIE_ORIGIN, seconds).filter(|_| seconds > 0)?;
        Some(Self {
            place: "mvhd",
            when,
        })
    }

    /// From the text of a list chunk; empty is nothing said.
    pub(crate) fn written(place: &'static str, text: &[u8]) -> Option<Self> {
        let text = text.split(|&byte| byte == 0).next().unwrap_or_default();
        let text = String::from_utf8_lossy(text).trim().to_owned();
        let when = When::Written(text.clone());
        (!text.is_empty()).then_some(Self { place, when })
    }

    /// From the information of a Matroska file (RFC 9559, 5.1.2.11): nanoseconds since 2001.
    pub(crate) fn of_matroska<S: Read + Seek>(
        cursor: &mut Cursor<S>,
    ) -> Result<Option<Self>, MediaError> {
        let Some(date) = date_of_matroska(cursor)? else {
            return Ok(None);
        };
        let seconds = u64::try_from(date.div_euclid(1_000_000_000)).ok();
        let when = seconds.and_then(|seconds| When::after(MATROSKA_ORIGIN, seconds));
        Ok(when.map(|when| Self {
            place: "DateUTC",
            when,
        }))
    }
}

impl When {
    /// So many seconds after the beginning of a day; none past the year 9999.
    fn after(origin: u32, seconds: u64) -> Option<Self> {
        let days = u32::try_from(seconds / DAY).ok()?.checked_add(origin)?;
        Some(Self::Utc {
            date: Date::from_modified_julian_day(days).ok()?,
            second: u32::try_from(seconds % DAY).ok()?,
        })
    }
}

const SEGMENT: u64 = 0x1853_8067;
const INFORMATION: u64 = 0x1549_A966;
const CLUSTER: u64 = 0x1F43_B675;
const DATE: u64 = 0x4461;
/// Most elements that are walked through: the information is among the first.
const ELEMENTS_AT_MOST: usize = 256;

/// An element of EBML (RFC 8794, 5): its number, where its content begins, and where it ends; the
/// end is not known where it is not told.
struct Element {
    id: u64,
    content: u64,
    end: Option<u64>,
}

fn date_of_matroska<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Option<i64>, MediaError> {
    let mut at = 0;
    for _ in 0..ELEMENTS_AT_MOST {
        let Some(element) = element(cursor, at)? else {
            break;
        };
        match element.id {
            CLUSTER => break,
            DATE => {
                let bytes = cursor.array::<8>(element.content)?;
                let is_whole = element.end == element.content.checked_add(8);
                return Ok(bytes.filter(|_| is_whole).map(i64::from_be_bytes));
            }
            // What it holds comes next.
            SEGMENT | INFORMATION => at = element.content,
            _ => match element.end {
                Some(end) => at = end,
                None => break,
            },
        }
    }
    Ok(None)
}

fn element<S: Read + Seek>(cursor: &mut Cursor<S>, at: u64) -> Result<Option<Element>, MediaError> {
    let head = cursor.read(at, 12)?;
    let Some((id, id_len)) = number(&head) else {
        return Ok(None);
    };
    let Some((marked, size_len)) = number(head.get(id_len..).unwrap_or_default()) else {
        return Ok(None);
    };
    // All ones are a size that is not told.
    let mask = (1 << (7 * size_len)) - 1;
    let size = marked & mask;
    let content = at + (id_len + size_len) as u64;
    Ok(Some(Element {
        id,
        content,
        end: content.checked_add(size).filter(|_| size != mask),
    }))
}

/// A number of variable length with its marker, and how many bytes it has.
fn number(bytes: &[u8]) -> Option<(u64, usize)> {
    let len = bytes.first()?.leading_zeros() as usize + 1;
    let bytes = bytes.get(..len).filter(|_| len <= 8)?;
    let value = bytes
        .iter()
        .fold(0, |value, &byte| value << 8 | u64::from(byte));
    Some((value, len))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utc(creation: Option<Creation>) -> (u16, u8, u8, u32) {
        match creation.unwrap().when {
            When::Utc { date, second } => (date.year(), date.month(), date.day(), second),
            When::Written(text) => panic!("{text}"),
        }
    }

    #[test]
    fn a_movie_counts_seconds_since_1904() {
        // 2,082,844,800 of them are from 1904 to 1970 (the offset that file(1) and others have).
        assert_eq!(
            utc(Creation::of_movie(2_082_844_800 + 61)),
            (1970, 1, 1, 61)
        );
        assert_eq!(utc(Creation::of_movie(1)), (1904, 1, 1, 1));
        assert_eq!(Creation::of_movie(0), None);
        assert_eq!(Creation::of_movie(u64::MAX), None);
    }

    /// An EBML header, a segment of unknown length, and information with a title and a date.
    fn matroska(date: &[u8]) -> Vec<u8> {
        let size = u8::try_from(date.len()).unwrap() | 0x80;
        let date = [&[0x44, 0x61, size], date].concat();
        let title = [0x7B, 0xA9, 0x83, b'd', b'a', b'y'];
        let size = u8::try_from(title.len() + date.len()).unwrap() | 0x80;
        let information = [&[0x15, 0x49, 0xA9, 0x66, size], &title[..], &date].concat();
        let segment = [
            0x18, 0x53, 0x80, 0x67, 0x01, 255, 255, 255, 255, 255, 255, 255,
        ];
        [
            &[0x1A, 0x45, 0xDF, 0xA3, 0x81, 0][..],
            &segment,
            &information,
        ]
        .concat()
    }

    fn read(file: Vec<u8>) -> Option<Creation> {
        let mut source = std::io::Cursor::new(file);
        Creation::of_matroska(&mut Cursor::new(&mut source).unwrap()).unwrap()
    }

    #[test]
    fn matroska_counts_nanoseconds_since_2001() {
        let day = 86_400_000_000_000_i64;
        let date = 730 * day - 1;
        let found = read(matroska(&date.to_be_bytes()));
        assert_eq!(utc(found), (2002, 12, 31, 86_399));
        assert_eq!(read(matroska(&[1, 2, 3])), None);
        assert_eq!(
            read(matroska(&(-1_i64).to_be_bytes())).map(|found| found.place),
            None
        );
    }

    #[test]
    fn a_file_that_is_cut_or_nonsense_says_nothing() {
        let file = matroska(&5_i64.to_be_bytes());
        for len in 0..file.len() {
            assert_eq!(read(file[..len].to_vec()), None, "{len}");
        }
        assert_eq!(read(vec![0; 100]), None);
        assert_eq!(read(vec![0xFF; 100]), None);
    }

    #[test]
    fn text_ends_at_its_first_zero() {
        let found = Creation::written("ICRD", b"2025-11-26\0\0x").unwrap();
        assert_eq!(found.when, When::Written("2025-11-26".to_owned()));
        assert_eq!(Creation::written("ICRD", b" \0"), None);
    }
}
