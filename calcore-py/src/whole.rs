//! Counts, degrees and numbers of classes as arguments: `#[pyo3(from_py_with = whole_number)]`.

use pyo3::conversion::FromPyObjectOwned;
use pyo3::exceptions::{PyOverflowError, PyValueError};
use pyo3::prelude::*;

/// The types that stand for whole numbers in the core.
pub(crate) trait Limits: Sized {
    /// Smallest and largest value.
    const LIMITS: (i128, i128);
}

macro_rules! limits {
    ($($type:ty)*) => {
        $(impl Limits for $type {
            const LIMITS: (i128, i128) = (<$type>::MIN as i128, <$type>::MAX as i128);
        })*
    };
}
limits!(u8 u32 u64 usize);

/// A whole number; one that the core's type cannot hold is refused with its value and the limits.
///
/// PyO3 adds the name of the argument as a note, from Python 3.11.
pub(crate) fn whole_number<'py, T: Limits + FromPyObjectOwned<'py>>(object: &Bound<'py, PyAny>) -> PyResult<T> {
    object.extract::<T>().map_err(|error| {
        let error: PyErr = error.into();
        if !error.is_instance_of::<PyOverflowError>(object.py()) {
            return error;
        }
        let (low, high) = T::LIMITS;
        PyValueError::new_err(format!("{object} is not a whole number from {low} to {high}"))
    })
}

/// The same where the argument can be left out.
pub(crate) fn whole_number_if_any<'py, T: Limits + FromPyObjectOwned<'py>>(
    object: &Bound<'py, PyAny>,
) -> PyResult<Option<T>> {
    if object.is_none() { Ok(None) } else { whole_number(object).map(Some) }
}
