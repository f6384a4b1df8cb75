//! As-found and as-left, history, due dates, reverse traceability: by hand examples.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::float_cmp)]

use calcore::loop_calibration::{
    AdjustmentEvent, Calibration, CalibrationFile, HistoryPoint, Phase, ReferenceFinding, Run, Staircase, compare,
    histories, history, impact, in_service, in_use, normalized_error, reliability_interval, staircase,
};

const SAMPLE: &str = include_str!("../../tests/data/jacket_loop_as_found.json");

fn found() -> Run {
    Run::from_json(SAMPLE).unwrap()
}

fn event() -> AdjustmentEvent {
    AdjustmentEvent {
        tag: "TT-4107 mA".into(),
        parameter: "output trim".into(),
        old: "4.000/20.000".into(),
        new: "4.022/20.061".into(),
        reason: "error of the output stage".into(),
        by: "A. N. Other".into(),
        when: "2026-03-04 14:20".into(),
    }
}

/// The stage and all that follows it read 0.026 mA less, which is 0.325 K.
fn left() -> Run {
    let mut run = found();
    run.phase = Phase::AsLeft;
    for reading in run.set_points.iter_mut().flat_map(|point| &mut point.readings) {
        let shift = match reading.tag.as_str() {
            "TT-4107 mA" => -0.026,
            "TI-4107" | "TIC-4107" => -0.325,
            _ => 0.0,
        };
        reading.value.iter_mut().for_each(|value| *value += shift);
    }
    run
}

#[test]
fn what_was_found_is_never_overwritten() {
    let mut file = CalibrationFile::begin(found()).unwrap();
    let said = |result: calcore::Result<()>| result.unwrap_err().to_string();
    assert!(said(file.finish(left())).contains("nothing was adjusted"));
    // As long as nothing is adjusted set points may be added, but none changed.
    let mut shorter = found();
    let last = shorter.set_points.pop().unwrap();
    let mut growing = CalibrationFile::begin(shorter.clone()).unwrap();
    growing.extend_as_found(found()).unwrap();
    let mut changed = found();
    changed.set_points[0].readings[1].value[0] += 0.01;
    assert!(said(growing.extend_as_found(changed)).contains("never overwritten"));
    assert!(said(growing.extend_as_found(shorter.clone())).contains("never overwritten"));
    file.adjust(event()).unwrap();
    // A reading added to what was found after the adjustment.
    shorter.set_points.push(last);
    assert!(said(file.extend_as_found(shorter)).contains("closed by the first adjustment"));
    assert!(said(file.adjust(AdjustmentEvent { tag: "XX".into(), ..event() })).contains("no instrument has the tag"));
    assert!(said(file.finish(found())).contains("as_left"));
    let copied = Run { phase: Phase::AsLeft, ..found() };
    assert!(said(file.finish(copied)).contains("measured again, or copied"));
    file.finish(left()).unwrap();
    assert!(said(file.finish(left())).contains("never overwritten"));
    assert!(said(file.adjust(event())).contains("begin a new calibration"));
    file.check().unwrap();
    // Round trip, and a file made up by hand in which the phases are mixed.
    let text = serde_json::to_string(&file).unwrap();
    assert_eq!(serde_json::from_str::<CalibrationFile>(&text).unwrap(), file);
    let mixed = text.replacen("\"as_found\",\"coverage\"", "\"as_left\",\"coverage\"", 1);
    assert!(serde_json::from_str::<CalibrationFile>(&mixed).unwrap().check().is_err());
    assert!(CalibrationFile::begin(left()).is_err());
}

