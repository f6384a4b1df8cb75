//! The plan against brute force on small cases, and by hand.
#![cfg(feature = "serde")]
#![allow(clippy::unwrap_used, clippy::float_cmp)]

use calcore::loop_calibration::{PlanInstrument, PlanOrder, PlanPoint, PlanRequest, PlanSource, fit_points, plan};
use proptest::prelude::*;

fn source(tag: &str, low_c: f64, high_c: f64, bores: usize) -> PlanSource {
    PlanSource {
        tag: tag.into(),
        low_c,
        high_c,
        start_c: 20.0,
        heating_k_per_min: 6.0,
        cooling_k_per_min: 3.0,
        settling_s: 900.0,
        bores,
    }
}

fn instrument(tag: &str, low_c: f64, high_c: f64, points: &[(f64, f64)]) -> PlanInstrument {
    let points = points.iter().map(|&(at, within_k)| PlanPoint::Celsius { at, within_k }).collect();
    PlanInstrument { tag: tag.into(), element: None, low_c, high_c, points }
}

/// Fewest points that pierce all intervals, by trying all sets of candidates: an optimal set can always be moved to
/// upper ends of intervals.
fn fewest(intervals: &[(f64, f64)]) -> usize {
    let ends: Vec<f64> = intervals.iter().map(|i| i.1).collect();
    (0u32..1 << ends.len())
        .filter(|set| {
            let chosen = |j: usize| set & (1 << j) != 0;
            intervals
                .iter()
                .all(|(low, high)| (0..ends.len()).any(|j| chosen(j) && *low <= ends[j] && ends[j] <= *high))
        })
        .map(u32::count_ones)
        .min()
        .unwrap() as usize
}

/// Shortest time over all orders of visiting.
fn shortest(points: &[f64], s: &PlanSource, reading_s: f64) -> f64 {
    fn go(here: f64, left: &mut Vec<f64>, s: &PlanSource) -> f64 {
        let mut best = if left.is_empty() { 0.0 } else { f64::INFINITY };
        for i in 0..left.len() {
            let next = left.remove(i);
            let rate = if next > here { s.heating_k_per_min } else { s.cooling_k_per_min };
            best = best.min(60.0 * (next - here).abs() / rate + go(next, left, s));
            left.insert(i, next);
        }
        best
    }
    go(s.start_c, &mut points.to_vec(), s) + points.len() as f64 * (s.settling_s + reading_s)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn one_source_is_optimal(
        raw in prop::collection::vec((0u32..40, 0u32..5), 1..9),
        start in -20.0..220.0f64,
    ) {
        // One point an instrument, on a grid of 5 K.
        let mut s = source("block", -10.0, 250.0, 20);
        s.start_c = start;
        let needs: Vec<(f64, f64)> = raw.iter().map(|(t, w)| (5.0 * f64::from(*t), 2.5 * f64::from(*w))).collect();
        let instruments = needs.iter().enumerate().map(|(i, n)| instrument(&i.to_string(), -100.0, 300.0, &[*n])).collect();
        let request = PlanRequest { instruments, heat_sources: vec![s.clone()], order: PlanOrder::Quickest, reading_s: 120.0 };
        let plan = plan(&request).unwrap();
        let intervals: Vec<(f64, f64)> = needs.iter().map(|(t, w)| (t - w, t + w)).collect();
        prop_assert_eq!(plan.set_points, fewest(&intervals));
        prop_assert!(plan.optimal);
        let only = &plan.sources[0];
        prop_assert_eq!(only.proof.len(), plan.set_points);
        for (low, high) in &intervals {
            prop_assert!(only.set_points.iter().any(|p| *low <= p.t_c && p.t_c <= *high));
        }
        if plan.set_points <= 7 {
            let points: Vec<f64> = only.set_points.iter().map(|p| p.t_c).collect();
            let best = shortest(&points, &s, 120.0);
            prop_assert!((only.time_s - best).abs() < 1e-9 * best, "{} {best}", only.time_s);
        }
    }

    /// Two sources, all assignments of up to six instruments tried here by another road: number of set points alone.
    #[test]
    fn two_sources_are_optimal(raw in prop::collection::vec((0u32..30, 0u32..5), 1..7)) {
        let needs: Vec<(f64, f64)> = raw.iter().map(|(t, w)| (5.0 * f64::from(*t), 2.5 * f64::from(*w))).collect();
        let instruments = needs.iter().enumerate().map(|(i, n)| instrument(&i.to_string(), -100.0, 300.0, &[*n])).collect();
        let sources = vec![source("bath", -20.0, 90.0, 3), source("block", 30.0, 200.0, 6)];
        let request = PlanRequest { instruments, heat_sources: sources.clone(), order: PlanOrder::Up, reading_s: 120.0 };
        let mut best = usize::MAX;
        for assignment in 0u32..1 << needs.len() {
            let of = |i: usize| (assignment >> i & 1) as usize;
            let fits = (0..2).all(|s| (0..needs.len()).filter(|i| of(*i) == s).count() <= sources[s].bores);
            let clipped = |i: usize| {
                let (t, w) = needs[i];
                ((t - w).max(sources[of(i)].low_c), (t + w).min(sources[of(i)].high_c))
            };
            if !fits || (0..needs.len()).any(|i| clipped(i).0 > clipped(i).1) {
                continue;
            }
            let count = (0..2).map(|s| {
                let here: Vec<(f64, f64)> = (0..needs.len()).filter(|i| of(*i) == s).map(clipped).collect();
                fewest(&here)
            }).sum();
            best = best.min(count);
        }
        match plan(&request) {
            Ok(plan) => prop_assert_eq!(plan.set_points, best),
            Err(_) => prop_assert_eq!(best, usize::MAX),
        }
    }
}

