/* What lies between a sensor and its reading: against the worked checks, and by hand. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

static double worked(const table *t, const char *quantity)
{
    size_t i;
    for (i = 0; i < t->rows; i++) {
        if (strcmp(table_text(t, i, "quantity"), quantity) == 0) {
            return table_number(t, i, "value");
        }
    }
    return check_nan();
}

static calcore_curve *platinum(void)
{
    calcore_error err = check_error();
    calcore_cvd *pt100 = NULL;
    calcore_curve *curve = NULL;
    GOOD(calcore_cvd_iec60751(100.0, &pt100, &err));
    GOOD(calcore_curve_from_cvd(pt100, &curve, &err));
    calcore_cvd_free(pt100);
    return curve;
}

static void leads_and_leakage(const char *reference, const calcore_curve *pt100)
{
    static const int temperatures[] = {0, 400, 600};
    table t = table_read(reference, "trade_worked_checks.csv");
    calcore_error err = check_error();
    double x = 0.0;
    size_t i;
    SIZED(calcore_effect, e);
    /* Worked checks: the linear formula, to its printed digits; the exact inverse differs less at 10 megaohm. */
    for (i = 0; i < 3; i++) {
        char quantity[64];
        double t_c = (double)temperatures[i];
        sprintf(quantity, "error_10_megaohm_at_%d_c", temperatures[i]);
        GOOD(calcore_insulation_effect(pt100, t_c, 1e7, &e, &err));
        CLOSE(quantity, t_c, 1e3 * e.error_k, worked(&t, quantity), 0.05);
        CHECK(e.signal_change < 0.0 && e.error_k_per_unit > 0.0);
    }
    /* 0.5 ohm over 0.39083 ohm/K at 0 °C: 1.280 K; by hand, with the curvature. */
    GOOD(calcore_two_wire_effect(pt100, 0.0, 0.5, &e, &err));
    CLOSE("two wires", 0.0, e.error_k, 1.280, 0.0005);
    CHECK(e.signal_change == 0.5);
    GOOD(calcore_three_wire_effect(pt100, 0.0, 0.1, &e, &err));
    CLOSE("three wires", 0.0, e.error_k, 0.2559, 0.00005);
    /* 5 microvolt at 1 mA are 5 milliohm: 0.005/0.39083 K. */
    GOOD(calcore_thermal_emf_effect(pt100, 0.0, 5.0, 1.0, &e, &err));
    CLOSE("thermal emf", 5.0, e.error_k, 0.005 / 0.39083, 1e-7);
    CLOSE("per microvolt", 5.0, e.error_k_per_unit, 0.001 / 0.39083, 1e-7);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_two_wire_effect(pt100, 0.0, -0.5, &e, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_three_wire_effect(pt100, 850.0, 5.0, &e, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_insulation_effect(pt100, 0.0, 0.0, &e, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_thermal_emf_effect(pt100, 0.0, 1.0, 0.0, &e, &err));
    STATUS(CALCORE_E_NULL, calcore_two_wire_effect(NULL, 0.0, 0.5, &e, &err));
    STATUS(CALCORE_E_NULL, calcore_two_wire_effect(pt100, 0.0, 0.5, NULL, &err));
    e.size = 0;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_two_wire_effect(pt100, 0.0, 0.5, &e, &err));

    /* IEC 60028:1925: 0.017241 ohm mm^2/m at 20 °C. */
    GOOD(calcore_copper_lead_resistance(50.0, 0.5, 20.0, &x, &err));
    CLOSE("copper lead", 50.0, x, 1.7241, 1e-12);
    GOOD(calcore_two_wire_reading(100.0, 0.25, 0.25, &x, &err));
    CHECK(x == 100.5);
    GOOD(calcore_three_wire_reading(100.0, 0.5, 0.25, &x, &err));
    CHECK(x == 100.25);
    GOOD(calcore_resistance_with_insulation(100.0, 1e5, &x, &err));
    CLOSE("with insulation", 1e5, x, 1e7 / 100100.0, 3e-14);
    GOOD(calcore_resistance_without_insulation(x, 1e5, &x, &err));
    CLOSE("without insulation", 1e5, x, 100.0, 5e-14);
    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_copper_lead_resistance(1.0, 0.0, 20.0, &x, &err));
    GOOD(calcore_two_wire_element(100.5, 0.25, 0.25, &x, &err));
    CHECK(x == 100.0);
    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_two_wire_element(100.5, -0.25, 0.25, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_two_wire_element(0.4, 0.25, 0.25, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_two_wire_reading(check_nan(), 0.0, 0.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_three_wire_reading(-1.0, 0.0, 0.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_resistance_with_insulation(100.0, 0.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_resistance_without_insulation(2.0, 1.0, &x, &err));
    CHECK(x == 7.0);
    table_free(&t);
}

/* Ohm are not added to millivolts; a thermocouple may have its reference junction outside its own side of the minimum. */
static void kinds_of_sensor(const calcore_curve *pt100)
{
    calcore_error err = check_error();
    calcore_thermocouple *b = NULL;
    calcore_curve *couple = NULL;
    double mv = 0.0, t_c = 0.0, x = 7.0;
    SIZED(calcore_effect, e);
    SIZED(calcore_junction_reading, r);
    GOOD(calcore_thermocouple_new("B", CALCORE_SIDE_UPPER, &b, &err));
    GOOD(calcore_curve_from_thermocouple(b, &couple, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_two_wire_effect(couple, 1000.0, 0.5, &e, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_three_wire_effect(couple, 1000.0, 0.5, &e, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_insulation_effect(couple, 1000.0, 1e6, &e, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_thermal_emf_effect(couple, 1000.0, 1.0, 1.0, &e, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_measured_emf(pt100, 100.0, 25.0, &x, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_measuring_junction(pt100, 100.0, 25.0, &r, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_reference_junction_effect(pt100, 100.0, 25.0, 1.0, &e, &err));
    CHECK(x == 7.0 && strstr(err.message, "resistance in ohm") != NULL);
    /* 20 °C lies below the minimum of type B, at 21.02 °C. */
    GOOD(calcore_thermocouple_emf(b, 1000.0, 20.0, &mv, &err));
    GOOD(calcore_thermocouple_temperature(b, mv, 20.0, &t_c, &err));
    GOOD(calcore_measured_emf(couple, 1000.0, 20.0, &x, &err));
    SAME("emf of type B", x, mv);
    GOOD(calcore_measuring_junction(couple, mv, 20.0, &r, &err));
    SAME("temperature of type B", r.t_c, t_c);
    GOOD(calcore_reference_junction_effect(couple, 1000.0, 20.0, 1.0, &e, &err));
    calcore_curve_free(couple);
    calcore_thermocouple_free(b);
}

/* Published rows of type K in mV: 0, 1.000 at 25 °C, 4.096 at 100 °C. */
static void junctions(void)
{
    const double t_c[] = {0.0, 25.0, 50.0, 75.0, 100.0, 125.0};
    const double mv[] = {0.0, 1.000, 2.023, 3.059, 4.096, 5.124};
    calcore_error err = check_error();
    calcore_curve *couple = NULL;
    double u = 0.0;
    SIZED(calcore_junction_reading, r);
    SIZED(calcore_effect, e);
    GOOD(calcore_tabulated_curve_new(t_c, mv, 6, CALCORE_MONOTONE_CUBIC, &couple, &err));
    GOOD(calcore_measuring_junction(couple, 3.096, 25.0, &r, &err));
    CLOSE("measuring junction", 3.096, r.t_c, 100.0, 1e-12);
    CLOSE("total emf", 3.096, r.total_mv, 4.096, 1e-15);
    CHECK(r.per_mv > 23.0 && r.per_mv < 26.0 && r.per_reference_k > 0.9 && r.per_reference_k < 1.1);
    /* The other way: 4.096 mV at 100 °C less 1 mV at the reference junction, and nothing between junctions of one temperature. */
    GOOD(calcore_measured_emf(couple, 100.0, 25.0, &u, &err));
    CLOSE("measured emf", 100.0, u, 3.096, 1e-15);
    GOOD(calcore_measured_emf(couple, 60.0, 60.0, &u, &err));
    CHECK(u == 0.0);
    u = 7.0;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_measured_emf(couple, 5000.0, 25.0, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_measured_emf(NULL, 100.0, 25.0, &u, &err));
    CHECK(u == 7.0);
    /* A junction warmer than believed reads low, by about as much. */
    GOOD(calcore_reference_junction_effect(couple, 90.0, 20.0, 1.0, &e, &err));
    CLOSE("reference junction", 1.0, e.error_k, -1.0, 0.05);
    GOOD(calcore_inhomogeneity_uncertainty(10.0, &u, &err));
    CLOSE("inhomogeneity", 10.0, u, 10.0 / (2.0 * sqrt(3.0)), 1e-15);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_measuring_junction(couple, 9.0, 25.0, &r, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_reference_junction_effect(couple, check_nan(), 20.0, 1.0, &e, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_inhomogeneity_uncertainty(-1.0, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_measuring_junction(NULL, 1.0, 25.0, &r, &err));
    calcore_curve_free(couple);
}

static void currents(void)
{
    calcore_error err = check_error();
    double x = 0.0;
    SIZED(calcore_reversed_reading, r);
    SIZED(calcore_self_heating_result, h);
    SIZED(calcore_zero_power, z);
    /* 100 ohm and 5 microvolt at 1 mA: 100.005 mV forward, -99.995 mV reversed. */
    GOOD(calcore_resistance_by_reversal(100.005, 1.0, -99.995, 1.0, &r, &err));
    CLOSE("reversal", 0.0, r.ohm, 100.0, 1e-13);
    CLOSE("its emf", 0.0, r.emf_mv, 0.005, 1e-13);
    CLOSE("per mV", 0.0, r.ohm_per_forward_mv, 0.5, 1e-15);
    /* 1 mA in 100 ohm: 0.1 mW; with 5 mW/K 0.02 K. */
    GOOD(calcore_self_heating(1.0, 100.0, 5.0, &h, &err));
    CLOSE("power", 1.0, h.power_mw, 0.1, 1e-16);
    CLOSE("self-heating", 1.0, h.error_k, 0.02, 1e-16);
    CLOSE("per mA", 1.0, h.error_k_per_ma, 0.04, 1e-16);
    CLOSE("per constant", 1.0, h.error_k_per_mw_per_k, -0.004, 1e-17);
    /* 0.004 ohm per square milliampere. */
    GOOD(calcore_zero_power_resistance(1.0, 100.004, 1.5, 100.009, &z, &err));
    CLOSE("zero power", 0.0, z.ohm, 100.0, 1e-12);
    CLOSE("rise", 0.0, z.rise_at_first_ohm, 0.004, 1e-12);
    CLOSE("sensitivities add to 1", 0.0, z.per_first_ohm + z.per_second_ohm, 1.0, 1e-15);
    /* 1 mA and 3 mA in 100 ohm differ by 0.8 mW; 0.2 K apart: 4 mW/K. */
    GOOD(calcore_dissipation_from_two_currents(1.0, 100.0, 20.0, 3.0, 100.0, 20.2, &x, &err));
    CLOSE("dissipation", 0.0, x, 4.0, 1e-12);
    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_resistance_by_reversal(1.0, 0.0, -1.0, 1.0, &r, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_resistance_by_reversal(100.005, 1.0, 99.995, 1.0, &r, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_self_heating(1.0, 100.0, 0.0, &h, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_zero_power_resistance(1.0, 100.0, 1.0, 100.0, &z, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_zero_power_resistance(100.01, 1.0, 100.02, 1.4142, &z, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_dissipation_from_two_currents(1.0, 100.0, 20.0, 3.0, 100.0, 19.0, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_self_heating(1.0, 100.0, 5.0, NULL, &err));
    CHECK(x == 7.0);
}

static void immersion(void)
{
    calcore_error err = check_error();
    double x = 0.0;
    double d = 0.0;
    double read = 0.0;
    /* (ambient - t) exp(-depth/D): -100 exp(-5) = -0.6738 K for 30 mm of 6 mm. */
    GOOD(calcore_immersion_error(6.0, 1.0, 100.0, 0.0, 30.0, &x, &err));
    CLOSE("immersion", 30.0, x, -100.0 * exp(-5.0), 1e-14);
    GOOD(calcore_immersion_error_per_mm(6.0, 1.0, 100.0, 0.0, 30.0, &x, &err));
    CLOSE("immersion per mm", 30.0, x, 100.0 / 6.0 * exp(-5.0), 1e-14);
    GOOD(calcore_immersion_true_temperature(6.0, 1.0, 100.0 - 100.0 * exp(-5.0), 0.0, 30.0, &x, &err));
    CLOSE("true temperature", 30.0, x, 100.0, 1e-13);
    /* Two depths of an 8 mm stem at 150 °C among 20 °C. */
    read = 150.0 - 130.0 * exp(-5.0);
    GOOD(calcore_immersion_from_two_depths(40.0, read, 60.0, 150.0 - 130.0 * exp(-7.5), 20.0, &d, &x, &err));
    CLOSE("diameter", 0.0, d, 8.0, 1e-9);
    CLOSE("temperature", 0.0, x, 150.0, 1e-10);
    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_immersion_error(0.0, 1.0, 100.0, 0.0, 30.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_immersion_error_per_mm(6.0, 1.0, 100.0, 0.0, -1.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_immersion_true_temperature(6.0, 1.0, 50.0, 20.0, 0.0, &x, &err));
    STATUS(CALCORE_E_UNDETERMINED, calcore_immersion_from_two_depths(40.0, 100.0, 60.0, 99.0, 20.0, &d, &x, &err));
    STATUS(CALCORE_E_NULL, calcore_immersion_from_two_depths(40.0, 100.0, 60.0, 101.0, 20.0, NULL, &x, &err));
    CHECK(x == 7.0);
}

static void digits(void)
{
    calcore_error err = check_error();
    double x = 0.0;
    double u = 0.0;
    int64_t count = 77;
    /* 12 bits of 20 mA. */
    GOOD(calcore_digital_value(0, 4096, 0.0, 20.0, 2048, &x, &err));
    CHECK(x == 10.0);
    GOOD(calcore_digital_count(0, 4096, 0.0, 20.0, 10.001, &count, &err));
    CHECK(count == 2048);
    GOOD(calcore_digital_resolution(0, 4096, 0.0, 20.0, &x, &u, &err));
    CHECK(x == 20.0 / 4096.0);
    CLOSE("u of a count", 0.0, u, 20.0 / 4096.0 / sqrt(12.0), 1e-18);
    GOOD(calcore_display_shown(0.5, CALCORE_ROUND_NEAREST, 20.3, &x, &err));
    CHECK(x == 20.5);
    GOOD(calcore_display_shown(0.5, CALCORE_ROUND_TRUNCATE, -0.2, &x, &err));
    CHECK(x == -0.5);
    GOOD(calcore_display_uncertainty(0.5, CALCORE_ROUND_TRUNCATE, &x, &u, &err));
    CHECK(x == -0.25);
    CLOSE("u of a display", 0.5, u, 0.5 / sqrt(12.0), 1e-16);
    x = 7.0;
    count = 77;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_digital_value(0, 4096, 0.0, 20.0, 4097, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_digital_value(5, 5, 0.0, 1.0, 5, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_digital_count(0, 4096, 0.0, 20.0, 21.0, &count, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_digital_resolution(INT64_MIN, INT64_MAX, 0.0, 20.0, &x, &u, &err));
    STATUS(CALCORE_E_OPTION, calcore_display_shown(0.5, 2, 1.0, &x, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_display_shown(0.0, CALCORE_ROUND_NEAREST, 1.0, &x, &err));
    STATUS(CALCORE_E_OPTION, calcore_display_uncertainty(0.5, -1, &x, &u, &err));
    STATUS(CALCORE_E_NULL, calcore_display_uncertainty(0.5, CALCORE_ROUND_NEAREST, NULL, &u, &err));
    CHECK(x == 7.0 && count == 77);
}

void test_effects(const char *reference)
{
    calcore_curve *pt100 = platinum();
    leads_and_leakage(reference, pt100);
    kinds_of_sensor(pt100);
    junctions();
    currents();
    immersion();
    digits();
    calcore_curve_free(pt100);
}
