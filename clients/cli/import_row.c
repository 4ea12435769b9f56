/* import_row: one row of a sheet of checks. Nothing is guessed: a field that is not understood is a fault. */
#include <ctype.h>
#include <sodium.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "import.h"

const char *const gw_import_regions[GW_IMPORT_REGIONS] = {"behaviour", "breathing", "body", "skin",  "coat", "eyes",
                                                          "ears",      "underside", "feet", "scent", "teeth"};

typedef struct {
    gw_sheet *sheet;
    const gw_sheet_row *row;
    const gw_import_columns *columns;
    const gw_import_known *known;
    const json_t *animal;
    const char *kind;
    char animal_id[37];
    int64_t at_ms;
    json_t *body;
} reader;

static const char *member(const json_t *object, const char *name)
{
    const char *text = json_string_value(json_object_get(object, name));
    return text ? text : "";
}

/* ---- columns ---- */

void gw_import_find_columns(gw_sheet *sheet, gw_import_columns *c)
{
    const struct {
        const char *name;
        int *place;
    } plain[] = {{"animal", &c->animal}, {"at", &c->at},           {"kind", &c->kind},
                 {"grams", &c->grams},   {"scale", &c->scale},     {"zeroed", &c->zeroed},
                 {"note", &c->note},     {"minutes", &c->minutes}, {"confirmed", &c->confirmed}};
    enum { PLAIN = sizeof plain / sizeof plain[0] };
    for (size_t i = 0; i < PLAIN; i++) *plain[i].place = gw_sheet_column(sheet, plain[i].name);
    for (size_t i = 0; i < GW_IMPORT_REGIONS; i++) c->region[i] = gw_sheet_column(sheet, gw_import_regions[i]);

    for (size_t i = 0; i < sheet->header.n; i++) {
        bool known = false;
        for (size_t j = 0; j < PLAIN; j++) known = known || *plain[j].place == (int)i;
        for (size_t j = 0; j < GW_IMPORT_REGIONS; j++) known = known || c->region[j] == (int)i;
        if (!known) gw_sheet_fault(sheet, 1, sheet->header.fields[i], "unknown column");
    }
    if (c->animal < 0) gw_sheet_fault(sheet, 1, "animal", "this column is missing");
    if (c->at < 0) gw_sheet_fault(sheet, 1, "at", "this column is missing");
    if (c->kind < 0) gw_sheet_fault(sheet, 1, "kind", "this column is missing");
}

/* ---- small values ---- */

