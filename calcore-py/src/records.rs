//! Functions of several quantities: numbers in, one result out; arrays in, brought to a common shape, an array out.

use crate::arrays::{Beside, Numbers, Plain, empty_like, slice, slice_mut, unlocked};
use crate::errors::{OrRaise, exception_at};
use calcore::curves::Invalid;
use calcore::error::Position;
use calcore::{Error, Result};
use numpy::{PyArrayDyn, PyUntypedArrayMethods};
use pyo3::BoundObject;
use pyo3::prelude::*;
use pyo3::types::{PyFloat, PyList};

/// Arguments of which at least one is an array; all arrays have one shape.
struct Common<'py, const N: usize> {
    numbers: [Numbers<'py>; N],
    shape: Plain<'py>,
}

enum Arguments<'py, const N: usize> {
    Ones([f64; N]),
    Arrays(Common<'py, N>),
}

impl<'py, const N: usize> Arguments<'py, N> {
    fn read(py: Python<'py>, names: [&str; N], arguments: [&Bound<'py, PyAny>; N]) -> PyResult<Self> {
        let mut numbers = [const { Numbers::One(0.0) }; N];
        for k in 0..N {
            numbers[k] = Numbers::read(names[k], arguments[k])?;
        }
        let arrays: Vec<Plain<'py>> = numbers
            .iter()
            .filter_map(|number| match number {
                Numbers::Many(array) => Some(array.clone()),
                Numbers::One(_) => None,
            })
            .collect();
        let Some(first) = arrays.first() else {
            let value = |number: &Numbers<'_>| if let Numbers::One(value) = number { *value } else { f64::NAN };
            return Ok(Self::Ones(std::array::from_fn(|k| value(&numbers[k]))));
        };
        if arrays.iter().any(|array| array.shape() != first.shape()) {
            let list = PyList::new(py, &arrays)?;
            let same = py.import("numpy")?.getattr("broadcast_arrays")?.call1(list.to_tuple())?;
            let mut broadcast = same.try_iter()?;
            for number in &mut numbers {
                if let Numbers::Many(array) = number
                    && let Some(next) = broadcast.next()
                {
                    *array = crate::arrays::as_plain(next?.cast()?)?;
                }
            }
        }
        let shape = numbers.iter().find_map(|number| match number {
            Numbers::Many(array) => Some(array.clone()),
            Numbers::One(_) => None,
        });
        let shape = shape.unwrap_or_else(|| first.clone());
        Ok(Self::Arrays(Common { numbers, shape }))
    }
}

impl<const N: usize> Common<'_, N> {
    fn columns(&self) -> [Beside<'_>; N] {
        std::array::from_fn(|k| match &self.numbers[k] {
            Numbers::One(value) => Beside::One(*value),
            // SAFETY: `Numbers::read` and `as_plain` give arrays that are aligned, in native byte order and contiguous;
            // nothing here writes to them, and that no other thread does is what NumPy asks of its users too.
            Numbers::Many(array) => Beside::Each(unsafe { slice(array) }),
        })
    }
}

/// Whether an error of one element gives NaN in its place.
fn gives_nan(invalid: Invalid, error: &Error) -> bool {
    invalid == Invalid::Nan && matches!(error, Error::NotFinite { .. } | Error::OutOfRange { .. })
}

