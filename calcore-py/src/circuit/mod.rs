//! What lies between a sensor and a reading: the current loop, and errors of indication in every unit.

mod connection;
mod display;
mod effects;
mod values;

use crate::arrays::Numbers;
use crate::errors::OrRaise;
use crate::objects::{add_function, reduced};
use crate::records::elementwise_all;
use calcore::circuit::{self as core, Correction, IndicationError};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// The currents that mark failure and saturation of a transmitter, mA.
///
/// Parameters
/// ----------
/// failed_low_ma, saturated_low_ma, saturated_high_ma, failed_high_ma : float
///     mA; those of NAMUR NE 43 unless given.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     Unless failure, saturation, 4 mA, 20 mA, saturation and failure follow each other in this order.
///
/// Source
/// ------
/// NAMUR NE 43 (2021).
///
/// Examples
/// --------
/// >>> cc.circuit.SignalLevels(failed_high_ma=22.0)
/// SignalLevels(failed 3.6 mA, saturated 3.8 mA to 20.5 mA, failed 22 mA)
#[pyclass(frozen, eq, module = "calcore.circuit", name = "SignalLevels")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct SignalLevels(core::SignalLevels);

#[pymethods]
impl SignalLevels {
    #[new]
    #[pyo3(signature = (failed_low_ma=3.6, saturated_low_ma=3.8, saturated_high_ma=20.5, failed_high_ma=21.0))]
    fn new(
        py: Python<'_>,
        failed_low_ma: f64,
        saturated_low_ma: f64,
        saturated_high_ma: f64,
        failed_high_ma: f64,
    ) -> PyResult<Self> {
        let levels = core::SignalLevels::new(failed_low_ma, saturated_low_ma, saturated_high_ma, failed_high_ma);
        Ok(Self(levels.or_raise(py)?))
    }

    /// At or below: failure, mA.
    #[getter]
    fn failed_low_ma(&self) -> f64 {
        self.0.failed_low_ma
    }

    /// Lowest measuring current, mA.
    #[getter]
    fn saturated_low_ma(&self) -> f64 {
        self.0.saturated_low_ma
    }

    /// Highest measuring current, mA.
    #[getter]
    fn saturated_high_ma(&self) -> f64 {
        self.0.saturated_high_ma
    }

    /// At or above: failure, mA.
    #[getter]
    fn failed_high_ma(&self) -> f64 {
        self.0.failed_high_ma
    }

    /// What a current says about the transmitter.
    ///
    /// Parameters
    /// ----------
    /// ma : float or array-like
    ///     Loop current, mA.
    ///
    /// Returns
    /// -------
    /// str or array of str
    ///     "failed_low", "undefined_low", "measuring", "undefined_high" or "failed_high".
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Source
    /// ------
    /// NAMUR NE 43 (2021).
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.SignalLevels().status([3.5, 3.7, 12.0, 20.8, 21.0]).tolist()
    /// ['failed_low', 'undefined_low', 'measuring', 'undefined_high', 'failed_high']
    fn status<'py>(&self, ma: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        let name = |x: f64| self.0.status(x).map(core::CurrentStatus::name);
        let py = ma.py();
        match Numbers::read("ma", ma)? {
            Numbers::One(value) => Ok(name(value).or_raise(py)?.into_pyobject(py)?.into_any()),
            many @ Numbers::Many(_) => many.names(name),
        }
    }

    fn __repr__(&self) -> String {
        let core::SignalLevels { failed_low_ma, saturated_low_ma, saturated_high_ma, failed_high_ma } = self.0;
        format!(
            "SignalLevels(failed {failed_low_ma} mA, saturated {saturated_low_ma} mA to {saturated_high_ma} mA, \
             failed {failed_high_ma} mA)"
        )
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        self.values().into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        reduced(slf.as_any(), slf.get().values(), &PyDict::new(slf.py()))
    }
}

impl SignalLevels {
    fn values(&self) -> (f64, f64, f64, f64) {
        (self.0.failed_low_ma, self.0.saturated_low_ma, self.0.saturated_high_ma, self.0.failed_high_ma)
    }
}

