//! From the reading of an instrument to the temperature it stands for, and back.

use super::curve::CurveDescription;
use super::instrument::{Instrument, RangeDescription, ToleranceDescription};
use super::links::{ReferenceJunctionDescription, WiringDescription};
use super::reference::{CorrectionTable, ImmersionDescription, SelfHeatingDescription};
use super::run::Reference;
use super::unit::Unit;
use crate::circuit::{
    CurrentLoop, Display, Rounding, measured_emf, measuring_junction, reference_junction_effect, two_wire_element,
    two_wire_reading,
};
use crate::curves::{
    BetaThermistor, CallendarVanDusen, PolynomialRtd, SensorCurve, Sprt, SteinhartHart, TabulatedCurve, Thermocouple,
};
use crate::error::Result;
use crate::its90::Subrange;
use crate::temperature::{Scale, TemperatureUnit};
use crate::tolerance::Tolerance;

/// What the readings of one instrument or reference stand for.
#[derive(Debug)]
pub(super) struct Conversion {
    kind: Kind,
    /// Mean error of a display that cuts digits off, in its unit.
    cut_off: f64,
    /// Both leads of a resistance.
    leads_ohm: Option<f64>,
    /// Temperature of the reference junction of a voltage, where its emf is to be added, °C.
    junction_c: Option<f64>,
    /// Corrections, scale and self-heating of a reference.
    certificate: Option<Certificate>,
}

#[derive(Debug)]
enum Kind {
    /// A resistance, a voltage or anything else on a curve.
    Curve(Box<dyn SensorCurve>),
    /// A current, linear in temperature.
    Current(CurrentLoop),
    /// A temperature in a unit of its own.
    Temperature(TemperatureUnit),
}

#[derive(Debug)]
struct Certificate {
    scale: Option<Scale>,
    readout: Option<CorrectionTable>,
    temperature: Option<CorrectionTable>,
    self_heating: Option<SelfHeatingDescription>,
    immersion: Option<ImmersionDescription>,
}

impl Conversion {
    pub(super) fn of_reference(reference: &Reference) -> Result<Self> {
        let kind = match (&reference.curve, temperature_unit(reference.unit)) {
            (Some(curve), _) => Kind::Curve(curve.build()?),
            (None, Some(unit)) => Kind::Temperature(unit),
            (None, None) => Kind::Curve(CurveDescription::Iec60751 { r0: 100.0 }.build()?),
        };
        let certificate = Certificate {
            scale: reference.scale,
            readout: reference.readout_correction.clone(),
            temperature: reference.temperature_correction.clone(),
            self_heating: reference.self_heating,
            immersion: reference.immersion,
        };
        let plain = certificate.scale.is_none()
            && certificate.readout.is_none()
            && certificate.temperature.is_none()
            && certificate.self_heating.is_none()
            && certificate.immersion.is_none();
        let certificate = (!plain).then_some(certificate);
        let mut it = Self { kind, cut_off: 0.0, leads_ohm: None, junction_c: None, certificate };
        it.set_junction(reference.reference_junction, None)?;
        Ok(it)
    }

    pub(super) fn of_instrument(instrument: &Instrument) -> Result<Self> {
        let kind = match (&instrument.curve, &instrument.transfer, temperature_unit(instrument.unit)) {
            (Some(curve), _, _) => Kind::Curve(curve.build()?),
            (None, Some(transfer), _) => Kind::Curve(transfer.build(instrument.range, instrument.unit)?),
            (None, None, Some(unit)) => Kind::Temperature(unit),
            (None, None, None) => {
                let (low_c, high_c) = instrument.range.ends_c()?;
                Kind::Current(CurrentLoop::new(low_c, high_c)?)
            }
        };
        let leads_ohm = instrument.wiring.map(WiringDescription::leads_ohm);
        let cut_off = match instrument.rounding {
            Some(Rounding::Truncate) => Display::new(instrument.resolution, Rounding::Truncate)?.mean_error(),
            Some(Rounding::Nearest) | None => 0.0,
        };
        let mut it = Self { kind, cut_off, leads_ohm, junction_c: None, certificate: None };
        it.set_junction(instrument.reference_junction, None)?;
        Ok(it)
    }

