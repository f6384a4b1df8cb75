//! Where to measure: the set points that make the fitted curve best where it is worst.

use super::callendar_van_dusen::powers;
use crate::curves::{CallendarVanDusen, SensorCurve};
use crate::error::{Error, Result, finite, not_negative};
use crate::num::linalg::{cholesky, forward_substitute};

const WHAT: &str = "choice of set points";

/// Most set points that are placed: the search takes a time that grows with them, and nobody has more.
const MOST_POINTS: usize = 1000;

/// Places that a point may take in the first rounds of the search.
const PLACES: usize = 41;

/// Places at which the uncertainty is looked at.
const GRID: usize = 161;

/// How two points are moved together, in widths.
const PAIR_STEPS: [(f64, f64); 8] =
    [(0.5, 0.5), (-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5), (0.1, 0.05), (-0.1, -0.05), (0.1, -0.05), (-0.1, 0.05)];

/// Most rounds; each moves every point once.
const MAX_ROUNDS: usize = 60;

/// What is known of the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SetPointOptions {
    /// Standard uncertainty of a temperature, independent from point to point, K.
    pub u_t: f64,
    /// Standard uncertainty of a resistance, ohm.
    pub u_ohm: f64,
    /// Whether C is fitted too; it needs points below 0 °C.
    pub fit_c: bool,
}

/// Set points and the worst standard uncertainty of the curve fitted to them.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct SetPoints {
    /// The points, ascending, °C; equal ones are repeats.
    pub t_c: Vec<f64>,
    /// Largest standard uncertainty of the fitted curve over the range, K.
    pub largest_uncertainty_k: f64,
    /// Where it stands, °C.
    pub at_c: f64,
}

/// A user's own choice beside the best one.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct SetPointAssessment {
    /// The user's choice.
    pub own: SetPoints,
    /// The best choice of as many points.
    pub best: SetPoints,
    /// How much larger the worst uncertainty of the user's choice is: 1 is as good.
    pub ratio: f64,
}

/// A model linear in at most four unknowns, with the uncertainty of a point and the slope that turns it into what is
/// wanted.
trait Design {
    fn unknowns(&self) -> usize;
    fn functions(&self, x: f64) -> [f64; 4];
    /// Variance of a point's misfit.
    fn variance(&self, x: f64) -> f64;
    /// What a misfit is divided by.
    fn slope(&self, x: f64) -> f64;
}

struct Platinum<'a> {
    curve: &'a CallendarVanDusen,
    options: SetPointOptions,
}

impl Design for Platinum<'_> {
    fn unknowns(&self) -> usize {
        if self.options.fit_c { 4 } else { 3 }
    }

    fn functions(&self, x: f64) -> [f64; 4] {
        // Scaled to comparable size; the answer does not depend on it.
        let [one, t, t2, cold] = powers(x);
        [one, t / 100.0, t2 / 1e4, cold / 1e8]
    }

    fn variance(&self, x: f64) -> f64 {
        let from_t = self.options.u_t * self.curve.raw_slope(x);
        self.options.u_ohm * self.options.u_ohm + from_t * from_t
    }

    fn slope(&self, x: f64) -> f64 {
        self.curve.raw_slope(x)
    }
}

/// Polynomial on −1 … 1, equal uncertainties.
struct Powers(usize);

impl Design for Powers {
    fn unknowns(&self) -> usize {
        self.0 + 1
    }

    fn functions(&self, x: f64) -> [f64; 4] {
        [1.0, x, x * x, x * x * x]
    }

    fn variance(&self, _x: f64) -> f64 {
        1.0
    }

    fn slope(&self, _x: f64) -> f64 {
        1.0
    }
}

/// What the search makes small.
#[derive(Clone, Copy)]
enum Aim {
    /// Minus the determinant of the information (logarithm), which is smooth.
    Determinant,
    /// The mean over the range of the uncertainty to the power 2^n, and of that the root: smooth, and nearer to the
    /// worst uncertainty the larger n is.
    Mean(u32),
    /// The worst uncertainty.
    Worst,
}

/// The largest standard uncertainty over a range and where it stands, and how well an aim is met.
fn judge(design: &impl Design, points: &[f64], low: f64, high: f64, aim: Aim) -> (f64, f64, f64) {
    let k = design.unknowns();
    let mut information = [0.0; 16];
    for x in points {
        let (f, weight) = (design.functions(*x), 1.0 / design.variance(*x));
        for i in 0..k {
            for j in 0..k {
                information[i * k + j] += f[i] * f[j] * weight;
            }
        }
    }
    let open = (f64::INFINITY, low, f64::INFINITY);
    if cholesky(&mut information[..k * k], k).is_err() {
        return open;
    }
    let at = |x: f64| {
        let mut f = design.functions(x);
        forward_substitute(&information[..k * k], k, &mut f[..k]);
        f[..k].iter().map(|v| v * v).sum::<f64>().sqrt() / design.slope(x)
    };
    let mut worst = (0.0, low);
    let mut all = [0.0; GRID];
    for (i, u) in all.iter_mut().enumerate() {
        let x = low + (high - low) * i as f64 / (GRID - 1) as f64;
        *u = at(x);
        if u.is_nan() || *u > worst.0 {
            worst = (*u, x);
        }
    }
    if !worst.0.is_finite() {
        return open;
    }
    let met = match aim {
        Aim::Determinant => -(0..k).map(|i| libm::log(information[i * k + i])).sum::<f64>(),
        Aim::Mean(squarings) => {
            let power = |u: f64| (0..squarings).fold(u / worst.0, |v, _| v * v);
            let mean = all.iter().map(|u| power(*u)).sum::<f64>() / GRID as f64;
            worst.0 * (0..squarings).fold(mean, |v, _| v.sqrt())
        }
        Aim::Worst => worst.0,
    };
    (worst.0, worst.1, met)
}

