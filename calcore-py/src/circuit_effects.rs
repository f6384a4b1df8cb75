//! What lies between a sensor and a reading: the effects of leads, currents, insulation, junctions, immersion and displays.

use crate::arrays::{elementwise, elementwise2};
use crate::curves::{Thermocouple, any_curve};
use crate::errors::OrRaise;
use crate::objects::{add_function, reduced};
use calcore::circuit as core;
use calcore::curves::SensorCurve;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// A frozen class of numbers that mirrors a struct of the core.
macro_rules! numbers {
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $field:ident,)* } $($rest:tt)*) => {
        $(#[$meta])*
        #[pyclass(frozen, eq, module = "calcore.circuit")]
        #[derive(Clone, Copy, PartialEq)]
        pub(crate) struct $name(core::$name);

        #[pymethods]
        impl $name {
            #[new]
            #[pyo3(signature = ($($field),*))]
            fn new($($field: f64),*) -> Self {
                Self(core::$name { $($field),* })
            }

            $(
                $(#[$doc])*
                #[getter]
                fn $field(&self) -> f64 {
                    self.0.$field
                }
            )*

            fn __repr__(&self) -> String {
                let fields = [$(format!("{}={}", stringify!($field), self.0.$field)),*];
                format!("{}({})", stringify!($name), fields.join(", "))
            }

            fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
                let values = &slf.get().0;
                reduced(slf.as_any(), ($(values.$field,)*), &PyDict::new(slf.py()))
            }

            $($rest)*
        }
    };
}

numbers! {
    /// What a cause does to the reading of a sensor.
    ///
    /// Parameters
    /// ----------
    /// signal_change : float
    ///     Change of the signal, in its unit.
    /// error_k : float
    ///     Error of the temperature read: read minus true, K.
    /// error_k_per_unit : float
    ///     Change of that error per unit of the cause, K per unit.
    ///
    /// Examples
    /// --------
    /// >>> effect = cc.circuit.two_wire_effect(cc.CallendarVanDusen.iec60751(), 0.0, 0.5)
    /// >>> round(effect.error_k, 4)
    /// 1.2796
    Effect {
        /// Change of the signal, in its unit.
        signal_change,
        /// Error of the temperature read: read minus true, K.
        error_k,
        /// Change of that error per unit of the cause, K per unit.
        error_k_per_unit,
    }
}

numbers! {
    /// Self-heating of an element, with its derivatives.
    ///
    /// Parameters
    /// ----------
    /// power_mw : float
    ///     Power in the element, mW.
    /// error_k : float
    ///     How far it reads too high, K.
    /// error_k_per_ma : float
    ///     Change with the current, K/mA.
    /// error_k_per_mw_per_k : float
    ///     Change with the dissipation constant, K per mW/K.
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.self_heating(1.0, 100.0, 5.0).error_k
    /// 0.02
    SelfHeating {
        /// Power in the element, mW.
        power_mw,
        /// How far it reads too high, K.
        error_k,
        /// Change with the current, K/mA.
        error_k_per_ma,
        /// Change with the dissipation constant, K per mW/K.
        error_k_per_mw_per_k,
    }
}

numbers! {
    /// Resistance at zero power, with its derivatives.
    ///
    /// Parameters
    /// ----------
    /// ohm : float
    ///     Resistance without self-heating, ohm.
    /// rise_at_first_ohm : float
    ///     Self-heating at the first current, ohm.
    /// per_first_ohm : float
    ///     Change with the resistance at the first current, ohm/ohm.
    /// per_second_ohm : float
    ///     Change with the resistance at the second current, ohm/ohm.
    /// per_first_ma : float
    ///     Change with the first current, ohm/mA.
    /// per_second_ma : float
    ///     Change with the second current, ohm/mA.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.zero_power_resistance(1.0, 100.01, 2.0, 100.04).ohm, 9)
    /// 100.0
    ZeroPower {
        /// Resistance without self-heating, ohm.
        ohm,
        /// Self-heating at the first current, ohm.
        rise_at_first_ohm,
        /// Change with the resistance at the first current, ohm/ohm.
        per_first_ohm,
        /// Change with the resistance at the second current, ohm/ohm.
        per_second_ohm,
        /// Change with the first current, ohm/mA.
        per_first_ma,
        /// Change with the second current, ohm/mA.
        per_second_ma,
    }

    /// Standard uncertainty of the resistance at zero power, by independent ones of readings and currents.
    ///
    /// Parameters
    /// ----------
    /// u_first_ohm, u_second_ohm : float
    ///     Of the two readings, ohm.
    /// u_first_ma, u_second_ma : float, optional
    ///     Of the two currents, mA.
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
    /// >>> round(zero.uncertainty(1e-3, 1e-3) / 1e-3, 6)  # the root of 5
    /// 2.236068
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
}

