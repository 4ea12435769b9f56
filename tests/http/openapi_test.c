/*
 * clients/api/openapi.json against the route table of the server program, in both directions. That answers look as the
 * description says is tested with every answer of every test (support/conform.c); that bodies are refused as it says,
 * in refused_test.c.
 */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <stdio.h>
#include <string.h>

#include "support/world.h"
#include "support/world_private.h"

static json_t *route_table(void)
{
    FILE *program = popen(gw_text("'%s' routes", gw_server_program()), "r");
    cr_assert(ne(ptr, program, NULL));
    json_t *table = json_loadf(program, 0, NULL);
    cr_assert(eq(int, pclose(program), 0));
    cr_assert(eq(int, !!(json_array_size(table) > 20), 1));
    return table;
}

static const char *upper(const char *method)
{
    char out[16] = "";
    for (size_t i = 0; method[i] && i < sizeof out - 1; i++) out[i] = (char)(method[i] - 'a' + 'A');
    return gw_text("%s", out);
}

static const json_t *row_of(const json_t *table, const char *method, const char *path)
{
    size_t i;
    json_t *row;
    json_array_foreach(table, i, row)
    {
        if (!strcmp(json_string_value(json_object_get(row, "method")), method) &&
            !strcmp(json_string_value(json_object_get(row, "path")), path))
            return row;
    }
    return NULL;
}

/* Names of the parameters of one kind, in their order, with a blank behind each. */
static const char *parameters_in(const json_t *operation, const char *in)
{
    size_t i;
    json_t *parameter;
    const char *names = "";
    json_array_foreach(json_object_get(operation, "parameters"), i, parameter)
    {
        if (!strcmp(json_string_value(json_object_get(parameter, "in")), in))
            names = gw_text("%s%s ", names, json_string_value(json_object_get(parameter, "name")));
    }
    return names;
}

static const char *query_of(const json_t *row)
{
    size_t i;
    json_t *name;
    const char *names = "";
    json_array_foreach(json_object_get(row, "query"), i, name) names = gw_text("%s%s ", names, json_string_value(name));
    return names;
}

static const char *braces_of(const char *path)
{
    const char *names = "";
    for (const char *at = path; (at = strchr(at, '{')); at++)
        names = gw_text("%s%.*s ", names, (int)strcspn(at + 1, "}"), at + 1);
    return names;
}

static void compare(const char *method, const char *path, const json_t *operation, const json_t *row)
{
    const char *what = gw_text("%s %s", method, path);
    cr_assert(ne(ptr, (void *)row, NULL), "%s is described, but no route", what);
    bool takes_body = json_integer_value(json_object_get(row, "body_max")) > 0;
    const char *role = json_string_value(json_object_get(row, "role"));
    cr_expect(eq(str, (char *)json_string_value(json_object_get(operation, "x-role")), (char *)role), "%s", what);
    cr_expect(eq(int, json_object_get(operation, "requestBody") != NULL, takes_body), "%s", what);
    cr_expect(eq(int, json_array_size(json_object_get(operation, "security")) > 0, strcmp(role, "any") != 0), "%s",
              what);
    cr_expect(eq(str, (char *)parameters_in(operation, "query"), (char *)query_of(row)), "%s", what);
    cr_expect(eq(str, (char *)parameters_in(operation, "path"), (char *)braces_of(path)), "%s", what);
}

Test(openapi, describes_exactly_the_routes_that_exist)
{
    const char *path, *method;
    json_t *item, *operation, *table = route_table();
    size_t described = 0;
    json_object_foreach(json_object_get(gw_description(), "paths"), path, item)
    {
        json_object_foreach(item, method, operation)
        {
            compare(upper(method), path, operation, row_of(table, upper(method), path));
            described++;
        }
    }
    cr_expect(eq(sz, described, json_array_size(table)), "there are routes that are not described");
    json_decref(table);
}

Test(openapi, is_served_as_it_stands_in_the_tree)
{
    gw_answer a = gw_do(NOBODY, "GET", "/openapi.json", NULL);
    cr_assert(eq(int, a.status, 200));
    cr_expect(eq(int, !!(json_equal(a.json, gw_description())), 1));
}

/* A JSON pointer "#/a/b" of the description. */
static bool leads_somewhere(const char *ref)
{
    json_t *at = gw_description();
    for (const char *part = ref + 1; at && *part == '/';) {
        size_t n = strcspn(part + 1, "/");
        at = json_object_get(at, gw_text("%.*s", (int)n, part + 1));
        part += n + 1;
    }
    return at != NULL;
}

static size_t follow_all(json_t *value)
{
    size_t i, n = 0;
    const char *key;
    json_t *member;
    if (json_is_array(value)) json_array_foreach(value, i, member) n += follow_all(member);
    json_object_foreach(value, key, member)
    {
        if (!strcmp(key, "$ref"))
            cr_expect(eq(int, !!(leads_somewhere(json_string_value(member))), 1), "%s", json_string_value(member));
        n += !strcmp(key, "$ref") ? 1 : follow_all(member);
    }
    return n;
}

Test(openapi, points_only_to_what_is_there)
{
    cr_expect(eq(int, !!(follow_all(gw_description()) > 100), 1));
}

Test(openapi, gives_every_operation_a_name_of_its_own)
{
    const char *path, *method;
    json_t *item, *operation, *names = json_object();
    json_object_foreach(json_object_get(gw_description(), "paths"), path, item)
        json_object_foreach(item, method, operation)
    {
        const char *name = json_string_value(json_object_get(operation, "operationId"));
        cr_assert(ne(ptr, (void *)name, NULL), "%s %s", method, path);
        cr_expect(eq(ptr, json_object_get(names, name), NULL), "%s is there twice", name);
        json_object_set_new(names, name, json_true());
    }
    json_decref(names);
}
