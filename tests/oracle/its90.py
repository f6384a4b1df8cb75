"""Multiple-precision reference values of ITS-90, of the polynomial resistance
thermometers, of thermistors, and double-precision ones of monotone tables.

The published equations are evaluated with 60 digits at temperatures that are
exactly those doubles which the decimal numbers in the files stand for, so that
reading a file adds no error.  It shares no code with the library.

    python tests/oracle/its90.py        writes its90_dense.csv, sprt_dense.csv,
                                        rtd_dense.csv, thermistor_dense.csv
    python tests/oracle/its90.py pchip  also writes monotone_table.csv (needs
                                        scipy)
"""

import json
import pathlib
import random
import sys
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import Any

from mpmath import mp, mpf

mp.dps = 60
# A number with 60 digits; mpmath has no types of its own.
Number = Any
Function = Callable[[Number], Number]
REFERENCE = pathlib.Path(__file__).resolve().parent.parent / "reference"
CONSTANTS = json.loads((REFERENCE / "its90_constants.json").read_text())
RTD = json.loads((REFERENCE / "rtd_constants.json").read_text())
A = [mpf(v) for v in CONSTANTS["low"]["A"]]
C = [mpf(v) for v in CONSTANTS["high"]["C"]]
TPW = mpf("273.16")
ICE = mpf("273.15")


def ln_low(t_k: Number) -> Number:
    x = (mp.log(t_k / TPW) + mpf("1.5")) / mpf("1.5")
    return mp.polyval(A[::-1], x)


def low(t_k: Number) -> Number:
    return mp.exp(ln_low(t_k))


def high(t_k: Number) -> Number:
    return mp.polyval(C[::-1], (t_k - mpf("754.15")) / 481)


def slope(function: Function, x: Number) -> Number:
    """Central difference at 60 digits: the step error is far below 1e-25."""
    h = mpf(10) ** -20
    return (function(x + h) - function(x - h)) / (2 * h)


def difference(function: Function, wanted: Number, x: Number) -> Number:
    return function(x) - wanted


