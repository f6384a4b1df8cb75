//! Plain tables, such as a logger or a spreadsheet writes them, into the set points of a run.

use super::result::Warning;
use super::run::{Direction, Reading, Run, SetPoint};
use crate::error::{Error, Problem, Result};
use serde::{Deserialize, Serialize};

/// A table of text: named columns and rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Rows, each with one cell a column.
    pub rows: Vec<Vec<String>>,
}

/// Which column is what.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Mapping {
    /// Column of the time: in seconds, as hh:mm:ss, or as date and time (ISO 8601, then in seconds since 1970).
    pub time: String,
    /// Column of the set point, °C; rows that follow each other with the same one belong together.
    pub set_point: String,
    /// Column of the direction, `up` or `down`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub direction: Option<String>,
    /// Where the readings are.
    pub readings: ReadingColumns,
    /// Decimal mark of the numbers: `.` or `,`; a point if left out. Nothing is guessed.
    #[serde(default = "point")]
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub decimal_mark: char,
}

/// Where the readings of a table are.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ReadingColumns {
    /// One column an instrument.
    Wide(Vec<TagColumn>),
    /// One row a reading.
    Long {
        /// Column of the tag.
        tag: String,
        /// Column of the value.
        value: String,
    },
}

/// The column of an instrument.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TagColumn {
    /// Tag of the instrument or reference.
    pub tag: String,
    /// Its column.
    pub column: String,
}

fn point() -> char {
    '.'
}

impl Table {
    /// Reads separated text: the first line names the columns, fields may be in double quotes.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] with every row that has not as many cells as there are columns, or without columns.
    pub fn from_csv(text: &str, separator: char) -> Result<Self> {
        let mut lines = split(text.trim_start_matches('\u{feff}'), separator)?;
        if lines.is_empty() {
            return Err(Error::InvalidRun { problems: vec![problem("line 1", "no names of columns".into())] });
        }
        let columns: Vec<String> = lines.remove(0).iter().map(|name| name.trim().to_owned()).collect();
        let problems: Vec<Problem> = lines
            .iter()
            .enumerate()
            .filter(|(_, row)| row.len() != columns.len())
            .map(|(i, row)| {
                problem(&format!("row {}", i + 1), format!("{} cells for {} columns", row.len(), columns.len()))
            })
            .collect();
        if problems.is_empty() { Ok(Self { columns, rows: lines }) } else { Err(Error::InvalidRun { problems }) }
    }

    /// A table from arrays, one a column; NaN is a missing value.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`].
    pub fn from_arrays(columns: &[(&str, &[f64])]) -> Result<Self> {
        let rows = columns.first().map_or(0, |(_, values)| values.len());
        for (_, values) in columns {
            crate::error::same_length("column", rows, values.len())?;
        }
        let cell = |value: f64| if value.is_nan() { String::new() } else { value.to_string() };
        Ok(Self {
            columns: columns.iter().map(|(name, _)| (*name).to_owned()).collect(),
            rows: (0..rows).map(|i| columns.iter().map(|(_, values)| cell(values[i])).collect()).collect(),
        })
    }

    fn column(&self, name: &str, problems: &mut Vec<Problem>) -> usize {
        let found: Vec<usize> = (0..self.columns.len()).filter(|i| self.columns[*i] == name).collect();
        match found.as_slice() {
            [one] => *one,
            [] => {
                let known = self.columns.join(", ");
                problems.push(problem(name, format!("no column has this name: {known}")));
                0
            }
            _ => {
                problems.push(problem(name, format!("{} columns have this name", found.len())));
                0
            }
        }
    }
}

impl Run {
    /// The run with its set points read from a table. Empty cells are left out and reported, never filled; everything
    /// that is no number is said at once, with its row (counted from 1, below the names) and column.
    ///
    /// # Errors
    /// [`Error::InvalidRun`] with all problems of the table, then with all contradictions of the run.
    ///
    /// # Example
    /// ```
    /// # let text = include_str!("../../../tests/data/jacket_loop_as_found.json");
    /// use calcore::loop_calibration::{Mapping, ReadingColumns, Run, Table, TagColumn};
    /// let table = Table::from_csv("t;sp;ref;tic\n0;100;138,54;100,6\n30;100;138,54;\n", ';')?;
    /// let wide = [("REF-01", "ref"), ("TIC-4107", "tic")];
    /// let mapping = Mapping {
    ///     time: "t".into(),
    ///     set_point: "sp".into(),
    ///     direction: None,
    ///     readings: ReadingColumns::Wide(
    ///         wide.map(|(tag, column)| TagColumn { tag: tag.into(), column: column.into() }).into(),
    ///     ),
    ///     decimal_mark: ',',
    /// };
    /// let (run, left_out) = Run::from_json(text)?.with_table(&table, &mapping)?;
    /// assert_eq!(run.set_points[0].readings[1].value, [100.6]);
    /// assert_eq!(left_out[0].path, "row 2, column \"tic\"");
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn with_table(mut self, table: &Table, mapping: &Mapping) -> Result<(Self, Vec<Warning>)> {
        let mut left_out = Vec::new();
        self.set_points = set_points(table, mapping, &mut left_out)?;
        self.check()?;
        Ok((self, left_out))
    }
}

