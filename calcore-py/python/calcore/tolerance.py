"""How far an instrument may be off: classes of the standards, and a user's own tolerances.

A tolerance is a limit for an error. It is not an uncertainty.
"""

from ._native import Tolerance
from ._native import tolerance_iec60751 as iec60751
from ._native import tolerance_iec60751_range as iec60751_range

__all__ = [
    "Tolerance",
    "iec60751",
    "iec60751_range",
]
