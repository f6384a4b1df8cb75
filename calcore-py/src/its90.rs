//! The ITS-90: reference functions and fixed points.

use crate::errors::OrRaise;
use crate::objects::add_function;
use crate::records::elementwise_all;
use calcore::constants::its90::{FIXED_POINTS, FixedPointData, State};
use calcore::its90 as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyFloat, PyTuple};

/// Reference ratio W_r of ideal platinum at a temperature.
///
/// Parameters
/// ----------
/// t_k : float or array-like
///     Temperature on the ITS-90, K, 13.8033 to 1234.93.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
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
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10 and 107, equations 9a and 10a, table 4.
///
/// Examples
/// --------
/// >>> round(cc.its90.reference_ratio(505.078), 8)
/// 1.89279768
#[pyfunction]
#[pyo3(signature = (t_k, *, invalid="raise"))]
fn reference_ratio<'py>(t_k: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t_k"], [t_k], invalid, |[x]| core::reference_ratio(x))
}

/// Slope of the reference function, 1/K; at 273.16 K that of the upper function.
///
/// Parameters
/// ----------
/// t_k : float or array-like
///     Temperature on the ITS-90, K.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     1/K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9a and 10a, differentiated.
///
/// Examples
/// --------
/// >>> round(cc.its90.reference_slope(273.16), 6)
/// 0.003989
#[pyfunction]
#[pyo3(signature = (t_k, *, invalid="raise"))]
fn reference_slope<'py>(t_k: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["t_k"], [t_k], invalid, |[x]| core::reference_slope(x))
}

/// Temperature at which ideal platinum has a reference ratio, K: the exact inverse.
///
/// Parameters
/// ----------
/// w : float or array-like
///     Reference ratio.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9a and 10a.
///
/// Examples
/// --------
/// >>> round(cc.its90.temperature_from_ratio(1.89279768), 4)
/// 505.078
#[pyfunction]
#[pyo3(signature = (w, *, invalid="raise"))]
fn temperature_from_ratio<'py>(w: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["w"], [w], invalid, |[x]| core::temperature_from_ratio(x))
}

/// The same by the published inverse, within 0.1 mK below 273.16 K and 0.135 mK above.
///
/// Parameters
/// ----------
/// w : float or array-like
///     Reference ratio.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9b and 10b, table 4.
///
/// Examples
/// --------
/// >>> bool(abs(cc.its90.temperature_from_ratio_approximate(2.5) - cc.its90.temperature_from_ratio(2.5)) < 1.35e-4)
/// True
#[pyfunction]
#[pyo3(signature = (w, *, invalid="raise"))]
fn temperature_from_ratio_approximate<'py>(w: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["w"], [w], invalid, |[x]| core::temperature_from_ratio_approximate(x))
}

/// Temperature of a fixed point where the sensor is, K.
///
/// Parameters
/// ----------
/// name : str
///     "e-H2", "Ne", "O2", "Ar", "Hg", "H2O", "Ga", "In", "Sn", "Zn", "Al", "Ag", "Au" or "Cu".
/// depth_m : float or array-like
///     Depth of the sensor below the surface of the liquid, m.
/// pressure_pa : float or array-like, optional
///     Pressure on that surface, Pa, for a melting or freezing point; the standard atmosphere unless given.
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
/// UnknownNameError, NotFiniteError
/// InvalidValueError
///     For a negative depth or pressure, and for a pressure with a triple point.
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2.
///
/// Examples
/// --------
/// >>> round(cc.its90.fixed_point_temperature("H2O", depth_m=0.265), 5)
/// 273.15981
#[pyfunction]
#[pyo3(
    signature = (name, depth_m=None, pressure_pa=None, *, invalid="raise"),
    text_signature = "(name, depth_m=0.0, pressure_pa=None, *, invalid='raise')"
)]
fn fixed_point_temperature<'py>(
    py: Python<'py>,
    name: &str,
    depth_m: Option<&Bound<'py, PyAny>>,
    pressure_pa: Option<&Bound<'py, PyAny>>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let surface = PyFloat::new(py, 0.0).into_any();
    let depth_m = depth_m.unwrap_or(&surface);
    let at = |depth: f64, pressure: Option<f64>| core::fixed_point_temperature(name, depth, pressure);
    match pressure_pa {
        None => elementwise_all(["depth_m"], [depth_m], invalid, |[depth]| at(depth, None)),
        Some(pressure_pa) => {
            let names = ["depth_m", "pressure_pa"];
            elementwise_all(names, [depth_m, pressure_pa], invalid, |[depth, pressure]| at(depth, Some(pressure)))
        }
    }
}

