/* Measurement models against sensitivities with more digits (tests/oracle/measurement_models.py), and many points. */
#include "check.h"

#include <math.h>
#include <string.h>

enum { TERMS = 3, POINTS = 4 };

static calcore_term a_term(int32_t place, double coefficient)
{
    calcore_term term;
    memset(&term, 0, sizeof term);
    term.place = place;
    term.coefficient = coefficient;
    return term;
}

static calcore_input a_normal(double mean, double u, double degrees_of_freedom)
{
    calcore_input x;
    memset(&x, 0, sizeof x);
    x.kind = CALCORE_NORMAL;
    x.p1 = mean;
    x.p2 = u;
    x.degrees_of_freedom = degrees_of_freedom;
    return x;
}

static calcore_at_points same(double one)
{
    calcore_at_points at;
    at.each = NULL;
    at.one = one;
    return at;
}

static calcore_budget a_budget(void)
{
    calcore_budget b;
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    return b;
}

/* The case "platinum_cold" of tests/reference/measurement_models.csv: ohm, leads, immersion. */
static calcore_measurement_model *platinum(void)
{
    calcore_error err = check_error();
    calcore_term terms[TERMS];
    calcore_cvd *cvd = NULL;
    calcore_curve *curve = NULL;
    calcore_measurement_model *model = NULL;
    terms[0] = a_term(CALCORE_TERM_READING, 1.0);
    terms[1] = a_term(CALCORE_TERM_READING, -2.0);
    terms[2] = a_term(CALCORE_TERM_RESULT, 1.0);
    GOOD(calcore_cvd_iec60751(100.0, &cvd, &err));
    GOOD(calcore_curve_from_cvd(cvd, &curve, &err));
    GOOD(calcore_measurement_model_new(CALCORE_MODEL_TEMPERATURE, curve, terms, TERMS, 1.0, &model, &err));
    calcore_curve_free(curve);
    calcore_cvd_free(cvd);
    return model;
}

