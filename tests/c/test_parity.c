/* Replay of what the core computed: every line of DIRECTORY/NAME.txt holds the arguments and the results of one call, as
 * the 16 hexadecimal digits of their bits. A name that this file does not know is a failure, so that no file is left out
 * unseen. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 32 };

typedef struct replay {
    const char *name;
    size_t inputs;
    size_t outputs;
    calcore_status (*call)(const double *x, double *y, calcore_error *err);
} replay;

/* Runs the rest of a body only while all went well. */
#define TRY(call)                    \
    do {                             \
        status = (call);             \
        if (status != CALCORE_OK) {  \
            return status;           \
        }                            \
    } while (0)

typedef calcore_status (*on_cvd)(const calcore_cvd *curve, double x, double *y, calcore_error *err);

static calcore_status with_pt100(const double *x, double *y, calcore_error *err, on_cvd call)
{
    calcore_cvd *curve = NULL;
    calcore_status status = calcore_cvd_iec60751(100.0, &curve, err);
    if (status == CALCORE_OK) {
        status = call(curve, x[0], y, err);
    }
    calcore_cvd_free(curve);
    return status;
}

static calcore_status with_coefficients(const double *x, double *y, calcore_error *err, on_cvd call)
{
    calcore_cvd *curve = NULL;
    calcore_status status = calcore_cvd_new(x[0], x[1], x[2], x[3], &curve, err);
    if (status == CALCORE_OK) {
        status = call(curve, x[4], y, err);
    }
    calcore_cvd_free(curve);
    return status;
}

static calcore_status iec60751_resistance(const double *x, double *y, calcore_error *err)
{
    return with_pt100(x, y, err, calcore_cvd_resistance);
}

static calcore_status iec60751_temperature(const double *x, double *y, calcore_error *err)
{
    return with_pt100(x, y, err, calcore_cvd_temperature);
}

static calcore_status iec60751_slope(const double *x, double *y, calcore_error *err)
{
    return with_pt100(x, y, err, calcore_cvd_slope);
}

static calcore_status cvd_resistance(const double *x, double *y, calcore_error *err)
{
    return with_coefficients(x, y, err, calcore_cvd_resistance);
}

static calcore_status cvd_temperature(const double *x, double *y, calcore_error *err)
{
    return with_coefficients(x, y, err, calcore_cvd_temperature);
}

static calcore_status fahrenheit(const double *x, double *y, calcore_error *err)
{
    calcore_status status;
    TRY(calcore_temperature_from_c(CALCORE_FAHRENHEIT, x[0], &y[0], err));
    return calcore_temperature_to_c(CALCORE_FAHRENHEIT, y[0], &y[1], err);
}

static calcore_status current_loop(const double *x, double *y, calcore_error *err)
{
    calcore_status status;
    calcore_current_loop range;
    memset(&range, 0, sizeof range);
    range.size = sizeof range;
    TRY(calcore_current_loop_init(x[0], x[1], &range, err));
    TRY(calcore_current_loop_current(&range, x[2], &y[0], err));
    return calcore_current_loop_value(&range, y[0], &y[1], err);
}

static calcore_status tolerance_a_wire_wound(const double *x, double *y, calcore_error *err)
{
    return calcore_tolerance_iec60751("A", x[0], CALCORE_WIRE_WOUND, y, err);
}

static calcore_status steady(const double *x, double *y, calcore_error *err)
{
    double time_s[10];
    calcore_steadiness s;
    calcore_status status;
    int i;
    memset(&s, 0, sizeof s);
    s.size = sizeof s;
    for (i = 0; i < 10; i++) {
        time_s[i] = 10.0 * i;
    }
    TRY(calcore_steady(time_s, x, 10, 60.0, 0.05, 0.01, &s, err));
    y[0] = s.span;
    y[1] = s.slope_per_min;
    y[2] = s.standard_uncertainty;
    return CALCORE_OK;
}

