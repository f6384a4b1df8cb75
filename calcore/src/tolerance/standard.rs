//! Tolerance classes of resistance thermometers.

use crate::constants::rtd::{
    ASTM_E1137_GRADES, GOST6651_COPPER_CLASSES, GOST6651_NICKEL_CLASSES, IEC60751_RESISTOR_CLASSES,
    IEC60751_THERMOMETER_CLASSES, ResistorClass, ToleranceClass,
};
use crate::error::{Error, Result};
use crate::interval::Interval;

/// How the platinum is held: it decides the temperature range of a thermometer's class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(rename_all = "snake_case"))]
pub enum Construction {
    /// A wound wire.
    #[default]
    WireWound,
    /// A film on a ceramic body.
    Film,
}

impl Construction {
    /// Reads the names `wire_wound` and `film`.
    ///
    /// # Errors
    /// [`Error::UnknownName`].
    pub fn from_name(name: &str) -> Result<Self> {
        match name {
            "wire_wound" => Ok(Self::WireWound),
            "film" => Ok(Self::Film),
            _ => Err(Error::UnknownName {
                what: "construction",
                name: name.into(),
                expected: "\"wire_wound\" or \"film\"".into(),
            }),
        }
    }

    /// The name that [`Construction::from_name`] reads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::WireWound => "wire_wound",
            Self::Film => "film",
        }
    }
}

/// Half-width of a class of IEC 60751 at a temperature, K: the limit for the error of a new thermometer or resistor.
///
/// # Formula
/// constant + proportion · |t|: AA and W0.1, F0.1: 0.1 + 0.0017 |t|; A and W0.15, F0.15: 0.15 + 0.002 |t|; B and W0.3,
/// F0.3: 0.3 + 0.005 |t|; C and W0.6, F0.6: 0.6 + 0.01 |t|.
///
/// # Arguments
/// `class`: `AA`, `A`, `B`, `C` for thermometers, `W0.1`, `W0.15`, `W0.3`, `W0.6`, `F0.1`, `F0.15`, `F0.3`, `F0.6` for
/// resistors; `t_c`: °C; `construction`: for the range of a thermometer's class. A resistor's class names its
/// construction itself, so the argument is not used for it.
///
/// # Errors
/// [`Error::UnknownName`]; [`Error::NotFinite`]; [`Error::OutOfRange`] outside the range of the class.
///
/// # Source
/// IEC 60751:2008, clause 5, tables 2 and 3. The ranges are from memory, and those of the 2022 edition could not be
/// verified; see [`crate::constants::rtd`].
///
/// # Example
/// ```
/// use calcore::tolerance::{Construction::WireWound, iec60751};
/// assert!((iec60751("B", 400.0, WireWound)? - 2.30).abs() < 1e-12);
/// let error = iec60751("A", 500.0, WireWound).unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "temperature for class A of IEC 60751, wire-wound, 500 °C is outside -100 to 450 °C"
/// );
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn iec60751(class: &str, t_c: f64, construction: Construction) -> Result<f64> {
    find(class, construction)?.half_width(t_c)
}

/// Range of temperature of a class of IEC 60751, °C.
///
/// # Errors
/// [`Error::UnknownName`].
///
/// # Example
/// ```
/// use calcore::tolerance::{Construction::Film, iec60751_range};
/// let range = iec60751_range("AA", Film)?;
/// assert_eq!((range.low, range.high), (0.0, 150.0));
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn iec60751_range(class: &str, construction: Construction) -> Result<Interval> {
    Ok(find(class, construction)?.range)
}

/// Half-width of a grade of ASTM E1137 at a temperature, K.
///
/// # Formula
/// A: 0.13 + 0.0017 |t|; B: 0.25 + 0.0042 |t|.
///
/// # Errors
/// [`Error::UnknownName`]; [`Error::NotFinite`]; [`Error::OutOfRange`] outside −200 °C to 650 °C.
///
/// # Source
/// ASTM E1137/E1137M, table 2 (from memory).
///
/// # Example
/// ```
/// assert!((calcore::tolerance::astm_e1137("A", 100.0)? - 0.30).abs() < 1e-15);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn astm_e1137(grade: &str, t_c: f64) -> Result<f64> {
    let name = |grade: &str| match grade {
        "A" => "temperature for grade A of ASTM E1137",
        _ => "temperature for grade B of ASTM E1137",
    };
    one_of(&ASTM_E1137_GRADES, "grade of ASTM E1137", grade, name)?.half_width(t_c)
}

