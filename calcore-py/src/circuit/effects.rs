//! What leads, insulation, currents and junctions do to a reading.

use super::values::{Effect, ExtensionWireError, JunctionReading, ReversedReading, SelfHeating, ZeroPower};
use crate::arrays::{elementwise, elementwise2};
use crate::curves::{Thermocouple, any_curve};
use crate::errors::OrRaise;
use crate::objects::add_function;
use calcore::circuit as core;
use calcore::curves::SensorCurve;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;

/// Asks a curve of any kind.
fn on<T>(curve: &Bound<'_, PyAny>, ask: impl FnOnce(&dyn SensorCurve) -> calcore::Result<T>) -> PyResult<T> {
    any_curve(curve, ask)
        .ok_or_else(|| PyTypeError::new_err("curve must be a sensor curve of calcore, such as CallendarVanDusen"))?
        .or_raise(curve.py())
}

/// Error by leads that are measured with the element.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float
///     True temperature, °C.
/// leads_ohm : float
///     Both leads together (the cause), ohm.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.circuit.two_wire_effect(pt100, 0.0, 0.5).error_k, 4)
/// 1.2796
#[pyfunction]
#[pyo3(signature = (curve, t_c, leads_ohm))]
fn two_wire_effect(curve: &Bound<'_, PyAny>, t_c: f64, leads_ohm: f64) -> PyResult<Effect> {
    on(curve, |curve| core::two_wire_effect(curve, t_c, leads_ohm)).map(Effect)
}

/// Error by unequal leads of a three-wire connection.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float
///     True temperature, °C.
/// mismatch_ohm : float
///     How much more the lead in series with the element has than the other (the cause), ohm.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.circuit.three_wire_effect(pt100, 0.0, 0.1).error_k, 4)
/// 0.2559
#[pyfunction]
#[pyo3(signature = (curve, t_c, mismatch_ohm))]
fn three_wire_effect(curve: &Bound<'_, PyAny>, t_c: f64, mismatch_ohm: f64) -> PyResult<Effect> {
    on(curve, |curve| core::three_wire_effect(curve, t_c, mismatch_ohm)).map(Effect)
}

/// Error by an insulation resistance across the element.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float
///     True temperature, °C.
/// insulation_ohm : float
///     Insulation resistance (the cause), ohm.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(1e3 * cc.circuit.insulation_effect(pt100, 400.0, 10e6).error_k, 2)  # mK
/// -17.72
#[pyfunction]
#[pyo3(signature = (curve, t_c, insulation_ohm))]
fn insulation_effect(curve: &Bound<'_, PyAny>, t_c: f64, insulation_ohm: f64) -> PyResult<Effect> {
    on(curve, |curve| core::insulation_effect(curve, t_c, insulation_ohm)).map(Effect)
}

/// Error by an emf in a measurement of resistance with one direction of the current.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float
///     True temperature, °C.
/// emf_uv : float
///     The emf (the cause), µV.
/// current_ma : float
///     Measuring current, mA.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.circuit.thermal_emf_effect(pt100, 0.0, 2.0, 1.0).error_k, 3)
/// 0.005
#[pyfunction]
#[pyo3(signature = (curve, t_c, emf_uv, current_ma))]
fn thermal_emf_effect(curve: &Bound<'_, PyAny>, t_c: f64, emf_uv: f64, current_ma: f64) -> PyResult<Effect> {
    on(curve, |curve| core::thermal_emf_effect(curve, t_c, emf_uv, current_ma)).map(Effect)
}

/// Error by a reference junction that is warmer than the instrument believes.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float
///     True temperature, °C.
/// reference_c : float
///     Temperature that the instrument believes, °C.
/// excess_k : float
///     How far the junction is warmer (the cause), K.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
///
/// Examples
/// --------
/// >>> k = cc.Thermocouple("K")
/// >>> round(cc.circuit.reference_junction_effect(k, 100.0, 0.0, 25.0).error_k, 2)  # compensation forgotten
/// -24.11
#[pyfunction]
#[pyo3(signature = (curve, t_c, reference_c, excess_k))]
fn reference_junction_effect(curve: &Bound<'_, PyAny>, t_c: f64, reference_c: f64, excess_k: f64) -> PyResult<Effect> {
    on(curve, |curve| core::reference_junction_effect(curve, t_c, reference_c, excess_k)).map(Effect)
}

