/* sheet: a CSV file in memory. */
#include <errno.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli.h"
#include "sheet.h"

enum { FILE_MAX = 256 * 1024 * 1024, COLUMNS_MAX = 64 };

void gw_sheet_fault(gw_sheet *sheet, size_t line, const char *column, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fprintf(stderr, "%s:%zu: %s%s", sheet->name, line, column ? column : "", column ? ": " : "");
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
    sheet->faults++;
}

static char *read_all(FILE *f, size_t *length)
{
    size_t size = 65536, n = 0;
    char *text = malloc(size + 1);
    while (text) {
        n += fread(text + n, 1, size - n, f);
        if (n < size || size >= FILE_MAX) break;
        char *more = realloc(text, size * 2 + 1);
        if (!more) {
            free(text);
            return NULL;
        }
        text = more;
        size *= 2;
    }
    if (text) text[n] = '\0';
    *length = n;
    return text;
}

/* Length of the UTF-8 character at c, 0 when it is none (RFC 3629: no surrogates, nothing over-long). */
static size_t utf8_length(const unsigned char *c)
{
    if (c[0] < 0x80) return 1;
    size_t n = c[0] >= 0xc2 && c[0] <= 0xdf ? 2 : (c[0] & 0xf0) == 0xe0 ? 3 : c[0] >= 0xf0 && c[0] <= 0xf4 ? 4 : 0;
    for (size_t i = 1; i < n; i++) {
        if ((c[i] & 0xc0) != 0x80) return 0;
    }
    if (n == 3 && ((c[0] == 0xe0 && c[1] < 0xa0) || (c[0] == 0xed && c[1] > 0x9f))) return 0;
    if (n == 4 && ((c[0] == 0xf0 && c[1] < 0x90) || (c[0] == 0xf4 && c[1] > 0x8f))) return 0;
    return n;
}

static bool text_sound(gw_sheet *sheet, size_t length)
{
    const unsigned char *c = (const unsigned char *)sheet->text;
    size_t line = 1;
    for (size_t i = 0; i < length;) {
        if (c[i] == '\0') {
            gw_sheet_fault(sheet, line, NULL, "holds a zero byte: this is not a CSV file (UTF-16?)");
            return false;
        }
        size_t n = utf8_length(c + i);
        if (n == 0) {
            gw_sheet_fault(sheet, line, NULL, "is not UTF-8: save the file with that encoding");
            return false;
        }
        if (c[i] == '\n') line++;
        i += n;
    }
    return true;
}

typedef struct {
    char *at; /* next character to read; fields are written over the text, which only gets shorter */
    size_t line;
} cursor;

/* One field, its end marked by a zero byte. *last: it was the record's last. NULL after a told fault. */
static char *read_field(gw_sheet *sheet, cursor *c, bool *last)
{
    char *field = c->at, *to = c->at, *from = c->at;
    size_t began = c->line;
    if (*from == '"') {
        from++;
        for (;; from++) {
            if (*from == '\0') {
                gw_sheet_fault(sheet, began, NULL, "a quoted field is not closed");
                return NULL;
            }
            if (*from == '"' && *++from != '"') break;
            if (*from == '\n') c->line++;
            *to++ = *from;
        }
        if (*from != ',' && *from != '\n' && *from != '\r' && *from != '\0') {
            gw_sheet_fault(sheet, c->line, NULL, "text after a closing quote, expected a comma");
            return NULL;
        }
    } else {
        for (; *from != ',' && *from != '\n' && *from != '\0' && !(*from == '\r' && (from[1] == '\n' || !from[1]));
             from++) {
            if (*from == '"') {
                gw_sheet_fault(sheet, c->line, NULL, "a quote inside a field that does not begin with one");
                return NULL;
            }
            *to++ = *from;
        }
    }
    *last = *from != ',';
    if (*from == '\r') from++;
    if (*from == '\n') c->line++;
    c->at = *from ? from + 1 : from;
    *to = '\0';
    return field;
}

