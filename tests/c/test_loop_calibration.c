/* A run from JSON to its result: the JSON of the result is that of the core byte for byte, and every number that the
 * accessors give stands in it at its place. */
#include "check.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A place in a JSON text that moves forward: the fields stand in their fixed order. */
typedef struct cursor {
    const char *at;
} cursor;

/* Moves behind the next `"key":`. */
static int find(cursor *c, const char *key)
{
    char quoted[80];
    const char *place;
    sprintf(quoted, "\"%s\":", key);
    place = strstr(c->at, quoted);
    if (place == NULL) {
        printf("no %s in the rest of the JSON text\n", quoted);
        return 0;
    }
    c->at = place + strlen(quoted);
    return 1;
}

/* The next number with this key; NaN for null. */
static double number(cursor *c, const char *key)
{
    if (!find(c, key) || strncmp(c->at, "null", 4) == 0) {
        return check_nan();
    }
    return strtod(c->at, NULL);
}

#define FIELD(c, key, got) check_bits(key, got, number(c, key), __FILE__, __LINE__)
#define FIELD_OR_NULL(c, key, got) check_number_or_null(c, key, got, __LINE__)

static void check_number_or_null(cursor *c, const char *key, double got, int line)
{
    double want = number(c, key);
    if (isnan(want)) {
        check_that(isnan(got) ? 1 : 0, __FILE__, line, key);
    } else {
        check_bits(key, got, want, __FILE__, line);
    }
}

/* Whether the cursor stands before this text in quotes (without escapes). */
static int quoted(const cursor *c, const char *text)
{
    size_t length = strlen(text);
    return c->at[0] == '"' && strncmp(c->at + 1, text, length) == 0 && c->at[length + 1] == '"';
}

#define SIZED(type, name) \
    type name;            \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

static char *to_json(const calcore_result *result)
{
    calcore_error err = check_error();
    size_t needed = 0;
    size_t again = 0;
    char *text;
    GOOD(calcore_result_to_json(result, NULL, 0, &needed, &err));
    text = (char *)malloc(needed + 1);
    if (text == NULL) {
        abort();
    }
    memset(text, 0x55, needed + 1);
    STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_result_to_json(result, text, needed - 1, &again, &err));
    CHECK(again == needed && text[0] == 0x55);
    GOOD(calcore_result_to_json(result, text, needed, &again, &err));
    CHECK(again == needed && text[needed] == 0x55 && strlen(text) == needed - 1);
    return text;
}

static const char *text_of(const calcore_result *result, int32_t what, size_t i, size_t j, size_t k)
{
    static char buffer[1024];
    calcore_error err = check_error();
    size_t needed = 0;
    buffer[0] = '\0';
    GOOD(calcore_result_text(result, what, i, j, k, buffer, sizeof buffer, &needed, &err));
    CHECK(needed == strlen(buffer) + 1);
    return buffer;
}

static const char *const verdict_names[] = {"pass", "fail", "conditional_pass", "conditional_fail", "no_pass", "no_fail"};
static const char *const kind_names[] = {"element", "transmitter", "output_stage", "indicator", "control_system"};
static const char *const unit_names[] = {"ohm", "mA", "degC", "degF", "K"};

static void check_name(cursor *c, const char *key, const char *const *names, size_t count, int32_t got)
{
    CHECK(find(c, key) && got >= 0 && (size_t)got < count && quoted(c, names[got]));
}

#define NAME(c, key, names, got) check_name(c, key, names, sizeof names / sizeof names[0], got)