#[test]
fn effect_of_the_adjustment() {
    let (before, after) = (found().evaluate().unwrap(), left().evaluate().unwrap());
    let changes = compare(&before, &after);
    let of = |tag: &str| changes.iter().find(|change| change.tag == tag).unwrap();
    assert!((of("TIC-4107").change_k + 0.325).abs() < 1e-9 && of("TIC-4107").significant);
    assert!((of("TT-4107 mA").change_k + 0.026 * 12.5).abs() < 1e-9);
    assert!(of("TE-4107").change_k == 0.0 && !of("TE-4107").significant);
    // By hand: the reference cancels (certificate 0.015, drift 0.01/√3, self-heating 0.005/√3 K, readout 0.0015 ohm).
    let point = &before.instrument("TIC-4107").unwrap().points[0];
    let slope = 100.0184 * (0.003909 - 2.0 * 5.7786e-7 * point.reference_c);
    let reference = 0.015f64.powi(2) + 0.01f64.powi(2) / 3.0 + 0.005f64.powi(2) / 3.0 + (0.0015 / slope).powi(2);
    let by_hand = (2.0 * (point.standard_uncertainty_k.powi(2) - reference)).sqrt();
    assert!((of("TIC-4107").standard_uncertainty_k - by_hand).abs() < 1e-9);
    // Six visits of five instruments, the two directions kept apart.
    assert_eq!(changes.len(), 30);
}

/// ISO 13528: (0.12, 0.05; U 0.06, 0.04) gives 0.971; a common part makes it larger.
#[test]
fn e_n() {
    assert!((normalized_error(0.12, 0.06, 0.05, 0.04, 0.0).unwrap() - 0.971).abs() < 0.0005);
    // 0.0036 + 0.0016 − 2 · 0.0009 = 0.0034.
    assert!((normalized_error(0.12, 0.06, 0.05, 0.04, 0.03).unwrap() - 0.07 / 0.0034f64.sqrt()).abs() < 1e-12);
    assert!(normalized_error(0.1, 0.04, 0.1, 0.04, 0.04).is_err());
    // 0.05² > 0.06 · 0.04: a correlation of 1.04. The largest common part is 0.0490, and with it U = 0.06 − 0.04.
    let error = normalized_error(0.12, 0.06, 0.05, 0.04, 0.05).unwrap_err();
    assert!(error.code() == 102 && error.to_string().contains("0.05 is outside 0 to 0.0489"), "{error}");
    let largest = (0.06f64 * 0.04).sqrt();
    assert!((normalized_error(0.12, 0.06, 0.05, 0.04, largest).unwrap() - 3.5).abs() < 1e-6);
    assert_eq!(normalized_error(0.12, 0.06, 0.05, 0.0, 0.01).unwrap_err().code(), 102);
}

fn yearly(found: &[f64], left: &[Option<f64>]) -> Vec<HistoryPoint> {
    found
        .iter()
        .zip(left)
        .enumerate()
        .map(|(i, (found, left))| HistoryPoint {
            time_a: i as f64,
            as_found_k: *found,
            standard_uncertainty_k: 0.001,
            as_left_k: *left,
        })
        .collect()
}

/// e = 0, .05, .11, .14 K at 0 to 3 years: b = 0.048, s = 0.00949, at 4 years 0.195 with u = 0.0150 (computed).
#[test]
fn drift_of_four_calibrations() {
    let drift = history(&yearly(&[0.0, 0.05, 0.11, 0.14], &[None; 4])).unwrap();
    assert!((drift.slope_k_per_a - 0.048).abs() < 1e-12);
    assert!((drift.residual_standard_deviation_k - 0.00949).abs() < 0.000005);
    let (value, u) = drift.predict(4.0).unwrap();
    assert!((value - 0.195).abs() < 1e-12 && (u - 0.0150).abs() < 0.00005);
    // t = 0.048 √5/0.00949 = 11.3 with 2 degrees of freedom: 0.8 %.
    assert!((drift.p_value - 0.0077).abs() < 0.0005, "{}", drift.p_value);
    // |e| + 4.303 u reaches 0.3 K between 4 and 5 years: 0.195 + 0.0645 < 0.3 < 0.243 + 4.303 · 0.0176.
    let due = drift.due(0.3, 0.95, 10.0).unwrap().unwrap();
    let (value, u) = drift.predict(due).unwrap();
    assert!(due > 4.0 && due < 5.0 && (value + 4.302_653 * u - 0.3).abs() < 1e-6);
    assert_eq!(drift.due(0.3, 0.95, 0.5).unwrap(), None);
    assert!(history(&yearly(&[0.0, 0.1], &[None; 2])).is_err());
}

