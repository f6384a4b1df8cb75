//! Contradictions in a tolerance.

use super::check::Problems;
use super::instrument::{Instrument, ToleranceDescription};
use super::unit::Unit;
use crate::tolerance::{astm_e230_range, iec60584_range, iec60751_range};

pub(super) fn check_tolerance(
    tolerance: &ToleranceDescription,
    instrument: &Instrument,
    path: &str,
    problems: &mut Problems,
) {
    match tolerance {
        ToleranceDescription::Absolute { half_width, unit } => {
            problems.positive(format_args!("{path}.absolute.half_width"), *half_width, unit.name());
            let own = *unit == instrument.unit && *unit != Unit::Celsius;
            if !(own || *unit == Unit::Kelvin || *unit == Unit::Fahrenheit) {
                problems.add(
                    format!("{path}.absolute.unit"),
                    format!(
                        "{} is not possible: a difference is given in K, degF or the unit of the readings",
                        unit.name()
                    ),
                );
            }
            if *unit == Unit::Fahrenheit && instrument.unit != Unit::Fahrenheit {
                problems.add(
                    format!("{path}.absolute.unit"),
                    format!("degF on an instrument that reads {}: state it in K", instrument.unit.name()),
                );
            }
        }
        ToleranceDescription::PercentOfSpan { percent } => {
            problems.positive(format_args!("{path}.percent_of_span.percent"), *percent, "%");
        }
        ToleranceDescription::PercentOfReading { percent } => {
            problems.positive(format_args!("{path}.percent_of_reading.percent"), *percent, "%");
        }
        ToleranceDescription::Iec60751 { class, construction } => {
            let made = construction.unwrap_or_default();
            if problems.keep(format_args!("{path}.iec60751.class"), iec60751_range(class, made)).is_some()
                && construction.is_none()
                && !class.contains('.')
            {
                problems.add(
                    format!("{path}.iec60751.construction"),
                    "missing: wire_wound or film (the range of a thermometer class depends on it)",
                );
            }
        }
        ToleranceDescription::Iec60584 { letter, class } => {
            problems.keep(format_args!("{path}.iec60584"), iec60584_range(letter, *class));
        }
        ToleranceDescription::AstmE230 { letter, limits } => {
            problems.keep(format_args!("{path}.astm_e230"), astm_e230_range(letter, limits));
        }
        // Their names are judged at every set point.
        ToleranceDescription::AstmE1137 { .. } | ToleranceDescription::Gost6651 { .. } => {}
        ToleranceDescription::Asymmetric { lower_k, upper_k } => {
            let path = format!("{path}.asymmetric");
            problems.number(format_args!("{path}.lower_k"), *lower_k, "K", |k| k <= 0.0, "must not be positive");
            problems.not_negative(format_args!("{path}.upper_k"), *upper_k, "K");
        }
        ToleranceDescription::Sum(terms) | ToleranceDescription::Max(terms) => {
            let kind = if matches!(tolerance, ToleranceDescription::Sum(_)) { "sum" } else { "max" };
            if terms.is_empty() {
                problems.add(format!("{path}.{kind}"), "needs at least one term");
            }
            for (i, term) in terms.iter().enumerate() {
                check_tolerance(term, instrument, &format!("{path}.{kind}[{i}]"), problems);
            }
        }
    }
}