static void set_points(const calcore_result *result, cursor *c, size_t count)
{
    calcore_error err = check_error();
    size_t i;
    for (i = 0; i < count; i++) {
        SIZED(calcore_set_point, p);
        SIZED(calcore_steadiness, s);
        GOOD(calcore_result_set_point(result, i, &p, &err));
        FIELD(c, "nominal_c", p.nominal_c);
        FIELD(c, "reference_c", p.reference_c);
        FIELD(c, "standard_uncertainty_k", p.standard_uncertainty_k);
        if (p.judged) {
            GOOD(calcore_result_steadiness(result, i, &s, &err));
            CHECK(find(c, "steady") && (strncmp(c->at, "true", 4) == 0) == (s.state == CALCORE_STEADY));
            FIELD_OR_NULL(c, "since_s", s.since_s);
            FIELD(c, "span", s.span);
            FIELD(c, "slope_per_min", s.slope_per_min);
            FIELD(c, "residual_standard_deviation", s.residual_standard_deviation);
            FIELD(c, "standard_uncertainty", s.standard_uncertainty);
            FIELD(c, "readings", (double)s.readings);
        } else {
            STATUS(CALCORE_E_INDEX, calcore_result_steadiness(result, i, &s, &err));
        }
    }
}

static void point(const calcore_result *result, cursor *c, size_t i, size_t j)
{
    calcore_error err = check_error();
    calcore_contribution line;
    size_t k;
    SIZED(calcore_point, p);
    SIZED(calcore_budget, b);
    GOOD(calcore_result_point(result, i, j, &p, &err));
    FIELD(c, "set_point", (double)p.set_point);
    FIELD(c, "nominal_c", p.nominal_c);
    FIELD(c, "reference_c", p.reference_c);
    FIELD(c, "reading", p.reading);
    FIELD(c, "indicated_c", p.indicated_c);
    FIELD(c, "error", p.error);
    FIELD(c, "error_k", p.error_k);
    FIELD(c, "error_percent_of_span", p.error_percent_of_span);
    FIELD(c, "standard_uncertainty_k", p.standard_uncertainty_k);
    FIELD(c, "expanded_uncertainty_k", p.expanded_uncertainty_k);
    FIELD(c, "expanded_uncertainty", p.expanded_uncertainty);
    FIELD(c, "coverage_factor", p.coverage_factor);
    FIELD(c, "tolerance_lower_k", p.tolerance_lower_k);
    FIELD(c, "tolerance_upper_k", p.tolerance_upper_k);
    FIELD(c, "guard_band_k", p.guard_band_k);
    NAME(c, "verdict", verdict_names, p.verdict);
    FIELD(c, "probability_of_conformity", p.probability_of_conformity);
    GOOD(calcore_result_budget(result, i, j, &b, &err));
    FIELD(c, "value", b.value);
    FIELD(c, "standard_uncertainty", b.standard_uncertainty);
    if (isinf(b.effective_degrees_of_freedom)) {
        CHECK(isnan(number(c, "effective_degrees_of_freedom"))); /* null */
    } else {
        FIELD(c, "effective_degrees_of_freedom", b.effective_degrees_of_freedom);
    }
    FIELD(c, "coverage_probability", b.coverage_probability);
    FIELD(c, "coverage_factor", b.coverage_factor);
    FIELD(c, "expanded_uncertainty", b.expanded_uncertainty);
    for (k = 0; k < p.contributions; k++) {
        GOOD(calcore_result_contribution(result, i, j, k, &line, &err));
        CHECK(find(c, "quantity") && quoted(c, text_of(result, CALCORE_TEXT_CONTRIBUTION, i, j, k)));
        FIELD(c, "estimate", line.estimate);
        FIELD(c, "standard_uncertainty", line.standard_uncertainty);
        CHECK(line.kind >= CALCORE_NORMAL);
        if (isinf(line.degrees_of_freedom)) {
            CHECK(isnan(number(c, "degrees_of_freedom"))); /* null */
        } else {
            FIELD(c, "degrees_of_freedom", line.degrees_of_freedom);
        }
        FIELD(c, "sensitivity", line.sensitivity);
        FIELD(c, "contribution", line.contribution);
        FIELD(c, "share", line.share);
    }
    STATUS(CALCORE_E_INDEX, calcore_result_contribution(result, i, j, p.contributions, &line, &err));
    CHECK(err.value == (double)p.contributions && err.high == (double)p.contributions - 1.0);
}

