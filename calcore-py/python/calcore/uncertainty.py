"""Measurement uncertainty: distributions, budgets, propagation."""

from ._native import (
    Budget,
    Contribution,
    CurvilinearTrapezoid,
    Distribution,
    Exponential,
    Gamma,
    Normal,
    Rectangular,
    StudentT,
    Trapezoidal,
    Triangular,
    UShaped,
)
from ._native import uncertainty_coverage_factor as coverage_factor
from ._native import uncertainty_coverage_probability as coverage_probability
from ._native import uncertainty_propagate as propagate
from ._native import uncertainty_welch_satterthwaite as welch_satterthwaite

__all__ = [
    "Budget",
    "Contribution",
    "CurvilinearTrapezoid",
    "Distribution",
    "Exponential",
    "Gamma",
    "Normal",
    "Rectangular",
    "StudentT",
    "Trapezoidal",
    "Triangular",
    "UShaped",
    "coverage_factor",
    "coverage_probability",
    "propagate",
    "welch_satterthwaite",
]
