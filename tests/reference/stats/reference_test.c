/*
 * reference_stats_test FOLDER [--differences]
 *
 * Runs every case of FOLDER/cases and every animal of FOLDER/per_animal.csv. A case passes when each of its fields is
 * there and lies within the case's own tolerance, and when each published value is met within its printed digits and
 * that tolerance. A method that this program does not know is a failure. --differences prints the largest difference of
 * each case.
 *
 * Tolerance of a field: {"rel": r}, {"abs": a}, or {"skip": true}. "scale": "array" takes r relative to the largest
 * expected value of the field, "entry" relative to each entry.
 */
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "inputs.h"
#include "methods.h"

enum { CASES_MIN = 142, ANIMALS_MIN = 94, PATH_SIZE = 4096 }; /* what is there today: fewer means a broken checkout */

static size_t passed, failed;
static bool show_differences;

static void verdict(const char *id, bool good)
{
    if (good)
        passed++;
    else
        failed++;
    if (!good) printf("FAILED %s\n", id);
}

/* ------------------------------------------------------------------------------------------- one field */

static size_t entries(const json_t *value)
{
    return json_is_array(value) ? json_array_size(value) : 1;
}

static const json_t *entry(const json_t *value, size_t i)
{
    return json_is_array(value) ? json_array_get(value, i) : value;
}

static double largest_of(const json_t *value)
{
    double largest = 0;
    for (size_t i = 0; i < entries(value); i++) {
        const json_t *e = entry(value, i);
        if (json_is_number(e)) largest = fmax(largest, fabs(json_number_value(e)));
    }
    return largest;
}

/* How a case wants its fields compared. */
typedef struct {
    const json_t *standard, *fields;
    bool by_entry;
} rules;

static const json_t *rule_of(const rules *r, const char *field)
{
    const json_t *own = json_object_get(r->fields, field);
    return own ? own : r->standard;
}

/* What an entry is compared with, and how far it may be off. */
static double scale_of(const rules *r, const json_t *expected, double want)
{
    return r->by_entry ? (want == 0 ? 1 : fabs(want)) : largest_of(expected);
}

static double allowed(const rules *r, const char *field, const json_t *expected, double want)
{
    const json_t *rule = rule_of(r, field), *absolute = json_object_get(rule, "abs");
    if (absolute) return json_number_value(absolute);
    return json_number_value(json_object_get(rule, "rel")) * scale_of(r, expected, want);
}

/* Compare one field; *worst grows to the largest relative difference seen. */
static bool field_met(const char *id, const char *field, const rules *r, const json_t *expected, const json_t *found,
                      double *worst)
{
    if (!found) {
        printf("%s: %s is not computed\n", id, field);
        return false;
    }
    if (entries(expected) != entries(found)) {
        printf("%s: %s has %zu entries, expected %zu\n", id, field, entries(found), entries(expected));
        return false;
    }
    bool good = true;
    for (size_t i = 0; i < entries(expected); i++) {
        const json_t *e = entry(expected, i), *f = entry(found, i);
        if (json_is_null(e) && json_is_null(f)) continue;
        if (!json_is_number(e) || !json_is_number(f)) {
            printf("%s: %s[%zu] is defined on one side only\n", id, field, i);
            good = false;
            continue;
        }
        double want = json_number_value(e), off = fabs(json_number_value(f) - want);
        double limit = allowed(r, field, expected, want), scale = scale_of(r, expected, want);
        if (off > 0 && scale > 0) *worst = fmax(*worst, off / scale);
        if (off <= limit) continue;
        printf("%s: %s[%zu] is %.17g, expected %.17g: off by %.3g, allowed %.3g\n", id, field, i, json_number_value(f),
               want, off, limit);
        good = false;
    }
    return good;
}

