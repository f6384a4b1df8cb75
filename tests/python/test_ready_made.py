"""Budgets of the trade, and budgets edited by the names of their sources."""

import copy
import inspect
import math
import pickle
from collections.abc import Callable
from typing import Any

import pytest

import calcore as cc
from support import reference

U = cc.uncertainty

BLOCK: dict[str, Any] = {
    "reference_expanded_k": 0.030,
    "reference_coverage_factor": 2.0,
    "reference_drift_half_width_k": 0.04,
    "indicator_resolution_k": 0.1,
    "axial_half_width_k": 0.25,
    "radial_half_width_k": 0.10,
    "loading_half_width_k": 0.05,
    "stability_half_width_k": 0.03,
    "hysteresis_half_width_k": 0.0,
    "immersion_half_width_k": 0.0,
}
INSTRUMENT: dict[str, Any] = {
    "reference_expanded_k": 0.030,
    "reference_coverage_factor": 2.0,
    "reference_drift_half_width_k": 0.010,
    "readout_standard_k": 0.005,
    "axial_half_width_k": 0.050,
    "radial_half_width_k": 0.020,
    "loading_half_width_k": 0.020,
    "stability_half_width_k": 0.010,
    "resolution_k": 0.1,
    "scatter_k": 0.020,
    "readings": 5,
}
MAKERS = [name for name in U.__all__ if name.endswith("_budget")]


def test_block_of_the_accreditation_guide() -> None:
    # EA-4/02 M, S10 (numbers from memory): u 0.164 °C, U 0.3 °C.
    budget = U.temperature_block_budget(180.0, **BLOCK)
    assert abs(budget.standard_uncertainty - 0.164) < 0.0005
    assert abs(budget.with_coverage_of_shapes(0.95).expanded_uncertainty - 0.3) < 0.05
    assert [line.quantity for line in budget.budget][:3] == [
        "reference certificate",
        "reference drift",
        "indicator resolution",
    ]
    assert budget.value == 180.0
    assert budget.coverage_probability == 0.95
    assert U.temperature_block_budget(180.0, **BLOCK, coverage_factor=2.0).coverage_factor == 2.0


def test_thermocouple_of_the_accreditation_guide() -> None:
    # EA-4/02 M, S5 (numbers from memory): u(t) 0.641 °C, u(E) 25.0 µV, U 50 µV. C_S/C_S0 = 0.407.
    furnace = U.thermocouple_furnace_budget(
        1000.5,
        reading_standard_k=0.10,
        voltmeter_expanded_uv=2.0,
        voltmeter_coverage_factor=2.0,
        resolution_half_width_uv=0.5,
        parasitic_half_width_uv=2.0,
        hot_k_per_uv=0.077,
        junction_k_per_uv=0.077 / 0.407,
        junction_half_width_k=0.1,
        standard_expanded_k=0.3,
        standard_coverage_factor=2.0,
        drift_half_width_k=0.3,
        furnace_half_width_k=1.0,
    )
    assert abs(furnace.standard_uncertainty - 0.641) < 0.0005
    emf = U.thermocouple_emf_budget(
        36_229.0,
        reading_standard_uv=1.6,
        voltmeter_expanded_uv=2.0,
        voltmeter_coverage_factor=2.0,
        resolution_half_width_uv=0.5,
        parasitic_half_width_uv=2.0,
        cable_half_width_uv=5.0,
        furnace_standard_k=furnace.standard_uncertainty,
        hot_uv_per_k=38.5,
        junction_half_width_k=0.1,
        junction_uv_per_k=25.6,
        coverage_factor=2.0,
    )
    assert abs(emf.standard_uncertainty - 25.0) < 0.05
    assert abs(emf.expanded_uncertainty - 50.0) < 0.5
    # The emf falls when the reference junction is warmer.
    junction = emf.contribution("reference junction")
    assert junction is not None
    assert junction.sensitivity == -25.6


def test_instrument_in_a_block() -> None:
    # Computed with 80 digits; here to a few roundings.
    worked = {row["quantity"]: float(row["recomputed"]) for row in reference("budget_worked_results")}
    budget = U.instrument_in_block_budget(0.4, **INSTRUMENT, coverage_factor=2.0)
    assert abs(budget.standard_uncertainty - worked["combined_u"]) < 1e-15
    assert abs(budget.effective_degrees_of_freedom / worked["nu_eff"] - 1.0) < 1e-14
    shared = budget.part(U.SHARED_BY_INSTRUMENTS)
    assert abs(shared.standard_uncertainty - worked["common_u"]) < 1e-15
    assert shared.coverage_probability == budget.coverage_probability
    coarse = U.instrument_in_block_budget(0.4, **{**INSTRUMENT, "resolution_k": 0.5})
    assert abs(coarse.standard_uncertainty - worked["combined_u_display_step_0.5"]) < 1e-15


def test_displays_that_share_a_reference() -> None:
    # Steps of 0.1 and 0.5 K, worked by hand (JCGM 102:2011; variances in K²): shared 0.00141667, own 0.00083333 +
    # 0.00008 and 0.02083333 (no scatter in the coarse one): r = 0.19675, and 0.14747 K between the two.
    fine = U.instrument_in_block_budget(0.4, **INSTRUMENT)
    coarse = U.instrument_in_block_budget(0.4, **{**INSTRUMENT, "resolution_k": 0.5, "scatter_k": 0.0})
    covariance = U.covariance_of([fine, coarse], shared=U.SHARED_BY_INSTRUMENTS)
    assert covariance[0, 1] / math.sqrt(covariance[0, 0] * covariance[1, 1]) == pytest.approx(0.19675, abs=5e-6)
    difference = math.sqrt(covariance[0, 0] + covariance[1, 1] - 2.0 * covariance[0, 1])
    assert difference == pytest.approx(0.14747, abs=5e-6)
    with pytest.raises(cc.UnknownNameError, match="block"):
        U.covariance_of([fine, coarse], shared=["the whole block"])
    with pytest.raises(TypeError, match="not both"):
        U.covariance_of([fine, coarse], shared=["x"], correlation=[[1.0]])
    with pytest.raises(cc.UnknownNameError, match="stands there in the first budget"):
        U.covariance_of([fine.part(["axial"]), fine.part(["radial"])])


