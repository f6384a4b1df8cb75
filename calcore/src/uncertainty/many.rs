//! Several results of one model, with the covariance that they have from their common inputs.

use crate::error::{Error, Result, same_length};
use crate::num::covariance::Covariance;
use crate::uncertainty::budget::Budget;
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::derivative::{central, describe};
use crate::uncertainty::propagate::{Input, budget_of};
use crate::uncertainty::regions::{hyper_ellipse_factor, hyper_rectangle_factor};

/// Several results with their budgets and what they share.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Joint {
    /// One budget for each result, as if it stood alone.
    pub budgets: Vec<Budget>,
    /// Sensitivities ∂yⱼ/∂xᵢ, row by row: one row a result, one column an input.
    pub sensitivities: Vec<f64>,
    /// Covariance matrix of the results.
    pub covariance: Covariance,
}

impl Joint {
    /// Correlation coefficient of two results; 0 where either has no uncertainty.
    #[must_use]
    pub fn correlation(&self, first: usize, second: usize) -> f64 {
        self.covariance.correlation(first, second).clamp(-1.0, 1.0)
    }

    /// Factor of the hyper-ellipse that covers all results together; see [`hyper_ellipse_factor`].
    ///
    /// # Errors
    /// As there.
    pub fn hyper_ellipse_factor(&self, probability: f64) -> Result<f64> {
        hyper_ellipse_factor(probability, self.budgets.len())
    }

    /// Factor of the hyper-rectangle that covers all results together; see [`hyper_rectangle_factor`].
    ///
    /// # Errors
    /// As there.
    pub fn hyper_rectangle_factor(&self, probability: f64) -> Result<f64> {
        hyper_rectangle_factor(probability, self.budgets.len())
    }
}

/// Propagates the uncertainties of the inputs through a model with several results, to first order.
///
/// The sensitivities are found as in [`propagate`](crate::uncertainty::propagate()), all results from the same calls of
/// the model.
///
/// # Formula
/// U_y = C U_x Cᵀ, C the matrix of sensitivities
///
/// # Arguments
/// - `model`: takes the inputs in their order and fills the results; an error, or a result that is not finite, means that it
///   has no answer.
/// - `results`: how many.
/// - `inputs`, `correlation`, `coverage`: as in [`propagate`](crate::uncertainty::propagate()).
///
/// # Errors
/// As [`propagate`](crate::uncertainty::propagate()); [`Error::TooFewPoints`] for no result.
///
/// # Source
/// JCGM 102:2011, 6.2.1.3 and 6.2.2 (clause numbers from memory).
///
/// # Example
/// ```
/// use calcore::uncertainty::{Coverage, Distribution, Input, propagate_many};
/// // Sum and difference of two inputs with equal uncertainty are uncorrelated.
/// let inputs = [
///     Input::new("a", Distribution::normal(3.0, 0.1)?),
///     Input::new("b", Distribution::normal(1.0, 0.1)?),
/// ];
/// let model = |x: &[f64], y: &mut [f64]| {
///     y.copy_from_slice(&[x[0] + x[1], x[0] - x[1]]);
///     Ok(())
/// };
/// let both = propagate_many(model, 2, &inputs, None, Coverage::Factor(2.0))?;
/// assert!(both.correlation(0, 1).abs() < 1e-9);
/// assert!((both.budgets[0].standard_uncertainty - 0.02f64.sqrt()).abs() < 1e-9);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn propagate_many(
    model: impl Fn(&[f64], &mut [f64]) -> Result<()>,
    results: usize,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    coverage: Coverage,
) -> Result<Joint> {
    coverage.check()?;
    Input::check_all(inputs)?;
    if results == 0 {
        return Err(Error::TooFewPoints { what: "a propagation", needed: 1, found: 0, hint: "ask for a result" });
    }
    let matrix = correlation.map(|values| Correlation::new(inputs.len(), values)).transpose()?;
    let mut point: Vec<f64> = inputs.iter().map(|input| input.distribution.mean()).collect();
    let mut values = vec![0.0; results];
    model(&point, &mut values)?;
    if let Some((j, y)) = values.iter().enumerate().find(|(_, y)| !y.is_finite()) {
        let message = format!("it gives {y} as result {j} (counted from 0) at {}", describe(inputs, &point));
        return Err(Error::ModelFailed { message });
    }
    let mut slopes = vec![Vec::with_capacity(inputs.len()); results];
    for (i, input) in inputs.iter().enumerate() {
        let (x, u) = (point[i], input.distribution.standard_uncertainty());
        // What the model said at the places where it was asked: the results share most of them.
        let mut seen: Vec<(u64, Option<Vec<f64>>)> = Vec::new();
        for (j, slopes) in slopes.iter_mut().enumerate() {
            let found = central(
                |moved| {
                    let bits = moved.to_bits();
                    let place = seen.iter().position(|(known, _)| *known == bits).unwrap_or_else(|| {
                        point[i] = moved;
                        let mut there = vec![f64::NAN; results];
                        let answer = model(&point, &mut there).ok().map(|()| there);
                        seen.push((bits, answer));
                        seen.len() - 1
                    });
                    seen[place].1.as_ref().map(|there| there[j]).filter(|y| y.is_finite())
                },
                values[j],
                x,
                u,
            );
            point[i] = x;
            slopes.push(found.ok_or_else(|| Error::ModelFailed {
                message: format!(
                    "it gives no number as result {j} (counted from 0) on both sides of {} = {x}, at {}",
                    input.name,
                    describe(inputs, &point)
                ),
            })?);
        }
    }
    let mut budgets = Vec::with_capacity(results);
    for (value, slopes) in values.iter().zip(&slopes) {
        budgets.push(budget_of(*value, slopes, inputs, matrix.as_ref(), coverage)?);
    }
    let covariance = covariance_of(&budgets, matrix.as_ref())?;
    let sensitivities = slopes.iter().flatten().map(|slope| slope.value).collect();
    Ok(Joint { budgets, sensitivities, covariance })
}

