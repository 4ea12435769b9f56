/* A case file's input as C arrays, and what a method found as JSON. Memory lives until inputs_release. */
#ifndef GW_REFERENCE_INPUTS_H
#define GW_REFERENCE_INPUTS_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

/* n values; NAN stands for null. */
typedef struct {
    size_t n;
    double *v;
} series;

void inputs_release(void);

/* Memory of n doubles (or anything no larger), cleared. Ends the program when there is none. */
double *scratch(size_t n);
size_t *scratch_sizes(size_t n);

/* End the program: a case file does not have the form that this test knows. */
void odd_case(const char *what) __attribute__((noreturn));

series read_series(const json_t *input, const char *name);
/* A list of rows of equal length, one after the other. */
series read_table(const json_t *input, const char *name, size_t *columns);
double read_number(const json_t *input, const char *name);
double read_number_or(const json_t *input, const char *name, double otherwise);
const char *read_text_or(const json_t *input, const char *name, const char *otherwise);

/* Without the positions where a, or b, is missing; b may be NULL. */
series taken_only(series a, const series *b);

/* A number, null for NAN. */
void put_number(json_t *found, const char *name, double value);
void put_array(json_t *found, const char *name, size_t n, const double v[]);
void put_sizes(json_t *found, const char *name, size_t n, const size_t v[]);

#endif
