//! Heat that the measuring current makes in the element.

use crate::error::{Error, Result, finite, not_negative, positive};

/// Self-heating, with its derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct SelfHeating {
    /// Power in the element, mW.
    pub power_mw: f64,
    /// Error: how far the element is warmer than what surrounds it, K.
    pub error_k: f64,
    /// Change of the error with the current, K/mA.
    pub error_k_per_ma: f64,
    /// Change of the error with the dissipation constant, K per mW/K.
    pub error_k_per_mw_per_k: f64,
}

/// Self-heating of an element by its current and its dissipation constant.
///
/// # Formula
/// P = I² R, Δt = P/δ. The constant holds for one medium and one speed of flow: a block and a pipe have different ones.
///
/// # Arguments
/// `current_ma`: mA (either direction); `ohm`: resistance of the element at its temperature; `dissipation_mw_per_k`:
/// dissipation constant δ, mW/K.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative resistance or a constant that is not positive.
///
/// # Source
/// ASTM E644, self-heating (from memory).
///
/// # Example
/// ```
/// // 1 mA in 100 ohm is 0.1 mW; at 5 mW/K it warms by 0.02 K.
/// let heating = calcore::circuit::self_heating(1.0, 100.0, 5.0)?;
/// assert!((heating.error_k - 0.02).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn self_heating(current_ma: f64, ohm: f64, dissipation_mw_per_k: f64) -> Result<SelfHeating> {
    finite("current", current_ma)?;
    not_negative("resistance", ohm, "ohm")?;
    positive("dissipation constant", dissipation_mw_per_k, "mW/K")?;
    // mA² ohm = µW.
    let power_mw = finite("power", current_ma * current_ma * ohm / 1e3)?;
    let error_k = finite("self-heating", power_mw / dissipation_mw_per_k)?;
    Ok(SelfHeating {
        power_mw,
        error_k,
        error_k_per_ma: 2.0 * current_ma * ohm / 1e3 / dissipation_mw_per_k,
        error_k_per_mw_per_k: -error_k / dissipation_mw_per_k,
    })
}

/// Resistance at zero power, with its derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ZeroPower {
    /// Resistance without self-heating, ohm.
    pub ohm: f64,
    /// Self-heating at the first current, ohm.
    pub rise_at_first_ohm: f64,
    /// Change with the resistance at the first current, ohm/ohm.
    pub per_first_ohm: f64,
    /// Change with the resistance at the second current, ohm/ohm.
    pub per_second_ohm: f64,
    /// Change with the first current, ohm/mA.
    pub per_first_ma: f64,
    /// Change with the second current, ohm/mA.
    pub per_second_ma: f64,
}

impl ZeroPower {
    /// Standard uncertainty of the resistance at zero power, ohm, by independent ones of the two readings and of the
    /// two currents.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative one.
    ///
    /// # Example
    /// ```
    /// // With a ratio of currents of √2 and equal uncertainties it is √5 times theirs.
    /// let zero = calcore::circuit::zero_power_resistance(1.0, 100.01, 2f64.sqrt(), 100.02)?;
    /// assert!((zero.uncertainty(1e-3, 1e-3, 0.0, 0.0)? - 5f64.sqrt() * 1e-3).abs() < 1e-15);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn uncertainty(&self, u_first_ohm: f64, u_second_ohm: f64, u_first_ma: f64, u_second_ma: f64) -> Result<f64> {
        let parts = [
            self.per_first_ohm * not_negative("standard uncertainty of the first reading", u_first_ohm, "ohm")?,
            self.per_second_ohm * not_negative("standard uncertainty of the second reading", u_second_ohm, "ohm")?,
            self.per_first_ma * not_negative("standard uncertainty of the first current", u_first_ma, "mA")?,
            self.per_second_ma * not_negative("standard uncertainty of the second current", u_second_ma, "mA")?,
        ];
        Ok(libm::sqrt(parts.iter().fold(0.0, |sum, part| sum + part * part)))
    }
}

