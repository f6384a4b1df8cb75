//! Coefficients as a transmitter takes them: a few digits, and the error that these cost.

use super::callendar_van_dusen::{
    CallendarVanDusenFit, CallendarVanDusenOptions, FixedCoefficients, callendar_van_dusen,
};
use crate::curves::{CallendarVanDusen, SensorCurve};
use crate::error::{Error, Result, finite, positive};

/// Temperatures at which the error is looked at before its largest value is refined.
const GRID: usize = 257;

/// The same while many candidates are compared.
const COARSE_GRID: usize = 33;

/// Most digits that a search for a sufficient rounding tries.
const MAX_DIGITS: u32 = 15;

/// How many digits an entry takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Digits {
    /// Digits after the decimal point.
    Decimals(u32),
    /// Digits from the first that is not zero.
    Significant(u32),
}

/// In which form the coefficients are entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum EntryForm {
    /// R0, A, B, C.
    #[default]
    Abc,
    /// R0, α, δ, β.
    AlphaDeltaBeta,
}

/// Form and digits of the four entries; `None` leaves an entry as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct EntryGrid {
    /// The form.
    pub form: EntryForm,
    /// Digits of R0 and the three others, in the order of the form.
    pub digits: [Option<Digits>; 4],
}

/// Rounded coefficients and what they cost.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RoundedCoefficients {
    /// Form and digits.
    pub grid: EntryGrid,
    /// The four entries, in the order of the form.
    pub entries: [f64; 4],
    /// The curve that they make, over the range of the unrounded one.
    #[cfg_attr(feature = "serde", serde(serialize_with = "super::callendar_van_dusen::coefficients_and_range"))]
    pub curve: CallendarVanDusen,
    /// Largest error of a temperature that rounding adds over the range, K.
    pub largest_error_k: f64,
    /// Where it stands, °C.
    pub largest_error_at_c: f64,
}

impl Digits {
    /// Power of ten of the last digit of an entry of this size.
    fn place(self, value: f64) -> Result<i32> {
        let place = match self {
            Self::Decimals(n) => -i64::from(n),
            Self::Significant(0) => i64::MAX,
            Self::Significant(n) => magnitude(value) + 1 - i64::from(n),
        };
        // A double has no more than seventeen digits to round.
        let place = place.max(magnitude(value) - 16);
        if !(-400..=10).contains(&place) {
            return Err(Error::InvalidValue {
                what: "digits of an entry",
                value: match self {
                    Self::Decimals(n) | Self::Significant(n) => f64::from(n),
                },
                unit: "",
                requirement: "at least 1 significant digit".into(),
            });
        }
        Ok(place as i32)
    }
}

/// The shortest decimal digits that read back as a number, and the power of ten of the last of them.
fn decimal(value: f64) -> (i64, i64) {
    let text = format!("{:e}", value.abs());
    let (digits, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let plain: String = digits.chars().filter(|c| *c != '.').collect();
    let last = exponent.parse::<i64>().unwrap_or(0) + 1 - plain.len() as i64;
    (plain.parse().unwrap_or(0), last)
}

/// Power of ten of the first digit.
fn magnitude(value: f64) -> i64 {
    let (digits, last) = decimal(value);
    last + digits.max(1).ilog10() as i64
}

/// The number of steps of 10^place nearest to a value, halves away from zero, as its decimal digits show it.
fn steps_of(value: f64, place: i32) -> i64 {
    let (digits, last) = decimal(value);
    let shift = last - i64::from(place);
    let size = match u32::try_from(shift.unsigned_abs()).ok().and_then(|n| 10i64.checked_pow(n)) {
        Some(power) if shift >= 0 => digits.saturating_mul(power),
        Some(power) => (digits + power / 2) / power,
        None => 0,
    };
    if value < 0.0 { -size } else { size }
}

/// The double nearest to a whole number of steps.
fn value_of(steps: i64, place: i32) -> f64 {
    format!("{steps}e{place}").parse().unwrap_or(f64::NAN)
}

impl CallendarVanDusenFit {
    /// The coefficients, each rounded by itself, with the largest error that this adds over the range of the fit.
    ///
    /// # Errors
    /// [`Error::InvalidValue`] for digits that cannot be, or where rounding leaves no curve.
    ///
    /// # Example
    /// ```
    /// use calcore::fit::{CallendarVanDusenOptions, Digits, EntryForm, EntryGrid, callendar_van_dusen};
    /// let (t_c, ohm) = ([0.0, 100.0, 200.0, 400.0], [100.02, 138.53, 175.89, 247.14]);
    /// let fit = callendar_van_dusen(&t_c, &ohm, &CallendarVanDusenOptions::default())?;
    /// let digits = [Digits::Decimals(2), Digits::Significant(4), Digits::Significant(4), Digits::Significant(4)].map(Some);
    /// let entered = fit.rounded(EntryGrid { form: EntryForm::AlphaDeltaBeta, digits })?;
    /// assert!(entered.largest_error_k < 0.1);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn rounded(&self, grid: EntryGrid) -> Result<RoundedCoefficients> {
        rounded(&self.curve, grid)
    }

    /// The coefficients on the same grid of entries, but chosen together so that the largest error is small: what one
    /// rounding spoils, the others make good in part. Never worse than [`CallendarVanDusenFit::rounded`].
    ///
    /// # Errors
    /// As [`CallendarVanDusenFit::rounded`].
    pub fn rounded_jointly(&self, grid: EntryGrid) -> Result<RoundedCoefficients> {
        rounded_jointly(&self.curve, grid)
    }

    /// The fewest digits, chosen together, that keep the largest error that rounding adds below a limit, K.
    ///
    /// # Errors
    /// [`Error::InvalidValue`] for a limit that is not positive; [`Error::NoConvergence`] where fifteen digits do not
    /// suffice.
    pub fn rounded_within(&self, form: EntryForm, limit_k: f64) -> Result<RoundedCoefficients> {
        rounded_within(&self.curve, form, limit_k)
    }
}

