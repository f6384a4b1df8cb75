// Made by tests/oracle/thermocouple_segments.py from tests/reference/thermocouple_coefficients.json.
// Do not edit: change the script and run it again.
//! Piecewise polynomials of the thermocouple functions and of their exact inverses.
//!
//! Sources: IEC 60584-1:2013 = NIST Monograph 175 (1993) (B E J K N R S T),
//! ASTM E230 (C), GOST R 8.585-2001 (A). The error of every row is proven by the
//! script named above: Chebyshev bound of the residual at 60 digits, plus the
//! rounding errors of the Horner scheme in double.
//!
//! Forward, largest error, mV; stretched rows apart:
//!
//! | type | rows | proven | measured | relative, at zero | stretched, proven | measured |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | B | 59 | 2.3e-15 | 1.8e-15 | 5.5e-16 | | |
//! | E | 206 | 1.5e-14 | 1.4e-14 | 2.8e-16 | | |
//! | J | 65 | 1.4e-14 | 1.3e-14 | 2.6e-16 | | |
//! | K | 245 | 8.9e-15 | 6.8e-15 | 3e-16 | | |
//! | N | 132 | 8.4e-15 | 6.9e-15 | 2.7e-16 | | |
//! | R | 84 | 3.8e-15 | 3.4e-15 | 3.5e-16 | | |
//! | S | 74 | 3.6e-15 | 3.4e-15 | 2.5e-16 | | |
//! | T | 198 | 4e-15 | 3.4e-15 | 2.5e-16 | | |
//! | C | 38 | 7.4e-15 | 6.9e-15 | 2.4e-16 | | |
//! | A | 79 | 6.5e-15 | 6.3e-15 | | | |
//!
//! Inverse, largest error, K; stretched rows apart:
//!
//! | type | rows | proven | measured | relative, at zero | stretched, proven | measured |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | B | 157 | 3.1e-13 | 2.3e-13 | | 3.4e-14 | 2.2e-14 |
//! | E | 289 | 1.6e-13 | 1.1e-13 | 2.6e-16 | 6.3e-14 | 5.9e-14 |
//! | J | 265 | 2.4e-13 | 2.2e-13 | 2.3e-16 | | |
//! | K | 373 | 2.5e-13 | 2.1e-13 | 2.4e-16 | 1.1e-13 | 1e-13 |
//! | N | 341 | 2.5e-13 | 2.2e-13 | 3e-16 | 5.7e-14 | 5.4e-14 |
//! | R | 280 | 3.4e-13 | 2.4e-13 | 2.6e-16 | | |
//! | S | 258 | 3e-13 | 2.2e-13 | 2.3e-16 | | |
//! | T | 239 | 6.8e-14 | 5.6e-14 | 2.7e-16 | 5.2e-14 | 4.9e-14 |
//! | C | 167 | 4.8e-13 | 4.5e-13 | 3.1e-16 | | |
//! | A | 185 | 5e-13 | 4.6e-13 | | | |

#![allow(clippy::unreadable_literal, clippy::excessive_precision)]

use super::tc_segments_forward as forward;
use super::tc_segments_inverse as inverse;

/// Number of rows in [`ROWS`]; a power of two, so that a masked index is always inside.
pub(crate) const CAPACITY: usize = 4096;

/// Coefficients of one polynomial of degree 7, ascending.
pub(crate) type Row = [f64; 8];

/// Parts of a map; those not used start at infinity.
pub(crate) const MAX_PARTS: usize = 8;

/// Rows in the stretched variable `w = sqrt(emf - emf0)`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    /// Emf at the zero of the slope, mV, high part.
    pub emf0_hi: f64,
    /// Emf at the zero of the slope, mV, low part.
    pub emf0_lo: f64,
    /// Rows per unit of `w`, a power of two.
    pub scale: f64,
    /// Index of the row of `w = 0`, modulo [`CAPACITY`].
    pub offset: u64,
}

/// One piecewise polynomial.
///
/// # Formula
/// `n` is the number of bounds below the key; `u = key * scale[n]`, `i = round(u)`, `x = u - i`; the row is
/// `ROWS[(i + offset[n]) % CAPACITY]`; the result is the polynomial of `x`, held inside `result_lo..=result_hi`.
#[derive(Debug)]
pub(crate) struct SegmentMap {
    /// Lowest argument.
    pub lo: f64,
    /// Highest argument.
    pub hi: f64,
    /// Lowest argument of the parts; from `lo` to here the stretched rows hold.
    pub main_lo: f64,
    /// Lowest result.
    pub result_lo: f64,
    /// Highest result.
    pub result_hi: f64,
    /// Number of bounds in use, one less than the number of parts.
    pub bounds: usize,
    /// Bounds between the parts; a bound itself belongs to the part below.
    pub bound: [f64; MAX_PARTS - 1],
    /// Rows per unit of the argument in each part, a power of two.
    pub scale: [f64; MAX_PARTS],
    /// Index of the row of key 0 in each part, modulo [`CAPACITY`].
    pub offset: [u64; MAX_PARTS],
    /// Rows below `main_lo`.
    pub stretch: Option<Stretch>,
}

