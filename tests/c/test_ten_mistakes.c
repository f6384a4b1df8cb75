/* The ten mistakes of the trade, each made on purpose by way of C: prevented, or reported. The numbers beside them are
 * recomputed from the formulas that stand there. */
#include "job.h"

#include <math.h>

/* A changed description is refused with a status, and the message says why. Takes over the text. */
static void refused(char *json, calcore_status want, const char *why)
{
    calcore_error err = check_error();
    calcore_run *run = NULL;
    STATUS(want, calcore_run_from_json(json, strlen(json), &run, &err));
    CHECK(run == NULL && strstr(err.message, why) != NULL);
    free(json);
}

/* Takes over the text. */
static calcore_result *evaluated(char *json)
{
    calcore_error err = check_error();
    calcore_run *run = job_run(json);
    calcore_result *result = NULL;
    GOOD(calcore_run_evaluate(run, &result, &err));
    calcore_run_free(run);
    free(json);
    return result;
}

static const char element[] = "\"tag\":\"TE-4107\",\"kind\":\"element\"";
static const char indicator[] = "\"tag\":\"TI-4107\",\"kind\"";

/* There is no default curve. Platinum of 0.003916 taken for 0.003851 is named: 100 (1 + A t + B t^2) with A = 3.9739e-3 and
 * B = -5.870e-7 (from memory) reads 1.70 K too high at 100 degC by IEC 60751. */
static void mistake_1_wrong_curve(const char *json)
{
    const double t_c[3] = {0.0, 100.0, 200.0};
    double ohm[3];
    calcore_error err = check_error();
    calcore_cvd *standard = NULL;
    double read_c = 0.0;
    int i;
    SIZED(calcore_likely, likely);
    refused(job_changed(json, element, "\"curve\":{\"iec60751\":{\"r0\":100.0}},", ""), CALCORE_E_INVALID_RUN, "curve: missing");
    for (i = 0; i < 3; i++) {
        ohm[i] = 100.0 * (1.0 + 3.9739e-3 * t_c[i] - 5.870e-7 * t_c[i] * t_c[i]);
    }
    GOOD(calcore_cvd_iec60751(100.0, &standard, &err));
    GOOD(calcore_cvd_temperature(standard, ohm[1], &read_c, &err));
    CLOSE("0.003916 read as 0.003851", 100.0, read_c, 101.70, 0.005);
    calcore_cvd_free(standard);
    GOOD(calcore_likely_standard(t_c, ohm, 3, 100.0, "iec60751_pt385", 0.3, &likely, &err));
    CHECK(likely.assumed_error_k > 1.0 && likely.best_error_k < 0.3 && likely.suspect >= 0);
}

/* A class of tolerance has no place among the contributions. */
static void mistake_2_tolerance_taken_for_an_uncertainty(const char *json)
{
    const char *anchor = "\"name\":\"certificate\"";
    const char *old = "{\"expanded\":{\"expanded_uncertainty\":0.03,\"coverage_factor\":2.0}}";
    refused(job_changed(json, anchor, old, "{\"iec60751\":{\"class\":\"A\"}}"), CALCORE_E_DOCUMENT, "unknown variant `iec60751`");
}