static int digits(const char *text, int n)
{
    int value = 0;
    for (int i = 0; i < n; i++) {
        if (text[i] < '0' || text[i] > '9') return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

static int64_t days_from_civil(int y, int m, int d)
{
    int64_t yy = y - (m <= 2), era = yy / 400, yoe = yy - era * 400;
    int64_t doy = (153 * (m + (m > 2 ? -3 : 9)) + 2) / 5 + d - 1, doe = yoe * 365 + yoe / 4 - yoe / 100 + doy;
    return era * 146097 + doe - 719468;
}

/* RFC 3339 date and time with offset -> milliseconds since 1970; false when it is none. */
static bool read_instant(const char *t, int64_t *ms)
{
    static const int month_days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (strlen(t) < sizeof "2026-01-02T03:04Z" - 1) return false;
    int y = digits(t, 4), mo = digits(t + 5, 2), d = digits(t + 8, 2), h = digits(t + 11, 2), mi = digits(t + 14, 2);
    int s = 0, offset = 0;
    if (y < 2000 || mo < 1 || mo > 12 || d < 1 || d > month_days[mo - 1] || h < 0 || h > 23 || mi < 0 || mi > 59)
        return false;
    if (mo == 2 && d == 29 && !(y % 4 == 0 && (y % 100 != 0 || y % 400 == 0))) return false;
    if (t[4] != '-' || t[7] != '-' || t[10] != 'T' || t[13] != ':') return false;
    const char *rest = t + 16;
    if (*rest == ':') {
        s = digits(rest + 1, 2);
        if (s < 0 || s > 59) return false;
        rest += 3;
    }
    if (strcmp(rest, "Z") != 0) {
        if ((*rest != '+' && *rest != '-') || strlen(rest) != 6 || rest[3] != ':') return false;
        int oh = digits(rest + 1, 2), om = digits(rest + 4, 2);
        if (oh < 0 || oh > 14 || om < 0 || om > 59) return false;
        offset = (*rest == '-' ? -1 : 1) * (oh * 60 + om);
    }
    *ms = (days_from_civil(y, mo, d) * 86400 + h * 3600 + mi * 60 + s - offset * 60) * 1000;
    return true;
}

/* "1050" or "98.1" -> tenths of a gram. The words of the fault, or NULL when it is sound. */
static const char *read_grams(const char *text, size_t length, int *tenths)
{
    size_t whole = 0;
    while (whole < length && text[whole] >= '0' && text[whole] <= '9') whole++;
    if (memchr(text, ',', length)) return "has a comma: use a point, for instance 98.1";
    if (whole == 0 || whole > 5) return "is not a weight in grams, for instance 1050 or 98.1";
    *tenths = 10 * digits(text, (int)whole);
    if (whole < length) {
        if (text[whole] != '.' || length != whole + 2 || text[whole + 1] < '0' || text[whole + 1] > '9')
            return "is not a weight in grams with at most one decimal, for instance 1050 or 98.1";
        *tenths += text[whole + 1] - '0';
    }
    return *tenths >= 1 && *tenths <= 300000 ? NULL : "is outside 0.1 to 30000 grams";
}

static bool read_yes(const char *text, bool *yes)
{
    *yes = strcmp(text, "yes") == 0;
    return *yes || strcmp(text, "no") == 0;
}

/* A tag as people type it: spaces, small letters, O for 0, I and L for 1 (Crockford's base32). */
static void fold_tag(const char *text, char *to, size_t size)
{
    size_t n = 0;
    for (; *text && n + 1 < size; text++) {
        char c = (char)toupper((unsigned char)*text);
        if (c == ' ' || c == '-') continue;
        to[n++] = c == 'O' ? '0' : c == 'I' || c == 'L' ? '1' : c;
    }
    to[n] = '\0';
}

/* ---- the row ---- */

static void fault(reader *r, const char *column, const char *value, const char *words)
{
    gw_sheet_fault(r->sheet, r->row->line, column, "\"%.60s\" %s", value, words);
}

static void set(reader *r, const char *name, json_t *value)
{
    if (json_object_set_new(r->body, name, value) != 0) gw_sheet_fault(r->sheet, r->row->line, name, "out of memory");
}

static void read_animal(reader *r)
{
    const char *text = gw_sheet_field(r->row, r->columns->animal);
    char tag[16];
    fold_tag(text, tag, sizeof tag);
    r->animal = json_object_get(r->known->animals, tag);
    if (!r->animal) r->animal = json_object_get(r->known->animals, text);
    if (r->animal) {
        snprintf(r->animal_id, sizeof r->animal_id, "%s", member(r->animal, "id"));
        set(r, "animal", json_string(member(r->animal, "id")));
        set(r, "home", json_string(member(r->animal, "home")));
        return;
    }
    fault(r, "animal", text, "is not the tag of an animal that you can see");
}

static void read_at(reader *r)
{
    const char *text = gw_sheet_field(r->row, r->columns->at);
    if (read_instant(text, &r->at_ms)) {
        set(r, "at", json_string(text));
    } else {
        fault(r, "at", text, "is not a date and time with offset, for instance 2026-03-01T18:30:00+01:00");
    }
}

static void read_kind(reader *r)
{
    static const char *const kinds[] = {"weekly", "extra", "weigh_only"};
    const char *text = gw_sheet_field(r->row, r->columns->kind);
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(text, kinds[i]) == 0) r->kind = kinds[i];
    }
    if (r->kind) {
        set(r, "kind", json_string(r->kind));
    } else {
        fault(r, "kind", text, "is not weekly, extra or weigh_only");
    }
}

