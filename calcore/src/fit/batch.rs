//! Many sensors at once: one calibration run of a whole bath, or a year of records.

use super::callendar_van_dusen::{CallendarVanDusenOptions, FixedCoefficients, callendar_van_dusen};
use super::lanes::{self, Input, LANES, Lanes, MAX_POINTS, Output};
use super::observations::Stated;
use crate::constants::rtd::IEC60751;
use crate::error::{Error, Result, same_length};
use crate::num::simd;

/// Fewest sensors for which another thread is worth starting.
const SENSORS_PER_THREAD: usize = 512;

/// Points of a sensor for which the smaller room suffices.
const SMALL: usize = 8;

/// How many points each sensor has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BatchLayout<'a> {
    /// As many for every sensor.
    Equal(usize),
    /// A number for each sensor; their points stand one after the other.
    Ragged(&'a [usize]),
}

/// What is known of the errors, for all sensors alike or point by point.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BatchOptions<'a> {
    /// Standard uncertainty of the temperatures, K: one, or one for each point of all sensors.
    pub u_t: Stated<'a>,
    /// Standard uncertainty of the resistances, ohm: one, or one for each point of all sensors.
    pub u_ohm: Stated<'a>,
    /// Standard uncertainty of an error shared by all temperatures of a sensor, K.
    pub u_t_common: f64,
    /// Standard uncertainty of an error shared by all resistances of a sensor, ohm.
    pub u_ohm_common: f64,
    /// Coefficients held, for every sensor.
    pub fixed: FixedCoefficients,
    /// Number of threads; 0 for as many as the machine runs at once. The results are the same bits for any number.
    pub threads: usize,
}

/// Results of many sensors, as arrays; NaN for a sensor that could not be fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchFit {
    /// R0 of each sensor, ohm.
    pub r0: Vec<f64>,
    /// A, 1/K.
    pub a: Vec<f64>,
    /// B, 1/K².
    pub b: Vec<f64>,
    /// C, 1/K⁴.
    pub c: Vec<f64>,
    /// Covariance over (r0, a, b, c) of each sensor, sixteen numbers row by row; NaN where there is none.
    pub covariance: Vec<f64>,
    /// Chi-squared of each sensor where uncertainties are stated, else the sum of squares of its residuals, ohm².
    pub chi_squared: Vec<f64>,
    /// Points minus fitted coefficients.
    pub degrees_of_freedom: Vec<usize>,
    /// Observed minus fitted resistance of each point, ohm, in the order of the points.
    pub residuals_ohm: Vec<f64>,
    /// The sensors that could not be fitted, and why.
    pub errors: Vec<(usize, Error)>,
}

/// Points and options of a batch, checked for their lengths.
struct Batch<'a> {
    t_c: &'a [f64],
    ohm: &'a [f64],
    shared_t: bool,
    options: &'a BatchOptions<'a>,
    /// Where each sensor's points begin, and where the last one's end.
    offsets: Offsets<'a>,
}

enum Offsets<'a> {
    Equal(usize),
    Ragged(Vec<usize>, &'a [usize]),
}

impl Offsets<'_> {
    fn of(&self, sensor: usize) -> (usize, usize) {
        match self {
            Self::Equal(points) => (sensor * points, *points),
            Self::Ragged(starts, counts) => (starts[sensor], counts[sensor]),
        }
    }
}

/// Piece of the results that one thread fills.
struct Piece<'a> {
    first: usize,
    coefficients: [&'a mut [f64]; 4],
    covariance: &'a mut [f64],
    chi_squared: &'a mut [f64],
    degrees_of_freedom: &'a mut [usize],
    residuals: &'a mut [f64],
    errors: Vec<(usize, Error)>,
}

