//! Look-up tables of a curve for firmware, each with a largest error that is proven over its whole range.

mod curved;
mod equal;
mod few;
mod on_curve;
mod options;
mod search;
mod store;
mod tube;

pub use options::{Entries, FixedPoint, Goal, MOST_SEGMENTS, Shape, Spacing, TableOptions};
pub use store::Codes;

use super::cells::Cells;
use super::proof::{Piece, largest_error, largest_error_on};
use super::relation::{Direction, Relation};
use super::samples::Samples;
use super::span::Segment;
use crate::curves::SensorCurve;
use crate::error::{Error, Result};
use options::segments_allowed;
use store::Stored;
use tube::Tube;

/// Samples of the curve for each segment while nodes are sought.
const SAMPLES_A_SEGMENT: usize = 64;

/// Part of the samples that is added when a larger table follows a smaller one, so that not every one asks for new ones.
const SPARE: usize = 5;

/// Samples at least: with half as many a table of 17 segments comes out 0.1 % above the best.
const LEAST_SAMPLES: usize = 2048;

/// Samples of a cell on which the curve is enclosed once for all proofs: eight cells a segment, of which few need halving.
const SAMPLES_A_CELL: usize = 8;

/// Cells in which the curvature is looked at for a first guess of the error.
const GUESS_CELLS: usize = 256;

/// Up to this many chords over a curve with inflections all places of their nodes are compared. With more, the one chord
/// in which an inflection lies costs little.
const FEW: usize = 16;

/// Part of the span of the values below which an error is rounding.
const FLOOR: f64 = 1e-13;

/// Readings up to which every one is tried instead of bounded.
const MOST_READINGS: i64 = 1 << 17;

/// Readings that are tried at a time.
const BLOCK: usize = 512;

/// How a largest error was proven.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Proof {
    /// The second derivative of the error is enclosed by interval arithmetic on stretches of the range; what rounding can
    /// add in the firmware is added.
    Curvature,
    /// Every reading that the firmware can get was tried.
    EveryReading,
}

/// A table, as the firmware stores and reads it.
///
/// # Formula
/// Between two nodes, with u = (x − x0)/(x1 − x0): y = y0 + u (y1 − y0 + (1 − u)(bend + skew u)); straight segments have
/// neither bend nor skew. In doubles and in single precision the steps are those of
/// [`super::firmware::segment_f64`] and [`super::firmware::segment_f32`], in integers those of
/// [`super::firmware::line_fixed`] and [`super::firmware::bent_fixed`].
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct LookupTable {
    /// What was asked for.
    pub options: TableOptions,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// Arguments of the nodes, ascending, exactly as stored.
    pub arguments: Vec<f64>,
    /// Values at the nodes, exactly as stored.
    pub values: Vec<f64>,
    /// Bend and skew of every segment; empty for straight ones.
    pub bends: Vec<[f64; 2]>,
    /// The integers, for fixed-point entries.
    pub codes: Option<Codes>,
    /// Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point entries over
    /// every reading that the firmware can get (how far a reading is rounded to its format is not in it).
    pub largest_error: f64,
    /// What rounding in the firmware adds to the error at most; zero where every reading was tried, which shows what it
    /// does add.
    pub rounding: f64,
    /// Unit of the error: K, or that of the signal.
    pub error_unit: &'static str,
    /// How the error was proven.
    pub proof: Proof,
}

