//! Deviation functions of the ITS-90, from ratios measured at known temperatures.

use super::linear::{Functions, Transformed, fit};
use super::observations::{Names, Observations, Spread, Stated};
use super::report::{CovarianceBasis, FitReport};
use super::warning::WarningCode;
use crate::constants::its90::WATER_TRIPLE_POINT_K;
use crate::curves::Sprt;
use crate::error::{Error, Result, positive, same_length};
use crate::interval::Interval;
use crate::its90::{Deviation, Subrange, fixed_point, reference_ratio, reference_slope};

const WHAT: &str = "ITS-90 deviation fit";
const HINT: &str = "add points of the sub-range, or take a shorter one";
const NAMES_T: Names = Names { value: "t_k", u: "u_t", u_common: "u_t_common", covariance: "covariance_t", unit: "K" };
const NAMES_W: Names = Names { value: "w", u: "u_w", u_common: "u_w_common", covariance: "covariance_w", unit: "" };

/// Rounds to find the ratio at aluminium together with the coefficients.
const MAX_ROUNDS: usize = 50;

/// Condition number of a sub-range's own points above which it is worth a warning: the seven logarithms of the longest
/// sub-range reach 1e6 at the points of table 5 themselves.
const ILL_CONDITIONED: f64 = 1e8;

/// What is known of the errors. The default says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Its90DeviationOptions<'a> {
    /// Standard uncertainty of each temperature, K.
    pub u_t: Stated<'a>,
    /// Standard uncertainty of each ratio.
    pub u_w: Stated<'a>,
    /// Standard uncertainty of an error shared by all temperatures, K; needs `u_t` beside it.
    pub u_t_common: f64,
    /// Standard uncertainty of an error shared by all ratios.
    pub u_w_common: f64,
    /// Covariance of the temperatures instead of `u_t`, row by row, K².
    pub covariance_t: Option<&'a [f64]>,
    /// Covariance of the ratios instead of `u_w`, row by row.
    pub covariance_w: Option<&'a [f64]>,
    /// Whether points that do not fit are played down (Huber's weights).
    pub robust: bool,
    /// Basis of the covariance; by default stated uncertainties where there are any.
    pub covariance_basis: Option<CovarianceBasis>,
}

/// A fitted deviation function.
#[derive(Debug, Clone, PartialEq)]
pub struct Its90DeviationFit {
    /// The deviation function with its coefficients.
    pub deviation: Deviation,
    /// Temperature that the thermometer reads at each ratio, minus the given one, K (by the slope of W_r).
    pub residuals_k: Vec<f64>,
    /// The report; its residuals are those of W_r, its covariance that of the coefficients in their order.
    pub report: FitReport,
}

