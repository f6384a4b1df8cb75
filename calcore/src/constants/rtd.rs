//! Industrial platinum resistance thermometers.

use super::Source;

/// Coefficients of R(t) = R0 (1 + A t + B t² + C (t − 100) t³), C only below 0 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CvdCoefficients {
    /// A, 1/K.
    pub a: f64,
    /// B, 1/K².
    pub b: f64,
    /// C, 1/K⁴.
    pub c: f64,
    /// Lower end of the range of the equation, °C.
    pub low_c: f64,
    /// Upper end of the range of the equation, °C.
    pub high_c: f64,
    /// Document and clause.
    pub source: Source,
}

/// Platinum of nominal alpha 3.851e-3 1/K, on the ITS-90.
pub const IEC60751: CvdCoefficients = CvdCoefficients {
    a: 3.9083e-3,
    b: -5.775e-7,
    c: -4.183e-12,
    low_c: -200.0,
    high_c: 850.0,
    source: Source { document: "IEC 60751:2008 and IEC 60751:2022", clause: "clause 4, table 1" },
};

/// A tolerance class: half-width = constant + proportion · |t|.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToleranceClass {
    /// Name of the class.
    pub name: &'static str,
    /// Half-width at 0 °C, K.
    pub constant_k: f64,
    /// Growth of the half-width, K per °C of |t|.
    pub proportion: f64,
    /// Range for wire-wound resistors, °C.
    pub wire_wound_c: (f64, f64),
    /// Range for film resistors, °C.
    pub film_c: (f64, f64),
}

/// Where the classes come from. The ranges are those of the 2008 edition (from memory; the formulas were seen in
/// public tables); those of 2022 could not be verified.
pub const IEC60751_CLASSES_SOURCE: Source =
    Source { document: "IEC 60751:2008", clause: "clause 5, table 3 (thermometers)" };

/// Classes of thermometers.
pub const IEC60751_THERMOMETER_CLASSES: [ToleranceClass; 4] = [
    ToleranceClass {
        name: "AA",
        constant_k: 0.1,
        proportion: 0.0017,
        wire_wound_c: (-50.0, 250.0),
        film_c: (0.0, 150.0),
    },
    ToleranceClass {
        name: "A",
        constant_k: 0.15,
        proportion: 0.002,
        wire_wound_c: (-100.0, 450.0),
        film_c: (-30.0, 300.0),
    },
    ToleranceClass {
        name: "B",
        constant_k: 0.3,
        proportion: 0.005,
        wire_wound_c: (-196.0, 600.0),
        film_c: (-50.0, 500.0),
    },
    ToleranceClass {
        name: "C",
        constant_k: 0.6,
        proportion: 0.01,
        wire_wound_c: (-196.0, 600.0),
        film_c: (-50.0, 600.0),
    },
];

/// A class of resistors (bare elements): the same formula, one construction, a range of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResistorClass {
    /// Name of the class: W wire-wound, F film.
    pub name: &'static str,
    /// Half-width at 0 °C, K.
    pub constant_k: f64,
    /// Growth of the half-width, K per °C of |t|.
    pub proportion: f64,
    /// Range, °C.
    pub range_c: (f64, f64),
}

/// Classes of resistors: IEC 60751:2008, clause 5, table 2 (ranges from memory).
pub const IEC60751_RESISTOR_CLASSES: [ResistorClass; 8] = [
    ResistorClass { name: "W0.1", constant_k: 0.1, proportion: 0.0017, range_c: (-100.0, 350.0) },
    ResistorClass { name: "W0.15", constant_k: 0.15, proportion: 0.002, range_c: (-100.0, 450.0) },
    ResistorClass { name: "W0.3", constant_k: 0.3, proportion: 0.005, range_c: (-196.0, 660.0) },
    ResistorClass { name: "W0.6", constant_k: 0.6, proportion: 0.01, range_c: (-196.0, 660.0) },
    ResistorClass { name: "F0.1", constant_k: 0.1, proportion: 0.0017, range_c: (0.0, 150.0) },
    ResistorClass { name: "F0.15", constant_k: 0.15, proportion: 0.002, range_c: (-30.0, 300.0) },
    ResistorClass { name: "F0.3", constant_k: 0.3, proportion: 0.005, range_c: (-50.0, 500.0) },
    ResistorClass { name: "F0.6", constant_k: 0.6, proportion: 0.01, range_c: (-50.0, 600.0) },
];

