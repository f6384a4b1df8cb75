//! Whether a record has settled, its drift, its value at a moment.

use crate::arrays::{Numbers, elementwise, elementwise_of, elementwise2, series};
use crate::errors::OrRaise;
use crate::objects::{add_function, view};
use crate::records::records;
use crate::whole::whole_number;
use calcore::settling as core;
use pyo3::prelude::*;
use pyo3::types::{PyFloat, PyTuple};

view! {
    /// Rate of change of a record, with its uncertainty.
    ///
    /// Examples
    /// --------
    /// >>> trend = cc.settling.drift([0.0, 60.0, 120.0, 180.0], [100.0, 100.02, 100.04, 100.06])
    /// >>> round(trend.slope_per_min, 9)
    /// 0.02
    Trend(core::Trend) in "calcore.settling" {
        /// Slope of the least-squares line, per minute.
        slope_per_min: f64 = |t| t.slope_per_min;
        /// Its standard uncertainty, per minute; widened for autocorrelated readings.
        u_slope_per_min: f64 = |t| t.u_slope_per_min;
        /// Value of the line at `mean_time_s`.
        mean: f64 = |t| t.mean;
        /// Standard uncertainty of that mean from the scatter.
        u_mean: f64 = |t| t.u_mean;
        /// Mean time of the readings that count, s.
        mean_time_s: f64 = |t| t.mean_time_s;
        /// Residual standard deviation about the line.
        residual_standard_deviation: f64 = |t| t.residual_standard_deviation;
        /// Correlation of neighbouring residuals.
        autocorrelation: f64 = |t| t.autocorrelation;
        /// Number of independent readings that the record is worth.
        effective_readings: f64 = |t| t.effective_readings;
        /// Degrees of freedom of the scatter.
        degrees_of_freedom: f64 = |t| t.degrees_of_freedom;
        /// Readings that count.
        readings: usize = |t| t.readings;
        /// Readings left out as spikes.
        spikes: usize = |t| t.spikes;
    }

    fn __repr__(&self) -> String {
        let core::Trend { slope_per_min, u_slope_per_min, readings, spikes, .. } = self.0;
        format!("Trend({slope_per_min:?} ± {u_slope_per_min:?} per minute (u), {readings} readings, {spikes} spikes)")
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
    /// The state after a reading.
    ///
    /// Examples
    /// --------
    /// >>> time_s = np.arange(0.0, 1200.0, 10.0)
    /// >>> t_c = 100.0 + 2.0 * np.exp(-time_s / 150.0)
    /// >>> cc.settling.settled(time_s, t_c, window_s=300.0, max_slope_per_min=0.01, max_scatter=0.005).settled
    /// True
    SettledState(core::SettledState) in "calcore.settling" {
        /// Whether the window meets the criterion and has done so for the dwell.
        settled: bool = |s| s.settled;
        /// Since when every window has met it, s; None if the last one does not.
        since_s: Option<f64> = |s| s.since_s;
        /// Why not: "record_too_short", "too_few_readings", "slope", "scatter", "spikes" or "dwell"; else None.
        reason: Option<&'static str> = |s| s.reason.map(core::Unsteady::name);
        /// The line through the window; None below three readings.
        trend: Option<Trend> = |s| s.trend.map(Trend);
        /// Amount of the slope plus coverage factor times its uncertainty, per minute.
        slope_bound_per_min: f64 = |s| s.slope_bound_per_min;
        /// Whether the slope differs from zero at the stated confidence.
        slope_significant: bool = |s| s.slope_significant;
        /// Largest minus smallest value in the window, spikes included.
        span: f64 = |s| s.span;
        /// Standard uncertainty for the lack of stability: half the span, rectangular.
        standard_uncertainty: f64 = |s| s.standard_uncertainty;
        /// Readings in the window, spikes included.
        readings: usize = |s| s.readings;
    }

    fn __repr__(&self) -> String {
        let core::SettledState { settled, span, slope_bound_per_min, readings, .. } = self.0;
        let why = self.0.reason.map_or(String::new(), |reason| format!(" ({})", reason.name()));
        format!(
            "SettledState(settled={settled}{why}, span {span:?}, slope up to {slope_bound_per_min:?} per minute, \
             {readings} readings)"
        )
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
    /// Time still to wait, as an estimate with its uncertainty.
    ///
    /// Examples
    /// --------
    /// >>> monitor = cc.settling.Monitor(window_s=300.0, max_slope_per_min=0.001, max_scatter=0.005)
    /// >>> for time_s in np.arange(0.0, 600.0, 10.0):
    /// ...     state = monitor.push(time_s, 100.0 + 2.0 * np.exp(-time_s / 150.0))
    /// >>> bool(100.0 < monitor.wait().time_constant_s < 200.0)
    /// True
    Wait(core::Wait) in "calcore.settling" {
        /// Estimate, s.
        seconds: f64 = |w| w.seconds;
        /// Its standard uncertainty, s.
        standard_uncertainty_s: f64 = |w| w.standard_uncertainty_s;
        /// Time constant of the approach, s.
        time_constant_s: f64 = |w| w.time_constant_s;
        /// Its standard uncertainty, s.
        u_time_constant_s: f64 = |w| w.u_time_constant_s;
        /// Value that is approached.
        final_value: f64 = |w| w.final_value;
    }

    fn __repr__(&self) -> String {
        format!("Wait({:?} s, u={:?} s)", self.0.seconds, self.0.standard_uncertainty_s)
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
    /// A reference value moved to a moment.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.settling.reference_at([0.0, 10.0, 20.0], [100.0, 100.1, 100.2], 4.0).value, 9)
    /// 100.04
    ReferenceAt(core::ReferenceAt) in "calcore.settling" {
        /// The value.
        value: f64 = |r| r.value;
        /// Its standard uncertainty from the scatter of the readings and from the way between them.
        standard_uncertainty: f64 = |r| r.standard_uncertainty;
        /// Whether the moment lies outside the record.
        extrapolated: bool = |r| r.extrapolated;
    }

    fn __repr__(&self) -> String {
        format!("ReferenceAt({:?}, u={:?})", self.0.value, self.0.standard_uncertainty)
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

/// Takes readings one at a time and says after each whether they have settled.
///
/// The same readings give the same bits as `settled` on the whole record.
///
/// Parameters
/// ----------
/// window_s : float
///     Length of the window, s.
/// max_slope_per_min : float
///     Largest slope, per minute: amount plus coverage factor times uncertainty must not exceed it.
/// max_scatter : float
///     Largest residual standard deviation about the line.
/// dwell_s : float
///     How long the window must have met both without a break, s.
/// confidence : float
///     Two-sided probability with which the slope is within its limit.
/// spike_limit : float
///     From how many robust standard deviations a reading is a spike.
/// resolution : float
///     Resolution of the readings; a reading no further away is no spike.
///     Among readings most of which are identical their scatter is 0 and nothing is called a spike unless the resolution
///     is given.
///
/// Raises
/// ------
/// InvalidValueError, OutOfRangeError, NotFiniteError
///
/// Examples
/// --------
/// >>> monitor = cc.settling.Monitor(window_s=60.0, max_slope_per_min=0.01, max_scatter=0.005)
/// >>> [monitor.push(10.0 * i, 100.0).settled for i in range(9)][-1]
/// True
#[pyclass(module = "calcore.settling")]
pub(crate) struct Monitor(core::Monitor);

#[pymethods]
impl Monitor {
    #[new]
    #[pyo3(signature = (*, window_s, max_slope_per_min, max_scatter, dwell_s=0.0, confidence=0.95, spike_limit=5.0,
                        resolution=0.0))]
    #[allow(clippy::too_many_arguments)]
    fn new(
        py: Python<'_>,
        window_s: f64,
        max_slope_per_min: f64,
        max_scatter: f64,
        dwell_s: f64,
        confidence: f64,
        spike_limit: f64,
        resolution: f64,
    ) -> PyResult<Self> {
        let criterion = core::SettledCriterion {
            window_s,
            max_slope_per_min,
            max_scatter,
            dwell_s,
            confidence,
            spike_limit,
            resolution,
        };
        Ok(Self(core::Monitor::new(criterion).or_raise(py)?))
    }

    /// Takes a reading and judges the window that ends with it.
    ///
    /// Parameters
    /// ----------
    /// time_s : float
    ///     Time of the reading, s.
    /// value : float
    ///     The reading.
    ///
    /// Returns
    /// -------
    /// SettledState
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// InvalidValueError
    ///     For a time not later than the one before; the reading is not taken then.
    ///
    /// Examples
    /// --------
    /// >>> monitor = cc.settling.Monitor(window_s=60.0, max_slope_per_min=0.01, max_scatter=0.005)
    /// >>> monitor.push(0.0, 100.0).reason
    /// 'record_too_short'
    fn push(&mut self, py: Python<'_>, time_s: f64, value: f64) -> PyResult<SettledState> {
        Ok(SettledState(self.0.push(time_s, value).or_raise(py)?))
    }

    /// How long still to wait until the criterion is met, by the exponential that the window follows.
    ///
    /// Returns
    /// -------
    /// Wait
    ///
    /// Raises
    /// ------
    /// TooFewPointsError
    ///     Below five readings.
    /// UndeterminedError
    ///     Where the window follows no exponential that dies out.
    ///
    /// Examples
    /// --------
    /// >>> monitor = cc.settling.Monitor(window_s=300.0, max_slope_per_min=0.001, max_scatter=0.005)
    /// >>> for time_s in np.arange(0.0, 600.0, 10.0):
    /// ...     state = monitor.push(time_s, 100.0 + 2.0 * np.exp(-time_s / 150.0))
    /// >>> monitor.wait().seconds > 0.0
    /// True
    fn wait(&self, py: Python<'_>) -> PyResult<Wait> {
        Ok(Wait(self.0.wait().or_raise(py)?))
    }

    fn __repr__(&self) -> &'static str {
        "Monitor()"
    }
}

/// The R-statistic: variance about a filtered mean over variance of successive differences, one reading at a time.
///
/// Near 1 for a steady signal with independent noise, larger where it moves.
///
/// Parameters
/// ----------
/// mean, variance, difference : float
///     Filter factors of the mean, the variance about it and the differences, each between 0 and 1.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// S. Cao, R. R. Rhinehart, J. Process Control 5 (1995) (formulas from memory).
///
/// Examples
/// --------
/// >>> statistic = cc.settling.RStatistic(0.2, 0.1, 0.1)
/// >>> [statistic.push(0.5 * i + i % 2) for i in range(200)][-1] > 5.0
/// True
#[pyclass(module = "calcore.settling")]
pub(crate) struct RStatistic(core::RStatistic);

#[pymethods]
impl RStatistic {
    #[new]
    fn new(py: Python<'_>, mean: f64, variance: f64, difference: f64) -> PyResult<Self> {
        Ok(Self(core::RStatistic::new(mean, variance, difference).or_raise(py)?))
    }

    /// Takes a reading and gives R; None before the filters have run in, and while successive readings are identical.
    ///
    /// Parameters
    /// ----------
    /// value : float
    ///     The reading.
    ///
    /// Returns
    /// -------
    /// float or None
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.settling.RStatistic(0.2, 0.1, 0.1).push(1.0) is None
    /// True
    fn push(&mut self, py: Python<'_>, value: f64) -> PyResult<Option<f64>> {
        self.0.push(value).or_raise(py)
    }

    fn __repr__(&self) -> &'static str {
        "RStatistic()"
    }
}

