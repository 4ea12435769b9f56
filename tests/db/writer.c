#include "writer.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "base/time.h"
#include "base/token.h"
#include "db/commit.h"
#include "db/pool.h"
#include "gw_sql.h"

static gw_db *db;
static atomic_int answered;

void pool_open(void)
{
    gw_error err;
    gw_error_init(&err, NULL);
    cr_assert(eq(int, gw_db_open(getenv("GRAMWELL_DATABASE"), 4, &db, &err), GW_OK), "%s", err.message);
    atomic_store(&answered, 0);
}

void pool_close(void)
{
    gw_db_close(db);
}

int pool_waiting(void)
{
    return gw_committer_waiting(gw_pool_committer(db));
}

int writers_answered(void)
{
    return atomic_load(&answered);
}

static void *write_it(void *cls)
{
    writer *w = cls;
    gw_rows rows;
    const char *const event[] = {w->id, w->animal, w->event, "2026-01-05", NULL, w->note};
    const char *const normal[] = {w->id, w->animal, "matted", "slight", w->note, "false"};
    const gw_call call = w->event ? (gw_call){&gw_q_event_put, event} : (gw_call){&gw_q_known_normal_put, normal};
    int64_t began = gw_monotonic_ms();
    w->rq.deadline_ms = began + (w->limit_ms ? w->limit_ms : 10000);
    w->status = gw_db_commit_many(&w->rq, 1, &call, &rows, &w->err);
    w->took_ms = gw_monotonic_ms() - began;
    w->stored = !w->status && gw_rows_bool(&rows, 0, w->event ? 2 : 1);
    memcpy(w->person, w->rq.person, sizeof w->person);
    atomic_fetch_add(&answered, 1);
    return NULL;
}

void writer_start(writer *w)
{
    gw_arena_init(&w->arena);
    gw_error_init(&w->err, &w->arena);
    w->rq = (gw_request){.arena = &w->arena, .db = db, .role = GW_ROLE_VOLUNTEER};
    cr_assert(gw_token_hash(w->token, w->rq.token_hash));
    cr_assert(eq(int, pthread_create(&w->thread, NULL, write_it, w), 0));
}

void writer_end(writer *w)
{
    pthread_join(w->thread, NULL);
    gw_arena_finish(&w->arena);
}
