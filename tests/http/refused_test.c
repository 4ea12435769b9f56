/*
 * Bad input to every route, worked out from the route table and the described bodies: each gets its problem document
 * and changes nothing. Starting from a body that is accepted, one thing is made wrong at a time: a member missing, of
 * another type, too long, outside its range, unknown. Afterwards the unspoilt body is accepted, so it was that one
 * thing.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/world.h"
#include "support/world_private.h"

/* A request that is accepted, for each route with a body. The path is below /api/v1. */
typedef struct {
    const char *pattern, *method, *path, *body, *if_match;
    gw_who who;
    int accepted; /* status of the unspoilt request */
} target;

enum { TARGETS_MAX = 24 };

static const char *invitation_of(const char *email)
{
    gw_answer a =
        gw_do(ANN_COORDINATOR, "POST", "/people", gw_json("{'name':'New','email':'%s','role':'volunteer'}", email));
    cr_assert(eq(int, a.status, 201));
    return gw_text("%s", gw_at(&a, "/token"));
}

/* An alert to add steps to: an animal that a finding of the level emergency was seen on. */
static const char *alert_of(const char *animal)
{
    const char *sign = gw_sql("select code from gw.sign where level = 'emergency' and region = 'behaviour' and "
                              "(species is null or 'guinea_pig' = any (species)) order by position limit 1");
    gw_answer a =
        gw_do(VERA_OF_A, "PUT", gw_text("/checks/%s", gw_id()),
              gw_json("{'animal':'%s','home':'%s','kind':'extra','at':'%s','answers':{'behaviour':'findings'},"
                      "'findings':[{'sign':'%s','grade':'marked'}],'weighing':null}",
                      animal, gw_home_a(), gw_days_ago(0.01), sign));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    cr_assert(eq(int, !!(gw_count_at(&a, "/alerts") > 0), 1), "%s", a.text);
    return gw_text("%s", gw_at(&a, "/alerts/0/id"));
}

static const char *new_chip(void)
{
    return gw_sql("select '27609' || lpad((random() * 999999999)::int::text, 10, '0')");
}

static const char *arrival_body(void)
{
    return gw_json(
        "{'kind':'surrender','at':'%s','from':'a shop','note':'two of three','home':'%s','pen':'%s',"
        "'animal':{'id':'%s','name':'Nib','species':'guinea_pig','sex':'male','neutered':true,'birth':'2025-02-01',"
        "'birth_precision':'month','stage':'adult','coat':'short','markings':'white blaze','chip':'%s',"
        "'note':'shy'},'baseline':{'id':'%s','at':'%s','minutes':6,'answers':%s,'findings':[],"
        "'weighing':{'scale':'%s','readings':[950,951],'zeroed':true,'confirmed':false},'note':'calm'}}",
        gw_days_ago(1), gw_home_a(), gw_pen_a(), gw_id(), new_chip(), gw_id(), gw_days_ago(1), gw_all_as_usual,
        gw_scale_a());
}

static const char *check_body(const char *animal)
{
    return gw_json("{'animal':'%s','home':'%s','kind':'weekly','at':'%s','minutes':4,'answers':%s,'findings':[],"
                   "'weighing':{'scale':'%s','readings':[948.5],'zeroed':true,'confirmed':false},'note':'calm'}",
                   animal, gw_home_a(), gw_days_ago(0.005), gw_all_as_usual, gw_scale_a());
}

