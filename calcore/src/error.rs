//! The one error of the core.
//!
//! Every variant has a stable number ([`Error::code`]) that the C face returns as its status and the Python face
//! carries as `.code`. Numbers are grouped by hundreds and never reused: 1xx an input value, 2xx a computation that
//! the data do not support, 3xx a document. (9xx belongs to the C border itself.)

mod text;

use core::fmt;
pub use text::Text;
pub(crate) use text::{Names, text};

/// What every fallible function of the core returns.
pub type Result<T> = core::result::Result<T, Error>;

/// One thing wrong in a description, with the path of the field.
#[cfg(feature = "std")]
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Path of the field, such as `instruments[2].range`.
    pub path: String,
    /// What is wrong and what was expected.
    pub message: String,
}

#[cfg(feature = "std")]
impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.path.is_empty() { f.write_str(&self.message) } else { write!(f, "{}: {}", self.path, self.message) }
    }
}

/// Where in an array the first offending element stands, and how many offend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    /// Index of the first offending element, counted from 0 in memory order.
    pub index: usize,
    /// How many elements offend.
    pub count: usize,
}

/// Everything that can go wrong, with the offending value, the limit and the unit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A NaN or an infinity where a number is needed.
    #[error("{what} must be a finite number, got {value}{}", at(.position))]
    NotFinite {
        /// The quantity.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Where, if it was given in an array.
        position: Option<Position>,
    },
    /// A value outside the interval in which the quantity is defined.
    #[error("{what} {value}{} is outside {low} to {high}{}{}", Unit(.unit), Unit(.unit), at(.position))]
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
        /// Unit of value and limits.
        unit: &'static str,
        /// Where, if it was given in an array.
        position: Option<Position>,
    },
    /// A value that the quantity cannot have.
    #[error("{what} is {value}{}: {requirement}", Unit(.unit))]
    InvalidValue {
        /// The quantity.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Unit of the value; empty for a pure number.
        unit: &'static str,
        /// What would be right.
        requirement: Text,
    },
    /// A name that is not one of the known ones.
    #[error("unknown {what} {name:?}: expected {expected}")]
    UnknownName {
        /// What kind of name.
        what: &'static str,
        /// What was given.
        name: Text,
        /// The known names.
        expected: Text,
    },
    /// Arrays that belong together differ in length.
    #[error("{what} has {found} elements, expected {expected}")]
    LengthMismatch {
        /// The array.
        what: &'static str,
        /// Length that the other inputs call for.
        expected: usize,
        /// Length that was given.
        found: usize,
    },
    /// Fewer points than the unknowns need.
    #[error("{what} needs at least {needed} point{}, got {found}{}", if *.needed == 1 { "" } else { "s" }, hint_text(.hint))]
    TooFewPoints {
        /// The computation.
        what: &'static str,
        /// How many it needs.
        needed: usize,
        /// How many it got (coinciding points count once).
        found: usize,
        /// What else would make it work.
        hint: &'static str,
    },
    /// The points do not determine the unknowns.
    #[error("{what}: the points do not determine {parameter}: {hint}")]
    Undetermined {
        /// The computation.
        what: &'static str,
        /// The unknown that is left open.
        parameter: Text,
        /// What would make it work.
        hint: &'static str,
    },
    /// A matrix that must be positive definite is not.
    #[error("{what} is not positive definite: row {row} (counted from 0)")]
    NotPositiveDefinite {
        /// The matrix.
        what: &'static str,
        /// First row at which the factorisation fails.
        row: usize,
    },
    /// An iteration ended without an answer.
    #[error("{what} did not converge in {steps} steps; last value {last}{}", Unit(.unit))]
    NoConvergence {
        /// The computation.
        what: &'static str,
        /// Steps made.
        steps: usize,
        /// Where it stood.
        last: f64,
        /// Unit of the last value.
        unit: &'static str,
    },
    /// A user's model failed.
    #[error("the model failed: {message}")]
    ModelFailed {
        /// What the model said.
        message: Text,
    },
    /// A long computation was stopped from outside.
    #[error("{what} was cancelled after {done} of {total} steps")]
    Cancelled {
        /// The computation.
        what: &'static str,
        /// Steps done.
        done: u64,
        /// Steps that were asked for.
        total: u64,
    },
    /// A document that is not what the reader expects, at its first fault.
    #[cfg(feature = "std")]
    #[error("{problem}")]
    Document {
        /// Path and message.
        problem: Problem,
    },
    /// A description that contradicts itself; every contradiction found is listed.
    #[cfg(feature = "std")]
    #[error("{}", list(.problems))]
    InvalidRun {
        /// All problems, in the order of the document.
        problems: Vec<Problem>,
    },
}

impl Error {
    /// The stable number of the variant.
    #[must_use]
    pub fn code(&self) -> i32 {
        match self {
            Self::NotFinite { .. } => 101,
            Self::OutOfRange { .. } => 102,
            Self::InvalidValue { .. } => 103,
            Self::UnknownName { .. } => 104,
            Self::LengthMismatch { .. } => 105,
            Self::TooFewPoints { .. } => 201,
            Self::Undetermined { .. } => 202,
            Self::NotPositiveDefinite { .. } => 203,
            Self::NoConvergence { .. } => 204,
            Self::ModelFailed { .. } => 205,
            Self::Cancelled { .. } => 206,
            #[cfg(feature = "std")]
            Self::Document { .. } => 301,
            #[cfg(feature = "std")]
            Self::InvalidRun { .. } => 302,
        }
    }

