#include "animal/animal.h"

#include <string.h>

#include "animal/tag.h"
#include "base/number.h"
#include "db/db.h"
#include "gw_sql.h"
#include "http/request.h"

enum { SEARCH_MAX = 80 };

gw_status gw_animal_list(gw_request *rq, gw_reply *reply, gw_error *err)
{
    const char *home, *cursor;
    int64_t limit;
    gw_rows rows;
    char tag[GW_TAG_TEXT];
    const char *search = gw_request_query(rq, "q");
    gw_status status = gw_request_query_uuid(rq, "home", &home, err);
    if (!status) status = gw_request_query_uuid(rq, "cursor", &cursor, err);
    if (!status) status = gw_request_query_int(rq, "limit", 1, 200, 50, &limit, err);
    if (status) return status;
    if (search && strlen(search) > SEARCH_MAX)
        return gw_fail(err, GW_EINPUT, "q has %zu bytes, expected at most %d", strlen(search), SEARCH_MAX);
    if (search && !*search) search = NULL;

    const char *const params[] = {home, search, search && gw_tag_read(search, tag) ? tag : NULL, cursor,
                                  gw_text_of_int(rq->arena, limit)};
    status = gw_db_run(rq, &gw_q_animal_list, params, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}

gw_status gw_animal_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_animal_get, (const char *const[]){rq->path[0]}, &rows, err);
    if (status) return status;
    if (gw_rows_count(&rows) == 0) return gw_fail(err, GW_EUNKNOWN, "no such animal");
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}
