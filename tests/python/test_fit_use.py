"""What a fit is used for: bands, checks, comparison, choice of models and of set points."""

import math
import pickle
from itertools import product

import numpy as np
import pytest
from scipy import optimize, stats

import calcore as cc
from support import Array

PT100 = cc.CallendarVanDusen.iec60751()
# Invented readings of an element near IEC 60751.
T_C = np.array([0.0, 50.0, 100.0, 150.0, 200.0])
OHM = PT100.resistance(T_C) + np.array([0.001, -0.002, 0.0015, 0.0005, -0.001])


def design(t_c: Array) -> Array:
    return np.stack([np.ones_like(t_c), t_c, t_c**2], axis=1)


# Witness: numpy. R = p0 + p1 t + p2 t² is linear; the covariance of the parameters is (XᵀX)⁻¹ u².
def test_band_against_linear_algebra() -> None:
    u_ohm = 0.002
    fit = cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=u_ohm)
    t_c = np.array([[10.0, 80.0], [130.0, 190.0]])
    x = design(t_c.ravel())
    covariance = u_ohm**2 * np.linalg.inv(design(T_C / 100).T @ design(T_C / 100))
    scaled = x / [1.0, 1e2, 1e4]
    u = np.sqrt(np.einsum("ij,jk,ik->i", scaled, covariance, scaled)).reshape(t_c.shape)
    band = fit.band(t_c, coverage_factor=3.0)
    # Both solve a system of condition 20 in double precision.
    np.testing.assert_allclose(band.half_width_ohm, 3.0 * u, rtol=1e-11)
    np.testing.assert_allclose(band.half_width_k, band.half_width_ohm / fit.curve.slope(t_c), rtol=1e-13)
    assert band.ohm.shape == band.t_c.shape == t_c.shape
    one = fit.band(80.0, coverage_factor=3.0)
    assert (one.t_c, one.half_width_k) == (80.0, band.half_width_k[0, 1])
    assert "ohm" in repr(one)
    assert pickle.loads(pickle.dumps(one)).half_width_k == one.half_width_k
    with pytest.raises(cc.OutOfRangeError) as outside:
        fit.band([0.0, 300.0])
    assert outside.value.index == 1
    with pytest.raises(cc.UndeterminedError):
        cc.fit.callendar_van_dusen(T_C[:3], OHM[:3]).band(50.0)


def test_extrapolation_is_asked_for_and_told() -> None:
    fit = cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.002)
    u, warnings = fit.extrapolated_temperature_uncertainty([100.0, 400.0])
    assert u[0] == fit.temperature_uncertainty(100.0)
    assert u[1] > 5 * u[0]
    assert [notice.code for notice in warnings] == ["extrapolation"]
    assert fit.extrapolated_temperature_uncertainty(100.0) == (u[0], [])


# Witness: the derivatives by differences of the definition, alpha = A + 100 B, delta = −10⁴ B/alpha.
def test_alpha_delta_beta_with_covariance() -> None:
    fit = cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.002)
    form = fit.alpha_delta_beta()
    curve = fit.curve
    assert (form.r0, form.alpha, form.delta, form.beta) == (curve.r0, curve.alpha, curve.delta, curve.beta)
    assert form.covariance is not None
    assert fit.covariance is not None

    def constants(p: Array) -> Array:
        alpha = p[1] + 100 * p[2]
        return np.array([p[0], alpha, -1e4 * p[2] / alpha])

    p = np.array([curve.r0, curve.a, curve.b])
    steps = 1e-6 * np.abs(p)
    jacobian = np.stack(
        [(constants(p + h * e) - constants(p - h * e)) / (2 * h) for h, e in zip(steps, np.eye(3), strict=True)], axis=1
    )
    want = jacobian @ fit.covariance[:3, :3] @ jacobian.T
    # Central differences with a step of 1e-6: rounding 1e-10, of terms that cancel to a tenth.
    np.testing.assert_allclose(form.covariance[:3, :3], want, rtol=1e-6)
    again = pickle.loads(pickle.dumps(form))
    assert again == form
    assert "°C" in repr(form)


