//! The border for numbers: a number in gives a float, an array-like gives a float64 array of the same shape.

use crate::errors::{OrRaise, exception, exception_at};
use calcore::error::Position;
use numpy::npyffi::{NPY_ARRAY_ALIGNED, NPY_ARRAY_C_CONTIGUOUS, NPY_ARRAY_FORCECAST, PY_ARRAY_API};
use numpy::{
    Element, PyArray1, PyArrayDescrMethods, PyArrayDyn, PyArrayMethods, PyUntypedArray, PyUntypedArrayMethods,
};
use pyo3::exceptions::{PyTypeError, PyValueError};
use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;
use pyo3::types::{PyBool, PyComplex, PyFloat, PyInt, PyString, PyTuple, PyType};
use std::ptr;

/// From how many elements on the interpreter lock is released: below, releasing it costs more than it gives.
const RELEASE_LOCK_FROM: usize = 4096;

/// An array of float64 whose elements lie side by side in memory, in C order.
pub(crate) type Plain<'py> = Bound<'py, PyArrayDyn<f64>>;

/// A number, or an array with its elements side by side in memory (C order).
pub(crate) enum Numbers<'py> {
    One(f64),
    Many(Plain<'py>),
}

/// Applies one of two forms of a function of the core: to a number, or to a slice and its output of the same length.
#[inline]
pub(crate) fn apply<'py>(
    name: &str,
    argument: &Bound<'py, PyAny>,
    out: Option<&Bound<'py, PyAny>>,
    one: impl FnOnce(f64) -> calcore::Result<f64>,
    many: impl FnOnce(&[f64], &mut [f64]) -> calcore::Result<()> + Send,
) -> PyResult<Bound<'py, PyAny>> {
    let py = argument.py();
    match Numbers::read(name, argument)? {
        Numbers::One(value) if out.is_none() => Ok(PyFloat::new(py, one(value).or_raise(py)?).into_any()),
        Numbers::One(_) => Err(PyTypeError::new_err(OUT_IS_FOR_ARRAYS)),
        Numbers::Many(input) => {
            let output = output(&input, out)?;
            let input = apart(input, &output)?;
            // SAFETY: `read` gave an array that is aligned, in native byte order and contiguous. Nothing here writes
            // to it; that no other thread does while it is read is what NumPy asks of its users too.
            let x = unsafe { slice(&input) };
            // SAFETY: contiguous and apart from the input. It was just made and is known to nobody else yet (its elements
            // are not initialised; the core writes every one of them before anybody reads them, and every bit pattern is
            // a valid f64), or it is the caller's, whose other threads must leave it alone as with NumPy's own `out`.
            let y = unsafe { slice_mut(&output) };
            unlocked(py, x.len(), || many(x, y)).or_raise(py)?;
            Ok(output.into_any())
        }
    }
}

/// Applies a function of the core for one value to a number, or to every element of an array.
pub(crate) fn elementwise<'py>(
    name: &str,
    argument: &Bound<'py, PyAny>,
    function: impl Fn(f64) -> calcore::Result<f64> + Sync,
) -> PyResult<Bound<'py, PyAny>> {
    let py = argument.py();
    match Numbers::read(name, argument)? {
        Numbers::One(value) => Ok(PyFloat::new(py, function(value).or_raise(py)?).into_any()),
        Numbers::Many(input) => Ok(each(&input, function)?.into_any()),
    }
}

/// Applies a function of the core for two values to numbers, or to arrays brought to a common shape.
pub(crate) fn elementwise2<'py>(
    names: [&str; 2],
    arguments: [&Bound<'py, PyAny>; 2],
    function: impl Fn(f64, f64) -> calcore::Result<f64> + Sync,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_of(names, arguments, |[a, b]| function(a, b))
}