/// [`CallendarVanDusenFit::rounded`] for any curve.
///
/// # Errors
/// As there.
pub fn rounded(curve: &CallendarVanDusen, grid: EntryGrid) -> Result<RoundedCoefficients> {
    let exact = entries_of(curve, grid.form);
    let mut entries = exact;
    for (entry, digits) in entries.iter_mut().zip(grid.digits) {
        if let Some(digits) = digits {
            let place = digits.place(*entry)?;
            *entry = value_of(steps_of(*entry, place), place);
        }
    }
    finished(curve, grid, entries)
}

/// [`CallendarVanDusenFit::rounded_jointly`] for any curve.
///
/// # Errors
/// As there.
pub fn rounded_jointly(curve: &CallendarVanDusen, grid: EntryGrid) -> Result<RoundedCoefficients> {
    let exact = entries_of(curve, grid.form);
    let mut places = [None; 4];
    for (place, (digits, value)) in places.iter_mut().zip(grid.digits.iter().zip(exact)) {
        // An entry of exactly 0 (C where it plays no part) stays 0.
        *place = digits.filter(|_| value != 0.0).map(|d| d.place(value)).transpose()?;
    }
    let simple = rounded(curve, grid)?;
    let search = Search { curve, form: grid.form, places, temperatures: temperatures(curve, COARSE_GRID) };
    let mut best = (search.error(&simple.entries), simple.entries);
    search.descend(exact, 0, &mut best);
    search.polish(&mut best);
    let joint = finished(curve, grid, best.1)?;
    Ok(if joint.largest_error_k < simple.largest_error_k { joint } else { simple })
}

/// [`CallendarVanDusenFit::rounded_within`] for any curve.
///
/// # Errors
/// As there.
pub fn rounded_within(curve: &CallendarVanDusen, form: EntryForm, limit_k: f64) -> Result<RoundedCoefficients> {
    positive("largest error of rounding", limit_k, "K")?;
    let grid_of = |digits: [u32; 4]| EntryGrid { form, digits: digits.map(|n| Some(Digits::Significant(n))) };
    // A grid that is too coarse may leave no curve at all: that is only a reason to try a finer one.
    let tried =
        |digits: [u32; 4]| rounded_jointly(curve, grid_of(digits)).ok().filter(|r| r.largest_error_k <= limit_k);
    let mut found = None;
    for n in 1..=MAX_DIGITS {
        if let Some(result) = tried([n; 4]) {
            found = Some((result, [n; 4]));
            break;
        }
    }
    let Some((mut best, mut digits)) = found else {
        let steps = MAX_DIGITS as usize;
        return Err(Error::NoConvergence { what: "search for a rounding", steps, last: limit_k, unit: "K" });
    };
    // Then digits are taken away one by one, from the last entry to the first.
    for k in (0..4).rev() {
        while digits[k] > 1 {
            let mut fewer = digits;
            fewer[k] -= 1;
            let Some(result) = tried(fewer) else { break };
            (best, digits) = (result, fewer);
        }
    }
    Ok(best)
}

