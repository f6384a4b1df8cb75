//! Samples of a relation, close together where it bends: a segment of an optimal table holds as many as any other.

use super::relation::{Direction, Relation};

/// Cells in which the curvature is looked at.
const CELLS: usize = 512;

/// Part of the samples that is spread evenly over the range, so that none of it is left bare where the curve is straight.
const EVEN_PART: f64 = 0.1;

/// Points of a relation, `x` ascending.
#[derive(Debug, Default)]
pub(crate) struct Samples {
    pub(crate) t_c: Vec<f64>,
    pub(crate) x: Vec<f64>,
    pub(crate) y: Vec<f64>,
}

impl Samples {
    /// `count` points; the density follows the `root`-th root of the error that a piece of the given width makes.
    ///
    /// A chord over dt is off by y'' dx²/8, with y'' dx² = −s''/s' dt² towards the temperature and s'' dt² towards the
    /// signal: points in proportion to the square root of that.
    pub(crate) fn new(relation: &Relation<'_>, count: usize) -> Self {
        let count = count.max(2);
        let (low, width) = (relation.low_c, relation.high_c - relation.low_c);
        let step = width / CELLS as f64;
        let edges: Vec<f64> =
            (0..=CELLS).map(|i| if i == CELLS { relation.high_c } else { low + step * i as f64 }).collect();
        let mut slopes = vec![0.0; CELLS + 1];
        relation.curve.raw_slope_block(&edges, &mut slopes);
        let bend = |pair: &[f64]| {
            let curvature = (pair[1] - pair[0]).abs() / step;
            let scaled = match relation.direction {
                Direction::SignalToTemperature => curvature / pair[0].abs().max(pair[1].abs()),
                Direction::TemperatureToSignal => curvature,
            };
            if scaled.is_finite() { scaled.sqrt() } else { 0.0 }
        };
        let density: Vec<f64> = slopes.windows(2).map(bend).collect();
        let total: f64 = density.iter().sum();
        let even = if total > 0.0 { EVEN_PART * total / CELLS as f64 } else { 1.0 };
        let mut sum = Vec::with_capacity(CELLS + 1);
        let mut so_far = 0.0;
        sum.push(so_far);
        for d in &density {
            so_far += d + even;
            sum.push(so_far);
        }
        let mut t_c = Vec::with_capacity(count);
        let mut cell = 0;
        for i in 0..count {
            let goal = so_far * i as f64 / (count - 1) as f64;
            while cell + 1 < CELLS && sum[cell + 1] <= goal {
                cell += 1;
            }
            let part = (goal - sum[cell]) / (sum[cell + 1] - sum[cell]);
            t_c.push((low + step * (cell as f64 + part)).clamp(relation.low_c, relation.high_c));
        }
        t_c[0] = relation.low_c;
        t_c[count - 1] = relation.high_c;
        Self::at(relation, t_c)
    }

    /// The points at given temperatures, ascending.
    pub(crate) fn at(relation: &Relation<'_>, mut t_c: Vec<f64>) -> Self {
        if !relation.ascends() {
            t_c.reverse();
        }
        let mut signal = vec![0.0; t_c.len()];
        relation.curve.raw_signal_block(&t_c, &mut signal);
        let (x, y) = match relation.direction {
            Direction::SignalToTemperature => (signal, t_c.clone()),
            Direction::TemperatureToSignal => (t_c.clone(), signal),
        };
        let mut samples = Self { t_c, x, y };
        samples.keep_ascending();
        samples
    }

    /// Leaves out points whose argument does not rise (two that round to one, or a step back at a joint of the curve).
    fn keep_ascending(&mut self) {
        if self.x.windows(2).all(|x| x[1] > x[0]) {
            return;
        }
        let mut kept = 0;
        for i in 0..self.x.len() {
            if kept == 0 || self.x[i] > self.x[kept - 1] {
                self.t_c[kept] = self.t_c[i];
                self.x[kept] = self.x[i];
                self.y[kept] = self.y[i];
                kept += 1;
            }
        }
        self.t_c.truncate(kept);
        self.x.truncate(kept);
        self.y.truncate(kept);
    }

    /// Whether the samples bend both ways.
    pub(crate) fn have_inflection(&self) -> bool {
        let (mut up, mut down) = (0.0f64, 0.0f64);
        let slope = |i: usize| (self.y[i + 1] - self.y[i]) / (self.x[i + 1] - self.x[i]);
        let mut before = slope(0);
        for i in 1..self.last() {
            let here = slope(i);
            if here > before {
                up += here - before
            } else {
                down += before - here
            }
            before = here;
        }
        // What rounding bends is far less.
        up.min(down) > 1e-6 * up.max(down)
    }

    pub(crate) fn last(&self) -> usize {
        self.x.len() - 1
    }
}