fn set_points(table: &Table, mapping: &Mapping, left_out: &mut Vec<Warning>) -> Result<Vec<SetPoint>> {
    let mut problems = Vec::new();
    if !matches!(mapping.decimal_mark, '.' | ',') {
        problems.push(problem("decimal_mark", format!("{:?} is none: a point or a comma", mapping.decimal_mark)));
    }
    let time = table.column(&mapping.time, &mut problems);
    let nominal = table.column(&mapping.set_point, &mut problems);
    let direction = mapping.direction.as_ref().map(|name| table.column(name, &mut problems));
    let (wide, long) = match &mapping.readings {
        ReadingColumns::Wide(columns) => {
            let found = columns.iter().map(|one| (one.tag.clone(), table.column(&one.column, &mut problems)));
            (found.collect::<Vec<_>>(), None)
        }
        ReadingColumns::Long { tag, value } => {
            (Vec::new(), Some((table.column(tag, &mut problems), table.column(value, &mut problems))))
        }
    };
    if !problems.is_empty() {
        return Err(Error::InvalidRun { problems });
    }
    let mut points: Vec<SetPoint> = Vec::new();
    for (i, row) in table.rows.iter().enumerate() {
        let path = |column: usize| format!("row {}, column {:?}", i + 1, table.columns[column]);
        let mut need = |column: usize, read: &dyn Fn(&str) -> Option<f64>| {
            let value = read(&row[column]);
            if value.is_none() {
                problems.push(problem(&path(column), format!("{:?} is no number", row[column])));
            }
            value
        };
        let number = |text: &str| number(text, mapping.decimal_mark);
        let (time_s, nominal_c) = (need(time, &|text| seconds(text, mapping.decimal_mark)), need(nominal, &number));
        let towards = match direction.map(|column| (column, row[column].trim().to_lowercase())) {
            None => None,
            Some((_, text)) if text.is_empty() => None,
            Some((_, text)) if text == "up" => Some(Direction::Up),
            Some((_, text)) if text == "down" => Some(Direction::Down),
            Some((column, text)) => {
                problems.push(problem(&path(column), format!("{text:?} is no direction: up or down")));
                None
            }
        };
        let cells: Vec<(String, usize)> = match long {
            None => wide.clone(),
            Some((tag, value)) => vec![(row[tag].trim().to_owned(), value)],
        };
        let (Some(time_s), Some(nominal_c)) = (time_s, nominal_c) else { continue };
        let same =
            points.last().is_some_and(|last| last.nominal_c.total_cmp(&nominal_c).is_eq() && last.direction == towards);
        if !same {
            points.push(SetPoint { nominal_c, direction: towards, readings: Vec::new() });
        }
        let Some(here) = points.last_mut() else { continue };
        for (tag, column) in cells {
            if row[column].trim().is_empty() {
                left_out.push(Warning {
                    code: "missing_reading".into(),
                    path: path(column),
                    message: format!("no reading of {tag:?} here: left out"),
                });
                continue;
            }
            let Some(value) = number(&row[column]) else {
                problems.push(problem(&path(column), format!("{:?} is no number", row[column])));
                continue;
            };
            match here.readings.iter_mut().find(|reading| reading.tag == tag) {
                Some(reading) => {
                    reading.time_s.push(time_s);
                    reading.value.push(value);
                }
                None => here.readings.push(Reading {
                    tag,
                    time_s: vec![time_s],
                    value: vec![value],
                    reference_junction_c: None,
                }),
            }
        }
    }
    if problems.is_empty() { Ok(points) } else { Err(Error::InvalidRun { problems }) }
}

fn problem(path: &str, message: String) -> Problem {
    Problem { path: path.into(), message }
}

/// A finite number with the stated decimal mark; no thousands separators.
fn number(text: &str, mark: char) -> Option<f64> {
    let text = text.trim();
    if mark == ',' && text.contains('.') {
        return None;
    }
    let text = if mark == ',' { text.replace(',', ".") } else { text.into() };
    let plain = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E'));
    text.parse().ok().filter(|value: &f64| plain && value.is_finite())
}

