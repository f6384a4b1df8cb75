//! Section "use of a fit": readings, bands, drift, and the entries of a transmitter.

use crate::array::{Output, copy, input, output_of};
use crate::curves::calcore_cvd;
use crate::fit::{Fit, Options, calcore_fit, calcore_fit_options, give_two};
use crate::guard::{fill, guard};
use crate::handle::{hand_out, held};
use crate::loop_calibration::sixteen;
use crate::message::{Failure, calcore_error};
use crate::record::{Record, Target, read};
use crate::status::*;
use calcore::fit::{
    CallendarVanDusenFit, Digits, EntryForm, EntryGrid, RoundedCoefficients, rounded, rounded_jointly, rounded_within,
};

/// Form of the entries of a transmitter: R0, A, B, C.
pub const CALCORE_ENTRY_ABC: i32 = 0;
/// Form of the entries of a transmitter: R0, alpha, delta, beta.
pub const CALCORE_ENTRY_ALPHA_DELTA_BETA: i32 = 1;

/// Digits of an entry: not rounded.
pub const CALCORE_DIGITS_ALL: i32 = 0;
/// Digits of an entry: counted after the decimal point.
pub const CALCORE_DIGITS_DECIMALS: i32 = 1;
/// Digits of an entry: counted from the first that is not zero.
pub const CALCORE_DIGITS_SIGNIFICANT: i32 = 2;

/// How the four entries are rounded: each by itself.
pub const CALCORE_ROUND_EACH: i32 = 0;
/// How the four entries are rounded: chosen together on the same grid, so that the largest error is small.
pub const CALCORE_ROUND_JOINTLY: i32 = 1;

/// What a transmitter takes: the form of its four entries and their digits.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_entry_grid {
    /// sizeof(calcore_entry_grid), set by the caller.
    pub size: usize,
    /// CALCORE_ENTRY_ABC or CALCORE_ENTRY_ALPHA_DELTA_BETA.
    pub form: i32,
    /// CALCORE_ROUND_EACH or CALCORE_ROUND_JOINTLY.
    pub rounding: i32,
    /// For R0 and the three others, in the order of the form: one of the CALCORE_DIGITS_ numbers.
    pub counted: [i32; 4],
    /// How many digits of each.
    pub digits: [i32; 4],
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_entry_grid {
    const WHAT: &'static str = "calcore_entry_grid";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Coefficients as a transmitter takes them, with the error that rounding adds.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_entries {
    /// sizeof(calcore_entries), set by the caller.
    pub size: usize,
    /// The four entries, in the order of the form.
    pub entries: [f64; 4],
    /// Largest error of a temperature that rounding adds over the range of the curve, K.
    pub largest_error_k: f64,
    /// Where it stands, °C.
    pub largest_error_at_c: f64,
    /// Digits of each entry: one of the CALCORE_DIGITS_ numbers.
    pub counted: [i32; 4],
    /// How many digits of each.
    pub digits: [i32; 4],
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_entries {
    const WHAT: &'static str = "calcore_entries";
    const FIRST_SIZE: usize = size_of::<Self>();
}

fn form_of(form: i32) -> Result<EntryForm, Failure> {
    match form {
        CALCORE_ENTRY_ABC => Ok(EntryForm::Abc),
        CALCORE_ENTRY_ALPHA_DELTA_BETA => Ok(EntryForm::AlphaDeltaBeta),
        _ => Err(Failure::option("form", form, "CALCORE_ENTRY_ABC or CALCORE_ENTRY_ALPHA_DELTA_BETA")),
    }
}

fn digits_of(counted: i32, digits: i32) -> Result<Option<Digits>, Failure> {
    let count =
        || u32::try_from(digits).map_err(|_| Failure::option("digits", digits, "a number that is not negative"));
    match counted {
        CALCORE_DIGITS_ALL => Ok(None),
        CALCORE_DIGITS_DECIMALS => Ok(Some(Digits::Decimals(count()?))),
        CALCORE_DIGITS_SIGNIFICANT => Ok(Some(Digits::Significant(count()?))),
        _ => Err(Failure::option("counted", counted, "one of the CALCORE_DIGITS_ numbers")),
    }
}

fn entries_of(r: &RoundedCoefficients) -> calcore_entries {
    let pairs = r.grid.digits.map(|digits| match digits {
        None => (CALCORE_DIGITS_ALL, 0),
        Some(Digits::Decimals(n)) => (CALCORE_DIGITS_DECIMALS, i32::try_from(n).unwrap_or(i32::MAX)),
        Some(Digits::Significant(n)) => (CALCORE_DIGITS_SIGNIFICANT, i32::try_from(n).unwrap_or(i32::MAX)),
    });
    calcore_entries {
        size: 0,
        entries: r.entries,
        largest_error_k: r.largest_error_k,
        largest_error_at_c: r.largest_error_at_c,
        counted: pairs.map(|(counted, _)| counted),
        digits: pairs.map(|(_, digits)| digits),
    }
}

/// A call that gives entries and, if wanted, the curve that they make.
///
/// # Safety
/// The pointers are null or the caller's.
unsafe fn give_entries(
    err: *mut calcore_error,
    entries: *mut calcore_entries,
    curve: *mut *mut calcore_cvd,
    compute: impl FnOnce() -> Result<RoundedCoefficients, Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let target = Target::new(entries)?;
            let curve = if curve.is_null() { None } else { Some(Output::new("curve", curve)?) };
            let found = compute()?;
            target.fill(entries_of(&found));
            if let Some(curve) = curve {
                hand_out(curve, found.curve);
            }
            Ok(())
        })
    }
}

