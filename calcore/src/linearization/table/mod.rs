//! Look-up tables of a curve for firmware, each with a largest error that is proven over its whole range.
//!
//! `builder` makes the best table of a number of segments: nodes by shape and spacing (`free` and `tube`, `on_curve`,
//! `curved` with
//! `bent` and `march`, `equal`; `few` for few segments), numbers as they are stored (`store`), the proof (`proven`). `goal` looks for the number of
//! segments that an error needs; `read` is what the firmware finds.

mod bent;
mod builder;
mod curved;
mod equal;
mod few;
mod free;
mod goal;
mod march;
mod on_curve;
mod options;
mod proven;
mod read;
mod sag;
mod search;
mod store;
mod tube;

pub use options::{Entries, Goal, MOST_SEGMENTS, Shape, TableOptions};
pub use store::Codes;

use super::proof::Proof;
use super::relation::Relation;
use super::span::Segment;
use crate::curves::SensorCurve;
use crate::error::Result;
use builder::Builder;
use options::segments_allowed;

/// A table, as the firmware stores and reads it.
///
/// # Formula
/// Between two nodes, with u = (x − x0)/(x1 − x0): y = y0 + u (y1 − y0 + (1 − u)(bend + skew u)); straight segments have
/// neither bend nor skew. In doubles and in single precision the steps are those of
/// [`super::firmware::segment_f64`] and [`super::firmware::segment_f32`], in integers those of
/// [`super::firmware::line_fixed`] and [`super::firmware::bent_fixed`].
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct LookupTable {
    /// What was asked for.
    pub options: TableOptions,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Arguments of the nodes, ascending, exactly as stored.
    pub arguments: Vec<f64>,
    /// Values at the nodes, exactly as stored.
    pub values: Vec<f64>,
    /// Bend and skew of every segment; empty for straight ones.
    pub bends: Vec<[f64; 2]>,
    /// The integers, for fixed-point entries.
    pub codes: Option<Codes>,
    /// Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point entries over
    /// every reading that the firmware can get (how far a reading is rounded to its format is not in it).
    pub largest_error: f64,
    /// What rounding in the firmware adds to the error at most; zero where every reading was tried, which shows what it
    /// does add.
    pub rounding: f64,
    /// Unit of the error: K, or that of the signal.
    pub error_unit: &'static str,
    /// How the error was proven.
    pub proof: Proof,
}

/// The smallest table of a curve for an error, or the best one of a number of segments.
///
/// # Formula
/// *Linear, optimal spacing*: continuous straight segments with free nodes and values. For a given error the segments
/// are laid into the tube y ± e, each as far as it goes, which needs the fewest; e is made as small as the number of
/// segments allows. The best table of all has the same error on every segment, reached in turn above and below.
///
/// *Linear on the curve*, *quadratic*, *cubic Hermite*: each segment as wide as the error allows, which is best where the
/// derivative that makes the error keeps its sign. Where it does not, segments that begin a little earlier are compared;
/// up to 16 segments, all of them on a grid, and the best ones improved.
///
/// *Equal spacing*: nodes given; values on the curve, or for [`Shape::Linear`] those of the smallest largest error.
///
/// The table of a number of segments depends on nothing but that number: asked for the error that [`error_by_segments`]
/// tells for it, no more segments are needed.
///
/// The largest error is proven, not sampled: the first three derivatives of the error are enclosed by interval arithmetic on
/// stretches of the range, which are halved until the bound lies within 0.1 % of what the error surely reaches. Rounding
/// of the entries is in it, and so is the rounding of every step of the firmware's arithmetic. Up to 2¹⁷ readings of a
/// fixed-point argument are all tried instead.
///
/// # Errors
/// [`crate::Error::OutOfRange`] when the range leaves the curve; [`crate::Error::InvalidValue`] when the signal turns
/// inside the range, for numbers that the entries cannot hold, for more nodes than the argument has numbers, and for an
/// error that no table allowed keeps (with the one that is reachable); [`crate::Error::Undetermined`] for a curve without
/// enclosures of its derivatives.
///
/// # Source
/// See `table/tube.rs` for the tube; error of a chord, y'' h²/8, and of a cubic of Hermite, y'''' h⁴/384: P. J. Davis,
/// Interpolation and Approximation (1963), theorem 3.5.1 (from memory).
///
/// # Example
/// ```
/// use calcore::curves::Thermocouple;
/// use calcore::linearization::{Goal, TableOptions, lookup_table};
/// let k = Thermocouple::new("K")?;
/// let table = lookup_table(&k, 0.0, 1000.0, Goal::Segments(16), &TableOptions::default())?;
/// assert_eq!(table.segments(), 16);
/// assert!(table.largest_error < 0.063); // K
/// assert!((table.evaluate(20.644)? - 500.0).abs() <= table.largest_error + 0.01); // E(500 °C) = 20.644 mV
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn lookup_table(
    curve: &dyn SensorCurve,
    low_c: f64,
    high_c: f64,
    goal: Goal,
    options: &TableOptions,
) -> Result<LookupTable> {
    let relation = Relation::new(curve, options.direction, low_c, high_c)?;
    options.check(goal, relation.value_unit())?;
    let mut builder = Builder::new(&relation, options);
    match goal {
        Goal::Segments(count) => builder.table(count),
        Goal::LargestError(error) => goal::smallest(&mut builder, error),
    }
}

/// Proven largest errors of the best tables of 1, 2, … up to a number of segments.
///
/// # Errors
/// As [`lookup_table`].
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::linearization::{TableOptions, error_by_segments};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// let errors = error_by_segments(&pt100, 0.0, 100.0, 4, &TableOptions::default())?;
/// // Half of the 0.38 K by which a straight line through both ends is off; a quarter of it for twice the segments.
/// assert!((errors[0] - 0.19).abs() < 0.005 && (errors[1] / errors[3] - 4.0).abs() < 0.05);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn error_by_segments(
    curve: &dyn SensorCurve,
    low_c: f64,
    high_c: f64,
    most_segments: usize,
    options: &TableOptions,
) -> Result<Vec<f64>> {
    let relation = Relation::new(curve, options.direction, low_c, high_c)?;
    segments_allowed("most segments", most_segments)?;
    options.check(Goal::Segments(most_segments), relation.value_unit())?;
    let mut builder = Builder::new(&relation, options);
    (1..=most_segments).map(|count| Ok(builder.table(count)?.largest_error)).collect()
}

impl LookupTable {
    /// Number of segments.
    #[must_use]
    pub fn segments(&self) -> usize {
        self.arguments.len() - 1
    }

    /// A segment by its number, as exact numbers.
    #[must_use]
    pub fn segment(&self, i: usize) -> Option<Segment> {
        let (x0, x1) = (*self.arguments.get(i)?, *self.arguments.get(i + 1)?);
        let (y0, y1) = (*self.values.get(i)?, *self.values.get(i + 1)?);
        let [bend, skew] = self.bends.get(i).copied().unwrap_or_default();
        Some(Segment { x0, x1, y0, rise: y1 - y0, bend, skew })
    }
}
