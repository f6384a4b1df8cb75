//! Evaluation of Type B: from certificates, limits, resolution and history.

use crate::error::{Error, Result, finite, not_negative, positive};
use crate::uncertainty::coverage::coverage_factor;
use crate::uncertainty::distribution::Distribution;

/// An estimate whose certificate states U and k.
///
/// # Formula
/// u = U/k
///
/// # Arguments
/// `degrees_of_freedom`: as the certificate states them, infinite where it states none.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative U, a factor or degrees of freedom that are not positive.
///
/// # Source
/// JCGM 100:2008, 4.3.3.
///
/// # Example
/// ```
/// use calcore::uncertainty::evaluation::from_expanded;
/// // JCGM 100:2008, 4.3.3: 240 µg at three standard deviations give 80 µg.
/// assert_eq!(from_expanded(0.0, 240.0, 3.0, f64::INFINITY)?.standard_uncertainty(), 80.0);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn from_expanded(
    estimate: f64,
    expanded_uncertainty: f64,
    coverage_factor: f64,
    degrees_of_freedom: f64,
) -> Result<Distribution> {
    not_negative("expanded uncertainty", expanded_uncertainty, "")?;
    positive("coverage factor", coverage_factor, "")?;
    Distribution::normal_with_degrees_of_freedom(estimate, expanded_uncertainty / coverage_factor, degrees_of_freedom)
}

/// An estimate whose certificate states U with its coverage probability, and perhaps its degrees of freedom.
///
/// # Formula
/// u = U/t_p(ν), with the normal quantile for ν infinite
///
/// # Errors
/// As [`from_expanded`], and [`Error::OutOfRange`] for a probability that is not between 0 and 1.
///
/// # Source
/// JCGM 100:2008, 4.3.4 and 4.3.5; t_p: G.3.
///
/// # Example
/// ```
/// use calcore::uncertainty::evaluation::from_level;
/// // JCGM 100:2008, 4.3.4: ±129 µΩ at 99 % give 50 µΩ; 4.3.5: ±0.04 mm at even chances give 0.06 mm.
/// assert!((from_level(0.0, 129.0, 0.99, f64::INFINITY)?.standard_uncertainty() - 50.0).abs() < 0.5);
/// assert!((from_level(0.0, 0.04, 0.5, f64::INFINITY)?.standard_uncertainty() - 0.06).abs() < 0.005);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn from_level(
    estimate: f64,
    expanded_uncertainty: f64,
    probability: f64,
    degrees_of_freedom: f64,
) -> Result<Distribution> {
    from_expanded(estimate, expanded_uncertainty, coverage_factor(probability, degrees_of_freedom)?, degrees_of_freedom)
}

/// An estimate that is known to lie within a half-width, with nothing to prefer one place to another: a rectangle. For
/// limits that are not about the estimate take [`Distribution::rectangular`] and its kin.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative half-width.
///
/// # Source
/// JCGM 100:2008, 4.3.7.
pub fn from_half_width(estimate: f64, half_width: f64) -> Result<Distribution> {
    finite("estimate", estimate)?;
    not_negative("half-width", half_width, "")?;
    Distribution::rectangular(estimate - half_width, estimate + half_width)
}

/// A reading of a display with a given step: a rectangle of half a step to both sides.
///
/// # Formula
/// u = q/√12
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative step.
///
/// # Source
/// JCGM 100:2008, F.2.2.1.
pub fn resolution(reading: f64, step: f64) -> Result<Distribution> {
    from_half_width(reading, 0.5 * not_negative("resolution", step, "")?)
}

/// How far off the difference of two readings may be because both displays round: the sum of two rectangles of half a
/// step each, a trapezoid about zero.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative step.
///
/// # Source
/// JCGM 101:2008, 6.4.4 (sum of two rectangles).
pub fn resolution_of_difference(first_step: f64, second_step: f64) -> Result<Distribution> {
    let first = not_negative("resolution", first_step, "")?;
    let second = not_negative("resolution", second_step, "")?;
    let half = 0.5 * (first + second);
    let shape = if half > 0.0 { 0.5 * (first - second).abs() / half } else { 0.0 };
    Distribution::trapezoidal(-half, half, shape)
}