/// Unequal uncertainties: the slope is Σ cᵢ eᵢ with cᵢ = −.3, −.1, .1, .3 a⁻¹ whatever they are, so that u² = Σ cᵢ² uᵢ²
/// (JCGM 100:2008, 5.1.2).
#[test]
fn the_uncertainty_is_that_of_the_unweighted_line() {
    let drift_of = |found: [f64; 4], u: [f64; 4]| {
        let mut points = yearly(&found, &[None; 4]);
        points.iter_mut().zip(u).for_each(|(point, u)| point.standard_uncertainty_k = u);
        history(&points).unwrap()
    };
    let drift = drift_of([0.0, 0.05, 0.11, 0.14], [0.001, 0.1, 0.1, 0.1]);
    // .09 · 10⁻⁶ + (.01 + .01 + .09) · 10⁻² = 0.00110009; printed as 0.0332.
    assert!((drift.u_slope_k_per_a - 0.001_100_09_f64.sqrt()).abs() < 1e-15);
    // At 5 years, 3.5 from the mean: Σu²/4 + Σu²/16 + 7 u(ȳ, b) + 12.25 u²(b), Σu² = 0.030001, and by hand u(ȳ, b) =
    // (−.3 · 10⁻⁶ + .3 · 10⁻²)/4 = 0.000749925.
    let variance: f64 = 0.030_001 / 4.0 + 0.030_001 / 16.0 + 7.0 * 0.000_749_925 + 12.25 * 0.001_100_09;
    assert!((drift.predict(5.0).unwrap().1 - variance.sqrt()).abs() < 1e-14);
    // A last calibration that says nothing leaves the slope as open as it is: 0.3 · 10 K.
    let open = drift_of([0.0, 0.05, 0.11, 0.5], [0.001, 0.001, 0.001, 10.0]);
    assert!((open.u_slope_k_per_a - 3.0).abs() < 1e-6 && open.p_value > 0.9);
    // Equal ones: u² (1 + 1/n + (τ − τ̄)²/Σ(τᵢ − τ̄)²), where they exceed the scatter.
    let equal = drift_of([0.0, 0.05, 0.11, 0.14], [0.1; 4]);
    assert!((equal.predict(5.0).unwrap().1 - 0.1 * (1.25f64 + 12.25 / 5.0).sqrt()).abs() < 1e-15);
}

/// A probability is checked as it was given, and a part of the tolerance is no percentage.
#[test]
fn percentages_are_refused() {
    let drift = history(&yearly(&[0.0, 0.05, 0.11, 0.14], &[None; 4])).unwrap();
    for probability in [95.0, 2.0, 1.0, 0.0, -0.5] {
        let text = drift.due(0.5, probability, 10.0).unwrap_err().to_string();
        assert_eq!(text, format!("probability {probability} is outside 0 to 1"));
    }
    assert_eq!(drift.due(0.5, f64::NAN, 10.0).unwrap_err().code(), 101);
    let rule = Staircase { extend_below: 80.0, extend_by: 1.5, shorten_by: 0.5, limits: (3.0, 24.0) };
    let text = staircase(12.0, 0.5, &rule).unwrap_err().to_string();
    assert_eq!(text, "part for a longer interval 80 is outside 0 to 1");
    assert_eq!(staircase(12.0, 0.5, &Staircase { extend_below: 0.0, ..rule }).unwrap_err().code(), 103);
    assert_eq!(staircase(12.0, 0.5, &Staircase { extend_below: 1.0, ..rule }), Ok(18.0));
    let result = found().evaluate().unwrap();
    let text = result.actions(70.0).unwrap_err().to_string();
    assert_eq!(text, "part of the tolerance 70 is outside 0 to 1");
    assert!(result.actions(0.0).unwrap_err().code() == 103 && result.actions(1.0).is_ok());
}

/// A tag that was not read is refused with those that were.
#[test]
fn unknown_tags_are_refused() {
    let result = found().evaluate().unwrap();
    let text = result.hypotheses("TIC4107").unwrap_err().to_string();
    assert_eq!(text, "unknown loop \"TIC4107\": expected TI-4107, TIC-4107");
    let error = result.figures("TIC4107").unwrap_err();
    assert!(error.code() == 104 && error.to_string().contains("TE-4107, TT-4107"), "{error}");
}

