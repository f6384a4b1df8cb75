/* The work around a run: plan, import, as found and as left, the record, history, and what rests on a reference. */
#include "job.h"

#include <math.h>
#include <stdio.h>

static const char request[] =
    "{\"instruments\":[{\"tag\":\"TI-1\",\"low_c\":0,\"high_c\":200,\"points\":["
    "{\"celsius\":{\"at\":50,\"within_k\":1}},{\"percent_of_span\":{\"at\":50,\"within\":0}}]},"
    "{\"tag\":\"TI-2\",\"low_c\":0,\"high_c\":100,\"points\":[{\"celsius\":{\"at\":51.5,\"within_k\":1}}]}],"
    "\"heat_sources\":[{\"tag\":\"block\",\"low_c\":30,\"high_c\":250,\"start_c\":20,\"heating_k_per_min\":6,"
    "\"cooling_k_per_min\":3,\"settling_s\":900,\"bores\":4}],\"order\":\"up\",\"reading_s\":120}";

/* 49 to 51 and 50.5 to 52.5 share a point, 100 stands alone: two points; from 20 to 100 at 6 K a minute are 800 s, and twice 900 s
 * and 120 s. */
static void plan(void)
{
    calcore_error err = check_error();
    calcore_plan *p = NULL;
    calcore_text *text = NULL;
    char *json;
    char tag[16];
    size_t needed = 0;
    double t_c[4] = {7.0, 7.0, 7.0, 7.0};
    SIZED(calcore_plan_numbers, n);
    SIZED(calcore_source_plan, s);
    GOOD(calcore_plan_from_json(request, strlen(request), &p, &err));
    GOOD(calcore_plan_describe(p, &n, &err));
    CHECK(n.sources == 1 && n.set_points == 2 && n.optimal == 1);
    CLOSE("time", 0.0, n.time_s, 800.0 + 2.0 * 1020.0, 1e-9);
    CHECK(n.time_one_by_one_s > n.time_s);
    GOOD(calcore_plan_source(p, 0, &s, tag, sizeof tag, &needed, &err));
    CHECK(strcmp(tag, "block") == 0 && s.instruments == 2 && s.set_points == 2 && s.visits == 2 && s.time_s == n.time_s);
    GOOD(calcore_plan_set_points(p, 0, t_c, 2, &err));
    CHECK(t_c[0] >= 50.5 && t_c[0] <= 51.0 && t_c[1] == 100.0);
    GOOD(calcore_plan_visits(p, 0, t_c + 2, 2, &err));
    CHECK(t_c[2] == t_c[0] && t_c[3] == t_c[1]);
    GOOD(calcore_plan_to_json(p, &text, &err));
    json = job_text(text);
    CHECK(job_number(json, "\"time_s\":") == n.time_s && strstr(json, "\"proof\"") != NULL);
    free(json);
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_plan_visits(p, 0, t_c, 3, &err));
    STATUS(CALCORE_E_INDEX, calcore_plan_set_points(p, 1, t_c, 2, &err));
    STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_plan_source(p, 0, &s, tag, 2, &needed, &err));
    calcore_plan_free(p);
    calcore_plan_free(NULL);
    p = NULL;
    STATUS(CALCORE_E_DOCUMENT, calcore_plan_from_json("{}", 2, &p, &err));
    STATUS(CALCORE_E_UTF8, calcore_plan_from_json("\xff", 1, &p, &err));
    STATUS(CALCORE_E_NULL, calcore_plan_from_json(NULL, 4, &p, &err));
    CHECK(p == NULL);
    GOOD(calcore_plan_fit_points(2, 0.0, 200.0, t_c, 3, &err));
    CHECK(t_c[0] == 0.0 && t_c[1] == 100.0 && t_c[2] == 200.0);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_plan_fit_points(0, 0.0, 200.0, t_c, 1, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_plan_fit_points(2, 0.0, 200.0, t_c, 4, &err));
}

