//! The data of a certificate.

use super::document::{document, table_of};
use crate::errors::OrRaise;
use crate::json;
use crate::objects::add_function;
use calcore::decision::Verdict;
use calcore::loop_calibration as core;
use pyo3::prelude::*;
use std::collections::BTreeMap;

document! {
    /// The data of a certificate by ISO/IEC 17025:2017, 7.8.
    ///
    /// Examples
    /// --------
    /// >>> sheet = result.certificate(cc.loop_calibration.CertificateDetails(title="Calibration certificate"))
    /// >>> sheet.details["title"], sheet.missing[0]
    /// ('Calibration certificate', ('7.8.2.1 b', 'laboratory'))
    Certificate(core::Certificate) of "result.certificate()" {
        /// What it says beside the results, by the names of the fields.
        details: BTreeMap<String, String> = |c| json::texts(&c.details);
        /// "as_found" or "as_left" (7.8.4.1 d).
        phase: String = |c| json::name(&c.phase);
        /// One entry an instrument and set point, rounded for print.
        rows: Vec<CertificateRow> = |c| c.rows.iter().cloned().map(CertificateRow).collect();
        /// How the expanded uncertainty is to be read (7.8.4.1 a).
        uncertainty_statement: String = |c| c.uncertainty_statement.clone();
        /// The decision rule applied (7.8.6).
        decision_statement: String = |c| c.decision_statement.clone();
        /// That the results are for the items calibrated only (7.8.2.1 l).
        items_statement: String = |c| c.items_statement.clone();
        /// Fields that the clause asks for and that are not given: clause and name.
        missing: Vec<(String, String)> = |c| c.missing.clone();
        /// What to mind, and what the evaluation warned of.
        notes: Vec<String> = |c| c.notes.clone();
    }

    fn __repr__(&self) -> String {
        format!("Certificate({}, {} rows, {} fields missing)", self.phase(), self.0.rows.len(), self.0.missing.len())
    }

    fn _repr_html_(&self) -> String {
        let caption = self.0.details.title.as_deref().unwrap_or("Calibration data");
        let headings =
            ["instrument", "unit", "reference, °C", "reading", "error", "U", "k", "tolerance, K", "conformity"];
        table_of(caption, &headings, &self.0.rows, |row| {
            let (low, high) = &row.tolerance_k;
            vec![
                row.tag.clone(),
                row.unit.clone(),
                row.reference_c.clone(),
                row.reading.clone(),
                row.error.clone(),
                row.expanded_uncertainty.clone(),
                row.coverage_factor.clone(),
                format!("{low} to {high}"),
                row.conformity.clone(),
            ]
        })
    }
}

document! {
    /// One line of the table of a certificate: value and uncertainty rounded to the same place.
    ///
    /// Source
    /// ------
    /// JCGM 100:2008, 7.2.6.
    ///
    /// Examples
    /// --------
    /// >>> result.certificate().rows[0].conformity
    /// 'pass'
    CertificateRow(core::CertificateRow) of "result.certificate().rows[0]" {
        /// Tag of the instrument.
        tag: String = |r| r.tag.clone();
        /// Unit of reading, error and uncertainty.
        unit: String = |r| r.unit.clone();
        /// Reference temperature, °C.
        reference_c: String = |r| r.reference_c.clone();
        /// Reading.
        reading: String = |r| r.reading.clone();
        /// Error.
        error: String = |r| r.error.clone();
        /// Expanded uncertainty of the error.
        expanded_uncertainty: String = |r| r.expanded_uncertainty.clone();
        /// Coverage factor.
        coverage_factor: String = |r| r.coverage_factor.clone();
        /// Lower and upper limit of the tolerance, K.
        tolerance_k: (String, String) = |r| r.tolerance_k.clone();
        /// "pass", "fail", "conditionalPass", "conditionalFail", "noPass" or "noFail".
        conformity: String = |r| r.conformity.clone();
    }

    fn __repr__(&self) -> String {
        let core::CertificateRow { tag, unit, error, expanded_uncertainty, conformity, .. } = &self.0;
        format!("CertificateRow({tag}: {error} {unit} ± {expanded_uncertainty} {unit}, {conformity})")
    }
}

/// The word of a digital calibration certificate for a verdict, one to one.
///
/// Parameters
/// ----------
/// verdict : {"pass", "fail", "conditional_pass", "conditional_fail", "no_pass", "no_fail"}
///     What a decision says.
///
/// Returns
/// -------
/// {"pass", "fail", "conditionalPass", "conditionalFail", "noPass", "noFail"}
///
/// Raises
/// ------
/// UnknownNameError
///
/// Source
/// ------
/// Conformity list of the open schema of the digital calibration certificate.
///
/// Examples
/// --------
/// >>> cc.loop_calibration.conformity_word("conditional_pass")
/// 'conditionalPass'
#[pyfunction]
#[pyo3(signature = (verdict))]
fn conformity_word(py: Python<'_>, verdict: &str) -> PyResult<&'static str> {
    Ok(core::conformity_word(Verdict::from_name(verdict).or_raise(py)?))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Certificate>()?;
    module.add_class::<CertificateRow>()?;
    add_function(module, "loop_calibration", &wrap_pyfunction!(conformity_word, module)?)
}
