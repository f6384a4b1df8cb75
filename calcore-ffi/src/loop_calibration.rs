//! Section "loop calibration": a run from its JSON description to its result, as JSON and number by number.

use crate::array::{copy, input, output_of};
use crate::decision::verdict_number;
use crate::fit::held_bits;
use crate::guard::{fill, give, guard, make};
use crate::handle::{Handle, held, release};
use crate::message::{Failure, calcore_error, read_name, write_text};
use crate::record::Record;
use crate::settling::{calcore_steadiness, state_of};
use crate::status::*;
use crate::uncertainty::{calcore_budget, calcore_contribution, line, numbers};
use calcore::loop_calibration::{
    Attribution, ElementFit, InstrumentResult, LinkKind, LinkShare, PointResult, Run, RunResult, SetPointAttribution,
    SetPointResult, Unit,
};
use calcore::num::covariance::Covariance;
use std::ffi::c_char;

/// What a link is: the sensing element.
pub const CALCORE_ELEMENT: i32 = 0;
/// What a link is: a transmitter.
pub const CALCORE_TRANSMITTER: i32 = 1;
/// What a link is: the current output of a transmitter whose digital value is read too.
pub const CALCORE_OUTPUT_STAGE: i32 = 2;
/// What a link is: a local indicator.
pub const CALCORE_INDICATOR: i32 = 3;
/// What a link is: the value an operator sees.
pub const CALCORE_CONTROL_SYSTEM: i32 = 4;

/// Unit of readings: ohm.
pub const CALCORE_UNIT_OHM: i32 = 0;
/// Unit of readings: milliampere.
pub const CALCORE_UNIT_MA: i32 = 1;
/// Unit of readings: degree Celsius.
pub const CALCORE_UNIT_DEGC: i32 = 2;
/// Unit of readings: degree Fahrenheit.
pub const CALCORE_UNIT_DEGF: i32 = 3;
/// Unit of readings: kelvin.
pub const CALCORE_UNIT_K: i32 = 4;

/// Text of a result: version of the core that computed it.
pub const CALCORE_TEXT_CORE_VERSION: i32 = 0;
/// Text of a result: document i by which it was computed.
pub const CALCORE_TEXT_DOCUMENT: i32 = 1;
/// Text of a result: tag of instrument i.
pub const CALCORE_TEXT_INSTRUMENT_TAG: i32 = 2;
/// Text of a result: source of line k of the budget of instrument i at its point j.
pub const CALCORE_TEXT_CONTRIBUTION: i32 = 3;
/// Text of a result: tag of the last link of attribution i.
pub const CALCORE_TEXT_ATTRIBUTION_TAG: i32 = 4;
/// Text of a result: tag of link j of attribution i.
pub const CALCORE_TEXT_ATTRIBUTION_LINK: i32 = 5;
/// Text of a result: tag of the link with the largest share in attribution i.
pub const CALCORE_TEXT_ATTRIBUTION_CAUSE: i32 = 6;
/// Text of a result: tag of the link of share k at set point j of attribution i.
pub const CALCORE_TEXT_SHARE_TAG: i32 = 7;
/// Text of a result: tag of the element of fit i.
pub const CALCORE_TEXT_ELEMENT_TAG: i32 = 8;
/// Text of a result: stable code of warning i.
pub const CALCORE_TEXT_WARNING_CODE: i32 = 9;
/// Text of a result: what warning i concerns, as a path into the run.
pub const CALCORE_TEXT_WARNING_PATH: i32 = 10;
/// Text of a result: what warning i says.
pub const CALCORE_TEXT_WARNING_MESSAGE: i32 = 11;
/// Text of a result: caution i, for work at hot equipment and on live loops.
pub const CALCORE_TEXT_CAUTION: i32 = 12;

/// What was done at the block: reference thermometer, heat source, instruments, raw readings.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_run_free.
pub struct calcore_run {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_run {
    type Held = Run;
    const WHAT: &'static str = "calcore_run";
    const TAG: u64 = 0x6e75_725f_6363_0003;
}

/// What came out of a run. Keeps all it needs: the run may be released before it.
///
/// Immutable once made; any number of threads may use it at once. Released by calcore_result_free.
pub struct calcore_result {
    _opaque: [u8; 0],
}

// SAFETY: the tag is used once, pointers come from `hand_out`.
unsafe impl Handle for calcore_result {
    type Held = RunResult;
    const WHAT: &'static str = "calcore_result";
    const TAG: u64 = 0x7365_725f_6363_0004;
}

/// How much a result holds.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_result_counts {
    /// sizeof(calcore_result_counts), set by the caller.
    pub size: usize,
    /// Set points.
    pub set_points: usize,
    /// Instruments that were read.
    pub instruments: usize,
    /// Attributions: chains of links that were read to their end.
    pub attributions: usize,
    /// Fits of elements.
    pub element_fits: usize,
    /// Warnings.
    pub warnings: usize,
    /// Cautions.
    pub cautions: usize,
    /// Documents.
    pub documents: usize,
    /// Rows of the covariance matrix of all errors: the points of all instruments.
    pub errors: usize,
}

