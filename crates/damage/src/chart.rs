//! Curves with axes.

use crate::svg::{Anchor, Svg};

/// Curves over one axis.
#[derive(Debug)]
pub(crate) struct Chart {
    pub(crate) title: String,
    pub(crate) x: Axis,
    pub(crate) y: Axis,
    pub(crate) series: Vec<Series>,
}

/// An axis: what it shows and from where to where.
#[derive(Debug, Clone)]
pub(crate) struct Axis {
    /// With its unit.
    pub(crate) label: String,
    pub(crate) scale: Scale,
    pub(crate) ticks: Vec<f64>,
    /// The values at its ends.
    ends: (f64, f64),
}

/// How values lie along an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    /// Evenly.
    Linear,
    /// Equal ratios evenly; every value is above 0.
    Logarithmic,
}

/// One curve.
#[derive(Debug, Clone)]
pub(crate) struct Series {
    pub(crate) name: String,
    pub(crate) points: Vec<(f64, f64)>,
}

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 70.0;
const BOTTOM: f64 = 60.0;
/// The dashes of curves, by number.
const DASHES: [&str; 4] = ["", "9 5", "2 4", "10 4 2 4"];

impl Series {
    /// Whether points are marked: more of them would hide the curve.
    fn is_marked(&self) -> bool {
        self.points.len() < 40
    }
}

impl Axis {
    /// An axis from the lowest to the highest tick.
    pub(crate) fn new(label: &str, scale: Scale, ticks: Vec<f64>) -> Self {
        Self {
            label: label.to_owned(),
            scale,
            ends: ends(ticks.iter().copied()),
            ticks,
        }
    }

    /// An axis from the lowest to the highest of some values: on a linear one with ticks at round
    /// numbers, on a logarithmic one at the values themselves.
    pub(crate) fn spanning(label: &str, scale: Scale, values: impl Iterator<Item = f64>) -> Self {
        let values: Vec<f64> = values.collect();
        let ends = ends(values.iter().copied());
        Self {
            label: label.to_owned(),
            scale,
            ticks: match scale {
                Scale::Linear => round_ticks(ends, 8.0),
                Scale::Logarithmic => values,
            },
            ends,
        }
    }

    fn along(&self, value: f64) -> f64 {
        let at = |value: f64| match self.scale {
            Scale::Linear => value,
            Scale::Logarithmic => value.max(f64::MIN_POSITIVE).ln(),
        };
        let (low, high) = self.ends;
        let span = at(high) - at(low);
        if span > 0.0 {
            (at(value) - at(low)) / span
        } else {
            0.5
        }
    }
}

impl Chart {
    pub(crate) fn svg(&self) -> String {
        let mut svg = Svg::new(WIDTH, HEIGHT);
        svg.text(LEFT, 24.0, Anchor::Start, "title", &self.title);
        self.axes(&mut svg);
        let mut legend = LEFT;
        for (number, series) in self.series.iter().enumerate() {
            self.curve(&mut svg, number, series);
            legend = key(&mut svg, legend, number, series);
        }
        let names: Vec<&str> = self
            .series
            .iter()
            .map(|series| series.name.as_str())
            .collect();
        let description = format!(
            "{} over {}: {}",
            self.y.label,
            self.x.label,
            names.join(", ")
        );
        svg.finish(&self.title, &description)
    }

    fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let across = LEFT + self.x.along(x) * (WIDTH - LEFT - RIGHT);
        let down = HEIGHT - BOTTOM - self.y.along(y).clamp(0.0, 1.0) * (HEIGHT - TOP - BOTTOM);
        (across, down)
    }

    fn axes(&self, svg: &mut Svg) {
        for &tick in &self.y.ticks {
            let (_, y) = self.place((0.0, tick));
            svg.line((LEFT, y), (WIDTH - RIGHT, y), "faint");
            svg.text(LEFT - 8.0, y + 5.0, Anchor::End, "", &number(tick));
        }
        let floor = HEIGHT - BOTTOM;
        for &tick in &self.x.ticks {
            let (x, _) = self.place((tick, 0.0));
            svg.line((x, floor), (x, floor + 5.0), "ink");
            svg.text(x, floor + 21.0, Anchor::Middle, "", &number(tick));
        }
        svg.line((LEFT, floor), (WIDTH - RIGHT, floor), "ink");
        let middle = f64::midpoint(LEFT, WIDTH - RIGHT);
        svg.text(middle, HEIGHT - 14.0, Anchor::Middle, "", &self.x.label);
        svg.upright(20.0, f64::midpoint(TOP, floor), &self.y.label);
    }

    fn curve(&self, svg: &mut Svg, number: usize, series: &Series) {
        let points: Vec<_> = series
            .points
            .iter()
            .map(|&point| self.place(point))
            .collect();
        svg.path(
            &points,
            &format!("line s{number}"),
            DASHES[number % DASHES.len()],
        );
        if series.is_marked() {
            for (x, y) in points {
                svg.mark(x, y, number, &format!("s{number}"));
            }
        }
    }
}

/// One entry of the legend; where the next one goes.
fn key(svg: &mut Svg, x: f64, number: usize, series: &Series) -> f64 {
    let class = format!("s{number}");
    svg.path(
        &[(x, 46.0), (x + 34.0, 46.0)],
        &format!("line {class}"),
        DASHES[number % DASHES.len()],
    );
    if series.is_marked() {
        svg.mark(x + 17.0, 46.0, number, &class);
    }
    svg.text(x + 42.0, 51.0, Anchor::Start, "", &series.name);
    x + 66.0 + 7.5 * series.name.chars().count() as f64
}

/// A number as people write it, with a real minus.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value}");
    text.replace('-', "−")
}

fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::MAX, f64::MIN), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}

/// Round numbers between two, at most so many and one.
fn round_ticks((low, high): (f64, f64), most: f64) -> Vec<f64> {
    if low >= high {
        return vec![low];
    }
    let rough = (high - low) / most;
    let decade = 10.0_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|times| times * decade)
        .into_iter()
        .find(|step| *step >= rough)
        .unwrap_or(10.0 * decade);
    let (first, last) = ((low / step).ceil(), (high / step).floor());
    let count = crate::convert::whole(last - first) + 1;
    (0..count).map(|n| (first + n as f64) * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_within() {
        assert_eq!(
            round_ticks((-10.0, 16.0), 8.0),
            [-10.0, -5.0, 0.0, 5.0, 10.0, 15.0]
        );
        assert_eq!(round_ticks((0.0, 0.0), 8.0), [0.0]);
        assert_eq!(
            round_ticks((1.0, 9.0), 8.0),
            [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0]
        );
    }

    #[test]
    fn axes_put_their_ends_at_their_ends() {
        let linear = Axis::spanning("", Scale::Linear, [3.0, -5.0, 11.0].into_iter());
        for (value, along) in [(-5.0, 0.0), (3.0, 0.5), (11.0, 1.0)] {
            assert!((linear.along(value) - along).abs() < 1e-12);
        }
        let ratios = Axis::new("", Scale::Logarithmic, vec![0.1, 1.0, 10.0]);
        assert!((ratios.along(1.0) - 0.5).abs() < 1e-12);
    }
}
