//! Contradictions in a description: all of them, each with the path of its field.

use super::check_links::{
    check_certificate_range, check_connection, check_curve, check_junction, check_junction_reading, with_junction,
};
use super::convert::{Conversion, temperature_unit};
use super::reference::{CombineReferences, check_table};
use super::run::{
    CoverageDescription, Instrument, LinkKind, Reading, Reference, RuleName, Run, SCHEMA_VERSION, SetPoint, Term,
    TermDistribution, TermScope, ToleranceDescription, Unit,
};
use crate::circuit::SignalLevels;
use crate::error::{Error, Problem, Result};
use crate::settling::Monitor;
use crate::tolerance::{astm_e230_range, iec60584_range, iec60751_range};
use std::collections::BTreeMap;

/// The problems found so far.
#[derive(Default)]
pub(super) struct Problems(Vec<Problem>);

impl Problems {
    pub(super) fn add(&mut self, path: impl Into<String>, message: impl Into<String>) {
        self.0.push(Problem { path: path.into(), message: message.into() });
    }

    /// Notes the error of a fallible step under a path and returns its value otherwise.
    pub(super) fn keep<T>(&mut self, path: &str, result: Result<T>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                self.add(path, error.to_string());
                None
            }
        }
    }

    pub(super) fn number(
        &mut self,
        path: &str,
        value: f64,
        unit: &str,
        allowed: impl Fn(f64) -> bool,
        requirement: &str,
    ) {
        if !(value.is_finite() && allowed(value)) {
            self.add(path, format!("{} {requirement}", quantity(value, unit)));
        }
    }

    pub(super) fn positive(&mut self, path: &str, value: f64, unit: &str) {
        self.number(path, value, unit, |v| v > 0.0, "must be greater than 0");
    }

    pub(super) fn not_negative(&mut self, path: &str, value: f64, unit: &str) {
        self.number(path, value, unit, |v| v >= 0.0, "must not be negative");
    }

    pub(super) fn finite(&mut self, path: &str, value: f64) {
        self.number(path, value, "", |_| true, "must be a finite number");
    }
}

fn quantity(value: f64, unit: &str) -> String {
    if unit.is_empty() { value.to_string() } else { format!("{value} {unit}") }
}

impl Run {
    /// Looks for contradictions; [`Run::from_json`] and [`Run::evaluate`] do so by themselves.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] with every contradiction found.
    pub fn check(&self) -> Result<()> {
        let mut problems = Problems::default();
        self.check_head(&mut problems);
        check_reference(&self.reference, "reference", &mut problems);
        for (i, reference) in self.further_references.iter().enumerate() {
            check_reference(reference, &format!("further_references[{i}]"), &mut problems);
        }
        check_terms("heat_source.contributions", &self.heat_source.contributions, Unit::Kelvin, &mut problems);
        self.check_instruments(&mut problems);
        self.check_set_points(&mut problems);
        if problems.0.is_empty() { Ok(()) } else { Err(Error::InvalidRun { problems: problems.0 }) }
    }

    fn check_head(&self, problems: &mut Problems) {
        if self.schema_version != SCHEMA_VERSION {
            problems.add(
                "schema_version",
                format!("{} is not known; this version reads {SCHEMA_VERSION}", self.schema_version),
            );
        }
        match self.coverage {
            CoverageDescription::Probability(p) => {
                problems.number("coverage.probability", p, "", |p| p > 0.0 && p < 1.0, "must lie between 0 and 1");
            }
            CoverageDescription::Shapes(p) => {
                problems.number("coverage.shapes", p, "", |p| p > 0.0 && p < 1.0, "must lie between 0 and 1");
            }
            CoverageDescription::Factor(k) => problems.positive("coverage.factor", k, ""),
        }
        if let Some(factor) = self.decision.guard_band_factor {
            problems.not_negative("decision.guard_band_factor", factor, "");
            if self.decision.rule == RuleName::Simple {
                problems.add("decision.guard_band_factor", "simple acceptance has no guard band; leave it out");
            }
        }
        if let Some(settling) = self.settling {
            problems.positive("settling.window_s", settling.window_s, "s");
            problems.positive("settling.max_span_k", settling.max_span_k, "K");
            problems.positive("settling.max_slope_k_per_min", settling.max_slope_k_per_min, "K/min");
        }
        if let Some(criterion) = self.settled {
            problems.keep("settled", Monitor::new(criterion));
        }
        if let Some(seconds) = self.max_extrapolation_s {
            problems.not_negative("max_extrapolation_s", seconds, "s");
        }
        if self.combine_references == Some(CombineReferences::Mean) && self.further_references.is_empty() {
            problems.add("combine_references", "a mean needs further_references; leave it out or add them");
        }
    }

