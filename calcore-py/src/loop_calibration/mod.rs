//! The whole job: a run and its evaluation.

mod history;
mod work;

use crate::arrays::series;
use crate::curves::CallendarVanDusen;
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{Notice, Series, Square, html_table, shown, view};
use crate::settling::Steadiness;
use crate::uncertainty::Budget;
use calcore::loop_calibration as core;
use pyo3::prelude::*;
use pyo3::types::{IntoPyDict, PyDict, PyTuple, PyType};

view! {
    /// A run at the block: everything needed to compute every number of its result.
    ///
    /// It is read from JSON or from dicts and lists of the same form, and checked: a missing, unknown or misspelt field
    /// is refused with its path.
    ///
    /// Examples
    /// --------
    /// >>> cc.loop_calibration.Run.from_json('{"schema_version": 1, "titel": "x"}')
    /// Traceback (most recent call last):
    /// calcore.DocumentError: titel: unknown field `titel`...
    Run(core::Run) in "calcore.loop_calibration" {
        /// Version of the description.
        schema_version: u32 = |r| r.schema_version;
        /// What the run is about.
        title: String = |r| r.title.clone();
        /// Anything else worth keeping.
        note: Option<String> = |r| r.note.clone();
        /// "as_found" or "as_left".
        phase: String = |r| json::name(&r.phase);
        /// Tag of the reference thermometer.
        reference: String = |r| r.reference.tag.clone();
        /// Tags of the instruments, in the order of the description.
        tags: Vec<String> = |r| r.instruments.iter().map(|instrument| instrument.tag.clone()).collect();
        /// Set points in the order in which they were visited, °C.
        nominal_c: Series = |r| Series(r.set_points.iter().map(|set_point| set_point.nominal_c).collect());
    }

    /// Reads a description.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     JSON.
    ///
    /// Returns
    /// -------
    /// Run
    ///
    /// Raises
    /// ------
    /// DocumentError
    ///     At the first field that is missing, unknown, misspelt or of the wrong kind, with its path.
    /// InvalidRunError
    ///     With all contradictions in `problems`.
    ///
    /// Examples
    /// --------
    /// >>> try:
    /// ...     cc.loop_calibration.Run.from_json("{}")
    /// ... except cc.DocumentError as error:
    /// ...     error.code
    /// 301
    #[classmethod]
    fn from_json(class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        Ok(Self(core::Run::from_json(text).or_raise(class.py())?))
    }

    /// Reads a description given as dicts and lists.
    ///
    /// Parameters
    /// ----------
    /// description : dict
    ///     Of the form of the JSON document.
    ///
    /// Returns
    /// -------
    /// Run
    ///
    /// Raises
    /// ------
    /// DocumentError, InvalidRunError
    ///     As `from_json`.
    ///
    /// Examples
    /// --------
    /// >>> try:
    /// ...     cc.loop_calibration.Run.from_dict({"schema_version": 1})
    /// ... except cc.DocumentError as error:
    /// ...     error.code
    /// 301
    #[classmethod]
    fn from_dict(class: &Bound<'_, PyType>, description: &Bound<'_, PyDict>) -> PyResult<Self> {
        let py = class.py();
        let options = [("allow_nan", false)].into_py_dict(py)?;
        let text: String = py.import("json")?.call_method("dumps", (description,), Some(&options))?.extract()?;
        Self::from_json(class, &text)
    }

    /// The description as JSON.
    ///
    /// Returns
    /// -------
    /// str
    ///     Compact; numbers in the shortest form that reads back to the same bits.
    ///
    /// Examples
    /// --------
    /// >>> run.from_json(run.to_json()) == run
    /// True
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        self.0.to_json().or_raise(py)
    }

    /// The description as dicts and lists.
    ///
    /// Returns
    /// -------
    /// dict
    ///
    /// Examples
    /// --------
    /// >>> run.to_dict()["schema_version"]
    /// 1
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        json::as_objects(py, &self.to_json(py)?)
    }

    /// Evaluates the run.
    ///
    /// Returns
    /// -------
    /// RunResult
    ///
    /// Raises
    /// ------
    /// InvalidRunError
    ///     With all contradictions in `problems`.
    /// CalcoreError
    ///     What a curve or a tolerance refuses.
    ///
    /// Source
    /// ------
    /// JCGM 100:2008 for the uncertainties; the documents used stand in `RunResult.documents`.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().attribution[0].cause in run.tags
    /// True
    fn evaluate(&self, py: Python<'_>) -> PyResult<RunResult> {
        Ok(RunResult(py.detach(|| self.0.evaluate()).or_raise(py)?))
    }

    /// The run with its set points read from a table. Empty cells are left out and reported.
    ///
    /// Parameters
    /// ----------
    /// table : str or dict
    ///     Separated text whose first line names the columns, or columns by their names; NaN is a missing value.
    /// mapping : dict
    ///     Which column is what: "time", "set_point", "readings" as {"wide": [{"tag": ..., "column": ...}]}, "decimal_mark".
    /// separator : str
    ///     What separates the cells of a text.
    ///
    /// Returns
    /// -------
    /// (Run, list of Notice)
    ///     The run, and what was left out.
    ///
    /// Raises
    /// ------
    /// DocumentError, InvalidRunError
    ///
    /// Examples
    /// --------
    /// >>> text = "t;sp;ref;tic\n0;100;138,54;100,6\n30;100;138,54;\n"
    /// >>> columns = [{"tag": "REF-01", "column": "ref"}, {"tag": "TIC-4107", "column": "tic"}]
    /// >>> mapping = {"time": "t", "set_point": "sp", "readings": {"wide": columns}, "decimal_mark": ","}
    /// >>> read, left_out = run.with_table(text, mapping, separator=";")
    /// >>> len(read.nominal_c), left_out[0].path
    /// (1, 'row 2, column "tic"')
    #[pyo3(signature = (table, mapping, *, separator=','))]
    fn with_table(
        &self,
        table: &Bound<'_, PyAny>,
        mapping: &Bound<'_, PyDict>,
        separator: char,
    ) -> PyResult<(Self, Vec<Notice>)> {
        let py = table.py();
        let table = if let Ok(columns) = table.cast::<PyDict>() {
            let named: Vec<(String, Vec<f64>)> = columns
                .iter()
                .map(|(name, values)| Ok((name.extract()?, series("a column of the table", &values)?)))
                .collect::<PyResult<_>>()?;
            let arrays: Vec<(&str, &[f64])> =
                named.iter().map(|(name, values)| (name.as_str(), values.as_slice())).collect();
            core::Table::from_arrays(&arrays)
        } else {
            core::Table::from_csv(&table.extract::<String>()?, separator)
        };
        let mapping: core::Mapping = json::described(mapping)?;
        let read = table.and_then(|table| self.0.clone().with_table(&table, &mapping));
        let (run, left_out) = read.or_raise(py)?;
        let notices = left_out.iter().map(|notice| Notice::new(&notice.code, &notice.message, Some(&notice.path)));
        Ok((Self(run), notices.collect()))
    }

    fn __repr__(&self) -> String {
        format!(
            "Run({:?}, {}, {} instruments, {} set points)",
            self.0.title,
            self.phase(),
            self.0.instruments.len(),
            self.0.set_points.len()
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let py = slf.py();
        (slf.get_type().getattr("from_json")?, (slf.get().to_json(py)?,)).into_pyobject(py)
    }
}

