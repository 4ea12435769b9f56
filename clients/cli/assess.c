/*
 * gramwell assess: judge weighings from a CSV file, without a server.
 *
 * A file without a `scale` column is judged row by row, in memory that grows with the number of animals only. With
 * scales the animals of a session speak together, so a row waits until its session is over. A file in order of time
 * still needs no more memory than that; its order is looked at in a first reading. Any other file, and a pipe, is held
 * whole, judged in order of time and printed in order of input.
 */
#include "assess.h"

#include "cli.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { HISTORY = GW_TREND_WINDOW, EVENTS_MOST = 256 };
static const double four_hours = 4.0 / 24;

static const char species_list[] = "guinea_pig, rabbit, rat, mouse, hamster_syrian, hamster_dwarf, gerbil, chinchilla, "
                                   "degu, ferret or hedgehog";
static const char usage[] =
    "usage: gramwell assess WEIGHINGS.csv [--events EVENTS.csv] [--format csv|json]\n"
    "       gramwell assess WEIGHINGS.csv [--events EVENTS.csv] --plot ANIMAL [--output FILE.svg]\n\n"
    "WEIGHINGS.csv: animal, at, grams; and where known species, sex, birth, stage, arrived, "
    "home, scale, step, second,\n"
    "signs. EVENTS.csv: animal, event, from, to. \"-\" is standard input. Prints one row a "
    "weighing, in the order of the\n"
    "input: what the engine says of it knowing the animal's past and the same session only.\n"
    "This is not a diagnosis: it sorts, so that a vet is asked in time.\n";

/* ---- animals -------------------------------------------------------------------------------------------------------
 */

typedef struct {
    char *name;
    gw_trend_subject subject;
    gw_trend_event *events;
    gw_trend_weighing *history; /* the last HISTORY weighings, oldest first */
    size_t n_history, room;
    size_t dropped; /* weighings that are older than the history */
    double last_at;
    bool seen; /* has a weighing */
} animal;

/* Names to numbers: open addressing, twice as large when half full. */
typedef struct {
    char **names;
    size_t *slots; /* number + 1, 0: empty */
    size_t n, size;
} name_table;

typedef struct {
    name_table names;
    animal *list;
    size_t room;
    name_table places; /* home and scale together */
    void *workspace;
} book;

static size_t hash(const char *text)
{
    uint64_t h = 14695981039346656037u; /* FNV-1a */
    for (; *text; text++) h = (h ^ (unsigned char)*text) * 1099511628211u;
    return (size_t)h;
}

static bool table_grow(name_table *t)
{
    size_t size = t->size ? t->size * 2 : 64;
    size_t *slots = calloc(size, sizeof *slots);
    char **names = realloc(t->names, size * sizeof *names);
    if (names) t->names = names;
    if (!slots || !names) {
        free(slots);
        return false;
    }
    for (size_t i = 0; i < t->n; i++) {
        size_t at = hash(t->names[i]) % size;
        while (slots[at]) at = (at + 1) % size;
        slots[at] = i + 1;
    }
    free(t->slots);
    t->slots = slots;
    t->size = size;
    return true;
}

/* Number of a name, given to it when it is new; SIZE_MAX without memory. */
static size_t table_number(name_table *t, const char *name)
{
    if (t->n * 2 >= t->size && !table_grow(t)) return SIZE_MAX;
    size_t at = hash(name) % t->size;
    for (; t->slots[at]; at = (at + 1) % t->size)
        if (strcmp(t->names[t->slots[at] - 1], name) == 0) return t->slots[at] - 1;
    char *copy = strdup(name);
    if (!copy) return SIZE_MAX;
    t->names[t->n] = copy;
    t->slots[at] = ++t->n;
    return t->n - 1;
}

static void table_finish(name_table *t)
{
    for (size_t i = 0; i < t->n; i++) free(t->names[i]);
    free(t->names);
    free(t->slots);
}