static size_t make_targets(target t[])
{
    const char *animal = gw_new_animal((gw_animal_wish){.grams = 940, .days_ago = 3});
    const char *sign = gw_sql("select code from gw.sign where usual and (species is null or 'guinea_pig' = any "
                              "(species)) order by position limit 1");
    const char *home = gw_text("/homes/%s", gw_id());
    const char *alert = alert_of(animal);
    gw_answer seen = gw_do(ANN_COORDINATOR, "GET", gw_text("/alerts/%s", alert), NULL);
    const target all[] = {
        {"/api/v1/session", "POST", "/session",
         gw_json("{'email':'%s','passphrase':'%s','bearer':true}", gw_email(VERA_OF_A), GW_PASSPHRASE), NULL, NOBODY,
         201},
        {"/api/v1/invitations/{token}", "POST",
         gw_text("/invitations/%s", invitation_of(gw_text("%s@test.invalid", gw_id()))),
         gw_json("{'passphrase':'%s'}", GW_PASSPHRASE), NULL, NOBODY, 201},
        {"/api/v1/people", "POST", "/people",
         gw_json("{'name':'Una','email':'%s@test.invalid','role':'volunteer'}", gw_id()), NULL, ANN_COORDINATOR, 201},
        {"/api/v1/homes/{home}", "PUT", home,
         gw_json("{'name':'Home %s','kind':'room','zone':'Europe/Berlin','note':'upstairs'}", gw_id()), NULL,
         ANN_COORDINATOR, 201},
        {"/api/v1/homes/{home}/pens/{pen}", "PUT", gw_text("/homes/%s/pens/%s", gw_home_a(), gw_id()),
         gw_json("{'name':'%s'}", gw_id()), NULL, IDA_INTAKE, 201},
        {"/api/v1/homes/{home}/people/{person}", "PUT",
         gw_text("/homes/%s/people/%s", gw_home_a(), gw_person(IDA_INTAKE)),
         gw_json("{'from':'%s','to':'%s'}", gw_days_ago(9), gw_days_ago(8)), NULL, ANN_COORDINATOR, 201},
        {"/api/v1/scales/{scale}", "PUT", gw_text("/scales/%s", gw_id()),
         gw_json("{'home':'%s','name':'%s','step':0.5,'capacity':3000}", gw_home_a(), gw_id()), NULL, IDA_INTAKE, 201},
        {"/api/v1/scale-tests/{test}", "PUT", gw_text("/scale-tests/%s", gw_id()),
         gw_json("{'scale':'%s','at':'%s','mass':1000,'reading':1000.5}", gw_scale_a(), gw_days_ago(1)), NULL,
         VERA_OF_A, 201},
        {"/api/v1/arrivals/{arrival}", "PUT", gw_text("/arrivals/%s", gw_id()), arrival_body(), NULL, IDA_INTAKE, 201},
        {"/api/v1/animals/{animal}/known-normals/{id}", "PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()),
         gw_json("{'sign':'%s','up_to':'slight','said_by':'the vet','vet_confirmed':false}", sign), NULL, VERA_OF_A,
         201},
        {"/api/v1/animals/{animal}/events/{id}", "PUT", gw_text("/animals/%s/events/%s", animal, gw_id()),
         gw_json("{'event':'diet_change','from':'2026-03-01','to':'2026-03-09','note':'new hay'}"), NULL, VERA_OF_A,
         201},
        {"/api/v1/checks/{check}", "PUT", gw_text("/checks/%s", gw_id()), check_body(animal), NULL, VERA_OF_A, 201},
        {"/api/v1/alerts/{alert}/steps", "POST", gw_text("/alerts/%s/steps", alert),
         gw_json("{'id':'%s','step':'note','note':'asked the carer','at':'%s','due':'%s'}", gw_id(), gw_days_ago(0.001),
                 gw_days_ago(-1)),
         gw_text("\"%s\"", gw_at(&seen, "/alert/version")), ANN_COORDINATOR, 201},
    };
    memcpy(t, all, sizeof all);
    return sizeof all / sizeof *all;
}

static json_t *route_table(void)
{
    FILE *program = popen(gw_text("'%s' routes", gw_server_program()), "r");
    json_t *table = program ? json_loadf(program, 0, NULL) : NULL;
    cr_assert(eq(int, program ? pclose(program) : -1, 0));
    return table;
}

static const char *string_at(const json_t *object, const char *name)
{
    return json_string_value(json_object_get(object, name));
}

static gw_answer try_body(const target *t, const char *body, size_t length)
{
    return gw_send((gw_ask){.who = t->who,
                            .method = t->method,
                            .path = t->path,
                            .body = body,
                            .body_length = length,
                            .if_match = t->if_match});
}

static void expect_problem(const gw_answer *a, int status, const char *what)
{
    cr_expect(eq(int, a->status, status), "%s\n%s", what, a->text);
    cr_expect(eq(int, !!(!strncmp(a->type, "application/problem+json", 24)), 1), "%s: %s", what, a->type);
    cr_expect(eq(int, !!(json_is_string(json_object_get(a->json, "title"))), 1), "%s", what);
}

/* ---- one thing wrong in the body ---- */

static json_t *resolve(json_t *schema)
{
    const char *ref = string_at(schema, "$ref");
    if (ref)
        return resolve(json_object_get(json_object_get(json_object_get(gw_description(), "components"), "schemas"),
                                       strrchr(ref, '/') + 1));
    json_t *choices = json_object_get(schema, "oneOf");
    return choices ? resolve(json_array_get(choices, 0)) : schema;
}

/* "string" of "string" and of ["string", "null"]. */
static const char *type_of(const json_t *schema)
{
    json_t *type = json_object_get(schema, "type");
    return json_string_value(json_is_array(type) ? json_array_get(type, 0) : type);
}

