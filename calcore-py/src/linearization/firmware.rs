//! Tables and polynomials for firmware.

use crate::arrays::elementwise;
use crate::curves::any_curve;
use crate::errors::OrRaise;
use crate::objects::{Series, add_function, html_table, shown};
use crate::whole::{whole_number, whole_number_if_any};
use calcore::linearization as core;
use calcore::linearization::Export;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// A fixed-point format as it is given: bits, bits behind the point, whether signed.
type Format = (u32, i32, bool);

fn format(py: Python<'_>, given: Format) -> PyResult<core::FixedPoint> {
    core::FixedPoint::new(given.0, given.1, given.2).or_raise(py)
}

fn unknown<T>(py: Python<'_>, what: &'static str, name: &str, expected: &str) -> PyResult<T> {
    Err(calcore::Error::UnknownName { what, name: name.into(), expected: expected.into() }).or_raise(py)
}

/// What was asked for, by which it is made again.
#[derive(Clone, PartialEq)]
struct Asked {
    /// Of the function that makes it.
    function: &'static str,
    keywords: Vec<(&'static str, Option<Answer>)>,
}

#[derive(Clone, PartialEq)]
enum Answer {
    Text(String),
    Number(f64),
    Count(usize),
    Format(Format),
}

impl Asked {
    fn remake<'py>(
        &self,
        py: Python<'py>,
        curve: &Py<PyAny>,
        low_c: f64,
        high_c: f64,
    ) -> PyResult<Bound<'py, PyTuple>> {
        let options = PyDict::new(py);
        for (name, answer) in &self.keywords {
            match answer {
                None => {}
                Some(Answer::Text(text)) => options.set_item(name, text)?,
                Some(Answer::Number(number)) => options.set_item(name, number)?,
                Some(Answer::Count(count)) => options.set_item(name, count)?,
                Some(Answer::Format(format)) => options.set_item(name, format)?,
            }
        }
        let function = py.import("calcore.linearization")?.getattr(self.function)?;
        let maker = py.import("functools")?.getattr("partial")?.call((function,), Some(&options))?;
        (maker, (curve.clone_ref(py), low_c, high_c)).into_pyobject(py)
    }
}

