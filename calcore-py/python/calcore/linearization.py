"""How straight a link is, and what a choice of curve costs.

Measured: linearity and conformity by the definitions of the standards, with uncertainties. Computed: errors that a
choice makes, with a largest value over a range that is proven and not sampled.
"""

from ._native import (
    Conformity,
    CycleFigures,
    Figure,
    LargestError,
    Repeatability,
)
from ._native import linearization_conformity as conformity
from ._native import linearization_cycles as cycles
from ._native import linearization_error_of_choice as error_of_choice
from ._native import linearization_largest_error_of_choice as largest_error_of_choice

__all__ = [
    "Conformity",
    "CycleFigures",
    "Figure",
    "LargestError",
    "Repeatability",
    "conformity",
    "cycles",
    "error_of_choice",
    "largest_error_of_choice",
]
