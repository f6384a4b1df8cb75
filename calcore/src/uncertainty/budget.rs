//! The budget: what each source contributes to the uncertainty of a result.

use crate::error::{Error, Result, finite, not_negative};
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::{Coverage, welch_satterthwaite};
use crate::uncertainty::distribution::{Distribution, Shape, check_degrees_of_freedom};

/// One line of a budget.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct Contribution {
    /// The source of uncertainty.
    pub quantity: String,
    /// Its best estimate, in its own unit.
    pub estimate: f64,
    /// Its standard uncertainty, in its own unit.
    pub standard_uncertainty: f64,
    /// The kind of its distribution.
    pub shape: Shape,
    /// Degrees of freedom of its standard uncertainty; infinite where exact.
    #[cfg_attr(feature = "serde", serde(with = "crate::uncertainty::distribution::infinite_as_null"))]
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    pub degrees_of_freedom: f64,
    /// How far the result moves per unit of the source, with its sign.
    pub sensitivity: f64,
    /// Sensitivity times standard uncertainty, in the unit of the result, with the sign of the sensitivity.
    pub contribution: f64,
    /// Part of the variance of the result that the source is answerable for, as a fraction; the shares of a budget add
    /// up to 1. Of two correlated sources each is given half of what they cause together, so that a share may be
    /// negative where sources cancel.
    pub share: f64,
}

impl Contribution {
    /// A line from an estimate, its standard uncertainty and its sensitivity.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a
    /// negative standard uncertainty or degrees of freedom that are not positive.
    pub fn new(
        quantity: impl Into<String>,
        estimate: f64,
        standard_uncertainty: f64,
        shape: Shape,
        degrees_of_freedom: f64,
        sensitivity: f64,
    ) -> Result<Self> {
        finite("estimate", estimate)?;
        not_negative("standard uncertainty", standard_uncertainty, "")?;
        check_degrees_of_freedom(degrees_of_freedom)?;
        finite("sensitivity", sensitivity)?;
        let contribution = finite("contribution", sensitivity * standard_uncertainty)?;
        Ok(Self {
            quantity: quantity.into(),
            estimate,
            standard_uncertainty,
            shape,
            degrees_of_freedom,
            sensitivity,
            contribution,
            share: 0.0,
        })
    }

    /// A line from the distribution of the source.
    ///
    /// # Errors
    /// As [`Contribution::new`].
    pub fn of(quantity: impl Into<String>, distribution: &Distribution, sensitivity: f64) -> Result<Self> {
        let checked = distribution.check()?;
        Self::new(
            quantity,
            checked.mean(),
            checked.standard_uncertainty(),
            checked.shape(),
            checked.degrees_of_freedom(),
            sensitivity,
        )
    }
}

/// What a reader of a budget should know before using it.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(tag = "id", rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Warning {
    /// The Welch-Satterthwaite formula is for independent contributions; here some with finite degrees of freedom are
    /// correlated, and the stated rule of [`Budget`] was used instead.
    CorrelatedDegreesOfFreedom,
    /// The sensitivity could not be had to six digits: the model is rough or bends sharply near the estimate.
    UncertainSensitivity {
        /// The source.
        quantity: String,
        /// The sensitivity that was used.
        sensitivity: f64,
        /// How far off it may be.
        error: f64,
    },
    /// The second-order terms could not be had well: the model is rough, or bends sharply within the uncertainties.
    UncertainSecondOrder {
        /// The variance that they add.
        variance: f64,
        /// How far off it may be.
        error: f64,
    },
}

/// What the second order adds to a budget.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SecondOrder {
    /// Variance added to that of the first order, in the square of the unit of the result; may be negative.
    pub variance: f64,
    /// By how much the expectation of the result lies off its value at the estimates; the value was not moved.
    pub expectation_shift: f64,
    /// Its terms by the two inputs that cause them; correlated inputs are named together.
    pub terms: Vec<SecondOrderTerm>,
}

/// One second-order term.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SecondOrderTerm {
    /// One input.
    pub first: String,
    /// The other one, or the same.
    pub second: String,
    /// Variance that it adds.
    pub variance: f64,
}

impl Warning {
    /// Stable name for machines.
    #[must_use]
    pub fn id(&self) -> &'static str {
        match self {
            Self::CorrelatedDegreesOfFreedom => "correlated_degrees_of_freedom",
            Self::UncertainSensitivity { .. } => "uncertain_sensitivity",
            Self::UncertainSecondOrder { .. } => "uncertain_second_order",
        }
    }
}

