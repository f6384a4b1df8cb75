//! The sub-ranges of platinum resistance thermometers and their deviation functions W − W_r = ΔW(W).

use crate::constants::its90::{DeviationForm, SUBRANGES, SubrangeData};
use crate::error::{Error, Names, Result, finite, same_length, text};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;

/// Most coefficients that a deviation function has.
pub const MAX_TERMS: usize = 7;

/// One of the eleven sub-ranges.
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3 and table 5.
///
/// # Example
/// ```
/// use calcore::its90::Subrange;
/// let to_zinc = Subrange::from_name("3.3.2.2")?;
/// assert_eq!(to_zinc.coefficient_names(), ["a", "b"]);
/// assert_eq!(to_zinc.points(), ["Sn", "Zn"]);
/// assert_eq!((to_zinc.range().low, to_zinc.range().high), (0.0, 419.527));
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Subrange(&'static SubrangeData);

impl Subrange {
    /// A sub-range by the section of the document, such as `3.3.1.2`, or by its number in the order of table 5, `1`
    /// (the range from 13.8033 K) to `11` (the range from mercury to gallium).
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        let number = name.parse::<u8>().ok();
        SUBRANGES.iter().find(|data| data.section == name || Some(data.number) == number).map(Self).ok_or_else(|| {
            let expected = text!("{}", Names(SUBRANGES.iter().map(|data| data.section)));
            Error::UnknownName { what: "sub-range of the ITS-90", name: name.into(), expected }
        })
    }

    /// All of them, in the order of table 5.
    pub fn all() -> impl Iterator<Item = Self> {
        SUBRANGES.iter().map(Self)
    }

    /// Section of the document.
    #[must_use]
    pub fn section(self) -> &'static str {
        self.0.section
    }

    /// Number in the order of table 5.
    #[must_use]
    pub fn number(self) -> u8 {
        self.0.number
    }

    /// Names of the coefficients, in the order in which they are given.
    #[must_use]
    pub fn coefficient_names(self) -> &'static [&'static str] {
        self.0.coefficients
    }

    /// Fixed points at which the thermometer is calibrated, besides the triple point of water.
    #[must_use]
    pub fn points(self) -> &'static [&'static str] {
        self.0.points
    }

    /// Its temperatures, °C.
    #[must_use]
    pub fn range(self) -> Interval {
        Interval::celsius(self.0.low_c, self.0.high_c)
    }

    /// Its temperatures, K.
    #[must_use]
    pub fn range_k(self) -> Interval {
        Interval { what: "temperature", unit: "K", low: self.0.low_k, high: self.0.high_k }
    }

    /// Whether one of the coefficients acts above the freezing point of aluminium only, and needs the ratio there.
    #[must_use]
    pub fn needs_aluminium(self) -> bool {
        self.0.form == DeviationForm::PolynomialToSilver
    }

    /// What the coefficients are multiplied with: ΔW = Σ coefficient · term. The rest of the array is zero.
    ///
    /// # Arguments
    /// `w`: ratio R(T)/R(273.16 K), positive; `w_aluminium`: the thermometer's ratio at 660.323 °C, used where
    /// [`Subrange::needs_aluminium`] says so (the last term is zero up to it).
    #[must_use]
    pub fn terms(self, w: f64, w_aluminium: f64) -> [f64; MAX_TERMS] {
        let mut terms = [0.0; MAX_TERMS];
        let rise = w - 1.0;
        match self.0.form {
            DeviationForm::PowersOfLogarithm { terms: count, n } => {
                let logarithm = libm::log(w);
                terms[0] = rise;
                terms[1] = rise * rise;
                let mut power = power_of(logarithm, n + 1);
                for term in &mut terms[2..2 + count] {
                    *term = power;
                    power *= logarithm;
                }
            }
            DeviationForm::ProductWithLogarithm => {
                terms[0] = rise;
                terms[1] = rise * libm::log(w);
            }
            DeviationForm::Polynomial { degree } => {
                let mut power = rise;
                for term in &mut terms[..degree] {
                    *term = power;
                    power *= rise;
                }
            }
            DeviationForm::PolynomialToSilver => {
                terms[0] = rise;
                terms[1] = rise * rise;
                terms[2] = rise * rise * rise;
                let beyond = (w - w_aluminium).max(0.0);
                terms[3] = beyond * beyond;
            }
        }
        terms
    }

    /// The derivatives of [`Subrange::terms`] with respect to `w`.
    #[must_use]
    pub fn term_slopes(self, w: f64, w_aluminium: f64) -> [f64; MAX_TERMS] {
        let mut slopes = [0.0; MAX_TERMS];
        let rise = w - 1.0;
        match self.0.form {
            DeviationForm::PowersOfLogarithm { terms: count, n } => {
                let logarithm = libm::log(w);
                slopes[0] = 1.0;
                slopes[1] = 2.0 * rise;
                let mut power = power_of(logarithm, n);
                for (i, slope) in (1..).zip(&mut slopes[2..2 + count]) {
                    *slope = f64::from(i + n) * power / w;
                    power *= logarithm;
                }
            }
            DeviationForm::ProductWithLogarithm => {
                slopes[0] = 1.0;
                slopes[1] = libm::log(w) + rise / w;
            }
            DeviationForm::Polynomial { degree } => {
                let mut power = 1.0;
                for (i, slope) in (1..).zip(&mut slopes[..degree]) {
                    *slope = f64::from(i) * power;
                    power *= rise;
                }
            }
            DeviationForm::PolynomialToSilver => {
                slopes[0] = 1.0;
                slopes[1] = 2.0 * rise;
                slopes[2] = 3.0 * rise * rise;
                slopes[3] = 2.0 * (w - w_aluminium).max(0.0);
            }
        }
        slopes
    }
}

