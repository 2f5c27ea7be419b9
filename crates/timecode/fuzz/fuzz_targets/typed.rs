//! Everything that is read from a text: whatever is typed is read, or refused with a place in it;
//! and what was read is read alike when it is typed as it is shown.
//!
//! `cargo +nightly fuzz run typed`, in the folder `crates/timecode`.

#![no_main]

use std::fmt::{Debug, Display};
use std::str::FromStr;

use libfuzzer_sys::fuzz_target;
use plumbline_timecode::st309::UtcOffset;
use plumbline_timecode::{Count, Rate, TimeAddress, UserBits};

fuzz_target!(|text: &str| {
    for count in Count::ALL {
        match TimeAddress::parse(text, count) {
            Ok(address) => {
                assert_eq!(TimeAddress::parse(&address.to_string(), count), Ok(address));
                let built = TimeAddress::from_frame_number(count, address.frame_number());
                assert_eq!(built, Ok(address));
            }
            Err(error) => {
                assert!(text.get(error.span.clone()).is_some(), "{error:?}");
                assert!(error.to_string().len() < 300, "{error}");
            }
        }
    }
    shown_and_read_again::<Rate>(text);
    shown_and_read_again::<UserBits>(text);
    shown_and_read_again::<UtcOffset>(text);
});

fn shown_and_read_again<T: FromStr + Display + Debug + PartialEq>(text: &str) {
    if let Ok(value) = text.parse::<T>() {
        assert_eq!(value.to_string().parse().ok(), Some(value));
    }
}
