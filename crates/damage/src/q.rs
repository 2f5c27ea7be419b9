//! The tail of the normal distribution.

/// The probability that a normal variable with mean 0 and mean square 1 is above `x`:
/// Q(x) = ½ erfc(x/√2).
///
/// ```
/// # use plumbline_damage::q;
/// assert_eq!(q(0.0), 0.5);
/// ```
pub fn q(x: f64) -> f64 {
    0.5 * libm::erfc(x / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.1, from memory.
    #[test]
    fn the_handbook_has_the_same_values() {
        for (x, right) in [
            (1.0, 0.158_655_254),
            (2.0, 0.022_750_132),
            (3.0, 0.001_349_898),
        ] {
            assert!((q(x) - right).abs() < 1e-9, "Q({x}) = {}", q(x));
        }
    }

    /// The definition, summed by Simpson's rule.
    #[test]
    fn it_is_the_area_under_the_curve() {
        let density = |t: f64| (-t * t / 2.0).exp() / std::f64::consts::TAU.sqrt();
        for x in [-1.5, 0.3, 1.7, 4.2] {
            let steps = 4000_u32;
            let width = 12.0 / f64::from(steps);
            let weight = |n| match n {
                0 => 1.0,
                n if n == steps => 1.0,
                n if n % 2 == 1 => 4.0,
                _ => 2.0,
            };
            let sum: f64 = (0..=steps)
                .map(|n| weight(n) * density(x + f64::from(n) * width))
                .sum();
            let area = sum * width / 3.0;
            assert!((q(x) / area - 1.0).abs() < 1e-9, "Q({x})");
        }
    }
}
