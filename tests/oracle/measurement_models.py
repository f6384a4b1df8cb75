"""Budgets of measurement models with a sensor curve, with 50 digits.

Writes ``tests/reference/measurement_models.csv`` (one row an input: what is
stated of it and its sensitivity) and ``measurement_models_results.csv`` (one
row a model).  The data are invented.

Nothing here uses the closed forms of the sensitivities: every model is a plain
function of its inputs, and mpmath differentiates it.  The curves are those of
``platinum.py`` and ``thermocouples.py`` beside this file.

Run ``python measurement_models.py``; the same input gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import platinum
import thermocouples
from mpmath import mp, mpf

mp.dps = 80

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
DIGITS = 22
INF = "inf"

TYPE_K = thermocouples.load("K")


def emf(t: Any) -> Any:
    """Emf of type K in mV with the reference junction at 0 degrees Celsius."""
    return thermocouples.range_of(TYPE_K, t).emf(t)


def type_k(mv: Any) -> Any:
    """Temperature of a positive emf of type K."""
    return TYPE_K[1].temperature(mv, mpf(0), mpf(1372))


# name, place, coefficient, estimate, standard uncertainty, degrees of freedom
Row = tuple[str, str, str, str, str, str]


def combine(rows: list[Row], through: Callable[[Any], Any], junction: Callable[[Any], Any], weight: int) -> Any:
    """The model of these rows as a function of its inputs."""

    def model(*x: Any) -> Any:
        parts = [
            (row[1], mpf(float(row[2])) * value, value, mpf(float(row[2]))) for row, value in zip(rows, x, strict=True)
        ]
        total = mp.fsum(kx for place, kx, _, _ in parts if place == "reading")
        total += mp.fsum(k * junction(value) for place, _, value, k in parts if place == "junction")
        for place, kx, _, _ in parts:
            if place == "factor":
                total *= kx
            if place == "divisor":
                total /= kx
        total *= 1 + mp.fsum(kx for place, kx, _, _ in parts if place == "relative")
        return weight * through(total) + mp.fsum(kx for place, kx, _, _ in parts if place == "result")

    return model


CASES: list[tuple[str, str, int, list[Row]]] = [
    (
        "platinum_bridge",
        "temperature_pt100",
        1,
        [
            ("ratio", "reading", "1", "1.3841", "2e-6", "9"),
            ("zero", "reading", "1", "1e-5", "3e-6", INF),
            ("standard", "factor", "1", "100.0003", "0.0004", INF),
            ("r0", "divisor", "0.01", "100.02", "0.003", "40"),
            ("gain", "relative", "1", "2e-5", "1e-5", INF),
            ("nonlinearity", "relative", "-2", "0", "4e-6", INF),
            ("axial", "result", "1", "0.01", "0.02", INF),
            ("scatter", "result", "1", "0", "0.004", "4"),
        ],
    ),
    (
        "platinum_cold",
        "temperature_pt100",
        1,
        [
            ("ohm", "reading", "1", "60.2", "0.002", "5"),
            ("leads", "reading", "-2", "0.05", "0.001", INF),
            ("immersion", "result", "1", "-0.03", "0.01", INF),
        ],
    ),
    (
        "thermocouple",
        "temperature_type_k",
        1,
        [
            ("emf", "reading", "0.001", "8137.5", "1.2", "9"),
            ("parasitic", "reading", "0.001", "0", "0.8", INF),
            ("junction", "junction", "1", "23.4", "0.12", INF),
            ("meter", "relative", "1", "0", "5e-5", INF),
            ("furnace", "result", "1", "0", "0.3", INF),
        ],
    ),
    (
        "thermocouple_error",
        "temperature_type_k",
        -1,
        [
            ("emf", "reading", "0.001", "16211", "1.2", "9"),
            ("junction", "junction", "1", "-3.1", "0.1", INF),
            ("indication", "result", "1", "395.5", "0.03", INF),
        ],
    ),
    (
        "resistance_by_comparison",
        "signal_pt100",
        1,
        [
            ("reference", "reading", "1", "120.3", "0.015", "20"),
            ("uniformity", "reading", "1", "0", "0.01", INF),
            ("meter", "result", "1", "0", "0.001", INF),
        ],
    ),
    (
        "indication_less_reference",
        "linear",
        1,
        [
            ("indication", "reading", "1", "150.3", "0.029", INF),
            ("reference", "result", "-1", "150.02", "0.015", "12"),
            ("gain", "relative", "1", "1e-4", "2e-4", INF),
        ],
    ),
]

CHAINS: dict[str, tuple[Callable[[Any], Any], Callable[[Any], Any]]] = {
    "temperature_pt100": (platinum.temperature, platinum.resistance),
    "temperature_type_k": (type_k, emf),
    "signal_pt100": (platinum.resistance, platinum.resistance),
    "linear": (lambda x: x, lambda x: x),
}


def exact(text: str) -> Any:
    """Return the double nearest to ``text``, as an exact number."""
    return mpf(float(text))


def main() -> None:
    """Differentiate, combine, write."""
    inputs = ["case,input,place,coefficient,estimate,standard_uncertainty,degrees_of_freedom,sensitivity"]
    results = ["case,chain,weight,value,standard_uncertainty,effective_degrees_of_freedom"]
    for case, chain, weight, rows in CASES:
        model = combine(rows, *CHAINS[chain], weight)
        point = [exact(row[3]) for row in rows]
        variance, fourth = mpf(0), mpf(0)
        for i, row in enumerate(rows):
            # a step far below the digits that are written; the error of the difference is its square
            h = mpf(10) ** -25 * max(abs(point[i]), mpf(10) ** -3)
            above, below = ([*point[:i], point[i] + step, *point[i + 1 :]] for step in (h, -h))
            sensitivity = (model(*above) - model(*below)) / (2 * h)
            part = (sensitivity * exact(row[4])) ** 2
            variance += part
            if row[5] != INF:
                fourth += part**2 / exact(row[5])
            inputs.append(",".join((case, *row, mp.nstr(sensitivity, DIGITS))))
        freedom = variance**2 / fourth
        numbers = (model(*point), mp.sqrt(variance), freedom)
        results.append(",".join((case, chain, str(weight), *(mp.nstr(x, DIGITS) for x in numbers))))
    for name, lines in (("measurement_models", inputs), ("measurement_models_results", results)):
        (REFERENCE / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="ascii", newline="\n")


if __name__ == "__main__":
    main()
