"""Measurement models of the core, at one point and at many."""

import csv
import math
import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import calcore as cc

U = cc.uncertainty
REFERENCE = Path(__file__).resolve().parent.parent / "reference"
PT100 = cc.CallendarVanDusen.iec60751()
TYPE_K = cc.Thermocouple("K")
MODEL = U.MeasurementModel.temperature(
    PT100, reading=["ohm", "leads"], divisor={"r0": 0.01}, result={"axial": 1.0, "scatter": 1.0}
)
INPUTS: dict[str, U.Distribution] = {
    "ohm": U.Normal(138.5055, 0.002),
    "leads": U.Rectangular(-0.002, 0.002),
    "r0": U.Normal(100.0, 0.003),
    "axial": U.Rectangular(-0.05, 0.05),
    "scatter": U.Normal(0.0, 0.02, 4.0),
}


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / f"{name}.csv").open(encoding="ascii") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("case", rows("measurement_models_results"), ids=lambda case: case["case"])
def test_budgets_of_the_table(case: dict[str, str]) -> None:
    # tests/oracle/measurement_models.py, 80 digits; tolerances as in calcore/tests/measurement_model.rs.
    inputs = [row for row in rows("measurement_models") if row["case"] == case["case"]]
    entries: dict[str, Any] = {}
    for row in inputs:
        entries.setdefault(row["place"], {})[row["input"]] = float(row["coefficient"])
    weight = float(case["weight"])
    if case["chain"] == "linear":
        model = U.MeasurementModel.linear(**entries)
    elif case["chain"] == "signal_pt100":
        model = U.MeasurementModel.signal(PT100, weight=weight, **entries)
    else:
        curve = PT100 if case["chain"] == "temperature_pt100" else TYPE_K
        model = U.MeasurementModel.temperature(curve, weight=weight, **entries)
    known: dict[str, U.Distribution] = {
        row["input"]: U.Normal(
            float(row["estimate"]), float(row["standard_uncertainty"]), float(row["degrees_of_freedom"])
        )
        for row in inputs
    }
    budget = U.propagate(model, known)
    assert abs(budget.value - float(case["value"])) < 3e-13
    assert math.isclose(budget.standard_uncertainty, float(case["standard_uncertainty"]), rel_tol=1e-14)
    freedom = float(case["effective_degrees_of_freedom"])
    assert math.isclose(budget.effective_degrees_of_freedom, freedom, rel_tol=4e-14)
    for row in inputs:
        line = budget.contribution(row["input"])
        assert line is not None
        assert math.isclose(line.sensitivity, float(row["sensitivity"]), rel_tol=1e-14)
    # Numerical differentiation of the same model, which is a callable too: ten digits.
    in_order = {name: known[name] for name in model.inputs}
    by_differences = U.propagate(lambda *x: model(*x), in_order)
    assert math.isclose(by_differences.standard_uncertainty, budget.standard_uncertainty, rel_tol=1e-9)


def test_inputs_are_found_by_their_names() -> None:
    turned = dict(reversed(INPUTS.items()))
    assert U.propagate(MODEL, turned) == U.propagate(MODEL, INPUTS)
    assert MODEL.inputs == tuple(INPUTS)
    with pytest.raises(cc.UnknownNameError, match="scatter"):
        U.propagate(MODEL, {name: INPUTS[name] for name in ("ohm", "leads", "r0", "axial")})
    with pytest.raises(cc.UnknownNameError, match="bath"):
        U.propagate(MODEL, INPUTS | {"bath": U.Normal(0.0, 1.0)})
    with pytest.raises(TypeError, match="names or a dict"):
        U.MeasurementModel.linear(reading="ohm")
    with pytest.raises(TypeError, match="curve must be"):
        U.MeasurementModel.temperature(3.0, reading=["ohm"])  # type: ignore[arg-type]
    with pytest.raises(cc.UnknownNameError, match="ohm"):
        U.MeasurementModel.linear(reading=["ohm"], result=["ohm"])


def test_many_points_have_the_bits_of_one() -> None:
    ohm = np.linspace(60.0, 200.0, 700).reshape(7, 100)
    u = np.linspace(0.001, 0.004, 700).reshape(7, 100)
    inputs: dict[str, U.Distribution | U.PointInput] = {**INPUTS, "ohm": U.PointInput(ohm, u, 9.0)}
    found = U.propagate_points(MODEL, inputs)
    assert found.value.shape == (7, 100)
    assert found.contributions is not None
    assert found.contributions.shape == (5, 7, 100)
    for place in [(0, 0), (3, 7), (5, 11), (5, 12), (6, 99)]:
        here: dict[str, U.Distribution] = {**INPUTS, "ohm": U.Normal(float(ohm[place]), float(u[place]), 9.0)}
        budget = U.propagate(MODEL, here)
        assert found.value[place] == budget.value
        assert found.standard_uncertainty[place] == budget.standard_uncertainty
        assert found.effective_degrees_of_freedom[place] == budget.effective_degrees_of_freedom
        assert found.coverage_factor[place] == budget.coverage_factor
        assert found.expanded_uncertainty[place] == budget.expanded_uncertainty
        for line in budget.budget:
            contributions = found.contribution(line.quantity)
            assert contributions is not None
            assert contributions[place] == line.contribution
    assert found.contribution("bath") is None
    fixed = U.propagate_points(MODEL, inputs, coverage_factor=2.0, contributions=False)
    assert fixed.contributions is None
    assert fixed.contribution("ohm") is None
    assert np.array_equal(fixed.expanded_uncertainty, 2.0 * found.standard_uncertainty)


