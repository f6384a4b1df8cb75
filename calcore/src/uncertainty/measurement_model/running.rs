//! Arithmetic over the numbers of a block, with the widest vectors.

use super::points::AtPoints;
use crate::num::simd::widest;
use std::ops::{Deref, DerefMut};

/// Points worked on at a time.
pub(super) const BLOCK: usize = 256;

/// The numbers of a block, laid so that the widest vectors are loaded without crossing a line of the cache.
#[repr(align(64))]
pub(super) struct Room([f64; BLOCK]);

impl Room {
    pub(super) fn new() -> Self {
        Self([0.0; BLOCK])
    }
}

impl Deref for Room {
    type Target = [f64];

    fn deref(&self) -> &[f64] {
        &self.0
    }
}

impl DerefMut for Room {
    fn deref_mut(&mut self) -> &mut [f64] {
        &mut self.0
    }
}

/// Sets every element.
pub(super) fn fill(y: &mut [f64], value: f64) {
    widest(
        #[inline(always)]
        || y.fill(value),
    );
}

/// Replaces every element by what an operation makes of it and of its companion.
#[inline(always)]
pub(super) fn apply(y: &mut [f64], x: AtPoints<'_>, op: impl Fn(f64, f64) -> f64) {
    widest(
        #[inline(always)]
        || match x {
            AtPoints::One(x) => {
                for y in y.iter_mut() {
                    *y = op(*y, x);
                }
            }
            AtPoints::Each(x) => {
                for (y, &x) in y.iter_mut().zip(x) {
                    *y = op(*y, x);
                }
            }
        },
    );
}

/// Writes what an operation makes of two companions.
#[inline(always)]
pub(super) fn write(y: &mut [f64], a: &[f64], b: AtPoints<'_>, op: impl Fn(f64, f64) -> f64) {
    widest(
        #[inline(always)]
        || match b {
            AtPoints::One(b) => {
                for (y, &a) in y.iter_mut().zip(a) {
                    *y = op(a, b);
                }
            }
            AtPoints::Each(b) => {
                for ((y, &a), &b) in y.iter_mut().zip(a).zip(b) {
                    *y = op(a, b);
                }
            }
        },
    );
}

/// A sum, or a product, that stays one number as long as all that goes into it is.
pub(super) struct Running {
    one: f64,
    each: bool,
    buffer: Room,
}

impl Running {
    pub(super) fn new() -> Self {
        Self { one: 0.0, each: false, buffer: Room::new() }
    }

    pub(super) fn start(&mut self, from: AtPoints<'_>) {
        match from {
            AtPoints::One(one) => (self.one, self.each) = (one, false),
            AtPoints::Each(each) => {
                self.each = true;
                self.buffer[..each.len()].copy_from_slice(each);
            }
        }
    }

    #[inline(always)]
    pub(super) fn apply(&mut self, len: usize, x: AtPoints<'_>, op: impl Fn(f64, f64) -> f64) {
        match (self.each, x) {
            (false, AtPoints::One(x)) => self.one = op(self.one, x),
            _ => {
                if !self.each {
                    fill(&mut self.buffer[..len], self.one);
                    self.each = true;
                }
                apply(&mut self.buffer[..len], x, op);
            }
        }
    }

    pub(super) fn view(&self, len: usize) -> AtPoints<'_> {
        if self.each { AtPoints::Each(&self.buffer[..len]) } else { AtPoints::One(self.one) }
    }
}
