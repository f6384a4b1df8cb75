"""Random draws a second time: the coefficients of the series, and what a few streams must give.

Prints the coefficients of ``calcore/src/num/series.rs`` with the largest error of each fit, and writes
``tests/reference/draws_oracle.csv`` with the columns ``map,parameter,seed,stream,index,value``.  The generator is
written here with plain integers from its description (D. J. Bernstein, ChaCha, a variant of Salsa20, 2008), the maps
with 40 digits from their formulas (Box and Muller 1958, Bailey 1994, inverse distribution functions), without series.

Run ``python draws.py``; the same input gives the same bytes.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from mpmath import atanh, chebyfit, cos, expm1, log, mp, mpf, nstr, pi, polyval, sin, sqrt

mp.dps = 40

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
LANES = 16
MASK = 0xFFFFFFFF
INDICES = (0, 1, 2, 100, 255, 256, 511)


def block(seed: int, stream: int, counter: int) -> list[int]:
    """The sixteen words of a block of ChaCha with 8 rounds."""
    key = list(struct.unpack("<8I", seed.to_bytes(8, "little") + bytes(24)))
    start = [
        *struct.unpack("<4I", b"expand 32-byte k"),
        *key,
        counter & MASK,
        counter >> 32,
        stream & MASK,
        stream >> 32,
    ]
    s = start.copy()

    def turn(x: int, by: int) -> int:
        return ((x << by) | (x >> (32 - by))) & MASK

    def quarter(a: int, b: int, c: int, d: int) -> None:
        for first, second, third, by in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
            s[first] = (s[first] + s[second]) & MASK
            s[third] = turn(s[third] ^ s[first], by)

    for _ in range(4):
        for column in range(4):
            quarter(column, 4 + column, 8 + column, 12 + column)
        for column in range(4):
            quarter(column, 4 + (column + 1) % 4, 8 + (column + 2) % 4, 12 + (column + 3) % 4)
    return [(x + y) & MASK for x, y in zip(s, start, strict=True)]


def words(seed: int, stream: int) -> Iterator[int]:
    """64-bit words in the order of the library: batches of sixteen blocks, word by word, two neighbours each."""
    counter = 0
    while True:
        batch = [block(seed, stream, counter + lane) for lane in range(LANES)]
        counter += LANES
        for w in range(16):
            for lane in range(0, LANES, 2):
                yield batch[lane][w] | batch[lane + 1][w] << 32


def take(source: Iterator[int], count: int) -> list[int]:
    """The next words; the rest of the batch that the last one came from is left."""
    found = [next(source) for _ in range(count)]
    for _ in range(-count % (8 * LANES)):
        next(source)
    return found


def uniform(bits: int) -> Any:
    """The middle of one of 2^52 cells."""
    return (mpf(bits >> 12) + mpf(1) / 2) / mpf(2) ** 52


def circle(bits: int) -> tuple[Any, Any]:
    """A point of the unit circle: an angle within a quarter of a turn, exchanged and mirrored by the last bits."""
    angle = ((bits >> 12) / mpf(2) ** 52 - mpf(1) / 2) * pi / 2
    x, y = cos(angle), sin(angle)
    if bits & 1:
        x, y = y, x
    return (-x if bits & 2 else x), (-y if bits & 4 else y)


def normals(source: Iterator[int], count: int) -> list[Any]:
    """Box and Muller: first all first coordinates, then the second ones."""
    pairs = (count + 1) // 2
    bits = take(source, 2 * pairs)
    first, second = [], []
    for radius, angle in zip(bits[:pairs], bits[pairs:], strict=True):
        r = sqrt(-2 * log(uniform(radius)))
        x, y = circle(angle)
        first.append(r * x)
        second.append(r * y)
    return (first + second)[:count]


def students(nu: Any) -> Callable[[Iterator[int], int], list[Any]]:
    """Bailey's polar form."""

    def draw(source: Iterator[int], count: int) -> list[Any]:
        bits = take(source, 2 * count)
        return [
            sqrt(nu * expm1(-2 * log(uniform(radius)) / nu)) * circle(angle)[0]
            for radius, angle in zip(bits[:count], bits[count:], strict=True)
        ]

    return draw


