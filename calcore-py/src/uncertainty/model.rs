//! A model that is a Python callable.

use crate::errors::exception;
use calcore::Error;
use calcore::uncertainty::Input;
use pyo3::exceptions::{PyException, PyTypeError};
use pyo3::prelude::*;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A callable that takes the interpreter lock for its calls only, and remembers what it raised.
pub(super) struct Model {
    callable: Py<PyAny>,
    raised: Mutex<Option<PyErr>>,
}

impl Model {
    pub(super) fn new(callable: Py<PyAny>) -> Self {
        Self { callable, raised: Mutex::new(None) }
    }

    /// Calls it; what it raises becomes an error of the core, which [`Model::outcome`] turns back.
    ///
    /// Once an interrupt was raised, or anything at all if `stop_at_first`, the callable is not asked again.
    pub(super) fn call<T>(
        &self,
        stop_at_first: bool,
        call: impl FnOnce(Python<'_>, &Bound<'_, PyAny>) -> PyResult<T>,
    ) -> calcore::Result<T> {
        Python::attach(|py| {
            if stop_at_first && self.raised().is_some() || self.interrupted(py) {
                return Err(failed());
            }
            // The lock must not be held while Python runs: another thread may wait for it with the interpreter's.
            call(py, self.callable.bind(py)).map_err(|error| {
                let mut raised = self.raised();
                // The first one tells most, unless it only said that the model has no answer that far out.
                if raised.is_none() || !stop_at_first {
                    *raised = Some(error);
                }
                failed()
            })
        })
    }

    /// Whether a signal, such as that of the keyboard, asks for an end.
    pub(super) fn signalled(&self) -> bool {
        Python::attach(|py| match py.check_signals() {
            Ok(()) => false,
            Err(error) => {
                *self.raised() = Some(error);
                true
            }
        })
    }

    /// The outcome of a computation with the model; its own exception goes before what the core says of it.
    pub(super) fn outcome<T>(self, py: Python<'_>, outcome: calcore::Result<T>) -> PyResult<T> {
        let interrupted = self.interrupted(py);
        let raised = self.raised().take();
        match (outcome, raised) {
            (_, Some(raised)) if interrupted => Err(raised),
            (Err(Error::ModelFailed { .. } | Error::Cancelled { .. }), Some(raised)) => Err(raised),
            (Err(error), _) => Err(exception(py, &error)),
            (Ok(value), _) => Ok(value),
        }
    }

    fn interrupted(&self, py: Python<'_>) -> bool {
        self.raised().as_ref().is_some_and(|error| !error.is_instance_of::<PyException>(py))
    }

    fn raised(&self) -> MutexGuard<'_, Option<PyErr>> {
        self.raised.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn failed() -> Error {
    Error::ModelFailed { message: "it raised an exception".into() }
}

/// Refuses a callable whose parameters have the names of the inputs in another order: the inputs are passed by position.
pub(super) fn same_order(callable: &Bound<'_, PyAny>, inputs: &[Input]) -> PyResult<()> {
    let Some(code) = callable.getattr_opt("__code__")? else { return Ok(()) };
    // More, fewer or `*values` are left to the call.
    if code.getattr("co_argcount")?.extract::<usize>()? != inputs.len() {
        return Ok(());
    }
    let parameters: Vec<String> = code.getattr("co_varnames")?.extract()?;
    let parameters = &parameters[..inputs.len()];
    let named = |parameter: &String| inputs.iter().any(|input| input.name == *parameter);
    if parameters.iter().zip(inputs).all(|(parameter, input)| *parameter == input.name) || !parameters.iter().all(named)
    {
        return Ok(());
    }
    let given: Vec<&str> = inputs.iter().map(|input| input.name.as_str()).collect();
    let (takes, given) = (parameters.join(", "), given.join(", "));
    Err(PyTypeError::new_err(format!(
        "the model takes ({takes}), but the inputs, which are passed by position, stand in the order ({given})"
    )))
}
