"""Uncertainty beside numpy, scipy and the general library `uncertainties` (left out where it is not installed).

Ten inputs (four normal, four rectangular, one triangular, one arcsine) of the resistance of a platinum thermometer at
100 °C and of what disturbs it; 10^6 trials. The ratio of the means within one group is the figure.
"""

from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
import scipy.special

import calcore as cc

U = cc.uncertainty
A, B = 3.9083e-3, -5.775e-7
TRIALS = 1_000_000
INPUTS: dict[str, U.Distribution] = {
    "ohm": U.Normal(138.5055, 0.002),
    "r0": U.Normal(100.0, 0.003),
    "drift": U.Normal(0.0, 0.001),
    "noise": U.Normal(0.0, 0.002),
    "step": U.Rectangular(-0.0005, 0.0005),
    "leads": U.Rectangular(-0.001, 0.001),
    "emf": U.Rectangular(-0.001, 0.001),
    "heat": U.Rectangular(-0.0005, 0.0005),
    "axial": U.Triangular(-0.01, 0.01),
    "cycle": U.UShaped(-0.005, 0.005),
}

# The same as a model of the core.
KNOWN = U.MeasurementModel.temperature(
    cc.CallendarVanDusen.iec60751(),
    reading=["ohm", "drift", "noise", "step", "leads", "emf", "heat"],
    divisor={"r0": 0.01},
    result=["axial", "cycle"],
)


def model(ohm: Any, r0: Any, *rest: Any) -> Any:
    """Temperature by the quadratic equation, and what is added to it."""
    drift, noise, step, leads, emf, heat, axial, cycle = rest
    w = (ohm + drift + noise + step + leads + emf + heat) / r0
    return (-A + (A * A - 4.0 * B * (1.0 - w)) ** 0.5) / (2.0 * B) + axial + cycle


def by_numpy() -> tuple[float, float, float, float]:
    rng = np.random.default_rng(1)
    normal = [rng.normal(d.mean, d.standard_uncertainty, TRIALS) for d in list(INPUTS.values())[:4]]
    rectangles = [rng.uniform(-a, a, TRIALS) for a in (0.0005, 0.001, 0.001, 0.0005)]
    triangle = rng.triangular(-0.01, 0.0, 0.01, TRIALS)
    arcsine = 0.005 * np.sin(2.0 * np.pi * rng.random(TRIALS))
    t: npt.NDArray[np.float64] = np.sort(model(*normal, *rectangles, triangle, arcsine))
    span = round(0.95 * TRIALS)
    start = int(np.argmin(t[span:] - t[:-span]))
    return float(t.mean()), float(t.std(ddof=1)), float(t[start]), float(t[start + span])


@pytest.mark.benchmark(group="Monte Carlo, 1e6 trials of ten inputs")
def bench_numpy(benchmark: Any) -> None:
    benchmark(by_numpy)


@pytest.mark.benchmark(group="Monte Carlo, 1e6 trials of ten inputs")
@pytest.mark.parametrize("threads", [1, 2])
def bench_monte_carlo(benchmark: Any, threads: int) -> None:
    found = benchmark(U.monte_carlo, model, INPUTS, trials=TRIALS, seed=1, threads=threads)
    mean, u, _, _ = by_numpy()
    assert abs(found.mean - mean) < 6.0 * u / TRIALS**0.5


@pytest.mark.benchmark(group="Monte Carlo, 1e6 trials of ten inputs")
@pytest.mark.parametrize("threads", [1, 2])
def bench_monte_carlo_of_the_core(benchmark: Any, threads: int) -> None:
    found = benchmark(U.monte_carlo, KNOWN, INPUTS, trials=TRIALS, seed=1, threads=threads)
    mean, u, _, _ = by_numpy()
    assert abs(found.mean - mean) < 6.0 * u / TRIALS**0.5


@pytest.mark.benchmark(group="first order, ten inputs, a budget")
def bench_propagate_callable(benchmark: Any) -> None:
    benchmark(U.propagate, model, INPUTS)


