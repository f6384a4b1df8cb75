"""The whole job: a run at the block, described, checked and evaluated."""

from ._loop_parts import Contribution, Coverage, Decision, Range, Tolerance
from ._loop_run import HeatSource, Instrument, Reading, Reference, ReferenceJunction, SetPoint, Transfer, Wiring
from ._loop_work import (
    AdjustmentEvent,
    CertificateDetails,
    Mapping,
    PlanInstrument,
    PlanPoint,
    PlanRequest,
    PlanSource,
)
from ._native import (
    Adjustment,
    Attribution,
    CalibrationFile,
    Certificate,
    CertificateRow,
    Change,
    CorrectedPoint,
    Drift,
    ElementFit,
    Figures,
    Hypothesis,
    Impact,
    InstrumentAction,
    InstrumentResult,
    LinkShare,
    Plan,
    PlannedPoint,
    PointHistory,
    PointResult,
    Proposal,
    RecordCheck,
    ReferenceComparison,
    ReliabilityInterval,
    RemainingError,
    Run,
    RunResult,
    SetPointAttribution,
    SetPointResult,
    SourcePlan,
)
from ._native import loop_calibration_check_record as check_record
from ._native import loop_calibration_compare as compare
from ._native import loop_calibration_conformity_word as conformity_word
from ._native import loop_calibration_evaluate_all as evaluate_all
from ._native import loop_calibration_evaluate_points as evaluate_points
from ._native import loop_calibration_fit_points as fit_points
from ._native import loop_calibration_histories as histories
from ._native import loop_calibration_history as history
from ._native import loop_calibration_impact as impact
from ._native import loop_calibration_in_service as in_service
from ._native import loop_calibration_in_use as in_use
from ._native import loop_calibration_normalized_error as normalized_error
from ._native import loop_calibration_plan as plan
from ._native import loop_calibration_reliability_interval as reliability_interval
from ._native import loop_calibration_schema as schema
from ._native import loop_calibration_schema_names as schema_names
from ._native import loop_calibration_staircase as staircase

__all__ = [
    "Adjustment",
    "AdjustmentEvent",
    "Attribution",
    "CalibrationFile",
    "Certificate",
    "CertificateDetails",
    "CertificateRow",
    "Change",
    "Contribution",
    "CorrectedPoint",
    "Coverage",
    "Decision",
    "Drift",
    "ElementFit",
    "Figures",
    "HeatSource",
    "Hypothesis",
    "Impact",
    "Instrument",
    "InstrumentAction",
    "InstrumentResult",
    "LinkShare",
    "Mapping",
    "Plan",
    "PlanInstrument",
    "PlanPoint",
    "PlanRequest",
    "PlanSource",
    "PlannedPoint",
    "PointHistory",
    "PointResult",
    "Proposal",
    "Range",
    "Reading",
    "RecordCheck",
    "Reference",
    "ReferenceComparison",
    "ReferenceJunction",
    "ReliabilityInterval",
    "RemainingError",
    "Run",
    "RunResult",
    "SetPoint",
    "SetPointAttribution",
    "SetPointResult",
    "SourcePlan",
    "Tolerance",
    "Transfer",
    "Wiring",
    "check_record",
    "compare",
    "conformity_word",
    "evaluate_all",
    "evaluate_points",
    "fit_points",
    "histories",
    "history",
    "impact",
    "in_service",
    "in_use",
    "normalized_error",
    "plan",
    "reliability_interval",
    "schema",
    "schema_names",
    "staircase",
]
