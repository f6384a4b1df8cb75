/* Tolerance classes by the table of the standard, and custom tolerances by hand. */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* IEC 60751:2008, tables 2 and 3: constant + slope |t| at the ends of the range and at 0 °C where it belongs to it. The
 * sum of two decimals rounds less than 4 units of the last place of 10 K. */
static void table_of_classes(const char *reference)
{
    table t = table_read(reference, "iec60751_tolerance.csv");
    calcore_error err = check_error();
    size_t i;
    for (i = 0; i < t.rows; i++) {
        const char *name = table_text(&t, i, "class");
        int32_t construction = strcmp(table_text(&t, i, "construction"), "film") == 0 ? CALCORE_FILM : CALCORE_WIRE_WOUND;
        double constant_k = table_number(&t, i, "constant_k");
        double slope = table_number(&t, i, "slope_per_degc");
        double ends[2];
        double low_c = 0.0;
        double high_c = 0.0;
        calcore_tolerance *tolerance = NULL;
        size_t k;
        ends[0] = table_number(&t, i, "low_c");
        ends[1] = table_number(&t, i, "high_c");
        GOOD(calcore_tolerance_iec60751_range(name, construction, &low_c, &high_c, &err));
        CLOSE(name, 0.0, low_c, ends[0], 0.0);
        CLOSE(name, 0.0, high_c, ends[1], 0.0);
        GOOD(calcore_tolerance_new_iec60751(name, construction, &tolerance, &err));
        for (k = 0; k < 2; k++) {
            double want = constant_k + slope * fabs(ends[k]);
            double got = check_nan();
            double upper = check_nan();
            GOOD(calcore_tolerance_iec60751(name, ends[k], construction, &got, &err));
            CLOSE(name, ends[k], got, want, 7.2e-15);
            GOOD(calcore_tolerance_half_width(tolerance, ends[k], &upper, &err));
            SAME(name, upper, got);
            GOOD(calcore_tolerance_limits(tolerance, ends[k], &low_c, &upper, &err));
            SAME(name, low_c, -got);
            SAME(name, upper, got);
            STATUS(CALCORE_E_OUT_OF_RANGE,
                   calcore_tolerance_iec60751(name, k == 0 ? ends[0] - 1.0 : ends[1] + 1.0, construction, &got, &err));
            CHECK(err.low == ends[0] && err.high == ends[1]);
        }
        calcore_tolerance_free(tolerance);
    }
    CHECK(t.rows >= 8);
    table_free(&t);
}

/* One row of a table of thermocouple tolerances at a temperature. */
static double couple_rule(const table *t, size_t row, double t_c)
{
    double fixed_k = table_number(t, row, "fixed_k");
    double relative = table_number(t, row, "rel_of_abs_t") * fabs(t_c);
    double from_c = table_number(t, row, "slope_from_c");
    double rise = table_number(t, row, "slope_per_degc") * fmax(0.0, t_c - from_c);
    return fmax(fixed_k, relative) + rise;
}

/* IEC 60584-1 and ASTM E230: every row at its ends (where two rows meet they agree) and in its middle. */
static void thermocouples(const char *reference)
{
    static const char *const files[] = {"iec60584_tolerance.csv", "astm_e230_tolerance.csv"};
    calcore_error err = check_error();
    size_t f;
    for (f = 0; f < 2; f++) {
        table t = table_read(reference, files[f]);
        size_t i;
        for (i = 0; i < t.rows; i++) {
            const char *letter = table_text(&t, i, "type");
            const char *limits = table_text(&t, i, "class");
            int32_t number = (int32_t)strtol(limits, NULL, 10);
            double low_c = table_number(&t, i, "low_c");
            double high_c = table_number(&t, i, "high_c");
            double places[3];
            double range_low = 0.0;
            double range_high = 0.0;
            calcore_tolerance *tolerance = NULL;
            size_t k;
            places[0] = low_c;
            places[1] = 0.5 * (low_c + high_c);
            places[2] = high_c;
            if (f == 0) {
                GOOD(calcore_tolerance_new_iec60584(letter, number, &tolerance, &err));
                GOOD(calcore_tolerance_iec60584_range(letter, number, &range_low, &range_high, &err));
            } else {
                GOOD(calcore_tolerance_new_astm_e230(letter, limits, &tolerance, &err));
                GOOD(calcore_tolerance_astm_e230_range(letter, limits, &range_low, &range_high, &err));
            }
            CHECK(range_low <= low_c && range_high >= high_c);
            for (k = 0; k < 3; k++) {
                double got = check_nan();
                double again = check_nan();
                if (f == 0) {
                    GOOD(calcore_tolerance_iec60584(letter, number, places[k], &got, &err));
                } else {
                    GOOD(calcore_tolerance_astm_e230(letter, limits, places[k], &got, &err));
                }
                CLOSE(letter, places[k], got, couple_rule(&t, i, places[k]), 8e-15);
                GOOD(calcore_tolerance_half_width(tolerance, places[k], &again, &err));
                SAME(letter, again, got);
            }
            calcore_tolerance_free(tolerance);
        }
        CHECK(t.rows > 10);
        table_free(&t);
    }
}