/// Applies a function of the core for several values to numbers, or to arrays brought to a common shape.
pub(crate) fn elementwise_of<'py, const N: usize>(
    names: [&str; N],
    arguments: [&Bound<'py, PyAny>; N],
    function: impl Fn([f64; N]) -> calcore::Result<f64> + Sync,
) -> PyResult<Bound<'py, PyAny>> {
    let py = arguments[0].py();
    let columns = Columns::read(names, arguments)?;
    let views = columns.views();
    let Some(array) = columns.array() else {
        return Ok(PyFloat::new(py, function(views.map(|view| view.at(0))).or_raise(py)?).into_any());
    };
    let output = empty_like(array);
    // SAFETY: as in `apply`.
    let y = unsafe { slice_mut(&output) };
    let outcome = unlocked(py, y.len(), || fill(y, |i| function(views.map(|view| view.at(i)))));
    outcome.map_err(|(error, position)| exception_at(py, error, position))?;
    Ok(output.into_any())
}

/// Numbers and arrays side by side, the arrays brought to a common shape by the rules of NumPy.
pub(crate) struct Columns<'py, const N: usize>([Numbers<'py>; N]);

impl<'py, const N: usize> Columns<'py, N> {
    pub(crate) fn read(names: [&str; N], arguments: [&Bound<'py, PyAny>; N]) -> PyResult<Self> {
        let mut all = [const { Numbers::One(0.0) }; N];
        for ((numbers, name), argument) in all.iter_mut().zip(names).zip(arguments) {
            *numbers = Numbers::read(name, argument)?;
        }
        let mut arrays: Vec<&mut Plain<'py>> = all
            .iter_mut()
            .filter_map(|numbers| match numbers {
                Numbers::Many(array) => Some(array),
                Numbers::One(_) => None,
            })
            .collect();
        broadcast(arguments[0].py(), &mut arrays)?;
        Ok(Self(all))
    }

    /// An array of the common shape; none if all are numbers.
    pub(crate) fn array(&self) -> Option<&Plain<'py>> {
        self.0.iter().find_map(|numbers| match numbers {
            Numbers::Many(array) => Some(array),
            Numbers::One(_) => None,
        })
    }

    pub(crate) fn views(&self) -> [Beside<'_>; N] {
        self.0.each_ref().map(|numbers| match numbers {
            Numbers::One(value) => Beside::One(*value),
            // SAFETY: as in `apply`.
            Numbers::Many(array) => Beside::Each(unsafe { slice(array) }),
        })
    }
}

/// What stands beside a slice: one number for all elements, or one for each.
#[derive(Clone, Copy)]
pub(crate) enum Beside<'a> {
    One(f64),
    Each(&'a [f64]),
}

impl Beside<'_> {
    /// The number at a place, which must be there.
    pub(crate) fn at(self, i: usize) -> f64 {
        match self {
            Self::One(value) => value,
            Self::Each(values) => values[i],
        }
    }
}

/// Applies one of two forms of a function of the core of two quantities, brought to a common shape.
pub(crate) fn apply_beside<'py>(
    names: [&str; 2],
    arguments: [&Bound<'py, PyAny>; 2],
    out: Option<&Bound<'py, PyAny>>,
    one: impl FnOnce(f64, f64) -> calcore::Result<f64>,
    many: impl FnOnce(&[f64], Beside<'_>, &mut [f64]) -> calcore::Result<()> + Send,
) -> PyResult<Bound<'py, PyAny>> {
    let py = arguments[0].py();
    let (first, second) = (Numbers::read(names[0], arguments[0])?, Numbers::read(names[1], arguments[1])?);
    let (first, second) = match (first, second) {
        (Numbers::One(_), Numbers::One(_)) if out.is_some() => return Err(PyTypeError::new_err(OUT_IS_FOR_ARRAYS)),
        (Numbers::One(a), Numbers::One(b)) => return Ok(PyFloat::new(py, one(a, b).or_raise(py)?).into_any()),
        (Numbers::Many(a), Numbers::One(b)) => (a, Numbers::One(b)),
        (Numbers::One(a), Numbers::Many(b)) => {
            let filled = empty_like(&b);
            // SAFETY: as in `apply`.
            unsafe { slice_mut(&filled) }.fill(a);
            (filled, Numbers::Many(b))
        }
        (Numbers::Many(mut a), Numbers::Many(mut b)) => {
            broadcast(py, &mut [&mut a, &mut b])?;
            (a, Numbers::Many(b))
        }
    };
    let output = output(&first, out)?;
    let first = apart(first, &output)?;
    let second = match second {
        Numbers::Many(array) => Numbers::Many(apart(array, &output)?),
        one => one,
    };
    // SAFETY: as in `apply`.
    let (x, y) = unsafe { (slice(&first), slice_mut(&output)) };
    let beside = match &second {
        Numbers::One(value) => Beside::One(*value),
        // SAFETY: as in `apply`.
        Numbers::Many(array) => Beside::Each(unsafe { slice(array) }),
    };
    unlocked(py, x.len(), || many(x, beside, y)).or_raise(py)?;
    Ok(output.into_any())
}

