"""Monte Carlo propagation: against the examples of the supplement, and with models that misbehave."""

import math
import threading
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import Array

U = cc.uncertainty
FOUR: dict[str, U.Distribution] = {f"x{i}": U.Rectangular(-math.sqrt(3.0), math.sqrt(3.0)) for i in range(4)}


def total(*arrays: Array) -> Array:
    return np.asarray(np.sum(arrays, axis=0), dtype=np.float64)


def test_sum_of_four_rectangles() -> None:
    # JCGM 101:2008, 9.2.3: u = 2.0, 95 % interval -3.88 to 3.88; four standard errors of a million trials.
    result = U.monte_carlo(total, FOUR, seed=1)
    assert result.trials == 1_000_000
    assert result.mean == pytest.approx(0.0, abs=4 * 2e-3)
    assert result.standard_uncertainty == pytest.approx(2.0, abs=0.006)
    for (low, high), (u_low, u_high) in (
        (result.interval, result.interval_standard_error),
        (result.interval_symmetric, result.interval_symmetric_standard_error),
    ):
        # Half a unit of the last printed digit, and four standard errors.
        assert low == pytest.approx(-3.88, abs=0.005 + 4 * u_low)
        assert high == pytest.approx(3.88, abs=0.005 + 4 * u_high)
    # 9.2.2: the law of propagation gives 3.92, which does not hold to two digits, but does to one.
    first_order = U.propagate(lambda a, b, c, d: a + b + c + d, FOUR)
    assert result.validates(first_order, digits=1)
    assert not result.validates(first_order, digits=2)
    assert result.validates(first_order, digits=1, symmetric=True).valid


def test_same_seed_same_result_on_any_number_of_threads() -> None:
    results = [U.monte_carlo(total, FOUR, trials=100_000, seed=7, threads=threads) for threads in (1, 2, 3)]
    assert results[0] == results[1] == results[2]
    assert U.monte_carlo(total, FOUR, trials=100_000, seed=8) != results[0]


def test_options() -> None:
    result = U.monte_carlo(total, FOUR, trials=50_000, keep_values=True, histogram_classes=20, coverage=0.9)
    assert result.values is not None
    assert result.values.mean() == pytest.approx(result.mean, abs=1e-12)
    assert result.histogram is not None
    low, high, counts = result.histogram
    assert (len(counts), counts.sum()) == (20, 50_000)
    assert low <= result.values.min() < result.values.max() <= high
    assert result.coverage_probability == 0.9
    adaptive = U.monte_carlo(total, FOUR, digits=1, trials=2_000_000)
    assert adaptive.converged
    assert adaptive.trials < 2_000_000
    two: dict[str, U.Distribution] = {"a": U.Normal(0.0, 3.0), "b": U.Normal(0.0, 4.0)}
    correlated = U.monte_carlo(total, two, trials=200_000, correlation=[[1.0, 1.0], [1.0, 1.0]])
    # Four standard errors, u / sqrt(2 M) = 0.011.
    assert correlated.standard_uncertainty == pytest.approx(7.0, abs=0.044)


def test_the_model_gets_arrays() -> None:
    curve = cc.CallendarVanDusen.iec60751()
    seen: list[tuple[int, ...]] = []

    def model(ohm: Array, offset: Array) -> Array:
        seen.append(ohm.shape)
        assert ohm.dtype == offset.dtype == np.float64
        return curve.temperature(ohm) + offset

    result = U.monte_carlo(
        model, {"ohm": U.Normal(138.5055, 0.01), "offset": U.Rectangular(-0.01, 0.01)}, trials=30_000, threads=1
    )
    assert sum(shape[0] for shape in seen) >= 30_000
    want = math.hypot(0.01 / curve.slope(100.0), 0.01 / math.sqrt(3.0))
    # Four standard errors of 30 000 trials.
    assert result.standard_uncertainty == pytest.approx(want, rel=0.017)


def test_the_model_is_called_on_its_own_thread_block_after_block() -> None:
    home = threading.get_ident()
    kept: list[Array] = []

    def model(x: Array) -> Array:
        assert threading.get_ident() == home
        kept.append(x)
        return x

    want = U.monte_carlo(lambda x: x, {"x": U.Normal(0.0, 1.0)}, trials=45_000, seed=3, threads=1, keep_values=True)
    result = U.monte_carlo(model, {"x": U.Normal(0.0, 1.0)}, trials=45_000, seed=3, threads=3, keep_values=True)
    assert result == want
    # What the model keeps stays as it was.
    assert result.values is not None
    assert np.array_equal(np.concatenate(kept), result.values)


