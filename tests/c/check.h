/* Counting and printing for the C tests. Everything here and in the tests is C99 and C++17 at once: run.sh compiles
 * the same files as both. */
#ifndef CHECK_H
#define CHECK_H

#include "calcore.h"

#include <stddef.h>
#include <stdint.h>

extern long check_passed;
extern long check_failed;

/* One check: prints place and words when it fails. */
void check_that(int good, const char *file, int line, const char *words);
/* Prints name, input, want, got and tolerance when |got - want| > tolerance or got is NaN. */
void check_close(const char *name, double input, double got, double want, double tolerance, const char *file, int line);
/* The same bits, NaN included. */
void check_bits(const char *name, double got, double want, const char *file, int line);
/* A status, with the text of the error when it is another one. */
void check_status(calcore_status got, calcore_status want, const calcore_error *err, const char *file, int line,
                  const char *words);

#define CHECK(condition) check_that((condition) ? 1 : 0, __FILE__, __LINE__, #condition)
#define CLOSE(name, input, got, want, tolerance) check_close(name, input, got, want, tolerance, __FILE__, __LINE__)
#define SAME(name, got, want) check_bits(name, got, want, __FILE__, __LINE__)
/* STATUS and GOOD use the variable `err` of check_error() that the test holds. */
#define STATUS(want, call) check_status(call, want, &err, __FILE__, __LINE__, #call)
#define GOOD(call) STATUS(CALCORE_OK, call)

/* An error struct with its size set and a buffer for the text (one for the program: the tests run in one thread). */
calcore_error check_error(void);

double check_nan(void);
double check_infinity(void);
uint64_t check_to_bits(double x);
double check_from_bits(uint64_t bits);

/* A table read from a comma-separated file: a line of names, then rows; lines that begin with # are left out. */
typedef struct table {
    char **names;
    size_t columns;
    char **cells; /* rows * columns */
    size_t rows;
    char *text;
} table;

/* Reads DIRECTORY/NAME; ends the program when it cannot, since nothing could be checked. */
table table_read(const char *directory, const char *name);
void table_free(table *t);
const char *table_text(const table *t, size_t row, const char *column);
double table_number(const table *t, size_t row, const char *column);

/* The value in a table whose columns `case`, `quantity` and `column` name it. */
double table_find(const table *t, const char *of_case, const char *quantity, const char *column);

/* A whole file, ended by a zero byte; the caller frees it. Ends the program when it cannot be read. */
char *file_read(const char *path, size_t *size);

/* The tests, one file each. `reference` is the directory of the published tables. */
void test_border(void);
void test_temperature(void);
void test_curves(const char *reference);
void test_sensor_curves(const char *reference);
void test_thermocouple(const char *reference);
void test_its90(const char *reference);
void test_curve_numbers(const char *reference);
void test_circuit(void);
void test_effects(const char *reference);
void test_tolerance(const char *reference);
void test_fit(const char *reference);
void test_fit_use(const char *reference);
void test_fit_plan(void);
void test_uncertainty(const char *reference);
void test_measurement_model(void);
void test_monte_carlo(void);
void test_decision(const char *reference);
void test_ready_made(const char *reference);
void test_settling(void);
void test_settled(void);
/* `run`: a description; `result`: what the core made of it, one line of JSON. */
void test_loop_calibration(const char *reference, const char *run, const char *result);
void test_loop_job(const char *run);
void test_loop_results(const char *run);
void test_named_budget(const char *run);
void test_schema(const char *reference);
void test_ten_mistakes(const char *run);
void test_hostile(const char *run);
void test_linearization(void);
void test_lookup_tables(const char *reference);
void test_minimax(const char *reference);
void test_parity(const char *path);

#endif
