//! What the inputs of a block contribute, and what that comes to.

use super::Place;
use super::block::{Blocks, located};
use super::points::{AtPoints, PointSlices};
use super::running::{apply, fill, write};
use super::together::{Waiting, lines};
use crate::curves::Invalid;
use crate::error::{Error, Result};
use crate::num::simd::widest;
use std::ops::Range;

/// Variances within these limits came from squares that neither vanished nor overflowed, so that no unit was needed.
const PLAIN_VARIANCES: Range<f64> = 1e-100..1e100;

/// Contributions k b u, whose squares are added up.
#[inline(always)]
fn line(base: &[f64], k: f64, u: AtPoints<'_>, contribution: &mut [f64], variance: &mut [f64]) {
    write(
        contribution,
        base,
        u,
        #[inline(always)]
        |b, u| (k * b) * u,
    );
    apply(
        variance,
        AtPoints::Each(contribution),
        #[inline(always)]
        |sum, c| sum + c * c,
    );
}

/// Fourth powers over the degrees of freedom, added up.
#[inline(always)]
fn fourth_powers(contribution: &[f64], nu: AtPoints<'_>, weight: &mut [f64]) {
    match nu {
        AtPoints::One(nu) if nu == f64::INFINITY => {}
        AtPoints::One(nu) => apply(
            weight,
            AtPoints::Each(contribution),
            #[inline(always)]
            move |sum, c| sum + (c * c) * (c * c) / nu,
        ),
        AtPoints::Each(nu) => {
            for ((sum, c), nu) in weight.iter_mut().zip(contribution).zip(nu) {
                *sum += (c * c) * (c * c) / nu;
            }
        }
    }
}

