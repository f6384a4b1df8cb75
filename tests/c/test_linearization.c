/* Linearity and cycles by hand, errors of a choice with a proven bound. */
#include "check.h"

#include <math.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

enum { N = 5, POINTS = 3, CYCLES = 2 };

static const double percent[N] = {0.0, 25.0, 50.0, 75.0, 100.0};
static const double error[N] = {0.02, 0.10, 0.16, 0.12, 0.04};

/* By hand: terminal line 0.02 + 0.0002 x, at 50: 0.13. Zero-based: slope (0.14 + 0.02)/150, at 50: 0.26/3. Independent: half
 * the terminal one, a quarter, a quarter and minus a half of three readings. */
static void linearity(void)
{
    const double u[N] = {0.01, 0.01, 0.01, 0.01, 0.01};
    double covariance[N * N];
    double deviations[N];
    size_t i;
    calcore_error err = check_error();
    SIZED(calcore_linearity_result, found);
    GOOD(calcore_linearity(percent, error, N, CALCORE_LINEARITY_TERMINAL, 50.0, NULL, NULL, deviations, &found, &err));
    CLOSE("terminal", 0.0, found.largest, 0.13, 1e-15);
    CLOSE("percent", 0.0, found.percent_of_span, 0.26, 1e-14);
    CLOSE("deviation", 2.0, deviations[2], 0.13, 1e-15);
    CLOSE("slope", 0.0, found.slope, 0.0002, 1e-18);
    CHECK(found.at == 2 && isnan(found.standard_uncertainty) && isnan(found.standard_uncertainty_percent_of_span));
    GOOD(calcore_linearity(percent, error, N, CALCORE_LINEARITY_ZERO, NAN, NULL, NULL, NULL, &found, &err));
    CLOSE("zero-based", 0.0, found.largest, 0.26 / 3.0, 1e-15);
    CHECK(isnan(found.percent_of_span));
    GOOD(calcore_linearity(percent, error, N, CALCORE_LINEARITY_INDEPENDENT, 50.0, u, NULL, NULL, &found, &err));
    CLOSE("independent", 0.0, found.largest, 0.065, 1e-15);
    CLOSE("u", 0.0, found.standard_uncertainty, 0.01 * sqrt(0.375), 1e-15);
    CLOSE("u in percent", 0.0, found.standard_uncertainty_percent_of_span, 0.02 * sqrt(0.375), 1e-13);
    for (i = 0; i < N * N; i++) {
        covariance[i] = i % (N + 1) == 0 ? 1e-4 : 0.0;
    }
    GOOD(calcore_linearity(percent, error, N, CALCORE_LINEARITY_INDEPENDENT, NAN, NULL, covariance, NULL, &found, &err));
    CLOSE("u of a covariance", 0.0, found.standard_uncertainty, 0.01 * sqrt(0.375), 1e-15);
    GOOD(calcore_linearity(percent, error, N, CALCORE_LINEARITY_UNADJUSTED, NAN, NULL, NULL, NULL, &found, &err));
    CLOSE("unadjusted", 0.0, found.largest, 99.96, 1e-13);
    CHECK(found.at == 4);
}

