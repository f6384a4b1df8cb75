//! The budget and its lines.

use super::distribution::Distribution;
use crate::arrays::{elementwise2, series, square};
use crate::errors::OrRaise;
use crate::objects::{Notice, add_function, html_table, shown, view};
use calcore::uncertainty as core;
use calcore::uncertainty::correlation::Correlation;
use pyo3::prelude::*;
use pyo3::types::{PyTuple, PyType};

view! {
    /// One line of a budget.
    ///
    /// Parameters
    /// ----------
    /// quantity : str
    ///     The source of uncertainty.
    /// distribution : Distribution
    ///     What is known of it, in its own unit.
    /// sensitivity : float
    ///     How far the result moves per unit of the source, with its sign.
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError
    ///
    /// Examples
    /// --------
    /// >>> line = cc.uncertainty.Contribution("bridge", cc.uncertainty.Normal(138.5, 0.002), 1 / 0.379)
    /// >>> round(line.contribution, 5)
    /// 0.00528
    Contribution(core::Contribution) in "calcore.uncertainty" {
        /// The source of uncertainty.
        quantity: String = |c| c.quantity.clone();
        /// Its best estimate, in its own unit.
        estimate: f64 = |c| c.estimate;
        /// Its standard uncertainty, in its own unit.
        standard_uncertainty: f64 = |c| c.standard_uncertainty;
        /// Name of its distribution.
        distribution: &'static str = |c| c.shape.name();
        /// Degrees of freedom of its standard uncertainty; infinite where exact.
        degrees_of_freedom: f64 = |c| c.degrees_of_freedom;
        /// How far the result moves per unit of the source, with its sign.
        sensitivity: f64 = |c| c.sensitivity;
        /// Sensitivity times standard uncertainty, in the unit of the result.
        contribution: f64 = |c| c.contribution;
        /// Part of the variance of the result that the source is answerable for; within a budget they add up to 1.
        share: f64 = |c| c.share;
    }

    #[new]
    #[pyo3(signature = (quantity, distribution, sensitivity=1.0))]
    fn new(quantity: String, distribution: &Bound<'_, Distribution>, sensitivity: f64) -> PyResult<Self> {
        let line = core::Contribution::of(quantity, &distribution.get().0, sensitivity);
        Ok(Self(line.or_raise(distribution.py())?))
    }

    fn __repr__(&self) -> String {
        let core::Contribution { quantity, estimate, standard_uncertainty, sensitivity, contribution, .. } = &self.0;
        format!(
            "Contribution({quantity}: {estimate:?}, u={standard_uncertainty:?} ({}), sensitivity {sensitivity:?}, \
             contribution {contribution:?})",
            self.distribution()
        )
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        crate::json::reduced(slf.as_any(), &slf.get().0)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(crate::json::read(py, text)?))
    }
}

