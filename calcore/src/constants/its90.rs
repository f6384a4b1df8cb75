//! The International Temperature Scale of 1990: reference functions, defining fixed points, sub-ranges.
//!
//! Source of everything here unless it says otherwise: H. Preston-Thomas, Metrologia 27 (1990) 3-10 and 107, tables 1,
//! 2, 4 and 5.

use super::Source;

/// Where the scale is defined.
pub const SOURCE: Source = Source {
    document: "H. Preston-Thomas, The International Temperature Scale of 1990, Metrologia 27 (1990) 3-10 and 107",
    clause: "section 3.3, tables 1, 2, 4 and 5",
};

/// Triple point of water, K.
pub const WATER_TRIPLE_POINT_K: f64 = 273.16;
/// Triple point of water, °C.
pub const WATER_TRIPLE_POINT_C: f64 = 0.01;
/// Lower end of the reference function below the triple point of water, K: triple point of equilibrium hydrogen.
pub const LOW_K: f64 = 13.8033;
/// Lower end of the reference function from the ice point up, K.
pub const HIGH_FROM_K: f64 = 273.15;
/// Upper end of the reference functions, K: freezing point of silver.
pub const HIGH_K: f64 = 1234.93;

/// Equation 9a, 13.8033 K to 273.16 K: ln W_r = Σ A_i ((ln(T/273.16 K) + 1.5)/1.5)^i.
pub const A: [f64; 13] = [
    -2.135_347_29,
    3.183_247_20,
    -1.801_435_97,
    0.717_272_04,
    0.503_440_27,
    -0.618_993_95,
    -0.053_323_22,
    0.280_213_62,
    0.107_152_24,
    -0.293_028_65,
    0.044_598_72,
    0.118_686_32,
    -0.052_481_34,
];

/// Equation 9b, the approximate inverse of 9a: T/273.16 K = Σ B_i ((W_r^(1/6) − 0.65)/0.35)^i.
pub const B: [f64; 16] = [
    0.183_324_722,
    0.240_975_303,
    0.209_108_771,
    0.190_439_972,
    0.142_648_498,
    0.077_993_465,
    0.012_475_611,
    -0.032_267_127,
    -0.075_291_522,
    -0.056_470_670,
    0.076_201_285,
    0.123_893_204,
    -0.029_201_193,
    -0.091_173_542,
    0.001_317_696,
    0.026_025_526,
];

/// Equation 10a, 0 °C to 961.78 °C: W_r = Σ C_i ((T/K − 754.15)/481)^i.
pub const C: [f64; 10] = [
    2.781_572_54,
    1.646_509_16,
    -0.137_143_90,
    -0.006_497_67,
    -0.002_344_44,
    0.005_118_68,
    0.001_879_82,
    -0.002_044_72,
    -0.000_461_22,
    0.000_457_24,
];

/// Equation 10b, the approximate inverse of 10a: T/K − 273.15 = Σ D_i ((W_r − 2.64)/1.64)^i.
pub const D: [f64; 10] = [
    439.932_854,
    472.418_020,
    37.684_494,
    7.472_018,
    2.920_828,
    0.005_184,
    -0.963_864,
    -0.188_732,
    0.191_203,
    0.049_025,
];

/// Equivalence of the approximate inverse below the triple point of water, K, as the document states it.
pub const B_STATED_BAND_K: f64 = 0.1e-3;
/// Equivalence of the approximate inverse above 0 °C, K, as the document states it.
pub const D_STATED_BAND_K: f64 = 0.13e-3;

/// How a fixed point is realised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Solid, liquid and vapour together, at a pressure of their own.
    TriplePoint,
    /// Melting at a pressure of 101 325 Pa.
    MeltingPoint,
    /// Freezing at a pressure of 101 325 Pa.
    FreezingPoint,
    /// A temperature set by the vapour pressure; the number given is the nominal one.
    VapourPressurePoint,
}

