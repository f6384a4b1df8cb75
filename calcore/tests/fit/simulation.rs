//! Covariances and probabilities against simulated calibrations.

use calcore::fit::{
    BatchLayout, BatchOptions, CallendarVanDusenOptions, callendar_van_dusen, callendar_van_dusen_batch,
};
use calcore::num::special::chi_squared_survival;

/// Normal deviates by Box and Muller from a 64-bit congruential generator (D. E. Knuth, MMIX): a generator of its own,
/// so that nothing of the library is tested with itself.
struct Normal(u64);

impl Normal {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    fn next(&mut self) -> f64 {
        (-2.0 * self.uniform().ln()).sqrt() * (2.0 * std::f64::consts::PI * self.uniform()).cos()
    }
}

const T_C: [f64; 7] = [-80.0, -40.0, -5.0, 50.0, 100.0, 150.0, 200.0];
const SENSORS: usize = 20_000;
const U_T: f64 = 0.01;
const U_OHM: f64 = 0.003;
const SHARED: f64 = 0.02;

fn platinum(t: f64) -> f64 {
    let cold = if t < 0.0 { -4.183e-12 * (t - 100.0) * t * t * t } else { 0.0 };
    100.0 * (1.0 + t * (3.9083e-3 - 5.775e-7 * t) + cold)
}

/// Scatter of the fitted curves at a temperature (in resistance), over the stated covariance; and chi-squared.
#[test]
fn scatter_of_refitted_sensors() {
    let mut normal = Normal(20_261_125);
    let (mut t, mut ohm) = (Vec::new(), Vec::new());
    for _ in 0..SENSORS {
        let shared = SHARED * normal.next();
        for at in T_C {
            t.push(at + shared + U_T * normal.next());
            ohm.push(platinum(at) + U_OHM * normal.next());
        }
    }
    let own = BatchOptions { u_t: U_T.into(), u_ohm: U_OHM.into(), ..Default::default() };
    let fits = callendar_van_dusen_batch(&t, &ohm, BatchLayout::Equal(7), &own).unwrap();
    assert!(fits.errors.is_empty());
    let exact: Vec<f64> = T_C.iter().map(|t| platinum(*t)).collect();
    let with =
        CallendarVanDusenOptions { u_t: U_T.into(), u_ohm: U_OHM.into(), u_t_common: SHARED, ..Default::default() };
    let with = callendar_van_dusen(&T_C, &exact, &with).unwrap();
    let without = CallendarVanDusenOptions { u_t: U_T.into(), u_ohm: U_OHM.into(), ..Default::default() };
    let without = callendar_van_dusen(&T_C, &exact, &without).unwrap();
    for at in [-60.0, 0.0, 120.0, 190.0] {
        let cold = if at < 0.0 { (at - 100.0) * at * at * at } else { 0.0 };
        let value = |k: usize| fits.r0[k] * (1.0 + at * (fits.a[k] + at * fits.b[k]) + fits.c[k] * cold);
        let square: f64 = (0..SENSORS).map(|k| (value(k) - platinum(at)).powi(2)).sum::<f64>() / SENSORS as f64;
        let u = with.resistance_uncertainty(at).unwrap();
        // Relative standard deviation of a simulated variance: √(2/20000) = 1 %; five of them.
        assert!((square / (u * u) - 1.0).abs() < 0.05, "{at} °C: {} over {u}", square.sqrt());
        // Without the shared error the claim is far too good.
        let claimed = without.resistance_uncertainty(at).unwrap();
        assert!(u > 1.8 * claimed, "{at}: {u} {claimed}");
    }
    // The shared error is (nearly) a shift along the curve, which the coefficients take up: chi-squared has three
    // degrees of freedom, and its probabilities are uniform. Deciles: 2000 each, standard deviation 42; five of them.
    let mut deciles = [0i32; 10];
    for chi in &fits.chi_squared {
        let p = chi_squared_survival(*chi, 3.0).unwrap();
        deciles[((10.0 * p) as usize).min(9)] += 1;
    }
    for count in deciles {
        assert!((count - 2000).abs() < 212, "{deciles:?}");
    }
}
