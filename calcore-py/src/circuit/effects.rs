//! What leads, insulation, currents and junctions do to a reading.

use super::values::{Effect, ExtensionWireError, JunctionReading, ReversedReading, SelfHeating, ZeroPower};
use crate::curves::{Thermocouple, any_curve};
use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::records::{elementwise_all, records};
use calcore::circuit as core;
use calcore::curves::SensorCurve;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyFloat;

/// Asks a curve of any kind.
pub(super) fn on<T>(curve: &Bound<'_, PyAny>, ask: impl FnOnce(&dyn SensorCurve) -> PyResult<T>) -> PyResult<T> {
    any_curve(curve, |curve| Ok(ask(curve)))
        .ok_or_else(|| PyTypeError::new_err("curve must be a sensor curve of calcore, such as CallendarVanDusen"))?
        .or_raise(curve.py())?
}

/// Error by leads that are measured with the element.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float or array-like
///     True temperature, °C.
/// leads_ohm : float or array-like
///     Both leads together (the cause), ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// Effect, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// UnknownNameError
///     For a curve whose signal is no resistance; a table may leave open what it is.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.circuit.two_wire_effect(pt100, 0.0, 0.5).error_k, 4)
/// 1.2796
#[pyfunction]
#[pyo3(signature = (curve, t_c, leads_ohm, *, invalid="raise"))]
fn two_wire_effect<'py>(
    curve: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    leads_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["t_c", "leads_ohm"], [t_c, leads_ohm]);
    on(curve, |curve| {
        records(
            arguments,
            invalid,
            Effect::FIELDS,
            |[a, b]| Ok(Effect::numbers(&core::two_wire_effect(curve, a, b)?)),
            Effect::from_numbers,
        )
    })
}

/// Error by unequal leads of a three-wire connection.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float or array-like
///     True temperature, °C.
/// mismatch_ohm : float or array-like
///     How much more the lead in series with the element has than the other (the cause), ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// Effect, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// UnknownNameError
///     For a curve whose signal is no resistance; a table may leave open what it is.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.circuit.three_wire_effect(pt100, 0.0, 0.1).error_k, 4)
/// 0.2559
#[pyfunction]
#[pyo3(signature = (curve, t_c, mismatch_ohm, *, invalid="raise"))]
fn three_wire_effect<'py>(
    curve: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    mismatch_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["t_c", "mismatch_ohm"], [t_c, mismatch_ohm]);
    on(curve, |curve| {
        records(
            arguments,
            invalid,
            Effect::FIELDS,
            |[a, b]| Ok(Effect::numbers(&core::three_wire_effect(curve, a, b)?)),
            Effect::from_numbers,
        )
    })
}

/// Error by an insulation resistance across the element.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float or array-like
///     True temperature, °C.
/// insulation_ohm : float or array-like
///     Insulation resistance (the cause), ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// Effect, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// UnknownNameError
///     For a curve whose signal is no resistance; a table may leave open what it is.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(1e3 * cc.circuit.insulation_effect(pt100, 400.0, 10e6).error_k, 2)  # mK
/// -17.72
#[pyfunction]
#[pyo3(signature = (curve, t_c, insulation_ohm, *, invalid="raise"))]
fn insulation_effect<'py>(
    curve: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["t_c", "insulation_ohm"], [t_c, insulation_ohm]);
    on(curve, |curve| {
        records(
            arguments,
            invalid,
            Effect::FIELDS,
            |[a, b]| Ok(Effect::numbers(&core::insulation_effect(curve, a, b)?)),
            Effect::from_numbers,
        )
    })
}

/// Error by an emf in a measurement of resistance with one direction of the current.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float or array-like
///     True temperature, °C.
/// emf_uv : float or array-like
///     The emf (the cause), µV.
/// current_ma : float or array-like
///     Measuring current, mA.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// Effect, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// UnknownNameError
///     For a curve whose signal is no resistance; a table may leave open what it is.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.circuit.thermal_emf_effect(pt100, 0.0, 2.0, 1.0).error_k, 3)
/// 0.005
#[pyfunction]
#[pyo3(signature = (curve, t_c, emf_uv, current_ma, *, invalid="raise"))]
fn thermal_emf_effect<'py>(
    curve: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    emf_uv: &Bound<'py, PyAny>,
    current_ma: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["t_c", "emf_uv", "current_ma"], [t_c, emf_uv, current_ma]);
    on(curve, |curve| {
        records(
            arguments,
            invalid,
            Effect::FIELDS,
            |[a, b, c]| Ok(Effect::numbers(&core::thermal_emf_effect(curve, a, b, c)?)),
            Effect::from_numbers,
        )
    })
}

