//! Coefficients as a transmitter takes them.

use crate::curves::CallendarVanDusen;
use crate::errors::{OrRaise, exception};
use crate::objects::{add_function, html_table, shown, view};
use calcore::Error;
use calcore::fit::{self as core, Digits, EntryForm, EntryGrid};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

/// How entries were chosen, to choose them again.
#[derive(Clone, Copy, PartialEq)]
enum Choice {
    Each(EntryGrid),
    Jointly(EntryGrid),
    Within(EntryForm, f64),
}

/// Rounded coefficients with the curve that was rounded.
#[derive(Clone, PartialEq)]
pub(crate) struct Rounded {
    found: core::RoundedCoefficients,
    curve: calcore::curves::CallendarVanDusen,
    choice: Choice,
}

view! {
    /// Rounded coefficients and what they cost.
    ///
    /// Examples
    /// --------
    /// >>> entered = cc.fit.rounded(cc.CallendarVanDusen(100.0123, 3.90812e-3, -5.7751e-7), r0=2, a=("significant", 5))
    /// >>> entered.entries["r0"], entered.entries["a"]
    /// (100.01, 0.0039081)
    RoundedCoefficients(Rounded) in "calcore.fit" {
        /// The curve that the entries make, over the range of the unrounded one.
        curve: CallendarVanDusen = |r| CallendarVanDusen(r.found.curve);
        /// Largest error of a temperature that rounding adds over the range, K.
        largest_error_k: f64 = |r| r.found.largest_error_k;
        /// Where it stands, °C.
        largest_error_at_c: f64 = |r| r.found.largest_error_at_c;
    }

    /// The four entries by their names: r0, a, b, c or r0, alpha, delta, beta.
    #[getter]
    fn entries<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let entries = PyDict::new(py);
        for (name, value) in names(self.0.found.grid.form).into_iter().zip(self.0.found.entries) {
            entries.set_item(name, value)?;
        }
        Ok(entries)
    }

    fn __repr__(&self) -> String {
        let entries: Vec<String> = names(self.0.found.grid.form)
            .into_iter()
            .zip(self.0.found.entries)
            .map(|(name, value)| format!("{name}={value:?}"))
            .collect();
        let error = shown(self.0.found.largest_error_k);
        format!("RoundedCoefficients({}, largest error {error} K)", entries.join(", "))
    }

    fn _repr_html_(&self) -> String {
        let found = &self.0.found;
        let rows: Vec<Vec<String>> = names(found.grid.form)
            .into_iter()
            .zip(found.entries)
            .map(|(name, value)| vec![name.to_string(), format!("{value:?}")])
            .collect();
        let caption = format!(
            "As entered; largest added error {} K at {} °C",
            shown(found.largest_error_k),
            shown(found.largest_error_at_c)
        );
        html_table(&caption, &["coefficient", "entry"], &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let (py, rounded) = (slf.py(), &slf.get().0);
        let options = PyDict::new(py);
        let function = match rounded.choice {
            Choice::Within(form, limit_k) => {
                options.set_item("limit_k", limit_k)?;
                options.set_item("form", if form == EntryForm::Abc { "abc" } else { "alpha_delta_beta" })?;
                "rounded_within"
            }
            Choice::Each(grid) | Choice::Jointly(grid) => {
                options.set_item("jointly", matches!(rounded.choice, Choice::Jointly(_)))?;
                for (name, digits) in names(grid.form).into_iter().zip(grid.digits) {
                    match digits {
                        None => {}
                        Some(Digits::Decimals(n)) => options.set_item(name, ("decimals", n))?,
                        Some(Digits::Significant(n)) => options.set_item(name, ("significant", n))?,
                    }
                }
                // Without an entry of its own the form would be forgotten.
                if grid.form == EntryForm::AlphaDeltaBeta {
                    options.set_item("form", "alpha_delta_beta")?;
                }
                "rounded"
            }
        };
        super::refit(function, (CallendarVanDusen(rounded.curve),), &options)
    }
}

fn names(form: EntryForm) -> [&'static str; 4] {
    match form {
        EntryForm::Abc => ["r0", "a", "b", "c"],
        EntryForm::AlphaDeltaBeta => ["r0", "alpha", "delta", "beta"],
    }
}

fn form_of(py: Python<'_>, name: &str) -> PyResult<EntryForm> {
    match name {
        "abc" => Ok(EntryForm::Abc),
        "alpha_delta_beta" => Ok(EntryForm::AlphaDeltaBeta),
        _ => {
            let expected = "\"abc\" or \"alpha_delta_beta\"".into();
            Err(exception(py, &Error::UnknownName { what: "form of the entries", name: name.into(), expected }))
        }
    }
}

/// Digits as they are given: decimals, or ("decimals" | "significant", number).
#[derive(FromPyObject)]
pub(super) enum Given {
    Decimals(u32),
    Named(String, u32),
}

impl Given {
    fn digits(self, py: Python<'_>) -> PyResult<Digits> {
        match self {
            Self::Decimals(n) => Ok(Digits::Decimals(n)),
            Self::Named(kind, n) => match kind.as_str() {
                "decimals" => Ok(Digits::Decimals(n)),
                "significant" => Ok(Digits::Significant(n)),
                _ => {
                    let expected = "\"decimals\" or \"significant\"".into();
                    Err(exception(py, &Error::UnknownName { what: "kind of digits", name: kind, expected }))
                }
            },
        }
    }
}

