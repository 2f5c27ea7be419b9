//! Material shot at one rate and played at another.

use plumbline_timecode::{Count, Fraction, Frames, Rate, SampleRate, Seconds, Timebase};
use plumbline_words::{self as words};
use serde::{Deserialize, Serialize};

use crate::decimal::{decimal, exactly};
use crate::figure::{Step, clock_figure, clock_words, difference, figure, product, quotient};
use crate::length::{Length, in_full, length};
use crate::problems::Problems;
use crate::sample_rate::{name, sample_rate};
use crate::{Answer, Row, Table};

/// What is asked: how something was shot and how it is played.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct SpeedsForm {
    /// Frames a second when it was shot, by the rate's name: `24`.
    pub shot: String,
    /// Frames a second when it is played: `23.976`.
    pub played: String,
    /// How the addresses of `duration` are counted: `non-drop` or `drop`.
    pub counting: String,
    /// How long it is: digits count frames at the rate at which it was shot, units are real time
    /// while it was shot.
    pub duration: String,
    /// Samples a second of its sound: `48000`.
    pub sample_rate: String,
}

impl Default for SpeedsForm {
    fn default() -> Self {
        let text = str::to_owned;
        Self {
            shot: text("24"),
            played: text("23.976"),
            counting: text("non-drop"),
            duration: text("01:00:00:00"),
            sample_rate: text("48000"),
        }
    }
}

/// The two rates, and how many times faster it is played than it was shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Speeds {
    shot: Rate,
    played: Rate,
    speed: Fraction,
}

/// What becomes of speed, length, pitch and sample rate.
///
/// ```
/// use plumbline_sums::{SpeedsForm, speeds};
/// let answer = speeds(&SpeedsForm::default());
/// // An hour at 24 lasts 3.6 s longer at 23.976 (IEC 60461 clause 4.2.3: 1 s is 1.001 s).
/// assert!(answer.verdict.contains("3.6 s longer"), "{}", answer.verdict);
/// ```
pub fn speeds(form: &SpeedsForm) -> Answer {
    let mut problems = Problems::default();
    let shot = problems.keep(words::rate("shot", &form.shot));
    let played = problems.keep(words::rate("played", &form.played));
    let counting = problems.keep(words::counting("counting", &form.counting));
    let timebase = shot
        .zip(counting)
        .and_then(|(rate, counting)| problems.keep(words::timebase("counting", rate, counting)));
    let long =
        timebase.and_then(|timebase| problems.keep(length("duration", &form.duration, timebase)));
    let sound = problems.keep(sample_rate("sample_rate", &form.sample_rate));
    let speeds = shot
        .zip(played)
        .map(|(shot, played)| Speeds::new(shot, played));
    let Some(speeds) = speeds else {
        return Answer {
            verdict: "No two rates to compare yet.".to_owned(),
            tables: Vec::new(),
            problems: problems.0,
        };
    };
    let long = long.zip(timebase);
    let mut tables = vec![speeds.speed()];
    tables.extend(long.map(|(long, timebase)| speeds.length(long, timebase)));
    tables.extend(sound.map(|rate| speeds.sound(rate)));
    tables.push(speeds.code());
    Answer {
        verdict: speeds.verdict(long.map(|(long, timebase)| long.seconds(timebase))),
        tables,
        problems: problems.0,
    }
}

impl Speeds {
    fn new(shot: Rate, played: Rate) -> Self {
        Self {
            shot,
            played,
            speed: quotient(played.fraction(), shot.fraction()),
        }
    }

    /// How long what lasted `seconds` lasts when it is played.
    fn lasts(self, seconds: Fraction) -> Fraction {
        quotient(seconds, self.speed)
    }

