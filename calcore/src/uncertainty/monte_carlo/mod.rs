//! Propagation of distributions by a Monte Carlo method.
//!
//! Same seed, same bits: the trials are cut into blocks of [`BLOCK_TRIALS`], each input of each block has its own
//! stream of the generator, and the blocks are put together in their order, so that the number of threads does not
//! matter.

mod blocks;
mod draws;
mod interval;
mod result;
mod streaming;

pub use result::{Ends, Histogram, MonteCarlo, Validation, compare};

use crate::error::{Error, Result, within};
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::derivative::describe;
use crate::uncertainty::propagate::Input;
use blocks::{Moments, lock, run, thread_count};
use draws::Sampler;
use std::ops::ControlFlow;
use std::sync::Mutex;

/// Trials of a block: the model is called with arrays of this length (the last one may be shorter).
pub const BLOCK_TRIALS: usize = 10_000;

/// Trials up to which all values are kept (160 MB) and the intervals are exact; beyond, they come from a fine histogram
/// and [`MonteCarlo::resolution`] says how far off they may be.
pub const KEPT_TRIALS: u64 = 20_000_000;

/// Name of the generator and of the maps from its bits, for the record.
pub const GENERATOR: &str = "ChaCha8, one stream for each block and input; maps of calcore 0.1";

/// Blocks that an adaptive run makes at least: with two or three, their scatter can be small by luck.
const LEAST_BLOCKS: usize = 10;

/// Values beyond the interval, to both sides together, below which its ends mean nothing.
const LEAST_BEYOND: f64 = 10.0;

/// How a Monte Carlo run is made.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Settings {
    /// Number of trials; of an adaptive run the most that it makes (no more than [`KEPT_TRIALS`]).
    pub trials: u64,
    /// Significant digits of the standard uncertainty to which an adaptive run makes its results stable; none for a
    /// fixed number of trials.
    pub digits: Option<u32>,
    /// Probability of the coverage intervals.
    pub coverage_probability: f64,
    /// Seed: same seed, same result.
    pub seed: u64,
    /// Threads; 0 means as many as the machine has. Without influence on the result.
    pub threads: usize,
    /// Classes of the histogram; 0 for none.
    pub histogram_classes: usize,
    /// Whether the values of all trials are handed back (only up to [`KEPT_TRIALS`]).
    pub keep_values: bool,
}

impl Default for Settings {
    /// A million trials, 95 %, seed 0, all threads, 100 classes.
    fn default() -> Self {
        Self {
            trials: 1_000_000,
            digits: None,
            coverage_probability: 0.95,
            seed: 0,
            threads: 0,
            histogram_classes: 100,
            keep_values: false,
        }
    }
}

impl Settings {
    fn check(&self) -> Result<()> {
        Coverage::Probability(self.coverage_probability).check()?;
        let needed = (LEAST_BEYOND / (1.0 - self.coverage_probability)).ceil();
        if (self.trials as f64) < needed {
            return Err(Error::TooFewPoints {
                what: "a coverage interval of this probability",
                needed: needed as usize,
                found: self.trials as usize,
                hint: "make more trials; JCGM 101:2008, 7.2.1, calls for 10 000/(1 - p)",
            });
        }
        if let Some(digits) = self.digits {
            within("significant digits", f64::from(digits), 1.0, 6.0)?;
        }
        Ok(())
    }
}

/// How far a run has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Trials made.
    pub done: u64,
    /// Trials that will be made (of an adaptive run: at most).
    pub total: u64,
}

/// Turns a model of single values into one of arrays.
///
/// # Example
/// ```
/// use calcore::uncertainty::monte_carlo::{Settings, monte_carlo, per_trial};
/// use calcore::uncertainty::{Distribution, Input};
/// let inputs = [
///     Input::new("a", Distribution::normal(0.0, 1.0)?),
///     Input::new("b", Distribution::rectangular(-1.0, 1.0)?),
/// ];
/// let settings = Settings { trials: 20_000, ..Settings::default() };
/// let result = monte_carlo(per_trial(|x| Ok(x[0] + x[1])), &inputs, None, &settings)?;
/// assert!((result.standard_uncertainty - (4.0f64 / 3.0).sqrt()).abs() < 0.03);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn per_trial(model: impl Fn(&[f64]) -> Result<f64> + Sync) -> impl Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync {
    move |columns, out| {
        let mut point = vec![0.0; columns.len()];
        for (trial, y) in out.iter_mut().enumerate() {
            for (x, column) in point.iter_mut().zip(columns) {
                *x = column[trial];
            }
            *y = model(&point)?;
        }
        Ok(())
    }
}

