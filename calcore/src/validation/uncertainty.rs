//! Evaluations of Type A and B, budgets and coverage factors of the published guides.

use super::Check;
use super::table::{Row, Table, reference};
use crate::error::Result;
use crate::uncertainty::evaluation::{
    Pooled, from_expanded, from_half_width, from_level, mean_of, mean_with_known_scatter, pooled_of,
};
use crate::uncertainty::shapes::coverage_factor_of_shapes;
use crate::uncertainty::{
    Budget, Contribution, Coverage, Distribution, Input, Shape, propagate, propagate_second_order,
};

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    small_examples(all)?;
    end_gauge(all)?;
    between_days(all)?;
    beside_monte_carlo(all)?;
    budgets(all)?;
    shapes(all)
}

/// A row as a check: what it prints, within its tolerance.
pub(super) fn push(
    all: &mut Vec<Check>,
    table: &Table,
    row: &Row<'_>,
    subject: &str,
    unit: &'static str,
    y: f64,
) -> Result<()> {
    all.push(Check {
        source: table.source.clone(),
        quantity: format!("{subject}: {}", row.text("quantity")?),
        unit,
        published: row.number("value")?,
        // The excess is the rounding of a printed decimal to a double.
        tolerance: row.number("tolerance")? * (1.0 + 1e-12) + 1e-12 * row.number("value")?.abs(),
        computed: y,
    });
    Ok(())
}

/// A number of the points file by case and quantity.
fn point(table: &Table, case: &str, quantity: &str) -> Result<f64> {
    for row in table.rows() {
        if row.text("case")? == case && row.text("quantity")? == quantity {
            return row.number("value");
        }
    }
    Ok(f64::NAN)
}

fn small_examples(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("gum_small"), reference!("gum_small_points"));
    let exact = f64::INFINITY;
    let mut readings = Vec::new();
    for row in points.rows() {
        if row.text("case")? == "GUM-4.4.3" {
            readings.push(row.number("value")?);
        }
    }
    let twenty = mean_of(&readings)?;
    let half = |case: &str, name: &str| point(&points, case, name);
    let (low, high) = (half("GUM-4.4.5", "lower")?, half("GUM-4.4.5", "upper")?);
    // G.4.1: relative uncertainties of a product.
    let mut factors = Vec::new();
    for i in 0..3 {
        let u = half("GUM-G.4.1", &format!("u_rel_percent_{i}"))?;
        let nu = half("GUM-G.4.1", &format!("dof_{i}"))?;
        let name = format!("x{i}");
        factors.push(Input::new(name, Distribution::normal_with_degrees_of_freedom(1.0, 0.01 * u, nu)?));
    }
    let product = propagate(|x| Ok(x.iter().product()), &factors, None, Coverage::Probability(0.95))?;
    for row in table.rows() {
        let (case, quantity) = (row.text("case")?, row.text("quantity")?);
        let computed = match (case, quantity) {
            ("GUM-G.4.1", "u_c_rel_percent") => 100.0 * product.standard_uncertainty,
            ("GUM-G.4.1", "nu_eff") => product.effective_degrees_of_freedom,
            ("GUM-G.4.1", "t95_19") => crate::uncertainty::coverage::coverage_factor(0.95, 19.0)?,
            ("GUM-G.4.1", "u95_rel_percent") => 100.0 * product.expanded_uncertainty,
            ("GUM-4.4.3", "mean") => twenty.mean,
            ("GUM-4.4.3", "s") => twenty.standard_deviation,
            ("GUM-4.4.3", "u_mean") => twenty.standard_uncertainty,
            ("GUM-4.4.5", "estimate") => Distribution::rectangular(low, high)?.mean(),
            ("GUM-4.4.5", "u_rectangular") => Distribution::rectangular(low, high)?.standard_uncertainty(),
            ("GUM-4.4.5", "u_triangular") => Distribution::triangular(low, high)?.standard_uncertainty(),
            // 240 µg at three standard deviations.
            ("GUM-4.3.3", _) => from_expanded(0.0, 240.0, half(case, "k")?, exact)?.standard_uncertainty(),
            ("GUM-4.3.4", _) => {
                from_level(0.0, half(case, "u_uohm")?, half(case, "level")?, exact)?.standard_uncertainty()
            }
            ("GUM-4.3.5", _) => {
                from_level(0.0, half(case, "half_width_mm")?, half(case, "level")?, exact)?.standard_uncertainty()
            }
            ("GUM-4.3.7", _) => {
                from_half_width(half(case, "alpha")?, half(case, "half_width")?)?.standard_uncertainty()
            }
            ("GUM-F.2.2.1", _) => crate::uncertainty::evaluation::resolution(0.0, 1.0)?.standard_uncertainty(),
            // 5.2.2 and QUAM-A1 are asserted in the tests of the room; F.2.2.2 is the same number again.
            _ => continue,
        };
        push(all, &table, &row, case, "", computed)?;
    }
    Ok(())
}

