"""How fast the platinum curve is beside numpy, in the same run.

`pytest tests/python/bench/bench_curves.py`; the table shows both of each group.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import peers
import pytest

import calcore as cc

PT100 = cc.CallendarVanDusen.iec60751()
N = 1_000_000
T_C = np.random.default_rng(1).uniform(-200.0, 850.0, N)
OHM = PT100.resistance(T_C)
OHM_COPY = np.empty_like(OHM)
TEN = np.ascontiguousarray(T_C[:10])
EXPONENTS = TEN / 1000.0

BIG: dict[str, dict[str, Callable[[], Any]]] = {
    "resistance, 1e6": {
        "calcore": lambda: PT100.resistance(T_C),
        "numpy": lambda: peers.resistance(T_C),
        "copy": lambda: np.copyto(OHM_COPY, OHM),
    },
    "temperature, 1e6": {
        "calcore": lambda: PT100.temperature(OHM),
        "numpy": lambda: peers.temperature(OHM),
        "numpy, steps on all": lambda: peers.temperature_of_all(OHM),
    },
}
SMALL: dict[str, dict[str, Callable[[], Any]]] = {
    "resistance, one value": {
        "calcore": lambda: PT100.resistance(55.5),
        "python": lambda: peers.pure_resistance(55.5),
        "np.exp": lambda: np.exp(1.5),
    },
    "temperature, one value below R0": {
        "calcore": lambda: PT100.temperature(55.5),
        "python": lambda: peers.pure_temperature(55.5),
    },
    "resistance, 10 values": {"calcore": lambda: PT100.resistance(TEN), "np.exp": lambda: np.exp(EXPONENTS)},
}


@pytest.mark.parametrize(("job", "who"), [(job, who) for job in BIG for who in BIG[job]])
def bench_arrays(benchmark: Any, job: str, who: str) -> None:
    benchmark.group = job
    benchmark.pedantic(BIG[job][who], rounds=30, iterations=1, warmup_rounds=3)


@pytest.mark.parametrize(("job", "who"), [(job, who) for job in SMALL for who in SMALL[job]])
def bench_calls(benchmark: Any, job: str, who: str) -> None:
    benchmark.group = job
    benchmark(SMALL[job][who])


def bench_peers_are_right() -> None:
    np.testing.assert_allclose(peers.resistance(T_C), OHM, rtol=1e-14)
    np.testing.assert_allclose(peers.temperature(OHM), T_C, rtol=0, atol=1e-12)
    np.testing.assert_allclose(peers.temperature_of_all(OHM), T_C, rtol=0, atol=1e-12)
