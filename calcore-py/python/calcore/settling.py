"""Whether the reference has settled."""

from ._native import Monitor, ReferenceAt, RStatistic, SettledState, Steadiness, Trend, Wait
from ._native import settling_drift as drift
from ._native import settling_effective_count as effective_count
from ._native import settling_lag as lag
from ._native import settling_lag_1_autocorrelation as lag_1_autocorrelation
from ._native import settling_lag_correction as lag_correction
from ._native import settling_reference_at as reference_at
from ._native import settling_settled as settled
from ._native import settling_steady as steady

__all__ = [
    "Monitor",
    "RStatistic",
    "ReferenceAt",
    "SettledState",
    "Steadiness",
    "Trend",
    "Wait",
    "drift",
    "effective_count",
    "lag",
    "lag_1_autocorrelation",
    "lag_correction",
    "reference_at",
    "settled",
    "steady",
]