/// A defining fixed point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedPointData {
    /// Chemical symbol; `e-H2` is hydrogen at equilibrium of its two forms.
    pub name: &'static str,
    /// How it is realised.
    pub state: State,
    /// Temperature, K.
    pub t_k: f64,
    /// Temperature, °C.
    pub t_c: f64,
    /// Reference ratio W_r as published, to eight decimals; `None` where table 1 gives none.
    pub w_r: Option<f64>,
    /// Change of the temperature with pressure, K/Pa.
    pub k_per_pa: Option<f64>,
    /// Change of the temperature with depth, K/m.
    pub k_per_m: Option<f64>,
}

/// The fixed points of table 1 with the effects of pressure and depth of table 2. The reference ratios of the two
/// vapour pressure points are not in table 1; they are the reference function at the nominal temperature.
pub const FIXED_POINTS: [FixedPointData; 16] = [
    FixedPointData {
        name: "e-H2",
        state: State::TriplePoint,
        t_k: 13.8033,
        t_c: -259.3467,
        w_r: Some(0.001_190_07),
        k_per_pa: Some(34e-8),
        k_per_m: Some(0.25e-3),
    },
    FixedPointData {
        name: "e-H2_17K",
        state: State::VapourPressurePoint,
        t_k: 17.035,
        t_c: -256.115,
        w_r: None,
        k_per_pa: None,
        k_per_m: None,
    },
    FixedPointData {
        name: "e-H2_20K",
        state: State::VapourPressurePoint,
        t_k: 20.27,
        t_c: -252.88,
        w_r: None,
        k_per_pa: None,
        k_per_m: None,
    },
    FixedPointData {
        name: "Ne",
        state: State::TriplePoint,
        t_k: 24.5561,
        t_c: -248.5939,
        w_r: Some(0.008_449_74),
        k_per_pa: Some(16e-8),
        k_per_m: Some(1.9e-3),
    },
    FixedPointData {
        name: "O2",
        state: State::TriplePoint,
        t_k: 54.3584,
        t_c: -218.7916,
        w_r: Some(0.091_718_04),
        k_per_pa: Some(12e-8),
        k_per_m: Some(1.5e-3),
    },
    FixedPointData {
        name: "Ar",
        state: State::TriplePoint,
        t_k: 83.8058,
        t_c: -189.3442,
        w_r: Some(0.215_859_75),
        k_per_pa: Some(25e-8),
        k_per_m: Some(3.3e-3),
    },
    FixedPointData {
        name: "Hg",
        state: State::TriplePoint,
        t_k: 234.3156,
        t_c: -38.8344,
        w_r: Some(0.844_142_11),
        k_per_pa: Some(5.4e-8),
        k_per_m: Some(7.1e-3),
    },
    FixedPointData {
        name: "H2O",
        state: State::TriplePoint,
        t_k: 273.16,
        t_c: 0.01,
        w_r: Some(1.000_000_00),
        k_per_pa: Some(-7.5e-8),
        k_per_m: Some(-0.73e-3),
    },
    FixedPointData {
        name: "Ga",
        state: State::MeltingPoint,
        t_k: 302.9146,
        t_c: 29.7646,
        w_r: Some(1.118_138_89),
        k_per_pa: Some(-2.0e-8),
        k_per_m: Some(-1.2e-3),
    },
    FixedPointData {
        name: "In",
        state: State::FreezingPoint,
        t_k: 429.7485,
        t_c: 156.5985,
        w_r: Some(1.609_801_85),
        k_per_pa: Some(4.9e-8),
        k_per_m: Some(3.3e-3),
    },
    FixedPointData {
        name: "Sn",
        state: State::FreezingPoint,
        t_k: 505.078,
        t_c: 231.928,
        w_r: Some(1.892_797_68),
        k_per_pa: Some(3.3e-8),
        k_per_m: Some(2.2e-3),
    },
    FixedPointData {
        name: "Zn",
        state: State::FreezingPoint,
        t_k: 692.677,
        t_c: 419.527,
        w_r: Some(2.568_917_30),
        k_per_pa: Some(4.3e-8),
        k_per_m: Some(2.7e-3),
    },
    FixedPointData {
        name: "Al",
        state: State::FreezingPoint,
        t_k: 933.473,
        t_c: 660.323,
        w_r: Some(3.376_008_60),
        k_per_pa: Some(7.0e-8),
        k_per_m: Some(1.6e-3),
    },
    FixedPointData {
        name: "Ag",
        state: State::FreezingPoint,
        t_k: 1234.93,
        t_c: 961.78,
        w_r: Some(4.286_420_53),
        k_per_pa: Some(6.0e-8),
        k_per_m: Some(5.4e-3),
    },
    FixedPointData {
        name: "Au",
        state: State::FreezingPoint,
        t_k: 1337.33,
        t_c: 1064.18,
        w_r: None,
        k_per_pa: Some(6.1e-8),
        k_per_m: Some(10e-3),
    },
    FixedPointData {
        name: "Cu",
        state: State::FreezingPoint,
        t_k: 1357.77,
        t_c: 1084.62,
        w_r: None,
        k_per_pa: Some(3.3e-8),
        k_per_m: Some(2.6e-3),
    },
];

