"""Minimax lines of random points by linear programming.

min d subject to -d <= y_i - a - b x_i <= d, solved by scipy's linprog (HiGHS);
for the zero-based line a is held at the lowest point.  Writes
``tests/reference/linearity_oracle_points.csv`` (``case,x,y``) and
``tests/reference/linearity_oracle.csv`` (``case,independent,zero,terminal``).

Some cases have several readings at one x, points in any order, or many points
on one line.  Run ``python tests/oracle/linearity.py``.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
Array = NDArray[np.float64]


def largest(x: Array, y: Array, free_intercept: bool) -> float:
    """The smallest possible largest deviation."""
    one = np.ones_like(x)
    columns = [one, x] if free_intercept else [x]
    design = np.column_stack(columns)
    upper = np.column_stack([design, -one])
    lower = np.column_stack([-design, -one])
    cost = np.zeros(upper.shape[1])
    cost[-1] = 1.0
    free = [(None, None)] * design.shape[1]
    outcome = linprog(
        cost,
        A_ub=np.vstack([upper, lower]),
        b_ub=np.concatenate([y, -y]),
        bounds=[*free, (0, None)],
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    assert outcome.status == 0, outcome.message
    return float(outcome.fun)


def main() -> None:
    generator = np.random.default_rng(61298)
    points, results = ["case,x,y"], ["case,independent,zero,terminal"]
    for case in range(60):
        n = int(generator.integers(3, 41))
        kind = case % 4
        if kind == 0:
            x = np.sort(generator.uniform(0.0, 100.0, n))
        elif kind == 1:
            x = generator.permutation(np.linspace(0.0, 100.0, n))
        elif kind == 2:
            x = generator.integers(0, 6, n).astype(float)
            x[:3] = [0.0, 3.0, 5.0]
        else:
            x = np.linspace(-50.0, 150.0, n)
        y = generator.normal(0.0, 0.1, n) + 0.5 * np.sin(x / 40.0) + generator.uniform(-3, 3) * x
        if kind == 3:
            # All but two points on a line.
            y = 0.25 * x
            y[n // 2] += 0.5
            y[n // 3] -= 0.125
        x, y = np.round(x, 6), np.round(y, 6)
        low, high = x.min(), x.max()
        y_low, y_high = y[x == low].mean(), y[x == high].mean()
        terminal = np.abs(y - y_low - (y_high - y_low) / (high - low) * (x - low)).max()
        zero = largest(x - low, y - y_low, False)
        results.append(f"{case},{largest(x, y, True):.15g},{zero:.15g},{terminal:.15g}")
        points.extend(f"{case},{float(a)!r},{float(b)!r}" for a, b in zip(x, y, strict=True))
    (REFERENCE / "linearity_oracle_points.csv").write_text("\n".join(points) + "\n")
    (REFERENCE / "linearity_oracle.csv").write_text("\n".join(results) + "\n")


if __name__ == "__main__":
    main()
