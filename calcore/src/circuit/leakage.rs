//! Insulation that leads a part of the current past the element.

use super::Effect;
use super::effect::of_resistance;
use crate::curves::SensorCurve;
use crate::error::{Error, Result, positive};

/// What is read of an element with an insulation resistance beside it, ohm: R Ri/(R + Ri).
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless both are positive.
pub fn resistance_with_insulation(element_ohm: f64, insulation_ohm: f64) -> Result<f64> {
    positive("resistance of the element", element_ohm, "ohm")?;
    positive("insulation resistance", insulation_ohm, "ohm")?;
    Ok(element_ohm / (1.0 + element_ohm / insulation_ohm))
}

/// The element behind a reading, ohm: the inverse of [`resistance_with_insulation`].
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless both are positive and the reading is below the insulation.
pub fn resistance_without_insulation(read_ohm: f64, insulation_ohm: f64) -> Result<f64> {
    positive("resistance read", read_ohm, "ohm")?;
    positive("insulation resistance", insulation_ohm, "ohm")?;
    if read_ohm < insulation_ohm {
        return Ok(read_ohm / (1.0 - read_ohm / insulation_ohm));
    }
    Err(Error::InvalidValue {
        what: "resistance read",
        value: read_ohm,
        unit: "ohm",
        requirement: format!("it must be below the insulation resistance, {insulation_ohm} ohm"),
    })
}

/// Error by an insulation resistance; the cause is in ohm, the more the better.
///
/// # Formula
/// ΔR = −R²/(R + Ri).
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless the insulation resistance is positive; [`Error::OutOfRange`]
/// when temperature or reading lie outside the range of the curve; [`Error::UnknownName`] for a curve whose signal is not
/// in ohm.
///
/// # Example
/// ```
/// use calcore::{circuit::insulation_effect, curves::CallendarVanDusen};
/// let effect = insulation_effect(&CallendarVanDusen::iec60751(100.0)?, 400.0, 10e6)?;
/// assert!((1e3 * effect.error_k + 17.72).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn insulation_effect(curve: &dyn SensorCurve, t_c: f64, insulation_ohm: f64) -> Result<Effect> {
    of_resistance(curve)?;
    positive("insulation resistance", insulation_ohm, "ohm")?;
    let ohm = curve.signal(t_c)?;
    let part = ohm / (ohm + insulation_ohm);
    Effect::of_change(curve, t_c, -ohm * part, part * part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::CallendarVanDusen;

    // Witness: worked out in the trade for 100 ohm platinum, mK. Half of the last digit given.
    #[test]
    fn known_errors() {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        let table = [
            (0.0, 10e6, -2.6, 0.05),
            (400.0, 10e6, -17.72, 0.005),
            (600.0, 10e6, -30.6, 0.05),
            (0.0, 1e6, -26.0, 0.5),
            (400.0, 1e6, -177.0, 0.5),
            (600.0, 1e6, -306.0, 0.5),
            (0.0, 1e5, -260.0, 5.0),
            (400.0, 1e5, -1770.0, 5.0),
            (600.0, 1e5, -3050.0, 5.0),
        ];
        for (t_c, insulation_ohm, error_mk, digit) in table {
            let effect = insulation_effect(&pt100, t_c, insulation_ohm).unwrap();
            assert!((1e3 * effect.error_k - error_mk).abs() <= digit, "{t_c} {insulation_ohm}: {effect:?}");
        }
    }

    #[test]
    fn readings_and_elements_belong_together() {
        let read = resistance_with_insulation(100.0, 1e5).unwrap();
        // 100 · 1e5 / 100 100, by hand.
        assert!((read - 99.900_099_900_099_9).abs() < 3e-14);
        assert!((resistance_without_insulation(read, 1e5).unwrap() - 100.0).abs() < 5e-14);
        assert_eq!(resistance_without_insulation(2.0, 1.0).map_err(|e| e.code()), Err(103));
        assert_eq!(resistance_with_insulation(100.0, 0.0).map_err(|e| e.code()), Err(103));
    }

    #[test]
    fn the_derivative_is_that_of_the_error() {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        let at = |ohm: f64| insulation_effect(&pt100, 300.0, ohm).unwrap();
        // Step of 1 ohm in 1e5: f''' h²/6 relative to f' is 1e-10; rounding 2e-13 / 2 beside a derivative of 1.4e-5.
        let difference = (at(1e5 + 1.0).error_k - at(1e5 - 1.0).error_k) / 2.0;
        assert!((difference - at(1e5).error_k_per_unit).abs() < 3e-13);
    }
}
