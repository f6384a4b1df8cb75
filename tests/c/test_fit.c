/* Fits against ISO/TS 28037:2010, the certified sets of NIST StRD, and a Callendar-Van Dusen fit solved with many digits. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MOST = 64 };

static calcore_fit_options no_options(void)
{
    calcore_fit_options o;
    memset(&o, 0, sizeof o);
    o.size = sizeof o;
    return o;
}

static calcore_fit_report describe(const calcore_fit *fit)
{
    calcore_error err = check_error();
    calcore_fit_report r;
    memset(&r, 0, sizeof r);
    r.size = sizeof r;
    GOOD(calcore_fit_describe(fit, &r, &err));
    return r;
}

/* The x and y of a case of ISO/TS 28037, and a number of it. */
static double given(const table *points, const char *of_case, const char *quantity)
{
    return table_find(points, of_case, quantity, "value");
}

static size_t line_points(const table *points, const char *of_case, size_t n, double *x, double *y)
{
    char quantity[32];
    size_t i;
    for (i = 0; i < n; i++) {
        sprintf(quantity, "x_%d", (int)i);
        x[i] = given(points, of_case, quantity);
        sprintf(quantity, "y_%d", (int)i);
        y[i] = given(points, of_case, quantity);
    }
    return n;
}

/* The printed value within half of its last digit, the recomputed one (50 digits) within a relative tolerance. */
static void against(const table *results, const char *of_case, const char *quantity, double got, double relative)
{
    double exact = table_find(results, of_case, quantity, "recomputed");
    CLOSE(quantity, 0.0, got, table_find(results, of_case, quantity, "value"), table_find(results, of_case, quantity, "tolerance"));
    CLOSE(quantity, 0.0, got, exact, relative * fabs(exact));
}

