//! From raw readings to errors, uncertainties and verdicts.

use super::attribution::attribute;
use super::covariance::covariance;
use super::element::fit_elements;
use super::instrument::Instrument;
use super::prepare::{Prepared, PreparedInstrument, Record};
use super::result::{InstrumentResult, PointResult, RunResult, SetPointResult, Warning};
use super::run::{DecisionDescription, Reading, RuleName, Run, SetPoint};
use super::terms::{ScopedTerm, budget, join, repeatability, resolution};
use crate::circuit::IndicationError;
use crate::decision::{GuardBand, Limits, Rule, Verdict, decide};
use crate::error::{Error, Result};
use crate::settling::{SteadyCriterion, settled, steady};

const DOCUMENTS: [&str; 6] =
    ["IEC 60751:2022", "JCGM 100:2008", "JCGM 106:2012", "ILAC-G8:09/2019", "EURAMET cg-13", "NAMUR NE 43"];

const CAUTIONS: [&str; 3] = [
    "Blocks, inserts, baths and probes burn long after they are switched off: let them cool before they are touched, moved or packed.",
    "A loop that controls or guards a process must be released, bypassed and restored under the site's permit; forcing or breaking its signal can move valves and trip the plant.",
    "These results do not replace local codes, site procedures or the judgement of licensed and competent people.",
];

/// One instrument at one set point, with its contributions kept apart.
pub(super) struct EvaluatedPoint {
    pub result: PointResult,
    pub terms: Vec<ScopedTerm>,
}

/// One instrument at all its set points.
pub(super) struct EvaluatedInstrument<'a> {
    pub instrument: &'a Instrument,
    pub points: Vec<EvaluatedPoint>,
}

impl Run {
    /// Evaluates the run.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] with all contradictions; what a curve or a tolerance refuses.
    ///
    /// # Example
    /// ```
    /// # let text = include_str!("../../../tests/data/jacket_loop_as_found.json");
    /// use calcore::loop_calibration::Run;
    /// let result = Run::from_json(text)?.evaluate()?;
    /// assert_eq!(result.attribution[0].cause, "TT-4107 mA");
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn evaluate(&self) -> Result<RunResult> {
        self.check()?;
        let mut warnings = self.missing_readings();
        let prepared = Prepared::new(self)?;
        let mut records = Vec::with_capacity(self.set_points.len());
        let mut set_points = Vec::with_capacity(self.set_points.len());
        let mut reference_comparisons = Vec::new();
        for (i, set_point) in self.set_points.iter().enumerate() {
            let record = prepared.record(i)?;
            prepared.compare(i, &record, &mut reference_comparisons, &mut warnings)?;
            let result = self.reference_at(set_point, &record, &prepared)?;
            if let Some(state) = result.steadiness.as_ref().filter(|state| !state.steady) {
                warnings.push(Warning {
                    code: "reference_not_steady".into(),
                    path: format!("set_points[{i}]"),
                    message: format!(
                        "the reference was not steady ({}): span {:.4} K, slope {:.4} K/min",
                        state.reason.map_or("", |reason| reason.name()),
                        state.span,
                        state.slope_per_min
                    ),
                });
            }
            if let Some(state) = result.settled.as_ref().filter(|state| !state.settled) {
                warnings.push(Warning {
                    code: "reference_not_steady".into(),
                    path: format!("set_points[{i}]"),
                    message: format!(
                        "the reference had not settled ({}): slope at most {:.4} K/min",
                        state.reason.map_or("", |reason| reason.name()),
                        state.slope_bound_per_min
                    ),
                });
            }
            set_points.push(result);
            records.push(record);
        }
        let mut evaluated = Vec::with_capacity(self.instruments.len());
        for instrument in &prepared.instruments {
            let points = self.evaluate_instrument(instrument, &records, &prepared, &mut warnings)?;
            if !points.is_empty() {
                evaluated.push(EvaluatedInstrument { instrument: instrument.described, points });
            }
        }
        let covariance = covariance(&evaluated);
        let attribution = attribute(self, &evaluated)?;
        let element_fits = fit_elements(&evaluated, &mut warnings)?;
        let instruments = evaluated.into_iter().map(summarise).collect();
        Ok(RunResult {
            core_version: crate::VERSION.into(),
            documents: DOCUMENTS.map(String::from).into(),
            phase: self.phase,
            set_points,
            instruments,
            reference_comparisons,
            attribution,
            covariance,
            element_fits,
            warnings,
            cautions: CAUTIONS.map(String::from).into(),
            run: self.clone(),
        })
    }

