/* stats_table: columns of a CSV file as numbers, and numbers as CSV. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli.h"
#include "stats.h"

struct gw_desk_block {
    gw_desk_block *next;
    double values[];
};

double *gw_desk_memory(gw_desk *desk, size_t n)
{
    gw_desk_block *b = n < SIZE_MAX / sizeof(double) - 4 ? calloc(1, sizeof *b + (n + 1) * sizeof(double)) : NULL;
    if (!b) {
        gw_cli_say("stats", "%s: not enough memory for %zu numbers", desk->name, n);
        exit(GW_EXIT_FAILED);
    }
    b->next = desk->memory;
    desk->memory = b;
    return b->values;
}

void gw_desk_forget(gw_desk *desk)
{
    while (desk->memory) {
        gw_desk_block *next = desk->memory->next;
        free(desk->memory);
        desk->memory = next;
    }
}

bool gw_desk_number(const char *text, double *value)
{
    char *end;
    if (*text == '\0' || strspn(text, "+-.0123456789eE") != strlen(text)) return false;
    *value = strtod(text, &end);
    return *end == '\0' && isfinite(*value);
}

/* ---- reading -------------------------------------------------------------------------------------------------- */

static bool in_range(const gw_desk_column *c, double v)
{
    if (c->flags & GW_COLUMN_WHOLE && v != floor(v)) return false;
    if (c->flags & GW_COLUMN_ABOVE ? !(v > c->low) : !(v >= c->low)) return false;
    return c->flags & GW_COLUMN_BELOW ? v < c->high : v <= c->high;
}

/* One field; false after a told fault. An empty field is NAN where the column allows it. */
static bool read_field(gw_desk *desk, const gw_desk_column *c, size_t row, int position, double *value)
{
    const char *text = gw_sheet_field(&desk->sheet.rows[row], position);
    *value = NAN;
    if (*text == '\0' && c->flags & (GW_COLUMN_GAPS | GW_COLUMN_DROP)) return true;
    if (gw_desk_number(text, value) && in_range(c, *value)) return true;
    if (*text == '\0')
        gw_sheet_fault(&desk->sheet, desk->sheet.rows[row].line, c->name, "is empty, expected %s", c->expected);
    else
        gw_sheet_fault(&desk->sheet, desk->sheet.rows[row].line, c->name, "is \"%.60s\", expected %s%s", text,
                       c->expected, strchr(text, ',') ? ", with a decimal point" : "");
    return false;
}

static bool find_columns(gw_desk *desk, size_t n_columns, const gw_desk_column columns[], int position[])
{
    bool sound = true;
    for (size_t c = 0; c < n_columns; c++) {
        position[c] = gw_sheet_column(&desk->sheet, columns[c].name);
        if (position[c] >= 0 || columns[c].flags & GW_COLUMN_OPTIONAL) continue;
        gw_sheet_fault(&desk->sheet, desk->sheet.header.line, columns[c].name,
                       "this column is missing; gramwell stats %s --help lists the columns", desk->name);
        sound = false;
    }
    return sound;
}

bool gw_desk_read(gw_desk *desk, size_t n_columns, const gw_desk_column columns[], double *values[])
{
    enum { COLUMNS_MAX = 64 };
    int position[COLUMNS_MAX];
    if (n_columns > COLUMNS_MAX || !find_columns(desk, n_columns, columns, position)) return false;
    for (size_t c = 0; c < n_columns; c++)
        values[c] = position[c] >= 0 ? gw_desk_memory(desk, desk->sheet.n_rows) : NULL;
    desk->row = (size_t *)(void *)gw_desk_memory(desk, desk->sheet.n_rows);
    desk->n = 0;
    bool sound = true;
    for (size_t row = 0; row < desk->sheet.n_rows; row++) {
        bool dropped = false;
        for (size_t c = 0; c < n_columns; c++) {
            if (position[c] < 0) continue;
            double *value = &values[c][desk->n];
            sound = read_field(desk, &columns[c], row, position[c], value) && sound;
            if (columns[c].flags & GW_COLUMN_DROP && isnan(*value)) dropped = true;
        }
        if (!dropped) desk->row[desk->n++] = row;
    }
    return sound;
}

int gw_desk_refused(gw_desk *desk, gw_stats_status status, size_t at, size_t n_columns, const gw_desk_column columns[])
{
    bool placed = status == GW_STATS_VALUE || status == GW_STATS_ORDER;
    if (placed && desk->n > 0 && at / desk->n < n_columns) {
        const gw_desk_column *c = &columns[at / desk->n];
        const gw_sheet_row *row = &desk->sheet.rows[desk->row[at % desk->n]];
        const char *text = gw_sheet_field(row, gw_sheet_column(&desk->sheet, c->name));
        gw_sheet_fault(&desk->sheet, row->line, c->name, "is %.60s, expected %s", text,
                       status == GW_STATS_ORDER ? "a time that is not before the one above it" : c->expected);
    } else {
        size_t last = desk->sheet.n_rows ? desk->sheet.rows[desk->sheet.n_rows - 1].line : desk->sheet.header.line;
        gw_sheet_fault(&desk->sheet, last, NULL, "%s: %s, with %zu rows in play", desk->name,
                       gw_stats_status_text(status), desk->n);
    }
    return GW_EXIT_INPUT;
}

/* ---- printing ------------------------------------------------------------------------------------------------- */

void gw_desk_print(double value, bool last)
{
    if (!isnan(value)) printf("%.17g", value);
    putchar(last ? '\n' : ',');
}
