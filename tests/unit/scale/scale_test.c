/*
 * OIML R 76-1, class III, in service: 1 step up to 500 steps of load, 2 up to 2000, 3 up to 10000 [OIMLTAB: tables 1, 3
 * and 6, read in a teaching copy; UKNAWI: Schedule 2 paragraph 4, read: in service twice the error of first
 * verification].
 */
#include "scale/scale_test.h"

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

static int passes(double step, double mass, double reading)
{
    double allowed;
    return gw_scale_test_passes((int32_t)(step * 10 + 0.5), (int32_t)(mass * 10 + 0.5), (int32_t)(reading * 10 + 0.5),
                                &allowed);
}

Test(scale_test, of_1000_and_3000_g_on_a_step_of_1_g)
{
    cr_expect(eq(int, passes(1, 1000, 1002), 1));
    cr_expect(eq(int, passes(1, 1000, 1003), 0));
    cr_expect(eq(int, passes(1, 3000, 3003), 1));
    cr_expect(eq(int, passes(1, 3000, 3004), 0));
    cr_expect(eq(int, passes(1, 1000, 998), 1));
    cr_expect(eq(int, passes(1, 1000, 997), 0));
}

Test(scale_test, at_the_limit_is_decided_in_whole_tenths)
{
    cr_expect(eq(int, passes(0.1, 30, 30.1), 1)); /* 300 steps: 1 step */
    cr_expect(eq(int, passes(0.1, 30, 30.2), 0));
    cr_expect(eq(int, passes(0.1, 100, 100.2), 1)); /* 1000 steps: 2 steps */
    cr_expect(eq(int, passes(0.1, 100, 100.3), 0));
    cr_expect(eq(int, passes(5, 2000, 2005), 1)); /* 400 steps of 5 g: 1 step */
    cr_expect(eq(int, passes(5, 2000, 2005.1), 0));
}

Test(scale_test, tells_the_error_that_was_allowed)
{
    double allowed = 0;
    gw_scale_test_passes(10, 10000, 10000, &allowed);
    cr_expect(epsilon_eq(dbl, allowed, 2, 1e-9));
}
