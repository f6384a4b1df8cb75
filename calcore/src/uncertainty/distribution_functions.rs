//! Distribution functions and quantiles of the inputs.

use crate::error::{Result, finite, open_probability};
use crate::num::root::bracketed_newton;
use crate::num::special::{
    gamma_probabilities, gamma_quantile, less_log1p, normal_quantile, student_cdf, student_quantile,
};
use crate::uncertainty::distribution::Distribution;
use std::f64::consts::PI;

/// A symmetric distribution seen from its middle: half-width and the probability beyond a distance y ≥ 0.
trait FromTheMiddle {
    /// P(X − middle > y) for 0 ≤ y within the half-width.
    fn tail(&self, y: f64) -> f64;
    /// The distance beyond which the probability is `q`, 0 < q ≤ ½.
    fn distance(&self, q: f64) -> Result<f64>;
}

/// Trapezoid of base half-width `a` and top over base `b`; a triangle has 0, a rectangle 1.
struct Trapezoid {
    a: f64,
    b: f64,
}

impl FromTheMiddle for Trapezoid {
    fn tail(&self, y: f64) -> f64 {
        let height = 1.0 / (self.a * (1.0 + self.b));
        if y <= self.a * self.b {
            0.5 - height * y
        } else {
            0.5 * height * (self.a - y) * (self.a - y) / (self.a * (1.0 - self.b))
        }
    }

    fn distance(&self, q: f64) -> Result<f64> {
        let height = 1.0 / (self.a * (1.0 + self.b));
        let slope = self.a * (1.0 - self.b);
        Ok(if q < 0.5 * height * slope {
            self.a - (2.0 * q * slope / height).sqrt()
        } else {
            ((0.5 - q) / height).min(self.a)
        })
    }
}

/// Sine of a uniform phase with amplitude `a`.
struct Arcsine {
    a: f64,
}

impl FromTheMiddle for Arcsine {
    fn tail(&self, y: f64) -> f64 {
        // acos from the distance to the end, which keeps its digits there.
        let z = ((self.a - y) / (2.0 * self.a)).clamp(0.0, 1.0);
        2.0 * libm::asin(libm::sqrt(z)) / PI
    }

    fn distance(&self, q: f64) -> Result<f64> {
        Ok(if q < 0.25 { self.a * libm::cos(PI * q) } else { self.a * libm::sin(PI * (0.5 - q)) })
    }
}

/// Rectangle of half-width between a − d and a + d.
struct InexactLimits {
    a: f64,
    d: f64,
}

impl InexactLimits {
    /// Density in the flat part: the mean of 1/(2w) over the half-widths.
    fn height(&self) -> f64 {
        libm::log1p(2.0 * self.d / (self.a - self.d)) / (4.0 * self.d)
    }
}

impl FromTheMiddle for InexactLimits {
    fn tail(&self, y: f64) -> f64 {
        let end = self.a + self.d;
        if y <= 0.0 {
            0.5
        } else if y <= self.a - self.d {
            0.5 - y * self.height()
        } else {
            y * less_log1p((end - y) / y) / (4.0 * self.d)
        }
    }

    fn distance(&self, q: f64) -> Result<f64> {
        let (flat, end) = (self.a - self.d, self.a + self.d);
        if flat > 0.0 {
            let y = (0.5 - q) / self.height();
            if y <= flat {
                return Ok(y);
            }
        }
        if q >= 0.5 {
            return Ok(0.0);
        }
        // In units of the end, from it inwards.
        let f = |e: f64| {
            let y = end * (1.0 - e);
            (self.tail(y) - q, end * libm::log(end / y.max(f64::MIN_POSITIVE)) / (4.0 * self.d))
        };
        Ok(end * (1.0 - bracketed_newton("quantile of the curvilinear trapezoid", "", 0.0, 1.0 - flat / end, f)?))
    }
}

fn cdf_from(middle: f64, half_width: f64, kind: &impl FromTheMiddle, x: f64) -> f64 {
    let y = x - middle;
    if y.abs() >= half_width {
        return if y < 0.0 { 0.0 } else { 1.0 };
    }
    let tail = kind.tail(y.abs());
    if y < 0.0 { tail } else { 1.0 - tail }
}

