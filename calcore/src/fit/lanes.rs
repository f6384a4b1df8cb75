//! Callendar-Van Dusen fits of eight sensors side by side, one in each lane of the vectors.
//!
//! The arithmetic is that of the engine, operation by operation in its order, so that a sensor gets the same bits here
//! as by itself; only the scaling of columns by powers of two, which rounds nothing, is left out. Whatever is unusual
//! (a coincidence of points, a curve that does not rise, no convergence) is not decided here: the lane is reported, and
//! its sensor is fitted by itself.

// Indices speak the language of the formulas.
#![allow(clippy::needless_range_loop)]

use super::callendar_van_dusen::WIDENED_BY;
use super::engine::{CONVERGED, NEARLY_CONVERGED, REFINE_ABOVE};
use crate::constants::rtd::IEC60751;
use crate::constants::temperature::ABSOLUTE_ZERO_C;
use std::ops::{Add, Div, Mul, Sub};

/// Sensors side by side.
pub(super) const LANES: usize = 8;

/// Most points of a sensor here. Room is made for 8 or for this many.
pub(super) const MAX_POINTS: usize = 16;

/// Steps after which a lane is given up here.
const MAX_STEPS: usize = 30;

/// Square of the part of its length that must be left of a column for the lane to count as determined here.
const CLEARLY_DETERMINED: f64 = 1e-14;

#[derive(Clone, Copy)]
pub(super) struct Lanes(pub(super) [f64; LANES]);

impl Lanes {
    #[inline(always)]
    pub(super) fn of(value: f64) -> Self {
        Self([value; LANES])
    }

    #[inline(always)]
    fn map(self, f: impl Fn(f64) -> f64) -> Self {
        let mut out = self.0;
        for v in &mut out {
            *v = f(*v);
        }
        Self(out)
    }

    #[inline(always)]
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        let mut out = self.0;
        for (v, w) in out.iter_mut().zip(other.0) {
            *v = f(*v, w);
        }
        Self(out)
    }

    #[inline(always)]
    fn sqrt(self) -> Self {
        self.map(f64::sqrt)
    }

    #[inline(always)]
    fn abs(self) -> Self {
        self.map(f64::abs)
    }

    #[inline(always)]
    fn max(self, other: Self) -> Self {
        self.zip(other, |a, b| if b > a { b } else { a })
    }

    #[inline(always)]
    fn min(self, other: Self) -> Self {
        self.zip(other, |a, b| if b < a { b } else { a })
    }

    /// Lane by lane: this one where `keep` is 1, else the other.
    #[inline(always)]
    fn kept(self, keep: Self, other: Self) -> Self {
        let mut out = self.0;
        for k in 0..LANES {
            out[k] = if keep.0[k] > 0.5 { self.0[k] } else { other.0[k] };
        }
        Self(out)
    }
}

impl Add for Lanes {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        self.zip(other, |a, b| a + b)
    }
}

impl Sub for Lanes {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        self.zip(other, |a, b| a - b)
    }
}

impl Mul for Lanes {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        self.zip(other, |a, b| a * b)
    }
}

impl Div for Lanes {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        self.zip(other, |a, b| a / b)
    }
}

/// Points of eight sensors, and the variances of their errors.
pub(super) struct Input<const M: usize> {
    pub(super) points: usize,
    pub(super) t: [Lanes; M],
    pub(super) ohm: [Lanes; M],
    pub(super) t_variance: [Lanes; M],
    pub(super) ohm_variance: [Lanes; M],
    /// Whether no temperature has errors, whether any uncertainty is stated, and whether it is the same for all points.
    pub(super) exact_t: bool,
    pub(super) stated: bool,
    pub(super) uniform: bool,
}

/// Results of eight sensors.
pub(super) struct Output<const M: usize> {
    pub(super) coefficients: [Lanes; 4],
    /// Lower triangle of the covariance of (r0, a, b, c).
    pub(super) covariance: [[Lanes; 4]; 4],
    pub(super) chi_squared: Lanes,
    pub(super) residuals: [Lanes; M],
    /// 1 where all is well.
    pub(super) good: Lanes,
}

const ZERO: Lanes = Lanes([0.0; LANES]);

impl<const M: usize> Input<M> {
    pub(super) fn new() -> Self {
        let (t, ohm, t_variance, ohm_variance) = ([ZERO; M], [ZERO; M], [ZERO; M], [ZERO; M]);
        Self { points: 0, t, ohm, t_variance, ohm_variance, exact_t: true, stated: false, uniform: true }
    }
}

