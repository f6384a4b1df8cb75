//! First-order propagation of uncertainty through a model.

use crate::error::{Error, Result};
use crate::uncertainty::budget::{Budget, Contribution, Warning};
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::derivative::{Derivative, gradient};
use crate::uncertainty::distribution::Distribution;

/// Part of the combined uncertainty up to which a doubt about a sensitivity is not worth a warning.
pub(super) const SENSITIVITY_DOUBT: f64 = 1e-6;

/// An input of a model: its name and what is known about it.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Input {
    /// Name, as it stands in the budget and in messages.
    pub name: String,
    /// What is known.
    pub distribution: Distribution,
}

impl Input {
    /// An input.
    #[must_use]
    pub fn new(name: impl Into<String>, distribution: Distribution) -> Self {
        Self { name: name.into(), distribution }
    }

    /// Returns the inputs' distributions if all are possible and have a standard uncertainty.
    pub(crate) fn check_all(inputs: &[Self]) -> Result<()> {
        for input in inputs {
            input.distribution.check()?;
            let u = input.distribution.standard_uncertainty();
            if !u.is_finite() {
                return Err(Error::InvalidValue {
                    what: "standard uncertainty",
                    value: u,
                    unit: "",
                    requirement: format!(
                        "the distribution of {} has none; for an estimate from readings give a normal one with its \
                         degrees of freedom",
                        input.name
                    ),
                });
            }
        }
        Ok(())
    }
}

/// Propagates the uncertainties of the inputs through a model, to first order.
///
/// The sensitivities are found by numerical differentiation at the estimates; linear and smooth models get them to
/// about ten digits, and where a doubt remains that matters, the budget carries [`Warning::UncertainSensitivity`].
///
/// # Formula
/// y = f(x), u²(y) = Σᵢ Σⱼ cᵢ cⱼ u(xᵢ) u(xⱼ) r(xᵢ, xⱼ), cᵢ = ∂f/∂xᵢ
///
/// # Arguments
/// - `model`: takes the inputs in their order; an error or a number that is not finite means that it has no answer.
/// - `inputs`: names and distributions.
/// - `correlation`: coefficients between the inputs, row by row; none means independent.
/// - `coverage`: probability or factor of the expanded uncertainty.
///
/// # Errors
/// Those of the distributions, of [`Correlation::new`] and of [`Coverage::check`]; what the model says at the
/// estimates; [`Error::ModelFailed`] naming the inputs when it gives no number there.
///
/// # Source
/// JCGM 100:2008, 5.1.2 and 5.2.2.
///
/// # Example
/// ```
/// use calcore::uncertainty::{Coverage, Distribution, Input, propagate};
/// let inputs = [
///     Input::new("voltage", Distribution::normal(0.1, 1e-5)?),
///     Input::new("current", Distribution::normal(1e-3, 1e-7)?),
/// ];
/// let resistance = propagate(|x| Ok(x[0] / x[1]), &inputs, None, Coverage::Probability(0.95))?;
/// assert!((resistance.value - 100.0).abs() < 1e-12);
/// assert!((resistance.standard_uncertainty - 0.014_142).abs() < 1e-6);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn propagate(
    model: impl Fn(&[f64]) -> Result<f64>,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    coverage: Coverage,
) -> Result<Budget> {
    coverage.check()?;
    Input::check_all(inputs)?;
    let matrix = correlation.map(|values| Correlation::new(inputs.len(), values)).transpose()?;
    let (value, derivatives) = gradient(&model, inputs)?;
    budget_of(value, &derivatives, inputs, matrix.as_ref(), coverage)
}

