//! Adjustments: what could be done, what would remain, and whether to do anything at all.

use super::document::document;
use crate::json;
use crate::objects::{html_table, shown};
use calcore::loop_calibration as core;
use pyo3::prelude::*;

document! {
    /// An adjustment of one link. What does not belong to its kind is None.
    ///
    /// Examples
    /// --------
    /// >>> adjustment = result.adjustments()[0].adjustment
    /// >>> adjustment.kind, 4.0 < adjustment.at_4_ma < 4.1
    /// ('output_trim', True)
    Adjustment(core::Adjustment) of "result.adjustments()[0].adjustment" {
        /// "zero", "span", "two_point_trim", "output_trim" or "new_coefficients".
        kind: &'static str = |a| match a {
            core::Adjustment::Zero { .. } => "zero",
            core::Adjustment::Span { .. } => "span",
            core::Adjustment::TwoPointTrim { .. } => "two_point_trim",
            core::Adjustment::OutputTrim { .. } => "output_trim",
            core::Adjustment::NewCoefficients { .. } => "new_coefficients",
            _ => "unknown",
        };
        /// What is added to all readings, K; of a zero.
        shift_k: Option<f64> = |a| match a {
            core::Adjustment::Zero { shift_k } => Some(*shift_k),
            _ => None,
        };
        /// Factor on the distance from the lower end of the range; of a span.
        factor: Option<f64> = |a| match a {
            core::Adjustment::Span { factor } => Some(*factor),
            _ => None,
        };
        /// The lower and the upper point, as the link reads them, °C; of a two-point trim.
        at_c: Option<(f64, f64)> = |a| match a {
            core::Adjustment::TwoPointTrim { at_c, .. } => Some(*at_c),
            _ => None,
        };
        /// The shift at both, K; of a two-point trim.
        shifts_k: Option<(f64, f64)> = |a| match a {
            core::Adjustment::TwoPointTrim { shift_k, .. } => Some(*shift_k),
            _ => None,
        };
        /// Current given for 4 mA, mA; of an output trim.
        at_4_ma: Option<f64> = |a| match a {
            core::Adjustment::OutputTrim { at_4_ma, .. } => Some(*at_4_ma),
            _ => None,
        };
        /// Current given for 20 mA, mA; of an output trim.
        at_20_ma: Option<f64> = |a| match a {
            core::Adjustment::OutputTrim { at_20_ma, .. } => Some(*at_20_ma),
            _ => None,
        };
        /// R0 in ohm, A, B and C; of new coefficients.
        coefficients: Option<(f64, f64, f64, f64)> = |a| match a {
            core::Adjustment::NewCoefficients { r0, a, b, c } => Some((*r0, *a, *b, *c)),
            _ => None,
        };
    }

    fn __repr__(&self) -> String {
        format!("Adjustment({})", in_words(&self.0))
    }
}

document! {
    /// An adjustment with what would remain after it, by evaluating the run again as it would read then.
    ///
    /// Examples
    /// --------
    /// >>> best = result.adjustments()[0]
    /// >>> best.tag, best.within_tolerance, best.adjusts_the_cause
    /// ('TT-4107 mA', True, True)
    Proposal(core::Proposal) of "result.adjustments()[0]" {
        /// Tag of the link to be adjusted.
        tag: String = |p| p.tag.clone();
        /// What to do.
        adjustment: Adjustment = |p| Adjustment(p.adjustment.clone());
        /// Whether all loops would pass.
        within_tolerance: bool = |p| p.within_tolerance;
        /// Largest part of the tolerance that would still be used at the end of a loop.
        largest_used: f64 = |p| p.largest_used;
        /// Whether it removes the fault of the link that the attribution names.
        adjusts_the_cause: bool = |p| p.adjusts_the_cause;
        /// What would remain at the end of every loop.
        remaining: Vec<RemainingError> = |p| p.remaining.iter().cloned().map(RemainingError).collect();
        /// What speaks against doing it now.
        cautions: Vec<String> = |p| p.cautions.clone();
    }

    fn __repr__(&self) -> String {
        format!(
            "Proposal({}: {}, then {} of the tolerance used)",
            self.0.tag,
            in_words(&self.0.adjustment),
            shown(self.0.largest_used)
        )
    }

    fn _repr_html_(&self) -> String {
        let rows: Vec<Vec<String>> = self
            .0
            .remaining
            .iter()
            .map(|one| {
                vec![
                    one.tag.clone(),
                    format!("{}", one.set_point + 1),
                    format!("{:+.3}", one.error_k),
                    format!("{:.3}", one.expanded_uncertainty_k),
                    one.verdict.name().replace('_', " "),
                ]
            })
            .collect();
        let cautions = if self.0.cautions.is_empty() { String::new() } else { format!(" ({})", self.0.cautions.join("; ")) };
        let caption = format!("What would remain after {}: {}{cautions}", self.0.tag, in_words(&self.0.adjustment));
        html_table(&caption, &["loop", "set point", "error, K", "U, K", "verdict"], &rows)
    }
}

