//! Curves that give a resistance, other than that of Callendar and Van Dusen.

use super::{signal, slope, temperature};
use crate::arrays::{elementwise, series};
use crate::errors::{OrRaise, exception};
use crate::its90::Acceptance;
use crate::objects::{Series, reduced};
use crate::records::elementwise_all;
use calcore::curves::{self as core, SensorCurve};
use calcore::its90::Subrange;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple, PyType};

/// A class for a curve with the methods that all of them have: `made` is how an example makes one, then come the name of
/// the signal as method and as argument, and in words, and its unit.
macro_rules! curve_class {
    (
        $(#[$meta:meta])*
        $name:ident($core:ty $(, $extra:ty)?),
        made $made:literal,
        gives $forward:ident($reading:ident, $word:literal, $unit:literal),
        $($rest:tt)*
    ) => {
        $(#[$meta])*
        #[pyclass(frozen, eq, module = "calcore")]
        #[derive(Clone, PartialEq)]
        pub(crate) struct $name(pub(crate) $core $(, $extra)?);

        #[pymethods]
        impl $name {
            #[doc = concat!($word, " at a temperature, ", $unit, ".")]
            ///
            /// Parameters
            /// ----------
            /// t_c : float or array-like
            ///     Temperature on the ITS-90, °C.
            /// invalid : {"raise", "nan"}
            ///     What a NaN, an infinity or a value out of range gives.
            /// extrapolate : bool
            ///     Whether to use the equation beyond the range, as far as it means something; a table is never extrapolated.
            /// out : array, optional
            ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
            ///     are then spared fresh memory. After an error its content means nothing.
            ///
            /// Returns
            /// -------
            /// float or array of the same shape
            #[doc = concat!("    ", $unit, ".")]
            ///
            /// Raises
            /// ------
            /// NotFiniteError, OutOfRangeError
            ///     Over arrays with the index of the first such element and their count.
            ///
            /// Examples
            /// --------
            #[doc = concat!(">>> curve = ", $made)]
            #[doc = concat!(">>> curve.", stringify!($forward), "([25.0, 30.0]).shape")]
            /// (2,)
            #[pyo3(signature = (t_c, *, invalid="raise", extrapolate=false, out=None))]
            fn $forward<'py>(
                &self,
                t_c: &Bound<'py, PyAny>,
                invalid: &str,
                extrapolate: bool,
                out: Option<&Bound<'py, PyAny>>,
            ) -> PyResult<Bound<'py, PyAny>> {
                signal(&self.0, "t_c", t_c, invalid, extrapolate, out)
            }

            /// Temperature that gives a signal, °C: the exact inverse.
            ///
            /// Parameters
            /// ----------
            #[doc = concat!(stringify!($reading), " : float or array-like")]
            #[doc = concat!("    ", $word, ", ", $unit, ".")]
            /// invalid : {"raise", "nan"}
            ///     What a NaN, an infinity or a value out of range gives.
            /// extrapolate : bool
            ///     Whether to use the equation beyond the range, as far as it means something; a table is never extrapolated.
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
            /// Examples
            /// --------
            #[doc = concat!(">>> curve = ", $made)]
            #[doc = concat!(">>> round(curve.temperature(curve.", stringify!($forward), "(25.0)), 9)")]
            /// 25.0
            #[pyo3(signature = ($reading, *, invalid="raise", extrapolate=false, out=None))]
            fn temperature<'py>(
                &self,
                $reading: &Bound<'py, PyAny>,
                invalid: &str,
                extrapolate: bool,
                out: Option<&Bound<'py, PyAny>>,
            ) -> PyResult<Bound<'py, PyAny>> {
                temperature(&self.0, stringify!($reading), $reading, invalid, extrapolate, out)
            }

            #[doc = concat!("Change of the ", stringify!($forward), " per kelvin, ", $unit, "/K.")]
            ///
            /// Parameters
            /// ----------
            /// t_c : float or array-like
            ///     Temperature on the ITS-90, °C.
            /// invalid : {"raise", "nan"}
            ///     What a NaN, an infinity or a value out of range gives.
            /// extrapolate : bool
            ///     Whether to use the equation beyond the range, as far as it means something; a table is never extrapolated.
            /// out : array, optional
            ///     An array of float64 of the shape of the result, into which it is written and which is returned: long arrays
            ///     are then spared fresh memory. After an error its content means nothing.
            ///
            /// Returns
            /// -------
            /// float or array of the same shape
            #[doc = concat!("    ", $unit, "/K.")]
            ///
            /// Raises
            /// ------
            /// NotFiniteError, OutOfRangeError
            ///     Over arrays with the index of the first such element and their count.
            ///
            /// Examples
            /// --------
            #[doc = concat!(">>> curve = ", $made)]
            #[doc = concat!(">>> low, high = curve.", stringify!($forward), "([25.0, 26.0])")]
            /// >>> bool(abs(curve.slope(25.5) / (high - low) - 1.0) < 0.01)
            /// True
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

            /// Lowest and highest temperature, °C.
            #[getter]
            fn range(&self) -> (f64, f64) {
                (self.0.range().low, self.0.range().high)
            }

            fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
                let signal = self.0.signal_range();
                (self.range(), signal.low, signal.high).into_pyobject(py)?.hash()
            }

            $($rest)*
        }
    };
}

