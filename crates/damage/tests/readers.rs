//! Scoring, and the reader for comparison.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_damage::{
    Added, Addresses, BitFlips, Decibels, Dropouts, EdgeCounter, Frame, Plumbline, Reader, Score,
    Seed, Source, Take, Tape, White,
};
use plumbline_timecode::{Count, Rate, SampleRate, TimeAddress};

const READERS: [&dyn Reader; 2] = [&EdgeCounter, &Plumbline];

fn source(rate: Rate) -> Source {
    Source::new(rate, SampleRate::hertz(48_000).unwrap())
}

fn truth(take: &Take) -> Vec<Frame> {
    take.words
        .iter()
        .map(|word| Frame {
            digits: word.meant.digits(),
            first_edge: word.first_edge(),
        })
        .collect()
}

#[test]
fn the_truth_itself_has_a_perfect_score() {
    let take = source(Rate::F25).take(30, Seed::tuning(1)).unwrap();
    let take = take
        .damaged(Seed::tuning(1), &[&Tape::ramp(1.0, -1.0)])
        .unwrap();
    let score = Score::of(&take, &truth(&take));
    assert_eq!((score.right, score.wrong), (score.whole, 0));
    assert_eq!(score.position_error(), Some(0.0));
    let nothing = Score::of(&take, &[]);
    assert_eq!(
        (nothing.right, nothing.wrong, nothing.share()),
        (0, 0, Some(0.0))
    );
}

#[test]
fn what_is_wrong_is_counted_as_wrong() {
    let midnight = TimeAddress::midnight(Count::F25);
    let counting = Source {
        addresses: Addresses::From(midnight),
        ..source(Rate::F25)
    };
    let take = counting.take(30, Seed::tuning(1)).unwrap();
    let judge = |change: fn(&mut Vec<Frame>)| {
        let mut frames = truth(&take);
        change(&mut frames);
        let score = Score::of(&take, &frames);
        (score.right, score.wrong)
    };
    // An address of elsewhere, half a codeword off and more, less, twice the same, and next to it.
    assert_eq!(judge(|frames| frames[3].digits.hours ^= 1), (29, 1));
    assert_eq!(judge(|frames| frames[3].first_edge += 961.0), (29, 1));
    assert_eq!(judge(|frames| frames[3].first_edge += 959.0), (30, 0));
    assert_eq!(judge(|frames| frames.push(frames[3])), (30, 1));
    assert_eq!(judge(|frames| frames[4].digits = frames[3].digits), (29, 1));
}

#[test]
fn what_is_torn_or_flipped_is_not_asked_for_and_its_flipped_address_is_wrong() {
    let flips = BitFlips { every: 3, bits: 1 };
    let take = Source {
        flips,
        ..source(Rate::F25)
    }
    .take(30, Seed::tuning(4))
    .unwrap();
    let meant = Score::of(&take, &truth(&take));
    assert_eq!((meant.whole, meant.right, meant.wrong), (20, 20, 0));
    let sent: Vec<Frame> = take
        .words
        .iter()
        .map(|word| Frame {
            digits: word.sent.digits(),
            first_edge: word.first_edge(),
        })
        .collect();
    let changed = take
        .words
        .iter()
        .filter(|word| word.sent.digits() != word.meant.digits());
    let changed = changed.count();
    assert!(changed > 0);
    assert_eq!(Score::of(&take, &sent).wrong as usize, changed);
    let dropped = source(Rate::F25).take(30, Seed::tuning(1)).unwrap();
    let dropouts = Dropouts {
        per_second: 3.0,
        seconds: 0.01,
    };
    let dropped = dropped.damaged(Seed::tuning(1), &[&dropouts]).unwrap();
    let score = Score::of(&dropped, &truth(&dropped));
    assert!(score.whole < 30);
    assert_eq!((score.right, score.wrong), (score.whole, 0));
}

#[test]
fn both_readers_read_clean_code_of_every_kind() {
    for reader in READERS {
        for rate in [Rate::F23_976, Rate::F24, Rate::F25, Rate::F29_97, Rate::F30] {
            for source in [source(rate), source(rate).reversed()] {
                let take = source.take(100, Seed::tuning(2)).unwrap();
                let score = Score::of(&take, &reader.read(&take));
                // An ordinary reader loses what it listens to while it finds the beat.
                assert!(
                    score.right >= 97,
                    "{}: {} at {rate}",
                    reader.name(),
                    score.right
                );
                assert_eq!(score.wrong, 0, "{}", reader.name());
                assert!(score.position_error().unwrap() < 0.5, "{}", reader.name());
            }
        }
    }
}

/// Edges in noise: at 10 dB and above an edge counter reads, at 0 dB there is nothing left of it.
#[test]
fn the_ordinary_reader_is_an_ordinary_reader() {
    let take = source(Rate::F25).take(250, Seed::tuning(3)).unwrap();
    let share = |snr| {
        let white = Added::at_snr(White, Decibels(snr));
        let noisy = take.clone().damaged(Seed::tuning(3), &[&white]).unwrap();
        Score::of(&noisy, &EdgeCounter.read(&noisy))
            .share()
            .unwrap()
    };
    assert!(share(20.0) > 0.95, "{}", share(20.0));
    assert!(share(0.0) < 0.05, "{}", share(0.0));
}
