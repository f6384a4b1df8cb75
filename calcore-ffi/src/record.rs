//! Structs that begin with `size` and grow at the end only.

use crate::array::pointer;
use crate::message::Failure;
use crate::status::*;
use std::ptr;

/// A struct of the header that begins with `size`.
///
/// # Safety
/// The type is `repr(C)`, plain data without padding that matters, and its first field is `size: usize`.
pub(crate) unsafe trait Record: Copy {
    /// Its name, for messages.
    const WHAT: &'static str;
    /// Its size in the first version of the library that had it: the least that a caller can mean.
    const FIRST_SIZE: usize;
}

/// Makes structs of the header known as such: `repr(C)`, plain data, with `size` first; their first version is whole.
macro_rules! records {
    ($($name:ident),+ $(,)?) => {$(
        // SAFETY: repr(C), begins with `size`, plain data.
        unsafe impl crate::record::Record for $name {
            const WHAT: &'static str = stringify!($name);
            const FIRST_SIZE: usize = size_of::<Self>();
        }
    )+};
}
pub(crate) use records;

/// The size that the caller gave, if it is a possible one.
///
/// # Safety
/// `record` points to at least a `size`.
pub(crate) unsafe fn check_size<R: Record>(record: *const R) -> Result<usize, Failure> {
    let record = pointer(R::WHAT, record)?;
    // SAFETY: not null, aligned, and begins with `size`.
    let size = unsafe { record.cast::<usize>().read() };
    if size < R::FIRST_SIZE {
        let message = format!("size of {} is {size}: it must be at least {}", R::WHAT, R::FIRST_SIZE);
        return Err(Failure::border(CALCORE_E_STRUCT_SIZE, message));
    }
    Ok(size)
}

/// The caller's struct as far as both sides know it; what an older caller does not know is as in `defaults`.
///
/// # Safety
/// `record` is null or points to as many bytes as its `size` says.
pub(crate) unsafe fn read<R: Record>(record: *const R, defaults: R) -> Result<R, Failure> {
    // SAFETY: as promised.
    let known = unsafe { check_size(record) }?.min(size_of::<R>());
    let mut values = defaults;
    // SAFETY: `known` bytes are there on both sides; any bits are plain data of R.
    unsafe { ptr::copy_nonoverlapping(record.cast::<u8>(), (&raw mut values).cast::<u8>(), known) };
    Ok(values)
}

/// A result struct of the caller, checked before the computation and filled after it.
pub(crate) struct Target<R: Record> {
    record: *mut R,
    size: usize,
}

impl<R: Record> Target<R> {
    /// # Safety
    /// `record` is null or points to as many bytes as its `size` says.
    pub(crate) unsafe fn new(record: *mut R) -> Result<Self, Failure> {
        // SAFETY: as promised.
        let size = unsafe { check_size(record) }?;
        Ok(Self { record, size })
    }

    /// Fills the caller's struct as far as both sides know it; its `size` stays.
    pub(crate) fn fill(self, values: R) {
        let known = self.size.min(size_of::<R>());
        let start = size_of::<usize>();
        // SAFETY: `new` was promised that many bytes; the first field is `size`.
        unsafe {
            let target = self.record.cast::<u8>().add(start);
            ptr::copy_nonoverlapping((&raw const values).cast::<u8>().add(start), target, known - start);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[repr(C)]
    #[derive(Clone, Copy, Debug, PartialEq)]
    struct Two {
        size: usize,
        first: f64,
        later: f64,
    }
    // SAFETY: repr(C), begins with `size`, plain data.
    unsafe impl Record for Two {
        const WHAT: &'static str = "Two";
        const FIRST_SIZE: usize = 16;
    }

    #[test]
    fn only_what_the_caller_knows_is_written() {
        let values = Two { size: 0, first: 1.0, later: 2.0 };
        for (size, later) in [(16, -1.0), (24, 2.0), (4096, 2.0)] {
            let mut target = Two { size, first: -1.0, later: -1.0 };
            // SAFETY: 4096 stands for a newer, longer struct: nothing beyond the known part is touched.
            unsafe { Target::new(&raw mut target) }.ok().unwrap().fill(values);
            assert_eq!(target, Two { size, first: 1.0, later });
        }
        let old = Two { size: 16, first: 3.0, later: f64::NAN };
        // SAFETY: a whole struct, of which only the part that `size` says is read.
        let values = unsafe { read(&raw const old, values) }.ok().unwrap();
        assert_eq!((values.first, values.later), (3.0, 2.0));
        let mut unset = Two { size: 8, first: 0.0, later: 0.0 };
        // SAFETY: a whole struct.
        let refused = unsafe { Target::new(&raw mut unset) }.err().map(|f| f.code());
        assert_eq!(refused, Some(CALCORE_E_STRUCT_SIZE));
    }
}
