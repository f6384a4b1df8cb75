//! The arithmetic of many points, a block at a time, with the widest vectors.
//!
//! Every operation is that of `evaluate`, in the same order: the bits are the same.

use super::evaluate::{not_flat, not_zero};
use super::expand::Factors;
use super::points::{AtPoints, PointInput, PointSlices};
use super::running::{BLOCK, Room, Running, apply, fill, write};
use super::{Chain, MeasurementModel, Place};
use crate::curves::{Invalid, hold};
use crate::error::{Error, Result};
use crate::interval::Interval;
use crate::num::simd::widest;
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::coverage::Coverage;

/// Work space for the blocks of a model.
pub(super) struct Blocks<'a> {
    pub(super) model: &'a MeasurementModel,
    pub(super) inputs: &'a [PointInput<'a>],
    pub(super) correlation: Option<&'a Correlation>,
    pub(super) invalid: Invalid,
    /// Whether all degrees of freedom are infinite.
    pub(super) exact: bool,
    /// Where a reading must lie.
    pub(super) range: Interval,
    pub(super) sum: Room,
    pub(super) reading: Room,
    /// What the curve gives.
    value: Room,
    pub(super) rate: Room,
    pub(super) base: Room,
    /// Contributions that are not asked for.
    pub(super) scratch: Room,
    pub(super) per_reading: Room,
    pub(super) variance: Room,
    pub(super) product: Running,
    relative: Running,
    pub(super) gain: Running,
    /// The terms of the result.
    added: Running,
    pub(super) quotient: Running,
}