/// Fits every sensor as [`callendar_van_dusen`] does, to the same bits. A sensor that cannot be fitted spoils its own
/// row only.
///
/// # Arguments
/// `t_c`, °C, and `ohm`: the points of all sensors, one sensor after the other. Where all have as many points, `t_c`
/// may be given once for all (set points in one bath).
///
/// # Errors
/// [`Error::LengthMismatch`] where the arrays do not fit the layout. Everything else is the sensor's own error.
///
/// # Example
/// ```
/// use calcore::fit::{BatchLayout, BatchOptions, callendar_van_dusen_batch};
/// let t_c = [0.0, 100.0, 200.0];
/// let ohm = [100.0, 138.5055, 175.856, 100.1, 138.64, f64::NAN];
/// let fits = callendar_van_dusen_batch(&t_c, &ohm, BatchLayout::Equal(3), &BatchOptions::default())?;
/// assert!((fits.a[0] - 3.9083e-3).abs() < 1e-9);
/// assert!(fits.a[1].is_nan() && fits.errors[0].0 == 1);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn callendar_van_dusen_batch(
    t_c: &[f64],
    ohm: &[f64],
    layout: BatchLayout,
    options: &BatchOptions,
) -> Result<BatchFit> {
    let (offsets, sensors) = match layout {
        BatchLayout::Equal(points) => {
            let sensors = ohm.len().checked_div(points).unwrap_or(0);
            same_length("ohm", sensors * points, ohm.len())?;
            (Offsets::Equal(points), sensors)
        }
        BatchLayout::Ragged(counts) => {
            let mut starts = Vec::with_capacity(counts.len());
            let mut total: usize = 0;
            for count in counts {
                starts.push(total);
                // Saturated: a sum beyond all memory is not the length of the array either.
                total = count.saturating_add(total);
            }
            same_length("ohm", total, ohm.len())?;
            (Offsets::Ragged(starts, counts), counts.len())
        }
    };
    let shared_t = match layout {
        BatchLayout::Equal(points) => t_c.len() == points && ohm.len() != points,
        BatchLayout::Ragged(_) => false,
    };
    if !shared_t {
        same_length("t_c", ohm.len(), t_c.len())?;
    }
    for (what, stated) in [("u_t", options.u_t), ("u_ohm", options.u_ohm)] {
        if let Stated::Each(values) = stated {
            same_length(what, ohm.len(), values.len())?;
        }
    }
    let batch = Batch { t_c, ohm, shared_t, options, offsets };
    let mut fit = BatchFit {
        r0: vec![0.0; sensors],
        a: vec![0.0; sensors],
        b: vec![0.0; sensors],
        c: vec![0.0; sensors],
        covariance: vec![0.0; 16 * sensors],
        chi_squared: vec![0.0; sensors],
        degrees_of_freedom: vec![0; sensors],
        residuals_ohm: vec![0.0; ohm.len()],
        errors: Vec::new(),
    };
    let wanted = if options.threads == 0 {
        std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get)
    } else {
        options.threads
    };
    let threads = wanted.min(sensors.div_ceil(SENSORS_PER_THREAD)).max(1);
    let mut pieces = cut(&batch, &mut fit, sensors, threads);
    let mut others = pieces.split_off(1.min(pieces.len()));
    std::thread::scope(|scope| {
        for piece in &mut others {
            scope.spawn(|| batch.fill(piece));
        }
        for piece in &mut pieces {
            batch.fill(piece);
        }
    });
    let errors = pieces.into_iter().chain(others).flat_map(|piece| piece.errors).collect();
    fit.errors = errors;
    Ok(fit)
}

/// Cuts the results into one piece for each thread, at multiples of the lanes.
fn cut<'a>(batch: &Batch, fit: &'a mut BatchFit, sensors: usize, threads: usize) -> Vec<Piece<'a>> {
    let size = sensors.div_ceil(threads).next_multiple_of(LANES).max(LANES);
    let mut pieces = Vec::with_capacity(threads);
    let (mut r0, mut a) = (&mut fit.r0[..], &mut fit.a[..]);
    let (mut b, mut c) = (&mut fit.b[..], &mut fit.c[..]);
    let (mut covariance, mut chi) = (&mut fit.covariance[..], &mut fit.chi_squared[..]);
    let (mut freedom, mut residuals) = (&mut fit.degrees_of_freedom[..], &mut fit.residuals_ohm[..]);
    let mut first = 0;
    while first < sensors {
        let count = size.min(sensors - first);
        let begin = batch.offsets.of(first).0;
        let (last_begin, last_count) = batch.offsets.of(first + count - 1);
        pieces.push(Piece {
            first,
            coefficients: [take(&mut r0, count), take(&mut a, count), take(&mut b, count), take(&mut c, count)],
            covariance: take(&mut covariance, 16 * count),
            chi_squared: take(&mut chi, count),
            degrees_of_freedom: take(&mut freedom, count),
            residuals: take(&mut residuals, last_begin + last_count - begin),
            errors: Vec::new(),
        });
        first += count;
    }
    pieces
}