static void read_scale(reader *r, json_t *weighing)
{
    const char *text = gw_sheet_field(r->row, r->columns->scale), *home = member(r->animal, "home");
    const json_t *scale, *found = NULL;
    size_t i;
    json_array_foreach(r->known->scales, i, scale)
    {
        bool here = strcmp(member(scale, "home"), home) == 0;
        if (strcmp(member(scale, "id"), text) == 0 || (here && *text && strcmp(member(scale, "name"), text) == 0))
            found = scale;
    }
    if (found) {
        json_object_set_new(weighing, "scale", json_string(member(found, "id")));
    } else if (r->animal) {
        fault(r, "scale", text, "is not the name of a scale in this animal's home");
    }
}

static void read_weighing(reader *r)
{
    const char *grams = gw_sheet_field(r->row, r->columns->grams), *zeroed = gw_sheet_field(r->row, r->columns->zeroed);
    const char *confirmed = gw_sheet_field(r->row, r->columns->confirmed),
               *scale = gw_sheet_field(r->row, r->columns->scale);
    if (!*grams) {
        if (*zeroed || *confirmed || *scale)
            gw_sheet_fault(r->sheet, r->row->line, "grams", "is empty, but there is a scale, zeroed or confirmed");
        if (r->kind && strcmp(r->kind, "weigh_only") == 0)
            gw_sheet_fault(r->sheet, r->row->line, "grams", "is empty in a weigh_only row");
        set(r, "weighing", json_null());
        return;
    }
    json_t *weighing = json_object(), *readings = json_array();
    size_t n = 0;
    for (const char *from = grams; from; n++) {
        size_t length = strcspn(from, ";");
        int tenths = 0;
        const char *words = n == 5 ? "has more than five readings" : read_grams(from, length, &tenths);
        if (words) {
            fault(r, "grams", grams, words);
            break;
        }
        json_array_append_new(readings, tenths % 10 ? json_real(tenths / 10.0) : json_integer(tenths / 10));
        from = from[length] ? from + length + 1 : NULL;
    }
    json_object_set_new(weighing, "readings", readings);
    read_scale(r, weighing);
    bool yes = false;
    if (!read_yes(zeroed, &yes))
        fault(r, "zeroed", zeroed, "is not yes or no: was the display at zero with the bowl on it?");
    json_object_set_new(weighing, "zeroed", json_boolean(yes));
    yes = false;
    if (*confirmed && !read_yes(confirmed, &yes)) fault(r, "confirmed", confirmed, "is not yes or no");
    json_object_set_new(weighing, "confirmed", json_boolean(yes));
    set(r, "weighing", weighing);
}

/* Does the list of an entry name this word? No list (null) means all. */
static bool lists(const json_t *list, const char *word)
{
    size_t i;
    const json_t *entry;
    if (!json_is_array(list)) return true;
    json_array_foreach(list, i, entry)
    {
        if (json_is_string(entry) && strcmp(json_string_value(entry), word) == 0) return true;
    }
    return false;
}

static bool region_belongs(const reader *r, const char *region)
{
    size_t i;
    const json_t *s;
    json_array_foreach(r->known->species, i, s)
    {
        if (strcmp(member(s, "code"), member(r->animal, "species")) == 0)
            return lists(json_object_get(s, "regions"), region);
    }
    return true;
}

/* "drool:slight" or "weepy:marked:left" -> one finding. */
static void read_finding(reader *r, const char *region, const char *text, size_t length, json_t *findings)
{
    char copy[96];
    if (length >= sizeof copy) length = sizeof copy - 1;
    memcpy(copy, text, length);
    copy[length] = '\0';
    char *grade = strchr(copy, ':'), *side = NULL;
    if (grade) {
        *grade++ = '\0';
        side = strchr(grade, ':');
        if (side) *side++ = '\0';
    }
    size_t i;
    const json_t *sign, *found = NULL;
    json_array_foreach(r->known->signs, i, sign)
    {
        if (strcmp(member(sign, "code"), copy) == 0) found = sign;
    }
    const char *species = member(r->animal, "species");
    if (!found || strcmp(member(found, "region"), region) != 0 ||
        (r->animal && !lists(json_object_get(found, "species"), species))) {
        fault(r, region, copy, "is neither as_usual nor not_looked_at nor a sign of this region and species");
        return;
    }
    if (!grade || (strcmp(grade, "slight") != 0 && strcmp(grade, "marked") != 0)) {
        fault(r, region, copy, "needs its grade, for instance drool:slight or drool:marked");
        return;
    }
    if (side && strcmp(side, "left") != 0 && strcmp(side, "right") != 0 && strcmp(side, "both") != 0) {
        fault(r, region, side, "is not left, right or both");
        return;
    }
    json_t *finding = json_pack("{s:s, s:s}", "sign", copy, "grade", grade);
    if (side) json_object_set_new(finding, "side", json_string(side));
    json_array_append_new(findings, finding);
}

