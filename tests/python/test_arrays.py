"""What is taken for a number and for an array, and in which shape results come back."""

import array
import decimal
import fractions
import threading
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

import calcore as cc
from support import same_bits

PT100 = cc.CallendarVanDusen.iec60751()
WANT = [PT100.resistance(0.0), PT100.resistance(1.0), PT100.resistance(100.0)]


class Column:
    """What tables of other libraries show of themselves."""

    def __init__(self, values: npt.NDArray[Any]) -> None:
        self.values = values

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> npt.NDArray[Any]:
        return self.values if dtype is None else self.values.astype(dtype)

    def __len__(self) -> int:
        return len(self.values)


@pytest.mark.parametrize(
    "number",
    [100.0, 100, np.float64(100.0), np.float32(100.0), np.int16(100), np.uint8(100), np.longdouble(100.0)]
    + [decimal.Decimal(100), fractions.Fraction(100)],
    ids=lambda number: type(number).__name__,
)
def test_a_number_gives_a_float(number: Any) -> None:
    ohm = PT100.resistance(number)
    assert type(ohm) is float
    assert same_bits(ohm, WANT[2])


@pytest.mark.parametrize(
    "values",
    [
        [0.0, 1.0, 100.0],
        (0, 1, 100),
        range(1),
        np.array([0.0, 1.0, 100.0]),
        np.array([0, 1, 100], dtype=np.int8),
        np.array([0, 1, 100], dtype=np.float32),
        np.array([0.0, 1.0, 100.0], dtype=">f8"),
        np.array([0.0, 9.0, 1.0, 9.0, 100.0, 9.0])[::2],
        np.array([100.0, 1.0, 0.0])[::-1],
        Column(np.array([0.0, 1.0, 100.0])),
        Column(np.array([0, 1, 100])),
        array.array("d", [0.0, 1.0, 100.0]),
        np.frombuffer(b"x" + np.array([0.0, 1.0, 100.0]).tobytes(), dtype=np.float64, offset=1),
    ],
    ids=lambda values: type(values).__name__,
)
def test_an_array_like_gives_a_float64_array(values: Any) -> None:
    ohm = PT100.resistance(values)
    assert type(ohm) is np.ndarray
    assert ohm.dtype == np.float64
    assert same_bits(ohm, WANT[: len(values)])


@pytest.mark.parametrize("shape", [(), (0,), (1,), (3,), (0, 3), (2, 3), (1, 1, 1), (2, 0, 2), (2, 3, 4, 5)])
def test_the_shape_stays(shape: tuple[int, ...]) -> None:
    t_c = np.full(shape, 100.0)
    ohm = PT100.resistance(t_c)
    assert type(ohm) is np.ndarray
    assert same_bits(ohm, np.full(shape, WANT[2]))


def test_order_in_memory_does_not_matter() -> None:
    t_c = np.arange(24.0).reshape(2, 3, 4)
    want = PT100.resistance(t_c)
    for other in (np.asfortranarray(t_c), t_c.transpose(2, 0, 1), np.broadcast_to(t_c[:1], (5, 3, 4))):
        got = PT100.resistance(other)
        assert got.shape == other.shape
        assert same_bits(got, np.array([PT100.resistance(t) for t in other.ravel()]).reshape(other.shape))
    assert same_bits(PT100.resistance(t_c.T).T, want)


def test_the_input_is_not_changed_and_the_result_is_new() -> None:
    t_c = np.array([0.0, 1.0])
    t_c.flags.writeable = False
    ohm = PT100.resistance(t_c)
    assert ohm.flags.writeable
    assert ohm.flags.owndata
    assert not np.shares_memory(ohm, t_c)


@pytest.mark.parametrize(
    "value",
    [None, True, np.True_, "100", b"100", 1j, np.complex128(1), object(), [True, False], [None, 1.0], ["a"], [1j]]
    + [np.array([1.0], dtype=object), np.array(["1"]), np.array(["2026-01-01"], dtype="M8[D]"), {"a": 1.0}, {1.0}]
    + [np.ma.masked_array([1.0, 2.0], [False, True]), Column(np.array([1.0, None]))],
    ids=lambda value: repr(value)[:24],
)
def test_what_is_no_number_is_refused_by_name(value: Any) -> None:
    with pytest.raises(TypeError, match="t_c"):
        PT100.resistance(value)


def test_lists_without_a_shape_are_refused() -> None:
    with pytest.raises(ValueError, match="inhomogeneous"):
        PT100.resistance([[1.0], [1.0, 2.0]])


def test_an_integer_too_large_is_refused() -> None:
    with pytest.raises(OverflowError):
        PT100.resistance(10**400)


def test_many_threads_may_use_one_curve() -> None:
    t_c = np.linspace(-200.0, 850.0, 100_000)
    want = PT100.resistance(t_c)
    found: list[bool] = []

    def work() -> None:
        found.extend(same_bits(PT100.resistance(t_c), want) for _ in range(5))

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [True] * 20


# The same bits go into an array that the caller offers.
def test_results_into_an_array_of_the_caller() -> None:
    curve, k = cc.CallendarVanDusen.iec60751(), cc.Thermocouple("K")
    t_c = np.linspace(-100.0, 800.0, 12).reshape(3, 4)
    buffer = np.empty_like(t_c)
    for function in (curve.resistance, curve.slope, k.emf, k.slope, cc.BetaThermistor(1e4, 3950.0).resistance):
        want = function(t_c, invalid="nan")
        assert function(t_c, invalid="nan", out=buffer) is buffer
        assert same_bits(buffer, want)
    assert k.emf(t_c, [[10.0], [20.0], [30.0]], out=buffer) is buffer
    assert same_bits(buffer, k.emf(t_c, [[10.0], [20.0], [30.0]]))
    # In place, and into memory that overlaps.
    mv = k.emf(t_c)
    want = k.temperature(mv)
    assert same_bits(k.temperature(mv, out=mv), want)
    memory = np.concatenate([t_c.ravel(), [0.0]])
    want = curve.resistance(memory[:-1])
    assert same_bits(curve.resistance(memory[:-1], out=memory[1:]), want)


def test_what_cannot_take_the_results() -> None:
    curve = cc.CallendarVanDusen.iec60751()
    t_c = np.zeros((2, 3))
    fixed = np.empty((2, 3))
    fixed.flags.writeable = False
    for out in (np.empty((2, 3), dtype=np.float32), np.empty((3, 2)).T, fixed, [0.0] * 6):
        with pytest.raises(TypeError, match="writeable array of float64"):
            curve.resistance(t_c, out=out)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="shape"):
        curve.resistance(t_c, out=np.empty(6))
    with pytest.raises(TypeError, match="number"):
        curve.resistance(0.0, out=np.empty(1))
    with pytest.raises(TypeError, match="number"):
        cc.Thermocouple("K").emf(0.0, out=np.empty(1))
