/**
 * Statements as a role of the database and a person of the network, each in a transaction that is undone.
 */
#ifndef GW_TEST_AS_H
#define GW_TEST_AS_H

#include "support/world.h"

typedef enum {
    APP,
    READ,
    OWNER,
    ADMIN
} gw_db_role; /* gramwell_app, gramwell_read, gramwell_owner, the cluster's own */

/**
 * Run statements, separated by ';', as a person (NOBODY: none is set); undo them.
 *
 * @return what came of the last one: a SQLSTATE and, behind a blank, the constraint if there is one ("23P01
 *         stay_no_overlap"); else the first value of a query ("" when null, "no row" without one); else the number of
 * rows that were changed ("1 rows")
 */
const char *gw_as(gw_db_role role, gw_who who, const char *fmt, ...) __attribute__((format(printf, 3, 4)));

#endif
