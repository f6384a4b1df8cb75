//! Many set points at once.

use super::MeasurementModel;
use super::block::Blocks;
use crate::curves::Invalid;
use crate::error::{Error, Result, same_length};
use crate::uncertainty::budget::{Combined, combined};
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::{Coverage, coverage_factor};
use crate::uncertainty::distribution::Distribution;

/// A number that is the same at all points, or one for each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtPoints<'a> {
    /// At all points the same.
    One(f64),
    /// One for each point.
    Each(&'a [f64]),
}

impl<'a> AtPoints<'a> {
    /// The number at a point; NaN beyond the last one.
    #[must_use]
    pub fn at(self, i: usize) -> f64 {
        match self {
            Self::One(value) => value,
            Self::Each(values) => values.get(i).copied().unwrap_or(f64::NAN),
        }
    }

    pub(super) fn part(self, from: usize, to: usize) -> AtPoints<'a> {
        match self {
            Self::One(value) => Self::One(value),
            Self::Each(values) => Self::Each(values.get(from..to).unwrap_or_default()),
        }
    }

    fn length(self) -> Option<usize> {
        match self {
            Self::One(_) => None,
            Self::Each(values) => Some(values.len()),
        }
    }
}

/// What is known of an input at every point, in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointInput<'a> {
    /// Best estimate.
    pub estimate: AtPoints<'a>,
    /// Standard uncertainty.
    pub standard_uncertainty: AtPoints<'a>,
    /// Degrees of freedom of the standard uncertainty; infinite where exact.
    pub degrees_of_freedom: AtPoints<'a>,
}

impl PointInput<'_> {
    /// Zero, without any uncertainty.
    pub(super) const EXACT: Self = Self {
        estimate: AtPoints::One(0.0),
        standard_uncertainty: AtPoints::One(0.0),
        degrees_of_freedom: AtPoints::One(f64::INFINITY),
    };
}

impl From<&Distribution> for PointInput<'_> {
    /// The same at all points.
    fn from(distribution: &Distribution) -> Self {
        Self {
            estimate: AtPoints::One(distribution.mean()),
            standard_uncertainty: AtPoints::One(distribution.standard_uncertainty()),
            degrees_of_freedom: AtPoints::One(distribution.degrees_of_freedom()),
        }
    }
}

/// The budgets of many points: one number a point in each field.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct PointBudgets {
    /// Best estimates of the result.
    pub values: Vec<f64>,
    /// Combined standard uncertainties, in the unit of the result.
    pub standard_uncertainties: Vec<f64>,
    /// Effective degrees of freedom, not truncated; infinite where every contribution is exact.
    pub effective_degrees_of_freedom: Vec<f64>,
    /// Expanded over standard uncertainties.
    pub coverage_factors: Vec<f64>,
    /// Expanded uncertainties, in the unit of the result.
    pub expanded_uncertainties: Vec<f64>,
    /// Sensitivity times standard uncertainty, with the sign of the sensitivity: one row an input, one column a point. Empty
    /// unless asked for.
    pub contributions: Vec<f64>,
}

/// How budgets at points are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointOptions {
    /// Probability or factor of the expanded uncertainties.
    pub coverage: Coverage,
    /// What a missing estimate or standard uncertainty (NaN), or a reading outside the range of the curve, gives: an error that
    /// names the first such point, or NaN in all results of that point.
    pub invalid: Invalid,
    /// Whether the contribution of each input is wanted.
    pub contributions: bool,
}

impl MeasurementModel {
    /// The budgets of the result at many points: to the last bit what [`MeasurementModel::budget`] gives at each of them.
    ///
    /// # Arguments
    /// - `inputs`: what is known of each term, in their order, at all points or at each; those of each point have one length.
    /// - `correlation`: coefficients between the inputs, row by row, the same at all points; none means independent.
    ///
    /// # Errors
    /// Those of [`MeasurementModel::budget`], [`Error::NotFinite`] and [`Error::OutOfRange`] with the place of the point;
    /// [`Error::LengthMismatch`] for inputs of different length.
    ///
    /// # Source
    /// JCGM 100:2008, 5.1.2, 5.2.2, 6.2 and G.4.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::{CallendarVanDusen, Invalid};
    /// use calcore::uncertainty::measurement_model::{AtPoints, MeasurementModel, Place, PointInput, PointOptions, Term};
    /// use calcore::uncertainty::Coverage;
    /// use std::sync::Arc;
    /// let pt100 = Arc::new(CallendarVanDusen::iec60751(100.0)?);
    /// let model = MeasurementModel::temperature(pt100, vec![Term::new("ohm", Place::Reading, 1.0)])?;
    /// let ohm = PointInput {
    ///     estimate: AtPoints::Each(&[100.0, 138.5055]),
    ///     standard_uncertainty: AtPoints::One(0.003),
    ///     degrees_of_freedom: AtPoints::One(f64::INFINITY),
    /// };
    /// let options =
    ///     PointOptions { coverage: Coverage::Factor(2.0), invalid: Invalid::Raise, contributions: false };
    /// let found = model.at_points(&[ohm], None, &options)?;
    /// // u/(R0 A) at 0 °C, u/(R0 (A + 200 B)) at 100 °C.
    /// assert!((found.standard_uncertainties[0] - 0.003 / 0.390_83).abs() < 1e-12);
    /// assert!((found.expanded_uncertainties[1] - 0.006 / 0.379_28).abs() < 1e-12);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn at_points(
        &self,
        inputs: &[PointInput<'_>],
        correlation: Option<&[f64]>,
        options: &PointOptions,
    ) -> Result<PointBudgets> {
        options.coverage.check()?;
        same_length("inputs of the model", self.terms.len(), inputs.len())?;
        let points = length(inputs)?;
        for input in inputs {
            check(input, options.invalid)?;
        }
        let matrix = correlation.map(|values| Correlation::new(inputs.len(), values)).transpose()?;
        let mut found = PointBudgets {
            values: Vec::with_capacity(points),
            standard_uncertainties: Vec::with_capacity(points),
            effective_degrees_of_freedom: Vec::with_capacity(points),
            contributions: if options.contributions { vec![0.0; points * inputs.len()] } else { Vec::new() },
            ..PointBudgets::default()
        };
        Blocks::new(self, inputs, matrix.as_ref(), options.invalid).run(points, &mut found)?;
        expand(&mut found, options.coverage)?;
        Ok(found)
    }

