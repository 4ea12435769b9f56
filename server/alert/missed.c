#include "alert/missed.h"

#include <pthread.h>
#include <stdbool.h>
#include <stdlib.h>
#include <time.h>

#include "base/log.h"
#include "base/number.h"
#include "base/request.h"
#include "base/time.h"
#include "db/db.h"
#include "gw_sql.h"

struct gw_missed {
    struct gw_db *db;
    pthread_t thread;
    pthread_mutex_t mutex;
    pthread_cond_t changed;
    bool stopping;
};

enum { RUN_DEADLINE_MS = 8000 };

static void look(gw_missed *clock)
{
    gw_arena arena;
    gw_error err;
    gw_arena_init(&arena);
    gw_error_init(&err, &arena);
    gw_request rq = {
        .arena = &arena, .db = clock->db, .deadline_ms = gw_monotonic_ms() + RUN_DEADLINE_MS, .role = GW_ROLE_ANY};
    const char *const params[] = {gw_text_of_int(&arena, GW_MISSED_GRACE_DAYS)};
    if (gw_db_run_unsigned(&rq, &gw_q_alert_missed, params, NULL, &err))
        gw_log(GW_LOG_WARN, "missed_checks", "status=%d", (int)err.status);
    gw_arena_finish(&arena);
}

static void *run(void *arg)
{
    gw_missed *clock = arg;
    pthread_mutex_lock(&clock->mutex);
    while (!clock->stopping) {
        struct timespec next;
        pthread_mutex_unlock(&clock->mutex);
        look(clock);
        clock_gettime(CLOCK_MONOTONIC, &next);
        next.tv_sec += GW_MISSED_EVERY_S;
        pthread_mutex_lock(&clock->mutex);
        while (!clock->stopping && !pthread_cond_timedwait(&clock->changed, &clock->mutex, &next)) continue;
    }
    pthread_mutex_unlock(&clock->mutex);
    return NULL;
}

gw_status gw_missed_start(struct gw_db *db, gw_missed **out, gw_error *err)
{
    gw_missed *clock = calloc(1, sizeof *clock);
    pthread_condattr_t monotonic;
    *out = NULL;
    if (!clock) return gw_fail(err, GW_EINTERNAL, "out of memory");
    clock->db = db;
    pthread_mutex_init(&clock->mutex, NULL);
    pthread_condattr_init(&monotonic);
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    pthread_cond_init(&clock->changed, &monotonic);
    pthread_condattr_destroy(&monotonic);
    if (pthread_create(&clock->thread, NULL, run, clock)) {
        pthread_cond_destroy(&clock->changed);
        pthread_mutex_destroy(&clock->mutex);
        free(clock);
        return gw_fail(err, GW_EINTERNAL, "a thread could not be started");
    }
    *out = clock;
    return GW_OK;
}

void gw_missed_stop(gw_missed *clock)
{
    if (!clock) return;
    pthread_mutex_lock(&clock->mutex);
    clock->stopping = true;
    pthread_cond_signal(&clock->changed);
    pthread_mutex_unlock(&clock->mutex);
    pthread_join(clock->thread, NULL);
    pthread_cond_destroy(&clock->changed);
    pthread_mutex_destroy(&clock->mutex);
    free(clock);
}