/// The form of a deviation function, W − W_r as a function of W.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeviationForm {
    /// a (W − 1) + b (W − 1)² + Σ c_i (ln W)^(i + n), i from 1 to `terms`.
    PowersOfLogarithm {
        /// Number of coefficients c.
        terms: usize,
        /// n of the exponent.
        n: i32,
    },
    /// a (W − 1) + b (W − 1) ln W.
    ProductWithLogarithm,
    /// a (W − 1) + b (W − 1)² + c (W − 1)³, as many of them as `degree` says.
    Polynomial {
        /// Highest power.
        degree: usize,
    },
    /// The cubic polynomial, and above the freezing point of aluminium d (W − W(660.323 °C))² besides.
    PolynomialToSilver,
}

/// A sub-range with its deviation function.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SubrangeData {
    /// Section of the document, the name of the sub-range.
    pub section: &'static str,
    /// Number in the order of table 5.
    pub number: u8,
    /// Lower end, K.
    pub low_k: f64,
    /// Upper end, K.
    pub high_k: f64,
    /// Lower end, °C.
    pub low_c: f64,
    /// Upper end, °C.
    pub high_c: f64,
    /// Form of the deviation function.
    pub form: DeviationForm,
    /// Names of the coefficients, in their order.
    pub coefficients: &'static [&'static str],
    /// Fixed points at which it is calibrated, besides the triple point of water.
    pub points: &'static [&'static str],
}