/// Judges a whole record: the state after its last reading, as `Monitor` gives it.
///
/// Parameters
/// ----------
/// time_s : array-like
///     Times of the readings, s, rising.
/// value : array-like
///     The readings, in any unit.
/// window_s, max_slope_per_min, max_scatter, dwell_s, confidence, spike_limit, resolution : float
///     As `Monitor`.
///
/// Returns
/// -------
/// SettledState
///
/// Raises
/// ------
/// LengthMismatchError, TooFewPointsError, InvalidValueError, OutOfRangeError, NotFiniteError
///
/// Examples
/// --------
/// >>> time_s = np.arange(0.0, 600.0, 10.0)
/// >>> cc.settling.settled(time_s, 0.01 * time_s, window_s=300.0, max_slope_per_min=0.01, max_scatter=0.005).reason
/// 'slope'
#[pyfunction]
#[pyo3(signature = (time_s, value, *, window_s, max_slope_per_min, max_scatter, dwell_s=0.0, confidence=0.95,
                    spike_limit=5.0, resolution=0.0))]
#[allow(clippy::too_many_arguments)]
fn settled(
    time_s: &Bound<'_, PyAny>,
    value: &Bound<'_, PyAny>,
    window_s: f64,
    max_slope_per_min: f64,
    max_scatter: f64,
    dwell_s: f64,
    confidence: f64,
    spike_limit: f64,
    resolution: f64,
) -> PyResult<SettledState> {
    let py = time_s.py();
    let (time_s, value) = (series("time_s", time_s)?, series("value", value)?);
    let criterion = core::SettledCriterion {
        window_s,
        max_slope_per_min,
        max_scatter,
        dwell_s,
        confidence,
        spike_limit,
        resolution,
    };
    let state = py.detach(|| core::settled(&time_s, &value, criterion));
    Ok(SettledState(state.or_raise(py)?))
}

