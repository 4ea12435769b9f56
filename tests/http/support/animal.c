#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "support/world.h"

const char *const gw_all_as_usual = "{\"behaviour\":\"as_usual\",\"breathing\":\"as_usual\",\"body\":\"as_usual\","
                                    "\"skin\":\"as_usual\",\"coat\":\"as_usual\","
                                    "\"eyes\":\"as_usual\",\"ears\":\"as_usual\",\"underside\":\"as_usual\",\"feet\":"
                                    "\"as_usual\",\"scent\":\"as_usual\","
                                    "\"teeth\":\"as_usual\"}";

static const char *or_else(const char *wish, const char *usual)
{
    return wish ? wish : usual;
}

static const char *weighing(const char *scale, double grams)
{
    if (grams <= 0) return "null";
    return gw_json("{'scale':'%s','readings':[%.1f],'zeroed':true,'confirmed':false}", scale, grams);
}

const char *gw_new_scale(double step)
{
    const char *id = gw_id();
    gw_answer a = gw_do(IDA_INTAKE, "PUT", gw_text("/scales/%s", id),
                        gw_json("{'home':'%s','name':'%s','step':%g,'capacity':5000}", gw_home_a(), id, step));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    return id;
}

/* Animals weighed on one scale within four hours are one session, and a session is judged together. */
static const char *scale_of(const char *animal)
{
    const char *scale =
        gw_sql("select scale from gw.check where animal = '%s' and scale is not null order by at limit 1", animal);
    return *scale ? scale : gw_scale_a();
}

const char *gw_new_animal(gw_animal_wish wish)
{
    if (wish.own_scale) wish.scale = gw_new_scale(1);
    static int number;
    const char *id = gw_id(), *at = gw_days_ago(wish.days_ago > 0 ? wish.days_ago : 1.0 / 24);
    const char *animal = gw_json(
        "{'id':'%s','name':'%s','species':'%s','sex':'%s'%s}", id, or_else(wish.name, gw_text("Animal %d", ++number)),
        or_else(wish.species, "guinea_pig"), or_else(wish.sex, "female"), or_else(wish.extra, ""));
    const char *body =
        gw_json("{'kind':'surrender','at':'%s','home':'%s','pen':'%s','animal':%s,'baseline':{'id':'%s','at':'%s',"
                "'answers':%s,'findings':[],'weighing':%s}}",
                at, or_else(wish.home, gw_home_a()), or_else(wish.pen, gw_pen_a()), animal, gw_id(), at,
                gw_all_as_usual, weighing(or_else(wish.scale, gw_scale_a()), wish.grams));
    gw_answer a = gw_do(IDA_INTAKE, "PUT", gw_text("/arrivals/%s", gw_id()), body);
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    return id;
}

const char *gw_weekly_body(const char *animal, const char *at, double grams)
{
    return gw_json("{'animal':'%s','home':'%s','kind':'weekly','at':'%s','answers':%s,'findings':[],'weighing':%s}",
                   animal, gw_home_a(), at, gw_all_as_usual, weighing(scale_of(animal), grams));
}

gw_answer gw_weekly(const char *animal, const char *at, double grams)
{
    gw_answer a = gw_do(VERA_OF_A, "PUT", gw_text("/checks/%s", gw_id()), gw_weekly_body(animal, at, grams));
    cr_assert(eq(int, a.status, 201), "%s", a.text);
    return a;
}

void gw_expect_at(const gw_answer *answer, const char *pointer, const char *expected)
{
    cr_expect(eq(str, (char *)gw_at(answer, pointer), (char *)expected), "%s\n%s", pointer, answer->text);
}

void gw_expect_status(const gw_answer *answer, int status)
{
    cr_expect(eq(int, answer->status, status), "%s", answer->text);
}