/// Grades of ASTM E1137 (table 2 from memory; both formulas seen in a secondary table): name, half-width at 0 °C, K,
/// growth, K per °C of |t|, and range, °C.
pub const ASTM_E1137_GRADES: [ResistorClass; 2] = [
    ResistorClass { name: "A", constant_k: 0.13, proportion: 0.0017, range_c: (-200.0, 650.0) },
    ResistorClass { name: "B", constant_k: 0.25, proportion: 0.0042, range_c: (-200.0, 650.0) },
];

/// Classes of copper thermometers, GOST 6651-2009 (from memory).
pub const GOST6651_COPPER_CLASSES: [ResistorClass; 3] = [
    ResistorClass { name: "A", constant_k: 0.15, proportion: 0.002, range_c: (-50.0, 120.0) },
    ResistorClass { name: "B", constant_k: 0.3, proportion: 0.005, range_c: (-50.0, 200.0) },
    ResistorClass { name: "C", constant_k: 0.6, proportion: 0.01, range_c: (-180.0, 200.0) },
];

/// Classes of nickel thermometers, GOST 6651-2009 (from memory).
pub const GOST6651_NICKEL_CLASSES: [ResistorClass; 1] =
    [ResistorClass { name: "C", constant_k: 0.6, proportion: 0.01, range_c: (-60.0, 180.0) }];

/// How sure a set of coefficients is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "snake_case"))]
pub enum Confidence {
    /// The numbers of a standard, read in several public copies of them.
    Standard,
    /// A handbook set that several programs use; it could not be traced to the text of a standard.
    NotTraced,
}

/// One equation of a resistance ratio, R/R0 = 1 + a_1 t + a_2 t² + … + a_6 t⁶, written with the factors that the
/// standard prints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RatioEquation {
    /// 1 + A t + B t² + C (t − 100) t³ for t < 0, without C from 0 °C on.
    CallendarVanDusen {
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// C, 1/K⁴.
        c: f64,
    },
    /// 1 + A t + B t (t + 6.7) + C t³ for t < 0, 1 + A t from 0 °C on.
    CopperGost {
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// C, 1/K³.
        c: f64,
    },
    /// 1 + A t + B t² up to 100 °C, with C (t − 100) t² besides above.
    NickelGost {
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// C, 1/K³.
        c: f64,
    },
    /// 1 + A t + B t² + D t⁴ + F t⁶.
    NickelDin {
        /// A, 1/K.
        a: f64,
        /// B, 1/K².
        b: f64,
        /// D, 1/K⁴.
        d: f64,
        /// F, 1/K⁶.
        f: f64,
    },
    /// 1 + A t.
    Linear {
        /// A, 1/K.
        a: f64,
    },
}

/// A published approximation of the temperature by the resistance, where the equation has no closed inverse:
/// t = t0 + Σ d_i (R/R0 − ratio0)^i, i from 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PublishedInverse {
    /// d_i, °C.
    pub d: [f64; 4],
    /// t0, °C: 0 for platinum and copper, where it serves below; 100 for nickel, where it serves above.
    pub t0_c: f64,
    /// R/R0 at t0, as the document prints it.
    pub ratio0: f64,
    /// Largest difference from the exact inverse, K, found in a scan of 2001 points and rounded up; the documents state
    /// none.
    pub band_k: f64,
}

const PT385_INVERSE: PublishedInverse =
    PublishedInverse { d: [255.819, 9.145_50, -2.923_63, 1.790_90], t0_c: 0.0, ratio0: 1.0, band_k: 0.0017 };
const PT391_INVERSE: PublishedInverse =
    PublishedInverse { d: [251.903, 8.800_35, -2.915_06, 1.676_11], t0_c: 0.0, ratio0: 1.0, band_k: 0.0015 };
const CU428_INVERSE: PublishedInverse =
    PublishedInverse { d: [233.87, 7.9370, -2.0062, -0.3953], t0_c: 0.0, ratio0: 1.0, band_k: 0.0018 };
