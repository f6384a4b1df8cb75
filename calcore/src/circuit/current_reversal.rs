//! Thermal emf in a resistance measurement, and its removal by reversing the current.

use super::Effect;
use super::effect::of_resistance;
use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite, positive};

/// A resistance by two directions of the current, with its derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ReversedReading {
    /// Resistance, ohm.
    pub ohm: f64,
    /// Emf that does not follow the current, mV.
    pub emf_mv: f64,
    /// Change of the resistance with the voltage at the forward current, ohm/mV; with the other it is the negative.
    pub ohm_per_forward_mv: f64,
    /// Change of the resistance with either current, ohm/mA.
    pub ohm_per_ma: f64,
}

/// Resistance by the voltages at a forward and a reversed current; a constant emf drops out exactly.
///
/// # Formula
/// R = (V⁺ − V⁻)/(I⁺ + I⁻), with the sizes of the currents, which may differ; emf = (V⁺ I⁻ + V⁻ I⁺)/(I⁺ + I⁻).
///
/// # Arguments
/// `forward_mv`, `reversed_mv`: voltages with their signs, mV: the forward one above zero, the reversed one below, as they
/// are while the emf is smaller than the voltage on the element; `forward_ma`, `reversed_ma`: sizes of the currents, mA.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless both currents and the forward voltage are positive and the
/// reversed voltage is negative.
///
/// # Example
/// ```
/// // 100 ohm at 1 mA, with 5 µV of thermal emf: 100.005 mV and -99.995 mV.
/// let reading = calcore::circuit::resistance_by_reversal(100.005, 1.0, -99.995, 1.0)?;
/// assert!((reading.ohm - 100.0).abs() < 1e-13);
/// assert!((reading.emf_mv - 0.005).abs() < 1e-13);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn resistance_by_reversal(
    forward_mv: f64,
    forward_ma: f64,
    reversed_mv: f64,
    reversed_ma: f64,
) -> Result<ReversedReading> {
    finite("voltage at the forward current", forward_mv)?;
    finite("voltage at the reversed current", reversed_mv)?;
    positive("forward current", forward_ma, "mA")?;
    positive("reversed current", reversed_ma, "mA")?;
    let (voltage, current) = (forward_mv - reversed_mv, forward_ma + reversed_ma);
    let ohm = finite("resistance", voltage / current)?;
    let refuse = |what: &'static str, value: f64, unit: &'static str, requirement: &str| {
        Err(Error::InvalidValue { what, value, unit, requirement: requirement.into() })
    };
    if ohm <= 0.0 {
        return refuse("resistance", ohm, "ohm", "it must be greater than 0: are the two voltages interchanged?");
    }
    if forward_mv <= 0.0 {
        let rule = "it must be greater than 0: is the emf larger than the voltage on the element?";
        return refuse("voltage at the forward current", forward_mv, "mV", rule);
    }
    if reversed_mv >= 0.0 {
        let rule = "it must be less than 0: give it with its sign, which changes with that of the current";
        return refuse("voltage at the reversed current", reversed_mv, "mV", rule);
    }
    Ok(ReversedReading {
        ohm,
        emf_mv: (forward_mv * reversed_ma + reversed_mv * forward_ma) / current,
        ohm_per_forward_mv: 1.0 / current,
        ohm_per_ma: -ohm / current,
    })
}

/// Error by an emf in a measurement with one direction of the current; the cause is in µV.
///
/// # Formula
/// ΔR = emf/I.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] for a current of zero; [`Error::OutOfRange`] when temperature or
/// reading lie outside the range of the curve; [`Error::UnknownName`] for a curve whose signal is not in ohm.
///
/// # Example
/// ```
/// use calcore::{circuit::thermal_emf_effect, curves::CallendarVanDusen};
/// // 2 µV at 1 mA is 2 mohm, about 5 mK.
/// let effect = thermal_emf_effect(&CallendarVanDusen::iec60751(100.0)?, 0.0, 2.0, 1.0)?;
/// assert!((1e3 * effect.error_k - 5.1).abs() < 0.05);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn thermal_emf_effect(curve: &dyn SensorCurve, t_c: f64, emf_uv: f64, current_ma: f64) -> Result<Effect> {
    of_resistance(curve)?;
    finite("thermal emf", emf_uv)?;
    if finite("current", current_ma)? == 0.0 {
        let requirement = "there is no reading without a current".into();
        return Err(Error::InvalidValue { what: "current", value: current_ma, unit: "mA", requirement });
    }
    // µV/mA = mohm.
    Effect::of_change(curve, t_c, emf_uv / current_ma / 1e3, 1e-3 / current_ma)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::CallendarVanDusen;

    // Witness: voltages written down from R, I and emf by hand: 138.5 ohm, 0.9 mA and 1.1 mA, emf 5 µV.
    #[test]
    fn unequal_currents_still_cancel_the_emf() {
        let reading = resistance_by_reversal(138.5 * 0.9 + 0.005, 0.9, -138.5 * 1.1 + 0.005, 1.1).unwrap();
        assert!((reading.ohm - 138.5).abs() < 1e-13, "{reading:?}");
        assert!((reading.emf_mv - 0.005).abs() < 1e-13);
        assert_eq!(resistance_by_reversal(-1.0, 1.0, 1.0, 1.0).map_err(|e| e.code()), Err(103));
        let refused = |forward, reversed| resistance_by_reversal(forward, 1.0, reversed, 1.0).unwrap_err().to_string();
        // The reversed voltage as an amount, an emf larger than both voltages, nothing at all.
        assert!(refused(100.005, 99.995).starts_with("voltage at the reversed current is 99.995 mV"));
        assert!(refused(-0.1, -0.3).starts_with("voltage at the forward current is -0.1 mV"));
        assert!(refused(0.0, 0.0).starts_with("resistance is 0 ohm"));
        assert_eq!(resistance_by_reversal(1.0, 0.0, -1.0, 1.0).map_err(|e| e.code()), Err(103));
    }

    #[test]
    fn derivatives_are_those_of_the_result() {
        let at = |v: f64, i: f64| resistance_by_reversal(100.005 + v, 1.0 + i, -99.995, 1.2).unwrap();
        let (here, h) = (at(0.0, 0.0), 1e-5);
        assert!(((at(h, 0.0).ohm - at(-h, 0.0).ohm) / (2.0 * h) - here.ohm_per_forward_mv).abs() < 5e-9);
        assert!(((at(0.0, h).ohm - at(0.0, -h).ohm) / (2.0 * h) - here.ohm_per_ma).abs() < 1e-8);
        let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
        let effect = |uv: f64| thermal_emf_effect(&pt100, 100.0, uv, -2.0).unwrap();
        assert!((effect(10.0).signal_change + 0.005).abs() < 1e-17);
        let slope = (effect(10.1).error_k - effect(9.9).error_k) / 0.2;
        assert!((slope - effect(10.0).error_k_per_unit).abs() < 1e-12);
        assert_eq!(thermal_emf_effect(&pt100, 0.0, 1.0, 0.0).map_err(|e| e.code()), Err(103));
    }
}
