//! Whether an element is of the material it is said to be.

use crate::arrays::series;
use crate::errors::OrRaise;
use crate::objects::view;
use calcore::curves::{self as core, StandardFit};
use pyo3::prelude::*;

fn pair(fit: &StandardFit) -> (&'static str, f64) {
    (fit.name, fit.error_k)
}

view! {
    /// What readings say about the material of an element; a hypothesis, not a verdict.
    ///
    /// Examples
    /// --------
    /// >>> found = cc.likely_standard([100.0], [139.106])
    /// >>> found.suspect[0]
    /// 'gost6651_pt391'
    LikelyStandard(core::LikelyStandard) in "calcore" {
        /// The assumed thermometer and its largest error, K; None if a reading lies outside its range.
        assumed: Option<(&'static str, f64)> = |l| l.assumed.as_ref().map(pair);
        /// All thermometers whose range holds every reading and their largest errors, K, the best first.
        fits: Vec<(&'static str, f64)> = |l| l.fits.iter().map(pair).collect();
        /// The better one and its largest error, K, if the assumed one does not fit and another does; else None.
        suspect: Option<(&'static str, f64)> = |l| l.suspect.as_ref().map(pair);
    }

    fn __repr__(&self) -> String {
        let named = |fit: Option<(&str, f64)>| fit.map_or("None".into(), |(name, k)| format!("{name} off by {k:.3} K"));
        format!("LikelyStandard(assumed {}, suspect {})", named(self.assumed()), named(self.suspect()))
    }
}

/// Compares readings of an element at known temperatures with every named thermometer.
///
/// A wrong curve is the commonest of the large errors. Readings near 0 °C tell nothing, since all curves meet there.
///
/// Parameters
/// ----------
/// t_c : array-like
///     True temperatures, °C.
/// ohm : array-like
///     Resistances there, ohm.
/// r0 : float
///     Resistance at 0 °C, measured or nominal, ohm.
/// assumed : str
///     Name of the thermometer that the transmitter is set to, as ``PolynomialRtd.standard`` takes it.
/// tolerance_k : float
///     Largest error that still counts as a fit, K.
///
/// Returns
/// -------
/// LikelyStandard
///
/// Raises
/// ------
/// LengthMismatchError, TooFewPointsError, NotFiniteError, InvalidValueError, UnknownNameError
///
/// Examples
/// --------
/// >>> found = cc.likely_standard([100.0], [139.106], assumed="iec60751_pt385")
/// >>> round(found.assumed[1], 2)
/// 1.58
#[pyfunction]
#[pyo3(signature = (t_c, ohm, *, r0=100.0, assumed="iec60751_pt385", tolerance_k=0.3))]
fn likely_standard(
    t_c: &Bound<'_, PyAny>,
    ohm: &Bound<'_, PyAny>,
    r0: f64,
    assumed: &str,
    tolerance_k: f64,
) -> PyResult<LikelyStandard> {
    let (temperatures, resistances) = (series("t_c", t_c)?, series("ohm", ohm)?);
    let found = core::likely_standard(&temperatures, &resistances, r0, assumed, tolerance_k);
    found.or_raise(t_c.py()).map(LikelyStandard)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<LikelyStandard>()?;
    let function = wrap_pyfunction!(likely_standard, module)?;
    function.setattr("__module__", "calcore")?;
    module.add_function(function)
}
