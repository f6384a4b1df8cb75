//! Reading of `tests/reference/*.csv`: no quotes, no comma inside a field.

/// A file, row by row.
pub(crate) struct Table {
    name: String,
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row of it.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    table: &'a Table,
    fields: &'a [String],
    line: usize,
}

impl Table {
    pub(crate) fn read(name: &str) -> Self {
        let path = format!("{}/../tests/reference/{name}.csv", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
        let mut lines = text.lines().map(|line| line.split(',').map(str::to_owned).collect::<Vec<_>>());
        let header = lines.next().expect("a header");
        let rows: Vec<_> = lines.collect();
        assert!(!rows.is_empty(), "{name} is empty");
        Self { name: name.into(), header, rows }
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (2..).zip(&self.rows).map(|(line, fields)| Row { table: self, fields, line })
    }
}

impl<'a> Row<'a> {
    pub(crate) fn text(&self, column: &str) -> &'a str {
        let place = self.table.header.iter().position(|name| name == column);
        let place = place.unwrap_or_else(|| panic!("{} has no column {column}", self.table.name));
        &self.fields[place]
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        self.text(column).parse().unwrap_or_else(|error| panic!("{}: {column}: {error}", self.place()))
    }

    pub(crate) fn place(&self) -> String {
        format!("tests/reference/{}.csv line {}", self.table.name, self.line)
    }

    /// Fails unless the computed value lies within the tolerance of that of the column.
    pub(crate) fn assert_close(&self, column: &str, computed: f64, tolerance: f64) {
        let wanted = self.number(column);
        let difference = computed - wanted;
        assert!(
            difference.abs() <= tolerance,
            "{}: {column} wanted {wanted:e}, got {computed:e}, difference {difference:e}, tolerance {tolerance:e}",
            self.place()
        );
    }
}

/// Units in the last place between two numbers.
pub(crate) fn ulps(computed: f64, wanted: f64) -> f64 {
    let unit = wanted.abs().next_up() - wanted.abs();
    (computed - wanted).abs() / unit
}

/// Largest of many, with where it was.
#[derive(Default)]
pub(crate) struct Largest {
    value: f64,
    place: String,
}

impl Largest {
    pub(crate) fn see(&mut self, value: f64, place: impl Into<String>) {
        assert!(!value.is_nan(), "{}", place.into());
        if value > self.value {
            *self = Self { value, place: place.into() };
        }
    }

    /// Fails when the largest exceeds the limit; prints it otherwise (`cargo test -- --nocapture`).
    pub(crate) fn assert_at_most(&self, what: &str, limit: f64) {
        println!("{what}: largest {:e} (limit {limit:e}) at {}", self.value, self.place);
        assert!(self.value <= limit, "{what}: {:e} exceeds {limit:e} at {}", self.value, self.place);
    }
}
