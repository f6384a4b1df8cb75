/* Any numbers whatever, from a fixed seed: every call returns a known status and never the one of a fault inside the
 * library; a failed call leaves its output alone. Mutilated descriptions of a run are refused or evaluated, not more. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static uint64_t state = UINT64_C(0x9e3779b97f4a7c15);

/* Xorshift with a multiplication at the end (G. Marsaglia, J. Stat. Softw. 8 (2003) 14; S. Vigna, ACM Trans. Math. Softw. 42
 * (2016) 30). */
static uint64_t next(void)
{
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return state * UINT64_C(2685821657736338717);
}

static size_t below(size_t n)
{
    return (size_t)(next() % n);
}

/* A number that a caller may pass: special, of ordinary size, or any bits. */
static double any(void)
{
    static const double special[] = {0.0,    -0.0,    1.0,     -1.0,       0.5,      2.0,    100.0,  273.15, -273.15,
                                     1e-300, 1e300,   -1e300,  1.7e308,    5e-324,   1e-12,  850.0,  -200.0, 0.95,
                                     4.0,    20.0,    3.9e-3,  -5.8e-7,    -4.2e-12, 1e16,   419.527, 25.5,  10000.0};
    double x = 0.0;
    switch (below(8)) {
    case 0:
        x = check_from_bits(next());
        break;
    case 1:
        x = below(2) ? check_nan() : (below(2) ? check_infinity() : -check_infinity());
        break;
    case 2:
    case 3:
        x = special[below(sizeof special / sizeof special[0])];
        break;
    default:
        x = -300.0 + 1300.0 * (double)(next() >> 11) / 9007199254740992.0;
        break;
    }
    return x;
}

static int32_t any_choice(void)
{
    return below(6) == 0 ? (int32_t)(uint32_t)next() : (int32_t)below(7) - 1;
}

static int known(calcore_status status)
{
    return status != CALCORE_E_PANIC && strcmp(calcore_status_text(status), "unknown status") != 0;
}

#define SENTINEL 1234.5678
/* A call with `out` as output. */
#define PROBE(call)                                    \
    do {                                               \
        calcore_status status;                         \
        out = SENTINEL;                                \
        status = (call);                               \
        CHECK(known(status));                          \
        CHECK(status == CALCORE_OK || out == SENTINEL); \
    } while (0)

static void numbers(void)
{
    static const char *const names[] = {"A", "AA", "W0.3", "", "Zn", "H2O", "e-H2_17K", "3.3.2.2", "x"};
    calcore_error err = check_error();
    double out = 0.0;
    double out2 = 0.0;
    const char *name = names[below(sizeof names / sizeof names[0])];
    PROBE(calcore_temperature_to_c(any_choice(), any(), &out, &err));
    PROBE(calcore_temperature_from_c(any_choice(), any(), &out, &err));
    PROBE(calcore_temperature_difference_to_k(any_choice(), any(), &out, &err));
    PROBE(calcore_temperature_difference_from_k(any_choice(), any(), &out, &err));
    PROBE(calcore_tolerance_iec60751(name, any(), any_choice(), &out, &err));
    PROBE(calcore_tolerance_iec60751_range(name, any_choice(), &out, &out2, &err));
    PROBE(calcore_current_loop_percent_of_span_from_ma(any(), &out, &err));
    PROBE(calcore_indication_error_from_readings(any(), any(), &out, &err));
    PROBE(calcore_indication_error_from_percent_of_span(any(), any(), any(), &out, &err));
    PROBE(calcore_indication_error_from_percent_of_reading(any(), any(), &out, &err));
    PROBE(calcore_indication_error_percent_of_span(any(), any(), any(), &out, &err));
    PROBE(calcore_indication_error_percent_of_reading(any(), any(), &out, &err));
    PROBE(calcore_indication_error_correction(any(), &out, &err));
    PROBE(calcore_correction_apply(any(), any(), &out, &err));
    PROBE(calcore_coverage_factor(any(), any(), &out, &err));
    PROBE(calcore_coverage_factor_truncated(any(), any(), &out, &err));
    PROBE(calcore_coverage_probability(any(), any(), &out, &err));
    PROBE(calcore_probability_of_conformity(any(), any(), any(), any(), &out, &err));
    PROBE(calcore_its90_reference_ratio(any(), &out, &err));
    PROBE(calcore_its90_reference_slope(any(), &out, &err));
    PROBE(calcore_its90_temperature_from_ratio(any(), &out, &err));
    PROBE(calcore_its90_temperature_from_ratio_approximate(any(), &out, &err));
    PROBE(calcore_its90_fixed_point_temperature(name, any(), any(), &out, &err));
    PROBE(calcore_its90_hydrogen_vapour_pressure_temperature(name, any(), &out, &err));
    PROBE(calcore_beta_from_points(any(), any(), any(), any(), &out, &err));
}

