//! C source of a table or polynomial.

use super::{Direction, Export, FixedPoint, Minimax, Proof, Result};
use crate::linearization::firmware::{PLACE_BITS, PLACE_FRACTION};
use crate::linearization::minimax::{Coefficients, FixedCoefficients};
use crate::linearization::table::{Codes, Entries, LookupTable};
use std::fmt::Write;

/// Numbers in a row of an array.
const ROW: usize = 6;

/// A header and a source, to be stored as NAME.h and NAME.c.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CSource {
    /// The header.
    pub header: String,
    /// The source.
    pub source: String,
}

/// The kinds of numbers.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    F64,
    F32,
    Fixed { argument: FixedPoint, value: FixedPoint },
}

pub(super) fn source(export: Export<'_>, name: &str) -> Result<CSource> {
    let kind = match export {
        Export::Table(table) => match table.options.entries {
            Entries::F64 => Kind::F64,
            Entries::F32 => Kind::F32,
            Entries::Fixed { argument, value } => Kind::Fixed { argument, value },
        },
        Export::Minimax(found) => match found.options.coefficients {
            Coefficients::F64 => Kind::F64,
            Coefficients::F32 => Kind::F32,
            Coefficients::Fixed { argument, value, .. } => Kind::Fixed { argument, value },
        },
    };
    let body = match export {
        Export::Table(table) => match &table.codes {
            Some(codes) => fixed_table(name, kind, codes),
            None => floating_table(name, kind, table),
        },
        Export::Minimax(found) => match &found.fixed {
            Some(fixed) => fixed_quotient(name, kind, found, fixed),
            None => floating_quotient(name, kind, found),
        },
    };
    Ok(CSource { header: header(export, name, kind), source: format!("#include \"{name}.h\"\n\n{body}") })
}

impl Kind {
    fn argument(self) -> String {
        match self {
            Self::F64 => "double".into(),
            Self::F32 => "float".into(),
            Self::Fixed { argument, .. } => integer(argument),
        }
    }

    fn value(self) -> String {
        match self {
            Self::Fixed { value, .. } => integer(value),
            floating => floating.argument(),
        }
    }

    /// A literal that reads back to the same number.
    fn literal(self, x: f64) -> String {
        match self {
            Self::F32 => format!("{:e}f", x as f32),
            _ => format!("{x:e}"),
        }
    }
}

/// The smallest type of `<stdint.h>` that holds a format.
fn integer(format: FixedPoint) -> String {
    let bits = match format.bits {
        ..=8 => 8,
        9..=16 => 16,
        _ => 32,
    };
    format!("{}int{bits}_t", if format.signed { "" } else { "u" })
}

fn header(export: Export<'_>, name: &str, kind: Kind) -> String {
    let facts = export.facts();
    let upper = name.to_uppercase();
    let (from, to) = match facts.direction {
        Direction::SignalToTemperature => ("signal of the sensor", "temperature in degree Celsius"),
        Direction::TemperatureToSignal => ("temperature in degree Celsius", "signal of the sensor"),
    };
    let proof = match facts.proof {
        Proof::Curvature => "by enclosing the derivatives of the error",
        Proof::EveryReading => "by trying every reading",
    };
    let mut text = format!(
        "/*\n * {name}: {}, {from} to {to}.\n * Range {} to {} degree Celsius.\n * Largest error {} {}, proven {proof}; \
         rounding included.\n * Compile as ISO C (without fused multiply-add). Beyond the ends the nearer end answers.\n * \
         Made by calcore {}.\n */\n#ifndef {upper}_H\n#define {upper}_H\n\n",
        facts.what,
        facts.range_c.0,
        facts.range_c.1,
        facts.largest_error,
        ascii_unit(facts.error_unit),
        crate::VERSION
    );
    if let Kind::Fixed { argument, value } = kind {
        text.push_str("#include <stdint.h>\n\n");
        let _ = write!(
            text,
            "/* The integers count parts of 2 to the power of minus these bits. */\n#define {upper}_ARGUMENT_FRACTION_BITS \
             ({})\n#define {upper}_VALUE_FRACTION_BITS ({})\n\n",
            argument.fraction_bits, value.fraction_bits
        );
    }
    let _ = write!(
        text,
        "/* Ends of the argument, as numbers and not as integers, and the proven largest error. */\n#define {upper}_LOW \
         ({:e})\n#define {upper}_HIGH ({:e})\n#define {upper}_LARGEST_ERROR ({:e})\n\n",
        facts.arguments.0, facts.arguments.1, facts.largest_error
    );
    let _ = write!(
        text,
        "#ifdef __cplusplus\nextern \"C\" {{\n#endif\n\n{} {name}({} x);\n\n#ifdef __cplusplus\n}}\n#endif\n\n#endif\n",
        kind.value(),
        kind.argument()
    );
    text
}

fn ascii_unit(unit: &str) -> String {
    unit.replace('°', "deg").replace('Ω', "ohm")
}