/// A defining fixed point of the ITS-90.
///
/// Examples
/// --------
/// >>> zinc = cc.its90.fixed_point("Zn")
/// >>> zinc.t_c, zinc.state, zinc.w_r
/// (419.527, 'freezing_point', 2.5689173)
#[pyclass(frozen, eq, module = "calcore.its90")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct FixedPoint(FixedPointData);

#[pymethods]
impl FixedPoint {
    /// Chemical symbol; "e-H2" is hydrogen at equilibrium of its two forms.
    #[getter]
    fn name(&self) -> &'static str {
        self.0.name
    }

    /// How it is realised: "triple_point", "melting_point", "freezing_point" or "vapour_pressure_point".
    #[getter]
    fn state(&self) -> &'static str {
        match self.0.state {
            State::TriplePoint => "triple_point",
            State::MeltingPoint => "melting_point",
            State::FreezingPoint => "freezing_point",
            State::VapourPressurePoint => "vapour_pressure_point",
        }
    }

    /// Temperature, K.
    #[getter]
    fn t_k(&self) -> f64 {
        self.0.t_k
    }

    /// Temperature, °C.
    #[getter]
    fn t_c(&self) -> f64 {
        self.0.t_c
    }

    /// Reference ratio as published, to eight decimals; None where the document gives none.
    #[getter]
    fn w_r(&self) -> Option<f64> {
        self.0.w_r
    }

    /// Change of the temperature with pressure, K/Pa; None where the document gives none.
    #[getter]
    fn k_per_pa(&self) -> Option<f64> {
        self.0.k_per_pa
    }

    /// Change of the temperature with depth, K/m; None where the document gives none.
    #[getter]
    fn k_per_m(&self) -> Option<f64> {
        self.0.k_per_m
    }

    /// Temperature where the sensor is, K.
    ///
    /// Parameters
    /// ----------
    /// depth_m : float or array-like
    ///     Depth of the sensor below the surface of the liquid, m.
    /// pressure_pa : float or array-like, optional
    ///     Pressure on that surface, Pa, for a melting or freezing point; the standard atmosphere unless given.
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
    ///     For a negative depth or pressure, and for a pressure with a triple point.
    ///
    /// Source
    /// ------
    /// H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.its90.fixed_point("Ga").temperature(depth_m=0.1, pressure_pa=100_000.0), 6)
    /// 302.914507
    #[pyo3(
        signature = (depth_m=None, pressure_pa=None, *, invalid="raise"),
        text_signature = "($self, depth_m=0.0, pressure_pa=None, *, invalid='raise')"
    )]
    fn temperature<'py>(
        &self,
        py: Python<'py>,
        depth_m: Option<&Bound<'py, PyAny>>,
        pressure_pa: Option<&Bound<'py, PyAny>>,
        invalid: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        fixed_point_temperature(py, self.0.name, depth_m, pressure_pa, invalid)
    }

    fn __repr__(&self) -> String {
        format!("FixedPoint({}, {}, {} K)", self.0.name, self.state().replace('_', " "), self.0.t_k)
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<isize> {
        self.0.name.into_pyobject(py)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let maker = slf.py().import("calcore.its90")?.getattr("fixed_point")?;
        (maker, (slf.get().0.name,)).into_pyobject(slf.py())
    }
}

/// A defining fixed point by its name.
///
/// Parameters
/// ----------
/// name : str
///     "e-H2", "e-H2_17K", "e-H2_20K", "Ne", "O2", "Ar", "Hg", "H2O", "Ga", "In", "Sn", "Zn", "Al", "Ag", "Au" or "Cu".
///
/// Returns
/// -------
/// FixedPoint
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2.
///
/// Examples
/// --------
/// >>> cc.its90.fixed_point("Sn").t_k
/// 505.078
#[pyfunction]
#[pyo3(signature = (name))]
fn fixed_point(py: Python<'_>, name: &str) -> PyResult<FixedPoint> {
    Ok(FixedPoint(*core::fixed_point(name).or_raise(py)?))
}

