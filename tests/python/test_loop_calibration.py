"""The whole job, by the invented run."""

import copy
import json
import math
import pickle
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import ROOT, run

RUN = run()
RESULT = RUN.evaluate()
TEXT = (ROOT / "tests" / "data" / "jacket_loop_as_found.json").read_text("utf-8")


def test_description() -> None:
    assert RUN.title.startswith("Jacket temperature loop")
    assert (RUN.phase, RUN.schema_version, RUN.reference) == ("as_found", 1, "REF-01")
    assert RUN.to_dict() == json.loads(RUN.to_json())
    assert cc.loop_calibration.Run.from_dict(json.loads(TEXT)) == RUN
    assert cc.loop_calibration.Run.from_json(RUN.to_json()) == RUN
    assert "4107" in repr(RUN)


def test_faults_are_told_with_their_paths() -> None:
    description = json.loads(TEXT)
    wrong = copy.deepcopy(description)
    wrong["instruments"][0]["rnage"] = wrong["instruments"][0].pop("range")
    with pytest.raises(cc.DocumentError) as document:
        cc.loop_calibration.Run.from_dict(wrong)
    assert document.value.code == 301
    assert document.value.path is not None
    assert document.value.path.startswith("instruments[0]")
    wrong = copy.deepcopy(description)
    wrong["instruments"][1]["input"] = "no such tag"
    wrong["set_points"][0]["readings"][0]["time_s"] = [0.0]
    with pytest.raises(cc.InvalidRunError) as contradictions:
        cc.loop_calibration.Run.from_dict(wrong)
    problems = contradictions.value.problems
    assert problems is not None
    assert len(problems) >= 2
    assert all(path and message for path, message in problems)
    assert contradictions.value.path == problems[0][0]
    with pytest.raises(cc.DocumentError):
        cc.loop_calibration.Run.from_json("{")
    wrong["note"] = math.nan
    with pytest.raises(cc.NotFiniteError, match=r"^note must be a finite number, got NaN$"):
        cc.loop_calibration.Run.from_dict(wrong)


def test_attributes_are_what_the_document_says() -> None:
    document = RESULT.to_dict()
    assert document["core_version"] == RESULT.core_version == cc.__version__
    assert RESULT.documents
    assert RESULT.cautions
    assert RESULT.run == RUN
    assert list(RESULT.instruments) == [one["tag"] for one in document["instruments"]]
    for one in document["instruments"]:
        instrument = RESULT.instruments[one["tag"]]
        assert (instrument.kind, instrument.unit) == (one["kind"], one["unit"])
        assert (instrument.verdict, instrument.worst_point) == (one["verdict"], one["worst_point"])
        for got, want in zip(instrument.points, one["points"], strict=True):
            for name, value in want.items():
                if name != "budget":
                    assert getattr(got, name) == value
            assert got.budget.standard_uncertainty == want["budget"]["standard_uncertainty"]
            assert got.budget.standard_uncertainty == got.standard_uncertainty_k
    for got_loop, want_loop in zip(RESULT.attribution, document["attribution"], strict=True):
        assert (got_loop.tag, got_loop.links, got_loop.cause) == (
            want_loop["tag"],
            want_loop["links"],
            want_loop["cause"],
        )
        for split in got_loop.set_points:
            assert math.fsum(share.error_k for share in split.shares) == pytest.approx(split.error_k, abs=1e-12)
    for got_point, want_point in zip(RESULT.set_points, document["set_points"], strict=True):
        assert got_point.reference_c == want_point["reference_c"]
        assert got_point.steadiness is not None
        assert got_point.steadiness.span == want_point["steadiness"]["span"]


def test_covariance_covers_all_points() -> None:
    points = [point for one in RESULT.instruments.values() for point in one.points]
    covariance = RESULT.covariance
    assert covariance.shape == (len(points), len(points))
    u_k = [point.standard_uncertainty_k for point in points]
    np.testing.assert_allclose(np.sqrt(np.diag(covariance)), u_k, rtol=1e-9)
    np.testing.assert_array_equal(covariance, covariance.T)
    # The reference is in all of them.
    assert (covariance > 0).all()


def test_element_fit() -> None:
    fit = RESULT.element_fit
    assert fit is not None
    assert RESULT.element_fits[fit.tag] == fit
    assert (fit.curve.r0, fit.curve.a, fit.curve.b, fit.curve.c) == (fit.r0, fit.a, fit.b, fit.c)
    assert fit.curve.range == fit.range_c
    points = RESULT.instruments[fit.tag].points
    assert len(fit.residuals_k) == len(fit.standard_uncertainties_k) == len(points)
    if fit.covariance is not None:
        assert fit.covariance.shape == (4, 4)