macro_rules! exported {
    ($name:ident, $core:ty, $($more:tt)*) => {
        #[pymethods]
        impl $name {
            /// Proven largest absolute error over the whole range, rounding in the firmware included.
            #[getter]
            fn largest_error(&self) -> f64 {
                self.found.largest_error
            }

            /// Unit of the error: "K", or that of the signal.
            #[getter]
            fn error_unit(&self) -> &'static str {
                self.found.error_unit
            }

            /// Lower end of the range, °C.
            #[getter]
            fn low_c(&self) -> f64 {
                self.found.low_c
            }

            /// Upper end of the range, °C.
            #[getter]
            fn high_c(&self) -> f64 {
                self.found.high_c
            }

            /// How the error was proven: "curvature" (by enclosures of the derivatives) or "every_reading".
            #[getter]
            fn proof(&self) -> &'static str {
                match self.found.proof {
                    core::Proof::Curvature => "curvature",
                    core::Proof::EveryReading => "every_reading",
                }
            }

            /// What the firmware finds for an argument.
            ///
            /// Parameters
            /// ----------
            /// x : float or array-like
            ///     Argument: the signal, or the temperature, °C.
            ///
            /// Returns
            /// -------
            /// float or array
            ///
            /// Raises
            /// ------
            /// NotFiniteError, OutOfRangeError
            ///
            /// Examples
            /// --------
            /// >>> k = cc.Thermocouple("K")
            /// >>> table = cc.linearization.lookup_table(k, 0.0, 1000.0, segments=16)
            /// >>> bool(abs(table.evaluate(k.emf(500.0)) - 500.0) <= table.largest_error)
            /// True
            fn evaluate<'py>(&self, x: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                elementwise("x", x, |x| self.found.evaluate(x))
            }

            /// The integer that the firmware finds for the integer of a reading; None for floating-point numbers.
            ///
            /// Parameters
            /// ----------
            /// code : int
            ///     Integer of the reading.
            ///
            /// Returns
            /// -------
            /// int or None
            ///
            /// Examples
            /// --------
            /// >>> k = cc.Thermocouple("K")
            /// >>> cc.linearization.lookup_table(k, 0.0, 1000.0, segments=16).evaluate_code(100) is None
            /// True
            fn evaluate_code(&self, code: i64) -> Option<i64> {
                self.found.evaluate_code(code)
            }

            /// Header and source in plain C99, that need no mathematics library.
            ///
            /// Parameters
            /// ----------
            /// name : str
            ///     Name of the function and of both files: lower-case letters, digits and underscores.
            ///
            /// Returns
            /// -------
            /// tuple of str
            ///     What belongs into NAME.h and into NAME.c.
            ///
            /// Raises
            /// ------
            /// UnknownNameError
            ///
            /// Examples
            /// --------
            /// >>> k = cc.Thermocouple("K")
            /// >>> header, source = cc.linearization.lookup_table(k, 0.0, 1000.0, segments=4).to_c99("type_k")
            /// >>> "double type_k(double x);" in header
            /// True
            fn to_c99(&self, py: Python<'_>, name: &str) -> PyResult<(String, String)> {
                let c = Export::from(&self.found).c99(name).or_raise(py)?;
                Ok((c.header, c.source))
            }

            /// Rows of numbers with a heading.
            ///
            /// Returns
            /// -------
            /// str
            ///
            /// Examples
            /// --------
            /// >>> pt100 = cc.CallendarVanDusen.iec60751()
            /// >>> cc.linearization.lookup_table(pt100, 0.0, 100.0, segments=4).to_csv().splitlines()[0]
            /// 'argument,value'
            fn to_csv(&self) -> String {
                Export::from(&self.found).csv()
            }

            /// Everything that is known of it, as JSON.
            ///
            /// Returns
            /// -------
            /// str
            ///
            /// Examples
            /// --------
            /// >>> pt100 = cc.CallendarVanDusen.iec60751()
            /// >>> '"proof"' in cc.linearization.lookup_table(pt100, 0.0, 100.0, segments=4).to_json()
            /// True
            fn to_json(&self, py: Python<'_>) -> PyResult<String> {
                Export::from(&self.found).json().or_raise(py)
            }

            fn __copy__(slf: Py<Self>) -> Py<Self> {
                slf
            }

            fn __deepcopy__(slf: Py<Self>, _memo: &Bound<'_, PyAny>) -> Py<Self> {
                slf
            }

            fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
                other.cast::<Self>().is_ok_and(|other| other.get().found == self.found)
            }

            fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
                self.asked.remake(py, &self.curve, self.found.low_c, self.found.high_c)
            }

            $($more)*
        }
    };
}

/// A look-up table with a proven largest error.
///
/// Examples
/// --------
/// >>> table = cc.linearization.lookup_table(cc.Thermocouple("K"), 0.0, 1000.0, segments=16)
/// >>> table.segments, table.largest_error < 0.063
/// (16, True)
#[pyclass(frozen, module = "calcore.linearization")]
pub(crate) struct LookupTable {
    found: core::LookupTable,
    curve: Py<PyAny>,
    asked: Asked,
}

