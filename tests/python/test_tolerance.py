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


def limit(row: dict[str, str], t_c: float) -> float:
    """The rules of the tables of thermocouples."""
    greater = max(float(row["fixed_k"]), float(row["rel_of_abs_t"]) * abs(t_c))
    return greater + float(row["slope_per_degc"]) * max(0.0, t_c - float(row["slope_from_c"]))


@pytest.mark.parametrize("standard", ["iec60584", "astm_e230"])
def test_classes_of_thermocouples(standard: str) -> None:
    for row in reference(f"{standard}_tolerance"):
        letter: Any = row["type"]
        name: Any = int(row["class"]) if standard == "iec60584" else row["class"]
        low, high = float(row["low_c"]), float(row["high_c"])
        # The ends of a line may belong to the next one.
        for t_c in (low + 0.01 * (high - low), 0.5 * (low + high), high - 0.01 * (high - low)):
            made: cc.tolerance.Tolerance
            if standard == "iec60584":
                got = cc.tolerance.iec60584(letter, name, t_c)
                made = T.iec60584(letter, name)
                assert cc.tolerance.iec60584_confirmation(letter, name) == row["status"]
            else:
                got = cc.tolerance.astm_e230(letter, name, t_c)
                made = T.astm_e230(letter, name)
            # Two roundings of a number below 40.
            assert got == pytest.approx(limit(row, t_c), abs=1e-14), (row, t_c)
            assert made.half_width(t_c) == got
    with pytest.raises(cc.UnknownNameError):
        cc.tolerance.iec60584("K", 4, [])  # type: ignore[call-overload]
    with pytest.raises(cc.OutOfRangeError) as caught:
        cc.tolerance.iec60584("K", 1, [0.0, 1001.0])
    assert (caught.value.index, caught.value.high) == (1, 1000.0)
    assert cc.tolerance.astm_e230_range("T", "special") == (0.0, 370.0)


def test_other_classes_of_resistance_thermometers() -> None:
    for row in reference("astm_e1137_tolerance"):
        grade: Any = row["class"]
        want = float(row["constant_k"]) + float(row["slope_per_degc"]) * 200.0
        assert cc.tolerance.astm_e1137(grade, -200.0) == pytest.approx(want, abs=1e-15)
        assert T.astm_e1137(grade).half_width(-200.0) == cc.tolerance.astm_e1137(grade, -200.0)
    for row in reference("gost6651_tolerance"):
        material: Any = row["material"]
        name: Any = row["class"]
        if material in ("copper", "nickel"):
            high = float(row["high_c"])
            want = float(row["constant_k"]) + float(row["slope_per_degc"]) * high
            assert cc.tolerance.gost6651(material, name, high) == pytest.approx(want, abs=1e-15)
            assert T.gost6651(material, name).half_width(high) == cc.tolerance.gost6651(material, name, high)


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
