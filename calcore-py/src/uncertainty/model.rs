//! A model that is a Python callable.

use crate::errors::exception;
use calcore::Error;
use pyo3::exceptions::PyException;
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