/// Covariance of results whose lines all belong to the same sources, by the same names in the same order.
///
/// # Errors
/// [`Error::LengthMismatch`] for budgets with another number of lines, or a matrix of another size; [`Error::UnknownName`] for
/// a line that has another name than in the first budget.
pub fn covariance_of(budgets: &[Budget], correlation: Option<&Correlation>) -> Result<Covariance> {
    let first = budgets.first().map_or(&[][..], |budget| &budget.contributions);
    let inputs = first.len();
    for budget in budgets {
        same_length("budget", inputs, budget.contributions.len())?;
        if let Some((line, known)) = budget.contributions.iter().zip(first).find(|(a, b)| a.quantity != b.quantity) {
            return Err(Error::UnknownName {
                what: "source of a budget",
                name: line.quantity.clone(),
                expected: format!("{}, which stands there in the first budget", known.quantity),
            });
        }
    }
    if let Some(matrix) = correlation {
        same_length("correlation matrix (rows)", inputs, matrix.size())?;
    }
    Ok(Covariance::from_fn(budgets.len(), |a, b| {
        if a == b {
            return budgets[a].standard_uncertainty * budgets[a].standard_uncertainty;
        }
        let (left, right) = (&budgets[a].contributions, &budgets[b].contributions);
        match correlation {
            None => left.iter().zip(right).map(|(p, q)| p.contribution * q.contribution).sum(),
            Some(matrix) => {
                let mut sum = 0.0;
                for (i, p) in left.iter().enumerate() {
                    for (j, q) in right.iter().enumerate() {
                        sum += p.contribution * matrix.get(i, j) * q.contribution;
                    }
                }
                sum
            }
        }
    }))
}

