"""The code of the README: the Python part runs, the C part is the file that the C tests build and run."""

import re
from pathlib import Path

import pytest

from support import ROOT

TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


def block(language: str) -> str:
    found = re.findall(rf"```{language}\n(.*?)```", TEXT, flags=re.DOTALL)
    assert len(found) == 1, f"{len(found)} blocks of {language}"
    return str(found[0])


def test_python(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    exec(compile(block("python"), "README.md", "exec"), {})
    said = capsys.readouterr().out
    # IEC 60751:2022, table 1: 100.00, 138.51 and 175.86 ohm.
    assert "138.505" in said
    assert "cause: TT-4107 mA" in said


def test_c() -> None:
    assert block("c") == (ROOT / "tests" / "c" / "quick_start.c").read_text(encoding="utf-8")


def test_every_link_leads_somewhere() -> None:
    for link in re.findall(r"\]\(([^)#:]+)\)", TEXT):
        assert (ROOT / Path(link)).exists(), link
