//! Section "fit": many sensors at once.

use super::fits::fixed_coefficients;
use super::options::*;
use crate::array::{copy_if_wanted, input, optional, output_of};
use crate::guard::guard;
use crate::message::{Failure, calcore_error};
use crate::status::*;
use calcore::fit::{BatchFit, BatchLayout, BatchOptions, callendar_van_dusen_batch};

/// Where the results of a batch go, one row a sensor; NaN in the rows of sensors that could not be fitted. Zero it, set `size`,
/// and set the pointers to what is wanted; null leaves a result out. The arrays are the caller's and must overlap with
/// nothing.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_batch_results {
    /// sizeof(calcore_batch_results), set by the caller.
    pub size: usize,
    /// R0 (ohm), A (1/K), B (1/K^2), C (1/K^4): 4 numbers a sensor.
    pub coefficients: *mut f64,
    /// Covariance over R0, A, B, C, row by row: 16 numbers a sensor.
    pub covariance: *mut f64,
    /// Chi-squared where uncertainties are stated, else the sum of squares of the residuals, ohm^2.
    pub chi_squared: *mut f64,
    /// Points minus fitted coefficients.
    pub degrees_of_freedom: *mut usize,
    /// Observed minus fitted resistance of each point, ohm: as many numbers as resistances.
    pub residuals_ohm: *mut f64,
    /// CALCORE_OK or why the sensor could not be fitted: a CALCORE_E_ code for each sensor.
    pub statuses: *mut calcore_status,
}

crate::record::records!(calcore_batch_results);

/// Fits R0, A, B and C of `sensors` platinum thermometers as calcore_fit_callendar_van_dusen does, to the same bits, on
/// `threads` threads (0: as many as the machine runs at once; the results do not depend on it). A sensor that cannot be fitted
/// spoils its own row only.
///
/// `counts`: points of each sensor, or null where all have as many. `ohm`: `n_ohm` resistances, one sensor after the other.
/// `t_c`: `n_t` temperatures, °C, in the same order, or, where all sensors have as many points, once for all of them. `options`:
/// null, or u_x (K) and u_y (ohm) with 0, 1 or n_ohm numbers, u_x_common, u_y_common and fixed, for all sensors alike; the rest
/// is refused where it is set. `*failed` receives how many sensors could not be fitted. `results->size` is set by the caller.
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_OPTION; faults of a sensor are in `statuses`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_callendar_van_dusen_batch(
    t_c: *const f64,
    n_t: usize,
    ohm: *const f64,
    n_ohm: usize,
    counts: *const usize,
    sensors: usize,
    options: *const calcore_fit_options,
    threads: usize,
    results: *const calcore_batch_results,
    failed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let failed = crate::array::Output::new("failed", failed)?;
            let rows = crate::record::read(results, NO_RESULTS)?;
            check(&rows, sensors, n_ohm)?;
            let (t_c, ohm) = (input("t_c", t_c, n_t)?, input("ohm", ohm, n_ohm)?);
            let o = Options::read(options, 0)?;
            o.for_a_batch()?;
            let batch = BatchOptions {
                u_t: o.u_x,
                u_ohm: o.u_y,
                u_t_common: o.u_x_common,
                u_ohm_common: o.u_y_common,
                fixed: fixed_coefficients(&o)?,
                threads,
            };
            let layout = match optional("counts", counts, sensors)? {
                Some(counts) => BatchLayout::Ragged(counts),
                None => BatchLayout::Equal(points_of_each(n_ohm, sensors)?),
            };
            let fits = callendar_van_dusen_batch(t_c, ohm, layout, &batch)?;
            write(&rows, &fits, sensors, n_ohm)?;
            failed.set(fits.errors.len());
            Ok(())
        })
    }
}

const NO_RESULTS: calcore_batch_results = calcore_batch_results {
    size: 0,
    coefficients: std::ptr::null_mut(),
    covariance: std::ptr::null_mut(),
    chi_squared: std::ptr::null_mut(),
    degrees_of_freedom: std::ptr::null_mut(),
    residuals_ohm: std::ptr::null_mut(),
    statuses: std::ptr::null_mut(),
};

/// How many points every sensor has.
fn points_of_each(n_ohm: usize, sensors: usize) -> Result<usize, Failure> {
    let points = n_ohm.checked_div(sensors).unwrap_or(0);
    if points * sensors == n_ohm && (points > 0 || n_ohm == 0) {
        return Ok(points);
    }
    let message = format!("{n_ohm} resistances are not as many for each of {sensors} sensors: give counts");
    Err(Failure::border(CALCORE_E_LENGTH_MISMATCH, message))
}

/// Checks the arrays of the results before anything is computed.
///
/// # Safety
/// The arrays of `rows` are null or hold as much as their comments say.
unsafe fn check(rows: &calcore_batch_results, sensors: usize, n_ohm: usize) -> Result<(), Failure> {
    let numbers = [
        ("coefficients", rows.coefficients, sensors.saturating_mul(4)),
        ("covariance", rows.covariance, sensors.saturating_mul(16)),
        ("chi_squared", rows.chi_squared, sensors),
        ("residuals_ohm", rows.residuals_ohm, n_ohm),
    ];
    // SAFETY: as promised.
    unsafe {
        for (what, target, n) in numbers {
            output_of(what, target, if target.is_null() { 0 } else { n })?;
        }
        let n = if rows.degrees_of_freedom.is_null() { 0 } else { sensors };
        output_of("degrees_of_freedom", rows.degrees_of_freedom, n)?;
        output_of("statuses", rows.statuses, if rows.statuses.is_null() { 0 } else { sensors })?;
    }
    Ok(())
}

/// # Safety
/// The arrays of `rows` are null or hold as much as their comments say.
unsafe fn write(rows: &calcore_batch_results, fits: &BatchFit, sensors: usize, n_ohm: usize) -> Result<(), Failure> {
    let four = sensors.saturating_mul(4);
    let mut statuses = vec![CALCORE_OK; sensors];
    for (sensor, error) in &fits.errors {
        if let Some(place) = statuses.get_mut(*sensor) {
            *place = error.code();
        }
    }
    // SAFETY: as promised.
    unsafe {
        if !rows.coefficients.is_null() {
            let target = output_of("coefficients", rows.coefficients, four)?;
            for (i, row) in target.chunks_mut(4).enumerate() {
                for (place, value) in row.iter_mut().zip([fits.r0[i], fits.a[i], fits.b[i], fits.c[i]]) {
                    place.write(value);
                }
            }
        }
        copy_if_wanted("covariance", &fits.covariance, rows.covariance, sensors.saturating_mul(16))?;
        copy_if_wanted("chi_squared", &fits.chi_squared, rows.chi_squared, sensors)?;
        copy_if_wanted("residuals_ohm", &fits.residuals_ohm, rows.residuals_ohm, n_ohm)?;
        if !rows.degrees_of_freedom.is_null() {
            let target = output_of("degrees_of_freedom", rows.degrees_of_freedom, sensors)?;
            for (place, value) in target.iter_mut().zip(&fits.degrees_of_freedom) {
                place.write(*value);
            }
        }
        if !rows.statuses.is_null() {
            for (place, value) in output_of("statuses", rows.statuses, sensors)?.iter_mut().zip(statuses) {
                place.write(value);
            }
        }
    }
    Ok(())
}