impl<const M: usize> Output<M> {
    pub(super) fn new() -> Self {
        let (coefficients, covariance, residuals) = ([ZERO; 4], [[ZERO; 4]; 4], [ZERO; M]);
        Self { coefficients, covariance, chi_squared: ZERO, residuals, good: ZERO }
    }
}

#[inline(always)]
fn cold_power(t: f64) -> f64 {
    if t < 0.0 { (t - 100.0) * t * (t * t) } else { 0.0 }
}

#[inline(always)]
fn cold_slope(t: f64) -> f64 {
    if t < 0.0 { (4.0 * t - 300.0) * t * t } else { 0.0 }
}

/// Fits R0, A, B (K = 3, no point below 0 °C, C held at `c`) or R0, A, B, C (K = 4).
#[inline(always)]
pub(super) fn fit<const K: usize, const M: usize>(input: &Input<M>, c: f64, output: &mut Output<M>) {
    let n = input.points.min(M);
    let one = Lanes::of(1.0);
    let mut p = start::<K, M>(input, n, c);
    let mut adjusted = input.t;
    let mut largest = ZERO;
    for i in 0..n {
        largest = largest.max(input.ohm[i].abs());
    }
    let (mut inverse, mut chi_squared) = ([[ZERO; K]; K], ZERO);
    let mut determined = one;
    let mut done = ZERO;
    let mut before = Lanes::of(f64::INFINITY);
    let mut steps = 0;
    loop {
        steps += 1;
        // Model, slopes and derivatives; then divided by the uncertainty of the misfit.
        let mut jacobian = [[ZERO; M]; K];
        let mut design = [[ZERO; M]; K];
        let (mut misfit, mut rhs) = ([ZERO; M], [ZERO; M]);
        let (mut slopes, mut variances) = ([ZERO; M], [ZERO; M]);
        // One root and one division for all points where these are alike and the temperatures exact.
        let alike = one / input.ohm_variance[0].sqrt();
        for i in 0..n {
            let x = adjusted[i];
            jacobian[0][i] = one;
            jacobian[1][i] = x;
            jacobian[2][i] = x * x;
            let mut value = (p[0] + p[1] * x) + p[2] * (x * x);
            let mut slope = p[1] + p[2] * (Lanes::of(2.0) * x);
            if K == 4 {
                jacobian[3][i] = x.map(cold_power);
                value = value + p[3] * jacobian[3][i];
                slope = slope + p[3] * x.map(cold_slope);
            }
            slopes[i] = slope;
            misfit[i] = input.ohm[i] - value - slope * (input.t[i] - x);
            if input.stated && input.uniform && input.exact_t {
                rhs[i] = misfit[i] * alike;
                for j in 0..K {
                    design[j][i] = jacobian[j][i] * alike;
                }
            } else if input.stated {
                variances[i] = input.ohm_variance[i] + slope * slope * input.t_variance[i];
                let weight = one / variances[i].sqrt();
                rhs[i] = misfit[i] * weight;
                for j in 0..K {
                    design[j][i] = jacobian[j][i] * weight;
                }
            } else {
                rhs[i] = misfit[i];
                for j in 0..K {
                    design[j][i] = jacobian[j][i];
                }
            }
        }
        let mut clear = one;
        let diagonal = triangularise(&mut design, &mut rhs, n, &mut clear);
        let new_inverse = invert(&design, &diagonal);
        let mut step = [ZERO; K];
        for i in 0..K {
            let mut sum = ZERO;
            for k in i..K {
                sum = sum + new_inverse[k][i] * rhs[k];
            }
            step[i] = sum;
        }
        let mut rest = ZERO;
        for i in K..n {
            rest = rest + rhs[i] * rhs[i];
        }
        let mut change = ZERO;
        for j in 0..K {
            p[j] = p[j].kept(done, p[j] + step[j]);
            for i in 0..n {
                change = change.max((jacobian[j][i] * step[j]).abs());
            }
            for i in 0..=j {
                inverse[j][i] = inverse[j][i].kept(done, new_inverse[j][i]);
            }
        }
        chi_squared = chi_squared.kept(done, rest);
        determined = determined.kept(done, clear);
        if input.exact_t {
            // One step from a start near enough; what would need a second one is done elsewhere.
            let relative = change / largest;
            done = relative.map(|r| if r <= REFINE_ABOVE { 1.0 } else { 0.0 });
            break;
        }
        for i in 0..n {
            let mut left = misfit[i];
            for j in 0..K {
                left = left - jacobian[j][i] * step[j];
            }
            let moved = input.t[i] + input.t_variance[i] * slopes[i] * (left / variances[i]);
            change = change.max(((moved - adjusted[i]) * slopes[i]).abs());
            adjusted[i] = adjusted[i].kept(done, moved);
        }
        let relative = change / largest;
        let shrunk = relative.zip(before, |r, b| if b.is_finite() { (r / b).min(1.0) } else { 1.0 });
        for k in 0..LANES {
            let (r, b) = (relative.0[k], before.0[k]);
            let now = r * shrunk.0[k] <= CONVERGED || (r <= NEARLY_CONVERGED && r >= 0.5 * b);
            done.0[k] = if done.0[k] > 0.5 || now { 1.0 } else { 0.0 };
        }
        before = relative;
        if steps >= MAX_STEPS || done.0.iter().fold(1.0f64, |m, d| m.min(*d)) > 0.5 {
            break;
        }
    }
    finish::<K, M>(input, n, c, p, inverse, chi_squared, done.min(determined), output);
}

