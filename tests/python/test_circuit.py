"""The current loop, and errors of indication in every unit."""

import numpy as np
import pytest

import calcore as cc

LOOP = cc.circuit.CurrentLoop(0.0, 200.0)


def test_value_and_current() -> None:
    # IEC 60381-1: 4 mA and 20 mA stand for the two ends, a straight line between them.
    np.testing.assert_array_equal(LOOP.value([4.0, 8.0, 12.0, 20.0]), [0.0, 50.0, 100.0, 200.0])
    np.testing.assert_array_equal(LOOP.current([0.0, 50.0, 100.0, 200.0]), [4.0, 8.0, 12.0, 20.0])
    reverse = cc.circuit.CurrentLoop(200.0, 0.0)
    assert reverse.value(8.0) == 150.0
    assert (reverse.signed_span_k, reverse.kelvins_per_ma) == (-200.0, -12.5)
    assert (reverse.error_k_from_ma(0.1), LOOP.error_k_from_ma(0.1)) == (-1.25, 1.25)
    assert LOOP.error_ma_from_k(1.25) == 0.1
    assert LOOP.percent_of_span_from_k(1.0) == 0.5
    assert LOOP.error_ma(12.5, 100.0) == 0.5


def test_levels_of_failure() -> None:
    # NAMUR NE 43: measuring from 3.8 mA to 20.5 mA, failure at or below 3.6 mA and at or above 21.0 mA.
    with pytest.raises(cc.OutOfRangeError) as caught:
        LOOP.value([12.0, 3.5, 21.5])
    assert (caught.value.low, caught.value.high, caught.value.unit) == (3.8, 20.5, "mA")
    assert (caught.value.index, caught.value.count) == (1, 2)
    assert LOOP.extrapolated_value(2.4) == -20.0
    assert LOOP.saturated_current(-100.0) == 3.8
    names = LOOP.status([[3.6, 3.7], [12.0, 21.0]])
    assert names.shape == (2, 2)
    assert names.tolist() == [["failed_low", "undefined_low"], ["measuring", "failed_high"]]
    assert LOOP.status(20.6) == "undefined_high"
    with pytest.raises(cc.NotFiniteError) as nan:
        LOOP.status([4.0, np.nan])
    assert nan.value.index == 1
    own = cc.circuit.SignalLevels(failed_high_ma=22.0)
    assert cc.circuit.CurrentLoop(0.0, 1.0, levels=own).status(21.5) == "undefined_high"
    with pytest.raises(cc.InvalidValueError):
        cc.circuit.SignalLevels(saturated_low_ma=3.5)


def test_errors_of_indication() -> None:
    error = cc.circuit.indication_error([100.5, 49.5], 50.0)
    np.testing.assert_array_equal(error, [50.5, -0.5])
    np.testing.assert_array_equal(cc.circuit.corrected([100.5, 49.5], error), [50.0, 50.0])
    assert cc.circuit.percent_of_span(0.5, 200.0, 0.0) == 0.25
    assert cc.circuit.error_from_percent_of_span(0.25, 0.0, 200.0) == 0.5
    assert cc.circuit.percent_of_reading(0.5, -100.0) == 0.5
    assert cc.circuit.error_from_percent_of_reading(0.5, -100.0) == 0.5
    with pytest.raises(cc.InvalidValueError):
        cc.circuit.percent_of_reading(0.5, 0.0)
    with pytest.raises(cc.InvalidValueError):
        cc.circuit.percent_of_span(0.5, 10.0, 10.0)


