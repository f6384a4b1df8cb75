//! Which single adjustment brings a loop into tolerance, proven by evaluating the run again as it would read then.

use super::convert::Conversion;
use super::curve::CurveDescription;
use super::instrument::{Instrument, LinkKind};
use super::result::RunResult;
use super::run::Run;
use super::unit::Unit;
use crate::circuit::CurrentLoop;
use crate::curves::CallendarVanDusen;
use crate::decision::Verdict;
use crate::error::Result;
use serde::{Deserialize, Serialize};

/// An adjustment of one link.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Adjustment {
    /// A shift of all readings.
    Zero {
        /// What is added to them, K.
        shift_k: f64,
    },
    /// A factor on the distance from the lower end of the range.
    Span {
        /// The factor.
        factor: f64,
    },
    /// A straight line through two points: what the readings are shifted by there.
    TwoPointTrim {
        /// The lower and the upper point, as the link reads them, °C.
        at_c: (f64, f64),
        /// The shift at both, K.
        shift_k: (f64, f64),
    },
    /// A trim of the output (D/A): the currents that the stage gives for 4 mA and for 20 mA, to be entered as measured.
    OutputTrim {
        /// Current given for 4 mA, mA.
        at_4_ma: f64,
        /// Current given for 20 mA, mA.
        at_20_ma: f64,
    },
    /// Coefficients of the element entered in the transmitter.
    NewCoefficients {
        /// R0, ohm.
        r0: f64,
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// C, 1/K⁴.
        c: f64,
    },
}

/// An adjustment with what would remain after it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Proposal {
    /// Tag of the link to be adjusted.
    pub tag: String,
    /// What to do.
    pub adjustment: Adjustment,
    /// Whether the run, evaluated again with the readings that would follow, passes at the end of every loop.
    pub within_tolerance: bool,
    /// Largest part of the tolerance that is still used at the end of a loop.
    pub largest_used: f64,
    /// Whether it removes the fault of the link that the attribution names; an adjustment elsewhere only hides it.
    pub adjusts_the_cause: bool,
    /// What would remain at the end of every loop.
    pub remaining: Vec<RemainingError>,
    /// What speaks against doing it now.
    pub cautions: Vec<String>,
}

/// What would remain at one set point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RemainingError {
    /// Tag of the last link of the loop.
    pub tag: String,
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// Error, K.
    pub error_k: f64,
    /// Expanded uncertainty of it, K.
    pub expanded_uncertainty_k: f64,
    /// What the decision rule would say.
    pub verdict: Verdict,
}

/// One visit of a set point: what a link reads there and what of its error is its own.
struct Visit {
    set_point: usize,
    nominal_c: f64,
    read_c: f64,
    error_k: f64,
}

/// An end of the range that was visited: the means over all visits of that set point, up and down, °C and K.
struct End {
    read_c: f64,
    error_k: f64,
}

/// Part of the range below which an adjustment changes nothing: ten thousand times what the conversions between reading and
/// temperature round, and far less than any link can be set by.
const NOTHING: f64 = 1e-9;

impl RunResult {
    /// Single adjustments, the best first: those that bring all loops into tolerance before those that do not, those of
    /// the cause before those that hide it, then by what is left.
    ///
    /// Every trim takes away the link's own share of the error, never that of another link. Zero: the middle of its
    /// extremes; span: its share at the highest set point; two points and output: its shares at the lowest and highest; both
    /// as the mean of all visits of that set point, up and down. The readings of the link and of all that follow it are
    /// shifted accordingly and the run is evaluated again. What would shift no reading by more than 1e-9 of the range of the
    /// link is not proposed.
    ///
    /// # Errors
    /// What a curve refuses.
    pub fn adjustments(&self) -> Result<Vec<Proposal>> {
        let mut proposals = Vec::new();
        for instrument in &self.run.instruments {
            let Some(visits) = self.visits(instrument) else { continue };
            for (adjustment, shifts) in candidates(instrument, &visits)? {
                proposals.extend(self.prove(instrument, adjustment, &shifts, None)?);
            }
        }
        for fit in &self.element_fits {
            let is_next = |other: &&Instrument| {
                other.kind == LinkKind::Transmitter && other.input.as_deref() == Some(fit.tag.as_str())
            };
            let Some(transmitter) = self.run.instruments.iter().find(is_next) else { continue };
            let (r0, a, b, c) = (fit.r0, fit.a, fit.b, fit.c);
            let adjustment = Adjustment::NewCoefficients { r0, a, b, c };
            let new = CurveDescription::CallendarVanDusen { r0, a, b, c };
            let shifts = self.shifts_of_curve(&fit.tag, &fit.curve)?;
            proposals.extend(self.prove(transmitter, adjustment, &shifts, Some((&fit.tag, new)))?);
        }
        let rank = |p: &Proposal| (!p.within_tolerance, !p.adjusts_the_cause);
        proposals.sort_by(|a, b| rank(a).cmp(&rank(b)).then(a.largest_used.total_cmp(&b.largest_used)));
        Ok(proposals)
    }

