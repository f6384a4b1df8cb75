//! Who calls the model: every thread, or only the one that asked.

use super::blocks::{Moments, lock, run};
use super::draws::{Columns, Sampler};
use super::{BLOCK_TRIALS, Progress};
use crate::error::{Error, Result};
use crate::uncertainty::derivative::describe;
use crate::uncertainty::propagate::Input;
use std::collections::BTreeMap;
use std::ops::{ControlFlow, Range};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// What every block needs.
pub(super) struct Job<'a> {
    pub sampler: Sampler,
    pub inputs: &'a [Input],
    pub threads: usize,
}

/// Told on the calling thread; its answer `Break` ends the run.
pub(super) type Tell<'a> = dyn FnMut(Progress) -> ControlFlow<()> + 'a;

/// Where the values of the blocks go, and what each thread gathers from them on the way.
pub(super) trait Store: Sync {
    type Own: Send;

    fn own(&self) -> Self::Own;

    /// Trials of a block.
    fn length(&self, block: usize) -> usize;

    /// Has the values of a block written where they belong.
    fn block(
        &self,
        own: &mut Self::Own,
        block: usize,
        write: impl FnOnce(&mut [f64]) -> Result<Moments>,
    ) -> Result<Moments>;
}

/// Does the work of every block of a range and returns the moments in the order of the blocks, with what each thread
/// gathered (whose order must not matter).
pub(super) trait Engine {
    fn run<S: Store>(
        &mut self,
        job: &Job<'_>,
        blocks: Range<usize>,
        store: &S,
        total: Progress,
        tell: &mut Tell<'_>,
    ) -> Result<(Vec<Moments>, Vec<S::Own>)>;
}

impl Job<'_> {
    /// Moments of the values that the model gave for a block.
    fn moments(&self, block: usize, values: &[f64]) -> Result<Moments> {
        let moments = Moments::of(values);
        if !moments.squares.is_finite() {
            self.look_for_failure(block, values)?;
        }
        Ok(moments)
    }

    /// The first trial without a number, with its draws (made once more); none when only the sums overflowed.
    #[cold]
    fn look_for_failure(&self, block: usize, values: &[f64]) -> Result<()> {
        let Some((i, y)) = values.iter().enumerate().find(|(_, y)| !y.is_finite()) else {
            return Err(Error::NotFinite { what: "variance of the model", value: f64::INFINITY, position: None });
        };
        let mut columns = Columns::default();
        self.sampler.draw(block, values.len(), &mut columns)?;
        let point: Vec<f64> = columns.inputs.iter().map(|column| column[i]).collect();
        let trial = block * BLOCK_TRIALS + i;
        Err(Error::ModelFailed {
            message: format!("it gives {y} in trial {trial} (counted from 0), at {}", describe(self.inputs, &point)),
        })
    }
}

/// A model that any thread may call.
pub(super) struct Everywhere<M>(pub M);

impl<M: Fn(&[&[f64]], &mut [f64]) -> Result<()> + Sync> Engine for Everywhere<M> {
    fn run<S: Store>(
        &mut self,
        job: &Job<'_>,
        blocks: Range<usize>,
        store: &S,
        total: Progress,
        tell: &mut Tell<'_>,
    ) -> Result<(Vec<Moments>, Vec<S::Own>)> {
        let model = &self.0;
        let state = || (Columns::default(), store.own());
        let work = |(columns, own): &mut (Columns, S::Own), block: usize| {
            job.sampler.draw(block, store.length(block), columns)?;
            let views: Vec<&[f64]> = columns.inputs.iter().map(Vec::as_slice).collect();
            store.block(own, block, |values| {
                model(&views, values)?;
                job.moments(block, values)
            })
        };
        let (moments, states) = run(blocks, job.threads, total, state, work, tell)?;
        Ok((moments, states.into_iter().map(|(_, own)| own).collect()))
    }
}

/// A model that only the calling thread may call, block after block, while the other threads draw the next ones.
pub(super) struct Here<M>(pub M);

/// Blocks that are drawn, and those that wait to be.
struct Queue {
    drawn: BTreeMap<usize, Result<Columns>>,
    /// Arrays to be used again.
    spare: Vec<Columns>,
    next: usize,
    /// No block from here on is drawn yet: what is drawn ahead is bounded.
    open_to: usize,
    lost: bool,
}