/// The enclosures of a term that acts from a ratio on: beyond² above it, nothing below. Across the ratio the curvature
/// steps, and nothing is known of the third derivative.
fn beyond(w: Enclosure, from: f64) -> Jet {
    if w.high <= from {
        return Jet::constant(Enclosure::ZERO);
    }
    let away = Jet::variable(w).moved(-Enclosure::point(from));
    let square = away * away;
    if w.low >= from {
        return square;
    }
    let above = Jet::variable(Enclosure::new(from, w.high)).moved(-Enclosure::point(from));
    let [c0, c1, c2, _] = (above * above).0.map(|c| c.hull(Enclosure::ZERO));
    Jet([c0, c1, c2, Enclosure::EVERYTHING])
}

/// x^n for a small n, in a fixed order.
fn power_of(x: f64, n: i32) -> f64 {
    (0..n).fold(1.0, |product, _| product * x)
}

/// A deviation function with its coefficients.
///
/// # Example
/// ```
/// use calcore::its90::{Deviation, Subrange};
/// let deviation = Deviation::new(Subrange::from_name("3.3.2.5")?, &[-1e-4])?;
/// assert_eq!(deviation.value(1.0), 0.0);
/// assert!((deviation.value(1.118) + 1.18e-5).abs() < 1e-18);
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    subrange: Subrange,
    coefficients: [f64; MAX_TERMS],
    w_aluminium: f64,
}

impl Deviation {
    /// A deviation function. In the range up to silver its ratio at aluminium follows from a, b and c.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] unless there are as many coefficients as [`Subrange::coefficient_names`] has;
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] where the ratio at aluminium cannot be found.
    pub fn new(subrange: Subrange, coefficients: &[f64]) -> Result<Self> {
        same_length("coefficients of the deviation function", subrange.0.coefficients.len(), coefficients.len())?;
        let mut padded = [0.0; MAX_TERMS];
        for (place, value) in padded.iter_mut().zip(coefficients) {
            *place = finite("coefficient of the deviation function", *value)?;
        }
        // Up to aluminium the last term is zero: with the ratio there still unknown it is held off by infinity.
        let mut deviation = Self { subrange, coefficients: padded, w_aluminium: f64::INFINITY };
        if subrange.needs_aluminium() {
            let w_r = super::high::ratio(super::fixed_point("Al")?.t_k);
            deviation.w_aluminium = deviation.ratio(w_r);
            if deviation.w_aluminium.is_nan() {
                return Err(Error::InvalidValue {
                    what: "ratio at the freezing point of aluminium",
                    value: w_r,
                    unit: "",
                    requirement: "the coefficients leave no solution near this reference ratio".into(),
                });
            }
        }
        Ok(deviation)
    }

    /// The sub-range.
    #[must_use]
    pub fn subrange(&self) -> Subrange {
        self.subrange
    }

    /// The coefficients, in the order of [`Subrange::coefficient_names`].
    #[must_use]
    pub fn coefficients(&self) -> &[f64] {
        &self.coefficients[..self.subrange.0.coefficients.len()]
    }

    /// The thermometer's ratio at the freezing point of aluminium, where [`Subrange::needs_aluminium`] says so.
    #[must_use]
    pub fn w_aluminium(&self) -> Option<f64> {
        self.w_aluminium.is_finite().then_some(self.w_aluminium)
    }

    /// ΔW = W − W_r at a ratio W. Nothing is checked.
    #[must_use]
    pub fn value(&self, w: f64) -> f64 {
        sum_of_products(&self.coefficients, &self.subrange.terms(w, self.w_aluminium))
    }

    /// dΔW/dW at a ratio W. Nothing is checked.
    #[must_use]
    pub fn slope(&self, w: f64) -> f64 {
        sum_of_products(&self.coefficients, &self.subrange.term_slopes(w, self.w_aluminium))
    }

    /// Enclosures of ΔW and its derivatives over ratios.
    pub(crate) fn jet(&self, w: Enclosure) -> Jet {
        let ratio = Jet::variable(w);
        let rise = ratio.moved(-Enclosure::ONE);
        let term = |i: usize, jet: Jet| jet.scaled(Enclosure::point(self.coefficients[i]));
        match self.subrange.0.form {
            DeviationForm::PowersOfLogarithm { terms: count, n } => {
                let logarithm = ratio.logarithm();
                let mut power = logarithm;
                for _ in 0..n {
                    power = power * logarithm;
                }
                let mut sum = term(0, rise) + term(1, rise * rise);
                for i in 2..2 + count {
                    sum = sum + term(i, power);
                    power = power * logarithm;
                }
                sum
            }
            DeviationForm::ProductWithLogarithm => term(0, rise) + term(1, rise * ratio.logarithm()),
            DeviationForm::Polynomial { degree } => {
                let own = self.coefficients.iter().take(degree).map(|&c| Enclosure::point(c));
                Jet::polynomial(core::iter::once(Enclosure::ZERO).chain(own), rise.value())
            }
            DeviationForm::PolynomialToSilver => {
                let own = self.coefficients.iter().take(3).map(|&c| Enclosure::point(c));
                let polynomial = Jet::polynomial(core::iter::once(Enclosure::ZERO).chain(own), rise.value());
                polynomial + term(3, beyond(w, self.w_aluminium))
            }
        }
    }

    /// The ratio W whose reference ratio W − ΔW(W) is given; NaN where the search does not settle.
    ///
    /// Newton's method for the deviation itself, so that no digits are lost in W: each step squares the error.
    pub(crate) fn ratio(&self, w_r: f64) -> f64 {
        let mut deviation = self.value(w_r);
        for _ in 0..8 {
            let w = w_r + deviation;
            let step = (deviation - self.value(w)) / (1.0 - self.slope(w));
            deviation -= step;
            if step.abs() <= 1e-9 * deviation.abs() {
                // The square of a relative 1e-9 is below the rounding.
                return w_r + deviation;
            }
        }
        f64::NAN
    }
}

