//! What came out of a run.

use super::Run;
use super::adjust::{InstrumentAction, Proposal};
use super::attribution::{Attribution, attribution_table};
use super::certificate::Certificate;
use super::element::ElementFit;
use super::figures::{CorrectedPoint, Figures, Hypothesis, ReferenceComparison};
use super::point::{InstrumentResult, SetPointResult, columns, instrument_table};
use crate::errors::OrRaise;
use crate::json;
use crate::objects::{Notice, Square, view};
use calcore::loop_calibration as core;
use pyo3::prelude::*;
use pyo3::types::{IntoPyDict, PyDict, PyTuple};

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
        /// One entry a further reference and set point: how it compares with the first.
        reference_comparisons: Vec<ReferenceComparison> = |r| {
            r.reference_comparisons.iter().cloned().map(ReferenceComparison).collect()
        };
        /// What to know; each with its code and the path into the run.
        warnings: Vec<Notice> = |r| {
            r.warnings.iter().map(|warning| Notice::new(&warning.code, &warning.message, Some(&warning.path))).collect()
        };
        /// What to mind when working at hot equipment and on live loops.
        cautions: Vec<String> = |r| r.cautions.clone();
        /// The run itself, from which all this can be computed again.
        run: Run = |r| Run(r.run.clone());
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
    /// Figures
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For an instrument that was not read.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().figures("TIC-4107").largest_error_k > 0.0
    /// True
    fn figures(&self, py: Python<'_>, tag: &str) -> PyResult<Figures> {
        self.0.figures(tag).or_raise(py).map(Figures)
    }

    /// The sum of the shares of a loop at a set point, K, with what their subtractions rounded off.
    ///
    /// Parameters
    /// ----------
    /// tag : str
    ///     Tag of the last link of the loop.
    /// set_point : int
    ///     Which set point of the run, counted from 0.
    ///
    /// Returns
    /// -------
    /// float or None
    ///     The error of the loop to the last bit; None where it was not read.
    ///
    /// Examples
    /// --------
    /// >>> loop = result.attribution[0]
    /// >>> result.sum_of_shares(loop.tag, 0) == loop.set_points[0].error_k
    /// True
    fn sum_of_shares(&self, tag: &str, set_point: usize) -> Option<f64> {
        self.0.sum_of_shares(tag, set_point)
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
    /// list of CorrectedPoint
    ///     One a set point.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> result = run.evaluate()
    /// >>> loop = result.attribution[0]
    /// >>> result.after_correcting(loop.tag, loop.cause)[0].verdict
    /// 'pass'
    fn after_correcting(&self, py: Python<'_>, tag: &str, link: &str) -> PyResult<Vec<CorrectedPoint>> {
        Ok(self.0.after_correcting(tag, link).or_raise(py)?.into_iter().map(CorrectedPoint).collect())
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
    /// list of Hypothesis
    ///     Empty where every share lies within its uncertainty.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For a loop that was not read.
    ///
    /// Examples
    /// --------
    /// >>> result = run.evaluate()
    /// >>> isinstance(result.hypotheses(result.attribution[0].tag), list)
    /// True
    fn hypotheses(&self, py: Python<'_>, tag: &str) -> PyResult<Vec<Hypothesis>> {
        Ok(self.0.hypotheses(tag).or_raise(py)?.into_iter().map(Hypothesis).collect())
    }

    /// Single adjustments with what would remain after each, the best first.
    ///
    /// Trims at the ends of the range take away the mean of all visits of a set point, up and down. What would shift no
    /// reading by more than 1e-9 of the range of its link is not proposed: a loop without error has none.
    ///
    /// Returns
    /// -------
    /// list of Proposal
    ///
    /// Raises
    /// ------
    /// CalcoreError
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().adjustments()[0].within_tolerance
    /// True
    fn adjustments(&self, py: Python<'_>) -> PyResult<Vec<Proposal>> {
        Ok(py.detach(|| self.0.adjustments()).or_raise(py)?.into_iter().map(Proposal).collect())
    }

    /// What to do with every instrument when an adjustment is due from a part of the tolerance on.
    ///
    /// Parameters
    /// ----------
    /// adjust_from : float
    ///     Part of the tolerance, such as 0.7; above 0, at most 1.
    ///
    /// Returns
    /// -------
    /// list of InstrumentAction
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().actions(0.7)[0].tag == run.tags[0]
    /// True
    fn actions(&self, py: Python<'_>, adjust_from: f64) -> PyResult<Vec<InstrumentAction>> {
        Ok(self.0.actions(adjust_from).or_raise(py)?.into_iter().map(InstrumentAction).collect())
    }

    /// The data of a certificate by ISO/IEC 17025:2017, 7.8, rounded for print.
    ///
    /// Parameters
    /// ----------
    /// details : CertificateDetails or dict, optional
    ///     What it says beside the results: title, laboratory, customer and so on.
    ///
    /// Returns
    /// -------
    /// Certificate
    ///
    /// Raises
    /// ------
    /// DocumentError
    ///
    /// Examples
    /// --------
    /// >>> sheet = run.evaluate().certificate({"title": "Calibration certificate"})
    /// >>> sheet.details["title"], len(sheet.missing) > 0
    /// ('Calibration certificate', True)
    #[pyo3(signature = (details=None))]
    fn certificate(&self, details: Option<&Bound<'_, PyAny>>) -> PyResult<Certificate> {
        let details: core::CertificateDetails =
            details.map_or(Ok(core::CertificateDetails::default()), |details| json::described(details))?;
        Ok(Certificate(self.0.certificate(&details)))
    }

    /// All points as columns of the same length, in the order of `covariance`; what a data frame is made of.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Lists of text and arrays by the names of the attributes of `PointResult`, with the tags of the instruments.
    ///
    /// Examples
    /// --------
    /// >>> columns = run.evaluate().columns()
    /// >>> columns["tag"][0] == run.tags[0], columns["error_k"].shape == (len(columns["tag"]),)
    /// (True, True)
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        columns(py, &self.0.instruments.iter().collect::<Vec<_>>())
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