static animal *book_animal(book *b, const char *name, size_t *number)
{
    size_t before = b->names.n;
    *number = table_number(&b->names, name);
    if (*number == SIZE_MAX) return NULL;
    if (b->names.n > b->room) {
        size_t room = b->room ? b->room * 2 : 64;
        animal *list = realloc(b->list, room * sizeof *list);
        if (!list) return NULL;
        b->list = list;
        b->room = room;
    }
    animal *a = &b->list[*number];
    if (b->names.n > before) {
        *a = (animal){.name = b->names.names[*number]};
        a->subject =
            (gw_trend_subject){.birth = NAN, .arrived = NAN, .adult_grams = NAN, .species = GW_SPECIES_UNKNOWN};
    }
    return a;
}

static void book_finish(book *b)
{
    for (size_t i = 0; i < b->names.n && i < b->room; i++) {
        free(b->list[i].events);
        free(b->list[i].history);
    }
    table_finish(&b->names);
    table_finish(&b->places);
    free(b->list);
    free(b->workspace);
}

/* Room for one more weighing; the oldest goes when the history is full. */
static gw_trend_weighing *history_add(animal *a)
{
    if (a->n_history == HISTORY) {
        memmove(a->history, a->history + 1, (HISTORY - 1) * sizeof *a->history);
        a->n_history--;
        a->dropped++;
    }
    if (a->n_history == a->room) {
        size_t room = a->room ? a->room * 2 : 4;
        if (room > HISTORY) room = HISTORY;
        gw_trend_weighing *more = realloc(a->history, room * sizeof *more);
        if (!more) return NULL;
        a->history = more;
        a->room = room;
    }
    return &a->history[a->n_history++];
}

/* ---- events ---------------------------------------------------------------------------------------------------------
 */

static bool add_event(book *b, gw_rows_file *f)
{
    int32_t event;
    double from, to;
    bool sound = gw_rows_name(f, GW_COLUMN_EVENT, gw_event_from_name, -1,
                              "pregnant, gave_birth, surgery, diet_change, journey or bonding", &event);
    if (sound && event < 0) {
        gw_rows_fault(f, GW_COLUMN_EVENT, "is empty, expected an event such as gave_birth");
        sound = false;
    }
    sound = gw_rows_day(f, GW_COLUMN_FROM, &from, NULL) && sound;
    sound = gw_rows_day(f, GW_COLUMN_TO, &to, NULL) && sound;
    if (!sound) return true;
    if (isnan(from)) {
        gw_rows_fault(f, GW_COLUMN_FROM, "is empty, expected a date such as 2026-03-01");
        return true;
    }
    if (to < from) {
        gw_rows_fault(f, GW_COLUMN_TO, "is before the day on which it began");
        return true;
    }
    const char *name = gw_rows_field(f, GW_COLUMN_ANIMAL);
    if (!*name) {
        gw_rows_fault(f, GW_COLUMN_ANIMAL, "is empty, expected the name or number of an animal");
        return true;
    }
    size_t number;
    animal *a = book_animal(b, name, &number);
    if (!a) return false;
    size_t n = a->subject.n_events;
    if (n == EVENTS_MOST) {
        gw_rows_fault(f, GW_COLUMN_ANIMAL, "\"%s\" has more than %d events", name, EVENTS_MOST);
        return true;
    }
    gw_trend_event *more = realloc(a->events, (n + 1) * sizeof *more);
    if (!more) return false;
    more[n] = (gw_trend_event){.from = from, .to = to, .event = event};
    a->events = more;
    a->subject.events = more;
    a->subject.n_events = n + 1;
    return true;
}

