//! Second-order terms of the propagation, for models that bend within the uncertainties of their inputs.

use crate::error::{Error, Result};
use crate::uncertainty::budget::{Budget, SecondOrder, SecondOrderTerm, Warning};
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::derivative::describe;
use crate::uncertainty::propagate::{Input, SENSITIVITY_DOUBT, propagate};

/// Levels of the extrapolation to step zero; each halves the steps.
const LEVELS: usize = 4;

/// How often the first step may be halved until the model answers all around.
const SHRINKAGES: usize = 20;

/// Part of the combined variance up to which a doubt about the second-order terms is not worth a warning.
const DOUBT: f64 = 1e-4;

/// Propagates the uncertainties of the inputs through a model, to second order.
///
/// # Formula
/// First-order variance + Σᵢ Σⱼ (½ cᵢⱼ² + cᵢ cᵢⱼⱼ) u²(xᵢ) u²(xⱼ) for normal inputs; for others the terms with i = j take
/// their own third and fourth moments: ¼ cᵢᵢ² (μ₄ − u⁴) + cᵢ cᵢᵢ μ₃ + ⅓ cᵢ cᵢᵢᵢ μ₄. A normal input counts as normal also where its
/// standard uncertainty has finite degrees of freedom.
///
/// # Correlation
/// Inputs that are correlated with each other must be normal: they are turned into independent ones, along which the same
/// formula holds exactly. Correlated inputs of another kind are refused; take Monte Carlo for them.
///
/// # What the budget says
/// [`Budget::second_order`] holds the variance added, its terms, and by how much the expectation of the result lies off
/// the value at the estimates (½ Σ cᵢⱼ u(xᵢ, xⱼ)); the value is not moved by it. A term counts for the effective degrees of
/// freedom as a contribution with the fewer of its two inputs; that rule has no source. A second-order sum that is
/// negative enough to leave no variance is refused.
///
/// # Errors
/// As [`propagate`], and [`Error::InvalidValue`] for what is said above and for inputs without a fourth moment.
///
/// # Source
/// JCGM 100:2008, 5.1.2 note and H.1.7. The general form is the expansion of the variance to fourth order in the deviations.
///
/// # Example
/// ```
/// use calcore::uncertainty::{Coverage, Distribution, Input, propagate_second_order};
/// // A square about its minimum: to first order it has no uncertainty at all; exactly √2 u².
/// let inputs = [Input::new("x", Distribution::normal(0.0, 0.1)?)];
/// let budget = propagate_second_order(|x| Ok(x[0] * x[0]), &inputs, None, Coverage::Factor(2.0))?;
/// assert!((budget.standard_uncertainty - 2f64.sqrt() * 0.01).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn propagate_second_order(
    model: impl Fn(&[f64]) -> Result<f64>,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    coverage: Coverage,
) -> Result<Budget> {
    let first = propagate(&model, inputs, correlation, coverage)?;
    let directions = directions(inputs, correlation)?;
    let bends = Bends::of(&model, inputs, &directions, first.value)?;
    let mut terms = Vec::new();
    let (mut variance, mut shift) = (0.0, 0.0);
    for (i, a) in directions.iter().enumerate() {
        let own = &bends.own[i];
        shift += 0.5 * own.second.value;
        let (m3, m4) = a.moments()?;
        let value = 0.25 * own.second.value * own.second.value * (m4 - 1.0)
            + own.first.value * own.second.value * m3
            + own.first.value * own.third.value * m4 / 3.0;
        variance += value;
        if value.abs() > 0.0 {
            terms.push(SecondOrderTerm { first: a.name.clone(), second: a.name.clone(), variance: value });
        }
        for (j, b) in directions.iter().enumerate().skip(i + 1) {
            let pair = &bends.pair[i][j - i - 1];
            // Both orders of the pair: cᵢⱼ² + cᵢ cᵢⱼⱼ + cⱼ cⱼᵢᵢ.
            let value = pair.mixed.value * pair.mixed.value
                + own.first.value * pair.first_second_second.value
                + bends.own[j].first.value * pair.second_first_first.value;
            variance += value;
            if value.abs() > 0.0 {
                terms.push(SecondOrderTerm { first: a.name.clone(), second: b.name.clone(), variance: value });
            }
        }
    }
    let freedom = |name: &str| {
        let group = name.split(" with ");
        group
            .filter_map(|one| inputs.iter().find(|input| input.name == one))
            .map(|input| input.distribution.degrees_of_freedom())
            .fold(f64::INFINITY, f64::min)
    };
    let weight = |term: &SecondOrderTerm| {
        let nu = freedom(&term.first).min(freedom(&term.second));
        term.variance * term.variance / nu
    };
    let weights = terms.iter().map(weight).sum::<f64>();
    let error = bends.error(&directions);
    let second = SecondOrder { variance, expectation_shift: shift, terms };
    let mut budget = first.with_second_order(second, weights, coverage)?;
    // What was a doubt beside the first order may be none beside both.
    let u = budget.standard_uncertainty;
    let lines = &budget.contributions;
    budget.warnings.retain(|warning| match warning {
        Warning::UncertainSensitivity { quantity, error, .. } => lines
            .iter()
            .filter(|line| line.quantity == *quantity)
            .any(|line| error * line.standard_uncertainty > SENSITIVITY_DOUBT * u),
        _ => true,
    });
    let total = budget.standard_uncertainty * budget.standard_uncertainty;
    if error > DOUBT * total {
        budget.warnings.push(Warning::UncertainSecondOrder { variance, error });
    }
    Ok(budget)
}