/* Type K: 3.0960 mV with the junction at 25 degC is 100 degC; forgotten it reads 75.89 and added as temperature 100.89. */
static void mistake_3_reference_junction_forgotten_or_twice(void)
{
    static const char couple[] =
        "{\"schema_version\":1,\"title\":\"invented\",\"phase\":\"as_found\",\"coverage\":{\"factor\":2},\"decision\":{\"rule\":"
        "\"simple\"},\"reference\":{\"tag\":\"REF\",\"unit\":\"degC\",\"contributions\":[{\"name\":\"certificate\",\"unit\":\"K\","
        "\"distribution\":{\"normal\":{\"standard_uncertainty\":0.01}}}]},\"heat_source\":{\"tag\":\"block\",\"contributions\":[]},"
        "\"instruments\":[{\"tag\":\"TE\",\"kind\":\"element\",\"unit\":\"mV\",\"range\":{\"low\":0,\"high\":400,\"unit\":\"degC\"},"
        "\"curve\":{\"thermocouple\":{\"letter\":\"K\"}},\"tolerance\":{\"iec60584\":{\"letter\":\"K\",\"class\":1}},"
        "\"resolution\":0}],\"set_points\":[{\"nominal_c\":100,\"readings\":[{\"tag\":\"REF\",\"time_s\":[0],\"value\":[100]},"
        "{\"tag\":\"TE\",\"time_s\":[0],\"value\":[3.0960]}]}]}";
    calcore_error err = check_error();
    calcore_thermocouple *k = NULL;
    calcore_result *result;
    char *measured;
    double t_c = 0.0;
    SIZED(calcore_point, p);
    GOOD(calcore_thermocouple_new("K", 0, &k, &err));
    GOOD(calcore_thermocouple_temperature(k, 3.0960, 25.0, &t_c, &err));
    CLOSE("compensated", 3.0960, t_c, 100.0, 0.002);
    calcore_thermocouple_free(k);
    refused(job_changed(couple, "{", "{", "{"), CALCORE_E_INVALID_RUN, "reference_junction: missing");
    measured = job_changed(couple, "\"TE\"", "\"resolution\":0",
                       "\"resolution\":0,\"reference_junction\":{\"measured\":{\"t_c\":25,\"standard_uncertainty_k\":0.2}}");
    result = evaluated(measured);
    GOOD(calcore_result_point(result, 0, 0, &p, &err));
    CLOSE("error with the junction measured", 100.0, p.error_k, 0.0, 0.002);
    calcore_result_free(result);
    measured = job_changed(couple, "\"TE\"", "\"resolution\":0",
                       "\"resolution\":0,\"reference_junction\":{\"compensated_by_instrument\":{\"standard_uncertainty_k\":0.2}}");
    refused(job_changed(measured, "3.0960", "]}", "],\"reference_junction_c\":25}"), CALCORE_E_INVALID_RUN,
            "only where reference_junction is measured");
    free(measured);
}

/* 0.1 % of a span of 400 K is 0.4 K, of a reading of 25 degC 0.025 K. */
static void mistake_4_percent_of_what(const char *json)
{
    calcore_error err = check_error();
    calcore_tolerance *tolerance = NULL;
    double k = 0.0;
    refused(job_changed(json, indicator, "{\"percent_of_span\":{\"percent\":0.5}}", "{\"percent\":0.5}"), CALCORE_E_DOCUMENT,
            "unknown variant `percent`");
    GOOD(calcore_tolerance_new_percent_of_span(0.1, 0.0, 400.0, &tolerance, &err));
    GOOD(calcore_tolerance_half_width(tolerance, 25.0, &k, &err));
    CLOSE("of span", 25.0, k, 0.4, 1e-16);
    calcore_tolerance_free(tolerance);
    GOOD(calcore_tolerance_new_percent_of_reading(0.1, &tolerance, &err));
    GOOD(calcore_tolerance_half_width(tolerance, 25.0, &k, &err));
    CLOSE("of reading", 25.0, k, 0.025, 1e-17);
    calcore_tolerance_free(tolerance);
}

/* What was found is closed by the first adjustment, and copied numbers are no as-left. */
static void mistake_5_as_found_mixed_with_as_left(const char *json)
{
    calcore_error err = check_error();
    char *left_json = job_changed(json, "\"phase\"", "\"as_found\"", "\"as_left\"");
    calcore_run *found = job_run(json);
    calcore_run *left = job_run(left_json);
    calcore_calibration *file = NULL;
    SIZED(calcore_adjustment_event, event);
    event.tag = "TIC-4107";
    event.parameter = "zero";
    event.old_value = "0 K";
    event.new_value = "-0.3 K";
    event.reason = "error";
    event.by = "A. N. Other";
    event.when = "2026-05-04";
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_new(left, &file, &err));
    GOOD(calcore_calibration_new(found, &file, &err));
    GOOD(calcore_calibration_adjust(file, &event, &err));
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_extend_as_found(file, found, &err));
    CHECK(strstr(err.message, "closed by the first adjustment") != NULL);
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_finish(file, found, &err));
    CHECK(strstr(err.message, "as_left") != NULL);
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_finish(file, left, &err));
    CHECK(strstr(err.message, "copied") != NULL);
    calcore_calibration_free(file);
    calcore_run_free(found);
    calcore_run_free(left);
    free(left_json);
}

