//! The exact inverse: checks, rounding at the ends, and the two sides of type B.

use super::segments::{self, Width};
use super::{Side, Thermocouple, ThermocoupleType, reference};
use crate::curves::SensorCurve;
use crate::error::{Error, Result, text};

/// What an emf may lie beyond the ends of its range, as a part of the largest emf: rounding, when the emf of the
/// reference junction is subtracted and added again, and nothing else.
const ROUNDING: f64 = 1e-12;

impl Thermocouple {
    /// Temperature of the minimum of type B; for the others the lower end of the range.
    pub(super) fn minimum_c(&self) -> f64 {
        self.kind.data().segments.inverse.result_lo
    }

    /// Whether one temperature only can give the emf.
    #[inline]
    fn is_clear(&self, mv: f64) -> bool {
        self.kind != ThermocoupleType::B || self.side == Some(Side::Upper) || (self.side.is_none() && mv > 0.0)
    }

    /// The emf itself, or the end of the range that it misses by rounding.
    #[inline]
    pub(super) fn settle(&self, mv: f64) -> f64 {
        let range = self.signal_range();
        let slack = ROUNDING * range.low.abs().max(range.high.abs());
        if mv < range.low && mv >= range.low - slack {
            range.low
        } else if mv > range.high && mv <= range.high + slack {
            range.high
        } else {
            mv
        }
    }

    /// The inverse on the side that was said, and on the upper one if none was; NaN outside.
    #[inline]
    pub(super) fn solve(&self, mv: f64) -> f64 {
        if self.side == Some(Side::Lower) { self.falling(mv) } else { self.rising(mv) }
    }

    #[inline]
    fn rising(&self, mv: f64) -> f64 {
        segments::value(&self.kind.data().segments.inverse, mv)
    }

    /// Type B below the minimum: emfs from the minimum to 0.
    fn falling(&self, mv: f64) -> f64 {
        let inverse = &self.kind.data().segments.inverse;
        let Some(range) = self.kind.data().published.first() else { return f64::NAN };
        if !(mv >= inverse.lo && mv <= 0.0) {
            return f64::NAN;
        }
        let t_c = reference::between(range, mv, range.t_lo, self.minimum_c());
        // Within rounding of the minimum there may be no change of sign to find.
        if t_c.is_nan() { self.minimum_c() } else { t_c }
    }

    /// The inverse in doubled precision on the side that was said, and on the upper one if none was.
    pub(super) fn root(&self, mv: f64) -> f64 {
        if self.side == Some(Side::Lower) {
            return self.falling(mv);
        }
        let beyond = if self.kind == ThermocoupleType::B { 0.0 } else { 1.0 };
        let t_c = reference::temperature(self.kind.data().published, self.minimum_c() - beyond, mv);
        if t_c.is_nan() { self.minimum_c() } else { t_c.clamp(self.range().low, self.range().high) }
    }

    /// Temperature of a compensated emf.
    #[inline]
    pub(super) fn invert(&self, mv: f64) -> Result<f64> {
        let map = &self.kind.data().segments.inverse;
        if mv >= map.lo && mv <= map.hi && self.is_clear(mv) {
            return Ok(segments::value(map, mv));
        }
        self.invert_by(mv, Self::solve)
    }

    /// Temperature of a compensated emf, checked, by one of the inverses.
    pub(super) fn invert_by(&self, mv: f64, solve: impl Fn(&Self, f64) -> f64) -> Result<f64> {
        let mv = self.signal_range().check(self.settle(mv))?;
        if self.side.is_none() && !self.is_clear(mv) {
            return Err(self.two_temperatures(mv));
        }
        Ok(solve(self, mv))
    }

    /// The inverse over a block, if every element lies inside and no side has to be told apart; else the output is not
    /// to be used.
    pub(super) fn solve_block(&self, mv: &[f64], t_c: &mut [f64]) -> bool {
        self.side != Some(Side::Lower) && segments::values(&self.kind.data().segments.inverse, Width::widest(), mv, t_c)
    }

    /// Whether one temperature only can give each of the emfs.
    pub(super) fn all_clear(&self, mv: &[f64]) -> bool {
        self.kind != ThermocoupleType::B || mv.iter().fold(true, |all, &x| all & self.is_clear(x))
    }

    #[cold]
    fn two_temperatures(&self, mv: f64) -> Error {
        let (lower, upper) = (self.falling(mv), self.rising(mv));
        let requirement = text!(
            "two temperatures of type {} give it, {lower:.4} °C and {upper:.4} °C; say on which side of the minimum at \
             {:.4} °C it lies",
            self.kind.letter(),
            self.minimum_c()
        );
        Error::InvalidValue { what: "emf", value: mv, unit: "mV", requirement }
    }
}
