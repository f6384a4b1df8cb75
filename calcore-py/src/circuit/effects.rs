//! What leads, leakage, currents, junctions and immersion do to a reading.

use crate::arrays::elementwise2;
use crate::curves::{Thermocouple, with_curve};
use crate::errors::{OrRaise, exception};
use crate::objects::{add_function, view};
use calcore::Error;
use calcore::circuit::{self as core, ExtensionWire};
use pyo3::prelude::*;

view! {
    /// What a cause does to the reading of a sensor.
    ///
    /// Examples
    /// --------
    /// >>> effect = cc.circuit.two_wire_effect(cc.CallendarVanDusen.iec60751(), 0.0, 0.5)
    /// >>> round(effect.error_k, 2), effect.signal_change
    /// (1.28, 0.5)
    Effect(core::Effect) in "calcore.circuit" {
        /// Change of the signal, in its unit.
        signal_change: f64 = |e| e.signal_change;
        /// Error of the temperature that is read: read minus true, K.
        error_k: f64 = |e| e.error_k;
        /// Change of that error per unit of the cause, K per the unit of the cause.
        error_k_per_unit: f64 = |e| e.error_k_per_unit;
    }

    fn __repr__(&self) -> String {
        let core::Effect { signal_change, error_k, error_k_per_unit, .. } = self.0;
        format!("Effect(error {error_k:?} K, signal changed by {signal_change:?}, {error_k_per_unit:?} K per unit)")
    }
}

view! {
    /// Self-heating, with its derivatives.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.self_heating(1.0, 100.0, 5.0).error_k, 9)
    /// 0.02
    SelfHeating(core::SelfHeating) in "calcore.circuit" {
        /// Power in the element, mW.
        power_mw: f64 = |h| h.power_mw;
        /// Error: how far the element is warmer than what surrounds it, K.
        error_k: f64 = |h| h.error_k;
        /// Change of the error with the current, K/mA.
        error_k_per_ma: f64 = |h| h.error_k_per_ma;
        /// Change of the error with the dissipation constant, K per mW/K.
        error_k_per_mw_per_k: f64 = |h| h.error_k_per_mw_per_k;
    }

    fn __repr__(&self) -> String {
        format!("SelfHeating({:?} mW, error {:?} K)", self.0.power_mw, self.0.error_k)
    }
}

view! {
    /// Resistance at zero power, with its derivatives.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.zero_power_resistance(1.0, 100.01, 2.0, 100.04).ohm, 9)
    /// 100.0
    ZeroPower(core::ZeroPower) in "calcore.circuit" {
        /// Resistance without self-heating, ohm.
        ohm: f64 = |z| z.ohm;
        /// Self-heating at the first current, ohm.
        rise_at_first_ohm: f64 = |z| z.rise_at_first_ohm;
        /// Change with the resistance at the first current, ohm/ohm.
        per_first_ohm: f64 = |z| z.per_first_ohm;
        /// Change with the resistance at the second current, ohm/ohm.
        per_second_ohm: f64 = |z| z.per_second_ohm;
        /// Change with the first current, ohm/mA.
        per_first_ma: f64 = |z| z.per_first_ma;
        /// Change with the second current, ohm/mA.
        per_second_ma: f64 = |z| z.per_second_ma;
    }

    /// Standard uncertainty of the resistance at zero power, ohm, by independent ones of readings and currents.
    ///
    /// Parameters
    /// ----------
    /// u_first_ohm, u_second_ohm : float
    ///     Standard uncertainties of the readings, ohm.
    /// u_first_ma, u_second_ma : float
    ///     Standard uncertainties of the currents, mA.
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
    /// >>> zero = cc.circuit.zero_power_resistance(1.0, 100.01, 2.0**0.5, 100.02)
    /// >>> round(zero.uncertainty(1e-3, 1e-3), 6)
    /// 0.002236
    #[pyo3(signature = (u_first_ohm, u_second_ohm, u_first_ma=0.0, u_second_ma=0.0))]
    fn uncertainty(
        &self,
        py: Python<'_>,
        u_first_ohm: f64,
        u_second_ohm: f64,
        u_first_ma: f64,
        u_second_ma: f64,
    ) -> PyResult<f64> {
        self.0.uncertainty(u_first_ohm, u_second_ohm, u_first_ma, u_second_ma).or_raise(py)
    }

    fn __repr__(&self) -> String {
        format!("ZeroPower({:?} ohm, self-heating {:?} ohm at the first current)", self.0.ohm, self.0.rise_at_first_ohm)
    }
}

