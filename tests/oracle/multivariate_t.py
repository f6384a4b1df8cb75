"""Probabilities that two quantities of a bivariate t both lie above a limit, by quadrature.

Writes ``tests/reference/multivariate_t.csv`` with the columns ``nu,correlation,limit,both_above``: both scales are 1
and both locations 0.  With the common chi-squared variable w given, the two are normal: the probability is the
expectation of P(Z1 > h sqrt(w / nu), Z2 > h sqrt(w / nu)) over w, with mpmath; it is compared with the
distribution function of scipy.

Run ``python multivariate_t.py``; the same input gives the same bytes.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mpmath import exp, gamma, inf, mp, mpf, ncdf, npdf, nstr, quad, sqrt
from scipy.stats import multivariate_t

mp.dps = 15

REFERENCE = Path(__file__).resolve().parent.parent / "reference"


def both_normal_above(h: Any, r: Any) -> Any:
    """P(Z1 > h, Z2 > h)."""
    return quad(lambda x: npdf(x) * ncdf((r * x - h) / sqrt(1 - r * r)), [h, h + 1, h + 3, h + 12])


def both_above(nu: int, r: Any, h: Any) -> Any:
    """P(T1 > h, T2 > h)."""
    half = mpf(nu) / 2

    def density(w: Any) -> Any:
        return w ** (half - 1) * exp(-w / 2) / (2**half * gamma(half))

    return quad(lambda w: density(w) * both_normal_above(h * sqrt(w / nu), r), [0, nu / 4, nu, 3 * nu, 8 * nu, inf])


def main() -> None:
    """Write the table."""
    lines = ["nu,correlation,limit,both_above"]
    for nu in (4, 9):
        for r in ("0", "0.5", "-0.5"):
            for h in ("1", "2"):
                value = both_above(nu, mpf(r), mpf(h))
                shape = [[1.0, float(r)], [float(r), 1.0]]
                other = multivariate_t.cdf([-float(h), -float(h)], shape=shape, df=nu, maxpts=1_000_000, random_state=1)
                if abs(other - float(value)) > 5e-5:
                    raise ArithmeticError(f"{nu} {r} {h}: {value} and {other}")
                lines.append(f"{nu},{r},{h},{nstr(value, 10)}")
    (REFERENCE / "multivariate_t.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
