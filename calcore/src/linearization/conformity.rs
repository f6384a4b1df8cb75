//! Measured linearity, and conformity to a curve.

use super::minimax_line::{Active, Support, best_line};
use super::reading_uncertainty::{ReadingUncertainty, all_finite};
use crate::curves::SensorCurve;
use crate::error::{Error, Result, positive, same_length};

/// To which straight line readings are compared.
///
/// # Source
/// IEC 61298-2:2008, linearity and conformity; ISA-51.1-1979 (R1993), conformity and linearity (both from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Basis {
    /// The line that makes the largest deviation smallest.
    #[default]
    Independent,
    /// The line through both ends.
    Terminal,
    /// The line through the lower end that makes the largest deviation smallest.
    Zero,
    /// y = x itself: nothing is adjusted. For conformity to a curve as it stands.
    Unadjusted,
}

impl Basis {
    /// Reads the names `independent`, `terminal`, `zero` and `unadjusted`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "independent" => Ok(Self::Independent),
            "terminal" => Ok(Self::Terminal),
            "zero" => Ok(Self::Zero),
            "unadjusted" => Ok(Self::Unadjusted),
            _ => Err(Error::UnknownName {
                what: "basis of linearity",
                name: name.into(),
                expected: "\"independent\", \"terminal\", \"zero\" or \"unadjusted\"".into(),
            }),
        }
    }

    /// The name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Independent => "independent",
            Self::Terminal => "terminal",
            Self::Zero => "zero",
            Self::Unadjusted => "unadjusted",
        }
    }
}

/// How far readings depart from the line of a [`Basis`], in the unit of the readings.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Conformity {
    /// The basis.
    pub basis: Basis,
    /// The line at x = 0.
    pub intercept: f64,
    /// Its slope.
    pub slope: f64,
    /// Reading minus line at every point, in the order of the input.
    pub deviations: Vec<f64>,
    /// Largest absolute deviation: the linearity (or conformity) on this basis.
    pub largest: f64,
    /// Index of the point at which it is reached, the first of several.
    pub at: usize,
    /// Most positive deviation.
    pub most_positive: f64,
    /// Most negative deviation.
    pub most_negative: f64,
    /// The readings that decide the largest deviation, with its derivative to each.
    pub active: Vec<Active>,
    /// Standard uncertainty of the largest deviation, if any was stated for the readings.
    pub standard_uncertainty: Option<f64>,
    /// Span that percentages refer to, if stated.
    pub span: Option<f64>,
    /// Largest deviation in percent of the span.
    pub percent_of_span: Option<f64>,
    /// Its standard uncertainty in percent of the span.
    pub standard_uncertainty_percent_of_span: Option<f64>,
}

/// Linearity of readings `y` at `x`, on a basis; percentages of `span`, in the unit of `y`, if it is stated.
///
/// Readings may be errors as well: a line added to them changes no linearity but the unadjusted one. Points may come in
/// any order, and several at one x (the ends of [`Basis::Terminal`] and [`Basis::Zero`] are then their mean).
///
/// # Formula
/// The independent line is the minimax line, solved exactly by the convex hull: three points share its largest deviation
/// in turn, two on one side (i, j) and one (k) between them on the other, and it is
/// ½ |(1 − λ) y_i + λ y_j − y_k|, λ = (x_k − x_i)/(x_j − x_i). The zero-based line balances two points, the terminal one
/// is touched by one: each result is linear in its active readings.
///
/// # Uncertainty
/// Of the result through the active readings: u² = Σ Σ w_i w_j u(y_i, y_j). This is the whole of it as long as the same
/// points stay active, that is, while u is small against the distance to the next largest deviations; scatter of many
/// points makes the largest of them larger on average, which no propagation shows.
///
/// # Errors
/// [`Error::LengthMismatch`]; [`Error::NotFinite`] with the index; [`Error::TooFewPoints`] for fewer than three different
/// x (one for [`Basis::Unadjusted`]); [`Error::InvalidValue`] unless the span is positive; what an uncertainty cannot be.
///
/// # Source
/// Definitions: IEC 61298-2:2008; ISA-51.1 (from memory). Propagation: JCGM 100:2008, 5.2.2.
///
/// # Example
/// ```
/// use calcore::linearization::{Basis, ReadingUncertainty, linearity};
/// let percent = [0.0, 25.0, 50.0, 75.0, 100.0];
/// let error = [0.02, 0.10, 0.16, 0.12, 0.04];
/// let independent = linearity(&percent, &error, None, Basis::Independent, ReadingUncertainty::Same(0.01))?;
/// assert!((independent.largest - 0.065).abs() < 1e-15);
/// // ½ (0.02 + 0.04)/2 − ½ 0.16: weights ¼, ¼, −½.
/// assert!((independent.standard_uncertainty.unwrap_or(0.0) - 0.01 * 0.375f64.sqrt()).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn linearity(
    x: &[f64],
    y: &[f64],
    span: Option<f64>,
    basis: Basis,
    uncertainty: ReadingUncertainty<'_>,
) -> Result<Conformity> {
    same_length("y", x.len(), y.len())?;
    all_finite("x", x)?;
    all_finite("y", y)?;
    if let Some(span) = span {
        positive("span", span, "")?;
    }
    uncertainty.check(y.len())?;
    let mut distinct = x.to_vec();
    distinct.sort_by(f64::total_cmp);
    distinct.dedup();
    let needed = if basis == Basis::Unadjusted { 1 } else { 3 };
    if distinct.len() < needed {
        let hint = "points at the same x count once";
        return Err(Error::TooFewPoints { what: "linearity", needed, found: distinct.len(), hint });
    }
    let line = match basis {
        Basis::Independent => independent(x, y),
        Basis::Terminal => Some(terminal(x, y, distinct[0], distinct[distinct.len() - 1])),
        Basis::Zero => zero_based(x, y, distinct[0]),
        Basis::Unadjusted => {
            Some(Fitted { from: (0.0, 0.0), slope: 1.0, shift: 0.0, largest: None, active: Vec::new() })
        }
    };
    let Some(line) = line else {
        let hint = "the values are too large or too close for their differences";
        return Err(Error::Undetermined { what: "linearity", parameter: "the line".into(), hint });
    };
    Ok(line.into_conformity(x, y, span, basis, uncertainty))
}