/// The coefficients of a thermometer as a transmitter takes them, with the largest error that rounding adds over the range of
/// the curve. Set `entries->size` first.
///
/// `rounded_curve`: null, or receives the curve that the entries make, which the caller releases by calcore_cvd_free.
/// Status: CALCORE_E_OPTION; CALCORE_E_INVALID_VALUE for digits that cannot be, or where rounding leaves no curve.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_rounded(
    curve: *const calcore_cvd,
    grid: *const calcore_entry_grid,
    entries: *mut calcore_entries,
    rounded_curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_entries(err, entries, rounded_curve, || {
            let curve = held(curve)?;
            let blank = calcore_entry_grid { size: 0, form: 0, rounding: 0, counted: [0; 4], digits: [0; 4] };
            let g = read(grid, blank)?;
            let mut digits = [None; 4];
            for (k, place) in digits.iter_mut().enumerate() {
                *place = digits_of(g.counted[k], g.digits[k])?;
            }
            let grid = EntryGrid { form: form_of(g.form)?, digits };
            match g.rounding {
                CALCORE_ROUND_EACH => Ok(rounded(curve, grid)?),
                CALCORE_ROUND_JOINTLY => Ok(rounded_jointly(curve, grid)?),
                other => Err(Failure::option("rounding", other, "CALCORE_ROUND_EACH or CALCORE_ROUND_JOINTLY")),
            }
        })
    }
}

/// The fewest digits, chosen together, that keep the largest error that rounding adds below a limit, K.
///
/// `form`: CALCORE_ENTRY_ABC or CALCORE_ENTRY_ALPHA_DELTA_BETA. Outputs: as calcore_cvd_rounded.
/// Status: CALCORE_E_OPTION, CALCORE_E_INVALID_VALUE; CALCORE_E_NO_CONVERGENCE where fifteen digits do not suffice.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_cvd_rounded_within(
    curve: *const calcore_cvd,
    form: i32,
    limit_k: f64,
    entries: *mut calcore_entries,
    rounded_curve: *mut *mut calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { give_entries(err, entries, rounded_curve, || Ok(rounded_within(held(curve)?, form_of(form)?, limit_k)?)) }
}

/// The fit behind a handle, if it is one of a Callendar-Van Dusen curve.
///
/// # Safety
/// As [`held`].
unsafe fn cvd_fit<'a>(fit: *const calcore_fit) -> Result<&'a CallendarVanDusenFit, Failure> {
    // SAFETY: as promised.
    unsafe { held(fit) }.and_then(Fit::cvd)
}