/* Direct solutions of 2 unknowns lose about the condition number (below 1e3) in roundings: 1e-12. */
static void straight_lines(const char *reference)
{
    table points = table_read(reference, "iso28037_points.csv");
    table results = table_read(reference, "iso28037.csv");
    calcore_error err = check_error();
    double x[MOST];
    double y[MOST];
    double values[4];
    double covariance_x[49];
    double covariance_y[49];
    double u_y = given(&points, "28037-6-equal", "u_y");
    calcore_fit_options o = no_options();
    calcore_fit *fit = NULL;
    calcore_fit_report r;
    double one = 0.0;
    double two = 0.0;
    size_t n = line_points(&points, "28037-6-equal", 6, x, y);
    size_t i;
    size_t j;
    o.u_y = &u_y;
    o.u_y_count = 1;
    GOOD(calcore_fit_straight_line(x, y, n, &o, &fit, &err));
    r = describe(fit);
    CHECK(r.kind == CALCORE_FIT_LINE && r.parameters == 2 && r.points == 6 && r.covariance_basis == CALCORE_BASIS_STATED);
    CHECK(r.has_covariance == 1 && r.held == 0 && isnan(r.r_squared) && r.degrees_of_freedom == 4);
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    against(&results, "28037-6-equal", "a", values[0], 1e-12);
    against(&results, "28037-6-equal", "b", values[1], 1e-12);
    GOOD(calcore_fit_covariance(fit, values, 4, &err));
    against(&results, "28037-6-equal", "u_a", sqrt(values[0]), 1e-12);
    against(&results, "28037-6-equal", "u_b", sqrt(values[3]), 1e-12);
    against(&results, "28037-6-equal", "cov", values[1], 1e-12);
    against(&results, "28037-6-equal", "chi2", r.chi_squared, 1e-12);
    GOOD(calcore_fit_predict_inverse(fit, given(&points, "28037-6-equal", "inverse_y"),
                                     given(&points, "28037-6-equal", "inverse_u"), &one, &two, &err));
    against(&results, "28037-6-equal", "inverse_x", one, 1e-12);
    against(&results, "28037-6-equal", "inverse_u", two, 1e-12);
    GOOD(calcore_fit_predict(fit, given(&points, "28037-6-equal", "forward_x"), given(&points, "28037-6-equal", "forward_u"),
                             &one, &two, &err));
    against(&results, "28037-6-equal", "forward_y", one, 1e-12);
    against(&results, "28037-6-equal", "forward_u", two, 1e-12);
    STATUS(CALCORE_E_NOT_FINITE, calcore_fit_predict(fit, check_nan(), 0.0, &one, &two, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_fit_predict_inverse(fit, 1.0, -1.0, &one, &two, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_predict(fit, 1.0, 0.0, &one, NULL, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_value(fit, 1.0, &one, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_temperature_uncertainty(fit, 1.0, &one, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_points(fit, CALCORE_POINTS_RESIDUALS_K, x, n, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_fit_parameters(fit, values, 3, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_fit_covariance(fit, values, 2, &err));
    calcore_fit_free(fit);

    /* Annex E: nothing stated, the residuals give the size. */
    n = line_points(&points, "28037-E-unknown-equal", 6, x, y);
    GOOD(calcore_fit_straight_line(x, y, n, NULL, &fit, &err));
    r = describe(fit);
    CHECK(r.covariance_basis == CALCORE_BASIS_RESIDUALS && isnan(r.chi_squared) && isnan(r.p_value));
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    against(&results, "28037-E-unknown-equal", "a", values[0], 1e-12);
    against(&results, "28037-E-unknown-equal", "b", values[1], 1e-12);
    CLOSE("s", 0.0, r.residual_standard_deviation,
          sqrt(table_find(&results, "28037-E-unknown-equal", "sum_of_squares", "recomputed") / 4.0), 1e-12);
    calcore_fit_free(fit);

    /* Clause 10: both variables with full covariance matrices; an iteration that stops when nothing changes any more, on
     * matrices with a condition number below 1e3: 1e-9 of the printed digits' recomputation. */
    n = line_points(&points, "28037-10-general", 7, x, y);
    for (i = 0; i < 7; i++) {
        for (j = 0; j < 7; j++) {
            char quantity[32];
            sprintf(quantity, "u_x_%d_%d", (int)i, (int)j);
            covariance_x[7 * i + j] = given(&points, "28037-10-general", quantity);
            sprintf(quantity, "u_y_%d_%d", (int)i, (int)j);
            covariance_y[7 * i + j] = given(&points, "28037-10-general", quantity);
        }
    }
    o = no_options();
    o.covariance_x = covariance_x;
    o.covariance_y = covariance_y;
    GOOD(calcore_fit_straight_line(x, y, n, &o, &fit, &err));
    r = describe(fit);
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    against(&results, "28037-10-general", "a", values[0], 1e-9);
    against(&results, "28037-10-general", "b", values[1], 1e-9);
    GOOD(calcore_fit_covariance(fit, values, 4, &err));
    against(&results, "28037-10-general", "u_a", sqrt(values[0]), 1e-9);
    against(&results, "28037-10-general", "u_b", sqrt(values[3]), 1e-9);
    against(&results, "28037-10-general", "cov", values[2], 1e-9);
    against(&results, "28037-10-general", "chi2", r.chi_squared, 1e-9);
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_ADJUSTED, y, n, &err));
    for (i = 0; i < n; i++) {
        CHECK(fabs(y[i] - x[i]) < 5.0);
    }
    /* Covariances of zero between x and y say the same: the same bits. */
    {
        double zeros[49];
        calcore_fit *again = NULL;
        memset(zeros, 0, sizeof zeros);
        line_points(&points, "28037-10-general", 7, x, y);
        o.covariance_xy = zeros;
        GOOD(calcore_fit_straight_line(x, y, n, &o, &again, &err));
        GOOD(calcore_fit_parameters(again, values, 2, &err));
        against(&results, "28037-10-general", "a", values[0], 1e-9);
        calcore_fit_free(again);
        STATUS(CALCORE_E_OPTION, calcore_fit_polynomial(x, y, n, 1, &o, &again, &err));
    }
    covariance_y[0] = -1.0;
    o.covariance_xy = NULL;
    {
        calcore_fit *none = NULL;
        STATUS(CALCORE_E_NOT_POSITIVE_DEFINITE, calcore_fit_straight_line(x, y, n, &o, &none, &err));
        CHECK(err.index == 0 && none == NULL);
    }
    calcore_fit_free(fit);
    table_free(&points);
    table_free(&results);
}

static double certified(const table *t, const char *dataset, const char *quantity)
{
    size_t i;
    for (i = 0; i < t->rows; i++) {
        if (strcmp(table_text(t, i, "dataset"), dataset) == 0 && strcmp(table_text(t, i, "quantity"), quantity) == 0) {
            return table_number(t, i, "value");
        }
    }
    return check_nan();
}

/* NIST StRD: Norris (line) and Wampler1 (degree 5, exact data), certified to 15 digits; data in decimals cost one or two. */
static void polynomials(const char *reference)
{
    static const struct {
        const char *name;
        const char *file;
        size_t degree;
        double relative;
    } sets[] = {{"Norris", "strd_Norris.csv", 1, 1e-12}, {"Pontius", "strd_Pontius.csv", 2, 1e-11}};
    table results = table_read(reference, "strd_certified.csv");
    calcore_error err = check_error();
    size_t s;
    for (s = 0; s < sizeof sets / sizeof sets[0]; s++) {
        table data = table_read(reference, sets[s].file);
        double x[MOST];
        double y[MOST];
        double values[9];
        double coefficients[3];
        double value = 0.0;
        double by_hand = 0.0;
        calcore_fit *fit = NULL;
        calcore_fit_report r;
        size_t i;
        size_t p = sets[s].degree + 1;
        CHECK(data.rows <= MOST);
        for (i = 0; i < data.rows; i++) {
            x[i] = table_number(&data, i, "x");
            y[i] = table_number(&data, i, "y");
        }
        GOOD(calcore_fit_polynomial(x, y, data.rows, sets[s].degree, NULL, &fit, &err));
        r = describe(fit);
        CHECK(r.kind == CALCORE_FIT_POLYNOMIAL && r.parameters == p && r.stop_reason == CALCORE_STOP_SOLVED_DIRECTLY);
        CHECK(r.r_squared > 0.999 && r.r_squared <= 1.0);
        GOOD(calcore_fit_parameters(fit, coefficients, p, &err));
        GOOD(calcore_fit_covariance(fit, values, p * p, &err));
        for (i = 0; i < p; i++) {
            char quantity[40];
            double want;
            sprintf(quantity, "parameter_%d", (int)i + 1);
            want = certified(&results, sets[s].name, quantity);
            if (isnan(want)) {
                sprintf(quantity, "parameter_%d", (int)i);
                want = certified(&results, sets[s].name, quantity);
            }
            CLOSE(sets[s].name, (double)i, coefficients[i], want, sets[s].relative * fabs(want));
        }
        CLOSE(sets[s].name, 0.0, r.residual_standard_deviation, certified(&results, sets[s].name, "residual_std_dev"),
              sets[s].relative * r.residual_standard_deviation);
        GOOD(calcore_fit_value(fit, x[3], &value, &err));
        for (i = p; i-- > 0;) {
            by_hand = by_hand * x[3] + coefficients[i];
        }
        CLOSE("value", x[3], value, by_hand, 1e-12 * fabs(by_hand));
        GOOD(calcore_fit_value_uncertainty(fit, x[3], &value, &err));
        CHECK(value > 0.0 && value < r.residual_standard_deviation);
        GOOD(calcore_fit_points(fit, CALCORE_POINTS_LEVERAGE, y, data.rows, &err));
        for (i = 0, value = 0.0; i < data.rows; i++) {
            value += y[i];
        }
        CLOSE("sum of the leverages", 0.0, value, (double)p, 1e-10); /* the trace of the hat matrix */
        STATUS(CALCORE_E_NOT_FINITE, calcore_fit_value(fit, check_nan(), &value, &err));
        STATUS(CALCORE_E_HANDLE, calcore_fit_predict(fit, 1.0, 0.0, &value, &by_hand, &err));
        calcore_fit_free(fit);
        table_free(&data);
    }
    table_free(&results);
}

/* Weighted fit with exact temperatures, solved with 60 digits. The coefficients in double: condition number below 1e3. */
static void callendar_van_dusen(const char *reference)
{
    table points = table_read(reference, "cvd_fit_synthetic_points.csv");
    table results = table_read(reference, "cvd_fit_synthetic.csv");
    static const char *const names[] = {"r0", "a", "b", "c"};
    calcore_error err = check_error();
    calcore_fit_options o = no_options();
    calcore_fit *fit = NULL;
    calcore_cvd *curve = NULL;
    calcore_fit_report r;
    double t_c[MOST];
    double ohm[MOST];
    double u_ohm[MOST];
    double values[16];
    double read_ohm = 0.0;
    double x = 0.0;
    size_t n = 0;
    size_t i;
    for (i = 0; i < points.rows; i++) {
        if (strcmp(table_text(&points, i, "case"), "with_c") == 0) {
            t_c[n] = table_number(&points, i, "t_c");
            ohm[n] = table_number(&points, i, "ohm");
            u_ohm[n] = table_number(&points, i, "u_ohm");
            n++;
        }
    }
    o.u_y = u_ohm;
    o.u_y_count = n;
    GOOD(calcore_fit_callendar_van_dusen(t_c, ohm, n, &o, &fit, &err));
    r = describe(fit);
    CHECK(r.kind == CALCORE_FIT_CVD && r.parameters == 4 && r.points == n && r.held == 0 && r.degrees_of_freedom == 8);
    CLOSE("chi_squared", 0.0, r.chi_squared, given(&results, "with_c", "chi_squared"), 1e-9);
    GOOD(calcore_fit_parameters(fit, values, 4, &err));
    for (i = 0; i < 4; i++) {
        double want = given(&results, "with_c", names[i]);
        CLOSE(names[i], 0.0, values[i], want, 1e-11 * fabs(want));
    }
    GOOD(calcore_fit_covariance(fit, values, 16, &err));
    for (i = 0; i < 16; i++) {
        char quantity[32];
        double want;
        sprintf(quantity, "covariance_%d_%d", (int)i / 4, (int)i % 4);
        want = given(&results, "with_c", quantity);
        CLOSE(quantity, 0.0, values[i], want, 1e-9 * fabs(want));
    }
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_STANDARDISED, values, n, &err));
    for (i = 0; i < n; i++) {
        char quantity[40];
        sprintf(quantity, "standardised_residual_%d", (int)i);
        CLOSE(quantity, (double)i, values[i], given(&results, "with_c", quantity), 1e-8);
    }
    /* The curve gives the residuals again, and its uncertainties belong together by the slope. */
    GOOD(calcore_fit_cvd(fit, &curve, &err));
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_RESIDUALS, values, n, &err));
    for (i = 0; i < n; i++) {
        GOOD(calcore_cvd_resistance(curve, t_c[i], &read_ohm, &err));
        CLOSE("residual", t_c[i], values[i], ohm[i] - read_ohm, 1e-13);
    }
    GOOD(calcore_fit_resistance_uncertainty(fit, 100.0, &read_ohm, &err));
    GOOD(calcore_fit_temperature_uncertainty(fit, 100.0, &x, &err));
    GOOD(calcore_cvd_slope(curve, 100.0, &values[0], &err));
    CLOSE("u(t) = u(R)/R'", 100.0, x, read_ohm / values[0], 1e-15);
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_RESIDUALS_K, values, n, &err));
    STATUS(CALCORE_E_OPTION, calcore_fit_points(fit, 9, values, n, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_fit_temperature_uncertainty(fit, 800.0, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_temperature_uncertainty(fit, 100.0, NULL, &err));
    calcore_cvd_free(curve);
    calcore_fit_free(fit);

    /* Held: c by NaN for the others; and C at the standard, with a warning, where no point lies below 0 °C. */
    {
        double fixed[4];
        char text[200];
        int32_t number = 0;
        size_t needed = 0;
        fixed[0] = fixed[1] = fixed[2] = check_nan();
        fixed[3] = -4.0e-12;
        o.fixed = fixed;
        o.fixed_count = 4;
        GOOD(calcore_fit_callendar_van_dusen(t_c, ohm, n, &o, &fit, &err));
        GOOD(calcore_fit_parameters(fit, values, 4, &err));
        CHECK(values[3] == -4.0e-12 && describe(fit).held == CALCORE_HELD_C);
        GOOD(calcore_fit_covariance(fit, values, 16, &err));
        CHECK(values[15] == 0.0 && values[0] > 0.0);
        calcore_fit_free(fit);
        o.fixed_count = 3;
        fit = NULL;
        STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_fit_callendar_van_dusen(t_c, ohm, n, &o, &fit, &err));
        o = no_options();
        GOOD(calcore_fit_callendar_van_dusen(t_c + 5, ohm + 5, n - 5, &o, &fit, &err));
        r = describe(fit);
        CHECK(r.held == CALCORE_HELD_C && r.warnings > 0 && r.covariance_basis == CALCORE_BASIS_RESIDUALS);
        GOOD(calcore_fit_warning(fit, 0, &number, text, sizeof text, &needed, &err));
        CHECK(number == 1 && needed == strlen(text) + 1);
        STATUS(CALCORE_E_INDEX, calcore_fit_warning(fit, r.warnings, &number, text, sizeof text, &needed, &err));
        STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_fit_warning(fit, 0, &number, text, 3, &needed, &err));
        STATUS(CALCORE_E_NULL, calcore_fit_warning(fit, 0, NULL, text, sizeof text, &needed, &err));
        calcore_fit_free(fit);
    }
    table_free(&points);
    table_free(&results);
}