/// All entries that either form can have.
pub(super) struct Entries {
    pub(super) r0: Option<Given>,
    pub(super) abc: [Option<Given>; 3],
    pub(super) constants: [Option<Given>; 3],
    pub(super) form: Option<String>,
}

impl Entries {
    fn grid(self, py: Python<'_>) -> PyResult<EntryGrid> {
        let (has_abc, has_constants) =
            (self.abc.iter().any(Option::is_some), self.constants.iter().any(Option::is_some));
        if has_abc && has_constants {
            return Err(PyTypeError::new_err("give digits of a, b, c or of alpha, delta, beta, not of both"));
        }
        let form = match &self.form {
            Some(name) => form_of(py, name)?,
            None if has_constants => EntryForm::AlphaDeltaBeta,
            None => EntryForm::Abc,
        };
        let others = if form == EntryForm::Abc { self.abc } else { self.constants };
        let mut digits = [self.r0.map(|given| given.digits(py)).transpose()?, None, None, None];
        for (place, given) in digits[1..].iter_mut().zip(others) {
            *place = given.map(|given| given.digits(py)).transpose()?;
        }
        Ok(EntryGrid { form, digits })
    }

    pub(super) fn round(
        self,
        py: Python<'_>,
        curve: calcore::curves::CallendarVanDusen,
        jointly: bool,
    ) -> PyResult<RoundedCoefficients> {
        let grid = self.grid(py)?;
        let (found, choice) = if jointly {
            (py.detach(|| core::rounded_jointly(&curve, grid)), Choice::Jointly(grid))
        } else {
            (core::rounded(&curve, grid), Choice::Each(grid))
        };
        Ok(RoundedCoefficients(Rounded { found: found.or_raise(py)?, curve, choice }))
    }
}

/// The coefficients of a curve as a transmitter takes them, with the largest error that rounding adds.
///
/// The digits of an entry are a number of decimals, or ("significant", number). Give those of r0, a, b, c or those of
/// r0, alpha, delta, beta; what is not given stays as it is.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen
///     The curve to be entered.
/// r0, a, b, c : int or (str, int), optional
///     Digits of these.
/// alpha, delta, beta : int or (str, int), optional
///     Digits of these, instead of those of a, b and c.
/// jointly : bool
///     Whether the entries are chosen together, so that one makes good in part what another spoils.
/// form : {"abc", "alpha_delta_beta"}, optional
///     In which form it is entered; follows from the digits given unless said.
///
/// Returns
/// -------
/// RoundedCoefficients
///
/// Raises
/// ------
/// InvalidValueError
///     For digits that cannot be, or where rounding leaves no curve.
/// UnknownNameError
///
/// Examples
/// --------
/// >>> curve = cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7)
/// >>> each = cc.fit.rounded(curve, r0=2, a=("significant", 4), b=("significant", 4))
/// >>> together = cc.fit.rounded(curve, r0=2, a=("significant", 4), b=("significant", 4), jointly=True)
/// >>> together.largest_error_k <= each.largest_error_k
/// True
#[pyfunction]
#[pyo3(signature = (curve, *, r0=None, a=None, b=None, c=None, alpha=None, delta=None, beta=None, jointly=false,
                    form=None))]
#[allow(clippy::too_many_arguments)]
fn rounded(
    curve: &Bound<'_, CallendarVanDusen>,
    r0: Option<Given>,
    a: Option<Given>,
    b: Option<Given>,
    c: Option<Given>,
    alpha: Option<Given>,
    delta: Option<Given>,
    beta: Option<Given>,
    jointly: bool,
    form: Option<String>,
) -> PyResult<RoundedCoefficients> {
    let entries = Entries { r0, abc: [a, b, c], constants: [alpha, delta, beta], form };
    entries.round(curve.py(), curve.get().0, jointly)
}

/// The fewest significant digits, chosen together, that keep the largest error that rounding adds below a limit.
///
/// Parameters
/// ----------
/// curve : CallendarVanDusen
///     The curve to be entered.
/// limit_k : float
///     Largest error allowed, K.
/// form : {"abc", "alpha_delta_beta"}
///     In which form it is entered.
///
/// Returns
/// -------
/// RoundedCoefficients
///
/// Raises
/// ------
/// InvalidValueError, UnknownNameError
/// NoConvergenceError
///     Where fifteen digits do not suffice.
///
/// Examples
/// --------
/// >>> entered = cc.fit.rounded_within(cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7), 0.01)
/// >>> entered.largest_error_k <= 0.01
/// True
#[pyfunction]
#[pyo3(signature = (curve, limit_k, *, form="abc"))]
fn rounded_within(curve: &Bound<'_, CallendarVanDusen>, limit_k: f64, form: &str) -> PyResult<RoundedCoefficients> {
    let (py, curve) = (curve.py(), curve.get().0);
    let form = form_of(py, form)?;
    let found = py.detach(|| core::rounded_within(&curve, form, limit_k)).or_raise(py)?;
    Ok(RoundedCoefficients(Rounded { found, curve, choice: Choice::Within(form, limit_k) }))
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<RoundedCoefficients>()?;
    add_function(module, "fit", &wrap_pyfunction!(rounded, module)?)?;
    add_function(module, "fit", &wrap_pyfunction!(rounded_within, module)?)
}
