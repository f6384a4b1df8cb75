//! Newton's method kept inside a bracket: the one inversion engine of the house.

use crate::error::{Error, Result, text};

/// Steps after which the bracket alone, by halving, would have closed any interval of doubles.
const MAX_STEPS: usize = 2200;

/// Solves `f(x) = 0` for `x` between `low` and `high`, where `f` changes sign.
///
/// `f_and_slope` returns the value and the slope at `x`. A Newton step that would leave the bracket, or that does not
/// at least halve the step before the last, is replaced by a bisection, so that no input makes it loop. It stops when
/// the step no longer changes `x`, when the value is exactly zero, or when the bracket has closed to neighbouring
/// numbers; the best `x` seen (smallest absolute value of `f`) is returned.
///
/// # Errors
/// [`Error::Undetermined`] when `f` does not change sign between the ends, [`Error::NoConvergence`] when `f` is not
/// finite inside.
///
/// # Example
/// ```
/// use calcore::num::root::bracketed_newton;
/// let x = bracketed_newton("square root", "", 0.0, 2.0, |x| (x * x - 2.0, 2.0 * x))?;
/// assert!((x - 2f64.sqrt()).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
#[expect(clippy::float_cmp, reason = "the iteration ends when nothing moves any more, to the last bit")]
pub fn bracketed_newton(
    what: &'static str,
    unit: &'static str,
    low: f64,
    high: f64,
    f_and_slope: impl Fn(f64) -> (f64, f64),
) -> Result<f64> {
    let (f_low, f_high) = (f_and_slope(low).0, f_and_slope(high).0);
    if f_low == 0.0 {
        return Ok(low);
    }
    if f_high == 0.0 {
        return Ok(high);
    }
    if !(f_low.is_finite() && f_high.is_finite()) || (f_low > 0.0) == (f_high > 0.0) {
        return Err(Error::Undetermined {
            what,
            parameter: text!("a solution between {low} and {high} {unit}"),
            hint: "the function does not change sign there",
        });
    }
    // `negative` and `positive` are the ends at which f is negative and positive.
    let (mut negative, mut positive) = if f_low < 0.0 { (low, high) } else { (high, low) };
    let mut x = 0.5 * (low + high);
    let mut step_before = (high - low).abs();
    let mut step = step_before;
    let mut best = (f64::INFINITY, x);
    for _ in 0..MAX_STEPS {
        let (f, slope) = f_and_slope(x);
        if !f.is_finite() {
            break;
        }
        if f.abs() < best.0 {
            best = (f.abs(), x);
        }
        if f == 0.0 {
            return Ok(x);
        }
        if f < 0.0 {
            negative = x
        } else {
            positive = x
        }
        let newton = x - f / slope;
        let (lower, upper) = if negative < positive { (negative, positive) } else { (positive, negative) };
        let halved_enough = (newton - x).abs() <= 0.5 * step_before;
        let next = if newton > lower && newton < upper && halved_enough { newton } else { 0.5 * (lower + upper) };
        step_before = step;
        step = (next - x).abs();
        // A step below the rounding of x itself: nothing more is to be had.
        if next == x || next == lower || next == upper || step <= 0.25 * f64::EPSILON * x.abs() {
            let f_next = f_and_slope(next).0.abs();
            return Ok(if f_next < best.0 { next } else { best.1 });
        }
        x = next;
    }
    Err(Error::NoConvergence { what, steps: MAX_STEPS, last: x, unit })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flat_and_steep_functions_converge() {
        // A triple root, where Newton alone is slow, and a step-like function, where it would jump away.
        let cubic = bracketed_newton("t", "", -1.0, 3.0, |x| ((x - 1.0).powi(3), 3.0 * (x - 1.0).powi(2)));
        assert!((cubic.unwrap_or(f64::NAN) - 1.0).abs() < 1e-5);
        let steep = bracketed_newton("t", "", -10.0, 30.0, |x| {
            (libm::atan(1e6 * (x - 0.1)), 1e6 / (1.0 + 1e12 * (x - 0.1).powi(2)))
        });
        assert!((steep.unwrap_or(f64::NAN) - 0.1).abs() < 1e-15);
    }

    #[test]
    fn no_sign_change_is_an_error() {
        assert_eq!(bracketed_newton("t", "", 0.0, 1.0, |x| (x + 1.0, 1.0)).map_err(|e| e.code()), Err(202));
        assert_eq!(bracketed_newton("t", "", 0.0, 1.0, |_| (f64::NAN, 1.0)).map_err(|e| e.code()), Err(202));
    }

    proptest::proptest! {
        #[test]
        fn any_slope_even_a_wrong_one_still_converges(root in -1.0e3..1.0e3f64, slope in -10.0..10.0f64) {
            let x = bracketed_newton("t", "", -1.0e3, 1.0e3, |x| (x - root, slope)).unwrap_or(f64::NAN);
            proptest::prop_assert!((x - root).abs() <= 4.0 * f64::EPSILON * root.abs() + 1e-300);
        }
    }
}
