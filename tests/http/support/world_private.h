/* Shared by the files of support/ only. */
#ifndef GW_TEST_WORLD_PRIVATE_H
#define GW_TEST_WORLD_PRIVATE_H

#include "support/world.h"

/** End with a message: fails the test that runs, or the making of the world. */
_Noreturn void gw_give_up(const char *fmt, ...) __attribute__((format(printf, 1, 2)));

/** Compare an answer with the description; NULL when it fits, else what does not. */
const char *gw_conform(const char *method, const char *path, const gw_answer *answer);

/** The description, clients/api/openapi.json. */
json_t *gw_description(void);

#endif
