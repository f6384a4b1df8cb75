//! A table made in memory of the caller: what a device without a heap can do by itself, with its own calibration.

use super::proof::{Piece, largest_error};
use super::relation::{Direction, Relation};
use super::span::Segment;
use crate::curves::SensorCurve;
use crate::error::{Error, Result, same_length};

/// Cells in which the curvature is looked at.
const CELLS: usize = 256;

/// Part of the nodes that is spread evenly over the range.
const EVEN_PART: f64 = 0.02;

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
    spread(&relation, nodes);
    let (mut places, last) = (nodes.iter().copied().enumerate(), nodes.len() - 1);
    // Temperatures become values first; the arguments take their place after that.
    for value in values.iter_mut() {
        *value = places.next().map_or(low_c, |(i, t_c)| if i == last { high_c } else { t_c });
    }
    if !relation.ascends() {
        values.reverse();
    }
    for (node, value) in nodes.iter_mut().zip(values.iter_mut()) {
        (*node, *value) = relation.point(*value);
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

/// Temperatures of the nodes, ascending, the first and the last at the ends.
fn spread(relation: &Relation<'_>, t_c: &mut [f64]) {
    let step = (relation.high_c - relation.low_c) / CELLS as f64;
    let mut sum = [0.0; CELLS + 1];
    let mut before = relation.curve.raw_slope(relation.low_c);
    for i in 0..CELLS {
        let slope = relation.curve.raw_slope((relation.low_c + step * (i + 1) as f64).min(relation.high_c));
        let bend = (slope - before).abs();
        let scaled = match relation.direction {
            Direction::SignalToTemperature => bend / slope.abs().max(before.abs()),
            Direction::TemperatureToSignal => bend,
        };
        sum[i + 1] = sum[i] + if scaled.is_finite() { libm::sqrt(scaled) } else { 0.0 };
        before = slope;
    }
    let even = if sum[CELLS] > 0.0 { EVEN_PART * sum[CELLS] / CELLS as f64 } else { 1.0 };
    let at = |i: usize| sum[i] + even * i as f64;
    let last = t_c.len() - 1;
    let mut cell = 0;
    for (i, t) in t_c.iter_mut().enumerate() {
        let goal = at(CELLS) * i as f64 / last as f64;
        while cell + 1 < CELLS && at(cell + 1) <= goal {
            cell += 1;
        }
        let part = (goal - at(cell)) / (at(cell + 1) - at(cell));
        *t = (relation.low_c + step * (cell as f64 + part)).clamp(relation.low_c, relation.high_c);
    }
    t_c[0] = relation.low_c;
}
