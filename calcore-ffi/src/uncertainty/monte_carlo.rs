//! Monte Carlo through a caller's model of arrays.

use super::budget::calcore_budget;
use super::input::{calcore_input, named};
use crate::array::{optional, output_of};
use crate::guard::guard;
use crate::message::{Failure, calcore_error};
use crate::record::{Record, Target, read};
use crate::status::*;
use calcore::Error;
use calcore::uncertainty::monte_carlo::{
    Ends, Progress, Settings, compare, monte_carlo_on_calling_thread, monte_carlo_with_progress,
};
use std::ffi::c_void;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicI32, Ordering};

/// A model of arrays: takes `n` inputs of `trials` values each (values[i][k] is input i in trial k), fills `results` with
/// `trials` numbers and returns 0; any other status ends the run. `user` is what the caller passed along.
///
/// It must return: neither longjmp nor a C++ exception may leave it. With more than one thread it is called from several at
/// once, unless the settings say that only the calling thread may.
pub type calcore_model_of_arrays = Option<
    unsafe extern "C" fn(
        values: *const *const f64,
        n: usize,
        trials: usize,
        results: *mut f64,
        user: *mut c_void,
    ) -> calcore_status,
>;

/// Is told, on the thread of the call, how many trials are done and how many there will be (of an adaptive run: at most); a
/// return other than 0 ends the run with CALCORE_E_CANCELLED. It must return, as a model must.
pub type calcore_progress = Option<unsafe extern "C" fn(done: u64, total: u64, user: *mut c_void) -> i32>;

