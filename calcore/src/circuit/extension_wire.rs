//! What the extension wires of a thermocouple do to the temperature that is read.

use crate::curves::Thermocouple;
use crate::error::{Result, finite};

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
/// [`crate::Error::NotFinite`], [`crate::Error::OutOfRange`] as [`Thermocouple::emf_between`] and [`Thermocouple::temperature`].
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

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(letter: &str) -> Thermocouple {
        Thermocouple::new(letter).unwrap()
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
}
