//! The Callendar-Van Dusen curve.

use super::{signal, slope, temperature};
use crate::errors::OrRaise;
use crate::objects::reduced;
use calcore::curves::{self, SensorCurve};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple, PyType};

/// A platinum resistance thermometer by R0, A, B and C of the Callendar-Van Dusen equation.
///
/// R(t) = R0 (1 + A t + B t² + C (t - 100) t³), with C = 0 from 0 °C up. The inverse is exact.
///
/// Parameters
/// ----------
/// r0 : float
///     Resistance at 0 °C, ohm.
/// a, b, c : float
///     Coefficients, 1/K, 1/K² and 1/K⁴.
/// range_c : (float, float), optional
///     Lowest and highest temperature, °C; that of IEC 60751, -200 to 850, unless given.
///
/// Raises
/// ------
/// NotFiniteError
///     For NaN and infinity.
/// InvalidValueError
///     Unless `r0` and `a` are positive and the resistance rises over the whole range.
///
/// Source
/// ------
/// IEC 60751:2022, clause 4; M. S. Van Dusen, J. Am. Chem. Soc. 47 (1925) 326.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen(100.0, 3.9083e-3, -5.775e-7, -4.183e-12)
/// >>> round(pt100.resistance(100.0), 4)
/// 138.5055
/// >>> pt100.temperature(np.array([100.0, 138.5055])).round(9)
/// array([  0., 100.])
#[pyclass(frozen, eq, module = "calcore", name = "CallendarVanDusen")]
#[derive(Clone, PartialEq)]
pub(crate) struct CallendarVanDusen(pub(crate) curves::CallendarVanDusen);

#[pymethods]
impl CallendarVanDusen {
    #[new]
    #[pyo3(signature = (r0, a, b, c=0.0, *, range_c=None))]
    fn new(py: Python<'_>, r0: f64, a: f64, b: f64, c: f64, range_c: Option<(f64, f64)>) -> PyResult<Self> {
        let curve = match range_c {
            None => curves::CallendarVanDusen::new(r0, a, b, c),
            Some((low, high)) => curves::CallendarVanDusen::with_range(r0, a, b, c, low, high),
        };
        Ok(Self(curve.or_raise(py)?))
    }

    /// Platinum by the coefficients of IEC 60751.
    ///
    /// Parameters
    /// ----------
    /// r0 : float
    ///     Resistance at 0 °C, ohm.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///     Unless `r0` is positive.
    ///
    /// Source
    /// ------
    /// IEC 60751:2022, clause 4.
    ///
    /// Examples
    /// --------
    /// >>> cc.CallendarVanDusen.iec60751(1000.0).r0
    /// 1000.0
    #[classmethod]
    #[pyo3(signature = (r0=100.0))]
    fn iec60751(_class: &Bound<'_, PyType>, py: Python<'_>, r0: f64) -> PyResult<Self> {
        Ok(Self(curves::CallendarVanDusen::iec60751(r0).or_raise(py)?))
    }

    /// A thermometer by Callendar's and Van Dusen's constants.
    ///
    /// A = alpha (1 + delta/100), B = -alpha delta 1e-4, C = -alpha beta 1e-8.
    ///
    /// Parameters
    /// ----------
    /// r0 : float
    ///     Resistance at 0 °C, ohm.
    /// alpha : float
    ///     Mean temperature coefficient between 0 °C and 100 °C, 1/K.
    /// delta, beta : float
    ///     The other two constants, °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///     As the constructor.
    ///
    /// Source
    /// ------
    /// M. S. Van Dusen, J. Am. Chem. Soc. 47 (1925) 326.
    ///
    /// Examples
    /// --------
    /// >>> curve = cc.CallendarVanDusen.from_alpha_delta_beta(100.0, 3.85055e-3, 1.49979, 0.10863)
    /// >>> round(curve.a, 7), round(curve.b, 10)
    /// (0.0039083, -5.775e-07)
    #[classmethod]
    #[pyo3(signature = (r0, alpha, delta, beta=0.0))]
    fn from_alpha_delta_beta(
        _class: &Bound<'_, PyType>,
        py: Python<'_>,
        r0: f64,
        alpha: f64,
        delta: f64,
        beta: f64,
    ) -> PyResult<Self> {
        Ok(Self(curves::CallendarVanDusen::from_alpha_delta_beta(r0, alpha, delta, beta).or_raise(py)?))
    }