static int read_events(book *b, const char *name)
{
    const uint32_t all = 1u << GW_COLUMN_ANIMAL | 1u << GW_COLUMN_EVENT | 1u << GW_COLUMN_FROM | 1u << GW_COLUMN_TO;
    gw_rows_file f;
    bool memory = true;
    if (gw_rows_open(&f, name, all & ~(1u << GW_COLUMN_TO), all, false))
        while (memory && gw_rows_next(&f)) memory = add_event(b, &f);
    if (!memory) gw_cli_say("assess", "out of memory");
    gw_rows_close(&f);
    return !memory ? GW_EXIT_FAILED : f.faults ? GW_EXIT_INPUT : GW_EXIT_DONE;
}

/* ---- one row of weighings -------------------------------------------------------------------------------------------
 */

/* A weighing with all that must be known until its session is closed and it can be printed. */
typedef struct {
    gw_trend_weighing weighing;
    gw_trend_subject subject; /* as known in this row; events by the animal */
    gw_finding finding;
    size_t animal;
    size_t place;    /* home and scale; SIZE_MAX: unknown */
    size_t position; /* among the animal's weighings */
    size_t next;     /* in its session: number of an entry + 1, 0: the last */
    bool date_only;
    bool closed;      /* its session is over */
    char *at, *grams; /* as they stood in the input */
} entry;

static bool read_signs(gw_rows_file *f, entry *e)
{
    const char *text = gw_rows_field(f, GW_COLUMN_SIGNS);
    if (!gw_rows_has(f, GW_COLUMN_SIGNS) || strcmp(text, "?") == 0) return true;
    e->weighing.mouth_looked = GW_MOUTH_TEETH | GW_MOUTH_CHIN | GW_MOUTH_FOOD;
    bool sound = true;
    while (*text) {
        size_t length = strcspn(text, ";"), behind = length;
        while (length && text[length - 1] == ' ') length--;
        while (length && *text == ' ') {
            text++;
            length--;
            behind--;
        }
        const gw_sign *sign = gw_sign_find(text, length);
        if (length && !sign) {
            gw_rows_fault(f, GW_COLUMN_SIGNS,
                          "\"%.*s\" is unknown, expected codes of the catalogue such as drool, with ';' "
                          "between them",
                          (int)length, text);
            sound = false;
        } else if (length) {
            e->weighing.mouth_seen |= sign->group;
            if (!e->finding.worst || sign->level > e->finding.worst->level) e->finding.worst = sign;
        }
        text += behind;
        if (*text) text++;
    }
    return sound;
}

/* What the row says of the animal itself: a field that is filled replaces what earlier rows said. */
static bool read_subject(gw_rows_file *f, animal *a)
{
    int32_t species, sex, stage;
    double birth, arrived;
    bool sound = gw_rows_name(f, GW_COLUMN_SPECIES, gw_species_from_name, GW_SPECIES_UNKNOWN, species_list, &species);
    sound = gw_rows_name(f, GW_COLUMN_SEX, gw_sex_from_name, GW_SEX_UNKNOWN, "female, male or unknown", &sex) && sound;
    sound = gw_rows_name(f, GW_COLUMN_STAGE, gw_stage_from_name, GW_STAGE_UNKNOWN, "young, adult or senior", &stage) &&
            sound;
    sound = gw_rows_day(f, GW_COLUMN_BIRTH, &birth, NULL) && sound;
    sound = gw_rows_day(f, GW_COLUMN_ARRIVED, &arrived, NULL) && sound;
    if (!sound) return false;
    if (species >= 0 && a->subject.species >= 0 && species != a->subject.species) {
        gw_rows_fault(f, GW_COLUMN_SPECIES, "\"%s\" was %s before and is %s here: one animal has one species", a->name,
                      gw_species_name((gw_species)a->subject.species), gw_species_name((gw_species)species));
        return false;
    }
    if (species >= 0) a->subject.species = species;
    if (sex != GW_SEX_UNKNOWN) a->subject.sex = sex;
    if (stage != GW_STAGE_UNKNOWN) a->subject.stage = stage;
    if (!isnan(birth)) a->subject.birth = birth;
    if (!isnan(arrived)) a->subject.arrived = arrived;
    return true;
}

