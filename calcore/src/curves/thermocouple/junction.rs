//! The reference junction, for one value and for slices.

use super::{Thermocouple, segments};
use crate::curves::handling::first_refusal;
use crate::curves::{Handling, Invalid, SensorCurve};
use crate::error::{Error, Result, same_length, text};
use crate::interval::Interval;

/// Elements worked on at a time: emf, sum and temperature together stay in the first two levels of cache, and the set-up
/// of the kernel does not count.
const CHUNK: usize = 2048;

/// Temperature of the reference junction beside a slice, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReferenceJunction<'a> {
    /// One for all elements.
    At(f64),
    /// One for each element.
    Each(&'a [f64]),
}

impl ReferenceJunction<'_> {
    /// Checks length and range; over elements as `invalid` says.
    fn check(&self, range: Interval, length: usize, invalid: Invalid) -> Result<()> {
        match *self {
            Self::At(t_c) => range.check(t_c).map(|_| ()),
            Self::Each(t_c) => {
                same_length("reference junction", length, t_c.len())?;
                if invalid == Invalid::Nan || t_c.iter().all(|&t| range.contains(t)) {
                    return Ok(());
                }
                Err(first_refusal(range, t_c))
            }
        }
    }

    /// Temperatures of the elements from one on.
    fn from(&self, start: usize) -> Self {
        match *self {
            Self::At(t_c) => Self::At(t_c),
            Self::Each(t_c) => Self::Each(t_c.get(start..).unwrap_or_default()),
        }
    }
}

impl Thermocouple {
    /// [`Thermocouple::emf`] for every temperature of a slice.
    ///
    /// # Errors
    /// As for one value, at the first offending element unless `handling` asks for NaN (a reference junction given as one
    /// value must be valid all the same); [`Error::LengthMismatch`] for slices of different length. Extrapolation is
    /// refused with [`Error::InvalidValue`]. After an error the contents of the output are unspecified.
    pub fn emf_slice(
        &self,
        t_c: &[f64],
        reference_junction_c: ReferenceJunction<'_>,
        mv: &mut [f64],
        handling: Handling,
    ) -> Result<()> {
        reference_junction_c.check(self.junction_range(), t_c.len(), handling.invalid)?;
        self.signal_slice(t_c, mv, handling)?;
        if reference_junction_c != ReferenceJunction::At(0.0) {
            self.add_junction(reference_junction_c, mv, |mv, junction| mv - junction);
        }
        Ok(())
    }

    /// [`Thermocouple::temperature`] for every emf of a slice.
    ///
    /// # Errors
    /// As [`Thermocouple::emf_slice`]; for type B the element of an emf that two temperatures give is named in the text of
    /// [`Error::InvalidValue`].
    pub fn temperature_slice(
        &self,
        mv: &[f64],
        reference_junction_c: ReferenceJunction<'_>,
        t_c: &mut [f64],
        handling: Handling,
    ) -> Result<()> {
        same_length("output", mv.len(), t_c.len())?;
        reference_junction_c.check(self.junction_range(), mv.len(), handling.invalid)?;
        let plain = reference_junction_c == ReferenceJunction::At(0.0);
        let mut sums = [0.0; CHUNK];
        for (i, (mv_chunk, out)) in mv.chunks(CHUNK).zip(t_c.chunks_mut(CHUNK)).enumerate() {
            let emfs = if plain {
                mv_chunk
            } else {
                let sums = &mut sums[..mv_chunk.len()];
                sums.copy_from_slice(mv_chunk);
                self.add_junction(reference_junction_c.from(i * CHUNK), sums, |mv, junction| mv + junction);
                sums
            };
            if self.all_clear(emfs) && self.solve_block(emfs, out) {
                continue;
            }
            let mut refused = false;
            for (t, &emf) in out.iter_mut().zip(emfs) {
                *t = self.invert(emf).unwrap_or_else(|_| {
                    refused = true;
                    f64::NAN
                });
            }
            if refused && handling.invalid == Invalid::Raise {
                return Err(self.first_refused(mv, reference_junction_c, handling));
            }
        }
        Ok(())
    }

    /// The range of a reference junction: the whole range of the type.
    pub(super) fn junction_range(&self) -> Interval {
        Interval { what: "reference junction temperature", ..self.kind.range() }
    }

    /// Emf of the reference junction against 0 °C; nothing for exactly 0 °C.
    #[inline]
    pub(super) fn junction_emf(&self, reference_junction_c: f64) -> Result<f64> {
        if reference_junction_c == 0.0 {
            return Ok(0.0);
        }
        Ok(self.whole_signal(self.junction_range().check(reference_junction_c)?))
    }

    /// Combines every emf with that of its reference junction; NaN for a junction out of range.
    fn add_junction(&self, junction_c: ReferenceJunction<'_>, mv: &mut [f64], combine: impl Fn(f64, f64) -> f64) {
        match junction_c {
            ReferenceJunction::At(t_c) => {
                let junction = if t_c == 0.0 { 0.0 } else { self.whole_signal(t_c) };
                for emf in mv {
                    *emf = combine(*emf, junction);
                }
            }
            ReferenceJunction::Each(t_c) => {
                let map = &self.kind.data().segments.forward;
                let mut junctions = [0.0; CHUNK];
                for (mv, t_c) in mv.chunks_mut(CHUNK).zip(t_c.chunks(CHUNK)) {
                    segments::values(map, segments::Width::widest(), t_c, &mut junctions);
                    for ((emf, &junction), &t) in mv.iter_mut().zip(&junctions).zip(t_c) {
                        *emf = combine(*emf, if t == 0.0 { 0.0 } else { junction });
                    }
                }
            }
        }
    }

    /// The error for the first emf that gives no temperature, with its place.
    #[cold]
    fn first_refused(&self, mv: &[f64], junction_c: ReferenceJunction<'_>, handling: Handling) -> Error {
        // One at a time: no memory is needed for an error.
        let sum = |i: usize, emf: f64| {
            let mut sum = [emf];
            if junction_c != ReferenceJunction::At(0.0) {
                self.add_junction(junction_c.from(i), &mut sum, |mv, junction| mv + junction);
            }
            sum[0]
        };
        let mut refused = mv.iter().enumerate().filter_map(|(i, &emf)| Some((i, self.invert(sum(i, emf)).err()?)));
        let Some((index, error)) = refused.next() else { return self.signal_range().refusal(f64::NAN) };
        let error = error.at_index(index, 1 + refused.count());
        match error {
            Error::InvalidValue { what, value, unit, requirement } => {
                Error::InvalidValue { what, value, unit, requirement: text!("{requirement} (element {index})") }
            }
            error if handling.extrapolate => self.not_extrapolated(error),
            error => error,
        }
    }
}
