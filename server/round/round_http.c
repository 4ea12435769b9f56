#include "round/round.h"

#include "db/db.h"
#include "gw_sql.h"
#include "http/request.h"

gw_status gw_round_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_instant at;
    gw_rows rows;
    gw_status status = gw_request_query_instant(rq, "at", &at, err);
    if (status) return status;
    status = gw_db_run(rq, &gw_q_round_get, (const char *const[]){at.text}, &rows, err);
    if (status) return status;
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}
