//! The reference at a set point, and every instrument there.

use crate::json;
use crate::objects::{Series, html_table, shown, view};
use crate::settling::{SettledState, Steadiness};
use crate::uncertainty::Budget;
use calcore::loop_calibration as core;
use numpy::PyArray1;
use pyo3::prelude::*;
use pyo3::types::PyDict;

view! {
    /// The reference at a set point.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().set_points[0].standard_uncertainty_k > 0.0
    /// True
    SetPointResult(core::SetPointResult) in "calcore.loop_calibration" {
        /// What the heat source was set to, °C.
        nominal_c: f64 = |s| s.nominal_c;
        /// Mean temperature by the reference thermometer, °C.
        reference_c: f64 = |s| s.reference_c;
        /// Standard uncertainty of it, K: reference and heat source.
        standard_uncertainty_k: f64 = |s| s.standard_uncertainty_k;
        /// Whether the reference was steady; None if the run does not say when it counts as such.
        steadiness: Option<Steadiness> = |s| s.steadiness.map(Steadiness);
        /// The stated test at the last reading of the reference; None if the run does not ask for it.
        settled: Option<SettledState> = |s| s.settled.map(SettledState);
    }

    fn __repr__(&self) -> String {
        format!(
            "SetPointResult({} °C, reference {} °C, u={} K)",
            self.0.nominal_c, self.0.reference_c, self.0.standard_uncertainty_k
        )
    }
}

view! {
    /// All points of one instrument.
    ///
    /// Examples
    /// --------
    /// >>> one = run.evaluate().instruments[run.tags[0]]
    /// >>> one.tag == run.tags[0]
    /// True
    InstrumentResult(core::InstrumentResult) in "calcore.loop_calibration" {
        /// Its tag.
        tag: String = |i| i.tag.clone();
        /// "element", "transmitter", "output_stage", "indicator" or "control_system".
        kind: String = |i| json::name(&i.kind);
        /// Unit of its readings.
        unit: &'static str = |i| i.unit.name();
        /// One entry a set point at which it was read.
        points: Vec<PointResult> = |i| i.points.iter().cloned().map(PointResult).collect();
        /// The worst of its verdicts.
        verdict: &'static str = |i| i.verdict.name();
        /// Which of its points uses the largest part of its tolerance.
        worst_point: usize = |i| i.worst_point;
    }

    /// Its points as columns of the same length; what a data frame is made of.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Lists of text and arrays by the names of the attributes of `PointResult`.
    ///
    /// Examples
    /// --------
    /// >>> columns = run.evaluate().instruments["TIC-4107"].columns()
    /// >>> set(columns["tag"]), len(columns["error_k"]) == len(columns["verdict"])
    /// ({'TIC-4107'}, True)
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        columns(py, &[&self.0])
    }

    fn __repr__(&self) -> String {
        format!("InstrumentResult({}, {} points: {})", self.0.tag, self.0.points.len(), self.verdict())
    }

    fn _repr_html_(&self) -> String {
        instrument_table(&self.0)
    }
}

view! {
    /// One instrument at one set point.
    ///
    /// Examples
    /// --------
    /// >>> point = run.evaluate().instruments[run.tags[0]].points[0]
    /// >>> bool(abs(point.error_k) < 10.0)
    /// True
    PointResult(core::PointResult) in "calcore.loop_calibration" {
        /// Which set point of the run, counted from 0.
        set_point: usize = |p| p.set_point;
        /// What the heat source was set to, °C.
        nominal_c: f64 = |p| p.nominal_c;
        /// Temperature by the reference thermometer at the moments of the readings, mean, °C.
        reference_c: f64 = |p| p.reference_c;
        /// Mean reading, in the unit of the instrument.
        reading: f64 = |p| p.reading;
        /// Temperature that the readings stand for, mean, °C.
        indicated_c: f64 = |p| p.indicated_c;
        /// Error: indicated minus reference, in the unit of the instrument.
        error: f64 = |p| p.error;
        /// The same in kelvin.
        error_k: f64 = |p| p.error_k;
        /// The same in percent of the span.
        error_percent_of_span: f64 = |p| p.error_percent_of_span;
        /// Standard uncertainty of the error, K.
        standard_uncertainty_k: f64 = |p| p.standard_uncertainty_k;
        /// Expanded uncertainty of the error, K.
        expanded_uncertainty_k: f64 = |p| p.expanded_uncertainty_k;
        /// Expanded uncertainty of the error, in the unit of the instrument.
        expanded_uncertainty: f64 = |p| p.expanded_uncertainty;
        /// Coverage factor.
        coverage_factor: f64 = |p| p.coverage_factor;
        /// Most negative error allowed, K.
        tolerance_lower_k: f64 = |p| p.tolerance_lower_k;
        /// Most positive error allowed, K.
        tolerance_upper_k: f64 = |p| p.tolerance_upper_k;
        /// Guard band of the decision, K.
        guard_band_k: f64 = |p| p.guard_band_k;
        /// What the decision rule says.
        verdict: &'static str = |p| p.verdict.name();
        /// Probability that the error lies within the tolerance.
        probability_of_conformity: f64 = |p| p.probability_of_conformity;
        /// What the uncertainty is made of, all in kelvin.
        budget: Budget = |p| Budget(p.budget.clone());
    }

    fn __repr__(&self) -> String {
        format!(
            "PointResult({} °C: error {} K ± {} K, {})",
            shown(self.0.reference_c),
            shown(self.0.error_k),
            shown(self.0.expanded_uncertainty_k),
            self.verdict()
        )
    }
}