fn array(kind: &str, name: &str, numbers: &[String]) -> String {
    let rows: Vec<String> = numbers.chunks(ROW).map(|row| format!("    {}", row.join(", "))).collect();
    format!("static const {kind} {name}[{}] = {{\n{}\n}};\n\n", numbers.len(), rows.join(",\n"))
}

/// Holds x between the ends and finds its segment by halving: the last node not above it.
fn search(last: usize) -> String {
    format!(
        "    unsigned low = 0u;\n    unsigned high = {last}u;\n\n    if (!(x > arguments[0])) {{\n        x = arguments[0];\n    \
         }} else if (x > arguments[{last}]) {{\n        x = arguments[{last}];\n    }}\n    while (high - low > 1u) {{\n        \
         const unsigned middle = low + (high - low) / 2u;\n        if (arguments[middle] <= x) {{\n            low = \
         middle;\n        }} else {{\n            high = middle;\n        }}\n    }}\n"
    )
}

fn floating_table(name: &str, kind: Kind, table: &LookupTable) -> String {
    let number = kind.argument();
    let literals = |numbers: &[f64]| numbers.iter().map(|&x| kind.literal(x)).collect::<Vec<_>>();
    let mut text = array(&number, "arguments", &literals(&table.arguments));
    text += &array(&number, "values", &literals(&table.values));
    let bent = !table.bends.is_empty();
    if bent {
        let column = |k: usize| table.bends.iter().map(|b| b[k]).collect::<Vec<f64>>();
        text += &array(&number, "bends", &literals(&column(0)));
        text += &array(&number, "skews", &literals(&column(1)));
    }
    let (one, suffix) = if kind == Kind::F32 { ("1.0f", "f") } else { ("1.0", "") };
    let inner = if bent {
        format!("({one} - u) * (bends[low] + skews[low] * u)")
    } else {
        // The steps of the proof, in which straight segments have a bend of zero.
        format!("({one} - u) * 0.0{suffix}")
    };
    let _ = write!(
        text,
        "{number} {name}({number} x)\n{{\n{}    {{\n        const {number} u = (x - arguments[low]) / (arguments[low + 1u] - \
         arguments[low]);\n\n        return values[low] + u * (values[low + 1u] - values[low] + {inner});\n    }}\n}}\n",
        search(table.segments())
    );
    text
}

const DIVIDE: &str = "/* Rounded to the nearest, halves away from zero. */\nstatic int64_t divide(int64_t n, int64_t d)\n{\n    \
                      return (n >= 0 ? n + d / 2 : n - d / 2) / d;\n}\n\n";

fn integers(numbers: &[i64]) -> Vec<String> {
    numbers.iter().map(i64::to_string).collect()
}

fn fixed_table(name: &str, kind: Kind, codes: &Codes) -> String {
    let last = codes.arguments.len() - 1;
    let mut text = array("int64_t", "arguments", &integers(&codes.arguments));
    text += &array("int64_t", "values", &integers(&codes.values));
    let bent = !codes.bends.is_empty();
    if bent {
        let column = |k: usize| codes.bends.iter().map(|b| b[k]).collect::<Vec<i64>>();
        text += &array("int64_t", "bends", &integers(&column(0)));
        text += &array("int64_t", "skews", &integers(&column(1)));
    }
    text += DIVIDE;
    let steps = if bent {
        let one = 1i64 << PLACE_BITS;
        format!(
            "        const int64_t u = divide((x - x0) * {one}, x1 - x0);\n        const int64_t inner = bends[low] + \
             divide(skews[low] * u, {one});\n        const int64_t slope = y1 - y0 + divide(inner * ({one} - u), {one});\n\n        \
             return y0 + divide(slope * u, {one});\n"
        )
    } else {
        "        return y0 + divide((y1 - y0) * (x - x0), x1 - x0);\n".into()
    };
    let place = match shift(&codes.arguments) {
        Some(bits) => format!(
            "    unsigned low;\n\n    if (x < arguments[0]) {{\n        x = arguments[0];\n    }} else if (x > arguments[{last}]) \
             {{\n        x = arguments[{last}];\n    }}\n    low = (unsigned)((uint64_t)(x - arguments[0]) >> {bits});\n    if (low > \
             {}u) {{\n        low = {}u;\n    }}\n",
            last - 1,
            last - 1
        ),
        None => search(last),
    };
    let _ = write!(
        text,
        "static int64_t look_up(int64_t x)\n{{\n{place}    {{\n        const int64_t x0 = arguments[low];\n        const int64_t x1 \
         = arguments[low + 1u];\n        const int64_t y0 = values[low];\n        const int64_t y1 = values[low + 1u];\n{steps}    \
         }}\n}}\n\n{} {name}({} x)\n{{\n    return ({})look_up((int64_t)x);\n}}\n",
        kind.value(),
        kind.argument(),
        kind.value()
    );
    text
}

