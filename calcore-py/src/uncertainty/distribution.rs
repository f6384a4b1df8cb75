//! What is known about an input quantity.

use crate::errors::OrRaise;
use calcore::uncertainty::Distribution as Core;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;

/// What is known about an input quantity, in its unit: made by one of the kinds.
///
/// Source
/// ------
/// JCGM 101:2008, 6.4 and table 1; JCGM 100:2008, 4.3.
///
/// Examples
/// --------
/// >>> isinstance(cc.uncertainty.Normal(0.0, 1.0), cc.uncertainty.Distribution)
/// True
#[pyclass(frozen, eq, subclass, module = "calcore.uncertainty")]
#[derive(Clone, PartialEq)]
pub(crate) struct Distribution(pub(crate) Core);

#[pymethods]
impl Distribution {
    /// Best estimate: the expectation.
    #[getter]
    fn mean(&self) -> f64 {
        self.0.mean()
    }

    /// Standard uncertainty, in the unit of the quantity.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.0.standard_uncertainty()
    }

    /// Degrees of freedom of the standard uncertainty; infinite where it is taken as exact.
    #[getter]
    fn degrees_of_freedom(&self) -> f64 {
        self.0.degrees_of_freedom()
    }

    /// Name of the kind, in small letters.
    #[getter]
    fn name(&self) -> &'static str {
        self.0.name()
    }

    fn __repr__(slf: &Bound<'_, Self>) -> PyResult<String> {
        let arguments: Vec<String> = arguments(slf)?.iter().map(|value| value.to_string()).collect();
        Ok(format!("{}({})", slf.get_type().name()?, arguments.join(", ")))
    }

    fn __hash__(slf: &Bound<'_, Self>) -> PyResult<isize> {
        arguments(slf)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        (slf.get_type(), arguments(slf)?).into_pyobject(slf.py())
    }
}

/// The arguments from which the class makes the distribution again.
fn arguments<'py>(slf: &Bound<'py, Distribution>) -> PyResult<Bound<'py, PyTuple>> {
    let py = slf.py();
    match slf.get().0 {
        Core::Normal { mean, std, degrees_of_freedom } => (mean, std, degrees_of_freedom).into_pyobject(py),
        Core::Rectangular { low, high } | Core::Triangular { low, high } => (low, high).into_pyobject(py),
        other => Err(PyTypeError::new_err(format!("a distribution of the kind {} cannot be copied", other.name()))),
    }
}

/// A class for a kind of distribution.
macro_rules! kind {
    ($(#[$meta:meta])* $name:ident($($signature:tt)*) => ($($argument:ident),*) $make:expr) => {
        $(#[$meta])*
        #[pyclass(frozen, extends = Distribution, module = "calcore.uncertainty")]
        pub(crate) struct $name;

        #[pymethods]
        impl $name {
            #[new]
            #[pyo3(signature = ($($signature)*))]
            fn new(py: Python<'_>, $($argument: f64),*) -> PyResult<PyClassInitializer<Self>> {
                Ok(PyClassInitializer::from(Distribution($make.or_raise(py)?)).add_subclass(Self))
            }
        }
    };
}

kind! {
    /// Gaussian.
    ///
    /// Parameters
    /// ----------
    /// mean : float
    ///     Estimate.
    /// std : float
    ///     Standard uncertainty.
    /// degrees_of_freedom : float
    ///     How well the standard uncertainty itself is known; infinite where it is taken as exact.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.7.
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.Normal(100.0, 0.01)
    /// Normal(100.0, 0.01, inf)
    Normal(mean, std, degrees_of_freedom = f64::INFINITY) => (mean, std, degrees_of_freedom)
        Core::normal_with_degrees_of_freedom(mean, std, degrees_of_freedom)
}

kind! {
    /// Equal density between two limits.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     Limits.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.2.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.uncertainty.Rectangular(96.0, 104.0).standard_uncertainty, 4)
    /// 2.3094
    Rectangular(low, high) => (low, high) Core::rectangular(low, high)
}

kind! {
    /// Symmetric triangle between two limits.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     Limits.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.5.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.uncertainty.Triangular(96.0, 104.0).standard_uncertainty, 4)
    /// 1.633
    Triangular(low, high) => (low, high) Core::triangular(low, high)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Distribution>()?;
    module.add_class::<Normal>()?;
    module.add_class::<Rectangular>()?;
    module.add_class::<Triangular>()
}
