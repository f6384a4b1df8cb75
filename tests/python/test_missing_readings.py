"""Missing readings in arrays: NaN in, NaN out where the caller asks for it, and a refusal with the place otherwise."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import calcore as cc

C, T = cc.circuit, cc.temperature
LOOP = C.CurrentLoop(0.0, 200.0)
OWN = cc.tolerance.Tolerance.asymmetric(-0.5, 1.0)

# name: function, first argument that is allowed, the others, result worked by hand or given by the source.
CASES: dict[str, tuple[Callable[..., Any], float, tuple[Any, ...], float]] = {
    # BIPM, SI Brochure, 2.3.1 and ISO 80000-5, annex A.
    "to_celsius": (T.to_celsius, 212.0, ("degF",), 100.0),
    "from_celsius": (T.from_celsius, 100.0, ("degF",), 212.0),
    "difference_to_k": (T.difference_to_k, 1.8, ("degF",), 1.0),
    "difference_from_k": (T.difference_from_k, 1.0, ("degF",), 1.8),
    "kelvin_from_celsius": (T.kelvin_from_celsius, 0.0, (), 273.15),
    "celsius_from_kelvin": (T.celsius_from_kelvin, 273.15, (), 0.0),
    "fahrenheit_from_celsius": (T.fahrenheit_from_celsius, -40.0, (), -40.0),
    "celsius_from_fahrenheit": (T.celsius_from_fahrenheit, 32.0, (), 0.0),
    "difference_f_from_k": (T.difference_f_from_k, 1.0, (), 1.8),
    "difference_k_from_f": (T.difference_k_from_f, 1.8, (), 1.0),
    # Metrologia 27 (1990) 3-10: 100 °C of 1968 is 99.974 °C; Douglas (1969): the scales of 1948 and 1968 meet there.
    "t90_minus_t68": (T.t90_minus_t68, 99.974, (), -0.026),
    "t90_from_t68": (T.t90_from_t68, 100.0, (), 99.974),
    "t68_from_t90": (T.t68_from_t90, 99.974, (), 100.0),
    "t68_from_t48": (T.t68_from_t48, 100.0, (), 100.0),
    "t48_from_t68": (T.t48_from_t68, 100.0, (), 100.0),
    # Metrologia 27 (1990) 3-10, table 1: tin; the triple point of water has the ratio 1.
    "reference_ratio": (cc.its90.reference_ratio, 505.078, (), 1.89279768),
    "temperature_from_ratio": (cc.its90.temperature_from_ratio, 1.89279768, (), 505.078),
    "temperature_from_ratio_approximate": (cc.its90.temperature_from_ratio_approximate, 1.0, (), 273.16),
    # IEC 60751, clause 5; IEC 60584-1; ASTM E230 and E1137; GOST 6651, as in the documentation of each.
    "iec60751": (lambda t, **o: cc.tolerance.iec60751("B", t, **o), 400.0, (), 2.3),
    "iec60584": (lambda t, **o: cc.tolerance.iec60584("K", 1, t, **o), 500.0, (), 2.0),
    "astm_e230": (lambda t, **o: cc.tolerance.astm_e230("K", "standard", t, **o), 1000.0, (), 7.5),
    "astm_e1137": (lambda t, **o: cc.tolerance.astm_e1137("A", t, **o), 100.0, (), 0.3),
    "gost6651": (lambda t, **o: cc.tolerance.gost6651("copper", "B", t, **o), 100.0, (), 0.8),
    "half_width": (cc.tolerance.Tolerance.percent_of_reading(0.25).half_width, 200.0, (), 0.5),
    "lower limit": (lambda t, **o: OWN.limits(t, **o)[0], 20.0, (), -0.5),
    "upper limit": (lambda t, **o: OWN.limits(t, **o)[1], 20.0, (), 1.0),
    # IEC 60381-1: a straight line from 4 mA to 20 mA; NAMUR NE 43: saturated at 20.5 mA.
    "current": (LOOP.current, 50.0, (), 8.0),
    "saturated_current": (LOOP.saturated_current, 500.0, (), 20.5),
    "value": (LOOP.value, 8.0, (), 50.0),
    "extrapolated_value": (LOOP.extrapolated_value, 2.4, (), -20.0),
    "error_ma": (LOOP.error_ma, 12.5, (100.0,), 0.5),
    "error_k_from_ma": (LOOP.error_k_from_ma, 0.1, (), 1.25),
    "error_ma_from_k": (LOOP.error_ma_from_k, 1.25, (), 0.1),
    "percent_of_span_from_k": (LOOP.percent_of_span_from_k, 1.0, (), 0.5),
    "percent_of_span_from_ma": (LOOP.percent_of_span_from_ma, 0.04, (), 0.25),
    "indication_error": (C.indication_error, 100.5, (100.0,), 0.5),
    "corrected": (C.corrected, 100.5, (0.5,), 100.0),
    "percent_of_span": (C.percent_of_span, 0.5, (0.0, 200.0), 0.25),
    "percent_of_reading": (C.percent_of_reading, 0.5, (-100.0,), 0.5),
    "error_from_percent_of_span": (C.error_from_percent_of_span, 0.25, (0.0, 200.0), 0.5),
    "error_from_percent_of_reading": (C.error_from_percent_of_reading, 0.25, (200.0,), 0.5),
    "shown": (C.Display(0.5).shown, 100.3, (), 100.5),
    "value of a count": (C.DigitalScale(0, 4095, 0.0, 20.0).value, 2457.0, (), 12.0),
}

# Digits that the source prints; the others are exact to the rounding of a few operations.
PRINTED = {"t90_minus_t68": 5e-4, "t90_from_t68": 5e-4, "t68_from_t90": 5e-4, "reference_ratio": 5e-9}
PRINTED |= {"temperature_from_ratio": 2e-6, "temperature_from_ratio_approximate": 1.35e-4}


@pytest.mark.parametrize("name", CASES)
def test_a_missing_reading(name: str) -> None:
    function, given, others, want = CASES[name]
    found = function([[given, np.nan], [np.inf, given]], *others, invalid="nan")
    assert found.shape == (2, 2)
    assert np.isnan(found).tolist() == [[False, True], [True, False]]
    np.testing.assert_allclose(found[[0, 1], [0, 1]], want, rtol=0, atol=PRINTED.get(name, 1e-12 * max(1.0, abs(want))))
    assert np.isnan(function(np.nan, *others, invalid="nan"))
    assert function(given, *others) == found[0, 0]
    with pytest.raises(cc.NotFiniteError) as caught:
        function([given, np.nan, np.nan], *others)
    assert (caught.value.index, caught.value.count) == (1, 2)
    with pytest.raises(cc.UnknownNameError):
        function(given, *others, invalid="skip")


def test_out_of_range_is_missing_too() -> None:
    assert np.isnan(LOOP.value([3.5, 12.0, 21.5], invalid="nan")).tolist() == [True, False, True]
    assert np.isnan(cc.tolerance.iec60751("AA", [-60.0, 0.0], invalid="nan")).tolist() == [True, False]
    assert np.isnan(cc.its90.reference_ratio([1.0, 300.0], invalid="nan")).tolist() == [True, False]
    kpa = cc.its90.hydrogen_vapour_pressure_temperature("e-H2_20K", [101.292, np.nan], invalid="nan")
    assert np.isnan(kpa).tolist() == [False, True]
    # What cannot be is no missing reading.
    with pytest.raises(cc.InvalidValueError):
        T.kelvin_from_celsius([0.0, -300.0], invalid="nan")


def test_ends_of_a_range_for_each_element() -> None:
    # 0.5 K of spans of 100 K, 200 K and 50 K.
    found = C.percent_of_span(0.5, [0.0, 0.0, 50.0], [100.0, 200.0, 0.0])
    np.testing.assert_array_equal(found, [0.5, 0.25, 1.0])
    back = C.error_from_percent_of_span(found, [0.0, 0.0, 50.0], [100.0, 200.0, 0.0])
    np.testing.assert_array_equal(back, [0.5, 0.5, 0.5])


def test_counts_in_arrays() -> None:
    card = C.DigitalScale(0, 4095, 0.0, 20.0)
    # 4095 = 5 · 819 counts for 20 mA: 819 counts are 4 mA.
    np.testing.assert_allclose(card.value(np.arange(0, 4096, 819)), [0.0, 4.0, 8.0, 12.0, 16.0, 20.0], rtol=1e-15)
    counts = card.count([[4.0, 12.0], [4.002, 20.0]])
    assert counts.dtype == np.int64
    assert counts.tolist() == [[819, 2457], [819, 4095]]
    assert type(card.count(4.0)) is int
    assert type(card.value(819)) is float
    with pytest.raises(cc.OutOfRangeError) as outside:
        card.value([0, 4096, -1])
    assert (outside.value.index, outside.value.count) == (1, 2)
    with pytest.raises(cc.InvalidValueError, match="whole"):
        card.value([1.0, 1.5])
    with pytest.raises(cc.NotFiniteError):
        card.count([4.0, np.nan])
    with pytest.raises(TypeError):
        card.value(True)
    # Beyond what a double tells apart from its neighbours no count is taken.
    with pytest.raises(cc.OutOfRangeError):
        card.value(1e300)


def test_self_heating_in_arrays() -> None:
    # 0.4 mW - 0.1 mW warm by 0.06 K, 0.03 K.
    first = (1.0, 100.0, [0.02, 0.02, np.nan])
    second = (2.0, 100.0, [0.08, 0.05, 0.08])
    found = C.dissipation_from_two_currents(first, second, invalid="nan")
    np.testing.assert_allclose(found[:2], [5.0, 10.0], rtol=1e-12)
    assert np.isnan(found[2])
    with pytest.raises(cc.NotFiniteError) as caught:
        C.dissipation_from_two_currents(first, second)
    assert caught.value.index == 2
    zero = C.zero_power_resistance(1.0, 100.01, 2.0**0.5, 100.02)
    # R = 2 R1 - R2: the root of 4 + 1 for equal uncertainties, 2 and 1 for one of them alone.
    u = zero.uncertainty([1e-3, 1e-3, 0.0, np.nan], [1e-3, 0.0, 1e-3, 1e-3], invalid="nan")
    np.testing.assert_allclose(u[:3], np.array([5.0**0.5, 2.0, 1.0]) * 1e-3, rtol=1e-12)
    assert np.isnan(u[3])
    # 0.02 ohm at I² = 2 mA²: dR/dI1 = -2 I1 (0.01 ohm/mA²) (1 + 1).
    assert np.isclose(zero.uncertainty(0.0, 0.0, 1e-2), 4e-4, rtol=1e-9)


def test_output_of_an_individual_thermocouple() -> None:
    own = cc.CorrectedThermocouple("K", [0.0, 1e-4], 0.0, 400.0)
    t_c = np.array([0.0, 100.0, np.nan])
    out = np.empty(3)
    assert own.emf(t_c, invalid="nan", out=out) is out
    # NIST Monograph 175, type K: 4.096 mV at 100 °C; the deviation adds 0.1 µV/K.
    np.testing.assert_allclose(out[:2], [0.0, 4.106], rtol=0, atol=5e-4)
    assert np.isnan(out[2])
    emf = out.copy()
    assert own.temperature(emf, invalid="nan", out=emf) is emf
    np.testing.assert_allclose(emf[:2], t_c[:2], rtol=0, atol=1e-9)
    slope = np.empty(2)
    own.slope(t_c[:2], out=slope)
    assert np.array_equal(slope, own.slope(t_c[:2]))
    with pytest.raises(TypeError, match="out"):
        own.emf(100.0, out=slope)
    with pytest.raises(ValueError, match="shape"):
        own.emf(t_c, out=slope)