/// Bits by which a distance from the first node is shifted for its segment, where all segments are as wide as a power of
/// two, the last one perhaps less.
fn shift(nodes: &[i64]) -> Option<u32> {
    let (last, full) = nodes.split_last()?;
    let step = full.get(1)? - full.first()?;
    let power = step > 0 && step & (step - 1) == 0;
    let equal = full.windows(2).all(|pair| pair[1] - pair[0] == step) && last - full.last()? <= step;
    (power && equal).then(|| step.trailing_zeros())
}

fn floating_quotient(name: &str, kind: Kind, found: &Minimax) -> String {
    let number = kind.argument();
    let literals = |c: &[f64]| c.iter().map(|&x| kind.literal(x)).collect::<Vec<_>>();
    let mut text = array(&number, "numerator", &literals(&found.numerator));
    if !found.denominator.is_empty() {
        text += &array(&number, "denominator", &literals(&found.denominator));
    }
    let _ = write!(
        text,
        "static {number} horner(const {number} *c, unsigned count, {number} z)\n{{\n    {number} sum = c[count - 1u];\n\n    while \
         (count > 1u) {{\n        count -= 1u;\n        sum = sum * z + c[count - 1u];\n    }}\n    return sum;\n}}\n\n"
    );
    let (low, high) = (kind.literal(inward(kind, found.low, true)), kind.literal(inward(kind, found.high, false)));
    let value = |array: &str, c: &[f64]| format!("horner({array}, {}u, z)", c.len());
    let result = if found.denominator.is_empty() {
        value("numerator", &found.numerator)
    } else {
        format!("{} / {}", value("numerator", &found.numerator), value("denominator", &found.denominator))
    };
    let _ = write!(
        text,
        "{number} {name}({number} x)\n{{\n    {number} z;\n\n    if (!(x > {low})) {{\n        x = {low};\n    }} else if (x > {high}) \
         {{\n        x = {high};\n    }}\n    z = (x - {}) * {};\n    return {result};\n}}\n",
        kind.literal(found.centre),
        kind.literal(found.scale)
    );
    text
}

/// An end of the argument that the kind of number can hold, not beyond the end itself.
fn inward(kind: Kind, end: f64, is_low: bool) -> f64 {
    if kind != Kind::F32 {
        return end;
    }
    let near = end as f32;
    let beyond = if is_low { f64::from(near) < end } else { f64::from(near) > end };
    f64::from(match (beyond, is_low) {
        (false, _) => near,
        (true, true) => near.next_up(),
        (true, false) => near.next_down(),
    })
}

fn fixed_quotient(name: &str, kind: Kind, found: &Minimax, fixed: &FixedCoefficients) -> String {
    let mut text = array("int64_t", "numerator", &integers(&fixed.numerator));
    if !fixed.denominator.is_empty() {
        text += &array("int64_t", "denominator", &integers(&fixed.denominator));
    }
    text += DIVIDE;
    let one = 1i64 << PLACE_FRACTION;
    let _ = write!(
        text,
        "static int64_t horner(const int64_t *c, unsigned count, int64_t z)\n{{\n    int64_t sum = c[count - 1u];\n\n    while (count \
         > 1u) {{\n        count -= 1u;\n        sum = c[count - 1u] + divide(sum * z, {one});\n    }}\n    return sum;\n}}\n\n"
    );
    let n = format!("horner(numerator, {}u, z)", fixed.numerator.len());
    let (bits, shift) = (fixed.value.fraction_bits, fixed.coefficient.fraction_bits - fixed.value.fraction_bits);
    let result = if fixed.denominator.is_empty() {
        if shift >= 0 { format!("divide({n}, {})", 1i64 << shift) } else { format!("{n} * {}", 1i64 << -shift) }
    } else {
        let d = format!("horner(denominator, {}u, z)", fixed.denominator.len());
        if bits >= 0 {
            format!("divide({n} * {}, {d})", 1i64 << bits)
        } else {
            format!("divide({n}, {d} * {})", 1i64 << -bits)
        }
    };
    let unit = fixed.argument.unit();
    let (low, high) = (libm::ceil(found.low / unit) as i64, libm::floor(found.high / unit) as i64);
    let (argument, value) = (kind.argument(), kind.value());
    let _ = write!(
        text,
        "{value} {name}({argument} reading)\n{{\n    int64_t x = (int64_t)reading;\n    int64_t z;\n\n    if (x < {low}) {{\n        x = \
         {low};\n    }} else if (x > {high}) {{\n        x = {high};\n    }}\n    z = divide((x - {}) * {one}, {});\n    return \
         ({value}){result};\n}}\n",
        parenthesised(fixed.centre),
        fixed.half
    );
    text
}

/// A negative number after a minus sign needs parentheses.
fn parenthesised(x: i64) -> String {
    if x < 0 { format!("({x})") } else { x.to_string() }
}
