/** A row of a sheet of checks, turned into the body of PUT /checks/{check}. Shared by import.c and import_row.c. */
#ifndef GRAMWELL_CLI_IMPORT_H
#define GRAMWELL_CLI_IMPORT_H

#include <jansson.h>

#include "sheet.h"

enum { GW_IMPORT_REGIONS = 11 };
extern const char *const gw_import_regions[GW_IMPORT_REGIONS];

/** Where each column stands in the file, -1: it is not there. */
typedef struct {
    int animal, at, kind, grams, scale, zeroed, confirmed, minutes, note;
    int region[GW_IMPORT_REGIONS];
} gw_import_columns;

/** What the server knows, as the API gives it. */
typedef struct {
    const json_t *animals; /* object: an animal of /animals under its tag and under its id */
    const json_t *species; /* of /catalogue */
    const json_t *signs;   /* of /catalogue */
    const json_t *scales;  /* of /scales */
} gw_import_known;

typedef struct {
    char id[37];  /* the check's UUID, made from animal, time and kind: the same row gives the same */
    json_t *body; /* to be freed by the caller */
} gw_import_check;

/** Find the columns. Unknown names and missing ones are told as faults of the sheet. */
void gw_import_find_columns(gw_sheet *sheet, gw_import_columns *columns);

/**
 * Read one row. Every fault is told, not only the first.
 *
 * @return 0 when the row is sound, else the number of faults; out->body is then NULL
 */
size_t gw_import_row(gw_sheet *sheet, const gw_sheet_row *row, const gw_import_columns *columns,
                     const gw_import_known *known, gw_import_check *out);

#endif
