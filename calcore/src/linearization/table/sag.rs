//! How far a line from a point reaches beside samples without an inflection: the quick way, one division for each sample.
//!
//! On the hollow side of the curve a line from a point of it (or of a wall beside it) may turn until it touches the farther
//! wall, a sag away; then it ends where it meets the nearer wall again. The touch is the least slope of the lines to the
//! farther wall; the line is at its end as soon as the slope to the nearer wall exceeds that.

use crate::linearization::samples::Samples;

/// Which way samples bend, and how far they go on to do so.
#[derive(Debug, Clone, Copy)]
struct Run {
    /// 1 where the slope rises, −1 where it falls.
    sign: f64,
    /// Last sample up to which it is so.
    end: usize,
}

/// The runs of all samples.
#[derive(Debug, Default)]
pub(super) struct Runs {
    runs: Vec<Run>,
}

/// A line that has reached its end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reached {
    /// 1 if the farther wall lies above, −1 if below.
    pub(super) sign: f64,
    pub(super) slope: f64,
    /// Sample at which it touches the farther wall.
    pub(super) touch: usize,
    /// First sample beyond its end.
    pub(super) beyond: usize,
}

impl Runs {
    pub(super) fn new(samples: &Samples) -> Self {
        let last = samples.last();
        let slope = |i: usize| (samples.y[i + 1] - samples.y[i]) / (samples.x[i + 1] - samples.x[i]);
        let mut runs = vec![Run { sign: 0.0, end: last }; last + 1];
        let mut after = if last > 0 { slope(last - 1) } else { 0.0 };
        for i in (0..last.saturating_sub(1)).rev() {
            let here = slope(i);
            let sign = if after > here { 1.0 } else { -1.0 };
            after = here;
            let next = runs[i + 1];
            // The bend at the sample between is what counts.
            runs[i] = if next.sign * sign >= 0.0 { Run { sign, end: next.end } } else { Run { sign, end: i + 2 } };
        }
        Self { runs }
    }

    /// The line from a point on or before the sample `first`, on the nearer wall; nothing where an inflection is met, or the
    /// end of the samples.
    #[inline]
    pub(super) fn reach(&self, samples: &Samples, from: (f64, f64), first: usize, sag: f64) -> Option<Reached> {
        // The bend between the sample before and the next one counts too.
        let Run { sign, end } = *self.runs.get(first.saturating_sub(1))?;
        if sign == 0.0 {
            return None;
        }
        let (mut least, mut touch) = (f64::INFINITY, first);
        let (x, y) = (samples.x.get(first..=end)?, samples.y.get(first..=end)?);
        for (i, (x, y)) in x.iter().zip(y).enumerate() {
            let (over, dy) = (1.0 / (x - from.0), sign * (y - from.1));
            if dy * over > least {
                return (i > 1).then_some(Reached { sign, slope: sign * least, touch, beyond: first + i });
            }
            let to_wall = (dy + sag) * over;
            // Beside the point itself nothing limits.
            if to_wall < least && x - from.0 > 0.0 {
                (least, touch) = (to_wall, first + i);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Witness: by hand. Beside y = x² a chord of width w sags by w²/4; a line from the origin with a sag of 1 touches at
    // x = 1 with slope 2 and ends at x = 2. Upside down the same.
    #[test]
    fn a_chord_of_a_parabola() {
        let x: Vec<f64> = (0..=400).map(|i| f64::from(i) / 100.0).collect();
        for sign in [1.0, -1.0] {
            let y: Vec<f64> = x.iter().map(|x| sign * x * x).collect();
            let samples = Samples { t_c: x.clone(), x: x.clone(), y };
            let found = Runs::new(&samples).reach(&samples, (0.0, 0.0), 1, 1.0).unwrap();
            assert_eq!((found.touch, found.sign), (100, sign));
            assert!((found.slope - sign * 2.0).abs() < 1e-12 && (200..=201).contains(&found.beyond), "{found:?}");
        }
        // x³ has an inflection at 0, in front of which the line does not end.
        let x: Vec<f64> = (-200..=200).map(|i| f64::from(i) / 100.0).collect();
        let y = x.iter().map(|x| x * x * x).collect();
        let samples = Samples { t_c: x.clone(), x, y };
        assert!(Runs::new(&samples).reach(&samples, (-0.5, -0.125), 151, 1.0).is_none());
    }
}
