//! How far devices' own clocks were from the code and from each other, and how often they must be
//! jammed.

use super::lines::Line;
use super::{LineUp, Moment, ShootClock};
use plumbline_words::{self as words, Fact, number, seconds};
use serde::Serialize;

/// The clocks of a shoot's devices, as far as they were seen.
#[derive(Debug, Default)]
pub struct Clocks {
    clock: Option<ShootClock>,
    seen: Vec<Seen>,
}

#[derive(Debug)]
struct Seen {
    name: String,
    lines: Vec<Line>,
}

/// How far clocks were apart at one moment.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Apart {
    /// Each device beside the code: "Deck camera", "1.3 frames behind the code (52 ms ± 12)".
    pub devices: Vec<Fact>,
    /// Devices beside each other, the widest first: "Deck camera and Bow camera", "2.1 frames
    /// (84 ms ± 17) apart".
    pub pairs: Vec<Fact>,
    /// All of it in a sentence, to be heard.
    pub text: String,
}

/// How often clocks must be jammed to stay together.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Jam {
    /// For all of them; empty where no clock was seen often enough.
    pub text: String,
    /// For two at a time, those that part fastest first.
    pub pairs: Vec<Fact>,
}

/// A measured number with one standard deviation.
#[derive(Debug, Clone, Copy)]
struct Measured {
    value: f64,
    deviation: f64,
}

impl Measured {
    fn beside(self, other: Self) -> Self {
        Measured {
            value: self.value - other.value,
            deviation: self.deviation.hypot(other.deviation),
        }
    }
}

/// What a device's clock shows at a moment.
enum At {
    /// So many seconds ahead of the code.
    Ahead(Measured),
    /// It was set again about then.
    Between(Moment, Moment),
}

/// Pairs that are told; of more, those that are widest apart.
const PAIRS: usize = 6;
/// A difference that is this many standard deviations wide is one.
const CLEAR: f64 = 4.0;

impl Clocks {
    /// The clocks that were seen in a line-up.
    pub fn of(line_up: &LineUp<'_>) -> Clocks {
        let devices = line_up.devices.iter();
        let seen = devices.filter(|device| !device.clock.lines.is_empty());
        Clocks {
            clock: line_up.clock,
            seen: seen
                .map(|device| Seen {
                    name: device.name.clone(),
                    lines: device.clock.lines.clone(),
                })
                .collect(),
        }
    }

    /// How far they were apart at a moment.
    pub fn apart(&self, at: Moment) -> Apart {
        let Some(clock) = self.clock else {
            return Apart::default();
        };
        let all: Vec<(&str, At)> = self
            .seen
            .iter()
            .filter_map(|seen| Some((seen.name.as_str(), seen.at(at)?)))
            .collect();
        let devices: Vec<Fact> = all
            .iter()
            .map(|(name, at)| Fact::new(*name, beside_code(clock, at)))
            .collect();
        let known = all.iter().filter_map(|(name, at)| match at {
            At::Ahead(ahead) => Some((*name, *ahead)),
            At::Between(..) => None,
        });
        let mut pairs = pairs(&known.collect::<Vec<_>>());
        pairs.truncate(PAIRS);
        let said = devices
            .iter()
            .map(|Fact { label, value, .. }| format!("{label} {value}"));
        Apart {
            text: said.collect::<Vec<_>>().join(", "),
            pairs: pairs
                .into_iter()
                .map(|(names, by)| Fact::new(names, format!("{} apart", size(clock, by))))
                .collect(),
            devices,
        }
    }

    /// How often they must be jammed to stay within half a frame.
    pub fn jam(&self) -> Jam {
        let Some(clock) = self.clock else {
            return Jam::default();
        };
        let code = Measured {
            value: 0.0,
            deviation: 0.0,
        };
        let speeds = self
            .seen
            .iter()
            .filter_map(|seen| Some((seen.name.as_str(), seen.speed()?)));
        let mut speeds: Vec<(&str, Measured)> = speeds.collect();
        if speeds.is_empty() {
            return Jam::default();
        }
        speeds.push(("the code", code));
        let pairs = pairs(&speeds);
        let clear = pairs.iter().find(|(_, by)| by.value > CLEAR * by.deviation);
        let text = match clear {
            None => "No two of these clocks were seen to part: nothing here says how often they \
                     must be jammed."
                .to_owned(),
            Some((names, by)) => format!(
                "Jammed again every {}, all of them would have stayed within half a frame: {names} \
                 part the fastest, by {}.",
                hold(clock, by.value),
                ppm(*by)
            ),
        };
        Jam {
            text,
            pairs: pairs
                .into_iter()
                .take(PAIRS)
                .map(|(names, by)| Fact::new(names, parting(clock, by)))
                .collect(),
        }
    }
}

