//! Every distribution against an outside library: moments, quantiles, and distribution function at the quantiles.
#![allow(clippy::expect_used, clippy::panic, clippy::float_cmp, clippy::excessive_precision)]

use calcore::Result;
use calcore::uncertainty::Distribution;

const PROBABILITIES: [f64; 6] = [1e-6, 0.025, 0.3, 0.5, 0.77, 0.999];

/// What, standard uncertainty, skewness, excess kurtosis (NaN where none), quantiles.
type Case = (Result<Distribution>, f64, f64, f64, [f64; 6]);

/// Values of scipy.stats 1.17 (`uniform`, `triang`, `trapezoid`, `arcsine`, `t`, `norm`, `expon`, `gamma`); the
/// curvilinear trapezoid by quadrature over its half-widths in mpmath with 40 digits.
fn cases() -> Vec<Case> {
    let nan = f64::NAN;
    vec![
        (
            Distribution::rectangular(-1.0, 3.0),
            1.154_700_538_379_251_5,
            0.0,
            -1.2,
            [-0.999996, -0.9, 0.2, 1.0, 2.08, 2.996],
        ),
        (
            Distribution::triangular(-1.0, 3.0),
            0.816_496_580_927_726,
            0.0,
            -0.6,
            [
                -0.997_171_572_875_253_8,
                -0.552_786_404_500_042_1,
                0.549_193_338_482_966_8,
                1.0,
                1.643_534_003_374_946_4,
                2.910_557_280_900_008_4,
            ],
        ),
        (
            Distribution::trapezoidal(-1.0, 3.0, 0.25),
            0.841_625_411_530_173,
            0.0,
            -0.732_871_972_318_345_7,
            [-0.997_261_387_212_474_1, -0.566_987_298_107_780_6, 0.5, 1.0, 1.686_607_446_343_63, 2.913_397_459_621_556],
        ),
        (
            Distribution::trapezoidal(-1.0, 3.0, 0.9),
            1.098_483_803_552_272_2,
            0.0,
            -1.193_388_480_205_106_5,
            [-0.998_767_117_199_406_3, -0.805_064_113_103_820_8, 0.24, 1.0, 2.026, 2.961_012_822_620_764],
        ),
        (
            Distribution::u_shaped(-1.0, 3.0),
            std::f64::consts::SQRT_2,
            0.0,
            -1.5,
            [
                -0.999_999_999_990_130_5,
                -0.993_834_667_466_255_9,
                -0.175_570_504_584_946_4,
                1.0,
                2.500_222_139_260_919_6,
                2.999_990_130_403_716,
            ],
        ),
        (
            Distribution::student_t(10.0, 0.5, 3.5),
            0.763_762_615_825_973_4,
            0.0,
            nan,
            [
                -20.522_560_603_860_31,
                8.529_955_681_008_635,
                9.712_330_649_113_884,
                10.0,
                10.414_373_326_693_234,
                14.157_783_802_258_058,
            ],
        ),
        // Drawn as t of this scale, propagated with this standard uncertainty.
        (
            Distribution::normal_with_degrees_of_freedom(10.0, 0.5, 7.0),
            0.5,
            0.0,
            2.0,
            [
                2.879_265_174_009_277_4,
                8.817_687_874_203_608,
                9.725_445_171_026_358,
                10.0,
                10.390_857_941_536_556,
                12.392_644_814_319_166,
            ],
        ),
        (
            Distribution::normal(10.0, 0.5),
            0.5,
            0.0,
            0.0,
            [
                7.623_287_845_588_551,
                9.020_018_007_729_973,
                9.737_799_743_645_98,
                10.0,
                10.369_423_424_592_608,
                11.545_116_153_083_907,
            ],
        ),
        (
            Distribution::exponential(2.5),
            2.5,
            2.0,
            6.0,
            [
                2.500_001_250_000_833_3e-6,
                0.063_294_519_960_724_69,
                0.891_687_359_846_831_1,
                1.732_867_951_399_863_3,
                3.674_189_925_147_354_4,
                17.269_388_197_455_34,
            ],
        ),
        (
            Distribution::gamma(0.7, 2.0),
            1.673_320_053_068_151_1,
            2.390_457_218_668_787,
            8.571_428_571_428_571,
            [
                4.679_078_671_546_549e-9,
                0.008_996_641_160_628_831,
                0.345_039_600_667_216_84,
                0.814_847_496_952_882_6,
                2.063_477_256_421_882,
                12.127_479_127_774_551,
            ],
        ),
        (
            Distribution::gamma(12.5, 2.0),
            7.071_067_811_865_475_5,
            0.565_685_424_949_238,
            0.48,
            [
                4.241_328_051_382_589,
                13.119_720_024_937_78,
                20.867_034_013_776_543,
                24.336_586_697_884_293,
                29.848_811_500_855_73,
                52.619_655_776_172_834,
            ],
        ),
        (
            Distribution::curvilinear_trapezoid(-1.0, 3.0, 0.5),
            1.166_666_666_666_666_7,
            0.0,
            -1.055_460_224_906_289,
            [
                -1.496_838_389_076_794_8,
                -1.016_960_422_600_789_4,
                0.216_953_924_411_512_88,
                1.0,
                2.057_112_202_044_457_6,
                3.400_668_912_939_160_1,
            ],
        ),
        (
            Distribution::curvilinear_trapezoid(-1.0, 3.0, 2.0),
            1.333_333_333_333_333_3,
            0.0,
            0.24,
            [
                -2.992_002_667_111_348_3,
                -1.803_680_029_279_55,
                0.470_604_179_604_775_51,
                1.0,
                1.845_815_518_765_660_7,
                4.749_698_750_992_483_6,
            ],
        ),
    ]
}