exported! {
    LookupTable, core::LookupTable,

    /// Number of segments.
    #[getter]
    fn segments(&self) -> usize {
        self.found.segments()
    }

    /// Arguments of the nodes, ascending, exactly as stored.
    #[getter]
    fn arguments(&self) -> Series {
        Series(self.found.arguments.clone())
    }

    /// Values at the nodes, exactly as stored.
    #[getter]
    fn values(&self) -> Series {
        Series(self.found.values.clone())
    }

    fn __repr__(&self) -> String {
        format!(
            "LookupTable({} segments, {} to {} °C, largest error {} {})",
            self.found.segments(), self.found.low_c, self.found.high_c, self.found.largest_error, self.found.error_unit
        )
    }

    fn _repr_html_(&self) -> String {
        let rows: Vec<Vec<String>> =
            self.found.arguments.iter().zip(&self.found.values).map(|(x, y)| vec![shown(*x), shown(*y)]).collect();
        let caption =
            format!("Table, largest error {} {}", shown(self.found.largest_error), self.found.error_unit);
        html_table(&caption, &["argument", "value"], &rows)
    }
}

/// A minimax polynomial or quotient with a proven largest error.
///
/// Examples
/// --------
/// >>> cubic = cc.linearization.minimax(cc.CallendarVanDusen.iec60751(), 0.0, 400.0, degree=3)
/// >>> len(cubic.numerator), cubic.largest_error < 0.05
/// (4, True)
#[pyclass(frozen, module = "calcore.linearization")]
pub(crate) struct Minimax {
    found: core::Minimax,
    curve: Py<PyAny>,
    asked: Asked,
}

exported! {
    Minimax, core::Minimax,

    /// Argument of z = 0.
    #[getter]
    fn centre(&self) -> f64 {
        self.found.centre
    }

    /// Change of z for a unit of the argument.
    #[getter]
    fn scale(&self) -> f64 {
        self.found.scale
    }

    /// Coefficients of 1, z, z², … with z = (x − centre) scale, exactly as stored.
    #[getter]
    fn numerator(&self) -> Series {
        Series(self.found.numerator.clone())
    }

    /// The same of the denominator; empty for a polynomial.
    #[getter]
    fn denominator(&self) -> Series {
        Series(self.found.denominator.clone())
    }

    /// Extremes of the error before coefficients are rounded: argument and error, of alternating sign.
    #[getter]
    fn extremes(&self) -> Vec<(f64, f64)> {
        self.found.extremes.clone()
    }

    fn __repr__(&self) -> String {
        format!(
            "Minimax({} coefficients over {}, largest error {} {})",
            self.found.numerator.len(), self.found.denominator.len().max(1), self.found.largest_error,
            self.found.error_unit
        )
    }

    fn _repr_html_(&self) -> String {
        let rows: Vec<Vec<String>> =
            self.found.numerator.iter().enumerate().map(|(i, c)| vec![i.to_string(), shown(*c)]).collect();
        let caption =
            format!("Minimax, largest error {} {}", shown(self.found.largest_error), self.found.error_unit);
        html_table(&caption, &["power", "numerator"], &rows)
    }
}

fn on_curve<T>(
    curve: &Bound<'_, PyAny>,
    ask: impl FnOnce(&dyn calcore::curves::SensorCurve) -> calcore::Result<T>,
) -> PyResult<T> {
    any_curve(curve, ask)
        .ok_or_else(|| PyTypeError::new_err("curve must be a sensor curve of calcore, such as CallendarVanDusen"))?
        .or_raise(curve.py())
}

/// The best look-up table of a number of segments, or the smallest one for an error, with a proven largest error.
///
/// Parameters
/// ----------
/// curve : curve
///     The curve.
/// low_c, high_c : float
///     Range, °C.
/// segments : int, optional
///     That many segments.
/// max_error_k : float, optional
///     As few segments as keep the proven error within this (in the unit of the signal towards the signal), instead of
///     `segments`.
/// direction : {"signal_to_temperature", "temperature_to_signal"}
///     Which way the curve is read.
/// shape : {"linear", "linear_on_curve", "quadratic", "cubic_hermite"}
///     What a segment is.
/// spacing : {"optimal", "equal_argument"}
///     Where the nodes stand.
/// entries : {"f64", "f32", "fixed"}
///     How numbers are stored.
/// argument, value : tuple of (int, int, bool), optional
///     Formats of fixed-point entries: bits, bits behind the point, whether signed.
/// most_segments : int
///     Most segments that `max_error_k` may use.
///
/// Returns
/// -------
/// LookupTable
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError, UndeterminedError, UnknownNameError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> table = cc.linearization.lookup_table(pt100, 0.0, 400.0, max_error_k=0.05)
/// >>> table.largest_error <= 0.05
/// True
#[pyfunction]
#[pyo3(signature = (curve, low_c, high_c, *, segments=None, max_error_k=None, direction="signal_to_temperature",
                    shape="linear", spacing="optimal", entries="f64", argument=None, value=None, most_segments=256))]
