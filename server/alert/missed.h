/**
 * The clock that looks for checks that were never made.
 *
 * A thread of its own runs alert_missed.sql at the start and then every few minutes: an animal whose check is more than
 * three days late gets an alert of kind `missed`, which settles itself when the check is made. Several servers beside
 * each other do no harm: the database lets one alert a subject be open.
 */
#ifndef GW_ALERT_MISSED_H
#define GW_ALERT_MISSED_H

#include "base/error.h"

struct gw_db;

typedef struct gw_missed gw_missed;

enum { GW_MISSED_GRACE_DAYS = 3 /* common practice, no source */, GW_MISSED_EVERY_S = 300 };

/** Start the thread; *clock is NULL on failure. Block the signals that main waits for before. */
GW_MUST_CHECK gw_status gw_missed_start(struct gw_db *db, gw_missed **clock, gw_error *err);

/** Wait for a run under way, end the thread, and free. NULL is allowed. Before gw_db_close. */
void gw_missed_stop(gw_missed *clock);

#endif