/// From what a polynomial was made.
#[derive(Clone, PartialEq)]
pub(crate) enum Origin {
    Standard(String),
    Coefficients { below: Vec<f64>, joint_c: Option<f64>, above: Option<Vec<f64>> },
}

curve_class! {
    /// A resistance thermometer by one polynomial, or by two that meet at a temperature.
    ///
    /// R(t) = R0 (1 + a_1 t + a_2 t² + … + a_6 t⁶), with its own coefficients on either side of the joint. At a kink the
    /// slope is that of the piece to which the standard gives the joint.
    ///
    /// Parameters
    /// ----------
    /// r0 : float
    ///     Resistance at 0 °C, ohm.
    /// coefficients : array-like
    ///     a_1, a_2, …, at most six, 1/K, 1/K², …
    /// low_c, high_c : float
    ///     Range, °C.
    /// joint_c : float, optional
    ///     Temperature from which `above` holds, °C.
    /// above : array-like, optional
    ///     Coefficients from the joint up.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, LengthMismatchError
    /// InvalidValueError
    ///     Unless the resistance is positive and rises over the whole range, and the pieces meet.
    ///
    /// Examples
    /// --------
    /// >>> copper = cc.PolynomialRtd(9.035, [4.27e-3], -50.0, 150.0)
    /// >>> round(copper.resistance(100.0), 4)
    /// 12.8929
    PolynomialRtd(core::PolynomialRtd, Origin), made "cc.PolynomialRtd.standard(\"din43760_ni618\", r0=100.0)",
    gives resistance(ohm, "Resistance", "ohm"),

    /// Temperature by the approximate inverse that its standard publishes; exact where the equation has a closed inverse.
    ///
    /// For comparison with instruments that use it: ``temperature`` is exact everywhere.
    ///
    /// Parameters
    /// ----------
    /// ohm : float or array-like
    ///     Resistance, ohm.
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
    ///     For a thermometer whose standard publishes none.
    ///
    /// Source
    /// ------
    /// ASTM E1137/E1137M; GOST 6651-2009, clause 5.2.
    ///
    /// Examples
    /// --------
    /// >>> pt100 = cc.PolynomialRtd.standard("astm_e1137_pt385", r0=100.0)
    /// >>> 0.0 < abs(pt100.temperature_approximate(60.0) - pt100.temperature(60.0)) < 0.0017
    /// True
    #[pyo3(signature = (ohm, *, invalid="raise"))]
    fn temperature_approximate<'py>(&self, ohm: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["ohm"], [ohm], invalid, |[ohm]| self.0.temperature_approximate(ohm))
    }

    #[new]
    #[pyo3(signature = (r0, coefficients, low_c, high_c, *, joint_c=None, above=None))]
    fn new(
        py: Python<'_>,
        r0: f64,
        coefficients: &Bound<'_, PyAny>,
        low_c: f64,
        high_c: f64,
        joint_c: Option<f64>,
        above: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let below = series("coefficients", coefficients)?;
        let above = above.map(|values| series("above", values)).transpose()?;
        let curve = match (joint_c, &above) {
            (None, None) => core::PolynomialRtd::new(r0, &below, low_c, high_c),
            (Some(joint_c), Some(above)) => {
                core::PolynomialRtd::piecewise(r0, joint_c, &below, above, low_c, high_c)
            }
            _ => return Err(pyo3::exceptions::PyTypeError::new_err("joint_c and above go together")),
        };
        Ok(Self(curve.or_raise(py)?, Origin::Coefficients { below, joint_c, above }))
    }

    /// Names that `standard` takes.
    ///
    /// Returns
    /// -------
    /// list of str
    ///
    /// Examples
    /// --------
    /// >>> "din43760_ni618" in cc.PolynomialRtd.standard_names()
    /// True
    #[staticmethod]
    fn standard_names() -> Vec<&'static str> {
        core::rtd_standard_names()
    }

    /// A thermometer by the name of its standard.
    ///
    /// Parameters
    /// ----------
    /// name : str
    ///     Standards: "iec60751_pt385", "astm_e1137_pt385", "gost6651_pt385", "gost6651_pt391", "gost6651_cu428",
    ///     "gost6651_cu426", "gost6651_ni617", "din43760_ni618". Handbook sets that could not be traced to a standard:
    ///     "jis_pt3916", "handbook_pt3911", "handbook_pt3923", "handbook_pt3926", "handbook_pt3928",
    ///     "handbook_pt3750".
    /// r0 : float
    ///     Resistance at 0 °C, ohm.
    ///
    /// Returns
    /// -------
    /// PolynomialRtd
    ///
    /// Raises
    /// ------
    /// UnknownNameError, InvalidValueError
    ///
    /// Source
    /// ------
    /// The documents in the names.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.PolynomialRtd.standard("din43760_ni618", r0=100.0).resistance(250.0), 2)
    /// 289.16
    #[classmethod]
    #[pyo3(signature = (name, r0))]
    fn standard(class: &Bound<'_, PyType>, name: &str, r0: f64) -> PyResult<Self> {
        Ok(Self(core::PolynomialRtd::standard(name, r0).or_raise(class.py())?, Origin::Standard(name.into())))
    }

    /// Resistance at 0 °C, ohm.
    #[getter]
    fn r0(&self) -> f64 {
        self.0.r0()
    }

    /// Mean temperature coefficient between 0 °C and 100 °C, 1/K.
    #[getter]
    fn alpha(&self) -> f64 {
        self.0.alpha()
    }

    /// Temperature of a kink, °C; None if the curve has none.
    #[getter]
    fn kink_c(&self) -> Option<f64> {
        self.0.kink_c()
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        format!("PolynomialRtd(r0={:?} ohm, alpha={:?} /K, range {low} to {high} °C)", self.r0(), self.alpha())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let (py, curve) = (slf.py(), slf.get());
        match &curve.1 {
            Origin::Standard(name) => {
                (slf.get_type().getattr("standard")?, (name, curve.r0()).into_pyobject(py)?).into_pyobject(py)
            }
            Origin::Coefficients { below, joint_c, above } => {
                let options = PyDict::new(py);
                options.set_item("joint_c", joint_c)?;
                options.set_item("above", above.clone().map(Series))?;
                let (low, high) = curve.range();
                reduced(slf.as_any(), (curve.r0(), Series(below.clone()), low, high), &options)
            }
        }
    }
}