/// Half-width of a class of copper or nickel thermometers of GOST 6651 at a temperature, K.
///
/// # Formula
/// A: 0.15 + 0.002 |t| (copper only); B: 0.3 + 0.005 |t| (copper only); C: 0.6 + 0.01 |t|. Platinum is as in
/// [`iec60751`].
///
/// # Arguments
/// `material`: `copper` or `nickel`; `class`: `A`, `B` or `C`; `t_c`: °C.
///
/// # Errors
/// [`Error::UnknownName`]; [`Error::NotFinite`]; [`Error::OutOfRange`] outside the range of the class.
///
/// # Source
/// GOST 6651-2009 (from memory).
pub fn gost6651(material: &str, class: &str, t_c: f64) -> Result<f64> {
    let name = |class: &str| match (material, class) {
        ("copper", "A") => "temperature for copper, class A of GOST 6651",
        ("copper", "B") => "temperature for copper, class B of GOST 6651",
        ("copper", _) => "temperature for copper, class C of GOST 6651",
        _ => "temperature for nickel, class C of GOST 6651",
    };
    let classes: &[ResistorClass] = match material {
        "copper" => &GOST6651_COPPER_CLASSES,
        "nickel" => &GOST6651_NICKEL_CLASSES,
        _ => {
            let expected = "\"copper\" or \"nickel\" (platinum: iec60751)".into();
            return Err(Error::UnknownName { what: "material of GOST 6651", name: material.into(), expected });
        }
    };
    one_of(classes, "class of GOST 6651", class, name)?.half_width(t_c)
}

fn one_of(
    classes: &[ResistorClass],
    what: &'static str,
    wanted: &str,
    quantity: impl Fn(&str) -> &'static str,
) -> Result<Class> {
    let found = classes.iter().find(|known| known.name == wanted).ok_or_else(|| {
        let names: Vec<&str> = classes.iter().map(|known| known.name).collect();
        Error::UnknownName { what, name: wanted.into(), expected: names.join(", ") }
    })?;
    let (low, high) = found.range_c;
    let range = Interval { what: quantity(found.name), unit: "°C", low, high };
    Ok(Class { constant_k: found.constant_k, proportion: found.proportion, range })
}

/// One class, ready to be evaluated.
struct Class {
    constant_k: f64,
    proportion: f64,
    range: Interval,
}

impl Class {
    fn half_width(&self, t_c: f64) -> Result<f64> {
        Ok(self.constant_k + self.proportion * self.range.check(t_c)?.abs())
    }
}

fn find(class: &str, construction: Construction) -> Result<Class> {
    let thermometer = IEC60751_THERMOMETER_CLASSES.iter().find(|known| known.name == class);
    if let Some(&ToleranceClass { name, constant_k, proportion, wire_wound_c, film_c }) = thermometer {
        let (low, high) = match construction {
            Construction::WireWound => wire_wound_c,
            Construction::Film => film_c,
        };
        let range = Interval { what: quantity(name, construction), unit: "°C", low, high };
        return Ok(Class { constant_k, proportion, range });
    }
    let resistor = IEC60751_RESISTOR_CLASSES.iter().find(|known| known.name == class);
    if let Some(&ResistorClass { name, constant_k, proportion, range_c: (low, high) }) = resistor {
        let range = Interval { what: quantity(name, construction), unit: "°C", low, high };
        return Ok(Class { constant_k, proportion, range });
    }
    let thermometers = IEC60751_THERMOMETER_CLASSES.iter().map(|known| known.name);
    let names: Vec<&str> = thermometers.chain(IEC60751_RESISTOR_CLASSES.iter().map(|known| known.name)).collect();
    Err(Error::UnknownName { what: "class of IEC 60751", name: class.into(), expected: names.join(", ") })
}