/// What a standard may have drifted since its last calibration, judged from the last two: a rectangle about zero whose
/// half-width is the change between them, in proportion to the time.
///
/// # Arguments
/// - `older`, `newer`: the two calibrated values (or corrections), in one unit.
/// - `elapsed_over_interval`: the time since the newer calibration over the time between the two; 1 at the end of an equal
///   interval.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative time.
///
/// # Source
/// Common practice, no source. Two calibrations that agree by luck give nothing: add the least drift that the kind of
/// instrument is known for.
pub fn drift(older: f64, newer: f64, elapsed_over_interval: f64) -> Result<Distribution> {
    let change = finite("newer calibration", newer)? - finite("older calibration", older)?;
    not_negative("time since the calibration over the interval", elapsed_over_interval, "")?;
    from_half_width(0.0, finite("drift", change.abs() * elapsed_over_interval)?)
}

/// Degrees of freedom of a standard uncertainty that is itself doubted by a fraction of it.
///
/// # Formula
/// ν = ½ (Δu/u)⁻²
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative doubt. No doubt gives infinite degrees of freedom.
///
/// # Source
/// JCGM 100:2008, G.4.2, equation (G.3).
///
/// # Example
/// ```
/// use calcore::uncertainty::evaluation::degrees_of_freedom_of_doubt;
/// // JCGM 100:2008, G.4.2: known to a quarter, 8 degrees of freedom; H.1: to a tenth, 50.
/// assert_eq!(degrees_of_freedom_of_doubt(0.25)?, 8.0);
/// assert!((degrees_of_freedom_of_doubt(0.1)? - 50.0).abs() < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn degrees_of_freedom_of_doubt(relative_doubt: f64) -> Result<f64> {
    let doubt = not_negative("relative doubt about the standard uncertainty", relative_doubt, "")?;
    let freedom = 0.5 / (doubt * doubt);
    if freedom > 0.0 {
        return Ok(freedom);
    }
    Err(Error::InvalidValue {
        what: "relative doubt about the standard uncertainty",
        value: doubt,
        unit: "",
        requirement: "so large a doubt leaves no degrees of freedom".into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn certificates_with_degrees_of_freedom() {
        // t of 95 % and 10 degrees of freedom is 2.228 (JCGM 100:2008, table G.2: 2.23).
        let found = from_level(20.0, 2.228_138_851_986_274, 0.95, 10.0).unwrap();
        assert!((found.standard_uncertainty() - 1.0).abs() < 1e-12);
        assert_eq!((found.mean(), found.degrees_of_freedom()), (20.0, 10.0));
    }

    #[test]
    fn limits_resolution_and_drift() {
        assert!((resolution(20.0, 0.1).unwrap().standard_uncertainty() - 0.1 / 12f64.sqrt()).abs() < 1e-15);
        // Two equal steps: a triangle, q/√6.
        let equal = resolution_of_difference(0.1, 0.1).unwrap();
        assert!((equal.standard_uncertainty() - 0.1 / 6f64.sqrt()).abs() < 1e-16);
        // In general the variances add.
        let both = resolution_of_difference(0.1, 0.5).unwrap().standard_uncertainty();
        assert!((both * both - (0.01 + 0.25) / 12.0).abs() < 1e-15);
        // From 100.02 to 100.05 within a year, half a year ago: ± 0.015.
        let drifted = drift(100.02, 100.05, 0.5).unwrap();
        assert!((drifted.standard_uncertainty() - 0.015 / 3f64.sqrt()).abs() < 1e-14);
        assert_eq!(drifted.mean(), 0.0);
    }

    #[test]
    fn what_a_certificate_cannot_say_is_refused() {
        let code = |d: Result<Distribution>| d.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(from_expanded(0.0, -1.0, 2.0, f64::INFINITY)), Err(103));
        assert_eq!(code(from_expanded(0.0, 1.0, 0.0, f64::INFINITY)), Err(103));
        assert_eq!(code(from_level(0.0, 1.0, 95.0, f64::INFINITY)), Err(102));
        assert_eq!(code(from_level(0.0, 1.0, 0.95, -1.0)), Err(103));
        assert_eq!(code(resolution(0.0, -0.1)), Err(103));
        assert_eq!(code(drift(1.0, 2.0, -0.5)), Err(103));
        assert_eq!(code(drift(f64::NAN, 2.0, 0.5)), Err(101));
        assert_eq!(degrees_of_freedom_of_doubt(0.0), Ok(f64::INFINITY));
    }
}