static void structs(void)
{
    calcore_error err = check_error();
    calcore_current_loop range;
    calcore_input input;
    calcore_decision_rule rule;
    calcore_decision decision;
    double out = 0.0;
    double out2 = 0.0;
    memset(&rule, 0, sizeof rule);
    memset(&decision, 0, sizeof decision);
    memset(&input, 0, sizeof input);
    range.size = sizeof range;
    range.lower_range_value_c = any();
    range.upper_range_value_c = any();
    range.failed_low_ma = below(2) ? 3.6 : any();
    range.saturated_low_ma = below(2) ? 3.8 : any();
    range.saturated_high_ma = below(2) ? 20.5 : any();
    range.failed_high_ma = below(2) ? 21.0 : any();
    PROBE(calcore_current_loop_current(&range, any(), &out, &err));
    PROBE(calcore_current_loop_saturated_current(&range, any(), &out, &err));
    PROBE(calcore_current_loop_value(&range, any(), &out, &err));
    PROBE(calcore_current_loop_extrapolated_value(&range, any(), &out, &err));
    PROBE(calcore_current_loop_error_ma(&range, any(), any(), &out, &err));
    PROBE(calcore_current_loop_error_k_from_ma(&range, any(), &out, &err));
    PROBE(calcore_current_loop_error_ma_from_k(&range, any(), &out, &err));
    PROBE(calcore_current_loop_percent_of_span_from_k(&range, any(), &out, &err));
    input.kind = any_choice() + (int32_t)below(5);
    input.p1 = any();
    input.p2 = any();
    input.p3 = any();
    input.degrees_of_freedom = any();
    PROBE(calcore_input_moments(&input, &out, &out2, &err));
    PROBE(calcore_input_cdf(&input, any(), &out, &err));
    PROBE(calcore_input_quantile(&input, any(), &out, &err));
    rule.size = sizeof rule;
    rule.rule = any_choice();
    rule.guard_band_kind = any_choice();
    rule.guard_band = any();
    rule.coverage_factor = any();
    decision.size = sizeof decision;
    CHECK(known(calcore_decide(any(), any(), any(), any(), &rule, &decision, &err)));
}

static void effects(const calcore_curve *made)
{
    calcore_error err = check_error();
    calcore_effect effect;
    calcore_junction_reading reading;
    memset(&effect, 0, sizeof effect);
    memset(&reading, 0, sizeof reading);
    effect.size = sizeof effect;
    reading.size = sizeof reading;
    CHECK(known(calcore_two_wire_effect(made, any(), any(), &effect, &err)));
    CHECK(known(calcore_three_wire_effect(made, any(), any(), &effect, &err)));
    CHECK(known(calcore_insulation_effect(made, any(), any(), &effect, &err)));
    CHECK(known(calcore_thermal_emf_effect(made, any(), any(), any(), &effect, &err)));
    CHECK(known(calcore_reference_junction_effect(made, any(), any(), any(), &effect, &err)));
    CHECK(known(calcore_measuring_junction(made, any(), any(), &reading, &err)));
}

