/* Names of the enums, as they stand in schema, API and CSV files. */
#include "trend_internal.h"

#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof *(list)))

static const char *const levels[] = {"steady", "watch", "vet_soon", "same_day", "emergency"};
static const char *const kinds[] = {"none", "loss", "stall", "gain", "dental", "scale", "finding", "spread", "missed"};
static const char *const qualities[] = {"plain", "reweigh", "set_aside"};
static const char *const species[] = {"guinea_pig", "rabbit",     "rat",  "mouse",  "hamster_syrian", "hamster_dwarf",
                                      "gerbil",     "chinchilla", "degu", "ferret", "hedgehog"};
static const char *const sexes[] = {"unknown", "female", "male"};
static const char *const stages[] = {"unknown", "young", "adult", "senior"};
static const char *const events[] = {"pregnant", "gave_birth", "surgery", "diet_change", "journey", "bonding"};
static const char *const patterns[] = {"none", "acute", "subacute", "chronic", "stall"};
static const char *const reasons[] = {
#define NAME(id, name) name,
    GW_REASON_LIST(NAME)
#undef NAME
};

_Static_assert(COUNT(species) == GW_SPECIES_COUNT, "a name for each species");
_Static_assert(COUNT(events) == GW_EVENT_COUNT, "a name for each event");

static const char *name_of(const char *const list[], int count, int value)
{
    return value >= 0 && value < count ? list[value] : NULL;
}

static int value_of(const char *const list[], int count, const char *name)
{
    for (int i = 0; name && i < count; i++)
        if (strcmp(list[i], name) == 0) return i;
    return -1;
}

const char *gw_level_name(gw_level level)
{
    return name_of(levels, COUNT(levels), (int)level);
}

const char *gw_kind_name(gw_kind kind)
{
    return name_of(kinds, COUNT(kinds), (int)kind);
}

const char *gw_quality_name(gw_quality quality)
{
    return name_of(qualities, COUNT(qualities), (int)quality);
}

const char *gw_species_name(gw_species value)
{
    return name_of(species, COUNT(species), (int)value);
}

const char *gw_sex_name(gw_sex sex)
{
    return name_of(sexes, COUNT(sexes), (int)sex);
}

const char *gw_stage_name(gw_stage stage)
{
    return name_of(stages, COUNT(stages), (int)stage);
}

const char *gw_event_name(gw_event event)
{
    return name_of(events, COUNT(events), (int)event);
}

const char *gw_pattern_name(gw_pattern pattern)
{
    return name_of(patterns, COUNT(patterns), (int)pattern);
}

const char *gw_reason_name(int bit)
{
    return name_of(reasons, COUNT(reasons), bit);
}

int gw_level_from_name(const char *name)
{
    return value_of(levels, COUNT(levels), name);
}

int gw_kind_from_name(const char *name)
{
    return value_of(kinds, COUNT(kinds), name);
}

int gw_quality_from_name(const char *name)
{
    return value_of(qualities, COUNT(qualities), name);
}

int gw_species_from_name(const char *name)
{
    return value_of(species, COUNT(species), name);
}

int gw_sex_from_name(const char *name)
{
    return value_of(sexes, COUNT(sexes), name);
}

int gw_stage_from_name(const char *name)
{
    return value_of(stages, COUNT(stages), name);
}

int gw_event_from_name(const char *name)
{
    return value_of(events, COUNT(events), name);
}
