//! What is known of the items before they are measured: the prior.

use crate::decision::limits::Limits;
use crate::error::{Error, Result, finite, not_negative, open_probability, positive};
use crate::num::quadrature::integrate;
use crate::num::special::normal_quantile;
use crate::uncertainty::Distribution;
use std::f64::consts::{FRAC_PI_2, PI};

/// Accuracy of the integrals over a prior, relative to each of them.
const ACCURACY: f64 = 1e-13;

/// Beyond so many standard deviations a normal quantity has no probability that a double can hold.
const NORMAL_REACH: f64 = 38.5;

/// The true values that come to be measured, as a distribution: the prior of JCGM 106:2012.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Process(Distribution);

/// Which in-tolerance probability is known of a process.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InTolerance {
    /// Fraction of items whose true value lies within the tolerance.
    True,
    /// Fraction of items that were measured to lie within the tolerance, by measurements with this standard uncertainty:
    /// their scatter is in it, so that the process itself is narrower. What a laboratory's own records show.
    Observed {
        /// Standard uncertainty of the measurements that were counted, in the unit of the tolerance.
        standard_uncertainty: f64,
    },
}

impl Process {
    /// True values of any distribution; a normal one with finite degrees of freedom counts as Student's t.
    ///
    /// # Errors
    /// Those of [`Distribution::check`]; [`Error::InvalidValue`] for a distribution without width.
    pub fn new(distribution: Distribution) -> Result<Self> {
        let distribution = distribution.check()?;
        let spread = match distribution {
            Distribution::StudentT { scale, .. } => scale,
            other => other.standard_uncertainty(),
        };
        positive("standard deviation of the process", spread, "")?;
        Ok(Self(distribution))
    }

    /// Normal true values.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`] for a standard deviation that is not positive.
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self> {
        finite("mean of the process", mean)?;
        positive("standard deviation of the process", standard_deviation, "")?;
        Self::new(Distribution::normal(mean, standard_deviation)?)
    }

