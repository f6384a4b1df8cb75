/* Verdicts and probabilities: JCGM 106:2012, 7.3 and 7.4; ILAC-G8:09/2019, table 1. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static calcore_decision_rule a_rule(int32_t rule, int32_t kind, double guard_band)
{
    calcore_decision_rule r;
    memset(&r, 0, sizeof r);
    r.size = sizeof r;
    r.rule = rule;
    r.guard_band_kind = kind;
    r.guard_band = guard_band;
    r.coverage_factor = 2.0;
    return r;
}

static calcore_decision a_decision(void)
{
    calcore_decision d;
    memset(&d, 0, sizeof d);
    d.size = sizeof d;
    d.verdict = 77;
    return d;
}

/* Recomputed with 50 digits: a probability may miss by a few roundings of the tails. */
static void published(const char *reference)
{
    static const char *const multiples[] = {"0", "0.83", "1", "1.5", "3"};
    static const double w[] = {0.0, 0.83, 1.0, 1.5, 3.0};
    table points = table_read(reference, "jcgm106_points.csv");
    table results = table_read(reference, "jcgm106.csv");
    table rules = table_read(reference, "decision_rules.csv");
    calcore_error err = check_error();
    double p = 7.0;
    size_t i;
    GOOD(calcore_probability_of_conformity(table_find(&points, "C106-zener", "y", "value"),
                                           table_find(&points, "C106-zener", "u", "value"), -INFINITY,
                                           table_find(&points, "C106-zener", "t_u", "value"), &p, &err));
    CLOSE("C106-zener", 0.0, p, table_find(&results, "C106-zener", "p_c", "value"), 0.005);
    /* y and T are decimals near 5.4: their difference, 0.07, is off by 1e-15 and 1.4 u of it by 2e-14. */
    CLOSE("C106-zener", 0.0, p, table_find(&results, "C106-zener", "p_c", "recomputed"), 1e-14);
    GOOD(calcore_probability_of_conformity(table_find(&points, "C106-oil", "y", "value"),
                                           table_find(&points, "C106-oil", "u", "value"),
                                           table_find(&points, "C106-oil", "t_l", "value"),
                                           table_find(&points, "C106-oil", "t_u", "value"), &p, &err));
    CLOSE("C106-oil", 0.0, p, table_find(&results, "C106-oil", "p_c", "recomputed"), 1e-15);
    /* ILAC-G8, table 1: risk of a value on the acceptance limit, w as a multiple of U with k = 2. */
    for (i = 0; i < sizeof w / sizeof w[0]; i++) {
        calcore_decision_rule rule = a_rule(CALCORE_RULE_GUARDED_ACCEPTANCE, CALCORE_GUARD_BAND_EXPANDED, w[i]);
        calcore_decision d = a_decision();
        char quantity[64];
        double want;
        sprintf(quantity, "risk_at_limit_w_%s_u", multiples[i]);
        want = table_find(&rules, "ILAC-G8-table", quantity, "recomputed");
        GOOD(calcore_decide(-2.0 * w[i], 1.0, -INFINITY, 0.0, &rule, &d, &err));
        CHECK(d.verdict == CALCORE_PASS && d.guard_band == 2.0 * w[i]);
        CHECK(isinf(d.acceptance_lower) && d.acceptance_lower < 0.0 && d.acceptance_upper == -2.0 * w[i]);
        /* A few roundings, and that of the argument z = 2 w, which the slope of log Phi amplifies by about z^2. */
        CLOSE(quantity, w[i], d.probability_of_nonconformity, want, (4.0 + 4.0 * w[i] * w[i]) * 1.2e-16 * want);
        CLOSE(quantity, w[i], d.probability_of_conformity, 1.0 - want, 2e-16);
    }
    table_free(&points);
    table_free(&results);
    table_free(&rules);
}

