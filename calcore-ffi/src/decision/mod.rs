//! Section "decision": verdicts with their rule, guard band and risk.

pub mod guard_band;
pub mod ratio;
pub mod risk;
pub mod verdict;

pub(crate) use verdict::verdict_number;
