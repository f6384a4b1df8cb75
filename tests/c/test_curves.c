/* Curves: published tables, arrays, and bad arguments. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Dense exact values of IEC 60751 made with multiple precision: a double must agree to a few units of its last place.
 * Resistance: 2 roundings of R0 scale, each half of 2^-44 ohm (values below 512 ohm). Temperature: the same error of
 * the resistance divided by the slope (at least 0.28 ohm/K), and one rounding of a temperature below 1024. */
static void cvd_tables(const char *reference, const calcore_cvd *pt100)
{
    calcore_error err = check_error();
    table r = table_read(reference, "iec60751_dense_resistance.csv");
    table t = table_read(reference, "iec60751_dense_temperature.csv");
    size_t i;
    for (i = 0; i < r.rows; i++) {
        double t_c = table_number(&r, i, "t_c");
        double ohm = check_nan();
        GOOD(calcore_cvd_resistance(pt100, t_c, &ohm, &err));
        CLOSE("calcore_cvd_resistance", t_c, ohm, table_number(&r, i, "ohm"), ldexp(1.0, -44));
    }
    for (i = 0; i < t.rows; i++) {
        double ohm = table_number(&t, i, "ohm");
        double t_c = check_nan();
        GOOD(calcore_cvd_temperature(pt100, ohm, &t_c, &err));
        CLOSE("calcore_cvd_temperature", ohm, t_c, table_number(&t, i, "t_c"), ldexp(1.0, -44) / 0.28 + ldexp(1.0, -44));
    }
    CHECK(r.rows > 100 && t.rows > 100);
    table_free(&r);
    table_free(&t);
}

/* The array functions give the bits of the single ones, also in place, and in pieces longer than one block. */
static void cvd_arrays(const calcore_cvd *pt100)
{
    enum { N = 1337 };
    static double t_c[N];
    static double ohm[N];
    static double slope[N];
    static double back[N];
    calcore_error err = check_error();
    size_t i;
    for (i = 0; i < N; i++) {
        t_c[i] = -200.0 + 1050.0 * (double)i / (double)(N - 1);
    }
    GOOD(calcore_cvd_resistance_array(pt100, t_c, N, CALCORE_STRICT, ohm, &err));
    GOOD(calcore_cvd_slope_array(pt100, t_c, N, CALCORE_STRICT, slope, &err));
    GOOD(calcore_cvd_temperature_array(pt100, ohm, N, CALCORE_STRICT, back, &err));
    for (i = 0; i < N; i++) {
        double one = check_nan();
        GOOD(calcore_cvd_resistance(pt100, t_c[i], &one, &err));
        SAME("resistance", ohm[i], one);
        GOOD(calcore_cvd_slope(pt100, t_c[i], &one, &err));
        SAME("slope", slope[i], one);
        GOOD(calcore_cvd_temperature(pt100, ohm[i], &one, &err));
        SAME("temperature", back[i], one);
        CLOSE("there and back", t_c[i], back[i], t_c[i], 3e-13);
    }
    /* In place: the same bits as into another array. */
    memcpy(slope, t_c, sizeof t_c);
    GOOD(calcore_cvd_resistance_array(pt100, slope, N, CALCORE_STRICT, slope, &err));
    CHECK(memcmp(slope, ohm, sizeof ohm) == 0);
    GOOD(calcore_cvd_temperature_array(pt100, slope, N, CALCORE_STRICT, slope, &err));
    CHECK(memcmp(slope, back, sizeof back) == 0);
    /* Any other overlap is refused, and nothing is written. */
    memcpy(slope, t_c, sizeof t_c);
    STATUS(CALCORE_E_POINTER, calcore_cvd_resistance_array(pt100, slope, N - 1, CALCORE_STRICT, slope + 1, &err));
    CHECK(memcmp(slope, t_c, sizeof t_c) == 0);
}