/* Misra1a of NIST StRD: y = b1 (1 - exp(-b2 x)). */
static calcore_status saturating(double x, const double *b, size_t n, double *value, void *user)
{
    ++*(long *)user;
    if (n != 2) {
        return 1;
    }
    *value = b[0] * (1.0 - exp(-b[1] * x));
    return CALCORE_OK;
}

static calcore_status never(double x, const double *b, size_t n, double *value, void *user)
{
    (void)x;
    (void)b;
    (void)n;
    (void)value;
    (void)user;
    return 42;
}

/* Certified to 11 digits; derivatives by differences leave about 8 of them. */
static void own_model(const char *reference)
{
    table data = table_read(reference, "strd_Misra1a.csv");
    table results = table_read(reference, "strd_certified.csv");
    calcore_error err = check_error();
    calcore_fit *fit = NULL;
    calcore_fit_report r;
    double x[MOST];
    double y[MOST];
    double start[2];
    double lower[2] = {0.0, 0.0};
    double upper[2] = {200.0, 1.0};
    double values[4];
    long calls = 0;
    size_t i;
    for (i = 0; i < data.rows; i++) {
        x[i] = table_number(&data, i, "x");
        y[i] = table_number(&data, i, "y");
    }
    start[0] = certified(&results, "Misra1a", "start_2_1");
    start[1] = certified(&results, "Misra1a", "start_2_2");
    GOOD(calcore_fit_model(saturating, &calls, x, y, data.rows, start, NULL, NULL, 2, NULL, &fit, &err));
    r = describe(fit);
    CHECK(r.kind == CALCORE_FIT_MODEL && r.parameters == 2 && r.degrees_of_freedom == data.rows - 2 && calls > 0);
    CHECK(r.stop_reason == CALCORE_STOP_CONVERGED || r.stop_reason == CALCORE_STOP_STALLED);
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    CLOSE("b1", 0.0, values[0], certified(&results, "Misra1a", "parameter_1"), 1e-8 * values[0]);
    CLOSE("b2", 0.0, values[1], certified(&results, "Misra1a", "parameter_2"), 1e-8 * values[1]);
    CLOSE("s", 0.0, r.residual_standard_deviation, certified(&results, "Misra1a", "residual_std_dev"), 1e-8);
    GOOD(calcore_fit_covariance(fit, values, 4, &err));
    CLOSE("u(b1)", 0.0, sqrt(values[0]), certified(&results, "Misra1a", "parameter_std_dev_1"), 1e-4 * sqrt(values[0]));
    calcore_fit_free(fit);
    start[0] = 150.0; /* the best value, 239, lies beyond the upper bound */
    GOOD(calcore_fit_model(saturating, &calls, x, y, data.rows, start, lower, upper, 2, NULL, &fit, &err));
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    CHECK(values[0] == 200.0);
    calcore_fit_free(fit);
    fit = NULL;
    STATUS(CALCORE_E_MODEL_FAILED, calcore_fit_model(never, NULL, x, y, data.rows, start, NULL, NULL, 2, NULL, &fit, &err));
    CHECK(err.value == 42.0);
    STATUS(CALCORE_E_NULL, calcore_fit_model(NULL, NULL, x, y, data.rows, start, NULL, NULL, 2, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_model(saturating, &calls, x, y, data.rows, NULL, NULL, NULL, 2, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_model(saturating, &calls, x, y, data.rows, start, lower, NULL, 2, NULL, &fit, &err));
    CHECK(fit == NULL);
    table_free(&data);
    table_free(&results);
}

/* Exact points give their own coefficients back: those of the tables computed with 60 digits. */
static void thermistors(const char *reference)
{
    table t = table_read(reference, "thermistor_dense.csv");
    calcore_error err = check_error();
    double t_c[MOST];
    double ohm[MOST];
    double values[16];
    double a[4] = {0.0, 0.0, 0.0, 0.0};
    double u_k = 0.0;
    calcore_fit *fit = NULL;
    calcore_curve *curve = NULL;
    calcore_fit_report r;
    size_t n = 0;
    size_t i;
    for (i = 0; i < t.rows && n < 40; i++) {
        if (strcmp(table_text(&t, i, "form"), "beta") == 0) {
            if (n == 0) {
                a[0] = table_number(&t, i, "a0");
                a[1] = table_number(&t, i, "a1");
            }
            if (table_number(&t, i, "a0") == a[0]) {
                t_c[n] = table_number(&t, i, "t_c");
                ohm[n++] = table_number(&t, i, "ohm");
            }
        }
    }
    CHECK(n > 5);
    GOOD(calcore_fit_beta(t_c, ohm, n, NULL, &fit, &err));
    r = describe(fit);
    CHECK(r.kind == CALCORE_FIT_BETA && r.parameters == 2);
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    CLOSE("r25", 0.0, values[0], a[0], 1e-11 * a[0]);
    CLOSE("beta", 0.0, values[1], a[1], 1e-11 * a[1]);
    GOOD(calcore_fit_curve(fit, &curve, &err));
    GOOD(calcore_curve_temperature(curve, ohm[3], &values[0], &err));
    CLOSE("beta curve", ohm[3], values[0], t_c[3], 1e-9);
    STATUS(CALCORE_E_HANDLE, calcore_fit_temperature_uncertainty(fit, t_c[3], &u_k, &err));
    calcore_curve_free(curve);
    calcore_fit_free(fit);
    for (i = 0, n = 0; i < t.rows && n < 40; i++) {
        if (strcmp(table_text(&t, i, "form"), "beta") != 0 && table_number(&t, i, "a2") == 0.0) {
            if (n == 0) {
                a[0] = table_number(&t, i, "a0");
                a[1] = table_number(&t, i, "a1");
                a[3] = table_number(&t, i, "a3");
            }
            if (table_number(&t, i, "a0") == a[0]) {
                t_c[n] = table_number(&t, i, "t_c");
                ohm[n++] = table_number(&t, i, "ohm");
            }
        }
    }
    CHECK(n > 5);
    GOOD(calcore_fit_steinhart_hart(t_c, ohm, n, 3, NULL, &fit, &err));
    r = describe(fit);
    CHECK(r.kind == CALCORE_FIT_STEINHART_HART && r.parameters == 3);
    GOOD(calcore_fit_parameters(fit, values, 3, &err));
    /* Columns 1, ln R, (ln R)^3 are nearly parallel: condition number near 1e3. */
    CLOSE("a0", 0.0, values[0], a[0], 1e-10 * a[0]);
    CLOSE("a1", 0.0, values[1], a[1], 1e-10 * a[1]);
    CLOSE("a3", 0.0, values[2], a[3], 1e-9 * a[3]);
    GOOD(calcore_fit_temperature_uncertainty(fit, t_c[3], &u_k, &err));
    CHECK(u_k >= 0.0 && u_k < 1e-9);
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_RESIDUALS_K, ohm, n, &err));
    for (i = 0; i < n; i++) {
        CLOSE("residual", t_c[i], ohm[i], 0.0, 1e-9);
    }
    for (i = 0, n = 0; i < t.rows && n < 40; i++) {
        if (strcmp(table_text(&t, i, "form"), "beta") != 0 && table_number(&t, i, "a0") == a[0]) {
            ohm[n++] = table_number(&t, i, "ohm");
        }
    }
    calcore_fit_free(fit);
    GOOD(calcore_fit_steinhart_hart(t_c, ohm, n, 4, NULL, &fit, &err));
    CHECK(describe(fit).parameters == 4);
    calcore_fit_free(fit);
    fit = NULL;
    {
        calcore_fit_options o = no_options();
        double fixed[2] = {1.0, 2.0};
        o.fixed = fixed;
        o.fixed_count = 2;
        STATUS(CALCORE_E_OPTION, calcore_fit_beta(t_c, ohm, n, &o, &fit, &err));
    }
    STATUS(CALCORE_E_OPTION, calcore_fit_steinhart_hart(t_c, ohm, n, 5, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_beta(t_c, NULL, n, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_curve(NULL, &curve, &err));
    CHECK(fit == NULL);
    table_free(&t);
}

/* The synthetic thermometer of section 3.3.2.2: its ratios, computed with 60 digits, give its coefficients back. */
static void its90(const char *reference)
{
    table cases = table_read(reference, "sprt_synthetic.csv");
    table t = table_read(reference, "sprt_dense.csv");
    calcore_error err = check_error();
    double t_k[MOST];
    double w[MOST];
    double values[4];
    double u_k = 0.0;
    double ohm = 0.0;
    calcore_fit *fit = NULL;
    calcore_curve *sprt = NULL;
    double r_tpw = table_find(&cases, "3.3.2.2", "r_tpw_ohm", "value");
    size_t n = 0;
    size_t i;
    for (i = 0; i < t.rows && n < 40; i++) {
        if (strcmp(table_text(&t, i, "section"), "3.3.2.2") == 0 && table_number(&t, i, "t_c") > 1.0) {
            t_k[n] = table_number(&t, i, "t_c") + 273.15;
            w[n++] = table_number(&t, i, "w");
        }
    }
    GOOD(calcore_fit_its90_deviation(t_k, w, n, "3.3.2.2", NULL, &fit, &err));
    CHECK(describe(fit).kind == CALCORE_FIT_ITS90);
    GOOD(calcore_fit_parameters(fit, values, 2, &err));
    /* The ratios are good to 4e-16 and the temperatures to 3e-14 K, 1e-16 of W; the terms W - 1 reach 1.5. */
    CLOSE("a", 0.0, values[0], table_find(&cases, "3.3.2.2", "coefficients_a", "value"), 1e-14);
    CLOSE("b", 0.0, values[1], table_find(&cases, "3.3.2.2", "coefficients_b", "value"), 1e-14);
    GOOD(calcore_fit_sprt(fit, r_tpw, &sprt, &err));
    GOOD(calcore_curve_signal(sprt, t_k[7] - 273.15, &ohm, &err));
    CLOSE("sprt", t_k[7], ohm, r_tpw * w[7], 1e-12);
    GOOD(calcore_fit_its90_temperature_uncertainty(fit, t_k[7], &u_k, &err));
    CHECK(u_k >= 0.0 && u_k < 1e-9);
    STATUS(CALCORE_E_HANDLE, calcore_fit_curve(fit, &sprt, &err));
    STATUS(CALCORE_E_HANDLE, calcore_fit_predict(fit, 1.0, 0.0, &ohm, &u_k, &err));
    calcore_curve_free(sprt);
    calcore_fit_free(fit);
    fit = NULL;
    sprt = NULL;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_fit_its90_deviation(t_k, w, n, "9.9", NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_its90_deviation(t_k, w, n, NULL, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_sprt(NULL, 25.0, &sprt, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_its90_temperature_uncertainty(NULL, 300.0, &u_k, &err));
    table_free(&cases);
    table_free(&t);
}

/* A line of exact points but for one: an ordinary fit follows it, a robust one plays it down. Left out, it shows whole. */
static void robust(void)
{
    double x[8];
    double y[8];
    double values[8];
    double ordinary[2];
    double sturdy[2];
    calcore_error err = check_error();
    calcore_fit_options o = no_options();
    calcore_fit *fit = NULL;
    size_t i;
    for (i = 0; i < 8; i++) {
        x[i] = (double)i;
        y[i] = 1.0 + 2.0 * x[i] + ((i & 1) != 0 ? 0.01 : -0.01);
    }
    y[4] += 1.0;
    GOOD(calcore_fit_straight_line(x, y, 8, &o, &fit, &err));
    GOOD(calcore_fit_parameters(fit, ordinary, 2, &err));
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_WEIGHTS, values, 8, &err));
    CHECK(values[0] == 1.0 && values[4] == 1.0);
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_LEAVE_ONE_OUT, values, 8, &err));
    CHECK(values[4] > 0.95 && values[4] < 1.05);
    calcore_fit_free(fit);
    o.robust = 1;
    GOOD(calcore_fit_straight_line(x, y, 8, &o, &fit, &err));
    GOOD(calcore_fit_parameters(fit, sturdy, 2, &err));
    GOOD(calcore_fit_points(fit, CALCORE_POINTS_WEIGHTS, values, 8, &err));
    CHECK(values[4] < 0.1 && values[0] > 0.5);
    CHECK(fabs(sturdy[0] + 3.5 * sturdy[1] - 8.0) < 0.3 * fabs(ordinary[0] + 3.5 * ordinary[1] - 8.0));
    calcore_fit_free(fit);
    fit = NULL;
    o.robust = 2;
    STATUS(CALCORE_E_OPTION, calcore_fit_straight_line(x, y, 8, &o, &fit, &err));
    CHECK(fit == NULL);
}

