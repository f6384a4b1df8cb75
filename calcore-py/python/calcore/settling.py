"""Whether the reference has settled."""

from ._native import Steadiness
from ._native import settling_steady as steady

__all__ = [
    "Steadiness",
    "steady",
]