/// The eleven sub-ranges of platinum resistance thermometers: table 5 and equations 12 to 14.
pub const SUBRANGES: [SubrangeData; 11] = [
    SubrangeData {
        section: "3.3.1",
        number: 1,
        low_k: 13.8033,
        high_k: 273.16,
        low_c: -259.3467,
        high_c: 0.01,
        form: DeviationForm::PowersOfLogarithm { terms: 5, n: 2 },
        coefficients: &["a", "b", "c1", "c2", "c3", "c4", "c5"],
        points: &["e-H2", "e-H2_17K", "e-H2_20K", "Ne", "O2", "Ar", "Hg"],
    },
    SubrangeData {
        section: "3.3.1.1",
        number: 2,
        low_k: 24.5561,
        high_k: 273.16,
        low_c: -248.5939,
        high_c: 0.01,
        form: DeviationForm::PowersOfLogarithm { terms: 3, n: 0 },
        coefficients: &["a", "b", "c1", "c2", "c3"],
        points: &["e-H2", "Ne", "O2", "Ar", "Hg"],
    },
    SubrangeData {
        section: "3.3.1.2",
        number: 3,
        low_k: 54.3584,
        high_k: 273.16,
        low_c: -218.7916,
        high_c: 0.01,
        form: DeviationForm::PowersOfLogarithm { terms: 1, n: 1 },
        coefficients: &["a", "b", "c1"],
        points: &["O2", "Ar", "Hg"],
    },
    SubrangeData {
        section: "3.3.1.3",
        number: 4,
        low_k: 83.8058,
        high_k: 273.16,
        low_c: -189.3442,
        high_c: 0.01,
        form: DeviationForm::ProductWithLogarithm,
        coefficients: &["a", "b"],
        points: &["Ar", "Hg"],
    },
    SubrangeData {
        section: "3.3.2",
        number: 5,
        low_k: 273.15,
        high_k: 1234.93,
        low_c: 0.0,
        high_c: 961.78,
        form: DeviationForm::PolynomialToSilver,
        coefficients: &["a", "b", "c", "d"],
        points: &["Sn", "Zn", "Al", "Ag"],
    },
    SubrangeData {
        section: "3.3.2.1",
        number: 6,
        low_k: 273.15,
        high_k: 933.473,
        low_c: 0.0,
        high_c: 660.323,
        form: DeviationForm::Polynomial { degree: 3 },
        coefficients: &["a", "b", "c"],
        points: &["Sn", "Zn", "Al"],
    },
    SubrangeData {
        section: "3.3.2.2",
        number: 7,
        low_k: 273.15,
        high_k: 692.677,
        low_c: 0.0,
        high_c: 419.527,
        form: DeviationForm::Polynomial { degree: 2 },
        coefficients: &["a", "b"],
        points: &["Sn", "Zn"],
    },
    SubrangeData {
        section: "3.3.2.3",
        number: 8,
        low_k: 273.15,
        high_k: 505.078,
        low_c: 0.0,
        high_c: 231.928,
        form: DeviationForm::Polynomial { degree: 2 },
        coefficients: &["a", "b"],
        points: &["In", "Sn"],
    },
    SubrangeData {
        section: "3.3.2.4",
        number: 9,
        low_k: 273.15,
        high_k: 429.7485,
        low_c: 0.0,
        high_c: 156.5985,
        form: DeviationForm::Polynomial { degree: 1 },
        coefficients: &["a"],
        points: &["In"],
    },
    SubrangeData {
        section: "3.3.2.5",
        number: 10,
        low_k: 273.15,
        high_k: 302.9146,
        low_c: 0.0,
        high_c: 29.7646,
        form: DeviationForm::Polynomial { degree: 1 },
        coefficients: &["a"],
        points: &["Ga"],
    },
    SubrangeData {
        section: "3.3.3",
        number: 11,
        low_k: 234.3156,
        high_k: 302.9146,
        low_c: -38.8344,
        high_c: 29.7646,
        form: DeviationForm::Polynomial { degree: 2 },
        coefficients: &["a", "b"],
        points: &["Hg", "Ga"],
    },
];

/// Section 3.3: the platinum must have at least this ratio at the melting point of gallium, 29.7646 °C, ...
/// (from memory, and seen as a constant in public code).
pub const LEAST_RATIO_AT_GALLIUM: f64 = 1.118_07;
/// ... or at most this one at the triple point of mercury, −38.8344 °C (from memory, and seen likewise).
pub const GREATEST_RATIO_AT_MERCURY: f64 = 0.844_235;
/// Section 3.3: for use up to the freezing point of silver, 961.78 °C, also at least this ratio there (from memory).
pub const LEAST_RATIO_AT_SILVER: f64 = 4.2844;

/// A vapour pressure equation of equilibrium hydrogen, section 3.2 (from memory, not confirmed in a copy):
/// T/K = nominal + (p/kPa − p0)/slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HydrogenVapourPressure {
    /// Name of the point.
    pub name: &'static str,
    /// Nominal temperature, K.
    pub t_k: f64,
    /// Pressure at the nominal temperature, kPa.
    pub kpa: f64,
    /// Slope, kPa/K.
    pub kpa_per_k: f64,
    /// Lower end of the range of the equation, K.
    pub low_k: f64,
    /// Upper end of the range of the equation, K.
    pub high_k: f64,
}

/// The two equations of section 3.2.
pub const HYDROGEN_VAPOUR_PRESSURE: [HydrogenVapourPressure; 2] = [
    HydrogenVapourPressure {
        name: "e-H2_17K",
        t_k: 17.035,
        kpa: 33.3213,
        kpa_per_k: 13.32,
        low_k: 17.025,
        high_k: 17.045,
    },
    HydrogenVapourPressure { name: "e-H2_20K", t_k: 20.27, kpa: 101.292, kpa_per_k: 30.0, low_k: 20.26, high_k: 20.28 },
];

/// Standard atmosphere, Pa: the pressure to which melting and freezing points belong.
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;
