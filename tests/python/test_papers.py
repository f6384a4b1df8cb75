"""What goes into the file: certificate, table of the points, record."""

import csv
import io
import json
from typing import Any

import pytest

import calcore as cc
from support import bits, run

LC = cc.loop_calibration
RESULT = run().evaluate()

# ISO/IEC 17025:2017, 7.8.2.1 a to p and 7.8.4.1 a to f, 7.8.6.2: what a certificate must hold, where it stands.
CLAUSES = {
    "7.8.2.1 a": "title",
    "7.8.2.1 b": "laboratory",
    "7.8.2.1 c": "location",
    "7.8.2.1 d": "identification",
    "7.8.2.1 e": "customer",
    "7.8.2.1 f": "method",
    "7.8.2.1 g": "item",
    "7.8.2.1 i": "performed",
    "7.8.2.1 j": "issued",
    "7.8.2.1 o": "authorised_by",
    "7.8.4.1 b": "conditions",
    "7.8.4.1 c": "traceability",
    "7.8.6.2 c": "decision_rule_agreement",
}
# Asked for only where they apply: date of receipt, sampling, deviations, results of others, opinions.
WHERE_THEY_APPLY = ["received", "sampling", "deviations", "external_results", "opinions"]


def test_every_clause_of_a_certificate_has_a_place() -> None:
    empty = RESULT.certificate()
    assert dict(empty.missing) == CLAUSES
    words: dict[str, str] = {name: f"invented {name}" for name in [*CLAUSES.values(), *WHERE_THEY_APPLY]}
    full = RESULT.certificate(LC.CertificateDetails(**words))
    assert not full.missing
    assert full.details == words
    # 7.8.2.1 l, m; 7.8.4.1 a, d, e; 7.8.6.2: of the results themselves.
    assert "only to the items" in full.items_statement
    assert full.rows
    assert all(row.unit and row.expanded_uncertainty and row.coverage_factor and row.conformity for row in full.rows)
    assert "probability of 0.95" in full.uncertainty_statement
    assert full.phase == "as_found"
    assert "guard bands" in full.decision_statement
    assert "interval" not in json.dumps(json.loads(full.to_json())["details"])


def test_the_six_words_of_conformity_map_one_to_one() -> None:
    # Conformity list of the open schema of the digital calibration certificate.
    pairs: dict[Any, str] = {
        "pass": "pass",
        "fail": "fail",
        "conditional_pass": "conditionalPass",
        "conditional_fail": "conditionalFail",
        "no_pass": "noPass",
        "no_fail": "noFail",
    }
    assert {verdict: LC.conformity_word(verdict) for verdict in pairs} == pairs
    with pytest.raises(cc.UnknownNameError, match="conditional_pass"):
        LC.conformity_word("conditionalPass")  # type: ignore[arg-type]


def test_the_table_of_the_points_is_complete_and_exact() -> None:
    rows = list(csv.DictReader(io.StringIO(RESULT.points_csv())))
    points = [(tag, one, point) for tag, one in RESULT.instruments.items() for point in one.points]
    assert len(rows) == len(points)
    for row, (tag, one, point) in zip(rows, points, strict=True):
        assert (row["tag"], row["kind"], row["unit"]) == (tag, one.kind, one.unit)
        assert row["conformity"] == LC.conformity_word(point.verdict)
        assert int(row["set_point"]) == point.set_point
        for name in row.keys() - {"tag", "kind", "unit", "conformity", "set_point"}:
            assert bits(float(row[name])) == bits(float(getattr(point, name))), name


def test_a_record_gives_every_number_again_bit_for_bit() -> None:
    file = LC.CalibrationFile.begin(run())
    kept = file.record(LC.CertificateDetails(title="Calibration certificate"))
    check = LC.check_record(kept)
    assert check.unchanged
    assert not check.differences
    assert check.calibration.record(check.certificate) == kept
    again = check.calibration.as_found.evaluate()
    assert again.to_json() == RESULT.to_json()
    # One digit of a reading, and one of a result.
    reading = kept.replace("103.9225", "103.9226", 1)
    assert reading != kept
    assert LC.check_record(reading).differences
    found = json.loads(kept)
    found["as_found"]["instruments"][0]["points"][0]["error_k"] += 1e-15
    doctored = LC.check_record(json.dumps(found))
    assert not doctored.unchanged
    assert doctored.differences == ["as_found.instruments[0].points[0].error_k"]