    pub(super) fn reading<'a>(&self, set_point: &'a SetPoint, tag: &str) -> Result<&'a Reading> {
        set_point.readings.iter().find(|reading| reading.tag == tag).ok_or_else(|| Error::UnknownName {
            what: "tag",
            name: tag.into(),
            expected: "the tag of a reading of the set point".into(),
        })
    }

    fn missing_readings(&self) -> Vec<Warning> {
        let mut warnings = Vec::new();
        for (i, set_point) in self.set_points.iter().enumerate() {
            for instrument in &self.instruments {
                if !set_point.readings.iter().any(|reading| reading.tag == instrument.tag) {
                    warnings.push(Warning {
                        code: "not_read".into(),
                        path: format!("set_points[{i}].readings"),
                        message: format!("{:?} was not read here and is left out", instrument.tag),
                    });
                }
            }
        }
        warnings
    }

    fn reference_at(
        &self,
        set_point: &SetPoint,
        record: &Record<'_>,
        prepared: &Prepared<'_>,
    ) -> Result<SetPointResult> {
        let reference_c = mean(&record.t_c);
        let terms = prepared.shared_terms(record.set_point, reference_c)?;
        let variance: f64 = terms.iter().map(ScopedTerm::variance_k2).sum();
        let steadiness = match self.settling {
            None => None,
            Some(limits) => Some(steady(
                record.times_s,
                &record.t_c,
                SteadyCriterion {
                    window_s: limits.window_s,
                    max_span: limits.max_span_k,
                    max_slope_per_min: limits.max_slope_k_per_min,
                },
            )?),
        };
        Ok(SetPointResult {
            nominal_c: set_point.nominal_c,
            reference_c,
            standard_uncertainty_k: variance.sqrt(),
            steadiness,
            settled: self.settled.map(|criterion| settled(record.times_s, &record.t_c, criterion)).transpose()?,
        })
    }

    fn evaluate_instrument(
        &self,
        prepared_instrument: &PreparedInstrument<'_>,
        records: &[Record<'_>],
        prepared: &Prepared<'_>,
        warnings: &mut Vec<Warning>,
    ) -> Result<Vec<EvaluatedPoint>> {
        let instrument = prepared_instrument.described;
        let mut points = Vec::new();
        for (i, (set_point, record)) in self.set_points.iter().zip(records).enumerate() {
            let Some(reading) = set_point.readings.iter().find(|reading| reading.tag == instrument.tag) else {
                continue;
            };
            let own = prepared_instrument.conversion_for(reading)?;
            let own = own.as_ref().unwrap_or(&prepared_instrument.conversion);
            let timing = prepared_instrument.timing(reading, record, prepared, warnings)?;
            let mut differences_k = Vec::with_capacity(reading.value.len());
            for (&value, t_ref) in reading.value.iter().zip(&timing.reference_c) {
                differences_k.push(own.to_c(value)? - t_ref);
            }
            let error_k = mean(&differences_k);
            let reference_c = mean(&timing.reference_c);
            let k_per_unit = own.k_per_unit(reference_c)?;
            let mut terms = prepared.shared_terms(i, reference_c)?;
            for term in &prepared_instrument.terms {
                terms.push(term.at(i, reference_c, 1.0, k_per_unit)?);
            }
            prepared_instrument.connection_terms(own, reading, reference_c, k_per_unit, &mut terms)?;
            terms.extend(timing.terms);
            if instrument.resolution > 0.0 {
                terms.push(resolution(instrument.resolution, k_per_unit, &instrument.tag)?);
            }
            if prepared.has_sources {
                join(&mut terms);
            }
            terms.extend(repeatability(&differences_k, error_k, &instrument.tag));
            let tolerance = instrument.tolerance.build(instrument, k_per_unit)?.limits(reference_c)?;
            let budget = budget(error_k, &terms, self.coverage)?;
            let rule = rule(self.decision, budget.expanded_uncertainty);
            let limits = Limits { lower: Some(tolerance.lower_k), upper: Some(tolerance.upper_k) };
            let decision = decide(error_k, budget.standard_uncertainty, limits, rule)?;
            let reading_mean = mean(&reading.value);
            let (low_c, high_c) = instrument.range.ends_c()?;
            let result = PointResult {
                set_point: i,
                nominal_c: set_point.nominal_c,
                reference_c,
                reading: reading_mean,
                indicated_c: reference_c + error_k,
                error: reading_mean - own.reading_at(reference_c)?,
                error_k,
                error_percent_of_span: IndicationError::new(error_k)?.percent_of_span(low_c, high_c)?,
                standard_uncertainty_k: budget.standard_uncertainty,
                expanded_uncertainty_k: budget.expanded_uncertainty,
                expanded_uncertainty: budget.expanded_uncertainty / k_per_unit,
                coverage_factor: budget.coverage_factor,
                tolerance_lower_k: tolerance.lower_k,
                tolerance_upper_k: tolerance.upper_k,
                guard_band_k: decision.guard_band,
                verdict: decision.verdict,
                probability_of_conformity: decision.probability_of_conformity,
                budget,
            };
            points.push(EvaluatedPoint { result, terms });
        }
        Ok(points)
    }
}

