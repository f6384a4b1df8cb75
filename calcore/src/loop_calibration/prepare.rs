//! What is the same for all points of a run, worked out once: conversions, numbered contributions, and the reference
//! record of every set point.

use super::contribution::TermScope;
use super::convert::Conversion;
use super::evaluate::mean;
use super::instrument::Instrument;
use super::links::ReferenceJunctionDescription;
use super::reference::{CombineReferences, ReferenceComparison};
use super::result::Warning;
use super::run::{Reading, Reference, Run};
use super::terms::{Numbering, PreparedTerm, Scope, ScopedTerm, join};
use crate::error::Result;
use crate::settling::{Trend, drift, lag_correction, reference_at};
use crate::uncertainty::Shape;

/// Where the junction of an instrument that compensates by itself is taken to be, °C. Common practice, no source.
const ROOM_C: f64 = 25.0;

/// A run with everything worked out that does not depend on the set point.
pub(super) struct Prepared<'a> {
    run: &'a Run,
    references: Vec<PreparedReference<'a>>,
    heat_source: Vec<PreparedTerm<'a>>,
    /// Whether a contribution may enter an error twice.
    pub has_sources: bool,
    pub instruments: Vec<PreparedInstrument<'a>>,
}

struct PreparedReference<'a> {
    described: &'a Reference,
    conversion: Conversion,
    terms: Vec<PreparedTerm<'a>>,
    /// Numbers of the errors of its reference junction and of the correction of its stem.
    junction: u32,
    stem: u32,
    /// Its part in the reference temperature.
    weight: f64,
}

pub(super) struct PreparedInstrument<'a> {
    pub described: &'a Instrument,
    pub conversion: Conversion,
    pub terms: Vec<PreparedTerm<'a>>,
    /// Numbers of the errors of its leads and of its reference junction.
    leads: u32,
    junction: u32,
}

/// The reference temperature over one set point.
pub(super) struct Record<'a> {
    pub set_point: usize,
    pub times_s: &'a [f64],
    pub t_c: Vec<f64>,
}

/// The reference at the moments at which an instrument was read, and what the moments cost.
pub(super) struct Timing {
    pub reference_c: Vec<f64>,
    pub terms: Vec<ScopedTerm>,
}

impl<'a> Prepared<'a> {
    pub(super) fn new(run: &'a Run) -> Result<Self> {
        let mut numbers = Numbering::default();
        let count = 1 + run.further_references.len();
        let mean_of_all = run.combine_references == Some(CombineReferences::Mean);
        let mut references = Vec::with_capacity(count);
        for (i, described) in std::iter::once(&run.reference).chain(&run.further_references).enumerate() {
            references.push(PreparedReference {
                described,
                conversion: Conversion::of_reference(described)?,
                terms: numbers.prepare(&described.tag, &described.contributions, TermScope::Run),
                junction: numbers.next(),
                stem: numbers.next(),
                weight: if mean_of_all { 1.0 / count as f64 } else { f64::from(u8::from(i == 0)) },
            });
        }
        let source = &run.heat_source;
        let heat_source = numbers.prepare(&source.tag, &source.contributions, TermScope::SetPoint);
        let mut instruments = Vec::with_capacity(run.instruments.len());
        for described in &run.instruments {
            instruments.push(PreparedInstrument {
                described,
                conversion: Conversion::of_instrument(described)?,
                terms: numbers.prepare(&described.tag, &described.contributions, TermScope::Point),
                leads: numbers.next(),
                junction: numbers.next(),
            });
        }
        Ok(Self { run, references, heat_source, has_sources: numbers.has_sources(), instruments })
    }