numbers! {
    /// A resistance measured with both directions of the current: a constant emf drops out.
    ///
    /// Parameters
    /// ----------
    /// ohm : float
    ///     Resistance, ohm.
    /// emf_mv : float
    ///     The emf that dropped out, mV.
    /// ohm_per_forward_mv : float
    ///     Change with the forward voltage, ohm/mV.
    /// ohm_per_ma : float
    ///     Change with either current, ohm/mA.
    ///
    /// Examples
    /// --------
    /// >>> reading = cc.circuit.resistance_by_reversal(100.005, 1.0, -99.995, 1.0)
    /// >>> round(reading.ohm, 9), round(reading.emf_mv, 9)
    /// (100.0, 0.005)
    ReversedReading {
        /// Resistance, ohm.
        ohm,
        /// The emf that dropped out, mV.
        emf_mv,
        /// Change with the forward voltage, ohm/mV.
        ohm_per_forward_mv,
        /// Change with either current, ohm/mA.
        ohm_per_ma,
    }
}

numbers! {
    /// Temperature of a measuring junction, with its derivatives.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     Temperature of the measuring junction, °C.
    /// total_mv : float
    ///     Emf with the reference junction at 0 °C, mV.
    /// per_mv : float
    ///     Change with the emf, K/mV.
    /// per_reference_k : float
    ///     Change with the temperature taken for the reference junction, K/K.
    ///
    /// Examples
    /// --------
    /// >>> k = cc.Thermocouple("K")
    /// >>> round(cc.circuit.measuring_junction(k, k.emf(100.0, 25.0), 25.0).t_c, 9)
    /// 100.0
    JunctionReading {
        /// Temperature of the measuring junction, °C.
        t_c,
        /// Emf with the reference junction at 0 °C, mV.
        total_mv,
        /// Change with the emf, K/mV.
        per_mv,
        /// Change with the temperature taken for the reference junction, K/K.
        per_reference_k,
    }
}

numbers! {
    /// What extension wires add to a reading.
    ///
    /// Parameters
    /// ----------
    /// error_mv : float
    ///     Error of the emf, mV.
    /// error_k : float
    ///     Error of the temperature that is read, K.
    ///
    /// Examples
    /// --------
    /// >>> error = cc.circuit.extension_wire_error(cc.Thermocouple("K"), "copper", 500.0, 45.0, 25.0)
    /// >>> round(error.error_mv, 3)
    /// -0.817
    ExtensionWireError {
        /// Error of the emf, mV.
        error_mv,
        /// Error of the temperature that is read, K.
        error_k,
    }
}

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

/// A scale of whole counts, such as an input card's.
///
/// Parameters
/// ----------
/// low_count, high_count : int
///     Two counts.
/// low, high : float
///     Their values, in any unit.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> card = cc.circuit.DigitalScale(0, 4095, 0.0, 20.0)
/// >>> round(card.resolution, 5), card.count(12.0)
/// (0.00488, 2457)
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct DigitalScale(core::DigitalScale, (i64, i64, f64, f64));

#[pymethods]
impl DigitalScale {
    #[new]
    #[pyo3(signature = (low_count, high_count, low, high))]
    fn new(py: Python<'_>, low_count: i64, high_count: i64, low: f64, high: f64) -> PyResult<Self> {
        let scale = core::DigitalScale::new(low_count, high_count, low, high).or_raise(py)?;
        Ok(Self(scale, (low_count, high_count, low, high)))
    }

    /// Value of a count.
    ///
    /// Parameters
    /// ----------
    /// count : int
    ///     The count.
    ///
    /// Returns
    /// -------
    /// float
    ///
    /// Raises
    /// ------
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.DigitalScale(0, 4095, 0.0, 20.0).value(4095)
    /// 20.0
    #[pyo3(signature = (count))]
    fn value(&self, py: Python<'_>, count: i64) -> PyResult<f64> {
        self.0.value(count).or_raise(py)
    }

    /// Count of a value.
    ///
    /// Parameters
    /// ----------
    /// value : float
    ///     The value.
    ///
    /// Returns
    /// -------
    /// int
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.DigitalScale(0, 4095, 0.0, 20.0).count(12.0)
    /// 2457
    #[pyo3(signature = (value))]
    fn count(&self, py: Python<'_>, value: f64) -> PyResult<i64> {
        self.0.count(value).or_raise(py)
    }

