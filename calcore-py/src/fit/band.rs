//! What a fitted curve is good for: the band about it, and other forms of its coefficients.

use super::callendar_van_dusen::CallendarVanDusenFit;
use crate::arrays::Numbers;
use crate::errors::OrRaise;
use crate::objects::{Square, html_table, shown, view};
use calcore::fit as core;
use calcore::num::covariance::Covariance;
use numpy::PyArrayMethods;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

/// The band about a fitted curve at one temperature, or at an array of them: of R(t), and, read backwards, of t(R).
///
/// Examples
/// --------
/// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_t=0.01, u_ohm=0.001)
/// >>> fit.band([50.0, 150.0], coverage_factor=2.0).half_width_k.round(3)
/// array([0.017, 0.018])
#[pyclass(frozen, get_all, module = "calcore.fit")]
pub(crate) struct Band {
    /// Temperature, °C.
    t_c: Py<PyAny>,
    /// Resistance of the fitted curve, ohm.
    ohm: Py<PyAny>,
    /// Half-width of the band of R(t), ohm.
    half_width_ohm: Py<PyAny>,
    /// Half-width of the band of t(R), K.
    half_width_k: Py<PyAny>,
    /// Number of standard uncertainties that the half-widths are.
    coverage_factor: f64,
}

impl Band {
    pub(super) fn about(fit: &CallendarVanDusenFit, t_c: &Bound<'_, PyAny>, coverage_factor: f64) -> PyResult<Self> {
        let py = t_c.py();
        let numbers = Numbers::read("t_c", t_c)?;
        let given = match &numbers {
            Numbers::One(value) => vec![*value],
            Numbers::Many(array) => array.to_vec()?,
        };
        let fit = &fit.0.fit;
        let mut points = fit.band(&given, coverage_factor);
        if let Numbers::One(_) = numbers {
            points = points.map_err(crate::errors::without_position);
        }
        let points = points.or_raise(py)?;
        let part = |of: fn(&core::BandPoint) -> f64| numbers.like(py, points.iter().map(of).collect());
        Ok(Self {
            t_c: part(|p| p.t_c)?,
            ohm: part(|p| p.ohm)?,
            half_width_ohm: part(|p| p.half_width_ohm)?,
            half_width_k: part(|p| p.half_width_k)?,
            coverage_factor,
        })
    }
}

#[pymethods]
impl Band {
    /// The same again, for pickling.
    #[staticmethod]
    fn _of(
        t_c: Py<PyAny>,
        ohm: Py<PyAny>,
        half_width_ohm: Py<PyAny>,
        half_width_k: Py<PyAny>,
        coverage_factor: f64,
    ) -> Self {
        Self { t_c, ohm, half_width_ohm, half_width_k, coverage_factor }
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!(
            "Band(k={}; {} °C; {} ohm ± {} ohm, ± {} K)",
            self.coverage_factor,
            self.t_c.bind(py).str()?,
            self.ohm.bind(py).str()?,
            self.half_width_ohm.bind(py).str()?,
            self.half_width_k.bind(py).str()?
        ))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let (py, b) = (slf.py(), slf.get());
        let values = (&b.t_c, &b.ohm, &b.half_width_ohm, &b.half_width_k, b.coverage_factor);
        (slf.get_type().getattr("_of")?, values).into_pyobject(py)
    }
}

view! {
    /// Callendar's and Van Dusen's constants with their covariance.
    ///
    /// Examples
    /// --------
    /// >>> fit = cc.fit.callendar_van_dusen([0.0, 100.0, 200.0], [100.0, 138.5055, 175.856], u_ohm=0.001)
    /// >>> form = fit.alpha_delta_beta()
    /// >>> round(form.alpha, 6), round(form.delta, 2)
    /// (0.003851, 1.5)
    AlphaDeltaBeta(core::AlphaDeltaBeta) in "calcore.fit" {
        /// R0, ohm.
        r0: f64 = |f| f.r0;
        /// alpha, 1/K.
        alpha: f64 = |f| f.alpha;
        /// delta, °C.
        delta: f64 = |f| f.delta;
        /// beta, °C.
        beta: f64 = |f| f.beta;
        /// Covariance over (r0, alpha, delta, beta) in ohm, 1/K, °C, °C; None where the fit has none.
        covariance: Option<Square> = |f| f.covariance.as_ref().map(Square::from);
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(r0: f64, alpha: f64, delta: f64, beta: f64, covariance: Option<Vec<f64>>) -> Self {
        let covariance = covariance.map(|v| Covariance::from_fn(4, |i, j| v.get(4 * i + j).copied().unwrap_or(0.0)));
        Self(core::AlphaDeltaBeta { r0, alpha, delta, beta, covariance })
    }

    fn __repr__(&self) -> String {
        let f = &self.0;
        format!("AlphaDeltaBeta(r0={:?} ohm, alpha={:?} /K, delta={:?} °C, beta={:?} °C)", f.r0, f.alpha, f.delta, f.beta)
    }

    fn _repr_html_(&self) -> String {
        let f = &self.0;
        let constants =
            [("R0", "ohm", f.r0), ("alpha", "1/K", f.alpha), ("delta", "°C", f.delta), ("beta", "°C", f.beta)];
        let rows: Vec<Vec<String>> = constants
            .into_iter()
            .enumerate()
            .map(|(i, (name, unit, value))| {
                let u = f.covariance.as_ref().map_or("unknown".into(), |v| shown(v.standard_uncertainty(i)));
                vec![name.into(), format!("{value:.9e}"), u, unit.into()]
            })
            .collect();
        html_table("Callendar's and Van Dusen's constants", &["constant", "value", "standard uncertainty", "unit"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let f = &slf.get().0;
        let values = (f.r0, f.alpha, f.delta, f.beta, f.covariance.as_ref().map(|v| v.values().to_vec()));
        (slf.get_type().getattr("_of")?, values).into_pyobject(slf.py())
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Band>()?;
    module.add_class::<AlphaDeltaBeta>()
}
