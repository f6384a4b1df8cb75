//! Monte Carlo propagation through a model that takes arrays.

use super::budget::Budget;
use super::measurement_model::MeasurementModel;
use super::model::{Model, same_order};
use super::propagate::read_inputs;
use crate::arrays::{copy_series, square};
use crate::errors::{OrRaise, exception};
use crate::objects::{Series, add_function, html_table, shown, view};
use crate::whole::{whole_number, whole_number_if_any};
use calcore::Error;
use calcore::uncertainty::Input;
use calcore::uncertainty::monte_carlo::{self as core, Progress, Settings};
use numpy::PyArray1;
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use std::ops::ControlFlow;

view! {
    /// Outcome of a Monte Carlo run.
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 7.5 to 7.7.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> result = U.monte_carlo(lambda x: x**2, {"x": U.Normal(0.0, 1.0)}, trials=100_000)
    /// >>> bool(abs(result.mean - 1.0) < 0.02)
    /// True
    MonteCarlo(core::MonteCarlo) in "calcore.uncertainty" {
        /// Estimate: mean of the values.
        mean: f64 = |m| m.mean;
        /// Standard error of the estimate.
        mean_standard_error: f64 = |m| m.mean_standard_error;
        /// Standard uncertainty: standard deviation of the values.
        standard_uncertainty: f64 = |m| m.standard_uncertainty;
        /// Probability of the intervals.
        coverage_probability: f64 = |m| m.coverage_probability;
        /// Shortest coverage interval.
        interval: (f64, f64) = |m| m.interval.into();
        /// Standard errors of its ends; infinite where there are too few trials to tell.
        interval_standard_error: (f64, f64) = |m| m.interval_standard_error.into();
        /// Probabilistically symmetric coverage interval.
        interval_symmetric: (f64, f64) = |m| m.interval_symmetric.into();
        /// Standard errors of its ends.
        interval_symmetric_standard_error: (f64, f64) = |m| m.interval_symmetric_standard_error.into();
        /// Trials made.
        trials: u64 = |m| m.trials;
        /// Whether an adaptive run became stable; None for a fixed number of trials.
        converged: Option<bool> = |m| m.converged;
        /// Numerical tolerance of an adaptive run, in the unit of the result.
        tolerance: Option<f64> = |m| m.tolerance;
        /// How far off the ends of the intervals may be because they come from a histogram; 0 when all values were kept.
        resolution: f64 = |m| m.resolution;
        /// Values in the order of the trials, if asked for.
        values: Option<Series> = |m| m.values.clone().map(Series);
        /// The seed: the same one gives the same result on any number of threads.
        seed: u64 = |m| m.seed;
        /// Generator and maps.
        generator: String = |m| m.generator.clone();
    }

    /// Lower edge of the first class, upper edge of the last one, and the values in each class, if asked for.
    #[getter]
    fn histogram<'py>(&self, py: Python<'py>) -> Option<(f64, f64, Bound<'py, PyArray1<u64>>)> {
        self.0.histogram.as_ref().map(|found| (found.low, found.high, PyArray1::from_slice(py, &found.counts)))
    }

    /// Whether a first-order result stands up to this one: the ends of y ± U against those of the shortest interval.
    ///
    /// Parameters
    /// ----------
    /// propagated : Budget
    ///     What `propagate` gave, with the same coverage probability.
    /// digits : int
    ///     Significant digits of its standard uncertainty that count.
    /// symmetric : bool
    ///     Whether to take the probabilistically symmetric interval instead.
    ///
    /// Returns
    /// -------
    /// Validation
    ///     True where it is valid.
    ///
    /// Raises
    /// ------
    /// OutOfRangeError, InvalidValueError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 8.1 and 8.2.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> inputs = {"a": U.Normal(0.0, 1.0), "b": U.Normal(0.0, 1.0)}
    /// >>> result = U.monte_carlo(lambda a, b: a + b, inputs)
    /// >>> bool(result.validates(U.propagate(lambda a, b: a + b, inputs), digits=1))
    /// True
    #[pyo3(signature = (propagated, *, digits=2, symmetric=false))]
    fn validates(&self, propagated: &Bound<'_, Budget>, digits: u32, symmetric: bool) -> PyResult<Validation> {
        let budget = &propagated.get().0;
        let found =
            if symmetric { self.0.validates_symmetric(budget, digits) } else { self.0.validates(budget, digits) };
        Ok(Validation(found.or_raise(propagated.py())?))
    }

    fn __repr__(&self) -> String {
        let core::MonteCarlo { mean, standard_uncertainty, interval, coverage_probability, trials, .. } = &self.0;
        format!(
            "MonteCarlo(mean {mean:?}, u={standard_uncertainty:?}, {} % interval {:?} to {:?}, {trials} trials)",
            shown(100.0 * coverage_probability),
            interval[0],
            interval[1]
        )
    }

    fn _repr_html_(&self) -> String {
        let found = &self.0;
        let pair = |[low, high]: [f64; 2]| format!("{} to {}", shown(low), shown(high));
        let rows = [
            ("mean", shown(found.mean)),
            ("standard uncertainty", shown(found.standard_uncertainty)),
            ("shortest interval", pair(found.interval)),
            ("symmetric interval", pair(found.interval_symmetric)),
            ("probability", shown(found.coverage_probability)),
            ("trials", found.trials.to_string()),
        ];
        let rows: Vec<Vec<String>> = rows.into_iter().map(|(name, value)| vec![name.into(), value]).collect();
        html_table("Monte Carlo", &["", "value"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        crate::json::reduced(slf.as_any(), &slf.get().0)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(crate::json::read(py, text)?))
    }
}

