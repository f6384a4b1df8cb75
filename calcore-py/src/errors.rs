//! The error of the core as a tree of Python exceptions, one class a variant.

// The macro makes its types public in whatever module it stands.
#![allow(unreachable_pub)]

use calcore::error::Position;
use calcore::{Error, Problem};
use pyo3::create_exception;
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;

create_exception!(
    calcore,
    CalcoreError,
    PyValueError,
    "Whatever calcore refuses.\n\nThe attributes name what, where and why; `code` is the status that the C face returns. An attribute that the\nkind of error does not have is None."
);
create_exception!(calcore, NotFiniteError, CalcoreError, "A NaN or an infinity where a number is needed.");
create_exception!(
    calcore,
    OutOfRangeError,
    CalcoreError,
    "A value outside the interval in which the quantity is defined."
);
create_exception!(calcore, InvalidValueError, CalcoreError, "A value that the quantity cannot have.");
create_exception!(calcore, UnknownNameError, CalcoreError, "A name that is not one of the known ones.");
create_exception!(calcore, LengthMismatchError, CalcoreError, "Arrays that belong together differ in length.");
create_exception!(calcore, TooFewPointsError, CalcoreError, "Fewer points than the unknowns need.");
create_exception!(calcore, UndeterminedError, CalcoreError, "The points do not determine the unknowns.");
create_exception!(calcore, NotPositiveDefiniteError, CalcoreError, "A matrix that must be positive definite is not.");
create_exception!(calcore, NoConvergenceError, CalcoreError, "An iteration ended without an answer.");
create_exception!(calcore, ModelFailedError, CalcoreError, "A model failed.");
create_exception!(calcore, CancelledError, CalcoreError, "A long computation that was stopped from outside.");
create_exception!(calcore, DocumentError, CalcoreError, "A document that is not what the reader expects.");
create_exception!(calcore, InvalidRunError, CalcoreError, "A description that contradicts itself.");

/// Every attribute that an error of calcore may carry; None where a class has no such thing.
const ATTRIBUTES: [&str; 19] = [
    "code",
    "quantity",
    "value",
    "low",
    "high",
    "unit",
    "index",
    "count",
    "requirement",
    "name",
    "expected",
    "found",
    "needed",
    "parameter",
    "row",
    "steps",
    "last",
    "path",
    "problems",
];

/// The exception that says what the error of the core says.
#[cold]
pub(crate) fn exception(py: Python<'_>, error: &Error) -> PyErr {
    match filled(py, error) {
        Ok(exception) | Err(exception) => exception,
    }
}

/// The exception for an error at an element of an array, whatever kind of error it is.
#[cold]
pub(crate) fn exception_at(py: Python<'_>, error: Error, position: Position) -> PyErr {
    let error = error.at_index(position.index, position.count);
    let exception = exception(py, &error);
    let told = matches!(error, Error::NotFinite { .. } | Error::OutOfRange { .. });
    let added = if told { Ok(()) } else { set_position(exception.value(py), Some(position)) };
    added.err().unwrap_or(exception)
}

/// The exception for numbers of a description that are none, all of them with their paths.
#[cold]
pub(crate) fn not_finite_at(py: Python<'_>, numbers: &[(String, f64)]) -> PyErr {
    let problems: Vec<Problem> = numbers
        .iter()
        .map(|(path, value)| Problem { path: path.clone(), message: format!("must be a finite number, got {value}") })
        .collect();
    let lines: Vec<String> = problems.iter().map(|one| format!("{} {}", one.path, one.message)).collect();
    let exception = NotFiniteError::new_err(lines.join("; "));
    let value = numbers.first().map_or(f64::NAN, |(_, value)| *value);
    let code = Error::NotFinite { what: "", value, position: None }.code();
    let instance = exception.value(py);
    let path = problems.first().map(|problem| problem.path.clone());
    let filled = instance
        .setattr("code", code)
        .and_then(|()| instance.setattr("value", value))
        .and_then(|()| instance.setattr("path", path))
        .and_then(|()| instance.setattr("problems", pairs(&problems)));
    filled.err().unwrap_or(exception)
}

/// The error of an element of an array that is none.
pub(crate) fn without_position(error: Error) -> Error {
    match error {
        Error::NotFinite { what, value, .. } => Error::NotFinite { what, value, position: None },
        Error::OutOfRange { what, value, low, high, unit, .. } => {
            Error::OutOfRange { what, value, low, high, unit, position: None }
        }
        // Where a kind has no field for the position, it stands at the end of the text.
        Error::InvalidValue { what, value, unit, mut requirement } => {
            requirement.truncate(requirement.trim_end_matches(" (element 0)").len());
            Error::InvalidValue { what, value, unit, requirement }
        }
        other => other,
    }
}

