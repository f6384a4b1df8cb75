//! Evaluates a run and prints what a technician wants to see.
//!
//! `cargo run --release --example loop_calibration [RUN.json] [--json]`
//!
//! Without a file it takes the invented run of `tests/data`. With `--json` it prints the whole result as JSON.

use calcore::loop_calibration::{Attribution, ElementFit, InstrumentResult, Run, RunResult};
use std::fmt::Write as _;

const INVENTED_RUN: &str = include_str!("../../tests/data/jacket_loop_as_found.json");

fn main() -> std::process::ExitCode {
    let mut file = None;
    let mut json = false;
    for argument in std::env::args().skip(1) {
        match argument.as_str() {
            "--json" => json = true,
            _ => file = Some(argument),
        }
    }
    match evaluate(file.as_deref()).and_then(|result| if json { Ok(result.to_json()?) } else { Ok(report(&result)) }) {
        Ok(text) => {
            println!("{text}");
            std::process::ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{error}");
            std::process::ExitCode::FAILURE
        }
    }
}

fn evaluate(file: Option<&str>) -> Result<RunResult, Box<dyn std::error::Error>> {
    let text = match file {
        Some(path) => std::fs::read_to_string(path).map_err(|error| format!("{path}: {error}"))?,
        None => INVENTED_RUN.to_owned(),
    };
    Ok(Run::from_json(&text)?.evaluate()?)
}

/// The result as a page of text.
fn report(result: &RunResult) -> String {
    let mut page = String::new();
    let run = &result.run;
    let _ = writeln!(page, "{}", run.title);
    if let Some(note) = &run.note {
        let _ = writeln!(page, "{note}");
    }
    let _ = writeln!(
        page,
        "\nReference {} in {}; expanded uncertainties with {}; calcore {}\n",
        run.reference.tag,
        run.heat_source.tag,
        coverage(result),
        result.core_version
    );
    let _ = writeln!(page, " point   nominal   reference    u ref   steady");
    for (i, point) in result.set_points.iter().enumerate() {
        let steady = point.steadiness.map_or("not judged", |state| if state.steady { "yes" } else { "NO" });
        let _ = writeln!(
            page,
            "{:>6} {:>6.1} °C {:>8.3} °C {:>6.3} K   {steady}",
            i + 1,
            point.nominal_c,
            point.reference_c,
            point.standard_uncertainty_k
        );
    }
    for instrument in &result.instruments {
        page.push_str(&table(instrument));
    }
    for attribution in &result.attribution {
        page.push_str(&causes(attribution));
    }
    for fit in &result.element_fits {
        page.push_str(&coefficients(fit));
    }
    if !result.warnings.is_empty() {
        page.push_str("\nMind\n");
        for warning in &result.warnings {
            let _ = writeln!(page, "  {}: {}", warning.path, warning.message);
        }
    }
    page.push_str("\nCautions\n");
    for caution in &result.cautions {
        let _ = writeln!(page, "  - {caution}");
    }
    page
}

fn coverage(result: &RunResult) -> String {
    let factors = || result.instruments.iter().flat_map(|i| &i.points).map(|point| point.coverage_factor);
    let (low, high) = (factors().fold(f64::INFINITY, f64::min), factors().fold(0.0, f64::max));
    if high - low < 0.005 { format!("k = {low:.2}") } else { format!("k = {low:.2} to {high:.2}") }
}

fn table(instrument: &InstrumentResult) -> String {
    let mut text = String::new();
    let unit = instrument.unit.name();
    let verdict = instrument.verdict.name().replace('_', " ").to_uppercase();
    let _ = writeln!(text, "\n{}: {verdict}", instrument.tag);
    let _ = writeln!(
        text,
        " point   reference  {:>12}    error/K  error/% span     U/K   tolerance/K   verdict",
        format!("reading/{unit}")
    );
    for (i, point) in instrument.points.iter().enumerate() {
        let mark = if i == instrument.worst_point { "  <- worst" } else { "" };
        let tolerance = if (point.tolerance_lower_k + point.tolerance_upper_k).abs() < 1e-12 {
            format!("±{:.3}", point.tolerance_upper_k)
        } else {
            format!("{:+.3} {:+.3}", point.tolerance_lower_k, point.tolerance_upper_k)
        };
        let _ = writeln!(
            text,
            "{:>6} {:>8.3} °C {:>13.4} {:>+10.3} {:>+13.3} {:>7.3} {tolerance:>13}   {}{mark}",
            point.set_point + 1,
            point.reference_c,
            point.reading,
            point.error_k,
            point.error_percent_of_span,
            point.expanded_uncertainty_k,
            point.verdict.name().replace('_', " "),
        );
    }
    text
}

fn causes(attribution: &Attribution) -> String {
    let mut text = format!("\nWhere the error of {} comes from, K\n point  error", attribution.tag);
    for link in &attribution.links {
        let _ = write!(text, "  {link:>11}");
    }
    text.push('\n');
    for point in &attribution.set_points {
        let _ = write!(text, "{:>6} {:>+6.3}", point.set_point + 1, point.error_k);
        for link in &attribution.links {
            match point.shares.iter().find(|share| share.tag == *link) {
                Some(share) => {
                    let _ = write!(text, "  {:>+11.3}", share.error_k);
                }
                None => text.push_str("     not read"),
            }
        }
        text.push('\n');
    }
    let weight = if attribution.significant {
        "and stands clear of its uncertainty"
    } else {
        "but does not stand clear of its uncertainty"
    };
    let _ = writeln!(text, "  -> {} has the largest share, {weight}", attribution.cause);
    text
}

fn coefficients(fit: &ElementFit) -> String {
    let held = |name: &str| if fit.held.iter().any(|h| h == name) { "  (held)" } else { "" };
    let largest = fit.residuals_k.iter().fold(0.0f64, |largest, r| largest.max(r.abs()));
    let u = fit.standard_uncertainties_k.iter().copied().fold(0.0, f64::max);
    format!(
        "\nNew coefficients of {}, {:.1} °C to {:.1} °C\n  R0 {:>16.4} ohm{}\n  A  {:>16.6e} 1/K{}\n  B  {:>16.4e} 1/K²{}\n  C  {:>16.3e} 1/K⁴{}\n  largest residual {:.3} K; standard uncertainty of the curve up to {:.3} K\n",
        fit.tag,
        fit.range_c.0,
        fit.range_c.1,
        fit.r0,
        held("r0"),
        fit.a,
        held("a"),
        fit.b,
        held("b"),
        fit.c,
        held("c"),
        largest,
        u
    )
}
