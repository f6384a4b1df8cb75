//! Budgets of the trade against those worked out elsewhere.

use super::Check;
use super::table::{Table, reference};
use super::uncertainty::push;
use crate::decision::limits::Limits;
use crate::decision::ratio::test_uncertainty_ratio;
use crate::error::Result;
use crate::uncertainty::Coverage;
use crate::uncertainty::ready_made::{InstrumentInBlock, TemperatureBlock};

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    block(all)?;
    instrument(all)
}

/// A column of the row of one source; NaN, which no budget takes, where there is none.
fn of(table: &Table, name: &str, source: &str, column: &str) -> Result<f64> {
    for row in table.rows() {
        if row.text(name)? == source {
            return row.number(column);
        }
    }
    Ok(f64::NAN)
}

/// EA-4/02, S10: a block at 180 °C.
fn block(all: &mut Vec<Check>) -> Result<()> {
    const CASE: &str = "EA402-S10";
    let (table, points) = (reference!("ea402_budgets"), reference!("ea402_budgets_points"));
    let half = |source: &str| of(&points, "quantity", source, "half_width");
    let block = TemperatureBlock {
        reference_expanded_k: 2.0 * of(&points, "quantity", "reference_certificate", "u")?,
        reference_coverage_factor: 2.0,
        reference_drift_half_width_k: half("reference_drift")?,
        indicator_resolution_k: 2.0 * half("indicator_resolution")?,
        axial_half_width_k: half("axial")?,
        radial_half_width_k: half("radial")?,
        loading_half_width_k: half("loading")?,
        stability_half_width_k: half("stability")?,
        hysteresis_half_width_k: 0.0,
        immersion_half_width_k: 0.0,
    };
    let budget = block.budget(180.0, Coverage::Probability(0.95))?.with_coverage_of_shapes(0.95)?;
    for row in table.rows() {
        let computed = match (row.text("case")?, row.text("quantity")?) {
            (CASE, "u_t_x_k") => budget.standard_uncertainty,
            (CASE, "expanded_t_x_k") => budget.expanded_uncertainty,
            _ => continue,
        };
        push(all, &table, &row, CASE, "K", computed)?;
    }
    Ok(())
}

/// The worked budget of an instrument at 100 °C.
fn instrument(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("budget_worked_results"), reference!("budget_worked"));
    let stated = |source: &str| of(&points, "source", source, "estimate");
    let worked = |quantity: &str| of(&table, "quantity", quantity, "value");
    let instrument = InstrumentInBlock {
        reference_expanded_k: stated("reference_certificate")?,
        reference_coverage_factor: 2.0,
        reference_drift_half_width_k: stated("reference_drift")?,
        readout_standard_k: stated("readout")?,
        axial_half_width_k: stated("axial")?,
        radial_half_width_k: stated("radial")?,
        loading_half_width_k: stated("loading")?,
        stability_half_width_k: stated("stability")?,
        resolution_k: stated("display_resolution")?,
        scatter_k: stated("repeatability")?,
        readings: 5,
    };
    let k2 = Coverage::Factor(2.0);
    let budget = instrument.budget(0.0, k2)?;
    let coarse = InstrumentInBlock { resolution_k: 0.5, ..instrument }.budget(0.0, k2)?;
    let tolerance = Limits::symmetric(worked("tolerance_half_width")?);
    for row in table.rows() {
        let quantity = row.text("quantity")?;
        let line = |name: &str| budget.contribution(name).map_or(f64::NAN, |line| line.contribution);
        let (unit, computed) = match quantity {
            "common_u" => ("K", budget.part(&InstrumentInBlock::SHARED, k2)?.standard_uncertainty),
            "display_resolution_u" => ("K", line("resolution")),
            "repeatability_u" => ("K", line("repeatability")),
            "combined_u" => ("K", budget.standard_uncertainty),
            "nu_eff" => ("", budget.effective_degrees_of_freedom),
            "expanded_u_k2" => ("K", budget.expanded_uncertainty),
            "test_uncertainty_ratio" => ("", test_uncertainty_ratio(tolerance, budget.expanded_uncertainty)?),
            "combined_u_display_step_0.5" => ("K", coarse.standard_uncertainty),
            // An error in the current, 16 mA over 150 K.
            "error_ma_span_150" => ("mA", budget.standard_uncertainty * 16.0 / 150.0),
            // Decisions have rows of their own.
            _ => continue,
        };
        push(all, &table, &row, "instrument in a block", unit, computed)?;
    }
    Ok(())
}
