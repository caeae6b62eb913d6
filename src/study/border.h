/* The ice line for a wanted end of the dye: by root finding on a quantile over common random numbers, and what would help
 * where there is none. */
#ifndef THAW_STUDY_BORDER_H
#define THAW_STUDY_BORDER_H

#include "model/specification.h"
#include "thawprint/border.h"

typedef struct thaw_border_plan {
    const thaw_specification *spec;
    bool hangs_free;               /* all of the rest hangs down, as the file left it open */
    double end_m, sure;
    int n;                         /* members */
    double lowest_m;               /* lines below are not tried: hands could not fold so little cloth */
    bool (*progress)(void *user, const char *phase, double share);
    void *user;
} thaw_border_plan;

/* Fills everything that comes from runs. *figures is half filled on failure. */
thaw_status thaw_border_find(const thaw_border_plan *plan, thaw_border_figures *figures, thaw_error *err);

#endif