/* A published value: "field" or "field[3]", met within the digits that were printed and the field's tolerance. */
static bool published_met(const char *id, const json_t *value, const rules *r, const json_t *expected,
                          const json_t *found)
{
    const char *name = json_string_value(json_object_get(value, "field"));
    char field[64];
    size_t i = 0;
    if (!name || strlen(name) >= sizeof field) odd_case("published field");
    memcpy(field, name, strlen(name) + 1);
    char *bracket = strchr(field, '[');
    if (bracket) {
        i = (size_t)strtoul(bracket + 1, NULL, 10);
        *bracket = '\0';
    }
    const json_t *f = entry(json_object_get(found, field), i), *computed = json_object_get(expected, field);
    double want = json_number_value(json_object_get(value, "value"));
    double within = json_number_value(json_object_get(value, "within")) + allowed(r, field, computed, want);
    if (json_is_number(f) && fabs(json_number_value(f) - want) <= within) return true;
    printf("%s: %s is %.17g, published %.17g within %.3g (%s)\n", id, name, json_number_value(f), want, within,
           json_string_value(json_object_get(value, "source")));
    return false;
}

/* ------------------------------------------------------------------------------------------- one case */

static bool case_met(const char *id, const json_t *the_case, const json_t *found)
{
    const json_t *tolerance = json_object_get(the_case, "tolerance"), *expected = json_object_get(the_case, "expected");
    const char *scale = json_string_value(json_object_get(tolerance, "scale"));
    rules r = {json_object_get(tolerance, "default"), json_object_get(tolerance, "fields"), false};
    if (!r.standard || !scale || json_object_size(expected) == 0) odd_case(id);
    r.by_entry = strcmp(scale, "entry") == 0;
    double worst = 0;
    bool good = true;
    const char *field;
    json_t *value;
    json_object_foreach((json_t *)expected, field, value)
    {
        if (json_object_get(rule_of(&r, field), "skip")) continue;
        good = field_met(id, field, &r, value, json_object_get(found, field), &worst) && good;
    }
    size_t i;
    json_t *published = json_object_get(the_case, "published");
    json_array_foreach(published, i, value) good = published_met(id, value, &r, expected, found) && good;
    if (show_differences) printf("| %s | %.1e |\n", id, worst);
    return good;
}

static void run_case(const char *path)
{
    json_error_t fault;
    json_t *the_case = json_load_file(path, JSON_REJECT_DUPLICATES, &fault);
    if (!the_case) {
        printf("%s:%d: %s\n", path, fault.line, fault.text);
        verdict(path, false);
        return;
    }
    const char *id = json_string_value(json_object_get(the_case, "id"));
    const char *method = json_string_value(json_object_get(the_case, "method"));
    if (!id || !method) odd_case(path);
    method_run run = find_method(method);
    if (!run) {
        printf("%s: no function answers the method %s\n", id, method);
        verdict(id, false);
    } else {
        json_t *found = json_object();
        gw_stats_status status = run(json_object_get(the_case, "input"), found);
        if (status) printf("%s: %s\n", id, gw_stats_status_text(status));
        verdict(id, !status && case_met(id, the_case, found));
        json_decref(found);
    }
    inputs_release();
    json_decref(the_case);
}

static int is_case(const struct dirent *e)
{
    const char *end = strrchr(e->d_name, '.');
    return end && strcmp(end, ".json") == 0;
}

static void run_cases(const char *folder)
{
    char path[PATH_SIZE];
    struct dirent **names;
    snprintf(path, sizeof path, "%s/cases", folder);
    int n = scandir(path, &names, is_case, alphasort);
    if (n < CASES_MIN) {
        printf("%s holds %d cases, expected at least %d\n", path, n, CASES_MIN);
        failed++;
    }
    for (int i = 0; i < n; i++) {
        snprintf(path, sizeof path, "%s/cases/%s", folder, names[i]->d_name);
        run_case(path);
        free(names[i]);
    }
    if (n >= 0) free(names);
}

/* ------------------------------------------------------------------------------------------- the animals */

enum { COLUMNS_MAX = 40 };

/* Cut a line at its commas, in place. */
static size_t cut(char *line, char *fields[COLUMNS_MAX])
{
    size_t n = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; at && n < COLUMNS_MAX;) {
        fields[n++] = at;
        at = strchr(at, ',');
        if (at) *at++ = '\0';
    }
    return n;
}

static series numbers_of(char *text)
{
    series s = {0, scratch(strlen(text) + 1)};
    for (char *end; *text; text = end + strspn(end, " ")) {
        s.v[s.n++] = strtod(text, &end);
        if (end == text) odd_case("a number in per_animal.csv");
    }
    return s;
}

typedef struct {
    const char *column;
    double value;
} answer;

