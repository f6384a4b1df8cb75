//! Evaluation of Type A: from repeated readings.

use crate::error::{Error, Result, finite, not_negative};
use crate::uncertainty::distribution::{Distribution, check_degrees_of_freedom};

/// The mean of repeated readings and how well it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct TypeA {
    /// Mean of the readings.
    pub mean: f64,
    /// Experimental standard deviation of one reading (or the pooled one that was given).
    pub standard_deviation: f64,
    /// Standard uncertainty of the mean.
    pub standard_uncertainty: f64,
    /// Degrees of freedom of the standard uncertainty.
    #[cfg_attr(feature = "serde", serde(with = "crate::uncertainty::distribution::infinite_as_null"))]
    pub degrees_of_freedom: f64,
    /// Number of readings.
    pub readings: usize,
    /// Number of independent readings that they are worth for their mean.
    pub effective_readings: f64,
    /// Whether the readings scatter less than their resolution can show, so that [`TypeA::with_resolution`] put the
    /// resolution in the place of the scatter.
    pub limited_by_resolution: bool,
}

impl TypeA {
    /// As an input of a model: normal, with the degrees of freedom carried along.
    #[must_use]
    pub fn distribution(&self) -> Distribution {
        Distribution::Normal {
            mean: self.mean,
            std: self.standard_uncertainty,
            degrees_of_freedom: self.degrees_of_freedom,
        }
    }

    /// The same with the scatter not taken for less than a display of this step can show: where s/√n lies below q/√12,
    /// that takes its place, with infinite degrees of freedom, and [`TypeA::limited_by_resolution`] is set.
    ///
    /// Readings that are all alike say nothing about the scatter below the last digit. Where the budget has a line for
    /// the resolution of the same reading anyhow, do not count it twice.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a negative step.
    ///
    /// # Source
    /// JCGM 100:2008, F.2.2.1 (u = 0.29 of the step); to take the larger of the two is common practice, no source.
    pub fn with_resolution(self, step: f64) -> Result<Self> {
        let least = not_negative("resolution", step, "")? / 12f64.sqrt();
        if self.standard_uncertainty >= least {
            return Ok(self);
        }
        Ok(Self { standard_uncertainty: least, degrees_of_freedom: f64::INFINITY, limited_by_resolution: true, ..self })
    }
}

/// A standard deviation from several series of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Pooled {
    /// Standard deviation of one reading.
    pub standard_deviation: f64,
    /// Its degrees of freedom: those of the series together.
    pub degrees_of_freedom: f64,
}

/// Mean and sum of squared deviations; in two passes, so that a large mean does not drown the scatter.
pub(super) fn mean_and_squares(readings: &[f64]) -> Result<(f64, f64)> {
    for (i, reading) in readings.iter().enumerate() {
        finite("reading", *reading).map_err(|error| error.at_index(i, 1))?;
    }
    let n = readings.len() as f64;
    let rough = readings.iter().sum::<f64>() / n;
    // The deviations from a rounded mean do not quite add up to zero.
    let mean = rough + readings.iter().map(|x| x - rough).sum::<f64>() / n;
    let squares = readings.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>();
    Ok((finite("mean of the readings", mean)?, finite("sum of squares of the readings", squares)?))
}

/// Mean of independent readings.
///
/// # Formula
/// s² = Σ (xᵢ − x̄)²/(n − 1), u(x̄) = s/√n, ν = n − 1
///
/// # Errors
/// [`Error::TooFewPoints`] below two readings, [`Error::NotFinite`].
///
/// # Source
/// JCGM 100:2008, 4.2.1 to 4.2.3.
///
/// # Example
/// ```
/// use calcore::uncertainty::evaluation::mean_of;
/// let found = mean_of(&[20.1, 20.3, 20.2])?;
/// assert!((found.mean - 20.2).abs() < 1e-12);
/// assert!((found.standard_uncertainty - 0.1 / 3f64.sqrt()).abs() < 1e-12);
/// assert_eq!(found.degrees_of_freedom, 2.0);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn mean_of(readings: &[f64]) -> Result<TypeA> {
    let count = readings.len();
    if count < 2 {
        return Err(Error::TooFewPoints {
            what: "a standard deviation",
            needed: 2,
            found: count,
            hint: "for a single reading give a standard deviation that is known from elsewhere",
        });
    }
    let (mean, squares) = mean_and_squares(readings)?;
    let n = count as f64;
    let standard_deviation = (squares / (n - 1.0)).sqrt();
    Ok(TypeA {
        mean,
        standard_deviation,
        standard_uncertainty: standard_deviation / n.sqrt(),
        degrees_of_freedom: n - 1.0,
        readings: count,
        effective_readings: n,
        limited_by_resolution: false,
    })
}