def test_presentation() -> None:
    tables: list[Any] = [RESULT, *RESULT.instruments.values(), *RESULT.attribution]
    for thing in tables:
        html = thing._repr_html_()
        assert html.startswith("<table>")
        assert "<script" not in html
    things: list[Any] = [RESULT, *RESULT.set_points, *RESULT.attribution, *RESULT.element_fits.values()]
    for one in RESULT.instruments.values():
        things += [one, *one.points]
    for loop in RESULT.attribution:
        things += [*loop.set_points, *(share for split in loop.set_points for share in split.shares)]
    for thing in things:
        assert repr(thing).startswith(type(thing).__name__)
        assert copy.deepcopy(thing) == thing


LC = cc.loop_calibration
LOOP = RESULT.attribution[0]


def test_what_a_result_tells_beside_its_numbers() -> None:
    tag = RUN.tags[0]
    figures = RESULT.figures(tag)
    errors = [point.error_k for point in RESULT.instruments[tag].points]
    assert (figures.largest_error_k, figures.smallest_error_k) == (max(errors), min(errors))
    for ask in (RESULT.figures, RESULT.hypotheses):
        with pytest.raises(cc.UnknownNameError) as unknown:
            ask("no such tag")
        assert LOOP.tag in str(unknown.value.expected)
    without = RESULT.after_correcting(LOOP.tag, LOOP.cause)
    for point, split in zip(without, LOOP.set_points, strict=True):
        share = next(share.error_k for share in split.shares if share.tag == LOOP.cause)
        assert point.error_k == pytest.approx(split.error_k - share, abs=1e-12)
    with pytest.raises(cc.UnknownNameError):
        RESULT.after_correcting(LOOP.tag, "no such tag")
    assert {one.loop_tag for one in RESULT.hypotheses(LOOP.tag)} <= {LOOP.tag}
    best = RESULT.adjustments()[0]
    assert best.adjusts_the_cause
    assert best.tag == LOOP.cause
    actions = RESULT.actions(0.7)
    assert [one.tag for one in actions] == list(RESULT.instruments)
    assert {one.verdict for one in actions} == {one.verdict for one in RESULT.instruments.values()}
    with pytest.raises(cc.InvalidValueError):
        RESULT.actions(0.0)
    with pytest.raises(cc.OutOfRangeError) as percent:
        RESULT.actions(70.0)
    assert (percent.value.value, percent.value.low, percent.value.high) == (70.0, 0.0, 1.0)
    assert isinstance(RESULT.reference_comparisons, list)


def test_certificate() -> None:
    sheet = RESULT.certificate({"title": "Calibration certificate"})
    assert sheet.details["title"] == "Calibration certificate"
    assert len(sheet.rows) == sum(len(one.points) for one in RESULT.instruments.values())
    missing = {name for _, name in sheet.missing}
    assert "title" not in missing
    assert len(RESULT.certificate().missing) == len(missing) + 1
    with pytest.raises(cc.DocumentError):
        RESULT.certificate({"titel": "x"})
    lines = RESULT.points_csv().splitlines()
    assert len(lines) == 1 + len(sheet.rows)


def test_readings_from_tables() -> None:
    tags = ["REF-01", RUN.tags[-1]]
    mapping = {
        "time": "t",
        "set_point": "sp",
        "readings": {"wide": [{"tag": tag, "column": tag} for tag in tags]},
        "decimal_mark": ".",
    }
    columns: dict[str, Any] = {
        "t": [0.0, 30.0, 60.0],
        "sp": [100.0] * 3,
        tags[0]: [138.60, 138.61, 138.60],
        tags[1]: [100.6, math.nan, 100.7],
    }
    by_arrays, left_out = RUN.with_table(columns, mapping)
    assert by_arrays.nominal_c.tolist() == [100.0]
    assert len(left_out) == 1
    assert left_out[0].path is not None
    text = f"t,sp,{tags[0]},{tags[1]}\n0,100,138.6,100.6\n30,100,138.61,\n60,100,138.6,100.7\n"
    by_text, _ = RUN.with_table(text, mapping)
    assert by_text == by_arrays
    with pytest.raises(cc.InvalidRunError):
        RUN.with_table("t,sp\n0,100,5\n", mapping)
    with pytest.raises(TypeError):
        RUN.with_table(3, mapping)


