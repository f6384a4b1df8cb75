//! What a fitted curve is good for: readings with their uncertainty, the band about it, other forms of its
//! coefficients, and what is left after a transmitter has been matched to it.

use super::callendar_van_dusen::{CallendarVanDusenFit, sensitivities};
use super::warning::{FitWarning, WarningCode};
use crate::curves::{CallendarVanDusen, SensorCurve};
use crate::error::{Result, finite, not_negative};
use crate::num::covariance::Covariance;

/// A value with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty, in the same unit.
    pub standard_uncertainty: f64,
}

/// The curve at one temperature, with the band about it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct BandPoint {
    /// Temperature, °C.
    pub t_c: f64,
    /// Resistance of the fitted curve, ohm.
    pub ohm: f64,
    /// Half-width of the band of R(t), ohm.
    pub half_width_ohm: f64,
    /// Half-width of the band of t(R), K.
    pub half_width_k: f64,
}

/// Callendar's and Van Dusen's constants with their covariance.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct AlphaDeltaBeta {
    /// R0, ohm.
    pub r0: f64,
    /// α, 1/K.
    pub alpha: f64,
    /// δ, °C.
    pub delta: f64,
    /// β, °C.
    pub beta: f64,
    /// Covariance over (r0, alpha, delta, beta); None where the fit has none.
    pub covariance: Option<Covariance>,
}

impl CallendarVanDusenFit {
    /// Temperature of a resistance that has a standard uncertainty of its own, °C, with the uncertainty of curve and
    /// resistance together.
    ///
    /// # Formula
    /// u²(t) = (gᵀ V g + u²(R)) / R′(t)².
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`], [`crate::Error::NotFinite`], [`crate::Error::InvalidValue`];
    /// [`crate::Error::Undetermined`] where the fit has no covariance.
    pub fn read(&self, ohm: f64, u_ohm: f64) -> Result<Estimate> {
        not_negative("u_ohm", u_ohm, "ohm")?;
        let t_c = self.curve.temperature(ohm)?;
        let u_curve = self.raw_resistance_uncertainty(t_c)?;
        let u = libm::hypot(u_curve, u_ohm) / self.curve.raw_slope(t_c);
        Ok(Estimate { value: t_c, standard_uncertainty: u })
    }

    /// The band about the curve at some temperatures, `coverage_factor` standard uncertainties wide each way.
    ///
    /// # Errors
    /// As [`CallendarVanDusenFit::temperature_uncertainty`]; [`crate::Error::InvalidValue`] for the factor.
    pub fn band(&self, t_c: &[f64], coverage_factor: f64) -> Result<Vec<BandPoint>> {
        not_negative("coverage factor", coverage_factor, "")?;
        let at = |(index, t): (usize, &f64)| {
            let u = self.resistance_uncertainty(*t).map_err(|error| error.at_index(index, 1))?;
            Ok(BandPoint {
                t_c: *t,
                ohm: self.curve.raw_signal(*t),
                half_width_ohm: coverage_factor * u,
                half_width_k: coverage_factor * u / self.curve.raw_slope(*t),
            })
        };
        t_c.iter().enumerate().map(at).collect()
    }

    /// [`CallendarVanDusenFit::temperature_uncertainty`] beyond the calibrated range, asked for by name; says so in a
    /// warning, with how much larger it is than the largest one inside.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] where the equation itself no longer rises.
    pub fn extrapolated_temperature_uncertainty(&self, t_c: f64) -> Result<(f64, Option<FitWarning>)> {
        self.curve.extrapolation_range().check(t_c)?;
        let u = self.raw_resistance_uncertainty(t_c)? / self.curve.raw_slope(t_c);
        let range = self.curve.range();
        if range.contains(t_c) {
            return Ok((u, None));
        }
        let mut inside = 0.0f64;
        for end in [range.low, range.high] {
            inside = inside.max(self.raw_resistance_uncertainty(end)? / self.curve.raw_slope(end));
        }
        let text = format!(
            "{t_c} °C lies outside the calibrated {} to {} °C: the curve is known to {u:.2e} K there, to {inside:.2e} K at \
             the ends, and only if the equation holds",
            range.low, range.high
        );
        Ok((u, Some(FitWarning::new(WarningCode::Extrapolation, text))))
    }

    /// What a transmitter set to some curve reads from this element at a temperature, minus that temperature, K: the
    /// error of a standard curve, or what is left after matching with the coefficients as entered.
    ///
    /// Its uncertainty is that of the fitted curve: the reference thermometer's is in it, so that no choice of
    /// coefficients brings the band below that.
    ///
    /// # Formula
    /// e(t) = t_entered(R_fitted(t)) − t, u(e) = √(gᵀ V g) / R′_entered.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] where either curve is left; [`crate::Error::Undetermined`] where the fit has no
    /// covariance.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::CallendarVanDusen;
    /// use calcore::fit::{CallendarVanDusenOptions, callendar_van_dusen};
    /// let (t_c, ohm) = ([0.0, 100.0, 200.0], [100.05, 138.55, 175.90]); // 0.05 ohm of leads left in
    /// let options = CallendarVanDusenOptions { u_ohm: 0.004.into(), ..Default::default() };
    /// let fit = callendar_van_dusen(&t_c, &ohm, &options)?;
    /// let error = fit.error_read_with(&CallendarVanDusen::iec60751(100.0)?, 100.0)?;
    /// assert!((error.value - 0.117).abs() < 0.001);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn error_read_with(&self, entered: &CallendarVanDusen, t_c: f64) -> Result<Estimate> {
        let u = self.resistance_uncertainty(t_c)?;
        let read = entered.temperature(self.curve.raw_signal(t_c))?;
        Ok(Estimate { value: read - t_c, standard_uncertainty: u / entered.raw_slope(read) })
    }

    /// α, δ and β of the fitted curve with their covariance.
    ///
    /// # Formula
    /// α = A + 100 B, δ = −10⁴ B/α, β = −10⁸ C/α; covariance by the derivatives.
    #[must_use]
    pub fn alpha_delta_beta(&self) -> AlphaDeltaBeta {
        let (alpha, delta, beta) = (self.curve.alpha(), self.curve.delta(), self.curve.beta());
        let jacobian = [
            [1.0, 0.0, 0.0, 0.0],
            [0.0, 1.0, 100.0, 0.0],
            [0.0, -delta / alpha, (-1e4 - 100.0 * delta) / alpha, 0.0],
            [0.0, -beta / alpha, -100.0 * beta / alpha, -1e8 / alpha],
        ];
        AlphaDeltaBeta {
            r0: self.curve.r0(),
            alpha,
            delta,
            beta,
            covariance: self.report.covariance.as_ref().map(|v| v.propagated(&jacobian)),
        }
    }

    /// Covariance of the temperatures that the fitted curve reads at several temperatures, row by row, K²: points on
    /// one curve share its errors.
    ///
    /// # Errors
    /// As [`CallendarVanDusenFit::temperature_uncertainty`].
    pub fn temperature_covariance(&self, t_c: &[f64]) -> Result<Covariance> {
        for (index, t) in t_c.iter().enumerate() {
            self.temperature_uncertainty(finite("t_c", *t)?).map_err(|error| error.at_index(index, 1))?;
        }
        let rows: Vec<[f64; 4]> =
            t_c.iter().map(|t| sensitivities(&self.curve, *t).map(|g| g / self.curve.raw_slope(*t))).collect();
        Ok(self.report.covariance.as_ref().map_or_else(|| Covariance::zeros(0), |v| v.propagated(&rows)))
    }
}
