//! Numbers as integers that count parts of a power of two.

use crate::error::{Error, Result, text};

/// A fixed-point number: an integer of `bits` bits that counts parts of 2^−`fraction_bits`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct FixedPoint {
    /// Width of the integer, 2 to 32 bits.
    pub bits: u32,
    /// Bits behind the point, −16 to 48.
    pub fraction_bits: i32,
    /// Whether one of the bits is the sign (two's complement).
    pub signed: bool,
}

impl FixedPoint {
    /// A format.
    ///
    /// # Errors
    /// [`Error::InvalidValue`] for a width outside 2 to 32 or a fraction outside −16 to 48.
    pub fn new(bits: u32, fraction_bits: i32, signed: bool) -> Result<Self> {
        let format = Self { bits, fraction_bits, signed };
        format.check()?;
        Ok(format)
    }

    pub(crate) fn check(&self) -> Result<()> {
        let refuse = |what, value: f64, requirement: &'static str| {
            Err(Error::InvalidValue { what, value, unit: "bit", requirement: requirement.into() })
        };
        if !(2..=32).contains(&self.bits) {
            return refuse("width of a fixed-point number", f64::from(self.bits), "it must be 2 to 32");
        }
        if !(-16..=48).contains(&self.fraction_bits) {
            return refuse(
                "fraction of a fixed-point number",
                f64::from(self.fraction_bits),
                "it must be -16 to 48 bits",
            );
        }
        Ok(())
    }

    /// What a step of the integer is worth.
    #[must_use]
    pub fn unit(&self) -> f64 {
        libm::ldexp(1.0, -self.fraction_bits)
    }

    /// Smallest and largest integer.
    #[must_use]
    pub fn codes(&self) -> (i64, i64) {
        if self.signed {
            (-(1i64 << (self.bits - 1)), (1i64 << (self.bits - 1)) - 1)
        } else {
            (0, (1i64 << self.bits) - 1)
        }
    }

    /// The number that an integer stands for, exactly.
    #[must_use]
    pub fn number(&self, code: i64) -> f64 {
        code as f64 * self.unit()
    }

    /// The integer nearest to a number, if it fits.
    pub(crate) fn code(&self, what: &'static str, number: f64) -> Result<i64> {
        self.holds(what, libm::round(number / self.unit()))
    }

    /// A whole number as an integer, if it fits.
    pub(crate) fn holds(&self, what: &'static str, code: f64) -> Result<i64> {
        let (low, high) = self.codes();
        if code >= low as f64 && code <= high as f64 {
            return Ok(code as i64);
        }
        let requirement = text!(
            "{} bits ({}, {} behind the point) hold {} to {} only: more bits, or fewer behind the point",
            self.bits,
            if self.signed { "signed" } else { "unsigned" },
            self.fraction_bits,
            self.number(low),
            self.number(high)
        );
        Err(Error::InvalidValue { what, value: code * self.unit(), unit: "", requirement })
    }
}

/// The error of a table whose differences, multiplied, would leave 63 bits.
pub(crate) fn too_wide(argument: FixedPoint, value: FixedPoint) -> Error {
    Error::InvalidValue {
        what: "width of a fixed-point number",
        value: f64::from(argument.bits + value.bits),
        unit: "bit",
        requirement:
            "the differences of argument and value in a segment, multiplied, must fit in 63 bits: more segments \
                      or fewer bits"
                .into(),
    }
}
