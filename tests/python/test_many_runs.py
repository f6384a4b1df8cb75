"""Many runs at once: in their order, on any number of threads; one that fails spoils only its own rows."""

import copy
import threading

import numpy as np
import pytest

import calcore as cc
from support import run, same_bits

LC = cc.loop_calibration
GOOD = run()
RESULT = GOOD.evaluate()


def bad_run() -> LC.Run:
    """An uncertainty beyond all doubles: U/k = 1e309."""
    description = copy.deepcopy(GOOD.to_dict())
    description["reference"]["contributions"][0]["distribution"]["expanded"] = {
        "expanded_uncertainty": 1e300,
        "coverage_factor": 1e-9,
    }
    return LC.Run.from_dict(description)


@pytest.mark.parametrize("threads", [0, 1, 2, 3])
def test_a_run_that_fails_keeps_its_place(threads: int) -> None:
    found = LC.evaluate_all([GOOD, bad_run(), GOOD], threads=threads)
    assert isinstance(found[1], cc.NotFiniteError)
    assert found[0] == found[2] == RESULT
    columns, faults = LC.evaluate_points([GOOD, bad_run(), GOOD], threads=threads)
    assert list(faults) == [1]
    assert isinstance(faults[1], cc.NotFiniteError)
    assert set(columns["run"]) == {0, 2}


def test_rows_are_the_points() -> None:
    columns, faults = LC.evaluate_points([GOOD] * 2)
    assert not faults
    points = [(tag, point) for tag, one in RESULT.instruments.items() for point in one.points]
    assert all(len(column) == 2 * len(points) for column in columns.values())
    assert columns["tag"].tolist() == 2 * [tag for tag, _ in points]
    assert columns["verdict"].tolist() == 2 * [point.verdict for _, point in points]
    assert columns["set_point"].tolist() == 2 * [point.set_point for _, point in points]
    for name in set(columns) - {"run", "tag", "verdict", "set_point"}:
        assert same_bits(columns[name], 2 * [getattr(point, name) for _, point in points]), name


def test_other_threads_go_on_meanwhile() -> None:
    ticks, stop = [0], threading.Event()

    def count() -> None:
        while not stop.is_set():
            ticks[0] += 1
            stop.wait(0.0005)

    other = threading.Thread(target=count)
    other.start()
    try:
        before = ticks[0]
        LC.evaluate_points([GOOD] * 400, threads=1)
        assert ticks[0] > before + 5
    finally:
        stop.set()
        other.join()


def test_nothing_gives_nothing() -> None:
    assert LC.evaluate_all([]) == []
    columns, faults = LC.evaluate_points([])
    assert not faults
    assert all(isinstance(column, np.ndarray) and column.shape == (0,) for column in columns.values())
