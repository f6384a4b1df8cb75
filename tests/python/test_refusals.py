"""What cannot be a sensor, a point or a result is refused by name; arrays stand wherever a number does."""

from collections.abc import Callable

import numpy as np
import pytest

import calcore as cc

K = cc.Thermocouple("K")
PT100 = cc.CallendarVanDusen.iec60751()
THERMISTOR = cc.BetaThermistor(10_000.0, 3950.0)


def test_rising_points_are_no_thermistor() -> None:
    with pytest.raises(cc.InvalidValueError, match="1752 ohm at 0 °C"):
        cc.fit.steinhart_hart([0.0, 25.0, 70.0], [1752.0, 10_000.0, 32_650.0])
    with pytest.raises(cc.InvalidValueError, match="must fall"):
        cc.BetaThermistor.beta_from_points((25.0, 10_000.0), (50.0, 20_000.0))


def test_a_resistance_below_zero_is_no_thermometer() -> None:
    for coefficients in [(100.0, 3.9083, -5.775e-7), (100.0, 3.9083e-3, -5.775e-7, -4.183e-8)]:
        with pytest.raises(cc.InvalidValueError, match="it must be positive from -200 °C"):
            cc.CallendarVanDusen(*coefficients)
    with pytest.raises(cc.InvalidValueError, match="resistance is -"):
        cc.CallendarVanDusen.from_alpha_delta_beta(100.0, 0.00385, 1.5, 1086.0)


@pytest.mark.parametrize("t_c", [20.0, [20.0, 30.0]])
def test_ohm_are_not_added_to_millivolts(t_c: float) -> None:
    ci = cc.circuit
    every: list[Callable[[], object]] = [
        lambda: ci.two_wire_effect(K, t_c, 0.5),
        lambda: ci.three_wire_effect(K, t_c, 0.5),
        lambda: ci.thermal_emf_effect(K, t_c, 5.0, 1.0),
        lambda: ci.insulation_effect(K, t_c, 1e6),
        lambda: ci.measured_emf(PT100, t_c, 25.0),
        lambda: ci.measured_emf(THERMISTOR, t_c, 25.0),
        lambda: ci.measuring_junction(PT100, t_c, 25.0),
        lambda: ci.reference_junction_effect(PT100, t_c, 25.0, 1.0),
    ]
    for refused in every:
        with pytest.raises(cc.UnknownNameError, match=r"resistance in ohm|emf in mV"):
            refused()
    table = cc.TabulatedCurve([0.0, 50.0, 100.0], [100.0, 119.4, 138.5])
    assert ci.two_wire_effect(table, 20.0, 0.1).error_k > 0.0


def test_type_b_above_its_minimum_with_a_cold_junction_below() -> None:
    b = cc.Thermocouple("B", side="upper")
    mv = b.emf(1000.0, 20.0)
    assert cc.circuit.measured_emf(b, 1000.0, 20.0) == mv
    assert cc.circuit.measuring_junction(b, mv, 20.0).t_c == b.temperature(mv, 20.0)
    assert cc.circuit.reference_junction_effect(b, 1000.0, 20.0, 1.0).error_k > 0.0


def test_results_that_no_element_has() -> None:
    ci = cc.circuit
    with pytest.raises(cc.InvalidValueError, match="resistance at zero power is -2070"):
        ci.zero_power_resistance(100.01, 1.0, 100.02, 2**0.5)
    with pytest.raises(cc.InvalidValueError, match=r"both leads, 0\.5 ohm"):
        ci.two_wire_element(0.4, 0.25, 0.25)
    with pytest.raises(cc.InvalidValueError, match=r"reversed current is 99\.995 mV"):
        ci.resistance_by_reversal(100.005, 1.0, 99.995, 1.0)
    with pytest.raises(cc.OutOfRangeError) as caught:
        cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6]).deviation(100.0)
    assert (caught.value.value, caught.value.quantity) == (100.0, "ratio")
    with pytest.raises(cc.NotFiniteError):
        cc.CorrectedThermocouple("K", [0.0, np.nan], 0.0, 400.0)
    with pytest.raises(cc.InvalidValueError, match="lower end of the range is 400 °C"):
        cc.CorrectedThermocouple("K", [0.0], 400.0, 0.0)