static bool read_row(gw_sheet *sheet, cursor *c, gw_sheet_row *row)
{
    char *fields[COLUMNS_MAX];
    bool last = false;
    row->line = c->line;
    row->n = 0;
    while (!last) {
        if (row->n == COLUMNS_MAX) {
            gw_sheet_fault(sheet, row->line, NULL, "has more than %d fields", COLUMNS_MAX);
            return false;
        }
        char *field = read_field(sheet, c, &last);
        if (!field) return false;
        fields[row->n++] = field;
    }
    row->fields = malloc(row->n * sizeof *row->fields);
    if (row->fields) memcpy(row->fields, fields, row->n * sizeof *row->fields);
    return row->fields != NULL;
}

static bool header_sound(gw_sheet *sheet)
{
    const gw_sheet_row *h = &sheet->header;
    if (h->n == 1 && strchr(h->fields[0], ';')) {
        gw_sheet_fault(sheet, 1, NULL, "the fields are parted by ';', expected ',': save as CSV with commas");
        return false;
    }
    for (size_t i = 0; i < h->n; i++) {
        for (size_t j = 0; j < i; j++) {
            if (strcmp(h->fields[i], h->fields[j]) == 0) {
                gw_sheet_fault(sheet, 1, h->fields[i], "this column stands there twice");
                return false;
            }
        }
    }
    return true;
}

static bool parse(gw_sheet *sheet, const char *command)
{
    cursor c = {sheet->text, 1};
    size_t size = 0;
    if (strncmp(c.at, "\xef\xbb\xbf", 3) == 0) c.at += 3;
    if (*c.at == '\0') {
        gw_sheet_fault(sheet, 1, NULL, "the file is empty, expected a header line");
        return false;
    }
    if (!read_row(sheet, &c, &sheet->header) || !header_sound(sheet)) return false;
    bool sound = true;
    while (*c.at) {
        if (sheet->n_rows == size) {
            size = size ? size * 2 : 256;
            gw_sheet_row *more = realloc(sheet->rows, size * sizeof *more);
            if (!more) {
                gw_cli_say(command, "out of memory");
                return false;
            }
            sheet->rows = more;
        }
        gw_sheet_row *row = &sheet->rows[sheet->n_rows];
        if (!read_row(sheet, &c, row)) return false;
        sheet->n_rows++;
        if (row->n != sheet->header.n) {
            bool empty = row->n == 1 && row->fields[0][0] == '\0';
            if (empty)
                gw_sheet_fault(sheet, row->line, NULL, "is empty");
            else
                gw_sheet_fault(sheet, row->line, NULL, "has %zu fields, the header has %zu", row->n, sheet->header.n);
            sound = false;
        }
    }
    return sound;
}

bool gw_sheet_read(const char *command, const char *name, gw_sheet *sheet)
{
    bool standard = strcmp(name, "-") == 0;
    *sheet = (gw_sheet){.name = standard ? "standard input" : name};
    FILE *f = standard ? stdin : fopen(name, "r");
    if (!f) {
        gw_cli_say(command, "%s: %s", name, strerror(errno));
        return false;
    }
    size_t length = 0;
    errno = 0;
    sheet->text = read_all(f, &length);
    bool read = sheet->text && !ferror(f);
    if (!read) gw_cli_say(command, "%s: %s", sheet->name, errno ? strerror(errno) : "cannot be read");
    if (!standard) fclose(f);
    if (read && length >= FILE_MAX) {
        gw_cli_say(command, "%s is larger than %d MB: split it", sheet->name, FILE_MAX / 1024 / 1024);
        read = false;
    }
    if (read && text_sound(sheet, length) && parse(sheet, command)) return true;
    gw_sheet_finish(sheet);
    return false;
}

void gw_sheet_finish(gw_sheet *sheet)
{
    for (size_t i = 0; i < sheet->n_rows; i++) free(sheet->rows[i].fields);
    free(sheet->rows);
    free(sheet->header.fields);
    free(sheet->text);
    *sheet = (gw_sheet){.name = sheet->name};
}

int gw_sheet_column(const gw_sheet *sheet, const char *name)
{
    for (size_t i = 0; i < sheet->header.n; i++) {
        if (strcmp(sheet->header.fields[i], name) == 0) return (int)i;
    }
    return -1;
}

const char *gw_sheet_field(const gw_sheet_row *row, int column)
{
    return column < 0 ? "" : row->fields[column];
}