fn take<'a, T>(rest: &mut &'a mut [T], count: usize) -> &'a mut [T] {
    let (piece, left) = std::mem::take(rest).split_at_mut(count);
    *rest = left;
    piece
}

/// What is stated for some of the points.
fn part<'a>(u: Stated<'a>, range: &std::ops::Range<usize>) -> Stated<'a> {
    match u {
        Stated::Each(values) => Stated::Each(&values[range.clone()]),
        other => other,
    }
}

impl Batch<'_> {
    fn fill(&self, piece: &mut Piece) {
        match self.offsets {
            Offsets::Equal(points) if points <= SMALL => self.fill_sized::<SMALL>(piece),
            _ => self.fill_sized::<MAX_POINTS>(piece),
        }
    }

    fn fill_sized<const M: usize>(&self, piece: &mut Piece) {
        let sensors = piece.chi_squared.len();
        let (mut input, mut output) = (Input::<M>::new(), Output::<M>::new());
        let mut k = 0;
        while k < sensors {
            let count = LANES.min(sensors - k);
            let bad = self.side_by_side(piece, k, count, &mut input, &mut output);
            for lane in 0..count {
                if bad & (1 << lane) != 0 {
                    self.alone(piece, k + lane);
                }
            }
            k += count;
        }
    }

    /// Points of a sensor and the piece of its uncertainties.
    fn one(&self, sensor: usize) -> (&[f64], &[f64], Stated<'_>, Stated<'_>) {
        let (begin, count) = self.offsets.of(sensor);
        let range = begin..begin + count;
        let t_c = if self.shared_t { self.t_c } else { &self.t_c[range.clone()] };
        (t_c, &self.ohm[range.clone()], part(self.options.u_t, &range), part(self.options.u_ohm, &range))
    }

    /// One sensor by the ordinary way.
    #[cold]
    fn alone(&self, piece: &mut Piece, k: usize) {
        let sensor = piece.first + k;
        let (t_c, ohm, u_t, u_ohm) = self.one(sensor);
        let o = self.options;
        let options = CallendarVanDusenOptions {
            u_t,
            u_ohm,
            u_t_common: o.u_t_common,
            u_ohm_common: o.u_ohm_common,
            fixed: o.fixed,
            ..Default::default()
        };
        let begin = self.offsets.of(sensor).0 - self.offsets.of(piece.first).0;
        let residuals = &mut piece.residuals[begin..begin + ohm.len()];
        let covariance = &mut piece.covariance[16 * k..16 * (k + 1)];
        match callendar_van_dusen(t_c, ohm, &options) {
            Ok(fit) => {
                let values = [fit.curve.r0(), fit.curve.a(), fit.curve.b(), fit.curve.c()];
                for (column, value) in piece.coefficients.iter_mut().zip(values) {
                    column[k] = value;
                }
                match &fit.report.covariance {
                    Some(v) => covariance.copy_from_slice(v.values()),
                    None => covariance.fill(f64::NAN),
                }
                let squares = || fit.report.residuals.iter().map(|r| r * r).sum();
                piece.chi_squared[k] = fit.report.chi_squared.unwrap_or_else(squares);
                piece.degrees_of_freedom[k] = fit.report.degrees_of_freedom;
                residuals.copy_from_slice(&fit.report.residuals);
            }
            Err(error) => {
                for column in &mut piece.coefficients {
                    column[k] = f64::NAN;
                }
                covariance.fill(f64::NAN);
                piece.chi_squared[k] = f64::NAN;
                residuals.fill(f64::NAN);
                piece.errors.push((sensor, error));
            }
        }
    }

    /// Sensors `k` to `k + count` of a piece, one in each lane; returns those (as bits) that are to be fitted alone.
    fn side_by_side<const M: usize>(
        &self,
        piece: &mut Piece,
        k: usize,
        count: usize,
        input: &mut Input<M>,
        output: &mut Output<M>,
    ) -> u32 {
        let all = (1u32 << count) - 1;
        let o = self.options;
        let fixed = o.fixed;
        let Offsets::Equal(points) = self.offsets else { return all };
        let plain = fixed.r0.is_none() && fixed.a.is_none() && fixed.b.is_none();
        let shared = o.u_t_common != 0.0 || o.u_ohm_common != 0.0;
        if !plain || shared || !(3..=M).contains(&points) {
            return all;
        }
        if !self.gather(piece.first + k, count, points, input) {
            return all;
        }
        let mut cold = 0u32;
        for t in &input.t[..points] {
            for (lane, t) in t.0.iter().enumerate() {
                cold |= u32::from(*t < 0.0) << lane;
            }
        }
        cold &= all;
        let unknowns = match (cold, fixed.c) {
            (0, _) => 3,
            (c, None) if c == all && points >= 4 => 4,
            _ => return all,
        };
        let held = fixed.c.unwrap_or(IEC60751.c);
        simd::widest(
            #[inline(always)]
            || {
                if unknowns == 3 {
                    lanes::fit::<3, M>(input, held, output);
                } else {
                    lanes::fit::<4, M>(input, held, output);
                }
            },
        );
        self.scatter(piece, k, count, points, unknowns, output)
    }

    /// Points and variances turned so that each vector holds one point of every sensor. False for uncertainties that
    /// need a closer look.
    fn gather<const M: usize>(&self, first: usize, count: usize, points: usize, input: &mut Input<M>) -> bool {
        let (u_t, u_ohm) = (self.options.u_t, self.options.u_ohm);
        input.points = points;
        input.exact_t = !matches!(u_t, Stated::Each(_)) && !matches!(u_t, Stated::Same(u) if u > 0.0);
        input.stated = u_t.is_stated() || u_ohm.is_stated();
        input.uniform = !matches!(u_ohm, Stated::Each(_));
        // Lanes without a sensor of their own repeat the last one.
        for lane in 0..LANES {
            let begin = (first + lane.min(count - 1)) * points;
            let t_begin = if self.shared_t { 0 } else { begin };
            for i in 0..points {
                input.t[i].0[lane] = self.t_c[t_begin + i];
                input.ohm[i].0[lane] = self.ohm[begin + i];
            }
        }
        let mut sound = true;
        for (u, variances, least) in
            [(u_t, &mut input.t_variance, 0.0), (u_ohm, &mut input.ohm_variance, f64::MIN_POSITIVE)]
        {
            match u {
                Stated::Nothing => {}
                Stated::Same(u) => {
                    sound &= u >= least && u.is_finite();
                    variances[..points].fill(Lanes::of(u * u));
                }
                Stated::Each(values) => {
                    for lane in 0..LANES {
                        let begin = (first + lane.min(count - 1)) * points;
                        for i in 0..points {
                            let u = values[begin + i];
                            sound &= u >= least && u.is_finite();
                            variances[i].0[lane] = u * u;
                        }
                    }
                }
            }
        }
        sound
    }

    fn scatter<const M: usize>(
        &self,
        piece: &mut Piece,
        k: usize,
        count: usize,
        points: usize,
        unknowns: usize,
        output: &Output<M>,
    ) -> u32 {
        let stated = self.options.u_t.is_stated() || self.options.u_ohm.is_stated();
        let freedom = points - unknowns;
        let mut bad = 0;
        for lane in 0..count {
            if output.good.0[lane] < 0.5 {
                bad |= 1 << lane;
                continue;
            }
            for (column, values) in piece.coefficients.iter_mut().zip(&output.coefficients) {
                column[k + lane] = values.0[lane];
            }
            let chi = output.chi_squared.0[lane];
            let covariance = &mut piece.covariance[16 * (k + lane)..16 * (k + lane + 1)];
            for i in 0..4 {
                for j in 0..=i {
                    let value = output.covariance[i][j].0[lane];
                    covariance[4 * i + j] = value;
                    covariance[4 * j + i] = value;
                }
            }
            piece.degrees_of_freedom[k + lane] = freedom;
            let residuals = &mut piece.residuals[(k + lane) * points..(k + lane + 1) * points];
            let mut squares = 0.0;
            for (to, from) in residuals.iter_mut().zip(&output.residuals) {
                *to = from.0[lane];
                squares += *to * *to;
            }
            piece.chi_squared[k + lane] = if stated { chi } else { squares };
        }
        bad
    }
}
