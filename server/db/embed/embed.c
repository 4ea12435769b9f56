/*
 * Makes the SQL of schema/ part of the binary. A program of the build, not of the server.
 *
 *   embed OUT.h OUT.c QUERY.sql... -- MIGRATION.sql...
 *
 * Each query becomes `const gw_query gw_q_<stem>` with the number of its parameters (the highest $n outside comments
 * and quoted text); each migration a row of gw_migrations with the number that begins its name. Bytes are written as
 * numbers: a string literal has a length limit and needs escapes.
 */
#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    char *bytes;
    size_t length;
    char stem[128];
} source;

static void die(const char *what, const char *path)
{
    fprintf(stderr, "embed: %s: %s\n", path, what);
    exit(1);
}

/* File name without folders and ".sql"; it becomes part of a C name. */
static void read_stem(const char *path, char *stem, size_t size)
{
    const char *name = strrchr(path, '/') ? strrchr(path, '/') + 1 : path;
    size_t length = strlen(name);
    if (length < 5 || strcmp(name + length - 4, ".sql") != 0 || length - 4 >= size)
        die("expected a short name.sql", path);
    memcpy(stem, name, length - 4);
    stem[length - 4] = '\0';
    for (const char *c = stem; *c; c++)
        if (!islower((unsigned char)*c) && !isdigit((unsigned char)*c) && *c != '_')
            die("expected a-z, 0-9, _ in the name", path);
}

static source read_source(const char *path)
{
    source s = {0};
    read_stem(path, s.stem, sizeof s.stem);
    FILE *file = fopen(path, "rb");
    if (!file || fseek(file, 0, SEEK_END) != 0) die("cannot be opened", path);
    long length = ftell(file);
    rewind(file);
    s.bytes = calloc(1, (size_t)length + 1);
    if (!s.bytes || fread(s.bytes, 1, (size_t)length, file) != (size_t)length) die("cannot be read", path);
    s.length = (size_t)length;
    fclose(file);
    return s;
}

static const char *skip_quoted(const char *c, char quote)
{
    for (c++; *c && *c != quote; c++) continue;
    return *c ? c + 1 : c;
}

static int count_parameters(const char *sql)
{
    int highest = 0;
    for (const char *c = sql; *c;) {
        if (c[0] == '-' && c[1] == '-') {
            c += strcspn(c, "\n");
        } else if (*c == '\'' || *c == '"') {
            c = skip_quoted(c, *c);
        } else if (*c == '$' && isdigit((unsigned char)c[1])) {
            int n = (int)strtol(c + 1, NULL, 10);
            if (n > highest) highest = n;
            c++;
        } else {
            c++;
        }
    }
    return highest;
}

static void write_bytes(FILE *out, const char *prefix, const source *s)
{
    fprintf(out, "static const char %s_%s[] = {", prefix, s->stem);
    for (size_t i = 0; i < s->length; i++) fprintf(out, "%s%d,", i % 24 ? "" : "\n    ", (signed char)s->bytes[i]);
    fprintf(out, "\n    0};\n\n");
}

static void write_query(FILE *header, FILE *out, int number, const source *s)
{
    fprintf(header, "extern const gw_query gw_q_%s;\n", s->stem);
    write_bytes(out, "sql", s);
    fprintf(out, "const gw_query gw_q_%s = {\"%s\", sql_%s, %d, %d};\n\n", s->stem, s->stem, s->stem,
            count_parameters(s->bytes), number);
}

static void write_list(FILE *out, int n, const source *queries)
{
    fprintf(out, "const gw_query *const gw_queries[] = {\n");
    for (int i = 0; i < n; i++) fprintf(out, "    &gw_q_%s,\n", queries[i].stem);
    fprintf(out, "    NULL};\nconst size_t gw_n_queries = %d;\n\n", n);
}

static void write_migrations(FILE *out, int n, const source *migrations)
{
    for (int i = 0; i < n; i++) write_bytes(out, "migration", &migrations[i]);
    fprintf(out, "const gw_migration gw_migrations[] = {\n");
    long last = 0;
    for (int i = 0; i < n; i++) {
        long number = strtol(migrations[i].stem, NULL, 10);
        if (number != last + 1) die("numbers must follow each other: 0001_, 0002_, ...", migrations[i].stem);
        last = number;
        fprintf(out, "    {%ld, \"%s\", migration_%s, %zu},\n", number, migrations[i].stem, migrations[i].stem,
                migrations[i].length);
    }
    fprintf(out, "    {0, NULL, NULL, 0}};\nconst size_t gw_n_migrations = %d;\n", n);
}

int main(int argc, char *argv[])
{
    if (argc < 4) die("expected OUT.h OUT.c QUERY.sql... -- MIGRATION.sql...", "arguments");
    source *sources = calloc((size_t)argc, sizeof *sources);
    FILE *header = fopen(argv[1], "w"), *out = fopen(argv[2], "w");
    if (!sources || !header || !out) die("cannot be written", argv[1]);

    int n = 0, n_queries = -1;
    for (int i = 3; i < argc; i++) {
        if (strcmp(argv[i], "--") == 0)
            n_queries = n;
        else
            sources[n++] = read_source(argv[i]);
    }
    if (n_queries < 0) die("expected -- between queries and migrations", "arguments");

    fprintf(header, "/* Made by the build from schema/queries; do not edit. */\n#ifndef GW_SQL_H\n#define GW_SQL_H\n\n"
                    "#include \"db/db.h\"\n\n");
    fprintf(
        out,
        "/* Made by the build from schema/; do not edit. */\n#include \"gw_sql.h\"\n\n#include \"db/migrate.h\"\n\n");
    for (int i = 0; i < n_queries; i++) write_query(header, out, i, &sources[i]);
    write_list(out, n_queries, sources);
    write_migrations(out, n - n_queries, sources + n_queries);
    fprintf(header, "\n/* All of them, ended by NULL. */\nextern const gw_query *const gw_queries[];\n"
                    "extern const size_t gw_n_queries;\n\n#endif\n");

    for (int i = 0; i < n; i++) free(sources[i].bytes);
    free(sources);
    bool failed = fclose(header) != 0;
    failed = fclose(out) != 0 || failed;
    if (failed) die("cannot be written", argv[2]);
    return 0;
}
