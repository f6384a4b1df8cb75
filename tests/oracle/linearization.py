"""Best straight segments and best polynomials of sensor curves by general-purpose optimisation.

Writes ``tests/reference/linearization_tables.csv`` and
``tests/reference/linearization_minimax.csv``.

Tables: continuous straight segments with free nodes and values.  The largest
error at many samples is made as small as possible by sequential linear
programs (scipy's HiGHS): the values and a step of the nodes together, in a
trust region, from nodes spread by the root of the curvature.  The result may
be a local optimum; a table that is better is no contradiction.

Tables with equal steps of the argument: one linear program, exact at the
samples.

Polynomials: one linear program in Chebyshev polynomials.  It sees the samples
only, so that the true optimum is a little larger: by less than 1e-4 of it with
the 4001 samples taken, dense at the ends.

The curves are computed here from the coefficients in ``tests/reference``; the
library is not called.  Run ``python linearization.py`` (some minutes).
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import linprog

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
Array = Any
Curve = Callable[[Array], Array]
TABLE_SAMPLES = 1500
EQUAL_SAMPLES = 12000
CHECK_SAMPLES = 200000
STARTS = 5
POLYNOMIAL_SAMPLES = 4001
ROUNDS = 60


def thermocouple(letter: str) -> Curve:
    """Return the emf in mV of a type."""
    with (REFERENCE / "thermocouple_coefficients.json").open() as file:
        ranges = json.load(file)["types"][letter]["emf_ranges"]

    def emf(t: Array) -> Array:
        out = np.zeros_like(t)
        for i, part in enumerate(ranges):
            inside = t <= float(part["t_max"])
            if i > 0:
                inside &= t > float(part["t_min"])
            value = np.polynomial.polynomial.polyval(t, [float(c) for c in part["c"]])
            bell = part.get("exponential")
            if bell:
                a0, a1, a2 = (float(bell[name]) for name in ("a0", "a1", "a2"))
                value = value + a0 * np.exp(a1 * (t - a2) ** 2)
            out = np.where(inside, value, out)
        return out

    return emf


def platinum(t: Array) -> Array:
    """Return the resistance of a Pt100, IEC 60751:2022."""
    a, b, c = 3.9083e-3, -5.775e-7, -4.183e-12
    return 100.0 * (1.0 + a * t + b * t**2 + np.where(t < 0, c * (t - 100.0) * t**3, 0.0))


def thermistor(t: Array) -> Array:
    """Return the resistance of a thermistor of 10 kohm at 25 degC with beta = 3950 K (made up)."""
    return 1e4 * np.exp(3950.0 * (1.0 / (t + 273.15) - 1.0 / 298.15))


CURVES: dict[str, Curve] = {
    "K": thermocouple("K"),
    "S": thermocouple("S"),
    "T": thermocouple("T"),
    "pt100": platinum,
    "beta3950": thermistor,
}
TABLES = [
    ("K", "signal_to_temperature", 0, 1000, (2, 3, 4, 8, 16)),
    ("K", "temperature_to_signal", -200, 1300, (5, 12)),
    ("S", "signal_to_temperature", 0, 1700, (3, 8)),
    ("T", "signal_to_temperature", -200, 400, (4, 10)),
    ("pt100", "signal_to_temperature", -200, 850, (1, 2, 6)),
    ("pt100", "temperature_to_signal", -100, 200, (3,)),
    ("beta3950", "signal_to_temperature", 0, 100, (4, 12)),
]
POLYNOMIALS = [
    ("K", "signal_to_temperature", 0, 1000, (1, 3, 5, 8)),
    ("K", "temperature_to_signal", -200, 0, (4, 6)),
    ("S", "signal_to_temperature", 100, 1000, (4, 7)),
    ("pt100", "signal_to_temperature", -200, 850, (2, 4)),
    ("pt100", "temperature_to_signal", -200, 0, (3,)),
    ("beta3950", "signal_to_temperature", 0, 60, (3, 5)),
]


def samples(curve: Curve, direction: str, t: Array) -> tuple[Array, Array]:
    """Return argument and value, the argument rising."""
    signal = curve(t)
    x, y = (signal, t) if direction == "signal_to_temperature" else (t, signal)
    order = np.argsort(x)
    return x[order], y[order]


def dense(curve: Curve, direction: str, low: float, high: float, count: int) -> tuple[Array, Array]:
    """Return samples spread half evenly, half by the root of the curvature."""
    t = np.linspace(low, high, 20001)
    signal = curve(t)
    slope = np.gradient(signal, t)
    bend = np.abs(np.gradient(slope, t))
    if direction == "signal_to_temperature":
        bend = bend / np.abs(slope)
    density = np.sqrt(bend)
    density = density + 0.1 * density.mean()
    total = np.concatenate(([0.0], np.cumsum(0.5 * (density[1:] + density[:-1]))))
    return samples(curve, direction, np.interp(np.linspace(0, total[-1], count), total, t))


def program(x: Array, y: Array, nodes: Array, values: Array | None, trust: float) -> tuple[float, Array, Array]:
    """One linear program: values, error, and a step of the inner nodes if ``values`` says where they are now."""
    n = len(nodes) - 1
    inner = n - 1 if values is not None else 0
    i: Array = np.clip(np.searchsorted(nodes, x, side="right") - 1, 0, n - 1)
    width = nodes[i + 1] - nodes[i]
    u = (x - nodes[i]) / width
    rows = np.arange(len(x))
    a = np.zeros((len(x), n + 2 + inner))
    a[rows, i] = 1.0 - u
    a[rows, i + 1] += u
    bounds: list[tuple[float | None, float | None]] = [(None, None)] * (n + 1) + [(0.0, None)]
    if values is not None:
        slope = (values[i + 1] - values[i]) / width
        left = (i >= 1) & (i <= n - 1)
        a[rows[left], n + 2 + i[left] - 1] += -(slope * (1.0 - u))[left]
        right = i + 1 <= n - 1
        a[rows[right], n + 2 + i[right]] += -(slope * u)[right]
        gaps = np.diff(nodes)
        bounds += [(-trust * min(gaps[k - 1], gaps[k]), trust * min(gaps[k - 1], gaps[k])) for k in range(1, n)]
    above, below = a.copy(), -a
    above[:, n + 1] = -1.0
    below[:, n + 1] = -1.0
    cost = np.zeros(a.shape[1])
    cost[n + 1] = 1.0
    found = linprog(cost, A_ub=np.vstack((above, below)), b_ub=np.concatenate((y, -y)), bounds=bounds, method="highs")
    assert found.success, found.message
    moved = nodes.copy()
    if inner:
        moved[1:-1] += found.x[n + 2 :]
    return float(found.x[n + 1]), found.x[: n + 1], moved


def reached(check: tuple[Array, Array], nodes: Array, values: Array) -> float:
    """Largest error of a table at many samples: a program sees few, and none at a node."""
    return float(np.abs(np.interp(check[0], nodes, values) - check[1]).max())


def best_table(x: Array, y: Array, n: int, check: tuple[Array, Array]) -> float:
    """Smallest largest error that the sequential programs find from several starts."""
    even = np.linspace(0, len(x) - 1, n + 1)
    random = np.random.default_rng(1)
    found = np.inf
    for start in range(STARTS if n > 1 else 1):
        places = even.copy()
        if start > 0:
            places[1:-1] += (random.random(n - 1) - 0.5) * 0.9 * even[1]
        found = min(found, descend(x, y, n, x[places.round().astype(int)], check))
    return found


def descend(x: Array, y: Array, n: int, nodes: Array, check: tuple[Array, Array]) -> float:
    """Sequential programs from given nodes."""
    error, values, _ = program(x, y, nodes, None, 0.0)
    trust = 0.3
    for _ in range(ROUNDS):
        if n == 1 or trust < 1e-6:
            break
        _, _, moved = program(x, y, nodes, values, trust)
        new_error, new_values, _ = program(x, y, moved, None, 0.0)
        if new_error < error:
            nodes, error, values = moved, new_error, new_values
            trust = min(0.4, 1.5 * trust)
        else:
            trust *= 0.4
    return reached(check, nodes, values)


def best_polynomial(x: Array, y: Array, degree: int) -> float:
    """Smallest largest error of a polynomial at the samples."""
    z = (2.0 * x - x[0] - x[-1]) / (x[-1] - x[0])
    basis = np.polynomial.chebyshev.chebvander(z, degree)
    # The error of a least-squares fit is subtracted first, so that the program sees numbers of one size.
    start, *_ = np.linalg.lstsq(basis, y, rcond=None)
    rest = y - basis @ start
    size = float(np.abs(rest).max())
    one = np.ones((len(x), 1))
    a = np.vstack((np.hstack((basis, -one)), np.hstack((-basis, -one))))
    cost = np.zeros(degree + 2)
    cost[-1] = 1.0
    bounds = [(None, None)] * (degree + 1) + [(0.0, None)]
    found = linprog(cost, A_ub=a, b_ub=np.concatenate((rest, -rest)) / size, bounds=bounds, method="highs")
    assert found.success, found.message
    return float(found.x[-1]) * size


def main() -> None:
    """Write both files."""
    lines = ["curve,direction,spacing,low_c,high_c,segments,largest_error"]
    for name, direction, low, high, counts in TABLES:
        x, y = dense(CURVES[name], direction, low, high, TABLE_SAMPLES)
        check = dense(CURVES[name], direction, low, high, CHECK_SAMPLES)
        for n in counts:
            error = best_table(x, y, n, check)
            lines.append(f"{name},{direction},optimal,{low},{high},{n},{error:.7e}")
            fine_x, fine_y = dense(CURVES[name], direction, low, high, EQUAL_SAMPLES)
            nodes = np.linspace(fine_x[0], fine_x[-1], n + 1)
            _, values, _ = program(fine_x, fine_y, nodes, None, 0.0)
            error = reached(check, nodes, values)
            lines.append(f"{name},{direction},equal_argument,{low},{high},{n},{error:.7e}")
            print(lines[-2], lines[-1], flush=True)
    (REFERENCE / "linearization_tables.csv").write_text("\n".join(lines) + "\n")
    lines = ["curve,direction,low_c,high_c,degree,largest_error"]
    for name, direction, low, high, degrees in POLYNOMIALS:
        curve = CURVES[name]
        ends = np.sort(curve(np.array([float(low), float(high)])))
        t = np.linspace(low, high, 400001)
        place = -np.cos(np.pi * np.arange(POLYNOMIAL_SAMPLES) / (POLYNOMIAL_SAMPLES - 1))
        if direction == "signal_to_temperature":
            # Temperatures near the places wanted; the signal is then exact for them.
            signal = curve(t)
            order = np.argsort(signal)
            wanted = 0.5 * (ends[0] + ends[1]) + 0.5 * (ends[1] - ends[0]) * place
            t_c = np.interp(wanted, signal[order], t[order])
        else:
            t_c = 0.5 * (low + high) + 0.5 * (high - low) * place
        x, y = samples(curve, direction, t_c)
        for degree in degrees:
            error = best_polynomial(x, y, degree)
            lines.append(f"{name},{direction},{low},{high},{degree},{error:.7e}")
            print(lines[-1], flush=True)
    (REFERENCE / "linearization_minimax.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
