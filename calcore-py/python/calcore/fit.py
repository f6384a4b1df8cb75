"""Fits: from points with uncertainties to a curve with its covariance.

Errors in both variables are treated exactly; an error that all points share (a reference thermometer's own) is stated
apart and is never averaged down.
"""

from ._native import CallendarVanDusenFit, PolynomialFit, StraightLineFit
from ._native import fit_callendar_van_dusen as callendar_van_dusen
from ._native import fit_polynomial as polynomial
from ._native import fit_straight_line as straight_line

__all__ = [
    "CallendarVanDusenFit",
    "PolynomialFit",
    "StraightLineFit",
    "callendar_van_dusen",
    "polynomial",
    "straight_line",
]
