//! What the watch has seen, in words.

use plumbline_timecode::Timebase;

use super::{Output, Parted, Watch};

/// What IEC 60461 clause 8.4 allows a source of code that runs by itself.
const ALLOWED: f64 = 100e-6;

impl Watch {
    /// How far the code has parted from the time of day, and why.
    pub fn words(&self) -> String {
        let sentences = match self.parted() {
            Some(parted) => vec![
                how_far(parted, self.frame()),
                why(parted),
                by_counting(self.timebase).to_owned(),
            ],
            None => vec![
                "How the code keeps with this device’s time of day is being measured.".to_owned(),
            ],
        };
        let said: Vec<String> = (sentences.into_iter())
            .filter(|sentence| !sentence.is_empty())
            .collect();
        said.join(" ")
    }
}

fn how_far(parted: Parted, frame: f64) -> String {
    let way = if parted.seconds < 0.0 {
        "behind"
    } else {
        "ahead of"
    };
    format!(
        "The code is {} ({:.2} frames) {way} this device’s time of day, counted from the start.",
        short(parted.seconds),
        parted.seconds.abs() / frame
    )
}

fn why(Parted { pace, set, .. }: Parted) -> String {
    if let Some(set) = set {
        let way = if set < 0.0 { "back" } else { "forward" };
        let by = short(set);
        return format!("That clock was set {way} by {by} meanwhile: jam the code to follow it.");
    }
    let Some((pace, one)) = pace else {
        return String::new();
    };
    let way = if pace < 0.0 { "slow" } else { "fast" };
    let (ppm, one_ppm) = (pace.abs() * 1e6, (one * 1e6).max(0.1));
    let runs = format!("The output runs {ppm:.1} ± {one_ppm:.1} ppm {way} against it");
    if pace.abs() > ALLOWED + 3.0 * one {
        runs + ", more than the 100 ppm that IEC 60461 clause 8.4 allows a source of code."
    } else {
        runs + "."
    }
}

/// What the way of counting does besides, however good the clocks are.
fn by_counting(code: Timebase) -> &'static str {
    match (code.rate().is_pulled_down(), code.count().is_drop()) {
        (false, false) => "",
        (true, false) => {
            "Besides, without drop-frame the digits fall behind any clock by 3.6 s an hour."
        }
        (true, true) => "Besides, drop-frame counting falls behind any clock by 3.6 ms an hour.",
        (false, true) => {
            "Besides, with drop-frame at this rate the digits gain 3.6 s an hour on any clock."
        }
    }
}

impl Output {
    /// What happened, where something did.
    pub fn words(self) -> Option<String> {
        let by = |moved: f64| {
            let way = if moved < 0.0 { "early" } else { "late" };
            format!("{} {way}", short(moved))
        };
        match self {
            Self::Steady => None,
            Self::Moved(moved) => Some(format!(
                "Sound was lost or held up on its way: all at once the code came out {}.",
                by(moved)
            )),
            Self::Strayed(moved) => Some(format!(
                "Bit by bit the code came out {}: sound is being lost in small pieces, or the \
                 clock of this output is far off.",
                by(moved)
            )),
        }
    }
}

/// A length of time without its sign, to a tenth of a millisecond where it is short.
fn short(seconds: f64) -> String {
    let seconds = seconds.abs();
    if seconds < 0.01 {
        format!("{:.1} ms", seconds * 1e3)
    } else {
        plumbline_words::seconds(seconds)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Rate};

    #[test]
    fn what_was_seen_is_said_with_its_size_and_cause() {
        let parted = Parted {
            seconds: -0.0012,
            pace: None,
            set: None,
        };
        assert_eq!(
            how_far(parted, 0.04),
            "The code is 1.2 ms (0.03 frames) behind this device’s time of day, counted from the \
             start."
        );
        assert_eq!(why(parted), "");
        let pace = Some((-0.84e-6, 0.31e-6));
        assert_eq!(
            why(Parted { pace, ..parted }),
            "The output runs 0.8 ± 0.3 ppm slow against it."
        );
        let far = why(Parted {
            pace: Some((140e-6, 1e-6)),
            ..parted
        });
        assert!(far.starts_with("The output runs 140.0 ± 1.0 ppm fast against it, more than"));
        assert_eq!(
            why(Parted {
                pace,
                set: Some(-2.0),
                ..parted
            }),
            "That clock was set back by 2.0 s meanwhile: jam the code to follow it."
        );
        let drop = Timebase::new(Rate::F29_97, Count::F30Drop).unwrap();
        assert!(by_counting(drop).contains("3.6 ms"));
        assert!(by_counting(Timebase::non_drop(Rate::F23_976)).contains("3.6 s"));
        assert_eq!(by_counting(Timebase::non_drop(Rate::F25)), "");
        assert_eq!(Output::Steady.words(), None);
        assert!(
            Output::Moved(0.0123)
                .words()
                .unwrap()
                .ends_with("came out 12 ms late.")
        );
        assert!(
            Output::Strayed(-0.5)
                .words()
                .unwrap()
                .contains("500 ms early:")
        );
    }
}
