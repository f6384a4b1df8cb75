//! Lines of a budget from what certificates and tests state.

use crate::error::{Error, Result, finite, not_negative, positive};
use crate::uncertainty::budget::{Budget, Contribution};
use crate::uncertainty::coverage::Coverage;
use crate::uncertainty::distribution::Shape;

/// Lines in the making. Every sensitivity is in the unit of the result over that of the source.
pub(super) struct Lines(Vec<Contribution>);

impl Lines {
    pub(super) fn new() -> Self {
        Self(Vec::new())
    }

    fn add(mut self, name: &'static str, u: f64, shape: Shape, degrees: f64, sensitivity: f64) -> Result<Self> {
        self.0.push(Contribution::new(name, 0.0, u, shape, degrees, finite(name, sensitivity)?)?);
        Ok(self)
    }

    /// An expanded uncertainty with the coverage factor of its certificate: normal, u = U/k.
    pub(super) fn expanded(self, name: &'static str, expanded: f64, factor: f64, sensitivity: f64) -> Result<Self> {
        let u = not_negative(name, expanded, "")? / positive("coverage factor", factor, "")?;
        self.add(name, u, Shape::Normal, f64::INFINITY, sensitivity)
    }

    /// A standard uncertainty with its degrees of freedom.
    pub(super) fn standard(self, name: &'static str, u: f64, degrees: f64, sensitivity: f64) -> Result<Self> {
        self.add(name, not_negative(name, u, "")?, Shape::Normal, degrees, sensitivity)
    }

    /// Limits ± a: rectangular, u = a/√3.
    pub(super) fn half_width(self, name: &'static str, a: f64, sensitivity: f64) -> Result<Self> {
        let u = not_negative(name, a, "")? / 3f64.sqrt();
        self.add(name, u, Shape::Rectangular, f64::INFINITY, sensitivity)
    }

    /// One step of a display: rectangular, u = q/√12.
    pub(super) fn step(self, name: &'static str, step: f64, sensitivity: f64) -> Result<Self> {
        let u = not_negative(name, step, "")? / 12f64.sqrt();
        self.add(name, u, Shape::Rectangular, f64::INFINITY, sensitivity)
    }

    /// Mean of n readings with standard deviation s: s/√n with n − 1 degrees of freedom.
    pub(super) fn scatter(self, name: &'static str, s: f64, readings: u32, sensitivity: f64) -> Result<Self> {
        if readings < 2 {
            return Err(Error::TooFewPoints {
                what: name,
                needed: 2,
                found: readings as usize,
                hint: "for one reading state a standard deviation from earlier ones as a line of its own",
            });
        }
        let n = f64::from(readings);
        let u = not_negative(name, s, "")? / n.sqrt();
        self.add(name, u, Shape::Normal, n - 1.0, sensitivity)
    }

    pub(super) fn budget(self, value: f64, coverage: Coverage) -> Result<Budget> {
        Budget::from_contributions(value, self.0, coverage)
    }
}