/// All defining fixed points, from the coldest to the hottest.
///
/// Returns
/// -------
/// list of FixedPoint
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2.
///
/// Examples
/// --------
/// >>> [point.name for point in cc.its90.fixed_points() if point.state == "freezing_point"]
/// ['In', 'Sn', 'Zn', 'Al', 'Ag', 'Au', 'Cu']
#[pyfunction]
fn fixed_points() -> Vec<FixedPoint> {
    FIXED_POINTS.map(FixedPoint).to_vec()
}

/// A sub-range of the ITS-90 with its deviation function.
///
/// Examples
/// --------
/// >>> zinc = cc.its90.subrange("3.3.2.2")
/// >>> zinc.points, zinc.coefficient_names, zinc.range_k
/// (['Sn', 'Zn'], ['a', 'b'], (273.15, 692.677))
#[pyclass(frozen, eq, module = "calcore.its90")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Subrange(core::Subrange);

#[pymethods]
impl Subrange {
    /// Section of the document that describes it, such as "3.3.2.2".
    #[getter]
    fn section(&self) -> &'static str {
        self.0.section()
    }

    /// Its number, 1 to 11, in the order of table 5.
    #[getter]
    fn number(&self) -> u8 {
        self.0.number()
    }

    /// Names of the coefficients, in the order in which they are given.
    #[getter]
    fn coefficient_names(&self) -> Vec<&'static str> {
        self.0.coefficient_names().to_vec()
    }

    /// Fixed points at which a thermometer is calibrated beside the triple point of water, by their names.
    #[getter]
    fn points(&self) -> Vec<&'static str> {
        self.0.points().to_vec()
    }

    /// Range, °C.
    #[getter]
    fn range(&self) -> (f64, f64) {
        (self.0.range().low, self.0.range().high)
    }

    /// Range, K.
    #[getter]
    fn range_k(&self) -> (f64, f64) {
        (self.0.range_k().low, self.0.range_k().high)
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.range_k();
        format!(
            "Subrange({}, {low} K to {high} K, coefficients {})",
            self.section(),
            self.coefficient_names().join(", ")
        )
    }

    fn __hash__(&self) -> u64 {
        u64::from(self.0.number())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let maker = slf.py().import("calcore.its90")?.getattr("subrange")?;
        (maker, (slf.get().0.section(),)).into_pyobject(slf.py())
    }
}

/// A sub-range by its section or number.
///
/// Parameters
/// ----------
/// name : str
///     Section of the document, such as "3.3.2.2", or number "1" to "11" in the order of its table 5.
///
/// Returns
/// -------
/// Subrange
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3, table 5.
///
/// Examples
/// --------
/// >>> cc.its90.subrange("3.3.2.5").points
/// ['Ga']
#[pyfunction]
#[pyo3(signature = (name))]
fn subrange(py: Python<'_>, name: &str) -> PyResult<Subrange> {
    Ok(Subrange(core::Subrange::from_name(name).or_raise(py)?))
}

/// All sub-ranges, in the order of table 5 of the document.
///
/// Returns
/// -------
/// list of Subrange
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3, table 5.
///
/// Examples
/// --------
/// >>> len(cc.its90.subranges())
/// 11
#[pyfunction]
fn subranges() -> Vec<Subrange> {
    core::Subrange::all().map(Subrange).collect()
}

/// Temperature of equilibrium hydrogen by its vapour pressure, K, near 17.035 K or 20.27 K.
///
/// Parameters
/// ----------
/// name : {"e-H2_17K", "e-H2_20K"}
///     Which of the two.
/// kpa : float or array-like
///     Vapour pressure, kPa.
/// invalid : {"raise", "nan"}
///     What a NaN, an infinity or a value out of range gives.
///
/// Returns
/// -------
/// float or array of the same shape
///     K.
///
/// Raises
/// ------
/// UnknownNameError, NotFiniteError, OutOfRangeError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.2 (equations from memory).
///
/// Examples
/// --------
/// >>> cc.its90.hydrogen_vapour_pressure_temperature("e-H2_20K", 101.292)
/// 20.27
#[pyfunction]
#[pyo3(signature = (name, kpa, *, invalid="raise"))]
fn hydrogen_vapour_pressure_temperature<'py>(
    name: &str,
    kpa: &Bound<'py, PyAny>,
    invalid: &str,
) -> PyResult<Bound<'py, PyAny>> {
    elementwise_all(["kpa"], [kpa], invalid, |[x]| core::hydrogen_vapour_pressure_temperature(name, x))
}

