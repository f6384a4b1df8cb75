//! What a certificate says, by ISO/IEC 17025:2017 clause 7.8, and the points as plain text.

use super::result::RunResult;
use super::run::{CoverageDescription, Phase, RuleName};
use super::unit::Unit;
use crate::decision::Verdict;
use serde::{Deserialize, Serialize};
use std::fmt::Write;

/// What a certificate says beside the results. Everything is optional here; [`RunResult::certificate`] names what is
/// missing.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct CertificateDetails {
    /// Title (7.8.2.1 a).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Name and address of the laboratory (7.8.2.1 b).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laboratory: Option<String>,
    /// Where the work was done (7.8.2.1 c).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub location: Option<String>,
    /// Unique identification (7.8.2.1 d).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub identification: Option<String>,
    /// Name and contact of the customer (7.8.2.1 e).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub customer: Option<String>,
    /// The method used (7.8.2.1 f).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub method: Option<String>,
    /// What was calibrated, unambiguously (7.8.2.1 g).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// When the item was received, where that matters (7.8.2.1 h).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub received: Option<String>,
    /// When the work was done (7.8.2.1 i).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub performed: Option<String>,
    /// When the certificate was issued (7.8.2.1 j).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub issued: Option<String>,
    /// Sampling plan and method, where items were sampled (7.8.2.1 k).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sampling: Option<String>,
    /// Additions to, deviations or exclusions from the method (7.8.2.1 n).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub deviations: Option<String>,
    /// Who authorises it (7.8.2.1 o).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub authorised_by: Option<String>,
    /// Which results are from external providers, where there are such (7.8.2.1 p).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub external_results: Option<String>,
    /// Conditions that influence the results (7.8.4.1 b).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conditions: Option<String>,
    /// How the results are traceable (7.8.4.1 c).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub traceability: Option<String>,
    /// Opinions and interpretations, marked as such, where they are asked for (7.8.4.1 f).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opinions: Option<String>,
    /// The agreement on the decision rule (7.8.6.2 c).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decision_rule_agreement: Option<String>,
}

/// The data of a certificate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Certificate {
    /// What it says beside the results.
    pub details: CertificateDetails,
    /// Before or after an adjustment (7.8.4.1 d).
    pub phase: Phase,
    /// One entry an instrument and set point, rounded for print.
    pub rows: Vec<CertificateRow>,
    /// How the expanded uncertainty is to be read (7.8.4.1 a).
    pub uncertainty_statement: String,
    /// The decision rule applied (7.8.6).
    pub decision_statement: String,
    /// That the results are for the items calibrated only (7.8.2.1 l).
    pub items_statement: String,
    /// Fields that the clause asks for and that are not given: clause and name.
    pub missing: Vec<(String, String)>,
    /// What to mind, and what the evaluation warned of.
    pub notes: Vec<String>,
}

/// One line of the table of a certificate. Value and uncertainty are rounded to the same place, two digits of the
/// latter (JCGM 100:2008, 7.2.6).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CertificateRow {
    /// Tag of the instrument.
    pub tag: String,
    /// Unit of reading, error and uncertainty, for a temperature that of its differences.
    pub unit: String,
    /// Reference temperature, °C.
    pub reference_c: String,
    /// Reading.
    pub reading: String,
    /// Error.
    pub error: String,
    /// Expanded uncertainty of the error.
    pub expanded_uncertainty: String,
    /// Coverage factor.
    pub coverage_factor: String,
    /// Tolerance, K: lower and upper limit.
    pub tolerance_k: (String, String),
    /// Conformity, one of the six words of a digital certificate.
    pub conformity: String,
}

/// The word of a digital calibration certificate for a verdict.
///
/// # Source
/// Conformity list of the open schema of the digital calibration certificate: pass, fail, conditionalPass,
/// conditionalFail, noPass, noFail.
#[must_use]
pub fn conformity_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "pass",
        Verdict::Fail => "fail",
        Verdict::ConditionalPass => "conditionalPass",
        Verdict::ConditionalFail => "conditionalFail",
        Verdict::NoPass => "noPass",
        Verdict::NoFail => "noFail",
    }
}

