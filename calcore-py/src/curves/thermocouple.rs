//! Thermocouples.

use super::{Options, signal, slope, temperature};
use crate::arrays::{Beside, apply, apply_beside, elementwise, elementwise2};
use crate::errors::{OrRaise, without_position};
use crate::objects::{Series, reduced};
use calcore::curves::{self as core, ReferenceJunction, SensorCurve, Side};
use calcore::fit::CorrectedCurve;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

impl<'a> From<Beside<'a>> for ReferenceJunction<'a> {
    fn from(beside: Beside<'a>) -> Self {
        match beside {
            Beside::One(value) => Self::At(value),
            Beside::Each(values) => Self::Each(values),
        }
    }
}

/// A letter-designated thermocouple.
///
/// E(t) is the reference function of the type, the emf with the reference junction at t_r is E(t) - E(t_r): emfs are
/// added, never temperatures. The inverse is exact. Up to 42.132 °C two temperatures give the emf of type B: such an emf
/// is refused, unless the side of the minimum is said.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T", "A"}
///     Type.
/// side : {"lower", "upper"}, optional
///     Side of the minimum of the emf at 21.0203 °C, for type B only.
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// IEC 60584-1:2013 = NIST Monograph 175 (1993); type C: ASTM E230; type A: GOST R 8.585-2001, type A-1.
///
/// Examples
/// --------
/// >>> k = cc.Thermocouple("K")
/// >>> round(k.emf(100.0), 3)
/// 4.096
/// >>> round(k.temperature(3.0960, reference_junction_c=25.0), 2)
/// 100.0
#[pyclass(frozen, eq, module = "calcore")]
#[derive(Clone, PartialEq)]
pub(crate) struct Thermocouple(pub(crate) core::Thermocouple);

#[pymethods]
impl Thermocouple {
    #[new]
    #[pyo3(signature = (letter, *, side=None))]
    fn new(py: Python<'_>, letter: &str, side: Option<&str>) -> PyResult<Self> {
        let curve = core::Thermocouple::new(letter).and_then(|curve| match side {
            None => Ok(curve),
            Some(name) => curve.on_side(Side::from_name(name)?),
        });
        Ok(Self(curve.or_raise(py)?))
    }

