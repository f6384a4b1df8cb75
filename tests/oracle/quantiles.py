"""Multiple-precision quantiles of the Student, normal and chi-squared laws.

Writes ``tests/reference/quantile_oracle.csv`` with the columns
``distribution,degrees_of_freedom,p,value``.  ``p`` is the lower-tail
probability.  ``p`` and the degrees of freedom are read as the nearest double
before the quantile is computed, because that double is what a program gets;
for 0.1 degrees of freedom the difference to the decimal number would show in
the thirteenth digit.  Values have 25 significant digits.

Run ``python quantiles.py`` (about five minutes); the same input gives the same
bytes.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from mpmath import mp, mpf

mp.dps = 50

REFERENCE = Path(__file__).resolve().parent.parent / "reference"
DIGITS = 25


def words(text: str) -> list[str]:
    """Split ``text`` at its blanks."""
    return text.split()


STUDENT_DOF = words("0.1 0.5 1 1.5 2 2.5 3 4 5 7 9 10 15 30 50 100 200 473 999 1000 1001 3400 1e4 1e5 1e6 1e8 1e12")
STUDENT_P = words("0.6 0.84135 0.9 0.95 0.975 0.97725 0.995 0.9995")
NORMAL_P = words(
    "1e-300 1e-100 1e-20 1e-10 1e-5 0.001 0.01 0.02275 0.025 0.05 0.1 0.2 0.3 "
    "0.4 0.45 0.49 0.499999 0.5 0.500001 0.51 0.55 0.6 0.7 0.8 0.84135 0.9 0.95 "
    "0.975 0.97725 0.99 0.995 0.9973 0.9995 0.99999 0.9999999999"
)
CHI_SQUARED_DOF = [str(n) for n in range(1, 51)]
CHI_SQUARED_P = words("0.025 0.05 0.5 0.95 0.975")

# Above this number of degrees of freedom the tail of the Student law is
# integrated directly, below it the incomplete beta function is used.
INTEGRATE_ABOVE = 20


def exact(text: str) -> Any:
    """Return the double nearest to ``text``, as an exact number."""
    return mpf(float(text))


def bisect_newton(f: Callable[[Any], Any], slope: Callable[[Any], Any], low: Any, high: Any) -> Any:
    """Root of a rising ``f`` in ``low``..``high``: Newton kept in a bracket."""
    assert f(low) <= 0 <= f(high)
    x = (low + high) / 2
    for _ in range(400):
        value = f(x)
        if value > 0:
            high = x
        else:
            low = x
        step = value / slope(x)
        moved = x - step
        if not low < moved < high:
            moved = (low + high) / 2
        if abs(moved - x) <= abs(moved) * mpf(10) ** -40:
            return moved
        x = moved
    raise ArithmeticError("no convergence")


def normal_quantile(p: Any) -> Any:
    """Quantile of the standard normal law; the tail decides, not ``1 - p``."""
    if p > mpf("0.5"):
        return -normal_quantile(1 - p)

    def f(z: Any) -> Any:
        # the logarithm keeps Newton fast in the far tail
        return mp.log(p) - mp.log(mp.erfc(z / mp.sqrt(2)) / 2)

    def slope(z: Any) -> Any:
        return mp.npdf(z) / (mp.erfc(z / mp.sqrt(2)) / 2)

    if p == mpf("0.5"):
        return mpf(0)
    return -bisect_newton(f, slope, mpf(0), mpf(60))


def student_density(t: Any, nu: Any) -> Any:
    """Density of the Student law."""
    half = (nu + 1) / 2
    scale = mp.exp(mp.loggamma(half) - mp.loggamma(nu / 2)) / mp.sqrt(nu * mp.pi)
    return scale * mp.exp(-half * mp.log1p(t * t / nu))


def student_tail(t: Any, nu: Any) -> Any:
    """Probability of a Student variable above ``t`` for ``t >= 0``."""
    if nu <= INTEGRATE_ABOVE:
        x = nu / (nu + t * t)
        return mp.betainc(nu / 2, mpf("0.5"), 0, x, regularized=True) / 2
    pieces = [t * i / 4 for i in range(5)]
    return mpf("0.5") - mp.quad(lambda s: student_density(s, nu), pieces)


def student_quantile(p: Any, nu: Any) -> Any:
    """Quantile of the Student law for ``p >= 0.5``."""
    with mp.workdps(70):
        tail = 1 - p
        high = mpf(1)
        while student_tail(high, nu) > tail:
            high *= 8

        def f(t: Any) -> Any:
            return mp.log(tail) - mp.log(student_tail(t, nu))

        def slope(t: Any) -> Any:
            return student_density(t, nu) / student_tail(t, nu)

        return bisect_newton(f, slope, mpf(0), high)


def chi_squared_quantile(p: Any, nu: Any) -> Any:
    """Quantile of the chi-squared law."""

    def f(x: Any) -> Any:
        return mp.gammainc(nu / 2, 0, x / 2, regularized=True) - p

    def slope(x: Any) -> Any:
        log = (nu / 2 - 1) * mp.log(x) - x / 2 - mp.loggamma(nu / 2)
        return mp.exp(log - nu / 2 * mp.log(2))

    return bisect_newton(f, slope, mpf(0), 10 * nu + 100)


def check() -> None:
    """Compare with closed forms and join the two ways to the Student tail."""
    tiny = mpf(10) ** -30
    for text in STUDENT_P:
        p = exact(text)
        cauchy = mp.tan(mp.pi * (p - mpf("0.5")))
        assert abs(student_quantile(p, mpf(1)) / cauchy - 1) < tiny
        two = (2 * p - 1) * mp.sqrt(2 / (4 * p * (1 - p)))
        assert abs(student_quantile(p, mpf(2)) / two - 1) < tiny
        # no closed form here: compare with the road not taken for 30
        nu = mpf(30)
        t = student_quantile(p, nu)
        tail = mp.betainc(nu / 2, mpf("0.5"), 0, nu / (nu + t * t), regularized=True)
        assert abs(tail / 2 / (1 - p) - 1) < tiny
    for text in CHI_SQUARED_P:
        p = exact(text)
        assert abs(chi_squared_quantile(p, mpf(2)) / (-2 * mp.log1p(-p)) - 1) < tiny
        square = normal_quantile((1 + p) / 2) ** 2
        assert abs(chi_squared_quantile(p, mpf(1)) / square - 1) < tiny


def main() -> None:
    """Check the roads against each other, then write the table."""
    check()
    rows = ["distribution,degrees_of_freedom,p,value"]
    for p in NORMAL_P:
        rows.append(f"normal,inf,{p},{mp.nstr(normal_quantile(exact(p)), DIGITS)}")
    for nu in STUDENT_DOF:
        for p in STUDENT_P:
            value = student_quantile(exact(p), exact(nu))
            rows.append(f"student,{nu},{p},{mp.nstr(value, DIGITS)}")
    for nu in CHI_SQUARED_DOF:
        for p in CHI_SQUARED_P:
            value = chi_squared_quantile(exact(p), exact(nu))
            rows.append(f"chi_squared,{nu},{p},{mp.nstr(value, DIGITS)}")
    path = REFERENCE / "quantile_oracle.csv"
    path.write_text("\n".join(rows) + "\n", encoding="ascii", newline="\n")


if __name__ == "__main__":
    main()
