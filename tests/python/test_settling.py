"""Whether a record is steady."""

import numpy as np
import pytest

import calcore as cc
from support import Array


def judge(time_s: Array, value: Array, max_span: float = 0.05) -> cc.settling.Steadiness:
    return cc.settling.steady(time_s, value, window_s=100.0, max_span=max_span, max_slope_per_min=0.01)


TIME_S = np.arange(0.0, 301.0, 10.0)


def test_a_steady_record() -> None:
    state = judge(TIME_S, np.full(TIME_S.shape, 100.0))
    assert state.steady
    assert state.reason is None
    assert (state.span, state.slope_per_min, state.residual_standard_deviation) == (0.0, 0.0, 0.0)
    assert state.readings == 11
    assert state.since_s == 100.0


@pytest.mark.parametrize(
    ("time_s", "value", "reason"),
    [
        (TIME_S, 100.0 + 0.001 * TIME_S, "span"),
        (TIME_S, 100.0 + 0.0004 * TIME_S, "slope"),
        (TIME_S[:5], np.full(5, 100.0), "record_too_short"),
        (np.array([0.0, 200.0, 300.0]), np.full(3, 100.0), "too_few_readings"),
    ],
)
def test_why_a_record_is_not_steady(time_s: Array, value: Array, reason: str) -> None:
    state = judge(time_s, value)
    assert not state.steady
    assert state.reason == reason
    assert state.since_s is None
    assert reason in repr(state)


def test_slope_equals_that_of_a_line() -> None:
    value = 100.0 + 0.01 * np.sin(TIME_S)
    state = judge(TIME_S, value)
    window = TIME_S >= 200.0
    slope = np.polynomial.Polynomial.fit(TIME_S[window], value[window], 1).convert().coef[1]
    assert state.slope_per_min == pytest.approx(60.0 * slope, rel=1e-9)
    # Half the span, rectangular.
    assert state.standard_uncertainty == pytest.approx(state.span / np.sqrt(12.0), rel=1e-12)


def test_what_is_refused() -> None:
    with pytest.raises(cc.LengthMismatchError):
        judge(TIME_S, TIME_S[:-1])
    with pytest.raises(cc.TooFewPointsError):
        judge(TIME_S[:0], TIME_S[:0])
    with pytest.raises(cc.InvalidValueError):
        judge(TIME_S[::-1], TIME_S)
    with pytest.raises(cc.InvalidValueError):
        judge(TIME_S, TIME_S, max_span=0.0)
