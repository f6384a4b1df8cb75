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
