/* The current loop and the error of an indication, by hand: IEC 60381-1:1982 (4 mA to 20 mA) and NAMUR NE 43. */
#include "check.h"

#include <string.h>

static void both_ways(const calcore_current_loop *range, const calcore_current_loop *reversed)
{
    static const double rows[][2] = {{4.0, 0.0}, {8.0, 37.5}, {12.0, 75.0}, {16.0, 112.5}, {20.0, 150.0}};
    calcore_error err = check_error();
    size_t i;
    for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double x = check_nan();
        GOOD(calcore_current_loop_value(range, rows[i][0], &x, &err));
        SAME("value", x, rows[i][1]);
        GOOD(calcore_current_loop_extrapolated_value(range, rows[i][0], &x, &err));
        SAME("extrapolated value", x, rows[i][1]);
        GOOD(calcore_current_loop_current(range, rows[i][1], &x, &err));
        SAME("current", x, rows[i][0]);
        GOOD(calcore_current_loop_saturated_current(range, rows[i][1], &x, &err));
        SAME("saturated current", x, rows[i][0]);
        GOOD(calcore_current_loop_value(reversed, rows[i][0], &x, &err));
        SAME("reversed value", x, 150.0 - rows[i][1]);
    }
}

static void states(const calcore_current_loop *range)
{
    static const struct {
        double ma;
        int32_t state;
    } rows[] = {
        {0.0, CALCORE_CURRENT_FAILED_LOW},       {3.6, CALCORE_CURRENT_FAILED_LOW},
        {3.7, CALCORE_CURRENT_UNDEFINED_LOW},    {3.8, CALCORE_CURRENT_MEASURING},
        {20.5, CALCORE_CURRENT_MEASURING},       {20.75, CALCORE_CURRENT_UNDEFINED_HIGH},
        {21.0, CALCORE_CURRENT_FAILED_HIGH},
    };
    calcore_error err = check_error();
    int32_t state = 77;
    size_t i;
    for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        GOOD(calcore_current_loop_state(range, rows[i].ma, &state, &err));
        CHECK(state == rows[i].state);
    }
    state = 77;
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_state(range, check_nan(), &state, &err));
    STATUS(CALCORE_E_NULL, calcore_current_loop_state(range, 4.0, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_current_loop_state(NULL, 4.0, &state, &err));
    CHECK(state == 77);
}

