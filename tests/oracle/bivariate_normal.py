"""Probabilities of two correlated normal quantities, with 25 digits.

Writes ``tests/reference/bivariate_normal.csv`` with the columns ``h,k,correlation,probability``: P(X > h, Y > k).
The inputs are read as the nearest doubles before the probability is computed.  The formula, the integral of the
density of X times the conditional probability of Y, is not the one that the core uses.

Run ``python bivariate_normal.py`` (some minutes); the same input gives the same bytes.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mpmath import mp, mpf, ncdf, npdf, nstr, quad, sqrt

mp.dps = 25

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
LIMITS = ["-6", "-0.5", "1.96", "2.01", "5"]
CORRELATIONS = ["-0.999999", "-0.97", "-0.5", "0.3", "0.97", "0.999999"]


def above(h: Any, k: Any, r: Any) -> Any:
    """P(X > h, Y > k)."""
    s = sqrt(1 - r * r)
    points = {h}
    centres = [mpf(0)] + ([k / r] if r != 0 else [])
    widths = [mpf(1)] + ([s / abs(r)] if r != 0 else [])
    for centre, width in zip(centres, widths, strict=True):
        for step in (-30, -12, -6, -3, -1, 0, 1, 3, 6, 12, 30):
            points.add(max(h, centre + step * width))
    # Where the limit cuts far into a tail the integrand falls like exp(-z (x - h)/s), z its distance in widths.
    fall = (abs(k - r * h) / s + 1) / s + abs(h)
    points.update(h + 2 * i / fall for i in range(25))
    points.add(max(points) + 30)
    return quad(lambda x: npdf(x) * ncdf((r * x - k) / s), sorted(points), method="gauss-legendre", maxdegree=5)


def main() -> None:
    """Write the table."""
    lines = ["h,k,correlation,probability"]
    for h in LIMITS:
        for k in LIMITS:
            for r in CORRELATIONS:
                value = above(mpf(float(h)), mpf(float(k)), mpf(float(r)))
                lines.append(f"{h},{k},{r},{nstr(value, 15)}")
    (REFERENCE / "bivariate_normal.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