/// Propagates distributions through a model of arrays.
///
/// The model gets one array per input, in their order and all of one length, and fills the array of results. It is
/// called from several threads at once.
///
/// # Correlation
/// Coefficients between normal inputs are exact (JCGM 101:2008, 6.4.8). Other inputs are drawn through normal variables
/// that have the given coefficients (a normal copula): each keeps its distribution exactly, and the coefficient between
/// the inputs themselves is near the given one, never larger in size.
///
/// # Size
/// Up to [`KEPT_TRIALS`] all values are kept, 8 bytes each, and the intervals are those of the ordered values. Beyond,
/// memory does not grow: the first million trials set the range of a histogram with 2²⁰ classes, and the intervals come
/// from it, off by no more than [`MonteCarlo::resolution`].
///
/// # Adaptive runs
/// With [`Settings::digits`], blocks of max(100/(1 − p), 10 000) trials (rounded up to whole blocks of draws) are added,
/// at least ten, until twice the standard errors of estimate, standard uncertainty and both ends of the shortest
/// interval, as they scatter over the blocks, are below the tolerance that belongs to the digits.
///
/// # Errors
/// Those of the distributions and of the correlation matrix; [`Error::TooFewPoints`] when the trials do not support the
/// coverage probability; what the model says; [`Error::ModelFailed`] with the draw for which it gives no number.
///
/// # Source
/// JCGM 101:2008, clause 7; adaptive procedure: 7.9.
pub fn monte_carlo(
    model: impl Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    settings: &Settings,
) -> Result<MonteCarlo> {
    monte_carlo_with_progress(model, inputs, correlation, settings, &mut |_| ControlFlow::Continue(()))
}

/// As [`monte_carlo`], telling on the calling thread how far it is, after each block which that thread has done; the
/// answer `Break` ends the run.
///
/// # Errors
/// As [`monte_carlo`], and [`Error::Cancelled`].
pub fn monte_carlo_with_progress(
    model: impl Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    settings: &Settings,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<MonteCarlo> {
    settings.check()?;
    let job = Job {
        sampler: Sampler::new(inputs, correlation, settings.seed)?,
        model,
        inputs,
        threads: thread_count(settings.threads),
    };
    if settings.digits.is_some() {
        adaptive(&job, settings, progress)
    } else if settings.trials <= KEPT_TRIALS {
        fixed(&job, settings, progress)
    } else {
        streaming::run(&job, settings, streaming::PILOT_TRIALS, progress)
    }
}

/// What every block needs.
struct Job<'a, M> {
    sampler: Sampler,
    model: M,
    inputs: &'a [Input],
    threads: usize,
}

/// Arrays that a thread uses again for every block.
#[derive(Default)]
struct Scratch {
    columns: Vec<Vec<f64>>,
    spare: Vec<f64>,
}

