//! Blocks, baths and the reference probe.

use super::budget;
use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::uncertainty::{Budget, coverage as coverage_of};
use calcore::uncertainty::ready_made as core;
use pyo3::prelude::*;

budget! {
    /// Budget of the calibration of a temperature block with its own indicator at one temperature, K.
    ///
    /// Lines: reference certificate, reference drift, indicator resolution, axial, radial, loading, stability,
    /// hysteresis, immersion.
    /// Rectangles dominate as a rule: see `Budget.with_coverage_of_shapes`.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     Temperature, °C.
    /// reference_expanded_k : float
    ///     Expanded uncertainty of the reference thermometer with its readout, by certificate, K.
    /// reference_coverage_factor : float
    ///     Coverage factor of that.
    /// reference_drift_half_width_k : float
    ///     Limit of the drift of the reference since its calibration, ± K.
    /// indicator_resolution_k : float
    ///     Step of the block's indicator, K; 0 with an external reference only.
    /// axial_half_width_k : float
    ///     Differences along the measuring zone, ± K.
    /// radial_half_width_k : float
    ///     Differences between bores, ± K.
    /// loading_half_width_k : float
    ///     Effect of filling the other bores, ± K.
    /// stability_half_width_k : float
    ///     Half of the largest less the smallest in 30 minutes, ± K.
    /// hysteresis_half_width_k : float
    ///     Half of the difference of the indicator up and down, ± K.
    /// immersion_half_width_k : float
    ///     Heat conduction along the thermometer, ± K.
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
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// EURAMET cg-13; EA-4/02 M, S10.
    ///
    /// Examples
    /// --------
    /// EA-4/02 M, S10, 180 °C (numbers from memory): u = 0.164 °C.
    ///
    /// >>> budget = cc.uncertainty.temperature_block_budget(
    /// ...     180.0,
    /// ...     reference_expanded_k=0.03,
    /// ...     reference_coverage_factor=2.0,
    /// ...     reference_drift_half_width_k=0.04,
    /// ...     indicator_resolution_k=0.1,
    /// ...     axial_half_width_k=0.25,
    /// ...     radial_half_width_k=0.1,
    /// ...     loading_half_width_k=0.05,
    /// ...     stability_half_width_k=0.03,
    /// ...     hysteresis_half_width_k=0.0,
    /// ...     immersion_half_width_k=0.0,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 3)
    /// 0.164
    temperature_block_budget(t_c) of TemperatureBlock {
        reference_expanded_k: f64,
        reference_coverage_factor: f64,
        reference_drift_half_width_k: f64,
        indicator_resolution_k: f64,
        axial_half_width_k: f64,
        radial_half_width_k: f64,
        loading_half_width_k: f64,
        stability_half_width_k: f64,
        hysteresis_half_width_k: f64,
        immersion_half_width_k: f64,
    }
}

budget! {
    /// Budget of the temperature at the place of the thermometer under test in a stirred bath, K.
    ///
    /// Lines: reference certificate, reference drift, readout, vertical, horizontal, stability, immersion.
    /// A reference thermometer stands beside the thermometer under test.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     Temperature, °C.
    /// reference_expanded_k : float
    ///     Expanded uncertainty of the reference thermometer by certificate, K.
    /// reference_coverage_factor : float
    ///     Coverage factor of that.
    /// reference_drift_half_width_k : float
    ///     Limit of the drift of the reference since its calibration, ± K.
    /// readout_standard_k : float
    ///     Standard uncertainty of its readout, K.
    /// vertical_half_width_k : float
    ///     Differences over the depth that is used, ± K.
    /// horizontal_half_width_k : float
    ///     Differences over the area that is used, ± K.
    /// stability_half_width_k : float
    ///     Half of the largest less the smallest while reading, ± K.
    /// immersion_half_width_k : float
    ///     Heat conduction along the thermometers, ± K.
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
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// Common practice, no source; the lines are those of EA-4/02 M, S10 as far as they apply to a bath.
    ///
    /// Examples
    /// --------
    /// Invented numbers.
    ///
    /// >>> budget = cc.uncertainty.liquid_bath_budget(
    /// ...     50.0,
    /// ...     reference_expanded_k=0.02,
    /// ...     reference_coverage_factor=2.0,
    /// ...     reference_drift_half_width_k=0.01,
    /// ...     readout_standard_k=0.003,
    /// ...     vertical_half_width_k=0.008,
    /// ...     horizontal_half_width_k=0.005,
    /// ...     stability_half_width_k=0.006,
    /// ...     immersion_half_width_k=0.002,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 4)
    /// 0.0136
    liquid_bath_budget(t_c) of LiquidBath {
        reference_expanded_k: f64,
        reference_coverage_factor: f64,
        reference_drift_half_width_k: f64,
        readout_standard_k: f64,
        vertical_half_width_k: f64,
        horizontal_half_width_k: f64,
        stability_half_width_k: f64,
        immersion_half_width_k: f64,
    }
}

