//! Tolerance classes against the tables of the standards, as the reference files have them.

use crate::table::Table;
use calcore::tolerance::{Construction, iec60751, iec60751_range};

#[test]
fn iec60751_classes() {
    for row in Table::read("iec60751_tolerance").rows() {
        let construction = match row.text("construction") {
            "film" => Construction::Film,
            _ => Construction::WireWound,
        };
        let (class, low, high) = (row.text("class"), row.number("low_c"), row.number("high_c"));
        let range = iec60751_range(class, construction).unwrap();
        assert_eq!((range.low, range.high), (low, high), "{}", row.place());
        for t_c in [low, 0.5 * (low + high), high] {
            let wanted = row.number("constant_k") + row.number("slope_per_degc") * t_c.abs();
            let got = iec60751(class, t_c, construction).unwrap();
            assert!((got - wanted).abs() < 2e-15, "{}: {got} against {wanted}", row.place());
        }
    }
}
