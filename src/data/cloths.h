/* The cloths that are known, and what their figures are called. */
#ifndef THAW_DATA_CLOTHS_H
#define THAW_DATA_CLOTHS_H

#include "data/figure_row.h"
#include "model/materials.h"

int thaw_cloths_count(void);
/* Row i; NULL out of range. */
const thaw_cloth_kind *thaw_cloths_at(int i);
/* By name or other name, case ignored; NULL if unknown. */
const thaw_cloth_kind *thaw_cloths_find(const char *name);

/* Cloth lets go of its water over some h_e / lambda of height. Where that is less than a cell of draft detail is long, water
 * that runs down inside it is not resolved, and steps get ever shorter. */
#define THAW_CLOTH_LEAST_FRINGE_M 0.005
/* Least entry head that goes with lambda. */
static inline double thaw_cloth_least_head_m(double lambda, double lowest_m)
{
    return lambda * THAW_CLOTH_LEAST_FRINGE_M > lowest_m ? lambda * THAW_CLOTH_LEAST_FRINGE_M : lowest_m;
}

/* Name, unit and condition of a figure. */
const thaw_figure_row *thaw_cloth_row(thaw_cloth_figure figure);

#endif
