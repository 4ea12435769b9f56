/* A CSV file read row by row: RFC 4180, comma, one header line, UTF-8 with or without a byte order mark. */
#include "assess.h"

#include "cli.h"

#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum { ROW_MOST = 1 << 20 };

static const char *const names[GW_COLUMNS] = {"animal", "at",      "grams", "species", "sex",  "birth",
                                              "stage",  "arrived", "home",  "scale",   "step", "second",
                                              "signs",  "event",   "from",  "to"};

void gw_rows_fault(gw_rows_file *file, gw_column column, const char *format, ...)
{
    file->faults++;
    if (file->quiet) return;
    va_list args;
    va_start(args, format);
    fprintf(stderr, "%s:%zu: ", file->name, file->line);
    if (column < GW_COLUMNS) fprintf(stderr, "%s: ", names[column]);
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
}

static int next_char(gw_rows_file *file)
{
    if (file->held == EOF) return getc(file->file);
    int c = file->held;
    file->held = EOF;
    return c;
}

static bool add_char(gw_rows_file *file, char c)
{
    if (file->text_used == file->text_size) {
        size_t size = file->text_size ? file->text_size * 2 : 512;
        char *more = size <= ROW_MOST ? realloc(file->text, size) : NULL;
        if (!more) {
            gw_rows_fault(file, GW_COLUMNS, "is longer than %d bytes: a quote may be missing", ROW_MOST);
            return false;
        }
        file->text = more;
        file->text_size = size;
    }
    file->text[file->text_used++] = c;
    return true;
}

static bool begin_field(gw_rows_file *file)
{
    if (file->n_starts == file->starts_size) {
        size_t size = file->starts_size ? file->starts_size * 2 : 32;
        size_t *more = realloc(file->starts, size * sizeof *more);
        if (!more) {
            gw_rows_fault(file, GW_COLUMNS, "out of memory");
            return false;
        }
        file->starts = more;
        file->starts_size = size;
    }
    file->starts[file->n_starts++] = file->text_used;
    return true;
}

/* The rest of a field that began with a quote. Returns the character behind it, -2 after a told fault. */
static int read_quoted(gw_rows_file *file)
{
    for (;;) {
        int c = next_char(file);
        if (c == EOF) {
            gw_rows_fault(file, GW_COLUMNS, "a quoted field is not closed");
            return -2;
        }
        if (c == '\n') file->next_line++;
        if (c == '"') {
            c = next_char(file);
            if (c != '"') {
                if (c == ',' || c == '\n' || c == '\r' || c == EOF) return c;
                gw_rows_fault(file, GW_COLUMNS, "text after a closing quote, expected a comma");
                return -2;
            }
        }
        if (!add_char(file, (char)c)) return -2;
    }
}

/* One field; returns the character behind it, -2 after a told fault. */
static int read_field(gw_rows_file *file, int c)
{
    if (!begin_field(file)) return -2;
    if (c == '"') {
        c = read_quoted(file);
    } else {
        for (; c != ',' && c != '\n' && c != EOF; c = next_char(file)) {
            if (c == '\r') {
                int next = next_char(file);
                if (next == '\n' || next == EOF) {
                    c = next;
                    break;
                }
                file->held = next;
            }
            if (c == '"') {
                gw_rows_fault(file, GW_COLUMNS, "a quote inside a field that does not begin with one");
                return -2;
            }
            if (!add_char(file, (char)c)) return -2;
        }
    }
    if (c == '\r') c = next_char(file);
    if (c != -2 && !add_char(file, '\0')) return -2;
    return c;
}

/* UTF-8 without zero bytes, so that what was read can be written again. */
static bool text_sound(gw_rows_file *file)
{
    size_t ends = 0;
    for (size_t i = 0; i < file->text_used;) {
        unsigned char c = (unsigned char)file->text[i];
        size_t n = c < 0x80 ? 1 : c >= 0xc2 && c <= 0xdf ? 2 : (c & 0xf0) == 0xe0 ? 3 : c >= 0xf0 && c <= 0xf4 ? 4 : 0;
        for (size_t k = 1; k < n; k++)
            if (i + k >= file->text_used || ((unsigned char)file->text[i + k] & 0xc0) != 0x80) n = 0;
        unsigned char second = n > 2 ? (unsigned char)file->text[i + 1] : 0;
        if (n == 3 && ((c == 0xe0 && second < 0xa0) || (c == 0xed && second > 0x9f))) n = 0;
        if (n == 4 && ((c == 0xf0 && second < 0x90) || (c == 0xf4 && second > 0x8f))) n = 0;
        if (n == 0) {
            gw_rows_fault(file, GW_COLUMNS, "is not UTF-8: save the file with that encoding");
            return false;
        }
        ends += c == 0;
        i += n;
    }
    if (ends == file->n_starts) return true;
    gw_rows_fault(file, GW_COLUMNS, "holds a zero byte: this is not a CSV file (UTF-16?)");
    return false;
}

/* One record into text and starts. false: the end, or a told fault. */
static bool read_record(gw_rows_file *file)
{
    file->text_used = file->n_starts = 0;
    file->line = file->next_line;
    int c = next_char(file);
    if (c == EOF) {
        if (ferror(file->file)) gw_rows_fault(file, GW_COLUMNS, "%s", strerror(errno));
        return false;
    }
    for (;;) {
        c = read_field(file, c);
        if (c != ',') break;
        c = next_char(file);
    }
    if (c == -2) return false;
    if (c != '\n' && c != EOF) {
        gw_rows_fault(file, GW_COLUMNS, "text after a closing quote, expected a comma");
        return false;
    }
    file->next_line++;
    return text_sound(file);
}

