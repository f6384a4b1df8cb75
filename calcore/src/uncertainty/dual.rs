//! First-order propagation with sensitivities by automatic differentiation, for models written in Rust.
//!
//! A [`Dual64`] carries a value and its derivative; every operation on it follows the rules of differentiation, so that
//! the sensitivities come out to rounding, without a step and without a doubt about it. The type and the trait
//! [`DualNum`] are those of the crate num-dual, handed on so that a user need not add it.
//!
//! # Which bits to expect
//! Sums, products, quotients, [`DualNum::recip`] and [`DualNum::sqrt`] are the same on every platform. `exp`, `ln`, powers, sine
//! and their relatives are those of the platform's mathematics, whose last digits may differ from one to the next; where
//! equal bits matter, take them from `libm` and bring them in with [`chain`]. A quotient is computed as a product with the
//! reciprocal: the value of the budget may differ by some roundings from that of
//! [`propagate`](crate::uncertainty::propagate()) for the same formula.

use crate::error::{Error, Result};
use crate::uncertainty::budget::Budget;
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::derivative::{Derivative, describe};
use crate::uncertainty::propagate::{Input, budget_of};

pub use num_dual::{Dual64, DualNum};

/// A function of a dual number, from its value and its slope at `x.re`: for functions that the dual numbers lack, as the
/// curve of a sensor, and for those of `libm`.
///
/// # Example
/// ```
/// use calcore::curves::{CallendarVanDusen, SensorCurve};
/// use calcore::uncertainty::dual::{Dual64, chain};
/// let curve = CallendarVanDusen::iec60751(100.0)?;
/// let t_c = Dual64::new(100.0, 1.0);
/// let ohm = chain(t_c, curve.signal(t_c.re)?, curve.slope(t_c.re)?);
/// assert!((ohm.eps - 0.379_28).abs() < 1e-9); // A + 2 B t = 0.390 83 − 2 × 0.000 057 75 × 100, in Ω/°C
/// # Ok::<(), calcore::Error>(())
/// ```
#[must_use]
pub fn chain(x: Dual64, value: f64, slope: f64) -> Dual64 {
    Dual64::new(value, x.eps * slope)
}

/// Propagates the uncertainties of the inputs through a model of dual numbers, to first order.
///
/// As [`propagate`](crate::uncertainty::propagate()), but the sensitivities are found by automatic differentiation, with one
/// pass through the model for each input. At a corner (an amount at zero, a comparison) that is the slope of the side which
/// the model chooses there, and no warning tells of it; numerical differentiation warns.
///
/// # Arguments
/// - `model`: takes the inputs in their order as [`Dual64`]. A function that is generic over [`DualNum`] serves here and,
///   with plain numbers, for [`monte_carlo`](crate::uncertainty::monte_carlo()) too. What it returns must depend on the inputs by
///   operations on dual numbers alone: a detour over `x.re` loses the derivative.
/// - `inputs`, `correlation`, `coverage`: as in [`propagate`](crate::uncertainty::propagate()).
///
/// # Errors
/// As [`propagate`](crate::uncertainty::propagate()); [`Error::ModelFailed`] naming the inputs when the value or a derivative is
/// not finite there.
///
/// # Source
/// JCGM 100:2008, 5.1.2, 5.1.3 and 5.2.2. Forward mode of automatic differentiation: Griewank and Walther, Evaluating
/// Derivatives, 2nd edition, SIAM 2008, chapter 3 (chapter from memory).
///
/// # Example
/// ```
/// use calcore::uncertainty::dual::{DualNum, propagate_dual};
/// use calcore::uncertainty::{Coverage, Distribution, Input};
/// fn resistance<D: DualNum<Primitive = f64> + Copy>(x: &[D]) -> calcore::Result<D> {
///     Ok(x[0] / x[1])
/// }
/// let inputs = [
///     Input::new("voltage", Distribution::normal(0.1, 1e-5)?),
///     Input::new("current", Distribution::normal(1e-3, 1e-7)?),
/// ];
/// let budget = propagate_dual(resistance, &inputs, None, Coverage::Probability(0.95))?;
/// assert!((budget.contributions[1].sensitivity + 1e5).abs() < 1e-9); // −U/I² in Ω/A
/// assert!((resistance(&[0.1, 1e-3])? - budget.value).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn propagate_dual(
    model: impl Fn(&[Dual64]) -> Result<Dual64>,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    coverage: Coverage,
) -> Result<Budget> {
    coverage.check()?;
    Input::check_all(inputs)?;
    let matrix = correlation.map(|values| Correlation::new(inputs.len(), values)).transpose()?;
    let (value, derivatives) = gradient_dual(&model, inputs)?;
    budget_of(value, &derivatives, inputs, matrix.as_ref(), coverage)
}