/// The reference at a set point.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_set_point {
    /// sizeof(calcore_set_point), set by the caller.
    pub size: usize,
    /// What the heat source was set to, °C.
    pub nominal_c: f64,
    /// Mean temperature by the reference thermometer, °C.
    pub reference_c: f64,
    /// Standard uncertainty of it, K: reference and heat source.
    pub standard_uncertainty_k: f64,
    /// 1 if the run says when the reference counts as steady (see calcore_result_steadiness), else 0.
    pub judged: i32,
    /// Zero.
    pub reserved: i32,
}

/// All points of one instrument, in short.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_instrument {
    /// sizeof(calcore_instrument), set by the caller.
    pub size: usize,
    /// What it is: CALCORE_ELEMENT to CALCORE_CONTROL_SYSTEM.
    pub kind: i32,
    /// Unit of its readings: one of the CALCORE_UNIT_ numbers.
    pub unit: i32,
    /// Its worst verdict: CALCORE_PASS to CALCORE_NO_FAIL.
    pub verdict: i32,
    /// Zero.
    pub reserved: i32,
    /// Points: set points at which it was read.
    pub points: usize,
    /// Which of its points uses the largest part of its tolerance.
    pub worst_point: usize,
}

/// One instrument at one set point. Its budget: calcore_result_budget and calcore_result_contribution.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_point {
    /// sizeof(calcore_point), set by the caller.
    pub size: usize,
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// Lines in its budget.
    pub contributions: usize,
    /// CALCORE_PASS to CALCORE_NO_FAIL.
    pub verdict: i32,
    /// Zero.
    pub reserved: i32,
    /// What the heat source was set to, °C.
    pub nominal_c: f64,
    /// Temperature by the reference at the moments of the readings, mean, °C.
    pub reference_c: f64,
    /// Mean reading, in the unit of the instrument.
    pub reading: f64,
    /// Temperature that the readings stand for, mean, °C.
    pub indicated_c: f64,
    /// Error: indicated minus reference, in the unit of the instrument.
    pub error: f64,
    /// The same in kelvin.
    pub error_k: f64,
    /// The same in percent of the span.
    pub error_percent_of_span: f64,
    /// Standard uncertainty of the error, K.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty of the error, K.
    pub expanded_uncertainty_k: f64,
    /// Expanded uncertainty of the error, in the unit of the instrument.
    pub expanded_uncertainty: f64,
    /// Coverage factor.
    pub coverage_factor: f64,
    /// Most negative error allowed, K.
    pub tolerance_lower_k: f64,
    /// Most positive error allowed, K.
    pub tolerance_upper_k: f64,
    /// Guard band of the decision, K.
    pub guard_band_k: f64,
    /// Probability that the error lies within the tolerance.
    pub probability_of_conformity: f64,
}

/// The error of a loop, split over its links, in short.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_attribution {
    /// sizeof(calcore_attribution), set by the caller.
    pub size: usize,
    /// Links that were read, from the element on.
    pub links: usize,
    /// Set points at which the last link was read.
    pub set_points: usize,
    /// 1 if the largest share exceeds its expanded uncertainty at a set point at least, else 0.
    pub significant: i32,
    /// Zero.
    pub reserved: i32,
}

/// The split at one set point, in short.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_attribution_point {
    /// sizeof(calcore_attribution_point), set by the caller.
    pub size: usize,
    /// Which set point of the run, counted from 0.
    pub set_point: usize,
    /// Shares.
    pub shares: usize,
    /// Error of the loop, K: that of its last link, and the sum of the shares.
    pub error_k: f64,
}

