/**
 * Instants and dates as RFC 3339 writes them, without locale and time zone database.
 *
 * An instant keeps the offset it was written with; zones and days of a home are the database's business.
 * Range: years 1900 to 9999. A leap second (:60) is accepted and read as the first instant of the next minute; -00:00
 * means UTC with unknown local time and is kept as offset 0.
 *
 * Checked against the examples of RFC 3339 section 5.8: tests/unit/base/time_test.c.
 */
#ifndef GW_BASE_TIME_H
#define GW_BASE_TIME_H

#include <stddef.h>
#include <stdint.h>

#include "base/error.h"

enum { GW_INSTANT_TEXT = 40, GW_DATE_TEXT = 12 };

typedef struct gw_instant {
    int64_t us;                 /* microseconds since 1970-01-01T00:00:00Z */
    int32_t offset_minutes;     /* east of UTC */
    char text[GW_INSTANT_TEXT]; /* canonical: 2026-11-25T08:30:00+01:00, .ffffff only when not zero; a parameter */
} gw_instant;

typedef struct gw_date {
    int32_t days;            /* since 1970-01-01 */
    char text[GW_DATE_TEXT]; /* 2026-11-25; a parameter */
} gw_date;

/**
 * Read an RFC 3339 date-time. The offset is required; 'T' may be lower case, not a space; fractions beyond
 * microseconds are cut.
 *
 * @param text  NUL-terminated
 * @param out   written only on success
 * @return GW_OK, or GW_EINPUT with a message that ends "expected a time like 2026-11-25T08:30:00+01:00"
 */
GW_MUST_CHECK gw_status gw_instant_parse(const char *text, gw_instant *out, gw_error *err);

/** Make an instant, with its text, from microseconds and offset (-1439 to 1439 minutes, else 0 is used). */
gw_instant gw_instant_make(int64_t us, int32_t offset_minutes);

/** The present instant in UTC, by the system's clock: for display. What is valid is the database's now() to say. */
gw_instant gw_instant_now(void);

/** Days since 1970-01-01T00:00Z with fractions: the trend engine's unit of time. */
double gw_instant_days(const gw_instant *instant);

/** Read a full-date (YYYY-MM-DD) that exists in the calendar. Errors as gw_instant_parse. */
GW_MUST_CHECK gw_status gw_date_parse(const char *text, gw_date *out, gw_error *err);

/** Make a date, with its text, from days since 1970-01-01. */
gw_date gw_date_make(int32_t days);

/** Days since 1970-01-01 of a calendar day (proleptic Gregorian, month 1-12); no check. */
int32_t gw_days_from_civil(int year, int month, int day);

/** A clock that only goes forward, in milliseconds: for deadlines and durations. */
int64_t gw_monotonic_ms(void);

#endif