/// How a Monte Carlo run is made. Zero everything, then set `size` and what is wanted.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_monte_carlo_settings {
    /// sizeof(calcore_monte_carlo_settings).
    pub size: usize,
    /// Number of trials, of an adaptive run the most; 0 means a million.
    pub trials: u64,
    /// Seed: same seed, same result, on all faces and any number of threads.
    pub seed: u64,
    /// Probability of the coverage intervals, between 0 and 1; 0 means 0.95.
    pub coverage_probability: f64,
    /// Significant digits of the standard uncertainty, 1 to 6, to which an adaptive run makes its results stable; 0 for a
    /// fixed number of trials.
    pub digits: i32,
    /// Threads; 0 means one. Without influence on the result.
    pub threads: i32,
    /// Null, or a number for each input: inputs with the same number greater than 0 come from readings taken together and are
    /// drawn as a multivariate t, with one chi-squared variable for all of them (JCGM 102:2011, 5.3.2.4). They are Student's t
    /// or normal with finite degrees of freedom, all with the same, and correlated with nothing else. 0 for the other inputs.
    pub multivariate_t: *const i32,
    /// 1: the model is called on the calling thread only, block after block, while the other threads draw the next ones. 0: on
    /// all threads.
    pub model_on_calling_thread: i32,
    /// Zero.
    pub reserved: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_monte_carlo_settings {
    const WHAT: &'static str = "calcore_monte_carlo_settings";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Outcome of a Monte Carlo run. JCGM 101:2008, 7.5 to 7.7.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_monte_carlo_result {
    /// sizeof(calcore_monte_carlo_result), set by the caller.
    pub size: usize,
    /// Estimate: mean of the values.
    pub mean: f64,
    /// Standard error of the estimate.
    pub mean_standard_error: f64,
    /// Standard uncertainty: standard deviation of the values.
    pub standard_uncertainty: f64,
    /// Probability of the intervals.
    pub coverage_probability: f64,
    /// Shortest coverage interval: lower and upper end.
    pub interval: [f64; 2],
    /// Standard errors of its ends; INFINITY where there are too few trials to tell.
    pub interval_standard_error: [f64; 2],
    /// Probabilistically symmetric coverage interval: lower and upper end.
    pub interval_symmetric: [f64; 2],
    /// Standard errors of its ends.
    pub interval_symmetric_standard_error: [f64; 2],
    /// How far off the ends may be because they come from a histogram; 0 when all values were kept.
    pub resolution: f64,
    /// Numerical tolerance of an adaptive run; NAN for a fixed number of trials.
    pub tolerance: f64,
    /// Trials made.
    pub trials: u64,
    /// 1 when an adaptive run became stable, 0 when it did not, -1 for a fixed number of trials.
    pub converged: i32,
    /// Zero.
    pub reserved: i32,
    /// Lower edge of the first class of the histogram; NAN without one.
    pub histogram_low: f64,
    /// Upper edge of its last class; NAN without one.
    pub histogram_high: f64,
    /// Classes that the histogram has, at most as many as asked for (fewer only where it is put together from a finer one, of
    /// a run too long to be kept); 0 without one.
    pub histogram_classes: usize,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_monte_carlo_result {
    const WHAT: &'static str = "calcore_monte_carlo_result";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Comparison of a first-order result with a Monte Carlo run. JCGM 101:2008, 8.1.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_monte_carlo_validation {
    /// sizeof(calcore_monte_carlo_validation), set by the caller.
    pub size: usize,
    /// Distance of the lower ends.
    pub difference_low: f64,
    /// Distance of the upper ends.
    pub difference_high: f64,
    /// The tolerance that belongs to the digits.
    pub tolerance: f64,
    /// 1 where both ends agree within the tolerance.
    pub valid: i32,
    /// 1 where there were trials enough for the comparison not to be a matter of luck.
    pub enough_trials: i32,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_monte_carlo_validation {
    const WHAT: &'static str = "calcore_monte_carlo_validation";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// What the caller's functions are called with.
#[derive(Clone, Copy)]
struct User(*mut c_void);
// SAFETY: the library only hands the pointer back; the header tells that a model is called from several threads at once.
unsafe impl Sync for User {}

impl User {
    // A method, so that closures take the whole struct and not the bare pointer.
    fn get(&self) -> *mut c_void {
        self.0
    }
}

/// Propagates the distributions of `n` inputs through a model of arrays. JCGM 101:2008, clause 7.
///
/// `correlation`: n x n coefficients, row by row, or null; between inputs that are not normal they are those of the normal
/// variables behind them. `settings`: null for a million trials, 95 %, seed 0, one thread. `progress` may be null.
/// `values`: room for `values_count` numbers, the first values of the trials in their order, or null (only for a fixed number
/// of trials up to 20 million, of which values_count must be the number). `histogram`: room for the counts of `classes` classes
/// of equal width, whose edges stand in the result, or null. `result`: set its `size` first.
///
/// Status: those of the inputs and the correlation as in calcore_propagate; CALCORE_E_TOO_FEW_POINTS when the trials do not
/// support the probability; CALCORE_E_MODEL_FAILED with the draw for which the model gives no number, or with its status in
/// `value` of the error; CALCORE_E_CANCELLED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_monte_carlo(
    model: calcore_model_of_arrays,
    user: *mut c_void,
    inputs: *const calcore_input,
    n: usize,
    correlation: *const f64,
    settings: *const calcore_monte_carlo_settings,
    progress: calcore_progress,
    progress_user: *mut c_void,
    values: *mut f64,
    values_count: usize,
    histogram: *mut u64,
    classes: usize,
    result: *mut calcore_monte_carlo_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(result)?;
            let kept = if values.is_null() { None } else { Some(output_of("values", values, values_count)?) };
            let counts = if histogram.is_null() { None } else { Some(output_of("histogram", histogram, classes)?) };
            let correlation = optional("correlation", correlation, n.saturating_mul(n))?;
            let model = model.ok_or_else(|| Failure::null("model"))?;
            let inputs = named(inputs, n)?;
            let (mut settings, on_calling_thread) = settings_of(settings, n)?;
            settings.keep_values = kept.is_some();
            settings.histogram_classes = counts.as_ref().map_or(0, |counts| counts.len());
            if kept.is_some() && (settings.digits.is_some() || settings.trials != values_count as u64) {
                let expected = usize::try_from(settings.trials).unwrap_or(usize::MAX);
                return Err(Error::LengthMismatch { what: "values", expected, found: values_count }.into());
            }
            let user = User(user);
            let last = AtomicI32::new(CALCORE_OK);
            let block = |pointers: &[*const f64], out: &mut [f64]| {
                // What the model leaves out is no number.
                out.fill(f64::NAN);
                let status = model(pointers.as_ptr(), pointers.len(), out.len(), out.as_mut_ptr(), user.get());
                if status == CALCORE_OK {
                    return Ok(());
                }
                last.store(status, Ordering::Relaxed);
                Err(Error::ModelFailed { message: format!("it returned the status {status}") })
            };
            let mut tell = |state: Progress| match progress {
                Some(progress) if progress(state.done, state.total, progress_user) != 0 => ControlFlow::Break(()),
                _ => ControlFlow::Continue(()),
            };
            let found = if on_calling_thread {
                let model = |columns: &mut [Vec<f64>], out: &mut [f64]| {
                    let pointers: Vec<*const f64> = columns.iter().map(|column| column.as_ptr()).collect();
                    block(&pointers, out)
                };
                monte_carlo_on_calling_thread(model, &inputs, correlation, &settings, &mut tell)
            } else {
                let model = |columns: &[&[f64]], out: &mut [f64]| {
                    let pointers: Vec<*const f64> = columns.iter().map(|column| column.as_ptr()).collect();
                    block(&pointers, out)
                };
                monte_carlo_with_progress(model, &inputs, correlation, &settings, &mut tell)
            };
            let found = found.map_err(|error| {
                let status = last.load(Ordering::Relaxed);
                Failure::of_model(error, (status != CALCORE_OK).then_some(status))
            })?;
            if let (Some(counts), Some(histogram)) = (counts, &found.histogram) {
                let found = histogram.counts.iter().copied().chain(std::iter::repeat(0));
                for (place, count) in counts.iter_mut().zip(found) {
                    place.write(count);
                }
            }
            if let (Some(kept), Some(values)) = (kept, &found.values) {
                for (place, value) in kept.iter_mut().zip(values) {
                    place.write(*value);
                }
            }
            target.fill(calcore_monte_carlo_result {
                size: 0,
                mean: found.mean,
                mean_standard_error: found.mean_standard_error,
                standard_uncertainty: found.standard_uncertainty,
                coverage_probability: found.coverage_probability,
                interval: found.interval,
                interval_standard_error: found.interval_standard_error,
                interval_symmetric: found.interval_symmetric,
                interval_symmetric_standard_error: found.interval_symmetric_standard_error,
                resolution: found.resolution,
                tolerance: found.tolerance.unwrap_or(f64::NAN),
                trials: found.trials,
                converged: found.converged.map_or(-1, i32::from),
                reserved: 0,
                histogram_low: found.histogram.as_ref().map_or(f64::NAN, |histogram| histogram.low),
                histogram_high: found.histogram.as_ref().map_or(f64::NAN, |histogram| histogram.high),
                histogram_classes: found.histogram.as_ref().map_or(0, |histogram| histogram.counts.len()),
            });
            Ok(())
        })
    }
}

