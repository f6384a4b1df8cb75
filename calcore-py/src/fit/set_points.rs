//! Where to measure.

use crate::arrays::series;
use crate::curves::CallendarVanDusen;
use crate::errors::OrRaise;
use crate::objects::{Series, add_function, view};
use crate::whole::whole_number;
use calcore::fit as core;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

view! {
    /// Set points, and the worst standard uncertainty of the curve fitted to them.
    ///
    /// Examples
    /// --------
    /// >>> cc.fit.set_points(cc.CallendarVanDusen.iec60751(), 0.0, 200.0, 3, u_t=0.01).t_c.round(0)
    /// array([  0., 102., 200.])
    SetPoints(core::SetPoints) in "calcore.fit" {
        /// The points, ascending, °C; equal ones are repeats.
        t_c: Series = |f| Series(f.t_c.clone());
        /// Largest standard uncertainty of the fitted curve over the range, K.
        largest_uncertainty_k: f64 = |f| f.largest_uncertainty_k;
        /// Where it stands, °C.
        at_c: f64 = |f| f.at_c;
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(t_c: Vec<f64>, largest_uncertainty_k: f64, at_c: f64) -> Self {
        Self(core::SetPoints { t_c, largest_uncertainty_k, at_c })
    }

    fn __repr__(&self) -> String {
        let points: Vec<String> = self.0.t_c.iter().map(|t| format!("{t:.2}")).collect();
        format!(
            "SetPoints({} °C; largest standard uncertainty {:.3e} K at {:.1} °C)",
            points.join(", "),
            self.0.largest_uncertainty_k,
            self.0.at_c
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let f = &slf.get().0;
        (slf.get_type().getattr("_of")?, (&f.t_c, f.largest_uncertainty_k, f.at_c)).into_pyobject(slf.py())
    }
}

view! {
    /// A user's own set points beside the best ones.
    ///
    /// Examples
    /// --------
    /// >>> pt100 = cc.CallendarVanDusen.iec60751()
    /// >>> check = cc.fit.assess_set_points(pt100, 0.0, 200.0, [0.0, 20.0, 200.0], u_t=0.01)
    /// >>> check.ratio > 1.5
    /// True
    SetPointAssessment(core::SetPointAssessment) in "calcore.fit" {
        /// The user's choice.
        own: SetPoints = |f| SetPoints(f.own.clone());
        /// The best choice of as many points.
        best: SetPoints = |f| SetPoints(f.best.clone());
        /// How much larger the worst uncertainty of the user's choice is: 1 is as good.
        ratio: f64 = |f| f.ratio;
    }

    /// The same again, for pickling.
    #[staticmethod]
    fn _of(own: &Bound<'_, SetPoints>, best: &Bound<'_, SetPoints>, ratio: f64) -> Self {
        Self(core::SetPointAssessment { own: own.get().0.clone(), best: best.get().0.clone(), ratio })
    }

    fn __repr__(&self) -> String {
        format!(
            "SetPointAssessment(largest standard uncertainty {:.3e} K, {:.3} times that of the best {} points)",
            self.0.own.largest_uncertainty_k,
            self.0.ratio,
            self.0.best.t_c.len()
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let f = &slf.get().0;
        let values = (SetPoints(f.own.clone()), SetPoints(f.best.clone()), f.ratio);
        (slf.get_type().getattr("_of")?, values).into_pyobject(slf.py())
    }
}

/// The set points at which an element is best calibrated between two temperatures.
///
/// The largest standard uncertainty of the fitted curve over the range is the smallest (G-optimal). An error that all
/// points share changes nothing in the choice.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen
///     A curve near that of the element.
/// low_c, high_c : float
///     The range, °C.
/// points : int
///     How many set points; repeats count.
/// u_t : float
///     Standard uncertainty of a temperature, independent from point to point, K.
/// u_ohm : float
///     Standard uncertainty of a resistance, ohm.
/// fit_c : bool
///     Whether C is fitted too, which needs points below 0 °C.
///
/// Returns
/// -------
/// SetPoints
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// TooFewPointsError
///     For fewer points than coefficients.
/// UndeterminedError
///     Where C shall be fitted without temperatures below 0 °C.
///
/// Source
/// ------
/// F. Pukelsheim, Optimal Design of Experiments (1993), chapter 9.
///
/// Examples
/// --------
/// >>> plan = cc.fit.set_points(cc.CallendarVanDusen.iec60751(), -50.0, 200.0, 5, u_t=0.01, u_ohm=0.001)
/// >>> float(plan.t_c[0]), float(plan.t_c[-1])
/// (-50.0, 200.0)
#[pyfunction]
#[pyo3(signature = (curve, low_c, high_c, points, *, u_t=0.0, u_ohm=0.0, fit_c=false))]
#[allow(clippy::too_many_arguments)]
fn set_points(
    curve: &Bound<'_, CallendarVanDusen>,
    low_c: f64,
    high_c: f64,
    #[pyo3(from_py_with = whole_number)] points: usize,
    u_t: f64,
    u_ohm: f64,
    fit_c: bool,
) -> PyResult<SetPoints> {
    let (py, curve) = (curve.py(), curve.get().0);
    let options = core::SetPointOptions { u_t, u_ohm, fit_c };
    let found = py.detach(|| core::set_points(&curve, low_c, high_c, points, options));
    Ok(SetPoints(found.or_raise(py)?))
}

/// A user's own set points, and how much worse they are than the best choice of as many.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen
///     A curve near that of the element.
/// low_c, high_c : float
///     The range, °C.
/// t_c : array-like
///     The user's set points, °C.
/// u_t : float
///     Standard uncertainty of a temperature, independent from point to point, K.
/// u_ohm : float
///     Standard uncertainty of a resistance, ohm.
/// fit_c : bool
///     Whether C is fitted too, which needs points below 0 °C.
///
/// Returns
/// -------
/// SetPointAssessment
///
/// Raises
/// ------
/// NotFiniteError, OutOfRangeError, InvalidValueError
/// TooFewPointsError
///     For fewer points than coefficients.
/// UndeterminedError
///     Where the set points do not determine the coefficients.
///
/// Source
/// ------
/// F. Pukelsheim, Optimal Design of Experiments (1993), chapter 9.
///
/// Examples
/// --------
/// >>> pt100 = cc.CallendarVanDusen.iec60751()
/// >>> round(cc.fit.assess_set_points(pt100, 0.0, 200.0, [0.0, 100.0, 200.0], u_t=0.01).ratio, 2)
/// 1.0
#[pyfunction]
#[pyo3(signature = (curve, low_c, high_c, t_c, *, u_t=0.0, u_ohm=0.0, fit_c=false))]
#[allow(clippy::too_many_arguments)]
fn assess_set_points(
    curve: &Bound<'_, CallendarVanDusen>,
    low_c: f64,
    high_c: f64,
    t_c: &Bound<'_, PyAny>,
    u_t: f64,
    u_ohm: f64,
    fit_c: bool,
) -> PyResult<SetPointAssessment> {
    let (py, curve, t_c) = (curve.py(), curve.get().0, series("t_c", t_c)?);
    let options = core::SetPointOptions { u_t, u_ohm, fit_c };
    let found = py.detach(|| core::assess_set_points(&curve, low_c, high_c, &t_c, options));
    Ok(SetPointAssessment(found.or_raise(py)?))
}

/// Abscissae between -1 and 1 at which a polynomial is best measured.
///
/// Parameters
/// ----------
/// degree : int
///     Highest power, 1 to 3.
/// points : int
///     How many; repeats count.
///
/// Returns
/// -------
/// array
///     Ascending.
///
/// Raises
/// ------
/// OutOfRangeError, TooFewPointsError
///
/// Source
/// ------
/// F. Pukelsheim, Optimal Design of Experiments (1993), 9.5; J. Kiefer and J. Wolfowitz, Can. J. Math. 12 (1960) 363.
///
/// Examples
/// --------
/// >>> cc.fit.optimal_abscissae(3, 4).round(3)  # ±1 and ±1/√5
/// array([-1.   , -0.447,  0.447,  1.   ])
#[pyfunction]
#[pyo3(signature = (degree, points))]
fn optimal_abscissae(
    py: Python<'_>,
    #[pyo3(from_py_with = whole_number)] degree: usize,
    #[pyo3(from_py_with = whole_number)] points: usize,
) -> PyResult<Series> {
    Ok(Series(py.detach(|| core::optimal_abscissae(degree, points)).or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<SetPoints>()?;
    module.add_class::<SetPointAssessment>()?;
    add_function(module, "fit", &wrap_pyfunction!(set_points, module)?)?;
    add_function(module, "fit", &wrap_pyfunction!(assess_set_points, module)?)?;
    add_function(module, "fit", &wrap_pyfunction!(optimal_abscissae, module)?)
}