view! {
    /// Comparison of a first-order result with Monte Carlo; true where it is valid.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> inputs = {"x": U.Normal(1.0, 0.5)}
    /// >>> result = U.monte_carlo(lambda x: x**4, inputs, trials=100_000)
    /// >>> bool(result.validates(U.propagate(lambda x: x**4, inputs)))
    /// False
    Validation(core::Validation) in "calcore.uncertainty" {
        /// Whether both ends agree within the tolerance.
        valid: bool = |v| v.valid;
        /// Distance of the lower ends.
        difference_low: f64 = |v| v.difference_low;
        /// Distance of the upper ends.
        difference_high: f64 = |v| v.difference_high;
        /// The tolerance that belongs to the digits.
        tolerance: f64 = |v| v.tolerance;
        /// Whether there were trials enough for the comparison not to be a matter of luck.
        enough_trials: bool = |v| v.enough_trials;
    }

    fn __bool__(&self) -> bool {
        self.0.valid
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        crate::json::reduced(slf.as_any(), &slf.get().0)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(crate::json::read(py, text)?))
    }

    fn __repr__(&self) -> String {
        let core::Validation { valid, difference_low, difference_high, tolerance, .. } = self.0;
        format!("Validation({valid}: ends differ by {difference_low:?} and {difference_high:?}, tolerance {tolerance:?})")
    }
}

/// Propagates distributions through a model by Monte Carlo.
///
/// The model is called as `model(*arrays)` with one array an input, all of one length, and returns an array of that
/// length; what it raises is passed through unchanged. It is called block after block on the calling thread, with arrays
/// that it may keep, while the other threads draw the next blocks; an interrupt from the keyboard ends the run. A
/// `MeasurementModel` of the core is evaluated on all threads without the interpreter.
///
/// Parameters
/// ----------
/// model : callable or MeasurementModel
///     Takes one array an input, in their order, and returns an array.
/// inputs : dict
///     Names and distributions; a `MeasurementModel` finds its inputs by their names.
/// correlation : array-like, optional
///     Correlation coefficients between the inputs, in their order (of a `MeasurementModel` in that of its `inputs`); none means independent. Between inputs that are not normal they are
///     those of normal variables behind them.
/// trials : int
///     Number of trials; of an adaptive run the most that it makes, at least ten blocks of 100/(1 - coverage) and of 10 000.
/// digits : int, optional
///     Significant digits of the standard uncertainty to which an adaptive run makes its results stable.
/// coverage : float
///     Probability of the coverage intervals.
/// seed : int
///     The same seed gives the same result.
/// threads : int, optional
///     Number of threads, without influence on the result; as many as the machine has unless given.
/// histogram_classes : int
///     Classes of the histogram; 0 for none.
/// keep_values : bool
///     Whether the values of all trials are handed back.
/// multivariate_t : sequence of sequences of str
///     Groups of inputs, by their names, that come from readings taken together: each group is drawn as a multivariate t,
///     with one chi-squared variable for all of its members. They are `StudentT` (or `Normal` with finite degrees of
///     freedom), all with the same degrees of freedom, and correlated with nothing else. All other correlated inputs are
///     drawn through normal variables (a normal copula): right for quantities whose scatter was estimated apart.
/// progress : callable, optional
///     Called as `progress(done, total)` now and then.
///
/// Returns
/// -------
/// MonteCarlo
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, OutOfRangeError, LengthMismatchError
/// TooFewPointsError
///     When the trials do not support the coverage probability.
/// ModelFailedError
///     When the model gives no number for a draw.
/// UnknownNameError
///     For a name in `multivariate_t` that is no input, and one that a `MeasurementModel` does not have.
///
/// Source
/// ------
/// JCGM 101:2008, clause 7; adaptive procedure: 7.9. Multivariate t: JCGM 102:2011, 5.3.2.4 (clause from memory).
///
/// Examples
/// --------
/// >>> U = cc.uncertainty
/// >>> inputs = {"a": U.Normal(0.0, 1.0), "b": U.Rectangular(-1.0, 1.0)}
/// >>> result = U.monte_carlo(lambda a, b: a + b, inputs, trials=100_000, seed=7)
/// >>> round(result.standard_uncertainty, 1), result.trials
/// (1.2, 100000)
#[pyfunction]
#[pyo3(signature = (model, inputs, *, correlation=None, trials=1_000_000, digits=None, coverage=0.95, seed=0,
                    threads=None, histogram_classes=0, keep_values=false, progress=None, multivariate_t=Vec::new()))]
