/* Budgets and coverage against worked examples that others published. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 10 };

static calcore_input an_input(int32_t kind, double p1, double p2)
{
    calcore_input x;
    memset(&x, 0, sizeof x);
    x.kind = kind;
    x.p1 = p1;
    x.p2 = p2;
    x.degrees_of_freedom = check_infinity();
    return x;
}

static calcore_budget a_budget(void)
{
    calcore_budget b;
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    return b;
}

/* JCGM 100:2008, table G.2: the ten digits given beside the printed two. */
static void coverage(const char *reference)
{
    table t = table_read(reference, "gum_table_g2.csv");
    table gum = table_read(reference, "gum_small.csv");
    const double u[3] = {0.25, 0.57, 0.82};
    const double nu[3] = {9.0, 4.0, 14.0};
    const double exact[3] = {INFINITY, INFINITY, INFINITY};
    calcore_error err = check_error();
    double x = 7.0;
    size_t i;
    for (i = 0; i < t.rows; i++) {
        double dof = table_number(&t, i, "degrees_of_freedom");
        double p = table_number(&t, i, "p");
        double k = check_nan();
        GOOD(calcore_coverage_factor(p, dof, &k, &err));
        CLOSE("calcore_coverage_factor", dof, k, table_number(&t, i, "t"), 0.005);
        CLOSE("calcore_coverage_factor", dof, k, table_number(&t, i, "t_10_digits"), 0.5e-10);
        /* Half of the tenth digit times the density of both tails, which is less than 0.8. */
        GOOD(calcore_coverage_probability(table_number(&t, i, "t_10_digits"), dof, &x, &err));
        CLOSE("calcore_coverage_probability", dof, x, p, 0.4e-10);
    }
    /* JCGM 100:2008, G.4.1. */
    GOOD(calcore_welch_satterthwaite(u, nu, 3, &x, &err));
    CLOSE("nu_eff", 0.0, x, table_find(&gum, "GUM-G.4.1", "nu_eff", "recomputed"), 1e-13);
    GOOD(calcore_welch_satterthwaite(u, exact, 3, &x, &err));
    CHECK(isinf(x));
    GOOD(calcore_welch_satterthwaite(NULL, NULL, 0, &x, &err));
    CHECK(isinf(x));
    /* Truncated: 19.9 counts as 19. */
    GOOD(calcore_coverage_factor_truncated(0.95, 19.9, &x, &err));
    CLOSE("t95(19)", 19.9, x, table_find(&gum, "GUM-G.4.1", "t95_19", "recomputed"), 1e-13);

    x = 7.0;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_coverage_factor(1.0, 5.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_coverage_factor(0.95, 0.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_coverage_factor(check_nan(), 5.0, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_coverage_factor(0.95, 5.0, NULL, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_coverage_factor_truncated(0.95, -1.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_coverage_probability(0.0, 5.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_welch_satterthwaite(exact, nu, 3, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_welch_satterthwaite(u, NULL, 3, &x, &err));
    CHECK(x == 7.0);
    table_free(&t);
    table_free(&gum);
}

/* JCGM 100:2008, 4.4.5: limits 96 and 104. */
static void moments(const char *reference)
{
    table gum = table_read(reference, "gum_small.csv");
    calcore_error err = check_error();
    calcore_input x = an_input(CALCORE_RECTANGULAR, 96.0, 104.0);
    double mean = 7.0;
    double u = 7.0;
    GOOD(calcore_input_moments(&x, &mean, &u, &err));
    CHECK(mean == 100.0);
    CLOSE("rectangular", 0.0, u, table_find(&gum, "GUM-4.4.5", "u_rectangular", "recomputed"), 1e-15);
    x.kind = CALCORE_TRIANGULAR;
    GOOD(calcore_input_moments(&x, &mean, &u, &err));
    CLOSE("triangular", 0.0, u, table_find(&gum, "GUM-4.4.5", "u_triangular", "recomputed"), 1e-15);
    x = an_input(CALCORE_NORMAL, 3.0, 0.5);
    GOOD(calcore_input_moments(&x, &mean, &u, &err));
    CHECK(mean == 3.0 && u == 0.5);
    /* JCGM 101:2008, 6.4 and table 1: a = 4; trapezoid a sqrt((1 + b^2)/6), arcsine a/sqrt 2, Student s sqrt(nu/(nu - 2)),
     * inexact limits sqrt(a^2/3 + d^2/9), exponential its mean, gamma scale sqrt(shape). */
    {
        static const struct {
            int32_t kind;
            double p[3];
            double mean;
            double variance;
        } rows[] = {
            {CALCORE_TRAPEZOIDAL, {96.0, 104.0, 0.5}, 100.0, 16.0 * 1.25 / 6.0},
            {CALCORE_U_SHAPED, {96.0, 104.0, 0.0}, 100.0, 8.0},
            {CALCORE_STUDENT_T, {3.0, 0.5, 0.0}, 3.0, 0.25 * 10.0 / 8.0},
            {CALCORE_CURVILINEAR_TRAPEZOID, {96.0, 104.0, 0.6}, 100.0, 16.0 / 3.0 + 0.04},
            {CALCORE_EXPONENTIAL, {2.0, 0.0, 0.0}, 2.0, 4.0},
            {CALCORE_GAMMA, {4.0, 0.5, 0.0}, 2.0, 1.0},
        };
        size_t i;
        for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
            double p = check_nan();
            double back = check_nan();
            x = an_input(rows[i].kind, rows[i].p[0], rows[i].p[1]);
            x.p3 = rows[i].p[2];
            x.degrees_of_freedom = 10.0;
            GOOD(calcore_input_moments(&x, &mean, &u, &err));
            CLOSE("mean", (double)rows[i].kind, mean, rows[i].mean, 1e-15);
            CLOSE("u", (double)rows[i].kind, u, sqrt(rows[i].variance), 2e-15);
            /* The quantile undoes the distribution function; symmetric ones have their middle at the mean. */
            GOOD(calcore_input_cdf(&x, rows[i].mean + 0.3 * u, &p, &err));
            CHECK(p > 0.5 && p < 0.8);
            GOOD(calcore_input_quantile(&x, p, &back, &err));
            CLOSE("quantile of cdf", p, back, rows[i].mean + 0.3 * u, 1e-11);
            if (rows[i].kind < CALCORE_EXPONENTIAL) {
                GOOD(calcore_input_cdf(&x, rows[i].mean, &p, &err));
                CLOSE("middle", (double)rows[i].kind, p, 0.5, 1e-15);
            }
        }
        /* JCGM 101:2008, 6.4.2: a quarter of the way through a rectangle. */
        x = an_input(CALCORE_RECTANGULAR, 96.0, 104.0);
        GOOD(calcore_input_quantile(&x, 0.25, &mean, &err));
        CHECK(mean == 98.0);
        STATUS(CALCORE_E_OUT_OF_RANGE, calcore_input_quantile(&x, 1.0, &mean, &err));
        STATUS(CALCORE_E_NOT_FINITE, calcore_input_cdf(&x, check_nan(), &mean, &err));
        STATUS(CALCORE_E_NULL, calcore_input_cdf(NULL, 1.0, &mean, &err));
        STATUS(CALCORE_E_NULL, calcore_input_quantile(&x, 0.5, NULL, &err));
    }
    x = an_input(CALCORE_NORMAL, 3.0, 0.5);
    GOOD(calcore_input_moments(&x, &mean, &u, &err));
    x.p2 = -0.5;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_input_moments(&x, &mean, &u, &err));
    x = an_input(CALCORE_RECTANGULAR, 2.0, 1.0);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_input_moments(&x, &mean, &u, &err));
    x.kind = 0;
    STATUS(CALCORE_E_OPTION, calcore_input_moments(&x, &mean, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_input_moments(NULL, &mean, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_input_moments(&x, &mean, NULL, &err));
    CHECK(mean == 3.0 && u == 0.5);
    table_free(&gum);
}

/* The inputs of a worked budget of EA-4/02 M, in the unit in which it states the contributions. Two uncertainties come
 * from readings and are printed rounded: a pooled s of 25 mg over 3 readings (S2), and s^2 = 2.5e-14 over 5 readings (S3). */
static size_t ea402(const table *points, const char *of_case, double unit, calcore_input *inputs, double *sensitivities)
{
    size_t n = 0;
    size_t i;
    for (i = 0; i < points->rows; i++) {
        const char *shape = table_text(points, i, "shape");
        double half = table_number(points, i, "half_width");
        if (strcmp(table_text(points, i, "case"), of_case) != 0) {
            continue;
        }
        if (n == MOST) {
            abort();
        }
        sensitivities[n] = table_number(points, i, "sensitivity");
        /* Inputs without a unit have a sensitivity in ohm; the contributions are in milliohm. */
        if (strcmp(table_text(points, i, "u_unit"), "1") == 0) {
            sensitivities[n] *= unit;
        }
        if (strcmp(shape, "normal") == 0) {
            double u = table_number(points, i, "u");
            if (strcmp(table_text(points, i, "quantity"), "dm") == 0) {
                u = 25.0 / sqrt(3.0);
            } else if (strcmp(table_text(points, i, "quantity"), "r") == 0) {
                u = sqrt(2.5e-14 / 5.0);
            }
            inputs[n] = an_input(CALCORE_NORMAL, 0.0, u);
        } else {
            inputs[n] = an_input(strcmp(shape, "triangular") == 0 ? CALCORE_TRIANGULAR : CALCORE_RECTANGULAR, -half, half);
        }
        n++;
    }
    return n;
}

/* EA-4/02 M:2013, supplements S2 (mass, mg) and S3 (resistor, milliohm), with known sensitivities. */
static void from_contributions(const char *reference)
{
    static const struct {
        const char *name;
        const char *u;
        const char *expanded;
        size_t lines;
    } cases[] = {{"EA402-S2", "u_mg", "expanded_mg", 5}, {"EA402-S3", "u_mohm", "expanded_mohm", 6}};
    table points = table_read(reference, "ea402_budgets_points.csv");
    table results = table_read(reference, "ea402_budgets.csv");
    calcore_input inputs[MOST];
    calcore_contribution lines[MOST];
    double sensitivities[MOST];
    double correlation[4] = {1.0, 0.5, 0.5, 1.0};
    calcore_error err = check_error();
    size_t c;
    for (c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        size_t n = ea402(&points, cases[c].name, 1000.0, inputs, sensitivities);
        calcore_budget b = a_budget();
        double shares = 0.0;
        size_t i;
        CHECK(n == cases[c].lines);
        GOOD(calcore_budget_from_contributions(5.0, inputs, sensitivities, n, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines,
                                               &err));
        CHECK(b.size == sizeof b && b.value == 5.0 && b.coverage_factor == 2.0 && b.warnings == 0);
        CHECK(isinf(b.effective_degrees_of_freedom));
        CLOSE(cases[c].u, 0.0, b.standard_uncertainty, table_find(&results, cases[c].name, cases[c].u, "value"),
              table_find(&results, cases[c].name, cases[c].u, "tolerance"));
        CLOSE(cases[c].u, 0.0, b.standard_uncertainty, table_find(&results, cases[c].name, cases[c].u, "recomputed"), 2e-14);
        CLOSE(cases[c].expanded, 0.0, b.expanded_uncertainty,
              table_find(&results, cases[c].name, cases[c].expanded, "recomputed"), 4e-14);
        for (i = 0; i < n; i++) {
            shares += lines[i].share;
            CHECK(lines[i].kind == inputs[i].kind && lines[i].sensitivity == sensitivities[i]);
            CHECK(lines[i].contribution == lines[i].sensitivity * lines[i].standard_uncertainty);
        }
        CLOSE("sum of shares", 0.0, shares, 1.0, 1e-15);
    }
    {
        calcore_budget b = a_budget();
        /* Two of 3 and 4 with r = 0.5: 9 + 16 + 12 = 37. */
        inputs[0] = an_input(CALCORE_NORMAL, 0.0, 3.0);
        inputs[1] = an_input(CALCORE_NORMAL, 0.0, 4.0);
        inputs[0].degrees_of_freedom = 8.0;
        sensitivities[0] = sensitivities[1] = 1.0;
        GOOD(calcore_budget_from_contributions(0.0, inputs, sensitivities, 2, correlation, CALCORE_COVERAGE_PROBABILITY, 0.95,
                                               &b, NULL, &err));
        CLOSE("correlated", 0.0, b.standard_uncertainty, sqrt(37.0), 1e-15);
        CHECK(b.warnings == CALCORE_WARNING_CORRELATED_DEGREES_OF_FREEDOM && b.effective_degrees_of_freedom == 8.0);
        CHECK(b.coverage_probability == 0.95 && b.coverage_factor > 2.3);
        b.value = 7.0;
        correlation[1] = 2.0;
        STATUS(CALCORE_E_OUT_OF_RANGE,
               calcore_budget_from_contributions(0.0, inputs, sensitivities, 2, correlation, CALCORE_COVERAGE_PROBABILITY,
                                                 0.95, &b, NULL, &err));
        STATUS(CALCORE_E_NOT_FINITE,
               calcore_budget_from_contributions(check_nan(), inputs, sensitivities, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b,
                                                 NULL, &err));
        STATUS(CALCORE_E_OPTION, calcore_budget_from_contributions(0.0, inputs, sensitivities, 2, NULL, 2, 2.0, &b, NULL, &err));
        STATUS(CALCORE_E_NULL, calcore_budget_from_contributions(0.0, inputs, NULL, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b,
                                                                 NULL, &err));
        STATUS(CALCORE_E_NULL, calcore_budget_from_contributions(0.0, NULL, sensitivities, 2, NULL, CALCORE_COVERAGE_FACTOR,
                                                                 2.0, &b, NULL, &err));
        STATUS(CALCORE_E_NULL, calcore_budget_from_contributions(0.0, inputs, sensitivities, 2, NULL, CALCORE_COVERAGE_FACTOR,
                                                                 2.0, NULL, NULL, &err));
        CHECK(b.value == 7.0);
        b.size = 0;
        STATUS(CALCORE_E_STRUCT_SIZE, calcore_budget_from_contributions(0.0, inputs, sensitivities, 2, NULL,
                                                                        CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    }
    table_free(&points);
    table_free(&results);
}

/* EA-4/02 M:2013, S3, in ohm: (R_S + dR_D + dR_TS) r_C r - dR_TX. */
static calcore_status resistor(const double *x, size_t n, double *result, void *user)
{
    long *calls = (long *)user;
    ++*calls;
    if (n != 6) {
        return 1;
    }
    *result = (x[0] + x[1] + x[2]) * x[4] * x[5] - x[3];
    return CALCORE_OK;
}

static calcore_status sum(const double *x, size_t n, double *result, void *user)
{
    size_t i;
    (void)user;
    *result = 0.0;
    for (i = 0; i < n; i++) {
        *result += x[i];
    }
    return CALCORE_OK;
}

static calcore_status refuses(const double *x, size_t n, double *result, void *user)
{
    (void)x;
    (void)n;
    (void)result;
    (void)user;
    return 42;
}

static calcore_status says_nothing(const double *x, size_t n, double *result, void *user)
{
    (void)x;
    (void)n;
    (void)result;
    (void)user;
    return CALCORE_OK;
}

static void by_model(const char *reference)
{
    table results = table_read(reference, "ea402_budgets.csv");
    table gum = table_read(reference, "gum_small.csv");
    calcore_input inputs[MOST];
    calcore_contribution lines[MOST];
    double ones[MOST * MOST];
    calcore_error err = check_error();
    calcore_budget b = a_budget();
    long calls = 0;
    size_t i;
    inputs[0] = an_input(CALCORE_NORMAL, 10000.053, 2.5e-3);
    inputs[1] = an_input(CALCORE_RECTANGULAR, 0.010, 0.030);
    inputs[2] = an_input(CALCORE_RECTANGULAR, -2.75e-3, 2.75e-3);
    inputs[3] = an_input(CALCORE_RECTANGULAR, -5.5e-3, 5.5e-3);
    inputs[4] = an_input(CALCORE_TRIANGULAR, 1.0 - 1e-6, 1.0 + 1e-6);
    inputs[5] = an_input(CALCORE_NORMAL, 1.0000105, sqrt(2.5e-14 / 5.0));
    GOOD(calcore_propagate(resistor, &calls, inputs, 6, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CHECK(calls > 6);
    CLOSE("EA402-S3 value", 0.0, b.value, table_find(&results, "EA402-S3", "result_ohm", "recomputed"), 4e-12);
    CLOSE("EA402-S3 u", 0.0, 1e3 * b.standard_uncertainty, table_find(&results, "EA402-S3", "u_mohm", "value"), 0.005);
    /* Sensitivities by hand: about 1, and the resistance for the two ratios. */
    CLOSE("d/dR_TX", 3.0, lines[3].sensitivity, -1.0, 1e-10);
    CLOSE("d/dr", 5.0, lines[5].sensitivity, 10000.073, 1e-6);
    /* Without the lines, and with independent inputs said by a matrix: the same bits. */
    {
        calcore_budget again = a_budget();
        memset(ones, 0, sizeof ones);
        for (i = 0; i < 6; i++) {
            ones[7 * i] = 1.0;
        }
        GOOD(calcore_propagate(resistor, &calls, inputs, 6, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &again, NULL, &err));
        SAME("without lines", again.standard_uncertainty, b.standard_uncertainty);
        GOOD(calcore_propagate(resistor, &calls, inputs, 6, ones, CALCORE_COVERAGE_FACTOR, 2.0, &again, NULL, &err));
        SAME("unit matrix", again.standard_uncertainty, b.standard_uncertainty);
    }
    /* JCGM 100:2008, 5.2.2: ten resistors of 1000 ohm compared with one standard of u = 0.1 ohm. */
    for (i = 0; i < MOST; i++) {
        inputs[i] = an_input(CALCORE_NORMAL, 1000.0, 0.1);
    }
    for (i = 0; i < MOST * MOST; i++) {
        ones[i] = 1.0;
    }
    GOOD(calcore_propagate(sum, NULL, inputs, MOST, ones, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, NULL, &err));
    CLOSE("fully correlated", 0.0, b.standard_uncertainty, table_find(&gum, "GUM-5.2.2", "u_c_ohm", "recomputed"), 1e-10);
    GOOD(calcore_propagate(sum, NULL, inputs, MOST, NULL, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, NULL, &err));
    CLOSE("taken as independent", 0.0, b.standard_uncertainty,
          table_find(&gum, "GUM-5.2.2", "wrong_if_uncorrelated_ohm", "recomputed"), 1e-10);

    b.value = 7.0;
    STATUS(CALCORE_E_MODEL_FAILED,
           calcore_propagate(refuses, NULL, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CHECK(err.value == 42.0 && strstr(err.message, "42") != NULL);
    STATUS(CALCORE_E_MODEL_FAILED,
           calcore_propagate(says_nothing, NULL, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CHECK(isnan(err.value) && strstr(err.message, "x1 = 1000") != NULL);
    STATUS(CALCORE_E_NULL, calcore_propagate(NULL, NULL, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    STATUS(CALCORE_E_NULL, calcore_propagate(sum, NULL, NULL, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    STATUS(CALCORE_E_NULL, calcore_propagate(sum, NULL, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, NULL, lines, &err));
    STATUS(CALCORE_E_OPTION, calcore_propagate(sum, NULL, inputs, 2, NULL, 7, 2.0, &b, lines, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE,
           calcore_propagate(sum, NULL, inputs, 2, NULL, CALCORE_COVERAGE_PROBABILITY, 1.5, &b, lines, &err));
    inputs[1].degrees_of_freedom = 0.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_propagate(sum, NULL, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    inputs[1].kind = 99;
    STATUS(CALCORE_E_OPTION, calcore_propagate(sum, NULL, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CHECK(err.value == 99.0 && b.value == 7.0);
    table_free(&results);
    table_free(&gum);
}

void test_uncertainty(const char *reference)
{
    coverage(reference);
    moments(reference);
    from_contributions(reference);
    by_model(reference);
}
