"""Multiple-precision reference values of the IEC 60751 resistance function.

The script evaluates the published formula with 80-digit arithmetic, so it
shares no code and no rounding with the library.  Its two output files live in
``tests/reference``:

``iec60751_dense_resistance.csv``
    ``t_c,ohm``: temperature as the shortest text that reads back to the same
    double, and the resistance for exactly that double to 50 digits.
``iec60751_dense_temperature.csv``
    ``ohm,t_c``: resistance as an exact double, and its temperature to 30
    digits.

Run ``python platinum.py``; the same input gives the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from mpmath import mp, mpf

mp.dps = 80

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
POINTS = 400
LOW_C = -200.0
HIGH_C = 850.0

# IEC 60751 coefficients for a nominal resistance of 100 ohm; decimal text, so
# that no double stands between the published digits and the result.
R0 = mpf(100)
A = mpf("3.9083e-3")
B = mpf("-5.775e-7")
C = mpf("-4.183e-12")


def resistance(t: Any) -> Any:
    """Resistance in ohm at ``t`` in degrees Celsius."""
    ratio = 1 + A * t + B * t**2
    if t < 0:
        ratio += C * (t - 100) * t**3
    return R0 * ratio


def slope(t: Any) -> Any:
    """Derivative of the resistance in ohm per kelvin."""
    value = A + 2 * B * t
    if t < 0:
        value += C * (4 * t**3 - 300 * t**2)
    return R0 * value


def temperature(ohm: Any) -> Any:
    """Temperature in degrees Celsius of ``ohm``, by Newton's method.

    The function is concave and rising over the whole range, so the steps
    converge from any start inside it; the residual is checked at the end.
    """
    t = (ohm - R0) / (R0 * A)
    for _ in range(60):
        step = (resistance(t) - ohm) / slope(t)
        t -= step
        if abs(step) < mpf(10) ** -70:
            break
    assert abs(resistance(t) - ohm) < mpf(10) ** -68
    return t


def text(value: Any, digits: int) -> str:
    """Decimal text of ``value`` with ``digits`` significant digits."""
    return str(mp.nstr(value, digits, min_fixed=-5, max_fixed=10))


def spread(low: float, high: float, count: int) -> list[float]:
    """Return ``count`` irregular doubles strictly inside ``low``..``high``.

    Multiples of the golden ratio fill the interval evenly without hitting
    round numbers, and need no random generator.
    """
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    return [low + (high - low) * ((i * golden) % 1.0) for i in range(1, count + 1)]


def near(centre: float, sides: Iterable[float]) -> list[float]:
    """Points that approach ``centre`` by powers of ten on the given sides."""
    found: list[float] = []
    for side in sides:
        found.append(math.nextafter(centre, centre + side))
        for exponent in range(-13, 1):
            for mantissa in (1.0, 3.7):
                found.append(centre + side * mantissa * 10.0**exponent)
    return found


def complete(chosen: Iterable[float], low: float, high: float) -> list[float]:
    """Distinct sorted points: all of ``chosen`` plus a spread up to POINTS."""
    points = {x + 0.0 for x in chosen if low <= x <= high}
    for x in spread(low, high, 2 * POINTS):
        if len(points) >= POINTS:
            break
        points.add(x)
    return sorted(points)


def resistance_points() -> list[float]:
    """Temperatures for the table of resistances."""
    chosen = [LOW_C, 0.0, 0.01, 100.0, HIGH_C]
    chosen += near(0.0, (-1.0, 1.0))
    chosen += near(LOW_C, (1.0,))
    chosen += near(HIGH_C, (-1.0,))
    chosen += [float(t) for t in range(-190, 850, 40)]
    return complete(chosen, LOW_C, HIGH_C)


def temperature_points() -> list[float]:
    """Resistances for the table of temperatures.

    The ends are the doubles just inside the range: the double nearest to the
    resistance at an end can lie outside it by less than one rounding.
    """
    low = float(resistance(mpf(LOW_C)))
    high = float(resistance(mpf(HIGH_C)))
    low = math.nextafter(low, math.inf)
    high = math.nextafter(high, 0.0)
    chosen = [low, 100.0, high]
    # within 1 degree of the ice point, both sides (0.39 ohm per kelvin)
    chosen += spread(99.61, 100.0, 50) + spread(100.0, 100.39, 50)
    chosen += near(100.0, (-1.0, 1.0))
    chosen += near(low, (1.0,))
    chosen += near(high, (-1.0,))
    return complete(chosen, low, high)


def write(name: str, header: str, rows: list[str]) -> None:
    """Write one table with newline line ends on every platform."""
    path = REFERENCE / name
    path.write_text("\n".join([header, *rows]) + "\n", encoding="ascii", newline="\n")


def main() -> None:
    """Write both tables."""
    rows = [f"{t!r},{text(resistance(mpf(t)), 50)}" for t in resistance_points()]
    write("iec60751_dense_resistance.csv", "t_c,ohm", rows)
    rows = [f"{r!r},{text(temperature(mpf(r)), 30)}" for r in temperature_points()]
    write("iec60751_dense_temperature.csv", "ohm,t_c", rows)


if __name__ == "__main__":
    main()
