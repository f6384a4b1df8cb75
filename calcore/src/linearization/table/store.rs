//! From the numbers of a table to those that are stored, and what they give when the firmware reads them.

use super::bent::Bent;
use super::options::{Entries, Shape};
use crate::error::{Error, Result};
use crate::linearization::firmware;
use crate::linearization::fixed_point::{FixedPoint, too_wide};
use crate::linearization::relation::Relation;
use crate::linearization::span::Segment;

/// The integers of a table with fixed-point entries.
#[derive(Debug, Clone, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Codes {
    /// Of the nodes, ascending.
    pub arguments: Vec<i64>,
    /// Of the values at the nodes.
    pub values: Vec<i64>,
    /// Of bend and skew of every segment; empty for straight ones.
    pub bends: Vec<[i64; 2]>,
}

/// The numbers of a table as they are stored.
#[derive(Debug, Clone)]
pub(super) struct Stored {
    pub(super) arguments: Vec<f64>,
    pub(super) values: Vec<f64>,
    pub(super) bends: Vec<[f64; 2]>,
    pub(super) codes: Option<Codes>,
}

impl Stored {
    /// Rounds a table to its entries. Nodes move to numbers that can be stored, and the values move along the curve with
    /// them, before they are rounded themselves.
    pub(super) fn new(relation: &Relation<'_>, shape: Shape, entries: Entries, ideal: &[Segment]) -> Result<Self> {
        let mut nodes: Vec<(f64, f64)> = ideal.iter().map(|s| (s.x0, s.y0)).collect();
        if let Some(last) = ideal.last() {
            nodes.push((last.x1, last.y0 + last.rise));
        }
        match entries {
            Entries::F64 => Ok(Self {
                arguments: nodes.iter().map(|node| node.0).collect(),
                values: nodes.iter().map(|node| node.1).collect(),
                bends: if shape.is_straight() { Vec::new() } else { ideal.iter().map(|s| [s.bend, s.skew]).collect() },
                codes: None,
            }),
            Entries::F32 => {
                let arguments: Vec<f64> = nodes.iter().map(|node| f64::from(node.0 as f32)).collect();
                distinct(&arguments, "single precision")?;
                let (values, bends) = moved(relation, shape, &nodes, &arguments);
                let single = |x: f64| f64::from(x as f32);
                Ok(Self {
                    arguments,
                    values: values.into_iter().map(single).collect(),
                    bends: bends.into_iter().map(|pair| pair.map(single)).collect(),
                    codes: None,
                })
            }
            Entries::Fixed { argument, value } => Self::fixed(relation, shape, argument, value, &nodes),
        }
    }

    fn fixed(
        relation: &Relation<'_>,
        shape: Shape,
        argument: FixedPoint,
        value: FixedPoint,
        nodes: &[(f64, f64)],
    ) -> Result<Self> {
        let last = nodes.len() - 1;
        let mut codes = Codes { arguments: Vec::new(), values: Vec::new(), bends: Vec::new() };
        for (i, node) in nodes.iter().enumerate() {
            // The ends outwards: no reading of the range lies outside the table.
            let code = match i {
                0 => libm::floor(node.0 / argument.unit()),
                i if i == last => libm::ceil(node.0 / argument.unit()),
                _ => libm::round(node.0 / argument.unit()),
            };
            codes.arguments.push(argument.holds("argument of a node", code)?);
        }
        let arguments: Vec<f64> = codes.arguments.iter().map(|&code| argument.number(code)).collect();
        distinct(&arguments, "the argument's fixed-point format")?;
        let (values, bends) = moved(relation, shape, nodes, &arguments);
        for &y in &values {
            codes.values.push(value.code("value of a node", y)?);
        }
        // Bend and skew have a sign, whatever the values have.
        let signed = FixedPoint { signed: true, ..value };
        for pair in bends {
            let mut pair_codes = [0; 2];
            for (code, b) in pair_codes.iter_mut().zip(pair) {
                *code = signed.code("bend of a segment", b)?;
            }
            codes.bends.push(pair_codes);
        }
        let products_fit = codes
            .arguments
            .windows(2)
            .zip(codes.values.windows(2))
            .all(|(x, y)| firmware::product_fits([x[0], x[1]], [y[0], y[1]]));
        if !products_fit {
            return Err(too_wide(argument, value));
        }
        Ok(Self {
            arguments,
            values: codes.values.iter().map(|&code| value.number(code)).collect(),
            bends: codes.bends.iter().map(|pair| pair.map(|code| value.number(code))).collect(),
            codes: Some(codes),
        })
    }

    /// The stored numbers as segments, read with exact arithmetic.
    pub(super) fn segment(&self, i: usize) -> Segment {
        let [bend, skew] = self.bends.get(i).copied().unwrap_or_default();
        let (y0, y1) = (self.values[i], self.values[i + 1]);
        Segment { x0: self.arguments[i], x1: self.arguments[i + 1], y0, rise: y1 - y0, bend, skew }
    }

    pub(super) fn segments(&self) -> usize {
        self.arguments.len() - 1
    }

    /// The integer that the firmware finds for a reading.
    pub(super) fn read_code(codes: &Codes, x: i64) -> i64 {
        let i = firmware::segment_of(&codes.arguments, &x);
        let nodes = [codes.arguments[i], codes.arguments[i + 1]];
        let values = [codes.values[i], codes.values[i + 1]];
        match codes.bends.get(i) {
            None => firmware::line_fixed(x, nodes, values),
            Some(&bends) => firmware::bent_fixed(x, nodes, values, bends),
        }
    }
}

/// Values (and bends) at nodes that have moved: the distance from the curve stays.
fn moved(relation: &Relation<'_>, shape: Shape, nodes: &[(f64, f64)], to: &[f64]) -> (Vec<f64>, Vec<[f64; 2]>) {
    let values = nodes
        .iter()
        .zip(to)
        .map(|(&(x, y), &x_new)| {
            let off = if shape == Shape::Linear { y - relation.value(x) } else { 0.0 };
            relation.value(x_new) + off
        })
        .collect();
    if shape.is_straight() {
        return (values, Vec::new());
    }
    let bent = Bent::new(relation, shape);
    let bends = to
        .windows(2)
        .map(|x| {
            let segment = bent.between(x[0], x[1]);
            [segment.bend, segment.skew]
        })
        .collect();
    (values, bends)
}

fn distinct(arguments: &[f64], format: &str) -> Result<()> {
    if arguments.windows(2).all(|x| x[1] > x[0]) {
        return Ok(());
    }
    Err(Error::InvalidValue {
        what: "segments",
        value: (arguments.len() - 1) as f64,
        unit: "",
        requirement: format!("two nodes fall on one number of {format}: fewer segments or a finer argument"),
    })
}