static void linearity_refused(void)
{
    const double u[N] = {0.01, 0.01, 0.01, 0.01, -0.01};
    const double hole[N] = {0.0, 0.1, NAN, 0.1, 0.0};
    calcore_error err = check_error();
    SIZED(calcore_linearity_result, found);
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_linearity(percent, error, 2, 0, NAN, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_linearity(NULL, NULL, 0, 0, NAN, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_OPTION, calcore_linearity(percent, error, N, 9, NAN, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_OPTION, calcore_linearity(percent, error, N, 0, NAN, u, u, NULL, &found, &err));
    STATUS(CALCORE_E_NULL, calcore_linearity(NULL, error, N, 0, NAN, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_NULL, calcore_linearity(percent, error, N, 0, NAN, NULL, NULL, NULL, NULL, &err));
    STATUS(CALCORE_E_POINTER, calcore_linearity(percent, error, SIZE_MAX, 0, NAN, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_linearity(percent, hole, N, 0, NAN, NULL, NULL, NULL, &found, &err));
    CHECK(err.index == 2);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_linearity(percent, error, N, 0, 0.0, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_linearity(percent, error, N, 0, NAN, u, NULL, NULL, &found, &err));
    found.size = 8;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_linearity(percent, error, N, 0, NAN, NULL, NULL, NULL, &found, &err));
}

/* An element of 100.02 ohm that follows the standard conforms once its ends are adjusted; as it stands it is off by 0.0002 of
 * 138.5055 ohm, IEC 60751:2022 at 100 degC. */
static void conformity(const calcore_curve *pt100)
{
    const double t_c[POINTS] = {0.0, 50.0, 100.0};
    const double hot_c[POINTS] = {0.0, 50.0, 900.0};
    double ohm[POINTS];
    double deviations[POINTS];
    size_t i;
    calcore_error err = check_error();
    SIZED(calcore_linearity_result, found);
    for (i = 0; i < POINTS; i++) {
        ohm[i] = 100.02 * (1.0 + 3.9083e-3 * t_c[i] - 5.775e-7 * t_c[i] * t_c[i]);
    }
    GOOD(calcore_conformity_to_curve(pt100, t_c, ohm, POINTS, CALCORE_LINEARITY_UNADJUSTED, NAN, NULL, NULL, deviations, &found,
                            &err));
    CLOSE("as it stands", 0.0, found.largest, 0.0002 * 138.5055, 1e-12);
    CLOSE("at 0", 0.0, deviations[0], 0.02, 1e-12);
    GOOD(calcore_conformity_to_curve(pt100, t_c, ohm, POINTS, CALCORE_LINEARITY_TERMINAL, NAN, NULL, NULL, NULL, &found, &err));
    CHECK(found.largest < 1e-12);
    STATUS(CALCORE_E_NULL, calcore_conformity_to_curve(NULL, t_c, ohm, POINTS, 0, NAN, NULL, NULL, NULL, &found, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_conformity_to_curve(pt100, hot_c, ohm, POINTS, 0, NAN, NULL, NULL, NULL, &found, &err));
}

/* By hand, mA: errors up .00 .02 .01 | .02 .04 .01, down .01 .06 .02 | .01 .08 .02. Means up .01 .03 .01, down .01 .07 .02:
 * hysteretic error .04 at the middle. Average .01 .05 .015: terminal .05 - .0125. Squares: two readings d apart give d^2/2:
 * (.02^2 + .02^2 + 0 + 0 + .02^2 + 0)/2 = 6e-4 with 6 degrees of freedom. Readings near 20 are rounded to 3.6e-15. */
static void cycles(void)
{
    const double x[POINTS] = {0.0, 50.0, 100.0};
    const double expected[POINTS] = {4.0, 12.0, 20.0};
    const double up[CYCLES * POINTS] = {4.0, 12.02, 20.01, 4.02, 12.04, 20.01};
    const double down[CYCLES * POINTS] = {4.01, 12.06, 20.02, 4.01, 12.08, 20.02};
    const double want_up[POINTS] = {0.01, 0.03, 0.01};
    const double want_down[POINTS] = {0.01, 0.07, 0.02};
    const double want[POINTS] = {0.01, 0.05, 0.015};
    double u[2 * CYCLES * POINTS];
    double common[4 * CYCLES * POINTS * CYCLES * POINTS];
    double curve_up[POINTS];
    double curve_down[POINTS];
    double average[POINTS];
    double u_average[POINTS];
    size_t i;
    calcore_error err = check_error();
    SIZED(calcore_cycles, readings);
    SIZED(calcore_cycle_curves, curves);
    SIZED(calcore_cycle_figures, f);
    for (i = 0; i < 2 * CYCLES * POINTS; i++) {
        u[i] = 0.01;
    }
    readings.points = POINTS;
    readings.cycles = CYCLES;
    readings.x = x;
    readings.expected = expected;
    readings.up = up;
    readings.down = down;
    readings.span = 16.0;
    readings.dead_band = 0.005;
    readings.u = u;
    curves.up = curve_up;
    curves.down = curve_down;
    curves.average = average;
    curves.average_standard_uncertainty = u_average;
    GOOD(calcore_cycles_figures(&readings, &curves, &f, &err));
    for (i = 0; i < POINTS; i++) {
        CLOSE("up", x[i], curve_up[i], want_up[i], 1e-14);
        CLOSE("down", x[i], curve_down[i], want_down[i], 1e-14);
        CLOSE("average", x[i], average[i], want[i], 1e-14);
        CLOSE("its u, of four readings", x[i], u_average[i], 0.005, 1e-14);
    }
    CLOSE("hysteretic error", 0.0, f.hysteretic_error.value, 0.04, 1e-14);
    CLOSE("hysteresis", 0.0, f.hysteresis.value, 0.035, 1e-14);
    CLOSE("hysteresis in percent", 0.0, f.hysteresis.percent_of_span, 3.5 / 16.0, 1e-13);
    CLOSE("its u", 0.0, f.hysteresis.standard_uncertainty, 0.01, 1e-14);
    CHECK(f.hysteresis.at == 1);
    CLOSE("repeatability", 0.0, f.repeatability, 0.01, 1e-14);
    CLOSE("in percent", 0.0, f.repeatability_percent_of_span, 1.0 / 16.0, 1e-13);
    CLOSE("its u", 0.0, f.repeatability_standard_uncertainty, 0.01 / sqrt(12.0), 1e-14);
    CHECK(f.repeatability_degrees_of_freedom == 6);
    CLOSE("largest range", 0.0, f.largest_range.value, 0.02, 1e-14);
    CLOSE("most positive", 0.0, f.most_positive_error.value, 0.08, 1e-14);
    CLOSE("most negative", 0.0, f.most_negative_error.value, 0.0, 1e-14);
    CLOSE("terminal", 0.0, f.terminal_based_linearity.value, 0.0375, 1e-14);
    CLOSE("its u", 0.0, f.terminal_based_linearity.standard_uncertainty, 0.005 * sqrt(1.5), 1e-14);
    CLOSE("independent", 0.0, f.independent_linearity.value, 0.01875, 1e-14);
    CLOSE("zero-based", 0.0, f.zero_based_linearity.value, 0.025, 1e-14);

    /* An error common to all readings stays in the largest error and cancels in the hysteresis. */
    for (i = 0; i < sizeof common / sizeof common[0]; i++) {
        common[i] = 1e-4;
    }
    readings.covariance = common;
    STATUS(CALCORE_E_OPTION, calcore_cycles_figures(&readings, NULL, &f, &err));
    readings.u = NULL;
    GOOD(calcore_cycles_figures(&readings, NULL, &f, &err));
    CLOSE("common", 0.0, f.most_positive_error.standard_uncertainty, 0.01, 1e-15);
    CLOSE("cancelled", 0.0, f.hysteresis.standard_uncertainty, 0.0, 1e-9);

    /* One way, once, without uncertainties: it says less. */
    readings.covariance = NULL;
    readings.down = NULL;
    readings.cycles = 1;
    GOOD(calcore_cycles_figures(&readings, NULL, &f, &err));
    CHECK(isnan(f.hysteresis.value) && isnan(f.repeatability) && f.repeatability_degrees_of_freedom == 0);
    CHECK(isnan(f.largest_range.value) && isnan(f.most_positive_error.standard_uncertainty));
    CHECK(f.independent_linearity.value > 0.0);
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_cycles_figures(&readings, &curves, &f, &err));
    readings.cycles = 0;
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_cycles_figures(&readings, NULL, &f, &err));
    readings.cycles = SIZE_MAX / 2;
    STATUS(CALCORE_E_POINTER, calcore_cycles_figures(&readings, NULL, &f, &err));
    readings.cycles = 1;
    readings.span = 0.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_cycles_figures(&readings, NULL, &f, &err));
    readings.up = NULL;
    STATUS(CALCORE_E_NULL, calcore_cycles_figures(&readings, NULL, &f, &err));
    STATUS(CALCORE_E_NULL, calcore_cycles_figures(NULL, NULL, &f, &err));
}

/* By hand from R = R0 (1 + A t + B t^2): a line through both ends of 0 to h is off by B t (t - h)/(A + B h); the best line by
 * half of that. Two wires: 0.5 ohm over the slope of IEC 60751 is 1.280 K at 0 degC and 1.452 K at 400 degC. */
static void choices(const calcore_curve *pt100)
{
    const double middle_c = 50.0;
    const double exact = 5.775e-7 * 2500.0 / (3.9083e-3 - 5.775e-5);
    const double ends_c[2] = {0.0, 400.0};
    double error_k[2];
    calcore_cvd *entered = NULL;
    calcore_curve *rounded = NULL;
    calcore_error err = check_error();
    SIZED(calcore_choice, choice);
    SIZED(calcore_largest_error, worst);
    choice.linear = 1;
    choice.basis = CALCORE_LINEARITY_TERMINAL;
    choice.linear_high_c = 100.0;
    GOOD(calcore_choice_errors(pt100, &choice, &middle_c, 1, error_k, &err));
    CLOSE("linear in resistance", middle_c, error_k[0], exact, 1e-12);
    GOOD(calcore_choice_largest_error(pt100, &choice, 0.0, 100.0, &worst, &err));
    CHECK(worst.largest_k >= exact - 1e-12 && worst.largest_k <= 1.0011 * exact);
    CHECK(worst.reached_k <= worst.largest_k && worst.reached_k >= 0.9989 * worst.largest_k);
    CLOSE("where", 0.0, worst.at_c, 50.0, 1.0);
    choice.basis = CALCORE_LINEARITY_INDEPENDENT;
    GOOD(calcore_choice_largest_error(pt100, &choice, 0.0, 100.0, &worst, &err));
    CLOSE("best line", 0.0, worst.largest_k, 0.5 * exact, 1e-3 * exact);
    choice.basis = CALCORE_LINEARITY_UNADJUSTED;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_choice_largest_error(pt100, &choice, 0.0, 100.0, &worst, &err));
    choice.read_with = pt100;
    STATUS(CALCORE_E_OPTION, calcore_choice_largest_error(pt100, &choice, 0.0, 100.0, &worst, &err));
    choice.linear = 0;
    choice.read_with = NULL;
    choice.added_signal = 0.5;
    GOOD(calcore_choice_errors(pt100, &choice, ends_c, 2, error_k, &err));
    CLOSE("two wires", 0.0, error_k[0], 1.280, 2e-3);
    CLOSE("two wires", 400.0, error_k[1], 1.453, 2e-3);
    GOOD(calcore_choice_largest_error(pt100, &choice, 0.0, 400.0, &worst, &err));
    CLOSE("two wires", 0.0, worst.largest_k, 1.453, 2e-3);
    CLOSE("least", 0.0, worst.most_negative_k, 1.280, 2e-3);
    CHECK(worst.at_c > 399.0 && worst.most_positive_at_c > 399.0 && worst.most_negative_at_c < 1.0);
    /* Half a step of 0.1 ohm over the slope at 400 degC, 0.34463 ohm/K. */
    choice.added_signal = 0.0;
    choice.resolution = 0.1;
    GOOD(calcore_choice_largest_error(pt100, &choice, 0.0, 400.0, &worst, &err));
    CLOSE("resolution", 0.0, worst.largest_k, 0.05 / 0.34463, 2e-4);
    /* alpha .0038506, delta 1.4999, beta .10863 as entered: -4.5 mK at 600 degC; half of the last digit. */
    choice.resolution = 0.0;
    GOOD(calcore_cvd_from_alpha_delta_beta(100.0, 0.0038506, 1.4999, 0.10863, &entered, &err));
    GOOD(calcore_curve_from_cvd(entered, &rounded, &err));
    calcore_cvd_free(entered);
    choice.read_with = rounded;
    GOOD(calcore_choice_largest_error(pt100, &choice, 0.0, 600.0, &worst, &err));
    CLOSE("rounded coefficients", 600.0, 1e3 * worst.most_negative_k, -4.5, 0.05);
    calcore_curve_free(rounded);
    choice.read_with = NULL;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_choice_largest_error(pt100, &choice, 9.0, 1.0, &worst, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_choice_largest_error(pt100, &choice, NAN, 1.0, &worst, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_choice_largest_error(pt100, &choice, 0.0, 900.0, &worst, &err));
    GOOD(calcore_choice_errors(pt100, &choice, NULL, 0, NULL, &err));
    STATUS(CALCORE_E_POINTER, calcore_choice_errors(pt100, &choice, ends_c, SIZE_MAX, error_k, &err));
    STATUS(CALCORE_E_NULL, calcore_choice_errors(pt100, NULL, ends_c, 2, error_k, &err));
    choice.linear = 2;
    STATUS(CALCORE_E_OPTION, calcore_choice_errors(pt100, &choice, ends_c, 2, error_k, &err));
    choice.size = 0;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_choice_errors(pt100, &choice, ends_c, 2, error_k, &err));
}

void test_linearization(void)
{
    calcore_error err = check_error();
    calcore_cvd *cvd = NULL;
    calcore_curve *pt100 = NULL;
    GOOD(calcore_cvd_iec60751(100.0, &cvd, &err));
    GOOD(calcore_curve_from_cvd(cvd, &pt100, &err));
    calcore_cvd_free(cvd);
    linearity();
    linearity_refused();
    conformity(pt100);
    cycles();
    choices(pt100);
    calcore_curve_free(pt100);
}
