//! Heat that a stem conducts from the surroundings to a sensor that is not deep enough.

use crate::error::{Error, Result, finite, not_negative, positive};
use crate::num::root::bracketed_newton;

/// The effect of too little immersion, with its derivatives.
///
/// # Formula
/// error = (t_ambient − t) K exp(−depth/D).
///
/// # Source
/// J. V. Nicholas, D. R. White, Traceable Temperatures, 2nd edition (2001), chapter 4 (from memory).
///
/// # Example
/// ```
/// use calcore::circuit::Immersion;
/// // Five effective diameters deep: 0.67 % of the difference to the surroundings.
/// let stem = Immersion::new(6.0, 1.0)?;
/// assert!((stem.error_k(100.0, 0.0, 30.0)? + 0.674).abs() < 0.0005);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Immersion {
    /// Effective diameter D, mm.
    pub effective_diameter_mm: f64,
    /// Factor K.
    pub factor: f64,
}

impl Immersion {
    /// A stem by its effective diameter, mm, and its factor (1 if nothing is known).
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] unless both are positive.
    pub fn new(effective_diameter_mm: f64, factor: f64) -> Result<Self> {
        positive("effective diameter", effective_diameter_mm, "mm")?;
        positive("factor of the stem", factor, "")?;
        Ok(Self { effective_diameter_mm, factor })
    }

    /// Error of the sensor at a true temperature, with its surroundings and its depth: read minus true, K.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative depth.
    pub fn error_k(&self, t_c: f64, ambient_c: f64, depth_mm: f64) -> Result<f64> {
        let part = self.part(depth_mm)?;
        let difference_k = finite("ambient temperature", ambient_c)? - finite("temperature", t_c)?;
        finite("error of immersion", difference_k * part)
    }

    /// Change of the error with the depth, K/mm.
    ///
    /// # Errors
    /// As [`Immersion::error_k`].
    pub fn error_k_per_mm(&self, t_c: f64, ambient_c: f64, depth_mm: f64) -> Result<f64> {
        Ok(-self.error_k(t_c, ambient_c, depth_mm)? / self.effective_diameter_mm)
    }

    /// True temperature behind a reading, °C.
    ///
    /// # Errors
    /// As [`Immersion::error_k`]; [`Error::InvalidValue`] when the sensor sees nothing but its surroundings.
    pub fn true_temperature(&self, read_c: f64, ambient_c: f64, depth_mm: f64) -> Result<f64> {
        let part = self.part(depth_mm)?;
        if part >= 1.0 {
            let requirement = "the sensor does not reach the medium".into();
            return Err(Error::InvalidValue { what: "depth", value: depth_mm, unit: "mm", requirement });
        }
        let (read_c, ambient_c) = (finite("temperature read", read_c)?, finite("ambient temperature", ambient_c)?);
        finite("true temperature", read_c + (read_c - ambient_c) * part / (1.0 - part))
    }

    fn part(&self, depth_mm: f64) -> Result<f64> {
        Ok(self.factor * libm::exp(-not_negative("depth", depth_mm, "mm")? / self.effective_diameter_mm))
    }
}