impl<M: Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync> Job<'_, M> {
    /// Trials of one block.
    fn block(&self, scratch: &mut Scratch, block: usize, out: &mut [f64]) -> Result<Moments> {
        scratch.columns.resize_with(self.sampler.inputs(), Vec::new);
        for column in &mut scratch.columns {
            column.resize(out.len(), 0.0);
        }
        self.sampler.draw(block, &mut scratch.columns, &mut scratch.spare)?;
        let columns: Vec<&[f64]> = scratch.columns.iter().map(Vec::as_slice).collect();
        (self.model)(&columns, out)?;
        let moments = Moments::of(out);
        if !moments.squares.is_finite() {
            self.look_for_failure(block, &columns, out)?;
        }
        Ok(moments)
    }

    /// The first trial without a number, with its draws; none when only the sums overflowed.
    #[cold]
    fn look_for_failure(&self, block: usize, columns: &[&[f64]], out: &[f64]) -> Result<()> {
        let Some((i, y)) = out.iter().enumerate().find(|(_, y)| !y.is_finite()) else {
            return Err(Error::NotFinite { what: "variance of the model", value: f64::INFINITY, position: None });
        };
        let point: Vec<f64> = columns.iter().map(|column| column[i]).collect();
        let trial = block * BLOCK_TRIALS + i;
        Err(Error::ModelFailed {
            message: format!("it gives {y} in trial {trial} (counted from 0), at {}", describe(self.inputs, &point)),
        })
    }

    /// Fills `values` with the trials from the first block on.
    fn fill(
        &self,
        first_block: usize,
        values: &mut [f64],
        total: Progress,
        progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
    ) -> Result<Vec<Moments>> {
        let slots: Vec<Mutex<&mut [f64]>> = values.chunks_mut(BLOCK_TRIALS).map(Mutex::new).collect();
        let blocks = first_block..first_block + slots.len();
        let work =
            |scratch: &mut Scratch, block: usize| self.block(scratch, block, &mut lock(&slots[block - first_block]));
        Ok(run(blocks, self.threads, total, Scratch::default, work, progress)?.0)
    }
}

/// A fixed number of trials, all kept.
fn fixed<M: Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync>(
    job: &Job<'_, M>,
    settings: &Settings,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<MonteCarlo> {
    let mut values = vec![0.0; settings.trials as usize];
    let moments = job.fill(0, &mut values, Progress { done: 0, total: settings.trials }, progress)?;
    Ok(MonteCarlo::from_values(values, &moments, settings))
}

/// Blocks until the results are stable.
fn adaptive<M: Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync>(
    job: &Job<'_, M>,
    settings: &Settings,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<MonteCarlo> {
    let p = settings.coverage_probability;
    // The guide's block, in whole blocks of draws.
    let draws = ((100.0 / (1.0 - p)).ceil() as usize).max(BLOCK_TRIALS).div_ceil(BLOCK_TRIALS);
    let size = draws * BLOCK_TRIALS;
    let most = (settings.trials.min(KEPT_TRIALS) as usize / size).max(LEAST_BLOCKS);
    let digits = settings.digits.unwrap_or(1);
    let total = (most * size) as u64;
    let (mut values, mut moments) = (Vec::new(), Vec::new());
    let mut seen: Vec<[f64; 4]> = Vec::new();
    let mut scratch = Vec::new();
    loop {
        // A wave of blocks; how many does not matter for the result, since they are looked at one by one below.
        let done = seen.len();
        let wave = if done == 0 { LEAST_BLOCKS } else { job.threads.max(4).min(most - done) };
        values.resize((done + wave) * size, 0.0);
        let told = Progress { done: (done * size) as u64, total };
        moments.extend(job.fill(done * draws, &mut values[done * size..], told, progress)?);
        for block in done..done + wave {
            let own =
                moments[block * draws..(block + 1) * draws].iter().copied().fold(Moments::default(), Moments::join);
            scratch.clear();
            scratch.extend_from_slice(&values[block * size..(block + 1) * size]);
            let [low, high] = interval::intervals(&mut scratch, p).shortest;
            seen.push([own.mean, own.standard_deviation(), low, high]);
            let blocks = seen.len();
            if blocks < LEAST_BLOCKS {
                continue;
            }
            let all = moments[..blocks * draws].iter().copied().fold(Moments::default(), Moments::join);
            let tolerance = result::tolerance(all.standard_deviation(), digits);
            let stable = (0..4).all(|i| 2.0 * scatter_of_mean(&seen, i) < tolerance);
            if stable || blocks == most {
                values.truncate(blocks * size);
                let mut found = MonteCarlo::from_values(values, &moments[..blocks * draws], settings);
                found.converged = Some(stable);
                found.tolerance = Some(tolerance);
                return Ok(found);
            }
        }
    }
}

/// Standard deviation of the mean of one result over the blocks.
fn scatter_of_mean(seen: &[[f64; 4]], which: usize) -> f64 {
    let n = seen.len() as f64;
    let mean = seen.iter().map(|r| r[which]).sum::<f64>() / n;
    let squares = seen.iter().map(|r| (r[which] - mean) * (r[which] - mean)).sum::<f64>();
    (squares / (n * (n - 1.0))).sqrt()
}
