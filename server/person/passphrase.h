/**
 * Passphrases: argon2id, one at a time.
 *
 * A hash costs some 40 ms and 19 MiB; two at once would take both cores from the checks. So one is worked out at a
 * time, a few wait for it, and whoever comes beyond that is told to try again (GW_EBUSY): for sign-in only.
 */
#ifndef GW_PERSON_PASSPHRASE_H
#define GW_PERSON_PASSPHRASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"

enum { GW_PASSPHRASE_HASH = 128, GW_PASSPHRASE_QUEUE = 16 };

/**
 * Hash a passphrase for keeping.
 *
 * @param bytes        [length] as typed; NULs count
 * @param deadline_ms  gw_monotonic_ms until which to wait for a turn
 * @param hash         [GW_PASSPHRASE_HASH] out, zero-padded text
 * @return GW_EBUSY when the queue is full, the time is up or there is no memory
 */
GW_MUST_CHECK gw_status gw_passphrase_hash(const char *bytes, size_t length, int64_t deadline_ms,
                                           char hash[GW_PASSPHRASE_HASH], gw_error *err);

/**
 * Compare a passphrase with a kept hash.
 *
 * @param hash   NULL when there is none: takes as long as a wrong one, so that time does not tell who has an account
 * @param right  out
 * @return GW_EBUSY as above; a wrong passphrase is GW_OK with *right = false
 */
GW_MUST_CHECK gw_status gw_passphrase_verify(const char *hash, const char *bytes, size_t length, int64_t deadline_ms,
                                             bool *right, gw_error *err);

/** What is too easy about a passphrase, in words; NULL: nothing. */
const char *gw_passphrase_weakness(const char *bytes, size_t length);

#endif
