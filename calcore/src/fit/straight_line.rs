//! Straight line through points with errors in either or both variables.

use super::engine::{Model, Solution, solve};
use super::observations::{Names, Observations, Spread, Stated};
use super::report::{CovarianceBasis, FitReport, judge};
use super::robust;
use crate::error::{Error, Result, finite, not_negative, same_length};
use crate::num::covariance::Covariance;
use crate::num::linalg::check_covariance;

const WHAT: &str = "straight line";
const HINT: &str = "add points at other abscissae, or hold the intercept or the slope";
pub(super) const NAMES_X: Names =
    Names { value: "x", u: "u_x", u_common: "u_x_common", covariance: "covariance_x", unit: "" };
pub(super) const NAMES_Y: Names =
    Names { value: "y", u: "u_y", u_common: "u_y_common", covariance: "covariance_y", unit: "" };

/// What is known of the errors, and what is held. The default says nothing and fits both.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StraightLineOptions<'a> {
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
    /// Covariance of each abscissa (row) with each ordinate (column), row by row.
    pub covariance_xy: Option<&'a [f64]>,
    /// Value at which the intercept is held.
    pub fixed_intercept: Option<f64>,
    /// Value at which the slope is held.
    pub fixed_slope: Option<f64>,
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// A fitted line y = intercept + slope · x.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct StraightLineFit {
    /// Value at x = 0.
    pub intercept: f64,
    /// Change of y per unit of x.
    pub slope: f64,
    /// How well it fits. Covariance over (intercept, slope): a held one has zeros.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub report: FitReport,
}

/// Intercept and slope, either of which may be held.
struct Line {
    fixed: [Option<f64>; 2],
}

impl Line {
    fn values(&self, p: &[f64]) -> [f64; 2] {
        let mut free = p.iter();
        self.fixed.map(|held| held.unwrap_or_else(|| free.next().copied().unwrap_or(0.0)))
    }

    /// Which of (intercept, slope) unknown `j` stands for.
    fn place(&self, j: usize) -> usize {
        if self.fixed[0].is_some() { 1 } else { j }
    }
}

impl Model for Line {
    fn unknowns(&self) -> usize {
        self.fixed.iter().filter(|held| held.is_none()).count()
    }

    fn name(&self, j: usize) -> String {
        (if self.place(j) == 0 { "intercept" } else { "slope" }).into()
    }

    #[inline(always)]
    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)> {
        let [intercept, slope] = self.values(p);
        for (j, g) in gradient.iter_mut().enumerate() {
            *g = if self.place(j) == 0 { 1.0 } else { x };
        }
        Ok((intercept + slope * x, slope))
    }
}

/// Fits y = intercept + slope · x.
///
/// # Formula
/// Least squares weighted by the whole covariance of the points; errors in both variables exactly
/// ([`crate::fit`]). The uncertainties are those at the adjusted points.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::NotFinite`], [`Error::InvalidValue`], [`Error::NotPositiveDefinite`];
/// [`Error::TooFewPoints`] where the points do not suffice.
///
/// # Source
/// ISO/TS 28037:2010, clauses 6 to 10; JCGM 100:2008, H.3.
///
/// # Example
/// ```
/// use calcore::fit::{StraightLineOptions, straight_line};
/// // ISO/TS 28037:2010, 6.3
/// let x = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
/// let y = [3.3, 5.6, 7.1, 9.3, 10.7, 12.1];
/// let line = straight_line(&x, &y, &StraightLineOptions { u_y: 0.5.into(), ..Default::default() })?;
/// assert!((line.intercept - 1.867).abs() < 5e-4 && (line.slope - 1.757).abs() < 5e-4);
/// assert!((line.report.chi_squared.unwrap_or(f64::NAN) - 1.665).abs() < 5e-4);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn straight_line(x: &[f64], y: &[f64], options: &StraightLineOptions) -> Result<StraightLineFit> {
    let (o, points) = (options, x.len());
    let x_errors = Spread::new(NAMES_X, points, o.u_x, o.covariance_x, o.u_x_common, true)?;
    let y_errors = Spread::new(NAMES_Y, points, o.u_y, o.covariance_y, o.u_y_common, false)?;
    let mut data = Observations::new((NAMES_X, NAMES_Y), x, y, x_errors, y_errors)?;
    if let Some(cross) = options.covariance_xy {
        check_joint(&data, cross)?;
        data.cross = Some(cross);
    }
    for (what, value) in [("fixed intercept", options.fixed_intercept), ("fixed slope", options.fixed_slope)] {
        value.map(|v| finite(what, v)).transpose()?;
    }
    let model = Line { fixed: [options.fixed_intercept, options.fixed_slope] };
    let (needed, found) = (model.unknowns(), data.distinct());
    if needed == 0 {
        return Err(Error::InvalidValue {
            what: "number of held parameters",
            value: 2.0,
            unit: "",
            requirement: "the intercept or the slope must be left to fit".into(),
        });
    }
    // The slope alone is open where the only abscissa is 0.
    if found < needed {
        return Err(Error::TooFewPoints { what: WHAT, needed, found, hint: HINT });
    }
    let fit = |data: &Observations| solve(WHAT, &model, data, None, HINT);
    let misfits = |solution: &Solution| {
        let [intercept, slope] = model.values(&solution.parameters);
        Ok(x.iter().zip(y).map(|(x, y)| y - (intercept + slope * x)).collect())
    };
    let (mut solution, weights) =
        if options.robust { robust::reweighted(WHAT, &data, fit, misfits)? } else { (fit(&data)?, Vec::new()) };
    let weighted = Observations { weights: (!weights.is_empty()).then_some(&weights[..]), ..data };
    let mut judged = judge(&mut solution, &weighted, needed, options.covariance_basis, |j| model.name(j))?;
    let [intercept, slope] = model.values(&solution.parameters);
    robust::warn(&weights, &mut judged.warnings);
    let residuals: Vec<f64> = x.iter().zip(y).map(|(x, y)| y - (intercept + slope * x)).collect();
    let covariance = judged.covariance.take().map(|values| {
        let mut covariance = Covariance::zeros(2);
        for i in 0..needed {
            for j in 0..=i {
                covariance.set(model.place(i), model.place(j), values[i * needed + j]);
            }
        }
        covariance
    });
    let report = FitReport::new(solution, judged, covariance, residuals, weights, data.is_stated());
    Ok(StraightLineFit { intercept, slope, report })
}