/// Exchange of one point at a time. The worst uncertainty has edges at which no single point can be moved to advantage
/// though two together could: smooth aims that come ever nearer to it go before.
fn search(design: &impl Design, count: usize, low: f64, high: f64) -> Vec<f64> {
    // Denser towards the ends, as the best points are; repeats at the ends are left to the search.
    let mut points: Vec<f64> = (0..count)
        .map(|i| {
            let angle = std::f64::consts::PI * i as f64 / (count - 1).max(1) as f64;
            0.5 * (low + high) - 0.5 * (high - low) * libm::cos(angle)
        })
        .collect();
    let worst_of = |points: &[f64]| judge(design, points, low, high, Aim::Worst).2;
    let (mut found, mut found_worst) = (points.clone(), worst_of(&points));
    for aim in [Aim::Determinant, Aim::Mean(3), Aim::Mean(5), Aim::Mean(7), Aim::Mean(9), Aim::Worst] {
        if matches!(aim, Aim::Worst) {
            points.clone_from(&found);
        }
        exchange(&mut points, low, high, |points| judge(design, points, low, high, aim).2);
        let worst = worst_of(&points);
        if worst < found_worst {
            (found_worst, found) = (worst, points.clone());
        }
    }
    found.sort_by(f64::total_cmp);
    found
}

/// Moves points, one or two at a time, as long as a score falls.
fn exchange(points: &mut [f64], low: f64, high: f64, score: impl Fn(&[f64]) -> f64) {
    let better = |value: f64, best: f64| value < best * (1.0 - 1e-12 * best.signum());
    let count = points.len();
    let mut best = score(points);
    // Steps around each point, narrowing from the whole range to a part of 1e-9 of it.
    let mut width = high - low;
    let mut rounds = 0;
    while width > 1e-9 * (high - low) && rounds < MAX_ROUNDS {
        rounds += 1;
        let mut moved = false;
        for i in 0..count {
            let from = points[i];
            let mut at = from;
            let half = (PLACES / 2) as f64;
            for k in 0..PLACES {
                let x = (from + width * (k as f64 / half - 1.0)).clamp(low, high);
                points[i] = x;
                let value = score(points);
                if better(value, best) {
                    (best, at) = (value, x);
                }
            }
            points[i] = at;
            moved |= (at - from).abs() > 0.0;
        }
        for (i, j) in (0..count).flat_map(|i| (0..i).map(move |j| (i, j))) {
            let from = (points[i], points[j]);
            let mut at = from;
            for (di, dj) in PAIR_STEPS {
                points[i] = (from.0 + width * di).clamp(low, high);
                points[j] = (from.1 + width * dj).clamp(low, high);
                let value = score(points);
                if better(value, best) {
                    (best, at) = (value, (points[i], points[j]));
                    moved = true;
                }
            }
            (points[i], points[j]) = at;
        }
        if !moved {
            width /= 8.0;
        }
    }
}

/// Abscissae on −1 … 1 at which a polynomial of degree 1 to 3 is best measured with `points` points.
///
/// # Errors
/// [`Error::OutOfRange`] for the degree, [`Error::TooFewPoints`].
///
/// # Source
/// F. Pukelsheim, Optimal Design of Experiments (1993), 9.5: for as many points as coefficients, ±1 and the roots of
/// the derivative of the Legendre polynomial; J. Kiefer and J. Wolfowitz, Can. J. Math. 12 (1960) 363: the largest
/// determinant and the smallest worst variance agree.
///
/// # Example
/// ```
/// let x = calcore::fit::optimal_abscissae(3, 4)?;
/// assert!((x[2] - 0.2f64.sqrt()).abs() < 1e-4 && (x[3] - 1.0).abs() < 1e-9);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn optimal_abscissae(degree: usize, points: usize) -> Result<Vec<f64>> {
    if !(1..=3).contains(&degree) {
        let (value, low, high) = (degree as f64, 1.0, 3.0);
        return Err(Error::OutOfRange { what: "degree of the polynomial", value, low, high, unit: "", position: None });
    }
    if points < degree + 1 {
        return Err(Error::TooFewPoints {
            what: WHAT,
            needed: degree + 1,
            found: points,
            hint: "one for each coefficient",
        });
    }
    no_more_than_can_be_searched(points)?;
    Ok(search(&Powers(degree), points, -1.0, 1.0))
}