    /// Emf at a temperature, mV, with the reference junction at another one.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature of the measuring junction on the ITS-90, °C.
    /// reference_junction_c : float or array-like
    ///     Temperature of the reference junction, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// extrapolate : bool
    ///     Refused: the reference functions mean nothing beyond their ranges.
    /// out : array, optional
    ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
    ///     are then spared fresh memory. After an error its content means nothing.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     mV.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///     Over arrays with the index of the first such element and their count.
    /// InvalidValueError
    ///     For an extrapolation.
    ///
    /// Source
    /// ------
    /// As the class.
    ///
    /// Examples
    /// --------
    /// >>> cc.Thermocouple("K").emf([0.0, 100.0], reference_junction_c=25.0).round(3)
    /// array([-1.   ,  3.096])
    #[pyo3(
        signature = (t_c, reference_junction_c=None, *, invalid="raise", extrapolate=false, out=None),
        text_signature = "($self, t_c, reference_junction_c=0.0, *, invalid='raise', extrapolate=False, out=None)"
    )]
    fn emf<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        reference_junction_c: Option<&Bound<'py, PyAny>>,
        invalid: &str,
        extrapolate: bool,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let options = Options::read(t_c.py(), invalid, extrapolate)?;
        let curve = self.0;
        let many = |x: &[f64], at: Beside<'_>, y: &mut [f64]| curve.emf_slice(x, at.into(), y, options.handling);
        beside(
            &options,
            ["t_c", "reference_junction_c"],
            (t_c, reference_junction_c, out),
            |x, r| curve.emf(x, r),
            many,
        )
    }

    /// Temperature that gives an emf, °C, with the reference junction at a temperature: the exact inverse.
    ///
    /// Parameters
    /// ----------
    /// mv : float or array-like
    ///     Emf, mV.
    /// reference_junction_c : float or array-like
    ///     Temperature of the reference junction, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// extrapolate : bool
    ///     Refused: the reference functions mean nothing beyond their ranges.
    /// out : array, optional
    ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
    ///     are then spared fresh memory. After an error its content means nothing.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     °C on the ITS-90.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///     Over arrays with the index of the first such element and their count.
    /// InvalidValueError
    ///     For an emf that two temperatures give (type B), and for an extrapolation.
    ///
    /// Source
    /// ------
    /// As the class.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.Thermocouple("S").temperature(1.0), 2)
    /// 146.3
    #[pyo3(
        signature = (mv, reference_junction_c=None, *, invalid="raise", extrapolate=false, out=None),
        text_signature = "($self, mv, reference_junction_c=0.0, *, invalid='raise', extrapolate=False, out=None)"
    )]
    fn temperature<'py>(
        &self,
        mv: &Bound<'py, PyAny>,
        reference_junction_c: Option<&Bound<'py, PyAny>>,
        invalid: &str,
        extrapolate: bool,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let options = Options::read(mv.py(), invalid, extrapolate)?;
        let curve = self.0;
        let many =
            |x: &[f64], at: Beside<'_>, y: &mut [f64]| curve.temperature_slice(x, at.into(), y, options.handling);
        beside(
            &options,
            ["mv", "reference_junction_c"],
            (mv, reference_junction_c, out),
            |x, r| curve.temperature(x, r),
            many,
        )
    }

    /// Change of the emf per kelvin (Seebeck coefficient), mV/K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature on the ITS-90, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// extrapolate : bool
    ///     Refused beyond the range of the reference function.
    /// out : array, optional
    ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
    ///     are then spared fresh memory. After an error its content means nothing.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     mV/K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///     Over arrays with the index of the first such element and their count.
    ///
    /// Source
    /// ------
    /// As the class, differentiated.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.Thermocouple("K").slope(0.0), 4)
    /// 0.0395
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

    /// Emf between two temperatures, mV: by the reference function at both, each anywhere in its range.
    ///
    /// Parameters
    /// ----------
    /// t_hot_c, t_cold_c : float or array-like
    ///     °C on the ITS-90; broadcast against each other.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     mV.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.Thermocouple("K").emf_between(100.0, 25.0), 4)
    /// 3.096
    fn emf_between<'py>(
        &self,
        t_hot_c: &Bound<'py, PyAny>,
        t_cold_c: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        elementwise2(["t_hot_c", "t_cold_c"], [t_hot_c, t_cold_c], |hot, cold| self.0.emf_between(hot, cold))
    }

    /// Temperature by the published approximate inverse, °C, with the reference junction at 0 °C.
    ///
    /// For comparison with instruments that compute this; `temperature` is exact.
    ///
    /// Parameters
    /// ----------
    /// mv : float or array-like
    ///     Emf, mV.
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
    /// NotFiniteError, OutOfRangeError
    /// UnknownNameError
    ///     For type C, for which none is published.
    ///
    /// Source
    /// ------
    /// NIST Monograph 175 (1993), tables of approximate inverse functions; type A: GOST R 8.585-2001.
    ///
    /// Examples
    /// --------
    /// >>> k = cc.Thermocouple("K")
    /// >>> bool(abs(k.temperature_approximate(k.emf(500.0)) - 500.0) < 0.06)
    /// True
    #[pyo3(signature = (mv, *, invalid="raise"))]
    fn temperature_approximate<'py>(&self, mv: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        let options = Options::read(mv.py(), invalid, false)?;
        let (curve, handling) = (self.0, options.handling);
        apply(
            "mv",
            mv,
            None,
            |x| {
                options.one(
                    x,
                    |x| curve.temperature_approximate(x),
                    |x, y, handling| curve.temperature_approximate_slice(x, y, handling.invalid),
                )
            },
            |x, y| curve.temperature_approximate_slice(x, y, handling.invalid),
        )
    }

    /// The stated error of the approximate inverse at an emf, from the lowest to the highest, K; None for type A.
    ///
    /// Parameters
    /// ----------
    /// mv : float or array-like
    ///     Emf, mV.
    ///
    /// Returns
    /// -------
    /// (float, float), two arrays of the same shape, or None
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError, UnknownNameError
    ///
    /// Source
    /// ------
    /// NIST Monograph 175 (1993), tables of approximate inverse functions.
    ///
    /// Examples
    /// --------
    /// >>> cc.Thermocouple("K").approximate_error_band_k(1.0)
    /// (-0.05, 0.04)
    fn approximate_error_band_k<'py>(
        &self,
        mv: &Bound<'py, PyAny>,
    ) -> PyResult<Option<(Bound<'py, PyAny>, Bound<'py, PyAny>)>> {
        let end = |pick: fn((f64, f64)) -> f64| {
            elementwise("mv", mv, |x| Ok(self.0.approximate_error_band_k(x)?.map_or(f64::NAN, pick)))
        };
        let (low, high) = (end(|band| band.0)?, end(|band| band.1)?);
        let stated = self.0.approximate_inverses().iter().all(|inverse| inverse.error_k.is_some());
        Ok(stated.then_some((low, high)))
    }

    /// Emf that the approximate inverse covers, mV; None for type C.
    #[getter]
    fn approximate_range(&self) -> Option<(f64, f64)> {
        self.0.approximate_range().map(|range| (range.low, range.high))
    }

    /// Letter of the type.
    #[getter]
    fn letter(&self) -> &'static str {
        self.0.kind().letter()
    }

    /// Side of the minimum of type B: "lower" or "upper"; None if it was not said.
    #[getter]
    fn side(&self) -> Option<&'static str> {
        self.0.side().map(Side::name)
    }

    /// Lowest and highest temperature, °C.
    #[getter]
    fn range(&self) -> (f64, f64) {
        (self.0.range().low, self.0.range().high)
    }

    /// Proven bound of the error of the computed emf, mV.
    #[getter]
    fn emf_error_bound_mv(&self) -> f64 {
        self.0.kind().emf_error_bound_mv()
    }

    /// Proven bound of the error of the computed inverse, K.
    #[getter]
    fn inverse_error_bound_k(&self) -> f64 {
        self.0.kind().inverse_error_bound_k()
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        let side = self.side().map_or(String::new(), |side| format!(", {side} side"));
        format!("Thermocouple(type {}{side}, range {low} to {high} °C)", self.letter())
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.letter(), self.side()).into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let options = PyDict::new(slf.py());
        if let Some(side) = slf.get().side() {
            options.set_item("side", side)?;
        }
        reduced(slf.as_any(), (slf.get().letter(),), &options)
    }
}