static void refused(void)
{
    double x[4] = {0.0, 100.0, 200.0, 300.0};
    double y[4] = {100.0, 138.5055, 175.856, 212.0515};
    double u = 0.001;
    calcore_error err = check_error();
    calcore_fit_options o = no_options();
    calcore_fit_report r;
    calcore_fit *fit = NULL;
    calcore_cvd *curve = NULL;
    double value = 7.0;
    memset(&r, 0, sizeof r);
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_fit_callendar_van_dusen(NULL, NULL, 0, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_callendar_van_dusen(x, NULL, 4, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_straight_line(NULL, y, 4, NULL, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_polynomial(x, y, 4, 1, NULL, NULL, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_fit_polynomial(x, y, 4, 4, NULL, &fit, &err));
    o.covariance_basis = 3;
    STATUS(CALCORE_E_OPTION, calcore_fit_straight_line(x, y, 4, &o, &fit, &err));
    o.covariance_basis = CALCORE_BASIS_STATED;
    STATUS(CALCORE_E_UNDETERMINED, calcore_fit_straight_line(x, y, 4, &o, &fit, &err));
    o = no_options();
    o.u_y_count = 1;
    STATUS(CALCORE_E_NULL, calcore_fit_straight_line(x, y, 4, &o, &fit, &err));
    o.u_y = x;
    o.u_y_count = 3;
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_fit_straight_line(x, y, 4, &o, &fit, &err));
    o.u_y = &u;
    o.u_y_count = 1;
    o.u_x_common = -1.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_fit_straight_line(x, y, 4, &o, &fit, &err));
    o.size = 8;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_fit_straight_line(x, y, 4, &o, &fit, &err));
    y[2] = check_nan();
    STATUS(CALCORE_E_NOT_FINITE, calcore_fit_straight_line(x, y, 4, NULL, &fit, &err));
    CHECK(err.index == 2 && fit == NULL);
    r.size = sizeof r;
    STATUS(CALCORE_E_NULL, calcore_fit_describe(NULL, &r, &err));
    r.size = 0;
    STATUS(CALCORE_E_NULL, calcore_fit_covariance(NULL, &value, 1, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_resistance_uncertainty(NULL, 1.0, &value, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_value_uncertainty(NULL, 1.0, &value, &err));
    /* As many points as parameters and nothing stated: no covariance. */
    GOOD(calcore_fit_straight_line(x, y, 2, NULL, &fit, &err));
    GOOD(calcore_fit_parameters(fit, y + 2, 2, &err));
    {
        double four[4];
        STATUS(CALCORE_E_UNDETERMINED, calcore_fit_covariance(fit, four, 4, &err));
        STATUS(CALCORE_E_UNDETERMINED, calcore_fit_predict(fit, 1.0, 0.0, &four[0], &four[1], &err));
    }
    STATUS(CALCORE_E_HANDLE, calcore_fit_cvd(fit, &curve, &err));
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_fit_describe(fit, &r, &err));
    CHECK(curve == NULL && value == 7.0);
    calcore_fit_free(fit);
    calcore_fit_free(NULL);
}

void test_fit(const char *reference)
{
    straight_lines(reference);
    polynomials(reference);
    callendar_van_dusen(reference);
    own_model(reference);
    thermistors(reference);
    its90(reference);
    robust();
    refused();
}