@pytest.mark.benchmark(group="first order, ten inputs, a budget")
def bench_uncertainties(benchmark: Any) -> None:
    library = pytest.importorskip("uncertainties")

    def job() -> Any:
        variables = [library.ufloat(d.mean, d.standard_uncertainty) for d in INPUTS.values()]
        result = model(*variables)
        return result.nominal_value, result.std_dev, result.error_components()

    _, u, _ = benchmark(job)
    assert abs(U.propagate(model, INPUTS).standard_uncertainty / u - 1.0) < 1e-8


@pytest.mark.benchmark(group="first order, ten inputs, a budget")
def bench_model_of_the_core(benchmark: Any) -> None:
    budget = benchmark(U.propagate, KNOWN, INPUTS)
    assert abs(U.propagate(model, INPUTS).standard_uncertainty / budget.standard_uncertainty - 1.0) < 1e-8


def by_hand(ohm: float, u_ohm: float, u: list[float]) -> tuple[float, float]:
    """The formula written out: temperature and its standard uncertainty."""
    rise = ohm / 100.0 - 1.0
    root = (A * A + 4.0 * B * rise) ** 0.5
    t = 2.0 * rise / (A + root)
    per_ohm = 0.01 / (A + 2.0 * B * t)
    variance = (per_ohm * u_ohm) ** 2 + (per_ohm * ohm / 100.0 * u[1]) ** 2
    variance += (per_ohm * u[2]) ** 2 + (per_ohm * u[3]) ** 2 + (per_ohm * u[4]) ** 2
    variance += (per_ohm * u[5]) ** 2 + (per_ohm * u[6]) ** 2 + (per_ohm * u[7]) ** 2
    return t, (variance + u[8] ** 2 + u[9] ** 2) ** 0.5


POINTS = 10_000
OHM: npt.NDArray[np.float64] = np.linspace(100.5, 380.0, POINTS)
U_INPUTS = [distribution.standard_uncertainty for distribution in INPUTS.values()]


@pytest.mark.benchmark(group="first order, ten inputs, 10^4 set points")
def bench_points_by_hand(benchmark: Any) -> None:
    def job() -> list[tuple[float, float]]:
        return [by_hand(ohm, 0.002, U_INPUTS) for ohm in OHM.tolist()]

    benchmark(job)


@pytest.mark.benchmark(group="first order, ten inputs, 10^4 set points")
@pytest.mark.parametrize("contributions", [False, True])
def bench_points(benchmark: Any, contributions: bool) -> None:
    inputs: dict[str, U.Distribution | U.PointInput] = {**INPUTS, "ohm": U.PointInput(OHM, 0.002)}
    found = benchmark(U.propagate_points, KNOWN, inputs, coverage_factor=2.0, contributions=contributions)
    want = np.array([by_hand(ohm, 0.002, U_INPUTS) for ohm in OHM.tolist()])
    assert np.allclose(found.value, want[:, 0], rtol=0.0, atol=1e-11)
    assert np.allclose(found.standard_uncertainty, want[:, 1], rtol=1e-12)


@pytest.mark.benchmark(group="first order, ten inputs, 10^4 set points, Student's t at each")
def bench_points_student(benchmark: Any) -> None:
    inputs: dict[str, U.Distribution | U.PointInput] = {**INPUTS, "ohm": U.PointInput(OHM, 0.002, 5.0)}
    benchmark(U.propagate_points, KNOWN, inputs)


@pytest.mark.benchmark(group="first order, ten inputs, 10^4 set points, Student's t at each")
def bench_points_stdtrit(benchmark: Any) -> None:
    inputs: dict[str, U.Distribution | U.PointInput] = {**INPUTS, "ohm": U.PointInput(OHM, 0.002, 5.0)}
    degrees = U.propagate_points(KNOWN, inputs).effective_degrees_of_freedom
    benchmark(scipy.special.stdtrit, degrees, 0.975)


@pytest.mark.benchmark(group="Student quantile")
def bench_student(benchmark: Any) -> None:
    benchmark(U.coverage_factor, 0.95, 7.3)


@pytest.mark.benchmark(group="Student quantile")
def bench_stdtrit(benchmark: Any) -> None:
    benchmark(scipy.special.stdtrit, 7.3, 0.975)
