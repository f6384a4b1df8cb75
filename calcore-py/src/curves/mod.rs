//! Sensor curves.

mod callendar_van_dusen;
mod plausibility;
mod resistance;
mod thermocouple;

pub(crate) use callendar_van_dusen::CallendarVanDusen;
pub(crate) use resistance::{BetaThermistor, PolynomialRtd, Sprt, SteinhartHart, TabulatedCurve};
pub(crate) use thermocouple::{CorrectedThermocouple, Thermocouple};

use crate::arrays::apply;
use crate::errors::{OrRaise, without_position};
use calcore::Result;
use calcore::curves::{Handling, Invalid, SensorCurve};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use std::sync::Arc;

/// `invalid` and `extrapolate` as every method of a curve takes them.
struct Options {
    handling: Handling,
}

impl Options {
    #[inline]
    fn read(py: Python<'_>, invalid: &str, extrapolate: bool) -> PyResult<Self> {
        let invalid = Invalid::from_name(invalid).or_raise(py)?;
        Ok(Self { handling: Handling { invalid, extrapolate } })
    }

    /// One value by the function for one value, or, if more is asked for, by the one for slices.
    #[inline]
    fn one(
        &self,
        x: f64,
        one: impl FnOnce(f64) -> Result<f64>,
        many: impl FnOnce(&[f64], &mut [f64], Handling) -> Result<()>,
    ) -> Result<f64> {
        if self.handling == Handling::default() {
            return one(x);
        }
        let mut y = [0.0];
        many(&[x], &mut y, self.handling).map_err(without_position)?;
        Ok(y[0])
    }
}

fn signal<'py>(
    curve: &(impl SensorCurve + ?Sized),
    name: &str,
    t_c: &Bound<'py, PyAny>,
    invalid: &str,
    extrapolate: bool,
    out: Option<&Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyAny>> {
    let options = Options::read(t_c.py(), invalid, extrapolate)?;
    apply(
        name,
        t_c,
        out,
        |x| options.one(x, |x| curve.signal(x), |x, y, handling| curve.signal_slice(x, y, handling)),
        |x, y| curve.signal_slice(x, y, options.handling),
    )
}

fn temperature<'py>(
    curve: &(impl SensorCurve + ?Sized),
    name: &str,
    signal: &Bound<'py, PyAny>,
    invalid: &str,
    extrapolate: bool,
    out: Option<&Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyAny>> {
    let options = Options::read(signal.py(), invalid, extrapolate)?;
    apply(
        name,
        signal,
        out,
        |x| options.one(x, |x| curve.temperature(x), |x, y, handling| curve.temperature_slice(x, y, handling)),
        |x, y| curve.temperature_slice(x, y, options.handling),
    )
}

fn slope<'py>(
    curve: &(impl SensorCurve + ?Sized),
    name: &str,
    t_c: &Bound<'py, PyAny>,
    invalid: &str,
    extrapolate: bool,
    out: Option<&Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyAny>> {
    let options = Options::read(t_c.py(), invalid, extrapolate)?;
    apply(
        name,
        t_c,
        out,
        |x| options.one(x, |x| curve.slope(x), |x, y, handling| curve.slope_slice(x, y, handling)),
        |x, y| curve.slope_slice(x, y, options.handling),
    )
}

/// Asks an object that is a curve of any kind; None for another object.
pub(crate) fn any_curve<T>(
    object: &Bound<'_, PyAny>,
    ask: impl FnOnce(&dyn SensorCurve) -> Result<T>,
) -> Option<Result<T>> {
    macro_rules! first_of {
        ($($kind:ty),*) => {
            $(if let Ok(curve) = object.cast::<$kind>() {
                return Some(ask(&curve.get().0));
            })*
        };
    }
    first_of!(
        CallendarVanDusen,
        PolynomialRtd,
        Sprt,
        SteinhartHart,
        BetaThermistor,
        TabulatedCurve,
        Thermocouple,
        CorrectedThermocouple
    );
    None
}

/// The curve behind an object of any kind, to be kept.
pub(crate) fn shared_curve(object: &Bound<'_, PyAny>) -> PyResult<Arc<dyn SensorCurve>> {
    macro_rules! first_of {
        ($($kind:ty),*) => {
            $(if let Ok(curve) = object.cast::<$kind>() {
                return Ok(Arc::new(curve.get().0.clone()));
            })*
        };
    }
    first_of!(
        CallendarVanDusen,
        PolynomialRtd,
        Sprt,
        SteinhartHart,
        BetaThermistor,
        TabulatedCurve,
        Thermocouple,
        CorrectedThermocouple
    );
    let found = object.get_type().name()?;
    Err(PyTypeError::new_err(format!("curve must be the curve of a sensor, got {found}")))
}

pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<CallendarVanDusen>()?;
    plausibility::register(module)?;
    resistance::register(module)?;
    thermocouple::register(module)
}