/// Rate of change of a record by a straight line, per minute, without its spikes.
///
/// Parameters
/// ----------
/// time_s : array-like
///     Times of the readings, s, rising.
/// value : array-like
///     The readings, in any unit.
/// spike_limit : float
///     From how many robust standard deviations a reading is a spike; infinite for none.
/// resolution : float
///     Resolution of the readings; a reading no further away is no spike.
///     Among readings most of which are identical their scatter is 0 and nothing is called a spike unless the resolution
///     is given.
///
/// Returns
/// -------
/// Trend
///
/// Raises
/// ------
/// LengthMismatchError, TooFewPointsError, NotFiniteError, InvalidValueError
///
/// Source
/// ------
/// Theil, Proc. Kon. Ned. Akad. Wetensch. 53 (1950), from memory; Hampel's identifier with the factor 1.4826.
///
/// Examples
/// --------
/// >>> cc.settling.drift([0.0, 60.0, 120.0], [1.0, 2.0, 3.0]).slope_per_min
/// 1.0
#[pyfunction]
#[pyo3(signature = (time_s, value, *, spike_limit=5.0, resolution=0.0))]
fn drift(time_s: &Bound<'_, PyAny>, value: &Bound<'_, PyAny>, spike_limit: f64, resolution: f64) -> PyResult<Trend> {
    let py = time_s.py();
    let (time_s, value) = (series("time_s", time_s)?, series("value", value)?);
    Ok(Trend(py.detach(|| core::drift(&time_s, &value, spike_limit, resolution)).or_raise(py)?))
}