/// JCGM 100:2008, H.1.
fn end_gauge(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("gum_h1"), reference!("gum_h1_points"));
    let of = |quantity: &str| point(&points, "GUM-H1", quantity);
    let normal = |name: &str, mean: f64, u: f64, nu: f64| -> Result<Input> {
        Ok(Input::new(name, Distribution::normal_with_degrees_of_freedom(mean, u, nu)?))
    };
    let (alpha, half_alpha) = (of("alpha_s_estimate")?, of("alpha_s_half_width")?);
    // The temperature: 0.2 and an amplitude of 0.5, an arcsine, 0.5/√2.
    let u_theta = (of("theta_parts_0_u")? * of("theta_parts_0_u")? + 0.125).sqrt();
    let inputs = [
        normal("l_S", of("l_s_estimate")?, of("l_s_u")?, of("l_s_dof")?)?,
        normal("d", of("d_estimate")?, of("d_u")?, of("d_dof")?)?,
        Input::new("alpha_S", Distribution::rectangular(alpha - half_alpha, alpha + half_alpha)?),
        normal("theta", of("theta_estimate")?, u_theta, f64::INFINITY)?,
        normal("dalpha", 0.0, of("dalpha_half_width")? / 3f64.sqrt(), of("dalpha_dof")?)?,
        normal("dtheta", 0.0, of("dtheta_half_width")? / 3f64.sqrt(), of("dtheta_dof")?)?,
    ];
    let model = |x: &[f64]| Ok(x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5]));
    let budget = propagate(model, &inputs, None, Coverage::Probability(0.99))?;
    let bent = propagate_second_order(model, &inputs, None, Coverage::Probability(0.99))?;
    let term = |first: &str, second: &str| {
        let terms = bent.second_order.iter().flat_map(|found| &found.terms);
        terms.filter(|t| t.first == first && t.second == second).map(|t| t.variance.sqrt()).sum::<f64>()
    };
    for row in table.rows() {
        let quantity = row.text("quantity")?;
        let line = |i: usize| budget.contributions[i].contribution.abs();
        let computed = match quantity {
            "l_nm" => budget.value,
            "contributions_nm_l_s" => line(0),
            "contributions_nm_d" => line(1),
            "contributions_nm_alpha_s" => line(2),
            "contributions_nm_theta" => line(3),
            "contributions_nm_dalpha" => line(4),
            "contributions_nm_dtheta" => line(5),
            "u_c_squared_nm2" => budget.standard_uncertainty * budget.standard_uncertainty,
            "u_c_nm" => budget.standard_uncertainty,
            "second_order_terms_nm_0" => term("theta", "dalpha"),
            "second_order_terms_nm_1" => term("alpha_S", "dtheta"),
            "u_c_with_second_order_nm" => bent.standard_uncertainty,
            "nu_eff" => budget.effective_degrees_of_freedom,
            "t99_16" => {
                crate::uncertainty::coverage::coverage_factor_truncated(0.99, budget.effective_degrees_of_freedom)?
            }
            _ => continue,
        };
        push(all, &table, &row, "end gauge", "", computed)?;
    }
    Ok(())
}