/* Number of home and scale together. A scale that is not named belongs to no session. */
static bool read_place(gw_rows_file *f, book *b, entry *e)
{
    e->place = SIZE_MAX;
    e->weighing.scale = -1;
    const char *home = gw_rows_field(f, GW_COLUMN_HOME), *scale = gw_rows_field(f, GW_COLUMN_SCALE);
    if (!*scale) return true;
    size_t size = strlen(home) + strlen(scale) + 2;
    char *both = malloc(size);
    if (!both) return false;
    snprintf(both, size, "%s\n%s", home, scale);
    e->place = table_number(&b->places, both);
    free(both);
    e->weighing.scale = (int32_t)(e->place & 0x7fffffff);
    return e->place != SIZE_MAX;
}

/* Read the row in hand. false: out of memory. Faults are told and counted. */
static bool read_entry(gw_rows_file *f, book *b, entry *e)
{
    *e = (entry){.weighing = {.second = NAN, .step = NAN, .scale = -1}};
    const char *name = gw_rows_field(f, GW_COLUMN_ANIMAL);
    if (!*name) {
        gw_rows_fault(f, GW_COLUMN_ANIMAL, "is empty, expected the name or number of an animal");
        return true;
    }
    if (!*gw_rows_field(f, GW_COLUMN_AT)) {
        gw_rows_fault(f, GW_COLUMN_AT, "is empty, expected a date such as 2026-03-01");
        return true;
    }
    bool sound = gw_rows_day(f, GW_COLUMN_AT, &e->weighing.at, &e->date_only);
    sound = gw_rows_number(f, GW_COLUMN_GRAMS, 0.1, 30000, &e->weighing.grams) && sound;
    if (*gw_rows_field(f, GW_COLUMN_SECOND))
        sound = gw_rows_number(f, GW_COLUMN_SECOND, 0.1, 30000, &e->weighing.second) && sound;
    if (*gw_rows_field(f, GW_COLUMN_STEP))
        sound = gw_rows_number(f, GW_COLUMN_STEP, 0.001, 1000, &e->weighing.step) && sound;
    sound = read_signs(f, e) && sound;
    animal *a = book_animal(b, name, &e->animal);
    if (!a || !read_place(f, b, e)) return false;
    sound = read_subject(f, a) && sound;
    if (!sound) return true;
    if (a->seen && e->weighing.at < a->last_at) {
        gw_rows_fault(f, GW_COLUMN_AT,
                      "%s is earlier than the row before of \"%s\": an animal's rows must be in order of time",
                      gw_rows_field(f, GW_COLUMN_AT), a->name);
        return true;
    }
    a->seen = true;
    a->last_at = e->weighing.at;
    e->subject = a->subject;
    return true;
}

/* Judge the entry by its animal alone, as the newest of its history. */
static bool judge(book *b, entry *e)
{
    animal *a = &b->list[e->animal];
    gw_trend_weighing *newest = history_add(a);
    if (!newest) return false;
    *newest = e->weighing;
    e->position = a->dropped + a->n_history - 1;
    gw_trend_subject subject = e->subject;
    subject.events = a->events;
    subject.n_events = a->subject.n_events;
    size_t at;
    gw_trend_status status =
        gw_trend_assess(&subject, a->n_history, a->history, a->n_history - 1, b->workspace, &e->finding.verdict, &at);
    if (status != GW_TREND_OK) gw_cli_say("assess", "the engine refuses a weighing of \"%s\" (%d)", a->name, status);
    return status == GW_TREND_OK;
}

/* ---- without scales: row by row -------------------------------------------------------------------------------------
 */

/* Print a judged row, or keep it for the chart when it is that animal's. false: out of memory. */
static bool tell(gw_plot *plot, bool json, bool first, const animal *a, const char *at, const char *grams,
                 const entry *e)
{
    if (plot) return strcmp(plot->name, a->name) != 0 || gw_plot_add(plot, &e->weighing, &e->finding);
    gw_say_row(stdout, json, first, a->name, at, grams, &e->finding);
    return true;
}