/* Two wires need their resistance, or say that it is not corrected: +-0.25 ohm, rectangular, over about 0.39 ohm/K is more than
 * all the rest. */
static void mistake_6_leads_left_in(const char *json)
{
    calcore_error err = check_error();
    const char *old = "\"curve\":{\"iec60751\"";
    calcore_result *result;
    char name[128];
    size_t needed = 0;
    size_t k = 0;
    double share = 0.0;
    SIZED(calcore_point, p);
    refused(job_changed(json, element, old, "\"wiring\":{\"two_wire\":{}},\"curve\":{\"iec60751\""), CALCORE_E_DOCUMENT,
            "missing field `lead_resistance_ohm`");
    result = evaluated(job_changed(json, element, old,
                               "\"wiring\":{\"two_wire_not_corrected\":{\"largest_ohm\":0.5}},\"curve\":{\"iec60751\""));
    GOOD(calcore_result_point(result, 0, 0, &p, &err));
    for (k = 0; k < p.contributions; k++) {
        calcore_contribution line;
        GOOD(calcore_result_text(result, CALCORE_TEXT_CONTRIBUTION, 0, 0, k, name, sizeof name, &needed, &err));
        GOOD(calcore_result_contribution(result, 0, 0, k, &line, &err));
        if (strstr(name, "lead wires") != NULL) {
            share = line.share;
        }
    }
    CHECK(share > 0.9);
    calcore_result_free(result);
}

/* 1.8 degF of difference are 1 K, not -16.8 degC; degC is no unit of a difference. */
static void mistake_7_fahrenheit_differences(const char *json)
{
    const char *anchor = "\"tag\":\"TIC-4107\",\"kind\"";
    const char *old = "{\"absolute\":{\"half_width\":0.5,\"unit\":\"K\"}}";
    calcore_error err = check_error();
    double k = 0.0;
    refused(job_changed(json, anchor, old, "{\"absolute\":{\"half_width\":1.8,\"unit\":\"degC\"}}"), CALCORE_E_INVALID_RUN,
            "a difference is given in K");
    refused(job_changed(json, anchor, old, "{\"absolute\":{\"half_width\":1.8,\"unit\":\"degF\"}}"), CALCORE_E_INVALID_RUN,
            "state it in K");
    GOOD(calcore_temperature_difference_to_k(CALCORE_FAHRENHEIT, 1.8, &k, &err));
    CLOSE("1.8 degF", 1.8, k, 1.0, 1e-15);
}

/* An expanded uncertainty needs its coverage factor; with k = 3 it counts a third. */
static void mistake_8_expanded_taken_for_standard(const char *json)
{
    const char *anchor = "\"name\":\"certificate\"";
    calcore_error err = check_error();
    calcore_contribution line;
    calcore_input input;
    calcore_result *result;
    double mean = 0.0;
    double u = 0.0;
    refused(job_changed(json, anchor, ",\"coverage_factor\":2.0", ""), CALCORE_E_DOCUMENT, "missing field `coverage_factor`");
    result = evaluated(job_changed(json, anchor, "\"coverage_factor\":2.0", "\"coverage_factor\":3.0"));
    GOOD(calcore_result_contribution(result, 0, 0, 0, &line, &err));
    CLOSE("U/k", 3.0, line.standard_uncertainty, 0.01, 1e-17);
    calcore_result_free(result);
    GOOD(calcore_input_from_expanded(0.0, 0.03, 3.0, check_infinity(), &input, &err));
    GOOD(calcore_input_moments(&input, &mean, &u, &err));
    CLOSE("U/k", 3.0, u, 0.01, 1e-17);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_input_from_expanded(0.0, 0.03, 0.0, check_infinity(), &input, &err));
}