/// JCGM 100:2008, H.5: five readings on each of ten days, with and without an effect between the days. The variance ratio and
/// the component between the days are arithmetic on these; quantiles of the F distribution are not offered.
fn between_days(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("gum_h5"), reference!("gum_h5_points"));
    let of = |quantity: &str| point(&points, "GUM-H5", quantity);
    let (days, each) = (of("j_days")?, of("k_per_day")?);
    let (mut means_uv, mut scatters) = (Vec::new(), Vec::new());
    for day in 0..10 {
        // From 10 V, in microvolt.
        means_uv.push(1e6 * (of(&format!("daily_mean_v_{day}"))? - 10.0));
        scatters.push(Pooled::new(of(&format!("daily_s_uv_{day}"))?, each - 1.0)?);
    }
    let daily = mean_of(&means_uv)?;
    let within = pooled_of(&scatters)?;
    // Scatter of a single reading, from the means: √K times theirs.
    let from_means = Pooled::new(each.sqrt() * daily.standard_deviation, daily.degrees_of_freedom)?;
    let without_effect = pooled_of(&[from_means, within])?;
    // One mean of all readings; what they are does not matter for its uncertainty.
    let readings = vec![daily.mean; (days * each) as usize];
    let flat = mean_with_known_scatter(&readings, without_effect)?;
    for row in table.rows() {
        let computed = match row.text("quantity")? {
            "grand_mean_v" => 10.0 + 1e-6 * daily.mean,
            "s_of_daily_means_uv" => daily.standard_deviation,
            "pooled_within_s_uv" | "s_b_uv" => within.standard_deviation,
            "s_a_uv" => from_means.standard_deviation,
            "nu_a" | "dof_then" => daily.degrees_of_freedom,
            "nu_b" => within.degrees_of_freedom,
            "u_if_between_day_effect_uv" => daily.standard_uncertainty,
            "pooled_if_no_effect_uv" => without_effect.standard_deviation,
            "u_if_no_effect_uv" => flat.standard_uncertainty,
            "dof_if_no_effect" => flat.degrees_of_freedom,
            _ => continue,
        };
        push(all, &table, &row, "readings of ten days", "", computed)?;
    }
    Ok(())
}

