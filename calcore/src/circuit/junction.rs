//! The reference junction of a thermocouple, and its inhomogeneity.

use super::Effect;
use super::effect::{of_emf, slope_at_reading};
use crate::curves::SensorCurve;
use crate::error::{Result, finite, not_negative};

/// Temperature of a measuring junction, with its derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct JunctionReading {
    /// Temperature of the measuring junction, °C.
    pub t_c: f64,
    /// Emf that the couple would have with its reference junction at 0 °C, mV.
    pub total_mv: f64,
    /// Change with the emf, K/mV: 1/S(t).
    pub per_mv: f64,
    /// Change with the temperature taken for the reference junction, K/K: S(t_ref)/S(t).
    pub per_reference_k: f64,
}

/// Temperature of the measuring junction by the emf and the temperature of the reference junction.
///
/// # Formula
/// E(t) = E_measured + E(t_ref): emfs are added, never temperatures.
///
/// # Arguments
/// `curve`: emf of the couple against 0 °C, mV; `measured_mv`; `reference_c`: temperature of the reference junction, °C.
///
/// # Errors
/// [`crate::Error::NotFinite`]; [`crate::Error::OutOfRange`] outside the range of the curve, for the reference junction
/// outside that of [`SensorCurve::junction_signal`]; [`crate::Error::UnknownName`] for a curve whose signal is not in mV
/// (a table may leave its unit open).
///
/// # Source
/// IEC 60584-1:2013, clause 3.
///
/// # Example
/// ```
/// use calcore::circuit::measuring_junction;
/// use calcore::curves::{Interpolation, TabulatedCurve};
/// // Rows of the table of type K.
/// let couple = TabulatedCurve::new(&[0.0, 25.0, 100.0], &[0.0, 1.000, 4.096], Interpolation::Linear)?;
/// let reading = measuring_junction(&couple, 3.096, 25.0)?;
/// assert!((reading.t_c - 100.0).abs() < 1e-12); // not 75.9, and not 75.9 + 25
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn measuring_junction(curve: &dyn SensorCurve, measured_mv: f64, reference_c: f64) -> Result<JunctionReading> {
    of_emf(curve)?;
    let total_mv = finite("emf", measured_mv)? + curve.junction_signal(reference_c)?;
    let t_c = curve.temperature(total_mv)?;
    let slope = slope_at_reading(curve, t_c)?;
    Ok(JunctionReading {
        t_c,
        total_mv,
        per_mv: 1.0 / slope,
        per_reference_k: curve.junction_slope(reference_c)? / slope,
    })
}

/// Emf that a couple gives between its measuring and its reference junction, mV.
///
/// # Formula
/// E = E(t) − E(t_ref)
///
/// # Arguments
/// `curve`: emf of the couple against 0 °C, mV; `t_c`: measuring junction, °C; `reference_c`: reference junction, °C.
///
/// # Errors
/// [`crate::Error::NotFinite`]; [`crate::Error::OutOfRange`] outside the range of the curve, for the reference junction
/// outside that of [`SensorCurve::junction_signal`]; [`crate::Error::UnknownName`] for a curve whose signal is not in mV
/// (a table may leave its unit open).
///
/// # Source
/// IEC 60584-1:2013, clause 3.
pub fn measured_emf(curve: &dyn SensorCurve, t_c: f64, reference_c: f64) -> Result<f64> {
    of_emf(curve)?;
    Ok(curve.signal(t_c)? - curve.junction_signal(reference_c)?)
}

