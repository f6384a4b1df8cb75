"""Fits against solutions of other people and of multiple-precision arithmetic."""

import math
import pickle
import threading

import numpy as np
import pytest

import calcore as cc
from support import Array, columns, reference


def values(name: str, case: str) -> dict[str, float]:
    return {row["quantity"]: float(row["value"]) for row in reference(name) if row["case"] == case}


def points(case: str) -> tuple[Array, Array, Array]:
    rows = [row for row in reference("cvd_fit_synthetic_points") if row["case"] == case]
    t_c, ohm, u_ohm = (np.array([float(row[key]) for row in rows]) for key in ("t_c", "ohm", "u_ohm"))
    return t_c, ohm, u_ohm


def test_callendar_van_dusen_equals_the_exact_solution() -> None:
    t_c, ohm, u_ohm = points("with_c")
    want = values("cvd_fit_synthetic", "with_c")
    fit = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=u_ohm)
    # The whole problem is solved to a relative 1e-12 of each coefficient: condition 30, rounding 1e-16, and margin.
    for name in ("r0", "a", "b", "c"):
        assert math.isclose(getattr(fit.curve, name), want[name], rel_tol=1e-11)
    assert fit.covariance is not None
    assert fit.covariance.shape == (4, 4)
    for i in range(4):
        for j in range(4):
            assert math.isclose(fit.covariance[i, j], want[f"covariance_{i}_{j}"], rel_tol=1e-9)
    assert fit.chi_squared is not None
    # A residual of 1e-4 ohm keeps the rounding of 254 ohm, 3e-14.
    assert math.isclose(fit.chi_squared, want["chi_squared"], rel_tol=1e-8)
    assert fit.degrees_of_freedom == want["degrees_of_freedom"]
    residuals = [want[f"standardised_residual_{i}"] for i in range(len(t_c))]
    np.testing.assert_allclose(fit.residuals_ohm / u_ohm, residuals, rtol=0, atol=1e-9)
    assert fit.covariance_basis == "stated"
    assert fit.held == (False, False, False, False)
    assert fit.warnings == []


def test_a_coefficient_that_the_points_do_not_determine_is_held() -> None:
    t_c, ohm, u_ohm = points("without_c")
    want = values("cvd_fit_synthetic", "without_c")
    fit = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=u_ohm)
    for name in ("r0", "a", "b"):
        assert math.isclose(getattr(fit.curve, name), want[name], rel_tol=1e-11)
    assert fit.held == (False, False, False, True)
    assert fit.covariance is not None
    assert not fit.covariance[3].any()
    assert "c_held_at_standard" in [notice.code for notice in fit.warnings]


def test_options_of_the_fit() -> None:
    t_c, ohm, u_ohm = points("with_c")
    plain = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=u_ohm)
    by_matrix = cc.fit.callendar_van_dusen(t_c, ohm, covariance_ohm=np.diag(u_ohm**2))
    assert math.isclose(by_matrix.curve.r0, plain.curve.r0, rel_tol=1e-12)
    shared = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=u_ohm, u_t_common=0.01)
    # An error of 10 mK that all temperatures share is in every temperature that the curve reads.
    np.testing.assert_allclose(
        np.sqrt(shared.temperature_uncertainty(t_c) ** 2 - plain.temperature_uncertainty(t_c) ** 2), 0.01, rtol=0.05
    )
    held = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=0.001, fixed={"c": -4.183e-12, "r0": 100.0})
    assert held.held == (True, False, False, True)
    assert (held.curve.r0, held.curve.c) == (100.0, -4.183e-12)
    nothing = cc.fit.callendar_van_dusen(t_c, ohm)
    assert nothing.chi_squared is None
    assert nothing.covariance_basis == "residuals"
    assert cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=1.0, covariance_basis="residuals").covariance is not None


