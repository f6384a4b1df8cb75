//! What the inputs of a block contribute, and what that comes to.

use super::Place;
use super::block::{Blocks, apply, located, write};
use super::points::{AtPoints, PointBudgets};
use crate::curves::Invalid;
use crate::error::{Error, Result};
use crate::num::simd::widest;
use std::ops::Range;

/// Variances within these limits came from squares that neither vanished nor overflowed, so that no unit was needed.
const PLAIN_VARIANCES: Range<f64> = 1e-100..1e100;

/// Contributions k b u, whose squares are added up.
#[inline(always)]
fn line(base: &[f64], k: f64, u: AtPoints<'_>, contribution: &mut [f64], variance: &mut [f64]) {
    widest(
        #[inline(always)]
        || match u {
            AtPoints::One(u) => {
                for ((c, sum), b) in contribution.iter_mut().zip(variance).zip(base) {
                    *c = (k * b) * u;
                    *sum += *c * *c;
                }
            }
            AtPoints::Each(u) => {
                for (((c, sum), b), u) in contribution.iter_mut().zip(variance).zip(base).zip(u) {
                    *c = (k * b) * u;
                    *sum += *c * *c;
                }
            }
        },
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
    /// Contributions of a block; their squares and, over the degrees of freedom, fourth powers are added up.
    pub(super) fn contributions(&mut self, at: Range<usize>, points: usize, found: &mut PointBudgets) -> Result<()> {
        let (from, to, len) = (at.start, at.end, at.len());
        self.variance[..len].fill(0.0);
        self.weight[..len].fill(0.0);
        let rate = AtPoints::Each(&self.rate[..len]);
        write(
            &mut self.per_reading[..len],
            rate,
            self.gain.view(len),
            #[inline(always)]
            |rate, gain| gain * rate,
        );
        for (row, (term, input)) in self.model.terms.iter().zip(self.inputs).enumerate() {
            let u = input.standard_uncertainty.part(from, to);
            let (base, k) = match term.place {
                Place::Reading => (&self.per_reading[..len], term.coefficient),
                Place::Result => {
                    self.base[..len].fill(1.0);
                    (&self.base[..len], term.coefficient)
                }
                _ => {
                    let k = self.slopes(row, from, to)?;
                    (&self.base[..len], k)
                }
            };
            let contribution = &mut self.contribution[..len];
            line(base, k, u, contribution, &mut self.variance[..len]);
            fourth_powers(contribution, input.degrees_of_freedom.part(from, to), &mut self.weight[..len]);
            if let Some(place) = found.contributions.get_mut(row * points + from..row * points + to) {
                place.copy_from_slice(contribution);
            }
        }
        Ok(())
    }

    /// What a unit of an input that does not simply add does to the result, over a block, but for the number returned.
    fn slopes(&mut self, row: usize, from: usize, to: usize) -> Result<f64> {
        let len = to - from;
        let (term, input) = (&self.model.terms[row], &self.inputs[row]);
        let (k, x) = (term.coefficient, input.estimate.part(from, to));
        let base = &mut self.base[..len];
        let (sum, rate) = (AtPoints::Each(&self.sum[..len]), AtPoints::Each(&self.rate[..len]));
        match term.place {
            Place::Junction => {
                match x {
                    AtPoints::One(x) => base.fill(k * self.model.junction_slope(x)?),
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
                write(
                    base,
                    sum,
                    self.gain.view(len),
                    #[inline(always)]
                    |sum, gain| sum * gain,
                );
                apply(
                    base,
                    rate,
                    #[inline(always)]
                    |a, b| a * b,
                );
                apply(
                    base,
                    x,
                    #[inline(always)]
                    |per_fraction, x| per_fraction / x,
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

    /// Standard uncertainties and degrees of freedom of a block go to the result, with the values.
    pub(super) fn combine(&mut self, at: Range<usize>, points: usize, found: &mut PointBudgets) -> Result<()> {
        let len = at.len();
        let (variance, weight) = (&self.variance[..len], &self.weight[..len]);
        let plain = widest(
            #[inline(always)]
            || variance.iter().fold(true, |all, &v| all & PLAIN_VARIANCES.contains(&v)),
        );
        let values_good = widest(
            #[inline(always)]
            || self.value[..len].iter().fold(true, |all, v| all & v.is_finite()),
        );
        if !plain || !values_good {
            return self.one_by_one(at, points, found);
        }
        found.values.extend_from_slice(&self.value[..len]);
        let (u, nu) = (&mut self.base[..len], &mut self.contribution[..len]);
        widest(
            #[inline(always)]
            || {
                for (u, v) in u.iter_mut().zip(variance) {
                    *u = v.sqrt();
                }
            },
        );
        if self.exact {
            nu.fill(f64::INFINITY);
        } else {
            widest(
                #[inline(always)]
                || {
                    for ((nu, v), w) in nu.iter_mut().zip(variance).zip(weight) {
                        *nu = if *w > 0.0 { v * v / w } else { f64::INFINITY };
                    }
                },
            );
        }
        found.standard_uncertainties.extend_from_slice(u);
        found.effective_degrees_of_freedom.extend_from_slice(nu);
        Ok(())
    }

    /// Each point by the way of a single budget: correlated inputs, numbers that need a unit of their own, missing ones.
    pub(super) fn one_by_one(&mut self, at: Range<usize>, points: usize, found: &mut PointBudgets) -> Result<()> {
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
            found.values.push(value);
            found.standard_uncertainties.push(u);
            found.effective_degrees_of_freedom.push(nu);
            if !found.contributions.is_empty() {
                for (row, contribution) in contributions.iter().enumerate() {
                    found.contributions[row * points + i] = *contribution;
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
