/* Budgets changed by the names of their sources; evaluations of Type B. Sums of squares are those of whole-numbered right
 * triangles: 3, 4, 5 and 5, 12, 13. */
#include "job.h"

#include <math.h>

static calcore_input normal(double u)
{
    calcore_input x;
    memset(&x, 0, sizeof x);
    x.kind = CALCORE_NORMAL;
    x.p2 = u;
    x.degrees_of_freedom = check_infinity();
    return x;
}

static double u_of(const calcore_named_budget *budget)
{
    calcore_error err = check_error();
    SIZED(calcore_budget, b);
    GOOD(calcore_named_budget_describe(budget, &b, &err));
    CHECK(b.value == 20.0 && b.coverage_factor == 2.0 && b.expanded_uncertainty == 2.0 * b.standard_uncertainty);
    return b.standard_uncertainty;
}

static calcore_named_budget *three_and_four(const double *correlation)
{
    const char *names[2] = {"a", "b"};
    const double c[2] = {1.0, 1.0};
    calcore_error err = check_error();
    calcore_named_budget *budget = NULL;
    calcore_input inputs[2];
    inputs[0] = normal(3.0);
    inputs[1] = normal(4.0);
    GOOD(calcore_named_budget_new(20.0, names, inputs, c, 2, correlation, CALCORE_COVERAGE_FACTOR, 2.0, &budget, &err));
    return budget;
}

