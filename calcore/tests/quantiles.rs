//! Quantiles and distribution functions against values with more digits.
#![allow(clippy::excessive_precision, clippy::expect_used, clippy::panic, clippy::float_cmp)]

use calcore::num::special::{
    chi_squared_quantile, chi_squared_survival, gamma_probabilities, gamma_quantile, normal_quantile, student_cdf,
    student_central_probability, student_quantile,
};

const ORACLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/reference/quantile_oracle.csv");

/// Every line of the table: 24 digits from a multiple-precision program. Relative 1e-12 is asked for; the last digits
/// of a probability near 1 are worth that much where the tail is small. Student's quantile is held to 1e-14: a tail of 0.02
/// by its complement, known to 4 roundings, moves it by that (tail/(2 t f) = 0.2 of it).
#[test]
fn quantiles_of_the_table() {
    let text = std::fs::read_to_string(ORACLE).expect("reference file");
    let (mut checked, mut worst) = (0, [0.0f64; 3]);
    for line in text.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let [distribution, nu, p, value] = fields[..] else { panic!("line {line}") };
        let number = |s: &str| s.parse::<f64>().expect("number");
        let (nu, p, value) = (number(nu), number(p), number(value));
        let (kind, got) = match distribution {
            "normal" => (0, normal_quantile(p)),
            "student" => (1, student_quantile(p, nu)),
            "chi_squared" => (2, chi_squared_quantile(p, nu)),
            other => panic!("unknown distribution {other}"),
        };
        let got = got.unwrap_or_else(|e| panic!("{line}: {e}"));
        let relative = if value == 0.0 { got.abs() } else { (got / value - 1.0).abs() };
        let limit = if kind == 1 { 1e-14 } else { 1e-12 };
        assert!(relative < limit, "{line}: got {got}, off by {relative:e}");
        worst[kind] = worst[kind].max(relative);
        checked += 1;
    }
    assert!(checked > 400, "only {checked} lines");
    println!("worst relative error: normal {:e}, student {:e}, chi-squared {:e}", worst[0], worst[1], worst[2]);
}

/// Probabilities beyond |t|, from the regularised incomplete beta function of mpmath with 40 digits.
#[test]
fn tails_of_the_student_distribution() {
    let cases = [
        (0.1, 0.1, 0.970_900_764_510_075_97),
        (3.0, 0.5, 0.367_308_155_985_945_43),
        (2.0, 2.5, 0.157_391_495_757_965_99),
        (0.3, 7.0, 0.772_890_050_402_134_28),
        (5.0, 7.0, 0.001_565_277_953_172_824_6),
        (12.0, 30.0, 5.580_185_415_199_256_1e-13),
        (1.5, 473.0, 0.134_281_561_354_286_49),
        (6.0, 473.0, 3.927_455_599_490_615_8e-9),
        (2.5, 3400.0, 0.012_466_084_827_083_988),
        (9.0, 3400.0, 3.671_934_956_020_553_5e-19),
        (2.0, 1e5, 0.045_502_963_457_506_463),
        (30.0, 1e5, 7.378_536_872_222_233_7e-197),
    ];
    for (t, nu, tails) in cases {
        let lower = 2.0 * student_cdf(-t, nu).expect("cdf");
        // An exponent of 450 is known to 1e-13.
        assert!((lower / tails - 1.0).abs() < 1e-12, "{t} {nu}: {lower:e} {tails:e}");
        let centre = student_central_probability(t, nu).expect("probability");
        assert!((centre - (1.0 - tails)).abs() < 1e-14, "{t} {nu}");
        let upper = student_cdf(t, nu).expect("cdf");
        assert!((upper - (1.0 - 0.5 * tails)).abs() < 1e-14, "{t} {nu}");
    }
}

/// Student quantiles near the middle and far out, from the same functions of mpmath inverted with 40 digits.
#[test]
fn student_quantiles_in_the_corners() {
    let cases = [
        (0.5 + 2.0f64.powi(-30), 0.3, 4.061_248_948_963_023e-9),
        (0.6, 0.1, 1.512_976_170_677_862),
        (1.0 - 2.0f64.powi(-30), 0.1, 3.268_272_883_798_609_8e86),
        (0.7, 0.2, 3.072_169_976_111_829_4),
        (0.76, 0.7, 1.291_959_034_995_238_5),
        (1.0 - 2.0f64.powi(-40), 3.0, 10_663.019_114_246_484),
        (1.0 - 2.0f64.powi(-40), 50.0, 9.287_663_107_253_933_1),
        (1.0 - 2.0f64.powi(-45), 1e4, 7.525_967_320_256_457_7),
        (1.0 - 2.0f64.powi(-45), 1e6, 7.515_263_283_674_026_5),
        (0.999, 1000.5, 3.098_398_071_152_886_5),
    ];
    for (p, nu, t) in cases {
        let got = student_quantile(p, nu).expect("quantile");
        assert!((got / t - 1.0).abs() < 1e-12, "{p} {nu}: {got:e} {t:e}");
        assert!((student_quantile(1.0 - p, nu).expect("quantile") / -t - 1.0).abs() < 1e-12);
    }
}

/// Gamma probabilities, from mpmath with 40 digits.
#[test]
fn gamma_distribution() {
    let cases = [
        (0.1, 0.01, 0.662_621_259_954_479_79, 0.337_378_740_045_520_21),
        (0.5, 2.0, 0.954_499_736_103_641_59, 0.045_500_263_896_358_414),
        (2.5, 1.0, 0.150_854_963_915_390_36, 0.849_145_036_084_609_64),
        (2.5, 9.0, 0.997_053_595_412_119_71, 0.002_946_404_587_880_290_4),
        (30.0, 20.0, 0.021_818_217_525_557_392, 0.978_181_782_474_442_61),
        (30.0, 50.0, 0.999_083_171_138_543_92, 0.000_916_828_861_456_079_87),
        (1e4, 9900.0, 0.158_651_192_193_564_66, 0.841_348_807_806_435_34),
        (1e4, 10400.0, 0.999_961_119_829_426_01, 3.888_017_057_398_820_5e-5),
        (1e6, 1_001_000.0, 0.841_344_786_368_340_29, 0.158_655_213_631_659_71),
    ];
    for (shape, x, lower, upper) in cases {
        let got = gamma_probabilities(shape, x).expect("probabilities");
        assert!((got.0 / lower - 1.0).abs() < 1e-12 && (got.1 / upper - 1.0).abs() < 1e-12, "{shape} {x} {got:?}");
        let back = gamma_quantile(lower, shape).expect("quantile");
        assert!((back / x - 1.0).abs() < 1e-12, "{shape} {x} {back}");
    }
    // Twice the shape is the degrees of freedom: P(χ² > 4) with one degree of freedom.
    assert!((chi_squared_survival(4.0, 1.0).expect("p") - 0.045_500_263_896_358_414).abs() < 1e-15);
}
