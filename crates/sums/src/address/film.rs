//! Feet and frames of film.

use super::Moment;
use crate::{Row, Table};

/// Gauges with their frames a foot: common practice.
const GAUGES: [(&str, u64); 2] = [("35 mm, 4 perforations", 16), ("16 mm", 40)];

/// As many frames as have passed since midnight, on film.
pub(super) fn table(moment: &Moment) -> Table {
    let frames = moment.frame.0.unsigned_abs();
    let rows = GAUGES.into_iter().map(|(gauge, per_foot)| {
        let (feet, rest) = (frames / per_foot, frames % per_foot);
        Row::new(
            format!("{gauge}, feet+frames"),
            format!("{feet}+{rest:02}"),
            format!(
                "{frames} ÷ {per_foot} frames a foot = {feet}, and {rest} left (common practice)"
            ),
        )
    });
    Table::new("Film, a picture for every frame", rows.collect())
}
