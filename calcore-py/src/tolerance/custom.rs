//! A user's own tolerances.

use crate::errors::OrRaise;
use crate::records::elementwise_all;
use crate::whole::whole_number;
use calcore::tolerance::{self as core, Construction};
use pyo3::prelude::*;
use pyo3::types::{PyTuple, PyType};

/// How far an error may go, as a function of temperature: a user's own tolerance.
///
/// Made by one of its class methods, and put together with `sum` and `max`. A tolerance is a limit for an error; it is
/// not an uncertainty.
///
/// Examples
/// --------
/// >>> T = cc.tolerance.Tolerance
/// >>> transmitter = T.sum(T.percent_of_span(0.1, 0.0, 150.0), T.absolute(0.2))
/// >>> transmitter
/// Tolerance(0.1 % of span 0 to 150 °C + 0.2 K)
/// >>> round(transmitter.half_width(100.0), 12)
/// 0.35
#[pyclass(frozen, eq, module = "calcore.tolerance", name = "Tolerance")]
#[derive(Clone, PartialEq)]
pub(crate) struct Tolerance(pub(crate) core::Tolerance);

impl Tolerance {
    /// A tolerance that is right: the core checks it when it is used, here it is used once.
    ///
    /// Classes of standards end at some temperature, which is no fault of the description.
    fn checked(py: Python<'_>, tolerance: core::Tolerance) -> PyResult<Self> {
        match tolerance.limits(0.0) {
            Err(calcore::Error::OutOfRange { .. }) => Ok(Self(tolerance)),
            other => other.map(|_| Self(tolerance)).or_raise(py),
        }
    }

    fn parts(parts: &Bound<'_, PyTuple>) -> PyResult<Vec<core::Tolerance>> {
        parts.iter().map(|part| Ok(part.cast::<Self>()?.get().0.clone())).collect()
    }
}

#[pymethods]
impl Tolerance {
    /// The same at every temperature.
    ///
    /// Parameters
    /// ----------
    /// half_width_k : float
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.absolute(0.5).half_width(100.0)
    /// 0.5
    #[classmethod]
    fn absolute(_class: &Bound<'_, PyType>, py: Python<'_>, half_width_k: f64) -> PyResult<Self> {
        Self::checked(py, core::Tolerance::Absolute { half_width_k })
    }

    /// The same at every temperature, but not the same below as above.
    ///
    /// Parameters
    /// ----------
    /// lower_k, upper_k : float
    ///     Most negative and most positive error allowed, K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.asymmetric(-0.5, 1.0).limits(100.0)
    /// (-0.5, 1.0)
    #[classmethod]
    fn asymmetric(_class: &Bound<'_, PyType>, py: Python<'_>, lower_k: f64, upper_k: f64) -> PyResult<Self> {
        Self::checked(py, core::Tolerance::Asymmetric { lower_k, upper_k })
    }

    /// A part of the span.
    ///
    /// Parameters
    /// ----------
    /// percent : float
    ///     Percent of the span.
    /// low_c, high_c : float
    ///     Ends of the range, °C.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.percent_of_span(0.5, 0.0, 200.0).half_width(20.0)
    /// 1.0
    #[classmethod]
    fn percent_of_span(
        _class: &Bound<'_, PyType>,
        py: Python<'_>,
        percent: f64,
        low_c: f64,
        high_c: f64,
    ) -> PyResult<Self> {
        Self::checked(py, core::Tolerance::PercentOfSpan { percent, low_c, high_c })
    }

    /// A part of the size of the reading in °C.
    ///
    /// Parameters
    /// ----------
    /// percent : float
    ///     Percent of the reading.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.percent_of_reading(0.25).half_width([-40.0, 200.0])
    /// array([0.1, 0.5])
    #[classmethod]
    fn percent_of_reading(_class: &Bound<'_, PyType>, py: Python<'_>, percent: f64) -> PyResult<Self> {
        Self::checked(py, core::Tolerance::PercentOfReading { percent })
    }

    /// A class of IEC 60751, see `calcore.tolerance.iec60751`.
    ///
    /// Parameters
    /// ----------
    /// class_name : str
    ///     Name of the class.
    /// construction : {"wire_wound", "film"}
    ///     For the range of a thermometer's class.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.iec60751("A").half_width(100.0)
    /// 0.35
    #[classmethod]
    #[pyo3(signature = (class_name, construction="wire_wound"))]
    fn iec60751(_class: &Bound<'_, PyType>, py: Python<'_>, class_name: String, construction: &str) -> PyResult<Self> {
        let construction = Construction::from_name(construction).or_raise(py)?;
        Self::checked(py, core::Tolerance::Iec60751 { class: class_name, construction })
    }