/// The smallest table of a curve for an error, or the best one of a number of segments.
///
/// # Formula
/// *Linear, optimal spacing*: continuous straight segments with free nodes and values. For a given error the segments
/// are laid into the tube y ± e, each as far as it goes, which needs the fewest; e is bisected. The best table of
/// all has the same error on every segment, reached in turn above and below. *Linear on the curve*, *quadratic*, *cubic
/// Hermite*: each segment as wide as the error allows, which is best where the derivative that makes the error keeps its
/// sign (up to 16 chords over a curve with inflections: the best of all on a grid, then improved). *Equal spacing*: nodes given; values on the curve, or for
/// [`Shape::Linear`] those of the smallest largest error.
///
/// The largest error is proven, not sampled: the second derivative of the error is enclosed by interval arithmetic on
/// stretches of the range, which are halved until the bound lies within 0.4 % of what the error is seen to reach. Rounding
/// of the entries is in it, and so is the rounding of every step of the firmware's arithmetic. Up to 2¹⁷ readings of a
/// fixed-point argument are all tried instead.
///
/// # Errors
/// [`Error::OutOfRange`] when the range leaves the curve; [`Error::InvalidValue`] when the signal turns inside the range,
/// for numbers that the entries cannot hold, for more nodes than the argument has numbers, and for an error that no table
/// allowed keeps (with the one that is reachable); [`Error::Undetermined`] for a curve without enclosures of its
/// derivatives.
///
/// # Source
/// See `table/tube.rs` for the tube; error of a chord, y'' h²/8, and of a cubic of Hermite, y'''' h⁴/384: P. J. Davis,
/// Interpolation and Approximation (1963), theorem 3.5.1 (from memory).
///
/// # Example
/// ```
/// use calcore::curves::Thermocouple;
/// use calcore::linearization::{Goal, TableOptions, lookup_table};
/// let k = Thermocouple::new("K")?;
/// let table = lookup_table(&k, 0.0, 1000.0, Goal::Segments(16), &TableOptions::default())?;
/// assert_eq!(table.segments(), 16);
/// assert!(table.largest_error < 0.063); // K
/// assert!((table.evaluate(20.644)? - 500.0).abs() <= table.largest_error + 0.01); // E(500 °C) = 20.644 mV
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn lookup_table(
    curve: &dyn SensorCurve,
    low_c: f64,
    high_c: f64,
    goal: Goal,
    options: &TableOptions,
) -> Result<LookupTable> {
    let relation = Relation::new(curve, options.direction, low_c, high_c)?;
    options.check(goal, relation.value_unit())?;
    let mut builder = Builder::new(&relation, options);
    match goal {
        Goal::Segments(count) => builder.table(count),
        Goal::LargestError(error) => builder.smallest(error),
    }
}

/// Proven largest errors of the best tables of 1, 2, … up to a number of segments.
///
/// # Errors
/// As [`lookup_table`].
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::linearization::{TableOptions, error_by_segments};
/// let pt100 = CallendarVanDusen::iec60751(100.0)?;
/// let errors = error_by_segments(&pt100, 0.0, 100.0, 4, &TableOptions::default())?;
/// // Half of the 0.38 K by which a straight line through both ends is off; a quarter of it for twice the segments.
/// assert!((errors[0] - 0.19).abs() < 0.005 && (errors[1] / errors[3] - 4.0).abs() < 0.05);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn error_by_segments(
    curve: &dyn SensorCurve,
    low_c: f64,
    high_c: f64,
    most_segments: usize,
    options: &TableOptions,
) -> Result<Vec<f64>> {
    let relation = Relation::new(curve, options.direction, low_c, high_c)?;
    segments_allowed("most segments", most_segments)?;
    options.check(Goal::Segments(most_segments), relation.value_unit())?;
    let mut builder = Builder::new(&relation, options);
    (1..=most_segments).map(|count| Ok(builder.table(count)?.largest_error)).collect()
}

impl LookupTable {
    /// Number of segments.
    #[must_use]
    pub fn segments(&self) -> usize {
        self.arguments.len() - 1
    }

    /// A segment by its number, as exact numbers.
    #[must_use]
    pub fn segment(&self, i: usize) -> Option<Segment> {
        let (x0, x1) = (*self.arguments.get(i)?, *self.arguments.get(i + 1)?);
        let (y0, y1) = (*self.values.get(i)?, *self.values.get(i + 1)?);
        let [bend, skew] = self.bends.get(i).copied().unwrap_or_default();
        Some(Segment { x0, x1, y0, rise: y1 - y0, bend, skew })
    }