# Witness: the uncertainty of a difference by hand. Chi-squared of one point is the square of its normalised error.
def test_hold_out() -> None:
    fit = cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.002)
    check = fit.hold_out([120.0], [146.08], u_t=0.01, u_ohm=0.001)
    read = fit.curve.temperature(146.08)
    u = math.sqrt(fit.temperature_uncertainty(120.0) ** 2 + 0.01**2 + (0.001 / fit.curve.slope(120.0)) ** 2)
    assert math.isclose(check.errors_c[0], read - 120.0, abs_tol=1e-12)
    assert math.isclose(check.uncertainties_c[0], u, rel_tol=1e-12)
    assert math.isclose(check.chi_squared, ((read - 120.0) / u) ** 2, rel_tol=1e-9)
    assert math.isclose(check.p_value, stats.chi2.sf(check.chi_squared, 1), rel_tol=1e-10)
    assert pickle.loads(pickle.dumps(check)) == check
    with pytest.raises(cc.TooFewPointsError):
        fit.hold_out([], [])
    with pytest.raises(cc.LengthMismatchError):
        fit.hold_out([1.0], [1.0, 2.0])


def test_drift() -> None:
    before = cc.fit.callendar_van_dusen(T_C, OHM, u_ohm=0.002)
    moved = cc.CallendarVanDusen(before.curve.r0 + 0.02, before.curve.a, before.curve.b)
    after = cc.fit.callendar_van_dusen(T_C, moved.resistance(T_C), u_ohm=0.002)
    drift = after.drift_since(before, [0.0, 100.0])
    # 20 mohm at 0 °C over 0.39083 ohm/K.
    assert abs(drift.drift_k[0] - 0.02 / 0.39083) < 2e-4
    assert drift.degrees_of_freedom == 3
    assert math.isclose(drift.p_value, stats.chi2.sf(drift.chi_squared, 3), rel_tol=1e-9)
    assert drift.p_value < 1e-6
    none = before.drift_since(before, [0.0, 100.0])
    assert not none.drift_k.round(9).any()
    assert none.p_value > 0.999
    np.testing.assert_allclose(none.uncertainties_k, math.sqrt(2) * before.temperature_uncertainty([0.0, 100.0]))
    assert pickle.loads(pickle.dumps(drift)) == drift


# Witness: F test by numpy's and scipy's own; leave-one-out by fitting without each point.
def test_comparison_of_models() -> None:
    held = {"b": -5.775e-7}
    small, large = cc.fit.compare_models(T_C, OHM, [held, {}])
    assert small.p_value_of_smaller is None
    one = design(T_C)[:, :2].copy()
    # R0 (1 + A t + B t²) with B held: R = p0 (1 + B t²) + p1 t.
    one[:, 0] = 1.0 - 5.775e-7 * T_C**2
    sums = [float(np.linalg.lstsq(x, OHM, rcond=None)[1][0]) for x in (one, design(T_C))]
    ratio = (sums[0] - sums[1]) / (sums[1] / 2)
    assert large.p_value_of_smaller is not None
    # The sums keep the rounding of 176 ohm against residuals of 1 mohm: 1e-10.
    assert math.isclose(large.p_value_of_smaller, stats.f.sf(ratio, 1, 2), rel_tol=1e-7)
    left = []
    for i in range(len(T_C)):
        keep = np.arange(len(T_C)) != i
        other = np.linalg.lstsq(design(T_C[keep]), OHM[keep], rcond=None)[0]
        left.append((OHM[i] - design(T_C[i : i + 1]) @ other) / large.fit.curve.slope(T_C[i]))
    assert large.cross_validation_k is not None
    assert math.isclose(large.cross_validation_k, float(np.sqrt(np.mean(np.square(left)))), rel_tol=1e-7)
    assert large.fit == cc.fit.callendar_van_dusen(T_C, OHM)
    assert pickle.loads(pickle.dumps(small)) == small
    assert "r0, a, cross" in repr(small)
    with pytest.raises(cc.UnknownNameError):
        cc.fit.compare_models(T_C, OHM, [{"d": 0.0}])


