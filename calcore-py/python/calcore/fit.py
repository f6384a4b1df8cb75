"""Fits: from points with uncertainties to a curve with its covariance.

Errors in both variables are treated exactly; an error that all points share (a reference thermometer's own) is stated
apart and is never averaged down.
"""

from ._native import (
    AlphaDeltaBeta,
    Band,
    BatchFit,
    BetaFit,
    CallendarVanDusenFit,
    Candidate,
    HoldOut,
    Its90DeviationFit,
    ModelFit,
    PolynomialFit,
    RoundedCoefficients,
    SensorDrift,
    SetPointAssessment,
    SetPoints,
    SteinhartHartFit,
    StraightLineFit,
    ThermocoupleDeviationFit,
)
from ._native import fit_assess_set_points as assess_set_points
from ._native import fit_beta as beta
from ._native import fit_callendar_van_dusen as callendar_van_dusen
from ._native import fit_callendar_van_dusen_batch as callendar_van_dusen_batch
from ._native import fit_compare_models as compare_models
from ._native import fit_its90_deviation as its90_deviation
from ._native import fit_model as model
from ._native import fit_optimal_abscissae as optimal_abscissae
from ._native import fit_polynomial as polynomial
from ._native import fit_rounded as rounded
from ._native import fit_rounded_within as rounded_within
from ._native import fit_set_points as set_points
from ._native import fit_steinhart_hart as steinhart_hart
from ._native import fit_straight_line as straight_line
from ._native import fit_thermocouple_deviation as thermocouple_deviation

__all__ = [
    "AlphaDeltaBeta",
    "Band",
    "BatchFit",
    "BetaFit",
    "CallendarVanDusenFit",
    "Candidate",
    "HoldOut",
    "Its90DeviationFit",
    "ModelFit",
    "PolynomialFit",
    "RoundedCoefficients",
    "SensorDrift",
    "SetPointAssessment",
    "SetPoints",
    "SteinhartHartFit",
    "StraightLineFit",
    "ThermocoupleDeviationFit",
    "assess_set_points",
    "beta",
    "callendar_van_dusen",
    "callendar_van_dusen_batch",
    "compare_models",
    "its90_deviation",
    "model",
    "optimal_abscissae",
    "polynomial",
    "rounded",
    "rounded_within",
    "set_points",
    "steinhart_hart",
    "straight_line",
    "thermocouple_deviation",
]