    fn verdict(self, seconds: Option<Fraction>) -> String {
        let (shot, played) = (self.shot, self.played);
        if self.speed == Fraction::whole(1) {
            return format!("Shot and played at {shot}: nothing changes.");
        }
        let (percent, way) = self.percent();
        let said = format!("Shot at {shot} and played at {played}, it runs {percent} % {way}");
        let Some(seconds) = seconds else {
            return format!("{said}.");
        };
        let more = difference(self.lasts(seconds), seconds);
        let (size, longer) = size(more, "longer", "shorter");
        format!(
            "{said}: {} lasts {} s {longer}.",
            spoken(seconds),
            about(size)
        )
    }

    fn percent(self) -> (String, &'static str) {
        let more = product(
            difference(self.speed, Fraction::whole(1)),
            Fraction::whole(100),
        );
        let (size, way) = size(more, "faster", "slower");
        (about(size), way)
    }

    fn speed(self) -> Table {
        let (shot, played) = (self.shot.fraction(), self.played.fraction());
        let percent = product(self.speed, Fraction::whole(100));
        let hour = Fraction::whole(3600);
        let lost = difference(self.lasts(hour), hour);
        Table::new(
            "Speed",
            vec![
                Row::new(
                    "Exactly",
                    self.speed.to_string(),
                    format!("{played} ÷ {shot}"),
                ),
                figure(
                    "Per cent",
                    percent,
                    Step::Places(6),
                    format!("{} × 100", self.speed),
                ),
                cents(self.speed),
                figure(
                    "Seconds longer, each hour",
                    lost,
                    Step::Places(6),
                    format!("3600 s × {shot} ÷ {played} − 3600 s"),
                ),
            ],
        )
    }

    fn length(self, long: Length, timebase: Timebase) -> Table {
        let seconds = long.seconds(timebase);
        let frames = product(seconds, self.shot.fraction());
        let lasts = self.lasts(seconds);
        let times = format!(
            "{} s × {} ÷ {}",
            exactly(seconds),
            self.shot.fraction(),
            self.played.fraction()
        );
        let mut rows = vec![
            figure(
                "Frames",
                frames,
                Step::Places(3),
                format!(
                    "{} s × {}: the frames stay the same",
                    exactly(seconds),
                    self.shot.fraction()
                ),
            ),
            clock_figure(
                "Real time when shot",
                seconds,
                format!("{} s", exactly(seconds)),
            ),
            clock_figure(
                "Real time when played",
                lasts,
                format!("{times} = {} s", exactly(lasts)),
            ),
            figure(
                "Seconds longer",
                difference(lasts, seconds),
                Step::Places(6),
                format!("{} s − {} s", exactly(lasts), exactly(seconds)),
            ),
        ];
        if let Some(frames) = whole(frames) {
            rows.extend(self.counted(frames, timebase.count()));
        }
        Table::new("Length", rows)
    }

    /// How long it is in the addresses of both rates.
    fn counted(self, frames: Frames, count: Count) -> Vec<Row> {
        let mut rows = vec![Row::new(
            format!("Length counted at {}", Timebased(self.shot, count)),
            in_full(frames, count),
            format!("{frames} frames"),
        )];
        for timebase in Timebase::all().filter(|it| it.rate() == self.played) {
            rows.push(Row::new(
                format!("Length counted at {timebase}, played"),
                in_full(frames, timebase.count()),
                format!("the same {frames} frames"),
            ));
        }
        rows
    }

    fn sound(self, rate: SampleRate) -> Table {
        let hertz = rate.fraction();
        let relabelled = product(hertz, self.speed);
        let recorded = quotient(hertz, self.speed);
        let hour = Fraction::whole(3600);
        let (shot, played) = (self.shot.fraction(), self.played.fraction());
        let mut rows = vec![figure(
            "Sample rate to relabel to, in Hz",
            relabelled,
            Step::Places(6),
            format!(
                "{hertz} × {played} ÷ {shot}: the same samples, played with the picture; the pitch \
                 changes with it"
            ),
        )];
        rows.extend(whole_hertz(relabelled));
        rows.push(figure(
            format!("Sample rate to record at for {}, in Hz", name(rate)),
            recorded,
            Step::Places(6),
            format!(
                "{hertz} × {shot} ÷ {played}: relabelled as {} it goes with the picture",
                name(rate)
            ),
        ));
        let slips = product(difference(self.lasts(hour), hour), hertz);
        rows.push(figure(
            "Samples by which sound left as it is slips, each hour shot",
            slips,
            Step::Places(3),
            format!("the seconds longer each hour × {hertz}; below 0 the picture ends first"),
        ));
        Table::new(format!("Sound at {}", name(rate)), rows)
    }