    /// Takes the emf of the reference junction, at another temperature than described if one is given.
    pub(super) fn set_junction(
        &mut self,
        junction: Option<ReferenceJunctionDescription>,
        measured_c: Option<f64>,
    ) -> Result<()> {
        let (Some(junction), Kind::Curve(curve)) = (junction, &self.kind) else { return Ok(()) };
        self.junction_c = junction.t_c().map(|t_c| measured_c.unwrap_or(t_c));
        match self.junction_c {
            // Refused here rather than at every reading.
            Some(t_c) => curve.junction_signal(t_c).map(|_| ()),
            None => Ok(()),
        }
    }

    /// Signal of the sensor itself behind a reading: without what display and leads add.
    pub(super) fn sensor_signal(&self, reading: f64) -> Result<f64> {
        let value = reading - self.cut_off;
        self.leads_ohm.map_or(Ok(value), |leads_ohm| two_wire_element(value, leads_ohm, 0.0))
    }

    /// Temperature that a reading stands for, °C.
    pub(super) fn to_c(&self, value: f64) -> Result<f64> {
        let mut value = value - self.cut_off;
        if let Some(table) = self.certificate.as_ref().and_then(|c| c.readout.as_ref()) {
            value += table.value(value)?;
        }
        if let Some(leads_ohm) = self.leads_ohm {
            value = two_wire_element(value, leads_ohm, 0.0)?;
        }
        let mut t_c = match (&self.kind, self.junction_c) {
            (Kind::Curve(curve), Some(junction_c)) => measuring_junction(&**curve, value, junction_c)?.t_c,
            (Kind::Curve(curve), None) => curve.temperature(value)?,
            (Kind::Current(current), _) => current.value(value)?,
            (Kind::Temperature(unit), _) => unit.to_c(value)?,
        };
        if let Some(certificate) = &self.certificate {
            if let Some(scale) = certificate.scale {
                t_c = scale.to_its90(t_c)?;
            }
            if let Some(table) = &certificate.temperature {
                t_c += table.value(t_c)?;
            }
            if let Some(heating) = certificate.self_heating {
                t_c -= heating.excess_k(value)?;
            }
            if let Some(stem) = certificate.immersion {
                t_c = stem.true_temperature(t_c)?;
            }
        }
        Ok(t_c)
    }

    /// Reading of an instrument that a temperature calls for.
    pub(super) fn reading_at(&self, t_c: f64) -> Result<f64> {
        let mut value = match (&self.kind, self.junction_c) {
            (Kind::Curve(curve), Some(junction_c)) => measured_emf(&**curve, t_c, junction_c)?,
            (Kind::Curve(curve), None) => curve.signal(t_c)?,
            (Kind::Current(current), _) => current.current(t_c)?,
            (Kind::Temperature(unit), _) => unit.from_c(t_c)?,
        };
        if let Some(leads_ohm) = self.leads_ohm {
            value = two_wire_reading(value, leads_ohm, 0.0)?;
        }
        Ok(value + self.cut_off)
    }

    /// Size of one unit of the reading at a temperature, K, as an amount.
    pub(super) fn k_per_unit(&self, t_c: f64) -> Result<f64> {
        match &self.kind {
            Kind::Curve(curve) => Ok(1.0 / curve.slope(t_c)?.abs()),
            Kind::Current(current) => Ok(current.kelvins_per_ma().abs()),
            Kind::Temperature(unit) => unit.difference_to_k(1.0),
        }
    }

    /// How far the result moves per kelvin of the reference junction: the ratio of the slopes there and at the hot end.
    pub(super) fn junction_sensitivity(&self, junction_c: f64, t_c: f64) -> Result<f64> {
        match &self.kind {
            Kind::Curve(curve) => Ok(-reference_junction_effect(&**curve, t_c, junction_c, 0.0)?.error_k_per_unit),
            Kind::Current(_) | Kind::Temperature(_) => Ok(0.0),
        }
    }
}

