"""Fits: from points with uncertainties to a curve with its covariance.

Errors in both variables are treated exactly; an error that all points share (a reference thermometer's own) is stated
apart and is never averaged down.
"""

from ._native import (
    BatchFit,
    BetaFit,
    CallendarVanDusenFit,
    Its90DeviationFit,
    PolynomialFit,
    RoundedCoefficients,
    SteinhartHartFit,
    StraightLineFit,
    ThermocoupleDeviationFit,
)
from ._native import fit_beta as beta
from ._native import fit_callendar_van_dusen as callendar_van_dusen
from ._native import fit_callendar_van_dusen_batch as callendar_van_dusen_batch
from ._native import fit_its90_deviation as its90_deviation
from ._native import fit_polynomial as polynomial
from ._native import fit_rounded as rounded
from ._native import fit_rounded_within as rounded_within
from ._native import fit_steinhart_hart as steinhart_hart
from ._native import fit_straight_line as straight_line
from ._native import fit_thermocouple_deviation as thermocouple_deviation

__all__ = [
    "BatchFit",
    "BetaFit",
    "CallendarVanDusenFit",
    "Its90DeviationFit",
    "PolynomialFit",
    "RoundedCoefficients",
    "SteinhartHartFit",
    "StraightLineFit",
    "ThermocoupleDeviationFit",
    "beta",
    "callendar_van_dusen",
    "callendar_van_dusen_batch",
    "its90_deviation",
    "polynomial",
    "rounded",
    "rounded_within",
    "steinhart_hart",
    "straight_line",
    "thermocouple_deviation",
]
