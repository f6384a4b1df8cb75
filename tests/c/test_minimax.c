/* Minimax polynomials and quotients: sizes from a linear program, what the best one is known by, proofs against the curve. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

enum { MOST = 16, SAMPLES = 500 };

/* Horner's rule, highest power first. */
static double sum(const double *c, size_t n, double z)
{
    double s = c[n - 1];
    size_t i;
    for (i = n - 1; i-- > 0;) {
        s = s * z + c[i];
    }
    return s;
}

/* The error alternates with one size in n + d + 2 places (Chebyshev); stored numbers and evaluation agree; the proof holds. */
static void degrees(const calcore_curve *curve, double low_c, double high_c, size_t n, size_t d, int32_t numbers)
{
    double numerator[MOST];
    double denominator[MOST];
    double x[2 * MOST + 2];
    double errors[2 * MOST + 2];
    double seen = 0.0;
    double size = 0.0;
    size_t i;
    calcore_minimax *found = NULL;
    calcore_error err = check_error();
    SIZED(calcore_minimax_options, options);
    SIZED(calcore_minimax_facts, facts);
    options.degree = n;
    options.denominator_degree = d;
    options.numbers = numbers;
    GOOD(calcore_minimax_new(curve, low_c, high_c, &options, &found, &err));
    GOOD(calcore_minimax_describe(found, &facts, &err));
    CHECK(facts.numerator == n + 1 && facts.denominator == (d == 0 ? 0 : d + 1) && facts.extremes == n + d + 2);
    CHECK(facts.low_c == low_c && facts.high_c == high_c && facts.proof == CALCORE_PROOF_CURVATURE);
    CHECK(strcmp(facts.error_unit, "K") == 0 && facts.centre_code == 0 && facts.half_code == 0);
    GOOD(calcore_minimax_coefficients(found, numerator, n + 1, denominator, facts.denominator, &err));
    GOOD(calcore_minimax_extremes(found, x, errors, facts.extremes, &err));
    for (i = 0; i < facts.extremes; i++) {
        size = fmax(size, fabs(errors[i]));
    }
    for (i = 0; i < facts.extremes; i++) {
        CHECK(fabs(errors[i]) > 0.999 * size);
        CHECK(i == 0 || (errors[i] * errors[i - 1] < 0.0 && x[i] > x[i - 1]));
    }
    for (i = 0; i <= SAMPLES; i++) {
        double t_c = low_c + (high_c - low_c) * (double)i / SAMPLES;
        double signal = 0.0;
        double read_c = 0.0;
        double z;
        double want;
        GOOD(calcore_curve_signal(curve, t_c, &signal, &err));
        if (numbers == CALCORE_NUMBERS_F32) {
            signal = fmin(fmax((double)(float)signal, facts.low), facts.high);
            GOOD(calcore_curve_temperature(curve, signal, &t_c, &err));
        }
        GOOD(calcore_minimax_evaluate(found, &signal, 1, &read_c, &err));
        seen = fmax(seen, fabs(read_c - t_c));
        if (numbers == CALCORE_NUMBERS_F64) {
            z = (signal - facts.centre) * facts.scale;
            want = sum(numerator, n + 1, z);
            SAME("stored", read_c, d == 0 ? want : want / sum(denominator, d + 1, z));
        }
    }
    CHECK(seen <= facts.largest_error);
    CHECK(facts.largest_error - facts.rounding <= 1.02 * seen);
    calcore_minimax_free(found);
}

/* Witness: tests/reference/linearization_minimax.csv, one linear program of scipy in Chebyshev polynomials; its samples miss
 * the extremes by 1e-4 of the error, the proof is within 0.4 %. */
