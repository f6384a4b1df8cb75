//! Linearity and hysteresis of readings, and the error of a linear reading, against calculations by hand.

use super::Check;
use crate::curves::CallendarVanDusen;
use crate::error::Result;
use crate::linearization::{Basis, Choice, Cycles, ReadingUncertainty, linearity};

const PERCENT: [f64; 5] = [0.0, 25.0, 50.0, 75.0, 100.0];

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    straight(all)?;
    cycle(all)?;
    linear_in_resistance(all)
}

/// Terminal line 0.02 + 0.0002 x, departure at 50: 0.13. Through the lower end, balanced between 50 and 100: slope 0.16/150,
/// departure 0.26/3. The best line halves the terminal departure, since its edge joins the ends.
fn straight(all: &mut Vec<Check>) -> Result<()> {
    let errors = [0.02, 0.10, 0.16, 0.12, 0.04];
    for (basis, published) in [(Basis::Terminal, 0.13), (Basis::Zero, 0.26 / 3.0), (Basis::Independent, 0.065)] {
        let found = linearity(&PERCENT, &errors, None, basis, ReadingUncertainty::Nothing)?;
        all.push(Check {
            source: "IEC 61298-2:2008, definitions (from memory); value by hand".into(),
            quantity: format!("linearity, {}, of errors 0.02, 0.10, 0.16, 0.12, 0.04", basis.name()),
            unit: "",
            published,
            // A few roundings of numbers below 0.2.
            tolerance: 2e-16,
            computed: found.largest,
        });
    }
    Ok(())
}

/// Largest difference of the two directions, at the middle: 0.17 - 0.11.
fn cycle(all: &mut Vec<Check>) -> Result<()> {
    let (up, down) = ([0.00, 0.05, 0.11, 0.13, 0.10], [0.02, 0.10, 0.17, 0.16, 0.10]);
    let cycles = Cycles {
        x: &PERCENT,
        expected: &[0.0; 5],
        up: &[&up],
        down: &[&down],
        span: 100.0,
        dead_band: 0.0,
        uncertainty: ReadingUncertainty::Nothing,
    };
    let found = cycles.figures()?.hysteresis;
    all.push(Check {
        source: "IEC 61298-2:2008, definitions (from memory); value by hand".into(),
        quantity: "hysteresis of errors 0, 0.05, 0.11, 0.13, 0.10 up and 0.02, 0.10, 0.17, 0.16, 0.10 down".into(),
        unit: "",
        published: 0.06,
        // Half a unit of the last place of 0.17 and of 0.11, and of their difference.
        tolerance: 3e-17,
        computed: found.map_or(f64::NAN, |figure| figure.value),
    });
    Ok(())
}

/// With R = R0 (1 + A t + B t²) a line through both ends of 0 to h is off by -B h²/4 over A + B h at the middle: 0.375 K.
fn linear_in_resistance(all: &mut Vec<Check>) -> Result<()> {
    let pt100 = CallendarVanDusen::iec60751(100.0)?;
    let found = Choice::linear(&pt100, 0.0, 100.0, Basis::Terminal)?.largest(0.0, 100.0)?;
    all.push(Check {
        source: "IEC 60751:2022, coefficients; value by hand".into(),
        quantity: "largest error of a Pt100 taken for linear between 0 and 100 °C".into(),
        unit: "K",
        published: 0.375,
        // Half of the last digit; the bound is 0.1 % above what is reached at most, which is 0.374_946 K.
        tolerance: 5e-4,
        computed: found.largest_k,
    });
    Ok(())
}
