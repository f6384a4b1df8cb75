#include "check.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

long check_passed = 0;
long check_failed = 0;

static char error_text[512];

void check_that(int good, const char *file, int line, const char *words)
{
    if (good) {
        check_passed++;
        return;
    }
    check_failed++;
    printf("%s:%d: failed: %s\n", file, line, words);
}

void check_close(const char *name, double input, double got, double want, double tolerance, const char *file, int line)
{
    double difference = fabs(got - want);
    if (difference <= tolerance) { /* false for NaN */
        check_passed++;
        return;
    }
    check_failed++;
    printf("%s:%d: %s(%.17g): got %.17g, want %.17g, difference %.3g, tolerance %.3g\n", file, line, name, input, got,
           want, difference, tolerance);
}

void check_bits(const char *name, double got, double want, const char *file, int line)
{
    if (check_to_bits(got) == check_to_bits(want)) {
        check_passed++;
        return;
    }
    check_failed++;
    printf("%s:%d: %s: got %.17g (%016llx), want %.17g (%016llx)\n", file, line, name, got,
           (unsigned long long)check_to_bits(got), want, (unsigned long long)check_to_bits(want));
}

void check_status(calcore_status got, calcore_status want, const calcore_error *err, const char *file, int line,
                  const char *words)
{
    if (got == want) {
        check_passed++;
        return;
    }
    check_failed++;
    printf("%s:%d: %s: status %d (%s), want %d; %s\n", file, line, words, (int)got, calcore_status_text(got),
           (int)want, err->message);
}

calcore_error check_error(void)
{
    calcore_error err;
    memset(&err, 0, sizeof err);
    err.size = sizeof err;
    err.message = error_text;
    err.message_cap = sizeof error_text;
    error_text[0] = '\0';
    return err;
}

uint64_t check_to_bits(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

double check_from_bits(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

double check_nan(void)
{
    return check_from_bits(UINT64_C(0x7ff8000000000000));
}

double check_infinity(void)
{
    return check_from_bits(UINT64_C(0x7ff0000000000000));
}