def test_readings_taken_together() -> None:
    # With 4 degrees of freedom and no correlation, P(x > 2, y > 2) is 0.007749 (tests/reference/multivariate_t.csv)
    # with one chi-squared variable, and the square of P(x > 2) = 0.0581 without; four standard errors.
    two: dict[str, U.Distribution] = {"x": U.StudentT(0.0, 1.0, 4.0), "y": U.Normal(0.0, 1.0, 4.0)}
    found = []
    for together in ([], [["x", "y"]]):
        result = U.monte_carlo(
            lambda x, y: np.asarray((x > 2.0) & (y > 2.0), dtype=np.float64),
            two,
            trials=200_000,
            seed=1,
            multivariate_t=together,
        )
        found.append(result.mean)
    assert found[0] == pytest.approx(0.058058**2, abs=4 * math.sqrt(0.0034 / 200_000))
    assert found[1] == pytest.approx(0.007748593, abs=4 * math.sqrt(0.0077 / 200_000))
    with pytest.raises(cc.UnknownNameError, match="z"):
        U.monte_carlo(total, two, multivariate_t=[["x", "z"]])
    with pytest.raises(cc.InvalidValueError, match="same"):
        U.monte_carlo(total, {**two, "z": U.StudentT(0.0, 1.0, 5.0)}, multivariate_t=[["x", "z"]])


def test_a_model_of_the_core() -> None:
    curve = cc.CallendarVanDusen.iec60751()
    known = U.MeasurementModel.temperature(curve, reading=["ohm", "leads"], result=["axial"])
    inputs: dict[str, U.Distribution] = {
        "axial": U.Rectangular(-0.01, 0.01),
        "ohm": U.Normal(138.5055, 0.01),
        "leads": U.Normal(0.0, 0.002),
    }
    results = [U.monte_carlo(known, inputs, trials=60_000, seed=5, threads=threads) for threads in (1, 2)]
    assert results[0] == results[1]
    # The same draws through the curve itself: the inputs are drawn in the order of the model.
    ordered = {name: inputs[name] for name in known.inputs}
    by_hand = U.monte_carlo(
        lambda ohm, leads, axial: curve.temperature(0.0 + ohm + leads) + axial, ordered, trials=60_000, seed=5
    )
    assert by_hand == results[0]
    with pytest.raises(cc.UnknownNameError, match="leads"):
        U.monte_carlo(known, {name: inputs[name] for name in ("ohm", "axial")})
    with pytest.raises(cc.OutOfRangeError, match="resistance"):
        U.monte_carlo(known, {**inputs, "ohm": U.Normal(380.0, 10.0)})


class Broken(RuntimeError):
    pass


@pytest.mark.parametrize("threads", [1, 2])
def test_what_the_model_raises_passes_unchanged(threads: int) -> None:
    error = Broken("no value here")

    def broken(x: Array) -> Array:
        raise error

    with pytest.raises(Broken) as caught:
        U.monte_carlo(broken, {"x": U.Normal(0.0, 1.0)}, threads=threads)
    assert caught.value is error
    with pytest.raises(ValueError, match="element by element"):
        U.monte_carlo(lambda x: x[:-1], {"x": U.Normal(0.0, 1.0)}, threads=threads)
    with pytest.raises(TypeError, match="result of the model"):
        U.monte_carlo(lambda x: x.mean(), {"x": U.Normal(0.0, 1.0)}, threads=threads)
    with pytest.raises(cc.ModelFailedError):
        U.monte_carlo(lambda x: np.full_like(x, math.nan), {"x": U.Normal(0.0, 1.0)}, threads=threads)


def test_progress_and_interrupts() -> None:
    told: list[tuple[int, int]] = []
    U.monte_carlo(total, FOUR, trials=100_000, threads=1, progress=lambda done, all_: told.append((done, all_)))
    assert told[-1] == (100_000, 100_000)
    assert [done for done, _ in told] == sorted(done for done, _ in told)

    def stop(done: int, all_: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        U.monte_carlo(total, FOUR, trials=100_000, progress=stop)


def test_refusals() -> None:
    with pytest.raises(cc.TooFewPointsError):
        U.monte_carlo(total, FOUR, trials=10)
    with pytest.raises(cc.OutOfRangeError):
        U.monte_carlo(total, FOUR, coverage=1.0)
    result = U.monte_carlo(total, FOUR, trials=20_000)
    with pytest.raises(cc.InvalidValueError):
        result.validates(U.propagate(lambda *x: sum(x), FOUR, coverage=0.99))
    bad: Any = {"x": 1.0}
    with pytest.raises(TypeError):
        U.monte_carlo(total, bad)


def test_runs_side_by_side() -> None:
    want = U.monte_carlo(total, FOUR, trials=50_000)
    found: list[bool] = []
    threads = [
        threading.Thread(target=lambda: found.append(U.monte_carlo(total, FOUR, trials=50_000, threads=2) == want))
        for _ in range(3)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [True] * 3