view! {
    /// The evaluation of a run.
    ///
    /// Examples
    /// --------
    /// >>> result = run.evaluate()
    /// >>> list(result.instruments) == [tag for tag in run.tags if tag in result.instruments]
    /// True
    RunResult(core::RunResult) in "calcore.loop_calibration" {
        /// Version of the core that computed it.
        core_version: String = |r| r.core_version.clone();
        /// Documents by which it was computed.
        documents: Vec<String> = |r| r.documents.clone();
        /// "as_found" or "as_left".
        phase: String = |r| json::name(&r.phase);
        /// The reference, one entry a set point.
        set_points: Vec<SetPointResult> = |r| r.set_points.iter().cloned().map(SetPointResult).collect();
        /// One entry a loop: how its error is split over its links.
        attribution: Vec<Attribution> = |r| r.attribution.iter().cloned().map(Attribution).collect();
        /// Covariance of all errors, K², in the order of `instruments` and, within, of their points.
        covariance: Square = |r| Square::from(&r.covariance);
        /// New coefficients for the first element; None if none was read.
        element_fit: Option<ElementFit> = |r| r.element_fits.first().cloned().map(ElementFit);
        /// What to know; each with its code and the path into the run.
        warnings: Vec<Notice> = |r| {
            r.warnings.iter().map(|warning| Notice::new(&warning.code, &warning.message, Some(&warning.path))).collect()
        };
        /// What to mind when working at hot equipment and on live loops.
        cautions: Vec<String> = |r| r.cautions.clone();
        /// The run itself, from which all this can be computed again.
        run: Run = |r| Run(r.run.clone());
    }

    /// One dict a further reference and set point: how it compares with the first.
    #[getter]
    fn reference_comparisons<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        json::objects(py, &self.0.reference_comparisons)
    }

    /// All instruments that were read, by their tags.
    #[getter]
    fn instruments<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        self.0.instruments.iter().map(|one| (one.tag.clone(), InstrumentResult(one.clone()))).into_py_dict(py)
    }

    /// New coefficients for all elements that were read, by their tags.
    #[getter]
    fn element_fits<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        self.0.element_fits.iter().map(|fit| (fit.tag.clone(), ElementFit(fit.clone()))).into_py_dict(py)
    }

    /// The result as JSON.
    ///
    /// Returns
    /// -------
    /// str
    ///     Compact; the same run gives the same bytes in Rust, C and Python.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().to_json() == run.evaluate().to_json()
    /// True
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        self.0.to_json().or_raise(py)
    }

    /// The result as dicts and lists.
    ///
    /// Returns
    /// -------
    /// dict
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().to_dict()["core_version"] == cc.__version__
    /// True
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        json::as_objects(py, &self.to_json(py)?)
    }

    /// Hysteresis, repeatability, scatter and linearity of an instrument.
    ///
    /// Parameters
    /// ----------
    /// tag : str
    ///     Tag of the instrument.
    ///
    /// Returns
    /// -------
    /// dict or None
    ///     Fields such as `hysteresis_k`, `repeatability_k`, `linearity`; None for what its points do not tell. None for a tag
    ///     that was not read.
    ///
    /// Examples
    /// --------
    /// >>> "repeatability_k" in run.evaluate().figures(run.tags[0])
    /// True
    fn figures<'py>(&self, py: Python<'py>, tag: &str) -> PyResult<Option<Bound<'py, PyAny>>> {
        self.0.figures(tag).map(|figures| json::objects(py, &figures)).transpose()
    }

    /// What a loop would read if one of its links had no error of its own.
    ///
    /// Parameters
    /// ----------
    /// tag : str
    ///     Tag of the last link of the loop.
    /// link : str
    ///     Tag of the link.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     One a set point: `indicated_c`, `error_k`, `expanded_uncertainty_k`, `verdict` and more.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> result = run.evaluate()
    /// >>> loop = result.attribution[0]
    /// >>> "error_k" in result.after_correcting(loop.tag, loop.cause)[0]
    /// True
    fn after_correcting<'py>(&self, py: Python<'py>, tag: &str, link: &str) -> PyResult<Bound<'py, PyAny>> {
        json::objects(py, &self.0.after_correcting(tag, link).or_raise(py)?)
    }

    /// Possible explanations of the error of a loop, the one that explains most first.
    ///
    /// Parameters
    /// ----------
    /// tag : str
    ///     Tag of the last link of the loop.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     `link`, `pattern`, `causes`, `explained`.
    ///
    /// Examples
    /// --------
    /// >>> result = run.evaluate()
    /// >>> isinstance(result.hypotheses(result.attribution[0].tag), list)
    /// True
    fn hypotheses<'py>(&self, py: Python<'py>, tag: &str) -> PyResult<Bound<'py, PyAny>> {
        json::objects(py, &self.0.hypotheses(tag))
    }

    /// Single adjustments with what would remain after each, the best first.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     `tag`, `adjustment`, `within_tolerance`, `adjusts_the_cause`, `remaining`, `cautions` and more.
    ///
    /// Raises
    /// ------
    /// CalcoreError
    ///
    /// Examples
    /// --------
    /// >>> "within_tolerance" in run.evaluate().adjustments()[0]
    /// True
    fn adjustments<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        json::objects(py, &py.detach(|| self.0.adjustments()).or_raise(py)?)
    }

    /// What to do with every instrument when an adjustment is due from a part of the tolerance on.
    ///
    /// Parameters
    /// ----------
    /// adjust_from : float
    ///     Part of the tolerance, such as 0.7.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     `tag`, `used`, `verdict`, `action`.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().actions(0.7)[0]["tag"] == run.tags[0]
    /// True
    fn actions<'py>(&self, py: Python<'py>, adjust_from: f64) -> PyResult<Bound<'py, PyAny>> {
        json::objects(py, &self.0.actions(adjust_from).or_raise(py)?)
    }

    /// The data of a certificate by ISO/IEC 17025:2017, 7.8, rounded for print.
    ///
    /// Parameters
    /// ----------
    /// details : dict, optional
    ///     What it says beside the results: "title", "laboratory", "customer" and so on.
    ///
    /// Returns
    /// -------
    /// dict
    ///     `rows`, `uncertainty_statement`, `decision_statement`, `missing`, `notes` and more.
    ///
    /// Raises
    /// ------
    /// DocumentError
    ///
    /// Examples
    /// --------
    /// >>> sheet = run.evaluate().certificate({"title": "Calibration certificate"})
    /// >>> sheet["details"]["title"], len(sheet["missing"]) > 0
    /// ('Calibration certificate', True)
    #[pyo3(signature = (details=None))]
    fn certificate<'py>(&self, py: Python<'py>, details: Option<&Bound<'py, PyDict>>) -> PyResult<Bound<'py, PyAny>> {
        let details: core::CertificateDetails =
            details.map_or(Ok(core::CertificateDetails::default()), |details| json::described(details))?;
        json::objects(py, &self.0.certificate(&details))
    }

    /// All points as comma separated text, one line each, units in the header.
    ///
    /// Returns
    /// -------
    /// str
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().points_csv().count("\n") > len(run.tags)
    /// True
    fn points_csv(&self) -> String {
        self.0.points_csv()
    }

    fn __repr__(&self) -> String {
        let verdicts: Vec<String> =
            self.0.instruments.iter().map(|one| format!("{}: {}", one.tag, one.verdict.name())).collect();
        format!("RunResult({:?}, {})", self.0.run.title, verdicts.join(", "))
    }

    fn _repr_html_(&self) -> String {
        let instruments = self.0.instruments.iter().map(instrument_table);
        instruments.chain(self.0.attribution.iter().map(attribution_table)).collect()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let py = slf.py();
        let text = slf.get().0.run.to_json().or_raise(py)?;
        (slf.get_type().getattr("_of_run")?, (text,)).into_pyobject(py)
    }

    /// Evaluates a pickled run again: the same run gives the same bits.
    #[staticmethod]
    fn _of_run(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(core::Run::from_json(text).and_then(|run| run.evaluate()).or_raise(py)?))
    }
}

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

