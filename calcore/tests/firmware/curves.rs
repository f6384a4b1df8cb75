//! Curves and ranges on which tables and polynomials are tried.

use calcore::curves::{
    BetaThermistor, CallendarVanDusen, Interpolation, PolynomialRtd, SensorCurve, Side, SteinhartHart, TabulatedCurve,
    Thermocouple, ThermocoupleType,
};
use calcore::fit::CorrectedCurve;
use calcore::linearization::Direction;

/// A curve over a range.
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) curve: Box<dyn SensorCurve>,
    pub(crate) low_c: f64,
    pub(crate) high_c: f64,
}

/// A curve by the names of `tests/reference/linearization_*.csv`.
pub(crate) fn by_name(name: &str) -> Box<dyn SensorCurve> {
    match name {
        "pt100" => Box::new(CallendarVanDusen::iec60751(100.0).unwrap()),
        "beta3950" => Box::new(BetaThermistor::new(1e4, 3950.0).unwrap()),
        letter => Box::new(Thermocouple::new(letter).unwrap()),
    }
}

/// All letters, resistance thermometers on both sides of 0 °C, falling curves, kinks.
pub(crate) fn cases() -> Vec<Case> {
    let mut all: Vec<Case> = Vec::new();
    let mut add = |name: &str, curve: Box<dyn SensorCurve>, low_c: f64, high_c: f64| {
        all.push(Case { name: format!("{name} {low_c} to {high_c}"), curve, low_c, high_c });
    };
    for kind in ThermocoupleType::ALL {
        let thermocouple = Thermocouple::from(kind);
        let range = thermocouple.range();
        let low_c = match kind {
            // The emf of type B turns at 21 °C; the others are nearly flat at the lower end.
            ThermocoupleType::B => 100.0,
            _ if range.low < -200.0 => -200.0,
            _ => range.low,
        };
        add(kind.letter(), Box::new(thermocouple), low_c, range.high);
        add(kind.letter(), Box::new(thermocouple), 250.0, 350.0);
    }
    add("B, lower side", Box::new(Thermocouple::new("B").unwrap().on_side(Side::Lower).unwrap()), 0.0, 15.0);
    let pt100 = CallendarVanDusen::iec60751(100.0).unwrap();
    for (low_c, high_c) in [(-200.0, 850.0), (-200.0, 0.0), (-50.0, 50.0), (0.0, 100.0)] {
        add("Pt100", Box::new(pt100), low_c, high_c);
    }
    // Kinks at 0 °C and 100 °C.
    let copper = PolynomialRtd::standard("gost6651_cu428", 100.0).unwrap();
    add("copper", Box::new(copper), -180.0, 200.0);
    let nickel = PolynomialRtd::standard("gost6651_ni617", 100.0).unwrap();
    add("nickel", Box::new(nickel), -60.0, 180.0);
    add("thermistor", Box::new(BetaThermistor::new(1e4, 3950.0).unwrap()), -20.0, 100.0);
    add("thermistor", Box::new(SteinhartHart::new(1.1738e-3, 2.4e-4, 1.5e-7).unwrap()), 0.0, 70.0);
    let (t_c, ohm) = ([0.0, 10.0, 25.0, 60.0, 100.0], [100.0, 104.0, 109.5, 125.0, 137.0]);
    for interpolation in [Interpolation::Linear, Interpolation::MonotoneCubic] {
        add("table", Box::new(TabulatedCurve::new(&t_c, &ohm, interpolation).unwrap()), 0.0, 100.0);
    }
    // An individual sensor: a standard curve with a fitted deviation (made up).
    let k = CorrectedCurve::new(Thermocouple::new("K").unwrap(), &[0.0, 2e-5, -3e-8], -100.0, 900.0).unwrap();
    add("K with a deviation", Box::new(k), -100.0, 900.0);
    all
}

/// Temperatures at which one of the curves has a kink, °C.
const KINKS_C: [f64; 5] = [0.0, 10.0, 25.0, 60.0, 100.0];

/// Temperatures all over a range, dense and not on any grid that an algorithm may use, and ever closer to kinks, beside which
/// errors have narrow peaks.
pub(crate) fn dense(low_c: f64, high_c: f64, count: usize) -> Vec<f64> {
    let inner = (0..count).map(|i| low_c + (high_c - low_c) * (i as f64 + 0.37) / count as f64);
    let beside = (0..90).flat_map(|k| [-1.0, 1.0].map(|side| side * 100.0 * 0.7f64.powi(k)));
    let near_kinks = beside.flat_map(|away| KINKS_C.map(|kink_c| kink_c + away));
    let all = [low_c, high_c].into_iter().chain(KINKS_C).chain(inner).chain(near_kinks);
    all.filter(|t_c| *t_c >= low_c && *t_c <= high_c).collect()
}

/// Argument and value of a curve at a temperature.
pub(crate) fn point(curve: &dyn SensorCurve, direction: Direction, t_c: f64) -> (f64, f64) {
    let signal = curve.signal(t_c).unwrap();
    match direction {
        Direction::SignalToTemperature => (signal, t_c),
        Direction::TemperatureToSignal => (t_c, signal),
    }
}

/// Both directions.
pub(crate) const DIRECTIONS: [Direction; 2] = [Direction::SignalToTemperature, Direction::TemperatureToSignal];
