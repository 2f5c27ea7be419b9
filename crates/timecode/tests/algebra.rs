//! Laws that hold for any frames, times and texts.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;

use plumbline_timecode::st309::Stamp;
use plumbline_timecode::{
    Count, Fraction, FrameNumber, Frames, Rounding, SampleRate, Samples, TimeAddress, Timebase,
    UserBits,
};

fn counts() -> impl Strategy<Value = Count> {
    proptest::sample::select(Count::ALL.to_vec())
}

fn timebases() -> impl Strategy<Value = Timebase> {
    proptest::sample::select(Timebase::all().collect::<Vec<_>>())
}

fn addresses_of(count: Count) -> impl Strategy<Value = TimeAddress> {
    (0..count.frames_per_day())
        .prop_map(move |n| TimeAddress::from_frame_number(count, FrameNumber(n)).unwrap())
}

fn addresses() -> impl Strategy<Value = TimeAddress> {
    counts().prop_flat_map(addresses_of)
}

fn pairs() -> impl Strategy<Value = (TimeAddress, TimeAddress)> {
    counts().prop_flat_map(|count| (addresses_of(count), addresses_of(count)))
}

fn timed_addresses() -> impl Strategy<Value = (Timebase, TimeAddress)> {
    timebases().prop_flat_map(|timebase| (Just(timebase), addresses_of(timebase.count())))
}

/// Sample rates that files have, some of them pulled.
fn sample_rates() -> impl Strategy<Value = SampleRate> {
    (8_000_u32..=192_000, 0..3).prop_map(|(hertz, pull)| {
        let rate = SampleRate::hertz(hertz).unwrap();
        match pull {
            0 => rate,
            1 => rate.pulled_down().unwrap(),
            _ => rate.pulled_up().unwrap(),
        }
    })
}

fn fractions() -> impl Strategy<Value = Fraction> {
    (any::<i64>(), 1..i64::MAX).prop_map(|(n, d)| Fraction::new(n.into(), d.into()).unwrap())
}

