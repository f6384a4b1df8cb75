"""Make the piecewise polynomials of the thermocouple functions, with proven errors.

What it makes
-------------
Rust sources with, for each of the types B E J K N R S T C A,

* a forward map, emf in mV as a function of temperature in degrees Celsius,
* an inverse map, temperature as a function of emf, which is the inverse of the published
  reference function itself and not the published approximate inverse polynomial,
* for types whose reference function has a flat low end (B, E, K, N, T), a second set of
  inverse rows in the stretched variable w = sqrt(emf - emf0), where emf0 is the emf at the
  zero of the slope at (B) or just below (E, K, N, T) the low end,
* the published coefficients split into two doubles, high and low part, for a reference
  evaluation in doubled precision,
* the published approximate inverse polynomials, as they are printed.

A map is a list of at most eight parts. Each part has uniform segments whose width is a power
of two, so that the reduction u = key * scale, i = round(u), x = u - i is free of rounding. A new
part begins where the width changes and at the joints of the published function: there a segment
has one row for each side, and one more with a constant where the emf steps up over a gap. A row
holds the eight coefficients of a polynomial of degree 7 in x, -1/2 <= x <= 1/2. A row that
contains a zero of the function at key 0 has a first coefficient of exactly zero and is fitted
for relative error.

How the errors are proven
-------------------------
Every row is checked as stored, that is with its coefficients rounded to double.

1. Approximation. Let f be the exact function (polynomial, plus the Gaussian term of type K)
   and p the row. The residual r is p - f for a forward row and f(p) - key for an inverse row
   (sqrt(f(p) - emf0) - w for a stretched one). No inverse has to be known. r is evaluated with
   60 digits at 32 Chebyshev points of the segment and expanded in Chebyshev polynomials; the
   sum of the absolute values of the coefficients bounds the interpolant, and the distance of r
   from the interpolant is at most 4 M rho^-31 / (rho - 1), where M bounds |r| on the Bernstein
   ellipse of parameter rho (Trefethen, Approximation Theory and Approximation Practice,
   theorem 8.2). M follows from the absolute values of the Taylor coefficients of f at the
   centre of the segment. By the mean value theorem the error of an inverse row is at most
   |r| / (smallest slope on the row). The slope is expanded at the same points and bounded from
   below by its mean less the sum of its other coefficients, and 0.1 % off for its remainder.
2. Rounding. The evaluation is a Horner scheme in double without fused operations; x is exact.
   A running error analysis with |x| at its largest bounds the rounding errors.
3. The sum of both is the bound printed behind each row. The argument is taken as exact, and so
   is w: computing it adds at most 2 parts in 2^53 of w, as much as 4 parts in 2^53 of
   emf - emf0.

As a second opinion every row is evaluated in double, operation by operation, at random
arguments and compared with the function at 60 digits; the largest difference is printed too
and must not exceed the bound.

Sources of the published functions: IEC 60584-1:2013 (equal to NIST Monograph 175, 1993) for
types B E J K N R S T, ASTM E230 for type C, GOST R 8.585-2001 for type A. The coefficients are
read from ``tests/reference/thermocouple_coefficients.json``.

Usage: ``python thermocouple_segments.py [--check] [--samples N]``. With ``--check`` nothing is
written and the exit status is 1 if a file on disk differs.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import struct
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from mpmath import mp, mpf

mp.dps = 60

ROOT = Path(__file__).resolve().parents[2]
REFERENCE = ROOT / "tests" / "reference" / "thermocouple_coefficients.json"
TARGET = ROOT / "calcore" / "src" / "constants"

LETTERS = "BEJKNRSTCA"
CAPACITY = 4096
MAGIC = 6755399441055744.0  # 1.5 * 2^52: adding it rounds to an integer
MAX_ZONES = 4
MAX_PARTS = 8
NODES = 32
UNIT = mpf(2) ** -53
BUDGET = mpf(2) ** -55  # truncation, as a part of the result
FLOOR_C = mpf(64)  # the part is not taken of less than this, degree Celsius
FLOOR_MV = mpf(1) / 4  # the same for emf, millivolt
BREAK_AT_ZERO = "EKNT"  # one published range below 0 degrees Celsius, one above
PART_COST = 24.0  # rows that may be spent to save a part
SLIVER = mpf(10) ** -9
# Truncation and rounding of coefficients; one step of the emf is more, except in type B.
STRETCH_LIMIT_K = {"E": 1e-13, "K": 1e-13, "N": 1e-13, "T": 1e-13, "B": 2.5e-14}
LOW_CUT_C = {"E": -204, "K": -204, "N": -204, "T": -204, "B": 235}
SLOPE_ZERO_GUESS = {"B": 21, "E": -273, "K": -275, "N": -273, "T": -272}
SOURCES = {
    "C": "ASTM E230/E230M, table of type C (IEC 60584-1:2013 type C)",
    "A": "GOST R 8.585-2001, type A-1 (IEC 60584-1:2013 type A)",
}
STANDARD = "IEC 60584-1:2013 = NIST Monograph 175 (1993)"

Number = Any  # mpmath numbers carry no types


@dataclass(frozen=True)
class Piece:
    """One range of a published function."""

    t_lo: Number
    t_hi: Number
    c: tuple[Number, ...]
    gauss: tuple[Number, Number, Number] | None
    digits: tuple[str, ...]
    gauss_digits: tuple[str, str, str] | None

    def emf(self, t: Number) -> Number:
        """Return the emf in mV."""
        s = mpf(0)
        for a in reversed(self.c):
            s = s * t + a
        if self.gauss is not None:
            a0, a1, a2 = self.gauss
            s += a0 * mp.exp(a1 * (t - a2) ** 2)
        return s

    def emf_and_slope(self, t: Number) -> tuple[Number, Number]:
        """Return the emf in mV and its derivative in mV/K."""
        s, d = mpf(0), mpf(0)
        for a in reversed(self.c):
            d = d * t + s
            s = s * t + a
        if self.gauss is not None:
            a0, a1, a2 = self.gauss
            g = a0 * mp.exp(a1 * (t - a2) ** 2)
            s += g
            d += g * 2 * a1 * (t - a2)
        return s, d

    def taylor(self, t: Number, order: int) -> list[Number]:
        """Return the Taylor coefficients of the emf at t, up to the given order."""
        work = list(self.c)
        out: list[Number] = []
        for _ in range(min(order + 1, len(self.c))):
            s = work[-1]
            quotient = [mpf(0)] * (len(work) - 1)
            for j in range(len(work) - 2, -1, -1):
                quotient[j] = s
                s = s * t + work[j]
            out.append(s)
            work = quotient
        out += [mpf(0)] * (order + 1 - len(out))
        if self.gauss is not None:
            a0, a1, a2 = self.gauss
            g = [a0 * mp.exp(a1 * (t - a2) ** 2)]
            for k in range(order):
                before = 2 * a1 * g[k - 1] if k > 0 else mpf(0)
                g.append((2 * a1 * (t - a2) * g[k] + before) / (k + 1))
            out = [x + y for x, y in zip(out, g, strict=True)]
        return out

    def absolute_bound(self, t: Number, radius: Number) -> Number:
        """Bound |emf(z) - emf(t)| for complex z within the radius of t."""
        plain = Piece(self.t_lo, self.t_hi, self.c, None, (), None)
        f = plain.taylor(t, len(self.c) - 1)
        total = sum((abs(f[k]) * radius**k for k in range(1, len(f))), mpf(0))
        if self.gauss is not None:
            a0, a1, a2 = self.gauss
            delta = abs(t - a2)
            top = a1 * delta**2 + 2 * abs(a1) * delta * radius + abs(a1) * radius**2
            total += 2 * abs(a0) * mp.exp(top)
        return total

    def invert(self, emf: Number, guess: Number) -> Number:
        """Return the temperature of an emf by Newton steps."""
        t = guess
        for _ in range(60):
            f, d = self.emf_and_slope(t)
            step = (f - emf) / d
            t -= step
            if abs(step) < mpf(10) ** -50 * (1 + abs(t)):
                return t
        msg = f"no convergence at {mp.nstr(emf, 20)} mV"
        raise ArithmeticError(msg)


@dataclass
class Row:
    """One polynomial with its proven and its measured error."""

    coefficients: tuple[float, ...]
    key_lo: float
    key_hi: float
    proven: float
    measured: float
    relative: float | None = None
    measured_relative: float | None = None


@dataclass
class Part:
    """Uniform segments above a bound, up to the next one."""

    above: float
    scale: float
    offset: int


@dataclass
class Stretch:
    """Rows in w = sqrt(emf - emf0), for emf below the cut."""

    emf0_hi: float
    emf0_lo: float
    scale: float
    offset: int
    rows: int
    proven: float
    measured: float


@dataclass
class Map:
    """A piecewise polynomial."""

    lo: float
    hi: float
    main_lo: float
    result_lo: float
    result_hi: float
    parts: list[Part]
    rows: list[Row]
    start: int
    stretch: Stretch | None = None


@dataclass(frozen=True)
class Span:
    """A part of the domain of a map: one piece of the function, or one constant."""

    lo: Number
    hi: Number
    piece: Piece | None
    constant: Number | None = None


def float_below(x: Number) -> float:
    """Return the largest double that is not above x."""
    f = float(x)
    return math.nextafter(f, -math.inf) if mpf(f) > x else f


def float_above(x: Number) -> float:
    """Return the smallest double that is not below x."""
    f = float(x)
    return math.nextafter(f, math.inf) if mpf(f) < x else f


def steps_above(x: float, steps: int) -> float:
    """Return the double that is some steps above x."""
    for _ in range(steps):
        x = math.nextafter(x, math.inf)
    return x


def split(x: Number) -> tuple[float, float]:
    """Split into the nearest double and the double nearest to the rest."""
    hi = float(x)
    return hi, float(x - mpf(hi))


def load(letter: str) -> list[Piece]:
    """Read the published ranges of one type."""
    data = json.loads(REFERENCE.read_text(encoding="utf-8"))
    pieces = []
    for entry in data["types"][letter]["emf_ranges"]:
        digits = tuple(entry["c"])
        gauss = None
        gauss_digits = None
        if "exponential" in entry:
            e = entry["exponential"]
            gauss_digits = (e["a0"], e["a1"], e["a2"])
            gauss = (mpf(e["a0"]), mpf(e["a1"]), mpf(e["a2"]))
        pieces.append(
            Piece(
                mpf(float(entry["t_min"])),  # a joint is the double nearest to it
                mpf(float(entry["t_max"])),
                tuple(mpf(x) for x in digits),
                gauss,
                digits,
                gauss_digits,
            )
        )
    return pieces


COSINES = [[mp.cos(mp.pi * k * (2 * j + 1) / (2 * NODES)) for j in range(NODES)] for k in range(NODES)]
COSINES_F = [[float(x) for x in row] for row in COSINES]
RHOS = tuple(mpf(r) for r in (64, 32, 16, 8, 4))


def chebyshev_sum(values: Sequence[float], start: int = 0) -> tuple[float, float]:
    """Return the mean and the sum of the absolute Chebyshev coefficients from start on."""
    total = 0.0
    mean = sum(values) / NODES
    for k in range(start, NODES):
        a = math.fsum(v * c for v, c in zip(values, COSINES_F[k], strict=True)) / NODES
        total += abs(a if k == 0 else 2 * a)
    return mean, total * (1 + 1e-9)


def interpolate(xs: Sequence[Number], ys: Sequence[Number]) -> list[Number]:
    """Return the power coefficients of the interpolating polynomial."""
    n = len(xs)
    d = list(ys)
    for k in range(1, n):
        for j in range(n - 1, k - 1, -1):
            d[j] = (d[j] - d[j - 1]) / (xs[j] - xs[j - k])
    out = [d[n - 1]]
    for k in range(n - 2, -1, -1):
        out = [mpf(0), *out]
        for j in range(len(out) - 1):
            out[j] -= xs[k] * out[j + 1]
        out[0] += d[k]
    return out


def horner(c: Sequence[float], x: float) -> float:
    """Evaluate a row in double, in the order of the kernels."""
    p = c[7]
    for k in range(6, -1, -1):
        p = p * x + c[k]
    return p


def rounding_bound(c: Sequence[float], x_max: Number) -> tuple[Number, Number]:
    """Bound the rounding errors of the Horner scheme; also its inner part, for x*q(x)."""
    b, e = abs(mpf(c[7])), mpf(0)
    inner = mpf(0)
    for k in range(6, -1, -1):
        inner = e
        product = b * x_max
        e = e * x_max + UNIT * (product + e * x_max)
        b = product + abs(mpf(c[k]))
        if c[k] != 0.0:
            e = e * (1 + UNIT) + UNIT * (b + e)
    return e * (1 + mpf(10) ** -12), inner * (1 + mpf(10) ** -12)


class Function:
    """What a row approximates: a value as a function of a key."""

    def __init__(self, piece: Piece) -> None:
        """Keep the piece."""
        self.piece = piece

    def value(self, key: Number, guess: Number | None) -> Number:
        """Return the exact value at a key."""
        raise NotImplementedError

    def residual(self, value: Number, key: Number) -> tuple[Number, Number]:
        """Return the residual of a value at a key, and its derivative by the value."""
        raise NotImplementedError

    def ellipse_bound(self, value: Number, value_radius: Number, key_radius: Number) -> Number:
        """Bound the residual for complex value and key around a centre, or None."""
        raise NotImplementedError

    def curvature(self, key: Number, guess: Number | None) -> Number:
        """Return the eighth Taylor coefficient of the value."""
        raise NotImplementedError


class Forward(Function):
    """The emf of a temperature."""

    def value(self, key: Number, guess: Number | None) -> Number:
        """Return the emf."""
        del guess
        return self.piece.emf(key)

    def residual(self, value: Number, key: Number) -> tuple[Number, Number]:
        """Return emf minus exact emf."""
        return value - self.piece.emf(key), mpf(1)

    def ellipse_bound(self, value: Number, value_radius: Number, key_radius: Number) -> Number:
        """Bound the residual; value is the key of the centre here."""
        return value_radius + self.piece.absolute_bound(value, key_radius) + mpf(10) ** -3


class Inverse(Function):
    """The temperature of an emf."""

    def value(self, key: Number, guess: Number | None) -> Number:
        """Return the temperature."""
        start = guess if guess is not None else (self.piece.t_lo + self.piece.t_hi) / 2
        return self.piece.invert(key, start)

    def residual(self, value: Number, key: Number) -> tuple[Number, Number]:
        """Return emf of the temperature minus emf."""
        f, d = self.piece.emf_and_slope(value)
        return f - key, d

    def ellipse_bound(self, value: Number, value_radius: Number, key_radius: Number) -> Number:
        """Bound the residual around the centre."""
        return self.piece.absolute_bound(value, value_radius) + key_radius + mpf(10) ** -3


class Stretched(Function):
    """The temperature of w = sqrt(emf - emf0)."""

    def __init__(self, piece: Piece, t0: Number) -> None:
        """Expand the function at the zero t0 of its slope."""
        super().__init__(piece)
        self.t0 = t0
        f = piece.taylor(t0, len(piece.c) - 1)
        self.emf0 = f[0]
        self.h = f[2:]

    def root(self, t: Number) -> tuple[Number, Number]:
        """Return w of a temperature, and its derivative."""
        tau = t - self.t0
        s, d = mpf(0), mpf(0)
        for a in reversed(self.h):
            d = d * tau + s
            s = s * tau + a
        q = mp.sqrt(s)
        return tau * q, q + tau * d / (2 * q)

    def value(self, key: Number, guess: Number | None) -> Number:
        """Return the temperature."""
        t = guess if guess is not None else self.t0 + key / mp.sqrt(self.h[0])
        for _ in range(60):
            w, d = self.root(t)
            step = (w - key) / d
            t -= step
            if abs(step) < mpf(10) ** -50 * (1 + abs(t)):
                return t
        raise ArithmeticError("no convergence")

    def residual(self, value: Number, key: Number) -> tuple[Number, Number]:
        """Return w of the temperature minus w."""
        w, d = self.root(value)
        return w - key, d

    def ellipse_bound(self, value: Number, value_radius: Number, key_radius: Number) -> Number:
        """Bound the residual around the centre; infinite where it need not be analytic."""
        plain = Piece(mpf(0), mpf(0), tuple(self.h), None, (), None)
        tau = value - self.t0
        change = plain.absolute_bound(tau, value_radius)
        centre = abs(plain.emf(tau))
        if change >= centre:
            return mp.inf
        reach = abs(tau) + value_radius
        return 2 * reach * mp.sqrt(centre + change) + key_radius + abs(self.root(value)[0])


def make_row(
    function: Function,
    scale: float,
    index: int,
    key_lo: Number,
    key_hi: Number,
    guess: Number | None,
    *,
    through_zero: bool,
    samples: int,
    rng: random.Random,
) -> tuple[Row, Number]:
    """Fit one row, prove its error and measure it."""
    s = mpf(scale)
    x_lo, x_hi = key_lo * s - index, key_hi * s - index
    middle, half = (x_lo + x_hi) / 2, (x_hi - x_lo) / 2
    count = 7 if through_zero else 8
    nodes = [middle + half * mp.cos(mp.pi * (2 * j + 1) / (2 * count)) for j in range(count)]
    nodes.reverse()
    if through_zero:
        nodes = [x if abs(x) > mpf(10) ** -40 else mpf(10) ** -12 for x in nodes]
    values = []
    for x in nodes:
        guess = function.value((index + x) / s, guess)
        values.append(guess)
    if through_zero:
        quotient = interpolate(nodes, [v / x for v, x in zip(values, nodes, strict=True)])
        exact = [mpf(0), *quotient]
    else:
        exact = interpolate(nodes, values)
    c = tuple(float(a) for a in exact)
    cm = [mpf(a) for a in c]

    def poly(x: Number) -> Number:
        p = cm[7]
        for k in range(6, -1, -1):
            p = p * x + cm[k]
        return p

    residuals: list[float] = []
    relative_residuals: list[float] = []
    slopes: list[float] = []
    for j in range(NODES):
        x = middle + half * COSINES[1][j]
        r, d = function.residual(poly(x), (index + x) / s)
        residuals.append(float(r))
        slopes.append(float(d))
        if through_zero:
            relative_residuals.append(float(r / x))
    _, total = chebyshev_sum(residuals)
    mean, spread = chebyshev_sum(slopes, 1)
    slope = (mean - spread) * 0.999
    assert slope > 0.0, (index, mean, spread)
    best = mp.inf
    for rho in RHOS:
        x_radius = half * (rho + 1 / rho) / 2
        reach = abs(middle) + x_radius
        at = poly(middle)
        moved = sum((abs(cm[k]) * reach**k for k in range(1, 8)), mpf(0)) + abs(cm[0] - at)
        centre = (index + middle) / s if isinstance(function, Forward) else at
        m = function.ellipse_bound(centre, moved, x_radius / s)
        best = min(best, 4 * m * rho ** (1 - NODES) / (rho - 1))
    assert best < mpf(10) ** -16, (index, mp.nstr(best, 5))
    x_max = max(abs(x_lo), abs(x_hi))
    rounding, inner = rounding_bound(c, x_max)
    proven = (total + float(best)) / slope + float(rounding)
    row = Row(c, float(key_lo), float(key_hi), proven, 0.0)
    if through_zero:
        _, part = chebyshev_sum(relative_residuals)
        floor = abs(cm[1]) - sum((abs(cm[k]) * x_max ** (k - 1) for k in range(2, 8)), mpf(0))
        row.relative = float((part + best) / slope / floor + (inner / floor + UNIT))
    lo, hi = float_above(key_lo), float_below(key_hi)
    for n in range(samples):
        key = lo if n == 0 else hi if n == 1 else rng.uniform(lo, hi)
        if through_zero and n % 4 == 3:
            key *= 10.0 ** -rng.uniform(0.0, 15.0)
        u = key * scale
        x = u - float(index)
        approx = poly(mpf(x))
        r, d = function.residual(approx, mpf(key))
        truth = approx - r / d
        error = abs(mpf(horner(c, x)) - truth)
        row.measured = max(row.measured, float(error))
        if through_zero and truth != 0:
            row.measured_relative = max(row.measured_relative or 0.0, float(error / abs(truth)))
    assert row.measured <= row.proven, (index, row)
    return row, guess


def reversion(f: Sequence[Number], n: int) -> list[Number]:
    """Return the Taylor coefficients of the inverse of a series."""
    inverse = [1 / f[1]]
    for k in range(1, n):
        rest = sum((f[j + 1] * inverse[k - j] for j in range(1, k + 1)), mpf(0))
        inverse.append(-rest / f[1])
    out = [mpf(0)] * (n + 1)
    power = [mpf(1)] + [mpf(0)] * (n - 1)
    for k in range(1, n + 1):
        power = [sum((power[i] * inverse[j - i] for i in range(j + 1)), mpf(0)) for j in range(n)]
        out[k] = power[k - 1] / k
    return out


def largest_widths(pieces: Sequence[Piece], *, forward: bool, low: Number) -> list[list[float]]:
    """Return [key, exponent of the largest useful width] on a grid, sorted by key."""
    grid: list[list[float]] = []
    for piece in pieces:
        a = max(piece.t_lo, low)
        if a >= piece.t_hi:
            continue
        steps = 160
        for n in range(steps + 1):
            t = a + (piece.t_hi - a) * n / steps
            f = piece.taylor(t, 9)
            if forward:
                top = abs(f[8]) + abs(f[9])
                budget = BUDGET * max(abs(f[0]), FLOOR_MV)
                key, limit = t, mpf(64)
            else:
                top = abs(reversion(f, 8)[8])
                budget = BUDGET * max(abs(t), FLOOR_C)
                key, limit = f[0], mpf(8)
            width = limit if top == 0 else min(limit, 4 * (budget / (2 * top)) ** (mpf(1) / 8))
            grid.append([float(key), math.floor(math.log2(float(width)))])
    grid.sort(key=lambda g: g[0])
    return grid


def plan_zones(grid: Sequence[Sequence[float]], *, break_at_zero: bool) -> list[tuple[float, int]]:
    """Choose zones, as (low end, exponent of the width), with few rows."""
    keys = [g[0] for g in grid]
    exponents = [int(g[1]) for g in grid]
    last = len(keys) - 1

    @cache
    def best(start: int, left: int) -> tuple[float, tuple[tuple[float, int], ...]]:
        if left == 0:
            return math.inf, ()
        result: tuple[float, tuple[tuple[float, int], ...]] = (math.inf, ())
        exponent = exponents[start]
        for end in range(start + 1, last + 1):
            exponent = min(exponent, exponents[end])
            if keys[end] == keys[start]:
                continue
            cost = (keys[end] - keys[start]) / 2.0**exponent + PART_COST
            after = end
            while after < last and keys[after + 1] == keys[end]:
                after += 1
            tail = (0.0, ()) if after == last else best(after, left - 1)
            if cost + tail[0] < result[0]:
                result = (cost + tail[0], ((keys[start], exponent), *tail[1]))
            if break_at_zero and keys[start] < 0.0 <= keys[end]:
                break
        return result

    return list(best(0, MAX_ZONES)[1])


def spans_of(pieces: Sequence[Piece], *, forward: bool, low: Number) -> list[Span]:
    """Cut the domain into parts with one formula each, ordered, upper ends included.

    At a joint the lower range holds. Where the emf steps up, the emfs of the gap belong to the
    joint. Where it steps down, an emf has two solutions, and the lower range is taken up to its
    end and three doubles more, so that what the forward map gives at the joint comes back.
    """
    spans: list[Span] = []
    for piece in pieces:
        if piece.t_hi <= low:
            continue
        if forward:
            spans.append(Span(piece.t_lo, piece.t_hi, piece))
            continue
        lo = piece.emf(max(piece.t_lo, low))
        if spans and lo > spans[-1].hi:
            spans.append(Span(spans[-1].hi, lo, None, piece.t_lo))
        elif spans and lo < spans[-1].hi:
            lo = mpf(steps_above(float_above(spans[-1].hi), 2))
            spans[-1] = Span(spans[-1].lo, lo, spans[-1].piece)
        spans.append(Span(lo, piece.emf(piece.t_hi), piece))
    return spans


def add_rows(
    rows: list[Row],
    function: Function,
    scale: float,
    key_lo: Number,
    key_hi: Number,
    guess: Number | None,
    *,
    anchored: bool,
    samples: int,
    rng: random.Random,
) -> Number | None:
    """Append the rows of one uniform part; return the last value, a guess for the next part."""
    s = mpf(scale)
    for i in range(int(mp.nint(key_lo * s)), int(mp.nint(key_hi * s)) + 1):
        lo = max(key_lo, (mpf(i) - mpf(1) / 2) / s)
        hi = min(key_hi, (mpf(i) + mpf(1) / 2) / s)
        if hi - lo < SLIVER / s:
            hi = lo + 1000 * SLIVER / s  # left by rounding: fitted a little beyond its end
        row, guess = make_row(
            function,
            scale,
            i,
            lo,
            hi,
            guess,
            through_zero=anchored and i == 0 and lo <= 0 <= hi,
            samples=samples,
            rng=rng,
        )
        rows.append(row)
    return guess


def build_map(letter: str, pieces: Sequence[Piece], *, forward: bool, start: int, samples: int) -> Map:
    """Build one map, its rows numbered from start."""
    rng = random.Random(f"{letter}{forward}")
    low = mpf(LOW_CUT_C[letter]) if letter in LOW_CUT_C and not forward else pieces[0].t_lo
    spans = spans_of(pieces, forward=forward, low=low)
    grid = largest_widths(pieces, forward=forward, low=low)
    plan = plan_zones(grid, break_at_zero=letter in BREAK_AT_ZERO)
    ends = [*(mpf(zone_start) for zone_start, _ in plan[1:]), spans[-1].hi]
    parts: list[Part] = []
    rows: list[Row] = []
    guess: Number | None = low
    for n, (zone_start, exponent) in enumerate(plan):
        scale = 2.0**-exponent
        zone_lo = spans[0].lo if n == 0 else mpf(zone_start)
        above = -math.inf if n == 0 else zone_start
        for span in (sp for sp in spans if sp.hi > zone_lo and sp.lo < ends[n]):
            key_lo, key_hi = max(span.lo, zone_lo), min(span.hi, ends[n])
            if span.lo > zone_lo:
                above = float(key_lo) if forward else float_below(key_lo)
            i_lo = int(mp.nint(key_lo * mpf(scale)))
            parts.append(Part(above, scale, start + len(rows) - i_lo))
            if span.piece is None:
                assert span.constant is not None
                t = float(span.constant)
                error = float(abs(mpf(t) - span.constant))
                row = Row((t, *([0.0] * 7)), float(key_lo), float(key_hi), error, error)
                count = int(mp.nint(key_hi * mpf(scale))) - i_lo + 1
                rows += [row] * count
                continue
            guess = add_rows(
                rows,
                Forward(span.piece) if forward else Inverse(span.piece),
                scale,
                key_lo,
                key_hi,
                guess,
                anchored=span.piece.c[0] == 0,
                samples=samples,
                rng=rng,
            )
    assert len(parts) <= MAX_PARTS, (letter, len(parts))
    if forward:
        lo, hi = float(pieces[0].t_lo), float(pieces[-1].t_hi)
        return Map(lo, hi, lo, -math.inf, math.inf, parts, rows, start)
    lo, hi = float_below(spans[0].lo), float_above(spans[-1].hi)
    out = Map(lo, hi, lo, float(pieces[0].t_lo), float(pieces[-1].t_hi), parts, rows, start)
    if letter in LOW_CUT_C:
        add_stretch(letter, pieces[0], out, spans[0].lo, samples=samples, rng=rng)
    return out


def zero_of_slope(piece: Piece, guess: Number) -> Number:
    """Return the zero of the slope near a guess."""
    t = guess
    for _ in range(80):
        f = piece.taylor(t, 2)
        step = f[1] / (2 * f[2])
        t -= step
        if abs(step) < mpf(10) ** -52 * (1 + abs(t)):
            return t
    raise ArithmeticError("no zero of the slope")


def stretched_rows(
    function: Stretched,
    w_lo: Number,
    w_hi: Number,
    limit_k: float,
    samples: int,
    rng: random.Random,
) -> tuple[list[Row], float]:
    """Return rows wide enough to be few, narrow enough to be good, and their scale."""
    for exponent in range(-2, -12, -1):
        scale = 2.0**-exponent
        rows: list[Row] = []
        try:
            add_rows(
                rows,
                function,
                scale,
                w_lo,
                w_hi,
                None,
                anchored=False,
                samples=0,
                rng=rng,
            )
        except AssertionError:  # not analytic far enough for the bound
            continue
        rounding = [rounding_bound(row.coefficients, mpf(1) / 2)[0] for row in rows]
        limits = zip(rows, rounding, strict=True)
        if all(row.proven - float(part) < limit_k for row, part in limits):
            rows = []
            add_rows(
                rows,
                function,
                scale,
                w_lo,
                w_hi,
                None,
                anchored=False,
                samples=samples,
                rng=rng,
            )
            return rows, scale
    raise ArithmeticError("no stretched rows")


def add_stretch(
    letter: str,
    piece: Piece,
    out: Map,
    cut: Number,
    *,
    samples: int,
    rng: random.Random,
) -> None:
    """Add the rows in the stretched variable."""
    t0 = zero_of_slope(piece, mpf(SLOPE_ZERO_GUESS[letter]))
    function = Stretched(piece, t0)
    w_lo = mpf(0) if letter == "B" else function.root(piece.t_lo)[0]
    w_hi = mp.sqrt(cut - function.emf0)
    rows, scale = stretched_rows(function, w_lo, w_hi, STRETCH_LIMIT_K[letter], samples, rng)
    hi, lo = split(function.emf0)
    offset = out.start + len(out.rows) - int(mp.nint(w_lo * mpf(scale)))
    proven = max(row.proven for row in rows)
    measured = max(row.measured for row in rows)
    out.stretch = Stretch(hi, lo, scale, offset, len(rows), proven, measured)
    out.rows += rows
    out.lo = float_below(function.emf0 if letter == "B" else piece.emf(piece.t_lo))
    if letter == "B":
        out.result_lo = float(t0)


def evaluate(mapping: Map, key: float, all_rows: Sequence[Row]) -> float:
    """Evaluate a map in double, as the kernels do (main rows only)."""
    part = mapping.parts[sum(1 for p in mapping.parts[1:] if key > p.above)]
    u = key * part.scale
    whole = (u + MAGIC) - MAGIC
    index = int(whole) + part.offset
    return horner(all_rows[index].coefficients, u - whole)


def close_domain(letter: str, forward: Map, inverse: Map, rows: Sequence[Row]) -> None:
    """Let the inverse accept what the forward map gives at both ends, and two steps more."""
    low_end = evaluate(forward, forward.lo, rows)
    high_end = evaluate(forward, forward.hi, rows)
    if letter == "B":
        low_end = evaluate(forward, inverse.result_lo, rows)
    lo, hi = min(inverse.lo, low_end), max(inverse.hi, high_end)
    if not (letter in "CA" and lo == 0.0):
        lo = -steps_above(-lo, 2)
    hi = steps_above(hi, 2)
    if inverse.stretch is None:
        inverse.main_lo = lo
    inverse.lo, inverse.hi = lo, hi


def number(x: float) -> str:
    """Write a double as a Rust literal that reads back exactly."""
    if math.isinf(x):
        return "f64::INFINITY" if x > 0 else "f64::NEG_INFINITY"
    text = repr(x)
    if "e" in text and "." not in text.split("e", maxsplit=1)[0]:
        head, tail = text.split("e")
        text = f"{head}.0e{tail}"
    assert struct.pack("<d", float(text)) == struct.pack("<d", x)
    return text


HEADER = """\
// Made by tests/oracle/thermocouple_segments.py from tests/reference/thermocouple_coefficients.json.
// Do not edit: change the script and run it again.
"""

MAP_TYPES = """\
#![allow(clippy::unreadable_literal, clippy::excessive_precision)]

