"""Best tables of bent segments of sensor curves: exhaustive search on a grid, polished by linear programs.

Writes ``tests/reference/linearization_bent.csv``.

A segment goes through two nodes on the curve.  ``quadratic``: a parabola bent
for the smallest largest error.  ``cubic_hermite``: the cubic with the slope of
the curve at both nodes.  The largest error of a segment is looked at on 241
temperatures, dense at its ends.

Nodes: first the best of all choices among the places of a grid (dynamic
programming over every pair of places that is not much too wide, which is
exhaustive), spread by a power of the error of short segments.  Then sequential
linear programs (scipy's HiGHS) in the nodes, in a trust region.  The result is
the best of the grid's neighbourhood; a table that is better is no
contradiction.

The curves are computed from the coefficients in ``tests/reference``; the
library is not called.  Run ``python linearization_bent.py`` (some minutes).
"""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from linearization import CURVES, Curve
from scipy.optimize import linprog

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
Array = Any
LOOKS = 241
CHECK = 4001
PLACES_A_SEGMENT = 14
LEAST_PLACES = 150
WIDEST = 3.0
ROUNDS = 60
TABLES = [
    ("K", "signal_to_temperature", 0, 1000, (2, 3, 8, 16, 32, 64)),
    ("K", "temperature_to_signal", -200, 1300, (5,)),
    ("S", "signal_to_temperature", 0, 1700, (3, 8)),
    ("T", "signal_to_temperature", -200, 400, (4, 10)),
    ("pt100", "signal_to_temperature", -200, 850, (2, 6)),
    ("beta3950", "signal_to_temperature", 0, 100, (4, 12)),
]
ORDER = {"quadratic": 3, "cubic_hermite": 4}


# Weights of the derivative at zero of the polynomial through values at these places.
SLOPE_PLACES = (np.arange(7) + 0.5) / 7.0
SLOPE_WEIGHTS = np.linalg.solve(np.vander(SLOPE_PLACES, increasing=True).T, np.eye(7)[1])


class Segments:
    """Errors of segments of a shape on a curve."""

    def __init__(self, curve: Curve, direction: str, shape: str) -> None:
        """Take the curve in a direction."""
        self.curve, self.direction, self.shape = curve, direction, shape

    def point(self, t: Array) -> tuple[Array, Array]:
        """Return argument and value."""
        signal = self.curve(t)
        return (signal, t) if self.direction == "signal_to_temperature" else (t, signal)

    def slope(self, t: float, towards: float) -> float:
        """Return the slope of value by argument at a temperature, of the polynomial through places on one side of it.

        Ends of a range may be joints of the curve, where the other side is another function.
        """
        length = math.copysign(min(1.0, 0.5 * abs(towards - t)), towards - t)
        slope = float(SLOPE_WEIGHTS @ self.curve(t + length * SLOPE_PLACES)) / length
        return 1.0 / slope if self.direction == "signal_to_temperature" else slope

    def error(self, a: float, b: float, looks: int = LOOKS) -> float:
        """Return the largest error of the segment between two temperatures."""
        t = 0.5 * (a + b) - 0.5 * (b - a) * np.cos(np.pi * np.arange(looks) / (looks - 1))
        x, y = self.point(t)
        width, rise = x[-1] - x[0], y[-1] - y[0]
        u = (x - x[0]) / width
        rest, arch = y - y[0] - u * rise, u * (1.0 - u)
        if self.shape == "cubic_hermite":
            bend = self.slope(a, b) * width - rise
            skew = rise - bend - self.slope(b, a) * width
            return float(np.abs(rest - arch * (bend + skew * u)).max())
        inner = rest[1:-1] / arch[1:-1]
        low, high = float(inner.min()), float(inner.max())
        for _ in range(45):
            c = 0.5 * (low + high)
            off = rest - c * arch
            if off.max() + off.min() > 0.0:
                low = c
            else:
                high = c
        return float(np.abs(rest - 0.5 * (low + high) * arch).max())


