#include "http/description.h"

#include "http/route.h"

extern const char gw_openapi[]; /* made by the build */

gw_status gw_openapi_get(gw_request *rq, gw_reply *reply, gw_error *err)
{
    (void)rq;
    gw_reply_header(reply, "Cache-Control", "no-cache");
    return gw_reply_json_text(reply, 200, gw_openapi, err);
}

json_t *gw_routes_json(void)
{
    json_t *list = json_array();
    for (size_t i = 0; list && i < gw_n_routes; i++) {
        const gw_route *r = &gw_routes[i];
        json_t *query = json_array();
        for (size_t k = 0; k < GW_QUERY_MAX && r->query[k]; k++) json_array_append_new(query, json_string(r->query[k]));
        json_t *row = json_pack("{s:s, s:s, s:s, s:I, s:o}", "method", gw_method_name(r->method), "path", r->pattern,
                                "role", gw_role_name(r->role), "body_max", (json_int_t)r->body_max, "query", query);
        if (json_array_append_new(list, row)) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}