static void budget_of_the_table(void)
{
    calcore_error err = check_error();
    calcore_measurement_model *model = platinum();
    calcore_budget b = a_budget();
    calcore_contribution lines[TERMS];
    calcore_input inputs[TERMS];
    const double matrix[9] = {1.0, 1.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, 1.0};
    double together;
    inputs[0] = a_normal(60.2, 0.002, 5.0);
    inputs[1] = a_normal(0.05, 0.001, check_infinity());
    inputs[2] = a_normal(-0.03, 0.01, check_infinity());
    GOOD(calcore_measurement_model_budget(model, inputs, TERMS, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CLOSE("value", 60.2, b.value, -100.4144628008118943614, 3e-13);
    CLOSE("sensitivity to ohm", 60.2, lines[0].sensitivity, 2.466811846223918823418, 3e-14);
    CLOSE("sensitivity to leads", 60.2, lines[1].sensitivity, -4.933623692447837646837, 6e-14);
    CLOSE("u", 60.2, b.standard_uncertainty, 0.01219349357146528689705, 1e-16);
    CLOSE("degrees of freedom", 60.2, b.effective_degrees_of_freedom, 186.5600007710485757826, 1e-11);
    /* Contributions of 0.00493 and -0.00493 that go together cancel: what is left is the immersion. */
    GOOD(calcore_measurement_model_budget(model, inputs, TERMS, matrix, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    together = b.standard_uncertainty;
    CLOSE("cancelling", 60.2, together, 0.01, 1e-15);

    b.value = 7.0;
    STATUS(CALCORE_E_LENGTH_MISMATCH,
           calcore_measurement_model_budget(model, inputs, 2, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    inputs[0].p1 = 900.0;
    STATUS(CALCORE_E_OUT_OF_RANGE,
           calcore_measurement_model_budget(model, inputs, 3, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    STATUS(CALCORE_E_NULL,
           calcore_measurement_model_budget(NULL, inputs, 3, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CHECK(b.value == 7.0);
    calcore_measurement_model_free(model);
}

static void many_points(void)
{
    calcore_error err = check_error();
    calcore_measurement_model *model = platinum();
    double ohm[POINTS] = {60.2, 100.1, 138.6055, 900.0};
    double values[POINTS] = {7.0, 7.0, 7.0, 7.0};
    double u[POINTS];
    double k[POINTS];
    double contributions[TERMS * POINTS];
    calcore_point_input inputs[TERMS];
    int i;
    for (i = 0; i < TERMS; i++) {
        inputs[i].estimate = same(i == 1 ? 0.05 : 0.0);
        inputs[i].standard_uncertainty = same(i == 0 ? 0.002 : 0.0);
        inputs[i].degrees_of_freedom = same(check_infinity());
    }
    inputs[0].estimate.each = ohm;
    STATUS(CALCORE_E_OUT_OF_RANGE,
           calcore_measurement_model_at_points(model, inputs, TERMS, POINTS, NULL, CALCORE_COVERAGE_FACTOR, 2.0,
                                               CALCORE_STRICT, values, NULL, NULL, NULL, NULL, NULL, &err));
    CHECK(err.index == 3 && err.count == 1 && values[0] == 7.0);
    GOOD(calcore_measurement_model_at_points(model, inputs, TERMS, POINTS, NULL, CALCORE_COVERAGE_FACTOR, 2.0,
                                             CALCORE_INVALID_NAN, values, u, NULL, k, NULL, contributions, &err));
    /* 100 ohm is 0 degC, slope R0 A; 138.5055 ohm is 100 degC, slope R0 (A + 200 B); IEC 60751:2022, clause 4. */
    CLOSE("value", ohm[1], values[1], 0.0, 1e-13);
    CLOSE("u", ohm[1], u[1], 0.002 / 0.39083, 1e-16);
    CLOSE("value", ohm[2], values[2], 100.0, 3e-13);
    CLOSE("contribution", ohm[2], contributions[2], 0.002 / 0.37928, 1e-16);
    CHECK(values[3] != values[3] && u[3] != u[3] && contributions[3] != contributions[3]);
    CHECK(k[0] == 2.0 && contributions[POINTS] == 0.0);
    /* Every input the same at all points: the one result stands for all. */
    inputs[0].estimate = same(100.1);
    GOOD(calcore_measurement_model_at_points(model, inputs, TERMS, POINTS, NULL, CALCORE_COVERAGE_FACTOR, 2.0,
                                             CALCORE_STRICT, values, u, NULL, NULL, NULL, contributions, &err));
    CHECK(values[3] == values[0] && u[3] == u[0] && contributions[3] == contributions[0]);
    CHECK(contributions[3] == u[3] && contributions[2 * POINTS + 3] == 0.0);
    STATUS(CALCORE_E_OPTION,
           calcore_measurement_model_at_points(model, inputs, TERMS, POINTS, NULL, CALCORE_COVERAGE_FACTOR, 2.0, 8,
                                               values, NULL, NULL, NULL, NULL, NULL, &err));
    GOOD(calcore_measurement_model_at_points(model, inputs, TERMS, 0, NULL, CALCORE_COVERAGE_FACTOR, 2.0,
                                             CALCORE_STRICT, NULL, NULL, NULL, NULL, NULL, NULL, &err));
    calcore_measurement_model_free(model);
}

/* The rows of the table and of IEC 60751:2022, clause 4, as trials: 60.2 ohm less twice 0.05, and 138.5055 ohm. */
static void trials_of_the_model(void)
{
    calcore_measurement_model *model = platinum();
    double ohm[2] = {60.2, 138.5055};
    double leads[2] = {0.05, 0.0};
    double immersion[2] = {-0.03, 0.0};
    const double *columns[TERMS];
    double results[2] = {0.0, 0.0};
    columns[0] = ohm;
    columns[1] = leads;
    columns[2] = immersion;
    CHECK(calcore_measurement_model_trials(columns, TERMS, 2, results, model) == CALCORE_OK);
    CLOSE("trial", 60.2, results[0], -100.4144628008118943614, 3e-13);
    CLOSE("trial", 138.5055, results[1], 100.0, 3e-13);
    CHECK(calcore_measurement_model_trials(columns, TERMS - 1, 2, results, model) == CALCORE_E_LENGTH_MISMATCH);
    CHECK(calcore_measurement_model_trials(columns, TERMS, 2, NULL, model) == CALCORE_E_NULL);
    CHECK(calcore_measurement_model_trials(columns, TERMS, 2, results, NULL) == CALCORE_E_NULL);
    ohm[1] = 400.0; /* above 390.48 ohm, the resistance at 850 degC */
    CHECK(calcore_measurement_model_trials(columns, TERMS, 2, results, model) == CALCORE_E_OUT_OF_RANGE);
    calcore_measurement_model_free(model);
}

/* Monte Carlo stands up to the budget: u to four standard errors of 200 000 trials, where the reading is Student's t with 50
   degrees of freedom, whose standard deviation is root(50/48) of its scale. */
static void monte_carlo_of_the_model(void)
{
    calcore_error err = check_error();
    calcore_measurement_model *model = platinum();
    calcore_input inputs[TERMS];
    calcore_monte_carlo_settings s;
    calcore_monte_carlo_result r;
    calcore_monte_carlo_result again;
    double u;
    memset(&s, 0, sizeof s);
    memset(&r, 0, sizeof r);
    s.size = sizeof s;
    r.size = sizeof r;
    again = r;
    s.trials = 200000;
    inputs[0] = a_normal(60.2, 0.002, 50.0);
    inputs[1] = a_normal(0.05, 0.001, check_infinity());
    inputs[2] = a_normal(-0.03, 0.01, check_infinity());
    GOOD(calcore_monte_carlo(calcore_measurement_model_trials, model, inputs, TERMS, NULL, &s, NULL, NULL, NULL, 0, NULL, 0, &r,
                             &err));
    /* Sensitivities of the table above. */
    u = sqrt(pow(2.466811846223918823418 * 0.002, 2.0) * 50.0 / 48.0 + pow(4.933623692447837646837 * 0.001, 2.0) + 1e-4);
    CLOSE("mean", 60.2, r.mean, -100.4144628008118943614, 4.0 * u / sqrt(200000.0));
    CLOSE("u", 60.2, r.standard_uncertainty, u, 4.0 * u / sqrt(400000.0));
    s.threads = 3;
    GOOD(calcore_monte_carlo(calcore_measurement_model_trials, model, inputs, TERMS, NULL, &s, NULL, NULL, NULL, 0, NULL, 0,
                             &again, &err));
    SAME("three threads", again.mean, r.mean);
    SAME("three threads", again.interval[1], r.interval[1]);
    inputs[0].p1 = 390.0;
    inputs[0].p2 = 10.0;
    STATUS(CALCORE_E_MODEL_FAILED,
           calcore_monte_carlo(calcore_measurement_model_trials, model, inputs, TERMS, NULL, &s, NULL, NULL, NULL, 0, NULL, 0,
                               &again, &err));
    CHECK(err.value == (double)CALCORE_E_OUT_OF_RANGE);
    STATUS(CALCORE_E_MODEL_FAILED,
           calcore_monte_carlo(calcore_measurement_model_trials, NULL, inputs, TERMS, NULL, &s, NULL, NULL, NULL, 0, NULL, 0,
                               &again, &err));
    CHECK(err.value == (double)CALCORE_E_NULL);
    calcore_measurement_model_free(model);
}

static void impossible_models(void)
{
    calcore_error err = check_error();
    calcore_measurement_model *model = NULL;
    calcore_term term = a_term(CALCORE_TERM_JUNCTION, 1.0);
    STATUS(CALCORE_E_INVALID_VALUE,
           calcore_measurement_model_new(CALCORE_MODEL_LINEAR, NULL, &term, 1, 1.0, &model, &err));
    STATUS(CALCORE_E_NULL,
           calcore_measurement_model_new(CALCORE_MODEL_TEMPERATURE, NULL, &term, 1, 1.0, &model, &err));
    STATUS(CALCORE_E_OPTION, calcore_measurement_model_new(7, NULL, &term, 1, 1.0, &model, &err));
    term.place = 9;
    STATUS(CALCORE_E_OPTION, calcore_measurement_model_new(CALCORE_MODEL_LINEAR, NULL, &term, 1, 1.0, &model, &err));
    term = a_term(CALCORE_TERM_READING, 1.0);
    STATUS(CALCORE_E_NOT_FINITE,
           calcore_measurement_model_new(CALCORE_MODEL_LINEAR, NULL, &term, 1, check_nan(), &model, &err));
    CHECK(model == NULL);
    calcore_measurement_model_free(NULL);
}

void test_measurement_model(void)
{
    budget_of_the_table();
    many_points();
    trials_of_the_model();
    monte_carlo_of_the_model();
    impossible_models();
}