/// Conformity of readings to values of a curve, one for each reading: linearity against these values.
///
/// Adjusting the lower and the upper range value moves the curve y = f(x) to a + b f(x); so the bases are those of a
/// straight line with f(x) in the place of x, and [`Basis::Unadjusted`] takes the curve as it stands.
///
/// # Errors
/// As [`linearity`].
///
/// # Source
/// As [`linearity`].
pub fn conformity_to_values(
    expected: &[f64],
    y: &[f64],
    span: Option<f64>,
    basis: Basis,
    uncertainty: ReadingUncertainty<'_>,
) -> Result<Conformity> {
    linearity(expected, y, span, basis, uncertainty)
}

/// Conformity of the signals of an element, read at temperatures (°C), to a curve.
///
/// # Errors
/// As [`linearity`], and [`Error::OutOfRange`] for a temperature outside the range of the curve.
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::linearization::{Basis, ReadingUncertainty, conformity_to_curve};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// // An element of 100.02 ohm at 0 °C that follows the standard: it conforms once its ends are adjusted.
/// let ohm = [0.0, 50.0, 100.0].map(|t| 1.0002 * pt100.resistance(t).unwrap_or(f64::NAN));
/// let plain = conformity_to_curve(&pt100, &[0.0, 50.0, 100.0], &ohm, None, Basis::Unadjusted, ReadingUncertainty::Nothing)?;
/// let ends = conformity_to_curve(&pt100, &[0.0, 50.0, 100.0], &ohm, None, Basis::Terminal, ReadingUncertainty::Nothing)?;
/// assert!((plain.largest - 0.0002 * 138.5055).abs() < 1e-12 && ends.largest < 1e-12);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn conformity_to_curve(
    curve: &dyn SensorCurve,
    t_c: &[f64],
    signal: &[f64],
    span: Option<f64>,
    basis: Basis,
    uncertainty: ReadingUncertainty<'_>,
) -> Result<Conformity> {
    same_length("signal", t_c.len(), signal.len())?;
    let mut expected = vec![0.0; t_c.len()];
    curve.signal_slice(t_c, &mut expected, crate::curves::Handling::default())?;
    conformity_to_values(&expected, signal, span, basis, uncertainty)
}

/// A line through a point, moved by a shift.
struct Fitted {
    from: (f64, f64),
    slope: f64,
    shift: f64,
    /// The largest deviation where the line is made of it.
    largest: Option<f64>,
    /// What it depends on; empty: the point of the largest deviation and the weights of the line there.
    active: Vec<Active>,
}

impl Fitted {
    fn about(&self, x: f64, y: f64) -> f64 {
        y - self.from.1 - self.slope * (x - self.from.0)
    }

