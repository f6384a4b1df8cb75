/* Monte Carlo, several results, second order, evaluations of Type A and B, coverage of shapes and regions, reports. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRIALS = 100000 };

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

static calcore_status sum_of_arrays(const double *const *values, size_t n, size_t trials, double *results, void *user)
{
    size_t i;
    size_t k;
    (void)user;
    for (k = 0; k < trials; k++) {
        results[k] = 0.0;
        for (i = 0; i < n; i++) {
            results[k] += values[i][k];
        }
    }
    return CALCORE_OK;
}

static calcore_status writes_nothing(const double *const *values, size_t n, size_t trials, double *results, void *user)
{
    (void)values;
    (void)n;
    (void)trials;
    (void)results;
    (void)user;
    return CALCORE_OK;
}

static calcore_status refuses_arrays(const double *const *values, size_t n, size_t trials, double *results, void *user)
{
    (void)values;
    (void)n;
    (void)trials;
    (void)results;
    return *(const int32_t *)user;
}

static int32_t stop_at_half(uint64_t done, uint64_t total, void *user)
{
    *(uint64_t *)user = done;
    return 2 * done >= total ? 1 : 0;
}

static calcore_status sum_of_values(const double *x, size_t n, double *result, void *user)
{
    size_t i;
    (void)user;
    *result = 0.0;
    for (i = 0; i < n; i++) {
        *result += x[i];
    }
    return CALCORE_OK;
}

static void monte_carlo(void)
{
    static double values[TRIALS];
    calcore_error err = check_error();
    calcore_input four[4];
    calcore_monte_carlo_settings s;
    calcore_monte_carlo_result r;
    calcore_monte_carlo_result again;
    calcore_monte_carlo_validation v;
    calcore_budget b;
    int32_t status = 42;
    uint64_t done = 0;
    double mean = 0.0;
    size_t i;
    memset(&s, 0, sizeof s);
    memset(&r, 0, sizeof r);
    memset(&b, 0, sizeof b);
    memset(&v, 0, sizeof v);
    s.size = sizeof s;
    r.size = sizeof r;
    b.size = sizeof b;
    v.size = sizeof v;
    again = r;
    s.trials = TRIALS;
    s.seed = 1;
    /* JCGM 101:2008, 9.2.2: four standard normal inputs; u = 2.0, interval -3.92 to 3.92. */
    for (i = 0; i < 4; i++) {
        four[i] = an_input(CALCORE_NORMAL, 0.0, 1.0);
    }
    GOOD(calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, NULL, NULL, values, TRIALS, NULL, 0, &r, &err));
    CLOSE("u", 0.0, r.standard_uncertainty, 2.0, 4.0 * 2.0 / sqrt(2.0 * TRIALS));
    CLOSE("low", 0.0, r.interval_symmetric[0], -3.92, 0.005 + 4.0 * r.interval_symmetric_standard_error[0]);
    CLOSE("high", 0.0, r.interval[1], 3.92, 0.005 + 4.0 * r.interval_standard_error[1]);
    CHECK(r.trials == TRIALS && r.converged == -1 && isnan(r.tolerance) && r.coverage_probability == 0.95);
    for (i = 0; i < TRIALS; i++) {
        mean += values[i] / TRIALS;
    }
    CLOSE("mean of the values", 0.0, r.mean, mean, 1e-12);
    s.threads = 2;
    GOOD(calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
    SAME("two threads", again.interval[0], r.interval[0]);
    SAME("two threads", again.mean, r.mean);
    /* Clause 8: first order agrees for a linear model of normal inputs. */
    GOOD(calcore_propagate(sum_of_values, NULL, four, 4, NULL, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, NULL, &err));
    GOOD(calcore_monte_carlo_validates(&r, &b, 1, 1, &v, &err));
    CHECK(v.valid == 1 && v.enough_trials == 1 && v.tolerance == 0.5);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_monte_carlo_validates(&r, &b, 0, 0, &v, &err));
    b.coverage_probability = 0.9;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_monte_carlo_validates(&r, &b, 1, 0, &v, &err));
    s.digits = 1;
    s.trials = 1000000;
    GOOD(calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
    CHECK(again.converged == 1 && again.trials == 100000 && again.tolerance == 0.5);
    s.digits = 0;
    s.threads = 1;
    STATUS(CALCORE_E_CANCELLED,
           calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, stop_at_half, &done, NULL, 0, NULL, 0, &again, &err));
    CHECK(done == 500000);
    STATUS(CALCORE_E_MODEL_FAILED,
           calcore_monte_carlo(writes_nothing, NULL, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
    CHECK(strstr(err.message, "trial 0") != NULL);
    STATUS(CALCORE_E_MODEL_FAILED,
           calcore_monte_carlo(refuses_arrays, &status, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
    CHECK(err.value == 42.0);
    STATUS(CALCORE_E_NULL, calcore_monte_carlo(NULL, NULL, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH,
           calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, NULL, NULL, values, 10, NULL, 0, &again, &err));
    s.trials = 100;
    STATUS(CALCORE_E_TOO_FEW_POINTS,
           calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
    s.threads = -1;
    STATUS(CALCORE_E_OPTION,
           calcore_monte_carlo(sum_of_arrays, NULL, four, 4, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &again, &err));
}

static calcore_status first_of_arrays(const double *const *values, size_t n, size_t trials, double *results, void *user)
{
    (void)n;
    (void)user;
    memcpy(results, values[0], trials * sizeof *results);
    return CALCORE_OK;
}

static calcore_status both_above_two(const double *const *values, size_t n, size_t trials, double *results, void *user)
{
    size_t k;
    (void)n;
    ++*(size_t *)user;
    for (k = 0; k < trials; k++) {
        results[k] = values[0][k] > 2.0 && values[1][k] > 2.0 ? 1.0 : 0.0;
    }
    return CALCORE_OK;
}

/* Counted once more from the values themselves. */
static void histogram(void)
{
    enum { CLASSES = 25 };
    static double values[TRIALS];
    uint64_t counts[CLASSES] = {0};
    uint64_t again[CLASSES] = {0};
    calcore_error err = check_error();
    calcore_input one = an_input(CALCORE_NORMAL, 5.0, 2.0);
    calcore_monte_carlo_settings s;
    calcore_monte_carlo_result r;
    size_t i;
    memset(&s, 0, sizeof s);
    memset(&r, 0, sizeof r);
    s.size = sizeof s;
    r.size = sizeof r;
    s.trials = TRIALS;
    GOOD(calcore_monte_carlo(first_of_arrays, NULL, &one, 1, NULL, &s, NULL, NULL, values, TRIALS, counts, CLASSES, &r, &err));
    CHECK(r.histogram_classes == CLASSES);
    for (i = 0; i < TRIALS; i++) {
        size_t place = (size_t)((values[i] - r.histogram_low) * (CLASSES / (r.histogram_high - r.histogram_low)));
        CHECK(values[i] >= r.histogram_low && values[i] <= r.histogram_high);
        again[place < CLASSES ? place : CLASSES - 1]++;
    }
    CHECK(memcmp(counts, again, sizeof counts) == 0);
    CHECK(counts[0] < counts[CLASSES / 2] && counts[CLASSES - 1] < counts[CLASSES / 2]);
    GOOD(calcore_monte_carlo(first_of_arrays, NULL, &one, 1, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r, &err));
    CHECK(isnan(r.histogram_low) && isnan(r.histogram_high) && r.histogram_classes == 0);
}

/* tests/reference/multivariate_t.csv, 4 degrees of freedom, coefficient 0, limit 2: 0.007748593 with one chi-squared variable
   for both; the square of P(x > 2) = 0.058058 without. Four standard errors. */
static void readings_taken_together(void)
{
    calcore_error err = check_error();
    calcore_input two[2];
    calcore_monte_carlo_settings s;
    calcore_monte_carlo_result r;
    calcore_monte_carlo_result here;
    int32_t groups[2] = {3, 3};
    size_t calls = 0;
    size_t i;
    memset(&s, 0, sizeof s);
    memset(&r, 0, sizeof r);
    s.size = sizeof s;
    r.size = sizeof r;
    here = r;
    s.trials = 200000;
    for (i = 0; i < 2; i++) {
        two[i] = an_input(CALCORE_NORMAL, 0.0, 1.0);
        two[i].degrees_of_freedom = 4.0;
    }
    GOOD(calcore_monte_carlo(both_above_two, &calls, two, 2, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r, &err));
    CLOSE("apart", 0.0, r.mean, 0.058058 * 0.058058, 4.0 * sqrt(0.0034 / 200000.0));
    s.multivariate_t = groups;
    GOOD(calcore_monte_carlo(both_above_two, &calls, two, 2, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r, &err));
    CLOSE("together", 0.0, r.mean, 0.007748593, 4.0 * sqrt(0.0077 / 200000.0));
    /* On the calling thread, which alone counts its calls. */
    s.threads = 3;
    s.model_on_calling_thread = 1;
    calls = 0;
    GOOD(calcore_monte_carlo(both_above_two, &calls, two, 2, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &here, &err));
    CHECK(calls == 20);
    SAME("on the calling thread", here.mean, r.mean);
    SAME("on the calling thread", here.standard_uncertainty, r.standard_uncertainty);
    two[1].degrees_of_freedom = 5.0;
    STATUS(CALCORE_E_INVALID_VALUE,
           calcore_monte_carlo(both_above_two, &calls, two, 2, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r, &err));
    groups[1] = -1;
    STATUS(CALCORE_E_OPTION,
           calcore_monte_carlo(both_above_two, &calls, two, 2, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r, &err));
    groups[1] = 0;
    s.model_on_calling_thread = 7;
    STATUS(CALCORE_E_OPTION,
           calcore_monte_carlo(both_above_two, &calls, two, 2, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r, &err));
}

static calcore_status product(const double *x, size_t n, double *result, void *user)
{
    (void)n;
    (void)user;
    *result = x[0] * x[1];
    return CALCORE_OK;
}

static calcore_status product_and_first(const double *x, size_t n, double *results, size_t m, void *user)
{
    (void)user;
    if (n != 2 || m != 2) {
        return 1;
    }
    results[0] = x[0] * x[1];
    results[1] = x[0];
    return CALCORE_OK;
}

static void beyond_one_result(void)
{
    calcore_error err = check_error();
    calcore_input two[2];
    calcore_budget b;
    double value[2];
    double nu[2];
    double k[2];
    double slopes[4];
    double covariance[4];
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    two[0] = an_input(CALCORE_NORMAL, 2.0, 0.3);
    two[1] = an_input(CALCORE_RECTANGULAR, 1.0, 3.0);
    /* Variance of a product of independent quantities: 4/3 + 4 * 0.09, and 0.09/3 to second order. */
    GOOD(calcore_propagate_second_order(product, NULL, two, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("u", 2.0, b.standard_uncertainty, sqrt(4.0 / 3.0 + 0.36 + 0.03), 1e-11);
    CLOSE("second order", 2.0, b.second_order_variance, 0.03, 1e-11);
    CLOSE("shift", 2.0, b.expectation_shift, 0.0, 1e-11);
    GOOD(calcore_propagate_many(product_and_first, NULL, two, 2, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, value, nu, k,
                                slopes, covariance, &err));
    CHECK(value[0] == 4.0 && value[1] == 2.0 && isinf(nu[0]) && k[1] == 2.0);
    CLOSE("slope", 0.0, slopes[1], 2.0, 1e-10);
    CLOSE("covariance", 0.0, covariance[1], 2.0 * 0.09, 1e-10);
    CLOSE("variance", 0.0, covariance[3], 0.09, 1e-10);
    SAME("symmetric", covariance[1], covariance[2]);
    GOOD(calcore_propagate_many(product_and_first, NULL, two, 2, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, NULL, NULL, NULL,
                                NULL, NULL, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_propagate_many(product_and_first, NULL, two, 2, 0, NULL, CALCORE_COVERAGE_FACTOR,
                                                            2.0, NULL, NULL, NULL, NULL, NULL, &err));
    STATUS(CALCORE_E_MODEL_FAILED, calcore_propagate_many(product_and_first, NULL, two, 2, 3, NULL, CALCORE_COVERAGE_FACTOR,
                                                          2.0, NULL, NULL, NULL, NULL, NULL, &err));
}

static void evaluations(void)
{
    const double readings[3] = {20.1, 20.3, 20.2};
    const double s[2] = {1.0, 2.0};
    const double freedom[2] = {3.0, 1.0};
    double alternating[20];
    calcore_error err = check_error();
    calcore_type_a a;
    calcore_input made;
    double x = 0.0;
    double nu = 0.0;
    int i;
    memset(&a, 0, sizeof a);
    a.size = sizeof a;
    GOOD(calcore_mean_of(readings, 3, 0.0, &a, &err));
    CLOSE("mean", 0.0, a.mean, 20.2, 1e-13);
    CLOSE("u", 0.0, a.standard_uncertainty, 0.1 / sqrt(3.0), 1e-13);
    CHECK(a.degrees_of_freedom == 2.0 && a.limited_by_resolution == 0);
    GOOD(calcore_mean_of(readings, 3, 1.0, &a, &err));
    CLOSE("u", 1.0, a.standard_uncertainty, 1.0 / sqrt(12.0), 1e-15);
    CHECK(a.limited_by_resolution == 1);
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_mean_of(readings, 1, 0.0, &a, &err));
    for (i = 0; i < 20; i++) {
        alternating[i] = i % 2 == 0 ? -1.0 : 1.0;
    }
    GOOD(calcore_mean_of_autocorrelated(alternating, 20, 0.0, &a, &err));
    CHECK(a.effective_readings == 20.0);
    GOOD(calcore_mean_with_known_scatter(readings, 1, 0.3, 40.0, 0.0, &a, &err));
    CHECK(a.standard_uncertainty == 0.3 && a.degrees_of_freedom == 40.0);
    /* (3 * 1 + 1 * 4)/4. */
    GOOD(calcore_pooled(s, freedom, 2, &x, &nu, &err));
    CLOSE("pooled", 0.0, x, sqrt(7.0 / 4.0), 1e-15);
    CHECK(nu == 4.0);
    /* JCGM 100:2008, 4.3.3 and 4.3.4. */
    GOOD(calcore_input_from_expanded(0.0, 240.0, 3.0, check_infinity(), &made, &err));
    CHECK(made.kind == CALCORE_NORMAL && made.p2 == 80.0);
    GOOD(calcore_input_from_level(0.0, 129.0, 0.99, check_infinity(), &made, &err));
    CLOSE("4.3.4", 0.0, made.p2, 50.0, 0.5);
    GOOD(calcore_input_from_resolution(20.0, 0.5, &made, &err));
    CHECK(made.kind == CALCORE_RECTANGULAR && made.p1 == 19.75 && made.p2 == 20.25);
    GOOD(calcore_input_from_drift(100.0, 100.5, 0.5, &made, &err));
    CHECK(made.p1 == -0.25 && made.p2 == 0.25);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_input_from_expanded(0.0, 1.0, 0.0, check_infinity(), &made, &err));
}

static void factors(void)
{
    const double beta = 0.15 / 0.35;
    const double closed = (1.0 - sqrt(0.05 * (1.0 - beta * beta))) / sqrt((1.0 + beta * beta) / 6.0);
    calcore_error err = check_error();
    calcore_contribution two[2];
    double k = 0.0;
    /* EA-4/02 M:2022, S10.14. */
    GOOD(calcore_trapezoid_coverage_factor(0.25, 0.10, 0.95, &k, &err));
    CLOSE("trapezoid", 0.95, k, closed, 1e-13);
    memset(two, 0, sizeof two);
    two[0].kind = two[1].kind = CALCORE_RECTANGULAR;
    two[0].degrees_of_freedom = two[1].degrees_of_freedom = check_infinity();
    two[0].contribution = 0.25 / sqrt(3.0);
    two[1].contribution = -0.10 / sqrt(3.0);
    GOOD(calcore_coverage_factor_of_shapes(two, 2, 0.95, &k, &err));
    CLOSE("shapes", 0.95, k, closed, 1e-12);
    GOOD(calcore_hyper_ellipse_factor(0.95, 2, &k, &err));
    CLOSE("ellipse", 0.95, k, sqrt(-2.0 * log(0.05)), 1e-13);
    GOOD(calcore_hyper_rectangle_factor(0.95, 2, &k, &err));
    CLOSE("rectangle (scipy.stats.norm)", 0.95, k, 2.241402727604947, 1e-12);
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_hyper_rectangle_factor(0.95, 0, &k, &err));
    /* scipy.stats.t. */
    GOOD(calcore_student_quantile(0.975, 10.0, &k, &err));
    CLOSE("Student", 10.0, k, 2.228138851986274, 1e-12);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_student_quantile(1.0, 10.0, &k, &err));
}

static void reports(void)
{
    calcore_error err = check_error();
    calcore_reported r;
    char text[40];
    size_t needed = 0;
    memset(&r, 0, sizeof r);
    r.size = sizeof r;
    /* JCGM 100:2008, 7.2.6: 10.057 62 with 0.027 is stated as 10.058. */
    GOOD(calcore_report(10.05762, 0.027, 2, CALCORE_ROUND_NEAREST, 0.01, &r, &err));
    CHECK(r.value == 10.058 && r.uncertainty == 0.027 && r.last_digit == -3 && r.finer_than_resolution == 1);
    GOOD(calcore_report_text(10.05762, 0.027, 2, CALCORE_ROUND_NEAREST, text, sizeof text, &needed, &err));
    CHECK(strcmp(text, "10.058 \xc2\xb1 0.027") == 0 && needed == strlen(text) + 1);
    GOOD(calcore_report(100.0, 10.47, 2, CALCORE_ROUND_UP, 0.0, &r, &err));
    CHECK(r.uncertainty == 11.0);
    GOOD(calcore_report(100.0, 10.47, 2, CALCORE_ROUND_NO_MORE_THAN_FIVE_PERCENT_DOWN, 0.0, &r, &err));
    CHECK(r.uncertainty == 10.0);
    STATUS(CALCORE_E_OPTION, calcore_report(1.0, 0.1, 2, 9, 0.0, &r, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_report(1.0, 0.1, 3, CALCORE_ROUND_NEAREST, 0.0, &r, &err));
    STATUS(CALCORE_E_BUFFER_TOO_SMALL,
           calcore_report_text(1.0, 0.1, 2, CALCORE_ROUND_NEAREST, text, 3, &needed, &err));
}

void test_monte_carlo(void)
{
    monte_carlo();
    histogram();
    readings_taken_together();
    beyond_one_result();
    evaluations();
    factors();
    reports();
}