/* The fault of the sample is in the output stage: adjusting elsewhere hides it, and says so. A saturated current is no reading. */
static void mistake_9_wrong_trim(const char *json)
{
    calcore_error err = check_error();
    calcore_result *result = evaluated(job_changed(json, "{", "{", "{"));
    calcore_proposals *proposals = NULL;
    char tag[32];
    char caution[256];
    size_t needed = 0;
    size_t count = 0;
    size_t i;
    GOOD(calcore_result_adjustments(result, &proposals, &err));
    GOOD(calcore_proposals_count(proposals, &count, &err));
    CHECK(count > 1);
    for (i = 0; i < count; i++) {
        size_t j;
        int hides = 0;
        SIZED(calcore_proposal, p);
        GOOD(calcore_proposals_get(proposals, i, &p, &err));
        GOOD(calcore_proposals_text(proposals, CALCORE_PROPOSAL_TAG, i, 0, tag, sizeof tag, &needed, &err));
        for (j = 0; j < p.cautions; j++) {
            GOOD(calcore_proposals_text(proposals, CALCORE_PROPOSAL_CAUTION, i, j, caution, sizeof caution, &needed, &err));
            hides = hides || strstr(caution, "hide its error") != NULL;
        }
        if (strcmp(tag, "TT-4107 mA") == 0) {
            CHECK(i > 0 || p.adjusts_the_cause == 1);
        } else {
            CHECK(i > 0 && p.adjusts_the_cause == 0 && hides);
        }
    }
    calcore_proposals_free(proposals);
    calcore_result_free(result);
    refused(job_changed(json, "\"tag\":\"TT-4107 mA\",\"time_s\"", "\"value\":[", "\"value\":[3.7,"), CALCORE_E_INVALID_RUN,
            "a saturated or failed current is no measurement");
}

/* The reference is not averaged away: certificate and drift alone are 0.015 K and 0.01/sqrt 3 K. New coefficients hold where they
 * were measured; a verdict needs a rule. */
static void mistake_10_common_reference_extrapolation_and_no_rule(const char *json)
{
    calcore_error err = check_error();
    calcore_result *result = evaluated(job_changed(json, "{", "{", "{"));
    calcore_cvd *curve = NULL;
    double residuals_k[64];
    double u_k[64];
    double ohm = 0.0;
    size_t i;
    SIZED(calcore_element_fit, fit);
    GOOD(calcore_result_element_fit(result, 0, &fit, &err));
    CHECK(fit.points > 0 && fit.points <= 64);
    GOOD(calcore_result_element_fit_points(result, 0, residuals_k, u_k, fit.points, &err));
    for (i = 0; i < fit.points; i++) {
        CHECK(u_k[i] >= sqrt(0.015 * 0.015 + 0.01 * 0.01 / 3.0));
    }
    GOOD(calcore_result_element_curve(result, 0, &curve, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance(curve, 250.0, &ohm, &err));
    calcore_cvd_free(curve);
    calcore_result_free(result);
    refused(job_changed(json, "\"decision\"", "\"decision\":{\"rule\":\"four_state\"},", ""), CALCORE_E_DOCUMENT,
            "missing field `decision`");
}

void test_ten_mistakes(const char *path)
{
    size_t size = 0;
    char *file = file_read(path, &size);
    calcore_error err = check_error();
    calcore_run *run = job_run(file);
    size_t needed = 0;
    char *json;
    /* As the core writes it: compact, fields in their fixed order. */
    GOOD(calcore_run_to_json(run, NULL, 0, &needed, &err));
    json = (char *)malloc(needed);
    if (json == NULL) {
        abort();
    }
    GOOD(calcore_run_to_json(run, json, needed, &needed, &err));
    mistake_1_wrong_curve(json);
    mistake_2_tolerance_taken_for_an_uncertainty(json);
    mistake_3_reference_junction_forgotten_or_twice();
    mistake_4_percent_of_what(json);
    mistake_5_as_found_mixed_with_as_left(json);
    mistake_6_leads_left_in(json);
    mistake_7_fahrenheit_differences(json);
    mistake_8_expanded_taken_for_standard(json);
    mistake_9_wrong_trim(json);
    mistake_10_common_reference_extrapolation_and_no_rule(json);
    free(json);
    calcore_run_free(run);
    free(file);
}
