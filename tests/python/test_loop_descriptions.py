"""A run built in code, its parts, tables of many kinds, and results as columns."""

from __future__ import annotations

import copy
import datetime
import json
import math
import pickle
from typing import Any

import numpy as np
import pandas as pd
import pytest

import calcore as cc
from support import plan_request, run

LC = cc.loop_calibration
RUN = run()
RESULT = RUN.evaluate()
SECOND = run("reactor_loop")


def in_code() -> LC.Run:
    """The invented run of tests/data, built of objects; readings taken from the file."""
    file = RUN.to_dict()
    rectangular, percent = LC.Contribution.rectangular, LC.Tolerance.percent_of_span
    source = {one["tag"]: one for one in file["instruments"]}

    def contributions(described: list[dict[str, Any]]) -> list[LC.Contribution | dict[str, Any]]:
        made: list[LC.Contribution | dict[str, Any]] = []
        for one in described:
            ((kind, fields),) = one["distribution"].items()
            others = {name: one[name] for name in ("unit", "scope", "source") if name in one}
            if kind == "rectangular":
                made.append(rectangular(one["name"], fields["half_width"], **others))
            elif kind == "expanded":
                u, k = fields["expanded_uncertainty"], fields["coverage_factor"]
                made.append(LC.Contribution.expanded(one["name"], u, coverage_factor=k, **others))
            else:
                made.append(one)
        return made

    def tolerance(described: dict[str, Any]) -> LC.Tolerance | dict[str, Any]:
        ((kind, fields),) = described.items()
        return percent(fields["percent"]) if kind == "percent_of_span" else described

    instruments = [
        LC.Instrument(
            tag,
            one["kind"],
            one["unit"],
            LC.Range(one["range"]["low"], one["range"]["high"], one["range"]["unit"]),
            tolerance(one["tolerance"]),
            resolution=one["resolution"],
            input=one.get("input"),
            curve=one.get("curve"),
            contributions=contributions(one.get("contributions", [])),
        )
        for tag, one in source.items()
    ]
    reference = file["reference"]
    return LC.Run(
        title=file["title"],
        note=file.get("note"),
        phase="as_found",
        coverage=LC.Coverage.probability(0.95) if "probability" in file["coverage"] else file["coverage"],
        decision=LC.Decision(**file["decision"]),
        settling=file.get("settling"),
        reference=LC.Reference(
            reference["tag"], reference["unit"], contributions(reference["contributions"]), curve=reference.get("curve")
        ),
        heat_source=LC.HeatSource(file["heat_source"]["tag"], contributions(file["heat_source"]["contributions"])),
        instruments=instruments,
        set_points=[
            LC.SetPoint(
                point["nominal_c"],
                [LC.Reading(one["tag"], np.array(one["time_s"]), np.array(one["value"])) for one in point["readings"]],
                point.get("direction"),
            )
            for point in file["set_points"]
        ],
    )


def test_a_run_built_in_code_is_the_run_of_the_file() -> None:
    assert in_code() == RUN
    assert in_code().evaluate().to_json() == RESULT.to_json()


def test_all_contradictions_are_listed_at_once() -> None:
    with pytest.raises(cc.InvalidRunError) as error:
        LC.Run(
            title="contradictions",
            phase="as_found",
            coverage=LC.Coverage.factor(2.0),
            decision=LC.Decision("simple", guard_band_factor=1.0),
            reference=LC.Reference("REF", "degC", []),
            heat_source=LC.HeatSource("block", []),
            instruments=[
                LC.Instrument("TI", "indicator", "degC", LC.Range(0.0, 150.0), LC.Tolerance.absolute(0.5, "degC")),
                LC.Instrument(
                    "TE", "element", "ohm", LC.Range(0.0, 150.0), LC.Tolerance.absolute(0.5, "K"), input="TI"
                ),
            ],
            set_points=[LC.SetPoint(200.0, [LC.Reading("REF", [0.0, 0.0], [200.0, 200.0])])],
        )
    problems = dict(error.value.problems or [])
    assert problems["decision.guard_band_factor"].startswith("simple acceptance has no guard band")
    assert "certificate of the reference" in problems["reference.contributions"]
    assert "missing" in problems["instruments[0].input"]
    assert "a difference is given in K" in problems["instruments[0].tolerance.absolute.unit"]
    assert "takes no value from another link" in problems["instruments[1].input"]
    assert "missing" in problems["instruments[1].curve"]
    assert "must be later than the reading before" in problems["set_points[0].readings[0].time_s[1]"]


