/* The ITS-90 against table 1 of the document and values computed with 60 digits. */
#include "check.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* Below 273.16 K the exponent rounds to 4e-15 of the ratio; above, 4 units of a ratio below 8. The inverse: two units of a
 * temperature below 2048 K and the rounding of the ratio over a slope above 2.8e-3. */
static void functions(const char *reference)
{
    table t = table_read(reference, "its90_dense.csv");
    calcore_error err = check_error();
    double x = 0.0;
    size_t i;
    for (i = 0; i < t.rows; i++) {
        int low = strcmp(table_text(&t, i, "branch"), "low") == 0;
        double t_k = table_number(&t, i, "t_k");
        double w = table_number(&t, i, "wr");
        double slope = table_number(&t, i, "slope_per_k");
        GOOD(calcore_its90_reference_ratio(t_k, &x, &err));
        CLOSE("reference_ratio", t_k, x, w, low ? 4e-15 * w : 4.0 * 4.5e-16 * fmax(w, 0.5));
        GOOD(calcore_its90_reference_slope(t_k, &x, &err));
        CLOSE("reference_slope", t_k, x, slope, 1e-14 * slope);
        GOOD(calcore_its90_temperature_from_ratio(w, &x, &err));
        CLOSE("temperature_from_ratio", w, x, t_k, 7e-13);
        GOOD(calcore_its90_temperature_from_ratio_approximate(w, &x, &err));
        CLOSE("temperature_from_ratio_approximate", w, x, t_k, low ? 0.1e-3 : 0.135e-3); /* the published bands */
    }
    CHECK(t.rows > 1000);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_its90_reference_ratio(10.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_its90_reference_slope(check_nan(), &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_its90_temperature_from_ratio(9.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_its90_temperature_from_ratio_approximate(check_infinity(), &x, &err));
    STATUS(CALCORE_E_NULL, calcore_its90_reference_ratio(300.0, NULL, &err));
    table_free(&t);
}

static void fixed_points(const char *reference)
{
    table t = table_read(reference, "its90_fixed_points.csv");
    calcore_error err = check_error();
    calcore_fixed_point p;
    double t_k = 7.0;
    size_t i;
    memset(&p, 0, sizeof p);
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_its90_fixed_point("Zn", &p, &err));
    p.size = sizeof p;
    for (i = 0; i < t.rows; i++) {
        GOOD(calcore_its90_fixed_point(table_text(&t, i, "substance"), &p, &err));
        CHECK(p.t_k == table_number(&t, i, "t_k") && p.t_c == table_number(&t, i, "t_c"));
        if (strcmp(table_text(&t, i, "wr_in_table_1"), "yes") == 0) {
            CHECK(p.w_r == table_number(&t, i, "wr"));
            CLOSE("k_per_pa", p.t_k, p.k_per_pa, 1e-8 * table_number(&t, i, "dt_dp_1e-8_k_per_pa"), 1e-22);
            CLOSE("k_per_m", p.t_k, p.k_per_m, 1e-3 * table_number(&t, i, "dt_dl_1e-3_k_per_m"), 1e-17);
        }
    }
    /* 0.265 m deep in a triple-point-of-water cell: -0.73 mK/m makes 0.19345 mK less. */
    GOOD(calcore_its90_fixed_point_temperature("H2O", 0.265, check_nan(), &t_k, &err));
    CLOSE("immersion", 0.265, t_k, 273.16 - 0.265 * 0.73e-3, 6e-14);
    GOOD(calcore_its90_fixed_point_temperature("Ga", 0.0, 101325.0, &t_k, &err));
    CHECK(t_k == 302.9146);
    GOOD(calcore_its90_hydrogen_vapour_pressure_temperature("e-H2_20K", 101.292, &t_k, &err));
    CHECK(t_k == 20.27);
    t_k = 7.0;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_its90_fixed_point("Pb", &p, &err));
    STATUS(CALCORE_E_NULL, calcore_its90_fixed_point(NULL, &p, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_its90_fixed_point_temperature("H2O", 0.1, 101325.0, &t_k, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_its90_fixed_point_temperature("H2O", -0.1, check_nan(), &t_k, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_its90_hydrogen_vapour_pressure_temperature("H2O", 100.0, &t_k, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_its90_hydrogen_vapour_pressure_temperature("e-H2_20K", 200.0, &t_k, &err));
    CHECK(t_k == 7.0);
    table_free(&t);
}

/* The limits of section 3.3: W(Ga) >= 1.11807 or W(Hg) <= 0.844235; to silver W(Ag) >= 4.2844. */
static void platinum(void)
{
    calcore_error err = check_error();
    calcore_acceptance a;
    memset(&a, 0, sizeof a);
    a.size = sizeof a;
    GOOD(calcore_its90_acceptance(1.11807, check_nan(), 4.2844, &a, &err));
    CHECK(a.accepted == 1 && a.accepted_to_silver == 1 && a.failed == 0 && a.criteria == 2);
    GOOD(calcore_its90_acceptance(1.11806, check_nan(), 4.28, &a, &err));
    CHECK(a.accepted == 0 && a.accepted_to_silver == 0);
    CHECK(a.failed == CALCORE_FAILED_GALLIUM + CALCORE_FAILED_SILVER);
    GOOD(calcore_its90_acceptance(1.11807, 0.8443, check_nan(), &a, &err));
    CHECK(a.accepted == 1 && a.failed == CALCORE_FAILED_MERCURY);
    GOOD(calcore_its90_acceptance(check_nan(), 0.844235, check_nan(), &a, &err));
    CHECK(a.accepted == 1 && a.accepted_to_silver == 2);
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_its90_acceptance(check_nan(), check_nan(), 4.2844, &a, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_its90_acceptance(check_infinity(), check_nan(), 4.2844, &a, &err));
    CHECK(a.accepted == 1);
}

void test_its90(const char *reference)
{
    functions(reference);
    fixed_points(reference);
    platinum();
}