view! {
    /// A result with its uncertainty and what that is made of.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> result = U.propagate(lambda v, i: v / i, {"v": U.Normal(0.1, 1e-5), "i": U.Normal(1e-3, 1e-7)})
    /// >>> [line.quantity for line in result.budget]
    /// ['v', 'i']
    Budget(core::Budget) in "calcore.uncertainty" {
        /// Best estimate of the result.
        value: f64 = |b| b.value;
        /// Combined standard uncertainty, in the unit of the result.
        standard_uncertainty: f64 = |b| b.standard_uncertainty;
        /// Effective degrees of freedom, not truncated; infinite where every contribution is exact.
        effective_degrees_of_freedom: f64 = |b| b.effective_degrees_of_freedom;
        /// Probability with which value ± expanded uncertainty covers the quantity.
        coverage_probability: f64 = |b| b.coverage_probability;
        /// Expanded over standard uncertainty.
        coverage_factor: f64 = |b| b.coverage_factor;
        /// Expanded uncertainty, in the unit of the result.
        expanded_uncertainty: f64 = |b| b.expanded_uncertainty;
        /// The lines, one a source.
        budget: Vec<Contribution> = |b| b.contributions.iter().cloned().map(Contribution).collect();
        /// What to know before using it.
        warnings: Vec<Notice> = |b| b.warnings.iter().map(|w| Notice::new(w.id(), w, None)).collect();
    }

    /// What the second order added, as a dict; None to first order.
    ///
    /// `variance`, `expectation_shift` (by how much the expectation lies off the value), and `terms` by the two inputs that
    /// cause them.
    #[getter]
    fn second_order<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyAny>>> {
        self.0.second_order.as_ref().map(|found| crate::json::objects(py, found)).transpose()
    }

    /// Value and expanded uncertainty rounded for a report; see `report`.
    ///
    /// Parameters
    /// ----------
    /// digits : {1, 2}
    ///     Significant digits of the uncertainty.
    /// rounding : {"nearest", "no_more_than_five_percent_down", "up"}
    ///     How the uncertainty is rounded.
    /// resolution : float
    ///     Step of the reading that the value rests on; 0 where none applies.
    ///
    /// Returns
    /// -------
    /// Reported
    ///
    /// Raises
    /// ------
    /// OutOfRangeError, InvalidValueError, UnknownNameError
    ///
    /// Source
    /// ------
    /// JCGM 100:2008, 7.2.6.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> line = U.Contribution("certificate", U.Normal(0.0, 0.04827))
    /// >>> str(U.Budget.from_contributions(0.4267, [line], coverage_factor=2.0).report())
    /// '0.427 ± 0.097'
    #[pyo3(signature = (*, digits=2, rounding="nearest", resolution=0.0))]
    fn report(&self, py: Python<'_>, digits: u32, rounding: &str, resolution: f64) -> PyResult<super::reporting::Reported> {
        super::reporting::rounded(py, self.0.value, self.0.expanded_uncertainty, digits, rounding, resolution)
    }

    /// The sentence of a certificate: value, expanded uncertainty, unit, factor and probability.
    ///
    /// Parameters
    /// ----------
    /// unit : str
    ///     Unit of the result.
    /// digits : {1, 2}
    ///     Significant digits of the uncertainty.
    /// rounding : {"nearest", "no_more_than_five_percent_down", "up"}
    ///     How the uncertainty is rounded.
    ///
    /// Returns
    /// -------
    /// str
    ///
    /// Raises
    /// ------
    /// OutOfRangeError, InvalidValueError, UnknownNameError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> line = U.Contribution("certificate", U.Normal(0.0, 0.04827))
    /// >>> U.Budget.from_contributions(0.4267, [line], coverage_factor=2.0).statement("K")
    /// '0.427 K ± 0.097 K (k = 2.00, 95.45 %)'
    #[pyo3(signature = (unit, *, digits=2, rounding="nearest"))]
    fn statement(&self, py: Python<'_>, unit: &str, digits: u32, rounding: &str) -> PyResult<String> {
        let rounding = core::reporting::Rounding::from_name(rounding).or_raise(py)?;
        self.0.statement(unit, digits, rounding).or_raise(py)
    }

    /// The same budget with the coverage factor that belongs to the shapes of its independent lines.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// OutOfRangeError
    /// InvalidValueError
    ///     For correlated lines or second-order terms; Monte Carlo gives the interval there.
    ///
    /// Source
    /// ------
    /// EA-4/02 M:2022, S10.14.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> lines = [U.Contribution("a", U.Rectangular(-0.25, 0.25)), U.Contribution("b", U.Rectangular(-0.1, 0.1))]
    /// >>> budget = U.Budget.from_contributions(180.0, lines)
    /// >>> round(budget.coverage_factor, 3), round(budget.with_coverage_of_shapes(0.95).coverage_factor, 3)
    /// (1.96, 1.797)
    #[pyo3(signature = (probability=0.95))]
    fn with_coverage_of_shapes(&self, py: Python<'_>, probability: f64) -> PyResult<Self> {
        Ok(Self(self.0.clone().with_coverage_of_shapes(probability).or_raise(py)?))
    }

    /// A budget from contributions whose sensitivities are known.
    ///
    /// Parameters
    /// ----------
    /// value : float
    ///     Best estimate of the result.
    /// contributions : sequence of Contribution
    ///     The lines.
    /// correlation : array-like, optional
    ///     Correlation coefficients between the sources; none means independent.
    /// coverage : float
    ///     Probability of the expanded uncertainty.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// NotFiniteError, InvalidValueError, OutOfRangeError, LengthMismatchError
    ///
    /// Source
    /// ------
    /// JCGM 100:2008, 5.1.2, 5.2.2 and G.4.
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> lines = [U.Contribution("a", U.Normal(0.0, 3.0)), U.Contribution("b", U.Normal(0.0, 4.0))]
    /// >>> U.Budget.from_contributions(20.0, lines, coverage_factor=2.0).expanded_uncertainty
    /// 10.0
    #[classmethod]
    #[pyo3(signature = (value, contributions, *, correlation=None, coverage=0.95, coverage_factor=None))]
    fn from_contributions(
        class: &Bound<'_, PyType>,
        value: f64,
        contributions: Vec<Bound<'_, Contribution>>,
        correlation: Option<&Bound<'_, PyAny>>,
        coverage: f64,
        coverage_factor: Option<f64>,
    ) -> PyResult<Self> {
        let py = class.py();
        let lines: Vec<core::Contribution> = contributions.iter().map(|line| line.get().0.clone()).collect();
        let coverage = super::coverage(coverage, coverage_factor);
        let budget = match correlation {
            None => core::Budget::from_contributions(value, lines, coverage),
            Some(matrix) => {
                let values = square("correlation", lines.len(), matrix)?;
                Correlation::new(lines.len(), &values)
                    .and_then(|matrix| core::Budget::from_correlated_contributions(value, lines, &matrix, coverage))
            }
        };
        Ok(Self(budget.or_raise(py)?))
    }

    fn __repr__(&self) -> String {
        let core::Budget { value, standard_uncertainty, effective_degrees_of_freedom, .. } = self.0;
        format!(
            "Budget({value:?} ± {:?}, k={:.2}, u={standard_uncertainty:?}, effective degrees of freedom {})",
            self.0.expanded_uncertainty,
            self.0.coverage_factor,
            shown(effective_degrees_of_freedom)
        )
    }

    fn _repr_html_(&self) -> String {
        let budget = &self.0;
        let mut rows: Vec<Vec<String>> = budget
            .contributions
            .iter()
            .map(|line| {
                vec![
                    line.quantity.clone(),
                    shown(line.estimate),
                    shown(line.standard_uncertainty),
                    line.shape.name().replace('_', " "),
                    shown(line.degrees_of_freedom),
                    shown(line.sensitivity),
                    shown(line.contribution),
                    format!("{:.1} %", 100.0 * line.share),
                ]
            })
            .collect();
        rows.push(vec![
            "result".into(),
            shown(budget.value),
            shown(budget.standard_uncertainty),
            String::new(),
            shown(budget.effective_degrees_of_freedom),
            String::new(),
            String::new(),
            String::new(),
        ]);
        let caption = format!(
            "{} ± {} (k = {:.2}, probability {:.4})",
            shown(budget.value),
            shown(budget.expanded_uncertainty),
            budget.coverage_factor,
            budget.coverage_probability
        );
        let headings = [
            "source",
            "estimate",
            "standard uncertainty",
            "distribution",
            "degrees of freedom",
            "sensitivity",
            "contribution",
            "share",
        ];
        html_table(&caption, &headings, &rows)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyTuple>> {
        crate::json::reduced(slf.as_any(), &slf.get().0)
    }

    /// Reads what pickling wrote.
    #[staticmethod]
    fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        Ok(Self(crate::json::read(py, text)?))
    }
}

