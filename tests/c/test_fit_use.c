/* Use of a fit: the entries of a transmitter against worked checks, and what its numbers must be to each other. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

/* alpha, delta and beta of IEC 60751 to some decimals: the error in mK at five temperatures, computed with 80 digits. A
 * temperature below 1024 °C rounds to 1.2e-13 K, and so does the resistance over a slope of 0.28 ohm/K: 1e-9 mK. */
static void rounded(const char *reference)
{
    static const struct {
        const char *name;
        int32_t decimals[3];
        double entries[3];
    } cases[] = {
        {"0.003851_1.500_0.1086", {6, 3, 4}, {0.003851, 1.5, 0.1086}},
        {"0.00385_1.5_0.11", {5, 1, 2}, {0.00385, 1.5, 0.11}},
    };
    static const int temperatures[] = {-100, 100, 250, 400, 600};
    table t = table_read(reference, "trade_worked_checks.csv");
    calcore_error err = check_error();
    calcore_cvd *pt100 = NULL;
    calcore_cvd *entered = NULL;
    size_t c;
    size_t k;
    SIZED(calcore_entry_grid, grid);
    SIZED(calcore_entries, entries);
    GOOD(calcore_cvd_iec60751(100.0, &pt100, &err));
    for (c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        double each;
        grid.form = CALCORE_ENTRY_ALPHA_DELTA_BETA;
        grid.rounding = CALCORE_ROUND_EACH;
        grid.counted[0] = CALCORE_DIGITS_ALL;
        for (k = 0; k < 3; k++) {
            grid.counted[k + 1] = CALCORE_DIGITS_DECIMALS;
            grid.digits[k + 1] = cases[c].decimals[k];
        }
        GOOD(calcore_cvd_rounded(pt100, &grid, &entries, &entered, &err));
        CHECK(entries.entries[0] == 100.0 && entries.counted[1] == CALCORE_DIGITS_DECIMALS);
        for (k = 0; k < 3; k++) {
            CLOSE(cases[c].name, (double)k, entries.entries[k + 1], cases[c].entries[k], 1e-17);
            CHECK(entries.digits[k + 1] == cases[c].decimals[k]);
        }
        for (k = 0; k < 5; k++) {
            char quantity[80];
            double t_c = (double)temperatures[k];
            double ohm = 0.0;
            double read_c = 0.0;
            double want = check_nan();
            size_t i;
            sprintf(quantity, "error_alpha_delta_beta_%s_at_%d_c", cases[c].name, temperatures[k]);
            for (i = 0; i < t.rows; i++) {
                if (strcmp(table_text(&t, i, "quantity"), quantity) == 0) {
                    want = table_number(&t, i, "recomputed");
                }
            }
            GOOD(calcore_cvd_resistance(pt100, t_c, &ohm, &err));
            GOOD(calcore_cvd_temperature(entered, ohm, &read_c, &err));
            CLOSE(quantity, t_c, 1e3 * (read_c - t_c), want, 1e-9);
            CHECK(fabs(entries.largest_error_k) >= 1e-3 * fabs(want) - 1e-9);
        }
        calcore_cvd_free(entered);
        each = fabs(entries.largest_error_k);
        grid.rounding = CALCORE_ROUND_JOINTLY;
        GOOD(calcore_cvd_rounded(pt100, &grid, &entries, NULL, &err));
        CHECK(fabs(entries.largest_error_k) <= each);
    }
    GOOD(calcore_cvd_rounded_within(pt100, CALCORE_ENTRY_ABC, 1e-3, &entries, NULL, &err));
    CHECK(fabs(entries.largest_error_k) <= 1e-3);
    entered = NULL;
    entries.largest_error_k = 7.0;
    grid.rounding = 2;
    STATUS(CALCORE_E_OPTION, calcore_cvd_rounded(pt100, &grid, &entries, &entered, &err));
    grid.rounding = CALCORE_ROUND_EACH;
    grid.form = 2;
    STATUS(CALCORE_E_OPTION, calcore_cvd_rounded(pt100, &grid, &entries, &entered, &err));
    grid.form = CALCORE_ENTRY_ABC;
    grid.counted[2] = 3;
    STATUS(CALCORE_E_OPTION, calcore_cvd_rounded(pt100, &grid, &entries, &entered, &err));
    grid.counted[2] = CALCORE_DIGITS_DECIMALS;
    grid.digits[2] = -1;
    STATUS(CALCORE_E_OPTION, calcore_cvd_rounded(pt100, &grid, &entries, &entered, &err));
    grid.digits[2] = 0; /* B and then A become 0: no curve */
    grid.counted[1] = CALCORE_DIGITS_DECIMALS;
    grid.digits[1] = 0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_cvd_rounded(pt100, &grid, &entries, &entered, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_rounded(pt100, NULL, &entries, &entered, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_rounded(NULL, &grid, &entries, &entered, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_cvd_rounded_within(pt100, CALCORE_ENTRY_ABC, 0.0, &entries, &entered, &err));
    STATUS(CALCORE_E_OPTION, calcore_cvd_rounded_within(pt100, 7, 1e-3, &entries, &entered, &err));
    CHECK(entered == NULL && entries.largest_error_k == 7.0);
    calcore_cvd_free(pt100);
    table_free(&t);
}

enum { N = 6 };

/* IEC 60751 with u = 1 mohm and a reference of 10 mK in common. */
static calcore_fit *a_fit(double shift_ohm)
{
    static const double t_c[N] = {0.0, 60.0, 120.0, 180.0, 240.0, 300.0};
    const double u_ohm = 0.001;
    calcore_error err = check_error();
    calcore_cvd *pt100 = NULL;
    calcore_fit *fit = NULL;
    calcore_fit_options o;
    double ohm[N];
    size_t i;
    memset(&o, 0, sizeof o);
    o.size = sizeof o;
    o.u_y = &u_ohm;
    o.u_y_count = 1;
    o.u_x_common = 0.01;
    GOOD(calcore_cvd_iec60751(100.0, &pt100, &err));
    GOOD(calcore_cvd_resistance_array(pt100, t_c, N, CALCORE_STRICT, ohm, &err));
    for (i = 0; i < N; i++) {
        ohm[i] += shift_ohm;
    }
    GOOD(calcore_fit_callendar_van_dusen(t_c, ohm, N, &o, &fit, &err));
    calcore_cvd_free(pt100);
    return fit;
}

static void relations(void)
{
    const double t_c[3] = {20.0, 150.0, 280.0};
    const double u_ohm = 0.002;
    calcore_error err = check_error();
    calcore_fit *fit = a_fit(0.0);
    calcore_fit *later = a_fit(0.039083);
    calcore_fit *line = NULL;
    calcore_cvd *curve = NULL;
    calcore_fit_options o;
    double ohm[3];
    double by_ohm[3];
    double by_k[3];
    double values[9];
    double u = 0.0;
    double x = 0.0;
    double slope = 0.0;
    int32_t beyond = 77;
    size_t i;
    SIZED(calcore_alpha_delta_beta, adb);
    SIZED(calcore_cvd_numbers, numbers);
    SIZED(calcore_test, test);
    memset(&o, 0, sizeof o);
    o.size = sizeof o;
    o.u_y = &u_ohm;
    o.u_y_count = 1;
    GOOD(calcore_fit_cvd(fit, &curve, &err));
    GOOD(calcore_fit_band(fit, t_c, 3, 2.0, ohm, by_ohm, by_k, &err));
    GOOD(calcore_fit_temperature_covariance(fit, t_c, 3, values, 9, &err));
    for (i = 0; i < 3; i++) {
        GOOD(calcore_cvd_resistance(curve, t_c[i], &x, &err));
        SAME("band: resistance", ohm[i], x);
        GOOD(calcore_fit_resistance_uncertainty(fit, t_c[i], &u, &err));
        CLOSE("band: ohm", t_c[i], by_ohm[i], 2.0 * u, 1e-15);
        GOOD(calcore_fit_temperature_uncertainty(fit, t_c[i], &u, &err));
        CLOSE("band: K", t_c[i], by_k[i], 2.0 * u, 1e-15);
        CLOSE("covariance", t_c[i], sqrt(values[4 * i]), u, 1e-12);
        CHECK(values[3 * i + (i + 1) % 3] > 0.9e-4); /* the 10 mK of the reference are in common */
        GOOD(calcore_fit_extrapolated_temperature_uncertainty(fit, t_c[i], &x, &beyond, &err));
        CLOSE("inside", t_c[i], x, u, 1e-15);
        CHECK(beyond == 0);
        /* u^2 of a reading adds (u(R)/R')^2. */
        GOOD(calcore_cvd_slope(curve, t_c[i], &slope, &err));
        {
            double with = 0.0;
            GOOD(calcore_fit_read(fit, ohm[i], u_ohm, &x, &with, &err));
            CLOSE("read", ohm[i], x, t_c[i], 1e-11);
            CLOSE("u of a reading", ohm[i], with, sqrt(u * u + u_ohm / slope * (u_ohm / slope)), 1e-13);
        }
    }
    GOOD(calcore_fit_extrapolated_temperature_uncertainty(fit, 500.0, &x, &beyond, &err));
    CHECK(beyond == 1 && x > u);
    GOOD(calcore_fit_alpha_delta_beta(fit, &adb, &err));
    GOOD(calcore_cvd_describe(curve, &numbers, &err));
    CHECK(adb.r0 == numbers.r0 && adb.alpha == numbers.alpha && adb.delta == numbers.delta && adb.beta == numbers.beta);
    CHECK(adb.covariance[0] > 0.0);
    /* Read with its own curve an element has no error; 0.039083 ohm more are 0.1 K at 0 °C. */
    GOOD(calcore_fit_error_read_with(fit, curve, 100.0, &x, &u, &err));
    CLOSE("own curve", 100.0, x, 0.0, 1e-12);
    GOOD(calcore_fit_error_read_with(later, curve, 0.0, &x, &u, &err));
    CLOSE("other curve", 0.0, x, 0.1, 1e-4);
    GOOD(calcore_fit_drift_since(later, fit, t_c, 3, by_k, by_ohm, &test, &err));
    CHECK(by_k[0] > 0.09 && by_k[0] < 0.11 && by_ohm[0] > 0.0 && test.p_value < 0.01 && test.degrees_of_freedom == 3);
    GOOD(calcore_fit_drift_since(fit, fit, t_c, 3, by_k, NULL, &test, &err));
    CLOSE("no drift", 0.0, by_k[1], 0.0, 1e-12);
    CHECK(test.chi_squared < 1e-9 && test.p_value > 0.999);
    /* Points of the same element are no surprise; those of the shifted one are. */
    GOOD(calcore_fit_hold_out(fit, t_c, ohm, 3, &o, by_k, by_ohm, values, &test, &err));
    CHECK(fabs(by_k[0]) < 1e-9 && by_ohm[0] > 0.005 && fabs(values[0]) < 1e-6 && test.p_value > 0.999);
    CHECK(test.degrees_of_freedom == 3);
    for (i = 0; i < 3; i++) {
        ohm[i] += 0.5;
    }
    GOOD(calcore_fit_hold_out(fit, t_c, ohm, 3, &o, NULL, NULL, NULL, &test, &err));
    CHECK(test.p_value < 1e-6);

    x = 7.0;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_fit_read(fit, 500.0, u_ohm, &x, &u, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_fit_read(fit, 100.0, -1.0, &x, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_read(fit, 100.0, 0.0, &x, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_error_read_with(fit, NULL, 0.0, &x, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_band(fit, NULL, 3, 2.0, ohm, by_ohm, by_k, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_band(fit, t_c, 3, 2.0, ohm, NULL, by_k, &err));
    GOOD(calcore_fit_band(fit, NULL, 0, 2.0, NULL, NULL, NULL, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_fit_temperature_covariance(fit, t_c, 3, values, 8, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_extrapolated_temperature_uncertainty(fit, 0.0, &x, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_drift_since(fit, NULL, t_c, 3, by_k, NULL, &test, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_hold_out(fit, t_c, NULL, 3, &o, NULL, NULL, NULL, &test, &err));
    GOOD(calcore_fit_straight_line(t_c, ohm, 3, NULL, &line, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_read(line, 100.0, 0.0, &x, &u, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_alpha_delta_beta(line, &adb, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_drift_since(fit, line, t_c, 3, by_k, NULL, &test, &err));
    CHECK(x == 7.0);
    calcore_fit_free(line);
    calcore_fit_free(fit);
    calcore_fit_free(later);
    calcore_cvd_free(curve);
}

void test_fit_use(const char *reference)
{
    rounded(reference);
    relations();
}
