/* Curves of every kind against values computed with 60 digits. */
#include "check.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MOST = 1024 };

/* What a curve gives at one row of a table, single and as arrays of one: tolerances for signal, slope and temperature. */
static void row(const calcore_curve *curve, double t_c, double signal, double slope, double u_signal, double u_slope, double u_t)
{
    calcore_error err = check_error();
    double x = check_nan();
    double again = check_nan();
    GOOD(calcore_curve_signal(curve, t_c, &x, &err));
    CLOSE("calcore_curve_signal", t_c, x, signal, u_signal);
    GOOD(calcore_curve_signal_array(curve, &t_c, 1, CALCORE_STRICT, &again, &err));
    SAME("calcore_curve_signal_array", again, x);
    GOOD(calcore_curve_slope(curve, t_c, &x, &err));
    CLOSE("calcore_curve_slope", t_c, x, slope, u_slope);
    GOOD(calcore_curve_slope_array(curve, &t_c, 1, CALCORE_STRICT, &again, &err));
    SAME("calcore_curve_slope_array", again, x);
    GOOD(calcore_curve_temperature(curve, signal, &x, &err));
    CLOSE("calcore_curve_temperature", signal, x, t_c, u_t);
    GOOD(calcore_curve_temperature_array(curve, &signal, 1, CALCORE_STRICT, &again, &err));
    SAME("calcore_curve_temperature_array", again, x);
}

