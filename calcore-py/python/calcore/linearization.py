"""How straight a link is, what a choice of curve costs, and curves in a form that fits in firmware.

Measured: linearity and conformity by the definitions of the standards, with uncertainties. Computed: errors that a
choice makes, and tables and polynomials of a curve, with a largest error over a range that is proven and not sampled.
"""

from ._native import (
    Conformity,
    CycleFigures,
    Figure,
    LargestError,
    LookupTable,
    Minimax,
    Repeatability,
)
from ._native import linearization_conformity as conformity
from ._native import linearization_cycles as cycles
from ._native import linearization_error_of_choice as error_of_choice
from ._native import linearization_largest_error_of_choice as largest_error_of_choice
from ._native import linearization_lookup_table as lookup_table
from ._native import linearization_minimax as minimax

__all__ = [
    "Conformity",
    "CycleFigures",
    "Figure",
    "LargestError",
    "LookupTable",
    "Minimax",
    "Repeatability",
    "conformity",
    "cycles",
    "error_of_choice",
    "largest_error_of_choice",
    "lookup_table",
    "minimax",
]