    /// The value of the model at many points: to the last bit what [`MeasurementModel::value`] gives at each.
    ///
    /// # Errors
    /// As [`MeasurementModel::value`], with the place of the point; [`Error::LengthMismatch`].
    pub fn values_at(&self, inputs: &[AtPoints<'_>]) -> Result<Vec<f64>> {
        same_length("inputs of the model", self.terms.len(), inputs.len())?;
        let inputs: Vec<PointInput<'_>> =
            inputs.iter().map(|estimate| PointInput { estimate: *estimate, ..PointInput::EXACT }).collect();
        let points = length(&inputs)?;
        Blocks::new(self, &inputs, None, Invalid::Raise).run_values(points)
    }

    /// One point of many, on the way of a single budget; the contributions are left in the slice.
    pub(super) fn at_point(
        &self,
        inputs: &[PointInput<'_>],
        i: usize,
        correlation: Option<&Correlation>,
        contributions: &mut [f64],
    ) -> Result<(f64, Combined)> {
        let estimates: Vec<f64> = inputs.iter().map(|input| input.estimate.at(i)).collect();
        let degrees: Vec<f64> = inputs.iter().map(|input| input.degrees_of_freedom.at(i)).collect();
        let value = self.sensitivities(&estimates, contributions)?;
        for (contribution, input) in contributions.iter_mut().zip(inputs) {
            *contribution *= input.standard_uncertainty.at(i);
        }
        Ok((value, combined(contributions, &degrees, correlation)?))
    }
}

/// How many points there are: 1 where no input has one for each.
fn length(inputs: &[PointInput<'_>]) -> Result<usize> {
    let mut lengths = inputs
        .iter()
        .flat_map(|input| [input.estimate, input.standard_uncertainty, input.degrees_of_freedom])
        .filter_map(AtPoints::length);
    let first = lengths.next().unwrap_or(1);
    for other in lengths {
        same_length("input of the model", first, other)?;
    }
    Ok(first)
}

/// Standard uncertainties and degrees of freedom that cannot be, and the first point that has one.
fn check(input: &PointInput<'_>, invalid: Invalid) -> Result<()> {
    let missing = |x: f64| x.is_nan() && invalid == Invalid::Nan;
    let u = |x: f64| (0.0..=f64::MAX).contains(&x) || missing(x);
    let requirement = "it must be a finite number that is not negative";
    first(input.standard_uncertainty, "standard uncertainty", requirement, u)?;
    let degrees = |x: f64| x > 0.0 || missing(x);
    first(input.degrees_of_freedom, "degrees of freedom", "it must be greater than 0, or infinite", degrees)
}

fn first(column: AtPoints<'_>, what: &'static str, requirement: &str, good: impl Fn(f64) -> bool) -> Result<()> {
    let refusal = |value: f64, place: String| {
        Err(Error::InvalidValue { what, value, unit: "", requirement: format!("{requirement}{place}") })
    };
    match column {
        AtPoints::One(value) => {
            if good(value) {
                Ok(())
            } else {
                refusal(value, String::new())
            }
        }
        AtPoints::Each(values) => {
            let mut bad = values.iter().enumerate().filter(|(_, x)| !good(**x));
            match bad.next() {
                None => Ok(()),
                Some((i, value)) => refusal(*value, format!(" (element {i}, first of {})", 1 + bad.count())),
            }
        }
    }
}

/// Coverage factors and expanded uncertainties. Neighbours often have the same degrees of freedom: their factor is kept.
fn expand(found: &mut PointBudgets, coverage: Coverage) -> Result<()> {
    let degrees = &found.effective_degrees_of_freedom;
    let factor = |nu: f64| match coverage {
        _ if nu.is_nan() => Ok(f64::NAN),
        Coverage::Factor(k) => Ok(k),
        Coverage::Probability(p) => coverage_factor(p, nu),
    };
    let first = degrees.first().copied().unwrap_or(f64::NAN);
    let mut factors;
    if degrees.iter().fold(true, |same, nu| same & (nu.to_bits() == first.to_bits())) {
        factors = vec![factor(first)?; degrees.len()];
    } else {
        factors = Vec::with_capacity(degrees.len());
        let mut known = (first, factor(first)?);
        for &nu in degrees {
            if nu.to_bits() != known.0.to_bits() {
                known = (nu, factor(nu)?);
            }
            factors.push(known.1);
        }
    }
    found.expanded_uncertainties = factors.iter().zip(&found.standard_uncertainties).map(|(k, u)| k * u).collect();
    found.coverage_factors = factors;
    Ok(())
}
