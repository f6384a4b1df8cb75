//! Run files of version 1 still read, and give the same numbers to the last bit as the first version of the core did.
//!
//! The numbers were written down by that first version; they prove that nothing moved, not that they are right (that is
//! what the other tests are for).
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

use calcore::loop_calibration::{Run, RunResult};
use std::fmt::Write;

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");
const NUMBERS: &str = include_str!("../../tests/data/jacket_loop_as_found.numbers");

fn line(out: &mut String, name: &str, numbers: &[f64]) {
    write!(out, "{name}").unwrap();
    for number in numbers {
        write!(out, " {:016x}", number.to_bits()).unwrap();
    }
    out.push('\n');
}

fn numbers(result: &RunResult) -> String {
    let mut out = String::new();
    for (i, point) in result.set_points.iter().enumerate() {
        let state = point.steadiness.as_ref().unwrap();
        let since = state.since_s.unwrap_or(-1.0);
        let n = [point.reference_c, point.standard_uncertainty_k, state.span, state.slope_per_min, since];
        line(&mut out, &format!("set_point {i}"), &n);
    }
    for instrument in &result.instruments {
        for p in &instrument.points {
            let name = format!("point {} {} {}", instrument.tag, p.set_point, p.verdict.name());
            let n = [
                p.reference_c,
                p.reading,
                p.indicated_c,
                p.error,
                p.error_k,
                p.error_percent_of_span,
                p.standard_uncertainty_k,
                p.expanded_uncertainty_k,
                p.expanded_uncertainty,
                p.coverage_factor,
                p.tolerance_lower_k,
                p.tolerance_upper_k,
                p.guard_band_k,
                p.probability_of_conformity,
                p.budget.effective_degrees_of_freedom,
            ];
            line(&mut out, &name, &n);
        }
    }
    for a in &result.attribution {
        for point in &a.set_points {
            for share in &point.shares {
                let name = format!("share {} {} {}", a.tag, point.set_point, share.tag);
                let n = [share.error_k, share.standard_uncertainty_k, share.expanded_uncertainty_k];
                line(&mut out, &name, &n);
            }
        }
    }
    for row in 0..result.covariance.size() {
        let n: Vec<f64> = (0..=row).map(|column| result.covariance.get(row, column)).collect();
        line(&mut out, &format!("covariance {row}"), &n);
    }
    out
}

#[test]
fn the_first_sample_gives_the_same_bits() {
    let result = Run::from_json(SAMPLE).unwrap().evaluate().unwrap();
    for (got, kept) in numbers(&result).lines().zip(NUMBERS.lines()) {
        assert_eq!(got, kept);
    }
    assert_eq!(numbers(&result).lines().count(), NUMBERS.lines().count());
}

/// The fit is another room's; its coefficients are kept to 1e-9 of their amount, far within what they are sure to.
#[test]
fn the_first_sample_gives_the_same_coefficients() {
    let result = Run::from_json(SAMPLE).unwrap().evaluate().unwrap();
    let fit = &result.element_fits[0];
    for (got, kept) in [(fit.r0, KEPT_FIT[0]), (fit.a, KEPT_FIT[1]), (fit.b, KEPT_FIT[2]), (fit.c, KEPT_FIT[3])] {
        assert!((got / kept - 1.0).abs() < 1e-9, "{got:e} {kept:e}");
    }
}

/// R0, A, B, C as the first version gave them.
const KEPT_FIT: [f64; 4] = [100.029_457_559_815_17, 0.003_907_943_310_154_564, -5.814_290_213_901_588e-7, -4.183e-12];
