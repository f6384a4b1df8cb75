//! New coefficients for the element, from its readings beside the reference.

use super::convert::Conversion;
use super::covariance::shared;
use super::curve::CurveDescription;
use super::evaluate::{EvaluatedInstrument, EvaluatedPoint};
use super::instrument::LinkKind;
use super::result::{ElementFit, Warning};
use super::terms::ScopedTerm;
use crate::curves::CallendarVanDusen;
use crate::error::Result;
use crate::fit::{CallendarVanDusenFit, CallendarVanDusenOptions, FixedCoefficients, Stated, callendar_van_dusen};

/// C is fitted only from at least two points below 0 °C, the lowest at this temperature or below; else a fitted C is
/// worse than the one it was set to. Common practice, no source.
const LOWEST_POINT_FOR_C: f64 = -40.0;

const NAMES: [&str; 4] = ["r0", "a", "b", "c"];

/// Fits every element that was read. An element that cannot be fitted is left out, with a warning that says why.
pub(super) fn fit_elements(
    evaluated: &[EvaluatedInstrument<'_>],
    warnings: &mut Vec<Warning>,
) -> Result<Vec<ElementFit>> {
    let mut fits = Vec::new();
    for element in evaluated.iter().filter(|one| one.instrument.kind == LinkKind::Element) {
        let conversion = Conversion::of_instrument(element.instrument)?;
        let curve = match element.instrument.curve.as_ref().map(CurveDescription::callendar_van_dusen) {
            Some(curve) => curve?,
            None => None,
        };
        let Some(curve) = curve else {
            warnings.push(Warning {
                code: "no_element_fit".into(),
                path: "element_fits".into(),
                message: format!("no new coefficients for {:?}: its curve is none of platinum", element.instrument.tag),
            });
            continue;
        };
        let path = format!("element_fits[{}]", fits.len());
        match fit(element, &curve, &conversion) {
            Ok((fit, new)) => {
                for warning in &fit.report.warnings {
                    warnings.push(Warning {
                        code: warning.code.name().into(),
                        path: path.clone(),
                        message: warning.text.clone(),
                    });
                }
                fits.push(new);
            }
            Err(error) => warnings.push(Warning {
                code: "no_element_fit".into(),
                path: "element_fits".into(),
                message: format!("no new coefficients for {:?}: {error}", element.instrument.tag),
            }),
        }
    }
    Ok(fits)
}

fn fit(
    element: &EvaluatedInstrument<'_>,
    curve: &CallendarVanDusen,
    conversion: &Conversion,
) -> Result<(CallendarVanDusenFit, ElementFit)> {
    let points = &element.points;
    let t_c: Vec<f64> = points.iter().map(|point| point.result.reference_c).collect();
    let ohm = points.iter().map(|p| conversion.sensor_signal(p.result.reading)).collect::<Result<Vec<f64>>>()?;
    let mut u_ohm = Vec::with_capacity(points.len());
    for point in points {
        let private: f64 = point.terms.iter().filter(|term| !term.is_shared()).map(ScopedTerm::variance_k2).sum();
        u_ohm.push(private.sqrt() / conversion.k_per_unit(point.result.reference_c)?);
    }
    let covariance_t = reference_covariance(points);
    let options = CallendarVanDusenOptions {
        // An element read without resolution, scatter or meter has no uncertainty of its own.
        u_ohm: if u_ohm.iter().all(|u| *u > 0.0) { Stated::Each(&u_ohm) } else { Stated::Nothing },
        covariance_t: Some(&covariance_t),
        fixed: held(points, curve),
        ..CallendarVanDusenOptions::default()
    };
    let fit = callendar_van_dusen(&t_c, &ohm, &options)?;
    let standard_uncertainties_k = match fit.report.covariance {
        Some(_) => t_c.iter().map(|t| fit.temperature_uncertainty(*t)).collect::<Result<Vec<_>>>()?,
        None => Vec::new(),
    };
    let range = crate::curves::SensorCurve::range(&fit.curve);
    let new = ElementFit {
        tag: element.instrument.tag.clone(),
        r0: fit.curve.r0(),
        a: fit.curve.a(),
        b: fit.curve.b(),
        c: fit.curve.c(),
        covariance: fit.report.covariance.clone(),
        held: NAMES.iter().zip(fit.held).filter(|(_, held)| *held).map(|(name, _)| (*name).to_owned()).collect(),
        range_c: (range.low, range.high),
        residuals_k: fit.residuals_c.clone(),
        chi_squared: fit.report.chi_squared,
        degrees_of_freedom: fit.report.degrees_of_freedom,
        p_value: fit.report.p_value,
        standard_uncertainties_k,
        curve: fit.curve,
    };
    Ok((fit, new))
}

/// Covariance of the reference temperatures, K²: the reference is shared by all set points, the heat source is not.
fn reference_covariance(points: &[EvaluatedPoint]) -> Vec<f64> {
    let mut values = Vec::with_capacity(points.len() * points.len());
    for (i, a) in points.iter().enumerate() {
        for (j, b) in points.iter().enumerate() {
            values.push(if i == j {
                a.terms.iter().filter(|term| term.is_shared()).map(ScopedTerm::variance_k2).sum()
            } else {
                shared(a, b)
            });
        }
    }
    values
}

/// What the points cannot determine stays at what the element was read by.
fn held(points: &[EvaluatedPoint], curve: &CallendarVanDusen) -> FixedCoefficients {
    let mut nominals: Vec<f64> = points.iter().map(|point| point.result.nominal_c).collect();
    nominals.sort_by(f64::total_cmp);
    nominals.dedup();
    let cold = nominals.iter().filter(|t| **t < 0.0).count();
    let c_is_determined =
        nominals.len() >= 4 && cold >= 2 && nominals.first().is_some_and(|lowest| *lowest <= LOWEST_POINT_FOR_C);
    FixedCoefficients {
        r0: None,
        a: (nominals.len() < 2).then(|| curve.a()),
        b: (nominals.len() < 3).then(|| curve.b()),
        c: (!c_is_determined).then(|| curve.c()),
    }
}
