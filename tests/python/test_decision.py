"""Decisions on conformity."""

import math
import pickle
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import reference

D = cc.decision
U = cc.uncertainty
decide = D.decide


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
        decide(0.0, 0.1, upper=1.0, rule="hopeful")  # type: ignore[call-overload]
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


def test_risks_of_the_computed_tables() -> None:
    # 30-digit quadrature (tests/oracle/risk.py): 1e-12 of each probability, and what the sum of four rounds.
    kinds: dict[str, Any] = {
        "normal": U.Normal,
        "student_t": U.StudentT,
        "rectangular": U.Rectangular,
        "triangular": U.Triangular,
        "trapezoidal": U.Trapezoidal,
        "u_shaped": U.UShaped,
        "exponential": U.Exponential,
        "gamma": U.Gamma,
    }

    def parts(row: dict[str, str], kind: str) -> tuple[Any, tuple[float | None, float | None]]:
        state = kinds[row[kind]](*(float(row[p]) for p in ("p1", "p2", "p3") if row[p]))
        return state, (float(row["lower"]) if row["lower"] else None, float(row["upper"]) if row["upper"] else None)

    rows = reference("risk_oracle")
    assert len(rows) > 50
    for row in rows:
        process, limits = parts(row, "process")
        risk = D.risk(limits, process, float(row["u"]), float(row["guard_band"]))
        for name in ("true_accept", "false_accept", "false_reject", "true_reject"):
            assert getattr(risk, name) == pytest.approx(float(row[name]), rel=1e-12, abs=1e-15), (row, name)
    rows = reference("conformity_oracle")
    assert len(rows) > 30
    for row in rows:
        state, (lower, upper) = parts(row, "state")
        inside, outside = D.conformity(state, lower=lower, upper=upper)
        assert inside == pytest.approx(float(row["inside"]), rel=1e-12, abs=1e-15), row
        assert outside == pytest.approx(float(row["outside"]), rel=1e-12, abs=1e-15), row


def test_a_normal_process_by_its_standard_deviation() -> None:
    std = D.process_std_from_in_tolerance(1.0, 0.95)
    risk = D.risk(1.0, std, 0.125)
    assert risk == D.risk((-1.0, 1.0), U.Normal(0.0, std), 0.125)
    # ISO 3534 quantile: 95 % within 1.959963984540054 (mpmath).
    assert std == pytest.approx(1 / 1.959963984540054, rel=1e-15)
    assert (risk.false_accept, risk.false_reject) == pytest.approx(
        (0.0085826648089231246, 0.0155365130306379846), rel=1e-12
    )
    shifted = D.risk((99.0, 101.0), std, 0.125)
    assert shifted.false_accept == pytest.approx(risk.false_accept, rel=1e-11)
    assert D.risk((None, 1.0), std, 0.125, process_mean=0.0).in_tolerance == pytest.approx(0.975, rel=1e-14)
    assert pickle.loads(pickle.dumps(risk)) == risk
    assert "false accept" in repr(risk)
    assert "rejected" in risk._repr_html_()


def test_the_conventions_are_named_and_differ() -> None:
    # tests/reference/decision_rules.csv, TUR 2: 1.34 % for true, 0.74 % for observed in-tolerance probability.
    of_true = D.risk(1.0, D.process_std_from_in_tolerance(1.0, 0.95), 0.25)
    std = D.process_std_from_in_tolerance(1.0, 0.95, convention="observed", u=0.25)
    of_observed = D.risk(1.0, std, 0.25)
    assert of_true.false_accept == pytest.approx(0.0133734, abs=5e-8)
    assert of_observed.false_accept == pytest.approx(0.0073661, abs=5e-8)
    assert of_observed.accepted == pytest.approx(0.95, rel=1e-14)
    assert of_true.in_tolerance == pytest.approx(0.95, rel=1e-14)
    assert of_true.false_accept_given_accepted == of_true.false_accept / of_true.accepted


