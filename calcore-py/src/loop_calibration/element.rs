//! New coefficients for an element.

use crate::curves::CallendarVanDusen;
use crate::objects::{Series, Square, view};
use calcore::loop_calibration as core;
use pyo3::prelude::*;

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
