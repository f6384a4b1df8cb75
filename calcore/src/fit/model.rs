//! A user's own model.

use super::engine::{Model, Solution, power_of_two_near};
use super::nonlinear::solve_nonlinear;
use super::observations::{Observations, Spread, Stated};
use super::report::{CovarianceBasis, FitReport, judge};
use super::robust;
use super::straight_line::{NAMES_X, NAMES_Y};
use super::warning::{FitWarning, WarningCode};
use crate::error::{Error, Result, finite, same_length};
use crate::num::covariance::Covariance;

const WHAT: &str = "fit of a model";
const HINT: &str = "add points, hold a parameter by bounds, or start elsewhere";

/// A model y = f(x; p) that may know its derivatives. A closure `|x, p| …` is one that does not.
pub trait CurveModel {
    /// Value at x.
    ///
    /// # Errors
    /// Whatever the model wants to say; the fit ends with it. NaN only makes the search step back.
    fn value(&self, x: f64, p: &[f64]) -> Result<f64>;

    /// Fills the derivatives to the parameters and says whether it has; by default they are formed by differences.
    ///
    /// # Errors
    /// As [`CurveModel::value`].
    fn gradient(&self, _x: f64, _p: &[f64], _gradient: &mut [f64]) -> Result<bool> {
        Ok(false)
    }

    /// Derivative to x, used where x has errors; by default formed by differences.
    ///
    /// # Errors
    /// As [`CurveModel::value`].
    fn slope(&self, _x: f64, _p: &[f64]) -> Result<Option<f64>> {
        Ok(None)
    }
}

impl<F: Fn(f64, &[f64]) -> f64> CurveModel for F {
    fn value(&self, x: f64, p: &[f64]) -> Result<f64> {
        Ok(self(x, p))
    }
}

/// A model by two closures: its value, and its derivatives to the parameters.
#[derive(Debug, Clone, Copy)]
pub struct WithGradient<F, G> {
    /// Value at (x, p).
    pub value: F,
    /// Fills the derivatives at (x, p).
    pub gradient: G,
}

impl<F: Fn(f64, &[f64]) -> f64, G: Fn(f64, &[f64], &mut [f64])> CurveModel for WithGradient<F, G> {
    fn value(&self, x: f64, p: &[f64]) -> Result<f64> {
        Ok((self.value)(x, p))
    }

    fn gradient(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<bool> {
        (self.gradient)(x, p, gradient);
        Ok(true)
    }
}

/// What is known of the errors and of the parameters. The default says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ModelOptions<'a> {
    /// Standard uncertainty of each abscissa.
    pub u_x: Stated<'a>,
    /// Standard uncertainty of each ordinate; greater than 0.
    pub u_y: Stated<'a>,
    /// Standard uncertainty of an error shared by all abscissae.
    pub u_x_common: f64,
    /// Standard uncertainty of an error shared by all ordinates.
    pub u_y_common: f64,
    /// Covariance of the abscissae instead of `u_x`, row by row.
    pub covariance_x: Option<&'a [f64]>,
    /// Covariance of the ordinates instead of `u_y`, row by row.
    pub covariance_y: Option<&'a [f64]>,
    /// Lowest and highest value of each parameter; empty for no bounds.
    pub bounds: &'a [(f64, f64)],
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// Parameters of a user's model with everything that is known of them.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ModelFit {
    /// The parameters.
    pub parameters: Vec<f64>,
    /// Their standard uncertainties; None where the fit has no covariance.
    pub standard_errors: Option<Vec<f64>>,
    /// Which parameters ended at a bound.
    pub at_bound: Vec<bool>,
    /// Sum of the squared residuals.
    pub sum_of_squares: f64,
    /// How well it fits. Rows of parameters at a bound are zero in the covariance; residuals without the point are
    /// linearised.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub report: FitReport,
}

/// A user's model as the engine sees it.
struct Adapter<'m, F: ?Sized> {
    model: &'m F,
    unknowns: usize,
    needs_slope: bool,
    /// Size of a parameter that is 0, for the width of differences.
    sizes: Vec<f64>,
    /// The same for x.
    x_size: f64,
}

/// Width of a difference over four points, in units of the argument: the fifth root of the rounding of a double, at
/// which rounding and the fifth derivative cost about as much.
const DIFFERENCE: f64 = 7e-4;

impl<F: CurveModel + ?Sized> Adapter<'_, F> {
    /// (8 [f(v + h) − f(v − h)] − [f(v + 2h) − f(v − 2h)]) / 12 h, v of the given size.
    fn difference(&self, v: f64, size: f64, f: impl Fn(f64) -> Result<f64>) -> Result<f64> {
        // A power of two, so that v ± h and v ± 2h lie symmetrically but for the last bit of v.
        let h = power_of_two_near(DIFFERENCE * v.abs().max(1e-3 * size));
        let near = f(v + h)? - f(v - h)?;
        let far = f(v + 2.0 * h)? - f(v - 2.0 * h)?;
        Ok((8.0 * near - far) / (12.0 * h))
    }
}

