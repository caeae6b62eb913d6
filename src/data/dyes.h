/* The dyes: component species and the colours mixed from them. */
#ifndef THAW_DATA_DYES_H
#define THAW_DATA_DYES_H

#include "data/figure_row.h"
#include "model/materials.h"

/* Rows stay where they are: `component` in a colour's parts is a row of the component table. */
int thaw_components_count(void);
const thaw_component *thaw_components_at(int i); /* NULL out of range */

/* Name, unit and condition of a figure of a component, and where the figure comes from. */
const thaw_figure_row *thaw_dye_row(thaw_dye_figure figure);
const char *thaw_dye_source(const thaw_component *component, thaw_dye_figure figure);

int thaw_colours_count(void);
const thaw_colour *thaw_colours_at(int i); /* NULL out of range */
/* By exact name; NULL if unknown. */
const thaw_colour *thaw_colours_find(const char *name);

#endif
