//! Tolerance classes of the standards, and a user's own tolerances.

mod custom;

use crate::arrays::Numbers;
use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::records::elementwise_all;
use crate::whole::whole_number;
use calcore::constants::thermocouple_tolerance::Confirmation;
use calcore::tolerance::{self as core, Construction};
use pyo3::prelude::*;

/// Half-width of a class of IEC 60751 at a temperature, K.
///
/// The limit for the error of a new thermometer or resistor: constant + proportion |t|. AA, W0.1 and F0.1:
/// 0.1 + 0.0017 |t|; A, W0.15 and F0.15: 0.15 + 0.002 |t|; B, W0.3 and F0.3: 0.3 + 0.005 |t|; C, W0.6 and F0.6:
/// 0.6 + 0.01 |t|.
///
/// Parameters
/// ----------
/// class_name : str
///     "AA", "A", "B", "C" for thermometers; "W0.1", "W0.15", "W0.3", "W0.6", "F0.1", "F0.15", "F0.3", "F0.6" for
///     resistors.
/// t_c : float or array-like
///     Temperature, °C.
/// construction : {"wire_wound", "film"}
///     For the range of a thermometer's class; the class of a resistor names its own.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError
/// OutOfRangeError
///     Outside the range of the class.
///
/// Source
/// ------
/// IEC 60751:2008, clause 5, tables 2 and 3; the ranges from memory.
///
/// Examples
/// --------
/// >>> cc.tolerance.iec60751("B", [0.0, 400.0])
/// array([0.3, 2.3])
#[pyfunction]
#[pyo3(signature = (class_name, t_c, *, construction="wire_wound", invalid="raise"))]
fn iec60751<'py>(
    class_name: &str,
    t_c: &Bound<'py, PyAny>,
    construction: &str,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let construction = Construction::from_name(construction).or_raise(t_c.py())?;
    // An unknown class is told even if there is no temperature to look it up for.
    core::iec60751_range(class_name, construction).or_raise(t_c.py())?;
    elementwise_all(["t_c"], [t_c], invalid, |[x]| core::iec60751(class_name, x, construction))
}

/// Lowest and highest temperature of a class of IEC 60751, °C.
///
/// Parameters
/// ----------
/// class_name : str
///     As in `iec60751`.
/// construction : {"wire_wound", "film"}
///     For a thermometer's class; the class of a resistor names its own.
///
/// Returns
/// -------
/// (float, float)
///     °C.
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// IEC 60751:2008, clause 5, tables 2 and 3; from memory.
///
/// Examples
/// --------
/// >>> cc.tolerance.iec60751_range("AA", construction="film")
/// (0.0, 150.0)
#[pyfunction]
#[pyo3(signature = (class_name, *, construction="wire_wound"))]
fn iec60751_range(py: Python<'_>, class_name: &str, construction: &str) -> PyResult<(f64, f64)> {
    let construction = Construction::from_name(construction).or_raise(py)?;
    let range = core::iec60751_range(class_name, construction).or_raise(py)?;
    Ok((range.low, range.high))
}

/// Half-width of a class of IEC 60584-1 for thermocouples at a temperature, K.
///
/// The greater of a fixed part and a part of |t|, such as 1.5 K or 0.004 |t| for type K, class 1.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T", "A"}
///     Type.
/// class_number : {1, 2, 3}
///     Class.
/// t_c : float or array-like
///     Temperature of the measuring junction, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError
///     For a letter, or a class that the type does not have.
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the class.
///
/// Source
/// ------
/// IEC 60584-1:2013, tolerance table, by public summaries; see `iec60584_confirmation`.
///
/// Examples
/// --------
/// >>> cc.tolerance.iec60584("K", 1, [300.0, 500.0])
/// array([1.5, 2. ])
#[pyfunction]
#[pyo3(signature = (letter, class_number, t_c, *, invalid="raise"))]
fn iec60584<'py>(
    letter: &str,
    #[pyo3(from_py_with = whole_number)] class_number: u8,
    t_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    core::iec60584_range(letter, class_number).or_raise(t_c.py())?;
    elementwise_all(["t_c"], [t_c], invalid, |[x]| core::iec60584(letter, class_number, x))
}

/// Lowest and highest temperature of a class of IEC 60584-1, °C.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T", "A"}
///     Type.
/// class_number : {1, 2, 3}
///     Class.
///
/// Returns
/// -------
/// (float, float)
///     °C.
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// As `iec60584`.
///
/// Examples
/// --------
/// >>> cc.tolerance.iec60584_range("K", 1)
/// (-40.0, 1000.0)
#[pyfunction]
#[pyo3(signature = (letter, class_number))]
fn iec60584_range(
    py: Python<'_>,
    letter: &str,
    #[pyo3(from_py_with = whole_number)] class_number: u8,
) -> PyResult<(f64, f64)> {
    let range = core::iec60584_range(letter, class_number).or_raise(py)?;
    Ok((range.low, range.high))
}

/// How sure a class of IEC 60584-1 is here: by "summaries" that agree, by most of them ("conflict"), or "unconfirmed".
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T", "A"}
///     Type.
/// class_number : {1, 2, 3}
///     Class.
///
/// Returns
/// -------
/// str
///
/// Raises
/// ------
/// UnknownNameError
///
/// Examples
/// --------
/// >>> cc.tolerance.iec60584_confirmation("K", 1)
/// 'summaries'
#[pyfunction]
#[pyo3(signature = (letter, class_number))]
fn iec60584_confirmation(
    py: Python<'_>,
    letter: &str,
    #[pyo3(from_py_with = whole_number)] class_number: u8,
) -> PyResult<&'static str> {
    Ok(core::iec60584_confirmation(letter, class_number).or_raise(py)?.name())
}

