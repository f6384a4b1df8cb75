/* Settling one reading at a time and of whole records: what exact records must give, and formulas worked out here. */
#include "check.h"

#include <math.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

enum { N = 60 };

/* x = 80 + 5 exp(-t / 120 s), every 10 s: the estimate of the wait knows the time constant and the final value. */
static void approach(void)
{
    calcore_error err = check_error();
    calcore_monitor *monitor = NULL;
    double time_s[N];
    double value[N];
    double settled_at = check_nan();
    double estimate = check_nan();
    size_t i;
    SIZED(calcore_settled_criterion, limits);
    SIZED(calcore_settled_state, state);
    SIZED(calcore_settled_state, whole);
    SIZED(calcore_wait, wait);
    for (i = 0; i < N; i++) {
        time_s[i] = 20.0 * (double)i;
        value[i] = 80.0 + 5.0 * exp(-time_s[i] / 120.0);
    }
    GOOD(calcore_settled_criterion_init(300.0, 0.01, 0.005, &limits, &err));
    CHECK(limits.window_s == 300.0 && limits.confidence == 0.95 && limits.spike_limit == 5.0 && limits.dwell_s == 0.0);
    GOOD(calcore_monitor_new(&limits, &monitor, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_monitor_wait(monitor, &wait, &err));
    for (i = 0; i < N; i++) {
        GOOD(calcore_monitor_push(monitor, time_s[i], value[i], &state, &err));
        if (i == 1) {
            CHECK(isnan(state.slope_per_min) && isinf(state.slope_bound_per_min));
            CHECK(state.state == CALCORE_UNSTEADY_RECORD_TOO_SHORT);
        }
        if (i == 20) {
            CHECK(state.state == CALCORE_UNSTEADY_SLOPE && state.slope_per_min < -0.3);
            GOOD(calcore_monitor_wait(monitor, &wait, &err));
            /* Golden section on a sum of squares finds its place to the root of the precision. */
            CLOSE("time constant", 120.0, wait.time_constant_s, 120.0, 1e-3);
            CLOSE("final value", 80.0, wait.final_value, 80.0, 1e-5);
            CHECK(wait.standard_uncertainty_s >= 0.0 && wait.u_time_constant_s < 1e-2);
            /* The slope over a window of constant length dies out with the same time constant. */
            CLOSE("wait", 400.0, wait.seconds, 120.0 * log(-state.slope_per_min / 0.01), 0.01);
            estimate = time_s[i] + wait.seconds;
        }
        if (isnan(settled_at) && state.state == CALCORE_STEADY) {
            settled_at = time_s[i];
        }
        GOOD(calcore_settled(time_s, value, i + 1, &limits, &whole, &err));
        SAME("slope bound", whole.slope_bound_per_min, state.slope_bound_per_min);
        SAME("u_slope", whole.u_slope_per_min, state.u_slope_per_min);
        SAME("since", whole.since_s, state.since_s);
        CHECK(whole.state == state.state && whole.readings == state.readings);
    }
    CHECK(settled_at > 400.0);
    /* The criterion also asks for the uncertainty of the slope, which the curvature makes larger: later, never earlier. */
    CHECK(settled_at >= estimate && settled_at < estimate + 150.0);
    CHECK(state.state == CALCORE_STEADY && state.spikes == 0 && state.readings == 16);
    /* Readings that are refused leave no trace. */
    STATUS(CALCORE_E_INVALID_VALUE, calcore_monitor_push(monitor, time_s[N - 1], 80.0, &state, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_monitor_push(monitor, 5000.0, check_nan(), &state, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_monitor_push(monitor, check_infinity(), 80.0, &state, &err));
    STATUS(CALCORE_E_NULL, calcore_monitor_push(NULL, 5000.0, 80.0, &state, &err));
    STATUS(CALCORE_E_NULL, calcore_monitor_push(monitor, 5000.0, 80.0, NULL, &err));
    GOOD(calcore_monitor_push(monitor, time_s[N - 1] + 20.0, value[N - 1], &state, &err));
    CHECK(state.readings == 16);
    calcore_monitor_free(monitor);
    calcore_monitor_free(NULL);

    /* A dwell, and spikes in more than a fifth of the readings. */
    limits.dwell_s = 200.0;
    GOOD(calcore_settled(time_s, value, N - 1, &limits, &whole, &err));
    CHECK(whole.state == CALCORE_STEADY);
    limits.dwell_s = 2000.0;
    GOOD(calcore_settled(time_s, value, N, &limits, &whole, &err));
    CHECK(whole.state == CALCORE_UNSTEADY_DWELL && whole.since_s == settled_at);
    limits.dwell_s = 0.0;
    for (i = 0; i < N; i++) {
        value[i] = 80.0 + ((i % 2) ? 0.02 : -0.02);
    }
    limits.max_slope_per_min = 1.0;
    GOOD(calcore_settled(time_s, value, N, &limits, &whole, &err));
    CHECK(whole.state == CALCORE_UNSTEADY_SCATTER);

    limits.confidence = 1.0;
    monitor = NULL;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_monitor_new(&limits, &monitor, &err));
    limits.confidence = 0.95;
    limits.window_s = 0.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_monitor_new(&limits, &monitor, &err));
    limits.size = 3;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_monitor_new(&limits, &monitor, &err));
    STATUS(CALCORE_E_NULL, calcore_monitor_new(NULL, &monitor, &err));
    CHECK(monitor == NULL);
    limits.size = sizeof limits;
    limits.window_s = 300.0;
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_settled(time_s, value, 0, &limits, &whole, &err));
}

