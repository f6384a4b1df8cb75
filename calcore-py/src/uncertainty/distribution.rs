//! What is known about an input quantity.

use crate::arrays::elementwise;
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

    /// Third central moment over the cube of the standard deviation; None where it does not exist.
    #[getter]
    fn skewness(&self) -> Option<f64> {
        self.0.skewness()
    }

    /// Fourth central moment over the square of the variance, less 3; None where it does not exist.
    #[getter]
    fn excess_kurtosis(&self) -> Option<f64> {
        self.0.excess_kurtosis()
    }

    /// Probability of a value up to `x`.
    ///
    /// Parameters
    /// ----------
    /// x : float or array-like
    ///     In the unit of the quantity.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.Rectangular(0.0, 4.0).cdf([1.0, 9.0])
    /// array([0.25, 1.  ])
    fn cdf<'py>(&self, x: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("x", x, |x| self.0.cdf(x))
    }

    /// Value that is not exceeded with probability `p`.
    ///
    /// Parameters
    /// ----------
    /// p : float or array-like
    ///     Between 0 and 1.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     In the unit of the quantity.
    ///
    /// Raises
    /// ------
    /// OutOfRangeError, NotFiniteError
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.Rectangular(0.0, 4.0).quantile(0.25)
    /// 1.0
    fn quantile<'py>(&self, p: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        elementwise("p", p, |p| self.0.quantile(p))
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

/// A distribution of the core as an object of its class.
pub(super) fn object(py: Python<'_>, core: Core) -> PyResult<Bound<'_, PyAny>> {
    let base = PyClassInitializer::from(Distribution(core));
    Ok(match core {
        Core::Normal { .. } => Bound::new(py, base.add_subclass(Normal))?.into_any(),
        Core::Rectangular { .. } => Bound::new(py, base.add_subclass(Rectangular))?.into_any(),
        Core::Trapezoidal { .. } => Bound::new(py, base.add_subclass(Trapezoidal))?.into_any(),
        _ => Bound::new(py, base)?.into_any(),
    })
}

/// The arguments from which the class makes the distribution again.
fn arguments<'py>(slf: &Bound<'py, Distribution>) -> PyResult<Bound<'py, PyTuple>> {
    let py = slf.py();
    match slf.get().0 {
        Core::Normal { mean, std, degrees_of_freedom } => (mean, std, degrees_of_freedom).into_pyobject(py),
        Core::Rectangular { low, high } | Core::Triangular { low, high } | Core::UShaped { low, high } => {
            (low, high).into_pyobject(py)
        }
        Core::Trapezoidal { low, high, shape } => (low, high, shape).into_pyobject(py),
        Core::StudentT { mean, scale, degrees_of_freedom } => (mean, scale, degrees_of_freedom).into_pyobject(py),
        Core::CurvilinearTrapezoid { low, high, d } => (low, high, d).into_pyobject(py),
        Core::Exponential { mean } => (mean,).into_pyobject(py),
        Core::Gamma { shape, scale } => (shape, scale).into_pyobject(py),
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

kind! {
    /// Symmetric trapezoid between two limits.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     Limits.
    /// shape : float
    ///     Width of the flat top over that of the base: 0 is a triangle, 1 a rectangle.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.4.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.uncertainty.Trapezoidal(-1.0, 1.0, 0.5).standard_uncertainty, 4)
    /// 0.4564
    Trapezoidal(low, high, shape) => (low, high, shape) Core::trapezoidal(low, high, shape)
}

kind! {
    /// Arcsine distribution between two limits: a sine of unknown phase.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     Limits.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.6.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.uncertainty.UShaped(-1.0, 1.0).standard_uncertainty, 4)
    /// 0.7071
    UShaped(low, high) => (low, high) Core::u_shaped(low, high)
}

kind! {
    /// Student's t, shifted and scaled: what is known after repeated readings.
    ///
    /// Parameters
    /// ----------
    /// mean : float
    ///     Estimate.
    /// scale : float
    ///     Scale: standard deviation of the readings over the root of their number.
    /// degrees_of_freedom : float
    ///     Number of readings less 1; the standard uncertainty needs more than 2.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.9.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.uncertainty.StudentT(0.0, 1.0, 4.0).standard_uncertainty, 4)
    /// 1.4142
    StudentT(mean, scale, degrees_of_freedom) => (mean, scale, degrees_of_freedom) Core::student_t(mean, scale, degrees_of_freedom)
}

kind! {
    /// Rectangle whose limits are themselves known to ± d, the middle being fixed.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     Limits.
    /// d : float
    ///     Half-width of the doubt about each limit.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.3.
    ///
    /// Examples
    /// --------
    /// >>> round(cc.uncertainty.CurvilinearTrapezoid(-1.0, 1.0, 0.5).standard_uncertainty, 4)
    /// 0.6009
    CurvilinearTrapezoid(low, high, d) => (low, high, d) Core::curvilinear_trapezoid(low, high, d)
}

kind! {
    /// Exponential from zero.
    ///
    /// Parameters
    /// ----------
    /// mean : float
    ///     Expectation.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.10.
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.Exponential(2.0).standard_uncertainty
    /// 2.0
    Exponential(mean) => (mean) Core::exponential(mean)
}

kind! {
    /// Gamma from zero.
    ///
    /// Parameters
    /// ----------
    /// shape : float
    ///     Number of events; it need not be whole.
    /// scale : float
    ///     In the unit of the quantity.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError
    ///
    /// Source
    /// ------
    /// JCGM 101:2008, 6.4.11.
    ///
    /// Examples
    /// --------
    /// >>> cc.uncertainty.Gamma(4.0, 0.5).standard_uncertainty
    /// 1.0
    Gamma(shape, scale) => (shape, scale) Core::gamma(shape, scale)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Distribution>()?;
    module.add_class::<Normal>()?;
    module.add_class::<Rectangular>()?;
    module.add_class::<Triangular>()?;
    module.add_class::<Trapezoidal>()?;
    module.add_class::<UShaped>()?;
    module.add_class::<StudentT>()?;
    module.add_class::<CurvilinearTrapezoid>()?;
    module.add_class::<Exponential>()?;
    module.add_class::<Gamma>()
}