def test_points_with_correlated_inputs() -> None:
    # JCGM 100:2008, 5.2.2: fully correlated contributions add up.
    model = U.MeasurementModel.linear(reading=["a", "b"])
    inputs = {"a": U.PointInput([1.0, 2.0], [0.3, 3.0]), "b": U.PointInput(1.0, [0.4, 4.0])}
    assert np.allclose(U.propagate_points(model, inputs).standard_uncertainty, [0.5, 5.0], rtol=1e-15)
    together = U.propagate_points(model, inputs, correlation=np.ones((2, 2)))
    assert np.allclose(together.standard_uncertainty, [0.7, 7.0], rtol=1e-15)


def test_missing_and_impossible_points() -> None:
    ohm = np.array([100.0, math.nan, 900.0])
    inputs: dict[str, U.Distribution | U.PointInput] = {**INPUTS, "ohm": U.PointInput(ohm, 0.002)}
    with pytest.raises(cc.NotFiniteError) as missing:
        U.propagate_points(MODEL, inputs)
    assert (missing.value.index, missing.value.count) == (1, 2)
    found = U.propagate_points(MODEL, inputs, invalid="nan")
    assert np.isnan(found.expanded_uncertainty).tolist() == [False, True, True]
    inputs["ohm"] = U.PointInput(100.0, [0.1, -0.1])
    with pytest.raises(cc.InvalidValueError, match="element 1"):
        U.propagate_points(MODEL, inputs)
    inputs["ohm"] = U.PointInput([100.0, 101.0], [0.1])
    with pytest.raises(ValueError, match="different shapes"):
        U.propagate_points(MODEL, inputs)
    inputs["ohm"] = 3.0  # type: ignore[assignment]
    with pytest.raises(TypeError, match="PointInput"):
        U.propagate_points(MODEL, inputs)


def test_a_model_is_a_callable() -> None:
    k = U.MeasurementModel.temperature(TYPE_K, reading=["mv"], junction=["junction_c"], relative=["gain"])
    t_c = np.array([100.0, 500.0, 1200.0])
    mv = TYPE_K.emf(t_c, reference_junction_c=23.0)
    # The inverse is good to 2.3e-13 K; the emf of the junction is added once more.
    assert np.allclose(k(mv, 23.0, 0.0), t_c, atol=1e-12, rtol=0.0)
    assert k(float(mv[1]), 23.0, 0.0) == k(mv, 23.0, 0.0)[1]
    with pytest.raises(cc.LengthMismatchError):
        k(1.0)
    # Rectangles, and normal ones whose standard uncertainty is exact: there the two ways agree.
    exact: dict[str, U.Distribution] = {**INPUTS, "scatter": U.Normal(0.0, 0.05)}
    drawn = U.monte_carlo(MODEL, exact, trials=200_000, seed=1)
    u = U.propagate(MODEL, exact).standard_uncertainty
    # The standard deviation of 2e5 values is known to a part in (2 n)^0.5; five times that.
    assert abs(drawn.standard_uncertainty / u - 1.0) < 5.0 / 400_000**0.5
    second = U.propagate(MODEL, INPUTS, order=2)
    # A platinum curve hardly bends over a hundredth of a kelvin.
    assert math.isclose(second.standard_uncertainty, U.propagate(MODEL, INPUTS).standard_uncertainty, rel_tol=1e-6)


def test_a_reading_out_of_range_is_missing_alone() -> None:
    # The range is 18.52 to 390.48 ohm; the quadratic equation goes on beyond.
    model = U.MeasurementModel.temperature(cc.CallendarVanDusen.iec60751(), reading=["ohm"])
    found = U.propagate_points(model, {"ohm": U.PointInput([14.0, 100.0, 400.0], 0.01)}, invalid="nan")
    for column in (found.value, found.standard_uncertainty, found.expanded_uncertainty, found.contribution("ohm")):
        assert column is not None
        assert np.isnan(column).tolist() == [True, False, True]
    linear = U.MeasurementModel.linear(reading=["x"])
    found = U.propagate_points(linear, {"x": U.PointInput([1.0, 2.0], 0.1, [np.nan, 5.0])}, invalid="nan")
    assert np.isnan(found.effective_degrees_of_freedom).tolist() == [True, False]


def test_inputs_in_another_order_than_the_parameters() -> None:
    inputs: dict[str, U.Distribution] = {"current": U.Normal(1e-3, 1e-7), "voltage": U.Normal(0.1, 1e-5)}

    def resistance(voltage: float, current: float) -> float:
        return voltage / current

    for call in (U.propagate, U.monte_carlo):
        with pytest.raises(TypeError, match=r"takes \(voltage, current\).*order \(current, voltage\)"):
            call(resistance, inputs)
    # Other names, or none, are the caller's business.
    assert U.propagate(lambda a, b: b / a, inputs).value == pytest.approx(100.0, rel=1e-15)
    assert U.propagate(lambda *x: x[1] / x[0], inputs).value == pytest.approx(100.0, rel=1e-15)


def test_models_and_points_are_copied() -> None:
    assert pickle.loads(pickle.dumps(MODEL)) == MODEL
    assert hash(pickle.loads(pickle.dumps(MODEL))) == hash(MODEL)
    assert U.MeasurementModel.linear(reading=["ohm"]) != MODEL
    assert "r0" in repr(MODEL)
    one = U.PointInput([1.0, 2.0], 0.1)
    again = pickle.loads(pickle.dumps(one))
    assert np.array_equal(again.estimate, [1.0, 2.0])
    assert again.degrees_of_freedom == math.inf
    found = U.propagate_points(U.MeasurementModel.linear(reading=["x"]), {"x": one})
    copied = pickle.loads(pickle.dumps(found))
    assert np.array_equal(copied.expanded_uncertainty, found.expanded_uncertainty)
    assert copied.inputs == ("x",)
    assert "x" in repr(found)
