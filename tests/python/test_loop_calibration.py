"""The whole job, by the invented run."""

import copy
import json
import math
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
    with pytest.raises(ValueError, match="JSON"):
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
