//! Section "loop calibration": the structs of a result, and the numbers of its kinds and units.

use crate::record::records;
use calcore::loop_calibration::{LinkKind, Unit};

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

/// What a link is: an input card of a control system.
pub const CALCORE_INPUT_CARD: i32 = 5;
/// What a link is: a link of the user's own, by its transfer function.
pub const CALCORE_CUSTOM_LINK: i32 = 6;

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
/// Unit of readings: millivolt.
pub const CALCORE_UNIT_MV: i32 = 5;
/// Unit of readings: volt.
pub const CALCORE_UNIT_V: i32 = 6;
/// Unit of readings: percent.
pub const CALCORE_UNIT_PERCENT: i32 = 7;
/// Unit of readings: a pure number.
pub const CALCORE_UNIT_ONE: i32 = 8;

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
    /// What it is: CALCORE_ELEMENT to CALCORE_CUSTOM_LINK.
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

pub(super) fn kind_number(kind: LinkKind) -> i32 {
    match kind {
        LinkKind::Element => CALCORE_ELEMENT,
        LinkKind::Transmitter => CALCORE_TRANSMITTER,
        LinkKind::OutputStage => CALCORE_OUTPUT_STAGE,
        LinkKind::Indicator => CALCORE_INDICATOR,
        LinkKind::ControlSystem => CALCORE_CONTROL_SYSTEM,
        LinkKind::InputCard => CALCORE_INPUT_CARD,
        LinkKind::Custom => CALCORE_CUSTOM_LINK,
    }
}

pub(super) fn unit_number(unit: Unit) -> i32 {
    match unit {
        Unit::Ohm => CALCORE_UNIT_OHM,
        Unit::Milliampere => CALCORE_UNIT_MA,
        Unit::Celsius => CALCORE_UNIT_DEGC,
        Unit::Fahrenheit => CALCORE_UNIT_DEGF,
        Unit::Kelvin => CALCORE_UNIT_K,
        Unit::Millivolt => CALCORE_UNIT_MV,
        Unit::Volt => CALCORE_UNIT_V,
        Unit::Percent => CALCORE_UNIT_PERCENT,
        Unit::One => CALCORE_UNIT_ONE,
    }
}