/// Temperature, °C, of a resistance (ohm) that has a standard uncertainty of its own (ohm), by a fitted Callendar-Van Dusen
/// curve, and the standard uncertainty of curve and resistance together, K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE; CALCORE_E_UNDETERMINED where the fit has
/// no covariance; CALCORE_E_HANDLE for another kind of fit, here and in the functions below.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_read(
    fit: *const calcore_fit,
    ohm: f64,
    u_ohm: f64,
    t_c: *mut f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_two(err, ("t_c", t_c), ("u_k", u_k), || {
            let found = cvd_fit(fit)?.read(ohm, u_ohm)?;
            Ok((found.value, found.standard_uncertainty))
        })
    }
}

/// What a transmitter set to `entered` reads from the fitted element at a temperature in °C, minus that temperature, K, and
/// the standard uncertainty of that error, K.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UNDETERMINED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_error_read_with(
    fit: *const calcore_fit,
    entered: *const calcore_cvd,
    t_c: f64,
    error_k: *mut f64,
    u_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give_two(err, ("error_k", error_k), ("u_k", u_k), || {
            let found = cvd_fit(fit)?.error_read_with(held(entered)?, t_c)?;
            Ok((found.value, found.standard_uncertainty))
        })
    }
}

/// The band about a fitted Callendar-Van Dusen curve at `n` temperatures (°C), `coverage_factor` standard uncertainties wide
/// each way: resistance of the curve (ohm), half-widths in ohm and in kelvin. The outputs must not overlap the input.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNDETERMINED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_band(
    fit: *const calcore_fit,
    t_c: *const f64,
    n: usize,
    coverage_factor: f64,
    ohm: *mut f64,
    half_width_ohm: *mut f64,
    half_width_k: *mut f64,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let band = cvd_fit(fit)?.band(input("t_c", t_c, n)?, coverage_factor)?;
            let (ohm, by_ohm, by_k) = (
                output_of("ohm", ohm, n)?,
                output_of("half_width_ohm", half_width_ohm, n)?,
                output_of("half_width_k", half_width_k, n)?,
            );
            for (i, point) in band.iter().enumerate() {
                ohm[i].write(point.ohm);
                by_ohm[i].write(point.half_width_ohm);
                by_k[i].write(point.half_width_k);
            }
            Ok(())
        })
    }
}

/// calcore_fit_temperature_uncertainty beyond the calibrated range, asked for by name. `*beyond` receives 1 if the
/// temperature lies beyond it, else 0.
///
/// Status: CALCORE_E_NOT_FINITE, CALCORE_E_UNDETERMINED; CALCORE_E_OUT_OF_RANGE where the equation itself no longer rises.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_extrapolated_temperature_uncertainty(
    fit: *const calcore_fit,
    t_c: f64,
    u_k: *mut f64,
    beyond: *mut i32,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let (u, flag) = (Output::new("u_k", u_k)?, Output::new("beyond", beyond)?);
            let (value, warning) = cvd_fit(fit)?.extrapolated_temperature_uncertainty(t_c)?;
            u.set(value);
            flag.set(i32::from(warning.is_some()));
            Ok(())
        })
    }
}

/// Covariance, K^2, of the temperatures that a fitted Callendar-Van Dusen curve reads at `n` temperatures (°C), row by row:
/// points on one curve share its errors. `n_values`: room in `values`, n x n. The two must not overlap.
///
/// Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UNDETERMINED.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_temperature_covariance(
    fit: *const calcore_fit,
    t_c: *const f64,
    n: usize,
    values: *mut f64,
    n_values: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let covariance = cvd_fit(fit)?.temperature_covariance(input("t_c", t_c, n)?)?;
            copy("values", covariance.values(), values, n_values)
        })
    }
}