impl<'a> Blocks<'a> {
    pub(super) fn new(
        model: &'a MeasurementModel,
        inputs: &'a [PointInput<'a>],
        correlation: Option<&'a Correlation>,
        invalid: Invalid,
    ) -> Self {
        let range = match &model.chain {
            Chain::Nothing => Interval { what: "reading", unit: "", low: f64::MIN, high: f64::MAX },
            Chain::Temperature(curve) => curve.signal_range(),
            Chain::Signal(curve) => curve.range(),
        };
        Self {
            model,
            inputs,
            correlation,
            invalid,
            exact: inputs.iter().all(|input| input.degrees_of_freedom == AtPoints::One(f64::INFINITY)),
            range,
            sum: Room::new(),
            reading: Room::new(),
            value: Room::new(),
            rate: Room::new(),
            base: Room::new(),
            scratch: Room::new(),
            per_reading: Room::new(),
            variance: Room::new(),
            product: Running::new(),
            relative: Running::new(),
            gain: Running::new(),
            added: Running::new(),
            quotient: Running::new(),
        }
    }

    /// The budgets of all points.
    pub(super) fn budgets(&mut self, coverage: Coverage, mut out: PointSlices<'_>) -> Result<()> {
        let points = out.values.len();
        let mut factors = Factors::new(coverage);
        for from in (0..points).step_by(BLOCK) {
            let at = from..points.min(from + BLOCK);
            self.readings(at.start, at.end)?;
            let inside = self.all_inside(at.len());
            if self.invalid == Invalid::Raise && !inside {
                return Err(self.refusal(points));
            }
            // Beyond its range a curve may well give a number, which is none of the model.
            if self.correlation.is_some() || !inside {
                self.one_by_one(at.clone(), &mut out)?;
            } else {
                self.evaluate_curve(at.len());
                self.rates(from, at.len())?;
                self.weigh_and_add(&mut out.values[at.clone()]);
                self.contributions(at.clone(), &mut out)?;
                self.combine(at.clone(), &mut out)?;
            }
            factors.expand(
                &out.effective_degrees_of_freedom[at.clone()],
                &out.standard_uncertainties[at.clone()],
                &mut out.coverage_factors[at.clone()],
                &mut out.expanded_uncertainties[at],
            )?;
        }
        Ok(())
    }

    /// The values of all points without what their sensitivities need.
    pub(super) fn values(&mut self, values: &mut [f64]) -> Result<()> {
        let points = values.len();
        for (block, values) in values.chunks_mut(BLOCK).enumerate() {
            let (from, len) = (block * BLOCK, values.len());
            self.readings(from, from + len)?;
            if !self.all_inside(len) {
                return Err(self.refusal(points));
            }
            self.evaluate_curve(len);
            self.weigh_and_add(values);
        }
        Ok(())
    }

    /// Sum, product, gain and reading of a block, and the terms of its result.
    fn readings(&mut self, from: usize, to: usize) -> Result<()> {
        let len = to - from;
        fill(&mut self.sum[..len], 0.0);
        self.product.start(AtPoints::One(1.0));
        self.relative.start(AtPoints::One(0.0));
        self.added.start(AtPoints::One(0.0));
        for (term, input) in self.model.terms.iter().zip(self.inputs) {
            let (k, x) = (term.coefficient, input.estimate.part(from, to));
            let sum = &mut self.sum[..len];
            match term.place {
                // The sum begins with +0, so that adding a zero of any sign changes no bit of it.
                Place::Reading if matches!(x, AtPoints::One(x) if (k * x).abs() <= 0.0) => {}
                Place::Reading => apply(
                    sum,
                    x,
                    #[inline(always)]
                    move |s, x| s + k * x,
                ),
                Place::Junction => {
                    let signal = match x {
                        AtPoints::One(x) => AtPoints::One(or_nan(self.model.junction_signal(x), self.invalid, None)?),
                        AtPoints::Each(x) => {
                            for (i, (y, x)) in self.base.iter_mut().zip(x).enumerate() {
                                *y = or_nan(self.model.junction_signal(*x), self.invalid, Some(from + i))?;
                            }
                            AtPoints::Each(&self.base[..len])
                        }
                    };
                    apply(
                        sum,
                        signal,
                        #[inline(always)]
                        move |s, x| s + k * x,
                    );
                }
                Place::Factor | Place::Divisor => {
                    self.check_factor(&term.name, x, from)?;
                    if term.place == Place::Factor {
                        self.product.apply(
                            len,
                            x,
                            #[inline(always)]
                            move |g, x| g * (k * x),
                        );
                    } else {
                        self.product.apply(
                            len,
                            x,
                            #[inline(always)]
                            move |g, x| g / (k * x),
                        );
                    }
                }
                Place::Relative | Place::Result => {
                    let terms = if term.place == Place::Result { &mut self.added } else { &mut self.relative };
                    terms.apply(
                        len,
                        x,
                        #[inline(always)]
                        move |s, x| s + k * x,
                    );
                }
            }
        }
        self.gain.start(self.product.view(len));
        if self.model.has(&[Place::Relative]) {
            self.gain.apply(
                len,
                self.relative.view(len),
                #[inline(always)]
                |g, r| g * (1.0 + r),
            );
        }
        write(
            &mut self.reading[..len],
            &self.sum[..len],
            self.gain.view(len),
            #[inline(always)]
            |s, g| s * g,
        );
        Ok(())
    }

    fn check_factor(&self, name: &str, x: AtPoints<'_>, from: usize) -> Result<()> {
        let good = |x: f64| x.is_finite() && x.abs() > 0.0;
        match x {
            // It makes a reading that is nowhere inside.
            _ if self.invalid == Invalid::Nan => Ok(()),
            AtPoints::One(x) => not_zero(name, x).map(|_| ()),
            AtPoints::Each(x) => match x.iter().position(|x| !good(*x)) {
                Some(i) => not_zero(name, x[i]).map(|_| ()).map_err(|e| located(e, from + i)),
                None => Ok(()),
            },
        }
    }

    fn all_inside(&self, len: usize) -> bool {
        let (range, reading) = (self.range, &self.reading[..len]);
        widest(
            #[inline(always)]
            || reading.iter().fold(true, |all, &x| all & (x >= range.low) & (x <= range.high)),
        )
    }

    /// The error for the first reading that does not lie inside, which must exist, and how many there are.
    #[cold]
    fn refusal(&mut self, points: usize) -> Error {
        let (mut first, mut count) = ((0, f64::NAN), 0);
        for from in (0..points).step_by(BLOCK) {
            let to = points.min(from + BLOCK);
            if let Err(error) = self.readings(from, to) {
                return error;
            }
            for (i, &x) in self.reading[..to - from].iter().enumerate() {
                if !self.range.contains(x) {
                    if count == 0 {
                        first = (from + i, x);
                    }
                    count += 1;
                }
            }
        }
        self.range.refusal(first.1).at_index(first.0, count)
    }

    /// What the curve gives for a block.
    fn evaluate_curve(&mut self, len: usize) {
        let (reading, value) = (&self.reading[..len], &mut self.value[..len]);
        match &self.model.chain {
            Chain::Nothing => value.copy_from_slice(reading),
            Chain::Temperature(curve) => {
                curve.raw_temperature_block(reading, value);
                hold(curve.range(), value);
            }
            Chain::Signal(curve) => curve.raw_signal_block(reading, value),
        }
    }

    /// What a change of the reading moves the result of a block by.
    fn rates(&mut self, from: usize, len: usize) -> Result<()> {
        let weight = self.model.weight;
        let (reading, value, rate) = (&self.reading[..len], &self.value[..len], &mut self.rate[..len]);
        match &self.model.chain {
            Chain::Nothing => fill(rate, weight),
            Chain::Temperature(curve) => {
                curve.raw_slope_block(value, rate);
                if let (Some(i), Invalid::Raise) = (flat(rate, reading, self.range), self.invalid) {
                    not_flat(rate[i]).map_err(|error| located(error, from + i))?;
                }
                apply(
                    rate,
                    AtPoints::One(weight),
                    #[inline(always)]
                    |slope, weight| weight / slope,
                );
            }
            Chain::Signal(curve) => {
                curve.raw_slope_block(reading, rate);
                apply(
                    rate,
                    AtPoints::One(weight),
                    #[inline(always)]
                    |slope, weight| weight * slope,
                );
            }
        }
        Ok(())
    }

    /// The values: what the curve gives with its weight, and the terms of the result.
    fn weigh_and_add(&self, values: &mut [f64]) {
        let weight = self.model.weight;
        let len = values.len();
        write(
            values,
            &self.value[..len],
            self.added.view(len),
            #[inline(always)]
            |value, added| weight * value + added,
        );
    }
}

