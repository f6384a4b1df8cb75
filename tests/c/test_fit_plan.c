/* Batches, choice of set points, nested models, deviations from a reference curve. */
#include "check.h"

#include <math.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

enum { POINTS = 5, SENSORS = 40 };

static const double set_points_c[POINTS] = {-40.0, 0.0, 60.0, 130.0, 200.0};

/* Resistances of invented elements; errors from a fixed sequence. */
static void invented(double *ohm)
{
    size_t s;
    size_t i;
    for (s = 0; s < SENSORS; s++) {
        for (i = 0; i < POINTS; i++) {
            double t = set_points_c[i];
            double error = 1e-3 * ((double)((s * 31 + i * 17) % 23) / 11.0 - 1.0);
            double cold = t < 0.0 ? -4.183e-12 * (t - 100.0) * t * t * t : 0.0;
            ohm[s * POINTS + i] = (100.0 + 1e-3 * (double)s) * (1.0 + 3.9083e-3 * t - 5.775e-7 * t * t + cold) + error;
        }
    }
}

/* Every row has the bits of a fit of its own; one bad sensor spoils its row alone; the number of threads changes nothing. */
static void batch(void)
{
    const double u_ohm = 0.001;
    const double u_t = 0.01;
    calcore_error err = check_error();
    double ohm[SENSORS * POINTS];
    double shared[SENSORS * POINTS];
    double coefficients[SENSORS * 4];
    double again[SENSORS * 4];
    double covariance[SENSORS * 16];
    double chi_squared[SENSORS];
    double residuals[SENSORS * POINTS];
    size_t freedom[SENSORS];
    calcore_status statuses[SENSORS];
    size_t counts[SENSORS];
    size_t failed = 77;
    size_t s;
    size_t i;
    SIZED(calcore_fit_options, o);
    SIZED(calcore_batch_results, results);
    SIZED(calcore_fit_report, report);
    o.u_x = &u_t;
    o.u_x_count = 1;
    o.u_y = &u_ohm;
    o.u_y_count = 1;
    o.u_x_common = 0.02;
    invented(ohm);
    ohm[7 * POINTS + 2] = check_nan();
    results.coefficients = coefficients;
    results.covariance = covariance;
    results.chi_squared = chi_squared;
    results.degrees_of_freedom = freedom;
    results.residuals_ohm = residuals;
    results.statuses = statuses;
    GOOD(calcore_fit_callendar_van_dusen_batch(set_points_c, POINTS, ohm, SENSORS * POINTS, NULL, SENSORS, &o, 1, &results,
                                               &failed, &err));
    CHECK(failed == 1);
    for (s = 0; s < SENSORS; s++) {
        calcore_fit *fit = NULL;
        double values[16];
        if (s == 7) {
            CHECK(statuses[s] == CALCORE_E_NOT_FINITE && isnan(coefficients[4 * s]) && isnan(covariance[16 * s]));
            continue;
        }
        CHECK(statuses[s] == CALCORE_OK && freedom[s] == 1);
        GOOD(calcore_fit_callendar_van_dusen(set_points_c, ohm + s * POINTS, POINTS, &o, &fit, &err));
        GOOD(calcore_fit_parameters(fit, values, 4, &err));
        for (i = 0; i < 4; i++) {
            SAME("coefficient", coefficients[4 * s + i], values[i]);
        }
        GOOD(calcore_fit_covariance(fit, values, 16, &err));
        for (i = 0; i < 16; i++) {
            SAME("covariance", covariance[16 * s + i], values[i]);
        }
        GOOD(calcore_fit_describe(fit, &report, &err));
        SAME("chi-squared", chi_squared[s], report.chi_squared);
        GOOD(calcore_fit_points(fit, CALCORE_POINTS_RESIDUALS, values, POINTS, &err));
        for (i = 0; i < POINTS; i++) {
            SAME("residual", residuals[s * POINTS + i], values[i]);
        }
        calcore_fit_free(fit);
    }
    /* Ragged, with the temperatures of every point, on three threads. */
    for (s = 0; s < SENSORS; s++) {
        counts[s] = POINTS;
        for (i = 0; i < POINTS; i++) {
            shared[s * POINTS + i] = set_points_c[i];
        }
    }
    memset(&results, 0, sizeof results);
    results.size = sizeof results;
    results.coefficients = again;
    GOOD(calcore_fit_callendar_van_dusen_batch(shared, SENSORS * POINTS, ohm, SENSORS * POINTS, counts, SENSORS, &o, 3, &results,
                                               &failed, &err));
    for (i = 0; i < SENSORS * 4; i++) {
        SAME("ragged", again[i], coefficients[i]);
    }
    counts[3] = 1; /* the sum no longer fits */
    failed = 77;
    STATUS(CALCORE_E_LENGTH_MISMATCH,
           calcore_fit_callendar_van_dusen_batch(shared, SENSORS * POINTS, ohm, SENSORS * POINTS, counts, SENSORS, &o, 3,
                                                 &results, &failed, &err));
    counts[3] = (size_t)-1;
    CHECK(calcore_fit_callendar_van_dusen_batch(shared, SENSORS * POINTS, ohm, SENSORS * POINTS, counts, SENSORS, &o, 3,
                                                &results, &failed, &err) == CALCORE_E_LENGTH_MISMATCH);
    STATUS(CALCORE_E_LENGTH_MISMATCH,
           calcore_fit_callendar_van_dusen_batch(set_points_c, POINTS, ohm, SENSORS * POINTS - 1, NULL, SENSORS, &o, 1, &results,
                                                 &failed, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH,
           calcore_fit_callendar_van_dusen_batch(set_points_c, POINTS, ohm, SENSORS * POINTS, NULL, 0, &o, 1, &results, &failed,
                                                 &err));
    o.robust = 1;
    STATUS(CALCORE_E_OPTION, calcore_fit_callendar_van_dusen_batch(set_points_c, POINTS, ohm, SENSORS * POINTS, NULL, SENSORS, &o,
                                                                   1, &results, &failed, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_callendar_van_dusen_batch(set_points_c, POINTS, ohm, SENSORS * POINTS, NULL, SENSORS, NULL,
                                                                 1, NULL, &failed, &err));
    CHECK(failed == 77);
    GOOD(calcore_fit_callendar_van_dusen_batch(NULL, 0, NULL, 0, NULL, 0, NULL, 0, &results, &failed, &err));
    CHECK(failed == 0);
}

/* A parabola through three points of equal uncertainty is nowhere less sure between -1, 0, 1 than at them (L. Fejer, Math. Ann.
 * 106 (1932) 1-55), and the slope of platinum falls: 0, 50, 100 °C is best, and the worst place is 100 °C with u / slope. */
static void choice(void)
{
    static const double ends_and_middle[3] = {0.0, 50.0, 100.0};
    static const double crowded[3] = {40.0, 50.0, 60.0};
    calcore_error err = check_error();
    calcore_cvd *pt100 = NULL;
    const double slope = 100.0 * (3.9083e-3 - 2.0 * 5.775e-7 * 100.0);
    double t_c[4] = {7.0, 7.0, 7.0, 7.0};
    double x[4];
    SIZED(calcore_set_point_choice, c);
    GOOD(calcore_cvd_iec60751(100.0, &pt100, &err));
    GOOD(calcore_fit_assess_set_points(pt100, 0.0, 100.0, ends_and_middle, 3, 0.0, 0.001, 0, &c, t_c, &err));
    CLOSE("largest uncertainty", 100.0, c.largest_uncertainty_k, 0.001 / slope, 1e-12);
    CHECK(c.at_c == 100.0);
    CLOSE("ratio", 0.0, c.ratio, 1.0, 1e-9);
    CHECK(t_c[0] < t_c[1] && t_c[2] == 100.0);
    GOOD(calcore_fit_set_points(pt100, 0.0, 100.0, 3, 0.0, 0.001, 0, t_c, &c, &err));
    CLOSE("best", 100.0, c.largest_uncertainty_k, 0.001 / slope, 1e-12);
    CHECK(c.ratio == 1.0);
    /* Extrapolated from 40, 50, 60 °C to 100 °C: (15, -24, 10) times u at x = 5, so the root of 15^2 + 24^2 + 10^2. */
    GOOD(calcore_fit_assess_set_points(pt100, 0.0, 100.0, crowded, 3, 0.0, 0.001, 0, &c, NULL, &err));
    CLOSE("crowded", 100.0, c.largest_uncertainty_k, 0.001 * sqrt(225.0 + 576.0 + 100.0) / slope, 1e-10);
    CLOSE("how much worse", 100.0, c.ratio, sqrt(901.0), 1e-6);
    GOOD(calcore_fit_set_points(pt100, -100.0, 200.0, 4, 0.005, 0.001, 1, t_c, &c, &err));
    CHECK(t_c[0] >= -100.0 && t_c[3] <= 200.0 && c.largest_uncertainty_k > 0.0);
    GOOD(calcore_fit_optimal_abscissae(3, 4, x, &err));
    CLOSE("abscissa", 0.0, x[0], -1.0, 1e-9);
    CLOSE("abscissa", 2.0, x[2], sqrt(0.2), 1e-4);
    c.ratio = 7.0;
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_fit_set_points(pt100, 0.0, 100.0, 2, 0.0, 0.001, 0, t_c, &c, &err));
    STATUS(CALCORE_E_OPTION, calcore_fit_set_points(pt100, 0.0, 100.0, 3, 0.0, 0.001, 2, t_c, &c, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_fit_set_points(pt100, 0.0, 5000.0, 3, 0.0, 0.001, 0, t_c, &c, &err));
    CHECK(calcore_fit_set_points(pt100, check_nan(), 100.0, 3, 0.0, 0.001, 0, t_c, &c, &err) != CALCORE_OK);
    CHECK(calcore_fit_set_points(pt100, 0.0, 100.0, 3, 0.0, -0.001, 0, t_c, &c, &err) != CALCORE_OK);
    STATUS(CALCORE_E_NULL, calcore_fit_set_points(pt100, 0.0, 100.0, 3, 0.0, 0.001, 0, NULL, &c, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_assess_set_points(pt100, 0.0, 100.0, NULL, 3, 0.0, 0.001, 0, &c, NULL, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_fit_optimal_abscissae(9, 10, x, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_optimal_abscissae(3, 4, NULL, &err));
    CHECK(c.ratio == 7.0);
    calcore_cvd_free(pt100);
}

/* The survival function of chi-squared with two degrees of freedom is exp(-x/2), with one erfc(sqrt(x/2)). */
static void nested(void)
{
    const double nan = check_nan();
    const double u_ohm = 0.001;
    double fixed[12];
    calcore_error err = check_error();
    calcore_fit *fits[3] = {NULL, NULL, NULL};
    double ohm[SENSORS * POINTS];
    double p[3] = {7.0, 7.0, 7.0};
    double cross[3];
    double chi[3];
    double values[POINTS];
    double sum = 0.0;
    size_t i;
    SIZED(calcore_fit_options, o);
    SIZED(calcore_fit_report, report);
    fixed[0] = fixed[4] = fixed[5] = fixed[6] = nan;
    fixed[8] = fixed[9] = fixed[10] = fixed[11] = nan;
    fixed[1] = 3.9083e-3;
    fixed[2] = -5.775e-7;
    fixed[3] = fixed[7] = -4.183e-12;
    o.u_y = &u_ohm;
    o.u_y_count = 1;
    invented(ohm);
    GOOD(calcore_fit_compare_models(set_points_c, ohm, POINTS, &o, fixed, 3, p, cross, fits, &err));
    for (i = 0; i < 3; i++) {
        GOOD(calcore_fit_describe(fits[i], &report, &err));
        chi[i] = report.chi_squared;
    }
    CHECK(isnan(p[0]));
    CLOSE("two more", chi[0] - chi[1], p[1], exp(-0.5 * (chi[0] - chi[1])), 1e-12);
    CLOSE("one more", chi[1] - chi[2], p[2], erfc(sqrt(0.5 * (chi[1] - chi[2]))), 1e-12);
    GOOD(calcore_fit_points(fits[1], CALCORE_POINTS_LEAVE_ONE_OUT, values, POINTS, &err));
    for (i = 0; i < POINTS; i++) {
        calcore_cvd *curve = NULL;
        double slope = 0.0;
        GOOD(calcore_fit_cvd(fits[1], &curve, &err));
        GOOD(calcore_cvd_slope(curve, set_points_c[i], &slope, &err));
        sum += values[i] / slope * (values[i] / slope);
        calcore_cvd_free(curve);
    }
    CLOSE("cross-validation", 0.0, cross[1], sqrt(sum / POINTS), 1e-15);
    for (i = 0; i < 3; i++) {
        calcore_fit_free(fits[i]);
        fits[i] = NULL;
    }
    GOOD(calcore_fit_compare_models(set_points_c, ohm, POINTS, NULL, fixed, 2, NULL, NULL, NULL, &err));
    GOOD(calcore_fit_compare_models(set_points_c, ohm, POINTS, NULL, NULL, 0, p, cross, fits, &err));
    p[1] = 7.0;
    o.fixed = fixed;
    o.fixed_count = 4;
    STATUS(CALCORE_E_OPTION, calcore_fit_compare_models(set_points_c, ohm, POINTS, &o, fixed, 3, p, cross, fits, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_compare_models(set_points_c, ohm, POINTS, NULL, NULL, 3, p, cross, fits, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_fit_compare_models(set_points_c, ohm, 2, NULL, fixed, 2, p, cross, fits, &err));
    ohm[1] = nan;
    STATUS(CALCORE_E_NOT_FINITE, calcore_fit_compare_models(set_points_c, ohm, POINTS, NULL, fixed, 3, p, cross, fits, &err));
    CHECK(p[1] == 7.0 && fits[0] == NULL);
}

/* Type K with a deviation of 2e-5 mV/K t + 3e-8 mV/K^2 t^2: found again, and read backwards through the corrected curve. */
static void deviations(void)
{
    static const double t_c[5] = {100.0, 250.0, 400.0, 550.0, 700.0};
    const double u_mv = 0.002;
    const double both[2] = {2e-5, 3e-8};
    const double wild[2] = {0.0, -0.04}; /* about the slope of type K: the sum turns */
    double whole[3];
    calcore_error err = check_error();
    calcore_thermocouple *k = NULL;
    calcore_curve *reference = NULL;
    calcore_curve *corrected = NULL;
    calcore_curve *same = NULL;
    calcore_fit *fit = NULL;
    double mv[5];
    double p[2];
    double x = 0.0;
    double y = 0.0;
    size_t count = 0;
    size_t i;
    SIZED(calcore_fit_options, o);
    SIZED(calcore_fit_report, report);
    SIZED(calcore_curve_range, range);
    o.u_y = &u_mv;
    o.u_y_count = 1;
    GOOD(calcore_thermocouple_new("K", CALCORE_SIDE_NONE, &k, &err));
    GOOD(calcore_curve_from_thermocouple(k, &reference, &err));
    for (i = 0; i < 5; i++) {
        GOOD(calcore_thermocouple_emf(k, t_c[i], 0.0, &mv[i], &err));
        mv[i] += (both[1] * t_c[i] + both[0]) * t_c[i];
    }
    GOOD(calcore_fit_deviation(reference, t_c, mv, 5, 2, 0, &o, &fit, &err));
    GOOD(calcore_fit_describe(fit, &report, &err));
    CHECK(report.kind == CALCORE_FIT_DEVIATION && report.parameters == 2 && report.degrees_of_freedom == 3);
    GOOD(calcore_fit_parameters(fit, p, 2, &err));
    /* An emf of 29 mV rounds to 4e-15 mV, over 100 K and 1e4 K^2. */
    CLOSE("c1", 0.0, p[0], both[0], 1e-15);
    CLOSE("c2", 0.0, p[1], both[1], 1e-17);
    GOOD(calcore_fit_curve(fit, &corrected, &err));
    calcore_curve_free(reference); /* copied */
    GOOD(calcore_curve_describe(corrected, &range, &err));
    CHECK(range.low_c == 0.0 && range.high_c == 700.0);
    for (i = 0; i < 5; i++) {
        GOOD(calcore_curve_temperature(corrected, mv[i], &x, &err));
        CLOSE("read backwards", mv[i], x, t_c[i], 1e-11);
    }
    GOOD(calcore_fit_temperature_uncertainty(fit, 400.0, &x, &err));
    CHECK(x > 0.0 && x < 0.002 / 0.04);
    GOOD(calcore_curve_coefficients(corrected, NULL, 0, &count, &err));
    CHECK(count == 3);
    GOOD(calcore_curve_coefficients(corrected, whole, 3, &count, &err));
    CHECK(whole[0] == 0.0 && whole[1] == p[0] && whole[2] == p[1]);
    GOOD(calcore_curve_from_thermocouple(k, &reference, &err));
    GOOD(calcore_corrected_curve_new(reference, whole, 3, 0.0, 700.0, &same, &err));
    GOOD(calcore_curve_signal(corrected, 333.0, &x, &err));
    GOOD(calcore_curve_signal(same, 333.0, &y, &err));
    SAME("the same curve", x, y);
    calcore_curve_free(same);
    same = NULL;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_corrected_curve_new(reference, wild, 2, 0.0, 700.0, &same, &err));
    whole[1] = check_nan();
    STATUS(CALCORE_E_NOT_FINITE, calcore_corrected_curve_new(reference, whole, 3, 0.0, 700.0, &same, &err));
    CHECK(err.index == 1);
    CHECK(calcore_corrected_curve_new(reference, both, 2, check_nan(), 700.0, &same, &err) != CALCORE_OK);
    STATUS(CALCORE_E_NULL, calcore_corrected_curve_new(NULL, both, 2, 0.0, 700.0, &same, &err));
    CHECK(same == NULL);
    calcore_fit_free(fit);
    fit = NULL;
    STATUS(CALCORE_E_OPTION, calcore_fit_deviation(reference, t_c, mv, 5, 2, 3, &o, &fit, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_fit_deviation(reference, t_c, mv, 5, 0, 0, &o, &fit, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_fit_deviation(reference, t_c, mv, 5, 99, 0, &o, &fit, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_fit_deviation(reference, t_c, mv, 1, 2, 0, &o, &fit, &err));
    STATUS(CALCORE_E_NULL, calcore_fit_deviation(NULL, t_c, mv, 5, 2, 0, &o, &fit, &err));
    CHECK(fit == NULL);
    calcore_curve_free(reference);
    calcore_curve_free(corrected);
    calcore_thermocouple_free(k);
}

void test_fit_plan(void)
{
    batch();
    choice();
    nested();
    deviations();
}