def test_guard_bands_for_a_risk() -> None:
    w = D.guard_band_for_specific_risk((None, 1.0), 0.1, 0.05)
    assert w == decide(0.0, 0.1, upper=1.0, rule="guarded_acceptance", risk=0.05).guard_band
    assert D.guard_band_for_specific_risk((None, 1.0), 0.1, 0.05, degrees_of_freedom=4.0) > w
    # The acceptance factors of an exact 2 % (tests/reference/decision_rules.csv).
    for ratio, probability, factor in ((2.0, 0.95, 1.1053897727800534), (3.0, 0.85, 0.98778788477907168)):
        std = D.process_std_from_in_tolerance(1.0, probability)
        w = D.guard_band_for_global_risk(1.0, std, 0.5 / ratio, 0.02, relax=True)
        assert 1.0 - w == pytest.approx(factor, abs=1e-10)
        assert D.guard_band_for_global_risk(1.0, std, 0.5 / ratio) == max(w, 0.0)
    given = D.guard_band_for_global_risk(1.0, 0.6, 0.2, 0.01, convention="given_accepted")
    assert D.risk(1.0, 0.6, 0.2, given).false_accept_given_accepted == pytest.approx(0.01, rel=1e-11)
    assert D.guard_band_method_6(1.0, 0.25) == D.method_6_multiplier(4.0) * 0.25
    assert D.guard_band_method_6(1.0, 0.1) == 0.0
    # 3-4-5.
    assert D.guard_band_root_difference((0.0, 10.0), 3.0) == pytest.approx(1.0, rel=1e-15)


def test_e_numbers() -> None:
    points = {(row["case"], row["quantity"]): float(row["value"]) for row in reference("en_numbers_points")}
    for row in reference("en_numbers"):
        x, u, ref, u_ref = (
            points[row["case"], name] for name in ("x", "expanded_x", "reference", "expanded_reference")
        )
        assert D.e_n(x, u, ref, u_ref) == pytest.approx(float(row["recomputed"]), abs=1e-12)
    # 0.0013 - 2 * 0.000225: u 0.03 and 0.02 share 0.015.
    assert D.e_n(0.12, 0.06, 0.05, 0.04, correlation=0.375) == pytest.approx(0.07 / (2 * math.sqrt(0.00085)), rel=1e-14)
    assert D.test_uncertainty_ratio((-1.0, 3.0), 0.5) == D.measurement_capability_index((-1.0, 3.0), 0.25) == 4.0
    assert D.test_accuracy_ratio(1.0, 0.25) == 4.0


RULES = ["simple", "guarded_acceptance", "guarded_rejection", "proof_of_conformity", "four_state"]


@pytest.mark.parametrize("rule", RULES)
def test_arrays_are_decided_as_their_elements(rule: Any) -> None:
    # Errors of an element of class B (IEC 60751:2022, 5.2.1: 0.3 + 0.005 |t|) at five set points, two uncertainties.
    t_c = np.array([-50.0, 0.0, 100.0, 200.0, 400.0])
    tolerance = cc.tolerance.iec60751("B", t_c)
    error, u = np.array([0.1, -0.31, 0.79, -1.9, 2.4]), np.array([[0.01], [0.1]])
    found = decide(error, u, lower=-tolerance, upper=tolerance, rule=rule)
    assert found.verdict.shape == found.guard_band.shape == (2, 5)
    assert found.rule == rule
    limits = [limit for limit in found.acceptance_limits + found.tolerance_limits if limit is not None]
    assert len(limits) == 4
    for i, j in np.ndindex(2, 5):
        one = decide(float(error[j]), float(u[i, 0]), lower=-float(tolerance[j]), upper=float(tolerance[j]), rule=rule)
        assert found.verdict[i, j] == one.verdict
        assert found.probability_of_conformity[i, j] == one.probability_of_conformity
        assert found.probability_of_nonconformity[i, j] == one.probability_of_nonconformity
        assert found.guard_band[i, j] == one.guard_band
        assert [float(limit[i, j]) for limit in limits] == [*one.acceptance_limits, *one.tolerance_limits]
    at = D.probability_of_conformity(error, u, lower=-tolerance, upper=tolerance)
    assert np.array_equal(at, found.probability_of_conformity)


def test_a_guard_band_without_a_rule_is_refused() -> None:
    for given in ({"guard_band": 0.2}, {"risk": 0.01}, {"multiple": 3.0}):
        with pytest.raises(TypeError, match='"simple" has no guard band'):
            decide(0.95, 0.1, upper=1.0, **given)  # type: ignore[call-overload]
        assert decide(0.95, 0.1, upper=1.0, rule="guarded_acceptance", **given).verdict == "fail"
    # The coverage factor belongs to the uncertainty, whatever the rule.
    assert decide(0.95, 0.1, upper=1.0, coverage_factor=2.0).verdict == "pass"
    with pytest.raises(TypeError, match="do not go with"):
        decide(0.95, 0.1, upper=1.0, rule="four_state", risk=0.01, multiple=2.0)


