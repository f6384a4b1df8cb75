//! Decisions: conformity, risks, guard bands, ratios.

use super::Check;
use super::table::{Row, Table, reference};
use crate::decision::guard_band::{for_global_risk, method_6, method_6_multiplier};
use crate::decision::ratio::e_n;
use crate::decision::rule::probability_of_conformity;
use crate::decision::{FalseAccept, InTolerance, Limits, Process, Rule, conformity, decide, risk};
use crate::error::Result;
use crate::uncertainty::Distribution;

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    conformity_of_the_guide(all)?;
    rules_and_risks(all)?;
    e_numbers(all)?;
    risks_of_any_process(all)?;
    conformity_of_any_state(all)
}

/// The printed value with its tolerance, and the same recomputed with more digits.
fn both(all: &mut Vec<Check>, table: &Table, row: &Row<'_>, quantity: &str, computed: f64) -> Result<()> {
    let recomputed = row.number("recomputed")?;
    // Ten roundings of numbers near 1; percent are a hundred times as large.
    let tight = 1e-12 * recomputed.abs().max(1.0);
    for (column, tolerance) in [("value", row.number("tolerance")?), ("recomputed", tight)] {
        let published = row.number(column)?;
        if published.is_finite() {
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("{quantity} ({column})"),
                unit: "",
                published,
                tolerance,
                computed,
            });
        }
    }
    Ok(())
}

/// An input of a case, by name.
fn input(table: &Table, case: &str, name: &str) -> Result<Option<f64>> {
    for row in table.rows() {
        if row.text("case")? == case && row.text("quantity")? == name {
            return row.number("value").map(Some);
        }
    }
    Ok(None)
}

fn conformity_of_the_guide(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("jcgm106"), reference!("jcgm106_points"));
    for row in table.rows() {
        let case = row.text("case")?;
        let (y, u) = (input(&points, case, "y")?, input(&points, case, "u")?);
        let limits = Limits { lower: input(&points, case, "t_l")?, upper: input(&points, case, "t_u")? };
        let computed = probability_of_conformity(y.unwrap_or(f64::NAN), u.unwrap_or(f64::NAN), limits)?;
        both(all, &table, &row, &format!("{case}: probability of conformity"), computed)?;
    }
    Ok(())
}

/// Tolerance ±1, no guard band unless it is what is asked for.
fn rules_and_risks(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("decision_rules"), reference!("decision_rules_points"));
    let limits = Limits::symmetric(1.0);
    for row in table.rows() {
        let (case, quantity) = (row.text("case")?, row.text("quantity")?);
        let words: Vec<&str> = quantity.split('_').collect();
        let number = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
        let computed = match (case, words.as_slice()) {
            ("TUR-4to1-classic", [which, "percent"]) => {
                let given = |name| input(&points, case, name).map(|value| value.unwrap_or(f64::NAN));
                let process = Process::normal(0.0, given("prior_sd")?)?;
                let found = risk(Limits::symmetric(given("tolerance")?), &process, given("u")?, 0.0)?;
                100.0 * if *which == "pfa" { found.false_accept } else { found.false_reject }
            }
            ("PFA-grid-shared" | "EOPR-observed-convention", [ratio, rest @ .., which]) => {
                let u = 0.5 / number(ratio);
                let (probability, of) = match rest {
                    [probability] => (number(probability), InTolerance::True),
                    _ => {
                        let observed = input(&points, case, "observed_in_tolerance")?.unwrap_or(f64::NAN);
                        (observed, InTolerance::Observed { standard_uncertainty: u })
                    }
                };
                let found = risk(limits, &Process::in_tolerance(limits, probability, of)?, u, 0.0)?;
                if *which == "pfa" { found.false_accept } else { found.false_reject }
            }
            ("Z540.3-method6", [ratio, "m"]) => method_6_multiplier(number(ratio))?,
            ("Z540.3-method6", [ratio, "acceptance", "factor"]) => 1.0 - method_6(limits, 1.0 / number(ratio))?,
            ("Z540.3-method6", [ratio, "max", ..]) => {
                // The largest risk was searched on a grid; where it was found stands in the next row.
                let at = format!("{ratio}_at_itp");
                let probability = input(&table, case, &at)?.unwrap_or(f64::NAN);
                let process = Process::in_tolerance(limits, probability, InTolerance::True)?;
                let w = method_6(limits, 1.0 / number(ratio))?;
                risk(limits, &process, 0.5 / number(ratio), w)?.false_accept
            }
            ("PFA-exact-2pct-shared", [ratio, probability]) => {
                let number = |text: &str, before: &str| number(text.trim_start_matches(before));
                let process = Process::in_tolerance(limits, number(probability, "itp"), InTolerance::True)?;
                let u = 0.5 / number(ratio, "tur");
                1.0 - for_global_risk(limits, &process, u, 0.02, FalseAccept::Joint, true)?
            }
            ("ILAC-G8-table", ["risk", "at", "limit", "w", multiple, "u"]) => {
                // The multiple is of U = 2 u.
                let upper = Limits { lower: None, upper: Some(0.0) };
                decide(-2.0 * number(multiple), 1.0, upper, Rule::Simple)?.probability_of_nonconformity
            }
            // Where the largest risk was found: an input.
            _ => continue,
        };
        both(all, &table, &row, &format!("{case}: {quantity}"), computed)?;
    }
    Ok(())
}