/// Error by a reference junction that is warmer than the instrument believes; the cause is in kelvin.
///
/// # Formula
/// The emf lacks E(t_ref + δ) − E(t_ref), so the reading is too low, by about δ S(t_ref)/S(t). The same holds for an
/// extension cable that is right and a head that is warmer than where the instrument measures.
///
/// # Arguments
/// `curve`: emf of the couple against 0 °C, mV; `t_c`: true temperature of the measuring junction, °C; `reference_c`:
/// temperature that the instrument believes; `excess_k`: how far the junction is warmer than that.
///
/// # Errors
/// [`crate::Error::NotFinite`]; [`crate::Error::OutOfRange`] outside the range of the curve, for the reference junction
/// outside that of [`SensorCurve::junction_signal`]; [`crate::Error::UnknownName`] for a curve whose signal is not in mV
/// (a table may leave its unit open).
pub fn reference_junction_effect(curve: &dyn SensorCurve, t_c: f64, reference_c: f64, excess_k: f64) -> Result<Effect> {
    of_emf(curve)?;
    let actual_c = reference_c + finite("excess of the reference junction", excess_k)?;
    let change = curve.junction_signal(reference_c)? - curve.junction_signal(actual_c)?;
    Effect::of_change(curve, t_c, change, -curve.junction_slope(actual_c)?)
}

/// Standard uncertainty by the inhomogeneity of a couple, in the unit of the scan: (largest − smallest)/(2 √3).
///
/// # Arguments
/// `scan_range`: largest minus smallest emf, or temperature, found while the couple is moved through a gradient.
///
/// # Errors
/// [`crate::Error::NotFinite`]; [`crate::Error::InvalidValue`] for a negative range.
///
/// # Source
/// EURAMET cg-8, inhomogeneity (from memory): a rectangular distribution over the range of the scan.
pub fn inhomogeneity_uncertainty(scan_range: f64) -> Result<f64> {
    Ok(not_negative("range of the scan", scan_range, "")? / (2.0 * libm::sqrt(3.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::{Interpolation, TabulatedCurve};

    /// Rows of IEC 60584-1, type K, mV.
    fn couple() -> TabulatedCurve {
        let t_c = [0.0, 25.0, 50.0, 75.0, 100.0, 125.0];
        let mv = [0.0, 1.000, 2.023, 3.059, 4.096, 5.124];
        TabulatedCurve::with_unit(&t_c, &mv, Interpolation::MonotoneCubic, "emf", "mV").unwrap()
    }

    // Witness: E(100 °C, 25 °C) = 4.096 − 1.000 mV of the same table.
    #[test]
    fn emfs_are_added() {
        let reading = measuring_junction(&couple(), 3.096, 25.0).unwrap();
        assert!((reading.t_c - 100.0).abs() < 1e-12);
        assert!((reading.total_mv - 4.096).abs() < 1e-15);
        assert_eq!(measuring_junction(&couple(), 9.0, 25.0).map_err(|e| e.code()), Err(102));
        assert_eq!(measuring_junction(&couple(), f64::NAN, 25.0).map_err(|e| e.code()), Err(101));
    }

    #[test]
    fn derivatives_are_those_of_the_reading() {
        let at = |mv: f64, t: f64| measuring_junction(&couple(), 2.5 + mv, 20.0 + t).unwrap();
        let (here, h) = (at(0.0, 0.0), 1e-5);
        assert!(((at(h, 0.0).t_c - at(-h, 0.0).t_c) / (2.0 * h) - here.per_mv).abs() < 1e-7);
        assert!(((at(0.0, h).t_c - at(0.0, -h).t_c) / (2.0 * h) - here.per_reference_k).abs() < 1e-8);
        let effect = |excess: f64| reference_junction_effect(&couple(), 90.0, 20.0, excess).unwrap();
        let slope = (effect(1.0 + h).error_k - effect(1.0 - h).error_k) / (2.0 * h);
        assert!((slope - effect(1.0).error_k_per_unit).abs() < 1e-8);
        // A warmer junction reads low, by about as much where the slopes are alike.
        assert!((effect(1.0).error_k + 1.0).abs() < 0.05);
    }

    // Witness: Δ/(2√3) = 0.288 675 Δ, by hand.
    #[test]
    fn inhomogeneity() {
        assert!((inhomogeneity_uncertainty(10.0).unwrap() - 2.886_751_345_948_129).abs() < 1e-15);
        assert_eq!(inhomogeneity_uncertainty(-1.0).map_err(|e| e.code()), Err(103));
    }
}
