#include <criterion/criterion.h>
#include <criterion/new/assert.h>
#include <string.h>

#include "support/world.h"

TestSuite(sign_in);

Test(sign_in, tells_who_is_signed_in_and_which_homes_they_serve)
{
    gw_answer a = gw_call(VERA_OF_A, "GET", "/me", NULL);
    cr_assert(eq(int, a.status, 200));
    cr_expect(eq(str, (char *)gw_at(&a, "/person/id"), (char *)gw_person(VERA_OF_A)));
    cr_expect(eq(str, (char *)gw_at(&a, "/person/role"), "volunteer"));
    cr_expect(eq(sz, gw_count_at(&a, "/homes"), 1));
    cr_expect(eq(str, (char *)gw_at(&a, "/homes/0/id"), (char *)gw_home_a()));
}
