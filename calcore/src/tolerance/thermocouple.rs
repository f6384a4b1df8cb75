//! Tolerance classes of thermocouples.

use crate::constants::thermocouple_tolerance::{ASTM_E230, Confirmation, IEC60584, ThermocoupleTolerance};
use crate::error::{Error, Result};
use crate::interval::Interval;

/// Half-width of a class of IEC 60584-1 at a temperature of the measuring junction, K.
///
/// # Formula
/// The greater of a fixed part and a part of |t|, such as 1.5 K or 0.004 |t| for type K, class 1; for types R and S of
/// class 1 above 1100 °C 1 K + 0.003 (t − 1100 °C).
///
/// # Arguments
/// `letter`: `K`, `N`, `E`, `J`, `T`, `R`, `S`, `B`, `C` or `A`; `class`: 1, 2 or 3; `t_c`: °C.
///
/// # Errors
/// [`Error::UnknownName`] for a letter or for a class that the type does not have; [`Error::NotFinite`];
/// [`Error::OutOfRange`] outside the range of the class.
///
/// # Source
/// IEC 60584-1:2013, tolerance table, by public summaries; types C and A are not confirmed
/// ([`iec60584_confirmation`]).
///
/// # Example
/// ```
/// use calcore::tolerance::iec60584;
/// assert_eq!(iec60584("K", 1, 300.0)?, 1.5);
/// assert_eq!(iec60584("K", 1, 500.0)?, 2.0);
/// let error = iec60584("K", 1, 1100.0).unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "temperature for type K, class 1 of IEC 60584-1, 1100 °C is outside -40 to 1000 °C"
/// );
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn iec60584(letter: &str, class: u8, t_c: f64) -> Result<f64> {
    half_width(&iec60584_lines(letter, class)?, t_c)
}

/// Range of temperature of a class of IEC 60584-1, °C.
///
/// # Errors
/// [`Error::UnknownName`].
pub fn iec60584_range(letter: &str, class: u8) -> Result<Interval> {
    Ok(range(&iec60584_lines(letter, class)?))
}

/// How sure a class of IEC 60584-1 is.
///
/// # Errors
/// [`Error::UnknownName`].
///
/// # Example
/// ```
/// use calcore::{constants::thermocouple_tolerance::Confirmation, tolerance::iec60584_confirmation};
/// assert_eq!(iec60584_confirmation("K", 1)?, Confirmation::Summaries);
/// assert_eq!(iec60584_confirmation("C", 2)?, Confirmation::Unconfirmed);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn iec60584_confirmation(letter: &str, class: u8) -> Result<Confirmation> {
    Ok(confirmation(&iec60584_lines(letter, class)?))
}

/// Half-width of the limits of ASTM E230 at a temperature of the measuring junction, K.
///
/// # Formula
/// The greater of a fixed part and a part of |t|, such as 2.2 K or 0.0075 t for type K, standard limits, from 0 °C up.
///
/// # Arguments
/// `letter`: `J`, `T`, `E`, `K`, `N`, `R`, `S`, `B` or `C`; `limits`: `standard` or `special`; `t_c`: °C.
///
/// # Errors
/// [`Error::UnknownName`] for a letter or for limits that the type does not have; [`Error::NotFinite`];
/// [`Error::OutOfRange`] outside the range of the limits.
///
/// # Source
/// ASTM E230/E230M-12, table of tolerances, by public summaries; on type K below 0 °C they differ and type C is not
/// confirmed ([`astm_e230_confirmation`]).
///
/// # Example
/// ```
/// use calcore::tolerance::astm_e230;
/// assert_eq!(astm_e230("K", "standard", 100.0)?, 2.2);
/// assert_eq!(astm_e230("K", "special", 1000.0)?, 4.0);
/// assert_eq!(astm_e230("K", "standard", -200.0)?, 4.0);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn astm_e230(letter: &str, limits: &str, t_c: f64) -> Result<f64> {
    half_width(&astm_e230_lines(letter, limits)?, t_c)
}

/// Range of temperature of the limits of ASTM E230, °C.
///
/// # Errors
/// [`Error::UnknownName`].
pub fn astm_e230_range(letter: &str, limits: &str) -> Result<Interval> {
    Ok(range(&astm_e230_lines(letter, limits)?))
}

/// How sure the limits of ASTM E230 at a temperature are.
///
/// # Errors
/// As [`astm_e230`].
pub fn astm_e230_confirmation(letter: &str, limits: &str, t_c: f64) -> Result<Confirmation> {
    let lines = astm_e230_lines(letter, limits)?;
    let t_c = range(&lines).check(t_c)?;
    Ok(confirmation(&[line_at(&lines, t_c)]))
}

fn iec60584_lines(letter: &str, class: u8) -> Result<Vec<&'static ThermocoupleTolerance>> {
    lines(&IEC60584, "IEC 60584-1", letter, &format!("class {class}"))
}