/// Seconds, hours with minutes and seconds, or a date and time.
fn seconds(text: &str, mark: char) -> Option<f64> {
    match text.trim() {
        text if text.contains(':') && text.contains('-') => moment(text, mark),
        text if text.contains(':') => clock(text, mark),
        text => number(text, mark),
    }
}

/// Hours, minutes and seconds.
fn clock(text: &str, mark: char) -> Option<f64> {
    let parts: Vec<&str> = text.split(':').collect();
    match parts.as_slice() {
        [h, m, s] => {
            let (h, m, s) = (h.trim().parse::<u32>().ok()?, m.trim().parse::<u32>().ok()?, number(s, mark)?);
            (m < 60 && (0.0..60.0).contains(&s)).then(|| f64::from(h) * 3600.0 + f64::from(m) * 60.0 + s)
        }
        _ => None,
    }
}

/// Date and time of ISO 8601, such as `2026-05-04T10:15:30.5`, in seconds since the beginning of 1970 on the same clock;
/// a `Z` or an offset at its end is taken into account.
///
/// # Source
/// ISO 8601-1:2019 (extended format); days by the rule of the Gregorian calendar.
fn moment(text: &str, mark: char) -> Option<f64> {
    let (date, time) = text.split_once(['T', ' '])?;
    let whole = |text: &str, digits: usize| {
        (text.len() == digits && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse::<i64>().ok()).flatten()
    };
    let parts: Vec<&str> = date.split('-').collect();
    let [y, m, d] = parts.as_slice() else { return None };
    let (year, month, day) = (whole(y, 4)?, whole(m, 2)?, whole(d, 2)?);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let lengths = [31, if leap { 29 } else { 28 }, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let length = *lengths.get(usize::try_from(month - 1).ok()?)?;
    if day < 1 || day > length {
        return None;
    }
    let (time, offset_s) = if let Some(time) = time.strip_suffix('Z') {
        (time, 0.0)
    } else if let Some(at) = time.find(['+', '-']) {
        let (hours, minutes) = time[at + 1..].split_once(':')?;
        let amount = 3600 * whole(hours, 2)? + 60 * whole(minutes, 2)?;
        (&time[..at], if time[at..].starts_with('-') { -(amount as f64) } else { amount as f64 })
    } else {
        (time, 0.0)
    };
    // Days from a year that begins in March, so that the leap day comes last.
    let (y, m) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let days = 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1 - 719_468;
    Some(days as f64 * 86_400.0 + clock(time, mark)? - offset_s)
}

/// Lines and fields, quotes as RFC 4180 has them; empty lines are skipped.
fn split(text: &str, separator: char) -> Result<Vec<Vec<String>>> {
    let (mut rows, mut row, mut cell) = (Vec::new(), Vec::new(), String::new());
    let (mut quoted, mut line) = (false, 1usize);
    let mut characters = text.chars().peekable();
    while let Some(c) = characters.next() {
        line += usize::from(c == '\n');
        match c {
            '"' if quoted && characters.peek() == Some(&'"') => {
                characters.next();
                cell.push('"');
            }
            '"' if quoted || cell.trim().is_empty() => {
                quoted = !quoted;
                if quoted {
                    cell.clear();
                }
            }
            _ if quoted => cell.push(c),
            _ if c == separator => row.push(std::mem::take(&mut cell)),
            '\n' => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            '\r' => {}
            _ => cell.push(c),
        }
    }
    if quoted {
        let message = "a double quote is not closed".into();
        return Err(Error::InvalidRun { problems: vec![problem(&format!("line {line}"), message)] });
    }
    if !cell.is_empty() || !row.is_empty() {
        row.push(cell);
        rows.push(row);
    }
    rows.retain(|row| row.iter().any(|cell| !cell.trim().is_empty()));
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seconds since 1970 by the date command of GNU coreutils (date -u -d ... +%s).
    #[test]
    fn moments() {
        assert_eq!(seconds("1970-01-01T00:00:00", '.'), Some(0.0));
        assert_eq!(seconds("2026-05-04T10:15:30.5", '.'), Some(1_777_889_730.5));
        assert_eq!(seconds("2000-02-29 23:59:59Z", '.'), Some(951_868_799.0));
        assert_eq!(seconds("2026-05-04T12:15:30+02:00", '.'), Some(1_777_889_730.0));
        assert_eq!(seconds("2026-05-04T05:45:30-04:30", '.'), Some(1_777_889_730.0));
        assert_eq!(seconds("1:02:03,5", ','), Some(3723.5));
        for wrong in ["2026-02-29T00:00:00", "2026-13-01T00:00:00", "2026-05-04", "26-05-04T00:00:00", "1:60:00", "x"] {
            assert_eq!(seconds(wrong, '.'), None, "{wrong}");
        }
    }
}