/// The unknowns of an IEC 60751 element through the point nearest 0 °C.
#[inline(always)]
fn start<const K: usize, const M: usize>(input: &Input<M>, n: usize, c: f64) -> [Lanes; K] {
    let (mut t, mut r) = (input.t[0], input.ohm[0]);
    for i in 1..n {
        let nearer = input.t[i].abs().zip(t.abs(), |a, b| if a < b { 1.0 } else { 0.0 });
        t = input.t[i].kept(nearer, t);
        r = input.ohm[i].kept(nearer, r);
    }
    let standard = [1.0, IEC60751.a, IEC60751.b, if K == 4 { IEC60751.c } else { c }];
    let ratio = ((Lanes::of(standard[0]) + Lanes::of(standard[1]) * t) + Lanes::of(standard[2]) * (t * t))
        + Lanes::of(standard[3]) * t.map(cold_power);
    let r0 = r.zip(ratio, |r, ratio| if ratio > 0.05 { r / ratio } else { 100.0 });
    let mut p = [ZERO; K];
    for k in 0..K {
        p[k] = r0 * Lanes::of(standard[k]);
    }
    p
}

/// As `num::linalg::triangularise`; `clear` becomes 0 where little is left of a column.
#[inline(always)]
fn triangularise<const K: usize, const M: usize>(
    design: &mut [[Lanes; M]; K],
    rhs: &mut [Lanes; M],
    n: usize,
    clear: &mut Lanes,
) -> [Lanes; K] {
    let mut diagonal = [ZERO; K];
    for k in 0..K {
        let mut whole = ZERO;
        for i in 0..k {
            whole = whole + design[k][i] * design[k][i];
        }
        let mut square = ZERO;
        for i in k..n {
            square = square + design[k][i] * design[k][i];
        }
        whole = whole + square;
        let enough = square.zip(whole, |s, w| if s > CLEARLY_DETERMINED * w { 1.0 } else { 0.0 });
        *clear = clear.min(enough);
        let norm = square.sqrt();
        let head = design[k][k];
        let pivot = norm.zip(head, |norm, head| if head > 0.0 { -norm } else { norm });
        diagonal[k] = pivot;
        design[k][k] = head - pivot;
        let factor = Lanes::of(1.0) / (pivot * design[k][k]);
        let (left, right) = design.split_at_mut(k + 1);
        let v = &left[k];
        for column in right {
            reflect(v, factor, column, k, n);
        }
        reflect(v, factor, rhs, k, n);
    }
    diagonal
}

#[inline(always)]
fn reflect<const M: usize>(v: &[Lanes; M], factor: Lanes, column: &mut [Lanes; M], k: usize, n: usize) {
    let mut dot = ZERO;
    for i in k..n {
        dot = dot + v[i] * column[i];
    }
    let scaled = dot * factor;
    for i in k..n {
        column[i] = column[i] + v[i] * scaled;
    }
}

/// As `num::linalg::invert_triangle`: `inverse[j][i]` is row i of column j.
#[inline(always)]
fn invert<const K: usize, const M: usize>(design: &[[Lanes; M]; K], diagonal: &[Lanes; K]) -> [[Lanes; K]; K] {
    let mut inverse = [[ZERO; K]; K];
    for j in 0..K {
        inverse[j][j] = Lanes::of(1.0) / diagonal[j];
        for i in (0..j).rev() {
            let mut sum = ZERO;
            for k in i + 1..=j {
                sum = sum + design[k][i] * inverse[j][k];
            }
            inverse[j][i] = ZERO - sum / diagonal[i];
        }
    }
    inverse
}

