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


def run() -> cc.loop_calibration.Run:
    """The invented run of tests/data."""
    return cc.loop_calibration.Run.from_json((ROOT / "tests" / "data" / "jacket_loop_as_found.json").read_text("utf-8"))