/// A point where the curve gives no temperature although its range says so, or no slope.
fn flat(slope: &[f64], reading: &[f64], range: Interval) -> Option<usize> {
    let good = widest(
        #[inline(always)]
        || slope.iter().fold(true, |all, s| all & (s.abs() > 0.0)),
    );
    if good {
        return None;
    }
    slope.iter().zip(reading).position(|(s, r)| (s.is_nan() || s.abs() <= 0.0) && range.contains(*r))
}

/// A number that is missing where that is allowed, or the error, with the place of the point where it is one of many.
fn or_nan(number: Result<f64>, invalid: Invalid, index: Option<usize>) -> Result<f64> {
    match (number, invalid, index) {
        (Ok(number), ..) => Ok(number),
        (Err(_), Invalid::Nan, _) => Ok(f64::NAN),
        (Err(error), Invalid::Raise, None) => Err(error),
        (Err(error), Invalid::Raise, Some(index)) => Err(located(error, index)),
    }
}

/// An error with the place of the point.
pub(super) fn located(error: Error, index: usize) -> Error {
    match error {
        Error::InvalidValue { what, value, unit, requirement } => {
            Error::InvalidValue { what, value, unit, requirement: format!("{requirement} (element {index})") }
        }
        other => other.at_index(index, 1),
    }
}