def test_what_a_fit_refuses() -> None:
    t_c, ohm, _ = points("with_c")
    fit = cc.fit.callendar_van_dusen
    with pytest.raises(cc.LengthMismatchError) as length:
        fit(t_c, ohm[:-1])
    assert (length.value.expected, length.value.found) == (12, 11)
    with pytest.raises(cc.LengthMismatchError):
        fit(t_c, ohm, covariance_ohm=np.eye(3))
    with pytest.raises(cc.NotPositiveDefiniteError) as matrix:
        fit(t_c, ohm, covariance_ohm=np.ones((12, 12)) - 2 * np.eye(12))
    assert matrix.value.row is not None
    with pytest.raises(cc.TooFewPointsError) as few:
        fit([-10.0, 0.0], [96.0, 100.0])
    assert (few.value.needed, few.value.found) == (4, 2)
    with pytest.raises(cc.UnknownNameError, match="coefficient"):
        fit(t_c, ohm, fixed={"d": 0.0})
    with pytest.raises(cc.NotFiniteError) as nan:
        fit([0.0, math.nan, 2.0, 3.0], [1.0, 2.0, 3.0, 4.0])
    assert nan.value.index == 1
    with pytest.raises(cc.UndeterminedError):
        fit([0.0, 100.0, 200.0], [100.0, 138.5, 175.9]).temperature_uncertainty(50.0)
    with pytest.raises(TypeError, match="t_c"):
        fit(None, ohm)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="dimensions"):
        fit(np.ones((2, 2)), ohm)


def test_straight_line_equals_the_standard() -> None:
    given = values("iso28037_points", "28037-6-equal")
    x, y = (np.array([given[f"{axis}_{i}"] for i in range(6)]) for axis in "xy")
    line = cc.fit.straight_line(x, y, u_y=given["u_y"])
    published = {row["quantity"]: row for row in reference("iso28037") if row["case"] == "28037-6-equal"}
    assert line.covariance is not None
    forward = line.predict(given["forward_x"], given["forward_u"])
    inverse = line.predict_inverse(given["inverse_y"], given["inverse_u"])
    got = {
        "a": line.intercept,
        "b": line.slope,
        "u_a": math.sqrt(line.covariance[0, 0]),
        "u_b": math.sqrt(line.covariance[1, 1]),
        "cov": line.covariance[0, 1],
        "chi2": line.chi_squared,
        "dof": line.degrees_of_freedom,
        "forward_y": forward[0],
        "forward_u": forward[1],
        "inverse_x": inverse[0],
        "inverse_u": inverse[1],
    }
    for quantity, row in published.items():
        assert got[quantity] == pytest.approx(float(row["value"]), abs=float(row["tolerance"]) * 1.000001), quantity
        # The same formula with 20 digits.
        assert got[quantity] == pytest.approx(float(row["recomputed"]), rel=1e-12), quantity


def test_straight_line_with_the_whole_covariance() -> None:
    given = values("iso28037_points", "28037-10-general")
    n = 7
    x, y = (np.array([given[f"{axis}_{i}"] for i in range(n)]) for axis in "xy")

    def matrix(name: str) -> Array:
        return np.array([[given.get(f"{name}_{i}_{j}", 0.0) for j in range(n)] for i in range(n)])

    line = cc.fit.straight_line(x, y, covariance_x=matrix("u_x"), covariance_y=matrix("u_y"))
    published = {row["quantity"]: row for row in reference("iso28037") if row["case"] == "28037-10-general"}
    assert line.intercept == pytest.approx(float(published["a"]["recomputed"]), rel=1e-9)
    assert line.slope == pytest.approx(float(published["b"]["recomputed"]), rel=1e-9)
    assert line.chi_squared == pytest.approx(float(published["chi2"]["recomputed"]), rel=1e-9)


@pytest.mark.parametrize("case", ["Wampler1", "Filip"])
def test_polynomial_equals_the_certified_values(case: str) -> None:
    # NIST Statistical Reference Datasets; 15 certified digits, of which Filip as given in doubles holds 14.
    certified = {row["quantity"]: float(row["value"]) for row in reference("strd_certified") if row["dataset"] == case}
    x, y = columns(f"strd_{case}", "x", "y")
    fit = cc.fit.polynomial(x, y, {"Wampler1": 5, "Filip": 10}[case])
    want = [certified[f"parameter_{power + 1}"] for power in range(len(fit.coefficients))]
    np.testing.assert_allclose(fit.coefficients, want, rtol=1e-12)