#[inline(always)]
#[allow(clippy::too_many_arguments)]
fn finish<const K: usize, const M: usize>(
    input: &Input<M>,
    n: usize,
    c: f64,
    p: [Lanes; K],
    inverse: [[Lanes; K]; K],
    chi_squared: Lanes,
    converged: Lanes,
    output: &mut Output<M>,
) {
    // Where nothing is stated, the residuals give the variance; without degrees of freedom that is NaN.
    let freedom = n.saturating_sub(K);
    let factor = match (input.stated, freedom) {
        (true, _) => Lanes::of(1.0),
        (false, 0) => Lanes::of(f64::NAN),
        (false, freedom) => chi_squared / Lanes::of(freedom as f64),
    };
    let mut unknowns = [[ZERO; 4]; 4];
    for i in 0..K {
        for j in 0..=i {
            let mut sum = ZERO;
            for k in i..K {
                sum = sum + inverse[k][i] * inverse[k][j];
            }
            unknowns[i][j] = sum * factor;
            unknowns[j][i] = unknowns[i][j];
        }
    }
    let r0 = p[0];
    let mut coefficients = [r0, ZERO, ZERO, Lanes::of(c)];
    for k in 1..K {
        coefficients[k] = p[k] / r0;
    }
    // a = p_a / r0: da = dp_a / r0 − (a / r0) dr0; each row has two derivatives, one of which is that to R0.
    let per_r0 = Lanes::of(1.0) / r0;
    let mut to_r0 = [Lanes::of(1.0), ZERO, ZERO, ZERO];
    for k in 1..K {
        to_r0[k] = (ZERO - coefficients[k]) * per_r0;
    }
    output.covariance = [[ZERO; 4]; 4];
    for i in 0..K {
        for j in 0..=i {
            let mut sum = to_r0[i] * unknowns[0][0] * to_r0[j];
            if j > 0 {
                sum = sum + to_r0[i] * unknowns[0][j] * per_r0;
            }
            if i > 0 {
                sum = sum + per_r0 * unknowns[i][0] * to_r0[j];
            }
            if i > 0 && j > 0 {
                sum = sum + per_r0 * unknowns[i][j] * per_r0;
            }
            output.covariance[i][j] = sum;
        }
    }
    let (a_ohm, b_ohm, c_ohm) = (r0 * coefficients[1], r0 * coefficients[2], r0 * coefficients[3]);
    let (mut low, mut high) = (input.t[0], input.t[0]);
    let mut usable = converged;
    for i in 0..n {
        let t = input.t[i];
        let below = (c_ohm * ((t - Lanes::of(100.0)) * t)).zip(t, |v, t| if t < 0.0 { v } else { 0.0 });
        let residual = input.ohm[i] - (r0 + t * (a_ohm + t * (b_ohm + below)));
        output.residuals[i] = residual;
        low = low.min(t);
        high = high.max(t);
        let sound =
            residual.zip(input.ohm[i], |v, r| if v.is_finite() && r > 0.0 && r.is_finite() { 1.0 } else { 0.0 });
        usable = usable.min(sound);
    }
    // Range as that of a single fit; the curve must rise at its ends, at 0 °C, and where its slope turns.
    let margin = (Lanes::of(WIDENED_BY) * (high - low)).max(Lanes::of(1.0));
    let (bottom, top) = (low - margin, high + margin);
    let slope = |t: Lanes| {
        let below =
            (c_ohm * (t * (Lanes::of(4.0) * t - Lanes::of(300.0)))).zip(t, |v, t| if t < 0.0 { v } else { 0.0 });
        a_ohm + t * (Lanes::of(2.0) * b_ohm + below)
    };
    for t in [bottom, top, ZERO] {
        // Where 0 °C lies outside the range, the slope there is none of its business: a lane is then only reported
        // without need.
        usable = usable.min(slope(t).map(|s| if s > 0.0 { 1.0 } else { 0.0 }));
    }
    if K == 4 {
        let root = (Lanes::of(625.0) - coefficients[2] / (Lanes::of(6.0) * coefficients[3])).sqrt();
        let turn = (Lanes::of(25.0) - root).zip(bottom, |t, b| if t > b { t } else { b });
        usable = usable.min(slope(turn).map(|s| if s > 0.0 { 1.0 } else { 0.0 }));
    }
    usable = usable.min(bottom.map(|t| if t >= ABSOLUTE_ZERO_C { 1.0 } else { 0.0 }));
    usable = usable.min(coefficients[1].zip(r0, |a, r0| if a > 0.0 && r0 > 0.0 { 1.0 } else { 0.0 }));
    output.coefficients = coefficients;
    output.chi_squared = chi_squared;
    output.good = usable;
}