#[allow(clippy::too_many_arguments)]
fn lookup_table(
    py: Python<'_>,
    curve: &Bound<'_, PyAny>,
    low_c: f64,
    high_c: f64,
    #[pyo3(from_py_with = whole_number_if_any)] segments: Option<usize>,
    max_error_k: Option<f64>,
    direction: &str,
    shape: &str,
    spacing: &str,
    entries: &str,
    argument: Option<Format>,
    value: Option<Format>,
    #[pyo3(from_py_with = whole_number)] most_segments: usize,
) -> PyResult<LookupTable> {
    let goal = match (segments, max_error_k) {
        (Some(count), None) => core::Goal::Segments(count),
        (None, Some(error)) => core::Goal::LargestError(error),
        _ => return Err(PyTypeError::new_err("give either segments or max_error_k")),
    };
    let formats =
        |names: &str| PyTypeError::new_err(format!("{names} are needed for fixed-point numbers, and only for these"));
    let options = core::TableOptions {
        direction: core::Direction::from_name(direction).or_raise(py)?,
        shape: match shape {
            "linear" => core::Shape::Linear,
            "linear_on_curve" => core::Shape::LinearOnCurve,
            "quadratic" => core::Shape::Quadratic,
            "cubic_hermite" => core::Shape::CubicHermite,
            _ => {
                return unknown(
                    py,
                    "shape",
                    shape,
                    "\"linear\", \"linear_on_curve\", \"quadratic\" or \"cubic_hermite\"",
                );
            }
        },
        spacing: match spacing {
            "optimal" => core::Spacing::Optimal,
            "equal_argument" => core::Spacing::EqualArgument,
            _ => return unknown(py, "spacing", spacing, "\"optimal\" or \"equal_argument\""),
        },
        entries: match (entries, argument, value) {
            ("f64", None, None) => core::Entries::F64,
            ("f32", None, None) => core::Entries::F32,
            ("fixed", Some(argument), Some(value)) => {
                core::Entries::Fixed { argument: format(py, argument)?, value: format(py, value)? }
            }
            ("f64" | "f32" | "fixed", ..) => return Err(formats("argument and value")),
            _ => return unknown(py, "entries", entries, "\"f64\", \"f32\" or \"fixed\""),
        },
        most_segments,
    };
    let found = on_curve(curve, |curve| core::lookup_table(curve, low_c, high_c, goal, &options))?;
    let keywords = vec![
        ("segments", segments.map(Answer::Count)),
        ("max_error_k", max_error_k.map(Answer::Number)),
        ("direction", Some(Answer::Text(direction.into()))),
        ("shape", Some(Answer::Text(shape.into()))),
        ("spacing", Some(Answer::Text(spacing.into()))),
        ("entries", Some(Answer::Text(entries.into()))),
        ("argument", argument.map(Answer::Format)),
        ("value", value.map(Answer::Format)),
        ("most_segments", Some(Answer::Count(most_segments))),
    ];
    Ok(LookupTable { found, curve: curve.clone().unbind(), asked: Asked { function: "lookup_table", keywords } })
}