/* The body with the member at `pointer` put to `value`; value NULL takes it out. Takes value. */
static char *spoilt(const json_t *body, const char *pointer, json_t *value)
{
    json_t *copy = json_deep_copy(body), *at = copy;
    const char *part = pointer;
    for (;;) {
        size_t n = strcspn(part + 1, "/");
        const char *name = gw_text("%.*s", (int)n, part + 1);
        bool last = part[n + 1] == '\0';
        if (json_is_array(at)) {
            size_t i = (size_t)(*name - '0');
            if (last) {
                json_array_set_new(at, i, value);
                break;
            }
            at = json_array_get(at, i);
        } else {
            if (last) {
                if (value)
                    json_object_set_new(at, name, value);
                else
                    json_object_del(at, name);
                break;
            }
            at = json_object_get(at, name);
        }
        part += n + 1;
    }
    char *text = json_dumps(copy, JSON_COMPACT);
    json_decref(copy);
    return text;
}

static void try_spoilt(const target *t, const json_t *body, const char *pointer, json_t *value, const char *what)
{
    char *text = spoilt(body, pointer, value);
    gw_answer a = try_body(t, text, 0);
    expect_problem(&a, 422, gw_text("%s %s: %s %s", t->method, t->pattern, pointer, what));
    cr_expect(eq(int, !!(gw_has_fault(&a, pointer)), 1), "%s %s: %s %s: no fault there\n%s", t->method, t->pattern,
              pointer, what, a.text);
    free(text);
}

static json_t *of_another_type(const char *type)
{
    if (!strcmp(type, "string")) return json_integer(7);
    if (!strcmp(type, "object") || !strcmp(type, "array")) return json_string("x");
    return json_string("12");
}

static json_t *long_text(json_int_t length)
{
    char *text = malloc((size_t)length + 2);
    memset(text, 'a', (size_t)length + 1);
    text[length + 1] = '\0';
    json_t *value = json_string(text);
    free(text);
    return value;
}

static void try_value(const target *t, const json_t *body, const char *pointer, json_t *schema)
{
    const char *type = type_of(schema), *format = string_at(schema, "format");
    json_t *most = json_object_get(schema, "maxLength");
    json_t *minimum = json_object_get(schema, "minimum"), *maximum = json_object_get(schema, "maximum");
    try_spoilt(t, body, pointer, of_another_type(type), "of another type");
    if (most) try_spoilt(t, body, pointer, long_text(json_integer_value(most)), "too long");
    if (json_object_get(schema, "enum")) try_spoilt(t, body, pointer, json_string("no_such_word"), "an unknown word");
    bool secret = format && !strcmp(format, "password"); /* taken byte for byte: only its length counts */
    if (format && !secret) try_spoilt(t, body, pointer, json_string("tomorrow"), "without its form");
    if (minimum) try_spoilt(t, body, pointer, json_real(json_number_value(minimum) - 1), "too small");
    if (maximum) try_spoilt(t, body, pointer, json_real(json_number_value(maximum) + 1), "too large");
    if (!strcmp(type, "string") && !secret) try_spoilt(t, body, pointer, json_string("\a"), "a control character");
}

static void try_members(const target *t, const json_t *body, const json_t *at, const char *where, json_t *schema);

static void try_member(const target *t, const json_t *body, const json_t *value, const char *pointer, json_t *schema)
{
    size_t i;
    json_t *element;
    try_value(t, body, pointer, schema);
    if (json_is_object(value)) try_members(t, body, value, pointer, schema);
    json_array_foreach(value, i, element)
        try_member(t, body, element, gw_text("%s/%zu", pointer, i), resolve(json_object_get(schema, "items")));
}

static bool is_required(const json_t *schema, const char *name)
{
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(schema, "required"), i,
                       one) if (!strcmp(json_string_value(one), name)) return true;
    return false;
}

static void try_members(const target *t, const json_t *body, const json_t *at, const char *where, json_t *schema)
{
    const char *name;
    json_t *property;
    try_spoilt(t, body, gw_text("%s/no_such_member", where), json_true(), "is unknown");
    json_object_foreach(json_object_get(schema, "properties"), name, property)
    {
        const char *pointer = gw_text("%s/%s", where, name);
        const json_t *value = json_object_get(at, name); /* NULL: optional, and not in the accepted body */
        if (is_required(schema, name)) try_spoilt(t, body, pointer, NULL, "is missing");
        try_member(t, body, value, pointer, resolve(property));
    }
}

static json_t *schema_of(const target *t)
{
    json_t *item = json_object_get(json_object_get(gw_description(), "paths"), t->pattern);
    json_t *operation = json_object_get(item, !strcmp(t->method, "PUT") ? "put" : "post");
    json_t *content = json_object_get(json_object_get(operation, "requestBody"), "content");
    return resolve(json_object_get(json_object_get(content, "application/json"), "schema"));
}

