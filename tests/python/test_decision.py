"""Decisions on conformity."""

import math
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import reference

decide = cc.decision.decide


@pytest.mark.parametrize(
    ("value", "rule", "verdict"),
    [
        (0.4, "simple", "pass"),
        (0.6, "simple", "fail"),
        (0.25, "guarded_acceptance", "pass"),
        (0.4, "guarded_acceptance", "fail"),
        (0.6, "guarded_rejection", "no_fail"),
        (0.8, "guarded_rejection", "fail"),
        (0.2, "proof_of_conformity", "pass"),
        (0.4, "proof_of_conformity", "no_pass"),
        (0.2, "four_state", "pass"),
        (0.4, "four_state", "conditional_pass"),
        (0.6, "four_state", "conditional_fail"),
        (0.8, "four_state", "fail"),
    ],
)
def test_rules(value: float, rule: Any, verdict: str) -> None:
    # ILAC-G8:09/2019, 4.2: tolerance 0.5, guard band U = 2 u = 0.2.
    for sign in (1.0, -1.0):
        assert decide(sign * value, 0.1, lower=-0.5, upper=0.5, rule=rule).verdict == verdict


def test_probabilities_of_the_published_examples() -> None:
    published = {row["case"]: row for row in reference("jcgm106") if row["quantity"] == "p_c"}
    points = {(row["case"], row["quantity"]): row["value"] for row in reference("jcgm106_points")}
    assert published
    for case, row in published.items():
        given = {quantity: float(value) for (name, quantity), value in points.items() if name == case}
        value, u, lower, upper = given["y"], given["u"], given.get("t_l"), given.get("t_u")
        got = cc.decision.probability_of_conformity(value, u, lower=lower, upper=upper)
        assert got == pytest.approx(float(row["recomputed"]), rel=1e-12), case
        assert got == decide(value, u, lower=lower, upper=upper).probability_of_conformity


def test_guard_bands() -> None:
    # ISO 14253-1: 5 % one-sided is 1.645 u.
    by_risk = decide(0.0, 0.1, upper=0.5, rule="guarded_acceptance", risk=0.05)
    assert by_risk.guard_band == pytest.approx(0.16448536, abs=5e-9)
    assert by_risk.acceptance_limits == (None, 0.5 - by_risk.guard_band)
    by_width = decide(0.0, 0.1, lower=-1.0, upper=0.5, rule="four_state", guard_band=0.125)
    assert by_width.acceptance_limits == (-0.875, 0.375)
    assert by_width.tolerance_limits == (-1.0, 0.5)
    by_factor = decide(0.0, 0.1, upper=0.5, rule="guarded_acceptance", multiple=0.5, coverage_factor=3.0)
    assert by_factor.guard_band == pytest.approx(0.15, rel=1e-15)
    assert decide(0.0, 0.1, upper=0.5).guard_band == 0.0


def test_what_a_decision_refuses() -> None:
    with pytest.raises(cc.TooFewPointsError):
        decide(0.0, 0.1)
    with pytest.raises(cc.InvalidValueError):
        decide(0.0, -0.1, upper=1.0)
    with pytest.raises(cc.InvalidValueError):
        decide(0.0, 0.1, lower=1.0, upper=-1.0)
    with pytest.raises(cc.UnknownNameError):
        decide(0.0, 0.1, upper=1.0, rule="hopeful")  # type: ignore[arg-type]
    with pytest.raises(cc.NotFiniteError):
        decide(math.nan, 0.1, upper=1.0)
    with pytest.raises(TypeError, match="not both"):
        decide(0.0, 0.1, upper=1.0, risk=0.05, guard_band=0.1)


def test_arrays_and_presentation() -> None:
    p = cc.decision.probability_of_conformity(np.array([[0.0], [1.0]]), [0.5, 0.25], upper=1.0)
    assert p.shape == (2, 2)
    assert p[1].tolist() == [0.5, 0.5]
    decision = decide(0.4, 0.1, lower=-0.5, upper=0.5)
    assert "verdict" in decision._repr_html_()
    assert repr(decision).startswith("Decision(pass, rule simple")
