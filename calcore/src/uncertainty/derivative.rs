//! Sensitivities by careful numerical differentiation.

use crate::error::{Error, Result};
use crate::uncertainty::propagate::Input;

/// Levels of the extrapolation; each halves the step and removes two more orders of the step from the error.
const LEVELS: usize = 7;

/// Part of the slope by which halving the step may move it for the first extrapolation to be taken: a smooth model leaves
/// about the square of that.
const NEARLY_STRAIGHT: f64 = 1e-6;

/// Part of the slope that the cubic term may make up where it is left in: ten digits are right.
const STRAIGHT: f64 = 5e-11;

/// Part of the slope that the cubic term may make up where it is taken out by one value at half the step.
const HARDLY_CUBIC: f64 = 1e-8;

/// How much smaller than the square term the cubic one must be for both: the next ones are then smaller by as much again.
const SMOOTH: f64 = 1.0 / 128.0;

/// Part of the value by which it is moved at first where there is no uncertainty.
const REACH: f64 = 1.0 / 2048.0;

/// How many roundings of the slope over a step the slope over a wider one may be off: more is no rounding.
const SAME_SLOPE: f64 = 16.0;

/// How often a step may grow, eightfold each time, while the change of the model drowns in its rounding.
const GROWTHS: usize = 7;

/// How often a first step may shrink, eightfold each time, until the model answers on both sides.
const SHRINKAGES: usize = 20;

/// A derivative and how far off it may be.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Derivative {
    pub value: f64,
    pub error: f64,
}

/// The power of two nearest to a positive number, so that adding a step to a value rounds as little as may be.
fn power_of_two(x: f64) -> f64 {
    libm::exp2(libm::round(libm::log2(x)).clamp(-1000.0, 1000.0))
}

/// The model on both sides of a point.
#[derive(Clone, Copy)]
struct Sides {
    /// f(x + h) − f(x − h).
    change: f64,
    /// The distance from x − h to x + h as it came out in doubles.
    width: f64,
    /// The larger of the two values.
    size: f64,
    /// f(x + h) + f(x − h) − 2 f(x): falls with h² where the model is smooth, with h at a corner.
    bend: f64,
}

impl Sides {
    fn slope(&self) -> f64 {
        self.change / self.width
    }

    /// Whether the slope over a wider step is the same but for what rounding does to this one.
    fn agrees_with(&self, wider: &Sides) -> bool {
        let rounding = f64::EPSILON * self.size.max(wider.size) / self.width;
        (wider.slope() - self.slope()).abs() <= SAME_SLOPE * rounding
    }
}

fn difference(f: &mut impl FnMut(f64) -> Option<f64>, middle: f64, x: f64, h: f64) -> Option<Sides> {
    let f_below = f(x - h)?;
    difference_above(f, middle, x, h, f_below)
}

/// The same where the value below is known.
fn difference_above(
    f: &mut impl FnMut(f64) -> Option<f64>,
    middle: f64,
    x: f64,
    h: f64,
    f_below: f64,
) -> Option<Sides> {
    let (above, below) = (x + h, x - h);
    let f_above = f(above)?;
    Some(Sides {
        change: f_above - f_below,
        width: above - below,
        size: f_above.abs().max(f_below.abs()),
        bend: (f_above - middle) + (f_below - middle),
    })
}