/// Value of a record at a moment: straight between the readings before and after it, along its line outside.
///
/// Parameters
/// ----------
/// time_s : array-like
///     Times of the readings, s, rising.
/// value : array-like
///     The readings, in any unit.
/// at_s : float or array-like
///     The moment, s.
/// max_extrapolation_s : float
///     How far outside the record the moment may lie, s.
///
/// Returns
/// -------
/// ReferenceAt, or record array of the shape of `at_s`
///     Its fields have the names of the attributes.
///
/// Raises
/// ------
/// LengthMismatchError, TooFewPointsError, NotFiniteError, InvalidValueError
/// OutOfRangeError
///     Too far outside.
///
/// Source
/// ------
/// Common practice, no source.
///
/// Examples
/// --------
/// >>> cc.settling.reference_at([0.0, 10.0], [100.0, 100.5], 5.0).value
/// 100.25
#[pyfunction]
#[pyo3(signature = (time_s, value, at_s, *, max_extrapolation_s=0.0))]
fn reference_at<'py>(
    time_s: &Bound<'py, PyAny>,
    value: &Bound<'py, PyAny>,
    at_s: &Bound<'py, PyAny>,
    max_extrapolation_s: f64,
) -> PyResult<Bound<'py, PyAny>> {
    let py = at_s.py();
    let (time_s, value) = (series("time_s", time_s)?, series("value", value)?);
    let at = |moment_s: f64| core::reference_at(&time_s, &value, moment_s, max_extrapolation_s);
    if let Numbers::One(moment_s) = Numbers::read("at_s", at_s)? {
        return Ok(ReferenceAt(at(moment_s).or_raise(py)?).into_pyobject(py)?.into_any());
    }
    let fields = ["value", "standard_uncertainty", "extrapolated"];
    let numbers = |[moment_s]: [f64; 1]| {
        let found = at(moment_s)?;
        Ok([found.value, found.standard_uncertainty, f64::from(u8::from(found.extrapolated))])
    };
    let made = records((["at_s"], [at_s]), "raise", fields, numbers, |numbers| numbers.to_vec())?;
    // What is no number becomes a bool, as in the attribute.
    let numpy = py.import("numpy")?;
    let types = fields.into_iter().zip(["f8", "f8", "?"]).collect::<Vec<_>>();
    made.call_method1("astype", (types,))?.call_method1("view", (numpy.getattr("recarray")?,))
}

/// How far a thermometer with a time constant stays behind in a ramp, K.
///
/// Parameters
/// ----------
/// time_constant_s : float or array-like
///     s.
/// rate_per_min : float or array-like
///     K/min.
///
/// Returns
/// -------
/// float or array of the common shape
///     K; positive where it reads low in a rise.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> cc.settling.lag(60.0, 0.02)
/// 0.02
#[pyfunction]
#[pyo3(signature = (time_constant_s, rate_per_min))]
fn lag<'py>(time_constant_s: &Bound<'py, PyAny>, rate_per_min: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    elementwise2(["time_constant_s", "rate_per_min"], [time_constant_s, rate_per_min], core::lag)
}

