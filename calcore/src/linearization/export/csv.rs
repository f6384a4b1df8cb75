//! Rows of numbers.

use super::Export;

pub(super) fn rows(export: Export<'_>) -> String {
    let mut lines = Vec::new();
    match export {
        Export::Table(table) => {
            let bent = !table.bends.is_empty();
            let mut heading = vec!["argument", "value"];
            if bent {
                heading.extend(["bend", "skew"]);
            }
            if table.codes.is_some() {
                heading.extend(["argument_code", "value_code"]);
                if bent {
                    heading.extend(["bend_code", "skew_code"]);
                }
            }
            lines.push(heading.join(","));
            for (i, (x, y)) in table.arguments.iter().zip(&table.values).enumerate() {
                let mut cells = vec![x.to_string(), y.to_string()];
                // The last node begins no segment.
                let pair = |values: Option<[String; 2]>| values.unwrap_or_default();
                if bent {
                    cells.extend(pair(table.bends.get(i).map(|bends| bends.map(|b| b.to_string()))));
                }
                if let Some(codes) = &table.codes {
                    cells.extend([codes.arguments[i].to_string(), codes.values[i].to_string()]);
                    if bent {
                        cells.extend(pair(codes.bends.get(i).map(|bends| bends.map(|b| b.to_string()))));
                    }
                }
                lines.push(cells.join(","));
            }
        }
        Export::Minimax(found) => {
            let quotient = !found.denominator.is_empty();
            let mut heading = vec!["power", "numerator"];
            if quotient {
                heading.push("denominator");
            }
            if found.fixed.is_some() {
                heading.push("numerator_code");
                if quotient {
                    heading.push("denominator_code");
                }
            }
            lines.push(heading.join(","));
            for power in 0..found.numerator.len().max(found.denominator.len()) {
                let number = |c: &[f64]| c.get(power).map_or_else(String::new, ToString::to_string);
                let code = |c: &[i64]| c.get(power).map_or_else(String::new, ToString::to_string);
                let mut cells = vec![power.to_string(), number(&found.numerator)];
                if quotient {
                    cells.push(number(&found.denominator));
                }
                if let Some(fixed) = &found.fixed {
                    cells.push(code(&fixed.numerator));
                    if quotient {
                        cells.push(code(&fixed.denominator));
                    }
                }
                lines.push(cells.join(","));
            }
        }
    }
    lines.join("\n") + "\n"
}
