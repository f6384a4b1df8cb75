//! How straight a link is, what a choice of curve costs, and curves in a form that fits in firmware.
//!
//! Measured: linearity and conformity of readings by the definitions of the standards. Computed: errors that a choice
//! makes, and tables and polynomials of a curve, each with a largest error that is proven over the whole range and not
//! sampled. The proofs stand on enclosures of the first and second derivative of the curves.

mod choice;
mod conformity;
mod cycles;
pub mod firmware;
mod minimax;
mod minimax_line;
mod proof;
mod reading_uncertainty;
mod relation;
mod samples;
mod table;

pub use choice::{Choice, LargestError, Reading};
pub use conformity::{Basis, Conformity, conformity_to_curve, conformity_to_values, linearity};
pub use cycles::{CycleFigures, Cycles, Figure, Linearity, Repeatability};
pub use minimax::{Coefficients, FixedCoefficients, MOST_DEGREE, Minimax, MinimaxGoal, MinimaxOptions, minimax};
pub use minimax_line::Active;
pub use reading_uncertainty::ReadingUncertainty;
pub use relation::Direction;
pub use table::{
    Codes, Entries, FixedPoint, Goal, LookupTable, MOST_SEGMENTS, Proof, Segment, Shape, Spacing, TableOptions,
    error_by_segments, lookup_table,
};
