//! Coverage factors and expanded uncertainties of many points.

use super::running::fill;
use crate::error::Result;
use crate::num::simd::widest;
use crate::uncertainty::coverage::{Coverage, coverage_factor};

/// The coverage factors of points one after the other. Neighbours often have the same degrees of freedom: the last factor is
/// kept.
pub(super) struct Factors {
    coverage: Coverage,
    /// Degrees of freedom and what they gave.
    last: (f64, f64),
}

impl Factors {
    pub(super) fn new(coverage: Coverage) -> Self {
        Self { coverage, last: (f64::NAN, f64::NAN) }
    }

    /// Fills in factors and expanded uncertainties.
    pub(super) fn expand(
        &mut self,
        degrees: &[f64],
        u: &[f64],
        factors: &mut [f64],
        expanded: &mut [f64],
    ) -> Result<()> {
        let first = degrees.first().map_or(0, |nu| nu.to_bits());
        let same = widest(
            #[inline(always)]
            || degrees.iter().fold(true, |same, nu| same & (nu.to_bits() == first)),
        );
        if same {
            fill(factors, self.factor(f64::from_bits(first))?);
        } else {
            for (factor, &nu) in factors.iter_mut().zip(degrees) {
                *factor = self.factor(nu)?;
            }
        }
        widest(
            #[inline(always)]
            || {
                for ((expanded, k), u) in expanded.iter_mut().zip(&*factors).zip(u) {
                    *expanded = k * u;
                }
            },
        );
        Ok(())
    }

    /// NaN where the degrees of freedom are missing.
    fn factor(&mut self, nu: f64) -> Result<f64> {
        if nu.to_bits() != self.last.0.to_bits() {
            let factor = match self.coverage {
                _ if nu.is_nan() => f64::NAN,
                Coverage::Factor(k) => k,
                Coverage::Probability(p) => coverage_factor(p, nu)?,
            };
            self.last = (nu, factor);
        }
        Ok(self.last.1)
    }
}