Test(refused, a_body_with_one_wrong_member_changes_nothing_and_names_it, .timeout = 240)
{
    target t[TARGETS_MAX];
    size_t n = make_targets(t);
    for (size_t i = 0; i < n; i++) {
        json_t *body = json_loads(t[i].body, 0, NULL);
        cr_assert(eq(int, !!(body != NULL), 1), "%s", t[i].body);
        const char *before = gw_everything();
        try_members(&t[i], body, body, "", schema_of(&t[i]));
        cr_expect(eq(str, (char *)gw_everything(), (char *)before), "%s %s changed something", t[i].method,
                  t[i].pattern);
        gw_answer a = try_body(&t[i], t[i].body, 0);
        cr_expect(eq(int, a.status, t[i].accepted), "%s %s: the unspoilt body\n%s", t[i].method, t[i].pattern, a.text);
        json_decref(body);
    }
}

/* ---- what is no body at all ---- */

typedef struct {
    const char *what, *body;
    size_t length;
    int status;
} unreadable;

static void try_unreadable(const target *t)
{
    static const unreadable bodies[] = {
        {"empty", " ", 1, 400},
        {"cut off", "{\"name\":\"x\"", 0, 400},
        {"two values", "{} {}", 0, 400},
        {"a comma too much", "{\"name\":\"x\",}", 0, 400},
        {"not UTF-8", "{\"name\":\"\xff\xfe\"}", 0, 400},
        {"an overlong form of UTF-8", "{\"name\":\"\xc0\xaf\"}", 0, 400},
        {"half a pair of surrogates", "{\"name\":\"\\ud800\"}", 0, 400},
        {"a NUL character", "{\"name\":\"\\u0000\"}", 0, 400},
        {"a NUL byte", "{\"name\":\"a\0b\"}", 14, 400},
        {"a name twice", "{\"name\":\"x\",\"name\":\"y\"}", 0, 400},
        {"NaN", "{\"name\":NaN}", 0, 400},
        {"too deep", "{\"a\":[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]}", 0,
         400},
        {"an array", "[]", 0, 422},
        {"a text", "\"x\"", 0, 422},
        {"null", "null", 0, 422},
    };
    for (size_t i = 0; i < sizeof bodies / sizeof *bodies; i++) {
        gw_answer a = try_body(t, bodies[i].body, bodies[i].length);
        expect_problem(&a, bodies[i].status, gw_text("%s %s: %s", t->method, t->pattern, bodies[i].what));
    }
}

static void try_content_types(const target *t)
{
    static const char *const types[] = {"", "text/plain", "application/x-www-form-urlencoded", "application/jsonp",
                                        "application/json; charset=latin1"};
    for (size_t i = 0; i < sizeof types / sizeof *types; i++) {
        gw_answer a = gw_send((gw_ask){.who = t->who,
                                       .method = t->method,
                                       .path = t->path,
                                       .body = t->body,
                                       .type = types[i],
                                       .if_match = t->if_match});
        expect_problem(&a, 415, gw_text("%s %s as '%s'", t->method, t->pattern, types[i]));
    }
    gw_answer a = gw_send((gw_ask){.who = t->who,
                                   .method = t->method,
                                   .path = t->path,
                                   .body = t->body,
                                   .header = "Content-Encoding: gzip",
                                   .if_match = t->if_match});
    expect_problem(&a, 415, gw_text("%s %s compressed", t->method, t->pattern));
}

static size_t body_max(const json_t *table, const target *t)
{
    size_t i;
    json_t *row;
    json_array_foreach(table, i, row)
    {
        if (!strcmp(string_at(row, "path"), t->pattern) && !strcmp(string_at(row, "method"), t->method))
            return (size_t)json_integer_value(json_object_get(row, "body_max"));
    }
    return 0;
}

/* A body that would be accepted but for the blanks behind it. */
static void try_too_large(const target *t, size_t max)
{
    size_t length = strlen(t->body);
    char *body = malloc(max + 1);
    cr_assert(eq(int, !!(max > length && body), 1));
    memcpy(body, t->body, length);
    memset(body + length, ' ', max + 1 - length);
    for (int chunked = 0; chunked < 2; chunked++) {
        gw_answer a = gw_send((gw_ask){.who = t->who,
                                       .method = t->method,
                                       .path = t->path,
                                       .body = body,
                                       .body_length = max + 1,
                                       .chunked = chunked,
                                       .if_match = t->if_match});
        expect_problem(&a, 413, gw_text("%s %s%s", t->method, t->pattern, chunked ? " in chunks" : ""));
    }
    free(body);
}

Test(refused, a_body_that_is_no_object_of_json_changes_nothing, .timeout = 240)
{
    target t[TARGETS_MAX];
    size_t i, with_body = 0, n = make_targets(t);
    json_t *row, *table = route_table();
    const char *before = gw_everything();
    for (i = 0; i < n; i++) {
        try_unreadable(&t[i]);
        try_content_types(&t[i]);
        try_too_large(&t[i], body_max(table, &t[i]));
    }
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    json_array_foreach(table, i, row) with_body += json_integer_value(json_object_get(row, "body_max")) > 0;
    cr_expect(eq(sz, n, with_body), "a route with a body is missing from this test's table");
    json_decref(table);
}