/// Covariance of results that share some of their sources; what else a budget holds is its own, whatever its name.
///
/// # Arguments
/// `shared`: names of the sources; a budget without one of them does not depend on it. They are independent of each other.
///
/// # Errors
/// [`Error::UnknownName`] for a source that no budget has, or that one has twice.
///
/// # Source
/// JCGM 100:2008, F.1.2.3 (one source in several results).
///
/// # Example
/// ```
/// use calcore::uncertainty::many::covariance_of_shared;
/// use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution};
/// let display = |own: f64| {
///     let lines = vec![
///         Contribution::of("reference", &Distribution::normal(0.0, 3.0)?, 1.0)?,
///         Contribution::of("resolution", &Distribution::normal(0.0, own)?, 1.0)?,
///     ];
///     Budget::from_contributions(0.0, lines, Coverage::Factor(2.0))
/// };
/// let covariance = covariance_of_shared(&[display(4.0)?, display(1.0)?], &["reference"])?;
/// assert_eq!(covariance.values()[..3], [25.0, 9.0, 9.0]);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn covariance_of_shared(budgets: &[Budget], shared: &[&str]) -> Result<Covariance> {
    // One row a budget: its contribution from each shared source, 0 where it has none.
    let mut rows = Vec::with_capacity(budgets.len());
    for budget in budgets {
        let from = |name: &&str| {
            let mut lines = budget.contributions.iter().filter(|line| line.quantity == **name);
            let contribution = lines.next().map_or(0.0, |line| line.contribution);
            if lines.next().is_some() {
                Err(unknown_source(name, "a source that each budget has once"))
            } else {
                Ok(contribution)
            }
        };
        rows.push(shared.iter().map(from).collect::<Result<Vec<f64>>>()?);
    }
    let has = |name: &str| budgets.iter().any(|budget| budget.contributions.iter().any(|line| line.quantity == name));
    if let Some(name) = shared.iter().find(|name| !has(name)) {
        return Err(unknown_source(name, "a source of one of the budgets"));
    }
    Ok(Covariance::from_fn(budgets.len(), |a, b| {
        if a == b {
            return budgets[a].standard_uncertainty * budgets[a].standard_uncertainty;
        }
        rows[a].iter().zip(&rows[b]).map(|(p, q)| p * q).sum()
    }))
}

