//! Lead wires of a resistance thermometer.

use super::Effect;
use super::effect::of_resistance;
use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite, not_negative, positive};

/// Resistivity of annealed copper at 20 °C, ohm mm²/m. Source: IEC 60028:1925, clause I.
const COPPER_RESISTIVITY: f64 = 0.017_241;
/// Its temperature coefficient at 20 °C, 1/K. Source: IEC 60028:1925, clause I.
const COPPER_COEFFICIENT: f64 = 3.93e-3;

/// Resistance of one copper lead, ohm.
///
/// # Formula
/// ρ length/area (1 + 0.00393 (t − 20 °C)), ρ = 0.017241 ohm mm²/m.
///
/// # Errors
/// [`crate::Error::NotFinite`]; [`crate::Error::InvalidValue`] for a negative length or an area that is not positive.
///
/// # Source
/// IEC 60028:1925 (from memory).
///
/// # Example
/// ```
/// // 50 m of 0.5 mm²: 1.72 ohm.
/// assert!((calcore::circuit::copper_lead_resistance(50.0, 0.5, 20.0)? - 1.7241).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn copper_lead_resistance(length_m: f64, area_mm2: f64, t_c: f64) -> Result<f64> {
    not_negative("length of the lead", length_m, "m")?;
    positive("area of the lead", area_mm2, "mm²")?;
    finite("temperature of the lead", t_c)?;
    let at_20_c = COPPER_RESISTIVITY * length_m / area_mm2;
    finite("resistance of the lead", at_20_c * (1.0 + COPPER_COEFFICIENT * (t_c - 20.0)))
}

/// What an instrument with two wires reads: the element and both leads, ohm.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`] for a negative resistance.
pub fn two_wire_reading(element_ohm: f64, first_lead_ohm: f64, second_lead_ohm: f64) -> Result<f64> {
    let element = not_negative("resistance of the element", element_ohm, "ohm")?;
    let first = not_negative("resistance of a lead", first_lead_ohm, "ohm")?;
    Ok(element + first + not_negative("resistance of a lead", second_lead_ohm, "ohm")?)
}

/// The element behind what an instrument with two wires reads, ohm: the reading less both leads.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`] for a negative resistance of a lead, and for a reading
/// below that of the leads.
///
/// # Example
/// ```
/// use calcore::circuit::{two_wire_element, two_wire_reading};
/// assert_eq!(two_wire_element(two_wire_reading(100.0, 0.25, 0.5)?, 0.25, 0.5)?, 100.0);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn two_wire_element(read_ohm: f64, first_lead_ohm: f64, second_lead_ohm: f64) -> Result<f64> {
    let first = not_negative("resistance of a lead", first_lead_ohm, "ohm")?;
    let both = first + not_negative("resistance of a lead", second_lead_ohm, "ohm")?;
    let element_ohm = finite("resistance read", read_ohm)? - both;
    if element_ohm >= 0.0 {
        return Ok(element_ohm);
    }
    Err(Error::InvalidValue {
        what: "resistance read",
        value: read_ohm,
        unit: "ohm",
        requirement: format!("it must not be below that of both leads, {both} ohm"),
    })
}

/// What an instrument with three wires reads: the element and the difference of the two leads that carry the current,
/// ohm. Equal leads cancel.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`] for a negative resistance.
pub fn three_wire_reading(element_ohm: f64, first_lead_ohm: f64, second_lead_ohm: f64) -> Result<f64> {
    let element = not_negative("resistance of the element", element_ohm, "ohm")?;
    let first = not_negative("resistance of a lead", first_lead_ohm, "ohm")?;
    Ok(element + (first - not_negative("resistance of a lead", second_lead_ohm, "ohm")?))
}

