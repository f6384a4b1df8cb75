/* Steadiness by hand: a straight ramp has its slope, its span and no scatter. */
#include "check.h"

#include <math.h>
#include <string.h>

void test_settling(void)
{
    enum { N = 11 };
    double time_s[N];
    double value[N];
    calcore_error err = check_error();
    calcore_steadiness s;
    size_t i;
    memset(&s, 0, sizeof s);
    s.size = sizeof s;
    for (i = 0; i < N; i++) {
        time_s[i] = 60.0 * (double)i;
        value[i] = 100.0 + (double)i / 128.0; /* 1/128 K a minute: exact */
    }
    GOOD(calcore_steady(time_s, value, N, 240.0, 0.04, 0.01, &s, &err));
    CHECK(s.state == CALCORE_STEADY && s.readings == 5 && s.since_s == 240.0);
    CLOSE("span", 0.0, s.span, 4.0 / 128.0, 0.0);
    CLOSE("slope", 0.0, s.slope_per_min, 1.0 / 128.0, 1e-17);
    CLOSE("scatter", 0.0, s.residual_standard_deviation, 0.0, 1e-15);
    CLOSE("u", 0.0, s.standard_uncertainty, 2.0 / 128.0 / sqrt(3.0), 1e-17);
    GOOD(calcore_steady(time_s, value, N, 240.0, 0.03, 0.01, &s, &err));
    CHECK(s.state == CALCORE_UNSTEADY_SPAN && isnan(s.since_s));
    GOOD(calcore_steady(time_s, value, N, 240.0, 0.04, 0.001, &s, &err));
    CHECK(s.state == CALCORE_UNSTEADY_SLOPE);
    GOOD(calcore_steady(time_s, value, N, 601.0, 1.0, 1.0, &s, &err));
    CHECK(s.state == CALCORE_UNSTEADY_RECORD_TOO_SHORT);
    GOOD(calcore_steady(time_s, value, N, 60.0, 1.0, 1.0, &s, &err));
    CHECK(s.state == CALCORE_UNSTEADY_TOO_FEW_READINGS);

    s.state = 77;
    STATUS(CALCORE_E_TOO_FEW_POINTS, calcore_steady(NULL, NULL, 0, 60.0, 1.0, 1.0, &s, &err));
    STATUS(CALCORE_E_NULL, calcore_steady(NULL, value, N, 60.0, 1.0, 1.0, &s, &err));
    STATUS(CALCORE_E_NULL, calcore_steady(time_s, value, N, 60.0, 1.0, 1.0, NULL, &err));
    STATUS(CALCORE_E_INVALID_VALUE, calcore_steady(time_s, value, N, 0.0, 1.0, 1.0, &s, &err));
    value[3] = check_nan();
    STATUS(CALCORE_E_NOT_FINITE, calcore_steady(time_s, value, N, 60.0, 1.0, 1.0, &s, &err));
    CHECK(err.index == 3);
    time_s[2] = 60.0;
    STATUS(CALCORE_E_INVALID_VALUE, calcore_steady(time_s, value, N, 60.0, 1.0, 1.0, &s, &err));
    s.size = 0;
    STATUS(CALCORE_E_STRUCT_SIZE, calcore_steady(time_s, value, N, 60.0, 1.0, 1.0, &s, &err));
    CHECK(s.state == 77);
}
