//! Draws of the inputs: for each block of trials and each input its own stream, so that any thread may draw any block.

use crate::error::{Error, Result};
use crate::num::rng::{Place, Stream};
use crate::num::special::normal_cdf;
use crate::uncertainty::correlation::Correlation;
use crate::uncertainty::distribution::Distribution;
use crate::uncertainty::propagate::Input;

/// Numbers of streams from which on they belong to groups and not to inputs.
const COMMON: u64 = 1 << 19;

/// Inputs that are drawn together, and the factor L with L Lᵀ = their correlation matrix.
struct Group {
    members: Vec<usize>,
    factor: Vec<f64>,
    /// Of a multivariate t its degrees of freedom; none for a normal copula.
    common: Option<f64>,
}

/// All that is needed to draw the inputs.
pub(crate) struct Sampler {
    distributions: Vec<Distribution>,
    groups: Vec<Group>,
    grouped: Vec<bool>,
    seed: u64,
}

/// Draws of the inputs in the trials of a block, one array each.
#[derive(Debug, Default)]
pub(crate) struct Columns {
    pub inputs: Vec<Vec<f64>>,
    spare: Vec<f64>,
}

impl Sampler {
    pub(crate) fn new(
        inputs: &[Input],
        correlation: Option<&[f64]>,
        multivariate_t: &[Vec<usize>],
        seed: u64,
    ) -> Result<Self> {
        let mut distributions = Vec::with_capacity(inputs.len());
        for input in inputs {
            distributions.push(input.distribution.check()?);
        }
        let matrix = correlation.map(|values| Correlation::new(inputs.len(), values)).transpose()?;
        let mut groups = Vec::new();
        let mut grouped = vec![false; inputs.len()];
        for members in multivariate_t {
            groups.extend(read_together(members, inputs, matrix.as_ref(), &mut grouped)?);
        }
        if let Some(matrix) = matrix {
            for mut members in matrix.groups() {
                if members.len() > 1 && !grouped[members[0]] {
                    members.sort_unstable();
                    for &i in &members {
                        grouped[i] = true;
                    }
                    groups.push(Group { factor: matrix.factor(&members), members, common: None });
                }
            }
        }
        Ok(Self { distributions, groups, grouped, seed })
    }

    fn stream(&self, block: usize, number: u64) -> Stream {
        Stream::new(self.seed, ((block as u64) << 20) | number)
    }

    /// Draws the trials of a block.
    pub(crate) fn draw(&self, block: usize, trials: usize, columns: &mut Columns) -> Result<()> {
        let Columns { inputs, spare } = columns;
        inputs.resize_with(self.distributions.len(), Vec::new);
        for (i, (distribution, column)) in self.distributions.iter().zip(inputs.iter_mut()).enumerate() {
            if column.len() != trials {
                // Memory that comes as zeros: to fill it here costs as much as to draw a tenth of the inputs.
                *column = vec![0.0; trials];
            }
            let mut stream = self.stream(block, i as u64);
            if self.grouped[i] {
                stream.normal(Place::STANDARD, column);
            } else {
                independent(distribution, &mut stream, column, spare);
            }
        }
        for (number, group) in self.groups.iter().enumerate() {
            group.correlate(inputs);
            match group.common {
                None => {
                    for &i in &group.members {
                        from_normal(&self.distributions[i], &mut inputs[i])?;
                    }
                }
                Some(nu) => {
                    spare.resize(trials, 0.0);
                    // χ²/ν is gamma with shape ν/2 and scale 2/ν.
                    let place = Place { offset: 0.0, factor: 2.0 / nu };
                    self.stream(block, COMMON | number as u64).gamma(0.5 * nu, place, spare);
                    for w in spare.iter_mut() {
                        *w = 1.0 / w.sqrt();
                    }
                    for &i in &group.members {
                        let (mean, scale) = location_and_scale(&self.distributions[i]);
                        for (y, w) in inputs[i].iter_mut().zip(spare.iter()) {
                            *y = mean + scale * (*y * w);
                        }
                    }
                }
            }
        }
        Ok(())
    }
}

impl Group {
    /// Gives independent standard normal draws the correlation of the group.
    fn correlate(&self, columns: &mut [Vec<f64>]) {
        let n = self.members.len();
        // From the last row up, so that what is still needed is not yet overwritten.
        for row in (0..n).rev() {
            let (before, rest) = columns.split_at_mut(self.members[row]);
            let Some(target) = rest.first_mut() else { continue };
            scale(target, self.factor[row * n + row]);
            for (&member, &weight) in self.members[..row].iter().zip(&self.factor[row * n..]) {
                add_scaled(target, &before[member], weight);
            }
        }
    }
}

fn location_and_scale(distribution: &Distribution) -> (f64, f64) {
    match *distribution {
        Distribution::Normal { mean, std: scale, .. } | Distribution::StudentT { mean, scale, .. } => (mean, scale),
        _ => (distribution.mean(), distribution.standard_uncertainty()),
    }
}

/// A group that is drawn as a multivariate t; none for a group without members.
fn read_together(
    members: &[usize],
    inputs: &[Input],
    matrix: Option<&Correlation>,
    grouped: &mut [bool],
) -> Result<Option<Group>> {
    let refuse = |what, value, requirement| Err(Error::InvalidValue { what, value, unit: "", requirement });
    let mut members = members.to_vec();
    members.sort_unstable();
    let mut common = None;
    for &i in &members {
        let Some(input) = inputs.get(i) else {
            let requirement = format!("there are {} inputs, counted from 0", inputs.len());
            return refuse("input of a multivariate t", i as f64, requirement);
        };
        if std::mem::replace(&mut grouped[i], true) {
            return refuse("input of a multivariate t", i as f64, format!("{} is in there already", input.name));
        }
        let nu = match input.distribution {
            Distribution::Normal { degrees_of_freedom, .. } | Distribution::StudentT { degrees_of_freedom, .. } => {
                degrees_of_freedom
            }
            _ => f64::INFINITY,
        };
        if nu == f64::INFINITY {
            let requirement =
                format!("{} must be Student's t, or normal with finite degrees of freedom, to be in there", input.name);
            return refuse("input of a multivariate t", i as f64, requirement);
        }
        let first = *common.get_or_insert(nu);
        if (nu - first).abs() > 0.0 {
            let requirement = format!("the inputs of a multivariate t must all have the same, {first} and not {nu}");
            return refuse("degrees of freedom", nu, requirement);
        }
        for (j, other) in inputs.iter().enumerate() {
            let r = matrix.map_or(0.0, |matrix| matrix.get(i, j));
            if !members.contains(&j) && r.abs() > 0.0 {
                let requirement = format!(
                    "it must be 0 between {}, of a multivariate t, and {}, outside of it",
                    input.name, other.name
                );
                return refuse("correlation coefficient", r, requirement);
            }
        }
    }
    let factor = match matrix {
        Some(matrix) => matrix.factor(&members),
        None => {
            (0..members.len() * members.len()).map(|k| if k % (members.len() + 1) == 0 { 1.0 } else { 0.0 }).collect()
        }
    };
    Ok(common.map(|nu| Group { members, factor, common: Some(nu) }))
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