    fn into_conformity(
        self,
        x: &[f64],
        y: &[f64],
        span: Option<f64>,
        basis: Basis,
        uncertainty: ReadingUncertainty<'_>,
    ) -> Conformity {
        let deviations: Vec<f64> = x.iter().zip(y).map(|(&x, &y)| self.about(x, y) - self.shift).collect();
        let most_positive = deviations.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let most_negative = deviations.iter().copied().fold(f64::INFINITY, f64::min);
        let found = most_positive.max(-most_negative);
        let at = deviations.iter().position(|d| d.abs() >= found).unwrap_or(0);
        let largest = self.largest.unwrap_or(found);
        let active = match basis {
            Basis::Terminal => terminal_weights(x, at, deviations[at]),
            Basis::Unadjusted => vec![Active { index: at, weight: 1f64.copysign(deviations[at]) }],
            _ => self.active,
        };
        let u = uncertainty.of(&active, y.len());
        let percent = |value: f64| span.map(|span| 100.0 * value / span);
        Conformity {
            basis,
            intercept: self.from.1 - self.slope * self.from.0 + self.shift,
            slope: self.slope,
            deviations,
            largest,
            at,
            most_positive,
            most_negative,
            active,
            standard_uncertainty: u,
            span,
            percent_of_span: percent(largest),
            standard_uncertainty_percent_of_span: u.and_then(percent),
        }
    }
}

fn independent(x: &[f64], y: &[f64]) -> Option<Fitted> {
    let Support { left, right, opposite } = best_line(x, y)?;
    let slope = (y[right] - y[left]) / (x[right] - x[left]);
    let mut line = Fitted { from: (x[left], y[left]), slope, shift: 0.0, largest: None, active: Vec::new() };
    let rest = x.iter().zip(y).map(|(&x, &y)| line.about(x, y));
    let (low, high) = rest.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)));
    let part = (x[opposite] - x[left]) / (x[right] - x[left]);
    // The edge lies above or below the opposite point.
    let sign = if line.about(x[opposite], y[opposite]) > 0.0 { -0.5 } else { 0.5 };
    line.active = vec![
        Active { index: left, weight: sign * (1.0 - part) },
        Active { index: right, weight: sign * part },
        Active { index: opposite, weight: -sign },
    ];
    line.shift = 0.5 * (low + high);
    line.largest = Some(0.5 * (high - low));
    slope.is_finite().then_some(line)
}

/// Mean of the readings at one x, and their indices.
fn mean_at(x: &[f64], y: &[f64], at: f64) -> (f64, Vec<usize>) {
    let here: Vec<usize> =
        (0..x.len()).filter(|&i| x[i].partial_cmp(&at).is_some_and(core::cmp::Ordering::is_eq)).collect();
    (here.iter().map(|&i| y[i]).sum::<f64>() / here.len() as f64, here)
}

fn terminal(x: &[f64], y: &[f64], low: f64, high: f64) -> Fitted {
    let ((first, _), (last, _)) = (mean_at(x, y, low), mean_at(x, y, high));
    let slope = (last - first) / (high - low);
    Fitted { from: (low, first), slope, shift: 0.0, largest: None, active: Vec::new() }
}

/// The deviation at a point depends on its reading, and on those at both ends.
fn terminal_weights(x: &[f64], at: usize, deviation: f64) -> Vec<Active> {
    let sign = 1f64.copysign(deviation);
    let low = x.iter().copied().fold(f64::INFINITY, f64::min);
    let high = x.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let part = (x[at] - low) / (high - low);
    let mut active = vec![Active { index: at, weight: sign }];
    for (end, share) in [(low, 1.0 - part), (high, part)] {
        let (_, here) = mean_at(x, x, end);
        active.extend(here.iter().map(|&index| Active { index, weight: -sign * share / here.len() as f64 }));
    }
    active
}