#[allow(clippy::too_many_arguments)]
fn monte_carlo(
    py: Python<'_>,
    model: Py<PyAny>,
    inputs: &Bound<'_, PyDict>,
    correlation: Option<&Bound<'_, PyAny>>,
    #[pyo3(from_py_with = whole_number)] trials: u64,
    #[pyo3(from_py_with = whole_number_if_any)] digits: Option<u32>,
    coverage: f64,
    #[pyo3(from_py_with = whole_number)] seed: u64,
    #[pyo3(from_py_with = whole_number_if_any)] threads: Option<usize>,
    #[pyo3(from_py_with = whole_number)] histogram_classes: usize,
    keep_values: bool,
    progress: Option<Py<PyAny>>,
    multivariate_t: Vec<Vec<String>>,
) -> PyResult<MonteCarlo> {
    let known = model.bind(py).cast::<MeasurementModel>().ok().map(|known| known.get());
    let inputs = match known {
        Some(known) => known.named(inputs)?,
        None => {
            let inputs = read_inputs(inputs)?;
            same_order(model.bind(py), &inputs)?;
            inputs
        }
    };
    let known = known.map(|known| &known.core);
    let correlation = correlation.map(|matrix| square("correlation", inputs.len(), matrix)).transpose()?;
    let settings = Settings {
        trials,
        digits,
        coverage_probability: coverage,
        seed,
        threads: threads.unwrap_or(0),
        histogram_classes,
        keep_values,
        multivariate_t: places_of(py, &inputs, &multivariate_t)?,
    };
    let model = Model::new(model.clone_ref(py));
    let outcome = py.detach(|| {
        let block = |columns: &mut [Vec<f64>], out: &mut [f64]| {
            model.call(true, |py, callable| {
                let arrays = columns.iter_mut().map(|column| PyArray1::from_vec(py, std::mem::take(column)));
                fill_from(&callable.call1(PyTuple::new(py, arrays)?)?, out)
            })
        };
        let mut tell = |state: Progress| {
            let told = progress.as_ref().is_none_or(|progress| {
                model.call(true, |py, _| progress.call1(py, (state.done, state.total)).map(|_| ())).is_ok()
            });
            if told && !model.signalled() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        };
        let correlation = correlation.as_deref();
        match known {
            Some(known) => {
                let block = |columns: &[&[f64]], out: &mut [f64]| known.trials(columns, out);
                core::monte_carlo_with_progress(block, &inputs, correlation, &settings, &mut tell)
            }
            None => core::monte_carlo_on_calling_thread(block, &inputs, correlation, &settings, &mut tell),
        }
    });
    Ok(MonteCarlo(model.outcome(py, outcome)?))
}

/// The places of the inputs of groups that are given by their names.
fn places_of(py: Python<'_>, inputs: &[Input], groups: &[Vec<String>]) -> PyResult<Vec<Vec<usize>>> {
    let place = |name: &String| {
        inputs.iter().position(|input| input.name == *name).ok_or_else(|| {
            let names: Vec<&str> = inputs.iter().map(|input| input.name.as_str()).collect();
            let expected = names.join(", ");
            exception(py, &Error::UnknownName { what: "input", name: name.as_str().into(), expected })
        })
    };
    groups.iter().map(|group| group.iter().map(place).collect()).collect()
}

/// Takes over what a model gave, if it is an array as long as those that it took.
fn fill_from(values: &Bound<'_, PyAny>, out: &mut [f64]) -> PyResult<()> {
    let found = copy_series("the result of the model", values, out)?;
    if found == out.len() {
        return Ok(());
    }
    let length = out.len();
    Err(PyValueError::new_err(format!(
        "the model took arrays of {length} elements and gave one of {found}; it must work element by element"
    )))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<MonteCarlo>()?;
    module.add_class::<Validation>()?;
    add_function(module, "uncertainty", &wrap_pyfunction!(monte_carlo, module)?)
}
