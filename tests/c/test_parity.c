/* Replay of what the core computed: every line of DIRECTORY/NAME.txt holds the arguments and the result of one call, as
 * the 16 hexadecimal digits of their bits. A name that this file does not know is a failure, so that no file is left out
 * unseen. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 16 };

typedef struct replay {
    const char *name;
    size_t inputs;
    calcore_status (*call)(const double *x, double *y, calcore_error *err);
} replay;

static calcore_status with_pt100(const double *x, double *y, calcore_error *err,
                                 calcore_status (*call)(const calcore_cvd *, double, double *, calcore_error *))
{
    calcore_cvd *curve = NULL;
    calcore_status status = calcore_cvd_iec60751(100.0, &curve, err);
    if (status == CALCORE_OK) {
        status = call(curve, x[0], y, err);
    }
    calcore_cvd_free(curve);
    return status;
}

static calcore_status iec60751_resistance(const double *x, double *y, calcore_error *err)
{
    return with_pt100(x, y, err, calcore_cvd_resistance);
}

static calcore_status iec60751_temperature(const double *x, double *y, calcore_error *err)
{
    return with_pt100(x, y, err, calcore_cvd_temperature);
}

static calcore_status iec60751_slope(const double *x, double *y, calcore_error *err)
{
    return with_pt100(x, y, err, calcore_cvd_slope);
}

static const replay replays[] = {
    {"iec60751_resistance", 1, iec60751_resistance},
    {"iec60751_temperature", 1, iec60751_temperature},
    {"iec60751_slope", 1, iec60751_slope},
};

/* Reads the numbers of a line; returns how many. */
static size_t numbers(const char *line, double *x)
{
    size_t n = 0;
    char *end;
    for (;;) {
        unsigned long long bits = strtoull(line, &end, 16);
        if (end == line) {
            return n;
        }
        if (n == MOST) {
            return 0;
        }
        x[n++] = check_from_bits((uint64_t)bits);
        line = end;
    }
}

static const replay *known(const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *name = slash == NULL ? path : slash + 1;
    size_t length = strcspn(name, ".");
    size_t i;
    for (i = 0; i < sizeof replays / sizeof replays[0]; i++) {
        if (strlen(replays[i].name) == length && strncmp(replays[i].name, name, length) == 0) {
            return &replays[i];
        }
    }
    return NULL;
}

void test_parity(const char *path)
{
    const replay *r = known(path);
    FILE *file = fopen(path, "r");
    char line[MOST * 17 + 2];
    long lines = 0;
    CHECK(r != NULL && file != NULL);
    if (r == NULL || file == NULL) {
        printf("parity file not known or not readable: %s\n", path);
        if (file != NULL) {
            fclose(file);
        }
        return;
    }
    while (fgets(line, sizeof line, file) != NULL) {
        calcore_error err = check_error();
        double x[MOST];
        double y = check_nan();
        CHECK(numbers(line, x) == r->inputs + 1);
        GOOD(r->call(x, &y, &err));
        SAME(r->name, y, x[r->inputs]);
        lines++;
    }
    CHECK(lines > 0);
    fclose(file);
}
