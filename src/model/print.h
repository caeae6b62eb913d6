/* The dyed cloth as the eye meets it: what look/ needs and nothing else. Owns nothing. */
#ifndef THAW_MODEL_PRINT_H
#define THAW_MODEL_PRINT_H

#include "model/bundle.h"
#include "model/materials.h"
#include "model/specification.h"

typedef struct thaw_print {
    int nx, ny;
    double cell_m;
    const thaw_cloth_kind *cloth;
    int n_components;
    const thaw_component *components[THAW_MAX_COMPONENTS];
    int rows[THAW_MAX_COMPONENTS]; /* row of each in the table, as colours name their parts */
    const double *fixed_kg_m2[THAW_MAX_COMPONENTS]; /* bonded dye, n cells each */
    const double *loose_kg_m2[THAW_MAX_COMPONENTS]; /* dissolved + sorbed + hydrolysed */
    const double *saturation;      /* 0 .. 1, n cells: wets the look */
} thaw_print;

#endif