/// Fits the coefficients of a sub-range to temperatures (K) and ratios W = R(T)/R(273.16 K).
///
/// # Formula
/// W_r(T) = W − Σ coefficient · term(W): linear in the coefficients, with the ratio as abscissa; errors of both
/// ([`crate::fit`]). Points at W = 1 say nothing. In the sub-range up to silver the four coefficients are fitted together; with
/// the four points of table 5 this is the procedure of the text. Its last term starts at the thermometer's own ratio at
/// the freezing point of aluminium, which follows from the others.
///
/// # Errors
/// As [`crate::fit::callendar_van_dusen`]; [`Error::OutOfRange`] for a temperature outside the sub-range and its
/// calibration points.
///
/// # Source
/// H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3, table 5.
///
/// # Example
/// ```
/// use calcore::fit::{Its90DeviationOptions, its90_deviation};
/// use calcore::its90::{Deviation, Subrange, reference_ratio};
/// // A thermometer with a = −1e-4: at gallium W = (W_r − 1e-4·(−1))… solved for W: W − 1 = (W_r − 1)/(1 + 1e-4).
/// let w = 1.0 + (reference_ratio(302.9146)? - 1.0) / (1.0 + 1e-4);
/// let fit = its90_deviation(&[302.9146], &[w], Subrange::from_name("3.3.2.5")?, &Its90DeviationOptions::default())?;
/// assert!((fit.deviation.coefficients()[0] + 1e-4).abs() < 1e-14);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn its90_deviation(
    t_k: &[f64],
    w: &[f64],
    subrange: Subrange,
    options: &Its90DeviationOptions,
) -> Result<Its90DeviationFit> {
    let (o, points) = (options, t_k.len());
    same_length(NAMES_W.value, points, w.len())?;
    // The triple point of water belongs to every sub-range; its other points may lie outside, as that of hydrogen does
    // for the sub-range from neon.
    let mut range = subrange.range_k();
    for name in subrange.points() {
        let t_k = fixed_point(name)?.t_k;
        range = Interval { low: range.low.min(t_k), high: range.high.max(t_k), ..range };
    }
    let range = range.widened_for_rounding();
    for (index, (t, w)) in t_k.iter().zip(w).enumerate() {
        positive(NAMES_W.value, *w, "").map_err(|error| error.at_index(index, 1))?;
        if (t - WATER_TRIPLE_POINT_K).abs() > 1e-9 {
            range.check(*t).map_err(|error| error.at_index(index, 1))?;
        }
    }
    let w_r = t_k.iter().map(|t| reference_ratio(*t)).collect::<Result<Vec<f64>>>()?;
    let slopes = t_k.iter().map(|t| reference_slope(*t)).collect::<Result<Vec<f64>>>()?;
    let errors = Transformed::new(NAMES_T, (o.u_t, o.covariance_t, o.u_t_common), &slopes, true)?;
    let w_errors = Spread::new(NAMES_W, points, o.u_w, o.covariance_w, o.u_w_common, true)?;
    let data = Observations::new((NAMES_W, NAMES_T), w, &w_r, w_errors, errors.spread())?;
    let names = subrange.coefficient_names();
    let telling: Vec<f64> = w.iter().copied().filter(|w| (w - 1.0).abs() > 1e-7).collect();
    let found = super::observations::distinct(&telling);
    if found < names.len() {
        return Err(Error::TooFewPoints { what: WHAT, needed: names.len(), found, hint: HINT });
    }
    let solved = |w_aluminium: f64| {
        let functions = |w: f64, terms: &mut [f64], slopes: &mut [f64]| {
            for (to, from) in terms.iter_mut().zip(subrange.terms(w, w_aluminium)) {
                *to = -from;
            }
            for (to, from) in slopes.iter_mut().zip(subrange.term_slopes(w, w_aluminium)) {
                *to = -from;
            }
            (w, 1.0)
        };
        let model = Functions { count: names.len(), names, functions };
        fit(WHAT, HINT, &model, &data, options.robust, options.covariance_basis)
    };
    let mut w_aluminium = if subrange.needs_aluminium() { reference_ratio(fixed_point("Al")?.t_k)? } else { 0.0 };
    let mut rounds = 0;
    loop {
        let (coefficients, mut report) = solved(w_aluminium)?;
        let deviation = Deviation::new(subrange, &coefficients)?;
        let next = deviation.w_aluminium().unwrap_or(w_aluminium);
        rounds += 1;
        if (next - w_aluminium).abs() <= 4.0 * f64::EPSILON * next || rounds >= MAX_ROUNDS {
            if report.condition_number < ILL_CONDITIONED {
                report.warnings.retain(|warning| warning.code != WarningCode::IllConditioned);
            }
            let residuals_k = report.residuals.iter().zip(&slopes).map(|(r, slope)| -r / slope).collect();
            return Ok(Its90DeviationFit { deviation, residuals_k, report });
        }
        w_aluminium = next;
    }
}

impl Its90DeviationFit {
    /// The thermometer, with its resistance at the triple point of water, ohm.
    ///
    /// # Errors
    /// As [`Sprt::new`].
    pub fn thermometer(&self, r_tpw: f64) -> Result<Sprt> {
        Sprt::new(r_tpw, self.deviation.subrange(), self.deviation.coefficients())
    }

    /// Standard uncertainty of a temperature that the thermometer reads, as far as the coefficients cause it, K.
    ///
    /// # Formula
    /// u(T) = √(gᵀ V g) / W_r′(T), g = terms at W(T).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the sub-range; [`Error::Undetermined`] where the fit has no covariance.
    pub fn temperature_uncertainty(&self, t_k: f64) -> Result<f64> {
        let subrange = self.deviation.subrange();
        subrange.range_k().widened_for_rounding().check(t_k)?;
        let w = self.deviation.ratio(reference_ratio(t_k)?);
        let terms = subrange.terms(w, self.deviation.w_aluminium().unwrap_or(0.0));
        let count = subrange.coefficient_names().len();
        Ok(self.report.uncertainty_of(WHAT, &terms[..count])? / reference_slope(t_k)?)
    }
}
