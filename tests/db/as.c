#include "as.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static PGconn *connect_as(gw_db_role role)
{
    static PGconn *open[4];
    static const char *const variables[] = {"GRAMWELL_DATABASE", NULL, "GRAMWELL_OWNER_DATABASE", "GW_WORLD_ADMIN"};
    if (open[role]) return open[role];
    const char *conninfo =
        variables[role] ? getenv(variables[role]) : gw_text("%s user=gramwell_read", getenv("GW_WORLD_ADMIN"));
    open[role] = PQconnectdb(conninfo);
    if (PQstatus(open[role]) != CONNECTION_OK) cr_assert_fail("%s", PQerrorMessage(open[role]));
    return open[role];
}

static const char *outcome_of(const PGresult *result)
{
    const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    const char *constraint = PQresultErrorField(result, PG_DIAG_CONSTRAINT_NAME);
    if (state) return gw_text("%s%s%s", state, constraint ? " " : "", constraint ? constraint : "");
    if (PQresultStatus(result) != PGRES_TUPLES_OK) return gw_text("%s rows", PQcmdTuples((PGresult *)result));
    return PQntuples(result) ? gw_text("%s", PQgetvalue(result, 0, 0)) : "no row";
}

static void must(PGconn *pg, const char *sql)
{
    PGresult *result = PQexec(pg, sql);
    if (PQresultStatus(result) != PGRES_COMMAND_OK && PQresultStatus(result) != PGRES_TUPLES_OK)
        cr_assert_fail("%s\n%s", sql, PQresultErrorMessage(result));
    PQclear(result);
}

const char *gw_as(gw_db_role role, gw_who who, const char *fmt, ...)
{
    static const char *const roles[] = {"", "coordinator", "intake", "volunteer", "volunteer"};
    char sql[8000];
    va_list args;
    va_start(args, fmt);
    int n = vsnprintf(sql, sizeof sql, fmt, args);
    va_end(args);
    if (n < 0 || (size_t)n >= sizeof sql) cr_assert_fail("a statement is too long");

    PGconn *pg = connect_as(role);
    must(pg, "begin");
    if (who != NOBODY)
        must(pg, gw_text("select set_config('gw.person', '%s', true), set_config('gw.role', '%s', true)",
                         gw_person(who), roles[who]));
    PGresult *result = PQexec(pg, sql);
    const char *outcome = outcome_of(result);
    PQclear(result);
    must(pg, "rollback");
    return outcome;
}
