//! What lies in a circuit belongs to a kind of sensor: ohm are not added to millivolts.

use calcore::circuit::{
    Effect, insulation_effect, measured_emf, measuring_junction, reference_junction_effect, thermal_emf_effect,
    three_wire_effect, two_wire_effect,
};
use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Interpolation, SensorCurve, Side, Sprt, TabulatedCurve, Thermocouple,
};
use calcore::its90::Subrange;

/// The effects on a resistance, at 20 °C.
fn of_resistance(curve: &dyn SensorCurve) -> [calcore::Result<Effect>; 4] {
    [
        two_wire_effect(curve, 20.0, 0.01),
        three_wire_effect(curve, 20.0, 0.01),
        insulation_effect(curve, 20.0, 1e7),
        thermal_emf_effect(curve, 20.0, 2.0, 1.0),
    ]
}

/// What stands on an emf, at 20 °C.
fn of_emf(curve: &dyn SensorCurve) -> [calcore::Result<f64>; 3] {
    [
        measured_emf(curve, 20.0, 25.0),
        measuring_junction(curve, 0.1, 25.0).map(|reading| reading.t_c),
        reference_junction_effect(curve, 20.0, 25.0, 1.0).map(|effect| effect.error_k),
    ]
}

#[test]
fn another_kind_of_sensor_is_refused() {
    let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
    let thermistor = BetaThermistor::new(1e4, 3950.0).unwrap();
    let sprt = Sprt::new(25.5, Subrange::from_name("3.3.2.2").unwrap(), &[-1e-4, 1e-6]).unwrap();
    let rows = (&[0.0, 50.0, 100.0], &[100.0, 119.4, 138.5]);
    let table = |what, unit| TabulatedCurve::with_unit(rows.0, rows.1, Interpolation::Linear, what, unit).unwrap();
    let table_ohm = table("resistance", "ohm");
    let resistances: [&dyn SensorCurve; 4] = [&pt100, &thermistor, &sprt, &table_ohm];
    for curve in resistances {
        assert!(of_resistance(curve).iter().all(Result::is_ok), "{curve:?}");
        for refused in of_emf(curve) {
            let error = refused.unwrap_err();
            assert_eq!(error.code(), 104);
            let message = error.to_string();
            assert!(message.contains("resistance in ohm") && message.contains("emf in mV"), "{message}");
        }
    }
    let (k, table_mv) = (Thermocouple::new("K").unwrap(), table("emf", "mV"));
    let emfs: [&dyn SensorCurve; 2] = [&k, &table_mv];
    for curve in emfs {
        assert!(of_emf(curve).iter().all(Result::is_ok), "{curve:?}");
        for refused in of_resistance(curve) {
            assert_eq!(refused.map_err(|e| e.code()), Err(104));
        }
    }
    // A table that does not say what its signal is may be either.
    let open = TabulatedCurve::new(rows.0, rows.1, Interpolation::Linear).unwrap();
    assert!(of_resistance(&open).iter().all(Result::is_ok) && of_emf(&open).iter().all(Result::is_ok));
}

// Witness: the methods of the thermocouple itself, whose values are those of IEC 60584-1 (validation.rs). With 20 °C at the
// reference junction, below the minimum of type B, an emf on the upper side is read all the same.
#[test]
fn type_b_on_its_upper_side_has_its_reference_junction_below() {
    let b = Thermocouple::new("B").unwrap().on_side(Side::Upper).unwrap();
    let mv = b.emf(1000.0, 20.0).unwrap();
    assert_eq!(measured_emf(&b, 1000.0, 20.0), Ok(mv));
    let reading = measuring_junction(&b, mv, 20.0).unwrap();
    assert_eq!(Ok(reading.t_c), b.temperature(mv, 20.0));
    // The emf falls below 21.02 °C: a warmer junction makes the reading rise there, by a little.
    let effect = reference_junction_effect(&b, 1000.0, 20.0, 1.0).unwrap();
    let read_c = b.temperature(b.emf(1000.0, 21.0).unwrap(), 20.0).unwrap();
    // The two ways to the same emf differ by roundings of 5 mV over 9 µV/K.
    assert!((effect.error_k - (read_c - 1000.0)).abs() < 1e-12 && effect.error_k > 0.0, "{effect:?}");
    assert!(reading.per_reference_k < 0.0);
    assert_eq!(measured_emf(&b, 1000.0, -1.0).map_err(|e| e.code()), Err(102));
    // On the lower side the junction may be warmer than the minimum.
    let lower = Thermocouple::new("B").unwrap().on_side(Side::Lower).unwrap();
    assert_eq!(measured_emf(&lower, 10.0, 30.0), lower.emf(10.0, 30.0));
}

// Type A gives 0.7 µV at 0 °C; a reference junction at exactly 0 °C takes nothing away, as for the thermocouple itself.
#[test]
fn type_a_is_read_as_by_its_own_methods() {
    let a = Thermocouple::new("A").unwrap();
    for reference_c in [0.0, 25.0] {
        let mv = a.emf(500.0, reference_c).unwrap();
        assert_eq!(measured_emf(&a, 500.0, reference_c), Ok(mv));
        assert_eq!(measuring_junction(&a, mv, reference_c).map(|r| r.t_c), a.temperature(mv, reference_c));
    }
}
