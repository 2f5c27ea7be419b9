//! Which pairs of recordings are tried.

use crate::scene::{Ear, Source};
use crate::trial::{Pair, Truth};
use plumbline_sound::{Prior, Seconds};

/// Pairs of one kind, under a heading.
#[derive(Debug)]
pub(crate) struct Case {
    pub(crate) name: String,
    /// Of the seeds, one in so many: what takes long is tried less often.
    pub(crate) every: u64,
    pub(crate) pair: Pair,
}

/// Two recordings of a minute and of 45 s, that share 35 s.
fn pair(source: Source) -> Pair {
    Pair {
        source,
        first: Ear::new(3.0, 60.0),
        second: Ear {
            level_db: -20.0,
            band: (90.0, 9_000.0),
            ..Ear::new(28.003_217, 45.0)
        },
        truth: Truth::SameSound,
        prior: None,
    }
}

fn both(pair: Pair, change: impl Fn(&mut Ear)) -> Pair {
    let mut pair = pair;
    change(&mut pair.first);
    change(&mut pair.second);
    pair
}

/// All of them.
pub(crate) fn all() -> Vec<Case> {
    let mut cases = noisy();
    cases.extend(roomy());
    cases.extend(mixed());
    cases.extend(long());
    cases.extend(without_answer());
    cases
}

fn case(name: impl Into<String>, every: u64, pair: Pair) -> Case {
    Case {
        name: name.into(),
        every,
        pair,
    }
}

fn noisy() -> Vec<Case> {
    let mut cases = Vec::new();
    for (name, source) in [
        ("speech", Source::Speech),
        ("music", Source::Music),
        ("work", Source::Work),
    ] {
        for snr in [20.0, 10.0, 5.0, 0.0, -5.0] {
            let pair = both(pair(source), |ear| ear.snr_db = snr);
            cases.push(case(format!("{name}, {snr:+} dB in both"), 1, pair));
        }
    }
    cases
}

fn roomy() -> Vec<Case> {
    let mut cases = Vec::new();
    for (name, source) in [("speech", Source::Speech), ("music", Source::Music)] {
        for (one, other) in [(0.3, 0.4), (0.6, 0.8), (1.2, 1.0)] {
            for snr in [20.0, 5.0] {
                let mut pair = both(pair(source), |ear| ear.snr_db = snr);
                (pair.first.rt60, pair.second.rt60) = (one, other);
                let name = format!("{name} in rooms of {one} and {other} s, {snr:+} dB");
                cases.push(case(name, 1, pair));
            }
        }
    }
    cases
}

/// Speech, with something else the matter.
fn mixed() -> Vec<Case> {
    let plain = both(pair(Source::Speech), |ear| {
        ear.snr_db = 10.0;
        ear.rt60 = 0.4;
    });
    let second = |change: &dyn Fn(&mut Ear)| {
        let mut pair = plain;
        change(&mut pair.second);
        pair
    };
    let mut narrow = second(&|ear| ear.band = (300.0, 3_400.0));
    narrow.first.band = (40.0, 16_000.0);
    let mut cases = vec![
        case("levels 30 dB apart", 1, second(&|ear| ear.level_db = -56.0)),
        case("48 and 44.1 kHz", 1, second(&|ear| ear.hertz = 44_100)),
        case("48 and 8 kHz", 1, second(&|ear| ear.hertz = 8_000)),
        case("one through a telephone's band", 1, narrow),
        case(
            "one clipped half the time",
            1,
            second(&|ear| ear.level_db = 3.0),
        ),
        case("one upside down", 1, second(&|ear| ear.upside_down = true)),
        case(
            "hum in both, 10 dB over the speech",
            1,
            both(plain, |ear| ear.hum_db = 10.0),
        ),
        case(
            "one of 5 s within a minute",
            1,
            second(&|ear| {
                (ear.from, ear.seconds) = (33.003_217, 5.0);
            }),
        ),
        case(
            "one of 10 s within a minute",
            1,
            second(&|ear| {
                (ear.from, ear.seconds) = (33.003_217, 10.0);
            }),
        ),
        case(
            "8 s at the end of one, at the beginning of the other",
            1,
            second(&|ear| {
                ear.from = 55.003_217;
            }),
        ),
        case(
            "100 ppm apart over 35 s",
            1,
            second(&|ear| ear.ppm = -100.0),
        ),
    ];
    let mut told = pair(Source::Loop(8.0));
    told.prior = Some(Prior {
        from: Seconds(22.0),
        to: Seconds(28.0),
    });
    cases.push(case(
        "music that repeats every 8 s, with the offset known to ±3 s",
        1,
        told,
    ));
    cases
}

fn long() -> Vec<Case> {
    let mut drifting = both(pair(Source::Speech), |ear| ear.snr_db = 10.0);
    drifting.first = Ear {
        rt60: 0.4,
        ..Ear::new(3.0, 1_300.0)
    };
    drifting.second = Ear {
        ppm: -50.0,
        rt60: 0.6,
        snr_db: 10.0,
        ..Ear::new(33.003_217, 1_200.0)
    };
    let mut other_rate = drifting;
    other_rate.second.hertz = 44_100;
    other_rate.second.ppm = 50.0;
    let mut clip = drifting;
    (clip.second.from, clip.second.seconds) = (901.003_217, 20.0);
    vec![
        case("20 minutes, 50 ppm apart", 8, drifting),
        case("20 minutes, 50 ppm apart, 48 and 44.1 kHz", 8, other_rate),
        case("one of 20 s within 20 minutes", 8, clip),
    ]
}

/// Pairs that must be refused.
fn without_answer() -> Vec<Case> {
    let nothing = |source| Pair {
        truth: Truth::NoAnswer,
        ..pair(source)
    };
    let apart = |source| {
        let mut pair = nothing(source);
        pair.second.from = 70.0;
        pair
    };
    let mut hum = nothing(Source::Nothing);
    hum = both(hum, |ear| ear.hum_db = 10.0);
    let mut steady = apart(Source::Speech);
    steady = both(steady, |ear| ear.hum_db = 10.0);
    let mut stopped = nothing(Source::Speech);
    stopped.second.gap = Some((17.0, 2.3));
    let mut skipped = nothing(Source::Speech);
    skipped.second.gap = Some((17.0, 0.03));
    let mut short = apart(Source::Speech);
    short.second.seconds = 5.0;
    let mut long = apart(Source::Speech);
    (long.first.seconds, long.second.from, long.second.seconds) = (600.0, 610.0, 45.0);
    vec![
        case("other speech of the same voice", 1, apart(Source::Speech)),
        case("other speech, 5 s", 1, short),
        case("other speech, 45 s against ten minutes", 4, long),
        case("other speech, the same hum", 1, steady),
        case(
            "other music in the same key and tempo",
            1,
            apart(Source::Music),
        ),
        case("other work", 1, apart(Source::Work)),
        case("noise", 1, nothing(Source::Nothing)),
        case("noise, the same hum", 1, hum),
        case(
            "music that repeats every 2 s",
            1,
            nothing(Source::Loop(2.0)),
        ),
        case(
            "music that repeats every 8 s",
            1,
            nothing(Source::Loop(8.0)),
        ),
        case(
            "music that was played twice",
            1,
            nothing(Source::Loop(20.0)),
        ),
        case("a recorder that stopped for 2.3 s", 1, stopped),
        case("a recorder that left out 30 ms", 1, skipped),
    ]
}
