/* The main of every test program here: a world around the tests. */
#include <criterion/criterion.h>
#include <criterion/options.h>
#include <stdio.h>
#include <stdlib.h>

#include "support/world.h"

int main(int argc, char *argv[])
{
    struct criterion_test_set *tests = criterion_initialize();
    int failed = 1;
    if (criterion_handle_args(argc, argv, true)) {
        criterion_options.jobs = 1; /* the tests of a program share one database */
        failed = gw_world_make();
        if (!failed) failed = !criterion_run_all_tests(tests);
        if (gw_world_end()) failed = 1;
    }
    criterion_finalize(tests);
    return failed;
}
