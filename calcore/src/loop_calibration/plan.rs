//! Before the work: the fewest set points that serve all instruments at once, their order and the time it takes.

use crate::error::{Error, Problem, Result};
use serde::{Deserialize, Serialize};

/// More assignments of instruments to heat sources than this are not tried one by one.
const LARGEST_SEARCH: usize = 1 << 20;

/// What is to be planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlanRequest {
    /// The instruments with the points that they need.
    pub instruments: Vec<PlanInstrument>,
    /// The heat sources at hand; a source that may be loaded twice is listed twice.
    pub heat_sources: Vec<PlanSource>,
    /// In which direction the set points are visited.
    pub order: PlanOrder,
    /// Time to read all instruments at a set point, s.
    pub reading_s: f64,
}

/// An instrument of a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlanInstrument {
    /// Its tag.
    pub tag: String,
    /// Tag of the element that is put into the heat source for it, its own if left out: instruments of one loop hang on
    /// one element, fill one bore and go into one source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub element: Option<String>,
    /// Lower end of its range, °C.
    pub low_c: f64,
    /// Upper end of its range, °C.
    pub high_c: f64,
    /// The points that it needs.
    pub points: Vec<PlanPoint>,
}

/// A point that an instrument needs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum PlanPoint {
    /// A temperature.
    Celsius {
        /// Where, °C.
        at: f64,
        /// How far from there it may lie, K.
        within_k: f64,
    },
    /// A part of the range.
    PercentOfSpan {
        /// Where, percent of the span.
        at: f64,
        /// How far from there it may lie, percent of the span.
        within: f64,
    },
}

/// A heat source of a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlanSource {
    /// Its tag.
    pub tag: String,
    /// Lowest temperature, °C.
    pub low_c: f64,
    /// Highest temperature, °C.
    pub high_c: f64,
    /// Where it stands when the work begins, °C.
    pub start_c: f64,
    /// How fast it heats, K/min.
    pub heating_k_per_min: f64,
    /// How fast it cools, K/min.
    pub cooling_k_per_min: f64,
    /// How long it takes to settle at a set point, s.
    pub settling_s: f64,
    /// How many elements it takes beside the reference.
    pub bores: usize,
}

/// In which direction set points are visited.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PlanOrder {
    /// From the lowest to the highest.
    Up,
    /// From the lowest to the highest and back, for hysteresis.
    UpAndDown,
    /// Whichever way is quickest.
    Quickest,
}

/// The plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Plan {
    /// One entry a heat source that is used.
    pub sources: Vec<SourcePlan>,
    /// Set points of all sources together, each counted once.
    pub set_points: usize,
    /// Time of all sources one after the other, s.
    pub time_s: f64,
    /// Time if every element were calibrated by itself, s.
    pub time_one_by_one_s: f64,
    /// Whether no plan has fewer set points, and no assignment to the sources with as few takes less time at the set
    /// points chosen: every assignment was tried. False where there were too many; each source by itself is optimal
    /// then.
    pub optimal: bool,
    /// Groups of instruments that could share each source, by its range and bores: one entry a source.
    pub can_share: Vec<CanShare>,
}

/// What one heat source does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SourcePlan {
    /// Its tag.
    pub tag: String,
    /// The instruments in it.
    pub instruments: Vec<String>,
    /// The set points, ascending.
    pub set_points: Vec<PlannedPoint>,
    /// The set points in the order in which they are visited, °C.
    pub visits_c: Vec<f64>,
    /// Time, s.
    pub time_s: f64,
    /// Why there cannot be fewer: as many required points as there are set points, no two of which can be served by one
    /// (instrument and number of its point, counted from 0).
    pub proof: Vec<(String, usize)>,
}

/// One shared set point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlannedPoint {
    /// Where, °C.
    pub t_c: f64,
    /// From where to where it could be moved, °C.
    pub between_c: (f64, f64),
    /// Whom it serves: instrument and number of its point.
    pub serves: Vec<(String, usize)>,
}

/// Which instruments a source could serve.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CanShare {
    /// The source.
    pub tag: String,
    /// Tags of the instruments all of whose points lie in its range.
    pub instruments: Vec<String>,
}

#[derive(Debug, Clone)]
struct Need {
    instrument: usize,
    point: usize,
    target_c: f64,
    low_c: f64,
    high_c: f64,
}