Test(refused, all_wrong_members_are_told_at_once)
{
    const char *before = gw_everything();
    gw_answer a =
        gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()),
              gw_json("{'kind':'found','at':'yesterday','home':'A','animal':{'id':7,'name':'','species':5,'sex':'f',"
                      "'birth':'2026-02-30','chip':'27627487790694A'},'baseline':{'id':'x','at':'x','answers':{},"
                      "'findings':[{'sign':1,'grade':'bad'}],'weighing':{'scale':1,'readings':[],'zeroed':1,'"
                      "confirmed':0}},'colour':1}"));
    static const char *const pointers[] = {"/kind",
                                           "/at",
                                           "/home",
                                           "/animal/id",
                                           "/animal/name",
                                           "/animal/species",
                                           "/animal/sex",
                                           "/animal/birth",
                                           "/animal/chip",
                                           "/baseline/id",
                                           "/baseline/at",
                                           "/baseline/answers/behaviour",
                                           "/baseline/answers/teeth",
                                           "/baseline/findings/0/sign",
                                           "/baseline/findings/0/grade",
                                           "/baseline/weighing/scale",
                                           "/baseline/weighing/readings",
                                           "/baseline/weighing/zeroed",
                                           "/baseline/weighing/confirmed",
                                           "/colour"};
    expect_problem(&a, 422, "arrival");
    for (size_t i = 0; i < sizeof pointers / sizeof *pointers; i++)
        cr_expect(eq(int, !!(gw_has_fault(&a, pointers[i])), 1), "%s", pointers[i]);
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
}

/* ---- address, method, session, role ---- */

/* A path for a pattern: ids that nobody has. */
static const char *unknown_path(const char *pattern)
{
    const char *path = "", *at = pattern;
    while (*at) {
        size_t n = strcspn(at, "{");
        path = gw_text("%s%.*s", path, (int)n, at);
        at += n;
        if (*at != '{') break;
        path = gw_text("%s%s", path, strncmp(at, "{token}", 7) ? gw_id() : "bm8tc3VjaC10b2tlbg");
        at = strchr(at, '}') + 1;
    }
    return !strncmp(path, "/api/v1", 7) ? path + 7 : gw_text("/%s", path);
}

static gw_answer ask(const json_t *row, gw_ask request)
{
    request.method = string_at(row, "method");
    if (!request.path) request.path = unknown_path(string_at(row, "path"));
    if (json_integer_value(json_object_get(row, "body_max")) > 0) request.body = "{}";
    return gw_send(request);
}

static const char *name_of(const json_t *row)
{
    return gw_text("%s %s", string_at(row, "method"), string_at(row, "path"));
}

static bool needs_role(const json_t *row, const char *role)
{
    return !strcmp(string_at(row, "role"), role);
}

Test(refused, nothing_is_answered_without_a_living_session)
{
    size_t i, tried = 0;
    json_t *row, *table = route_table();
    gw_answer own =
        gw_do(NOBODY, "POST", "/session",
              gw_json("{'email':'%s','passphrase':'%s','bearer':true}", gw_email(ANN_COORDINATOR), GW_PASSPHRASE));
    cr_assert(eq(int, own.status, 201));
    const char *token = gw_text("%s", gw_at(&own, "/token"));
    gw_answer alive = gw_send((gw_ask){.method = "GET", .path = "/me", .token = token});
    cr_assert(eq(int, alive.status, 200));
    gw_sql("update gw.session set expires_at = now() - interval '1 second' where created_at = (select max(created_at) "
           "from gw.session)");
    const char *before = gw_everything();
    json_array_foreach(table, i, row)
    {
        if (needs_role(row, "any")) continue;
        gw_answer none = ask(row, (gw_ask){0}), ended = ask(row, (gw_ask){.token = token}),
                  odd = ask(row, (gw_ask){.token = "not-a-token"});
        expect_problem(&none, 401, name_of(row));
        expect_problem(&ended, 401, name_of(row));
        expect_problem(&odd, 401, name_of(row));
        cr_expect(eq(
            int,
            !!(strstr(none.headers, "WWW-Authenticate: Bearer") && strstr(ended.headers, "WWW-Authenticate: Bearer")),
            1));
        tried++;
    }
    cr_expect(eq(int, !!(tried > 20), 1));
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    json_decref(table);
}