static size_t answers_of(series t, series y, answer a[COLUMNS_MAX])
{
    gw_stats_level_of level;
    gw_stats_line_fit line;
    gw_stats_slopes slopes;
    gw_stats_trend trend;
    gw_stats_status status = gw_stats_level(y.n, y.v, scratch(y.n), &level, NULL);
    if (!status) status = gw_stats_line(y.n, t.v, y.v, NULL, 0.95, &line, NULL);
    if (!status) status = gw_stats_theil_sen(y.n, t.v, y.v, 0.95, scratch(gw_stats_theil_sen_work(y.n)), &slopes, NULL);
    if (!status) status = gw_stats_mann_kendall(y.n, t.v, y.v, scratch(gw_stats_mann_kendall_work(y.n)), &trend, NULL);
    if (status) return 0;
    const answer found[] = {{"median", level.median},
                            {"mad_raw", level.mad},
                            {"ols_intercept", line.coef[0]},
                            {"ols_slope", line.coef[1]},
                            {"ols_slope_se", line.se[1]},
                            {"ols_sigma", line.sigma},
                            {"theil_slope", slopes.slope},
                            {"theil_intercept_separate", slopes.intercept_separate},
                            {"theil_intercept_joint", slopes.intercept_joint},
                            {"theil_ci95_low", slopes.low},
                            {"theil_ci95_high", slopes.high},
                            {"mk_S", trend.s},
                            {"mk_var_S", trend.var_s},
                            {"mk_tau_b", trend.tau_b},
                            {"mk_z_continuity", trend.z_continuity},
                            {"mk_p_continuity", trend.p_continuity}};
    memcpy(a, found, sizeof found);
    return sizeof found / sizeof found[0];
}

static bool animal_met(const char *id, char *header[], char *fields[], size_t columns, double *worst)
{
    answer found[COLUMNS_MAX];
    size_t n = answers_of(numbers_of(fields[5]), numbers_of(fields[6]), found), met = 0;
    bool good = n > 0;
    for (size_t c = 7; c < columns; c++) {
        for (size_t i = 0; i < n; i++) {
            if (strcmp(found[i].column, header[c]) != 0) continue;
            double want = strtod(fields[c], NULL), off = fabs(found[i].value - want);
            double allowed = strcmp(header[c], "mk_S") == 0 ? 0 : 1e-10 * fabs(want);
            met++;
            if (want != 0) *worst = fmax(*worst, off / fabs(want));
            if (off <= allowed) continue;
            printf("%s: %s is %.17g, expected %.17g\n", id, header[c], found[i].value, want);
            good = false;
        }
    }
    if (met != columns - 7) printf("%s: %zu of %zu columns computed\n", id, met, columns - 7);
    return good && met == columns - 7;
}

static void run_animals(const char *folder)
{
    char path[PATH_SIZE], head[4096], line[8192], id[64], *header[COLUMNS_MAX], *fields[COLUMNS_MAX];
    snprintf(path, sizeof path, "%s/per_animal.csv", folder);
    FILE *f = fopen(path, "r");
    if (!f || !fgets(head, sizeof head, f)) odd_case(path);
    size_t columns = cut(head, header), animals = 0;
    double worst = 0;
    if (columns < 8 || strcmp(header[5], "times") != 0 || strcmp(header[6], "weights") != 0) odd_case(path);
    for (; fgets(line, sizeof line, f); animals++) {
        if (cut(line, fields) != columns) odd_case(path);
        snprintf(id, sizeof id, "%.20s %.20s", fields[0], fields[1]);
        verdict(id, animal_met(id, header, fields, columns, &worst));
        inputs_release();
    }
    fclose(f);
    if (animals < ANIMALS_MIN) {
        printf("%s holds %zu animals, expected at least %d\n", path, animals, ANIMALS_MIN);
        failed++;
    }
    if (show_differences) printf("| per_animal.csv | %.1e |\n", worst);
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fprintf(stderr, "usage: reference_stats_test FOLDER [--differences]\n");
        return 2;
    }
    show_differences = argc > 2 && strcmp(argv[2], "--differences") == 0;
    run_cases(argv[1]);
    run_animals(argv[1]);
    printf("%zu passed, %zu failed\n", passed, failed);
    return failed > 0;
}
