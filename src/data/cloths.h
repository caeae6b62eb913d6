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

/* Name, unit and condition of a figure. */
const thaw_figure_row *thaw_cloth_row(thaw_cloth_figure figure);

#endif
