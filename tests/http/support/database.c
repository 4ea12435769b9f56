#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "support/world_private.h"

_Noreturn void gw_give_up(const char *fmt, ...)
{
    va_list args;
    char message[1000];
    va_start(args, fmt);
    vsnprintf(message, sizeof message, fmt, args);
    va_end(args);
    if (getenv("GW_WORLD_MADE")) {
        cr_assert_fail("%s", message);
        abort();
    }
    fprintf(stderr, "the world of the test cannot be made: %s\n", message);
    gw_world_end();
    exit(1);
}

/* One connection a process; closed with it. */
static PGconn *connection(void)
{
    static PGconn *pg;
    if (pg) return pg;
    pg = PQconnectdb(getenv("GW_WORLD_ADMIN"));
    if (PQstatus(pg) != CONNECTION_OK) gw_give_up("%s", PQerrorMessage(pg));
    return pg;
}

static const char *run(const char *sql)
{
    PGresult *result = PQexec(connection(), sql);
    ExecStatusType status = PQresultStatus(result);
    if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK)
        gw_give_up("%s\n%s", PQresultErrorMessage(result), sql);
    const char *value = gw_text("%s", PQntuples(result) ? PQgetvalue(result, 0, 0) : "");
    PQclear(result);
    return value;
}

const char *gw_sql(const char *fmt, ...)
{
    va_list args;
    char sql[4000];
    va_start(args, fmt);
    int n = vsnprintf(sql, sizeof sql, fmt, args);
    va_end(args);
    if (n < 0 || (size_t)n >= sizeof sql) gw_give_up("a statement is too long");
    return run(sql);
}

const char *gw_everything(void)
{
    return run(gw_sql("select 'select md5(concat(' || string_agg(format('(select string_agg(t::text, ''|'' order by "
                      "t::text) from gw.%%I t)',"
                      " tablename), ',') || '))' from (select tablename from pg_tables where schemaname = 'gw' order "
                      "by 1) as all_tables"));
}