def test_curves_stand_for_their_descriptions() -> None:
    def element(curve: Any, unit: Any, reading: float, **more: Any) -> float:
        made = LC.Run(
            title="one element",
            phase="as_found",
            coverage=LC.Coverage.factor(2.0),
            decision=LC.Decision("simple"),
            reference=LC.Reference("REF", "degC", [LC.Contribution.normal("certificate", 0.01)]),
            heat_source=LC.HeatSource("bath", []),
            instruments=[
                LC.Instrument(
                    "TE", "element", unit, LC.Range(-50, 250), LC.Tolerance.absolute(9, "K"), curve=curve, **more
                )
            ],
            set_points=[LC.SetPoint(50.0, [LC.Reading("REF", [0.0], [50.0]), LC.Reading("TE", [0.0], [reading])])],
        )
        assert LC.Run.from_json(made.to_json()) == made
        return made.evaluate().instruments["TE"].points[0].error_k

    beta = cc.BetaThermistor(10_000.0, 3950.0)
    hart = cc.SteinhartHart(1.1292e-3, 2.341e-4, 8.775e-8)
    sprt = cc.Sprt(25.5, "3.3.2.2", [-1.2e-4, 3.0e-6])
    table = cc.TabulatedCurve([0.0, 100.0, 250.0], [100.0, 138.51, 194.1])
    pt100 = cc.CallendarVanDusen.iec60751()
    for curve in (pt100, beta, hart, sprt):
        assert element(curve, "ohm", curve.resistance(50.5)) == pytest.approx(0.5, abs=1e-9)
    assert element(table, "ohm", table.signal(50.5)) == pytest.approx(0.5, abs=1e-9)
    couple = cc.Thermocouple("K")
    junction = LC.ReferenceJunction.measured(23.0, 0.1)
    mv = couple.emf(50.5, 23.0)
    assert element(couple, "mV", mv, reference_junction=junction) == pytest.approx(0.5, abs=1e-9)
    by_leads = {"wiring": LC.Wiring.two_wire(0.5, 0.02)}
    assert element(pt100, "ohm", pt100.resistance(50.5) + 0.5, **by_leads) == pytest.approx(0.5, abs=1e-9)
    # What a run file cannot say is refused, not left out.
    upper, bent = cc.Thermocouple("B", side="upper"), cc.SteinhartHart(1.1e-3, 2.3e-4, 8e-8, quadratic=1e-9)
    refused: list[Any] = [upper, bent, object()]
    for other in refused:
        with pytest.raises(TypeError, match="no part of a description"):
            element(other, "ohm", 100.0)


@pytest.mark.parametrize(
    "thing",
    [
        LC.Contribution.table("certificate", np.array([0.0, 200.0]), [0.02, 0.05], coverage_factor=2.0),
        LC.Tolerance.max(LC.Tolerance.absolute(0.2, "K"), LC.Tolerance.sum(LC.Tolerance.percent_of_reading(0.1))),
        LC.Coverage.shapes(0.95),
        LC.Decision("four_state", 0.8),
        LC.Range(32.0, 302.0, "degF"),
        LC.Wiring.three_wire(0.1),
        LC.ReferenceJunction.ice(0.02),
        LC.Transfer.linear(0.0, 10.0),
        LC.Mapping.long("t", "sp", "who", "what"),
        LC.CertificateDetails(title="x"),
        plan_request(),
    ],
    ids=lambda thing: type(thing).__name__,
)
def test_descriptions_are_values(thing: Any) -> None:
    assert json.loads(json.dumps(thing.to_dict()))
    assert copy.deepcopy(thing).to_dict() == thing.to_dict()
    assert pickle.loads(pickle.dumps(thing)).to_dict() == thing.to_dict()
    assert repr(thing).startswith(type(thing).__name__)
    with pytest.raises(AttributeError):
        thing.tag = "x"