/* 8 units of a resistance below 512 ohm (5.7e-14), of a slope below 1 ohm/K; the temperature by the slope. */
static void polynomials(const char *reference)
{
    table t = table_read(reference, "rtd_dense.csv");
    calcore_error err = check_error();
    calcore_curve *curve = NULL;
    const char *name = "";
    const double copper[1] = {4.27e-3};
    const double below[2] = {4.0e-3, 1e-6};
    const double above[1] = {4.0e-3};
    double ohm = 0.0;
    size_t i;
    for (i = 0; i < t.rows; i++) {
        if (strcmp(table_text(&t, i, "curve"), name) != 0) {
            calcore_curve_free(curve);
            curve = NULL;
            name = table_text(&t, i, "curve");
            GOOD(calcore_polynomial_rtd_standard(name, 100.0, &curve, &err));
        }
        row(curve, table_number(&t, i, "t_c"), table_number(&t, i, "ohm"), table_number(&t, i, "slope_ohm_per_k"), 8 * 5.7e-14,
            5e-16, 4e-13);
    }
    CHECK(t.rows > 500);
    calcore_curve_free(curve);
    curve = NULL;
    GOOD(calcore_polynomial_rtd_new(9.035, copper, 1, -50.0, 150.0, &curve, &err));
    GOOD(calcore_curve_signal(curve, 100.0, &ohm, &err));
    CLOSE("copper", 100.0, ohm, 9.035 * 1.427, 4e-15);
    calcore_curve_free(curve);
    GOOD(calcore_polynomial_rtd_piecewise(100.0, 0.0, below, 2, above, 1, -100.0, 100.0, &curve, &err));
    GOOD(calcore_curve_signal(curve, -100.0, &ohm, &err));
    CLOSE("lower piece", -100.0, ohm, 61.0, 2e-14); /* 100 (1 - 0.4 + 0.01) */
    GOOD(calcore_curve_signal(curve, 100.0, &ohm, &err));
    CLOSE("upper piece", 100.0, ohm, 140.0, 3e-14);
    calcore_curve_free(curve);
    curve = NULL;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_polynomial_rtd_standard("lead", 100.0, &curve, &err));
    STATUS(CALCORE_E_NULL, calcore_polynomial_rtd_standard(NULL, 100.0, &curve, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_polynomial_rtd_standard("jis_pt3916", 0.0, &curve, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_polynomial_rtd_new(100.0, NULL, 0, 0.0, 1.0, &curve, &err));
    STATUS(CALCORE_E_NULL, calcore_polynomial_rtd_new(100.0, NULL, 1, 0.0, 1.0, &curve, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_polynomial_rtd_piecewise(100.0, 50.0, below, 2, above, 1, -100.0, 100.0, &curve, &err));
    CHECK(curve == NULL);
    table_free(&t);
}

/* A few units of a ratio below 8; the temperature over a slope above 2.8e-3 per kelvin; rounding of t + 273.15 at 13.8 K. */
static void sprts(const char *reference)
{
    table cases = table_read(reference, "sprt_synthetic.csv");
    table t = table_read(reference, "sprt_dense.csv");
    calcore_error err = check_error();
    calcore_curve *curve = NULL;
    const char *section = "";
    double r_tpw = 0.0;
    size_t i;
    for (i = 0; i < t.rows; i++) {
        double slope = table_number(&t, i, "slope_ohm_per_k");
        double w = check_nan();
        if (strcmp(table_text(&t, i, "section"), section) != 0) {
            double coefficients[8];
            size_t n = 0;
            size_t k;
            section = table_text(&t, i, "section");
            for (k = 0; k < cases.rows; k++) {
                const char *quantity = table_text(&cases, k, "quantity");
                if (strcmp(table_text(&cases, k, "case"), section) == 0 && strncmp(quantity, "coefficients_", 13) == 0) {
                    coefficients[n++] = table_number(&cases, k, "value");
                }
            }
            r_tpw = table_find(&cases, section, "r_tpw_ohm", "value");
            calcore_curve_free(curve);
            curve = NULL;
            GOOD(calcore_sprt_new(r_tpw, section, coefficients, n, &curve, &err));
        }
        row(curve, table_number(&t, i, "t_c"), table_number(&t, i, "ohm"), slope, 3e-15 * r_tpw, 3e-14 * slope, 1e-12);
        GOOD(calcore_sprt_ratio(curve, table_number(&t, i, "t_c"), &w, &err));
        CLOSE("calcore_sprt_ratio", table_number(&t, i, "t_c"), w, table_number(&t, i, "w"), 3e-15);
    }
    CHECK(t.rows > 500);
    STATUS(CALCORE_E_NOT_FINITE, calcore_sprt_ratio(curve, check_nan(), &r_tpw, &err));
    STATUS(CALCORE_E_NULL, calcore_sprt_ratio(NULL, 0.0, &r_tpw, &err));
    calcore_curve_free(curve);
    curve = NULL;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_sprt_new(25.5, "9.9", NULL, 0, &curve, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_sprt_new(25.5, "3.3.2.2", NULL, 0, &curve, &err));
    STATUS(CALCORE_E_NULL, calcore_sprt_new(25.5, "3.3.2.2", NULL, 2, &curve, &err));
    STATUS(CALCORE_E_NULL, calcore_sprt_new(25.5, NULL, NULL, 0, &curve, &err));
    CHECK(curve == NULL);
    table_free(&cases);
    table_free(&t);
}

/* The logarithm, up to 16, is rounded to 1.8e-15 a few times; a few units of the temperature. */
static void thermistors(const char *reference)
{
    table t = table_read(reference, "thermistor_dense.csv");
    table worked = table_read(reference, "thermistor_worked.csv");
    calcore_error err = check_error();
    calcore_curve *curve = NULL;
    double x = 0.0;
    size_t i;
    for (i = 0; i < t.rows; i++) {
        double a[4];
        double ohm = table_number(&t, i, "ohm");
        double slope = table_number(&t, i, "slope_ohm_per_k");
        a[0] = table_number(&t, i, "a0");
        a[1] = table_number(&t, i, "a1");
        a[2] = table_number(&t, i, "a2");
        a[3] = table_number(&t, i, "a3");
        if (strcmp(table_text(&t, i, "form"), "beta") == 0) {
            GOOD(calcore_beta_thermistor_new(a[0], a[1], &curve, &err));
        } else if (a[2] == 0.0) {
            GOOD(calcore_steinhart_hart_new(a[0], a[1], a[3], &curve, &err));
        } else {
            GOOD(calcore_steinhart_hart_with_range(a[0], a[1], a[2], a[3], -100.0, 325.0, &curve, &err));
        }
        row(curve, table_number(&t, i, "t_c"), ohm, slope, 1e-14 * ohm, 1.2e-14 * fabs(slope), 5e-13);
        calcore_curve_free(curve);
    }
    CHECK(t.rows > 100);
    curve = NULL;
    /* A published test case: 2190.2707477783 ohm is 22.544681 °C. */
    GOOD(calcore_steinhart_hart_with_range(table_find(&worked, "four_term_1", "a0", "value"),
                                           table_find(&worked, "four_term_1", "a1", "value"),
                                           table_find(&worked, "four_term_1", "a2", "value"),
                                           table_find(&worked, "four_term_1", "a3", "value"), -50.0, 150.0, &curve, &err));
    GOOD(calcore_curve_temperature(curve, table_find(&worked, "four_term_1", "ohm", "value"), &x, &err));
    CLOSE("worked thermistor", 0.0, x, table_find(&worked, "four_term_1", "t_c", "value"), 5e-7);
    STATUS(CALCORE_E_HANDLE, calcore_sprt_ratio(curve, 20.0, &x, &err));
    calcore_curve_free(curve);
    GOOD(calcore_beta_thermistor_with_range(10000.0, 3950.0, 0.0, 100.0, &curve, &err));
    GOOD(calcore_curve_signal(curve, 25.0, &x, &err));
    CHECK(x == 10000.0);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_curve_signal(curve, 101.0, &x, &err));
    calcore_curve_free(curve);
    curve = NULL;
    /* ln(34780/2872) / (1/323.15 - 1/398.15), evaluated with 40 digits. */
    GOOD(calcore_beta_from_points(50.0, 34780.0, 125.0, 2872.0, &x, &err));
    CLOSE("beta", 0.0, x, 4278.504192338731, 4e-12);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_beta_from_points(50.0, 1.0, 50.0, 2.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_steinhart_hart_new(1e-3, -2e-4, 1e-7, &curve, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_steinhart_hart_with_range(check_nan(), 2e-4, 0.0, 1e-7, 0.0, 1.0, &curve, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_beta_thermistor_new(-1.0, 3950.0, &curve, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_beta_thermistor_with_range(1.0, 3950.0, 5.0, 5.0, &curve, &err));
    CHECK(curve == NULL);
    table_free(&t);
    table_free(&worked);
}

/* Another implementation of the same interpolation, double precision on both sides. */
static void tables(const char *reference)
{
    static const char *const names[] = {"rising", "falling", "two_rows"};
    table points = table_read(reference, "monotone_table_points.csv");
    table values = table_read(reference, "monotone_table.csv");
    calcore_error err = check_error();
    calcore_curve *curve = NULL;
    double t_c[MOST];
    double signal[MOST];
    double x = 0.0;
    size_t k;
    size_t i;
    for (k = 0; k < sizeof names / sizeof names[0]; k++) {
        double largest = 0.0;
        size_t n = 0;
        for (i = 0; i < points.rows; i++) {
            if (strcmp(table_text(&points, i, "table"), names[k]) == 0) {
                t_c[n] = table_number(&points, i, "t_c");
                signal[n] = table_number(&points, i, "signal");
                largest = fmax(largest, fabs(signal[n]));
                n++;
            }
        }
        GOOD(calcore_tabulated_curve_new(t_c, signal, n, CALCORE_MONOTONE_CUBIC, &curve, &err));
        for (i = 0; i < values.rows; i++) {
            if (strcmp(table_text(&values, i, "table"), names[k]) == 0) {
                double t = table_number(&values, i, "t_c");
                double slope = table_number(&values, i, "slope_per_k");
                GOOD(calcore_curve_signal(curve, t, &x, &err));
                CLOSE(names[k], t, x, table_number(&values, i, "signal"), 8.0 * DBL_EPSILON * largest);
                GOOD(calcore_curve_slope(curve, t, &x, &err));
                CLOSE(names[k], t, x, slope, 1e-12 * fmax(fabs(slope), 1.0));
            }
        }
        calcore_curve_free(curve);
    }
    t_c[0] = 0.0;
    t_c[1] = 100.0;
    signal[0] = 100.0;
    signal[1] = 138.5;
    GOOD(calcore_tabulated_curve_new(t_c, signal, 2, CALCORE_LINEAR, &curve, &err));
    GOOD(calcore_curve_signal(curve, 50.0, &x, &err));
    CHECK(x == 119.25);
    calcore_curve_free(curve);
    curve = NULL;
    STATUS(CALCORE_E_OPTION, calcore_tabulated_curve_new(t_c, signal, 2, 2, &curve, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_tabulated_curve_new(NULL, NULL, 0, CALCORE_LINEAR, &curve, &err));
    STATUS(CALCORE_E_NULL, calcore_tabulated_curve_new(t_c, NULL, 2, CALCORE_LINEAR, &curve, &err));
    t_c[1] = 0.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tabulated_curve_new(t_c, signal, 2, CALCORE_LINEAR, &curve, &err));
    CHECK(curve == NULL);
    table_free(&points);
    table_free(&values);
}

/* The general handle and the typed one are the same curve. */
static void from_cvd(void)
{
    calcore_error err = check_error();
    calcore_cvd *pt100 = NULL;
    calcore_curve *curve = NULL;
    calcore_curve_range range;
    double values[3] = {-150.0, 20.0, 900.0};
    double one = 0.0;
    double two = 0.0;
    memset(&range, 0, sizeof range);
    GOOD(calcore_cvd_iec60751(100.0, &pt100, &err));
    GOOD(calcore_curve_from_cvd(pt100, &curve, &err));
    GOOD(calcore_cvd_resistance(pt100, -150.0, &one, &err));
    calcore_cvd_free(pt100); /* the curve keeps a copy */
    GOOD(calcore_curve_signal(curve, -150.0, &two, &err));
    SAME("from_cvd", two, one);
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_curve_describe(curve, &range, &err));
    range.size = sizeof range;
    GOOD(calcore_curve_describe(curve, &range, &err));
    CHECK(range.low_c == -200.0 && range.high_c == 850.0 && range.extrapolation_high_c > 850.0);
    CHECK(range.low_signal < 18.5201 && range.high_signal > 390.48);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_curve_signal_array(curve, values, 3, CALCORE_STRICT, values, &err));
    CHECK(values[0] == -150.0 && err.index == 2);
    GOOD(calcore_curve_signal_array(curve, values, 3, CALCORE_INVALID_NAN, values, &err));
    SAME("in place", values[0], one);
    CHECK(isnan(values[2]));
    STATUS(CALCORE_E_NULL, calcore_curve_signal(NULL, 0.0, &two, &err));
    STATUS(CALCORE_E_NULL, calcore_curve_temperature(curve, 100.0, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_curve_slope_array(curve, NULL, 1, 0, values, &err));
    STATUS(CALCORE_E_OPTION, calcore_curve_temperature_array(curve, values, 1, 8, values, &err));
    STATUS(CALCORE_E_NULL, calcore_curve_from_cvd(NULL, &curve, &err));
    calcore_curve_free(curve);
    calcore_curve_free(NULL);
}

/* Platinum of 0.003916 read as 0.003851 is 1.70 K high at 100 degC: worked out in the coefficients of both. */
static void wrong_curve(void)
{
    calcore_error err = check_error();
    calcore_curve *element = NULL;
    calcore_likely likely;
    double t_c = 100.0;
    double ohm = 0.0;
    double x = 0.0;
    char name[32];
    size_t needed = 0;
    memset(&likely, 0, sizeof likely);
    likely.size = sizeof likely;
    GOOD(calcore_polynomial_rtd_standard("jis_pt3916", 100.0, &element, &err));
    GOOD(calcore_curve_signal(element, t_c, &ohm, &err));
    GOOD(calcore_likely_standard(&t_c, &ohm, 1, 100.0, "iec60751_pt385", 0.3, &likely, &err));
    CLOSE("likely_standard", t_c, likely.assumed_error_k, 1.70, 0.005);
    CHECK(likely.suspect >= 0 && fabs(likely.best_error_k) < 1e-9);
    GOOD(calcore_polynomial_rtd_name((size_t)likely.suspect, name, sizeof name, &needed, &err));
    CHECK(strcmp(name, "jis_pt3916") == 0 && needed == strlen(name) + 1);
    STATUS(CALCORE_E_INDEX, calcore_polynomial_rtd_name(1000, name, sizeof name, &needed, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_likely_standard(NULL, NULL, 0, 100.0, "iec60751_pt385", 0.3, &likely, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_likely_standard(&t_c, &ohm, 1, 100.0, "pt", 0.3, &likely, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_curve_temperature_approximate(element, ohm, &x, &err));
    calcore_curve_free(element);
    element = NULL;
    /* The published inverse below 0 degC is good to 1.7 mK (ASTM E1137). */
    GOOD(calcore_polynomial_rtd_standard("astm_e1137_pt385", 100.0, &element, &err));
    GOOD(calcore_curve_temperature_approximate(element, 60.0, &x, &err));
    GOOD(calcore_curve_temperature(element, 60.0, &t_c, &err));
    CHECK(x != t_c && fabs(x - t_c) < 0.0017);
    calcore_curve_free(element);
}

void test_sensor_curves(const char *reference)
{
    polynomials(reference);
    sprts(reference);
    thermistors(reference);
    tables(reference);
    from_cvd();
    wrong_curve();
}