static void lines(void)
{
    calcore_error err = check_error();
    double time_s[12];
    double value[12];
    size_t i;
    SIZED(calcore_trend, trend);
    SIZED(calcore_reference_at_moment, at);
    for (i = 0; i < 12; i++) {
        time_s[i] = 60.0 * (double)i;
        value[i] = 100.0 + (double)i / 64.0; /* exact */
    }
    GOOD(calcore_drift(time_s, value, 12, check_infinity(), 0.0, &trend, &err));
    CLOSE("slope", 0.0, trend.slope_per_min, 1.0 / 64.0, 1e-16);
    CLOSE("mean", 0.0, trend.mean, 100.0 + 5.5 / 64.0, 1e-13);
    CHECK(trend.mean_time_s == 330.0 && trend.readings == 12 && trend.spikes == 0);
    value[4] += 1.0; /* one spike: the line without it */
    GOOD(calcore_drift(time_s, value, 12, 5.0, 1e-3, &trend, &err));
    CLOSE("slope without a spike", 0.0, trend.slope_per_min, 1.0 / 64.0, 1e-16);
    CHECK(trend.spikes == 1);
    value[4] -= 1.0;
    GOOD(calcore_reference_at(time_s, value, 12, 90.0, 0.0, &at, &err));
    CLOSE("between", 90.0, at.value, 100.0 + 1.5 / 64.0, 1e-13);
    CHECK(at.extrapolated == 0);
    GOOD(calcore_reference_at(time_s, value, 12, 690.0, 60.0, &at, &err));
    CLOSE("beyond", 690.0, at.value, 100.0 + 11.5 / 64.0, 1e-12);
    CHECK(at.extrapolated == 1);
    at.value = 7.0;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_reference_at(time_s, value, 12, 730.0, 60.0, &at, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_reference_at(time_s, value, 12, 90.0, -1.0, &at, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_reference_at(NULL, NULL, 0, 90.0, 1.0, &at, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_drift(time_s, value, 2, 5.0, 0.0, &trend, &err));
    STATUS(CALCORE_E_NULL, calcore_drift(time_s, NULL, 2, 5.0, 0.0, &trend, &err));
    value[2] = check_nan();
    STATUS(CALCORE_E_NOT_FINITE, calcore_reference_at(time_s, value, 12, 90.0, 0.0, &at, &err));
    CHECK(at.value == 7.0);
}

static void small(void)
{
    static const double three[] = {1.0, 2.0, 4.0};
    calcore_error err = check_error();
    double x = 7.0;
    double u = 7.0;
    /* 60 s in 0.02 K/min: 0.02 K behind. Instrument 90 s, reference 30 s: (90 - 30) s 0.02 K/min. */
    GOOD(calcore_lag(60.0, 0.02, &x, &err));
    CLOSE("lag", 60.0, x, 0.02, 1e-17);
    GOOD(calcore_lag_correction(90.0, 30.0, 0.02, 0.001, &x, &u, &err));
    CLOSE("lag correction", 90.0, x, 0.02, 1e-17);
    CLOSE("its uncertainty", 90.0, u, 0.001, 1e-18);
    /* Departures -4/3, -1/3, 5/3: products 4/9 - 5/9, squares 42/9. */
    GOOD(calcore_lag_1_autocorrelation(three, 3, &x, &err));
    CLOSE("autocorrelation", 0.0, x, -1.0 / 42.0, 1e-16);
    /* n (1 - r) / (1 + r) */
    GOOD(calcore_effective_count(30, 0.5, &x, &err));
    CLOSE("effective count", 0.5, x, 10.0, 1e-14);
    x = 7.0;
    u = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lag(-1.0, 0.02, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lag_correction(90.0, 30.0, 0.02, -0.001, &x, &u, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_lag_1_autocorrelation(three, 2, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_effective_count(30, 1.0, &x, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_effective_count(0, 0.5, &x, &err));
    CHECK(x == 7.0 && u == 7.0);
}

/* S. Cao, R. R. Rhinehart (1995): three filters, written out here once more. */
static void r_statistic(void)
{
    calcore_error err = check_error();
    calcore_r_statistic *statistic = NULL;
    const double l1 = 0.2;
    const double l2 = 0.1;
    const double l3 = 0.1;
    double mean = 0.0;
    double variance = 0.0;
    double difference = 0.0;
    double before = 0.0;
    double r = 7.0;
    int i;
    GOOD(calcore_r_statistic_new(l1, l2, l3, &statistic, &err));
    for (i = 0; i < 80; i++) {
        double x = 20.0 + 0.01 * i + ((i * 7919) % 13) / 130.0;
        GOOD(calcore_r_statistic_push(statistic, x, &r, &err));
        if (i == 0) {
            mean = x;
        } else {
            double step = x - before;
            if (i == 1) { /* both filters begin at what they show for independent noise */
                difference = step * step;
                variance = step * step / (2.0 - l1);
            }
            variance = l2 * (x - mean) * (x - mean) + (1.0 - l2) * variance;
            mean = l1 * x + (1.0 - l1) * mean;
            difference = l3 * step * step + (1.0 - l3) * difference;
        }
        before = x;
        if (i < 30) {
            CHECK(isnan(r));
        } else {
            CLOSE("R", x, r, (2.0 - l1) * variance / difference, 1e-12 * r);
        }
    }
    r = 7.0;
    STATUS(CALCORE_E_NOT_FINITE, calcore_r_statistic_push(statistic, check_nan(), &r, &err));
    STATUS(CALCORE_E_NULL, calcore_r_statistic_push(NULL, 1.0, &r, &err));
    STATUS(CALCORE_E_HANDLE, calcore_r_statistic_push((calcore_r_statistic *)(void *)&err, 1.0, &r, &err));
    CHECK(r == 7.0);
    calcore_r_statistic_free(statistic);
    calcore_r_statistic_free(NULL);
    statistic = NULL;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_r_statistic_new(0.0, l2, l3, &statistic, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_r_statistic_new(l1, check_nan(), l3, &statistic, &err));
    CHECK(statistic == NULL);
}

void test_settled(void)
{
    approach();
    lines();
    small();
    r_statistic();
}
