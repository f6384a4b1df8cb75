//! A user's own tolerance: absolute, by span, by reading, by a class, and sums and maxima of these.

use super::standard::{Construction, astm_e1137, gost6651, iec60751};
use super::thermocouple::{astm_e230, iec60584};
use crate::error::{Error, Result, finite, not_negative};
use crate::interval::span_k;

/// How far an error may go, as a function of temperature.
///
/// # Example
/// ```
/// use calcore::tolerance::Tolerance;
/// // 0.1 % of a span of 150 K plus 0.2 K.
/// let transmitter = Tolerance::Sum(vec![
///     Tolerance::PercentOfSpan { percent: 0.1, low_c: 0.0, high_c: 150.0 },
///     Tolerance::Absolute { half_width_k: 0.2 },
/// ]);
/// assert!((transmitter.half_width(100.0)? - 0.35).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// As JSON (feature `serde`): `{"absolute": {"half_width_k": 0.5}}`,
/// `{"percent_of_span": {"percent": 0.1, "low_c": 0, "high_c": 150}}`, `{"percent_of_reading": {"percent": 0.25}}`,
/// `{"iec60751": {"class": "A", "construction": "film"}}`, `{"astm_e1137": {"grade": "A"}}`,
/// `{"gost6651": {"material": "copper", "class": "B"}}`, `{"iec60584": {"letter": "K", "class": 1}}`,
/// `{"astm_e230": {"letter": "K", "limits": "special"}}`, `{"asymmetric": {"lower_k": -0.5, "upper_k": 1}}`,
/// `{"sum": [...]}`, `{"max": [...]}`.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize, serde::Deserialize),
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
#[non_exhaustive]
pub enum Tolerance {
    /// The same at every temperature.
    Absolute {
        /// Half-width, K.
        half_width_k: f64,
    },
    /// The same at every temperature, but not the same below as above.
    Asymmetric {
        /// Most negative error allowed, K; zero or negative.
        lower_k: f64,
        /// Most positive error allowed, K; zero or positive.
        upper_k: f64,
    },
    /// A part of the span, which is the same at every temperature.
    PercentOfSpan {
        /// Percent of the span.
        percent: f64,
        /// One end of the range, °C.
        low_c: f64,
        /// The other end of the range, °C.
        high_c: f64,
    },
    /// A part of the reading: percent · |t| / 100, t in °C, hence zero at 0 °C.
    PercentOfReading {
        /// Percent of the reading.
        percent: f64,
    },
    /// A class of IEC 60751, see [`iec60751`].
    Iec60751 {
        /// Name of the class.
        class: String,
        /// For thermometers, the construction that decides the range.
        #[cfg_attr(feature = "serde", serde(default))]
        construction: Construction,
    },
    /// A grade of ASTM E1137, see [`astm_e1137`].
    AstmE1137 {
        /// Name of the grade.
        grade: String,
    },
    /// A class of GOST 6651 for copper or nickel, see [`gost6651`].
    Gost6651 {
        /// `copper` or `nickel`.
        material: String,
        /// Name of the class.
        class: String,
    },
    /// A class of IEC 60584-1 for thermocouples, see [`iec60584`].
    Iec60584 {
        /// Letter of the type.
        letter: String,
        /// 1, 2 or 3.
        class: u8,
    },
    /// Limits of ASTM E230 for thermocouples, see [`astm_e230`].
    AstmE230 {
        /// Letter of the type.
        letter: String,
        /// `standard` or `special`.
        limits: String,
    },
    /// All of these added.
    Sum(Vec<Tolerance>),
    /// The widest of these.
    Max(Vec<Tolerance>),
}

/// The errors that a tolerance allows at one temperature, both limits themselves allowed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Limits {
    /// Most negative error allowed, K.
    pub lower_k: f64,
    /// Most positive error allowed, K.
    pub upper_k: f64,
}

impl Limits {
    fn symmetric(half_width_k: f64) -> Self {
        Self { lower_k: -half_width_k, upper_k: half_width_k }
    }
}

