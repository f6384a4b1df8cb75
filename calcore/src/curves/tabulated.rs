//! A user's own table of temperature and signal.

use super::{Joint, SensorCurve};
use crate::constants::temperature::ABSOLUTE_ZERO_C;
use crate::error::{Error, Result, finite, same_length};
use crate::interval::Interval;
use crate::num::enclosure::Enclosure;
use crate::num::jet::Jet;
use crate::num::root::bracketed_newton;

/// How a table is read between its rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Interpolation {
    /// Straight lines.
    #[default]
    Linear,
    /// Cubic pieces with a continuous slope that never turn between two rows.
    MonotoneCubic,
}

impl Interpolation {
    /// Reads the names `linear` and `monotone_cubic`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "linear" => Ok(Self::Linear),
            "monotone_cubic" => Ok(Self::MonotoneCubic),
            _ => Err(Error::UnknownName {
                what: "interpolation",
                name: name.into(),
                expected: "\"linear\" or \"monotone_cubic\"".into(),
            }),
        }
    }
}

/// A sensor by a table.
///
/// # Formula
/// Between two rows either the straight line, or the cubic with the slopes of Fritsch and Butland at the rows: the
/// weighted harmonic mean of the slopes of the two neighbouring lines, at the ends a one-sided formula of three points
/// that keeps the sign. Either way the signal rises or falls all over the table as its rows do, and the inverse is
/// exact: it is the temperature at which the interpolation itself gives the signal.
///
/// A straight line between rows a step h apart is off by at most h²/8 times the largest curvature of the true curve.
/// The slope at a row of a linear table is that of the line above it, at the last row of the line below it.
///
/// # Source
/// F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246 (monotone pieces); F. N. Fritsch, J. Butland,
/// SIAM J. Sci. Stat. Comput. 5 (1984) 300-304 (slopes).
///
/// # Example
/// ```
/// use calcore::curves::{Interpolation, SensorCurve, TabulatedCurve};
/// let table = TabulatedCurve::new(&[0.0, 100.0, 200.0], &[100.0, 138.51, 175.86], Interpolation::Linear)?;
/// assert_eq!(table.signal(50.0)?, 119.255);
/// assert_eq!(table.temperature(119.255)?, 50.0);
/// let wrong = TabulatedCurve::new(&[0.0, 10.0, 20.0], &[1.0, 3.0, 3.0], Interpolation::Linear).unwrap_err();
/// assert!(wrong.to_string().contains("row 2"));
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct TabulatedCurve {
    /// Ascending.
    t_c: Vec<f64>,
    signal: Vec<f64>,
    /// Slope of the curve at every row; for straight lines that of the line above it.
    slopes: Vec<f64>,
    interpolation: Interpolation,
    signal_range: Interval,
}

impl TabulatedCurve {
    /// A curve by its rows, in rising or falling order of temperature, °C; the signal in any unit.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::TooFewPoints`] for fewer than two rows; [`Error::NotFinite`];
    /// [`Error::InvalidValue`] where the temperature or the signal does not go on in one direction, with the row
    /// (counted from 0).
    pub fn new(t_c: &[f64], signal: &[f64], interpolation: Interpolation) -> Result<Self> {
        Self::with_unit(t_c, signal, interpolation, "signal", "")
    }

    /// A curve whose errors name the signal and its unit, such as `resistance` and `ohm`.
    ///
    /// # Errors
    /// As [`TabulatedCurve::new`].
    pub fn with_unit(
        t_c: &[f64],
        signal: &[f64],
        interpolation: Interpolation,
        what: &'static str,
        unit: &'static str,
    ) -> Result<Self> {
        same_length("signal", t_c.len(), signal.len())?;
        if t_c.len() < 2 {
            return Err(Error::TooFewPoints { what: "a table", needed: 2, found: t_c.len(), hint: "" });
        }
        for (index, value) in t_c.iter().enumerate() {
            finite("temperature", *value).map_err(|error| error.at_index(index, 1))?;
            if *value < ABSOLUTE_ZERO_C {
                let requirement = format!("absolute zero is {ABSOLUTE_ZERO_C} °C (row {index})");
                return Err(Error::InvalidValue { what: "temperature", value: *value, unit: "°C", requirement });
            }
        }
        for (index, value) in signal.iter().enumerate() {
            finite(what, *value).map_err(|error| error.at_index(index, 1))?;
        }
        one_direction("temperature", "°C", t_c)?;
        one_direction(what, unit, signal)?;
        let (mut t_c, mut signal) = (t_c.to_vec(), signal.to_vec());
        if t_c[0] > t_c[1] {
            t_c.reverse();
            signal.reverse();
        }
        let slopes = match interpolation {
            Interpolation::Linear => line_slopes(&t_c, &signal),
            Interpolation::MonotoneCubic => monotone_slopes(&t_c, &signal),
        };
        if let Some(index) = slopes.iter().position(|slope| !slope.is_finite()) {
            let requirement = format!("two rows are too close together (row {index})");
            return Err(Error::InvalidValue { what: "slope of the table", value: slopes[index], unit, requirement });
        }
        let (first, last) = (signal[0], signal[signal.len() - 1]);
        let signal_range = Interval { what, unit, low: first.min(last), high: first.max(last) }.widened_for_rounding();
        Ok(Self { t_c, signal, slopes, interpolation, signal_range })
    }