static int stream(gw_rows_file *f, book *b, bool json, gw_plot *plot)
{
    bool first = true;
    if (!plot) gw_say_begin(stdout, json);
    while (gw_rows_next(f)) {
        entry e;
        if (!read_entry(f, b, &e)) return GW_EXIT_FAILED;
        if (f->faults) continue; /* look for more faults, judge nothing more */
        if (!judge(b, &e)) return GW_EXIT_FAILED;
        if (!tell(plot, json, first, &b->list[e.animal], gw_rows_field(f, GW_COLUMN_AT),
                  gw_rows_field(f, GW_COLUMN_GRAMS), &e))
            return GW_EXIT_FAILED;
        first = false;
    }
    if (f->faults) return GW_EXIT_INPUT;
    if (!plot) gw_say_end(stdout, json, first);
    return GW_EXIT_DONE;
}

/* ---- with scales: sessions -----------------------------------------------------------------------------------------
 */

/* Entries that are not printed yet, numbered from the first row of the file on. */
typedef struct {
    entry *entries;
    size_t head, n, room; /* entries[head .. head + n) are in use */
    size_t base;          /* number of the first of them */
    size_t *first, *last; /* by place: entries of its open session, number + 1, 0: none */
    size_t *open;         /* places with an open session */
    size_t n_open, places;
    bool json, printed;
    gw_plot *plot; /* NULL: rows are printed */
} ledger;

static entry *entry_at(const ledger *l, size_t number)
{
    return &l->entries[l->head + number - l->base];
}

static entry *ledger_add(ledger *l)
{
    if (l->head > 1024 && l->head > l->n) {
        memmove(l->entries, l->entries + l->head, l->n * sizeof *l->entries);
        l->head = 0;
    }
    if (l->head + l->n == l->room) {
        size_t room = l->room ? l->room * 2 : 256;
        entry *more = realloc(l->entries, room * sizeof *more);
        if (!more) return NULL;
        l->entries = more;
        l->room = room;
    }
    return &l->entries[l->head + l->n];
}

/* Read one row into the ledger; not counted when it has a fault. */
static bool ledger_read(ledger *l, gw_rows_file *f, book *b)
{
    entry *e = ledger_add(l);
    if (!e || !read_entry(f, b, e)) return false;
    if (f->faults) return true;
    e->at = strdup(gw_rows_field(f, GW_COLUMN_AT));
    e->grams = strdup(gw_rows_field(f, GW_COLUMN_GRAMS));
    l->n++;
    return e->at && e->grams;
}

static void entry_finish(entry *e)
{
    free(e->at);
    free(e->grams);
}

static void ledger_finish(ledger *l)
{
    for (size_t i = 0; i < l->n; i++) entry_finish(&l->entries[l->head + i]);
    free(l->entries);
    free(l->first);
    free(l->last);
    free(l->open);
}

/* Print and forget the rows at the front whose sessions are over. */
static bool print_front(ledger *l, const book *b)
{
    bool sound = true;
    while (l->n > 0 && l->entries[l->head].closed) {
        entry *e = &l->entries[l->head];
        sound = tell(l->plot, l->json, !l->printed, &b->list[e->animal], e->at, e->grams, e) && sound;
        l->printed = true;
        entry_finish(e);
        l->head++;
        l->base++;
        l->n--;
    }
    return sound;
}

/* Four hours from its first weighing, or one day where only dates are given. */
static bool same_session(const entry *first, const entry *now)
{
    double apart = now->weighing.at - first->weighing.at;
    if (first->date_only || now->date_only) return floor(first->weighing.at) == floor(now->weighing.at);
    return apart <= four_hours;
}