    /// A grade of ASTM E1137, see `calcore.tolerance.astm_e1137`.
    ///
    /// Parameters
    /// ----------
    /// grade : {"A", "B"}
    ///     Grade.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.astm_e1137("B").half_width(0.0)
    /// 0.25
    #[classmethod]
    fn astm_e1137(class: &Bound<'_, PyType>, grade: String) -> PyResult<Self> {
        Self::checked(class.py(), core::Tolerance::AstmE1137 { grade })
    }

    /// A class of GOST 6651 for copper or nickel, see `calcore.tolerance.gost6651`.
    ///
    /// Parameters
    /// ----------
    /// material : {"copper", "nickel"}
    ///     Material.
    /// class_name : {"A", "B", "C"}
    ///     Class.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.gost6651("copper", "A").half_width(0.0)
    /// 0.15
    #[classmethod]
    fn gost6651(class: &Bound<'_, PyType>, material: String, class_name: String) -> PyResult<Self> {
        Self::checked(class.py(), core::Tolerance::Gost6651 { material, class: class_name })
    }

    /// A class of IEC 60584-1 for thermocouples, see `calcore.tolerance.iec60584`.
    ///
    /// Parameters
    /// ----------
    /// letter : str
    ///     Letter of the type.
    /// class_number : {1, 2, 3}
    ///     Class.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.iec60584("K", 1).half_width(300.0)
    /// 1.5
    #[classmethod]
    fn iec60584(
        class: &Bound<'_, PyType>,
        letter: String,
        #[pyo3(from_py_with = whole_number)] class_number: u8,
    ) -> PyResult<Self> {
        Self::checked(class.py(), core::Tolerance::Iec60584 { letter, class: class_number })
    }

    /// Limits of ASTM E230 for thermocouples, see `calcore.tolerance.astm_e230`.
    ///
    /// Parameters
    /// ----------
    /// letter : str
    ///     Letter of the type.
    /// limits : {"standard", "special"}
    ///     Which limits.
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.astm_e230("K", "special").half_width(1000.0)
    /// 4.0
    #[classmethod]
    fn astm_e230(class: &Bound<'_, PyType>, letter: String, limits: String) -> PyResult<Self> {
        Self::checked(class.py(), core::Tolerance::AstmE230 { letter, limits })
    }

    /// All of these tolerances added.
    ///
    /// Parameters
    /// ----------
    /// *parts : Tolerance
    ///     At least one.
    ///
    /// Raises
    /// ------
    /// InvalidValueError
    ///     Without parts.
    ///
    /// Examples
    /// --------
    /// >>> T = cc.tolerance.Tolerance
    /// >>> T.sum(T.absolute(0.25), T.absolute(0.5)).half_width(0.0)
    /// 0.75
    #[classmethod]
    #[pyo3(signature = (*parts))]
    fn sum(_class: &Bound<'_, PyType>, py: Python<'_>, parts: &Bound<'_, PyTuple>) -> PyResult<Self> {
        Self::checked(py, core::Tolerance::Sum(Self::parts(parts)?))
    }

    /// The widest of these tolerances.
    ///
    /// Parameters
    /// ----------
    /// *parts : Tolerance
    ///     At least one.
    ///
    /// Raises
    /// ------
    /// InvalidValueError
    ///     Without parts.
    ///
    /// Examples
    /// --------
    /// >>> T = cc.tolerance.Tolerance
    /// >>> T.max(T.absolute(0.25), T.percent_of_reading(1.0)).half_width([10.0, 100.0])
    /// array([0.25, 1.  ])
    #[classmethod]
    #[pyo3(signature = (*parts))]
    fn max(_class: &Bound<'_, PyType>, py: Python<'_>, parts: &Bound<'_, PyTuple>) -> PyResult<Self> {
        Self::checked(py, core::Tolerance::Max(Self::parts(parts)?))
    }

    /// Half-width at a temperature, K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// float or array of the same shape
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// OutOfRangeError
    ///     Outside the range of a class.
    /// InvalidValueError
    ///     Where the limits are not symmetric.
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.iec60751("B").half_width(0.0)
    /// 0.3
    #[pyo3(signature = (t_c, *, invalid="raise"))]
    fn half_width<'py>(&self, t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<Bound<'py, PyAny>> {
        elementwise_all(["t_c"], [t_c], invalid, |[x]| self.0.half_width(x))
    }

