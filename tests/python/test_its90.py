"""Fixed points, sub-ranges and criteria of the ITS-90, against the tables of the document."""

import math

import numpy as np
import pytest

import calcore as cc
from support import reference


# Preston-Thomas (1990), tables 1 and 2.
def test_fixed_points_are_those_of_the_document() -> None:
    points = {point.name: point for point in cc.its90.fixed_points()}
    assert len(points) == 16
    assert list(points) == [point.name for point in sorted(points.values(), key=lambda point: point.t_k)]
    zinc = cc.its90.fixed_point("Zn")
    assert zinc == points["Zn"]
    assert (zinc.t_k, zinc.t_c, zinc.w_r, zinc.k_per_pa, zinc.k_per_m) == (692.677, 419.527, 2.56891730, 4.3e-8, 2.7e-3)
    assert points["H2O"].state == "triple_point"
    assert points["Ga"].state == "melting_point"
    assert points["e-H2_17K"].w_r is None
    assert "K" in repr(zinc)
    with pytest.raises(cc.UnknownNameError, match="Zn"):
        cc.its90.fixed_point("zinc")


# Table 2 by hand: gallium −2.0e-8 K/Pa and −1.2 mK/m; water −0.73 mK/m.
def test_depth_and_pressure() -> None:
    gallium = cc.its90.fixed_point("Ga")
    assert math.isclose(gallium.temperature(0.1, 100_000.0), 302.9146 - 0.12e-3 + 2.0e-8 * 1325, abs_tol=1e-12)
    depth = np.array([[0.0, 0.1], [0.2, 0.3]])
    np.testing.assert_allclose(cc.its90.fixed_point("H2O").temperature(depth), 273.16 - 0.73e-3 * depth, atol=1e-12)
    both = cc.its90.fixed_point_temperature("Ga", depth, [101_325.0, 100_000.0])
    assert both[0, 1] == gallium.temperature(0.1, 100_000.0)
    assert np.isnan(cc.its90.fixed_point_temperature("Ga", [0.1, math.nan], invalid="nan")).tolist() == [False, True]
    with pytest.raises(cc.InvalidValueError, match="triple point"):
        cc.its90.fixed_point("H2O").temperature(0.1, 101_325.0)
    with pytest.raises(cc.NotFiniteError) as caught:
        gallium.temperature([0.1, math.nan])
    assert caught.value.index == 1


# Section 3.3 and table 5 of the document.
def test_subranges() -> None:
    all_of_them = cc.its90.subranges()
    assert [one.number for one in all_of_them] == list(range(1, 12))
    zinc = cc.its90.subrange("3.3.2.2")
    assert zinc in all_of_them
    assert (zinc.points, zinc.coefficient_names) == (["Sn", "Zn"], ["a", "b"])
    assert zinc.range_k == (273.15, 692.677)
    assert math.isclose(zinc.range[1], 419.527, abs_tol=1e-12)
    assert "692.677 K" in repr(zinc)
    for one in all_of_them:
        # Every sub-range can be made and its coefficients counted.
        assert len(cc.Sprt(25.0, one.section, [0.0] * len(one.coefficient_names)).coefficients) == len(
            one.coefficient_names
        )


# Section 3.3: W(29.7646 °C) ≥ 1.118 07, W(−38.8344 °C) ≤ 0.844 235, W(961.78 °C) ≥ 4.2844.
def test_criteria_say_which_failed() -> None:
    good = cc.its90.acceptance(w_gallium=1.11810, w_mercury=0.84420, w_silver=4.2850)
    assert good.accepted
    assert good.accepted_to_silver
    assert good.failed == []
    bad = cc.its90.acceptance(w_gallium=1.11800, w_mercury=0.84430, w_silver=4.2800)
    assert not bad.accepted
    assert bad.failed == ["Ga", "Hg", "Ag"]
    limits = {one["point"]: (one["limit"], one["at_least"]) for one in bad.criteria}
    assert limits == {"Ga": (1.11807, True), "Hg": (0.844235, False), "Ag": (4.2844, True)}
    with pytest.raises(cc.TooFewPointsError):
        cc.its90.acceptance(w_silver=4.2850)


def test_criteria_of_a_thermometer() -> None:
    sprt = cc.Sprt(25.0, "3.3.2.2", [-1.2e-4, 3.0e-6])
    check = sprt.acceptance()
    assert check.accepted
    assert [one["point"] for one in check.criteria] == ["Ga"]
    assert check.criteria[0]["w"] == sprt.ratio(29.7646)
    assert check == cc.its90.acceptance(w_gallium=sprt.ratio(29.7646))
    poor = cc.Sprt(25.0, "3.3.2.2", [-4.0e-3, 0.0]).acceptance()
    assert (poor.accepted, poor.failed) == (False, ["Ga"])


def test_reference_table_holds_the_same_points() -> None:
    rows = reference("its90_fixed_points")
    assert {row["substance"] for row in rows} <= {point.name for point in cc.its90.fixed_points()}
    for row in rows:
        point = cc.its90.fixed_point(row["substance"])
        assert point.t_k == float(row["t_k"])
        assert "".join(word[0] for word in point.state.split("_")).upper()[:2] == row["state"]
        if row["wr_in_table_1"] == "yes":
            assert point.w_r == float(row["wr"])
        for found, key, unit in (
            (point.k_per_pa, "dt_dp_1e-8_k_per_pa", 1e-8),
            (point.k_per_m, "dt_dl_1e-3_k_per_m", 1e-3),
        ):
            if found is None:
                assert row[key] == "nan"
            else:
                assert math.isclose(found, float(row[key]) * unit, rel_tol=1e-15)
