/* Thermocouples against the tables of NIST Monograph 175 (IEC 60584-1:2013) and values computed with 60 digits. */
#include "check.h"

#include <math.h>
#include <string.h>

static calcore_thermocouple *couple(const char *letter, int32_t side)
{
    calcore_error err = check_error();
    calcore_thermocouple *c = NULL;
    GOOD(calcore_thermocouple_new(letter, side, &c, &err));
    return c;
}

/* Rows of the published tables: printed to 0.001 mV, hence half a unit of that, and the rounding of the decimal. */
static void tables(const char *reference)
{
    table t = table_read(reference, "thermocouple_table.csv");
    calcore_error err = check_error();
    size_t i;
    for (i = 0; i < t.rows; i++) {
        calcore_thermocouple *c = couple(table_text(&t, i, "type"), CALCORE_SIDE_NONE);
        double t_c = table_number(&t, i, "t_c");
        double mv = 0.0;
        GOOD(calcore_thermocouple_emf(c, t_c, 0.0, &mv, &err));
        CLOSE("emf", t_c, mv, table_number(&t, i, "mv"), 0.0005 + 1e-12);
        calcore_thermocouple_free(c);
    }
    CHECK(t.rows > 1000);
    table_free(&t);
}

/* Values with 60 digits: the bounds are those that were proven for each type. */
static void oracle(const char *reference)
{
    table t = table_read(reference, "thermocouple_dense_emf.csv");
    calcore_error err = check_error();
    size_t i;
    for (i = 0; i < t.rows; i++) {
        calcore_thermocouple *c = couple(table_text(&t, i, "type"), CALCORE_SIDE_NONE);
        calcore_thermocouple_numbers n;
        double t_c = table_number(&t, i, "t_c");
        double want = table_number(&t, i, "mv");
        double mv = 0.0;
        memset(&n, 0, sizeof n);
        n.size = sizeof n;
        GOOD(calcore_thermocouple_describe(c, &n, &err));
        GOOD(calcore_thermocouple_emf(c, t_c, 0.0, &mv, &err));
        CLOSE("emf", t_c, mv, want, n.emf_error_bound_mv + 1.2e-16 * fabs(want));
        calcore_thermocouple_free(c);
    }
    CHECK(t.rows > 1000);
    table_free(&t);
}

/* E(100 degC) and E(25 degC) of type K by the published table: 4.096 mV and 1.000 mV. Forgetting the junction reads 75.9
 * degC, adding temperatures 100.9 degC. */
