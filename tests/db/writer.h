/**
 * One write in a thread of its own, for the tests of group commit: an event of an animal, or a known normal.
 *
 * Apart from the tests because server and world of the tests both have a gw_call.
 */
#ifndef GW_TEST_WRITER_H
#define GW_TEST_WRITER_H

#include <pthread.h>
#include <stdbool.h>

#include "base/error.h"
#include "base/request.h"
#include "db/rows.h"

typedef struct writer {
    const char *token; /* bearer token of the person who writes */
    const char *id;    /* of what is written */
    const char *animal;
    const char *event; /* NULL: a known normal */
    const char *note;  /* may be NULL */
    int64_t limit_ms;  /* 0: ten seconds */

    /* What came of it; to be read after writer_end. */
    gw_status status;
    bool stored;
    char person[GW_UUID_TEXT]; /* as whom the database knew the writer */
    int64_t took_ms;

    gw_arena arena;
    gw_request rq;
    gw_error err;
    pthread_t thread;
} writer;

/* A pool for the database of the test's world. */
void pool_open(void);
void pool_close(void);
int pool_waiting(void); /* writes that wait for the next batch */

void writer_start(writer *w);
void writer_end(writer *w);
int writers_answered(void); /* since pool_open */

#endif