/// What one link adds to the error of a loop.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_share {
    /// sizeof(calcore_share), set by the caller.
    pub size: usize,
    /// How many links before it were not read and have their error in this share.
    pub unread: usize,
    /// What it adds, K: its own error less that of the link before.
    pub error_k: f64,
    /// Standard uncertainty of that difference, K.
    pub standard_uncertainty_k: f64,
    /// Expanded uncertainty of that difference, K.
    pub expanded_uncertainty_k: f64,
    /// Share of the error of the loop, percent; NaN where that error is zero.
    pub percent: f64,
}

/// New coefficients for an element.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct calcore_element_fit {
    /// sizeof(calcore_element_fit), set by the caller.
    pub size: usize,
    /// R0, ohm.
    pub r0: f64,
    /// A, 1/K.
    pub a: f64,
    /// B, 1/K^2.
    pub b: f64,
    /// C, 1/K^4.
    pub c: f64,
    /// Covariance of R0, A, B, C, row by row; zero rows where a coefficient was held, NaN where it could not be had.
    pub covariance: [f64; 16],
    /// Lower end of the range in which the new curve holds, °C.
    pub low_c: f64,
    /// Upper end of that range, °C.
    pub high_c: f64,
    /// Chi-squared; NaN where no uncertainties were stated.
    pub chi_squared: f64,
    /// Probability of a larger chi-squared, if the model is right; NaN where there is none.
    pub p_value: f64,
    /// Degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Points of the fit: the numbers of residuals.
    pub points: usize,
    /// Sum of the CALCORE_HELD_ numbers of the coefficients that were held.
    pub held: i32,
    /// Zero.
    pub reserved: i32,
}

macro_rules! records {
    ($($name:ident),+) => {$(
        // SAFETY: repr(C), begins with `size`, plain data.
        unsafe impl Record for $name {
            const WHAT: &'static str = stringify!($name);
            const FIRST_SIZE: usize = size_of::<Self>();
        }
    )+};
}
records!(
    calcore_result_counts,
    calcore_set_point,
    calcore_instrument,
    calcore_point,
    calcore_attribution,
    calcore_attribution_point,
    calcore_share,
    calcore_element_fit
);

/// An element of a list of a result.
fn element<'a, T>(what: &str, list: &'a [T], i: usize) -> Result<&'a T, Failure> {
    list.get(i).ok_or_else(|| Failure::index(what, i, list.len()))
}

fn point_of(result: &RunResult, instrument: usize, point: usize) -> Result<&PointResult, Failure> {
    element("point", &element("instrument", &result.instruments, instrument)?.points, point)
}

fn split_of(result: &RunResult, attribution: usize, point: usize) -> Result<&SetPointAttribution, Failure> {
    element("point", &element("attribution", &result.attribution, attribution)?.set_points, point)
}

fn share_of(result: &RunResult, attribution: usize, point: usize, share: usize) -> Result<&LinkShare, Failure> {
    element("share", &split_of(result, attribution, point)?.shares, share)
}

fn kind_number(kind: LinkKind) -> i32 {
    match kind {
        LinkKind::Element => CALCORE_ELEMENT,
        LinkKind::Transmitter => CALCORE_TRANSMITTER,
        LinkKind::OutputStage => CALCORE_OUTPUT_STAGE,
        LinkKind::Indicator => CALCORE_INDICATOR,
        LinkKind::ControlSystem => CALCORE_CONTROL_SYSTEM,
        // A kind that this header has no number for.
        LinkKind::InputCard | LinkKind::Custom => -1,
    }
}

fn unit_number(unit: Unit) -> i32 {
    match unit {
        Unit::Ohm => CALCORE_UNIT_OHM,
        Unit::Milliampere => CALCORE_UNIT_MA,
        Unit::Celsius => CALCORE_UNIT_DEGC,
        Unit::Fahrenheit => CALCORE_UNIT_DEGF,
        Unit::Kelvin => CALCORE_UNIT_K,
        // A unit that this header has no number for.
        Unit::Millivolt | Unit::Volt | Unit::Percent | Unit::One => -1,
    }
}

/// Reads the description of a run and checks it for contradictions. `text`: JSON in UTF-8 of `length` bytes; a zero byte
/// at its end is not needed and not counted.
///
/// `*run` receives a handle that the caller releases by calcore_run_free.
/// Status: CALCORE_E_UTF8; CALCORE_E_DOCUMENT at the first field that is missing, unknown, misspelt or of the wrong kind,
/// the message begins with its path; CALCORE_E_INVALID_RUN with all contradictions in the message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_from_json(
    text: *const c_char,
    length: usize,
    run: *mut *mut calcore_run,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        make(err, ("run", run), || {
            let bytes = input("text", text.cast::<u8>(), length)?;
            let text = std::str::from_utf8(bytes).map_err(|e| {
                Failure::border(CALCORE_E_UTF8, format!("text is not UTF-8 at byte {}", e.valid_up_to()))
            })?;
            Ok(Run::from_json(text)?)
        })
    }
}

