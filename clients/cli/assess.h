/**
 * Inside `gramwell assess`: rows of a CSV file, days, and words.
 *
 * Messages  "FILE:LINE: column: words" on standard error, as everywhere in this client.
 * Memory    a row's texts live until the next row is read.
 */
#ifndef GRAMWELL_CLI_ASSESS_H
#define GRAMWELL_CLI_ASSESS_H

#include <gramwell/trend.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* ---- days (assess_day.c) -------------------------------------------------------------------------------------------
 */

/**
 * Days since 1970-01-01T00:00Z of an RFC 3339 date ("2026-03-01") or date-time ("2026-03-01T18:30:00+01:00").
 *
 * @param date_only  out: no time was given; the day is its midnight in UTC
 * @return false: neither of the two, or a day that does not exist
 */
bool gw_day_parse(const char *text, double *day, bool *date_only);

/* ---- rows (assess_rows.c) ------------------------------------------------------------------------------------------
 */

typedef enum {
    GW_COLUMN_ANIMAL,
    GW_COLUMN_AT,
    GW_COLUMN_GRAMS,
    GW_COLUMN_SPECIES,
    GW_COLUMN_SEX,
    GW_COLUMN_BIRTH,
    GW_COLUMN_STAGE,
    GW_COLUMN_ARRIVED,
    GW_COLUMN_HOME,
    GW_COLUMN_SCALE,
    GW_COLUMN_STEP,
    GW_COLUMN_SECOND,
    GW_COLUMN_SIGNS,
    GW_COLUMN_EVENT,
    GW_COLUMN_FROM,
    GW_COLUMN_TO,
    GW_COLUMNS,
} gw_column;

/** A CSV file that is read row by row, whatever its size. */
typedef struct {
    const char *name; /* for messages */
    FILE *file;
    size_t line; /* on which the row in hand began */
    size_t next_line;
    char *text; /* fields of the row, each with its end */
    size_t text_size, text_used;
    size_t *starts;
    size_t n_starts, starts_size;
    size_t n_columns;
    int place[GW_COLUMNS]; /* of each column we know; -1: the file has none */
    size_t faults;
    bool quiet; /* count faults without telling them */
    int held;   /* a character read too early, EOF: none */
} gw_rows_file;

/**
 * Open a file and read its header.
 *
 * @param name      "-" is standard input; must outlive the file
 * @param required  columns that must be there, as bits 1 << gw_column
 * @param allowed   columns that may be there; others are refused by name
 * @param quiet     faults are counted only
 */
bool gw_rows_open(gw_rows_file *file, const char *name, uint32_t required, uint32_t allowed, bool quiet);
/** The next row. false: the end, or a fault that has been told (see faults). */
bool gw_rows_next(gw_rows_file *file);
/** A field of the row in hand, "" when the file has no such column. */
const char *gw_rows_field(const gw_rows_file *file, gw_column column);
bool gw_rows_has(const gw_rows_file *file, gw_column column);
/** Tell a fault in the row in hand. column GW_COLUMNS: the whole row. */
void gw_rows_fault(gw_rows_file *file, gw_column column, const char *format, ...) __attribute__((format(printf, 3, 4)));
void gw_rows_close(gw_rows_file *file);

/** A number as it may stand in a field: digits with a decimal point. Faults are told. */
bool gw_rows_number(gw_rows_file *file, gw_column column, double low, double high, double *out);
/** A date, or a date-time where a time makes sense. Empty: NAN. Faults are told. */
bool gw_rows_day(gw_rows_file *file, gw_column column, double *day, bool *date_only);
/** One of the names that the engine knows. Empty: `unknown`. Faults are told. */
bool gw_rows_name(gw_rows_file *file, gw_column column, int (*value_of)(const char *), int unknown, const char *names,
                  int32_t *out);

/* ---- signs and words (assess_say.c) --------------------------------------------------------------------------------
 */

/** A sign as the catalogue has it: server/trend/profiles/signs.csv. */
typedef struct {
    const char *code, *words;
    uint32_t group; /* GW_MOUTH_..., 0: not of the mouth */
    gw_level level;
} gw_sign;

/** NULL: no such code. length is that of the code, which need not end there. */
const gw_sign *gw_sign_find(const char *code, size_t length);

/** What is said of one weighing: the engine's verdict, the session's and the signs' part in it. */
typedef struct {
    gw_trend_verdict verdict;
    const gw_sign *worst; /* sign with the highest level, NULL: none */
} gw_finding;

/** The level and kind of the whole check: of the weight, the mouth and the signs the highest. */
void gw_finding_level(const gw_finding *finding, gw_level *level, gw_kind *kind);

/** Write one row of output. first: nothing has been written yet. */
void gw_say_row(FILE *out, bool json, bool first, const char *animal, const char *at, const char *grams,
                const gw_finding *finding);
void gw_say_begin(FILE *out, bool json);
void gw_say_end(FILE *out, bool json, bool empty);

/* ---- a chart (assess_plot.c) ---------------------------------------------------------------------------------------
 */

typedef struct {
    double at, grams;
    gw_trend_verdict verdict;
    gw_level level; /* of weight, mouth and signs */
} gw_plot_point;

/** The series of one animal, to be drawn. */
typedef struct {
    const char *name;
    gw_plot_point *points; /* [n] in order of time */
    size_t n, room;
} gw_plot;

/** false: out of memory. */
bool gw_plot_add(gw_plot *plot, const gw_trend_weighing *weighing, const gw_finding *finding);
/** Write the chart as SVG; at least one point. */
void gw_plot_write(FILE *out, const gw_plot *plot);
void gw_plot_finish(gw_plot *plot);

#endif