/// Plans the work.
///
/// # Method
/// Every required point is an interval of temperature. Going up, a set point is placed at the first upper end that no
/// set point lies under yet; the intervals that called for one do not overlap, so that no fewer can do. Within the
/// stretch in which it serves the same points, a set point is moved to the middle of their targets. A source visits all
/// its set points soonest by going to the nearer end first. With several sources every assignment of the elements is
/// tried, fewest set points first, then shortest time.
///
/// # Errors
/// [`Error::InvalidRun`] with everything that is wrong with the request: a point outside its instrument's range, two
/// points of one instrument that one set point could serve, an instrument that no source can take.
///
/// # Source
/// Piercing of intervals on a line: the greedy choice is optimal, with the disjoint intervals as its proof (textbooks).
pub fn plan(request: &PlanRequest) -> Result<Plan> {
    let needs = check(request)?;
    let mut elements: Vec<&str> = Vec::new();
    let element_of: Vec<usize> = request
        .instruments
        .iter()
        .map(|instrument| {
            let element = instrument.element.as_deref().unwrap_or(&instrument.tag);
            elements.iter().position(|known| *known == element).unwrap_or_else(|| {
                elements.push(element);
                elements.len() - 1
            })
        })
        .collect();
    let sources = request.heat_sources.len();
    // Which sources can take an element: those that reach all points of all its instruments.
    let possible: Vec<Vec<usize>> = (0..elements.len())
        .map(|element| {
            let its = |need: &&Need| element_of[need.instrument] == element;
            (0..sources)
                .filter(|s| needs.iter().filter(its).all(|need| reach(&request.heat_sources[*s], need).is_some()))
                .collect()
        })
        .collect();
    if let Some(left) = possible.iter().position(Vec::is_empty) {
        let message = format!("no heat source reaches all points of the instruments on {:?}", elements[left]);
        return Err(Error::InvalidRun { problems: vec![Problem { path: "heat_sources".into(), message }] });
    }
    let combinations = possible.iter().try_fold(1usize, |n, p| n.checked_mul(p.len()).filter(|n| *n <= LARGEST_SEARCH));
    let mut best: Option<(usize, f64, Vec<SourcePlan>)> = None;
    let mut try_out = |assignment: &[usize]| {
        let mut plans = Vec::new();
        for (s, source) in request.heat_sources.iter().enumerate() {
            if assignment.iter().filter(|a| **a == s).count() > source.bores {
                return;
            }
            let here: Vec<Need> = needs.iter().filter(|n| assignment[element_of[n.instrument]] == s).cloned().collect();
            if !here.is_empty() {
                plans.push(one_source(request, source, &here));
            }
        }
        let (count, time) = (plans.iter().map(|p| p.set_points.len()).sum(), plans.iter().map(|p| p.time_s).sum());
        if best.as_ref().is_none_or(|(n, t, _)| count < *n || (count == *n && time < *t)) {
            best = Some((count, time, plans));
        }
    };
    let optimal = combinations.is_some();
    if optimal {
        let mut digits = vec![0; elements.len()];
        loop {
            let assignment: Vec<usize> = digits.iter().zip(&possible).map(|(d, p)| p[*d]).collect();
            try_out(&assignment);
            let Some(next) = (0..digits.len()).find(|i| digits[*i] + 1 < possible[*i].len()) else { break };
            digits[next] += 1;
            digits[..next].fill(0);
        }
    } else {
        // Too many: each element goes to the first source that can take it and still has a bore.
        let mut free: Vec<usize> = request.heat_sources.iter().map(|source| source.bores).collect();
        let mut assignment = Vec::with_capacity(elements.len());
        for choices in &possible {
            let s = choices.iter().copied().find(|s| free[*s] > 0).unwrap_or(choices[0]);
            free[s] = free[s].saturating_sub(1);
            assignment.push(s);
        }
        try_out(&assignment);
    }
    let Some((set_points, time_s, plans)) = best else {
        let message = format!("the bores of all heat sources do not take {} elements", elements.len());
        return Err(Error::InvalidRun { problems: vec![Problem { path: "heat_sources".into(), message }] });
    };
    let alone = |element: usize| {
        let its: Vec<Need> = needs.iter().filter(|n| element_of[n.instrument] == element).cloned().collect();
        let times = possible[element].iter().map(|s| one_source(request, &request.heat_sources[*s], &its).time_s);
        times.fold(f64::INFINITY, f64::min)
    };
    let can_share = request.heat_sources.iter().map(|source| CanShare {
        tag: source.tag.clone(),
        instruments: (0..request.instruments.len())
            .filter(|i| needs.iter().filter(|n| n.instrument == *i).all(|n| reach(source, n).is_some()))
            .map(|i| request.instruments[i].tag.clone())
            .collect(),
    });
    Ok(Plan {
        sources: plans,
        set_points,
        time_s,
        time_one_by_one_s: (0..elements.len()).map(alone).sum(),
        optimal,
        can_share: can_share.collect(),
    })
}