/// Both maps of one thermocouple type.
#[derive(Debug)]
pub(crate) struct TypeSegments {
    /// Emf in mV of a temperature in degrees Celsius.
    pub forward: SegmentMap,
    /// Temperature in degrees Celsius of an emf in mV.
    pub inverse: SegmentMap,
}

const fn assemble() -> [Row; CAPACITY] {
    let mut rows = [[0.0; 8]; CAPACITY];
    let mut n = 0;
    while n < inverse::ROWS.len() {
        rows[n] = inverse::ROWS[n];
        n += 1;
    }
    let mut k = 0;
    while k < forward::ROWS.len() {
        rows[n + k] = forward::ROWS[k];
        k += 1;
    }
    rows
}

/// All rows of all maps.
pub(crate) static ROWS: [Row; CAPACITY] = assemble();

/// Type B. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_B: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: 0.0,
        hi: 1820.0,
        main_lo: 0.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 1,
        bound: [630.615, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.03125, 0.03125, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [2554, 2555, 0, 0, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -0.0025849719884884145,
        hi: 13.82027921514597,
        main_lo: 0.2545855133940298,
        result_lo: 21.020261884768555,
        result_hi: 1820.0,
        bounds: 4,
        bound: [0.5739941280347144, 1.1540181602531485, 1.9783735220998657, 3.9420361010211717, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [128.0, 32.0, 16.0, 16.0, 4.0, 1.0, 1.0, 1.0],
        offset: [4063, 23, 43, 44, 92, 0, 0, 0],
        stretch: Some(Stretch {
            emf0_hi: -0.0025849719884884137,
            emf0_lo: 3.1998980085053063e-20,
            scale: 16.0,
            offset: 148,
        }),
    },
};

/// Type E. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_E: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -270.0,
        hi: 1000.0,
        main_lo: -270.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 2,
        bound: [0.0, 87.5, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.5, 0.125, 0.0625, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [2748, 2749, 2756, 0, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -9.834950856191783,
        hi: 76.37282645400003,
        main_lo: -8.92304080921549,
        result_lo: -270.0,
        result_hi: 1000.0,
        bounds: 2,
        bound: [-7.610208087279697, 0.0, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [32.0, 8.0, 2.0, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [443, 261, 262, 0, 0, 0, 0, 0],
        stretch: Some(Stretch {
            emf0_hi: -9.837268647897783,
            emf0_lo: -8.706121097226621e-16,
            scale: 32.0,
            offset: 414,
        }),
    },
};

/// Type J. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_J: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -210.0,
        hi: 1200.0,
        main_lo: -210.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 2,
        bound: [347.75, 760.0, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.0625, 0.03125, 0.03125, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [2832, 2844, 2845, 0, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -8.095379649303435,
        hi: 69.55317978838083,
        main_lo: -8.095379649303435,
        result_lo: -210.0,
        result_hi: 1200.0,
        bounds: 4,
        bound: [-6.274048710311354, 2.301831699661999, 42.918641333416524, 42.918641408345934, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [32.0, 8.0, 2.0, 2.0, 2.0, 1.0, 1.0, 1.0],
        offset: [705, 555, 569, 570, 571, 0, 0, 0],
        stretch: None,
    },
};

/// Type K. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_K: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -270.0,
        hi: 1372.0,
        main_lo: -270.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 3,
        bound: [-15.1875, 0.0, 445.9, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.25, 0.5, 0.25, 0.0625, 1.0, 1.0, 1.0, 1.0],
        offset: [2952, 2957, 2958, 3042, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -6.457737952738336,
        hi: 54.8863640253048,
        main_lo: -5.950951121293947,
        result_lo: -270.0,
        result_hi: 1372.0,
        bounds: 4,
        bound: [-5.371312334334089, 0.0, 1.9740837584748225e-09, 15.079115251087456, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [64.0, 16.0, 8.0, 8.0, 2.0, 1.0, 1.0, 1.0],
        offset: [1092, 835, 836, 837, 929, 0, 0, 0],
        stretch: Some(Stretch {
            emf0_hi: -6.4594461512179375,
            emf0_lo: -3.3352767308537576e-16,
            scale: 64.0,
            offset: 1037,
        }),
    },
};

/// Type N. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_N: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -270.0,
        hi: 1300.0,
        main_lo: -270.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 3,
        bound: [-69.1875, 0.0, 81.25, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.125, 0.25, 0.125, 0.0625, 1.0, 1.0, 1.0, 1.0],
        offset: [3163, 3172, 3173, 3179, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -4.345135447177458,
        hi: 47.51277218083799,
        main_lo: -4.029024876653291,
        result_lo: -270.0,
        result_hi: 1300.0,
        bounds: 3,
        bound: [-3.1747964015887167, 0.0, 1.0816266649895965, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [64.0, 16.0, 8.0, 4.0, 1.0, 1.0, 1.0, 1.0],
        offset: [1342, 1191, 1192, 1198, 0, 0, 0, 0],
        stretch: Some(Stretch {
            emf0_hi: -4.345634619930237,
            emf0_lo: 1.6465303445394367e-16,
            scale: 64.0,
            offset: 1388,
        }),
    },
};

/// Type R. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_R: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -50.0,
        hi: 1768.1,
        main_lo: -50.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 2,
        bound: [1064.18, 1664.5, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.0625, 0.015625, 0.015625, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [3264, 3315, 3316, 0, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -0.22646518817383338,
        hi: 21.102702347853324,
        main_lo: -0.22646518817383338,
        result_lo: -50.0,
        result_hi: 1768.1,
        bounds: 6,
        bound: [0.2802076984417872, 1.9833448769602344, 11.363744766925787, 11.363744766942162, 19.73882910395173, 21.062897118636542, f64::INFINITY],
        scale: [128.0, 32.0, 8.0, 8.0, 8.0, 8.0, 16.0, 1.0],
        offset: [1454, 1482, 1530, 1531, 1532, 1533, 1366, 0],
        stretch: None,
    },
};

/// Type S. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_S: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -50.0,
        hi: 1768.1,
        main_lo: -50.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 3,
        bound: [402.635625, 1064.18, 1664.5, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.0625, 0.03125, 0.03125, 0.03125, 1.0, 1.0, 1.0, 1.0],
        offset: [3348, 3361, 3362, 3363, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -0.23555507149267144,
        hi: 18.693541326999487,
        main_lo: -0.23555507149267144,
        result_lo: -50.0,
        result_hi: 1768.1,
        bounds: 5,
        bound: [0.23819340020653815, 1.930250632235241, 10.33420438891481, 17.535957201704907, 18.234019169761034, f64::INFINITY, f64::INFINITY],
        scale: [128.0, 32.0, 8.0, 8.0, 8.0, 16.0, 1.0, 1.0],
        offset: [1735, 1758, 1806, 1807, 1808, 1663, 0, 0],
        stretch: None,
    },
};

/// Type T. Source: IEC 60584-1:2013 = NIST Monograph 175 (1993).
#[rustfmt::skip]
pub(crate) static TYPE_T: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: -270.0,
        hi: 400.0,
        main_lo: -270.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 3,
        bound: [-13.5, 0.0, 15.0, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.5, 1.0, 0.25, 0.125, 1.0, 1.0, 1.0, 1.0],
        offset: [3554, 3562, 3563, 3566, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: -6.2575050378408665,
        hi: 20.87197005052673,
        main_lo: -5.6647964527695445,
        result_lo: -270.0,
        result_hi: 400.0,
        bounds: 3,
        bound: [-5.16058925675341, 0.0, 1.0939468043662846, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [32.0, 16.0, 8.0, 4.0, 1.0, 1.0, 1.0, 1.0],
        offset: [2144, 2063, 2064, 2070, 0, 0, 0, 0],
        stretch: Some(Stretch {
            emf0_hi: -6.258725337074091,
            emf0_lo: -3.742191464846015e-17,
            scale: 64.0,
            offset: 2152,
        }),
    },
};

/// Type C. Source: ASTM E230/E230M, table of type C (IEC 60584-1:2013 type C).
#[rustfmt::skip]
pub(crate) static TYPE_C: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: 0.0,
        hi: 2315.0,
        main_lo: 0.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 1,
        bound: [630.615, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.015625, 0.015625, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [3617, 3618, 0, 0, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: 0.0,
        hi: 37.069844433288,
        main_lo: 0.0,
        result_lo: 0.0,
        result_hi: 2315.0,
        bounds: 3,
        bound: [2.376654804396055, 11.206528771193344, 35.59719241789194, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [8.0, 4.0, 4.0, 8.0, 1.0, 1.0, 1.0, 1.0],
        offset: [2202, 2212, 2213, 2071, 0, 0, 0, 0],
        stretch: None,
    },
};

/// Type A. Source: GOST R 8.585-2001, type A-1 (IEC 60584-1:2013 type A).
#[rustfmt::skip]
pub(crate) static TYPE_A: TypeSegments = TypeSegments {
    forward: SegmentMap {
        lo: 0.0,
        hi: 2500.0,
        main_lo: 0.0,
        result_lo: f64::NEG_INFINITY,
        result_hi: f64::INFINITY,
        bounds: 0,
        bound: [f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [0.03125, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [3655, 0, 0, 0, 0, 0, 0, 0],
        stretch: None,
    },
    inverse: SegmentMap {
        lo: 0.0007156473499999997,
        hi: 33.63993359168595,
        main_lo: 0.0007156473499999997,
        result_lo: 0.0,
        result_hi: 2500.0,
        bounds: 2,
        bound: [3.4273657355935945, 32.001101543914025, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY, f64::INFINITY],
        scale: [16.0, 4.0, 8.0, 1.0, 1.0, 1.0, 1.0, 1.0],
        offset: [2369, 2411, 2284, 0, 0, 0, 0, 0],
        stretch: None,
    },
};
