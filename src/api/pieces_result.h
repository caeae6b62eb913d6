/* What is kept of a lay until it is written. */
#ifndef THAW_API_PIECES_RESULT_H
#define THAW_API_PIECES_RESULT_H

#include "api/pattern_api.h"
#include "scenario/scenario.h"
#include "study/lay.h"

struct thaw_pieces {
    thaw_pieces_figures figures;
    const thaw_scenario *scenario;
    thaw_pattern *pattern;
    thaw_chances *chances;         /* own; NULL: nothing was run */
    thaw_lay lay;
    thaw_polygon outlines[THAW_MAX_CUTS], seams[THAW_MAX_CUTS]; /* own: on the cloth */
    char pictures[THAW_MAX_CUTS][80];
};

#endif
