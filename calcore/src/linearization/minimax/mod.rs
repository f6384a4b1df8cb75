//! Minimax polynomials and quotients of polynomials of a curve for firmware, with a proven largest error.

mod fixed;
mod options;
mod quotient;
mod remez;
mod stored;

pub use fixed::FixedCoefficients;
pub use options::{Coefficients, MOST_DEGREE, MinimaxGoal, MinimaxOptions};

use super::Direction;
use super::proof::{Piece, Proof, largest_error};
use super::relation::Relation;
use crate::curves::SensorCurve;
use crate::error::{Error, Result};
use remez::{Best, Target, best, powers};
use stored::Quotient;

/// Samples of the function while extremes are sought.
const SAMPLES: usize = 2001;

/// Pieces of the range whose rounding is bounded apart.
const PIECES: usize = 64;

/// Part of the values below which an error is rounding.
const FLOOR: f64 = 1e-14;

/// A polynomial or quotient, as the firmware stores and evaluates it.
///
/// # Formula
/// z = (x − centre) · scale; y = Σ n_k z^k by Horner's rule, for a quotient divided by Σ d_k z^k, d_0 = 1; one rounding to
/// nearest after each step, no fused multiply-add. In integers see [`FixedCoefficients`].
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Minimax {
    /// What was asked for.
    pub options: MinimaxOptions,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Lowest argument.
    pub low: f64,
    /// Highest argument.
    pub high: f64,
    /// Argument of z = 0, exactly as stored.
    pub centre: f64,
    /// Change of z for a unit of the argument, exactly as stored.
    pub scale: f64,
    /// Coefficients of the numerator in ascending order, exactly as stored.
    pub numerator: Vec<f64>,
    /// Coefficients of the denominator; empty for a polynomial.
    pub denominator: Vec<f64>,
    /// The integers, for fixed-point coefficients.
    pub fixed: Option<FixedCoefficients>,
    /// The extremes of the error before coefficients are rounded, argument and error, of alternating sign: what the best
    /// approximation is known by.
    pub extremes: Vec<(f64, f64)>,
    /// Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point coefficients
    /// over every reading that the firmware can get.
    pub largest_error: f64,
    /// What rounding in the firmware adds to the error at most; zero where every reading was tried, which shows what it
    /// does add.
    pub rounding: f64,
    /// Unit of the error: K, or that of the signal.
    pub error_unit: &'static str,
    /// How the error was proven.
    pub proof: Proof,
}

/// The minimax polynomial or quotient of a curve, of given degrees or of the lowest degree that keeps an error.
///
/// # Formula
/// Exchange of Remez on sums of Chebyshev polynomials; then the powers of z, rounded as they are stored. The proof is made
/// with the stored coefficients: the derivatives of the error are enclosed by interval arithmetic on stretches of the range,
/// which are halved until the bound lies within 0.1 % of what the error surely reaches; rounding of the evaluation
/// is added by a running error bound. A denominator is enclosed with the rest, so that a pole in the range gives no proof
/// and is refused.
///
/// # Errors
/// [`Error::OutOfRange`] when the range leaves the curve; [`Error::InvalidValue`] when the signal turns inside the range,
/// for degrees above [`MOST_DEGREE`], for coefficients that a format cannot hold, for an error that no degree allowed keeps
/// (with the one that is reachable), and for a quotient that cannot be found without a zero of its denominator in the range
/// (with the nearest one that can, and its error); [`Error::Undetermined`] for a curve without enclosures;
/// [`Error::NoConvergence`].
///
/// # Source
/// See `minimax/remez.rs`.
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::linearization::{MinimaxGoal, MinimaxOptions, minimax};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// let cubic = minimax(&pt100, 0.0, 400.0, MinimaxGoal::Degrees { numerator: 3, denominator: 0 }, &MinimaxOptions::default())?;
/// assert_eq!((cubic.numerator.len(), cubic.extremes.len()), (4, 5));
/// let t_c = cubic.evaluate(175.856)?; // 200 °C, IEC 60751:2022
/// assert!((t_c - 200.0).abs() < cubic.largest_error + 0.001);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn minimax(
    curve: &dyn SensorCurve,
    low_c: f64,
    high_c: f64,
    goal: MinimaxGoal,
    options: &MinimaxOptions,
) -> Result<Minimax> {
    let relation = Relation::new(curve, options.direction, low_c, high_c)?;
    options.check(goal, relation.value_unit())?;
    let work = Work::new(&relation, options);
    let error = match goal {
        MinimaxGoal::Degrees { numerator, denominator } => return work.of_degrees(numerator, denominator),
        MinimaxGoal::LargestError(error) => error,
    };
    let mut least = f64::INFINITY;
    for degree in 1..=MOST_DEGREE {
        let found = work.approximation(degree, 0)?;
        if found.largest_error <= error {
            return Ok(found);
        }
        least = least.min(found.largest_error);
    }
    let unit = relation.value_unit();
    Err(Error::InvalidValue {
        what: "largest error",
        value: error,
        unit,
        requirement: format!(
            "polynomials up to degree {MOST_DEGREE} reach {least:.3e} {unit} with these coefficients: allow that, a narrower \
             range or finer coefficients"
        ),
    })
}