def test_lines_of_the_others_add_up() -> None:
    # Each against the squares of its lines written out by hand: 3, 4, 12 give 13; 13 and 84 give 85.
    root_3 = math.sqrt(3.0)
    bath = U.liquid_bath_budget(
        50.0,
        reference_expanded_k=6.0,
        reference_coverage_factor=2.0,
        reference_drift_half_width_k=4.0 * root_3,
        readout_standard_k=12.0,
        vertical_half_width_k=0.0,
        horizontal_half_width_k=0.0,
        stability_half_width_k=84.0 * root_3,
        immersion_half_width_k=0.0,
    )
    assert abs(bath.standard_uncertainty - 85.0) < 1e-13
    transmitter = U.transmitter_budget(
        0.1,
        input_standard_k=3.0,
        input_degrees_of_freedom=math.inf,
        span_k=-160.0,
        meter_expanded_ma=0.8,
        meter_coverage_factor=2.0,
        meter_drift_half_width_ma=0.0,
        meter_resolution_ma=0.0,
        supply_half_width_ma=1.2 * root_3,
        ambient_half_width_k=0.0,
        scatter_ma=0.0,
        readings=2,
    )
    assert abs(transmitter.standard_uncertainty - 13.0) < 1e-13


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(cc.InvalidValueError, match="axial"):
        U.temperature_block_budget(180.0, **{**BLOCK, "axial_half_width_k": -0.1})
    with pytest.raises(cc.TooFewPointsError, match="repeatability"):
        U.instrument_in_block_budget(0.4, **{**INSTRUMENT, "readings": 1})
    with pytest.raises(cc.NotFiniteError):
        U.temperature_block_budget(math.nan, **BLOCK)
    with pytest.raises(cc.OutOfRangeError):
        U.temperature_block_budget(180.0, **BLOCK, coverage=1.5)
    # Every number is stated: none has a default.
    with pytest.raises(TypeError, match="immersion_half_width_k"):
        U.temperature_block_budget(180.0, **{k: v for k, v in BLOCK.items() if k != "immersion_half_width_k"})


def test_every_maker_takes_keywords_alone_and_states_units() -> None:
    assert len(MAKERS) == 9
    for name in MAKERS:
        first, *others = inspect.signature(getattr(U, name)).parameters.values()
        assert first.kind is inspect.Parameter.POSITIONAL_OR_KEYWORD
        assert all(one.kind is inspect.Parameter.KEYWORD_ONLY for one in others)
        assert [one.name for one in others if one.default is not inspect.Parameter.empty] == [
            "coverage",
            "coverage_factor",
        ]


def test_lines_are_added_replaced_and_removed_by_name() -> None:
    lines = [U.Contribution("a", U.Normal(0.0, 3.0)), U.Contribution("b", U.Normal(0.0, 4.0))]
    budget = U.Budget.from_contributions(20.0, lines, coverage_factor=2.0)
    more = budget.with_contribution(U.Contribution("c", U.Normal(0.0, 12.0)))
    assert (more.standard_uncertainty, more.value) == (13.0, 20.0)
    # The probability stays, and with it the factor, as far as its quantile is rounded.
    assert more.coverage_probability == budget.coverage_probability
    assert abs(more.coverage_factor - 2.0) < 1e-14
    assert more.with_replaced(U.Contribution("c", U.Normal(0.0, 0.0))).standard_uncertainty == 5.0
    assert more.without("c", coverage_factor=2.0) == budget
    assert [line.quantity for line in more.part(("c", "a")).budget] == ["c", "a"]
    assert more.part(["a"], coverage=0.99).coverage_probability == 0.99
    assert budget.contribution("z") is None
    assert budget.contribution("b") == budget.budget[1]
    # The budget itself does not change.
    assert budget.standard_uncertainty == 5.0


def test_edits_that_cannot_be_are_refused() -> None:
    lines = [U.Contribution("a", U.Normal(0.0, 3.0)), U.Contribution("b", U.Normal(0.0, 4.0))]
    budget = U.Budget.from_contributions(20.0, lines)
    with pytest.raises(cc.UnknownNameError, match="replace the line"):
        budget.with_contribution(lines[0])
    edits: list[Callable[[], U.Budget]] = [
        lambda: budget.without("z"),
        lambda: budget.part(["a", "z"]),
        lambda: budget.with_replaced(U.Contribution("z", U.Normal(0.0, 1.0))),
    ]
    for edit in edits:
        with pytest.raises(cc.UnknownNameError, match="a, b"):
            edit()
    correlated = U.Budget.from_contributions(0.0, lines, correlation=[[1.0, 0.5], [0.5, 1.0]])
    with pytest.raises(cc.InvalidValueError, match="correlated"):
        correlated.without("a")


def test_budgets_are_copied_and_pickled() -> None:
    budget = U.temperature_block_budget(180.0, **BLOCK)
    part = budget.part(["axial", "radial"])
    for one in (budget, part, budget.without("axial")):
        assert pickle.loads(pickle.dumps(one)) == one
        assert copy.deepcopy(one) == one
