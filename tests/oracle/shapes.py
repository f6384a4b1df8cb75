"""Coverage factors of sums of independent shapes, by quadrature of the inversion integral.

Run by hand: python tests/oracle/shapes.py. Writes tests/reference/shape_coverage.csv. The library sums a Fourier series
on an interval; here the integral of Gil-Pelaez is summed over midpoints with Bessel functions of scipy, or, where only
rectangles are summed, the closed form of the sum (piecewise polynomial) is taken with 40 digits.
"""

import itertools
import math
from pathlib import Path

import mpmath as mp
import numpy as np
from scipy.optimize import brentq
from scipy.special import j0

mp.mp.dps = 40
HERE = Path(__file__).parent.parent / "reference"

# Name, then standard uncertainties by shape.
CASES: dict[str, list[tuple[str, str]]] = {
    "ea402_s10": [
        ("normal", "0.015"),
        *[("rectangular", a) for a in ("0.04", "0.05", "0.10", "0.25", "0.05", "0.03")],
    ],
    "rectangle_and_normal": [("normal", "0.5"), ("rectangular", "1")],
    "rectangle_and_little_normal": [("normal", "0.05"), ("rectangular", "1")],
    "three_rectangles": [("rectangular", "1"), ("rectangular", "0.7"), ("rectangular", "0.2")],
    "rectangle_and_triangle": [("rectangular", "1"), ("triangular", "1.2")],
    "arcsine_and_normal": [("normal", "0.4"), ("u_shaped", "1")],
    "all_kinds": [("normal", "0.2"), ("rectangular", "1"), ("triangular", "0.5"), ("u_shaped", "0.8")],
}


def variance(kind: str, size: mp.mpf) -> mp.mpf:
    """Variance of a part: of a normal one its size is the standard deviation, else the half-width."""
    divisor = {"normal": 1, "rectangular": 3, "triangular": 6, "u_shaped": 2}[kind]
    return size * size / divisor


def covered_by_rectangles(widths: list[mp.mpf], x: mp.mpf) -> mp.mpf:
    """P(|sum| <= x) of rectangles, from the signed powers at the corners."""
    n = len(widths)
    scale = mp.factorial(n) * mp.power(2, n) * mp.fprod(widths)

    def below(y: mp.mpf) -> mp.mpf:
        total = mp.mpf(0)
        for signs in itertools.product((1, -1), repeat=n):
            corner = y + mp.fsum(s * a for s, a in zip(signs, widths, strict=True))
            if corner > 0:
                total += mp.fprod(signs) * corner**n
        return total / scale

    return below(x) - below(-x)


def covered(parts: list[tuple[str, mp.mpf]], x: mp.mpf) -> mp.mpf:
    """P(|sum| <= x), with a normal part: midpoints, which converge faster than any power for so smooth an integrand."""
    sigma2 = float(mp.fsum(variance(k, a) for k, a in parts if k == "normal"))
    end = np.sqrt(2 * 40 / sigma2)
    step = 0.2 / float(x + mp.fsum(a for _, a in parts)) / 10
    w = (np.arange(int(end / step) + 1) + 0.5) * step
    value = np.exp(-sigma2 * w * w / 2) * np.sin(float(x) * w) / w
    for kind, size in parts:
        a = float(size)
        if kind == "rectangular":
            value *= np.sinc(a * w / np.pi)
        elif kind == "triangular":
            value *= np.sinc(a * w / 2 / np.pi) ** 2
        elif kind == "u_shaped":
            value *= j0(a * w)
    return mp.mpf(2 / np.pi * step * math.fsum(value))


def factor(parts: list[tuple[str, mp.mpf]], p: str) -> str:
    """Coverage factor at a probability, 12 digits."""
    u = mp.sqrt(mp.fsum(variance(k, a) for k, a in parts))
    if all(kind in ("rectangular", "triangular") for kind, _ in parts):
        widths = [b for kind, a in parts for b in ([a] if kind == "rectangular" else [a / 2, a / 2])]
        found = mp.findroot(
            lambda x: covered_by_rectangles(widths, x) - mp.mpf(p), (u / 2, 3 * u), solver="anderson", tol=1e-25
        )
    else:
        found = mp.mpf(brentq(lambda x: float(covered(parts, x)) - float(p), float(u) / 2, 4 * float(u), xtol=1e-15))
    return str(mp.nstr(found / u, 12))


def main() -> None:
    """Writes the table."""
    lines = ["case,p,k"]
    for name, texts in CASES.items():
        parts = [(kind, mp.mpf(size)) for kind, size in texts]
        lines.extend(f"{name},{p},{factor(parts, p)}" for p in ("0.6827", "0.95", "0.99"))
    (HERE / "shape_coverage.csv").write_text("\n".join(lines) + "\n", encoding="ascii", newline="\n")


if __name__ == "__main__":
    main()