/// Resistance without self-heating by readings at two currents.
///
/// # Formula
/// R = R_0 + k I²: R_0 = (I2² R1 − I1² R2)/(I2² − I1²), computed as R1 − (R2 − R1) I1²/(I2² − I1²).
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless the resistances and currents are positive, the currents differ
/// and the resistance at zero power is positive.
///
/// # Source
/// ASTM E644, self-heating (from memory).
///
/// # Example
/// ```
/// let zero = calcore::circuit::zero_power_resistance(1.0, 100.01, 2f64.sqrt(), 100.02)?;
/// assert!((zero.ohm - 100.0).abs() < 1e-13);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn zero_power_resistance(first_ma: f64, first_ohm: f64, second_ma: f64, second_ohm: f64) -> Result<ZeroPower> {
    positive("first resistance", first_ohm, "ohm")?;
    positive("second resistance", second_ohm, "ohm")?;
    let (square, difference) = squares(first_ma, second_ma)?;
    let weight = square / difference;
    let rise = (second_ohm - first_ohm) * weight;
    let slope = (second_ohm - first_ohm) / difference;
    let ohm = finite("resistance at zero power", first_ohm - rise)?;
    if ohm <= 0.0 {
        return Err(Error::InvalidValue {
            what: "resistance at zero power",
            value: ohm,
            unit: "ohm",
            requirement: format!(
                "it must be greater than 0, but {first_ohm} ohm at {first_ma} mA and {second_ohm} ohm at {second_ma} mA \
                 lead there: are currents and resistances interchanged?"
            ),
        });
    }
    Ok(ZeroPower {
        ohm,
        rise_at_first_ohm: rise,
        per_first_ohm: 1.0 + weight,
        per_second_ohm: -weight,
        per_first_ma: -2.0 * first_ma * slope * (1.0 + weight),
        per_second_ma: 2.0 * second_ma * slope * weight,
    })
}

/// Dissipation constant by readings at two currents, mW/K.
///
/// # Formula
/// δ = (P2 − P1)/(t2 − t1), with t the temperatures that the readings mean.
///
/// # Arguments
/// Current, mA, resistance, ohm, and the temperature read from it, °C, at each of the two currents.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless resistances and currents are positive, the currents differ and
/// the larger one warms more.
pub fn dissipation_from_two_currents(first: (f64, f64, f64), second: (f64, f64, f64)) -> Result<f64> {
    let power_mw = |(ma, ohm, _): (f64, f64, f64)| -> Result<f64> {
        Ok(positive("current", ma, "mA")? * ma * positive("resistance", ohm, "ohm")? / 1e3)
    };
    squares(first.0, second.0)?;
    let warming_k = finite("temperature", second.2)? - finite("temperature", first.2)?;
    let constant = (power_mw(second)? - power_mw(first)?) / warming_k;
    if constant > 0.0 && constant.is_finite() {
        return Ok(constant);
    }
    Err(Error::InvalidValue {
        what: "warming between the two currents",
        value: warming_k,
        unit: "K",
        requirement: "the larger current must warm the element more".into(),
    })
}