def worst_k(t_c: Array, low: float, high: float, u_t: float, u_ohm: float) -> float:
    """Largest standard uncertainty of the fitted curve over a range, K, by linear algebra of its own."""
    u2 = u_ohm**2 + (u_t * PT100.slope(t_c)) ** 2
    x = design(t_c / 100)
    information = (x / u2[:, None]).T @ x
    if np.linalg.cond(information) > 1e12:
        return math.inf
    grid = np.linspace(low, high, 801)
    g = design(grid / 100)
    variance = np.einsum("ij,jk,ik->i", g, np.linalg.inv(information), g)
    return float(np.sqrt((variance / PT100.slope(grid) ** 2).max()))


# Witness: scipy.optimize, by brute force over a lattice and Nelder-Mead from its best place.
@pytest.mark.parametrize(("points", "u_t", "u_ohm"), [(3, 0.01, 0.0), (3, 0.002, 0.004), (4, 0.01, 0.001)])
def test_set_points_against_brute_force(points: int, u_t: float, u_ohm: float) -> None:
    low, high = 0.0, 250.0

    def cost(inner: Array) -> float:
        t_c = np.clip(np.concatenate([[low], inner, [high]]), low, high)
        return worst_k(t_c, low, high, u_t, u_ohm)

    lattice = np.linspace(low, high, 26)
    start = min(product(lattice, repeat=points - 2), key=lambda inner: cost(np.array(inner)))
    polished = optimize.minimize(cost, np.array(start), method="Nelder-Mead", options={"xatol": 1e-4, "fatol": 1e-12})
    plan = cc.fit.set_points(PT100, low, high, points, u_t=u_t, u_ohm=u_ohm)
    # The witness looks at 801 places, the core at 161: a maximum between two of them differs by less than 1e-4.
    assert math.isclose(plan.largest_uncertainty_k, worst_k(plan.t_c, low, high, u_t, u_ohm), rel_tol=1e-4)
    assert plan.largest_uncertainty_k <= polished.fun * (1 + 2e-4)
    assert "K" in repr(plan)
    assert pickle.loads(pickle.dumps(plan)) == plan


def test_own_set_points() -> None:
    own = [0.0, 60.0, 200.0]
    check = cc.fit.assess_set_points(PT100, 0.0, 200.0, own, u_t=0.01)
    assert math.isclose(check.own.largest_uncertainty_k, worst_k(np.array(own), 0, 200, 0.01, 0.0), rel_tol=1e-4)
    assert check.best == cc.fit.set_points(PT100, 0.0, 200.0, 3, u_t=0.01)
    assert math.isclose(check.ratio, check.own.largest_uncertainty_k / check.best.largest_uncertainty_k)
    assert check.ratio > 1.05
    assert pickle.loads(pickle.dumps(check)) == check
    with pytest.raises(cc.UndeterminedError):
        cc.fit.assess_set_points(PT100, 0.0, 200.0, [0.0, 0.0, 200.0], u_t=0.01)
    with pytest.raises(cc.TooFewPointsError):
        cc.fit.set_points(PT100, 0.0, 200.0, 2, u_t=0.01)


# Pukelsheim (1993), 9.5: ±1 and the roots of the derivative of the Legendre polynomial, 0 and ±1/√5.
def test_optimal_abscissae() -> None:
    np.testing.assert_allclose(cc.fit.optimal_abscissae(2, 3), [-1, 0, 1], atol=1e-4)
    np.testing.assert_allclose(cc.fit.optimal_abscissae(3, 4), [-1, -(0.2**0.5), 0.2**0.5, 1], atol=1e-4)
