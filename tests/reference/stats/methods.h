/* The methods of the case files, each answered by the functions of gramwell/stats.h. */
#ifndef GW_REFERENCE_METHODS_H
#define GW_REFERENCE_METHODS_H

#include <jansson.h>

#include "gramwell/stats.h"

/* Fills found with the fields of one case. */
typedef gw_stats_status (*method_run)(const json_t *input, json_t *found);

/* NULL for a method that is not known. */
method_run find_method(const char *name);

#endif