    /// Normal true values about the middle of the tolerance, of which a fraction is in tolerance.
    ///
    /// # Formula
    /// σ = T/z, z the normal quantile of (1 + p)/2; for an observed fraction σ² = (T/z)² − u².
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a probability that is not between 0 and 1; [`Error::Undetermined`] for limits to one side
    /// only, which do not tell the spread; [`Error::InvalidValue`] where the measurements alone scatter more than what was
    /// observed.
    ///
    /// # Example
    /// ```
    /// use calcore::decision::{InTolerance, Limits, Process};
    /// // 95 % of the true values within ±1: σ = 1/1.96.
    /// let process = Process::in_tolerance(Limits::symmetric(1.0), 0.95, InTolerance::True)?;
    /// assert!((process.standard_deviation() - 0.5102).abs() < 5e-5);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn in_tolerance(limits: Limits, probability: f64, of: InTolerance) -> Result<Self> {
        let (Some(lower), Some(upper)) = (limits.check()?.lower, limits.upper) else {
            return Err(Error::Undetermined {
                what: "process from its in-tolerance probability",
                parameter: "the standard deviation of the process".into(),
                hint: "give both tolerance limits, or the process itself",
            });
        };
        open_probability("in-tolerance probability", probability)?;
        let half_width = positive("width of the tolerance", upper - lower, "")? * 0.5;
        // From the fraction outside: near certainty it keeps more digits than (1 + p)/2.
        let spread = half_width / -normal_quantile(0.5 * (1.0 - probability))?;
        let mean = lower + half_width;
        let InTolerance::Observed { standard_uncertainty } = of else { return Self::normal(mean, spread) };
        let u = not_negative("standard uncertainty", standard_uncertainty, "")?;
        if u >= spread {
            return Err(Error::InvalidValue {
                what: "standard uncertainty",
                value: u,
                unit: "",
                requirement: format!(
                    "the observed in-tolerance probability {probability} leaves {spread} for process and measurement \
                     together; it must be smaller than that"
                ),
            });
        }
        Self::normal(mean, ((spread - u) * (spread + u)).sqrt())
    }

    /// The distribution.
    #[must_use]
    pub fn distribution(&self) -> Distribution {
        self.0
    }

    /// Expectation of the true values.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.0.mean()
    }

    /// Standard deviation of the true values.
    #[must_use]
    pub fn standard_deviation(&self) -> f64 {
        self.0.standard_uncertainty()
    }

    /// Mean and standard deviation if the true values are normal.
    pub(crate) fn as_normal(&self) -> Option<(f64, f64)> {
        match self.0 {
            Distribution::Normal { mean, std, degrees_of_freedom: f64::INFINITY } => Some((mean, std)),
            _ => None,
        }
    }

    /// ∫ f(x) g(x) dx from `low` to `high`, f the density of the true values. `bends`: where g changes quickly.
    pub(crate) fn weighted(&self, low: f64, high: f64, bends: &[f64], g: impl Fn(f64) -> f64) -> Result<f64> {
        let integral = |from: f64, to: f64, inner: &mut dyn Iterator<Item = f64>, f: &dyn Fn(f64) -> f64| {
            let mut points: Vec<f64> = inner.filter(|x| *x > from && *x < to).chain([from, to]).collect();
            points.sort_by(f64::total_cmp);
            if to > from { integrate("risk", &points, ACCURACY, f).map(|i| i.value) } else { Ok(0.0) }
        };
        match self.0 {
            Distribution::Normal { mean, std: scale, degrees_of_freedom: f64::INFINITY }
            | Distribution::StudentT { mean, scale, degrees_of_freedom: f64::INFINITY } => {
                let z = |x: f64| ((x - mean) / scale).clamp(-NORMAL_REACH, NORMAL_REACH);
                let steps = [-16.0, -8.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0, 16.0];
                let mut inner = bends.iter().map(|x| z(*x)).chain(steps);
                let f = |z: f64| libm::exp(-0.5 * z * z) * g(mean + scale * z);
                Ok(integral(z(low), z(high), &mut inner, &f)? / (2.0 * PI).sqrt())
            }
            Distribution::Normal { mean, std: scale, degrees_of_freedom: nu }
            | Distribution::StudentT { mean, scale, degrees_of_freedom: nu } => {
                // x = mean + scale √ν tan φ: the density becomes that of cos^(ν−1) φ, on an interval that ends.
                let reach = scale * nu.sqrt();
                let angle = |x: f64| libm::atan2(x - mean, reach);
                let steps = [-64.0, -16.0, -4.0, -1.0, 0.0, 1.0, 4.0, 16.0, 64.0];
                let mut inner = bends.iter().map(|x| angle(*x)).chain(steps.map(|step| angle(mean + step * scale)));
                let f = |phi: f64| {
                    let (sine, cosine) = libm::sincos(phi);
                    libm::exp((nu - 1.0) * libm::log(cosine)) * g(mean + reach * sine / cosine)
                };
                // Twice the half from the middle: the norm by the same rule.
                let mut beyond = steps.into_iter().map(|step| angle(mean + step * scale));
                let half = integral(0.0, FRAC_PI_2, &mut beyond, &|phi: f64| {
                    libm::exp((nu - 1.0) * libm::log(libm::cos(phi)))
                })?;
                Ok(integral(angle(low), angle(high), &mut inner, &f)? / (2.0 * half))
            }
            Distribution::UShaped { low: start, high: end } => {
                // x = middle + a sin φ, φ uniform: no density that grows without limit at the ends.
                let (middle, a) = (start + 0.5 * (end - start), 0.5 * (end - start));
                let angle = |x: f64| libm::asin(((x - middle) / a).clamp(-1.0, 1.0));
                let mut inner = bends.iter().map(|x| angle(*x)).chain([0.0]);
                let f = |phi: f64| g(middle + a * libm::sin(phi));
                Ok(integral(angle(low), angle(high), &mut inner, &f)? / PI)
            }
            Distribution::Exponential { mean } => {
                Self(Distribution::Gamma { shape: 1.0, scale: mean }).weighted(low, high, bends, g)
            }
            Distribution::Gamma { shape, scale } => {
                // In y = ln(x/scale): no density that grows without limit at zero, whatever the shape.
                let (least, most) = (-745.0 / shape, libm::log(shape + 40.0 * shape.sqrt() + 800.0));
                let y = |x: f64| if x > 0.0 { libm::log(x / scale).clamp(least, most) } else { least };
                let (middle, width) = (libm::log(shape), 1.0 / shape.sqrt());
                let steps = [-8.0, -4.0, -2.0, -1.0, 0.0, 1.0, 2.0, 4.0].map(|step| middle + step * width);
                let mut inner = bends.iter().map(|x| y(*x)).chain(steps);
                let norm = libm::lgamma(shape);
                integral(y(low), y(high), &mut inner, &|y: f64| {
                    let x = libm::exp(y);
                    libm::exp(shape * y - x - norm) * g(scale * x)
                })
            }
            bounded => {
                let Some(Bounded { middle, reach, kink }) = Bounded::of(&bounded) else { return Ok(f64::NAN) };
                let (start, end) = (middle - reach, middle + reach);
                let inner = [middle - kink, middle, middle + kink];
                let mut inner = bends.iter().copied().chain(inner);
                integral(low.clamp(start, end), high.clamp(start, end), &mut inner, &|x: f64| {
                    Bounded::density(&bounded, (x - middle).abs()) * g(x)
                })
            }
        }
    }
}

/// A symmetric distribution between two ends: its middle, its half-width, and the distance at which its density bends.
struct Bounded {
    middle: f64,
    reach: f64,
    kink: f64,
}

