//! Every coefficient of the core against the file into which somebody else typed it, digit by digit: equal decimals give
//! equal doubles.

use calcore::constants::its90::{A, B, C, D, SUBRANGES};
use calcore::constants::rtd::{RatioEquation, RtdStandardData};
use calcore::curves::rtd_standard;
use serde_json::Value;

fn file(name: &str) -> Value {
    let path = format!("{}/../tests/reference/{name}.json", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_json::from_str(&text).unwrap()
}

/// A decimal in a text, or a number.
fn number(value: &Value) -> f64 {
    value.as_str().map_or_else(|| value.as_f64().unwrap(), |text| text.parse().unwrap())
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

#[test]
fn its90_coefficients() {
    let constants = file("its90_constants");
    assert_eq!(numbers(&constants["low"]["A"]), A);
    assert_eq!(numbers(&constants["low"]["B"]), B);
    assert_eq!(numbers(&constants["high"]["C"]), C);
    assert_eq!(numbers(&constants["high"]["D"]), D);
}

#[test]
fn its90_subranges() {
    let listed = file("deviation_functions");
    let listed = listed["subranges"].as_array().unwrap();
    assert_eq!(listed.len(), SUBRANGES.len());
    for (theirs, ours) in listed.iter().zip(&SUBRANGES) {
        let texts = |key: &str| -> Vec<&str> {
            theirs[key].as_array().unwrap().iter().map(|value| value.as_str().unwrap()).collect()
        };
        assert_eq!(theirs["section"], ours.section);
        assert_eq!(theirs["number"], ours.number);
        assert_eq!((number(&theirs["T_low_K"]), number(&theirs["T_high_K"])), (ours.low_k, ours.high_k));
        assert_eq!(texts("coefficients"), ours.coefficients);
        assert_eq!(texts("calibration_points"), ours.points);
    }
}

#[test]
fn resistance_thermometers() {
    let constants = file("rtd_constants");
    let ours = |name: &str| -> &RtdStandardData { rtd_standard(name).unwrap() };
    let gost = &constants["gost_6651_2009"];
    let other = |part: &str| {
        let all = constants["platinum_other"].as_array().unwrap();
        all.iter().find(|entry| entry["name"].as_str().unwrap().contains(part)).unwrap()
    };
    for (name, theirs) in [
        ("iec60751_pt385", &constants["iec60751"]),
        ("astm_e1137_pt385", &constants["astm_e1137"]),
        ("gost6651_pt385", &gost["pt_0.00385"]),
        ("gost6651_pt391", &gost["pt_0.00391"]),
        ("jis_pt3916", other("JPt100")),
        ("handbook_pt3911", other("3.911e-3")),
        ("handbook_pt3923", other("SAMA")),
        ("handbook_pt3926", other("3.926e-3")),
        ("handbook_pt3928", other("alpha 3.928e-3")),
        ("handbook_pt3750", other("3.750e-3")),
    ] {
        let [a, b, c] = ["A_per_C", "B_per_C2", "C_per_C4"].map(|key| number(&theirs[key]));
        assert_eq!(ours(name).equation, RatioEquation::CallendarVanDusen { a, b, c }, "{name}");
        if let Some(range) = theirs["range_C"].as_array() {
            assert_eq!((number(&range[0]), number(&range[1])), (ours(name).low_c, ours(name).high_c), "{name}");
        }
    }
    let [a, b, c] = ["A", "B", "C"].map(|key| number(&gost["cu_0.00428"][key]));
    assert_eq!(ours("gost6651_cu428").equation, RatioEquation::CopperGost { a, b, c });
    let [a, b, c] = ["A", "B", "C"].map(|key| number(&gost["ni_0.00617"][key]));
    assert_eq!(ours("gost6651_ni617").equation, RatioEquation::NickelGost { a, b, c });
    let a = number(&gost["cu_0.00426"]["A"]);
    assert_eq!(ours("gost6651_cu426").equation, RatioEquation::Linear { a });
    let [a, b, d, f] = ["A", "B", "D", "F"].map(|key| number(&constants["nickel"][0][key]));
    assert_eq!(ours("din43760_ni618").equation, RatioEquation::NickelDin { a, b, d, f });
    for (name, theirs) in [
        ("astm_e1137_pt385", &constants["astm_e1137"]["inverse_below_0"]["D"]),
        ("gost6651_pt385", &gost["pt_0.00385"]["inverse_D"]),
        ("gost6651_pt391", &gost["pt_0.00391"]["inverse_D"]),
        ("gost6651_cu428", &gost["cu_0.00428"]["inverse_below_0_D"]),
        ("gost6651_ni617", &gost["ni_0.00617"]["inverse_above_100_D"]),
    ] {
        let theirs = numbers(theirs);
        assert_eq!(ours(name).inverse.unwrap().d[..theirs.len()], theirs, "{name}");
    }
}
