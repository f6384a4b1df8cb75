"""Every public function of the core is found in C and in Python, or `tests/faces.csv` says under which name or why not.

A function is found by its own name: in C behind the prefix, in Python as a function, a method or an attribute.
"""

from __future__ import annotations

import csv
import fnmatch
import re
from pathlib import Path

from support import ROOT

ROOMS = [
    "temperature",
    "its90",
    "curves",
    "circuit",
    "tolerance",
    "fit",
    "linearization",
    "uncertainty",
    "settling",
    "decision",
    "loop_calibration",
    "validation",
]


def public_functions() -> dict[str, str]:
    """Names such as `circuit::leads::two_wire_reading`, and their last word."""
    found: dict[str, str] = {}
    for room in ROOMS:
        for file in sorted((ROOT / "calcore" / "src" / room).rglob("*.rs")):
            path = [*file.relative_to(ROOT / "calcore" / "src").with_suffix("").parts]
            place = "::".join(part for part in path if part != "mod")
            owner = ""
            for line in file.read_text(encoding="utf-8").split("#[cfg(test)]\nmod tests")[0].splitlines():
                if opened := re.match(r"impl(?:<.*?>)? (?:[\w:]+(?:<.*?>)? for )?(\w+)", line):
                    owner = opened[1] + "::"
                elif line == "}":
                    owner = ""
                elif named := re.match(r"(\s*)pub (?:const )?fn (\w+)", line):
                    found[f"{place}::{owner if named[1] else ''}{named[2]}"] = named[2]
    return found


def words(path: Path, pattern: str) -> set[str]:
    return set(re.findall(pattern, path.read_text(encoding="utf-8")))


def names_of_c() -> set[str]:
    return words(ROOT / "include" / "calcore.h", r"\bcalcore_(\w+)\(")


def names_of_python() -> set[str]:
    return words(ROOT / "calcore-py" / "python" / "calcore" / "_native.pyi", r"\bdef (\w+)\(")


def fields_of_c() -> set[str]:
    return words(ROOT / "include" / "calcore.h", r"\n    [\w ]+ \*?(\w+)(?:\[\d+\])?;")


def is_among(word: str, names: set[str]) -> bool:
    return any(name == word or name.endswith("_" + word) for name in names)


def rows() -> list[dict[str, str]]:
    with (ROOT / "tests" / "faces.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def fault(word: str, said: str, by_name: set[str], otherwise: set[str]) -> str | None:
    """What is wrong with a function on one face; `said` is what the table says of it."""
    if said.startswith("-"):
        return None if len(said) > 8 else "no reason is given"
    if said:
        return None if is_among(said, otherwise) else f"{said} is not there"
    return None if is_among(word, by_name) else "it is not there"


def test_every_function_of_the_core_has_three_faces() -> None:
    functions, c, python = public_functions(), names_of_c(), names_of_python()
    assert len(functions) > 500
    told = rows()
    used = {row["function"] for row in told if fnmatch.filter(functions, row["function"])}
    assert used == {row["function"] for row in told}, "rows of functions that the core does not have"
    faults = []
    for function, word in functions.items():
        row: dict[str, str] = next((row for row in told if fnmatch.fnmatchcase(function, row["function"])), {})
        for face, by_name, otherwise in (("c", c, c | fields_of_c()), ("python", python, python)):
            if is_among(word, by_name) and "*" in row.get("function", ""):
                continue
            if wrong := fault(word, row.get(face, ""), by_name, otherwise):
                faults.append(f"{function} in {face}: {wrong}")
    assert not faults, "\n".join(faults)
