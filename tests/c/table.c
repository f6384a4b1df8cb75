/* A reader of comma-separated files, as small as the reference tables allow: no quotes inside. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void give_up(const char *what, const char *name)
{
    fprintf(stderr, "%s: %s\n", name, what);
    exit(2);
}

static void *room(size_t bytes)
{
    void *p = malloc(bytes > 0 ? bytes : 1);
    if (p == NULL) {
        give_up("out of memory", "table");
    }
    return p;
}

char *file_read(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    size_t length = 0;
    size_t capacity = 1 << 16;
    char *text = (char *)room(capacity);
    if (file == NULL) {
        give_up("cannot be opened", path);
    }
    for (;;) {
        size_t got = fread(text + length, 1, capacity - length - 1, file);
        if (got == 0) {
            break;
        }
        length += got;
        if (capacity - length < 2) {
            capacity *= 2;
            text = (char *)realloc(text, capacity);
            if (text == NULL) {
                give_up("out of memory", path);
            }
        }
    }
    fclose(file);
    text[length] = '\0';
    *size = length;
    return text;
}

/* Cuts the text at the next newline; moves past it. Null at the end. */
static char *next_line(char **rest)
{
    char *line = *rest;
    size_t length;
    if (*line == '\0') {
        return NULL;
    }
    length = strcspn(line, "\n");
    *rest = line[length] == '\0' ? line + length : line + length + 1;
    line[length] = '\0';
    if (length > 0 && line[length - 1] == '\r') {
        line[length - 1] = '\0';
    }
    return line;
}

static size_t split(char *line, char **cells, size_t most)
{
    size_t n = 0;
    char *start = line;
    for (;;) {
        size_t length = strcspn(start, ",");
        int last = start[length] == '\0';
        start[length] = '\0';
        if (n < most) {
            cells[n] = start;
        }
        n++;
        if (last) {
            return n;
        }
        start += length + 1;
    }
}

table table_read(const char *directory, const char *name)
{
    table t;
    char *path = (char *)room(strlen(directory) + strlen(name) + 2);
    char *rest;
    char *line;
    size_t lines = 0;
    size_t size;
    size_t i;
    sprintf(path, "%s/%s", directory, name);
    t.text = file_read(path, &size);
    for (i = 0; t.text[i] != '\0'; i++) {
        lines += t.text[i] == '\n';
    }
    rest = t.text;
    do {
        line = next_line(&rest);
    } while (line != NULL && line[0] == '#');
    if (line == NULL) {
        give_up("has no line of names", path);
        exit(2);
    }
    t.columns = 1;
    for (i = 0; line[i] != '\0'; i++) {
        t.columns += line[i] == ',';
    }
    t.names = (char **)room(t.columns * sizeof *t.names);
    split(line, t.names, t.columns);
    t.cells = (char **)room((lines + 1) * t.columns * sizeof *t.cells);
    t.rows = 0;
    while ((line = next_line(&rest)) != NULL) {
        if (line[0] == '#' || line[0] == '\0') {
            continue;
        }
        if (split(line, t.cells + t.rows * t.columns, t.columns) != t.columns) {
            give_up("has a row of another length", path);
        }
        t.rows++;
    }
    free(path);
    return t;
}

void table_free(table *t)
{
    free(t->names);
    free(t->cells);
    free(t->text);
}

const char *table_text(const table *t, size_t row, const char *column)
{
    size_t i;
    for (i = 0; i < t->columns; i++) {
        if (strcmp(t->names[i], column) == 0) {
            return t->cells[row * t->columns + i];
        }
    }
    give_up("no such column", column);
    return "";
}

double table_number(const table *t, size_t row, const char *column)
{
    const char *text = table_text(t, row, column);
    char *end;
    double x = strtod(text, &end);
    if (end == text || *end != '\0') {
        give_up("not a number", text);
    }
    return x;
}

double table_find(const table *t, const char *of_case, const char *quantity, const char *column)
{
    size_t i;
    for (i = 0; i < t->rows; i++) {
        if (strcmp(table_text(t, i, "case"), of_case) == 0 && strcmp(table_text(t, i, "quantity"), quantity) == 0) {
            return table_number(t, i, column);
        }
    }
    give_up("no such row", quantity);
    return 0.0;
}
