"""Extremes of slope and curvature of every kind of curve over ranges.

The published equations are differentiated numerically with 80 digits at many
temperatures of a range, and the extremes refined by golden sections; nothing
is shared with the library, which encloses them by interval arithmetic.

Writes ``tests/reference/curve_bounds.csv``:
``curve,low_c,high_c,slope_low,slope_high,curvature_low,curvature_high``, in the
unit of the signal per kelvin and per kelvin squared.  Ranges that hold a joint
of two equations are seen on either side of it.

Run ``python tests/oracle/curve_bounds.py``.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from mpmath import mp, mpf

mp.dps = 80
REFERENCE = Path(__file__).resolve().parent.parent / "reference"
Number = Any
Function = Callable[[Number], Number]
SAMPLES = 96
ICE = mpf("273.15")
STEP = mpf(10) ** -20


def first(function: Function, t: Number) -> Number:
    """Central difference: its error is of the order of STEP squared."""
    return (function(t + STEP) - function(t - STEP)) / (2 * STEP)


def second(function: Function, t: Number) -> Number:
    return (function(t + STEP) - 2 * function(t) + function(t - STEP)) / STEP**2


def refined(value: Function, a: Number, b: Number) -> Number:
    """Largest value between two temperatures around a sampled maximum."""
    ratio = (mp.sqrt(5) - 1) / 2
    c, d = b - ratio * (b - a), a + ratio * (b - a)
    for _ in range(40):
        if value(c) > value(d):
            b, d = d, c
            c = b - ratio * (b - a)
        else:
            a, c = c, d
            d = a + ratio * (b - a)
    return max(value(c), value(d))


def largest(value: Function, low: Number, high: Number) -> Number:
    grid = [low + (high - low) * i / SAMPLES for i in range(SAMPLES + 1)]
    values = [value(t) for t in grid]
    best = max(range(SAMPLES + 1), key=lambda i: values[i])
    inner = refined(value, grid[max(best - 1, 0)], grid[min(best + 1, SAMPLES)])
    return max(values[best], inner)


def extremes(value: Function, low: Number, high: Number) -> tuple[Number, Number]:
    return -largest(lambda t: -value(t), low, high), largest(value, low, high)


Piece = tuple[Number, Number, Function]


def polynomial(c: list[Number]) -> Function:
    return lambda t: mp.fsum(ck * t**k for k, ck in enumerate(c))


def with_bell(base: Function, a0: Number, a1: Number, a2: Number) -> Function:
    return lambda t: base(t) + a0 * mp.exp(a1 * (t - a2) ** 2)


def thermocouple(letter: str) -> list[Piece]:
    data = json.loads((REFERENCE / "thermocouple_coefficients.json").read_text())
    pieces: list[Piece] = []
    for part in data["types"][letter]["emf_ranges"]:
        emf = polynomial([mpf(c) for c in part["c"]])
        if part.get("exponential"):
            emf = with_bell(emf, *(mpf(part["exponential"][k]) for k in ("a0", "a1", "a2")))
        pieces.append((mpf(part["t_min"]), mpf(part["t_max"]), emf))
    return pieces


def platinum() -> list[Piece]:
    a, b, c = mpf("3.9083e-3"), mpf("-5.775e-7"), mpf("-4.183e-12")
    below = polynomial([mpf(100), 100 * a, 100 * b, -10000 * c, 100 * c])
    return [(mpf(-200), mpf(0), below), (mpf(0), mpf(850), polynomial([mpf(100), 100 * a, 100 * b]))]


def nickel() -> list[Piece]:
    """DIN 43760, alpha 0.00618: one polynomial."""
    c = ["5.485e-3", "6.650e-6", "0", "2.805e-11", "0", "-2.000e-17"]
    return [(mpf(-60), mpf(250), polynomial([mpf(100), *(100 * mpf(x) for x in c)]))]


def copper() -> list[Piece]:
    """GOST 6651-2009, alpha 0.00428: a joint with a kink at 0 degrees."""
    a, b, c = mpf("4.28e-3"), mpf("-6.2032e-7"), mpf("8.5154e-10")
    below = polynomial([mpf(100), 100 * (a + mpf("6.7") * b), 100 * b, 100 * c])
    return [(mpf(-180), mpf(0), below), (mpf(0), mpf(200), polynomial([mpf(100), 100 * a]))]


def steinhart_hart() -> list[Piece]:
    a0, a1, a3 = mpf(1.1738e-3), mpf(2.4e-4), mpf(1.5e-7)

    def ohm(t: Number) -> Number:
        y = 1 / (t + ICE)
        # The one real root of the cubic in ln R.
        p, q = a1 / (3 * a3), (a0 - y) / (2 * a3)
        root = mp.sqrt(p**3 + q**2)
        x = mp.cbrt(root - q) - mp.cbrt(root + q)
        return mp.exp(x)

    return [(mpf(-80), mpf(150), ohm)]


def beta() -> list[Piece]:
    return [(mpf(-80), mpf(300), lambda t: 10000 * mp.exp(3950 * (1 / (t + ICE) - 1 / mpf("298.15"))))]


def sprt(low_function: bool) -> list[Piece]:
    """R(273.16 K) 25.5 ohm; 3.3.1.3 with a = -1.2e-4, b = 3e-6; 3.3.2.2 with the same."""
    constants = json.loads((REFERENCE / "its90_constants.json").read_text())
    low = [mpf(v) for v in constants["low"]["A"]]
    high = [mpf(v) for v in constants["high"]["C"]]
    a, b = mpf(float("-1.2e-4")), mpf(float("3e-6"))

    def ohm(t: Number) -> Number:
        t_k = t + ICE
        if low_function:
            x = (mp.log(t_k / mpf("273.16")) + mpf("1.5")) / mpf("1.5")
            w_r = mp.exp(mp.polyval(low[::-1], x))
        else:
            w_r = mp.polyval(high[::-1], (t_k - mpf("754.15")) / 481)
        w = w_r
        for _ in range(12):
            other = mp.log(w) if low_function else w - 1
            slope = mp.log(w) + (w - 1) / w if low_function else 2 * (w - 1)
            w -= (w - a * (w - 1) - b * (w - 1) * other - w_r) / (1 - a - b * slope)
        return mpf("25.5") * w

    return [(mpf("-189.3442"), mpf("0.01"), ohm)] if low_function else [(mpf(0), mpf("419.527"), ohm)]


def curves() -> dict[str, list[Piece]]:
    named = {f"thermocouple_{letter}": thermocouple(letter) for letter in "BCEJKNRSTA"}
    named |= {"iec60751": platinum(), "din43760_ni618": nickel(), "gost6651_cu428": copper()}
    named |= {"steinhart_hart": steinhart_hart(), "beta": beta()}
    return named | {"sprt_3.3.1.3": sprt(True), "sprt_3.3.2.2": sprt(False)}


def main() -> None:
    generator = random.Random(34)
    lines = ["curve,low_c,high_c,slope_low,slope_high,curvature_low,curvature_high"]
    for name, pieces in curves().items():
        ends = (pieces[0][0], pieces[-1][1])
        ranges = [(float(ends[0]), float(ends[1]))]
        for _ in range(6):
            a, b = sorted(round(generator.uniform(float(ends[0]), float(ends[1])), 3) for _ in range(2))
            ranges.append((a, b))
            ranges.append((a, round(min(a + generator.uniform(0.5, 5.0), float(ends[1])), 3)))
        for low, high in ranges:
            found: list[tuple[Number, ...]] = []
            for start, end, function in pieces:
                a, b = max(start, mpf(low)), min(end, mpf(high))
                if a < b:
                    slope = extremes(partial(first, function), a, b)
                    curvature = extremes(partial(second, function), a, b)
                    found.append((*slope, *curvature))
            joined = [(min if i % 2 == 0 else max)(one[i] for one in found) for i in range(4)]
            text = ",".join(mp.nstr(x, 17) for x in joined)
            lines.append(f"{name},{low!r},{high!r},{text}")
    (REFERENCE / "curve_bounds.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
