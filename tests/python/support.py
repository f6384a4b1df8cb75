"""What the tests share: the tables of other people, and distances between numbers."""

from __future__ import annotations

import csv
import struct
from pathlib import Path

import numpy as np
import numpy.typing as npt

import calcore as cc

ROOT = Path(__file__).resolve().parents[2]
REFERENCE = ROOT / "tests" / "reference"

Array = npt.NDArray[np.float64]


def reference(name: str) -> list[dict[str, str]]:
    """Rows of a table of tests/reference; its source stands in the file of the same name ending in .toml."""
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def columns(name: str, *keys: str) -> tuple[Array, ...]:
    """Columns of such a table, each number read as the nearest double."""
    rows = reference(name)
    return tuple(np.array([float(row[key]) for row in rows]) for key in keys)


def bits(value: float) -> int:
    """The pattern of a double: equal patterns are the same number, the sign of zero included."""
    return int(struct.unpack("<Q", struct.pack("<d", value))[0])


def same_bits(left: npt.ArrayLike, right: npt.ArrayLike) -> bool:
    """Whether two arrays hold the same patterns in the same shape."""
    a, b = np.asarray(left, dtype=np.float64), np.asarray(right, dtype=np.float64)
    return a.shape == b.shape and bool(np.array_equal(a.view(np.uint64), b.view(np.uint64)))


def run(name: str = "jacket_loop") -> cc.loop_calibration.Run:
    """An invented run of tests/data."""
    return cc.loop_calibration.Run.from_json((ROOT / "tests" / "data" / f"{name}_as_found.json").read_text("utf-8"))


def plan_request() -> cc.loop_calibration.PlanRequest:
    """Two invented instruments that need 100 °C, and one block."""
    lc = cc.loop_calibration
    point = lc.PlanPoint.celsius(100.0, within_k=2.0)
    block = lc.PlanSource(
        "block", 30.0, 300.0, heating_k_per_min=10.0, cooling_k_per_min=5.0, settling_s=600.0, bores=3, start_c=30.0
    )
    two = [lc.PlanInstrument(tag, 0.0, 200.0, [point]) for tag in ("TT-1", "TT-2")]
    return lc.PlanRequest(two, [block], order="up", reading_s=120.0)