    /// Value of one count.
    #[getter]
    fn resolution(&self) -> f64 {
        self.0.resolution()
    }

    /// Standard uncertainty by the resolution: that of a rectangle one count wide.
    #[getter]
    fn resolution_uncertainty(&self) -> f64 {
        self.0.resolution_uncertainty()
    }

    fn __repr__(&self) -> String {
        let (low_count, high_count, low, high) = self.1;
        format!("DigitalScale({low_count} to {high_count} counts, {low} to {high})")
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        reduced(slf.as_any(), slf.get().1, &PyDict::new(slf.py()))
    }
}

/// A display of limited resolution.
///
/// Parameters
/// ----------
/// resolution : float
///     Its step, in the unit of the value.
/// rounding : "nearest" or "truncate"
///     How it comes to its last digit.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, UnknownNameError
///
/// Examples
/// --------
/// >>> display = cc.circuit.Display(0.5)
/// >>> display.shown([99.9, 100.3]), round(display.uncertainty, 4)
/// (array([100. , 100.5]), 0.1443)
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Display(core::Display, core::Rounding);

#[pymethods]
impl Display {
    #[new]
    #[pyo3(signature = (resolution, rounding="nearest"))]
    fn new(py: Python<'_>, resolution: f64, rounding: &str) -> PyResult<Self> {
        let rounding = match rounding {
            "nearest" => Ok(core::Rounding::Nearest),
            "truncate" => Ok(core::Rounding::Truncate),
            _ => Err(calcore::Error::UnknownName {
                what: "rounding",
                name: rounding.into(),
                expected: "\"nearest\" or \"truncate\"".into(),
            }),
        }
        .or_raise(py)?;
        Ok(Self(core::Display::new(resolution, rounding).or_raise(py)?, rounding))
    }

    /// What is shown for a value.
    ///
    /// Parameters
    /// ----------
    /// value : float or array-like
    ///     The value.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.Display(0.5).shown(100.3)
    /// 100.5
    #[pyo3(signature = (value))]
    fn shown<'py>(&self, value: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("value", value, |value| self.0.shown(value))
    }

    /// Its step.
    #[getter]
    fn resolution(&self) -> f64 {
        self.0.resolution()
    }

    /// "nearest" or "truncate".
    #[getter]
    fn rounding(&self) -> &'static str {
        match self.1 {
            core::Rounding::Nearest => "nearest",
            core::Rounding::Truncate => "truncate",
        }
    }

    /// What it shows too much on average: none, or half a step too little if it truncates.
    #[getter]
    fn mean_error(&self) -> f64 {
        self.0.mean_error()
    }

    /// Standard uncertainty by the resolution: that of a rectangle one step wide.
    #[getter]
    fn uncertainty(&self) -> f64 {
        self.0.uncertainty()
    }

    fn __repr__(&self) -> String {
        format!("Display({}, {})", self.0.resolution(), self.rounding())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let display = slf.get();
        reduced(slf.as_any(), (display.resolution(), display.rounding()), &PyDict::new(slf.py()))
    }
}

/// How heat along the stem of a thermometer falls off with its immersion.
///
/// Parameters
/// ----------
/// effective_diameter_mm : float
///     Depth over which the error falls by the factor e, mm.
/// factor : float
///     Part of the difference to the surroundings that is left at no immersion.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// J. V. Nicholas, D. R. White, Traceable Temperatures, immersion (from memory).
///
/// Examples
/// --------
/// >>> stem = cc.circuit.Immersion(10.0, 1.0)
/// >>> round(stem.error_k(100.0, 20.0, 50.0), 3)  # five effective diameters: 0.67 % of -80 K
/// -0.539
#[pyclass(frozen, eq, module = "calcore.circuit")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Immersion(core::Immersion);

#[pymethods]
impl Immersion {
    #[new]
    #[pyo3(signature = (effective_diameter_mm, factor=1.0))]
    fn new(py: Python<'_>, effective_diameter_mm: f64, factor: f64) -> PyResult<Self> {
        core::Immersion::new(effective_diameter_mm, factor).or_raise(py).map(Self)
    }

    /// Depth over which the error falls by the factor e, mm.
    #[getter]
    fn effective_diameter_mm(&self) -> f64 {
        self.0.effective_diameter_mm
    }