fn quantile_from(middle: f64, half_width: f64, kind: &impl FromTheMiddle, p: f64) -> Result<f64> {
    if half_width <= 0.0 {
        return Ok(middle);
    }
    let y = kind.distance(p.min(1.0 - p))?;
    Ok(if p < 0.5 { middle - y } else { middle + y })
}

impl Distribution {
    /// Probability that the quantity does not exceed `x`.
    ///
    /// # Errors
    /// [`crate::Error::NotFinite`] for `x`; those of [`Distribution::check`].
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::Distribution;
    /// assert_eq!(Distribution::rectangular(0.0, 4.0)?.cdf(1.0)?, 0.25);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn cdf(&self, x: f64) -> Result<f64> {
        finite("value", x)?;
        let middle = self.mean();
        Ok(match self.check()? {
            Self::Normal { std: scale, degrees_of_freedom, .. } | Self::StudentT { scale, degrees_of_freedom, .. } => {
                if scale <= 0.0 {
                    return Ok(if x < middle { 0.0 } else { 1.0 });
                }
                student_cdf((x - middle) / scale, degrees_of_freedom)?
            }
            Self::Rectangular { low, high } => {
                if x >= high {
                    1.0
                } else if x <= low {
                    0.0
                } else {
                    (x - low) / (high - low)
                }
            }
            Self::Triangular { low, high } => {
                let a = 0.5 * (high - low);
                cdf_from(middle, a, &Trapezoid { a, b: 0.0 }, x)
            }
            Self::Trapezoidal { low, high, shape } => {
                let a = 0.5 * (high - low);
                cdf_from(middle, a, &Trapezoid { a, b: shape }, x)
            }
            Self::UShaped { low, high } => {
                let a = 0.5 * (high - low);
                cdf_from(middle, a, &Arcsine { a }, x)
            }
            Self::CurvilinearTrapezoid { low, high, d } => {
                let a = 0.5 * (high - low);
                if negligible(a, d) {
                    return Self::Rectangular { low, high }.cdf(x);
                }
                cdf_from(middle, a + d, &InexactLimits { a, d: d.min(a) }, x)
            }
            Self::Exponential { mean } => {
                if x <= 0.0 {
                    0.0
                } else {
                    -libm::expm1(-x / mean)
                }
            }
            Self::Gamma { shape, scale } => {
                if x <= 0.0 {
                    0.0
                } else {
                    gamma_probabilities(shape, x / scale)?.0
                }
            }
        })
    }

    /// The value that the quantity does not exceed with probability `p`.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] unless 0 < p < 1; those of [`Distribution::check`].
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::Distribution;
    /// assert_eq!(Distribution::rectangular(0.0, 4.0)?.quantile(0.25)?, 1.0);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn quantile(&self, p: f64) -> Result<f64> {
        open_probability("probability", p)?;
        let middle = self.mean();
        match self.check()? {
            Self::Normal { std: scale, degrees_of_freedom: nu, .. }
            | Self::StudentT { scale, degrees_of_freedom: nu, .. } => {
                let t = if nu == f64::INFINITY { normal_quantile(p)? } else { student_quantile(p, nu)? };
                finite("quantile", middle + scale * t)
            }
            Self::Rectangular { low, high } => Ok(low + p * (high - low)),
            Self::Triangular { low, high } => {
                let a = 0.5 * (high - low);
                quantile_from(middle, a, &Trapezoid { a, b: 0.0 }, p)
            }
            Self::Trapezoidal { low, high, shape } => {
                let a = 0.5 * (high - low);
                quantile_from(middle, a, &Trapezoid { a, b: shape }, p)
            }
            Self::UShaped { low, high } => {
                let a = 0.5 * (high - low);
                quantile_from(middle, a, &Arcsine { a }, p)
            }
            Self::CurvilinearTrapezoid { low, high, d } => {
                let a = 0.5 * (high - low);
                if negligible(a, d) {
                    return Self::Rectangular { low, high }.quantile(p);
                }
                quantile_from(middle, a + d, &InexactLimits { a, d: d.min(a) }, p)
            }
            Self::Exponential { mean } => Ok(-mean * libm::log1p(-p)),
            Self::Gamma { shape, scale } => Ok(scale * gamma_quantile(p, shape)?),
        }
    }
}

/// A doubt about the limits that no double can show.
fn negligible(a: f64, d: f64) -> bool {
    d <= 1e-15 * a
}