/// R0, alpha, delta and beta of a fitted curve with their covariance.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_alpha_delta_beta {
    /// sizeof(calcore_alpha_delta_beta), set by the caller.
    pub size: usize,
    /// R0, ohm.
    pub r0: f64,
    /// alpha, 1/K.
    pub alpha: f64,
    /// delta, °C.
    pub delta: f64,
    /// beta, °C.
    pub beta: f64,
    /// Covariance of (r0, alpha, delta, beta), row by row; NaN where the fit has none.
    pub covariance: [f64; 16],
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_alpha_delta_beta {
    const WHAT: &'static str = "calcore_alpha_delta_beta";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// alpha, delta and beta of a fitted Callendar-Van Dusen curve with their covariance. Set `numbers->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_alpha_delta_beta(
    fit: *const calcore_fit,
    numbers: *mut calcore_alpha_delta_beta,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, numbers, || {
            let found = cvd_fit(fit)?.alpha_delta_beta();
            Ok(calcore_alpha_delta_beta {
                size: 0,
                r0: found.r0,
                alpha: found.alpha,
                delta: found.delta,
                beta: found.beta,
                covariance: sixteen(found.covariance.as_ref()),
            })
        })
    }
}

/// A test by chi-squared.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_test {
    /// sizeof(calcore_test), set by the caller.
    pub size: usize,
    /// Sum of squares with the whole covariance.
    pub chi_squared: f64,
    /// Probability of a larger one if nothing is wrong.
    pub p_value: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
}

// SAFETY: repr(C), begins with `size`, plain data.
unsafe impl Record for calcore_test {
    const WHAT: &'static str = "calcore_test";
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Checks a fitted Callendar-Van Dusen curve against `n` points that were not used for it: temperatures (°C), resistances
/// (ohm), and in `options` their u_x (K) and u_y (ohm); the other options are not looked at.
///
/// Outputs, n numbers each, or null where not wanted: temperature read minus given (K), its standard uncertainty of curve
/// and point together (K), and their quotient. Set `outcome->size` first.
/// Status: as calcore_fit_read; CALCORE_E_TOO_FEW_POINTS.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_hold_out(
    fit: *const calcore_fit,
    t_c: *const f64,
    ohm: *const f64,
    n: usize,
    options: *const calcore_fit_options,
    errors_k: *mut f64,
    uncertainties_k: *mut f64,
    normalised: *mut f64,
    outcome: *mut calcore_test,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(outcome)?;
            let (t_c, ohm) = (input("t_c", t_c, n)?, input("ohm", ohm, n)?);
            let o = Options::read(options, n)?;
            let found = cvd_fit(fit)?.hold_out(t_c, ohm, o.u_x, o.u_y)?;
            copy_if_wanted("errors_k", &found.errors_c, errors_k, n)?;
            copy_if_wanted("uncertainties_k", &found.uncertainties_c, uncertainties_k, n)?;
            copy_if_wanted("normalised", &found.normalised, normalised, n)?;
            target.fill(calcore_test {
                size: 0,
                chi_squared: found.chi_squared,
                p_value: found.p_value,
                degrees_of_freedom: found.errors_c.len(),
            });
            Ok(())
        })
    }
}

/// # Safety
/// `target` is null or points to `n` doubles.
unsafe fn copy_if_wanted(what: &'static str, values: &[f64], target: *mut f64, n: usize) -> Result<(), Failure> {
    // SAFETY: as promised.
    if target.is_null() { Ok(()) } else { unsafe { copy(what, values, target, n) } }
}

/// Drift of an element since an earlier fit, at `n` temperatures (°C): what the earlier curve reads from the later one's
/// resistance, minus the temperature (K), and its standard uncertainty (K), or null where not wanted; and whether the
/// coefficients have changed. Set `outcome->size` first.
///
/// Status: as calcore_fit_read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_fit_drift_since(
    fit: *const calcore_fit,
    earlier: *const calcore_fit,
    t_c: *const f64,
    n: usize,
    drift_k: *mut f64,
    uncertainties_k: *mut f64,
    outcome: *mut calcore_test,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let target = Target::new(outcome)?;
            let found = cvd_fit(fit)?.drift_since(cvd_fit(earlier)?, input("t_c", t_c, n)?)?;
            copy_if_wanted("drift_k", &found.drift_k, drift_k, n)?;
            copy_if_wanted("uncertainties_k", &found.uncertainties_k, uncertainties_k, n)?;
            target.fill(calcore_test {
                size: 0,
                chi_squared: found.chi_squared,
                p_value: found.p_value,
                degrees_of_freedom: found.degrees_of_freedom,
            });
            Ok(())
        })
    }
}
