#include "config.h"

#include <stdlib.h>
#include <string.h>

#include "base/file.h"

enum { FILE_MAX = 64 * 1024 };

typedef enum { DATABASE, OWNER_DATABASE, LISTEN, ORIGIN, PROXIES, WEB, DB_CONNECTIONS, LOG, N_SETTINGS } setting;

static const struct {
    const char *name;
    const char *absent;
} settings[N_SETTINGS] = {
    [DATABASE] = {"GRAMWELL_DATABASE", NULL},
    [OWNER_DATABASE] = {"GRAMWELL_OWNER_DATABASE", NULL},
    [LISTEN] = {"GRAMWELL_LISTEN", "127.0.0.1:8080"},
    [ORIGIN] = {"GRAMWELL_ORIGIN", NULL},
    [PROXIES] = {"GRAMWELL_PROXIES", NULL},
    [WEB] = {"GRAMWELL_WEB", GW_WEB_FOLDER},
    [DB_CONNECTIONS] = {"GRAMWELL_DB_CONNECTIONS", "8"},
    [LOG] = {"GRAMWELL_LOG", "info"},
};

static int setting_named(const char *name)
{
    for (int i = 0; i < N_SETTINGS; i++)
        if (strcmp(name, settings[i].name) == 0) return i;
    return -1;
}

static char *trim(char *text)
{
    text += strspn(text, " \t\r");
    size_t length = strlen(text);
    while (length > 0 && strchr(" \t\r", text[length - 1])) length--;
    text[length] = '\0';
    return text;
}

static char *without_quotes(char *value)
{
    size_t length = strlen(value);
    if (length < 2 || value[0] != '"' || value[length - 1] != '"') return value;
    value[length - 1] = '\0';
    return value + 1;
}

static gw_status read_line(char *line, int number, const char *path, const char *values[], gw_error *err)
{
    line = trim(line);
    if (*line == '\0' || *line == '#') return GW_OK;
    char *equals = strchr(line, '=');
    if (!equals) return gw_fail(err, GW_EINPUT, "%s line %d: expected KEY=value", path, number);
    *equals = '\0';
    int at = setting_named(trim(line));
    if (at < 0) return gw_fail(err, GW_EINPUT, "%s line %d: there is no setting %s", path, number, trim(line));
    values[at] = without_quotes(trim(equals + 1));
    return GW_OK;
}

static gw_status read_file(const char *path, gw_arena *arena, const char *values[], gw_error *err)
{
    char *text;
    gw_status status = gw_file_read(path, FILE_MAX, &text, NULL, err);
    if (status) return status;
    gw_arena_on_reset(arena, free, text);
    if (gw_arena_failed(arena)) return gw_fail(err, GW_EINTERNAL, "out of memory");
    char *line = text;
    for (int number = 1; !status && line; number++) {
        char *end = strchr(line, '\n');
        if (end) *end = '\0';
        status = read_line(line, number, path, values, err);
        line = end ? end + 1 : NULL;
    }
    return status;
}

static gw_status read_connections(const char *text, int *out, gw_error *err)
{
    char *end;
    long value = strtol(text, &end, 10);
    if (*end || end == text || value < 1 || value > 64)
        return gw_fail(err, GW_EINPUT, "GRAMWELL_DB_CONNECTIONS is \"%s\", expected 1 to 64", text);
    *out = (int)value;
    return GW_OK;
}

static gw_status read_log_level(const char *text, gw_log_level *out, gw_error *err)
{
    static const char *const names[] = {"debug", "info", "warn", "error"};
    for (int i = 0; i < 4; i++) {
        if (strcmp(text, names[i]) != 0) continue;
        *out = (gw_log_level)i;
        return GW_OK;
    }
    return gw_fail(err, GW_EINPUT, "GRAMWELL_LOG is \"%s\", expected debug, info, warn or error", text);
}

static const char *unless_empty(const char *value)
{
    return value && *value ? value : NULL;
}

gw_status gw_config_read(const char *path, gw_arena *arena, gw_config *config, gw_error *err)
{
    const char *values[N_SETTINGS];
    gw_status status = GW_OK;
    for (int i = 0; i < N_SETTINGS; i++) values[i] = settings[i].absent;
    if (path) status = read_file(path, arena, values, err);
    for (int i = 0; i < N_SETTINGS; i++) {
        const char *from_environment = getenv(settings[i].name);
        if (from_environment) values[i] = from_environment;
    }
    *config = (gw_config){
        .database = unless_empty(values[DATABASE]),
        .owner_database = unless_empty(values[OWNER_DATABASE]),
        .listen = values[LISTEN],
        .origin = unless_empty(values[ORIGIN]),
        .proxies = unless_empty(values[PROXIES]),
        .web = unless_empty(values[WEB]),
    };
    if (!status) status = read_connections(values[DB_CONNECTIONS], &config->db_connections, err);
    if (!status) status = read_log_level(values[LOG], &config->log_level, err);
    return status;
}
