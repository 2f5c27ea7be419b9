//! Codewords in, stretches out: no sound is needed to say what may be called read.

use super::{Continuity, FrameList};
use crate::run::Motion;
use crate::stretch::Basis;
use crate::waiting::Patience;
use crate::word::Word;
use plumbline_ltc::{Codeword, Direction, Flags, PolarityRule, Position, Together, UserBitsHeard};
use plumbline_timecode::{BinaryGroupFlags, Count, FrameNumber, TimeAddress, UserBits};

const PERIOD: f64 = 1920.0;

/// The codeword of frame `number`, in the place of the `place`-th codeword of the recording.
fn word(place: u32, number: u32) -> Word {
    let address = TimeAddress::from_frame_number(Count::F25, FrameNumber(number)).unwrap();
    let none = BinaryGroupFlags::Unspecified;
    let rule = PolarityRule::Corrected;
    let codeword = Codeword::new(address, UserBits(1), none, Flags::default(), rule);
    let begins = f64::from(place) * PERIOD;
    Word {
        codeword,
        direction: Direction::Forward,
        begins,
        ends: begins + PERIOD,
        first_edge: begins,
        period: PERIOD,
        trusted: true,
        amplitude: 0.1,
        full_scale: false,
        over: None,
    }
}

fn heard(words: impl IntoIterator<Item = Word>) -> Continuity {
    let mut continuity = Continuity::new(FrameList::Keep, Patience::Patient);
    for word in words {
        continuity.push(word);
    }
    continuity.end();
    continuity
}

fn read(continuity: &Continuity) -> usize {
    continuity.words.as_ref().map(Vec::len).unwrap()
}

#[test]
fn a_lone_codeword_is_nothing_and_two_that_count_on_are_code() {
    assert!(heard([word(0, 100)]).stretches.items.is_empty());
    let two = heard([word(0, 100), word(1, 101)]);
    assert_eq!((two.stretches.items.len(), read(&two)), (1, 2));
    let unlike = heard([word(0, 100), word(1, 4_000), word(2, 77)]);
    assert!(unlike.stretches.items.is_empty());
}

#[test]
fn untrusted_codewords_need_twice_as_many() {
    let doubtful = |place, number| Word {
        trusted: false,
        ..word(place, number)
    };
    assert!(
        heard((0..3).map(|n| doubtful(n, 100 + n)))
            .stretches
            .items
            .is_empty()
    );
    assert_eq!(read(&heard((0..4).map(|n| doubtful(n, 100 + n)))), 4);
}

#[test]
fn an_odd_codeword_among_its_neighbours_is_damage_and_no_jump() {
    let words = (0..50).map(|n| {
        if n == 20 {
            word(n, 9_000)
        } else {
            word(n, 100 + n)
        }
    });
    let continuity = heard(words);
    assert_eq!(
        (continuity.stretches.items.len(), read(&continuity)),
        (1, 49)
    );
    assert_eq!(
        (
            continuity.damaged.clear.items.len(),
            continuity.dropouts.clear.items.len()
        ),
        (1, 0)
    );
}

/// Two with the same bit flipped count on from each other: that is no jump, and no code.
#[test]
fn codewords_that_are_damaged_alike_are_not_read() {
    let alike = |n: u32| {
        if n.is_multiple_of(3) {
            9_000 + n
        } else {
            100_000 + n * 777
        }
    };
    assert_eq!(read(&heard((0..60).map(|n| word(n, alike(n))))), 0);
    let beside = |n: u32| {
        if n.is_multiple_of(2) {
            100 + n
        } else {
            alike(n)
        }
    };
    let continuity = heard((0..60).map(|n| word(n, beside(n))));
    assert_eq!(
        (continuity.stretches.items.len(), read(&continuity)),
        (1, 30)
    );
}

#[test]
fn a_jump_is_known_by_what_follows_it() {
    let continuity = heard((0..50).map(|n| word(n, if n < 20 { 100 + n } else { 128 + n })));
    assert_eq!(
        (continuity.stretches.items.len(), read(&continuity)),
        (2, 50)
    );
    assert!(continuity.damaged.clear.items.is_empty());
    let second = &continuity.stretches.items[1];
    assert_eq!(second.run.first.codeword, word(20, 148).codeword);
}

#[test]
fn codewords_that_are_missing_are_lost_where_the_count_goes_on() {
    let continuity = heard(
        (0..50)
            .filter(|n| !(20..23).contains(n))
            .map(|n| word(n, 100 + n)),
    );
    let dropouts: Vec<u64> = continuity
        .dropouts
        .clear
        .items
        .iter()
        .map(|gap| gap.frames)
        .collect();
    assert_eq!((continuity.stretches.items.len(), dropouts), (1, vec![3]));
    assert_eq!(continuity.stretches.items[0].lost, 3);
}

