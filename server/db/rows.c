#include "db/rows.h"

#include <errno.h>
#include <libpq-fe.h>
#include <math.h>
#include <stdlib.h>

#include "base/log.h"

size_t gw_rows_count(const gw_rows *rows)
{
    return rows->result ? (size_t)PQntuples(rows->result) : 0;
}

bool gw_rows_is_null(const gw_rows *rows, size_t row, size_t column)
{
    if (row >= gw_rows_count(rows) || column >= (size_t)PQnfields(rows->result)) return true;
    return PQgetisnull(rows->result, (int)row, (int)column);
}

const char *gw_rows_text(const gw_rows *rows, size_t row, size_t column)
{
    if (gw_rows_is_null(rows, row, column)) return NULL;
    return PQgetvalue(rows->result, (int)row, (int)column);
}

static void log_no_number(const gw_rows *rows, size_t column)
{
    gw_log(GW_LOG_ERROR, "rows", "reason=no_number column=%s", PQfname(rows->result, (int)column));
}

int64_t gw_rows_int64(const gw_rows *rows, size_t row, size_t column)
{
    const char *text = gw_rows_text(rows, row, column);
    if (!text) return 0;
    char *end;
    errno = 0;
    long long value = strtoll(text, &end, 10);
    if (end != text && *end == '\0' && errno == 0) return value;
    log_no_number(rows, column);
    return 0;
}

double gw_rows_double(const gw_rows *rows, size_t row, size_t column)
{
    const char *text = gw_rows_text(rows, row, column);
    if (!text) return NAN;
    char *end;
    double value = strtod(text, &end);
    if (end != text && *end == '\0') return value;
    log_no_number(rows, column);
    return 0;
}

bool gw_rows_bool(const gw_rows *rows, size_t row, size_t column)
{
    const char *text = gw_rows_text(rows, row, column);
    return text && text[0] == 't';
}