static void more_numbers(void)
{
    calcore_error err = check_error();
    double out = 0.0;
    double out2 = 0.0;
    int64_t count = 0;
    calcore_reversed_reading reversed;
    calcore_self_heating_result heating;
    calcore_zero_power zero;
    memset(&reversed, 0, sizeof reversed);
    memset(&heating, 0, sizeof heating);
    memset(&zero, 0, sizeof zero);
    reversed.size = sizeof reversed;
    heating.size = sizeof heating;
    zero.size = sizeof zero;
    PROBE(calcore_temperature_to_its90(any_choice(), any(), &out, &err));
    PROBE(calcore_temperature_from_its90(any_choice(), any(), &out, &err));
    PROBE(calcore_temperature_t90_minus_t68(any(), &out, &err));
    PROBE(calcore_tolerance_iec60584("K", any_choice(), any(), &out, &err));
    PROBE(calcore_tolerance_astm_e230("K", "special", any(), &out, &err));
    PROBE(calcore_tolerance_astm_e1137("A", any(), &out, &err));
    PROBE(calcore_tolerance_gost6651("nickel", "C", any(), &out, &err));
    PROBE(calcore_inhomogeneity_uncertainty(any(), &out, &err));
    PROBE(calcore_copper_lead_resistance(any(), any(), any(), &out, &err));
    PROBE(calcore_two_wire_reading(any(), any(), any(), &out, &err));
    PROBE(calcore_three_wire_reading(any(), any(), any(), &out, &err));
    PROBE(calcore_resistance_with_insulation(any(), any(), &out, &err));
    PROBE(calcore_resistance_without_insulation(any(), any(), &out, &err));
    PROBE(calcore_dissipation_from_two_currents(any(), any(), any(), any(), any(), any(), &out, &err));
    PROBE(calcore_immersion_error(any(), any(), any(), any(), any(), &out, &err));
    PROBE(calcore_immersion_error_per_mm(any(), any(), any(), any(), any(), &out, &err));
    PROBE(calcore_immersion_true_temperature(any(), any(), any(), any(), any(), &out, &err));
    PROBE(calcore_immersion_from_two_depths(any(), any(), any(), any(), any(), &out, &out2, &err));
    PROBE(calcore_digital_value((int64_t)next(), (int64_t)below(100), any(), any(), (int64_t)below(200), &out, &err));
    PROBE(calcore_digital_resolution((int64_t)next() >> 13, (int64_t)next() >> 13, any(), any(), &out, &out2, &err));
    PROBE(calcore_display_shown(any(), any_choice(), any(), &out, &err));
    PROBE(calcore_display_uncertainty(any(), any_choice(), &out, &out2, &err));
    CHECK(known(calcore_digital_count((int64_t)next() >> 13, (int64_t)below(100), any(), any(), any(), &count, &err)));
    CHECK(known(calcore_resistance_by_reversal(any(), any(), any(), any(), &reversed, &err)));
    CHECK(known(calcore_self_heating(any(), any(), any(), &heating, &err)));
    CHECK(known(calcore_zero_power_resistance(any(), any(), any(), any(), &zero, &err)));
}

static void curve(calcore_curve *made)
{
    calcore_error err = check_error();
    double values[5];
    double out = 0.0;
    size_t i;
    if (made == NULL) {
        return;
    }
    effects(made);
    PROBE(calcore_curve_signal(made, any(), &out, &err));
    PROBE(calcore_curve_temperature(made, any(), &out, &err));
    PROBE(calcore_curve_slope(made, any(), &out, &err));
    for (i = 0; i < 5; i++) {
        values[i] = any();
    }
    CHECK(known(calcore_curve_signal_array(made, values, 5, any_choice(), values, &err)));
    CHECK(known(calcore_curve_temperature_array(made, values, 5, any_choice(), values, &err)));
    CHECK(known(calcore_curve_slope_array(made, values, 5, any_choice(), values, &err)));
    calcore_curve_free(made);
}

