/* gramwell stats: find the method, read its options and the file, and run it. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli.h"
#include "stats.h"

static const struct {
    const char *name, *expected;
    double low, high;
    bool takes_number, open; /* open: the ends are refused too */
} options[GW_OPT_COUNT] = {
    [GW_OPT_CONFIDENCE] = {"--confidence", "a number above 0 and below 1", 0, 1, true, true},
    [GW_OPT_LAMBDA] = {"--lambda", "a number from 0.000001 to 1", 1e-6, 1, true, false},
    [GW_OPT_TARGET] = {"--target", "a number", -1e300, 1e300, true, false},
    [GW_OPT_SIGMA] = {"--sigma", "a number above 0", 0, 1e300, true, true},
    [GW_OPT_WIDTH] = {"--width", "a number above 0", 0, 1e300, true, true},
    [GW_OPT_K] = {"--k", "a number, 0 or more", 0, 1e300, true, false},
    [GW_OPT_H] = {"--h", "a number above 0", 0, 1e300, true, true},
    [GW_OPT_HEADSTART] = {"--headstart", "a number, 0 or more", 0, 1e300, true, false},
    [GW_OPT_VAR_OBS] = {"--var-obs", "a number above 0", 0, 1e300, true, true},
    [GW_OPT_VAR_LEVEL] = {"--var-level", "a number, 0 or more", 0, 1e300, true, false},
    [GW_OPT_VAR_SLOPE] = {"--var-slope", "a number, 0 or more", 0, 1e300, true, false},
    [GW_OPT_DISCRETE] = {"--discrete", "", 0, 0, false, false},
    [GW_OPT_NO_INTERCEPT] = {"--no-intercept", "", 0, 0, false, false},
    [GW_OPT_FORM2] = {"--second-form", "", 0, 0, false, false},
};

static void usage(FILE *to)
{
    fputs(
        "usage: gramwell stats NAME [OPTION...] [FILE.csv]\n\n"
        "Reads a CSV file with a header line, from standard input when no file is named, and prints CSV, numbers with\n"
        "17 significant digits. NAME is one of\n\n",
        to);
    for (size_t i = 0; i < gw_desk_n_methods; i++) {
        const char *help = gw_desk_methods[i].help;
        fprintf(to, "  %-18s  %.*s\n", gw_desk_methods[i].name, (int)strcspn(help, "\n"), help);
    }
    fputs("\ngramwell stats NAME --help says columns, options, method and source.\n", to);
}

static const gw_desk_method *find_method(const char *name)
{
    for (size_t i = 0; i < gw_desk_n_methods; i++) {
        if (strcmp(gw_desk_methods[i].name, name) == 0) return &gw_desk_methods[i];
    }
    return NULL;
}

/* "1,2.5,3": the coefficients that a fit starts from. */
static bool read_start(gw_desk *desk, const char *text)
{
    const char *all = text;
    char number[64];
    for (desk->n_start = 0; desk->n_start < GW_STATS_CURVE_COEF_MAX; text++) {
        size_t length = strcspn(text, ",");
        snprintf(number, sizeof number, "%.*s", (int)(length < 63 ? length : 63), text);
        if (!gw_desk_number(number, &desk->start[desk->n_start++])) break;
        text += length;
        if (*text == '\0') return true;
    }
    gw_cli_say("stats", "%s: --start is \"%.60s\", expected numbers with commas between them", desk->name, all);
    return false;
}

/* One option and its value; *used takes how many arguments it was. */
static bool read_option(gw_desk *desk, const gw_desk_method *method, char **argv, int left, int *used)
{
    const char *value = left > 1 ? argv[1] : NULL;
    bool curve = method->options & GW_DESK_BIT(GW_OPT_FORM2);
    *used = 2;
    if (curve && strcmp(argv[0], "--start") == 0) {
        if (value) return read_start(desk, value);
        gw_cli_say("stats", "%s: --start needs numbers with commas between them", desk->name);
        return false;
    }
    for (size_t i = 0; i < GW_OPT_COUNT; i++) {
        if (strcmp(options[i].name, argv[0]) != 0 || !(method->options & GW_DESK_BIT(i))) continue;
        if (!options[i].takes_number) {
            *used = 1;
            desk->option[i] = 1;
            return true;
        }
        double v;
        bool sound = value && gw_desk_number(value, &v);
        if (sound && options[i].open) sound = v > options[i].low && v < options[i].high;
        if (sound && !options[i].open) sound = v >= options[i].low && v <= options[i].high;
        if (sound) desk->option[i] = v;
        if (!sound)
            gw_cli_say("stats", "%s: %s is %s%.60s%s, expected %s", desk->name, argv[0], value ? "\"" : "",
                       value ? value : "without a value", value ? "\"" : "", options[i].expected);
        return sound;
    }
    gw_cli_say("stats", "%s does not know %s; gramwell stats %s --help lists its options", desk->name, argv[0],
               desk->name);
    return false;
}

static int run(const gw_desk_method *method, int argc, char **argv)
{
    gw_desk desk = {.name = method->name};
    const char *file = NULL;
    for (size_t i = 0; i < GW_OPT_COUNT; i++) desk.option[i] = NAN;
    for (int i = 0, used; i < argc; i += used) {
        used = 1;
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            printf("usage: gramwell stats %s [OPTION...] [FILE.csv]\n\n%s\n"
                   "[m]: cited from memory, not looked up. The cases are in tests/reference of the sources.\n",
                   method->name, method->help);
            return GW_EXIT_DONE;
        }
        if (argv[i][0] == '-' && argv[i][1] != '\0') {
            if (!read_option(&desk, method, argv + i, argc - i, &used)) return GW_EXIT_INPUT;
        } else if (file) {
            gw_cli_say("stats", "%s reads one file, not %s and %s", method->name, file, argv[i]);
            return GW_EXIT_INPUT;
        } else {
            file = argv[i];
        }
    }
    if (!gw_sheet_read("stats", file ? file : "-", &desk.sheet)) return GW_EXIT_INPUT;
    int status = method->run(&desk);
    gw_desk_forget(&desk);
    gw_sheet_finish(&desk.sheet);
    if (fflush(stdout) == 0 && !ferror(stdout)) return status;
    gw_cli_say("stats", "%s: the result could not be written", method->name);
    return GW_EXIT_FAILED;
}

int gw_cli_stats(int argc, char **argv)
{
    if (argc < 2) {
        usage(stderr);
        return GW_EXIT_INPUT;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        usage(stdout);
        return GW_EXIT_DONE;
    }
    const gw_desk_method *method = find_method(argv[1]);
    if (method) return run(method, argc - 2, argv + 2);
    gw_cli_say("stats", "does not know \"%.60s\"; gramwell stats --help lists the methods", argv[1]);
    return GW_EXIT_INPUT;
}
