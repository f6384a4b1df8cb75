//! Decisions: verdicts with their rule, guard band and risk.
//!
//! Of one item: [`decide`], [`conformity()`], [`guard_band::for_specific_risk`]. Of a population: [`Process`], [`risk()`],
//! [`guard_band::for_global_risk`]. Risks of a population are joint probabilities unless their name says `given`, and a
//! process is described by its true values unless [`InTolerance::Observed`] is said.

pub mod conformity;
pub mod guard_band;
pub mod limits;
pub mod process;
pub mod ratio;
pub mod risk;
pub mod rule;

pub use conformity::{Conformity, conformity};
pub use guard_band::FalseAccept;
pub use limits::Limits;
pub use process::{InTolerance, Process};
pub use risk::{Risk, after_measurement, risk};
pub use rule::{Decision, GuardBand, Rule, Verdict, decide};