static void cvd_bad_elements(const calcore_cvd *pt100)
{
    double t_c[4] = {20.0, 900.0, 30.0, -300.0};
    double ohm[4] = {1.0, 2.0, 3.0, 4.0};
    const double before[4] = {1.0, 2.0, 3.0, 4.0};
    calcore_error err = check_error();
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance_array(pt100, t_c, 4, CALCORE_STRICT, ohm, &err));
    CHECK(err.index == 1 && err.count == 2 && err.value == 900.0 && err.low == -200.0 && err.high == 850.0);
    CHECK(memcmp(ohm, before, sizeof ohm) == 0);
    /* In place the input is kept whole. */
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance_array(pt100, t_c, 4, CALCORE_STRICT, t_c, &err));
    CHECK(t_c[0] == 20.0 && t_c[2] == 30.0);
    GOOD(calcore_cvd_resistance_array(pt100, t_c, 4, CALCORE_INVALID_NAN, ohm, &err));
    CHECK(ohm[0] > 107.0 && isnan(ohm[1]) && ohm[2] > 111.0 && isnan(ohm[3]));
    /* Extrapolation reaches 900 °C but not what lies below absolute zero. */
    GOOD(calcore_cvd_resistance_array(pt100, t_c, 4, CALCORE_INVALID_NAN | CALCORE_EXTRAPOLATE, ohm, &err));
    CHECK(!isnan(ohm[1]) && isnan(ohm[3]));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_slope_array(pt100, t_c, 4, CALCORE_EXTRAPOLATE, ohm, &err));
    CHECK(err.index == 3 && err.count == 1);
    GOOD(calcore_cvd_slope_array(pt100, t_c, 3, CALCORE_EXTRAPOLATE, ohm, &err));
    t_c[2] = check_nan();
    STATUS(CALCORE_E_NOT_FINITE, calcore_cvd_temperature_array(pt100, t_c + 2, 1, CALCORE_STRICT, ohm, &err));
    CHECK(err.index == 0 && isnan(err.value));
    STATUS(CALCORE_E_OPTION, calcore_cvd_resistance_array(pt100, t_c, 4, 4, ohm, &err));
    CHECK(err.value == 4.0);
    STATUS(CALCORE_E_OPTION, calcore_cvd_resistance_array(pt100, t_c, 4, -1, ohm, &err));

    /* Lengths and pointers. */
    GOOD(calcore_cvd_resistance_array(pt100, NULL, 0, CALCORE_STRICT, NULL, &err));
    GOOD(calcore_cvd_temperature_array(pt100, NULL, 0, CALCORE_STRICT, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_resistance_array(pt100, NULL, 1, CALCORE_STRICT, ohm, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_resistance_array(pt100, t_c, 1, CALCORE_STRICT, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_resistance_array(NULL, t_c, 1, CALCORE_STRICT, ohm, &err));
    STATUS(CALCORE_E_POINTER, calcore_cvd_resistance_array(pt100, t_c, SIZE_MAX / 8, CALCORE_STRICT, ohm, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_resistance(pt100, 20.0, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_temperature(pt100, 100.0, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_slope(pt100, 20.0, NULL, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_cvd_resistance(pt100, check_nan(), ohm, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_cvd_temperature(pt100, check_infinity(), ohm, &err));
    CHECK(strcmp(err.quantity, "resistance") == 0);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_temperature(pt100, 1.0, ohm, &err));
    CHECK(strcmp(err.unit, "ohm") == 0 && err.low > 18.0 && err.high > 390.0);
}

static void cvd_numbers(const calcore_cvd *pt100)
{
    calcore_error err = check_error();
    calcore_cvd_numbers numbers;
    calcore_cvd *again = NULL;
    double ohm = 0.0;
    memset(&numbers, 0, sizeof numbers);
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_cvd_describe(pt100, &numbers, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_describe(pt100, NULL, &err));
    numbers.size = sizeof numbers;
    STATUS(CALCORE_E_NULL, calcore_cvd_describe(NULL, &numbers, &err));
    GOOD(calcore_cvd_describe(pt100, &numbers, &err));
    /* IEC 60751:2022, clause 4: the coefficients of the standard. */
    CHECK(numbers.size == sizeof numbers && numbers.r0 == 100.0 && numbers.a == 3.9083e-3);
    CHECK(numbers.b == -5.775e-7 && numbers.c == -4.183e-12);
    CLOSE("alpha", 0.0, numbers.alpha, 3.85055e-3, 1e-17); /* A + 100 B, by hand */
    CHECK(numbers.low_c == -200.0 && numbers.high_c == 850.0);
    CLOSE("low_ohm", 0.0, numbers.low_ohm, 18.52008, 2e-11); /* the exact value, widened by 1e-12 of itself */

    GOOD(calcore_cvd_from_alpha_delta_beta(numbers.r0, numbers.alpha, numbers.delta, numbers.beta, &again, &err));
    GOOD(calcore_cvd_resistance(again, 400.0, &ohm, &err));
    CLOSE("by alpha, delta, beta", 400.0, ohm, 247.092, 1e-12); /* 100 (1 + 400 A + 160000 B), exact in decimals */
    calcore_cvd_free(again);
    GOOD(calcore_cvd_with_range(100.0, numbers.a, numbers.b, numbers.c, -50.0, 500.0, &again, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance(again, 501.0, &ohm, &err));
    CHECK(err.high == 500.0);
    calcore_cvd_free(again);
    again = NULL;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_cvd_with_range(100.0, 3.9e-3, 0.0, 0.0, 5.0, -5.0, &again, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_with_range(100.0, 3.9e-3, 0.0, 0.0, -5.0, 5.0, NULL, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_cvd_new(100.0, 3.9e-3, -1e-5, 0.0, &again, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_cvd_from_alpha_delta_beta(100.0, 3.9e-3, check_nan(), 0.0, &again, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_from_alpha_delta_beta(100.0, 3.9e-3, 1.5, 0.1, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_iec60751(100.0, NULL, &err));
    CHECK(again == NULL);
    GOOD(calcore_cvd_new(100.0, 3.9e-3, 0.0, 0.0, &again, &err));
    calcore_cvd_free(again);
}

void test_curves(const char *reference)
{
    calcore_error err = check_error();
    calcore_cvd *pt100 = NULL;
    GOOD(calcore_cvd_iec60751(100.0, &pt100, &err));
    cvd_tables(reference, pt100);
    cvd_arrays(pt100);
    cvd_bad_elements(pt100);
    cvd_numbers(pt100);
    calcore_cvd_free(pt100);
}