/// A 4 mA to 20 mA output or input with its range.
///
/// I = 4 mA + 16 mA (t - LRV) / (URV - LRV); the range may be reversed.
///
/// Parameters
/// ----------
/// lower_range_value_c, upper_range_value_c : float
///     Value at 4 mA and at 20 mA, °C.
/// levels : SignalLevels, optional
///     Currents that mark failure and saturation; those of NAMUR NE 43 unless given.
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError
///     When both values are equal.
///
/// Source
/// ------
/// IEC 60381-1:1982; NAMUR NE 43 (2021).
///
/// Examples
/// --------
/// >>> loop = cc.circuit.CurrentLoop(0.0, 150.0)
/// >>> loop.value([4.0, 12.0, 20.0])
/// array([  0.,  75., 150.])
/// >>> loop.current(75.0)
/// 12.0
#[pyclass(frozen, eq, module = "calcore.circuit", name = "CurrentLoop")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct CurrentLoop(core::CurrentLoop);

#[pymethods]
impl CurrentLoop {
    #[new]
    #[pyo3(signature = (lower_range_value_c, upper_range_value_c, *, levels=None))]
    fn new(
        py: Python<'_>,
        lower_range_value_c: f64,
        upper_range_value_c: f64,
        levels: Option<Bound<'_, SignalLevels>>,
    ) -> PyResult<Self> {
        let levels = levels.map(|levels| levels.get().0).unwrap_or_default();
        Ok(Self(core::CurrentLoop::with_levels(lower_range_value_c, upper_range_value_c, levels).or_raise(py)?))
    }

    /// Value at 4 mA, °C.
    #[getter]
    fn lower_range_value_c(&self) -> f64 {
        self.0.lower_range_value_c()
    }

    /// Value at 20 mA, °C.
    #[getter]
    fn upper_range_value_c(&self) -> f64 {
        self.0.upper_range_value_c()
    }

    /// Currents that mark failure and saturation.
    #[getter]
    fn levels(&self) -> SignalLevels {
        SignalLevels(self.0.levels())
    }

    /// Upper minus lower range value, K: negative for a reversed range.
    #[getter]
    fn signed_span_k(&self) -> f64 {
        self.0.signed_span_k()
    }

    /// Change of the value with the current, K/mA: negative for a reversed range.
    #[getter]
    fn kelvins_per_ma(&self) -> f64 {
        self.0.kelvins_per_ma()
    }

