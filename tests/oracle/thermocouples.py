"""Multiple-precision reference values of the thermocouple functions.

The script evaluates the published reference functions with 60-digit
arithmetic, term by term from their decimal digits, and inverts them by
bisection and Newton's method; it shares no code with the library nor with
``thermocouple_segments.py``, which makes the library's tables.  Its output
lives in ``tests/reference``:

``thermocouple_dense_emf.csv``
    ``type,t_c,mv,slope_mv_per_k``: temperature as the shortest text that
    reads back to the same double; emf (50 digits) and its slope (30 digits)
    for exactly that double.  A joint belongs to the range below it.
``thermocouple_dense_temperature.csv``
    ``type,side,mv,t_c``: emf as an exact double, and its temperature to 30
    digits.  ``side`` is ``any`` where one temperature only gives the emf, and
    ``lower`` or ``upper`` for type B where two do.  Emfs that no temperature
    gives, or two at a joint, are left out, and so are those within four
    doubles of the emf of a joint, where the library goes back to the joint.

Run ``python thermocouples.py``; the same input gives the same bytes.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mpmath import mp, mpf

mp.dps = 60

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
LETTERS = "BCEJKNRSTA"
POINTS = 300
# Of the emfs on either side of the minimum of type B.
SIDE_POINTS = 60


@dataclass(frozen=True)
class Range:
    """One range of a published function."""

    low: Any
    high: Any
    c: tuple[Any, ...]
    bell: tuple[Any, Any, Any] | None

    def emf(self, t: Any) -> Any:
        """Emf in mV at ``t`` in degrees Celsius, summed term by term."""
        value = mp.fsum(c * t**i for i, c in enumerate(self.c))
        if self.bell is not None:
            a0, a1, a2 = self.bell
            value += a0 * mp.exp(a1 * (t - a2) ** 2)
        return value

    def slope(self, t: Any) -> Any:
        """Derivative of the emf in mV per kelvin."""
        value = mp.fsum(i * c * t ** (i - 1) for i, c in enumerate(self.c) if i > 0)
        if self.bell is not None:
            a0, a1, a2 = self.bell
            value += 2 * a0 * a1 * (t - a2) * mp.exp(a1 * (t - a2) ** 2)
        return value

    def temperature(self, mv: Any, low: Any, high: Any) -> Any:
        """Temperature of an emf between two temperatures that enclose it.

        Halving until the bracket is a millionth of a kelvin wide, then
        Newton's steps; the residual is checked at the end.
        """
        rising = self.emf(high) > self.emf(low)
        for _ in range(400):
            if high - low < mpf(10) ** -6:
                break
            middle = (low + high) / 2
            if (self.emf(middle) < mv) == rising:
                low = middle
            else:
                high = middle
        t = (low + high) / 2
        for _ in range(80):
            step = (self.emf(t) - mv) / self.slope(t)
            t -= step
            if abs(step) < mpf(10) ** -50:
                break
        assert abs(self.emf(t) - mv) < mpf(10) ** -45
        return t


def load(letter: str) -> list[Range]:
    """Ranges of a type, lowest first."""
    text = (REFERENCE / "thermocouple_coefficients.json").read_text(encoding="utf-8")
    ranges = []
    for entry in json.loads(text)["types"][letter]["emf_ranges"]:
        bell = entry.get("exponential")
        ranges.append(
            Range(
                mpf(entry["t_min"]),
                mpf(entry["t_max"]),
                tuple(mpf(c) for c in entry["c"]),
                (mpf(bell["a0"]), mpf(bell["a1"]), mpf(bell["a2"])) if bell else None,
            )
        )
    return ranges


def number(value: Any, digits: int) -> str:
    """Decimal text of ``value`` with ``digits`` significant digits."""
    return str(mp.nstr(value, digits, min_fixed=-5, max_fixed=10))


def spread(low: float, high: float, count: int) -> list[float]:
    """Return ``count`` irregular doubles strictly inside ``low``..``high``.

    Multiples of the golden ratio fill the interval evenly without hitting
    round numbers, and need no random generator.
    """
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    return [low + (high - low) * ((i * golden) % 1.0) for i in range(1, count + 1)]


def near(centre: float, scale: float, sides: Iterable[float] = (-1.0, 1.0)) -> list[float]:
    """Points that approach ``centre`` by powers of ten on the given sides."""
    found: list[float] = []
    for side in sides:
        found.append(math.nextafter(centre, centre + side))
        for exponent in range(-12, 1, 2):
            found.append(centre + side * 3.7 * scale * 10.0**exponent)
    return found


def complete(chosen: Iterable[float], low: float, high: float, count: int) -> list[float]:
    """Distinct sorted points: all of ``chosen`` plus a spread up to ``count``."""
    points = {x + 0.0 for x in chosen if low <= x <= high}
    for x in spread(low, high, 4 * count):
        if len(points) >= count:
            break
        points.add(x)
    return sorted(points)


def range_of(ranges: list[Range], t: float) -> Range:
    """Range that holds at a double; a joint belongs to the range below."""
    return next((r for r in ranges[:-1] if t <= float(r.high)), ranges[-1])


def minimum(ranges: list[Range]) -> Any:
    """Temperature of the minimum of type B."""
    low, high = mpf(20), mpf(22)
    for _ in range(220):
        middle = (low + high) / 2
        if ranges[0].slope(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def emf_rows(letter: str, ranges: list[Range]) -> list[str]:
    """Lines of the table of emfs."""
    low, high = float(ranges[0].low), float(ranges[-1].high)
    chosen = [low, high, 0.0, 0.01, 25.0, 100.0]
    chosen += near(0.0, 1.0) + near(low, 1.0, (1.0,)) + near(high, 1.0, (-1.0,))
    for r in ranges[:-1]:
        chosen += [float(r.high), *near(float(r.high), 1.0)]
    if letter == "B":
        chosen += near(float(minimum(ranges)), 1.0) + spread(0.0, 45.0, 30)
    else:
        chosen += spread(low, low + 60.0, 30)
    rows = []
    for t in complete(chosen, low, high, POINTS):
        r = range_of(ranges, t)
        values = number(r.emf(mpf(t)), 50), number(r.slope(mpf(t)), 30)
        rows.append(f"{letter},{t!r},{values[0]},{values[1]}")
    return rows


def solutions(ranges: list[Range], mv: Any, from_c: Any) -> list[Any]:
    """All temperatures above ``from_c`` that give an emf; none beside a joint."""
    found = []
    for r in ranges[:-1]:
        joint = float(r.emf(r.high))
        if 0 < abs(mv - joint) <= 4 * math.ulp(joint):
            return []
    for i, r in enumerate(ranges):
        start = max(r.low, from_c)
        inside = r.emf(start) < mv if i > 0 else r.emf(start) <= mv
        if inside and mv <= r.emf(r.high):
            found.append(r.temperature(mv, start, r.high))
    return found


def temperature_rows(letter: str, ranges: list[Range]) -> list[str]:
    """Lines of the table of temperatures.

    The ends are the doubles just inside: the double nearest to the emf at an
    end can lie outside the range by less than one rounding.
    """
    from_c = minimum(ranges) if letter == "B" else ranges[0].low
    lowest, highest = ranges[0].emf(from_c), ranges[-1].emf(ranges[-1].high)
    low, high = float(lowest), float(highest)
    low = low if mpf(low) >= lowest else math.nextafter(low, math.inf)
    high = high if mpf(high) <= highest else math.nextafter(high, -math.inf)
    scale = high / 1000.0
    chosen = [
        low,
        high,
        *near(low, scale, (1.0,)),
        *near(high, scale, (-1.0,)),
        *near(0.0, scale),
    ]
    for r in ranges[:-1]:
        chosen += near(float(r.emf(r.high)), scale)
    rows = []
    if letter == "B":
        emfs = complete([0.0, low, *near(low, -low, (1.0,))], low, 0.0, SIDE_POINTS)
        for mv in emfs:
            for side, start, end in (
                ("lower", mpf(0), from_c),
                ("upper", from_c, mpf(50)),
            ):
                t = ranges[0].temperature(mpf(mv), start, end)
                rows.append(f"{letter},{side},{mv!r},{number(t, 30)}")
        low = math.nextafter(0.0, 1.0)
    else:
        at = float(ranges[0].emf(from_c + 60))
        chosen += spread(low, at, 30)
    for mv in complete(chosen, low, high, POINTS):
        temperatures = solutions(ranges, mpf(mv), from_c)
        if mv == 0.0 and letter != "A":
            temperatures = [mpf(0)]
        if len(temperatures) == 1:
            rows.append(f"{letter},any,{mv!r},{number(temperatures[0], 30)}")
    return rows


def write(name: str, header: str, rows: list[str]) -> None:
    """Write one table with newline line ends on every platform."""
    path = REFERENCE / name
    path.write_text("\n".join([header, *rows]) + "\n", encoding="ascii", newline="\n")


def main() -> None:
    """Write both tables."""
    emfs: list[str] = []
    temperatures: list[str] = []
    for letter in LETTERS:
        ranges = load(letter)
        emfs += emf_rows(letter, ranges)
        temperatures += temperature_rows(letter, ranges)
    write("thermocouple_dense_emf.csv", "type,t_c,mv,slope_mv_per_k", emfs)
    write("thermocouple_dense_temperature.csv", "type,side,mv,t_c", temperatures)


if __name__ == "__main__":
    main()