def test_results_read_back() -> None:
    file = LC.CalibrationFile.begin(RUN)
    best = RESULT.adjustments()[0]
    histories = LC.histories([(2024.0, RESULT), (2025.0, RESULT), (2026.0, RESULT, None)])
    plan = LC.plan(plan_request())
    two_references = SECOND.evaluate().reference_comparisons
    things: list[Any] = [
        plan,
        plan.sources[0],
        plan.sources[0].set_points[0],
        best,
        best.adjustment,
        best.remaining[0],
        *RESULT.hypotheses("TIC-4107"),
        RESULT.figures("TIC-4107"),
        RESULT.after_correcting("TIC-4107", "TT-4107 mA")[0],
        RESULT.actions(0.7)[0],
        RESULT.certificate(),
        RESULT.certificate().rows[0],
        LC.compare(RESULT, RESULT)[0],
        LC.impact([(1.0, RESULT)], "REF-01", [0.0, 300.0], [0.1, 0.1], last_good=0.0, found=2.0)[0],
        histories[0],
        histories[0].drift,
        LC.reliability_interval(12.0, 10, 10, target=0.95),
        LC.check_record(file.record()),
        *two_references,
    ]
    assert two_references
    for thing in things:
        assert json.loads(thing.to_json())
        assert pickle.loads(pickle.dumps(thing)) == thing
        assert copy.copy(thing) == thing
        assert repr(thing).startswith(type(thing).__name__)
        if hasattr(thing, "_repr_html_"):
            assert thing._repr_html_().startswith("<table>")
            assert "<script" not in thing._repr_html_()
        with pytest.raises(AttributeError):
            thing.tag = "x"
    assert {one.kind for one in (proposal.adjustment for proposal in RESULT.adjustments())} == {
        "zero",
        "span",
        "two_point_trim",
        "output_trim",
        "new_coefficients",
    }


def test_results_as_columns() -> None:
    frame = pd.DataFrame(RESULT.columns())
    assert len(frame) == len(RESULT.covariance)
    np.testing.assert_allclose(frame["standard_uncertainty_k"] ** 2, np.diag(RESULT.covariance), rtol=1e-12)
    worst = frame.loc[frame["tag"] == "TIC-4107", "error_k"]
    points = RESULT.instruments["TIC-4107"].points
    assert worst.tolist() == [point.error_k for point in points]
    one = RESULT.instruments["TIC-4107"].columns()
    assert one["verdict"] == [point.verdict for point in points]
    assert one["set_point"].dtype == np.int64
    shares = pd.DataFrame(RESULT.attribution[0].columns())
    sums = shares.groupby("set_point")["error_k"].sum()
    np.testing.assert_allclose(sums, [split.error_k for split in RESULT.attribution[0].set_points], atol=1e-12)
    for split in RESULT.attribution[0].set_points:
        assert RESULT.sum_of_shares(RESULT.attribution[0].tag, split.set_point) == split.error_k
        assert split.worst_case_k >= split.root_sum_of_squares_k >= 0.0
        assert split.algebraic_k == pytest.approx(split.error_k, abs=1e-12)


def test_tables_of_many_kinds() -> None:
    tags = ["REF-01", "TIC-4107"]
    mapping = LC.Mapping.wide("t", "sp", {tag: tag for tag in tags}, decimal_mark=",")
    with pytest.raises(TypeError, match="columns must be a dict of columns by tag, got list"):
        LC.Mapping.wide("t", "sp", tags)  # type: ignore[arg-type]
    start = datetime.datetime(2026, 5, 4, 10, 0, 0)
    moments = [start + datetime.timedelta(seconds=30 * i) for i in range(3)]
    columns: dict[str, Any] = {"t": moments, "sp": [100.0] * 3}
    columns |= {tags[0]: [138.60, 138.61, 138.60], tags[1]: [100.6, None, 100.7]}
    frame = pd.DataFrame(columns)
    by_frame, left_out = RUN.with_table(frame, mapping)
    by_dict, _ = RUN.with_table(columns, mapping)
    assert by_frame == by_dict
    assert [notice.code for notice in left_out] == ["missing_reading"]
    times = by_frame.to_dict()["set_points"][0]["readings"][0]["time_s"]
    assert times[0] == start.replace(tzinfo=datetime.timezone.utc).timestamp()
    assert np.diff(times).tolist() == [30.0, 30.0]
    # One row a reading, as a historian gives it.
    long = frame.melt(["t", "sp"], value_vars=tags, var_name="who", value_name="what")
    by_long, _ = RUN.with_table(long, LC.Mapping.long("t", "sp", "who", "what"))
    assert by_long == by_frame
    text = 't;sp;"REF-01";TIC-4107\n0;100;138,6;100,6\n30;100;138,61;\n60;100;138,6;100,7\n'
    by_text, _ = RUN.with_table(text, mapping, separator=";")
    assert by_text.evaluate().instruments["TIC-4107"].points[0].reading == pytest.approx(100.65, rel=1e-14)
    with pytest.raises(cc.InvalidRunError) as twice:
        RUN.with_table({**columns, "t": [0.0, 0.0, 30.0]}, mapping)
    assert "must be later than the reading before" in str(twice.value)
    with pytest.raises(cc.LengthMismatchError):
        RUN.with_table({"t": [0.0], "sp": [1.0, 2.0]}, mapping)
    with pytest.raises(cc.DocumentError):
        RUN.with_table(columns, {"tiem": "t"})