/// Derivative of `f` at `x` by central differences, extrapolated to step zero (Richardson), at the level where the
/// estimated error is least.
///
/// The first step is of the size of the uncertainty, or a 2048th of the value where there is none: the extrapolation takes care
/// of the bending, and what lies further away than the input does is not looked at. Only where the change of the model drowns
/// in its rounding does the step grow, as long as the slope stays what it was but for rounding. Where the model is all but a
/// parabola over a step, three values are enough, where it hardly bends, four; elsewhere the table grows.
///
/// # Source
/// Ridders, Advances in Engineering Software 4 (1982) 75 (extrapolated differences with an error estimate).
pub(crate) fn central(mut f: impl FnMut(f64) -> Option<f64>, middle: f64, x: f64, u: f64) -> Option<Derivative> {
    let reach = if u > 0.0 { u } else { x.abs() * REACH };
    let mut h = power_of_two(if reach > 0.0 { reach } else { REACH });
    // A step below the spacing of doubles at x would not move it.
    h = h.max(power_of_two(x.abs() * f64::EPSILON * 64.0).max(f64::MIN_POSITIVE * 1e30));
    let mut first = None;
    for _ in 0..=SHRINKAGES {
        first = difference(&mut f, middle, x, h);
        if first.is_some() {
            break;
        }
        h /= 8.0;
    }
    let mut current = first?;
    for _ in 0..GROWTHS {
        // Below a millionth of the value, rounding would show in the tenth digit of the quotient.
        if current.change.abs() >= 1e-6 * current.size {
            break;
        }
        match difference(&mut f, middle, x, 8.0 * h) {
            Some(wider) if current.agrees_with(&wider) => current = wider,
            _ => break,
        }
        h *= 8.0;
    }
    let Some(half) = f(x - 0.5 * h) else {
        let value = current.slope();
        return value.is_finite().then_some(Derivative { value, error: f64::INFINITY });
    };
    let below = (middle - half) / (x - (x - 0.5 * h));
    nearly_parabola(&current, below).or_else(|| extrapolate(&mut f, middle, x, h, current, half))
}

/// The slope where the cubic term of the model over a step is next to nothing.
///
/// With f = m + a s + b s² + c s³ and the step as unit of s, the slope over both sides is a + c, that to half the step below is
/// a − b/2 + c/4, and b is known from the bend. A corner, or a term of higher order, shows in c as well.
fn nearly_parabola(sides: &Sides, below: f64) -> Option<Derivative> {
    let wide = sides.slope();
    let square = sides.bend / sides.width;
    let cubic = Some((wide - (below + 0.5 * square)) / 0.75).filter(|cubic| cubic.is_finite())?;
    // Half a unit in the last place of each value: of two over the width, of two over a quarter of it, of four.
    let rounding = 6.0 * f64::EPSILON * sides.size / sides.width;
    if cubic.abs() <= rounding.max(STRAIGHT * wide.abs()) {
        return Some(Derivative { value: wide, error: rounding.max(cubic.abs()) });
    }
    let smooth = cubic.abs() <= HARDLY_CUBIC * wide.abs() && cubic.abs() <= SMOOTH * square.abs();
    smooth.then(|| Derivative { value: wide - cubic, error: rounding.max(cubic.abs()) })
}

fn extrapolate(
    f: &mut impl FnMut(f64) -> Option<f64>,
    middle: f64,
    x: f64,
    mut h: f64,
    first: Sides,
    half: f64,
) -> Option<Derivative> {
    let mut row = [0.0; LEVELS];
    let mut best = Derivative { value: first.slope(), error: f64::INFINITY };
    row[0] = best.value;
    let mut before = first;
    for level in 1..LEVELS {
        h *= 0.5;
        let sides = if level == 1 { difference_above(f, middle, x, h, half) } else { difference(f, middle, x, h) };
        let Some(sides) = sides else { break };
        let rounding = 2.0 * f64::EPSILON * sides.size / sides.width;
        let above = row;
        row[0] = sides.slope();
        let corner = corner_error(&before, &sides);
        before = sides;
        if level == 1 && (row[0] - above[0]).abs() <= rounding {
            // A straight line: the wider step has the smaller rounding.
            best.error = rounding.max(corner);
            break;
        }
        let smooth = (row[0] - above[0]).abs() <= SMOOTH * (first.bend / first.width).abs();
        if level == 1 && smooth && corner <= 0.0 && (row[0] - above[0]).abs() <= NEARLY_STRAIGHT * row[0].abs() {
            let correction = (row[0] - above[0]) / 3.0;
            best.value = row[0] + correction;
            // What is left falls with the fourth power of the step where this fell with its square; tenfold for safety.
            best.error = rounding.max(10.0 * (correction * correction / best.value).abs());
            break;
        }
        let mut factor = 1.0;
        for order in 1..=level {
            factor *= 4.0;
            row[order] = row[order - 1] + (row[order - 1] - above[order - 1]) / (factor - 1.0);
            let error = (row[order] - row[order - 1]).abs().max((row[order] - above[order - 1]).abs());
            if error < best.error {
                best = Derivative { value: row[order], error };
            }
        }
        // Done when only rounding is left, or when the table gets worse.
        if best.error <= rounding || (row[level] - above[level - 1]).abs() > 4.0 * best.error {
            best.error = best.error.max(rounding).max(corner);
            break;
        }
    }
    if best.value.is_finite() { Some(best) } else { None }
}

