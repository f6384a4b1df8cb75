//! Every reading that firmware with a narrow fixed-point argument can get, tried.

use super::fixed_point::FixedPoint;
use super::relation::{Direction, Relation};

/// Readings up to which every one is tried instead of bounded.
const MOST_READINGS: i64 = 1 << 17;

/// Readings that are tried at a time.
const BLOCK: usize = 512;

/// Largest error of what the firmware finds over every reading of the range; nothing for more than [`MOST_READINGS`].
pub(crate) fn largest_error_of_all(
    relation: &Relation<'_>,
    argument: FixedPoint,
    value: FixedPoint,
    read: impl Fn(i64) -> i64,
) -> Option<f64> {
    let (low, high) = relation.arguments();
    let (first, last) = (libm::ceil(low / argument.unit()) as i64, libm::floor(high / argument.unit()) as i64);
    if last - first >= MOST_READINGS {
        return None;
    }
    let (mut x, mut y) = ([0.0; BLOCK], [0.0; BLOCK]);
    let mut most = 0.0f64;
    let mut code = first;
    while code <= last {
        let n = BLOCK.min((last - code + 1) as usize);
        for (k, x) in x[..n].iter_mut().enumerate() {
            *x = argument.number(code + k as i64);
        }
        match relation.direction {
            Direction::SignalToTemperature => relation.curve.raw_temperature_block(&x[..n], &mut y[..n]),
            Direction::TemperatureToSignal => relation.curve.raw_signal_block(&x[..n], &mut y[..n]),
        }
        for (k, y) in y[..n].iter().enumerate() {
            let error = (value.number(read(code + k as i64)) - y).abs();
            // NaN must not pass for small.
            most = if error <= most { most } else { error };
        }
        code += n as i64;
    }
    Some(most)
}