#[test]
fn an_address_that_comes_again_stands_still() {
    let continuity = heard((0..40).map(|n| word(n, 100 + n.min(10))));
    let motions: Vec<Motion> = continuity
        .stretches
        .items
        .iter()
        .map(crate::stretch::Stretch::motion)
        .collect();
    assert_eq!(motions, [Motion::Onwards, Motion::Still]);
    assert_eq!(read(&continuity), 40);
}

#[test]
fn midnight_is_no_break() {
    let day = Count::F25.frames_per_day();
    let continuity = heard((0..40).map(|n| word(n, (day - 20 + n) % day)));
    assert_eq!(
        (continuity.stretches.items.len(), read(&continuity)),
        (1, 40)
    );
}

#[test]
fn user_bits_change_when_two_codewords_say_so() {
    let with = |place, bits| {
        let mut word = word(place, 100 + place);
        let address = word.codeword.address(Count::F25).unwrap();
        let (none, rule) = (BinaryGroupFlags::Unspecified, PolarityRule::Corrected);
        word.codeword = Codeword::new(address, UserBits(bits), none, Flags::default(), rule);
        word
    };
    let once = heard((0..30).map(|n| with(n, if n == 10 { 2 } else { 1 })));
    assert!(once.user_bits.items.is_empty());
    let stays = heard((0..30).map(|n| with(n, if n < 10 { 1 } else { 2 })));
    assert_eq!(stays.user_bits.items.len(), 1);
    assert_eq!(
        stays.user_bits.items[0].word.begins.to_bits(),
        (10.0 * PERIOD).to_bits()
    );
}

#[test]
fn memory_is_bounded_whatever_comes() {
    // A jump after every two codewords, for many more stretches than are kept.
    let mut continuity = Continuity::new(FrameList::Leave, Patience::Patient);
    for n in 0..40_000 {
        continuity.push(word(n, (n / 2 * 1_000 + n % 2) % 2_000_000));
    }
    assert_eq!(continuity.stretches.items.len(), super::STRETCHES);
    assert!(continuity.stretches.more > 10_000);
    assert!(continuity.clock.points().len() <= 1_024);
}

fn position(place: u32) -> Position {
    Position {
        sample: u64::from(place) * 1920,
        fraction: 0.0,
    }
}

/// Two hundred codewords from frame `number` on, heard together with odds of `log10`.
fn together(place: u32, number: u32, log10: f64) -> Together {
    Together {
        codewords: (0..200).map(|n| word(n, number + n).codeword).collect(),
        begins: position(place),
        ends: position(place + 200),
        samples_per_codeword: PERIOD,
        user_bits: UserBitsHeard::Alike,
        direction: Direction::Forward,
        odds: log10 * std::f64::consts::LN_10,
        fit: 1.0,
        jumps: 0.0,
        level: 0.1,
    }
}

#[test]
fn what_is_heard_together_is_a_stretch_from_a_million_to_one_on() {
    let mut continuity = heard([]);
    continuity.hear(&together(0, 1_000, 5.9));
    assert!(continuity.stretches.items.is_empty());
    assert!(continuity.suspected.is_some());
    // Another start bears nothing out, the same one does.
    continuity.hear(&together(200, 9_000, 4.0));
    assert!(continuity.stretches.items.is_empty());
    continuity.hear(&together(400, 9_200, 4.0));
    let stretches = &continuity.stretches.items;
    assert_eq!(stretches.len(), 1);
    assert_eq!((stretches[0].length, stretches[0].read()), (400, 0));
    assert_eq!(read(&continuity), 0);
    let Basis::Together { odds_log10, .. } = stretches[0].basis else {
        panic!("{:?}", stretches[0].basis);
    };
    assert!((odds_log10 - 8.0).abs() < 1e-9);
}

#[test]
fn codewords_are_not_read_into_what_was_heard_together() {
    let mut continuity = heard([]);
    continuity.hear(&together(0, 1_000, 9.0));
    continuity.push(word(200, 1_200));
    assert_eq!(read(&continuity), 0);
    continuity.push(word(201, 1_201));
    continuity.end();
    assert_eq!(read(&continuity), 2);
    assert_eq!(continuity.stretches.items.len(), 2);
}

#[test]
fn what_jumps_or_does_not_fit_is_suspected_however_high_the_odds() {
    for odd in [
        Together {
            jumps: 50.0,
            ..together(0, 1_000, 12.0)
        },
        Together {
            fit: 0.5,
            ..together(0, 1_000, 12.0)
        },
    ] {
        let mut continuity = heard([]);
        continuity.hear(&odd);
        assert!(continuity.stretches.items.is_empty());
        assert!(continuity.suspected.is_some());
    }
}
