//! A calibration from first to last reading, and its record.

use super::Run;
use super::document::document;
use crate::errors::OrRaise;
use crate::json;
use crate::objects::add_function;
use calcore::loop_calibration::{self as core, AdjustmentEvent, CertificateDetails};
use pyo3::prelude::*;
use pyo3::types::{PyTuple, PyType};

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
    /// event : AdjustmentEvent or dict
    ///     What was changed, from what to what, why, by whom and when.
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
    /// >>> file.adjust(cc.loop_calibration.AdjustmentEvent(
    /// ...     tag=run.tags[1], parameter="sensor trim", old="0.00 K", new="0.12 K", reason="as found outside",
    /// ...     by="technician", when="2026-05-04"))
    /// >>> file.adjustments[0].parameter
    /// 'sensor trim'
    fn adjust(&mut self, event: &Bound<'_, PyAny>) -> PyResult<()> {
        let py = event.py();
        let event: AdjustmentEvent = json::described(event)?;
        self.0.adjust(event).or_raise(py)
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

    /// What was done: one AdjustmentEvent an adjustment.
    #[getter]
    fn adjustments<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyAny>>> {
        let class = py.import("calcore._loop_work")?.getattr("AdjustmentEvent")?;
        self.0.adjustments().iter().map(|event| class.call((), Some(json::objects(py, event)?.cast()?))).collect()
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
    /// certificate : CertificateDetails or dict, optional
    ///     What the certificate says beside the results: title, laboratory, customer and so on.
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
    /// >>> cc.loop_calibration.check_record(text).unchanged
    /// True
    #[pyo3(signature = (certificate=None))]
    fn record(&self, py: Python<'_>, certificate: Option<&Bound<'_, PyAny>>) -> PyResult<String> {
        let details: CertificateDetails =
            certificate.map_or(Ok(CertificateDetails::default()), |details| json::described(details))?;
        core::record(&self.0, &details).or_raise(py)
    }

    /// The file as JSON.
    ///
    /// Returns
    /// -------
    /// str
    ///     Compact; without results, which `record` adds.
    ///
    /// Examples
    /// --------
    /// >>> file = cc.loop_calibration.CalibrationFile.begin(run)
    /// >>> cc.loop_calibration.CalibrationFile.from_json(file.to_json()) == file
    /// True
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        core::to_json(&self.0).or_raise(py)
    }

    /// Reads what `to_json` wrote.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     JSON.
    ///
    /// Returns
    /// -------
    /// CalibrationFile
    ///
    /// Raises
    /// ------
    /// DocumentError
    ///     For a field that is missing, unknown or of the wrong kind.
    /// InvalidRunError
    ///     For parts that contradict each other.
    ///
    /// Examples
    /// --------
    /// >>> try:
    /// ...     cc.loop_calibration.CalibrationFile.from_json("{}")
    /// ... except cc.DocumentError as error:
    /// ...     error.code
    /// 301
    #[staticmethod]
    fn from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        let file: core::CalibrationFile = core::from_json(text).or_raise(py)?;
        file.check().or_raise(py)?;
        Ok(Self(file))
    }

    fn __repr__(&self) -> String {
        let left = if self.0.as_left().is_some() { "as left" } else { "not finished" };
        format!("CalibrationFile({:?}, {} adjustments, {left})", self.0.as_found().title, self.0.adjustments().len())
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let py = slf.py();
        let text = slf.try_borrow()?.to_json(py)?;
        (slf.get_type().getattr("from_json")?, (text,)).into_pyobject(py)
    }
}

document! {
    /// What a check of a record found.
    ///
    /// Examples
    /// --------
    /// >>> text = cc.loop_calibration.CalibrationFile.begin(run).record()
    /// >>> check = cc.loop_calibration.check_record(text)
    /// >>> check.unchanged, check.differences, check.calibration.as_found == run
    /// (True, [], True)
    RecordCheck(core::RecordCheck) of "cc.loop_calibration.check_record(cc.loop_calibration.CalibrationFile.begin(run).record())" {
        /// The hash that its content has: SHA-256, hexadecimal digits.
        content_hash: String = |c| c.content_hash.clone();
        /// Whether that is the hash it states: nothing was changed since.
        unchanged: bool = |c| c.unchanged;
        /// Version of the core that computed it.
        core_version: String = |c| c.core_version.clone();
        /// Paths of the first numbers that come out otherwise when computed again; none if all are the same bits.
        differences: Vec<String> = |c| c.differences.clone();
        /// The calibration in it.
        calibration: CalibrationFile = |c| CalibrationFile(c.calibration.clone());
        /// What the certificate says beside the results, by the names of the fields.
        certificate: std::collections::BTreeMap<String, String> = |c| json::texts(&c.certificate);
    }

    fn __repr__(&self) -> String {
        let changed = if self.0.unchanged { "unchanged" } else { "changed" };
        format!("RecordCheck({changed}, {} differences, core {})", self.0.differences.len(), self.0.core_version)
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
/// RecordCheck
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
/// >>> cc.loop_calibration.check_record(text).differences
/// []
#[pyfunction]
#[pyo3(signature = (text))]
fn check_record(py: Python<'_>, text: &str) -> PyResult<RecordCheck> {
    Ok(RecordCheck(py.detach(|| core::check_record(text)).or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<CalibrationFile>()?;
    module.add_class::<RecordCheck>()?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(check_record, module)?)
}