def test_polynomial_with_held_coefficients() -> None:
    x = np.array([1.0, 2.0, 3.0, 4.0])
    fit = cc.fit.polynomial(x, 3.0 * x + 2.0 * x**2, 2, fixed_lowest=[0.0])
    np.testing.assert_allclose(fit.coefficients, [0.0, 3.0, 2.0], rtol=0, atol=1e-12)
    assert fit.standard_errors is not None
    assert fit.standard_errors[0] == 0.0
    # About zero, since the constant is held.
    assert fit.r_squared == pytest.approx(1.0, abs=1e-14)


def test_html_is_escaped_and_small() -> None:
    html = cc.fit.straight_line([0.0, 1.0, 2.0], [0.0, 1.0, 2.1], u_y=0.1)._repr_html_()
    assert html.startswith("<table>")
    assert "<script" not in html
    assert len(html) < 2000


def test_fits_run_side_by_side() -> None:
    t_c = np.linspace(-100.0, 300.0, 200)
    ohm = cc.CallendarVanDusen.iec60751().resistance(t_c)
    want = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=0.001)
    found: list[bool] = []
    threads = [
        threading.Thread(target=lambda: found.append(cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=0.001) == want))
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [True] * 4


def test_its90_deviation_recovers_the_thermometer() -> None:
    sprt = cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6])
    t_c = np.array([231.928, 300.0, 400.0, 419.527])
    fit = cc.fit.its90_deviation(t_c + 273.15, sprt.ratio(t_c), "3.3.2.2", u_t=0.0005)
    np.testing.assert_allclose(fit.coefficients, sprt.coefficients, rtol=1e-8)
    assert fit.thermometer(25.5).resistance(350.0) == pytest.approx(sprt.resistance(350.0), rel=1e-13)
    assert fit.covariance is not None
    assert fit.covariance.shape == (2, 2)
    assert fit.subrange == "3.3.2.2"
    assert abs(fit.residuals_k).max() < 1e-9
    with pytest.raises(cc.UnknownNameError):
        cc.fit.its90_deviation([300.0], [1.1], "3.3.9")
    with pytest.raises(cc.OutOfRangeError):
        cc.fit.its90_deviation([1000.0], [3.4], "3.3.2.2")


def test_thermistors() -> None:
    given = cc.SteinhartHart(1.1292e-3, 2.341e-4, 8.775e-8)
    t_c = np.linspace(0.0, 80.0, 9)
    fit = cc.fit.steinhart_hart(t_c, given.resistance(t_c), u_t=0.01)
    assert fit.curve.a == pytest.approx(given.a, rel=1e-9)
    assert fit.curve.c == pytest.approx(given.c, rel=1e-7)
    four = cc.fit.steinhart_hart(t_c, given.resistance(t_c), terms=4)
    assert four.curve.quadratic == pytest.approx(0.0, abs=1e-12)
    with pytest.raises(cc.InvalidValueError):
        cc.fit.steinhart_hart(t_c, given.resistance(t_c), terms=2)  # type: ignore[arg-type]
    by_beta = cc.fit.beta([50.0, 125.0], [34_780.0, 2_872.0])
    # ln(34780/2872) / (1/323.15 - 1/398.15), worked out with 20 digits.
    assert by_beta.beta == pytest.approx(4278.504192338731, rel=1e-12)
    assert by_beta.curve == cc.BetaThermistor(by_beta.r25, by_beta.beta, range_c=by_beta.curve.range)


def test_entries_of_a_transmitter() -> None:
    t_c, ohm, u_ohm = points("with_c")
    fit = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=u_ohm)
    entered = fit.rounded(r0=2, a=("significant", 5), b=("significant", 4), c=("decimals", 14))
    assert entered.entries == {
        "r0": round(fit.curve.r0, 2),
        "a": float(f"{fit.curve.a:.4e}"),
        "b": float(f"{fit.curve.b:.3e}"),
        "c": round(fit.curve.c, 14),
    }
    assert entered.curve.range == fit.curve.range
    t = np.linspace(*fit.curve.range, 2001)
    error_k = entered.curve.temperature(fit.curve.resistance(t), invalid="nan") - t
    largest = np.nanmax(np.abs(error_k))
    # The largest one is found between the points of this grid, at most a little above.
    assert largest <= entered.largest_error_k * (1.0 + 1e-6)
    assert largest == pytest.approx(entered.largest_error_k, rel=1e-3)
    together = fit.rounded(r0=2, a=("significant", 5), b=("significant", 4), c=("decimals", 14), jointly=True)
    assert together.largest_error_k <= entered.largest_error_k
    constants = fit.rounded(r0=3, alpha=("significant", 6), delta=4, beta=4)
    assert list(constants.entries) == ["r0", "alpha", "delta", "beta"]
    assert cc.fit.rounded_within(fit.curve, 0.001).largest_error_k <= 0.001
    with pytest.raises(TypeError, match="not of both"):
        fit.rounded(a=7, alpha=7)
    with pytest.raises(cc.UnknownNameError):
        fit.rounded(a=("binary", 7))  # type: ignore[arg-type]
    with pytest.raises(cc.InvalidValueError):
        fit.rounded(a=("significant", 0))