/// The settings, and whether only the calling thread calls the model.
///
/// # Safety
/// `settings` is null or the caller's, with as many numbers as there are inputs.
unsafe fn settings_of(
    settings: *const calcore_monte_carlo_settings,
    inputs: usize,
) -> Result<(Settings, bool), Failure> {
    let plain = Settings { threads: 1, histogram_classes: 0, ..Settings::default() };
    if settings.is_null() {
        return Ok((plain, false));
    }
    let defaults = calcore_monte_carlo_settings {
        size: 0,
        trials: 0,
        seed: 0,
        coverage_probability: 0.0,
        digits: 0,
        threads: 0,
        multivariate_t: std::ptr::null(),
        model_on_calling_thread: 0,
        reserved: 0,
    };
    // SAFETY: as promised.
    let given = unsafe { read(settings, defaults) }?;
    let threads = usize::try_from(given.threads);
    let threads = threads.map_err(|_| Failure::option("threads", given.threads, "a number not below 0"))?;
    let digits = u32::try_from(given.digits);
    let digits = digits.map_err(|_| Failure::option("digits", given.digits, "0, or 1 to 6"))?;
    let on_calling_thread = match given.model_on_calling_thread {
        0 => false,
        1 => true,
        other => return Err(Failure::option("model_on_calling_thread", other, "0 or 1")),
    };
    let settings = Settings {
        trials: if given.trials == 0 { plain.trials } else { given.trials },
        seed: given.seed,
        // NaN goes on, and is refused.
        coverage_probability: if given.coverage_probability == 0.0 {
            plain.coverage_probability
        } else {
            given.coverage_probability
        },
        digits: (digits > 0).then_some(digits),
        threads: threads.max(1),
        // SAFETY: as promised.
        multivariate_t: groups(unsafe { optional("multivariate_t", given.multivariate_t, inputs) }?)?,
        ..plain
    };
    Ok((settings, on_calling_thread))
}