/* Limits at -1 and 1, guard band 0.2: every rule at every kind of place. */
static void verdicts(void)
{
    enum { PLACES = 4 };
    static const double place[PLACES] = {0.5, 0.9, 1.1, 1.5};
    static const struct {
        int32_t rule;
        int32_t verdict[PLACES];
        double acceptance;
    } rows[] = {
        {CALCORE_RULE_SIMPLE, {CALCORE_PASS, CALCORE_PASS, CALCORE_FAIL, CALCORE_FAIL}, 1.0},
        {CALCORE_RULE_GUARDED_ACCEPTANCE, {CALCORE_PASS, CALCORE_FAIL, CALCORE_FAIL, CALCORE_FAIL}, 0.8},
        {CALCORE_RULE_GUARDED_REJECTION, {CALCORE_NO_FAIL, CALCORE_NO_FAIL, CALCORE_NO_FAIL, CALCORE_FAIL}, 1.2},
        {CALCORE_RULE_PROOF_OF_CONFORMITY, {CALCORE_PASS, CALCORE_NO_PASS, CALCORE_NO_PASS, CALCORE_NO_PASS}, 0.8},
        {CALCORE_RULE_FOUR_STATE,
         {CALCORE_PASS, CALCORE_CONDITIONAL_PASS, CALCORE_CONDITIONAL_FAIL, CALCORE_FAIL},
         0.8},
    };
    calcore_error err = check_error();
    size_t i;
    size_t k;
    for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        calcore_decision_rule rule = a_rule(rows[i].rule, CALCORE_GUARD_BAND_WIDTH, 0.2);
        for (k = 0; k < PLACES; k++) {
            calcore_decision d = a_decision();
            GOOD(calcore_decide(place[k], 0.1, -1.0, 1.0, &rule, &d, &err));
            CHECK(d.verdict == rows[i].verdict[k]);
            CLOSE("acceptance limit", place[k], d.acceptance_upper, rows[i].acceptance, 0.0);
            CLOSE("acceptance limit", place[k], d.acceptance_lower, -rows[i].acceptance, 0.0);
            GOOD(calcore_decide(-place[k], 0.1, -1.0, 1.0, &rule, &d, &err));
            CHECK(d.verdict == rows[i].verdict[k]);
        }
    }
    {
        /* By risk: 2.5 % is 1.96 u (normal quantile 1.959963984540054). */
        calcore_decision_rule rule = a_rule(CALCORE_RULE_GUARDED_ACCEPTANCE, CALCORE_GUARD_BAND_RISK, 0.025);
        calcore_decision d = a_decision();
        GOOD(calcore_decide(0.0, 0.1, -1.0, 1.0, &rule, &d, &err));
        CLOSE("guard band by risk", 0.025, d.guard_band, 0.1959963984540054, 1e-16);
        /* Null: simple acceptance. */
        GOOD(calcore_decide(1.0, 0.1, -1.0, 1.0, NULL, &d, &err));
        CHECK(d.verdict == CALCORE_PASS && d.guard_band == 0.0);
    }
}

