//! A result rounded for a report: the uncertainty to one or two significant digits, the value to match.

use crate::error::{Error, Result, finite, not_negative, within};
use crate::uncertainty::budget::Budget;
use std::fmt;

/// How the uncertainty is rounded. The value is always rounded to the nearest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Rounding {
    /// To the nearest.
    #[default]
    Nearest,
    /// To the nearest, but upwards where that would take off more than 5 % (EA-4/02 M:2022, 6.3).
    NoMoreThanFivePercentDown,
    /// Upwards, always (allowed by JCGM 100:2008, 7.2.6).
    Up,
}

impl Rounding {
    /// Every rule with its name.
    pub const NAMES: [(&'static str, Self); 3] = [
        ("nearest", Self::Nearest),
        ("no_more_than_five_percent_down", Self::NoMoreThanFivePercentDown),
        ("up", Self::Up),
    ];

    /// The rule with a name.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        Self::NAMES.iter().find(|(known, _)| *known == name).map(|(_, rule)| *rule).ok_or_else(|| Error::UnknownName {
            what: "rule of rounding",
            name: name.into(),
            expected: Self::NAMES.map(|(known, _)| known).join(", "),
        })
    }
}

/// A rounded result. `{}` writes `0.427 ± 0.097`.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Reported {
    /// The rounded value.
    pub value: f64,
    /// The rounded uncertainty.
    pub uncertainty: f64,
    /// The rounded value with all its digits, trailing zeros included.
    pub value_text: String,
    /// The rounded uncertainty with all its digits.
    pub uncertainty_text: String,
    /// Power of ten of the last digit given: −3 for thousandths.
    pub last_digit: i32,
    /// Whether the last digit is finer than the resolution of what was read: then the digits of the value below that
    /// resolution come from averaging and corrections, and whoever reads the report should know.
    pub finer_than_resolution: bool,
}

impl fmt::Display for Reported {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ± {}", self.value_text, self.uncertainty_text)
    }
}

/// Rounds a value and its uncertainty for a report.
///
/// Rounding goes by the decimal digits of the number as it is stored, halves to the even digit.
///
/// # Arguments
/// - `uncertainty`: expanded or standard, in the unit of the value.
/// - `digits`: significant digits of the uncertainty, 1 or 2.
/// - `resolution`: step of the reading that the value rests on, 0 where none applies; only for
///   [`Reported::finer_than_resolution`], nothing is rounded to it.
///
/// # Errors
/// [`Error::OutOfRange`] for other digits; [`Error::NotFinite`]; [`Error::InvalidValue`] for an uncertainty that is not
/// positive (without one, nothing says where to round) or so far from the value that a double has no such digit.
///
/// # Source
/// JCGM 100:2008, 7.2.6.
///
/// # Example
/// ```
/// use calcore::uncertainty::reporting::{Rounding, report};
/// let text = report(0.4267, 0.09654, 2, Rounding::Nearest, 0.0)?.to_string();
/// assert_eq!(text, "0.427 ± 0.097");
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn report(value: f64, uncertainty: f64, digits: u32, rounding: Rounding, resolution: f64) -> Result<Reported> {
    finite("value", value)?;
    crate::error::positive("uncertainty", uncertainty, "")?;
    not_negative("resolution", resolution, "")?;
    within("significant digits", f64::from(digits), 1.0, 2.0)?;
    let (significand, last_digit) = significant(uncertainty, digits as usize, rounding);
    let value_digits = at_place(value, last_digit).ok_or_else(|| Error::InvalidValue {
        what: "value",
        value,
        unit: "",
        requirement: format!("it has no digit as small as that of its uncertainty {uncertainty}"),
    })?;
    let uncertainty_text = written(&significand.to_string(), last_digit);
    Ok(Reported {
        value: value_digits.parse().unwrap_or(value),
        uncertainty: uncertainty_text.parse().unwrap_or(uncertainty),
        value_text: value_digits,
        uncertainty_text,
        last_digit,
        // A step of 0.1 and a last digit of tenths are the same, whatever the rounding of 0.1.
        finer_than_resolution: resolution > 0.0 && libm::exp10(f64::from(last_digit)) < 0.999 * resolution,
    })
}

