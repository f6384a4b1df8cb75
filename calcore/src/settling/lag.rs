//! Thermometers follow late.

use crate::error::{Result, finite, not_negative};

/// How far a thermometer with a time constant stays behind in a ramp, K.
///
/// # Formula
/// Δt = τ r; positive where it reads low in a rise.
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`] for a negative time constant.
///
/// # Example
/// ```
/// // 60 s in a ramp of 0.02 K/min.
/// assert!((calcore::settling::lag(60.0, 0.02)? - 0.02).abs() < 1e-17);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn lag(time_constant_s: f64, rate_per_min: f64) -> Result<f64> {
    Ok(not_negative("time constant", time_constant_s, "s")? * finite("rate", rate_per_min)? / 60.0)
}

/// What is to be added to an error because instrument and reference follow differently late.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct LagCorrection {
    /// The correction, K.
    pub correction_k: f64,
    /// Its standard uncertainty from that of the rate, K.
    pub standard_uncertainty_k: f64,
}

/// Correction of an error (indicated minus reference) for the lag of both in a ramp.
///
/// # Formula
/// c = (τ_instrument − τ_reference) r, u(c) = |τ_instrument − τ_reference| u(r)
///
/// # Errors
/// [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`] for a negative time constant or uncertainty.
pub fn lag_correction(
    instrument_s: f64,
    reference_s: f64,
    rate_per_min: f64,
    u_rate_per_min: f64,
) -> Result<LagCorrection> {
    let later_s = not_negative("time constant", instrument_s, "s")? - not_negative("time constant", reference_s, "s")?;
    Ok(LagCorrection {
        correction_k: later_s * finite("rate", rate_per_min)? / 60.0,
        standard_uncertainty_k: later_s.abs() * not_negative("uncertainty of the rate", u_rate_per_min, "K/min")?
            / 60.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slow_instrument_reads_low_in_a_rise() {
        // The instrument stays 0.03 K behind, the reference 0.01 K: the error of −0.02 K is the lag's.
        let lag = lag_correction(90.0, 30.0, 0.02, 0.001).unwrap();
        assert!((lag.correction_k - 0.02).abs() < 1e-17 && (lag.standard_uncertainty_k - 0.001).abs() < 1e-18);
        assert_eq!(lag_correction(-1.0, 0.0, 0.0, 0.0).map_err(|e| e.code()), Err(103));
    }
}