def test_the_inverse_stays_in_the_range() -> None:
    assert PT100.temperature(390.48112500039) == 850.0
    assert PT100.temperature([390.48112500039, 100.0]).tolist() == [850.0, 0.0]
    ohm = THERMISTOR.resistance(-100.0) * (1.0 + 9e-13)
    assert THERMISTOR.temperature(ohm) == -100.0


def test_a_temperature_without_a_current_is_named() -> None:
    current_loop = cc.circuit.CurrentLoop(0.0, 150.0)
    both: list[Callable[[], object]] = [
        lambda: current_loop.error_ma(12.0, 200.0),
        lambda: current_loop.current(200.0),
    ]
    for refused in both:
        with pytest.raises(cc.OutOfRangeError, match=r"temperature 200 °C is outside -1\.875 to 154\.6875 °C"):
            refused()


def test_the_element_of_an_array_is_told() -> None:
    with pytest.raises(cc.InvalidValueError, match="element 1") as caught:
        cc.Thermocouple("B").temperature([5.0, -0.002])
    assert caught.value.index == 1


def test_settling_takes_arrays() -> None:
    st = cc.settling
    time_s = [0.0, 10.0, 20.0]
    value = [100.0, 100.1, 100.3]
    moments = np.array([[5.0, 10.0], [14.0, 25.0]])
    found = st.reference_at(time_s, value, moments, max_extrapolation_s=5.0)
    assert found.shape == moments.shape
    assert found.extrapolated.tolist() == [[False, False], [False, True]]
    for i, at_s in np.ndenumerate(moments):
        one = st.reference_at(time_s, value, float(at_s), max_extrapolation_s=5.0)
        assert (found.value[i], found.standard_uncertainty[i]) == (one.value, one.standard_uncertainty)
        assert found.extrapolated[i] == one.extrapolated
    with pytest.raises(cc.OutOfRangeError) as caught:
        st.reference_at(time_s, value, [5.0, 25.0])
    assert caught.value.index == 1
    correction_k, u_k = st.lag_correction(np.array([60.0, 30.0]), 0.0, 0.02, 0.001)
    # 60 s of 0.02 K/min are 0.02 K, of 0.001 K/min 0.001 K.
    assert correction_k == pytest.approx([0.02, 0.01], abs=1e-17)
    assert u_k == pytest.approx([0.001, 0.0005], abs=1e-18)
    assert st.lag_correction(60.0, 0.0, 0.02) == (st.lag(60.0, 0.02), 0.0)
    # n (1 - rho)/(1 + rho), by hand.
    assert st.effective_count(30, np.array([0.0, 0.5])).tolist() == [30.0, 10.0]


def test_uncertainty_of_many_resistances_at_zero_power() -> None:
    first_ohm = np.array([100.01, 100.03])
    u = cc.circuit.zero_power_uncertainty(1.0, first_ohm, 1.5, 100.06, 1e-3, 2e-3, 1e-4)
    for i, ohm in enumerate(first_ohm):
        zero = cc.circuit.zero_power_resistance(1.0, float(ohm), 1.5, 100.06)
        assert u[i] == zero.uncertainty(1e-3, 2e-3, 1e-4)
    # Equal uncertainties at a ratio of sqrt(2): sqrt(2**2 + 1**2), by hand.
    one = cc.circuit.zero_power_uncertainty(1.0, 100.01, 2**0.5, 100.02, 1e-3, 1e-3)
    assert one == pytest.approx(5**0.5 * 1e-3, rel=1e-12)