/// Three loops, five points each at 0, 25, 50, 75, 100 % of ranges 0 to 100, 0 to 150 and 50 to 150 °C.
#[test]
fn a_shared_heating_cycle_by_hand() {
    let percent = |tag: &str, low_c: f64, high_c: f64| PlanInstrument {
        tag: tag.into(),
        element: None,
        low_c,
        high_c,
        points: [0.0, 25.0, 50.0, 75.0, 100.0].map(|at| PlanPoint::PercentOfSpan { at, within: 5.0 }).into(),
    };
    let request = PlanRequest {
        instruments: vec![percent("A", 0.0, 100.0), percent("B", 0.0, 150.0), percent("C", 50.0, 150.0)],
        heat_sources: vec![source("block", -30.0, 160.0, 4)],
        order: PlanOrder::UpAndDown,
        reading_s: 300.0,
    };
    let plan = plan(&request).unwrap();
    // Intervals: A 0..5 20..30 45..55 70..80 95..100; B 0..7.5 30..45 67.5..82.5 105..120 142.5..150;
    // C 50..55 70..80 95..105 120..130 145..150. By hand: 5 | 30 | 55 | 80 | 100 | 120 | 150, and 30..45 is pierced by
    // 30, 120..130 by 120.
    let ends: Vec<(f64, f64)> = plan.sources[0].set_points.iter().map(|p| p.between_c).collect();
    assert_eq!(
        ends,
        [(0.0, 5.0), (30.0, 30.0), (50.0, 55.0), (70.0, 80.0), (95.0, 100.0), (120.0, 120.0), (145.0, 150.0)]
    );
    assert_eq!(plan.sources[0].visits_c.len(), 13);
    assert!(plan.optimal && plan.time_s < plan.time_one_by_one_s);
    assert_eq!(plan.can_share[0].instruments, ["A", "B", "C"]);
}

#[test]
fn all_that_is_wrong_is_said_at_once() {
    let request = PlanRequest {
        instruments: vec![
            instrument("A", 0.0, 100.0, &[(120.0, 1.0)]),
            instrument("A", 0.0, 100.0, &[(50.0, 5.0), (55.0, 5.0)]),
            instrument("B", 10.0, 10.0, &[]),
        ],
        heat_sources: vec![PlanSource { heating_k_per_min: 0.0, bores: 0, ..source("block", 0.0, 50.0, 1) }],
        order: PlanOrder::Up,
        reading_s: f64::NAN,
    };
    let said = plan(&request).unwrap_err().to_string();
    for part in [
        "120 °C lies outside the range",
        "\"A\" is taken",
        "one set point could serve it and point 0",
        "low, 10 °C, must be below high",
        "0 K/min must be greater than 0",
        "at least one bore",
        "reading_s: NaN s",
    ] {
        assert!(said.contains(part), "{part} is not in {said}");
    }
    let mut far = request;
    far.instruments = vec![instrument("A", 0.0, 200.0, &[(150.0, 1.0)])];
    far.heat_sources = vec![source("block", 0.0, 50.0, 1)];
    far.reading_s = 0.0;
    assert!(plan(&far).unwrap_err().to_string().contains("no heat source reaches"));
}

/// Pukelsheim: degree 2 → −1, 0, 1; degree 3 → ±1, ±1/√5.
#[test]
fn where_a_fit_wants_its_points() {
    assert_eq!(fit_points(2, -1.0, 1.0).unwrap(), [-1.0, 0.0, 1.0]);
    let three = fit_points(3, -1.0, 1.0).unwrap();
    assert!((three[2] - 1.0 / 5f64.sqrt()).abs() < 1e-15 && (three[1] + three[2]).abs() < 1e-15);
    // Degree 4: ±√(3/7).
    assert!((fit_points(4, -1.0, 1.0).unwrap()[3] - (3.0 / 7.0f64).sqrt()).abs() < 1e-15);
    assert!(fit_points(0, 0.0, 1.0).is_err() && fit_points(2, 1.0, 1.0).is_err());
}