impl<F: CurveModel + ?Sized> Model for Adapter<'_, F> {
    fn unknowns(&self) -> usize {
        self.unknowns
    }

    fn name(&self, j: usize) -> String {
        format!("parameter {j}")
    }

    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)> {
        let value = self.model.value(x, p)?;
        if !self.model.gradient(x, p, gradient)? {
            let mut moved = p.to_vec();
            for j in 0..p.len() {
                gradient[j] = {
                    let cell = std::cell::RefCell::new(&mut moved);
                    self.difference(p[j], self.sizes[j], |v| {
                        let mut q = cell.borrow_mut();
                        q[j] = v;
                        self.model.value(x, &q)
                    })?
                };
                moved[j] = p[j];
            }
        }
        let slope = match self.needs_slope {
            false => 0.0,
            true => match self.model.slope(x, p)? {
                Some(slope) => slope,
                None => self.difference(x, self.x_size, |v| self.model.value(v, p))?,
            },
        };
        Ok((value, slope))
    }
}

/// Fits a user's model y = f(x; p) from start values.
///
/// # Formula
/// Levenberg-Marquardt with Moré's scaling; errors in both variables exactly ([`crate::fit`]). Derivatives by
/// differences over four points where the model does not give them.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::NotFinite`], [`Error::InvalidValue`] (start values outside their bounds),
/// [`Error::NotPositiveDefinite`], [`Error::TooFewPoints`], [`Error::Undetermined`], [`Error::NoConvergence`];
/// [`Error::ModelFailed`] where the model is not finite at the start; the model's own error unchanged.
///
/// # Source
/// J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105.
///
/// # Example
/// ```
/// use calcore::fit::{ModelOptions, model};
/// // Cooling: an exponential through three points without noise.
/// let t = [0.0, 1.0, 2.0, 3.0];
/// let y = t.map(|t: f64| 20.0 + 80.0 * (-0.5 * t).exp());
/// let cooling = |t: f64, p: &[f64]| p[0] + p[1] * (-p[2] * t).exp();
/// let fit = model(&cooling, &t, &y, &[0.0, 50.0, 1.0], &ModelOptions::default())?;
/// assert!((fit.parameters[2] - 0.5).abs() < 1e-9);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn model<F: CurveModel + ?Sized>(
    f: &F,
    x: &[f64],
    y: &[f64],
    start: &[f64],
    options: &ModelOptions,
) -> Result<ModelFit> {
    let (o, points) = (options, x.len());
    let x_errors = Spread::new(NAMES_X, points, o.u_x, o.covariance_x, o.u_x_common, true)?;
    let y_errors = Spread::new(NAMES_Y, points, o.u_y, o.covariance_y, o.u_y_common, false)?;
    let data = Observations::new((NAMES_X, NAMES_Y), x, y, x_errors, y_errors)?;
    check_start(start, options.bounds)?;
    let adapter = Adapter {
        model: f,
        unknowns: start.len(),
        needs_slope: !x_errors.is_exact(),
        sizes: start.iter().map(|v| if *v == 0.0 { 1.0 } else { v.abs() }).collect(),
        x_size: x.iter().fold(0.0f64, |m, v| m.max(v.abs())),
    };
    let residuals_of = |p: &[f64]| x.iter().zip(y).map(|(x, y)| Ok(y - f.value(*x, p)?)).collect::<Result<Vec<f64>>>();
    let at_bound = std::cell::RefCell::new(Vec::new());
    let fit = |data: &Observations| -> Result<Solution> {
        let (solution, bound) = solve_nonlinear(WHAT, &adapter, data, start, options.bounds, HINT)?;
        *at_bound.borrow_mut() = bound;
        Ok(solution)
    };
    let (mut solution, weights) = if options.robust {
        robust::reweighted(WHAT, &data, fit, |s| residuals_of(&s.parameters))?
    } else {
        (fit(&data)?, Vec::new())
    };
    let at_bound = at_bound.into_inner();
    let free = at_bound.iter().filter(|held| !**held).count();
    let weighted = Observations { weights: (!weights.is_empty()).then_some(&weights[..]), ..data };
    let mut judged = judge(&mut solution, &weighted, free, options.covariance_basis, |j| adapter.name(j))?;
    let residuals = residuals_of(&solution.parameters)?;
    robust::warn(&weights, &mut judged.warnings);
    for (j, _) in at_bound.iter().enumerate().filter(|(_, held)| **held) {
        judged.warnings.push(FitWarning::new(
            WarningCode::AtBound,
            format!("parameter {j} ended at its bound {:e}", solution.parameters[j]),
        ));
    }
    let unknowns = start.len();
    let covariance = judged.covariance.take().map(|v| Covariance::from_fn(unknowns, |i, j| v[i * unknowns + j]));
    Ok(ModelFit {
        standard_errors: covariance.as_ref().map(|v| (0..unknowns).map(|k| v.standard_uncertainty(k)).collect()),
        at_bound,
        sum_of_squares: residuals.iter().map(|r| r * r).sum(),
        parameters: std::mem::take(&mut solution.parameters),
        report: FitReport::new(solution, judged, covariance, residuals, weights, data.is_stated()),
    })
}

fn check_start(start: &[f64], bounds: &[(f64, f64)]) -> Result<()> {
    if start.is_empty() {
        return Err(Error::TooFewPoints { what: "start values", needed: 1, found: 0, hint: "one for each parameter" });
    }
    for (index, value) in start.iter().enumerate() {
        finite("start value", *value).map_err(|error| error.at_index(index, 1))?;
    }
    if bounds.is_empty() {
        return Ok(());
    }
    same_length("bounds", start.len(), bounds.len())?;
    for (index, (value, (low, high))) in start.iter().zip(bounds).enumerate() {
        if !(value >= low && value <= high && low < high) {
            return Err(Error::InvalidValue {
                what: "start value",
                value: *value,
                unit: "",
                requirement: format!("it must lie between its bounds {low} and {high} (parameter {index})"),
            });
        }
    }
    Ok(())
}