impl CurveDescription {
    /// The curve itself.
    ///
    /// # Errors
    /// What the constructor of the curve refuses.
    pub fn build(&self) -> Result<Box<dyn SensorCurve>> {
        Ok(match self {
            Self::Iec60751 { r0 } => Box::new(CallendarVanDusen::iec60751(*r0)?),
            Self::CallendarVanDusen { r0, a, b, c } => Box::new(CallendarVanDusen::new(*r0, *a, *b, *c)?),
            Self::Sprt { r_tpw, subrange, coefficients } => {
                Box::new(Sprt::new(*r_tpw, Subrange::from_name(subrange)?, coefficients)?)
            }
            Self::PolynomialRtd { name, r0 } => Box::new(PolynomialRtd::standard(name, *r0)?),
            Self::SteinhartHart { a, b, c } => Box::new(SteinhartHart::new(*a, *b, *c)?),
            Self::BetaThermistor { r25, beta } => Box::new(BetaThermistor::new(*r25, *beta)?),
            Self::Thermocouple { letter } => Box::new(Thermocouple::new(letter)?),
            Self::Table { t_c, signal, interpolation } => Box::new(TabulatedCurve::new(t_c, signal, *interpolation)?),
        })
    }

    /// The curve as one of Callendar and Van Dusen, if it is one.
    pub(super) fn callendar_van_dusen(&self) -> Result<Option<CallendarVanDusen>> {
        match *self {
            Self::Iec60751 { r0 } => CallendarVanDusen::iec60751(r0).map(Some),
            Self::CallendarVanDusen { r0, a, b, c } => CallendarVanDusen::new(r0, a, b, c).map(Some),
            _ => Ok(None),
        }
    }

    /// Unit in which it gives its signal; none where any will do.
    pub(super) fn unit(&self) -> Option<Unit> {
        match self {
            Self::Table { .. } => None,
            Self::Thermocouple { .. } => Some(Unit::Millivolt),
            _ => Some(Unit::Ohm),
        }
    }
}

impl RangeDescription {
    /// Both ends in °C, in the order of the description.
    pub(super) fn ends_c(&self) -> Result<(f64, f64)> {
        let unit = temperature_unit(self.unit).unwrap_or(TemperatureUnit::Celsius);
        Ok((unit.to_c(self.low)?, unit.to_c(self.high)?))
    }
}

impl ToleranceDescription {
    /// The tolerance in kelvin; `k_per_unit` is the size of the unit of the instrument's readings.
    pub(super) fn build(&self, instrument: &Instrument, k_per_unit: f64) -> Result<Tolerance> {
        Ok(match self {
            Self::Absolute { half_width, unit } => {
                let size = if *unit == Unit::Kelvin { 1.0 } else { k_per_unit };
                Tolerance::Absolute { half_width_k: half_width * size }
            }
            Self::PercentOfSpan { percent } => {
                let (low_c, high_c) = instrument.range.ends_c()?;
                Tolerance::PercentOfSpan { percent: *percent, low_c, high_c }
            }
            Self::PercentOfReading { percent } => Tolerance::PercentOfReading { percent: *percent },
            Self::Iec60751 { class, construction } => {
                Tolerance::Iec60751 { class: class.clone(), construction: construction.unwrap_or_default() }
            }
            Self::Iec60584 { letter, class } => Tolerance::Iec60584 { letter: letter.clone(), class: *class },
            Self::AstmE230 { letter, limits } => Tolerance::AstmE230 { letter: letter.clone(), limits: limits.clone() },
            Self::AstmE1137 { grade } => Tolerance::AstmE1137 { grade: grade.clone() },
            Self::Gost6651 { material, class } => {
                Tolerance::Gost6651 { material: material.clone(), class: class.clone() }
            }
            Self::Asymmetric { lower_k, upper_k } => Tolerance::Asymmetric { lower_k: *lower_k, upper_k: *upper_k },
            Self::Sum(parts) => Tolerance::Sum(Self::build_all(parts, instrument, k_per_unit)?),
            Self::Max(parts) => Tolerance::Max(Self::build_all(parts, instrument, k_per_unit)?),
        })
    }

    fn build_all(parts: &[Self], instrument: &Instrument, k_per_unit: f64) -> Result<Vec<Tolerance>> {
        parts.iter().map(|part| part.build(instrument, k_per_unit)).collect()
    }
}

/// The unit of temperature, if it is one.
pub(super) fn temperature_unit(unit: Unit) -> Option<TemperatureUnit> {
    match unit {
        Unit::Celsius => Some(TemperatureUnit::Celsius),
        Unit::Fahrenheit => Some(TemperatureUnit::Fahrenheit),
        Unit::Kelvin => Some(TemperatureUnit::Kelvin),
        Unit::Ohm | Unit::Milliampere | Unit::Millivolt | Unit::Volt | Unit::Percent | Unit::One => None,
    }
}