view! {
    /// A resistance by two directions of the current, with its derivatives.
    ///
    /// Examples
    /// --------
    /// >>> reading = cc.circuit.resistance_by_reversal(100.005, 1.0, -99.995, 1.0)
    /// >>> round(reading.ohm, 9), round(reading.emf_mv, 9)
    /// (100.0, 0.005)
    ReversedReading(core::ReversedReading) in "calcore.circuit" {
        /// Resistance, ohm.
        ohm: f64 = |r| r.ohm;
        /// Emf that does not follow the current, mV.
        emf_mv: f64 = |r| r.emf_mv;
        /// Change of the resistance with the voltage at the forward current, ohm/mV.
        ohm_per_forward_mv: f64 = |r| r.ohm_per_forward_mv;
        /// Change of the resistance with either current, ohm/mA.
        ohm_per_ma: f64 = |r| r.ohm_per_ma;
    }

    fn __repr__(&self) -> String {
        format!("ReversedReading({:?} ohm, emf {:?} mV)", self.0.ohm, self.0.emf_mv)
    }
}

/// Resistance of one copper lead, ohm.
///
/// Parameters
/// ----------
/// length_m : float or array-like
///     Length, m.
/// area_mm2 : float or array-like
///     Cross section, mm².
/// t_c : float
///     Temperature, °C.
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
/// Source
/// ------
/// IEC 60028:1925 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.copper_lead_resistance(50.0, 0.5), 4)
/// 1.7241
#[pyfunction]
#[pyo3(signature = (length_m, area_mm2, t_c=20.0))]
fn copper_lead_resistance<'py>(
    length_m: &Bound<'py, PyAny>,
    area_mm2: &Bound<'py, PyAny>,
    t_c: f64,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise2(["length_m", "area_mm2"], [length_m, area_mm2], |l, a| core::copper_lead_resistance(l, a, t_c))
}

/// What an instrument with two wires reads: the element and both leads, ohm.
///
/// Parameters
/// ----------
/// element_ohm, first_lead_ohm, second_lead_ohm : float
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

/// What an instrument with three wires reads: the element and the difference of two leads, ohm.
///
/// Parameters
/// ----------
/// element_ohm, first_lead_ohm, second_lead_ohm : float
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
/// >>> cc.circuit.three_wire_reading(100.0, 0.5, 0.25)
/// 100.25
#[pyfunction]
#[pyo3(signature = (element_ohm, first_lead_ohm, second_lead_ohm))]
fn three_wire_reading(py: Python<'_>, element_ohm: f64, first_lead_ohm: f64, second_lead_ohm: f64) -> PyResult<f64> {
    core::three_wire_reading(element_ohm, first_lead_ohm, second_lead_ohm).or_raise(py)
}

/// Error by leads that an instrument with two wires takes for a part of the element; the cause is in ohm.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen or another curve in ohm
///     The element.
/// t_c : float
///     Its true temperature, °C.
/// leads_ohm : float
///     Both leads together, ohm.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
///
/// Examples
/// --------
/// >>> round(cc.circuit.two_wire_effect(cc.CallendarVanDusen.iec60751(), 0.0, 0.5).error_k, 2)
/// 1.28
#[pyfunction]
#[pyo3(signature = (curve, t_c, leads_ohm))]
fn two_wire_effect(curve: &Bound<'_, PyAny>, t_c: f64, leads_ohm: f64) -> PyResult<Effect> {
    with_curve(curve, |curve| core::two_wire_effect(curve, t_c, leads_ohm)).map(Effect)
}

