/* Figures of a lay as JSON. */
#ifndef THAW_OUTPUT_PIECES_JSON_H
#define THAW_OUTPUT_PIECES_JSON_H

#include <stdint.h>

#include "base/polygon.h"
#include "thawprint/pieces.h"

typedef struct thaw_pieces_head {
    const char *version, *title, *pattern, *digest;
    uint64_t seed;
    const thaw_polygon *outlines;  /* of every place, on the cloth; no corners where it is not placed */
} thaw_pieces_head;

/* The caller frees *out; untouched on failure. */
thaw_status thaw_lay_json(const thaw_pieces_figures *figures, const thaw_pieces_head *head, char **out, thaw_error *err);

#endif
