//! What the firmware finds in a table, with its arithmetic.

use super::options::Entries;
use super::{LookupTable, store::Stored};
use crate::error::Result;
use crate::linearization::firmware;
use crate::linearization::relation::Direction;

impl LookupTable {
    /// What the firmware finds for an argument: rounded to the format of the argument, and with the arithmetic of the
    /// entries.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`]; [`crate::Error::OutOfRange`] outside the nodes.
    pub fn evaluate(&self, x: f64) -> Result<f64> {
        let (first, last) = (self.arguments[0], self.arguments[self.segments()]);
        let what = match self.options.direction {
            Direction::SignalToTemperature => ("signal", ""),
            Direction::TemperatureToSignal => ("temperature", "°C"),
        };
        let range = crate::Interval { what: what.0, unit: what.1, low: first, high: last };
        let x = range.check(x)?;
        if let (Some(codes), Entries::Fixed { argument, value }) = (&self.codes, self.options.entries) {
            let code = libm::round(x / argument.unit()) as i64;
            return Ok(value.number(Stored::read_code(codes, code)));
        }
        let i = firmware::segment_of(&self.arguments, &x);
        let (nodes, values) = ([self.arguments[i], self.arguments[i + 1]], [self.values[i], self.values[i + 1]]);
        let bends = self.bends.get(i).copied().unwrap_or_default();
        Ok(match self.options.entries {
            Entries::F32 => {
                let single = |pair: [f64; 2]| pair.map(|number| number as f32);
                f64::from(firmware::segment_f32(x as f32, single(nodes), single(values), single(bends)))
            }
            _ => firmware::segment_f64(x, nodes, values, bends),
        })
    }

    /// The integer that the firmware finds for the integer of a reading; beyond the nodes the nearer end answers. Nothing for
    /// a table of floating-point numbers.
    #[must_use]
    pub fn evaluate_code(&self, code: i64) -> Option<i64> {
        let codes = self.codes.as_ref()?;
        let (first, last) = (*codes.arguments.first()?, *codes.arguments.last()?);
        Some(Stored::read_code(codes, code.max(first).min(last)))
    }
}
