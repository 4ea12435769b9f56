/*
 * Turns the profile tables (CSV with a source in every row) into C tables at build time.
 *
 *   generate species SPECIES.csv | priors PRIORS.csv | limits LIMITS.csv | signs SIGNS.csv  > TABLE.h
 *
 * Runs on the build machine only. A row without a source, with too many or too few fields, or (species) a species that
 * lacks a value another one has stops the build and names the line.
 */
#include <ctype.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIELDS = 8, FIELD_SIZE = 600, ROWS = 600 };

typedef struct {
    char text[FIELDS][FIELD_SIZE];
    int n;
} row;

static const char *path;
static int line = 1;

static _Noreturn void refuse(const char *format, ...)
{
    va_list list;
    va_start(list, format);
    fprintf(stderr, "%s:%d: ", path, line);
    vfprintf(stderr, format, list);
    fputc('\n', stderr);
    va_end(list);
    exit(1);
}

/* One RFC 4180 row without line breaks inside fields. Returns 0 at the end of the file. */
static int read_row(FILE *file, row *out)
{
    memset(out, 0, sizeof *out);
    int quoted = 0;
    size_t at = 0;
    int c = fgetc(file);
    if (c == EOF) return 0;
    for (;; c = fgetc(file)) {
        if (c == EOF || (c == '\n' && !quoted)) break;
        if (c == '\n') refuse("a line break inside quotes");
        if (c == '"') {
            if (!quoted) {
                quoted = 1;
                continue;
            }
            int next = fgetc(file);
            if (next != '"') {
                quoted = 0;
                if (next != EOF) ungetc(next, file);
                continue;
            }
        } else if (c == ',' && !quoted) {
            if (++out->n >= FIELDS) refuse("more than %d fields", FIELDS);
            at = 0;
            continue;
        }
        if (at + 1 >= FIELD_SIZE) refuse("field %d is longer than %d characters", out->n + 1, FIELD_SIZE - 1);
        out->text[out->n][at++] = (char)c;
    }
    out->n++;
    return 1;
}

static void read_header(FILE *file, const char *names)
{
    row header;
    if (!read_row(file, &header)) refuse("no header");
    char joined[FIELDS * 20] = "";
    size_t used = 0;
    for (int i = 0; i < header.n && used < sizeof joined; i++) {
        int n = snprintf(joined + used, sizeof joined - used, "%s%s", i ? "," : "", header.text[i]);
        used += n > 0 ? (size_t)n : 0;
    }
    if (strcmp(joined, names) != 0) refuse("header is \"%s\", expected \"%s\"", joined, names);
}

static int next_row(FILE *file, row *out, int fields)
{
    line++;
    if (!read_row(file, out)) return 0;
    if (out->n != fields) refuse("%d fields, expected %d", out->n, fields);
    if (out->text[fields - 1][0] == '\0') refuse("no source");
    return 1;
}

static void check_number(const char *text)
{
    char *end;
    strtod(text, &end);
    if (end == text || *end) refuse("\"%s\" is no number", text);
}

static const char *upper(const char *text)
{
    static char out[FIELD_SIZE];
    size_t i = 0;
    for (; text[i]; i++) out[i] = (char)toupper((unsigned char)text[i]);
    out[i] = '\0';
    return out;
}

/* A double constant: "1" becomes "1.0". */
static const char *real(const char *text)
{
    static char out[FIELD_SIZE + 2];
    check_number(text);
    snprintf(out, sizeof out, "%s%s", text, strpbrk(text, ".eE") ? "" : ".0");
    return out;
}

static void species(FILE *file)
{
    static char keys[40][40];
    int n_keys = 0, first = 1, seen = 0;
    char now[FIELD_SIZE] = "";
    row r;
    read_header(file, "species,key,value,source");
    printf("static const gw_species_profile gw_species_profiles[GW_SPECIES_COUNT + 1] = {\n");
    while (next_row(file, &r, 4)) {
        if (strcmp(now, r.text[0]) != 0) {
            if (now[0]) {
                if (!first && seen != n_keys) refuse("%s has %d values, expected %d", now, seen, n_keys);
                first = 0;
                printf("    },\n");
            }
            snprintf(now, sizeof now, "%s", r.text[0]);
            seen = 0;
            if (strcmp(now, "unknown") == 0)
                printf("    [GW_SPECIES_COUNT] = {\n");
            else
                printf("    [GW_SPECIES_%s] = {\n", upper(now));
        }
        if (first) {
            if (n_keys >= 40) refuse("more than 40 values");
            snprintf(keys[n_keys++], sizeof keys[0], "%.39s", r.text[1]);
        } else if (seen >= n_keys || strcmp(keys[seen], r.text[1]) != 0) {
            refuse("%s is not the next value of the first species", r.text[1]);
        }
        seen++;
        printf("        .%s = %s, /* %s */\n", r.text[1], real(r.text[2]), r.text[3]);
    }
    if (seen != n_keys) refuse("%s has %d values, expected %d", now, seen, n_keys);
    printf("    },\n};\n");
}

static void priors(FILE *file)
{
    row r;
    read_header(file, "key,value,unit,source");
    while (next_row(file, &r, 4)) {
        printf("#define GW_PRIOR_%s ", upper(r.text[0]));
        printf("%s /* %s; %s */\n", real(r.text[1]), r.text[2], r.text[3]);
    }
}

static void limits(FILE *file)
{
    row r;
    read_header(file, "id,reason,species,who,measure,value,level,source");
    printf("static const gw_limit gw_limits[] = {\n");
    while (next_row(file, &r, 8)) {
        printf("    /* %s: %s */\n    {", r.text[0], r.text[7]);
        printf("%s, ", real(r.text[5]));
        printf("GW_MEASURE_%s, ", upper(r.text[4]));
        printf("GW_WHO_%s, ", upper(r.text[3]));
        if (strcmp(r.text[2], "any") == 0)
            printf("GW_ANY_SPECIES, ");
        else
            printf("GW_SPECIES_%s, ", upper(r.text[2]));
        printf("GW_LEVEL_%s, ", upper(r.text[6]));
        printf("GW_REASON_%s},\n", upper(r.text[1]));
    }
    printf("};\n");
}

static void signs(FILE *file)
{
    row r;
    read_header(file, "code,words,group,level,source");
    printf("static const gw_sign gw_signs[] = {\n");
    while (next_row(file, &r, 5)) {
        bool mouth = strcmp(r.text[2], "none") != 0;
        printf("    /* %s */\n    {\"%s\", \"%s\", ", r.text[4], r.text[0], r.text[1]);
        printf("%s%s, ", mouth ? "GW_MOUTH_" : "0", mouth ? upper(r.text[2]) : "u");
        printf("GW_LEVEL_%s},\n", upper(r.text[3]));
    }
    printf("};\n");
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: generate species|priors|limits|signs FILE.csv\n");
        return 2;
    }
    path = argv[2];
    FILE *file = fopen(path, "r");
    if (!file) {
        perror(path);
        return 1;
    }
    const char *name = strrchr(path, '/');
    printf("/* Made from %s by the build; change that file. */\n", name ? name + 1 : path);
    if (strcmp(argv[1], "species") == 0)
        species(file);
    else if (strcmp(argv[1], "priors") == 0)
        priors(file);
    else if (strcmp(argv[1], "limits") == 0)
        limits(file);
    else if (strcmp(argv[1], "signs") == 0)
        signs(file);
    else
        refuse("unknown kind of table %s", argv[1]);
    fclose(file);
    return fflush(stdout) || ferror(stdout);
}
