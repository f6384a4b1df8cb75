"""How fast one fit is beside numpy, in the same run: seven points, four unknowns."""

from typing import Any

import numpy as np
import peers
import pytest

import calcore as cc

T_C = np.array([-80.0, -40.0, 0.0, 50.0, 100.0, 150.0, 200.0])
OHM = cc.CallendarVanDusen.iec60751().resistance(T_C) + np.array([3.0, -2.0, 1.0, -4.0, 2.0, -1.0, 1.5]) * 1e-4
CASES = {
    "calcore": lambda: cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.001),
    "calcore, both variables": lambda: cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.001, u_t=0.01),
    "calcore, shared error": lambda: cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.001, u_t=0.01, u_t_common=0.02),
    "numpy": lambda: peers.fit(T_C, OHM),
}


@pytest.mark.parametrize("who", CASES)
def bench_fit(benchmark: Any, who: str) -> None:
    benchmark.group = "fit, 7 points"
    benchmark(CASES[who])


def bench_fits_agree() -> None:
    curve = cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.001).curve
    p, _ = peers.fit(T_C, OHM)
    np.testing.assert_allclose(p, np.array([1.0, curve.a, curve.b, curve.c]) * curve.r0, rtol=1e-9)
