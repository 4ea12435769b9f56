/*
 * Does an answer look as clients/api/openapi.json says? Knows the part of JSON Schema that the description uses: $ref,
 * oneOf with null, type, enum, required, properties, additionalProperties, items. A keyword that it does not know gives
 * up, so that nothing in the description goes unchecked unnoticed.
 */
#include <stdlib.h>
#include <string.h>

#include "support/world_private.h"

static const char *const known[] = {
    "$ref",     "oneOf",       "type",    "enum",    "required",  "properties", "additionalProperties",
    "items",    "format",      "minimum", "maximum", "minLength", "maxLength",  "minItems",
    "maxItems", "description", "default", NULL};

json_t *gw_description(void)
{
    static json_t *description;
    if (!description)
        description = json_load_file(GW_TEST_SOURCE "/clients/api/openapi.json", JSON_REJECT_DUPLICATES, NULL);
    if (!description) gw_give_up("clients/api/openapi.json is no JSON");
    return description;
}

static json_t *follow(json_t *schema)
{
    const char *ref = json_string_value(json_object_get(schema, "$ref"));
    if (!ref) return schema;
    json_t *at = gw_description();
    const char *part = ref + 1;
    while (at && *part == '/') {
        size_t n = strcspn(part + 1, "/");
        at = json_object_get(at, gw_text("%.*s", (int)n, part + 1));
        part += n + 1;
    }
    if (!at) gw_give_up("the description points to %s, which is not there", ref);
    return at;
}

static bool is_of(const json_t *value, const char *type)
{
    if (!strcmp(type, "string")) return json_is_string(value);
    if (!strcmp(type, "number")) return json_is_number(value);
    if (!strcmp(type, "integer")) return json_is_integer(value);
    if (!strcmp(type, "boolean")) return json_is_boolean(value);
    if (!strcmp(type, "null")) return json_is_null(value);
    if (!strcmp(type, "array")) return json_is_array(value);
    if (!strcmp(type, "object")) return json_is_object(value);
    gw_give_up("the description has the type %s", type);
}

static bool type_fits(const json_t *value, const json_t *type)
{
    size_t i;
    json_t *one;
    if (!type) return true;
    if (json_is_string(type)) return is_of(value, json_string_value(type));
    json_array_foreach(type, i, one) if (is_of(value, json_string_value(one))) return true;
    return false;
}

static bool is_listed(const json_t *value, const json_t *list)
{
    size_t i;
    json_t *one;
    if (!list) return true;
    json_array_foreach(list, i, one) if (json_equal((json_t *)value, one)) return true;
    return false;
}

static void refuse_unknown_keywords(json_t *schema)
{
    const char *key;
    json_t *unused;
    json_object_foreach(schema, key, unused)
    {
        bool found = false;
        for (size_t i = 0; known[i] && !found; i++) found = !strcmp(known[i], key);
        if (!found) gw_give_up("the description uses %s, which support/conform.c does not know", key);
    }
}

static const char *fits(json_t *value, json_t *schema, const char *where);

static const char *object_fits(json_t *value, json_t *schema, const char *where)
{
    size_t i;
    const char *name;
    json_t *member, *properties = json_object_get(schema, "properties");
    json_array_foreach(
        json_object_get(schema, "required"), i,
        member) if (!json_object_get(value, json_string_value(member))) return gw_text("%s/%s is missing", where,
                                                                                       json_string_value(member));
    json_object_foreach(value, name, member)
    {
        json_t *expected = json_object_get(properties, name);
        if (!expected && json_is_false(json_object_get(schema, "additionalProperties")))
            return gw_text("%s/%s is not described", where, name);
        const char *misfit = expected ? fits(member, expected, gw_text("%s/%s", where, name)) : NULL;
        if (misfit) return misfit;
    }
    return NULL;
}