/// The places of the inputs that have the same number, group by group in the order of their first members.
fn groups(numbers: Option<&[i32]>) -> Result<Vec<Vec<usize>>, Failure> {
    let mut found: Vec<(i32, Vec<usize>)> = Vec::new();
    for (place, &number) in numbers.unwrap_or_default().iter().enumerate() {
        if number < 0 {
            return Err(Failure::option("multivariate_t", number, "0, or the number of a group"));
        }
        match found.iter_mut().find(|(known, _)| *known == number) {
            _ if number == 0 => {}
            Some((_, members)) => members.push(place),
            None => found.push((number, vec![place])),
        }
    }
    Ok(found.into_iter().map(|(_, members)| members).collect())
}

/// Whether a first-order result stands up to a Monte Carlo run: the ends of value plus or minus U against those of the
/// shortest interval, or of the symmetric one where `symmetric` is not 0, to `digits` significant digits (1 to 6) of the
/// budget's standard uncertainty. JCGM 101:2008, 8.1 and 8.2.
///
/// Status: CALCORE_E_OUT_OF_RANGE for the digits; CALCORE_E_INVALID_VALUE when the two have other coverage probabilities;
/// CALCORE_E_NOT_FINITE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_monte_carlo_validates(
    run: *const calcore_monte_carlo_result,
    budget: *const calcore_budget,
    digits: i32,
    symmetric: i32,
    result: *mut calcore_monte_carlo_validation,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(result)?;
            let run = read(run, NOTHING)?;
            let empty = calcore_budget {
                size: 0,
                value: f64::NAN,
                standard_uncertainty: f64::NAN,
                effective_degrees_of_freedom: f64::NAN,
                coverage_probability: f64::NAN,
                coverage_factor: f64::NAN,
                expanded_uncertainty: f64::NAN,
                warnings: 0,
                reserved: 0,
                second_order_variance: 0.0,
                expectation_shift: 0.0,
            };
            let budget = read(budget, empty)?;
            let (interval, errors) = if symmetric == 0 {
                (run.interval, run.interval_standard_error)
            } else {
                (run.interval_symmetric, run.interval_symmetric_standard_error)
            };
            let found = compare(
                Ends {
                    interval: [budget.value - budget.expanded_uncertainty, budget.value + budget.expanded_uncertainty],
                    coverage_probability: budget.coverage_probability,
                    doubt: 0.0,
                },
                Ends {
                    interval,
                    coverage_probability: run.coverage_probability,
                    doubt: errors[0].max(errors[1]).max(run.resolution),
                },
                budget.standard_uncertainty,
                u32::try_from(digits).unwrap_or(0),
            )?;
            target.fill(calcore_monte_carlo_validation {
                size: 0,
                difference_low: found.difference_low,
                difference_high: found.difference_high,
                tolerance: found.tolerance,
                valid: i32::from(found.valid),
                enough_trials: i32::from(found.enough_trials),
            });
            Ok(())
        })
    }
}

const NOTHING: calcore_monte_carlo_result = calcore_monte_carlo_result {
    size: 0,
    mean: f64::NAN,
    mean_standard_error: f64::NAN,
    standard_uncertainty: f64::NAN,
    coverage_probability: f64::NAN,
    interval: [f64::NAN; 2],
    interval_standard_error: [f64::NAN; 2],
    interval_symmetric: [f64::NAN; 2],
    interval_symmetric_standard_error: [f64::NAN; 2],
    resolution: 0.0,
    tolerance: f64::NAN,
    trials: 0,
    converged: -1,
    reserved: 0,
    histogram_low: f64::NAN,
    histogram_high: f64::NAN,
    histogram_classes: 0,
};
