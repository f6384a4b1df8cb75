//! A table made in memory of the caller: what a device without a heap can do by itself, with its own calibration.

mod fixed;
mod spread;

pub use fixed::{FixedTableInPlace, table_in_place_fixed};

use super::proof::{Piece, largest_error};
use super::relation::{Direction, Relation};
use super::span::Segment;
use crate::curves::SensorCurve;
use crate::error::{Error, Result, same_length};
use spread::Spread;

/// Makes a table of straight segments with its nodes on the curve, in slices of the caller, and proves its largest error: in
/// kelvin towards the temperature, in the unit of the signal towards the signal. Nothing is allocated.
///
/// # Formula
/// Nodes are spread by the root of the curvature, which makes the errors of all segments nearly equal: the largest one lies
/// within some per cent of the smallest possible for nodes on the curve. The proof is that of `lookup_table`; the
/// rounding of an evaluation in doubles is not in it (a few parts in 10¹⁶ of the value).
///
/// # Arguments
/// `nodes`, `values`: arguments in ascending order and values there, one more than segments; at least two.
///
/// # Errors
/// [`Error::LengthMismatch`]; [`Error::TooFewPoints`] for fewer than two nodes; [`Error::OutOfRange`] when the range leaves
/// the curve; [`Error::InvalidValue`] when the signal turns inside the range; [`Error::Undetermined`] for a curve without
/// enclosures of its derivatives.
///
/// # Source
/// C. de Boor, A Practical Guide to Splines (1978), chapter III (nodes by the root of the curvature; from memory).
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::linearization::{Direction, firmware::look_up_f64, table_in_place};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// let (mut ohm, mut t_c) = ([0.0; 9], [0.0; 9]);
/// let error_k = table_in_place(&pt100, Direction::SignalToTemperature, 0.0, 400.0, &mut ohm, &mut t_c)?;
/// assert!(error_k < 0.12);
/// assert!((look_up_f64(&ohm, &t_c, 138.5055) - 100.0).abs() <= error_k); // 100 °C, IEC 60751:2022
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn table_in_place(
    curve: &dyn SensorCurve,
    direction: Direction,
    low_c: f64,
    high_c: f64,
    nodes: &mut [f64],
    values: &mut [f64],
) -> Result<f64> {
    same_length("values", nodes.len(), values.len())?;
    if nodes.len() < 2 {
        return Err(Error::TooFewPoints { what: "a table", needed: 2, found: nodes.len(), hint: "" });
    }
    let relation = Relation::new(curve, direction, low_c, high_c)?;
    let (spread, last) = (Spread::new(&relation), nodes.len() - 1);
    for (i, (node, value)) in nodes.iter_mut().zip(values.iter_mut()).enumerate() {
        (*node, *value) = relation.point(spread.temperature(i, last));
    }
    if nodes.windows(2).any(|x| x[1] <= x[0]) {
        return Err(Error::InvalidValue {
            what: "nodes",
            value: nodes.len() as f64,
            unit: "",
            requirement: "they fall together: fewer nodes or a wider range".into(),
        });
    }
    let (nodes, values) = (&*nodes, &*values);
    let temperature = |i: usize| match direction {
        Direction::SignalToTemperature => values[i],
        Direction::TemperatureToSignal => nodes[i],
    };
    let pieces = (0..last).map(|i| {
        let (a, b) = (temperature(i), temperature(i + 1));
        let rise = values[i + 1] - values[i];
        let approximation = Segment { x0: nodes[i], x1: nodes[i + 1], y0: values[i], rise, bend: 0.0, skew: 0.0 };
        Piece { low_c: a.min(b), high_c: a.max(b), approximation, rounding: 0.0 }
    });
    largest_error(&relation, pieces)
}