/// The same drift with an adjustment to zero after two years: .05 a year, joined 0, .05, .10, .15; the prediction is for
/// the present state.
#[test]
fn an_adjustment_is_a_change_of_level() {
    let drift = history(&yearly(&[0.0, 0.05, 0.10, 0.05], &[None, None, Some(0.0), None])).unwrap();
    assert!((drift.slope_k_per_a - 0.05).abs() < 1e-12);
    assert!(drift.joined_k.iter().zip([0.0, 0.05, 0.10, 0.15]).all(|(a, b)| (a - b).abs() < 1e-12));
    assert!((drift.predict(4.0).unwrap().0 - 0.10).abs() < 1e-12);
    // Without scatter the stated 0.001 K at four calibrations counts: u(b) = 0.001/√5.
    assert!((drift.u_slope_k_per_a - 0.001 / 5f64.sqrt()).abs() < 1e-12);
}

#[test]
fn intervals() {
    let rule = Staircase { extend_below: 0.8, extend_by: 1.5, shorten_by: 0.5, limits: (3.0, 24.0) };
    assert_eq!(staircase(12.0, 0.5, &rule), Ok(18.0));
    assert_eq!(staircase(12.0, 0.9, &rule), Ok(12.0));
    assert_eq!(staircase(12.0, 1.1, &rule), Ok(6.0));
    assert_eq!(staircase(20.0, 0.5, &rule), Ok(24.0));
    assert!(staircase(12.0, 0.5, &Staircase { extend_by: 0.9, ..rule }).is_err());
    assert_eq!(in_use(2000.0, 500.0, 3000.0), Ok(0.5));
    assert_eq!(in_service(&[0.05, 0.11, 0.3], &[0.02; 3], 0.15, 2.0), Ok(Some(2)));
    assert_eq!(in_service(&[0.05, 0.12], &[0.02; 2], 0.15, 2.0), Ok(Some(1)));
    assert_eq!(in_service(&[0.05], &[0.02], 0.15, 2.0), Ok(None));
    // 12 months, 90 of 100, target 95 %: 5.84 months. Wilson's interval at 95 %: 0.8256 to 0.9448 (textbook).
    let next = reliability_interval(12.0, 90, 100, 0.95, 0.95).unwrap();
    assert!((next.interval - 5.84).abs() < 0.005);
    assert!((next.shortest - 12.0 * 0.95f64.ln() / 0.8256f64.ln()).abs() < 0.005);
    assert!((next.longest - 12.0 * 0.95f64.ln() / 0.9448f64.ln()).abs() < 0.02);
    let perfect = reliability_interval(12.0, 5, 5, 0.95, 0.95).unwrap();
    assert!(perfect.interval.is_infinite() && perfect.shortest.is_finite());
}

/// A reference found 0.2 K high: results in doubt are those since it was last good. Every error grows by what comes off
/// the reference; a run halfway by 0.1 K if it drifted evenly, by 0.2 K at worst.
#[test]
fn a_reference_out_of_tolerance() {
    let result = found().evaluate().unwrap();
    let runs = [(2025.0, &result), (2025.5, &result), (2027.0, &result)];
    let finding = ReferenceFinding {
        tag: "REF-01".into(),
        t_c: vec![0.0, 250.0],
        error_k: vec![0.2, 0.2],
        last_good: 2025.0,
        found: 2026.0,
    };
    let impacts = impact(&runs, &finding).unwrap();
    assert_eq!(impacts.len(), 30);
    for one in &impacts {
        assert_eq!(one.run, 1);
        assert!(
            (one.likely_k - one.reported_k - 0.1).abs() < 1e-4 && (one.worst_k - one.reported_k - 0.2).abs() < 1e-4
        );
    }
    // The element passed with an error of −0.02 K against ±0.17 K at 10 °C; at worst it fails.
    assert!(impacts.iter().any(|one| one.tag == "TE-4107" && one.changes_verdict));
    // A finding after all of them touches none.
    let later = ReferenceFinding { last_good: 2028.0, found: 2029.0, ..finding.clone() };
    assert!(impact(&runs, &later).unwrap().is_empty());
    // A misspelt tag or swapped dates must not look like a reference on which nothing rests.
    let refused = |finding: ReferenceFinding| {
        let error = impact(&runs, &finding).unwrap_err();
        (error.code(), error.to_string())
    };
    let (code, text) = refused(ReferenceFinding { tag: "REF01".into(), ..finding.clone() });
    assert_eq!((code, text.as_str()), (104, "unknown reference of the runs \"REF01\": expected REF-01"));
    let (code, text) = refused(ReferenceFinding { last_good: 2026.5, ..finding.clone() });
    assert!(code == 103 && text.contains("2026.5") && text.contains("is 2026: "), "{text}");
    assert_eq!(refused(ReferenceFinding { found: f64::NAN, ..finding.clone() }).0, 101);
    assert_eq!(refused(ReferenceFinding { last_good: 2028.0, found: 2029.0, error_k: vec![0.2], ..finding }).0, 105);
}