use super::tc_segments_forward as forward;
use super::tc_segments_inverse as inverse;

/// Number of rows in [`ROWS`]; a power of two, so that a masked index is always inside.
pub(crate) const CAPACITY: usize = 4096;

/// Coefficients of one polynomial of degree 7, ascending.
pub(crate) type Row = [f64; 8];

/// Parts of a map; those not used start at infinity.
pub(crate) const MAX_PARTS: usize = 8;

/// Rows in the stretched variable `w = sqrt(emf - emf0)`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    /// Emf at the zero of the slope, mV, high part.
    pub emf0_hi: f64,
    /// Emf at the zero of the slope, mV, low part.
    pub emf0_lo: f64,
    /// Rows per unit of `w`, a power of two.
    pub scale: f64,
    /// Index of the row of `w = 0`, modulo [`CAPACITY`].
    pub offset: u64,
}

/// One piecewise polynomial.
///
/// # Formula
/// `n` is the number of bounds below the key; `u = key * scale[n]`, `i = round(u)`, `x = u - i`; the row is
/// `ROWS[(i + offset[n]) % CAPACITY]`; the result is the polynomial of `x`, held inside `result_lo..=result_hi`.
#[derive(Debug)]
pub(crate) struct SegmentMap {
    /// Lowest argument.
    pub lo: f64,
    /// Highest argument.
    pub hi: f64,
    /// Lowest argument of the parts; from `lo` to here the stretched rows hold.
    pub main_lo: f64,
    /// Lowest result.
    pub result_lo: f64,
    /// Highest result.
    pub result_hi: f64,
    /// Number of bounds in use, one less than the number of parts.
    pub bounds: usize,
    /// Bounds between the parts; a bound itself belongs to the part below.
    pub bound: [f64; MAX_PARTS - 1],
    /// Rows per unit of the argument in each part, a power of two.
    pub scale: [f64; MAX_PARTS],
    /// Index of the row of key 0 in each part, modulo [`CAPACITY`].
    pub offset: [u64; MAX_PARTS],
    /// Rows below `main_lo`.
    pub stretch: Option<Stretch>,
}

