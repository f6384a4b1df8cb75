/* The border itself: versions, texts, error structs, handles, and what each call does with bad pointers. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

static void versions(void)
{
    const char *version = calcore_version();
    CHECK(calcore_abi_version() == CALCORE_ABI_VERSION);
    CHECK(version != NULL && version[0] >= '0' && version[0] <= '9' && strchr(version, '.') != NULL);
}

static void status_texts(void)
{
    static const calcore_status all[] = {
        CALCORE_OK, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNKNOWN_NAME,
        CALCORE_E_LENGTH_MISMATCH, CALCORE_E_TOO_FEW_POINTS, CALCORE_E_UNDETERMINED, CALCORE_E_NOT_POSITIVE_DEFINITE,
        CALCORE_E_NO_CONVERGENCE, CALCORE_E_MODEL_FAILED, CALCORE_E_DOCUMENT, CALCORE_E_INVALID_RUN, CALCORE_E_NULL,
        CALCORE_E_PANIC, CALCORE_E_HANDLE, CALCORE_E_STRUCT_SIZE, CALCORE_E_UTF8, CALCORE_E_BUFFER_TOO_SMALL,
        CALCORE_E_OPTION, CALCORE_E_POINTER, CALCORE_E_INDEX,
    };
    const char *unknown = calcore_status_text(-7);
    size_t i;
    CHECK(strcmp(unknown, "unknown status") == 0);
    for (i = 0; i < sizeof all / sizeof all[0]; i++) {
        CHECK(calcore_status_text(all[i])[0] != '\0');
        CHECK(strcmp(calcore_status_text(all[i]), unknown) != 0);
    }
}

/* The message of one known failure, cut to every length: always ended, never beyond the buffer, never half a character. */
static void error_struct(void)
{
    const char *whole = "temperature 900 \xc2\xb0" "C is outside -200 to 850 \xc2\xb0" "C";
    calcore_error err = check_error();
    calcore_cvd *curve = NULL;
    char buffer[80];
    double ohm = 7.0;
    size_t cap;
    GOOD(calcore_cvd_iec60751(100.0, &curve, &err));
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance(curve, 900.0, &ohm, &err));
    CHECK(ohm == 7.0);
    CHECK(strcmp(err.message, whole) == 0);
    CHECK(err.code == CALCORE_E_OUT_OF_RANGE && err.index == -1 && err.count == 0);
    CHECK(err.value == 900.0 && err.low == -200.0 && err.high == 850.0);
    CHECK(strcmp(err.unit, "\xc2\xb0" "C") == 0 && strcmp(err.quantity, "temperature") == 0);

    err.message = buffer;
    for (cap = 0; cap <= strlen(whole) + 2; cap++) {
        size_t length;
        memset(buffer, 0x55, sizeof buffer);
        err.message_cap = cap;
        STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance(curve, 900.0, &ohm, &err));
        CHECK(buffer[cap] == 0x55);
        if (cap == 0) {
            continue;
        }
        length = strlen(buffer);
        CHECK(length < cap && strncmp(buffer, whole, length) == 0);
        CHECK(length == 0 || (unsigned char)buffer[length - 1] != 0xc2);
        CHECK(length + 2 >= cap || length == strlen(whole));
    }
    err.message = NULL;
    err.message_cap = 100;
    STATUS(CALCORE_E_OUT_OF_RANGE, calcore_cvd_resistance(curve, 900.0, &ohm, NULL));
    CHECK(calcore_cvd_resistance(curve, 900.0, &ohm, &err) == CALCORE_E_OUT_OF_RANGE);
    CHECK(err.size == sizeof err && err.message == NULL && err.message_cap == 100);

    err.size = 0;
    err.value = 3.0;
    CHECK(calcore_cvd_resistance(curve, 20.0, &ohm, &err) == CALCORE_E_STRUCT_SIZE);
    CHECK(ohm == 7.0 && err.value == 3.0);
    calcore_cvd_free(curve);
}

static void handles(void)
{
    calcore_error err = check_error();
    calcore_cvd *curve = NULL;
    double ohm = 7.0;
    /* Memory that is no handle: large enough, aligned, with other contents. */
    uint64_t *other = (uint64_t *)calloc(64, sizeof *other);
    if (other == NULL) {
        abort();
    }
    STATUS(CALCORE_E_HANDLE, calcore_cvd_resistance((const calcore_cvd *)other, 20.0, &ohm, &err));
    calcore_cvd_free((calcore_cvd *)other);
    STATUS(CALCORE_E_POINTER, calcore_cvd_resistance((const calcore_cvd *)((char *)other + 1), 20.0, &ohm, &err));
    STATUS(CALCORE_E_NULL, calcore_cvd_resistance(NULL, 20.0, &ohm, &err));
    CHECK(strcmp(err.message, "calcore_cvd is a null pointer") == 0);
    STATUS(CALCORE_E_NULL, calcore_cvd_new(100.0, 3.9083e-3, -5.775e-7, -4.183e-12, NULL, &err));
    calcore_cvd_free(NULL);
    free(other);

    /* A constructor that fails leaves the pointer alone. */
    STATUS(CALCORE_E_INVALID_VALUE, calcore_cvd_iec60751(-100.0, &curve, &err));
    CHECK(curve == NULL && err.value == -100.0 && strcmp(err.unit, "ohm") == 0);
    STATUS(CALCORE_E_NOT_FINITE, calcore_cvd_iec60751(check_nan(), &curve, &err));
    STATUS(CALCORE_E_NOT_FINITE, calcore_cvd_iec60751(check_infinity(), &curve, &err));
    CHECK(curve == NULL && ohm == 7.0);
}

void test_border(void)
{
    versions();
    status_texts();
    error_struct();
    handles();
}
