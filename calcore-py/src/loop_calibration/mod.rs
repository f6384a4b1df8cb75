//! The whole job: plan, run, result, adjustment, history, record.

mod adjust;
mod attribution;
mod certificate;
mod compare;
mod document;
mod element;
mod figures;
mod file;
mod history;
mod many;
mod plan;
mod point;
mod result;
mod run;
mod schema;
mod table;

use pyo3::prelude::*;
use result::RunResult;
use run::Run;

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    plan::register(module)?;
    compare::register(module)?;
    history::register(module)?;
    file::register(module)?;
    many::register(module)?;
    schema::register(module)?;
    module.add_class::<Run>()?;
    module.add_class::<RunResult>()?;
    module.add_class::<point::SetPointResult>()?;
    module.add_class::<point::InstrumentResult>()?;
    module.add_class::<point::PointResult>()?;
    module.add_class::<attribution::Attribution>()?;
    module.add_class::<attribution::SetPointAttribution>()?;
    module.add_class::<attribution::LinkShare>()?;
    module.add_class::<element::ElementFit>()?;
    module.add_class::<figures::Figures>()?;
    module.add_class::<figures::CorrectedPoint>()?;
    module.add_class::<figures::Hypothesis>()?;
    module.add_class::<figures::ReferenceComparison>()?;
    module.add_class::<adjust::Adjustment>()?;
    module.add_class::<adjust::Proposal>()?;
    module.add_class::<adjust::RemainingError>()?;
    module.add_class::<adjust::InstrumentAction>()?;
    certificate::register(module)
}
