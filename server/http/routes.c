/*
 * Every address the server has. One row is one promise: method, pattern, role, largest body (0: none), handler, and the
 * query names it takes. DEVELOPERS.md tells how to add one.
 */
#include "alert/alert.h"
#include "animal/animal.h"
#include "arrival/arrival.h"
#include "catalogue/catalogue.h"
#include "check/check.h"
#include "home/home.h"
#include "http/description.h"
#include "http/health.h"
#include "http/route.h"
#include "person/person.h"
#include "round/round.h"
#include "scale/scale.h"

enum { SMALL = 8 * 1024, LARGE = 64 * 1024 };

const gw_route gw_routes[] = {
    {GW_GET, "/healthz", GW_ROLE_ANY, 0, gw_healthz_get, {0}},
    {GW_GET, "/readyz", GW_ROLE_ANY, 0, gw_readyz_get, {0}},

    {GW_GET, "/api/v1/openapi.json", GW_ROLE_ANY, 0, gw_openapi_get, {0}},

    {GW_POST, "/api/v1/session", GW_ROLE_ANY, SMALL, gw_session_post, {0}},
    {GW_DELETE, "/api/v1/session", GW_ROLE_VOLUNTEER, 0, gw_session_delete, {0}},
    {GW_GET, "/api/v1/me", GW_ROLE_VOLUNTEER, 0, gw_me_get, {0}},
    {GW_GET, "/api/v1/invitations/{token}", GW_ROLE_ANY, 0, gw_invitation_get, {0}},
    {GW_POST, "/api/v1/invitations/{token}", GW_ROLE_ANY, SMALL, gw_invitation_post, {0}},
    {GW_GET, "/api/v1/people", GW_ROLE_COORDINATOR, 0, gw_people_get, {0}},
    {GW_POST, "/api/v1/people", GW_ROLE_COORDINATOR, SMALL, gw_people_post, {0}},

    {GW_GET, "/api/v1/catalogue", GW_ROLE_VOLUNTEER, 0, gw_catalogue_get, {0}},
    {GW_GET, "/api/v1/round", GW_ROLE_VOLUNTEER, 0, gw_round_get, {"at"}},

    {GW_GET, "/api/v1/homes", GW_ROLE_VOLUNTEER, 0, gw_home_list, {"cursor", "limit"}},
    {GW_GET, "/api/v1/homes/{home}", GW_ROLE_VOLUNTEER, 0, gw_home_get, {0}},
    {GW_PUT, "/api/v1/homes/{home}", GW_ROLE_COORDINATOR, SMALL, gw_home_put, {0}},
    {GW_GET, "/api/v1/homes/{home}/findings", GW_ROLE_VOLUNTEER, 0, gw_home_findings, {"weeks"}},
    {GW_PUT, "/api/v1/homes/{home}/pens/{pen}", GW_ROLE_INTAKE, SMALL, gw_pen_put, {0}},
    {GW_PUT, "/api/v1/homes/{home}/people/{person}", GW_ROLE_COORDINATOR, SMALL, gw_home_person_put, {0}},

    {GW_GET, "/api/v1/scales", GW_ROLE_VOLUNTEER, 0, gw_scale_list, {"home", "cursor", "limit"}},
    {GW_GET, "/api/v1/scales/{scale}", GW_ROLE_VOLUNTEER, 0, gw_scale_get, {0}},
    {GW_PUT, "/api/v1/scales/{scale}", GW_ROLE_INTAKE, SMALL, gw_scale_put, {0}},
    {GW_PUT, "/api/v1/scale-tests/{test}", GW_ROLE_VOLUNTEER, SMALL, gw_scale_test_put, {0}},

    {GW_PUT, "/api/v1/arrivals/{arrival}", GW_ROLE_INTAKE, LARGE, gw_arrival_put, {0}},

    {GW_GET, "/api/v1/animals", GW_ROLE_VOLUNTEER, 0, gw_animal_list, {"home", "q", "cursor", "limit"}},
    {GW_GET, "/api/v1/animals/{animal}", GW_ROLE_VOLUNTEER, 0, gw_animal_get, {0}},
    {GW_GET, "/api/v1/animals/{animal}/history", GW_ROLE_VOLUNTEER, 0, gw_check_history, {"limit"}},
    {GW_PUT, "/api/v1/animals/{animal}/known-normals/{id}", GW_ROLE_VOLUNTEER, SMALL, gw_known_normal_put, {0}},
    {GW_PUT, "/api/v1/animals/{animal}/events/{id}", GW_ROLE_VOLUNTEER, SMALL, gw_event_put, {0}},

    {GW_PUT, "/api/v1/checks/{check}", GW_ROLE_VOLUNTEER, LARGE, gw_check_put, {0}},
    {GW_GET, "/api/v1/checks/{check}", GW_ROLE_VOLUNTEER, 0, gw_check_get, {0}},

    {GW_GET, "/api/v1/alerts", GW_ROLE_VOLUNTEER, 0, gw_alert_list, {"state", "animal", "home", "limit", "cursor"}},
    {GW_GET, "/api/v1/alerts/{alert}", GW_ROLE_VOLUNTEER, 0, gw_alert_get, {0}},
    {GW_POST, "/api/v1/alerts/{alert}/steps", GW_ROLE_COORDINATOR, SMALL, gw_alert_step_post, {0}},
};
const size_t gw_n_routes = sizeof gw_routes / sizeof *gw_routes;
