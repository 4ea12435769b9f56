/**
 * A CSV file in memory: RFC 4180, comma, one header line, UTF-8 with or without a byte order mark.
 *
 * Each record keeps the number of the line it began on, for messages that name file, line and column.
 */
#ifndef GRAMWELL_CLI_SHEET_H
#define GRAMWELL_CLI_SHEET_H

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    size_t line; /* of the file, from 1 */
    size_t n;
    char **fields; /* [n], never NULL */
} gw_sheet_row;

typedef struct {
    const char *name; /* of the file, for messages; "-" is standard input */
    char *text;
    gw_sheet_row *rows; /* [n_rows], the header not among them */
    size_t n_rows;
    gw_sheet_row header;
    size_t faults; /* told so far on standard error */
} gw_sheet;

/**
 * Read a whole file. What is wrong with its form is told on standard error, each fault with file and line.
 *
 * @param command  name of the subcommand, for messages
 * @param name     file, "-" for standard input; must outlive the sheet
 * @return false when the file cannot be used; the sheet is then empty
 */
bool gw_sheet_read(const char *command, const char *name, gw_sheet *sheet);
void gw_sheet_finish(gw_sheet *sheet);

/** Number of a column by its name, -1 when the file has none. */
int gw_sheet_column(const gw_sheet *sheet, const char *name);

/** The field of a row; "" when the file has no such column (column < 0). */
const char *gw_sheet_field(const gw_sheet_row *row, int column);

/** Tell a fault: "file:line: column: words". column may be NULL. Faults are counted in the sheet. */
void gw_sheet_fault(gw_sheet *sheet, size_t line, const char *column, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

#endif
