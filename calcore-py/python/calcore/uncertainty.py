"""Measurement uncertainty: distributions, budgets, propagation."""

from ._native import (
    Budget,
    Contribution,
    CurvilinearTrapezoid,
    Distribution,
    Exponential,
    Gamma,
    Joint,
    MonteCarlo,
    Normal,
    Rectangular,
    Reported,
    StudentT,
    Trapezoidal,
    Triangular,
    TypeA,
    UShaped,
    Validation,
)
from ._native import uncertainty_coverage_factor as coverage_factor
from ._native import uncertainty_coverage_factor_of_shapes as coverage_factor_of_shapes
from ._native import uncertainty_coverage_probability as coverage_probability
from ._native import uncertainty_degrees_of_freedom_of_doubt as degrees_of_freedom_of_doubt
from ._native import uncertainty_drift as drift
from ._native import uncertainty_from_expanded as from_expanded
from ._native import uncertainty_hyper_ellipse_factor as hyper_ellipse_factor
from ._native import uncertainty_hyper_rectangle_factor as hyper_rectangle_factor
from ._native import uncertainty_mean_of as mean_of
from ._native import uncertainty_monte_carlo as monte_carlo
from ._native import uncertainty_pooled as pooled
from ._native import uncertainty_propagate as propagate
from ._native import uncertainty_propagate_many as propagate_many
from ._native import uncertainty_report as report
from ._native import uncertainty_resolution as resolution
from ._native import uncertainty_trapezoid_coverage_factor as trapezoid_coverage_factor
from ._native import uncertainty_welch_satterthwaite as welch_satterthwaite

__all__ = [
    "Budget",
    "Contribution",
    "CurvilinearTrapezoid",
    "Distribution",
    "Exponential",
    "Gamma",
    "Joint",
    "MonteCarlo",
    "Normal",
    "Rectangular",
    "Reported",
    "StudentT",
    "Trapezoidal",
    "Triangular",
    "TypeA",
    "UShaped",
    "Validation",
    "coverage_factor",
    "coverage_factor_of_shapes",
    "coverage_probability",
    "degrees_of_freedom_of_doubt",
    "drift",
    "from_expanded",
    "hyper_ellipse_factor",
    "hyper_rectangle_factor",
    "mean_of",
    "monte_carlo",
    "pooled",
    "propagate",
    "propagate_many",
    "report",
    "resolution",
    "trapezoid_coverage_factor",
    "welch_satterthwaite",
]