def triangular(u: Any) -> Any:
    """Inverse distribution function of the symmetric triangle on (-1, 1)."""
    return sqrt(2 * u) - 1 if u < mpf(1) / 2 else 1 - sqrt(2 * (1 - u))


def each(map_: Callable[[int], Any]) -> Callable[[Iterator[int], int], list[Any]]:
    """A word for a value."""
    return lambda source, count: [map_(bits) for bits in take(source, count)]


def draws() -> None:
    """Write the table."""
    maps: list[tuple[str, str, Callable[[Iterator[int], int], list[Any]]]] = [
        ("uniform", "0", each(uniform)),
        ("normal", "0", normals),
        ("arcsine", "0", each(lambda bits: circle(bits)[0])),
        ("triangular", "0", each(lambda bits: triangular(uniform(bits)))),
        ("exponential", "0", each(lambda bits: -log(uniform(bits)))),
        ("student", "4", students(mpf(4))),
        ("student", "0.125", students(mpf("0.125"))),
    ]
    lines = ["map,parameter,seed,stream,index,value"]
    for name, parameter, draw in maps:
        for seed, stream, count in ((20240229, 3, 512), (2**63 + 5, 123 << 20 | 9, 512)):
            values = draw(words(seed, stream), count)
            for index in INDICES:
                lines.append(f"{name},{parameter},{seed},{stream},{index},{nstr(values[index], 20)}")
    (REFERENCE / "draws_oracle.csv").write_text("\n".join(lines) + "\n")


def fit(name: str, count: int, low: Any, high: Any, rest: Callable[[Any], Any], weight: Callable[[Any], Any]) -> None:
    """Print the coefficients as doubles, ascending, and the largest error with its weight."""
    coefficients = [float(c) for c in chebyfit(rest, [low, high], count)]
    exact = [mpf(c) for c in coefficients]
    points = [low + (high - low) * k / mpf(2000) for k in range(2001)]
    worst = max(abs(weight(x) * (polyval(exact, x) - rest(x))) for x in points)
    print(f"{name}: off by at most {nstr(worst, 3)}")
    for c in reversed(coefficients):
        print(f"    {c!r},")


def coefficients() -> None:
    """Print all series."""

    def artanh(z: Any) -> Any:
        return mpf(1) / 3 + z / 5 + z * z / 7 if z < mpf("1e-14") else (atanh(sqrt(z)) / sqrt(z) - 1) / z

    def sine(z: Any) -> Any:
        return -mpf(1) / 6 + z / 120 - z * z / 5040 if z < mpf("1e-14") else (sin(sqrt(z)) / sqrt(z) - 1) / z

    def cosine(z: Any) -> Any:
        return -mpf(1) / 2 + z / 24 - z * z / 720 if z < mpf("1e-14") else (cos(sqrt(z)) - 1) / z

    def exponential(r: Any) -> Any:
        return mpf(1) / 2 + r / 6 + r * r / 24 if abs(r) < mpf("1e-14") else (expm1(r) - r) / r**2

    largest = (3 - 2 * sqrt(mpf(2))) ** 2
    half = log(mpf(2)) / 2
    fit("ARTANH", 7, mpf(0), largest, artanh, lambda z: z)
    fit("SINE", 6, mpf(0), (pi / 4) ** 2, sine, lambda z: z)
    fit("COSINE", 7, mpf(0), (pi / 4) ** 2, cosine, lambda z: z)
    fit("EXPONENTIAL", 11, -half, half, exponential, lambda r: r)


if __name__ == "__main__":
    coefficients()
    draws()
