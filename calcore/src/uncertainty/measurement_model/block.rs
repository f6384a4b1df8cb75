//! The arithmetic of many points, a block at a time, with the widest vectors.
//!
//! Every operation is that of `evaluate`, in the same order: the bits are the same.

use super::evaluate::{not_flat, not_zero};
use super::points::{AtPoints, PointBudgets, PointInput};
use super::{Chain, MeasurementModel, Place};
use crate::curves::Invalid;
use crate::error::{Error, Result, finite};
use crate::interval::Interval;
use crate::num::simd::{BLOCK, widest};
use crate::uncertainty::correlation::Correlation;

/// Replaces every element by what an operation makes of it and of its companion.
#[inline(always)]
pub(super) fn apply(y: &mut [f64], x: AtPoints<'_>, op: impl Fn(f64, f64) -> f64) {
    widest(
        #[inline(always)]
        || match x {
            AtPoints::One(x) => {
                for y in y.iter_mut() {
                    *y = op(*y, x);
                }
            }
            AtPoints::Each(x) => {
                for (y, &x) in y.iter_mut().zip(x) {
                    *y = op(*y, x);
                }
            }
        },
    );
}

/// Writes what an operation makes of two companions.
#[inline(always)]
pub(super) fn write(y: &mut [f64], a: AtPoints<'_>, b: AtPoints<'_>, op: impl Fn(f64, f64) -> f64) {
    match a {
        AtPoints::One(a) => y.fill(a),
        AtPoints::Each(a) => y.copy_from_slice(a),
    }
    apply(y, b, op);
}

/// A product that stays one number as long as all its factors are.
pub(super) struct Product {
    one: f64,
    each: bool,
    buffer: Vec<f64>,
}

impl Product {
    fn new() -> Self {
        Self { one: 1.0, each: false, buffer: vec![0.0; BLOCK] }
    }

    fn start(&mut self, one: f64) {
        (self.one, self.each) = (one, false);
    }

    #[inline(always)]
    fn apply(&mut self, len: usize, x: AtPoints<'_>, op: impl Fn(f64, f64) -> f64) {
        match (self.each, x) {
            (false, AtPoints::One(x)) => self.one = op(self.one, x),
            _ => {
                if !self.each {
                    self.buffer[..len].fill(self.one);
                    self.each = true;
                }
                apply(&mut self.buffer[..len], x, op);
            }
        }
    }

