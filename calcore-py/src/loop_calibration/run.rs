//! A run at the block: described in JSON, in dicts, or by objects.

use super::RunResult;
use super::table::{mapping as described_mapping, table as read_table};
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{Notice, Series, view};
use calcore::loop_calibration as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple, PyType};

view! {
    /// A run at the block: everything needed to compute every number of its result.
    ///
    /// It is built of descriptions, or read from JSON or from dicts and lists of the same form, and checked: a missing,
    /// unknown or misspelt field is refused with its path, and all contradictions are listed at once.
    ///
    /// Parameters
    /// ----------
    /// title : str
    ///     What the run is about.
    /// phase : str
    ///     "as_found" or "as_left".
    /// coverage : Coverage or dict
    ///     How the standard uncertainty becomes an expanded one.
    /// decision : Decision or dict
    ///     The decision rule, agreed on before the work.
    /// reference : Reference or dict
    ///     The reference thermometer.
    /// heat_source : HeatSource or dict
    ///     The dry block or bath.
    /// instruments : sequence of Instrument or dict
    ///     The links of the loop.
    /// set_points : sequence of SetPoint or dict
    ///     In the order in which they were visited.
    /// further_references : sequence of Reference or dict
    ///     Further reference thermometers in the same heat source.
    /// combine_references : str, optional
    ///     "first" or "mean".
    /// max_extrapolation_s : float, optional
    ///     How far the reference may be extrapolated in time, s.
    /// settling : dict, optional
    ///     When the reference counts as settled: "window_s", "max_span_k", "max_slope_k_per_min".
    /// settled : dict, optional
    ///     The stated test on the reference: "window_s", "max_slope_per_min", "max_scatter", "dwell_s", "confidence",
    ///     "spike_limit", "resolution".
    /// note : str, optional
    ///     Anything else worth keeping.
    ///
    /// Examples
    /// --------
    /// >>> lc = cc.loop_calibration
    /// >>> short = lc.Run(
    /// ...     title="one display", phase="as_found", coverage=lc.Coverage.factor(2.0), decision=lc.Decision("simple"),
    /// ...     reference=lc.Reference("REF", "degC", [lc.Contribution.expanded("certificate", 0.03, coverage_factor=2.0)]),
    /// ...     heat_source=lc.HeatSource("block", [lc.Contribution.rectangular("axial", 0.05)]),
    /// ...     instruments=[
    /// ...         lc.Instrument("TE", "element", "ohm", lc.Range(-50.0, 250.0), lc.Tolerance.absolute(0.5, "K"),
    /// ...                       resolution=0.001, curve=cc.CallendarVanDusen.iec60751()),
    /// ...         lc.Instrument("TI", "indicator", "degC", lc.Range(0.0, 150.0), lc.Tolerance.percent_of_span(0.5),
    /// ...                       resolution=0.1, input="TE")],
    /// ...     set_points=[lc.SetPoint(100.0, [lc.Reading("REF", [0.0, 10.0], [100.01, 100.02]),
    /// ...                                     lc.Reading("TE", [5.0], [138.55]), lc.Reading("TI", [8.0], [100.3])])])
    /// >>> round(short.evaluate().instruments["TI"].points[0].error_k, 3)
    /// 0.282
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

    #[new]
    #[pyo3(signature = (*, title, phase, coverage, decision, reference, heat_source, instruments, set_points,
        further_references=None, combine_references=None, max_extrapolation_s=None, settling=None, settled=None, note=None))]
    #[expect(clippy::too_many_arguments, reason = "one a field of the description")]
    fn new<'py>(
        py: Python<'py>,
        title: &Bound<'py, PyAny>,
        phase: &Bound<'py, PyAny>,
        coverage: &Bound<'py, PyAny>,
        decision: &Bound<'py, PyAny>,
        reference: &Bound<'py, PyAny>,
        heat_source: &Bound<'py, PyAny>,
        instruments: &Bound<'py, PyAny>,
        set_points: &Bound<'py, PyAny>,
        further_references: Option<&Bound<'py, PyAny>>,
        combine_references: Option<&Bound<'py, PyAny>>,
        max_extrapolation_s: Option<&Bound<'py, PyAny>>,
        settling: Option<&Bound<'py, PyAny>>,
        settled: Option<&Bound<'py, PyAny>>,
        note: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Self> {
        let description = PyDict::new(py);
        description.set_item("schema_version", core::SCHEMA_VERSION)?;
        for (name, value) in [
            ("title", title),
            ("phase", phase),
            ("coverage", coverage),
            ("decision", decision),
            ("reference", reference),
            ("heat_source", heat_source),
            ("instruments", instruments),
            ("set_points", set_points),
        ] {
            description.set_item(name, value)?;
        }
        for (name, value) in [
            ("further_references", further_references),
            ("combine_references", combine_references),
            ("max_extrapolation_s", max_extrapolation_s),
            ("settling", settling),
            ("settled", settled),
            ("note", note),
        ] {
            if let Some(value) = value {
                description.set_item(name, value)?;
            }
        }
        Ok(Self(core::Run::from_json(&json::text(&description)?).or_raise(py)?))
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
    /// NotFiniteError
    ///     For every NaN or infinity, with its path in `problems`.
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
        Self::from_json(class, &json::text(description)?)
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
    /// table : str, dict or data frame
    ///     Separated text whose first line names the columns, or columns by their names; NaN is a missing value.
    /// mapping : Mapping or dict
    ///     Which column is what.
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
    /// DocumentError
    ///     For a mapping with a field that is missing or unknown.
    /// InvalidRunError
    ///     With all problems of the table, then with all contradictions of the run.
    ///
    /// Examples
    /// --------
    /// >>> text = "t;sp;ref;tic\n0;100;138,54;100,6\n30;100;138,54;\n"
    /// >>> mapping = cc.loop_calibration.Mapping.wide("t", "sp", {"REF-01": "ref", "TIC-4107": "tic"}, decimal_mark=",")
    /// >>> read, left_out = run.with_table(text, mapping, separator=";")
    /// >>> len(read.nominal_c), left_out[0].path
    /// (1, 'row 2, column "tic"')
    #[pyo3(signature = (table, mapping, *, separator=','))]
    fn with_table(
        &self,
        table: &Bound<'_, PyAny>,
        mapping: &Bound<'_, PyAny>,
        separator: char,
    ) -> PyResult<(Self, Vec<Notice>)> {
        let py = table.py();
        let mapping = described_mapping(mapping, table.is_instance_of::<PyString>())?;
        let table = read_table(table, separator)?;
        let (run, left_out) = py.detach(|| self.0.clone().with_table(&table, &mapping)).or_raise(py)?;
        let notices = left_out.iter().map(|notice| Notice::new(&notice.code, &notice.message, Some(&notice.path)));
        Ok((Self(run), notices.collect()))
    }

    /// A run whose readings stand in a table.
    ///
    /// Parameters
    /// ----------
    /// table : str, dict or data frame
    ///     As for `with_table`.
    /// mapping : Mapping or dict
    ///     Which column is what.
    /// separator : str
    ///     What separates the cells of a text.
    /// description
    ///     The parameters of `Run`, without `set_points`.
    ///
    /// Returns
    /// -------
    /// (Run, list of Notice)
    ///     The run, and what was left out.
    ///
    /// Raises
    /// ------
    /// DocumentError, InvalidRunError
    ///     As `with_table` and `Run`.
    ///
    /// Examples
    /// --------
    /// >>> lc = cc.loop_calibration
    /// >>> read, left_out = lc.Run.from_table(
    /// ...     {"t": [0.0, 30.0], "sp": [100.0, 100.0], "ref": [100.01, 100.02], "shown": [100.3, 100.3]},
    /// ...     lc.Mapping.wide("t", "sp", {"REF": "ref", "TI": "shown"}),
    /// ...     title="one display", phase="as_found", coverage=lc.Coverage.factor(2.0), decision=lc.Decision("simple"),
    /// ...     reference=lc.Reference("REF", "degC", [lc.Contribution.expanded("certificate", 0.03, coverage_factor=2.0)]),
    /// ...     heat_source=lc.HeatSource("block", []),
    /// ...     instruments=[lc.Instrument("TE", "element", "ohm", lc.Range(-50.0, 250.0), lc.Tolerance.absolute(0.5, "K"),
    /// ...                                curve=cc.CallendarVanDusen.iec60751()),
    /// ...                  lc.Instrument("TI", "indicator", "degC", lc.Range(0.0, 150.0), lc.Tolerance.absolute(0.5, "K"),
    /// ...                                input="TE")])
    /// >>> round(read.evaluate().instruments["TI"].points[0].error_k, 3), left_out
    /// (0.285, [])
    #[classmethod]
    #[pyo3(signature = (table, mapping, *, separator=',', **description))]
    fn from_table<'py>(
        class: &Bound<'py, PyType>,
        table: &Bound<'py, PyAny>,
        mapping: &Bound<'py, PyAny>,
        separator: char,
        description: Option<&Bound<'py, PyDict>>,
    ) -> PyResult<(Self, Vec<Notice>)> {
        let py = class.py();
        let whole = PyDict::new(py);
        whole.set_item("schema_version", core::SCHEMA_VERSION)?;
        whole.set_item("set_points", Vec::<f64>::new())?;
        if let Some(description) = description {
            for (name, value) in description.iter().filter(|(_, value)| !value.is_none()) {
                whole.set_item(name, value)?;
            }
        }
        // Checked once its readings are there.
        Self(json::described(&whole)?).with_table(table, mapping, separator)
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
