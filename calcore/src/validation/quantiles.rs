//! Quantiles on which coverage factors rest.

use super::Check;
use super::table::reference;
use crate::error::Result;
use crate::num::special::{normal_quantile, student_quantile};

pub(super) fn add(all: &mut Vec<Check>) -> Result<()> {
    let table = reference!("quantile_oracle");
    for row in table.rows() {
        let (distribution, p) = (row.text("distribution")?, row.number("p")?);
        let published = row.number("value")?;
        let degrees = row.text("degrees_of_freedom")?;
        let computed = match distribution {
            "normal" => normal_quantile(p)?,
            "student" => student_quantile(p, row.number("degrees_of_freedom")?)?,
            _ => continue,
        };
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("{distribution} quantile, {degrees} degrees of freedom, p = {p}"),
            unit: "",
            published,
            // What budgets need, and what the kept crate and the expansion were measured to hold.
            tolerance: published.abs() * 1e-12,
            computed,
        });
    }
    let table = reference!("gum_table_g2");
    for row in table.rows() {
        let (nu, p) = (row.number("degrees_of_freedom")?, row.number("p")?);
        all.push(Check {
            source: table.source.clone(),
            quantity: format!("t factor, {nu} degrees of freedom, fraction {p}"),
            unit: "",
            published: row.number("t")?,
            // Half a unit of the second decimal; the excess is the rounding of a printed decimal to a double.
            tolerance: 0.005 + 1e-12,
            computed: student_quantile(0.5 + 0.5 * p, nu)?,
        });
    }
    Ok(())
}