def test_many_runs_at_once() -> None:
    results = LC.evaluate_all([RUN] * 4, threads=2)
    assert results == [RESULT] * 4


def test_two_runs_compared() -> None:
    changes = LC.compare(RESULT, RESULT)
    assert {change.change_k for change in changes} == {0.0}
    assert not any(change.significant for change in changes)
    assert LC.normalized_error(0.12, 0.06, 0.05, 0.04) == pytest.approx(0.07 / math.hypot(0.06, 0.04), rel=1e-14)


def test_a_common_part_larger_than_both_is_refused() -> None:
    # 0.05² > 0.06 · 0.04: a correlation of 1.04.
    with pytest.raises(cc.OutOfRangeError) as refused:
        LC.normalized_error(0.12, 0.06, 0.05, 0.04, 0.05)
    assert refused.value.high == pytest.approx(math.sqrt(0.06 * 0.04), rel=1e-14)


def test_a_calibration_from_first_to_last() -> None:
    file = LC.CalibrationFile.begin(RUN)
    file.extend_as_found(RUN)
    event = {
        "tag": RUN.tags[1],
        "parameter": "sensor trim",
        "old": "0.00 K",
        "new": "0.12 K",
        "reason": "as found outside",
        "by": "technician",
        "when": "2026-05-04",
    }
    file.adjust(event)
    assert file.adjustments == [LC.AdjustmentEvent(**event)]
    with pytest.raises(cc.InvalidRunError):
        file.extend_as_found(RUN)
    with pytest.raises(cc.InvalidRunError):
        file.finish(RUN)
    with pytest.raises(cc.DocumentError):
        file.adjust({"tag": "x"})
    description = RUN.to_dict()
    description["phase"] = "as_left"
    for set_point in description["set_points"]:
        for reading in set_point["readings"]:
            if reading["tag"] == RUN.tags[1]:
                reading["value"] = [value + 0.12 for value in reading["value"]]
    left = LC.Run.from_dict(description)
    file.finish(left)
    assert file.as_left == left
    text = file.record({"title": "Calibration certificate"})
    assert text == file.record({"title": "Calibration certificate"})
    check = LC.check_record(text)
    assert (check.unchanged, check.differences) == (True, [])
    assert not LC.check_record(text.replace("technician", "somebody")).unchanged
    again = pickle.loads(pickle.dumps(file))
    assert again == file
    assert "1 adjustments, as left" in repr(file)


def test_plan() -> None:
    point = {"celsius": {"at": 100.0, "within_k": 2.0}}
    source = {
        "tag": "block",
        "low_c": 30.0,
        "high_c": 300.0,
        "start_c": 30.0,
        "heating_k_per_min": 10.0,
        "cooling_k_per_min": 5.0,
        "settling_s": 600.0,
        "bores": 3,
    }
    instruments = [{"tag": tag, "low_c": 0.0, "high_c": 200.0, "points": [point]} for tag in ("TT-1", "TT-2")]
    request = {"instruments": instruments, "heat_sources": [source], "order": "up", "reading_s": 120.0}
    found = LC.plan(request)
    assert (found.set_points, found.optimal) == (1, True)
    # 70 K at 10 K/min, 600 s to settle, 120 s to read.
    assert found.time_s == pytest.approx(420.0 + 600.0 + 120.0, rel=0.05)
    with pytest.raises(cc.DocumentError):
        LC.plan({"instruments": []})
    np.testing.assert_allclose(LC.fit_points(2, 0.0, 200.0), [0.0, 100.0, 200.0])