static void curves(void)
{
    static const char *const subranges[] = {"3.3.1", "3.3.1.1", "3.3.2", "3.3.2.2", "3.3.3", "7", "0", ""};
    calcore_error err = check_error();
    calcore_curve *made[8] = {NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL};
    calcore_cvd *cvd = NULL;
    double a[8];
    double b[8];
    size_t n = below(9);
    size_t i;
    for (i = 0; i < 8; i++) {
        a[i] = any();
        b[i] = below(2) ? any() : any() * 1e-4;
    }
    CHECK(known(calcore_cvd_new(any(), below(2) ? 3.9e-3 : any(), below(2) ? -5.8e-7 : any(), below(2) ? 0.0 : any(), &cvd, &err)));
    calcore_cvd_free(cvd);
    cvd = NULL;
    CHECK(known(calcore_cvd_with_range(100.0, below(2) ? 3.9e-3 : any(), any() * 1e-10, any() * 1e-15, any(), any(), &cvd, &err)));
    CHECK(known(calcore_curve_from_cvd(cvd, &made[0], &err)));
    calcore_cvd_free(cvd);
    cvd = NULL;
    CHECK(known(calcore_cvd_from_alpha_delta_beta(any(), any(), any(), any(), &cvd, &err)));
    calcore_cvd_free(cvd);
    CHECK(known(calcore_polynomial_rtd_new(any(), b, n, any(), any(), &made[1], &err)));
    CHECK(known(calcore_polynomial_rtd_piecewise(any(), any(), b, n, b, below(9), any(), any(), &made[2], &err)));
    CHECK(known(calcore_sprt_new(any(), subranges[below(8)], b, n, &made[3], &err)));
    CHECK(known(calcore_steinhart_hart_with_range(below(2) ? 1e-3 : any(), below(2) ? 2.4e-4 : any(), any() * 1e-9, any() * 1e-9,
                                                  any(), any(), &made[4], &err)));
    CHECK(known(calcore_beta_thermistor_with_range(any(), any(), any(), any(), &made[5], &err)));
    if (below(2)) {
        for (i = 1; i < 8; i++) {
            a[i] = a[i - 1] + 1.0;
            b[i] = b[i - 1] + fabs(b[i]);
        }
    }
    CHECK(known(calcore_tabulated_curve_new(a, b, n > 8 ? 8 : n, any_choice(), &made[6], &err)));
    CHECK(known(calcore_steinhart_hart_new(any(), any(), any(), &made[7], &err)));
    for (i = 0; i < 8; i++) {
        curve(made[i]);
    }
}

static calcore_status model(const double *x, size_t n, double *result, void *user)
{
    size_t i;
    (void)user;
    if (below(16) == 0) {
        return any_choice();
    }
    *result = below(16) == 0 ? any() : 0.0;
    for (i = 0; i < n; i++) {
        *result += x[i] * (double)(i + 1);
    }
    return CALCORE_OK;
}

static void budgets(void)
{
    enum { N = 3 };
    calcore_error err = check_error();
    calcore_input inputs[N];
    calcore_contribution lines[N];
    double correlation[N * N];
    double sensitivities[N];
    double out = 0.0;
    calcore_budget b;
    size_t i;
    memset(inputs, 0, sizeof inputs);
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    for (i = 0; i < N; i++) {
        inputs[i].kind = 1 + (int32_t)below(9);
        inputs[i].p1 = any();
        inputs[i].p2 = below(3) ? inputs[i].p1 + fabs(any()) : any();
        inputs[i].p3 = below(2) ? 0.5 : any();
        inputs[i].degrees_of_freedom = below(2) ? check_infinity() : any();
        sensitivities[i] = any();
    }
    for (i = 0; i < N * N; i++) {
        correlation[i] = i % (N + 1) == 0 ? 1.0 : (below(3) ? 0.25 : any());
    }
    CHECK(known(calcore_propagate(model, NULL, inputs, N, below(2) ? NULL : correlation, any_choice(), below(2) ? 0.95 : any(), &b,
                                  lines, &err)));
    CHECK(known(calcore_budget_from_contributions(any(), inputs, sensitivities, N, below(2) ? NULL : correlation, any_choice(),
                                                  below(2) ? 0.95 : any(), &b, lines, &err)));
    PROBE(calcore_welch_satterthwaite(sensitivities, correlation, N, &out, &err));
}

static calcore_status curve_model(double x, const double *p, size_t n, double *value, void *user)
{
    size_t i;
    (void)user;
    if (below(64) == 0) {
        return any_choice();
    }
    *value = 0.0;
    for (i = n; i-- > 0;) {
        *value = *value * x + p[i];
    }
    if (below(4) == 0) {
        *value = exp(*value);
    }
    return CALCORE_OK;
}