static const char *one_of_fits(json_t *value, const json_t *choices, const char *where)
{
    size_t i;
    json_t *one;
    const char *misfit = "nothing fits";
    json_array_foreach(choices, i, one)
    {
        const char *why = fits(value, one, where);
        if (!why) return NULL;
        if (i == 0) misfit = why;
    }
    return misfit;
}

static const char *fits(json_t *value, json_t *schema, const char *where)
{
    size_t i;
    json_t *element;
    schema = follow(schema);
    refuse_unknown_keywords(schema);
    if (json_object_get(schema, "oneOf")) return one_of_fits(value, json_object_get(schema, "oneOf"), where);
    if (!type_fits(value, json_object_get(schema, "type"))) return gw_text("%s has another type", where);
    if (!is_listed(value, json_object_get(schema, "enum")))
        return gw_text("%s has a word that is not described", where);
    if (json_is_object(value)) return object_fits(value, schema, where);
    if (!json_is_array(value)) return NULL;
    json_array_foreach(value, i, element)
    {
        const char *misfit = fits(element, json_object_get(schema, "items"), gw_text("%s/%zu", where, i));
        if (misfit) return misfit;
    }
    return NULL;
}

/* Does a path fit a pattern such as /api/v1/homes/{home}? The query does not count. */
static bool path_fits(const char *path, const char *pattern)
{
    size_t end = strcspn(path, "?");
    const char *stop = path + end;
    while (path < stop && *pattern) {
        if (*pattern == '{') {
            if (*path == '/') return false;
            pattern = strchr(pattern, '}') + 1;
            while (path < stop && *path != '/') path++;
        } else if (*pattern++ != *path++) {
            return false;
        }
    }
    return path == stop && !*pattern;
}

static json_t *operation_of(const char *method, const char *path)
{
    const char *pattern;
    json_t *item, *exact = json_object_get(json_object_get(gw_description(), "paths"), path);
    char lower[16] = "";
    for (size_t i = 0; method[i] && i < sizeof lower - 1; i++)
        lower[i] = method[i] >= 'A' && method[i] <= 'Z' ? (char)(method[i] - 'A' + 'a') : method[i];
    if (exact) return json_object_get(exact, lower);
    json_object_foreach(json_object_get(gw_description(), "paths"), pattern,
                        item) if (path_fits(path, pattern)) return json_object_get(item, lower);
    return NULL;
}

static const char *body_fits(const gw_answer *answer, json_t *response)
{
    const char *type;
    json_t *media, *content = json_object_get(response, "content");
    if (!content) return answer->length ? "a body where none is described" : NULL;
    json_object_foreach(content, type, media)
    {
        if (strncmp(answer->type, type, strlen(type)) != 0)
            return gw_text("Content-Type is %s, described is %s", answer->type, type);
        if (!answer->json) return "the body is no JSON";
        return fits(answer->json, json_object_get(media, "schema"), "");
    }
    return NULL;
}

const char *gw_conform(const char *method, const char *path, const gw_answer *answer)
{
    const char *whole = path[1] == '/' ? path + 1 : gw_text("/api/v1%s", path);
    json_t *problem = json_object_get(json_object_get(gw_description(), "components"), "responses");
    json_t *operation = operation_of(method, whole);
    if (!strcmp(method, "HEAD") || answer->status == 304) return answer->length ? "a body where none may be" : NULL;
    /* What has no operation is refused by the listener itself: 404, 405, 501. */
    json_t *response = operation
                           ? json_object_get(json_object_get(operation, "responses"), gw_text("%d", answer->status))
                           : json_object_get(problem, "Unknown");
    if (!operation && answer->status < 400) return "an answer at an address that is not described";
    if (!response) return "a status that is not described for this route";
    const char *misfit = body_fits(answer, follow(response));
    if (!misfit && answer->status >= 400 &&
        json_integer_value(json_object_get(answer->json, "status")) != answer->status)
        misfit = "the problem document names another status";
    return misfit;
}
