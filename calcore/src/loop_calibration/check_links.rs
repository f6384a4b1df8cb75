//! Contradictions in how a sensor is connected and read.

use super::check::Problems;
use super::check_instruments::with_article;
use super::contribution::{Term, TermDistribution};
use super::convert::{Conversion, temperature_unit};
use super::curve::CurveDescription;
use super::instrument::{Instrument, LinkKind};
use super::links::{ReferenceJunctionDescription, WiringDescription};
use super::unit::Unit;
use crate::error::Result;

/// The curve must be one, and give its signal in the unit of the readings.
pub(super) fn check_curve(curve: &CurveDescription, unit: Unit, path: &str, problems: &mut Problems) {
    problems.keep(path, curve.build());
    if let Some(own) = curve.unit().filter(|own| *own != unit) {
        problems.add(path, format!("gives {}, but the readings are in {}", own.name(), unit.name()));
    }
}

/// A voltage means nothing without its reference junction, and nothing else has one.
pub(super) fn check_junction(
    junction: Option<ReferenceJunctionDescription>,
    unit: Unit,
    path: &str,
    problems: &mut Problems,
) {
    let path = format!("{path}.reference_junction");
    match junction {
        None if unit == Unit::Millivolt => {
            problems.add(path, "missing: readings in mV need it (ice, measured, or compensated_by_instrument)")
        }
        None => {}
        Some(_) if unit != Unit::Millivolt => {
            problems.add(path, format!("readings in {} have none; leave it out", unit.name()));
        }
        Some(junction) => {
            problems.not_negative(
                format_args!("{path}.standard_uncertainty_k"),
                junction.standard_uncertainty_k(),
                "K",
            );
            if let Some(t_c) = junction.t_c() {
                problems.finite(format_args!("{path}.t_c"), t_c);
            }
        }
    }
}

/// Only a junction that is measured can have a temperature of its own at a set point.
pub(super) fn check_junction_reading(
    measured_c: Option<f64>,
    junction: Option<ReferenceJunctionDescription>,
    path: &str,
    problems: &mut Problems,
) {
    let Some(t_c) = measured_c else { return };
    problems.finite(format_args!("{path}.reference_junction_c"), t_c);
    if !matches!(junction, Some(ReferenceJunctionDescription::Measured { .. })) {
        problems.add(
            format!("{path}.reference_junction_c"),
            "only where reference_junction is measured does a reading have one",
        );
    }
}

/// The conversion with the junction of a reading; none where it cannot be made, which is noted elsewhere.
pub(super) fn with_junction(
    conversion: Result<Conversion>,
    junction: Option<ReferenceJunctionDescription>,
    measured_c: Option<f64>,
) -> Option<Conversion> {
    let mut conversion = conversion.ok()?;
    conversion.set_junction(junction, measured_c).ok()?;
    Some(conversion)
}

/// Wiring, reference junction, transfer function and times of an instrument.
pub(super) fn check_connection(instrument: &Instrument, path: &str, problems: &mut Problems) {
    let element = instrument.kind == LinkKind::Element;
    if let Some(wiring) = instrument.wiring {
        let path = format!("{path}.wiring");
        if !(element && instrument.unit == Unit::Ohm) {
            let what = with_article(instrument.kind);
            problems.add(path.clone(), format!("only an element read in ohm has wires in its reading, not {what}"));
        }
        match wiring {
            WiringDescription::TwoWire { lead_resistance_ohm, standard_uncertainty_ohm } => {
                problems.not_negative(format_args!("{path}.two_wire.lead_resistance_ohm"), lead_resistance_ohm, "ohm");
                let path = format!("{path}.two_wire.standard_uncertainty_ohm");
                problems.not_negative(&path, standard_uncertainty_ohm, "ohm");
            }
            WiringDescription::TwoWireNotCorrected { largest_ohm } => {
                problems.positive(format_args!("{path}.two_wire_not_corrected.largest_ohm"), largest_ohm, "ohm");
            }
            WiringDescription::ThreeWire { mismatch_ohm } => {
                problems.not_negative(format_args!("{path}.three_wire.mismatch_ohm"), mismatch_ohm, "ohm");
            }
            WiringDescription::FourWire => {}
        }
    }
    if element {
        check_junction(instrument.reference_junction, instrument.unit, path, problems);
    } else if instrument.reference_junction.is_some() {
        let what = with_article(instrument.kind);
        problems.add(format!("{path}.reference_junction"), format!("{what} has none; leave it out"));
    }
    let says_itself = temperature_unit(instrument.unit).is_some() || instrument.unit == Unit::Milliampere;
    let path_of = format!("{path}.transfer");
    match &instrument.transfer {
        Some(_) if element => problems.add(path_of, "an element has a curve; leave it out"),
        Some(_) if temperature_unit(instrument.unit).is_some() => {
            problems.add(path_of, format!("readings in {} are temperatures; leave it out", instrument.unit.name()));
        }
        Some(transfer) => {
            problems.keep(&path_of, transfer.build(instrument.range, instrument.unit));
        }
        None if !element && !says_itself => problems
            .add(path_of, format!("missing: what readings in {} stand for (linear or table)", instrument.unit.name())),
        None => {}
    }
    for (name, seconds) in
        [("read_within_s", instrument.read_within_s), ("time_constant_s", instrument.time_constant_s)]
    {
        if let Some(seconds) = seconds {
            problems.not_negative(format_args!("{path}.{name}"), seconds, "s");
        }
    }
}

/// A certificate says nothing outside its points.
pub(super) fn check_certificate_range(term: &Term, nominal_c: f64, path: &str, problems: &mut Problems) {
    if let TermDistribution::Table { t_c, .. } = &term.distribution
        && let (Some(low), Some(high)) = (t_c.first(), t_c.last())
    {
        // As far as the interpolation goes along, see there.
        let hair = 0.01 * (high - low).max(1.0);
        if nominal_c < low - hair || nominal_c > high + hair {
            problems
                .add(path, format!("{nominal_c} °C lies outside the points of {:?}, {low} °C to {high} °C", term.name));
        }
    }
}