impl Blocks<'_> {
    /// Contributions of a block; their squares are added up and, where the degrees of freedom will stand, their fourth powers
    /// over the degrees of freedom.
    pub(super) fn contributions(&mut self, at: Range<usize>, out: &mut PointSlices<'_>) -> Result<()> {
        let (from, to, len, points) = (at.start, at.end, at.len(), out.values.len());
        let weight = &mut out.effective_degrees_of_freedom[at];
        fill(&mut self.variance[..len], 0.0);
        if !self.exact {
            fill(weight, 0.0);
        }
        write(
            &mut self.per_reading[..len],
            &self.rate[..len],
            self.gain.view(len),
            #[inline(always)]
            |rate, gain| gain * rate,
        );
        let mut waiting = Waiting::default();
        let mut wanted = out.contributions.chunks_mut(points);
        for (row, (term, input)) in self.model.terms.iter().zip(self.inputs).enumerate() {
            let place = wanted.next().map_or(Default::default(), |row| &mut row[from..to]);
            let (k, u) = (term.coefficient, input.standard_uncertainty.part(from, to));
            let nu = input.degrees_of_freedom.part(from, to);
            // The same uncertainty at all points and without degrees of freedom.
            let plain = match (u, nu) {
                (AtPoints::One(u), AtPoints::One(f64::INFINITY)) => Some(u),
                _ => None,
            };
            match (term.place, plain) {
                (Place::Reading, Some(u)) => {
                    waiting.push((k, u), place, &self.per_reading[..len], &mut self.variance[..len])
                }
                (Place::Result, Some(u)) => {
                    waiting.finish(&self.per_reading[..len], &mut self.variance[..len]);
                    let contribution = k * u;
                    fill(place, contribution);
                    apply(
                        &mut self.variance[..len],
                        AtPoints::One(contribution * contribution),
                        #[inline(always)]
                        |sum, square| sum + square,
                    );
                }
                _ => {
                    waiting.finish(&self.per_reading[..len], &mut self.variance[..len]);
                    let (base, k) = match term.place {
                        Place::Reading => (&self.per_reading[..len], k),
                        Place::Result => {
                            fill(&mut self.base[..len], 1.0);
                            (&self.base[..len], k)
                        }
                        _ => {
                            let k = self.slopes(row, from, to)?;
                            (&self.base[..len], k)
                        }
                    };
                    if let Some(u) = plain {
                        lines(base, [(k, u)], [place], &mut self.variance[..len]);
                    } else {
                        let place = if place.is_empty() { &mut self.scratch[..len] } else { place };
                        line(base, k, u, place, &mut self.variance[..len]);
                        fourth_powers(place, nu, weight);
                    }
                }
            }
        }
        waiting.finish(&self.per_reading[..len], &mut self.variance[..len]);
        Ok(())
    }

    /// What a unit of an input that does not simply add does to the result, over a block, but for the number returned.
    fn slopes(&mut self, row: usize, from: usize, to: usize) -> Result<f64> {
        let len = to - from;
        let (term, input) = (&self.model.terms[row], &self.inputs[row]);
        let (k, x) = (term.coefficient, input.estimate.part(from, to));
        let base = &mut self.base[..len];
        let (sum, rate) = (&self.sum[..len], AtPoints::Each(&self.rate[..len]));
        match term.place {
            Place::Junction => {
                match x {
                    AtPoints::One(x) => fill(base, k * self.model.junction_slope(x)?),
                    AtPoints::Each(x) => {
                        for (y, x) in base.iter_mut().zip(x) {
                            // Out of range only where that was let through: the readings were there before.
                            *y = k * self.model.junction_slope(*x).unwrap_or(f64::NAN);
                        }
                    }
                }
                let per_reading = AtPoints::Each(&self.per_reading[..len]);
                apply(
                    base,
                    per_reading,
                    #[inline(always)]
                    |factor, per_reading| factor * per_reading,
                );
                Ok(1.0)
            }
            Place::Factor | Place::Divisor => {
                self.quotient.start(self.gain.view(len));
                self.quotient.apply(
                    len,
                    x,
                    #[inline(always)]
                    |gain, x| gain / x,
                );
                write(
                    base,
                    sum,
                    self.quotient.view(len),
                    #[inline(always)]
                    |sum, quotient| sum * quotient,
                );
                apply(
                    base,
                    rate,
                    #[inline(always)]
                    |a, b| a * b,
                );
                Ok(if term.place == Place::Divisor { -1.0 } else { 1.0 })
            }
            _ => {
                write(
                    base,
                    sum,
                    self.product.view(len),
                    #[inline(always)]
                    |sum, product| sum * product,
                );
                apply(
                    base,
                    rate,
                    #[inline(always)]
                    |a, b| a * b,
                );
                Ok(k)
            }
        }
    }

    /// Standard uncertainties and degrees of freedom of a block from the sums.
    pub(super) fn combine(&mut self, at: Range<usize>, out: &mut PointSlices<'_>) -> Result<()> {
        let (values, variance) = (&out.values[at.clone()], &self.variance[..at.len()]);
        let exact = self.exact;
        let nu = &mut out.effective_degrees_of_freedom[at.clone()];
        let plain = widest(
            #[inline(always)]
            || {
                // A weight that is no number comes from degrees of freedom that are missing.
                let known = exact || nu.iter().fold(true, |all, weight| all & !weight.is_nan());
                let good = values.iter().fold(known, |all, v| all & v.is_finite());
                variance.iter().fold(good, |all, v| all & PLAIN_VARIANCES.contains(v))
            },
        );
        if !plain {
            return self.one_by_one(at, out);
        }
        if exact {
            fill(nu, f64::INFINITY);
        } else {
            apply(
                nu,
                AtPoints::Each(variance),
                #[inline(always)]
                |weight, variance| if weight > 0.0 { variance * variance / weight } else { f64::INFINITY },
            );
        }
        let u = &mut out.standard_uncertainties[at];
        widest(
            #[inline(always)]
            || {
                for (u, variance) in u.iter_mut().zip(variance) {
                    *u = variance.sqrt();
                }
            },
        );
        Ok(())
    }

    /// Each point by the way of a single budget: correlated inputs, numbers that need a unit of their own, missing ones.
    pub(super) fn one_by_one(&mut self, at: Range<usize>, out: &mut PointSlices<'_>) -> Result<()> {
        let points = out.values.len();
        let mut contributions = vec![0.0; self.inputs.len()];
        for i in at.clone() {
            // A reading that is not inside was refused before, unless it may be missing.
            let inside = self.range.contains(self.reading[i - at.start]);
            let outcome = if inside && self.nothing_missing(i) {
                self.model.at_point(self.inputs, i, self.correlation, &mut contributions).map_err(|e| located(e, i))
            } else {
                Err(missing())
            };
            let (value, u, nu) = match (outcome, self.invalid) {
                (Ok((value, all)), _) => (value, all.standard_uncertainty, all.effective_degrees_of_freedom),
                (Err(error), Invalid::Raise) => return Err(error),
                (Err(_), Invalid::Nan) => {
                    contributions.fill(f64::NAN);
                    (f64::NAN, f64::NAN, f64::NAN)
                }
            };
            out.values[i] = value;
            out.standard_uncertainties[i] = u;
            out.effective_degrees_of_freedom[i] = nu;
            if !out.contributions.is_empty() {
                for (row, contribution) in contributions.iter().enumerate() {
                    out.contributions[row * points + i] = *contribution;
                }
            }
        }
        Ok(())
    }

    fn nothing_missing(&self, i: usize) -> bool {
        self.inputs.iter().all(|input| {
            let columns = [input.estimate, input.standard_uncertainty, input.degrees_of_freedom];
            columns.iter().all(|column| !column.at(i).is_nan())
        })
    }
}

fn missing() -> Error {
    Error::NotFinite { what: "input of the model", value: f64::NAN, position: None }
}