/// Releases a run. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_free(run: *mut calcore_run) {
    // SAFETY: the contract of the header.
    unsafe { release(run) }
}

/// Writes the description of a run as JSON into the caller's buffer of `capacity` bytes, ended by a zero byte.
///
/// `*needed` receives the bytes that the text takes with its zero byte, also when the buffer is too small
/// (CALCORE_E_BUFFER_TOO_SMALL, nothing written). `buffer` null and `capacity` 0: only `*needed`, CALCORE_OK.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_to_json(
    run: *const calcore_run,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || write_text(|| Ok(held(run)?.to_json()?), buffer, capacity, needed)) }
}

/// Evaluates a run: errors, uncertainties, verdicts, attribution, covariance, new coefficients.
///
/// `*result` receives a handle that the caller releases by calcore_result_free.
/// Status: what the curves and tolerances say of a reading they cannot take, such as CALCORE_E_OUT_OF_RANGE.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_run_evaluate(
    run: *const calcore_run,
    result: *mut *mut calcore_result,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("result", result), || Ok(held(run)?.evaluate()?)) }
}

/// Releases a result. Null is fine; a handle of another type is left alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_free(result: *mut calcore_result) {
    // SAFETY: the contract of the header.
    unsafe { release(result) }
}

/// Writes a result as JSON into the caller's buffer. The same run gives the same bytes in Rust, C and Python.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_DOCUMENT for a number that JSON cannot hold.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_to_json(
    result: *const calcore_result,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || write_text(|| Ok(held(result)?.to_json()?), buffer, capacity, needed)) }
}

/// How much a result holds. Set `counts->size` first.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_count(
    result: *const calcore_result,
    counts: *mut calcore_result_counts,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, counts, || {
            let r = held(result)?;
            Ok(calcore_result_counts {
                size: 0,
                set_points: r.set_points.len(),
                instruments: r.instruments.len(),
                attributions: r.attribution.len(),
                element_fits: r.element_fits.len(),
                warnings: r.warnings.len(),
                cautions: r.cautions.len(),
                documents: r.documents.len(),
                errors: r.covariance.size(),
            })
        })
    }
}

/// Writes a text of a result into the caller's buffer. `what`: one of the CALCORE_TEXT_ numbers, which say what the
/// numbers i, j and k mean; those that they do not name are not looked at.
///
/// Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX for an element that is not there.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_text(
    result: *const calcore_result,
    what: i32,
    i: usize,
    j: usize,
    k: usize,
    buffer: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let text = || {
                let r = held(result)?;
                let attribution = |i| element("attribution", &r.attribution, i);
                let warning = |i| element("warning", &r.warnings, i);
                Ok(match what {
                    CALCORE_TEXT_CORE_VERSION => &r.core_version,
                    CALCORE_TEXT_DOCUMENT => element("document", &r.documents, i)?,
                    CALCORE_TEXT_INSTRUMENT_TAG => &element("instrument", &r.instruments, i)?.tag,
                    CALCORE_TEXT_CONTRIBUTION => {
                        &element("contribution", &point_of(r, i, j)?.budget.contributions, k)?.quantity
                    }
                    CALCORE_TEXT_ATTRIBUTION_TAG => &attribution(i)?.tag,
                    CALCORE_TEXT_ATTRIBUTION_LINK => element("link", &attribution(i)?.links, j)?,
                    CALCORE_TEXT_ATTRIBUTION_CAUSE => &attribution(i)?.cause,
                    CALCORE_TEXT_SHARE_TAG => &share_of(r, i, j, k)?.tag,
                    CALCORE_TEXT_ELEMENT_TAG => &element("element fit", &r.element_fits, i)?.tag,
                    CALCORE_TEXT_WARNING_CODE => &warning(i)?.code,
                    CALCORE_TEXT_WARNING_PATH => &warning(i)?.path,
                    CALCORE_TEXT_WARNING_MESSAGE => &warning(i)?.message,
                    CALCORE_TEXT_CAUTION => element("caution", &r.cautions, i)?,
                    other => return Err(Failure::option("what", other, "one of the CALCORE_TEXT_ numbers")),
                })
            };
            write_text(text, buffer, capacity, needed)
        })
    }
}

