#include "person/passphrase.h"

#include <errno.h>
#include <pthread.h>
#include <sodium.h>
#include <string.h>
#include <time.h>

#include "base/time.h"

/* Argon2id at 19 MiB, 2 passes, 1 lane: the minimum of OWASP's password storage sheet [read in a copy]. */
enum { PASSES = 2, MEMORY = 19 * 1024 * 1024, DISTINCT_MIN = 5 };

_Static_assert(GW_PASSPHRASE_HASH >= crypto_pwhash_STRBYTES, "libsodium reads this many bytes of a hash");

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static pthread_cond_t freed;
static pthread_once_t once = PTHREAD_ONCE_INIT;
static bool working;
static int waiting;
static char dummy[GW_PASSPHRASE_HASH]; /* made with the first turn; read and written only in a turn */

static void init_condition(void)
{
    pthread_condattr_t by_monotonic;
    pthread_condattr_init(&by_monotonic);
    pthread_condattr_setclock(&by_monotonic, CLOCK_MONOTONIC);
    pthread_cond_init(&freed, &by_monotonic);
    pthread_condattr_destroy(&by_monotonic);
}

static gw_status take_turn(int64_t deadline_ms, gw_error *err)
{
    struct timespec until = {.tv_sec = deadline_ms / 1000, .tv_nsec = deadline_ms % 1000 * 1000000};
    int waited = 0;
    pthread_once(&once, init_condition);
    pthread_mutex_lock(&lock);
    bool full = working && waiting >= GW_PASSPHRASE_QUEUE;
    if (!full) waiting++;
    while (!full && working && waited == 0) waited = pthread_cond_timedwait(&freed, &lock, &until);
    if (!full) waiting--;
    bool ours = !full && !working;
    if (ours) working = true;
    pthread_mutex_unlock(&lock);
    return ours ? GW_OK : gw_fail(err, GW_EBUSY, "many people are signing in at the moment");
}

static void end_turn(void)
{
    pthread_mutex_lock(&lock);
    working = false;
    pthread_cond_signal(&freed);
    pthread_mutex_unlock(&lock);
}

static gw_status hash_now(const char *bytes, size_t length, char hash[GW_PASSPHRASE_HASH], gw_error *err)
{
    memset(hash, 0, GW_PASSPHRASE_HASH);
    if (crypto_pwhash_str_alg(hash, bytes, length, PASSES, MEMORY, crypto_pwhash_ALG_ARGON2ID13) == 0) return GW_OK;
    return gw_fail(err, GW_EBUSY, "no memory for signing in at the moment");
}

gw_status gw_passphrase_hash(const char *bytes, size_t length, int64_t deadline_ms, char hash[GW_PASSPHRASE_HASH],
                             gw_error *err)
{
    gw_status status = take_turn(deadline_ms, err);
    if (status) return status;
    status = hash_now(bytes, length, hash, err);
    end_turn();
    return status;
}

/* libsodium answers -1 for a mismatch (errno EINVAL) and for want of memory alike; the second must not read as "wrong".
 */
static gw_status verify_now(const char hash[GW_PASSPHRASE_HASH], const char *bytes, size_t length, bool *right,
                            gw_error *err)
{
    errno = 0;
    *right = crypto_pwhash_str_verify(hash, bytes, length) == 0;
    if (*right || errno == EINVAL) return GW_OK;
    return gw_fail(err, GW_EBUSY, "no memory for signing in at the moment");
}

gw_status gw_passphrase_verify(const char *hash, const char *bytes, size_t length, int64_t deadline_ms, bool *right,
                               gw_error *err)
{
    char padded[GW_PASSPHRASE_HASH] = {0};
    bool known = hash && strlen(hash) < sizeof padded;
    if (known) memcpy(padded, hash, strlen(hash));
    *right = false;
    gw_status status = take_turn(deadline_ms, err);
    if (status) return status;
    if (!known && !dummy[0]) status = hash_now("nobody has this passphrase", 26, dummy, err);
    if (!status) status = verify_now(known ? padded : dummy, bytes, length, right, err);
    end_turn();
    if (!known) *right = false;
    return status;
}

const char *gw_passphrase_weakness(const char *bytes, size_t length)
{
    bool seen[256] = {false};
    int distinct = 0;
    for (size_t i = 0; i < length; i++) {
        distinct += !seen[(unsigned char)bytes[i]];
        seen[(unsigned char)bytes[i]] = true;
    }
    return distinct < DISTINCT_MIN ? "repeats the same few characters" : NULL;
}
