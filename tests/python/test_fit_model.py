"""Fits of a user's own model, beside those of scipy and the certified values of NIST."""

import json
import math
import pickle
from typing import Any

import numpy as np
import pytest
from odrpack import odr_fit
from scipy import optimize

import calcore as cc
from support import REFERENCE, Array, reference


def cooling(t: float, end: float, rise: float, rate: float) -> float:
    return end + rise * math.exp(-rate * t)


def cooling_gradient(t: float, end: float, rise: float, rate: float) -> list[float]:
    e = math.exp(-rate * t)
    return [1.0, e, -rise * t * e]


T_S = np.linspace(0.0, 8.0, 9)
# Invented readings, °C.
READ = np.array([99.9, 68.6, 49.3, 37.9, 30.8, 26.7, 23.9, 22.5, 21.4])


def test_derivatives_of_the_user_and_by_differences_agree() -> None:
    by_differences = cc.fit.model(cooling, T_S, READ, [0.0, 50.0, 1.0], u_y=0.2)
    given = cc.fit.model(cooling, T_S, READ, [0.0, 50.0, 1.0], gradient=cooling_gradient, u_y=0.2)
    # Differences over four points are good to about 1e-11.
    np.testing.assert_allclose(given.parameters, by_differences.parameters, rtol=1e-9)
    assert given.covariance is not None
    assert by_differences.covariance is not None
    np.testing.assert_allclose(given.covariance, by_differences.covariance, rtol=1e-7)


# Witness: scipy's least_squares at its tightest tolerances; covariance (JᵀJ)⁻¹ of the weighted problem.
def test_against_scipy_least_squares() -> None:
    generator = np.random.default_rng(1)
    for _ in range(20):
        true = [generator.uniform(10, 30), generator.uniform(50, 100), generator.uniform(0.3, 1.0)]
        u = generator.uniform(0.05, 0.5, T_S.size)
        y = np.array([cooling(t, *true) for t in T_S]) + u * generator.standard_normal(T_S.size)
        fit = cc.fit.model(cooling, T_S, y, [15.0, 60.0, 0.5], gradient=cooling_gradient, u_y=u)

        def misfit(p: Array, y: Array = y, u: Array = u) -> Array:
            return np.asarray((p[0] + p[1] * np.exp(-p[2] * T_S) - y) / u)

        def jacobian(p: Array, u: Array = u) -> Array:
            e = np.exp(-p[2] * T_S)
            return np.asarray(np.stack([np.ones_like(e), e, -p[1] * T_S * e], axis=1) / u[:, None])

        peer = optimize.least_squares(misfit, [15.0, 60.0, 0.5], jac=jacobian, xtol=1e-15, ftol=1e-15, gtol=1e-15)
        # The peer stops where its cost no longer falls, half way down the digits.
        np.testing.assert_allclose(fit.parameters, peer.x, rtol=1e-7)
        assert fit.chi_squared is not None
        assert fit.chi_squared <= 2 * peer.cost * (1 + 1e-12)
        assert fit.covariance is not None
        np.testing.assert_allclose(fit.covariance, np.linalg.inv(peer.jac.T @ peer.jac), rtol=1e-5)


# Witness: odrpack at tight tolerances, errors in both variables.
def test_against_odrpack() -> None:
    generator = np.random.default_rng(2)
    for _ in range(10):
        u_x, u_y = 0.05, generator.uniform(0.1, 0.4, T_S.size)
        x = T_S + u_x * generator.standard_normal(T_S.size)
        y = np.array([cooling(t, 20.0, 80.0, 0.5) for t in T_S]) + u_y * generator.standard_normal(T_S.size)
        fit = cc.fit.model(cooling, x, y, [15.0, 60.0, 0.5], u_x=u_x, u_y=u_y)
        peer = odr_fit(
            lambda x, p: p[0] + p[1] * np.exp(-p[2] * x),
            x,
            y,
            np.array([15.0, 60.0, 0.5]),
            weight_x=1 / u_x**2,
            weight_y=1 / u_y**2,
            sstol=1e-15,
            partol=1e-15,
            maxit=500,
        )
        # The peer stops by its differences: about half the digits.
        np.testing.assert_allclose(fit.parameters, peer.beta, rtol=1e-6)
        assert fit.chi_squared is not None
        assert math.isclose(fit.chi_squared, peer.sum_square, rel_tol=1e-9)


def test_exceptions_of_the_model_pass_unchanged() -> None:
    class Odd(Exception):
        pass

    def fails(x: float, a: float) -> float:
        raise Odd("mine")

    with pytest.raises(Odd, match="mine"):
        cc.fit.model(fails, [1.0, 2.0], [1.0, 2.0], [1.0])

    def interrupted(x: float, a: float) -> float:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        cc.fit.model(interrupted, [1.0, 2.0], [1.0, 2.0], [1.0])
    with pytest.raises(TypeError):
        cc.fit.model(lambda x, a: "text", [1.0, 2.0], [1.0, 2.0], [1.0])  # type: ignore[arg-type, return-value]
    with pytest.raises(ZeroDivisionError):
        cc.fit.model(lambda x, a: a * x, [1.0, 2.0], [1.0, 2.0], [1.0], gradient=lambda x, a: [1 / 0])