impl std::fmt::Display for Warning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::CorrelatedDegreesOfFreedom => f.write_str(
                "correlated contributions have finite degrees of freedom: each correlated group was given the smallest \
                 of its members",
            ),
            Self::UncertainSensitivity { quantity, sensitivity, error } => {
                write!(f, "the sensitivity to {quantity}, {sensitivity}, may be off by {error}")
            }
            Self::UncertainSecondOrder { variance, error } => {
                write!(f, "the second-order terms, a variance of {variance}, may be off by {error}")
            }
        }
    }
}

/// The uncertainty of a result and where it comes from.
///
/// # Effective degrees of freedom
/// For independent contributions by the Welch-Satterthwaite formula, not truncated. Contributions that are correlated
/// with each other, directly or by way of others, are taken together as one, with the smallest degrees of freedom
/// among those that contribute; where that is finite for a group of two or more, the budget carries
/// [`Warning::CorrelatedDegreesOfFreedom`]. JCGM 100:2008 G.4.1 gives the formula for independent contributions only;
/// the rule for groups is on the safe side but has no source.
///
/// # Source
/// JCGM 100:2008, clauses 5, 6 and annex G.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Budget {
    /// Best estimate of the result.
    pub value: f64,
    /// Combined standard uncertainty, in the unit of the result.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom, not truncated; infinite where every contribution is exact.
    #[cfg_attr(feature = "serde", serde(with = "crate::uncertainty::distribution::infinite_as_null"))]
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    pub effective_degrees_of_freedom: f64,
    /// Probability with which value ± expanded uncertainty covers the quantity.
    pub coverage_probability: f64,
    /// Expanded over standard uncertainty.
    pub coverage_factor: f64,
    /// Expanded uncertainty, in the unit of the result.
    pub expanded_uncertainty: f64,
    /// The lines.
    pub contributions: Vec<Contribution>,
    /// What to know before using it.
    pub warnings: Vec<Warning>,
    /// What the second order added; none for a propagation to first order.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub second_order: Option<SecondOrder>,
}

impl Budget {
    /// A budget of independent contributions with known sensitivities.
    ///
    /// # Formula
    /// u² = Σ (cᵢ u(xᵢ))², U = k u
    ///
    /// # Errors
    /// [`Error::NotFinite`] for the value; those of [`Coverage::check`].
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution};
    /// let lines = vec![
    ///     Contribution::of("certificate", &Distribution::normal(0.0, 0.015)?, 1.0)?,
    ///     Contribution::of("resolution", &Distribution::rectangular(-0.05, 0.05)?, 1.0)?,
    /// ];
    /// let budget = Budget::from_contributions(100.0, lines, Coverage::Factor(2.0))?;
    /// assert!((budget.standard_uncertainty - 0.0325).abs() < 5e-5);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn from_contributions(value: f64, contributions: Vec<Contribution>, coverage: Coverage) -> Result<Self> {
        Self::combine(value, contributions, None, coverage)
    }

    /// A budget of correlated contributions; the matrix belongs to the sources in their order.
    ///
    /// # Formula
    /// u² = Σᵢ Σⱼ cᵢ u(xᵢ) cⱼ u(xⱼ) r(xᵢ, xⱼ)
    ///
    /// # Errors
    /// As [`Budget::from_contributions`], and [`Error::LengthMismatch`] when the matrix
    /// has another size.
    ///
    /// # Source
    /// JCGM 100:2008, 5.2.2, equation (16).
    pub fn from_correlated_contributions(
        value: f64,
        contributions: Vec<Contribution>,
        correlation: &Correlation,
        coverage: Coverage,
    ) -> Result<Self> {
        Self::combine(value, contributions, Some(correlation), coverage)
    }

    fn combine(
        value: f64,
        mut contributions: Vec<Contribution>,
        correlation: Option<&Correlation>,
        coverage: Coverage,
    ) -> Result<Self> {
        finite("value", value)?;
        let sizes: Vec<f64> = contributions.iter().map(|line| line.contribution).collect();
        let degrees: Vec<f64> = contributions.iter().map(|line| line.degrees_of_freedom).collect();
        let Combined { standard_uncertainty, effective_degrees_of_freedom, shares, grouped } =
            combined(&sizes, &degrees, correlation)?;
        for (line, share) in contributions.iter_mut().zip(shares) {
            line.share = share;
        }
        let warnings = if grouped { vec![Warning::CorrelatedDegreesOfFreedom] } else { Vec::new() };
        let (coverage_probability, coverage_factor) = coverage.probability_and_factor(effective_degrees_of_freedom)?;
        Ok(Self {
            value,
            standard_uncertainty,
            effective_degrees_of_freedom,
            coverage_probability,
            coverage_factor,
            expanded_uncertainty: coverage_factor * standard_uncertainty,
            contributions,
            warnings,
            second_order: None,
        })
    }

    /// The budget with the terms of second order; `weight` is the sum of their squares over their degrees of freedom.
    pub(crate) fn with_second_order(mut self, second: SecondOrder, weight: f64, coverage: Coverage) -> Result<Self> {
        let before = self.standard_uncertainty * self.standard_uncertainty;
        let variance = before + second.variance;
        if variance.is_nan() || variance < 0.0 {
            return Err(Error::InvalidValue {
                what: "variance to second order",
                value: variance,
                unit: "",
                requirement: "it must not be negative: the model bends too much for a series; take Monte Carlo".into(),
            });
        }
        for line in &mut self.contributions {
            line.share = if variance > 0.0 { line.share * (before / variance) } else { 0.0 };
        }
        self.standard_uncertainty = finite("standard uncertainty", variance.sqrt())?;
        // u⁴ = ν Σ u_i⁴/ν_i, with the terms of second order among the contributions.
        let first = before * before / self.effective_degrees_of_freedom;
        let all = first + weight;
        self.effective_degrees_of_freedom = if all > 0.0 { variance * variance / all } else { f64::INFINITY };
        (self.coverage_probability, self.coverage_factor) =
            coverage.probability_and_factor(self.effective_degrees_of_freedom)?;
        self.expanded_uncertainty = self.coverage_factor * self.standard_uncertainty;
        self.second_order = Some(second);
        Ok(self)
    }
}

