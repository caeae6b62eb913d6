/* Figures of a preview as JSON, for scripts. */
#ifndef THAW_OUTPUT_FIGURES_JSON_H
#define THAW_OUTPUT_FIGURES_JSON_H

#include <stdint.h>

#include "thawprint/preview.h"
#include "thawprint/status.h"

/* What the figures belong to; borrowed. */
typedef struct thaw_figures_head {
    const char *title, *digest, *version;
    uint64_t seed;
} thaw_figures_head;

/* Keys carry their units and come in a fixed order; numbers have six significant digits; what
 * cannot be said (NaN) is null. Seed is text: JSON numbers do not hold 64 bits. The caller frees
 * *out with thaw_release; on failure *out is untouched. */
thaw_status thaw_figures_json(const thaw_preview_figures *figures, const thaw_figures_head *head,
                              char **out, thaw_error *err);

#endif