/* ASTM E1137 and GOST 6651: constant + slope |t|. */
static void other_elements(const char *reference)
{
    table grades = table_read(reference, "astm_e1137_tolerance.csv");
    table classes = table_read(reference, "gost6651_tolerance.csv");
    calcore_error err = check_error();
    calcore_tolerance *tolerance = NULL;
    double got = 0.0;
    double again = 0.0;
    size_t i;
    for (i = 0; i < grades.rows; i++) {
        const char *grade = table_text(&grades, i, "class");
        double t_c = table_number(&grades, i, "high_c");
        GOOD(calcore_tolerance_astm_e1137(grade, t_c, &got, &err));
        CLOSE(grade, t_c, got, table_number(&grades, i, "constant_k") + table_number(&grades, i, "slope_per_degc") * t_c, 8e-15);
        GOOD(calcore_tolerance_new_astm_e1137(grade, &tolerance, &err));
        GOOD(calcore_tolerance_half_width(tolerance, t_c, &again, &err));
        SAME(grade, again, got);
        calcore_tolerance_free(tolerance);
    }
    for (i = 0; i < classes.rows; i++) {
        const char *material = table_text(&classes, i, "material");
        const char *name = table_text(&classes, i, "class");
        double t_c = table_number(&classes, i, "low_c");
        GOOD(calcore_tolerance_gost6651(material, name, t_c, &got, &err));
        CLOSE(material, t_c, got,
              table_number(&classes, i, "constant_k") + table_number(&classes, i, "slope_per_degc") * fabs(t_c), 8e-15);
        GOOD(calcore_tolerance_new_gost6651(material, name, &tolerance, &err));
        GOOD(calcore_tolerance_half_width(tolerance, t_c, &again, &err));
        SAME(material, again, got);
        calcore_tolerance_free(tolerance);
    }
    CHECK(grades.rows == 2 && classes.rows == 4);
    tolerance = NULL;
    got = 7.0;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_iec60584("X", 1, 0.0, &got, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_iec60584("K", 9, 0.0, &got, &err));
    STATUS(CALCORE_E_OPTION, calcore_tolerance_iec60584("K", -1, 0.0, &got, &err));
    STATUS(CALCORE_E_OPTION, calcore_tolerance_iec60584_range("K", 256, &got, &again, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_tolerance_iec60584("K", 1, 1500.0, &got, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_astm_e230("K", "narrow", 0.0, &got, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_astm_e230("K", NULL, 0.0, &got, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_astm_e230_range("A", "standard", &got, &again, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_astm_e1137("Z", 0.0, &got, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_tolerance_gost6651("copper", "A", check_nan(), &got, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_gost6651("lead", "A", 0.0, &got, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_new_iec60584("K", 9, &tolerance, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_new_astm_e230("K", "", &tolerance, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_new_astm_e1137("Z", &tolerance, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_new_gost6651(NULL, "A", &tolerance, &err));
    CHECK(got == 7.0 && tolerance == NULL);
    table_free(&grades);
    table_free(&classes);
}

static void combined(void)
{
    calcore_error err = check_error();
    calcore_tolerance *parts[3] = {NULL, NULL, NULL};
    calcore_tolerance *sum = NULL;
    calcore_tolerance *widest = NULL;
    calcore_tolerance *asymmetric = NULL;
    const calcore_tolerance *list[3];
    double lower = 7.0;
    double upper = 7.0;
    size_t i;
    GOOD(calcore_tolerance_new_absolute(0.2, &parts[0], &err));
    GOOD(calcore_tolerance_new_percent_of_span(0.1, 0.0, 150.0, &parts[1], &err));
    GOOD(calcore_tolerance_new_percent_of_reading(0.5, &parts[2], &err));
    GOOD(calcore_tolerance_new_asymmetric(-0.5, 1.0, &asymmetric, &err));
    for (i = 0; i < 3; i++) {
        list[i] = parts[i];
    }
    GOOD(calcore_tolerance_new_sum(list, 2, &sum, &err));
    GOOD(calcore_tolerance_new_max(list, 3, &widest, &err));
    for (i = 0; i < 3; i++) {
        calcore_tolerance_free(parts[i]); /* the sums keep copies */
    }
    GOOD(calcore_tolerance_half_width(sum, 100.0, &upper, &err));
    CLOSE("0.2 K and 0.1 % of 150 K", 100.0, upper, 0.35, 1e-15);
    GOOD(calcore_tolerance_half_width(widest, 100.0, &upper, &err));
    CLOSE("0.5 % of 100", 100.0, upper, 0.5, 0.0);
    GOOD(calcore_tolerance_half_width(widest, 10.0, &upper, &err));
    CLOSE("0.2 K is wider", 10.0, upper, 0.2, 0.0);
    GOOD(calcore_tolerance_limits(asymmetric, 10.0, &lower, &upper, &err));
    CHECK(lower == -0.5 && upper == 1.0);
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_half_width(asymmetric, 10.0, &upper, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_tolerance_limits(sum, check_nan(), &lower, &upper, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_limits(sum, 10.0, NULL, &upper, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_limits(sum, 10.0, &lower, NULL, &err));
    STATUS(CALCORE_E_HANDLE, calcore_cvd_resistance((const calcore_cvd *)(const void *)sum, 10.0, &upper, &err));
    STATUS(CALCORE_E_HANDLE, calcore_tolerance_half_width((const calcore_tolerance *)(const void *)&err.code, 0.0, &upper, &err));
    CHECK(lower == -0.5 && upper == 1.0);
    calcore_tolerance_free(sum);
    calcore_tolerance_free(widest);
    calcore_tolerance_free(asymmetric);
    calcore_tolerance_free(NULL);
}

static void refused(void)
{
    calcore_error err = check_error();
    calcore_tolerance *none = NULL;
    const calcore_tolerance *list[1] = {NULL};
    double k = 7.0;
    double high = 7.0;
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_iec60751("Z", 0.0, CALCORE_FILM, &k, &err));
    STATUS(CALCORE_E_OPTION, calcore_tolerance_iec60751("A", 0.0, 2, &k, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_iec60751(NULL, 0.0, CALCORE_FILM, &k, &err));
    STATUS(CALCORE_E_UTF8, calcore_tolerance_iec60751("\xff", 0.0, CALCORE_FILM, &k, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_tolerance_iec60751("A", check_nan(), CALCORE_FILM, &k, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_iec60751_range("A", CALCORE_FILM, &k, NULL, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_iec60751_range("", CALCORE_FILM, &k, &high, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_tolerance_new_iec60751("Z", CALCORE_FILM, &none, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_new_absolute(-1.0, &none, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_tolerance_new_absolute(check_nan(), &none, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_new_asymmetric(0.5, 1.0, &none, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_new_percent_of_span(1.0, 5.0, 5.0, &none, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_new_percent_of_reading(-1.0, &none, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_new_sum(NULL, 0, &none, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_tolerance_new_max(NULL, 0, &none, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_new_sum(NULL, 1, &none, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_new_max(list, 1, &none, &err));
    STATUS(CALCORE_E_NULL, calcore_tolerance_new_absolute(1.0, NULL, &err));
    CHECK(none == NULL && k == 7.0 && high == 7.0);
}

void test_tolerance(const char *reference)
{
    table_of_classes(reference);
    thermocouples(reference);
    other_elements(reference);
    combined();
    refused();
}