/// The covariance of all abscissae and ordinates together must be one.
fn check_joint(data: &Observations, cross: &[f64]) -> Result<()> {
    const NAME: &str = "covariance_xy";
    let n = data.x.len();
    same_length(NAME, n * n, cross.len())?;
    if !data.is_stated() {
        return Err(Error::Undetermined {
            what: WHAT,
            parameter: "the size of the errors".into(),
            hint: "covariance_xy needs the uncertainties of x and y beside it",
        });
    }
    let size = 2 * n;
    let mut joint = vec![0.0; size * size];
    for i in 0..n {
        for j in 0..n {
            joint[i * size + j] = data.x_errors.covariance(n, i, j);
            joint[(n + i) * size + n + j] = data.y_errors.covariance(n, i, j);
            joint[i * size + n + j] = cross[i * n + j];
            joint[(n + j) * size + i] = cross[i * n + j];
        }
    }
    check_covariance(NAME, size, &joint)
}

impl StraightLineFit {
    /// Ordinate of the line at an abscissa that has a standard uncertainty of its own, and its standard uncertainty.
    ///
    /// # Formula
    /// u²(y) = u²(a) + 2 x u(a, b) + x² u²(b) + b² u²(x).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::InvalidValue`]; [`Error::Undetermined`] where the fit has no covariance.
    ///
    /// # Source
    /// ISO/TS 28037:2010, 11.2.
    pub fn predict(&self, x: f64, u_x: f64) -> Result<(f64, f64)> {
        finite("x", x)?;
        not_negative("u_x", u_x, "")?;
        let variance = self.covariance()?.variance_of(&[1.0, x]) + (self.slope * u_x) * (self.slope * u_x);
        Ok((self.intercept + self.slope * x, variance.max(0.0).sqrt()))
    }

    /// Abscissa at which the line has an ordinate with a standard uncertainty of its own, and its standard
    /// uncertainty.
    ///
    /// # Formula
    /// x = (y − a)/b, u²(x) = (u²(y) + u²(a) + 2 x u(a, b) + x² u²(b))/b².
    ///
    /// # Errors
    /// As [`StraightLineFit::predict`]; [`Error::Undetermined`] for a horizontal line.
    ///
    /// # Source
    /// ISO/TS 28037:2010, 11.1.
    pub fn predict_inverse(&self, y: f64, u_y: f64) -> Result<(f64, f64)> {
        finite("y", y)?;
        not_negative("u_y", u_y, "")?;
        let x = (y - self.intercept) / self.slope;
        if !x.is_finite() {
            return Err(Error::Undetermined {
                what: WHAT,
                parameter: "the abscissa of an ordinate".into(),
                hint: "the line is horizontal",
            });
        }
        let variance = self.covariance()?.variance_of(&[1.0, x]) + u_y * u_y;
        Ok((x, variance.max(0.0).sqrt() / self.slope.abs()))
    }

    fn covariance(&self) -> Result<&Covariance> {
        self.report.covariance.as_ref().ok_or(Error::Undetermined {
            what: WHAT,
            parameter: "the uncertainty of the line".into(),
            hint: "state u_y or u_x, or add points",
        })
    }
}
