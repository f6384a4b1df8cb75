//! Section "fit": coefficients as a transmitter takes them.

use crate::array::Output;
use crate::curves::calcore_cvd;
use crate::guard::guard;
use crate::handle::{hand_out, held};
use crate::message::{Failure, calcore_error};
use crate::record::{Target, read, records};
use crate::status::*;
use calcore::fit::{Digits, EntryForm, EntryGrid, RoundedCoefficients, rounded, rounded_jointly, rounded_within};

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

records!(calcore_entry_grid, calcore_entries);

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
