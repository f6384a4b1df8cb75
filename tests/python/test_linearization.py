"""Linearity, cycles, and errors of a choice."""

import csv
import json
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

import calcore as cc

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
PERCENT = [0, 25, 50, 75, 100]
ERROR = [0.02, 0.10, 0.16, 0.12, 0.04]
PT100 = cc.CallendarVanDusen.iec60751()


# By hand: see the worked example of the core; two digits more for the zero-based line, 0.26/3.
@pytest.mark.parametrize(("basis", "largest"), [("terminal", 0.13), ("zero", 0.26 / 3), ("independent", 0.065)])
def test_worked_example(basis: Literal["terminal", "zero", "independent"], largest: float) -> None:
    found = cc.linearization.conformity(PERCENT, ERROR, basis=basis, span=50.0)
    assert found.largest == pytest.approx(largest, abs=1e-15)
    assert found.percent_of_span == pytest.approx(2.0 * largest, abs=1e-14)
    assert np.max(np.abs(found.deviations)) == pytest.approx(largest, abs=1e-15)
    order = [3, 0, 4, 2, 1]
    again = cc.linearization.conformity(np.take(PERCENT, order), np.take(ERROR, order), basis=basis)
    assert again.largest == pytest.approx(largest, abs=1e-15)


def test_independent_lines_are_those_of_linear_programming() -> None:
    points: dict[str, list[tuple[float, float]]] = {}
    with (REFERENCE / "linearity_oracle_points.csv").open() as file:
        for row in csv.DictReader(file):
            points.setdefault(row["case"], []).append((float(row["x"]), float(row["y"])))
    with (REFERENCE / "linearity_oracle.csv").open() as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        x, y = np.array(points[row["case"]]).T
        found = cc.linearization.conformity(x, y)
        # The solver is feasible to 1e-10.
        assert found.largest == pytest.approx(float(row["independent"]), abs=3e-10)
    assert len(rows) == 60


def test_uncertainty_of_readings() -> None:
    alone = cc.linearization.conformity(PERCENT, ERROR, u=0.01)
    each = cc.linearization.conformity(PERCENT, ERROR, u=[0.01] * 5)
    full = cc.linearization.conformity(PERCENT, ERROR, covariance=np.diag([1e-4] * 5))
    # Weights 1/4, 1/4 and 1/2 of readings of 0.01.
    for found in (alone, each, full):
        assert found.standard_uncertainty == pytest.approx(0.01 * np.sqrt(0.375), abs=1e-15)
    weights = dict(alone.active)
    assert sum(weight * ERROR[index] for index, weight in weights.items()) == pytest.approx(alone.largest)
    common = cc.linearization.conformity(PERCENT, ERROR, covariance=np.full((5, 5), 1e-4))
    assert common.standard_uncertainty == pytest.approx(0.0, abs=1e-9)


def test_conformity_to_a_curve() -> None:
    t_c = np.array([0.0, 25.0, 50.0, 75.0, 100.0])
    ohm = PT100.resistance(t_c) + np.array([0.0, 0.01, 0.03, 0.01, 0.02])
    plain = cc.linearization.conformity(t_c, ohm, curve=PT100, basis="unadjusted")
    assert plain.at == 2
    assert plain.largest == pytest.approx(0.03, abs=1e-13)
    by_values = cc.linearization.conformity(t_c, ohm, expected=PT100.resistance(t_c), basis="terminal")
    assert by_values == cc.linearization.conformity(t_c, ohm, curve=PT100, basis="terminal")
    with pytest.raises(cc.OutOfRangeError):
        cc.linearization.conformity([0.0, 50.0, 900.0], [1.0, 2.0, 3.0], curve=PT100)
    with pytest.raises(TypeError):
        cc.linearization.conformity(t_c, ohm, curve=PT100, expected=t_c)


def test_cycles() -> None:
    up = [[4.00, 12.02, 20.01], [4.02, 12.04, 20.01]]
    down = [[4.01, 12.06, 20.02], [4.01, 12.08, 20.02]]
    figures = cc.linearization.cycles([0, 50, 100], up, down, span=16.0, expected=[4, 12, 20], dead_band=0.005)
    # By hand, as in the tests of the core; readings near 20 are rounded to 3.6e-15.
    assert figures.average_error == pytest.approx([0.01, 0.05, 0.015], abs=1e-14)
    assert figures.hysteresis is not None
    assert figures.repeatability is not None
    assert figures.hysteresis.value == pytest.approx(0.035, abs=1e-14)
    assert figures.repeatability.standard_deviation == pytest.approx(0.01, abs=1e-14)
    assert figures.terminal_based is not None
    assert figures.terminal_based.percent_of_span == pytest.approx(100 * 0.0375 / 16, abs=1e-13)
    one_way = cc.linearization.cycles([0, 50, 100], up[0], span=16.0)
    assert one_way.hysteresis is None
    assert one_way.repeatability is None


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(cc.TooFewPointsError):
        cc.linearization.conformity([0, 1], [0, 1])
    with pytest.raises(cc.NotFiniteError) as caught:
        cc.linearization.conformity(PERCENT, [0.0, np.nan, 0.0, 0.0, 0.0])
    assert caught.value.index == 1
    with pytest.raises(cc.InvalidValueError):
        cc.linearization.conformity(PERCENT, ERROR, span=0.0)
    with pytest.raises(cc.UnknownNameError):
        cc.linearization.conformity(PERCENT, ERROR, basis="best")  # type: ignore[arg-type]
    with pytest.raises(cc.LengthMismatchError):
        cc.linearization.cycles([0, 50, 100], [[0, 0, 0], [0, 0, 0]], [[0, 0, 0]], span=1.0)
    with pytest.raises(cc.LengthMismatchError):
        cc.linearization.cycles([0, 50, 100], [[0, 0]], span=1.0)
    with pytest.raises(TypeError):
        cc.linearization.error_of_choice("Pt100", 0.0)  # type: ignore[call-overload]
    with pytest.raises(cc.OutOfRangeError):
        cc.linearization.largest_error_of_choice(PT100, 0.0, 850.0, added_signal=0.5)


