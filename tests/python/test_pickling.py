"""Every object of calcore can be pickled, copied and compared."""

import copy
import pickle
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import run

CURVE = cc.CallendarVanDusen(100.1, 3.9e-3, -5.8e-7, -4.2e-12, range_c=(-100.0, 400.0))
T = cc.tolerance.Tolerance
U = cc.uncertainty
OBJECTS: list[Any] = [
    CURVE,
    cc.CallendarVanDusen.iec60751(),
    T.absolute(0.5),
    T.max(T.sum(T.percent_of_span(0.1, 0.0, 150.0), T.asymmetric(-0.5, 1.0)), T.percent_of_reading(0.2)),
    T.iec60751("A", "film"),
    cc.circuit.SignalLevels(3.5, 3.9, 20.5, 22.0),
    cc.circuit.CurrentLoop(150.0, 0.0, levels=cc.circuit.SignalLevels(failed_high_ma=22.0)),
    cc.PolynomialRtd.standard("gost6651_ni617", 100.0),
    cc.PolynomialRtd(10.0, [4e-3, 1e-7], -50.0, 150.0, joint_c=0.0, above=[4e-3]),
    cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6]),
    cc.SteinhartHart(1.1292e-3, 2.341e-4, 8.775e-8, range_c=(-40.0, 150.0)),
    cc.BetaThermistor(10_000.0, 3950.0),
    cc.TabulatedCurve([200.0, 100.0, 0.0], [175.86, 138.51, 100.0], interpolation="monotone_cubic"),
    cc.Thermocouple("K"),
    cc.Thermocouple("B", side="upper"),
    cc.CorrectedThermocouple("K", [0.0, 1e-4], 0.0, 400.0),
    cc.circuit.Immersion(6.0),
    cc.circuit.DigitalScale(0, 4096, 0.0, 20.0),
    cc.circuit.Display(0.1, "truncate"),
    T.astm_e1137("A"),
    T.gost6651("nickel", "C"),
    T.iec60584("K", 1),
    T.astm_e230("K", "special"),
    cc.its90.fixed_point("Zn"),
    cc.its90.subrange("3.3.2.2"),
    U.Normal(1.0, 2.0, 5.0),
    U.Normal(1.0, 2.0),
    U.Rectangular(0.0, 1.0),
    U.Triangular(0.0, 1.0),
    U.Trapezoidal(0.0, 1.0, 0.5),
    U.UShaped(0.0, 1.0),
    U.StudentT(0.0, 1.0, 5.0),
    U.CurvilinearTrapezoid(0.0, 1.0, 0.1),
    U.Exponential(1.0),
    U.Gamma(2.0, 1.0),
]
FIT_POINTS: Any = ([-50.0, 0.0, 100.0, 200.0, 300.0], [80.3064, 100.0, 138.5054, 175.8562, 212.0514])
RESULTS: list[Any] = [
    cc.fit.callendar_van_dusen(
        *FIT_POINTS, u_t=0.01, u_ohm=[0.001] * 5, u_t_common=0.02, fixed={"c": -4.183e-12}, covariance_basis="residuals"
    ),
    cc.fit.callendar_van_dusen(*FIT_POINTS, covariance_ohm=np.diag([1e-6] * 5)),
    cc.fit.straight_line(*FIT_POINTS, u_x=0.1, u_y=0.1, covariance_xy=np.zeros((5, 5)), fixed_intercept=100.0),
    cc.fit.polynomial(FIT_POINTS[0], FIT_POINTS[1], 2, u_y=0.1, fixed_lowest=[100.0]),
    cc.fit.rounded(cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7), r0=2, a=("significant", 4)),
    cc.fit.rounded(cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7), r0=2, alpha=6, jointly=True),
    cc.fit.rounded(cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7), r0=2, form="alpha_delta_beta"),
    cc.fit.rounded_within(cc.CallendarVanDusen(100.0123, 3.908123e-3, -5.775123e-7), 0.01),
    cc.fit.steinhart_hart([50.0, 85.0, 100.0, 125.0], [34780.0, 9744.0, 6005.0, 2872.0], u_t=0.01, robust=True),
    cc.fit.beta([50.0, 85.0, 125.0], [34780.0, 9744.0, 2872.0], u_t=0.01, u_t_common=0.01),
    cc.fit.its90_deviation([505.078, 692.677], [1.8926, 2.5686], "3.3.2.2", u_t=0.001),
    cc.fit.thermocouple_deviation("K", [100.0, 200.0, 300.0], [4.1, 8.15, 12.22], 1, u_mv=0.004, free_at_zero=True),
    U.propagate(lambda x: x * x, {"x": U.Normal(2.0, 0.1, 7.0)}),
    U.monte_carlo(lambda x: x, {"x": U.Normal(0.0, 1.0)}, trials=20_000, keep_values=True, histogram_classes=5),
    cc.settling.drift([0.0, 60.0, 120.0, 180.0], [1.0, 2.0, 3.5, 4.0]),
    cc.settling.settled([0.0, 60.0, 120.0], [1.0, 1.5, 1.0], window_s=120.0, max_slope_per_min=1.0, max_scatter=1.0),
    cc.settling.reference_at([0.0, 10.0], [1.0, 2.0], 5.0),
    U.Contribution("x", U.Rectangular(0.0, 1.0), -2.0),
    cc.decision.decide(0.1, 0.05, upper=0.2, rule="four_state", risk=0.05),
    cc.settling.steady([0.0, 60.0, 120.0], [1.0, 1.01, 1.0], window_s=60.0, max_span=0.1, max_slope_per_min=0.1),
    cc.linearization.conformity([0, 1, 2], [0.0, 0.1, 0.0], span=1.0, u=0.01),
    cc.linearization.cycles([0, 1, 2], [[0.0, 0.1, 0.0]] * 2, [[0.0, 0.2, 0.0]] * 2, span=1.0, u=0.01),
    cc.linearization.largest_error_of_choice(CURVE, 0.0, 100.0, added_signal=0.1),
    cc.linearization.lookup_table(CURVE, 0.0, 100.0, segments=2),
    cc.linearization.minimax(CURVE, 0.0, 100.0, degree=2),
    cc.validation.checks()[0],
    run(),
    run().evaluate(),
]