/// The stem and the true temperature by readings at two depths in the same medium, with factor 1.
///
/// # Arguments
/// `shallow`, `deep`: depth, mm, and temperature read there, °C; `ambient_c`: temperature of the surroundings, °C.
/// Depths count from where the sensing length begins.
///
/// Returns the stem and the true temperature, °C.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::InvalidValue`] unless the second depth is larger; [`Error::Undetermined`] when the
/// readings do not approach the true temperature with depth as the formula does.
///
/// # Example
/// ```
/// use calcore::circuit::{Immersion, immersion_from_two_depths};
/// let stem = Immersion::new(8.0, 1.0)?;
/// let read = |depth: f64| stem.error_k(150.0, 22.0, depth).map(|error| 150.0 + error);
/// let (found, t_c) = immersion_from_two_depths((40.0, read(40.0)?), (60.0, read(60.0)?), 22.0)?;
/// assert!((found.effective_diameter_mm - 8.0).abs() < 1e-9 && (t_c - 150.0).abs() < 1e-10);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn immersion_from_two_depths(shallow: (f64, f64), deep: (f64, f64), ambient_c: f64) -> Result<(Immersion, f64)> {
    not_negative("shallow depth", shallow.0, "mm")?;
    not_negative("deep depth", deep.0, "mm")?;
    if shallow.0 >= deep.0 || shallow.0 == 0.0 {
        return Err(Error::InvalidValue {
            what: "shallow depth",
            value: shallow.0,
            unit: "mm",
            requirement: format!("it must lie between 0 and the deep one, {} mm", deep.0),
        });
    }
    let near = finite("temperature read", shallow.1)? - finite("ambient temperature", ambient_c)?;
    let far = finite("temperature read", deep.1)? - ambient_c;
    let undetermined = || Error::Undetermined {
        what: "immersion by two depths",
        parameter: "the effective diameter".into(),
        hint: "the deeper reading must lie farther from the ambient temperature, and by less than the depths allow",
    };
    // (t − t_a)(1 − e^{−L/D}) is what is read above ambient. With x = 1/D the ratio of the two readings is
    // (1 − e^{−L2 x})/(1 − e^{−L1 x}), which falls from L2/L1 at x = 0 to 1.
    let ratio = far / near;
    if ratio.is_nan() || ratio <= 1.0 || ratio >= deep.0 / shallow.0 {
        return Err(undetermined());
    }
    let balance = |x: f64| {
        let (e1, e2) = (libm::exp(-shallow.0 * x), libm::exp(-deep.0 * x));
        let value = libm::expm1(-deep.0 * x) - ratio * libm::expm1(-shallow.0 * x);
        (value, ratio * shallow.0 * e1 - deep.0 * e2)
    };
    // The balance starts from zero at x = 0, falls, turns and rises to ratio − 1; its root lies right of the turn.
    let turn = libm::log(deep.0 / (ratio * shallow.0)) / (deep.0 - shallow.0);
    let x = bracketed_newton("inverse of the effective diameter", "1/mm", turn, 50.0 / shallow.0, balance)
        .map_err(|_| undetermined())?;
    let stem = Immersion::new(1.0 / x, 1.0)?;
    let t_c = stem.true_temperature(deep.1, ambient_c, deep.0)?;
    Ok((stem, t_c))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: e^−5 = 0.67 %, e^−10 = 45 ppm, by hand.
    #[test]
    fn known_parts() {
        let stem = Immersion::new(6.0, 1.0).unwrap();
        assert!((stem.error_k(100.0, 0.0, 30.0).unwrap() + 0.673_794_699_908_546_7).abs() < 1e-14);
        assert!((stem.error_k(1e6, 0.0, 60.0).unwrap() + 45.399_929_762_484_85).abs() < 1e-11);
        let read = 100.0 + stem.error_k(100.0, 20.0, 12.0).unwrap();
        assert!((stem.true_temperature(read, 20.0, 12.0).unwrap() - 100.0).abs() < 1e-13);
        assert_eq!(stem.true_temperature(50.0, 20.0, 0.0).map_err(|e| e.code()), Err(103));
    }

    #[test]
    fn the_derivative_is_that_of_the_error() {
        let stem = Immersion::new(7.0, 0.8).unwrap();
        let at = |depth: f64| stem.error_k(200.0, 20.0, depth).unwrap();
        let slope = (at(20.0 + 1e-4) - at(20.0 - 1e-4)) / 2e-4;
        assert!((slope - stem.error_k_per_mm(200.0, 20.0, 20.0).unwrap()).abs() < 1e-9);
    }

    #[test]
    fn readings_that_do_not_fit_are_refused() {
        let code = |a, b| immersion_from_two_depths(a, b, 20.0).map_err(|e| e.code()).err();
        assert_eq!(code((40.0, 100.0), (60.0, 99.0)), Some(202));
        assert_eq!(code((40.0, 50.0), (60.0, 99.0)), Some(202));
        assert_eq!(code((60.0, 50.0), (40.0, 99.0)), Some(103));
        assert_eq!(code((40.0, f64::NAN), (60.0, 99.0)), Some(101));
    }

    proptest::proptest! {
        // Noise-free data give the model back.
        #[test]
        fn the_model_comes_back(diameter in 3.0..12.0f64, t_c in 50.0..400.0f64, first in 15.0..30.0f64, step in 5.0..40.0f64) {
            let stem = Immersion::new(diameter, 1.0).unwrap();
            let read = |depth: f64| t_c + stem.error_k(t_c, 20.0, depth).unwrap();
            let (found, true_c) =
                immersion_from_two_depths((first, read(first)), (first + step, read(first + step)), 20.0).unwrap();
            proptest::prop_assert!((true_c - t_c).abs() < 1e-9 && (found.effective_diameter_mm - diameter).abs() < 1e-6);
        }
    }
}