def test_arrays_of_verdicts() -> None:
    found = decide([0.1, 0.6], 0.1, upper=0.5)
    assert found.verdict.tolist() == ["pass", "fail"]
    assert found.acceptance_limits[0] is None
    assert found.tolerance_limits[1] is not None
    assert found.tolerance_limits[1].tolist() == [0.5, 0.5]
    assert repr(found) == "Decisions(shape (2,), rule simple)"
    assert list(found.columns()) == [
        "verdict",
        "probability_of_conformity",
        "probability_of_nonconformity",
        "guard_band",
        "upper_acceptance_limit",
        "upper_tolerance_limit",
    ]
    again = pickle.loads(pickle.dumps(found))
    assert again.verdict.tolist() == ["pass", "fail"]
    assert np.array_equal(again.probability_of_conformity, found.probability_of_conformity)
    assert again.tolerance_limits[0] is None
    assert decide([], 0.1, upper=0.5).verdict.shape == (0,)
    # A limit for each point makes arrays too.
    assert decide(0.4, 0.1, upper=[0.3, 0.5]).verdict.tolist() == ["fail", "pass"]


def test_what_arrays_of_decisions_refuse() -> None:
    with pytest.raises(cc.InvalidValueError, match=r"-0\.1") as refused:
        decide([0.1, 0.2, 0.3], [0.1, -0.1, -0.2], upper=0.5)
    assert (refused.value.index, refused.value.count) == (1, 2)
    with pytest.raises(cc.NotFiniteError, match="element 1") as missing:
        decide([0.1, math.nan], 0.1, upper=0.5)
    assert missing.value.index == 1
    with pytest.raises(cc.TooFewPointsError):
        decide([0.1, 0.2], 0.1)
    with pytest.raises(cc.InvalidValueError):
        decide([0.1, 0.2], 0.1, lower=[0.0, 1.0], upper=0.5)
    with pytest.raises(ValueError, match="shape"):
        decide([0.1, 0.2], [0.1, 0.1, 0.1], upper=0.5)
    with pytest.raises(TypeError, match="value"):
        decide("wide", 0.1, upper=0.5)


def test_ratios_of_arrays() -> None:
    tolerance, expanded = np.array([0.3, 0.8, 1.3]), np.array([0.1, 0.1, 0.26])
    for function in (D.test_uncertainty_ratio, D.test_accuracy_ratio, D.measurement_capability_index):
        for width in (tolerance, 1.0, (-0.5, 1.5)):
            found = function(width, expanded)
            for i in range(3):
                one = float(width[i]) if isinstance(width, np.ndarray) else width
                assert found[i] == function(one, float(expanded[i]))
    for guard_band in (D.guard_band_method_6, D.guard_band_root_difference):
        found = guard_band(tolerance, 0.25)
        assert [guard_band(float(t), 0.25) for t in tolerance] == found.tolist()
    found = D.e_n([0.12, 0.05], 0.06, [0.05, 0.05], 0.04, correlation=[0.375, 0.0])
    assert found.tolist() == [D.e_n(0.12, 0.06, 0.05, 0.04, correlation=0.375), 0.0]
    with pytest.raises(cc.InvalidValueError) as refused:
        D.test_uncertainty_ratio(np.array([0.3, -0.3]), 0.1)
    assert refused.value.index == 1
    with pytest.raises(cc.OutOfRangeError, match="element 1"):
        D.e_n(0.1, 0.1, 0.0, 0.1, correlation=[0.0, 2.0])


def test_what_risks_refuse() -> None:
    with pytest.raises(cc.InvalidValueError):
        D.risk(1.0, -0.5, 0.1)
    with pytest.raises(cc.InvalidValueError):
        D.risk((1.0, -1.0), 0.5, 0.1)
    with pytest.raises(TypeError, match="process_mean"):
        D.risk((None, 1.0), 0.5, 0.1)
    with pytest.raises(TypeError, match="its own"):
        D.risk(1.0, U.Normal(0.0, 0.5), 0.1, process_mean=0.0)
    with pytest.raises(TypeError, match="half its width"):
        D.risk("wide", 0.5, 0.1)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="observed"):
        D.process_std_from_in_tolerance(1.0, 0.95, u=0.1)
    with pytest.raises(cc.UnknownNameError):
        D.process_std_from_in_tolerance(1.0, 0.95, convention="felt")  # type: ignore[arg-type]
    with pytest.raises(cc.OutOfRangeError):
        D.process_std_from_in_tolerance(1.0, 1.0)
    with pytest.raises(cc.UndeterminedError):
        D.test_uncertainty_ratio((None, 1.0), 0.1)  # type: ignore[arg-type]
    with pytest.raises(cc.UnknownNameError):
        D.guard_band_for_global_risk(1.0, 0.6, 0.2, convention="both")  # type: ignore[arg-type]
    with pytest.raises(cc.UndeterminedError):
        D.guard_band_for_specific_risk(1.0, 2.0, 0.01)
