/* What a result says beyond its points: figures, actions, shares put together, adjustments, many runs at once, certificate. The
 * numbers are those of the JSON of the same object, and what they must be to each other. */
#include "job.h"

#include <math.h>
#include <stdio.h>

static void figures(const calcore_result *result, const char *tag)
{
    calcore_error err = check_error();
    double at[16];
    double mean[16];
    double least = check_infinity();
    double most = -check_infinity();
    size_t instrument = 0;
    size_t i;
    SIZED(calcore_figures, f);
    SIZED(calcore_instrument, one);
    GOOD(calcore_result_figures(result, tag, &f, &err));
    GOOD(calcore_result_find(result, tag, &instrument, &err));
    GOOD(calcore_result_instrument(result, instrument, &one, &err));
    for (i = 0; i < one.points; i++) {
        SIZED(calcore_point, p);
        GOOD(calcore_result_point(result, instrument, i, &p, &err));
        least = fmin(least, p.error_k);
        most = fmax(most, p.error_k);
    }
    SAME("largest error", f.largest_error_k, most);
    SAME("smallest error", f.smallest_error_k, least);
    CHECK(f.mean_errors > 0 && f.mean_errors <= 16);
    GOOD(calcore_result_mean_errors(result, tag, at, mean, f.mean_errors, &err));
    for (i = 1; i < f.mean_errors; i++) {
        CHECK(at[i] > at[i - 1] && mean[i] >= least && mean[i] <= most);
    }
    GOOD(calcore_result_mean_errors(result, tag, NULL, mean, f.mean_errors, &err));
    CHECK(f.independent_linearity_k <= f.terminal_based_linearity_k && f.independent_linearity_k <= f.zero_based_linearity_k);
    CHECK(f.hysteresis_k >= 0.0);
    f.hysteresis_k = 7.0;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_result_figures(result, "nobody", &f, &err));
    STATUS(CALCORE_E_NULL, calcore_result_figures(result, NULL, &f, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_result_mean_errors(result, tag, at, mean, f.mean_errors + 1, &err));
    CHECK(f.hysteresis_k == 7.0);
}