static void name_columns(uint32_t columns, char *out, size_t size)
{
    out[0] = '\0';
    for (int i = 0; i < GW_COLUMNS; i++) {
        if (!(columns & (1u << i))) continue;
        size_t used = strlen(out);
        snprintf(out + used, size - used, "%s%s", used ? ", " : "", names[i]);
    }
}

static bool read_header(gw_rows_file *file, uint32_t required, uint32_t allowed)
{
    char list[256];
    name_columns(allowed, list, sizeof list);
    if (!read_record(file)) {
        if (!file->faults) gw_rows_fault(file, GW_COLUMNS, "the file is empty, expected a header with %s", list);
        return false;
    }
    if (strncmp(file->text, "\xef\xbb\xbf", 3) == 0) memmove(file->text, file->text + 3, strlen(file->text + 3) + 1);
    file->n_columns = file->n_starts;
    for (size_t i = 0; i < file->n_starts; i++) {
        const char *name = file->text + file->starts[i];
        int column = 0;
        while (column < GW_COLUMNS && (!(allowed & (1u << column)) || strcmp(names[column], name) != 0)) column++;
        if (column == GW_COLUMNS)
            gw_rows_fault(file, GW_COLUMNS, "column \"%s\" is unknown, expected %s%s", name, list,
                          strchr(name, ';') ? ": the columns must be parted by commas" : "");
        else if (file->place[column] >= 0)
            gw_rows_fault(file, (gw_column)column, "this column stands there twice");
        else
            file->place[column] = (int)i;
    }
    for (int i = 0; i < GW_COLUMNS; i++)
        if ((required & (1u << i)) && file->place[i] < 0)
            gw_rows_fault(file, (gw_column)i, "this column is missing, expected %s", list);
    return file->faults == 0;
}

bool gw_rows_open(gw_rows_file *file, const char *name, uint32_t required, uint32_t allowed, bool quiet)
{
    bool standard = strcmp(name, "-") == 0;
    *file = (gw_rows_file){
        .name = standard ? "standard input" : name, .next_line = 1, .line = 1, .quiet = quiet, .held = EOF};
    for (int i = 0; i < GW_COLUMNS; i++) file->place[i] = -1;
    file->file = standard ? stdin : fopen(name, "r");
    if (!file->file) {
        if (!quiet) gw_cli_say("assess", "%s: %s", name, strerror(errno));
        file->faults++;
        return false;
    }
    return read_header(file, required, allowed);
}

bool gw_rows_next(gw_rows_file *file)
{
    if (!read_record(file)) return false;
    if (file->n_starts == file->n_columns) return true;
    if (file->n_starts == 1 && file->text[0] == '\0')
        gw_rows_fault(file, GW_COLUMNS, "is empty, expected %zu fields", file->n_columns);
    else
        gw_rows_fault(file, GW_COLUMNS, "has %zu fields, the header has %zu", file->n_starts, file->n_columns);
    return false;
}

const char *gw_rows_field(const gw_rows_file *file, gw_column column)
{
    return file->place[column] < 0 ? "" : file->text + file->starts[file->place[column]];
}

bool gw_rows_has(const gw_rows_file *file, gw_column column)
{
    return file->place[column] >= 0;
}

void gw_rows_close(gw_rows_file *file)
{
    if (file->file && file->file != stdin) fclose(file->file);
    free(file->text);
    free(file->starts);
    *file = (gw_rows_file){.name = file->name, .faults = file->faults};
}

bool gw_rows_number(gw_rows_file *file, gw_column column, double low, double high, double *out)
{
    const char *text = gw_rows_field(file, column);
    size_t whole = strspn(text, "0123456789");
    size_t length = whole;
    if (text[whole] == '.') length += 1 + strspn(text + whole + 1, "0123456789");
    if (whole == 0 || text[length] != '\0' || text[length - 1] == '.' || length > 30) {
        gw_rows_fault(file, column, "\"%s\" is no number, expected digits with a decimal point such as 1002.5%s", text,
                      strchr(text, ',') ? "; not a decimal comma" : "");
        return false;
    }
    *out = strtod(text, NULL);
    if (*out >= low && *out <= high) return true;
    gw_rows_fault(file, column, "is %s, expected %g to %g g", text, low, high);
    return false;
}

bool gw_rows_day(gw_rows_file *file, gw_column column, double *day, bool *date_only)
{
    bool only;
    const char *text = gw_rows_field(file, column);
    *day = NAN;
    if (!*text) return true;
    if (gw_day_parse(text, day, &only) && (date_only || only)) {
        if (date_only) *date_only = only;
        return true;
    }
    gw_rows_fault(file, column, "\"%s\" is no date, expected %s", text,
                  date_only ? "2026-03-01 or 2026-03-01T18:30:00+01:00" : "such as 2026-03-01");
    return false;
}

bool gw_rows_name(gw_rows_file *file, gw_column column, int (*value_of)(const char *), int unknown, const char *list,
                  int32_t *out)
{
    const char *text = gw_rows_field(file, column);
    *out = *text ? value_of(text) : unknown;
    if (!*text || *out >= 0) return true;
    gw_rows_fault(file, column, "\"%s\" is unknown, expected %s", text, list);
    return false;
}