/* The session of a place is over: judge it together and tell the animals what is set aside. */
static bool close_session(ledger *l, book *b, size_t place)
{
    size_t n = 0, i = 0;
    for (size_t at = l->first[place]; at; at = entry_at(l, at - 1)->next) n++;
    gw_trend_session_item *items = malloc(n * sizeof *items);
    if (!items) return false;
    for (size_t at = l->first[place]; at; at = entry_at(l, at - 1)->next) {
        const entry *e = entry_at(l, at - 1);
        items[i++] = (gw_trend_session_item){.grams = e->weighing.grams,
                                             .verdict = e->finding.verdict,
                                             .flags = e->weighing.flags,
                                             .species = e->subject.species};
    }
    gw_trend_session session;
    size_t refused;
    gw_trend_status status = gw_trend_session_judge(n, items, &session, &refused);
    i = 0;
    for (size_t at = l->first[place]; status == GW_TREND_OK && at; at = entry_at(l, at - 1)->next, i++) {
        entry *e = entry_at(l, at - 1);
        bool before = e->finding.verdict.quality == GW_QUALITY_SET_ASIDE;
        e->finding.verdict = items[i].verdict;
        e->closed = true;
        if (before || items[i].verdict.quality != GW_QUALITY_SET_ASIDE) continue;
        animal *a = &b->list[e->animal];
        if (e->position >= a->dropped) a->history[e->position - a->dropped].flags |= GW_WEIGHING_SET_ASIDE;
    }
    free(items);
    l->first[place] = 0;
    return status == GW_TREND_OK;
}

/* Close every session that ended before this entry; all of them when it is NULL. */
static bool close_past(ledger *l, book *b, const entry *now)
{
    size_t kept = 0;
    bool sound = true;
    for (size_t i = 0; i < l->n_open; i++) {
        size_t place = l->open[i];
        if (now && same_session(entry_at(l, l->first[place] - 1), now))
            l->open[kept++] = place;
        else
            sound = close_session(l, b, place) && sound;
    }
    l->n_open = kept;
    return sound;
}

static bool grow_list(size_t **list, size_t before, size_t size)
{
    size_t *more = realloc(*list, size * sizeof *more);
    if (!more) return false;
    memset(more + before, 0, (size - before) * sizeof *more);
    *list = more;
    return true;
}

/* Judge one entry by its animal alone and put it into the session of its place. Entries come in order of time. */
static bool enter(ledger *l, book *b, size_t number)
{
    if (b->places.size > l->places) {
        size_t size = b->places.size;
        if (!grow_list(&l->first, l->places, size) || !grow_list(&l->last, l->places, size) ||
            !grow_list(&l->open, l->places, size))
            return false;
        l->places = size;
    }
    entry *e = entry_at(l, number);
    if (!close_past(l, b, e) || !judge(b, e)) return false;
    if (e->place == SIZE_MAX) {
        e->closed = true;
        return true;
    }
    if (l->first[e->place])
        entry_at(l, l->last[e->place] - 1)->next = number + 1;
    else {
        l->first[e->place] = number + 1;
        l->open[l->n_open++] = e->place;
    }
    l->last[e->place] = number + 1;
    return true;
}

/* Numbers of all entries in order of time: a merge sort, stable, so that equal times keep the order of the input. */
static size_t *by_time(const ledger *l)
{
    size_t *from = malloc((l->n + 1) * sizeof *from), *to = malloc((l->n + 1) * sizeof *to);
    if (!from || !to) {
        free(from);
        free(to);
        return NULL;
    }
    for (size_t i = 0; i < l->n; i++) from[i] = i;
    for (size_t width = 1; width < l->n; width *= 2) {
        for (size_t start = 0; start < l->n; start += 2 * width) {
            size_t middle = start + width < l->n ? start + width : l->n;
            size_t end = start + 2 * width < l->n ? start + 2 * width : l->n;
            size_t i = start, k = middle;
            for (size_t at = start; at < end; at++) {
                bool left =
                    k == end || (i < middle && l->entries[from[i]].weighing.at <= l->entries[from[k]].weighing.at);
                to[at] = left ? from[i++] : from[k++];
            }
        }
        size_t *swap = from;
        from = to;
        to = swap;
    }
    free(to);
    return from;
}