/// Half the difference of the slopes to both sides where they do not come together as the step shrinks; 0 where they
/// do. Central differences alone do not see a corner at the estimate.
fn corner_error(wide: &Sides, narrow: &Sides) -> f64 {
    let significant = narrow.bend.abs() > 1e-6 * narrow.change.abs() + 64.0 * f64::EPSILON * narrow.size;
    if significant && narrow.bend.abs() > 0.4 * wide.bend.abs() { narrow.bend.abs() / narrow.width } else { 0.0 }
}

/// Value of the model at the estimates and its sensitivities.
///
/// # Errors
/// What the model says at the estimates; [`Error::ModelFailed`], naming the inputs, when it gives no number there, or
/// none on both sides of an input however small the step.
pub(crate) fn gradient(model: &impl Fn(&[f64]) -> Result<f64>, inputs: &[Input]) -> Result<(f64, Vec<Derivative>)> {
    let mut point: Vec<f64> = inputs.iter().map(|input| input.distribution.mean()).collect();
    let value = model(&point)?;
    if !value.is_finite() {
        return Err(Error::ModelFailed { message: format!("it gives {value} at {}", describe(inputs, &point)) });
    }
    let mut derivatives = Vec::with_capacity(inputs.len());
    for (i, input) in inputs.iter().enumerate() {
        let x = point[i];
        let u = input.distribution.standard_uncertainty();
        let found = central(
            |moved| {
                point[i] = moved;
                model(&point).ok().filter(|y| y.is_finite())
            },
            value,
            x,
            u,
        );
        point[i] = x;
        derivatives.push(found.ok_or_else(|| Error::ModelFailed {
            message:
                format!("it gives no number on both sides of {}", describe(inputs, &point)).replace(
                    &format!("{} = {x}", input.name),
                    &format!("{} = {x} (the input that was moved)", input.name),
                ),
        })?);
    }
    Ok((value, derivatives))
}

