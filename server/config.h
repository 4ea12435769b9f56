/**
 * Settings of gramwelld: from the environment, or from a file of KEY=value lines; the environment wins.
 *
 *   GRAMWELL_DATABASE        libpq connection string as gramwell_app (serve, check)
 *   GRAMWELL_OWNER_DATABASE  libpq connection string as gramwell_owner (migrate, invite)
 *   GRAMWELL_LISTEN          127.0.0.1:8080; port 0 is any free one
 *   GRAMWELL_ORIGIN          https://... as browsers see it; without it plain http on loopback only
 *   GRAMWELL_PROXIES         numeric addresses, "," between, whose X-Forwarded-For is believed
 *   GRAMWELL_WEB             folder of the built web client
 *   GRAMWELL_DB_CONNECTIONS  1 to 64, 8 unless set
 *   GRAMWELL_LOG             debug, info, warn or error; info unless set
 *
 * In the file a line is empty, a comment (#), or KEY=value; a value may stand in double quotes and has no escapes.
 */
#ifndef GW_CONFIG_H
#define GW_CONFIG_H

#include "base/error.h"
#include "base/log.h"

typedef struct gw_config {
    const char *database;       /* NULL: not set */
    const char *owner_database; /* NULL: not set */
    const char *listen;
    const char *origin;  /* NULL: not set */
    const char *proxies; /* NULL: not set */
    const char *web;
    int db_connections;
    gw_log_level log_level;
} gw_config;

/**
 * Read the settings.
 *
 * @param path   file, or NULL: the environment alone
 * @param arena  texts live here
 * @return GW_EINPUT or GW_EUNKNOWN with one sentence that names the file, line and setting
 */
GW_MUST_CHECK gw_status gw_config_read(const char *path, gw_arena *arena, gw_config *config, gw_error *err);

#endif