def test_what_a_model_refuses() -> None:
    fit = cc.fit.model
    with pytest.raises(TypeError, match="callable"):
        fit(1.0, [1.0, 2.0], [1.0, 2.0], [1.0])  # type: ignore[arg-type]
    with pytest.raises(cc.ModelFailedError):
        fit(lambda x, a: math.nan, [1.0, 2.0], [1.0, 2.0], [1.0])
    with pytest.raises(cc.TooFewPointsError):
        fit(cooling, [1.0, 2.0], [1.0, 2.0], [1.0, 1.0, 1.0])
    with pytest.raises(cc.UndeterminedError):
        fit(lambda x, a, b: (a + b) * x, T_S, READ, [1.0, 2.0])
    with pytest.raises(cc.InvalidValueError):
        fit(cooling, T_S, READ, [0.0, 50.0, 1.0], bounds=[(1.0, 100.0), (0.0, 100.0), (0.0, 2.0)])
    with pytest.raises(cc.LengthMismatchError, match="gradient"):
        fit(cooling, T_S, READ, [0.0, 50.0, 1.0], gradient=lambda x, *p: [1.0])
    with pytest.raises(cc.LengthMismatchError, match="bounds"):
        fit(cooling, T_S, READ, [0.0, 50.0, 1.0], bounds=[(0.0, 1.0)])


# Witness: scipy's bounded least squares.
def test_bounds() -> None:
    bounds = [(25.0, 100.0), (0.0, 200.0), (0.0, 2.0)]
    fit = cc.fit.model(cooling, T_S, READ, [30.0, 50.0, 1.0], bounds=bounds)
    assert fit.at_bound == [True, False, False]
    assert fit.parameters[0] == 25.0
    low, high = zip(*bounds, strict=True)
    peer = optimize.least_squares(
        lambda p: p[0] + p[1] * np.exp(-p[2] * T_S) - READ,
        [30.0, 50.0, 1.0],
        bounds=(low, high),
        xtol=1e-14,
        ftol=1e-14,
    )
    # The peer stays inside its bounds and comes within about 1e-6 of one.
    np.testing.assert_allclose(fit.parameters, peer.x, rtol=1e-5)
    assert fit.covariance is not None
    assert not fit.covariance[0].any()
    assert "at_bound" in [notice.code for notice in fit.warnings]


def test_robust_fit_names_the_outlier() -> None:
    read = READ.copy()
    read[4] += 10.0
    fit = cc.fit.model(cooling, T_S, read, [0.0, 50.0, 1.0], u_y=0.3, robust=True)
    assert fit.weights.argmin() == 4
    assert fit.weights[4] < 0.2
    plain = cc.fit.model(cooling, T_S, READ, [0.0, 50.0, 1.0], u_y=0.3)
    spoilt = cc.fit.model(cooling, T_S, read, [0.0, 50.0, 1.0], u_y=0.3)
    assert abs(fit.parameters[2] - plain.parameters[2]) < 0.3 * abs(spoilt.parameters[2] - plain.parameters[2])


def test_common_errors_are_not_averaged_down() -> None:
    fit = cc.fit.model(lambda x, a: a, T_S, READ * 0 + 5.0, [1.0], u_y=0.3, u_y_common=0.4)
    assert fit.standard_errors is not None
    assert math.isclose(fit.standard_errors[0], math.hypot(0.3 / 3, 0.4), rel_tol=1e-12)


def test_pickling() -> None:
    fit = cc.fit.model(
        cooling, T_S, READ, [0.0, 50.0, 1.0], gradient=cooling_gradient, u_y=0.2, bounds=[(-math.inf, math.inf)] * 3
    )
    again = pickle.loads(pickle.dumps(fit))
    assert again == fit
    assert np.array_equal(again.parameters, fit.parameters)
    assert "ModelFit(parameters [" in repr(fit)
    assert "standard uncertainty" in fit._repr_html_()


MODELS: dict[str, Any] = {
    "Misra1a": lambda x, a, b: a * (1 - math.exp(-b * x)),
    "DanWood": lambda x, a, b: a * x**b,
    "MGH09": lambda x, a, b, c, d: a * (x * x + x * b) / (x * x + x * c + d),
    "Rat42": lambda x, a, b, c: a / (1 + math.exp(b - c * x)),
    "Bennett5": lambda x, a, b, c: a * (b + x) ** (-1 / c),
    "Hahn1": lambda x, a, b, c, d, e, f, g: (a + b * x + c * x**2 + d * x**3) / (1 + e * x + f * x**2 + g * x**3),
    "Thurber": lambda x, a, b, c, d, e, f, g: (a + b * x + c * x**2 + d * x**3) / (1 + e * x + f * x**2 + g * x**3),
    "Roszman1": lambda x, a, b, c, d: a - b * x - math.atan(c / (x - d)) / math.pi,
}


# Witness: NIST StRD, certified to 11 digits, from both of its starts. The goal of the house is 8 digits.
@pytest.mark.parametrize("start", ["start_1", "start_2"])
@pytest.mark.parametrize("name", MODELS)
def test_certified_values_of_nist(name: str, start: str) -> None:
    whole = json.loads((REFERENCE / f"strd_{name}.json").read_text("utf-8"))
    rows = reference(f"strd_{name}")
    x, y = (np.array([float(row[key]) for row in rows]) for key in "xy")
    fit = cc.fit.model(MODELS[name], x, y, [float(value) for value in whole["inputs"][start]])
    published = whole["published"]
    np.testing.assert_allclose(fit.parameters, [float(value) for value in published["parameters"]], rtol=1e-8)
    assert fit.standard_errors is not None
    np.testing.assert_allclose(
        fit.standard_errors, [float(value) for value in published["parameter_std_dev"]], rtol=1e-7
    )
    assert math.isclose(fit.sum_of_squares, float(published["residual_sum_of_squares"]), rel_tol=1e-8)