/// Temperature of a measuring junction: emfs are added, never temperatures.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// measured_mv : float
///     Emf, mV.
/// reference_c : float
///     Temperature of the reference junction, °C.
///
/// Returns
/// -------
/// JunctionReading
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
///
/// Source
/// ------
/// IEC 60584-1:2013, clause 3.
///
/// Examples
/// --------
/// >>> k = cc.Thermocouple("K")
/// >>> round(cc.circuit.measuring_junction(k, 3.096, 25.0).t_c, 2)
/// 100.0
#[pyfunction]
#[pyo3(signature = (curve, measured_mv, reference_c))]
fn measuring_junction(curve: &Bound<'_, PyAny>, measured_mv: f64, reference_c: f64) -> PyResult<JunctionReading> {
    on(curve, |curve| core::measuring_junction(curve, measured_mv, reference_c)).map(JunctionReading)
}

/// Resistance of a copper conductor, one way.
///
/// Parameters
/// ----------
/// length_m : float
///     Length, m.
/// area_mm2 : float
///     Cross-section, mm².
/// t_c : float
///     Its temperature, °C.
///
/// Returns
/// -------
/// float
///     ohm.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// IEC 60028 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.copper_lead_resistance(100.0, 1.5, 20.0), 2)
/// 1.15
#[pyfunction]
#[pyo3(signature = (length_m, area_mm2, t_c))]
fn copper_lead_resistance(py: Python<'_>, length_m: f64, area_mm2: f64, t_c: f64) -> PyResult<f64> {
    core::copper_lead_resistance(length_m, area_mm2, t_c).or_raise(py)
}

/// What a two-wire connection reads: the element and both leads.
///
/// Parameters
/// ----------
/// element_ohm : float
///     ohm.
/// first_lead_ohm : float
///     ohm.
/// second_lead_ohm : float
///     ohm.
///
/// Returns
/// -------
/// float
///     ohm.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> cc.circuit.two_wire_reading(100.0, 0.25, 0.25)
/// 100.5
#[pyfunction]
#[pyo3(signature = (element_ohm, first_lead_ohm, second_lead_ohm))]
fn two_wire_reading(py: Python<'_>, element_ohm: f64, first_lead_ohm: f64, second_lead_ohm: f64) -> PyResult<f64> {
    core::two_wire_reading(element_ohm, first_lead_ohm, second_lead_ohm).or_raise(py)
}

/// What a three-wire connection reads: the element and the difference of its leads.
///
/// Parameters
/// ----------
/// element_ohm : float
///     ohm.
/// first_lead_ohm : float
///     ohm.
/// second_lead_ohm : float
///     ohm.
///
/// Returns
/// -------
/// float
///     ohm.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> round(cc.circuit.three_wire_reading(100.0, 0.35, 0.25), 9)
/// 100.1
#[pyfunction]
#[pyo3(signature = (element_ohm, first_lead_ohm, second_lead_ohm))]
fn three_wire_reading(py: Python<'_>, element_ohm: f64, first_lead_ohm: f64, second_lead_ohm: f64) -> PyResult<f64> {
    core::three_wire_reading(element_ohm, first_lead_ohm, second_lead_ohm).or_raise(py)
}

/// Resistance read with an insulation resistance across the element.
///
/// Parameters
/// ----------
/// element_ohm : float or array-like
///     ohm.
/// insulation_ohm : float or array-like
///     ohm.
///
/// Returns
/// -------
/// float or array of the common shape
///     ohm.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> cc.circuit.resistance_with_insulation(100.0, 9900.0)
/// 99.0
#[pyfunction]
#[pyo3(signature = (element_ohm, insulation_ohm))]
fn resistance_with_insulation<'py>(
    element_ohm: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise2(["element_ohm", "insulation_ohm"], [element_ohm, insulation_ohm], core::resistance_with_insulation)
}

