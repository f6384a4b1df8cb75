"""Measurement uncertainty: distributions, budgets, propagation."""

from ._native import (
    Budget,
    Contribution,
    CurvilinearTrapezoid,
    Distribution,
    Exponential,
    Gamma,
    Joint,
    MeasurementModel,
    MonteCarlo,
    Normal,
    PointBudgets,
    PointInput,
    Rectangular,
    Reported,
    StudentT,
    Trapezoidal,
    Triangular,
    TypeA,
    UShaped,
    Validation,
)
from ._native import uncertainty_covariance_of as covariance_of
from ._native import uncertainty_coverage_factor as coverage_factor
from ._native import uncertainty_coverage_factor_of_shapes as coverage_factor_of_shapes
from ._native import uncertainty_coverage_probability as coverage_probability
from ._native import uncertainty_degrees_of_freedom_of_doubt as degrees_of_freedom_of_doubt
from ._native import uncertainty_drift as drift
from ._native import uncertainty_from_expanded as from_expanded
from ._native import uncertainty_hyper_ellipse_factor as hyper_ellipse_factor
from ._native import uncertainty_hyper_rectangle_factor as hyper_rectangle_factor
from ._native import uncertainty_indicator_by_simulation_budget as indicator_by_simulation_budget
from ._native import uncertainty_instrument_in_block_budget as instrument_in_block_budget
from ._native import uncertainty_liquid_bath_budget as liquid_bath_budget
from ._native import uncertainty_mean_of as mean_of
from ._native import uncertainty_monte_carlo as monte_carlo
from ._native import uncertainty_pooled as pooled
from ._native import uncertainty_propagate as propagate
from ._native import uncertainty_propagate_many as propagate_many
from ._native import uncertainty_propagate_points as propagate_points
from ._native import uncertainty_reference_probe_budget as reference_probe_budget
from ._native import uncertainty_report as report
from ._native import uncertainty_resolution as resolution
from ._native import uncertainty_resolution_of_difference as resolution_of_difference
from ._native import uncertainty_rtd_comparison_budget as rtd_comparison_budget
from ._native import uncertainty_SHARED_BY_INSTRUMENTS as SHARED_BY_INSTRUMENTS
from ._native import uncertainty_temperature_block_budget as temperature_block_budget
from ._native import uncertainty_thermocouple_emf_budget as thermocouple_emf_budget
from ._native import uncertainty_thermocouple_furnace_budget as thermocouple_furnace_budget
from ._native import uncertainty_transmitter_budget as transmitter_budget
from ._native import uncertainty_trapezoid_coverage_factor as trapezoid_coverage_factor
from ._native import uncertainty_welch_satterthwaite as welch_satterthwaite

__all__ = [
    "SHARED_BY_INSTRUMENTS",
    "Budget",
    "Contribution",
    "CurvilinearTrapezoid",
    "Distribution",
    "Exponential",
    "Gamma",
    "Joint",
    "MeasurementModel",
    "MonteCarlo",
    "Normal",
    "PointBudgets",
    "PointInput",
    "Rectangular",
    "Reported",
    "StudentT",
    "Trapezoidal",
    "Triangular",
    "TypeA",
    "UShaped",
    "Validation",
    "covariance_of",
    "coverage_factor",
    "coverage_factor_of_shapes",
    "coverage_probability",
    "degrees_of_freedom_of_doubt",
    "drift",
    "from_expanded",
    "hyper_ellipse_factor",
    "hyper_rectangle_factor",
    "indicator_by_simulation_budget",
    "instrument_in_block_budget",
    "liquid_bath_budget",
    "mean_of",
    "monte_carlo",
    "pooled",
    "propagate",
    "propagate_many",
    "propagate_points",
    "reference_probe_budget",
    "report",
    "resolution",
    "resolution_of_difference",
    "rtd_comparison_budget",
    "temperature_block_budget",
    "thermocouple_emf_budget",
    "thermocouple_furnace_budget",
    "transmitter_budget",
    "trapezoid_coverage_factor",
    "welch_satterthwaite",
]
