//! Polynomial of any degree.

use super::engine::{Model, Solution, solve};
use super::observations::{Names, Observations, Spread, Stated};
use super::report::{CovarianceBasis, FitReport, judge};
use super::robust;
use super::straight_line::{NAMES_X, NAMES_Y};
use crate::error::{Error, Result, finite};
use crate::num::covariance::Covariance;
use crate::num::double_double::DoubleDouble;

const WHAT: &str = "polynomial";
const HINT: &str = "add points at other abscissae, or take a lower degree";

/// Refinement steps: each gains about thirteen digits on the mapped basis, two reach the end of double-double.
const REFINEMENTS: usize = 3;

/// What is known of the errors, and what is held. The default says nothing and fits every coefficient.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PolynomialOptions<'a> {
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
    /// Values at which the lowest coefficients are held: `&[0.0]` for a polynomial through the origin.
    pub fixed_lowest: &'a [f64],
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// A fitted polynomial.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PolynomialFit {
    /// Coefficients of 1, x, x², …; held ones included.
    pub coefficients: Vec<f64>,
    /// Their standard uncertainties, 0 for held ones; None where the fit has no covariance.
    pub standard_errors: Option<Vec<f64>>,
    /// Part of the sum of squares that the fit explains: about the mean, or about zero where the constant is held.
    pub r_squared: f64,
    /// How well it fits. Rows of held coefficients in the covariance are zero; the condition number is that of the design
    /// on the mapped abscissa.
    #[cfg_attr(feature = "serde", serde(flatten))]
    pub report: FitReport,
    basis: Basis,
    /// Coefficients of the mapped basis, with their low parts.
    mapped: Vec<(f64, f64)>,
    fixed: Vec<f64>,
    mapped_cofactor: Option<Vec<f64>>,
}

/// xᵐ Tⱼ(u), u = (x − centre)/half, Tⱼ: Chebyshev polynomials, m: number of held lowest coefficients. On points over
/// an interval their columns are nearly orthogonal whatever its place, where powers of x are nearly parallel.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
struct Basis {
    centre: f64,
    half: f64,
    held: usize,
    count: usize,
}

impl Basis {
    fn new(x: &[f64], held: usize, count: usize) -> Self {
        let (low, high) = x.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(*v), h.max(*v)));
        let half = 0.5 * (high - low);
        Self { centre: 0.5 * low + 0.5 * high, half: if half > 0.0 { half } else { 1.0 }, held, count }
    }

    /// Basis functions and their derivatives at x.
    #[inline]
    fn evaluate(&self, x: f64, each: &mut impl FnMut(usize, f64, f64)) {
        let u = (x - self.centre) / self.half;
        let (mut power, mut power_slope) = (1.0, 0.0);
        for _ in 0..self.held {
            power_slope = power_slope * x + power;
            power *= x;
        }
        let (mut t, mut t_slope, mut before, mut before_slope) = (1.0, 0.0, u, 1.0);
        for j in 0..self.count {
            each(j, power * t, power_slope * t + power * t_slope / self.half);
            // T₁ = u T₀; T₋₁ = u makes the same recurrence give it.
            let next = (2.0 * u * t - before, 2.0 * t + 2.0 * u * t_slope - before_slope);
            (before, before_slope) = (t, t_slope);
            (t, t_slope) = next;
        }
    }

    /// Basis functions at x to about 31 digits.
    fn precisely(&self, x: f64, values: &mut [DoubleDouble]) {
        let dd = DoubleDouble::new;
        let u = dd(x).subtract(dd(self.centre)).divide(dd(self.half));
        let mut power = DoubleDouble::ONE;
        for _ in 0..self.held {
            power = power.multiply(dd(x));
        }
        let (mut t, mut before) = (DoubleDouble::ONE, u);
        for value in values.iter_mut() {
            *value = power.multiply(t);
            let ut = u.multiply(t);
            (before, t) = (t, ut.add(ut).subtract(before));
        }
    }

    /// Row j: coefficients of basis function j over 1, x, x², …
    fn expansion(&self) -> Vec<Vec<DoubleDouble>> {
        let dd = DoubleDouble::new;
        let size = self.held + self.count;
        let per_half = DoubleDouble::ONE.divide(dd(self.half));
        let offset = dd(self.centre).multiply(per_half).negative();
        // u times a polynomial in x.
        let times_u = |row: &[DoubleDouble]| -> Vec<DoubleDouble> {
            let shifted = |k: usize| if k == 0 { DoubleDouble::ZERO } else { row[k - 1].multiply(per_half) };
            (0..size).map(|k| row[k].multiply(offset).add(shifted(k))).collect()
        };
        let mut first = vec![DoubleDouble::ZERO; size];
        first[self.held] = DoubleDouble::ONE;
        let mut rows = vec![first];
        while rows.len() < self.count {
            let last = &rows[rows.len() - 1];
            let ut = times_u(last);
            let next = match rows.len() {
                1 => ut,
                n => ut.iter().zip(&rows[n - 2]).map(|(a, b)| a.add(*a).subtract(*b)).collect(),
            };
            rows.push(next);
        }
        rows
    }
}