def test_arrays_are_brought_to_a_common_shape() -> None:
    grid = cc.circuit.indication_error(np.array([[1.0], [2.0]]), [0.0, 1.0, 2.0])
    np.testing.assert_array_equal(grid, [[1.0, 0.0, -1.0], [2.0, 1.0, 0.0]])
    assert cc.circuit.indication_error(np.empty((0, 2)), 1.0).shape == (0, 2)
    with pytest.raises(ValueError, match="broadcast"):
        cc.circuit.indication_error([1.0, 2.0], [1.0, 2.0, 3.0])
    with pytest.raises(TypeError, match="reference_c"):
        cc.circuit.indication_error(1.0, None)  # type: ignore[call-overload]
    with pytest.raises(cc.NotFiniteError) as caught:
        cc.circuit.indication_error([1.0, 2.0], [np.nan, np.nan])
    assert (caught.value.index, caught.value.count) == (0, 2)


PT100 = cc.CallendarVanDusen.iec60751()


def test_effects_are_what_the_curve_says() -> None:
    # Each is the error of the temperature that the changed resistance is read as.
    ohm = PT100.resistance(50.0)
    two = cc.circuit.two_wire_effect(PT100, 50.0, 0.5)
    assert two.error_k == pytest.approx(PT100.temperature(ohm + 0.5) - 50.0, abs=1e-12)
    assert two.error_k_per_unit == pytest.approx(1.0 / PT100.slope(50.0), rel=0.01)
    three = cc.circuit.three_wire_effect(PT100, 50.0, -0.1)
    assert three.error_k == pytest.approx(PT100.temperature(ohm - 0.1) - 50.0, abs=1e-12)
    leaking = cc.circuit.resistance_with_insulation(ohm, 1e6)
    assert leaking == pytest.approx(ohm * 1e6 / (ohm + 1e6), rel=1e-14)
    insulation = cc.circuit.insulation_effect(PT100, 50.0, 1e6)
    assert insulation.error_k == pytest.approx(PT100.temperature(leaking) - 50.0, abs=1e-10)
    emf = cc.circuit.thermal_emf_effect(PT100, 50.0, 2.0, 1.0)
    assert emf.error_k == pytest.approx(PT100.temperature(ohm + 0.002) - 50.0, abs=1e-12)
    for curve in (cc.PolynomialRtd.standard("din43760_ni618", 100.0), cc.BetaThermistor(1e4, 3950.0)):
        change = curve.resistance(50.0) + 0.5
        want = curve.temperature(change) - 50.0
        assert cc.circuit.two_wire_effect(curve, 50.0, 0.5).error_k == pytest.approx(want, abs=1e-11)
    with pytest.raises(TypeError, match="curve"):
        cc.circuit.two_wire_effect(100.0, 0.0, 0.5)  # type: ignore[arg-type]


def test_self_heating_and_reversal() -> None:
    heating = cc.circuit.self_heating(1.0, 100.0, 5.0)
    assert (heating.power_mw, heating.error_k) == pytest.approx((0.1, 0.02), rel=1e-14)
    zero = cc.circuit.zero_power_resistance(1.0, 100.01, 2.0, 100.04)
    assert zero.ohm == pytest.approx(100.0, abs=1e-12)
    assert zero.per_first_ohm + zero.per_second_ohm == pytest.approx(1.0, rel=1e-14)
    # One fixed point of the formula: with currents 1 : sqrt 2 the uncertainty is sqrt 5 times that of a reading.
    root = cc.circuit.zero_power_resistance(1.0, 100.01, 2.0**0.5, 100.02)
    assert root.uncertainty(1e-3, 1e-3) == pytest.approx(5.0**0.5 * 1e-3, rel=1e-12)
    reading = cc.circuit.resistance_by_reversal(100.005, 1.0, -99.995, 1.0)
    assert (reading.ohm, reading.emf_mv) == pytest.approx((100.0, 0.005), rel=1e-10)
    assert cc.circuit.dissipation_from_two_currents((1.0, 100.0, 20.0), (2.0, 100.0, 20.06)) == pytest.approx(5.0)