view! {
    /// The error of a loop, split over its links.
    ///
    /// Examples
    /// --------
    /// >>> loop = run.evaluate().attribution[0]
    /// >>> split = loop.set_points[0]
    /// >>> bool(abs(sum(share.error_k for share in split.shares) - split.error_k) < 1e-12)
    /// True
    Attribution(core::Attribution) in "calcore.loop_calibration" {
        /// Tag of the last link: what the operator sees.
        tag: String = |a| a.tag.clone();
        /// The links that were read, from the element on.
        links: Vec<String> = |a| a.links.clone();
        /// One entry a set point at which the last link was read.
        set_points: Vec<SetPointAttribution> = |a| a.set_points.iter().cloned().map(SetPointAttribution).collect();
        /// Tag of the link with the largest share.
        cause: String = |a| a.cause.clone();
        /// Whether that share exceeds its expanded uncertainty at a set point at least.
        significant: bool = |a| a.significant;
    }

    fn __repr__(&self) -> String {
        let clear = if self.0.significant { "significant" } else { "not significant" };
        format!("Attribution({}: cause {}, {clear})", self.0.tag, self.0.cause)
    }

    fn _repr_html_(&self) -> String {
        attribution_table(&self.0)
    }
}

view! {
    /// The split of the error of a loop at one set point.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().attribution[0].set_points[0].set_point
    /// 0
    SetPointAttribution(core::SetPointAttribution) in "calcore.loop_calibration" {
        /// Which set point of the run, counted from 0.
        set_point: usize = |s| s.set_point;
        /// Error of the loop, K: that of its last link.
        error_k: f64 = |s| s.error_k;
        /// The shares; their sum is the error of the loop.
        shares: Vec<LinkShare> = |s| s.shares.iter().cloned().map(LinkShare).collect();
    }

    fn __repr__(&self) -> String {
        let shares: Vec<String> =
            self.0.shares.iter().map(|share| format!("{} {} K", share.tag, shown(share.error_k))).collect();
        format!("SetPointAttribution({} K = {})", shown(self.0.error_k), shares.join(" + "))
    }
}