/// Number of the instrument with a tag.
///
/// Status: CALCORE_E_UNKNOWN_NAME when no instrument of the result has it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_find(
    result: *const calcore_result,
    tag: *const c_char,
    instrument: *mut usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("instrument", instrument), || {
            let (r, tag) = (held(result)?, read_name("tag", tag)?);
            let place = r.instruments.iter().position(|instrument| instrument.tag == tag);
            place.ok_or_else(|| {
                let known: Vec<&str> = r.instruments.iter().map(|instrument| &*instrument.tag).collect();
                let expected = known.join(", ");
                calcore::Error::UnknownName { what: "tag of an instrument", name: tag.into(), expected }.into()
            })
        })
    }
}

/// Set point i of a result. Set `set_point->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_set_point(
    result: *const calcore_result,
    i: usize,
    set_point: *mut calcore_set_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, set_point, || {
            let p: &SetPointResult = element("set point", &held(result)?.set_points, i)?;
            Ok(calcore_set_point {
                size: 0,
                nominal_c: p.nominal_c,
                reference_c: p.reference_c,
                standard_uncertainty_k: p.standard_uncertainty_k,
                judged: i32::from(p.steadiness.is_some()),
                reserved: 0,
            })
        })
    }
}

/// Whether the reference was steady at set point i, values in kelvin. Set `steadiness->size` first.
///
/// Status: CALCORE_E_INDEX, also where the run does not say when it counts as steady (`judged` of the set point is 0).
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_steadiness(
    result: *const calcore_result,
    i: usize,
    steadiness: *mut calcore_steadiness,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, steadiness, || {
            let judged = element("set point", &held(result)?.set_points, i)?.steadiness.as_ref();
            judged.map(state_of).ok_or_else(|| Failure::index("judgement of the set point", 0, 0))
        })
    }
}

/// Instrument i of a result, in short. Set `instrument->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_instrument(
    result: *const calcore_result,
    i: usize,
    instrument: *mut calcore_instrument,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, instrument, || {
            let one: &InstrumentResult = element("instrument", &held(result)?.instruments, i)?;
            Ok(calcore_instrument {
                size: 0,
                kind: kind_number(one.kind),
                unit: unit_number(one.unit),
                verdict: verdict_number(one.verdict),
                reserved: 0,
                points: one.points.len(),
                worst_point: one.worst_point,
            })
        })
    }
}

/// Point j of instrument i. Set `point->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_point(
    result: *const calcore_result,
    i: usize,
    j: usize,
    point: *mut calcore_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, point, || {
            let p = point_of(held(result)?, i, j)?;
            Ok(calcore_point {
                size: 0,
                set_point: p.set_point,
                contributions: p.budget.contributions.len(),
                verdict: verdict_number(p.verdict),
                reserved: 0,
                nominal_c: p.nominal_c,
                reference_c: p.reference_c,
                reading: p.reading,
                indicated_c: p.indicated_c,
                error: p.error,
                error_k: p.error_k,
                error_percent_of_span: p.error_percent_of_span,
                standard_uncertainty_k: p.standard_uncertainty_k,
                expanded_uncertainty_k: p.expanded_uncertainty_k,
                expanded_uncertainty: p.expanded_uncertainty,
                coverage_factor: p.coverage_factor,
                tolerance_lower_k: p.tolerance_lower_k,
                tolerance_upper_k: p.tolerance_upper_k,
                guard_band_k: p.guard_band_k,
                probability_of_conformity: p.probability_of_conformity,
            })
        })
    }
}

/// Budget of point j of instrument i, in kelvin. Set `budget->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_budget(
    result: *const calcore_result,
    i: usize,
    j: usize,
    budget: *mut calcore_budget,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { fill(err, budget, || Ok(numbers(&point_of(held(result)?, i, j)?.budget))) }
}

/// Line k of the budget of point j of instrument i. Its source: calcore_result_text. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_contribution(
    result: *const calcore_result,
    i: usize,
    j: usize,
    k: usize,
    contribution: *mut calcore_contribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        give(err, ("contribution", contribution), || {
            Ok(line(element("contribution", &point_of(held(result)?, i, j)?.budget.contributions, k)?))
        })
    }
}

/// Covariance matrix of all errors, K^2, row by row, in the order of the instruments and, within, of their points.
///
/// `n`: room in `covariance`, which must be the square of `errors` of calcore_result_count. Status:
/// CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_covariance(
    result: *const calcore_result,
    covariance: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { guard(err, || copy("covariance", held(result)?.covariance.values(), covariance, n)) }
}