/// The budget of a result from its sensitivities, wherever they come from.
pub(crate) fn budget_of(
    value: f64,
    derivatives: &[Derivative],
    inputs: &[Input],
    correlation: Option<&Correlation>,
    coverage: Coverage,
) -> Result<Budget> {
    let mut lines = Vec::with_capacity(inputs.len());
    for (input, derivative) in inputs.iter().zip(derivatives) {
        lines.push(Contribution::of(input.name.as_str(), &input.distribution, derivative.value)?);
    }
    let mut budget = match correlation {
        None => Budget::from_contributions(value, lines, coverage)?,
        Some(matrix) => Budget::from_correlated_contributions(value, lines, matrix, coverage)?,
    };
    doubts(&mut budget, inputs, derivatives);
    Ok(budget)
}

/// Warns of sensitivities whose doubt shows in the result.
fn doubts(budget: &mut Budget, inputs: &[Input], derivatives: &[Derivative]) {
    for (input, derivative) in inputs.iter().zip(derivatives) {
        let doubt = derivative.error * input.distribution.standard_uncertainty();
        // What a rounding of the result would do as well is no doubt.
        let rounding = 8.0 * f64::EPSILON * budget.value.abs();
        if doubt > SENSITIVITY_DOUBT * budget.standard_uncertainty && doubt > rounding {
            budget.warnings.push(Warning::UncertainSensitivity {
                quantity: input.name.clone(),
                sensitivity: derivative.value,
                error: derivative.error,
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn normal(name: &str, mean: f64, std: f64, nu: f64) -> Input {
        Input::new(name, Distribution::normal_with_degrees_of_freedom(mean, std, nu).unwrap())
    }

    /// JCGM 100:2008, H.1: end-gauge calibration, in nm and °C.
    fn end_gauge() -> (impl Fn(&[f64]) -> Result<f64>, [Input; 6]) {
        let rectangle = |name: &str, half: f64, mean: f64| {
            Input::new(name, Distribution::rectangular(mean - half, mean + half).unwrap())
        };
        // u(θ) is the root sum of the parts that the example lists, 0.2 and 0.5/√2; u(d) is 9.7 as printed.
        let u_theta = (0.2f64 * 0.2 + 0.125).sqrt();
        let inputs = [
            normal("l_S", 50_000_623.0, 25.0, 18.0),
            normal("d", 215.0, 9.7, 25.6),
            rectangle("alpha_S", 2e-6, 11.5e-6),
            normal("theta", -0.1, u_theta, f64::INFINITY),
            normal("dalpha", 0.0, 1e-6 / 3.0f64.sqrt(), 50.0),
            normal("dtheta", 0.0, 0.05 / 3.0f64.sqrt(), 2.0),
        ];
        (|x: &[f64]| Ok(x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5])), inputs)
    }

    #[test]
    fn end_gauge_of_the_guide() {
        let (model, inputs) = end_gauge();
        let budget = propagate(model, &inputs, None, Coverage::Probability(0.99)).unwrap();
        // Printed: l = 50 000 838 nm, u_c = 32 nm, contributions 25, 9.7, 0, 0, 2.9, 16.6 nm, ν_eff = 16.7. Recomputed
        // elsewhere from the same inputs: u_c = 31.66940543105552. ν_eff there (16.76) is to the digits that ν(d) has.
        assert_eq!(budget.value, 50_000_838.0);
        assert!((budget.standard_uncertainty - 31.669_405_431_055_52).abs() < 1e-7, "{}", budget.standard_uncertainty);
        for (line, printed) in budget.contributions.iter().zip([25.0, 9.7, 0.0, 0.0, 2.9, 16.6]) {
            assert!((line.contribution.abs() - printed).abs() < 0.05, "{line:?}");
        }
        assert!((budget.effective_degrees_of_freedom - 16.763_4).abs() < 0.005);
        assert!(budget.warnings.is_empty(), "{:?}", budget.warnings);
        // 92.499 from the unrounded u_c and 16 degrees; with all of 16.76 degrees a little less, printed 93 from 2.92 × 32.
        assert!((budget.expanded_uncertainty - 92.5).abs() < 0.8);
    }

    #[test]
    fn ten_resistors_against_one_standard() {
        // JCGM 100:2008, 5.2.2 example: fully correlated 1.0 Ω, 0.32 Ω if that were overlooked.
        let inputs: Vec<Input> = (0..10).map(|i| normal(&format!("R{i}"), 1000.0, 0.1, f64::INFINITY)).collect();
        let sum = |x: &[f64]| Ok(x.iter().sum::<f64>());
        let together = propagate(sum, &inputs, Some(&[1.0; 100]), Coverage::Factor(2.0)).unwrap();
        assert!((together.standard_uncertainty - 1.0).abs() < 1e-10);
        let apart = propagate(sum, &inputs, None, Coverage::Factor(2.0)).unwrap();
        assert!((apart.standard_uncertainty - 0.316_227_766_016_838).abs() < 1e-10);
    }

    #[test]
    fn row_of_a_loop_report() {
        // A worked budget of a display beside a reference probe, in K; sums done by hand: common part 0.0376, all
        // 0.0483, and with the repeatability of 5 readings (4 degrees) about 3400 effective degrees.
        let half = |a: f64| Distribution::rectangular(-a, a).unwrap();
        let inputs = [
            normal("certificate", 0.0, 0.015, f64::INFINITY),
            Input::new("drift", half(0.010)),
            normal("readout", 0.0, 0.005, f64::INFINITY),
            Input::new("axial", half(0.050)),
            Input::new("radial", half(0.020)),
            Input::new("loading", half(0.020)),
            Input::new("stability", half(0.010)),
            Input::new("resolution", half(0.05)),
            normal("repeatability", 0.0, 0.020 / 5.0f64.sqrt(), 4.0),
        ];
        let budget = propagate(|x| Ok(x.iter().sum()), &inputs, None, Coverage::Factor(2.0)).unwrap();
        assert!((budget.standard_uncertainty - 0.0483).abs() < 5e-5);
        assert!((budget.expanded_uncertainty - 0.097).abs() < 5e-4);
        assert!((budget.effective_degrees_of_freedom - 3400.0).abs() < 50.0);
        let common: f64 = budget.contributions[..7].iter().map(|c| c.contribution * c.contribution).sum();
        assert!((common.sqrt() - 0.0376).abs() < 5e-5);
    }

    #[test]
    fn a_model_without_an_answer_names_its_inputs() {
        let inputs = [normal("ohm", -1.0, 0.1, f64::INFINITY), normal("scale", 2.0, 0.1, f64::INFINITY)];
        let error = propagate(|x| Ok(x[1] * libm::sqrt(x[0])), &inputs, None, Coverage::Factor(2.0)).unwrap_err();
        assert_eq!(error.to_string(), "the model failed: it gives NaN at ohm = -1, scale = 2");
        let inputs = [normal("ohm", 0.0, 0.1, f64::INFINITY)];
        let error = propagate(|x| Ok(libm::sqrt(x[0])), &inputs, None, Coverage::Factor(2.0)).unwrap_err();
        assert!(error.to_string().contains("ohm = 0 (the input that was moved)"), "{error}");
    }

    #[test]
    fn relative_uncertainties_of_a_product() {
        // JCGM 100:2008 G.4.1: y = b x1 x2 x3, 0.25 % (9), 0.57 % (4), 0.82 % (14): 1.03 %, ν 19.0, t95 2.09, U95 2.2 %.
        let inputs = [normal("x1", 1.0, 0.0025, 9.0), normal("x2", 1.0, 0.0057, 4.0), normal("x3", 1.0, 0.0082, 14.0)];
        let budget = propagate(|x| Ok(x[0] * x[1] * x[2]), &inputs, None, Coverage::Probability(0.95)).unwrap();
        assert!((100.0 * budget.standard_uncertainty - 1.03).abs() < 0.005);
        assert!((budget.effective_degrees_of_freedom - 19.0).abs() < 0.05);
        assert!((budget.coverage_factor - 2.09).abs() < 0.005);
        assert!((100.0 * budget.expanded_uncertainty - 2.2).abs() < 0.05);
    }
}