static void errors(const calcore_current_loop *range, const calcore_current_loop *reversed)
{
    calcore_error err = check_error();
    double x = 7.0;
    /* 16 mA are 150 K: 0.008 mA are 0.075 K or 0.05 % of the span. */
    GOOD(calcore_current_loop_error_ma(range, 12.008, 75.0, &x, &err));
    CLOSE("error_ma", 12.008, x, 0.008, 2e-15);
    GOOD(calcore_current_loop_error_k_from_ma(range, 0.008, &x, &err));
    CLOSE("error_k_from_ma", 0.008, x, 0.075, 2e-17);
    GOOD(calcore_current_loop_error_k_from_ma(reversed, 0.008, &x, &err));
    CLOSE("error_k_from_ma, reversed", 0.008, x, -0.075, 2e-17);
    GOOD(calcore_current_loop_error_ma_from_k(range, 0.075, &x, &err));
    CLOSE("error_ma_from_k", 0.075, x, 0.008, 2e-18);
    GOOD(calcore_current_loop_percent_of_span_from_k(reversed, 0.075, &x, &err));
    CLOSE("percent_of_span_from_k", 0.075, x, 0.05, 1e-17);
    GOOD(calcore_current_loop_percent_of_span_from_ma(0.008, &x, &err));
    CLOSE("percent_of_span_from_ma", 0.008, x, 0.05, 1e-17);
    x = 7.0;
    /* A failed or saturated loop has no value. */
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_current_loop_value(range, 3.7, &x, &err));
    CHECK(err.low == 3.8 && err.high == 20.5 && strcmp(err.unit, "mA") == 0);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_current_loop_current(range, 200.0, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_current_loop_error_ma(range, 21.5, 150.0, &x, &err));
    CHECK(x == 7.0);
    GOOD(calcore_current_loop_saturated_current(range, 200.0, &x, &err));
    CHECK(x == 20.5);
    x = 7.0;
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_error_k_from_ma(range, check_nan(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_error_ma_from_k(range, check_nan(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_percent_of_span_from_k(range, check_nan(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_percent_of_span_from_ma(check_infinity(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_extrapolated_value(range, check_nan(), &x, &err));
    CHECK(x == 7.0);
}

static void refused(void)
{
    calcore_error err = check_error();
    calcore_current_loop range;
    double x = 7.0;
    memset(&range, 0, sizeof range);
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_current_loop_init(0.0, 150.0, &range, &err));
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_current_loop_value(&range, 12.0, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_current_loop_init(0.0, 150.0, NULL, &err));
    range.size = sizeof range;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_current_loop_init(5.0, 5.0, &range, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_current_loop_init(check_nan(), 5.0, &range, &err));
    CHECK(range.failed_high_ma == 0.0);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_current_loop_value(&range, 12.0, &x, &err)); /* empty range */
    GOOD(calcore_current_loop_init(0.0, 150.0, &range, &err));
    range.failed_low_ma = 3.9; /* above the lower saturation level */
    STATUS(CALCORE_E_INVALID_VALUE, calcore_current_loop_value(&range, 12.0, &x, &err));
    range.failed_low_ma = 3.6;
    range.saturated_high_ma = 20.8; /* levels of its own */
    GOOD(calcore_current_loop_value(&range, 20.8, &x, &err));
    CLOSE("beyond NE 43", 20.8, x, 157.5, 1e-13);
}

static void indication(void)
{
    calcore_error err = check_error();
    double x = 7.0;
    GOOD(calcore_indication_error_from_readings(100.4, 100.0, &x, &err));
    CLOSE("from readings", 100.4, x, 0.4, 2e-14);
    GOOD(calcore_indication_error_percent_of_span(0.4, 0.0, 150.0, &x, &err));
    CLOSE("percent of span", 0.4, x, 0.8 / 3.0, 1e-16);
    GOOD(calcore_indication_error_percent_of_reading(0.4, -40.0, &x, &err));
    CLOSE("percent of reading", 0.4, x, 1.0, 0.0);
    GOOD(calcore_indication_error_from_percent_of_span(0.1, 0.0, 400.0, &x, &err));
    CLOSE("from percent of span", 0.1, x, 0.4, 0.0);
    GOOD(calcore_indication_error_from_percent_of_reading(0.1, -25.0, &x, &err));
    CLOSE("from percent of reading", 0.1, x, 0.025, 0.0);
    GOOD(calcore_indication_error_correction(-0.5, &x, &err));
    CHECK(x == 0.5);
    GOOD(calcore_correction_apply(0.5, 99.5, &x, &err));
    CHECK(x == 100.0);
    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_indication_error_percent_of_reading(0.4, 0.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_indication_error_percent_of_span(0.4, 1.0, 1.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_indication_error_from_percent_of_span(0.4, 1.0, 1.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_indication_error_from_readings(check_nan(), 1.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_indication_error_from_percent_of_reading(check_nan(), 1.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_indication_error_correction(check_nan(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_correction_apply(1.0, check_infinity(), &x, &err));
    STATUS(CALCORE_E_NULL, calcore_correction_apply(1.0, 1.0, NULL, &err));
    CHECK(x == 7.0);
}

void test_circuit(void)
{
    calcore_error err = check_error();
    calcore_current_loop range;
    calcore_current_loop reversed;
    memset(&range, 0, sizeof range);
    range.size = sizeof range;
    reversed = range;
    GOOD(calcore_current_loop_init(0.0, 150.0, &range, &err));
    GOOD(calcore_current_loop_init(150.0, 0.0, &reversed, &err));
    CHECK(range.failed_low_ma == 3.6 && range.saturated_low_ma == 3.8);
    CHECK(range.saturated_high_ma == 20.5 && range.failed_high_ma == 21.0);
    both_ways(&range, &reversed);
    states(&range);
    errors(&range, &reversed);
    refused();
    indication();
}
