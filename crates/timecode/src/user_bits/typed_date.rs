//! A date typed as digits, in the orders that people use.
//!
//! No standard has this and no marker tells which order was used: whoever reads it must be asked,
//! or be shown every reading that makes sense.

use std::fmt;

use thiserror::Error;

use super::UserBits;
use crate::{DateError, ShortDate};

/// In which order the digits of a date were typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DateOrder {
    /// DDMMYY.
    DayMonthYear,
    /// MMDDYY.
    MonthDayYear,
    /// YYMMDD.
    YearMonthDay,
}

/// What user bits say if they are a typed date: six decimal digits in groups 8 to 3, and two
/// spare digits, often a roll or a camera, in groups 2 and 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct TypedDate {
    /// The order of the digits.
    pub order: DateOrder,
    /// The day.
    pub date: ShortDate,
    /// The two spare hex digits: 0x01 for `01`.
    pub spare: u8,
}

/// Why user bits are no typed date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum TypedDateError {
    /// A digit above 9 where a decimal one belongs.
    #[error("the digits {0:02X} are not decimal")]
    NotDecimal(u8),
    /// Decimal digits that name no day.
    #[error("read as {order}: {error}")]
    NoDay {
        /// The order in which they were read.
        order: DateOrder,
        /// What is wrong with the day.
        #[source]
        error: DateError,
    },
}

impl DateOrder {
    /// All three.
    pub const ALL: [Self; 3] = [Self::DayMonthYear, Self::MonthDayYear, Self::YearMonthDay];
}

impl fmt::Display for DateOrder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::DayMonthYear => "DDMMYY",
            Self::MonthDayYear => "MMDDYY",
            Self::YearMonthDay => "YYMMDD",
        })
    }
}

impl UserBits {
    /// What the digits say as a date in that order.
    ///
    /// ```
    /// use plumbline_timecode::{DateOrder, UserBits};
    /// let read = UserBits(0x2511_2601).typed_date(DateOrder::DayMonthYear)?;
    /// assert_eq!(read.date.to_string(), "26-11-25");
    /// assert_eq!(read.spare, 0x01);
    /// assert!(UserBits(0x2511_2601).typed_date(DateOrder::MonthDayYear).is_err());
    /// # Ok::<(), plumbline_timecode::TypedDateError>(())
    /// ```
    pub fn typed_date(self, order: DateOrder) -> Result<TypedDate, TypedDateError> {
        let [a, b, c, spare] = self.0.to_be_bytes();
        let (a, b, c) = (decimal(a)?, decimal(b)?, decimal(c)?);
        let (year, month, day) = match order {
            DateOrder::DayMonthYear => (c, b, a),
            DateOrder::MonthDayYear => (c, a, b),
            DateOrder::YearMonthDay => (a, b, c),
        };
        match ShortDate::new(year, month, day) {
            Ok(date) => Ok(TypedDate { order, date, spare }),
            Err(error) => Err(TypedDateError::NoDay { order, error }),
        }
    }

    /// Every order in which the digits are a day: none, one, two or three.
    pub fn typed_dates(self) -> impl Iterator<Item = TypedDate> {
        DateOrder::ALL
            .into_iter()
            .filter_map(move |order| self.typed_date(order).ok())
    }
}

impl From<TypedDate> for UserBits {
    fn from(typed: TypedDate) -> Self {
        let date = typed.date;
        let (year, month, day) = (date.year(), date.month(), date.day());
        let [a, b, c] = match typed.order {
            DateOrder::DayMonthYear => [day, month, year],
            DateOrder::MonthDayYear => [month, day, year],
            DateOrder::YearMonthDay => [year, month, day],
        };
        Self(u32::from_be_bytes([
            digits(a),
            digits(b),
            digits(c),
            typed.spare,
        ]))
    }
}

/// The number that two decimal digits, one in each half of a byte, stand for.
fn decimal(digits: u8) -> Result<u8, TypedDateError> {
    let (tens, units) = (digits >> 4, digits & 15);
    if tens > 9 || units > 9 {
        return Err(TypedDateError::NotDecimal(digits));
    }
    Ok(tens * 10 + units)
}

/// Two decimal digits for a number below 100.
const fn digits(number: u8) -> u8 {
    number / 10 * 16 + number % 10
}
