/**
 * What a query gave back. Values are text as PostgreSQL writes it, read by row and column number, both from 0.
 *
 * Memory   rows are freed with the request that asked for them; texts point into them.
 * Errors   a row or column outside the result reads as null. A number that does not read as one is logged as an error
 *          (it is a mistake in the query) and reads as 0.
 */
#ifndef GW_DB_ROWS_H
#define GW_DB_ROWS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct gw_rows {
    struct pg_result *result; /* NULL: no rows */
} gw_rows;

size_t gw_rows_count(const gw_rows *rows);

bool gw_rows_is_null(const gw_rows *rows, size_t row, size_t column);

/** The text of a value, NULL for null. */
const char *gw_rows_text(const gw_rows *rows, size_t row, size_t column);

/** A whole number; 0 for null. */
int64_t gw_rows_int64(const gw_rows *rows, size_t row, size_t column);

/** A number; NaN for null. */
double gw_rows_double(const gw_rows *rows, size_t row, size_t column);

/** A boolean; false for null. */
bool gw_rows_bool(const gw_rows *rows, size_t row, size_t column);

#endif