/// The minimax polynomial or quotient of a curve, with a proven largest error.
///
/// Parameters
/// ----------
/// curve : curve
///     The curve.
/// low_c, high_c : float
///     Range, °C.
/// degree : int, optional
///     Degree of the polynomial, or of the numerator.
/// denominator_degree : int
///     Degree of the denominator; 0 makes a polynomial.
/// max_error_k : float, optional
///     The lowest degree that keeps the proven error within this (in the unit of the signal towards the signal), instead of
///     `degree`.
/// direction : {"signal_to_temperature", "temperature_to_signal"}
///     Which way the curve is read.
/// coefficients : {"f64", "f32", "fixed"}
///     How numbers are stored.
/// argument, value, coefficient : tuple of (int, int, bool), optional
///     Formats of fixed-point coefficients: bits, bits behind the point, whether signed.
///
/// Returns
/// -------
/// Minimax
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError, UndeterminedError, NoConvergenceError, UnknownNameError
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> found = cc.linearization.minimax(pt100, 0.0, 400.0, degree=4)
/// >>> bool(abs(found.evaluate(175.856) - 200.0) < found.largest_error + 0.001)
/// True
#[pyfunction]
#[pyo3(signature = (curve, low_c, high_c, *, degree=None, denominator_degree=0, max_error_k=None,
                    direction="signal_to_temperature", coefficients="f64", argument=None, value=None, coefficient=None))]
#[allow(clippy::too_many_arguments)]
fn minimax(
    py: Python<'_>,
    curve: &Bound<'_, PyAny>,
    low_c: f64,
    high_c: f64,
    #[pyo3(from_py_with = whole_number_if_any)] degree: Option<usize>,
    #[pyo3(from_py_with = whole_number)] denominator_degree: usize,
    max_error_k: Option<f64>,
    direction: &str,
    coefficients: &str,
    argument: Option<Format>,
    value: Option<Format>,
    coefficient: Option<Format>,
) -> PyResult<Minimax> {
    let goal = match (degree, max_error_k) {
        (Some(numerator), None) => core::MinimaxGoal::Degrees { numerator, denominator: denominator_degree },
        (None, Some(error)) => core::MinimaxGoal::LargestError(error),
        _ => return Err(PyTypeError::new_err("give either degree or max_error_k")),
    };
    let options = core::MinimaxOptions {
        direction: core::Direction::from_name(direction).or_raise(py)?,
        coefficients: match (coefficients, argument, value, coefficient) {
            ("f64", None, None, None) => core::Coefficients::F64,
            ("f32", None, None, None) => core::Coefficients::F32,
            ("fixed", Some(argument), Some(value), Some(coefficient)) => core::Coefficients::Fixed {
                argument: format(py, argument)?,
                value: format(py, value)?,
                coefficient: format(py, coefficient)?,
            },
            ("f64" | "f32" | "fixed", ..) => {
                let needed = "argument, value and coefficient are needed for fixed-point numbers, and only for these";
                return Err(PyTypeError::new_err(needed));
            }
            _ => return unknown(py, "coefficients", coefficients, "\"f64\", \"f32\" or \"fixed\""),
        },
    };
    let found = on_curve(curve, |curve| core::minimax(curve, low_c, high_c, goal, &options))?;
    let keywords = vec![
        ("degree", degree.map(Answer::Count)),
        ("denominator_degree", Some(Answer::Count(denominator_degree))),
        ("max_error_k", max_error_k.map(Answer::Number)),
        ("direction", Some(Answer::Text(direction.into()))),
        ("coefficients", Some(Answer::Text(coefficients.into()))),
        ("argument", argument.map(Answer::Format)),
        ("value", value.map(Answer::Format)),
        ("coefficient", coefficient.map(Answer::Format)),
    ];
    Ok(Minimax { found, curve: curve.clone().unbind(), asked: Asked { function: "minimax", keywords } })
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<LookupTable>()?;
    module.add_class::<Minimax>()?;
    add_function(module, "linearization", &wrap_pyfunction!(lookup_table, module)?)?;
    add_function(module, "linearization", &wrap_pyfunction!(minimax, module)?)
}