const NI617_INVERSE: PublishedInverse =
    PublishedInverse { d: [144.096, -25.502, 4.4876, 0.0], t0_c: 100.0, ratio0: 1.6172, band_k: 0.0021 };

/// A named resistance thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RtdStandardData {
    /// Name by which it is asked for.
    pub name: &'static str,
    /// Metal and document, for people.
    pub title: &'static str,
    /// (R(100 °C) − R(0 °C)) / (100 R(0 °C)) as the material is named after it, 1/K. It is not always what the
    /// coefficients give.
    pub nominal_alpha: f64,
    /// The equation.
    pub equation: RatioEquation,
    /// Lower end of the range, °C.
    pub low_c: f64,
    /// Upper end of the range, °C.
    pub high_c: f64,
    /// The approximate inverse that the document offers, if it does.
    pub inverse: Option<PublishedInverse>,
    /// How sure the numbers are.
    pub confidence: Confidence,
    /// Document and clause, or where the numbers were seen.
    pub source: Source,
}

const GOST: Source = Source { document: "GOST 6651-2009", clause: "clause 5.2" };
/// Ranges of handbook sets: assumed, no source.
const HANDBOOK_RANGE_C: (f64, f64) = (-200.0, 650.0);

/// The named resistance thermometers.
///
/// Not among them, since no polynomial with a published source was found: nickel of alpha 0.00672 (120 ohm at 0 °C)
/// and copper of alpha 0.00427 (10 ohm at 25 °C); for these take a table or coefficients of your own. Nor the platinum
/// of IEC 751:1983, whose coefficients belong to the IPTS-68.
pub const RTD_STANDARDS: [RtdStandardData; 14] = [
    RtdStandardData {
        name: "iec60751_pt385",
        title: "platinum, IEC 60751",
        nominal_alpha: 3.851e-3,
        equation: RatioEquation::CallendarVanDusen { a: IEC60751.a, b: IEC60751.b, c: IEC60751.c },
        low_c: IEC60751.low_c,
        high_c: IEC60751.high_c,
        inverse: None,
        confidence: Confidence::Standard,
        source: IEC60751.source,
    },
    RtdStandardData {
        name: "astm_e1137_pt385",
        title: "platinum, ASTM E1137",
        nominal_alpha: 3.85055e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
        low_c: -200.0,
        high_c: 650.0,
        inverse: Some(PT385_INVERSE),
        confidence: Confidence::Standard,
        source: Source { document: "ASTM E1137/E1137M", clause: "equations of resistance" },
    },
    RtdStandardData {
        name: "gost6651_pt385",
        title: "platinum 0.00385, GOST 6651",
        nominal_alpha: 3.85e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
        low_c: -200.0,
        high_c: 850.0,
        inverse: Some(PT385_INVERSE),
        confidence: Confidence::Standard,
        source: GOST,
    },
    RtdStandardData {
        name: "gost6651_pt391",
        title: "platinum 0.00391, GOST 6651",
        nominal_alpha: 3.91e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9690e-3, b: -5.841e-7, c: -4.330e-12 },
        low_c: -200.0,
        high_c: 850.0,
        inverse: Some(PT391_INVERSE),
        confidence: Confidence::Standard,
        source: GOST,
    },
    RtdStandardData {
        name: "gost6651_cu428",
        title: "copper 0.00428, GOST 6651",
        nominal_alpha: 4.28e-3,
        equation: RatioEquation::CopperGost { a: 4.28e-3, b: -6.2032e-7, c: 8.5154e-10 },
        low_c: -180.0,
        high_c: 200.0,
        inverse: Some(CU428_INVERSE),
        confidence: Confidence::Standard,
        source: GOST,
    },
    RtdStandardData {
        name: "gost6651_cu426",
        title: "copper 0.00426, GOST 6651",
        nominal_alpha: 4.26e-3,
        equation: RatioEquation::Linear { a: 4.26e-3 },
        low_c: -50.0,
        high_c: 200.0,
        inverse: None,
        confidence: Confidence::Standard,
        source: GOST,
    },
    RtdStandardData {
        name: "gost6651_ni617",
        title: "nickel 0.00617, GOST 6651",
        nominal_alpha: 6.17e-3,
        equation: RatioEquation::NickelGost { a: 5.4963e-3, b: 6.7556e-6, c: 9.2004e-9 },
        low_c: -60.0,
        high_c: 180.0,
        inverse: Some(NI617_INVERSE),
        confidence: Confidence::Standard,
        source: GOST,
    },
    RtdStandardData {
        name: "din43760_ni618",
        title: "nickel 0.00618, DIN 43760",
        nominal_alpha: 6.18e-3,
        equation: RatioEquation::NickelDin { a: 5.485e-3, b: 6.650e-6, d: 2.805e-11, f: -2.000e-17 },
        low_c: -60.0,
        high_c: 250.0,
        inverse: None,
        confidence: Confidence::Standard,
        source: Source { document: "DIN 43760 (withdrawn)", clause: "equation of nickel" },
    },
    RtdStandardData {
        name: "jis_pt3916",
        title: "platinum 0.003916, JIS C 1604 (legacy)",
        nominal_alpha: 3.9163e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9739e-3, b: -5.870e-7, c: -4.4e-12 },
        low_c: -200.0,
        high_c: 510.0,
        inverse: None,
        confidence: Confidence::NotTraced,
        source: Source {
            document: "handbook set, cited as JIS C 1604-1997",
            clause: "a rounded fit: alpha of A and B is 3.9152e-3; one copy has B = -5.879e-7; range from memory",
        },
    },
    RtdStandardData {
        name: "handbook_pt3911",
        title: "platinum 0.003911, United States industrial",
        nominal_alpha: 3.911e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9692e-3, b: -5.8495e-7, c: -4.2325e-12 },
        low_c: HANDBOOK_RANGE_C.0,
        high_c: HANDBOOK_RANGE_C.1,
        inverse: None,
        confidence: Confidence::NotTraced,
        source: Source { document: "handbook set", clause: "other copies have B = -5.829e-7 or C = -4.233e-12" },
    },
    RtdStandardData {
        name: "handbook_pt3923",
        title: "platinum 0.003923, SAMA RC21-4-1966 (98.129 ohm)",
        nominal_alpha: 3.923e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9787e-3, b: -5.8686e-7, c: -4.167e-12 },
        low_c: HANDBOOK_RANGE_C.0,
        high_c: HANDBOOK_RANGE_C.1,
        inverse: None,
        confidence: Confidence::NotTraced,
        source: Source { document: "handbook set", clause: "alpha of A and B is 3.9200e-3" },
    },
    RtdStandardData {
        name: "handbook_pt3926",
        title: "platinum 0.003926, laboratory grade",
        nominal_alpha: 3.926e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9848e-3, b: -5.870e-7, c: -4.0e-12 },
        low_c: HANDBOOK_RANGE_C.0,
        high_c: HANDBOOK_RANGE_C.1,
        inverse: None,
        confidence: Confidence::NotTraced,
        source: Source { document: "handbook set", clause: "often called ITS-90, which has no equation of this form" },
    },
    RtdStandardData {
        name: "handbook_pt3928",
        title: "platinum 0.003928",
        nominal_alpha: 3.928e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.9888e-3, b: -5.915e-7, c: -3.85e-12 },
        low_c: HANDBOOK_RANGE_C.0,
        high_c: HANDBOOK_RANGE_C.1,
        inverse: None,
        confidence: Confidence::NotTraced,
        source: Source { document: "handbook set", clause: "alpha of A and B is 3.92965e-3" },
    },
    RtdStandardData {
        name: "handbook_pt3750",
        title: "platinum 0.003750, low cost",
        nominal_alpha: 3.75e-3,
        equation: RatioEquation::CallendarVanDusen { a: 3.81e-3, b: -6.02e-7, c: -6.0e-12 },
        low_c: HANDBOOK_RANGE_C.0,
        high_c: HANDBOOK_RANGE_C.1,
        inverse: None,
        confidence: Confidence::NotTraced,
        source: Source {
            document: "common practice, no standard",
            clause: "another copy has A = 3.8102e-3, B = -6.01888e-7",
        },
    },
];