/// Four years of one loop whose display creeps by 0.05 K a year and was put right by 0.1 K after the second calibration.
#[test]
fn histories_of_all_points() {
    let shifted = |k: f64, phase: Phase| {
        let mut run = Run { phase, ..found() };
        for reading in run.set_points.iter_mut().flat_map(|point| &mut point.readings) {
            if reading.tag == "TIC-4107" {
                reading.value.iter_mut().for_each(|value| *value += k);
            }
        }
        run.evaluate().unwrap()
    };
    let as_found: Vec<_> = [0.0, 0.05, 0.0, 0.05].iter().map(|k| shifted(*k, Phase::AsFound)).collect();
    let left = shifted(-0.05, Phase::AsLeft);
    let calibrations: Vec<Calibration<'_>> = as_found
        .iter()
        .enumerate()
        .map(|(i, one)| Calibration { time_a: i as f64, as_found: one, as_left: (i == 1).then_some(&left) })
        .collect();
    let all = histories(&calibrations).unwrap();
    assert_eq!(all.len(), as_found[0].instruments.iter().map(|one| one.points.len()).sum::<usize>());
    for one in &all {
        let drift = one.drift.as_ref().unwrap();
        let slope = if one.tag == "TIC-4107" { 0.05 } else { 0.0 };
        assert!((drift.slope_k_per_a - slope).abs() < 1e-9, "{} {}", one.tag, drift.slope_k_per_a);
        let changes: Vec<f64> = one.changes.iter().map(|change| change.change_k).collect();
        assert!(changes.len() == 3 && changes.iter().all(|change| (change - slope).abs() < 1e-9), "{changes:?}");
        // Certificate and drift of the reference stand in all of them alike and make no drift.
        let whole =
            as_found[0].instrument(&one.tag).unwrap().points.iter().find(|p| p.nominal_c == one.nominal_c).unwrap();
        let reference = 0.015f64.powi(2) + 0.01f64.powi(2) / 3.0;
        let own = whole.standard_uncertainty_k.powi(2) - one.points[0].standard_uncertainty_k.powi(2);
        assert!(own >= reference - 1e-12, "{} {own}", one.tag);
    }
    assert_eq!(histories(&calibrations[..1]).unwrap_err().code(), 201);
    let two = histories(&calibrations[..2]).unwrap();
    assert!(two.iter().all(|one| one.drift.is_none() && one.changes.len() == 1));
    // What was left in the place of what was found, and the other way round: both at once, with date and phase.
    let mixed = [
        Calibration { as_found: &left, ..calibrations[0] },
        Calibration { as_left: Some(&as_found[1]), ..calibrations[1] },
    ];
    let error = histories(&mixed).unwrap_err();
    let text = "calibrations[0].as_found: the result of 0 a has the phase as_left, expected as_found; \
        calibrations[1].as_left: the result of 1 a has the phase as_found, expected as_left";
    assert_eq!((error.code(), error.to_string().as_str()), (302, text));
    let backwards = [calibrations[1], calibrations[0]];
    assert_eq!(histories(&backwards).unwrap_err().code(), 103);
}
