/**
 * A verdict of the trend engine as JSON, in the two forms in which it is kept.
 *
 * body   what the API gives: rounded (grams to 0.1, per cent to 0.01), numbers that are not known are null
 * alone  every number to 17 significant digits, so that a later session judges exactly what was judged before
 */
#ifndef GW_CHECK_VERDICT_JSON_H
#define GW_CHECK_VERDICT_JSON_H

#include <gramwell/trend.h>

#include "base/arena.h"
#include "base/buffer.h"
#include "base/error.h"

/** Append the body form. */
void gw_verdict_body(gw_buffer *out, const gw_trend_verdict *verdict);

/** Append the full-precision form. */
void gw_verdict_alone(gw_buffer *out, const gw_trend_verdict *verdict);

/** Read the full-precision form back. GW_EINTERNAL when the text is not one. */
GW_MUST_CHECK gw_status gw_verdict_parse(const char *alone, gw_trend_verdict *verdict, gw_error *err);

/** The names of the reasons that are set, as a PostgreSQL text array. */
const char *gw_verdict_reasons_array(gw_arena *arena, uint32_t reasons);

#endif
