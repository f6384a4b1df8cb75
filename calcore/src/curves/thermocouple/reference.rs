//! The published functions in doubled precision, and their inverse by bracketed Newton steps: the second opinion on the
//! piecewise polynomials, and the falling branch of type B.

use crate::constants::tc_segments_published::PublishedRange;
use crate::num::double_double::DoubleDouble;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::root::bracketed_newton;

/// Emf in mV and slope in mV/K of one range.
fn emf_and_slope(range: &PublishedRange, t_c: f64) -> (DoubleDouble, DoubleDouble) {
    let t = DoubleDouble::new(t_c);
    let (mut emf, mut slope) = (DoubleDouble::ZERO, DoubleDouble::ZERO);
    for &c in range.c.iter().rev() {
        slope = slope.multiply(t).add(emf);
        emf = emf.multiply(t).add(DoubleDouble::from_parts(c));
    }
    if let Some(gauss) = range.gauss {
        let [a0, a1, a2] = gauss.map(DoubleDouble::from_parts);
        let away = t.subtract(a2);
        let exponent = a1.multiply(away).multiply(away);
        let (high, low) = exponent.parts();
        let power = libm::exp(high);
        let bell = a0.multiply(DoubleDouble::new(power).add(DoubleDouble::new(power * low)));
        emf = emf.add(bell);
        slope = slope.add(bell.multiply(a1.add(a1)).multiply(away));
    }
    (emf, slope)
}

/// The range that holds at a temperature; a joint belongs to the range below it.
fn at(ranges: &[PublishedRange], t_c: f64) -> Option<&PublishedRange> {
    ranges.iter().find(|range| t_c <= range.t_hi).or(ranges.last())
}

/// Emf, mV.
pub(super) fn emf(ranges: &[PublishedRange], t_c: f64) -> f64 {
    at(ranges, t_c).map_or(f64::NAN, |range| emf_and_slope(range, t_c).0.to_f64())
}

/// Slope, mV/K.
pub(super) fn slope(ranges: &[PublishedRange], t_c: f64) -> f64 {
    at(ranges, t_c).map_or(f64::NAN, |range| emf_and_slope(range, t_c).1.to_f64())
}

/// The sum of two doubles is as good as exact: its own error is below half a unit in the last place of the lower one.
fn enclosed((high, low): (f64, f64)) -> Enclosure {
    Enclosure::point(high) + Enclosure::rounded(low)
}

/// Enclosures of the emf and its derivatives over temperatures of one range.
pub(super) fn jet(ranges: &[PublishedRange], t_c: Enclosure) -> Jet {
    let Some(range) = at(ranges, t_c.high) else { return Jet::UNKNOWN };
    let emf = Jet::polynomial(range.c.iter().map(|&c| enclosed(c)), t_c);
    let Some(gauss) = range.gauss else { return emf };
    let [a0, a1, a2] = gauss.map(enclosed);
    let away = Jet::variable(t_c).moved(-a2);
    emf + (away * away).scaled(a1).exponential().scaled(a0)
}

/// Temperature of an emf between two ends of one range, which the solution may miss by rounding; NaN without one.
pub(super) fn between(range: &PublishedRange, mv: f64, low_c: f64, high_c: f64) -> f64 {
    bracketed_newton("temperature", "°C", low_c, high_c, |t| {
        let (emf, slope) = emf_and_slope(range, t);
        (emf.subtract(DoubleDouble::new(mv)).to_f64(), slope.to_f64())
    })
    .unwrap_or(f64::NAN)
}

/// Temperature of an emf above `from_c`, where the function rises.
///
/// At a joint where the emf steps down, two temperatures give the same emf: the lower range holds up to its end and
/// three doubles more, so that the emf of the joint leads back to it. Where the emf steps up, the joint answers for
/// what lies between. A kelvin beyond the ends gives rounding its room; all functions still rise there.
pub(super) fn temperature(ranges: &[PublishedRange], from_c: f64, mv: f64) -> f64 {
    let mut low_c = from_c;
    for (range, next) in ranges.iter().zip(ranges.iter().skip(1)) {
        let end = emf_and_slope(range, range.t_hi).0;
        let start = emf_and_slope(next, next.t_lo).0;
        let (high, low) = end.parts();
        let falls = start.subtract(end).to_f64() < 0.0;
        let above = if low > 0.0 { high.next_up() } else { high };
        let limit = if falls { above.next_up().next_up() } else { high };
        if mv < limit || (mv <= limit && (falls || low >= 0.0)) {
            return between(range, mv, low_c, range.t_hi + 1.0);
        }
        if start.subtract(DoubleDouble::new(mv)).to_f64() > 0.0 {
            return range.t_hi;
        }
        low_c = range.t_hi - 1.0;
    }
    ranges.last().map_or(f64::NAN, |range| between(range, mv, low_c, range.t_hi + 1.0))
}