    /// What the firmware finds for an argument: rounded to the format of the argument, and with the arithmetic of the
    /// entries.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] outside the nodes.
    pub fn evaluate(&self, x: f64) -> Result<f64> {
        let (first, last) = (self.arguments[0], self.arguments[self.segments()]);
        let what = match self.options.direction {
            Direction::SignalToTemperature => ("signal", ""),
            Direction::TemperatureToSignal => ("temperature", "°C"),
        };
        let range = crate::Interval { what: what.0, unit: what.1, low: first, high: last };
        let x = range.check(x)?;
        if let (Some(codes), Entries::Fixed { argument, value }) = (&self.codes, self.options.entries) {
            let code = libm::round(x / argument.unit()) as i64;
            return Ok(value.number(Stored::read_code(codes, code)));
        }
        let i = super::firmware::segment_of(&self.arguments, &x);
        let (nodes, values) = ([self.arguments[i], self.arguments[i + 1]], [self.values[i], self.values[i + 1]]);
        let bends = self.bends.get(i).copied().unwrap_or_default();
        Ok(match self.options.entries {
            Entries::F32 => {
                let single = |pair: [f64; 2]| pair.map(|number| number as f32);
                f64::from(super::firmware::segment_f32(x as f32, single(nodes), single(values), single(bends)))
            }
            _ => super::firmware::segment_f64(x, nodes, values, bends),
        })
    }

    /// The integer that the firmware finds for the integer of a reading; beyond the nodes the nearer end answers. Nothing for
    /// a table of floating-point numbers.
    #[must_use]
    pub fn evaluate_code(&self, code: i64) -> Option<i64> {
        let codes = self.codes.as_ref()?;
        let (first, last) = (*codes.arguments.first()?, *codes.arguments.last()?);
        Some(Stored::read_code(codes, code.max(first).min(last)))
    }
}

/// The work on one relation; keeps samples and memory from one number of segments to the next.
struct Builder<'a> {
    relation: &'a Relation<'a>,
    options: &'a TableOptions,
    samples: Samples,
    /// Samples that were asked for.
    sampled: usize,
    /// What the proofs know of the relation between the samples; empty until it is needed.
    cells: Cells,
    tube: Tube,
    /// (∫ √|y''| dx)², once it is known.
    bend: Option<f64>,
    /// Error of the last table at the samples, in parts of its first guess.
    last: f64,
}

impl<'a> Builder<'a> {
    fn new(relation: &'a Relation<'a>, options: &'a TableOptions) -> Self {
        Self {
            relation,
            options,
            samples: Samples::default(),
            sampled: 0,
            cells: Cells::default(),
            tube: Tube::default(),
            bend: None,
            last: 1.0,
        }
    }

    /// Samples enough for a number of segments.
    fn sample(&mut self, count: usize) {
        let least = (SAMPLES_A_SEGMENT * count).max(LEAST_SAMPLES);
        if self.sampled < least {
            // Some more, so that the next number of segments is served too; none for a table alone.
            let wanted = if self.sampled == 0 { least } else { least + least / SPARE };
            self.sampled = wanted;
            self.samples = Samples::new(self.relation, wanted);
            self.cells = Cells::default();
        }
    }

    fn floor(&self) -> f64 {
        let (a, b) = (self.relation.point(self.relation.low_c).1, self.relation.point(self.relation.high_c).1);
        FLOOR * a.abs().max(b.abs()).max((b - a).abs())
    }

    fn table(&mut self, count: usize) -> Result<LookupTable> {
        let ideal = self.ideal(count)?;
        let options = self.options;
        let stored = Stored::new(self.relation, options.shape, options.entries, &ideal)?;
        let (largest_error, rounding, proof) = self.prove(&stored)?;
        Ok(LookupTable {
            options: *options,
            low_c: self.relation.low_c,
            high_c: self.relation.high_c,
            arguments: stored.arguments,
            values: stored.values,
            bends: stored.bends,
            codes: stored.codes,
            largest_error,
            rounding,
            error_unit: self.relation.value_unit(),
            proof,
        })
    }