static const char mapping[] = "{\"time\":\"t\",\"set_point\":\"sp\",\"readings\":{\"wide\":["
                              "{\"tag\":\"REF-01\",\"column\":\"ref\"},{\"tag\":\"TIC-4107\",\"column\":\"tic\"}]},"
                              "\"decimal_mark\":\".\"}";

/* A run with readings at 100 °C; the controller reads `tic`. */
static calcore_run *at_100(const calcore_run *like, double tic)
{
    calcore_error err = check_error();
    const char *names[4] = {"t", "sp", "ref", "tic"};
    const double t[3] = {0.0, 30.0, 60.0};
    const double sp[3] = {100.0, 100.0, 100.0};
    const double ref[3] = {138.54, 138.54, 138.54};
    double value[3];
    const double *arrays[4];
    calcore_run *run = NULL;
    arrays[0] = t;
    arrays[1] = sp;
    arrays[2] = ref;
    arrays[3] = value;
    value[0] = value[1] = value[2] = tic;
    GOOD(calcore_run_with_arrays(like, names, arrays, 4, 3, mapping, strlen(mapping), &run, NULL, &err));
    return run;
}

static calcore_result *evaluated(const calcore_run *run)
{
    calcore_error err = check_error();
    calcore_result *result = NULL;
    GOOD(calcore_run_evaluate(run, &result, &err));
    return result;
}