    /// How the table is read between its rows.
    #[must_use]
    pub fn interpolation(&self) -> Interpolation {
        self.interpolation
    }

    /// Temperatures of the rows, °C, ascending.
    #[must_use]
    pub fn t_c(&self) -> &[f64] {
        &self.t_c
    }

    /// Signals of the rows, in the order of [`TabulatedCurve::t_c`].
    #[must_use]
    pub fn rows(&self) -> &[f64] {
        &self.signal
    }

    fn last(&self) -> usize {
        self.t_c.len() - 1
    }

    fn rises(&self) -> bool {
        self.signal[self.last()] > self.signal[0]
    }

    /// Row that begins the stretch of a temperature.
    fn stretch(&self, t_c: f64) -> usize {
        self.t_c.partition_point(|&row| row <= t_c).clamp(1, self.last()) - 1
    }

    /// Signal and slope on the stretch that begins with a row.
    fn on_stretch(&self, i: usize, t_c: f64) -> (f64, f64) {
        let h = self.t_c[i + 1] - self.t_c[i];
        let rise = self.signal[i + 1] - self.signal[i];
        let mean = rise / h;
        match self.interpolation {
            Interpolation::Linear => {
                // From the nearer row, so that both rows are met exactly.
                let signal = if t_c - self.t_c[i] <= 0.5 * h {
                    self.signal[i] + rise * ((t_c - self.t_c[i]) / h)
                } else {
                    self.signal[i + 1] - rise * ((self.t_c[i + 1] - t_c) / h)
                };
                (signal, mean)
            }
            Interpolation::MonotoneCubic => {
                // y = y0 + s (d0 + s (c2 + s c3)), s = t − t0, and the mirrored form from the other row.
                let (d0, d1) = (self.slopes[i], self.slopes[i + 1]);
                let bend = (d0 + d1 - 2.0 * mean) / (h * h);
                let (from, s, slope, c2) = if t_c - self.t_c[i] <= 0.5 * h {
                    (self.signal[i], t_c - self.t_c[i], d0, (3.0 * mean - 2.0 * d0 - d1) / h)
                } else {
                    (self.signal[i + 1], t_c - self.t_c[i + 1], d1, (2.0 * d1 + d0 - 3.0 * mean) / h)
                };
                (from + s * (slope + s * (c2 + s * bend)), slope + s * (2.0 * c2 + s * 3.0 * bend))
            }
        }
    }
}

impl SensorCurve for TabulatedCurve {
    fn range(&self) -> Interval {
        Interval::celsius(self.t_c[0], self.t_c[self.last()])
    }

    fn signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_jet(&self, t_c: Enclosure) -> Jet {
        let i = self.stretch(t_c.low);
        let [t0, t1, y0, y1, d0, d1] =
            [self.t_c[i], self.t_c[i + 1], self.signal[i], self.signal[i + 1], self.slopes[i], self.slopes[i + 1]]
                .map(Enclosure::point);
        let h = t1 - t0;
        let mean = (y1 - y0).divided_by(h);
        let s = t_c - t0;
        match self.interpolation {
            Interpolation::Linear => Jet::polynomial([y0, mean].into_iter(), s),
            Interpolation::MonotoneCubic => {
                let (two, three) = (Enclosure::point(2.0), Enclosure::point(3.0));
                let c2 = (three * mean - two * d0 - d1).divided_by(h);
                let c3 = (d0 + d1 - two * mean).divided_by(h * h);
                Jet::polynomial([y0, d0, c2, c3].into_iter(), s)
            }
        }
    }