Test(refused, a_role_that_is_too_low_gets_403)
{
    size_t i, tried = 0;
    json_t *row, *table = route_table();
    const char *before = gw_everything();
    target t[TARGETS_MAX];
    size_t n = 0;
    json_array_foreach(table, i, row)
    {
        if (!needs_role(row, "intake") && !needs_role(row, "coordinator")) continue;
        if (!strcmp(string_at(row, "method"), "GET")) {
            gw_answer a = ask(row, (gw_ask){.who = VERA_OF_A});
            expect_problem(&a, 403, name_of(row));
        }
        tried++;
    }
    cr_expect(eq(int, !!(tried > 5), 1));
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    n = make_targets(t);
    before = gw_everything();
    for (size_t k = 0; k < n; k++) {
        if (t[k].who == NOBODY || t[k].who == VERA_OF_A) continue;
        t[k].who = VERA_OF_A;
        gw_answer a = try_body(&t[k], t[k].body, 0);
        expect_problem(&a, 403, gw_text("%s %s", t[k].method, t[k].pattern));
        if (!strcmp(t[k].pattern, "/api/v1/homes/{home}") || !strcmp(t[k].pattern, "/api/v1/people")) {
            t[k].who = IDA_INTAKE;
            a = try_body(&t[k], t[k].body, 0);
            expect_problem(&a, 403, gw_text("%s %s by intake", t[k].method, t[k].pattern));
        }
    }
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    json_decref(table);
}

Test(refused, another_method_gets_405_with_those_that_are_allowed)
{
    static const char *const methods[] = {"GET", "PUT", "POST", "DELETE", "PATCH", "OPTIONS"};
    size_t i, k;
    json_t *row, *other, *table = route_table();
    const char *before = gw_everything();
    json_array_foreach(table, i, row)
    {
        const char *taken = " ";
        json_array_foreach(table, k, other) if (!strcmp(string_at(other, "path"), string_at(row, "path"))) taken =
            gw_text("%s%s ", taken, string_at(other, "method"));
        for (size_t m = 0; m < sizeof methods / sizeof *methods; m++) {
            if (strstr(taken, gw_text(" %s ", methods[m]))) continue;
            gw_answer a = gw_send(
                (gw_ask){.who = ANN_COORDINATOR, .method = methods[m], .path = unknown_path(string_at(row, "path"))});
            expect_problem(&a, 405, gw_text("%s %s", methods[m], string_at(row, "path")));
            cr_expect(
                eq(int, !!(strstr(a.headers, gw_text("Allow: ")) && strstr(a.headers, string_at(row, "method"))), 1),
                "%s", a.headers);
        }
        gw_answer a =
            gw_send((gw_ask){.who = ANN_COORDINATOR, .method = "BREW", .path = unknown_path(string_at(row, "path"))});
        cr_expect(eq(int, a.status, 501));
    }
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    json_decref(table);
}

Test(refused, a_query_that_is_not_taken_gets_a_problem)
{
    size_t i, tried = 0;
    json_t *row, *table = route_table();
    json_array_foreach(table, i, row)
    {
        if (strcmp(string_at(row, "method"), "GET") || strchr(string_at(row, "path"), '{')) continue;
        gw_answer a = ask(row, (gw_ask){.who = ANN_COORDINATOR,
                                        .path = gw_text("%s?no_such_name=1", unknown_path(string_at(row, "path")))});
        cr_expect(eq(int, !!(a.status == 400 || a.status == 422), 1), "%s: %d", name_of(row), a.status);
        tried++;
    }
    cr_expect(eq(int, !!(tried > 8), 1));
    static const char *const wrong[] = {
        "/animals?limit=0",    "/animals?limit=201",       "/animals?limit=ten", "/animals?home=A",
        "/animals?cursor=9",   "/homes?limit=1001",        "/homes?cursor=x",    "/scales?home=x",
        "/round?at=yesterday", "/alerts?state=old",        "/alerts?limit=-1",   "/alerts?animal=x",
        "/alerts?cursor=x",    "/animals?limit=5&limit=6", "/animals?q=%ff",     "/animals?q=%00"};
    for (i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        gw_answer a = gw_do(ANN_COORDINATOR, "GET", wrong[i], NULL);
        cr_expect(eq(int, !!(a.status == 400 || a.status == 422), 1), "%s: %d", wrong[i], a.status);
        cr_expect(eq(int, !!(strstr(a.type, "application/problem+json") != NULL), 1), "%s", wrong[i]);
    }
    gw_answer a = gw_do(ANN_COORDINATOR, "GET", gw_text("/animals?q=%0*d", 81, 0), NULL);
    cr_expect(eq(int, a.status, 422));
    a = gw_do(ANN_COORDINATOR, "GET", gw_text("/homes/%s/findings?weeks=54", gw_home_a()), NULL);
    cr_expect(eq(int, a.status, 422));
    a = gw_do(VERA_OF_A, "GET", gw_text("/animals/%s/history?limit=521", gw_id()), NULL);
    cr_expect(eq(int, a.status, 422));
    json_decref(table);
}

