/**
 * The sessions on a scale and the common shift of each, worked out again from the stored verdicts of its animals.
 */
#ifndef GW_SCALE_SCALE_SESSION_H
#define GW_SCALE_SCALE_SESSION_H

#include "base/buffer.h"
#include "base/error.h"
#include "db/rows.h"

enum { GW_SESSION_HOURS = 4, GW_SESSION_ANIMALS_MAX = 200 };

/**
 * Append the sessions as a JSON array, newest first:
 * [{"from","to","animals","used","shift_pct","shift_low","shift_high","scale_shift","tare_grams","tare_share"}, ...].
 * The shift is null with fewer than three animals that count for it (a bowl not at zero sets animals aside), the bowl's
 * offset with fewer than two. Of an animal weighed twice the last weight counts.
 *
 * @param weighings  what scale_weighings.sql gives
 */
GW_MUST_CHECK gw_status gw_scale_sessions(const gw_rows *weighings, gw_buffer *out, gw_error *err);

#endif
