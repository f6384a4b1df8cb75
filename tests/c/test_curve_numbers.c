/* The numbers of curves and of the sub-ranges of the ITS-90, older scales, how sure a tolerance is. */
#include "check.h"

#include <math.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

static void sprt(void)
{
    static const double coefficients[2] = {-1.2e-4, -2.0e-6};
    static const double zero[2] = {0.0, 0.0};
    calcore_error err = check_error();
    calcore_curve *curve = NULL;
    double values[3];
    double x = 0.0;
    double slope = 0.0;
    size_t count = 0;
    SIZED(calcore_acceptance, a);
    SIZED(calcore_polynomial_rtd_numbers, rtd);
    /* 3.3.3 with a (W - 1) + b (W - 1)^2: the sub-range from the triple point of mercury to gallium. */
    GOOD(calcore_sprt_new(25.5, "3.3.3", coefficients, 2, &curve, &err));
    GOOD(calcore_curve_coefficients(curve, values, 3, &count, &err));
    CHECK(count == 3 && values[0] == 25.5 && values[1] == coefficients[0] && values[2] == coefficients[1]);
    GOOD(calcore_sprt_deviation(curve, 1.1, &x, &slope, &err));
    CLOSE("deviation", 1.1, x, -1.2e-4 * 0.1 - 2.0e-6 * 0.01, 1e-19); /* 1.1 rounds by 1e-16 */
    CLOSE("slope", 1.1, slope, -1.2e-4 - 2.0 * 2.0e-6 * 0.1, 1e-19);
    x = 7.0;
    STATUS(CALCORE_E_NOT_FINITE, calcore_sprt_deviation(curve, check_nan(), &x, &slope, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_sprt_deviation(curve, 100.0, &x, &slope, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_curve_coefficients(curve, values, 2, &count, &err));
    STATUS(CALCORE_E_NULL, calcore_curve_coefficients(curve, values, 3, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_curve_coefficients(NULL, values, 3, &count, &err));
    STATUS(CALCORE_E_HANDLE, calcore_polynomial_rtd_describe(curve, &rtd, &err));
    CHECK(x == 7.0);
    calcore_curve_free(curve);
    /* The reference function itself: W_r(Ga) = 1.11813889, W_r(Hg) = 0.84414211 (table 1 of the scale). */
    GOOD(calcore_sprt_new(25.5, "3.3.3", zero, 2, &curve, &err));
    GOOD(calcore_sprt_acceptance(curve, &a, &err));
    CHECK(a.accepted == 1 && a.failed == 0 && a.criteria == 2 && a.accepted_to_silver == 2);
    calcore_curve_free(curve);
    /* 0.1 % less pure by the ratio: W(Ga) - 1 = 0.1180 is not enough. */
    values[0] = -1e-3;
    values[1] = 0.0;
    GOOD(calcore_sprt_new(25.5, "3.3.3", values, 2, &curve, &err));
    GOOD(calcore_sprt_acceptance(curve, &a, &err));
    CHECK(a.accepted == 0 && a.failed == CALCORE_FAILED_GALLIUM + CALCORE_FAILED_MERCURY);
    calcore_curve_free(curve);
}

static void subranges(void)
{
    calcore_error err = check_error();
    char text[32];
    size_t place = 77;
    size_t needed = 0;
    size_t count = 0;
    SIZED(calcore_subrange, s);
    /* H. Preston-Thomas, Metrologia 27 (1990) 3-10, table 5: eleven sub-ranges. */
    while (calcore_its90_subrange(count, &s, &err) == CALCORE_OK) {
        GOOD(calcore_its90_subrange_text(count, CALCORE_SUBRANGE_NAME, 0, text, sizeof text, &needed, &err));
        GOOD(calcore_its90_find_subrange(text, &place, &err));
        CHECK(place == count && s.low_k < s.high_k && s.coefficients > 0 && s.points > 0);
        GOOD(calcore_its90_subrange_text(count, CALCORE_SUBRANGE_POINT, s.points - 1, text, sizeof text, &needed, &err));
        GOOD(calcore_its90_subrange_text(count, CALCORE_SUBRANGE_COEFFICIENT, s.coefficients - 1, text, sizeof text, &needed,
                                         &err));
        STATUS(CALCORE_E_INDEX, calcore_its90_subrange_text(count, CALCORE_SUBRANGE_POINT, s.points, text, sizeof text, &needed,
                                                            &err));
        count++;
    }
    CHECK(count == 11 && err.code == CALCORE_E_INDEX);
    GOOD(calcore_its90_find_subrange("3.3.3", &place, &err));
    GOOD(calcore_its90_subrange(place, &s, &err));
    CHECK(s.low_k == 234.3156 && s.high_k == 302.9146 && s.coefficients == 2 && s.points == 2 && s.needs_aluminium == 0);
    GOOD(calcore_its90_find_subrange("3.3.2", &place, &err));
    GOOD(calcore_its90_subrange(place, &s, &err));
    CHECK(s.low_k == 273.15 && s.high_k == 1234.93 && s.coefficients == 4);
    place = 77;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_its90_find_subrange("4.4", &place, &err));
    STATUS(CALCORE_E_NULL, calcore_its90_find_subrange(NULL, &place, &err));
    STATUS(CALCORE_E_OPTION, calcore_its90_subrange_text(0, 9, 0, text, sizeof text, &needed, &err));
    STATUS(CALCORE_E_INDEX, calcore_its90_subrange_text(11, CALCORE_SUBRANGE_NAME, 0, text, sizeof text, &needed, &err));
    STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_its90_subrange_text(0, CALCORE_SUBRANGE_NAME, 0, text, 2, &needed, &err));
    CHECK(place == 77);
}

static void others(const char *reference)
{
    table t = table_read(reference, "din43760_ni618_table.csv");
    calcore_error err = check_error();
    calcore_curve *curve = NULL;
    double values[4];
    size_t count = 0;
    size_t i;
    char name[64];
    size_t needed = 0;
    int found = 0;
    double x = 0.0;
    double y = 0.0;
    SIZED(calcore_polynomial_rtd_numbers, rtd);
    /* alpha of every named thermometer from its own two resistances; the nickel of DIN 43760 by its table. */
    for (i = 0; calcore_polynomial_rtd_name(i, name, sizeof name, &needed, &err) == CALCORE_OK; i++) {
        GOOD(calcore_polynomial_rtd_standard(name, 100.0, &curve, &err));
        GOOD(calcore_polynomial_rtd_describe(curve, &rtd, &err));
        CHECK(rtd.r0 == 100.0);
        if (calcore_curve_signal(curve, 100.0, &x, &err) == CALCORE_OK) {
            CLOSE(name, 100.0, rtd.alpha, (x / rtd.r0 - 1.0) / 100.0, 1e-15);
        }
        if (strstr(name, "43760") != NULL || strstr(name, "618") != NULL) {
            found = 1;
            CLOSE("alpha of nickel", 0.0, rtd.alpha, 0.00618, 5e-6); /* as printed: three digits */
        }
        STATUS(CALCORE_E_HANDLE, calcore_curve_coefficients(curve, values, 4, &count, &err));
        calcore_curve_free(curve);
        curve = NULL;
    }
    CHECK(i > 3 && found);
    GOOD(calcore_steinhart_hart_new(1.129241e-3, 2.341077e-4, 8.775468e-8, &curve, &err));
    GOOD(calcore_curve_coefficients(curve, values, 4, &count, &err));
    CHECK(values[0] == 1.129241e-3 && values[1] == 2.341077e-4 && values[2] == 0.0 && values[3] == 8.775468e-8);
    STATUS(CALCORE_E_HANDLE, calcore_sprt_deviation(curve, 1.0, &x, &y, &err));
    calcore_curve_free(curve);
    GOOD(calcore_beta_thermistor_new(10000.0, 3950.0, &curve, &err));
    GOOD(calcore_curve_coefficients(curve, values, 2, &count, &err));
    CHECK(count == 2 && values[0] == 10000.0 && values[1] == 3950.0);
    calcore_curve_free(curve);
    table_free(&t);
}

static void scales(void)
{
    calcore_error err = check_error();
    double x = 7.0;
    int32_t scale = 77;
    /* Fixed points: zinc 419.505 °C on the scale of 1948 and 419.58 °C on that of 1968; 100 °C on both (from memory). */
    GOOD(calcore_temperature_t68_from_t48(419.505, &x, &err));
    CLOSE("t68", 419.505, x, 419.58, 5e-4);
    GOOD(calcore_temperature_t48_from_t68(419.58, &x, &err));
    CLOSE("t48", 419.58, x, 419.505, 5e-4);
    GOOD(calcore_temperature_t68_from_t48(100.0, &x, &err));
    CLOSE("t68", 100.0, x, 100.0, 1e-13);
    GOOD(calcore_temperature_scale_from_name("IPTS-68", &scale, &err));
    CHECK(scale == CALCORE_IPTS68);
    GOOD(calcore_temperature_scale_from_name("ITS-90", &scale, &err));
    CHECK(scale == CALCORE_ITS90);
    GOOD(calcore_temperature_scale_from_name("IPTS-48", &scale, &err));
    CHECK(scale == CALCORE_IPTS48);
    x = 7.0;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_temperature_scale_from_name("", &scale, &err));
    STATUS(CALCORE_E_NULL, calcore_temperature_scale_from_name(NULL, &scale, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_temperature_t68_from_t48(check_nan(), &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_temperature_t48_from_t68(-280.0, &x, &err));
    CHECK(x == 7.0 && scale == CALCORE_IPTS48);
}

static void tolerances(void)
{
    calcore_error err = check_error();
    int32_t sure = 77;
    GOOD(calcore_tolerance_iec60584_confirmation("K", 1, &sure, &err));
    CHECK(sure == CALCORE_CONFIRMED_BY_SUMMARIES);
    GOOD(calcore_tolerance_iec60584_confirmation("C", 2, &sure, &err));
    CHECK(sure == CALCORE_UNCONFIRMED);
    GOOD(calcore_tolerance_astm_e230_confirmation("K", "standard", 100.0, &sure, &err));
    CHECK(sure == CALCORE_CONFIRMED_BY_SUMMARIES);
    GOOD(calcore_tolerance_astm_e230_confirmation("K", "standard", -100.0, &sure, &err));
    CHECK(sure == CALCORE_CONFIRMATION_CONFLICT);
    sure = 77;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_iec60584_confirmation("Q", 1, &sure, &err));
    STATUS(CALCORE_E_OPTION, calcore_tolerance_iec60584_confirmation("K", -1, &sure, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_iec60584_confirmation(NULL, 1, &sure, &err));
    CHECK(calcore_tolerance_astm_e230_confirmation("K", "standard", check_nan(), &sure, &err) != CALCORE_OK);
    CHECK(sure == 77);
}

/* The law of propagation with the sensitivities that the extrapolation states: 1 and 1.414 mA. */
static void zero_power(void)
{
    calcore_error err = check_error();
    double u = 7.0;
    SIZED(calcore_zero_power, z);
    GOOD(calcore_zero_power_resistance(1.0, 100.01, 1.41421356, 100.02, &z, &err));
    GOOD(calcore_zero_power_uncertainty(1.0, 100.01, 1.41421356, 100.02, 1e-4, 2e-4, 3e-4, 4e-4, &u, &err));
    CLOSE("u", 0.0, u,
          sqrt(pow(z.per_first_ma * 1e-4, 2) + pow(z.per_first_ohm * 2e-4, 2) + pow(z.per_second_ma * 3e-4, 2) +
               pow(z.per_second_ohm * 4e-4, 2)),
          1e-18);
    u = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE,
           calcore_zero_power_uncertainty(1.0, 100.01, 1.41421356, 100.02, -1e-4, 2e-4, 3e-4, 4e-4, &u, &err));
    STATUS(CALCORE_E_NOT_FINITE,
           calcore_zero_power_uncertainty(check_nan(), 100.01, 1.41421356, 100.02, 1e-4, 2e-4, 3e-4, 4e-4, &u, &err));
    CHECK(u == 7.0);
}

void test_curve_numbers(const char *reference)
{
    sprt();
    subranges();
    others(reference);
    scales();
    tolerances();
    zero_power();
}
