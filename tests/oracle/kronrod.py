"""Nodes and weights of the Gauss-Kronrod rule with 10 and 21 points.

Writes ``tests/reference/kronrod.csv`` with the columns ``node,kronrod_weight,gauss_weight`` for the nodes that are not
negative; the Gauss weight is 0 where the 10-point rule has no node.  The added nodes are the roots of the Stieltjes
polynomial, the weights those that make the rule exact for the Legendre polynomials; 33 digits
are printed, as in QUADPACK.

Run ``python kronrod.py`` (a second); the same input gives the same bytes.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mpmath import legendre, lu_solve, matrix, mp, mpf, nstr, polyroots, re, taylor

mp.dps = 60

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
N = 10


def monomial(power: int) -> Any:
    """Integral of x to a power from -1 to 1."""
    return mpf(2) / (power + 1) if power % 2 == 0 else mpf(0)


def roots(ascending: list[Any]) -> list[Any]:
    """Real roots of a polynomial."""
    return sorted(re(root) for root in polyroots(ascending[::-1], maxsteps=500, extraprec=400))


def weights(nodes: list[Any]) -> list[Any]:
    """Weights that integrate the Legendre polynomials below the number of nodes exactly."""
    n = len(nodes)
    values = matrix(n, n)
    for i in range(n):
        for j, node in enumerate(nodes):
            values[i, j] = legendre(i, node)
    moments = matrix(n, 1)
    moments[0] = 2
    return list(lu_solve(values, moments))


def stieltjes(gauss: list[Any]) -> list[Any]:
    """The monic polynomial of degree 11 whose product with the Legendre polynomial has no moment below 11."""
    odd = list(range(1, N + 1, 2))
    equations, right = matrix(len(odd), len(odd)), matrix(len(odd), 1)
    for row, k in enumerate(odd):
        for column, power in enumerate(odd):
            equations[row, column] = sum(c * monomial(i + power + k) for i, c in enumerate(gauss))
        right[row] = -sum(c * monomial(i + N + 1 + k) for i, c in enumerate(gauss))
    solved = lu_solve(equations, right)
    polynomial = [mpf(0)] * (N + 1) + [mpf(1)]
    for power, coefficient in zip(odd, solved, strict=True):
        polynomial[power] = coefficient
    return polynomial


def main() -> None:
    """Write the table."""
    gauss_polynomial = [mpf(c) for c in taylor(lambda x: legendre(N, x), 0, N)]
    gauss = roots(gauss_polynomial)
    nodes = sorted(gauss + roots(stieltjes(gauss_polynomial)))
    gauss_weights = weights(gauss)
    lines = ["node,kronrod_weight,gauss_weight"]
    for node, weight in zip(nodes, weights(nodes), strict=True):
        if node < -(mpf(10) ** -30):
            continue
        beside = [w for x, w in zip(gauss, gauss_weights, strict=True) if abs(x - node) < mpf(10) ** -30]
        shown = mpf(0) if abs(node) < mpf(10) ** -30 else node
        lines.append(",".join(nstr(x, 33) for x in (shown, weight, beside[0] if beside else mpf(0))))
    (REFERENCE / "kronrod.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
