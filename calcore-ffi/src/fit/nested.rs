//! Section "fit": which coefficients are worth fitting.

use super::fits::callendar_van_dusen_options;
use super::kinds::*;
use super::options::*;
use crate::array::{Output, input, output_of};
use crate::guard::guard;
use crate::handle::hand_out;
use crate::message::calcore_error;
use crate::status::*;
use calcore::fit::{FixedCoefficients, compare_models};

/// Fits the same points with `candidates` sets of held coefficients, from the smallest model to the largest, and compares each
/// with the one before it (F test of nested models where nothing is stated, else the test by chi-squared: N. R. Draper and
/// H. Smith, Applied Regression Analysis (1998), 6.1) and by leave-one-out cross-validation.
///
/// `fixed`: 4 numbers (r0, a, b, c) for each candidate, NaN for what is fitted. `options`: as
/// calcore_fit_callendar_van_dusen, without `fixed`.
/// Outputs, one number a candidate, or null where not wanted: `p_values`, the probability of a gain at least as large if the
/// smaller model, the one before, were true (NaN for the first, where the two are not nested, or nothing is left to test by);
/// `cross_validation_k`, root of the mean square of the leave-one-out misfits, K (NaN where a point cannot be left out);
/// `fits`, handles that the caller releases by calcore_fit_free.
/// Status: as calcore_fit_callendar_van_dusen.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_compare_models(
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    fixed: *const f64,
    candidates: usize,
    p_values: *mut f64,
    cross_validation_k: *mut f64,
    fits: *mut *mut calcore_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let o = Options::read(options, n)?;
            refuse(!o.fixed.is_empty(), "what is held stands in the argument fixed: leave it out of the options")?;
            let known = |value: f64| if value.is_nan() { None } else { Some(value) };
            let sets: Vec<FixedCoefficients> = input("fixed", fixed, candidates.saturating_mul(4))?
                .chunks_exact(4)
                .map(|f| FixedCoefficients { r0: known(f[0]), a: known(f[1]), b: known(f[2]), c: known(f[3]) })
                .collect();
            let room = |n: usize, wanted: bool| if wanted { n } else { 0 };
            let p_target = output_of("p_values", p_values, room(candidates, !p_values.is_null()))?;
            let cross = room(candidates, !cross_validation_k.is_null());
            let cross_target = output_of("cross_validation_k", cross_validation_k, cross)?;
            output_of("fits", fits, room(candidates, !fits.is_null()))?;
            let found = compare_models(t_c, ohm, &callendar_van_dusen_options(&o)?, &sets)?;
            for (place, one) in p_target.iter_mut().zip(&found) {
                place.write(one.p_value_of_smaller.unwrap_or(f64::NAN));
            }
            for (place, one) in cross_target.iter_mut().zip(&found) {
                place.write(one.cross_validation_k.unwrap_or(f64::NAN));
            }
            if !fits.is_null() {
                for (i, one) in found.into_iter().enumerate() {
                    hand_out(Output::new("fits", fits.add(i))?, Fit::Cvd(one.fit));
                }
            }
            Ok(())
        })
    }
}