/// Applies a function of the core for one value to every element.
fn each<'py>(input: &Plain<'py>, function: impl Fn(f64) -> calcore::Result<f64> + Sync) -> PyResult<Plain<'py>> {
    let py = input.py();
    let output = empty_like(input);
    // SAFETY: as in `apply`.
    let (x, y) = unsafe { (slice(input), slice_mut(&output)) };
    let outcome = unlocked(py, x.len(), || fill(y, |i| function(x[i])));
    outcome.map_err(|(error, position)| exception_at(py, error, position))?;
    Ok(output)
}

/// Takes every step, or tells the first refusal and how many there are.
fn attempt(steps: usize, mut step: impl FnMut(usize) -> calcore::Result<()>) -> Result<(), (calcore::Error, Position)> {
    let mut refused: Option<(calcore::Error, Position)> = None;
    for i in 0..steps {
        match (step(i), &mut refused) {
            (Ok(()), _) => {}
            (Err(_), Some((_, position))) => position.count += 1,
            (Err(error), none) => *none = Some((error, Position { index: i, count: 1 })),
        }
    }
    refused.map_or(Ok(()), Err)
}

/// Writes every element.
fn fill(
    output: &mut [f64],
    function: impl Fn(usize) -> calcore::Result<f64>,
) -> Result<(), (calcore::Error, Position)> {
    attempt(output.len(), |i| function(i).map(|value| output[i] = value))
}

/// What a function gives for every place.
pub(crate) fn every<T>(
    len: usize,
    function: impl Fn(usize) -> calcore::Result<T>,
) -> Result<Vec<T>, (calcore::Error, Position)> {
    let mut all = Vec::with_capacity(len);
    attempt(len, |i| function(i).map(|value| all.push(value)))?;
    Ok(all)
}

/// An array of str of a shape.
pub(crate) fn strings<'py>(py: Python<'py>, texts: Vec<&str>, shape: &[usize]) -> PyResult<Bound<'py, PyAny>> {
    let numpy = py.import("numpy")?;
    let flat = numpy.call_method1("array", (texts, numpy.getattr("str_")?))?;
    flat.call_method1("reshape", (shape.to_vec().into_pyobject(py)?,))
}

/// Repeats arrays to a common shape, by the rules of NumPy.
fn broadcast<'py>(py: Python<'py>, arrays: &mut [&mut Plain<'py>]) -> PyResult<()> {
    if arrays.windows(2).all(|two| two[0].shape() == two[1].shape()) {
        return Ok(());
    }
    let given = PyTuple::new(py, arrays.iter().map(|array| &**array))?;
    let common = py.import("numpy")?.call_method1("broadcast_arrays", given)?;
    for (i, array) in arrays.iter_mut().enumerate() {
        **array = as_plain(common.get_item(i)?.cast::<PyUntypedArray>()?)?;
    }
    Ok(())
}

/// The elements of an array-like of one dimension, for computations that take series.
pub(crate) fn series(name: &str, argument: &Bound<'_, PyAny>) -> PyResult<Vec<f64>> {
    match Numbers::read(name, argument)? {
        Numbers::Many(array) if array.ndim() == 1 => {
            // SAFETY: as in `apply`.
            Ok(unsafe { slice(&array) }.to_vec())
        }
        other => Err(other.wrong_dimension(name, 1)),
    }
}