/// A direction in the space of the inputs along which they move independently of the other directions: an input with its
/// standard uncertainty, or a column of the factor of a correlated group.
struct Direction {
    name: String,
    /// Input and how far it moves.
    steps: Vec<(usize, f64)>,
    /// Third and fourth standardised moments; none where they do not exist.
    moments: Option<(f64, f64)>,
}

impl Direction {
    fn moments(&self) -> Result<(f64, f64)> {
        self.moments.ok_or_else(|| Error::InvalidValue {
            what: "fourth moment",
            value: f64::INFINITY,
            unit: "",
            requirement: format!(
                "the distribution of {} has none, and the second order needs it; take a normal one with its degrees of \
                 freedom",
                self.name
            ),
        })
    }

    /// How many standard uncertainties a step may be wide: at least one, and more where an input is known so well that its
    /// rounding would show (a 128th of its value).
    fn reach(&self, point: &[f64]) -> f64 {
        let widest = self
            .steps
            .iter()
            .filter(|(_, step)| step.abs() > 0.0)
            .map(|(i, step)| point[*i].abs() / (128.0 * step.abs()))
            .fold(f64::INFINITY, f64::min);
        // A power of two: dividing by it is exact.
        let reach = if widest.is_finite() { widest.clamp(1.0, 1e9) } else { 1.0 };
        libm::exp2(libm::floor(libm::log2(reach)))
    }
}

