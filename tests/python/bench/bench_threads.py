"""What a second thread gives over arrays, and what memory that is already there gives, in the same run.

`pytest tests/python/bench/bench_threads.py`; the table shows each group. Between a copy and a curve lies what memory
costs: where a row comes near the copy, another thread has little to add.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
import pytest

from calcore import CallendarVanDusen, Thermocouple

N = 1_000_000
PT100 = CallendarVanDusen.iec60751()
K = Thermocouple("K")
OHM = PT100.resistance(np.random.default_rng(1).uniform(-200.0, 850.0, N))
MV = K.emf(np.random.default_rng(1).uniform(-200.0, 1372.0, N))
OUT = np.empty(N)
HALVES = (slice(0, N // 2), slice(N // 2, N))
POOL = ThreadPoolExecutor(2)


def in_two(work: Callable[[slice], Any]) -> None:
    for half in [POOL.submit(work, half) for half in HALVES]:
        half.result()


CASES: dict[str, dict[str, Callable[[], Any]]] = {
    "platinum inverse, 1e6": {
        "one thread, new array": lambda: PT100.temperature(OHM),
        "one thread, out=": lambda: PT100.temperature(OHM, out=OUT),
        "two threads, new arrays": lambda: in_two(lambda half: PT100.temperature(OHM[half])),
        "two threads, out=": lambda: in_two(lambda half: PT100.temperature(OHM[half], out=OUT[half])),
        "copy": lambda: np.copyto(OUT, OHM),
    },
    "type K inverse, 1e6": {
        "one thread, new array": lambda: K.temperature(MV),
        "one thread, out=": lambda: K.temperature(MV, out=OUT),
        "two threads, new arrays": lambda: in_two(lambda half: K.temperature(MV[half])),
        "two threads, out=": lambda: in_two(lambda half: K.temperature(MV[half], out=OUT[half])),
        "copy": lambda: np.copyto(OUT, MV),
    },
}


@pytest.mark.parametrize(("job", "who"), [(job, who) for job in CASES for who in CASES[job]])
def bench_threads(benchmark: Any, job: str, who: str) -> None:
    benchmark.group = job
    benchmark.pedantic(CASES[job][who], rounds=30, iterations=1, warmup_rounds=3)


def bench_results_are_the_same() -> None:
    in_two(lambda half: K.temperature(MV[half], out=OUT[half]))
    assert np.array_equal(OUT, K.temperature(MV))