fn astm_e230_lines(letter: &str, limits: &str) -> Result<Vec<&'static ThermocoupleTolerance>> {
    lines(&ASTM_E230, "ASTM E230", letter, &format!("{limits} limits"))
}

/// The lines of a type and class, in the order of temperature; at least one.
fn lines(
    table: &'static [ThermocoupleTolerance],
    standard: &str,
    letter: &str,
    class: &str,
) -> Result<Vec<&'static ThermocoupleTolerance>> {
    let of_type: Vec<_> = table.iter().filter(|line| line.letter == letter).collect();
    let distinct = |names: Vec<&'static str>| {
        let mut kept: Vec<&str> = Vec::new();
        for name in names {
            if !kept.contains(&name) {
                kept.push(name);
            }
        }
        kept.join(", ")
    };
    if of_type.is_empty() {
        let letters = distinct(table.iter().map(|line| line.letter).collect());
        let expected = format!("{letters} ({standard})");
        return Err(Error::UnknownName {
            what: "type of thermocouple with a tolerance",
            name: letter.into(),
            expected,
        });
    }
    let mut found: Vec<_> = of_type.iter().copied().filter(|line| line.class == class).collect();
    if found.is_empty() {
        let classes = distinct(of_type.iter().map(|line| line.class).collect());
        let expected = format!("{classes} (type {letter}, {standard})");
        return Err(Error::UnknownName { what: "tolerance class", name: class.into(), expected });
    }
    found.sort_by(|a, b| a.low_c.total_cmp(&b.low_c));
    Ok(found)
}

fn range(lines: &[&ThermocoupleTolerance]) -> Interval {
    let low = lines.iter().fold(f64::INFINITY, |low, line| low.min(line.low_c));
    let high = lines.iter().fold(f64::NEG_INFINITY, |high, line| high.max(line.high_c));
    Interval { what: lines.first().map_or("temperature", |line| line.quantity), unit: "°C", low, high }
}

/// The first line that holds a temperature; where two meet they agree.
fn line_at<'a>(lines: &[&'a ThermocoupleTolerance], t_c: f64) -> &'a ThermocoupleTolerance {
    lines.iter().find(|line| t_c <= line.high_c).copied().unwrap_or(lines[lines.len() - 1])
}

fn confirmation(lines: &[&ThermocoupleTolerance]) -> Confirmation {
    let found = |wanted: Confirmation| lines.iter().any(|line| line.confirmation == wanted);
    if found(Confirmation::Unconfirmed) {
        Confirmation::Unconfirmed
    } else if found(Confirmation::Conflict) {
        Confirmation::Conflict
    } else {
        Confirmation::Summaries
    }
}

fn half_width(lines: &[&ThermocoupleTolerance], t_c: f64) -> Result<f64> {
    let t_c = range(lines).check(t_c)?;
    let line = line_at(lines, t_c);
    Ok(line.fixed_k.max(line.relative * t_c.abs()) + line.slope * (t_c - line.slope_from_c).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_a_class_meet() {
        for table in [&IEC60584[..], &ASTM_E230[..]] {
            for line in table {
                let of_class: Vec<_> =
                    table.iter().filter(|other| (other.letter, other.class) == (line.letter, line.class)).collect();
                for pair in of_class.windows(2) {
                    let (a, b) = if pair[0].low_c < pair[1].low_c { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
                    assert_eq!(a.high_c, b.low_c);
                    assert_eq!(half_width(&[a], a.high_c), half_width(&[b], b.low_c), "{}", line.quantity);
                }
            }
        }
    }

    #[test]
    fn what_a_type_does_not_have_is_answered_with_what_it_has() {
        let message = iec60584("J", 3, 0.0).unwrap_err().to_string();
        assert!(message.contains("class 1, class 2 (type J"), "{message}");
        let message = iec60584("X", 1, 0.0).unwrap_err().to_string();
        assert!(message.contains("K, N, E, J, T, R, S, B, C, A"), "{message}");
        assert_eq!(astm_e230("C", "special", 100.0).map_err(|e| e.code()), Err(104));
        assert_eq!(astm_e230("K", "special", -1.0).map_err(|e| e.code()), Err(102));
        assert_eq!(iec60584("K", 1, f64::NAN).map_err(|e| e.code()), Err(101));
    }

    #[test]
    fn doubtful_entries_say_so() {
        assert_eq!(astm_e230_confirmation("K", "standard", -100.0), Ok(Confirmation::Conflict));
        assert_eq!(astm_e230_confirmation("K", "standard", 100.0), Ok(Confirmation::Summaries));
        assert_eq!(astm_e230_confirmation("C", "standard", 100.0), Ok(Confirmation::Unconfirmed));
        assert_eq!(iec60584_confirmation("A", 2), Ok(Confirmation::Unconfirmed));
        // 1 K + 0.003 (1600 − 1100) K = 2.5 K, by hand.
        assert_eq!(iec60584("S", 1, 1600.0), Ok(2.5));
    }
}
