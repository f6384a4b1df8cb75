"""The table of checks against published sources, for a laboratory's file (ISO/IEC 17025:2017, 7.11.2).

``python -m calcore.validation`` prints it, and ends with an error if a check fails; ``--failed`` prints only those that
do.
"""

import sys
from collections.abc import Sequence

from ._native import Check, __version__
from ._native import validation_checks as checks

__all__ = [
    "Check",
    "checks",
    "main",
]


def main(arguments: Sequence[str] | None = None) -> int:
    """Print all checks, or with ``--failed`` those that fail, and return 1 if one does.

    Parameters
    ----------
    arguments : sequence of str, optional
        Those of the command line, unless given.

    Returns
    -------
    int
        0 if every check passes, else 1.

    Examples
    --------
    >>> cc.validation.main(["--failed"])
    calcore ...: ... checks, 0 failed
    0
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    unknown = [argument for argument in given if argument != "--failed"]
    if unknown:
        print(f"unknown argument {unknown[0]}; the only one is --failed", file=sys.stderr)
        return 2
    table = checks()
    failed = 0
    for check in table:
        failed += not check.passes
        if given and check.passes:
            continue
        print(
            f"{'pass' if check.passes else 'FAIL'}  {check.quantity}: published {check.published!r} {check.unit}, "
            f"computed {check.computed!r} {check.unit}, tolerance {check.tolerance!r}  [{check.source}]"
        )
    print(f"calcore {__version__}: {len(table)} checks, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
