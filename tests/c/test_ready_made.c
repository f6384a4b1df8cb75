/* Budgets of the trade against worked examples, and against squares written out by hand. */
#include "check.h"

#include <math.h>
#include <string.h>

/* A struct of zeros with its size: what does not apply stays 0. */
#define STATED(type, name) \
    type name;             \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

static calcore_budget a_budget(void)
{
    calcore_budget b;
    memset(&b, 0, sizeof b);
    b.size = sizeof b;
    return b;
}

/* EA-4/02 M, S10 (numbers from memory): u 0.164 K. */
static void block_of_the_guide(void)
{
    calcore_error err = check_error();
    calcore_contribution lines[CALCORE_TEMPERATURE_BLOCK_LINES];
    calcore_budget b = a_budget();
    double k = 7.0;
    STATED(calcore_temperature_block_sources, block);
    block.reference_expanded_k = 0.030;
    block.reference_coverage_factor = 2.0;
    block.reference_drift_half_width_k = 0.04;
    block.indicator_resolution_k = 0.1;
    block.axial_half_width_k = 0.25;
    block.radial_half_width_k = 0.10;
    block.loading_half_width_k = 0.05;
    block.stability_half_width_k = 0.03;
    GOOD(calcore_temperature_block_budget(180.0, &block, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CLOSE("S10 u", 180.0, b.standard_uncertainty, 0.164, 0.0005);
    CHECK(b.value == 180.0 && b.coverage_factor == 2.0 && b.warnings == 0);
    CLOSE("reference certificate", 0.030, lines[0].contribution, 0.015, 0.0);
    CHECK(lines[0].kind == CALCORE_NORMAL && lines[3].kind == CALCORE_RECTANGULAR);
    CLOSE("axial", 0.25, lines[3].contribution, 0.25 / sqrt(3.0), 1e-16);
    /* The lines go on into the coverage factor of their shapes: 1.83033966317 (tests/reference/shape_coverage.csv). */
    GOOD(calcore_coverage_factor_of_shapes(lines, CALCORE_TEMPERATURE_BLOCK_LINES, 0.95, &k, &err));
    CLOSE("S10 k", 0.95, k, 1.83033966317, 1e-8);
    CLOSE("S10 U", 0.95, k * b.standard_uncertainty, 0.3, 0.05);

    b.value = 7.0;
    block.axial_half_width_k = -0.1;
    STATUS(CALCORE_E_INVALID_VALUE,
           calcore_temperature_block_budget(180.0, &block, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    block.axial_half_width_k = check_nan();
    STATUS(CALCORE_E_NOT_FINITE,
           calcore_temperature_block_budget(180.0, &block, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    block.axial_half_width_k = 0.25;
    STATUS(CALCORE_E_OUT_OF_RANGE,
           calcore_temperature_block_budget(180.0, &block, CALCORE_COVERAGE_PROBABILITY, 1.5, &b, NULL, &err));
    STATUS(CALCORE_E_OPTION, calcore_temperature_block_budget(180.0, &block, 3, 2.0, &b, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_temperature_block_budget(180.0, NULL, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    STATUS(CALCORE_E_NULL,
           calcore_temperature_block_budget(180.0, &block, CALCORE_COVERAGE_FACTOR, 2.0, NULL, NULL, &err));
    block.size = 16;
    STATUS(CALCORE_E_STRUCT_SIZE,
           calcore_temperature_block_budget(180.0, &block, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CHECK(b.value == 7.0);
}

/* EA-4/02 M, S5 (numbers from memory): u(t) 0.641 K, u(E) 25.0 uV, U 50 uV. */
static void thermocouple_of_the_guide(void)
{
    calcore_error err = check_error();
    calcore_contribution lines[CALCORE_THERMOCOUPLE_EMF_LINES];
    calcore_budget b = a_budget();
    STATED(calcore_thermocouple_furnace_sources, furnace);
    STATED(calcore_thermocouple_emf_sources, emf);
    furnace.reading_standard_k = 0.10;
    furnace.voltmeter_expanded_uv = 2.0;
    furnace.voltmeter_coverage_factor = 2.0;
    furnace.resolution_half_width_uv = 0.5;
    furnace.parasitic_half_width_uv = 2.0;
    furnace.hot_k_per_uv = 0.077;
    furnace.junction_k_per_uv = 0.077 / 0.407;
    furnace.junction_half_width_k = 0.1;
    furnace.standard_expanded_k = 0.3;
    furnace.standard_coverage_factor = 2.0;
    furnace.drift_half_width_k = 0.3;
    furnace.furnace_half_width_k = 1.0;
    GOOD(calcore_thermocouple_furnace_budget(1000.5, &furnace, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("S5 u(t)", 1000.5, b.standard_uncertainty, 0.641, 0.0005);
    emf.reading_standard_uv = 1.6;
    emf.voltmeter_expanded_uv = 2.0;
    emf.voltmeter_coverage_factor = 2.0;
    emf.resolution_half_width_uv = 0.5;
    emf.parasitic_half_width_uv = 2.0;
    emf.cable_half_width_uv = 5.0;
    emf.furnace_standard_k = b.standard_uncertainty;
    emf.hot_uv_per_k = 38.5;
    emf.junction_half_width_k = 0.1;
    emf.junction_uv_per_k = 25.6;
    GOOD(calcore_thermocouple_emf_budget(36229.0, &emf, CALCORE_COVERAGE_FACTOR, 2.0, &b, lines, &err));
    CLOSE("S5 u(E)", 36229.0, b.standard_uncertainty, 25.0, 0.05);
    CLOSE("S5 U", 36229.0, b.expanded_uncertainty, 50.0, 0.5);
    SAME("S5 junction", lines[CALCORE_THERMOCOUPLE_EMF_LINES - 1].sensitivity, -25.6);
}

/* Computed with 80 digits; here to a few roundings. */
static void instrument(const char *reference)
{
    table worked = table_read(reference, "budget_worked_results.csv");
    calcore_error err = check_error();
    calcore_budget b = a_budget();
    double want[2] = {NAN, NAN};
    size_t i;
    STATED(calcore_instrument_in_block_sources, x);
    for (i = 0; i < worked.rows; i++) {
        if (strcmp(table_text(&worked, i, "quantity"), "combined_u") == 0)
            want[0] = table_number(&worked, i, "recomputed");
        if (strcmp(table_text(&worked, i, "quantity"), "nu_eff") == 0)
            want[1] = table_number(&worked, i, "recomputed");
    }
    x.reference_expanded_k = 0.030;
    x.reference_coverage_factor = 2.0;
    x.reference_drift_half_width_k = 0.010;
    x.readout_standard_k = 0.005;
    x.axial_half_width_k = 0.050;
    x.radial_half_width_k = 0.020;
    x.loading_half_width_k = 0.020;
    x.stability_half_width_k = 0.010;
    x.resolution_k = 0.1;
    x.scatter_k = 0.020;
    x.readings = 5;
    GOOD(calcore_instrument_in_block_budget(0.4, &x, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("combined u", 0.4, b.standard_uncertainty, want[0], 1e-15);
    CLOSE("effective degrees of freedom", 0.4, b.effective_degrees_of_freedom, want[1], 1e-14 * 3393.0);
    x.readings = 1;
    STATUS(CALCORE_E_TOO_FEW_POINTS,
           calcore_instrument_in_block_budget(0.4, &x, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    table_free(&worked);
}

/* 3, 4 and 12 give 13; 13 and 84 give 85. */
static void by_hand(void)
{
    const double root_3 = sqrt(3.0);
    calcore_error err = check_error();
    calcore_budget b = a_budget();
    STATED(calcore_liquid_bath_sources, bath);
    STATED(calcore_reference_probe_sources, probe);
    STATED(calcore_rtd_comparison_sources, rtd);
    STATED(calcore_indicator_by_simulation_sources, indicator);
    STATED(calcore_transmitter_sources, transmitter);
    bath.reference_expanded_k = 6.0;
    bath.reference_coverage_factor = 2.0;
    bath.reference_drift_half_width_k = 4.0 * root_3;
    bath.readout_standard_k = 12.0;
    bath.stability_half_width_k = 84.0 * root_3;
    GOOD(calcore_liquid_bath_budget(50.0, &bath, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("bath", 50.0, b.standard_uncertainty, 85.0, 1e-13);
    /* 3, 1.6/0.4 = 4, 4.8/0.4 = 12. */
    probe.certificate_expanded_k = 9.0;
    probe.certificate_coverage_factor = 3.0;
    probe.slope_per_k = 0.4;
    probe.readout_expanded = 3.2;
    probe.readout_coverage_factor = 2.0;
    probe.readout_drift_half_width = 4.8 * root_3;
    GOOD(calcore_reference_probe_budget(50.0, &probe, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("probe", 50.0, b.standard_uncertainty, 13.0, 1e-13);
    /* 7.5 * 0.4 = 3, 10 * 0.4 = 4, 12; degrees of freedom 13^4 / (3^4 / 20). */
    rtd.reference_standard_k = 7.5;
    rtd.reference_degrees_of_freedom = 20.0;
    rtd.uniformity_half_width_k = 10.0 * root_3;
    rtd.slope_ohm_per_k = 0.4;
    rtd.meter_expanded_ohm = 24.0;
    rtd.meter_coverage_factor = 2.0;
    rtd.readings = 4;
    GOOD(calcore_rtd_comparison_budget(138.5, &rtd, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("thermometer", 138.5, b.standard_uncertainty, 13.0, 1e-13);
    CLOSE("thermometer", 138.5, b.effective_degrees_of_freedom, 28561.0 * 20.0 / 81.0, 1e-8);
    /* 1.2/0.4 = 3, 1.6/0.4 = 4, 24/sqrt(4) = 12. */
    indicator.source_expanded = 2.4;
    indicator.source_coverage_factor = 2.0;
    indicator.source_resolution = 1.6 * sqrt(12.0);
    indicator.slope_per_k = 0.4;
    indicator.scatter_k = 24.0;
    indicator.readings = 4;
    GOOD(calcore_indicator_by_simulation_budget(0.1, &indicator, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("indicator", 0.1, b.standard_uncertainty, 13.0, 1e-13);
    /* 3, 0.4 * 10 = 4, 1.2 * 10 = 12. */
    transmitter.input_standard_k = 3.0;
    transmitter.input_degrees_of_freedom = INFINITY;
    transmitter.span_k = -160.0;
    transmitter.meter_expanded_ma = 0.8;
    transmitter.meter_coverage_factor = 2.0;
    transmitter.supply_half_width_ma = 1.2 * root_3;
    transmitter.readings = 2;
    GOOD(calcore_transmitter_budget(0.1, &transmitter, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
    CLOSE("transmitter", 0.1, b.standard_uncertainty, 13.0, 1e-13);
    transmitter.span_k = 0.0;
    STATUS(CALCORE_E_INVALID_VALUE,
           calcore_transmitter_budget(0.1, &transmitter, CALCORE_COVERAGE_FACTOR, 2.0, &b, NULL, &err));
}

void test_ready_made(const char *reference)
{
    block_of_the_guide();
    thermocouple_of_the_guide();
    instrument(reference);
    by_hand();
}
