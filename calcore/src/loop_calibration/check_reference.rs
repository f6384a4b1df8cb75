//! Contradictions in a reference thermometer and in contributions to the uncertainty.

use super::check::Problems;
use super::check_links::{check_curve, check_junction};
use super::contribution::{Term, TermDistribution, TermScope};
use super::convert::temperature_unit;
use super::reference::check_table;
use super::run::Reference;
use super::unit::Unit;

pub(super) fn check_reference(reference: &Reference, path: &str, problems: &mut Problems) {
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
            problems.keep(format_args!("{path}.{name}_correction"), table.check());
        }
    }
    if let Some(heating) = reference.self_heating {
        let path = format!("{path}.self_heating");
        if unit != Unit::Ohm {
            problems.add(path.clone(), "only readings in ohm say how much power heats the sensor; leave it out");
        }
        problems.not_negative(format_args!("{path}.k_per_mw"), heating.k_per_mw, "K/mW");
        problems.not_negative(format_args!("{path}.current_ma"), heating.current_ma, "mA");
        problems.not_negative(format_args!("{path}.certificate_current_ma"), heating.certificate_current_ma, "mA");
    }
    if let Some(stem) = reference.immersion {
        let path = format!("{path}.immersion");
        problems.positive(format_args!("{path}.effective_diameter_mm"), stem.effective_diameter_mm, "mm");
        problems.positive(format_args!("{path}.factor"), stem.factor, "");
        problems.not_negative(format_args!("{path}.depth_mm"), stem.depth_mm, "mm");
        problems.finite(format_args!("{path}.ambient_c"), stem.ambient_c);
        problems.not_negative(format_args!("{path}.relative_uncertainty"), stem.relative_uncertainty, "");
    }
    if let Some(seconds) = reference.time_constant_s {
        problems.not_negative(format_args!("{path}.time_constant_s"), seconds, "s");
    }
    if reference.contributions.is_empty() {
        problems.add(format!("{path}.contributions"), "at least the certificate of the reference is needed");
    }
    check_terms(&format!("{path}.contributions"), &reference.contributions, unit, problems);
}

pub(super) fn check_terms(path: &str, terms: &[Term], own: Unit, problems: &mut Problems) {
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
                problems
                    .keep(format_args!("{path}.table"), check_table("expanded uncertainty", t_c, expanded_uncertainty));
                for (j, u) in expanded_uncertainty.iter().enumerate() {
                    problems.not_negative(format_args!("{path}.table.expanded_uncertainty[{j}]"), *u, unit);
                }
                problems.positive(format_args!("{path}.table.coverage_factor"), *coverage_factor, "");
            }
            &TermDistribution::UShaped { half_width } => {
                problems.not_negative(format_args!("{path}.u_shaped.half_width"), half_width, unit);
            }
            &TermDistribution::Normal { standard_uncertainty, degrees_of_freedom } => {
                problems.not_negative(format_args!("{path}.normal.standard_uncertainty"), standard_uncertainty, unit);
                if let Some(nu) = degrees_of_freedom {
                    problems.positive(format_args!("{path}.normal.degrees_of_freedom"), nu, "");
                }
            }
            &TermDistribution::Expanded { expanded_uncertainty, coverage_factor } => {
                problems.not_negative(format_args!("{path}.expanded.expanded_uncertainty"), expanded_uncertainty, unit);
                problems.positive(format_args!("{path}.expanded.coverage_factor"), coverage_factor, "");
            }
            &TermDistribution::Rectangular { half_width } => {
                problems.not_negative(format_args!("{path}.rectangular.half_width"), half_width, unit);
            }
            &TermDistribution::Triangular { half_width } => {
                problems.not_negative(format_args!("{path}.triangular.half_width"), half_width, unit);
            }
        }
    }
}