/// Effective degrees of freedom of a combined standard uncertainty.
///
/// The square of the sum of the variances over the sum of u⁴/ν; not truncated.
///
/// Parameters
/// ----------
/// contributions : array-like
///     Independent contributions |c| u(x), in one unit.
/// degrees_of_freedom : array-like
///     Their degrees of freedom; infinite where exact.
///
/// Returns
/// -------
/// float
///
/// Raises
/// ------
/// LengthMismatchError, InvalidValueError
///
/// Source
/// ------
/// JCGM 100:2008, G.4.1, equation (G.2b).
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.welch_satterthwaite([0.25, 0.57, 0.82], [9.0, 4.0, 14.0]), 1)
/// 19.0
#[pyfunction]
#[pyo3(signature = (contributions, degrees_of_freedom))]
fn welch_satterthwaite(contributions: &Bound<'_, PyAny>, degrees_of_freedom: &Bound<'_, PyAny>) -> PyResult<f64> {
    let py = contributions.py();
    let contributions = series("contributions", contributions)?;
    let degrees = series("degrees_of_freedom", degrees_of_freedom)?;
    if degrees.len() != contributions.len() {
        let error = calcore::Error::LengthMismatch {
            what: "degrees_of_freedom",
            expected: contributions.len(),
            found: degrees.len(),
        };
        return Err(crate::errors::exception(py, &error));
    }
    let pairs: Vec<(f64, f64)> = contributions.into_iter().zip(degrees).collect();
    core::coverage::welch_satterthwaite(&pairs).or_raise(py)
}

