//! Orders for tests.
#![allow(dead_code, reason = "every test uses its part")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_timecode::{Count, Rate, TimeAddress};
use plumbline_tone::{Begins, Heard, LiveStart, Order, OutputRate, Settings, live_order};

/// Code from an address on, at once.
pub(crate) fn order(
    (rate, count): (Rate, Count),
    first: TimeAddress,
    hertz: u32,
    heard: Heard,
) -> Order {
    let settings = Settings {
        rate: rate.name().to_owned(),
        counting: if count.is_drop() { "drop" } else { "non-drop" }.to_owned(),
        start: first.to_string(),
        user_bits: "25112601".to_owned(),
        ..Settings::default()
    };
    let rate = OutputRate::hertz(hertz).unwrap();
    live_order(&settings, LiveStart::Typed, rate, heard).unwrap()
}

/// The same, counted from a sample.
pub(crate) fn at(order: Order, begins: Begins) -> Order {
    let (kind, sample) = match begins {
        Begins::AtOnce => (0, 0),
        Begins::Counted(sample) => (1, sample),
    };
    let mut bytes = order.to_bytes();
    bytes[7] = kind;
    bytes[24..].copy_from_slice(&sample.to_le_bytes());
    let order = Order::from_bytes(&bytes).unwrap();
    assert_eq!(order.begins(), begins);
    order
}
