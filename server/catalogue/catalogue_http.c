#include "catalogue/catalogue.h"

#include "db/db.h"
#include "gw_sql.h"

gw_status gw_catalogue_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    gw_rows rows;
    gw_status status = gw_db_run(rq, &gw_q_catalogue_get, NULL, &rows, err);
    if (status) return status;
    gw_reply_etag(reply, gw_rows_text(&rows, 0, 1));
    gw_reply_header(reply, "Cache-Control", "private, no-cache");
    return gw_reply_json_text(reply, 200, gw_rows_text(&rows, 0, 0), err);
}