/// Coverage factor of a two-sided interval from Student's distribution.
///
/// Parameters
/// ----------
/// probability : float or array-like
///     Coverage probability, between 0 and 1.
/// degrees_of_freedom : float or array-like
///     They need not be whole; infinite for the normal distribution.
///
/// Returns
/// -------
/// float or array of the common shape
///
/// Raises
/// ------
/// OutOfRangeError, InvalidValueError, NotFiniteError
///
/// Source
/// ------
/// JCGM 100:2008, G.3 and table G.2.
///
/// Examples
/// --------
/// >>> cc.uncertainty.coverage_factor(0.95, [1.0, 10.0, np.inf]).round(2)
/// array([12.71,  2.23,  1.96])
#[pyfunction]
#[pyo3(signature = (probability, degrees_of_freedom))]
fn coverage_factor<'py>(
    probability: &Bound<'py, PyAny>,
    degrees_of_freedom: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["probability", "degrees_of_freedom"];
    elementwise2(names, [probability, degrees_of_freedom], core::coverage::coverage_factor)
}

/// Probability with which a multiple of the standard uncertainty to both sides covers the value.
///
/// Parameters
/// ----------
/// factor : float or array-like
///     Coverage factor.
/// degrees_of_freedom : float or array-like
///     They need not be whole; infinite for the normal distribution.
///
/// Returns
/// -------
/// float or array of the common shape
///
/// Raises
/// ------
/// InvalidValueError, NotFiniteError
///
/// Source
/// ------
/// JCGM 100:2008, G.3.
///
/// Examples
/// --------
/// >>> round(cc.uncertainty.coverage_probability(2.0, np.inf), 4)
/// 0.9545
#[pyfunction]
#[pyo3(signature = (factor, degrees_of_freedom))]
fn coverage_probability<'py>(
    factor: &Bound<'py, PyAny>,
    degrees_of_freedom: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    let names = ["factor", "degrees_of_freedom"];
    elementwise2(names, [factor, degrees_of_freedom], core::coverage::coverage_probability)
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Contribution>()?;
    module.add_class::<Budget>()?;
    for function in [
        wrap_pyfunction!(welch_satterthwaite, module)?,
        wrap_pyfunction!(coverage_factor, module)?,
        wrap_pyfunction!(coverage_probability, module)?,
    ] {
        add_function(module, "uncertainty", &function)?;
    }
    Ok(())
}
