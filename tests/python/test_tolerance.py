"""Tolerance classes and tolerances of one's own."""

import math
from collections.abc import Callable
from typing import Any, Literal

import numpy as np
import pytest

import calcore as cc
from support import reference

T = cc.tolerance.Tolerance


@pytest.mark.parametrize(
    "row", reference("iec60751_tolerance"), ids=lambda row: f"{row['class']}-{row['construction']}"
)
def test_classes_of_the_standard(row: dict[str, str]) -> None:
    low, high = float(row["low_c"]), float(row["high_c"])
    film = row["construction"] == "film"
    name: Any = row["class"]
    construction: Literal["film", "wire_wound"] = "film" if film else "wire_wound"
    assert cc.tolerance.iec60751_range(name, construction=construction) == (low, high)
    t_c = np.array([low, 0.0, high])
    want = float(row["constant_k"]) + float(row["slope_per_degc"]) * np.abs(t_c)
    got = cc.tolerance.iec60751(name, t_c, construction=construction)
    # Two roundings of a number below 8.
    np.testing.assert_allclose(got, want, rtol=0, atol=2e-15)
    np.testing.assert_array_equal(T.iec60751(name, construction).half_width(t_c), got)
    with pytest.raises(cc.OutOfRangeError) as caught:
        cc.tolerance.iec60751(name, [0.0, high + 1.0], construction=construction)
    assert (caught.value.high, caught.value.index) == (high, 1)


def test_unknown_classes_are_refused_whatever_is_asked() -> None:
    for t_c in (0.0, [0.0], np.empty(0)):
        with pytest.raises(cc.UnknownNameError):
            cc.tolerance.iec60751("D", t_c)  # type: ignore[call-overload]
    with pytest.raises(cc.UnknownNameError):
        T.iec60751("A", "plastic")  # type: ignore[arg-type]


def test_sums_and_maxima() -> None:
    span = T.percent_of_span(0.1, 0.0, 150.0)
    both = T.sum(span, T.absolute(0.2))
    assert math.isclose(both.half_width(20.0), 0.35, rel_tol=1e-15)
    widest = T.max(both, T.percent_of_reading(1.0))
    np.testing.assert_allclose(widest.half_width([0.0, 100.0]), [0.35, 1.0], rtol=1e-15)
    assert both.limits(0.0) == (-both.half_width(0.0), both.half_width(0.0))
    lower, upper = T.sum(T.asymmetric(-0.5, 1.0), T.absolute(0.25)).limits([0.0, 1.0])
    np.testing.assert_array_equal(lower, [-0.75, -0.75])
    np.testing.assert_array_equal(upper, [1.25, 1.25])
    with pytest.raises(cc.InvalidValueError, match="asymmetric"):
        T.asymmetric(-0.5, 1.0).half_width(0.0)


def test_what_cannot_be_a_tolerance_is_refused_when_made() -> None:
    makers: list[Callable[[], object]] = [
        lambda: T.absolute(-1.0),
        lambda: T.percent_of_span(0.1, 5.0, 5.0),
        lambda: T.asymmetric(0.5, 1.0),
        lambda: T.sum(),
        lambda: T.max(),
    ]
    for make in makers:
        with pytest.raises(cc.InvalidValueError):
            make()
    with pytest.raises(cc.NotFiniteError):
        T.percent_of_reading(math.nan)
    with pytest.raises(TypeError):
        T.sum(0.5)  # type: ignore[arg-type]
