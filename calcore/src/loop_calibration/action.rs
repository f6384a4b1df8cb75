//! Whether to adjust: another question than whether it passed.

use super::result::RunResult;
use crate::decision::Verdict;
use crate::error::{Result, positive, within};
use serde::{Deserialize, Serialize};

/// What to do with an instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Action {
    /// Passed and well inside: leave it alone, an adjustment would add its own scatter.
    Leave,
    /// Passed, but beyond the limit for an adjustment.
    AdjustForPrevention,
    /// Did not pass and is beyond the limit: adjust, and look at what rested on it (ISO/IEC 17025:2017, 7.10).
    AdjustAndAssess,
    /// Did not pass, though its error is small: the uncertainty is too large for this tolerance, an adjustment does not
    /// help.
    ReduceUncertainty,
}

/// One instrument at its worst point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct InstrumentAction {
    /// Its tag.
    pub tag: String,
    /// Largest part of the tolerance that an error uses.
    pub used: f64,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// What to do.
    pub action: Action,
}

impl RunResult {
    /// What to do with every instrument when an adjustment is due from a part of the tolerance on, such as 0.7.
    ///
    /// # Errors
    /// [`crate::Error::InvalidValue`] for a part that is not positive, [`crate::Error::OutOfRange`] above 1 (a percentage is
    /// no part), [`crate::Error::NotFinite`].
    ///
    /// # Source
    /// Common practice, no source.
    pub fn actions(&self, adjust_from: f64) -> Result<Vec<InstrumentAction>> {
        within("part of the tolerance", positive("part of the tolerance", adjust_from, "")?, 0.0, 1.0)?;
        let of = |one: &super::InstrumentResult| {
            let used = one.points.iter().map(|point| {
                let limit = if point.error_k < 0.0 { -point.tolerance_lower_k } else { point.tolerance_upper_k };
                point.error_k.abs() / limit
            });
            let used = used.fold(0.0, f64::max);
            let action = match (one.verdict == Verdict::Pass, used > adjust_from) {
                (true, false) => Action::Leave,
                (true, true) => Action::AdjustForPrevention,
                (false, true) => Action::AdjustAndAssess,
                (false, false) => Action::ReduceUncertainty,
            };
            InstrumentAction { tag: one.tag.clone(), used, verdict: one.verdict, action }
        };
        Ok(self.instruments.iter().map(of).collect())
    }
}
