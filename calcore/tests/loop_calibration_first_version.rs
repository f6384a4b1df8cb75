//! Run files of version 1 still read, and give the same numbers as the first version of the core did: to the last bit,
//! but for what rests on the quantile of Student's distribution and on the fit, which have been improved since, and for a
//! rounding of combined uncertainties, whose contributions are no longer divided by the largest before they are squared.
//!
//! The numbers were written down by the core itself (`.first_version` by the first that evaluated a run, `.numbers` by the
//! one that had the quantile and the squares of now); they prove that nothing moved, not that they are right (that is what
//! the other tests are for).
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

use calcore::loop_calibration::{Run, RunResult};
use std::fmt::Write;

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");
const FIRST: &str = include_str!("../../tests/data/jacket_loop_as_found.first_version");
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

/// Expanded uncertainties, the coverage factor and the guard band moved by less than 3e-13 of their amount when the
/// quantile was put right to 1e-13 and better. Standard uncertainties of budgets moved by a rounding, effective degrees of
/// freedom (fourth powers) and probabilities of conformity by a few; all else is the same to the last bit.
#[test]
fn the_first_version_gave_the_same() {
    let result = Run::from_json(SAMPLE).unwrap().evaluate().unwrap();
    let all = numbers(&result);
    assert_eq!(all.lines().count(), FIRST.lines().count());
    let number = |text: &str| u64::from_str_radix(text, 16).ok().filter(|_| text.len() == 16).map(f64::from_bits);
    for (got, kept) in all.lines().zip(FIRST.lines()) {
        let (got, kept): (Vec<&str>, Vec<&str>) = (got.split(' ').collect(), kept.split(' ').collect());
        assert_eq!(got.len(), kept.len());
        let first = kept.iter().position(|text| number(text).is_some()).unwrap();
        for (i, (a, b)) in got.iter().zip(&kept).enumerate() {
            let by_quantile = match kept[0] {
                "point" => [7, 8, 9, 12].contains(&i.wrapping_sub(first)),
                "share" => i.wrapping_sub(first) == 2,
                _ => false,
            };
            let by_rounding = match kept[0] {
                "point" => [6, 14].contains(&i.wrapping_sub(first)),
                "share" => i.wrapping_sub(first) == 1,
                _ => false,
            };
            let probability = kept[0] == "point" && i.wrapping_sub(first) == 13;
            match (number(a), number(b)) {
                // A tail of 1e-11 magnifies the rounding of what it is the tail of: of probabilities the amount counts.
                (Some(a), Some(b)) if probability => assert!((a - b).abs() < 1e-15, "{kept:?}: {a} {b}"),
                (Some(a), Some(b)) if by_rounding => assert!((a / b - 1.0).abs() < 2e-15, "{kept:?}: {a} {b}"),
                (Some(a), Some(b)) if by_quantile => assert!((a / b - 1.0).abs() < 1e-12, "{kept:?}: {a} {b}"),
                _ => assert_eq!(a, b, "{kept:?}"),
            }
        }
    }
}

/// The coefficients of the first version. The fit has been improved since: they moved by less than a thousandth of their
/// standard uncertainties.
#[test]
fn the_first_sample_gives_the_same_coefficients() {
    let result = Run::from_json(SAMPLE).unwrap().evaluate().unwrap();
    let fit = &result.element_fits[0];
    let covariance = fit.covariance.as_ref().unwrap();
    for (i, (got, kept)) in [fit.r0, fit.a, fit.b, fit.c].iter().zip(FIRST_FIT).enumerate() {
        assert!((got - kept).abs() <= 1e-3 * covariance.standard_uncertainty(i), "{got:e} {kept:e}");
    }
}

/// R0, A, B, C as the first version gave them.
const FIRST_FIT: [f64; 4] =
    [100.029_458_189_292_57, 0.003_907_943_183_805_293_6, -5.814_287_253_372_003e-7, -4.183e-12];