fn directions(inputs: &[Input], correlation: Option<&[f64]>) -> Result<Vec<Direction>> {
    let alone = |i: usize| {
        let distribution = &inputs[i].distribution;
        let moments = if distribution.degrees_of_freedom().is_finite() {
            Some((0.0, 3.0))
        } else {
            distribution.skewness().zip(distribution.excess_kurtosis().map(|excess| excess + 3.0))
        };
        let u = distribution.standard_uncertainty();
        // Without any uncertainty, moments do not matter.
        let moments = if u > 0.0 { moments } else { Some((0.0, 3.0)) };
        Direction { name: inputs[i].name.clone(), steps: vec![(i, u)], moments }
    };
    let Some(values) = correlation else { return Ok((0..inputs.len()).map(alone).collect()) };
    let matrix = Correlation::new(inputs.len(), values)?;
    let mut found = Vec::with_capacity(inputs.len());
    for mut members in matrix.groups() {
        if members.len() == 1 {
            found.push(alone(members[0]));
            continue;
        }
        members.sort_unstable();
        for &i in &members {
            if inputs[i].distribution.shape() != crate::uncertainty::Shape::Normal {
                return Err(Error::InvalidValue {
                    what: "order of the propagation",
                    value: 2.0,
                    unit: "",
                    requirement: format!(
                        "{} is correlated and {}: second-order terms of correlated inputs are known for normal ones only; \
                         take Monte Carlo",
                        inputs[i].name,
                        inputs[i].distribution.name()
                    ),
                });
            }
        }
        let factor = matrix.factor(&members);
        let n = members.len();
        let names: Vec<&str> = members.iter().map(|&i| inputs[i].name.as_str()).collect();
        for column in 0..n {
            let steps = (column..n)
                .map(|row| {
                    let u = inputs[members[row]].distribution.standard_uncertainty();
                    (members[row], factor[row * n + column] * u)
                })
                .collect();
            found.push(Direction { name: names.join(" with "), steps, moments: Some((0.0, 3.0)) });
        }
    }
    Ok(found)
}

/// A number found by extrapolation, and how far off it may be.
#[derive(Clone, Copy, Default)]
struct Found {
    value: f64,
    error: f64,
}

/// Derivatives along one direction, in units of its standard uncertainty.
#[derive(Clone, Copy, Default)]
struct Own {
    first: Found,
    second: Found,
    third: Found,
}

/// Mixed derivatives along two directions.
#[derive(Clone, Copy, Default)]
struct Pair {
    mixed: Found,
    first_second_second: Found,
    second_first_first: Found,
}

struct Bends {
    own: Vec<Own>,
    pair: Vec<Vec<Pair>>,
}

impl Bends {
    fn of(
        model: &impl Fn(&[f64]) -> Result<f64>,
        inputs: &[Input],
        directions: &[Direction],
        middle: f64,
    ) -> Result<Self> {
        let point: Vec<f64> = inputs.iter().map(|input| input.distribution.mean()).collect();
        let mut moved = point.clone();
        let mut at = |offsets: &[(usize, f64)]| -> Option<f64> {
            moved.copy_from_slice(&point);
            for (direction, offset) in offsets {
                for (i, step) in &directions[*direction].steps {
                    moved[*i] += offset * step;
                }
            }
            model(&moved).ok().filter(|y| y.is_finite())
        };
        let none = |name: &str| Error::ModelFailed {
            message: format!("it gives no number all around {}, moved along {name}", describe(inputs, &point)),
        };
        let still = |direction: &Direction| direction.steps.iter().all(|(_, step)| step.abs() <= 0.0);
        let mut own = Vec::with_capacity(directions.len());
        for (i, direction) in directions.iter().enumerate() {
            if still(direction) {
                own.push(Own::default());
                continue;
            }
            let found = extrapolate(direction.reach(&point), middle, |h| {
                let (a, b) = (at(&[(i, h)])?, at(&[(i, -h)])?);
                let (aa, bb) = (at(&[(i, 2.0 * h)])?, at(&[(i, -2.0 * h)])?);
                Some([
                    (a - b) / (2.0 * h),
                    ((a - middle) + (b - middle)) / (h * h),
                    ((aa - bb) - 2.0 * (a - b)) / (2.0 * h * h * h),
                ])
            });
            let [first, second, third] = found.ok_or_else(|| none(&direction.name))?;
            own.push(Own { first, second, third });
        }
        let mut pair = Vec::with_capacity(directions.len());
        for (i, a) in directions.iter().enumerate() {
            let mut row = Vec::with_capacity(directions.len() - i - 1);
            for (j, b) in directions.iter().enumerate().skip(i + 1) {
                if still(a) || still(b) {
                    row.push(Pair::default());
                    continue;
                }
                let (wide_a, wide_b) = (a.reach(&point), b.reach(&point));
                let found = extrapolate(1.0, middle, |scale| {
                    let (h, k) = (scale * wide_a, scale * wide_b);
                    let mut corner = |s: f64, t: f64| at(&[(i, s * h), (j, t * k)]);
                    let (pp, pm) = (corner(1.0, 1.0)?, corner(1.0, -1.0)?);
                    let (mp, mm) = (corner(-1.0, 1.0)?, corner(-1.0, -1.0)?);
                    let (p0, m0) = (corner(1.0, 0.0)?, corner(-1.0, 0.0)?);
                    let (zp, zm) = (corner(0.0, 1.0)?, corner(0.0, -1.0)?);
                    Some([
                        ((pp - pm) - (mp - mm)) / (4.0 * h * k),
                        (((pp - p0) + (pm - p0)) - ((mp - m0) + (mm - m0))) / (2.0 * h * k * k),
                        (((pp - zp) + (mp - zp)) - ((pm - zm) + (mm - zm))) / (2.0 * k * h * h),
                    ])
                });
                let both = || none(&format!("{} and {}", a.name, b.name));
                let [mixed, first_second_second, second_first_first] = found.ok_or_else(both)?;
                row.push(Pair { mixed, first_second_second, second_first_first });
            }
            pair.push(row);
        }
        Ok(Self { own, pair })
    }

