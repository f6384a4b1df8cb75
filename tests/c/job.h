/* Helpers of the tests of the work around a run. */
#ifndef JOB_H
#define JOB_H

#include "check.h"

#include <stdlib.h>
#include <string.h>

#define SIZED(type, name)          \
    type name;                     \
    memset(&name, 0, sizeof name); \
    name.size = sizeof name

static inline calcore_run *job_run(const char *text)
{
    calcore_error err = check_error();
    calcore_run *run = NULL;
    GOOD(calcore_run_from_json(text, strlen(text), &run, &err));
    return run;
}

/* The text behind a handle, which is released; the caller frees the copy. */
static inline char *job_text(calcore_text *text)
{
    calcore_error err = check_error();
    size_t needed = 0;
    char *copy;
    GOOD(calcore_text_copy(text, NULL, 0, &needed, &err));
    copy = (char *)malloc(needed + 1);
    if (copy == NULL) {
        abort();
    }
    GOOD(calcore_text_copy(text, copy, needed, &needed, &err));
    calcore_text_free(text);
    return copy;
}

/* A copy of a text with every `old` replaced, as long as the lengths are equal; the caller frees it. */
static inline char *job_replaced(const char *text, const char *old, const char *by)
{
    size_t length = strlen(text);
    char *copy = (char *)malloc(length + 1);
    char *place;
    if (copy == NULL || strlen(old) != strlen(by)) {
        abort();
    }
    memcpy(copy, text, length + 1);
    for (place = strstr(copy, old); place != NULL; place = strstr(place, old)) {
        memcpy(place, by, strlen(by));
    }
    return copy;
}

/* A copy of a text in which the first `old` behind `anchor` is replaced; the caller frees it. */
static inline char *job_changed(const char *text, const char *anchor, const char *old, const char *by)
{
    const char *place = strstr(text, anchor);
    size_t before;
    char *copy;
    place = place == NULL ? NULL : strstr(place, old);
    if (place == NULL) {
        abort();
    }
    before = (size_t)(place - text);
    copy = (char *)malloc(strlen(text) + strlen(by) + 1);
    if (copy == NULL) {
        abort();
    }
    memcpy(copy, text, before);
    strcpy(copy + before, by);
    strcat(copy, place + strlen(old));
    return copy;
}

/* The number behind the first `"key":` of a JSON text; NaN for null or none. */
static inline double job_number(const char *json, const char *key)
{
    const char *place = strstr(json, key);
    if (place == NULL || strncmp(place + strlen(key), "null", 4) == 0) {
        return check_nan();
    }
    return strtod(place + strlen(key), NULL);
}

#endif
