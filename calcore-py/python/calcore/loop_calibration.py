"""The whole job: a run at the block, described, checked and evaluated."""

from ._native import (
    Attribution,
    ElementFit,
    InstrumentResult,
    LinkShare,
    PointResult,
    Run,
    RunResult,
    SetPointAttribution,
    SetPointResult,
)

__all__ = [
    "Attribution",
    "ElementFit",
    "InstrumentResult",
    "LinkShare",
    "PointResult",
    "Run",
    "RunResult",
    "SetPointAttribution",
    "SetPointResult",
]
