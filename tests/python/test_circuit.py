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