static void instruments(const calcore_result *result, cursor *c, size_t count)
{
    calcore_error err = check_error();
    size_t i;
    size_t j;
    for (i = 0; i < count; i++) {
        SIZED(calcore_instrument, one);
        SIZED(calcore_point, none);
        size_t found = 77;
        const char *tag = text_of(result, CALCORE_TEXT_INSTRUMENT_TAG, i, 0, 0);
        GOOD(calcore_result_instrument(result, i, &one, &err));
        CHECK(find(c, "tag") && quoted(c, tag));
        GOOD(calcore_result_find(result, tag, &found, &err));
        CHECK(found == i);
        NAME(c, "kind", kind_names, one.kind);
        NAME(c, "unit", unit_names, one.unit);
        for (j = 0; j < one.points; j++) {
            point(result, c, i, j);
        }
        NAME(c, "verdict", verdict_names, one.verdict);
        FIELD(c, "worst_point", (double)one.worst_point);
        STATUS(CALCORE_E_INDEX, calcore_result_point(result, i, one.points, &none, &err));
    }
}

static void attributions(const calcore_result *result, cursor *c, size_t count)
{
    calcore_error err = check_error();
    size_t i;
    size_t j;
    size_t k;
    for (i = 0; i < count; i++) {
        SIZED(calcore_attribution, a);
        GOOD(calcore_result_attribution(result, i, &a, &err));
        CHECK(find(c, "tag") && quoted(c, text_of(result, CALCORE_TEXT_ATTRIBUTION_TAG, i, 0, 0)));
        CHECK(find(c, "links"));
        for (k = 0; k < a.links; k++) {
            CHECK(strstr(c->at, text_of(result, CALCORE_TEXT_ATTRIBUTION_LINK, i, k, 0)) != NULL);
        }
        for (j = 0; j < a.set_points; j++) {
            double sum = 0.0;
            SIZED(calcore_attribution_point, p);
            SIZED(calcore_share, s);
            GOOD(calcore_result_attribution_point(result, i, j, &p, &err));
            FIELD(c, "set_point", (double)p.set_point);
            FIELD(c, "error_k", p.error_k);
            for (k = 0; k < p.shares; k++) {
                GOOD(calcore_result_share(result, i, j, k, &s, &err));
                CHECK(find(c, "tag") && quoted(c, text_of(result, CALCORE_TEXT_SHARE_TAG, i, j, k)));
                FIELD(c, "error_k", s.error_k);
                FIELD(c, "standard_uncertainty_k", s.standard_uncertainty_k);
                FIELD(c, "expanded_uncertainty_k", s.expanded_uncertainty_k);
                FIELD_OR_NULL(c, "percent", s.percent);
                sum += s.error_k;
            }
            /* Adding a few numbers below 1 K: less than 1e-15 K of rounding. */
            CLOSE("sum of the shares", (double)j, sum, p.error_k, 1e-15);
            STATUS(CALCORE_E_INDEX, calcore_result_share(result, i, j, p.shares, &s, &err));
        }
        CHECK(find(c, "cause") && quoted(c, text_of(result, CALCORE_TEXT_ATTRIBUTION_CAUSE, i, 0, 0)));
        CHECK(find(c, "significant") && (strncmp(c->at, "true", 4) == 0) == (a.significant == 1));
    }
}

static void covariance(const calcore_result *result, cursor *c, size_t errors)
{
    calcore_error err = check_error();
    size_t n = errors * errors;
    double *matrix = (double *)malloc((n + 1) * sizeof *matrix);
    size_t i;
    if (matrix == NULL) {
        abort();
    }
    matrix[0] = 7.0;
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_result_covariance(result, matrix, n + 1, &err));
    CHECK(err.value == (double)(n + 1) && err.high == (double)n && matrix[0] == 7.0);
    STATUS(CALCORE_E_NULL, calcore_result_covariance(result, NULL, n, &err));
    GOOD(calcore_result_covariance(result, matrix, n, &err));
    FIELD(c, "size", (double)errors);
    CHECK(find(c, "values"));
    for (i = 0; i < n; i++) {
        char *end;
        double want = strtod(c->at + 1, &end);
        SAME("covariance", matrix[i], want);
        c->at = end;
    }
    free(matrix);
}

