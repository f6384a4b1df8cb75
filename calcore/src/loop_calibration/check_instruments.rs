//! Contradictions among the links: what each is, its range and tolerance, and where it stands in the chain.

use super::check::Problems;
use super::check_links::{check_connection, check_curve};
use super::check_reference::check_terms;
use super::check_tolerance::check_tolerance;
use super::convert::temperature_unit;
use super::instrument::{Instrument, LinkKind};
use super::run::Run;
use super::unit::Unit;
use std::collections::BTreeMap;

impl Run {
    pub(super) fn check_instruments(&self, problems: &mut Problems) {
        if self.instruments.is_empty() {
            problems.add("instruments", "at least one is needed");
        }
        let mut places = BTreeMap::from([(self.reference.tag.as_str(), "reference.tag".to_owned())]);
        for (i, reference) in self.further_references.iter().enumerate() {
            let path = format!("further_references[{i}].tag");
            if let Some(first) = places.get(reference.tag.as_str()) {
                problems.add(path, format!("{:?} is taken by {first}", reference.tag));
            } else {
                places.insert(reference.tag.as_str(), path);
            }
        }
        for (i, instrument) in self.instruments.iter().enumerate() {
            let path = format!("instruments[{i}]");
            let tag = instrument.tag.as_str();
            if tag.is_empty() {
                problems.add(format!("{path}.tag"), "must not be empty");
            } else if let Some(first) = places.get(tag) {
                problems.add(format!("{path}.tag"), format!("{tag:?} is taken by {first}"));
            } else {
                places.insert(tag, format!("{path}.tag"));
            }
            self.check_link(instrument, &path, problems);
            check_instrument(instrument, &path, problems);
            check_connection(instrument, &path, problems);
        }
        self.check_circle(problems);
    }

    /// Links of the user's own may stand anywhere, but not in a circle.
    fn check_circle(&self, problems: &mut Problems) {
        for (i, instrument) in self.instruments.iter().enumerate() {
            let mut here = instrument;
            for _ in 0..self.instruments.len() {
                let Some(before) =
                    here.input.as_ref().and_then(|input| self.instruments.iter().find(|other| other.tag == *input))
                else {
                    break;
                };
                if before.tag == instrument.tag {
                    problems.add(format!("instruments[{i}].input"), "the chain of links comes back to this one");
                    break;
                }
                here = before;
            }
        }
    }

    /// The link that it takes its value from must exist and come before it.
    fn check_link(&self, instrument: &Instrument, path: &str, problems: &mut Problems) {
        let path = format!("{path}.input");
        match (&instrument.input, instrument.kind) {
            (None, LinkKind::Element) => {}
            (Some(input), LinkKind::Element) => {
                problems.add(path, format!("an element takes no value from another link, but {input:?} is given"));
            }
            (None, _) => problems.add(path, "missing: the tag of the link that it takes its value from"),
            (Some(input), kind) => match self.instruments.iter().find(|other| other.tag == *input) {
                None => problems.add(path, format!("no instrument has the tag {input:?}")),
                Some(other) if other.tag == instrument.tag => problems.add(path, "a link cannot take its own value"),
                Some(other) if other.kind == LinkKind::Custom || kind == LinkKind::Custom => {}
                Some(other) if position(other.kind) >= position(kind) => problems
                    .add(path, format!("{} {input:?} cannot come before {}", name(other.kind), with_article(kind))),
                Some(_) => {}
            },
        }
    }
}

fn check_instrument(instrument: &Instrument, path: &str, problems: &mut Problems) {
    let possible: &[Unit] = match instrument.kind {
        LinkKind::Element => &[Unit::Ohm, Unit::Millivolt],
        LinkKind::Transmitter => {
            &[Unit::Milliampere, Unit::Celsius, Unit::Fahrenheit, Unit::Kelvin, Unit::Volt, Unit::Percent]
        }
        LinkKind::OutputStage => &[Unit::Milliampere, Unit::Volt],
        LinkKind::Indicator | LinkKind::ControlSystem => {
            &[Unit::Celsius, Unit::Fahrenheit, Unit::Kelvin, Unit::Percent, Unit::One]
        }
        LinkKind::InputCard | LinkKind::Custom => &[
            Unit::Milliampere,
            Unit::Volt,
            Unit::Millivolt,
            Unit::Ohm,
            Unit::Percent,
            Unit::One,
            Unit::Celsius,
            Unit::Fahrenheit,
            Unit::Kelvin,
        ],
    };
    if !possible.contains(&instrument.unit) {
        let names: Vec<&str> = possible.iter().map(|unit| unit.name()).collect();
        problems.add(
            format!("{path}.unit"),
            format!(
                "{} is not possible for {}: {}",
                instrument.unit.name(),
                with_article(instrument.kind),
                names.join(", ")
            ),
        );
    }
    match (instrument.kind, &instrument.curve) {
        (LinkKind::Element, None) => {
            problems.add(format!("{path}.curve"), "missing: the curve by which the element is read");
        }
        (LinkKind::Element, Some(curve)) => check_curve(curve, instrument.unit, &format!("{path}.curve"), problems),
        (kind, Some(_)) => {
            problems.add(format!("{path}.curve"), format!("{} has none; leave it out", with_article(kind)));
        }
        (_, None) => {}
    }
    check_range(instrument, &format!("{path}.range"), problems);
    problems.not_negative(format_args!("{path}.resolution"), instrument.resolution, instrument.unit.name());
    if instrument.rounding.is_some() && instrument.resolution <= 0.0 {
        problems.add(format!("{path}.rounding"), "needs a resolution greater than 0, or leave it out");
    }
    check_tolerance(&instrument.tolerance, instrument, &format!("{path}.tolerance"), problems);
    check_terms(&format!("{path}.contributions"), &instrument.contributions, instrument.unit, problems);
}

fn check_range(instrument: &Instrument, path: &str, problems: &mut Problems) {
    let range = instrument.range;
    if temperature_unit(range.unit).is_none() {
        problems.add(format!("{path}.unit"), format!("{} is not a unit of temperature", range.unit.name()));
        return;
    }
    if problems.keep(path, range.ends_c()).is_none() {
        return;
    }
    let reversed = range.low > range.high && instrument.unit != Unit::Milliampere;
    if reversed || range.low.total_cmp(&range.high).is_eq() {
        let unit = range.unit.name();
        problems.add(path, format!("low, {} {unit}, must be below high, {} {unit}", range.low, range.high));
    }
}

/// Where in the chain a link can stand.
fn position(kind: LinkKind) -> u8 {
    match kind {
        LinkKind::Element => 0,
        LinkKind::Transmitter => 1,
        LinkKind::OutputStage => 2,
        LinkKind::InputCard => 3,
        LinkKind::Indicator | LinkKind::ControlSystem => 4,
        // Anywhere; never compared.
        LinkKind::Custom => 2,
    }
}

fn name(kind: LinkKind) -> &'static str {
    match kind {
        LinkKind::Element => "element",
        LinkKind::Transmitter => "transmitter",
        LinkKind::OutputStage => "output stage",
        LinkKind::Indicator => "indicator",
        LinkKind::ControlSystem => "control-system value",
        LinkKind::InputCard => "input card",
        LinkKind::Custom => "link of one's own",
    }
}

pub(super) fn with_article(kind: LinkKind) -> String {
    let article = if matches!(name(kind).as_bytes()[0], b'e' | b'i' | b'o') { "an" } else { "a" };
    format!("{article} {}", name(kind))
}
