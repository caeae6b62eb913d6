/* What a figure of a cloth or a dye is called: one row drives the list, the page, the files with cloths and dyes of
 * one's own, and what is written back. */
#ifndef THAW_DATA_FIGURE_ROW_H
#define THAW_DATA_FIGURE_ROW_H

#include <stdbool.h>
#include <stddef.h>

#include "base/quantity.h"

typedef struct thaw_figure_row {
    size_t offset;                 /* of the double in thaw_cloth_kind or thaw_component */
    const char *key;               /* in a file: "dye-ceiling" */
    const char *unit;              /* as shown; "" for a plain number */
    double per_unit;               /* figure as shown x per_unit = SI */
    thaw_quantity quantity;        /* THAW_QUANTITY_KINDS: a plain number, written without a unit */
    double lowest, highest;        /* SI: what a file may say */
    const char *allowed;           /* the same in words */
    const char *meaning;           /* with the condition it holds under */
} thaw_figure_row;

static inline double thaw_figure_value(const thaw_figure_row *row, const void *thing)
{
    return *(const double *)((const char *)thing + row->offset);
}

static inline void thaw_figure_set(const thaw_figure_row *row, void *thing, double value)
{
    *(double *)((char *)thing + row->offset) = value;
}

#endif
