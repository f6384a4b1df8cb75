//! Contradictions among the readings.

use super::check::Problems;
use super::check_links::{check_certificate_range, check_junction_reading, with_junction};
use super::convert::Conversion;
use super::reference::CombineReferences;
use super::run::{Reading, Run, SetPoint};
use super::unit::Unit;
use crate::circuit::SignalLevels;

impl Run {
    pub(super) fn check_set_points(&self, problems: &mut Problems) {
        if self.set_points.is_empty() {
            problems.add("set_points", "at least one is needed");
        }
        let mut ended_s = f64::NEG_INFINITY;
        for (i, set_point) in self.set_points.iter().enumerate() {
            let path = format!("set_points[{i}]");
            problems.finite(format_args!("{path}.nominal_c"), set_point.nominal_c);
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
            problems.keep(format_args!("{path} (tolerance of {:?})", reading.tag), tolerance);
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
            problems.keep(format_args!("{path}.value[{j}]"), conversion.to_c(value));
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
        problems.finite(format_args!("{path}.value[{j}]"), value);
    }
    for (j, &time) in reading.time_s.iter().enumerate() {
        problems.finite(format_args!("{path}.time_s[{j}]"), time);
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