static void junctions(void)
{
    calcore_error err = check_error();
    calcore_thermocouple *k = couple("K", CALCORE_SIDE_NONE);
    calcore_thermocouple *j = couple("J", CALCORE_SIDE_NONE);
    calcore_curve *curve = NULL;
    calcore_effect effect;
    calcore_wire_error wire;
    double t_c[3] = {-200.0, 100.0, 1372.0};
    double ref[3] = {0.0, 25.0, 50.0};
    double mv[3] = {0.0, 0.0, 0.0};
    double back[3] = {0.0, 0.0, 0.0};
    double x = 0.0;
    double y = 0.0;
    size_t i;
    GOOD(calcore_thermocouple_emf(k, 100.0, 25.0, &x, &err));
    CLOSE("emf", 100.0, x, 3.096, 0.001);
    GOOD(calcore_thermocouple_temperature(k, x, 25.0, &y, &err));
    CLOSE("temperature", x, y, 100.0, 1e-12);
    GOOD(calcore_thermocouple_emf_between(k, 100.0, 25.0, &y, &err));
    SAME("emf_between", y, x);
    GOOD(calcore_thermocouple_slope(k, 500.0, &y, &err));
    CLOSE("slope", 500.0, y, 0.0426, 0.0001); /* (E(501) - E(499)) / 2 of the table: 20.687 - 20.602 mV over 2 K */

    GOOD(calcore_thermocouple_emf_array(k, t_c, 3, ref, 3, CALCORE_STRICT, mv, &err));
    for (i = 0; i < 3; i++) {
        GOOD(calcore_thermocouple_emf(k, t_c[i], ref[i], &x, &err));
        SAME("emf_array", mv[i], x);
    }
    GOOD(calcore_thermocouple_temperature_array(k, mv, 3, ref, 3, CALCORE_STRICT, back, &err));
    for (i = 0; i < 3; i++) {
        GOOD(calcore_thermocouple_temperature(k, mv[i], ref[i], &x, &err));
        SAME("temperature_array", back[i], x);
    }
    GOOD(calcore_thermocouple_emf_array(k, t_c, 3, NULL, 0, CALCORE_STRICT, t_c, &err)); /* in place, junction at 0 degC */
    GOOD(calcore_thermocouple_emf(k, 100.0, 0.0, &x, &err));
    SAME("in place", t_c[1], x);
    GOOD(calcore_thermocouple_emf_array(k, NULL, 0, NULL, 0, CALCORE_STRICT, NULL, &err));
    /* Looked at before room is made. */
    STATUS(CALCORE_E_NULL, calcore_thermocouple_emf_array(k, NULL, (size_t)1 << 42, NULL, 0, CALCORE_STRICT, mv, &err));
    STATUS(CALCORE_E_NULL, calcore_thermocouple_temperature_array(k, NULL, (size_t)1 << 42, NULL, 0, CALCORE_STRICT, mv, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_thermocouple_emf_array(k, ref, 3, ref, 2, CALCORE_STRICT, mv, &err));

    GOOD(calcore_curve_from_thermocouple(k, &curve, &err));
    GOOD(calcore_curve_signal(curve, 100.0, &x, &err));
    CLOSE("signal", 100.0, x, 4.096, 0.0005);
    memset(&effect, 0, sizeof effect);
    effect.size = sizeof effect;
    GOOD(calcore_reference_junction_effect(curve, 100.0, 0.0, 25.0, &effect, &err));
    CLOSE("forgotten", 100.0, effect.error_k, -24.11, 0.005);
    calcore_curve_free(curve);

    /* Head at 45 degC, instrument at 25 degC; E(45), E(25) by the table: K 1.817, 1.000, J 2.321, 1.277 mV. */
    memset(&wire, 0, sizeof wire);
    wire.size = sizeof wire;
    GOOD(calcore_extension_wire_error(k, CALCORE_WIRE_COPPER, 0.0, NULL, 500.0, 45.0, 25.0, &wire, &err));
    CLOSE("copper", 45.0, wire.error_mv, -0.817, 0.001);
    GOOD(calcore_extension_wire_error(k, CALCORE_WIRE_REVERSED, 0.0, NULL, 500.0, 45.0, 25.0, &wire, &err));
    CLOSE("reversed", 45.0, wire.error_mv, -1.634, 0.002);
    GOOD(calcore_extension_wire_error(k, CALCORE_WIRE_OTHER, 0.0, j, 500.0, 45.0, 25.0, &wire, &err));
    CLOSE("other", 45.0, wire.error_mv, 0.227, 0.002);
    GOOD(calcore_extension_wire_error(k, CALCORE_WIRE_DEVIATING, 0.060, NULL, 500.0, 45.0, 25.0, &wire, &err));
    CLOSE("deviating", 45.0, wire.error_k, 0.060 / 0.0426, 0.003);
    STATUS(CALCORE_E_OPTION, calcore_extension_wire_error(k, 9, 0.0, NULL, 500.0, 45.0, 25.0, &wire, &err));
    STATUS(CALCORE_E_NULL, calcore_extension_wire_error(k, CALCORE_WIRE_OTHER, 0.0, NULL, 500.0, 45.0, 25.0, &wire, &err));
    calcore_thermocouple_free(j);
    calcore_thermocouple_free(k);
}

/* Type B falls to -0.002585 mV at 21.02 degC and is back at 0 mV at 42.13 degC (NIST Monograph 175). */
static void two_temperatures(void)
{
    calcore_error err = check_error();
    calcore_thermocouple *none = couple("B", CALCORE_SIDE_NONE);
    calcore_thermocouple *lower = couple("B", CALCORE_SIDE_LOWER);
    calcore_thermocouple *upper = couple("B", CALCORE_SIDE_UPPER);
    calcore_thermocouple *k = NULL;
    double x = 0.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_thermocouple_temperature(none, -0.001, 0.0, &x, &err));
    GOOD(calcore_thermocouple_temperature(lower, -0.001, 0.0, &x, &err));
    CHECK(x > 0.0 && x < 21.03);
    GOOD(calcore_thermocouple_temperature(upper, -0.001, 0.0, &x, &err));
    CHECK(x > 21.0 && x < 42.14);
    STATUS(CALCORE_E_OPTION, calcore_thermocouple_new("B", 7, &k, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_thermocouple_new("K", CALCORE_SIDE_UPPER, &k, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_thermocouple_new("Q", CALCORE_SIDE_NONE, &k, &err));
    STATUS(CALCORE_E_NULL, calcore_thermocouple_new(NULL, CALCORE_SIDE_NONE, &k, &err));
    CHECK(k == NULL);
    calcore_thermocouple_free(none);
    calcore_thermocouple_free(lower);
    calcore_thermocouple_free(upper);
}

/* The published inverse stays in the band that its document states, up to half the last digit of the band. */
static void approximate(void)
{
    calcore_error err = check_error();
    calcore_thermocouple *k = couple("K", CALCORE_SIDE_NONE);
    calcore_thermocouple *c = couple("C", CALCORE_SIDE_NONE);
    double mv[2] = {4.096, 41.276};
    double t_c[2] = {0.0, 0.0};
    double exact = 0.0;
    double low = 0.0;
    double high = 0.0;
    size_t i;
    GOOD(calcore_thermocouple_temperature_approximate_array(k, mv, 2, CALCORE_STRICT, t_c, &err));
    for (i = 0; i < 2; i++) {
        double one = 0.0;
        GOOD(calcore_thermocouple_temperature_approximate(k, mv[i], &one, &err));
        SAME("approximate", t_c[i], one);
        GOOD(calcore_thermocouple_temperature(k, mv[i], 0.0, &exact, &err));
        GOOD(calcore_thermocouple_approximate_band(k, mv[i], &low, &high, &err));
        CHECK(one - exact >= low - 0.005 && one - exact <= high + 0.005 && low < high);
    }
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_thermocouple_temperature_approximate(c, 1.0, &exact, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_thermocouple_temperature_approximate(k, 99.0, &exact, &err));
    calcore_thermocouple_free(c);
    calcore_thermocouple_free(k);
}

static void faults(void)
{
    calcore_error err = check_error();
    calcore_thermocouple *k = couple("K", CALCORE_SIDE_NONE);
    double x[2] = {100.0, 2000.0};
    double y[2] = {7.0, 7.0};
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_thermocouple_emf(k, 2000.0, 0.0, y, &err));
    CHECK(err.value == 2000.0 && err.low == -270.0 && err.high == 1372.0);
    STATUS(CALCORE_E_NOT_FINITE, calcore_thermocouple_emf(k, 100.0, check_nan(), y, &err));
    STATUS(CALCORE_E_NULL, calcore_thermocouple_emf(NULL, 100.0, 0.0, y, &err));
    STATUS(CALCORE_E_NULL, calcore_thermocouple_temperature(k, 1.0, 0.0, NULL, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_thermocouple_emf_array(k, x, 2, NULL, 0, CALCORE_STRICT, y, &err));
    CHECK(y[0] == 7.0 && y[1] == 7.0); /* nothing is written after a fault */
    GOOD(calcore_thermocouple_emf_array(k, x, 2, NULL, 0, CALCORE_INVALID_NAN, y, &err));
    CHECK(y[0] > 4.0 && isnan(y[1]));
    STATUS(CALCORE_E_OPTION, calcore_thermocouple_emf_array(k, x, 2, NULL, 0, 64, y, &err));
    calcore_thermocouple_free(k);
    calcore_thermocouple_free(NULL);
}

void test_thermocouple(const char *reference)
{
    tables(reference);
    oracle(reference);
    junctions();
    two_temperatures();
    approximate();
    faults();
}
