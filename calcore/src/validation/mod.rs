//! The table of checks against published sources, for a laboratory's file (ISO/IEC 17025:2017, 7.11.2).
//!
//! Every row of `tests/reference` that this core can compute becomes a [`Check`]: what the source says, what the core
//! computes, and how far the two may differ. The tests of the project assert every one of them; `python -m
//! calcore.validation` prints them.

mod decision;
mod elements;
mod fits;
mod linearization;
mod platinum;
mod quantiles;
mod ready_made;
mod scale;
mod table;
mod thermocouples;
mod uncertainty;

use crate::error::Result;

/// One published value beside the computed one.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Check {
    /// Document with edition and clause, and who states the value.
    pub source: String,
    /// What is compared, with its arguments.
    pub quantity: String,
    /// Unit of the values and the tolerance.
    pub unit: &'static str,
    /// The value of the source.
    pub published: f64,
    /// How far the computed value may be off: half a unit of the last printed digit, or an error bound.
    pub tolerance: f64,
    /// The value of this core.
    pub computed: f64,
}

impl Check {
    /// Whether the computed value lies within the tolerance of the published one; NaN does not.
    #[must_use]
    pub fn passes(&self) -> bool {
        (self.computed - self.published).abs() <= self.tolerance
    }
}

/// All checks, computed now.
///
/// # Errors
/// What the functions under check refuse: none, unless the core is broken.
pub fn checks() -> Result<Vec<Check>> {
    let mut all = Vec::new();
    platinum::add(&mut all)?;
    scale::add(&mut all)?;
    elements::add(&mut all)?;
    thermocouples::add(&mut all)?;
    quantiles::add(&mut all)?;
    fits::add(&mut all)?;
    uncertainty::add(&mut all)?;
    ready_made::add(&mut all)?;
    decision::add(&mut all)?;
    linearization::add(&mut all)?;
    Ok(all)
}