impl Tolerance {
    /// The errors allowed at a temperature.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::InvalidValue`] for a negative half-width or percentage, an empty span, an empty
    /// sum or maximum; for a class as [`iec60751`].
    ///
    /// # Example
    /// ```
    /// use calcore::tolerance::Tolerance;
    /// let limits = Tolerance::Asymmetric { lower_k: -0.5, upper_k: 1.0 }.limits(100.0)?;
    /// assert_eq!((limits.lower_k, limits.upper_k), (-0.5, 1.0));
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn limits(&self, t_c: f64) -> Result<Limits> {
        finite("temperature", t_c)?;
        match self {
            Self::Absolute { half_width_k } => {
                Ok(Limits::symmetric(not_negative("half-width of the tolerance", *half_width_k, "K")?))
            }
            Self::Asymmetric { lower_k, upper_k } => {
                if finite("lower limit of the tolerance", *lower_k)? > 0.0 {
                    return Err(Error::InvalidValue {
                        what: "lower limit of the tolerance",
                        value: *lower_k,
                        unit: "K",
                        requirement: "it must not be positive".into(),
                    });
                }
                not_negative("upper limit of the tolerance", *upper_k, "K")?;
                Ok(Limits { lower_k: *lower_k, upper_k: *upper_k })
            }
            Self::PercentOfSpan { percent, low_c, high_c } => {
                not_negative("tolerance in percent of span", *percent, "%")?;
                let span_k = span_k(*low_c, *high_c)?;
                Ok(Limits::symmetric(percent * span_k / 100.0))
            }
            Self::PercentOfReading { percent } => {
                not_negative("tolerance in percent of reading", *percent, "%")?;
                Ok(Limits::symmetric(percent * t_c.abs() / 100.0))
            }
            Self::Iec60751 { class, construction } => Ok(Limits::symmetric(iec60751(class, t_c, *construction)?)),
            Self::AstmE1137 { grade } => Ok(Limits::symmetric(astm_e1137(grade, t_c)?)),
            Self::Gost6651 { material, class } => Ok(Limits::symmetric(gost6651(material, class, t_c)?)),
            Self::Iec60584 { letter, class } => Ok(Limits::symmetric(iec60584(letter, *class, t_c)?)),
            Self::AstmE230 { letter, limits } => Ok(Limits::symmetric(astm_e230(letter, limits, t_c)?)),
            Self::Sum(parts) => combine("sum of tolerances", parts, t_c, |a, b| a + b),
            Self::Max(parts) => combine("maximum of tolerances", parts, t_c, f64::max),
        }
    }

    /// Half-width at a temperature, K.
    ///
    /// # Errors
    /// As [`Tolerance::limits`]; [`Error::InvalidValue`] where the limits are not symmetric.
    pub fn half_width(&self, t_c: f64) -> Result<f64> {
        let Limits { lower_k, upper_k } = self.limits(t_c)?;
        // The two ends are computed from the same numbers in the same order: equal means equal bits.
        if upper_k.to_bits() == (-lower_k).to_bits() || (upper_k == 0.0 && lower_k == 0.0) {
            return Ok(upper_k);
        }
        Err(Error::InvalidValue {
            what: "lower limit of the tolerance",
            value: lower_k,
            unit: "K",
            requirement: format!("an asymmetric tolerance (upper limit {upper_k} K) has no half-width"),
        })
    }
}