def test_plan_by_objects_and_by_dicts() -> None:
    request = plan_request()
    by_objects, by_dicts = LC.plan(request), LC.plan(request.to_dict())
    assert by_objects == by_dicts
    assert by_objects.can_share == {"block": ["TT-1", "TT-2"]}
    # 70 K at 10 K/min, 600 s to settle, 120 s to read; twice that one by one.
    assert by_objects.time_s == pytest.approx(1140.0, rel=1e-12)
    assert by_objects.time_one_by_one_s == pytest.approx(2280.0, rel=1e-12)


def test_histories() -> None:
    left = LC.Run.from_dict({**RUN.to_dict(), "phase": "as_left"}).evaluate()
    histories = LC.histories([(0.0, RESULT), (1.0, RESULT, left), (2.0, RESULT)])
    assert len(histories) == len(RESULT.covariance)
    for one in histories:
        assert one.drift is not None
        assert one.drift.slope_k_per_a == pytest.approx(0.0, abs=1e-15)
        assert np.isnan(one.as_left_k[[0, 2]]).all()
        assert one.as_left_k[1] == one.as_found_k[1]
    with pytest.raises(cc.InvalidRunError) as mixed:
        LC.histories([(2024.0, left), (2025.0, RESULT, RESULT)])
    assert mixed.value.problems == [
        ("calibrations[0].as_found", "the result of 2024 a has the phase as_left, expected as_found"),
        ("calibrations[1].as_left", "the result of 2025 a has the phase as_found, expected as_left"),
    ]
    with pytest.raises(cc.TooFewPointsError):
        LC.histories([(0.0, RESULT)])
    with pytest.raises(cc.InvalidValueError):
        LC.histories([(1.0, RESULT), (1.0, RESULT)])
    assert math.isfinite(histories[0].changes[0].e_n)


def test_numbers_that_are_none_are_refused_with_their_paths() -> None:
    description = RUN.to_dict()
    description["set_points"][2]["readings"][0]["value"][1] = math.nan
    description["heat_source"]["contributions"][0]["distribution"] = {
        "rectangular": {"half_width": np.float32(math.inf)}
    }
    paths = ["heat_source.contributions[0].distribution.rectangular.half_width", "set_points[2].readings[0].value[1]"]
    for read in (LC.Run.from_dict, lambda it: LC.Run(**{name: it[name] for name in it if name != "schema_version"})):
        with pytest.raises(cc.NotFiniteError) as refused:
            read(description)
        assert refused.value.problems is not None
        assert sorted(path for path, _ in refused.value.problems) == paths
        assert (refused.value.code, refused.value.path in paths) == (101, True)
        assert "set_points[2].readings[0].value[1] must be a finite number, got NaN" in str(refused.value)
    # The same of objects and arrays, and of what is no run.
    readings = [LC.Reading("REF-01", [0.0, 10.0], np.array([100.0, math.nan]))]
    parts = {name: description[name] for name in ("title", "phase", "coverage", "decision", "reference", "instruments")}
    with pytest.raises(cc.NotFiniteError, match=r"^set_points\[0\]\.readings\[0\]\.value\[1\] must be"):
        LC.Run(**parts, heat_source=LC.HeatSource("block", []), set_points=[LC.SetPoint(100.0, readings)])
    request = plan_request().to_dict()
    request["reading_s"] = -math.inf
    with pytest.raises(cc.NotFiniteError, match=r"^reading_s must be a finite number, got -inf$"):
        LC.plan(request)