/// Whether a thermometer meets the scale's criteria, and which it fails.
///
/// Examples
/// --------
/// >>> check = cc.its90.acceptance(w_gallium=1.1180, w_mercury=0.8441)
/// >>> check.accepted, check.failed
/// (True, ['Ga'])
#[pyclass(frozen, eq, module = "calcore.its90")]
#[derive(Clone, PartialEq)]
pub(crate) struct Acceptance(core::Acceptance, [Option<f64>; 3]);

impl Acceptance {
    /// As the core found it.
    pub(crate) fn of(found: core::Acceptance) -> Self {
        let at = |name: &str| found.criteria.iter().find(|one| one.point == name).map(|one| one.w);
        let ratios = ["Ga", "Hg", "Ag"].map(at);
        Self(found, ratios)
    }
}

#[pymethods]
impl Acceptance {
    /// Whether one of the criteria at gallium and mercury is met.
    #[getter]
    fn accepted(&self) -> bool {
        self.0.accepted
    }

    /// Whether the criterion for use up to the silver point is met too; None if it was not asked for.
    #[getter]
    fn accepted_to_silver(&self) -> Option<bool> {
        self.0.accepted_to_silver
    }

    /// Every criterion looked at: point, w, limit, at_least (or else at most), met.
    #[getter]
    fn criteria<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let mut all = Vec::with_capacity(self.0.criteria.len());
        for criterion in &self.0.criteria {
            let one = PyDict::new(py);
            one.set_item("point", criterion.point)?;
            one.set_item("w", criterion.w)?;
            one.set_item("limit", criterion.limit)?;
            one.set_item("at_least", criterion.at_least)?;
            one.set_item("met", criterion.met)?;
            all.push(one);
        }
        Ok(all)
    }

    /// Points at which a criterion is not met.
    #[getter]
    fn failed(&self) -> Vec<&'static str> {
        self.0.failed().map(|criterion| criterion.point).collect()
    }

    fn __repr__(&self) -> String {
        format!("Acceptance(accepted={}, failed={:?})", self.0.accepted, self.failed())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let options = PyDict::new(slf.py());
        for (name, w) in ["w_gallium", "w_mercury", "w_silver"].iter().zip(slf.get().1) {
            options.set_item(name, w)?;
        }
        let maker = slf.py().import("calcore.its90")?.getattr("acceptance")?;
        let maker = slf.py().import("functools")?.getattr("partial")?.call((maker,), Some(&options))?;
        (maker, PyTuple::empty(slf.py())).into_pyobject(slf.py())
    }
}

/// Checks a thermometer against the criteria that the scale asks of platinum.
///
/// Parameters
/// ----------
/// w_gallium, w_mercury, w_silver : float, optional
///     Its ratio W at the melting point of gallium, the triple point of mercury and the freezing point of silver; at
///     least one of the first two.
///
/// Returns
/// -------
/// Acceptance
///
/// Raises
/// ------
/// NotFiniteError, InvalidValueError, TooFewPointsError
///
/// Source
/// ------
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3 (limits from memory).
///
/// Examples
/// --------
/// >>> cc.its90.acceptance(w_gallium=1.11810).accepted
/// True
#[pyfunction]
#[pyo3(signature = (*, w_gallium=None, w_mercury=None, w_silver=None))]
fn acceptance(
    py: Python<'_>,
    w_gallium: Option<f64>,
    w_mercury: Option<f64>,
    w_silver: Option<f64>,
) -> PyResult<Acceptance> {
    let found = core::acceptance(w_gallium, w_mercury, w_silver).or_raise(py)?;
    Ok(Acceptance(found, [w_gallium, w_mercury, w_silver]))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Acceptance>()?;
    module.add_class::<FixedPoint>()?;
    module.add_class::<Subrange>()?;
    for function in [
        wrap_pyfunction!(fixed_point, module)?,
        wrap_pyfunction!(fixed_points, module)?,
        wrap_pyfunction!(subrange, module)?,
        wrap_pyfunction!(subranges, module)?,
        wrap_pyfunction!(acceptance, module)?,
        wrap_pyfunction!(reference_ratio, module)?,
        wrap_pyfunction!(reference_slope, module)?,
        wrap_pyfunction!(temperature_from_ratio, module)?,
        wrap_pyfunction!(temperature_from_ratio_approximate, module)?,
        wrap_pyfunction!(fixed_point_temperature, module)?,
        wrap_pyfunction!(hydrogen_vapour_pressure_temperature, module)?,
    ] {
        add_function(module, "its90", &function)?;
    }
    Ok(())
}
