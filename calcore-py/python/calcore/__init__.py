"""Calculation core for the calibration of industrial temperature loops.

Temperatures are on the ITS-90; units stand in the names (``t_c`` °C, ``t_k`` K, ``ohm``, ``mv``, ``ma``); a standard
uncertainty is ``u_`` in the unit of what it belongs to. Wherever a number stands for a physical input an array of any
shape is taken too. Every computation is made in the core; nothing is computed in Python.
"""

import importlib
from types import ModuleType
from typing import TYPE_CHECKING

from . import (
    circuit,
    decision,
    fit,
    its90,
    linearization,
    loop_calibration,
    settling,
    temperature,
    tolerance,
    uncertainty,
)
from ._native import (
    BetaThermistor,
    CalcoreError,
    CallendarVanDusen,
    CancelledError,
    CorrectedThermocouple,
    DocumentError,
    InvalidRunError,
    InvalidValueError,
    LengthMismatchError,
    LikelyStandard,
    ModelFailedError,
    NoConvergenceError,
    NotFiniteError,
    Notice,
    NotPositiveDefiniteError,
    OutOfRangeError,
    PolynomialRtd,
    Sprt,
    SteinhartHart,
    TabulatedCurve,
    Thermocouple,
    TooFewPointsError,
    UndeterminedError,
    UnknownNameError,
    __version__,
    likely_standard,
)

if TYPE_CHECKING:
    from . import validation

__all__ = [
    "BetaThermistor",
    "CalcoreError",
    "CallendarVanDusen",
    "CancelledError",
    "CorrectedThermocouple",
    "DocumentError",
    "InvalidRunError",
    "InvalidValueError",
    "LengthMismatchError",
    "LikelyStandard",
    "ModelFailedError",
    "NoConvergenceError",
    "NotFiniteError",
    "NotPositiveDefiniteError",
    "Notice",
    "OutOfRangeError",
    "PolynomialRtd",
    "Sprt",
    "SteinhartHart",
    "TabulatedCurve",
    "Thermocouple",
    "TooFewPointsError",
    "UndeterminedError",
    "UnknownNameError",
    "__version__",
    "circuit",
    "decision",
    "fit",
    "its90",
    "likely_standard",
    "linearization",
    "loop_calibration",
    "settling",
    "temperature",
    "tolerance",
    "uncertainty",
    "validation",
]


def __getattr__(name: str) -> ModuleType:
    # Not imported with the rest: `python -m calcore.validation` would then find it imported already.
    if name == "validation":
        return importlib.import_module(".validation", __name__)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
