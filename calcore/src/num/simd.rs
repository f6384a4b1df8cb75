//! The widest vectors that the processor has, chosen at run time.
//!
//! The same plain multiplications and additions are compiled for several instruction sets; none of them may fuse a
//! multiplication with an addition (Rust never contracts), so that every width gives the same bits.

/// Elements worked on at a time: input and output together stay in the first-level cache.
pub(crate) const BLOCK: usize = 512;

/// Runs the closure compiled for the widest instruction set at hand.
///
/// Everything that shall profit must be `#[inline(always)]` up to the loop.
#[inline(always)]
pub(crate) fn widest<R>(work: impl FnOnce() -> R) -> R {
    #[cfg(all(feature = "std", not(calcore_baseline)))]
    return pulp::Arch::new().dispatch(work);
    // Without the standard library, and where it is measured what the build's own instruction set does.
    #[cfg(not(all(feature = "std", not(calcore_baseline))))]
    work()
}

/// Applies an arithmetic kernel to every element, with the widest vectors.
///
/// # Panics
/// Never; the shorter of the two slices decides how far it goes.
#[inline(always)]
pub(crate) fn map(input: &[f64], output: &mut [f64], kernel: impl Fn(f64) -> f64) {
    widest(
        #[inline(always)]
        || {
            for (y, &x) in output.iter_mut().zip(input) {
                *y = kernel(x);
            }
        },
    );
}