    /// Part of the difference to the surroundings that is left at no immersion.
    #[getter]
    fn factor(&self) -> f64 {
        self.0.factor
    }

    /// Error of a reading at a depth, K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     True temperature, °C.
    /// ambient_c : float
    ///     Surroundings, °C.
    /// depth_mm : float
    ///     Immersion, mm.
    ///
    /// Returns
    /// -------
    /// float
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.Immersion(10.0).error_k(100.0, 20.0, 50.0), 3)
    /// -0.539
    #[pyo3(signature = (t_c, ambient_c, depth_mm))]
    fn error_k(&self, py: Python<'_>, t_c: f64, ambient_c: f64, depth_mm: f64) -> PyResult<f64> {
        self.0.error_k(t_c, ambient_c, depth_mm).or_raise(py)
    }

    /// Change of that error per millimetre of depth, K/mm.
    ///
    /// Parameters
    /// ----------
    /// t_c, ambient_c, depth_mm : float
    ///     As for ``error_k``.
    ///
    /// Returns
    /// -------
    /// float
    ///     K/mm.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.Immersion(10.0).error_k_per_mm(100.0, 20.0, 50.0), 4)
    /// 0.0539
    #[pyo3(signature = (t_c, ambient_c, depth_mm))]
    fn error_k_per_mm(&self, py: Python<'_>, t_c: f64, ambient_c: f64, depth_mm: f64) -> PyResult<f64> {
        self.0.error_k_per_mm(t_c, ambient_c, depth_mm).or_raise(py)
    }

    /// True temperature of a reading at a depth, °C.
    ///
    /// Parameters
    /// ----------
    /// read_c : float
    ///     Reading, °C.
    /// ambient_c : float
    ///     Surroundings, °C.
    /// depth_mm : float
    ///     Immersion, mm.
    ///
    /// Returns
    /// -------
    /// float
    ///     °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.Immersion(10.0).true_temperature(99.461, 20.0, 50.0), 3)
    /// 100.0
    #[pyo3(signature = (read_c, ambient_c, depth_mm))]
    fn true_temperature(&self, py: Python<'_>, read_c: f64, ambient_c: f64, depth_mm: f64) -> PyResult<f64> {
        self.0.true_temperature(read_c, ambient_c, depth_mm).or_raise(py)
    }

    fn __repr__(&self) -> String {
        format!("Immersion({} mm, factor {})", self.0.effective_diameter_mm, self.0.factor)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let immersion = slf.get();
        let arguments = (immersion.effective_diameter_mm(), immersion.factor());
        reduced(slf.as_any(), arguments, &PyDict::new(slf.py()))
    }
}

/// Immersion and true temperature from readings at two depths, the factor at no immersion taken as 1.
///
/// Parameters
/// ----------
/// shallow, deep : tuple of float
///     Depth (mm) and reading (°C) at each of the two.
/// ambient_c : float
///     Surroundings, °C.
///
/// Returns
/// -------
/// tuple of Immersion and float
///     The immersion, and the true temperature, °C.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, NoConvergenceError
///
/// Examples
/// --------
/// >>> stem = cc.circuit.Immersion(10.0)
/// >>> readings = [(depth, 100.0 + stem.error_k(100.0, 20.0, depth)) for depth in (40.0, 60.0)]
/// >>> immersion, t_c = cc.circuit.immersion_from_two_depths(*readings, 20.0)
/// >>> round(immersion.effective_diameter_mm, 6), round(t_c, 9)
/// (10.0, 100.0)
#[pyfunction]
#[pyo3(signature = (shallow, deep, ambient_c))]
fn immersion_from_two_depths(
    py: Python<'_>,
    shallow: (f64, f64),
    deep: (f64, f64),
    ambient_c: f64,
) -> PyResult<(Immersion, f64)> {
    let (immersion, t_c) = core::immersion_from_two_depths(shallow, deep, ambient_c).or_raise(py)?;
    Ok((Immersion(immersion), t_c))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Effect>()?;
    module.add_class::<SelfHeating>()?;
    module.add_class::<ZeroPower>()?;
    module.add_class::<ReversedReading>()?;
    module.add_class::<JunctionReading>()?;
    module.add_class::<ExtensionWireError>()?;
    module.add_class::<DigitalScale>()?;
    module.add_class::<Display>()?;
    module.add_class::<Immersion>()?;
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
        wrap_pyfunction!(immersion_from_two_depths, module)?,
    ] {
        add_function(module, "circuit", &function)?;
    }
    Ok(())
}