static calcore_status coverage_factor(const double *x, double *y, calcore_error *err)
{
    return calcore_coverage_factor(x[0], x[1], y, err);
}

static calcore_status welch_satterthwaite(const double *x, double *y, calcore_error *err)
{
    double u[3];
    double nu[3];
    int i;
    for (i = 0; i < 3; i++) {
        u[i] = x[2 * i];
        nu[i] = x[2 * i + 1];
    }
    return calcore_welch_satterthwaite(u, nu, 3, y, err);
}

static calcore_status decide_guarded(const double *x, double *y, calcore_error *err)
{
    calcore_decision_rule rule;
    calcore_decision d;
    calcore_status status;
    memset(&rule, 0, sizeof rule);
    memset(&d, 0, sizeof d);
    rule.size = sizeof rule;
    rule.rule = CALCORE_RULE_GUARDED_ACCEPTANCE;
    rule.guard_band_kind = CALCORE_GUARD_BAND_WIDTH;
    rule.guard_band = x[4];
    d.size = sizeof d;
    TRY(calcore_decide(x[0], x[1], x[2], x[3], &rule, &d, err));
    y[0] = d.probability_of_conformity;
    y[1] = d.acceptance_lower;
    y[2] = d.acceptance_upper;
    return CALCORE_OK;
}

static calcore_input process_between(int32_t kind, double p1, double p2)
{
    calcore_input process;
    memset(&process, 0, sizeof process);
    process.kind = kind;
    process.p1 = p1;
    process.p2 = p2;
    process.degrees_of_freedom = INFINITY;
    return process;
}

static calcore_status risk(const double *x, double *y, calcore_error *err)
{
    calcore_input process = process_between(CALCORE_NORMAL, x[0], x[1]);
    calcore_risk_result r;
    calcore_status status;
    memset(&r, 0, sizeof r);
    r.size = sizeof r;
    TRY(calcore_risk(x[3], x[4], &process, x[2], x[5], &r, err));
    y[0] = r.false_accept;
    y[1] = r.false_reject;
    y[2] = r.true_reject;
    return CALCORE_OK;
}

static calcore_status risk_rectangular(const double *x, double *y, calcore_error *err)
{
    calcore_input process = process_between(CALCORE_RECTANGULAR, x[0], x[1]);
    calcore_risk_result r;
    calcore_status status;
    memset(&r, 0, sizeof r);
    r.size = sizeof r;
    TRY(calcore_risk(x[3], x[4], &process, x[2], 0.0, &r, err));
    y[0] = r.false_accept;
    y[1] = r.false_reject;
    return CALCORE_OK;
}

static calcore_status guard_band_2_percent(const double *x, double *y, calcore_error *err)
{
    calcore_input process = process_between(CALCORE_NORMAL, 0.0, x[0]);
    return calcore_guard_band_for_global_risk(-1.0, 1.0, &process, x[1], 0.02, CALCORE_FALSE_ACCEPT_JOINT, 0, y, err);
}

static calcore_status guard_band_specific(const double *x, double *y, calcore_error *err)
{
    return calcore_guard_band_for_specific_risk(-1.0, 1.0, x[0], x[1], x[2], y, err);
}

static calcore_status product_and_sum(const double *q, size_t n, double *result, void *user)
{
    (void)user;
    if (n != 3) {
        return 1;
    }
    *result = q[0] * q[1] + q[2];
    return CALCORE_OK;
}

static calcore_status propagate(const double *x, double *y, calcore_error *err)
{
    calcore_input inputs[3];
    calcore_budget b;
    calcore_status status;
    int i;
    memset(inputs, 0, sizeof inputs);
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    for (i = 0; i < 3; i++) {
        inputs[i].kind = CALCORE_NORMAL;
        inputs[i].p1 = x[i];
        inputs[i].p2 = x[3 + i];
        inputs[i].degrees_of_freedom = check_infinity();
    }
    TRY(calcore_propagate(product_and_sum, NULL, inputs, 3, NULL, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, NULL, err));
    y[0] = b.value;
    y[1] = b.standard_uncertainty;
    y[2] = b.expanded_uncertainty;
    return CALCORE_OK;
}

