"""The platinum curve against the standard and against multiple-precision arithmetic."""

import math

import numpy as np
import pytest

import calcore as cc
from support import columns, same_bits

PT100 = cc.CallendarVanDusen.iec60751()


def test_resistance_equals_the_printed_table() -> None:
    t_c, ohm = columns("iec60751_table1", "t_c", "ohm")
    # Half of the last printed digit.
    np.testing.assert_allclose(PT100.resistance(t_c), ohm, rtol=0, atol=0.005 + 1e-9)


@pytest.mark.parametrize("table", ["iec60751_oracle_resistance", "iec60751_dense_resistance"])
def test_resistance_equals_the_exact_polynomial(table: str) -> None:
    t_c, ohm = columns(table, "t_c", "ohm")
    # Three roundings at 390 ohm: 1.5 ulp of 5.7e-14.
    np.testing.assert_allclose(PT100.resistance(t_c), ohm, rtol=0, atol=1e-13)


@pytest.mark.parametrize("table", ["iec60751_oracle_temperature", "iec60751_dense_temperature"])
def test_temperature_equals_the_exact_inverse(table: str) -> None:
    ohm, t_c = columns(table, "ohm", "t_c")
    # 1.1e-13 K is one ulp at 850 °C; two more for the roundings on the way.
    np.testing.assert_allclose(PT100.temperature(ohm), t_c, rtol=0, atol=3.5e-13)


def test_slope_equals_the_exact_derivative() -> None:
    t_c, slope = columns("iec60751_oracle_slope", "t_c", "slope_ohm_per_k")
    np.testing.assert_allclose(PT100.slope(t_c), slope, rtol=4e-16, atol=0)


def test_one_value_and_many_give_the_same_bits() -> None:
    t_c = np.linspace(-200.0, 850.0, 10_007)
    ohm = PT100.resistance(t_c)
    assert same_bits(ohm, [PT100.resistance(t) for t in t_c])
    assert same_bits(PT100.temperature(ohm), [PT100.temperature(r) for r in ohm])
    assert same_bits(PT100.slope(t_c), [PT100.slope(t) for t in t_c])


def test_inverse_undoes_the_curve() -> None:
    t_c = np.linspace(-200.0, 850.0, 100_001)
    # Half an ulp of 390 ohm (2.8e-14) over the lowest slope (0.29 ohm/K), and the roundings of both ways.
    np.testing.assert_allclose(PT100.temperature(PT100.resistance(t_c)), t_c, rtol=0, atol=5e-13)


def test_properties() -> None:
    assert (PT100.r0, PT100.a, PT100.b, PT100.c) == (100.0, 3.9083e-3, -5.775e-7, -4.183e-12)
    assert PT100.range == (-200.0, 850.0)
    # tests/reference/alpha_delta_beta: exact values for the coefficients of the standard.
    assert math.isclose(PT100.alpha, 0.00385055, rel_tol=4e-16)
    assert math.isclose(PT100.delta, 1.4997857448935866305, rel_tol=4e-16)
    assert math.isclose(PT100.beta, 0.10863383153056056927, rel_tol=4e-16)
    again = cc.CallendarVanDusen.from_alpha_delta_beta(100.0, PT100.alpha, PT100.delta, PT100.beta)
    for name in ("a", "b", "c"):
        assert math.isclose(getattr(again, name), getattr(PT100, name), rel_tol=1e-15)


def test_invalid_elements() -> None:
    t_c = np.array([0.0, math.nan, 900.0, 100.0, -math.inf])
    with pytest.raises(cc.NotFiniteError) as caught:
        PT100.resistance(t_c)
    assert (caught.value.index, caught.value.count) == (1, 3)
    with pytest.raises(cc.OutOfRangeError) as out:
        PT100.resistance([[0.0, 1.0], [900.0, 950.0]])
    assert (out.value.index, out.value.count, out.value.value) == (2, 2, 900.0)
    assert (out.value.low, out.value.high, out.value.unit, out.value.quantity) == (-200.0, 850.0, "°C", "temperature")
    ohm = PT100.resistance(t_c, invalid="nan")
    np.testing.assert_array_equal(np.isnan(ohm), [False, True, True, False, True])
    assert same_bits(ohm[[0, 3]], [PT100.resistance(0.0), PT100.resistance(100.0)])
    for value in (math.nan, math.inf, 900.0, -200.1):
        assert math.isnan(PT100.resistance(value, invalid="nan"))
        assert math.isnan(PT100.slope(value, invalid="nan"))
    assert math.isnan(PT100.temperature(1000.0, invalid="nan"))
    with pytest.raises(cc.OutOfRangeError, match="resistance") as ohms:
        PT100.temperature(1000.0)
    assert ohms.value.unit == "ohm"
    assert ohms.value.index is None
    with pytest.raises(cc.UnknownNameError):
        PT100.resistance(0.0, invalid="ignore")  # type: ignore[call-overload]


def test_extrapolation_is_asked_for() -> None:
    with pytest.raises(cc.OutOfRangeError):
        PT100.resistance(900.0)
    # 100 (1 + 3.9083e-3 * 900 - 5.775e-7 * 810000), worked out by hand.
    assert math.isclose(PT100.resistance(900.0, extrapolate=True), 404.9695, rel_tol=1e-15)
    assert math.isclose(PT100.temperature(404.9695, extrapolate=True), 900.0, rel_tol=1e-14)
    assert same_bits(PT100.resistance([900.0, 10.0], extrapolate=True)[0], PT100.resistance(900.0, extrapolate=True))
    with pytest.raises(cc.OutOfRangeError) as caught:
        PT100.resistance(20_000.0, extrapolate=True)
    assert caught.value.index is None
    assert math.isnan(PT100.resistance(20_000.0, extrapolate=True, invalid="nan"))


def test_a_range_of_its_own() -> None:
    curve = cc.CallendarVanDusen(100.0, 3.9083e-3, -5.775e-7, range_c=(0.0, 200.0))
    assert curve.range == (0.0, 200.0)
    assert curve.c == 0.0
    assert curve != PT100
    with pytest.raises(cc.OutOfRangeError):
        curve.resistance(-1.0)


def test_refused_coefficients() -> None:
    with pytest.raises(cc.InvalidValueError) as caught:
        cc.CallendarVanDusen(0.0, 3.9083e-3, -5.775e-7)
    assert (caught.value.quantity, caught.value.value, caught.value.unit) == ("r0", 0.0, "ohm")
    with pytest.raises(cc.NotFiniteError):
        cc.CallendarVanDusen(100.0, math.nan, 0.0)


def test_repr_names_the_units() -> None:
    assert repr(PT100) == (
        "CallendarVanDusen(r0=100.0 ohm, a=0.0039083 /K, b=-5.775e-7 /K², c=-4.183e-12 /K⁴, range -200 to 850 °C)"
    )