    fn joint_from(&self, t_c: f64) -> Option<Joint> {
        // A row inside belongs to the stretch above it.
        let inside = self.t_c.get(1..self.last())?;
        let next = inside.partition_point(|row| row.next_down() < t_c);
        inside.get(next).map(|&row| Joint::owned_above(row))
    }

    fn extrapolated_signal_range(&self) -> Interval {
        self.signal_range
    }

    fn raw_signal(&self, t_c: f64) -> f64 {
        self.on_stretch(self.stretch(t_c), t_c).0
    }

    fn raw_slope(&self, t_c: f64) -> f64 {
        self.on_stretch(self.stretch(t_c), t_c).1
    }

    fn raw_temperature(&self, signal: f64) -> f64 {
        let rises = self.rises();
        let before = |row: &f64| if rises { *row <= signal } else { *row >= signal };
        let i = self.signal.partition_point(before).clamp(1, self.last()) - 1;
        let (t0, t1) = (self.t_c[i], self.t_c[i + 1]);
        let (y0, y1) = (self.signal[i], self.signal[i + 1]);
        // The range of the signal is a little wider than the rows, for rounding: there the end row answers.
        if signal.is_nan() {
            return signal;
        }
        if (signal - y0) * (signal - y1) > 0.0 {
            return if (signal - y0).abs() < (signal - y1).abs() { t0 } else { t1 };
        }
        match self.interpolation {
            Interpolation::Linear => {
                let part = (signal - y0) / (y1 - y0);
                if part <= 0.5 { t0 + (t1 - t0) * part } else { t1 - (t1 - t0) * ((y1 - signal) / (y1 - y0)) }
            }
            Interpolation::MonotoneCubic => bracketed_newton("temperature", "°C", t0, t1, |t_c| {
                let (value, slope) = self.on_stretch(i, t_c);
                (value - signal, slope)
            })
            .unwrap_or(f64::NAN),
        }
    }
}

/// Refuses values that do not strictly rise or strictly fall.
fn one_direction(what: &'static str, unit: &'static str, values: &[f64]) -> Result<()> {
    let rising = values[1] > values[0];
    for (index, pair) in values.windows(2).enumerate() {
        let goes_on = if rising { pair[1] > pair[0] } else { pair[1] < pair[0] };
        if !goes_on {
            let direction = if rising { "above" } else { "below" };
            return Err(Error::InvalidValue {
                what,
                value: pair[1],
                unit,
                requirement: format!(
                    "row {} (counted from 0) must lie {direction} the row before, {}, as the first rows do",
                    index + 1,
                    pair[0]
                ),
            });
        }
    }
    Ok(())
}

/// Slope of the line above every row; the last row has that of the line below it.
fn line_slopes(t_c: &[f64], signal: &[f64]) -> Vec<f64> {
    let mut slopes: Vec<f64> =
        t_c.windows(2).zip(signal.windows(2)).map(|(t, y)| (y[1] - y[0]) / (t[1] - t[0])).collect();
    slopes.extend(slopes.last().copied());
    slopes
}

/// The slopes of Fritsch and Butland.
fn monotone_slopes(t_c: &[f64], signal: &[f64]) -> Vec<f64> {
    let widths: Vec<f64> = t_c.windows(2).map(|t| t[1] - t[0]).collect();
    let lines: Vec<f64> = signal.windows(2).zip(&widths).map(|(y, h)| (y[1] - y[0]) / h).collect();
    if lines.len() == 1 {
        return vec![lines[0]; 2];
    }
    let mut slopes = vec![end_slope(widths[0], widths[1], lines[0], lines[1])];
    for (h, m) in widths.windows(2).zip(lines.windows(2)) {
        // Rows go on in one direction, so the two lines have the same sign and neither is zero.
        let (w1, w2) = (2.0 * h[1] + h[0], h[1] + 2.0 * h[0]);
        slopes.push((w1 + w2) / (w1 / m[0] + w2 / m[1]));
    }
    let n = lines.len();
    slopes.push(end_slope(widths[n - 1], widths[n - 2], lines[n - 1], lines[n - 2]));
    slopes
}

/// Slope at an end by three points, and zero where that would have the wrong sign. With rows in one direction it is
/// less than twice the slope of the outer line, so the piece cannot turn.
fn end_slope(h0: f64, h1: f64, m0: f64, m1: f64) -> f64 {
    let slope = ((2.0 * h0 + h1) * m0 - h0 * m1) / (h0 + h1);
    if slope * m0 <= 0.0 { 0.0 } else { slope }
}