static calcore_status sum_of_three(const double *const *values, size_t n, size_t trials, double *results, void *user)
{
    size_t k;
    (void)n;
    (void)user;
    for (k = 0; k < trials; k++) {
        results[k] = values[0][k] + values[1][k] + values[2][k];
    }
    return CALCORE_OK;
}

static calcore_status monte_carlo(const double *x, double *y, calcore_error *err)
{
    static const double together[9] = {1.0, 0.4, 0.0, 0.4, 1.0, 0.0, 0.0, 0.0, 1.0};
    static const int32_t groups[3] = {1, 1, 0};
    calcore_input inputs[3];
    calcore_monte_carlo_settings s;
    calcore_monte_carlo_result r;
    calcore_status status;
    uint64_t counts[4];
    int i;
    memset(inputs, 0, sizeof inputs);
    memset(&s, 0, sizeof s);
    memset(&r, 0, sizeof r);
    s.size = sizeof s;
    r.size = sizeof r;
    for (i = 0; i < 2; i++) {
        inputs[i].kind = CALCORE_STUDENT_T;
        inputs[i].p1 = i == 0 ? x[0] : 0.0;
        inputs[i].p2 = x[1];
        inputs[i].degrees_of_freedom = 5.0;
    }
    inputs[2].kind = CALCORE_RECTANGULAR;
    inputs[2].p1 = -x[2];
    inputs[2].p2 = x[2];
    inputs[2].degrees_of_freedom = check_infinity();
    s.trials = 5000;
    s.seed = (uint64_t)x[3];
    s.threads = 2;
    s.multivariate_t = groups;
    TRY(calcore_monte_carlo(sum_of_three, NULL, inputs, 3, together, &s, NULL, NULL, NULL, 0, counts, 4, &r, err));
    y[0] = r.mean;
    y[1] = r.standard_uncertainty;
    for (i = 0; i < 2; i++) {
        y[2 + i] = r.interval[i];
        y[4 + i] = r.interval_symmetric[i];
    }
    y[6] = r.histogram_low;
    y[7] = r.histogram_high;
    for (i = 0; i < 4; i++) {
        y[8 + i] = (double)counts[i];
    }
    return CALCORE_OK;
}

/* One point by a budget, and the same point as an array of one. */
static calcore_status budget_and_points(const calcore_measurement_model *model, const double *x, double *y,
                                        calcore_error *err)
{
    calcore_input inputs[3];
    calcore_point_input points[3];
    calcore_contribution lines[3];
    calcore_budget b;
    calcore_status status;
    double again[8];
    double mean;
    double u;
    int i;
    memset(inputs, 0, sizeof inputs);
    memset(points, 0, sizeof points);
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    inputs[0].kind = inputs[1].kind = CALCORE_NORMAL;
    inputs[0].p1 = x[0];
    inputs[0].p2 = x[1];
    inputs[0].degrees_of_freedom = x[2];
    inputs[1].p1 = x[3];
    inputs[1].p2 = x[4];
    inputs[1].degrees_of_freedom = check_infinity();
    inputs[2].kind = CALCORE_RECTANGULAR;
    inputs[2].p1 = -x[5];
    inputs[2].p2 = x[5];
    TRY(calcore_measurement_model_budget(model, inputs, 3, NULL, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, lines, err));
    y[0] = b.value;
    y[1] = b.standard_uncertainty;
    y[2] = b.effective_degrees_of_freedom;
    y[3] = b.coverage_factor;
    y[4] = b.expanded_uncertainty;
    for (i = 0; i < 3; i++) {
        TRY(calcore_input_moments(inputs + i, &mean, &u, err));
        points[i].estimate.one = mean;
        points[i].standard_uncertainty.one = u;
        points[i].degrees_of_freedom.one = i == 0 ? x[2] : check_infinity();
        y[5 + i] = lines[i].contribution;
    }
    points[0].estimate.each = x;
    TRY(calcore_measurement_model_at_points(model, points, 3, 1, NULL, CALCORE_COVERAGE_PROBABILITY, 0.95,
                                            CALCORE_STRICT, again, again + 1, again + 2, again + 3, again + 4,
                                            again + 5, err));
    CHECK(memcmp(y, again, sizeof again) == 0);
    return CALCORE_OK;
}

