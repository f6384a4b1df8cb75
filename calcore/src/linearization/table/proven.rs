//! The largest error of a table as it is stored: by enclosures, or by every reading of a narrow fixed-point argument.

use super::builder::Builder;
use super::options::Entries;
use super::store::Stored;
use crate::error::Result;
use crate::linearization::firmware::PLACE_BITS;
use crate::linearization::proof::{Piece, Proof, largest_error_on};
use crate::linearization::readings::largest_error_of_all;
use crate::linearization::span::Segment;

impl Builder<'_> {
    /// The largest error, what rounding has in it, and how it was proven.
    pub(super) fn prove(&mut self, stored: &Stored) -> Result<(f64, f64, Proof)> {
        let (relation, entries) = (self.relation, self.options.entries);
        if let (Some(codes), Entries::Fixed { argument, value }) = (&stored.codes, entries)
            && let Some(error) = largest_error_of_all(relation, argument, value, |code| Stored::read_code(codes, code))
        {
            return Ok((error, 0.0, Proof::EveryReading));
        }
        let ends: Vec<f64> = stored.arguments.iter().map(|&x| relation.temperature(x)).collect();
        let count = stored.segments();
        let pieces = (0..count).map(|i| {
            // The first and the last segment end with the range, wherever rounding has put their nodes.
            let (low, high) = if relation.ascends() { (0, count) } else { (count, 0) };
            let end = |k: usize| match k {
                k if k == low => relation.low_c,
                k if k == high => relation.high_c,
                k => ends[k],
            };
            let (a, b) = (end(i), end(i + 1));
            let approximation = stored.segment(i);
            let rounding = rounding(&approximation, entries);
            Piece { low_c: a.min(b), high_c: a.max(b), approximation, rounding }
        });
        let added = pieces.clone().map(|piece| piece.rounding).fold(0.0, f64::max);
        let largest_error = largest_error_on(relation, self.enclose(), pieces)?;
        Ok((largest_error, added, Proof::Curvature))
    }
}

/// What rounding in the firmware can add to the error of a segment.
fn rounding(segment: &Segment, entries: Entries) -> f64 {
    let bent = segment.bend.abs() + segment.skew.abs();
    let floating = |unit: f64| {
        // The last sum is off by half a unit in its last place; u by three roundings, the slope inside by three more.
        let y = segment.y0.abs().max((segment.y0 + segment.rise).abs()) + bent;
        let last_place = libm::ldexp(unit, libm::ilogb(y.max(f64::MIN_POSITIVE)));
        last_place + unit * (6.0 * segment.rise.abs() + 14.0 * bent)
    };
    match entries {
        Entries::F64 => floating(0.5 * f64::EPSILON),
        Entries::F32 => floating(0.5 * f64::from(f32::EPSILON)),
        Entries::Fixed { value, .. } if bent == 0.0 => 0.5 * value.unit(),
        // Half a unit for the result and for the product below it, an eighth for the one below that; u is off by half
        // of 2^-16 of the segment.
        Entries::Fixed { value, .. } => {
            1.125 * value.unit() + libm::ldexp(segment.rise.abs() + bent, -(PLACE_BITS as i32) - 1)
        }
    }
}
