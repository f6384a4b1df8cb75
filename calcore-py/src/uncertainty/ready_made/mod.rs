//! The budgets of the trade.

mod blocks;
mod comparisons;
mod instruments;

use calcore::uncertainty::ready_made::InstrumentInBlock;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

/// A function of Python that makes a budget: its keywords are the fields of the struct of the core.
macro_rules! budget {
    (
        $(#[$doc:meta])*
        $function:ident($value:ident) of $kind:ident { $($field:ident : $type:ty),+ $(,)? }
    ) => {
        $(#[$doc])*
        #[pyfunction]
        #[pyo3(signature = ($value, *, $($field),+, coverage=0.95, coverage_factor=None))]
        #[allow(clippy::too_many_arguments)]
        fn $function(
            py: Python<'_>,
            $value: f64,
            $($field: $type,)+
            coverage: f64,
            coverage_factor: Option<f64>,
        ) -> PyResult<Budget> {
            let stated = core::$kind { $($field),+ };
            Ok(Budget(stated.budget($value, coverage_of(coverage, coverage_factor)).or_raise(py)?))
        }
    };
}
use budget;

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    let shared = PyTuple::new(module.py(), InstrumentInBlock::SHARED)?;
    module.add("uncertainty_SHARED_BY_INSTRUMENTS", shared)?;
    blocks::register(module)?;
    comparisons::register(module)?;
    instruments::register(module)
}