/// Error by a reference junction that is warmer than the instrument believes.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// t_c : float or array-like
///     True temperature, °C.
/// reference_c : float or array-like
///     Temperature that the instrument believes, °C.
/// excess_k : float or array-like
///     How far the junction is warmer (the cause), K.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// Effect, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// UnknownNameError
///     For a curve whose signal is no emf; a table may leave open what it is.
///
/// Examples
/// --------
/// >>> k = cc.Thermocouple("K")
/// >>> round(cc.circuit.reference_junction_effect(k, 100.0, 0.0, 25.0).error_k, 2)  # compensation forgotten
/// -24.11
#[pyfunction]
#[pyo3(signature = (curve, t_c, reference_c, excess_k, *, invalid="raise"))]
fn reference_junction_effect<'py>(
    curve: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    reference_c: &Bound<'py, PyAny>,
    excess_k: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["t_c", "reference_c", "excess_k"], [t_c, reference_c, excess_k]);
    on(curve, |curve| {
        records(
            arguments,
            invalid,
            Effect::FIELDS,
            |[a, b, c]| Ok(Effect::numbers(&core::reference_junction_effect(curve, a, b, c)?)),
            Effect::from_numbers,
        )
    })
}

/// Temperature of a measuring junction: emfs are added, never temperatures.
///
/// Parameters
/// ----------
/// curve : curve
///     The sensor.
/// measured_mv : float or array-like
///     Emf, mV.
/// reference_c : float or array-like
///     Temperature of the reference junction, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// JunctionReading, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// UnknownNameError
///     For a curve whose signal is no emf; a table may leave open what it is.
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
#[pyo3(signature = (curve, measured_mv, reference_c, *, invalid="raise"))]
fn measuring_junction<'py>(
    curve: &Bound<'py, PyAny>,
    measured_mv: &Bound<'py, PyAny>,
    reference_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["measured_mv", "reference_c"], [measured_mv, reference_c]);
    on(curve, |curve| {
        records(
            arguments,
            invalid,
            JunctionReading::FIELDS,
            |[a, b]| Ok(JunctionReading::numbers(&core::measuring_junction(curve, a, b)?)),
            JunctionReading::from_numbers,
        )
    })
}

/// Resistance from the voltages at both directions of the current; an emf drops out.
///
/// Parameters
/// ----------
/// forward_mv : float or array-like
///     Voltage at the forward current, mV.
/// forward_ma : float or array-like
///     Forward current, mA.
/// reversed_mv : float or array-like
///     Voltage at the reversed current, with its sign, mV.
/// reversed_ma : float or array-like
///     Amount of the reversed current, mA.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// ReversedReading, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Unless both currents and the forward voltage are positive and the reversed voltage is negative.
///
/// Examples
/// --------
/// >>> round(cc.circuit.resistance_by_reversal(100.005, 1.0, -99.995, 1.0).ohm, 9)
/// 100.0
#[pyfunction]
#[pyo3(signature = (forward_mv, forward_ma, reversed_mv, reversed_ma, *, invalid="raise"))]
fn resistance_by_reversal<'py>(
    forward_mv: &Bound<'py, PyAny>,
    forward_ma: &Bound<'py, PyAny>,
    reversed_mv: &Bound<'py, PyAny>,
    reversed_ma: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (
        ["forward_mv", "forward_ma", "reversed_mv", "reversed_ma"],
        [forward_mv, forward_ma, reversed_mv, reversed_ma],
    );
    records(
        arguments,
        invalid,
        ReversedReading::FIELDS,
        |[a, b, c, d]| Ok(ReversedReading::numbers(&core::resistance_by_reversal(a, b, c, d)?)),
        ReversedReading::from_numbers,
    )
}