/* A file in order of time: each row is printed as soon as its session is over. */
static int sessions_in_order(gw_rows_file *f, book *b, ledger *l)
{
    if (!l->plot) gw_say_begin(stdout, l->json);
    while (gw_rows_next(f)) {
        if (!ledger_read(l, f, b)) return GW_EXIT_FAILED;
        if (f->faults) continue;
        if (!enter(l, b, l->base + l->n - 1)) return GW_EXIT_FAILED;
        if (!print_front(l, b)) return GW_EXIT_FAILED;
    }
    if (f->faults) return GW_EXIT_INPUT;
    if (!close_past(l, b, NULL)) return GW_EXIT_FAILED;
    return print_front(l, b) ? GW_EXIT_DONE : GW_EXIT_FAILED;
}

/* Any other: all rows are held. */
static int sessions_of_all(gw_rows_file *f, book *b, ledger *l)
{
    while (gw_rows_next(f))
        if (!ledger_read(l, f, b)) return GW_EXIT_FAILED;
    if (f->faults) return GW_EXIT_INPUT;
    size_t *order = by_time(l);
    bool sound = order != NULL;
    for (size_t i = 0; sound && i < l->n; i++) sound = enter(l, b, order[i]);
    sound = sound && close_past(l, b, NULL);
    free(order);
    if (!sound) return GW_EXIT_FAILED;
    if (!l->plot) gw_say_begin(stdout, l->json);
    return print_front(l, b) ? GW_EXIT_DONE : GW_EXIT_FAILED;
}

/* First reading of a regular file: whether all its rows are in order of time and without fault. */
static bool in_time_order(const char *name, uint32_t required, uint32_t allowed)
{
    struct stat what;
    if (strcmp(name, "-") == 0 || stat(name, &what) != 0 || !S_ISREG(what.st_mode)) return false;
    gw_rows_file f;
    double last = -INFINITY;
    bool ordered = gw_rows_open(&f, name, required, allowed, true);
    while (ordered && gw_rows_next(&f)) {
        double at;
        bool date_only;
        ordered = gw_rows_day(&f, GW_COLUMN_AT, &at, &date_only) && at >= last;
        last = at;
    }
    ordered = ordered && f.faults == 0;
    gw_rows_close(&f);
    return ordered;
}

static int by_sessions(gw_rows_file *f, book *b, bool json, bool in_order, gw_plot *plot)
{
    ledger l = {.json = json, .plot = plot};
    int status = in_order ? sessions_in_order(f, b, &l) : sessions_of_all(f, b, &l);
    if (status == GW_EXIT_DONE && !plot) gw_say_end(stdout, json, !l.printed);
    ledger_finish(&l);
    return status;
}

/* ---- arguments
 * ---------------------------------------------------------------------------------------------------------- */

typedef struct {
    const char *weighings, *events, *plot, *output;
    bool json, help, format;
} arguments;