view! {
    /// What one link adds to the error of its loop.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().attribution[0].set_points[0].shares[0].tag == run.evaluate().attribution[0].links[0]
    /// True
    LinkShare(core::LinkShare) in "calcore.loop_calibration" {
        /// Tag of the link.
        tag: String = |s| s.tag.clone();
        /// Links before it that were not read and whose error is in this share.
        unread: Vec<String> = |s| s.unread.clone();
        /// What it adds to the error, K.
        error_k: f64 = |s| s.error_k;
        /// Standard uncertainty of it, K.
        standard_uncertainty_k: f64 = |s| s.standard_uncertainty_k;
        /// Expanded uncertainty of it, K.
        expanded_uncertainty_k: f64 = |s| s.expanded_uncertainty_k;
        /// Share of the error of the loop, percent; None where that error is zero.
        percent: Option<f64> = |s| s.percent;
    }

    fn __repr__(&self) -> String {
        format!(
            "LinkShare({}: {} K ± {} K)",
            self.0.tag,
            shown(self.0.error_k),
            shown(self.0.expanded_uncertainty_k)
        )
    }
}

view! {
    /// New coefficients for an element.
    ///
    /// Examples
    /// --------
    /// >>> fit = run.evaluate().element_fit
    /// >>> fit.curve.r0 == fit.r0
    /// True
    ElementFit(core::ElementFit) in "calcore.loop_calibration" {
        /// Tag of the element.
        tag: String = |f| f.tag.clone();
        /// Resistance at 0 °C, ohm.
        r0: f64 = |f| f.r0;
        /// Coefficient A, 1/K.
        a: f64 = |f| f.a;
        /// Coefficient B, 1/K².
        b: f64 = |f| f.b;
        /// Coefficient C, 1/K⁴.
        c: f64 = |f| f.c;
        /// Covariance of r0, a, b, c; zero rows where one was held.
        covariance: Option<Square> = |f| f.covariance.as_ref().map(Square::from);
        /// Names of the coefficients that were held.
        held: Vec<String> = |f| f.held.clone();
        /// Range in which the new curve holds, °C.
        range_c: (f64, f64) = |f| f.range_c;
        /// What the fit leaves at every point, K.
        residuals_k: Series = |f| Series(f.residuals_k.clone());
        /// Chi-squared of the fit.
        chi_squared: Option<f64> = |f| f.chi_squared;
        /// Degrees of freedom of the fit.
        degrees_of_freedom: usize = |f| f.degrees_of_freedom;
        /// Probability of a larger chi-squared, if the model is right.
        p_value: Option<f64> = |f| f.p_value;
        /// Standard uncertainty of the new curve, read backwards at every point, K.
        standard_uncertainties_k: Series = |f| Series(f.standard_uncertainties_k.clone());
        /// The curve itself.
        curve: CallendarVanDusen = |f| CallendarVanDusen(f.curve);
    }

    fn __repr__(&self) -> String {
        let core::ElementFit { tag, r0, a, b, c, .. } = &self.0;
        format!("ElementFit({tag}: r0={r0:?} ohm, a={a:?} /K, b={b:?} /K², c={c:?} /K⁴)")
    }
}

