"""The table of checks that a laboratory files."""

import subprocess
import sys

import pytest

import calcore as cc


def test_every_check_passes() -> None:
    checks = cc.validation.checks()
    assert len(checks) > 1000
    failed = [check for check in checks if not check.passes]
    assert failed == []
    assert all(check.source and check.quantity and check.tolerance >= 0 for check in checks)


def test_as_a_command() -> None:
    done = subprocess.run([sys.executable, "-W", "error", "-m", "calcore.validation"], capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[-1] == f"calcore {cc.__version__}: {len(lines) - 1} checks, 0 failed"
    assert all(line.startswith("pass  ") for line in lines[:-1])


def test_an_unknown_argument(capsys: pytest.CaptureFixture[str]) -> None:
    assert cc.validation.main(["--all"]) == 2
    assert "--all" in capsys.readouterr().err
