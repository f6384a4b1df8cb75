"""The whole job: a run at the block, described, checked and evaluated."""

from ._native import (
    Attribution,
    CalibrationFile,
    Drift,
    ElementFit,
    InstrumentResult,
    LinkShare,
    PointResult,
    ReliabilityInterval,
    Run,
    RunResult,
    SetPointAttribution,
    SetPointResult,
)
from ._native import loop_calibration_check_record as check_record
from ._native import loop_calibration_compare as compare
from ._native import loop_calibration_evaluate_all as evaluate_all
from ._native import loop_calibration_fit_points as fit_points
from ._native import loop_calibration_history as history
from ._native import loop_calibration_impact as impact
from ._native import loop_calibration_in_service as in_service
from ._native import loop_calibration_in_use as in_use
from ._native import loop_calibration_normalized_error as normalized_error
from ._native import loop_calibration_plan as plan
from ._native import loop_calibration_reliability_interval as reliability_interval
from ._native import loop_calibration_staircase as staircase

__all__ = [
    "Attribution",
    "CalibrationFile",
    "Drift",
    "ElementFit",
    "InstrumentResult",
    "LinkShare",
    "PointResult",
    "ReliabilityInterval",
    "Run",
    "RunResult",
    "SetPointAttribution",
    "SetPointResult",
    "check_record",
    "compare",
    "evaluate_all",
    "fit_points",
    "history",
    "impact",
    "in_service",
    "in_use",
    "normalized_error",
    "plan",
    "reliability_interval",
    "staircase",
]
