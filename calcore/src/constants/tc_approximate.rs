// Made by tests/oracle/thermocouple_segments.py from tests/reference/thermocouple_coefficients.json.
// Do not edit: change the script and run it again.
//! Published approximate inverse polynomials: temperature as a function of emf.
//!
//! Sources: NIST Monograph 175 (1993) (B E J K N R S T), GOST R 8.585-2001 (A, without a stated error). For
//! type C none is published. The published digits stand as they are.

#![allow(clippy::unreadable_literal, clippy::excessive_precision)]

/// One approximate inverse: `t = sum d[i] E^i`, degree Celsius of mV.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ApproximateInverse {
    /// Lowest temperature, degree Celsius.
    pub low_c: f64,
    /// Highest temperature, degree Celsius.
    pub high_c: f64,
    /// Lowest emf as it is printed, mV.
    pub low_mv: f64,
    /// Highest emf as it is printed, mV.
    pub high_mv: f64,
    /// Stated error, from the lowest to the highest, K.
    pub error_k: Option<(f64, f64)>,
    /// Coefficients, ascending, K/mV^i.
    pub d: &'static [f64],
}

/// Type B: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_B: [ApproximateInverse; 2] = [
    ApproximateInverse {
        low_c: 250.0,
        high_c: 700.0,
        low_mv: 0.291,
        high_mv: 2.431,
        error_k: Some((-0.02, 0.03)),
        d: &[9.8423321E+01, 6.9971500E+02, -8.4765304E+02, 1.0052644E+03, -8.3345952E+02, 4.5508542E+02, -1.5523037E+02, 2.9886750E+01, -2.4742860E+00],
    },
    ApproximateInverse {
        low_c: 700.0,
        high_c: 1820.0,
        low_mv: 2.431,
        high_mv: 13.820,
        error_k: Some((-0.01, 0.02)),
        d: &[2.1315071E+02, 2.8510504E+02, -5.2742887E+01, 9.9160804E+00, -1.2965303E+00, 1.1195870E-01, -6.0625199E-03, 1.8661696E-04, -2.4878585E-06],
    },
];

/// Type E: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_E: [ApproximateInverse; 2] = [
    ApproximateInverse {
        low_c: -200.0,
        high_c: 0.0,
        low_mv: -8.825,
        high_mv: 0.0,
        error_k: Some((-0.01, 0.03)),
        d: &[0.0, 1.6977288E+01, -4.3514970E-01, -1.5859697E-01, -9.2502871E-02, -2.6084314E-02, -4.1360199E-03, -3.4034030E-04, -1.1564890E-05],
    },
    ApproximateInverse {
        low_c: 0.0,
        high_c: 1000.0,
        low_mv: 0.0,
        high_mv: 76.373,
        error_k: Some((-0.02, 0.02)),
        d: &[0.0, 1.7057035E+01, -2.3301759E-01, 6.5435585E-03, -7.3562749E-05, -1.7896001E-06, 8.4036165E-08, -1.3735879E-09, 1.0629823E-11, -3.2447087E-14],
    },
];

/// Type J: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_J: [ApproximateInverse; 3] = [
    ApproximateInverse {
        low_c: -210.0,
        high_c: 0.0,
        low_mv: -8.095,
        high_mv: 0.0,
        error_k: Some((-0.05, 0.03)),
        d: &[0.0, 1.9528268E+01, -1.2286185E+00, -1.0752178E+00, -5.9086933E-01, -1.7256713E-01, -2.8131513E-02, -2.3963370E-03, -8.3823321E-05],
    },
    ApproximateInverse {
        low_c: 0.0,
        high_c: 760.0,
        low_mv: 0.0,
        high_mv: 42.919,
        error_k: Some((-0.04, 0.04)),
        d: &[0.0, 1.978425E+01, -2.001204E-01, 1.036969E-02, -2.549687E-04, 3.585153E-06, -5.344285E-08, 5.099890E-10],
    },
    ApproximateInverse {
        low_c: 760.0,
        high_c: 1200.0,
        low_mv: 42.919,
        high_mv: 69.553,
        error_k: Some((-0.04, 0.03)),
        d: &[-3.11358187E+03, 3.00543684E+02, -9.94773230E+00, 1.70276630E-01, -1.43033468E-03, 4.73886084E-06],
    },
];

