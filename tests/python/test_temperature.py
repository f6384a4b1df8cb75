"""Units of temperature, and of differences."""

import numpy as np
import pytest

import calcore as cc

T = cc.temperature


def test_fixed_points_of_the_units() -> None:
    # BIPM, SI Brochure, 2.3.1 and ISO 80000-5: 0 °C = 273.15 K = 32 °F, 100 °C = 212 °F, -40 °C = -40 °F.
    assert T.kelvin_from_celsius(0.0) == 273.15
    assert T.celsius_from_kelvin(273.15) == 0.0
    np.testing.assert_array_equal(T.fahrenheit_from_celsius([0.0, 100.0, -40.0]), [32.0, 212.0, -40.0])
    np.testing.assert_array_equal(T.celsius_from_fahrenheit([32.0, 212.0, -40.0]), [0.0, 100.0, -40.0])


def test_a_difference_is_no_temperature() -> None:
    # A tolerance of 1 °C is 1.8 °F, not 33.8.
    assert T.difference_f_from_k(1.0) == 1.8
    assert T.difference_k_from_f(1.8) == 1.0
    assert T.difference_from_k(1.0, "degF") == 1.8
    assert T.difference_from_k(1.0, "celsius") == 1.0
    assert T.difference_to_k(1.8, "°F") == 1.0
    assert T.fahrenheit_from_celsius(1.0) == 33.8


def test_units_by_name() -> None:
    assert T.to_celsius(212, "fahrenheit") == 100.0
    assert T.from_celsius(100.0, "K") == 373.15
    with pytest.raises(cc.UnknownNameError) as caught:
        T.to_celsius(1.0, "rankine")  # type: ignore[call-overload]
    assert caught.value.name == "rankine"
    assert "fahrenheit" in str(caught.value.expected)


def test_below_absolute_zero() -> None:
    with pytest.raises(cc.InvalidValueError) as caught:
        T.kelvin_from_celsius([0.0, -300.0, -400.0])
    error = caught.value
    assert (error.value, error.unit, error.index, error.count) == (-300.0, "°C", 1, 2)
    assert T.celsius_from_kelvin(0) == -273.15


# Douglas (1969) and Preston-Thomas (1990): the boiling point of water is 100 °C on both older scales and 99.974 °C now.
def test_scale_of_a_certificate() -> None:
    to, back = cc.temperature.to_its90, cc.temperature.from_its90
    assert to(100.0, "ITS-90") == 100.0
    assert abs(to(100.0, "IPTS-68") - 99.974) < 5e-4
    assert to(100.0, "IPTS-48") == to(100.0, "IPTS-68")
    t68 = np.array([[-150.0, 0.0], [400.0, 1500.0]])
    assert np.array_equal(to(t68, "IPTS-68"), cc.temperature.t90_from_t68(t68))
    np.testing.assert_allclose(back(to(t68, "IPTS-68"), "IPTS-68"), t68, rtol=0, atol=1e-9)
    assert to(200.0, "IPTS-48") == cc.temperature.t90_from_t68(cc.temperature.t68_from_t48(200.0))
    assert np.isnan(to([100.0, np.nan, -280.0], "IPTS-68", invalid="nan")).tolist() == [False, True, True]
    with pytest.raises(cc.OutOfRangeError) as outside:
        to([100.0, -280.0], "IPTS-68")
    assert outside.value.index == 1


def test_an_unstated_scale_is_refused() -> None:
    for function in (cc.temperature.to_its90, cc.temperature.from_its90):
        with pytest.raises(cc.UnknownNameError, match="must state which"):
            function(100.0)
        with pytest.raises(cc.UnknownNameError, match="IPTS-27"):
            function(100.0, "IPTS-27")  # type: ignore[call-overload]
