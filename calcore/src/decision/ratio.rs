//! Ratios that stand for the quality of a measurement beside a tolerance, each with its definition.

use crate::decision::limits::Limits;
use crate::error::{Error, Result, finite, not_negative, positive, within};

/// Half the distance of two tolerance limits.
///
/// # Errors
/// Those of [`Limits::check`]; [`Error::Undetermined`] where one is missing.
pub(super) fn half_width(limits: Limits) -> Result<f64> {
    let (Some(lower), Some(upper)) = (limits.check()?.lower, limits.upper) else {
        return Err(Error::Undetermined {
            what: "ratio to the tolerance",
            parameter: "the width of the tolerance".into(),
            hint: "give both tolerance limits",
        });
    };
    Ok(0.5 * finite("width of the tolerance", upper - lower)?)
}

/// Test uncertainty ratio: width of the tolerance over twice the expanded uncertainty of the measurement process.
///
/// # Formula
/// TUR = (T_U − T_L)/(2 U), U for 95 % coverage
///
/// # Errors
/// Those of [`Limits::check`]; [`Error::Undetermined`] where a limit is missing; [`Error::InvalidValue`] for an expanded
/// uncertainty that is not positive.
///
/// # Source
/// ANSI/NCSL Z540.3-2006, 3.11 (clause from memory).
///
/// # Example
/// ```
/// use calcore::decision::{Limits, ratio::test_uncertainty_ratio};
/// assert_eq!(test_uncertainty_ratio(Limits::symmetric(1.0), 0.25)?, 4.0);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn test_uncertainty_ratio(limits: Limits, expanded_uncertainty: f64) -> Result<f64> {
    finite("ratio", half_width(limits)? / positive("expanded uncertainty", expanded_uncertainty, "")?)
}

/// Test accuracy ratio: tolerance of the item over the accuracy that is specified for the standard, both half-widths. It says
/// nothing of the uncertainty of the measurement.
///
/// # Formula
/// TAR = (T_U − T_L)/(2 a)
///
/// # Errors
/// As [`test_uncertainty_ratio`].
///
/// # Source
/// Common practice, no source.
pub fn test_accuracy_ratio(limits: Limits, accuracy_half_width: f64) -> Result<f64> {
    finite("ratio", half_width(limits)? / positive("accuracy of the standard", accuracy_half_width, "")?)
}

/// Measurement capability index.
///
/// # Formula
/// C_m = (T_U − T_L)/(4 u) = T/(2 U) with the width T and U = 2 u
///
/// # Errors
/// As [`test_uncertainty_ratio`].
///
/// # Source
/// JCGM 106:2012, 7.5.
pub fn measurement_capability_index(limits: Limits, standard_uncertainty: f64) -> Result<f64> {
    finite("ratio", half_width(limits)? / (2.0 * positive("standard uncertainty", standard_uncertainty, "")?))
}

/// E_n number: a difference of two results over the expanded uncertainty of that difference. |E_n| ≤ 1 is satisfactory.
///
/// # Formula
/// E_n = (x − X)/√(U_x² + U_X² − 2 r U_x U_X), U_x and U_X with one coverage factor
///
/// # Arguments
/// `correlation`: of the two results; 0 for independent ones. Results against one and the same reference share its
/// uncertainty u_r: r = u_r²/(u_x u_X).
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative expanded uncertainty, or where the difference has no
/// uncertainty; [`Error::OutOfRange`] for a correlation outside −1 to 1.
///
/// # Source
/// ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2015, 9.7 (clauses from memory); correlation: JCGM 100:2008, 5.2.2.
///
/// # Example
/// ```
/// use calcore::decision::ratio::e_n;
/// // 0.12 ± 0.06 against 0.05 ± 0.04: 0.971.
/// assert!((e_n(0.12, 0.06, 0.05, 0.04, 0.0)? - 0.971).abs() < 5e-4);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn e_n(value: f64, expanded: f64, reference: f64, reference_expanded: f64, correlation: f64) -> Result<f64> {
    finite("value", value)?;
    finite("reference value", reference)?;
    let a = not_negative("expanded uncertainty of the value", expanded, "")?;
    let b = not_negative("expanded uncertainty of the reference value", reference_expanded, "")?;
    within("correlation", correlation, -1.0, 1.0)?;
    // (a − b)² + 2 (1 − r) a b: no cancellation of squares for strongly correlated results.
    let root = libm::hypot(a - b, (2.0 * (1.0 - correlation)).sqrt() * (a.sqrt() * b.sqrt()));
    let denominator = positive("expanded uncertainty of the difference", root, "")?;
    finite("E_n number", (value - reference) / denominator)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shared_reference_makes_the_denominator_smaller() {
        // u 0.03 and 0.02, shared 0.015: r = 0.000225/0.0006 = 0.375; U of the difference is 2 √(0.0013 − 2 · 0.000225).
        let want = 0.07 / (2.0 * (0.0013f64 - 0.00045).sqrt());
        assert!((e_n(0.12, 0.06, 0.05, 0.04, 0.375).unwrap() - want).abs() < 1e-14);
        assert!(want > e_n(0.12, 0.06, 0.05, 0.04, 0.0).unwrap());
    }

    #[test]
    fn ratios_of_one_measurement() {
        // U = 0.25 with k = 2: TUR 4, and C_m = 2/(4 · 0.125) = 4 (JCGM 106:2012, 7.5: C_m = 4 is the 4 : 1 rule).
        let limits = Limits::between(-0.5, 1.5);
        assert_eq!(test_uncertainty_ratio(limits, 0.25).unwrap(), 4.0);
        assert_eq!(measurement_capability_index(limits, 0.125).unwrap(), 4.0);
        assert_eq!(test_accuracy_ratio(limits, 0.1).unwrap(), 10.0);
    }

    #[test]
    fn impossible_questions_are_refused() {
        let code = |r: Result<f64>| r.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(test_uncertainty_ratio(Limits::symmetric(1.0), 0.0)), Err(103));
        assert_eq!(code(test_accuracy_ratio(Limits { lower: None, upper: Some(1.0) }, 0.1)), Err(202));
        assert_eq!(code(e_n(1.0, 0.1, 1.0, 0.1, 1.0)), Err(103));
        assert_eq!(code(e_n(1.0, 0.1, 1.0, 0.1, -1.5)), Err(102));
        assert_eq!(code(e_n(1.0, -0.1, 1.0, 0.1, 0.0)), Err(103));
    }
}
