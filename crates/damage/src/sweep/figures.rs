//! Figures of the chapter that are worked out instead of measured.

use plumbline_ltc::SYNC_FORWARD;

use super::Effort;
use super::measure::seeds;
use crate::chart::{Axis, Chart, Scale, Series, number};
use crate::svg::{Anchor, Svg};
use crate::{Decibels, best_single_word, half_cell_snr, nearest_error, q};

/// Their names and contents.
pub(crate) fn figures(effort: Effort) -> Vec<(&'static str, String)> {
    vec![
        ("biphase-mark.svg", biphase_mark()),
        ("sync-correlation.svg", sync_correlation()),
        ("error-probability.svg", error_probability(effort)),
    ]
}

/// The bits that are drawn: the first twelve of the synchronizing word's neighbourhood would all
/// look alike, so these are the units of the frames of 6, an empty binary group, then two ones.
const DRAWN: [bool; 10] = [
    false, true, true, false, false, false, false, false, true, true,
];

/// A few bits as levels.
fn biphase_mark() -> String {
    let (cell, high, low) = (62.0, 60.0, 130.0);
    let mut svg = Svg::new(720.0, 200.0);
    let mut level = false;
    let mut points = vec![(40.0, low)];
    for (place, &bit) in (0_u32..).zip(&DRAWN) {
        let x = 40.0 + f64::from(place) * cell;
        svg.line((x, 40.0), (x, 150.0), "faint");
        svg.text(
            x + cell / 2.0,
            172.0,
            Anchor::Middle,
            "",
            if bit { "1" } else { "0" },
        );
        for half in 0..2_u8 {
            let begins = x + f64::from(half) * cell / 2.0;
            if half == 0 || bit {
                level = !level;
            }
            let y = if level { high } else { low };
            points.extend([(begins, y), (begins + cell / 2.0, y)]);
        }
    }
    svg.text(
        40.0,
        24.0,
        Anchor::Start,
        "title",
        "Ten bits in biphase mark",
    );
    svg.text(34.0, high + 5.0, Anchor::End, "", "+A");
    svg.text(34.0, low + 5.0, Anchor::End, "", "−A");
    svg.path(&points, "line s1", "");
    svg.text(
        40.0,
        194.0,
        Anchor::Start,
        "",
        "The level turns over where a cell begins, and in the middle of a one.",
    );
    let bits: String = DRAWN
        .iter()
        .map(|&bit| if bit { '1' } else { '0' })
        .collect();
    svg.finish(
        "Ten bits in biphase mark",
        &format!("The levels of the bits {bits}"),
    )
}

/// The half-cells of the synchronizing word after a high level.
fn sync_half_cells() -> Vec<f64> {
    let mut level = 1.0;
    (0..16)
        .flat_map(|bit| {
            let first = -level;
            let one = SYNC_FORWARD >> (15 - bit) & 1 == 1;
            level = if one { level } else { first };
            [first, level]
        })
        .collect()
}

fn correlation(pattern: &[f64], other: &[f64], shift: i32) -> f64 {
    let pairs = (0_i32..).zip(pattern).filter_map(|(n, a)| {
        let b = usize::try_from(n + shift).ok().and_then(|n| other.get(n))?;
        Some(a * b)
    });
    pairs.sum()
}

/// The synchronizing word against itself and against its mirror image.
fn sync_correlation() -> String {
    let word = sync_half_cells();
    let mirror: Vec<f64> = word.iter().rev().copied().collect();
    let series = |name: &str, other: &[f64]| Series {
        name: name.into(),
        points: (-32..=32)
            .map(|shift| (shift.into(), correlation(&word, other, shift)))
            .collect(),
    };
    let ticks = |step: i32| {
        (-32 / step..=32 / step)
            .map(|n| f64::from(n * step))
            .collect()
    };
    let chart = Chart {
        title: "The synchronizing word against shifted copies".into(),
        x: Axis::new("shift (half-cells)", Scale::Linear, ticks(8)),
        y: Axis::new("agreement (half-cells)", Scale::Linear, ticks(8)),
        series: vec![
            series("of itself", &word),
            series("of its mirror image", &mirror),
        ],
    };
    chart.svg()
}

/// How many codewords of 25 frames a second at 48 kHz are misread, by algebra and by trying.
fn error_probability(effort: Effort) -> String {
    let gamma = |snr: f64| half_cell_snr(1920.0, Decibels(snr).power());
    let halves = |from: i32, to: i32| (2 * from..=2 * to).map(|half| f64::from(half) / 2.0);
    let of = |name: &str,
              snrs: &mut dyn Iterator<Item = f64>,
              value: &mut dyn FnMut(f64) -> f64| Series {
        name: name.into(),
        points: snrs
            .map(|snr| (snr, value(gamma(snr))))
            .filter(|point| point.1 > 5e-5)
            .collect(),
    };
    let mut random = effort.seed(seeds("error-probability")).random(0);
    let words = effort.limit_words();
    let mut tried = |gamma| 1.0 - best_single_word(gamma, words, &mut random).share();
    let slicer = |gamma: f64| {
        let half = q(gamma.sqrt());
        // Both halves of all 80 bits.
        1.0 - (1.0 - half).powi(160)
    };
    let chart = Chart {
        title: "A codeword misread: 25 frames a second, 48 kHz, timing known".into(),
        x: Axis::new(
            "SNR (dB)",
            Scale::Linear,
            (-5..=5).map(|n| f64::from(2 * n)).collect(),
        ),
        y: Axis::new(
            "probability",
            Scale::Logarithmic,
            vec![1e-4, 1e-3, 1e-2, 1e-1, 1.0],
        ),
        series: vec![
            of("each half-cell by its sign", &mut halves(-10, 10), &mut {
                slicer
            }),
            of("best, tried", &mut halves(-10, 0), &mut tried),
            of(
                &format!(
                    "best, {} Q(√2γ)",
                    number(crate::nearest_wrong_addresses() as f64)
                ),
                &mut halves(-10, 10),
                &mut { nearest_error },
            ),
        ],
    };
    chart.svg()
}
