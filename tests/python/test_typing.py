"""What a type checker sees: this file is checked by mypy, and says nothing new when it runs."""

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

import calcore as cc

if TYPE_CHECKING:
    from typing_extensions import assert_type
else:

    def assert_type(value: object, _kind: object) -> object:
        return value


def test_numbers_and_arrays() -> None:
    pt100 = cc.CallendarVanDusen.iec60751()
    assert_type(pt100, cc.CallendarVanDusen)
    assert_type(pt100.resistance(1.0), float)
    assert_type(pt100.resistance(1), float)
    assert_type(pt100.resistance(np.float64(1.0)), float)
    assert_type(pt100.resistance([1.0]), npt.NDArray[np.float64])
    assert_type(pt100.resistance(np.zeros(3), invalid="nan", extrapolate=True), npt.NDArray[np.float64])
    assert_type(cc.temperature.to_celsius([300], "K"), npt.NDArray[np.float64])
    assert_type(cc.circuit.indication_error(1.0, 2.0), float)
    assert_type(cc.circuit.indication_error([1.0], 2.0), npt.NDArray[np.float64])
    assert_type(cc.tolerance.iec60751("A", 0.0), float)
    assert_type(cc.its90.reference_ratio(300.0), float)


def test_results() -> None:
    fit = cc.fit.straight_line([0.0, 1.0, 2.0], [0.0, 1.0, 2.0])
    assert_type(fit, cc.fit.StraightLineFit)
    assert_type(fit.intercept, float)
    assert_type(fit.covariance, npt.NDArray[np.float64] | None)
    budget = cc.uncertainty.propagate(lambda x: 2.0 * x, {"x": cc.uncertainty.Normal(0.0, 1.0)})
    assert_type(budget, cc.uncertainty.Budget)
    assert_type(budget.budget, list[cc.uncertainty.Contribution])
    assert_type(cc.decision.decide(0.0, 1.0, upper=2.0), cc.decision.Decision)
    assert_type(cc.validation.checks()[0].passes, bool)
