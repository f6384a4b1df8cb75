/* Look-up tables: sizes from a general optimiser, proofs against the curve itself, every shape and number format. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

enum { MOST = 40, SAMPLES = 500 };

static const double low_c = 0.0;
static const double high_c = 1000.0;

static double largest_of(const calcore_lookup_table *table)
{
    calcore_error err = check_error();
    SIZED(calcore_lookup_table_facts, facts);
    GOOD(calcore_lookup_table_describe(table, &facts, &err));
    return facts.largest_error;
}

/* Between two nodes by the formula of the header. */
static double between(const double *x, const double *y, const double *bend, double at)
{
    double u = (at - x[0]) / (x[1] - x[0]);
    return y[0] + u * (y[1] - y[0] + (1.0 - u) * (bend[0] + bend[1] * u));
}

/* Every shape: the error at temperatures in between stays within the proven one and comes near it; stored numbers and look-up
 * agree. */
static void shapes(const calcore_curve *k)
{
    const int32_t all[4] = {CALCORE_SEGMENT_LINEAR, CALCORE_SEGMENT_LINEAR_ON_CURVE, CALCORE_SEGMENT_QUADRATIC,
                            CALCORE_SEGMENT_CUBIC_HERMITE};
    double t_c[SAMPLES + 1];
    double mv[SAMPLES + 1];
    double found_c[SAMPLES + 1];
    size_t s;
    size_t i;
    int32_t spacing;
    calcore_error err = check_error();
    for (i = 0; i <= SAMPLES; i++) {
        t_c[i] = low_c + (high_c - low_c) * (double)i / SAMPLES;
    }
    GOOD(calcore_curve_signal_array(k, t_c, SAMPLES + 1, 0, mv, &err));
    for (s = 0; s < 4; s++) {
        for (spacing = CALCORE_NODES_OPTIMAL; spacing <= CALCORE_NODES_EQUAL; spacing++) {
            double arguments[MOST + 1];
            double values[MOST + 1];
            double bends[2 * MOST];
            double seen = 0.0;
            calcore_lookup_table *table = NULL;
            SIZED(calcore_lookup_table_options, options);
            SIZED(calcore_lookup_table_facts, facts);
            memset(bends, 0, sizeof bends);
            options.segments = 9;
            options.shape = all[s];
            options.spacing = spacing;
            GOOD(calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
            GOOD(calcore_lookup_table_describe(table, &facts, &err));
            CHECK(facts.segments == 9 && facts.proof == CALCORE_PROOF_CURVATURE && facts.has_codes == 0);
            CHECK(facts.low_c == low_c && facts.high_c == high_c && strcmp(facts.error_unit, "K") == 0);
            CHECK(facts.has_bends == (s >= 2 ? 1 : 0) && facts.rounding > 0.0 && facts.rounding < 1e-9);
            GOOD(calcore_lookup_table_numbers(table, arguments, values, 10, s >= 2 ? bends : NULL, &err));
            GOOD(calcore_lookup_table_evaluate(table, mv, SAMPLES + 1, found_c, &err));
            for (i = 0; i <= SAMPLES; i++) {
                size_t j = 0;
                while (j < 8 && arguments[j + 1] <= mv[i]) {
                    j++;
                }
                SAME("look-up", found_c[i], between(&arguments[j], &values[j], &bends[2 * j], mv[i]));
                seen = fmax(seen, fabs(found_c[i] - t_c[i]));
            }
            CHECK(seen <= facts.largest_error);
            /* 500 places over 9 segments miss a peak that is flat at its top by little. */
            CHECK(seen >= 0.95 * facts.largest_error);
            if (spacing == CALCORE_NODES_EQUAL) {
                double step = (arguments[9] - arguments[0]) / 9.0;
                CLOSE("equal steps", 4.0, arguments[4] - arguments[0], 4.0 * step, 1e-12);
            }
            calcore_lookup_table_free(table);
        }
    }
}

/* Witness: tests/reference/linearization_tables.csv, sequential linear programs of scipy over dense samples: never worse by
 * more than 0.1 %, and 0.4 % of the proof. */
static void sizes(const char *reference, const calcore_curve *k)
{
    size_t row;
    size_t rows = 0;
    calcore_error err = check_error();
    table all = table_read(reference, "linearization_tables.csv");
    for (row = 0; row < all.rows; row++) {
        double want = table_number(&all, row, "largest_error");
        calcore_lookup_table *table = NULL;
        SIZED(calcore_lookup_table_options, options);
        if (strcmp(table_text(&all, row, "curve"), "K") != 0) {
            continue;
        }
        options.segments = (size_t)table_number(&all, row, "segments");
        if (strcmp(table_text(&all, row, "direction"), "temperature_to_signal") == 0) {
            options.direction = CALCORE_TEMPERATURE_TO_SIGNAL;
        }
        if (strcmp(table_text(&all, row, "spacing"), "equal_argument") == 0) {
            options.spacing = CALCORE_NODES_EQUAL;
        }
        GOOD(calcore_lookup_table_new(k, table_number(&all, row, "low_c"), table_number(&all, row, "high_c"), &options,
                                      &table, &err));
        CHECK(largest_of(table) <= 1.005 * want);
        calcore_lookup_table_free(table);
        rows++;
    }
    CHECK(rows >= 8);
    table_free(&all);
}

/* Integers of 16 bits: every reading is tried, and the largest error is met by one of them. */
static void integers(const calcore_curve *k)
{
    int64_t arguments[MOST + 1];
    int64_t values[MOST + 1];
    double stored[MOST + 1];
    double seen = 0.0;
    int64_t code;
    int64_t value = 0;
    int64_t end = 0;
    size_t i;
    calcore_error err = check_error();
    calcore_lookup_table *table = NULL;
    SIZED(calcore_lookup_table_options, options);
    SIZED(calcore_lookup_table_facts, facts);
    options.segments = 30;
    options.numbers = CALCORE_NUMBERS_FIXED;
    options.argument.bits = 16;
    options.argument.fraction_bits = 9;
    options.argument.is_signed = 1;
    options.value.bits = 16;
    options.value.fraction_bits = 4;
    options.value.is_signed = 1;
    GOOD(calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    GOOD(calcore_lookup_table_describe(table, &facts, &err));
    CHECK(facts.proof == CALCORE_PROOF_EVERY_READING && facts.has_codes == 1 && facts.rounding == 0.0);
    CHECK(facts.segments <= 30);
    GOOD(calcore_lookup_table_codes(table, arguments, values, facts.segments + 1, NULL, &err));
    GOOD(calcore_lookup_table_numbers(table, stored, NULL, facts.segments + 1, NULL, &err));
    for (i = 0; i <= facts.segments; i++) {
        SAME("stored", stored[i], (double)arguments[i] / 512.0);
    }
    /* E(1000 degC) = 41.276 mV, IEC 60584-1:2013: readings 0 to 41.276 times 512. */
    for (code = 0; code <= 21133; code++) {
        double mv = (double)code / 512.0;
        double t_c = 0.0;
        GOOD(calcore_curve_temperature(k, mv, &t_c, &err));
        GOOD(calcore_lookup_table_evaluate_code(table, code, &value, &err));
        seen = fmax(seen, fabs((double)value / 16.0 - t_c));
    }
    CLOSE("every reading", 0.0, seen, facts.largest_error, 1e-9);
    /* Beyond the nodes the nearer end answers. */
    GOOD(calcore_lookup_table_evaluate_code(table, arguments[facts.segments], &end, &err));
    GOOD(calcore_lookup_table_evaluate_code(table, INT64_MAX, &value, &err));
    CHECK(value == end);
    GOOD(calcore_lookup_table_evaluate_code(table, INT64_MIN, &value, &err));
    CHECK(value == values[0]);
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_lookup_table_codes(table, arguments, values, 3, NULL, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH,
           calcore_lookup_table_codes(table, NULL, NULL, facts.segments + 1, arguments, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_evaluate_code(table, 0, NULL, &err));
    calcore_lookup_table_free(table);
    options.argument.bits = 33;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    options.argument.bits = 16;
    options.value.is_signed = 2;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    options.value.is_signed = 1;
    options.numbers = CALCORE_NUMBERS_F32;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
}

/* As few segments as keep an error, and the error by the number of segments: a quarter of it for twice as many. In single
 * precision rounding is a part of the error. */
static void goals(const calcore_curve *pt100)
{
    double errors[8];
    double plain;
    calcore_error err = check_error();
    calcore_lookup_table *table = NULL;
    SIZED(calcore_lookup_table_options, options);
    SIZED(calcore_lookup_table_facts, facts);
    GOOD(calcore_lookup_table_error_by_segments(pt100, 0.0, 100.0, &options, errors, 8, &err));
    /* By hand: half of B h^2/4 over A + B h for one free line. */
    CLOSE("one segment", 1.0, errors[0], 0.5 * 5.775e-7 * 2500.0 / (3.9083e-3 - 5.775e-5), 1e-3);
    CLOSE("two and four", 4.0, errors[1] / errors[3], 4.0, 0.05);
    CLOSE("four and eight", 8.0, errors[3] / errors[7], 4.0, 0.05);
    /* What five segments reach is kept by five of them; four have an error half as large again. */
    options.largest_error = errors[4];
    GOOD(calcore_lookup_table_new(pt100, 0.0, 100.0, &options, &table, &err));
    GOOD(calcore_lookup_table_describe(table, &facts, &err));
    CHECK(facts.segments == 5);
    SAME("five segments", facts.largest_error, errors[4]);
    plain = facts.largest_error;
    calcore_lookup_table_free(table);
    options.numbers = CALCORE_NUMBERS_F32;
    options.largest_error = 0.0;
    options.segments = 5;
    GOOD(calcore_lookup_table_new(pt100, 0.0, 100.0, &options, &table, &err));
    GOOD(calcore_lookup_table_describe(table, &facts, &err));
    /* Half a unit of the last of 24 bits of 100 is 4e-6; a few of them. */
    CHECK(facts.rounding > 1e-7 && facts.rounding < 1e-4);
    CLOSE("single precision", 0.0, facts.largest_error, plain, 1e-4 + 0.004 * plain);
    calcore_lookup_table_free(table);
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_error_by_segments(pt100, 0.0, 100.0, &options, errors, 8, &err));
    options.largest_error = 0.1;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(pt100, 0.0, 100.0, &options, &table, &err));
    options.segments = 0;
    options.most_segments = 2;
    options.largest_error = 1e-3;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lookup_table_new(pt100, 0.0, 100.0, &options, &table, &err));
    CLOSE("refused", 0.0, err.value, 1e-3, 0.0);
    options.largest_error = NAN;
    STATUS(CALCORE_E_NOT_FINITE, calcore_lookup_table_new(pt100, 0.0, 100.0, &options, &table, &err));
    options.most_segments = SIZE_MAX;
    options.largest_error = 0.1;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lookup_table_new(pt100, 0.0, 100.0, &options, &table, &err));
}

