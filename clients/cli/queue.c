/* queue: the alerts in the order in which somebody must decide on them. */
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "cli.h"

static const char help[] =
    "usage: gramwell queue [--server URL] [--state open|settled] [--json] [--token-file FILE]\n\n"
    "Lists the alerts, most urgent first, as a table or as the JSON array of the API.\n"
    "An alert is not a diagnosis: it sorts, so that a vet is asked in time.\n";

static const char *text_of(const json_t *object, const char *member)
{
    const char *text = json_string_value(json_object_get(object, member));
    return text ? text : "";
}

/* "2026-11-25T08:00:00Z" or with another offset -> seconds since 1970; -1 when it is none. */
static long long instant(const char *text)
{
    int y, mo, d, h, mi, s, used = 0, oh = 0, om = 0;
    if (sscanf(text, "%4d-%2d-%2dT%2d:%2d:%2d%n", &y, &mo, &d, &h, &mi, &s, &used) != 6) return -1;
    const char *rest = text + used;
    if (*rest == '.') rest += 1 + strspn(rest + 1, "0123456789");
    if ((*rest == '+' || *rest == '-') && sscanf(rest + 1, "%2d:%2d", &oh, &om) != 2) return -1;
    long long yy = y - (mo <= 2), era = yy / 400, yoe = yy - era * 400;
    long long doy = (153 * (mo + (mo > 2 ? -3 : 9)) + 2) / 5 + d - 1, doe = yoe * 365 + yoe / 4 - yoe / 100 + doy;
    long long days = era * 146097 + doe - 719468;
    return days * 86400 + h * 3600 + mi * 60 + s - (*rest == '-' ? -1 : 1) * (oh * 3600 + om * 60);
}

/* How long it has been waiting: minutes, hours or days, as on the desk. */
static void print_waiting(const json_t *alert)
{
    char text[32] = "";
    long long since = instant(text_of(alert, "raised_at"));
    if (strcmp(text_of(alert, "state"), "waiting") == 0 && since >= 0) {
        long long minutes = ((long long)time(NULL) - since) / 60;
        if (minutes < 0) minutes = 0;
        if (minutes < 60) {
            snprintf(text, sizeof text, "%lld min", minutes);
        } else if (minutes < 48 * 60) {
            snprintf(text, sizeof text, "%lld h", minutes / 60);
        } else {
            snprintf(text, sizeof text, "%lld d", minutes / 1440);
        }
    }
    gw_cli_print_text(text, 9);
}

static void print_alert(const json_t *alert)
{
    const json_t *animal = json_object_get(alert, "animal"), *scale = json_object_get(alert, "scale");
    char level[16];
    snprintf(level, sizeof level, "%s", text_of(alert, "level"));
    for (char *c = strchr(level, '_'); c; c = strchr(c, '_')) *c = ' ';
    gw_cli_print_text(level, 11);
    gw_cli_print_text(text_of(alert, "kind"), 9);
    gw_cli_print_text(strcmp(text_of(alert, "state"), "in_hand") == 0 ? "in hand" : text_of(alert, "state"), 9);
    print_waiting(alert);
    if (json_is_object(animal)) {
        gw_cli_print_text(text_of(animal, "name"), 16);
        gw_cli_print_text(text_of(animal, "tag"), 7);
    } else {
        gw_cli_print_text(json_is_object(scale) ? text_of(scale, "name") : "the home", 23);
    }
    gw_cli_print_text(text_of(json_object_get(alert, "home"), "name"), 24);
    size_t i;
    const json_t *why;
    bool first = true;
    const char *const lists[] = {"signs", "reasons"};
    for (size_t l = 0; l < 2; l++) {
        json_array_foreach(json_object_get(alert, lists[l]), i, why)
        {
            if (!first) fputs(", ", stdout);
            first = false;
            gw_cli_print_text(json_is_string(why) ? json_string_value(why) : "?", 0);
        }
    }
    putchar('\n');
}

int gw_cli_queue(int argc, char **argv)
{
    static const struct option options[] = {{"server", required_argument, NULL, 's'},
                                            {"state", required_argument, NULL, 'w'},
                                            {"token-file", required_argument, NULL, 't'},
                                            {"json", no_argument, NULL, 'j'},
                                            {"help", no_argument, NULL, 'h'},
                                            {0}};
    const char *server = NULL, *token_file = NULL, *state = "open";
    bool as_json = false;
    for (int c; (c = getopt_long(argc, argv, "h", options, NULL)) != -1;) {
        switch (c) {
        case 's':
            server = optarg;
            break;
        case 'w':
            state = optarg;
            break;
        case 't':
            token_file = optarg;
            break;
        case 'j':
            as_json = true;
            break;
        case 'h':
            fputs(help, stdout);
            return GW_EXIT_DONE;
        default:
            return GW_EXIT_INPUT;
        }
    }
    if (optind != argc || (strcmp(state, "open") != 0 && strcmp(state, "settled") != 0)) {
        fputs(help, stderr);
        return GW_EXIT_INPUT;
    }
    int status;
    gw_api *api = gw_api_open("queue", server, token_file, true, &status);
    if (!api) return status;

    char path[64];
    json_t *alerts = NULL;
    snprintf(path, sizeof path, "/alerts?state=%s&limit=200", state);
    status = gw_api_list(api, path, "alerts", &alerts);
    if (status == GW_EXIT_DONE && as_json) {
        json_dumpf(alerts, stdout, JSON_INDENT(1));
        putchar('\n');
    } else if (status == GW_EXIT_DONE) {
        size_t i;
        const json_t *alert;
        if (json_array_size(alerts))
            printf("%-11s%-9s%-9s%-9s%-16s%-7s%-24s%s\n", "level", "kind", "state", "waiting", "animal", "tag", "home",
                   "why");
        json_array_foreach(alerts, i, alert) print_alert(alert);
        printf("%zu %s\n", json_array_size(alerts), strcmp(state, "open") == 0 ? "open" : "settled");
    }
    if (status == GW_EXIT_DONE && (fflush(stdout) != 0 || ferror(stdout))) {
        gw_cli_say("queue", "standard output cannot be written");
        status = GW_EXIT_FAILED;
    }
    json_decref(alerts);
    gw_api_close(api);
    return status;
}