static void element_fits(const calcore_result *result, cursor *c, size_t count)
{
    calcore_error err = check_error();
    size_t i;
    size_t k;
    for (i = 0; i < count; i++) {
        SIZED(calcore_element_fit, f);
        SIZED(calcore_cvd_numbers, numbers);
        calcore_cvd *curve = NULL;
        double residuals_k[64];
        double u_k[64];
        char *end;
        GOOD(calcore_result_element_fit(result, i, &f, &err));
        CHECK(find(c, "tag") && quoted(c, text_of(result, CALCORE_TEXT_ELEMENT_TAG, i, 0, 0)));
        FIELD(c, "r0", f.r0);
        FIELD(c, "a", f.a);
        FIELD(c, "b", f.b);
        FIELD(c, "c", f.c);
        if (!isnan(f.covariance[0])) {
            CHECK(find(c, "values"));
            for (k = 0; k < 16; k++) {
                SAME("covariance of the fit", f.covariance[k], strtod(c->at + 1, &end));
                c->at = end;
            }
        }
        CHECK(find(c, "held"));
        for (k = 0; k < 4; k++) {
            static const char *const names[] = {"\"r0\"", "\"a\"", "\"b\"", "\"c\""};
            const char *stop = strchr(c->at, ']');
            const char *place = strstr(c->at, names[k]);
            CHECK(stop != NULL && (place != NULL && place < stop) == ((f.held >> k & 1) != 0));
        }
        CHECK(find(c, "range_c"));
        SAME("low_c", f.low_c, strtod(c->at + 1, &end));
        SAME("high_c", f.high_c, strtod(end + 1, &end));
        CHECK(f.points > 0 && f.points <= 64);
        STATUS(CALCORE_E_LENGTH_MISMATCH,
               calcore_result_element_fit_points(result, i, residuals_k, u_k, f.points - 1, &err));
        STATUS(CALCORE_E_NULL, calcore_result_element_fit_points(result, i, NULL, u_k, f.points, &err));
        STATUS(CALCORE_E_NULL, calcore_result_element_fit_points(result, i, residuals_k, NULL, f.points, &err));
        GOOD(calcore_result_element_fit_points(result, i, residuals_k, u_k, f.points, &err));
        CHECK(find(c, "residuals_k"));
        for (k = 0; k < f.points; k++) {
            SAME("residual", residuals_k[k], strtod(c->at + 1, &end));
            c->at = end;
        }
        FIELD_OR_NULL(c, "chi_squared", f.chi_squared);
        FIELD(c, "degrees_of_freedom", (double)f.degrees_of_freedom);
        FIELD_OR_NULL(c, "p_value", f.p_value);
        CHECK(find(c, "standard_uncertainties_k"));
        for (k = 0; k < f.points && c->at[1] != ']'; k++) {
            SAME("u of the curve", u_k[k], strtod(c->at + 1, &end));
            c->at = end;
        }
        GOOD(calcore_result_element_curve(result, i, &curve, &err));
        GOOD(calcore_cvd_describe(curve, &numbers, &err));
        SAME("r0 of the curve", numbers.r0, f.r0);
        SAME("c of the curve", numbers.c, f.c);
        SAME("low_c of the curve", numbers.low_c, f.low_c);
        calcore_cvd_free(curve);
    }
}