/// Type K: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_K: [ApproximateInverse; 3] = [
    ApproximateInverse {
        low_c: -200.0,
        high_c: 0.0,
        low_mv: -5.891,
        high_mv: 0.0,
        error_k: Some((-0.02, 0.04)),
        d: &[0.0, 2.5173462E+01, -1.1662878E+00, -1.0833638E+00, -8.9773540E-01, -3.7342377E-01, -8.6632643E-02, -1.0450598E-02, -5.1920577E-04],
    },
    ApproximateInverse {
        low_c: 0.0,
        high_c: 500.0,
        low_mv: 0.0,
        high_mv: 20.644,
        error_k: Some((-0.05, 0.04)),
        d: &[0.0, 2.508355E+01, 7.860106E-02, -2.503131E-01, 8.315270E-02, -1.228034E-02, 9.804036E-04, -4.413030E-05, 1.057734E-06, -1.052755E-08],
    },
    ApproximateInverse {
        low_c: 500.0,
        high_c: 1372.0,
        low_mv: 20.644,
        high_mv: 54.886,
        error_k: Some((-0.05, 0.06)),
        d: &[-1.318058E+02, 4.830222E+01, -1.646031E+00, 5.464731E-02, -9.650715E-04, 8.802193E-06, -3.110810E-08],
    },
];

/// Type N: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_N: [ApproximateInverse; 3] = [
    ApproximateInverse {
        low_c: -200.0,
        high_c: 0.0,
        low_mv: -3.990,
        high_mv: 0.0,
        error_k: Some((-0.02, 0.03)),
        d: &[0.0, 3.8436847E+01, 1.1010485E+00, 5.2229312E+00, 7.2060525E+00, 5.8488586E+00, 2.7754916E+00, 7.7075166E-01, 1.1582665E-01, 7.3138868E-03],
    },
    ApproximateInverse {
        low_c: 0.0,
        high_c: 600.0,
        low_mv: 0.0,
        high_mv: 20.613,
        error_k: Some((-0.02, 0.03)),
        d: &[0.0, 3.86896E+01, -1.08267E+00, 4.70205E-02, -2.12169E-06, -1.17272E-04, 5.39280E-06, -7.98156E-08],
    },
    ApproximateInverse {
        low_c: 600.0,
        high_c: 1300.0,
        low_mv: 20.613,
        high_mv: 47.513,
        error_k: Some((-0.04, 0.02)),
        d: &[1.972485E+01, 3.300943E+01, -3.915159E-01, 9.855391E-03, -1.274371E-04, 7.767022E-07],
    },
];

/// Type R: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_R: [ApproximateInverse; 4] = [
    ApproximateInverse {
        low_c: -50.0,
        high_c: 250.0,
        low_mv: -0.226,
        high_mv: 1.923,
        error_k: Some((-0.02, 0.02)),
        d: &[0.0, 1.8891380E+02, -9.3835290E+01, 1.3068619E+02, -2.2703580E+02, 3.5145659E+02, -3.8953900E+02, 2.8239471E+02, -1.2607281E+02, 3.1353611E+01, -3.3187769E+00],
    },
    ApproximateInverse {
        low_c: 250.0,
        high_c: 1200.0,
        low_mv: 1.923,
        high_mv: 13.228,
        error_k: Some((-0.005, 0.005)),
        d: &[1.334584505E+01, 1.472644573E+02, -1.844024844E+01, 4.031129726E+00, -6.249428360E-01, 6.468412046E-02, -4.458750426E-03, 1.994710149E-04, -5.313401790E-06, 6.481976217E-08],
    },
    ApproximateInverse {
        low_c: 1064.0,
        high_c: 1664.5,
        low_mv: 11.361,
        high_mv: 19.739,
        error_k: Some((-0.0005, 0.001)),
        d: &[-8.199599416E+01, 1.553962042E+02, -8.342197663E+00, 4.279433549E-01, -1.191577910E-02, 1.492290091E-04],
    },
    ApproximateInverse {
        low_c: 1664.5,
        high_c: 1768.1,
        low_mv: 19.739,
        high_mv: 21.103,
        error_k: Some((-0.001, 0.002)),
        d: &[3.406177836E+04, -7.023729171E+03, 5.582903813E+02, -1.952394635E+01, 2.560740231E-01],
    },
];