    /// Most negative and most positive error allowed at a temperature, K.
    ///
    /// Parameters
    /// ----------
    /// t_c : float or array-like
    ///     Temperature, °C.
    /// invalid : {"raise", "nan"}
    ///     What a NaN, an infinity or a value out of range gives.
    ///
    /// Returns
    /// -------
    /// (float, float) or two arrays of the same shape
    ///     K.
    ///
    /// Raises
    /// ------
    /// NotFiniteError
    /// OutOfRangeError
    ///     Outside the range of a class.
    ///
    /// Examples
    /// --------
    /// >>> cc.tolerance.Tolerance.absolute(0.5).limits(20.0)
    /// (-0.5, 0.5)
    #[pyo3(signature = (t_c, *, invalid="raise"))]
    fn limits<'py>(&self, t_c: &Bound<'py, PyAny>, invalid: &str) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyAny>)> {
        let lower = elementwise_all(["t_c"], [t_c], invalid, |[x]| Ok(self.0.limits(x)?.lower_k))?;
        let upper = elementwise_all(["t_c"], [t_c], invalid, |[x]| Ok(self.0.limits(x)?.upper_k))?;
        Ok((lower, upper))
    }

    fn __repr__(&self) -> String {
        format!("Tolerance({})", words(&self.0))
    }

    fn __hash__(slf: &Bound<'_, Self>) -> PyResult<isize> {
        Self::__reduce__(slf)?.get_item(1)?.hash()
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        let py = slf.py();
        let parts = |parts: &[core::Tolerance]| PyTuple::new(py, parts.iter().cloned().map(Self));
        let (maker, arguments) = match &slf.get().0 {
            core::Tolerance::Absolute { half_width_k } => ("absolute", (*half_width_k,).into_pyobject(py)?),
            core::Tolerance::Asymmetric { lower_k, upper_k } => ("asymmetric", (*lower_k, *upper_k).into_pyobject(py)?),
            core::Tolerance::PercentOfSpan { percent, low_c, high_c } => {
                ("percent_of_span", (*percent, *low_c, *high_c).into_pyobject(py)?)
            }
            core::Tolerance::PercentOfReading { percent } => ("percent_of_reading", (*percent,).into_pyobject(py)?),
            core::Tolerance::Iec60751 { class, construction } => {
                ("iec60751", (class, construction.name()).into_pyobject(py)?)
            }
            core::Tolerance::AstmE1137 { grade } => ("astm_e1137", (grade,).into_pyobject(py)?),
            core::Tolerance::Gost6651 { material, class } => ("gost6651", (material, class).into_pyobject(py)?),
            core::Tolerance::Iec60584 { letter, class } => ("iec60584", (letter, *class).into_pyobject(py)?),
            core::Tolerance::AstmE230 { letter, limits } => ("astm_e230", (letter, limits).into_pyobject(py)?),
            core::Tolerance::Sum(added) => ("sum", parts(added)?),
            core::Tolerance::Max(compared) => ("max", parts(compared)?),
            _ => return Err(pyo3::exceptions::PyTypeError::new_err("this tolerance cannot be copied")),
        };
        (slf.get_type().getattr(maker)?, arguments).into_pyobject(py)
    }
}

/// A tolerance in words, with its units.
fn words(tolerance: &core::Tolerance) -> String {
    let list =
        |parts: &[core::Tolerance], between: &str| parts.iter().map(words).collect::<Vec<String>>().join(between);
    match tolerance {
        core::Tolerance::Absolute { half_width_k } => format!("{half_width_k} K"),
        core::Tolerance::Asymmetric { lower_k, upper_k } => format!("{lower_k} K to {upper_k} K"),
        core::Tolerance::PercentOfSpan { percent, low_c, high_c } => {
            format!("{percent} % of span {low_c} to {high_c} °C")
        }
        core::Tolerance::PercentOfReading { percent } => format!("{percent} % of reading in °C"),
        core::Tolerance::Iec60751 { class, construction } => {
            format!("IEC 60751 class {class}, {}", construction.name())
        }
        core::Tolerance::AstmE1137 { grade } => format!("ASTM E1137 grade {grade}"),
        core::Tolerance::Gost6651 { material, class } => format!("GOST 6651 {material} class {class}"),
        core::Tolerance::Iec60584 { letter, class } => format!("IEC 60584-1 type {letter} class {class}"),
        core::Tolerance::AstmE230 { letter, limits } => format!("ASTM E230 type {letter} {limits} limits"),
        core::Tolerance::Sum(parts) => list(parts, " + "),
        core::Tolerance::Max(parts) => format!("max({})", list(parts, "; ")),
        other => format!("{other:?}"),
    }
}
