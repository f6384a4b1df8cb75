"""The ten mistakes of the trade, each made on purpose by way of the objects: prevented, or reported."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import run

LC = cc.loop_calibration
RUN = run()
SAMPLE = RUN.to_dict()


def changed(change: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    description = copy.deepcopy(SAMPLE)
    change(description)
    return description


def evaluated(change: Callable[[dict[str, Any]], object]) -> LC.RunResult:
    return LC.Run.from_dict(changed(change)).evaluate()


def refusal(change: Callable[[dict[str, Any]], object]) -> str:
    with pytest.raises((cc.DocumentError, cc.InvalidRunError)) as error:
        LC.Run.from_dict(changed(change))
    return str(error.value)


def test_1_wrong_curve() -> None:
    with pytest.raises(cc.InvalidRunError, match=r"curve: missing"):
        LC.Run.from_dict(changed(lambda r: r["instruments"][0].pop("curve")))
    # Platinum of 0.003916 read as 0.003851: +1.70 K at 100 °C (computed).
    other = cc.CallendarVanDusen(100.0, 3.9739e-3, -5.870e-7, -4.4e-12)

    def wrong(description: dict[str, Any]) -> None:
        for point in description["set_points"]:
            value = float(other.resistance(point["nominal_c"]))
            point["readings"][1]["value"] = [value] * len(point["readings"][1]["value"])

    result = evaluated(wrong)
    at_100 = next(p for p in result.instruments["TE-4107"].points if p.nominal_c == 100.0)
    # The block stood within 0.1 K of its set point.
    assert at_100.indicated_c - 100.0 == pytest.approx(1.70, abs=0.005)
    assert any(notice.path == "element_fits[0]" and "alpha" in notice.text for notice in result.warnings)


def test_2_tolerance_taken_for_an_uncertainty() -> None:
    with pytest.raises(cc.DocumentError, match="iec60751"):
        LC.Run.from_dict(
            changed(
                lambda r: r["reference"]["contributions"][0].update(
                    distribution=LC.Tolerance.iec60751("A", "film").to_dict()
                )
            )
        )
    assert not hasattr(LC.Contribution, "iec60751")
    with pytest.raises(TypeError):
        LC.Contribution.expanded("certificate", LC.Tolerance.absolute(0.1, "K"))  # type: ignore[call-arg, arg-type]


def test_3_reference_junction_forgotten_or_twice() -> None:
    # Type K: 3.0960 mV with the junction at 25 °C is 100 °C; forgotten it reads 75.89, added as temperature 100.89 °C.
    couple = cc.Thermocouple("K")
    assert couple.temperature(3.0960, 25.0) == pytest.approx(100.0, abs=0.002)

    def couple_run(junction: LC.ReferenceJunction | None) -> LC.Run:
        element = LC.Instrument(
            "TE",
            "element",
            "mV",
            LC.Range(0, 400),
            LC.Tolerance.iec60584("K", 1),
            curve=couple,
            reference_junction=junction,
        )
        readings = [LC.Reading("REF", [0.0], [100.0]), LC.Reading("TE", [0.0], [3.0960])]
        return LC.Run(
            title="one couple",
            phase="as_found",
            coverage=LC.Coverage.factor(2.0),
            decision=LC.Decision("simple"),
            reference=LC.Reference("REF", "degC", [LC.Contribution.normal("certificate", 0.01)]),
            heat_source=LC.HeatSource("block", []),
            instruments=[element],
            set_points=[LC.SetPoint(100.0, readings)],
        )

    with pytest.raises(cc.InvalidRunError, match="reference_junction: missing"):
        couple_run(None)
    measured = couple_run(LC.ReferenceJunction.measured(25.0, 0.2)).evaluate()
    assert measured.instruments["TE"].points[0].error_k == pytest.approx(0.0, abs=0.002)
    twice = couple_run(LC.ReferenceJunction.compensated_by_instrument(0.2)).to_dict()
    twice["set_points"][0]["readings"][1]["reference_junction_c"] = 25.0
    with pytest.raises(cc.InvalidRunError, match="only where reference_junction is measured"):
        LC.Run.from_dict(twice)


def test_4_percent_of_what() -> None:
    assert "unknown variant `percent`" in refusal(lambda r: r["instruments"][3].update(tolerance={"percent": 0.1}))
    assert not hasattr(LC.Tolerance, "percent")
    of_span = evaluated(lambda r: r["instruments"][3].update(tolerance=LC.Tolerance.percent_of_span(0.1).to_dict()))
    of_reading = evaluated(
        lambda r: r["instruments"][3].update(tolerance=LC.Tolerance.percent_of_reading(0.1).to_dict())
    )
    span_k = SAMPLE["instruments"][3]["range"]["high"] - SAMPLE["instruments"][3]["range"]["low"]
    for by_span, by_reading in zip(
        of_span.instruments["TI-4107"].points, of_reading.instruments["TI-4107"].points, strict=True
    ):
        assert by_span.tolerance_upper_k == pytest.approx(0.001 * span_k, rel=1e-12)
        assert by_reading.tolerance_upper_k == pytest.approx(0.001 * abs(by_reading.reference_c), rel=1e-12)


def test_5_as_found_mixed_with_as_left() -> None:
    shorter = LC.Run.from_dict(changed(lambda r: r["set_points"].pop()))
    file = LC.CalibrationFile.begin(shorter)
    file.adjust(LC.AdjustmentEvent("TIC-4107", "zero", "0 K", "-0.3 K", "error", "A. N. Other", "2026-05-04"))
    with pytest.raises(cc.InvalidRunError, match="closed by the first adjustment"):
        file.extend_as_found(RUN)
    with pytest.raises(cc.InvalidRunError, match="as_left"):
        file.finish(RUN)
    with pytest.raises(cc.InvalidRunError, match="copied"):
        file.finish(LC.Run.from_dict({**shorter.to_dict(), "phase": "as_left"}))
    with pytest.raises(AttributeError):
        file.as_found = RUN  # type: ignore[misc]


def test_6_leads_left_in() -> None:
    with pytest.raises(TypeError):
        LC.Wiring.two_wire()  # type: ignore[call-arg]
    assert "missing field `lead_resistance_ohm`" in refusal(
        lambda r: r["instruments"][0].update(wiring={"two_wire": {}})
    )
    unknown = LC.Wiring.two_wire_not_corrected(0.5).to_dict()
    lines = evaluated(lambda r: r["instruments"][0].update(wiring=unknown)).instruments["TE-4107"].points[0].budget
    shares = {line.quantity: line.share for line in lines.budget}
    # ±0.25 ohm, rectangular, over about 0.39 ohm/K: more than all the rest.
    assert next(share for name, share in shares.items() if "lead wires" in name) > 0.9


def test_7_fahrenheit_differences() -> None:
    def tolerance(unit: Any) -> dict[str, Any]:
        return LC.Tolerance.absolute(1.8, unit).to_dict()

    assert "a difference is given in K" in refusal(lambda r: r["instruments"][3].update(tolerance=tolerance("degC")))
    assert "state it in K" in refusal(lambda r: r["instruments"][3].update(tolerance=tolerance("degF")))

    def in_fahrenheit(description: dict[str, Any]) -> None:
        description["instruments"][3].update(unit="degF", tolerance=tolerance("degF"))
        for point in description["set_points"]:
            reading = point["readings"][4]
            reading["value"] = [32.0 + 1.8 * point["nominal_c"]] * len(reading["value"])

    assert evaluated(in_fahrenheit).instruments["TI-4107"].points[0].tolerance_upper_k == pytest.approx(1.0, rel=1e-12)


def test_8_expanded_taken_for_standard() -> None:
    with pytest.raises(TypeError):
        LC.Contribution.expanded("certificate", 0.03)  # type: ignore[call-arg]
    by_three = LC.Contribution.expanded("certificate", 0.03, coverage_factor=3.0).to_dict()
    result = evaluated(lambda r: r["reference"]["contributions"].__setitem__(0, by_three))
    line = result.instruments["TE-4107"].points[0].budget.budget[0]
    assert line.standard_uncertainty == pytest.approx(0.01, rel=1e-15)


def test_9_wrong_trim() -> None:
    best, *others = RUN.evaluate().adjustments()
    assert (best.tag, best.adjustment.kind, best.adjusts_the_cause) == ("TT-4107 mA", "output_trim", True)
    for one in others:
        if one.tag != best.tag:
            assert not one.adjusts_the_cause
            assert any("hide its error" in caution for caution in one.cautions)

    def saturated(description: dict[str, Any]) -> None:
        reading = description["set_points"][0]["readings"][3]
        reading["value"] = [3.7] * len(reading["value"])

    assert "a saturated or failed current is no measurement" in refusal(saturated)
    unsteady = evaluated(lambda r: r["settling"].update(max_slope_k_per_min=1e-6))
    assert all(any("not steady" in caution for caution in one.cautions) for one in unsteady.adjustments())


def test_10_common_reference_extrapolation_and_no_rule() -> None:
    result = RUN.evaluate()
    fit = result.element_fit
    assert fit is not None
    # Certificate and drift alone: 0.015 K and 0.01/√3 K.
    assert (fit.standard_uncertainties_k >= np.hypot(0.015, 0.01 / np.sqrt(3.0))).all()
    with pytest.raises(cc.OutOfRangeError):
        fit.curve.resistance(250.0)
    with pytest.raises(TypeError):
        LC.Decision()  # type: ignore[call-arg]
    assert "missing field `decision`" in refusal(lambda r: r.pop("decision"))
