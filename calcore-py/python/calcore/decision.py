"""Decisions: verdicts with their rule, guard band and probability."""

from ._native import Decision
from ._native import decision_decide as decide
from ._native import decision_probability_of_conformity as probability_of_conformity

__all__ = [
    "Decision",
    "decide",
    "probability_of_conformity",
]
