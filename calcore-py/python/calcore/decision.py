"""Decisions: verdicts with their rule, guard band and risk.

Of one item: `decide`, `conformity`, `guard_band_for_specific_risk`. Of a population: `risk`,
`guard_band_for_global_risk`. Risks of a population are joint probabilities unless their name says `given`; a process is
described by its true values unless "observed" is said.
"""

from ._native import Decision, Decisions, Risk
from ._native import decision_after_measurement as after_measurement
from ._native import decision_conformity as conformity
from ._native import decision_decide as decide
from ._native import decision_e_n as e_n
from ._native import decision_guard_band_for_global_risk as guard_band_for_global_risk
from ._native import decision_guard_band_for_specific_risk as guard_band_for_specific_risk
from ._native import decision_guard_band_method_6 as guard_band_method_6
from ._native import decision_guard_band_root_difference as guard_band_root_difference
from ._native import decision_measurement_capability_index as measurement_capability_index
from ._native import decision_method_6_multiplier as method_6_multiplier
from ._native import decision_probability_of_conformity as probability_of_conformity
from ._native import decision_process_std_from_in_tolerance as process_std_from_in_tolerance
from ._native import decision_risk as risk
from ._native import decision_test_accuracy_ratio as test_accuracy_ratio
from ._native import decision_test_uncertainty_ratio as test_uncertainty_ratio

__all__ = [
    "Decision",
    "Decisions",
    "Risk",
    "after_measurement",
    "conformity",
    "decide",
    "e_n",
    "guard_band_for_global_risk",
    "guard_band_for_specific_risk",
    "guard_band_method_6",
    "guard_band_root_difference",
    "measurement_capability_index",
    "method_6_multiplier",
    "probability_of_conformity",
    "process_std_from_in_tolerance",
    "risk",
    "test_accuracy_ratio",
    "test_uncertainty_ratio",
]