/* What a Callendar-Van Dusen fit is used for. */
static void uses(const calcore_fit *fit)
{
    calcore_error err = check_error();
    calcore_cvd *curve = NULL;
    calcore_entry_grid grid;
    calcore_entries entries;
    calcore_alpha_delta_beta adb;
    calcore_test test;
    double t_c[4];
    double ohm[4];
    double values[16];
    double out = 0.0;
    double out2 = 0.0;
    int32_t beyond = 0;
    size_t i;
    memset(&grid, 0, sizeof grid);
    memset(&entries, 0, sizeof entries);
    memset(&adb, 0, sizeof adb);
    memset(&test, 0, sizeof test);
    grid.size = sizeof grid;
    entries.size = sizeof entries;
    adb.size = sizeof adb;
    test.size = sizeof test;
    grid.form = any_choice();
    grid.rounding = any_choice();
    for (i = 0; i < 4; i++) {
        grid.counted[i] = any_choice();
        grid.digits[i] = below(8) ? (int32_t)below(16) : any_choice();
        t_c[i] = any();
        ohm[i] = any();
    }
    PROBE(calcore_fit_read(fit, any(), any(), &out, &out2, &err));
    PROBE(calcore_fit_extrapolated_temperature_uncertainty(fit, any(), &out, &beyond, &err));
    CHECK(known(calcore_fit_band(fit, t_c, 4, any(), values, values + 4, values + 8, &err)));
    CHECK(known(calcore_fit_temperature_covariance(fit, t_c, 4, values, 16, &err)));
    CHECK(known(calcore_fit_alpha_delta_beta(fit, &adb, &err)));
    CHECK(known(calcore_fit_drift_since(fit, fit, t_c, 4, values, NULL, &test, &err)));
    CHECK(known(calcore_fit_hold_out(fit, t_c, ohm, 4, NULL, values, NULL, NULL, &test, &err)));
    if (calcore_fit_cvd(fit, &curve, &err) == CALCORE_OK) {
        PROBE(calcore_fit_error_read_with(fit, curve, any(), &out, &out2, &err));
        CHECK(known(calcore_cvd_rounded(curve, &grid, &entries, NULL, &err)));
        if (below(8) == 0) {
            CHECK(known(calcore_cvd_rounded_within(curve, any_choice(), any(), &entries, NULL, &err)));
        }
    }
    calcore_cvd_free(curve);
}

static void fits(void)
{
    enum { N = 8 };
    calcore_error err = check_error();
    double x[N];
    double y[N];
    double u[N];
    double matrix[N * N];
    double fixed[4];
    double out = 0.0;
    double out2 = 0.0;
    calcore_fit_options o;
    calcore_fit *made[7] = {NULL, NULL, NULL, NULL, NULL, NULL, NULL};
    size_t n = below(N + 1);
    size_t i;
    int tame = below(2) == 0;
    memset(&o, 0, sizeof o);
    o.size = sizeof o;
    for (i = 0; i < N; i++) {
        x[i] = tame ? 50.0 * (double)i + (double)below(40) : any();
        y[i] = tame ? 100.0 + 0.385 * x[i] + 1e-3 * (double)below(100) : any();
        u[i] = below(4) ? 1e-3 * (double)(1 + below(9)) : any();
    }
    for (i = 0; i < N * N; i++) {
        matrix[i] = i % (n + 1) == 0 ? 1e-4 : (below(4) ? 0.0 : any() * 1e-8);
    }
    for (i = 0; i < 4; i++) {
        fixed[i] = below(3) ? check_nan() : any();
    }
    o.u_x = u;
    o.u_x_count = below(2) ? 0 : (below(2) ? 1 : n);
    o.u_y = u;
    o.u_y_count = below(3) ? n : 1;
    o.u_x_common = below(3) ? 0.0 : any();
    o.u_y_common = below(3) ? 0.0 : any();
    if (below(4) == 0) {
        o.covariance_y = matrix;
        o.u_y_count = 0;
    }
    if (below(4) == 0) {
        o.covariance_x = matrix;
        o.u_x_count = 0;
    }
    o.fixed = fixed;
    o.fixed_count = below(2) ? 0 : below(5);
    o.covariance_basis = below(3) ? 0 : any_choice();
    CHECK(known(calcore_fit_callendar_van_dusen(x, y, n, &o, &made[0], &err)));
    CHECK(known(calcore_fit_straight_line(x, y, n, &o, &made[1], &err)));
    CHECK(known(calcore_fit_polynomial(x, y, n, below(9), &o, &made[2], &err)));
    o.robust = below(3) ? 0 : any_choice();
    CHECK(known(calcore_fit_beta(x, y, n, below(2) ? &o : NULL, &made[3], &err)));
    CHECK(known(calcore_fit_steinhart_hart(x, y, n, any_choice(), below(2) ? &o : NULL, &made[4], &err)));
    CHECK(known(calcore_fit_its90_deviation(x, y, n, below(2) ? "3.3.2.2" : "7", below(2) ? &o : NULL, &made[5], &err)));
    CHECK(known(calcore_fit_model(curve_model, NULL, x, y, n, u, NULL, NULL, below(4), below(2) ? &o : NULL, &made[6], &err)));
    if (made[0] != NULL) {
        uses(made[0]);
        PROBE(calcore_fit_temperature_uncertainty(made[0], any(), &out, &err));
        PROBE(calcore_fit_resistance_uncertainty(made[0], any(), &out, &err));
    }
    if (made[1] != NULL) {
        PROBE(calcore_fit_predict(made[1], any(), any(), &out, &out2, &err));
        PROBE(calcore_fit_predict_inverse(made[1], any(), any(), &out, &out2, &err));
    }
    if (made[2] != NULL) {
        PROBE(calcore_fit_value(made[2], any(), &out, &err));
        PROBE(calcore_fit_value_uncertainty(made[2], any(), &out, &err));
    }
    for (i = 0; i < 7; i++) {
        calcore_fit_free(made[i]);
    }
}