    /// The fewest segments that keep an error.
    fn smallest(&mut self, error: f64) -> Result<LookupTable> {
        let most = self.options.most_segments;
        let mut least_reached = f64::INFINITY;
        // The error falls about with a power of the number: from below, in steps that the distance from the goal calls for.
        let mut count = 1;
        while count <= most {
            let table = self.table(count)?;
            if table.largest_error <= error {
                return self.fewer(table, error);
            }
            least_reached = least_reached.min(table.largest_error);
            if count == most {
                break;
            }
            let order = match self.options.shape {
                Shape::Linear | Shape::LinearOnCurve => 0.5,
                Shape::Quadratic => 1.0 / 3.0,
                Shape::CubicHermite => 0.25,
            };
            let factor = libm::pow(table.largest_error / error, order).min(16.0);
            count = ((count as f64 * factor) as usize).clamp(count + 1, most);
        }
        Err(Error::InvalidValue {
            what: "largest error",
            value: error,
            unit: self.relation.value_unit(),
            requirement: format!(
                "{most} segments reach {least_reached:.3e} {} with these entries: allow that, more segments or finer \
                 entries",
                self.relation.value_unit()
            ),
        })
    }

    /// Goes down again from a table that keeps the error, as long as fewer segments keep it too.
    fn fewer(&mut self, mut table: LookupTable, error: f64) -> Result<LookupTable> {
        while table.segments() > 1 {
            let fewer = self.table(table.segments() - 1)?;
            if fewer.largest_error > error {
                break;
            }
            table = fewer;
        }
        Ok(table)
    }

    /// The table before its numbers are rounded.
    fn ideal(&mut self, count: usize) -> Result<Vec<Segment>> {
        match (self.options.spacing, self.options.shape) {
            (Spacing::Optimal, Shape::Linear) => Ok(self.free(count)),
            (Spacing::Optimal, Shape::LinearOnCurve) => Ok(self.on_curve(count)),
            (Spacing::Optimal, shape) => Ok(curved::optimal(self.relation, shape, count, self.floor())),
            (Spacing::EqualArgument, shape) => self.equal(count, shape),
        }
    }

    fn free(&mut self, count: usize) -> Vec<Segment> {
        self.sample(count);
        let (guess, floor) = (self.guess(count, 16.0), self.floor());
        let (samples, tube) = (&self.samples, &mut self.tube);
        let e = search::smallest_error(count, 2.0, guess * self.last, floor, |e| tube.lay(samples, e, count));
        tube.lay(samples, e, count);
        if guess > floor && e > floor {
            self.last = e / guess;
        }
        let (first, last) = (samples.x[0], samples.x[samples.last()]);
        let lines = &tube.lines;
        let mut nodes = vec![(first, lines[0].at(first))];
        for pair in lines.windows(2) {
            let before = nodes[nodes.len() - 1].0;
            let x = pair[0].meets(&pair[1]);
            // Two lines that are one have no node between them.
            if x > before && x < last {
                nodes.push((x, pair[0].at(x)));
            }
        }
        nodes.push((last, lines[lines.len() - 1].at(last)));
        straight(&nodes)
    }

    fn on_curve(&mut self, count: usize) -> Vec<Segment> {
        self.sample(count);
        let (guess, floor) = (self.guess(count, 8.0), self.floor());
        let samples = &self.samples;
        let mut positions = Vec::new();
        let e = search::smallest_error(count, 2.0, guess * self.last, floor, |e| {
            on_curve::lay(samples, e, count, &mut positions)
        });
        on_curve::lay(samples, e, count, &mut positions);
        if guess > floor && e > floor {
            self.last = e / guess;
        }
        if (2..=FEW).contains(&count)
            && samples.have_inflection()
            && let Some((others, off)) = few::nodes(samples, count, e)
            && off < e
        {
            positions = others;
        }
        let nodes: Vec<(f64, f64)> =
            positions.iter().map(|&p| self.relation.point(on_curve::temperature(samples, p))).collect();
        straight(&nodes)
    }