struct Shared {
    queue: Mutex<Queue>,
    changed: Condvar,
}

impl Shared {
    fn wait<'a>(&self, queue: MutexGuard<'a, Queue>) -> MutexGuard<'a, Queue> {
        self.changed.wait(queue).unwrap_or_else(PoisonError::into_inner)
    }

    /// Draws the next block, if one may be drawn.
    fn draw<S: Store>(&self, job: &Job<'_>, store: &S, mut queue: MutexGuard<'_, Queue>) {
        let block = queue.next;
        queue.next += 1;
        let mut columns = queue.spare.pop().unwrap_or_default();
        drop(queue);
        let drawn = job.sampler.draw(block, store.length(block), &mut columns).map(|()| columns);
        lock(&self.queue).drawn.insert(block, drawn);
        self.changed.notify_all();
    }

    /// What the other threads do until there is nothing left to be drawn.
    fn work<S: Store>(&self, job: &Job<'_>, store: &S, end: usize) {
        let _alarm = Alarm(self);
        loop {
            let mut queue = lock(&self.queue);
            while queue.next >= queue.open_to && queue.next < end {
                queue = self.wait(queue);
            }
            if queue.next >= end {
                return;
            }
            self.draw(job, store, queue);
        }
    }

    /// The columns of a block, drawn here if nobody else does.
    fn columns<S: Store>(&self, job: &Job<'_>, store: &S, block: usize, end: usize) -> Result<Columns> {
        loop {
            let mut queue = lock(&self.queue);
            if let Some(drawn) = queue.drawn.remove(&block) {
                return drawn;
            }
            if queue.lost {
                return Err(Error::ModelFailed { message: "a thread that draws panicked".into() });
            }
            if queue.next < queue.open_to && queue.next < end {
                self.draw(job, store, queue);
            } else {
                queue = self.wait(queue);
                drop(queue);
            }
        }
    }
}

/// Wakes the calling thread when a thread ends without having done its work.
struct Alarm<'a>(&'a Shared);

impl Drop for Alarm<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            lock(&self.0.queue).lost = true;
            self.0.changed.notify_all();
        }
    }
}

impl<M: FnMut(&mut [Vec<f64>], &mut [f64]) -> Result<()>> Engine for Here<M> {
    fn run<S: Store>(
        &mut self,
        job: &Job<'_>,
        blocks: Range<usize>,
        store: &S,
        total: Progress,
        tell: &mut Tell<'_>,
    ) -> Result<(Vec<Moments>, Vec<S::Own>)> {
        let threads = job.threads.min(blocks.len());
        let ahead = if threads > 1 { 2 * threads } else { 1 };
        let (start, end) = (blocks.start, blocks.end);
        let queue =
            Queue { drawn: BTreeMap::new(), spare: Vec::new(), next: start, open_to: start + ahead, lost: false };
        let shared = Shared { queue: Mutex::new(queue), changed: Condvar::new() };
        let mut own = store.own();
        let mut done = total.done;
        let mut one = |block: usize| -> Result<Moments> {
            let mut columns = shared.columns(job, store, block, end)?;
            {
                // What this block leaves free is drawn while the model works.
                lock(&shared.queue).open_to = block + 1 + ahead;
                shared.changed.notify_all();
            }
            let moments = store.block(&mut own, block, |values| {
                (self.0)(&mut columns.inputs, values)?;
                job.moments(block, values)
            })?;
            lock(&shared.queue).spare.push(columns);
            done += moments.count as u64;
            if tell(Progress { done, total: total.total }).is_break() {
                return Err(Error::Cancelled { what: "Monte Carlo", done, total: total.total });
            }
            Ok(moments)
        };
        let moments = std::thread::scope(|scope| {
            for _ in 1..threads {
                // A thread that cannot be had is work for the others.
                let _ = std::thread::Builder::new().spawn_scoped(scope, || shared.work(job, store, end));
            }
            let _over = Over { shared: &shared, end };
            blocks.map(&mut one).collect::<Result<Vec<Moments>>>()
        })?;
        Ok((moments, vec![own]))
    }
}

/// Sends the other threads home, however the run ends.
struct Over<'a> {
    shared: &'a Shared,
    end: usize,
}

impl Drop for Over<'_> {
    fn drop(&mut self) {
        lock(&self.shared.queue).next = self.end;
        self.shared.changed.notify_all();
    }
}
