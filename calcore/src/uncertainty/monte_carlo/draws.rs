//! Draws of the inputs: for each block of trials and each input its own stream, so that any thread may draw any block.

use crate::error::Result;
use crate::num::rng::{Place, Stream};
use crate::num::special::normal_cdf;
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::distribution::Distribution;
use crate::uncertainty::propagate::Input;

/// Inputs that are correlated with each other, and the factor L with L Lᵀ = their correlation matrix.
struct Group {
    members: Vec<usize>,
    factor: Vec<f64>,
}

/// All that is needed to draw the inputs.
pub(crate) struct Sampler {
    distributions: Vec<Distribution>,
    groups: Vec<Group>,
    grouped: Vec<bool>,
    seed: u64,
}

impl Sampler {
    pub(crate) fn new(inputs: &[Input], correlation: Option<&[f64]>, seed: u64) -> Result<Self> {
        let mut distributions = Vec::with_capacity(inputs.len());
        for input in inputs {
            distributions.push(input.distribution.check()?);
        }
        let mut groups = Vec::new();
        let mut grouped = vec![false; inputs.len()];
        if let Some(values) = correlation {
            let matrix = Correlation::new(inputs.len(), values)?;
            for mut members in matrix.groups() {
                if members.len() > 1 {
                    members.sort_unstable();
                    for &i in &members {
                        grouped[i] = true;
                    }
                    groups.push(Group { factor: matrix.factor(&members), members });
                }
            }
        }
        Ok(Self { distributions, groups, grouped, seed })
    }

    pub(crate) fn inputs(&self) -> usize {
        self.distributions.len()
    }

    /// Fills one array per input with the draws of a block.
    pub(crate) fn draw(&self, block: usize, columns: &mut [Vec<f64>], scratch: &mut Vec<f64>) -> Result<()> {
        let stream = |input: usize| Stream::new(self.seed, ((block as u64) << 20) | input as u64);
        for (i, (distribution, column)) in self.distributions.iter().zip(columns.iter_mut()).enumerate() {
            if self.grouped[i] {
                stream(i).normal(Place::STANDARD, column);
            } else {
                independent(distribution, &mut stream(i), column, scratch);
            }
        }
        for group in &self.groups {
            let n = group.members.len();
            // From the last row up, so that what is still needed is not yet overwritten.
            for row in (0..n).rev() {
                let (before, rest) = columns.split_at_mut(group.members[row]);
                let Some(target) = rest.first_mut() else { continue };
                scale(target, group.factor[row * n + row]);
                for (&member, &weight) in group.members[..row].iter().zip(&group.factor[row * n..]) {
                    add_scaled(target, &before[member], weight);
                }
            }
            for &i in &group.members {
                from_normal(&self.distributions[i], &mut columns[i])?;
            }
        }
        Ok(())
    }
}

fn scale(column: &mut [f64], factor: f64) {
    for y in column {
        *y *= factor;
    }
}

fn add_scaled(column: &mut [f64], other: &[f64], factor: f64) {
    for (y, x) in column.iter_mut().zip(other) {
        *y += factor * x;
    }
}

/// Draws of an input that is not correlated with any other.
///
/// # Source
/// JCGM 101:2008, 6.4: the constructions for each distribution.
fn independent(distribution: &Distribution, stream: &mut Stream, column: &mut [f64], scratch: &mut Vec<f64>) {
    let between = |low: f64, high: f64| Place { offset: distribution.mean(), factor: 0.5 * (high - low) };
    match *distribution {
        Distribution::Normal { mean, std: scale, degrees_of_freedom: nu }
        | Distribution::StudentT { mean, scale, degrees_of_freedom: nu } => {
            let place = Place { offset: mean, factor: scale };
            if nu == f64::INFINITY {
                stream.normal(place, column);
            } else {
                stream.student(nu, place, column);
            }
        }
        Distribution::Rectangular { low, high } => stream.uniform(Place { offset: low, factor: high - low }, column),
        Distribution::Triangular { low, high } => stream.triangular(between(low, high), column),
        // The sum of two rectangles of half-widths a(1 + β)/2 and a(1 − β)/2.
        Distribution::Trapezoidal { low, high, shape } => {
            stream.uniform(Place::STANDARD, column);
            scratch.resize(column.len(), 0.0);
            stream.uniform(Place::STANDARD, scratch);
            let a = 0.5 * (high - low);
            for (y, second) in column.iter_mut().zip(scratch.iter()) {
                *y = low + a * ((1.0 + shape) * *y + (1.0 - shape) * second);
            }
        }
        Distribution::UShaped { low, high } => stream.arcsine(between(low, high), column),
        // First the half-width, then a rectangle of that half-width.
        Distribution::CurvilinearTrapezoid { low, high, d } => {
            stream.uniform(Place::STANDARD, column);
            scratch.resize(column.len(), 0.0);
            stream.uniform(Place::STANDARD, scratch);
            let Place { offset: middle, factor: a } = between(low, high);
            for (y, width) in column.iter_mut().zip(scratch.iter()) {
                *y = middle + (a + d * (2.0 * width - 1.0)) * (2.0 * *y - 1.0);
            }
        }
        Distribution::Exponential { mean } => stream.exponential(Place { offset: 0.0, factor: mean }, column),
        Distribution::Gamma { shape, scale } => stream.gamma(shape, Place { offset: 0.0, factor: scale }, column),
    }
}

/// Turns standard normal draws into draws of the distribution: directly for a normal one, else by the value that has
/// the same probability.
fn from_normal(distribution: &Distribution, column: &mut [f64]) -> Result<()> {
    if let Distribution::Normal { mean, std, degrees_of_freedom: f64::INFINITY } = *distribution {
        for y in column {
            *y = mean + std * *y;
        }
        return Ok(());
    }
    for y in column {
        let p = normal_cdf(*y).clamp(f64::MIN_POSITIVE, 1.0 - 0.5 * f64::EPSILON);
        *y = distribution.quantile(p)?;
    }
    Ok(())
}
