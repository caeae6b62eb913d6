/* What people write for a unit, and what they mean. */
#ifndef THAW_BASE_UNIT_HINT_H
#define THAW_BASE_UNIT_HINT_H

#include <stdbool.h>

#include "base/quantity.h"

/* A few words for a unit that cannot be taken, "Fahrenheit is `68 degF`"; NULL: nothing is known of it. */
const char *thaw_unit_hint(thaw_quantity kind, const char *unit);

/* Units that the table of units has, but for something else than people mean: never taken. */
bool thaw_unit_misleads(const char *unit);

#endif