impl RunResult {
    /// The data of a certificate by ISO/IEC 17025:2017, 7.8. It carries no recommended interval (7.8.4.3).
    #[must_use]
    pub fn certificate(&self, details: &CertificateDetails) -> Certificate {
        let mut rows = Vec::new();
        for instrument in &self.instruments {
            for point in &instrument.points {
                let places = decimals(point.expanded_uncertainty);
                let kelvins = decimals(point.expanded_uncertainty_k);
                rows.push(CertificateRow {
                    tag: instrument.tag.clone(),
                    unit: instrument.unit.name().into(),
                    reference_c: fixed(point.reference_c, kelvins),
                    reading: fixed(point.reading, places),
                    error: fixed(point.error, places),
                    expanded_uncertainty: fixed(point.expanded_uncertainty, places),
                    coverage_factor: fixed(point.coverage_factor, 2),
                    tolerance_k: (fixed(point.tolerance_lower_k, kelvins), fixed(point.tolerance_upper_k, kelvins)),
                    conformity: conformity_word(point.verdict).into(),
                });
            }
        }
        let uncertainty_statement = match self.run.coverage {
            CoverageDescription::Probability(p) => format!(
                "Expanded uncertainty: standard uncertainty times the coverage factor of each line, for a coverage \
                 probability of {p} by Student's distribution and the effective degrees of freedom"
            ),
            CoverageDescription::Shapes(p) => format!(
                "Expanded uncertainty: standard uncertainty times the coverage factor of each line, for a coverage \
                 probability of {p} by the convolution of the contributions"
            ),
            CoverageDescription::Factor(k) => {
                format!("Expanded uncertainty: standard uncertainty times the coverage factor k = {k}")
            }
        };
        let factor = self.run.decision.guard_band_factor.unwrap_or(1.0);
        let decision_statement = match self.run.decision.rule {
            RuleName::Simple => "Simple acceptance: within the tolerance, limits included, without guard band".into(),
            RuleName::Guarded => {
                format!("Guarded acceptance: within the tolerance less {factor} times the expanded uncertainty")
            }
            RuleName::FourState => format!(
                "Pass, conditional pass, conditional fail, fail: guard bands of {factor} times the expanded uncertainty"
            ),
        };
        let needed = [
            ("7.8.2.1 a", "title", &details.title),
            ("7.8.2.1 b", "laboratory", &details.laboratory),
            ("7.8.2.1 c", "location", &details.location),
            ("7.8.2.1 d", "identification", &details.identification),
            ("7.8.2.1 e", "customer", &details.customer),
            ("7.8.2.1 f", "method", &details.method),
            ("7.8.2.1 g", "item", &details.item),
            ("7.8.2.1 i", "performed", &details.performed),
            ("7.8.2.1 j", "issued", &details.issued),
            ("7.8.2.1 o", "authorised_by", &details.authorised_by),
            ("7.8.4.1 b", "conditions", &details.conditions),
            ("7.8.4.1 c", "traceability", &details.traceability),
            ("7.8.6.2 c", "decision_rule_agreement", &details.decision_rule_agreement),
        ];
        let missing = needed
            .iter()
            .filter(|(_, _, value)| value.as_ref().is_none_or(String::is_empty))
            .map(|(clause, name, _)| ((*clause).into(), (*name).into()))
            .collect();
        let warnings = self.warnings.iter().map(|warning| format!("{}: {}", warning.code, warning.message));
        Certificate {
            details: details.clone(),
            phase: self.phase,
            rows,
            uncertainty_statement,
            decision_statement,
            items_statement: "The results relate only to the items calibrated".into(),
            missing,
            notes: warnings.chain(self.cautions.iter().cloned()).collect(),
        }
    }

    /// The points as comma separated text, one line each, units in the header; numbers in the shortest form that reads
    /// back to the same bits.
    #[must_use]
    pub fn points_csv(&self) -> String {
        let mut out = String::from(
            "tag,kind,unit,set_point,nominal_c,reference_c,reading,indicated_c,error,error_k,error_percent_of_span,\
             standard_uncertainty_k,expanded_uncertainty_k,expanded_uncertainty,coverage_factor,tolerance_lower_k,\
             tolerance_upper_k,guard_band_k,conformity,probability_of_conformity\n",
        );
        for instrument in &self.instruments {
            let kind = serde_json::to_value(instrument.kind).ok();
            let kind = kind.as_ref().and_then(|kind| kind.as_str()).unwrap_or_default();
            for p in &instrument.points {
                // Writing to a string cannot fail.
                let _ = writeln!(
                    out,
                    "{},{kind},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}",
                    quoted(&instrument.tag),
                    name(instrument.unit),
                    p.set_point,
                    p.nominal_c,
                    p.reference_c,
                    p.reading,
                    p.indicated_c,
                    p.error,
                    p.error_k,
                    p.error_percent_of_span,
                    p.standard_uncertainty_k,
                    p.expanded_uncertainty_k,
                    p.expanded_uncertainty,
                    p.coverage_factor,
                    p.tolerance_lower_k,
                    p.tolerance_upper_k,
                    p.guard_band_k,
                    conformity_word(p.verdict),
                    p.probability_of_conformity
                );
            }
        }
        out
    }
}

fn name(unit: Unit) -> &'static str {
    unit.name()
}

/// A field as RFC 4180 wants it.
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.into() }
}

/// Decimal places at which a number shows two digits.
fn decimals(value: f64) -> usize {
    if !(value.is_finite() && value > 0.0) {
        return 4;
    }
    // 0.0996 becomes 0.10 and not 0.100: rounded first.
    let first = libm::floor(libm::log10(value));
    let rounded = libm::round(value / libm::pow(10.0, first - 1.0));
    let first = if rounded >= 100.0 { first + 1.0 } else { first };
    (1.0 - first).clamp(0.0, 12.0) as usize
}

fn fixed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    // No negative zero on a certificate.
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        text.trim_start_matches('-').into()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// JCGM 100:2008, 7.2.6: 0.4267 with U = 0.09654 is 0.427 ± 0.097.
    #[test]
    fn value_and_uncertainty_end_at_the_same_place() {
        let places = decimals(0.09654);
        assert_eq!((fixed(0.4267, places), fixed(0.09654, places)), ("0.427".into(), "0.097".into()));
        assert_eq!(decimals(0.0996), 2);
        assert_eq!(fixed(-0.0001, 2), "0.00");
        assert_eq!(decimals(12.3), 0);
        assert_eq!(quoted("a,\"b"), "\"a,\"\"b\"");
    }
}
