//! Between three values.

/// Where the parabola through three values is highest, from the middle one.
pub(super) fn highest(values: [f32; 3]) -> f64 {
    let [before, own, after] = values.map(f64::from);
    let late = 0.5 * (before - after) / (before - 2.0 * own + after);
    if late.abs() <= 1.0 { late } else { 0.0 }
}