/// What contributions come to together.
pub(super) struct Combined {
    pub standard_uncertainty: f64,
    pub effective_degrees_of_freedom: f64,
    /// Part of the variance of each; they add up to 1.
    pub shares: Vec<f64>,
    /// Whether correlated contributions with finite degrees of freedom were taken together.
    pub grouped: bool,
}

/// Combines contributions with their degrees of freedom.
pub(super) fn combined(
    contributions: &[f64],
    degrees_of_freedom: &[f64],
    correlation: Option<&Correlation>,
) -> Result<Combined> {
    let mut largest = 0.0f64;
    for (contribution, degrees) in contributions.iter().zip(degrees_of_freedom) {
        largest = largest.max(finite("contribution", *contribution)?.abs());
        check_degrees_of_freedom(*degrees)?;
    }
    let unit = if PLAIN_SQUARES.contains(&largest) || largest <= 0.0 { 1.0 } else { largest };
    let scaled: Vec<f64> = contributions.iter().map(|c| c / unit).collect();
    let mut shares: Vec<f64> = match correlation {
        None => scaled.iter().map(|c| c * c).collect(),
        Some(matrix) => matrix.parts_of_variance(&scaled)?,
    };
    // Rounding may leave a hair below zero where correlated sources cancel.
    let variance = shares.iter().sum::<f64>().max(0.0);
    for share in &mut shares {
        *share = if variance > 0.0 { *share / variance } else { 0.0 };
    }
    let standard_uncertainty = finite("standard uncertainty", unit * variance.sqrt())?;
    let (effective_degrees_of_freedom, grouped) = match correlation {
        None => (independent_degrees_of_freedom(&scaled, degrees_of_freedom, variance), false),
        Some(matrix) => grouped_degrees_of_freedom(&scaled, degrees_of_freedom, matrix)?,
    };
    Ok(Combined { standard_uncertainty, effective_degrees_of_freedom, shares, grouped })
}

/// Largest contributions whose fourth powers neither vanish nor overflow: they are squared as they are, others in units of
/// the largest.
const PLAIN_SQUARES: std::ops::Range<f64> = 1e-60..1e60;

/// The Welch-Satterthwaite formula on what is at hand already, without a list of pairs.
fn independent_degrees_of_freedom(scaled: &[f64], degrees_of_freedom: &[f64], variance: f64) -> f64 {
    let weight: f64 = scaled.iter().zip(degrees_of_freedom).map(|(c, nu)| (c * c) * (c * c) / nu).sum();
    if weight > 0.0 { variance * variance / weight } else { f64::INFINITY }
}