struct Work<'a> {
    relation: &'a Relation<'a>,
    options: &'a MinimaxOptions,
    low: f64,
    high: f64,
    x: Vec<f64>,
    y: Vec<f64>,
    z: Vec<f64>,
    floor: f64,
}

impl<'a> Work<'a> {
    fn new(relation: &'a Relation<'a>, options: &'a MinimaxOptions) -> Self {
        let (low, high) = relation.arguments();
        let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
        // Denser towards the ends, as the extremes are.
        let part = |i: usize| -libm::cos(core::f64::consts::PI * i as f64 / (SAMPLES - 1) as f64);
        let mut t_c: Vec<f64> = (0..SAMPLES).map(|i| relation.temperature(middle + half * part(i))).collect();
        t_c[0] = if relation.ascends() { relation.low_c } else { relation.high_c };
        t_c[SAMPLES - 1] = if relation.ascends() { relation.high_c } else { relation.low_c };
        let points: Vec<(f64, f64)> = t_c.iter().map(|&t| relation.point(t)).collect();
        let mut work = Self { relation, options, low, high, x: Vec::new(), y: Vec::new(), z: Vec::new(), floor: 0.0 };
        for (x, y) in points {
            let z = ((x - middle) / half).clamp(-1.0, 1.0);
            if work.z.last().is_none_or(|&before| z > before) {
                work.x.push(x);
                work.y.push(y);
                work.z.push(z);
            }
        }
        work.floor = FLOOR * work.y.iter().fold(0.0f64, |most, y| most.max(y.abs()));
        work
    }

    /// An approximation of these degrees; a quotient that is not found is refused with the nearest one that is.
    fn of_degrees(&self, numerator: usize, denominator: usize) -> Result<Minimax> {
        let found = self.approximation(numerator, denominator);
        let (Err(Error::Undetermined { .. } | Error::NoConvergence { .. }), 1..) = (&found, denominator) else {
            return found;
        };
        let lower = (1..=denominator).map(|less| (numerator.saturating_sub(less), denominator - less));
        let reached = lower.chain([(numerator, 0)]).find_map(|(n, d)| Some((n, d, self.approximation(n, d).ok()?)));
        // A polynomial fails where the curve gives no enclosures: that is said as it is.
        let Some((n, d, reached)) = reached else { return found };
        Err(Error::InvalidValue {
            what: "degree of the denominator",
            value: denominator as f64,
            unit: "",
            requirement: format!(
                "no quotient of degrees {numerator}/{denominator} with equal extremes of alternating sign and no zero of the \
                 denominator was found in this range; {n}/{d} reaches {:.3e} {}",
                reached.largest_error, reached.error_unit
            ),
        })
    }

    fn approximation(&self, numerator: usize, denominator: usize) -> Result<Minimax> {
        let target = Target { z: &self.z, y: &self.y };
        let best = best(&target, numerator, denominator, self.floor)?;
        let extremes = best.extremes.iter().map(|&(i, e)| (self.x[i], e)).collect();
        let mut found = Minimax {
            options: *self.options,
            low_c: self.relation.low_c,
            high_c: self.relation.high_c,
            low: self.low,
            high: self.high,
            centre: 0.5 * (self.low + self.high),
            scale: 2.0 / (self.high - self.low),
            numerator: Vec::new(),
            denominator: Vec::new(),
            fixed: None,
            extremes,
            largest_error: f64::INFINITY,
            rounding: 0.0,
            error_unit: self.relation.value_unit(),
            proof: Proof::Curvature,
        };
        self.store(&mut found, &best)?;
        self.prove(&mut found)?;
        Ok(found)
    }

