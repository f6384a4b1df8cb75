"""Python gives the bits that Rust gives.

The vectors are what the example `parity_vectors` of the core writes to target/parity: each line the arguments and the
results of one call, as the hexadecimal digits of their bits.
"""

import inspect
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import ROOT, Array, same_bits

PARITY = ROOT / "target" / "parity"
U = cc.uncertainty


def vectors(name: str) -> Array:
    """Rows of a file, bit for bit."""
    words = [[int(word, 16) for word in line.split()] for line in (PARITY / f"{name}.txt").read_text().splitlines()]
    return np.array(words, dtype=np.uint64).view(np.float64)


def each(rows: Array, results: int, function: Callable[..., object]) -> None:
    """Calls a function with the arguments of every row and compares what it returns."""
    got = np.array([function(*row[:-results]) for row in rows.tolist()], dtype=np.float64).reshape(-1, results)
    assert same_bits(got, rows[:, -results:])


PT100 = cc.CallendarVanDusen.iec60751()


@pytest.mark.parametrize("name", ["resistance", "slope", "temperature"])
def test_iec60751(name: str) -> None:
    x, want = vectors(f"iec60751_{name}").T
    method = getattr(PT100, name)
    x = np.ascontiguousarray(x)
    assert same_bits(method(x), want)
    assert same_bits([method(value) for value in x.tolist()], want)
    assert same_bits(method(x.reshape(100, -1)[:, ::2]), want.reshape(100, -1)[:, ::2])


def test_curves_of_any_coefficients() -> None:
    each(vectors("cvd_resistance"), 1, lambda r0, a, b, c, t: cc.CallendarVanDusen(r0, a, b, c).resistance(t))
    each(vectors("cvd_temperature"), 1, lambda r0, a, b, c, r: cc.CallendarVanDusen(r0, a, b, c).temperature(r))


def test_thermocouples() -> None:
    k = cc.Thermocouple("K")
    for name, method in (("emf", k.emf), ("temperature", k.temperature)):
        x, junction_c, want = (np.ascontiguousarray(column) for column in vectors(f"thermocouple_K_{name}").T)
        assert same_bits(method(x, junction_c), want)
        assert same_bits([method(*pair) for pair in zip(x.tolist(), junction_c.tolist(), strict=True)], want)
    letters: list[Any] = list("BCEJKNRSTA")
    curves = [cc.Thermocouple(letter) for letter in letters]

    def values(place: float, t_c: float, junction_c: float) -> tuple[float, float, float]:
        curve = curves[int(place)]
        mv = curve.emf(t_c, junction_c)
        return mv, curve.slope(t_c), curve.temperature(mv, junction_c)

    each(vectors("thermocouples"), 3, values)


def test_fahrenheit() -> None:
    t_c, t_f, back_c = vectors("fahrenheit").T
    assert same_bits(cc.temperature.fahrenheit_from_celsius(t_c), t_f)
    assert same_bits(cc.temperature.from_celsius(t_c, "degF"), t_f)
    assert same_bits(cc.temperature.celsius_from_fahrenheit(t_f), back_c)


def test_current_loop() -> None:
    def both(low: float, high: float, t_c: float) -> tuple[float, float]:
        current_loop = cc.circuit.CurrentLoop(low, high)
        ma = current_loop.current(t_c)
        return ma, current_loop.value(ma)

    each(vectors("current_loop"), 2, both)


def test_tolerance() -> None:
    t_c, want = vectors("tolerance_a_wire_wound").T
    assert same_bits(cc.tolerance.iec60751("A", t_c), want)


def test_steady() -> None:
    time_s = np.arange(0.0, 100.0, 10.0)

    def state(*values: float) -> tuple[float, float, float]:
        found = cc.settling.steady(time_s, values, window_s=60.0, max_span=0.05, max_slope_per_min=0.01)
        return found.span, found.slope_per_min, found.standard_uncertainty

    each(vectors("steady"), 3, state)


def test_coverage() -> None:
    p, nu, want = vectors("coverage_factor").T
    assert same_bits(U.coverage_factor(p, nu), want)
    each(vectors("welch_satterthwaite"), 1, lambda *x: U.welch_satterthwaite(x[::2], x[1::2]))


def test_decision() -> None:
    def decide(value: float, u: float, lower: float, upper: float, width: float) -> tuple[float, float, float]:
        made = cc.decision.decide(value, u, lower=lower, upper=upper, rule="guarded_acceptance", guard_band=width)
        accepted_lower, accepted_upper = made.acceptance_limits
        assert accepted_lower is not None
        assert accepted_upper is not None
        return made.probability_of_conformity, accepted_lower, accepted_upper

    each(vectors("decide_guarded"), 3, decide)