static void invented_run(const char *run_path, const char *result_path)
{
    calcore_error err = check_error();
    size_t run_size = 0;
    size_t result_size = 0;
    size_t needed = 0;
    char *text = file_read(run_path, &run_size);
    char *want = file_read(result_path, &result_size);
    char *got;
    char *described;
    calcore_run *run = NULL;
    calcore_run *run_again = NULL;
    calcore_result *result = NULL;
    cursor c;
    size_t i;
    SIZED(calcore_result_counts, counts);
    GOOD(calcore_run_from_json(text, run_size, &run, &err));
    GOOD(calcore_run_evaluate(run, &result, &err));

    /* The description survives being written and read. */
    GOOD(calcore_run_to_json(run, NULL, 0, &needed, &err));
    described = (char *)malloc(needed);
    if (described == NULL) {
        abort();
    }
    GOOD(calcore_run_to_json(run, described, needed, &needed, &err));
    GOOD(calcore_run_from_json(described, needed - 1, &run_again, &err));
    calcore_run_free(run);
    calcore_run_free(run_again);

    got = to_json(result);
    /* The file was printed as a line. */
    CHECK(strlen(got) + 1 == result_size && strncmp(got, want, strlen(got)) == 0 && want[result_size - 1] == '\n');

    GOOD(calcore_result_count(result, &counts, &err));
    CHECK(counts.set_points > 0 && counts.instruments > 0 && counts.attributions > 0);
    c.at = got;
    CHECK(find(&c, "core_version") && quoted(&c, text_of(result, CALCORE_TEXT_CORE_VERSION, 0, 0, 0)));
    CHECK(find(&c, "documents"));
    for (i = 0; i < counts.documents; i++) {
        CHECK(strstr(c.at, text_of(result, CALCORE_TEXT_DOCUMENT, i, 0, 0)) != NULL);
    }
    CHECK(find(&c, "set_points"));
    set_points(result, &c, counts.set_points);
    CHECK(find(&c, "instruments"));
    instruments(result, &c, counts.instruments);
    CHECK(find(&c, "attribution"));
    attributions(result, &c, counts.attributions);
    CHECK(find(&c, "covariance"));
    covariance(result, &c, counts.errors);
    CHECK(find(&c, "element_fits"));
    element_fits(result, &c, counts.element_fits);
    CHECK(find(&c, "warnings"));
    for (i = 0; i < counts.warnings; i++) {
        CHECK(find(&c, "code") && quoted(&c, text_of(result, CALCORE_TEXT_WARNING_CODE, i, 0, 0)));
        CHECK(find(&c, "path") && quoted(&c, text_of(result, CALCORE_TEXT_WARNING_PATH, i, 0, 0)));
        CHECK(find(&c, "message") && text_of(result, CALCORE_TEXT_WARNING_MESSAGE, i, 0, 0)[0] != '\0');
    }
    CHECK(find(&c, "cautions"));
    for (i = 0; i < counts.cautions; i++) {
        CHECK(strstr(c.at, text_of(result, CALCORE_TEXT_CAUTION, i, 0, 0)) != NULL);
    }
    free(text);
    free(want);
    free(got);
    free(described);
    calcore_result_free(result);
}