Test(refused, an_id_without_the_form_of_one_leads_nowhere)
{
    size_t i;
    json_t *row, *table = route_table();
    static const char *const odd[] = {"7",
                                      "0197aaaa-0000-7000-8000-00000000000",
                                      "0197aaaa-0000-7000-8000-00000000000g",
                                      "00000000-0000-0000-0000-000000000000",
                                      "..",
                                      "%2e%2e"};
    json_array_foreach(table, i, row)
    {
        const char *at = strchr(string_at(row, "path"), '{');
        if (!at || !strncmp(at, "{token}", 7)) continue;
        for (size_t k = 0; k < sizeof odd / sizeof *odd; k++) {
            const char *path = gw_text("%.*s%s%s", (int)(at - string_at(row, "path")) - 7, string_at(row, "path") + 7,
                                       odd[k], unknown_path(strchr(at, '}') + 1) + 1);
            gw_answer a = ask(row, (gw_ask){.who = ANN_COORDINATOR, .path = path});
            cr_expect(eq(int, !!(a.status == 404 || a.status == 400 || a.status == 405), 1), "%s: %d", path, a.status);
        }
    }
    json_decref(table);
}

/* ---- hidden is unknown ---- */

typedef struct {
    const char *method, *of_b, *unknown, *body_of_b, *body_unknown;
} pair;

/* The same answer to the last byte, but for the id itself. */
static void expect_same(const pair *p)
{
    gw_answer hidden = gw_do(VERA_OF_A, p->method, p->of_b, p->body_of_b);
    gw_answer unknown = gw_do(VERA_OF_A, p->method, p->unknown, p->body_unknown ? p->body_unknown : p->body_of_b);
    cr_expect(eq(int, !!(hidden.status == 404 || hidden.status == 422), 1), "%s %s: %d %s", p->method, p->of_b,
              hidden.status, hidden.text);
    cr_expect(eq(int, hidden.status, unknown.status), "%s %s", p->method, p->of_b);
    cr_expect(eq(str, (char *)hidden.text, (char *)unknown.text), "%s %s", p->method, p->of_b);
}