/// I1² and I2² − I1².
fn squares(first_ma: f64, second_ma: f64) -> Result<(f64, f64)> {
    positive("first current", first_ma, "mA")?;
    positive("second current", second_ma, "mA")?;
    let difference = (second_ma - first_ma) * (second_ma + first_ma);
    if difference == 0.0 {
        return Err(Error::InvalidValue {
            what: "second current",
            value: second_ma,
            unit: "mA",
            requirement: "it must differ from the first".into(),
        });
    }
    Ok((first_ma * first_ma, difference))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: R = R0 + k I² by hand, R0 and k chosen.
    #[test]
    fn linear_data_give_the_resistance_back() {
        for (r0, k, first, second) in
            [(100.0, 0.004, 1.0, 1.5), (25.5, 0.0003, 1.0, 2f64.sqrt()), (138.5, 0.02, 2.0, 0.5)]
        {
            let read = |ma: f64| r0 + k * ma * ma;
            let zero = zero_power_resistance(first, read(first), second, read(second)).unwrap();
            assert!((zero.ohm - r0).abs() < 1e-12, "{zero:?}");
            assert!((zero.rise_at_first_ohm - k * first * first).abs() < 1e-12);
        }
    }

    #[test]
    fn derivatives_are_those_of_the_result() {
        let at = |i1: f64, r1: f64, i2: f64, r2: f64| zero_power_resistance(i1, r1, i2, r2).unwrap();
        let (i1, r1, i2, r2) = (1.0, 100.01, 1.5, 100.03);
        let zero = at(i1, r1, i2, r2);
        let h = 1e-5;
        // Rounding 1.4e-14/1e-5 and h² f'''.
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-8, "{a} {b}");
        close((at(i1 + h, r1, i2, r2).ohm - at(i1 - h, r1, i2, r2).ohm) / (2.0 * h), zero.per_first_ma);
        close((at(i1, r1, i2 + h, r2).ohm - at(i1, r1, i2 - h, r2).ohm) / (2.0 * h), zero.per_second_ma);
        close((at(i1, r1 + h, i2, r2).ohm - at(i1, r1 - h, i2, r2).ohm) / (2.0 * h), zero.per_first_ohm);
        close((at(i1, r1, i2, r2 + h).ohm - at(i1, r1, i2, r2 - h).ohm) / (2.0 * h), zero.per_second_ohm);
        let heat = |ma: f64, delta: f64| self_heating(ma, 120.0, delta).unwrap();
        close((heat(2.0 + h, 4.0).error_k - heat(2.0 - h, 4.0).error_k) / (2.0 * h), heat(2.0, 4.0).error_k_per_ma);
        let by_constant = (heat(2.0, 4.0 + h).error_k - heat(2.0, 4.0 - h).error_k) / (2.0 * h);
        close(by_constant, heat(2.0, 4.0).error_k_per_mw_per_k);
    }

    // Witness: by hand: √(2² + 1²) = √5 at a ratio of √2.
    #[test]
    fn uncertainty_at_the_usual_ratio() {
        let zero = zero_power_resistance(1.0, 100.0, 2f64.sqrt(), 100.0).unwrap();
        assert!((zero.uncertainty(0.002, 0.002, 0.0, 0.0).unwrap() - 0.002 * 5f64.sqrt()).abs() < 1e-15);
        assert_eq!(zero.uncertainty(-0.002, 0.002, 0.0, 0.0).map_err(|e| e.code()), Err(103));
    }

    // Witness: by hand: 1 mA and 3 mA in 100 ohm differ by 0.8 mW; 0.2 K apart: 4 mW/K.
    #[test]
    fn dissipation() {
        let found = dissipation_from_two_currents((1.0, 100.0, 20.0), (3.0, 100.0, 20.2)).unwrap();
        assert!((found - 4.0).abs() < 1e-12);
        assert_eq!(
            dissipation_from_two_currents((1.0, 100.0, 20.0), (3.0, 100.0, 19.0)).map_err(|e| e.code()),
            Err(103)
        );
        assert_eq!(zero_power_resistance(1.0, 100.0, 1.0, 100.0).map_err(|e| e.code()), Err(103));
        // Currents and resistances interchanged: 1 − (1.41 − 1) 100.01²/(100.02² − 100.01²) = −2070.
        let message = zero_power_resistance(100.01, 1.0, 100.02, 2f64.sqrt()).unwrap_err().to_string();
        assert!(
            message.starts_with("resistance at zero power is -2070.") && message.contains("interchanged"),
            "{message}"
        );
        assert_eq!(self_heating(1.0, 100.0, 0.0).map_err(|e| e.code()), Err(103));
    }
}
