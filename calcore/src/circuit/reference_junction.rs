//! What a thermocouple's reference junction and its extension wires do to the temperature that is read.

use crate::curves::Thermocouple;
use crate::error::{Error, Result, finite};

/// Error of the read temperature per kelvin by which the reference junction is hotter than assumed, K/K.
///
/// Negative where both slopes are positive: a junction hotter than assumed makes the reading too low. (The change of the
/// reading with the *assumed* temperature is the negative of this.) It is the sensitivity coefficient by which the
/// uncertainty of the reference junction enters that of the temperature.
///
/// # Formula
/// −S(t_ref) / S(t_hot), S the slope of the reference function.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::InvalidValue`] where the slope is zero (minimum of type B).
///
/// # Source
/// The emf E(t_hot) − E(t_ref), differentiated; so used in EA-4/02 M:2022, S5.
///
/// # Example
/// ```
/// use calcore::circuit::reference_junction_sensitivity;
/// use calcore::curves::Thermocouple;
/// // EA-4/02, S5 rounds its sensitivities to 0.077 °C/µV and 0.189 °C/µV, hence 0.407; the functions give 0.400.
/// let r = Thermocouple::new("R")?;
/// assert!((reference_junction_sensitivity(&r, 1000.0, 0.0)? + 0.400).abs() < 5e-4);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn reference_junction_sensitivity(
    thermocouple: &Thermocouple,
    t_hot_c: f64,
    reference_junction_c: f64,
) -> Result<f64> {
    Ok(-whole(thermocouple).slope(reference_junction_c)? * kelvin_per_mv(thermocouple, t_hot_c)?)
}

/// Error of the read temperature, K, when the reference junction is not at the temperature that the instrument assumes.
///
/// Exact, unlike the sensitivity: for an instrument that assumes 0 °C (compensation forgotten), or one whose sensor of
/// the junction is off.
///
/// # Formula
/// E⁻¹(E(t_hot) − E(t_ref) + E(t_assumed)) − t_hot.
///
/// # Errors
/// As [`Thermocouple::emf`] and [`Thermocouple::temperature`].
///
/// # Example
/// ```
/// use calcore::circuit::reference_junction_error;
/// use calcore::curves::Thermocouple;
/// // Type K at 100 °C with the junction at 25 °C, compensation forgotten: it reads 75.89 °C.
/// let error_k = reference_junction_error(&Thermocouple::new("K")?, 100.0, 25.0, 0.0)?;
/// assert!((error_k + 24.11).abs() < 5e-3);
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn reference_junction_error(
    thermocouple: &Thermocouple,
    t_hot_c: f64,
    reference_junction_c: f64,
    assumed_c: f64,
) -> Result<f64> {
    let mv = thermocouple.emf(t_hot_c, reference_junction_c)?;
    Ok(thermocouple.temperature(mv, assumed_c)? - t_hot_c)
}

/// The wires between the connection head of a thermocouple and the instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ExtensionWire {
    /// Of the right type, with an emf between head and instrument that deviates by so many mV: as found, or the limit of
    /// a tolerance class (IEC 60584-3, which states it in µV).
    Deviating {
        /// The deviation, mV.
        mv: f64,
    },
    /// Of the right type, with the two conductors crossed at both ends.
    Reversed,
    /// The extension wire of another type.
    Other(Thermocouple),
    /// Two conductors of the same metal, such as copper.
    Copper,
}

/// What extension wires add to a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct ExtensionWireError {
    /// Error of the emf, mV.
    pub error_mv: f64,
    /// Error of the temperature that is read, K.
    pub error_k: f64,
}

