"""The published JSON Schemas: handed out byte for byte, and obeyed by what is written, judged by `jsonschema`."""

import json
from typing import Any

import jsonschema
import pytest

import calcore as cc
from support import ROOT, run

LC = cc.loop_calibration


def obeys(document: Any, name: str) -> None:
    jsonschema.validate(document, json.loads(LC.schema(name)), cls=jsonschema.Draft202012Validator)


def test_every_schema_is_handed_out() -> None:
    files = sorted((ROOT / "calcore" / "schema").glob("loop_calibration_*.json"))
    assert sorted(LC.schema_names()) == [file.stem.removeprefix("loop_calibration_") for file in files]
    for name, file in zip(sorted(LC.schema_names()), files, strict=True):
        assert LC.schema(name) == file.read_text(encoding="utf-8")
        jsonschema.Draft202012Validator.check_schema(json.loads(LC.schema(name)))


def test_documents_obey_their_schemas() -> None:
    found = run()
    result = found.evaluate()
    details = LC.CertificateDetails(title="Calibration certificate", item="TIC-4107, invented")
    file = LC.CalibrationFile.begin(found)
    record = file.record(details)
    obeys(found.to_dict(), "run")
    obeys(result.to_dict(), "run_result")
    obeys(json.loads(result.certificate(details).to_json()), "certificate")
    obeys(json.loads(record), "record")
    obeys(json.loads(LC.check_record(record).to_json()), "record_check")
    obeys(json.loads(file.to_json()), "calibration_file")
    obeys([json.loads(one.to_json()) for one in result.adjustments()], "proposals")
    obeys([json.loads(one.to_json()) for one in result.actions(0.7)], "actions")


def test_a_document_with_a_fault_does_not_obey() -> None:
    description = run().to_dict()
    description["coverage"] = {"sigma": 2}
    with pytest.raises(jsonschema.ValidationError):
        obeys(description, "run")
    with pytest.raises(cc.UnknownNameError, match="certificate_details"):
        LC.schema("letter")