/// Copies the elements of an array-like of one dimension if there are as many as there is room for; says how many there are.
pub(crate) fn copy_series(name: &str, argument: &Bound<'_, PyAny>, room: &mut [f64]) -> PyResult<usize> {
    match Numbers::read(name, argument)? {
        Numbers::Many(array) if array.ndim() == 1 => {
            // SAFETY: as in `apply`.
            let found = unsafe { slice(&array) };
            if found.len() == room.len() {
                room.copy_from_slice(found);
            }
            Ok(found.len())
        }
        other => Err(other.wrong_dimension(name, 1)),
    }
}

/// The elements of a square array-like of a size, row by row.
pub(crate) fn square(name: &'static str, size: usize, argument: &Bound<'_, PyAny>) -> PyResult<Vec<f64>> {
    match Numbers::read(name, argument)? {
        Numbers::Many(array) if array.ndim() == 2 => {
            if let Some(&found) = array.shape().iter().find(|length| **length != size) {
                let error = calcore::Error::LengthMismatch { what: name, expected: size, found };
                return Err(exception(argument.py(), &error));
            }
            // SAFETY: as in `apply`.
            Ok(unsafe { slice(&array) }.to_vec())
        }
        other => Err(other.wrong_dimension(name, 2)),
    }
}

/// The elements of an array-like of one or two dimensions, row by row, and its shape.
pub(crate) fn matrix_or_series(name: &str, argument: &Bound<'_, PyAny>) -> PyResult<(Vec<f64>, Vec<usize>)> {
    match Numbers::read(name, argument)? {
        Numbers::Many(array) if array.ndim() == 1 || array.ndim() == 2 => {
            // SAFETY: as in `apply`.
            Ok((unsafe { slice(&array) }.to_vec(), array.shape().to_vec()))
        }
        other => Err(other.wrong_dimension(name, 2)),
    }
}

/// Runs work of a size without the interpreter lock if there is much of it.
pub(crate) fn unlocked<T: Send>(py: Python<'_>, size: usize, work: impl FnOnce() -> T + Send) -> T {
    if size < RELEASE_LOCK_FROM { work() } else { py.detach(work) }
}

/// An uncertainty that is not stated, stated once for all points, or for each of them.
#[derive(Clone, PartialEq)]
pub(crate) enum Stated {
    Nothing,
    Same(f64),
    Each(Vec<f64>),
}

impl Stated {
    pub(crate) fn read(name: &str, argument: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        let Some(argument) = argument else { return Ok(Self::Nothing) };
        match Numbers::read(name, argument)? {
            Numbers::One(value) => Ok(Self::Same(value)),
            Numbers::Many(_) => Ok(Self::Each(series(name, argument)?)),
        }
    }

    /// The same for arrays of any dimension, element by element in their order.
    pub(crate) fn read_any(name: &str, argument: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        let Some(argument) = argument else { return Ok(Self::Nothing) };
        match Numbers::read(name, argument)? {
            Numbers::One(value) => Ok(Self::Same(value)),
            // SAFETY: as in `apply`.
            Numbers::Many(array) => Ok(Self::Each(unsafe { slice(&array) }.to_vec())),
        }
    }

    /// As it was given, for pickling.
    pub(crate) fn object<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        Ok(match self {
            Self::Nothing => py.None().into_bound(py),
            Self::Same(value) => PyFloat::new(py, *value).into_any(),
            Self::Each(values) => PyArray1::from_slice(py, values).into_any(),
        })
    }

    pub(crate) fn as_core(&self) -> calcore::fit::Stated<'_> {
        match self {
            Self::Nothing => calcore::fit::Stated::Nothing,
            Self::Same(value) => calcore::fit::Stated::Same(*value),
            Self::Each(values) => calcore::fit::Stated::Each(values),
        }
    }
}

impl<'py> Numbers<'py> {
    /// Reads an argument: numbers first, so that the fast path is the first comparison.
    #[inline]
    pub(crate) fn read(name: &str, argument: &Bound<'py, PyAny>) -> PyResult<Self> {
        if let Ok(value) = argument.cast::<PyFloat>() {
            return Ok(Self::One(value.value()));
        }
        if let Ok(array) = argument.cast_exact::<PyArrayDyn<f64>>()
            && is_plain(array)
        {
            return Ok(Self::Many(array.clone()));
        }
        Self::read_other(name, argument)
    }

