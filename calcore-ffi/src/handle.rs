//! Ownership: what stands behind the opaque pointers of the header.

use crate::array::{Output, pointer};
use crate::message::Failure;
use crate::status::*;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::ptr;

/// Stands in the place of the tag once a handle was released.
const RELEASED: u64 = 0x6465_7361_656c_6572;

/// An opaque type of the header.
///
/// # Safety
/// No two types share a tag, and pointers to this type come from [`hand_out`] only.
pub(crate) unsafe trait Handle {
    /// What it holds.
    type Held;
    /// Its name, for messages.
    const WHAT: &'static str;
    /// The mark by which it is known.
    const TAG: u64;
}

#[repr(C)]
struct Tagged<T> {
    tag: u64,
    held: T,
}

/// Gives a value to the caller, who owns it until `_free`.
pub(crate) fn hand_out<H: Handle>(target: Output<*mut H>, held: H::Held) {
    target.set(Box::into_raw(Box::new(Tagged { tag: H::TAG, held })).cast());
}

/// Looks at what a handle holds.
///
/// # Safety
/// `handle` is null or points to a handle of this library that nobody releases during the call.
pub(crate) unsafe fn held<'a, H: Handle>(handle: *const H) -> Result<&'a H::Held, Failure> {
    let tagged = pointer(H::WHAT, handle.cast::<Tagged<H::Held>>())?;
    // SAFETY: every handle of this library begins with its tag. Volatile: memory that was released in error is to be
    // looked at, not reasoned about.
    if unsafe { ptr::read_volatile(tagged.cast::<u64>()) } != H::TAG {
        return Err(Failure::border(CALCORE_E_HANDLE, format!("not a {}, or one that was released", H::WHAT)));
    }
    // SAFETY: the tag says that `hand_out` made it of this type.
    Ok(unsafe { &(*tagged).held })
}

/// Releases a handle; leaves alone what is null or not a handle of this type.
///
/// # Safety
/// As [`held`]; nobody uses the handle afterwards.
pub(crate) unsafe fn release<H: Handle>(handle: *mut H) {
    // SAFETY: as promised.
    if unsafe { held(handle.cast_const()) }.is_err() {
        return;
    }
    let tagged = handle.cast::<Tagged<H::Held>>();
    // SAFETY: made by `hand_out`; volatile, so that the mark is written although the memory goes away.
    let owned = unsafe {
        ptr::write_volatile(tagged.cast::<u64>(), RELEASED);
        Box::from_raw(tagged)
    };
    let dropped = catch_unwind(AssertUnwindSafe(|| drop(owned)));
    if let Err(payload) = dropped {
        std::mem::forget(payload);
    }
}
