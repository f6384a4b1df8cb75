//! What a connection reads: leads, insulation, junctions.

use super::effects::on;
use crate::objects::add_function;
use crate::records::elementwise_all;
use calcore::circuit as core;
use pyo3::prelude::*;

/// Resistance of a copper conductor, one way.
///
/// Parameters
/// ----------
/// length_m : float or array-like
///     Length, m.
/// area_mm2 : float or array-like
///     Cross-section, mm².
/// t_c : float or array-like
///     Its temperature, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
/// IEC 60028 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.circuit.copper_lead_resistance(100.0, 1.5, 20.0), 2)
/// 1.15
#[pyfunction]
#[pyo3(signature = (length_m, area_mm2, t_c, *, invalid="raise"))]
fn copper_lead_resistance<'py>(
    length_m: &Bound<'py, PyAny>,
    area_mm2: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["length_m", "area_mm2", "t_c"], [length_m, area_mm2, t_c]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a, b, c]| core::copper_lead_resistance(a, b, c))
}

/// What a two-wire connection reads: the element and both leads.
///
/// Parameters
/// ----------
/// element_ohm : float or array-like
///     ohm.
/// first_lead_ohm : float or array-like
///     ohm.
/// second_lead_ohm : float or array-like
///     ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
/// >>> cc.circuit.two_wire_reading(100.0, 0.25, 0.25)
/// 100.5
#[pyfunction]
#[pyo3(signature = (element_ohm, first_lead_ohm, second_lead_ohm, *, invalid="raise"))]
fn two_wire_reading<'py>(
    element_ohm: &Bound<'py, PyAny>,
    first_lead_ohm: &Bound<'py, PyAny>,
    second_lead_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments =
        (["element_ohm", "first_lead_ohm", "second_lead_ohm"], [element_ohm, first_lead_ohm, second_lead_ohm]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a, b, c]| core::two_wire_reading(a, b, c))
}

/// The element alone, from what a two-wire connection reads and both leads.
///
/// Parameters
/// ----------
/// read_ohm : float or array-like
///     ohm.
/// first_lead_ohm : float or array-like
///     ohm.
/// second_lead_ohm : float or array-like
///     ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
///     For a negative resistance of a lead, and a reading below that of the leads.
///
/// Examples
/// --------
/// >>> cc.circuit.two_wire_element(100.5, 0.25, 0.25)
/// 100.0
#[pyfunction]
#[pyo3(signature = (read_ohm, first_lead_ohm, second_lead_ohm, *, invalid="raise"))]
fn two_wire_element<'py>(
    read_ohm: &Bound<'py, PyAny>,
    first_lead_ohm: &Bound<'py, PyAny>,
    second_lead_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["read_ohm", "first_lead_ohm", "second_lead_ohm"], [read_ohm, first_lead_ohm, second_lead_ohm]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a, b, c]| core::two_wire_element(a, b, c))
}

/// What a three-wire connection reads: the element and the difference of its leads.
///
/// Parameters
/// ----------
/// element_ohm : float or array-like
///     ohm.
/// first_lead_ohm : float or array-like
///     ohm.
/// second_lead_ohm : float or array-like
///     ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
/// >>> round(cc.circuit.three_wire_reading(100.0, 0.35, 0.25), 9)
/// 100.1
#[pyfunction]
#[pyo3(signature = (element_ohm, first_lead_ohm, second_lead_ohm, *, invalid="raise"))]
fn three_wire_reading<'py>(
    element_ohm: &Bound<'py, PyAny>,
    first_lead_ohm: &Bound<'py, PyAny>,
    second_lead_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments =
        (["element_ohm", "first_lead_ohm", "second_lead_ohm"], [element_ohm, first_lead_ohm, second_lead_ohm]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a, b, c]| core::three_wire_reading(a, b, c))
}

/// Resistance read with an insulation resistance across the element.
///
/// Parameters
/// ----------
/// element_ohm : float or array-like
///     ohm.
/// insulation_ohm : float or array-like
///     ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
#[pyo3(signature = (element_ohm, insulation_ohm, *, invalid="raise"))]
fn resistance_with_insulation<'py>(
    element_ohm: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["element_ohm", "insulation_ohm"], [element_ohm, insulation_ohm]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a, b]| core::resistance_with_insulation(a, b))
}

/// Resistance of the element alone, from one read with an insulation resistance across it.
///
/// Parameters
/// ----------
/// read_ohm : float or array-like
///     ohm.
/// insulation_ohm : float or array-like
///     ohm.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
#[pyo3(signature = (read_ohm, insulation_ohm, *, invalid="raise"))]
fn resistance_without_insulation<'py>(
    read_ohm: &Bound<'py, PyAny>,
    insulation_ohm: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["read_ohm", "insulation_ohm"], [read_ohm, insulation_ohm]);
    elementwise_all(arguments.0, arguments.1, invalid, |[a, b]| core::resistance_without_insulation(a, b))
}

/// Emf that an instrument measures, mV: that of the measuring junction less that of the reference junction.
///
/// Parameters
/// ----------
/// curve : curve
///     The couple, its emf against 0 °C.
/// t_c : float or array-like
///     Measuring junction, °C.
/// reference_c : float or array-like
///     Reference junction, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     mV.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
/// UnknownNameError
///     For a curve whose signal is no emf; a table may leave open what it is.
///
/// Source
/// ------
/// IEC 60584-1:2013, clause 3.
///
/// Examples
/// --------
/// >>> round(cc.circuit.measured_emf(cc.Thermocouple("K"), 100.0, 25.0), 4)
/// 3.096
#[pyfunction]
#[pyo3(signature = (curve, t_c, reference_c, *, invalid="raise"))]
fn measured_emf<'py>(
    curve: &Bound<'py, PyAny>,
    t_c: &Bound<'py, PyAny>,
    reference_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let arguments = (["t_c", "reference_c"], [t_c, reference_c]);
    on(curve, |curve| elementwise_all(arguments.0, arguments.1, invalid, |[a, b]| core::measured_emf(curve, a, b)))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    for function in [
        wrap_pyfunction!(copper_lead_resistance, module)?,
        wrap_pyfunction!(two_wire_reading, module)?,
        wrap_pyfunction!(two_wire_element, module)?,
        wrap_pyfunction!(three_wire_reading, module)?,
        wrap_pyfunction!(resistance_with_insulation, module)?,
        wrap_pyfunction!(resistance_without_insulation, module)?,
        wrap_pyfunction!(measured_emf, module)?,
    ] {
        add_function(module, "circuit", &function)?;
    }
    Ok(())
}
