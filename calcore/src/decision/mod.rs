//! Decisions: verdicts with their rule, guard band and risk.

pub mod rule;

pub use rule::{Decision, GuardBand, Limits, Rule, Verdict, decide};
