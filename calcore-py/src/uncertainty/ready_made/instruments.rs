//! Indicators, transmitters and instruments in a block.

use super::budget;
use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::uncertainty::{Budget, coverage as coverage_of};
use calcore::uncertainty::ready_made as core;
use pyo3::prelude::*;

budget! {
    /// Budget of the error of a temperature indicator whose sensor is simulated by a source of its signal, K.
    ///
    /// Lines: source certificate, source drift, source resolution, leads, reference junction, ambient temperature,
    /// indicator resolution, repeatability.
    /// The signal is in ohm, millivolt or milliampere. No block, no bath: none of their lines.
    ///
    /// Parameters
    /// ----------
    /// error_k : float
    ///     Error, K.
    /// source_expanded : float
    ///     Expanded uncertainty of the source by certificate, signal.
    /// source_coverage_factor : float
    ///     Coverage factor of that.
    /// source_drift_half_width : float
    ///     Drift of the source, ± signal.
    /// source_resolution : float
    ///     Step of the source, signal.
    /// leads_half_width : float
    ///     Leads and contacts, ± signal.
    /// slope_per_k : float
    ///     Slope of the simulated sensor, signal per kelvin.
    /// junction_half_width_k : float
    ///     Reference junction, ± K; 0 without one.
    /// ambient_half_width_k : float
    ///     Effect of the ambient temperature on source and indicator, ± K.
    /// indicator_resolution_k : float
    ///     Step of the indicator, K.
    /// scatter_k : float
    ///     Standard deviation of the repeated readings, K.
    /// readings : int
    ///     Number of readings, at least 2.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError, TooFewPointsError
    ///
    /// Source
    /// ------
    /// EURAMET cg-11 (the method; its example budgets were not seen).
    ///
    /// Examples
    /// --------
    /// Invented numbers: resistance, 0.379 ohm/K.
    ///
    /// >>> budget = cc.uncertainty.indicator_by_simulation_budget(
    /// ...     0.12,
    /// ...     source_expanded=0.01,
    /// ...     source_coverage_factor=2.0,
    /// ...     source_drift_half_width=0.005,
    /// ...     source_resolution=0.001,
    /// ...     leads_half_width=0.005,
    /// ...     slope_per_k=0.379,
    /// ...     junction_half_width_k=0.0,
    /// ...     ambient_half_width_k=0.01,
    /// ...     indicator_resolution_k=0.1,
    /// ...     scatter_k=0.02,
    /// ...     readings=5,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 4)
    /// 0.0352
    indicator_by_simulation_budget(error_k) of IndicatorBySimulation {
        source_expanded: f64,
        source_coverage_factor: f64,
        source_drift_half_width: f64,
        source_resolution: f64,
        leads_half_width: f64,
        slope_per_k: f64,
        junction_half_width_k: f64,
        ambient_half_width_k: f64,
        indicator_resolution_k: f64,
        scatter_k: f64,
        readings: u32,
    }
}

budget! {
    /// Budget of the error of a transmitter with a current output of 4 to 20 mA, K.
    ///
    /// Lines: input, meter certificate, meter drift, meter resolution, supply and load, ambient temperature,
    /// repeatability.
    /// The lines in milliampere are multiplied by span/16.
    ///
    /// Parameters
    /// ----------
    /// error_k : float
    ///     Error, K.
    /// input_standard_k : float
    ///     Standard uncertainty of the temperature at its input, K: of a simulated sensor, or of the block and its
    ///     reference.
    /// input_degrees_of_freedom : float
    ///     Its degrees of freedom; infinite where exact.
    /// span_k : float
    ///     Span of the output, K; its sign does not matter.
    /// meter_expanded_ma : float
    ///     Expanded uncertainty of the current meter by certificate, mA.
    /// meter_coverage_factor : float
    ///     Coverage factor of that.
    /// meter_drift_half_width_ma : float
    ///     Drift of the meter, ± mA.
    /// meter_resolution_ma : float
    ///     Step of the meter, mA.
    /// supply_half_width_ma : float
    ///     Effect of supply voltage and load, ± mA.
    /// ambient_half_width_k : float
    ///     Effect of the ambient temperature, ± K.
    /// scatter_ma : float
    ///     Standard deviation of the repeated readings, mA.
    /// readings : int
    ///     Number of readings, at least 2.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError, TooFewPointsError
    ///
    /// Source
    /// ------
    /// Common practice, no source; span/16: IEC 60381-1.
    ///
    /// Examples
    /// --------
    /// Invented numbers.
    ///
    /// >>> budget = cc.uncertainty.transmitter_budget(
    /// ...     0.05,
    /// ...     input_standard_k=0.02,
    /// ...     input_degrees_of_freedom=np.inf,
    /// ...     span_k=150.0,
    /// ...     meter_expanded_ma=0.002,
    /// ...     meter_coverage_factor=2.0,
    /// ...     meter_drift_half_width_ma=0.001,
    /// ...     meter_resolution_ma=0.001,
    /// ...     supply_half_width_ma=0.001,
    /// ...     ambient_half_width_k=0.02,
    /// ...     scatter_ma=0.001,
    /// ...     readings=5,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 4)
    /// 0.0265
    transmitter_budget(error_k) of Transmitter {
        input_standard_k: f64,
        input_degrees_of_freedom: f64,
        span_k: f64,
        meter_expanded_ma: f64,
        meter_coverage_factor: f64,
        meter_drift_half_width_ma: f64,
        meter_resolution_ma: f64,
        supply_half_width_ma: f64,
        ambient_half_width_k: f64,
        scatter_ma: f64,
        readings: u32,
    }
}