static void records(void)
{
    enum { N = 12 };
    calcore_error err = check_error();
    double time_s[N];
    double value[N];
    calcore_steadiness s;
    size_t i;
    memset(&s, 0, sizeof s);
    s.size = sizeof s;
    for (i = 0; i < N; i++) {
        time_s[i] = below(16) ? 10.0 * (double)i : any();
        value[i] = below(8) ? 100.0 + 1e-3 * (double)below(100) : any();
    }
    CHECK(known(calcore_steady(time_s, value, below(N + 1), below(2) ? 60.0 : any(), below(2) ? 1.0 : any(),
                               below(2) ? 1.0 : any(), &s, &err)));
}

/* Settling, batches, choice of set points, deviations, numbers of curves, intervals. */
static void later(void)
{
    enum { N = 8 };
    calcore_error err = check_error();
    double x[N];
    double y[N];
    double coefficients[3 * 4];
    double out = 0.0;
    double out2 = 0.0;
    size_t counts[3];
    size_t failed = 0;
    size_t i;
    calcore_settled_criterion limits;
    calcore_settled_state state;
    calcore_wait wait;
    calcore_trend trend;
    calcore_reference_at_moment at;
    calcore_monitor *monitor = NULL;
    calcore_r_statistic *statistic = NULL;
    calcore_batch_results results;
    calcore_set_point_choice set_points;
    calcore_cvd *pt100 = NULL;
    calcore_curve *reference = NULL;
    calcore_curve *corrected = NULL;
    calcore_fit *fit = NULL;
    calcore_history *history = NULL;
    calcore_staircase_rule rule;
    memset(&limits, 0, sizeof limits);
    memset(&state, 0, sizeof state);
    memset(&wait, 0, sizeof wait);
    memset(&trend, 0, sizeof trend);
    memset(&at, 0, sizeof at);
    memset(&results, 0, sizeof results);
    memset(&set_points, 0, sizeof set_points);
    memset(&rule, 0, sizeof rule);
    limits.size = sizeof limits;
    state.size = sizeof state;
    wait.size = sizeof wait;
    trend.size = sizeof trend;
    at.size = sizeof at;
    results.size = sizeof results;
    set_points.size = sizeof set_points;
    rule.size = sizeof rule;
    for (i = 0; i < N; i++) {
        x[i] = below(6) ? 40.0 * (double)i - 40.0 : any();
        y[i] = below(6) ? 100.0 + 0.39 * x[i] : any();
    }
    limits.window_s = below(2) ? 100.0 : any();
    limits.max_slope_per_min = below(2) ? 1.0 : any();
    limits.max_scatter = below(2) ? 1.0 : any();
    limits.dwell_s = below(2) ? 0.0 : any();
    limits.confidence = below(2) ? 0.95 : any();
    limits.spike_limit = below(2) ? 5.0 : any();
    limits.resolution = below(2) ? 0.0 : any();
    CHECK(known(calcore_settled(x, y, below(N + 1), &limits, &state, &err)));
    CHECK(known(calcore_monitor_new(&limits, &monitor, &err)));
    CHECK(known(calcore_r_statistic_new(below(2) ? 0.2 : any(), below(2) ? 0.1 : any(), 0.1, &statistic, &err)));
    for (i = 0; i < N; i++) {
        CHECK(known(calcore_monitor_push(monitor, x[i], y[i], &state, &err)));
        CHECK(known(calcore_r_statistic_push(statistic, y[i], &out, &err)));
    }
    CHECK(known(calcore_monitor_wait(monitor, &wait, &err)));
    calcore_monitor_free(monitor);
    calcore_r_statistic_free(statistic);
    CHECK(known(calcore_drift(x, y, below(N + 1), below(2) ? 5.0 : any(), below(2) ? 0.0 : any(), &trend, &err)));
    CHECK(known(calcore_reference_at(x, y, below(N + 1), any(), below(2) ? 10.0 : any(), &at, &err)));
    PROBE(calcore_lag(any(), any(), &out, &err));
    PROBE(calcore_lag_correction(any(), any(), any(), any(), &out, &out2, &err));
    PROBE(calcore_lag_1_autocorrelation(y, below(N + 1), &out, &err));
    PROBE(calcore_effective_count(below(4) ? below(100) : (size_t)next(), any(), &out, &err));
    for (i = 0; i < 3; i++) {
        counts[i] = below(8) ? below(5) : (size_t)next();
    }
    results.coefficients = coefficients;
    CHECK(known(calcore_fit_callendar_van_dusen_batch(x, N, y, N, counts, 3, NULL, below(3), &results, &failed, &err)));
    results.coefficients = NULL;
    CHECK(known(calcore_fit_callendar_van_dusen_batch(x, below(N + 1), y, N, NULL, below(5), NULL, below(3), &results, &failed,
                                                      &err)));
    CHECK(known(calcore_cvd_iec60751(100.0, &pt100, &err)));
    if (below(16) == 0) {
        CHECK(known(calcore_fit_set_points(pt100, below(2) ? -50.0 : any(), below(2) ? 200.0 : any(), below(N), any(), any(),
                                           any_choice(), y, &set_points, &err)));
        CHECK(known(calcore_fit_assess_set_points(pt100, below(2) ? -50.0 : any(), below(2) ? 200.0 : any(), x, below(N + 1),
                                                  below(2) ? 0.01 : any(), below(2) ? 0.0 : any(), any_choice(), &set_points,
                                                  NULL, &err)));
    }
    CHECK(known(calcore_fit_compare_models(x, y, below(N + 1), NULL, y, 2, NULL, NULL, NULL, &err)));
    CHECK(known(calcore_curve_from_cvd(pt100, &reference, &err)));
    CHECK(known(calcore_fit_deviation(reference, x, y, below(N + 1), below(12), any_choice(), NULL, &fit, &err)));
    if (fit != NULL) {
        PROBE(calcore_fit_temperature_uncertainty(fit, any(), &out, &err));
        CHECK(known(calcore_fit_curve(fit, &corrected, &err)));
        calcore_fit_free(fit);
    }
    calcore_curve_free(corrected);
    corrected = NULL;
    CHECK(known(calcore_corrected_curve_new(reference, x, below(N + 1), any(), any(), &corrected, &err)));
    if (corrected != NULL) {
        PROBE(calcore_curve_temperature(corrected, any(), &out, &err));
    }
    calcore_curve_free(corrected);
    calcore_curve_free(reference);
    calcore_cvd_free(pt100);
    PROBE(calcore_temperature_t68_from_t48(any(), &out, &err));
    PROBE(calcore_temperature_t48_from_t68(any(), &out, &err));
    PROBE(calcore_two_wire_element(any(), any(), any(), &out, &err));
    PROBE(calcore_zero_power_uncertainty(any(), any(), any(), any(), any(), any(), any(), any(), &out, &err));
    for (i = 0; i < N; i++) {
        x[i] = below(6) ? (double)i : any();
        y[i] = below(6) ? 0.05 : any();
    }
    CHECK(known(calcore_history_new(x, y, y, below(2) ? NULL : y, below(N + 1), &history, &err)));
    if (history != NULL) {
        PROBE(calcore_history_predict(history, any(), &out, &out2, &err));
        PROBE(calcore_history_due(history, any(), below(2) ? 0.95 : any(), any(), &out, &err));
    }
    calcore_history_free(history);
    rule.extend_below = any();
    rule.extend_by = any();
    rule.shorten_by = any();
    rule.shortest = any();
    rule.longest = any();
    PROBE(calcore_staircase(any(), any(), &rule, &out, &err));
    PROBE(calcore_in_use(any(), any(), any(), &out, &err));
    PROBE(calcore_normalized_error(any(), any(), any(), any(), any(), &out, &err));
}