fn combine(what: &'static str, parts: &[Tolerance], t_c: f64, pick: impl Fn(f64, f64) -> f64) -> Result<Limits> {
    if parts.is_empty() {
        let requirement = "it must name at least one part".into();
        return Err(Error::InvalidValue { what, value: 0.0, unit: "parts", requirement });
    }
    let (mut below_k, mut above_k) = (0.0, 0.0);
    for part in parts {
        let limits = part.limits(t_c)?;
        below_k = pick(below_k, -limits.lower_k);
        above_k = pick(above_k, limits.upper_k);
    }
    Ok(Limits { lower_k: -below_k, upper_k: above_k })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn percent_of_span(percent: f64) -> Tolerance {
        Tolerance::PercentOfSpan { percent, low_c: 0.0, high_c: 400.0 }
    }

    // Witness: worked by hand; 0.1 % of a span of 400 K is 0.4 K, of a reading of 25 °C it is 0.025 K.
    #[test]
    fn span_and_reading_differ() {
        assert_eq!(percent_of_span(0.1).half_width(25.0), Ok(0.4));
        assert_eq!(Tolerance::PercentOfReading { percent: 0.1 }.half_width(25.0), Ok(0.025));
        assert_eq!(Tolerance::PercentOfReading { percent: 0.1 }.half_width(-25.0), Ok(0.025));
        assert_eq!(Tolerance::PercentOfReading { percent: 0.1 }.half_width(0.0), Ok(0.0));
        let reversed = Tolerance::PercentOfSpan { percent: 0.1, low_c: 400.0, high_c: 0.0 };
        assert_eq!(reversed.half_width(25.0), Ok(0.4));
    }

    #[test]
    fn class_b_is_a_function_of_temperature() {
        let b = Tolerance::Iec60751 { class: "B".into(), construction: Construction::WireWound };
        // 0.3 + 0.005 · 400 by hand.
        assert!((b.half_width(400.0).unwrap() - 2.3).abs() < 1e-15);
        assert_eq!(b.half_width(700.0).map_err(|e| e.code()), Err(102));
        let widest = Tolerance::Max(vec![b.clone(), Tolerance::Absolute { half_width_k: 1.0 }]);
        assert_eq!(widest.half_width(0.0), Ok(1.0));
        assert!((widest.half_width(400.0).unwrap() - 2.3).abs() < 1e-15);
        let sum = Tolerance::Sum(vec![b, Tolerance::Absolute { half_width_k: 1.0 }]);
        assert!((sum.half_width(0.0).unwrap() - 1.3).abs() < 1e-15);
    }

    #[test]
    fn asymmetric_limits_add_side_by_side() {
        let skew = Tolerance::Asymmetric { lower_k: -0.25, upper_k: 1.0 };
        assert_eq!(skew.half_width(0.0).map_err(|e| e.code()), Err(103));
        let sum = Tolerance::Sum(vec![skew.clone(), Tolerance::Absolute { half_width_k: 0.5 }]);
        assert_eq!(sum.limits(0.0), Ok(Limits { lower_k: -0.75, upper_k: 1.5 }));
        let max = Tolerance::Max(vec![skew, Tolerance::Absolute { half_width_k: 0.5 }]);
        assert_eq!(max.limits(0.0), Ok(Limits { lower_k: -0.5, upper_k: 1.0 }));
    }

    #[test]
    fn nonsense_is_refused() {
        let bad = [
            Tolerance::Absolute { half_width_k: -0.1 },
            Tolerance::Asymmetric { lower_k: 0.1, upper_k: 0.2 },
            Tolerance::Asymmetric { lower_k: -0.1, upper_k: -0.05 },
            percent_of_span(-1.0),
            Tolerance::PercentOfSpan { percent: 1.0, low_c: 5.0, high_c: 5.0 },
            Tolerance::PercentOfReading { percent: -1.0 },
            Tolerance::Sum(vec![]),
            Tolerance::Max(vec![]),
        ];
        for tolerance in bad {
            assert_eq!(tolerance.half_width(20.0).map_err(|e| e.code()), Err(103), "{tolerance:?}");
        }
        assert_eq!(percent_of_span(f64::NAN).half_width(20.0).map_err(|e| e.code()), Err(101));
        assert_eq!(percent_of_span(1.0).half_width(f64::NAN).map_err(|e| e.code()), Err(101));
    }

    #[cfg(feature = "serde")]
    #[test]
    fn the_documented_json_is_read_and_nothing_else() {
        let text = r#"{"sum":[{"iec60751":{"class":"A"}},{"max":[{"absolute":{"half_width_k":0.5}},
            {"percent_of_span":{"percent":0.1,"low_c":0,"high_c":150}}]},{"percent_of_reading":{"percent":0.25}}]}"#;
        let tolerance: Tolerance = serde_json::from_str(text).unwrap();
        // 0.35 + max(0.5, 0.15) + 0.25 at 100 °C, by hand.
        assert!((tolerance.half_width(100.0).unwrap() - 1.1).abs() < 1e-15);
        let back: Tolerance = serde_json::from_str(&serde_json::to_string(&tolerance).unwrap()).unwrap();
        assert_eq!(back, tolerance);
        let classes = r#"{"max":[{"astm_e1137":{"grade":"A"}},{"gost6651":{"material":"copper","class":"B"}},
            {"iec60584":{"letter":"K","class":1}},{"astm_e230":{"letter":"K","limits":"special"}}]}"#;
        // The widest at 100 °C is IEC 60584-1: 1.5 K.
        assert_eq!(serde_json::from_str::<Tolerance>(classes).unwrap().half_width(100.0), Ok(1.5));
        assert!(serde_json::from_str::<Tolerance>(r#"{"absolute":{"half_width_k":0.5,"unit":"F"}}"#).is_err());
        assert!(serde_json::from_str::<Tolerance>(r#"{"percent_of_urv":{"percent":1}}"#).is_err());
    }
}
