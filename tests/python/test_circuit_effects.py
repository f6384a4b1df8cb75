"""The effects of leads, insulation, currents, junctions, immersion and displays, against values worked by hand."""

import copy
import math
import pickle
from typing import Any

import numpy as np
import pytest

import calcore as cc

C = cc.circuit
PT100 = cc.CallendarVanDusen.iec60751()
K = cc.Thermocouple("K")


# IEC 60751: 0.39083 ohm/K at 0 °C. 0.5 ohm make 1.2796 K by the curve itself, 0.1 ohm 0.2559 K.
def test_leads() -> None:
    assert abs(C.two_wire_effect(PT100, 0.0, 0.5).error_k - 1.2796) < 5e-5
    effect = C.three_wire_effect(PT100, 0.0, 0.1)
    assert abs(effect.error_k - 0.2559) < 5e-5
    assert abs(effect.error_k_per_unit - 1 / 0.39083) < 0.002
    assert C.two_wire_reading(100.0, 0.2, 0.3) == 100.5
    assert math.isclose(C.three_wire_reading(100.0, 0.3, 0.2), 100.1, rel_tol=1e-15)


# 10 megohm across 247.092 ohm at 400 °C take 6.1055 milliohm, over 0.34463 ohm/K: -17.72 mK.
def test_insulation() -> None:
    assert abs(C.insulation_effect(PT100, 400.0, 10e6).error_k + 0.01772) < 5e-6
    read = C.resistance_with_insulation([100.0, 200.0], 1e6)
    assert np.allclose(C.resistance_without_insulation(read, 1e6), [100.0, 200.0], rtol=1e-15)


# Linear self-heating is extrapolated exactly; at a ratio of the root of two the uncertainty is the root of five.
def test_self_heating() -> None:
    zero = C.zero_power_resistance(1.0, 100.0 + 0.02, math.sqrt(2.0), 100.0 + 0.04)
    assert abs(zero.ohm - 100.0) < 1e-12
    assert math.isclose(zero.uncertainty(1e-3, 1e-3), math.sqrt(5.0) * 1e-3, rel_tol=1e-12)
    heating = C.self_heating(1.0, 100.0, 5.0)
    assert (heating.power_mw, heating.error_k) == (0.1, 0.02)


# 5 µV in both directions of 1 mA through 100 ohm.
def test_reversal() -> None:
    reading = C.resistance_by_reversal(100.005, 1.0, -99.995, 1.0)
    assert abs(reading.ohm - 100.0) < 1e-12
    assert abs(reading.emf_mv - 0.005) < 1e-12


# IEC 60584-1, type K: E(100 °C) = 4.096 mV, E(25 °C) = 1.000 mV.
def test_junctions() -> None:
    reading = C.measuring_junction(K, 3.096, 25.0)
    assert abs(reading.t_c - 100.0) < 0.02
    assert abs(C.reference_junction_effect(K, 100.0, 0.0, 25.0).error_k + 24.11) < 0.005
    assert abs(C.extension_wire_error(K, "copper", 500.0, 45.0, 25.0).error_mv + 0.817) < 0.001
    assert abs(C.extension_wire_error(K, cc.Thermocouple("J"), 500.0, 45.0, 25.0).error_mv - 0.227) < 0.002
    assert abs(C.extension_wire_error(K, 0.060, 500.0, 45.0, 25.0).error_k - 0.060 / 0.0426) < 0.003
    with pytest.raises(cc.UnknownNameError, match="silver"):
        C.extension_wire_error(K, "silver", 500.0, 45.0, 25.0)  # type: ignore[call-overload]


# exp(-5) = 0.0067379 of 80 K.
def test_immersion() -> None:
    stem = C.Immersion(10.0)
    assert abs(stem.error_k(100.0, 20.0, 50.0) + 80.0 * math.exp(-5.0)) < 1e-12
    assert abs(stem.true_temperature(100.0 + stem.error_k(100.0, 20.0, 50.0), 20.0, 50.0) - 100.0) < 1e-12


# A 12-bit card over 20 mA: 20/4095 mA a count; a step of 0.1 is 0.1/sqrt(12).
def test_counts_and_displays() -> None:
    card = C.DigitalScale(0, 4095, 0.0, 20.0)
    assert math.isclose(card.resolution, 20.0 / 4095, rel_tol=1e-15)
    assert math.isclose(card.value(4095), 20.0)
    display = C.Display(0.1)
    assert math.isclose(display.uncertainty, 0.1 / math.sqrt(12.0), rel_tol=1e-15)
    assert C.Display(0.1, "truncate").mean_error == -0.05
    with pytest.raises(cc.InvalidValueError):
        C.Display(0.0)


# Metrologia 27 (1990) 3, section 3.3: W(Ga) at least 1.11807, W(Hg) at most 0.844235, W(Ag) at least 4.2844.
def test_acceptance() -> None:
    good = cc.its90.acceptance(w_gallium=1.11808, w_silver=4.2840)
    assert good.accepted
    assert good.accepted_to_silver is False
    assert good.failed == ["Ag"]
    assert good.criteria[0]["limit"] == 1.11807
    assert not cc.its90.acceptance(w_gallium=1.11806).accepted