def test_thermocouple_wiring() -> None:
    k = cc.Thermocouple("K")
    colder = cc.circuit.reference_junction_effect(k, 500.0, 25.0, 2.0)
    want = k.temperature(k.emf(500.0, 27.0), 25.0) - 500.0
    assert colder.error_k == pytest.approx(want, abs=1e-9)
    error_mv, error_k = cc.circuit.extension_wire_error(k, "copper", 500.0, 45.0, 25.0)
    assert error_mv == pytest.approx(-(k.emf(45.0) - k.emf(25.0)), abs=1e-12)
    assert error_k == pytest.approx(k.temperature(k.emf(500.0) + error_mv) - 500.0, abs=1e-9)
    reversed_mv, _ = cc.circuit.extension_wire_error(k, "reversed", 500.0, 45.0, 25.0)
    assert reversed_mv == pytest.approx(2.0 * error_mv, rel=1e-12)
    other_mv, _ = cc.circuit.extension_wire_error(k, cc.Thermocouple("J"), 500.0, 45.0, 25.0)
    j = cc.Thermocouple("J")
    assert other_mv == pytest.approx(j.emf(45.0) - j.emf(25.0) + error_mv, abs=1e-12)
    assert cc.circuit.extension_wire_error(k, 0.05, 500.0, 45.0, 25.0)[0] == 0.05
    with pytest.raises(cc.UnknownNameError):
        cc.circuit.extension_wire_error(k, "silver", 500.0, 45.0, 25.0)  # type: ignore[arg-type]
    # A rectangle over the range of the scan.
    assert cc.circuit.inhomogeneity_uncertainty(1.0) == pytest.approx(1.0 / 12.0**0.5, rel=1e-14)


def test_leads() -> None:
    # IEC 60028: 0.017241 ohm mm²/m at 20 °C.
    assert cc.circuit.copper_lead_resistance(50.0, 0.5) == pytest.approx(1.7241, rel=1e-12)
    assert cc.circuit.copper_lead_resistance([10.0, 20.0], 1.0, 30.0).shape == (2,)
    assert cc.circuit.two_wire_reading(100.0, 0.25, 0.5) == 100.75
    assert cc.circuit.three_wire_reading(100.0, 0.5, 0.25) == 100.25
    assert cc.circuit.resistance_without_insulation(cc.circuit.resistance_with_insulation(138.5, 1e5), 1e5) == (
        pytest.approx(138.5, rel=1e-14)
    )


def test_immersion_counts_and_displays() -> None:
    stem = cc.circuit.Immersion(6.0)
    # Five effective diameters: exp(-5) of the difference.
    assert stem.error_k(100.0, 0.0, 30.0) == pytest.approx(-100.0 * np.exp(-5.0), rel=1e-13)
    read = 100.0 + stem.error_k(100.0, 0.0, 30.0)
    assert stem.true_temperature(read, 0.0, 30.0) == pytest.approx(100.0, abs=1e-12)
    found, t_c = cc.circuit.immersion_from_two_depths(
        (40.0, 150.0 + stem.error_k(150.0, 22.0, 40.0)), (60.0, 150.0 + stem.error_k(150.0, 22.0, 60.0)), 22.0
    )
    assert (found.effective_diameter_mm, t_c) == pytest.approx((6.0, 150.0), rel=1e-8)
    card = cc.circuit.DigitalScale(0, 4096, 0.0, 20.0)
    assert (card.value(2048), card.count(10.0), card.resolution) == (10.0, 2048, 20.0 / 4096)
    assert card.resolution_uncertainty == pytest.approx(card.resolution / 12.0**0.5, rel=1e-14)
    with pytest.raises(cc.OutOfRangeError):
        card.value(5000)
    display = cc.circuit.Display(0.1)
    np.testing.assert_allclose(display.shown([100.37, -0.04]), [100.4, 0.0], rtol=0, atol=1e-12)
    cut = cc.circuit.Display(0.1, "truncate")
    assert cut.shown(100.37) == pytest.approx(100.3, abs=1e-12)
    assert (cut.rounding, cut.mean_error) == ("truncate", -0.05)
    with pytest.raises(cc.UnknownNameError):
        cc.circuit.Display(0.1, "up")  # type: ignore[arg-type]
