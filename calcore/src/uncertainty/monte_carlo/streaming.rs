//! Runs too long to keep all values: moments by blocks, intervals from a fine histogram.

use super::blocks::Moments;
use super::engine::{Engine, Job, Store, Tell};
use super::interval::of_groups;
use super::result::{Histogram, MonteCarlo};
use super::{BLOCK_TRIALS, Progress, Settings, fill};
use crate::error::{Error, Result};

/// Classes of the fine histogram.
const CLASSES: usize = 1 << 20;

/// Trials that set its range.
pub(super) const PILOT_TRIALS: usize = 1_000_000;

/// Counts in equal classes, and beyond them to both sides (first and last).
struct Counts {
    low: f64,
    width: f64,
    counts: Vec<u64>,
}

impl Counts {
    fn new(low: f64, high: f64) -> Self {
        Self { low, width: (high - low) / CLASSES as f64, counts: vec![0; CLASSES + 2] }
    }

    fn add(&mut self, values: &[f64]) {
        let scale = if self.width > 0.0 { 1.0 / self.width } else { 0.0 };
        for &x in values {
            let place = (x - self.low) * scale;
            // Casts from float to integer saturate, so that whatever lies below goes into 0.
            let class = if place < 0.0 { 0 } else { (place as usize).min(CLASSES) + 1 };
            self.counts[class] += 1;
        }
    }

    /// Upper edge of a class; class 0 lies below the range.
    fn edge(&self, class: usize) -> f64 {
        self.low + self.width * class as f64
    }
}

/// Range of the histogram from the pilot values: all of them and a quarter more to both sides, unless far-off values
/// would make the classes coarse where the bulk lies.
fn range(values: &mut [f64], probability: f64) -> (f64, f64) {
    values.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| values[((share * (values.len() - 1) as f64) as usize).min(values.len() - 1)];
    let margin = 0.25 * (at(1.0) - at(0.0));
    let (quarter, three_quarters) = (at(0.25), at(0.75));
    let reach = 50.0 * (three_quarters - quarter);
    let beyond = 0.1 * (1.0 - probability);
    let low = (at(0.0) - margin).max((quarter - reach).min(at(beyond)));
    let high = (at(1.0) + margin).min((three_quarters + reach).max(at(1.0 - beyond)));
    (low, high)
}

/// Counts the values of each block and lets them go.
struct Counting {
    trials: u64,
    low: f64,
    high: f64,
}

impl Store for Counting {
    type Own = (Vec<f64>, Counts);

    fn own(&self) -> Self::Own {
        (vec![0.0; BLOCK_TRIALS], Counts::new(self.low, self.high))
    }

    fn length(&self, block: usize) -> usize {
        (self.trials - (block * BLOCK_TRIALS) as u64).min(BLOCK_TRIALS as u64) as usize
    }

    fn block(
        &self,
        (values, counts): &mut Self::Own,
        block: usize,
        write: impl FnOnce(&mut [f64]) -> Result<Moments>,
    ) -> Result<Moments> {
        let values = &mut values[..self.length(block)];
        let moments = write(values)?;
        counts.add(values);
        Ok(moments)
    }
}

pub(super) fn run(
    mut engine: impl Engine,
    job: &Job<'_>,
    settings: &Settings,
    pilot_trials: usize,
    tell: &mut Tell<'_>,
) -> Result<MonteCarlo> {
    let p = settings.coverage_probability;
    let total = Progress { done: 0, total: settings.trials };
    let mut pilot = vec![0.0; pilot_trials.min(settings.trials as usize)];
    let mut moments = fill(&mut engine, job, 0, &mut pilot, total, tell)?;
    // The scatter of the ends of the shortest interval, carried to all trials by the cube-root law.
    let growth = libm::cbrt(pilot.len() as f64 / settings.trials as f64);
    let (both, shortest_error) = of_groups(&pilot, p, job.threads);
    let shortest_error = shortest_error.map(|e| e * growth);
    let growth = (pilot.len() as f64 / settings.trials as f64).sqrt();
    let symmetric_error = both.symmetric_error.map(|e| e * growth);
    let (low, high) = range(&mut pilot, p);
    let mut all = Counts::new(low, high);
    all.add(&pilot);
    let first = pilot.len() / BLOCK_TRIALS;
    let blocks = settings.trials.div_ceil(BLOCK_TRIALS as u64) as usize;
    let store = Counting { trials: settings.trials, low, high };
    let told = Progress { done: pilot.len() as u64, total: settings.trials };
    let (more, counts) = engine.run(job, first..blocks, &store, told, tell)?;
    moments.extend(more);
    for (_, counts) in counts {
        for (sum, count) in all.counts.iter_mut().zip(counts.counts) {
            *sum += count;
        }
    }
    let (interval, interval_symmetric) = ends(&all, settings.trials, p)?;
    Ok(MonteCarlo {
        interval,
        interval_standard_error: shortest_error,
        interval_symmetric,
        interval_symmetric_standard_error: symmetric_error,
        resolution: all.width,
        histogram: coarse(&all, settings.histogram_classes),
        ..MonteCarlo::from_moments(&moments, settings.trials, settings)
    })
}