/* The worked attribution: a chain with one reading each. Arguments in the order reference, ohm, value, mA, display. */
static const char chain[] =
    "{\"schema_version\":1,\"title\":\"worked chain\",\"phase\":\"as_found\",\"coverage\":{\"factor\":2},"
    "\"decision\":{\"rule\":\"simple\"},\"reference\":{\"tag\":\"REF\",\"unit\":\"degC\",\"contributions\":["
    "{\"name\":\"certificate\",\"unit\":\"K\",\"distribution\":{\"normal\":{\"standard_uncertainty\":0.015}}}]},"
    "\"heat_source\":{\"tag\":\"block\",\"contributions\":[]},\"instruments\":["
    "{\"tag\":\"TE\",\"kind\":\"element\",\"unit\":\"ohm\",\"range\":{\"low\":-50,\"high\":250,\"unit\":\"degC\"},"
    "\"curve\":{\"iec60751\":{\"r0\":100}},\"resolution\":0.001,\"tolerance\":{\"absolute\":{\"half_width\":1,\"unit\":\"K\"}}},"
    "{\"tag\":\"PV\",\"kind\":\"transmitter\",\"input\":\"TE\",\"unit\":\"degC\",\"range\":{\"low\":0,\"high\":150,"
    "\"unit\":\"degC\"},\"resolution\":0.001,\"tolerance\":{\"percent_of_span\":{\"percent\":0.25}}},"
    "{\"tag\":\"OUT\",\"kind\":\"output_stage\",\"input\":\"PV\",\"unit\":\"mA\",\"range\":{\"low\":0,\"high\":150,"
    "\"unit\":\"degC\"},\"resolution\":0.001,\"tolerance\":{\"percent_of_span\":{\"percent\":0.25}}},"
    "{\"tag\":\"TIC\",\"kind\":\"control_system\",\"input\":\"OUT\",\"unit\":\"degC\",\"range\":{\"low\":0,\"high\":150,"
    "\"unit\":\"degC\"},\"resolution\":0.001,\"tolerance\":{\"percent_of_span\":{\"percent\":0.25}}}],"
    "\"set_points\":[{\"nominal_c\":100,\"readings\":["
    "{\"tag\":\"REF\",\"time_s\":[0],\"value\":[%.17g]},{\"tag\":\"TE\",\"time_s\":[0],\"value\":[%.17g]},"
    "{\"tag\":\"PV\",\"time_s\":[0],\"value\":[%.17g]},{\"tag\":\"OUT\",\"time_s\":[0],\"value\":[%.17g]},"
    "{\"tag\":\"TIC\",\"time_s\":[0],\"value\":[%.17g]}]}]}";

static double worked(const table *t, const char *quantity, const char *column)
{
    size_t i;
    for (i = 0; i < t->rows; i++) {
        if (strcmp(table_text(t, i, "quantity"), quantity) == 0) {
            return table_number(t, i, column);
        }
    }
    abort();
}

static void worked_chain(const char *reference)
{
    static const char *const shares[] = {"link_sensor", "link_input", "link_output", "link_receiver"};
    static const char *const tags[] = {"TE", "PV", "OUT", "TIC"};
    table t = table_read(reference, "attribution_worked.csv");
    calcore_error err = check_error();
    calcore_run *run = NULL;
    calcore_result *result = NULL;
    char text[sizeof chain + 200];
    size_t k;
    SIZED(calcore_attribution_point, p);
    sprintf(text, chain, worked(&t, "reference_t", "value"), worked(&t, "resistance", "value"),
            worked(&t, "digital_value", "value"), worked(&t, "current", "value"), worked(&t, "display", "value"));
    GOOD(calcore_run_from_json(text, strlen(text), &run, &err));
    GOOD(calcore_run_evaluate(run, &result, &err));
    GOOD(calcore_result_attribution_point(result, 0, 0, &p, &err));
    CHECK(p.shares == 4 && p.set_point == 0);
    for (k = 0; k < 4; k++) {
        SIZED(calcore_share, s);
        GOOD(calcore_result_share(result, 0, 0, k, &s, &err));
        CHECK(strcmp(text_of(result, CALCORE_TEXT_SHARE_TAG, 0, 0, k), tags[k]) == 0);
        CLOSE(shares[k], (double)k, s.error_k, worked(&t, shares[k], "value"), 0.0005);
        /* Differences of temperatures near 100 °C: each is rounded to 2^-47. */
        CLOSE(shares[k], (double)k, s.error_k, worked(&t, shares[k], "recomputed"), 1e-13);
    }
    calcore_result_free(result);
    calcore_run_free(run);
    table_free(&t);
}