    /// What becomes of the addresses and the start time of a file.
    fn code(self) -> Table {
        let same = self.shot.count() == self.played.count();
        let digits = if same {
            "stay what they are: both rates count alike"
        } else {
            "change: the two rates count in different ways, so keep frame numbers, not digits"
        };
        let stamp = if same {
            "stays the same number of samples, with the new sample rate and frame rate beside it"
        } else {
            "has to be worked out again from the first frame's new address"
        };
        Table::new(
            "Addresses",
            vec![
                Row::new("Digits of the addresses", digits, ""),
                Row::new(
                    "Time reference of a relabelled file",
                    stamp,
                    "samples since midnight = frames ÷ rate × sample rate (EBU Tech 3285), and \
                     relabelling changes rate and sample rate alike",
                ),
            ],
        )
    }
}

/// A rate and a count as they are said together.
struct Timebased(Rate, Count);

impl std::fmt::Display for Timebased {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match Timebase::new(self.0, self.1) {
            Ok(timebase) => timebase.fmt(f),
            Err(_) => self.0.fmt(f),
        }
    }
}

/// 1200 times the binary logarithm of the speed: physics, so in floating point.
fn cents(speed: Fraction) -> Row {
    let cents = 1200.0 * speed.as_f64().log2();
    let row = Row::new(
        "Pitch of sound that is relabelled, in cents",
        words::signed(cents, 3),
        format!("1200 × log₂ of {speed}; 100 cents are a semitone"),
    );
    if speed == Fraction::whole(1) {
        return row;
    }
    row.rounded("rounded to 3 places: a logarithm has no last one")
}

/// A file holds whole hertz, so what is not whole is told with what that costs.
fn whole_hertz(exact: Fraction) -> Option<Row> {
    let nearest = decimal(exact, 0);
    if nearest.is_exact() {
        return None;
    }
    let off = quotient(nearest.left_over, exact);
    let hour = Fraction::whole(3_600_000);
    let (ppm, milliseconds) = (product(off, Fraction::whole(1_000_000)), product(off, hour));
    let slow = if off > Fraction::ZERO { "slow" } else { "fast" };
    let size = |value| about(size(value, "", "").0);
    Some(
        Row::new(
            "Nearest that a file can say, in Hz",
            nearest.text,
            "a file holds whole hertz",
        )
        .rounded(format!(
            "rounded to whole hertz: too {slow} by {} ppm, {} ms an hour",
            size(ppm),
            size(milliseconds)
        )),
    )
}

/// "1 h" where that is all, else as a clock shows it.
fn spoken(seconds: Fraction) -> String {
    if decimal(seconds, 3).is_exact() {
        words::clock(Seconds(seconds))
    } else {
        clock_words(seconds)
    }
}

fn whole(frames: Fraction) -> Option<Frames> {
    (frames.denominator() == 1)
        .then(|| i64::try_from(frames.numerator()).ok().map(Frames))
        .flatten()
}

/// How large it is, and which of two words its sign means.
fn size(value: Fraction, above: &'static str, below: &'static str) -> (Fraction, &'static str) {
    if value < Fraction::ZERO {
        (difference(Fraction::ZERO, value), below)
    } else {
        (value, above)
    }
}

/// Figures for a sentence: all of them where they end soon, else four places.
fn about(value: Fraction) -> String {
    let shown = decimal(value, 4);
    if shown.is_exact() {
        shown.text
    } else {
        format!("about {}", shown.text)
    }
}
