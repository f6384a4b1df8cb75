"""Measurement uncertainty: distributions, budgets, propagation."""

from ._native import (
    Budget,
    Contribution,
    CurvilinearTrapezoid,
    Distribution,
    Exponential,
    Gamma,
    MonteCarlo,
    Normal,
    Rectangular,
    StudentT,
    Trapezoidal,
    Triangular,
    UShaped,
    Validation,
)
from ._native import uncertainty_coverage_factor as coverage_factor
from ._native import uncertainty_coverage_probability as coverage_probability
from ._native import uncertainty_monte_carlo as monte_carlo
from ._native import uncertainty_propagate as propagate
from ._native import uncertainty_welch_satterthwaite as welch_satterthwaite

__all__ = [
    "Budget",
    "Contribution",
    "CurvilinearTrapezoid",
    "Distribution",
    "Exponential",
    "Gamma",
    "MonteCarlo",
    "Normal",
    "Rectangular",
    "StudentT",
    "Trapezoidal",
    "Triangular",
    "UShaped",
    "Validation",
    "coverage_factor",
    "coverage_probability",
    "monte_carlo",
    "propagate",
    "welch_satterthwaite",
]
