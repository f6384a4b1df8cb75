//! Results of the circuit: numbers with their derivatives.

use crate::objects::reduced;
use crate::records::elementwise_all;
use calcore::circuit as core;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyFloat, PyTuple};

/// A frozen class of numbers that mirrors a struct of the core.
macro_rules! numbers {
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $field:ident,)* } $($rest:tt)*) => {
        $(#[$meta])*
        #[pyclass(frozen, eq, module = "calcore.circuit")]
        #[derive(Clone, Copy, PartialEq)]
        pub(crate) struct $name(pub(super) core::$name);

        impl $name {
            /// Names of its numbers, in their order.
            pub(super) const FIELDS: [&str; [$(stringify!($field)),*].len()] = [$(stringify!($field)),*];

            /// Its numbers in the order of their names.
            pub(super) fn numbers(values: &core::$name) -> [f64; Self::FIELDS.len()] {
                [$(values.$field),*]
            }

            /// By its numbers in the order of their names.
            pub(super) fn from_numbers(numbers: [f64; Self::FIELDS.len()]) -> Self {
                let [$($field),*] = numbers;
                Self(core::$name { $($field),* })
            }
        }

        #[pymethods]
        impl $name {
            #[new]
            #[pyo3(signature = ($($field),*))]
            fn new($($field: f64),*) -> Self {
                Self(core::$name { $($field),* })
            }

            $(
                $(#[$doc])*
                #[getter]
                fn $field(&self) -> f64 {
                    self.0.$field
                }
            )*

            fn __repr__(&self) -> String {
                let fields = [$(format!("{}={}", stringify!($field), self.0.$field)),*];
                format!("{}({})", stringify!($name), fields.join(", "))
            }

            fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
                let values = &slf.get().0;
                reduced(slf.as_any(), ($(values.$field,)*), &PyDict::new(slf.py()))
            }

            $($rest)*
        }
    };
}

numbers! {
    /// What a cause does to the reading of a sensor.
    ///
    /// Parameters
    /// ----------
    /// signal_change : float
    ///     Change of the signal, in its unit.
    /// error_k : float
    ///     Error of the temperature read: read minus true, K.
    /// error_k_per_unit : float
    ///     Change of that error per unit of the cause, K per unit.
    ///
    /// Examples
    /// --------
    /// >>> effect = cc.circuit.two_wire_effect(cc.CallendarVanDusen.iec60751(), 0.0, 0.5)
    /// >>> round(effect.error_k, 4)
    /// 1.2796
    Effect {
        /// Change of the signal, in its unit.
        signal_change,
        /// Error of the temperature read: read minus true, K.
        error_k,
        /// Change of that error per unit of the cause, K per unit.
        error_k_per_unit,
    }
}

numbers! {
    /// Self-heating of an element, with its derivatives.
    ///
    /// Parameters
    /// ----------
    /// power_mw : float
    ///     Power in the element, mW.
    /// error_k : float
    ///     How far it reads too high, K.
    /// error_k_per_ma : float
    ///     Change with the current, K/mA.
    /// error_k_per_mw_per_k : float
    ///     Change with the dissipation constant, K per mW/K.
    ///
    /// Examples
    /// --------
    /// >>> cc.circuit.self_heating(1.0, 100.0, 5.0).error_k
    /// 0.02
    SelfHeating {
        /// Power in the element, mW.
        power_mw,
        /// How far it reads too high, K.
        error_k,
        /// Change with the current, K/mA.
        error_k_per_ma,
        /// Change with the dissipation constant, K per mW/K.
        error_k_per_mw_per_k,
    }
}

