"""Global risks of processes of any shape, and probabilities of conformity for states that are not normal.

Writes ``tests/reference/risk_oracle.csv`` with the columns
``process,p1,p2,p3,lower,upper,u,guard_band,true_accept,false_accept,false_reject,true_reject``, and
``tests/reference/conformity_oracle.csv`` with ``state,p1,p2,p3,lower,upper,inside,outside``.  An empty limit is none.
The parameters are those of the core: normal mean, std; student_t mean, scale, degrees of freedom; rectangular low and
high; triangular low and high; trapezoidal low, high, shape; u_shaped low and high; exponential mean; gamma shape
and scale.
All inputs are read as the nearest doubles.  Each value is a one-dimensional integral over the true value with 30
digits, also for the normal process, for which the core uses another formula.

Run ``python risk.py`` (a few minutes); the same input gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mpmath import asin, erfc, exp, gamma, inf, mp, mpf, nstr, pi, quad, sin, sqrt

mp.dps = 30

REFERENCE = Path(__file__).resolve().parent.parent / "reference"


@dataclass
class Shape:
    """A density, its support, and where it bends."""

    density: Callable[[Any], Any]
    low: Any
    high: Any
    bends: list[Any]


def between(low: Any, high: Any, density: Callable[[Any], Any], *bends: Any) -> Shape:
    """A density between two ends."""
    return Shape(density, low, high, list(bends))


def shape(name: str, p: list[Any]) -> Shape:
    """The distribution of a name."""
    if name == "normal":
        mean, std = p
        steps = [mean + k * std for k in (-40, -20, -10, -5, -2, 0, 2, 5, 10, 20, 40)]
        return Shape(lambda x: exp(-(((x - mean) / std) ** 2) / 2) / (std * sqrt(2 * pi)), -inf, inf, steps)
    if name == "student_t":
        mean, scale, nu = p
        norm = gamma((nu + 1) / 2) / (gamma(nu / 2) * sqrt(nu * pi) * scale)
        steps = [mean + k * scale for k in (-1000, -100, -30, -10, -3, -1, 0, 1, 3, 10, 30, 100, 1000)]
        return Shape(lambda x: norm * (1 + ((x - mean) / scale) ** 2 / nu) ** (-(nu + 1) / 2), -inf, inf, steps)
    if name == "exponential":
        (mean,) = p
        steps = [mean * k for k in (1, 5, 20, 60)]
        return Shape(lambda x: exp(-x / mean) / mean, mpf(0), inf, steps)
    if name == "gamma":
        a, scale = p
        steps = [a * scale * k for k in (mpf("0.01"), mpf("0.1"), mpf("0.5"), 1, 2, 5, 20)]
        return Shape(lambda x: (x / scale) ** (a - 1) * exp(-x / scale) / (gamma(a) * scale), mpf(0), inf, steps)
    low, high = p[0], p[1]
    middle, a = (low + high) / 2, (high - low) / 2
    if name == "rectangular":
        return between(low, high, lambda x: 1 / (2 * a))
    if name == "triangular":
        return between(low, high, lambda x: (a - abs(x - middle)) / a**2, middle)
    assert name == "trapezoidal"
    b = p[2]
    flat = 1 / (a * (1 + b))

    def density(x: Any) -> Any:
        y = abs(x - middle)
        return flat if y <= a * b else flat * (a - y) / (a * (1 - b))

    return between(low, high, density, middle - a * b, middle + a * b)


def integral(s: Shape, low: Any, high: Any, g: Callable[[Any], Any], bends: list[Any]) -> Any:
    """Integral of density times g."""
    low, high = max(low, s.low), min(high, s.high)
    if low >= high:
        return mpf(0)
    inner = sorted({x for x in s.bends + bends if low < x < high})
    return quad(lambda x: s.density(x) * g(x), [low, *inner, high])


def arcsine(p: list[Any], low: Any, high: Any, g: Callable[[Any], Any], bends: list[Any]) -> Any:
    """The same for the arcsine distribution, over its phase."""
    middle, a = (p[0] + p[1]) / 2, (p[1] - p[0]) / 2

    def phase(x: Any) -> Any:
        return asin(max(min((x - middle) / a, mpf(1)), mpf(-1)))

    start, end = phase(max(low, p[0])), phase(min(high, p[1]))
    if start >= end:
        return mpf(0)
    inner = sorted({phase(x) for x in bends if start < phase(x) < end})
    return quad(lambda phi: g(middle + a * sin(phi)), [start, *inner, end]) / pi


def tail(z: Any) -> Any:
    """Upper tail of the standard normal law."""
    return erfc(z / sqrt(2)) / 2


PROCESSES = [
    "normal 0 0.5",
    "normal 0.3 0.45",
    "normal -0.9 0.2",
    "student_t 0 0.4 5",
    "student_t 0.2 0.3 1.5",
    "rectangular -1.3 1.2",
    "triangular -1.6 1.6",
    "trapezoidal -1.5 1.3 0.5",
    "u_shaped -1.1 1.1",
    "exponential 0.6",
    "gamma 0.7 0.5",
    "gamma 9 0.06",
]
QUESTIONS = ["-1 1 0.125 0", "-1 1 0.125 0.2", "-1 1 0.3 -0.1", "-0.8 1 0.02 0.01", " 0.9 0.1 0.05"]
STATES = [
    "student_t 0.5 0.1 4",
    "student_t 0.9 0.1 1",
    "student_t 0 0.05 30",
    "rectangular 0.2 1.5",
    "triangular 0.2 1.5",
    "trapezoidal -1.5 1.3 0.5",
    "u_shaped 0.3 1.3",
    "exponential 0.25",
    "gamma 4 0.1",
]
TOLERANCES = ["-1 1", " 0.8", "-0.2 ", "0.9 1.2"]


def numbers(text: str) -> list[Any]:
    """The doubles nearest to decimals, exactly."""
    return [mpf(float(word)) for word in text.split()]


def limits(text: str) -> tuple[str, str, Any, Any, list[str]]:
    """Two limits that may be missing, as text and as numbers, and the words after them."""
    lower, upper, *rest = text.split(" ")
    return (
        lower,
        upper,
        mpf(float(lower)) if lower else -inf,
        mpf(float(upper)) if upper else inf,
        rest,
    )


def row(name: str, words: list[str], *cells: Any) -> str:
    """A line: three parameters at most."""
    padded = [*words, "", "", ""][:3]
    return ",".join([name, *padded, *(c if isinstance(c, str) else nstr(c, 20) for c in cells)])


def main() -> None:
    """Write both tables."""
    lines = ["process,p1,p2,p3,lower,upper,u,guard_band,true_accept,false_accept,false_reject,true_reject"]
    for process in PROCESSES:
        name, *words = process.split()
        p = numbers(" ".join(words))
        for question in QUESTIONS:
            lower, upper, t_low, t_high, (u_text, w_text) = limits(question)
            u, w = mpf(float(u_text)), float(w_text)
            # The acceptance limits are what the core gets from doubles.
            a_low = mpf(float(lower) + w) if lower else -inf
            a_high = mpf(float(upper) - w) if upper else inf
            ends = [a for a in (a_low, a_high) if abs(a) != inf]
            bends = [a + k * u for a in ends for k in (-12, -6, -3, -1, 0, 1, 3, 6, 12)]

            def accept(x: Any, low: Any = a_low, high: Any = a_high, u: Any = u) -> Any:
                return (1 if low == -inf else tail((low - x) / u)) - (0 if high == inf else tail((high - x) / u))

            def reject(x: Any, low: Any = a_low, high: Any = a_high, u: Any = u) -> Any:
                return (0 if low == -inf else tail((x - low) / u)) + (0 if high == inf else tail((high - x) / u))

            def total(g: Callable[[Any], Any], low: Any, high: Any, bends: list[Any] = bends) -> Any:
                if name == "u_shaped":  # noqa: B023
                    return arcsine(p, low, high, g, bends)  # noqa: B023
                return integral(shape(name, p), low, high, g, bends)  # noqa: B023

            inside = [total(g, t_low, t_high) for g in (accept, reject)]
            outside = [total(g, -inf, t_low) + total(g, t_high, inf) for g in (accept, reject)]
            values = (inside[0], outside[0], inside[1], outside[1])
            assert abs(sum(values) - 1) < mpf(10) ** -20, (process, question, nstr(sum(values) - 1, 5))
            lines.append(row(name, words, lower, upper, u_text, w_text, *values))
    (REFERENCE / "risk_oracle.csv").write_text("\n".join(lines) + "\n")

    lines = ["state,p1,p2,p3,lower,upper,inside,outside"]
    for state in STATES:
        name, *words = state.split()
        p = numbers(" ".join(words))
        for tolerance in TOLERANCES:
            lower, upper, low, high, _ = limits(tolerance)

            def part(start: Any, end: Any) -> Any:
                if name == "u_shaped":  # noqa: B023
                    return arcsine(p, start, end, lambda x: mpf(1), [])  # noqa: B023
                return integral(shape(name, p), start, end, lambda x: mpf(1), [])  # noqa: B023

            outside = part(-inf, low) + part(high, inf)
            lines.append(row(name, words, lower, upper, part(low, high), outside))
    (REFERENCE / "conformity_oracle.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