/// Error by two leads that differ in an instrument with three wires; the cause is the difference in ohm.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen or another curve in ohm
///     The element.
/// t_c : float
///     Its true temperature, °C.
/// mismatch_ohm : float
///     The lead in series with the element minus the one that is taken away, ohm.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
///
/// Examples
/// --------
/// >>> round(cc.circuit.three_wire_effect(cc.CallendarVanDusen.iec60751(), 0.0, 0.1).error_k, 3)
/// 0.256
#[pyfunction]
#[pyo3(signature = (curve, t_c, mismatch_ohm))]
fn three_wire_effect(curve: &Bound<'_, PyAny>, t_c: f64, mismatch_ohm: f64) -> PyResult<Effect> {
    with_curve(curve, |curve| core::three_wire_effect(curve, t_c, mismatch_ohm)).map(Effect)
}

/// What is read of an element with an insulation resistance beside it, ohm.
///
/// Parameters
/// ----------
/// element_ohm, insulation_ohm : float or array-like
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
/// >>> cc.circuit.resistance_with_insulation(100.0, 300.0)
/// 75.0
#[pyfunction]
#[pyo3(signature = (element_ohm, insulation_ohm))]
fn resistance_with_insulation<'py>(
    element_ohm: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["element_ohm", "insulation_ohm"];
    elementwise2(names, [element_ohm, insulation_ohm], core::resistance_with_insulation)
}

/// The element behind a reading with an insulation resistance beside it, ohm.
///
/// Parameters
/// ----------
/// read_ohm, insulation_ohm : float or array-like
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
/// >>> cc.circuit.resistance_without_insulation(75.0, 300.0)
/// 100.0
#[pyfunction]
#[pyo3(signature = (read_ohm, insulation_ohm))]
fn resistance_without_insulation<'py>(
    read_ohm: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["read_ohm", "insulation_ohm"];
    elementwise2(names, [read_ohm, insulation_ohm], core::resistance_without_insulation)
}

/// Error by an insulation resistance; the cause is in ohm.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen or another curve in ohm
///     The element.
/// t_c : float
///     Its true temperature, °C.
/// insulation_ohm : float
///     ohm.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
///
/// Examples
/// --------
/// >>> round(cc.circuit.insulation_effect(cc.CallendarVanDusen.iec60751(), 400.0, 10e6).error_k, 4)
/// -0.0177
#[pyfunction]
#[pyo3(signature = (curve, t_c, insulation_ohm))]
fn insulation_effect(curve: &Bound<'_, PyAny>, t_c: f64, insulation_ohm: f64) -> PyResult<Effect> {
    with_curve(curve, |curve| core::insulation_effect(curve, t_c, insulation_ohm)).map(Effect)
}

/// Self-heating of an element by its current and its dissipation constant.
///
/// Parameters
/// ----------
/// current_ma : float
///     mA.
/// ohm : float
///     Resistance of the element at its temperature, ohm.
/// dissipation_mw_per_k : float
///     Dissipation constant in its medium, mW/K.
///
/// Returns
/// -------
/// SelfHeating
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// ASTM E644, self-heating (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.self_heating(1.0, 100.0, 5.0).power_mw, 9)
/// 0.1
#[pyfunction]
#[pyo3(signature = (current_ma, ohm, dissipation_mw_per_k))]
fn self_heating(py: Python<'_>, current_ma: f64, ohm: f64, dissipation_mw_per_k: f64) -> PyResult<SelfHeating> {
    Ok(SelfHeating(core::self_heating(current_ma, ohm, dissipation_mw_per_k).or_raise(py)?))
}