/// What an error about the range of a class calls the temperature. Written out, since an error carries fixed texts.
fn quantity(class: &str, construction: Construction) -> &'static str {
    match (class, construction) {
        ("AA", Construction::WireWound) => "temperature for class AA of IEC 60751, wire-wound,",
        ("AA", Construction::Film) => "temperature for class AA of IEC 60751, film,",
        ("A", Construction::WireWound) => "temperature for class A of IEC 60751, wire-wound,",
        ("A", Construction::Film) => "temperature for class A of IEC 60751, film,",
        ("B", Construction::WireWound) => "temperature for class B of IEC 60751, wire-wound,",
        ("B", Construction::Film) => "temperature for class B of IEC 60751, film,",
        ("C", Construction::WireWound) => "temperature for class C of IEC 60751, wire-wound,",
        ("C", Construction::Film) => "temperature for class C of IEC 60751, film,",
        ("W0.1", _) => "temperature for class W0.1 of IEC 60751",
        ("W0.15", _) => "temperature for class W0.15 of IEC 60751",
        ("W0.3", _) => "temperature for class W0.3 of IEC 60751",
        ("W0.6", _) => "temperature for class W0.6 of IEC 60751",
        ("F0.1", _) => "temperature for class F0.1 of IEC 60751",
        ("F0.15", _) => "temperature for class F0.15 of IEC 60751",
        ("F0.3", _) => "temperature for class F0.3 of IEC 60751",
        ("F0.6", _) => "temperature for class F0.6 of IEC 60751",
        _ => "temperature for a class of IEC 60751",
    }
}

#[cfg(test)]
mod tests {
    use super::Construction::{Film, WireWound};
    use super::*;

    // Witness: the formulas of IEC 60751:2008 tables 2 and 3, worked out by hand in decimals at the ends of each range.
    // Tolerance of the comparison: two roundings of numbers below 8.
    #[test]
    fn every_class_follows_its_formula_up_to_the_ends_of_its_range() {
        let table = [
            ("AA", WireWound, -50.0, 0.185, 250.0, 0.525),
            ("AA", Film, 0.0, 0.1, 150.0, 0.355),
            ("A", WireWound, -100.0, 0.35, 450.0, 1.05),
            ("A", Film, -30.0, 0.21, 300.0, 0.75),
            ("B", WireWound, -196.0, 1.28, 600.0, 3.3),
            ("B", Film, -50.0, 0.55, 500.0, 2.8),
            ("C", WireWound, -196.0, 2.56, 600.0, 6.6),
            ("C", Film, -50.0, 1.1, 600.0, 6.6),
            ("W0.1", Film, -100.0, 0.27, 350.0, 0.695),
            ("W0.15", Film, -100.0, 0.35, 450.0, 1.05),
            ("W0.3", Film, -196.0, 1.28, 660.0, 3.6),
            ("W0.6", Film, -196.0, 2.56, 660.0, 7.2),
            ("F0.1", WireWound, 0.0, 0.1, 150.0, 0.355),
            ("F0.15", WireWound, -30.0, 0.21, 300.0, 0.75),
            ("F0.3", WireWound, -50.0, 0.55, 500.0, 2.8),
            ("F0.6", WireWound, -50.0, 1.1, 600.0, 6.6),
        ];
        for (class, construction, low, at_low, high, at_high) in table {
            assert!((iec60751(class, low, construction).unwrap() - at_low).abs() < 2e-15, "{class} at {low}");
            assert!((iec60751(class, high, construction).unwrap() - at_high).abs() < 2e-15, "{class} at {high}");
            for outside in [low - 0.001, high + 0.001] {
                let error = iec60751(class, outside, construction).unwrap_err();
                assert_eq!(error.code(), 102);
                assert!(error.to_string().contains(&format!("class {class} of IEC 60751")), "{error}");
            }
        }
        assert!((iec60751("B", 400.0, WireWound).unwrap() - 2.30).abs() < 1e-15);
    }

    #[test]
    fn an_unknown_class_is_answered_with_the_known_ones() {
        let message = iec60751("1/3 DIN", 0.0, WireWound).unwrap_err().to_string();
        assert!(message.contains("AA, A, B, C, W0.1") && message.ends_with("F0.6"), "{message}");
        assert_eq!(iec60751("A", f64::NAN, Film).map_err(|e| e.code()), Err(101));
        assert_eq!(Construction::from_name("thin").map_err(|e| e.code()), Err(104));
        assert_eq!(Construction::from_name(Film.name()), Ok(Film));
    }
}