static void refused(void)
{
    calcore_error err = check_error();
    calcore_decision_rule rule = a_rule(CALCORE_RULE_FOUR_STATE, CALCORE_GUARD_BAND_WIDTH, -0.2);
    calcore_decision d = a_decision();
    double p = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_decide(0.0, 0.1, -1.0, 1.0, &rule, &d, &err));
    rule.guard_band_kind = 3;
    STATUS(CALCORE_E_OPTION, calcore_decide(0.0, 0.1, -1.0, 1.0, &rule, &d, &err));
    rule = a_rule(5, CALCORE_GUARD_BAND_WIDTH, 0.2);
    STATUS(CALCORE_E_OPTION, calcore_decide(0.0, 0.1, -1.0, 1.0, &rule, &d, &err));
    rule = a_rule(CALCORE_RULE_FOUR_STATE, CALCORE_GUARD_BAND_RISK, 1.5);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_decide(0.0, 0.1, -1.0, 1.0, &rule, &d, &err));
    rule.size = 4;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_decide(0.0, 0.1, -1.0, 1.0, &rule, &d, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_decide(check_nan(), 0.1, -1.0, 1.0, NULL, &d, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_decide(0.0, 0.1, check_nan(), 1.0, NULL, &d, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_decide(0.0, -0.1, -1.0, 1.0, NULL, &d, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_decide(0.0, 0.1, 1.0, -1.0, NULL, &d, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_decide(0.0, 0.1, -INFINITY, INFINITY, NULL, &d, &err));
    STATUS(CALCORE_E_NULL, calcore_decide(0.0, 0.1, -1.0, 1.0, NULL, NULL, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_probability_of_conformity(0.0, 0.1, -INFINITY, INFINITY, &p, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_probability_of_conformity(0.0, -0.1, -1.0, 1.0, &p, &err));
    STATUS(CALCORE_E_NULL, calcore_probability_of_conformity(0.0, 0.1, -1.0, 1.0, NULL, &err));
    CHECK(d.verdict == 77 && p == 7.0);
}

/* Ratios and guard bands by formula; 2 U = 0.25 of a tolerance of 2 gives 4 or 8. */
static void ratios(const char *reference)
{
    static const char *const cases[] = {"case_1", "case_2", "case_3"};
    table points = table_read(reference, "en_numbers_points.csv");
    table results = table_read(reference, "en_numbers.csv");
    table rules = table_read(reference, "decision_rules.csv");
    static const double tur[] = {1.0, 2.0, 4.0};
    static const char *const method[] = {"1_m", "2_m", "4_m"};
    calcore_error err = check_error();
    double x = 7.0;
    size_t i;
    GOOD(calcore_test_uncertainty_ratio(-1.0, 1.0, 0.25, &x, &err));
    SAME("test uncertainty ratio", x, 4.0);
    GOOD(calcore_test_accuracy_ratio(-1.0, 1.0, 0.125, &x, &err));
    SAME("test accuracy ratio", x, 8.0);
    GOOD(calcore_measurement_capability_index(-1.0, 1.0, 0.125, &x, &err));
    SAME("measurement capability index", x, 4.0);
    for (i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *of = cases[i];
        GOOD(calcore_e_n(table_find(&points, of, "x", "value"), table_find(&points, of, "expanded_x", "value"),
                         table_find(&points, of, "reference", "value"),
                         table_find(&points, of, "expanded_reference", "value"), 0.0, &x, &err));
        CLOSE(of, (double)i, x, table_find(&results, of, "e_n", "value"), 1e-12);
    }
    /* Z540.3, method 6: recomputed with 50 digits, and M U with U = T/TUR. */
    for (i = 0; i < sizeof tur / sizeof tur[0]; i++) {
        double m = table_find(&rules, "Z540.3-method6", method[i], "recomputed");
        GOOD(calcore_method_6_multiplier(tur[i], &x, &err));
        CLOSE(method[i], tur[i], x, m, 4e-16);
        GOOD(calcore_guard_band_method_6(-1.0, 1.0, 1.0 / tur[i], &x, &err));
        CLOSE(method[i], tur[i], x, m / tur[i], 4e-16);
    }
    /* 1 - 0.6 of a right triangle with sides 3, 4, 5. */
    GOOD(calcore_guard_band_root_difference(-1.0, 1.0, 0.8, &x, &err));
    CLOSE("root difference", 0.8, x, 0.4, 2e-16);

    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_test_uncertainty_ratio(-1.0, 1.0, 0.0, &x, &err));
    STATUS(CALCORE_E_UNDETERMINED, calcore_test_accuracy_ratio(-INFINITY, 1.0, 0.1, &x, &err));
    STATUS(CALCORE_E_UNDETERMINED, calcore_measurement_capability_index(-INFINITY, 1.0, 0.1, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_e_n(1.0, 0.1, 1.0, 0.1, -1.5, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_method_6_multiplier(0.0, &x, &err));
    STATUS(CALCORE_E_UNDETERMINED, calcore_guard_band_method_6(-INFINITY, 1.0, 0.1, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_guard_band_root_difference(-1.0, 1.0, 1.5, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_e_n(1.0, 0.1, 1.0, 0.1, 0.0, NULL, &err));
    CHECK(x == 7.0);
    table_free(&points);
    table_free(&results);
    table_free(&rules);
}

/* One item of a population, before and after it is measured. */
static void populations(void)
{
    calcore_error err = check_error();
    calcore_input process;
    double mean = 7.0;
    double deviation = 7.0;
    double inside = 7.0;
    double outside = 7.0;
    memset(&process, 0, sizeof process);
    process.kind = CALCORE_NORMAL;
    process.p1 = 0.0;
    process.p2 = 3.0;
    process.degrees_of_freedom = INFINITY;
    /* JCGM 106:2012, 6.2: weights 9/25 and 16/25; 3 times 4 over 5. */
    GOOD(calcore_after_measurement(&process, 25.0, 4.0, &mean, &deviation, &err));
    CLOSE("mean after measurement", 25.0, mean, 9.0, 4e-15);
    CLOSE("deviation after measurement", 25.0, deviation, 2.4, 1e-15);
    /* 95.4499736103641585 % of a normal distribution lie within two standard deviations. */
    GOOD(calcore_conformity(&process, -6.0, 6.0, &inside, &outside, &err));
    CLOSE("inside", 6.0, inside, 0.9544997361036416, 4e-16);
    CLOSE("outside", 6.0, outside, 0.0455002638963584, 1e-16);
    /* The other way round: 2 over 2; slope of the quantile there about 9, times a rounding of the probability. */
    GOOD(calcore_process_in_tolerance(-2.0, 2.0, 0.9544997361036416, CALCORE_IN_TOLERANCE_TRUE, 0.0, &mean, &deviation,
                                      &err));
    SAME("mean of the process", mean, 0.0);
    CLOSE("deviation of the process", 2.0, deviation, 1.0, 4e-15);
    /* Observed: what was measured scatters by 1, of which the measurement has 0.6; 0.8 is left. */
    GOOD(calcore_process_in_tolerance(-2.0, 2.0, 0.9544997361036416, CALCORE_IN_TOLERANCE_OBSERVED, 0.6, &mean,
                                      &deviation, &err));
    CLOSE("deviation of the process", 0.6, deviation, 0.8, 6e-15);

    mean = deviation = inside = outside = 7.0;
    STATUS(CALCORE_E_OPTION, calcore_process_in_tolerance(-2.0, 2.0, 0.9, 3, 0.0, &mean, &deviation, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE,
           calcore_process_in_tolerance(-2.0, 2.0, 1.5, CALCORE_IN_TOLERANCE_TRUE, 0.0, &mean, &deviation, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_after_measurement(&process, 25.0, -4.0, &mean, &deviation, &err));
    STATUS(CALCORE_E_NULL, calcore_after_measurement(NULL, 25.0, 4.0, &mean, &deviation, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_conformity(&process, -INFINITY, INFINITY, &inside, &outside, &err));
    STATUS(CALCORE_E_NULL, calcore_conformity(&process, -1.0, 1.0, NULL, &outside, &err));
    CHECK(mean == 7.0 && deviation == 7.0 && inside == 7.0 && outside == 7.0);
}

void test_decision(const char *reference)
{
    published(reference);
    verdicts();
    ratios(reference);
    populations();
    refused();
}