impl Bounded {
    fn of(distribution: &Distribution) -> Option<Self> {
        let middle = distribution.mean();
        let (reach, kink) = match *distribution {
            Distribution::Rectangular { low, high } | Distribution::Triangular { low, high } => {
                let a = 0.5 * (high - low);
                (a, a)
            }
            Distribution::Trapezoidal { low, high, shape } => {
                let a = 0.5 * (high - low);
                (a, a * shape)
            }
            Distribution::CurvilinearTrapezoid { low, high, d } => {
                let a = 0.5 * (high - low);
                (a + d, a - d)
            }
            _ => return None,
        };
        Some(Self { middle, reach, kink })
    }

    /// Density at a distance from the middle, within the half-width. JCGM 101:2008, 6.4.2 to 6.4.5.
    fn density(distribution: &Distribution, y: f64) -> f64 {
        match *distribution {
            Distribution::Rectangular { low, high } => 1.0 / (high - low),
            Distribution::Triangular { low, high } => {
                let a = 0.5 * (high - low);
                (a - y) / (a * a)
            }
            Distribution::Trapezoidal { low, high, shape } => {
                let a = 0.5 * (high - low);
                let flat = 1.0 / (a * (1.0 + shape));
                if y <= a * shape { flat } else { flat * (a - y) / (a * (1.0 - shape)) }
            }
            Distribution::CurvilinearTrapezoid { low, high, d } => {
                let a = 0.5 * (high - low);
                if d <= 1e-15 * a {
                    return 0.5 / a;
                }
                libm::log((a + d) / y.max(a - d)) / (4.0 * d)
            }
            _ => f64::NAN,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> Vec<Process> {
        [
            Distribution::normal(0.2, 1.5),
            Distribution::normal_with_degrees_of_freedom(0.2, 1.5, 4.0),
            Distribution::student_t(-0.5, 0.7, 1.0),
            Distribution::student_t(-0.5, 0.7, 300.0),
            Distribution::rectangular(-2.0, 3.0),
            Distribution::triangular(-2.0, 3.0),
            Distribution::trapezoidal(-2.0, 3.0, 0.4),
            Distribution::trapezoidal(-2.0, 3.0, 1.0),
            Distribution::u_shaped(-2.0, 3.0),
            Distribution::curvilinear_trapezoid(-2.0, 3.0, 0.5),
            Distribution::curvilinear_trapezoid(-2.0, 3.0, 2.5),
            Distribution::curvilinear_trapezoid(-2.0, 3.0, 0.0),
            Distribution::exponential(0.8),
            Distribution::gamma(0.3, 2.0),
            Distribution::gamma(40.0, 0.03),
        ]
        .into_iter()
        .map(|d| Process::new(d.unwrap()).unwrap())
        .collect()
    }

    #[test]
    fn every_kind_weighs_as_its_distribution_function_says() {
        for process in all() {
            let cdf = |x: f64| process.distribution().cdf(x).unwrap();
            let whole = process.weighted(f64::NEG_INFINITY, f64::INFINITY, &[], |_| 1.0).unwrap();
            assert!((whole - 1.0).abs() < 1e-12, "{process:?}: {whole}");
            for (low, high) in [(-1.0, 1.0), (0.5, 0.75), (-7.0, 0.1)] {
                let got = process.weighted(low, high, &[0.3], |_| 1.0).unwrap();
                // The distribution functions are good to 1e-12 (tests/distributions.rs).
                assert!((got - (cdf(high) - cdf(low))).abs() < 2e-12, "{process:?}: {got}");
            }
        }
    }

    #[test]
    fn true_and_observed_in_tolerance_differ_by_the_measurement() {
        let limits = Limits::between(1.0, 3.0);
        let of_true = Process::in_tolerance(limits, 0.95, InTolerance::True).unwrap();
        // 1/1.959963984540054, quantile from mpmath.
        assert!((of_true.standard_deviation() - 1.0 / 1.959_963_984_540_054).abs() < 1e-15);
        assert_eq!(of_true.mean(), 2.0);
        let observed = InTolerance::Observed { standard_uncertainty: 0.25 };
        let of_observed = Process::in_tolerance(limits, 0.95, observed).unwrap();
        let both = of_observed.standard_deviation().powi(2) + 0.0625;
        assert!((both - of_true.standard_deviation().powi(2)).abs() < 1e-15);
    }

    #[test]
    fn impossible_processes_are_refused() {
        let code = |r: Result<Process>| r.map_err(|e| e.code()).map(|_| ());
        let limits = Limits::symmetric(1.0);
        assert_eq!(code(Process::normal(0.0, 0.0)), Err(103));
        assert_eq!(code(Process::normal(f64::NAN, 1.0)), Err(101));
        assert_eq!(code(Process::new(Distribution::rectangular(1.0, 1.0).unwrap())), Err(103));
        assert_eq!(code(Process::in_tolerance(limits, 1.0, InTolerance::True)), Err(102));
        assert_eq!(
            code(Process::in_tolerance(Limits { lower: None, upper: Some(1.0) }, 0.9, InTolerance::True)),
            Err(202)
        );
        let wide = InTolerance::Observed { standard_uncertainty: 0.6 };
        assert_eq!(code(Process::in_tolerance(limits, 0.95, wide)), Err(103));
    }
}