static void sizes(const char *reference, const calcore_curve *k)
{
    size_t row;
    size_t rows = 0;
    calcore_error err = check_error();
    table all = table_read(reference, "linearization_minimax.csv");
    for (row = 0; row < all.rows; row++) {
        double want = table_number(&all, row, "largest_error");
        calcore_minimax *found = NULL;
        SIZED(calcore_minimax_options, options);
        SIZED(calcore_minimax_facts, facts);
        if (strcmp(table_text(&all, row, "curve"), "K") != 0) {
            continue;
        }
        options.degree = (size_t)table_number(&all, row, "degree");
        if (strcmp(table_text(&all, row, "direction"), "temperature_to_signal") == 0) {
            options.direction = CALCORE_TEMPERATURE_TO_SIGNAL;
        }
        GOOD(calcore_minimax_new(k, table_number(&all, row, "low_c"), table_number(&all, row, "high_c"), &options, &found,
                                 &err));
        GOOD(calcore_minimax_describe(found, &facts, &err));
        CLOSE("largest error", want, facts.largest_error / want, 1.0, 5e-3);
        CHECK(strcmp(facts.error_unit, options.direction == 0 ? "K" : "mV") == 0);
        calcore_minimax_free(found);
        rows++;
    }
    CHECK(rows >= 4);
    table_free(&all);
}

/* Integers of 16 bits: every reading is tried, and the largest error is met by one of them. */
static void integers(const calcore_curve *k)
{
    int64_t numerator[6];
    double stored[6];
    double seen = 0.0;
    int64_t code;
    int64_t value = 0;
    int64_t end = 0;
    size_t i;
    calcore_minimax *found = NULL;
    calcore_error err = check_error();
    SIZED(calcore_minimax_options, options);
    SIZED(calcore_minimax_facts, facts);
    options.degree = 5;
    options.numbers = CALCORE_NUMBERS_FIXED;
    options.argument.bits = 16;
    options.argument.fraction_bits = 9;
    options.argument.is_signed = 1;
    options.value.bits = 16;
    options.value.fraction_bits = 4;
    options.value.is_signed = 1;
    options.coefficient.bits = 32;
    options.coefficient.fraction_bits = 16;
    options.coefficient.is_signed = 1;
    GOOD(calcore_minimax_new(k, 0.0, 1000.0, &options, &found, &err));
    GOOD(calcore_minimax_describe(found, &facts, &err));
    CHECK(facts.proof == CALCORE_PROOF_EVERY_READING && facts.half_code > 0);
    SAME("centre", facts.centre, (double)facts.centre_code / 512.0);
    GOOD(calcore_minimax_codes(found, numerator, 6, NULL, 0, &err));
    GOOD(calcore_minimax_coefficients(found, stored, 6, NULL, 0, &err));
    for (i = 0; i < 6; i++) {
        SAME("stored", stored[i], (double)numerator[i] / 65536.0);
    }
    /* E(1000 degC) = 41.276 mV, IEC 60584-1:2013: readings 0 to 41.276 times 512. */
    for (code = 0; code <= 21133; code++) {
        double t_c = 0.0;
        GOOD(calcore_curve_temperature(k, (double)code / 512.0, &t_c, &err));
        GOOD(calcore_minimax_evaluate_code(found, code, &value, &err));
        seen = fmax(seen, fabs((double)value / 16.0 - t_c));
    }
    CLOSE("every reading", 0.0, seen, facts.largest_error, 1e-9);
    GOOD(calcore_minimax_evaluate_code(found, INT64_MAX, &end, &err));
    CHECK(value == end);
    GOOD(calcore_minimax_evaluate_code(found, 0, &value, &err));
    GOOD(calcore_minimax_evaluate_code(found, INT64_MIN, &end, &err));
    CHECK(value == end);
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_minimax_codes(found, numerator, 5, NULL, 0, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_evaluate_code(found, 0, NULL, &err));
    calcore_minimax_free(found);
    options.coefficient.bits = 8;
    options.coefficient.fraction_bits = 0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_minimax_new(k, 0.0, 1000.0, &options, &found, &err));
    options.numbers = CALCORE_NUMBERS_F64;
    STATUS(CALCORE_E_OPTION, calcore_minimax_new(k, 0.0, 1000.0, &options, &found, &err));
}

static void contains(calcore_text *handle, const char *words)
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
    CHECK(strstr(text, words) != NULL);
    free(text);
    calcore_text_free(handle);
}