def test_risks() -> None:
    def risk(mean: float, std: float, u: float, lower: float, upper: float, w: float) -> tuple[float, float, float]:
        found = cc.decision.risk((lower, upper), std, u, w, process_mean=mean)
        return found.false_accept, found.false_reject, found.true_reject

    def flat(low: float, high: float, u: float, lower: float, upper: float) -> tuple[float, float]:
        found = cc.decision.risk((lower, upper), U.Rectangular(low, high), u)
        return found.false_accept, found.false_reject

    each(vectors("risk"), 3, risk)
    each(vectors("risk_rectangular"), 2, flat)
    each(vectors("guard_band_2_percent"), 1, lambda std, u: cc.decision.guard_band_for_global_risk(1.0, std, u))
    each(
        vectors("guard_band_specific"),
        1,
        lambda u, nu, risk: cc.decision.guard_band_for_specific_risk(1.0, u, risk, degrees_of_freedom=nu),
    )


def test_propagation() -> None:
    def result(x: float, y: float, z: float, *u: float) -> tuple[float, float, float]:
        inputs: dict[str, U.Distribution] = {
            "x": U.Normal(x, u[0]),
            "y": U.Normal(y, u[1]),
            "z": U.Normal(z, u[2]),
        }
        budget = U.propagate(lambda x, y, z: x * y + z, inputs)
        return budget.value, budget.standard_uncertainty, budget.expanded_uncertainty

    each(vectors("propagate"), 3, result)


def test_monte_carlo() -> None:
    def result(mean: float, scale: float, half: float, seed: float) -> tuple[float, ...]:
        inputs: dict[str, U.Distribution] = {
            "x": U.StudentT(mean, scale, 5.0),
            "y": U.StudentT(0.0, scale, 5.0),
            "z": U.Rectangular(-half, half),
        }
        found = U.monte_carlo(
            lambda x, y, z: x + y + z,
            inputs,
            correlation=[[1.0, 0.4, 0.0], [0.4, 1.0, 0.0], [0.0, 0.0, 1.0]],
            trials=5000,
            seed=int(seed),
            threads=2,
            histogram_classes=4,
            multivariate_t=[["x", "y"]],
        )
        assert found.histogram is not None
        low, high, counts = found.histogram
        ends = (*found.interval, *found.interval_symmetric, low, high)
        return (found.mean, found.standard_uncertainty, *ends, *map(float, counts))

    each(vectors("monte_carlo"), 12, result)


def test_measurement_models() -> None:
    model = U.MeasurementModel.temperature(PT100, reading=["ohm"], divisor={"r0": 0.01}, result=["axial"])

    def result(ohm: float, u: float, nu: float, r0: float, u_r0: float, half: float) -> tuple[float, ...]:
        inputs: dict[str, U.Distribution] = {
            "ohm": U.Normal(ohm, u, nu),
            "r0": U.Normal(r0, u_r0),
            "axial": U.Rectangular(-half, half),
        }
        b = U.propagate(model, inputs)
        numbers = (b.value, b.standard_uncertainty, b.effective_degrees_of_freedom, b.coverage_factor)
        return *numbers, b.expanded_uncertainty, *(line.contribution for line in b.budget)

    rows = vectors("measurement_model")
    each(rows, 8, result)
    ohm, u, nu, r0, u_r0, half, *want = (np.ascontiguousarray(column) for column in rows.T)
    u_axial = np.array([U.Rectangular(-a, a).standard_uncertainty for a in half.tolist()])
    found = U.propagate_points(
        model,
        {"ohm": U.PointInput(ohm, u, nu), "r0": U.PointInput(r0, u_r0), "axial": U.PointInput(0.0, u_axial)},
    )
    assert found.contributions is not None
    many = (
        found.value,
        found.standard_uncertainty,
        found.effective_degrees_of_freedom,
        found.coverage_factor,
        found.expanded_uncertainty,
        *found.contributions,
    )
    for got, expected in zip(many, want, strict=True):
        assert same_bits(got, expected)


def test_ready_made_budgets() -> None:
    def block(t_c: float, *stated: float) -> tuple[float, float]:
        numbers: dict[str, Any] = dict(zip(fields(U.temperature_block_budget), stated, strict=True))
        budget = U.temperature_block_budget(t_c, **numbers)
        return budget.standard_uncertainty, budget.expanded_uncertainty

    def comparison(ohm: float, *stated: float) -> tuple[float, float, float]:
        numbers: dict[str, Any] = dict(zip(fields(U.rtd_comparison_budget), (*stated, 5), strict=True))
        budget = U.rtd_comparison_budget(ohm, **numbers)
        return budget.standard_uncertainty, budget.effective_degrees_of_freedom, budget.expanded_uncertainty

    each(vectors("temperature_block"), 2, block)
    each(vectors("rtd_comparison"), 3, comparison)


def fields(function: Callable[..., object]) -> list[str]:
    """The keywords of a ready-made budget that state numbers, in their order."""
    return [name for name in list(inspect.signature(function).parameters)[1:] if not name.startswith("coverage")]