/// Both intervals from the counts, their ends being edges of classes.
fn ends(all: &Counts, trials: u64, probability: f64) -> Result<([f64; 2], [f64; 2])> {
    let mut below = Vec::with_capacity(all.counts.len());
    let mut sum = 0u64;
    for count in &all.counts {
        sum += count;
        below.push(sum); // values up to edge(class)
    }
    let wanted = (probability * trials as f64).round() as u64;
    let outside = trials - wanted;
    let class_of = |rank: u64| below.partition_point(|&b| b < rank);
    let (low, high) = (class_of(outside / 2), class_of(trials - outside / 2));
    if low == 0 || high > CLASSES {
        return Err(Error::NoConvergence {
            what: "coverage interval of a run too long to keep (it lies beyond the first million trials)",
            steps: trials.min(usize::MAX as u64) as usize,
            last: all.edge(low.min(CLASSES)),
            unit: "",
        });
    }
    let mut best = (usize::MAX, 0, 0);
    let mut end = 0;
    for start in 0..=CLASSES {
        while end <= CLASSES && below[end] - below[start] <= wanted {
            end += 1;
        }
        if end > CLASSES {
            break;
        }
        if end - start < best.0 {
            best = (end - start, start, end);
        }
    }
    Ok(([all.edge(best.1), all.edge(best.2)], [all.edge(low), all.edge(high)]))
}

/// The fine classes that hold values, joined to as many as were asked for.
fn coarse(all: &Counts, classes: usize) -> Option<Histogram> {
    let inside = &all.counts[1..=CLASSES];
    let first = inside.iter().position(|&c| c > 0)?;
    let last = inside.iter().rposition(|&c| c > 0)?;
    if classes == 0 {
        return None;
    }
    let step = (last + 1 - first).div_ceil(classes);
    let counts: Vec<u64> = inside[first..=last].chunks(step).map(|c| c.iter().sum()).collect();
    let high = all.edge(first + step * counts.len());
    Some(Histogram { low: all.edge(first), high, counts })
}

#[cfg(test)]
mod tests {
    use super::super::draws::Sampler;
    use super::super::engine::{Everywhere, Here};
    use super::*;
    use crate::uncertainty::{Distribution, Input};
    use std::ops::ControlFlow;

    fn run_with(threads: usize, distribution: Distribution) -> MonteCarlo {
        let inputs = [Input::new("x", distribution)];
        let job = Job { sampler: Sampler::new(&inputs, None, &[], 5).unwrap(), inputs: &inputs, threads };
        let settings = Settings { trials: 124_000, seed: 5, ..Settings::default() };
        let go_on = &mut |_| ControlFlow::Continue(());
        let everywhere = Everywhere(|c: &[&[f64]], out: &mut [f64]| {
            out.copy_from_slice(c[0]);
            Ok(())
        });
        let found = run(everywhere, &job, &settings, 50_000, go_on).unwrap();
        let here = Here(|c: &mut [Vec<f64>], out: &mut [f64]| {
            out.copy_from_slice(&c[0]);
            Ok(())
        });
        assert_eq!(run(here, &job, &settings, 50_000, go_on).unwrap(), found);
        found
    }

    #[test]
    fn agrees_with_keeping_everything_within_its_resolution() {
        let normal = Distribution::normal(10.0, 2.0).unwrap();
        let streamed = run_with(2, normal);
        assert_eq!(streamed, run_with(1, normal));
        let settings = Settings { trials: 124_000, seed: 5, ..Settings::default() };
        let copy = |c: &[&[f64]], out: &mut [f64]| {
            out.copy_from_slice(c[0]);
            Ok(())
        };
        let kept = super::super::monte_carlo(copy, &[Input::new("x", normal)], None, &settings).unwrap();
        assert_eq!((streamed.mean, streamed.standard_uncertainty), (kept.mean, kept.standard_uncertainty));
        assert!(streamed.resolution > 0.0 && streamed.resolution < 3e-5 * kept.standard_uncertainty);
        for i in 0..2 {
            assert!((streamed.interval_symmetric[i] - kept.interval_symmetric[i]).abs() <= streamed.resolution);
        }
        // The shortest interval may be another one, but not a longer one by more than two classes.
        let width = |m: &MonteCarlo| m.interval[1] - m.interval[0];
        assert!((width(&streamed) - width(&kept)).abs() <= 2.0 * streamed.resolution);
        let histogram = streamed.histogram.unwrap();
        assert_eq!(histogram.counts.iter().sum::<u64>(), 124_000);
    }

    #[test]
    fn far_off_values_do_not_coarsen_the_classes() {
        // Cauchy: the interval is ±12.706 (Student with 1 degree of freedom), the largest of 50 000 values about 16 000.
        let streamed = run_with(2, Distribution::student_t(0.0, 1.0, 1.0).unwrap());
        for (end, error) in streamed.interval_symmetric.iter().zip(streamed.interval_symmetric_standard_error) {
            assert!((end.abs() - 12.706_204_736).abs() < 4.0 * error + streamed.resolution, "{streamed:?}");
        }
        assert!(streamed.resolution < 1e-2);
    }
}
