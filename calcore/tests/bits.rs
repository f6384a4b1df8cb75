//! The same bits in debug and release, for one value and for a slice, on any instruction set.
//!
//! The digests are no witness of correctness (the published values are, in `validation.rs`); they are what the same
//! source gave on another build, so that a change of a single bit anywhere is seen and explained.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use calcore::curves::{CallendarVanDusen, Handling, SensorCurve, Side, Thermocouple, ThermocoupleType};

const VALUES: usize = 100_003;

/// Digests of emf, slope and temperature, in the order of `ThermocoupleType::ALL`.
const THERMOCOUPLES: [[&str; 3]; 10] = [
    ["f57a1b189fcfb853", "ef0b6d6262dfa552", "e3bc451f5637a343"],
    ["734ef39b2b195155", "3b9a881e19dfa8f0", "441c1bcd00122161"],
    ["2558c3a914b6486f", "b290175afc0bdaa3", "0040a2b13f364226"],
    ["242ae5f955d5232e", "062d9e81edde24ce", "212f4613199b5d5a"],
    ["cc85835a87a8639d", "3c77426fe87377d5", "0ae42746961bec2f"],
    ["cd7ba78c09659d97", "360db69cd840e043", "97c58b05f55cd57f"],
    ["81603033c4a11204", "1ba90fd5c148c438", "16952ece63b9facc"],
    ["cd543c63931673f9", "f04cc02b026591c5", "fe03090c10c66a87"],
    ["831b6ae7629ca08d", "ffcd44de3f2065d7", "9dc4a42fafb35751"],
    ["cea36ed6a04cafc3", "c3c6153fdef62722", "13bb1d46d97e986b"],
];

fn spread(low: f64, high: f64) -> Vec<f64> {
    let irrational = 7f64.sqrt();
    (0..VALUES).map(|i| low + (high - low) * (i as f64 * irrational).fract()).collect()
}

/// FNV-1a over the bits (G. Fowler, L. C. Noll, K.-P. Vo; IETF draft-eastlake-fnv).
fn digest(values: &[f64]) -> u64 {
    values
        .iter()
        .flat_map(|value| value.to_bits().to_le_bytes())
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

fn slices_equal_single_values(curve: &dyn SensorCurve) -> [u64; 3] {
    let range = curve.range();
    let t_c = spread(range.low, range.high);
    let mut signal = vec![0.0; VALUES];
    let mut slope = vec![0.0; VALUES];
    let mut back = vec![0.0; VALUES];
    curve.signal_slice(&t_c, &mut signal, Handling::default()).unwrap();
    curve.slope_slice(&t_c, &mut slope, Handling::default()).unwrap();
    curve.temperature_slice(&signal, &mut back, Handling::default()).unwrap();
    for i in 0..VALUES {
        assert_eq!(curve.signal(t_c[i]).unwrap().to_bits(), signal[i].to_bits(), "signal at {} °C", t_c[i]);
        assert_eq!(curve.slope(t_c[i]).unwrap().to_bits(), slope[i].to_bits(), "slope at {} °C", t_c[i]);
        assert_eq!(curve.temperature(signal[i]).unwrap().to_bits(), back[i].to_bits(), "inverse at {} °C", t_c[i]);
        // Far above what rounding does (5e-13 K and less, see `validation.rs`), far below a wrong branch.
        assert!((back[i] - t_c[i]).abs() < 1e-10, "{} °C comes back as {} °C", t_c[i], back[i]);
    }
    [digest(&signal), digest(&slope), digest(&back)]
}

#[test]
fn platinum() {
    let curve = CallendarVanDusen::iec60751(100.0).unwrap();
    let found = slices_equal_single_values(&curve);
    assert_eq!(found.map(|hash| format!("{hash:016x}")), ["3884a22371bd77e4", "352d9be2558e0f3b", "fbb68e40347076c6"]);
}

/// Coefficients unlike those of platinum: the two fast steps below 0 °C do not converge and the bracketed way takes over.
#[test]
fn coefficients_unlike_platinum() {
    let curve = CallendarVanDusen::with_range(100.0, 3.9e-3, 5e-6, -4e-11, -150.0, 300.0).unwrap();
    slices_equal_single_values(&curve);
}

/// Type B above the minimum of its emf; its falling branch has no kernel of its own.
#[test]
fn thermocouples() {
    let found: Vec<[String; 3]> = ThermocoupleType::ALL
        .into_iter()
        .map(|kind| {
            let whole = Thermocouple::from(kind);
            slices_equal_single_values(&whole.on_side(Side::Upper).unwrap_or(whole)).map(|hash| format!("{hash:016x}"))
        })
        .collect();
    assert_eq!(found, THERMOCOUPLES);
}