/// The inputs with their values, for a message.
pub(crate) fn describe(inputs: &[Input], point: &[f64]) -> String {
    let parts: Vec<String> = inputs.iter().zip(point).map(|(input, x)| format!("{} = {x}", input.name)).collect();
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slope(f: impl Fn(f64) -> f64, x: f64, u: f64) -> Derivative {
        central(|x| Some(f(x)).filter(|y| y.is_finite()), f(x), x, u).unwrap()
    }

    #[test]
    fn smooth_models_to_ten_digits() {
        // Right-hand sides are the derivatives written out.
        let cases: [(f64, f64); 8] = [
            (slope(|x| 3.0 * x - 7.0, 100.0, 0.01).value, 3.0),
            (slope(|x| 1e6 + 1e-3 * x, 5.0, 1e-3).value, 1e-3),
            (slope(libm::exp, 1.0, 1e-3).value, libm::exp(1.0)),
            (slope(libm::exp, 1.0, 1e-9).value, libm::exp(1.0)),
            (slope(libm::log, 2.0, 0.1).value, 0.5),
            (slope(|x| 1.0 / x, 7000.0, 500.0).value, -1.0 / 49e6),
            (slope(libm::sqrt, 1e-3, 1e-4).value, 0.5 / libm::sqrt(1e-3)),
            (slope(|x| 100.0 * (1.0 + 3.9083e-3 * x - 5.775e-7 * x * x), 400.0, 0.03).value, 0.344_63),
        ];
        for (got, want) in cases {
            assert!((got / want - 1.0).abs() < 1e-10, "{got} {want}");
        }
    }

    #[test]
    fn few_values_are_enough_where_the_model_hardly_bends() {
        // t(R) of a platinum thermometer by the quadratic equation; its slope is 1/(R0 (A + 2 B t)) at R(100 °C).
        let (a, b) = (3.9083e-3, -5.775e-7);
        let t = |r: f64| (-a + libm::sqrt(a * a - 4.0 * b * (1.0 - r / 100.0))) / (2.0 * b);
        let slope = 1.0 / (100.0 * (a + 200.0 * b));
        // The reading, the resistance that it is divided by, a correction of the reading, one of the temperature: with the
        // calls, and the part of the slope that rounding over the step leaves: the root cancels, so that 2.5e-13 K are left,
        // a few times over, of a change between 0.4 and 10 mK.
        type Case<'a> = (&'a dyn Fn(f64) -> f64, f64, f64, f64, usize, f64);
        let cases: [Case<'_>; 4] = [
            (&t, 138.5055, 0.002, slope, 4, 5e-10),
            (&|r0| t(138.5055 / r0 * 100.0), 100.0, 0.003, -1.385_055 * slope, 4, 5e-10),
            (&|x| t(138.5055 + x), 0.0, 0.001, slope, 3, 1e-9),
            (&|x| t(138.5055) + x, 0.0, 0.004, 1.0, 3, 1e-10),
        ];
        for (f, x, u, want, most, tolerance) in cases {
            let calls = std::cell::Cell::new(0);
            let counted = |x: f64| {
                calls.set(calls.get() + 1);
                Some(f(x))
            };
            let got = central(counted, f(x), x, u).unwrap();
            assert!(calls.get() <= most, "{} {got:?}", calls.get());
            assert!((got.value / want - 1.0).abs() < tolerance, "{got:?} {want}");
            // What the cubic term makes up at most where it is taken out.
            assert!(got.error < 1e-8 * want.abs(), "{got:?}");
        }
    }

    #[test]
    fn a_term_of_any_order_shows() {
        // x + k xⁿ has the slope 1 at 0; over a step of 1/1024 the term makes up between 1e-9 and a half of it. Without the
        // terms between an even one hides from both sides, and an odd one leads the extrapolation astray: ten digits, or an
        // error that says so.
        for order in 2..=9 {
            for part in [1e-9, 1e-8, 1e-7, 1e-6, 1e-4, 1e-2, 0.5] {
                let k = part * libm::pow(1024.0, f64::from(order - 1));
                let got = slope(|x| x + k * libm::pow(x, f64::from(order)), 0.0, 1.0 / 1024.0);
                let off = (got.value - 1.0).abs();
                assert!(off < got.error.max(1e-10) && off < part, "order {order}, part {part}: {got:?}");
            }
        }
    }

    #[test]
    fn linear_with_a_small_uncertainty_about_zero() {
        let got = slope(|x| 100.0 + x, 0.0, 1e-6).value;
        assert!((got - 1.0).abs() < 1e-10, "{got}");
    }

    #[test]
    fn edge_of_the_domain_is_kept_away_from() {
        // The first step, 0.1, would leave the domain of the root.
        let got = slope(libm::sqrt, 0.01, 0.1);
        assert!((got.value - 5.0).abs() < 1e-8, "{got:?}");
        assert!(central(|x| Some(libm::sqrt(x)).filter(|y| y.is_finite()), 0.0, 0.0, 0.1).is_none());
    }

    #[test]
    fn nothing_beyond_the_uncertainty_is_looked_at() {
        // Poles 10 and 100 uncertainties away; a wave as long as 6000 of them; a model that is flat but for what lies far off.
        // Right-hand sides are the derivatives written out; the estimates are rounded in front of a pole.
        let pole = |x: f64| 1.0 / (x - 1.0);
        for (x, u) in [(1.0001, 1e-5), (1.00001, 1e-7)] {
            let got = slope(pole, x, u).value * (x - 1.0) * (x - 1.0);
            assert!((got + 1.0).abs() < 1e-8, "{got}");
        }
        let got = slope(|x| libm::sin(1e6 * x), 1.0, 1e-9).value / (1e6 * libm::cos(1e6));
        assert!((got - 1.0).abs() < 1e-7, "{got}");
        let got = slope(libm::erf, 6.5, 1e-3).value;
        // 2/√π exp(−42.25) = 5e-19, where a value has a rounding of 1.1e-16 over 2 mK.
        assert!(got.abs() < 1e-12, "{got}");
    }

    #[test]
    fn a_corner_shows_in_the_error() {
        let got = slope(|x| if x > 0.0 { 2.0 * x } else { x }, 0.0, 0.1);
        assert!((got.value - 1.5).abs() < 1e-9 && (got.error - 0.5).abs() < 1e-9, "{got:?}");
    }
}
