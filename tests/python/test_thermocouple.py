"""Thermocouples against the printed tables and multiple-precision arithmetic."""

import math
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import reference, same_bits

LETTERS: list[Any] = list("BCEJKNRSTA")
K = cc.Thermocouple("K")


@pytest.mark.parametrize("letter", LETTERS)
def test_emf_equals_the_exact_function(letter: Any) -> None:
    rows = [row for row in reference("thermocouple_dense_emf") if row["type"] == letter]
    t_c, mv, slope = (np.array([float(row[key]) for row in rows]) for key in ("t_c", "mv", "slope_mv_per_k"))
    curve = cc.Thermocouple(letter)
    # The documented distance, 2 units in the last place of the emf (of 1 µV below that), and one more for the decimal.
    np.testing.assert_array_less(np.abs(curve.emf(t_c) - mv), 3.0 * np.spacing(np.maximum(np.abs(mv), 1e-3)))
    np.testing.assert_allclose(curve.slope(t_c), slope, rtol=1e-10, atol=1e-13)


@pytest.mark.parametrize("letter", LETTERS)
def test_temperature_equals_the_exact_inverse(letter: Any) -> None:
    for row in reference("thermocouple_dense_temperature"):
        if row["type"] == letter:
            side: Any = row["side"] if row["side"] in ("lower", "upper") else None
            curve = cc.Thermocouple(letter, side=side)
            got = curve.temperature(float(row["mv"]))
            assert got == pytest.approx(float(row["t_c"]), abs=curve.inverse_error_bound_k, rel=0)


def test_printed_table() -> None:
    for row in reference("thermocouple_table"):
        letter: Any = row["type"]
        # Half of the last printed digit, 0.001 mV.
        assert cc.Thermocouple(letter).emf(float(row["t_c"])) == pytest.approx(float(row["mv"]), abs=0.0005 + 1e-9)


def test_emfs_are_added_not_temperatures() -> None:
    # IEC 60584-1, table of type K: 4.096 mV at 100 °C, 1.000 mV at 25 °C.
    assert K.emf(100.0, 25.0) == pytest.approx(3.096, abs=0.001)
    assert K.temperature(3.096, 25.0) == pytest.approx(100.0, abs=0.025)
    assert K.emf(25.0, 25.0) == 0.0
    grid = K.emf(np.array([[100.0], [200.0]]), np.array([0.0, 20.0, 25.0]))
    assert grid.shape == (2, 3)
    assert same_bits(grid, [[K.emf(t, r) for r in (0.0, 20.0, 25.0)] for t in (100.0, 200.0)])
    assert same_bits(K.emf(100.0, [0.0, 25.0]), [K.emf(100.0), K.emf(100.0, 25.0)])
    assert same_bits(K.temperature([3.0, 4.0], reference_junction_c=25.0), [K.temperature(x, 25.0) for x in (3.0, 4.0)])


def test_two_temperatures_of_type_b() -> None:
    b = cc.Thermocouple("B")
    with pytest.raises(cc.InvalidValueError, match=r"11\.0090.*31\.0522"):
        b.temperature(-0.002)
    assert cc.Thermocouple("B", side="upper").temperature(-0.002) == pytest.approx(31.0522, abs=5e-5)
    assert cc.Thermocouple("B", side="lower").temperature(-0.002) == pytest.approx(11.0090, abs=5e-5)
    with pytest.raises(cc.UnknownNameError):
        cc.Thermocouple("K", side="upper")
    with pytest.raises(cc.UnknownNameError) as caught:
        cc.Thermocouple("X")  # type: ignore[arg-type]
    assert caught.value.name == "X"


def test_invalid_elements() -> None:
    with pytest.raises(cc.OutOfRangeError) as caught:
        K.emf([0.0, 2000.0, 3000.0], 25.0)
    assert (caught.value.index, caught.value.count) == (1, 2)
    assert caught.value.unit == "°C"
    assert np.isnan(K.emf([0.0, math.nan, 2000.0], 25.0, invalid="nan")).tolist() == [False, True, True]
    assert math.isnan(K.emf(2000.0, invalid="nan"))
    assert math.isnan(K.temperature(100.0, 25.0, invalid="nan"))
    assert np.isnan(K.emf(100.0, [0.0, math.nan], invalid="nan")).tolist() == [False, True]
    for t_c in (2000.0, [2000.0]):
        with pytest.raises(cc.InvalidValueError, match="cannot be extrapolated") as refused:
            K.emf(t_c, extrapolate=True)
        assert ("element 0" in str(refused.value)) == isinstance(t_c, list)
    assert K.emf(100.0, extrapolate=True) == K.emf(100.0)
    with pytest.raises(TypeError, match="reference_junction_c"):
        K.emf(100.0, "25")


def test_published_inverse_stays_in_its_band() -> None:
    for row in reference("thermocouple_inverse_bands"):
        letter: Any = row["type"]
        curve = cc.Thermocouple(letter)
        t_c = np.linspace(float(row["t_low_c"]) + 1.0, float(row["t_high_c"]) - 1.0, 50)
        error_k = curve.temperature_approximate(curve.emf(t_c)) - t_c
        # The stated band is rounded to 0.01 K.
        assert error_k.min() > float(row["measured_low_k"]) - 0.01
        assert error_k.max() < float(row["measured_high_k"]) + 0.01
    assert K.approximate_error_band_k(1.0) == (-0.05, 0.04)
    with pytest.raises(cc.UnknownNameError):
        cc.Thermocouple("C").temperature_approximate(1.0)


def test_an_individual_thermocouple() -> None:
    t_c = np.array([100.0, 200.0, 300.0, 400.0])
    mv = K.emf(t_c) + 2e-4 * t_c - 1e-7 * t_c**2
    fit = cc.fit.thermocouple_deviation("K", t_c, mv, 2, u_mv=0.001)
    np.testing.assert_allclose(fit.coefficients, [0.0, 2e-4, -1e-7], rtol=1e-9, atol=1e-15)
    np.testing.assert_allclose(fit.curve.emf(t_c), mv, rtol=1e-13)
    np.testing.assert_allclose(fit.curve.temperature(mv), t_c, rtol=0, atol=1e-9)
    assert fit.curve == cc.CorrectedThermocouple("K", fit.coefficients, *fit.curve.range)
    assert (fit.letter, fit.curve.letter, fit.degrees_of_freedom) == ("K", "K", 2)
    with pytest.raises(cc.OutOfRangeError):
        fit.curve.emf(500.0)
    u_k = fit.temperature_uncertainty(t_c)
    # 1 µV over 41 µV/K is 24 mK at a point, and two coefficients share four of them.
    assert ((u_k > 0.005) & (u_k < 0.03)).all()


def test_proven_bounds_are_told() -> None:
    for letter in LETTERS:
        curve = cc.Thermocouple(letter)
        assert 1e-15 < curve.emf_error_bound_mv < 2e-14
        assert 5e-14 < curve.inverse_error_bound_k < 1e-12
        assert f"type {letter}" in repr(curve)