pub(super) fn instrument_table(instrument: &core::InstrumentResult) -> String {
    let unit = instrument.unit.name();
    let rows: Vec<Vec<String>> = instrument
        .points
        .iter()
        .map(|point| {
            vec![
                format!("{:.3}", point.reference_c),
                shown(point.reading),
                format!("{:+.3}", point.error_k),
                format!("{:+.3}", point.error_percent_of_span),
                format!("{:.3}", point.expanded_uncertainty_k),
                format!("{:+.3} to {:+.3}", point.tolerance_lower_k, point.tolerance_upper_k),
                point.verdict.name().replace('_', " "),
            ]
        })
        .collect();
    let caption = format!("{}: {}", instrument.tag, instrument.verdict.name().replace('_', " "));
    let reading = format!("reading, {unit}");
    let headings =
        ["reference, °C", reading.as_str(), "error, K", "error, % of span", "U, K", "tolerance, K", "verdict"];
    html_table(&caption, &headings, &rows)
}

/// A number of a point.
type Number = fn(&core::PointResult) -> f64;

/// Points of instruments as columns.
pub(super) fn columns<'py>(py: Python<'py>, instruments: &[&core::InstrumentResult]) -> PyResult<Bound<'py, PyDict>> {
    let points = || instruments.iter().flat_map(|one| one.points.iter().map(move |point| (*one, point)));
    let all = PyDict::new(py);
    all.set_item("tag", points().map(|(one, _)| one.tag.as_str()).collect::<Vec<_>>())?;
    all.set_item("kind", points().map(|(one, _)| json::name(&one.kind)).collect::<Vec<_>>())?;
    all.set_item("unit", points().map(|(one, _)| one.unit.name()).collect::<Vec<_>>())?;
    let set_points = points().map(|(_, point)| point.set_point as i64);
    all.set_item("set_point", PyArray1::from_iter(py, set_points))?;
    let numbers: [(&str, Number); 15] = [
        ("nominal_c", |p| p.nominal_c),
        ("reference_c", |p| p.reference_c),
        ("reading", |p| p.reading),
        ("indicated_c", |p| p.indicated_c),
        ("error", |p| p.error),
        ("error_k", |p| p.error_k),
        ("error_percent_of_span", |p| p.error_percent_of_span),
        ("standard_uncertainty_k", |p| p.standard_uncertainty_k),
        ("expanded_uncertainty_k", |p| p.expanded_uncertainty_k),
        ("expanded_uncertainty", |p| p.expanded_uncertainty),
        ("coverage_factor", |p| p.coverage_factor),
        ("tolerance_lower_k", |p| p.tolerance_lower_k),
        ("tolerance_upper_k", |p| p.tolerance_upper_k),
        ("guard_band_k", |p| p.guard_band_k),
        ("probability_of_conformity", |p| p.probability_of_conformity),
    ];
    for (name, get) in numbers {
        all.set_item(name, Series(points().map(|(_, point)| get(point)).collect()))?;
    }
    all.set_item("verdict", points().map(|(_, point)| point.verdict.name()).collect::<Vec<_>>())?;
    Ok(all)
}
