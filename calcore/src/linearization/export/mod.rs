//! Tables and polynomials as C source, as JSON and as CSV.

mod c99;
mod csv;
#[cfg(feature = "serde")]
mod json;

pub use c99::CSource;

use super::fixed_point::FixedPoint;
use super::minimax::Minimax;
use super::proof::Proof;
use super::relation::Direction;
use super::table::LookupTable;
use crate::error::{Error, Result};

/// What can be exported.
#[derive(Debug, Clone, Copy)]
pub enum Export<'a> {
    /// A look-up table.
    Table(&'a LookupTable),
    /// A polynomial or quotient.
    Minimax(&'a Minimax),
}

impl<'a> From<&'a LookupTable> for Export<'a> {
    fn from(table: &'a LookupTable) -> Self {
        Self::Table(table)
    }
}

impl<'a> From<&'a Minimax> for Export<'a> {
    fn from(minimax: &'a Minimax) -> Self {
        Self::Minimax(minimax)
    }
}

/// What an export says of itself in words.
struct Facts<'a> {
    what: String,
    direction: Direction,
    range_c: (f64, f64),
    /// Arguments between which the error is proven.
    arguments: (f64, f64),
    largest_error: f64,
    error_unit: &'a str,
    proof: Proof,
}

impl<'a> Export<'a> {
    /// Plain C99: a header and a source, which include nothing but `<stdint.h>` for integers, need no mathematics library
    /// and compile without warnings.
    ///
    /// One function of the given name turns the argument into the value by the steps of [`super::firmware`]; between the
    /// ends of the argument its largest error is the proven one. Beyond them the nearer end answers. Compile it as ISO C
    /// (`-std=c99`), so that products and sums are not fused: the proof counts one rounding a step, and so the bits are those
    /// of `evaluate`.
    ///
    /// # Errors
    /// [`Error::UnknownName`] unless the name is a C identifier of lower-case letters, digits and underscores that begins
    /// with a letter.
    ///
    /// # Example
    /// ```
    /// use calcore::curves::Thermocouple;
    /// use calcore::linearization::{Export, Goal, TableOptions, lookup_table};
    /// let k = Thermocouple::new("K")?;
    /// let table = lookup_table(&k, 0.0, 1000.0, Goal::Segments(4), &TableOptions::default())?;
    /// let c = Export::from(&table).c99("type_k")?;
    /// assert!(c.header.contains("double type_k(double x);"));
    /// assert!(c.source.starts_with("#include \"type_k.h\""));
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn c99(self, name: &str) -> Result<CSource> {
        c99::source(self, check_name(name)?)
    }

    /// Rows of numbers with a heading: nodes of a table (`argument,value`, with `bend,skew` of the segment that begins
    /// there and, for fixed-point entries, the integers), or coefficients of a polynomial by their power.
    ///
    /// Every number is the shortest text that reads back to the same double.
    #[must_use]
    pub fn csv(self) -> String {
        csv::rows(self)
    }

    /// Everything that is known of it, as JSON: kind, version of the core, and all fields.
    ///
    /// # Errors
    /// [`Error::Document`] should a number not be representable.
    #[cfg(feature = "serde")]
    pub fn json(self) -> Result<String> {
        json::text(self)
    }

    fn facts(self) -> Facts<'a> {
        match self {
            Self::Table(table) => Facts {
                what: format!("table of {} segments", table.segments()),
                direction: table.options.direction,
                range_c: (table.low_c, table.high_c),
                arguments: (table.arguments[0], table.arguments[table.segments()]),
                largest_error: table.largest_error,
                error_unit: table.error_unit,
                proof: table.proof,
            },
            Self::Minimax(found) => Facts {
                what: if found.denominator.is_empty() {
                    format!("polynomial of degree {}", found.numerator.len().saturating_sub(1))
                } else {
                    let degree = |c: &[f64]| c.len().saturating_sub(1);
                    format!("quotient of degrees {} and {}", degree(&found.numerator), degree(&found.denominator))
                },
                direction: found.options.direction,
                range_c: (found.low_c, found.high_c),
                arguments: (found.low, found.high),
                largest_error: found.largest_error,
                error_unit: found.error_unit,
                proof: found.proof,
            },
        }
    }
}

fn check_name(name: &str) -> Result<&str> {
    let begins = name.starts_with(|c: char| c.is_ascii_lowercase());
    if begins && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_') && name.len() <= 31 {
        return Ok(name);
    }
    Err(Error::UnknownName {
        what: "name of a C function",
        name: name.into(),
        expected: "a letter, then letters, digits and underscores, all lower-case, 31 at most".into(),
    })
}
