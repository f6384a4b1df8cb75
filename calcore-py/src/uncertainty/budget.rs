//! The budget and its lines.

use super::distribution::Distribution;
use crate::arrays::square;
use crate::errors::OrRaise;
use crate::objects::{Notice, html_table, shown, view};
use calcore::uncertainty as core;
use calcore::uncertainty::Coverage;
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

    /// The line of a source, None where the budget has none of that name.
    ///
    /// Parameters
    /// ----------
    /// quantity : str
    ///     The source.
    ///
    /// Returns
    /// -------
    /// Contribution or None
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> budget = U.Budget.from_contributions(20.0, [U.Contribution("a", U.Normal(0.0, 3.0))])
    /// >>> budget.contribution("a").contribution
    /// 3.0
    fn contribution(&self, quantity: &str) -> Option<Contribution> {
        self.0.contribution(quantity).cloned().map(Contribution)
    }

    /// The same budget with one more line. The value stays: a correction is applied to it by the caller.
    ///
    /// Parameters
    /// ----------
    /// line : Contribution
    ///     A source that the budget does not have yet.
    /// coverage : float, optional
    ///     Probability of the expanded uncertainty; that of this budget unless stated.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For a source that the budget has already.
    /// InvalidValueError
    ///     For a budget of correlated sources.
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> budget = U.Budget.from_contributions(20.0, [U.Contribution("a", U.Normal(0.0, 3.0))])
    /// >>> budget.with_contribution(U.Contribution("b", U.Normal(0.0, 4.0))).standard_uncertainty
    /// 5.0
    #[pyo3(signature = (line, *, coverage=None, coverage_factor=None))]
    fn with_contribution(
        &self,
        line: &Bound<'_, Contribution>,
        coverage: Option<f64>,
        coverage_factor: Option<f64>,
    ) -> PyResult<Self> {
        let coverage = self.coverage(coverage, coverage_factor);
        Ok(Self(self.0.with(line.get().0.clone(), coverage).or_raise(line.py())?))
    }

    /// The same budget with another line in the place of that of the same source.
    ///
    /// Parameters
    /// ----------
    /// line : Contribution
    ///     A source that the budget has.
    /// coverage : float, optional
    ///     Probability of the expanded uncertainty; that of this budget unless stated.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For a source that the budget does not have.
    /// InvalidValueError
    ///     For a budget of correlated sources.
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> lines = [U.Contribution("a", U.Normal(0.0, 3.0)), U.Contribution("b", U.Normal(0.0, 1.0))]
    /// >>> budget = U.Budget.from_contributions(20.0, lines)
    /// >>> budget.with_replaced(U.Contribution("b", U.Normal(0.0, 4.0))).standard_uncertainty
    /// 5.0
    #[pyo3(signature = (line, *, coverage=None, coverage_factor=None))]
    fn with_replaced(
        &self,
        line: &Bound<'_, Contribution>,
        coverage: Option<f64>,
        coverage_factor: Option<f64>,
    ) -> PyResult<Self> {
        let coverage = self.coverage(coverage, coverage_factor);
        Ok(Self(self.0.with_replaced(line.get().0.clone(), coverage).or_raise(line.py())?))
    }

    /// The same budget without the line of a source.
    ///
    /// Parameters
    /// ----------
    /// quantity : str
    ///     A source that the budget has.
    /// coverage : float, optional
    ///     Probability of the expanded uncertainty; that of this budget unless stated.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For a source that the budget does not have.
    /// InvalidValueError
    ///     For a budget of correlated sources.
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> lines = [U.Contribution("a", U.Normal(0.0, 3.0)), U.Contribution("b", U.Normal(0.0, 4.0))]
    /// >>> U.Budget.from_contributions(20.0, lines).without("a").standard_uncertainty
    /// 4.0
    #[pyo3(signature = (quantity, *, coverage=None, coverage_factor=None))]
    fn without(
        &self,
        py: Python<'_>,
        quantity: &str,
        coverage: Option<f64>,
        coverage_factor: Option<f64>,
    ) -> PyResult<Self> {
        Ok(Self(self.0.without(quantity, self.coverage(coverage, coverage_factor)).or_raise(py)?))
    }

    /// A part of the budget: the lines of some sources, such as those that several instruments share.
    ///
    /// Parameters
    /// ----------
    /// quantities : sequence of str
    ///     Sources that the budget has, in the order of the part.
    /// coverage : float, optional
    ///     Probability of the expanded uncertainty; that of this budget unless stated.
    /// coverage_factor : float, optional
    ///     A fixed coverage factor instead.
    ///
    /// Returns
    /// -------
    /// Budget
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For a source that the budget does not have.
    /// InvalidValueError
    ///     For a budget of correlated sources.
    /// OutOfRangeError
    ///
    /// Examples
    /// --------
    /// >>> U = cc.uncertainty
    /// >>> lines = [U.Contribution(name, U.Normal(0.0, u)) for name, u in [("a", 3.0), ("b", 4.0), ("c", 12.0)]]
    /// >>> U.Budget.from_contributions(20.0, lines).part(["a", "b"]).standard_uncertainty
    /// 5.0
    #[pyo3(signature = (quantities, *, coverage=None, coverage_factor=None))]
    fn part(
        &self,
        py: Python<'_>,
        quantities: Vec<String>,
        coverage: Option<f64>,
        coverage_factor: Option<f64>,
    ) -> PyResult<Self> {
        let names: Vec<&str> = quantities.iter().map(String::as_str).collect();
        Ok(Self(self.0.part(&names, self.coverage(coverage, coverage_factor)).or_raise(py)?))
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

impl Budget {
    /// What an edited budget is expanded with: what the caller states, otherwise the probability that it had.
    fn coverage(&self, probability: Option<f64>, factor: Option<f64>) -> Coverage {
        super::coverage(probability.unwrap_or(self.0.coverage_probability), factor)
    }
}

pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Contribution>()?;
    module.add_class::<Budget>()
}
