//! The reference functions of the ITS-90.

use crate::table::{Largest, Table, ulps};
use calcore::its90::{reference_ratio, reference_slope, temperature_from_ratio, temperature_from_ratio_approximate};

// Witness: 50 and 60 digits by mpmath (tests/oracle/its90.py). Below 273.16 K the exponent is a sum of terms whose sizes
// add to 9; Horner's rule rounds it by no more than about four units of that, 4e-15, which is the relative error of the
// ratio (at 13.8 K 5e-18 of a ratio of 0.0012). Above, the ratio, up to 4.3, is a sum of terms of 4.8 altogether.
#[test]
fn ratio_and_slope_agree_with_many_digits() {
    for file in ["its90_oracle_ratio", "its90_dense"] {
        let (mut below, mut above, mut slopes) = <(Largest, Largest, Largest)>::default();
        for row in Table::read(file).rows() {
            let t_k = row.number("t_k");
            let (computed, w) = (reference_ratio(t_k).unwrap(), row.number("wr"));
            if row.text("branch") == "low" {
                below.see((computed - w).abs() / w, row.place());
            } else {
                above.see(ulps(computed, w), row.place());
            }
            let slope = row.number("slope_per_k");
            slopes.see((reference_slope(t_k).unwrap() - slope).abs() / slope, row.place());
        }
        below.assert_at_most(&format!("{file}: W_r below 273.16 K, relative"), 4e-15);
        above.assert_at_most(&format!("{file}: W_r above 273.16 K, ulp"), 4.0);
        // The sums of the derivative have terms ten times their value.
        slopes.assert_at_most(&format!("{file}: slope, relative"), 1e-14);
    }
}

#[test]
fn temperature_agrees_with_many_digits_and_inverts_every_ratio() {
    let mut largest = Largest::default();
    for row in Table::read("its90_oracle_temperature").rows() {
        let t_k = temperature_from_ratio(row.number("wr")).unwrap();
        largest.see((t_k - row.number("t_k")).abs(), row.place());
    }
    // Two units in the last place of a temperature below 2048 K, 2.3e-13, and the rounding of the ratio, 4.4e-16,
    // over a slope above 2.8e-3.
    largest.assert_at_most("T of W_r, K", 7e-13);
    let (mut inverse, mut approximate) = <(Largest, Largest)>::default();
    for row in Table::read("its90_dense").rows() {
        let (w, t_k) = (row.number("wr"), row.number("t_k"));
        inverse.see((temperature_from_ratio(w).unwrap() - t_k).abs(), row.place());
        let band = if row.text("branch") == "low" { 0.1e-3 } else { 0.135e-3 };
        approximate.see((temperature_from_ratio_approximate(w).unwrap() - t_k).abs() / band, row.place());
    }
    inverse.assert_at_most("T of W_r on the dense set, K", 7e-13);
    approximate.assert_at_most("published inverse, part of its band", 1.0);
}

// Witness: table 1 of the document, to its eight decimals, and the same at 50 digits.
#[test]
fn every_fixed_point() {
    let mut points = 0;
    for row in Table::read("its90_fixed_points").rows() {
        let t_k = row.number("t_k");
        if row.number("wr").is_nan() {
            continue;
        }
        let w = reference_ratio(t_k).unwrap();
        // The triple point of water has W = 1 by definition; neither reference function gives it (by 4.65e-9).
        row.assert_close("wr", w, 0.5e-8);
        row.assert_close("wr_50_digits", w, 8.0 * f64::EPSILON * w);
        points += 1;
        let data = calcore::its90::fixed_point(row.text("substance")).unwrap();
        assert_eq!((data.t_k, data.t_c), (t_k, row.number("t_c")), "{}", row.place());
        if row.text("wr_in_table_1") == "yes" {
            assert_eq!(data.w_r, Some(row.number("wr")), "{}", row.place());
            assert!((data.k_per_pa.unwrap() - 1e-8 * row.number("dt_dp_1e-8_k_per_pa")).abs() < 1e-22);
            assert!((data.k_per_m.unwrap() - 1e-3 * row.number("dt_dl_1e-3_k_per_m")).abs() < 1e-17);
        }
    }
    assert_eq!(points, 14);
}
