//! Whether an element is of the material it is said to be.

use super::{PolynomialRtd, rtd_standard};
use crate::constants::rtd::RTD_STANDARDS;
use crate::error::{Error, Result, finite, positive, same_length};

/// How well readings fit one named thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct StandardFit {
    /// Name, as [`PolynomialRtd::standard`] takes it.
    pub name: &'static str,
    /// The largest error, in size, that the readings would have if they were read by this thermometer, with its sign, K.
    pub error_k: f64,
}

/// What the readings say about the material.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LikelyStandard {
    /// The fit of the assumed thermometer; `None` if a reading lies outside its range.
    pub assumed: Option<StandardFit>,
    /// All thermometers whose range holds every reading, the best first. Of several with the same equation the first
    /// stands for all.
    pub fits: Vec<StandardFit>,
    /// The better one, if the assumed thermometer does not fit within the tolerance and another does.
    pub suspect: Option<StandardFit>,
}

/// Compares readings of an element at known temperatures with every named thermometer.
///
/// A wrong curve is the commonest of the large errors: platinum of 0.003916 read as 0.003851 is 1.70 K high at 100 °C.
/// Readings near 0 °C tell nothing, since all curves meet there: use one far from it. A finding is a hypothesis, not a
/// verdict: leads left in, or an element strained or contaminated, also change the resistance.
///
/// # Arguments
/// `t_c`: true temperatures, °C; `ohm`: resistances there; `r0`: resistance at 0 °C (measured, or the nominal one);
/// `assumed`: name of the thermometer that the transmitter is set to; `tolerance_k`: largest error that still counts
/// as a fit, K.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::TooFewPoints`], [`Error::NotFinite`], [`Error::InvalidValue`],
/// [`Error::UnknownName`].
///
/// # Example
/// ```
/// // 139.106 ohm at 100 °C is platinum of 0.00391, not of 0.00385.
/// let found = calcore::curves::likely_standard(&[100.0], &[139.106], 100.0, "iec60751_pt385", 0.3)?;
/// assert!(found.assumed.unwrap().error_k > 1.5);
/// assert_eq!(found.suspect.map(|s| s.name), Some("gost6651_pt391"));
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn likely_standard(t_c: &[f64], ohm: &[f64], r0: f64, assumed: &str, tolerance_k: f64) -> Result<LikelyStandard> {
    same_length("resistances", t_c.len(), ohm.len())?;
    if t_c.is_empty() {
        return Err(Error::TooFewPoints { what: "search for the material", needed: 1, found: 0, hint: "" });
    }
    for (i, (t, r)) in t_c.iter().zip(ohm).enumerate() {
        finite("temperature", *t).map_err(|error| error.at_index(i, 1))?;
        positive("resistance", *r, "ohm").map_err(|error| error.at_index(i, 1))?;
    }
    positive("tolerance", tolerance_k, "K")?;
    let assumed_data = rtd_standard(assumed)?;
    let assumed = fit(assumed_data.name, t_c, ohm, r0)?;
    let mut fits: Vec<StandardFit> = Vec::new();
    for (i, data) in RTD_STANDARDS.iter().enumerate() {
        if RTD_STANDARDS[..i].iter().all(|earlier| earlier.equation != data.equation) {
            fits.extend(fit(data.name, t_c, ohm, r0)?);
        }
    }
    fits.sort_by(|a, b| a.error_k.abs().total_cmp(&b.error_k.abs()));
    let assumed_fits = assumed.is_some_and(|fit| fit.error_k.abs() <= tolerance_k);
    let best = fits.first().copied().filter(|best| best.error_k.abs() <= tolerance_k && !assumed_fits);
    Ok(LikelyStandard { assumed, fits, suspect: best })
}

fn fit(name: &'static str, t_c: &[f64], ohm: &[f64], r0: f64) -> Result<Option<StandardFit>> {
    let curve = PolynomialRtd::standard(name, r0)?;
    let mut error_k: f64 = 0.0;
    for (t, r) in t_c.iter().zip(ohm) {
        let Ok(read) = curve.temperature(*r) else { return Ok(None) };
        if (read - t).abs() > error_k.abs() {
            error_k = read - t;
        }
    }
    Ok(Some(StandardFit { name, error_k }))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: worked out apart, in the coefficients of both: +1.70 K at 100 °C, +3.47 K at 200 °C, +7.2 K at 400 °C.
    #[test]
    fn platinum_of_3916_read_as_3851() {
        let element = PolynomialRtd::standard("jis_pt3916", 100.0).unwrap();
        for (t_c, error_k, digit) in [(100.0, 1.70, 0.005), (200.0, 3.47, 0.005), (400.0, 7.2, 0.05)] {
            let ohm = element.resistance(t_c).unwrap();
            let found = likely_standard(&[t_c], &[ohm], 100.0, "iec60751_pt385", 0.3).unwrap();
            assert!((found.assumed.unwrap().error_k - error_k).abs() <= digit, "{found:?}");
            assert_eq!(found.suspect.unwrap().name, "jis_pt3916");
            assert_eq!(found.fits[0].name, "jis_pt3916");
        }
    }

    #[test]
    fn the_right_material_is_not_suspected() {
        // IEC 60751 table 1: 138.51 ohm at 100 °C.
        for name in ["iec60751_pt385", "astm_e1137_pt385"] {
            let found = likely_standard(&[0.0, 100.0], &[100.0, 138.51], 100.0, name, 0.1).unwrap();
            assert_eq!(found.suspect, None);
            assert_eq!(found.fits[0].name, "iec60751_pt385");
        }
        let nothing_fits = likely_standard(&[100.0], &[150.0], 100.0, "iec60751_pt385", 0.1).unwrap();
        assert_eq!(nothing_fits.suspect, None);
        assert!(nothing_fits.assumed.unwrap().error_k > 25.0);
    }

    #[test]
    fn nonsense_is_refused() {
        let code = |t: &[f64], r: &[f64], name| likely_standard(t, r, 100.0, name, 0.1).map_err(|e| e.code()).err();
        assert_eq!(code(&[], &[], "iec60751_pt385"), Some(201));
        assert_eq!(code(&[1.0], &[], "iec60751_pt385"), Some(105));
        assert_eq!(code(&[1.0], &[f64::NAN], "iec60751_pt385"), Some(101));
        assert_eq!(code(&[1.0], &[-1.0], "iec60751_pt385"), Some(103));
        assert_eq!(code(&[1.0], &[100.0], "pt100"), Some(104));
    }
}