/// Fills rows of `M` numbers, or tells the first refusal and how many there are.
fn fill<const N: usize, const M: usize>(
    columns: [Beside<'_>; N],
    output: &mut [f64],
    invalid: Invalid,
    function: impl Fn([f64; N]) -> Result<[f64; M]>,
) -> std::result::Result<(), (Error, Position)> {
    let mut refused: Option<(Error, Position)> = None;
    for (i, row) in output.chunks_exact_mut(M).enumerate() {
        let arguments = columns.map(|column| match column {
            Beside::One(value) => value,
            Beside::Each(values) => values[i],
        });
        match (function(arguments), &mut refused) {
            (Ok(values), _) => row.copy_from_slice(&values),
            (Err(error), _) if gives_nan(invalid, &error) => row.fill(f64::NAN),
            (Err(_), Some((_, position))) => position.count += 1,
            (Err(error), none) => *none = Some((error, Position { index: i, count: 1 })),
        }
    }
    refused.map_or(Ok(()), Err)
}

/// One value or NaN.
fn one<const M: usize>(py: Python<'_>, invalid: Invalid, values: Result<[f64; M]>) -> PyResult<[f64; M]> {
    match values {
        Err(error) if gives_nan(invalid, &error) => Ok([f64::NAN; M]),
        other => other.or_raise(py),
    }
}

/// Applies a function of several quantities that gives one: a float for numbers, an array of the common shape for arrays.
pub(crate) fn elementwise_all<'py, const N: usize>(
    names: [&str; N],
    arguments: [&Bound<'py, PyAny>; N],
    invalid: &str,
    function: impl Fn([f64; N]) -> Result<f64> + Sync,
) -> PyResult<Bound<'py, PyAny>> {
    let py = arguments[0].py();
    let invalid = Invalid::from_name(invalid).or_raise(py)?;
    let function = |arguments| function(arguments).map(|value| [value]);
    match Arguments::read(py, names, arguments)? {
        Arguments::Ones(values) => Ok(PyFloat::new(py, one(py, invalid, function(values))?[0]).into_any()),
        Arguments::Arrays(common) => {
            let output = empty_like(&common.shape);
            let columns = common.columns();
            // SAFETY: just made, contiguous, and known to nobody else yet; `fill` writes every element before anybody
            // reads it, and every bit pattern is a valid f64.
            let rows = unsafe { slice_mut(&output) };
            unlocked(py, rows.len(), || fill(columns, rows, invalid, function))
                .map_err(|(error, position)| exception_at(py, error, position))?;
            Ok(output.into_any())
        }
    }
}

/// Applies a function of several quantities that gives a result of `M` named numbers: an object for numbers, a record
/// array of the common shape, with the same names, for arrays.
pub(crate) fn records<'py, const N: usize, const M: usize, W: IntoPyObject<'py, Error: Into<PyErr>>>(
    (names, arguments): ([&str; N], [&Bound<'py, PyAny>; N]),
    invalid: &str,
    fields: [&str; M],
    function: impl Fn([f64; N]) -> Result<[f64; M]> + Sync,
    object: impl FnOnce([f64; M]) -> W,
) -> PyResult<Bound<'py, PyAny>> {
    let py = arguments[0].py();
    let invalid = Invalid::from_name(invalid).or_raise(py)?;
    match Arguments::read(py, names, arguments)? {
        Arguments::Ones(values) => {
            let made = object(one(py, invalid, function(values))?).into_pyobject(py).map_err(Into::into)?;
            Ok(made.into_any().into_bound())
        }
        Arguments::Arrays(common) => {
            let mut shape = common.shape.shape().to_vec();
            shape.push(M);
            let output: Bound<'py, PyArrayDyn<f64>> = PyArrayDyn::zeros(py, shape, false);
            let columns = common.columns();
            // SAFETY: just made, contiguous, and known to nobody else yet.
            let rows = unsafe { slice_mut(&output) };
            unlocked(py, rows.len(), || fill(columns, rows, invalid, &function))
                .map_err(|(error, position)| exception_at(py, error, position))?;
            let numpy = py.import("numpy")?;
            let dtype = numpy.getattr("dtype")?.call1((fields.map(|name| (name, "f8")).to_vec(),))?;
            // The last axis, of M numbers, becomes one record.
            let made = output.call_method1("view", (dtype,))?;
            let made = made.call_method1("reshape", (common.shape.shape().to_vec().into_pyobject(py)?,))?;
            made.call_method1("view", (numpy.getattr("recarray")?,))
        }
    }
}
