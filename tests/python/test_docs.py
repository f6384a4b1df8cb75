"""Every public name is documented, and the examples in the documentation do what they say."""

import doctest
import inspect
from collections.abc import Iterator
from types import ModuleType
from typing import Any

import numpy as np
import pytest

import calcore as cc
from support import plan_request, run


def modules() -> Iterator[ModuleType]:
    yield cc
    for name in cc.__all__:
        member = getattr(cc, name)
        if inspect.ismodule(member):
            yield member


def documented() -> Iterator[tuple[str, Any]]:
    for module in modules():
        for name in module.__all__:
            member = getattr(module, name)
            if inspect.ismodule(member) or isinstance(member, str):
                continue
            path = f"{module.__name__}.{name}"
            yield path, member
            if inspect.isclass(member):
                for inner, value in vars(member).items():
                    if not inner.startswith("_") and (callable(getattr(member, inner)) or hasattr(value, "__get__")):
                        yield f"{path}.{inner}", getattr(member, inner)


NAMES = dict(documented())


def is_error(path: str) -> bool:
    member = NAMES[path]
    return inspect.isclass(member) and issubclass(member, Exception)


@pytest.mark.parametrize("path", NAMES)
def test_documentation_is_complete(path: str) -> None:
    member = NAMES[path]
    text = inspect.getdoc(member)
    assert text, f"{path} has no documentation"
    first = text.splitlines()[0]
    assert first.endswith("."), f"{path}: the first line is not a sentence"
    if callable(member) and not is_error(path):
        takes = [name for name in inspect.signature(member).parameters if name not in ("self", "cls")]
        for heading in (["Parameters"] if takes else []) + ["Examples"]:
            assert f"\n{heading}\n{'-' * len(heading)}\n" in text, f"{path} has no section {heading}"
        for name in takes:
            assert name in text.split("Parameters\n", 1)[1], f"{path} does not explain {name}"


@pytest.mark.parametrize("path", [path for path in NAMES if ">>>" in (inspect.getdoc(NAMES[path]) or "")])
def test_examples(path: str) -> None:
    globs = {
        "cc": cc,
        "np": np,
        "run": run(),
        "result": run().evaluate(),
        "two_references": run("reactor_loop").evaluate(),
        "request": plan_request(),
    }
    test = doctest.DocTestParser().get_doctest(inspect.getdoc(NAMES[path]) or "", globs, path, None, None)
    output: list[str] = []
    failures = (
        doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.IGNORE_EXCEPTION_DETAIL)
        .run(test, out=output.append)
        .failed
    )
    assert failures == 0, "".join(output)
