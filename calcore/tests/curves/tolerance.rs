//! Tolerance classes against the tables of the standards, as the reference files have them.

use crate::table::Table;
use calcore::tolerance::{
    Construction, astm_e230, astm_e230_range, astm_e1137, gost6651, iec60584, iec60584_range, iec60751, iec60751_range,
};

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

#[test]
fn grades_and_classes_of_other_standards() {
    for row in Table::read("astm_e1137_tolerance").rows() {
        for t_c in [row.number("low_c"), 100.0, row.number("high_c")] {
            let wanted = row.number("constant_k") + row.number("slope_per_degc") * t_c.abs();
            assert!((astm_e1137(row.text("class"), t_c).unwrap() - wanted).abs() < 2e-15, "{}", row.place());
        }
        assert_eq!(astm_e1137(row.text("class"), 651.0).map_err(|e| e.code()), Err(102));
    }
    for row in Table::read("gost6651_tolerance").rows() {
        let half_width = |t_c: f64| gost6651(row.text("material"), row.text("class"), t_c);
        for t_c in [row.number("low_c"), 100.0, row.number("high_c")] {
            let wanted = row.number("constant_k") + row.number("slope_per_degc") * t_c.abs();
            assert!((half_width(t_c).unwrap() - wanted).abs() < 2e-15, "{}", row.place());
        }
        assert_eq!(half_width(row.number("high_c") + 1.0).map_err(|e| e.code()), Err(102));
    }
    assert_eq!(astm_e1137("C", 0.0).map_err(|e| e.code()), Err(104));
    assert_eq!(gost6651("nickel", "A", 0.0).map_err(|e| e.code()), Err(104));
    assert_eq!(gost6651("platinum", "A", 0.0).map_err(|e| e.code()), Err(104));
}

#[test]
fn thermocouples() {
    for (file, of_iec) in [("iec60584_tolerance", true), ("astm_e230_tolerance", false)] {
        for row in Table::read(file).rows() {
            let (letter, class) = (row.text("type"), row.text("class"));
            let half_width = |t_c: f64| {
                if of_iec { iec60584(letter, class.parse().unwrap(), t_c) } else { astm_e230(letter, class, t_c) }
            };
            let range =
                if of_iec { iec60584_range(letter, class.parse().unwrap()) } else { astm_e230_range(letter, class) };
            let (low, high) = (row.number("low_c"), row.number("high_c"));
            let range = range.unwrap();
            assert!(range.low <= low && range.high >= high, "{}", row.place());
            for t_c in [low, 0.25 * low + 0.75 * high, 0.5 * (low + high), high] {
                let beyond = (t_c - row.number("slope_from_c")).max(0.0);
                let wanted = row.number("fixed_k").max(row.number("rel_of_abs_t") * t_c.abs())
                    + row.number("slope_per_degc") * beyond;
                let got = half_width(t_c).unwrap();
                assert!((got - wanted).abs() < 1e-14, "{} at {t_c}: {got} against {wanted}", row.place());
            }
            for outside in [range.low - 1.0, range.high + 1.0] {
                let error = half_width(outside).unwrap_err();
                assert!(error.code() == 102 && error.to_string().contains(&format!("type {letter}")), "{error}");
            }
        }
    }
}
