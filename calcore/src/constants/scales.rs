//! Differences between the ITS-90 and the scales before it.
//!
//! Every number here is from memory, not copied from the documents. They were held against the temperatures that both
//! scales give to the same fixed points (tests of [`crate::temperature`]): oxygen, argon, gallium, indium, tin, zinc,
//! silver and gold agree within the stated bands.

use super::Source;

/// −200 °C to 630 °C: (t90 − t68)/°C = Σ a_i (t90/630 °C)^i, i = 1 to 8, within 0.001 K below 0 °C and 0.0015 K above.
pub const T90_MINUS_T68_MIDDLE: [f64; 8] =
    [-0.148_759, -0.267_408, 1.080_760, 1.269_056, -4.089_591, -1.871_251, 7.438_081, -3.536_296];
/// Where it comes from.
pub const MIDDLE_SOURCE: Source = Source {
    document: "R. L. Rusby, The conversion of thermal reference tables to the ITS-90, J. Chem. Thermodyn. 23 (1991) \
               1153-1161",
    clause: "equation for -200 °C to 630 °C",
};

/// 630 °C to 1064.18 °C: (t90 − t68)/°C = Σ b_i (t90/°C)^i, i = 0 to 5, within 0.01 K. It replaces what was published
/// with the scale in 1990, which differs by up to 0.3 K.
pub const T90_MINUS_T68_UPPER: [f64; 6] =
    [7.868_720_9e1, -4.713_599_1e-1, 1.095_471_5e-3, -1.235_788_4e-6, 6.773_658_3e-10, -1.445_808_1e-13];
/// Where it comes from.
pub const UPPER_SOURCE: Source = Source {
    document: "R. L. Rusby, R. P. Hudson, M. Durieux, Revised values for (t90 - t68) from 630 °C to 1064 °C, \
               Metrologia 31 (1994) 149-153",
    clause: "equation for 630 °C to 1064 °C",
};

/// 13.8 K to 83.8 K: (T90 − T68)/K = Σ c_i ((T90/K − 40)/40)^i, i = 0 to 12, within 0.001 K.
pub const T90_MINUS_T68_LOWER: [f64; 13] = [
    -0.005_903,
    0.008_174,
    -0.061_924,
    -0.193_388,
    1.490_793,
    1.252_347,
    -9.835_868,
    1.411_912,
    25.277_595,
    -19.183_815,
    -18.437_089,
    27.000_895,
    -8.716_324,
];
/// Where it comes from.
pub const LOWER_SOURCE: Source = Source {
    document: "R. L. Rusby, J. Chem. Thermodyn. 23 (1991) 1153-1161",
    clause: "equation for 13.8 K to 83.8 K",
};

/// Above 1064.18 °C: t90 − t68 = this · (T90/1337.33 K)², K.
pub const T90_MINUS_T68_AT_GOLD_K: f64 = -0.25;
/// Freezing point of gold, K.
pub const GOLD_POINT_K: f64 = 1337.33;
/// Where it comes from.
pub const RADIATION_SOURCE: Source =
    Source { document: "H. Preston-Thomas, Metrologia 27 (1990) 3-10 and 107", clause: "table 6, above 1064.18 °C" };

/// t68 − t' of the IPTS-68 by the platinum thermometer, 0 °C to 630.74 °C:
/// 0.045 (t/100)(t/100 − 1)(t/419.58 − 1)(t/630.74 − 1), K.
pub const M_FACTOR_K: f64 = 0.045;
/// Freezing point of zinc on the IPTS-68, °C.
pub const M_ZINC_C: f64 = 419.58;
/// Freezing point of antimony on the IPTS-68, °C.
pub const M_ANTIMONY_C: f64 = 630.74;
/// Change of the platinum scale itself, 0 °C to 630 °C: t68 − t48 = p t (t − 100)/(1 − q t) + M(t), t = t48: p, 1/K.
pub const T68_MINUS_T48_P: f64 = 4.904e-7;
/// The same: q, 1/K.
pub const T68_MINUS_T48_Q: f64 = 2.939e-4;
/// Where they come from.
pub const T48_SOURCE: Source = Source {
    document: "T. B. Douglas, Conversion of existing calorimetrically determined thermodynamic properties to the basis \
               of the IPTS-68, J. Res. NBS 73A (1969) 451-470",
    clause: "equation for 0 °C to 630 °C",
};