static void actions(const calcore_result *result)
{
    calcore_error err = check_error();
    int32_t action[8] = {77, 77, 77, 77, 77, 77, 77, 77};
    double used[8];
    size_t i;
    SIZED(calcore_result_counts, counts);
    GOOD(calcore_result_count(result, &counts, &err));
    GOOD(calcore_result_actions(result, 0.7, action, used, counts.instruments, &err));
    for (i = 0; i < counts.instruments; i++) {
        SIZED(calcore_instrument, one);
        GOOD(calcore_result_instrument(result, i, &one, &err));
        CHECK(action[i] >= CALCORE_ACTION_LEAVE && action[i] <= CALCORE_ACTION_REDUCE_UNCERTAINTY);
        CHECK((one.verdict == CALCORE_PASS) == (action[i] <= CALCORE_ACTION_ADJUST_FOR_PREVENTION));
        CHECK((used[i] > 0.7) == (action[i] == CALCORE_ACTION_ADJUST_FOR_PREVENTION || action[i] == CALCORE_ACTION_ADJUST_AND_ASSESS));
    }
    action[0] = 77;
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_result_actions(result, 0.7, action, used, 1, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_result_actions(result, 0.0, action, used, counts.instruments, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_result_actions(result, 70.0, action, used, counts.instruments, &err));
    CHECK(action[0] == 77);
}

static void shares(const calcore_result *result, const char *tag, const char *link)
{
    calcore_error err = check_error();
    calcore_corrected_point points[16];
    calcore_text *text = NULL;
    char *json;
    size_t count = 0;
    size_t j;
    size_t k;
    double sum = 0.0;
    SIZED(calcore_attribution, a);
    GOOD(calcore_result_attribution(result, 0, &a, &err));
    for (j = 0; j < a.set_points; j++) {
        double plain = 0.0;
        double amounts = 0.0;
        double squares = 0.0;
        SIZED(calcore_attribution_point, p);
        SIZED(calcore_combinations, c);
        GOOD(calcore_result_attribution_point(result, 0, j, &p, &err));
        for (k = 0; k < p.shares; k++) {
            SIZED(calcore_share, s);
            GOOD(calcore_result_share(result, 0, j, k, &s, &err));
            plain += s.error_k;
            amounts += fabs(s.error_k);
            squares += s.error_k * s.error_k;
        }
        GOOD(calcore_result_combinations(result, 0, j, &c, &err));
        CLOSE("algebraic", 0.0, c.algebraic_k, plain, 1e-15);
        CLOSE("worst case", 0.0, c.worst_case_k, amounts, 1e-15);
        CLOSE("root of squares", 0.0, c.root_sum_of_squares_k, sqrt(squares), 1e-15);
    }
    {
        char last[64];
        size_t needed = 0;
        SIZED(calcore_attribution_point, p);
        GOOD(calcore_result_text(result, CALCORE_TEXT_ATTRIBUTION_TAG, 0, 0, 0, last, sizeof last, &needed, &err));
        GOOD(calcore_result_attribution_point(result, 0, 0, &p, &err));
        GOOD(calcore_result_sum_of_shares(result, last, p.set_point, &sum, &err));
        SAME("compensated sum", sum, p.error_k);
        GOOD(calcore_result_hypotheses(result, last, &text, &err));
        json = job_text(text);
        CHECK(json[0] == '[');
        free(json);
    }
    sum = 7.0;
    text = NULL;
    STATUS(CALCORE_E_INDEX, calcore_result_sum_of_shares(result, tag, 99, &sum, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_result_sum_of_shares(result, "nobody", 0, &sum, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_result_hypotheses(result, "nobody", &text, &err));
    {
        SIZED(calcore_combinations, c);
        STATUS(CALCORE_E_INDEX, calcore_result_combinations(result, 0, 99, &c, &err));
    }
    /* Without the error of one link the loop is that much better. */
    GOOD(calcore_result_after_correcting(result, tag, link, NULL, 0, &count, &err));
    CHECK(count > 0 && count <= 16);
    GOOD(calcore_result_after_correcting(result, tag, link, points, count, &count, &err));
    for (j = 0; j < count; j++) {
        CHECK(points[j].standard_uncertainty_k > 0.0 && points[j].verdict >= CALCORE_PASS && points[j].verdict <= CALCORE_NO_FAIL);
        CHECK(points[j].probability_of_conformity >= 0.0 && points[j].probability_of_conformity <= 1.0);
    }
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_result_after_correcting(result, tag, link, points, count + 1, &count, &err));
    CHECK(calcore_result_after_correcting(result, tag, "nobody", points, count, &count, &err) != CALCORE_OK);
    CHECK(sum == 7.0 && text == NULL);
}

static void adjustments(const calcore_result *result)
{
    static const size_t values[5] = {1, 1, 4, 2, 4};
    calcore_error err = check_error();
    calcore_proposals *proposals = NULL;
    calcore_text *text = NULL;
    char buffer[256];
    size_t needed = 0;
    size_t count = 0;
    size_t i;
    size_t j;
    char *json;
    GOOD(calcore_result_adjustments(result, &proposals, &err));
    GOOD(calcore_proposals_count(proposals, &count, &err));
    CHECK(count > 0);
    GOOD(calcore_proposals_to_json(proposals, &text, &err));
    json = job_text(text);
    for (i = 0; i < count; i++) {
        SIZED(calcore_proposal, p);
        GOOD(calcore_proposals_get(proposals, i, &p, &err));
        CHECK(p.kind >= CALCORE_ADJUST_ZERO && p.kind <= CALCORE_ADJUST_NEW_COEFFICIENTS && p.largest_used >= 0.0);
        for (j = 0; j < 4; j++) {
            CHECK(isnan(p.values[j]) == (p.kind < 5 && j >= values[p.kind]));
        }
        if (i == 0) {
            SAME("largest used", p.largest_used, job_number(json, "\"largest_used\":"));
        }
        GOOD(calcore_proposals_text(proposals, CALCORE_PROPOSAL_TAG, i, 0, buffer, sizeof buffer, &needed, &err));
        for (j = 0; j < p.remaining; j++) {
            SIZED(calcore_remaining_error, r);
            GOOD(calcore_proposals_remaining(proposals, i, j, &r, &err));
            CHECK(r.expanded_uncertainty_k > 0.0 && r.verdict >= CALCORE_PASS && r.verdict <= CALCORE_NO_FAIL);
            GOOD(calcore_proposals_text(proposals, CALCORE_PROPOSAL_REMAINING_TAG, i, j, buffer, sizeof buffer, &needed, &err));
        }
        for (j = 0; j < p.cautions; j++) {
            char caution[1024];
            GOOD(calcore_proposals_text(proposals, CALCORE_PROPOSAL_CAUTION, i, j, caution, sizeof caution, &needed, &err));
        }
        {
            SIZED(calcore_remaining_error, r);
            STATUS(CALCORE_E_INDEX, calcore_proposals_remaining(proposals, i, p.remaining, &r, &err));
        }
    }
    {
        SIZED(calcore_proposal, p);
        STATUS(CALCORE_E_INDEX, calcore_proposals_get(proposals, count, &p, &err));
        STATUS(CALCORE_E_OPTION, calcore_proposals_text(proposals, 9, 0, 0, buffer, sizeof buffer, &needed, &err));
    }
    free(json);
    calcore_proposals_free(proposals);
    calcore_proposals_free(NULL);
}

static void many(const calcore_run *run, const calcore_result *result)
{
    enum { RUNS = 5 };
    calcore_error err = check_error();
    const calcore_run *runs[RUNS];
    calcore_result *results[RUNS];
    calcore_status statuses[RUNS];
    size_t threads;
    size_t i;
    SIZED(calcore_point, p);
    SIZED(calcore_point, q);
    GOOD(calcore_result_point(result, 0, 0, &p, &err));
    for (threads = 0; threads < 3; threads++) {
        for (i = 0; i < RUNS; i++) {
            runs[i] = run;
            results[i] = NULL;
        }
        GOOD(calcore_run_evaluate_all(runs, RUNS, threads, results, threads == 1 ? NULL : statuses, &err));
        for (i = 0; i < RUNS; i++) {
            CHECK(results[i] != NULL && (threads == 1 || statuses[i] == CALCORE_OK));
            GOOD(calcore_result_point(results[i], 0, 0, &q, &err));
            SAME("error", q.error_k, p.error_k);
            SAME("uncertainty", q.standard_uncertainty_k, p.standard_uncertainty_k);
            calcore_result_free(results[i]);
            results[i] = NULL;
        }
    }
    GOOD(calcore_run_evaluate_all(NULL, 0, 0, NULL, NULL, &err));
    runs[3] = NULL;
    STATUS(CALCORE_E_NULL, calcore_run_evaluate_all(runs, RUNS, 1, results, statuses, &err));
    runs[3] = (const calcore_run *)(const void *)result;
    STATUS(CALCORE_E_HANDLE, calcore_run_evaluate_all(runs, RUNS, 1, results, statuses, &err));
    runs[3] = run;
    STATUS(CALCORE_E_NULL, calcore_run_evaluate_all(runs, RUNS, 1, NULL, statuses, &err));
    CHECK(results[0] == NULL);
}

static void papers(const calcore_result *result)
{
    static const char *const words[6] = {"pass", "fail", "conditionalPass", "conditionalFail", "noPass", "noFail"};
    calcore_error err = check_error();
    calcore_text *text = NULL;
    char word[32];
    char *json;
    size_t needed = 0;
    int32_t i;
    GOOD(calcore_result_certificate(result, NULL, 0, &text, &err));
    json = job_text(text);
    CHECK(strstr(json, "\"missing\":[") != NULL && strstr(json, "\"rows\":[") != NULL);
    free(json);
    GOOD(calcore_result_certificate(result, "{\"laboratory\":\"Invented laboratory\"}", 36, &text, &err));
    json = job_text(text);
    CHECK(strstr(json, "Invented laboratory") != NULL);
    free(json);
    text = NULL;
    STATUS(CALCORE_E_DOCUMENT, calcore_result_certificate(result, "{", 1, &text, &err));
    STATUS(CALCORE_E_NULL, calcore_result_certificate(NULL, NULL, 0, &text, &err));
    CHECK(text == NULL);
    GOOD(calcore_result_points_csv(result, &text, &err));
    json = job_text(text);
    CHECK(strchr(json, '\n') != NULL && strchr(json, ',') != NULL);
    free(json);
    /* The six words of the open certificate schema's list of conformities, without regard to case and separators. */
    for (i = 0; i < 6; i++) {
        GOOD(calcore_conformity_word(i, word, sizeof word, &needed, &err));
        CHECK(strcmp(word, words[i]) == 0);
    }
    STATUS(CALCORE_E_OPTION, calcore_conformity_word(6, word, sizeof word, &needed, &err));
    STATUS(CALCORE_E_NULL, calcore_text_copy(NULL, word, sizeof word, &needed, &err));
    STATUS(CALCORE_E_HANDLE,
           calcore_text_copy((const calcore_text *)(const void *)result, word, sizeof word, &needed, &err));
    calcore_text_free(NULL);
}

/* The points of many runs as one table: a run whose uncertainty is beyond all doubles (U/k = 1e309) has no rows, and its status
 * says why; the others are as if it were not there. */
static void many_rows(const char *json, const calcore_run *run, const calcore_result *result)
{
    enum { RUNS = 3, ROOM = 256 };
    calcore_error err = check_error();
    char *bad_json = job_changed(json, "\"certificate\"", "\"expanded_uncertainty\": 0.03, \"coverage_factor\": 2",
                                 "\"expanded_uncertainty\": 1e300, \"coverage_factor\": 1e-9");
    calcore_run *bad = job_run(bad_json);
    const calcore_run *runs[RUNS];
    calcore_status statuses[RUNS];
    calcore_point_row rows[ROOM];
    calcore_result *none = NULL;
    char tag[32];
    size_t needed = 0;
    size_t written = 0;
    size_t threads;
    size_t i;
    SIZED(calcore_result_counts, counts);
    GOOD(calcore_result_count(result, &counts, &err));
    runs[0] = runs[2] = run;
    runs[1] = bad;
    for (threads = 0; threads < 3; threads++) {
        GOOD(calcore_run_evaluate_points(runs, RUNS, threads, rows, ROOM, &written, statuses, &err));
        CHECK(written == 2 * counts.errors);
        CHECK(statuses[0] == CALCORE_OK && statuses[1] == CALCORE_E_NOT_FINITE && statuses[2] == CALCORE_OK);
        for (i = 0; i < written; i++) {
            SIZED(calcore_point, p);
            CHECK(rows[i].run == (i < counts.errors ? 0u : 2u));
            /* All instruments were read at all set points. */
            GOOD(calcore_result_point(result, rows[i].instrument, rows[i].set_point, &p, &err));
            CHECK(p.set_point == rows[i].set_point && p.verdict == rows[i].verdict);
            SAME("error", rows[i].error_k, p.error_k);
            SAME("uncertainty", rows[i].expanded_uncertainty_k, p.expanded_uncertainty_k);
            SAME("probability", rows[i].probability_of_conformity, p.probability_of_conformity);
        }
    }
    GOOD(calcore_result_text(result, CALCORE_TEXT_INSTRUMENT_TAG, rows[0].instrument, 0, 0, tag, sizeof tag, &needed, &err));
    CHECK(strcmp(tag, "TE-4107") == 0);
    STATUS(CALCORE_E_NOT_FINITE, calcore_run_evaluate(bad, &none, &err));
    CHECK(none == NULL);
    written = 77;
    STATUS(CALCORE_E_BUFFER_TOO_SMALL, calcore_run_evaluate_points(runs, RUNS, 1, rows, 3, &written, NULL, &err));
    CHECK(written == 77 && err.value == (double)(2 * counts.errors));
    STATUS(CALCORE_E_NULL, calcore_run_evaluate_points(runs, RUNS, 1, rows, ROOM, NULL, NULL, &err));
    GOOD(calcore_run_evaluate_points(NULL, 0, 0, NULL, 0, &written, NULL, &err));
    CHECK(written == 0);
    calcore_run_free(bad);
    free(bad_json);
}

/* A run with two references, settling by slope and scatter, an input card and readings in degrees Fahrenheit. */
static void second_run(const char *path)
{
    calcore_error err = check_error();
    size_t size = 0;
    char *json = file_read(path, &size);
    calcore_run *run = job_run(json);
    calcore_result *result = NULL;
    char tag[32];
    size_t needed = 0;
    size_t count = 0;
    size_t i;
    SIZED(calcore_settled_state, state);
    SIZED(calcore_reference_comparison, c);
    SIZED(calcore_instrument, card);
    GOOD(calcore_run_evaluate(run, &result, &err));
    GOOD(calcore_result_reference_comparisons(result, &count, &err));
    CHECK(count > 0);
    for (i = 0; i < count; i++) {
        GOOD(calcore_result_reference_comparison(result, i, &c, tag, sizeof tag, &needed, &err));
        CHECK(strcmp(tag, "REF-03") == 0 && c.agree == (fabs(c.difference_k) <= c.expanded_uncertainty_k));
        CLOSE("e_n", 0.0, c.e_n, c.difference_k / c.expanded_uncertainty_k, 1e-12);
    }
    STATUS(CALCORE_E_INDEX, calcore_result_reference_comparison(result, count, &c, tag, sizeof tag, &needed, &err));
    GOOD(calcore_result_settled(result, 0, &state, &err));
    CHECK(state.readings > 2 && isfinite(state.slope_per_min));
    STATUS(CALCORE_E_INDEX, calcore_result_settled(result, 99, &state, &err));
    GOOD(calcore_result_find(result, "AI-2203", &i, &err));
    GOOD(calcore_result_instrument(result, i, &card, &err));
    CHECK(card.kind == CALCORE_INPUT_CARD && card.unit == CALCORE_UNIT_ONE);
    calcore_result_free(result);
    calcore_run_free(run);
    free(json);
}

void test_loop_results(const char *path)
{
    calcore_error err = check_error();
    size_t size = 0;
    char *json = file_read(path, &size);
    calcore_run *run = job_run(json);
    calcore_result *result = NULL;
    char second[1024];
    const char *slash = strrchr(path, '/');
    size_t folder = slash == NULL ? 0 : (size_t)(slash - path) + 1;
    GOOD(calcore_run_evaluate(run, &result, &err));
    figures(result, "TIC-4107");
    actions(result);
    shares(result, "TIC-4107", "TT-4107 mA");
    adjustments(result);
    many(run, result);
    many_rows(json, run, result);
    papers(result);
    if (folder < sizeof second - 64) {
        memcpy(second, path, folder);
        sprintf(second + folder, "reactor_loop_as_found.json");
        second_run(second);
    }
    calcore_result_free(result);
    calcore_run_free(run);
    free(json);
}