    /// The link's own share at its set points, if it is no element and was attributed.
    fn visits(&self, instrument: &Instrument) -> Option<Vec<Visit>> {
        if instrument.kind == LinkKind::Element {
            return None;
        }
        let attribution = self.attribution.iter().find(|one| one.links.contains(&instrument.tag))?;
        let visits: Vec<Visit> = attribution
            .set_points
            .iter()
            .filter_map(|split| {
                let share = split.shares.iter().find(|share| share.tag == instrument.tag)?;
                let (_, point) = self.point_index(&instrument.tag, split.set_point)?;
                let (set_point, nominal_c) = (split.set_point, point.nominal_c);
                Some(Visit { set_point, nominal_c, read_c: point.indicated_c, error_k: share.error_k })
            })
            .collect();
        (!visits.is_empty()).then_some(visits)
    }

    /// What new coefficients of an element change at every set point, K.
    fn shifts_of_curve(&self, tag: &str, new: &CallendarVanDusen) -> Result<Vec<(usize, f64)>> {
        let Some(element) = self.instrument(tag) else { return Ok(Vec::new()) };
        let Some(described) = self.run.instruments.iter().find(|one| one.tag == tag) else { return Ok(Vec::new()) };
        let conversion = Conversion::of_instrument(described)?;
        let mut shifts = Vec::with_capacity(element.points.len());
        for point in &element.points {
            shifts.push((
                point.set_point,
                new.temperature(conversion.sensor_signal(point.reading)?)? - point.indicated_c,
            ));
        }
        Ok(shifts)
    }

    /// Evaluates the run as it would read after the adjustment; none where a link would leave its range, or where it
    /// changes nothing.
    fn prove(
        &self,
        link: &Instrument,
        adjustment: Adjustment,
        shifts: &[(usize, f64)],
        new_curve: Option<(&str, CurveDescription)>,
    ) -> Result<Option<Proposal>> {
        let (low_c, high_c) = link.range.ends_c()?;
        if shifts.iter().all(|(_, shift_k)| shift_k.abs() <= NOTHING * (high_c - low_c).abs()) {
            return Ok(None);
        }
        let mut run = self.run.clone();
        let mut element = None;
        if let Some((tag, curve)) = new_curve {
            element = Some(tag);
            if let Some(one) = run.instruments.iter_mut().find(|one| one.tag == tag) {
                one.curve = Some(curve);
            }
        }
        for instrument in &self.run.instruments {
            if !self.run.follows(instrument, &link.tag) {
                continue;
            }
            let conversion = Conversion::of_instrument(instrument)?;
            for (set_point, shift_k) in shifts {
                let readings = &mut run.set_points[*set_point].readings;
                if let Some(reading) = readings.iter_mut().find(|reading| reading.tag == instrument.tag) {
                    for value in &mut reading.value {
                        let Ok(new) = conversion.to_c(*value).and_then(|t| conversion.reading_at(t + shift_k)) else {
                            return Ok(None);
                        };
                        *value = new;
                    }
                }
            }
        }
        let Ok(after) = run.evaluate() else { return Ok(None) };
        let mut remaining = Vec::new();
        let mut largest_used = 0.0f64;
        for end in &after.attribution {
            let Some(instrument) = after.instrument(&end.tag) else { continue };
            for point in &instrument.points {
                let limit = if point.error_k < 0.0 { -point.tolerance_lower_k } else { point.tolerance_upper_k };
                largest_used = largest_used.max(point.error_k.abs() / limit);
                remaining.push(RemainingError {
                    tag: end.tag.clone(),
                    set_point: point.set_point,
                    error_k: point.error_k,
                    expanded_uncertainty_k: point.expanded_uncertainty_k,
                    verdict: point.verdict,
                });
            }
        }
        let mut cautions = Vec::new();
        if self.warnings.iter().any(|warning| warning.code == "reference_not_steady") {
            cautions.push("the reference was not steady at every set point: repeat these before adjusting".into());
        }
        let cause = |one: &super::result::Attribution| {
            one.significant && (one.cause == link.tag || element.is_some_and(|tag| one.cause == tag))
        };
        let adjusts_the_cause = self.attribution.iter().any(cause);
        if !adjusts_the_cause {
            cautions.push("another link is the cause: this would hide its error, not remove it".into());
        }
        Ok(Some(Proposal {
            tag: link.tag.clone(),
            adjustment,
            within_tolerance: remaining.iter().all(|one| one.verdict == Verdict::Pass),
            largest_used,
            adjusts_the_cause,
            remaining,
            cautions,
        }))
    }
}

