//! Around a run: its plan, many at once, the calibration from first to last reading, and its record.

use super::{Run, RunResult};
use crate::errors::{OrRaise, exception};
use crate::json;
use crate::objects::{Series, add_function};
use calcore::loop_calibration::{self as core, AdjustmentEvent, CertificateDetails, PlanRequest};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple, PyType};

/// A calibration from the first reading to the last: as found, what was adjusted, as left.
///
/// It begins with `begin`; what was found is closed with the first adjustment.
///
/// Examples
/// --------
/// >>> file = cc.loop_calibration.CalibrationFile.begin(run)
/// >>> file.as_found == run, file.as_left is None
/// (True, True)
#[pyclass(eq, module = "calcore.loop_calibration")]
#[derive(Clone, PartialEq)]
pub(crate) struct CalibrationFile(core::CalibrationFile);

#[pymethods]
impl CalibrationFile {
    /// Begins with what was found.
    ///
    /// Parameters
    /// ----------
    /// as_found : Run
    ///     The run before anything was touched.
    ///
    /// Returns
    /// -------
    /// CalibrationFile
    ///
    /// Raises
    /// ------
    /// InvalidRunError
    ///     For a run that is not as-found.
    ///
    /// Examples
    /// --------
    /// >>> cc.loop_calibration.CalibrationFile.begin(run).adjustments
    /// []
    #[classmethod]
    fn begin(class: &Bound<'_, PyType>, as_found: &Bound<'_, Run>) -> PyResult<Self> {
        Ok(Self(core::CalibrationFile::begin(as_found.get().0.clone()).or_raise(class.py())?))
    }

    /// Replaces what was found by a longer record of it, as long as nothing was adjusted.
    ///
    /// Parameters
    /// ----------
    /// longer : Run
    ///     The same run with more set points.
    ///
    /// Raises
    /// ------
    /// InvalidRunError
    ///     After the first adjustment, or where a reading already there is missing or another.
    ///
    /// Examples
    /// --------
    /// >>> cc.loop_calibration.CalibrationFile.begin(run).extend_as_found(run)
    fn extend_as_found(&mut self, longer: &Bound<'_, Run>) -> PyResult<()> {
        self.0.extend_as_found(longer.get().0.clone()).or_raise(longer.py())
    }

    /// Notes an adjustment. What was found is closed from now on.
    ///
    /// Parameters
    /// ----------
    /// event : dict
    ///     "tag", "parameter", "old", "new", "reason", "by" and "when", all text.
    ///
    /// Raises
    /// ------
    /// DocumentError
    ///     For a field that is missing or unknown.
    /// InvalidRunError
    ///     For a tag that the run does not know, or after the as-left run.
    ///
    /// Examples
    /// --------
    /// >>> file = cc.loop_calibration.CalibrationFile.begin(run)
    /// >>> file.adjust({"tag": run.tags[1], "parameter": "sensor trim", "old": "0.00 K", "new": "0.12 K",
    /// ...              "reason": "as found outside", "by": "technician", "when": "2026-05-04"})
    /// >>> file.adjustments[0]["parameter"]
    /// 'sensor trim'
    fn adjust(&mut self, event: &Bound<'_, PyDict>) -> PyResult<()> {
        let event: AdjustmentEvent = json::described(event)?;
        Python::attach(|py| self.0.adjust(event).or_raise(py))
    }

    /// Ends with what was left.
    ///
    /// Parameters
    /// ----------
    /// as_left : Run
    ///     The run after the adjustments.
    ///
    /// Raises
    /// ------
    /// InvalidRunError
    ///     For a run that is not as-left, a second one, readings copied from the as-found run, or without an adjustment.
    ///
    /// Examples
    /// --------
    /// >>> try:
    /// ...     cc.loop_calibration.CalibrationFile.begin(run).finish(run)
    /// ... except cc.InvalidRunError as error:
    /// ...     error.code
    /// 302
    fn finish(&mut self, as_left: &Bound<'_, Run>) -> PyResult<()> {
        self.0.finish(as_left.get().0.clone()).or_raise(as_left.py())
    }

    /// What was found.
    #[getter]
    fn as_found(&self) -> Run {
        Run(self.0.as_found().clone())
    }

