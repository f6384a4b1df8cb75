//! The model as Monte Carlo takes it.

use super::MeasurementModel;
use super::block::Blocks;
use super::points::{AtPoints, PointInput};
use crate::curves::Invalid;
use crate::error::{Error, Result, same_length};

impl MeasurementModel {
    /// Fills `values` with what the model gives in each trial: the model of arrays that
    /// [`monte_carlo`](crate::uncertainty::monte_carlo::monte_carlo) takes, to the last bit [`MeasurementModel::value`].
    ///
    /// # Arguments
    /// `columns`: one array an input, in the order of the terms and all as long as `values`.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::OutOfRange`] for a reading outside the range of the curve,
    /// [`Error::InvalidValue`] for a factor or divisor that is 0; [`Error::NotFinite`].
    ///
    /// # Example
    /// ```
    /// use calcore::curves::CallendarVanDusen;
    /// use calcore::uncertainty::measurement_model::{MeasurementModel, Place, Term};
    /// use calcore::uncertainty::monte_carlo::{Settings, monte_carlo};
    /// use calcore::uncertainty::{Distribution, Input};
    /// use std::sync::Arc;
    /// let pt100 = Arc::new(CallendarVanDusen::iec60751(100.0)?);
    /// let terms = vec![Term::new("bridge", Place::Reading, 1.0), Term::new("axial", Place::Result, 1.0)];
    /// let model = MeasurementModel::temperature(pt100, terms)?;
    /// let inputs = [
    ///     Input::new("bridge", Distribution::normal(138.5055, 0.003)?),
    ///     Input::new("axial", Distribution::rectangular(-0.05, 0.05)?),
    /// ];
    /// let settings = Settings { trials: 50_000, ..Settings::default() };
    /// let run = monte_carlo(|columns, values| model.trials(columns, values), &inputs, None, &settings)?;
    /// // √((0.003/0.379 28)² + 0.05²/3), to four standard errors.
    /// assert!((run.standard_uncertainty / 0.029_935 - 1.0).abs() < 0.013);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn trials(&self, columns: &[&[f64]], values: &mut [f64]) -> Result<()> {
        same_length("inputs of the model", self.terms.len(), columns.len())?;
        for column in columns {
            same_length("input of the model", values.len(), column.len())?;
        }
        let inputs: Vec<PointInput<'_>> =
            columns.iter().map(|column| PointInput { estimate: AtPoints::Each(column), ..PointInput::EXACT }).collect();
        Blocks::new(self, &inputs, None, Invalid::Raise).values(values).map_err(without_place)
    }
}

/// The place in a block of trials means nothing to who asked for the run.
fn without_place(error: Error) -> Error {
    match error {
        Error::OutOfRange { what, value, low, high, unit, .. } => {
            Error::OutOfRange { what, value, low, high, unit, position: None }
        }
        Error::NotFinite { what, value, .. } => Error::NotFinite { what, value, position: None },
        other => other,
    }
}