/// How sure the limits of ASTM E230 at a temperature are: by "summaries" that agree, "conflict", or "unconfirmed".
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T"}
///     Type.
/// limits : {"standard", "special"}
///     Which limits.
/// t_c : float or array-like
///     Temperature, °C.
///
/// Returns
/// -------
/// str or array of str
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError, OutOfRangeError
///
/// Examples
/// --------
/// >>> cc.tolerance.astm_e230_confirmation("K", "standard", 100.0)
/// 'summaries'
#[pyfunction]
#[pyo3(signature = (letter, limits, t_c))]
fn astm_e230_confirmation<'py>(letter: &str, limits: &str, t_c: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    let name = |t_c| core::astm_e230_confirmation(letter, limits, t_c).map(Confirmation::name);
    let py = t_c.py();
    match Numbers::read("t_c", t_c)? {
        Numbers::One(value) => Ok(name(value).or_raise(py)?.into_pyobject(py)?.into_any()),
        many @ Numbers::Many(_) => many.names(name),
    }
}

/// Half-width of the limits of ASTM E230 for thermocouples at a temperature, K.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T"}
///     Type.
/// limits : {"standard", "special"}
///     Which limits.
/// t_c : float or array-like
///     Temperature of the measuring junction, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError
///     For a letter, or for limits that the type does not have.
/// NotFiniteError
/// OutOfRangeError
///     Outside the range of the limits.
///
/// Source
/// ------
/// ASTM E230/E230M-12, table of tolerances, by public summaries.
///
/// Examples
/// --------
/// >>> cc.tolerance.astm_e230("K", "standard", [100.0, 1000.0])
/// array([2.2, 7.5])
#[pyfunction]
#[pyo3(signature = (letter, limits, t_c, *, invalid="raise"))]
fn astm_e230<'py>(letter: &str, limits: &str, t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    core::astm_e230_range(letter, limits).or_raise(t_c.py())?;
    elementwise_all(["t_c"], [t_c], invalid, |[x]| core::astm_e230(letter, limits, x))
}

/// Lowest and highest temperature of the limits of ASTM E230, °C.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T"}
///     Type.
/// limits : {"standard", "special"}
///     Which limits.
///
/// Returns
/// -------
/// (float, float)
///     °C.
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// As `astm_e230`.
///
/// Examples
/// --------
/// >>> cc.tolerance.astm_e230_range("T", "special")
/// (0.0, 370.0)
#[pyfunction]
#[pyo3(signature = (letter, limits))]
fn astm_e230_range(py: Python<'_>, letter: &str, limits: &str) -> PyResult<(f64, f64)> {
    let range = core::astm_e230_range(letter, limits).or_raise(py)?;
    Ok((range.low, range.high))
}

/// Half-width of a grade of ASTM E1137 for platinum thermometers at a temperature, K.
///
/// A: 0.13 + 0.0017 |t|; B: 0.25 + 0.0042 |t|.
///
/// Parameters
/// ----------
/// grade : {"A", "B"}
///     Grade.
/// t_c : float or array-like
///     Temperature, °C, -200 to 650.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// ASTM E1137/E1137M, table 2 (from memory).
///
/// Examples
/// --------
/// >>> round(cc.tolerance.astm_e1137("A", 100.0), 12)
/// 0.3
#[pyfunction]
#[pyo3(signature = (grade, t_c, *, invalid="raise"))]
fn astm_e1137<'py>(grade: &str, t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    core::astm_e1137(grade, 0.0).or_raise(t_c.py())?;
    elementwise_all(["t_c"], [t_c], invalid, |[x]| core::astm_e1137(grade, x))
}

/// Half-width of a class of GOST 6651 for copper or nickel thermometers at a temperature, K.
///
/// A: 0.15 + 0.002 |t| and B: 0.3 + 0.005 |t| (copper only); C: 0.6 + 0.01 |t|. Platinum is as in `iec60751`.
///
/// Parameters
/// ----------
/// material : {"copper", "nickel"}
///     Material.
/// class_name : {"A", "B", "C"}
///     Class.
/// t_c : float or array-like
///     Temperature, °C.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// GOST 6651-2009 (from memory).
///
/// Examples
/// --------
/// >>> cc.tolerance.gost6651("copper", "B", 100.0)
/// 0.8
#[pyfunction]
#[pyo3(signature = (material, class_name, t_c, *, invalid="raise"))]
fn gost6651<'py>(
    material: &str,
    class_name: &str,
    t_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    core::gost6651(material, class_name, 0.0).or_raise(t_c.py())?;
    elementwise_all(["t_c"], [t_c], invalid, |[x]| core::gost6651(material, class_name, x))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<custom::Tolerance>()?;
    for function in [
        wrap_pyfunction!(iec60751, module)?,
        wrap_pyfunction!(iec60751_range, module)?,
        wrap_pyfunction!(iec60584, module)?,
        wrap_pyfunction!(iec60584_range, module)?,
        wrap_pyfunction!(iec60584_confirmation, module)?,
        wrap_pyfunction!(astm_e230, module)?,
        wrap_pyfunction!(astm_e230_range, module)?,
        wrap_pyfunction!(astm_e230_confirmation, module)?,
        wrap_pyfunction!(astm_e1137, module)?,
        wrap_pyfunction!(gost6651, module)?,
    ] {
        add_function(module, "tolerance", &function)?;
    }
    Ok(())
}