fn entries_of(curve: &CallendarVanDusen, form: EntryForm) -> [f64; 4] {
    match form {
        EntryForm::Abc => [curve.r0(), curve.a(), curve.b(), curve.c()],
        // Without C β is 0, not −0.
        EntryForm::AlphaDeltaBeta => [curve.r0(), curve.alpha(), curve.delta(), curve.beta() + 0.0],
    }
}

/// The curve of four entries.
fn curve_of(form: EntryForm, entries: [f64; 4], low_c: f64, high_c: f64) -> Result<CallendarVanDusen> {
    let [r0, first, second, third] = entries;
    for value in entries {
        finite("entry", value)?;
    }
    match form {
        EntryForm::Abc => CallendarVanDusen::with_range(r0, first, second, third, low_c, high_c),
        EntryForm::AlphaDeltaBeta => {
            let (a, b, c) = (first * (1.0 + second / 100.0), -first * second / 1e4, -first * third / 1e8);
            CallendarVanDusen::with_range(r0, a, b, c, low_c, high_c)
        }
    }
}

fn temperatures(curve: &CallendarVanDusen, count: usize) -> Vec<f64> {
    let range = curve.range();
    (0..count).map(|k| range.low + (range.high - range.low) * k as f64 / (count - 1) as f64).collect()
}

/// What a curve reads from another one's resistance, minus the temperature.
fn error_at(entered: &CallendarVanDusen, exact: &CallendarVanDusen, t_c: f64) -> f64 {
    entered.raw_temperature(exact.raw_signal(t_c)) - t_c
}

fn finished(curve: &CallendarVanDusen, grid: EntryGrid, entries: [f64; 4]) -> Result<RoundedCoefficients> {
    let range = curve.range();
    let entered = curve_of(grid.form, entries, range.low, range.high)?;
    let size = |t: f64| error_at(&entered, curve, t).abs();
    let grid_c = temperatures(curve, GRID);
    let mut worst = (0usize, 0.0f64);
    for (k, t) in grid_c.iter().enumerate() {
        let error = size(*t);
        if error.is_nan() || error > worst.1 {
            worst = (k, error);
        }
        if error.is_nan() {
            break;
        }
    }
    // The largest value lies in one of the two neighbouring cells: closed in by thirds.
    let (mut low, mut high) = (grid_c[worst.0.saturating_sub(1)], grid_c[(worst.0 + 1).min(GRID - 1)]);
    for _ in 0..40 {
        let (left, right) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if size(left) < size(right) { low = left } else { high = right }
    }
    let middle = 0.5 * (low + high);
    let (largest_error_at_c, largest_error_k) =
        if size(middle) > worst.1 { (middle, size(middle)) } else { (grid_c[worst.0], worst.1) };
    Ok(RoundedCoefficients { grid, entries, curve: entered, largest_error_k, largest_error_at_c })
}

/// Search over the grid of entries.
struct Search<'a> {
    curve: &'a CallendarVanDusen,
    form: EntryForm,
    places: [Option<i32>; 4],
    temperatures: Vec<f64>,
}

