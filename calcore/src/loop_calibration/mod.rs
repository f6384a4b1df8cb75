//! The whole job: a run at the block, described, checked and evaluated.
//!
//! [`Run`] is what was done: reference thermometer, heat source, the instruments as links of a chain, and the raw
//! readings of all of them at each set point. [`Run::evaluate`] gives a [`RunResult`]: for every instrument and set
//! point the error with its uncertainty and verdict, the share of every link in the error of its loop, the covariance
//! of all errors, and new coefficients for the element.

mod adjust;
mod attribution;
mod check;
mod check_links;
mod convert;
mod corrected;
mod covariance;
mod element;
mod evaluate;
mod figures;
mod hypotheses;
mod links;
mod plan;
mod prepare;
mod reference;
mod result;
mod run;
mod shape_coverage;
mod terms;

pub use adjust::{Adjustment, Proposal, RemainingError};
pub use corrected::CorrectedPoint;
pub use figures::Figures;
pub use hypotheses::{Hypothesis, Pattern};
pub use links::{ReferenceJunctionDescription, TransferDescription, WiringDescription};
pub use plan::{
    CanShare, Plan, PlanInstrument, PlanOrder, PlanPoint, PlanRequest, PlanSource, PlannedPoint, SourcePlan,
    fit_points, plan,
};
pub use reference::{CombineReferences, CorrectionTable, ReferenceComparison, SelfHeatingDescription};
pub use result::{
    Attribution, ElementFit, InstrumentResult, LinkShare, PointResult, RunResult, SetPointAttribution, SetPointResult,
    Warning,
};
pub use run::{
    CoverageDescription, CurveDescription, DecisionDescription, Direction, HeatSource, Instrument, LinkKind, Phase,
    RangeDescription, Reading, Reference, RuleName, Run, SCHEMA_VERSION, SetPoint, SettlingDescription, Term,
    TermDistribution, TermScope, ToleranceDescription, Unit,
};