static void read_region(reader *r, const char *region, const char *text, json_t *answers, json_t *findings)
{
    bool weigh_only = r->kind && strcmp(r->kind, "weigh_only") == 0;
    bool must = r->kind && strcmp(r->kind, "weekly") == 0 && r->animal && region_belongs(r, region);
    if (!*text) {
        if (must)
            gw_sheet_fault(r->sheet, r->row->line, region,
                           "is empty: a weekly check answers every region (as_usual, not_looked_at or signs)");
        return;
    }
    if (weigh_only) {
        fault(r, region, text, "stands in a weigh_only row, which has no answers");
        return;
    }
    if (strcmp(text, "as_usual") == 0 || strcmp(text, "not_looked_at") == 0) {
        json_object_set_new(answers, region, json_string(text));
        return;
    }
    json_object_set_new(answers, region, json_string("findings"));
    for (const char *from = text; from;) {
        size_t length = strcspn(from, ";");
        read_finding(r, region, from, length, findings);
        from = from[length] ? from + length + 1 : NULL;
    }
}

static void read_minutes(reader *r)
{
    const char *text = gw_sheet_field(r->row, r->columns->minutes);
    size_t n = strlen(text);
    if (n == 0) return;
    int value = n <= 3 ? digits(text, (int)n) : -1;
    if (value < 0 || value > 600) {
        fault(r, "minutes", text, "is not a number of minutes from 0 to 600");
        return;
    }
    set(r, "minutes", json_integer(value));
}

/* Layout of RFC 9562, version 7: the time, then bits that depend on animal, time and kind alone. */
static void make_id(const reader *r, char id[37])
{
    unsigned char h[crypto_hash_sha256_BYTES];
    char text[160];
    int n = snprintf(text, sizeof text, "gramwell import %s %lld %s", r->animal_id, (long long)r->at_ms, r->kind);
    crypto_hash_sha256(h, (const unsigned char *)text, (unsigned long long)n);
    for (int i = 0; i < 6; i++) h[i] = (unsigned char)(r->at_ms >> (8 * (5 - i)));
    h[6] = (unsigned char)((h[6] & 0x0f) | 0x70);
    h[8] = (unsigned char)((h[8] & 0x3f) | 0x80);
    snprintf(id, 37, "%02x%02x%02x%02x-%02x%02x-%02x%02x-%02x%02x-%02x%02x%02x%02x%02x%02x", h[0], h[1], h[2], h[3],
             h[4], h[5], h[6], h[7], h[8], h[9], h[10], h[11], h[12], h[13], h[14], h[15]);
}

size_t gw_import_row(gw_sheet *sheet, const gw_sheet_row *row, const gw_import_columns *columns,
                     const gw_import_known *known, gw_import_check *out)
{
    size_t before = sheet->faults;
    reader r = {.sheet = sheet, .row = row, .columns = columns, .known = known, .body = json_object()};
    json_t *answers = json_object(), *findings = json_array();
    read_animal(&r);
    read_at(&r);
    read_kind(&r);
    read_weighing(&r);
    for (size_t i = 0; i < GW_IMPORT_REGIONS; i++)
        read_region(&r, gw_import_regions[i], gw_sheet_field(row, columns->region[i]), answers, findings);
    read_minutes(&r);
    const char *note = gw_sheet_field(row, columns->note);
    if (*note) set(&r, "note", json_string(note));
    set(&r, "answers", answers);
    set(&r, "findings", findings);

    *out = (gw_import_check){.body = r.body};
    if (sheet->faults == before) {
        make_id(&r, out->id);
    } else {
        json_decref(r.body);
        out->body = NULL;
    }
    return sheet->faults - before;
}