/// Resistance without self-heating by readings at two currents.
///
/// Parameters
/// ----------
/// first_ma, first_ohm, second_ma, second_ohm : float
///     Currents, mA, and the resistances read at them, ohm.
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
/// ASTM E644, self-heating (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.zero_power_resistance(1.0, 100.01, 2.0, 100.04).rise_at_first_ohm, 9)
/// 0.01
#[pyfunction]
#[pyo3(signature = (first_ma, first_ohm, second_ma, second_ohm))]
fn zero_power_resistance(
    py: Python<'_>,
    first_ma: f64,
    first_ohm: f64,
    second_ma: f64,
    second_ohm: f64,
) -> PyResult<ZeroPower> {
    Ok(ZeroPower(core::zero_power_resistance(first_ma, first_ohm, second_ma, second_ohm).or_raise(py)?))
}

/// Dissipation constant by readings at two currents, mW/K.
///
/// Parameters
/// ----------
/// first, second : (float, float, float)
///     Current, mA, resistance, ohm, and the temperature read from it, °C, at each current.
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
/// >>> round(cc.circuit.dissipation_from_two_currents((1.0, 100.0, 20.0), (2.0, 100.0, 20.06)), 6)
/// 5.0
#[pyfunction]
#[pyo3(signature = (first, second))]
fn dissipation_from_two_currents(py: Python<'_>, first: (f64, f64, f64), second: (f64, f64, f64)) -> PyResult<f64> {
    core::dissipation_from_two_currents(first, second).or_raise(py)
}

/// Resistance by the voltages at a forward and a reversed current; a constant emf drops out.
///
/// Parameters
/// ----------
/// forward_mv, reversed_mv : float
///     Voltages with their signs, mV.
/// forward_ma, reversed_ma : float
///     Sizes of the currents, mA.
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
    let reading = core::resistance_by_reversal(forward_mv, forward_ma, reversed_mv, reversed_ma);
    Ok(ReversedReading(reading.or_raise(py)?))
}

/// Error by an emf in a measurement with one direction of the current; the cause is in µV.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen or another curve in ohm
///     The element.
/// t_c : float
///     Its true temperature, °C.
/// emf_uv : float
///     µV.
/// current_ma : float
///     mA.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError
///
/// Examples
/// --------
/// >>> round(cc.circuit.thermal_emf_effect(cc.CallendarVanDusen.iec60751(), 0.0, 2.0, 1.0).error_k, 4)
/// 0.0051
#[pyfunction]
#[pyo3(signature = (curve, t_c, emf_uv, current_ma))]
fn thermal_emf_effect(curve: &Bound<'_, PyAny>, t_c: f64, emf_uv: f64, current_ma: f64) -> PyResult<Effect> {
    with_curve(curve, |curve| core::thermal_emf_effect(curve, t_c, emf_uv, current_ma)).map(Effect)
}

/// Error by a reference junction that is warmer than the instrument believes; the cause is in kelvin.
///
/// Parameters
/// ----------
/// curve : Thermocouple or another curve in mV
///     The couple.
/// t_c : float
///     True temperature of the measuring junction, °C.
/// reference_c : float
///     Temperature that the instrument believes, °C.
/// excess_k : float
///     How far the junction is warmer than that, K.
///
/// Returns
/// -------
/// Effect
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Examples
/// --------
/// >>> round(cc.circuit.reference_junction_effect(cc.Thermocouple("K"), 500.0, 25.0, 1.0).error_k, 2)
/// -0.95
#[pyfunction]
#[pyo3(signature = (curve, t_c, reference_c, excess_k))]
fn reference_junction_effect(curve: &Bound<'_, PyAny>, t_c: f64, reference_c: f64, excess_k: f64) -> PyResult<Effect> {
    with_curve(curve, |curve| core::reference_junction_effect(curve, t_c, reference_c, excess_k)).map(Effect)
}

