//! Contradictions in a description: all of them, each with the path of its field.

use super::check_reference::{check_reference, check_terms};
use super::reference::CombineReferences;
use super::run::{CoverageDescription, RuleName, Run, SCHEMA_VERSION};
use super::unit::Unit;
use crate::error::{Error, Problem, Result};
use crate::settling::Monitor;
use std::fmt::Display;

/// The problems found so far. Paths are written out only for what is wrong: there are thousands of readings.
#[derive(Default)]
pub(super) struct Problems(Vec<Problem>);

impl Problems {
    pub(super) fn add(&mut self, path: impl Into<String>, message: impl Into<String>) {
        self.0.push(Problem { path: path.into(), message: message.into() });
    }

    /// Notes the error of a fallible step under a path and returns its value otherwise.
    pub(super) fn keep<T>(&mut self, path: impl Display, result: Result<T>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                self.add(path.to_string(), error.to_string());
                None
            }
        }
    }

    pub(super) fn number(
        &mut self,
        path: impl Display,
        value: f64,
        unit: &str,
        allowed: impl Fn(f64) -> bool,
        requirement: &str,
    ) {
        if !(value.is_finite() && allowed(value)) {
            self.add(path.to_string(), format!("{} {requirement}", quantity(value, unit)));
        }
    }

    pub(super) fn positive(&mut self, path: impl Display, value: f64, unit: &str) {
        self.number(path, value, unit, |v| v > 0.0, "must be greater than 0");
    }

    pub(super) fn not_negative(&mut self, path: impl Display, value: f64, unit: &str) {
        self.number(path, value, unit, |v| v >= 0.0, "must not be negative");
    }

    pub(super) fn finite(&mut self, path: impl Display, value: f64) {
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
}
