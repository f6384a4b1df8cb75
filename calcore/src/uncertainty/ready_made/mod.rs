//! The budgets of the trade, each named by its guide. All are plain [`Budget`](super::Budget)s of independent sources:
//! lines are added, replaced and removed by name ([`Budget::with`](super::Budget::with) and its siblings), the coverage
//! factor of dominating rectangles comes from
//! [`Budget::with_coverage_of_shapes`](super::Budget::with_coverage_of_shapes).
//!
//! Numbers alone go in: half-widths, steps, expanded uncertainties, sensitivities. Every field must be stated; what does not
//! apply is 0, and its line stands in the budget with 0. What is *not* in such a budget: the specified accuracy of what is
//! calibrated, its drift until the next calibration, and what it does in service.

mod lines;

pub mod indicator;
pub mod instrument_in_block;
pub mod liquid_bath;
pub mod reference_probe;
pub mod rtd_comparison;
pub mod temperature_block;
pub mod thermocouple_comparison;
pub mod transmitter;

pub use indicator::IndicatorBySimulation;
pub use instrument_in_block::InstrumentInBlock;
pub use liquid_bath::LiquidBath;
pub use reference_probe::ReferenceProbe;
pub use rtd_comparison::RtdComparison;
pub use temperature_block::TemperatureBlock;
pub use thermocouple_comparison::{ThermocoupleEmf, ThermocoupleFurnace};
pub use transmitter::Transmitter;