    fn equal(&mut self, count: usize, shape: Shape) -> Result<Vec<Segment>> {
        let (low, high) = self.relation.arguments();
        let nodes = equal_nodes(low, high, count, self.options.entries);
        if let Shape::Linear = shape {
            self.sample(nodes.len() - 1);
            // Every segment needs samples of its own.
            let each = SAMPLES_A_SEGMENT / 4;
            let mut t_c = self.samples.t_c.clone();
            for x in nodes.windows(2) {
                t_c.extend(
                    (0..=each).map(|i| self.relation.temperature(x[0] + (x[1] - x[0]) * i as f64 / each as f64)),
                );
            }
            t_c.sort_by(f64::total_cmp);
            t_c.dedup();
            let samples = Samples::at(self.relation, t_c);
            let start = self.guess(count, 8.0);
            let (values, _) = equal::values(&samples, &nodes, start, self.floor());
            let nodes: Vec<(f64, f64)> = nodes.into_iter().zip(values).collect();
            return Ok(straight(&nodes));
        }
        Ok(nodes
            .windows(2)
            .map(|x| {
                let (a, b) = (self.relation.temperature(x[0]), self.relation.temperature(x[1]));
                let (segment, _) = curved::segment(self.relation, shape, a.min(b), a.max(b));
                segment
            })
            .collect())
    }

    /// Asymptotic error of a number of segments: (∫ √|y''| dx)²/(divisor N²).
    ///
    /// # Source
    /// C. de Boor, A Practical Guide to Splines (1978), chapter III (chords, divisor 8; from memory); 16 for free values,
    /// whose error has both signs.
    fn guess(&mut self, count: usize, divisor: f64) -> f64 {
        let relation = self.relation;
        let bend = *self.bend.get_or_insert_with(|| bend(relation));
        bend / (divisor * (count * count) as f64)
    }

    /// The largest error, what rounding has in it, and how it was proven.
    fn prove(&mut self, stored: &Stored) -> Result<(f64, f64, Proof)> {
        if let (Some(codes), Entries::Fixed { argument, value }) = (&stored.codes, self.options.entries) {
            let (low, high) = self.relation.arguments();
            let first = libm::ceil(low / argument.unit()) as i64;
            let last = libm::floor(high / argument.unit()) as i64;
            if last - first < MOST_READINGS {
                return Ok((self.try_all(codes, argument, value, first, last), 0.0, Proof::EveryReading));
            }
        }
        let ends: Vec<f64> = stored.arguments.iter().map(|&x| self.relation.temperature(x)).collect();
        let count = stored.segments();
        let pieces = (0..count).map(|i| {
            // The first and the last segment end with the range, wherever rounding has put their nodes.
            let (low, high) = if self.relation.ascends() { (0, count) } else { (count, 0) };
            let end = |k: usize| match k {
                k if k == low => self.relation.low_c,
                k if k == high => self.relation.high_c,
                k => ends[k],
            };
            let (a, b) = (end(i), end(i + 1));
            let approximation = stored.segment(i);
            let rounding = rounding(&approximation, self.options.entries);
            Piece { low_c: a.min(b), high_c: a.max(b), approximation, rounding }
        });
        let added = pieces.clone().map(|piece| piece.rounding).fold(0.0, f64::max);
        let largest_error = if self.samples.x.is_empty() {
            largest_error(self.relation, pieces)?
        } else {
            if self.cells.is_empty() {
                self.cells = Cells::new(self.relation, &self.samples, SAMPLES_A_CELL);
            }
            largest_error_on(self.relation, &self.cells, pieces)?
        };
        Ok((largest_error, added, Proof::Curvature))
    }