def write(name: str, header: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    with open(REFERENCE / f"{name}.csv", "w", newline="") as handle:
        handle.write(",".join(header) + "\n")
        for row in rows:
            handle.write(",".join(row) + "\n")


def digits(value: Number) -> str:
    return str(mp.nstr(value, 30))


def spread(low_end: float, high_end: float, count: int, decimals: int, seed: int) -> list[str]:
    """Decimal strings: both ends, and random ones between."""
    stream = random.Random(seed)
    middle = sorted(round(stream.uniform(low_end, high_end), decimals) for _ in range(count))
    return [repr(v) for v in dict.fromkeys([low_end, *middle, high_end])]


def its90() -> None:
    rows = []
    below = spread(13.8033, 273.1599, 600, 4, 1)
    above = ["273.16", *spread(273.1601, 1234.93, 600, 4, 2)]
    for text, branch, function in [(t, "low", low) for t in below] + [(t, "high", high) for t in above]:
        t_k = mpf(float(text))
        rows.append((text, branch, digits(function(t_k)), digits(slope(function, t_k))))
    write("its90_dense", ("t_k", "branch", "wr", "slope_per_k"), rows)


def deviation(section: str, k: dict[str, Number], w: Number, w_al: Number) -> Number:
    v, ln = w - 1, mp.log(w)
    if section == "3.3.1":
        c = [k[f"c{i}"] for i in range(1, 6)]
        return k["a"] * v + k["b"] * v**2 + sum(c[i - 1] * ln ** (i + 2) for i in range(1, 6))
    if section == "3.3.1.1":
        c = [k[f"c{i}"] for i in range(1, 4)]
        return k["a"] * v + k["b"] * v**2 + sum(c[i - 1] * ln**i for i in range(1, 4))
    if section == "3.3.1.2":
        return k["a"] * v + k["b"] * v**2 + k["c1"] * ln**2
    if section == "3.3.1.3":
        return k["a"] * v + k["b"] * v * ln
    value = k["a"] * v + k.get("b", 0) * v**2 + k.get("c", 0) * v**3
    if "d" in k and w_al is not None and w > w_al:
        value += k["d"] * (w - w_al) ** 2
    return value


def deviation_of(section: str, k: dict[str, Number], w_al: Number, w: Number) -> Number:
    """`deviation` with the ratio last."""
    return deviation(section, k, w, w_al)


def solve_ratio(section: str, k: dict[str, Number], w_r: Number, w_al: Number) -> Number:
    return mp.findroot(lambda w: w - deviation(section, k, w, w_al) - w_r, (w_r, w_r * (1 + mpf("1e-4"))))


def sprt() -> None:
    ranges = {
        "3.3.1": (-259.3467, 0.01),
        "3.3.1.1": (-248.5939, 0.01),
        "3.3.1.2": (-218.7916, 0.01),
        "3.3.1.3": (-189.3442, 0.01),
        "3.3.2": (0.0, 961.78),
        "3.3.2.1": (0.0, 660.323),
        "3.3.2.2": (0.0, 419.527),
        "3.3.2.3": (0.0, 231.928),
        "3.3.2.4": (0.0, 156.5985),
        "3.3.2.5": (0.0, 29.7646),
        "3.3.3": (-38.8344, 29.7646),
    }
    cases = json.loads((REFERENCE / "sprt_synthetic.json").read_text())["cases"]
    rows = []
    for number, case in enumerate(cases):
        section = case["section"]
        # The coefficients too are the doubles that the texts stand for.
        k = {name: mpf(float(text)) for name, text in case["coefficients"].items()}
        r_tpw = mpf(float(case["R_TPW_ohm"]))
        w_al = None
        if "d" in k:
            w_al = solve_ratio(section, k, high(mpf("933.473")), None)
        for text in spread(*ranges[section], 60, 4, 100 + number):
            t_c = mpf(float(text))
            lower = section.startswith("3.3.1") or (section == "3.3.3" and float(text) < 0.01)
            function = low if lower else high

            w = solve_ratio(section, k, function(t_c + ICE), w_al)
            # dW/dT = (dWr/dT) / (1 - dDeltaW/dW)
            dw = slope(function, t_c + ICE) / (1 - slope(partial(deviation_of, section, k, w_al), w))
            rows.append((section, text, digits(w), digits(r_tpw * w), digits(r_tpw * dw)))
    write("sprt_dense", ("section", "t_c", "w", "ohm", "slope_ohm_per_k"), rows)


def rtd() -> None:
    gost = RTD["gost_6651_2009"]

    def f(text: str) -> Number:
        """The double that the text stands for."""
        return mpf(float(text))

    def platinum(entry: dict[str, str]) -> Function:
        a, b, c = f(entry["A_per_C"]), f(entry["B_per_C2"]), f(entry["C_per_C4"])
        return lambda t: 1 + a * t + b * t**2 + (c * (t - 100) * t**3 if t < 0 else 0)

    def copper(t: Number) -> Number:
        e = gost["cu_0.00428"]
        a, b, c = f(e["A"]), f(e["B"]), f(e["C"])
        if t < 0:
            return 1 + a * t + b * t * (t + mpf("6.7")) + c * t**3
        return 1 + a * t

    def nickel(t: Number) -> Number:
        e = gost["ni_0.00617"]
        a, b, c = f(e["A"]), f(e["B"]), f(e["C"])
        return 1 + a * t + b * t**2 + (c * (t - 100) * t**2 if t > 100 else 0)

    def nickel_din(t: Number) -> Number:
        e = next(n for n in RTD["nickel"] if n["name"].startswith("DIN"))
        return 1 + f(e["A"]) * t + f(e["B"]) * t**2 + f(e["D"]) * t**4 + f(e["F"]) * t**6

    def other(prefix: str) -> Function:
        return platinum(next(p for p in RTD["platinum_other"] if prefix in p["name"]))

    curves = [
        ("gost6651_pt391", platinum(gost["pt_0.00391"]), -200.0, 850.0),
        ("gost6651_cu428", copper, -180.0, 200.0),
        ("gost6651_cu426", lambda t: 1 + f(gost["cu_0.00426"]["A"]) * t, -50.0, 200.0),
        ("gost6651_ni617", nickel, -60.0, 180.0),
        ("din43760_ni618", nickel_din, -60.0, 250.0),
        ("jis_pt3916", other("JPt100"), -200.0, 510.0),
        ("handbook_pt3911", other("3.911e-3"), -200.0, 650.0),
        ("handbook_pt3923", other("SAMA"), -200.0, 650.0),
        ("handbook_pt3926", other("3.926e-3"), -200.0, 650.0),
        ("handbook_pt3928", other("alpha 3.928e-3"), -200.0, 650.0),
        ("handbook_pt3750", other("3.750e-3"), -200.0, 650.0),
    ]
    rows = []
    for number, (name, ratio, low_c, high_c) in enumerate(curves):
        for text in spread(low_c, high_c, 60, 3, 200 + number):
            t = mpf(float(text))
            # At the ends of the pieces the difference must not straddle them.
            rows.append((name, text, digits(100 * ratio(t)), digits(100 * slope(ratio, t))))
    write("rtd_dense", ("curve", "t_c", "ohm", "slope_ohm_per_k"), rows)


def thermistor() -> None:
    rows = []
    forms = [
        ("sh", ("0.0011738", "0.00024", "0.0", "1.5e-7")),
        ("sh", ("0.001281651", "0.0002706002", "-1.027561e-6", "1.749446e-7")),
        ("beta", ("10000.0", "3950.0", "nan", "nan")),
    ]
    for number, (form, texts) in enumerate(forms):
        k = [mpf(float(v)) for v in texts if v != "nan"]
        for text in spread(-80.0, 250.0, 60, 3, 300 + number):
            t_k = mpf(float(text)) + ICE
            if form == "beta":
                logarithm = k[1] * (1 / t_k - 1 / mpf("298.15"))
                ohm = k[0] * mp.exp(logarithm)
                dr = -ohm * k[1] / t_k**2
            else:
                inverse_k = partial(mp.polyval, k[::-1])
                root = mp.findroot(partial(difference, inverse_k, 1 / t_k), (mpf(2), mpf(12)))
                ohm = mp.exp(root)
                dr = -ohm / t_k**2 / slope(inverse_k, root)
            rows.append((form, *texts, text, digits(ohm), digits(dr)))
    write(
        "thermistor_dense",
        ("form", "a0", "a1", "a2", "a3", "t_c", "ohm", "slope_ohm_per_k"),
        rows,
    )


def pchip() -> None:
    from scipy.interpolate import PchipInterpolator

    tables = {
        "rising": ([-50.0, 0.0, 10.0, 35.0, 100.0, 101.0, 250.0], [80.3, 100.0, 103.9, 104.0, 138.5, 150.0, 194.1]),
        "falling": ([-40.0, -10.0, 25.0, 70.0, 125.0], [336000.0, 55300.0, 10000.0, 1752.0, 341.0]),
        "two_rows": ([0.0, 100.0], [0.0, 4.096]),
    }
    rows = []
    for name, (t, y) in tables.items():
        curve = PchipInterpolator(t, y)
        stream = random.Random(name)
        for x in sorted([*t, *[round(stream.uniform(t[0], t[-1]), 3) for _ in range(25)]]):
            rows.append((name, repr(x), repr(float(curve(x))), repr(float(curve(x, 1)))))
    write("monotone_table", ("table", "t_c", "signal", "slope_per_k"), rows)
    write(
        "monotone_table_points",
        ("table", "t_c", "signal"),
        [(n, repr(a), repr(b)) for n, (t, y) in tables.items() for a, b in zip(t, y, strict=True)],
    )


if __name__ == "__main__":
    its90()
    sprt()
    rtd()
    thermistor()
    if "pchip" in sys.argv[1:]:
        pchip()