/// The part of a required point that a source reaches.
fn reach(source: &PlanSource, need: &Need) -> Option<(f64, f64)> {
    let (low, high) = (need.low_c.max(source.low_c), need.high_c.min(source.high_c));
    (low <= high).then_some((low, high))
}

fn one_source(request: &PlanRequest, source: &PlanSource, needs: &[Need]) -> SourcePlan {
    let mut open: Vec<(f64, f64, &Need)> =
        needs.iter().filter_map(|need| reach(source, need).map(|(low, high)| (low, high, need))).collect();
    open.sort_by(|a, b| a.1.total_cmp(&b.1));
    let name = |need: &Need| (request.instruments[need.instrument].tag.clone(), need.point);
    let (mut set_points, mut proof) = (Vec::new(), Vec::new());
    while let Some(&(_, at, first)) = open.first() {
        let (served, rest): (Vec<_>, Vec<_>) = open.into_iter().partition(|(low, _, _)| *low <= at);
        open = rest;
        proof.push(name(first));
        let low = served.iter().map(|s| s.0).fold(f64::NEG_INFINITY, f64::max);
        let targets = served.iter().map(|s| s.2.target_c);
        let (coldest, hottest) = targets.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)));
        let t_c = (0.5 * (coldest + hottest)).clamp(low, at);
        set_points.push(PlannedPoint { t_c, between_c: (low, at), serves: served.iter().map(|s| name(s.2)).collect() });
    }
    let up: Vec<f64> = set_points.iter().map(|point| point.t_c).collect();
    let down: Vec<f64> = up.iter().rev().copied().collect();
    let time = |visits: &[f64]| {
        let mut here = source.start_c;
        let mut seconds = 0.0;
        for &t in visits {
            let rate = if t > here { source.heating_k_per_min } else { source.cooling_k_per_min };
            seconds += 60.0 * (t - here).abs() / rate + source.settling_s + request.reading_s;
            here = t;
        }
        seconds
    };
    let visits_c = match request.order {
        PlanOrder::Up => up,
        PlanOrder::UpAndDown => up.iter().chain(down.iter().skip(1)).copied().collect(),
        PlanOrder::Quickest if time(&down) < time(&up) => down,
        PlanOrder::Quickest => up,
    };
    let mut instruments: Vec<String> = Vec::new();
    for need in needs {
        let tag = &request.instruments[need.instrument].tag;
        if !instruments.contains(tag) {
            instruments.push(tag.clone());
        }
    }
    SourcePlan { tag: source.tag.clone(), instruments, set_points, time_s: time(&visits_c), visits_c, proof }
}

