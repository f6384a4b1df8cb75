//! What all objects and functions of the module share: how they are copied, and the names under which they are found.

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
