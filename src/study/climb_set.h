/* Where the dye ends over the members of a set (study/unknowns.h), by coarse runs. The same member has the same luck and the
 * same draw of what nobody knows, whatever is changed in spec: differences come from the change. */
#ifndef THAW_STUDY_CLIMB_SET_H
#define THAW_STUDY_CLIMB_SET_H

#include <stdbool.h>

#include "study/fronts.h"

/* share of the set that is done; false stops. Called by one thread only. */
typedef bool (*thaw_climb_progress)(void *user, double share);

typedef struct thaw_climb_set {
    int n, n_came_through;
    double *ends_m;                /* own, n: end of the dye from the dyed end, median over the width; NaN: did not come through */
    double *drips_kg;              /* own, n: water that dripped from the free end; NaN likewise */
    thaw_fronts *fronts;           /* own, n; from the ice line */
    double line_m, leave_s, cell_m;
} thaw_climb_set;

/* Cells as large as climbs allow: at 7, 8, 10 and 12 mm a set of jersey ended within 1 cm of each other. */
double thaw_climb_cell_m(const thaw_specification *spec);
/* THAW_ERR_UNPHYSICAL if fewer than half came through. Release with thaw_climb_set_release. */
thaw_status thaw_climb_set_run(const thaw_specification *spec, int n, thaw_climb_progress progress, void *user,
                               thaw_climb_set *out, thaw_error *err);
void thaw_climb_set_release(thaw_climb_set *set);

/* Quantile of the ends. scratch: n numbers. */
double thaw_climb_set_end_m(const thaw_climb_set *set, double share, double *scratch);
/* Half the way between the ends that the quantile's rank may as well fall on with so few runs, four times out of five. */
double thaw_climb_set_doubt_m(const thaw_climb_set *set, double share, double *scratch);

#endif