/* The lines are added, replaced, taken out and picked by name; the budget that they come from stays. */
static void edited(void)
{
    const char *picked[2] = {"c", "a"};
    calcore_error err = check_error();
    calcore_named_budget *budget = three_and_four(NULL);
    calcore_named_budget *wider = NULL;
    calcore_named_budget *other = NULL;
    calcore_input twelve = normal(12.0);
    calcore_input flat;
    calcore_contribution lines[3];
    char name[8];
    size_t needed = 0;
    size_t count = 0;
    CHECK(u_of(budget) == 5.0);
    GOOD(calcore_named_budget_with(budget, "c", &twelve, 1.0, CALCORE_COVERAGE_FACTOR, 2.0, &wider, &err));
    CHECK(u_of(wider) == 13.0 && u_of(budget) == 5.0);
    GOOD(calcore_named_budget_count(wider, &count, &err));
    CHECK(count == 3);
    GOOD(calcore_named_budget_lines(wider, lines, 3, &err));
    CHECK(lines[2].kind == CALCORE_NORMAL && lines[2].contribution == 12.0);
    CLOSE("share of 12 in 13", 0.0, lines[2].share, 144.0 / 169.0, 1e-15);
    GOOD(calcore_named_budget_name(wider, 2, name, sizeof name, &needed, &err));
    CHECK(strcmp(name, "c") == 0 && needed == 2);
    GOOD(calcore_named_budget_contribution(wider, "b", lines, &err));
    CHECK(lines[0].contribution == 4.0);

    memset(&flat, 0, sizeof flat);
    flat.kind = CALCORE_RECTANGULAR;
    flat.p1 = -1.0;
    flat.p2 = 1.0;
    /* A sensitivity of nothing. */
    GOOD(calcore_named_budget_with_replaced(wider, "c", &flat, 0.0, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    CHECK(u_of(other) == 5.0);
    calcore_named_budget_free(other);
    GOOD(calcore_named_budget_without(wider, "c", CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    CHECK(u_of(other) == 5.0);
    calcore_named_budget_free(other);
    GOOD(calcore_named_budget_part(wider, picked, 2, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    CLOSE("12 and 3", 0.0, u_of(other), sqrt(153.0), 2e-15);
    GOOD(calcore_named_budget_name(other, 0, name, sizeof name, &needed, &err));
    CHECK(strcmp(name, "c") == 0);
    calcore_named_budget_free(other);
    other = NULL;

    STATUS(CALCORE_E_UNKNOWN_NAME,
           calcore_named_budget_with(wider, "c", &twelve, 1.0, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_named_budget_without(wider, "z", CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    CHECK(strstr(err.message, "a, b, c") != NULL);
    STATUS(CALCORE_E_UNKNOWN_NAME,
           calcore_named_budget_with_replaced(wider, "z", &twelve, 1.0, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    picked[1] = "z";
    STATUS(CALCORE_E_UNKNOWN_NAME,
           calcore_named_budget_part(wider, picked, 2, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    picked[1] = NULL;
    STATUS(CALCORE_E_NULL, calcore_named_budget_part(wider, picked, 2, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_named_budget_contribution(wider, "z", lines, &err));
    STATUS(CALCORE_E_OPTION, calcore_named_budget_without(wider, "c", 7, 2.0, &other, &err));
    STATUS(CALCORE_E_NULL, calcore_named_budget_with(NULL, "c", &twelve, 1.0, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    STATUS(CALCORE_E_NULL, calcore_named_budget_with(wider, "d", NULL, 1.0, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    STATUS(CALCORE_E_INDEX, calcore_named_budget_name(wider, 3, name, sizeof name, &needed, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_named_budget_lines(wider, lines, 2, &err));
    CHECK(other == NULL);
    calcore_named_budget_free(wider);
    calcore_named_budget_free(budget);
    calcore_named_budget_free(NULL);
}

/* Correlated sources are not made independent in silence: 9 + 16 + 2 * 0.5 * 12 = 37. */
static void correlated(void)
{
    const double half[4] = {1.0, 0.5, 0.5, 1.0};
    const double impossible[4] = {1.0, 2.0, 2.0, 1.0};
    const char *names[2] = {"a", "b"};
    const char *strangers[1] = {"z"};
    const double c[2] = {1.0, 1.0};
    calcore_error err = check_error();
    calcore_named_budget *budget = three_and_four(half);
    calcore_named_budget *independent = three_and_four(NULL);
    calcore_named_budget *other = NULL;
    const calcore_named_budget *both[2];
    calcore_contribution lines[2];
    calcore_input inputs[2];
    double covariance[4];
    CLOSE("correlated", 0.0, u_of(budget), sqrt(37.0), 2e-15);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_named_budget_without(budget, "a", CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    inputs[0] = inputs[1] = normal(1.0);
    CHECK(calcore_named_budget_new(0.0, names, inputs, c, 2, impossible, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err) !=
          CALCORE_OK);
    /* The lines of one budget under other names, made anew with their correlation. */
    GOOD(calcore_named_budget_lines(budget, lines, 2, &err));
    GOOD(calcore_named_budget_from_lines(20.0, names, lines, 2, half, CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    SAME("made anew", u_of(other), u_of(budget));
    /* All sources in common: the covariance is 25 without and 37 with the correlation. */
    both[0] = independent;
    both[1] = independent;
    GOOD(calcore_named_budget_covariance(both, 2, NULL, covariance, &err));
    CHECK(covariance[0] == 25.0 && covariance[1] == 25.0 && covariance[2] == 25.0 && covariance[3] == 25.0);
    both[0] = budget;
    both[1] = other;
    GOOD(calcore_named_budget_covariance(both, 2, half, covariance, &err));
    CHECK(covariance[1] == 37.0 && covariance[2] == 37.0);
    calcore_named_budget_free(other);
    other = NULL;
    GOOD(calcore_named_budget_without(independent, "a", CALCORE_COVERAGE_FACTOR, 2.0, &other, &err));
    both[1] = other;
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_named_budget_covariance(both, 2, NULL, covariance, &err));
    both[0] = independent;
    /* One source of two in common, which the second budget lacks or has: its variance, 0 or what is left. */
    GOOD(calcore_named_budget_shared_covariance(both, 2, names, 1, covariance, &err));
    CHECK(covariance[0] == 25.0 && covariance[1] == 0.0 && covariance[2] == 0.0);
    GOOD(calcore_named_budget_shared_covariance(both, 2, names + 1, 1, covariance, &err));
    CHECK(covariance[1] == covariance[3] && covariance[2] == covariance[3] && covariance[3] > 0.0);
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_named_budget_shared_covariance(both, 2, strangers, 1, covariance, &err));
    calcore_named_budget_free(other);
    calcore_named_budget_free(independent);
    calcore_named_budget_free(budget);
}

/* 0.4267 and 0.09654 rounded by JCGM 100:2008, 7.2.6; two rectangles of 0.25 and 0.1 by EA-4/02 M:2022, S10.14: a trapezoid of
 * beta = 0.15/0.35, k = (1 - sqrt((1 - p)(1 - beta^2))) / sqrt((1 + beta^2)/6). */
static void said(void)
{
    const double beta = 0.15 / 0.35;
    const char *names[2] = {"axial", "radial"};
    const double c[2] = {1.0, 1.0};
    calcore_error err = check_error();
    calcore_named_budget *budget = NULL;
    calcore_named_budget *shaped = NULL;
    calcore_input inputs[2];
    char text[64];
    size_t needed = 0;
    SIZED(calcore_budget, b);
    inputs[0] = normal(0.04827);
    GOOD(calcore_named_budget_new(0.4267, names, inputs, c, 1, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &budget, &err));
    GOOD(calcore_named_budget_statement(budget, "K", 2, CALCORE_ROUND_NEAREST, text, sizeof text, &needed, &err));
    CHECK(strcmp(text, "0.427 K \xc2\xb1 0.097 K (k = 2.00, 95.45 %)") == 0 && needed == strlen(text) + 1);
    STATUS(CALCORE_E_OPTION, calcore_named_budget_statement(budget, "K", 2, 9, text, sizeof text, &needed, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE,
           calcore_named_budget_statement(budget, "K", 3, CALCORE_ROUND_NEAREST, text, sizeof text, &needed, &err));
    STATUS(CALCORE_E_NULL,
           calcore_named_budget_statement(budget, NULL, 2, CALCORE_ROUND_NEAREST, text, sizeof text, &needed, &err));
    calcore_named_budget_free(budget);
    GOOD(calcore_input_from_half_width(0.0, 0.25, &inputs[0], &err));
    GOOD(calcore_input_from_half_width(0.0, 0.1, &inputs[1], &err));
    CHECK(inputs[0].kind == CALCORE_RECTANGULAR && inputs[0].p1 == -0.25 && inputs[0].p2 == 0.25);
    GOOD(calcore_named_budget_new(180.0, names, inputs, c, 2, NULL, CALCORE_COVERAGE_PROBABILITY, 0.95, &budget, &err));
    GOOD(calcore_named_budget_with_coverage_of_shapes(budget, 0.95, &shaped, &err));
    GOOD(calcore_named_budget_describe(shaped, &b, &err));
    CLOSE("k of a trapezoid", 0.95, b.coverage_factor,
          (1.0 - sqrt(0.05 * (1.0 - beta * beta))) / sqrt((1.0 + beta * beta) / 6.0), 1e-9);
    calcore_named_budget_free(shaped);
    shaped = NULL;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_named_budget_with_coverage_of_shapes(budget, 1.0, &shaped, &err));
    CHECK(shaped == NULL);
    calcore_named_budget_free(budget);
}

static void type_b(void)
{
    calcore_error err = check_error();
    calcore_input x;
    double u = 7.0;
    double mean = 7.0;
    double nu = 7.0;
    double skewness = 7.0;
    double kurtosis = 7.0;
    /* JCGM 100:2008, G.4.2: known to a quarter, 8; H.1.6: to a tenth, 50. */
    GOOD(calcore_degrees_of_freedom_of_doubt(0.25, &nu, &err));
    CHECK(nu == 8.0);
    GOOD(calcore_degrees_of_freedom_of_doubt(0.1, &nu, &err));
    CLOSE("known to a tenth", 0.1, nu, 50.0, 1e-13);
    GOOD(calcore_degrees_of_freedom_of_doubt(0.0, &nu, &err));
    CHECK(isinf(nu));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_degrees_of_freedom_of_doubt(-0.1, &nu, &err));
    /* JCGM 101:2008, 6.4.4 and 6.4.5: two equal steps make a triangle, q/sqrt 6; in general the variances q^2/12 add. */
    GOOD(calcore_input_from_resolution_of_difference(0.1, 0.1, &x, &err));
    GOOD(calcore_input_moments(&x, &mean, &u, &err));
    CLOSE("two equal steps", 0.1, u, 0.1 / sqrt(6.0), 1e-16);
    GOOD(calcore_input_from_resolution_of_difference(0.1, 0.5, &x, &err));
    GOOD(calcore_input_moments(&x, &mean, &u, &err));
    CLOSE("two steps", 0.5, u, sqrt(0.26 / 12.0), 1e-16);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_input_from_resolution_of_difference(0.1, -0.5, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_input_from_half_width(0.0, -0.5, &x, &err));
    /* NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.2 and 1.3.6.6.7: uniform 0 and 9/5; exponential 2 and 9, both less
     * the 3 of a normal distribution. */
    GOOD(calcore_input_from_half_width(5.0, 0.5, &x, &err));
    GOOD(calcore_input_higher_moments(&x, &skewness, &kurtosis, &err));
    CHECK(skewness == 0.0 && kurtosis == -1.2);
    x.kind = CALCORE_EXPONENTIAL;
    x.p1 = 2.0;
    GOOD(calcore_input_higher_moments(&x, &skewness, &kurtosis, &err));
    CHECK(skewness == 2.0 && kurtosis == 6.0);
    x = normal(1.0);
    x.degrees_of_freedom = 3.0; /* Student's t: no fourth moment up to 4 degrees of freedom. */
    GOOD(calcore_input_higher_moments(&x, &skewness, &kurtosis, &err));
    CHECK(isnan(kurtosis));
    STATUS(CALCORE_E_NULL, calcore_input_higher_moments(NULL, &skewness, &kurtosis, &err));
}

/* The budget of a point of a run by its names: without the shared lines the rest is what the instrument adds itself. */
static void of_a_result(const char *path)
{
    size_t size = 0;
    char *json = file_read(path, &size);
    calcore_error err = check_error();
    calcore_run *run = job_run(json);
    calcore_result *result = NULL;
    calcore_named_budget *budget = NULL;
    calcore_named_budget *less = NULL;
    calcore_contribution line;
    char name[128];
    size_t needed = 0;
    SIZED(calcore_budget, b);
    SIZED(calcore_budget, by_names);
    SIZED(calcore_budget, after);
    GOOD(calcore_run_evaluate(run, &result, &err));
    GOOD(calcore_result_budget(result, 0, 1, &b, &err));
    GOOD(calcore_result_named_budget(result, 0, 1, &budget, &err));
    GOOD(calcore_named_budget_describe(budget, &by_names, &err));
    SAME("the same budget", by_names.expanded_uncertainty, b.expanded_uncertainty);
    GOOD(calcore_result_text(result, CALCORE_TEXT_CONTRIBUTION, 0, 1, 0, name, sizeof name, &needed, &err));
    GOOD(calcore_named_budget_contribution(budget, name, &line, &err));
    GOOD(calcore_named_budget_without(budget, name, CALCORE_COVERAGE_FACTOR, 2.0, &less, &err));
    GOOD(calcore_named_budget_describe(less, &after, &err));
    CLOSE("less one line", 0.0, after.standard_uncertainty,
          sqrt(b.standard_uncertainty * b.standard_uncertainty - line.contribution * line.contribution), 1e-15);
    STATUS(CALCORE_E_INDEX, calcore_result_named_budget(result, 0, 99, &budget, &err));
    calcore_named_budget_free(less);
    calcore_named_budget_free(budget);
    calcore_result_free(result);
    calcore_run_free(run);
    free(json);
}

void test_named_budget(const char *run)
{
    edited();
    correlated();
    said();
    type_b();
    of_a_result(run);
}
