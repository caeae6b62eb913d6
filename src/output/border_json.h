/* border.json. */
#ifndef THAW_OUTPUT_BORDER_JSON_H
#define THAW_OUTPUT_BORDER_JSON_H

#include <stdint.h>

#include "thawprint/border.h"
#include "thawprint/status.h"

typedef struct thaw_border_head {
    const char *title, *digest, *version;
    uint64_t seed;
} thaw_border_head;

/* The caller releases *out with thaw_release; untouched on failure. */
thaw_status thaw_border_text(const thaw_border_figures *figures, const thaw_border_head *head, char **out, thaw_error *err);

#endif
