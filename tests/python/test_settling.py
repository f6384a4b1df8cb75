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


CRITERION: dict[str, float] = {"window_s": 300.0, "max_slope_per_min": 0.01, "max_scatter": 0.005}


def test_one_reading_at_a_time_is_the_whole_record() -> None:
    time_s = np.arange(0.0, 1500.0, 10.0)
    value = 100.0 + 2.0 * np.exp(-time_s / 150.0) + 0.001 * np.sin(time_s)
    monitor = cc.settling.Monitor(**CRITERION)
    for i, (t, v) in enumerate(zip(time_s, value, strict=True)):
        state = monitor.push(t, v)
        if i % 30 == 0:
            assert state == cc.settling.settled(time_s[: i + 1], value[: i + 1], **CRITERION)
    assert state.settled
    assert state.since_s is not None
    assert state.trend is not None
    assert state.slope_bound_per_min <= 0.01
    with pytest.raises(cc.InvalidValueError):
        monitor.push(0.0, 100.0)
    assert monitor.push(1500.0, 100.0).settled


def test_time_still_to_wait() -> None:
    monitor = cc.settling.Monitor(window_s=300.0, max_slope_per_min=0.001, max_scatter=0.005)
    for t in np.arange(0.0, 600.0, 10.0):
        monitor.push(t, 100.0 + 2.0 * np.exp(-t / 150.0))
    wait = monitor.wait()
    # An exponential without noise: its constants come out as they went in.
    assert wait.time_constant_s == pytest.approx(150.0, rel=0.01)
    assert wait.final_value == pytest.approx(100.0, abs=0.001)
    assert wait.seconds > 0.0
    with pytest.raises(cc.TooFewPointsError):
        cc.settling.Monitor(**CRITERION).wait()


def test_drift_equals_that_of_a_line() -> None:
    rng = np.random.default_rng(5)
    time_s = np.arange(0.0, 600.0, 10.0)
    value = 0.001 * time_s + rng.normal(0.0, 0.01, time_s.shape)
    trend = cc.settling.drift(time_s, value, spike_limit=np.inf)
    line = np.polynomial.Polynomial.fit(time_s, value, 1).convert()
    assert trend.slope_per_min == pytest.approx(60.0 * line.coef[1], rel=1e-9)
    assert (trend.readings, trend.spikes) == (60, 0)
    value[20] += 5.0
    assert cc.settling.drift(time_s, value).spikes == 1
    assert cc.settling.lag_1_autocorrelation([1.0, -1.0, 1.0, -1.0]) == -0.75
    assert cc.settling.effective_count(30, 0.5) == 10.0


def test_the_reference_at_a_moment() -> None:
    found = cc.settling.reference_at(TIME_S, 100.0 + 0.01 * TIME_S, 123.0)
    assert found.value == pytest.approx(101.23, abs=1e-9)
    assert not found.extrapolated
    with pytest.raises(cc.OutOfRangeError):
        cc.settling.reference_at(TIME_S, TIME_S, 400.0)
    assert cc.settling.reference_at(TIME_S, TIME_S, 310.0, max_extrapolation_s=20.0).extrapolated


def test_lag() -> None:
    # tau r: 60 s in a ramp of 0.02 K/min.
    assert cc.settling.lag(60.0, 0.02) == pytest.approx(0.02, rel=1e-15)
    assert cc.settling.lag([60.0, 120.0], 0.5).tolist() == [0.5, 1.0]
    correction, u = cc.settling.lag_correction(120.0, 60.0, 0.5, 0.1)
    assert (correction, u) == pytest.approx((0.5, 0.1), rel=1e-15)


def test_r_statistic() -> None:
    statistic = cc.settling.RStatistic(0.2, 0.1, 0.1)
    rng = np.random.default_rng(9)
    steady = [statistic.push(x) for x in rng.normal(0.0, 1.0, 2000)]
    assert steady[0] is None
    # White noise: a mean of 1.04 and 5 % above 1.44, from simulation; the mean of 2000 correlated values to 0.1.
    assert np.mean([r for r in steady if r is not None]) == pytest.approx(1.04, abs=0.1)
    with pytest.raises(cc.OutOfRangeError):
        cc.settling.RStatistic(2.0, 0.1, 0.1)