/// Error that extension wires cause, with the head at one temperature and the reference junction, at the instrument, at
/// another.
///
/// It depends on the temperature of the head: none, whatever the wires, when head and reference junction are equally
/// warm (except a stated deviation).
///
/// # Formula
/// Error of the emf: with wires of the right type reversed −2 (E(t_head) − E(t_ref)), of another type E_other(t_head) −
/// E_other(t_ref) − (E(t_head) − E(t_ref)), of one metal −(E(t_head) − E(t_ref)). Error of the temperature:
/// E⁻¹(E(t_hot) + error) − t_hot.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`] as [`Thermocouple::emf_between`] and [`Thermocouple::temperature`].
///
/// # Example
/// ```
/// use calcore::circuit::{ExtensionWire, extension_wire_error};
/// use calcore::curves::Thermocouple;
/// // Type K at 500 °C, head at 45 °C, instrument at 25 °C, wires crossed: about twice the 20 K between them, too low.
/// let k = Thermocouple::new("K")?;
/// let error = extension_wire_error(&k, ExtensionWire::Reversed, 500.0, 45.0, 25.0)?;
/// assert!((error.error_mv + 2.0 * (1.817 - 1.000)).abs() < 2e-3); // E(45 °C) and E(25 °C) by the table of IEC 60584-1
/// assert!((error.error_k + 1.634 / 0.0426).abs() < 0.1); // over the slope at 500 °C, mV/K
/// # Ok::<(), calcore::Error>(())
/// ```
pub fn extension_wire_error(
    thermocouple: &Thermocouple,
    wire: ExtensionWire,
    t_hot_c: f64,
    t_head_c: f64,
    reference_junction_c: f64,
) -> Result<ExtensionWireError> {
    let right_mv = thermocouple.emf_between(t_head_c, reference_junction_c)?;
    let error_mv = match wire {
        ExtensionWire::Deviating { mv } => finite("deviation of the extension wire", mv)?,
        ExtensionWire::Reversed => -2.0 * right_mv,
        ExtensionWire::Other(other) => other.emf_between(t_head_c, reference_junction_c)? - right_mv,
        ExtensionWire::Copper => -right_mv,
    };
    let read_c = thermocouple.temperature(thermocouple.emf(t_hot_c, 0.0)? + error_mv, 0.0)?;
    Ok(ExtensionWireError { error_mv, error_k: read_c - t_hot_c })
}

/// The same type without a side: what a reference junction, wherever it is, stands on.
fn whole(thermocouple: &Thermocouple) -> Thermocouple {
    Thermocouple::from(thermocouple.kind())
}

/// 1/S of the hot junction.
fn kelvin_per_mv(thermocouple: &Thermocouple, t_hot_c: f64) -> Result<f64> {
    let slope = thermocouple.slope(t_hot_c)?;
    if slope == 0.0 {
        let requirement = format!("no emf tells temperatures apart at {t_hot_c} °C");
        return Err(Error::InvalidValue { what: "slope of the emf", value: slope, unit: "mV/K", requirement });
    }
    Ok(1.0 / slope)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curves::Side;

    fn kind(letter: &str) -> Thermocouple {
        Thermocouple::new(letter).unwrap()
    }

    #[test]
    fn the_exact_error_follows_the_sensitivity() {
        for letter in ["E", "K", "R", "T"] {
            let curve = kind(letter);
            let sensitivity = reference_junction_sensitivity(&curve, 350.0, 25.0).unwrap();
            // A junction 0.01 K hotter than the 25 °C assumed. The curvature adds less than 1e-5 of it.
            let error_k = reference_junction_error(&curve, 350.0, 25.01, 25.0).unwrap();
            assert!((error_k / (0.01 * sensitivity) - 1.0).abs() < 1e-3, "{letter}: {error_k} {sensitivity}");
        }
    }

    // Witness: the printed table of IEC 60584-1 (E(45 °C), E(25 °C): K 1.817, 1.000; J 2.321, 1.277 mV), 0.0005 mV each.
    #[test]
    fn wires_of_another_kind() {
        let k = kind("K");
        let at = |wire, head| extension_wire_error(&k, wire, 500.0, head, 25.0).unwrap();
        let close = |found: f64, wanted: f64, tolerance: f64| assert!((found - wanted).abs() < tolerance, "{found}");
        close(at(ExtensionWire::Copper, 45.0).error_mv, -0.817, 0.001);
        close(at(ExtensionWire::Reversed, 45.0).error_mv, -1.634, 0.002);
        close(at(ExtensionWire::Other(kind("J")), 45.0).error_mv, 1.044 - 0.817, 0.002);
        // 60 µV over 42.6 µV/K at 500 °C.
        close(at(ExtensionWire::Deviating { mv: 0.060 }, 45.0).error_k, 0.060 / 0.0426, 0.002);
        for wire in [ExtensionWire::Copper, ExtensionWire::Reversed, ExtensionWire::Other(kind("J"))] {
            close(at(wire, 25.0).error_mv, 0.0, 1e-300);
            close(at(wire, 25.0).error_k, 0.0, 1e-12);
        }
    }

    #[test]
    fn the_side_of_type_b_does_not_bind_its_reference_junction() {
        let b = kind("B").on_side(Side::Upper).unwrap();
        // S(0 °C) of type B is -0.2465 µV/K, S(1000 °C) is 9.118 µV/K: a junction hotter than assumed reads too high.
        let sensitivity = reference_junction_sensitivity(&b, 1000.0, 0.0).unwrap();
        assert!((sensitivity - 0.2465 / 9.118).abs() < 5e-5);
        assert_eq!(reference_junction_sensitivity(&b, 1000.0, -1.0).map_err(|error| error.code()), Err(102));
    }
}
