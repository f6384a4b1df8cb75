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


@pytest.mark.benchmark(group="Student quantile")
def bench_student(benchmark: Any) -> None:
    benchmark(U.coverage_factor, 0.95, 7.3)


@pytest.mark.benchmark(group="Student quantile")
def bench_stdtrit(benchmark: Any) -> None:
    benchmark(scipy.special.stdtrit, 7.3, 0.975)
