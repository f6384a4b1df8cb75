/* The published JSON Schemas: every one is handed out, and is the file of calcore/schema byte for byte. */
#include "job.h"

#include <stdio.h>

void test_schema(const char *reference)
{
    calcore_error err = check_error();
    calcore_text *text = NULL;
    char name[64];
    char path[1024];
    size_t needed = 0;
    size_t count = 0;
    size_t size = 0;
    size_t i;
    GOOD(calcore_schema_count(&count, &err));
    CHECK(count == 21);
    for (i = 0; i < count; i++) {
        char *handed_out;
        char *published;
        GOOD(calcore_schema_name(i, name, sizeof name, &needed, &err));
        GOOD(calcore_schema(name, &text, &err));
        handed_out = job_text(text);
        snprintf(path, sizeof path, "%s/../../calcore/schema/loop_calibration_%s.json", reference, name);
        published = file_read(path, &size);
        CHECK(strcmp(handed_out, published) == 0);
        free(published);
        free(handed_out);
    }
    text = NULL;
    STATUS(CALCORE_E_INDEX, calcore_schema_name(count, name, sizeof name, &needed, &err));
    STATUS(CALCORE_E_UNKNOWN_NAME, calcore_schema("letter", &text, &err));
    CHECK(strstr(err.message, "certificate_details") != NULL);
    STATUS(CALCORE_E_NULL, calcore_schema(NULL, &text, &err));
    STATUS(CALCORE_E_NULL, calcore_schema_count(NULL, &err));
    CHECK(text == NULL);
}