    /// Current that an ideal transmitter gives at a value, mA.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Value, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     mA.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// OutOfRangeError
    ///     When the current would lie beyond saturation, see `saturated_current`.
    ///
    /// Source
    /// ------
    /// IEC 60381-1:1982.
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(-50.0, 150.0).current([-50.0, 50.0])
    /// array([ 4., 12.])
    #[pyo3(signature = (t_c, *, invalid="raise"))]
    fn current<'py>(&self, t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["t_c"], [t_c], invalid, |[x]| self.0.current(x))
    }

    /// Current of a transmitter that stops at the saturation levels, mA.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Value, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     mA.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Source
    /// ------
    /// NAMUR NE 43 (2021).
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 100.0).saturated_current([-50.0, 50.0, 500.0])
    /// array([ 3.8, 12. , 20.5])
    #[pyo3(signature = (t_c, *, invalid="raise"))]
    fn saturated_current<'py>(&self, t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["t_c"], [t_c], invalid, |[x]| self.0.saturated_current(x))
    }

    /// Value that a measuring current means, °C.
    ///
    /// Parameters
    /// ----------
    /// ma : float or array-like
    ///     Loop current, mA.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// OutOfRangeError
    ///     For a current that is not measuring: a failed or saturated loop has no value.
    ///
    /// Source
    /// ------
    /// IEC 60381-1:1982.
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 200.0).value(16.0)
    /// 150.0
    #[pyo3(signature = (ma, *, invalid="raise"))]
    fn value<'py>(&self, ma: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["ma"], [ma], invalid, |[x]| self.0.value(x))
    }

    /// Value by the straight line for any current, whatever it says about the transmitter, °C.
    ///
    /// Parameters
    /// ----------
    /// ma : float or array-like
    ///     Loop current, mA.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Source
    /// ------
    /// IEC 60381-1:1982.
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 160.0).extrapolated_value(22.0)
    /// 180.0
    #[pyo3(signature = (ma, *, invalid="raise"))]
    fn extrapolated_value<'py>(&self, ma: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["ma"], [ma], invalid, |[x]| self.0.extrapolated_value(x))
    }

    /// What a current says about the transmitter.
    ///
    /// Parameters
    /// ----------
    /// ma : float or array-like
    ///     Loop current, mA.
    ///
    /// Returns
    /// -------
    /// str or array of str
    ///     "failed_low", "undefined_low", "measuring", "undefined_high" or "failed_high".
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Source
    /// ------
    /// NAMUR NE 43 (2021).
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 100.0).status(3.5)
    /// 'failed_low'
    fn status<'py>(&self, ma: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        self.levels().status(ma)
    }

    /// Error of a current: the current minus that of an ideal transmitter at the reference, mA.
    ///
    /// Parameters
    /// ----------
    /// ma : float or array-like
    ///     Loop current, mA.
    /// reference_c : float or array-like
    ///     True temperature, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     mA.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 160.0).error_ma([4.5, 12.25], [0.0, 80.0])
    /// array([0.5 , 0.25])
    #[pyo3(signature = (ma, reference_c, *, invalid="raise"))]
    fn error_ma<'py>(
        &self,
        ma: &Bound<'py, PyAny>,
        reference_c: &Bound<'py, PyAny>,
        invalid: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["ma", "reference_c"], [ma, reference_c], invalid, |[x, y]| self.0.error_ma(x, y))
    }

    /// Error of the value that an error of the current means, K.
    ///
    /// Parameters
    /// ----------
    /// error_ma : float or array-like
    ///     mA.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     K; of opposite sign for a reversed range.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 160.0).error_k_from_ma(0.5)
    /// 5.0
    #[pyo3(signature = (error_ma, *, invalid="raise"))]
    fn error_k_from_ma<'py>(&self, error_ma: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["error_ma"], [error_ma], invalid, |[x]| self.0.error_k_from_ma(x))
    }

    /// Error of the current that an error of the value means, mA.
    ///
    /// Parameters
    /// ----------
    /// error_k : float or array-like
    ///     K.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     mA; of opposite sign for a reversed range.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(160.0, 0.0).error_ma_from_k(5.0)
    /// -0.5
    #[pyo3(signature = (error_k, *, invalid="raise"))]
    fn error_ma_from_k<'py>(&self, error_k: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["error_k"], [error_k], invalid, |[x]| self.0.error_ma_from_k(x))
    }

    /// Error of the value in percent of the span.
    ///
    /// Parameters
    /// ----------
    /// error_k : float or array-like
    ///     K.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     Percent of the span.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop(0.0, 200.0).percent_of_span_from_k(1.0)
    /// 0.5
    #[pyo3(signature = (error_k, *, invalid="raise"))]
    fn percent_of_span_from_k<'py>(&self, error_k: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["error_k"], [error_k], invalid, |[x]| self.0.percent_of_span_from_k(x))
    }

    /// Error of the current in percent of the span of the current, 16 mA.
    ///
    /// Parameters
    /// ----------
    /// error_ma : float or array-like
    ///     mA.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     Percent of the span.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.CurrentLoop.percent_of_span_from_ma(0.04)
    /// 0.25
    #[staticmethod]
    #[pyo3(signature = (error_ma, *, invalid="raise"))]
    fn percent_of_span_from_ma<'py>(error_ma: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["error_ma"], [error_ma], invalid, |[x]| core::CurrentLoop::percent_of_span_from_ma(x))
    }

    fn __repr__(&self) -> String {
        format!("CurrentLoop(4 mA at {} °C, 20 mA at {} °C)", self.lower_range_value_c(), self.upper_range_value_c())
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.lower_range_value_c(), self.upper_range_value_c(), self.levels().values()).into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let current_loop = slf.get();
        let options = PyDict::new(slf.py());
        options.set_item("levels", current_loop.levels())?;
        reduced(slf.as_any(), (current_loop.lower_range_value_c(), current_loop.upper_range_value_c()), &options)
    }
}

/// Error of an indication: indicated minus reference, K.
///
/// Parameters
/// ----------
/// indicated_c, reference_c : float or array-like
///     °C.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError
///
/// Source
/// ------
/// JCGM 200:2012 (VIM), 2.16.
///
/// Examples
/// --------
/// >>> cc.circuit.indication_error([100.5, 50.0], [100.0, 50.25])
/// array([ 0.5 , -0.25])
#[pyfunction]
#[pyo3(signature = (indicated_c, reference_c, *, invalid="raise"))]
fn indication_error<'py>(
    indicated_c: &Bound<'py, PyAny>,
    reference_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["indicated_c", "reference_c"], [indicated_c, reference_c], invalid, |[indicated, reference]| {
        Ok(IndicationError::from_readings(indicated, reference)?.kelvins())
    })
}