    /// The reference temperature at a set point: of the first reference, or the mean of all at its moments.
    pub(super) fn record(&self, set_point: usize) -> Result<Record<'a>> {
        let first = &self.references[0];
        let reading = self.run.reading(&self.run.set_points[set_point], &first.described.tag)?;
        let mut t_c = first.temperatures(reading)?;
        if first.weight < 1.0 {
            for t in &mut t_c {
                *t *= first.weight;
            }
            for other in &self.references[1..] {
                let reading = self.run.reading(&self.run.set_points[set_point], &other.described.tag)?;
                let theirs = Record { set_point, times_s: &reading.time_s, t_c: other.temperatures(reading)? };
                let times = &self.run.reading(&self.run.set_points[set_point], &first.described.tag)?.time_s;
                for (t, &time) in t_c.iter_mut().zip(times) {
                    *t += other.weight * theirs.at(time);
                }
            }
        }
        Ok(Record { set_point, times_s: &reading.time_s, t_c })
    }

    /// What all instruments share at a temperature: the reference for the whole run, the heat source at the set point.
    pub(super) fn shared_terms(&self, set_point: usize, reference_c: f64) -> Result<Vec<ScopedTerm>> {
        let mut terms = Vec::with_capacity(24);
        for reference in self.references.iter().filter(|reference| reference.weight > 0.0) {
            reference.add_terms(set_point, reference_c, -reference.weight, &mut terms)?;
        }
        for term in &self.heat_source {
            terms.push(term.at(set_point, reference_c, -1.0, 1.0)?);
        }
        if self.has_sources {
            join(&mut terms);
        }
        Ok(terms)
    }

    /// Compares the further references with the first.
    pub(super) fn compare(
        &self,
        set_point: usize,
        record: &Record<'_>,
        comparisons: &mut Vec<ReferenceComparison>,
        warnings: &mut Vec<Warning>,
    ) -> Result<()> {
        let Some((first, others)) = self.references.split_first().filter(|(_, others)| !others.is_empty()) else {
            return Ok(());
        };
        let here = &self.run.set_points[set_point];
        let own = self.run.reading(here, &first.described.tag)?;
        let own = Record { set_point, times_s: &own.time_s, t_c: first.temperatures(own)? };
        for other in others {
            let Some(reading) = here.readings.iter().find(|reading| reading.tag == other.described.tag) else {
                warnings.push(Warning {
                    code: "not_read".into(),
                    path: format!("set_points[{set_point}].readings"),
                    message: format!("{:?} was not read here and is left out", other.described.tag),
                });
                continue;
            };
            let theirs = other.temperatures(reading)?;
            let differences: Vec<f64> = theirs.iter().zip(&reading.time_s).map(|(t, &time)| t - own.at(time)).collect();
            let difference_k = mean(&differences);
            let t_c = mean(&record.t_c);
            let mut terms = Vec::new();
            first.add_terms(set_point, t_c, -1.0, &mut terms)?;
            other.add_terms(set_point, t_c, 1.0, &mut terms)?;
            for term in &self.heat_source {
                terms.push(term.at(set_point, t_c, 1.0, 1.0)?);
            }
            // A contribution of one source to both, such as the readout, cancels as far as it is the same.
            join(&mut terms);
            let variance: f64 = terms.iter().map(ScopedTerm::variance_k2).sum();
            let expanded = 2.0 * variance.sqrt();
            let agree = difference_k.abs() <= expanded;
            if !agree {
                warnings.push(Warning {
                    code: "references_disagree".into(),
                    path: format!("set_points[{set_point}]"),
                    message: format!(
                        "{:?} is {difference_k:+.4} K from {:?}, beyond {expanded:.4} K (k = 2)",
                        other.described.tag, first.described.tag
                    ),
                });
            }
            comparisons.push(ReferenceComparison {
                tag: other.described.tag.clone(),
                set_point,
                difference_k,
                expanded_uncertainty_k: expanded,
                e_n: if expanded > 0.0 { difference_k / expanded } else { 0.0 },
                agree,
            });
        }
        Ok(())
    }

    fn time_constant_s(&self) -> f64 {
        self.references.iter().map(|one| one.weight * one.described.time_constant_s.unwrap_or(0.0)).sum()
    }
}

impl PreparedReference<'_> {
    fn temperatures(&self, reading: &Reading) -> Result<Vec<f64>> {
        let anew =
            conversion_for(reading, self.described.reference_junction, || Conversion::of_reference(self.described))?;
        let conversion = anew.as_ref().unwrap_or(&self.conversion);
        reading.value.iter().map(|&value| conversion.to_c(value)).collect()
    }

    fn add_terms(&self, set_point: usize, t_c: f64, sign: f64, terms: &mut Vec<ScopedTerm>) -> Result<()> {
        let k_per_unit = self.conversion.k_per_unit(t_c)?;
        for term in &self.terms {
            terms.push(term.at(set_point, t_c, sign, k_per_unit)?);
        }
        let (tag, junction) = (&self.described.tag, self.described.reference_junction);
        terms.extend(junction_term(tag, junction, None, self.junction, &self.conversion, t_c, sign)?);
        if let Some(stem) = self.described.immersion {
            let (scope, quantity) = (Scope::Run(self.stem), format!("{tag}: immersion"));
            let term = ScopedTerm::kelvin(scope, &quantity, Shape::Normal, stem.relative_uncertainty);
            terms.push(ScopedTerm { sensitivity: -sign * stem.error_k(t_c)?, ..term });
        }
        Ok(())
    }
}