budget! {
    /// Budget of the temperature by a reference probe and a readout of its signal, ohm or millivolt, K.
    ///
    /// Lines: certificate, drift, hysteresis, self-heating, immersion, readout certificate, readout drift, readout
    /// resolution.
    /// One and the same error for every instrument and every set point: it is never averaged down. The lines of the readout
    /// are divided by the slope.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     Temperature, °C.
    /// certificate_expanded_k : float
    ///     Expanded uncertainty of the probe by certificate, K.
    /// certificate_coverage_factor : float
    ///     Coverage factor of that, as the certificate states it.
    /// drift_half_width_k : float
    ///     Limit of the drift since the calibration, ± K.
    /// hysteresis_half_width_k : float
    ///     Half of the difference between coming from above and from below, ± K.
    /// self_heating_half_width_k : float
    ///     Limit of the self-heating that differs from that at calibration, ± K.
    /// immersion_half_width_k : float
    ///     Heat conduction along the probe, ± K.
    /// slope_per_k : float
    ///     Slope of the probe at the temperature, signal per kelvin.
    /// readout_expanded : float
    ///     Expanded uncertainty of the readout by certificate, signal.
    /// readout_coverage_factor : float
    ///     Coverage factor of that.
    /// readout_drift_half_width : float
    ///     Limit of the drift of the readout, ± signal.
    /// readout_resolution : float
    ///     Step of the readout, signal.
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
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// EURAMET cg-13 and EA-4/02 M, S10 (reference thermometer); which lines a probe has: common practice, no
    /// source.
    ///
    /// Examples
    /// --------
    /// Invented numbers.
    ///
    /// >>> budget = cc.uncertainty.reference_probe_budget(
    /// ...     100.0,
    /// ...     certificate_expanded_k=0.02,
    /// ...     certificate_coverage_factor=2.0,
    /// ...     drift_half_width_k=0.01,
    /// ...     hysteresis_half_width_k=0.002,
    /// ...     self_heating_half_width_k=0.002,
    /// ...     immersion_half_width_k=0.005,
    /// ...     slope_per_k=0.379,
    /// ...     readout_expanded=0.002,
    /// ...     readout_coverage_factor=2.0,
    /// ...     readout_drift_half_width=0.001,
    /// ...     readout_resolution=0.001,
    /// ... )
    /// >>> round(budget.standard_uncertainty, 4)
    /// 0.0124
    reference_probe_budget(t_c) of ReferenceProbe {
        certificate_expanded_k: f64,
        certificate_coverage_factor: f64,
        drift_half_width_k: f64,
        hysteresis_half_width_k: f64,
        self_heating_half_width_k: f64,
        immersion_half_width_k: f64,
        slope_per_k: f64,
        readout_expanded: f64,
        readout_coverage_factor: f64,
        readout_drift_half_width: f64,
        readout_resolution: f64,
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(temperature_block_budget, module)?,
        wrap_pyfunction!(liquid_bath_budget, module)?,
        wrap_pyfunction!(reference_probe_budget, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