# By hand: B t (t - h)/(A + B h) for the line through both ends.
def test_linear_in_resistance() -> None:
    t_c = np.linspace(0.0, 100.0, 1001)
    exact = -5.775e-7 * t_c * (t_c - 100.0) / (3.9083e-3 - 5.775e-5)
    found = cc.linearization.error_of_choice(PT100, t_c, linear=(0.0, 100.0), basis="terminal")
    assert found == pytest.approx(exact, abs=1e-12)
    proven = cc.linearization.largest_error_of_choice(PT100, 0.0, 100.0, linear=(0.0, 100.0), basis="terminal")
    assert np.max(np.abs(found)) <= proven.largest_k <= 1.001 * np.max(np.abs(found))
    best = cc.linearization.largest_error_of_choice(PT100, 0.0, 100.0, linear=(0.0, 100.0))
    assert best.largest_k == pytest.approx(0.5 * proven.largest_k, rel=2e-3)


@pytest.mark.parametrize("added", [0.0, 0.05])
@pytest.mark.parametrize("resolution", [0.0, 0.02])
def test_proven_is_never_below_sampled(added: float, resolution: float) -> None:
    element = cc.PolynomialRtd.standard("gost6651_pt391", 100.0)
    nominal = cc.PolynomialRtd.standard("iec60751_pt385", 100.0)

    t_c = np.linspace(-100.0, 500.0, 5001)
    sampled = np.max(
        np.abs(
            cc.linearization.error_of_choice(element, t_c, read_with=nominal, added_signal=added, resolution=resolution)
        )
    )
    proven = cc.linearization.largest_error_of_choice(
        element, -100.0, 500.0, read_with=nominal, added_signal=added, resolution=resolution
    )
    # The stated gap; the sampled value itself is rounded.
    assert sampled - 1e-12 <= proven.largest_k <= 1.0011 * sampled
    assert proven.largest_k >= proven.reached_k


# Witness: the curve itself over a dense grid of signals. The limits are the goals of the project for free nodes.
@pytest.mark.parametrize(("segments", "limit_k"), [(16, 0.0630), (64, 0.00423)])
def test_tables_keep_what_is_proven(segments: int, limit_k: float) -> None:
    k = cc.Thermocouple("K")
    table = cc.linearization.lookup_table(k, 0.0, 1000.0, segments=segments)
    assert table.segments == segments
    assert table.error_unit == "K"
    mv = np.linspace(table.arguments[0], table.arguments[-1], 20_001)
    sampled = np.max(np.abs(table.evaluate(mv) - k.temperature(mv)))
    assert sampled <= table.largest_error <= 1.01 * sampled
    assert table.largest_error <= limit_k


def test_smallest_table_and_polynomial_for_an_error() -> None:
    table = cc.linearization.lookup_table(PT100, 0.0, 400.0, max_error_k=0.02)
    assert table.largest_error <= 0.02
    fewer = cc.linearization.lookup_table(PT100, 0.0, 400.0, segments=table.segments - 1)
    assert fewer.largest_error > 0.02
    found = cc.linearization.minimax(PT100, 0.0, 400.0, max_error_k=0.001)
    assert found.largest_error <= 0.001
    signs = np.sign([error for _, error in found.extremes])
    assert np.all(signs[1:] == -signs[:-1])
    ohm = np.linspace(100.0, 247.0, 10_001)
    assert np.max(np.abs(found.evaluate(ohm) - PT100.temperature(ohm))) <= found.largest_error


def test_exports() -> None:
    formats = {"argument": (16, 7, False), "value": (16, 5, True)}
    table = cc.linearization.lookup_table(PT100, 0.0, 400.0, segments=8, entries="fixed", **formats)  # type: ignore[arg-type]
    assert table.proof == "every_reading"
    header, source = table.to_c99("pt100_table")
    assert "int16_t pt100_table(uint16_t x);" in header
    assert '#include "pt100_table.h"' in source
    rows = list(csv.DictReader(table.to_csv().splitlines()))
    assert [float(row["argument"]) for row in rows] == table.arguments.tolist()
    assert json.loads(table.to_json())["largest_error"] == table.largest_error
    code = int(rows[3]["argument_code"])
    assert table.evaluate_code(code) == int(rows[3]["value_code"])
    with pytest.raises(cc.UnknownNameError):
        table.to_c99("Not a name")
    with pytest.raises(TypeError):
        cc.linearization.lookup_table(PT100, 0.0, 400.0)
    with pytest.raises(TypeError):
        cc.linearization.lookup_table(PT100, 0.0, 400.0, segments=8, entries="fixed")
    with pytest.raises(cc.InvalidValueError):
        cc.linearization.lookup_table(PT100, 0.0, 400.0, max_error_k=1e-9, most_segments=16)