/* The text of a handle, which is released. */
static char *text_of(calcore_text *handle)
{
    size_t needed = 0;
    char *text;
    calcore_error err = check_error();
    GOOD(calcore_text_copy(handle, NULL, 0, &needed, &err));
    text = (char *)malloc(needed + 1);
    if (text == NULL) {
        abort();
    }
    GOOD(calcore_text_copy(handle, text, needed, &needed, &err));
    calcore_text_free(handle);
    return text;
}

static void contains(calcore_text *handle, const char *words)
{
    char *text = text_of(handle);
    CHECK(strstr(text, words) != NULL);
    free(text);
}

static void exports(const calcore_lookup_table *table)
{
    calcore_text *header = NULL;
    calcore_text *source = NULL;
    calcore_text *text = NULL;
    calcore_error err = check_error();
    GOOD(calcore_lookup_table_to_c99(table, "type_k", &header, &source, &err));
    contains(header, "double type_k(double x);");
    contains(source, "#include \"type_k.h\"");
    GOOD(calcore_lookup_table_to_csv(table, &text, &err));
    contains(text, "argument,value\n");
    GOOD(calcore_lookup_table_to_json(table, &text, &err));
    contains(text, "\"lookup_table\"");
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_lookup_table_to_c99(table, "Type K", &header, &source, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_to_c99(table, NULL, &header, &source, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_to_c99(table, "k", &header, NULL, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_to_csv(NULL, &text, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_to_json(table, NULL, &err));
}

static void refused(const calcore_curve *k)
{
    double y[3] = {0.0, 0.0, 0.0};
    const double x[3] = {0.0, NAN, 50.0};
    int64_t codes[5];
    calcore_error err = check_error();
    calcore_lookup_table *table = NULL;
    SIZED(calcore_lookup_table_options, options);
    SIZED(calcore_lookup_table_facts, facts);
    options.segments = 4;
    GOOD(calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    exports(table);
    STATUS(CALCORE_E_NOT_FINITE, calcore_lookup_table_evaluate(table, x, 3, y, &err));
    CHECK(err.index == 1 && y[0] == 0.0);
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_lookup_table_evaluate(table, &x[2], 1, y, &err));
    STATUS(CALCORE_E_POINTER, calcore_lookup_table_evaluate(table, x, SIZE_MAX, y, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_evaluate(table, x, 1, NULL, &err));
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_evaluate_code(table, 0, codes, &err));
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_codes(table, codes, NULL, 5, NULL, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_lookup_table_numbers(table, y, NULL, 3, NULL, &err));
    STATUS(CALCORE_E_HANDLE, calcore_lookup_table_describe((const calcore_lookup_table *)(const void *)k, &facts, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_describe(NULL, &facts, &err));
    facts.size = 4;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_lookup_table_describe(table, &facts, &err));
    calcore_lookup_table_free(table);
    calcore_lookup_table_free(NULL);
    STATUS(CALCORE_E_NULL, calcore_lookup_table_new(k, low_c, high_c, NULL, &table, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_new(NULL, low_c, high_c, &options, &table, &err));
    STATUS(CALCORE_E_NULL, calcore_lookup_table_new(k, low_c, high_c, &options, NULL, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_lookup_table_new(k, NAN, high_c, &options, &table, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_lookup_table_new(k, low_c, 2000.0, &options, &table, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lookup_table_new(k, high_c, low_c, &options, &table, &err));
    options.segments = 4097;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    options.segments = 4;
    options.shape = 4;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    options.shape = 0;
    options.spacing = -1;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    options.spacing = 0;
    options.direction = 2;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
    options.direction = 0;
    options.numbers = 3;
    STATUS(CALCORE_E_OPTION, calcore_lookup_table_new(k, low_c, high_c, &options, &table, &err));
}

void test_lookup_tables(const char *reference)
{
    calcore_error err = check_error();
    calcore_thermocouple *couple = NULL;
    calcore_cvd *cvd = NULL;
    calcore_curve *k = NULL;
    calcore_curve *pt100 = NULL;
    GOOD(calcore_thermocouple_new("K", CALCORE_SIDE_NONE, &couple, &err));
    GOOD(calcore_curve_from_thermocouple(couple, &k, &err));
    calcore_thermocouple_free(couple);
    GOOD(calcore_cvd_iec60751(100.0, &cvd, &err));
    GOOD(calcore_curve_from_cvd(cvd, &pt100, &err));
    calcore_cvd_free(cvd);
    shapes(k);
    sizes(reference, k);
    integers(k);
    goals(pt100);
    refused(k);
    calcore_curve_free(k);
    calcore_curve_free(pt100);
}