fn typed() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[0-9:;., ]{0,14}",
        "[0-9]{1,3}([:;.,][0-9]{1,3}){0,4}"
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4096))]

    #[test]
    fn there_and_back_is_here(address in addresses(), frames in -i64::MAX..=i64::MAX) {
        let there = address.plus_wrapping(Frames(frames));
        prop_assert_eq!(there.plus_wrapping(-Frames(frames)), address);
    }

    #[test]
    fn steps_add_up(address in addresses(), a in any::<i32>(), b in any::<i32>()) {
        let (a, b) = (Frames(a.into()), Frames(b.into()));
        prop_assert_eq!(
            address.plus_wrapping(a).plus_wrapping(b),
            address.plus_wrapping(a + b)
        );
    }

    #[test]
    fn the_way_from_one_to_another_leads_there((a, b) in pairs()) {
        let way = a.frames_until(b).unwrap();
        prop_assert_eq!(a.checked_plus(way), Ok(b));
        prop_assert_eq!(b.frames_until(a), Some(-way));
        prop_assert_eq!(a < b, way > Frames(0));
        let short = a.frames_until_wrapping(b).unwrap();
        prop_assert_eq!(a.plus_wrapping(short), b);
        prop_assert!(short.0.abs() * 2 <= i64::from(a.count().frames_per_day()));
    }

    #[test]
    fn a_step_is_refused_just_where_it_leaves_the_day(address in addresses(), frames in any::<i64>()) {
        let sum = i128::from(address.frame_number().0) + i128::from(frames);
        let inside = (0..i128::from(address.count().frames_per_day())).contains(&sum);
        let stepped = address.checked_plus(Frames(frames));
        prop_assert_eq!(stepped.is_ok(), inside);
        if let Ok(there) = stepped {
            prop_assert_eq!(there, address.plus_wrapping(Frames(frames)));
        }
    }

    #[test]
    fn addresses_counted_otherwise_have_no_order(a in addresses(), b in addresses()) {
        let alike = a.count() == b.count();
        prop_assert_eq!(a.partial_cmp(&b).is_some(), alike);
        prop_assert_eq!(a.frames_until(b).is_some(), alike);
    }

    #[test]
    fn exact_time_leads_back_whatever_the_rounding(
        (timebase, address) in timed_addresses(),
        rate in sample_rates(),
    ) {
        let seconds = timebase.seconds_at(address).unwrap();
        let samples = timebase.samples_at(address, rate).unwrap();
        prop_assert_eq!(samples.seconds(rate), Some(seconds));
        prop_assert_eq!(seconds.samples(rate), Some(samples));
        for rounding in [Rounding::Down, Rounding::Nearest, Rounding::Up] {
            prop_assert_eq!(timebase.address_at(seconds, rounding), Ok(address));
            prop_assert_eq!(timebase.address_at_samples(samples, rate, rounding), Ok(address));
        }
    }

    #[test]
    fn whole_samples_lead_back_when_rounded_to_the_nearest(
        (timebase, address) in timed_addresses(),
        rate in sample_rates(),
        rounding in proptest::sample::select(vec![Rounding::Down, Rounding::Nearest, Rounding::Up]),
    ) {
        let samples = timebase.samples_at(address, rate).unwrap();
        let stamp = Samples::whole(i64::try_from(samples.round(rounding)).unwrap());
        prop_assert_eq!(timebase.address_at_samples(stamp, rate, Rounding::Nearest), Ok(address));
    }

    #[test]
    fn what_is_shown_can_be_typed(address in addresses()) {
        let shown = address.to_string();
        prop_assert_eq!(TimeAddress::parse(&shown, address.count()), Ok(address));
        let bare: String = shown.chars().filter(char::is_ascii_digit).collect();
        prop_assert_eq!(TimeAddress::parse(&bare, address.count()), Ok(address));
    }

    #[test]
    fn any_text_is_read_or_refused_with_a_place(text in typed(), count in counts()) {
        match TimeAddress::parse(&text, count) {
            Ok(address) => {
                prop_assert_eq!(address.count(), count);
                prop_assert_eq!(TimeAddress::parse(&address.to_string(), count), Ok(address));
            }
            Err(error) => {
                prop_assert!(text.get(error.span.clone()).is_some());
                prop_assert!(!error.to_string().is_empty());
            }
        }
    }

    #[test]
    fn fractions_keep_their_laws(a in fractions(), b in fractions()) {
        if let Some(sum) = a.checked_add(b) {
            prop_assert_eq!(b.checked_add(a), Some(sum));
        }
        if let Some(difference) = a.checked_sub(b) {
            prop_assert_eq!(a.cmp(&b), difference.cmp(&Fraction::ZERO));
        }
        if let (Some(sum), Some(_)) = (a.checked_add(b), b.checked_sub(a)) {
            prop_assert_eq!(sum.checked_sub(b).unwrap_or(a), a);
        }
        if let Some(product) = a.checked_mul(b) {
            prop_assert_eq!(b.checked_mul(a), Some(product));
            if b != Fraction::ZERO {
                prop_assert_eq!(product.checked_div(b), Some(a));
            }
        }
        // Cross products fit here, and are an order of their own.
        let across = (a.numerator() * b.denominator()).cmp(&(b.numerator() * a.denominator()));
        prop_assert_eq!(a.cmp(&b), across);
        let (down, up) = (a.round(Rounding::Down), a.round(Rounding::Up));
        prop_assert_eq!(up - down, i128::from(a.denominator() != 1));
        prop_assert!((a.as_f64() - a.numerator() as f64 / a.denominator() as f64).abs()
            <= a.as_f64().abs() * 1e-15 + 1e-15);
    }

    #[test]
    fn a_stamp_that_is_read_is_written_alike(bits in any::<u32>()) {
        if let Ok(stamp) = Stamp::read(UserBits(bits)) {
            prop_assert_eq!(stamp.user_bits(), Ok(UserBits(bits)));
        }
        // Few random bits are a date: these are, in the YYMMDD form.
        let likely = UserBits((bits & 0x7F00_0000) | (0x0021_0101 + (bits & 0x0007_0007)));
        let stamp = Stamp::read(likely).unwrap();
        prop_assert_eq!(stamp.user_bits(), Ok(likely));
    }

    #[test]
    fn user_bits_in_other_clothes_are_the_same(bits in any::<u32>()) {
        let bits = UserBits(bits);
        prop_assert_eq!(bits.to_string().parse(), Ok(bits));
        prop_assert_eq!(UserBits::from_groups(bits.groups()), Ok(bits));
        prop_assert_eq!(UserBits::from_characters(bits.characters()), bits);
        for typed in bits.typed_dates() {
            prop_assert_eq!(UserBits::from(typed), bits);
        }
        if let Some(text) = bits.text() {
            prop_assert_eq!(UserBits::from_text(&text), Ok(bits));
        }
    }
}
