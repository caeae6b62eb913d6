/* supplies.json. */
#ifndef THAW_OUTPUT_SUPPLIES_JSON_H
#define THAW_OUTPUT_SUPPLIES_JSON_H

#include <stdint.h>

#include "thawprint/status.h"
#include "thawprint/supplies.h"

typedef struct thaw_supplies_head {
    const char *title, *digest, *version;
    uint64_t seed;
} thaw_supplies_head;

/* The caller releases *out with thaw_release; untouched on failure. */
thaw_status thaw_supplies_text(const thaw_supplies_figures *figures, const thaw_supplies_head *head, char **out,
                               thaw_error *err);

#endif
