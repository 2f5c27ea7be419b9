//! The module by its exported functions, as a worklet and a page call them: whatever they hand
//! over, nothing panics.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

mod common;

use common::at;
use plumbline_live::exports;
use plumbline_timecode::{Count, Rate, TimeAddress};
use plumbline_tone::{Begins, Heard, Order};
use proptest::prelude::*;

fn order(begins: Begins) -> Order {
    let first = TimeAddress::new(Count::F25, 10, 0, 0, 0).unwrap();
    at(
        common::order((Rate::F25, Count::F25), first, 48_000, Heard::Code),
        begins,
    )
}

fn hand_over(bytes: &[u8]) {
    for &byte in bytes {
        exports::order_byte(byte.into());
    }
}

#[test]
fn a_worklet_prepares_plays_and_is_told_what_began() {
    let bytes = order(Begins::AtOnce).to_bytes();
    hand_over(&bytes[..7]);
    assert_eq!(exports::prepare(), 1);
    assert!(exports::text_length() > 20);
    assert_eq!(exports::render(0.0, 128), 1);

    hand_over(&bytes);
    assert_eq!(exports::prepare(), 0);
    assert_eq!(exports::render(0.0, 128), 0);
    assert!(exports::begun().is_nan() && exports::flash().is_nan());
    hand_over(&bytes);
    assert_eq!(exports::play(128.0), 0);
    assert_eq!(exports::render(128.0, 128), 0);
    assert!(exports::samples() != 0);
    assert_eq!(exports::begun().to_bits(), 192.0_f64.to_bits());
    assert_eq!(exports::text_length(), "10:00:00:00".len());
    assert!(exports::begun().is_nan());
    assert_eq!(
        exports::flash().to_bits(),
        (192.0_f64 + 5.0 * 1920.0).to_bits()
    );
    assert_eq!(exports::render(512.0, 128), 1);
    assert!(exports::begun().is_nan());
}

#[test]
fn a_page_watches_what_is_at_the_output() {
    hand_over(&order(Begins::AtOnce).to_bytes());
    assert_eq!(exports::watch(), 0);
    assert_eq!(exports::check(), 0);
    let read = |second: f64, lost: f64| {
        let page = 5_000.0 + second * 1e3;
        let output = second - lost;
        let status =
            exports::read_clocks(1.8e12 + page, page, output, page, output + 0.03, f64::NAN);
        (status, exports::check())
    };
    for tenth in 0..100 {
        assert_eq!(read(1.0 + f64::from(tenth) / 10.0, 0.0), (0, 0));
    }
    assert!((exports::output_sample(0.0) - 48_000.0 * 10.9).abs() < 1e-3);
    assert!((exports::output_sample(20.0) - 48_000.0 * 10.92).abs() < 1e-3);
    assert!((exports::latency() - 30.0).abs() < 1e-3);
    assert_eq!(exports::known_by(), 0);
    exports::parted();
    assert!(exports::text_length() > 40);
    let lost = [11.0, 11.1, 11.2].map(|second| read(second, 0.5).1);
    assert_eq!(lost, [0, 0, 1]);
    assert_eq!(exports::read_clocks(f64::NAN, 0.0, 0.0, 0.0, 0.0, 0.0), 1);
    assert!(exports::output_sample(0.0).is_nan());
}

proptest! {
    #[test]
    fn nothing_that_is_handed_over_panics(
        bytes in prop::collection::vec(any::<u8>(), 0..40),
        changed in any::<prop::sample::Index>(),
        byte in any::<u8>(),
        sample in any::<i64>(),
        numbers in prop::array::uniform6(any::<f64>()),
        count in 0..5_000_u32,
    ) {
        let mut usual = order(Begins::Counted(sample)).to_bytes();
        usual[changed.index(usual.len())] = byte;
        for bytes in [bytes.as_slice(), &usual] {
            hand_over(bytes);
            exports::prepare();
            hand_over(bytes);
            exports::play(numbers[0]);
            exports::render(numbers[0], count);
            exports::begun();
            exports::flash();
            hand_over(bytes);
            exports::watch();
            for _ in 0..3 {
                let [a, b, c, d, e, f] = numbers;
                exports::read_clocks(a, b, c, d, e, f);
                exports::check();
                exports::output_sample(a);
                exports::latency();
                exports::parted();
            }
        }
    }
}