/// Type S: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_S: [ApproximateInverse; 4] = [
    ApproximateInverse {
        low_c: -50.0,
        high_c: 250.0,
        low_mv: -0.235,
        high_mv: 1.874,
        error_k: Some((-0.02, 0.02)),
        d: &[0.0, 1.84949460E+02, -8.00504062E+01, 1.02237430E+02, -1.52248592E+02, 1.88821343E+02, -1.59085941E+02, 8.23027880E+01, -2.34181944E+01, 2.79786260E+00],
    },
    ApproximateInverse {
        low_c: 250.0,
        high_c: 1200.0,
        low_mv: 1.874,
        high_mv: 11.950,
        error_k: Some((-0.01, 0.01)),
        d: &[1.291507177E+01, 1.466298863E+02, -1.534713402E+01, 3.145945973E+00, -4.163257839E-01, 3.187963771E-02, -1.291637500E-03, 2.183475087E-05, -1.447379511E-07, 8.211272125E-09],
    },
    ApproximateInverse {
        low_c: 1064.0,
        high_c: 1664.5,
        low_mv: 10.332,
        high_mv: 17.536,
        error_k: Some((-0.0002, 0.0002)),
        d: &[-8.087801117E+01, 1.621573104E+02, -8.536869453E+00, 4.719686976E-01, -1.441693666E-02, 2.081618890E-04],
    },
    ApproximateInverse {
        low_c: 1664.5,
        high_c: 1768.1,
        low_mv: 17.536,
        high_mv: 18.693,
        error_k: Some((-0.002, 0.002)),
        d: &[5.333875126E+04, -1.235892298E+04, 1.092657613E+03, -4.265693686E+01, 6.247205420E-01],
    },
];

/// Type T: NIST Monograph 175 (1993).
#[rustfmt::skip]
pub const TYPE_T: [ApproximateInverse; 2] = [
    ApproximateInverse {
        low_c: -200.0,
        high_c: 0.0,
        low_mv: -5.603,
        high_mv: 0.0,
        error_k: Some((-0.02, 0.04)),
        d: &[0.0, 2.5949192E+01, -2.1316967E-01, 7.9018692E-01, 4.2527777E-01, 1.3304473E-01, 2.0241446E-02, 1.2668171E-03],
    },
    ApproximateInverse {
        low_c: 0.0,
        high_c: 400.0,
        low_mv: 0.0,
        high_mv: 20.872,
        error_k: Some((-0.03, 0.03)),
        d: &[0.0, 2.592800E+01, -7.602961E-01, 4.637791E-02, -2.165394E-03, 6.048144E-05, -7.293422E-07],
    },
];

/// Type C: none is published.
#[rustfmt::skip]
pub const TYPE_C: [ApproximateInverse; 0] = [];

/// Type A: GOST R 8.585-2001, type A-1 (IEC 60584-1:2013 type A).
#[rustfmt::skip]
pub const TYPE_A: [ApproximateInverse; 1] = [
    ApproximateInverse {
        low_c: 0.0,
        high_c: 2500.0,
        low_mv: 0.0,
        high_mv: 33.640,
        error_k: None,
        d: &[0.9643027, 7.9495086E+01, -4.9990310, 0.6341776, -4.7440967E-02, 2.1811337E-03, -5.8324228E-05, 8.2433725E-07, -4.5928480E-09],
    },
];