/// Correction of an error for the lag of instrument and reference in a ramp, and its standard uncertainty, K.
///
/// Parameters
/// ----------
/// instrument_s, reference_s : float or array-like
///     Time constants, s.
/// rate_per_min : float or array-like
///     K/min.
/// u_rate_per_min : float or array-like
///     Its standard uncertainty, K/min.
///
/// Returns
/// -------
/// (float, float), or two arrays of the common shape
///     What is to be added to the error, and its standard uncertainty, K.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///
/// Examples
/// --------
/// >>> cc.settling.lag_correction(120.0, 60.0, 0.5)
/// (0.5, 0.0)
#[pyfunction]
#[pyo3(
    signature = (instrument_s, reference_s, rate_per_min, u_rate_per_min=None),
    text_signature = "(instrument_s, reference_s, rate_per_min, u_rate_per_min=0.0)"
)]
fn lag_correction<'py>(
    instrument_s: &Bound<'py, PyAny>,
    reference_s: &Bound<'py, PyAny>,
    rate_per_min: &Bound<'py, PyAny>,
    u_rate_per_min: Option<&Bound<'py, PyAny>>,
) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
    let exact = PyFloat::new(instrument_s.py(), 0.0).into_any();
    let names = ["instrument_s", "reference_s", "rate_per_min", "u_rate_per_min"];
    let arguments = [instrument_s, reference_s, rate_per_min, u_rate_per_min.unwrap_or(&exact)];
    let correction =
        elementwise_of(names, arguments, |[a, b, c, d]| Ok(core::lag_correction(a, b, c, d)?.correction_k))?;
    let u =
        elementwise_of(names, arguments, |[a, b, c, d]| Ok(core::lag_correction(a, b, c, d)?.standard_uncertainty_k))?;
    Ok((correction, u))
}

/// Correlation of neighbouring values about their mean; 0 for a record without scatter.
///
/// Parameters
/// ----------
/// values : array-like
///     The record.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// TooFewPointsError, NotFiniteError
///
/// Source
/// ------
/// Box, Jenkins, Time Series Analysis (from memory).
///
/// Examples
/// --------
/// >>> cc.settling.lag_1_autocorrelation([1.0, -1.0, 1.0, -1.0])
/// -0.75
#[pyfunction]
#[pyo3(signature = (values))]
fn lag_1_autocorrelation(values: &Bound<'_, PyAny>) -> PyResult<f64> {
    core::lag_1_autocorrelation(&series("values", values)?).or_raise(values.py())
}

/// Number of independent readings that autocorrelated ones are worth for their mean.
///
/// Parameters
/// ----------
/// readings : int
///     How many there are.
/// correlation : float or array-like
///     Correlation of neighbouring readings; a negative one is taken for none.
///
/// Returns
/// -------
/// float or array of the same shape
///
/// Raises
/// ------
/// OutOfRangeError, NotFiniteError, TooFewPointsError
///
/// Source
/// ------
/// The variance of the mean of a first-order autoregressive process (textbooks; from memory).
///
/// Examples
/// --------
/// >>> cc.settling.effective_count(30, 0.5)
/// 10.0
#[pyfunction]
#[pyo3(signature = (readings, correlation))]
fn effective_count<'py>(
    #[pyo3(from_py_with = whole_number)] readings: usize,
    correlation: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise("correlation", correlation, |correlation| core::effective_count(readings, correlation))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Trend>()?;
    module.add_class::<SettledState>()?;
    module.add_class::<Wait>()?;
    module.add_class::<ReferenceAt>()?;
    module.add_class::<Monitor>()?;
    module.add_class::<RStatistic>()?;
    for function in [
        wrap_pyfunction!(settled, module)?,
        wrap_pyfunction!(drift, module)?,
        wrap_pyfunction!(reference_at, module)?,
        wrap_pyfunction!(lag, module)?,
        wrap_pyfunction!(lag_correction, module)?,
        wrap_pyfunction!(lag_1_autocorrelation, module)?,
        wrap_pyfunction!(effective_count, module)?,
    ] {
        add_function(module, "settling", &function)?;
    }
    Ok(())
}