/// Resistance of the element alone, from one read with an insulation resistance across it.
///
/// Parameters
/// ----------
/// read_ohm : float or array-like
///     ohm.
/// insulation_ohm : float or array-like
///     ohm.
///
/// Returns
/// -------
/// float or array of the common shape
///     ohm.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> cc.circuit.resistance_without_insulation(99.0, 9900.0)
/// 100.0
#[pyfunction]
#[pyo3(signature = (read_ohm, insulation_ohm))]
fn resistance_without_insulation<'py>(
    read_ohm: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise2(["read_ohm", "insulation_ohm"], [read_ohm, insulation_ohm], core::resistance_without_insulation)
}

/// Resistance from the voltages at both directions of the current; an emf drops out.
///
/// Parameters
/// ----------
/// forward_mv : float
///     Voltage at the forward current, mV.
/// forward_ma : float
///     Forward current, mA.
/// reversed_mv : float
///     Voltage at the reversed current, with its sign, mV.
/// reversed_ma : float
///     Amount of the reversed current, mA.
///
/// Returns
/// -------
/// ReversedReading
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> round(cc.circuit.resistance_by_reversal(100.005, 1.0, -99.995, 1.0).ohm, 9)
/// 100.0
#[pyfunction]
#[pyo3(signature = (forward_mv, forward_ma, reversed_mv, reversed_ma))]
fn resistance_by_reversal(
    py: Python<'_>,
    forward_mv: f64,
    forward_ma: f64,
    reversed_mv: f64,
    reversed_ma: f64,
) -> PyResult<ReversedReading> {
    core::resistance_by_reversal(forward_mv, forward_ma, reversed_mv, reversed_ma).or_raise(py).map(ReversedReading)
}

/// Self-heating of an element by the measuring current.
///
/// Parameters
/// ----------
/// current_ma : float
///     Measuring current, mA.
/// ohm : float
///     Resistance of the element, ohm.
/// dissipation_mw_per_k : float
///     Dissipation constant, mW/K.
///
/// Returns
/// -------
/// SelfHeating
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> cc.circuit.self_heating(1.0, 100.0, 5.0).error_k
/// 0.02
#[pyfunction]
#[pyo3(signature = (current_ma, ohm, dissipation_mw_per_k))]
fn self_heating(py: Python<'_>, current_ma: f64, ohm: f64, dissipation_mw_per_k: f64) -> PyResult<SelfHeating> {
    core::self_heating(current_ma, ohm, dissipation_mw_per_k).or_raise(py).map(SelfHeating)
}

/// Resistance at zero power, from readings at two currents.
///
/// Parameters
/// ----------
/// first_ma : float
///     First current, mA.
/// first_ohm : float
///     Reading at it, ohm.
/// second_ma : float
///     Second current, mA.
/// second_ohm : float
///     Reading at it, ohm.
///
/// Returns
/// -------
/// ZeroPower
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// ASTM E644.
///
/// Examples
/// --------
/// >>> round(cc.circuit.zero_power_resistance(1.0, 100.01, 2.0, 100.04).ohm, 9)
/// 100.0
#[pyfunction]
#[pyo3(signature = (first_ma, first_ohm, second_ma, second_ohm))]
fn zero_power_resistance(
    py: Python<'_>,
    first_ma: f64,
    first_ohm: f64,
    second_ma: f64,
    second_ohm: f64,
) -> PyResult<ZeroPower> {
    core::zero_power_resistance(first_ma, first_ohm, second_ma, second_ohm).or_raise(py).map(ZeroPower)
}

/// Standard uncertainty by the inhomogeneity of a thermocouple: range / (2 √3), in the unit of the scan.
///
/// Parameters
/// ----------
/// scan_range : float or array-like
///     Largest minus smallest value found along the wires.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// EURAMET cg-8 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.inhomogeneity_uncertainty(0.3), 4)
/// 0.0866
#[pyfunction]
#[pyo3(signature = (scan_range))]
fn inhomogeneity_uncertainty<'py>(scan_range: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise("scan_range", scan_range, core::inhomogeneity_uncertainty)
}