impl Search<'_> {
    /// Largest error of a set of entries; infinite where they make no curve.
    fn error(&self, entries: &[f64; 4]) -> f64 {
        let range = self.curve.range();
        let Ok(entered) = curve_of(self.form, *entries, range.low, range.high) else { return f64::INFINITY };
        let mut worst = 0.0f64;
        for t in &self.temperatures {
            let error = error_at(&entered, self.curve, *t).abs();
            if error.is_nan() {
                return f64::INFINITY;
            }
            worst = worst.max(error);
        }
        worst
    }

    /// Entry by entry: each of the nearest places on the grid is tried, and the entries after it are fitted anew.
    fn descend(&self, entries: [f64; 4], k: usize, best: &mut (f64, [f64; 4])) {
        if k == 4 {
            let error = self.error(&entries);
            if error < best.0 {
                *best = (error, entries);
            }
            return;
        }
        let Some(place) = self.places[k] else { return self.descend(entries, k + 1, best) };
        let nearest = steps_of(entries[k], place);
        for offset in [0, -1, 1] {
            let mut tried = entries;
            tried[k] = value_of(nearest + offset, place);
            let rest = if k < 3 { self.refitted(tried, k).unwrap_or(tried) } else { tried };
            self.descend(rest, k + 1, best);
        }
    }

    /// The entries after number `k` by least squares of the error in temperature, those up to it held.
    fn refitted(&self, entries: [f64; 4], k: usize) -> Option<[f64; 4]> {
        let fit = |fixed: FixedCoefficients| {
            let ohm: Vec<f64> = self.temperatures.iter().map(|t| self.curve.raw_signal(*t)).collect();
            let slopes: Vec<f64> = self.temperatures.iter().map(|t| self.curve.raw_slope(*t)).collect();
            let options = CallendarVanDusenOptions { u_ohm: (&slopes).into(), fixed, ..Default::default() };
            callendar_van_dusen(&self.temperatures, &ohm, &options).ok().map(|fit| fit.curve)
        };
        let [r0, first, second, _] = entries;
        // C is left alone where it plays no part.
        let c = (self.curve.range().low >= 0.0 || self.curve.c() == 0.0).then_some(self.curve.c());
        match self.form {
            EntryForm::Abc => {
                let fixed =
                    FixedCoefficients { r0: Some(r0), a: (k >= 1).then_some(first), b: (k >= 2).then_some(second), c };
                if [fixed.a, fixed.b, fixed.c].iter().all(Option::is_some) {
                    return None;
                }
                let new = entries_of(&fit(fixed)?, self.form);
                Some(std::array::from_fn(|i| if i <= k || self.places[i].is_none() { entries[i] } else { new[i] }))
            }
            EntryForm::AlphaDeltaBeta if k == 0 => {
                let new = entries_of(&fit(FixedCoefficients { r0: Some(r0), c, ..Default::default() })?, self.form);
                Some(std::array::from_fn(|i| if i == 0 || self.places[i].is_none() { entries[i] } else { new[i] }))
            }
            // With α held, R is linear in δ: R/R0 − 1 − α t = −α δ (t/100)(t/100 − 1) − …, one unknown by itself.
            EntryForm::AlphaDeltaBeta if k == 1 && self.places[2].is_some() => {
                let (mut up, mut down) = (0.0, 0.0);
                for t in &self.temperatures {
                    let x = t / 100.0;
                    let weight = 1.0 / self.curve.raw_slope(*t);
                    let column = -r0 * first * x * (x - 1.0) * weight;
                    let cold = if *t < 0.0 { entries[3] * (x - 1.0) * x * x * x } else { 0.0 };
                    let left = (self.curve.raw_signal(*t) - r0 * (1.0 + first * (t - cold))) * weight;
                    up += column * left;
                    down += column * column;
                }
                let mut new = entries;
                new[2] = up / down;
                new[2].is_finite().then_some(new)
            }
            EntryForm::AlphaDeltaBeta => None,
        }
    }

    /// Single steps of one entry, and of two at once, as long as one is better.
    fn polish(&self, best: &mut (f64, [f64; 4])) {
        for _ in 0..50 {
            let before = best.0;
            for i in 0..4 {
                for j in i..4 {
                    let (Some(place_i), Some(place_j)) = (self.places[i], self.places[j]) else { continue };
                    for (di, dj) in [(-1, 0), (1, 0), (-1, -1), (-1, 1), (1, -1), (1, 1)] {
                        if i == j && dj != 0 {
                            continue;
                        }
                        let mut entries = best.1;
                        entries[i] = value_of(steps_of(entries[i], place_i) + di, place_i);
                        if i != j {
                            entries[j] = value_of(steps_of(entries[j], place_j) + dj, place_j);
                        }
                        let error = self.error(&entries);
                        if error < best.0 {
                            *best = (error, entries);
                        }
                    }
                }
            }
            if best.0 >= before {
                break;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_round_as_decimals() {
        assert_eq!((magnitude(0.0099999), magnitude(100.0), magnitude(-5.775e-7)), (-3, 2, -7));
        assert_eq!((steps_of(3.90831e-3, -6), value_of(3908, -6)), (3908, 3.908e-3));
        assert_eq!((steps_of(-5.775e-7, -9), value_of(-578, -9)), (-578, -5.78e-7));
        assert_eq!((steps_of(1234.0, 2), value_of(12, 2)), (12, 1200.0));
        assert_eq!((steps_of(0.0149999, -2), steps_of(99.96, -1), steps_of(0.0, -3)), (1, 1000, 0));
        assert!(Digits::Significant(0).place(1.0).is_err());
        assert_eq!((Digits::Decimals(41).place(100.0), Digits::Decimals(3).place(0.0)), (Ok(-14), Ok(-3)));
        assert_eq!(Digits::Significant(4).place(3.9e-3), Ok(-6));
    }
}
