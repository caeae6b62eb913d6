/* Closed shapes of an SVG drawing at real size: outlines of pattern pieces. */
#ifndef THAW_SCENARIO_SVG_H
#define THAW_SCENARIO_SVG_H

#include "base/polygon.h"
#include "model/pattern.h"
#include "scenario/faults.h"

#define THAW_MAX_DRAWN 128

typedef struct thaw_drawn {
    char name[THAW_PIECE_NAME];    /* its title, label or id, or those of the group it is in */
    size_t line;                   /* of the file */
    thaw_polygon outline;          /* own, m */
} thaw_drawn;

typedef struct thaw_drawing {
    int n;
    thaw_drawn shapes[THAW_MAX_DRAWN];
} thaw_drawing;

/* What is wrong becomes a fault of the file. Open lines and shapes below 1 cm2 (notches, arrows, buttonholes) are passed
 * over; of a path with several parts the largest closed one counts. THAW_ERR_MEMORY is the only failure; the caller
 * releases *out, zeroed before, in any case. */
thaw_status thaw_svg_read(const char *text, size_t n, thaw_faults *faults, thaw_drawing *out, thaw_error *err);
void thaw_drawing_release(thaw_drawing *drawing);

#endif
