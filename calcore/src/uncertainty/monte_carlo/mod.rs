//! Propagation of distributions by a Monte Carlo method.
//!
//! Same seed, same bits: the trials are cut into blocks of [`BLOCK_TRIALS`], each input of each block has its own
//! stream of the generator, and the blocks are put together in their order, so that the number of threads does not
//! matter.

mod blocks;
mod draws;
mod engine;
mod interval;
mod result;
mod streaming;
mod tails;

pub use result::{Ends, Histogram, MonteCarlo, Validation, compare};

use crate::error::{Error, Result, within};
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::propagate::Input;
use blocks::{Moments, lock, thread_count};
use draws::Sampler;
use engine::{Engine, Everywhere, Here, Job, Store, Tell};
use std::ops::{ControlFlow, Range};
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

/// Most classes of a histogram.
const MOST_CLASSES: usize = 1_000_000;

/// How a Monte Carlo run is made.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Settings {
    /// Number of trials; of an adaptive run the most that it makes (no more than [`KEPT_TRIALS`]), at least ten of its blocks.
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
    /// Groups of inputs, by their places, that come from readings taken together: each group is drawn as a multivariate
    /// t (JCGM 102:2011, 5.3.2.4), with one chi-squared variable for all of its members. See [`monte_carlo`].
    pub multivariate_t: Vec<Vec<usize>>,
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
            multivariate_t: Vec::new(),
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
        if self.histogram_classes > MOST_CLASSES {
            return Err(Error::OutOfRange {
                what: "number of histogram classes",
                value: self.histogram_classes as f64,
                low: 0.0,
                high: MOST_CLASSES as f64,
                unit: "",
                position: None,
            });
        }
        if let Some(digits) = self.digits {
            within("significant digits", f64::from(digits), 1.0, 6.0)?;
            let needed = LEAST_BLOCKS * adaptive_block(self.coverage_probability) * BLOCK_TRIALS;
            if needed as u64 > KEPT_TRIALS {
                return Err(Error::InvalidValue {
                    what: "coverage probability of an adaptive run",
                    value: self.coverage_probability,
                    unit: "",
                    requirement: format!(
                        "ten of its blocks, {needed} trials, must be no more than the {KEPT_TRIALS} that are kept; make a \
                         fixed number of trials"
                    ),
                });
            }
            if self.trials < needed as u64 {
                return Err(Error::TooFewPoints {
                    what: "an adaptive run for this probability",
                    needed,
                    found: self.trials as usize,
                    hint: "allow more trials: ten blocks of 100/(1 - p) and at least 10 000 each are made in any case",
                });
            }
        }
        Ok(())
    }
}

/// The block of an adaptive run (JCGM 101:2008, 7.9.4), in whole blocks of draws.
fn adaptive_block(p: f64) -> usize {
    // 1 − p is off by a rounding of p, which must not make a trial more of 100/(1 − 0.9999).
    let trials = (100.0 / (1.0 - p) * (1.0 - 1e-9)).ceil() as usize;
    trials.max(BLOCK_TRIALS).div_ceil(BLOCK_TRIALS)
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
/// # Readings taken together
/// What n simultaneous sets of readings tell of several quantities is a multivariate t: the scales s/√n, the coefficients
/// of the readings, and one and the same chi-squared variable behind all of them (JCGM 102:2011, 5.3.2.4, clause from
/// memory). Name such inputs in [`Settings::multivariate_t`]; they are Student's t (or normal with finite degrees of
/// freedom), all with the same degrees of freedom ν, and correlated with nothing else. Their covariance is ν/(ν − 2) times
/// that of the scales. The normal copula, which is taken for all others, has the same marginal distributions and nearly the
/// same coefficient, but no common chi-squared variable: it is right for quantities whose scatter was estimated apart, and
/// gives too few trials in which several members of a group lie far out together.
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
    with_engine(Everywhere(model), inputs, correlation, settings, progress)
}