    pub(super) fn view(&self, len: usize) -> AtPoints<'_> {
        if self.each { AtPoints::Each(&self.buffer[..len]) } else { AtPoints::One(self.one) }
    }
}

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
    pub(super) sum: Vec<f64>,
    pub(super) reading: Vec<f64>,
    pub(super) value: Vec<f64>,
    pub(super) rate: Vec<f64>,
    pub(super) base: Vec<f64>,
    pub(super) per_reading: Vec<f64>,
    pub(super) contribution: Vec<f64>,
    pub(super) variance: Vec<f64>,
    pub(super) weight: Vec<f64>,
    pub(super) product: Product,
    relative: Product,
    pub(super) gain: Product,
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
        let room = || vec![0.0; BLOCK];
        Self {
            model,
            inputs,
            correlation,
            invalid,
            exact: inputs.iter().all(|input| input.degrees_of_freedom == AtPoints::One(f64::INFINITY)),
            range,
            sum: room(),
            reading: room(),
            value: room(),
            rate: room(),
            base: room(),
            per_reading: room(),
            contribution: room(),
            variance: room(),
            weight: room(),
            product: Product::new(),
            relative: Product::new(),
            gain: Product::new(),
        }
    }

    /// All points; the result gets values, standard uncertainties, degrees of freedom and, where it has room, contributions.
    pub(super) fn run(mut self, points: usize, found: &mut PointBudgets) -> Result<()> {
        for from in (0..points).step_by(BLOCK) {
            let to = points.min(from + BLOCK);
            self.readings(from, to)?;
            if self.invalid == Invalid::Raise && !self.all_inside(to - from) {
                return Err(self.refusal(points));
            }
            if self.correlation.is_some() {
                self.one_by_one(from..to, points, found)?;
            } else {
                self.values(from, to)?;
                self.contributions(from..to, points, found)?;
                self.combine(from..to, points, found)?;
            }
        }
        Ok(())
    }

    /// The values of all points alone.
    pub(super) fn run_values(mut self, points: usize) -> Result<Vec<f64>> {
        let mut values = Vec::with_capacity(points);
        for from in (0..points).step_by(BLOCK) {
            let to = points.min(from + BLOCK);
            self.readings(from, to)?;
            if !self.all_inside(to - from) {
                return Err(self.refusal(points));
            }
            self.values(from, to)?;
            let found = &self.value[..to - from];
            if let Some(i) = found.iter().position(|value| !value.is_finite()) {
                finite("value of the model", found[i]).map_err(|error| located(error, from + i))?;
            }
            values.extend_from_slice(found);
        }
        Ok(values)
    }

    /// The values of all points without what their sensitivities need: a point where the curve is flat has a value too.
    pub(super) fn write_values(mut self, values: &mut [f64]) -> Result<()> {
        let points = values.len();
        for (block, values) in values.chunks_mut(BLOCK).enumerate() {
            let (from, len) = (block * BLOCK, values.len());
            self.readings(from, from + len)?;
            if !self.all_inside(len) {
                return Err(self.refusal(points));
            }
            let reading = &self.reading[..len];
            match &self.model.chain {
                Chain::Nothing => values.copy_from_slice(reading),
                Chain::Temperature(curve) => curve.raw_temperature_block(reading, values),
                Chain::Signal(curve) => curve.raw_signal_block(reading, values),
            }
            weigh_and_add(self.model, self.inputs, values, from);
        }
        Ok(())
    }

    /// Sum, product, gain and reading of a block.
    fn readings(&mut self, from: usize, to: usize) -> Result<()> {
        let len = to - from;
        self.sum[..len].fill(0.0);
        self.product.start(1.0);
        self.relative.start(0.0);
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
                        AtPoints::One(x) => AtPoints::One(self.model.junction_signal(x)?),
                        AtPoints::Each(x) => {
                            for (i, (y, x)) in self.base.iter_mut().zip(x).enumerate() {
                                *y = or_nan(self.model.junction_signal(*x), self.invalid, from + i)?;
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
                Place::Relative => self.relative.apply(
                    len,
                    x,
                    #[inline(always)]
                    move |s, x| s + k * x,
                ),
                Place::Result => {}
            }
        }
        self.gain.start(self.product.one);
        if self.product.each {
            self.gain.each = true;
            self.gain.buffer[..len].copy_from_slice(&self.product.buffer[..len]);
        }
        if self.model.has(&[Place::Relative]) {
            self.gain.apply(
                len,
                self.relative.view(len),
                #[inline(always)]
                |g, r| g * (1.0 + r),
            );
        }
        let sum = AtPoints::Each(&self.sum[..len]);
        write(
            &mut self.reading[..len],
            sum,
            self.gain.view(len),
            #[inline(always)]
            |s, g| s * g,
        );
        Ok(())
    }

    fn check_factor(&self, name: &str, x: AtPoints<'_>, from: usize) -> Result<()> {
        match x {
            AtPoints::One(x) => not_zero(name, x).map(|_| ()),
            AtPoints::Each(x) => {
                let bad = x.iter().position(|x| !(x.is_finite() && x.abs() > 0.0));
                match (bad, self.invalid) {
                    (Some(i), Invalid::Raise) => not_zero(name, x[i]).map(|_| ()).map_err(|e| located(e, from + i)),
                    _ => Ok(()),
                }
            }
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

    /// Values of a block and what a change of the reading moves them by.
    fn values(&mut self, from: usize, to: usize) -> Result<()> {
        let len = to - from;
        let weight = self.model.weight;
        let (reading, value, rate) = (&self.reading[..len], &mut self.value[..len], &mut self.rate[..len]);
        match &self.model.chain {
            Chain::Nothing => {
                value.copy_from_slice(reading);
                rate.fill(weight);
            }
            Chain::Temperature(curve) => {
                curve.raw_temperature_block(reading, value);
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
                curve.raw_signal_block(reading, value);
                curve.raw_slope_block(reading, rate);
                apply(
                    rate,
                    AtPoints::One(weight),
                    #[inline(always)]
                    |slope, weight| weight * slope,
                );
            }
        }
        weigh_and_add(self.model, self.inputs, value, from);
        Ok(())
    }
}

/// What is done to what the curve gives: the weight, and the terms of the result.
fn weigh_and_add(model: &MeasurementModel, inputs: &[PointInput<'_>], values: &mut [f64], from: usize) {
    let to = from + values.len();
    apply(
        values,
        AtPoints::One(model.weight),
        #[inline(always)]
        |value, weight| weight * value,
    );
    for (term, input) in model.terms.iter().zip(inputs) {
        let k = term.coefficient;
        let estimate = input.estimate.part(from, to);
        if term.place == Place::Result {
            apply(
                values,
                estimate,
                #[inline(always)]
                move |y, x| y + k * x,
            );
        }
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

/// A number that is missing where that is allowed, or the error with the place of the point.
fn or_nan(number: Result<f64>, invalid: Invalid, index: usize) -> Result<f64> {
    match (number, invalid) {
        (Ok(number), _) => Ok(number),
        (Err(_), Invalid::Nan) => Ok(f64::NAN),
        (Err(error), Invalid::Raise) => Err(located(error, index)),
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
