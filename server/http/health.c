#include "http/health.h"

#include <stdatomic.h>

#include "db/db.h"

enum { READY_LIMIT_MS = 2000 };

static _Atomic bool is_stopping;

void gw_health_set_stopping(bool stopping)
{
    atomic_store(&is_stopping, stopping);
}

bool gw_health_stopping(void)
{
    return atomic_load(&is_stopping);
}

gw_status gw_healthz_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    (void)rq;
    return gw_reply_json_text(reply, 200, "{\"status\":\"ok\"}", err);
}

gw_status gw_readyz_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    if (gw_health_stopping()) return gw_fail(err, GW_EBUSY, "the server is stopping");
    if (!gw_db_ready(rq->db, READY_LIMIT_MS))
        return gw_fail(err, GW_EBUSY, "the database does not answer, or its schema is not the one of this program");
    return gw_reply_json_text(reply, 200, "{\"status\":\"ready\"}", err);
}