curve_class! {
    /// A thermistor by the equation of Steinhart and Hart.
    ///
    /// 1/T = a + b ln R + c (ln R)³, with `quadratic` (ln R)² if that is given; T in kelvin.
    ///
    /// Parameters
    /// ----------
    /// a, b, c : float
    ///     Coefficients, 1/K.
    /// quadratic : float
    ///     Coefficient of the square, 1/K.
    /// range_c : (float, float), optional
    ///     Lowest and highest temperature, °C; -100 to 325 unless given.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// InvalidValueError
    ///     When 1/T does not rise with ln R over the range.
    ///
    /// Source
    /// ------
    /// J. S. Steinhart, S. R. Hart, Deep-Sea Research 15 (1968) 497-503.
    ///
    /// Examples
    /// --------
    /// >>> probe = cc.SteinhartHart(1.281651e-3, 2.706002e-4, 1.749446e-7, quadratic=-1.027561e-6)
    /// >>> round(probe.temperature(2190.2707477783), 5)
    /// 22.54468
    SteinhartHart(core::SteinhartHart), made "cc.SteinhartHart(1.1292e-3, 2.341e-4, 8.775e-8)",
    gives resistance(ohm, "Resistance", "ohm"),

    #[new]
    #[pyo3(signature = (a, b, c, *, quadratic=0.0, range_c=None))]
    fn new(py: Python<'_>, a: f64, b: f64, c: f64, quadratic: f64, range_c: Option<(f64, f64)>) -> PyResult<Self> {
        let curve = match range_c {
            None => core::SteinhartHart::with_quadratic(a, b, quadratic, c),
            Some((low, high)) => core::SteinhartHart::with_range(a, b, quadratic, c, low, high),
        };
        Ok(Self(curve.or_raise(py)?))
    }

    /// Constant term, 1/K.
    #[getter]
    fn a(&self) -> f64 {
        self.0.coefficients()[0]
    }

    /// Coefficient of ln R, 1/K.
    #[getter]
    fn b(&self) -> f64 {
        self.0.coefficients()[1]
    }

    /// Coefficient of (ln R)³, 1/K.
    #[getter]
    fn c(&self) -> f64 {
        self.0.coefficients()[3]
    }

    /// Coefficient of (ln R)², 1/K.
    #[getter]
    fn quadratic(&self) -> f64 {
        self.0.coefficients()[2]
    }

    fn __repr__(&self) -> String {
        let ([a, b, quadratic, c], (low, high)) = (self.0.coefficients(), self.range());
        format!(
            "SteinhartHart(a={a:?} /K, b={b:?} /K, c={c:?} /K, quadratic={quadratic:?} /K, range {low} to {high} °C)"
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let curve = slf.get();
        let options = PyDict::new(slf.py());
        options.set_item("quadratic", curve.quadratic())?;
        options.set_item("range_c", curve.range())?;
        reduced(slf.as_any(), (curve.a(), curve.b(), curve.c()), &options)
    }
}

curve_class! {
    /// A thermistor by its resistance at 25 °C and its beta.
    ///
    /// R = R25 exp(beta (1/T - 1/298.15 K)), T in kelvin.
    ///
    /// Parameters
    /// ----------
    /// r25 : float
    ///     Resistance at 25 °C, ohm.
    /// beta : float
    ///     K.
    /// range_c : (float, float), optional
    ///     Lowest and highest temperature, °C; -100 to 325 unless given.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// InvalidValueError
    ///     Unless both are positive.
    ///
    /// Examples
    /// --------
    /// >>> cc.BetaThermistor(10_000.0, 3950.0).resistance(25.0)
    /// 10000.0
    BetaThermistor(core::BetaThermistor), made "cc.BetaThermistor(10_000.0, 3950.0)",
    gives resistance(ohm, "Resistance", "ohm"),

    #[new]
    #[pyo3(signature = (r25, beta, *, range_c=None))]
    fn new(py: Python<'_>, r25: f64, beta: f64, range_c: Option<(f64, f64)>) -> PyResult<Self> {
        let curve = match range_c {
            None => core::BetaThermistor::new(r25, beta),
            Some((low, high)) => core::BetaThermistor::with_range(r25, beta, low, high),
        };
        Ok(Self(curve.or_raise(py)?))
    }

    /// Beta by two points, ln(R1/R2) / (1/T1 - 1/T2), K.
    ///
    /// Parameters
    /// ----------
    /// first, second : (float, float)
    ///     Temperature, °C, and resistance, ohm.
    ///
    /// Returns
    /// -------
    /// float
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// InvalidValueError
    ///     Also where the warmer point has not the lower resistance.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.BetaThermistor.beta_from_points((50.0, 34780.0), (125.0, 2872.0)), 6)
    /// 4278.504192
    #[staticmethod]
    fn beta_from_points(py: Python<'_>, first: (f64, f64), second: (f64, f64)) -> PyResult<f64> {
        core::BetaThermistor::beta_from_points(first, second).or_raise(py)
    }

    /// Resistance at 25 °C, ohm.
    #[getter]
    fn r25(&self) -> f64 {
        self.0.r25()
    }

    /// Beta, K.
    #[getter]
    fn beta(&self) -> f64 {
        self.0.beta()
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        format!("BetaThermistor(r25={:?} ohm, beta={:?} K, range {low} to {high} °C)", self.r25(), self.beta())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let curve = slf.get();
        let options = PyDict::new(slf.py());
        options.set_item("range_c", curve.range())?;
        reduced(slf.as_any(), (curve.r25(), curve.beta()), &options)
    }
}

curve_class! {
    /// A standard platinum resistance thermometer on the ITS-90.
    ///
    /// R = R(273.16 K) W, with W - deviation(W) the reference ratio at the temperature.
    ///
    /// Parameters
    /// ----------
    /// r_tpw : float
    ///     Resistance at the triple point of water, ohm.
    /// subrange : str
    ///     Section of the document, such as "3.3.2.2", or number "1" to "11" in the order of its table 5.
    /// coefficients : array-like or dict
    ///     Coefficients of the deviation function, in the order of the document, or by their names: "a", "b", "c1" ...
    ///
    /// Raises
    /// ------
    /// UnknownNameError, NotFiniteError, LengthMismatchError
    /// InvalidValueError
    ///     Unless W - deviation(W) rises over the whole range.
    ///
    /// Source
    /// ------
    /// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3.
    ///
    /// Examples
    /// --------
    /// >>> sprt = cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6])
    /// >>> round(sprt.temperature(sprt.resistance(400.0)), 9)
    /// 400.0
    Sprt(core::Sprt), made "cc.Sprt(25.5, \"3.3.2.2\", [-1.2e-4, 3.0e-6])",
    gives resistance(ohm, "Resistance", "ohm"),

    #[new]
    #[pyo3(signature = (r_tpw, subrange, coefficients))]
    fn new(r_tpw: f64, subrange: &str, coefficients: &Bound<'_, PyAny>) -> PyResult<Self> {
        let subrange = Subrange::from_name(subrange).or_raise(coefficients.py())?;
        let values = match coefficients.cast::<PyDict>() {
            Ok(named) => named_coefficients(named, subrange.coefficient_names())?,
            Err(_) => series("coefficients", coefficients)?,
        };
        Ok(Self(core::Sprt::new(r_tpw, subrange, &values).or_raise(coefficients.py())?))
    }

    /// Ratio R(T)/R(273.16 K) at a temperature.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature on the ITS-90, °C.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6]).ratio(0.01), 8)
    /// 1.0
    fn ratio<'py>(&self, t_c: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("t_c", t_c, |x| self.0.ratio(x))
    }

    /// Deviation W − W_r of this thermometer from the reference function, at a ratio.
    ///
    /// Parameters
    /// ----------
    /// w : float or array-like
    ///     Ratio R(T)/R(273.16 K).
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// OutOfRangeError
    ///     For a ratio that no temperature of the sub-range has.
    ///
    /// Source
    /// ------
    /// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3.
    ///
    /// Examples
    /// --------
    /// >>> cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6]).deviation(1.0)
    /// 0.0
    fn deviation<'py>(&self, w: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("w", w, |w| self.0.deviation_at(w).map(|(deviation, _slope)| deviation))
    }

    /// Checks the platinum against the criteria of the scale, by this curve at gallium, mercury and silver.
    ///
    /// Points that the sub-range does not reach are left out.
    ///
    /// Returns
    /// -------
    /// Acceptance
    ///     Whether it is accepted, and which criteria fail.
    ///
    /// Raises
    /// ------
    /// TooFewPointsError
    ///     For a sub-range with neither gallium nor mercury (there is none at present).
    ///
    /// Source
    /// ------
    /// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3 (limits from memory).
    ///
    /// Examples
    /// --------
    /// >>> cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6]).acceptance().accepted
    /// True
    /// >>> cc.Sprt(25.5, "3.3.2.2", [-4.0e-3, 3.0e-6]).acceptance().failed
    /// ['Ga']
    fn acceptance(&self, py: Python<'_>) -> PyResult<Acceptance> {
        Ok(Acceptance::of(self.0.acceptance().or_raise(py)?))
    }

    /// Resistance at the triple point of water, ohm.
    #[getter]
    fn r_tpw(&self) -> f64 {
        self.0.r_tpw()
    }

    /// Section of the document that describes the sub-range.
    #[getter]
    fn subrange(&self) -> &'static str {
        self.0.subrange().section()
    }

    /// Coefficients of the deviation function.
    #[getter]
    fn coefficients(&self) -> Series {
        Series(self.0.coefficients().to_vec())
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        format!(
            "Sprt(r_tpw={:?} ohm, sub-range {}, coefficients {:?}, range {low} to {high} °C)",
            self.r_tpw(),
            self.subrange(),
            self.0.coefficients()
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let curve = slf.get();
        reduced(slf.as_any(), (curve.r_tpw(), curve.subrange(), curve.coefficients()), &PyDict::new(slf.py()))
    }
}