/// The indication with its error undone, °C.
///
/// Parameters
/// ----------
/// indicated_c : float or array-like
///     °C.
/// error_k : float or array-like
///     Error of the indication, K; the correction is its negative.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     °C.
///
/// Raises
/// ------
/// NotFiniteError
///
/// Source
/// ------
/// JCGM 200:2012 (VIM), 2.53.
///
/// Examples
/// --------
/// >>> cc.circuit.corrected(100.5, 0.5)
/// 100.0
#[pyfunction]
#[pyo3(signature = (indicated_c, error_k, *, invalid="raise"))]
fn corrected<'py>(
    indicated_c: &Bound<'py, PyAny>,
    error_k: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["indicated_c", "error_k"], [indicated_c, error_k], invalid, |[indicated, error]| {
        let correction: Correction = IndicationError::new(error)?.correction();
        correction.apply(indicated)
    })
}

/// An error in percent of the span.
///
/// Parameters
/// ----------
/// error_k : float or array-like
///     K.
/// low_c, high_c : float or array-like
///     Ends of the range, °C; which is given first does not matter.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     Percent of the span.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     For an empty span.
///
/// Examples
/// --------
/// >>> cc.circuit.percent_of_span(0.5, 0.0, 200.0)
/// 0.25
#[pyfunction]
#[pyo3(signature = (error_k, low_c, high_c, *, invalid="raise"))]
fn percent_of_span<'py>(
    error_k: &Bound<'py, PyAny>,
    low_c: &Bound<'py, PyAny>,
    high_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["error_k", "low_c", "high_c"], [error_k, low_c, high_c], invalid, |[x, low, high]| {
        IndicationError::new(x)?.percent_of_span(low, high)
    })
}

/// An error in percent of the size of the reading in °C.
///
/// Parameters
/// ----------
/// error_k : float or array-like
///     K.
/// reading_c : float or array-like
///     °C.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     Percent of the reading.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     At 0 °C, where it is not defined.
///
/// Examples
/// --------
/// >>> cc.circuit.percent_of_reading(0.5, [-100.0, 200.0])
/// array([0.5 , 0.25])
#[pyfunction]
#[pyo3(signature = (error_k, reading_c, *, invalid="raise"))]
fn percent_of_reading<'py>(
    error_k: &Bound<'py, PyAny>,
    reading_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["error_k", "reading_c"], [error_k, reading_c], invalid, |[x, reading]| {
        IndicationError::new(x)?.percent_of_reading(reading)
    })
}

/// The error that a percentage of the span means, K.
///
/// Parameters
/// ----------
/// percent : float or array-like
///     Percent of the span.
/// low_c, high_c : float or array-like
///     Ends of the range, °C; which is given first does not matter.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError
/// InvalidValueError
///     For an empty span.
///
/// Examples
/// --------
/// >>> cc.circuit.error_from_percent_of_span(0.25, 0.0, 200.0)
/// 0.5
#[pyfunction]
#[pyo3(signature = (percent, low_c, high_c, *, invalid="raise"))]
fn error_from_percent_of_span<'py>(
    percent: &Bound<'py, PyAny>,
    low_c: &Bound<'py, PyAny>,
    high_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["percent", "low_c", "high_c"], [percent, low_c, high_c], invalid, |[x, low, high]| {
        Ok(IndicationError::from_percent_of_span(x, low, high)?.kelvins())
    })
}

/// The error that a percentage of a reading in °C means, K.
///
/// Parameters
/// ----------
/// percent : float or array-like
///     Percent of the reading.
/// reading_c : float or array-like
///     °C.
/// invalid : {"raise", "nan"}
///     What a NaN or an infinity gives.
///
/// Returns
/// -------
/// float or array of the common shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError
///
/// Examples
/// --------
/// >>> cc.circuit.error_from_percent_of_reading(0.25, 200.0)
/// 0.5
#[pyfunction]
#[pyo3(signature = (percent, reading_c, *, invalid="raise"))]
fn error_from_percent_of_reading<'py>(
    percent: &Bound<'py, PyAny>,
    reading_c: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["percent", "reading_c"], [percent, reading_c], invalid, |[x, reading]| {
        Ok(IndicationError::from_percent_of_reading(x, reading)?.kelvins())
    })
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    values::register(module)?;
    effects::register(module)?;
    connection::register(module)?;
    display::register(module)?;
    module.add_class::<SignalLevels>()?;
    module.add_class::<CurrentLoop>()?;
    for function in [
        wrap_pyfunction!(indication_error, module)?,
        wrap_pyfunction!(corrected, module)?,
        wrap_pyfunction!(percent_of_span, module)?,
        wrap_pyfunction!(percent_of_reading, module)?,
        wrap_pyfunction!(error_from_percent_of_span, module)?,
        wrap_pyfunction!(error_from_percent_of_reading, module)?,
    ] {
        add_function(module, "circuit", &function)?;
    }
    Ok(())
}