    /// Largest error over all readings of a range.
    fn try_all(&self, codes: &Codes, argument: FixedPoint, value: FixedPoint, first: i64, last: i64) -> f64 {
        let (mut x, mut y) = ([0.0; BLOCK], [0.0; BLOCK]);
        let mut most = 0.0f64;
        let mut code = first;
        while code <= last {
            let n = BLOCK.min((last - code + 1) as usize);
            for (k, x) in x[..n].iter_mut().enumerate() {
                *x = argument.number(code + k as i64);
            }
            match self.relation.direction {
                Direction::SignalToTemperature => self.relation.curve.raw_temperature_block(&x[..n], &mut y[..n]),
                Direction::TemperatureToSignal => self.relation.curve.raw_signal_block(&x[..n], &mut y[..n]),
            }
            for (k, y) in y[..n].iter().enumerate() {
                let error = (value.number(Stored::read_code(codes, code + k as i64)) - y).abs();
                most = if error <= most { most } else { error };
            }
            code += n as i64;
        }
        most
    }
}

/// (∫ √|y''| dx)² over the range.
fn bend(relation: &Relation<'_>) -> f64 {
    let step = (relation.high_c - relation.low_c) / GUESS_CELLS as f64;
    let t_c: Vec<f64> = (0..=GUESS_CELLS).map(|i| (relation.low_c + step * i as f64).min(relation.high_c)).collect();
    let mut slopes = vec![0.0; t_c.len()];
    relation.curve.raw_slope_block(&t_c, &mut slopes);
    let part = |pair: &[f64]| {
        let bend = ((pair[1] - pair[0]) / step).abs();
        let scaled = match relation.direction {
            Direction::SignalToTemperature => bend / pair[1].abs().max(pair[0].abs()),
            Direction::TemperatureToSignal => bend,
        };
        step * scaled.sqrt()
    };
    let sum: f64 = slopes.windows(2).map(part).sum();
    sum * sum
}

/// Straight segments between nodes.
fn straight(nodes: &[(f64, f64)]) -> Vec<Segment> {
    let segment = |pair: &[(f64, f64)]| {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        Segment { x0, x1, y0, rise: y1 - y0, bend: 0.0, skew: 0.0 }
    };
    nodes.windows(2).map(segment).collect()
}

/// Nodes at equal steps; with fixed-point entries the step is a power of two of the unit and the last one may be shorter.
fn equal_nodes(low: f64, high: f64, count: usize, entries: Entries) -> Vec<f64> {
    let Entries::Fixed { argument, .. } = entries else {
        let node = |i: usize| if i == count { high } else { low + (high - low) * i as f64 / count as f64 };
        return (0..=count).map(node).collect();
    };
    let (first, last) = (libm::floor(low / argument.unit()), libm::ceil(high / argument.unit()));
    let mut step = 1.0;
    while step * (count as f64) < last - first {
        step *= 2.0;
    }
    let mut nodes = Vec::new();
    let mut code = first;
    while code < last {
        nodes.push(code * argument.unit());
        code += step;
    }
    nodes.push(last * argument.unit());
    nodes
}

/// What rounding in the firmware can add to the error of a segment.
fn rounding(segment: &Segment, entries: Entries) -> f64 {
    let bent = segment.bend.abs() + segment.skew.abs();
    let floating = |unit: f64| {
        // The last sum is off by half a unit in its last place; u by three roundings, the slope inside by three more.
        let y = segment.y0.abs().max((segment.y0 + segment.rise).abs()) + bent;
        let last_place = libm::ldexp(unit, libm::ilogb(y.max(f64::MIN_POSITIVE)));
        last_place + unit * (6.0 * segment.rise.abs() + 14.0 * bent)
    };
    match entries {
        Entries::F64 => floating(0.5 * f64::EPSILON),
        Entries::F32 => floating(0.5 * f64::from(f32::EPSILON)),
        Entries::Fixed { value, .. } if bent == 0.0 => 0.5 * value.unit(),
        // Half a unit for the result and for the product below it, an eighth for the one below that; u is off by half
        // of 2^-16 of the segment.
        Entries::Fixed { value, .. } => {
            1.125 * value.unit() + libm::ldexp(segment.rise.abs() + bent, -(super::firmware::PLACE_BITS as i32) - 1)
        }
    }
}
