"""The best that numpy does for type K: ranges apart, in blocks; published inverse and two Newton steps."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

FILE = Path(__file__).resolve().parents[2] / "reference" / "thermocouple_coefficients.json"
TYPE_K: dict[str, Any] = json.loads(FILE.read_text("utf-8"))["types"]["K"]
RANGES = TYPE_K["emf_ranges"]
LOW, HIGH = ([float(c) for c in part["c"]] for part in RANGES)
# a0 exp(a1 (t - a2)^2), upper range only.
GAUSS = [float(RANGES[1]["exponential"][name]) for name in ("a0", "a1", "a2")]
INVERSES = [
    (float(part["E_min"]), float(part["E_max"]), [float(d) for d in part["d"]]) for part in TYPE_K["inverse_ranges"]
]
# The ends of the range lie a rounding of the third decimal beyond the published limits.
INVERSES[0] = (-np.inf, *INVERSES[0][1:])
INVERSES[-1] = (INVERSES[-1][0], np.inf, INVERSES[-1][2])
BLOCK = 8192


def horner(coefficients: list[float], x: Array) -> Array:
    y = np.full_like(x, coefficients[-1])
    for c in coefficients[-2::-1]:
        y *= x
        y += c
    return y


def slope_coefficients(coefficients: list[float]) -> list[float]:
    return [k * c for k, c in enumerate(coefficients)][1:]


LOW_SLOPE, HIGH_SLOPE = slope_coefficients(LOW), slope_coefficients(HIGH)


def warm(t: Array) -> tuple[Array, Array]:
    """The Gaussian term and its derivative over t - a2."""
    d = t - GAUSS[2]
    g = GAUSS[0] * np.exp(GAUSS[1] * d * d)
    return g, 2.0 * GAUSS[1] * d * g


def emf(t_c: Array) -> Array:
    mv = np.empty_like(t_c)
    for start in range(0, len(t_c), BLOCK):
        t = t_c[start : start + BLOCK]
        y = mv[start : start + BLOCK]
        cold = t < 0.0
        y[cold] = horner(LOW, t[cold])
        hot = t[~cold]
        y[~cold] = horner(HIGH, hot) + warm(hot)[0]
    return mv


def temperature(mv: Array) -> Array:
    t_c = np.empty_like(mv)
    for start in range(0, len(mv), BLOCK):
        e = mv[start : start + BLOCK]
        t = np.empty_like(e)
        for low, high, d in INVERSES:
            part = (e >= low) & (e <= high)
            t[part] = horner(d, e[part])
        cold = e < 0.0
        for chosen, c, s in ((cold, LOW, LOW_SLOPE), (~cold, HIGH, HIGH_SLOPE)):
            x, wanted = t[chosen], e[chosen]
            for _ in range(2):
                f, slope = horner(c, x) - wanted, horner(s, x)
                if c is HIGH:
                    g, dg = warm(x)
                    f += g
                    slope += dg
                x -= f / slope
            t[chosen] = x
        t_c[start : start + BLOCK] = t
    return t_c
