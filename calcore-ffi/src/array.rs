//! Pointers and arrays of the caller: checked, then seen as slices.

use crate::message::Failure;
use crate::status::*;
use calcore::Error;
use std::mem::MaybeUninit;
use std::slice;

/// A pointer that is neither null nor misaligned.
pub(crate) fn pointer<T>(what: &str, p: *const T) -> Result<*const T, Failure> {
    if p.is_null() {
        return Err(Failure::null(what));
    }
    if !p.is_aligned() {
        return Err(Failure::border(CALCORE_E_POINTER, format!("{what} is not aligned to {} bytes", align_of::<T>())));
    }
    Ok(p)
}

/// A single output of the caller: checked before the computation, written after it.
pub(crate) struct Output<T>(*mut T);

impl<T> Output<T> {
    /// # Safety
    /// `p` is null or points to room for a `T`.
    pub(crate) unsafe fn new(what: &str, p: *mut T) -> Result<Self, Failure> {
        pointer(what, p.cast_const())?;
        Ok(Self(p))
    }

    pub(crate) fn set(self, value: T) {
        // SAFETY: `new` checked the pointer and was promised the room. What stood there is plain data of C.
        unsafe { self.0.write(value) }
    }
}

fn check_array<T>(what: &str, p: *const T, n: usize) -> Result<(), Failure> {
    pointer(what, p)?;
    if n > isize::MAX.unsigned_abs() / size_of::<T>().max(1) {
        return Err(Failure::border(CALCORE_E_POINTER, format!("{what}: no memory holds {n} elements")));
    }
    Ok(())
}

/// An array that is read.
///
/// # Safety
/// `p` points to `n` elements, or `n` is 0; nobody writes to them during the call.
pub(crate) unsafe fn input<'a, T>(what: &str, p: *const T, n: usize) -> Result<&'a [T], Failure> {
    if n == 0 {
        return Ok(&[]);
    }
    check_array(what, p, n)?;
    // SAFETY: not null, aligned, of a possible length; the rest is promised.
    Ok(unsafe { slice::from_raw_parts(p, n) })
}

/// An array that may be left out: null means absent.
///
/// # Safety
/// As [`input`], or null.
pub(crate) unsafe fn optional<'a, T>(what: &str, p: *const T, n: usize) -> Result<Option<&'a [T]>, Failure> {
    // SAFETY: as promised.
    if p.is_null() { Ok(None) } else { unsafe { input(what, p, n) }.map(Some) }
}

/// An array that is written; what stands there before is not looked at.
///
/// # Safety
/// `p` points to `n` elements, or `n` is 0; nobody else uses them during the call.
pub(crate) unsafe fn output_of<'a, T: Copy>(
    what: &str,
    p: *mut T,
    n: usize,
) -> Result<&'a mut [MaybeUninit<T>], Failure> {
    if n == 0 {
        return Ok(&mut []);
    }
    check_array(what, p.cast_const(), n)?;
    // SAFETY: not null, aligned, of a possible length; the rest is promised.
    Ok(unsafe { slice::from_raw_parts_mut(p.cast(), n) })
}

/// Copies numbers into an array of the caller that must be of their length.
///
/// # Safety
/// `target` points to `n` doubles, or `n` is 0.
pub(crate) unsafe fn copy(what: &'static str, values: &[f64], target: *mut f64, n: usize) -> Result<(), Failure> {
    if n != values.len() {
        return Err(Error::LengthMismatch { what, expected: values.len(), found: n }.into());
    }
    // SAFETY: as promised.
    let target = unsafe { output_of(what, target, n) }?;
    for (place, value) in target.iter_mut().zip(values) {
        place.write(*value);
    }
    Ok(())
}

/// [`copy`] where the caller wants the numbers; null means not.
///
/// # Safety
/// `target` is null or points to `n` doubles.
pub(crate) unsafe fn copy_if_wanted(
    what: &'static str,
    values: &[f64],
    target: *mut f64,
    n: usize,
) -> Result<(), Failure> {
    // SAFETY: as promised.
    if target.is_null() { Ok(()) } else { unsafe { copy(what, values, target, n) } }
}

/// How many elements go through the stack when input and output are one array.
const PIECE: usize = 512;

/// Runs a kernel from an input array into an output array, which may be the same one.
///
/// # Safety
/// Both point to `n` doubles, or `n` is 0.
pub(crate) unsafe fn map(
    names: (&str, &str),
    from: *const f64,
    n: usize,
    to: *mut f64,
    check: impl FnOnce(&[f64]) -> Result<(), Failure>,
    kernel: impl Fn(&[f64], &mut [f64]) -> Result<(), Failure>,
) -> Result<(), Failure> {
    if n == 0 {
        return Ok(());
    }
    check_array(names.0, from, n)?;
    check_array(names.1, to.cast_const(), n)?;
    // SAFETY: checked above; the slice ends before anything is written.
    check(unsafe { slice::from_raw_parts(from, n) })?;
    if from.addr().abs_diff(to.addr()) >= n * size_of::<f64>() {
        // SAFETY: checked above, and the two do not overlap.
        return unsafe { kernel(slice::from_raw_parts(from, n), slice::from_raw_parts_mut(to, n)) };
    }
    if from != to.cast_const() {
        let message = format!("{} and {} overlap without being the same array", names.0, names.1);
        return Err(Failure::border(CALCORE_E_POINTER, message));
    }
    // SAFETY: checked above; input and output are this one slice.
    let both = unsafe { slice::from_raw_parts_mut(to, n) };
    let mut copy = [0.0; PIECE];
    for piece in both.chunks_mut(PIECE) {
        let copy = &mut copy[..piece.len()];
        copy.copy_from_slice(piece);
        kernel(copy, piece)?;
    }
    Ok(())
}
