/* Units of temperature. SI Brochure, 9th edition (2019), 2.3.1, and ISO 80000-5:2019, annex A: the definitions give exact
 * decimal values; each conversion rounds at most three times, 1e-13 is wide enough for numbers below 1000. */
#include "check.h"

/* Defining fixed points on both scales: their temperatures on the IPTS-68 (from memory) and on the ITS-90 (table 1 of the
 * document). Tolerance: the band of the equation, 1.5 mK or 10 mK, and half of the last printed digit. */
static void scales(void)
{
    static const double rows[][3] = {
        {29.772, 29.7646, 0.002},  {156.634, 156.5985, 0.002}, {231.9681, 231.928, 0.002},
        {419.58, 419.527, 0.0065}, {961.93, 961.78, 0.015},    {1064.43, 1064.18, 0.015},
    };
    calcore_error err = check_error();
    double x = 7.0;
    double back = 7.0;
    size_t i;
    for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        GOOD(calcore_temperature_to_its90(CALCORE_IPTS68, rows[i][0], &x, &err));
        CLOSE("calcore_temperature_to_its90", rows[i][0], x, rows[i][1], rows[i][2]);
        GOOD(calcore_temperature_from_its90(CALCORE_IPTS68, x, &back, &err));
        CLOSE("calcore_temperature_from_its90", x, back, rows[i][0], 2e-3); /* the equations meet within 2 mK */
    }
    /* The zinc point of the IPTS-48 (from memory). */
    GOOD(calcore_temperature_to_its90(CALCORE_IPTS48, 419.505, &x, &err));
    CLOSE("IPTS-48", 419.505, x, 419.527, 0.0025);
    GOOD(calcore_temperature_to_its90(CALCORE_ITS90, 419.5, &x, &err));
    CHECK(x == 419.5);
    /* At 100 °C the document prints -0.026 K. */
    GOOD(calcore_temperature_t90_minus_t68(100.0, &x, &err));
    CLOSE("t90 - t68", 100.0, x, -0.026, 0.0005);
    x = 7.0;
    STATUS(CALCORE_E_OPTION, calcore_temperature_to_its90(3, 20.0, &x, &err));
    STATUS(CALCORE_E_OPTION, calcore_temperature_from_its90(-1, 20.0, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_temperature_to_its90(CALCORE_IPTS68, 4000.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_temperature_t90_minus_t68(check_nan(), &x, &err));
    STATUS(CALCORE_E_NULL, calcore_temperature_t90_minus_t68(0.0, NULL, &err));
    CHECK(x == 7.0);
}

void test_temperature(void)
{
    static const struct {
        int32_t unit;
        double t_c;
        double value;
    } rows[] = {
        {CALCORE_CELSIUS, 21.5, 21.5},      {CALCORE_KELVIN, 0.0, 273.15},       {CALCORE_KELVIN, -273.15, 0.0},
        {CALCORE_KELVIN, 100.0, 373.15},    {CALCORE_FAHRENHEIT, 0.0, 32.0},     {CALCORE_FAHRENHEIT, 100.0, 212.0},
        {CALCORE_FAHRENHEIT, -40.0, -40.0}, {CALCORE_FAHRENHEIT, 0.5, 32.9},     {CALCORE_FAHRENHEIT, -273.15, -459.67},
    };
    calcore_error err = check_error();
    double x = 7.0;
    size_t i;
    for (i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        GOOD(calcore_temperature_from_c(rows[i].unit, rows[i].t_c, &x, &err));
        CLOSE("calcore_temperature_from_c", rows[i].t_c, x, rows[i].value, 1e-13);
        GOOD(calcore_temperature_to_c(rows[i].unit, rows[i].value, &x, &err));
        CLOSE("calcore_temperature_to_c", rows[i].value, x, rows[i].t_c, 1e-13);
    }
    /* A difference is not a temperature. */
    GOOD(calcore_temperature_difference_from_k(CALCORE_FAHRENHEIT, 0.5, &x, &err));
    CHECK(x == 0.9);
    GOOD(calcore_temperature_difference_to_k(CALCORE_FAHRENHEIT, 1.8, &x, &err));
    CHECK(x == 1.0);
    GOOD(calcore_temperature_difference_to_k(CALCORE_CELSIUS, 0.5, &x, &err));
    CHECK(x == 0.5);
    GOOD(calcore_temperature_difference_from_k(CALCORE_KELVIN, -0.5, &x, &err));
    CHECK(x == -0.5);

    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_temperature_to_c(CALCORE_KELVIN, -1.0, &x, &err));
    CHECK(err.value == -1.0);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_temperature_from_c(CALCORE_FAHRENHEIT, -273.16, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_temperature_to_c(CALCORE_CELSIUS, check_nan(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_temperature_difference_to_k(CALCORE_KELVIN, check_infinity(), &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_temperature_difference_from_k(CALCORE_KELVIN, check_nan(), &x, &err));
    STATUS(CALCORE_E_OPTION, calcore_temperature_to_c(3, 20.0, &x, &err));
    STATUS(CALCORE_E_OPTION, calcore_temperature_from_c(-1, 20.0, &x, &err));
    CHECK(err.value == -1.0);
    STATUS(CALCORE_E_NULL, calcore_temperature_to_c(CALCORE_KELVIN, 20.0, NULL, &err));
    CHECK(x == 7.0);
    scales();
}
