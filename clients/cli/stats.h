/**
 * gramwell stats: the general statistics of the engine's library on a CSV file, so that anyone can check them.
 *
 * One run is one desk: the file, the rows in play, the options, and memory that is freed at the end.
 */
#ifndef GRAMWELL_CLI_STATS_H
#define GRAMWELL_CLI_STATS_H

#include <gramwell/stats.h>

#include "sheet.h"

/* Options; GW_DESK_BIT(x) is the bit of x in a method's mask. */
typedef enum {
    GW_OPT_CONFIDENCE,
    GW_OPT_LAMBDA,
    GW_OPT_TARGET,
    GW_OPT_SIGMA,
    GW_OPT_WIDTH,
    GW_OPT_K,
    GW_OPT_H,
    GW_OPT_HEADSTART,
    GW_OPT_VAR_OBS,
    GW_OPT_VAR_LEVEL,
    GW_OPT_VAR_SLOPE,
    GW_OPT_DISCRETE, /* switches: 1 when given */
    GW_OPT_NO_INTERCEPT,
    GW_OPT_FORM2, /* the second form of a curve; such a method takes --start too */
    GW_OPT_COUNT,
} gw_desk_option;

#define GW_DESK_BIT(option) (1u << (option))

typedef struct gw_desk_block gw_desk_block;

typedef struct {
    const char *name; /* of the method, for messages */
    gw_sheet sheet;
    size_t n;                    /* rows in play, set by gw_desk_read */
    size_t *row;                 /* [n] their positions in the sheet */
    double option[GW_OPT_COUNT]; /* NAN: not given */
    double start[GW_STATS_CURVE_COEF_MAX];
    size_t n_start;
    gw_desk_block *memory;
} gw_desk;

/* How a column is read. */
#define GW_COLUMN_OPTIONAL 1u  /* may be missing: its values are then NULL */
#define GW_COLUMN_GAPS     2u  /* an empty field is a reading not taken: NAN */
#define GW_COLUMN_DROP     4u  /* an empty field leaves its row out */
#define GW_COLUMN_WHOLE    8u  /* whole numbers */
#define GW_COLUMN_ABOVE    16u /* low itself is refused */
#define GW_COLUMN_BELOW    32u /* high itself is refused */

typedef struct {
    const char *name;
    unsigned flags;
    double low, high;
    const char *expected; /* what would be right: "a number above 0" */
} gw_desk_column;

/** Memory of n doubles, cleared, freed with the desk. Ends the program with a word when there is none. */
double *gw_desk_memory(gw_desk *desk, size_t n);
void gw_desk_forget(gw_desk *desk);

/**
 * Read columns of the sheet as numbers and settle which rows are in play. Tells every fault.
 *
 * @param values  [n_columns] out: desk->n numbers each, NULL for an optional column that is not there
 * @return false after a told fault
 */
bool gw_desk_read(gw_desk *desk, size_t n_columns, const gw_desk_column columns[], double *values[]);

/** A strict number with a decimal point; false for anything else. */
bool gw_desk_number(const char *text, double *value);

/** Tell why a method refused: the row and column of *at are found from columns, values[k] at k n + position. */
int gw_desk_refused(gw_desk *desk, gw_stats_status status, size_t at, size_t n_columns, const gw_desk_column columns[]);

/** Print one number of a row with 17 significant digits; NAN as an empty field. */
void gw_desk_print(double value, bool last);

/** One method: reads the sheet, prints the result, returns an exit status. */
typedef struct {
    const char *name;
    unsigned options; /* GW_DESK_BIT of those it takes */
    int (*run)(gw_desk *desk);
    const char *help;
} gw_desk_method;

extern const gw_desk_method gw_desk_methods[];
extern const size_t gw_desk_n_methods;

#endif