/// A quantity beside the temperature of the reference junction, 0 °C unless given.
fn beside<'py>(
    options: &Options,
    names: [&str; 2],
    (argument, reference_junction_c, out): (&Bound<'py, PyAny>, Option<&Bound<'py, PyAny>>, Option<&Bound<'py, PyAny>>),
    one: impl FnOnce(f64, f64) -> calcore::Result<f64>,
    many: impl Fn(&[f64], Beside<'_>, &mut [f64]) -> calcore::Result<()> + Send + Sync,
) -> PyResult<Bound<'py, PyAny>> {
    let ice_point = 0.0f64.into_pyobject(argument.py())?.into_any();
    let arguments = [argument, reference_junction_c.unwrap_or(&ice_point)];
    let plain = options.handling == core::Handling::default();
    let single = |x: f64, r: f64| {
        if plain {
            return one(x, r);
        }
        let mut y = [0.0];
        many(&[x], Beside::Each(&[r]), &mut y).map_err(without_position)?;
        Ok(y[0])
    };
    apply_beside(names, arguments, out, single, &many)
}

/// The curve of an individual thermocouple: the reference function of its type with a deviation added.
///
/// It comes from `calcore.fit.thermocouple_deviation`, or from its coefficients.
///
/// Parameters
/// ----------
/// letter : {"B", "C", "E", "J", "K", "N", "R", "S", "T", "A"}
///     Type.
/// coefficients : array-like
///     Deviation: constant, mV, mV/K, mV/K², …
/// low_c, high_c : float
///     Range in which it holds, °C.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError
/// InvalidValueError
///     Where the emf does not change steadily over the range.
///
/// Examples
/// --------
/// >>> own = cc.CorrectedThermocouple("K", [0.0, 1e-4], 0.0, 400.0)
/// >>> round(own.emf(100.0) - cc.Thermocouple("K").emf(100.0), 9)
/// 0.01
#[pyclass(frozen, eq, module = "calcore")]
#[derive(Clone, PartialEq)]
pub(crate) struct CorrectedThermocouple(pub(crate) CorrectedCurve<core::Thermocouple>);

