"""Every object of calcore can be pickled, copied and compared."""

import copy
import pickle
from typing import Any

import pytest

import calcore as cc

CURVE = cc.CallendarVanDusen(100.1, 3.9e-3, -5.8e-7, -4.2e-12, range_c=(-100.0, 400.0))
T = cc.tolerance.Tolerance
OBJECTS = [
    CURVE,
    cc.CallendarVanDusen.iec60751(),
    T.absolute(0.5),
    T.max(T.sum(T.percent_of_span(0.1, 0.0, 150.0), T.asymmetric(-0.5, 1.0)), T.percent_of_reading(0.2)),
    T.iec60751("A", "film"),
    cc.circuit.SignalLevels(3.5, 3.9, 20.5, 22.0),
    cc.circuit.CurrentLoop(150.0, 0.0, levels=cc.circuit.SignalLevels(failed_high_ma=22.0)),
]


@pytest.mark.parametrize("thing", OBJECTS, ids=lambda thing: type(thing).__name__)
def test_copies_are_equal(thing: Any) -> None:
    for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
        again = pickle.loads(pickle.dumps(thing, protocol))
        assert type(again) is type(thing)
        assert again == thing
    assert copy.copy(thing) == thing
    assert copy.deepcopy(thing) == thing
    assert thing != 1
    assert hash(copy.copy(thing)) == hash(thing)


@pytest.mark.parametrize("thing", OBJECTS, ids=lambda thing: type(thing).__name__)
def test_objects_do_not_change(thing: Any) -> None:
    with pytest.raises(AttributeError):
        thing.something = 1.0


def test_errors_keep_their_attributes() -> None:
    with pytest.raises(cc.OutOfRangeError) as caught:
        CURVE.resistance([0.0, 500.0])
    again = pickle.loads(pickle.dumps(caught.value))
    assert type(again) is cc.OutOfRangeError
    assert str(again) == str(caught.value)
    assert vars(again) == vars(caught.value)
