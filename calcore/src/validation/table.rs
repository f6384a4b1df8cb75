//! The files of `tests/reference`: a table of decimal numbers, and beside it where they come from.

use crate::error::{Error, Problem, Result};

/// A table with its source.
pub(super) struct Table {
    /// Document, edition, clause and who states the values.
    pub source: String,
    name: &'static str,
    columns: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

/// One row of a table.
pub(super) struct Row<'a> {
    table: &'a Table,
    number: usize,
}

/// Embeds a table of `tests/reference` by its name.
macro_rules! reference {
    ($name:literal) => {
        $crate::validation::table::Table::new(
            $name,
            include_str!(concat!("../../../tests/reference/", $name, ".csv")),
            include_str!(concat!("../../../tests/reference/", $name, ".toml")),
        )
    };
}
pub(super) use reference;

impl Table {
    pub(super) fn new(name: &'static str, csv: &'static str, toml: &'static str) -> Self {
        let mut lines = csv.lines().filter(|line| !line.is_empty()).map(|line| line.split(',').collect::<Vec<_>>());
        let columns = lines.next().unwrap_or_default();
        let key = |wanted: &str| {
            toml.lines()
                .filter_map(|line| line.split_once(" = "))
                .find(|(key, _)| *key == wanted)
                .map_or(String::new(), |(_, value)| value.trim_matches('"').to_owned())
        };
        let document = [key("document"), key("edition"), key("clause")];
        let parts: Vec<&str> = document.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
        let source = match key("evidence").as_str() {
            "published" => parts.join(", "),
            other => format!("{} ({other}: {})", parts.join(", "), key("stated_by")),
        };
        Self { source, name, columns, rows: lines.collect() }
    }

    pub(super) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.rows.len()).map(|number| Row { table: self, number })
    }
}

impl Row<'_> {
    /// A cell by the name of its column.
    pub(super) fn text(&self, column: &str) -> Result<&'static str> {
        let place = self.table.columns.iter().position(|name| *name == column);
        place
            .and_then(|place| self.table.rows[self.number].get(place))
            .copied()
            .ok_or_else(|| self.fault(column, "is missing"))
    }

    /// A cell as the nearest double.
    pub(super) fn number(&self, column: &str) -> Result<f64> {
        self.text(column)?.parse().map_err(|_| self.fault(column, "is not a number"))
    }

    fn fault(&self, column: &str, message: &str) -> Error {
        let path = format!("{}.csv line {} column {column}", self.table.name, self.number + 2);
        Error::Document { problem: Problem { path, message: message.into() } }
    }
}