/// The formula on groups of correlated contributions, and whether one of two or more had finite degrees of freedom.
fn grouped_degrees_of_freedom(scaled: &[f64], degrees_of_freedom: &[f64], matrix: &Correlation) -> Result<(f64, bool)> {
    let (mut pairs, mut grouped) = (Vec::new(), false);
    for group in matrix.groups() {
        let members: Vec<usize> = group.into_iter().filter(|&i| scaled[i].abs() > 0.0).collect();
        let smallest = members.iter().map(|&i| degrees_of_freedom[i]).fold(f64::INFINITY, f64::min);
        grouped |= members.len() > 1 && smallest.is_finite();
        let mut variance = 0.0;
        for &i in &members {
            for &j in &members {
                variance += scaled[i] * scaled[j] * matrix.get(i, j);
            }
        }
        pairs.push((variance.max(0.0).sqrt(), smallest));
    }
    Ok((welch_satterthwaite(&pairs)?, grouped))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(u: f64, nu: f64, c: f64) -> Contribution {
        Contribution::new("x", 0.0, u, Shape::Normal, nu, c).unwrap()
    }

    #[test]
    fn thermocouple_budget_of_the_accreditation_guide() {
        // EA-4/02 S5, furnace: the limits as printed there, u = 0.641 °C printed.
        let root_3 = 3.0f64.sqrt();
        let furnace = [
            (0.1, 1.0),
            (1.0, 0.077),
            (0.5 / root_3, 0.077),
            (2.0 / root_3, 0.077),
            (0.1 / root_3, -0.407),
            (0.15, 1.0),
            (0.3 / root_3, 1.0),
            (1.0 / root_3, 1.0),
        ];
        let lines = furnace.iter().map(|&(u, c)| line(u, f64::INFINITY, c)).collect();
        let budget = Budget::from_contributions(1000.5, lines, Coverage::Factor(2.0)).unwrap();
        assert!((budget.standard_uncertainty - 0.641).abs() < 0.0005);
        // The same, emf: u = 25.0 µV printed, U = 50 µV at k = 2.
        let emf = [(1.6, 1.0), (1.0, 1.0), (0.29, 1.0), (1.15, 1.0), (2.9, 1.0), (0.641, 38.5), (0.058, -25.6)];
        let lines = emf.iter().map(|&(u, c)| line(u, f64::INFINITY, c)).collect();
        let budget = Budget::from_contributions(36229.0, lines, Coverage::Factor(2.0)).unwrap();
        assert!((budget.standard_uncertainty - 25.0).abs() < 0.05);
        assert!((budget.expanded_uncertainty - 50.0).abs() < 0.5);
    }

    #[test]
    fn shares_add_up_also_where_sources_cancel() {
        let lines = vec![line(3.0, f64::INFINITY, 1.0), line(4.0, f64::INFINITY, -1.0)];
        let matrix = Correlation::new(2, &[1.0, 0.5, 0.5, 1.0]).unwrap();
        let budget = Budget::from_correlated_contributions(0.0, lines, &matrix, Coverage::Factor(2.0)).unwrap();
        // 9 + 16 - 2 * 0.5 * 12 = 13.
        assert!((budget.standard_uncertainty - 13.0f64.sqrt()).abs() < 1e-14);
        assert!((budget.contributions.iter().map(|c| c.share).sum::<f64>() - 1.0).abs() < 1e-15);
        assert!(budget.warnings.is_empty());
    }

    #[test]
    fn correlated_finite_degrees_of_freedom_are_flagged_and_not_lost() {
        let lines = vec![line(1.0, 9.0, 1.0), line(1.0, 4.0, 1.0), line(1.0, f64::INFINITY, 1.0)];
        let matrix = Correlation::new(3, &[1.0, 1.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, 1.0]).unwrap();
        let budget = Budget::from_correlated_contributions(0.0, lines, &matrix, Coverage::Probability(0.95)).unwrap();
        // The pair counts as one contribution of 2 with 4 degrees: (4 + 1)^2 / (16 / 4).
        assert!((budget.effective_degrees_of_freedom - 6.25).abs() < 1e-12);
        assert_eq!(budget.warnings, [Warning::CorrelatedDegreesOfFreedom]);
        assert_eq!(budget.warnings[0].id(), "correlated_degrees_of_freedom");
    }

    #[test]
    fn nothing_uncertain_gives_zero() {
        let budget = Budget::from_contributions(1.0, vec![line(0.0, 3.0, 1.0)], Coverage::Probability(0.95)).unwrap();
        assert_eq!(budget.standard_uncertainty, 0.0);
        assert_eq!(budget.effective_degrees_of_freedom, f64::INFINITY);
        assert_eq!(budget.contributions[0].share, 0.0);
    }
}