/// Both maps of one thermocouple type.
#[derive(Debug)]
pub(crate) struct TypeSegments {
    /// Emf in mV of a temperature in degrees Celsius.
    pub forward: SegmentMap,
    /// Temperature in degrees Celsius of an emf in mV.
    pub inverse: SegmentMap,
}

const fn assemble() -> [Row; CAPACITY] {
    let mut rows = [[0.0; 8]; CAPACITY];
    let mut n = 0;
    while n < inverse::ROWS.len() {
        rows[n] = inverse::ROWS[n];
        n += 1;
    }
    let mut k = 0;
    while k < forward::ROWS.len() {
        rows[n + k] = forward::ROWS[k];
        k += 1;
    }
    rows
}

/// All rows of all maps.
pub(crate) static ROWS: [Row; CAPACITY] = assemble();
"""


def rust_map(mapping: Map, indent: str) -> str:
    """Write one map."""
    parts = mapping.parts
    spare = MAX_PARTS - len(parts)
    bound = [p.above for p in parts[1:]] + [math.inf] * spare
    scale = [p.scale for p in parts] + [1.0] * spare
    offset = [p.offset % CAPACITY for p in parts] + [0] * spare
    st = mapping.stretch
    lines = [
        "SegmentMap {",
        f"    lo: {number(mapping.lo)},",
        f"    hi: {number(mapping.hi)},",
        f"    main_lo: {number(mapping.main_lo)},",
        f"    result_lo: {number(mapping.result_lo)},",
        f"    result_hi: {number(mapping.result_hi)},",
        f"    bounds: {len(parts) - 1},",
        f"    bound: [{', '.join(number(x) for x in bound)}],",
        f"    scale: [{', '.join(number(x) for x in scale)}],",
        f"    offset: [{', '.join(str(x) for x in offset)}],",
    ]
    if st is None:
        lines.append("    stretch: None,")
    else:
        lines += [
            "    stretch: Some(Stretch {",
            f"        emf0_hi: {number(st.emf0_hi)},",
            f"        emf0_lo: {number(st.emf0_lo)},",
            f"        scale: {number(st.scale)},",
            f"        offset: {st.offset % CAPACITY},",
            "    }),",
        ]
    lines.append("}")
    return ("\n" + indent).join(lines)


def rust_rows(title: str, unit: str, parts: Sequence[tuple[str, Map]]) -> str:
    """Write the rows of one direction."""
    total = sum(len(m.rows) for _, m in parts)
    out = [HEADER, f"//! {title}\n"]
    out.append("//!\n//! Behind each row: its range of the argument and the proven bound of its error.\n")
    out.append("#![allow(clippy::unreadable_literal, clippy::excessive_precision)]\n\n")
    out.append("/// The rows, type after type.\n#[rustfmt::skip]\n")
    out.append(f"pub(crate) static ROWS: [[f64; 8]; {total}] = [\n")
    for letter, mapping in parts:
        main = len(mapping.rows) - (mapping.stretch.rows if mapping.stretch else 0)
        source = SOURCES.get(letter, STANDARD)
        out.append(f"    // Type {letter}: {source}. Rows {mapping.start} on.\n")
        for n, row in enumerate(mapping.rows):
            if n == main:
                out.append(f"    // Type {letter}, in w = sqrt(emf - emf0), sqrt(mV)\n")
            text = ", ".join(number(c) for c in row.coefficients)
            note = f"{row.key_lo:.9g} to {row.key_hi:.9g}: {row.proven:.2g} {unit}"
            if row.relative is not None:
                note += f", relative {row.relative:.2g}"
            out.append(f"    [{text}], // {note}\n")
    out.append("];\n")
    return "".join(out)


def summary_line(letter: str, mapping: Map) -> str:
    """Write one line of the table of errors."""
    main = len(mapping.rows) - (mapping.stretch.rows if mapping.stretch else 0)
    rows = mapping.rows[:main]
    proven = max(r.proven for r in rows)
    measured = max(r.measured for r in rows)
    relative = max((r.relative for r in rows if r.relative is not None), default=None)
    text = f"//! | {letter} | {len(mapping.rows)} | {proven:.2g} | {measured:.2g} |"
    text += f" {relative:.2g} |" if relative is not None else " |"
    st = mapping.stretch
    text += f" {st.proven:.2g} | {st.measured:.2g} |" if st is not None else " | |"
    return text + "\n"


def rust_index(maps: dict[str, tuple[Map, Map]]) -> str:
    """Write the file with the maps."""
    out = [HEADER]
    out.append("//! Piecewise polynomials of the thermocouple functions and of their exact inverses.\n")
    out.append("//!\n//! Sources: IEC 60584-1:2013 = NIST Monograph 175 (1993) (B E J K N R S T),\n")
    out.append("//! ASTM E230 (C), GOST R 8.585-2001 (A). The error of every row is proven by the\n")
    out.append("//! script named above: Chebyshev bound of the residual at 60 digits, plus the\n")
    out.append("//! rounding errors of the Horner scheme in double.\n//!\n")
    for n, (name, unit) in enumerate((("Forward", "mV"), ("Inverse", "K"))):
        out.append(f"//! {name}, largest error, {unit}; stretched rows apart:\n//!\n")
        out.append("//! | type | rows | proven | measured | relative, at zero |")
        out.append(" stretched, proven | measured |\n//! | --- | --- | --- | --- | --- | --- | --- |\n")
        for letter, pair in maps.items():
            out.append(summary_line(letter, pair[n]))
        out.append("//!\n")
    out[-1] = "\n"
    out.append(MAP_TYPES)
    for letter, (fwd, inv) in maps.items():
        out.append(f"\n/// Type {letter}. Source: {SOURCES.get(letter, STANDARD)}.\n")
        out.append("#[rustfmt::skip]\n")
        out.append(f"pub(crate) static TYPE_{letter}: TypeSegments = TypeSegments {{\n")
        out.append(f"    forward: {rust_map(fwd, '    ')},\n")
        out.append(f"    inverse: {rust_map(inv, '    ')},\n}};\n")
    return "".join(out)


def rust_published() -> str:
    """Write the published coefficients as pairs of doubles."""
    out = [HEADER]
    out.append("//! Published thermocouple functions, each coefficient as the sum of two doubles.\n")
    out.append("//!\n//! Units: degrees Celsius (ITS-90), mV, reference junction at 0 degrees Celsius.\n")
    out.append("//! The published digits stand behind each pair.\n\n")
    out.append("#![allow(clippy::unreadable_literal, clippy::excessive_precision)]\n\n")
    out.append(
        "/// One range of a published function: `sum c[i] t^i`, plus `a0 exp(a1 (t - a2)^2)`.\n"
        "#[derive(Debug)]\n"
        "pub(crate) struct PublishedRange {\n"
        "    /// Lowest temperature, degree Celsius.\n    pub t_lo: f64,\n"
        "    /// Highest temperature, degree Celsius.\n    pub t_hi: f64,\n"
        "    /// Coefficients, high and low part, ascending, mV/K^i.\n"
        "    pub c: &'static [(f64, f64)],\n"
        "    /// `a0` mV, `a1` 1/K^2, `a2` degree Celsius, each high and low part.\n"
        "    pub gauss: Option<[(f64, f64); 3]>,\n}\n"
    )
    for letter in LETTERS:
        out.append(f"\n/// Type {letter}. Source: {SOURCES.get(letter, STANDARD)}.\n#[rustfmt::skip]\n")
        pieces = load(letter)
        out.append(f"pub(crate) static TYPE_{letter}: [PublishedRange; {len(pieces)}] = [\n")
        for p in pieces:
            out.append("    PublishedRange {\n")
            out.append(f"        t_lo: {number(float(p.t_lo))},\n")
            out.append(f"        t_hi: {number(float(p.t_hi))},\n        c: &[\n")
            for value, digits in zip(p.c, p.digits, strict=True):
                hi, lo = split(value)
                out.append(f"            ({number(hi)}, {number(lo)}), // {digits}\n")
            out.append("        ],\n")
            if p.gauss is None or p.gauss_digits is None:
                out.append("        gauss: None,\n    },\n")
            else:
                out.append("        gauss: Some([\n")
                for value, digits in zip(p.gauss, p.gauss_digits, strict=True):
                    hi, lo = split(value)
                    out.append(f"            ({number(hi)}, {number(lo)}), // {digits}\n")
                out.append("        ]),\n    },\n")
        out.append("];\n")
    return "".join(out)


def rust_approximate() -> str:
    """Write the published approximate inverse polynomials."""
    out = [HEADER]
    out.append(
        "//! Published approximate inverse polynomials: temperature as a function of emf.\n//!\n"
        "//! Sources: NIST Monograph 175 (1993) (B E J K N R S T), GOST R 8.585-2001 (A, without a stated error). For\n"
        "//! type C none is published. The published digits stand as they are.\n\n"
        "#![allow(clippy::unreadable_literal, clippy::excessive_precision)]\n\n"
        "/// One approximate inverse: `t = sum d[i] E^i`, degree Celsius of mV.\n"
        "#[derive(Debug, Clone, Copy, PartialEq)]\n"
        "pub struct ApproximateInverse {\n"
        "    /// Lowest temperature, degree Celsius.\n    pub low_c: f64,\n"
        "    /// Highest temperature, degree Celsius.\n    pub high_c: f64,\n"
        "    /// Lowest emf as it is printed, mV.\n    pub low_mv: f64,\n"
        "    /// Highest emf as it is printed, mV.\n    pub high_mv: f64,\n"
        "    /// Stated error, from the lowest to the highest, K.\n    pub error_k: Option<(f64, f64)>,\n"
        "    /// Coefficients, ascending, K/mV^i.\n    pub d: &'static [f64],\n}\n"
    )
    types = json.loads(REFERENCE.read_text(encoding="utf-8"))["types"]

    def literal(digits: str) -> str:
        return digits if "." in digits or "E" in digits else f"{digits}.0"

    for letter in LETTERS:
        ranges = types[letter]["inverse_ranges"]
        source = SOURCES.get(letter, "NIST Monograph 175 (1993)")
        if not ranges:
            source = "none is published"
        out.append(f"\n/// Type {letter}: {source}.\n#[rustfmt::skip]\n")
        out.append(f"pub const TYPE_{letter}: [ApproximateInverse; {len(ranges)}] = [")
        for r in ranges:
            error = r["published_error_K"]
            band = f"Some(({error[0]}, {error[1]}))" if error else "None"
            out.append("\n    ApproximateInverse {\n")
            for name, key in (
                ("low_c", "t_min"),
                ("high_c", "t_max"),
                ("low_mv", "E_min"),
                ("high_mv", "E_max"),
            ):
                out.append(f"        {name}: {literal(r[key])},\n")
            out.append(f"        error_k: {band},\n")
            out.append(f"        d: &[{', '.join(literal(d) for d in r['d'])}],\n    }},")
        out.append("\n];\n" if ranges else "];\n")
    return "".join(out)


def build(samples: int, report: Callable[[str], None]) -> dict[str, str]:
    """Return the text of every file by name."""
    inverse: list[tuple[str, Map]] = []
    forward: list[tuple[str, Map]] = []
    start = 0
    for letter in LETTERS:
        m = build_map(letter, load(letter), forward=False, start=start, samples=samples)
        inverse.append((letter, m))
        start += len(m.rows)
        report(f"inverse {letter}: {len(m.rows)} rows, parts {len(m.parts)}")
    for letter in LETTERS:
        m = build_map(letter, load(letter), forward=True, start=start, samples=samples)
        forward.append((letter, m))
        start += len(m.rows)
        report(f"forward {letter}: {len(m.rows)} rows, parts {len(m.parts)}")
    report(f"{start} rows of {CAPACITY}")
    assert start <= CAPACITY, start
    rows = [r for _, m in inverse for r in m.rows] + [r for _, m in forward for r in m.rows]
    maps: dict[str, tuple[Map, Map]] = {}
    for (letter, inv), (_, fwd) in zip(inverse, forward, strict=True):
        close_domain(letter, fwd, inv, rows)
        if letter == "K":
            gap_end = next(p.above for p in inv.parts if p.above > 0.0)
            assert evaluate(inv, gap_end, rows) == 0.0
            assert evaluate(inv, math.nextafter(gap_end, 1.0), rows) >= 0.0
        maps[letter] = (fwd, inv)
    return {
        "tc_segments.rs": rust_index(maps),
        "tc_segments_inverse.rs": rust_rows("Temperature, degree Celsius, as a polynomial of emf, mV.", "K", inverse),
        "tc_segments_forward.rs": rust_rows("Emf, mV, as a polynomial of temperature, degree Celsius.", "mV", forward),
        "tc_segments_published.rs": rust_published(),
        "tc_approximate.rs": rust_approximate(),
    }


def main() -> int:
    """Run."""
    parser = argparse.ArgumentParser(description="Make the thermocouple segment tables.")
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    parser.add_argument("--samples", type=int, default=64, help="random arguments a row")
    options = parser.parse_args()
    files = build(options.samples, lambda text: print(text, flush=True))
    stale = []
    for name, text in files.items():
        path = TARGET / name
        if options.check:
            if not path.exists() or path.read_text(encoding="utf-8") != text:
                stale.append(name)
        else:
            path.write_text(text, encoding="utf-8")
    for name in stale:
        print(f"stale: {name}")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