def test_edited_budgets() -> None:
    def expanded(u: float, freedom: float, b: float, c: float, sensitivity: float) -> tuple[float, ...]:
        a = U.Contribution("a", U.Normal(0.0, u, freedom))
        narrow = U.Budget.from_contributions(0.0, [a, U.Contribution("b", U.Rectangular(-b, b))])
        whole = narrow.with_contribution(U.Contribution("c", U.Rectangular(-c, c), sensitivity))
        budgets = [whole, whole.without("a"), whole.part(["c", "a"]), whole.with_coverage_of_shapes(0.95)]
        return tuple(budget.expanded_uncertainty for budget in budgets)

    each(vectors("budget_edited"), 4, expanded)


def test_fit() -> None:
    def coefficients(*row: float) -> tuple[float, float, float, float]:
        fit = cc.fit.callendar_van_dusen(row[:7], row[7:], u_t=0.01, u_ohm=0.001, fixed={"c": -4.183e-12})
        assert fit.covariance is not None
        return fit.curve.r0, fit.curve.a, fit.curve.b, math.sqrt(fit.covariance[0, 0])

    each(vectors("fit_cvd"), 4, coefficients)


def test_batch_of_fits() -> None:
    def both(*row: float) -> list[float]:
        fits = cc.fit.callendar_van_dusen_batch(row[:4], np.array(row[4:]).reshape(2, 4), u_t=0.01, u_ohm=0.001)
        return [value for sensor in (0, 1) for value in (fits.r0[sensor], fits.a[sensor], fits.b[sensor])]

    each(vectors("fit_batch"), 6, both)


def test_deviation() -> None:
    def found(*row: float) -> tuple[float, float, float]:
        fit = cc.fit.thermocouple_deviation("K", row[:4], row[4:8], 2, u_mv=0.002)
        return fit.coefficients[-2], fit.coefficients[-1], fit.curve.temperature(row[8])

    each(vectors("fit_deviation"), 3, found)


TIMES_S = [10.0 * i for i in range(10)]


def test_settled() -> None:
    def state(*value: float) -> tuple[float, float, float, float]:
        found = cc.settling.settled(TIMES_S, value, window_s=60.0, max_slope_per_min=0.01, max_scatter=0.02)
        assert found.trend is not None
        trend = found.trend
        return trend.slope_per_min, trend.u_slope_per_min, found.slope_bound_per_min, found.standard_uncertainty

    each(vectors("settled"), 4, state)


def test_reference_at() -> None:
    def moved(*row: float) -> tuple[float, float]:
        found = cc.settling.reference_at(TIMES_S, row[:10], row[10], max_extrapolation_s=10.0)
        return found.value, found.standard_uncertainty

    each(vectors("reference_at"), 2, moved)


def test_whole_run() -> None:
    text = (ROOT / "tests" / "data" / "jacket_loop_as_found.json").read_text("utf-8")
    want = (PARITY / "run_result.json").read_text("utf-8")
    assert cc.loop_calibration.Run.from_json(text).evaluate().to_json() == want.rstrip("\n")


def test_linearization() -> None:
    lin = cc.linearization
    x = [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]

    def straight(*y: float) -> tuple[float | None, ...]:
        independent, zero, terminal = (
            lin.conformity(x, y, basis=basis, u=[0.1] * 6) for basis in ("independent", "zero", "terminal")
        )
        return independent.largest, independent.standard_uncertainty, zero.largest, terminal.largest

    each(vectors("linearity"), 4, straight)
    k = cc.Thermocouple("K")

    def looked_up(low_c: float, high_c: float, t_c: float) -> tuple[float, float]:
        table = lin.lookup_table(PT100, low_c, high_c, segments=8)
        return table.largest_error, table.evaluate(PT100.resistance(t_c))

    def polynomial(low_c: float, high_c: float, t_c: float) -> tuple[float, float]:
        found = lin.minimax(k, low_c, high_c, degree=4)
        return found.largest_error, found.evaluate(k.emf(t_c))

    each(vectors("lookup_table"), 2, looked_up)
    each(vectors("minimax"), 2, polynomial)


def test_no_vector_is_left_out() -> None:
    replayed = {
        "coverage_factor",
        "current_loop",
        "cvd_resistance",
        "cvd_temperature",
        "decide_guarded",
        "fahrenheit",
        "fit_batch",
        "fit_cvd",
        "fit_deviation",
        "guard_band_2_percent",
        "guard_band_specific",
        "iec60751_resistance",
        "iec60751_slope",
        "iec60751_temperature",
        "linearity",
        "lookup_table",
        "measurement_model",
        "minimax",
        "monte_carlo",
        "propagate",
        "budget_edited",
        "reference_at",
        "risk",
        "risk_rectangular",
        "rtd_comparison",
        "settled",
        "steady",
        "temperature_block",
        "thermocouple_K_emf",
        "thermocouple_K_temperature",
        "thermocouples",
        "tolerance_a_wire_wound",
        "welch_satterthwaite",
    }
    assert {path.stem for path in PARITY.glob("*.txt")} == replayed
