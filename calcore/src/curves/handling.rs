//! What becomes of values that a curve cannot take, in a slice.

use crate::error::{Error, Result, same_length};
use crate::interval::Interval;
use crate::num::simd::{BLOCK, widest};

/// What a NaN, an infinity or a value out of range gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Invalid {
    /// An error that names the first such element and their number.
    #[default]
    Raise,
    /// NaN in its place.
    Nan,
}

/// How a slice is evaluated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Handling {
    /// What invalid elements give.
    pub invalid: Invalid,
    /// Whether the equation is used beyond the range of the curve.
    pub extrapolate: bool,
}

impl Invalid {
    /// Reads the names `raise` and `nan`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "raise" => Ok(Self::Raise),
            "nan" => Ok(Self::Nan),
            _ => Err(Error::UnknownName {
                what: "handling of invalid values",
                name: name.into(),
                expected: "\"raise\" or \"nan\"".into(),
            }),
        }
    }
}

/// Runs a block kernel over a slice and deals with the elements outside the range.
pub(super) fn evaluate(
    range: Interval,
    input: &[f64],
    output: &mut [f64],
    invalid: Invalid,
    kernel: impl Fn(&[f64], &mut [f64]),
) -> Result<()> {
    same_length("output", input.len(), output.len())?;
    for (x, y) in input.chunks(BLOCK).zip(output.chunks_mut(BLOCK)) {
        let all_inside = inside(range, x);
        if !all_inside && invalid == Invalid::Raise {
            return Err(first_refusal(range, input));
        }
        kernel(x, y);
        if !all_inside {
            for (value, result) in x.iter().zip(y.iter_mut()) {
                if !range.contains(*value) {
                    *result = f64::NAN;
                }
            }
        }
    }
    Ok(())
}

/// Holds every element inside the range, as [`Interval::held`] does one value.
pub(crate) fn hold(range: Interval, values: &mut [f64]) {
    widest(
        #[inline(always)]
        || {
            for value in values {
                *value = range.held(*value);
            }
        },
    );
}

fn inside(range: Interval, values: &[f64]) -> bool {
    widest(
        #[inline(always)]
        || values.iter().fold(true, |all, &x| all & (x >= range.low) & (x <= range.high)),
    )
}

/// The error for the first element that does not lie inside, which must exist.
#[cold]
pub(super) fn first_refusal(range: Interval, values: &[f64]) -> Error {
    let mut outside = values.iter().enumerate().filter(|(_, x)| !range.contains(**x));
    let (index, value) = outside.next().map_or((0, f64::NAN), |(i, x)| (i, *x));
    range.refusal(value).at_index(index, 1 + outside.count())
}