/// Error by leads that an instrument with two wires takes for a part of the element; the cause is in ohm.
///
/// # Arguments
/// `curve`: resistance thermometer, ohm; `t_c`: its true temperature, °C; `leads_ohm`: both leads together.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`]; [`crate::Error::OutOfRange`] when temperature or
/// reading lie outside the range of the curve; [`crate::Error::UnknownName`] for a curve whose signal is not in ohm (a
/// table may leave its unit open).
///
/// # Example
/// ```
/// use calcore::{circuit::two_wire_effect, curves::CallendarVanDusen};
/// let effect = two_wire_effect(&CallendarVanDusen::iec60751(100.0)?, 0.0, 0.5)?;
/// assert!((effect.error_k - 1.280).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn two_wire_effect(curve: &dyn SensorCurve, t_c: f64, leads_ohm: f64) -> Result<Effect> {
    of_resistance(curve)?;
    not_negative("resistance of the leads", leads_ohm, "ohm")?;
    Effect::of_change(curve, t_c, leads_ohm, 1.0)
}

/// Error by two leads that differ in an instrument with three wires; the cause is the difference in ohm.
///
/// # Arguments
/// `curve`: resistance thermometer, ohm; `t_c`: its true temperature, °C; `mismatch_ohm`: the lead in series with the
/// element minus the one that is taken away.
///
/// # Errors
/// As [`two_wire_effect`].
pub fn three_wire_effect(curve: &dyn SensorCurve, t_c: f64, mismatch_ohm: f64) -> Result<Effect> {
    of_resistance(curve)?;
    finite("difference of the leads", mismatch_ohm)?;
    Effect::of_change(curve, t_c, mismatch_ohm, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::CallendarVanDusen;

    // Witness: worked out in the trade: 0.5 ohm is +1.280 K at 0 °C and +1.45 K at 400 °C, a mismatch of 0.1 ohm
    // 0.2559 K at 0 °C. Half of the last digit.
    #[test]
    fn known_errors() {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        assert!((two_wire_effect(&pt100, 0.0, 0.5).unwrap().error_k - 1.280).abs() <= 0.0005);
        assert!((two_wire_effect(&pt100, 400.0, 0.5).unwrap().error_k - 1.45).abs() <= 0.005);
        assert!((three_wire_effect(&pt100, 0.0, 0.1).unwrap().error_k - 0.2559).abs() <= 0.00005);
        assert_eq!(two_wire_reading(100.0, 0.25, 0.25), Ok(100.5));
        assert_eq!(three_wire_reading(100.0, 0.5, 0.25), Ok(100.25));
        assert_eq!(three_wire_reading(100.0, 5.0, 5.0), Ok(100.0));
    }

    #[test]
    fn the_derivative_is_that_of_the_error() {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        for mismatch in [-0.4, 0.0, 0.3] {
            let at = |ohm: f64| three_wire_effect(&pt100, 50.0, ohm).unwrap();
            // A central difference of 1e-4 ohm errs by 1e-8 · f'''/6, far less than its rounding, 1e-13/1e-4.
            let difference = (at(mismatch + 1e-4).error_k - at(mismatch - 1e-4).error_k) / 2e-4;
            assert!((difference - at(mismatch).error_k_per_unit).abs() < 3e-9);
        }
    }

    #[test]
    fn the_ends_of_the_range_are_inside() {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        for t_c in [-200.0, 850.0] {
            let effect = three_wire_effect(&pt100, t_c, 0.0).unwrap();
            // The inverse at the end, within a few roundings.
            assert!(effect.error_k.abs() < 2.5e-13);
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        assert_eq!(two_wire_effect(&pt100, 0.0, -0.5).map_err(|e| e.code()), Err(103));
        assert_eq!(two_wire_effect(&pt100, 850.0, 5.0).map_err(|e| e.code()), Err(102));
        assert_eq!(copper_lead_resistance(1.0, 0.0, 20.0).map_err(|e| e.code()), Err(103));
        let message = two_wire_element(0.4, 0.25, 0.25).unwrap_err().to_string();
        assert_eq!(message, "resistance read is 0.4 ohm: it must not be below that of both leads, 0.5 ohm");
        // A reading of the leads alone is an element of 0 ohm, such as a link in its place.
        assert_eq!(two_wire_element(two_wire_reading(0.0, 0.1, 0.2).unwrap(), 0.1, 0.2), Ok(0.0));
        assert_eq!(two_wire_reading(f64::NAN, 0.0, 0.0).map_err(|e| e.code()), Err(101));
    }
}