static void import(const calcore_run *like)
{
    static const char csv[] = "t;sp;ref;tic\n0;100;138.54;100.6\n30;100;138.54;\n60;100;138.54;100.6\n";
    static const char broken[] = "t;sp;ref;tic\n0;100;138.54;warm\n";
    calcore_error err = check_error();
    calcore_run *by_text = NULL;
    calcore_run *by_arrays = at_100(like, 100.6);
    calcore_text *left_out = NULL;
    calcore_result *a = evaluated(by_arrays);
    calcore_result *b;
    char *json;
    const char *names[4] = {"t", "sp", "ref", NULL};
    const double *arrays[4] = {NULL, NULL, NULL, NULL};
    SIZED(calcore_point, p);
    SIZED(calcore_point, q);
    GOOD(calcore_run_with_csv(like, csv, strlen(csv), ';', mapping, strlen(mapping), &by_text, &left_out, &err));
    json = job_text(left_out);
    CHECK(strstr(json, "row 2, column \\\"tic\\\"") != NULL);
    free(json);
    b = evaluated(by_text);
    GOOD(calcore_result_point(a, 0, 0, &p, &err));
    GOOD(calcore_result_point(b, 0, 0, &q, &err));
    CHECK(p.reading == 100.6);
    SAME("the same error by text and by arrays", p.error_k, q.error_k);
    calcore_run_free(by_text);
    calcore_result_free(a);
    calcore_result_free(b);
    calcore_run_free(by_arrays);
    by_text = NULL;
    left_out = NULL;
    STATUS(CALCORE_E_INVALID_RUN,
           calcore_run_with_csv(like, broken, strlen(broken), ';', mapping, strlen(mapping), &by_text, &left_out, &err));
    CHECK(strstr(err.message, "warm") != NULL);
    STATUS(CALCORE_E_OPTION, calcore_run_with_csv(like, csv, strlen(csv), 300, mapping, strlen(mapping), &by_text, NULL, &err));
    STATUS(CALCORE_E_OPTION, calcore_run_with_csv(like, csv, strlen(csv), '"', mapping, strlen(mapping), &by_text, NULL, &err));
    STATUS(CALCORE_E_DOCUMENT, calcore_run_with_csv(like, csv, strlen(csv), ';', "{}", 2, &by_text, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_run_with_csv(like, csv, strlen(csv), ';', mapping, strlen(mapping), NULL, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_run_with_csv(NULL, csv, strlen(csv), ';', mapping, strlen(mapping), &by_text, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_run_with_arrays(like, names, arrays, 4, 3, mapping, strlen(mapping), &by_text, NULL, &err));
    CHECK(calcore_run_with_arrays(like, NULL, NULL, 0, 0, mapping, strlen(mapping), &by_text, NULL, &err) ==
          CALCORE_E_INVALID_RUN);
    CHECK(by_text == NULL && left_out == NULL);
}

/* The controller read 100.6 °C and reads 100.4 °C after an adjustment: a change of -0.2 K. */
static void adjusted(const char *json, const calcore_run *like)
{
    calcore_error err = check_error();
    char *left_json = job_replaced(json, "\"phase\": \"as_found\"", "\"phase\": \"as_left\" ");
    calcore_run *like_left = job_run(left_json);
    calcore_run *found = at_100(like, 100.6);
    calcore_run *left = at_100(like_left, 100.4);
    calcore_run *again = NULL;
    calcore_result *first = evaluated(found);
    calcore_result *second = evaluated(left);
    calcore_calibration *file = NULL;
    calcore_calibration *copy = NULL;
    calcore_changes *changes = NULL;
    calcore_record_check *check = NULL;
    calcore_text *text = NULL;
    char *kept;
    char *once_more;
    char tag[32];
    char hash[72];
    size_t needed = 0;
    size_t count = 0;
    SIZED(calcore_change, change);
    SIZED(calcore_adjustment_event, event);
    SIZED(calcore_record_outcome, outcome);

    GOOD(calcore_result_compare(first, second, &changes, &err));
    GOOD(calcore_changes_count(changes, &count, &err));
    CHECK(count == 1);
    GOOD(calcore_changes_get(changes, 0, &change, tag, sizeof tag, &needed, &err));
    CHECK(strcmp(tag, "TIC-4107") == 0 && change.nominal_c == 100.0 && change.direction == CALCORE_DIRECTION_UNKNOWN);
    CLOSE("change", 100.0, change.change_k, -0.2, 3e-14); /* readings of 100 round to 1.4e-14 */
    CLOSE("e_n", 0.0, change.e_n, change.change_k / change.expanded_uncertainty_k, 1e-15);
    CLOSE("k = 2", 0.0, change.expanded_uncertainty_k, 2.0 * change.standard_uncertainty_k, 1e-16);
    CHECK(change.significant == (fabs(change.change_k) > change.expanded_uncertainty_k));
    GOOD(calcore_changes_to_json(changes, &text, &err));
    kept = job_text(text);
    SAME("change in JSON", job_number(kept, "\"change_k\":"), change.change_k);
    free(kept);
    STATUS(CALCORE_E_INDEX, calcore_changes_get(changes, 1, &change, tag, sizeof tag, &needed, &err));
    calcore_changes_free(changes);

    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_new(left, &file, &err));
    STATUS(CALCORE_E_NULL, calcore_calibration_new(NULL, &file, &err));
    CHECK(file == NULL);
    GOOD(calcore_calibration_new(found, &file, &err));
    STATUS(CALCORE_E_INDEX, calcore_calibration_as_left(file, &again, &err));
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_finish(file, left, &err)); /* nothing was adjusted */
    GOOD(calcore_calibration_extend_as_found(file, found, &err));
    event.tag = "TT-4107 mA";
    event.parameter = "output trim";
    event.old_value = "4/20";
    event.new_value = "4.02/20.06";
    event.reason = "error of the output stage";
    event.by = "A. N. Other";
    STATUS(CALCORE_E_NULL, calcore_calibration_adjust(file, &event, &err)); /* no time */
    event.when = "2026-03-04";
    GOOD(calcore_calibration_adjust(file, &event, &err));
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_extend_as_found(file, found, &err)); /* closed by the adjustment */
    event.tag = "nobody";
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_adjust(file, &event, &err));
    GOOD(calcore_calibration_finish(file, left, &err));
    STATUS(CALCORE_E_INVALID_RUN, calcore_calibration_finish(file, left, &err)); /* never overwritten */
    GOOD(calcore_calibration_as_left(file, &again, &err));
    calcore_run_free(again);
    GOOD(calcore_calibration_as_found(file, &again, &err));
    calcore_run_free(again);

    GOOD(calcore_calibration_to_json(file, &text, &err));
    kept = job_text(text);
    GOOD(calcore_calibration_from_json(kept, strlen(kept), &copy, &err));
    GOOD(calcore_calibration_to_json(copy, &text, &err));
    once_more = job_text(text);
    CHECK(strcmp(kept, once_more) == 0);
    free(kept);
    free(once_more);
    calcore_calibration_free(copy);
    copy = NULL;
    STATUS(CALCORE_E_DOCUMENT, calcore_calibration_from_json("[]", 2, &copy, &err));
    CHECK(copy == NULL);

    /* The record is computed again to the last bit; a changed digit is seen. */
    GOOD(calcore_record(file, "{\"title\":\"Calibration certificate\"}", 35, &text, &err));
    kept = job_text(text);
    GOOD(calcore_record_check_from_json(kept, strlen(kept), &check, &err));
    GOOD(calcore_record_check_describe(check, &outcome, &err));
    CHECK(outcome.unchanged == 1 && outcome.differences == 0 && strlen(outcome.content_hash) == 64);
    CHECK(strstr(kept, outcome.content_hash) != NULL && strcmp(outcome.core_version, calcore_version()) == 0);
    GOOD(calcore_record_check_to_json(check, &text, &err));
    once_more = job_text(text);
    CHECK(strstr(once_more, "\"unchanged\":true") != NULL);
    free(once_more);
    STATUS(CALCORE_E_INDEX, calcore_record_check_difference(check, 0, tag, sizeof tag, &needed, &err));
    GOOD(calcore_record_check_calibration(check, &copy, &err));
    GOOD(calcore_record(copy, "{\"title\":\"Calibration certificate\"}", 35, &text, &err));
    once_more = job_text(text);
    CHECK(strcmp(once_more, kept) == 0);
    free(once_more);
    calcore_record_check_free(check);
    once_more = job_replaced(kept, "100.4", "100.3");
    GOOD(calcore_record_check_from_json(once_more, strlen(once_more), &check, &err));
    GOOD(calcore_record_check_describe(check, &outcome, &err));
    CHECK(outcome.unchanged == 0 && outcome.differences > 0);
    {
        char difference[512];
        GOOD(calcore_record_check_difference(check, 0, difference, sizeof difference, &needed, &err));
        CHECK(strlen(difference) + 1 == needed);
    }
    calcore_record_check_free(check);
    check = NULL;
    STATUS(CALCORE_E_DOCUMENT, calcore_record_check_from_json("{}", 2, &check, &err));
    STATUS(CALCORE_E_DOCUMENT, calcore_record(file, "{\"titel\":\"x\"}", 13, &text, &err));
    CHECK(check == NULL);
    free(once_more);
    free(kept);
    /* FIPS PUB 180-4, the example "abc". */
    GOOD(calcore_content_hash("abc", 3, hash, sizeof hash, &needed, &err));
    CHECK(strcmp(hash, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad") == 0);
    STATUS(CALCORE_E_UTF8, calcore_content_hash("\xff", 1, hash, sizeof hash, &needed, &err));

    calcore_calibration_free(copy);
    calcore_calibration_free(file);
    calcore_calibration_free(NULL);
    calcore_result_free(first);
    calcore_result_free(second);
    calcore_run_free(found);
    calcore_run_free(left);
    calcore_run_free(like_left);
    free(left_json);
}

/* Calibrations at 0, 1, 2 years with 0.0, 0.1, 0.2 K and u = 0.05 K: a slope of 0.1 K a year with u = 0.05 / sqrt(2). */
static void drift(void)
{
    static const double time_a[3] = {0.0, 1.0, 2.0};
    static const double found_k[3] = {0.0, 0.1, 0.2};
    static const double u_k[3] = {0.05, 0.05, 0.05};
    static const double stepped_k[3] = {0.0, 0.1, 0.1};
    static const double checks_k[3] = {0.1, 0.2, 0.5};
    const double k = 12.706204736432095; /* Student's 0.975 quantile for one degree of freedom: tan(0.475 pi) */
    double left_k[3];
    calcore_error err = check_error();
    calcore_history *h = NULL;
    calcore_text *text = NULL;
    char *json;
    double x = 7.0;
    double u = 7.0;
    double joined[3];
    int64_t first = 77;
    SIZED(calcore_history_drift, d);
    SIZED(calcore_staircase_rule, rule);
    SIZED(calcore_reliability_interval, r);
    GOOD(calcore_history_new(time_a, found_k, u_k, NULL, 3, &h, &err));
    GOOD(calcore_history_describe(h, &d, &err));
    CLOSE("slope", 0.0, d.slope_k_per_a, 0.1, 1e-16);
    CLOSE("u of the slope", 0.0, d.u_slope_k_per_a, 0.05 / sqrt(2.0), 1e-16);
    CHECK(d.degrees_of_freedom == 1 && d.points == 3);
    GOOD(calcore_history_predict(h, 3.0, &x, &u, &err));
    CLOSE("prediction", 3.0, x, 0.3, 1e-15);
    CLOSE("its u", 3.0, u, 0.05 * sqrt(1.0 + 1.0 / 3.0 + 4.0 / 2.0), 1e-15);
    GOOD(calcore_history_due(h, 2.0, 0.95, 30.0, &x, &err));
    GOOD(calcore_history_predict(h, x, joined, joined + 1, &err));
    CLOSE("the limit is reached", x, joined[0] + k * joined[1], 2.0, 1e-9);
    GOOD(calcore_history_due(h, 1e6, 0.95, 30.0, &x, &err));
    CHECK(isnan(x));
    GOOD(calcore_history_to_json(h, &text, &err));
    json = job_text(text);
    SAME("slope in JSON", job_number(json, "\"slope_k_per_a\":"), d.slope_k_per_a);
    free(json);
    calcore_history_free(h);
    h = NULL;
    /* Adjusted to 0 in the second year: 0.1 K were found and taken away. */
    left_k[0] = left_k[2] = check_nan();
    left_k[1] = 0.0;
    GOOD(calcore_history_new(time_a, stepped_k, u_k, left_k, 3, &h, &err));
    GOOD(calcore_history_joined(h, joined, 3, &err));
    CHECK(joined[0] == 0.0 && joined[1] == 0.1 && joined[2] == 0.2);
    GOOD(calcore_history_predict(h, 3.0, &x, &u, &err));
    CLOSE("prediction after an adjustment", 3.0, x, 0.2, 1e-15);
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_history_joined(h, joined, 2, &err));
    x = 7.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_history_due(h, -1.0, 0.95, 30.0, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_history_due(h, 2.0, 95.0, 30.0, &x, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_history_due(h, 2.0, 0.0, 30.0, &x, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_history_predict(h, check_nan(), &x, &u, &err));
    CHECK(x == 7.0);
    calcore_history_free(h);
    calcore_history_free(NULL);
    h = NULL;
    /* The middle one does not count for the slope (c = -1/2, 0, 1/2), but for the mean: 0.05 / sqrt(2) again, and at the middle
     * (2 * 0.0025 + 1) (1/3 + 1/9) K^2. */
    left_k[0] = left_k[2] = 0.05;
    left_k[1] = 1.0;
    GOOD(calcore_history_new(time_a, found_k, left_k, NULL, 3, &h, &err));
    GOOD(calcore_history_describe(h, &d, &err));
    CLOSE("u of the unweighted slope", 0.0, d.u_slope_k_per_a, 0.05 / sqrt(2.0), 1e-16);
    GOOD(calcore_history_predict(h, 1.0, &x, &u, &err));
    CLOSE("u at the middle", 1.0, u, sqrt(1.005 * (1.0 / 3.0 + 1.0 / 9.0)), 1e-15);
    calcore_history_free(h);
    h = NULL;
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_history_new(time_a, found_k, u_k, NULL, 2, &h, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_history_new(u_k, found_k, u_k, NULL, 3, &h, &err));
    STATUS(CALCORE_E_NULL, calcore_history_new(time_a, NULL, u_k, NULL, 3, &h, &err));
    CHECK(h == NULL);

    rule.extend_below = 0.5;
    rule.extend_by = 1.5;
    rule.shorten_by = 0.5;
    rule.shortest = 3.0;
    rule.longest = 24.0;
    GOOD(calcore_staircase(12.0, 0.3, &rule, &x, &err));
    CHECK(x == 18.0);
    GOOD(calcore_staircase(12.0, 1.2, &rule, &x, &err));
    CHECK(x == 6.0);
    GOOD(calcore_staircase(20.0, 0.3, &rule, &x, &err));
    CHECK(x == 24.0);
    rule.extend_by = 0.5;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_staircase(12.0, 0.3, &rule, &x, &err));
    rule.extend_by = 1.5;
    rule.extend_below = 80.0;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_staircase(12.0, 0.3, &rule, &x, &err)); /* a percentage is no part */
    STATUS(CALCORE_E_NULL, calcore_staircase(12.0, 0.3, NULL, &x, &err));
    GOOD(calcore_in_use(2000.0, 500.0, 1000.0, &x, &err));
    CHECK(x == 1.5);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_in_use(2000.0, -1.0, 1000.0, &x, &err));
    GOOD(calcore_in_service(checks_k, u_k, 3, 0.4, 2.0, &first, &err));
    CHECK(first == 2);
    GOOD(calcore_in_service(checks_k, u_k, 2, 0.4, 2.0, &first, &err));
    CHECK(first == -1);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_in_service(checks_k, u_k, 2, 0.0, 2.0, &first, &err));
    GOOD(calcore_reliability_interval_from_counts(12.0, 90, 100, 0.95, 0.95, &r, &err));
    CLOSE("interval", 0.0, r.interval, 12.0 * log(0.95) / log(0.9), 1e-14);
    CHECK(r.observed == 0.9 && r.shortest < r.interval && r.interval < r.longest);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_reliability_interval_from_counts(12.0, 101, 100, 0.95, 0.95, &r, &err));
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_reliability_interval_from_counts(12.0, 0, 0, 0.95, 0.95, &r, &err));
    /* 0.07 / sqrt(0.06^2 + 0.04^2) */
    GOOD(calcore_normalized_error(0.12, 0.06, 0.05, 0.04, 0.0, &x, &err));
    CLOSE("E_n", 0.0, x, 0.07 / sqrt(0.0052), 1e-15);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_normalized_error(0.12, -0.06, 0.05, 0.04, 0.0, &x, &err));
    /* 0.05^2 > 0.06 * 0.04 */
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_normalized_error(0.12, 0.06, 0.05, 0.04, 0.05, &x, &err));
}