pub(super) fn mean(values: &[f64]) -> f64 {
    // About the first value, so that the sum rounds little.
    let first = values.first().copied().unwrap_or(f64::NAN);
    first + values.iter().map(|value| value - first).sum::<f64>() / values.len() as f64
}

pub(super) fn rule(decision: DecisionDescription, expanded_uncertainty: f64) -> Rule {
    let guard_band = GuardBand::Width(decision.guard_band_factor.unwrap_or(1.0) * expanded_uncertainty);
    match decision.rule {
        RuleName::Simple => Rule::Simple,
        RuleName::Guarded => Rule::GuardedAcceptance(guard_band),
        RuleName::FourState => Rule::FourState(guard_band),
    }
}

fn summarise(evaluated: EvaluatedInstrument<'_>) -> InstrumentResult {
    let points: Vec<PointResult> = evaluated.points.into_iter().map(|point| point.result).collect();
    let used = |point: &PointResult| {
        let limit = if point.error_k < 0.0 { -point.tolerance_lower_k } else { point.tolerance_upper_k };
        point.error_k.abs() / limit
    };
    let worst_point =
        (0..points.len()).fold(0, |worst, i| if used(&points[i]) > used(&points[worst]) { i } else { worst });
    let verdict =
        points.iter().map(|point| point.verdict).max_by_key(|verdict| severity(*verdict)).unwrap_or(Verdict::Pass);
    InstrumentResult {
        tag: evaluated.instrument.tag.clone(),
        kind: evaluated.instrument.kind,
        unit: evaluated.instrument.unit,
        points,
        verdict,
        worst_point,
    }
}

/// The order in which a verdict outweighs another in the verdict on the whole.
fn severity(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Pass => 0,
        Verdict::ConditionalPass => 1,
        Verdict::ConditionalFail => 2,
        Verdict::NoPass => 3,
        _ => 4,
    }
}
