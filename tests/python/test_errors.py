"""Every kind of error of the core reaches Python as its own class, with its code and attributes."""

import math
import sys
from collections.abc import Callable
from typing import Any

import pytest

import calcore as cc
from support import run

PT100 = cc.CallendarVanDusen.iec60751()
FIT = cc.fit.callendar_van_dusen
FOUR = [-50.0, 0.0, 100.0, 200.0]


def contradictory() -> dict[str, Any]:
    description = run().to_dict()
    description["instruments"][1]["input"] = "no such tag"
    return description


def model_failed() -> object:
    return cc.uncertainty.propagate(lambda x: math.inf, {"x": cc.uncertainty.Normal(0.0, 1.0)})


def not_positive_definite() -> object:
    matrix = [[1.0 if i == j else 2.0 for j in range(4)] for i in range(4)]
    return FIT(FOUR, [80.0, 100.0, 138.5, 175.9], covariance_ohm=matrix)


CASES: dict[type[cc.CalcoreError], tuple[int, Callable[[], object], set[str]]] = {
    cc.NotFiniteError: (101, lambda: PT100.resistance([0.0, math.nan]), {"quantity", "value", "index", "count"}),
    cc.OutOfRangeError: (
        102,
        lambda: PT100.resistance([900.0]),
        {"quantity", "value", "low", "high", "unit", "index", "count"},
    ),
    cc.InvalidValueError: (
        103,
        lambda: cc.CallendarVanDusen(-1.0, 1.0, 1.0),
        {"quantity", "value", "unit", "requirement"},
    ),
    cc.UnknownNameError: (
        104,
        lambda: cc.tolerance.iec60751("D", 0.0),  # type: ignore[call-overload]
        {"quantity", "name", "expected"},
    ),
    cc.LengthMismatchError: (105, lambda: FIT([1.0], [1.0, 2.0]), {"quantity", "expected", "found"}),
    cc.TooFewPointsError: (
        201,
        lambda: FIT([-50.0, 100.0], [80.3, 138.5]),
        {"quantity", "needed", "found", "requirement"},
    ),
    cc.UndeterminedError: (
        202,
        lambda: FIT([0.0, 100.0, 200.0], [100.0, 138.5, 175.9]).temperature_uncertainty(50.0),
        {"quantity", "parameter", "requirement"},
    ),
    cc.NotPositiveDefiniteError: (203, not_positive_definite, {"quantity", "row"}),
    cc.NoConvergenceError: (
        204,
        lambda: cc.fit.rounded_within(cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7), 1e-14),
        {"quantity", "steps", "last", "unit"},
    ),
    cc.ModelFailedError: (205, model_failed, set()),
    cc.DocumentError: (301, lambda: cc.loop_calibration.Run.from_json("{}"), {"path", "problems"}),
    cc.InvalidRunError: (302, lambda: cc.loop_calibration.Run.from_dict(contradictory()), {"path", "problems"}),
}

ATTRIBUTES = [name for name in vars(cc.CalcoreError) if not name.startswith("_")]


@pytest.mark.parametrize("kind", CASES, ids=lambda kind: kind.__name__)
def test_kinds(kind: type[cc.CalcoreError]) -> None:
    code, provoke, filled = CASES[kind]
    with pytest.raises(kind) as caught:
        provoke()
    error = caught.value
    assert type(error) is kind
    assert isinstance(error, ValueError)
    assert error.code == code
    assert {name for name in ATTRIBUTES if getattr(error, name) is not None} - {"code"} == filled
    assert str(error)


def test_every_class_is_provoked() -> None:
    kinds = {
        value
        for name in cc.__all__
        if isinstance(value := getattr(cc, name), type) and issubclass(value, cc.CalcoreError)
    }
    # A computation is stopped from Python by an exception, which then passes unchanged.
    assert kinds - set(CASES) == {cc.CalcoreError, cc.CancelledError}


def test_messages_name_value_limit_and_unit() -> None:
    with pytest.raises(cc.OutOfRangeError) as caught:
        PT100.resistance([0.0, 900.0, 950.0])
    assert str(caught.value) == "temperature 900 °C is outside -200 to 850 °C (element 1, first of 2)"


def test_attributes_of_another_kind_are_none() -> None:
    with pytest.raises(cc.CalcoreError) as caught:
        PT100.resistance(900.0)
    assert caught.value.index is None
    assert caught.value.problems is None


# Without a type of their own: the stubs refuse them already.
TOO_LARGE: Any = 256
BELOW_ZERO: Any = -2
WHOLE_NUMBERS: list[tuple[Callable[[], Any], str, str]] = [
    (lambda: cc.fit.polynomial([1.0, 2.0, 3.0], [1.0, 2.0, 3.0], -1), "degree", "-1"),
    (lambda: cc.fit.optimal_abscissae(2, -3), "points", "-3"),
    (lambda: cc.tolerance.iec60584("K", TOO_LARGE, 0.0), "class_number", "256"),
    (lambda: cc.uncertainty.report(1.0, 0.1, digits=BELOW_ZERO), "digits", "-2"),
    (
        lambda: cc.uncertainty.monte_carlo(lambda x: x, {"x": cc.uncertainty.Normal(0.0, 1.0)}, threads=-1),
        "threads",
        "-1",
    ),
    (lambda: cc.linearization.lookup_table(cc.Thermocouple("K"), 0.0, 100.0, segments=-1), "segments", "-1"),
    (lambda: cc.loop_calibration.reliability_interval(1.0, -1, 10, target=0.9), "in_tolerance", "-1"),
    (lambda: cc.fit.optimal_abscissae(10**30, 5), "degree", str(10**30)),
]


@pytest.mark.parametrize(("call", "argument", "value"), WHOLE_NUMBERS)
def test_whole_numbers_that_do_not_fit_are_named(call: Callable[[], Any], argument: str, value: str) -> None:
    with pytest.raises(ValueError, match=rf"^{value} is not a whole number from 0 to \d+\b") as caught:
        call()
    # Notes on exceptions came with Python 3.11.
    assert sys.version_info < (3, 11) or caught.value.__notes__ == [f"while processing '{argument}'"]