#[test]
fn moments_quantiles_and_distribution_functions() {
    for (distribution, u, skewness, kurtosis, quantiles) in cases() {
        let d = distribution.expect("possible");
        let near = |got: f64, want: f64, what: &str| {
            assert!((got - want).abs() < 1e-12 * want.abs().max(1e-3), "{d:?} {what}: got {got}, want {want}");
        };
        near(d.standard_uncertainty(), u, "standard uncertainty");
        near(d.skewness().expect("exists"), skewness, "skewness");
        match d.excess_kurtosis() {
            Some(got) => near(got, kurtosis, "kurtosis"),
            None => assert!(kurtosis.is_nan(), "{d:?}"),
        }
        for (p, x) in PROBABILITIES.into_iter().zip(quantiles) {
            near(d.quantile(p).expect("quantile"), x, "quantile");
            // The quantile is given to 16 digits: p lies between the probabilities of its neighbours.
            let step = 2.0 * f64::EPSILON * x.abs();
            let (below, above) = (d.cdf(x - step).expect("cdf"), d.cdf(x + step).expect("cdf"));
            assert!(below - 1e-12 <= p && p <= above + 1e-12, "{d:?} cdf about {x}: {below} {above} for {p}");
            assert!(above - below < 1e-10, "{d:?} jumps at {x}");
        }
    }
}

#[test]
fn ends_and_degenerate_widths() {
    for (distribution, ..) in cases() {
        let d = distribution.expect("possible");
        assert_eq!(d.cdf(1e300).expect("cdf"), 1.0, "{d:?}");
        assert!(d.cdf(-1e300).expect("cdf") < 1e-300, "{d:?}");
        assert!(d.quantile(0.0).is_err() && d.quantile(1.0).is_err() && d.quantile(f64::NAN).is_err());
        assert!(d.cdf(f64::NAN).is_err());
    }
    for d in [
        Distribution::rectangular(2.0, 2.0),
        Distribution::triangular(2.0, 2.0),
        Distribution::trapezoidal(2.0, 2.0, 0.5),
        Distribution::u_shaped(2.0, 2.0),
        Distribution::curvilinear_trapezoid(2.0, 2.0, 0.0),
        Distribution::normal(2.0, 0.0),
        Distribution::student_t(2.0, 0.0, 1.0),
    ] {
        let d = d.expect("possible");
        assert_eq!(d.standard_uncertainty(), 0.0, "{d:?}");
        assert_eq!((d.cdf(1.9).expect("cdf"), d.cdf(2.0).expect("cdf")), (0.0, 1.0), "{d:?}");
        assert_eq!(d.quantile(0.3).expect("quantile"), 2.0, "{d:?}");
    }
    // With no doubt about the limits it is a rectangle; a trapezoid with a full top likewise.
    let (sharp, full) = (Distribution::curvilinear_trapezoid(0.0, 4.0, 1e-9), Distribution::trapezoidal(0.0, 4.0, 1.0));
    assert!((sharp.expect("possible").quantile(0.3).expect("q") - 1.2).abs() < 1e-9);
    assert!((full.expect("possible").quantile(0.3).expect("q") - 1.2).abs() < 1e-14);
}

#[test]
fn impossible_parameters() {
    let code = |d: Result<Distribution>| d.map(|_| 0).map_err(|e| e.code());
    assert_eq!(code(Distribution::trapezoidal(0.0, 1.0, 1.1)), Err(102));
    assert_eq!(code(Distribution::curvilinear_trapezoid(0.0, 1.0, 0.6)), Err(102));
    assert_eq!(code(Distribution::curvilinear_trapezoid(0.0, 1.0, -0.1)), Err(102));
    assert_eq!(code(Distribution::u_shaped(1.0, 0.0)), Err(103));
    assert_eq!(code(Distribution::student_t(0.0, -1.0, 3.0)), Err(103));
    assert_eq!(code(Distribution::exponential(0.0)), Err(103));
    assert_eq!(code(Distribution::gamma(1.0, f64::NAN)), Err(101));
}