def test_use_of_a_fit() -> None:
    t_c, ohm, u_ohm = points("with_c")
    fit = cc.fit.callendar_van_dusen(t_c, ohm, u_ohm=u_ohm)
    read_c, u_k = fit.read(ohm, u_ohm)
    np.testing.assert_array_equal(read_c, fit.curve.temperature(ohm))
    u_curve = fit.temperature_uncertainty(read_c)
    np.testing.assert_allclose(u_k, np.hypot(u_curve, u_ohm / fit.curve.slope(read_c)), rtol=1e-9)
    covariance = fit.temperature_covariance(t_c)
    np.testing.assert_allclose(np.sqrt(np.diag(covariance)), fit.temperature_uncertainty(t_c), rtol=1e-9)
    error_k, _ = fit.error_read_with(cc.CallendarVanDusen.iec60751(), t_c)
    want = cc.CallendarVanDusen.iec60751().temperature(fit.curve.resistance(t_c)) - t_c
    np.testing.assert_allclose(error_k, want, rtol=0, atol=1e-11)


def test_robust_fits_play_an_outlier_down() -> None:
    x = np.arange(10.0)
    y = 1.0 + 2.0 * x
    y[4] += 5.0
    plain = cc.fit.straight_line(x, y, u_y=0.1)
    robust = cc.fit.straight_line(x, y, u_y=0.1, robust=True)
    assert abs(robust.intercept - 1.0) < abs(plain.intercept - 1.0)
    assert robust.weights.argmin() == 4
    assert plain.weights.size == 0


def test_a_batch_equals_single_fits() -> None:
    t_c = np.array([-80.0, -40.0, 0.0, 50.0, 100.0, 150.0, 200.0])
    rng = np.random.default_rng(3)
    ohm = np.array([cc.CallendarVanDusen.iec60751(r0).resistance(t_c) for r0 in rng.uniform(99.0, 101.0, 20)])
    ohm += rng.normal(0.0, 1e-3, ohm.shape)
    ohm[7, 3] = np.nan
    fits = cc.fit.callendar_van_dusen_batch(t_c, ohm, u_ohm=0.001, threads=2)
    assert len(fits) == 20
    assert fits.covariance.shape == (20, 4, 4)
    assert fits.residuals_ohm.shape == ohm.shape
    assert [(index, type(error)) for index, error in fits.errors] == [(7, cc.NotFiniteError)]
    for i, row in enumerate(ohm):
        if i != 7:
            one = cc.fit.callendar_van_dusen(t_c, row, u_ohm=0.001)
            assert (fits.r0[i], fits.a[i], fits.b[i], fits.c[i]) == (
                one.curve.r0,
                one.curve.a,
                one.curve.b,
                one.curve.c,
            )
            assert fits.degrees_of_freedom[i] == one.degrees_of_freedom
    assert np.isnan(fits.r0[7])
    ragged = cc.fit.callendar_van_dusen_batch(
        np.concatenate([t_c, t_c[2:]]), np.concatenate([ohm[0], ohm[1, 2:]]), counts=[7, 5], u_ohm=0.001
    )
    assert ragged.r0[0] == fits.r0[0]
    again = pickle.loads(pickle.dumps(fits))
    np.testing.assert_array_equal(again.r0, fits.r0)
    with pytest.raises(cc.LengthMismatchError):
        cc.fit.callendar_van_dusen_batch(t_c[:-1], ohm)
    with pytest.raises(cc.LengthMismatchError):
        cc.fit.callendar_van_dusen_batch(np.tile(t_c[:-1], (20, 1)), ohm)
