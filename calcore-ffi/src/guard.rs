//! The one guard around every body: no panic crosses the border, failures become a status.

use crate::array::Output;
use crate::handle::{Handle, hand_out};
use crate::message::{Failure, calcore_error};
use crate::record::{Record, Target, check_size};
use crate::status::*;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs the body of a call.
///
/// # Safety
/// `err` is null or the caller's struct.
pub(crate) unsafe fn guard(err: *mut calcore_error, body: impl FnOnce() -> Result<(), Failure>) -> calcore_status {
    // Nothing can be told to a caller whose struct is not what it says.
    // SAFETY: as promised.
    if !err.is_null() && unsafe { check_size(err) }.is_err() {
        return CALCORE_E_STRUCT_SIZE;
    }
    // The body reads inputs and writes outputs at its end; after a panic nothing half made is left to be seen.
    let outcome = catch_unwind(AssertUnwindSafe(body)).unwrap_or_else(|payload| {
        // Its drop could panic again.
        std::mem::forget(payload);
        Err(Failure::border(CALCORE_E_PANIC, "a fault inside the library was caught at its border".into()))
    });
    match outcome {
        Ok(()) => CALCORE_OK,
        Err(failure) => {
            let code = failure.code();
            // SAFETY: the size was checked above.
            let told = catch_unwind(AssertUnwindSafe(|| unsafe { failure.report(err) }));
            if told.is_ok() { code } else { CALCORE_E_PANIC }
        }
    }
}

/// A call that computes one value.
///
/// # Safety
/// `err` and the target are null or the caller's.
pub(crate) unsafe fn give<T>(
    err: *mut calcore_error,
    (name, target): (&str, *mut T),
    compute: impl FnOnce() -> Result<T, Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let target = Output::new(name, target)?;
            target.set(compute()?);
            Ok(())
        })
    }
}

/// A call that computes two numbers.
///
/// # Safety
/// `err` and the targets are null or the caller's.
pub(crate) unsafe fn give_two(
    err: *mut calcore_error,
    first: (&str, *mut f64),
    second: (&str, *mut f64),
    compute: impl FnOnce() -> Result<(f64, f64), Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let (one, two) = (Output::new(first.0, first.1)?, Output::new(second.0, second.1)?);
            let values = compute()?;
            one.set(values.0);
            two.set(values.1);
            Ok(())
        })
    }
}

/// A call that fills one struct.
///
/// # Safety
/// `err` and the target are null or the caller's.
pub(crate) unsafe fn fill<R: Record>(
    err: *mut calcore_error,
    target: *mut R,
    compute: impl FnOnce() -> Result<R, Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let target = Target::new(target)?;
            target.fill(compute()?);
            Ok(())
        })
    }
}

/// A call that makes a handle.
///
/// # Safety
/// `err` and the target are null or the caller's.
pub(crate) unsafe fn make<H: Handle>(
    err: *mut calcore_error,
    (name, target): (&str, *mut *mut H),
    compute: impl FnOnce() -> Result<H::Held, Failure>,
) -> calcore_status {
    // SAFETY: as promised.
    unsafe {
        guard(err, || {
            let target = Output::new(name, target)?;
            hand_out(target, compute()?);
            Ok(())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::ptr;

    #[test]
    fn a_panic_becomes_a_status() {
        // SAFETY: null is allowed.
        let status = unsafe { guard(ptr::null_mut(), || panic!("on purpose")) };
        assert_eq!(status, CALCORE_E_PANIC);
    }

    #[test]
    fn an_error_struct_without_its_size_is_refused_before_the_body_runs() {
        // SAFETY: plain data, zero is valid.
        let mut err: calcore_error = unsafe { std::mem::zeroed() };
        let mut ran = false;
        // SAFETY: a whole struct.
        let status = unsafe {
            guard(&raw mut err, || {
                ran = true;
                Ok(())
            })
        };
        assert_eq!((status, ran), (CALCORE_E_STRUCT_SIZE, false));
    }
}