/// Value of the model at the estimates and its sensitivities, exact to rounding.
fn gradient_dual(model: &impl Fn(&[Dual64]) -> Result<Dual64>, inputs: &[Input]) -> Result<(f64, Vec<Derivative>)> {
    let estimates: Vec<f64> = inputs.iter().map(|input| input.distribution.mean()).collect();
    let mut point: Vec<Dual64> = estimates.iter().map(|x| Dual64::from_re(*x)).collect();
    // Also without an input to differentiate by, a model has a value.
    let value = model(&point)?.re;
    if !value.is_finite() {
        return Err(Error::ModelFailed { message: format!("it gives {value} at {}", describe(inputs, &estimates)) });
    }
    let mut derivatives = Vec::with_capacity(inputs.len());
    for (i, input) in inputs.iter().enumerate() {
        point[i].eps = 1.0;
        let slope = model(&point)?.eps;
        point[i].eps = 0.0;
        if !slope.is_finite() {
            let place = describe(inputs, &estimates);
            let message = format!("its derivative by {} is {slope} at {place}", input.name);
            return Err(Error::ModelFailed { message });
        }
        derivatives.push(Derivative { value: slope, error: 0.0 });
    }
    Ok((value, derivatives))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::derivative::gradient;
    use crate::uncertainty::distribution::Distribution;
    use crate::uncertainty::propagate::propagate;

    fn normal(name: &str, mean: f64, std: f64) -> Input {
        Input::new(name, Distribution::normal(mean, std).unwrap())
    }

    /// JCGM 100:2008, H.2.2: resistance, reactance and impedance from voltage, current and phase.
    fn resistance<D: DualNum<Primitive = f64> + Copy>(x: &[D]) -> Result<D> {
        Ok(x[0] / x[1] * x[2].cos())
    }

    fn reactance<D: DualNum<Primitive = f64> + Copy>(x: &[D]) -> Result<D> {
        Ok(x[0] / x[1] * x[2].sin())
    }

    fn impedance<D: DualNum<Primitive = f64> + Copy>(x: &[D]) -> Result<D> {
        Ok(x[0] / x[1])
    }

    /// JCGM 100:2008, H.1.2: end-gauge calibration, in nm and °C.
    fn end_gauge<D: DualNum<Primitive = f64> + Copy>(x: &[D]) -> Result<D> {
        Ok(x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5]))
    }

    fn impedance_inputs() -> [Input; 3] {
        [normal("V", 4.9990, 0.0032), normal("I", 0.019_661, 9.5e-6), normal("phi", 1.044_46, 0.000_75)]
    }

    fn end_gauge_inputs() -> [Input; 6] {
        [
            normal("l_S", 50_000_623.0, 25.0),
            normal("d", 215.0, 9.7),
            normal("alpha_S", 11.5e-6, 1.2e-6),
            normal("theta", -0.1, 0.41),
            normal("dalpha", 0.0, 0.58e-6),
            normal("dtheta", 0.0, 0.029),
        ]
    }

    #[test]
    fn resistance_reactance_and_impedance_of_the_guide() {
        // JCGM 100:2008, H.2 (values from memory): r(V,I) = −0.36, r(V,φ) = 0.86, r(I,φ) = −0.65. Printed: R = 127.732
        // (0.071), X = 219.847 (0.295), Z = 254.260 (0.236) Ω. The inputs are printed rounded: the last digit of φ moves R
        // by 0.001 Ω, the half unit of the last digit of V and I moves Z by 0.007 Ω, that of u(φ) moves u by 2 %.
        let matrix = [1.0, -0.36, 0.86, -0.36, 1.0, -0.65, 0.86, -0.65, 1.0];
        let (inputs, coverage) = (impedance_inputs(), Coverage::Factor(2.0));
        let found = [
            propagate_dual(resistance, &inputs, Some(&matrix), coverage).unwrap(),
            propagate_dual(reactance, &inputs, Some(&matrix), coverage).unwrap(),
            propagate_dual(impedance, &inputs, Some(&matrix), coverage).unwrap(),
        ];
        for (budget, (value, u)) in found.iter().zip([(127.732, 0.071), (219.847, 0.295), (254.260, 0.236)]) {
            assert!((budget.value - value).abs() < 0.01, "{}", budget.value);
            assert!((budget.standard_uncertainty / u - 1.0).abs() < 0.02, "{}", budget.standard_uncertainty);
        }
        // ∂R/∂V = cos φ/I, ∂R/∂I = −V cos φ/I², ∂R/∂φ = −V sin φ/I; each a handful of roundings.
        let (v, i, phi) = (4.9990, 0.019_661, 1.044_46);
        let written_out = [libm::cos(phi) / i, -v * libm::cos(phi) / (i * i), -v * libm::sin(phi) / i];
        for (line, want) in found[0].contributions.iter().zip(written_out) {
            assert!((line.sensitivity / want - 1.0).abs() < 16.0 * f64::EPSILON, "{line:?} {want}");
        }
    }

    #[test]
    fn end_gauge_sensitivities_written_out() {
        // JCGM 100:2008, H.1.3.1 to H.1.3.6: c = 1 and 1, 0 and 0 (because δα and δθ are 0), −l_S θ, −l_S α_S. Sums and
        // products of at most four doubles.
        let budget = propagate_dual(end_gauge, &end_gauge_inputs(), None, Coverage::Factor(2.0)).unwrap();
        let expected = [1.0, 1.0, 0.0, 0.0, 5_000_062.3, -575.007_164_5];
        assert_eq!(budget.value, 50_000_838.0);
        for (line, want) in budget.contributions.iter().zip(expected) {
            assert!((line.sensitivity - want).abs() <= 4.0 * f64::EPSILON * want.abs(), "{line:?} {want}");
        }
    }

    /// The stated error of the numerical sensitivities, and the roundings of both: the quotient of the dual numbers and the
    /// written one are three roundings apart.
    fn agree(dual: impl Fn(&[Dual64]) -> Result<Dual64>, plain: impl Fn(&[f64]) -> Result<f64>, inputs: &[Input]) {
        let (value, exact) = gradient_dual(&dual, inputs).unwrap();
        let (plain_value, numerical) = gradient(&plain, inputs).unwrap();
        assert!((value / plain_value - 1.0).abs() < 8.0 * f64::EPSILON);
        for (exact, numerical) in exact.iter().zip(&numerical) {
            let bound = numerical.error + 8.0 * f64::EPSILON * exact.value.abs();
            assert!((exact.value - numerical.value).abs() <= bound, "{exact:?} {numerical:?}");
        }
        // Ten digits of the sensitivities, ten of what is made of them.
        let a = propagate_dual(dual, inputs, None, Coverage::Probability(0.95)).unwrap();
        let b = propagate(plain, inputs, None, Coverage::Probability(0.95)).unwrap();
        assert!((a.expanded_uncertainty / b.expanded_uncertainty - 1.0).abs() < 1e-10);
    }

    #[test]
    fn numerical_sensitivities_differ_by_no_more_than_they_say() {
        agree(resistance, resistance, &impedance_inputs());
        agree(reactance, reactance, &impedance_inputs());
        agree(impedance, impedance, &impedance_inputs());
        agree(end_gauge, end_gauge, &end_gauge_inputs());
    }

    #[test]
    fn functions_from_outside_enter_by_their_slope() {
        // d exp(−x²)/dx = −2x exp(−x²).
        let inputs = [normal("x", 0.75, 0.01)];
        let model = |x: &[Dual64]| {
            let square = x[0] * x[0];
            let bell = libm::exp(-square.re);
            Ok(chain(square, bell, -bell))
        };
        let budget = propagate_dual(model, &inputs, None, Coverage::Factor(2.0)).unwrap();
        let want = -1.5 * libm::exp(-0.5625);
        assert!((budget.contributions[0].sensitivity / want - 1.0).abs() < 4.0 * f64::EPSILON);
    }

    #[test]
    fn a_model_without_an_answer_names_its_inputs() {
        let inputs = [normal("ohm", -1.0, 0.1), normal("scale", 2.0, 0.1)];
        let root = |x: &[Dual64]| Ok(x[1] * x[0].sqrt());
        let error = propagate_dual(root, &inputs, None, Coverage::Factor(2.0)).unwrap_err();
        assert_eq!(error.to_string(), "the model failed: it gives NaN at ohm = -1, scale = 2");
        // A root at zero has a value, but no finite slope.
        let inputs = [normal("ohm", 0.0, 0.1)];
        let error = propagate_dual(|x| Ok(x[0].sqrt()), &inputs, None, Coverage::Factor(2.0)).unwrap_err();
        assert!(error.to_string().contains("its derivative by ohm is"), "{error}");
        assert!(error.to_string().contains("at ohm = 0"), "{error}");
    }

    #[test]
    fn a_constant_has_a_value_and_no_uncertainty() {
        let budget = propagate_dual(|_| Ok(Dual64::from_re(7.0)), &[], None, Coverage::Factor(2.0)).unwrap();
        assert_eq!((budget.value, budget.standard_uncertainty), (7.0, 0.0));
    }
}