@pytest.mark.parametrize("thing", OBJECTS + RESULTS, ids=lambda thing: type(thing).__name__)
def test_copies_are_equal(thing: Any) -> None:
    for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
        again = pickle.loads(pickle.dumps(thing, protocol))
        assert type(again) is type(thing)
        assert again == thing
    assert copy.copy(thing) == thing
    assert copy.deepcopy(thing) == thing
    assert thing != 1


@pytest.mark.parametrize("thing", OBJECTS, ids=lambda thing: type(thing).__name__)
def test_equal_objects_have_equal_hashes(thing: Any) -> None:
    assert hash(pickle.loads(pickle.dumps(thing))) == hash(thing)
    assert [other for other in OBJECTS if other == thing] == [thing]


def test_zero_has_one_hash() -> None:
    left, right = U.Normal(0.0, 1.0), U.Normal(-0.0, 1.0)
    assert left == right
    assert hash(left) == hash(right)


def test_parts_of_a_result_are_pickled_with_the_whole() -> None:
    with pytest.raises(TypeError):
        pickle.dumps(run().evaluate().set_points[0])


@pytest.mark.parametrize("thing", OBJECTS + RESULTS, ids=lambda thing: type(thing).__name__)
def test_objects_do_not_change(thing: Any) -> None:
    with pytest.raises(AttributeError):
        thing.something = 1.0


def test_what_json_cannot_hold_is_refused_at_once() -> None:
    state = cc.settling.settled([0.0], [1.0], window_s=60.0, max_slope_per_min=1.0, max_scatter=1.0)
    with pytest.raises(TypeError, match="infinite"):
        pickle.dumps(state)


def test_errors_keep_their_attributes() -> None:
    with pytest.raises(cc.OutOfRangeError) as caught:
        CURVE.resistance([0.0, 500.0])
    again = pickle.loads(pickle.dumps(caught.value))
    assert type(again) is cc.OutOfRangeError
    assert str(again) == str(caught.value)
    assert vars(again) == vars(caught.value)
