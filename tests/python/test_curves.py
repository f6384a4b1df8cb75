"""The other curves against multiple-precision tables, and what all curves have in common."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import Array, reference, same_bits


def table(name: str, **wanted: str) -> dict[str, Array]:
    rows = [row for row in reference(name) if all(row[key] == value for key, value in wanted.items())]
    assert rows
    numbers = [key for key in rows[0] if key not in ("curve", "section", "form", "branch", "table")]
    return {key: np.array([float(row[key]) for row in rows]) for key in numbers}


@pytest.mark.parametrize("name", sorted({row["curve"] for row in reference("rtd_dense")}))
def test_polynomials(name: Any) -> None:
    data = table("rtd_dense", curve=name)
    curve = cc.PolynomialRtd.standard(name, r0=100.0)
    # Three roundings of numbers of 100 ohm, of which little may be left in the cold, and the last one of the result.
    np.testing.assert_allclose(curve.resistance(data["t_c"]), data["ohm"], rtol=2e-16, atol=5e-14)
    # A rounding of the resistance over the slope, twice.
    np.testing.assert_allclose(curve.temperature(data["ohm"]), data["t_c"], rtol=0, atol=1e-12)
    np.testing.assert_allclose(curve.slope(data["t_c"]), data["slope_ohm_per_k"], rtol=1e-14, atol=0)


@pytest.mark.parametrize("section", sorted({row["section"] for row in reference("sprt_dense")}))
def test_sprt(section: str) -> None:
    data = table("sprt_dense", section=section)
    given = {row["quantity"]: float(row["value"]) for row in reference("sprt_synthetic") if row["case"] == section}
    coefficients = [value for key, value in given.items() if key.startswith("coefficients_")]
    sprt = cc.Sprt(given["r_tpw_ohm"], section, coefficients)
    assert sprt.subrange == section
    # A dozen terms of the reference function, each with its rounding.
    np.testing.assert_allclose(sprt.ratio(data["t_c"]), data["w"], rtol=3e-14, atol=0)
    np.testing.assert_allclose(sprt.resistance(data["t_c"]), data["ohm"], rtol=3e-14, atol=0)
    np.testing.assert_allclose(sprt.temperature(data["ohm"]), data["t_c"], rtol=0, atol=3e-12)
    np.testing.assert_allclose(sprt.slope(data["t_c"]), data["slope_ohm_per_k"], rtol=1e-11, atol=0)


def test_thermistors() -> None:
    for row in reference("thermistor_dense"):
        a0, a1, a2, a3 = (float(row[key] or "nan") for key in ("a0", "a1", "a2", "a3"))
        t_c, ohm = float(row["t_c"]), float(row["ohm"])
        curve: cc.BetaThermistor | cc.SteinhartHart
        curve = cc.BetaThermistor(a0, a1) if row["form"] == "beta" else cc.SteinhartHart(a0, a1, a3, quadratic=a2)
        # The exponent is of the size of 15: 15 roundings of it come into the resistance.
        assert math.isclose(curve.resistance(t_c), ohm, rel_tol=1e-13)
        assert math.isclose(curve.temperature(ohm), t_c, abs_tol=1e-12)
        assert math.isclose(curve.slope(t_c), float(row["slope_ohm_per_k"]), rel_tol=1e-12)


def test_its90() -> None:
    data = table("its90_dense")
    np.testing.assert_allclose(cc.its90.reference_ratio(data["t_k"]), data["wr"], rtol=3e-14, atol=0)
    np.testing.assert_allclose(cc.its90.reference_slope(data["t_k"]), data["slope_per_k"], rtol=1e-12, atol=0)
    np.testing.assert_allclose(cc.its90.temperature_from_ratio(data["wr"]), data["t_k"], rtol=0, atol=1e-11)
    # Both published inverses stay within 0.135 mK.
    approximate = cc.its90.temperature_from_ratio_approximate(data["wr"])
    np.testing.assert_allclose(approximate, data["t_k"], rtol=0, atol=1.35e-4)
    for row in reference("its90_fixed_points"):
        if row["state"] != "VP":
            assert cc.its90.fixed_point_temperature(row["substance"]) == float(row["t_k"])
    with pytest.raises(cc.UnknownNameError):
        cc.its90.fixed_point_temperature("Pt")


@pytest.mark.parametrize("name", sorted({row["table"] for row in reference("monotone_table")}))
def test_tables(name: str) -> None:
    rows, dense = table("monotone_table_points", table=name), table("monotone_table", table=name)
    cubic = cc.TabulatedCurve(rows["t_c"], rows["signal"], interpolation="monotone_cubic")
    np.testing.assert_allclose(cubic.signal(dense["t_c"]), dense["signal"], rtol=1e-14, atol=1e-13)
    np.testing.assert_allclose(cubic.slope(dense["t_c"]), dense["slope_per_k"], rtol=1e-12, atol=1e-14)
    linear = cc.TabulatedCurve(rows["t_c"], rows["signal"])
    assert same_bits(linear.signal(linear.t_c), linear.rows)
    assert linear.interpolation == "linear"
    order = np.argsort(dense["t_c"])
    want = np.interp(dense["t_c"][order], linear.t_c, linear.rows)
    np.testing.assert_allclose(linear.signal(dense["t_c"][order]), want, rtol=1e-14, atol=1e-13)


CURVES: list[Any] = [
    cc.CallendarVanDusen.iec60751(),
    cc.PolynomialRtd.standard("gost6651_cu428", r0=50.0),
    cc.PolynomialRtd(10.0, [4e-3, 1e-7], -50.0, 150.0, joint_c=0.0, above=[4e-3]),
    cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6]),
    cc.SteinhartHart(1.1292e-3, 2.341e-4, 8.775e-8, range_c=(-40.0, 150.0)),
    cc.BetaThermistor(10_000.0, 3950.0, range_c=(-40.0, 150.0)),
    cc.TabulatedCurve([0.0, 100.0, 200.0], [100.0, 138.51, 175.86], interpolation="monotone_cubic"),
]


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: type(curve).__name__)
def test_common_ways_of_curves(curve: Any) -> None:
    forward: Callable[..., Any] = curve.signal if isinstance(curve, cc.TabulatedCurve) else curve.resistance
    low, high = curve.range
    t_c = np.linspace(low, high, 5001)
    signal = forward(t_c)
    assert same_bits(signal, [forward(t) for t in t_c.tolist()])
    assert same_bits(curve.temperature(signal), [curve.temperature(s) for s in signal.tolist()])
    assert same_bits(curve.slope(t_c), [curve.slope(t) for t in t_c.tolist()])
    np.testing.assert_allclose(curve.temperature(signal), t_c, rtol=0, atol=2e-10)
    assert bool((np.diff(signal) > 0).all() or (np.diff(signal) < 0).all())
    for bad in (math.nan, math.inf, low - 1.0, high + 1.0):
        with pytest.raises(cc.CalcoreError) as caught:
            forward([low, bad, bad])
        assert (caught.value.index, caught.value.count) == (1, 2)
        assert math.isnan(forward(bad, invalid="nan"))
        assert np.isnan(forward([bad], invalid="nan")).all()
    with pytest.raises(TypeError):
        forward(None)
    assert str(curve.range[1]).removesuffix(".0") in repr(curve)


def test_what_curves_refuse() -> None:
    with pytest.raises(cc.UnknownNameError):
        cc.PolynomialRtd.standard("pt100", 100.0)  # type: ignore[arg-type]
    with pytest.raises(cc.LengthMismatchError):
        cc.PolynomialRtd(100.0, [1e-3] * 7, 0.0, 100.0)
    with pytest.raises(TypeError, match="go together"):
        cc.PolynomialRtd(100.0, [1e-3], 0.0, 100.0, joint_c=50.0)
    with pytest.raises(cc.LengthMismatchError):
        cc.Sprt(25.5, "3.3.2.2", [1e-4])
    with pytest.raises(cc.InvalidValueError):
        cc.BetaThermistor(-1.0, 3950.0)
    with pytest.raises(cc.InvalidValueError, match="row 2"):
        cc.TabulatedCurve([0.0, 10.0, 20.0], [1.0, 3.0, 3.0])


def test_older_scales() -> None:
    scale = cc.temperature
    # Boiling point of water, 100 °C on the IPTS-68 and on the IPTS-48, is 99.974 °C on the ITS-90; Rusby 1991.
    assert math.isclose(scale.t90_from_t68(100.0), 99.974, abs_tol=5e-4)
    assert scale.t68_from_t48(100.0) == pytest.approx(100.0, abs=1e-12)
    t90_c = np.linspace(-200.0, 1000.0, 1201)
    t68_c = scale.t68_from_t90(t90_c)
    np.testing.assert_allclose(t90_c - t68_c, scale.t90_minus_t68(t90_c), rtol=0, atol=1e-12)
    # At the joint of 630 °C the two equations differ by 0.7 mK: what lies between belongs to the joint.
    np.testing.assert_allclose(scale.t90_from_t68(t68_c), t90_c, rtol=0, atol=8e-4)
    with pytest.raises(cc.OutOfRangeError):
        scale.t68_from_t48(-1.0)


def test_coefficients_by_name() -> None:
    listed = cc.Sprt(25.5, "3.3.2.1", [-1.2e-4, 3.0e-6, 1.0e-7])
    assert cc.Sprt(25.5, "3.3.2.1", {"b": 3.0e-6, "a": -1.2e-4, "c": 1.0e-7}) == listed
    with pytest.raises(cc.UnknownNameError, match="d"):
        cc.Sprt(25.5, "3.3.2.1", {"a": 0.0, "b": 0.0, "c": 0.0, "d": 0.0})
    with pytest.raises(cc.LengthMismatchError, match="coefficients has 1 elements, expected 3"):
        cc.Sprt(25.5, "3.3.2.1", {"a": 0.0})


# Worked out apart in the coefficients of both: platinum of 0.003916 read as 0.003851 is 1.70 K high at 100 °C.
def test_a_wrong_curve_is_suspected() -> None:
    element = cc.PolynomialRtd.standard("jis_pt3916", r0=100.0)
    found = cc.likely_standard([100.0], [element.resistance(100.0)])
    assert found.assumed is not None
    assert found.assumed[1] == pytest.approx(1.70, abs=0.005)
    assert found.suspect is not None
    assert found.suspect[0] == found.fits[0][0] == "jis_pt3916"
    # IEC 60751, table 1: 138.51 ohm at 100 °C.
    assert cc.likely_standard([0.0, 100.0], [100.0, 138.51]).suspect is None
    with pytest.raises(cc.LengthMismatchError):
        cc.likely_standard([0.0, 100.0], [100.0])