/// The digits of an uncertainty as a whole number, and the power of ten of the last one.
fn significant(uncertainty: f64, digits: usize, rounding: Rounding) -> (u32, i32) {
    // The standard library rounds the decimal expansion of the double correctly, halves to even.
    let split = |precision: usize| {
        let text = format!("{uncertainty:.precision$e}");
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let exponent: i32 = exponent.parse().unwrap_or(0);
        (mantissa.replace('.', ""), exponent)
    };
    let (nearest, exponent) = split(digits - 1);
    let (mut significand, mut last) = (nearest.parse::<u32>().unwrap_or(0), exponent + 1 - digits as i32);
    // As many digits as any double has: what was taken off is seen exactly.
    let (long, long_exponent) = split(800);
    let kept: u32 = long[..digits].parse().unwrap_or(0);
    let cut = long_exponent == exponent && kept == significand && long[digits..].bytes().any(|b| b != b'0');
    let up = match rounding {
        Rounding::Nearest => false,
        Rounding::Up => cut,
        Rounding::NoMoreThanFivePercentDown => {
            let rest: f64 = format!("0.{}", &long[digits..]).parse().unwrap_or(0.0);
            cut && rest > 0.05 * (f64::from(kept) + rest)
        }
    };
    if up {
        significand += 1;
        // 99 becomes 100: one digit less, at the next place.
        if significand == 10u32.pow(digits as u32) {
            significand /= 10;
            last += 1;
        }
    }
    (significand, last)
}

/// A number rounded to a power of ten, as decimal text; none where that would take more digits than its double has any
/// hold of.
fn at_place(value: f64, last: i32) -> Option<String> {
    if last <= 0 {
        let places = last.unsigned_abs() as usize;
        let text = format!("{value:.places$}");
        return (value.abs() < 1e17 * libm::exp10(f64::from(last))).then(|| without_minus_zero(text));
    }
    // Tens and more: by the digits of the whole number.
    let size = value.abs();
    let whole = format!("{size:.0}");
    let place = last as usize;
    let padded = format!("{whole:0>width$}", width = place + 1);
    let (head, tail) = padded.split_at(padded.len() - place);
    let fraction_is_exact = size.fract() == 0.0;
    let half = format!("5{}", "0".repeat(place - 1));
    let odd = head.bytes().last().is_some_and(|b| (b - b'0') % 2 == 1);
    let raise = match tail.cmp(half.as_str()) {
        std::cmp::Ordering::Greater => true,
        std::cmp::Ordering::Less => false,
        // `whole` was itself rounded: a fraction decides which side of the half it lies on.
        std::cmp::Ordering::Equal if !fraction_is_exact => size > whole.parse::<f64>().unwrap_or(size),
        std::cmp::Ordering::Equal => odd,
    };
    if value.abs() >= 1e17 * libm::exp10(f64::from(last)) {
        return None;
    }
    let head: u128 = head.parse::<u128>().ok()? + u128::from(raise);
    let text = written(&head.to_string(), last);
    Some(if value < 0.0 && head > 0 { format!("-{text}") } else { text })
}

/// Digits whose last one stands at a power of ten, as decimal text.
fn written(digits: &str, last: i32) -> String {
    let places = last.unsigned_abs() as usize;
    if last >= 0 {
        return if digits == "0" { "0".into() } else { format!("{digits}{}", "0".repeat(places)) };
    }
    let padded = format!("{digits:0>width$}", width = places + 1);
    let (whole, fraction) = padded.split_at(padded.len() - places);
    format!("{whole}.{fraction}")
}

fn without_minus_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.into(),
        _ => text,
    }
}

impl Budget {
    /// Value and expanded uncertainty, rounded; see [`report`].
    ///
    /// # Errors
    /// As [`report`].
    pub fn report(&self, digits: u32, rounding: Rounding, resolution: f64) -> Result<Reported> {
        report(self.value, self.expanded_uncertainty, digits, rounding, resolution)
    }