/// As [`monte_carlo_with_progress`] with the same result, for a model that only the calling thread may call: block after
/// block in their order, while the other threads draw the next ones and put the values in order.
///
/// The model may take the arrays away (they come anew then) or leave them (they are used again). For a model that needs no
/// more time than drawing its inputs this is as fast on two threads as one that both may call.
///
/// # Errors
/// As [`monte_carlo_with_progress`].
///
/// # Example
/// ```
/// use calcore::uncertainty::monte_carlo::{Settings, monte_carlo_on_calling_thread};
/// use calcore::uncertainty::{Distribution, Input};
/// use std::ops::{ControlFlow, Range};
/// let inputs = [Input::new("x", Distribution::normal(1.0, 0.5)?)];
/// let mut blocks = 0;
/// let model = |columns: &mut [Vec<f64>], values: &mut [f64]| {
///     blocks += 1;
///     for (y, x) in values.iter_mut().zip(&columns[0]) {
///         *y = x * x;
///     }
///     Ok(())
/// };
/// let settings = Settings { trials: 50_000, ..Settings::default() };
/// let go_on = &mut |_| ControlFlow::Continue(());
/// let result = monte_carlo_on_calling_thread(model, &inputs, None, &settings, go_on)?;
/// assert!((result.mean - 1.25).abs() < 0.03);
/// assert_eq!(blocks, 5);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn monte_carlo_on_calling_thread(
    model: impl FnMut(&mut [Vec<f64>], &mut [f64]) -> Result<()>,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    settings: &Settings,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<MonteCarlo> {
    with_engine(Here(model), inputs, correlation, settings, progress)
}

fn with_engine(
    engine: impl Engine,
    inputs: &[Input],
    correlation: Option<&[f64]>,
    settings: &Settings,
    tell: &mut Tell<'_>,
) -> Result<MonteCarlo> {
    settings.check()?;
    let job = Job {
        sampler: Sampler::new(inputs, correlation, &settings.multivariate_t, settings.seed)?,
        inputs,
        threads: thread_count(settings.threads),
    };
    if settings.digits.is_some() {
        adaptive(engine, &job, settings, tell)
    } else if settings.trials <= KEPT_TRIALS {
        fixed(engine, &job, settings, tell)
    } else {
        streaming::run(engine, &job, settings, streaming::PILOT_TRIALS, tell)
    }
}

/// Keeps all values in the order of the trials.
struct Kept<'a> {
    first_block: usize,
    trials: usize,
    slots: Vec<Mutex<&'a mut [f64]>>,
}

impl<'a> Kept<'a> {
    fn new(first_block: usize, values: &'a mut [f64]) -> Self {
        Self { first_block, trials: values.len(), slots: values.chunks_mut(BLOCK_TRIALS).map(Mutex::new).collect() }
    }

    fn blocks(&self) -> Range<usize> {
        self.first_block..self.first_block + self.slots.len()
    }
}

impl Store for Kept<'_> {
    type Own = ();

    fn own(&self) {}

    fn length(&self, block: usize) -> usize {
        BLOCK_TRIALS.min(self.trials - (block - self.first_block) * BLOCK_TRIALS)
    }

    fn block(&self, (): &mut (), block: usize, write: impl FnOnce(&mut [f64]) -> Result<Moments>) -> Result<Moments> {
        write(&mut lock(&self.slots[block - self.first_block]))
    }
}

/// Fills `values` with the trials from a block on.
fn fill(
    engine: &mut impl Engine,
    job: &Job<'_>,
    first_block: usize,
    values: &mut [f64],
    total: Progress,
    tell: &mut Tell<'_>,
) -> Result<Vec<Moments>> {
    let store = Kept::new(first_block, values);
    Ok(engine.run(job, store.blocks(), &store, total, tell)?.0)
}

/// A fixed number of trials, all kept.
fn fixed(mut engine: impl Engine, job: &Job<'_>, settings: &Settings, tell: &mut Tell<'_>) -> Result<MonteCarlo> {
    let mut values = vec![0.0; settings.trials as usize];
    let moments = fill(&mut engine, job, 0, &mut values, Progress { done: 0, total: settings.trials }, tell)?;
    Ok(MonteCarlo::from_values(values, &moments, settings, job.threads))
}

/// Blocks until the results are stable.
fn adaptive(mut engine: impl Engine, job: &Job<'_>, settings: &Settings, tell: &mut Tell<'_>) -> Result<MonteCarlo> {
    let p = settings.coverage_probability;
    let draws = adaptive_block(p);
    let size = draws * BLOCK_TRIALS;
    let most = settings.trials.min(KEPT_TRIALS) as usize / size;
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
        moments.extend(fill(&mut engine, job, done * draws, &mut values[done * size..], told, tell)?);
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
                let mut found = MonteCarlo::from_values(values, &moments[..blocks * draws], settings, job.threads);
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
