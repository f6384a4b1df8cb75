"""Calculation core for the calibration of industrial temperature loops.

Temperatures are on the ITS-90; units stand in the names (``t_c`` °C, ``t_k`` K, ``ohm``, ``mv``, ``ma``); a standard
uncertainty is ``u_`` in the unit of what it belongs to. Wherever a number stands for a physical input an array of any
shape is taken too. Every computation is made in the core; nothing is computed in Python.
"""

from . import circuit, temperature, tolerance
from ._native import (
    CalcoreError,
    CallendarVanDusen,
    DocumentError,
    InvalidRunError,
    InvalidValueError,
    LengthMismatchError,
    ModelFailedError,
    NoConvergenceError,
    NotFiniteError,
    NotPositiveDefiniteError,
    OutOfRangeError,
    TooFewPointsError,
    UndeterminedError,
    UnknownNameError,
    __version__,
)

__all__ = [
    "CalcoreError",
    "CallendarVanDusen",
    "DocumentError",
    "InvalidRunError",
    "InvalidValueError",
    "LengthMismatchError",
    "ModelFailedError",
    "NoConvergenceError",
    "NotFiniteError",
    "NotPositiveDefiniteError",
    "OutOfRangeError",
    "TooFewPointsError",
    "UndeterminedError",
    "UnknownNameError",
    "__version__",
    "circuit",
    "temperature",
    "tolerance",
]
