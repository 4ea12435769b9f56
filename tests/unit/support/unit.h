/**
 * What the unit tests of the server share: an arena and an error a test, and a check for leaks.
 *
 *   TestSuite(base_time, .init = unit_init, .fini = unit_fini);
 *
 * Each test runs in a process of its own, so these are fresh every time.
 */
#ifndef GW_TESTS_UNIT_H
#define GW_TESTS_UNIT_H

#include <criterion/criterion.h>
#include <criterion/new/assert.h>

#include "base/arena.h"
#include "base/error.h"

extern gw_arena arena;
extern gw_error err;

void unit_init(void);

/** Frees the arena; under the address sanitizer a leak fails the test (by itself it would only be printed). */
void unit_fini(void);

/** Forget the errors so far. */
void err_reset(void);

/** "pointer detail" of fault i; "" when there is none. */
const char *fault_text(size_t i);

#endif