fn check(request: &PlanRequest) -> Result<Vec<Need>> {
    let mut problems: Vec<Problem> = Vec::new();
    let mut add = |path: String, message: String| problems.push(Problem { path, message });
    let mut needs: Vec<Need> = Vec::new();
    if request.instruments.is_empty() {
        add("instruments".into(), "at least one is needed".into());
    }
    if !(request.reading_s >= 0.0 && request.reading_s.is_finite()) {
        add("reading_s".into(), format!("{} s must be a finite number and not negative", request.reading_s));
    }
    for (i, instrument) in request.instruments.iter().enumerate() {
        let path = format!("instruments[{i}]");
        if request.instruments[..i].iter().any(|other| other.tag == instrument.tag) {
            add(format!("{path}.tag"), format!("{:?} is taken", instrument.tag));
        }
        let span_k = instrument.high_c - instrument.low_c;
        if !(span_k > 0.0 && span_k.is_finite()) {
            add(path, format!("low, {} °C, must be below high, {} °C", instrument.low_c, instrument.high_c));
            continue;
        }
        if instrument.points.is_empty() {
            add(format!("{path}.points"), "at least one is needed".into());
        }
        let first = needs.len();
        for (point, needed) in instrument.points.iter().enumerate() {
            let path = format!("{path}.points[{point}]");
            let (target_c, within_k) = match *needed {
                PlanPoint::Celsius { at, within_k } => (at, within_k),
                PlanPoint::PercentOfSpan { at, within } => {
                    (instrument.low_c + span_k * at / 100.0, span_k * within / 100.0)
                }
            };
            if !(within_k >= 0.0 && within_k.is_finite()) {
                add(path, format!("how far it may lie away, {within_k} K, must not be negative"));
                continue;
            }
            if !(target_c >= instrument.low_c && target_c <= instrument.high_c) {
                let (low, high) = (instrument.low_c, instrument.high_c);
                add(path, format!("{target_c} °C lies outside the range, {low} °C to {high} °C"));
                continue;
            }
            let (low_c, high_c) =
                ((target_c - within_k).max(instrument.low_c), (target_c + within_k).min(instrument.high_c));
            if let Some(other) = needs[first..].iter().find(|other| other.low_c <= high_c && low_c <= other.high_c) {
                let number = other.point;
                add(path, format!("one set point could serve it and point {number}: let them lie less far away"));
            }
            needs.push(Need { instrument: i, point, target_c, low_c, high_c });
        }
    }
    if request.heat_sources.is_empty() {
        add("heat_sources".into(), "at least one is needed".into());
    }
    for (i, source) in request.heat_sources.iter().enumerate() {
        let path = format!("heat_sources[{i}]");
        if !(source.low_c < source.high_c && source.low_c.is_finite() && source.high_c.is_finite()) {
            add(path.clone(), format!("low, {} °C, must be below high, {} °C", source.low_c, source.high_c));
        }
        for (field, rate) in [("heating", source.heating_k_per_min), ("cooling", source.cooling_k_per_min)] {
            if !(rate > 0.0 && rate.is_finite()) {
                add(format!("{path}.{field}_k_per_min"), format!("{rate} K/min must be greater than 0"));
            }
        }
        if !(source.settling_s >= 0.0 && source.settling_s.is_finite() && source.start_c.is_finite()) {
            add(path.clone(), "settling time and start must be finite numbers, the first not negative".into());
        }
        if source.bores == 0 {
            add(format!("{path}.bores"), "at least one bore is needed beside the reference".into());
        }
    }
    if problems.is_empty() { Ok(needs) } else { Err(Error::InvalidRun { problems }) }
}

/// Where to calibrate for a fit: the points at which measurements of equal uncertainty determine a polynomial best
/// (largest determinant of the information), °C.
///
/// # Formula
/// The roots of (1 − x²) P′ₙ(x) on −1 to 1, Pₙ the Legendre polynomial of the degree, moved to the range.
///
/// # Errors
/// [`Error::InvalidValue`] for a degree of 0 or above 12 or an empty range, [`Error::NotFinite`].
///
/// # Example
/// ```
/// let points = calcore::loop_calibration::fit_points(2, 0.0, 200.0)?;
/// assert_eq!(points, [0.0, 100.0, 200.0]);
/// # Ok::<(), calcore::Error>(())
/// ```
///
/// # Source
/// F. Pukelsheim, Optimal Design of Experiments, the D-optimal design of polynomial regression (from memory).
pub fn fit_points(degree: usize, low_c: f64, high_c: f64) -> Result<Vec<f64>> {
    if degree == 0 || degree > 12 {
        return Err(Error::InvalidValue {
            what: "degree",
            value: degree as f64,
            unit: "",
            requirement: "it must lie between 1 and 12".into(),
        });
    }
    let span_k = crate::interval::span_k(low_c, high_c)?;
    // Legendre polynomial and derivatives by their recurrence; roots of the derivative between those of Chebyshev.
    let slope_and_bend = |x: f64| {
        let (mut before, mut p) = (1.0, x);
        for k in 1..degree {
            let k = k as f64;
            (before, p) = (p, ((2.0 * k + 1.0) * x * p - k * before) / (k + 1.0));
        }
        let n = degree as f64;
        let slope = n * (before - x * p) / (1.0 - x * x);
        (slope, (2.0 * x * slope - n * (n + 1.0) * p) / (1.0 - x * x))
    };
    let mut roots = vec![-1.0];
    for i in 1..degree {
        let mut x = -libm::cos(std::f64::consts::PI * i as f64 / degree as f64);
        for _ in 0..50 {
            let (slope, bend) = slope_and_bend(x);
            x -= slope / bend;
        }
        // The middle one is 0 by symmetry.
        roots.push(if 2 * i == degree { 0.0 } else { x });
    }
    roots.push(1.0);
    let low_c = low_c.min(high_c);
    Ok(roots.iter().map(|x| low_c + span_k * (0.5 * (x + 1.0))).collect())
}
