//! The same in integers, for a device that reads an integer and shows one.

use super::spread::Spread;
use crate::curves::SensorCurve;
use crate::error::{Error, Result, same_length};
use crate::linearization::firmware::{line_fixed, product_fits, segment_of};
use crate::linearization::fixed_point::{FixedPoint, too_wide};
use crate::linearization::proof::{Piece, Proof, largest_error};
use crate::linearization::readings::largest_error_of_all;
use crate::linearization::relation::{Direction, Relation};
use crate::linearization::spacing::{EqualSteps, Spacing};
use crate::linearization::span::Segment;

/// What was made in the slices of the caller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedTableInPlace {
    /// Segments made: one fewer than the nodes and values at the beginning of the slices that belong to the table.
    pub segments: usize,
    /// Proven largest absolute error over every reading that the firmware can get, rounding included.
    pub largest_error: f64,
    /// How it was proven.
    pub proof: Proof,
}

/// Makes a table of straight segments with its nodes on the curve, in integers and in slices of the caller, for
/// [`crate::linearization::firmware::look_up_fixed`]. Nothing is allocated.
///
/// # Formula
/// Nodes as [`super::table_in_place`] ([`Spacing::Optimal`]), rounded to the format of the argument, those at the ends
/// outwards; or at equal steps of a power of two of the argument's unit, so that the index is a shift
/// ([`Spacing::EqualArgument`], which may need fewer nodes than there is room for). Values on the curve at the rounded
/// nodes, rounded. Up to 2¹⁷ readings of the range are all tried for the largest error; above that it is proven as that of
/// `lookup_table`.
///
/// # Arguments
/// `formats`: of the reading and of the result, in the unit of the signal and in °C (or the other way round); they must fit
/// in 32 bits with a sign. `nodes`, `values`: room for one more than segments; at least two.
///
/// # Errors
/// As [`super::table_in_place`]; [`Error::InvalidValue`] for numbers that a format cannot hold, for nodes that fall on one
/// integer, and for products in a segment that do not fit in 63 bits.
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::linearization::{Direction, FixedPoint, Spacing, firmware::look_up_fixed, table_in_place_fixed};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// // Readings in 1/64 ohm, results in 1/32 °C.
/// let (ohm, t_c) = (FixedPoint::new(16, 6, false)?, FixedPoint::new(16, 5, true)?);
/// let (mut nodes, mut values) = ([0; 17], [0; 17]);
/// let table = table_in_place_fixed(
///     &pt100, Direction::SignalToTemperature, 0.0, 400.0, Spacing::Optimal, [ohm, t_c], &mut nodes, &mut values,
/// )?;
/// assert!(table.segments == 16 && table.largest_error < 0.06);
/// // 138.5 ohm (8864/64) is 99.985 °C, IEC 60751:2022.
/// let read = f64::from(look_up_fixed(&nodes, &values, 8864)) / 32.0;
/// assert!((read - 99.985).abs() <= table.largest_error + 0.001);
/// # Ok::<(), calcore::Error>(())
/// ```
#[allow(clippy::too_many_arguments)]
pub fn table_in_place_fixed(
    curve: &dyn SensorCurve,
    direction: Direction,
    low_c: f64,
    high_c: f64,
    spacing: Spacing,
    formats: [FixedPoint; 2],
    nodes: &mut [i32],
    values: &mut [i32],
) -> Result<FixedTableInPlace> {
    same_length("values", nodes.len(), values.len())?;
    if nodes.len() < 2 {
        return Err(Error::TooFewPoints { what: "a table", needed: 2, found: nodes.len(), hint: "" });
    }
    let [argument, value] = formats;
    for format in formats {
        format.check()?;
        check_sign(format)?;
    }
    let relation = Relation::new(curve, direction, low_c, high_c)?;
    let segments = place_nodes(&relation, spacing, argument, nodes)?;
    for (&node, y) in nodes[..=segments].iter().zip(values.iter_mut()) {
        *y = value.code("value of a node", relation.value(argument.number(node.into())))? as i32;
    }
    let (nodes, values) = (&nodes[..=segments], &values[..=segments]);
    let ends = |i: usize| ([nodes[i], nodes[i + 1]].map(i64::from), [values[i], values[i + 1]].map(i64::from));
    if (0..segments).any(|i| nodes[i + 1] <= nodes[i]) {
        return Err(Error::InvalidValue {
            what: "segments",
            value: segments as f64,
            unit: "",
            requirement: "two nodes fall on one integer of the argument: fewer segments or a finer argument".into(),
        });
    }
    if (0..segments).any(|i| !product_fits(ends(i).0, ends(i).1)) {
        return Err(too_wide(argument, value));
    }
    let read = |x: i64| {
        let (x_ends, y_ends) = ends(segment_of(nodes, &(x as i32)));
        line_fixed(x, x_ends, y_ends)
    };
    if let Some(largest_error) = largest_error_of_all(&relation, argument, value, read) {
        return Ok(FixedTableInPlace { segments, largest_error, proof: Proof::EveryReading });
    }
    // The first and the last segment end with the range, wherever rounding has put their nodes.
    let end_c = |i: usize| match i {
        0 if relation.ascends() => low_c,
        0 => high_c,
        i if i == segments => {
            if relation.ascends() {
                high_c
            } else {
                low_c
            }
        }
        i => relation.temperature(argument.number(nodes[i].into())),
    };
    let pieces = (0..segments).map(|i| {
        let ([x0, x1], [y0, y1]) = ends(i);
        let (x0, x1, y0, y1) = (argument.number(x0), argument.number(x1), value.number(y0), value.number(y1));
        let (a, b) = (end_c(i), end_c(i + 1));
        let approximation = Segment { x0, x1, y0, rise: y1 - y0, bend: 0.0, skew: 0.0 };
        Piece { low_c: a.min(b), high_c: a.max(b), approximation, rounding: 0.5 * value.unit() }
    });
    let largest_error = largest_error(&relation, pieces)?;
    Ok(FixedTableInPlace { segments, largest_error, proof: Proof::Curvature })
}

/// Integers of the nodes, ascending; how many segments they make.
fn place_nodes(relation: &Relation<'_>, spacing: Spacing, argument: FixedPoint, nodes: &mut [i32]) -> Result<usize> {
    let room = nodes.len() - 1;
    let what = "argument of a node";
    if spacing == Spacing::EqualArgument {
        let (low, high) = relation.arguments();
        let steps = EqualSteps::new(argument, low, high, room);
        for (i, node) in nodes[..=steps.segments()].iter_mut().enumerate() {
            *node = argument.holds(what, steps.code(i) as f64)? as i32;
        }
        return Ok(steps.segments());
    }
    let spread = Spread::new(relation);
    for (i, node) in nodes.iter_mut().enumerate() {
        let place = relation.point(spread.temperature(i, room)).0 / argument.unit();
        // The ends outwards: no reading of the range lies outside the table.
        let code = match i {
            0 => libm::floor(place),
            i if i == room => libm::ceil(place),
            _ => libm::round(place),
        };
        *node = argument.holds(what, code)? as i32;
    }
    Ok(room)
}

/// The integers of the slices have a sign.
fn check_sign(format: FixedPoint) -> Result<()> {
    if format.codes().1 <= i32::MAX.into() {
        return Ok(());
    }
    Err(Error::InvalidValue {
        what: "width of a fixed-point number",
        value: format.bits.into(),
        unit: "bit",
        requirement: "with a sign it may have 32 bits here, without one 31".into(),
    })
}
