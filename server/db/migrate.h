/**
 * Migrations: the files of schema/migrations, embedded in the binary, applied once each in the order of their numbers.
 *
 * The runner makes schema gw and the table gw.migration (number, name, sha256, applied_at) itself before the first
 * file, readable by gramwell_app; a file must therefore not create the schema without `if not exists`. Each file runs
 * in one transaction together with its record; the record goes in first, so that of two starters one waits on its key
 * and finds the work done. A file whose recorded checksum differs from the embedded one stops everything: a migration
 * is never edited after it was applied.
 */
#ifndef GW_DB_MIGRATE_H
#define GW_DB_MIGRATE_H

#include <stddef.h>

#include "base/error.h"

/** A migration as embedded by the build. */
typedef struct gw_migration {
    int number;       /* from the file's name: 0001_person.sql is 1 */
    const char *name; /* file name without .sql */
    const char *sql;  /* NUL-terminated */
    size_t length;    /* bytes without the NUL */
} gw_migration;

/** All embedded migrations by number, and how many. */
extern const gw_migration gw_migrations[];
extern const size_t gw_n_migrations;

/**
 * Apply what is missing. Only one runner works at a time; another waits up to 60 seconds for it.
 *
 * @param conninfo  libpq connection string as the role gramwell_owner
 * @param applied   out, may be NULL: number of migrations applied now
 * @return GW_ECONFLICT when a recorded checksum differs or the database is newer than this binary
 */
GW_MUST_CHECK gw_status gw_migrate(const char *conninfo, int *applied, gw_error *err);

/**
 * Compare without changing anything.
 *
 * @param conninfo  as gramwell_owner or gramwell_app
 * @param missing   out, may be NULL: number of migrations not applied
 * @return GW_ECONFLICT when some are missing, changed or unknown to this binary; the message says which
 */
GW_MUST_CHECK gw_status gw_migrate_compare(const char *conninfo, int *missing, gw_error *err);

#endif