    /// Resistance at a temperature, ohm.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature on the ITS-90, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// extrapolate : bool
    ///     Whether to use the equation beyond the range, as far as it rises.
    /// out : array, optional
    ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
    ///     are then spared fresh memory. After an error its content means nothing.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     ohm.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///     Over arrays with the index of the first such element and their count.
    ///
    /// Source
    /// ------
    /// IEC 60751:2022, clause 4.
    ///
    /// Examples
    /// --------
    /// >>> pt100 = cc.CallendarVanDusen.iec60751()
    /// >>> pt100.resistance([-200.0, 0.0, 850.0]).round(2)
    /// array([ 18.52, 100.  , 390.48])
    /// >>> pt100.resistance(900.0, invalid="nan")
    /// nan
    #[pyo3(signature = (t_c, *, invalid="raise", extrapolate=false, out=None))]
    fn resistance<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        invalid: &str,
        extrapolate: bool,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        signal(&self.0, "t_c", t_c, invalid, extrapolate, out)
    }

    /// Temperature that gives a resistance, °C.
    ///
    /// Parameters
    /// ----------
    /// ohm : float or array-like
    ///     Resistance, ohm.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// extrapolate : bool
    ///     Whether to use the equation beyond the range, as far as it rises.
    /// out : array, optional
    ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
    ///     are then spared fresh memory. After an error its content means nothing.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     °C on the ITS-90.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///     Over arrays with the index of the first such element and their count.
    ///
    /// Source
    /// ------
    /// IEC 60751:2022, clause 4.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.CallendarVanDusen.iec60751().temperature(60.2558), 4)
    /// -100.0001
    #[pyo3(signature = (ohm, *, invalid="raise", extrapolate=false, out=None))]
    fn temperature<'py>(
        &self,
        ohm: &Bound<'py, PyAny>,
        invalid: &str,
        extrapolate: bool,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        temperature(&self.0, "ohm", ohm, invalid, extrapolate, out)
    }

    /// Change of the resistance per kelvin, ohm/K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature on the ITS-90, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// extrapolate : bool
    ///     Whether to use the equation beyond the range, as far as it rises.
    /// out : array, optional
    ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
    ///     are then spared fresh memory. After an error its content means nothing.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     ohm/K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///     Over arrays with the index of the first such element and their count.
    ///
    /// Source
    /// ------
    /// IEC 60751:2022, clause 4, differentiated.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.CallendarVanDusen.iec60751().slope(0.0), 5)
    /// 0.39083
    #[pyo3(signature = (t_c, *, invalid="raise", extrapolate=false, out=None))]
    fn slope<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        invalid: &str,
        extrapolate: bool,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        slope(&self.0, "t_c", t_c, invalid, extrapolate, out)
    }

    /// Resistance at 0 °C, ohm.
    #[getter]
    fn r0(&self) -> f64 {
        self.0.r0()
    }

    /// Coefficient A, 1/K.
    #[getter]
    fn a(&self) -> f64 {
        self.0.a()
    }

    /// Coefficient B, 1/K².
    #[getter]
    fn b(&self) -> f64 {
        self.0.b()
    }

    /// Coefficient C, 1/K⁴.
    #[getter]
    fn c(&self) -> f64 {
        self.0.c()
    }

    /// Mean temperature coefficient between 0 °C and 100 °C, A + 100 B, 1/K.
    #[getter]
    fn alpha(&self) -> f64 {
        self.0.alpha()
    }

    /// Callendar's constant, -1e4 B / alpha, °C.
    #[getter]
    fn delta(&self) -> f64 {
        self.0.delta()
    }

    /// Van Dusen's constant, -1e8 C / alpha, °C.
    #[getter]
    fn beta(&self) -> f64 {
        self.0.beta()
    }

    /// Lowest and highest temperature, °C.
    #[getter]
    fn range(&self) -> (f64, f64) {
        (self.0.range().low, self.0.range().high)
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        format!(
            "CallendarVanDusen(r0={:?} ohm, a={:?} /K, b={:?} /K², c={:?} /K⁴, range {low} to {high} °C)",
            self.r0(),
            self.a(),
            self.b(),
            self.c(),
        )
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.r0(), self.a(), self.b(), self.c(), self.range()).into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let curve = slf.get();
        let options = PyDict::new(slf.py());
        options.set_item("range_c", curve.range())?;
        reduced(slf.as_any(), (curve.r0(), curve.a(), curve.b(), curve.c()), &options)
    }
}