#[pymethods]
impl CorrectedThermocouple {
    #[new]
    #[pyo3(signature = (letter, coefficients, low_c, high_c))]
    fn new(letter: &str, coefficients: &Bound<'_, PyAny>, low_c: f64, high_c: f64) -> PyResult<Self> {
        let values = crate::arrays::series("coefficients", coefficients)?;
        let curve = core::Thermocouple::new(letter)
            .and_then(|reference| CorrectedCurve::new(reference, &values, low_c, high_c));
        Ok(Self(curve.or_raise(coefficients.py())?))
    }

    /// Emf at a temperature, mV, with the reference junction at 0 °C.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature on the ITS-90, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// out : array, optional
    ///     Where to write the result of an array.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     mV.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> cc.CorrectedThermocouple("K", [0.0, 1e-4], 0.0, 400.0).emf([0.0, 100.0]).round(3)
    /// array([0.   , 4.106])
    #[pyo3(signature = (t_c, *, invalid="raise", out=None))]
    fn emf<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        invalid: &str,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        signal(&self.0, "t_c", t_c, invalid, false, out)
    }

    /// Temperature that gives an emf, °C, with the reference junction at 0 °C: the exact inverse.
    ///
    /// Parameters
    /// ----------
    /// mv : float or array-like
    ///     Emf, mV.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// out : array, optional
    ///     Where to write the result of an array.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     °C on the ITS-90.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> own = cc.CorrectedThermocouple("K", [0.0, 1e-4], 0.0, 400.0)
    /// >>> round(own.temperature(own.emf(250.0)), 9)
    /// 250.0
    #[pyo3(signature = (mv, *, invalid="raise", out=None))]
    fn temperature<'py>(
        &self,
        mv: &Bound<'py, PyAny>,
        invalid: &str,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        temperature(&self.0, "mv", mv, invalid, false, out)
    }

    /// Change of the emf per kelvin, mV/K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature on the ITS-90, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    /// out : array, optional
    ///     Where to write the result of an array.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     mV/K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> round(cc.CorrectedThermocouple("K", [0.0, 1e-4], 0.0, 400.0).slope(100.0), 4)
    /// 0.0415
    #[pyo3(signature = (t_c, *, invalid="raise", out=None))]
    fn slope<'py>(
        &self,
        t_c: &Bound<'py, PyAny>,
        invalid: &str,
        out: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        slope(&self.0, "t_c", t_c, invalid, false, out)
    }

    /// Letter of the type.
    #[getter]
    fn letter(&self) -> &'static str {
        self.0.reference().kind().letter()
    }

    /// Coefficients of the deviation, mV, mV/K, and so on.
    #[getter]
    fn coefficients(&self) -> Series {
        Series(self.0.coefficients().to_vec())
    }

    /// Lowest and highest temperature, °C.
    #[getter]
    fn range(&self) -> (f64, f64) {
        (self.0.range().low, self.0.range().high)
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        format!(
            "CorrectedThermocouple(type {}, deviation {:?} mV, range {low} to {high} °C)",
            self.letter(),
            self.0.coefficients()
        )
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        (self.letter(), self.range()).into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let curve = slf.get();
        let (low, high) = curve.range();
        reduced(slf.as_any(), (curve.letter(), curve.coefficients(), low, high), &PyDict::new(slf.py()))
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Thermocouple>()?;
    module.add_class::<CorrectedThermocouple>()
}