    /// Results as their argument was: a float for a number, an array of its shape for an array.
    pub(crate) fn like(&self, py: Python<'py>, values: Vec<f64>) -> PyResult<Py<PyAny>> {
        match self {
            Self::One(_) => Ok(PyFloat::new(py, values.first().copied().unwrap_or(f64::NAN)).into_any().unbind()),
            Self::Many(array) => Ok(PyArray1::from_vec(py, values).reshape(array.dims())?.into_any().unbind()),
        }
    }

    fn wrong_dimension(&self, name: &str, wanted: usize) -> PyErr {
        let found = match self {
            Self::One(_) => "a number".into(),
            Self::Many(array) => format!("an array with {}", array.ndim()),
        };
        PyTypeError::new_err(format!("{name} must be an array with {wanted} dimensions, got {found}"))
    }

    /// A name for every element, as an array of str of the same shape.
    pub(crate) fn names(&self, function: impl Fn(f64) -> calcore::Result<&'static str>) -> PyResult<Bound<'py, PyAny>> {
        let Self::Many(array) = self else { return Err(PyTypeError::new_err("an array is needed")) };
        let py = array.py();
        // SAFETY: as in `apply`.
        let values = unsafe { slice(array) };
        let names = every(values.len(), |i| function(values[i]));
        strings(py, names.map_err(|(error, position)| exception_at(py, error, position))?, array.shape())
    }

    fn read_other(name: &str, argument: &Bound<'py, PyAny>) -> PyResult<Self> {
        if argument.is_none()
            || argument.is_instance_of::<PyBool>()
            || argument.is_instance_of::<PyString>()
            || argument.is_instance_of::<PyComplex>()
        {
            return Err(refused(name, argument));
        }
        if argument.is_instance_of::<PyInt>() {
            return Ok(Self::One(argument.extract()?));
        }
        let masked = imported(argument.py(), &MASKED_ARRAY, "numpy.ma", "MaskedArray")?;
        if argument.is_instance(masked)? {
            return Err(PyTypeError::new_err(format!("{name} is a masked array; fill it first, as by .filled(nan)")));
        }
        let array = as_array(argument)?;
        let kind = array.dtype().kind();
        if !matches!(kind, b'f' | b'i' | b'u') {
            // Decimal and Fraction are numbers that NumPy does not know.
            let number = array.ndim() == 0 && kind == b'O' && argument.hasattr("__float__")?;
            return if number { Ok(Self::One(argument.extract()?)) } else { Err(refused_elements(name, &array)) };
        }
        let array = as_plain(&array)?;
        // A NumPy scalar (`np.int32(3)`) is a number; an array without dimensions stays one.
        let generic = imported(argument.py(), &GENERIC, "numpy", "generic")?;
        if argument.is_instance(generic)? {
            // SAFETY: as in `apply`.
            if let [value] = unsafe { slice(&array) } {
                return Ok(Self::One(*value));
            }
        }
        Ok(Self::Many(array))
    }
}

static MASKED_ARRAY: PyOnceLock<Py<PyType>> = PyOnceLock::new();
static GENERIC: PyOnceLock<Py<PyType>> = PyOnceLock::new();

fn imported<'a, 'py>(
    py: Python<'py>,
    cell: &'a PyOnceLock<Py<PyType>>,
    module: &str,
    name: &str,
) -> PyResult<&'a Bound<'py, PyType>> {
    cell.import(py, module, name)
}

#[cold]
fn refused(name: &str, argument: &Bound<'_, PyAny>) -> PyErr {
    let found = argument.get_type().name().map_or_else(|_| "another object".into(), |name| name.to_string());
    PyTypeError::new_err(format!("{name} must be a number or an array of numbers, got {found}"))
}

#[cold]
fn refused_elements(name: &str, array: &Bound<'_, PyUntypedArray>) -> PyErr {
    PyTypeError::new_err(format!(
        "{name} must be a number or an array of numbers, got elements of type {}",
        array.dtype()
    ))
}

/// `numpy.asarray(argument)`.
fn as_array<'py>(argument: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyUntypedArray>> {
    let py = argument.py();
    // SAFETY: a live object in, a new reference or null with an exception set out; no type or depth is asked for.
    unsafe {
        let array = PY_ARRAY_API.PyArray_FromAny(py, argument.as_ptr(), ptr::null_mut(), 0, 0, 0, ptr::null_mut());
        Ok(Bound::from_owned_ptr_or_err(py, array)?.cast_into_unchecked())
    }
}

