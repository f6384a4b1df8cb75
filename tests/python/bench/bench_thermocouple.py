"""How fast type K is beside the best exact numpy, in the same run.

`pytest tests/python/bench/bench_thermocouple.py`; the table shows both of each group.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import peers_thermocouple as peers
import pytest

import calcore as cc

K = cc.Thermocouple("K")
T_C = np.random.default_rng(1).uniform(-200.0, 1372.0, 1_000_000)
MV = K.emf(T_C)

JOBS: dict[str, dict[str, Callable[[], Any]]] = {
    "emf, 1e6": {"calcore": lambda: K.emf(T_C), "numpy": lambda: peers.emf(T_C)},
    "temperature, 1e6": {"calcore": lambda: K.temperature(MV), "numpy": lambda: peers.temperature(MV)},
    "temperature, one value": {"calcore": lambda: K.temperature(20.6)},
}


@pytest.mark.parametrize(("job", "who"), [(job, who) for job in JOBS for who in JOBS[job]])
def bench_jobs(benchmark: Any, job: str, who: str) -> None:
    benchmark.group = job
    if "one" in job:
        benchmark(JOBS[job][who])
    else:
        benchmark.pedantic(JOBS[job][who], rounds=20, iterations=1, warmup_rounds=2)


def bench_peers_are_right() -> None:
    # What the published polynomials carry in double precision: 7e-13 mV, over a slope of 0.015 mV/K and more.
    np.testing.assert_allclose(peers.emf(T_C), MV, rtol=0, atol=2e-12)
    np.testing.assert_allclose(peers.temperature(MV), T_C, rtol=0, atol=1e-10)