fn sum_of_products(a: &[f64; MAX_TERMS], b: &[f64; MAX_TERMS]) -> f64 {
    a.iter().zip(b).fold(0.0, |sum, (x, y)| sum + x * y)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: table 5, as the counts of its rows.
    #[test]
    fn as_many_terms_as_coefficients_and_calibration_points() {
        for subrange in Subrange::all() {
            let count = subrange.coefficient_names().len();
            assert_eq!(subrange.terms(0.9, 0.8).iter().filter(|term| **term != 0.0).count(), count);
            assert_eq!(Subrange::from_name(subrange.section()), Ok(subrange));
            assert_eq!(Subrange::from_name(&subrange.number().to_string()), Ok(subrange));
            assert_eq!(count, subrange.points().len());
            assert_eq!(Deviation::new(subrange, &vec![0.0; count + 1]).map_err(|e| e.code()), Err(105));
            let bad = vec![f64::NAN; count];
            assert_eq!(Deviation::new(subrange, &bad).map_err(|e| e.code()), Err(101));
        }
        assert_eq!(Subrange::from_name("3.3.4").map_err(|e| e.code()), Err(104));
    }

    // Every deviation is zero at the triple point of water, by its definition.
    #[test]
    fn no_deviation_at_the_triple_point_of_water() {
        for subrange in Subrange::all() {
            let deviation = Deviation::new(subrange, &vec![1e-4; subrange.coefficient_names().len()]).unwrap();
            assert_eq!(deviation.value(1.0), 0.0, "{}", subrange.section());
        }
    }

    proptest::proptest! {
        // A central difference of step h errs by h² f'''/6; with h = 1e-4 of W and these functions (third derivatives
        // below 1e4 in units of the coefficients where W > 0.2) by less than 1e-5 of the sum of the slopes.
        #[test]
        fn slopes_are_those_of_the_terms(number in 1u8..=11, w in 0.2..4.2f64) {
            let subrange = Subrange::from_name(&number.to_string()).unwrap();
            let h = 1e-4 * w;
            let (before, after) = (subrange.terms(w - h, 3.0), subrange.terms(w + h, 3.0));
            let slopes = subrange.term_slopes(w, 3.0);
            for i in 0..MAX_TERMS {
                let difference = (after[i] - before[i]) / (2.0 * h);
                proptest::prop_assert!((difference - slopes[i]).abs() < 1e-3 + 1e-4 * slopes[i].abs());
            }
        }
    }
}
