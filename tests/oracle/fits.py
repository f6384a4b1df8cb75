"""Multiple-precision solutions of fits with errors in both variables.

The Callendar-Van Dusen equation is fitted to made-up points with full Newton
steps (analytic second derivatives) on the sum of squares over all unknowns at
once: the coefficients and every true temperature.  Nothing is eliminated or
whitened, so that the road is another one than the library's.  The covariance
is the block of the coefficients in the inverse of J^T V^-1 J over all
unknowns, at the minimum.

Files in ``tests/reference``:

``fit_oracle_points.csv``   the points and their uncertainties
``fit_oracle.csv``          coefficients, chi-squared, covariance, true
                            temperatures, to 30 digits
``fit_peers.csv``           the same problems by general-purpose libraries

Run ``python fits.py`` for the first two and ``python fits.py peers`` for the
last one (needs numpy, scipy and odrpack).
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from mpmath import matrix, mp, mpf

mp.dps = 60

REFERENCE = Path(__file__).resolve().parent.parent / "reference"

# Temperatures and resistances of made-up thermometers, with noise of the size
# of the stated uncertainties or larger.
COLD = (
    ["-80.012", "-39.987", "0.013", "50.021", "99.988", "150.017", "199.994"],
    ["68.3281", "84.2706", "100.0113", "119.4087", "138.4938", "157.3357", "175.8512"],
)
WARM = (
    ["0.21", "51.3", "98.6", "151.9", "203.2", "249.1", "301.4", "398.7"],
    ["100.12", "119.71", "138.33", "157.82", "177.51", "193.62", "212.88", "246.29"],
)
SHALLOW = (
    ["-20.012", "-9.987", "0.013", "50.021", "99.988", "199.994"],
    ["92.1553", "96.0911", "100.0049", "119.4052", "138.5012", "175.8538"],
)
COLD_U_T = ["0.012", "0.010", "0.008", "0.009", "0.010", "0.012", "0.014"]
COLD_U_OHM = ["0.002", "0.002", "0.0015", "0.003", "0.002", "0.004", "0.003"]

IEC_C = mpf("-4.183e-12")

# name: points, u_t, u_ohm, u_t_common, u_ohm_common, held coefficients
CASES: dict[str, dict[str, Any]] = {
    "both": {"points": COLD, "u_t": COLD_U_T, "u_ohm": COLD_U_OHM},
    "shared": {"points": COLD, "u_t": COLD_U_T, "u_ohm": COLD_U_OHM, "u_t_common": "0.03", "u_ohm_common": "0.001"},
    "held_b": {"points": COLD, "u_t": COLD_U_T, "u_ohm": COLD_U_OHM, "held": {2: mpf("-5.775e-7")}},
    "held_r0": {"points": COLD, "u_t": COLD_U_T, "u_ohm": COLD_U_OHM, "held": {0: mpf(100)}},
    # Errors of half a kelvin: the curvature over them counts.
    "coarse": {"points": WARM, "u_t": ["0.5"] * 8, "u_ohm": ["0.1"] * 8, "held": {3: IEC_C}},
    # Too near 0 degC to tell C, which is smaller than its own uncertainty; the peers would tell nothing new.
    "c_near_zero": {"points": SHALLOW, "u_t": ["0.01"] * 6, "u_ohm": ["0.01"] * 6, "peers": False},
}


def basis(t: Any) -> list[Any]:
    """Functions of R0, R0 A, R0 B, R0 C."""
    return [mpf(1), t, t**2, (t - 100) * t**3 if t < 0 else mpf(0)]


def basis_slope(t: Any) -> list[Any]:
    return [mpf(0), mpf(1), 2 * t, 4 * t**3 - 300 * t**2 if t < 0 else mpf(0)]


def basis_curvature(t: Any) -> list[Any]:
    return [mpf(0), mpf(0), mpf(2), 12 * t**2 - 600 * t if t < 0 else mpf(0)]


class Problem:
    """One case: unknowns are the free coefficients, then the true temperatures."""

    def __init__(self, case: dict[str, Any]) -> None:
        self.t = [mpf(v) for v in case["points"][0]]
        self.ohm = [mpf(v) for v in case["points"][1]]
        self.held = case.get("held", {})
        self.free = [k for k in range(4) if k not in self.held]
        n = len(self.t)
        self.v = matrix(2 * n, 2 * n)
        common = (mpf(case.get("u_t_common", "0")), mpf(case.get("u_ohm_common", "0")))
        for part, own in enumerate((case["u_t"], case["u_ohm"])):
            for i in range(n):
                for j in range(n):
                    self.v[part * n + i, part * n + j] = common[part] ** 2 + (mpf(own[i]) ** 2 if i == j else 0)
        self.inverse = self.v**-1

    def full(self, z: Any) -> list[Any]:
        """(r0, a, b, c): the free ones are unknowns as they are."""
        values = [self.held.get(k) for k in range(4)]
        for place, k in enumerate(self.free):
            values[k] = z[place]
        return values

    def parts(self, z: Any) -> tuple[Any, Any, list[Any]]:
        """Errors, their derivatives to all unknowns, and the second ones of each resistance."""
        n, m = len(self.t), len(self.free)
        r0, *rest = self.full(z)
        shape = [mpf(1), *rest]
        e, jacobian, seconds = matrix(2 * n, 1), matrix(2 * n, m + n), []
        for i in range(n):
            x = z[m + i]
            f, g, h = basis(x), basis_slope(x), basis_curvature(x)
            sums = [sum(s * v for s, v in zip(shape, values, strict=True)) for values in (f, g, h)]
            e[i] = x - self.t[i]
            e[n + i] = r0 * sums[0] - self.ohm[i]
            jacobian[i, m + i] = 1
            jacobian[n + i, m + i] = r0 * sums[1]
            second = matrix(m + n, m + n)
            second[m + i, m + i] = r0 * sums[2]
            for place, k in enumerate(self.free):
                jacobian[n + i, place] = sums[0] if k == 0 else r0 * f[k]
                second[place, m + i] = second[m + i, place] = sums[1] if k == 0 else r0 * g[k]
                if k != 0 and 0 in self.free:
                    zero = self.free.index(0)
                    second[place, zero] = second[zero, place] = f[k]
            seconds.append(second)
        return e, jacobian, seconds

    def solve(self) -> tuple[list[Any], Any, Any, list[Any]]:
        """Coefficients, chi-squared, covariance, true temperatures."""
        n, m = len(self.t), len(self.free)
        start = [mpf(100), mpf("3.9083e-3"), mpf("-5.775e-7"), IEC_C]
        z = matrix([start[k] for k in self.free] + self.t)
        for _ in range(60):
            e, jacobian, seconds = self.parts(z)
            weighted = self.inverse * e
            gradient = jacobian.T * weighted
            hessian = jacobian.T * self.inverse * jacobian
            for i in range(n):
                hessian += weighted[n + i] * seconds[i]
            step = mp.lu_solve(hessian, gradient)
            z -= step
            if max(abs(step[k] / z[k]) for k in range(m + n)) < mpf(10) ** -50:
                break
        else:
            raise ArithmeticError("no convergence")
        e, jacobian, _ = self.parts(z)
        chi = (e.T * self.inverse * e)[0]
        covariance = (jacobian.T * self.inverse * jacobian) ** -1
        return self.full(z), chi, covariance, [z[m + i] for i in range(n)]


def digits(value: Any) -> str:
    return str(mp.nstr(value, 30))


def exact() -> None:
    points = ["case,t_c,ohm,u_t,u_ohm,u_t_common,u_ohm_common"]
    rows = ["case,quantity,value"]
    for name, case in CASES.items():
        for t, ohm, u_t, u_ohm in zip(*case["points"], case["u_t"], case["u_ohm"], strict=True):
            shared = f"{case.get('u_t_common', '0')},{case.get('u_ohm_common', '0')}"
            points.append(f"{name},{t},{ohm},{u_t},{u_ohm},{shared}")
        problem = Problem(case)
        coefficients, chi, covariance, true_t = problem.solve()
        for k, value in enumerate(coefficients):
            rows.append(f"{name},{['r0', 'a', 'b', 'c'][k]},{digits(value)}")
        for k, value in problem.held.items():
            rows.append(f"{name},held_{['r0', 'a', 'b', 'c'][k]},{digits(value)}")
        rows.append(f"{name},chi_squared,{digits(chi)}")
        for i, row in enumerate(problem.free):
            for j, column in enumerate(problem.free):
                rows.append(f"{name},covariance_{row}_{column},{digits(covariance[i, j])}")
        for i, value in enumerate(true_t):
            rows.append(f"{name},true_t_c_{i},{digits(value)}")
    for file, lines in (("fit_oracle_points", points), ("fit_oracle", rows)):
        (REFERENCE / f"{file}.csv").write_text("\n".join(lines) + "\n", encoding="ascii")


def peer_rows(name: str, case: dict[str, Any]) -> list[str]:
    """What the general solvers find for one case, in their own precision."""
    import numpy as np
    from odrpack import odr_fit
    from scipy.optimize import least_squares

    scale = np.array([100.0, 4e-3, 6e-7, 4e-12])
    rows = []
    problem = Problem(case)
    coefficients, _, _, _ = problem.solve()
    want = np.array([float(v) for v in coefficients])
    n, free = len(problem.t), problem.free
    x = np.array([float(v) for v in problem.t])
    y = np.array([float(v) for v in problem.ohm])
    v = np.array([[float(problem.v[i, j]) for j in range(2 * n)] for i in range(2 * n)])
    whitener = np.linalg.inv(np.linalg.cholesky(v))

    def curve(t: Any, q: Any) -> Any:
        return q[0] * (1 + q[1] * t + q[2] * t**2 + np.where(t < 0, q[3] * (t - 100) * t**3, 0.0))

    def full(q: Any) -> Any:
        values = want.copy()
        values[free] = q * scale[free]
        return values

    def residuals(z: Any) -> Any:
        q, true_t = full(z[: len(free)]), z[len(free) :]
        return whitener @ np.concatenate([true_t - x, curve(true_t, q) - y])

    start = np.concatenate([(np.array([100, 3.9083e-3, -5.775e-7, -4.183e-12]) / scale)[free], x])
    found = least_squares(
        residuals, start, method="trf", x_scale="jac", jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15
    )
    answers = {"least_squares": full(found.x[: len(free)])}
    if "u_t_common" not in case:
        weights = [np.array([float(u) ** -2 for u in case[key]]) for key in ("u_t", "u_ohm")]
        fit = odr_fit(
            lambda t, q: curve(t, full(q)),
            x,
            y,
            start[: len(free)],
            weight_x=weights[0],
            weight_y=weights[1],
            partol=1e-15,
            sstol=1e-15,
            maxit=1000,
            diff_scheme="central",
        )
        answers["odrpack"] = full(fit.beta)
    for peer, answer in answers.items():
        print(name, peer, "largest relative difference", np.max(np.abs(answer / want - 1)))
        for k in free:
            rows.append(f"{name},{peer},{['r0', 'a', 'b', 'c'][k]},{answer[k]:.9e}")
    return rows


def peers() -> None:
    rows = ["case,peer,quantity,value"]
    for name, case in CASES.items():
        if case.get("peers", True):
            rows += peer_rows(name, case)
    (REFERENCE / "fit_peers.csv").write_text("\n".join(rows) + "\n", encoding="ascii")


if __name__ == "__main__":
    (peers if sys.argv[1:] == ["peers"] else exact)()