static calcore_status measurement_model(const double *x, double *y, calcore_error *err)
{
    calcore_term terms[3];
    calcore_cvd *pt100 = NULL;
    calcore_curve *curve = NULL;
    calcore_measurement_model *model = NULL;
    calcore_status status;
    memset(terms, 0, sizeof terms);
    terms[0].place = CALCORE_TERM_READING;
    terms[0].coefficient = 1.0;
    terms[1].place = CALCORE_TERM_DIVISOR;
    terms[1].coefficient = 0.01;
    terms[2].place = CALCORE_TERM_RESULT;
    terms[2].coefficient = 1.0;
    status = calcore_cvd_iec60751(100.0, &pt100, err);
    if (status == CALCORE_OK) {
        status = calcore_curve_from_cvd(pt100, &curve, err);
    }
    calcore_cvd_free(pt100);
    if (status == CALCORE_OK) {
        status = calcore_measurement_model_new(CALCORE_MODEL_TEMPERATURE, curve, terms, 3, 1.0, &model, err);
    }
    calcore_curve_free(curve);
    if (status == CALCORE_OK) {
        status = budget_and_points(model, x, y, err);
    }
    calcore_measurement_model_free(model);
    return status;
}

static calcore_status temperature_block(const double *x, double *y, calcore_error *err)
{
    calcore_temperature_block_sources s;
    calcore_budget b;
    calcore_status status;
    memset(&s, 0, sizeof s);
    memset(&b, 0, sizeof b);
    s.size = sizeof s;
    b.size = sizeof b;
    s.reference_expanded_k = x[1];
    s.reference_coverage_factor = x[2];
    s.reference_drift_half_width_k = x[3];
    s.indicator_resolution_k = x[4];
    s.axial_half_width_k = x[5];
    s.radial_half_width_k = x[6];
    s.loading_half_width_k = x[7];
    s.stability_half_width_k = x[8];
    s.hysteresis_half_width_k = x[9];
    s.immersion_half_width_k = x[10];
    TRY(calcore_temperature_block_budget(x[0], &s, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, NULL, err));
    y[0] = b.standard_uncertainty;
    y[1] = b.expanded_uncertainty;
    return CALCORE_OK;
}

static calcore_status rtd_comparison(const double *x, double *y, calcore_error *err)
{
    calcore_rtd_comparison_sources s;
    calcore_budget b;
    calcore_status status;
    memset(&s, 0, sizeof s);
    memset(&b, 0, sizeof b);
    s.size = sizeof s;
    b.size = sizeof b;
    s.reference_standard_k = x[1];
    s.reference_degrees_of_freedom = x[2];
    s.stability_half_width_k = x[3];
    s.uniformity_half_width_k = x[4];
    s.hysteresis_half_width_k = x[5];
    s.self_heating_half_width_k = x[6];
    s.immersion_half_width_k = x[7];
    s.slope_ohm_per_k = x[8];
    s.meter_expanded_ohm = x[9];
    s.meter_coverage_factor = x[10];
    s.meter_drift_half_width_ohm = x[11];
    s.meter_resolution_ohm = x[12];
    s.scatter_ohm = x[13];
    s.readings = 5;
    TRY(calcore_rtd_comparison_budget(x[0], &s, CALCORE_COVERAGE_PROBABILITY, 0.95, &b, NULL, err));
    y[0] = b.standard_uncertainty;
    y[1] = b.effective_degrees_of_freedom;
    y[2] = b.expanded_uncertainty;
    return CALCORE_OK;
}

