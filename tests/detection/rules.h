/* Rules in use and standard charts, on the same readings as the engine. */
#ifndef GW_DETECTION_RULES_H
#define GW_DETECTION_RULES_H

#include "watch.h"

/* Fill in the scores of all watchers but the engine; weighings[n] as they were accepted. */
void rules_watch(seen_animal *animal, const gw_trend_weighing weighings[]);

#endif