impl PreparedInstrument<'_> {
    /// Another conversion than usual, where the reading states its own reference junction.
    pub(super) fn conversion_for(&self, reading: &Reading) -> Result<Option<Conversion>> {
        conversion_for(reading, self.described.reference_junction, || Conversion::of_instrument(self.described))
    }

    /// What leads and reference junction contribute: one error each for all set points.
    pub(super) fn connection_terms(
        &self,
        own: &Conversion,
        reading: &Reading,
        t_c: f64,
        k_per_unit: f64,
        terms: &mut Vec<ScopedTerm>,
    ) -> Result<()> {
        let tag = &self.described.tag;
        if let Some((ohm, rectangular)) = self.described.wiring.and_then(|wiring| wiring.doubt_ohm()) {
            let (shape, u) = if rectangular { (Shape::Rectangular, ohm / 3f64.sqrt()) } else { (Shape::Normal, ohm) };
            let term = ScopedTerm::kelvin(Scope::Run(self.leads), &format!("{tag}: lead wires"), shape, u);
            terms.push(ScopedTerm { sensitivity: k_per_unit, ..term });
        }
        let junction = self.described.reference_junction;
        terms.extend(junction_term(tag, junction, reading.reference_junction_c, self.junction, own, t_c, 1.0)?);
        Ok(())
    }

    /// The reference at the moments of the readings.
    pub(super) fn timing(
        &self,
        reading: &Reading,
        record: &Record<'_>,
        prepared: &Prepared<'_>,
        warnings: &mut Vec<Warning>,
    ) -> Result<Timing> {
        let mut reference_c: Vec<f64> = Vec::with_capacity(reading.time_s.len());
        let mut terms = Vec::new();
        let mut extrapolated = 0.0f64;
        for &time in &reading.time_s {
            if record.covers(time) {
                reference_c.push(record.at(time));
            } else {
                let far = prepared.run.max_extrapolation_s.unwrap_or(0.0);
                let there = reference_at(record.times_s, &record.t_c, time, far)?;
                extrapolated = extrapolated.max(there.standard_uncertainty);
                reference_c.push(there.value);
            }
        }
        let tag = &self.described.tag;
        if extrapolated > 0.0 {
            let quantity = format!("{tag}: reference extrapolated");
            terms.push(ScopedTerm::kelvin(Scope::Private, &quantity, Shape::Normal, extrapolated));
        }
        let (late, slow) = (self.described.read_within_s, self.described.time_constant_s);
        if late.is_none() && slow.is_none() {
            return Ok(Timing { reference_c, terms });
        }
        let Some(trend) = record.trend() else {
            warnings.push(Warning {
                code: "no_drift".into(),
                path: format!("set_points[{}]", record.set_point),
                message: format!("fewer than 3 readings of the reference: its drift under {tag:?} is not known"),
            });
            return Ok(Timing { reference_c, terms });
        };
        if let Some(within_s) = late {
            let rate = f64::hypot(trend.slope_per_min, trend.u_slope_per_min) / 60.0;
            let (quantity, u) = (format!("{tag}: drift over the delay"), rate * within_s / 3f64.sqrt());
            terms.push(ScopedTerm::kelvin(Scope::Private, &quantity, Shape::Rectangular, u));
        }
        if let Some(seconds) = slow {
            let lag = lag_correction(seconds, prepared.time_constant_s(), trend.slope_per_min, trend.u_slope_per_min)?;
            // The instrument still feels what the reference felt that much earlier.
            for t in &mut reference_c {
                *t -= lag.correction_k;
            }
            let quantity = format!("{tag}: lag");
            terms.push(ScopedTerm::kelvin(Scope::Private, &quantity, Shape::Normal, lag.standard_uncertainty_k));
        }
        Ok(Timing { reference_c, terms })
    }
}

impl Record<'_> {
    fn covers(&self, time_s: f64) -> bool {
        self.times_s.first().is_some_and(|first| *first <= time_s)
            && self.times_s.last().is_some_and(|last| time_s <= *last)
    }

    /// Temperature at a moment, straight between the readings before and after it; the nearest outside.
    pub(super) fn at(&self, time_s: f64) -> f64 {
        let after = self.times_s.partition_point(|&time| time < time_s);
        let Some((&next_s, &next_c)) = self.times_s.get(after).zip(self.t_c.get(after)) else {
            return self.t_c[after - 1];
        };
        if after == 0 || next_s <= time_s {
            return next_c;
        }
        let (before_s, before_c) = (self.times_s[after - 1], self.t_c[after - 1]);
        before_c + (next_c - before_c) * ((time_s - before_s) / (next_s - before_s))
    }

    fn trend(&self) -> Option<Trend> {
        drift(self.times_s, &self.t_c, f64::INFINITY, 0.0).ok()
    }
}

fn conversion_for(
    reading: &Reading,
    junction: Option<ReferenceJunctionDescription>,
    build: impl Fn() -> Result<Conversion>,
) -> Result<Option<Conversion>> {
    if reading.reference_junction_c.is_none() {
        return Ok(None);
    }
    let mut conversion = build()?;
    conversion.set_junction(junction, reading.reference_junction_c)?;
    Ok(Some(conversion))
}

fn junction_term(
    tag: &str,
    junction: Option<ReferenceJunctionDescription>,
    measured_c: Option<f64>,
    number: u32,
    conversion: &Conversion,
    t_c: f64,
    sign: f64,
) -> Result<Option<ScopedTerm>> {
    let Some(junction) = junction else { return Ok(None) };
    let junction_c = measured_c.or(junction.t_c()).unwrap_or(ROOM_C);
    let (quantity, u) = (format!("{tag}: reference junction"), junction.standard_uncertainty_k());
    let term = ScopedTerm::kelvin(Scope::Run(number), &quantity, Shape::Normal, u);
    Ok(Some(ScopedTerm { sensitivity: sign * conversion.junction_sensitivity(junction_c, t_c)?, ..term }))
}