/// The points and their images through the lower end have a best line through that end: the zero-based one.
fn zero_based(x: &[f64], y: &[f64], low: f64) -> Option<Fitted> {
    let (first, here) = mean_at(x, y, low);
    let n = x.len();
    let image = |values: &[f64], origin: f64| -> Vec<f64> {
        values.iter().map(|v| v - origin).chain(values.iter().map(|v| -(v - origin))).collect()
    };
    let (h, d) = (image(x, low), image(y, first));
    let Support { left, right, .. } = best_line(&h, &d)?;
    // Of an edge and its image take the one above: there the deviation of both ends is the largest.
    let signed = |k: usize| (k % n, if k < n { 1.0 } else { -1.0 });
    let ((i, si), (j, sj)) = (signed(left), signed(right));
    let slope = (d[right] - d[left]) / (h[right] - h[left]);
    let sign = if d[left] - slope * h[left] < 0.0 { -1.0 } else { 1.0 };
    // D = (d_left h_right − d_right h_left)/(h_right − h_left)
    let span = h[right] - h[left];
    let (wi, wj) = (sign * si * h[right] / span, -sign * sj * h[left] / span);
    let mut active = vec![Active { index: i, weight: wi }, Active { index: j, weight: wj }];
    active.extend(here.iter().map(|&index| Active { index, weight: -(wi + wj) / here.len() as f64 }));
    let line = Fitted { from: (low, first), slope, shift: 0.0, largest: None, active };
    slope.is_finite().then_some(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    const X: [f64; 5] = [0.0, 25.0, 50.0, 75.0, 100.0];
    const E: [f64; 5] = [0.02, 0.10, 0.16, 0.12, 0.04];

    fn plain(x: &[f64], y: &[f64], basis: Basis) -> Result<Conformity> {
        linearity(x, y, None, basis, ReadingUncertainty::Nothing)
    }

    // By hand: terminal line 0.02 + 0.0002 x, at 50: 0.13. Zero-based: the line through (0, 0.02) that balances 50 and
    // 100: slope (0.14 + 0.02)/150 = 0.0010667, deviation 0.14 − 0.05333 = 0.08667. Independent: half the terminal one,
    // because the points of its edge are the ends. Percentages of a span of 50: twice as much.
    #[test]
    fn worked_example() {
        let cases = [(Basis::Terminal, 0.13), (Basis::Zero, 0.26 / 3.0), (Basis::Independent, 0.065)];
        for (basis, wanted) in cases {
            let found = linearity(&X, &E, Some(50.0), basis, ReadingUncertainty::Nothing).unwrap();
            assert!((found.largest - wanted).abs() < 1e-15, "{found:?}");
            assert!((found.percent_of_span.unwrap() - 2.0 * wanted).abs() < 1e-14);
            assert!(found.standard_uncertainty.is_none());
            assert_eq!(Basis::from_name(basis.name()), Ok(basis));
        }
        assert!((plain(&X, &E, Basis::Zero).unwrap().slope - 0.16 / 150.0).abs() < 1e-17);
        let as_it_stands = plain(&X, &E, Basis::Unadjusted).unwrap();
        assert_eq!((as_it_stands.largest, as_it_stands.at), (99.96, 4));
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let code = |outcome: Result<Conformity>| outcome.map_err(|error| error.code()).map(|_| ());
        assert_eq!(code(plain(&X[..2], &E[..2], Basis::Independent)), Err(201));
        assert_eq!(code(plain(&[0.0, 1.0, 1.0], &E[..3], Basis::Terminal)), Err(201));
        assert_eq!(code(plain(&X, &E[..4], Basis::Zero)), Err(105));
        let message = plain(&X, &[0.0, 0.1, f64::NAN, 0.1, 0.0], Basis::Zero).unwrap_err().to_string();
        assert_eq!(message, "y must be a finite number, got NaN (element 2)");
        for span in [0.0, -1.0] {
            let outcome = linearity(&X, &E, Some(span), Basis::Zero, ReadingUncertainty::Nothing);
            assert_eq!(code(outcome), Err(103));
        }
        let negative = ReadingUncertainty::Each(&[0.1, 0.1, 0.1, 0.1, -0.1]);
        assert_eq!(code(linearity(&X, &E, None, Basis::Zero, negative)), Err(103));
        assert_eq!(code(linearity(&X, &E, None, Basis::Zero, ReadingUncertainty::Covariance(&[1.0]))), Err(105));
        assert_eq!(Basis::from_name("best").map_err(|e| e.code()), Err(104));
    }

    proptest::proptest! {
        // Invariants: no basis is better than one with more freedom; a line added changes nothing; each result is the sum
        // of its weighted readings (weights add up to nothing, and so do their first moments where the slope is free).
        #[test]
        fn bases_in_order_and_linear_in_the_active_readings(
            y in proptest::collection::vec(-1.0..1.0f64, 3..30),
            tilt in -3.0..3.0f64,
            shift in -5.0..5.0f64,
        ) {
            // Out of order, some twice.
            let n = y.len();
            let x: Vec<f64> = (0..n).map(|i| ((i * 7) % (n - n / 4)) as f64).collect();
            let tilted: Vec<f64> = x.iter().zip(&y).map(|(x, y)| y + shift + tilt * x).collect();
            let mut before = 0.0;
            for basis in [Basis::Independent, Basis::Zero, Basis::Terminal] {
                let (Ok(found), Ok(moved)) = (plain(&x, &y, basis), plain(&x, &tilted, basis)) else {
                    return Ok(());
                };
                proptest::prop_assert!(found.largest >= before - 1e-12, "{:?}", found);
                proptest::prop_assert!((found.largest - moved.largest).abs() < 1e-12, "{:?}", found);
                let sum: f64 = found.active.iter().map(|a| a.weight * y[a.index]).sum();
                proptest::prop_assert!((sum - found.largest).abs() < 1e-12, "{:?} {} {:?}", basis, sum, found);
                let reached = found.deviations.iter().fold(0.0, |largest: f64, d| largest.max(d.abs()));
                proptest::prop_assert!((reached - found.largest).abs() < 1e-12);
                before = found.largest;
            }
        }
    }
}