static void refused(const char *run_path)
{
    calcore_error err = check_error();
    size_t size = 0;
    size_t needed = 77;
    char *text = file_read(run_path, &size);
    char buffer[8];
    calcore_run *run = NULL;
    calcore_run *other = NULL;
    calcore_result *result = NULL;
    SIZED(calcore_result_counts, counts);
    SIZED(calcore_set_point, set_point);
    SIZED(calcore_steadiness, steadiness);
    SIZED(calcore_instrument, instrument);
    SIZED(calcore_budget, budget);
    SIZED(calcore_attribution, attribution);
    SIZED(calcore_attribution_point, split);
    SIZED(calcore_element_fit, fit);
    calcore_cvd *curve = NULL;
    STATUS(CALCORE_E_DOCUMENT, calcore_run_from_json("{\"titel\": 1}", 12, &run, &err));
    CHECK(strncmp(err.message, "titel: ", 7) == 0);
    STATUS(CALCORE_E_DOCUMENT, calcore_run_from_json(NULL, 0, &run, &err));
    STATUS(CALCORE_E_DOCUMENT, calcore_run_from_json(text, size / 2, &run, &err));
    STATUS(CALCORE_E_NULL, calcore_run_from_json(NULL, 12, &run, &err));
    STATUS(CALCORE_E_NULL, calcore_run_from_json(text, size, NULL, &err));
    STATUS(CALCORE_E_UTF8, calcore_run_from_json("\xff\xfe", 2, &run, &err));
    STATUS(CALCORE_E_NULL, calcore_run_evaluate(NULL, &result, &err));
    CHECK(run == NULL && result == NULL);

    GOOD(calcore_run_from_json(text, size, &run, &err));
    STATUS(CALCORE_E_NULL, calcore_run_evaluate(run, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_run_to_json(run, buffer, sizeof buffer, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_run_to_json(run, NULL, 8, &needed, &err));
    CHECK(needed == 77);
    STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_run_to_json(run, buffer, 0, &needed, &err));
    CHECK(needed > 1000);
    GOOD(calcore_run_evaluate(run, &result, &err));
    /* A handle of another type. */
    STATUS(CALCORE_E_HANDLE, calcore_run_evaluate((const calcore_run *)(const void *)result, (calcore_result **)(void *)&other, &err));
    STATUS(CALCORE_E_HANDLE, calcore_result_count((const calcore_result *)(const void *)run, &counts, &err));
    calcore_result_free((calcore_result *)(void *)run);
    STATUS(CALCORE_E_NULL, calcore_result_count(NULL, &counts, &err));
    GOOD(calcore_result_count(result, &counts, &err));

    STATUS(CALCORE_E_OPTION, calcore_result_text(result, 99, 0, 0, 0, NULL, 0, &needed, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_text(result, CALCORE_TEXT_INSTRUMENT_TAG, 99, 0, 0, NULL, 0, &needed, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_text(result, CALCORE_TEXT_WARNING_CODE, SIZE_MAX, 0, 0, NULL, 0, &needed, &err));
    STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_result_text(result, CALCORE_TEXT_CAUTION, 0, 0, 0, buffer, 8, &needed, &err));
    needed = 77;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_result_find(result, "NOBODY", &needed, &err));
    STATUS(CALCORE_E_NULL, calcore_result_find(result, NULL, &needed, &err));
    CHECK(needed == 77);
    STATUS(CALCORE_E_INDEX, calcore_result_set_point(result, counts.set_points, &set_point, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_steadiness(result, counts.set_points, &steadiness, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_instrument(result, counts.instruments, &instrument, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_budget(result, counts.instruments, 0, &budget, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_attribution(result, counts.attributions, &attribution, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_attribution_point(result, counts.attributions, 0, &split, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_element_fit(result, counts.element_fits, &fit, &err));
    STATUS(CALCORE_E_INDEX, calcore_result_element_curve(result, counts.element_fits, &curve, &err));
    CHECK(curve == NULL && other == NULL);
    set_point.size = 0;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_result_set_point(result, 0, &set_point, &err));
    calcore_result_free(result);
    calcore_result_free(NULL);
    calcore_run_free(run);
    calcore_run_free(NULL);
    free(text);
}

void test_loop_calibration(const char *reference, const char *run, const char *result)
{
    invented_run(run, result);
    worked_chain(reference);
    refused(run);
}