    /// The numbers as they are stored.
    fn store(&self, found: &mut Minimax, best: &Best) -> Result<()> {
        let (numerator, mut denominator) = (powers(&best.numerator), powers(&best.denominator));
        // The constant of the denominator is 1 by Chebyshev polynomials, and made so again by powers.
        let one = denominator[0];
        denominator[0] = 1.0;
        for d in denominator.iter_mut().skip(1) {
            *d /= one;
        }
        found.numerator = numerator.into_iter().map(|n| n / one).collect();
        found.denominator = if denominator.len() > 1 { denominator } else { Vec::new() };
        let single = |number: &mut f64| *number = f64::from(*number as f32);
        match self.options.coefficients {
            Coefficients::F64 => {}
            Coefficients::F32 => {
                let all = found.numerator.iter_mut().chain(found.denominator.iter_mut());
                all.chain([&mut found.centre, &mut found.scale]).for_each(single);
            }
            Coefficients::Fixed { argument, value, coefficient } => {
                found.fixed = Some(FixedCoefficients::new(found, argument, value, coefficient)?);
            }
        }
        Ok(())
    }

    fn prove(&self, found: &mut Minimax) -> Result<()> {
        let relation = self.relation;
        if let Some(error) = found.fixed.as_ref().and_then(|fixed| fixed.try_all(relation)) {
            (found.largest_error, found.proof) = (error, Proof::EveryReading);
            return Ok(());
        }
        let quotient = Quotient {
            centre: found.centre,
            scale: found.scale,
            numerator: &found.numerator,
            denominator: &found.denominator,
        };
        let step = (relation.high_c - relation.low_c) / PIECES as f64;
        let pieces = (0..PIECES).map(|i| {
            let end = |k: usize| if k == PIECES { relation.high_c } else { relation.low_c + step * k as f64 };
            let (low_c, high_c) = (end(i), end(i + 1));
            let (a, b) = (relation.point(low_c).0, relation.point(high_c).0);
            let (a, b) = (a.min(b), a.max(b));
            let rounding = match &found.fixed {
                Some(fixed) => fixed.rounding(&quotient, a, b),
                None => quotient.rounding(a, b, self.options.coefficients.unit()),
            };
            Piece { low_c, high_c, approximation: quotient.clone(), rounding }
        });
        let rounding = pieces.clone().map(|piece| piece.rounding).fold(0.0, f64::max);
        let largest_error = largest_error(relation, pieces)?;
        (found.largest_error, found.rounding) = (largest_error, rounding);
        Ok(())
    }
}

impl Minimax {
    /// What the firmware finds for an argument, with its arithmetic.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] outside the range.
    pub fn evaluate(&self, x: f64) -> Result<f64> {
        let (what, unit) = match self.options.direction {
            Direction::SignalToTemperature => ("signal", ""),
            Direction::TemperatureToSignal => ("temperature", "°C"),
        };
        let range = crate::Interval { what, unit, low: self.low, high: self.high };
        let x = range.widened_for_rounding().check(x)?;
        if let Some(fixed) = &self.fixed {
            return Ok(fixed.evaluate(x));
        }
        Ok(match self.options.coefficients {
            Coefficients::F32 => {
                let single = |c: &[f64]| c.iter().map(|&ck| ck as f32).collect::<Vec<f32>>();
                let (n, d) = (single(&self.numerator), single(&self.denominator));
                f64::from(super::firmware::quotient_f32(x as f32, self.centre as f32, self.scale as f32, &n, &d))
            }
            _ => super::firmware::quotient_f64(x, self.centre, self.scale, &self.numerator, &self.denominator),
        })
    }

    /// The integer that the firmware finds for the integer of a reading; beyond the range the nearer end answers. Nothing for
    /// floating-point coefficients.
    #[must_use]
    pub fn evaluate_code(&self, code: i64) -> Option<i64> {
        let fixed = self.fixed.as_ref()?;
        let unit = fixed.argument.unit();
        let (first, last) = (libm::ceil(self.low / unit) as i64, libm::floor(self.high / unit) as i64);
        Some(fixed.read(code.max(first).min(last)))
    }
}