def test_history_and_intervals() -> None:
    drift = LC.history([0.0, 1.0, 2.0, 3.0], [0.0, 0.1, 0.2, 0.3], [0.02] * 4)
    assert drift.slope_k_per_a == pytest.approx(0.1, rel=1e-12)
    value, u = drift.predict([4.0, 5.0])
    np.testing.assert_allclose(value, [0.4, 0.5], rtol=1e-12)
    assert (u > 0.0).all()
    due = drift.due(0.6)
    assert due is not None
    assert 3.0 < due < 6.0
    adjusted = LC.history([0.0, 1.0, 2.0], [0.0, 0.5, 0.5], [0.02] * 3, [None, 0.0, None])
    assert adjusted.slope_k_per_a == pytest.approx(0.5, rel=1e-12)
    np.testing.assert_allclose(adjusted.joined_k, [0.0, 0.5, 1.0], atol=1e-12)
    with pytest.raises(cc.LengthMismatchError):
        LC.history([0.0, 1.0, 2.0], [0.0, 0.1], [0.02] * 3)
    # 12 months at 90 % for a target of 95 %: 12 ln 0.95 / ln 0.90.
    interval = LC.reliability_interval(12.0, 90, 100, target=0.95)
    assert interval.interval == pytest.approx(12.0 * math.log(0.95) / math.log(0.90), rel=1e-12)
    assert interval.shortest < interval.interval < interval.longest
    assert math.isinf(LC.reliability_interval(12.0, 10, 10, target=0.95).longest)
    rule: dict[str, Any] = {"extend_by": 1.5, "shorten_by": 0.5, "limits": (3.0, 36.0)}
    assert LC.staircase(12.0, 0.5, **rule) == 18.0
    assert LC.staircase(12.0, 1.1, **rule) == 6.0
    assert LC.in_use(1000.0, 500.0, 250.0) == 2.0
    assert LC.in_service([0.1, 0.3, 0.5], [0.05] * 3, 0.35) == 1
    assert LC.in_service([0.1], [0.05], 0.35) is None


@pytest.mark.parametrize(
    ("found", "u"),
    [
        ([0.0, 0.05, 0.11, 0.14], [0.001, 0.1, 0.1, 0.1]),
        ([0.0, 0.05, 0.11, 0.5], [0.001, 0.001, 0.001, 10.0]),
        ([0.0, 0.05, 0.11, 0.14], [0.1, 0.1, 0.1, 0.1]),
    ],
)
def test_the_uncertainty_of_a_drift_is_that_of_its_unweighted_line(found: list[float], u: list[float]) -> None:
    # JCGM 100:2008, 5.1.2, with the coefficients of the pseudo-inverse: another way than the core goes.
    time_a = np.array([0.0, 1.0, 2.0, 3.0])
    weights = np.linalg.pinv(np.column_stack([np.ones(4), time_a]))
    drift = LC.history(time_a, found, u)
    assert drift.slope_k_per_a == pytest.approx(weights[1] @ found, abs=1e-14)
    squares = np.square(u)
    # These stated uncertainties exceed the scatter of the errors about the line.
    assert drift.u_slope_k_per_a == pytest.approx(math.sqrt(np.square(weights[1]) @ squares), rel=1e-12)
    for at in (-2.0, 1.5, 5.0):
        value, u_value = drift.predict(at)
        row = np.array([1.0, at]) @ weights
        assert value == pytest.approx(row @ found, abs=1e-13)
        assert u_value == pytest.approx(math.sqrt(np.square(row) @ squares + squares.mean()), rel=1e-12)


@pytest.mark.parametrize("probability", [95.0, 2.0, 1.0, 0.0, -0.5])
def test_a_probability_is_refused_as_it_was_given(probability: float) -> None:
    drift = LC.history([0.0, 1.0, 2.0, 3.0], [0.0, 0.1, 0.2, 0.3], [0.02] * 4)
    with pytest.raises(cc.OutOfRangeError) as refused:
        drift.due(0.5, probability=probability)
    assert (refused.value.value, refused.value.low, refused.value.high) == (probability, 0.0, 1.0)
    with pytest.raises(cc.OutOfRangeError):
        LC.staircase(12.0, 0.5, extend_below=80, extend_by=1.5, shorten_by=0.5, limits=(3.0, 36.0))


def test_a_finding_that_fits_no_run_is_refused() -> None:
    with pytest.raises(cc.UnknownNameError, match="REF-01"):
        LC.impact([(1.0, RESULT)], "REF1", [0.0, 300.0], [0.1, 0.1], last_good=0.0, found=2.0)
    with pytest.raises(cc.InvalidValueError, match=r"is 0: .*last good, 2$"):
        LC.impact([(1.0, RESULT)], "REF-01", [0.0, 300.0], [0.1, 0.1], last_good=2.0, found=0.0)


def test_what_a_bad_reference_touched() -> None:
    touched = LC.impact([(1.0, RESULT)], "REF-01", [0.0, 300.0], [0.1, 0.1], last_good=0.0, found=2.0)
    assert {one.tag for one in touched} == set(RESULT.instruments)
    for one in touched:
        # Half of the time had passed, and all of it at worst; curves and readings bend this a little.
        assert one.likely_k - one.reported_k == pytest.approx(0.05, abs=0.002)
        assert one.worst_k - one.reported_k == pytest.approx(0.1, abs=0.002)
