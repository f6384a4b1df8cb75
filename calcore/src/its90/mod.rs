//! The International Temperature Scale of 1990 for platinum resistance thermometers.
//!
//! Reference functions and their exact inverse, the published approximate inverses under a name of their own, the
//! defining fixed points, the sub-ranges with their deviation functions, and the criteria that the platinum must meet.
//! A thermometer of its own is [`crate::curves::Sprt`].

#[cfg(feature = "std")]
mod acceptance;
mod approximate;
mod fixed_points;
mod reference;
mod subrange;

#[cfg(feature = "std")]
pub use acceptance::{Acceptance, Criterion, acceptance};
pub use approximate::temperature_from_ratio_approximate;
pub use fixed_points::{fixed_point, fixed_point_temperature, hydrogen_vapour_pressure_temperature};
pub(crate) use reference::{high, is_below_the_gap, low};
pub use reference::{reference_ratio, reference_slope, temperature_from_ratio};
pub use subrange::{Deviation, MAX_TERMS, Subrange};
