/* The component dyes in use, in the order in which setup, simulation and look number them. */
#ifndef THAW_MODEL_DYE_LIST_H
#define THAW_MODEL_DYE_LIST_H

#include "model/materials.h"
#include "model/specification.h"

#define THAW_MAX_TABLE_ROWS 64

typedef struct thaw_dye_list {
    int n;
    const thaw_component *components[THAW_MAX_COMPONENTS];
    int rows[THAW_MAX_COMPONENTS]; /* row of each in the table */
    int of_row[THAW_MAX_TABLE_ROWS]; /* row of the table -> place in the list, -1 unused */
} thaw_dye_list;

#endif