/// Turns the error of a result of the core into its exception.
pub(crate) trait OrRaise<T> {
    fn or_raise(self, py: Python<'_>) -> PyResult<T>;
}

impl<T> OrRaise<T> for calcore::Result<T> {
    #[inline]
    fn or_raise(self, py: Python<'_>) -> PyResult<T> {
        self.map_err(|error| exception(py, &error))
    }
}

fn filled(py: Python<'_>, error: &Error) -> PyResult<PyErr> {
    let message = error.to_string();
    let exception = match error {
        Error::NotFinite { .. } => NotFiniteError::new_err(message),
        Error::OutOfRange { .. } => OutOfRangeError::new_err(message),
        Error::InvalidValue { .. } => InvalidValueError::new_err(message),
        Error::UnknownName { .. } => UnknownNameError::new_err(message),
        Error::LengthMismatch { .. } => LengthMismatchError::new_err(message),
        Error::TooFewPoints { .. } => TooFewPointsError::new_err(message),
        Error::Undetermined { .. } => UndeterminedError::new_err(message),
        Error::NotPositiveDefinite { .. } => NotPositiveDefiniteError::new_err(message),
        Error::NoConvergence { .. } => NoConvergenceError::new_err(message),
        Error::ModelFailed { .. } => ModelFailedError::new_err(message),
        Error::Cancelled { .. } => CancelledError::new_err(message),
        Error::Document { .. } => DocumentError::new_err(message),
        Error::InvalidRun { .. } => InvalidRunError::new_err(message),
        _ => CalcoreError::new_err(message),
    };
    let instance = exception.value(py);
    instance.setattr("code", error.code())?;
    match error {
        Error::NotFinite { what, value, position } => {
            instance.setattr("quantity", what)?;
            instance.setattr("value", value)?;
            set_position(instance, *position)?;
        }
        Error::OutOfRange { what, value, low, high, unit, position } => {
            instance.setattr("quantity", what)?;
            instance.setattr("value", value)?;
            instance.setattr("low", low)?;
            instance.setattr("high", high)?;
            instance.setattr("unit", unit)?;
            set_position(instance, *position)?;
        }
        Error::InvalidValue { what, value, unit, requirement } => {
            instance.setattr("quantity", what)?;
            instance.setattr("value", value)?;
            instance.setattr("unit", unit)?;
            instance.setattr("requirement", requirement)?;
            if let Some(index) = index_in(requirement) {
                instance.setattr("index", index)?;
            }
        }
        Error::UnknownName { what, name, expected } => {
            instance.setattr("quantity", what)?;
            instance.setattr("name", name)?;
            instance.setattr("expected", expected)?;
        }
        Error::LengthMismatch { what, expected, found } => {
            instance.setattr("quantity", what)?;
            instance.setattr("expected", expected)?;
            instance.setattr("found", found)?;
        }
        Error::TooFewPoints { what, needed, found, hint } => {
            instance.setattr("quantity", what)?;
            instance.setattr("needed", needed)?;
            instance.setattr("found", found)?;
            instance.setattr("requirement", hint)?;
        }
        Error::Undetermined { what, parameter, hint } => {
            instance.setattr("quantity", what)?;
            instance.setattr("parameter", parameter)?;
            instance.setattr("requirement", hint)?;
        }
        Error::NotPositiveDefinite { what, row } => {
            instance.setattr("quantity", what)?;
            instance.setattr("row", row)?;
        }
        Error::NoConvergence { what, steps, last, unit } => {
            instance.setattr("quantity", what)?;
            instance.setattr("steps", steps)?;
            instance.setattr("last", last)?;
            instance.setattr("unit", unit)?;
        }
        Error::Cancelled { what, done, total } => {
            instance.setattr("quantity", what)?;
            instance.setattr("found", done)?;
            instance.setattr("needed", total)?;
        }
        Error::Document { problem } => {
            instance.setattr("path", &problem.path)?;
            instance.setattr("problems", pairs(std::slice::from_ref(problem)))?;
        }
        Error::InvalidRun { problems } => {
            instance.setattr("path", problems.first().map(|problem| problem.path.clone()))?;
            instance.setattr("problems", pairs(problems))?;
        }
        _ => {}
    }
    Ok(exception)
}

/// The element that a text ends with, where a kind of error has no field for it.
fn index_in(text: &str) -> Option<usize> {
    text.strip_suffix(')')?.rsplit_once(" (element ")?.1.parse().ok()
}

fn set_position(instance: &Bound<'_, PyAny>, position: Option<Position>) -> PyResult<()> {
    if let Some(Position { index, count }) = position {
        instance.setattr("index", index)?;
        instance.setattr("count", count)?;
    }
    Ok(())
}

/// Problems as Python sees them: (path, message).
fn pairs(problems: &[Problem]) -> Vec<(String, String)> {
    problems.iter().map(|problem| (problem.path.clone(), problem.message.clone())).collect()
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    let py = module.py();
    let base = py.get_type::<CalcoreError>();
    for name in ATTRIBUTES {
        base.setattr(name, py.None())?;
    }
    module.add("CalcoreError", base)?;
    module.add("NotFiniteError", py.get_type::<NotFiniteError>())?;
    module.add("OutOfRangeError", py.get_type::<OutOfRangeError>())?;
    module.add("InvalidValueError", py.get_type::<InvalidValueError>())?;
    module.add("UnknownNameError", py.get_type::<UnknownNameError>())?;
    module.add("LengthMismatchError", py.get_type::<LengthMismatchError>())?;
    module.add("TooFewPointsError", py.get_type::<TooFewPointsError>())?;
    module.add("UndeterminedError", py.get_type::<UndeterminedError>())?;
    module.add("NotPositiveDefiniteError", py.get_type::<NotPositiveDefiniteError>())?;
    module.add("NoConvergenceError", py.get_type::<NoConvergenceError>())?;
    module.add("ModelFailedError", py.get_type::<ModelFailedError>())?;
    module.add("CancelledError", py.get_type::<CancelledError>())?;
    module.add("DocumentError", py.get_type::<DocumentError>())?;
    module.add("InvalidRunError", py.get_type::<InvalidRunError>())
}