@pytest.mark.parametrize(
    "thing",
    [
        C.two_wire_effect(PT100, 0.0, 0.5),
        C.self_heating(1.0, 100.0, 5.0),
        C.zero_power_resistance(1.0, 100.02, 2.0, 100.08),
        C.resistance_by_reversal(100.0, 1.0, -100.0, 1.0),
        C.measuring_junction(K, 3.0, 25.0),
        C.extension_wire_error(K, "reversed", 500.0, 45.0, 25.0),
        C.DigitalScale(0, 4095, 0.0, 20.0),
        C.Display(0.1, "truncate"),
        C.Immersion(10.0, 0.9),
        cc.its90.acceptance(w_gallium=1.1181),
    ],
    ids=lambda thing: type(thing).__name__,
)
def test_copies_are_equal(thing: Any) -> None:
    assert pickle.loads(pickle.dumps(thing)) == thing
    assert copy.deepcopy(thing) == thing


def test_what_is_no_curve() -> None:
    with pytest.raises(TypeError, match="sensor curve"):
        C.two_wire_effect(100.0, 0.0, 0.5)  # type: ignore[call-overload]
    with pytest.raises(cc.OutOfRangeError):
        C.two_wire_effect(PT100, 900.0, 0.5)


# Arrays give a record array whose fields are the attributes of the object for one value, to the same bits.
def test_effects_over_arrays() -> None:
    t_c = np.array([[0.0, 100.0, 400.0], [-50.0, 20.0, 300.0]])
    leads = np.array([0.1, 0.2, 0.5])
    cases: list[tuple[Any, list[Any]]] = [
        (lambda t, x, **k: C.two_wire_effect(PT100, t, x, **k), [t_c, leads]),
        (lambda t, x, **k: C.three_wire_effect(PT100, t, x, **k), [t_c, leads]),
        (lambda t, x, **k: C.insulation_effect(PT100, t, x, **k), [t_c, 1e6 * leads]),
        (lambda t, x, **k: C.thermal_emf_effect(PT100, t, x, 1.0, **k), [t_c, leads]),
        (lambda t, x, **k: C.reference_junction_effect(K, t, 20.0, x, **k), [t_c, leads]),
        (lambda mv, r, **k: C.measuring_junction(K, mv, r, **k), [np.array([[1.0], [4.0]]), 100 * leads]),
        (lambda ma, ohm, **k: C.self_heating(ma, ohm, 5.0, **k), [leads, 100 + t_c]),
        (lambda x, y, **k: C.zero_power_resistance(1.0, x, 2.0, y, **k), [100 + leads, 100 + 4 * leads]),
        (lambda x, y, **k: C.resistance_by_reversal(x, 1.0, y, 1.0, **k), [100 + leads, -100 + leads]),
        (lambda h, r, **k: C.extension_wire_error(K, "copper", h, 45.0, r, **k), [500 + t_c, 100 * leads]),
    ]
    for function, arguments in cases:
        many = function(*arguments)
        given = np.broadcast_arrays(*arguments)
        assert many.shape == given[0].shape
        for index in np.ndindex(many.shape):
            one = function(*(float(values[index]) for values in given))
            for name in many.dtype.names:
                assert getattr(one, name) == getattr(many, name)[index], (type(one).__name__, name)
        again = pickle.loads(pickle.dumps(many))
        assert (again == many).all()
        first = np.array(arguments[0])
        first.flat[1] = math.nan
        with pytest.raises(cc.NotFiniteError) as caught:
            function(first, arguments[1])
        assert caught.value.index == np.flatnonzero(np.isnan(np.broadcast_arrays(first, arguments[1])[0]))[0]
        spoilt = function(first, arguments[1], invalid="nan")
        for name in spoilt.dtype.names:
            bad = np.isnan(np.broadcast_arrays(first, arguments[1])[0])
            assert np.isnan(spoilt[name][bad]).all()
            assert not np.isnan(spoilt[name][~bad]).any()
    assert C.two_wire_effect(PT100, np.empty((0, 2)), 0.1).shape == (0, 2)
    assert math.isnan(C.two_wire_effect(PT100, math.nan, 0.1, invalid="nan").error_k)
    with pytest.raises(cc.OutOfRangeError) as outside:
        C.two_wire_effect(PT100, [0.0, 900.0, 950.0], 0.1)
    assert (outside.value.index, outside.value.count) == (1, 2)
    with pytest.raises(cc.InvalidValueError):
        C.insulation_effect(PT100, [0.0, 1.0], -5.0, invalid="nan")
    with pytest.raises(cc.UnknownNameError):
        C.two_wire_effect(PT100, [0.0], 0.1, invalid="zero")  # type: ignore[call-overload]
    with pytest.raises(ValueError, match="broadcast"):
        C.two_wire_effect(PT100, [0.0, 1.0], [0.1, 0.2, 0.3])


def test_numbers_over_arrays() -> None:
    area = np.array([[0.5], [1.5]])
    length = np.array([10.0, 100.0])
    read = C.copper_lead_resistance(length, area, 20.0)
    assert read.shape == (2, 2)
    assert read[1, 1] == C.copper_lead_resistance(100.0, 1.5, 20.0)
    assert C.two_wire_reading(100.0, [0.2, 0.3], 0.3).tolist() == [100.5, 100.6]
    assert np.allclose(C.three_wire_reading([100.0, 101.0], 0.3, 0.2), [100.1, 101.1], rtol=1e-15)
    assert np.isnan(C.resistance_with_insulation([100.0, math.nan], 1e6, invalid="nan")).tolist() == [False, True]
    probe = C.Immersion(6.0)
    depth = np.array([20.0, 40.0, 80.0])
    error = probe.error_k(150.0, 20.0, depth)
    assert [probe.error_k(150.0, 20.0, float(mm)) for mm in depth] == error.tolist()
    np.testing.assert_allclose(probe.true_temperature(150.0 + error, 20.0, depth), 150.0, rtol=1e-14)
    assert probe.error_k_per_mm(150.0, 20.0, depth).shape == (3,)
