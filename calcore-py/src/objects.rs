//! What all objects and functions of the module share: how they are copied, and the names under which they are found.

use calcore::num::covariance::Covariance;
use numpy::{PyArray1, PyArray2, PyArrayMethods};
use pyo3::prelude::*;
use pyo3::types::{PyCFunction, PyDict, PyTuple};

/// What `__reduce__` returns for an object that its class makes again from these arguments.
pub(crate) fn reduced<'py>(
    object: &Bound<'py, PyAny>,
    arguments: impl IntoPyObject<'py, Target = PyTuple, Output = Bound<'py, PyTuple>, Error = PyErr>,
    options: &Bound<'py, PyDict>,
) -> PyResult<Bound<'py, PyTuple>> {
    let py = object.py();
    let class = object.get_type().into_any();
    // A keyword cannot be given in a reduction, so it goes into the maker.
    let maker = if options.is_empty() {
        class
    } else {
        py.import("functools")?.getattr("partial")?.call((class,), Some(options))?
    };
    (maker, arguments.into_pyobject(py)?).into_pyobject(py)
}

/// Adds a function that the package shows as `calcore.ROOM.NAME`; here it is `ROOM_NAME`.
pub(crate) fn add_function(
    module: &Bound<'_, PyModule>,
    room: &str,
    function: &Bound<'_, PyCFunction>,
) -> PyResult<()> {
    let name: String = function.getattr("__name__")?.extract()?;
    function.setattr("__module__", format!("calcore.{room}"))?;
    module.add(format!("{room}_{name}"), function)
}

/// A class that shows a result of the core: one read-only attribute a field.
macro_rules! view {
    (
        $(#[$meta:meta])*
        $name:ident($core:ty) in $module:tt {
            $($(#[$doc:meta])* $field:ident : $type:ty = $get:expr;)*
        }
        $($rest:tt)*
    ) => {
        $(#[$meta])*
        #[pyclass(frozen, eq, module = $module)]
        #[derive(Clone, PartialEq)]
        pub(crate) struct $name(pub(crate) $core);

        #[pymethods]
        impl $name {
            $(
                $(#[$doc])*
                #[getter]
                fn $field(&self) -> $type {
                    let get: fn(&$core) -> $type = $get;
                    get(&self.0)
                }
            )*

            fn __copy__(slf: Py<Self>) -> Py<Self> {
                slf
            }

            fn __deepcopy__(slf: Py<Self>, _memo: &Bound<'_, PyAny>) -> Py<Self> {
                slf
            }

            $($rest)*
        }
    };
}
pub(crate) use view;

/// Numbers that become an array of one dimension.
pub(crate) struct Series(pub(crate) Vec<f64>);

/// Numbers, row by row, that become a square array.
pub(crate) struct Square {
    pub(crate) size: usize,
    pub(crate) values: Vec<f64>,
}

impl From<&Covariance> for Square {
    fn from(covariance: &Covariance) -> Self {
        Self { size: covariance.size(), values: covariance.values().to_vec() }
    }
}

impl<'py> IntoPyObject<'py> for Series {
    type Target = PyArray1<f64>;
    type Output = Bound<'py, Self::Target>;
    type Error = PyErr;

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        Ok(PyArray1::from_vec(py, self.0))
    }
}

impl<'py> IntoPyObject<'py> for Square {
    type Target = PyArray2<f64>;
    type Output = Bound<'py, Self::Target>;
    type Error = PyErr;

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        PyArray1::from_vec(py, self.values).reshape([self.size, self.size])
    }
}

/// What the core wants the user to know beside the numbers.
///
/// Examples
/// --------
/// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.51, 175.86])
/// >>> fit.warnings[-1].code
/// 'c_held_at_standard'
#[pyclass(frozen, eq, hash, get_all, module = "calcore")]
#[derive(Clone, PartialEq, Eq, Hash)]
pub(crate) struct Notice {
    /// Stable name of the kind.
    code: String,
    /// The same for people, with the numbers at hand.
    text: String,
    /// What it concerns, as a path into the description; None where there is none.
    path: Option<String>,
}

impl Notice {
    pub(crate) fn new(code: &str, text: impl ToString, path: Option<&str>) -> Self {
        Self { code: code.into(), text: text.to_string(), path: path.map(String::from) }
    }
}

#[pymethods]
impl Notice {
    fn __repr__(&self) -> String {
        let at = self.path.as_ref().map_or(String::new(), |path| format!(" at {path}"));
        format!("Notice({}{at}: {})", self.code, self.text)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let py = slf.py();
        let notice = slf.get();
        let maker = py.import("calcore._native")?.getattr("_notice")?;
        (maker, (&notice.code, &notice.text, &notice.path)).into_pyobject(py)
    }
}

/// A notice that was pickled.
#[pyfunction]
#[pyo3(signature = (code, text, path))]
fn _notice(code: String, text: String, path: Option<String>) -> Notice {
    Notice { code, text, path }
}

/// A small table for a notebook: a caption, headings, and rows of text, all of it escaped.
pub(crate) fn html_table(caption: &str, headings: &[&str], rows: &[Vec<String>]) -> String {
    let cells = |tag: &str, texts: &mut dyn Iterator<Item = &str>| {
        texts.map(|text| format!("<{tag}>{}</{tag}>", escaped(text))).collect::<String>()
    };
    let body: String =
        rows.iter().map(|row| format!("<tr>{}</tr>", cells("td", &mut row.iter().map(String::as_str)))).collect();
    format!(
        "<table><caption>{}</caption><thead><tr>{}</tr></thead><tbody>{body}</tbody></table>",
        escaped(caption),
        cells("th", &mut headings.iter().copied())
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A number as a table shows it: six digits, which is more than any uncertainty deserves.
pub(crate) fn shown(value: f64) -> String {
    let size = value.abs();
    if value.is_infinite() {
        return if value > 0.0 { "∞".into() } else { "−∞".into() };
    }
    if size != 0.0 && !(1e-4..1e6).contains(&size) {
        return format!("{value:.5e}");
    }
    // At least one digit before the point.
    let before = if size < 1.0 { 0 } else { size.log10().floor() as usize };
    let after = if size < 1.0 { 6 } else { 5usize.saturating_sub(before) };
    format!("{value:.after$}")
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Notice>()?;
    // Not by `add`: that would make it a public name.
    module.setattr("_notice", wrap_pyfunction!(_notice, module)?)
}
