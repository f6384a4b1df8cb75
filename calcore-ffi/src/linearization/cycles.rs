//! Section "linearization": figures of a link over up-and-down cycles.

use super::measured::known;
use crate::array::{copy_if_wanted, input, optional};
use crate::guard::fill;
use crate::message::{Failure, calcore_error};
use crate::record::{read, records};
use crate::status::*;
use calcore::linearization::{Conformity, CycleFigures, Cycles, Figure};
use std::ptr;

/// Readings of a link over cycles, each up through all points and, as a rule, down through them. Zero it, set `size`. Arrays stay
/// the caller's.
///
/// Every series lists its readings in the order of the points, whichever way they were taken.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_cycles {
    /// sizeof(calcore_cycles), set by the caller.
    pub size: usize,
    /// Number of points.
    pub points: usize,
    /// Number of cycles.
    pub cycles: usize,
    /// The points, in the unit of the input.
    pub x: *const f64,
    /// What the link should have read at each point, in the unit of the readings; null where the readings are errors.
    pub expected: *const f64,
    /// Readings going up: cycles times points, one cycle after the other.
    pub up: *const f64,
    /// Readings going down, alike; null where none were taken.
    pub down: *const f64,
    /// Span of the readings, in their unit.
    pub span: f64,
    /// Dead band that is known apart, in the unit of the readings: it is taken off the hysteresis.
    pub dead_band: f64,
    /// Standard uncertainty of each reading, in the order up, down of the first cycle, up, down of the second and so on; or null.
    pub u: *const f64,
    /// Covariance of all readings in that order, row by row, instead of `u`; or null.
    pub covariance: *const f64,
}

/// A figure with its place and standard uncertainty. All numbers are NaN where the readings do not tell it.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_cycle_figure {
    /// In the unit of the readings.
    pub value: f64,
    /// In percent of the span.
    pub percent_of_span: f64,
    /// In the unit of the readings; NaN where none is stated for these.
    pub standard_uncertainty: f64,
    /// Index of the point at which it is taken.
    pub at: usize,
}

/// What the readings of a link over cycles tell, errors being reading minus expected.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_cycle_figures {
    /// sizeof(calcore_cycle_figures), set by the caller.
    pub size: usize,
    /// Largest difference of the mean errors going up and going down, dead band included.
    pub hysteretic_error: calcore_cycle_figure,
    /// The same less the dead band, not below zero.
    pub hysteresis: calcore_cycle_figure,
    /// Most positive error of all readings: upper limit of the total error band.
    pub most_positive_error: calcore_cycle_figure,
    /// Most negative error of all readings: lower limit of the total error band.
    pub most_negative_error: calcore_cycle_figure,
    /// Independent linearity of the average error curve, from three points on.
    pub independent_linearity: calcore_cycle_figure,
    /// Zero-based linearity of it.
    pub zero_based_linearity: calcore_cycle_figure,
    /// Terminal-based linearity of it.
    pub terminal_based_linearity: calcore_cycle_figure,
    /// Largest difference of two readings at one point from the same side: repeatability by ISA-51.1; from two cycles on.
    pub largest_range: calcore_cycle_figure,
    /// Pooled standard deviation of readings at one point from the same side; NaN with one cycle.
    pub repeatability: f64,
    /// The same in percent of the span.
    pub repeatability_percent_of_span: f64,
    /// Standard uncertainty of the standard deviation, from its degrees of freedom.
    pub repeatability_standard_uncertainty: f64,
    /// Cycles less one for each point and side; 0 with one cycle.
    pub repeatability_degrees_of_freedom: usize,
}

/// Error curves over cycles: room for as many numbers as points each, or null.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_cycle_curves {
    /// sizeof(calcore_cycle_curves), set by the caller.
    pub size: usize,
    /// Mean error at every point going up.
    pub up: *mut f64,
    /// Mean error at every point going down; refused without such readings.
    pub down: *mut f64,
    /// Mean of the two.
    pub average: *mut f64,
    /// Standard uncertainty of that mean; refused where none is stated for the readings.
    pub average_standard_uncertainty: *mut f64,
}

records!(calcore_cycles, calcore_cycle_figures, calcore_cycle_curves);

const NO_CYCLES: calcore_cycles = calcore_cycles {
    size: 0,
    points: 0,
    cycles: 0,
    x: ptr::null(),
    expected: ptr::null(),
    up: ptr::null(),
    down: ptr::null(),
    span: f64::NAN,
    dead_band: 0.0,
    u: ptr::null(),
    covariance: ptr::null(),
};

const NO_CURVES: calcore_cycle_curves = calcore_cycle_curves {
    size: 0,
    up: ptr::null_mut(),
    down: ptr::null_mut(),
    average: ptr::null_mut(),
    average_standard_uncertainty: ptr::null_mut(),
};