Test(refused, what_belongs_to_another_home_answers_like_what_does_not_exist)
{
    const char *animal = gw_new_animal(
        (gw_animal_wish){.home = gw_home_b(), .pen = gw_pen_b(), .scale = gw_scale_b(), .grams = 900, .days_ago = 3});
    const char *own = gw_new_animal((gw_animal_wish){.grams = 900, .days_ago = 3});
    const char *check = gw_id();
    const char *sign = gw_sql("select code from gw.sign where level = 'emergency' and region = 'behaviour' and "
                              "(species is null or 'guinea_pig' = any (species)) order by position limit 1");
    gw_answer a = gw_do(WILL_OF_B, "PUT", gw_text("/checks/%s", check),
                        gw_json("{'animal':'%s','home':'%s','kind':'extra','at':'%s','answers':{'behaviour':'"
                                "findings'},'findings':[{'sign':'%s','grade':'marked'}],'weighing':null}",
                                animal, gw_home_b(), gw_days_ago(0.01), sign));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    const char *alert = gw_text("%s", gw_at(&a, "/alerts/0/id")), *none = gw_id();
    const char *at = gw_days_ago(0.01);
    const char *usual = gw_sql("select code from gw.sign where usual and (species is null or 'guinea_pig' = any "
                               "(species)) order by position limit 1");
    const pair pairs[] = {
        {"GET", gw_text("/homes/%s", gw_home_b()), gw_text("/homes/%s", none), NULL, NULL},
        {"GET", gw_text("/homes/%s/findings", gw_home_b()), gw_text("/homes/%s/findings", none), NULL, NULL},
        {"GET", gw_text("/scales/%s", gw_scale_b()), gw_text("/scales/%s", none), NULL, NULL},
        {"GET", gw_text("/animals/%s", animal), gw_text("/animals/%s", none), NULL, NULL},
        {"GET", gw_text("/animals/%s/history", animal), gw_text("/animals/%s/history", none), NULL, NULL},
        {"GET", gw_text("/checks/%s", check), gw_text("/checks/%s", none), NULL, NULL},
        {"GET", gw_text("/alerts/%s", alert), gw_text("/alerts/%s", none), NULL, NULL},
        {"PUT", gw_text("/animals/%s/known-normals/%s", animal, gw_id()),
         gw_text("/animals/%s/known-normals/%s", none, gw_id()), gw_json("{'sign':'%s','up_to':'slight'}", usual),
         NULL},
        {"PUT", gw_text("/animals/%s/events/%s", animal, gw_id()), gw_text("/animals/%s/events/%s", none, gw_id()),
         gw_json("{'event':'surgery','from':'2026-03-01'}"), NULL},
        {"PUT", gw_text("/scale-tests/%s", gw_id()), gw_text("/scale-tests/%s", gw_id()),
         gw_json("{'scale':'%s','at':'%s','mass':500,'reading':500}", gw_scale_b(), at),
         gw_json("{'scale':'%s','at':'%s','mass':500,'reading':500}", none, at)},
        {"PUT", gw_text("/checks/%s", gw_id()), gw_text("/checks/%s", gw_id()), gw_weekly_body(animal, at, 0),
         gw_weekly_body(none, at, 0)},
        {"PUT", gw_text("/checks/%s", gw_id()), gw_text("/checks/%s", gw_id()),
         gw_json("{'animal':'%s','home':'%s','kind':'extra','at':'%s','answers':{},'findings':[],'weighing':null}", own,
                 gw_home_b(), at),
         gw_json("{'animal':'%s','home':'%s','kind':'extra','at':'%s','answers':{},'findings':[],'weighing':null}", own,
                 none, at)},
        {"PUT", gw_text("/checks/%s", gw_id()), gw_text("/checks/%s", gw_id()),
         gw_json("{'animal':'%s','home':'%s','kind':'weigh_only','at':'%s','answers':{},'findings':[],'weighing':{'"
                 "scale':'%s','readings':[900],'zeroed':true,'confirmed':false}}",
                 own, gw_home_a(), at, gw_scale_b()),
         gw_json("{'animal':'%s','home':'%s','kind':'weigh_only','at':'%s','answers':{},'findings':[],'weighing':{'"
                 "scale':'%s','readings':[900],'zeroed':true,'confirmed':false}}",
                 own, gw_home_a(), at, none)},
    };
    const char *before = gw_everything();
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) expect_same(&pairs[i]);
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    /* Lists show nothing of home B either. */
    static const char *const lists[] = {"/homes", "/scales", "/animals?limit=200", "/alerts", "/round"};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        a = gw_do(VERA_OF_A, "GET", lists[i], NULL);
        cr_expect(eq(int, a.status, 200));
        cr_expect(
            eq(int, !!(!strstr(a.text, gw_home_b()) && !strstr(a.text, animal) && !strstr(a.text, gw_scale_b())), 1),
            "%s", lists[i]);
    }
    a = gw_do(VERA_OF_A, "GET", gw_text("/animals?home=%s", gw_home_b()), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/animals"), 0));
    a = gw_do(VERA_OF_A, "GET", gw_text("/alerts?animal=%s", animal), NULL);
    cr_expect(eq(sz, gw_count_at(&a, "/alerts"), 0));
}

/* For coordinators, who see every home, unknown ids. */
Test(refused, an_unknown_id_gets_404)
{
    size_t i;
    json_t *row, *table = route_table();
    const char *before = gw_everything();
    json_array_foreach(table, i, row)
    {
        if (strcmp(string_at(row, "method"), "GET") || !strchr(string_at(row, "path"), '{')) continue;
        gw_answer a = ask(row, (gw_ask){.who = ANN_COORDINATOR});
        expect_problem(&a, 404, name_of(row));
    }
    const char *none = gw_id();
    const struct {
        const char *method, *path, *body;
        int status;
    } more[] = {
        {"PUT", gw_text("/homes/%s/pens/%s", none, gw_id()), gw_json("{'name':'x'}"), 404},
        {"PUT", gw_text("/homes/%s/people/%s", none, gw_person(WILL_OF_B)), gw_json("{'from':'%s'}", gw_days_ago(1)),
         404},
        {"PUT", gw_text("/homes/%s/people/%s", gw_home_a(), none), gw_json("{'from':'%s'}", gw_days_ago(1)), 404},
        {"PUT", gw_text("/scales/%s", gw_id()), gw_json("{'home':'%s','name':'x','step':1,'capacity':100}", none), 422},
        {"POST", "/invitations/bm8tc3VjaC10b2tlbg", gw_json("{'passphrase':'%s'}", GW_PASSPHRASE), 404},
    };
    for (i = 0; i < sizeof more / sizeof *more; i++) {
        gw_answer a = gw_do(ANN_COORDINATOR, more[i].method, more[i].path, more[i].body);
        expect_problem(&a, more[i].status, more[i].path);
    }
    gw_answer a = gw_send((gw_ask){.who = ANN_COORDINATOR,
                                   .method = "POST",
                                   .path = gw_text("/alerts/%s/steps", none),
                                   .body = gw_json("{'id':'%s','step':'taken'}", gw_id()),
                                   .if_match = "\"1\""});
    expect_problem(&a, 404, "steps");
    cr_expect(eq(str, (char *)gw_everything(), (char *)before));
    json_decref(table);
}