/* U of a budget, which is released. */
static calcore_status expanded_of(calcore_named_budget *budget, double *expanded, calcore_error *err)
{
    calcore_budget b;
    calcore_status status;
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    status = calcore_named_budget_describe(budget, &b, err);
    *expanded = b.expanded_uncertainty;
    calcore_named_budget_free(budget);
    return status;
}

static calcore_status budget_edited(const double *x, double *y, calcore_error *err)
{
    static const char *const names[2] = {"a", "b"};
    static const char *const picked[2] = {"c", "a"};
    const double ones[2] = {1.0, 1.0};
    const int32_t kind = CALCORE_COVERAGE_PROBABILITY;
    calcore_input inputs[2];
    calcore_input c;
    calcore_named_budget *narrow = NULL;
    calcore_named_budget *all = NULL;
    calcore_named_budget *other = NULL;
    calcore_status status;
    memset(inputs, 0, sizeof inputs);
    inputs[0].kind = CALCORE_NORMAL;
    inputs[0].p2 = x[0];
    inputs[0].degrees_of_freedom = x[1];
    TRY(calcore_input_from_half_width(0.0, x[2], &inputs[1], err));
    TRY(calcore_input_from_half_width(0.0, x[3], &c, err));
    TRY(calcore_named_budget_new(0.0, names, inputs, ones, 2, NULL, kind, 0.95, &narrow, err));
    TRY(calcore_named_budget_with(narrow, "c", &c, x[4], kind, 0.95, &all, err));
    calcore_named_budget_free(narrow);
    TRY(calcore_named_budget_without(all, "a", kind, 0.95, &other, err));
    TRY(expanded_of(other, &y[1], err));
    TRY(calcore_named_budget_part(all, picked, 2, kind, 0.95, &other, err));
    TRY(expanded_of(other, &y[2], err));
    TRY(calcore_named_budget_with_coverage_of_shapes(all, 0.95, &other, err));
    TRY(expanded_of(other, &y[3], err));
    return expanded_of(all, &y[0], err);
}

static calcore_status fit_cvd(const double *x, double *y, calcore_error *err)
{
    const double u_t = 0.01;
    const double u_ohm = 0.001;
    double fixed[4];
    double values[16];
    calcore_fit_options o;
    calcore_fit *fit = NULL;
    calcore_status status;
    memset(&o, 0, sizeof o);
    o.size = sizeof o;
    o.u_x = &u_t;
    o.u_x_count = 1;
    o.u_y = &u_ohm;
    o.u_y_count = 1;
    fixed[0] = fixed[1] = fixed[2] = check_nan();
    fixed[3] = -4.183e-12;
    o.fixed = fixed;
    o.fixed_count = 4;
    TRY(calcore_fit_callendar_van_dusen(x, x + 7, 7, &o, &fit, err));
    status = calcore_fit_parameters(fit, values, 4, err);
    memcpy(y, values, 3 * sizeof *y);
    if (status == CALCORE_OK) {
        status = calcore_fit_covariance(fit, values, 16, err);
        y[3] = sqrt(values[0]);
    }
    calcore_fit_free(fit);
    return status;
}

static calcore_status thermocouple_k_emf(const double *x, double *y, calcore_error *err)
{
    calcore_thermocouple *k = NULL;
    calcore_status status = calcore_thermocouple_new("K", CALCORE_SIDE_NONE, &k, err);
    if (status == CALCORE_OK) {
        status = calcore_thermocouple_emf(k, x[0], x[1], y, err);
    }
    calcore_thermocouple_free(k);
    return status;
}