budget! {
    /// Budget of the error of an instrument whose sensor stands in a block beside a reference probe, K.
    ///
    /// Lines: reference certificate, reference drift, readout, axial, radial, loading, stability, resolution,
    /// repeatability.
    /// `SHARED_BY_INSTRUMENTS` names the lines that all instruments share at a set point; see `Budget.part`. Its own are
    /// resolution and repeatability.
    ///
    /// Parameters
    /// ----------
    /// error_k : float
    ///     Error, K.
    /// reference_expanded_k : float
    ///     Expanded uncertainty of the reference probe by certificate, K.
    /// reference_coverage_factor : float
    ///     Coverage factor of that.
    /// reference_drift_half_width_k : float
    ///     Drift of the reference, ± K.
    /// readout_standard_k : float
    ///     Standard uncertainty of its readout, K.
    /// axial_half_width_k : float
    ///     Differences along the measuring zone, ± K.
    /// radial_half_width_k : float
    ///     Differences between bores, ± K.
    /// loading_half_width_k : float
    ///     Effect of filling the other bores, ± K.
    /// stability_half_width_k : float
    ///     Half of the largest less the smallest while reading, ± K.
    /// resolution_k : float
    ///     Step of the instrument, K.
    /// scatter_k : float
    ///     Standard deviation of the repeated errors, K.
    /// readings : int
    ///     Number of readings, at least 2.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError, TooFewPointsError
    ///
    /// Source
    /// ------
    /// EURAMET cg-13 with an external reference; EA-4/02 M, S10 (form).
    ///
    /// Examples
    /// --------
    /// Invented numbers.
    ///
    /// >>> budget = cc.uncertainty.instrument_in_block_budget(
    /// ...     0.4,
    /// ...     reference_expanded_k=0.03,
    /// ...     reference_coverage_factor=2.0,
    /// ...     reference_drift_half_width_k=0.01,
    /// ...     readout_standard_k=0.005,
    /// ...     axial_half_width_k=0.05,
    /// ...     radial_half_width_k=0.02,
    /// ...     loading_half_width_k=0.02,
    /// ...     stability_half_width_k=0.01,
    /// ...     resolution_k=0.1,
    /// ...     scatter_k=0.02,
    /// ...     readings=5,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 4)
    /// 0.0483
    /// >>> round(budget.part(cc.uncertainty.SHARED_BY_INSTRUMENTS).standard_uncertainty, 4)
    /// 0.0376
    instrument_in_block_budget(error_k) of InstrumentInBlock {
        reference_expanded_k: f64,
        reference_coverage_factor: f64,
        reference_drift_half_width_k: f64,
        readout_standard_k: f64,
        axial_half_width_k: f64,
        radial_half_width_k: f64,
        loading_half_width_k: f64,
        stability_half_width_k: f64,
        resolution_k: f64,
        scatter_k: f64,
        readings: u32,
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(indicator_by_simulation_budget, module)?,
        wrap_pyfunction!(transmitter_budget, module)?,
        wrap_pyfunction!(instrument_in_block_budget, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