/* The reference read 0.1 K high at every temperature: all errors become 0.1 K larger at worst, half of that half way. */
static void impact(const calcore_run *like)
{
    static const double t_c[2] = {0.0, 200.0};
    static const double error_k[2] = {0.1, 0.1};
    const double times[2] = {1.0, 5.0};
    calcore_error err = check_error();
    calcore_run *run = at_100(like, 100.6);
    calcore_result *result = evaluated(run);
    const calcore_result *results[2];
    const calcore_result *none[2] = {NULL, NULL};
    calcore_impacts *impacts = NULL;
    calcore_text *text = NULL;
    char *json;
    char tag[32];
    size_t needed = 0;
    size_t count = 0;
    SIZED(calcore_impact, x);
    results[0] = results[1] = result;
    GOOD(calcore_result_impact(results, times, 2, "REF-01", t_c, error_k, 2, 0.0, 2.0, &impacts, &err));
    GOOD(calcore_impacts_count(impacts, &count, &err));
    CHECK(count == 1); /* the second result is later than the finding */
    GOOD(calcore_impacts_get(impacts, 0, &x, tag, sizeof tag, &needed, &err));
    CHECK(strcmp(tag, "TIC-4107") == 0 && x.run == 0 && x.set_point == 0);
    /* Indicated minus reference at 100 °C: each rounds to 1.4e-14. */
    CLOSE("worst", 100.0, x.worst_k, x.reported_k + 0.1, 5e-14);
    CLOSE("likely", 100.0, x.likely_k, x.reported_k + 0.05, 5e-14);
    CHECK(x.changes_verdict == (x.likely != x.reported || x.worst != x.reported));
    GOOD(calcore_impacts_to_json(impacts, &text, &err));
    json = job_text(text);
    SAME("worst in JSON", job_number(json, "\"worst_k\":"), x.worst_k);
    free(json);
    STATUS(CALCORE_E_INDEX, calcore_impacts_get(impacts, 1, &x, tag, sizeof tag, &needed, &err));
    calcore_impacts_free(impacts);
    calcore_impacts_free(NULL);
    impacts = NULL;
    CHECK(calcore_result_impact(results, times, 2, "REF-01", NULL, NULL, 0, 0.0, 2.0, &impacts, &err) != CALCORE_OK);
    STATUS(CALCORE_E_NULL, calcore_result_impact(none, times, 2, "REF-01", t_c, error_k, 2, 0.0, 2.0, &impacts, &err));
    STATUS(CALCORE_E_NULL, calcore_result_impact(results, times, 2, NULL, t_c, error_k, 2, 0.0, 2.0, &impacts, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_result_impact(results, times, 2, "REF01", t_c, error_k, 2, 0.0, 2.0, &impacts, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_result_impact(results, times, 2, "REF-01", t_c, error_k, 2, 2.0, 0.0, &impacts, &err));
    CHECK(impacts == NULL);
    calcore_result_free(result);
    calcore_run_free(run);
}

/* Drift of 0.1 K a year in the readings, found again by the histories. */
static void histories(const calcore_run *like)
{
    const double times[3] = {0.0, 1.0, 2.0};
    calcore_error err = check_error();
    calcore_result *results[3];
    const calcore_result *seen[3];
    calcore_text *text = NULL;
    char *json;
    int i;
    for (i = 0; i < 3; i++) {
        calcore_run *run = at_100(like, 100.6 + 0.1 * i);
        results[i] = evaluated(run);
        seen[i] = results[i];
        calcore_run_free(run);
    }
    GOOD(calcore_result_histories(times, seen, NULL, 3, &text, &err));
    json = job_text(text);
    CLOSE("drift", 0.0, job_number(json, "\"slope_k_per_a\":"), 0.1, 1e-13);
    free(json);
    text = NULL;
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_result_histories(times, seen, NULL, 1, &text, &err));
    STATUS(CALCORE_E_NULL, calcore_result_histories(times, NULL, NULL, 3, &text, &err));
    STATUS(CALCORE_E_INVALID_RUN, calcore_result_histories(times, seen, seen, 3, &text, &err)); /* found, not left */
    CHECK(text == NULL);
    for (i = 0; i < 3; i++) {
        calcore_result_free(results[i]);
    }
}

void test_loop_job(const char *path)
{
    size_t size = 0;
    char *json = file_read(path, &size);
    calcore_run *run = job_run(json);
    plan();
    import(run);
    adjusted(json, run);
    drift();
    impact(run);
    histories(run);
    calcore_run_free(run);
    free(json);
}