    /// A bound of the error of the second-order variance.
    fn error(&self, directions: &[Direction]) -> f64 {
        let product = |a: &Found, b: &Found| a.value.abs() * b.error + b.value.abs() * a.error + a.error * b.error;
        let mut error = 0.0;
        for (i, own) in self.own.iter().enumerate() {
            let (m3, m4) = directions[i].moments.unwrap_or((0.0, 3.0));
            error += 0.25 * (m4 - 1.0) * product(&own.second, &own.second)
                + m3.abs() * product(&own.first, &own.second)
                + m4 / 3.0 * product(&own.first, &own.third);
            for (k, pair) in self.pair[i].iter().enumerate() {
                error += product(&pair.mixed, &pair.mixed)
                    + product(&own.first, &pair.first_second_second)
                    + product(&self.own[i + 1 + k].first, &pair.second_first_first);
            }
        }
        error
    }
}

/// Differences with errors in even powers of the step, extrapolated to step zero; each of the three at the level where
/// its estimated error is least. None where the model has no answer however small the step.
fn extrapolate(reach: f64, size: f64, mut differences: impl FnMut(f64) -> Option<[f64; 3]>) -> Option<[Found; 3]> {
    let mut h = reach;
    let mut first = None;
    for _ in 0..=SHRINKAGES {
        first = differences(h);
        if first.is_some() {
            break;
        }
        h *= 0.5;
    }
    let mut above = [[0.0; LEVELS]; 3];
    let mut best = [Found::default(); 3];
    for (which, value) in first?.into_iter().enumerate() {
        above[which][0] = value;
        best[which] = Found { value, error: f64::INFINITY };
    }
    for level in 1..LEVELS {
        h *= 0.5;
        let Some(found) = differences(h) else { break };
        for which in 0..3 {
            let mut row = [0.0; LEVELS];
            row[0] = found[which];
            // Two of four values of the size of the result, rounded, over the power of the step.
            let power = [h, h * h, h * h * h][which];
            let rounding = 8.0 * f64::EPSILON * size.abs() / power;
            let mut factor = 1.0;
            for order in 1..=level {
                factor *= 4.0;
                row[order] = row[order - 1] + (row[order - 1] - above[which][order - 1]) / (factor - 1.0);
                let error = (row[order] - row[order - 1]).abs().max((row[order] - above[which][order - 1]).abs());
                let error = error.max(rounding);
                if error < best[which].error {
                    best[which] = Found { value: row[order], error };
                }
            }
            above[which] = row;
        }
    }
    Some(best)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::distribution::Distribution;

    const K2: Coverage = Coverage::Factor(2.0);

    fn inputs(distributions: &[Distribution]) -> Vec<Input> {
        distributions.iter().enumerate().map(|(i, d)| Input::new(format!("x{i}"), *d)).collect()
    }

    fn normal(mean: f64, std: f64) -> Distribution {
        Distribution::normal(mean, std).unwrap()
    }

    #[test]
    fn a_flat_first_order_is_no_doubt() {
        // y = 1 − a² − b² about 0: u² = 2 σ⁴ for each, and no sensitivity at all.
        let hill = |x: &[f64]| Ok(1.0 - x[0] * x[0] - x[1] * x[1]);
        let found = propagate_second_order(hill, &inputs(&[normal(0.0, 0.005); 2]), None, K2).unwrap();
        assert!((found.standard_uncertainty / 5e-5 - 1.0).abs() < 1e-9, "{found:?}");
        assert!(found.warnings.is_empty(), "{:?}", found.warnings);
    }

    #[test]
    fn squares_have_closed_forms() {
        // Variance of x² about μ: 4 μ² σ² + 4 μ μ₃ + μ₄ − σ⁴. Normal: 4 μ² σ² + 2 σ⁴; rectangle ±a about 0: 4 a⁴/45.
        let square = |x: &[f64]| Ok(x[0] * x[0]);
        let found = propagate_second_order(square, &inputs(&[normal(0.3, 0.1)]), None, K2).unwrap();
        let u2 = found.standard_uncertainty * found.standard_uncertainty;
        assert!((u2 - (4.0 * 0.09 * 0.01 + 2e-4)).abs() < 1e-13, "{u2}");
        let second = found.second_order.as_ref().unwrap();
        assert!((second.variance - 2e-4).abs() < 1e-13 && (second.expectation_shift - 0.01).abs() < 1e-13);
        let flat = inputs(&[Distribution::rectangular(-1.0, 1.0).unwrap()]);
        let found = propagate_second_order(square, &flat, None, K2).unwrap();
        assert!((found.standard_uncertainty - (4.0f64 / 45.0).sqrt()).abs() < 1e-11);
        // Exponential of mean 1: raw moments 24 − 4 = 20.
        let skewed = inputs(&[Distribution::exponential(1.0).unwrap()]);
        let found = propagate_second_order(square, &skewed, None, K2).unwrap();
        assert!((found.standard_uncertainty - 20f64.sqrt()).abs() < 1e-9, "{}", found.standard_uncertainty);
    }

    #[test]
    fn products_are_exact() {
        // Var(xy) = μx² σy² + μy² σx² + σx² σy², whatever the distributions.
        let two = inputs(&[normal(2.0, 0.3), Distribution::rectangular(1.0, 3.0).unwrap()]);
        let found = propagate_second_order(|x| Ok(x[0] * x[1]), &two, None, K2).unwrap();
        let exact = 4.0 / 3.0 + 4.0 * 0.09 + 0.09 / 3.0;
        assert!((found.standard_uncertainty - f64::sqrt(exact)).abs() < 1e-11);
        let shares: f64 = found.contributions.iter().map(|line| line.share).sum();
        assert!((shares + 0.09 / 3.0 / exact - 1.0).abs() < 1e-11);
    }

    #[test]
    fn comparison_loss_with_correlated_inputs() {
        // JCGM 101:2008, 9.4: y = x1² + x2², u = 0.005. Variance with correlation r in closed form (jointly normal):
        // 4 u² (x1² + x2² + 2 r x1 x2) + 4 u⁴ (1 + r²). Printed for x1 = 0.010, r = 0: u = 112e-6; r = 0.9: 121e-6.
        let sum = |x: &[f64]| Ok(x[0] * x[0] + x[1] * x[1]);
        for (x1, r) in [(0.0, 0.0), (0.010, 0.0), (0.0, 0.9), (0.010, 0.9), (0.05, 0.9)] {
            let two = inputs(&[normal(x1, 0.005), normal(0.0, 0.005)]);
            let found = propagate_second_order(sum, &two, Some(&[1.0, r, r, 1.0]), K2).unwrap();
            let exact: f64 = 4.0 * 25e-6 * x1 * x1 + 4.0 * 625e-12 * (1.0 + r * r);
            assert!((found.standard_uncertainty / exact.sqrt() - 1.0).abs() < 1e-9, "{x1} {r}");
            assert!((found.second_order.unwrap().expectation_shift - 50e-6).abs() < 1e-12);
        }
    }

    #[test]
    fn end_gauge_of_the_guide() {
        // JCGM 100:2008, H.1.7: terms 11.7 nm and 1.7 nm, u_c = 34 nm; unrounded: tests/reference/gum_h1.csv.
        let u_theta = (0.04f64 + 0.125).sqrt();
        let six = inputs(&[
            Distribution::normal_with_degrees_of_freedom(50_000_623.0, 25.0, 18.0).unwrap(),
            // u(d) as printed.
            Distribution::normal_with_degrees_of_freedom(215.0, 9.7, 25.6).unwrap(),
            Distribution::rectangular(9.5e-6, 13.5e-6).unwrap(),
            normal(-0.1, u_theta),
            Distribution::rectangular(-1e-6, 1e-6).unwrap(),
            Distribution::rectangular(-0.05, 0.05).unwrap(),
        ]);
        let model = |x: &[f64]| Ok(x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5]));
        let found = propagate_second_order(model, &six, None, K2).unwrap();
        assert!((found.standard_uncertainty - 33.811_721_545_617_09).abs() < 1e-4, "{}", found.standard_uncertainty);
        let second = found.second_order.unwrap();
        let term = |a: &str, b: &str| {
            second.terms.iter().find(|t| t.first == a && t.second == b).map_or(0.0, |t| t.variance.sqrt())
        };
        assert!((term("x3", "x4") - 11.726_185_506_009_49).abs() < 1e-3, "{}", term("x3", "x4"));
        assert!((term("x2", "x5") - 1.666_687_433_333_333).abs() < 1e-3, "{}", term("x2", "x5"));
    }

    #[test]
    fn third_derivatives_count() {
        // x³ about 1 with a small normal u: exact variance 9 u² + 36 u⁴ + 15 u⁶; the second order has the first two.
        let found =
            propagate_second_order(|x| Ok(x[0] * x[0] * x[0]), &inputs(&[normal(1.0, 0.01)]), None, K2).unwrap();
        let u2 = found.standard_uncertainty * found.standard_uncertainty;
        assert!((u2 - (9e-4 + 36e-8)).abs() < 1e-12, "{u2}");
        // Where x stands is far beyond u: rounding must not make a second order of nothing.
        let found = propagate_second_order(|x| Ok(x[0]), &inputs(&[normal(1e6, 1e-6)]), None, K2).unwrap();
        assert!((found.standard_uncertainty / 1e-6 - 1.0).abs() < 1e-9, "{}", found.standard_uncertainty);
        assert!(found.warnings.is_empty(), "{:?}", found.warnings);
    }

    #[test]
    fn what_has_no_second_order_is_refused() {
        let flat = Distribution::rectangular(0.0, 1.0).unwrap();
        let two = inputs(&[flat, normal(0.0, 1.0)]);
        let tied = propagate_second_order(|x| Ok(x[0] * x[1]), &two, Some(&[1.0, 0.5, 0.5, 1.0]), K2).unwrap_err();
        assert!(tied.to_string().contains("x0 is correlated and rectangular"), "{tied}");
        let heavy = inputs(&[Distribution::student_t(0.0, 1.0, 3.5).unwrap()]);
        let error = propagate_second_order(|x| Ok(x[0]), &heavy, None, K2).unwrap_err();
        assert!(error.to_string().contains("the distribution of x0 has none"), "{error}");
        let freedom = inputs(&[Distribution::normal_with_degrees_of_freedom(0.0, 1.0, 4.0).unwrap()]);
        let found = propagate_second_order(|x| Ok(x[0] * x[0]), &freedom, None, Coverage::Probability(0.95)).unwrap();
        // All of the variance has 4 degrees.
        assert!((found.effective_degrees_of_freedom - 4.0).abs() < 1e-6);
    }
}
