/* The statements of schema/queries, and the committed dump schema/schema.sql, against the migrated database. */
#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <libpq-fe.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "as.h"
#include "gw_sql.h"

Test(schema, prepares_every_statement_as_the_service)
{
    PGconn *pg = PQconnectdb(getenv("GRAMWELL_DATABASE"));
    cr_assert(eq(int, PQstatus(pg), CONNECTION_OK), "%s", PQerrorMessage(pg));
    cr_assert(eq(int, gw_n_queries > 40, 1));
    for (size_t i = 0; i < gw_n_queries; i++) {
        PGresult *result = PQprepare(pg, gw_queries[i]->name, gw_queries[i]->sql, 0, NULL);
        cr_expect(eq(int, PQresultStatus(result), PGRES_COMMAND_OK), "%s: %s", gw_queries[i]->name,
                  PQresultErrorMessage(result));
        PQclear(result);
        result = PQdescribePrepared(pg, gw_queries[i]->name);
        cr_expect(eq(int, PQnparams(result), gw_queries[i]->n_params), "%s", gw_queries[i]->name);
        PQclear(result);
    }
    PQfinish(pg);
}

static size_t lines_of(const char *command)
{
    char line[512];
    size_t n = 0;
    FILE *program = popen(command, "r");
    cr_assert(ne(ptr, program, NULL));
    while (fgets(line, sizeof line, program)) n++;
    pclose(program);
    return n;
}

Test(schema, has_every_file_in_the_binary)
{
    cr_expect(eq(sz, lines_of("ls '" GW_TEST_SOURCE "/schema/queries/'*.sql"), gw_n_queries));
}

static char *text_of(FILE *file)
{
    size_t size = 1 << 20, n = 0;
    char *text = calloc(1, size);
    cr_assert(eq(int, file &&text, 1));
    for (size_t got; n < size - 1 && (got = fread(text + n, 1, size - 1 - n, file)) > 0;) n += got;
    return text;
}

/* Made for PostgreSQL 15, the one of Debian 12: others write the same schema in other words. */
Test(schema, is_the_one_that_was_committed)
{
    if (strtol(gw_sql("show server_version_num"), NULL, 10) / 10000 != 15)
        cr_skip_test("schema.sql is made with PostgreSQL 15");
    FILE *program = popen(gw_text("'" GW_TEST_SOURCE "/schema/dump' '%s'", getenv("GW_WORLD_ADMIN")), "r");
    char *now = text_of(program);
    cr_assert(eq(int, pclose(program), 0), "schema/dump failed");
    FILE *file = fopen(GW_TEST_SOURCE "/schema/schema.sql", "r");
    cr_assert(ne(ptr, file, NULL), "schema/schema.sql is missing");
    char *committed = text_of(file);
    fclose(file);
    size_t same = 0, line = 1;
    while (now[same] && now[same] == committed[same]) line += now[same++] == '\n';
    cr_expect(
        eq(int, strcmp(now, committed), 0),
        "schema/schema.sql differs from line %zu on; make it again: schema/dump CONNINFO > schema/schema.sql\n%.200s",
        line, now + same);
    free(now);
    free(committed);
}