fn instrument_table(instrument: &core::InstrumentResult) -> String {
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

fn attribution_table(attribution: &core::Attribution) -> String {
    let rows: Vec<Vec<String>> = attribution
        .set_points
        .iter()
        .map(|point| {
            let share = |tag: &String| {
                let found = point.shares.iter().find(|share| share.tag == *tag);
                found.map_or("not read".into(), |share| format!("{:+.3}", share.error_k))
            };
            let own = [format!("{}", point.set_point + 1), format!("{:+.3}", point.error_k)];
            own.into_iter().chain(attribution.links.iter().map(share)).collect()
        })
        .collect();
    let caption = format!("Where the error of {} comes from, K: {}", attribution.tag, attribution.cause);
    let headings: Vec<&str> =
        ["set point", "error"].into_iter().chain(attribution.links.iter().map(String::as_str)).collect();
    html_table(&caption, &headings, &rows)
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    history::register(module)?;
    work::register(module)?;
    module.add_class::<Run>()?;
    module.add_class::<RunResult>()?;
    module.add_class::<SetPointResult>()?;
    module.add_class::<InstrumentResult>()?;
    module.add_class::<PointResult>()?;
    module.add_class::<Attribution>()?;
    module.add_class::<SetPointAttribution>()?;
    module.add_class::<LinkShare>()?;
    module.add_class::<ElementFit>()
}