impl Seen {
    /// What it shows at a moment; on either side of where it was seen, what its line leads to.
    fn at(&self, at: Moment) -> Option<At> {
        let after = self.lines.iter().position(|line| line.to >= at.0);
        let line = match after {
            Some(0) => self.lines.first()?,
            None => self.lines.last()?,
            Some(number) => {
                let line = self.lines.get(number)?;
                let before = self.lines.get(number - 1)?;
                if at.0 < line.from {
                    return Some(At::Between(Moment(before.to), Moment(line.from)));
                }
                line
            }
        };
        Some(At::Ahead(Measured {
            value: line.at(at.0),
            deviation: line.deviation_at(at.0),
        }))
    }

    /// How fast it runs beside the code where that is known best, in seconds a second.
    fn speed(&self) -> Option<Measured> {
        let known = self.lines.iter().filter_map(|line| {
            Some(Measured {
                value: line.slope,
                deviation: line.deviation?,
            })
        });
        known.min_by(|a, b| a.deviation.total_cmp(&b.deviation))
    }
}

/// Each two of them, with the absolute difference; the widest first.
fn pairs(all: &[(&str, Measured)]) -> Vec<(String, Measured)> {
    let numbered = all.iter().enumerate();
    let mut pairs: Vec<(String, Measured)> = numbered
        .flat_map(|(number, (one, first))| {
            let others = all.iter().skip(number + 1);
            others.map(move |(other, second)| {
                let by = first.beside(*second);
                let by = Measured {
                    value: by.value.abs(),
                    ..by
                };
                (format!("{one} and {other}"), by)
            })
        })
        .collect();
    pairs.sort_by(|a, b| b.1.value.total_cmp(&a.1.value));
    pairs
}

fn beside_code(clock: ShootClock, at: &At) -> String {
    match *at {
        At::Ahead(ahead) => {
            let by = Measured {
                value: ahead.value.abs(),
                ..ahead
            };
            if number(clock.frames(by.value), 2) == "0" {
                return format!("with the code ({})", milliseconds(by));
            }
            let way = if ahead.value < 0.0 {
                "behind"
            } else {
                "ahead of"
            };
            format!("{} {way} the code", size(clock, by))
        }
        At::Between(before, after) => format!(
            "set again between {} and {}: not known",
            clock.address(before),
            clock.address(after)
        ),
    }
}

/// "1.3 frames (52 ms ± 12)".
fn size(clock: ShootClock, by: Measured) -> String {
    let frames = number(clock.frames(by.value), 2);
    if by.value >= 60.0 {
        return format!("{frames} frames ({})", seconds(by.value));
    }
    format!("{frames} frames ({})", milliseconds(by))
}

/// "52 ms ± 12".
fn milliseconds(by: Measured) -> String {
    let (value, deviation) = (by.value * 1e3, by.deviation * 1e3);
    let decimals = if deviation < 0.95 { 2 } else { 0 };
    let (value, deviation) = (number(value, decimals), number(deviation, decimals));
    format!("{value} ms ± {deviation}")
}

fn parting(clock: ShootClock, by: Measured) -> String {
    if by.value > CLEAR * by.deviation {
        let hold = hold(clock, by.value);
        let frames = number(clock.frames(by.value * 3600.0), 2);
        format!(
            "part by {}, {frames} frames an hour; within half a frame for {hold}",
            ppm(by)
        )
    } else {
        format!("run alike, as far as was seen ({})", ppm(by))
    }
}

fn ppm(by: Measured) -> String {
    words::ppm(by.value * 1e6, by.deviation * 1e6)
}

fn hold(clock: ShootClock, speed: f64) -> String {
    seconds(clock.seconds(0.5) / speed)
}