fn e_numbers(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("en_numbers"), reference!("en_numbers_points"));
    for row in table.rows() {
        let case = row.text("case")?;
        let given = |name| input(&points, case, name).map(|value| value.unwrap_or(f64::NAN));
        let (x, reference_value) = (given("x")?, given("reference")?);
        let computed = e_n(x, given("expanded_x")?, reference_value, given("expanded_reference")?, 0.0)?;
        both(all, &table, &row, &format!("E_n number, {case}"), computed)?;
    }
    Ok(())
}

/// The distribution whose name and parameters stand in a row.
fn distribution(row: &Row<'_>, column: &str) -> Result<Distribution> {
    let p = |name| row.number(name);
    match row.text(column)? {
        "normal" => Distribution::normal(p("p1")?, p("p2")?),
        "student_t" => Distribution::student_t(p("p1")?, p("p2")?, p("p3")?),
        "rectangular" => Distribution::rectangular(p("p1")?, p("p2")?),
        "triangular" => Distribution::triangular(p("p1")?, p("p2")?),
        "trapezoidal" => Distribution::trapezoidal(p("p1")?, p("p2")?, p("p3")?),
        "u_shaped" => Distribution::u_shaped(p("p1")?, p("p2")?),
        "exponential" => Distribution::exponential(p("p1")?),
        _ => Distribution::gamma(p("p1")?, p("p2")?),
    }
}

fn limits_of(row: &Row<'_>) -> Result<Limits> {
    let limit = |column| if row.text(column)?.is_empty() { Ok(None) } else { row.number(column).map(Some) };
    Ok(Limits { lower: limit("lower")?, upper: limit("upper")? })
}

/// A check of a probability: 1e-12 of it, and what the sum of four probabilities that make 1 rounds.
fn probability(
    all: &mut Vec<Check>,
    table: &Table,
    row: &Row<'_>,
    column: &str,
    name: &str,
    computed: f64,
) -> Result<()> {
    let published = row.number(column)?;
    all.push(Check {
        source: table.source.clone(),
        quantity: format!("{name}: {column}"),
        unit: "",
        published,
        tolerance: 1e-12 * published + 1e-15,
        computed,
    });
    Ok(())
}

fn risks_of_any_process(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("risk_oracle");
    for row in table.rows() {
        let process = Process::new(distribution(&row, "process")?)?;
        let (u, w) = (row.number("u")?, row.number("guard_band")?);
        let found = risk(limits_of(&row)?, &process, u, w)?;
        let name = format!(
            "{} {} {} {}, tolerance {} to {}, u {u}, guard band {w}",
            row.text("process")?,
            row.text("p1")?,
            row.text("p2")?,
            row.text("p3")?,
            row.text("lower")?,
            row.text("upper")?
        );
        for (column, computed) in [
            ("true_accept", found.true_accept),
            ("false_accept", found.false_accept),
            ("false_reject", found.false_reject),
            ("true_reject", found.true_reject),
        ] {
            probability(all, &table, &row, column, &name, computed)?;
        }
    }
    Ok(())
}

fn conformity_of_any_state(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("conformity_oracle");
    for row in table.rows() {
        let found = conformity(&distribution(&row, "state")?, limits_of(&row)?)?;
        let name = format!(
            "{} {} {} {} within {} to {}",
            row.text("state")?,
            row.text("p1")?,
            row.text("p2")?,
            row.text("p3")?,
            row.text("lower")?,
            row.text("upper")?
        );
        for (column, computed) in [("inside", found.inside), ("outside", found.outside)] {
            probability(all, &table, &row, column, &name, computed)?;
        }
    }
    Ok(())
}