/* The lowest degree for an error; exports; what is refused. */
static void goal_exports_and_refusals(const calcore_curve *pt100)
{
    const double beyond[2] = {150.0, 400.0};
    double y[2] = {0.0, 0.0};
    double cubic;
    int64_t code = 0;
    calcore_minimax *found = NULL;
    calcore_text *header = NULL;
    calcore_text *source = NULL;
    calcore_text *text = NULL;
    calcore_error err = check_error();
    SIZED(calcore_minimax_options, options);
    SIZED(calcore_minimax_facts, facts);
    options.degree = 3;
    GOOD(calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
    GOOD(calcore_minimax_describe(found, &facts, &err));
    cubic = facts.largest_error;
    /* 200 degC, IEC 60751:2022: 175.86 ohm, here with one digit more. */
    y[0] = 175.856;
    GOOD(calcore_minimax_evaluate(found, y, 1, y, &err));
    CLOSE("200 degC", 175.856, y[0], 200.0, cubic + 1e-3);
    GOOD(calcore_minimax_to_c99(found, "pt100", &header, &source, &err));
    contains(header, "double pt100(double x);");
    contains(source, "#include \"pt100.h\"");
    GOOD(calcore_minimax_to_csv(found, &text, &err));
    contains(text, "power");
    GOOD(calcore_minimax_to_json(found, &text, &err));
    contains(text, "\"minimax\"");
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_minimax_to_c99(found, "1", &header, &source, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_to_c99(found, "a", NULL, &source, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_to_csv(NULL, &text, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_to_json(found, NULL, &err));
    y[0] = -1.0;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_minimax_evaluate(found, beyond, 2, y, &err));
    CHECK(err.index == 1 && y[0] == -1.0);
    STATUS(CALCORE_E_POINTER, calcore_minimax_evaluate(found, beyond, SIZE_MAX, y, &err));
    STATUS(CALCORE_E_OPTION, calcore_minimax_evaluate_code(found, 0, &code, &err));
    STATUS(CALCORE_E_OPTION, calcore_minimax_codes(found, &code, 1, NULL, 0, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_minimax_coefficients(found, y, 2, NULL, 0, &err));
    STATUS(CALCORE_E_LENGTH_MISMATCH, calcore_minimax_extremes(found, y, NULL, 2, &err));
    STATUS(CALCORE_E_HANDLE, calcore_minimax_describe((const calcore_minimax *)(const void *)pt100, &facts, &err));
    calcore_minimax_free(found);
    calcore_minimax_free(NULL);
    options.degree = 0;
    options.largest_error = cubic;
    GOOD(calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
    GOOD(calcore_minimax_describe(found, &facts, &err));
    CHECK(facts.numerator == 4);
    SAME("the same cubic", facts.largest_error, cubic);
    calcore_minimax_free(found);
    options.denominator_degree = 1;
    STATUS(CALCORE_E_OPTION, calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
    options.denominator_degree = 0;
    options.largest_error = NAN;
    STATUS(CALCORE_E_NOT_FINITE, calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
    options.largest_error = 1e-30;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_minimax_new(pt100, 0.0, 1.0, &options, &found, &err));
    options.largest_error = 0.0;
    options.degree = SIZE_MAX;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
    options.degree = 3;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_minimax_new(pt100, 0.0, 4000.0, &options, &found, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_new(pt100, 0.0, 400.0, NULL, &found, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_new(NULL, 0.0, 400.0, &options, &found, &err));
    STATUS(CALCORE_E_NULL, calcore_minimax_new(pt100, 0.0, 400.0, &options, NULL, &err));
    options.numbers = -1;
    STATUS(CALCORE_E_OPTION, calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
    options.size = 1;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_minimax_new(pt100, 0.0, 400.0, &options, &found, &err));
}

void test_minimax(const char *reference)
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
    degrees(k, 100.0, 1200.0, 5, 0, CALCORE_NUMBERS_F64);
    degrees(k, 100.0, 1200.0, 2, 2, CALCORE_NUMBERS_F64);
    degrees(k, 0.0, 1000.0, 5, 0, CALCORE_NUMBERS_F32);
    degrees(pt100, 0.0, 850.0, 4, 0, CALCORE_NUMBERS_F64);
    sizes(reference, k);
    integers(k);
    goal_exports_and_refusals(pt100);
    calcore_curve_free(k);
    calcore_curve_free(pt100);
}