document! {
    /// What would remain of the error of a loop at one set point.
    ///
    /// Examples
    /// --------
    /// >>> result.adjustments()[0].remaining[0].verdict
    /// 'pass'
    RemainingError(core::RemainingError) of "result.adjustments()[0].remaining[0]" {
        /// Tag of the last link of the loop.
        tag: String = |r| r.tag.clone();
        /// Which set point of the run, counted from 0.
        set_point: usize = |r| r.set_point;
        /// Error, K.
        error_k: f64 = |r| r.error_k;
        /// Expanded uncertainty of it, K.
        expanded_uncertainty_k: f64 = |r| r.expanded_uncertainty_k;
        /// What the decision rule would say.
        verdict: &'static str = |r| r.verdict.name();
    }

    fn __repr__(&self) -> String {
        format!(
            "RemainingError({}, set point {}: {} K ± {} K, {})",
            self.0.tag,
            self.0.set_point,
            shown(self.0.error_k),
            shown(self.0.expanded_uncertainty_k),
            self.verdict()
        )
    }
}

document! {
    /// What to do with an instrument: another question than whether it passed.
    ///
    /// Examples
    /// --------
    /// >>> result.actions(0.7)[0].action
    /// 'leave'
    InstrumentAction(core::InstrumentAction) of "result.actions(0.7)[0]" {
        /// Its tag.
        tag: String = |a| a.tag.clone();
        /// Largest part of the tolerance that an error uses.
        used: f64 = |a| a.used;
        /// The worst of its verdicts.
        verdict: &'static str = |a| a.verdict.name();
        /// "leave", "adjust_for_prevention", "adjust_and_assess" or "reduce_uncertainty".
        action: String = |a| json::name(&a.action);
    }

    fn __repr__(&self) -> String {
        format!("InstrumentAction({}: {}, {} of the tolerance used)", self.0.tag, self.action(), shown(self.0.used))
    }
}

fn in_words(adjustment: &core::Adjustment) -> String {
    match adjustment {
        core::Adjustment::Zero { shift_k } => format!("zero by {} K", shown(*shift_k)),
        core::Adjustment::Span { factor } => format!("span by a factor of {}", shown(*factor)),
        core::Adjustment::TwoPointTrim { at_c: (low, high), shift_k: (a, b) } => {
            format!("two-point trim: {} K at {} °C, {} K at {} °C", shown(*a), shown(*low), shown(*b), shown(*high))
        }
        core::Adjustment::OutputTrim { at_4_ma, at_20_ma } => {
            format!("output trim: enter {} mA for 4 mA and {} mA for 20 mA", shown(*at_4_ma), shown(*at_20_ma))
        }
        core::Adjustment::NewCoefficients { r0, a, b, c } => {
            format!("new coefficients: r0={r0:?} ohm, a={a:?} /K, b={b:?} /K², c={c:?} /K⁴")
        }
        _ => "another kind".into(),
    }
}
