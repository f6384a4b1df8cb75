"""From what a user writes to the text that the core reads. Nothing is computed here."""

from __future__ import annotations

import dataclasses
import json
import math
from typing import TYPE_CHECKING, Any

from ._native import (
    BetaThermistor,
    CallendarVanDusen,
    Sprt,
    SteinhartHart,
    TabulatedCurve,
    Thermocouple,
)

if TYPE_CHECKING:
    from collections.abc import Iterator


class Described:
    """A description that knows its own dict."""

    def to_dict(self) -> dict[str, Any]:
        """The description as a dict, of the form of the JSON document; what was left out is not in it."""
        fields = ((field.name, getattr(self, field.name)) for field in dataclasses.fields(self))  # type: ignore[arg-type]
        return {name: plain(value) for name, value in fields if value is not None}


def plain(value: Any) -> Any:
    """What JSON knows, of descriptions, curves, arrays and sequences."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, dict):
        return {name: plain(inner) for name, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner) for inner in value]
    if hasattr(value, "to_dict"):
        return plain(value.to_dict())
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    return curve(value)


def curve(value: Any) -> dict[str, Any]:
    """A curve of this package by the name and the coefficients by which a run knows it."""
    if isinstance(value, CallendarVanDusen):
        return {"callendar_van_dusen": {"r0": value.r0, "a": value.a, "b": value.b, "c": value.c}}
    if isinstance(value, Thermocouple) and value.side is None:
        return {"thermocouple": {"letter": value.letter}}
    if isinstance(value, Sprt):
        coefficients = list(value.coefficients)
        return {"sprt": {"r_tpw": value.r_tpw, "subrange": value.subrange, "coefficients": coefficients}}
    if isinstance(value, SteinhartHart) and value.quadratic == 0.0:
        return {"steinhart_hart": {"a": value.a, "b": value.b, "c": value.c}}
    if isinstance(value, BetaThermistor):
        return {"beta_thermistor": {"r25": value.r25, "beta": value.beta}}
    if isinstance(value, TabulatedCurve):
        table = {"t_c": value.t_c.tolist(), "signal": value.rows.tolist(), "interpolation": value.interpolation}
        return {"table": table}
    raise TypeError(f"{value!r} is no part of a description")


def text(what: Any) -> tuple[str, list[tuple[str, float]]]:
    """JSON of a description, and the numbers that JSON does not know with their paths; with these there is no text."""
    document = plain(what)
    try:
        return json.dumps(document, allow_nan=False), []
    except ValueError:
        found = list(not_finite(document, ""))
        if not found:
            raise
        return "", found


def not_finite(document: Any, path: str) -> Iterator[tuple[str, float]]:
    """Every NaN and infinity of a document with its path."""
    if isinstance(document, float) and not math.isfinite(document):
        yield path, document
    elif isinstance(document, dict):
        for name, inner in document.items():
            yield from not_finite(inner, f"{path}.{name}" if path else str(name))
    elif isinstance(document, list):
        for i, inner in enumerate(document):
            yield from not_finite(inner, f"{path}[{i}]")