fn no_more_than_can_be_searched(points: usize) -> Result<()> {
    let (value, low, high) = (points as f64, 0.0, MOST_POINTS as f64);
    if points <= MOST_POINTS {
        return Ok(());
    }
    Err(Error::OutOfRange { what: "number of set points", value, low, high, unit: "", position: None })
}

fn checked(curve: &CallendarVanDusen, low_c: f64, high_c: f64, options: SetPointOptions) -> Result<()> {
    let range = curve.extrapolation_range();
    range.check(low_c)?;
    range.check(high_c)?;
    if low_c >= high_c {
        return Err(Error::InvalidValue {
            what: "lower end of the range",
            value: low_c,
            unit: "°C",
            requirement: format!("it must lie below the upper end, {high_c} °C"),
        });
    }
    not_negative("u_t", options.u_t, "K")?;
    not_negative("u_ohm", options.u_ohm, "ohm")?;
    if options.u_t + options.u_ohm <= 0.0 {
        return Err(Error::InvalidValue {
            what: "u_ohm",
            value: options.u_ohm,
            unit: "ohm",
            requirement: "it or u_t must be greater than 0".into(),
        });
    }
    if options.fit_c && low_c >= 0.0 {
        return Err(Error::Undetermined {
            what: WHAT,
            parameter: "c".into(),
            hint: "a range that reaches below 0 °C, or C held",
        });
    }
    Ok(())
}

/// The set points between two temperatures at which an element is best calibrated: the largest standard uncertainty of
/// the fitted curve over the range is the smallest (G-optimal). An error shared by all points changes nothing in the
/// choice.
///
/// # Errors
/// [`Error::OutOfRange`], [`Error::InvalidValue`]; [`Error::TooFewPoints`] for fewer points than coefficients;
/// [`Error::Undetermined`] where C shall be fitted without temperatures below 0 °C.
///
/// # Source
/// F. Pukelsheim, Optimal Design of Experiments (1993), chapter 9.
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::fit::{SetPointOptions, set_points};
/// let options = SetPointOptions { u_t: 0.01, u_ohm: 0.0, fit_c: false };
/// let plan = set_points(&CallendarVanDusen::iec60751(100.0)?, 0.0, 200.0, 3, options)?;
/// assert!((plan.t_c[1] - 100.0).abs() < 5.0); // both ends and the middle
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn set_points(
    curve: &CallendarVanDusen,
    low_c: f64,
    high_c: f64,
    points: usize,
    options: SetPointOptions,
) -> Result<SetPoints> {
    checked(curve, low_c, high_c, options)?;
    let design = Platinum { curve, options };
    if points < design.unknowns() {
        let (needed, hint) = (design.unknowns(), "one for each fitted coefficient");
        return Err(Error::TooFewPoints { what: WHAT, needed, found: points, hint });
    }
    no_more_than_can_be_searched(points)?;
    let t_c = search(&design, points, low_c, high_c);
    let (largest_uncertainty_k, at_c, _) = judge(&design, &t_c, low_c, high_c, Aim::Worst);
    Ok(SetPoints { t_c, largest_uncertainty_k, at_c })
}

/// A user's own set points, and how much worse they are than the best choice of as many.
///
/// # Errors
/// As [`set_points`]; [`Error::Undetermined`] where the user's points do not determine the coefficients.
pub fn assess_set_points(
    curve: &CallendarVanDusen,
    low_c: f64,
    high_c: f64,
    t_c: &[f64],
    options: SetPointOptions,
) -> Result<SetPointAssessment> {
    for (index, t) in t_c.iter().enumerate() {
        finite("set point", *t).map_err(|error| error.at_index(index, 1))?;
        curve.extrapolation_range().check(*t).map_err(|error| error.at_index(index, 1))?;
    }
    let mut best = set_points(curve, low_c, high_c, t_c.len(), options)?;
    let design = Platinum { curve, options };
    let (largest_uncertainty_k, at_c, _) = judge(&design, t_c, low_c, high_c, Aim::Worst);
    if !largest_uncertainty_k.is_finite() {
        return Err(Error::Undetermined {
            what: WHAT,
            parameter: "the coefficients".into(),
            hint: "set points at more temperatures",
        });
    }
    let mut sorted = t_c.to_vec();
    sorted.sort_by(f64::total_cmp);
    let own = SetPoints { t_c: sorted, largest_uncertainty_k, at_c };
    // Points outside the range may do better than any inside it; the search itself may end a hair above a lucky guess.
    if own.largest_uncertainty_k < best.largest_uncertainty_k && own.t_c.iter().all(|t| *t >= low_c && *t <= high_c) {
        best = own.clone();
    }
    let ratio = own.largest_uncertainty_k / best.largest_uncertainty_k;
    Ok(SetPointAssessment { own, best, ratio })
}