impl Run {
    /// Whether an instrument is a link or takes its value from it.
    fn follows(&self, instrument: &Instrument, link: &str) -> bool {
        let mut here = Some(instrument);
        while let Some(one) = here {
            if one.tag == link {
                return true;
            }
            here = one.input.as_ref().and_then(|input| self.instruments.iter().find(|other| other.tag == *input));
        }
        false
    }
}

/// An adjustment and what it shifts at every set point, K.
type Candidate = (Adjustment, Vec<(usize, f64)>);

fn candidates(instrument: &Instrument, visits: &[Visit]) -> Result<Vec<Candidate>> {
    let low = visits.iter().map(|visit| visit.error_k).fold(f64::INFINITY, f64::min);
    let high = visits.iter().map(|visit| visit.error_k).fold(f64::NEG_INFINITY, f64::max);
    let shift_k = -0.5 * (low + high);
    let shifted = |by: &dyn Fn(f64) -> f64| visits.iter().map(|visit| (visit.set_point, by(visit.read_c))).collect();
    let mut found: Vec<Candidate> = vec![(Adjustment::Zero { shift_k }, shifted(&|_| shift_k))];
    let nominals = || visits.iter().map(|visit| visit.nominal_c);
    let coldest = end(visits, nominals().fold(f64::INFINITY, f64::min));
    let hottest = end(visits, nominals().fold(f64::NEG_INFINITY, f64::max));
    let (range_low_c, range_high_c) = instrument.range.ends_c()?;
    let pivot_c = range_low_c.min(range_high_c);
    let reach_k = hottest.read_c - pivot_c;
    if reach_k > 0.0 {
        let factor = (reach_k - hottest.error_k) / reach_k;
        found.push((Adjustment::Span { factor }, shifted(&|read_c| (read_c - pivot_c) * (factor - 1.0))));
    }
    let apart_k = hottest.read_c - coldest.read_c;
    // Two points closer than a tenth of the range make a trim of chance.
    if apart_k > 0.1 * (range_high_c - range_low_c).abs() {
        let slope = (hottest.error_k - coldest.error_k) / apart_k;
        let line = |t_c: f64| coldest.error_k + slope * (t_c - coldest.read_c);
        let adjustment = if instrument.unit == Unit::Milliampere && instrument.transfer.is_none() {
            // The stage reads t where it should read t − line(t).
            let given = |ideal_c: f64| (ideal_c + coldest.error_k - slope * coldest.read_c) / (1.0 - slope);
            let current = CurrentLoop::new(range_low_c, range_high_c)?;
            let excess_ma = |ideal_c: f64| current.error_ma_from_k(given(ideal_c) - ideal_c);
            Adjustment::OutputTrim {
                at_4_ma: current.current(range_low_c)? + excess_ma(range_low_c)?,
                at_20_ma: current.current(range_high_c)? + excess_ma(range_high_c)?,
            }
        } else {
            Adjustment::TwoPointTrim {
                at_c: (coldest.read_c, hottest.read_c),
                shift_k: (-coldest.error_k, -hottest.error_k),
            }
        };
        found.push((adjustment, shifted(&|read_c| -line(read_c))));
    }
    Ok(found)
}

/// The means over all visits of a set point. A trim by one of them would leave the whole hysteresis on one side.
fn end(visits: &[Visit], nominal_c: f64) -> End {
    let here = || visits.iter().filter(|visit| visit.nominal_c.total_cmp(&nominal_c).is_eq());
    let n = here().count() as f64;
    End {
        read_c: here().map(|visit| visit.read_c).sum::<f64>() / n,
        error_k: here().map(|visit| visit.error_k).sum::<f64>() / n,
    }
}
