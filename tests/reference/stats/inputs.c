#include "inputs.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Blocks in a chain, freed together after each case. */
typedef struct block {
    struct block *next;
    double values[];
} block;

static block *blocks;

void inputs_release(void)
{
    while (blocks) {
        block *next = blocks->next;
        free(blocks);
        blocks = next;
    }
}

double *scratch(size_t n)
{
    block *b = calloc(1, sizeof *b + (n + 1) * sizeof(double));
    if (!b) odd_case("out of memory");
    b->next = blocks;
    blocks = b;
    return b->values;
}

size_t *scratch_sizes(size_t n)
{
    return (size_t *)(void *)scratch(n);
}

void odd_case(const char *what)
{
    fprintf(stderr, "a case file is not as expected: %s\n", what);
    exit(2);
}

static double number_of(const json_t *value)
{
    if (json_is_null(value)) return NAN;
    if (!json_is_number(value)) odd_case("an entry is not a number");
    return json_number_value(value);
}

static const json_t *member(const json_t *input, const char *name)
{
    const json_t *value = json_object_get(input, name);
    if (!value) odd_case(name);
    return value;
}

series read_series(const json_t *input, const char *name)
{
    const json_t *list = member(input, name);
    if (!json_is_array(list)) odd_case(name);
    series s = {.n = json_array_size(list)};
    s.v = scratch(s.n);
    for (size_t i = 0; i < s.n; i++) s.v[i] = number_of(json_array_get(list, i));
    return s;
}

series read_table(const json_t *input, const char *name, size_t *columns)
{
    const json_t *rows = member(input, name);
    size_t n = json_array_size(rows);
    *columns = n ? json_array_size(json_array_get(rows, 0)) : 0;
    series s = {.n = n, .v = scratch(n * *columns)};
    for (size_t i = 0; i < n; i++) {
        const json_t *row = json_array_get(rows, i);
        if (json_array_size(row) != *columns) odd_case(name);
        for (size_t j = 0; j < *columns; j++) s.v[i * *columns + j] = number_of(json_array_get(row, j));
    }
    return s;
}

double read_number(const json_t *input, const char *name)
{
    return number_of(member(input, name));
}

double read_number_or(const json_t *input, const char *name, double otherwise)
{
    const json_t *value = json_object_get(input, name);
    return value && !json_is_null(value) ? number_of(value) : otherwise;
}

const char *read_text_or(const json_t *input, const char *name, const char *otherwise)
{
    const char *text = json_string_value(json_object_get(input, name));
    return text ? text : otherwise;
}

series taken_only(series a, const series *b)
{
    series s = {.v = scratch(a.n)};
    for (size_t i = 0; i < a.n; i++) {
        if (!isnan(a.v[i]) && !(b && isnan(b->v[i]))) s.v[s.n++] = a.v[i];
    }
    return s;
}

static json_t *number_or_null(double value)
{
    if (isnan(value)) return json_null();
    return isinf(value) ? json_string(value > 0 ? "infinity" : "-infinity") : json_real(value);
}

void put_number(json_t *found, const char *name, double value)
{
    if (json_object_set_new(found, name, number_or_null(value))) odd_case("out of memory");
}

void put_array(json_t *found, const char *name, size_t n, const double v[])
{
    json_t *list = json_array();
    for (size_t i = 0; i < n; i++) {
        if (json_array_append_new(list, number_or_null(v[i]))) odd_case("out of memory");
    }
    if (json_object_set_new(found, name, list)) odd_case("out of memory");
}

void put_sizes(json_t *found, const char *name, size_t n, const size_t v[])
{
    double *as_numbers = scratch(n);
    for (size_t i = 0; i < n; i++) as_numbers[i] = (double)v[i];
    put_array(found, name, n, as_numbers);
}