/// Self-heating of an element by the measuring current.
///
/// Parameters
/// ----------
/// current_ma : float or array-like
///     Measuring current, mA.
/// ohm : float or array-like
///     Resistance of the element, ohm.
/// dissipation_mw_per_k : float or array-like
///     Dissipation constant, mW/K.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// SelfHeating, or record array of the common shape
///     Its fields have the names of the attributes.
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
#[pyo3(signature = (current_ma, ohm, dissipation_mw_per_k, *, invalid="raise"))]
fn self_heating<'py>(
    current_ma: &Bound<'py, PyAny>,
    ohm: &Bound<'py, PyAny>,
    dissipation_mw_per_k: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["current_ma", "ohm", "dissipation_mw_per_k"], [current_ma, ohm, dissipation_mw_per_k]);
    records(
        arguments,
        invalid,
        SelfHeating::FIELDS,
        |[a, b, c]| Ok(SelfHeating::numbers(&core::self_heating(a, b, c)?)),
        SelfHeating::from_numbers,
    )
}

/// Resistance at zero power, from readings at two currents.
///
/// Parameters
/// ----------
/// first_ma : float or array-like
///     First current, mA.
/// first_ohm : float or array-like
///     Reading at it, ohm.
/// second_ma : float or array-like
///     Second current, mA.
/// second_ohm : float or array-like
///     Reading at it, ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// ZeroPower, or record array of the common shape
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Unless resistances and currents are positive, the currents differ and the resistance at zero power is positive.
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
#[pyo3(signature = (first_ma, first_ohm, second_ma, second_ohm, *, invalid="raise"))]
fn zero_power_resistance<'py>(
    first_ma: &Bound<'py, PyAny>,
    first_ohm: &Bound<'py, PyAny>,
    second_ma: &Bound<'py, PyAny>,
    second_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments =
        (["first_ma", "first_ohm", "second_ma", "second_ohm"], [first_ma, first_ohm, second_ma, second_ohm]);
    records(
        arguments,
        invalid,
        ZeroPower::FIELDS,
        |[a, b, c, d]| Ok(ZeroPower::numbers(&core::zero_power_resistance(a, b, c, d)?)),
        ZeroPower::from_numbers,
    )
}

/// Standard uncertainty of the resistance without self-heating by readings at two currents.
///
/// Readings and currents are taken as independent; it is that of a `ZeroPower`, of numbers or of arrays.
///
/// Parameters
/// ----------
/// first_ma : float or array-like
///     First current, mA.
/// first_ohm : float or array-like
///     Reading at it, ohm.
/// second_ma : float or array-like
///     Second current, mA.
/// second_ohm : float or array-like
///     Reading at it, ohm.
/// u_first_ohm, u_second_ohm : float or array-like
///     Standard uncertainty of the two readings, ohm.
/// u_first_ma, u_second_ma : float or array-like, optional
///     Of the two currents, mA; none unless given.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     ohm.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     As `zero_power_resistance`, and for a negative uncertainty.
///
/// Examples
/// --------
/// >>> u = cc.circuit.zero_power_uncertainty(1.0, 100.01, 2.0**0.5, 100.02, [1e-3, 2e-3], [1e-3, 2e-3])
/// >>> (u / np.array([1e-3, 2e-3])).round(6)  # the root of 5
/// array([2.236068, 2.236068])
#[pyfunction]
#[pyo3(
    signature = (first_ma, first_ohm, second_ma, second_ohm, u_first_ohm, u_second_ohm, u_first_ma=None, u_second_ma=None,
                 *, invalid="raise"),
    text_signature = "(first_ma, first_ohm, second_ma, second_ohm, u_first_ohm, u_second_ohm, u_first_ma=0.0, \
                      u_second_ma=0.0, *, invalid='raise')"
)]
#[allow(clippy::too_many_arguments)]
fn zero_power_uncertainty<'py>(
    first_ma: &Bound<'py, PyAny>,
    first_ohm: &Bound<'py, PyAny>,
    second_ma: &Bound<'py, PyAny>,
    second_ohm: &Bound<'py, PyAny>,
    u_first_ohm: &Bound<'py, PyAny>,
    u_second_ohm: &Bound<'py, PyAny>,
    u_first_ma: Option<&Bound<'py, PyAny>>,
    u_second_ma: Option<&Bound<'py, PyAny>>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let exact = PyFloat::new(first_ma.py(), 0.0).into_any();
    let (u_first_ma, u_second_ma) = (u_first_ma.unwrap_or(&exact), u_second_ma.unwrap_or(&exact));
    let names = [
        "first_ma",
        "first_ohm",
        "second_ma",
        "second_ohm",
        "u_first_ohm",
        "u_second_ohm",
        "u_first_ma",
        "u_second_ma",
    ];
    let arguments = [first_ma, first_ohm, second_ma, second_ohm, u_first_ohm, u_second_ohm, u_first_ma, u_second_ma];
    elementwise_all(names, arguments, invalid, |[i1, r1, i2, r2, a, b, c, d]| {
        core::zero_power_resistance(i1, r1, i2, r2)?.uncertainty(a, b, c, d)
    })
}

