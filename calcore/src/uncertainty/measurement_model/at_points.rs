//! Many set points at once.

use super::MeasurementModel;
use super::block::Blocks;
use super::points::{AtPoints, PointBudgets, PointInput, PointOptions, PointSlices};
use crate::curves::Invalid;
use crate::error::{Error, Result, finite, same_length};
use crate::uncertainty::budget::{Combined, combined};
use crate::uncertainty::correlation::Correlation;

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
        let points = length(inputs)?.unwrap_or(1);
        let room = || vec![0.0; points];
        let mut found = PointBudgets {
            values: room(),
            standard_uncertainties: room(),
            effective_degrees_of_freedom: room(),
            coverage_factors: room(),
            expanded_uncertainties: room(),
            contributions: if options.contributions { vec![0.0; points * inputs.len()] } else { Vec::new() },
        };
        let slices = PointSlices {
            values: &mut found.values,
            standard_uncertainties: &mut found.standard_uncertainties,
            effective_degrees_of_freedom: &mut found.effective_degrees_of_freedom,
            coverage_factors: &mut found.coverage_factors,
            expanded_uncertainties: &mut found.expanded_uncertainties,
            contributions: &mut found.contributions,
        };
        self.at_points_slice(inputs, correlation, options, slices)?;
        Ok(found)
    }

    /// The same, written to slices: as many points as there are values. Every number of every slice is written; after an error
    /// they hold nothing of use.
    ///
    /// # Errors
    /// As [`MeasurementModel::at_points`]; [`Error::LengthMismatch`] for slices of another length.
    pub fn at_points_slice(
        &self,
        inputs: &[PointInput<'_>],
        correlation: Option<&[f64]>,
        options: &PointOptions,
        slices: PointSlices<'_>,
    ) -> Result<()> {
        options.coverage.check()?;
        same_length("inputs of the model", self.terms.len(), inputs.len())?;
        let points = slices.values.len();
        if let Some(length) = length(inputs)? {
            same_length("values of the result", length, points)?;
        }
        same_length("standard uncertainties of the result", points, slices.standard_uncertainties.len())?;
        same_length("effective degrees of freedom", points, slices.effective_degrees_of_freedom.len())?;
        same_length("coverage factors", points, slices.coverage_factors.len())?;
        same_length("expanded uncertainties", points, slices.expanded_uncertainties.len())?;
        let rows = if options.contributions { inputs.len() } else { 0 };
        same_length("contributions", points * rows, slices.contributions.len())?;
        for input in inputs {
            check(input, options.invalid)?;
        }
        let matrix = correlation.map(|values| Correlation::new(inputs.len(), values)).transpose()?;
        Blocks::new(self, inputs, matrix.as_ref(), options.invalid).budgets(options.coverage, slices)
    }

    /// The value of the model at many points: to the last bit what [`MeasurementModel::value`] gives at each.
    ///
    /// # Errors
    /// As [`MeasurementModel::value`], with the place of the point; [`Error::LengthMismatch`].
    pub fn values_at(&self, inputs: &[AtPoints<'_>]) -> Result<Vec<f64>> {
        same_length("inputs of the model", self.terms.len(), inputs.len())?;
        let inputs: Vec<PointInput<'_>> =
            inputs.iter().map(|estimate| PointInput { estimate: *estimate, ..PointInput::EXACT }).collect();
        let mut values = vec![0.0; length(&inputs)?.unwrap_or(1)];
        Blocks::new(self, &inputs, None, Invalid::Raise).values(&mut values)?;
        match values.iter().position(|value| !value.is_finite()) {
            Some(i) => finite("value of the model", values[i]).map(|_| values).map_err(|error| error.at_index(i, 1)),
            None => Ok(values),
        }
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

/// How many points there are, if any input has one for each.
fn length(inputs: &[PointInput<'_>]) -> Result<Option<usize>> {
    let mut lengths = inputs
        .iter()
        .flat_map(|input| [input.estimate, input.standard_uncertainty, input.degrees_of_freedom])
        .filter_map(AtPoints::length);
    let Some(first) = lengths.next() else { return Ok(None) };
    for other in lengths {
        same_length("input of the model", first, other)?;
    }
    Ok(Some(first))
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
