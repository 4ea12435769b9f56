/*
 * What is known of the animal, and its growth curve.
 *
 * Gompertz curve of the log weight: ln W(t) = ln A + c(t), c(t) = -ln(A / W0) exp(-k age); SAMPAIO uses this form for
 * rabbits (W0 = 51 g, k = 0.026 a day). The species table (profiles/species.csv) gives A, W0 and k.
 */
#include "trend_internal.h"

#include "trend_species.h"

const gw_species_profile *gw_profile(int32_t species)
{
    return &gw_species_profiles[species >= 0 && species < GW_SPECIES_COUNT ? species : GW_SPECIES_COUNT];
}

static double adult_weight(const gw_trend_subject *subject, const gw_species_profile *profile)
{
    if (!isnan(subject->adult_grams)) return subject->adult_grams;
    if (subject->sex == GW_SEX_FEMALE) return profile->adult_female;
    if (subject->sex == GW_SEX_MALE) return profile->adult_male;
    return 0.5 * (profile->adult_male + profile->adult_female);
}

/* Day on which the curve of the species has the weight of the first weighing. */
static double inferred_birth(const gw_animal *animal, const gw_trend_weighing *first)
{
    double offset = log(first->grams / animal->adult);
    double age = 0;
    if (offset >= -0.02)
        age = 3 * animal->profile->adult_days;
    else if (-offset < animal->curve_size)
        age = -log(-offset / animal->curve_size) / animal->profile->growth_per_day;
    return first->at - age - animal->profile->neonate_days;
}

void gw_animal_init(gw_animal *animal, const gw_trend_subject *subject, const gw_trend_weighing *first)
{
    const gw_species_profile *profile = gw_profile(subject->species);
    *animal = (gw_animal){.subject = subject, .profile = profile, .birth = subject->birth};
    animal->adult = adult_weight(subject, profile);
    bool curve = animal->adult > 0 && profile->birth_grams > 0 && animal->adult > profile->birth_grams;

    if (!isnan(animal->birth))
        animal->young = first->at - animal->birth < 3 * profile->adult_days ? GW_YOUNG_YES : GW_YOUNG_NO;
    else if (subject->stage == GW_STAGE_YOUNG)
        animal->young = GW_YOUNG_YES;
    else if (subject->stage == GW_STAGE_UNKNOWN && curve &&
             gw_quantise(first->grams / animal->adult) < GW_PRIOR_MAYBE_YOUNG_BELOW)
        animal->young = GW_YOUNG_MAYBE;

    if (curve && animal->young != GW_YOUNG_NO) {
        animal->curve_size = log(animal->adult / profile->birth_grams);
        if (isnan(animal->birth)) animal->birth = inferred_birth(animal, first);
        bool maybe = animal->young == GW_YOUNG_MAYBE;
        double sd = maybe ? GW_PRIOR_MAYBE_GROWTH_SD : GW_PRIOR_GROWTH_SD;
        animal->growth_mean = maybe ? GW_PRIOR_MAYBE_GROWTH_MEAN : 0;
        animal->growth_var = sd * sd;
        animal->maybe_walk = maybe ? GW_PRIOR_MAYBE_WALK * GW_PRIOR_MAYBE_WALK : 0;
    }

    bool senior =
        isnan(subject->birth) ? subject->stage == GW_STAGE_SENIOR : first->at - subject->birth >= profile->senior_days;
    animal->trend_mean = senior ? GW_PRIOR_SENIOR_TREND_MEAN : 0;
    animal->trend_sd = senior ? GW_PRIOR_SENIOR_TREND_SD : GW_PRIOR_TREND_SD;
    /* Nothing is known that would tell growth from a trend. */
    if (!curve && (subject->stage == GW_STAGE_UNKNOWN || subject->stage == GW_STAGE_YOUNG) && isnan(subject->birth))
        animal->trend_sd = GW_PRIOR_UNKNOWN_TREND_SD;
}

double gw_age(const gw_animal *animal, double at)
{
    return at - animal->birth;
}

double gw_curve(const gw_animal *animal, double at)
{
    if (animal->curve_size == 0) return 0;
    double age = gw_age(animal, at) - animal->profile->neonate_days; /* newborns gain nothing at first */
    return -animal->curve_size * exp(-animal->profile->growth_per_day * (age > 0 ? age : 0));
}

bool gw_is_adult(const gw_animal *animal, double at, double grams)
{
    const gw_trend_subject *subject = animal->subject;
    if (!isnan(subject->birth)) return at - subject->birth >= animal->profile->adult_days;
    if (subject->stage != GW_STAGE_UNKNOWN) return subject->stage != GW_STAGE_YOUNG;
    return animal->adult > 0 && gw_quantise(grams / animal->adult) >= GW_PRIOR_MAYBE_YOUNG_BELOW;
}
