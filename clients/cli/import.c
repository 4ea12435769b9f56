/* import: checks from a CSV file through the API. Everything is read and judged before anything is sent. */
#include <getopt.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli.h"
#include "import.h"

static const char help[] =
    "usage: gramwell import CHECKS.csv [--server URL] [--dry-run] [--token-file FILE]\n\n"
    "Columns: animal (tag), at (date and time with offset), kind (weekly, extra or weigh_only); grams (up to five\n"
    "readings, ';' between them), scale (its name), zeroed (yes or no), confirmed; minutes, note; and one for each\n"
    "region: as_usual, not_looked_at, or signs with their grade, for instance drool:slight;drops_food:marked.\n"
    "Every fault of the file is listed before anything is sent. Sending the same file again does no harm.\n";

static int ask(gw_api *api, const char *path, json_t **reply)
{
    long http = gw_api_call(api, "GET", path, NULL, reply);
    return http == 200 ? GW_EXIT_DONE : gw_api_refused(api, path, http, *reply);
}

typedef struct {
    size_t sent, there, refused, alerts;
} tally;

static int send_all(gw_api *api, const gw_sheet *sheet, const gw_import_check checks[], tally *t)
{
    for (size_t i = 0; i < sheet->n_rows; i++) {
        char path[64], what[512];
        json_t *reply = NULL;
        snprintf(path, sizeof path, "/checks/%s", checks[i].id);
        long http = gw_api_call(api, "PUT", path, checks[i].body, &reply);
        if (http == 201) {
            t->sent++;
            t->alerts += json_array_size(json_object_get(reply, "alerts")) > 0;
        } else if (http == 200) {
            t->there++;
        } else {
            t->refused++;
            snprintf(what, sizeof what, "%.400s:%zu", sheet->name, sheet->rows[i].line);
            int status = gw_api_refused(api, what, http, reply);
            json_decref(reply);
            if (http == 0 || http == 401) return status; /* the next row would fare no better */
            continue;
        }
        json_decref(reply);
        if (gw_cli_progress()) fprintf(stderr, "\r%zu of %zu", i + 1, sheet->n_rows);
    }
    if (gw_cli_progress()) fputs("\r                    \r", stderr);
    return t->refused ? GW_EXIT_FAILED : GW_EXIT_DONE;
}

typedef struct {
    const char *id;
    size_t line;
} seen;

static int by_id(const void *a, const void *b)
{
    const seen *x = a, *y = b;
    int order = strcmp(x->id, y->id);
    return order ? order : (x->line > y->line) - (x->line < y->line);
}

/* Two rows of one animal, time and kind would be one check. */
static void find_twice(gw_sheet *sheet, const gw_import_check checks[])
{
    seen *all = malloc((sheet->n_rows + 1) * sizeof *all);
    if (!all) {
        gw_sheet_fault(sheet, 1, NULL, "out of memory");
        return;
    }
    for (size_t i = 0; i < sheet->n_rows; i++) all[i] = (seen){checks[i].id, sheet->rows[i].line};
    qsort(all, sheet->n_rows, sizeof *all, by_id);
    for (size_t i = 1; i < sheet->n_rows; i++) {
        if (strcmp(all[i].id, all[i - 1].id) == 0)
            gw_sheet_fault(sheet, all[i].line, NULL, "is the same animal, time and kind as line %zu", all[i - 1].line);
    }
    free(all);
}

/* Read every row; the faults of all are told. */
static int read_rows(gw_sheet *sheet, const gw_import_known *known, gw_import_check checks[])
{
    gw_import_columns columns;
    gw_import_find_columns(sheet, &columns);
    if (sheet->faults == 0) {
        for (size_t i = 0; i < sheet->n_rows; i++) gw_import_row(sheet, &sheet->rows[i], &columns, known, &checks[i]);
    }
    if (sheet->faults == 0) find_twice(sheet, checks);
    if (sheet->faults == 0) return GW_EXIT_DONE;
    gw_cli_say("import", "%zu %s in %s; nothing was sent", sheet->faults, sheet->faults == 1 ? "fault" : "faults",
               sheet->name);
    return GW_EXIT_INPUT;
}