fn figure(found: Option<Figure>) -> calcore_cycle_figure {
    found.map_or(figure_of(f64::NAN, f64::NAN, None, 0), |f| {
        figure_of(f.value, f.percent_of_span, f.standard_uncertainty, f.at)
    })
}

fn figure_of(value: f64, percent_of_span: f64, u: Option<f64>, at: usize) -> calcore_cycle_figure {
    calcore_cycle_figure { value, percent_of_span, standard_uncertainty: u.unwrap_or(f64::NAN), at }
}

fn linearity_of(found: Option<&Conformity>) -> calcore_cycle_figure {
    found.map_or(figure(None), |f| {
        figure_of(f.largest, f.percent_of_span.unwrap_or(f64::NAN), f.standard_uncertainty, f.at)
    })
}

fn filled(found: &CycleFigures) -> calcore_cycle_figures {
    let (scatter, linearity) = (found.repeatability, found.linearity.as_ref());
    calcore_cycle_figures {
        size: 0,
        hysteretic_error: figure(found.hysteretic_error),
        hysteresis: figure(found.hysteresis),
        most_positive_error: figure(Some(found.most_positive_error)),
        most_negative_error: figure(Some(found.most_negative_error)),
        independent_linearity: linearity_of(linearity.map(|l| &l.independent)),
        zero_based_linearity: linearity_of(linearity.map(|l| &l.zero_based)),
        terminal_based_linearity: linearity_of(linearity.map(|l| &l.terminal_based)),
        largest_range: figure(scatter.map(|s| s.largest_range)),
        repeatability: scatter.map_or(f64::NAN, |s| s.standard_deviation),
        repeatability_percent_of_span: scatter.map_or(f64::NAN, |s| s.percent_of_span),
        repeatability_standard_uncertainty: scatter.map_or(f64::NAN, |s| s.standard_uncertainty),
        repeatability_degrees_of_freedom: scatter.map_or(0, |s| s.degrees_of_freedom),
    }
}

/// # Safety
/// The arrays of `c` are as its fields say.
unsafe fn figures_of(c: &calcore_cycles) -> Result<CycleFigures, Failure> {
    let count = c.cycles.saturating_mul(c.points);
    // SAFETY: as promised.
    let (x, expected, up, down) = unsafe {
        (
            input("x", c.x, c.points)?,
            optional("expected", c.expected, c.points)?,
            input("up", c.up, count)?,
            optional("down", c.down, count)?.unwrap_or_default(),
        )
    };
    let readings = up.len() + down.len();
    // SAFETY: as promised.
    let uncertainty = unsafe { known(c.u, c.covariance, readings) }?;
    let zeros = vec![0.0; if expected.is_none() { c.points } else { 0 }];
    // Without points there are no series either; the core says so.
    let points = c.points.max(1);
    let up: Vec<&[f64]> = up.chunks_exact(points).collect();
    let down: Vec<&[f64]> = down.chunks_exact(points).collect();
    let cycles = Cycles {
        x,
        expected: expected.unwrap_or(&zeros),
        up: &up,
        down: &down,
        span: c.span,
        dead_band: c.dead_band,
        uncertainty,
    };
    Ok(cycles.figures()?)
}

/// Figures over cycles: error curves, hysteresis, repeatability, linearity, measured accuracy. IEC 61298-2, ISA-51.1 (from
/// memory). Set `found->size` first; `curves` may be null.
///
/// Status: CALCORE_E_TOO_FEW_POINTS without points or cycles; CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless the span is
/// positive, and the dead band and uncertainties are not negative; CALCORE_E_NOT_POSITIVE_DEFINITE; CALCORE_E_OPTION for both `u`
/// and `covariance`; CALCORE_E_LENGTH_MISMATCH for a curve that the readings do not tell.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cycles_figures(
    cycles: *const calcore_cycles,
    curves: *const calcore_cycle_curves,
    found: *mut calcore_cycle_figures,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, found, || {
            let cycles = read(cycles, NO_CYCLES)?;
            let curves = if curves.is_null() { NO_CURVES } else { read(curves, NO_CURVES)? };
            let found = figures_of(&cycles)?;
            let (n, u) = (cycles.points, found.average_error_standard_uncertainty.as_deref().unwrap_or_default());
            let wanted = [
                ("mean errors going up", found.average_error_up.as_slice(), curves.up),
                ("mean errors going down", &found.average_error_down, curves.down),
                ("average errors", &found.average_error, curves.average),
                ("standard uncertainties of the average errors", u, curves.average_standard_uncertainty),
            ];
            for (what, values, target) in wanted {
                copy_if_wanted(what, values, target, n)?;
            }
            Ok(filled(&found))
        })
    }
}
