//! Measurement models of the trade whose sensitivities are known in closed form: a reading made up of terms, a sensor curve,
//! and terms added to the result.
//!
//! They need no numerical differentiation and no call back into the user's code: a budget costs little more than its lines,
//! and whole arrays of set points go through at once ([`MeasurementModel::at_points`]).

mod at_points;
mod block;
mod combine;
mod evaluate;
mod expand;
mod points;
mod running;
mod together;
mod trials;

pub use points::{AtPoints, PointBudgets, PointInput, PointOptions, PointSlices};

use crate::curves::SensorCurve;
use crate::error::{Error, Result, finite};
use std::sync::Arc;

/// Where an input enters a [`MeasurementModel`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Place {
    /// k x is added to the reading: ohm, millivolt, or what the sum is in.
    Reading,
    /// k S(x), the signal of the curve at the temperature x, is added to the reading: a reference junction.
    Junction,
    /// The reading is multiplied by k x: the resistance of a standard resistor in a bridge.
    Factor,
    /// The reading is divided by k x: the resistance at the triple point of water over its nominal value.
    Divisor,
    /// The reading is multiplied by 1 + Σ k x: gain errors, x as a fraction.
    Relative,
    /// k x is added to the result.
    Result,
}

impl Place {
    /// The name, in small letters.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Reading => "reading",
            Self::Junction => "junction",
            Self::Factor => "factor",
            Self::Divisor => "divisor",
            Self::Relative => "relative",
            Self::Result => "result",
        }
    }
}

/// An input of a [`MeasurementModel`]: its name, where it enters, and its coefficient k there.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// Name, as it stands in the budget.
    pub name: String,
    /// Where it enters.
    pub place: Place,
    /// Coefficient k.
    pub coefficient: f64,
}

impl Term {
    /// A term with its coefficient.
    #[must_use]
    pub fn new(name: impl Into<String>, place: Place, coefficient: f64) -> Self {
        Self { name: name.into(), place, coefficient }
    }
}

/// What stands between reading and result.
#[derive(Debug, Clone)]
enum Chain {
    Nothing,
    Temperature(Arc<dyn SensorCurve>),
    Signal(Arc<dyn SensorCurve>),
}

/// A result by a reading and a sensor curve, with known sensitivities.
///
/// # Formula
/// y = w F(s g) + Σ kᵢ xᵢ (result), s = Σ kᵢ xᵢ (reading) + Σ kᵢ S(xᵢ) (junction), g = Π kᵢ xᵢ (factor) / Π kᵢ xᵢ (divisor) ·
/// (1 + Σ kᵢ xᵢ (relative)); F is the temperature that gives a signal, the signal at a temperature, or nothing; w is the weight,
/// 1 unless stated. With r = w F'(s g) the sensitivities are k g r; k S'(x) g r; s g r/x; −s g r/x; k s g r/(1 + Σ…); k.
///
/// # Source
/// JCGM 100:2008, 5.1.3 (sensitivities); the form is that of EA-4/02 M:2022, S5 and S10 (readings with corrections): common
/// practice.
///
/// # Example
/// ```
/// use calcore::curves::CallendarVanDusen;
/// use calcore::uncertainty::measurement_model::{MeasurementModel, Place, Term};
/// use calcore::uncertainty::{Coverage, Distribution};
/// use std::sync::Arc;
/// let model = MeasurementModel::temperature(
///     Arc::new(CallendarVanDusen::iec60751(100.0)?),
///     vec![
///         Term::new("bridge", Place::Reading, 1.0),
///         Term::new("leads", Place::Reading, 1.0),
///         Term::new("axial", Place::Result, 1.0),
///     ],
/// )?;
/// let inputs = [
///     Distribution::normal(138.5055, 0.003)?,
///     Distribution::rectangular(-0.002, 0.002)?,
///     Distribution::rectangular(-0.05, 0.05)?,
/// ];
/// let budget = model.budget(&inputs, None, Coverage::Factor(2.0))?;
/// assert!((budget.value - 100.0).abs() < 1e-12);
/// assert!((budget.contributions[0].sensitivity * 0.379_28 - 1.0).abs() < 1e-12); // 1/(R0 (A + 2 B t)), K/ohm
/// # Ok::<(), calcore::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct MeasurementModel {
    chain: Chain,
    terms: Vec<Term>,
    weight: f64,
}

impl MeasurementModel {
    /// The reading itself is the result.
    ///
    /// # Errors
    /// [`Error::NotFinite`] for a coefficient; [`Error::UnknownName`] for a name that stands twice; [`Error::InvalidValue`] for
    /// a factor or divisor with the coefficient 0, or a junction, which needs a curve.
    pub fn linear(terms: Vec<Term>) -> Result<Self> {
        if let Some(term) = terms.iter().find(|term| term.place == Place::Junction) {
            return Err(Error::InvalidValue {
                what: "coefficient of a junction",
                value: term.coefficient,
                unit: "",
                requirement: format!("{} needs the curve of a sensor, and the model has none", term.name),
            });
        }
        Self::checked(Chain::Nothing, terms)
    }

    /// The result is the temperature, °C, at which the curve gives the reading.
    ///
    /// # Errors
    /// [`Error::NotFinite`] for a coefficient; [`Error::UnknownName`] for a name that stands twice; [`Error::InvalidValue`] for
    /// a factor or divisor with the coefficient 0.
    pub fn temperature(curve: Arc<dyn SensorCurve>, terms: Vec<Term>) -> Result<Self> {
        Self::checked(Chain::Temperature(curve), terms)
    }

    /// The result is the signal of the curve at the reading, which is a temperature, °C.
    ///
    /// # Errors
    /// As [`MeasurementModel::temperature`].
    pub fn signal(curve: Arc<dyn SensorCurve>, terms: Vec<Term>) -> Result<Self> {
        Self::checked(Chain::Signal(curve), terms)
    }

    fn checked(chain: Chain, terms: Vec<Term>) -> Result<Self> {
        for (i, term) in terms.iter().enumerate() {
            let coefficient = finite("coefficient of a term", term.coefficient)?;
            if matches!(term.place, Place::Factor | Place::Divisor) && coefficient.abs() <= 0.0 {
                return Err(Error::InvalidValue {
                    what: "coefficient of a factor",
                    value: coefficient,
                    unit: "",
                    requirement: format!("that of {} must not be 0", term.name),
                });
            }
            if terms[..i].iter().any(|other| other.name == term.name) {
                return Err(Error::UnknownName {
                    what: "new input of a model",
                    name: term.name.clone(),
                    expected: "a name that the model does not have yet".into(),
                });
            }
        }
        Ok(Self { chain, terms, weight: 1.0 })
    }

    /// The same model with what the curve gives, or the reading itself, multiplied by a number: −1 where it is subtracted
    /// from an indication among the terms of the result.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn with_weight(mut self, weight: f64) -> Result<Self> {
        self.weight = finite("weight", weight)?;
        Ok(self)
    }

    /// The inputs, in the order in which their values are given.
    #[must_use]
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }

    /// What the curve gives is multiplied by this.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.weight
    }

    fn curve(&self) -> Option<&dyn SensorCurve> {
        match &self.chain {
            Chain::Nothing => None,
            Chain::Temperature(curve) | Chain::Signal(curve) => Some(&**curve),
        }
    }

    fn has(&self, places: &[Place]) -> bool {
        self.terms.iter().any(|term| places.contains(&term.place))
    }
}