struct PolynomialModel<'a> {
    basis: Basis,
    fixed: &'a [f64],
}

impl Model for PolynomialModel<'_> {
    fn unknowns(&self) -> usize {
        self.basis.count
    }

    fn name(&self, j: usize) -> String {
        format!("the coefficient of degree {}", self.basis.held + j)
    }

    fn evaluate(&self, x: f64, p: &[f64], gradient: &mut [f64]) -> Result<(f64, f64)> {
        let (mut value, mut slope) = (0.0, 0.0);
        for c in self.fixed.iter().rev() {
            slope = slope * x + value;
            value = value * x + c;
        }
        self.basis.evaluate(x, &mut |j, function, derivative| {
            gradient[j] = function;
            value += p[j] * function;
            slope += p[j] * derivative;
        });
        Ok((value, slope))
    }
}

/// Fits a polynomial of the given degree.
///
/// # Formula
/// y = c₀ + c₁ x + … + c_d x^d, fitted on the abscissa mapped to −1 … 1 in Chebyshev polynomials; with exact abscissae
/// and independent ordinates the solution is refined, and in every case expanded to powers of x, in double-double
/// arithmetic.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::NotFinite`], [`Error::InvalidValue`] (also for as many held coefficients as
/// there are), [`Error::NotPositiveDefinite`]; [`Error::TooFewPoints`] where the points do not suffice.
///
/// # Source
/// G. E. Forsythe, J. SIAM 5 (1957) 74, for orthogonal polynomials on a mapped abscissa.
///
/// # Example
/// ```
/// use calcore::fit::{PolynomialOptions, polynomial};
/// let x = [0.0, 1.0, 2.0, 3.0];
/// let fit = polynomial(&x, &x.map(|x| 1.0 - x + 2.0 * x * x), 2, &PolynomialOptions::default())?;
/// assert!((fit.coefficients[2] - 2.0).abs() < 1e-14);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn polynomial(x: &[f64], y: &[f64], degree: usize, options: &PolynomialOptions) -> Result<PolynomialFit> {
    fit_named(WHAT, (NAMES_X, NAMES_Y), x, y, degree, options)
}

