//! The whole job: from choosing the set points to the record that goes into the file.
//!
//! Before the work: [`plan`] finds the fewest set points that serve all instruments.
//!
//! [`Run`] is what was done: reference thermometers, heat source, the instruments as links of a chain, and the raw
//! readings of all of them at each set point, written down as JSON or read from a plain [`Table`]. [`Run::evaluate`]
//! gives a [`RunResult`]: for every instrument and set point the error with its uncertainty and verdict, the share of
//! every link in the error of its loop, the covariance of all errors, and new coefficients for the element;
//! [`evaluate_all`], [`evaluate_points`] and [`evaluate_each`] do so for many runs at once.
//!
//! On a result: [`RunResult::figures`] (hysteresis, repeatability, linearity), [`RunResult::hypotheses`] (what the
//! pattern points to), [`RunResult::after_correcting`] (the loop without the error of one link),
//! [`RunResult::adjustments`] (single adjustments with proof), [`RunResult::actions`] (whether to adjust at all),
//! [`RunResult::certificate`] and [`RunResult::points_csv`].
//!
//! Over several runs: [`CalibrationFile`] keeps what was found from being overwritten, [`compare`] gives the effect of
//! an adjustment, [`histories`] and [`history`] the drift and the next due date, [`impact`] what rests on a reference that was off.
//! [`record`] writes it all down in a canonical form with a hash, [`check_record`] computes it again; [`schema`] hands out
//! the JSON Schema of every document.

mod action;
mod adjust;
mod attribution;
mod certificate;
mod check;
mod check_instruments;
mod check_links;
mod check_readings;
mod check_reference;
mod check_tolerance;
mod compare;
mod contribution;
mod convert;
mod corrected;
mod covariance;
mod curve;
mod element;
mod evaluate;
mod figures;
mod histories;
mod history;
mod hypotheses;
mod import;
mod instrument;
mod intervals;
mod json;
mod links;
mod many;
mod plan;
mod prepare;
mod record;
mod reference;
mod result;
mod run;
mod schema;
mod structure;
mod terms;
mod trace;
mod transfer;
mod unit;

pub use action::{Action, InstrumentAction};
pub use adjust::{Adjustment, Proposal, RemainingError};
pub use attribution::Combinations;
pub use certificate::{Certificate, CertificateDetails, CertificateRow, conformity_word};
pub use compare::{AdjustmentEvent, CalibrationFile, Change, compare, normalized_error};
pub use contribution::{Term, TermDistribution, TermScope};
pub use corrected::CorrectedPoint;
pub use curve::CurveDescription;
pub use figures::{Figures, Linearity};
pub use histories::{Calibration, PointHistory, histories};
pub use history::{Drift, HistoryPoint, history};
pub use hypotheses::{Hypothesis, Pattern};
pub use import::{Mapping, ReadingColumns, Table, TagColumn};
pub use instrument::{Instrument, LinkKind, RangeDescription, ToleranceDescription};
pub use intervals::{ReliabilityInterval, Staircase, in_service, in_use, reliability_interval, staircase};
pub use json::{from_json, to_json};
pub use links::{ReferenceJunctionDescription, TransferDescription, WiringDescription};
pub use many::{PointRow, evaluate_all, evaluate_each, evaluate_points};
pub use plan::{
    CanShare, Plan, PlanInstrument, PlanOrder, PlanPoint, PlanRequest, PlanSource, PlannedPoint, SourcePlan,
    fit_points, plan,
};
pub use record::{RECORD_VERSION, RecordCheck, check_record, content_hash, record};
pub use reference::{
    CombineReferences, CorrectionTable, ImmersionDescription, ReferenceComparison, SelfHeatingDescription,
};
pub use result::{
    Attribution, ElementFit, InstrumentResult, LinkShare, PointResult, RunResult, SetPointAttribution, SetPointResult,
    Warning,
};
pub use run::{
    CoverageDescription, DecisionDescription, Direction, HeatSource, Phase, Reading, Reference, RuleName, Run,
    SCHEMA_VERSION, SetPoint, SettlingDescription,
};
#[cfg(feature = "schema")]
pub use schema::fresh_schemas;
pub use schema::{schema, schema_names};
pub use trace::{Impact, ReferenceFinding, impact};
pub use unit::Unit;
