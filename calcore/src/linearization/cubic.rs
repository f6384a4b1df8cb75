//! The largest value that a cubic with uncertain coefficients can have on a stretch.

use crate::num::enclosure::Enclosure;

/// Roundings of a cubic by Horner's rule and of the places at which it is largest, in units of the last place of the sum of
/// its terms. (A place that is off by δ changes the largest value by δ² only, where it turns once, and by δ³ where it hardly
/// turns.)
const ROUNDINGS: f64 = 32.0;

/// What is known of the largest absolute value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Largest {
    /// It is not less.
    pub(crate) reached: f64,
    /// It is not more; infinite where nothing is known.
    pub(crate) bound: f64,
}

/// Largest absolute value of c0 + c1 τ + c2 τ² + c3 τ³ for τ between two places.
///
/// # Formula
/// The cubic of the middles of the coefficients is largest at an end or where its slope is zero; no cubic within the
/// enclosures is farther from it than Σ radius_k |τ|^k.
pub(crate) fn largest(c: &[Enclosure; 4], low: f64, high: f64) -> Largest {
    let [c0, c1, c2, c3] = c.map(Enclosure::middle);
    let reach = low.abs().max(high.abs());
    let [r0, r1, r2, r3] = c.map(Enclosure::radius);
    let around = ((r3 * reach + r2) * reach + r1) * reach + r0;
    let size = ((c3.abs() * reach + c2.abs()) * reach + c1.abs()) * reach + c0.abs();
    let off = (around + f64::EPSILON * ROUNDINGS * size) * (1.0 + ROUNDINGS * f64::EPSILON);
    if !off.is_finite() {
        return Largest { reached: 0.0, bound: f64::INFINITY };
    }
    let at = |tau: f64| (((c3 * tau + c2) * tau + c1) * tau + c0).abs();
    let mut most = at(low).max(at(high));
    // Slope c1 + 2 c2 τ + 3 c3 τ²: both places without cancellation.
    let square = c2 * c2 - 3.0 * c1 * c3;
    if square >= 0.0 {
        let q = -(c2 + libm::copysign(libm::sqrt(square), c2));
        for tau in [q / (3.0 * c3), c1 / q] {
            if tau > low && tau < high {
                most = most.max(at(tau));
            }
        }
    }
    Largest { reached: (most - off).max(0.0), bound: most + off }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(c: [f64; 4]) -> [Enclosure; 4] {
        c.map(Enclosure::point)
    }

    // Witness: by hand. 4τ³ − 3τ turns at ±1/2 with ∓1; 1 − τ² is largest at 0; a line at an end.
    #[test]
    fn cubics_that_are_known() {
        let near = |found: Largest, wanted: f64| {
            assert!(found.reached <= wanted && found.bound >= wanted, "{found:?} {wanted}");
            assert!(found.bound - found.reached < 1e-13 * (1.0 + wanted), "{found:?}");
        };
        near(largest(&exact([0.0, -3.0, 0.0, 4.0]), -0.9, 0.7), 1.0);
        near(largest(&exact([1.0, 0.0, -1.0, 0.0]), -0.5, 0.5), 1.0);
        near(largest(&exact([0.0, 2.0, 0.0, 0.0]), 0.0, 3.0), 6.0);
        near(largest(&exact([-5.0, 0.0, 0.0, 0.0]), -1.0, 1.0), 5.0);
        // 0.1 of the third coefficient at τ = 2 is 0.8.
        let wide = [Enclosure::ZERO, Enclosure::ZERO, Enclosure::ZERO, Enclosure::new(0.9, 1.1)];
        let found = largest(&wide, 0.0, 2.0);
        assert!((found.bound - 8.8).abs() < 1e-12 && (found.reached - 7.2).abs() < 1e-12, "{found:?}");
        let unknown = [Enclosure::ZERO, Enclosure::EVERYTHING, Enclosure::ZERO, Enclosure::ZERO];
        assert_eq!(largest(&unknown, 0.0, 1.0), Largest { reached: 0.0, bound: f64::INFINITY });
    }

    proptest::proptest! {
        // Witness: 400 places of the stretch; between two of them a cubic changes by less than its slope allows.
        #[test]
        fn no_place_is_higher(
            c in proptest::array::uniform4(-10.0..10.0f64), low in -2.0..0.0f64, width in 0.0..3.0f64
        ) {
            let found = largest(&exact(c), low, low + width);
            let at = |tau: f64| (((c[3] * tau + c[2]) * tau + c[1]) * tau + c[0]).abs();
            let seen = (0..=400).map(|i| at(low + width * f64::from(i) / 400.0)).fold(0.0, f64::max);
            // |slope| up to 10 (1 + 2·3 + 3·9) = 340 on half a step.
            proptest::prop_assert!(seen <= found.bound && found.reached <= seen + 340.0 * width / 800.0);
        }
    }
}