def grid(segments: Segments, low: float, high: float, count: int) -> Array:
    """Return places spread by the width that short segments of equal error would have."""
    edges = np.linspace(low, high, 401)
    order = ORDER[segments.shape]
    sizes = np.array([segments.error(a, b, 41) for a, b in pairwise(edges)])
    density = sizes ** (1.0 / order)
    density = np.convolve(np.pad(density, 4, mode="edge"), np.ones(9) / 9.0, mode="valid")
    density += 0.02 * density.mean()
    total = np.concatenate(([0.0], np.cumsum(density)))
    return np.interp(np.linspace(0.0, total[-1], count + 1), total, edges)


def on_grid(segments: Segments, places: Array, n: int) -> Array:
    """Return the nodes of the best table among the places."""
    last = len(places) - 1
    reach = last if n <= 3 else int(WIDEST * last / n)
    best = np.full(last + 1, np.inf)
    best[0] = 0.0
    size = np.full((last + 1, last + 1), np.inf)
    for i in range(last):
        for j in range(i + 1, min(last, i + reach) + 1):
            size[i, j] = segments.error(float(places[i]), float(places[j]), 61)
    before = []
    for _ in range(n):
        both = np.maximum(best[:, None], size)
        before.append(both.argmin(axis=0))
        best = both.min(axis=0)
    nodes = [last]
    for back in reversed(before):
        nodes.append(int(back[nodes[-1]]))
    return places[np.array(nodes[::-1])]


def polish(segments: Segments, nodes: Array) -> tuple[float, Array]:
    """Sequential linear programs in the inner nodes."""
    n = len(nodes) - 1

    def errors(t: Array) -> Array:
        return np.array([segments.error(float(a), float(b)) for a, b in pairwise(t)])

    now = errors(nodes)
    trust = 0.1
    for _ in range(ROUNDS):
        if n == 1 or trust < 1e-7:
            break
        width = np.diff(nodes)
        step = 1e-4 * np.minimum(width[:-1], width[1:])
        a = np.zeros((n, n))
        for k in range(n):
            if k > 0:
                moved = segments.error(float(nodes[k] + step[k - 1]), float(nodes[k + 1]))
                a[k, k - 1] = (moved - now[k]) / step[k - 1]
            if k < n - 1:
                moved = segments.error(float(nodes[k]), float(nodes[k + 1] + step[k]))
                a[k, k] = (moved - now[k]) / step[k]
        a[:, n - 1] = -1.0
        scale = now.max()
        limit = trust * np.minimum(width[:-1], width[1:])
        bounds = [(-float(w), float(w)) for w in limit] + [(0.0, None)]
        cost = np.zeros(n)
        cost[-1] = 1.0
        rows = a.copy()
        rows[:, :-1] /= scale
        found = linprog(cost, A_ub=rows, b_ub=-now / scale, bounds=bounds, method="highs")
        if not found.success:
            break
        trial = nodes.copy()
        trial[1:-1] += found.x[:-1]
        there = errors(trial)
        if there.max() < now.max():
            nodes, now = trial, there
            trust = min(0.2, 1.5 * trust)
        else:
            trust *= 0.4
    return max(segments.error(float(a), float(b), CHECK) for a, b in pairwise(nodes)), nodes


def main() -> None:
    """Write the file."""
    lines = ["curve,direction,shape,low_c,high_c,segments,largest_error"]
    for shape in ("quadratic", "cubic_hermite"):
        for name, direction, low, high, counts in TABLES:
            segments = Segments(CURVES[name], direction, shape)
            for n in counts:
                places = grid(segments, low, high, max(LEAST_PLACES, PLACES_A_SEGMENT * n))
                error, _ = polish(segments, on_grid(segments, places, n))
                lines.append(f"{name},{direction},{shape},{low},{high},{n},{error:.7e}")
                print(lines[-1], flush=True)
    (REFERENCE / "linearization_bent.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
