//! Figures of an instrument over all its points, and what a loop would read without one of its links.

use super::document::document;
use crate::objects::{Series, shown};
use calcore::loop_calibration as core;
use pyo3::prelude::*;

document! {
    /// Hysteresis, repeatability, scatter and linearity of one instrument; None for what its points do not tell.
    ///
    /// Source
    /// ------
    /// IEC 61298-2 and ISA-51.1 (from memory).
    ///
    /// Examples
    /// --------
    /// >>> figures = result.figures("TIC-4107")
    /// >>> figures.largest_error_k >= figures.smallest_error_k
    /// True
    Figures(core::Figures) of "result.figures('TIC-4107')" {
        /// Largest difference of the mean errors going up and going down at one set point, K.
        hysteresis_k: Option<f64> = |f| f.hysteresis_k;
        /// The same in percent of the span.
        hysteresis_percent_of_span: Option<f64> = |f| f.hysteresis_percent_of_span;
        /// The set point at which it is largest, °C.
        hysteresis_at_c: Option<f64> = |f| f.hysteresis_at_c;
        /// Standard deviation of errors at one set point reached from the same side, pooled over set points, K.
        repeatability_k: Option<f64> = |f| f.repeatability_k;
        /// Its degrees of freedom.
        repeatability_degrees_of_freedom: usize = |f| f.repeatability_degrees_of_freedom;
        /// Standard deviation of single readings within a visit, pooled over visits, K.
        scatter_k: Option<f64> = |f| f.scatter_k;
        /// Its degrees of freedom.
        scatter_degrees_of_freedom: f64 = |f| f.scatter_degrees_of_freedom;
        /// Most positive error, K.
        largest_error_k: f64 = |f| f.largest_error_k;
        /// Most negative error, K.
        smallest_error_k: f64 = |f| f.smallest_error_k;
        /// Set points of `mean_error_k`, ascending, °C.
        nominal_c: Series = |f| Series(f.mean_errors.iter().map(|(t, _)| *t).collect());
        /// Mean error at every set point over all visits, K.
        mean_error_k: Series = |f| Series(f.mean_errors.iter().map(|(_, error)| *error).collect());
        /// Largest departure of the mean errors from the line through both end points, K.
        terminal_based_k: Option<f64> = |f| f.linearity.as_ref().map(|one| one.terminal_based_k);
        /// From the line through the lower end point that makes it smallest, K.
        zero_based_k: Option<f64> = |f| f.linearity.as_ref().map(|one| one.zero_based_k);
        /// From the line that makes it smallest, K.
        independent_k: Option<f64> = |f| f.linearity.as_ref().map(|one| one.independent_k);
    }

    fn __repr__(&self) -> String {
        let or_none = |k: Option<f64>| k.map_or("None".into(), shown);
        format!(
            "Figures(errors {} K to {} K, hysteresis {} K, repeatability {} K, independent linearity {} K)",
            shown(self.0.smallest_error_k),
            shown(self.0.largest_error_k),
            or_none(self.0.hysteresis_k),
            or_none(self.0.repeatability_k),
            or_none(self.independent_k())
        )
    }
}

document! {
    /// A loop at one set point without the share of one link.
    ///
    /// Examples
    /// --------
    /// >>> loop = result.attribution[0]
    /// >>> bool(abs(result.after_correcting(loop.tag, loop.cause)[0].error_k) < 10.0)
    /// True
    CorrectedPoint(core::CorrectedPoint) of "result.after_correcting('TIC-4107', 'TT-4107 mA')[0]" {
        /// Which set point of the run, counted from 0.
        set_point: usize = |p| p.set_point;
        /// What the last link would read, °C.
        indicated_c: f64 = |p| p.indicated_c;
        /// Error that would stay, K.
        error_k: f64 = |p| p.error_k;
        /// Standard uncertainty of it, K.
        standard_uncertainty_k: f64 = |p| p.standard_uncertainty_k;
        /// Expanded uncertainty of it, K.
        expanded_uncertainty_k: f64 = |p| p.expanded_uncertainty_k;
        /// What the decision rule of the run would say.
        verdict: &'static str = |p| p.verdict.name();
        /// Probability that the error would lie within the tolerance.
        probability_of_conformity: f64 = |p| p.probability_of_conformity;
    }

    fn __repr__(&self) -> String {
        format!(
            "CorrectedPoint(set point {}: {} K ± {} K, {})",
            self.0.set_point,
            shown(self.0.error_k),
            shown(self.0.expanded_uncertainty_k),
            self.verdict()
        )
    }
}

document! {
    /// A possible explanation of the error of a loop. Always a hypothesis: a measurement elsewhere decides.
    ///
    /// Examples
    /// --------
    /// >>> first = result.hypotheses("TIC-4107")[0]
    /// >>> first.link, first.loop_tag
    /// ('TT-4107 mA', 'TIC-4107')
    Hypothesis(core::Hypothesis) of "result.hypotheses('TIC-4107')[0]" {
        /// Tag of the last link of the loop.
        loop_tag: String = |h| h.loop_tag.clone();
        /// Tag of the link.
        link: String = |h| h.link.clone();
        /// "constant", "linear", "quadratic", "low_and_worse_hot" or "up_down_split".
        pattern: String = |h| crate::json::name(&h.pattern);
        /// What commonly causes that.
        causes: Vec<String> = |h| h.causes.clone();
        /// How much of the misfit of a faultless loop it explains, chi-squared less two for every parameter.
        explained: f64 = |h| h.explained;
    }

    fn __repr__(&self) -> String {
        format!("Hypothesis({}: {}, perhaps {})", self.0.link, self.pattern(), self.0.causes.join(" or "))
    }
}

document! {
    /// One further reference beside the first at one set point.
    ///
    /// Examples
    /// --------
    /// >>> comparison = two_references.reference_comparisons[0]
    /// >>> comparison.agree == (abs(comparison.e_n) <= 1.0)
    /// True
    ReferenceComparison(core::ReferenceComparison) of "two_references.reference_comparisons[0]" {
        /// Tag of the further reference.
        tag: String = |c| c.tag.clone();
        /// Which set point of the run, counted from 0.
        set_point: usize = |c| c.set_point;
        /// It minus the first, K.
        difference_k: f64 = |c| c.difference_k;
        /// Expanded uncertainty (k = 2) of that difference, K.
        expanded_uncertainty_k: f64 = |c| c.expanded_uncertainty_k;
        /// Their ratio.
        e_n: f64 = |c| c.e_n;
        /// Whether the difference lies within its expanded uncertainty.
        agree: bool = |c| c.agree;
    }

    fn __repr__(&self) -> String {
        format!(
            "ReferenceComparison({}: {} K, U {} K, {})",
            self.0.tag,
            shown(self.0.difference_k),
            shown(self.0.expanded_uncertainty_k),
            if self.0.agree { "agrees" } else { "disagrees" }
        )
    }
}