    /// The same error, said to stand at an element of an array.
    #[must_use]
    pub fn at_index(self, index: usize, count: usize) -> Self {
        let found = Some(Position { index, count });
        match self {
            Self::NotFinite { what, value, .. } => Self::NotFinite { what, value, position: found },
            Self::OutOfRange { what, value, low, high, unit, .. } => {
                Self::OutOfRange { what, value, low, high, unit, position: found }
            }
            other => other,
        }
    }
}

fn at(position: &Option<Position>) -> At {
    At(*position)
}

/// Where an element stands, as it is written behind a message.
struct At(Option<Position>);

impl fmt::Display for At {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            None => Ok(()),
            Some(p) if p.count > 1 => write!(f, " (element {}, first of {})", p.index, p.count),
            Some(p) => write!(f, " (element {})", p.index),
        }
    }
}

fn hint_text(hint: &'static str) -> Hint {
    Hint(hint)
}

/// A unit, as it is written behind a number; a pure number has none.
struct Unit<'a>(&'a str);

impl fmt::Display for Unit<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() { Ok(()) } else { write!(f, " {}", self.0) }
    }
}

/// A hint, as it is written behind a message.
struct Hint(&'static str);

impl fmt::Display for Hint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() { Ok(()) } else { write!(f, ": {}", self.0) }
    }
}

#[cfg(feature = "std")]
fn list(problems: &[Problem]) -> String {
    let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
    lines.join("; ")
}

/// Refuses NaN and infinity.
///
/// # Errors
/// [`Error::NotFinite`].
pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64> {
    if value.is_finite() { Ok(value) } else { Err(Error::NotFinite { what, value, position: None }) }
}

/// Refuses NaN, infinity and whatever is not above zero.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`].
pub(crate) fn positive(what: &'static str, value: f64, unit: &'static str) -> Result<f64> {
    if finite(what, value)? > 0.0 {
        return Ok(value);
    }
    Err(Error::InvalidValue { what, value, unit, requirement: "it must be greater than 0".into() })
}

/// Refuses NaN, infinity and what lies outside two limits, which belong to what is allowed.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
#[cfg(feature = "std")]
pub(crate) fn within(what: &'static str, value: f64, low: f64, high: f64) -> Result<f64> {
    if (low..=high).contains(&finite(what, value)?) {
        return Ok(value);
    }
    Err(Error::OutOfRange { what, value, low, high, unit: "", position: None })
}

/// Refuses what is no probability between 0 and 1, and 0 and 1 themselves.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
#[cfg(feature = "std")]
pub(crate) fn open_probability(what: &'static str, p: f64) -> Result<f64> {
    if finite(what, p)? > 0.0 && p < 1.0 {
        return Ok(p);
    }
    Err(Error::OutOfRange { what, value: p, low: 0.0, high: 1.0, unit: "", position: None })
}

/// Refuses NaN, infinity and whatever is below zero.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::InvalidValue`].
pub(crate) fn not_negative(what: &'static str, value: f64, unit: &'static str) -> Result<f64> {
    if finite(what, value)? >= 0.0 {
        return Ok(value);
    }
    Err(Error::InvalidValue { what, value, unit, requirement: "it must not be negative".into() })
}

/// Refuses arrays of another length than the rest.
///
/// # Errors
/// [`Error::LengthMismatch`].
pub(crate) fn same_length(what: &'static str, expected: usize, found: usize) -> Result<()> {
    if expected == found { Ok(()) } else { Err(Error::LengthMismatch { what, expected, found }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_name_value_limit_and_unit() {
        let error = Error::OutOfRange {
            what: "temperature",
            value: 900.0,
            low: -200.0,
            high: 850.0,
            unit: "°C",
            position: None,
        };
        assert_eq!(error.to_string(), "temperature 900 °C is outside -200 to 850 °C");
        assert_eq!(
            error.at_index(3, 2).to_string(),
            "temperature 900 °C is outside -200 to 850 °C (element 3, first of 2)"
        );
        let pure = within("coverage probability", 95.0, 0.0, 1.0).map_err(|e| e.to_string());
        assert_eq!(pure, Err("coverage probability 95 is outside 0 to 1".into()));
        assert_eq!(positive("k", 0.0, "").map_err(|e| e.to_string()), Err("k is 0: it must be greater than 0".into()));
        let few = Error::TooFewPoints { what: "a decision", needed: 1, found: 0, hint: "" };
        assert_eq!(few.to_string(), "a decision needs at least 1 point, got 0");
    }

    #[test]
    fn guards_refuse_what_is_not_a_number() {
        assert_eq!(positive("r0", f64::NAN, "ohm").map_err(|e| e.code()), Err(101));
        assert_eq!(positive("r0", 0.0, "ohm").map_err(|e| e.code()), Err(103));
        assert_eq!(not_negative("u", -1.0, "K").map_err(|e| e.code()), Err(103));
        assert_eq!(not_negative("u", 0.0, "K"), Ok(0.0));
    }
}