/// JCGM 101:2008, 9.3 and 9.4: what first and second order give there. (Monte Carlo itself is in the tests of the room.)
fn beside_monte_carlo(all: &mut Vec<Check>) -> Result<()> {
    let mass = [
        Input::new("m_RC", Distribution::normal(100_000.0, 0.050)?),
        Input::new("dm_RC", Distribution::normal(1.234, 0.020)?),
        Input::new("rho_a", Distribution::rectangular(1.10, 1.30)?),
        Input::new("rho_W", Distribution::rectangular(7000.0, 9000.0)?),
        Input::new("rho_R", Distribution::rectangular(7950.0, 8050.0)?),
    ];
    let model = |x: &[f64]| Ok((x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 100_000.0);
    let coverage = Coverage::Probability(0.95);
    let (flat, bent) =
        (propagate(model, &mass, None, coverage)?, propagate_second_order(model, &mass, None, coverage)?);
    let table = reference!("jcgm101_9_3");
    for row in table.rows() {
        let computed = match row.text("quantity")? {
            "guf_first_order_estimate" => flat.value,
            "guf_first_order_u" => flat.standard_uncertainty,
            "guf_first_order_interval_95_0" => flat.value - flat.expanded_uncertainty,
            "guf_first_order_interval_95_1" => flat.value + flat.expanded_uncertainty,
            "guf_higher_order_estimate" => bent.value,
            "guf_higher_order_u" => bent.standard_uncertainty,
            "guf_higher_order_interval_95_0" => bent.value - bent.expanded_uncertainty,
            "guf_higher_order_interval_95_1" => bent.value + bent.expanded_uncertainty,
            _ => continue,
        };
        push(all, &table, &row, "mass calibration", "", computed)?;
    }
    let table = reference!("jcgm101_9_4");
    let points = reference!("jcgm101_9_4_points");
    for row in table.rows() {
        let case = row.text("case")?;
        let of = |quantity: &str| point(&points, case, quantity);
        let two = [
            Input::new("x1", Distribution::normal(of("x1")?, of("u")?)?),
            Input::new("x2", Distribution::normal(of("x2")?, of("u")?)?),
        ];
        let loss = |x: &[f64]| Ok(1e6 * (x[0] * x[0] + x[1] * x[1]));
        let (flat, bent) =
            (propagate(loss, &two, None, coverage)?, propagate_second_order(loss, &two, None, coverage)?);
        let computed = match row.text("quantity")? {
            "guf_first_estimate" => flat.value,
            "guf_first_u" => flat.standard_uncertainty,
            "guf_first_interval_0" => flat.value - flat.expanded_uncertainty,
            "guf_first_interval_1" => flat.value + flat.expanded_uncertainty,
            "guf_higher_estimate" => bent.value,
            "guf_higher_u" => bent.standard_uncertainty,
            "guf_higher_interval_0" => bent.value - bent.expanded_uncertainty,
            "guf_higher_interval_1" => bent.value + bent.expanded_uncertainty,
            _ => continue,
        };
        push(all, &table, &row, case, "", computed)?;
    }
    Ok(())
}

fn shape_of(name: &str) -> Shape {
    match name {
        "rectangular" => Shape::Rectangular,
        "triangular" => Shape::Triangular,
        "u_shaped" => Shape::UShaped,
        _ => Shape::Normal,
    }
}

/// EA-4/02: contributions as printed, combined and expanded.
fn budgets(all: &mut Vec<Check>) -> Result<()> {
    let (table, points) = (reference!("ea402_budgets"), reference!("ea402_budgets_points"));
    let combined = |case: &str, part: &str, coverage: Coverage| -> Result<Budget> {
        let mut lines = Vec::new();
        for row in points.rows() {
            if row.text("case")? != case || row.text("part")? != part {
                continue;
            }
            let (name, half, c) = (row.text("quantity")?, row.number("half_width")?, row.number("sensitivity")?);
            let shape = shape_of(row.text("shape")?);
            // Half-widths are printed in the unit of the uncertainty beside them.
            let u = match shape {
                Shape::Rectangular => half / 3f64.sqrt(),
                Shape::Triangular => half / 6f64.sqrt(),
                // S2: printed as 14.4 mg, from a pooled 25 mg and three readings.
                _ if name == "dm" => {
                    mean_with_known_scatter(&[0.0; 3], Pooled::new(25.0, f64::INFINITY)?)?.standard_uncertainty
                }
                _ => row.number("u")?,
            };
            // S3: sensitivities of 10 000 Ω, contributions in mΩ.
            let c = if row.text("sensitivity_unit")? == "ohm" { 1000.0 * c } else { c };
            lines.push(Contribution::new(name, 0.0, u, shape, f64::INFINITY, c)?);
        }
        Budget::from_contributions(0.0, lines, coverage)
    };
    for row in table.rows() {
        let (case, quantity) = (row.text("case")?, row.text("quantity")?);
        let part = match (case, quantity) {
            ("EA402-S2", _) => "mass",
            ("EA402-S3", _) => "resistance",
            ("EA402-S5", "u_t_x_degc") => "furnace",
            ("EA402-S5", _) => "emf",
            _ => "indication",
        };
        let budget = combined(case, part, Coverage::Factor(2.0))?;
        let computed = match quantity {
            "u_mg" | "u_mohm" | "u_t_x_degc" | "u_v_x_uv" | "u_v" => budget.standard_uncertainty,
            "expanded_mg" | "expanded_mohm" | "expanded_uv" => budget.expanded_uncertainty,
            // S9 takes the dominating rectangle alone: 0.95 √3.
            "k" if case == "EA402-S9" => crate::uncertainty::shapes::trapezoid_coverage_factor(0.05, 0.0, 0.95)?,
            "expanded_v" => budget.with_coverage_of_shapes(0.95)?.expanded_uncertainty,
            _ => continue,
        };
        push(all, &table, &row, case, "", computed)?;
    }
    Ok(())
}

/// Contributions of the cases in tests/oracle/shapes.py: kind and half-width (of a normal one its standard deviation).
fn parts_of(case: &str) -> &'static [(Shape, f64)] {
    use Shape::{Normal, Rectangular, Triangular, UShaped};
    match case {
        "ea402_s10" => &[
            (Normal, 0.015),
            (Rectangular, 0.04),
            (Rectangular, 0.05),
            (Rectangular, 0.10),
            (Rectangular, 0.25),
            (Rectangular, 0.05),
            (Rectangular, 0.03),
        ],
        "rectangle_and_normal" => &[(Normal, 0.5), (Rectangular, 1.0)],
        "rectangle_and_little_normal" => &[(Normal, 0.05), (Rectangular, 1.0)],
        "three_rectangles" => &[(Rectangular, 1.0), (Rectangular, 0.7), (Rectangular, 0.2)],
        "rectangle_and_triangle" => &[(Rectangular, 1.0), (Triangular, 1.2)],
        "arcsine_and_normal" => &[(Normal, 0.4), (UShaped, 1.0)],
        _ => &[(Normal, 0.2), (Rectangular, 1.0), (Triangular, 0.5), (UShaped, 0.8)],
    }
}

fn shapes(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("shape_coverage");
    for row in table.rows() {
        let (case, p) = (row.text("case")?, row.number("p")?);
        let mut lines = Vec::new();
        for (shape, size) in parts_of(case) {
            let divisor: f64 = match shape {
                Shape::Rectangular => 3.0,
                Shape::Triangular => 6.0,
                Shape::UShaped => 2.0,
                _ => 1.0,
            };
            lines.push(Contribution::new("part", 0.0, size / divisor.sqrt(), *shape, f64::INFINITY, 1.0)?);
        }
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("coverage factor of shapes, {case}, p = {p}"),
            unit: "",
            published: row.number("k")?,
            // The bound that the library states.
            tolerance: 1e-8,
            computed: coverage_factor_of_shapes(&lines, p)?,
        });
    }
    Ok(())
}