curve_class! {
    /// A sensor by a table of temperature and signal.
    ///
    /// Between two rows either the straight line, or a cubic with a continuous slope that never turns; the inverse is exact.
    ///
    /// Parameters
    /// ----------
    /// t_c : array-like
    ///     Temperatures of the rows, °C, in rising or falling order.
    /// signal : array-like
    ///     Signals of the rows, in any unit, in one direction.
    /// interpolation : {"linear", "monotone_cubic"}
    ///     How the table is read between its rows.
    ///
    /// Raises
    /// ------
    /// LengthMismatchError, TooFewPointsError, NotFiniteError, UnknownNameError
    /// InvalidValueError
    ///     Where the temperature or the signal does not go on in one direction.
    ///
    /// Source
    /// ------
    /// F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246; F. N. Fritsch, J. Butland, SIAM J. Sci. Stat.
    /// Comput. 5 (1984) 300-304.
    ///
    /// Examples
    /// --------
    /// >>> table = cc.TabulatedCurve([0.0, 100.0, 200.0], [100.0, 138.51, 175.86])
    /// >>> table.signal(50.0), table.temperature(119.255)
    /// (119.255, 50.0)
    TabulatedCurve(core::TabulatedCurve), made "cc.TabulatedCurve([0.0, 100.0, 200.0], [100.0, 138.51, 175.86])",
    gives signal(signal, "Signal", "the unit of the table"),

    #[new]
    #[pyo3(signature = (t_c, signal, *, interpolation="linear"))]
    fn new(t_c: &Bound<'_, PyAny>, signal: &Bound<'_, PyAny>, interpolation: &str) -> PyResult<Self> {
        let (t_c, signal, py) = (series("t_c", t_c)?, series("signal", signal)?, signal.py());
        let interpolation = core::Interpolation::from_name(interpolation).or_raise(py)?;
        Ok(Self(core::TabulatedCurve::new(&t_c, &signal, interpolation).or_raise(py)?))
    }

    /// "linear" or "monotone_cubic".
    #[getter]
    fn interpolation(&self) -> String {
        crate::json::name(&self.0.interpolation())
    }

    /// Temperatures of the rows, °C, ascending.
    #[getter]
    fn t_c(&self) -> Series {
        Series(self.0.t_c().to_vec())
    }

    /// Signals of the rows, in the order of `t_c`.
    #[getter]
    fn rows(&self) -> Series {
        Series(self.0.rows().to_vec())
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range();
        format!("TabulatedCurve({} rows, {}, range {low} to {high} °C)", self.0.t_c().len(), self.interpolation())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let curve = slf.get();
        let options = PyDict::new(slf.py());
        options.set_item("interpolation", curve.interpolation())?;
        reduced(slf.as_any(), (curve.t_c(), curve.rows()), &options)
    }
}

/// Coefficients by name, brought into the order of the sub-range.
fn named_coefficients(named: &Bound<'_, PyDict>, names: &[&str]) -> PyResult<Vec<f64>> {
    let py = named.py();
    for key in named.keys() {
        let key: String = key.extract()?;
        if !names.contains(&key.as_str()) {
            let error = calcore::Error::UnknownName { what: "coefficient", name: key, expected: names.join(", ") };
            return Err(exception(py, &error));
        }
    }
    let mut values = Vec::with_capacity(names.len());
    for name in names {
        let value = named.get_item(name)?.ok_or_else(|| {
            let error =
                calcore::Error::LengthMismatch { what: "coefficients", expected: names.len(), found: named.len() };
            exception(py, &error)
        })?;
        values.push(value.extract()?);
    }
    Ok(values)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<PolynomialRtd>()?;
    module.add_class::<Sprt>()?;
    module.add_class::<SteinhartHart>()?;
    module.add_class::<BetaThermistor>()?;
    module.add_class::<TabulatedCurve>()
}