static calcore_status thermocouple_k_temperature(const double *x, double *y, calcore_error *err)
{
    calcore_thermocouple *k = NULL;
    calcore_status status = calcore_thermocouple_new("K", CALCORE_SIDE_NONE, &k, err);
    if (status == CALCORE_OK) {
        status = calcore_thermocouple_temperature(k, x[0], x[1], y, err);
    }
    calcore_thermocouple_free(k);
    return status;
}

static calcore_status thermocouples(const double *x, double *y, calcore_error *err)
{
    static const char letters[] = "BCEJKNRSTA";
    char letter[2] = {0, 0};
    calcore_thermocouple *c = NULL;
    calcore_status status;
    letter[0] = letters[(size_t)x[0]];
    status = calcore_thermocouple_new(letter, CALCORE_SIDE_NONE, &c, err);
    if (status == CALCORE_OK) {
        status = calcore_thermocouple_emf(c, x[1], x[2], y, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_thermocouple_slope(c, x[1], y + 1, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_thermocouple_temperature(c, y[0], x[2], y + 2, err);
    }
    calcore_thermocouple_free(c);
    return status;
}

static calcore_status settled(const double *x, double *y, calcore_error *err)
{
    double time_s[10];
    calcore_settled_criterion limits;
    calcore_settled_state s;
    calcore_status status;
    int i;
    memset(&limits, 0, sizeof limits);
    memset(&s, 0, sizeof s);
    limits.size = sizeof limits;
    s.size = sizeof s;
    for (i = 0; i < 10; i++) {
        time_s[i] = 10.0 * i;
    }
    TRY(calcore_settled_criterion_init(60.0, 0.01, 0.02, &limits, err));
    TRY(calcore_settled(time_s, x, 10, &limits, &s, err));
    y[0] = s.slope_per_min;
    y[1] = s.u_slope_per_min;
    y[2] = s.slope_bound_per_min;
    y[3] = s.standard_uncertainty;
    return CALCORE_OK;
}

static calcore_status reference_at(const double *x, double *y, calcore_error *err)
{
    double time_s[10];
    calcore_reference_at_moment found;
    calcore_status status;
    int i;
    memset(&found, 0, sizeof found);
    found.size = sizeof found;
    for (i = 0; i < 10; i++) {
        time_s[i] = 10.0 * i;
    }
    TRY(calcore_reference_at(time_s, x, 10, x[10], 10.0, &found, err));
    y[0] = found.value;
    y[1] = found.standard_uncertainty;
    return CALCORE_OK;
}

static calcore_status fit_batch(const double *x, double *y, calcore_error *err)
{
    const double u_t = 0.01;
    const double u_ohm = 0.001;
    double coefficients[8];
    calcore_fit_options o;
    calcore_batch_results results;
    calcore_status status;
    size_t failed = 0;
    memset(&o, 0, sizeof o);
    memset(&results, 0, sizeof results);
    o.size = sizeof o;
    o.u_x = &u_t;
    o.u_x_count = 1;
    o.u_y = &u_ohm;
    o.u_y_count = 1;
    results.size = sizeof results;
    results.coefficients = coefficients;
    TRY(calcore_fit_callendar_van_dusen_batch(x, 4, x + 4, 8, NULL, 2, &o, 1, &results, &failed, err));
    memcpy(y, coefficients, 3 * sizeof *y);
    memcpy(y + 3, coefficients + 4, 3 * sizeof *y);
    return CALCORE_OK;
}

static calcore_status fit_deviation(const double *x, double *y, calcore_error *err)
{
    const double u_mv = 0.002;
    calcore_fit_options o;
    calcore_thermocouple *k = NULL;
    calcore_curve *reference = NULL;
    calcore_curve *corrected = NULL;
    calcore_fit *fit = NULL;
    calcore_status status = calcore_thermocouple_new("K", CALCORE_SIDE_NONE, &k, err);
    memset(&o, 0, sizeof o);
    o.size = sizeof o;
    o.u_y = &u_mv;
    o.u_y_count = 1;
    if (status == CALCORE_OK) {
        status = calcore_curve_from_thermocouple(k, &reference, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_fit_deviation(reference, x, x + 4, 4, 2, 0, &o, &fit, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_fit_parameters(fit, y, 2, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_fit_curve(fit, &corrected, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_curve_temperature(corrected, x[8], y + 2, err);
    }
    calcore_curve_free(corrected);
    calcore_fit_free(fit);
    calcore_curve_free(reference);
    calcore_thermocouple_free(k);
    return status;
}

static calcore_status linearity(const double *x, double *y, calcore_error *err)
{
    static const double percent[6] = {0.0, 20.0, 40.0, 60.0, 80.0, 100.0};
    static const double u[6] = {0.1, 0.1, 0.1, 0.1, 0.1, 0.1};
    calcore_status status;
    calcore_linearity_result found;
    memset(&found, 0, sizeof found);
    found.size = sizeof found;
    TRY(calcore_linearity(percent, x, 6, CALCORE_LINEARITY_INDEPENDENT, NAN, u, NULL, NULL, &found, err));
    y[0] = found.largest;
    y[1] = found.standard_uncertainty;
    TRY(calcore_linearity(percent, x, 6, CALCORE_LINEARITY_ZERO, NAN, u, NULL, NULL, &found, err));
    y[2] = found.largest;
    TRY(calcore_linearity(percent, x, 6, CALCORE_LINEARITY_TERMINAL, NAN, u, NULL, NULL, &found, err));
    y[3] = found.largest;
    return status;
}

static calcore_status lookup_table(const double *x, double *y, calcore_error *err)
{
    calcore_cvd *cvd = NULL;
    calcore_curve *curve = NULL;
    calcore_lookup_table *table = NULL;
    double ohm = 0.0;
    calcore_lookup_table_options options;
    calcore_lookup_table_facts facts;
    calcore_status status = calcore_cvd_iec60751(100.0, &cvd, err);
    memset(&options, 0, sizeof options);
    memset(&facts, 0, sizeof facts);
    options.size = sizeof options;
    facts.size = sizeof facts;
    options.segments = 8;
    if (status == CALCORE_OK) {
        status = calcore_curve_from_cvd(cvd, &curve, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_lookup_table_new(curve, x[0], x[1], &options, &table, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_lookup_table_describe(table, &facts, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_cvd_resistance(cvd, x[2], &ohm, err);
    }
    if (status == CALCORE_OK) {
        y[0] = facts.largest_error;
        status = calcore_lookup_table_evaluate(table, &ohm, 1, y + 1, err);
    }
    calcore_lookup_table_free(table);
    calcore_curve_free(curve);
    calcore_cvd_free(cvd);
    return status;
}

static calcore_status minimax(const double *x, double *y, calcore_error *err)
{
    calcore_thermocouple *couple = NULL;
    calcore_curve *curve = NULL;
    calcore_minimax *found = NULL;
    double mv = 0.0;
    calcore_minimax_options options;
    calcore_minimax_facts facts;
    calcore_status status = calcore_thermocouple_new("K", CALCORE_SIDE_NONE, &couple, err);
    memset(&options, 0, sizeof options);
    memset(&facts, 0, sizeof facts);
    options.size = sizeof options;
    facts.size = sizeof facts;
    options.degree = 4;
    if (status == CALCORE_OK) {
        status = calcore_curve_from_thermocouple(couple, &curve, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_minimax_new(curve, x[0], x[1], &options, &found, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_minimax_describe(found, &facts, err);
    }
    if (status == CALCORE_OK) {
        status = calcore_curve_signal(curve, x[2], &mv, err);
    }
    if (status == CALCORE_OK) {
        y[0] = facts.largest_error;
        status = calcore_minimax_evaluate(found, &mv, 1, y + 1, err);
    }
    calcore_minimax_free(found);
    calcore_curve_free(curve);
    calcore_thermocouple_free(couple);
    return status;
}

static const replay replays[] = {
    {"iec60751_resistance", 1, 1, iec60751_resistance},
    {"iec60751_temperature", 1, 1, iec60751_temperature},
    {"iec60751_slope", 1, 1, iec60751_slope},
    {"cvd_resistance", 5, 1, cvd_resistance},
    {"cvd_temperature", 5, 1, cvd_temperature},
    {"fahrenheit", 1, 2, fahrenheit},
    {"current_loop", 3, 2, current_loop},
    {"tolerance_a_wire_wound", 1, 1, tolerance_a_wire_wound},
    {"steady", 10, 3, steady},
    {"coverage_factor", 2, 1, coverage_factor},
    {"welch_satterthwaite", 6, 1, welch_satterthwaite},
    {"decide_guarded", 5, 3, decide_guarded},
    {"risk", 6, 3, risk},
    {"risk_rectangular", 5, 2, risk_rectangular},
    {"guard_band_2_percent", 2, 1, guard_band_2_percent},
    {"guard_band_specific", 3, 1, guard_band_specific},
    {"propagate", 6, 3, propagate},
    {"monte_carlo", 4, 12, monte_carlo},
    {"measurement_model", 6, 8, measurement_model},
    {"temperature_block", 11, 2, temperature_block},
    {"rtd_comparison", 14, 3, rtd_comparison},
    {"budget_edited", 5, 4, budget_edited},
    {"fit_cvd", 14, 4, fit_cvd},
    {"linearity", 6, 4, linearity},
    {"lookup_table", 3, 2, lookup_table},
    {"minimax", 3, 2, minimax},
    {"thermocouple_K_emf", 2, 1, thermocouple_k_emf},
    {"thermocouple_K_temperature", 2, 1, thermocouple_k_temperature},
    {"thermocouples", 3, 3, thermocouples},
    {"settled", 10, 4, settled},
    {"reference_at", 11, 2, reference_at},
    {"fit_batch", 12, 6, fit_batch},
    {"fit_deviation", 9, 3, fit_deviation},
};

/* Reads the numbers of a line; returns how many. */
static size_t numbers(const char *line, double *x)
{
    size_t n = 0;
    char *end;
    for (;;) {
        unsigned long long bits = strtoull(line, &end, 16);
        if (end == line) {
            return n;
        }
        if (n == MOST) {
            return 0;
        }
        x[n++] = check_from_bits((uint64_t)bits);
        line = end;
    }
}

static const replay *known(const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *name = slash == NULL ? path : slash + 1;
    size_t length = strcspn(name, ".");
    size_t i;
    for (i = 0; i < sizeof replays / sizeof replays[0]; i++) {
        if (strlen(replays[i].name) == length && strncmp(replays[i].name, name, length) == 0) {
            return &replays[i];
        }
    }
    return NULL;
}

void test_parity(const char *path)
{
    const replay *r = known(path);
    FILE *file = fopen(path, "r");
    char line[MOST * 17 + 2];
    long lines = 0;
    CHECK(r != NULL && file != NULL);
    if (r == NULL || file == NULL) {
        printf("parity file not known or not readable: %s\n", path);
        if (file != NULL) {
            fclose(file);
        }
        return;
    }
    while (fgets(line, sizeof line, file) != NULL) {
        calcore_error err = check_error();
        double x[MOST];
        double y[MOST];
        size_t k;
        CHECK(numbers(line, x) == r->inputs + r->outputs);
        GOOD(r->call(x, y, &err));
        for (k = 0; k < r->outputs; k++) {
            SAME(r->name, y[k], x[r->inputs + k]);
        }
        lines++;
    }
    CHECK(lines > 0);
    fclose(file);
}
