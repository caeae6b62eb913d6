/* Whether outlines and seams of one's own can be a garment. */
#ifndef THAW_SCENARIO_GARMENT_CHECKS_H
#define THAW_SCENARIO_GARMENT_CHECKS_H

#include <stdbool.h>

#include "model/garment.h"

/* Two edges of the outline that cross or touch, counted from 1 by the corner where they begin; false if none do. */
bool thaw_garment_crossing(const thaw_garment_panel *panel, int edges[2]);
/* How much of two panels lies on the same place, m2. */
double thaw_garment_overlap_m2(const thaw_garment_panel *a, const thaw_garment_panel *b);
/* Way along one side of a seam. */
double thaw_seam_length_m(const thaw_garment *garment, const thaw_seam *seam, int side);
/* How far apart the two sides lie where they are farthest, run along from the same end or from opposite ends. */
double thaw_seam_gap_m(const thaw_garment *garment, const thaw_seam *seam);

#endif
