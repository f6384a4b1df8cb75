//! Fits: the Callendar-Van Dusen equation, and the straight line of the GUM's thermometer.

use super::Check;
use super::table::{Row, Table, reference};
use crate::error::Result;
use crate::fit::{CallendarVanDusenOptions, Stated, StraightLineOptions, callendar_van_dusen, straight_line};

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    for case in ["with_c", "without_c"] {
        synthetic(all, case)?;
    }
    gum_h3(all)
}

fn column(table: &Table, name: &str, wanted: impl Fn(&Row<'_>) -> Result<bool>) -> Result<Vec<f64>> {
    let mut values = Vec::new();
    for row in table.rows() {
        if wanted(&row)? {
            values.push(row.number(name)?);
        }
    }
    Ok(values)
}

/// Exact weighted solutions of two sets of points, one on both sides of 0 °C.
fn synthetic(all: &mut Vec<Check>, case: &str) -> Result<()> {
    let points = reference!("cvd_fit_synthetic_points");
    let wanted = |row: &Row<'_>| Ok(row.text("case")? == case);
    let t_c = column(&points, "t_c", wanted)?;
    let ohm = column(&points, "ohm", wanted)?;
    let u_ohm = column(&points, "u_ohm", wanted)?;
    let options = CallendarVanDusenOptions { u_ohm: Stated::Each(&u_ohm), ..CallendarVanDusenOptions::default() };
    let fit = callendar_van_dusen(&t_c, &ohm, &options)?;
    let table = reference!("cvd_fit_synthetic");
    let covariance = |i: usize, j: usize| fit.report.covariance.as_ref().map_or(f64::NAN, |matrix| matrix.get(i, j));
    for row in table.rows() {
        if !wanted(&row)? {
            continue;
        }
        let (quantity, published) = (row.text("quantity")?, row.number("value")?);
        let (family, index) = quantity
            .split_once(|c: char| c.is_ascii_digit())
            .map_or((quantity, None), |(family, _)| (family, quantity.get(family.len()..)));
        let number = |text: Option<&str>| text.and_then(|text| text.parse::<usize>().ok()).unwrap_or(usize::MAX);
        let computed = match (quantity, family) {
            ("r0", _) => fit.curve.r0(),
            ("a", _) => fit.curve.a(),
            ("b", _) => fit.curve.b(),
            ("c", _) => fit.curve.c(),
            ("alpha", _) => fit.curve.alpha(),
            ("delta", _) => fit.curve.delta(),
            ("beta", _) => fit.curve.beta(),
            ("chi_squared", _) => fit.report.chi_squared.unwrap_or(f64::NAN),
            ("degrees_of_freedom", _) => fit.report.degrees_of_freedom as f64,
            (_, "standardised_residual_") => {
                fit.report.standardised_residuals.get(number(index)).copied().unwrap_or(f64::NAN)
            }
            (_, "covariance_") => {
                let (i, j) = index.and_then(|pair| pair.split_once('_')).unwrap_or(("", ""));
                covariance(number(Some(i)), number(Some(j)))
            }
            _ => f64::NAN,
        };
        // Points are doubles nearest to the printed decimals: 1.4e-14 ohm of 0.1 milliohm digits. Divided by u = 0.5
        // milliohm that moves a standardised residual by 3e-11; the coefficients and their covariance by less than
        // 1e-9 of themselves, chi-squared by ten times the residuals' part.
        let tolerance = match family {
            "standardised_residual_" => 1e-9,
            _ => published.abs() * 1e-9,
        };
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("fit {case}: {quantity}"),
            unit: "",
            published,
            tolerance,
            computed,
        });
    }
    Ok(())
}

/// JCGM 100:2008, H.3: calibration of a thermometer by a straight line, and its prediction at 30 °C.
fn gum_h3(all: &mut Vec<Check>) -> Result<()> {
    let points = reference!("gum_h3_points");
    let x = column(&points, "t_c", |_| Ok(true))?;
    let y = column(&points, "correction_c", |_| Ok(true))?;
    // The example's line is y1 + y2 (t − 20 °C).
    let from_20: Vec<f64> = x.iter().map(|t| t - 20.0).collect();
    let line = straight_line(&from_20, &y, &StraightLineOptions::default())?;
    let covariance = line.report.covariance.clone().unwrap_or(crate::num::covariance::Covariance::zeros(2));
    let table = reference!("gum_h3");
    for row in table.rows() {
        let computed = match row.text("quantity")? {
            "y1" => line.intercept,
            "u_y1" => covariance.standard_uncertainty(0),
            "y2" => line.slope,
            "u_y2" => covariance.standard_uncertainty(1),
            "r" => covariance.correlation(0, 1),
            "s" => line.report.residual_standard_deviation.unwrap_or(f64::NAN),
            "b_30" => line.intercept + 10.0 * line.slope,
            "u_b_30" => covariance.variance_of(&[1.0, 10.0]).sqrt(),
            "dof" => line.report.degrees_of_freedom as f64,
            _ => f64::NAN,
        };
        for (column, tolerance) in [("value", row.number("tolerance")?), ("recomputed", 1e-9)] {
            let published = row.number(column)?;
            all.push(Check {
                source: table.source.clone(),
                quantity: format!("thermometer calibration: {} ({column})", row.text("quantity")?),
                unit: "",
                published,
                tolerance,
                computed,
            });
        }
    }
    Ok(())
}