/* A description with a few bytes changed, left out, doubled, or numbers put in their place. */
static void mutilated_run(const char *text, size_t size)
{
    static const char *const pieces[] = {"null", "-1", "1e999", "0", "\"\"", "[]", "{}", "1e-320", "-273.16", "\xff", "\\u0000",
                                         "true", "9999999999999999999", "NaN", "mA", "ohm", "K"};
    calcore_error err = check_error();
    char *copy = (char *)malloc(size + 256);
    calcore_run *run = NULL;
    calcore_result *result = NULL;
    size_t length = size;
    size_t changes = 1 + below(3);
    if (copy == NULL) {
        abort();
    }
    memcpy(copy, text, size);
    while (changes-- > 0) {
        size_t place = below(length);
        const char *piece = pieces[below(sizeof pieces / sizeof pieces[0])];
        size_t end = place;
        switch (below(4)) {
        case 0:
            copy[place] = (char)(unsigned char)next();
            break;
        case 1: /* one byte less */
            memmove(copy + place, copy + place + 1, length - place - 1);
            length--;
            break;
        default: /* another value for a number or a word */
            while (place > 0 && strchr(":,[", copy[place]) == NULL) {
                place--;
            }
            end = place + 1;
            while (end < length && strchr(",]}\n", copy[end]) == NULL) {
                end++;
            }
            if (strlen(piece) <= end - place - 1 || length + strlen(piece) < size + 250) {
                memmove(copy + place + 1 + strlen(piece), copy + end, length - end);
                memcpy(copy + place + 1, piece, strlen(piece));
                length = length - (end - place - 1) + strlen(piece);
            }
            break;
        }
    }
    CHECK(known(calcore_run_from_json(copy, length, &run, &err)));
    if (run != NULL) {
        size_t needed = 0;
        CHECK(known(calcore_run_evaluate(run, &result, &err)));
        if (result != NULL) {
            calcore_proposals *proposals = NULL;
            calcore_changes *changes = NULL;
            calcore_calibration *file = NULL;
            calcore_text *record = NULL;
            calcore_text *paper = NULL;
            CHECK(known(calcore_result_to_json(result, NULL, 0, &needed, &err)));
            CHECK(known(calcore_result_adjustments(result, &proposals, &err)));
            CHECK(known(calcore_result_compare(result, result, &changes, &err)));
            CHECK(known(calcore_result_certificate(result, NULL, 0, &paper, &err)));
            CHECK(known(calcore_calibration_new(run, &file, &err)));
            if (file != NULL && below(4) == 0) {
                CHECK(known(calcore_record(file, NULL, 0, &record, &err)));
            }
            calcore_proposals_free(proposals);
            calcore_changes_free(changes);
            calcore_calibration_free(file);
            calcore_text_free(record);
            calcore_text_free(paper);
        }
    }
    calcore_result_free(result);
    calcore_run_free(run);
    free(copy);
}

void test_hostile(const char *run)
{
    size_t size = 0;
    char *text = file_read(run, &size);
    int i;
    for (i = 0; i < 500; i++) {
        numbers();
        more_numbers();
        structs();
        curves();
        budgets();
        fits();
        records();
        later();
        mutilated_run(text, size);
    }
    free(text);
}
