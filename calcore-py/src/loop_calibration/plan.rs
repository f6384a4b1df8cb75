//! Before the work: the plan.

use super::document::{document, table_of};
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{Series, add_function, shown};
use crate::whole::whole_number;
use calcore::loop_calibration as core;
use pyo3::prelude::*;

document! {
    /// The plan: the fewest set points that serve all instruments, and their time.
    ///
    /// Examples
    /// --------
    /// >>> plan = cc.loop_calibration.plan(request)
    /// >>> plan.set_points, plan.optimal, plan.time_s < plan.time_one_by_one_s
    /// (1, True, True)
    Plan(core::Plan) of "cc.loop_calibration.plan(request)" {
        /// One entry a heat source that is used.
        sources: Vec<SourcePlan> = |p| p.sources.iter().cloned().map(SourcePlan).collect();
        /// Set points of all sources together, each counted once.
        set_points: usize = |p| p.set_points;
        /// Time of all sources one after the other, s.
        time_s: f64 = |p| p.time_s;
        /// Time if every element were calibrated by itself, s.
        time_one_by_one_s: f64 = |p| p.time_one_by_one_s;
        /// Whether no plan has fewer set points, and no assignment with as few takes less time.
        optimal: bool = |p| p.optimal;
        /// Which instruments each source could serve, by tags of sources.
        can_share: std::collections::BTreeMap<String, Vec<String>> = |p| {
            p.can_share.iter().map(|one| (one.tag.clone(), one.instruments.clone())).collect()
        };
    }

    fn __repr__(&self) -> String {
        format!(
            "Plan({} set points, {} h instead of {} h, {})",
            self.0.set_points,
            shown(self.0.time_s / 3600.0),
            shown(self.0.time_one_by_one_s / 3600.0),
            if self.0.optimal { "optimal" } else { "not proven optimal" }
        )
    }

    fn _repr_html_(&self) -> String {
        self.0.sources.iter().map(source_table).collect()
    }
}

document! {
    /// What one heat source does.
    ///
    /// Examples
    /// --------
    /// >>> source = cc.loop_calibration.plan(request).sources[0]
    /// >>> source.tag, source.visits_c, source.proof
    /// ('block', array([100.]), [('TT-1', 0)])
    SourcePlan(core::SourcePlan) of "cc.loop_calibration.plan(request).sources[0]" {
        /// Its tag.
        tag: String = |s| s.tag.clone();
        /// Tags of the instruments in it.
        instruments: Vec<String> = |s| s.instruments.clone();
        /// The set points, ascending.
        set_points: Vec<PlannedPoint> = |s| s.set_points.iter().cloned().map(PlannedPoint).collect();
        /// The set points in the order in which they are visited, °C.
        visits_c: Series = |s| Series(s.visits_c.clone());
        /// Time, s.
        time_s: f64 = |s| s.time_s;
        /// Why there cannot be fewer: as many required points (instrument, number), no two of which one can serve.
        proof: Vec<(String, usize)> = |s| s.proof.clone();
    }

    fn __repr__(&self) -> String {
        let visits: Vec<String> = self.0.visits_c.iter().map(|t| format!("{t}")).collect();
        format!("SourcePlan({}: {} °C, {} h)", self.0.tag, visits.join(", "), shown(self.0.time_s / 3600.0))
    }

    fn _repr_html_(&self) -> String {
        source_table(&self.0)
    }
}

document! {
    /// One shared set point.
    ///
    /// Examples
    /// --------
    /// >>> point = cc.loop_calibration.plan(request).sources[0].set_points[0]
    /// >>> point.t_c, point.between_c
    /// (100.0, (98.0, 102.0))
    PlannedPoint(core::PlannedPoint) of "cc.loop_calibration.plan(request).sources[0].set_points[0]" {
        /// Where, °C.
        t_c: f64 = |p| p.t_c;
        /// From where to where it could be moved, °C.
        between_c: (f64, f64) = |p| p.between_c;
        /// Whom it serves: instrument and number of its point.
        serves: Vec<(String, usize)> = |p| p.serves.clone();
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.0.between_c;
        format!("PlannedPoint({} °C, between {low} °C and {high} °C, serves {})", self.0.t_c, self.0.serves.len())
    }
}

fn source_table(source: &core::SourcePlan) -> String {
    let caption = format!("{}: {} h", source.tag, shown(source.time_s / 3600.0));
    table_of(&caption, &["set point, °C", "between, °C", "serves"], &source.set_points, |point| {
        let serves: Vec<String> = point.serves.iter().map(|(tag, _)| tag.clone()).collect();
        let (low, high) = point.between_c;
        vec![shown(point.t_c), format!("{} to {}", shown(low), shown(high)), serves.join(", ")]
    })
}

/// Plans the work: the fewest shared set points, their order and their time.
///
/// Parameters
/// ----------
/// request : PlanRequest or dict
///     Instruments with their points, heat sources, order and time of reading.
///
/// Returns
/// -------
/// Plan
///
/// Raises
/// ------
/// DocumentError
///     For a field that is missing or unknown.
/// InvalidRunError
///     With everything that is wrong with the request.
///
/// Source
/// ------
/// Piercing of intervals on a line: the greedy choice is optimal (textbooks).
///
/// Examples
/// --------
/// >>> lc = cc.loop_calibration
/// >>> point = lc.PlanPoint.celsius(100.0, within_k=2.0)
/// >>> two = [lc.PlanInstrument(tag, 0.0, 200.0, [point]) for tag in ("TT-1", "TT-2")]
/// >>> block = lc.PlanSource("block", 30.0, 300.0, heating_k_per_min=10.0, cooling_k_per_min=5.0, settling_s=600.0, bores=3)
/// >>> lc.plan(lc.PlanRequest(two, [block], order="up", reading_s=120.0)).set_points
/// 1
#[pyfunction]
#[pyo3(signature = (request))]
fn plan(request: &Bound<'_, PyAny>) -> PyResult<Plan> {
    let py = request.py();
    let request: core::PlanRequest = json::described(request)?;
    Ok(Plan(py.detach(|| core::plan(&request)).or_raise(py)?))
}

/// Where to calibrate for a polynomial: the points at which equal uncertainties determine it best, °C.
///
/// Parameters
/// ----------
/// degree : int
///     Degree of the polynomial, 1 to 12.
/// low_c, high_c : float
///     Range, °C.
///
/// Returns
/// -------
/// array
///     °C.
///
/// Raises
/// ------
/// InvalidValueError, NotFiniteError
///
/// Source
/// ------
/// F. Pukelsheim, Optimal Design of Experiments (from memory).
///
/// Examples
/// --------
/// >>> cc.loop_calibration.fit_points(2, 0.0, 200.0)
/// array([  0., 100., 200.])
#[pyfunction]
#[pyo3(signature = (degree, low_c, high_c))]
fn fit_points(
    py: Python<'_>,
    #[pyo3(from_py_with = whole_number)] degree: usize,
    low_c: f64,
    high_c: f64,
) -> PyResult<Series> {
    Ok(Series(core::fit_points(degree, low_c, high_c).or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Plan>()?;
    module.add_class::<SourcePlan>()?;
    module.add_class::<PlannedPoint>()?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(plan, module)?)?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(fit_points, module)?)
}