pub(super) fn fit_named(
    what: &'static str,
    names: (Names, Names),
    x: &[f64],
    y: &[f64],
    degree: usize,
    options: &PolynomialOptions,
) -> Result<PolynomialFit> {
    let (o, points) = (options, x.len());
    let x_errors = Spread::new(names.0, points, o.u_x, o.covariance_x, o.u_x_common, true)?;
    let y_errors = Spread::new(names.1, points, o.u_y, o.covariance_y, o.u_y_common, false)?;
    let data = Observations::new(names, x, y, x_errors, y_errors)?;
    let held = options.fixed_lowest.len();
    if held > degree {
        return Err(Error::InvalidValue {
            what: "number of held coefficients",
            value: held as f64,
            unit: "",
            requirement: format!("a polynomial of degree {degree} must keep at least one to fit"),
        });
    }
    for value in options.fixed_lowest {
        finite("held coefficient", *value)?;
    }
    let needed = degree + 1 - held;
    // A held constant makes the point at 0 useless for the rest.
    let at_zero = usize::from(held > 0 && x.contains(&0.0));
    let found = data.distinct() - at_zero;
    if found < needed {
        return Err(Error::TooFewPoints { what, needed, found, hint: HINT });
    }
    let basis = Basis::new(x, held, needed);
    let model = PolynomialModel { basis, fixed: options.fixed_lowest };
    let fit = |data: &Observations| solve(what, &model, data, None, HINT);
    let misfits = |solution: &Solution| {
        let mapped: Vec<DoubleDouble> = solution.parameters.iter().map(|p| DoubleDouble::new(*p)).collect();
        Ok(residuals(&model, &data, &mapped).0)
    };
    let (mut solution, weights) =
        if options.robust { robust::reweighted(what, &data, fit, misfits)? } else { (fit(&data)?, Vec::new()) };
    let stated = data.is_stated();
    let data = Observations { weights: (!weights.is_empty()).then_some(&weights[..]), ..data };
    let independent = data.y_errors.is_independent() || !data.is_stated();
    let mapped = if data.x_errors.is_exact() && independent {
        refine(&model, &data, &mut solution)
    } else {
        solution.parameters.iter().map(|p| DoubleDouble::new(*p)).collect()
    };
    let rows = basis.expansion();
    let coefficients = expand(&rows, &mapped, options.fixed_lowest);
    let (residuals, sum_of_squares) = residuals(&model, &data, &mapped);
    if !coefficients.iter().chain(&residuals).all(|v| v.is_finite()) {
        // Numbers beyond 1e290 overflow on the way.
        return Err(Error::NoConvergence { what, steps: solution.iterations, last: coefficients[degree], unit: "" });
    }
    // Judged on the coefficients that the user sees.
    solution.parameters = coefficients[held..].to_vec();
    let expanded = expand_covariance(&rows, held, &solution.cofactor);
    let shared = if solution.shared.is_empty() { Vec::new() } else { expand_covariance(&rows, held, &solution.shared) };
    let mapped_cofactor = std::mem::replace(&mut solution.cofactor, expanded);
    let mapped_shared = std::mem::replace(&mut solution.shared, shared);
    let scale_free = solution.chi_squared;
    let mut judged = judge(&mut solution, &data, needed, options.covariance_basis, |j| model.name(j))?;
    robust::warn(&weights, &mut judged.warnings);
    let factor = match judged.basis {
        CovarianceBasis::Stated => 1.0,
        CovarianceBasis::Residuals => scale_free / judged.degrees_of_freedom.max(1) as f64,
    };
    let mapped_cofactor = judged.covariance.as_ref().map(|_| {
        let shared = mapped_shared.iter().copied().chain(std::iter::repeat(0.0));
        mapped_cofactor.iter().zip(shared).map(|(v, s)| v * factor + s).collect()
    });
    let covariance = judged.covariance.take().map(|values| {
        Covariance::from_fn(degree + 1, |i, j| if j < held { 0.0 } else { values[(i - held) * needed + (j - held)] })
    });
    let mean = if held > 0 { 0.0 } else { y.iter().sum::<f64>() / points as f64 };
    let total: f64 = y.iter().map(|v| (v - mean) * (v - mean)).sum();
    Ok(PolynomialFit {
        coefficients,
        standard_errors: covariance.as_ref().map(|v| (0..=degree).map(|k| v.standard_uncertainty(k)).collect()),
        r_squared: if total > 0.0 { 1.0 - sum_of_squares / total } else { 1.0 },
        report: FitReport::new(solution, judged, covariance, residuals, weights, stated),
        basis,
        mapped: mapped.iter().map(|v| v.parts()).collect(),
        fixed: options.fixed_lowest.to_vec(),
        mapped_cofactor,
    })
}

/// Steps with the gradient of the sum of squares in double-double: what rounding left of it is taken out.
fn refine(model: &PolynomialModel, data: &Observations, solution: &mut Solution) -> Vec<DoubleDouble> {
    let count = model.basis.count;
    let mut p: Vec<DoubleDouble> = solution.parameters.iter().map(|v| DoubleDouble::new(*v)).collect();
    let mut functions = vec![DoubleDouble::ZERO; count];
    for _ in 0..REFINEMENTS {
        let mut gradient = vec![DoubleDouble::ZERO; count];
        let mut sum = DoubleDouble::ZERO;
        for (i, (x, y)) in data.x.iter().zip(data.y).enumerate() {
            let residual = precise_residual(model, &p, *x, *y, &mut functions);
            let weighted = residual.divide(DoubleDouble::new(solution.variances[i]));
            sum = sum.add(weighted.multiply(residual));
            for (g, f) in gradient.iter_mut().zip(&functions) {
                *g = g.add(f.multiply(weighted));
            }
        }
        solution.chi_squared = sum.to_f64();
        for (row, value) in solution.cofactor.chunks_exact(count).zip(p.iter_mut()) {
            let step: f64 = row.iter().zip(&gradient).map(|(c, g)| c * g.to_f64()).sum();
            *value = value.add(DoubleDouble::new(step));
        }
    }
    p
}

