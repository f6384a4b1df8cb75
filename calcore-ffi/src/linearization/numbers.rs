//! Section "linearization": which way a curve is read, and how the firmware stores its numbers.

use crate::message::Failure;
use calcore::linearization::{Direction, FixedPoint, Proof};

/// A curve is read from the signal to the temperature, as a transmitter does; errors are in kelvin.
pub const CALCORE_SIGNAL_TO_TEMPERATURE: i32 = 0;
/// A curve is read from the temperature to the signal, as a simulator does; errors are in the unit of the signal.
pub const CALCORE_TEMPERATURE_TO_SIGNAL: i32 = 1;

/// Numbers are stored as doubles.
pub const CALCORE_NUMBERS_F64: i32 = 0;
/// Numbers are stored in single precision.
pub const CALCORE_NUMBERS_F32: i32 = 1;
/// Numbers are stored as integers, fixed-point.
pub const CALCORE_NUMBERS_FIXED: i32 = 2;

/// An error was proven by enclosing the derivatives of the error on stretches of the whole range.
pub const CALCORE_PROOF_CURVATURE: i32 = 0;
/// An error was proven by trying every reading that the firmware can get.
pub const CALCORE_PROOF_EVERY_READING: i32 = 1;

/// A fixed-point number: an integer that counts parts of 2^-fraction_bits. All zero where numbers are not fixed-point.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_number_format {
    /// Width of the integer, 2 to 32 bits.
    pub bits: u32,
    /// Bits behind the point, -16 to 48.
    pub fraction_bits: i32,
    /// 1 when one of the bits is the sign (two's complement), else 0.
    pub is_signed: i32,
}

pub(super) const NO_FORMAT: calcore_number_format = calcore_number_format { bits: 0, fraction_bits: 0, is_signed: 0 };

impl calcore_number_format {
    pub(super) fn format(self, what: &str) -> Result<FixedPoint, Failure> {
        let signed = match self.is_signed {
            0 => false,
            1 => true,
            other => return Err(Failure::option(&format!("is_signed of {what}"), other, "0 or 1")),
        };
        Ok(FixedPoint::new(self.bits, self.fraction_bits, signed)?)
    }

    /// Refuses a format that would be left out unseen.
    pub(super) fn unused(self, what: &str) -> Result<(), Failure> {
        if (self.bits, self.fraction_bits, self.is_signed) == (0, 0, 0) {
            return Ok(());
        }
        let bits = i32::try_from(self.bits).unwrap_or(i32::MAX);
        Err(Failure::option(
            &format!("bits of {what}"),
            bits,
            "a format that is all zero unless numbers are fixed-point",
        ))
    }
}

pub(super) fn direction_of(direction: i32) -> Result<Direction, Failure> {
    match direction {
        CALCORE_SIGNAL_TO_TEMPERATURE => Ok(Direction::SignalToTemperature),
        CALCORE_TEMPERATURE_TO_SIGNAL => Ok(Direction::TemperatureToSignal),
        other => {
            let expected = "CALCORE_SIGNAL_TO_TEMPERATURE or CALCORE_TEMPERATURE_TO_SIGNAL";
            Err(Failure::option("direction", other, expected))
        }
    }
}

pub(super) fn proof_number(proof: Proof) -> i32 {
    match proof {
        Proof::Curvature => CALCORE_PROOF_CURVATURE,
        Proof::EveryReading => CALCORE_PROOF_EVERY_READING,
    }
}