    /// The sentence of a certificate: value, expanded uncertainty, unit, factor and probability.
    ///
    /// # Errors
    /// As [`report`].
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::reporting::Rounding;
    /// use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution};
    /// let line = Contribution::of("certificate", &Distribution::normal(0.0, 0.048_27)?, 1.0)?;
    /// let budget = Budget::from_contributions(0.4267, vec![line], Coverage::Factor(2.0))?;
    /// assert_eq!(budget.statement("K", 2, Rounding::Nearest)?, "0.427 K ± 0.097 K (k = 2.00, 95.45 %)");
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn statement(&self, unit: &str, digits: u32, rounding: Rounding) -> Result<String> {
        let found = self.report(digits, rounding, 0.0)?;
        let space = if unit.is_empty() { "" } else { " " };
        Ok(format!(
            "{}{space}{unit} ± {}{space}{unit} (k = {:.2}, {:.2} %)",
            found.value_text,
            found.uncertainty_text,
            self.coverage_factor,
            100.0 * self.coverage_probability
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(value: f64, u: f64, digits: u32, rounding: Rounding) -> String {
        report(value, u, digits, rounding, 0.0).unwrap().to_string()
    }

    #[test]
    fn uncertainties_of_the_guide() {
        // JCGM 100:2008, 7.2.6: 10.47 mΩ may be rounded up to 11 mΩ; 28.05 kHz comes down to 28 kHz; a value of
        // 10.057 62 Ω with 27 mΩ is stated as 10.058 Ω.
        assert_eq!(text(100.0, 10.47, 2, Rounding::Up), "100 ± 11");
        assert_eq!(text(100.0, 28.05, 2, Rounding::Nearest), "100 ± 28");
        assert_eq!(text(10.057_62, 0.027, 2, Rounding::Nearest), "10.058 ± 0.027");
        // EA-4/02 M:2022, 6.3: 28.05 down is 0.2 %, 10.47 down 4.5 %, 1.54 to one digit down 35 %.
        assert_eq!(text(100.0, 10.47, 2, Rounding::NoMoreThanFivePercentDown), "100 ± 10");
        assert_eq!(text(100.0, 1.44, 1, Rounding::NoMoreThanFivePercentDown), "100 ± 2");
        assert_eq!(text(100.0, 28.05, 2, Rounding::Up), "100 ± 29");
    }

    #[test]
    fn digits_carry_over_and_keep_their_zeros() {
        // Right-hand sides rounded by hand.
        assert_eq!(text(0.4267, 0.09654, 2, Rounding::Nearest), "0.427 ± 0.097");
        assert_eq!(text(0.4267, 0.09654, 1, Rounding::Nearest), "0.4 ± 0.1");
        assert_eq!(text(20.0, 0.0996, 2, Rounding::Nearest), "20.00 ± 0.10");
        assert_eq!(text(20.0, 0.0991, 2, Rounding::Up), "20.00 ± 0.10");
        assert_eq!(text(-0.0004, 0.03, 1, Rounding::Nearest), "0.00 ± 0.03");
        assert_eq!(text(-12.346, 0.25, 2, Rounding::Nearest), "-12.35 ± 0.25");
        assert_eq!(text(96.0, 30.0, 1, Rounding::Nearest), "100 ± 30");
        assert_eq!(text(36_229.0, 5_000.0, 1, Rounding::Nearest), "36000 ± 5000");
        assert_eq!(text(-25.0, 140.0, 1, Rounding::Nearest), "0 ± 100");
        assert_eq!(text(45.0, 14.0, 1, Rounding::Nearest), "40 ± 10");
        assert_eq!(text(55.0, 14.0, 1, Rounding::Nearest), "60 ± 10");
        assert_eq!(text(45.4, 14.0, 1, Rounding::Nearest), "50 ± 10");
        assert_eq!(text(44.6, 14.0, 1, Rounding::Nearest), "40 ± 10");
        assert_eq!(text(1.5e-9, 2.2e-10, 2, Rounding::Nearest), "0.00000000150 ± 0.00000000022");
        // JCGM 100:2008, 4.4.3: 100.145 is stored a little below, printed 100.14 there as well.
        assert_eq!(text(100.145, 0.33, 2, Rounding::Nearest), "100.14 ± 0.33");
    }

    #[test]
    fn digits_below_the_resolution_are_told() {
        let found = report(20.123, 0.054, 2, Rounding::Nearest, 0.1).unwrap();
        assert!(found.finer_than_resolution);
        assert!(!report(20.1, 0.5, 1, Rounding::Nearest, 0.1).unwrap().finer_than_resolution);
        assert_eq!((found.value, found.uncertainty, found.last_digit), (20.123, 0.054, -3));
    }

    #[test]
    fn what_cannot_be_rounded_is_refused() {
        let code = |v, u, d| report(v, u, d, Rounding::Nearest, 0.0).map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(1.0, 0.0, 2), Err(103));
        assert_eq!(code(1.0, f64::NAN, 2), Err(101));
        assert_eq!(code(f64::INFINITY, 1.0, 2), Err(101));
        assert_eq!(code(1.0, 0.1, 3), Err(102));
        assert_eq!(code(1e10, 1e-12, 2), Err(103));
        assert_eq!(Rounding::from_name("down").map_err(|e| e.code()), Err(104));
        assert_eq!(Rounding::from_name("up"), Ok(Rounding::Up));
    }
}