fn precise_residual(
    model: &PolynomialModel,
    p: &[DoubleDouble],
    x: f64,
    y: f64,
    functions: &mut [DoubleDouble],
) -> DoubleDouble {
    model.basis.precisely(x, functions);
    let mut value = DoubleDouble::ZERO;
    for c in model.fixed.iter().rev() {
        value = value.multiply(DoubleDouble::new(x)).add(DoubleDouble::new(*c));
    }
    for (f, p) in functions.iter().zip(p) {
        value = value.add(f.multiply(*p));
    }
    DoubleDouble::new(y).subtract(value)
}

/// Residuals and the sum of their squares.
fn residuals(model: &PolynomialModel, data: &Observations, p: &[DoubleDouble]) -> (Vec<f64>, f64) {
    let mut functions = vec![DoubleDouble::ZERO; model.basis.count];
    let values: Vec<f64> =
        data.x.iter().zip(data.y).map(|(x, y)| precise_residual(model, p, *x, *y, &mut functions).to_f64()).collect();
    let sum = values.iter().map(|r| r * r).sum();
    (values, sum)
}

fn expand(rows: &[Vec<DoubleDouble>], mapped: &[DoubleDouble], fixed: &[f64]) -> Vec<f64> {
    let size = fixed.len() + rows.len();
    (0..size)
        .map(|k| match fixed.get(k) {
            Some(value) => *value,
            None => {
                let terms = rows.iter().zip(mapped).map(|(row, p)| row[k].multiply(*p));
                terms.fold(DoubleDouble::ZERO, DoubleDouble::add).to_f64()
            }
        })
        .collect()
}

/// The same for a matrix over the mapped basis.
fn expand_covariance(rows: &[Vec<DoubleDouble>], held: usize, values: &[f64]) -> Vec<f64> {
    let count = rows.len();
    // First the right-hand factor, then the left-hand one.
    let mut half = vec![DoubleDouble::ZERO; count * count];
    for i in 0..count {
        for k in 0..count {
            let terms = (0..count).map(|j| rows[j][held + k].multiply(DoubleDouble::new(values[i * count + j])));
            half[i * count + k] = terms.fold(DoubleDouble::ZERO, DoubleDouble::add);
        }
    }
    let mut expanded = vec![0.0; count * count];
    for m in 0..count {
        for k in 0..count {
            let terms = (0..count).map(|i| rows[i][held + m].multiply(half[i * count + k]));
            expanded[m * count + k] = terms.fold(DoubleDouble::ZERO, DoubleDouble::add).to_f64();
        }
    }
    expanded
}

impl PolynomialFit {
    /// Value of the polynomial, in the mapped basis: powers of x would lose digits far from the origin.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn value(&self, x: f64) -> Result<f64> {
        finite("x", x)?;
        let mut value = self.fixed.iter().rev().fold(0.0, |sum, c| sum * x + c);
        self.basis.evaluate(x, &mut |j, function, _| value += self.mapped[j].0 * function);
        Ok(value)
    }

    /// Standard uncertainty of that value, as far as the coefficients cause it.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::Undetermined`] where the fit has no covariance.
    pub fn value_uncertainty(&self, x: f64) -> Result<f64> {
        finite("x", x)?;
        let Some(cofactor) = &self.mapped_cofactor else {
            return Err(Error::Undetermined {
                what: WHAT,
                parameter: "the uncertainty of its values".into(),
                hint: "state u_y or u_x, or add points",
            });
        };
        let mut functions = vec![0.0; self.basis.count];
        self.basis.evaluate(x, &mut |j, function, _| functions[j] = function);
        let variance: f64 = cofactor
            .chunks_exact(self.basis.count)
            .zip(&functions)
            .map(|(row, f)| f * row.iter().zip(&functions).map(|(c, g)| c * g).sum::<f64>())
            .sum();
        Ok(variance.max(0.0).sqrt())
    }
}