    fn check_instruments(&self, problems: &mut Problems) {
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

    fn check_set_points(&self, problems: &mut Problems) {
        if self.set_points.is_empty() {
            problems.add("set_points", "at least one is needed");
        }
        let mut ended_s = f64::NEG_INFINITY;
        for (i, set_point) in self.set_points.iter().enumerate() {
            let path = format!("set_points[{i}]");
            problems.finite(&format!("{path}.nominal_c"), set_point.nominal_c);
            for (k, reading) in set_point.readings.iter().enumerate() {
                let path = format!("{path}.readings[{k}]");
                if set_point.readings[..k].iter().any(|other| other.tag == reading.tag) {
                    problems.add(format!("{path}.tag"), format!("{:?} has readings above already", reading.tag));
                }
                check_reading(reading, &path, problems);
                self.check_values(set_point, reading, &path, problems);
            }
            let times = || set_point.readings.iter().flat_map(|reading| reading.time_s.iter().copied());
            let began_s = times().fold(f64::INFINITY, f64::min);
            if began_s <= ended_s {
                problems.add(
                    format!("{path}.readings"),
                    format!("begin at {began_s} s, before the last reading of the set point above, {ended_s} s"),
                );
            }
            ended_s = times().fold(ended_s, f64::max);
            match set_point.readings.iter().find(|reading| reading.tag == self.reference.tag) {
                None => problems
                    .add(format!("{path}.readings"), format!("the reference {:?} was not read", self.reference.tag)),
                Some(reference) => {
                    let far_s = self.max_extrapolation_s.filter(|_| reference.time_s.len() > 2).unwrap_or(0.0);
                    check_times(set_point, reference, far_s, &path, problems);
                }
            }
            if self.combine_references == Some(CombineReferences::Mean) {
                for other in &self.further_references {
                    if !set_point.readings.iter().any(|reading| reading.tag == other.tag) {
                        let message =
                            format!("{:?} was not read, but the mean of all references is asked for", other.tag);
                        problems.add(format!("{path}.readings"), message);
                    }
                }
            }
            let read = |tag: &str| set_point.readings.iter().any(|reading| reading.tag == tag);
            let references = std::iter::once(&self.reference).chain(&self.further_references);
            let of_references = references.filter(|one| read(&one.tag)).map(|one| (&one.tag, &one.contributions));
            let of_instruments =
                self.instruments.iter().filter(|one| read(&one.tag)).map(|one| (&one.tag, &one.contributions));
            let source = std::iter::once((&self.heat_source.tag, &self.heat_source.contributions));
            for (tag, terms) in source.chain(of_references).chain(of_instruments) {
                for term in terms {
                    check_certificate_range(term, set_point.nominal_c, &format!("{path} ({tag:?})"), problems);
                }
            }
        }
    }

    fn check_values(&self, set_point: &SetPoint, reading: &Reading, path: &str, problems: &mut Problems) {
        let references = || std::iter::once(&self.reference).chain(&self.further_references);
        let measured_c = reading.reference_junction_c;
        let conversion = if let Some(reference) = references().find(|one| one.tag == reading.tag) {
            check_junction_reading(measured_c, reference.reference_junction, path, problems);
            with_junction(Conversion::of_reference(reference), reference.reference_junction, measured_c)
        } else {
            let Some(instrument) = self.instruments.iter().find(|other| other.tag == reading.tag) else {
                problems.add(format!("{path}.tag"), format!("no instrument has the tag {:?}", reading.tag));
                return;
            };
            if let Ok((low, high)) = instrument.range.ends_c() {
                let (low, high) = (low.min(high), low.max(high));
                if set_point.nominal_c < low || set_point.nominal_c > high {
                    problems.add(
                        path,
                        format!(
                            "the set point {} °C lies outside the range of {:?}, {low} °C to {high} °C",
                            set_point.nominal_c, reading.tag
                        ),
                    );
                }
            }
            let tolerance = instrument.tolerance.build(instrument, 1.0).and_then(|t| t.limits(set_point.nominal_c));
            problems.keep(&format!("{path} (tolerance of {:?})", reading.tag), tolerance);
            check_junction_reading(measured_c, instrument.reference_junction, path, problems);
            if instrument.unit == Unit::Milliampere && instrument.transfer.is_none() {
                check_current(reading, path, problems);
                return;
            }
            with_junction(Conversion::of_instrument(instrument), instrument.reference_junction, measured_c)
        };
        // A conversion that cannot be made is a problem of the instrument and noted there.
        let Some(conversion) = conversion else { return };
        for (j, &value) in reading.value.iter().enumerate().filter(|(_, value)| value.is_finite()) {
            problems.keep(&format!("{path}.value[{j}]"), conversion.to_c(value));
        }
    }
}

fn check_reference(reference: &Reference, path: &str, problems: &mut Problems) {
    if reference.tag.is_empty() {
        problems.add(format!("{path}.tag"), "must not be empty");
    }
    let unit = reference.unit;
    let possible = temperature_unit(unit).is_some() || matches!(unit, Unit::Ohm | Unit::Millivolt);
    match (&reference.curve, temperature_unit(unit)) {
        _ if !possible => problems.add(
            format!("{path}.unit"),
            format!("{} is not a unit of a reference thermometer: ohm, degC, degF or K", unit.name()),
        ),
        (None, None) => problems.add(
            format!("{path}.curve"),
            format!("missing: readings in {} need the coefficients of the certificate", unit.name()),
        ),
        (Some(curve), None) => {
            check_curve(curve, unit, &format!("{path}.curve"), problems);
        }
        (Some(_), Some(_)) => problems.add(
            format!("{path}.curve"),
            format!("readings in {} need no curve; leave it out or give them in ohm", unit.name()),
        ),
        (None, Some(_)) => {}
    }
    check_junction(reference.reference_junction, unit, path, problems);
    let tables = [("readout", &reference.readout_correction), ("temperature", &reference.temperature_correction)];
    for (name, table) in tables {
        if let Some(table) = table {
            problems.keep(&format!("{path}.{name}_correction"), table.check());
        }
    }
    if let Some(heating) = reference.self_heating {
        let path = format!("{path}.self_heating");
        if unit != Unit::Ohm {
            problems.add(path.clone(), "only readings in ohm say how much power heats the sensor; leave it out");
        }
        problems.not_negative(&format!("{path}.k_per_mw"), heating.k_per_mw, "K/mW");
        problems.not_negative(&format!("{path}.current_ma"), heating.current_ma, "mA");
        problems.not_negative(&format!("{path}.certificate_current_ma"), heating.certificate_current_ma, "mA");
    }
    if let Some(seconds) = reference.time_constant_s {
        problems.not_negative(&format!("{path}.time_constant_s"), seconds, "s");
    }
    if reference.contributions.is_empty() {
        problems.add(format!("{path}.contributions"), "at least the certificate of the reference is needed");
    }
    check_terms(&format!("{path}.contributions"), &reference.contributions, unit, problems);
}

fn check_terms(path: &str, terms: &[Term], own: Unit, problems: &mut Problems) {
    for (i, term) in terms.iter().enumerate() {
        let path = format!("{path}[{i}]");
        let unit = term.unit.name();
        if term.unit != Unit::Kelvin && (term.unit != own || temperature_unit(own).is_some()) {
            let known = if temperature_unit(own).is_none() {
                format!("K or {}", own.name())
            } else {
                "K (a difference)".into()
            };
            problems.add(format!("{path}.unit"), format!("{unit} is not possible here: {known}"));
        }
        if term.scope == Some(TermScope::SetPoint) && !path.starts_with("heat_source") {
            problems.add(format!("{path}.scope"), "only a contribution of the heat source is shared at a set point");
        }
        if term.source.as_ref().is_some_and(|_| term.scope.is_some_and(|scope| scope != TermScope::Run)) {
            problems.add(format!("{path}.scope"), "a contribution with a source is one error in the whole run");
        }
        let path = format!("{path}.distribution");
        match &term.distribution {
            TermDistribution::Table { t_c, expanded_uncertainty, coverage_factor } => {
                problems.keep(&format!("{path}.table"), check_table("expanded uncertainty", t_c, expanded_uncertainty));
                for (j, u) in expanded_uncertainty.iter().enumerate() {
                    problems.not_negative(&format!("{path}.table.expanded_uncertainty[{j}]"), *u, unit);
                }
                problems.positive(&format!("{path}.table.coverage_factor"), *coverage_factor, "");
            }
            &TermDistribution::UShaped { half_width } => {
                problems.not_negative(&format!("{path}.u_shaped.half_width"), half_width, unit);
            }
            &TermDistribution::Normal { standard_uncertainty, degrees_of_freedom } => {
                problems.not_negative(&format!("{path}.normal.standard_uncertainty"), standard_uncertainty, unit);
                if let Some(nu) = degrees_of_freedom {
                    problems.positive(&format!("{path}.normal.degrees_of_freedom"), nu, "");
                }
            }
            &TermDistribution::Expanded { expanded_uncertainty, coverage_factor } => {
                problems.not_negative(&format!("{path}.expanded.expanded_uncertainty"), expanded_uncertainty, unit);
                problems.positive(&format!("{path}.expanded.coverage_factor"), coverage_factor, "");
            }
            &TermDistribution::Rectangular { half_width } => {
                problems.not_negative(&format!("{path}.rectangular.half_width"), half_width, unit);
            }
            &TermDistribution::Triangular { half_width } => {
                problems.not_negative(&format!("{path}.triangular.half_width"), half_width, unit);
            }
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
    problems.not_negative(&format!("{path}.resolution"), instrument.resolution, instrument.unit.name());
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

fn check_tolerance(tolerance: &ToleranceDescription, instrument: &Instrument, path: &str, problems: &mut Problems) {
    match tolerance {
        ToleranceDescription::Absolute { half_width, unit } => {
            problems.positive(&format!("{path}.absolute.half_width"), *half_width, unit.name());
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
            problems.positive(&format!("{path}.percent_of_span.percent"), *percent, "%");
        }
        ToleranceDescription::PercentOfReading { percent } => {
            problems.positive(&format!("{path}.percent_of_reading.percent"), *percent, "%");
        }
        ToleranceDescription::Iec60751 { class, construction } => {
            let made = construction.unwrap_or_default();
            if problems.keep(&format!("{path}.iec60751.class"), iec60751_range(class, made)).is_some()
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
            problems.keep(&format!("{path}.iec60584"), iec60584_range(letter, *class));
        }
        ToleranceDescription::AstmE230 { letter, limits } => {
            problems.keep(&format!("{path}.astm_e230"), astm_e230_range(letter, limits));
        }
        // Their names are judged at every set point.
        ToleranceDescription::AstmE1137 { .. } | ToleranceDescription::Gost6651 { .. } => {}
        ToleranceDescription::Asymmetric { lower_k, upper_k } => {
            let path = format!("{path}.asymmetric");
            problems.number(&format!("{path}.lower_k"), *lower_k, "K", |k| k <= 0.0, "must not be positive");
            problems.not_negative(&format!("{path}.upper_k"), *upper_k, "K");
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

fn check_reading(reading: &Reading, path: &str, problems: &mut Problems) {
    if reading.value.is_empty() {
        problems.add(format!("{path}.value"), "at least one reading is needed; leave out an instrument not read");
    }
    if reading.time_s.len() != reading.value.len() {
        problems.add(
            format!("{path}.time_s"),
            format!("{} times for {} values", reading.time_s.len(), reading.value.len()),
        );
    }
    for (j, &value) in reading.value.iter().enumerate() {
        problems.finite(&format!("{path}.value[{j}]"), value);
    }
    for (j, &time) in reading.time_s.iter().enumerate() {
        problems.finite(&format!("{path}.time_s[{j}]"), time);
        if j > 0 && time <= reading.time_s[j - 1] {
            problems.add(
                format!("{path}.time_s[{j}]"),
                format!("{time} s must be later than the reading before, {} s", reading.time_s[j - 1]),
            );
        }
    }
}

/// The reference must have been read before and after (or at) every moment at which it is needed.
fn check_times(set_point: &SetPoint, reference: &Reading, far_s: f64, path: &str, problems: &mut Problems) {
    let (Some(&first), Some(&last)) = (reference.time_s.first(), reference.time_s.last()) else { return };
    for (k, reading) in set_point.readings.iter().enumerate() {
        for (j, &time) in reading.time_s.iter().enumerate() {
            if time < first - far_s || time > last + far_s {
                problems.add(
                    format!("{path}.readings[{k}].time_s[{j}]"),
                    format!(
                        "{time} s lies outside the readings of the reference {:?}, {first} s to {last} s",
                        reference.tag
                    ),
                );
            }
        }
    }
}

/// A saturated or failed current says nothing about the temperature (NAMUR NE 43).
fn check_current(reading: &Reading, path: &str, problems: &mut Problems) {
    let measuring = SignalLevels::NE43.measuring();
    for (j, &ma) in reading.value.iter().enumerate().filter(|(_, ma)| ma.is_finite()) {
        if let Err(error) = measuring.check(ma) {
            problems.add(
                format!("{path}.value[{j}]"),
                format!("{error} (NAMUR NE 43): a saturated or failed current is no measurement; leave it out"),
            );
        }
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
