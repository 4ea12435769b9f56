/**
 * The log: one line an event on standard error, `time level event key=value ...` (logfmt).
 *
 *   2026-11-25T08:30:00.123Z info request route=/api/v1/checks/{check} method=PUT status=201 ms=4
 *
 * No personal data: the route's pattern instead of the path, no query strings, no names, tags, tokens, addresses or
 * values out of rows. Lines are written whole; safe from any thread.
 */
#ifndef GW_BASE_LOG_H
#define GW_BASE_LOG_H

typedef enum { GW_LOG_DEBUG, GW_LOG_INFO, GW_LOG_WARN, GW_LOG_ERROR } gw_log_level;

/** Lines below this level are dropped. At the start: GW_LOG_INFO. */
void gw_log_set_level(gw_log_level level);

/**
 * Write one line.
 *
 * @param event  one word
 * @param fmt    printf format of "key=value" pairs separated by blanks; values with blanks go through gw_log_quote.
 *               Line breaks and control characters are replaced. May be "".
 */
void gw_log(gw_log_level level, const char *event, const char *fmt, ...) __attribute__((format(printf, 3, 4)));

/**
 * A value in double quotes with " and \ escaped, for use in gw_log.
 *
 * @param out   [size] the caller's space, also returned; cut when too small
 * @param text  may be NULL: ""
 */
const char *gw_log_quote(char *out, unsigned size, const char *text);

#endif