/// Attribution i of a result, in short. Set `attribution->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_attribution(
    result: *const calcore_result,
    i: usize,
    attribution: *mut calcore_attribution,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, attribution, || {
            let a: &Attribution = element("attribution", &held(result)?.attribution, i)?;
            Ok(calcore_attribution {
                size: 0,
                links: a.links.len(),
                set_points: a.set_points.len(),
                significant: i32::from(a.significant),
                reserved: 0,
            })
        })
    }
}

/// Set point j of attribution i, in short. Set `point->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_attribution_point(
    result: *const calcore_result,
    i: usize,
    j: usize,
    point: *mut calcore_attribution_point,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, point, || {
            let p = split_of(held(result)?, i, j)?;
            Ok(calcore_attribution_point {
                size: 0,
                set_point: p.set_point,
                shares: p.shares.len(),
                error_k: p.error_k,
            })
        })
    }
}

/// Share k at set point j of attribution i. Its link: calcore_result_text. Set `share->size` first.
///
/// Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_share(
    result: *const calcore_result,
    i: usize,
    j: usize,
    k: usize,
    share: *mut calcore_share,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, share, || {
            let s = share_of(held(result)?, i, j, k)?;
            Ok(calcore_share {
                size: 0,
                unread: s.unread.len(),
                error_k: s.error_k,
                standard_uncertainty_k: s.standard_uncertainty_k,
                expanded_uncertainty_k: s.expanded_uncertainty_k,
                percent: s.percent.unwrap_or(f64::NAN),
            })
        })
    }
}

/// A covariance of (r0, a, b, c) as 16 numbers; NaN where there is none.
pub(crate) fn sixteen(covariance: Option<&Covariance>) -> [f64; 16] {
    let mut numbers = [f64::NAN; 16];
    if let Some(matrix) = covariance {
        for (place, value) in numbers.iter_mut().zip(matrix.values()) {
            *place = *value;
        }
    }
    numbers
}

/// Fit i of an element: new coefficients. Set `fit->size` first. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_element_fit(
    result: *const calcore_result,
    i: usize,
    fit: *mut calcore_element_fit,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        fill(err, fit, || {
            let f: &ElementFit = element("element fit", &held(result)?.element_fits, i)?;
            let held = held_bits(["r0", "a", "b", "c"].map(|name| f.held.iter().any(|h| h == name)));
            Ok(calcore_element_fit {
                size: 0,
                r0: f.r0,
                a: f.a,
                b: f.b,
                c: f.c,
                covariance: sixteen(f.covariance.as_ref()),
                low_c: f.range_c.0,
                high_c: f.range_c.1,
                chi_squared: f.chi_squared.unwrap_or(f64::NAN),
                p_value: f.p_value.unwrap_or(f64::NAN),
                degrees_of_freedom: f.degrees_of_freedom,
                points: f.residuals_k.len(),
                held,
                reserved: 0,
            })
        })
    }
}

/// What fit i leaves at every point, K, and the standard uncertainty of its curve there, K. `n`: room in both arrays,
/// which must be `points` of calcore_element_fit. An uncertainty that could not be had is NaN.
///
/// Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_element_fit_points(
    result: *const calcore_result,
    i: usize,
    residuals_k: *mut f64,
    standard_uncertainties_k: *mut f64,
    n: usize,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe {
        guard(err, || {
            let f = element("element fit", &held(result)?.element_fits, i)?;
            let mut u = f.standard_uncertainties_k.clone();
            u.resize(f.residuals_k.len(), f64::NAN);
            // Both pointers are checked before anything is written.
            output_of("residuals_k", residuals_k, n)?;
            copy("standard_uncertainties_k", &u, standard_uncertainties_k, n)?;
            copy("residuals_k", &f.residuals_k, residuals_k, n)
        })
    }
}

/// The new curve of fit i, over the range in which it holds.
///
/// `*curve` receives a handle that the caller releases by calcore_cvd_free. Status: CALCORE_E_INDEX.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn calcore_result_element_curve(
    result: *const calcore_result,
    i: usize,
    curve: *mut *mut crate::curves::calcore_cvd,
    err: *mut calcore_error,
) -> calcore_status {
    // SAFETY: the contract of the header.
    unsafe { make(err, ("curve", curve), || Ok(element("element fit", &held(result)?.element_fits, i)?.curve)) }
}