/// Standard uncertainty by the inhomogeneity of a thermocouple: range / (2 √3), in the unit of the scan.
///
/// Parameters
/// ----------
/// scan_range : float or array-like
///     Largest minus smallest value found along the wires.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
#[pyo3(signature = (scan_range, *, invalid="raise"))]
fn inhomogeneity_uncertainty<'py>(scan_range: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["scan_range"], [scan_range]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a]| core::inhomogeneity_uncertainty(a))
}

/// Current (mA), resistance (ohm) and temperature (°C), each a number or an array.
type Reading<'py> = (Bound<'py, PyAny>, Bound<'py, PyAny>, Bound<'py, PyAny>);

/// Dissipation constant by readings at two currents, mW/K.
///
/// Parameters
/// ----------
/// first, second : tuple of float or array-like
///     Current (mA), resistance (ohm) and temperature read from it (°C), at each of the two currents.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
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
#[pyo3(signature = (first, second, *, invalid="raise"))]
fn dissipation_from_two_currents<'py>(
    first: Reading<'py>,
    second: Reading<'py>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let names = [
        "first current",
        "first resistance",
        "first temperature",
        "second current",
        "second resistance",
        "second temperature",
    ];
    let arguments = [&first.0, &first.1, &first.2, &second.0, &second.1, &second.2];
    elementwise_all(names, arguments, invalid, |[a, b, c, d, e, f]| {
        core::dissipation_from_two_currents((a, b, c), (d, e, f))
    })
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
/// t_hot_c : float or array-like
///     Measuring junction, °C.
/// t_head_c : float or array-like
///     Connection head, °C.
/// reference_junction_c : float or array-like
///     Instrument, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// ExtensionWireError, or record array of the common shape
///     Its fields have the names of the attributes.
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
#[pyo3(signature = (couple, wire, t_hot_c, t_head_c, reference_junction_c, *, invalid="raise"))]
fn extension_wire_error<'py>(
    couple: &Bound<'py, Thermocouple>,
    wire: &Bound<'py, PyAny>,
    t_hot_c: &Bound<'py, PyAny>,
    t_head_c: &Bound<'py, PyAny>,
    reference_junction_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
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
    let couple = couple.get().0;
    let arguments = (["t_hot_c", "t_head_c", "reference_junction_c"], [t_hot_c, t_head_c, reference_junction_c]);
    let error = |[hot, head, reference]: [f64; 3]| core::extension_wire_error(&couple, wire, hot, head, reference);
    let numbers = |x| Ok(ExtensionWireError::numbers(&error(x)?));
    records(arguments, invalid, ExtensionWireError::FIELDS, numbers, ExtensionWireError::from_numbers)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(two_wire_effect, module)?,
        wrap_pyfunction!(three_wire_effect, module)?,
        wrap_pyfunction!(insulation_effect, module)?,
        wrap_pyfunction!(thermal_emf_effect, module)?,
        wrap_pyfunction!(reference_junction_effect, module)?,
        wrap_pyfunction!(measuring_junction, module)?,
        wrap_pyfunction!(resistance_by_reversal, module)?,
        wrap_pyfunction!(self_heating, module)?,
        wrap_pyfunction!(zero_power_resistance, module)?,
        wrap_pyfunction!(zero_power_uncertainty, module)?,
        wrap_pyfunction!(inhomogeneity_uncertainty, module)?,
        wrap_pyfunction!(dissipation_from_two_currents, module)?,
        wrap_pyfunction!(extension_wire_error, module)?,
    ] {
        add_function(module, "circuit", &function)?;
    }
    Ok(())
}
