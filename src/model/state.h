/* What the simulation knows of the cloth at one moment; one value per cloth cell. */
#ifndef THAW_MODEL_STATE_H
#define THAW_MODEL_STATE_H

#include <stddef.h>

#include "model/specification.h"

typedef struct thaw_state {
    size_t n;
    double time_s;
    double *saturation;            /* own: share of the pores that holds water, >= 0; above 1 over-full */
    int n_components;
    const thaw_component *components[THAW_MAX_COMPONENTS];
    double *mobile_kg_m2[THAW_MAX_COMPONENTS];     /* own: dissolved + sorbed */
    double *fixed_kg_m2[THAW_MAX_COMPONENTS];      /* own: bonded */
    double *hydrolysed_kg_m2[THAW_MAX_COMPONENTS]; /* own: dead dye, washed out at the rinse */
    double *powder_kg_m2[THAW_MAX_POWDERS];        /* own: dry grains lying on the cloth; soda ash after the dyes */
    double *lump_kg_m2[THAW_MAX_POWDERS];          /* own: lumps of dye lying on the cloth; NULL where there are none */
    double *soda_kg_m2;            /* own */
} thaw_state;

#endif
