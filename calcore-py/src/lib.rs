//! Python module of calcore: arguments in, results and errors out, no arithmetic.
//!
//! One file a room of the core. `calcore._native` is flat; the Python files of the package give its parts their public
//! names (`calcore.tolerance.iec60751` stands here as `tolerance_iec60751`).

mod arrays;
mod circuit;
mod curves;
mod decision;
mod errors;
mod fit;
mod its90;
mod json;
mod linearization;
mod loop_calibration;
mod objects;
mod records;
mod settling;
mod temperature;
mod tolerance;
mod uncertainty;
mod validation;
mod whole;

use pyo3::prelude::*;

/// The compiled part of calcore. Use the names of the package `calcore`.
#[pymodule]
fn _native(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add("__version__", calcore::VERSION)?;
    errors::register(module)?;
    objects::register(module)?;
    curves::register(module)?;
    its90::register(module)?;
    temperature::register(module)?;
    tolerance::register(module)?;
    circuit::register(module)?;
    fit::register(module)?;
    linearization::register(module)?;
    uncertainty::register(module)?;
    decision::register(module)?;
    settling::register(module)?;
    loop_calibration::register(module)?;
    validation::register(module)?;
    Ok(())
}
