//! The number of segments that an error needs.

use super::LookupTable;
use super::builder::Builder;
use crate::error::{Error, Result};

/// Growth of the number of segments in one step, at most: a first table of one segment tells little.
const MOST_GROWTH: f64 = 16.0;

/// The smallest table that keeps an error.
///
/// The error falls with a power of the number of segments: a guess from the table before leads near the goal, then the
/// numbers that keep it and those that do not are brought together.
pub(super) fn smallest(builder: &mut Builder<'_>, error: f64) -> Result<LookupTable> {
    let options = builder.options;
    let most = options.most_segments;
    // Largest number that does not keep the error, and the smallest table that does.
    let mut short = 0;
    let mut enough: Option<(usize, LookupTable)> = None;
    let mut least_reached = f64::INFINITY;
    let mut count = 1;
    loop {
        let table = builder.table(count)?;
        let part = table.largest_error / error;
        if part <= 1.0 {
            enough = Some((count, table));
        } else {
            least_reached = least_reached.min(table.largest_error);
            short = count;
        }
        let limit = enough.as_ref().map_or(most + 1, |(count, _)| *count);
        if short + 1 >= limit {
            break;
        }
        // Towards the goal, and never outside of what is not known yet.
        let growth = libm::pow(part, 1.0 / options.shape.order()).min(MOST_GROWTH);
        count = ((count as f64 * growth) as usize).clamp(short + 1, limit - 1);
    }
    enough.map(|(_, table)| table).ok_or_else(|| {
        let unit = builder.relation.value_unit();
        Error::InvalidValue {
            what: "largest error",
            value: error,
            unit,
            requirement: format!(
                "{most} segments reach {least_reached:.3e} {unit} with these entries: allow that, more segments or finer \
                 entries"
            ),
        }
    })
}
