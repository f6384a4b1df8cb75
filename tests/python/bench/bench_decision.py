"""Decisions beside scipy: the global risk of a normal process by the bivariate normal distribution, by Owen's T, and by
quadrature; of a rectangular process by quadrature.

Tolerance 1, 95 % of the true values within, test uncertainty ratio 4. The ratio of the times within one group is the
figure; every peer is held to the same number.
"""

from typing import Any

import numpy as np
import pytest
import scipy.integrate
import scipy.optimize
import scipy.special
import scipy.stats

import calcore as cc

D, U = cc.decision, cc.uncertainty
STD = D.process_std_from_in_tolerance(1.0, 0.95)
U_M = 0.125
BAND = 0.03


def by_bivariate_normal() -> float:
    """P(|X| > 1, |Y| < a): twice the upper part, by the distribution function of (X, Y)."""
    a = 1.0 - BAND
    covariance = [[STD**2, STD**2], [STD**2, STD**2 + U_M**2]]
    both = scipy.stats.multivariate_normal(np.zeros(2), covariance, abseps=1e-12, releps=1e-12)
    outer = scipy.stats.norm.cdf([a, -a], scale=np.hypot(STD, U_M))
    inner = both.cdf([1.0, a]), both.cdf([1.0, -a])
    return float(2.0 * ((outer[0] - inner[0]) - (outer[1] - inner[1])))


def by_owens_t() -> float:
    """The same with Owen's T (D. B. Owen, Ann. Math. Stat. 27 (1956) 1075, equation 2.1)."""
    y = np.hypot(STD, U_M)
    rho = STD / y
    root = U_M / y

    def cdf(h: float, k: float) -> float:
        t = scipy.special.owens_t(h, (k / h - rho) / root) + scipy.special.owens_t(k, (h / k - rho) / root)
        half = 0.0 if h * k > 0.0 else 0.5
        return float(0.5 * (scipy.special.ndtr(h) + scipy.special.ndtr(k)) - t - half)

    h, k = 1.0 / STD, (1.0 - BAND) / y
    return float(2.0 * ((scipy.special.ndtr(k) - cdf(h, k)) - (scipy.special.ndtr(-k) - cdf(h, -k))))


def accepted(x: Any) -> Any:
    a = 1.0 - BAND
    return scipy.special.ndtr((a - x) / U_M) - scipy.special.ndtr((-a - x) / U_M)


def by_quad() -> float:
    found, _ = scipy.integrate.quad(
        lambda x: np.exp(-0.5 * (x / STD) ** 2) / (STD * np.sqrt(2.0 * np.pi)) * accepted(x),
        1.0,
        1.0 + 10.0 * U_M,
        epsabs=1e-13,
        epsrel=1e-10,
    )
    return 2.0 * float(found)


def by_dblquad() -> float:
    density = scipy.stats.norm.pdf
    found, _ = scipy.integrate.dblquad(
        lambda e, x: density(x, scale=STD) * density(e, scale=U_M),
        1.0,
        1.0 + 10.0 * U_M,
        lambda x: -1.0 + BAND - x,
        lambda x: 1.0 - BAND - x,
        epsabs=1e-10,
        epsrel=1e-8,
    )
    return 2.0 * float(found)


@pytest.mark.benchmark(group="global risk of a normal process")
def bench_risk(benchmark: Any) -> None:
    benchmark(D.risk, 1.0, STD, U_M, BAND)


@pytest.mark.benchmark(group="global risk of a normal process")
@pytest.mark.parametrize("peer", [by_bivariate_normal, by_owens_t, by_quad, by_dblquad])
def bench_peer(benchmark: Any, peer: Any) -> None:
    # What the peers are asked for; the risks are about 0.006.
    assert abs(benchmark(peer) - D.risk(1.0, STD, U_M, BAND).false_accept) < 1e-9


RECTANGLE = U.Rectangular(-1.2, 1.2)


@pytest.mark.benchmark(group="global risk of a rectangular process")
def bench_risk_rectangular(benchmark: Any) -> None:
    benchmark(D.risk, 1.0, RECTANGLE, U_M, BAND)


@pytest.mark.benchmark(group="global risk of a rectangular process")
def bench_quad_rectangular(benchmark: Any) -> None:
    def job() -> float:
        found, _ = scipy.integrate.quad(lambda x: accepted(x) / 2.4, 1.0, 1.2, epsabs=1e-13, epsrel=1e-10)
        return 2.0 * float(found)

    assert abs(benchmark(job) - D.risk(1.0, RECTANGLE, U_M, BAND).false_accept) < 1e-9


@pytest.mark.benchmark(group="guard band for 2 % false accepts, u = 0.4")
def bench_guard_band(benchmark: Any) -> None:
    benchmark(D.guard_band_for_global_risk, 1.0, 0.6, 0.4)


@pytest.mark.benchmark(group="guard band for 2 % false accepts, u = 0.4")
def bench_guard_band_by_brentq(benchmark: Any) -> None:
    """The root that scipy finds of the risk itself, so that only the search is compared."""

    def job() -> float:
        return float(
            scipy.optimize.brentq(lambda g: D.risk(1.0, 0.6, 0.4, g).false_accept - 0.02, 0.0, 1.0, xtol=1e-14)
        )

    assert abs(benchmark(job) - D.guard_band_for_global_risk(1.0, 0.6, 0.4)) < 1e-10
