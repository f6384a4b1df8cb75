//! Blocks of trials on several threads, with results that do not depend on how many.

use super::Progress;
use crate::error::{Error, Result};
use crate::num::simd::widest;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Number, mean and sum of squared deviations of the values of a block.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Moments {
    pub count: f64,
    pub mean: f64,
    pub squares: f64,
}

impl Moments {
    /// Of finite values; in a fixed order of summation.
    pub(crate) fn of(values: &[f64]) -> Self {
        let count = values.len() as f64;
        let mean = widest(
            #[inline(always)]
            || sum(values, |x| x),
        ) / count;
        let squares = widest(
            #[inline(always)]
            || {
                sum(
                    values,
                    #[inline(always)]
                    |x| (x - mean) * (x - mean),
                )
            },
        );
        Self { count, mean, squares }
    }

    /// Of two sets together (Chan, Golub and LeVeque 1979).
    pub(crate) fn join(self, other: Self) -> Self {
        if self.count <= 0.0 {
            return other;
        }
        let count = self.count + other.count;
        let step = other.mean - self.mean;
        Self {
            count,
            mean: self.mean + step * (other.count / count),
            squares: self.squares + other.squares + step * step * (self.count * other.count / count),
        }
    }

    pub(crate) fn standard_deviation(&self) -> f64 {
        (self.squares / (self.count - 1.0)).sqrt()
    }
}

/// Sum over eight interleaved partial sums: a fixed order that vectors can follow.
#[inline(always)]
fn sum(values: &[f64], map: impl Fn(f64) -> f64) -> f64 {
    let mut lanes = [0.0; 8];
    let (chunks, rest) = values.as_chunks::<8>();
    for chunk in chunks {
        for (lane, &x) in lanes.iter_mut().zip(chunk) {
            *lane += map(x);
        }
    }
    let rest: f64 = rest.iter().map(|&x| map(x)).sum();
    let pairs = [lanes[0] + lanes[4], lanes[1] + lanes[5], lanes[2] + lanes[6], lanes[3] + lanes[7]];
    (pairs[0] + pairs[2]) + (pairs[1] + pairs[3]) + rest
}

pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Threads that the settings ask for: 0 means as many as the machine has.
pub(crate) fn thread_count(asked: usize) -> usize {
    if asked > 0 { asked } else { std::thread::available_parallelism().map_or(1, usize::from) }
}

/// What the threads share.
struct Shared {
    next: AtomicUsize,
    stop: AtomicBool,
    done: AtomicU64,
    results: Mutex<Vec<Moments>>,
    failure: Mutex<Option<(usize, Error)>>,
}

/// Does the work of every block of a range, on the calling thread and `threads` − 1 others, and returns the moments in
/// the order of the blocks together with what each thread gathered (whose order must not matter).
///
/// The first block that fails, in the order of the blocks, gives the error, whichever thread met it first. Progress is
/// told on the calling thread only.
///
/// # Errors
/// Those of the work; [`Error::Cancelled`]; [`Error::ModelFailed`] when a thread panicked.
pub(crate) fn run<S: Send>(
    blocks: std::ops::Range<usize>,
    threads: usize,
    total: Progress,
    state: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, usize) -> Result<Moments> + Sync,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<(Vec<Moments>, Vec<S>)> {
    let count = blocks.len();
    let shared = Shared {
        next: AtomicUsize::new(0),
        stop: AtomicBool::new(false),
        done: AtomicU64::new(total.done),
        results: Mutex::new(vec![Moments::default(); count]),
        failure: Mutex::new(None),
    };
    let one_block = |state: &mut S| -> bool {
        if shared.stop.load(Ordering::Relaxed) {
            return false;
        }
        let index = shared.next.fetch_add(1, Ordering::Relaxed);
        if index >= count {
            return false;
        }
        match work(state, blocks.start + index) {
            Ok(moments) => {
                if let Some(slot) = lock(&shared.results).get_mut(index) {
                    *slot = moments;
                }
                shared.done.fetch_add(moments.count as u64, Ordering::Relaxed);
                true
            }
            Err(error) => {
                let mut failure = lock(&shared.failure);
                if failure.as_ref().is_none_or(|(first, _)| index < *first) {
                    *failure = Some((index, error));
                }
                shared.stop.store(true, Ordering::Relaxed);
                false
            }
        }
    };
    let mut cancelled = false;
    let states = std::thread::scope(|scope| {
        let mut handles = Vec::new();
        for _ in 1..threads.min(count) {
            let worker = || {
                let mut own = state();
                while one_block(&mut own) {}
                own
            };
            // A thread that cannot be had is work for the others.
            if let Ok(handle) = std::thread::Builder::new().spawn_scoped(scope, worker) {
                handles.push(handle);
            }
        }
        let mut own = state();
        while one_block(&mut own) {
            let told = Progress { done: shared.done.load(Ordering::Relaxed), total: total.total };
            if progress(told).is_break() {
                cancelled = true;
                shared.stop.store(true, Ordering::Relaxed);
            }
        }
        let mut states = vec![own];
        for handle in handles {
            match handle.join() {
                Ok(state) => states.push(state),
                Err(_) => {
                    let panicked = Error::ModelFailed { message: "it panicked".into() };
                    lock(&shared.failure).get_or_insert((count, panicked));
                }
            }
        }
        states
    });
    if let Some((_, error)) = lock(&shared.failure).take() {
        return Err(error);
    }
    if cancelled {
        let done = shared.done.load(Ordering::Relaxed);
        return Err(Error::Cancelled { what: "Monte Carlo", done, total: total.total });
    }
    let results = std::mem::take(&mut *lock(&shared.results));
    Ok((results, states))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joined_moments_are_those_of_the_whole() {
        let values: Vec<f64> = (0..1003).map(|i| libm::sin(f64::from(i)) + 1e6).collect();
        let whole = Moments::of(&values);
        let parts = values.chunks(100).map(Moments::of).fold(Moments::default(), Moments::join);
        assert!((whole.mean - parts.mean).abs() < 1e-9);
        assert!((whole.squares / parts.squares - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_first_failing_block_is_reported() {
        for threads in [1, 4] {
            let failed = run(
                0..50,
                threads,
                Progress { done: 0, total: 50 },
                || (),
                |(), block| {
                    if block >= 7 {
                        return Err(Error::ModelFailed { message: format!("{block}") });
                    }
                    Ok(Moments::default())
                },
                &mut |_| ControlFlow::Continue(()),
            );
            assert_eq!(failed.unwrap_err(), Error::ModelFailed { message: "7".into() });
        }
    }
}