/// Mean of a few independent readings, even of one, whose scatter is known from many others.
///
/// # Formula
/// u(x̄) = s_p/√n, with the degrees of freedom of s_p
///
/// # Errors
/// [`Error::TooFewPoints`] without any reading, [`Error::NotFinite`], [`Error::InvalidValue`] for a negative standard
/// deviation or degrees of freedom that are not positive.
///
/// # Source
/// JCGM 100:2008, 4.2.4.
pub fn mean_with_known_scatter(readings: &[f64], known: Pooled) -> Result<TypeA> {
    if readings.is_empty() {
        return Err(Error::TooFewPoints { what: "a mean", needed: 1, found: 0, hint: "" });
    }
    let standard_deviation = not_negative("standard deviation", known.standard_deviation, "")?;
    let degrees_of_freedom = check_degrees_of_freedom(known.degrees_of_freedom)?;
    let (mean, _) = mean_and_squares(readings)?;
    let n = readings.len() as f64;
    Ok(TypeA {
        mean,
        standard_deviation,
        standard_uncertainty: standard_deviation / n.sqrt(),
        degrees_of_freedom,
        readings: readings.len(),
        effective_readings: n,
        limited_by_resolution: false,
    })
}

/// Standard deviation pooled from several series, each about its own mean.
///
/// # Formula
/// s_p² = Σ νᵢ sᵢ²/Σ νᵢ, ν = Σ νᵢ
///
/// # Errors
/// [`Error::TooFewPoints`] without series or for a series below two readings, [`Error::NotFinite`].
///
/// # Source
/// JCGM 100:2008, 4.2.4 and H.3.6 note.
pub fn pooled(series: &[&[f64]]) -> Result<Pooled> {
    let known: Vec<Pooled> = series
        .iter()
        .map(|readings| {
            let one = mean_of(readings)?;
            Ok(Pooled { standard_deviation: one.standard_deviation, degrees_of_freedom: one.degrees_of_freedom })
        })
        .collect::<Result<_>>()?;
    pooled_of(&known)
}

/// The same from standard deviations and their degrees of freedom.
///
/// # Errors
/// [`Error::TooFewPoints`] without any, [`Error::NotFinite`] also for infinite degrees of freedom (nothing can be added
/// to what is exact), [`Error::InvalidValue`].
pub fn pooled_of(known: &[Pooled]) -> Result<Pooled> {
    if known.is_empty() {
        return Err(Error::TooFewPoints { what: "a pooled standard deviation", needed: 1, found: 0, hint: "" });
    }
    let largest = known.iter().map(|one| one.standard_deviation).fold(0.0, f64::max);
    let unit = if largest > 0.0 { largest } else { 1.0 };
    let (mut squares, mut degrees_of_freedom) = (0.0, 0.0);
    for one in known {
        let nu = check_degrees_of_freedom(finite("degrees of freedom", one.degrees_of_freedom)?)?;
        let s = not_negative("standard deviation", one.standard_deviation, "")? / unit;
        squares += nu * s * s;
        degrees_of_freedom += nu;
    }
    Ok(Pooled { standard_deviation: unit * (squares / degrees_of_freedom).sqrt(), degrees_of_freedom })
}

impl Pooled {
    /// A standard deviation known from elsewhere.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`].
    pub fn new(standard_deviation: f64, degrees_of_freedom: f64) -> Result<Self> {
        not_negative("standard deviation", standard_deviation, "")?;
        check_degrees_of_freedom(degrees_of_freedom)?;
        Ok(Self { standard_deviation, degrees_of_freedom })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_of_different_length_are_weighted_by_their_freedom() {
        // By hand: s² = 2 (ν 1) and s² = 1 (ν 2): (2 + 2)/3.
        let found = pooled(&[&[1.0, 3.0], &[5.0, 6.0, 7.0]]).unwrap();
        assert!((found.standard_deviation - (4.0f64 / 3.0).sqrt()).abs() < 1e-15);
        assert_eq!(found.degrees_of_freedom, 3.0);
        let single = mean_with_known_scatter(&[10.0], found).unwrap();
        assert_eq!((single.standard_uncertainty, single.degrees_of_freedom), (found.standard_deviation, 3.0));
    }

    #[test]
    fn readings_all_alike_are_not_taken_for_exact() {
        let alike = mean_of(&[20.0; 5]).unwrap();
        assert_eq!(alike.standard_uncertainty, 0.0);
        let found = alike.with_resolution(0.1).unwrap();
        assert!(found.limited_by_resolution && found.degrees_of_freedom == f64::INFINITY);
        assert!((found.standard_uncertainty - 0.028_867_513_459_481_29).abs() < 1e-16);
        let wide = mean_of(&[19.0, 21.0]).unwrap();
        assert_eq!(wide.with_resolution(0.1).unwrap(), wide);
    }

    #[test]
    fn a_large_mean_does_not_drown_the_scatter() {
        let far: Vec<f64> = [1.0, 2.0, 3.0, 4.0].iter().map(|x| x + 1e9).collect();
        let found = mean_of(&far).unwrap();
        assert!((found.standard_deviation - (5.0f64 / 3.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_evaluated_is_refused() {
        assert_eq!(mean_of(&[1.0]).map_err(|e| e.code()), Err(201));
        let at = mean_of(&[1.0, f64::NAN]).unwrap_err();
        assert_eq!(at.to_string(), "reading must be a finite number, got NaN (element 1)");
        assert_eq!(pooled(&[]).map_err(|e| e.code()), Err(201));
        assert_eq!(Pooled::new(-1.0, 3.0).map_err(|e| e.code()), Err(103));
        assert_eq!(Pooled::new(1.0, 0.0).map_err(|e| e.code()), Err(103));
        assert_eq!(mean_of(&[0.0, 1.0]).unwrap().with_resolution(-1.0).map_err(|e| e.code()), Err(103));
    }
}
