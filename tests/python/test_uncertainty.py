"""Distributions, budgets, propagation."""

import math
from collections.abc import Callable

import numpy as np
import pytest
import scipy.stats

import calcore as cc
from support import reference

U = cc.uncertainty
INF = math.inf


@pytest.mark.parametrize(
    ("distribution", "peer"),
    [
        (U.Normal(1.0, 2.0), scipy.stats.norm(1.0, 2.0)),
        (U.Rectangular(1.0, 4.0), scipy.stats.uniform(1.0, 3.0)),
        (U.Triangular(1.0, 4.0), scipy.stats.triang(0.5, 1.0, 3.0)),
        (U.Trapezoidal(-1.0, 1.0, 0.5), scipy.stats.trapezoid(0.25, 0.75, -1.0, 2.0)),
        (U.UShaped(-1.0, 1.0), scipy.stats.arcsine(-1.0, 2.0)),
        (U.StudentT(1.0, 0.5, 5.0), scipy.stats.t(5.0, 1.0, 0.5)),
        (U.Exponential(2.0), scipy.stats.expon(0.0, 2.0)),
        (U.Gamma(4.0, 0.5), scipy.stats.gamma(4.0, 0.0, 0.5)),
    ],
    ids=lambda value: type(value).__name__,
)
def test_distributions_agree_with_scipy(distribution: cc.uncertainty.Distribution, peer: object) -> None:
    mean, variance, skewness, kurtosis = (float(v) for v in peer.stats("mvsk"))  # type: ignore[attr-defined]
    assert distribution.mean == pytest.approx(mean, rel=1e-12, abs=1e-12)
    assert distribution.standard_uncertainty == pytest.approx(math.sqrt(variance), rel=1e-12)
    assert distribution.skewness == pytest.approx(skewness, rel=1e-9, abs=1e-9)
    assert distribution.excess_kurtosis == pytest.approx(kurtosis, rel=1e-9, abs=1e-9)
    p = np.array([0.01, 0.3, 0.5, 0.9, 0.999])
    x = peer.ppf(p)  # type: ignore[attr-defined]
    np.testing.assert_allclose(distribution.quantile(p), x, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(distribution.cdf(x), p, rtol=1e-9)
    assert isinstance(distribution, U.Distribution)
    assert distribution.degrees_of_freedom == INF


def test_what_distributions_refuse() -> None:
    with pytest.raises(TypeError):
        U.Distribution()  # type: ignore[call-arg, unused-ignore]
    makers: list[Callable[[], object]] = [
        lambda: U.Normal(0.0, -1.0),
        lambda: U.Normal(0.0, 1.0, 0.0),
        lambda: U.Rectangular(2.0, 1.0),
        lambda: U.Trapezoidal(0.0, 1.0, 1.5),
        lambda: U.CurvilinearTrapezoid(0.0, 1.0, 2.0),
        lambda: U.Exponential(0.0),
        lambda: U.Gamma(1.0, math.nan),
    ]
    for make in makers:
        with pytest.raises(cc.CalcoreError):
            make()


def test_t_factors_of_the_guide() -> None:
    rows = reference("gum_table_g2")
    p, nu, t = (np.array([float(row[key]) for row in rows]) for key in ("p", "degrees_of_freedom", "t"))
    # Half of the last printed digit.
    np.testing.assert_allclose(U.coverage_factor(p, nu), t, rtol=0, atol=0.005 + 1e-9)
    np.testing.assert_allclose(U.coverage_probability(U.coverage_factor(p, nu), nu), p, rtol=1e-12)
    # JCGM 100:2008, G.4.1: 0.25 %, 0.57 %, 0.82 % with 9, 4 and 14 degrees of freedom give 19.0.
    assert U.welch_satterthwaite([0.25, 0.57, 0.82], [9, 4, 14]) == pytest.approx(19.0, abs=0.05)
    with pytest.raises(cc.LengthMismatchError):
        U.welch_satterthwaite([1.0], [1.0, 2.0])


def test_end_gauge_of_the_guide() -> None:
    # JCGM 100:2008, H.1: l = l_s + d - l_s (dalpha theta + alpha_s dtheta), nm.
    inputs: dict[str, U.Distribution] = {
        "l_s": U.Normal(50_000_623.0, 25.0, 18.0),
        "d": U.Normal(215.0, 9.7, 25.6),
        "dalpha": U.Normal(0.0, 0.58e-6, 50.0),
        "theta": U.Normal(-0.1, 0.41),
        "alpha_s": U.Normal(11.5e-6, 1.2e-6),
        "dtheta": U.Normal(0.0, 0.029, 2.0),
    }

    def length(l_s: float, d: float, dalpha: float, theta: float, alpha_s: float, dtheta: float) -> float:
        return l_s + d - l_s * (dalpha * theta + alpha_s * dtheta)

    result = U.propagate(length, inputs, coverage=0.99)
    assert result.value == pytest.approx(50_000_838.0, abs=0.5)
    assert result.standard_uncertainty == pytest.approx(32.0, abs=0.5)
    assert result.effective_degrees_of_freedom == pytest.approx(16.7, abs=0.1)
    # The guide cuts the degrees of freedom to 16 and prints 93 nm; uncut they give half a nanometre less.
    assert result.expanded_uncertainty == pytest.approx(93.0, abs=1.0)
    assert [line.quantity for line in result.budget] == list(inputs)
    assert result.budget[0].contribution == pytest.approx(25.0, abs=0.05)
    assert sum(line.share for line in result.budget) == pytest.approx(1.0, rel=1e-12)
    assert result.warnings == []


def test_correlation() -> None:
    inputs: dict[str, U.Distribution] = {"a": U.Normal(1.0, 3.0), "b": U.Normal(2.0, 4.0)}
    independent = U.propagate(lambda a, b: a + b, inputs, coverage_factor=2.0)
    assert independent.standard_uncertainty == pytest.approx(5.0, rel=1e-10)
    assert independent.expanded_uncertainty == pytest.approx(10.0, rel=1e-10)
    correlated = U.propagate(lambda a, b: a + b, inputs, correlation=[[1.0, 1.0], [1.0, 1.0]])
    assert correlated.standard_uncertainty == pytest.approx(7.0, rel=1e-10)
    lines = [U.Contribution("a", U.Normal(0.0, 3.0)), U.Contribution("b", U.Normal(0.0, 2.0), -2.0)]
    straight = U.Budget.from_contributions(0.0, lines, correlation=np.array([[1.0, 1.0], [1.0, 1.0]]))
    assert straight.standard_uncertainty == pytest.approx(1.0, rel=1e-12)
    assert lines[1].contribution == -4.0
    with pytest.raises(cc.LengthMismatchError):
        U.propagate(lambda a, b: a + b, inputs, correlation=np.eye(3))
    with pytest.raises(cc.OutOfRangeError):
        U.propagate(lambda a, b: a + b, inputs, correlation=[[1.0, 1.5], [1.5, 1.0]])
    with pytest.raises(cc.InvalidValueError):
        U.propagate(lambda a, b: a + b, inputs, correlation=[[1.0, 0.5], [0.4, 1.0]])
    with pytest.raises(cc.OutOfRangeError):
        U.propagate(lambda a, b: a + b, inputs, coverage=1.5)


class Broken(RuntimeError):
    pass


def test_what_the_model_raises_passes_unchanged() -> None:
    error = Broken("no value here")

    def broken(x: float) -> float:
        raise error

    with pytest.raises(Broken) as caught:
        U.propagate(broken, {"x": U.Normal(1.0, 0.1)})
    assert caught.value is error
    with pytest.raises(TypeError):
        U.propagate(lambda x: None, {"x": U.Normal(1.0, 0.1)})  # type: ignore[arg-type, return-value]
    with pytest.raises(cc.ModelFailedError):
        U.propagate(lambda x: math.nan, {"x": U.Normal(1.0, 0.1)})
    with pytest.raises(TypeError):
        U.propagate(lambda x: x, {"x": 1.0})  # type: ignore[dict-item]
    with pytest.raises(TypeError, match="positional"):
        U.propagate(lambda x: x, {"x": U.Normal(0.0, 1.0), "y": U.Normal(0.0, 1.0)})


def test_an_interrupt_ends_the_propagation() -> None:
    calls = 0

    def interrupted(x: float) -> float:
        nonlocal calls
        calls += 1
        if calls == 2:
            raise KeyboardInterrupt
        return x

    with pytest.raises(KeyboardInterrupt):
        U.propagate(interrupted, {"x": U.Normal(1.0, 0.1)})
    assert calls == 2


def test_a_model_may_end_near_the_estimate() -> None:
    # 100 °C is 0.01 K from the end of this curve: wider steps raise, narrower ones do not.
    curve = cc.CallendarVanDusen(100.0, 3.9083e-3, -5.775e-7, range_c=(0.0, 100.01))
    result = U.propagate(curve.resistance, {"t_c": U.Normal(100.0, 0.02)})
    assert result.budget[0].sensitivity == pytest.approx(curve.slope(100.0), rel=1e-8)


def test_models_may_call_calcore_and_numpy() -> None:
    curve = cc.CallendarVanDusen.iec60751()
    result = U.propagate(lambda ohm: np.float64(curve.temperature(ohm)), {"ohm": U.Normal(138.5055, 0.01)})
    assert result.value == pytest.approx(100.0, abs=1e-9)
    assert result.standard_uncertainty == pytest.approx(0.01 / curve.slope(100.0), rel=1e-9)


def test_presentation() -> None:
    result = U.propagate(lambda x: x, {"<b>x</b>": U.Rectangular(0.0, 1.0)}, coverage_factor=2.0)
    html = result._repr_html_()
    assert "&lt;b&gt;x&lt;/b&gt;" in html
    assert "<b>" not in html
    assert repr(result).startswith("Budget(0.5 ± 0.577")
    assert repr(U.Normal(1.0, 0.5)) == "Normal(1.0, 0.5, inf)"