/// Standard uncertainty by the inhomogeneity of a couple, in the unit of the scan.
///
/// Parameters
/// ----------
/// scan_range : float
///     Largest minus smallest emf, or temperature, found while the couple is moved through a gradient.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// EURAMET cg-8, inhomogeneity (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.inhomogeneity_uncertainty(1.0), 4)
/// 0.2887
#[pyfunction]
#[pyo3(signature = (scan_range))]
fn inhomogeneity_uncertainty(py: Python<'_>, scan_range: f64) -> PyResult<f64> {
    core::inhomogeneity_uncertainty(scan_range).or_raise(py)
}

/// Error that extension wires cause: of the emf, mV, and of the temperature that is read, K.
///
/// Parameters
/// ----------
/// thermocouple : Thermocouple
///     The couple.
/// wire : Thermocouple or {"reversed", "copper"} or float
///     Wires of another type, of the right type but crossed at both ends, of one metal, or of the right type with an emf
///     that deviates by so many mV.
/// t_hot_c, t_head_c, reference_junction_c : float
///     Temperatures of the measuring junction, the connection head and the reference junction, °C.
///
/// Returns
/// -------
/// (float, float)
///     mV and K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError, OutOfRangeError
///
/// Examples
/// --------
/// >>> error_mv, error_k = cc.circuit.extension_wire_error(cc.Thermocouple("K"), "reversed", 500.0, 45.0, 25.0)
/// >>> round(error_mv, 2), round(error_k)
/// (-1.63, -38)
#[pyfunction]
#[pyo3(signature = (thermocouple, wire, t_hot_c, t_head_c, reference_junction_c))]
fn extension_wire_error(
    thermocouple: &Bound<'_, Thermocouple>,
    wire: &Bound<'_, PyAny>,
    t_hot_c: f64,
    t_head_c: f64,
    reference_junction_c: f64,
) -> PyResult<(f64, f64)> {
    let py = wire.py();
    let wire = if let Ok(other) = wire.cast::<Thermocouple>() {
        ExtensionWire::Other(other.get().0)
    } else if let Ok(name) = wire.extract::<String>() {
        match name.as_str() {
            "reversed" => ExtensionWire::Reversed,
            "copper" => ExtensionWire::Copper,
            _ => {
                let expected = "\"reversed\", \"copper\", a Thermocouple or a deviation in mV".into();
                return Err(exception(py, &Error::UnknownName { what: "extension wire", name, expected }));
            }
        }
    } else {
        ExtensionWire::Deviating { mv: wire.extract()? }
    };
    let error = core::extension_wire_error(&thermocouple.get().0, wire, t_hot_c, t_head_c, reference_junction_c);
    let error = error.or_raise(py)?;
    Ok((error.error_mv, error.error_k))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Effect>()?;
    module.add_class::<SelfHeating>()?;
    module.add_class::<ZeroPower>()?;
    module.add_class::<ReversedReading>()?;
    for function in [
        wrap_pyfunction!(copper_lead_resistance, module)?,
        wrap_pyfunction!(two_wire_reading, module)?,
        wrap_pyfunction!(three_wire_reading, module)?,
        wrap_pyfunction!(two_wire_effect, module)?,
        wrap_pyfunction!(three_wire_effect, module)?,
        wrap_pyfunction!(resistance_with_insulation, module)?,
        wrap_pyfunction!(resistance_without_insulation, module)?,
        wrap_pyfunction!(insulation_effect, module)?,
        wrap_pyfunction!(self_heating, module)?,
        wrap_pyfunction!(zero_power_resistance, module)?,
        wrap_pyfunction!(dissipation_from_two_currents, module)?,
        wrap_pyfunction!(resistance_by_reversal, module)?,
        wrap_pyfunction!(thermal_emf_effect, module)?,
        wrap_pyfunction!(reference_junction_effect, module)?,
        wrap_pyfunction!(inhomogeneity_uncertainty, module)?,
        wrap_pyfunction!(extension_wire_error, module)?,
    ] {
        add_function(module, "circuit", &function)?;
    }
    Ok(())
}