    /// What was done: one dict an adjustment.
    #[getter]
    fn adjustments<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        json::objects(py, &self.0.adjustments())
    }

    /// What was left; None if nothing was adjusted.
    #[getter]
    fn as_left(&self) -> Option<Run> {
        self.0.as_left().cloned().map(Run)
    }

    /// The record of the calibration: canonical JSON with its content hash.
    ///
    /// Parameters
    /// ----------
    /// certificate : dict, optional
    ///     What the certificate says beside the results: "title", "laboratory", "customer" and so on.
    ///
    /// Returns
    /// -------
    /// str
    ///     The same calibration gives the same bytes.
    ///
    /// Raises
    /// ------
    /// DocumentError, InvalidRunError
    ///
    /// Examples
    /// --------
    /// >>> text = cc.loop_calibration.CalibrationFile.begin(run).record()
    /// >>> cc.loop_calibration.check_record(text)["unchanged"]
    /// True
    #[pyo3(signature = (certificate=None))]
    fn record(&self, py: Python<'_>, certificate: Option<&Bound<'_, PyDict>>) -> PyResult<String> {
        let details: CertificateDetails =
            certificate.map_or(Ok(CertificateDetails::default()), |details| json::described(details))?;
        core::record(&self.0, &details).or_raise(py)
    }

    fn __repr__(&self) -> String {
        let left = if self.0.as_left().is_some() { "as left" } else { "not finished" };
        format!("CalibrationFile({:?}, {} adjustments, {left})", self.0.as_found().title, self.0.adjustments().len())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let file = slf.try_borrow()?.0.clone();
        json::reduced(slf.as_any(), &file)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        let file: core::CalibrationFile = json::read(py, text)?;
        file.check().or_raise(py)?;
        Ok(Self(file))
    }
}

/// Reads a record, checks its hash and computes all its numbers again.
///
/// Parameters
/// ----------
/// text : str
///     What `CalibrationFile.record` gave.
///
/// Returns
/// -------
/// dict
///     `unchanged`, `content_hash`, `core_version`, `differences`, `calibration`, `certificate`.
///
/// Raises
/// ------
/// DocumentError
///     For what is no record of this version.
/// InvalidRunError
///     For a calibration in it that contradicts itself.
///
/// Examples
/// --------
/// >>> text = cc.loop_calibration.CalibrationFile.begin(run).record()
/// >>> cc.loop_calibration.check_record(text)["differences"]
/// []
#[pyfunction]
#[pyo3(signature = (text))]
fn check_record<'py>(py: Python<'py>, text: &str) -> PyResult<Bound<'py, PyAny>> {
    json::objects(py, &py.detach(|| core::check_record(text)).or_raise(py)?)
}

/// Evaluates runs on several threads.
///
/// Parameters
/// ----------
/// runs : sequence of Run
///     The runs.
/// threads : int
///     Number of threads, without influence on the results; 0 for as many as the machine has.
///
/// Returns
/// -------
/// list of RunResult or CalcoreError
///     In the order of the runs; the error in the place of a run that could not be evaluated.
///
/// Examples
/// --------
/// >>> len(cc.loop_calibration.evaluate_all([run, run], threads=2))
/// 2
#[pyfunction]
#[pyo3(signature = (runs, *, threads=0))]
fn evaluate_all<'py>(py: Python<'py>, runs: Vec<Bound<'py, Run>>, threads: usize) -> PyResult<Bound<'py, PyList>> {
    let runs: Vec<core::Run> = runs.iter().map(|run| run.get().0.clone()).collect();
    let results = py.detach(|| core::evaluate_all(&runs, threads));
    let list = PyList::empty(py);
    for result in results {
        match result {
            Ok(result) => list.append(RunResult(result))?,
            Err(error) => list.append(exception(py, &error).into_value(py))?,
        }
    }
    Ok(list)
}

/// Plans the work: the fewest shared set points, their order and their time.
///
/// Parameters
/// ----------
/// request : dict
///     "instruments" with their points, "heat_sources", "order" ("up", "up_and_down", "quickest") and "reading_s".
///
/// Returns
/// -------
/// dict
///     `sources` with their set points and the proof that there cannot be fewer, `set_points`, `time_s`, `optimal` and more.
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
/// >>> point = {"celsius": {"at": 100.0, "within_k": 2.0}}
/// >>> instruments = [{"tag": tag, "low_c": 0.0, "high_c": 200.0, "points": [point]} for tag in ("TT-1", "TT-2")]
/// >>> source = {"tag": "block", "low_c": 30.0, "high_c": 300.0, "start_c": 30.0, "heating_k_per_min": 10.0,
/// ...           "cooling_k_per_min": 5.0, "settling_s": 600.0, "bores": 3}
/// >>> request = {"instruments": instruments, "heat_sources": [source], "order": "up", "reading_s": 120.0}
/// >>> cc.loop_calibration.plan(request)["set_points"]
/// 1
#[pyfunction]
#[pyo3(signature = (request))]
fn plan<'py>(request: &Bound<'py, PyDict>) -> PyResult<Bound<'py, PyAny>> {
    let py = request.py();
    let request: PlanRequest = json::described(request)?;
    json::objects(py, &py.detach(|| core::plan(&request)).or_raise(py)?)
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
fn fit_points(py: Python<'_>, degree: usize, low_c: f64, high_c: f64) -> PyResult<Series> {
    Ok(Series(core::fit_points(degree, low_c, high_c).or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<CalibrationFile>()?;
    for function in [
        wrap_pyfunction!(check_record, module)?,
        wrap_pyfunction!(evaluate_all, module)?,
        wrap_pyfunction!(plan, module)?,
        wrap_pyfunction!(fit_points, module)?,
    ] {
        add_function(module, "loop_calibration", &function)?;
    }
    Ok(())
}
