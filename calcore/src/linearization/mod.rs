//! How straight a link is, what a choice of curve costs, and curves in a form that fits in firmware.
//!
//! Measured: linearity and conformity of readings by the definitions of the standards. Computed: errors that a choice
//! makes, and tables and polynomials of a curve, each with a largest error that is proven over the whole range and not
//! sampled. The proofs stand on enclosures of the first three derivatives of the curves.

mod cells;
#[cfg(feature = "std")]
mod choice;
#[cfg(feature = "std")]
mod conformity;
mod cubic;
#[cfg(feature = "std")]
mod cycles;
#[cfg(feature = "std")]
mod export;
pub mod firmware;
mod fixed_point;
mod in_place;
#[cfg(feature = "std")]
mod minimax;
#[cfg(feature = "std")]
mod minimax_line;
mod proof;
#[cfg(feature = "std")]
mod reading_uncertainty;
mod readings;
mod relation;
#[cfg(feature = "std")]
mod samples;
mod spacing;
mod span;
#[cfg(feature = "std")]
mod table;

#[cfg(feature = "std")]
pub use choice::{Choice, LargestError, Reading};
#[cfg(feature = "std")]
pub use conformity::{Basis, Conformity, conformity_to_curve, conformity_to_values, linearity};
#[cfg(feature = "std")]
pub use cycles::{CycleFigures, Cycles, Figure, Linearity, Repeatability};
#[cfg(feature = "std")]
pub use export::{CSource, Export};
pub use fixed_point::FixedPoint;
pub use in_place::{FixedTableInPlace, table_in_place, table_in_place_fixed};
#[cfg(feature = "std")]
pub use minimax::{Coefficients, FixedCoefficients, MOST_DEGREE, Minimax, MinimaxGoal, MinimaxOptions, minimax};
#[cfg(feature = "std")]
pub use minimax_line::Active;
pub use proof::Proof;
#[cfg(feature = "std")]
pub use reading_uncertainty::ReadingUncertainty;
pub use relation::Direction;
pub use spacing::Spacing;
pub use span::Segment;
#[cfg(feature = "std")]
pub use table::{
    Codes, Entries, Goal, LookupTable, MOST_SEGMENTS, Shape, TableOptions, error_by_segments, lookup_table,
};
