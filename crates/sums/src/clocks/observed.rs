//! How far apart two clocks were seen to run.

use plumbline_timecode::{Fraction, Frames, Rate, TimeAddress, Timebase};
use plumbline_words::{Problem, signed};

use super::{ClocksForm, Part, READING, number};
use crate::decimal::{decimal, exactly};
use crate::figure::{Step, clock_figure, figure, product, quotient};
use crate::length::in_full;
use crate::problems::Problems;
use crate::{Row, Table, typed};

/// Addresses seen on both devices, at two times.
struct Seen {
    timebase: Timebase,
    /// How far the second is ahead of the first, in frames, before and after.
    ahead: [Frames; 2],
    /// How long it was between, by the first.
    watched: Frames,
    /// How good a reading is, in frames either way.
    reading: Fraction,
}

/// What two looks at two devices tell; none where nothing was typed.
pub(super) fn part(form: &ClocksForm, rate: Rate, problems: &mut Problems) -> Option<Part> {
    let fields = [
        ("first_before", &form.first_before),
        ("second_before", &form.second_before),
        ("first_after", &form.first_after),
        ("second_after", &form.second_after),
    ];
    if fields.iter().all(|(_, typed)| typed.trim().is_empty()) {
        return None;
    }
    let counting = problems.keep(plumbline_words::counting("counting", &form.counting));
    let timebase = problems.keep(plumbline_words::timebase("counting", rate, counting?))?;
    let [first, second, third, fourth] =
        fields.map(|(field, text)| problems.keep(typed::address(field, text, timebase.count())));
    let reading = problems.keep(number("reading", &form.reading, READING));
    let seen = Seen::new(timebase, [first?, second?, third?, fourth?], reading?);
    problems.keep(seen).map(Seen::part)
}

impl Seen {
    fn new(
        timebase: Timebase,
        [first_before, second_before, first_after, second_after]: [TimeAddress; 4],
        reading: Fraction,
    ) -> Result<Self, Problem> {
        let day = i64::from(timebase.count().frames_per_day());
        let until =
            |from: TimeAddress, to: TimeAddress| from.frames_until_wrapping(to).unwrap_or_default();
        // All four are counted alike, and the second look is the later one.
        let watched = until(first_before, first_after).0.rem_euclid(day);
        if watched == 0 {
            return Err(Problem::new(
                "first_after",
                "The first device shows the same address both times.",
                "Look again later: the longer you wait, the surer the answer.",
            ));
        }
        Ok(Self {
            timebase,
            ahead: [
                until(first_before, second_before),
                until(first_after, second_after),
            ],
            watched: Frames(watched),
            reading,
        })
    }

    /// By how many frames the second gained on the first.
    fn gained(&self) -> Frames {
        self.ahead[1] - self.ahead[0]
    }

    fn ppm(&self, frames: Fraction) -> Fraction {
        let million = product(frames, Fraction::whole(1_000_000));
        quotient(million, Fraction::whole(self.watched.0))
    }

    /// Four readings, each off by as much as it may be and in the worst direction.
    fn worst(&self) -> Fraction {
        self.ppm(product(self.reading, Fraction::whole(4)))
    }

    fn part(self) -> Part {
        let ppm = self.ppm(Fraction::whole(self.gained().0));
        let rows = self.looks().into_iter().chain(self.results(ppm));
        Part {
            sentence: self.sentence(ppm),
            table: Table::new("Seen on both devices", rows.collect()),
        }
    }

    fn sentence(&self, ppm: Fraction) -> String {
        let worst = self.worst();
        let size = if ppm < Fraction::ZERO {
            quotient(ppm, Fraction::whole(-1))
        } else {
            ppm
        };
        let way = if ppm < Fraction::ZERO {
            "slower"
        } else {
            "faster"
        };
        if size <= worst {
            return format!(
                "The second clock can't be told from the first yet: {} ppm, give or take {}.",
                decimal(ppm, 2).text,
                decimal(worst, 2).text
            );
        }
        format!(
            "The second clock runs {} ppm {way} than the first, give or take {}.",
            decimal(size, 2).text,
            decimal(worst, 2).text
        )
    }

    fn looks(&self) -> Vec<Row> {
        let count = self.timebase.count();
        let seconds = self.timebase.rate().seconds(self.watched).0;
        let ahead = |label, frames: Frames| {
            Row::new(
                label,
                exactly(Fraction::whole(frames.0)),
                format!(
                    "{} between the two addresses, the shorter way round",
                    in_full(frames, count)
                ),
            )
        };
        vec![
            ahead("Second ahead of first before, in frames", self.ahead[0]),
            ahead("Second ahead of first after, in frames", self.ahead[1]),
            Row::new(
                "Gained by the second, in frames",
                exactly(Fraction::whole(self.gained().0)),
                "after less before",
            ),
            clock_figure(
                "Watched for",
                seconds,
                format!(
                    "{} frames by the first device, less than a day ÷ {}",
                    self.watched,
                    self.timebase.rate().fraction()
                ),
            ),
        ]
    }

    fn results(&self, ppm: Fraction) -> Vec<Row> {
        let (gained, watched, reading) = (self.gained(), self.watched, exactly(self.reading));
        let enough = product(self.reading, Fraction::whole(4_000_000));
        let enough = quotient(enough, self.timebase.rate().fraction());
        vec![
            figure(
                "Second against first, in ppm",
                ppm,
                Step::Places(3),
                format!("{gained} ÷ {watched} × 1000000; above 0 the second is faster"),
            ),
            figure(
                "Good to, at worst, in ppm either way",
                self.worst(),
                Step::Places(3),
                format!(
                    "four readings good to ±{reading} frames: 4 × {reading} ÷ {watched} × 1000000"
                ),
            ),
            self.likely(),
            clock_figure(
                "To know it to 1 ppm at worst, watch for",
                enough,
                format!("4 × {reading} ÷ 0.000001 frames"),
            ),
        ]
    }

    /// A reading is anywhere within its limits alike, so its standard deviation is a limit over
    /// the root of 3, and that of four readings twice as large.
    fn likely(&self) -> Row {
        let standard = 2.0 * self.reading.as_f64() / 3.0_f64.sqrt() / self.watched.0 as f64 * 1e6;
        Row::new(
            "Standard uncertainty, in ppm",
            signed(standard, 3),
            format!(
                "2 × {} ÷ √3 ÷ {} × 1000000",
                exactly(self.reading),
                self.watched
            ),
        )
        .rounded("rounded to 3 places: a root has no last one")
    }
}
