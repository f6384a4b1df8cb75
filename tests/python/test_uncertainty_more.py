"""Evaluations of Type A and B, second order, several results, coverage of shapes and regions, reports."""

import math
import pickle

import numpy as np
import pytest

import calcore as cc

U = cc.uncertainty


def test_type_a_of_the_guide() -> None:
    # JCGM 100:2008, 4.4.3, table 1: s = 1.489 °C, u = 0.333 °C.
    t_c = [
        96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
        100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
    ]  # fmt: skip
    found = U.mean_of(t_c)
    assert abs(found.mean - 100.145) < 5e-4
    assert abs(found.standard_deviation - np.std(t_c, ddof=1)) < 1e-12
    assert abs(found.standard_uncertainty - 0.333) < 5e-4
    assert found.degrees_of_freedom == 19.0
    assert found.distribution() == U.Normal(found.mean, found.standard_uncertainty, 19.0)
    assert pickle.loads(pickle.dumps(found)) == found


def test_pooled_and_correlated_readings() -> None:
    s, nu = U.pooled([[1.0, 3.0], [5.0, 6.0, 7.0]])
    assert abs(s - math.sqrt(4.0 / 3.0)) < 1e-15
    assert nu == 3.0
    assert U.mean_of([4.0], pooled=(s, nu)).standard_uncertainty == s
    ramp = np.arange(100.0)
    with pytest.raises(cc.TooFewPointsError, match="trend"):
        U.mean_of(ramp, autocorrelated=True)
    with pytest.raises(cc.TooFewPointsError):
        U.mean_of([1.0])


def test_type_b() -> None:
    # JCGM 100:2008, 4.3.3 to 4.3.5.
    assert U.from_expanded(0.0, 240.0, coverage_factor=3.0).standard_uncertainty == 80.0
    assert abs(U.from_expanded(0.0, 129.0, probability=0.99).standard_uncertainty - 50.0) < 0.5
    with pytest.raises(TypeError, match="coverage_factor or probability"):
        U.from_expanded(0.0, 1.0)
    assert U.drift(100.0, 100.5, 0.5) == U.Rectangular(-0.25, 0.25)
    assert isinstance(U.resolution(1.0, 0.1), U.Rectangular)


def test_second_order_of_a_product_is_exact() -> None:
    inputs: dict[str, U.Distribution] = {"x": U.Normal(2.0, 0.3), "y": U.Rectangular(1.0, 3.0)}
    found = U.propagate(lambda x, y: x * y, inputs, order=2)
    # Variance of a product of independent quantities.
    exact = 4.0 / 3.0 + 4.0 * 0.09 + 0.09 / 3.0
    assert abs(found.standard_uncertainty - math.sqrt(exact)) < 1e-11
    assert found.second_order is not None
    assert abs(found.second_order["variance"] - 0.03) < 1e-11
    assert U.propagate(lambda x, y: x * y, inputs).second_order is None
    with pytest.raises(cc.InvalidValueError, match="order"):
        U.propagate(lambda x, y: x * y, inputs, order=3)  # type: ignore[arg-type]
    with pytest.raises(cc.InvalidValueError, match="rectangular"):
        U.propagate(lambda x, y: x * y, inputs, order=2, correlation=[[1.0, 0.5], [0.5, 1.0]])


def test_several_results() -> None:
    inputs: dict[str, U.Distribution] = {"a": U.Normal(2.0, 0.1), "b": U.Normal(3.0, 0.2)}
    correlation = [[1.0, 0.4], [0.4, 1.0]]
    joint = U.propagate_many(lambda a, b: (a * b, math.exp(a)), inputs, correlation=correlation)
    jacobian = np.array([[3.0, 2.0], [math.exp(2.0), 0.0]])
    u = np.array([0.1, 0.2])
    expected = jacobian @ (np.outer(u, u) * correlation) @ jacobian.T
    assert np.allclose(joint.covariance, expected, rtol=1e-9)
    assert np.allclose(joint.sensitivities, jacobian, rtol=1e-9, atol=1e-9)
    alone = U.propagate(lambda a, b: a * b, inputs, correlation=correlation)
    assert joint.budgets[0] == alone
    assert abs(joint.hyper_ellipse_factor(0.95) - math.sqrt(-2.0 * math.log(0.05))) < 1e-12

    def fails(a: float, b: float) -> tuple[float, float]:
        raise RuntimeError("no")

    with pytest.raises(RuntimeError, match="no"):
        U.propagate_many(fails, inputs)


def test_coverage_of_shapes() -> None:
    # EA-4/02 M:2022, S10.14: two rectangles, closed form of the trapezoid.
    beta = 0.15 / 0.35
    closed = (1 - math.sqrt(0.05 * (1 - beta * beta))) / math.sqrt((1 + beta * beta) / 6)
    assert abs(U.trapezoid_coverage_factor(0.25, 0.10) - closed) < 1e-12
    lines = [U.Contribution("a", U.Rectangular(-0.25, 0.25)), U.Contribution("b", U.Rectangular(-0.1, 0.1))]
    assert abs(U.coverage_factor_of_shapes(lines) - closed) < 1e-12
    budget = U.Budget.from_contributions(0.0, lines).with_coverage_of_shapes(0.95)
    assert abs(budget.coverage_factor - closed) < 1e-12


def test_reports() -> None:
    # JCGM 100:2008, 7.2.6: 10.057 62 with 0.027 is stated as 10.058.
    assert str(U.report(10.05762, 0.027)) == "10.058 ± 0.027"
    assert str(U.report(100.0, 10.47, rounding="up")) == "100 ± 11"
    found = U.report(20.123, 0.054, resolution=0.1)
    assert found.finer_than_resolution
    assert pickle.loads(pickle.dumps(found)) == found
    with pytest.raises(cc.UnknownNameError):
        U.report(1.0, 0.1, rounding="down")  # type: ignore[arg-type]
    with pytest.raises(cc.OutOfRangeError):
        U.report(1.0, 0.1, digits=3)  # type: ignore[arg-type]