/* The list of /animals as an object by tag and by id. NULL: out of memory. */
static json_t *index_animals(const json_t *list)
{
    json_t *index = json_object();
    size_t i;
    json_t *animal;
    json_array_foreach(list, i, animal)
    {
        const char *tag = json_string_value(json_object_get(animal, "tag"));
        const char *id = json_string_value(json_object_get(animal, "id"));
        if (!tag || !id || json_object_set(index, tag, animal) != 0 || json_object_set(index, id, animal) != 0) {
            json_decref(index);
            return NULL;
        }
    }
    return index;
}

static int import(gw_api *api, gw_sheet *sheet, bool dry_run)
{
    json_t *list = NULL, *animals = NULL, *scales = NULL, *catalogue = NULL;
    gw_import_check *checks = calloc(sheet->n_rows + 1, sizeof *checks);
    tally t = {0};
    int status = checks ? GW_EXIT_DONE : GW_EXIT_FAILED;
    if (status == GW_EXIT_DONE) status = gw_api_list(api, "/animals?limit=200", "animals", &list);
    if (status == GW_EXIT_DONE) status = ask(api, "/scales", &scales);
    if (status == GW_EXIT_DONE) status = ask(api, "/catalogue", &catalogue);
    if (status != GW_EXIT_DONE) goto done;
    animals = index_animals(list);
    if (!animals) {
        gw_cli_say("import", "the list of animals cannot be used");
        status = GW_EXIT_FAILED;
        goto done;
    }

    const gw_import_known known = {animals, json_object_get(catalogue, "species"), json_object_get(catalogue, "signs"),
                                   json_object_get(scales, "scales")};
    status = read_rows(sheet, &known, checks);
    if (status != GW_EXIT_DONE) goto done;
    if (dry_run) {
        printf("%zu checks are sound; nothing was sent\n", sheet->n_rows);
        goto done;
    }
    status = send_all(api, sheet, checks, &t);
    printf("%zu sent, %zu there already, %zu refused; %zu raised or joined an alert\n", t.sent, t.there, t.refused,
           t.alerts);
done:
    for (size_t i = 0; checks && i < sheet->n_rows; i++) json_decref(checks[i].body);
    free(checks);
    json_decref(animals);
    json_decref(list);
    json_decref(scales);
    json_decref(catalogue);
    return status;
}

int gw_cli_import(int argc, char **argv)
{
    static const struct option options[] = {{"server", required_argument, NULL, 's'},
                                            {"token-file", required_argument, NULL, 't'},
                                            {"dry-run", no_argument, NULL, 'n'},
                                            {"help", no_argument, NULL, 'h'},
                                            {0}};
    const char *server = NULL, *token_file = NULL;
    bool dry_run = false;
    for (int c; (c = getopt_long(argc, argv, "nh", options, NULL)) != -1;) {
        switch (c) {
        case 's':
            server = optarg;
            break;
        case 't':
            token_file = optarg;
            break;
        case 'n':
            dry_run = true;
            break;
        case 'h':
            fputs(help, stdout);
            return GW_EXIT_DONE;
        default:
            return GW_EXIT_INPUT;
        }
    }
    if (optind + 1 != argc) {
        fputs(help, stderr);
        return GW_EXIT_INPUT;
    }
    if (sodium_init() < 0) {
        gw_cli_say("import", "libsodium does not start");
        return GW_EXIT_FAILED;
    }
    gw_sheet sheet;
    if (!gw_sheet_read("import", argv[optind], &sheet)) return GW_EXIT_INPUT;
    int status;
    gw_api *api = gw_api_open("import", server, token_file, true, &status);
    if (api) status = import(api, &sheet, dry_run);
    gw_api_close(api);
    gw_sheet_finish(&sheet);
    return status;
}