static bool read_arguments(arguments *a, int argc, char **argv)
{
    *a = (arguments){0};
    for (int i = 1; i < argc; i++) {
        const char *word = argv[i];
        bool valued = strcmp(word, "--events") == 0 || strcmp(word, "--format") == 0 || strcmp(word, "--plot") == 0 ||
                      strcmp(word, "--output") == 0;
        if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) {
            a->help = true;
            return true;
        }
        if (valued && i + 1 == argc) {
            gw_cli_say("assess", "%s lacks its value", word);
            return false;
        }
        if (strcmp(word, "--events") == 0) {
            a->events = argv[++i];
        } else if (strcmp(word, "--plot") == 0) {
            a->plot = argv[++i];
        } else if (strcmp(word, "--output") == 0) {
            a->output = argv[++i];
        } else if (strcmp(word, "--format") == 0) {
            const char *format = argv[++i];
            a->format = true;
            a->json = strcmp(format, "json") == 0;
            if (!a->json && strcmp(format, "csv") != 0) {
                gw_cli_say("assess", "--format is \"%s\", expected csv or json", format);
                return false;
            }
        } else if (word[0] == '-' && word[1]) {
            gw_cli_say("assess", "does not know %s", word);
            return false;
        } else if (a->weighings) {
            gw_cli_say("assess", "one file of weighings at a time, not also \"%s\"", word);
            return false;
        } else {
            a->weighings = word;
        }
    }
    if (a->output && !a->plot) {
        gw_cli_say("assess", "--output is for the chart of --plot ANIMAL");
        return false;
    }
    if (a->format && a->plot) {
        gw_cli_say("assess", "--plot draws a chart and has no --format");
        return false;
    }
    if (!a->weighings) gw_cli_say("assess", "lacks a file of weighings");
    return a->weighings != NULL;
}

/* The chart to its file or to standard output. */
static int draw(const gw_plot *plot, const char *output)
{
    if (plot->n == 0) {
        gw_cli_say("assess", "--plot: no animal \"%s\" in the file", plot->name);
        return GW_EXIT_INPUT;
    }
    FILE *out = output ? fopen(output, "w") : stdout;
    if (!out) {
        gw_cli_say("assess", "%s: %s", output, strerror(errno));
        return GW_EXIT_FAILED;
    }
    gw_plot_write(out, plot);
    bool sound = !ferror(out);
    if (output) sound = fclose(out) == 0 && sound;
    if (!sound && output) gw_cli_say("assess", "%s cannot be written", output);
    return sound ? GW_EXIT_DONE : GW_EXIT_FAILED;
}

int gw_cli_assess(int argc, char **argv)
{
    arguments a;
    if (!read_arguments(&a, argc, argv)) {
        fputs(usage, stderr);
        return GW_EXIT_INPUT;
    }
    if (a.help) {
        fputs(usage, stdout);
        return GW_EXIT_DONE;
    }
    if (a.events && strcmp(a.events, "-") == 0 && strcmp(a.weighings, "-") == 0) {
        gw_cli_say("assess", "only one of the two files can be standard input");
        return GW_EXIT_INPUT;
    }
    book b = {.workspace = malloc(gw_trend_workspace_size(HISTORY))};
    gw_plot chart = {.name = a.plot}, *plot = a.plot ? &chart : NULL;
    int status = b.workspace ? GW_EXIT_DONE : GW_EXIT_FAILED;
    if (status == GW_EXIT_DONE && a.events) status = read_events(&b, a.events);
    if (status == GW_EXIT_DONE) {
        const uint32_t required = 1u << GW_COLUMN_ANIMAL | 1u << GW_COLUMN_AT | 1u << GW_COLUMN_GRAMS;
        gw_rows_file f;
        const uint32_t allowed = (1u << GW_COLUMN_EVENT) - 1;
        if (!gw_rows_open(&f, a.weighings, required, allowed, false))
            status = GW_EXIT_INPUT;
        else if (gw_rows_has(&f, GW_COLUMN_SCALE))
            status = by_sessions(&f, &b, a.json, in_time_order(a.weighings, required, allowed), plot);
        else
            status = stream(&f, &b, a.json, plot);
        gw_rows_close(&f);
    }
    if (status == GW_EXIT_DONE && plot) status = draw(plot, a.output);
    gw_plot_finish(&chart);
    if (fflush(stdout) != 0 || ferror(stdout)) {
        gw_cli_say("assess", "standard output cannot be written");
        if (status == GW_EXIT_DONE) status = GW_EXIT_FAILED;
    }
    book_finish(&b);
    return status;
}