/// Dissipation constant by readings at two currents, mW/K.
///
/// Parameters
/// ----------
/// first, second : tuple of float
///     Current (mA), resistance (ohm) and temperature read from it (°C), at each of the two currents.
///
/// Returns
/// -------
/// float
///     mW/K.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> round(cc.circuit.dissipation_from_two_currents((1.0, 100.0, 0.02), (2.0, 100.0, 0.08)), 9)
/// 5.0
#[pyfunction]
#[pyo3(signature = (first, second))]
fn dissipation_from_two_currents(py: Python<'_>, first: (f64, f64, f64), second: (f64, f64, f64)) -> PyResult<f64> {
    core::dissipation_from_two_currents(first, second).or_raise(py)
}

/// Error that extension wires cause, with the head of a thermocouple and the instrument at different temperatures.
///
/// Parameters
/// ----------
/// couple : Thermocouple
///     The thermocouple.
/// wire : "reversed", "copper", Thermocouple or float
///     Conductors crossed, two of copper, the wire of another type, or wire of the right type whose emf deviates by so
///     many mV.
/// t_hot_c : float
///     Measuring junction, °C.
/// t_head_c : float
///     Connection head, °C.
/// reference_junction_c : float
///     Instrument, °C.
///
/// Returns
/// -------
/// ExtensionWireError
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, UnknownNameError
///
/// Examples
/// --------
/// >>> k = cc.Thermocouple("K")
/// >>> round(cc.circuit.extension_wire_error(k, "reversed", 500.0, 45.0, 25.0).error_mv, 3)
/// -1.634
#[pyfunction]
#[pyo3(signature = (couple, wire, t_hot_c, t_head_c, reference_junction_c))]
fn extension_wire_error(
    couple: &Bound<'_, Thermocouple>,
    wire: &Bound<'_, PyAny>,
    t_hot_c: f64,
    t_head_c: f64,
    reference_junction_c: f64,
) -> PyResult<ExtensionWireError> {
    let py = couple.py();
    let wire = if let Ok(other) = wire.cast::<Thermocouple>() {
        core::ExtensionWire::Other(other.get().0)
    } else if let Ok(name) = wire.extract::<&str>() {
        match name {
            "reversed" => Ok(core::ExtensionWire::Reversed),
            "copper" => Ok(core::ExtensionWire::Copper),
            _ => Err(calcore::Error::UnknownName {
                what: "extension wire",
                name: name.into(),
                expected: "\"reversed\", \"copper\", a Thermocouple, or a deviation in mV".into(),
            }),
        }
        .or_raise(py)?
    } else {
        core::ExtensionWire::Deviating { mv: wire.extract()? }
    };
    let error = core::extension_wire_error(&couple.get().0, wire, t_hot_c, t_head_c, reference_junction_c);
    error.or_raise(py).map(ExtensionWireError)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(two_wire_effect, module)?,
        wrap_pyfunction!(three_wire_effect, module)?,
        wrap_pyfunction!(insulation_effect, module)?,
        wrap_pyfunction!(thermal_emf_effect, module)?,
        wrap_pyfunction!(reference_junction_effect, module)?,
        wrap_pyfunction!(measuring_junction, module)?,
        wrap_pyfunction!(copper_lead_resistance, module)?,
        wrap_pyfunction!(two_wire_reading, module)?,
        wrap_pyfunction!(three_wire_reading, module)?,
        wrap_pyfunction!(resistance_with_insulation, module)?,
        wrap_pyfunction!(resistance_without_insulation, module)?,
        wrap_pyfunction!(resistance_by_reversal, module)?,
        wrap_pyfunction!(self_heating, module)?,
        wrap_pyfunction!(zero_power_resistance, module)?,
        wrap_pyfunction!(inhomogeneity_uncertainty, module)?,
        wrap_pyfunction!(dissipation_from_two_currents, module)?,
        wrap_pyfunction!(extension_wire_error, module)?,
    ] {
        add_function(module, "circuit", &function)?;
    }
    Ok(())
}