numbers! {
    /// Resistance at zero power, with its derivatives.
    ///
    /// Parameters
    /// ----------
    /// ohm : float
    ///     Resistance without self-heating, ohm.
    /// rise_at_first_ohm : float
    ///     Self-heating at the first current, ohm.
    /// per_first_ohm : float
    ///     Change with the resistance at the first current, ohm/ohm.
    /// per_second_ohm : float
    ///     Change with the resistance at the second current, ohm/ohm.
    /// per_first_ma : float
    ///     Change with the first current, ohm/mA.
    /// per_second_ma : float
    ///     Change with the second current, ohm/mA.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.circuit.zero_power_resistance(1.0, 100.01, 2.0, 100.04).ohm, 9)
    /// 100.0
    ZeroPower {
        /// Resistance without self-heating, ohm.
        ohm,
        /// Self-heating at the first current, ohm.
        rise_at_first_ohm,
        /// Change with the resistance at the first current, ohm/ohm.
        per_first_ohm,
        /// Change with the resistance at the second current, ohm/ohm.
        per_second_ohm,
        /// Change with the first current, ohm/mA.
        per_first_ma,
        /// Change with the second current, ohm/mA.
        per_second_ma,
    }

    /// Standard uncertainty of the resistance at zero power, by independent ones of readings and currents.
    ///
    /// Parameters
    /// ----------
    /// u_first_ohm, u_second_ohm : float or array-like
    ///     Of the two readings, ohm.
    /// u_first_ma, u_second_ma : float or array-like, optional
    ///     Of the two currents, mA.
    /// invalid : {"raise", "nan"}
    ///     What a NaN or an infinity gives.
    ///
    /// Returns
    /// -------
    /// float or array of the common shape
    ///     ohm.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> zero = cc.circuit.zero_power_resistance(1.0, 100.01, 2.0**0.5, 100.02)
    /// >>> round(zero.uncertainty(1e-3, 1e-3) / 1e-3, 6)  # the root of 5
    /// 2.236068
    #[pyo3(
        signature = (u_first_ohm, u_second_ohm, u_first_ma=None, u_second_ma=None, *, invalid="raise"),
        text_signature = "($self, u_first_ohm, u_second_ohm, u_first_ma=0.0, u_second_ma=0.0, *, invalid='raise')"
    )]
    fn uncertainty<'py>(
        &self,
        u_first_ohm: &Bound<'py, PyAny>,
        u_second_ohm: &Bound<'py, PyAny>,
        u_first_ma: Option<&Bound<'py, PyAny>>,
        u_second_ma: Option<&Bound<'py, PyAny>>,
        invalid: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        let exact = PyFloat::new(u_first_ohm.py(), 0.0).into_any();
        let names = ["u_first_ohm", "u_second_ohm", "u_first_ma", "u_second_ma"];
        let arguments = [u_first_ohm, u_second_ohm, u_first_ma.unwrap_or(&exact), u_second_ma.unwrap_or(&exact)];
        elementwise_all(names, arguments, invalid, |[a, b, c, d]| self.0.uncertainty(a, b, c, d))
    }
}

numbers! {
    /// A resistance measured with both directions of the current: a constant emf drops out.
    ///
    /// Parameters
    /// ----------
    /// ohm : float
    ///     Resistance, ohm.
    /// emf_mv : float
    ///     The emf that dropped out, mV.
    /// ohm_per_forward_mv : float
    ///     Change with the forward voltage, ohm/mV.
    /// ohm_per_ma : float
    ///     Change with either current, ohm/mA.
    ///
    /// Examples
    /// --------
    /// >>> reading = cc.circuit.resistance_by_reversal(100.005, 1.0, -99.995, 1.0)
    /// >>> round(reading.ohm, 9), round(reading.emf_mv, 9)
    /// (100.0, 0.005)
    ReversedReading {
        /// Resistance, ohm.
        ohm,
        /// The emf that dropped out, mV.
        emf_mv,
        /// Change with the forward voltage, ohm/mV.
        ohm_per_forward_mv,
        /// Change with either current, ohm/mA.
        ohm_per_ma,
    }
}

numbers! {
    /// Temperature of a measuring junction, with its derivatives.
    ///
    /// Parameters
    /// ----------
    /// t_c : float
    ///     Temperature of the measuring junction, °C.
    /// total_mv : float
    ///     Emf with the reference junction at 0 °C, mV.
    /// per_mv : float
    ///     Change with the emf, K/mV.
    /// per_reference_k : float
    ///     Change with the temperature taken for the reference junction, K/K.
    ///
    /// Examples
    /// --------
    /// >>> k = cc.Thermocouple("K")
    /// >>> round(cc.circuit.measuring_junction(k, k.emf(100.0, 25.0), 25.0).t_c, 9)
    /// 100.0
    JunctionReading {
        /// Temperature of the measuring junction, °C.
        t_c,
        /// Emf with the reference junction at 0 °C, mV.
        total_mv,
        /// Change with the emf, K/mV.
        per_mv,
        /// Change with the temperature taken for the reference junction, K/K.
        per_reference_k,
    }
}

numbers! {
    /// What extension wires add to a reading.
    ///
    /// Parameters
    /// ----------
    /// error_mv : float
    ///     Error of the emf, mV.
    /// error_k : float
    ///     Error of the temperature that is read, K.
    ///
    /// Examples
    /// --------
    /// >>> error = cc.circuit.extension_wire_error(cc.Thermocouple("K"), "copper", 500.0, 45.0, 25.0)
    /// >>> round(error.error_mv, 3)
    /// -0.817
    ExtensionWireError {
        /// Error of the emf, mV.
        error_mv,
        /// Error of the temperature that is read, K.
        error_k,
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Effect>()?;
    module.add_class::<SelfHeating>()?;
    module.add_class::<ZeroPower>()?;
    module.add_class::<ReversedReading>()?;
    module.add_class::<JunctionReading>()?;
    module.add_class::<ExtensionWireError>()
}