fn unknown_source(name: &str, expected: &str) -> Error {
    Error::UnknownName { what: "shared source", name: name.into(), expected: expected.into() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::budget::Contribution;
    use crate::uncertainty::distribution::Distribution;

    #[test]
    fn sources_are_known_by_their_names() {
        let budget = |names: &[&str]| {
            let line = |name: &&str| Contribution::of(*name, &Distribution::normal(0.0, 3.0).unwrap(), 1.0).unwrap();
            Budget::from_contributions(0.0, names.iter().map(line).collect(), Coverage::Factor(2.0)).unwrap()
        };
        let (one, other) = (budget(&["reference", "display"]), budget(&["display", "reference"]));
        let told = covariance_of(&[one.clone(), other.clone()], None).unwrap_err().to_string();
        assert!(told.contains("\"display\": expected reference"), "{told}");
        assert_eq!(covariance_of_shared(&[one.clone(), other.clone()], &["reference"]).unwrap().values()[1], 9.0);
        assert_eq!(covariance_of_shared(&[one.clone(), other], &["reference", "display"]).unwrap().values()[1], 18.0);
        assert_eq!(covariance_of_shared(&[one.clone(), budget(&["own"])], &["reference"]).unwrap().values()[1], 0.0);
        assert!(covariance_of_shared(&[one.clone(), budget(&["own"])], &["block"]).is_err());
        assert!(covariance_of_shared(&[one, budget(&["reference", "reference"])], &["reference"]).is_err());
    }

    fn normal(name: &str, mean: f64, std: f64) -> Input {
        Input::new(name, Distribution::normal(mean, std).unwrap())
    }

    #[test]
    fn resistance_reactance_and_impedance_of_the_guide() {
        // JCGM 100:2008, H.2 (values from memory): means of five simultaneous readings, V 4.9990 V (0.0032), I
        // 19.6610 mA (0.0095 mA), φ 1.044 46 rad (0.000 75), r(V,I) = −0.36, r(V,φ) = 0.86, r(I,φ) = −0.65. Printed: R =
        // 127.732 (0.071), X = 219.847 (0.295), Z = 254.260 (0.236) Ω, r(R,X) = −0.588, r(R,Z) = −0.485, r(X,Z) = 0.993.
        // The printed inputs are rounded: the correlations of the results follow from them to some percent only.
        let inputs = [normal("V", 4.9990, 0.0032), normal("I", 0.019_661, 9.5e-6), normal("phi", 1.044_46, 0.000_75)];
        let matrix = [1.0, -0.36, 0.86, -0.36, 1.0, -0.65, 0.86, -0.65, 1.0];
        let model = |x: &[f64], y: &mut [f64]| {
            let z = x[0] / x[1];
            y.copy_from_slice(&[z * libm::cos(x[2]), z * libm::sin(x[2]), z]);
            Ok(())
        };
        let joint = propagate_many(model, 3, &inputs, Some(&matrix), Coverage::Factor(2.0)).unwrap();
        let expected = [(127.732, 0.071), (219.847, 0.295), (254.260, 0.236)];
        for (budget, (value, u)) in joint.budgets.iter().zip(expected) {
            assert!((budget.value - value).abs() < 0.01, "{}", budget.value);
            assert!((budget.standard_uncertainty / u - 1.0).abs() < 0.02, "{}", budget.standard_uncertainty);
        }
        assert!((joint.correlation(0, 1) + 0.588).abs() < 0.04, "{}", joint.correlation(0, 1));
        assert!((joint.correlation(0, 2) + 0.485).abs() < 0.04, "{}", joint.correlation(0, 2));
        assert!((joint.correlation(1, 2) - 0.993).abs() < 0.005, "{}", joint.correlation(1, 2));
    }

    #[test]
    fn each_result_is_what_it_would_be_alone() {
        let inputs = [normal("a", 2.0, 0.1), normal("b", 3.0, 0.2)];
        let joint = propagate_many(
            |x, y| {
                y[0] = x[0] * x[1];
                y[1] = libm::exp(x[0]);
                Ok(())
            },
            2,
            &inputs,
            None,
            Coverage::Probability(0.95),
        )
        .unwrap();
        let alone =
            crate::uncertainty::propagate(|x| Ok(x[0] * x[1]), &inputs, None, Coverage::Probability(0.95)).unwrap();
        assert_eq!(joint.budgets[0], alone);
        // By hand: cov = ∂(ab)/∂a ∂(eᵃ)/∂a u²(a) = 3 e² 0.01.
        assert!((joint.covariance.get(0, 1) - 0.03 * libm::exp(2.0)).abs() < 1e-11);
        assert!((joint.sensitivities[2] - libm::exp(2.0)).abs() < 1e-9 && joint.sensitivities[3].abs() < 1e-12);
        assert!((joint.hyper_ellipse_factor(0.95).unwrap() - 2.4477).abs() < 1e-4);
        assert!((joint.hyper_rectangle_factor(0.95).unwrap() - 2.2414).abs() < 1e-4);
    }

    #[test]
    fn the_result_without_a_number_is_named() {
        let inputs = [normal("a", -1.0, 0.1)];
        let root = |x: &[f64], y: &mut [f64]| {
            (y[0], y[1]) = (x[0], libm::sqrt(x[0]));
            Ok(())
        };
        let error = propagate_many(root, 2, &inputs, None, Coverage::Factor(2.0)).unwrap_err();
        assert_eq!(error.to_string(), "the model failed: it gives NaN as result 1 (counted from 0) at a = -1");
        assert_eq!(propagate_many(root, 0, &inputs, None, Coverage::Factor(2.0)).map_err(|e| e.code()), Err(201));
    }
}