/// The array itself if it is plain float64, else a copy that is.
pub(crate) fn as_plain<'py>(array: &Bound<'py, PyUntypedArray>) -> PyResult<Plain<'py>> {
    let py = array.py();
    let flags = NPY_ARRAY_C_CONTIGUOUS | NPY_ARRAY_ALIGNED | NPY_ARRAY_FORCECAST;
    // SAFETY: the call takes over the reference to the dtype, in native byte order; a new reference comes back, or
    // null with an exception set. The result is an array of float64 since that was asked for.
    unsafe {
        let dtype = f64::get_dtype(py).into_dtype_ptr();
        let plain = PY_ARRAY_API.PyArray_FromArray(py, array.as_array_ptr(), dtype, flags);
        Ok(Bound::from_owned_ptr_or_err(py, plain)?.cast_into_unchecked())
    }
}

/// Whether the elements of a float64 array can be read as a slice.
#[inline]
fn is_plain(array: &Plain<'_>) -> bool {
    array.is_c_contiguous() && array.data().is_aligned()
}

const OUT_IS_FOR_ARRAYS: &str = "out is for arrays; a number gives a float";

/// Where results go: an array that the caller offers, or a new one.
fn output<'py>(input: &Plain<'py>, out: Option<&Bound<'py, PyAny>>) -> PyResult<Plain<'py>> {
    let Some(out) = out else { return Ok(empty_like(input)) };
    let offered = out.cast::<PyArrayDyn<f64>>().ok().filter(|array| is_plain(array) && is_writeable(array));
    let Some(array) = offered else {
        return Err(PyTypeError::new_err("out must be a writeable array of float64, contiguous in C order"));
    };
    if array.shape() != input.shape() {
        let (found, wanted) = (array.shape(), input.shape());
        return Err(PyValueError::new_err(format!("out has the shape {found:?}; the result has {wanted:?}")));
    }
    Ok(array.clone())
}

/// The input itself, or a copy of it where the output lies in the same memory.
fn apart<'py>(input: Plain<'py>, output: &Plain<'py>) -> PyResult<Plain<'py>> {
    let size = input.len() * size_of::<f64>();
    let (a, b) = (input.data() as usize, output.data() as usize);
    if a + size <= b || b + size <= a { Ok(input) } else { as_plain(input.call_method0("copy")?.cast()?) }
}

fn is_writeable(array: &Plain<'_>) -> bool {
    array.try_readwrite().is_ok()
}

/// A new array of the same shape; what stands in it is not initialised.
pub(crate) fn empty_like<'py>(input: &Plain<'py>) -> Plain<'py> {
    empty(input.py(), input.shape())
}

/// A new array of a shape; what stands in it is not initialised.
pub(crate) fn empty<'py>(py: Python<'py>, shape: &[usize]) -> Plain<'py> {
    // SAFETY: the caller writes all elements.
    unsafe { PyArrayDyn::new(py, shape, false) }
}

/// SAFETY of the caller: the array is plain, and nobody writes to it while the slice lives.
pub(crate) unsafe fn slice<'a>(array: &'a Plain<'_>) -> &'a [f64] {
    // SAFETY: as said above; an array without elements may have any data pointer, so none is used.
    unsafe { if array.is_empty() { &[] } else { std::slice::from_raw_parts(array.data(), array.len()) } }
}

/// SAFETY of the caller: the array is plain and nobody else knows of it.
#[allow(clippy::mut_from_ref)]
pub(crate) unsafe fn slice_mut<'a>(array: &'a Plain<'_>) -> &'a mut [f64] {
    // SAFETY: as said above.
    unsafe { if array.is_empty() { &mut [] } else { std::slice::from_raw_parts_mut(array.data(), array.len()) } }
}
